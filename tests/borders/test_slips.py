"""Slips of the border: one wrong move shows at one spoke, and is found again from where the tips lie."""

from __future__ import annotations

import random

import pytest

from slype.borders.slips import KINDS, likeliest, lying, moves_of, possible
from slype.borders.table import BORDERS
from slype.borders.work import work


def _moves(name):
    border = BORDERS[name].border
    return moves_of(work(border, max(24, border.smallest_ends)))


@pytest.mark.parametrize("name", list(BORDERS))
def test_right_moves_end_where_the_border_worked_end_by_end_has_them(name):
    border = BORDERS[name].border
    worked = work(border, max(24, border.smallest_ends))
    lies = lying(moves_of(worked), len(moves_of(worked)))
    for end in {p.end for p in worked.passes if p.end >= 0}:
        last = [p for p in worked.passes if p.end == end][-1]
        assert lies[end] == (last.step, worked.finishes[end, last.stage])


@pytest.mark.parametrize("name", list(BORDERS))
def test_a_slip_shows_at_one_spoke_and_is_among_the_first_three_answers(name):
    moves, chance = _moves(name), random.Random(name)
    for _ in range(12):
        done = chance.randint(1, len(moves))
        slips = possible(moves, done)
        if not slips:
            continue
        slip = chance.choice(slips)
        right, wrong = lying(moves, done), lying(moves, done, slip)
        differ = [end for end in right if right[end] != wrong[end]]
        assert differ in ([], [moves[slip.move].end])
        if differ:  # a wrong side is made good where the spoke goes on
            first = [each for each, off in likeliest(moves, done, wrong) if off == 0]
            assert None not in first and slip in first[:3]
            assert {each.kind for each in first} <= set(KINDS)
