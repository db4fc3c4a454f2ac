"""What the studio says of a class, for the page's room of classes: roster, cutting, remarks, each ready to show.

A class on the bench is a document like a basket: the text of a class file. Its designs and lists lie beside it, so a
worker is told its whole path.
"""

from __future__ import annotations

import os
import re
from typing import TYPE_CHECKING

from ...colour import hex_of
from ...design.file.reader import toml_of
from ...errors import DesignError, SlypeError
from ...kit.file import reader
from ...kit.file.change import change
from ...words import several
from .contract import ClassTold, ColourWorn, DrawingTold, PaneTold, RemarkTold, SeatTold

if TYPE_CHECKING:
    from ...kit.seats import Kit
    from ...kit.values import Remark
    from ...kit.worked import Worked

_HEADER = re.compile(r"^[ \t]*\[class\]", re.MULTILINE)
SHEETS = ("roster", "shelf", "prices")
"""Keys of [class] that name a file beside it."""
MOST_SECONDS = 2.0
"""How long the best cutting plan is looked for while somebody waits; what is printed takes the class's own time."""


def is_class(text: str) -> bool:
    """True for the text of a class file, False for a design's."""
    return _HEADER.search(text) is not None


def begun(title: str, design: str) -> str:
    """The text of a class to begin from: twelve seats for one design."""
    from ...edit.lists import written

    return f"[class]\ntitle = {written(title)}\ndesign = {written(design)}\nseats = 12\n"


def document(text: str, name: str) -> dict:
    """The tables of a class's text as plain data for JSON. Raises DesignError where it is no TOML."""
    return _for_json(toml_of(text, name))


def _for_json(value: object):
    if isinstance(value, dict):
        return {str(key): _for_json(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_for_json(inner) for inner in value]
    return value if isinstance(value, str | int | float | bool) else str(value)


def edit(text: str, changes: list, path: str) -> dict:
    """{text, notes, document} once `changes` are made. {"inline": true} takes the lists beside it into the file."""
    name = os.path.basename(path)
    if changes == [{"inline": True}]:
        from ...kit.file.writer import class_text

        made, notes = (
            class_text(reader.parse(text, path).found, name),
            ["The lists beside the file are left as they were."],
        )
    else:
        made, notes = change(text, changes, name), []
    return {"text": made, "notes": notes, "document": document(made, name)}


def look(text: str, path: str) -> dict:
    """{document, kit, trouble, ...}: all of a class at once, in the form of `answers.look`."""
    name = os.path.basename(path)
    answer = {"document": document(text, name), "look": None, "form": None, "trouble": None, "solid": None, "kit": None}
    try:
        found, made = worked(text, path, MOST_SECONDS)
        answer["kit"] = told(found, made, answer["document"])
    except SlypeError as trouble:
        answer["trouble"] = trouble.as_json()
    return answer


def worked(text: str, path: str, seconds: float | None = None) -> tuple[reader.Read, Worked]:
    """(the class as read, the class worked). Raises DesignError or FileTrouble."""
    from dataclasses import replace

    from ...kit.worked import work

    found = reader.parse(text, path)
    asked = found.found
    if seconds is not None:
        asked = replace(asked, rules=replace(asked.rules, seconds=min(seconds, asked.rules.seconds)))
    made = work(asked)
    return found, replace(made, remarks=(*found.remarks, *made.remarks))


def told(found: reader.Read, made: Worked, tables: dict) -> ClassTold:
    """Everything the page shows of one class."""
    asked = made.asked
    kits = {kit.seat.number: kit for kit in made.kits}
    rows = {number: i for i, number in enumerate(_numbers(asked, tables))}
    main = tables.get("class", {})
    seats = [_seat(seat, kits.get(seat.number), rows.get(seat.number), made) for seat in asked.seats]
    return {
        "title": asked.title,
        "designs": [each.name for each in asked.designs],
        "seats": seats,
        "beside": [str(main[key]) for key in SHEETS if isinstance(main, dict) and key in main],
        "panes": [_cutting(made)],
        "watch": [_remark(each, made) for each in made.remarks],
    }


def _numbers(asked, tables: dict) -> list[int]:
    """Numbers of the seats that [[student]] tables speak of, in their order; none where a roster lies beside it."""
    many = len(tables.get("student", [])) if isinstance(tables.get("student"), list) else 0
    students = [seat.number for seat in asked.seats if not seat.spare]
    main = tables.get("class", {})
    return students[len(students) - many :] if many and "roster" not in main else []


def _seat(seat, kit: Kit | None, row: int | None, made: Worked) -> SeatTold:
    worn = dict(seat.colours)
    palette = {} if kit is None else dict(kit.basket.design.palette)
    own = dict.fromkeys(each.colour for each in kit.basket.bundles if each.is_weaver) if kit is not None else {}
    back = {to: name for name, to in worn.items()}
    colours: list[ColourWorn] = [
        {"of": back.get(colour, colour), "worn": colour, "hex": palette.get(colour) or hex_of(colour)} for colour in own
    ]
    return {
        "number": seat.number,
        "row": row,
        "name": seat.name,
        "hand": seat.hand,
        "wording": seat.wording,
        "units": seat.units,
        "skill": seat.skill,
        "design": seat.design,
        "size": seat.size_name or ("" if seat.size == 1.0 else f"{seat.size * 100:g} %"),
        "spare": seat.spare,
        "colours": colours,
        "bundles": [] if kit is None else _bundles(kit, made),
        "works": kit is not None,
    }


def _bundles(kit: Kit, made: Worked) -> list[list[str]]:
    """[number, what it is, what goes in] of every bundle of a seat."""
    from ...tell.kits import bundle_named, pieces_told

    lengths = made.lengths.get(kit.seat.number, {})
    return [
        [
            str(each.number),
            bundle_named(each, kit.seat.wording),
            ", ".join(pieces_told(lengths.get(each.number, []), each, kit.seat.units)),
        ]
        for each in kit.basket.bundles
    ]


def _cutting(made: Worked) -> PaneTold:
    """How every reed is cut: a sentence on how good the plan is, and a drawing for each colour."""
    from ...draw.cutting import alike, bars
    from ...quantity import show_length
    from ...tell.classes import cut_told

    said: list[str] = []
    drawings: list[DrawingTold] = []
    palette = {name: value for kit in made.kits for name, value in kit.basket.design.palette.items()}
    for cut in made.reeds:
        first = made.kits[0].seat
        reed = cut.reed.named(first.wording)
        said.append(f"{reed}: {cut_told(cut, first.units)}")
        for colour in dict.fromkeys(strand.colour for strand in cut.strands):
            rows = alike(cut, colour)
            fill = palette.get(colour) or hex_of(colour)
            svg = bars(rows, lambda mm, units=first.units: show_length(mm, units), made.asked.rules.useful_mm, fill)
            title = f"{reed}, {colour}: {several(sum(row.many for row in rows), 'strand')}"
            alt = "; ".join(
                f"{row.many} of {show_length(row.strand.length_mm, first.units)}, cut into "
                + ", ".join(show_length(piece.length_mm, first.units) for piece in row.strand.pieces)
                for row in rows
            )
            drawings.append({"title": title, "svg": svg, "alt": alt})
    return {"key": "cutting", "title": "Cutting", "said": said, "slides": [], "lists": [], "drawings": drawings}


def _remark(remark: Remark, made: Worked) -> RemarkTold:
    grave = {"error": "Cannot be read", "stop": "Cannot be", "warn": "Take care", "note": "Good to know"}
    return {
        "weight": remark.weight,
        "grave": grave[remark.weight],
        "where": remark.where,
        "message": remark.message[:1].upper() + remark.message[1:],
        "remedy": remark.remedy,
    }


def pasted(text: str, path: str, cells: str) -> list[dict]:
    """Changes that put the rows of a spreadsheet, as copied, in place of the students. Raises DesignError where they
    cannot be read; a wrong cell is refused by row and column."""
    from ...kit.file.keys import ROSTER
    from ...kit.file.sheets import read_sheet

    tables = document(text, os.path.basename(path))
    sheet = read_sheet(cells.encode("utf-8", "replace"), "pasted", ROSTER, ())
    students = [
        {key: int(value) if key == "seat" and value.isdigit() else value for key, value in row.cells.items()}
        for row in sheet.rows
    ]
    for each in students:
        each["colours"] = dict(
            pair.split("=", 1) for pair in re.split(r"\s*;\s*", each.get("colours", "")) if "=" in pair
        )
        each |= {} if each["colours"] else {"colours": {}}
    if not students:
        raise DesignError("there is no row below the heading.", "pasted", "Copy the heading and the rows of students.")
    old = tables.get("student", [])
    changes: list[dict] = [{"remove": ["student", 0]} for _ in old]
    changes += [
        {"set": ["class", key], "to": None} for key in ("seats", "left", "roster") if key in tables.get("class", {})
    ]
    for i, each in enumerate(students):
        changes.append(
            {"insert": ["student"], "at": i, "value": {key: value for key, value in each.items() if value != {}}}
        )
    return changes


def paper(text: str, path: str, kind: str, options: dict) -> bytes:
    """A file to take away of a class: "folder", the pages to print. Raises DesignError for another kind."""
    from ...paper import folder

    if kind != "folder":
        raise DesignError(f'slype makes no "{str(kind)[:20]}" of a class.', "kind")
    _, made = worked(text, path)
    return folder.make(made)
