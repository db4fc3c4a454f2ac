"""What a count of ends allows is one rule: the file is refused for it, and so is a design tried on that count."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import basket

from slype.design.counts import check_counts, sets_that_fit
from slype.design.file.reader import parse
from slype.errors import DesignError

ROUND = """\
[basket]
title = "Tried on other counts"
[spokes]
reed = "round 5"
ends = {ends}
[form]
base = "6 in"
wall = [["0 in", "6 in"], ["5 in", "8 in"]]
[base]
{base}
[[band]]
where = "base"
weave = "pairing"
reed = "round 3"
groups = {group}
until = "6 in"
[[band]]
where = "side"
weave = "three-rod wale"
reed = "round 3"
start = {start}
blocks = {{ rows = 3, shift = {shift} }}
rows = 6
[border]
kind = "three-rod plain"
"""
BASES = ("", 'kind = "pierced cross"\nthrough = 6', 'kind = "interlaced"\nsets = 2')


@settings(max_examples=120, deadline=None)
@given(
    ends=st.integers(8, 40),
    other=st.integers(8, 40),
    group=st.sampled_from((1, 2, 4, 30)),
    start=st.integers(1, 40),
    shift=st.integers(0, 20),
    base=st.sampled_from(BASES),
)
def test_a_design_on_another_count_is_refused_where_its_file_would_be(ends, other, group, start, shift, base):
    def text(count):
        return ROUND.format(ends=count, group=group, start=start, shift=shift, base=base)

    try:
        design = parse(text(ends))
    except DesignError:
        return
    moved = replace(design, spokes=replace(design.spokes, ends=other))
    try:
        parse(text(other))
        refused = None
    except DesignError as trouble:
        refused = trouble
    if refused is None:
        check_counts(moved)
        return
    with pytest.raises(DesignError) as tried:
        check_counts(moved)
    assert tried.value.remedy and tried.value.where  # of several faults either may be told first


def test_equal_sets_each_way_share_all_sticks_out():
    for ends in range(3, 120):
        for sets in sets_that_fit(ends):
            assert ends % 2 == 0 and (ends // 2) % (2 * sets) == 0 and ends // 2 // sets >= 4


def test_a_whole_basket_that_was_read_passes_all_rules():
    check_counts(basket())
