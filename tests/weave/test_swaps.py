"""Checks: the shift that is offered swaps the colours, and none swaps more."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slype.advice.results import checks, columns_of
from slype.design.file.reader import parse
from slype.edit.apply import apply, blank
from slype.weave.swaps import best_shift, swaps


@pytest.mark.parametrize(
    ("colours", "shift"),
    [("AABB", 2), ("ABAB", 1), ("ABBA", 2), ("AAAB", 2), ("ABC", 1), ("AAABBB", 3), ("AAAA", 0), ("A", 0)],
)
def test_halves_change_places_by_half_and_alternating_colours_by_one(colours, shift):
    assert best_shift(colours) == shift


@given(st.lists(st.sampled_from("ABC"), min_size=1, max_size=8))
def test_no_shift_swaps_more_than_the_one_that_is_offered(colours):
    most = max((swaps(colours, shift) for shift in range(1, len(colours))), default=0)
    assert swaps(colours, best_shift(colours)) == most


@pytest.mark.parametrize("colours", [["natural", "fern"] * 2, ["natural"] * 2 + ["fern"] * 2])
def test_two_colours_in_checks_change_places_on_every_spoke(colours):
    design = parse(apply(blank(), [{"set": ["band", 4, "colours"], "to": colours}]).text)
    offered = checks(design, 4)
    assert {option.effect.block_rows for option in offered} >= {2, 3, 4}
    for option in offered:
        rows = option.effect.block_rows
        for column in columns_of(option.look.laid.bands[0]):
            assert len(set(column[:rows])) == 1, "upright lines within a check"
            below, above = column[0], column[rows]
            assert all(a != b for a, b in zip(below, above, strict=True)), option.words
