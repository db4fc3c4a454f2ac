"""A wooden board under a laid basket: its holes, its foot border, what its spokes are cut to. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..borders.rows import Need, border_need
from ..design.values import Design
from ..errors import Unweavable
from ..form.bases import Holes, holes
from ..quantity import show_length
from .values import Laid


@dataclass(frozen=True)
class BoardLaid:
    """The board of a basket: `holes`, what one end needs for the `foot` border below it, its `thickness_mm`."""

    holes: Holes
    foot: Need
    thickness_mm: float


def lay_board(laid: Laid) -> BoardLaid | None:
    """The board, or None where the base is woven. Raises Unweavable when the foot cannot be worked on its holes."""
    design = laid.design
    if not design.base.is_board:
        return None
    spokes, base = design.spokes, design.base
    assert base.foot is not None, "a board has a foot border"
    found = board_holes(design)
    if min(found.pitch_mm, found.chord_mm) <= found.drill_mm:
        raise Unweavable(
            f"{found.count} holes of {show_length(found.drill_mm, design.units, 64)} run into each other on this "
            f"board, {show_length(found.pitch_mm, design.units, 64)} apart.",
            design.at("spokes", "ends"),
            "Use fewer ends, finer spokes or a larger board.",
        )
    if found.margin_mm <= found.drill_mm / 2:
        raise Unweavable(
            f"holes of {show_length(found.drill_mm, design.units, 64)} run over the edge of the board, "
            f"{show_length(found.margin_mm, design.units, 64)} from their middles.",
            design.at("form", "wall", "point", 0),
            "Begin the wall further in, or make the board larger.",
        )
    try:
        foot = border_need(base.foot, found.pitch_mm, spokes.reed.diameter_mm, spokes.per_end)
    except Unweavable as trouble:
        raise trouble.inside(design.at("base", "foot")) from None
    if spokes.ends < base.foot.smallest_ends:
        raise Unweavable(
            f"an end of this foot border comes round to itself on {spokes.ends} ends.",
            design.at("base", "foot"),
            f"Use a shorter one or at least {base.foot.smallest_ends} ends.",
        )
    return BoardLaid(found, foot, base.thickness_mm)


def board_holes(design: Design) -> Holes:
    """The holes of a design's board."""
    spokes, form = design.spokes, design.form
    ring = 2 * float(form.radius(0.0))
    # Outlines of one family keep their distance all round, so the narrow way gives the margin.
    across = ring + form.base_width_mm - float(form.sides(0.0)[1])
    return holes(spokes.ends, ring, across, spokes.reed.diameter_range_mm[1], spokes.per_end, design.units)


@dataclass(frozen=True)
class Template:
    """A board in its own plane, mm from its middle, seen on its upper face with space 1 at the top: `places` (holes, 2)
    of the holes in the order of work, `edge` (points, 2) of its outline, `holes`."""

    places: np.ndarray
    edge: np.ndarray
    holes: Holes


def template(design: Design) -> Template:
    """The board of a design to scale. A right-handed maker's holes go round against the clock, seen from above."""
    found, form = board_holes(design), design.form
    turn = design.turn("side", np.arange(found.count) + 0.5, 0)
    x, y, _, _ = form.place(turn, np.zeros(found.count))
    rim = np.linspace(0.0, 1.0, EDGE_POINTS)
    ex, ey, nx, ny = form.place(rim, np.zeros(EDGE_POINTS))
    way = -1.0 if design.hand == "right" else 1.0
    edge = np.column_stack([way * (ex + found.margin_mm * nx), ey + found.margin_mm * ny])
    return Template(np.column_stack([way * x, y]), edge, found)


EDGE_POINTS = 361
