"""The cutting plan as a drawing: strands as bars with their cuts, to hang at the cutting bench. SVG, in greys.

Strands cut alike share one bar, with how many there are before it. A length in a piece is what to cut; what is left is
hatched when it is waste and plain with a dashed edge when it is kept.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from ...kit.assigned import ReedCut, Strand

WIDE, BAR, GAP, SIDE, AFTER = 1000.0, 26.0, 13.0, 118.0, 8.0
INK, PALE = "#262626", "#e9e6df"


@dataclass(frozen=True)
class Alike:
    """Strands cut alike: the first of them as `strand`, how `many`, and their numbers in cutting order."""

    strand: Strand
    many: int
    numbers: tuple[int, ...]


def alike(cut: ReedCut, colour: str) -> list[Alike]:
    """Strands of one colour, those cut alike together, in cutting order."""
    found: dict[tuple, list[Strand]] = {}
    for strand in cut.strands:
        if strand.colour == colour:
            key = strand.source, strand.length_mm, strand.lies, tuple(piece.length_mm for piece in strand.pieces)
            found.setdefault(key, []).append(strand)
    return [Alike(same[0], len(same), tuple(each.number for each in same)) for same in found.values()]


def bars(rows: list[Alike], show: Callable[[float], str], useful_mm: float, fill: str) -> str:
    """SVG of some rows; `show` prints a length, `fill` the colour of the reed."""
    longest = max(row.strand.length_mm for row in rows)
    scale = (WIDE - SIDE - AFTER) / longest
    high = len(rows) * (BAR + GAP) + GAP
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {high:g}" width="{WIDE:g}" height="{high:g}" '
        f'font-family="Libertinus Serif" font-size="15" fill="{INK}">',
        '<defs><pattern id="waste" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="1.1" height="7" fill="{INK}" fill-opacity="0.55"/></pattern></defs>',
    ]
    for i, row in enumerate(rows):
        out += _bar(row, GAP + i * (BAR + GAP), scale, show, useful_mm, fill)
    return "".join([*out, "</svg>"])


def _bar(row: Alike, top: float, scale: float, show: Callable[[float], str], useful_mm: float, fill: str) -> list[str]:
    strand, middle = row.strand, top + BAR / 2 + 5
    out = [
        f'<text x="{SIDE - 74:g}" y="{middle:g}" text-anchor="end" font-size="17" font-weight="bold">'
        f"{row.many} ×</text>",
        f'<text x="{SIDE - 8:g}" y="{middle:g}" text-anchor="end">{escape(show(strand.length_mm))}</text>',
    ]
    x = SIDE
    for piece in strand.pieces:
        wide = piece.length_mm * scale
        out.append(
            f'<rect x="{x:.1f}" y="{top:g}" width="{wide:.1f}" height="{BAR:g}" fill="{fill}" fill-opacity="0.28" '
            f'stroke="{INK}" stroke-width="1.2"/>'
        )
        out += _label(show(piece.length_mm), x, wide, middle)
        x += wide
    left = strand.left_mm * scale
    if left > 0.5:
        kept = strand.left_mm >= useful_mm - 1e-6
        style = f'fill="white" stroke="{INK}" stroke-dasharray="4 3"' if kept else 'fill="url(#waste)" stroke="none"'
        out.append(f'<rect x="{x:.1f}" y="{top:g}" width="{left:.1f}" height="{BAR:g}" {style} stroke-width="0.9"/>')
        if kept:
            out += _label(f"keep {show(strand.left_mm)}", x, left, middle, "italic")
    return out


def _label(text: str, x: float, wide: float, y: float, style: str = "normal") -> list[str]:
    """A length in the middle of its piece, smaller where the piece is short, none where it would not fit."""
    for size in (15.0, 12.0, 10.0):
        if len(text) * size * 0.47 <= wide - 4:
            return [
                f'<text x="{x + wide / 2:.1f}" y="{y - (15 - size) / 3:.1f}" text-anchor="middle" font-size="{size:g}" '
                f'font-style="{style}">{escape(text)}</text>'
            ]
    return []
