"""The trace: every stroke of a band, and the exact order of every strand on every front, back and crossing.

No millimetres here. Space j lies at u = j and spoke j at u = j + 1/2, u growing in the direction of work.

Theory
1. A stroke starts in a space, passes in front of `over` spokes, goes in, passes behind `under` spokes, comes out.
2. The sites of a strand are: front of spoke j, back of spoke j, crossing at space j.
3. Trips round lie on each other: what a later trip lays at a site lies above all of an earlier trip.
   Within one trip, weavers that take turns lie as a rope. The moved weaver goes over the others, which wait outside:
   - at a crossing and on a back the later stroke lies above;
   - on a front the waiting weaver has come out *below* the stroke that passed over it, and stays below it when its own
     turn comes, so there the earlier stroke lies above.
   A reverse stroke goes under the others: everything in this paragraph turned upside down. Weaves of one weaver at a
   time have no others to pass: later lies above. Nothing else decides what is seen.
   (With the later stroke on top on fronts as well, a wale's weavers would have to come out low, climb at once, sink and
   climb again: no heights exist for that unless they rise more than their own thickness in half a space. A test
   shows it.)
4. Shift rule: with K = over + under weavers taking turns, every space starts one stroke, and the stroke that starts
   at space p belongs to weaver p mod K; so each row moves the colours by N mod K. Tests hold the trace to it.

A *row* of a turn-taking weave is N strokes (one from every space); of a weave worked one weaver at a time, one trip
round of each weaver.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..errors import Unweavable
from .table import EVERY_END, Weave

FRONT, BACK, CROSSING = 0, 1, 2


def _lock(value: object) -> None:
    """Lets nobody write into the arrays of a value any more."""
    for each in vars(value).values():
        if isinstance(each, np.ndarray):
            each.flags.writeable = False


@dataclass(frozen=True, eq=False)
class Trace:
    """Passages of weavers by spokes, in laying order along each weaver.

    Arrays of one length, a passage each: `weaver`, `spoke` (0..ends-1), `trip` (times round from space 0 of the
    basket), `front` (bool), `row`, `stroke` (number of the stroke in laying order), `rank` (sorts the strands of one
    site from the bottom up), `step` (spokes passed since the stroke began), `travel` (spokes passed by this weaver).
    """

    weave: Weave
    ends: int
    rows: int
    start: int
    weaver: np.ndarray
    spoke: np.ndarray
    trip: np.ndarray
    front: np.ndarray
    row: np.ndarray
    stroke: np.ndarray
    rank: np.ndarray
    step: np.ndarray
    travel: np.ndarray

    def __post_init__(self) -> None:
        _lock(self)  # traces are remembered and handed out again

    @property
    def weavers(self) -> int:
        """Weavers in play."""
        return self.weave.count(self.ends)

    @cached_property
    def stroke_count(self) -> int:
        """Strokes from the first to the last."""
        return int(np.unique(self.stroke).size)

    @cached_property
    def next_on_weaver(self) -> np.ndarray:
        """For each passage the index of the same weaver's next passage, -1 at its end."""
        order = np.lexsort((self.travel, self.weaver))
        follows = np.r_[self.weaver[order][1:] == self.weaver[order][:-1], False]
        out = np.full(len(order), -1)
        out[order[:-1]] = np.where(follows[:-1], order[1:], -1)
        out.flags.writeable = False
        return out

    @cached_property
    def sites(self) -> Sites:
        """Every front, back and crossing with its strands from the bottom up."""
        return _sites(self)

    def faces_of_spokes(self) -> tuple[np.ndarray, np.ndarray]:
        """(fronts, backs): how many strands lie on each face of each spoke, each (ends,)."""
        return (
            np.bincount(self.spoke[self.front], minlength=self.ends),
            np.bincount(self.spoke[~self.front], minlength=self.ends),
        )


@dataclass(frozen=True, eq=False)
class Sites:
    """Sites sorted by kind, place and height. `kind` FRONT, BACK or CROSSING; `place` spoke or space; `passage` the
    passage that lies there (for a crossing: the passage after it); `inward` True where a crossing goes in."""

    kind: np.ndarray
    place: np.ndarray
    passage: np.ndarray
    inward: np.ndarray

    def __post_init__(self) -> None:
        _lock(self)

    @property
    def column(self) -> np.ndarray:
        """One number per site column: kind and place together."""
        return self.kind * (self.place.max(initial=0) + 1) + self.place


def trace(weave: Weave, ends: int, rows: int, start: int = 0) -> Trace:
    """Run `weave` for `rows` rows on `ends` ends (or groups), first weaver set in space `start`.

    Raises Unweavable when the stroke is too long for the count.
    """
    if ends < weave.reach + 1 or ends < weave.count(ends):
        raise Unweavable(
            f"{weave.name} passes {weave.reach} spokes in one cycle, and there are only {ends}.",
            remedy=f"It needs {max(weave.reach + 1, weave.weavers)} or more.",
        )
    k, begin, over, under, row_of_stroke = _strokes(weave, ends, rows)
    length = over + under
    stroke = np.repeat(np.arange(len(k)), length)
    step = np.arange(len(stroke)) - np.repeat(np.cumsum(length) - length, length)
    weaver, travel = k[stroke], begin[stroke] + step
    at = start + travel + weaver  # weaver k is set k spaces after the first
    front = step < over[stroke]
    row = row_of_stroke[stroke]
    if weave.turns == "round":
        keep = travel < rows * ends
        weaver, travel, at, front, stroke, step = (a[keep] for a in (weaver, travel, at, front, stroke, step))
        row = travel // ends
    backward = np.asarray(weave.reverse, bool)[row % len(weave.reverse)]
    trip = at // ends
    return Trace(
        weave,
        ends,
        rows,
        start,
        weaver,
        at % ends,
        trip,
        front,
        row,
        stroke,
        _rank(weave, len(k), trip, stroke, step, row, backward != front),
        step,
        travel,
    )


def strokes_of_one(weave: Weave, weaver: int, ends: int, rows: int) -> tuple[np.ndarray, ...]:
    """Strokes of one weaver in order: (spokes it passed before, over, under, row), each (strokes,). As in the whole
    trace, but that the last stroke of a round is not cut off where the rows end."""
    begin, over, under = _in_a_line(weave, ends, rows)
    keep, row = _kept(weave, np.full(len(begin), weaver), begin, np.arange(len(begin)), ends, rows)
    return begin[keep], over[keep], under[keep], row[keep]


def past_the_rows(weave: Weave, weaver: int, ends: int, rows: int) -> int:
    """Spokes that one weaver has passed beyond whole rows when its last stroke is made; less than 0 where fewer.

    Of weavers that take turns each makes whole strokes. Together they pass as many as in whole rows, where they are as
    many as their stroke passes spokes.
    """
    if weave.turns != "stroke":
        return 0
    due = rows * ends - weaver  # weaver k begins k spaces on, and makes every stroke that begins within the rows
    passed = due // weave.reach * weave.reach
    for over, under in weave.cycle:
        if passed >= due:
            break
        passed += over + under
    return passed - rows * ends


def _in_a_line(weave: Weave, ends: int, rows: int) -> tuple[np.ndarray, ...]:
    """Strokes of any one weaver, more than it ever makes: (spokes it passed before, over, under)."""
    over, under = np.array(weave.cycle).T
    before = np.cumsum(over + under) - (over + under)
    which = np.arange(len(weave.cycle) * (rows if weave.turns == "back" else -(-rows * ends // weave.reach) + 1))
    at = which % len(weave.cycle)
    return before[at] + which // len(weave.cycle) * weave.reach, over[at], under[at]


def _kept(
    weave: Weave, k: np.ndarray, begin: np.ndarray, nth: np.ndarray, ends: int, rows: int
) -> tuple[np.ndarray, np.ndarray]:
    """Which strokes of weavers `k` are made in so many rows, and the row of each."""
    if weave.turns == "back":
        return nth < rows, nth
    if weave.turns == "round":
        return begin < rows * ends, begin // ends
    return begin + k < rows * ends, (begin + k) // ends


def _strokes(weave: Weave, ends: int, rows: int) -> tuple[np.ndarray, ...]:
    """Strokes in laying order: (weaver, spokes that weaver passed before, over, under, row), each (strokes,)."""
    before, over, under = _in_a_line(weave, ends, rows)
    weavers, many = weave.count(ends), len(before)
    k = np.repeat(np.arange(weavers), many)
    begin, nth = np.tile(before, weavers), np.tile(np.arange(many), weavers)
    keep, row = _kept(weave, k, begin, nth, ends, rows)
    if weave.turns == "back":
        order = np.lexsort((-k, nth))  # each next weaver is set behind the last
    elif weave.turns == "round":
        order = np.lexsort((begin, k, row))
    else:
        # The hindmost moves; of two in one space, the one that came first: whose last stroke began further back.
        came = np.where(nth > 0, np.roll(begin, 1) + k, -1)
        order = np.lexsort((k, came, begin + k))
    order = order[keep[order]]
    return k[order], begin[order], over[nth[order]], under[nth[order]], row[order]


def _rank(
    weave: Weave, strokes: int, trip: np.ndarray, stroke: np.ndarray, step: np.ndarray, row: np.ndarray,
    below: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """A number that grows from the bottom of a site to its top; `below` where a later stroke lies below an earlier."""
    if weave.turns == "round":
        return stroke.astype(np.int64)
    if weave.turns == "back":
        # Every weaver lies above the one set before it, right round: the last two are tucked under the first.
        return row.astype(np.int64) * (weave.reach + 2) + step
    return trip.astype(np.int64) * (2 * strokes + 2) + np.where(below, -stroke, stroke) + strokes


def _sites(t: Trace) -> Sites:
    after = t.next_on_weaver
    here = np.flatnonzero(after >= 0)
    here = here[t.front[here] != t.front[after[here]]]
    behind = after[here]
    turn = t.trip[behind]
    # A crossing is laid by the stroke that makes it: the earlier passage's.
    backward = np.asarray(t.weave.reverse, bool)[t.row[here] % len(t.weave.reverse)]
    cross_rank = _rank(
        t.weave, int(t.stroke.max(initial=0)) + 1, turn, t.stroke[here], t.step[here] + 1, t.row[here], backward
    )
    kind = np.concatenate([np.where(t.front, FRONT, BACK), np.full(len(here), CROSSING)])
    place = np.concatenate([t.spoke, t.spoke[behind]])
    passage = np.concatenate([np.arange(len(t.spoke)), behind])
    inward = np.concatenate([np.zeros(len(t.spoke), bool), t.front[here]])
    order = np.lexsort((np.concatenate([t.rank, cross_rank]), place, kind))
    return Sites(kind[order], place[order], passage[order], inward[order])


def cells(t: Trace, front: bool, by_trip: bool = False) -> list[list[list[int]]]:
    """`cells[r][j]`: weavers that row r lays on that face of spoke j, bottom to top (empty where none).

    With `by_trip`, rows are trips round from space 0 instead of rows of work.
    """
    level = t.trip if by_trip else t.row
    out: list[list[list[int]]] = [[[] for _ in range(t.ends)] for _ in range(int(level.max(initial=-1)) + 1)]
    chosen = np.flatnonzero(t.front == front)
    chosen = chosen[np.argsort(t.rank[chosen], kind="stable")]
    for r, j, k in zip(level[chosen].tolist(), t.spoke[chosen].tolist(), t.weaver[chosen].tolist(), strict=True):
        out[r][j].append(k)
    return out


def locked(t: Trace) -> bool:
    """True when every spoke is held on both faces: a weave that passes a spoke on one side only falls off."""
    fronts, backs = t.faces_of_spokes()
    return bool(np.all(fronts > 0) and np.all(backs > 0))


def uses_every_space(weave: Weave) -> bool:
    """True for weaves with a weaver in every space."""
    return weave.weavers == EVERY_END
