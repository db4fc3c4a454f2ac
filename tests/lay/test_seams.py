"""Where bands meet and reeds run out: what is told agrees with what the trace lays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from places import EXAMPLES
from strategies import basket

from slype.design.file.reader import load
from slype.design.values import arms, group_sizes
from slype.errors import Unweavable
from slype.lay.courses import courses_of
from slype.lay.laying import lay
from slype.plans import planning

PAIRING = """[[band]]
weave = "pairing"
reed = "round 3"
colours = ["rust", "sand"]
rows = {}
"""
TWO = ["rust", "sand"]


@pytest.mark.parametrize(("ends", "rows", "on"), [(24, 5, True), (25, 4, True), (25, 5, False)])
def test_weavers_go_on_only_where_they_stand_as_they_began(ends, rows, on):
    plan = planning.plan(basket(ends=ends, weave="pairing", colours=TWO, rows=rows, after=PAIRING.format(4)))
    assert [course.bands for course in plan.courses] == ([(0, 1)] if on else [(0,), (1,)])


@given(st.integers(12, 40), st.integers(1, 9), st.integers(1, 9))
def test_a_band_that_goes_on_lays_what_one_long_band_would(ends, below, above):
    plan = planning.plan(basket(ends=ends, weave="pairing", colours=TWO, rows=below, after=PAIRING.format(above)))
    assume(len(plan.courses) == 1)
    first, second = plan.laid.bands
    (whole,) = lay(basket(ends=ends, weave="pairing", colours=TWO, rows=below + above)).bands
    (_, long), (_, start), (_, rest) = whole.traces()[0], first.traces()[0], second.traces()[0]
    assert np.array_equal(long.weaver, np.r_[start.weaver, rest.weaver])
    assert np.array_equal(long.spoke, np.r_[start.spoke, rest.spoke])
    assert np.array_equal(long.row, np.r_[start.row, rest.row + below])


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_a_weaver_is_as_uncertain_as_the_bands_it_weaves(path):
    """The ranges of all starts of a band, one after the other, are the band's own; of several bands they add up."""
    laid = planning.plan(load(str(path))).laid
    courses = courses_of(laid)
    for course in courses:
        low, high = course.woven_range_mm
        assert 0.5 * course.woven_mm < low < course.woven_mm < high < 2 * course.woven_mm
    whole = [sum(each) for each in zip(*(course.woven_range_mm for course in courses), strict=True)]
    assert whole == pytest.approx([sum(each) for each in zip(*(b.woven_range_mm() for b in laid.bands), strict=True)])


@settings(max_examples=30)  # of 360; the longest wales take a second
@given(st.integers(3, 12), st.integers(2, 4), st.integers(1, 4), st.integers(1, 3))
def test_no_design_that_passes_wants_more_reed_than_a_taut_weaver_can_take(weavers, over, under, strands):
    free = f'turns = "round"\nstrands = {strands}'
    plan = planning.plan(basket(ends=29, weavers=weavers, over=over, under=under, band=free))
    if not any(found.rule.weight == "stop" for found in plan.advice):
        assert float(plan.laid.bands[0].take_up.max()) < 1.58


@pytest.mark.parametrize("weavers", [2, 3, 5, 6, 9])
def test_weavers_worked_a_round_at_a_time_are_no_longer_for_being_many(weavers):
    # Each follows the last round the basket, over 1 under 1, so each lies as a lone weaver would, but for its start.
    free = 'turns = "round"\nstrands = 3'
    one, many = (
        lay(basket(ends=29, weavers=k, over=1, under=1, reed="round 2", band=free)).bands[0] for k in (1, weavers)
    )
    assert many.take_up.max() == pytest.approx(one.take_up.max(), rel=0.05)


@given(st.integers(3, 400))
def test_the_arms_of_the_cross_hold_every_end(ends):
    held = arms(ends)
    assert sum(held) == ends and held[1] == held[3] and max(held) - min(held) <= 1
    # Arms across from each other are the two halves of the same sticks; only a half stick has no other half.
    assert held[0] - held[2] == ends % 2
    if ends >= 8 and ends % 4 < 2:
        assert held == group_sizes(ends, ends // 4)


def test_a_height_cannot_ask_for_more_rows_than_a_count_can():
    reed = "[reeds.thread]\nmm = 0.3"
    design = basket(
        rows=None, band='height = "118 in"', reed="thread", tail=reed, wall=[["0 in", "6 in"], ["118 in", "6 in"]]
    )
    with pytest.raises(Unweavable, match="would take"):
        planning.plan(design)
