"""Sizes of a design file rewritten when the outline, the base or its kind changes. Plain tables, in place.

A basket taken from round to oval, or to a rectangle, keeps the length of every ring, so that its spokes stand as far
apart as they did; length and width are then rounded as a maker writes them.
"""

from __future__ import annotations

import math
from typing import Any

from ..borders.table import BORDERS
from ..errors import DesignError
from ..form.wall import ring_of
from ..quantity import MM_PER_IN, parse_length
from .lists import Path
from .values import as_makers_round

Note = tuple[str, dict[str, object]]
WIDE = 2 / 3
"""Width over length of a new oval or rectangle (common practice, no source)."""
CORNER_MM = 25.4
MARGIN_MM = {"in": 0.625 * MM_PER_IN, "cm": 15.0}
"""From the holes of a board to its edge, where nothing else is said (common practice, no source)."""


def units_of(tables: dict) -> str:
    """The units that the basket is written in; inches where it does not say."""
    basket = tables.get("basket")
    return "cm" if isinstance(basket, dict) and basket.get("units") == "cm" else "in"


def corner_of(form: dict) -> float:
    """Radius of a rectangle's corners, mm."""
    return parse_length(form["corner"]) if "corner" in form else CORNER_MM


def _ring(outline: str, sizes: list[float], corner: float) -> float:
    if outline == "round":
        return math.pi * sizes[0]
    length, width = sizes
    return ring_of(length, width, width / 2 if outline == "oval" else corner)


def _sizes(outline: str, ring: float, wide: float, corner: float) -> list[float]:
    """[diameter], or [length, width] with that width over length, whose ring is so long."""
    if outline == "round":
        return [ring / math.pi]
    # A ring grows in step with its length when the proportions and the corner stay, so two rings tell all.
    short, long = (_ring(outline, [each, each * wide], corner) for each in (100.0, 200.0))
    length = 100.0 + 100.0 * (ring - short) / (long - short)
    return [length, length * wide]


def _read(value: object) -> list[float]:
    return [parse_length(each) for each in (value if isinstance(value, list) else [value])]


def _write(sizes: list[float], units: str) -> list[str]:
    return [as_makers_round(mm, units) for mm in sizes]


def follow_outline(old: dict, new: dict) -> list[Note]:
    """Base and wall in the form that the new outline takes. What cannot be read is left to the reader of designs."""
    form, before = new["form"], old.get("form", {}).get("outline", "round")
    outline = form.get("outline", "round")
    shapes = ("round", "oval", "rectangle")
    if outline == before or outline not in shapes or before not in shapes:
        return []
    units = units_of(new)
    try:
        corner = corner_of(form)
        sizes = [_read(form["base"]), *(_read(point[1:]) for point in form["wall"])]
        wide = WIDE if before == "round" else min(1.0, min(each[1] / each[0] for each in sizes))
        rings = [_ring(before, each, corner) for each in sizes]
        if outline == "rectangle":
            narrow = min(_sizes("oval", ring, wide, 0.0)[1] for ring in rings)
            if 2 * corner > 0.9 * narrow:
                corner = narrow / 4
                form["corner"] = as_makers_round(corner, units)
        written = []
        for each, ring in zip(sizes, rings, strict=True):
            mine = wide if before == "round" or outline == "round" else each[1] / each[0]
            written.append(_write(_sizes(outline, ring, mine, corner), units))
    except (DesignError, KeyError, TypeError, IndexError, ValueError, ZeroDivisionError):
        return []
    base, *walls = written
    form["base"] = base[0] if outline == "round" else base
    form["wall"] = [[point[0], *across] for point, across in zip(form["wall"], walls, strict=True)]
    notes: list[Note] = [
        ("Base and wall are written anew for the {outline} outline; every ring is as long as it was, to the nearest "
         "mark of the rule.", {"outline": outline})
    ]  # fmt: skip
    if outline != "round":
        _even_ends(new, notes)
        _singly(new, notes)
    if outline != "rectangle":
        _until(new, parse_length(base[-1]), notes, units)
    return notes


def _even_ends(new: dict, notes: list[Note]) -> None:
    """Sticks along and across have two ends each."""
    spokes = new.get("spokes", {})
    key = "base_ends" if spokes.get("inserted") is True else "ends"
    ends = spokes.get(key)
    if isinstance(ends, int) and ends % 2:
        spokes[key] = ends + 1
        notes.append(("{odd} ends became {even}: long and short sticks have two ends each.",
                      {"odd": ends, "even": ends + 1}))  # fmt: skip


def _singly(new: dict, notes: list[Note]) -> None:
    """Groups open out the four arms of a round cross; sticks along and across are worked one by one."""
    bands = [band for band in new.get("band", []) if isinstance(band, dict) and band.get("where") == "base"]
    grouped = [band for band in bands if "groups" in band]
    for band in grouped:
        del band["groups"]
    if grouped:
        notes.append(("The base is woven over single ends now: groups are for the arms of a round cross.", {}))


def _until(new: dict, mm: float, notes: list[Note], units: str) -> None:
    """The last base band goes to the edge of the base again."""
    bands = [band for band in new.get("band", []) if isinstance(band, dict) and band.get("where") == "base"]
    if bands and "until" in bands[-1]:
        said = as_makers_round(mm, units)
        if bands[-1]["until"] != said:
            bands[-1]["until"] = said
            notes.append(("The last band of the base goes to {until} now, its edge.", {"until": said}))


def _first(form: dict) -> list[float]:
    return _read(form["wall"][0][1:])


def follow_size(old: dict, new: dict, asked: Path) -> list[Note]:
    """Where base and foot of the wall were one size, they stay so, and the last base band goes to the edge."""
    try:
        form, before = new["form"], old["form"]
        was, first = _read(before["base"]), _first(before)
        if was != first or len(_read(form["base"])) != len(was):
            return []
        moved = _first(form) if asked[:2] == ("form", "wall") else _read(form["base"])
        if moved == was or len(moved) != len(was):
            return []
        point, text = form["wall"][0], form["base"]
        if asked[:2] == ("form", "wall"):
            form["base"] = point[1] if len(point) == 2 else list(point[1:])
            said = "The base follows the foot of the wall."
        else:
            form["wall"][0] = [point[0], *(text if isinstance(text, list) else [text])]
            said = "The foot of the wall follows the base."
        notes: list[Note] = [(said, {})]
        for band in new.get("band", []):
            if band.get("where") == "base" and "until" in band and abs(parse_length(band["until"]) - was[-1]) < 1.0:
                band["until"] = form["base"][-1] if isinstance(form["base"], list) else form["base"]
                notes.append(("The last band of the base goes to {until} now, its edge.", {"until": band["until"]}))
    except (DesignError, KeyError, TypeError, IndexError, AttributeError):
        return []
    return notes


# Boards --------------------------------------------------------------------------------------------------------


def become_board(new: dict) -> list[Note]:
    """What a board has not is left out, and what it needs is put in; the wall stays where it is."""
    notes: list[Note] = []
    form: Any = new.get("form")
    base, spokes = new["base"], new.get("spokes")
    bands = new.get("band")
    if isinstance(bands, list) and any(isinstance(b, dict) and b.get("where") == "base" for b in bands):
        new["band"] = [b for b in bands if not (isinstance(b, dict) and b.get("where") == "base")]
        notes.append(("The bands of the base are left out: a board is not woven.", {}))
    if isinstance(spokes, dict):
        if "ends" not in spokes and isinstance(base.get("beside"), int) and isinstance(spokes.get("base_ends"), int):
            spokes["ends"] = base["beside"] * spokes["base_ends"]
        _leave_out(spokes, ("inserted", "base_reed", "base_ends", "insertion", "long_sticks"), notes)
    _leave_out(base, ("through", "sets", "odd", "beside"), notes)
    if "foot" not in base:
        base["foot"] = next(kind.name for kind in BORDERS.values() if kind.foot)
        notes.append(("The ends below are worked as {foot}.", {"foot": base["foot"]}))
    try:
        units, first = units_of(new), _first(form)
        margin = parse_length(base["margin"]) if "margin" in base else MARGIN_MM[units]
        if min(a - b for a, b in zip(_read(form["base"]), first, strict=True)) < 2.0:
            board = _write([mm + 2 * margin for mm in first], units)
            form["base"] = board if isinstance(form["base"], list) else board[0]
            notes.append(("The board is {board} across, so that the holes lie in from its edge.",
                          {"board": " by ".join(board)}))  # fmt: skip
    except (DesignError, KeyError, TypeError, IndexError, ValueError):
        pass  # the reader of designs will say what is wrong
    return notes


def leave_board(new: dict) -> list[Note]:
    """A woven base is as wide as the foot of the wall."""
    notes: list[Note] = []
    _leave_out(new.get("base", {}), ("foot", "margin", "thickness"), notes)
    form: Any = new.get("form")
    try:
        first = form["wall"][0][1:]
        if _read(form["base"]) != _read(list(first)):
            form["base"] = first[0] if len(first) == 1 else list(first)
            notes.append(("The base is as wide as the foot of the wall now; its bands are still to be written.", {}))
    except (DesignError, KeyError, TypeError, IndexError):
        pass
    return notes


def _leave_out(table: Any, keys: tuple[str, ...], notes: list[Note]) -> None:
    gone = [key for key in keys if isinstance(table, dict) and key in table]
    for key in gone:
        del table[key]
    if gone:
        notes.append(("{keys} left out: it belongs to another kind of base.", {"keys": ", ".join(gone)}))
