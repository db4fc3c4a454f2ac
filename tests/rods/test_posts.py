"""Posts bow as beams do by the textbook, groups as one, rings hold them, and rods lie against them where they stand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from strategies import basket
from worked import rested

from slype.lay import laying
from slype.rest import posts as rest_posts
from slype.rest import reeds
from slype.rest.relax import relax
from slype.rods import posts as rod_posts
from slype.rods import wall as rod_wall
from slype.rods.posts import PARTS, Bowing, Posts
from slype.rods.working import Known
from slype.surface.standing import spoke_curves

LONG, STIFF, FORCE = 160.0, 5.0, 0.02


def standing(ends=8, many=1, slope=0.0, ring=0.0, bind=0.0):
    """Ends that stand alike, with a node of a rod before each of their groups."""
    first = np.arange(0, ends, many)
    nodes = len(first)
    every = np.zeros(nodes)
    return Posts(ends, 0.0, first, np.full(nodes, many), first + many / 2, np.full((ends, PARTS), STIFF),
                 np.full(ends, slope), every + ring, every + bind, np.zeros(nodes, np.int64), LONG)  # fmt: skip


def bent(posts, push, at=0.5, steps=1, give=0.0):
    """How far each end stands aside at that share of its length, once bent so often by such pushes."""
    bowing = Bowing(posts, np.full(len(posts.first), give))
    s = np.full(len(posts.first), at * LONG)
    for _ in range(steps):
        bowing.bend(s, np.broadcast_to(push, s.shape).astype(float))
    return bowing


# From memory, tables of beams as in Gere and Timoshenko, Mechanics of Materials, or Roark.


def test_a_post_pushed_in_the_middle_bows_as_a_beam_held_at_one_end_and_propped_at_the_other(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    bowing = bent(standing(), FORCE)
    propped = 7 * FORCE * LONG**3 / (768 * STIFF)
    assert bowing.bow().mm(np.array([LONG / 2]))[:, 0] == pytest.approx(np.full(8, propped), rel=1e-6)


def test_in_the_slope_of_a_beam_on_two_supports_it_bows_as_such_a_beam(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    bowing = bent(standing(slope=FORCE * LONG**2 / (16 * STIFF)), FORCE)
    assert bowing.bow().mm(np.array([LONG / 2]))[0, 0] == pytest.approx(FORCE * LONG**3 / (48 * STIFF), rel=1e-6)


def test_pushed_alike_all_along_it_bows_most_where_the_table_says(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    places = (np.arange(400) + 0.5) / 400 * LONG
    one = np.zeros(400)
    posts = Posts(3, 0.0, one.astype(int), one.astype(int) + 1, one + 0.5, np.full((3, PARTS), STIFF), np.zeros(3), one,
                  one, one.astype(int), LONG)  # fmt: skip
    bowing = Bowing(posts, one)
    bowing.bend(places, np.full(400, FORCE / 400))
    s = np.linspace(0.0, LONG, 2001)
    mm = bowing.bow().mm(s)
    assert mm[0].max() == pytest.approx(FORCE * LONG**3 / (185 * STIFF), rel=2e-3)  # the table's own digits
    assert 1 - s[mm[0].argmax()] / LONG == pytest.approx((1 + math.sqrt(33)) / 16, abs=2e-3)
    assert np.abs(mm[1:]).max() < 1e-9  # nobody pushes the others


def test_pushes_that_cancel_on_one_post_bow_nothing():
    one = np.zeros(2, np.int64)
    none = np.zeros(2)
    posts = Posts(3, 0.0, one, one + 1, one + 0.5, np.full((3, PARTS), STIFF), np.zeros(3), none, none, one, LONG)
    bowing = Bowing(posts, 0.0 * one)
    bowing.bend(np.full(2, LONG / 3), np.array([FORCE, -FORCE]))
    assert np.abs(bowing.at).max() < 1e-12


def test_rods_that_give_say_how_many_steps_it_takes_and_not_where_it_leads(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    by_turns = FORCE * (-1.0) ** np.arange(8)  # each against its neighbours: nothing else holds these
    give = 0.1 * STIFF / LONG**3
    found = bent(standing(), by_turns, steps=60, give=give).bow().mm(np.array([LONG / 2]))[:, 0]
    first = bent(standing(), by_turns, give=give).bow().mm(np.array([LONG / 2]))[:, 0]
    propped = 7 * by_turns * LONG**3 / (768 * STIFF)
    assert found == pytest.approx(propped, rel=1e-4)
    assert np.abs(first).max() < 0.98 * np.abs(propped).max()


def test_a_group_bows_as_one_with_the_stiffness_of_all_its_ends(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    push = np.array([FORCE, -FORCE])
    mm = bent(standing(many=4, bind=100.0), push, steps=20).bow().mm(np.array([LONG / 2]))[:, 0]
    alone = 7 * FORCE / 4 * LONG**3 / (768 * STIFF)
    assert mm == pytest.approx(np.repeat([alone, -alone], 4), rel=1e-6)


def test_ends_of_a_group_that_would_part_are_held_together_by_what_lies_round_it(monkeypatch):
    monkeypatch.setattr(rod_posts, "FURTHEST", np.inf)
    first, many = np.array([*range(0, 8, 4), *range(8)]), np.array([4, 4, *[1] * 8])
    push, s = np.r_[0.0, 0.0, FORCE * (-1.0) ** np.arange(8)], np.full(10, LONG / 2)

    def spread(bind):
        posts = Posts(8, 0.0, first, many, first + many / 2, np.full((8, PARTS), STIFF), np.zeros(8), np.zeros(10),
                      np.where(many > 1, bind, 0.0), np.where(many > 1, 1, 0), LONG)  # fmt: skip
        bowing = Bowing(posts, np.zeros(10))
        for _ in range(20):
            bowing.bend(s, push)
        return np.ptp(bowing.bow().mm(s[:1]))

    assert spread(100.0) < 0.01 * spread(0.0)


def test_a_rod_over_even_supports_is_as_stiff_as_the_spline_through_them():
    ends = 12
    # Second opinion: slopes (ends,) of beams of length 1 end to end that resist least, their ends given.
    for wave in range(ends // 2 + 1):
        up = np.cos(2 * np.pi * wave * np.arange(ends) / ends)
        slopes = np.zeros((ends, ends))
        pull = np.zeros(ends)
        for k in range(ends):
            n = (k + 1) % ends
            slopes[k, k] += 4
            slopes[n, n] += 4
            slopes[k, n] += 2
            slopes[n, k] += 2
            pull[[k, n]] += 6 * (up[n] - up[k])
        t = np.linalg.solve(slopes, pull)
        force = np.zeros(ends)
        for k in range(ends):
            n = (k + 1) % ends
            shear = 12 * (up[k] - up[n]) + 6 * (t[k] + t[n])
            force[k] += shear
            force[n] -= shear
        assert force == pytest.approx(float(rod_posts._across(np.array([wave / ends]))[0]) * up, abs=1e-9)


def test_a_ring_is_held_by_the_pull_that_draws_a_woven_reed_straighter():
    # From in front of one end, along the wall, to behind the next, 1 away and 1 deeper: the beam under a pull in closed
    # form; its length beyond 1 and how it falls with the pull.
    def more(k):
        x = np.linspace(0.0, 1.0, 20_001)
        slope = np.cosh(k / 2) - np.cosh(k * (x - 0.5))
        slope /= np.trapezoid(slope, x)
        return np.trapezoid(slope**2, x) / 2

    falls = (more(0.1) - more(0.2)) / (0.2**2 - 0.1**2)
    assert 1 / falls == pytest.approx(rod_posts.RING, rel=0.01)


def test_posts_that_nobody_has_pushed_yet_stand_straight():
    posts = standing()
    assert not Bowing(posts, posts.ring).bow().mm(np.linspace(0.0, LONG, 5)).any()


# In a wall of reeds ----------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def tall():
    design = basket(ends=24, rows=40, reed="round 3", base="6 in", weave="pairing")
    laid = laying.lay(design)
    built = reeds.build(laid, "side", ())
    soft = rest_posts.with_posts(laid, built, None)
    more = {"most_sweeps": 1500, "overlap": 0.005, "balance": 0.5, "friction": 0.2}
    return soft, rod_wall.relax(soft.wall, **more), rod_wall.relax(built.wall, **more)


def test_reeds_lie_against_their_spokes_where_these_stand_bowed(tall):
    built, rest, _ = tall
    wall = built.wall
    stands = rest.bow.mm(rest.at[:, 0])[wall.posts.first, np.arange(wall.nodes)]
    off = wall.post_side * (rest.at[:, 1] - stands) - wall.post_clear
    on = wall.post_side != 0
    assert rest.done
    assert off[on].min() > -0.02
    pressing = on & (rest.post_force > 1e-3 * rest.post_force.max())
    assert np.median(np.abs(off[pressing])) < 0.02


def test_spokes_of_a_tub_that_are_set_straight_again_come_to_bow_as_they_did():
    part = rested("quayside").parts["side"]
    wall, rest = part.built.wall, part.laid or part.rest
    assert rest.bow.left <= rod_wall.STILL
    known = Known(rest.contacts, rest.push, np.arange(wall.nodes), rest.post_push)
    on = rod_wall.relax(replace(wall, at=rest.at, order_at=wall.order), 100, 0.0, 0.0, known=known)
    s = np.linspace(rest.bow.low, rest.bow.top, 60)
    before, after = rest.bow.mm(s), on.bow.mm(s)
    assert np.median(rest.bow.most()) > 0.3  # the tall walls of a tub bow most
    assert np.median(np.abs(after - before).max(axis=1)) < 0.5 * np.median(rest.bow.most())
    assert np.corrcoef(before.ravel(), after.ravel())[0, 1] > 0.8


def test_bowed_spokes_hardly_change_how_high_rows_lie(tall):
    _, rest, hard = tall
    assert hard.bow is None and hard.done
    assert rest.at[:, 0].max() == pytest.approx(hard.at[:, 0].max(), rel=0.01)


def test_hard_posts_are_a_switch():
    design = basket(ends=21, rows=3, reed="round 3", base="5 in", weave="pairing")
    soft, hard = relax(design), relax(design, by_hands=False)
    assert soft.parts["side"].rest.bow is not None and "side" in soft.laid.bowed
    assert hard.parts["side"].rest.bow is None and not hard.laid.bowed


def test_spokes_are_drawn_as_they_stand_and_end_where_the_border_begins():
    at_rest = relax(basket(ends=24, rows=40, reed="round 3", base="6 in", weave="pairing"))
    bow = at_rest.parts["side"].rest.bow
    for curve in spoke_curves(at_rest.laid):
        there = np.interp(curve.s, np.linspace(0, bow.top, 400), bow.mm(np.linspace(0, bow.top, 400))[curve.end])
        low = curve.s < at_rest.laid.top_s - rest_posts.HELD_MM
        assert curve.n[low] == pytest.approx(there[low], abs=0.02)
        assert curve.n[-1] == pytest.approx(0.0, abs=0.002)
    assert max(np.abs(curve.n).max() for curve in spoke_curves(at_rest.laid)) > 0.01
