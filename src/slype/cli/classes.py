"""`slype class`: a class file, or a design and a count of seats, worked into a folder to print from."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from .. import files
from ..errors import FileTrouble, Unweavable
from ..kit.file import reader
from ..kit.file.writer import class_text
from ..kit.seats import seats_named
from ..kit.values import WEIGHTS, Remark, Seat
from ..kit.worked import Worked, work


def read(asked: argparse.Namespace) -> reader.Read:
    """The class that was asked for: a class file, or a class of one design."""
    if asked.seats is None and _is_class(asked.file):
        return reader.load(asked.file)
    return reader.of_design(asked.file, asked.seats or 12, asked.left or 0)


def _is_class(path: str) -> bool:
    """True where a file has a table [class]."""
    if os.path.isdir(path):
        raise FileTrouble("this is a folder, not a file.", path, "Name the .toml file in it.")
    try:
        with open(path, encoding="utf-8-sig", errors="replace") as file:
            return any(line.strip().startswith("[class]") for line in file)
    except OSError:
        return True  # the reader says what is wrong


@dataclass(frozen=True)
class Said:
    """What the command says: the promised `form`, `lines` of the report, `complaints`, and its exit `status`."""

    form: dict[str, object]
    lines: list[str]
    complaints: list[str]
    status: int


def answer(asked: argparse.Namespace, progress: Callable[[str], None]) -> Said:
    """Read, work and, with an output, write a class."""
    found = read(asked)
    changes: dict[str, Any] = {"names": False} if asked.no_names else {}
    changes |= {"paper": asked.paper} if asked.paper else {}
    progress("working the kits and the cutting")
    made = work(replace(found.found, **changes))
    graver = sorted((*found.remarks, *made.remarks), key=lambda each: WEIGHTS.index(each.weight))
    made = replace(made, remarks=tuple(graver))
    if not made.kits:
        raise Unweavable(f"no seat has a basket that can be woven. {made.remarks[-1]}", made.asked.name)
    from ..export.classes import as_json
    from ..tell.classes.report import report

    lines = report(made)
    if asked.output:
        lines += write(made, asked.output, not asked.no_sheets, progress, asked.file)
    complaints = [str(each) for each in made.remarks if each.weight in ("error", "stop")]
    return Said(as_json(made, made.asked.names), lines, complaints, status_of(made.remarks))


def write(
    made: Worked, folder: str, sheets: bool, progress: Callable[[str], None], source: str | None = None
) -> list[str]:
    """Write everything into `folder`; a line for each file. Everything is set before the first file is written, and
    nothing is where the class file `source` would be lost."""
    from ..export.calendars import calendar
    from ..export.lists import lists
    from ..export.workbook import workbook
    from ..lesson.classes import lessons
    from ..paper import folder as paper

    progress("setting the folder")
    ready: list[tuple[str, bytes | str, str]] = [
        ("folder.pdf", paper.make(made), "everything to print"),
        ("class.xlsx", workbook(made), "the numbers, to change"),
    ]
    days = calendar(made)
    if days is not None:
        ready.append(("class.ics", days, "the days, for a calendar"))
    ready += [(name, content, "as a list") for name, content in lists(made).items()]
    ready.append(("class.toml", class_text(made.asked), "the class as worked"))
    ready += [(design.name, design.text, "the design as it was") for design in made.asked.designs]
    if sheets:
        ready += _sheets(made, progress)
        progress("making the lessons")
        for name, page, seats in lessons(made):
            ready.append((name, page, f"the lesson of {seats_named(list(seats))}, for phones"))
    for name, _, _ in ready:
        if name == "class.toml" and source is not None and files.is_same(os.path.join(folder, name), source):
            raise FileTrouble(
                "the class as worked would be written over the class file itself.", folder, "Name another folder."
            )
    files.make_folder(folder)
    out = []
    for name, content, what in ready:
        path = os.path.join(folder, name)
        files.write(path, content)
        out.append(f"{path}: {what}")
    if days is None:
        out.append("No calendar: the class has no day yet.")
    return out


def _sheets(made: Worked, progress: Callable[[str], None]) -> list[tuple[str, bytes | str, str]]:
    """A pattern sheet and a design file for every basket that is woven: hand, colours, size."""
    from ..paper import sheet

    out: list[tuple[str, bytes | str, str]] = []
    taken: set[str] = set()
    for basket in {id(kit.basket): kit.basket for kit in made.kits}.values():
        kit = next(kit for kit in made.kits if kit.basket is basket)
        name = basket_name(kit.seat)
        if name in taken:
            name = f"{name}-{len(taken) + 1}"
        taken.add(name)
        progress(f"setting the sheet {name}")
        who = seats_named(list(basket.seats))
        out.append((f"sheet-{name}.pdf", sheet.make(basket.plan, made.asked.paper), f"the pattern sheet of {who}"))
        out.append((f"design-{name}.toml", basket.text, f"the design of {who}"))
    return out


def basket_name(seat: Seat) -> str:
    """What files of one basket are called: `left-small-moss-for-rust`."""
    parts = [seat.hand, seat.size_name.replace(" ", "").replace("%", "") if seat.size != 1.0 else ""]
    parts += [f"{wears}-for-{colour}".replace("#", "") for colour, wears in seat.colours]
    if seat.wording != "us" or seat.units != "in":
        parts.append(f"{seat.wording}-{seat.units}")
    parts.insert(0, seat.design.removesuffix(".toml"))
    return "".join(sign if sign.isalnum() or sign == "-" else "-" for sign in "-".join(p for p in parts if p))[:80]


def status_of(remarks: tuple[Remark, ...]) -> int:
    """Exit status: 2 where something could not be read, 1 where something cannot be as asked, else 0."""
    weights = {each.weight for each in remarks}
    return 2 if "error" in weights else 1 if "stop" in weights else 0
