"""Slips of the border: where spokes' tips lie when one move went wrong, and the likeliest slip behind what is seen.

Theory
1. In a border every spoke is led by itself, a move at a time, on from where it lies. A slip changes one move; every
   other move goes on by its own count, so one wrong move shows at one spoke only, and stays there.
2. What is seen of a spoke is how far its tip has come, and on which side it lies.
3. A slip is looked for by trying every one that could have been made in the last moves and holding what each would look
   like against what is seen. The fewer spokes disagree the likelier; of slips alike the commoner first, then the later.

A student's page has a twin of this module (lesson/page/slip-border-rule.js); a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from .work import Work

ONE_MORE, ONE_FEWER, WRONG_SIDE, PASSED_BY = KINDS = ("one more", "one fewer", "wrong side", "passed by")
"""The commoner first (common practice, no source): one spoke too many or too few was passed; the tip was left on the
other side; the spoke was not moved at all."""
MOVES_BACK = 12
"""So many moves back a slip is looked for."""

Lies = tuple[int, str]
"""(spokes past its own foot, "out", "in", "down", "on" between two legs, or "" while it stands) of a spoke's tip."""


@dataclass(frozen=True)
class Move:
    """One move: spoke `end` (from 0) is led past `count` spokes and left on a `side`."""

    end: int
    count: int
    side: str


@dataclass(frozen=True)
class Slip:
    """What went wrong: one of KINDS, in which `move` (from 0, in order of work)."""

    kind: str
    move: int


def moves_of(worked: Work) -> list[Move]:
    """Moves of a border in the order the hands make them."""
    out = []
    for (end, stage), run in groupby(worked.passes, key=lambda p: (p.end, p.stage)):
        out.append(Move(end, len(list(run)), worked.finishes.get((end, stage), "on")))
    return out


def lying(moves: Sequence[Move], done: int, slip: Slip | None = None) -> dict[int, Lies]:
    """Where each spoke that was to be moved lies after `done` moves, one of them perhaps wrong."""
    out: dict[int, Lies] = {}
    for number, move in enumerate(moves[:done]):
        past, side = out.get(move.end, (0, ""))
        count, to = move.count, move.side
        if slip is not None and slip.move == number:
            if slip.kind == PASSED_BY:
                count, to = 0, side
            count += {ONE_MORE: 1, ONE_FEWER: -1}.get(slip.kind, 0)
            to = {"in": "out"}.get(to, "in") if slip.kind == WRONG_SIDE else to
        out[move.end] = past + count, to
    return out


def possible(moves: Sequence[Move], done: int) -> list[Slip]:
    """Slips that may have been made in the last moves."""
    out = []
    for number in range(max(0, done - MOVES_BACK), done):
        move = moves[number]
        if move.end < 0:  # an extra reed of a plait
            continue
        out += [Slip(kind, number) for kind in KINDS if kind != ONE_FEWER or move.count > 1]
    return out


def likeliest(moves: Sequence[Move], done: int, seen: dict[int, Lies]) -> list[tuple[Slip | None, int]]:
    """Right work (None) and every possible slip with how many spokes disagree with what is seen, likeliest first."""
    found = []
    for slip in (None, *possible(moves, done)):
        lies = lying(moves, done, slip)
        found.append((slip, sum(lies.get(end, (0, "")) != told for end, told in seen.items())))
    return sorted(found, key=lambda each: (each[1], *_order(each[0], done)))


def _order(slip: Slip | None, done: int) -> tuple[int, int]:
    return (-1, 0) if slip is None else (KINDS.index(slip.kind), done - slip.move)
