"""An end of a border is drawn as long as it is cut: woven down, then what stands out until it is trimmed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from strategies import basket_text
from worked import bordered, example, rested

from slype.borders.rows import FINGERS, TAIL, trimmed_on
from slype.borders.table import BORDERS
from slype.design.file.reader import parse
from slype.draw.solid import solid_of, unpacked
from slype.lay.laying import lay
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.plans import planning
from slype.rest.curves import all_curves
from slype.rest.relax import relax
from slype.space.tails import border_tails, left_hanging, woven_lines
from slype.surface.woven import stacked_curves

AS_CUT = 0.01
"""How far the length of an end as drawn may be from its cut: at rest ends give way a little after their arches are
fitted to it, and points of a picture are chords."""
AS_RECKONED = 2.9
"""How many thicknesses more than reckoned may stand out past the last spoke: low borders take less of an end than
stands for the first bend and for changing sides, high ones a little more (measured over the whole table, on walls of
5.9 to 6.3 inches)."""
CLOSED = [kind for kind in BORDERS.values() if not kind.border.is_open]
BYE_SPOKES = '[bye_spokes]\nreed = "round 3"\nfrom = "base"\nto = "border"'
OPEN = [kind for kind in BORDERS.values() if kind.border.is_open]


def long(line):
    return float(np.sqrt((np.diff(line[:3]) ** 2).sum(axis=0)).sum())


def ends_of(laid, curves):
    """(curves, lines, what is trimmed off) of the ends of a border, and what hangs as tubes by the end's name."""
    order = moments(laid)
    ends = [curve for curve in curves if curve.role == "border" and not curve.of]
    lines = woven_lines(laid, ends, order)
    found = border_tails(laid, ends, lines)
    return ends, lines, found, {tube.of_reed: tube for tube, *_ in left_hanging(laid, found, order)}


def drawn_whole(laid, curves):
    """mm of every end, by its name, with all that hangs from it."""
    ends, lines, _, hangs = ends_of(laid, curves)
    return {
        curve.name: long(line) + (long(hangs[curve.name].points.T) if curve.name in hangs else 0.0)
        for curve, line in zip(ends, lines, strict=True)
    }


def basket(kind):
    return replace(parse(basket_text(ends=24, base="6 in")), border=kind.border)  # those of a foot too


@pytest.mark.parametrize("kind", BORDERS.values(), ids=lambda kind: kind.name)
def test_every_end_is_drawn_as_long_as_it_is_cut(kind):
    laid = lay(basket(kind))
    drawn = drawn_whole(laid, stacked_curves(laid))
    assert len(drawn) == 24
    for name, mm in drawn.items():
        assert mm == pytest.approx(laid.border.length_mm, rel=AS_CUT), name


@pytest.mark.parametrize("kind", BORDERS.values(), ids=lambda kind: kind.name)
def test_at_rest_too_and_no_more_stands_out_than_was_reckoned_for_tail_and_fingers(kind):
    rest = bordered(kind.name)
    laid, curves = rest.laid, all_curves(rest)
    for name, mm in drawn_whole(laid, curves).items():
        assert mm == pytest.approx(laid.border.length_mm, rel=AS_CUT), name
    _, _, found, _ = ends_of(laid, curves)
    assert len(found) == (0 if kind.border.is_open else 24)
    thick = laid.design.spokes.reed.diameter_mm
    past = [tail.left_mm / thick - FINGERS - TAIL for tail in found]
    assert all(-AS_RECKONED < each < AS_RECKONED for each in past), (min(past), max(past))


@pytest.mark.parametrize("kind", ["two-row", "three-row", "three-rod plain", "rope"])
@pytest.mark.parametrize("doubled", [{"spokes": "per_end = 2"}, {"after": BYE_SPOKES}])
def test_both_reeds_of_a_doubled_end_too_stacked_and_at_rest(kind, doubled):
    rest = relax(parse(basket_text(ends=24, base="6 in", kind=kind, **doubled)))
    assert "border" in rest.parts
    for laid, curves in ((rest.stacked, stacked_curves(rest.stacked)), (rest.laid, all_curves(rest))):
        drawn, hair = drawn_whole(laid, curves), AS_CUT * laid.border.length_mm
        assert len(drawn) == 48
        for name, mm in drawn.items():  # what would stand out by less than its own thickness is not drawn
            assert -hair < laid.border.length_mm - mm < hair + laid.design.border_reed_mm, name


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_the_ends_of_the_examples_and_of_an_oval_one_too(name):
    plan = planning.plan(rested(name).design, rested(name))
    for end, mm in drawn_whole(plan.laid, all_curves(plan.at_rest)).items():
        assert mm == pytest.approx(plan.laid.border.length_mm, rel=AS_CUT), end


@pytest.mark.parametrize("kind", OPEN, ids=lambda kind: kind.name)
def test_the_arches_of_an_oval_basket_are_as_long_as_they_are_cut_and_pushed_well_in(kind):
    laid = lay(replace(example("saltmarsh"), border=kind.border))
    curves = [curve for curve in stacked_curves(laid) if curve.role == "border"]
    if kind.border.reach < 3:  # wider arches on the bends of an oval take nearly all of their ends
        for mm in drawn_whole(laid, curves).values():
            assert mm == pytest.approx(laid.border.length_mm, rel=AS_CUT)
    assert min(laid.top_s - curve.s.min() for curve in curves) > 12


@pytest.mark.parametrize(
    "name", ["three-row", "three-row, tips in", "trac over 1, behind 1", "one-row", "three-rod plain"]
)
def test_the_moving_picture_holds_every_tail_on_its_side_from_its_last_move_until_all_are_trimmed(name):
    plan = planning.plan(basket(BORDERS[name]))
    header, points, when = unpacked(solid_of(plan))
    order = moments(plan.laid)
    trim = int(np.flatnonzero(order.act == ACTS.index("trim"))[0])
    shown = {strand["name"]: strand for strand in header["strands"]}
    tails = [each for each in header["strands"] if each["role"] == "border" and "tail left" in each["name"]]
    assert len(tails) == plan.design.top_ends
    for tail in tails:
        own = shown[tail["name"].split(",")[0]]
        line = points[tail["first"] : tail["first"] + tail["count"]]
        np.testing.assert_allclose(line[0], points[own["first"] + own["count"] - 1], atol=0.02)
        last_move = order.by_end["border", own["end"]][-1]
        assert when[tail["first"]] == last_move + 1 and trim < tail["until"] < trim + 1
        away = np.hypot(*line[-1, :2]) - np.hypot(*line[0, :2])
        assert (away > 2) if trimmed_on(plan.design.border) == "outside" else (away < -2)
