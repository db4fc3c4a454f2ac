"""What each count gives: the lines a maker chooses by, against the shift rule and against every order tried by hand."""

from __future__ import annotations

from itertools import permutations

import pytest

from slype.errors import DesignError
from slype.weave.counts import orders_of, summary, what_counts_give
from slype.weave.table import WEAVES, free_weave

TURN_TAKING = [weave for weave in WEAVES.values() if weave.turns == "stroke" and weave.weavers == weave.reach]


@pytest.mark.parametrize("weave", TURN_TAKING, ids=lambda weave: weave.name)
def test_the_reason_given_is_the_remainder_of_the_count(weave):
    colours = ("dark",) + ("light",) * (weave.weavers - 1)
    lines = what_counts_give(weave, range(20, 33), colours)
    assert len(lines) == 13
    for line in lines:
        left = line.ends % weave.reach
        assert line.outside.shift_per_row == left
        times, told = divmod(line.ends, weave.reach)[0], left or "nothing"
        assert line.why.startswith(f"{line.ends} ÷ {weave.reach} = {times}, {told} left over:")
        assert (line.outside.effect == "upright lines") == (left == 0)
        assert ("falls on the one below, so colours stand upright" in line.why) == (left == 0)
        assert ("forward" in line.why) == (2 * left > weave.reach)


def test_a_count_too_small_for_the_stroke_says_what_it_takes():
    line = what_counts_give(WEAVES["six-rod wale"], range(5, 6), ("dark",))[0]
    assert line.outside is None and not line.holds
    assert line.why.startswith("too few: ") and "needs 7 or more" in line.why


def test_groups_are_counted_as_what_the_weaver_passes():
    colours = ("a", "a", "b", "c")
    (line,) = what_counts_give(WEAVES["four-rod wale"], [24], colours, spaces=lambda ends: ends // 4)
    assert line.why.startswith("24 ends make 6 groups; 6 ÷ 4 = 1, 2 left over")


@pytest.mark.parametrize("colours", ["ab", "aab", "aabc", "abab", "abcd", "aabbc", "abcde", "aaaa"])
def test_orders_are_all_those_that_turning_the_ring_does_not_make_alike(colours):
    weave = free_weave(((len(colours) - 1, 1),), len(colours))
    rings = {min(order[k:] + order[:k] for k in range(len(order))) for order in permutations(colours)}
    found = list(orders_of(tuple(colours), weave))
    assert len(found) == len(rings)
    assert found[0] == tuple(colours), "the order that was asked about comes first"
    assert {min(order[k:] + order[:k] for k in range(len(order))) for order in found} == rings


def test_strands_of_one_weaver_are_not_parted_by_turning_the_ring():
    slewing = WEAVES["slewing"]
    assert list(orders_of(("a", "b"), slewing)) == [("a", "b"), ("b", "a")]


@pytest.mark.parametrize(("colours", "counts"), [("abcdefghijklmnopqrst", range(20, 400)), ("a" * 12 + "b" * 12, [24])])
def test_more_lines_than_anyone_reads_are_refused_at_once_and_never_cut_short(colours, counts):
    half = len(colours) // 2
    with pytest.raises(DesignError, match="more than anyone reads"):
        what_counts_give(free_weave(((half, half),), 2 * half), counts, tuple(colours), orders=True)


def test_the_summary_gathers_counts_by_effect():
    lines = what_counts_give(WEAVES["randing"], range(20, 24), ("natural",))
    assert summary(lines) == ["not to be used: 20 and 22 ends", "one colour all over: 21 and 23 ends"]
