"""How far it truly is up a wall: s is counted along the mean of its sides, and rows lie on every side and face of it.

A wall that bends as it rises is shorter on the inner side of the bend; one that is not round leans more at its corners
than along its sides. Reeds come to rest on a straight wall; on the wall as it is they lie as far up as their thickness
asks where it is shortest, and level all round: elsewhere they then stand a little apart. Lengths mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..lay.values import Laid
from ..space.tubes import on_surface

STEP = 2.0  # mm between the places of s at which a wall is looked at
AROUND = 0.5  # spaces between the places round at which it is looked at
TIGHTEST = 0.5  # mm for each mm of s, at least: a wall that bends more tightly is taken to bend no more
STRAIGHT = 2e-3
"""Walls that are warped by less than this, in mm for each mm, count as straight: a hundredth of a thickness in five
rows (common practice, no source)."""


@dataclass(frozen=True, eq=False)
class Warp:
    """`long` (k,) mm up a wall where it is shortest, at k places of s STEP apart from 0 on; `begins` mm: where its rows
    begin."""

    long: np.ndarray
    begins: float

    def risen(self, s: np.ndarray) -> np.ndarray:
        """Heights (k,) on this wall of what lies at `s` on a straight one."""
        at = np.arange(len(self.long)) * STEP
        long = self.long - np.interp(self.begins, at, self.long) + self.begins
        step = at[-1] - at[-2]
        beyond = np.maximum(s - long[-1], 0.0) * step / (long[-1] - long[-2])
        return np.interp(s, long, at) + beyond + np.minimum(s - long[0], 0.0)


def warp_of(laid: Laid) -> Warp | None:
    """The warp of the wall of the side; None where it has none."""
    if laid.is_mat or not laid.side:
        return None
    form = laid.design.form
    aside = max((max(band.stand_mm) + band.band.reed.diameter_mm) / 2 for band in laid.side)
    s = np.arange(0.0, 2 * laid.top_s + 20 * STEP, STEP)
    u = np.zeros(1) if form.is_round else np.arange(0.0, laid.design.top_ends, AROUND)
    at_u, at_s = np.repeat(u, len(s)), np.tile(s, len(u))
    each = [_long(laid, at_u, at_s, n).reshape(len(u), len(s)).min(axis=0) for n in (-aside, 0.0, aside)]
    short = np.clip(np.minimum.reduce(each), TIGHTEST, 1 / TIGHTEST)
    if np.abs(short - 1).max() < STRAIGHT:
        return None
    return Warp(np.r_[0.0, np.cumsum((short[1:] + short[:-1]) / 2)] * STEP, laid.turn_mm)


def _long(laid: Laid, u: np.ndarray, s: np.ndarray, n: float) -> np.ndarray:
    """mm up the wall for each mm of s at places (k,), `n` mm outside of its middle."""
    low, high = np.maximum(s - STEP / 2, 0.0), s + STEP / 2
    at = np.full(len(s), n)
    ends = [np.stack(on_surface(laid, "side", u, each, at)) for each in (low, high)]
    return np.sqrt(((ends[1] - ends[0]) ** 2).sum(axis=0)) / (high - low)
