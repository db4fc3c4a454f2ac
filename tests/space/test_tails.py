"""Tails: what is cut is what is drawn and what is trimmed off, and until then they hang inside."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import basket_by_chance
from worked import planned, rested

from slype.design.file.reader import parse
from slype.draw.solid import solid_of, unpacked
from slype.errors import DesignError, Unweavable
from slype.lay.courses import courses_of
from slype.lay.joins import OVERLAP_MM
from slype.lay.laying import lay
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.plans import planning
from slype.rest.curves import all_curves
from slype.space.tails import left_hanging, tails_of, woven_lines
from slype.surface.woven import stacked_curves

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")
OF_A_SPACE, SHARE = 0.6, 0.001
"""How far a reed as drawn may be from what is cut: where it begins and ends, by less than a space of its band, for rows
are told in the mean; and a thousandth of its length."""


def long(line: np.ndarray) -> float:
    return float(np.sqrt((np.diff(line[:3]) ** 2).sum(axis=0)).sum())


def tails(laid, curves):
    order = moments(laid)
    woven = [curve for curve in curves if curve.role == "weaver" and not curve.of]
    lines = woven_lines(laid, woven, order)
    return order, woven, lines, tails_of(laid, woven, lines, order)


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_cut_is_what_is_drawn_and_what_is_trimmed_off(name):
    plan = planning.plan(rested(name).design, rested(name))
    _, woven, lines, found = tails(plan.laid, all_curves(plan.at_rest))
    cut, drawn = defaultdict(float), defaultdict(float)
    for strand in plan.strands:  # what an old reed reaches further than it must is cut off where it is joined
        joined = plan.joins[[band.index for band in plan.laid.bands].index(strand.band)].joins
        cut[strand.band] += strand.length_mm - sum(j.spare_mm for j in joined if j.weaver == strand.weaver)
    for course in plan.courses:  # and what a weaver has more than its last stroke takes, where it is ended
        for weaver, colours in enumerate(course.begins.colours):
            cut[course.bands[-1]] -= len(colours) * (course.last_mm - course.past_mm(weaver))
    for curve, line in zip(woven, lines, strict=True):
        drawn[curve.band] += long(line)
    for tail in found:
        drawn[tail.curve.band] += tail.trimmed_mm
    folded = [course.begins.index for course in courses_of(plan.laid) if course.folded]
    for band in plan.laid.bands:
        off = 2 * band.tail_mm if band.index in folded else 0.0  # a fold has no tips
        reeds = sum(curve.band == band.index for curve in woven)
        most = SHARE * cut[band.index] + OF_A_SPACE * reeds * float(band.spacing.mean())
        assert drawn[band.index] == pytest.approx(cut[band.index] - off, abs=most), band.index + 1
    assert sum(drawn.values()) == pytest.approx(sum(cut.values()), rel=0.002)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_moving_picture_holds_every_tail_from_when_it_is_left_until_all_are_trimmed(name):
    plan = planned(name)
    header, points, when = unpacked(solid_of(plan))
    order, _, lines, found = tails(plan.laid, stacked_curves(plan.laid))
    trim = int(np.flatnonzero(order.act == ACTS.index("trim"))[0])
    shown = {strand["name"]: strand for strand in header["strands"]}
    hanging = [each for each in header["strands"] if "tail left" in each["name"] and each["role"] == "weaver"]
    assert len(hanging) == len(found) > 10
    for tail in found:
        strand = shown[f"{tail.curve.name}, tail left at its {'end' if tail.at_end else 'start'}"]
        line = points[strand["first"] : strand["first"] + strand["count"]]
        assert long(line.T) == pytest.approx(tail.trimmed_mm, rel=0.05)
        own = shown[tail.curve.name]
        last = own["first"] + (own["count"] - 1 if tail.at_end else 0)
        np.testing.assert_allclose(line[0], points[last], atol=0.02)
        laid_at = when[strand["first"]]
        assert laid_at == np.ceil(when[last]) and trim < strand["until"] < trim + 1
        # A weaver's tail lies inside: nearer to the middle than the wall, or above the base.
        if tail.curve.where == "side" and plan.design.form.is_round:
            assert np.hypot(*line[-1, :2]) < np.hypot(*line[0, :2]) - 2
        elif tail.curve.where == "base":
            assert line[-1, 2] > line[0, 2] + 2
    assert len(lines) >= len(found) / 2


@settings(max_examples=40)
@given(st.integers(0, 10_000))
def test_every_weaver_that_is_set_in_or_ended_leaves_a_tail_of_the_length_the_gauge_says(seed):
    try:
        laid = lay(parse(basket_by_chance(seed), "chance"))
        order, _, _, found = tails(laid, stacked_curves(laid))
    except (DesignError, Unweavable):
        return
    strands = {band.index: band.band.strands for band in laid.bands}
    tips = sum(strands[key[0]] for key in order.by_weaver if key[3] in ("set in", "end"))
    folded = 2 if any(course.folded for course in courses_of(laid)) else 0
    assert len(found) == tips - folded
    for tail in found:
        band = next(each for each in laid.bands if each.index == tail.curve.band)
        assert tail.left_mm == band.tail_mm
        assert tail.rests_mm + tail.trimmed_mm == pytest.approx(max(tail.left_mm, tail.rests_mm))
    for tube, appears, vanishes in left_hanging(laid, found, order):
        assert appears < vanishes and np.isfinite(tube.points).all()


def test_a_join_leaves_two_tails_that_share_the_overlap():
    plan = planning.plan(rested("quayside").design, rested("quayside"))
    _, _, _, found = tails(plan.laid, all_curves(plan.at_rest))
    joined = [tail for tail in found if tail.left_mm == OVERLAP_MM / 2]
    joins = sum(len(planned_.joins) * plan.laid.bands[i].band.strands for i, planned_ in enumerate(plan.joins))
    assert len(joined) == pytest.approx(2 * joins, abs=4)
    assert all(0 < tail.rests_mm < OVERLAP_MM for tail in joined)
