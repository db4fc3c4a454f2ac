"""Rods in space that lie in each other give way, and only they do."""

from __future__ import annotations

import numpy as np
import pytest

from slype.rods import bundle, bundle_kernels, parting
from slype.rods.bundle import Bundle

THICK = 2.0


def rods(*lines, thick=THICK):
    """A bundle of rods, each a straight line (from, to) with a node every 0.7 thicknesses."""
    at = []
    for start, end in lines:
        start, end = np.array(start, float), np.array(end, float)
        many = int(np.linalg.norm(end - start) / (0.7 * thick)) + 2
        at.append(start + np.linspace(0, 1, many)[:, None] * (end - start))
    off = np.r_[0, np.cumsum([len(each) for each in at])]
    return Bundle(off, np.concatenate(at), np.full(len(at), thick / 2))


def after(given):
    return Bundle(given.off, given.at + parting.part(given), given.radius)


def deepest(given):
    share, _, _ = bundle.smooth_overlap(given, 0.1 * THICK)
    return float(share.max(initial=0.0))


def test_two_rods_that_cross_in_each_other_are_parted_and_each_keeps_its_side():
    crossed = rods(((-30, 0, 0), (30, 0, 0)), ((0, -30, 0.4), (0, 30, 0.4)))
    assert deepest(crossed) == pytest.approx(0.8, abs=0.01)
    apart = after(crossed)
    assert deepest(apart) <= parting.ENOUGH
    middle = [apart.at[apart.rod == k][:, 2] for k in (0, 1)]
    assert middle[1].max() > 0.4 and middle[0].min() < 0


def test_a_pile_that_does_not_part_at_once_parts_bit_by_bit():
    """Thirty rods in the room of twelve: the outer ones have far to go."""
    pile = rods(*(((-12, 0, k * 0.4 * THICK), (12, 0, k * 0.4 * THICK)) for k in range(30)))
    pairs, ground = parting.neighbours(pile).look(pile.at), np.full(len(pile.at), -np.inf)
    once = parting._stretch(pile, np.zeros(len(pile.at), bool), None, False, ground, pairs)
    assert deepest(Bundle(pile.off, pile.at + once, pile.radius)) > 2 * parting.ENOUGH
    assert deepest(after(pile)) <= parting.ENOUGH


def test_a_rod_slants_aside_no_more_than_so_in_one_stretch_and_what_moves_as_a_whole_is_let():
    given = rods(((0, 0, 0), (60, 0, 0)), ((0, 9, 0), (60, 9, 0)))
    moved = np.zeros_like(given.at)
    moved[given.rod == 1] = (0.0, 30.0, 0.0)  # far, and all alike
    tip = np.flatnonzero(given.rod == 0)[-4:]
    moved[tip, 2] = [1.0, 4.0, 9.0, 16.0]  # a cut end that swings out
    share = parting._unfolded(given, moved)
    assert (share[given.rod == 1] == 1).all() and (share[:10] == 1).all()
    hop = np.linalg.norm(np.diff(moved * share[:, None], axis=0), axis=1) / np.maximum(given.long[:-1], 1e-9)
    assert hop[given.edges].max() == pytest.approx(parting.SLANTS)


def test_nothing_is_pushed_on_along_a_rod_that_runs_out_of_the_surface():
    """A spoke that has turned up, and one that lies in the base: a weaver in each of them must lie below it."""
    at = np.array([[0, 0, -2], [0, 0, 4], [-3, 0.1, 1], [3, 0.1, 1], [0, -3, 1.2], [0.2, 3, 1.2]], float)
    one, two, known, up = np.array([0, 4]), np.array([2, 2]), np.array([-1.0, -1.0]), np.tile([0.0, 0.0, 1.0], (2, 1))
    part, sine = np.empty((2, 2)), np.empty(2)
    far = bundle_kernels.meet(at, one, two, part, sine)
    sine[:] = 0.0  # as if they lay along each other: what lies almost in one place has no line of its own
    turned_up, lying = bundle_kernels.ways(at, one, two, part, far, sine, np.full(2, 9.0), known, up, 0.3)
    assert abs(turned_up[2]) < 0.1
    assert lying.tolist() == [0.0, 0.0, -1.0]


def test_what_lies_well_and_far_off_stays_just_where_it_is_while_others_part_bit_by_bit(monkeypatch):
    monkeypatch.setattr(parting, "SWEEPS", 10)  # so that one stretch does not do
    given = rods(
        *(((-24, 0, k * THICK / 2), (24, 0, k * THICK / 2)) for k in range(6)),
        ((-24, 80, 0), (24, 80, 0)), ((0, 60, THICK), (0, 100, THICK)),
    )  # fmt: skip
    moved = parting.part(given)
    assert np.abs(moved[given.rod < 6]).max() > THICK / 4
    assert np.abs(moved[given.rod >= 6]).max() < 1e-9


def test_round_a_place_not_parted_the_near_may_move_and_what_they_touch_is_there_and_stays():
    given = rods(*(((-200, 0, k * THICK), (200, 0, k * THICK)) for k in range(4)))
    pole = np.array([(-200, 0, 4 * THICK), (200, 0, 4 * THICK)])  # its ends are far off, and it touches all along
    off, radius = np.r_[given.off, given.off[-1] + 2], np.r_[given.radius, THICK / 2]
    given = Bundle(off, np.concatenate([given.at, pole]), radius)
    left = np.flatnonzero(np.abs(given.at[:, 0]) < 1)
    pairs = parting.neighbours(given).look(given.at)
    here, pieces, stays = parting._near_to(given, given.at, left, pairs)
    moving = here[~stays]
    assert set(left) <= set(moving.tolist())
    assert len(pieces.off) == 6 and 0 < stays.sum() < len(here) < len(given.at)
    edges = np.array([pairs[0], pairs[0] + 1, pairs[1], pairs[1] + 1])
    touched = np.isin(edges, moving).any(axis=0)
    assert (given.rod[pairs[1]][touched] == 4).any() and np.isin(edges[:, touched], here).all()
    reach, end = (np.abs(given.at[each[given.rod[each] < 4], 0]).max() for each in (moving, here))
    assert parting.ROUND * THICK * 0.9 < reach < end - THICK
    assert (stays[np.isin(here, here[pieces.off[:-1]])]).all()  # each piece begins with what stays


def test_what_gives_way_does_not_sink_into_the_ground():
    """One rod lies on a board, another across it and half in it: only the upper one can give way."""
    lying, across = ((-30, 0, THICK / 2), (30, 0, THICK / 2)), ((0, -30, THICK), (0, 30, THICK))
    given = rods(lying, across)
    free = Bundle(given.off, given.at + parting.part(given), given.radius)
    assert free.at[free.rod == 0][:, 2].min() < THICK * 0.4
    ground = np.where(given.rod == 0, THICK / 2, -np.inf)
    borne = Bundle(given.off, given.at + parting.part(given, ground=ground), given.radius)
    assert borne.at[borne.rod == 0][:, 2].min() > THICK * (0.5 - 2 * parting.ENOUGH)
    assert deepest(borne) <= parting.ENOUGH


EVEN = np.linspace(0, 1.5, 12)
UNEVEN = np.array([0, 0.04, 0.35, 0.39, 0.43, 0.74, 0.78, 0.82, 1.13, 1.17, 1.46, 1.5])


@pytest.mark.parametrize("turn", [EVEN, UNEVEN])
@pytest.mark.parametrize("seed", range(3))
def test_how_near_smooth_lines_come_is_measured_between_their_nodes(seed, turn):
    by = np.random.default_rng(seed)
    ring = np.stack([9 * np.sin(turn), 9 * np.cos(turn), 0 * turn], axis=1)  # outside its chords
    slant = by.normal(size=3) * [0.3, 0.3, 1]
    straight = np.array([9.2, 9.2, 0]) / np.sqrt(2) * 1.2 + np.linspace(-6, 6, 12)[:, None] * slant
    given = Bundle(np.array([0, 12, 24]), np.concatenate([ring, straight]), np.array([1.0, 1.0]))
    one, two = bundle.pairs_near(given, given.at, 2.0)
    found = bundle.smooth_distance(given, one, two).min()
    fine = np.linspace(0, 1.5, 3000)
    arc = np.stack([9 * np.sin(fine), 9 * np.cos(fine), 0 * fine], axis=1)
    line = np.concatenate([straight[0] + np.linspace(0, 1, 3000)[:, None] * (straight[-1] - straight[0])])
    truth = min(np.sqrt(((line - point) ** 2).sum(axis=1)).min() for point in arc[::10])
    assert found == pytest.approx(truth, abs=0.01)


def test_a_rod_bent_back_sharply_lies_in_itself_from_three_thicknesses_on():
    leg = np.linspace(0, 12, 49)[:, None]
    out = np.concatenate([leg[::-1] * [0.28, 0.96, 0.0], leg[1:] * [-0.28, 0.96, 0.0]])
    bent = Bundle(np.array([0, len(out)]), out, np.array([1.0]))
    assert bundle.worst_of(bent).share == pytest.approx(1 - 3 * 0.28, abs=0.05)


def test_a_pile_without_hope_is_given_up_after_three_stretches(monkeypatch):
    """Rods that lie in one another all along, with no room beside: nothing that fingers would go on with."""
    stretches = []
    whole = parting._stretch
    monkeypatch.setattr(parting, "_stretch", lambda *all_of: (stretches.append(0), whole(*all_of))[1])
    monkeypatch.setattr(parting, "_unparted", lambda bundle, pairs, ground: np.arange(len(bundle.at) // 2))
    parting.part(rods(*(((-24, 0, 0.3 * k), (24, 0, 0.3 * k)) for k in range(6))))
    assert len(stretches) == parting.HOPELESS[0]


@pytest.mark.parametrize(("much", "stretches"), [(1.0, 1), (2.0, 2)])
def test_what_is_once_begun_goes_on_for_some_further_work(much, stretches, monkeypatch):
    pile = rods(*(((-12, 0, k * 0.4 * THICK), (12, 0, k * 0.4 * THICK)) for k in range(30)))
    one_stretch = parting.SWEEPS * len(pile.at)
    monkeypatch.setattr(parting, "MOST_WORK", one_stretch)
    monkeypatch.setattr(parting, "MOST_IN_ALL", much * one_stretch)
    begun, stretch = [], parting._stretch
    monkeypatch.setattr(parting, "_stretch", lambda *asked: (begun.append(0), stretch(*asked))[1])
    parting.part(pile)
    assert len(begun) == stretches


def test_where_stretches_make_it_worse_what_had_parted_most_is_kept(monkeypatch):
    """Each after the second pressed other reeds into each other."""
    left, seen = iter([12, 4, 9, 8]), []
    monkeypatch.setattr(parting, "MOST_STRETCHES", 4)
    monkeypatch.setattr(parting, "HOPELESS", (9, 1.0))

    def everywhere(whole, at, some, pairs):
        return np.arange(len(at)), Bundle(whole.off, at.copy(), whole.radius), np.zeros(len(at), bool)

    monkeypatch.setattr(parting, "_near_to", everywhere)
    def unparted(now, pairs, ground):
        seen.append(now.at.copy())
        return np.arange(next(left))

    monkeypatch.setattr(parting, "_unparted", unparted)
    pile = rods(*(((-12, 0, k * 0.4 * THICK), (12, 0, k * 0.4 * THICK)) for k in range(30)))
    given = parting.part(pile)
    assert len(seen) == 4 and np.abs(seen[2] - seen[1]).max() > 0.01
    assert pile.at + given == pytest.approx(seen[1])


def test_lengths_along_rods_are_those_of_their_edges_and_edges_near_cut_ends_are_left_out():
    given = rods(((0, 0, 0), (30, 0, 0)), ((0, 9, 0), (0, 9, 12)), ((5, 5, 5), (6, 7, 7)))
    inner = set(bundle.away_from_ends(given, 1.0).tolist())
    for first, last in zip(given.off[:-1], given.off[1:], strict=True):
        steps = np.linalg.norm(np.diff(given.at[first:last], axis=0), axis=1)
        assert given.long[first:last] == pytest.approx([*steps, 0.0])
        so_far = np.r_[0.0, np.cumsum(steps)]
        assert given.along[first:last] == pytest.approx(so_far)
        far = (so_far[:-1] > THICK * 0.999) & (so_far[-1] - so_far[1:] > THICK * 0.999)
        assert inner & set(range(first, last)) == set((first + np.flatnonzero(far)).tolist())
    assert inner


def test_of_rods_that_are_all_cut_end_none_lies_in_another():
    """So short that no place of them is away from their ends, they broke the measure off."""
    at = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.5, -0.5, 0.0], [0.5, 0.5, 0.0]])
    share, *_ = bundle.smooth_overlap(Bundle(np.array([0, 2, 4]), at, np.ones(2)), 1.0)
    assert not len(share)
