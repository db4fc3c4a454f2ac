"""What the studio says of a photograph: a length between two clicks, rows along a line; and that it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...book.photo.images import opened
from ...book.photo.rhythm import count_rows
from ...book.photo.scale import Plane, Point, by_face, by_ruler
from ...book.photographs import keep_bytes
from ...book.place import place
from ...book.said import length
from ...book.store import Book
from ...errors import DesignError
from ...quantity import show_length
from ...words import several
from ..told.book import MeasuredTold


def measured(raw: bytes, asked: Mapping[str, Any]) -> MeasuredTold:
    """What is `asked` of a picture: {what: "length" or "rows", line: two points, ruler: two points and "mm" text, or
    face: four points, wide, high}; points as shares (0 to 1) of its width and height, so that any size will do."""
    grey = opened(raw)
    high, wide = grey.shape
    units = "cm" if asked.get("units") == "cm" else "in"

    def points(key: str, many: int) -> list[Point]:
        found = asked.get(key)
        if not (isinstance(found, list) and len(found) == many):
            raise DesignError(f"{several(many, 'point')} are to be clicked first.", key)
        out = []
        for each in found:
            if not (isinstance(each, list) and len(each) == 2 and all(isinstance(v, int | float) for v in each)):
                raise DesignError("is no point.", key, "Click in the photograph.")
            x, y = (min(max(float(v), 0.0), 1.0) for v in each)
            out.append((x * (wide - 1), y * (high - 1)))
        return out

    a, b = points("line", 2)
    if asked.get("what") == "rows":
        found = count_rows(grey, a, b)
        if not found.sure:
            return {"said": "No clear rhythm along this line. Click square to the rows, in even light.", "sure": False}
        return {"said": f"About {found.rows:.1f} rows from point to point.", "sure": True}
    long, off = _plane(asked, points, units).length(a, b)
    shown, around = show_length(long, units, 16), show_length(off, units, 16)
    return {"said": f"{shown}, give or take {around}.", "sure": off < 0.1 * long}


def _plane(asked: Mapping[str, Any], points: Any, units: str) -> Plane:
    if "face" in asked:
        wide, high = (length(str(asked.get(key, "")), key, units) for key in ("wide", "high"))
        return by_face(points("face", 4), wide, high)
    a, b = points("ruler", 2)
    return by_ruler(a, b, length(str(asked.get("length", "")), "length", units))


def kept(raw: bytes, basket: str, name: str) -> MeasuredTold:
    """Keep a photograph with a basket of the book, once it is sure to be one."""
    opened(raw)
    with Book(place()) as book:
        keep_bytes(book, basket, raw, name or "photograph.jpg")
    return {"said": "Kept with the basket.", "sure": True}
