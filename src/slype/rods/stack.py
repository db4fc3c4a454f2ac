"""Rods in contact, numbers only: stacking heights, crimp of a bent rod, arches.

Knows nothing of baskets: a *column* is a place where rods lie on each other in a known order, a *link* joins two
places on one rod. Lengths in mm, angles in radians.

Theory
1. Stacking. In a column, each rod's axis lies at least half the sum of the two diameters above the one before.
   Along a rod, the axis may climb or fall by at most `climb` from place to place. These are difference constraints;
   the least heights that meet them are longest paths, found by sweeping columns and rods in turn until still.
2. Crimp of a taut thread over a straight round post (Peirce 1937): sin t = D/p, c = t sin t + cos t - 1.
3. Crimp of a springy rod with no pull along it: a quarter wave is the end-loaded cantilever of Bisshopp and
   Drucker (1945). Where the rod would bend tighter than the post's surface allows, it wraps the post by an angle
   first and leaves it with the surface's curvature.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

JAM_RATIO = 1.0
"""D/p at which a taut rod can no longer pass between neighbouring posts (Peirce, straight posts)."""


# 1. Stacking ---------------------------------------------------------------------------------------------------


Lines = tuple[np.ndarray, np.ndarray]
"""Places in order along their rods: (True where a rod begins, place numbers), both (n,)."""


@dataclass(frozen=True, eq=False)
class Stack:
    """Places and their order.

    `column` (n,) int: column of each place, places sorted by column and, within it, from the bottom up;
    `thick` (n,) float mm: diameter of the rod at each place; `after` (n,) int: next place on the same rod, -1 at
    its end; `climb` mm, one for all or (n,): the most an axis may rise or fall from each place to its next; `floor`
    (n,) mm or 0: least height of each place from what lies below.
    """

    column: np.ndarray
    thick: np.ndarray
    after: np.ndarray
    climb: float | np.ndarray
    floor: np.ndarray | float = 0.0
    hopeless: Callable[[], bool] | None = None
    """Whether it can never be stacked: asked once, where it is not after FEW_SWEEPS."""

    @functools.cached_property
    def least(self) -> np.ndarray:
        """`least_heights` of this stack."""
        return least_heights(self)

    @functools.cached_property
    def rods(self) -> Lines:
        """Its places in order along their rods."""
        return _rod_lines(np.asarray(self.after))


MOST_SWEEPS, LEAST_SWEEPS, FEW_SWEEPS, MOST_VISITS = 400, 80, 16, 10_000_000
"""Stacks that can be stood come to rest in 2 to 60 sweeps, a few in 200 (222 free weaves by chance). One that cannot
goes on without end: it is given up after the sweeps that so many visits of its places make, which is a second."""


def least_heights(stack: Stack, most_sweeps: int | None = None, lines: Lines | None = None) -> np.ndarray:
    """Least axis heights (n,) mm meeting every constraint of `stack`; `lines` its rods, where these are known.

    Raises ValueError when no heights can meet them (a ring of rods each above the next, with `climb` too small),
    which shows as heights still growing after `most_sweeps`: MOST_SWEEPS, fewer where there are very many places.
    """
    n = len(stack.column)
    if n == 0:
        return np.zeros(0)
    most_sweeps = most_sweeps or min(MOST_SWEEPS, max(LEAST_SWEEPS, MOST_VISITS // n))
    column, thick = np.asarray(stack.column), np.asarray(stack.thick, float)
    first = np.ones(n, bool)
    first[1:] = column[1:] != column[:-1]
    gap = np.zeros(n)
    gap[1:] = np.where(first[1:], 0.0, (thick[1:] + thick[:-1]) / 2)
    base = _since_first(gap, first)
    begins, order = lines or stack.rods
    climb = np.zeros(n)
    climb[1:] = np.broadcast_to(stack.climb, (n,))[order[:-1]]
    run = _since_first(climb, begins)
    columns, forth = _numbered(first), _numbered(begins)
    back = forth[-1] - forth[::-1]  # the same rods from the last place to the first
    heights = np.maximum(thick / 2, stack.floor)
    for sweep in range(most_sweeps):
        before = heights
        heights = base + _running_max(heights - base, columns)
        heights = _along_rods(heights, forth, back, order, run)
        if _highest(heights - before) <= 1e-9:
            return heights
        if sweep == FEW_SWEEPS and stack.hopeless is not None and stack.hopeless():
            break
    raise ValueError("the rods cannot be stacked: some would have to lie above themselves")


def settled_heights(stack: Stack, play: float) -> np.ndarray:
    """Heights (n,) mm of rods that have come to rest in their play.

    Halfway between the lowest and the highest that `stack` allows without growing taller, but never more than half of
    `play` mm above the lowest. Differences of heights meet their constraints in the lowest and the highest stack, hence
    in the smaller of two such and in the mean: the result meets them too.
    """
    low = stack.least
    top = (low + stack.thick / 2).max(initial=0.0)
    back = np.arange(len(low))[::-1]
    after = np.asarray(stack.after)[back]
    climb = np.broadcast_to(stack.climb, (len(low),))[back]
    before = np.where(after >= 0, len(low) - 1 - after, -1)
    turned = Stack(np.asarray(stack.column)[back], np.asarray(stack.thick)[back], before, climb)
    high = top - least_heights(turned, lines=_turned(*stack.rods))[back]
    return (low + np.minimum(high, low + play)) / 2


def stack_faults(stack: Stack, heights: np.ndarray) -> float:
    """Worst violation, mm, of any constraint of `stack` by `heights` (0 when all are met)."""
    column, thick = np.asarray(stack.column), np.asarray(stack.thick, float)
    same = column[1:] == column[:-1]
    overlap = np.where(same, (thick[1:] + thick[:-1]) / 2 - np.diff(heights), 0.0)
    here = np.flatnonzero(stack.after >= 0)
    steep = np.abs(heights[stack.after[here]] - heights[here]) - np.broadcast_to(stack.climb, heights.shape)[here]
    below = np.maximum(thick / 2, stack.floor) - heights
    return float(max(overlap.max(initial=0.0), steep.max(initial=0.0), below.max(initial=0.0)))


def _since_first(gap: np.ndarray, first: np.ndarray) -> np.ndarray:
    """Running sum of `gap` that starts again at every True of `first`."""
    total = np.cumsum(gap)
    starts = np.flatnonzero(first)
    return total - np.repeat(total[starts], np.diff(starts, append=len(gap)))


def _numbered(first: np.ndarray) -> np.ndarray:
    """The number of each place's group, from 0 on, as `_running_max` wants it; a group begins at every True."""
    return (np.cumsum(first) - 1).astype(float)


_highest, _lowest = np.maximum.reduce, np.minimum.reduce


def _running_max(values: np.ndarray, group: np.ndarray) -> np.ndarray:
    """Running maximum that starts again with every `group` (see `_numbered`)."""
    # Lifting each group far above the one before lets one accumulate serve all groups.
    lift = group * (_highest(values) - _lowest(values) + 1.0)
    raised: np.ndarray = np.maximum.accumulate(values + lift)
    raised -= lift
    return raised


def _rod_lines(after: np.ndarray) -> Lines:
    """The rods of a stack, those whose last places come first before the others."""
    n = len(after)
    has_before = np.zeros(n, bool)
    has_before[after[after >= 0]] = True
    jump = np.where(after < 0, np.arange(n), after)
    # Pointer doubling: distance to each rod's last place in log2(n) passes, without a Python loop over places.
    rank = (after >= 0).astype(np.int64)
    while True:
        rank_next = rank + rank[jump]
        jump_next = jump[jump]
        if (jump_next == jump).all():
            break
        rank, jump = rank_next, jump_next
    order = np.lexsort((-rank, jump))
    return ~has_before[order], order


def _turned(begins: np.ndarray, order: np.ndarray) -> Lines:
    """The same rods where places are counted from the last: those whose last places come last are then before the
    others."""
    first = np.flatnonzero(begins)[::-1]
    long = np.append(len(order), first[:-1]) - first
    now = np.cumsum(long) - long
    at = np.repeat(first - now, long) + np.arange(len(order))
    starts = np.zeros(len(order), bool)
    starts[now] = True
    return starts, len(order) - 1 - order[at]


def _along_rods(
    heights: np.ndarray, forth: np.ndarray, back: np.ndarray, order: np.ndarray, run: np.ndarray
) -> np.ndarray:
    """Raise each place to within reach of its neighbours on the rod; `run` is the climb allowed since it began. `forth`
    and `back` number the rods of places in order and in turned order."""
    raised = _running_max(heights[order] + run, forth)
    raised -= run
    raised -= run
    out = np.empty_like(heights)
    out[order] = _running_max(raised[::-1], back)[::-1] + run
    return out


# 2 and 3. Crimp ------------------------------------------------------------------------------------------------


def taut_crimp(ratio: float | np.ndarray) -> np.ndarray:
    """Crimp (length over spacing, less one) of a taut thread: `ratio` = D/p. Source: Peirce 1937.

    D is the sum of the two diameters, p the spacing of the posts. Ratios above 1 cannot be woven and give nan.
    """
    ratio = np.asarray(ratio, float)
    with np.errstate(invalid="ignore"):
        angle = np.arcsin(ratio)
        return angle * ratio + np.cos(angle) - 1


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_NODES, _WEIGHTS = (_NODES + 1) / 2, _WEIGHTS / 2  # on 0..1


def _free_quarter(sin_end: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(h/p, crimp, peak curvature x p) of free quarter waves whose steepest slopes have these sines (n,)."""
    rest = 1 - _NODES**2
    s = sin_end[:, None]
    root = np.sqrt(1 - (s * rest) ** 2)
    return (s * rest / root) @ _WEIGHTS, (1 / root) @ _WEIGHTS - 1, 4 * sin_end


def _wrapped_quarter(sin_end: np.ndarray, wrap: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(x, w, L) in units of D of quarter waves that wrap the post by `wrap` and then run free, each (n,)."""
    lean = np.sin(wrap)
    span = sin_end - lean
    # Equal curvature where the rod leaves the post (2/D) fixes the scale; it makes the free run equal to `span`.
    sines = sin_end[:, None] - span[:, None] * _NODES**2
    root = np.sqrt(1 - sines**2)
    rise, length = span * ((sines / root) @ _WEIGHTS), span * ((1 / root) @ _WEIGHTS)
    return lean / 2 + span, (1 - np.cos(wrap)) / 2 + rise, wrap / 2 + length


def read_only(*arrays: np.ndarray) -> tuple[np.ndarray, ...]:
    """The same arrays, into which nobody can write any more: for what is remembered and handed out again."""
    for each in arrays:
        each.flags.writeable = False
    return arrays


@functools.cache
def _springy_table() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Exact (D/p, crimp, tightest curvature x p) along both branches, D/p rising from 0 to nearly 1."""
    ratio, crimp, peak = _free_quarter(np.linspace(0, 0.82, 120))
    free = peak * ratio <= 2
    wrap = np.linspace(0, math.pi / 2 - 0.05, 80)
    low, high = np.sin(wrap), np.ones_like(wrap)
    for _ in range(50):  # all wraps at once: the end slope at which the height closes, w = D/2
        middle = (low + high) / 2
        short = _wrapped_quarter(middle, wrap)[1] < 0.5
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    run, _, length = _wrapped_quarter(low, wrap)
    tight = 1 / (2 * run)
    ratios, crimps, peaks = read_only(
        np.r_[ratio[free], tight], np.r_[crimp[free], length / run - 1], np.r_[peak[free], 2 / tight]
    )
    return ratios, crimps, peaks


def springy_crimp(ratio: float | np.ndarray) -> np.ndarray:
    """Crimp of an elastic rod over straight round posts with no pull along it; `ratio` = D/p; nan from 1 up.

    Source: Bisshopp and Drucker 1945 read as a quarter wave; the wrapped branch is derived here. Interpolated in a
    table of exact values (error below 1e-5).
    """
    ratios, crimps, _ = _springy_table()
    ratio = np.asarray(ratio, float)
    # Interpolating the small difference to the taut path keeps the table coarse and the answer fine.
    extra = np.interp(ratio, np.r_[ratios, 1.0], np.r_[crimps - taut_crimp(ratios), 0.0])
    return np.where(ratio < JAM_RATIO, taut_crimp(np.minimum(ratio, 1.0)) + extra, np.nan)


def tightest_bend(ratio: float, spacing: float) -> float:
    """Smallest radius, mm, of a springy rod's axis over posts `spacing` mm apart at D/p = `ratio`."""
    ratios, _, peaks = _springy_table()
    peak = float(np.interp(ratio, ratios, peaks))
    return math.inf if peak == 0 else spacing / peak


def arch_length(span: float, rise: float) -> float:
    """Length of a half ellipse of the given span and rise, mm (Ramanujan's second form, error below 1e-5)."""
    a, b = span / 2, rise
    h = ((a - b) / (a + b)) ** 2 if a + b else 0.0
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))) / 2
