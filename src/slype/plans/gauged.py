"""What a maker's gauge changed in a plan: each figure as reckoned and as corrected, with its range and whose it is.

Figures of a basket with a gauge are the maker's wherever the gauge speaks, of reeds at rest too: rods know thickness
and stiffness, not hands.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..design.values import Design
from ..lay import gauge
from ..lay.laying import as_reckoned, lay
from ..lay.values import BandLaid, Laid

WALL_SHARE = 0.1
"""Rows pack a tenth tighter or looser than reckoned, where no gauge says more (common practice, no source)."""


@dataclass(frozen=True)
class Changed:
    """One figure that the gauge speaks of: a `quantity` of the gauge `where` (a band's index, or None), `reckoned` by
    slype and `now`, and `low` to `high` where 19 in 20 lie, in `unit` ("mm", "per minute", "times"); `by_hand` or
    learned; `rows` that the band had before, where it is woven to a height and has other rows now."""

    quantity: str
    where: int | None
    reckoned: float
    now: float
    low: float
    high: float
    unit: str
    by_hand: bool
    rows: int | None = None


def as_woven(design: Design, at_rest: Laid) -> Laid:
    """The basket at rest, with the gauge's figures in place of its rods' where the gauge speaks."""
    if design.gauge is None:
        return at_rest
    stacked, bands, at = lay(design), [], {"base": 0.0, "side": 0.0}
    for mine, rods in zip(stacked.bands, at_rest.bands, strict=True):
        band = replace(mine, at_rest=rods.at_rest)
        if mine.packs is None:
            band = replace(band, pitch_mm=rods.pitch_mm)
        if mine.takes is None:
            band = replace(band, row_mm=rods.row_mm, take_up=rods.take_up)
        start = at[mine.band.where] or band.start_s
        s = start + (np.arange(band.rows) + 0.5) * band.pitch_mm
        end = start + band.rows * band.pitch_mm
        bands.append(replace(band, start_s=start, end_s=end, s=s))
        at[mine.band.where] = end
    return replace(
        stacked, bands=tuple(bands), top_s=at["side"] or stacked.top_s, lid=at_rest.lid, unsettled=at_rest.unsettled
    )


def ends_swing(laid: Laid, border: bool = True) -> gauge.Swing:
    """How much shorter or longer what stands from base to border may come out."""
    wall, need = laid.top_s * WALL_SHARE, laid.border
    if laid.design.gauge is None:
        low, high = (each - need.length_mm if border else 0.0 for each in need.range_mm)
        return gauge.Swing(low - wall, high + wall)
    # Bands of one maker err the same way: their swings add up. Wall and border go each their own way.
    share = laid.design.gauge.share
    walls = [_band_swing(band, share) for band in laid.side]
    parts = [gauge.Swing(*(sum(each) for each in zip(*walls, strict=True)))] if walls else []
    if border:
        parts.append(gauge.swing_of(need.length_mm, *need.range_mm, share))
    return gauge.together(parts) if parts else gauge.Swing(0.0, 0.0)


def _band_swing(band: BandLaid, share: float) -> gauge.Swing:
    mm = band.height_mm
    if band.packs is None:
        return gauge.swing_of(mm, mm * (1 - WALL_SHARE), mm * (1 + WALL_SHARE), share)
    low, high = (mm * each / band.packs.times for each in band.packs.range)
    return gauge.swing_of(mm, low, high, share)


def changed(laid: Laid) -> tuple[Changed, ...]:
    """Everything that the design's gauge speaks of in this basket, band by band, then the rest; () without a gauge."""
    design = laid.design
    if design.gauge is None:
        return ()
    reckoned, out = as_reckoned(design), []
    alone = lay(replace(design, gauge=None))
    for band, before, free in zip(laid.bands, reckoned.bands, alone.bands, strict=True):
        out += _of_band(design, band, before, free.rows)
    was, need = reckoned.border.length_mm, laid.border
    if any(source == "gauge" for *_, source in need.parts):
        name = "fingers" if len(need.parts) > 1 else "border"
        hand = design.gauge.border_mm is not None or (name == "fingers" and design.gauge.fingers_mm is not None)
        out.append(Changed(name, None, was, need.length_mm, *need.range_mm, "mm", hand))
    if laid.tail_mm != gauge.TUCK_MM:
        hand = design.gauge.tail_mm is not None
        spread = gauge.tail_spread(design)
        low, high = gauge.Correction(laid.tail_mm, spread).range
        out.append(Changed("tails", None, gauge.TUCK_MM, laid.tail_mm, low, high, "mm", hand))
    return tuple(out)


def _of_band(design: Design, band: BandLaid, before: BandLaid, rows: int) -> list[Changed]:
    """What the gauge says of a band; `before` it without the gauge, row for row, and the `rows` it would have."""
    out, at = [], band.index
    if band.packs is not None:
        low, high = (before.pitch_mm * band.rows * each for each in band.packs.range)
        was = before.pitch_mm * band.rows
        other = rows if rows != band.rows else None
        out.append(Changed("row pitch", at, was, band.height_mm, low, high, "mm", band.packs.by_hand, other))
    if band.takes is not None:
        was = float(before.take_up.mean())
        low, high = (was * each for each in band.takes.range)
        out.append(Changed("take-up", at, was, float(band.take_up.mean()), low, high, "times", band.takes.by_hand))
    time = gauge.stroke_time(design, band.band)
    if time is not None:
        was = design.pace.strokes_per_minute
        slow, fast = (was / each for each in reversed(time.range))
        out.append(Changed("stroke time", at, was, was / time.times, slow, fast, "per minute", time.by_hand))
    return out


def times_in(share: float) -> str:
    """`19 times in 20`, `9 times in 10`: a share as a maker says it."""
    for of in (10, 20, 50, 100, 1000):
        many = share * of
        if abs(many - round(many)) < 1e-3 * of / 20 and 0 < round(many) < of:
            return f"{round(many)} times in {of}"
    return f"{share:.1%} of the time"
