"""Where a remark on a class belongs, in a maker's words: on paper and screen nobody reads keys of a file."""

from __future__ import annotations

from ...kit.file.students import path_of
from ...kit.values import Class, Remark
from ...words import worded
from ..lists import first_up

TABLES = {
    "class": "The class", "sizes": "Sizes", "colours": "Colors of your own", "reeds": "Reeds of your own",
    "shelf": "Shelf", "pack": "Packs", "prices": "Prices", "dye": "Dyes", "pace": "Pace", "days": "Days before",
    "cutting": "Cutting", "labels": "Labels", "student": "Students",
}  # fmt: skip
"""What the room calls the tables of the class file."""


def where_told(remark: Remark, asked: Class) -> str:
    """Where something stands, in the room's words; a row of a list beside the class as it is found there."""
    path, text = remark.path, str(remark.where)
    if not path or not (text.startswith(asked.name) or text in ("cutting", "dye", "prices")):
        return first_up(text)
    table, *rest = path
    key = [str(each).replace("_", " ") for each in rest if isinstance(each, str)]
    if table == "student" and rest:
        mine = [seat for seat in asked.seats if path_of(seat) == path[:2]]
        return ", ".join((f"Seat {mine[0].number}" if mine else "Student", *key))
    row = next((f"row {each + 1}" for each in rest if isinstance(each, int)), "")
    words = (TABLES.get(str(table), str(table)), "" if table == "class" else row, *key)
    return ", ".join(each for each in words if each)


def printed(remark: Remark, asked: Class, wording: str) -> str:
    """A remark with its place and remedy, for paper."""
    place = where_told(remark, asked)
    said = f"{place}: {remark.message}" if place else first_up(remark.message)
    return worded(f"{said} {remark.remedy}".strip(), wording)
