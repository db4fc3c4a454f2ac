"""How far apart ends stand, round the base and up the wall. Lengths mm.

A wall that is not round has stretches: its straight sides and its round ends or corners. Each keeps its ends all the
way up, so where the wall flares one way more than the other they come to stand wider on one stretch than on the
other. A base is taken in the mean: round its ends the first rows take the long sticks together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..design.values import Design
from ..errors import Unweavable
from ..form.bases import first_ring_mm
from ..quantity import show_length

FEWEST = 2.0
"""A stretch with fewer spaces than this is not told apart from the rest."""


@dataclass(frozen=True, eq=False)
class RingStretch:
    """One kind of stretch of every ring: `spaces` of it between ends, each `spacing` (rings,) mm; `share` (rings,) of
    the ring's length."""

    spaces: float
    spacing: np.ndarray
    share: np.ndarray


def stretches(design: Design, where: str, tier: int, s: np.ndarray) -> list[RingStretch]:
    """The stretches of the rings at `s` (rings,): one alone where all spaces are alike."""
    form, stands = design.form, design.tiers(where)[tier]
    radius = form.base_radius(s) if where == "base" else np.maximum(form.radius(s), 1.0)
    ring, ends = 2 * math.pi * radius, stands.ends
    alike = [RingStretch(ends, ring / ends, np.ones_like(ring))]
    if form.is_round or where == "base":
        return alike
    length, width, corner = (float(each) for each in form.sides(0.0))
    curve = 2 * math.pi * form.sides(s)[2]
    foot = 2 * math.pi * corner
    on_curve = ends * foot / (foot + 2 * (length + width - 4 * corner))
    if stands.on_curve is not None:
        on_curve = 2.0 * stands.on_curve
    straight = ring - curve
    if min(on_curve, ends - on_curve) < FEWEST or np.any(straight <= 1.0) or np.any(curve <= 1.0):
        return alike
    return [RingStretch(many, mm / many, mm / ring) for many, mm in ((ends - on_curve, straight), (on_curve, curve))]


def spacing_range(design: Design, s: float) -> tuple[float, float]:
    """(least, most) mm from one of the topmost ends to the next, `s` up the wall: alike on a round basket."""
    ends = design.top_ends
    if design.form.is_round:
        even = 2 * math.pi * float(design.form.radius(s)) / ends
        return even, even
    turn = design.turn("side", np.linspace(0.5, ends + 0.5, 16 * ends + 1))
    x, y, _, _ = design.form.place(turn, np.full(len(turn), s))
    along = np.hypot(np.diff(x), np.diff(y)).reshape(ends, 16).sum(axis=1)
    return float(along.min()), float(along.max())


def cross_radius(design: Design) -> float:
    """Half-width, mm, of the inner side of the first row round the base sticks.

    Round a cross: as `form.bases` has it. On an oval base: along the long sticks, side by side. Raises
    Unweavable for an oval narrower than its sticks.
    """
    spokes = design.spokes
    base = design.bands_at("base")
    weaver = base[0][1].reed.diameter_mm if base else 0.0
    if not design.form.is_round:
        beside = 1 if spokes.inserted else spokes.per_end
        half = long_sticks(design) * beside * spokes.stick_reed.diameter_mm / 2
        if base and 2 * half + weaver > design.form.base_width_mm:
            raise Unweavable(
                f"{long_sticks(design)} long sticks side by side are {show_length(2 * half, design.units, 16)} wide, "
                f"and the base is {show_length(design.form.base_width_mm, design.units, 16)}.",
                design.at("form", "base"),
                "Use fewer ends or finer sticks, or a wider base.",
            )
        return half
    beside = 1 if spokes.inserted else spokes.per_end
    sticks, thick = math.ceil(spokes.ends_at_base / 2), spokes.stick_reed.diameter_mm
    if not base or base[0][1].sizes(spokes.ends_at_base) == design.arms:
        return first_ring_mm(design.base, sticks, beside, thick) + thick / 2
    # Between sticks of one arm no row comes so near: side by side they leave its weaver no room.
    square = sticks + sticks % 2 if design.base.through is None else sticks
    return first_ring_mm(design.base, square, beside, thick) + (thick + weaver) / 2


def long_sticks(design: Design) -> int:
    """Sticks along an oval base: as many as the maker says, or have an end on its round end; the rest lie across."""
    ends = design.spokes.ends_at_base
    if design.spokes.long_sticks is not None:
        return design.spokes.long_sticks
    turn = (np.arange(ends) + 0.5) / ends
    x, *_ = design.form.place(turn, np.zeros(ends))
    return max(1, int(np.sum(design.form.past_straight(x) & (x > 0))))
