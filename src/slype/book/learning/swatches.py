"""The swatch of an evening: which few rows, woven and measured, teach most for a given basket.

A swatch is some rows of one weave in one reed on a ring of spokes, measured for height, reed used and time. What it
would teach is known before it is woven (`gauge.spread_after`): how much narrower the range of the basket's rows gets.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

from .figures import SWATCH_ENDS as ENDS
from .figures import SWATCH_ROWS as ROWS
from .gauge import Known, spread_after

if TYPE_CHECKING:
    from ...plans.planning import Plan

__all__ = ["ENDS", "ROWS", "Swatch", "swatches"]
WIDE = NormalDist().inv_cdf(0.975)


@dataclass(frozen=True)
class Swatch:
    """Rows of one weave in one reed: the basket's side in `height_mm` has a range of `now_mm` (to either side, nineteen
    times in twenty), and of `then_mm` once this is measured."""

    weave: str
    reed: str
    height_mm: float
    now_mm: float
    then_mm: float

    @property
    def narrower(self) -> float:
        """By which share of itself the range shrinks."""
        return 1 - self.then_mm / self.now_mm if self.now_mm else 0.0


def swatches(plan: Plan, known: Mapping[str, Known]) -> list[Swatch]:
    """Swatches of the weaves and reeds of this basket's side, the one that teaches most about its height first."""
    bands = [band for band in plan.laid.side if band.pitch_mm > 0]
    heights: dict[tuple[str, str], float] = {}
    for band in bands:
        key = band.band.weave.name, band.band.reed.key
        heights[key] = heights.get(key, 0.0) + len(band.s) * band.pitch_mm
    total = sum(heights.values())
    gauge = known["row pitch"]
    now = _range(heights, {key: sqrt(gauge.lasting(*key)[1]) for key in heights})
    out = [
        Swatch(*key, total, now, _range(heights, {each: spread_after(gauge, *each, [key]) for each in heights}))
        for key in heights
    ]
    return sorted(out, key=lambda swatch: swatch.then_mm)


def _range(heights: Mapping[tuple[str, str], float], spreads: Mapping[tuple[str, str], float]) -> float:
    """How far the height of all bands may be off to either side, mm: bands of one maker err the same way, so their
    ranges add up."""
    return sum(mm * (exp(WIDE * spreads[key]) - 1) for key, mm in heights.items())
