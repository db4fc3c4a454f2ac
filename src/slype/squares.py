"""The plain colour chart: one square for each spoke and row, for counting at the bench. Level 7.

Rows are drawn from the bottom up as they are woven, spokes as seen from outside. A square holds the colours that the
row lays on the front of that spoke, bottom to top; a bare square with a bar is a spoke that shows.
"""

from __future__ import annotations

from .chart import faces, letters_for
from .colour import hex_of, label_colour
from .plan import Plan
from .words import listed, say

WIDE, HIGH, APART = 6.0, 5.0, 3.0  # one square, and the space between bands, in mm of the drawing
MOST_SPOKES, MOST_ROWS = 24, 70
TYPE = '<g font-family="Libertinus Serif, DejaVu Serif, serif" fill="#333333" font-size="{size}">'


def squares(made: Plan, most: int | None = None) -> tuple[str, tuple[float, float, float, float]]:
    """(drawing, box) of the side's bands, `most` spokes wide from the start line (24 unless told)."""
    design, laid = made.design, made.laid
    ends = design.top_ends
    shown = min(ends, most or MOST_SPOKES)
    left_handed = design.hand == "left"
    letters = {name: letter.upper() for name, letter in letters_for(design).items()}
    out, words = [], [TYPE.format(size=3.6)]
    y, rows_left = 0.0, MOST_ROWS
    grows = len(design.tiers("side")) > 1
    for band in laid.side:
        rows = faces(laid, band)[0][:rows_left]
        rows_left -= len(rows)
        floor = y
        for number, row in enumerate(rows, start=1):
            y -= HIGH
            seen = row[-shown:] if left_handed else row[:shown]
            first = shown - len(seen) if left_handed else 0  # a band on fewer ends keeps to the side of space 1
            out += [_square(made, letters, cell, i * WIDE, y) for i, cell in enumerate(seen, start=first)]
            if number == 1 or number % 5 == 0 or number == len(rows):
                words.append(f'<text x="-2" y="{y + 3.8:.1f}" text-anchor="end">{number}</text>')
        if rows:
            on = f", on {band.ends}" if grows else ""
            words.append(
                f'<text x="{shown * WIDE + 2:.1f}" y="{(y + floor) / 2 + 1.3:.1f}">band {band.index + 1}{on}</text>'
            )
            y -= APART
        if not rows_left:
            break
    rows_in_all = sum(band.rows for band in laid.side)
    left_out = [say(f"the first {shown} of {ends} {{spokes}}", design.wording)] if shown < ends else []
    if grows:  # where ends are added, all above are numbered anew
        left_out = [say(f"in each band the first {shown} {{spokes}} after space 1", design.wording)]
    left_out += [f"the first {MOST_ROWS} of {rows_in_all} rows"] if rows_in_all > MOST_ROWS else []
    if left_out:
        words.append(f'<text x="0" y="11">{listed(left_out)}</text>')
    for i in range(shown):
        spoke = shown - i if left_handed else i + 1
        words.append(f'<text x="{(i + 0.5) * WIDE:.1f}" y="5" text-anchor="middle">{spoke}</text>')
    body = '<g stroke="#3a2a1a" stroke-width="0.2">' + "".join(out) + "</g>" + "".join(words) + "</g>"
    return body, (-9, y - 1, shown * WIDE + (34 if grows else 26), -y + 13)


def _square(made: Plan, letters: dict[str, str], cell: list[str], x: float, y: float) -> str:
    palette = made.design.palette
    if not cell:
        spoke = palette.get(made.design.spokes.colour) or hex_of(made.design.spokes.colour)
        return (
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{WIDE}" height="{HIGH}" fill="#ffffff"/>'
            f'<rect x="{x + WIDE * 0.4:.1f}" y="{y:.1f}" width="{WIDE * 0.2:.1f}" height="{HIGH}" fill="{spoke}"/>'
        )
    part = HIGH / len(cell)
    out = []
    for k, colour in enumerate(reversed(cell)):  # the uppermost strand is drawn first
        fill = palette.get(colour) or hex_of(colour)
        out.append(f'<rect x="{x:.1f}" y="{y + k * part:.2f}" width="{WIDE}" height="{part:.2f}" fill="{fill}"/>')
        if len(letters) > 1 and part >= 2.4:
            # A letter too, for prints without colour and for eyes that see two colours as one.
            out.append(
                f'<text x="{x + WIDE / 2:.1f}" y="{y + (k + 0.5) * part + 0.8:.2f}" text-anchor="middle" stroke="none" '
                f'font-family="Libertinus Serif, DejaVu Serif, serif" font-size="2.4" fill="{label_colour(fill)}">'
                f"{letters[colour]}</text>"
            )
    return "".join(out)
