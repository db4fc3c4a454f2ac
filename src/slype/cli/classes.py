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
from ..kit.values import Remark
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
    made = replace(made, remarks=(*found.remarks, *made.remarks))
    if not made.kits:
        raise Unweavable(f"no seat has a basket that can be woven. {made.remarks[-1]}", made.asked.name)
    from ..tell.classes.report import report

    lines = report(made)
    if asked.output:
        lines += write(made, asked.output, progress)
    complaints = [str(each) for each in made.remarks if each.weight in ("error", "stop")]
    return Said({}, lines, complaints, status_of(made.remarks))


def write(made: Worked, folder: str, progress: Callable[[str], None]) -> list[str]:
    """Write everything into `folder`; a line for each file."""
    from ..lesson.classes import lessons
    from ..paper import folder as paper

    files.make_folder(folder)
    out = []

    def put(name: str, content: bytes | str, what: str) -> None:
        path = os.path.join(folder, name)
        files.write(path, content)
        out.append(f"{path}: {what}")

    progress("setting the folder")
    put("folder.pdf", paper.make(made), "everything to print")
    progress("making the lessons")
    for name, content, seats in lessons(made):
        put(name, content, f"the lesson of seat {', '.join(map(str, seats))}, for phones")
    put("class.toml", class_text(made.asked), "the class as worked")
    for design in made.asked.designs:
        put(design.name, design.text, "the design as it was")
    return out


def status_of(remarks: tuple[Remark, ...]) -> int:
    """Exit status: 2 where something could not be read, 1 where something cannot be as asked, else 0."""
    weights = {each.weight for each in remarks}
    return 2 if "error" in weights else 1 if "stop" in weights else 0
