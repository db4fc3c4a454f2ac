"""The folder of a class, file by file: what the command writes and the studio hands over.

Nothing is written here: names and bytes, for whoever has a place for them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from ..design.file.reader import parse, toml_of
from ..export.calendars import calendar
from ..export.lists import lists
from ..export.workbook import workbook
from ..kit.file.change import change
from ..kit.file.inlined import MARK, inlined
from ..kit.seats import Basket, seats_named
from ..kit.worked import Worked
from ..lesson.content import Lesson
from ..lesson.whole import whole
from ..paper import folder, sheet
from ..tell.classes.papers import handed

AS_IN_CLASS = (
    "# A basket of the class in this folder. Its kits are cut as their own pages say, from the reed of the class.\n"
)
"""What a design written for some seats begins with: alone it is cut from other reed, and not for a first basket."""


@dataclass(frozen=True)
class ClassFile:
    """One file of the folder: its `name`, what is in it, and `what` it is, in a few words."""

    name: str
    content: bytes | str
    what: str


def folder_files(
    made: Worked, text: str, sheets: bool = True, progress: Callable[[str], None] = lambda said: None
) -> Iterator[ClassFile]:
    """Every file in turn; `text` is the class file as worked. Without `sheets` no pattern sheets and no lessons."""
    found = handed(made)
    set_already: dict[str, sheet.Sheet] = {}
    for each in found if sheets or made.asked.bind else ():
        progress(f"setting {each.sheet}")
        set_already[each.name] = sheet.whole(each.basket.plan, made.asked.paper)
    progress("setting the folder")
    yield ClassFile("folder.pdf", folder.make(made, set_already), "everything to print")
    yield ClassFile("class.xlsx", workbook(made), "the numbers, to change")
    days = calendar(made)
    if days is not None:
        yield ClassFile("class.ics", days, "the days, for a calendar")
    for name, content in lists(made).items():
        yield ClassFile(name, content, "as a list")
    yield ClassFile("class.toml", text, "the class as worked")
    for design in made.asked.designs:
        yield ClassFile(design.name, design.text, "the design as it was")
    if not sheets:
        return
    for each in found:
        who = seats_named(list(each.basket.seats))
        yield ClassFile(each.sheet, set_already[each.name].pdf, f"the pattern sheet of {who}, {each.copies} to print")
        yield ClassFile(f"design-{each.name}.toml", AS_IN_CLASS + each.basket.text, f"the design of {who}")
    progress("making the lessons")
    for each in found:
        who = seats_named(list(each.basket.seats))
        yield ClassFile(each.lesson, lesson_of(each.basket), f"the lesson of {who}, for phones")


def as_worked(
    text: str, path: str, made: Worked, names: bool = True, paper: str = "", bind: bool = False
) -> str:
    """The class file of the maker with its lists in it, word for word; without `names` those of the students go, and
    another `paper` is written in."""
    colours = {colour for design in made.asked.designs for colour in parse(design.text, design.name).palette}
    text = inlined(text, path, colours)
    changes: list[dict[str, Any]] = []
    if not names:
        students = [
            {key: value for key, value in each.items() if key != "name"} for each in toml_of(text).get("student", [])
        ]
        changes += [{"set": ["student"], "to": students}] if students else []
        changes.append({"set": ["class", "names"], "to": False})
    if bind:
        changes.append({"set": ["class", "bind"], "to": True})
    if paper:
        changes.append({"set": ["class", "paper"], "to": paper})
    text = change(text, changes) if changes else text
    return text if text.startswith(MARK) else f"{MARK} class.toml -o FOLDER\n{text}"


def sheet_of(made: Worked, basket: Basket) -> bytes:
    """The pattern sheet of one basket of a class, as PDF."""
    return sheet.make(basket.plan, made.asked.paper)


def lesson_of(basket: Basket) -> bytes:
    """The lesson of one basket of a class, one file for phones."""
    return whole(Lesson(basket.plan))
