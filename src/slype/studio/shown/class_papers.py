"""What can be taken away of a class: folder, workbook, calendar, lists, sheets and lessons, or all of it in one."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...errors import DesignError
from ...kit.seats import seats_named
from ..told.classes import TakeAway

if TYPE_CHECKING:
    from ...kit.seats import Basket
    from ...kit.worked import Worked

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The day of every file in an archive, so that the same class gives the same bytes: the first that a zip can hold."""


def take_away(made: Worked) -> list[TakeAway]:
    """Everything that can be made of a class, as buttons."""
    from ...tell.classes.papers import handed, own_of

    if not made.kits:
        return []
    found: list[TakeAway] = [
        _one("everything", "Everything (zip)", "all"),
        _one("folder", "The folder to print (PDF)", "paper"),
        _one("workbook", "Workbook (XLSX)", "numbers"),
        _one("lists", "Plain lists (CSV, zip)", "numbers"),
    ]
    if made.asked.day is not None:
        found.append(_one("calendar", "Calendar (ICS)", "numbers"))
    for i, each in enumerate(handed(made)):
        copies = "" if each.copies == 1 else f" ({each.copies} copies)"
        who = f"{seats_named(list(each.basket.seats))}: {own_of(each)}"
        found.append({"kind": "sheet", "query": f"which={i}", "words": who + copies, "group": "sheets"})
        found.append({"kind": "lesson", "query": f"which={i}", "words": who, "group": "lessons"})
    return found


def _one(kind: str, words: str, group: str) -> TakeAway:
    return {"kind": kind, "query": "", "words": words, "group": group}


def make(made: Worked, text: str, path: str, kind: str, options: dict) -> bytes:
    """One of them as bytes; "sheet" and "lesson" by `which` (see `take_away`). Raises DesignError."""
    from ...export.calendars import calendar
    from ...export.lists import lists
    from ...export.workbook import workbook
    from ...make import class_folder
    from ...paper import folder

    if not made.kits:
        raise DesignError("no seat has a basket that can be woven.", "students")
    if kind == "folder":
        return folder.make(made)
    if kind == "workbook":
        return workbook(made)
    if kind == "lists":
        return _zipped(lists(made))
    if kind == "calendar":
        days = calendar(made)
        if days is None:
            raise DesignError("the class has no day yet.", "day", "Say the day first.")
        return days if isinstance(days, bytes) else days.encode()
    if kind == "everything":
        whole = class_folder.as_worked(text, path, made, made.asked.names)
        return _zipped({each.name: each.content for each in class_folder.folder_files(made, whole)})
    if kind == "sheet":
        return class_folder.sheet_of(made, _which(made, options))
    if kind == "lesson":
        return class_folder.lesson_of(_which(made, options))
    raise DesignError(f'slype makes no "{str(kind)[:20]}" of a class.', "kind")


def _which(made: Worked, options: dict) -> Basket:
    from ...tell.classes.papers import handed

    found, wanted = handed(made), str(options.get("which", ""))
    if not wanted.isdecimal() or int(wanted) >= len(found):
        raise DesignError("there is no such basket in this class.", "which", "Reload the page.")
    return found[int(wanted)].basket


def _zipped(files: Mapping[str, bytes | str]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(zipfile.ZipInfo(name, EARLIEST), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()
