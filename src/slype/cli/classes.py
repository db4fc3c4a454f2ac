"""`slype class`: a class file, or a design and a count of seats, worked into a folder to print from."""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from .. import files
from ..errors import FileTrouble, Unweavable
from ..kit.file import reader
from ..kit.file.inlined import MARK
from ..kit.file.writer import class_text
from ..kit.seats import Settle
from ..kit.values import WEIGHTS, Remark
from ..kit.worked import Worked, work


def read(asked: argparse.Namespace) -> reader.Read:
    """The class that was asked for: a class file, or a class of one design."""
    if asked.seats is None and _is_class(asked.file):
        return reader.load(asked.file)
    return reader.of_design(asked.file, asked.seats or 12, asked.left)


_CLASS = re.compile(r"""\s*(\[\s*["']?class["']?\s*\]|["']?class["']?\s*[.=])""")
"""A table [class], however TOML lets it be written."""


def _is_class(path: str) -> bool:
    """True where a file has a table [class]."""
    if os.path.isdir(path):
        raise FileTrouble("this is a folder, not a file.", path, "Name the .toml file in it.")
    try:
        with open(path, encoding="utf-8-sig", errors="replace") as file:
            return any(_CLASS.match(line) for line in file)
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
    changes |= {"bind": True} if asked.bind else {}
    progress("working the kits and the cutting")
    made = work(replace(found.found, **changes), _settling(asked, progress))
    graver = sorted((*found.remarks, *made.remarks), key=lambda each: WEIGHTS.index(each.weight))
    made = replace(made, remarks=tuple(graver))
    if not made.kits:
        raise Unweavable(f"no seat has a basket that can be woven. {made.remarks[-1]}", made.asked.name)
    from ..export.classes import as_json
    from ..tell.classes.report import report

    lines = report(made)
    if asked.output:
        lines += write(made, asked.output, _as_worked(asked, made), asked.file, not asked.no_sheets, progress)
    complaints = [str(each) for each in made.remarks if each.weight in ("error", "stop")]
    return Said(as_json(made, made.asked.names), lines, complaints, status_of(made.remarks))


def _settling(asked: argparse.Namespace, progress: Callable[[str], None]) -> Settle | None:
    """What brings every basket to rest, with --settled."""
    if not asked.relaxed:
        return None
    from ..make.baskets import settler

    return settler(tell=lambda done: progress(f"bringing the reeds of basket {done + 1} to rest"))


def write(
    made: Worked, folder: str, text: str, source: str, sheets: bool, progress: Callable[[str], None]
) -> list[str]:
    """Write everything into `folder`; a line for each file. Everything is set before the first file is written; the
    class file that was read, and one that somebody else wrote, are left as they are."""
    from ..make.class_folder import folder_files

    ready = list(folder_files(made, text, sheets, progress))
    files.make_folder(folder)
    out = []
    for each in ready:
        path = os.path.join(folder, each.name)
        if each.name == "class.toml":
            if files.is_same(path, source):
                out.append(f"{path}: left as it is")
                continue
            if os.path.exists(path) and not _is_ours(path):
                path = os.path.join(folder, "class-as-worked.toml")
        files.write(path, each.content)
        out.append(f"{path}: {each.what}")
    old = sorted(set(os.listdir(folder)) - {each.name for each in ready})
    out += [
        f"{os.path.join(folder, name)}: from an earlier run, not of this class as it is now; do not print it"
        for name in old
        if name.startswith(("sheet-", "lesson-", "design-"))
    ]
    if made.asked.day is None:
        out.append("No calendar: the class has no day yet.")
    return out


def _is_ours(path: str) -> bool:
    """True for a class file that slype wrote into a folder."""
    with open(path, encoding="utf-8", errors="replace") as file:
        return file.readline().startswith(MARK)


def _as_worked(asked: argparse.Namespace, made: Worked) -> str:
    """The class file as worked: that of the maker with its lists in it, or one written for a design."""
    from ..make.class_folder import as_worked

    if asked.seats is not None or not _is_class(asked.file):
        return class_text(made.asked)
    return as_worked(reader.text_of(asked.file), asked.file, made, not asked.no_names, asked.paper or "", asked.bind)


def status_of(remarks: tuple[Remark, ...]) -> int:
    """Exit status: 2 where something could not be read, 1 where something cannot be as asked, else 0."""
    weights = {each.weight for each in remarks}
    return 2 if "error" in weights else 1 if "stop" in weights else 0
