"""A lid on a laid basket: how wide it must be, and the design it is woven by.

The lid is laid and planned by the same rooms as any basket: a flat lid is a mat, one with a side a shallow basket.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from ..borders.meetings import thicknesses
from ..borders.rows import OPEN_RISE, path_of_end
from ..design.values import Design, Lid
from ..errors import Unweavable
from ..form.lids import Mouth, Seat, seat_named, span, why_not
from ..form.wall import Form
from .laying import lay
from .values import Laid


@dataclass(frozen=True)
class LidFit:
    """How a lid sits: its `design`, the `mouth` it closes, its `across_mm` (outside; of one with a side, at its
    spokes), where it `rests_mm` below the border (None: it does not go in), and how much of that is `play_mm` all
    round."""

    lid: Lid
    seat: Seat
    design: Design
    mouth: Mouth
    across_mm: float
    side_mm: float
    rests_mm: float | None
    play_mm: float


@functools.lru_cache(maxsize=8)
def fit_lid(laid: Laid) -> LidFit | None:
    """The lid of the design on this basket, fitted once and remembered with it, or None. Raises Unweavable when it is
    larger than its seat or falls in."""
    lid = laid.design.lid
    if lid is None:
        return None
    place = laid.design.at("lid")
    if not laid.side:
        raise Unweavable("there is no mouth to close.", place, "Weave a side, or leave the lid out.")
    if not laid.design.form.is_round:
        raise Unweavable("lids can only be worked out for round baskets yet.", place, "Leave the lid out.")
    seat, mouth = seat_named(lid.seat), mouth_of(laid)
    side = _side_mm(lid)
    across = lid.across_mm or span(seat, mouth, lid.play_mm, side)
    trouble = why_not(seat, mouth, across, side)
    if trouble:
        raise Unweavable(trouble[0], place, trouble[1])
    ring = across if seat.has_side else _ring(lid, across)
    if ring <= 0:
        raise Unweavable("its border alone is wider than the mouth.", place, "Use a narrower border on the lid.")
    rests = mouth.rests_at(across) if seat.name == "inside" else None
    play = {
        "inside": (mouth.opening_mm - across) / 2,
        "on": 0.0,
        "over": (across - 2 * side - mouth.outside_mm) / 2,
    }[seat.name]
    return LidFit(lid, seat, sized(lid, ring, laid.design), mouth, across, side, rests, play)


@functools.lru_cache(maxsize=4)
def lid_laid(laid: Laid) -> Laid | None:
    """The lid as a basket of its own: at rest with the basket where that is, else of stacked rows; None without one."""
    fit = fit_lid(laid)
    return None if fit is None else laid.lid or lay(fit.design)


def mouth_of(laid: Laid) -> Mouth:
    """What a lid meets: reeds stand half a spoke to either side of the spoke ring, weavers and the border's ends a
    thickness of their own beyond it."""
    design, spoke = laid.design, laid.design.spokes.reed.diameter_mm
    faces = {outside for _, outside, _ in path_of_end(design.border)}
    within, without = (spoke if face in faces and not design.border.is_open else 0.0 for face in (False, True))
    top = laid.side[-1].band.reed.diameter_mm
    opening = laid.mouth_mm - spoke - 2 * max(within, top)
    outside = laid.mouth_mm + spoke + 2 * max(without, top)
    s = np.linspace(laid.top_s, 0.0, 200)
    thick = np.array([_reed_at(laid, float(at)) for at in s])
    clear = 2 * design.form.radius(s) - spoke - 2 * thick
    top_height = float(design.form.height(laid.top_s))
    down = top_height - design.form.height(s) + laid.border_height_mm
    return Mouth(opening, outside, tuple(zip(down.tolist(), clear.tolist(), strict=True)))


def _reed_at(laid: Laid, s: float) -> float:
    """Thickness of the weaver at `s` up the wall."""
    band = next((band for band in laid.side if band.start_s <= s <= band.end_s), laid.side[-1])
    return band.band.reed.diameter_mm


def _side_mm(lid: Lid) -> float:
    """How far the lid's own side reaches inward from the ring of its spokes."""
    side = [band for band in lid.mat.bands if band.where == "side"]
    if not side:
        return 0.0
    return lid.mat.spokes.reed.diameter_mm / 2 + max(band.reed.diameter_mm for band in side)


def _ring(lid: Lid, across: float) -> float:
    """Diameter at which a flat lid's weaving ends so that its border brings it to `across`."""
    border, spokes = lid.mat.border, lid.mat.spokes
    if border.is_open:  # arches stand out by a share of the spacing, which grows with the ring
        return across / (1 + 2 * (border.reach + 0.5) * OPEN_RISE * math.pi / spokes.ends)
    return across - 2 * lid.mat.border_end_mm * thicknesses(border)


def across_as_woven(fit: LidFit, laid: Laid) -> float:
    """Width of the lid once its rows are whole ones, mm: outside of a flat one, at the spokes of one with a side."""
    if fit.seat.has_side:
        return fit.across_mm
    return laid.base_reached_mm + 2 * laid.border_height_mm


def sized(lid: Lid, ring_mm: float, basket: Design) -> Design:
    """The lid as a design of its own, its base `ring_mm` across, with the basket's hand, wording, units and pace."""
    depth = lid.mat.form.wall[-1][0]
    bands = tuple(replace(band, until_mm=ring_mm) if i == lid.fills else band for i, band in enumerate(lid.mat.bands))
    used = dict.fromkeys([lid.mat.spokes.colour, *(c for band in bands for c in band.colours)])
    return replace(
        lid.mat,
        title=f"Lid of {basket.title}",
        form=Form(ring_mm, ((0.0, ring_mm), (depth, ring_mm))),
        bands=bands,
        hand=basket.hand,
        wording=basket.wording,
        units=basket.units,
        pace=basket.pace,
        gauge=basket.gauge and basket.gauge.elsewhere(),
        palette={name: basket.palette[name] for name in used},
        name=f"{basket.name}, lid",
        of_lid=True,
    )
