"""Every weave, base, handle, lid, outline and border of the tables on one page.

Each is drawn from a small basket of its own. One SVG: sections with a heading, cells in rows, a name and a line under
each. Nothing is reckoned here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..borders.table import BORDERS, Kind
from ..design.file.reader import parse
from ..lay.pitch import steady_rows
from ..plans import planning
from ..plans.planning import Plan
from ..quantity import MM_PER_IN
from ..reeds import REEDS
from ..weave.table import EVERY_END, WEAVES, Weave
from ..words import escape
from . import views
from .borders import EARTH, SHOWN, strip
from .lines import HAND, drawing

WIDE, GUTTER = 190.0, 6.0  # mm of the page within its margins
MARGIN = 10.0
FONT = "Libertinus Serif, DejaVu Serif, serif"
SHOWN_ENDS = 8  # of a weave: more than a cycle of the longest


@dataclass(frozen=True)
class Cell:
    """One drawing: `body` of an SVG with its `box` (left, top, width, height), a `name`, and what it `says` below."""

    name: str
    says: str
    body: str
    box: tuple[float, float, float, float]


def gallery(
    progress: Callable[[str], None] = lambda words: None,
    wording: str = "us",
    hand: str = "right",
    only: tuple[str, ...] = (),
) -> str:
    """The page as SVG; of its sections `only` those whose headings begin so, where any are given."""
    out: list[str] = []
    y = MARGIN + 8
    out.append(_text("slype: weaves, bases, handles, lids, outlines, borders", MARGIN, y, 7))
    for heading, per_row, cells in sections(wording, hand):
        if only and not heading.startswith(only):
            continue
        progress(f"drawing {heading.lower()}")
        y += 12
        out.append(_text(heading, MARGIN, y, 5.4))
        y += 4
        y = _rows(out, list(cells), per_row, y)
    wide, high = WIDE + 2 * MARGIN, y + MARGIN
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.1f} {high:.1f}" width="{wide:.1f}mm" '
        f'height="{high:.1f}mm" role="img" aria-labelledby="t">'
        '<title id="t">Weaves, bases, handles, lids, outlines and borders</title>'
        f'<rect width="{wide:.1f}" height="{high:.1f}" fill="#ffffff"/>\n' + "\n".join(out) + "\n</svg>\n"
    )


def sections(wording: str, hand: str) -> Iterator[tuple[str, int, Iterator[Cell]]]:
    """(heading, cells in a row, cells) in the order of the page."""
    yield "Weaves, from outside", 3, (weave_cell(weave, wording, hand) for weave in WEAVES.values())
    yield "Bases, from below", 4, (base_cell(name, text, hand) for name, text in BASES.items())
    yield "Wooden boards", 3, (board_cell(name, hand) for name in BOARDS)
    yield "Handles and lids", 4, (fitted_cell(name, hand) for name in FITTED)
    yield "Outlines", 3, (outline_cell(name, text, hand) for name, text in OUTLINES.items())
    yield "Borders, one end picked out", 2, (border_cell(kind, wording, hand) for kind in BORDERS.values())


def _rows(out: list[str], cells: list[Cell], per_row: int, y: float) -> float:
    """Draw cells in rows from `y` down; the lowest point reached."""
    wide = (WIDE - (per_row - 1) * GUTTER) / per_row
    for first in range(0, len(cells), per_row):
        row = cells[first : first + per_row]
        tall = max(cell.box[3] * wide / cell.box[2] for cell in row)
        for k, cell in enumerate(row):
            x = MARGIN + k * (wide + GUTTER)
            left, top, w, h = cell.box
            size = wide / w
            drop = (tall - h * size) / 2
            clip = f"cell{len(out)}"
            out.append(
                f'<clipPath id="{clip}"><rect x="{x:.2f}" y="{y + drop:.2f}" width="{wide:.2f}" '
                f'height="{h * size:.2f}"/></clipPath><g clip-path="url(#{clip})">'
                f'<g fill="none" stroke-linejoin="round" '
                f'transform="translate({x:.2f} {y + drop:.2f}) '
                f'scale({size:.4f}) translate({-left:.2f} {-top:.2f})">{_own_names(cell.body, len(out))}</g></g>'
            )
            out.append(_text(cell.name, x, y + tall + 5, 4.0))
            out.append(_text(cell.says, x, y + tall + 9, 2.9, "#555555"))
        y += tall + 14
    return y


def _own_names(body: str, number: int) -> str:
    """The body with the names of its parts made its own: two drawings on one page may not share them."""
    body = re.sub(r'\bid="([^"]+)"', rf'id="\1-{number}"', body)
    return re.sub(r"url\(#([^)]+)\)", rf"url(#\1-{number})", body)


def _text(words: str, x: float, y: float, size: float, colour: str = "#222222") -> str:
    at = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{colour}"'
    return f'<text {at} font-family="{FONT}">{escape(words)}</text>'


# Cells ---------------------------------------------------------------------------------------------------------


def weave_cell(weave: Weave, wording: str, hand: str) -> Cell:
    """A stretch of wall in one weave, its weavers in different colours."""
    many = 1 if weave.weavers == EVERY_END else weave.weavers
    ends = _count_for(weave)
    colours = ["rust", "sand", "slate", "natural", "moss", "plum"][: max(many, 1)]
    # So many rows that every cell shows about an inch and a half of wall.
    rows = max(3, round(17 / steady_rows(weave, ends).pitch))
    named = ", ".join(f'"{colour}"' for colour in colours)
    text = (
        f'spokes = {{ reed = "round 5", ends = {ends} }}\n'
        f'form = {{ base = "{ends * 0.2387:.3f} in", wall = [["0 in", "{ends * 0.2387:.3f} in"], '
        f'["2 in", "{ends * 0.2387:.3f} in"]] }}\n'
        f'band = [ {{ weave = "{weave.name}", reed = "round 3", colours = [{named}], rows = {rows} }} ]\n'
        'border = { rows = ["over 2 down"] }\n'
    )
    plan = _planned(text, hand, weave.name)
    body, box = views.flat(plan, "unrolled", SHOWN_ENDS)
    return Cell(weave.named(wording), weave.stroke_words(), body, box)


def _count_for(weave: Weave) -> int:
    """A count of ends on which the weave can be worked and shows how it goes on."""
    for ends in range(20, 40):
        rest = ends % weave.reach
        if (weave.turns == "stroke" and rest == 0) or (weave.turns != "stroke" and (rest == 1 or weave.weavers == 2)):
            return ends
    return 25


BASES = {
    "laid cross": (
        'spokes = { reed = "round 5", ends = 32 }\n'
        'form = { base = "6 in", wall = [["0 in", "6 in"], ["1 in", "6 in"]] }\n'
        'band = [ { where = "base", weave = "pairing", reed = "round 2", groups = 8, rows = 3 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", groups = 4, rows = 2 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", groups = 2, rows = 3 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", until = "6 in" } ]\n'
    ),
    "pierced cross": (
        'base = { kind = "pierced cross", through = 6 }\n'
        'spokes = { reed = "round 5", ends = 24 }\n'
        'form = { base = "5 1/2 in", wall = [["0 in", "5 1/2 in"], ["1 in", "5 1/2 in"]] }\n'
        'band = [ { where = "base", weave = "pairing", reed = "round 2", groups = 6, rows = 3 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", groups = 2, rows = 3 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", until = "5 1/2 in" } ]\n'
    ),
    "interlaced": (
        'base = { kind = "interlaced", sets = 3 }\n'
        'spokes = { reed = "round 5", ends = 24 }\n'
        'form = { base = "5 1/2 in", wall = [["0 in", "5 1/2 in"], ["1 in", "5 1/2 in"]] }\n'
        'band = [ { where = "base", weave = "pairing", reed = "round 2", groups = 3, rows = 3 },\n'
        ' { where = "base", weave = "pairing", reed = "round 2", until = "5 1/2 in" } ]\n'
    ),
    "half stick, for an odd count": (
        'spokes = { reed = "round 4", ends = 17 }\n'
        'form = { base = "4 in", wall = [["0 in", "4 in"], ["1 in", "4 in"]] }\n'
        'band = [ { where = "base", weave = "pairing", reed = "round 2", groups = 4, rows = 4 },\n'
        ' { where = "base", weave = "randing", reed = "round 2", until = "4 in" } ]\n'
    ),
    "long and short sticks": (
        'spokes = { reed = "round 5", ends = 28, long_sticks = 5 }\n'
        'form = { outline = "oval", base = ["8 in", "4 1/2 in"], wall = [["0 in", "8 in", "4 1/2 in"],'
        ' ["1 in", "8 in", "4 1/2 in"]] }\n'
        'band = [ { where = "base", weave = "pairing", reed = "round 2", rows = 4 },\n'
        ' { where = "base", weave = "reverse pairing", reed = "round 2", until = "4 1/2 in" } ]\n'
    ),
}
BOARDS = {
    "board, from outside": ("outside", ""),
    "board, from below": ("under", ""),
    "oval board": ("under", 'outline = "oval", '),
}
_BASE = 'band = [ {{ where = "base", weave = "pairing", reed = "round 3", {} }},\n'
_WOVEN = 'groups = 7, rows = 3 }}, {{ where = "base", weave = "pairing", reed = "round 3", until = "{}"'
_SIDE = (
    ' { weave = "three-rod wale", reed = "round 3", rows = 3 },\n'
    ' { weave = "pairing", reed = "round 3", colours = ["rust", "sand"], rows = 9 },\n'
    ' { weave = "three-rod wale", reed = "round 3", rows = 2 } ]\n'
)
OUTLINES = {
    "round": (
        'spokes = { reed = "round 5", ends = 28 }\n'
        'form = { base = "7 in", wall = [["0 in", "7 in"], ["3 1/4 in", "9 in"]] }\n'
        + _BASE.format(_WOVEN.format("7 in"))
        + _SIDE
    ),
    "oval": (
        'spokes = { reed = "round 5", ends = 32 }\n'
        'form = { outline = "oval", base = ["9 in", "5 in"], wall = [["0 in", "9 in", "5 in"],'
        ' ["3 1/4 in", "10 in", "7 in"]] }\n' + _BASE.format('until = "5 in"') + _SIDE
    ),
    "rectangle": (
        'spokes = { reed = "round 5", ends = 36 }\n'
        'form = { outline = "rectangle", base = ["9 in", "6 in"], corner = "1 in", wall = [["0 in", "9 in", "6 in"],'
        ' ["3 1/4 in", "9 1/2 in", "6 1/2 in"]] }\nband = [' + _SIDE
    ),
}


_LIDDED = (
    'spokes = { reed = "round 5", ends = 28 }\n'
    'form = { base = "6 in", wall = [["0 in", "6 in"], ["4 in", "8 in"]] }\n'
    + _BASE.format(_WOVEN.format("6 in"))
    + _SIDE.replace("rows = 9", "rows = 14")
)
_LID = (
    'spokes = { reed = "round 4", ends = 24 }\nborder = ["behind 1 out", "over 2 down"]\n'
    'band = [ { weave = "pairing", reed = "round 2", groups = 6, rows = 3 }, { weave = "pairing", reed = "round 2",'
)
FITTED = {
    "bow handle": ("wrapped close", '[[handle]]\nkind = "bow"\ncore = "round 8"\nwrap = "round 4"\nheight = "5 in"\n'),
    "rope handle": ("3 rods twisted", '[[handle]]\nkind = "rope"\nwrap = "round 6"\nrods = 3\nheight = "5 in"\n'),
    "rope handle over a core": (
        "twisted rods cover it",
        '[[handle]]\nkind = "rope"\ncore = "round 8"\nwrap = "round 4"\nheight = "5 in"\n',
    ),
    "side handles": ("two, wrapped close", '[[handle]]\nkind = "side"\ncore = "round 6"\nwrap = "round 2"\n'),
    "twisted side handles": ("two, of 3 rods", '[[handle]]\nkind = "side rope"\nwrap = "round 5"\nrods = 3\n'),
    "lid on the border": ("flat", f'[lid]\nseat = "on"\n{_LID} colours = ["rust"] }} ]\n'),
    "lid inside the mouth": ("flat", f'[lid]\nseat = "inside"\n{_LID} colours = ["rust"] }} ]\n'),
    "lid over the border": (
        "with a side of its own",
        f'[lid]\nseat = "over"\ndepth = "1 in"\n{_LID} colours = ["rust"] }}, {{ where = "side", '
        'weave = "three-rod wale", reed = "round 2", rows = 6 } ]\n',
    ),
}


def base_cell(name: str, text: str, hand: str) -> Cell:
    """A base from below."""
    plan = _planned(text + 'border = { rows = ["behind 1 out", "over 1 down"] }\n', hand, name)
    body, box = drawing(plan.laid, "under", detail=HAND)
    ends = plan.design.spokes.ends_at_base
    return Cell(name, f"{ends} ends", body, box)


def outline_cell(name: str, text: str, hand: str) -> Cell:
    """A small basket of one outline."""
    plan = _planned(text + 'border = { rows = ["behind 1 out", "over 2 down"] }\n', hand, name)
    body, box = drawing(plan.laid, "outside", detail=HAND)
    return Cell(name, f"{plan.design.spokes.ends} ends", body, box)


def board_cell(name: str, hand: str) -> Cell:
    """A wooden board with its foot border and a few rows of its wall."""
    view, outline = BOARDS[name]
    sizes = ('"6 in"', '"5 1/4 in"', '"5 1/2 in"')
    if outline:
        sizes = ('["7 1/2 in", "5 in"]', '"6 3/4 in", "4 1/4 in"', '"7 in", "4 1/2 in"')
    text = (
        'base = { kind = "board", foot = ["behind 1 out", "over 1 down"] }\nspokes = { reed = "round 5", ends = 24 }\n'
        f'form = {{ {outline}base = {sizes[0]}, wall = [["0 in", {sizes[1]}], ["1 1/2 in", {sizes[2]}]] }}\n'
        'band = [ { weave = "three-rod wale", reed = "round 3", rows = 5 } ]\nborder = { rows = ["over 2 down"] }\n'
    )
    plan = _planned(text, hand, name)
    body, box = drawing(plan.laid, view, detail=HAND)
    assert plan.board is not None, "the text above says so"
    return Cell(name, f"{plan.board.holes.count} holes, foot border below", body, box)


def fitted_cell(name: str, hand: str) -> Cell:
    """A small basket with one handle or lid."""
    says, text = FITTED[name]
    plan = _planned(_LIDDED + 'border = { rows = ["behind 1 out", "over 2 down"] }\n' + text, hand, name)
    body, box = drawing(plan.laid, "outside", detail=HAND)
    return Cell(name, says, body, box)


def border_cell(kind: Kind, wording: str, hand: str) -> Cell:
    """A strip of one border, on spokes three quarters of an inch apart."""
    body, high = strip(kind, 0.75 * MM_PER_IN, REEDS["round 5"].diameter_mm, hand)
    wide = SHOWN * 0.75 * MM_PER_IN
    earth = f'<rect x="0" y="0" width="{wide:.1f}" height="{high:.1f}" fill="{EARTH}"/>'
    return Cell(kind.named(wording), f"{kind.border.smallest_ends} ends or more", earth + body, (0.0, 0.0, wide, high))


def _planned(text: str, hand: str, name: str) -> Plan:
    return planning.plan(parse(f'basket = {{ hand = "{hand}" }}\n{text}', name))
