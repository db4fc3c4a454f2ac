"""What a slip of the hands does to a band: the strokes worked one by one, with one of them wrong.

The hands know which weaver is hindmost and what its stroke is; a slip changes one stroke and they go on as if nothing
had happened. Without a slip this is the trace (a test holds it to that). Spaces and spokes count on without a jump.
"""

from __future__ import annotations

from dataclasses import dataclass

from .table import Weave

KINDS = ("missed", "too far", "swapped", "start off", "no join")


@dataclass(frozen=True)
class Stroked:
    """One stroke of `weaver` in `row`, begun in space `begin`: in front of `over` spokes, behind `under`."""

    row: int
    weaver: int
    begin: int
    over: int
    under: int

    @property
    def beyond(self) -> int:
        return self.begin + self.over + self.under


def strokes(weave: Weave, spaces: int, rows: int, start: int = 0, slip: str = "", at: int = -1) -> list[Stroked]:
    """Every stroke of a band in order; stroke number `at` (from 0) is made wrong as `slip`, one of KINDS, says.

    "missed": behind one spoke too many; "too far": in front of one too many; "no join": the weaver of that stroke ends
    there and is not gone on with; "swapped" and "start off" change no stroke but colours and start, and are left to
    whoever draws.
    """
    many = weave.count(spaces)
    if weave.turns == "round":
        return _rounds(weave, spaces, rows, start, many, slip, at)
    place = [start + k for k in range(many)]
    came, turn, alive = [-1] * many, [0] * many, [True] * many
    out: list[Stroked] = []
    last = start + rows * spaces
    while True:
        waiting = [k for k in range(many) if alive[k]]
        if weave.turns == "back":
            nth = min(turn[k] for k in waiting)
            if nth >= rows:
                return out
            k = max(k for k in waiting if turn[k] == nth)
            row = nth
        else:
            k = min(waiting, key=lambda k: (place[k], came[k], k))
            if place[k] >= last:
                return out
            row = (place[k] - start) // spaces
        over, under = weave.cycle[turn[k] % len(weave.cycle)]
        over, under = _slipped(over, under, slip, len(out) == at)
        if slip == "no join" and len(out) == at:
            alive[k] = False
            out.append(Stroked(row, k, place[k], 0, 0))
            continue
        out.append(Stroked(row, k, place[k], over, under))
        came[k], turn[k] = place[k], turn[k] + 1
        place[k] += over + under


def _slipped(over: int, under: int, slip: str, now: bool) -> tuple[int, int]:
    if now and slip == "missed":
        return over, under + 1
    if now and slip == "too far":
        return over + 1, under
    return over, under


def _rounds(weave: Weave, spaces: int, rows: int, start: int, many: int, slip: str, at: int) -> list[Stroked]:
    """One weaver once round, then the next; a stroke may run over the end of a row."""
    place, turn = [start + k for k in range(many)], [0] * many
    out: list[Stroked] = []
    dead: set[int] = set()
    for row in range(rows):
        for k in range(many):
            while place[k] < start + k + (row + 1) * spaces and k not in dead:
                over, under = weave.cycle[turn[k] % len(weave.cycle)]
                over, under = _slipped(over, under, slip, len(out) == at)
                if slip == "no join" and len(out) == at:
                    dead.add(k)
                    over = under = 0
                out.append(Stroked(row, k, place[k], over, under))
                turn[k], place[k] = turn[k] + 1, place[k] + over + under
    return out
