"""Steady rows: one weave stacked on itself gives its row pitch and how its weavers rise and fall.

Per mm of reed; nothing here knows a design. `laying` scales it to a band, `surface.runs` draws whole bands from
the same stacks.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from ..rods import stack as rods
from ..weave.table import Weave
from ..weave.trace import BACK, CROSSING, Trace, trace

CLIMB_ALONE, CLIMB_ROPE = 0.5, 1.0
"""Most a weaver rises or falls in half a space, in its own thicknesses (see `stack_of`)."""
PLAY = 0.6
"""Play in which weavers come to rest, in their own thicknesses (see `stack.settled_heights`)."""

ENOUGH_STACKED = 40_000
"""Passages by spokes of which the rise and fall is taken, where a free weave with a long cycle has more until it
repeats: measured on twelve such, a mean of so many is within a tenth of that of all."""


@dataclass(frozen=True)
class Steady:
    """One weave in steady rows, for a weaver 1 mm thick: `pitch` per row; `rise` mean square climb per spoke passed
    (times 1/spacing gives length); `crossings` per spoke passed; `fronts`, `backs` strands per spoke and row."""

    pitch: float
    rise: float
    crossings: float
    fronts: float
    backs: float


def settled(t: Trace, thick: float, below: np.ndarray | None = None) -> tuple[rods.Stack, np.ndarray, np.ndarray]:
    """(stack, passage at each place, settled heights mm) of a trace.

    `below` (3, ends) mm: how high the work already stands at every front, back and crossing.

    Some free weaves with long uneven cycles are steeper than any rope; they are given more climb until they stack.
    The last answers are remembered: after a change of one band those below it stand as they did. Do not write into
    them.
    """
    return _settled(t, thick, None if below is None else below.tobytes())


EASES = (1, 2, 4, 16, 1000)
"""So many times the climb of `stack_of` are tried, until a weave stands."""


@functools.lru_cache(maxsize=512)
def _hopeless(weave: Weave, ends: int, ease: float) -> bool:
    """Whether not even two rows can be stacked with so much climb: then no more can, and long ones need not be tried
    to their end."""
    try:
        rods.least_heights(stack_of(trace(weave, ends, 2), 1.0, ease)[0])
    except ValueError:
        return True
    return False


@functools.lru_cache(maxsize=64)
def _settled(t: Trace, thick: float, stands: bytes | None) -> tuple[rods.Stack, np.ndarray, np.ndarray]:
    below = None if stands is None else np.frombuffer(stands).reshape(3, -1)
    for ease in EASES:
        stack, passage = stack_of(t, thick, ease)
        floor = 0.0 if below is None else below[t.sites.kind, t.sites.place] + thick / 2
        hopeless = None if ease == EASES[-1] else functools.partial(_hopeless, t.weave, t.ends, ease)
        stack = replace(stack, floor=floor, hopeless=hopeless)
        try:
            heights = rods.settled_heights(stack, PLAY * thick)
            rods.read_only(passage, heights, *(each for each in vars(stack).values() if isinstance(each, np.ndarray)))
            return stack, passage, heights
        except ValueError:
            continue
    raise AssertionError("columns alone can always be stacked")


def stack_of(t: Trace, thick: float, ease: float = 1.0) -> tuple[rods.Stack, np.ndarray]:
    """The stack of a trace whose weavers are all `thick` mm high, and the passage at each of its places (n,).

    Places are the trace's sites in their order; a rod runs face, crossing, face, or face to face along a float. Weavers
    that take turns lie as a rope, each passing from under its neighbour to over it within a space, so they must be free
    to climb (CLIMB_ROPE); a weaver worked alone lies nearly level (CLIMB_ALONE). Both are wide enough not to add to the
    pitch of any weave in the table. `ease` multiplies them.
    """
    after, straight = _lines(t)
    most = CLIMB_ALONE if t.weave.turns == "round" else CLIMB_ROPE
    climb = np.where(straight, 2.0, 1.0) * most * ease * thick
    return rods.Stack(t.sites.column, np.full(len(after), thick), after, climb), t.sites.passage


@functools.lru_cache(maxsize=16)
def _lines(t: Trace) -> tuple[np.ndarray, np.ndarray]:
    """(next place on the same rod, -1 at its end; True where it runs there from face to face), each (n,)."""
    sites = t.sites
    passages = len(t.spoke)
    is_face = sites.kind <= BACK
    face_at = np.empty(passages, np.int64)
    face_at[sites.passage[is_face]] = np.flatnonzero(is_face)
    cross_before = np.full(passages, -1)
    cross_before[sites.passage[~is_face]] = np.flatnonzero(~is_face)
    after = np.full(len(sites.kind), -1)
    here = np.flatnonzero(t.next_on_weaver >= 0)
    there = t.next_on_weaver[here]
    cross = cross_before[there]
    after[face_at[here]] = np.where(cross >= 0, cross, face_at[there])
    after[cross[cross >= 0]] = face_at[there[cross >= 0]]
    straight = is_face & (after >= 0) & is_face[after]
    rods.read_only(after, straight)
    return after, straight


def _sample_count(weave: Weave, spaces: int) -> int:
    """A small count that behaves like `spaces`, with room for every weaver: heights depend on it only through its
    remainder by the cycle."""
    turn = 2 * weave.reach
    turns = max(3, math.ceil(weave.weavers / turn))
    return spaces if spaces <= (turns + 1) * turn else turns * turn + spaces % turn


def short_trace(weave: Weave, spaces: int) -> Trace:
    """A trace on a small count that behaves like `spaces`, long enough for steady rows."""
    return _short_trace(weave, _sample_count(weave, spaces))


@functools.lru_cache(maxsize=512)
def _short_trace(weave: Weave, sample: int) -> Trace:
    # Whole turns of the cycle, so that what is counted per row is exact.
    turn = 2 * weave.reach
    return trace(weave, sample, turn * math.ceil(8 / turn))


def steady_rows(weave: Weave, spaces: int) -> Steady:
    """Pitch and take-up of steady rows of `weave`, per mm of reed. Raises Unweavable when the count is too small.

    In steady rows the heights grow as fast as the fullest column does: as many thicknesses per row as strands lie on
    it. (Sweeping a long stack gives the same slope; a test holds the two together.)
    """
    return _steady(weave, _sample_count(weave, spaces))


@functools.lru_cache(maxsize=512)
def _steady(weave: Weave, sample: int) -> Steady:
    t = _short_trace(weave, sample)
    passages = len(t.spoke) // t.rows  # of one row
    few = t if len(t.spoke) <= ENOUGH_STACKED else trace(weave, sample, max(5, ENOUGH_STACKED // passages))
    before = np.full(len(t.spoke), -1)
    has_next = t.next_on_weaver >= 0
    before[t.next_on_weaver[has_next]] = np.flatnonzero(has_next)
    crosses = (before < 0) | (t.front != t.front[before])  # a weaver starts by coming out
    per_place = [np.bincount(t.spoke[which], minlength=t.ends) / t.rows for which in (t.front, ~t.front, crosses)]
    pitch = max(float(counts.max()) for counts in per_place) * weave.strands
    return Steady(
        pitch,
        _rise(few, float(weave.strands)),
        float(crosses.mean()),
        float(per_place[0].mean()),
        float(per_place[1].mean()),
    )


def _rise(t: Trace, thick: float) -> float:
    """Mean square rise and fall of weavers per spoke passed, mm2, in the middle rows of a stacked trace."""
    stack, passage, heights = settled(t, thick)
    inner = (t.row[passage] >= 2) & (t.row[passage] < t.rows - 2)
    here = np.flatnonzero((stack.after >= 0) & inner)
    there = stack.after[here]
    faces = t.sites.kind != CROSSING
    # A hop to or from a crossing covers half a space, a hop along a face a whole one.
    weight = np.where(faces[here] & faces[there], 0.5, 1.0)
    # Where a weave only stacks with more climb than a weaver has, the excess is the stack's and not the weaver's.
    most = np.broadcast_to(stack_of(t, thick)[0].climb, heights.shape)[here]
    hop = np.minimum(np.abs(heights[there] - heights[here]), most)
    return float(np.sum(weight * hop**2)) / max(1, int(np.sum(faces[here])))
