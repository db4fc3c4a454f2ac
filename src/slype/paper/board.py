"""A board's holes printed at full size, over several pages laid together: nothing to step off, nothing adds up.

Pages overlap and carry the same marks, so that they can be laid over each other; a scale to measure says whether the
printer kept the size. Lengths mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..design.values import Design
from ..errors import DesignError
from ..lay.boards import Template, template
from ..offers import PAPERS
from ..quantity import MM_PER_IN, show_length, show_true
from ..words import several
from .typeset import paper_named, set_pages, short

MARGIN_MM = 12.0
"""What most printers leave white (common practice, no source)."""
OVERLAP_MM = 15.0
FOOT_MM = 16.0
"""Height kept below the drawing of a page for its name and scale."""
EVERY = 5
"""Holes from one number to the next."""


@dataclass(frozen=True)
class Tile:
    """One page: which `column` and `row` from the upper left, and the corner of the board's plane it begins at."""

    column: int
    row: int
    left: float
    top: float


def room_of(paper: str) -> tuple[float, float]:
    """(width, height) of the drawing on one page."""
    wide, high = PAPERS[paper].wide_mm, PAPERS[paper].high_mm
    return wide - 2 * MARGIN_MM, high - 2 * MARGIN_MM - FOOT_MM


def tiles(board: Template, paper: str) -> tuple[Tile, ...]:
    """The pages on which any of the board lies, row by row from the upper left; they overlap by OVERLAP_MM."""
    wide, high = room_of(paper)
    low, top = board.edge.min(axis=0), board.edge.max(axis=0)
    columns, rows = (
        max(1, math.ceil((size - OVERLAP_MM) / (room - OVERLAP_MM)))
        for size, room in zip(top - low, (wide, high), strict=True)
    )
    left = -(columns * wide - (columns - 1) * OVERLAP_MM) / 2
    upper = (rows * high - (rows - 1) * OVERLAP_MM) / 2
    return tuple(
        Tile(c, r, left + c * (wide - OVERLAP_MM), upper - r * (high - OVERLAP_MM))
        for r in range(rows)
        for c in range(columns)
    )


def make(design: Design, paper: str = "a4") -> bytes:
    """The template as PDF. Raises DesignError for a design whose base is no board."""
    paper_named(paper)
    if not design.base.is_board:
        raise DesignError("its base is woven: there is no board to drill.", f"{design.name}, base")
    return set_pages("board.typ", contents(design, paper))


def contents(design: Design, paper: str) -> dict[str, object]:
    """What board.typ sets: words, an overview and one drawing for each page."""
    board = template(design)
    pages, h, units = tiles(board, paper), board.holes, design.units
    wide, high = room_of(paper)
    drill = show_length(h.drill_mm, "in", 64) if units == "in" else f"{h.drill_mm:g} mm"
    apart = f"{show_true(h.chord_mm, units)} straight from one to the next, {h.angle_deg:.2f}° each"
    if not design.form.is_round:
        apart = f"{show_true(h.pitch_mm, units)} from one to the next along their line"
    lines = [
        f"{h.count} holes of {drill}, {apart}; their middles lie {show_length(h.margin_mm, units, 16)} from the edge.",
        "Print it at full size (100 %, not fitted to the page). Measure the scale on every page: if it is off, the "
        "printer has changed the size and the holes will not close.",
        f"Lay the {several(len(pages), 'page')} over each other so that crosses and lines fall together, tape them, "
        "and fix them to the board. Prick every middle through, then drill with a backing board, with glasses on and "
        "hair and sleeves tied back. The rules of the workshop go first.",
        "You look at the upper face. Space 1 lies between the last hole and hole 1, at the arrow; holes are numbered "
        "in the direction of work.",
    ]
    return {
        "title": f"Board for {short(design.title)}",
        "paper": PAPERS[paper].typst,
        "region": "gb" if design.wording == "uk" else "us",
        "margin": MARGIN_MM,
        "lines": lines,
        "overview": {"svg": _overview(board, pages, paper), "alt": "How the pages lie on the board."},
        "pages": [
            {
                "svg": _page(board, tile, len(pages), paper, units),
                "alt": f"Page {_name(tile)}: part of the board at full size.",
                "wide": wide,
                "high": high + FOOT_MM,
            }
            for tile in pages
        ],
    }


def _name(tile: Tile) -> str:
    """`A1` for the upper left page, `B1` to its right."""
    return f"{chr(ord('A') + tile.column)}{tile.row + 1}"


def _drawn(board: Template) -> list[str]:
    """The whole board as SVG in mm, y upwards turned to y downwards."""
    edge = " ".join(f"{x:.3f},{-y:.3f}" for x, y in board.edge)
    out = [f'<polygon points="{edge}" fill="none" stroke="#222" stroke-width="0.4"/>']
    r = board.holes.drill_mm / 2
    middle = board.places.mean(axis=0)
    for i, (x, y) in enumerate(board.places):
        out.append(f'<circle cx="{x:.3f}" cy="{-y:.3f}" r="{r:.3f}" fill="none" stroke="#222" stroke-width="0.25"/>')
        out.append(
            f'<path d="M{x - r - 1:.3f} {-y:.3f}h{2 * r + 2:.3f}M{x:.3f} {-y - r - 1:.3f}v{2 * r + 2:.3f}" '
            'stroke="#222" stroke-width="0.15"/>'
        )
        if i == 0 or (i + 1) % EVERY == 0:
            inward = middle - (x, y)
            tx, ty = np.array((x, y)) + inward / max(1e-9, float(np.hypot(*inward))) * (r + 5.0)
            out.append(
                f'<text x="{tx:.2f}" y="{-ty + 1.2:.2f}" font-size="3.6" text-anchor="middle" '
                f'font-family="Libertinus Serif">{i + 1}</text>'
            )
    first, last = board.places[0], board.places[-1]
    start = (first + last) / 2
    out.append(
        f'<path d="M{start[0]:.2f} {-start[1] + 9:.2f}v-6m-1.2 2l1.2 -2l1.2 2" stroke="#222" fill="none" '
        'stroke-width="0.4"/>'
    )
    out.append('<path d="M-6 0h12M0 -6v12" stroke="#222" stroke-width="0.25"/>')
    return out


def _page(board: Template, tile: Tile, many: int, paper: str, units: str) -> str:
    wide, high = room_of(paper)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high + FOOT_MM}">'
    clip = f'<clipPath id="c"><rect width="{wide}" height="{high}"/></clipPath>'
    drawn = f'<g clip-path="url(#c)"><g transform="translate({-tile.left:.4f} {tile.top:.4f})">'
    frame = f'<rect width="{wide}" height="{high}" fill="none" stroke="#999" stroke-width="0.15"/>'
    return "".join([head, clip, drawn, *_drawn(board), *_crosses(tile, paper), "</g></g>", frame,
                    *_scale(tile, many, high, units), "</svg>"])  # fmt: skip


def _crosses(tile: Tile, paper: str) -> list[str]:
    """Marks in the middle of what two pages share, the same on both."""
    wide, high = room_of(paper)
    out = []
    for dx in (OVERLAP_MM / 2, wide / 2, wide - OVERLAP_MM / 2):
        for dy in (OVERLAP_MM / 2, high / 2, high - OVERLAP_MM / 2):
            if (dx, dy) != (wide / 2, high / 2):
                x, y = tile.left + dx, -tile.top + dy
                out.append(f'<path d="M{x - 3:.3f} {y:.3f}h6M{x:.3f} {y - 3:.3f}v6" stroke="#888" stroke-width="0.2"/>')
    return out


def _scale(tile: Tile, many: int, high: float, units: str) -> list[str]:
    """The page's name and a line to measure: 10 cm, or 4 inches."""
    long, name = (4 * MM_PER_IN, "4 in") if units == "in" else (100.0, "10 cm")
    y = high + 9
    return [
        f'<text x="0" y="{y + 1:.1f}" font-size="4" font-family="Libertinus Serif">Page {_name(tile)} of {many}</text>',
        f'<path d="M60 {y}h{long:.3f}M60 {y - 3}v6M{60 + long:.3f} {y - 3}v6" stroke="#222" stroke-width="0.3"/>',
        f'<text x="{60 + long / 2:.2f}" y="{y - 2}" font-size="3.6" text-anchor="middle" '
        f'font-family="Libertinus Serif">this line is {name} long</text>',
    ]


def _overview(board: Template, pages: tuple[Tile, ...], paper: str) -> str:
    wide, high = room_of(paper)
    left, top = min(tile.left for tile in pages) - 5, -max(tile.top for tile in pages) - 5
    right, low = max(t.left for t in pages) + wide + 5, -min(t.top for t in pages) + high + 5
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{left} {top} {right - left} {low - top}">']
    for tile in pages:
        x, y = tile.left, -tile.top
        out.append(
            f'<rect x="{x}" y="{y}" width="{wide}" height="{high}" fill="none" stroke="#999" stroke-width="1"/>'
            f'<text x="{x + 20}" y="{y + 30}" font-size="18" font-family="Libertinus Serif">{_name(tile)}</text>'
        )
    return "".join([*out, *_drawn(board), "</svg>"])
