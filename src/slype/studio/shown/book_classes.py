"""The book's pane of classes: kits cut from the shelf, classes held, and how fast their students were."""

from __future__ import annotations

from ...book.store import Book, today
from ...book.year.classes import held, paces, students
from ...quantity import show_time
from ..told.book import PartOfBook
from .book_parts import MOST_SHOWN, OnBench, act, field, form, lines, money_field, note, part, table

TIMES = (
    "A line for each time: seat, part, time like 0:45 or minutes alone, and if you like strokes and name; with commas "
    "between, or pasted from a spreadsheet. Like: 3, base, 50"
)


def held_classes(book: Book, on: OnBench) -> list[PartOfBook]:
    """The pane."""
    parts = []
    if on.group is not None:
        parts += [
            part("heading", on.group.title),
            lines("Its kits, cut from the shelf by its cutting plan: all of them or none. Leftovers go back."),
            form("", "kits", "Cut its kits from the shelf"),
        ]
    parts.append(_entry(book, on))
    found = held(book)[:MOST_SHOWN]
    if not found:
        return parts
    rows = [
        [each.held_on, each.title, str(each.seats), str(each.paced) if each.paced else "",
         f"{each.currency}{each.brought}" if each.brought else "", each.note]
        for each in found
    ]  # fmt: skip
    head = ["Held", "Class", "Seats", "Times", "Brought", ""]
    acts = [[act("take class back", "Take back", of=each.id)] for each in found]
    parts += [part("heading", "Classes held"), table(head, rows, (2, 3, 4), acts)]
    parts.append(
        form(
            "Times of a class", "pace", "Enter the times",
            field("held", "class", choices=[[each.id, f"{each.title}, {each.held_on}"] for each in found]),
            note("times", "times", TIMES), _names(),
        )
    )  # fmt: skip
    return parts + _pace(book)


def _entry(book: Book, on: OnBench) -> PartOfBook:
    group = on.group
    return form(
        "A class that was held", "held", "Enter this class",
        field("title", "title", value=on.title),
        field("on", "day", value=str(group.day) if group and group.day else today()),
        field("seats", "students", value=str(len(group.students)) if group else ""),
        field("brought", "brought in", "All that its students paid."), money_field(book), field("note", "note"),
    )  # fmt: skip


def _names():
    return field("names", "names", "", "no", [["no", "are not kept: seats only"], ["yes", "are kept in the book"]])


def _pace(book: Book) -> list[PartOfBook]:
    rows = [
        [each.part, str(each.seats), *(show_time(s) for s in (each.middle_s, each.quickest_s, each.slowest_s)),
         "" if each.strokes_per_minute is None else f"{each.strokes_per_minute:.1f}"]
        for each in paces(book)
    ]  # fmt: skip
    if not rows:
        return []
    head = ["Part", "Seats", "Middle", "Quickest", "Slowest", "Strokes a minute"]
    parts = [part("heading", "How fast students were"), table(head, rows, (1, 2, 3, 4, 5))]
    each_of = [
        [each.who, str(each.parts), f"{each.share.middle:.0%}", "{:.0%} to {:.0%}".format(*each.share.within())]
        for each in students(book)
    ]
    if each_of:
        parts += [
            part("heading", "Each student"),
            lines(
                "Their time as a share of the class's middle; nineteen times in twenty their next class lies between."
            ),
            table(["Student", "Parts", "Share", "19 in 20 lie"], each_of, (1, 2)),
        ]
    return parts
