"""Slips are traced by the rule of right strokes, and found again from what a weaver sees of them."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from slips import random_case, random_woven

from slype.weave.slips import BARE, KINDS, START, Slip, Woven, all_traced, deep, likeliest, piles, strokes_made
from slype.weave.table import WEAVES
from slype.weave.trace import trace

RATE = 0.95


@given(st.integers(0, 2**32 - 1), st.integers(1, 4))
def test_without_a_slip_the_strokes_are_those_of_the_trace(seed, rows):
    woven = random_woven(random.Random(seed))
    t = trace(woven.weave, woven.ends, rows, woven.start)
    plan = strokes_made(woven, t.stroke_count)
    starts = [int(i) for i in range(len(t.stroke)) if i == 0 or t.stroke[i] != t.stroke[i - 1]]
    for stroke, i in zip(plan, starts, strict=True):
        assert (stroke.weaver, stroke.at) == (t.weaver[i], t.trip[i] * t.ends + t.spoke[i])


@given(st.integers(0, 2**32 - 1), st.integers(2, 4))
def test_without_a_slip_what_is_seen_is_what_the_trace_lays_there(seed, rows):
    woven = random_woven(random.Random(seed))
    t = trace(woven.weave, woven.ends, rows, woven.start)
    plan = strokes_made(woven, t.stroke_count)
    found = piles(woven, plan)
    passed = Counter((s.at + step) % woven.ends for s in plan for step in range(s.over + s.under))
    bare = woven.weave.turns == "round"
    for spoke in range(woven.ends):
        mine = np.flatnonzero((t.spoke == spoke) & (t.front | bare))
        if passed[spoke] != (t.spoke == spoke).sum():
            continue  # a trace of rounds is cut off at its last row; a stroke is made to its end
        down = mine[np.argsort(-t.rank[mine])][: deep(woven)].tolist()
        seen = [woven.colours[t.weaver[i]] if t.front[i] else BARE for i in down]
        assert [colour for colour, _ in found[spoke]] == seen


def test_a_weaver_that_goes_over_two_instead_of_one_shows_on_the_next_spoke():
    """By hand: pairing in red (0) and sand (1) on 12, one stroke from each space. Red's stroke from space 4 goes over 2
    and comes out a space too far on, in space 7; there sand comes too in its turn, and red, which came first, goes on.
    """
    woven = Woven(WEAVES["pairing"], 12, (0, 1))
    plan = strokes_made(woven, 8, Slip("over more", 4))
    assert [(s.weaver, s.at, s.over, s.under) for s in plan[3:7]] == [
        (1, 3, 1, 1),
        (0, 4, 2, 1),
        (1, 5, 1, 1),
        (0, 7, 1, 1),
    ]
    found = piles(woven, plan)
    assert found[4] == [(0, 2)]
    assert found[5] == [(0, 2), (1, 1)], "red lies over sand, which came out below it"


def test_randing_that_missed_a_spoke_leaves_a_long_bar():
    woven = Woven(WEAVES["randing"], 11, (0,))
    found = piles(woven, strokes_made(woven, 5, Slip("missed", 1)))
    assert [found[j][0] for j in range(6)] == [(0, 1), (BARE, 0), (0, 2), (0, 2), (0, 1), (BARE, 0)]


def test_a_band_begun_one_space_off_is_said_so():
    woven = Woven(WEAVES["four-rod wale"], 18, (0, 0, 1, 2), 3)
    count = 40
    seen = {
        (spoke, down): cell[0]
        for spoke, pile in enumerate(piles(woven, strokes_made(woven, count, Slip(START, 0, 1))))
        for down, cell in enumerate(pile)
    }
    assert likeliest(count, seen, all_traced(woven, count))[0] == (Slip(START, 0, 1), 0)


@pytest.mark.parametrize(("bars", "many"), [(False, 100), (True, 40)], ids=["colours", "colours and how far bars go"])
def test_the_true_slip_is_among_the_first_three_answers(bars, many, capsys):
    """Of so many seeded slips that can be told apart at all; in every second case one place is misread."""
    chance, cannot, missed, found = random.Random(20261126), Counter(), Counter(), 0
    while found + missed.total() < many:
        case = random_case(chance, bars)
        if case.why_not:
            cannot[f"{case.slip.kind}: {case.why_not}"] += 1
        elif case.found:
            found += 1
        else:
            missed[case.slip.kind] += 1
    with capsys.disabled():
        said = ", ".join(f"{each} {what}" for what, each in sorted(cannot.items()))
        print(
            f"\nslips found by {'colours and bars' if bars else 'colours'}: {found} of {many}; missed: {dict(missed)}"
        )
        print(f"cannot be told apart: {said}")
    assert found >= many * RATE


def test_every_kind_of_slip_is_tried():
    kinds = {slip.kind for slip, _ in all_traced(Woven(WEAVES["four-rod wale"], 16, (0, 0, 1, 2)), 20) if slip}
    assert kinds == set(KINDS)
