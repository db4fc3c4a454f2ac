"""The edge of a woven base, and how far down beside it the first rows of the side may come. Lengths mm.

Where a reed of the side passes over the base's last row it lies on that. Between two sticks the row dips, and outside
nothing is below: there it may come down until it touches the row's flank, at most until it lies beside the sticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..lay.values import Laid
from ..rods.compiled import compiled
from .built import Built

NEAR = 3.0
"""So far within its edge reeds of a base count, in thicknesses of those of its last band."""
FIRST_ROWS = 3.0
"""Of reeds that begin so many thicknesses higher than on the base it is not asked: they never come down to it."""
DRAWN_IN = 0.5
"""So many thicknesses further in than it begins a reed may come to lie, drawn straight (as it was found)."""
LOWEST = 0.25
"""So many of its thicknesses above the middle of the sticks a reed's middle lies at least (common practice, no source).
Lower, its way from what it lies on is so steep that some are pressed aside there."""
STEP_MM = 0.1
"""How finely it is looked for where a reed first lies clear."""


@dataclass(frozen=True, eq=False)
class Edge:
    """The reeds of a base near its edge: `out` and `up` (k, stations) mm of their middles beside the stations of the
    side, outward from the foot of the wall and above the middle of the sticks, NaN where there is none; `radius` (k,)
    mm; `wide` where the base reaches beyond that foot by more than half a reed. `on_it_mm` how high along the wall what
    lies on its last row begins; `lean` and `rise` of the wall at its foot, for each mm along it."""

    out: np.ndarray
    up: np.ndarray
    radius: np.ndarray
    wide: bool
    on_it_mm: float
    lean: float
    rise: float

    def least(self, station: np.ndarray, s: np.ndarray, n: np.ndarray, r: np.ndarray) -> np.ndarray:
        """Least height (nodes,) along the wall of the middles of reeds of radius `r` that begin at (s, n), at
        `station`."""
        highest = self.on_it_mm + r
        out: np.ndarray = highest.copy()
        near = np.flatnonzero(s < highest + FIRST_ROWS * 2 * r)
        if not len(near):
            return out
        station, n, r = station[near] % self.out.shape[1], n[near], r[near]
        if self.wide:  # rows of the base lie outside of the foot, too: only what passes outside comes lower
            out[near] -= self.on_it_mm * np.clip(n / max(float(n.max()), 1e-9), 0.0, 1.0)
            return out
        count = len(np.arange(0.0, float(highest[near].max()) + STEP_MM, STEP_MM))
        wall, reeds = (self.rise, self.lean), (self.out, self.up, self.radius)
        clear_from = _clear_from(count, STEP_MM, *wall, *reeds, station, n, r, DRAWN_IN)
        out[near] = np.clip(clear_from * STEP_MM, LOWEST * 2 * r, highest[near])
        return out


@compiled()
def _clear_from(
    count: int, step: float, rise: float, lean: float, out: np.ndarray, up: np.ndarray, radius: np.ndarray,
    station: np.ndarray, n: np.ndarray, r: np.ndarray, drawn_in: float,
) -> np.ndarray:  # fmt: skip
    """Number of the first of `count` heights, `step` mm apart along the wall, from which on up a reed of radius `r`
    at `n`, both (nodes,), touches none of the reeds at its `station` (see `Edge`)."""
    clear = np.zeros(len(n), np.int64)
    for i in range(len(n)):
        here = station[i]
        for k in range(len(radius)):
            if not np.isfinite(out[k, here]):
                continue
            touch = (r[i] + radius[k]) ** 2
            for level in range(count - 1, clear[i] - 1, -1):  # from above: the first that touches is the last
                high = level * step
                off = n[i] * rise + high * lean - out[k, here]
                off -= min(max(off, 0.0), drawn_in * 2 * r[i])
                above = high * rise - n[i] * lean - up[k, here]
                if off * off + above * above < touch:
                    clear[i] = level + 1
                    break
    return clear


def edge_of(laid: Laid, base: Built, at: np.ndarray, stations_round: int) -> Edge:
    """The edge of a base whose nodes came to rest `at` (nodes, 2), beside so many stations of the side."""
    design, half = laid.design, laid.design.form.base_width_mm / 2
    reach = half - NEAR * laid.base[-1].band.reed.diameter_mm
    ends = np.arange(stations_round) * design.foot_ends / stations_round
    side = design.turn("side", ends, 0)
    side -= np.floor(side)
    outs, ups, radius = [], [], []
    off = base.wall.off
    for i, line in enumerate(base.lines):
        nodes = slice(off[i], off[i + 1])
        if at[nodes, 0].max() < reach:
            continue
        turn = design.turn("base", base.u[nodes])
        for lap in range(int(np.floor(turn[0])), int(np.floor(turn[-1])) + 1):
            place = side + lap
            s, n = (np.interp(place, turn, at[nodes, k], np.nan, np.nan) for k in (0, 1))
            there = s >= reach
            if there.any():
                outs.append(np.where(there, s - half, np.nan))
                ups.append(np.where(there, -n, np.nan))
                radius.append(line.thick_mm / 2)
    _, _, lean, rise = (float(each[0]) for each in design.form.leaning(np.zeros(1)))
    out, up = (np.array(each).reshape(-1, stations_round) for each in (outs, ups))
    wide = laid.base_reached_mm > design.form.base_width_mm + laid.base[-1].band.reed.diameter_mm
    return Edge(out, up, np.array(radius), wide, laid.turn_mm, lean, rise)
