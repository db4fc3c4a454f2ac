"""How a maker's gauge corrects what slype reckons: row pitch, take-up, border, tails, pace, each with its range.

Theory
1. A correction is a ratio, measured over reckoned, with a spread. What was measured by hand goes before what a book
   learned; what names weave and reed before what names one of them; without any, slype's own figure stands.
2. Rows are measured as so many to a height, whatever the reed's stated thickness; the ratio follows from this band's
   reckoned pitch. A border's length holds its fingers and tail; fingers alone replace only that part of it.
3. Learned ratios are to the figures that slype reckons with the reed's stated thickness. So a learned thickness changes
   no row (that would count it twice) but only weights, which go with its square.
4. A length made of several parts has the range of their sum, taken as independent: roots of summed squares to either
   side. A spoke is cut so long that it is long enough in the gauge's share of baskets.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist
from typing import NamedTuple, TypeVar

from ..borders.rows import Need
from ..design.gauge import WIDE, Gauge, Learned, RowsMeasured, spread_of_one
from ..design.values import Band, Design
from ..reeds import Reed

TUCK_MM = 50.8
"""Length left over at each end of a weaver to tuck in: two inches (common practice, no source)."""


@dataclass(frozen=True)
class Correction:
    """`times` what slype reckons, with the `spread` of its logarithm; `by_hand` where it was measured for this design
    or reed, not learned."""

    times: float
    spread: float
    by_hand: bool = False

    @property
    def range(self) -> tuple[float, float]:
        """The ratios between which 19 in 20 lie."""
        return self.times * math.exp(-WIDE * self.spread), self.times * math.exp(WIDE * self.spread)


Entry = TypeVar("Entry", RowsMeasured, Learned)


def _nearest(entries: Iterable[Entry], weave: str, reed: str) -> Entry | None:
    """The entry that says most of a weave in a reed, the last of equals."""
    fits = [each for each in entries if each.weave in ("", weave) and each.reed in ("", reed)]
    # What was measured later is written below; `max` takes the first of equals.
    return max(reversed(fits), key=lambda each: 2 * bool(each.weave) + bool(each.reed), default=None)


def _learned(gauge: Gauge, quantity: str, weave: str = "", reed: str = "") -> Correction | None:
    found = _nearest((each for each in gauge.learned if each.quantity == quantity), weave, reed)
    return None if found is None else Correction(found.times, found.spread)


def _of_band(design: Design, band: Band, what: str, quantity: str, ratio) -> Correction | None:
    """What hands, else a book, say of a band; `ratio` the correction that a measured entry with `what` stands for."""
    gauge = design.gauge
    if gauge is None:
        return None
    weave, reed = band.weave.name, band.reed.key
    mine = _nearest((each for each in gauge.rows if getattr(each, what) is not None), weave, reed)
    if mine is not None:
        return Correction(ratio(mine), spread_of_one(quantity), True)
    return _learned(gauge, quantity, weave, reed)


def row_pitch(design: Design, band: Band, pitch_mm: float) -> Correction | None:
    """The correction of a band's row pitch, reckoned `pitch_mm`; None where nothing is known."""
    return _of_band(design, band, "height_mm", "row pitch", lambda each: each.height_mm / each.rows / pitch_mm)


def take_up(design: Design, band: Band, reckoned: float) -> Correction | None:
    """The correction of a band's take-up, reckoned so in the mean."""
    return _of_band(design, band, "take_up", "take-up", lambda each: each.take_up / reckoned)


def stroke_time(design: Design, band: Band) -> Correction | None:
    """The correction of the time that one stroke of a band takes at the design's pace."""
    pace = design.pace.strokes_per_minute
    return _of_band(design, band, "strokes_per_minute", "stroke time", lambda each: pace / each.strokes_per_minute)


def strokes_per_minute(design: Design, band: Band) -> float:
    """Strokes of a band in a minute, as this maker weaves it."""
    found = stroke_time(design, band)
    return design.pace.strokes_per_minute / (found.times if found else 1.0)


def thickness(design: Design, reed: Reed) -> float:
    """How many times as thick as stated a reed is, for its weight."""
    found = design.gauge and _learned(design.gauge, "thickness", "", reed.key)
    return found.times if found else 1.0


def tail_mm(design: Design) -> float:
    """Length of the tail left at each end of a weaver."""
    gauge = design.gauge
    if gauge is None:
        return TUCK_MM
    if gauge.tail_mm is not None:
        return gauge.tail_mm
    found = _learned(gauge, "tails")
    return TUCK_MM * found.times if found else TUCK_MM


def tail_spread(design: Design) -> float:
    """The spread of the tails' length in the gauge of a design that has one; 0 where it says nothing."""
    assert design.gauge is not None, "asked of a design with a gauge"
    if design.gauge.tail_mm is not None:
        return spread_of_one("tails")
    found = _learned(design.gauge, "tails")
    return found.spread if found else 0.0


def border(design: Design, need: Need) -> Need:
    """What one end needs above the last row, as this maker's borders take it."""
    gauge = design.gauge
    if gauge is None:
        return need
    reckoned, reed = need.length_mm, design.spokes.reed.key
    held = sum(part[1] for part in need.parts if part[0] == "fingers")
    if gauge.border_mm is not None:
        return _as_taken(
            Correction(gauge.border_mm / reckoned, spread_of_one("border")), reckoned, "as you measured it"
        )
    fingers = None
    if gauge.fingers_mm is not None and held:
        fingers = Correction(gauge.fingers_mm / held, spread_of_one("fingers"))
    elif (whole := _learned(gauge, "border", "", reed)) is not None:
        return _as_taken(whole, reckoned, "as your borders take it")
    elif held:
        fingers = _learned(gauge, "fingers", "", reed)
    if fingers is None:
        return need
    parts = tuple(
        (name, held * fingers.times, "what your fingers hold, as you measured it", "gauge") if name == "fingers"
        else (name, mm, why, source)
        for name, mm, why, source in need.parts
    )  # fmt: skip
    bare = reckoned - held
    low, high = (bare + held * each for each in fingers.range)
    return Need(parts, (low, high))


def _as_taken(found: Correction, reckoned: float, why: str) -> Need:
    low, high = (reckoned * each for each in found.range)
    return Need((("border", reckoned * found.times, why, "gauge"),), (low, high))


# Lengths of several parts --------------------------------------------------------------------------------------


class Swing(NamedTuple):
    """How a length may come out, mm from its middle: `low` below 0 and `high` above bound 19 in 20; `enough` is how far
    beyond its middle it reaches where it is long enough as often as was asked."""

    low: float
    high: float
    enough: float = 0.0

    def times(self, many: float) -> Swing:
        """Of so many such lengths in one piece, which err alike."""
        return Swing(many * self.low, many * self.high, many * self.enough)


def swing_of(middle_mm: float, low_mm: float, high_mm: float, share: float) -> Swing:
    """The swing of a length with its range of 19 in 20, taken as lognormal above its middle."""
    if not 0 < middle_mm < high_mm:
        return Swing(low_mm - middle_mm, high_mm - middle_mm)
    spread = math.log(high_mm / middle_mm) / WIDE
    beyond = middle_mm * (math.exp(spread * NormalDist().inv_cdf(share)) - 1)
    return Swing(low_mm - middle_mm, high_mm - middle_mm, max(0.0, beyond))


def together(parts: Iterable[Swing]) -> Swing:
    """The swing of a sum whose parts err each their own way."""
    low, high, enough = zip(*parts, strict=True)
    return Swing(-math.hypot(*low), math.hypot(*high), math.hypot(*enough))
