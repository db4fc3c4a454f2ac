"""Reeds as rods: they come to rest where physics says, none passes through another, and nothing else matters."""

import threading
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import any_weave, basket, named_weaves, turn_taking, weave_and_ends

from slype.errors import Unweavable
from slype.lay import laying
from slype.rest import reeds, relax
from slype.rods import cases, kernels, measure_kernels, working
from slype.rods import wall as rod_wall
from slype.rods.contacts import contacts_of
from slype.weave.table import Weave, weave_named

TWO_HUNDREDTHS = 0.02  # of a thickness: less than any reed is true
SWEEPS = 1500


def ring(weave, ends, rows, reed="round 3", stations=8):
    """A plain ring of one weave as rods; skips what no hands could weave."""
    design = basket(ends=ends, rows=rows, reed=reed, base="7 in", weave="randing")
    band = replace(design.bands[0], weave=weave, colours=("natural",))
    try:
        return reeds.build(laying.lay(replace(design, bands=(band,))), "side", (), stations)
    except Unweavable:
        assume(False)


@pytest.fixture(scope="module")
def wale():
    return ring(weave_named("three-rod wale"), 24, 4)


def at_rest(built, **more):
    return rod_wall.relax(built.wall, **{"most_sweeps": SWEEPS, "overlap": 0.005, **more})


# Whatever is woven ---------------------------------------------------------------------------------------------


def order_kept(built, rest):
    low, high = built.columns.T
    return bool(np.all(rest.at[high, 0] > rest.at[low, 0]))


@settings(max_examples=25)
@given(weave_and_ends(named_weaves, most=22), st.integers(2, 4), st.sampled_from(["round 2", "round 3"]))
def test_no_reed_passes_through_another(weave_ends, rows, reed):
    built = ring(*weave_ends, rows, reed)
    rest = at_rest(built)
    assert np.isfinite(rest.at).all() and np.isfinite(rest.push).all()
    assert order_kept(built, rest)
    assert rod_wall.worst_overlap(rest) <= TWO_HUNDREDTHS * 2 * built.wall.radius.min()


def test_contacts_far_from_pressing_may_be_left_out_until_they_come_near(wale, monkeypatch):
    near = at_rest(wale, balance=0.1, friction=0.2)
    monkeypatch.setattr(working, "SOON", 9.0)
    every = at_rest(wale, balance=0.1, friction=0.2)
    assert near.done and every.done
    moved = (near.at - every.at)[wale.woven, 0]
    assert np.sqrt((moved**2).mean()) < 0.02 * 2 * wale.wall.radius.min()


def test_what_is_laid_on_held_reed_stays_above_it_though_its_middle_lies_beside():
    """The tip of a border beside the last row slipped past it, and the whole border kept its plain form."""
    lying, radius = np.zeros((5, 2)), 1.0
    beside = lying + np.array([1.6, 1.6]) * radius
    wall = cases.rods_by_hand([lying, beside], 1.0, radius, 8.0, [[], []])
    held = replace(wall, pinned=np.arange(wall.nodes) < len(lying))
    assert not contacts_of(wall).ordered.any()
    assert len(contacts_of(held).low) and contacts_of(held).ordered.all()


def comes_to_rest_or_says_so(built):
    rest = at_rest(built, most_sweeps=600, balance=relax.BALANCE)
    assert np.isfinite(rest.at).all()
    if rest.done:
        assert order_kept(built, rest)
        assert rod_wall.worst_overlap(rest) <= TWO_HUNDREDTHS * 2 * built.wall.radius.min()


@settings(max_examples=20, derandomize=True)  # at random it meets, now and then, one of those that follow
@given(weave_and_ends(st.one_of(any_weave(), turn_taking()), most=22), st.integers(2, 4))
def test_a_weave_that_cannot_come_to_rest_says_so(weave_ends, rows):
    # Some free weaves stack so crowded at their ends that the rods never come to rest.
    comes_to_rest_or_says_so(ring(*weave_ends, rows))


@pytest.mark.parametrize(("cycle", "weavers", "ends", "rows"), [((4, 1), 2, 6, 3), ((1, 1), 3, 3, 2)])
def test_a_free_weave_that_lies_in_itself_says_so(cycle, weavers, ends, rows):
    comes_to_rest_or_says_so(ring(Weave("free weave", weavers, (cycle,), "round"), ends, rows))


@pytest.mark.parametrize(("aside", "left"), [(0.15, 0.0), (0.3, 0.1)])
def test_what_presses_holds_by_friction_a_fifth_of_what_it_presses_with_across_it(aside, left):
    """A rod that its floor bears with a force of 1 is pulled aside."""
    load, floor_push = np.zeros((3, 2)), np.zeros((3, 2))
    load[1], floor_push[1] = (-1.0, aside), (-1.0, 0.0)
    one, none = np.ones(3), np.zeros(0)
    rod = np.array([0, 3]), np.zeros((3, 2)), np.zeros(1), np.zeros(1), one, load, np.zeros(3), one
    whole = np.zeros(0, np.int64)
    contacts = whole, whole, none, none, np.zeros((0, 2))
    found = measure_kernels.unbalanced(*rod, np.zeros(3, np.int64), floor_push, *contacts, 0.2)
    assert found == pytest.approx([0, left, 0])


# One wale, looked at closely -----------------------------------------------------------------------------------


def test_the_answer_does_not_depend_on_how_many_cores_work(wale, monkeypatch):
    monkeypatch.setattr(rod_wall, "SHARED_FROM", 0)  # so that even this small wall is shared
    one, two = (at_rest(wale, most_sweeps=200, cores=cores) for cores in (1, 2))
    assert one.at.tobytes() == two.at.tobytes()
    assert one.push.tobytes() == two.push.tobytes()


def test_a_wall_comes_to_rest_the_same_way_twice(wale):
    assert at_rest(wale, most_sweeps=300).at.tobytes() == at_rest(wale, most_sweeps=300).at.tobytes()


def test_work_that_is_stopped_leaves_nothing_running_and_can_be_done_again(wale, monkeypatch):
    monkeypatch.setattr(rod_wall, "SHARED_FROM", 0)
    before, whole = threading.active_count(), at_rest(wale, most_sweeps=200, cores=2)

    def stop(share):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        at_rest(wale, most_sweeps=200, cores=2, progress=stop)
    assert threading.active_count() == before
    assert at_rest(wale, most_sweeps=200, cores=2).at.tobytes() == whole.at.tobytes()


def test_progress_is_told_and_ends_at_the_whole(wale):
    shares = []
    at_rest(wale, most_sweeps=200, progress=shares.append)
    assert shares == sorted(shares) and shares[-1] == 1.0 and len(shares) == 200 // rod_wall.BLOCK


def test_a_basket_turned_inside_out_is_the_same_basket(wale):
    wall, turn = wale.wall, np.array([1.0, -1.0])
    mirrored = replace(wall, at=wall.at * turn, post_side=-wall.post_side, load=wall.load * turn)
    there, here = rod_wall.relax(mirrored, most_sweeps=300), rod_wall.relax(wall, most_sweeps=300)
    assert there.at * turn == pytest.approx(here.at, abs=1e-9)


def test_a_basket_twice_as_large_in_everything_has_the_same_shape(wale):
    # Stiffness goes with the fourth power of thickness, so forces of packing do too: load per node 16 x 2 / 16 x 2.
    wall = wale.wall
    large = replace(
        wall, at=2 * wall.at, h=2 * wall.h, bend=16 * wall.bend, pull=4 * wall.pull, radius=2 * wall.radius,
        scale=2 * wall.scale, load=4 * wall.load, floor=2 * wall.floor, post_clear=2 * wall.post_clear,
    )  # fmt: skip
    there, here = rod_wall.relax(large, most_sweeps=300), rod_wall.relax(wall, most_sweeps=300)
    assert there.at / 2 == pytest.approx(here.at, abs=1e-9)
    assert rod_wall.rod_lengths(there) / 2 == pytest.approx(rod_wall.rod_lengths(here), rel=1e-9)


def test_reeds_stay_outside_the_spokes_they_pass_and_above_the_floor(wale):
    wall, rest = wale.wall, at_rest(wale)
    passed = wall.post_side != 0
    short = wall.post_clear[passed] - (wall.post_side * rest.at[:, 1])[passed]
    assert passed.sum() > 100
    assert short.max() <= TWO_HUNDREDTHS * 2 * wall.radius.min()
    assert (wall.floor - rest.at[:, 0]).max() <= TWO_HUNDREDTHS * 2 * wall.radius.min()


def test_a_wall_with_no_place_to_start_from_is_refused(wale):
    at = wale.wall.at.copy()
    at[5, 0] = np.nan
    with pytest.raises(ValueError, match="no place to start from"):
        rod_wall.relax(replace(wale.wall, at=at))


def test_the_checker_sees_a_reed_pushed_into_another(wale):
    rest = at_rest(wale)
    low, high = wale.columns[len(wale.columns) // 2]
    at = rest.at.copy()
    at[high] = at[low] + np.array([wale.wall.radius[0], 0.0])
    assert rod_wall.worst_overlap(replace(rest, at=at)) >= 0.9 * wale.wall.radius[0]


def test_the_floor_bears_what_packs_the_rows():
    # Statics: reeds push each other up and down alike, so all that is left is the load and the floor.
    wall = ring(weave_named("randing"), 15, 3).wall
    rest = rod_wall.relax(wall, most_sweeps=20_000, balance=1e-4)
    down = wall.load[:, 0].sum()
    assert down < 0
    assert rest.post_push[:, 0].sum() == pytest.approx(down, rel=0.01)


# One rod and a pair --------------------------------------------------------------------------------------------


def test_true_bending_is_the_slope_of_its_energy():
    # Differences of the discrete energy, written out anew: bend/2 x curvature squared + pull x length.
    random = np.random.default_rng(3)
    nodes, step, bend, pull = 9, 0.7, 1.3, 0.4
    at = random.normal(scale=0.6, size=(nodes, 2))

    def energy(at):
        first, second = (at[2:] - at[:-2]) / (2 * step), (at[2:] - 2 * at[1:-1] + at[:-2]) / step**2
        tangent = np.c_[np.ones(nodes - 2), first]
        cross = np.cross(tangent, np.c_[np.zeros(nodes - 2), second])
        speed = np.sqrt((tangent**2).sum(axis=1))
        edges = np.sqrt(step**2 + (np.diff(at, axis=0) ** 2).sum(axis=1))
        return (bend / 2 * (cross**2).sum(axis=1) / speed**5 * step).sum() + pull * edges.sum()

    def small(at):
        second, first = np.diff(at, 2, axis=0) / step**2, np.diff(at, axis=0) / step
        return (bend / 2 * second**2 * step).sum() + (pull / 2 * first**2 * step).sum()

    wanted = np.zeros((nodes, 2))
    for i in np.ndindex(nodes, 2):
        nudge = np.zeros((nodes, 2))
        nudge[i] = 1e-6
        wanted[i] = sum(sign * (small(at + sign * nudge) - energy(at + sign * nudge)) for sign in (1, -1)) / 2e-6
    load = np.zeros((nodes, 2))
    kernels.true_bend(
        np.array([0, nodes]), 0, 1, at, np.array([bend]), np.array([pull]), np.full(nodes, step),
        np.zeros((nodes, 2)), load,
    )  # fmt: skip
    assert load == pytest.approx(wanted, rel=1e-6, abs=1e-6)


@given(st.floats(0.0, 0.5), st.floats(0.2, 1.0), st.booleans())
@settings(max_examples=15)
def test_crossing_rods_keep_their_thickness_apart_wherever_they_cross(past, slope, other_way):
    # Brute force over both axes in space; the solver only looks near its stations.
    rest = cases.at_rest(cases.pressed_pair(1.0, 40.0, -slope if other_way else slope, past, 1e-4, 40))
    assert cases.least_distance(rest) == pytest.approx(2.0, rel=1e-3)


def test_a_pair_whose_closest_place_goes_to_and_fro_is_held_in_both():
    rest = cases.pressed_pair(1.0, 40.0, 0.5, 0.2, 1e-4, 40)
    work = working.Work(rest, contacts_of(rest))
    work.renew()
    pressing = int(work.live.which[0])
    work.push[2 * pressing] = (0.3, 0.1)
    here, pairs = work._places()[pressing], len(work.low)
    work._halve(np.where(np.arange(pairs) == pressing, here - 0.4, work._places()))
    halves = np.flatnonzero(work.contacts.half)
    halves = halves[np.argsort(work.contacts.half[halves])]
    assert list(work.contacts.half[halves]) == [-1, 1] and len(work.low) == pairs + 1
    # One place each, on its own side of the nodes; what pressed presses where it did, the other presses nothing yet.
    places = work._places()[halves]
    assert places[0] <= 0 <= places[1]
    assert sorted(np.abs(work.push.reshape(-1, 4)[halves]).sum(axis=1)) == pytest.approx([0.0, 0.4])
    # Measured is every place once more, as if there had been one contact: holding it twice makes no overlap less.
    twice, once = work.contacts, contacts_of(rest)
    assert rod_wall.overlap_of(rest, twice, work.at) == rod_wall.overlap_of(rest, once, work.at)


def test_a_rod_pushed_through_the_wall_takes_the_one_beside_it_along():
    # Two like beams side by side share a load on one of them: each bends as under half (statics).
    stations, load = 16, 0.02
    beside = [np.stack([np.zeros(stations + 1), np.full(stations + 1, n)], axis=1) for n in (0.0, 0.2)]
    loads = np.zeros((2 * (stations + 1), 2))
    loads[stations + 1 + stations // 2, 1] = -load
    pair = cases.rods_by_hand(beside, 1 / stations, 0.1, 1.0, [[0, stations]] * 2, load=loads)
    rest = cases.at_rest(pair)
    first, second = rest.at[stations // 2, 1], rest.at[stations + 1 + stations // 2, 1]
    assert second - first == pytest.approx(0.2, rel=1e-4)
    assert first == pytest.approx(-load / 2 / 48, rel=0.01)


def test_a_rod_that_nothing_holds_stays_where_it_is():
    wall = cases.beam(10.0, 0.0, 16)
    free = replace(wall, pinned=np.zeros(wall.nodes, bool), at=wall.at + np.array([40.0, 3.0]))
    assert rod_wall.relax(free, most_sweeps=500, balance=0.0).at == pytest.approx(free.at, abs=1e-6)


def test_more_pull_never_makes_a_weaver_longer():
    lengths = [
        cases.crimp_and_bend(cases.at_rest(cases.half_wave(1.0, 0.4, 16, pull, 0.2)))[0]
        for pull in (0, 1, 4, 16, 64, 256)
    ]
    assert lengths == sorted(lengths, reverse=True)
