"""Slips of the hand: wrong strokes traced as the right ones are, and the likeliest slip behind what a weaver sees.

Theory
1. A weaver who slips goes on by the rule from where the slip has left the weavers: the hindmost moves, in front of
   `over`, behind `under`, out. So one wrong stroke, and every stroke after it, can be traced like right work.
2. What is seen is the pile on each spoke's outer face, from the top of the work down. Where weavers take turns that is
   the colours that lie in front, in the order of `trace` (theory 3). Where they go round one at a time a weaver that
   passes behind leaves the spoke bare, and that is seen too.
3. A slip is looked for by tracing every slip that could have been made within the last rows and holding what each would
   look like against what is seen. The fewer places disagree the likelier; of slips that look alike the commoner first.

A student's page has a twin of this module (lesson/page/slip-rule.js); a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .table import Weave

MISSED, OVER_MORE, OVER_LESS, WRONG, SWAPPED, BEHIND_MORE, BEHIND_LESS, START = KINDS = (
    "missed", "over more", "over less", "wrong", "swapped", "behind more", "behind less", "start",
)  # fmt: skip
"""The commoner first (common practice, no source). "missed": passed in front of what it should have gone behind;
"over more", "over less", "behind more", "behind less": one spoke more or less than the weave says; "wrong": not the
hindmost weaver, but one further on, made the stroke; "swapped": the hindmost and the one next to it changed places;
"start": the first weaver was set in one space off."""
ROWS_SEEN = 2
BARE = -1
"""In place of a colour: nothing lies in front of the spoke there."""

Cell = tuple[int, int]
"""(index of the colours, spokes that the bar goes over) of what lies in front, or (BARE, 0)."""


@dataclass(frozen=True)
class Slip:
    """What went wrong: one of KINDS, in which `stroke` (from 0, in order of work), and how far off: how many weavers
    further on for "wrong", 1 or -1 space for "start"."""

    kind: str
    stroke: int = 0
    by: int = 1


@dataclass(frozen=True)
class Woven:
    """What is woven: `weave` on `ends` (or groups of them) from space `start`, `colours` an index for each weaver."""

    weave: Weave
    ends: int
    colours: tuple[int, ...]
    start: int = 0


@dataclass(frozen=True)
class Stroke:
    """One stroke made: which `weaver`, `at` which space it began (counted on round and round), `over`, `under`."""

    weaver: int
    at: int
    over: int
    under: int


def strokes_made(woven: Woven, count: int, slip: Slip | None = None) -> list[Stroke]:
    """The first `count` strokes, with one slip or none."""
    weave, weavers = woven.weave, len(woven.colours)
    begin = woven.start + (slip.by if slip is not None and slip.kind == START else 0)
    at = [begin + k for k in range(weavers)]
    came = [-1] * weavers  # where each weaver's last stroke began
    nth = [0] * weavers
    plan: list[Stroke] = []
    row = 0
    while len(plan) < count:
        number = len(plan)
        now = slip if slip is not None and slip.stroke == number else None
        if weave.turns == "stroke":
            k = _hindmost(at, came, now.by if now is not None and now.kind == WRONG else 0)
        elif weave.turns == "back":
            k = weavers - 1 - number % weavers
        else:
            k, row = _next_round(at, begin, row, woven.ends)
        if now is not None and now.kind == SWAPPED:
            other = _hindmost(at, came, 1) if weave.turns == "stroke" else (k + 1) % weavers
            at[k], at[other], came[k], came[other] = at[other], at[k], came[other], came[k]
            nth[k], nth[other] = nth[other], nth[k]
            k = other
        over, under = weave.cycle[nth[k] % len(weave.cycle)]
        if now is not None:
            over, under = _slipped(now.kind, over, under)
        plan.append(Stroke(k, at[k], over, under))
        came[k], at[k], nth[k] = at[k], at[k] + over + under, nth[k] + 1
    return plan


def _hindmost(at: list[int], came: list[int], further: int) -> int:
    """The weaver whose turn it is; of two in one space the one that came first. Or one `further` on."""
    if not further:
        return min(range(len(at)), key=lambda k: (at[k], came[k]))
    return sorted(range(len(at)), key=lambda k: (at[k], came[k], k))[further % len(at)]


def _next_round(at: list[int], begin: int, row: int, ends: int) -> tuple[int, int]:
    """(the weaver that goes round now, the row it does): the first that has not come so far."""
    while True:
        for k, here in enumerate(at):
            if here - begin - k < (row + 1) * ends:
                return k, row
        row += 1


def _slipped(kind: str, over: int, under: int) -> tuple[int, int]:
    if kind == MISSED:
        return over + under, 0
    more = {OVER_MORE: (1, 0), OVER_LESS: (-1, 0), BEHIND_MORE: (0, 1), BEHIND_LESS: (0, -1)}.get(kind, (0, 0))
    return over + more[0], under + more[1]


def deep(woven: Woven) -> int:
    """How many bars of a spoke's pile the last ROWS_SEEN rows lay on it; at places where a weaver passes behind, a bare
    one counts as well where weavers go round one at a time."""
    weave, weavers = woven.weave, len(woven.colours)
    if weave.turns == "round":
        return ROWS_SEEN * weavers
    if weave.turns == "back":
        return ROWS_SEEN
    over = sum(over for over, _ in weave.cycle)
    return max(1, -(-ROWS_SEEN * over * weavers // weave.reach))


def piles(woven: Woven, plan: list[Stroke]) -> list[list[Cell]]:
    """For every spoke what lies in front of it, the top of the work first, `deep` of it at most."""
    many, weave = deep(woven), woven.weave
    found: list[list[tuple[int, Cell]]] = [[] for _ in range(woven.ends)]
    size = 2 * len(plan) + 2
    for number, stroke in enumerate(plan):
        row = max(0, stroke.at - woven.start) // woven.ends
        backward = weave.reverse[row % len(weave.reverse)]
        for step in range(stroke.over + stroke.under):
            front = step < stroke.over
            if not front and weave.turns != "round":
                continue
            trip, spoke = divmod(stroke.at + step, woven.ends)
            if weave.turns == "stroke":
                rank = trip * size + (number if backward else -number)
            else:
                rank = number
            cell = (woven.colours[stroke.weaver], stroke.over) if front else (BARE, 0)
            found[spoke].append((rank, cell))
    return [[cell for _, cell in sorted(pile, key=lambda each: -each[0])[:many]] for pile in found]


def possible(woven: Woven, count: int) -> Iterator[Slip]:
    """Every slip that may have been made within the last ROWS_SEEN rows of `count` strokes, or with the first."""
    weave, weavers = woven.weave, len(woven.colours)
    a_row = max(1, round(woven.ends * weavers * len(weave.cycle) / weave.reach))
    if weave.turns == "back":
        a_row = weavers
    for stroke in range(max(0, count - ROWS_SEEN * a_row), count):
        yield Slip(MISSED, stroke)
        yield Slip(OVER_MORE, stroke)
        yield Slip(BEHIND_MORE, stroke)
        if min(over for over, _ in weave.cycle) > 1:
            yield Slip(OVER_LESS, stroke)
        if min(under for _, under in weave.cycle) > 1:
            yield Slip(BEHIND_LESS, stroke)
        if weavers > 1 and weave.turns == "stroke":
            yield from (Slip(WRONG, stroke, by) for by in range(1, min(weavers, 4)))
        if weavers > 1:
            yield Slip(SWAPPED, stroke)
    yield from (Slip(START, 0, by) for by in (1, -1))


Seen = dict[tuple[int, int], int | Cell]
"""By (spoke, how many bars down from the top): the colour's index, or with how many spokes the bar goes over."""


def unlike(seen: Seen, found: list[list[Cell]]) -> int:
    """How many of the places seen disagree."""
    return sum(not _agrees(said, found[spoke], down) for (spoke, down), said in seen.items())


def _agrees(said: int | Cell, pile: list[Cell], down: int) -> bool:
    cell = pile[down] if down < len(pile) else (BARE, 0)
    return cell[0] == said if isinstance(said, int) else cell == said


def all_traced(woven: Woven, count: int) -> list[tuple[Slip | None, list[list[Cell]]]]:
    """Right work (None), and every slip that may have been made, with the `piles` each would leave."""
    return [(slip, piles(woven, strokes_made(woven, count, slip))) for slip in (None, *possible(woven, count))]


def likeliest(
    count: int, seen: Seen, traced: list[tuple[Slip | None, list[list[Cell]]]]
) -> list[tuple[Slip | None, int]]:
    """(slip, places that disagree) of all that was `traced`, the likeliest first. The nearest first of those alike."""
    found = [
        (unlike(seen, left), KINDS.index(slip.kind) if slip else -1, count - slip.stroke if slip else 0, slip)
        for slip, left in traced
    ]
    found.sort(key=lambda each: (*each[:3], each[3].by if each[3] else 0))
    return [(slip, off) for off, _, _, slip in found]
