"""The order of work: what is laid when, and what is said of it."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import replace
from functools import partial
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from in_order import moments_of
from samples import BOARD
from strategies import any_weave, basket, turn_taking
from worked import rested

from slype.borders.rows import Border
from slype.borders.table import BORDERS
from slype.borders.work import work
from slype.design.file.reader import parse
from slype.export.promised import moments_json
from slype.lay.courses import goes_on
from slype.lay.laying import lay
from slype.order.kinds import ACTS, PARTS
from slype.order.moments import moments
from slype.order.times import standing, when, when_all
from slype.plans import planning
from slype.rest.curves import relaxed_curves
from slype.space.feet import foot_curves
from slype.space.tubes import all_reeds, tube, tubes
from slype.surface.curve import Curve
from slype.surface.woven import stacked_curves
from slype.tell.moments import sentences
from slype.weave.trace import BACK, CROSSING, FRONT


def timed(laid, curves=None):
    """(moments, tubes with their times)."""
    order = moments(laid)
    return order, tubes(laid, curves, partial(when, order))


def with_weave(weave, ends, rows=5, start=0, **more):
    """A basket whose one side band has this weave."""
    design = basket(ends=ends, base="14 in", reed="round 1", spoke="round 2", rows=rows, **more)
    band = replace(design.bands[0], weave=weave, strands=1, colours=("natural",), start=start % ends)
    return replace(design, bands=(band,))


def places(weaver, u, band=0, block=0, end=-1):
    """A curve of nothing but places round, to ask when they are laid."""
    u = np.asarray(u, float)
    role = "weaver" if weaver >= 0 else "border"
    return Curve(
        "",
        role,
        "side",
        "",
        1.0,
        u,
        np.zeros_like(u),
        np.zeros_like(u),
        band=band,
        block=block,
        weaver=weaver,
        strand=0,
        piece=0,
        end=end,
    )


# Strokes -------------------------------------------------------------------------------------------------------


@settings(max_examples=40)
@given(turn_taking(), st.integers(9, 40), st.integers(0, 60))
def test_a_row_of_weavers_that_take_turns_is_one_stroke_from_every_space(weave, ends, start):
    order = moments(lay(with_weave(weave, ends, 4, start)))
    mine = moments_of(order, 0)
    for row in range(4):
        here = mine[order.row[mine] == row]
        assert len(here) == ends
        assert (order.strokes[here] == ends).all()
        assert order.stroke[here].tolist() == list(range(ends))
        assert sorted(order.space[here].tolist()) == list(range(ends))
        # Each next stroke starts in the next space.
        assert ((np.diff(order.space[here]) - 1) % ends == 0).all()


@settings(max_examples=60)
@given(any_weave(), st.integers(9, 40), st.integers(0, 60))
def test_every_stroke_is_a_moment_and_passes_what_the_trace_says(weave, ends, start):
    assume(ends > weave.reach)
    laid = lay(with_weave(weave, ends, 4, start))
    order, t = moments(laid), laid.side[0].traces()[0][1]
    mine = moments_of(order, 0)
    assert len(mine) == t.stroke_count == laid.side[0].strokes
    assert (np.diff(mine) == 1).all()
    for moment, stroke in zip(mine.tolist(), np.unique(t.stroke), strict=True):
        here = t.stroke == stroke
        assert order.weaver[moment] == t.weaver[here][0]
        assert order.in_front(moment) == t.spoke[here & t.front].tolist()
        assert order.behind(moment) == t.spoke[here & ~t.front].tolist()
    assert (np.diff(order.row[mine]) >= 0).all()


@settings(max_examples=60)
@given(any_weave(), st.integers(9, 40), st.integers(0, 60))
def test_a_reed_is_seen_at_a_spoke_just_when_the_stroke_past_it_is_done(weave, ends, start):
    assume(ends > weave.reach)
    laid = lay(with_weave(weave, ends, 4, start))
    order, t = moments(laid), laid.side[0].traces()[0][1]
    _, number = np.unique(t.stroke, return_inverse=True)
    expected = moments_of(order, 0)[number]
    for weaver in range(t.weavers):
        mine = np.flatnonzero(t.weaver == weaver)
        times = when(order, places(weaver, t.trip[mine] * ends + t.spoke[mine] + 0.5))
        assert (times > expected[mine]).all(), "nothing is shown before its stroke"
        assert (times <= expected[mine] + 1).all(), "all is shown after it"


@settings(max_examples=60)
@given(any_weave(), st.integers(9, 30), st.integers(0, 60))
def test_what_lies_above_was_laid_later_but_on_the_fronts_of_a_rope(weave, ends, start):
    """The rule of order at the head of `weave.trace`, told with times instead of ranks."""
    assume(ends > weave.reach and weave.turns != "back")
    laid = lay(with_weave(weave, ends, 4, start))
    order, t = moments(laid), laid.side[0].traces()[0][1]
    sites = t.sites
    u = t.trip[sites.passage] * ends + t.spoke[sites.passage] + np.where(sites.kind == CROSSING, 0.0, 0.5)
    time = np.zeros(len(u))
    for weaver in range(t.weavers):
        mine = t.weaver[sites.passage] == weaver
        time[mine] = when(order, places(weaver, u[mine]))
    pairs = np.flatnonzero(np.diff(sites.column) == 0)  # a strand, and the one directly above it
    later_above = time[pairs + 1] > time[pairs]
    trip = t.trip[sites.passage]
    same_trip = trip[pairs] == trip[pairs + 1]
    rope = (weave.turns == "stroke") & same_trip
    assert later_above[~rope].all()
    for kind in (FRONT, BACK, CROSSING):
        here = rope & (sites.kind[pairs] == kind)
        passage, above = sites.passage[pairs][here], sites.passage[pairs + 1][here]
        backward = np.asarray(weave.reverse)[t.row % len(weave.reverse)]
        plain = ~backward[passage] & ~backward[above]  # where rows of both ways meet, each site has its own
        turned = backward[passage] & backward[above]
        said = later_above[here]
        assert (said[plain] == (kind != FRONT)).all()
        assert (said[turned] == (kind == FRONT)).all()


# The whole basket ----------------------------------------------------------------------------------------------


def test_every_point_has_its_time_and_none_comes_before_the_one_behind_it(laid):
    order, reeds = timed(laid)
    for reed in reeds:
        assert len(reed.when) == len(reed.points)
        assert 0 < reed.when[0] and reed.when[-1] <= len(order), reed.name
        assert (np.diff(reed.when) >= 0).all(), reed.name


def test_many_reeds_asked_at_once_are_laid_when_each_alone_is(laid):
    order = moments(laid)
    curves = [part for reed in all_reeds(laid, stacked_curves(laid)) for part in reed]
    alone = np.concatenate([when(order, curve) for curve in curves])
    np.testing.assert_allclose(when_all(order, curves), alone, rtol=0, atol=1e-9)
    assert {curve.role for curve in curves} >= {"weaver", "border", "spoke"}


def test_times_change_nothing_of_the_reeds(laid):
    for plain, reed in zip(tubes(laid), timed(laid)[1], strict=True):
        assert plain.when is None
        np.testing.assert_array_equal(plain.points, reed.points)
        assert (plain.name, plain.role, plain.band, plain.end) == (reed.name, reed.role, reed.band, reed.end)


def test_a_tube_runs_through_its_strokes_one_after_the_other(laid):
    """Chords between two strokes belong to the later one: no point has a time at which its weaver only waits."""
    order, reeds = timed(laid)
    for reed in reeds:
        if reed.role != "weaver":
            continue
        own = np.flatnonzero((order.band == reed.band) & (order.block == reed.block) & (order.weaver == reed.weaver))
        assert np.isin(np.ceil(reed.when - 1e-9) - 1, own).all(), reed.name


def test_every_reed_knows_which_it_is(laid):
    order, reeds = timed(laid)
    weavers = {(r.band, r.block, r.weaver) for r in reeds if r.role == "weaver"}
    assert weavers == {key[:3] for key in order.by_weaver if key[3] == "stroke"}
    for role in ("border", "spoke"):
        assert {r.end for r in reeds if r.role == role} == set(range(laid.design.spokes.ends))
    assert all((r.end < 0) == (r.role == "weaver") and (r.band < 0) == (r.role != "weaver") for r in reeds)


def test_both_hands_do_the_same_at_the_same_time(design):
    order, other = (timed(lay(replace(design, hand=hand))) for hand in ("right", "left"))
    for name in ("act", "band", "weaver", "row", "space", "over", "under", "end", "begin"):
        np.testing.assert_array_equal(getattr(order[0], name), getattr(other[0], name))
    for one, two in zip(order[1], other[1], strict=True):
        np.testing.assert_allclose(one.when, two.when)
        np.testing.assert_allclose(one.points * [-1, 1, 1], two.points, atol=1e-9)


def test_the_parts_follow_each_other_without_a_gap(laid):
    order = moments(laid)
    assert order.parts[0].first == 0 and order.parts[-1].beyond == len(order)
    assert all(a.beyond == b.first for a, b in pairwise(order.parts))
    keys = [PARTS.index(part.key) for part in order.parts]
    assert keys == sorted(keys)
    assert [part.band for part in order.parts if part.band is not None] == [band.index for band in laid.bands]
    for i, part in enumerate(order.parts):
        assert (order.part[part.first : part.beyond] == i).all()


def test_nothing_is_woven_up_the_wall_before_the_spokes_are_turned_up(laid):
    order, reeds = timed(laid)
    turned = next(part for part in order.parts if part.key == "turn")
    for reed in reeds:
        up = reed.points[:, 2] > laid.design.spokes.reed.diameter_mm * (0.6 if reed.role == "spoke" else 2)
        assert (reed.when[up] > turned.first).all(), reed.name
        if reed.role == "weaver" and up.any():
            assert reed.when[up].min() > turned.beyond, reed.name


def test_a_stick_is_laid_at_once_from_end_to_end_and_each_end_once(laid):
    order = moments(laid)
    ends = [end for stick in order.stick_ends for end in stick]
    assert sorted(ends) == list(range(laid.design.spokes.ends_at_base))
    assert sum(len(stick) == 1 for stick in order.stick_ends) == len(ends) % 2


def test_the_two_ends_of_a_stick_lie_on_one_line(laid):
    reeds = {r.end: r for r in tubes(laid) if r.role == ("stick" if laid.design.spokes.inserted else "spoke")}
    for stick in moments(laid).stick_ends:
        if len(stick) == 2:
            one, other = (reeds[end].points[0] for end in stick)
            step = laid.design.spokes.stick_reed.diameter_mm
            assert np.linalg.norm(one - other) < 0.6 * step, stick


def test_weavers_are_set_in_and_ended_but_where_the_next_band_goes_on_with_them(laid):
    order = moments(laid)
    for i, band in enumerate(laid.bands):
        count, blocks = len(band.colours), len(band.segments)
        before = i > 0 and goes_on(laid.bands[i - 1], band)
        after = i + 1 < len(laid.bands) and goes_on(band, laid.bands[i + 1])
        mine = order.act[order.band == band.index]
        assert (mine == ACTS.index("set in")).sum() == count * (blocks - before)
        assert (mine == ACTS.index("end")).sum() == count * (blocks - after)


def test_a_basket_at_rest_has_the_same_times():
    at_rest = rested("posy")
    order, reeds = timed(at_rest.laid, relaxed_curves(at_rest))
    pieces = {}
    for reed in reeds:
        assert 0 < reed.when[0] and reed.when[-1] <= len(order) and (np.diff(reed.when) >= 0).all(), reed.name
        if reed.role == "weaver":
            pieces.setdefault((reed.band, reed.block, reed.weaver, reed.strand), []).append(reed)
    assert any(len(cut) > 1 for cut in pieces.values()), "some weaver is joined"
    stacked = {(r.band, r.block, r.weaver): r for r in timed(at_rest.laid)[1] if r.role == "weaver"}
    for key, cut in pieces.items():
        assert [reed.piece for reed in cut] == list(range(len(cut)))
        assert all(a.when[-1] < b.when[-1] and a.when[0] < b.when[0] for a, b in pairwise(cut))
        assert np.ceil(cut[0].when[0]) == np.ceil(stacked[key[:3]].when[0])
        assert np.ceil(cut[-1].when[-1]) == np.ceil(stacked[key[:3]].when[-1])


def test_a_board_has_its_holes_filled_and_its_foot_worked_first():
    laid = lay(parse(BOARD))
    order, reeds = timed(laid)
    assert [part.key for part in order.parts] == ["board", "side", "border", "trim"]
    assert (order.act == ACTS.index("foot")).sum() == 2 * laid.design.spokes.ends
    assert all((np.diff(reed.when) >= 0).all() and reed.when[-1] <= len(order) for reed in reeds)
    assert sentences(laid.design, laid, order)[39].endswith(
        "bend spoke 1 down toward the right, behind spoke 39, and leave it outside."
    )
    below = [tube(laid, each, partial(when, order)) for each in foot_curves(laid) if each.name.startswith("foot end")]
    holes = np.array([tube(laid, each).points[-1, :2] for each in foot_curves(laid) if "through" in each.name])
    begun = sorted(below, key=lambda reed: float(reed.when[0]))
    nearest = [int(np.linalg.norm(holes - reed.points[0, :2], axis=1).argmin()) + 1 for reed in begun]
    assert nearest == [1, *range(laid.design.spokes.ends, 1, -1)], "turned over, the next one to the right is the last"


def test_an_oval_is_laid_long_sticks_first():
    wall = [["0 in", "11 in", "6 in"], ["3 in", "12 in", "7 in"]]
    laid = lay(basket(ends=36, base=["11 in", "6 in"], wall=wall, before='outline = "oval"'))
    order, reeds = timed(laid)
    assert sorted(end for stick in order.stick_ends for end in stick) == list(range(36))
    first = {r.end: r.points[0] for r in reeds if r.role == "spoke"}
    for stick in order.stick_ends:
        assert np.linalg.norm(first[stick[0]] - first[stick[1]]) < 0.6 * laid.design.spokes.reed.diameter_mm
    said = sentences(laid.design, laid, order)
    flat = [" flat: " in line for line in said[: len(order.stick_ends)]]
    assert flat == sorted(flat, reverse=True) and 0 < sum(flat) < len(flat)
    # Long ones first: their ends come out at the two round ends of the base, where x is largest.
    edge = {r.end: np.abs(r.points[np.hypot(*r.points[:, :2].T).argmax(), :2]) for r in reeds if r.role == "spoke"}
    straight = (laid.design.form.base_length_mm - laid.design.form.base_width_mm) / 2
    assert flat == [edge[stick[0]][0] > straight * 1.1 for stick in order.stick_ends]


# Border --------------------------------------------------------------------------------------------------------


def borders_of_the_trade():
    return [pytest.param(kind.border, id=name) for name, kind in BORDERS.items()]


@pytest.mark.parametrize("border", borders_of_the_trade())
def test_a_border_is_worked_in_its_own_order(border: Border):
    ends = 2 * border.smallest_ends + 6
    laid = lay(replace(basket(ends=ends, base="20 in", reed="round 1", spoke="round 2"), border=border))
    order, reeds = timed(laid)
    passes = [p for moment in sorted(order.passes) for p in order.passes[moment]]
    assert passes == list(work(border, ends).passes)
    of_border = np.flatnonzero(order.act == ACTS.index("border"))
    assert (np.diff(of_border) == 1).all() and len(of_border) == len(order.passes)
    # A moment is one end's: nobody leads two at a time, and no end is led twice running in one row.
    assert all(len({(p.end, p.stage) for p in move}) == 1 for move in order.passes.values())
    for end in range(ends):
        mine = [(m, p) for m in order.by_end["border", end].tolist() for p in order.passes[m]]
        if len({m for m, _ in mine}) > 1:
            times = when(order, places(-1, [end + p.step + 0.5 for _, p in mine], end=end))
            assert [int(t) for t in np.ceil(times) - 1] == [m for m, _ in mine]
    for reed in reeds:
        assert (np.diff(reed.when) >= 0).all() and reed.when[-1] <= len(order), reed.name


def test_an_end_stands_until_the_border_takes_it(laid):
    order, reeds = timed(laid)
    first = {reed.end: reed.when[0] for reed in reversed(reeds) if reed.role == "border"}
    stands = defaultdict(list)
    for one in standing(laid, order):
        stands[one.curve.upright].append(one)
    assert len(stands) == laid.design.spokes.ends * laid.design.spokes.per_end
    for own, places in stands.items():
        spoke = next(reed for reed in reeds if reed.upright == own)
        assert spoke.when[-1] == places[0].appears
        for one in places:  # straight, or as hands hold it
            upright = tube(laid, one.curve)
            assert np.linalg.norm(upright.points[0] - spoke.points[-1]) < 0.05
            assert np.linalg.norm(np.diff(upright.points, axis=0), axis=1).sum() == pytest.approx(
                laid.border.length_mm, rel=0.02
            )
            assert one.appears <= one.vanishes
        assert all(0 < b.appears - a.vanishes < 0.01 for a, b in pairwise(places))
        assert places[-1].vanishes == np.ceil(first[own[1]]) - 1


# In words ------------------------------------------------------------------------------------------------------


def test_the_promised_form_holds_the_same(design):
    plan = planning.plan(design)
    m = moments(plan.laid)
    form = json.loads(json.dumps(moments_json(plan, plan.laid, m)))
    assert form["moments"] == len(m) == len(form["act"]) == len(form["space"])
    assert form["parts"][0]["first"] == 1 and form["parts"][-1]["last"] == len(m)
    for number in range(1, len(m) + 1, 7):
        i = number - 1
        if form["acts"][form["act"][i]] == "stroke":
            steps = [(form["space"][i] - 1 + k) % form["spaces"][i] for k in range(form["over"][i] + form["under"][i])]
            assert steps == m.in_front(i) + m.behind(i)
        if str(number) in form["border"]:
            assert [abs(p) - 1 for p in form["border"][str(number)] if p > 0] == m.in_front(i)
    assert len(form["joins"]) == len(plan.all_joins)
    assert len(stacked_curves(plan.laid)) > 0
