"""What the studio says of a class, for the page's room of classes: roster, cutting, remarks, each ready to show.

A class on the bench is a document like a basket: the text of a class file. Its designs and lists lie beside it, so a
worker is told its whole path.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from ...colour import hex_of
from ...design.file.reader import parse, toml_of
from ...errors import DesignError, SlypeError
from ...kit.file import reader
from ...kit.file.change import change
from ...tell.classes.blocks import Block, Facts, Heading, Lines, Picture, Table
from ...words import several, worded
from ..told.classes import BlockTold, ClassTold, PaneTold, SlideTold
from ..told.figures import Choice
from .class_papers import take_away
from .class_rows import remark_told, seat_told
from .class_texts import is_class

if TYPE_CHECKING:
    from ...kit.money import Money
    from ...kit.worked import Worked
    from ...rest.relax import AtRest

SHEETS = ("roster", "shelf", "prices")
"""Keys of [class] that name a file beside it."""
MOST_SECONDS = 2.0
"""How long the best cutting plan is looked for while somebody waits; what is printed takes the class's own time."""


_sums: dict[tuple[str, str], Money] = {}
"""The money of the class that was last shown: sliders ask about it many times a second."""
_kept: list[AtRest] = []
"""Baskets of classes at rest, to go on from: what is asked next differs in a student or two."""


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
        from ...kit.file.inlined import inlined

        colours = {c for each in reader.parse(text, path).found.designs for c in parse(each.text, each.name).palette}
        plan, notes = inlined(text, path, colours), ["The lists beside the file are left as they were."]
    else:
        plan, notes = change(text, changes, name), []
    return {"text": plan, "notes": notes, "document": document(plan, name)}


def look(text: str, path: str) -> dict:
    """{document, kit, trouble, ...}: all of a class at once, in the form of `answers.look`."""
    name = os.path.basename(path)
    answer: dict[str, Any] = dict.fromkeys(("look", "form", "trouble", "solid", "kit"))
    answer["document"] = document(text, name)
    try:
        found, plan = worked(text, path, MOST_SECONDS)
        if plan.sums is not None:
            keep_sums(text, path, plan.sums)
        answer["kit"] = told(found, plan, answer["document"], os.path.dirname(path))
    except SlypeError as trouble:
        answer["trouble"] = trouble.as_json()
    return answer


def at_rest(text: str, path: str, progress: Callable[[float], None]) -> dict:
    """{kit, sums}: the same once the reeds of every basket lie at rest, as those of a basket on the bench do; raises
    what `worked` raises."""
    found, plan = worked(text, path, MOST_SECONDS, progress)
    tables = document(text, os.path.basename(path))
    return {"kit": told(found, plan, tables, os.path.dirname(path)), "sums": plan.sums}


def keep_sums(text: str, path: str, sums: Money) -> None:
    """What `what_if` reckons from, in place of what it did."""
    _sums.clear()
    _sums[text, path] = sums


def worked(
    text: str, path: str, seconds: float | None = None, progress: Callable[[float], None] | None = None
) -> tuple[reader.Read, Worked]:
    """(the class as read, the class worked), settled where `progress` is told how far that is. Raises DesignError or
    FileTrouble."""
    from dataclasses import replace

    from ...kit.worked import work

    found = reader.parse(text, path)
    asked = found.found
    if seconds is not None:
        asked = replace(asked, rules=replace(asked.rules, seconds=min(seconds, asked.rules.seconds)))
    settle = None
    if progress is not None:
        from ...make.baskets import settler

        # One core: the other is for the maker's next change, at which this is called off in the middle of a basket.
        settle = settler(_kept, 1, progress=progress)
    plan = work(asked, settle)
    return found, replace(plan, remarks=(*found.remarks, *plan.remarks))


def told(found: reader.Read, plan: Worked, tables: dict, folder: str = "") -> ClassTold:
    """Everything the page shows of one class."""
    asked = plan.asked
    kits = {kit.seat.number: kit for kit in plan.kits}
    rows = {number: i for i, number in enumerate(_numbers(asked, tables))}
    main = tables.get("class", {})
    seats = [seat_told(seat, kits.get(seat.number), rows.get(seat.number), plan) for seat in asked.seats]
    return {
        "title": asked.title,
        "designs": [each.name for each in asked.designs],
        "seats": seats,
        "beside": {key: str(main[key]) for key in SHEETS if isinstance(main, dict) and key in main},
        "panes": _panes(plan),
        "watch": [remark_told(each, plan) for each in plan.remarks],
        "dyes": _dyes(plan),
        "woven": sorted({c for kit in plan.kits for c in kit.basket.design.palette} - {"natural"}),
        "near": _near(folder),
        "papers": take_away(plan),
        "wording": plan.kits[0].seat.wording if plan.kits else "us",
        "settled": plan.settled,
    }


def _dyes(plan: Worked) -> list[Choice]:
    from ...kit.dyeing import KINDS

    return [{"key": key, "name": kind.name, "help": kind.words, "group": ""} for key, kind in KINDS.items()]


def _near(folder: str) -> list[str]:
    """Designs that lie beside the class."""
    found = []
    for name in sorted(os.listdir(folder)) if folder else []:
        path = os.path.join(folder, name)
        if name.endswith(".toml") and os.path.isfile(path) and os.path.getsize(path) < 200_000:
            with open(path, encoding="utf-8", errors="replace") as file:
                text = file.read()
            if not is_class(text) and "[[band]]" in text:
                found.append(name)
    return found[:60]


def _numbers(asked, tables: dict) -> list[int]:
    """Numbers of the seats that [[student]] tables speak of, in their order; none where a roster lies beside it."""
    many = len(tables.get("student", [])) if isinstance(tables.get("student"), list) else 0
    students = [seat.number for seat in asked.seats if not seat.spare]
    main = tables.get("class", {})
    return students[len(students) - many :] if many and "roster" not in main else []


def _panes(plan: Worked) -> list[PaneTold]:
    """Cutting, shopping, dyeing, the day and the money, in the blocks that the folder prints too."""
    from ...tell.classes.days import preparing, the_day
    from ...tell.classes.goods import dyeing, shopping
    from ...tell.classes.sums import money

    if not plan.kits:
        return []
    day, wording = the_day(plan), plan.kits[0].seat.wording
    found = [
        _cutting(plan),
        _pane("shopping", "Shopping", shopping(plan).blocks, wording),
        _pane("day", "The day", (*_day_drawn(plan), *preparing(plan).blocks, *day.blocks), wording),
    ]
    dyed, sums = dyeing(plan), money(plan)
    bare = (Lines(("Nothing is dyed.",)),)
    found.insert(2, _pane("dyeing", "Dyeing", bare if dyed is None else dyed.blocks, wording))
    pane = _pane("money", "Money", sums.blocks if sums is not None else (Lines(("No price is said yet.",)),), wording)
    return [*found, {**pane, "slides": _slides(plan)}]


def _pane(key: str, title: str, blocks: tuple[Block, ...], wording: str = "us") -> PaneTold:
    return {"key": key, "title": title, "slides": [], "blocks": [_block(each, wording) for each in blocks]}


def _block(block: Block, wording: str) -> BlockTold:
    """A block as the page sets it."""
    out: BlockTold = {
        "kind": type(block).__name__.lower(), "text": "", "lines": [], "head": [], "rows": [], "right": [], "svg": "",
        "opens": [],
    }  # fmt: skip
    match block:
        case Heading(text):
            out["text"] = text
        case Lines(lines, quiet):
            out["lines"], out["kind"] = list(lines), "quiet" if quiet else "lines"
        case Facts(pairs):
            out["rows"] = [list(pair) for pair in pairs]
        case Picture(svg, alt):
            out["svg"], out["text"] = svg, alt
        case Table(head, rows, right):
            out["head"], out["rows"], out["right"] = list(head), [list(row) for row in rows], sorted(right)
            out["opens"] = [[[name, value, worded(why, wording)] for name, value, why in each] for each in block.opens]
    return out


def _cutting(plan: Worked) -> PaneTold:
    """How every reed is cut: how good the plan is, and a drawing for each colour."""
    from ...draw.classes.cutting import alike, bars
    from ...tell.classes.cutting import bench, colour_told, told
    from ...tell.classes.report import lengths_whence

    later = "" if plan.settled else " Those of the settled baskets follow as soon as their reeds lie at rest."
    blocks: list[Block] = [Lines((f"Lengths are {lengths_whence(plan)}.{later}",))]
    palette = {name: value for kit in plan.kits for name, value in kit.basket.design.palette.items()}
    units, wording = plan.kits[0].seat.units, plan.kits[0].seat.wording
    show = partial(bench, units=units)
    for cut in plan.reeds:
        blocks += [Heading(cut.reed.named(wording)), told(plan, cut, units)]
        for colour in dict.fromkeys(strand.colour for strand in cut.strands):
            rows = alike(cut, colour)
            svg = bars(rows, show, cut.useful_mm, palette.get(colour) or hex_of(colour))
            alt = "; ".join(
                f"{row.many} of {show(row.strand.length_mm)}, cut into "
                + ", ".join(show(piece.length_mm) for piece in row.strand.pieces)
                for row in rows
            )
            mine = [strand for strand in cut.strands if strand.colour == colour]
            blocks.append(Lines((colour_told(colour, mine, units),)))
            blocks.append(Picture(svg, alt))
    return _pane("cutting", "Cutting", tuple(blocks))


def _day_drawn(plan: Worked) -> tuple[Block, ...]:
    """The day as a strip of hours."""
    from ...draw.classes.day import day
    from ...tell.classes.days import clock, hour_told, usual_plan

    when = plan.when
    if when is None or not when.hours or all(kit.seat.spare for kit in plan.kits):
        return ()
    usual = usual_plan(plan)
    svg = day(when, plan.asked.starts, plan.asked.ends, lambda hour: hour_told(plan, usual, hour))
    alt = "; ".join(f"{clock(hour.start)} {hour_told(plan, usual, hour)}" for hour in when.hours)
    return (Picture(svg, f"The day. {alt}"),)


def _slides(plan: Worked) -> list[SlideTold]:
    """Seats and fee, to slide to and fro: what then is left over, the page asks (`what_if`)."""
    sums = plan.sums
    if sums is None or not sums.lines:
        return []
    fee = sums.fee if sums.fee is not None else math.ceil(sums.per_seat / sums.rounding) * sums.rounding
    return [
        {"key": "seats", "label": "seats", "value": sums.seats, "low": 1, "high": max(20, 2 * sums.seats), "step": 1},
        {"key": "fee", "label": f"fee for each, {sums.currency}", "value": fee, "low": 0,
         "high": max(10.0, math.ceil(3 * fee / sums.rounding) * sums.rounding), "step": sums.rounding},
    ]  # fmt: skip


def what_if(text: str, path: str, seats: int, fee: float) -> dict:
    """{said}: what a class of so many seats at that fee would leave. Raises DesignError where there are no prices."""
    from ...kit.money import cost
    from ...tell.classes.goods import shown

    sums = _sums.get((text, path)) or worked(text, path, MOST_SECONDS)[1].sums
    if sums is None or not sums.lines or not 0 < seats <= 400 or not 0 <= fee < 1e6:
        raise DesignError("there are no prices to reckon with.", "prices", "Say what reed and hours cost.")
    whole = cost(sums.lines, sums.overhead, seats, sums.seats)
    left = fee * seats - whole
    ending = f"leaves {shown(sums.currency, left)}" if left >= 0 else f"loses {shown(sums.currency, -left)}"
    said = (
        f"{several(seats, 'seat')} at {shown(sums.currency, fee)}: costs {shown(sums.currency, whole)}, "
        f"{shown(sums.currency, whole / seats)} for each; the class {ending}."
    )
    return {"said": said}


def pasted(text: str, path: str, cells: str) -> list[dict]:
    """Changes that put the rows of a spreadsheet, as copied, in place of the students. Raises DesignError where they
    cannot be read; a wrong cell is refused by row and column."""
    from ...kit.file.inlined import student_of
    from ...kit.file.keys import ROSTER
    from ...kit.file.sheets import read_sheet

    tables = document(text, os.path.basename(path))
    sheet = read_sheet(cells.encode("utf-8", "replace"), "pasted", ROSTER, ())
    colours = {
        colour for each in reader.parse(text, path).found.designs for colour in parse(each.text, each.name).palette
    }
    students = [student_of(row, colours) for row in sheet.rows]
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


def design_of(text: str, path: str) -> tuple[str, str]:
    """(text, name) of the design that a class weaves, for its picture. Raises DesignError or FileTrouble."""
    first = reader.parse(text, path).found.designs[0]
    return first.text, first.name


def paper(text: str, path: str, kind: str, options: dict, progress: Callable[[float], None] | None = None) -> bytes:
    """A file to take away of a class (see `class_papers`); with `progress` from its baskets at rest. Raises DesignError
    for a kind that there is none of."""
    from .class_papers import make

    return make(worked(text, path, None, progress)[1], text, path, kind, options)
