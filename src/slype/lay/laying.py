"""From design to numbers: where every row lies, how long every weaver is, what the border needs.

The quick form, in stacked rows. Stacking cells: one short trace of a weave, stacked, gives its row pitch and how much
its weavers rise and fall; the crimp of a rod between spokes gives the rest of the take-up. Both are steady, so a long
band costs no more than a short one. Lengths mm. Reeds at rest (`rest.relax`) stand in place of these estimates where
they were asked for.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from dataclasses import replace

import numpy as np

from ..borders.rows import border_need
from ..design.values import MOST_ROWS, Band, Design
from ..errors import Unweavable
from ..reeds import Reed
from ..rods import stack
from ..weave.effects import weaver_colours
from ..weave.trace import locked
from . import gauge
from .limits import check_side
from .pitch import Steady, short_trace, steady_rows
from .rows import base_rows, side_rows
from .spacing import RingStretch, cross_radius, spacing_range, stretches
from .values import TIGHTEST_RATIO, BandLaid, Laid, flat_mm


def lay(design: Design) -> Laid:
    """Work the design out. Raises Unweavable naming the band when no hands could weave it."""
    cross = cross_radius(design)
    bands: list[BandLaid] = []
    at = cross
    for i, band in design.bands_at("base"):
        bands.append(_lay_band(design, i, band, at, base_rows))
        at = bands[-1].end_s
    at = 0.0
    for i, band in design.bands_at("side"):
        bands.append(_lay_band(design, i, band, at, side_rows))
        at = bands[-1].end_s
    check_side(design, at)
    # Where some stand wider than others, the widest say how long an end must be, and the closest whether it can pass.
    closest, spacing = spacing_range(design, at)
    try:
        border_need(design.border, closest, design.border_reed_mm, len(design.top_reeds))
        need = border_need(design.border, spacing, design.border_reed_mm, len(design.top_reeds))
    except Unweavable as trouble:
        raise trouble.inside(design.name) from None
    return Laid(design, tuple(bands), cross, at, gauge.border(design, need), spacing, closest)


def ungauged(design: Design) -> Design:
    """The same basket, row for row, without its maker's gauge."""
    if design.gauge is None:
        return design
    rows = {band.index: band.rows for band in lay(design).bands}
    counted = [
        replace(band, rows=rows[i], height_mm=None, until_mm=None, to_top=False) for i, band in enumerate(design.bands)
    ]
    return replace(design, bands=tuple(counted), gauge=None)


def as_reckoned(design: Design) -> Laid:
    """The design laid without its maker's gauge, row for row: what reeds of their stated thickness do by themselves."""
    return lay(design) if design.gauge is None else replace(lay(ungauged(design)), design=design)


def _lay_band(design: Design, index: int, band: Band, start_s: float, rows_and_radii) -> BandLaid:
    ends, tier = design.ends_at(index), design.tier_at(index)
    spaces = band.spaces(ends)
    place = design.at("band", index)
    try:
        steady = steady_rows(band.weave, spaces)
    except Unweavable as trouble:
        raise trouble.inside(place) from None
    pitch = steady.pitch * band.reed.diameter_mm
    packs = gauge.row_pitch(design, band, pitch)
    pitch *= packs.times if packs else 1.0
    rows, s, radius = rows_and_radii(design, index, band, start_s, pitch, place)
    if rows > MOST_ROWS:
        raise Unweavable(
            f"this band would take {rows} rows.", place, f"At most {MOST_ROWS}: use coarser reed or a lower band."
        )
    stand = tuple(reed.diameter_mm for reed in design.reeds_at(index))
    # A change of one thing leaves most bands as they were; what is worked out for one is never altered.
    key = (index, band, start_s, rows, design.form, tier, design.tiers(band.where)[: tier + 1], stand, design.gauge)
    if key in _known:
        _known.move_to_end(key)
        return _known[key]
    spacing = 2 * math.pi * radius / spaces
    deep = max(stand) + band.reed.diameter_mm
    parts = stretches(design, band.where, tier, s)
    # A weaver bends only in the gap: over a group of ends laid side by side it runs straight.
    gaps = [part.spacing * ends / spaces - flat_mm(stand, ends / spaces) for part in parts]
    gap = np.minimum.reduce(gaps)
    ratio = deep / np.maximum(gap, 1e-9)
    # Ring length at the weaver's own mean distance from the spoke ring, outside and inside weighed by its faces.
    faces = steady.fronts + steady.backs
    offset = 1 + (steady.fronts - steady.backs) / faces * deep / 2 / radius
    taut, springy = (offset + _winding(steady, band.reed, parts, gaps, ends / spaces, deep, crimp) for crimp in CRIMPS)
    take_up = (taut + springy) / 2
    takes = gauge.take_up(design, band, float(take_up.mean()))
    if takes is not None:
        taut, springy = (take_up * each for each in takes.range)
        take_up = take_up * takes.times
    round_share = band.weave.reach / spaces if band.weave.turns == "back" else 1.0
    colours = weaver_colours(band.weave, spaces, band.colours, band.strands, place / "colours")
    _known[key] = BandLaid(
        index,
        band,
        spaces,
        steady,
        pitch,
        start_s,
        start_s + rows * pitch,
        s,
        radius,
        spacing,
        gap,
        ratio,
        take_up,
        (taut, springy),
        2 * math.pi * radius * take_up * round_share,
        colours,
        locked(short_trace(band.weave, spaces)),
        ends=ends,
        tier=tier,
        stand_mm=stand,
        packs=packs,
        takes=takes,
        tail_mm=gauge.tail_mm(design),
    )
    while len(_known) > MOST_KNOWN:
        _known.popitem(last=False)
    return _known[key]


_known: OrderedDict[tuple, BandLaid] = OrderedDict()
MOST_KNOWN = 128

CRIMPS = (stack.taut_crimp, stack.springy_crimp)


def _winding(
    steady: Steady, reed: Reed, parts: list[RingStretch], gaps, group: float, deep: float, crimp
) -> np.ndarray:
    """What weaving in and out and climbing add to a ring, as a share of it (rows,): each stretch for itself."""
    more: np.ndarray = np.zeros(())
    for part, gap in zip(parts, gaps, strict=True):
        spacing = part.spacing * group
        held = np.minimum(deep / np.maximum(gap, 1e-9), TIGHTEST_RATIO)
        # A true slope, not a small one: extra e of the small-slope length stands for a slope whose square is 2 e.
        climb = np.sqrt(1 + 2 * steady.rise * reed.diameter_mm**2 / spacing**2) - 1
        more = more + part.share * (steady.crossings * crimp(held) * gap / spacing + climb)
    return more
