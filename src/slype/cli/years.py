"""`slype book kits`, `held`, `classes`, `pace`, `money` and `year`: what a maker types about classes and money."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

from .. import files
from ..book import said
from ..book.baskets import usual_currency
from ..errors import FileTrouble

if TYPE_CHECKING:
    from ..book.store import Book
    from ..book.year.classes import Paced


def kits(book: Book, asked: argparse.Namespace) -> None:
    """Cut the kits of a class, or of baskets of one design, from the shelf."""
    from ..book.year.stock import cut_kits
    from ..kit.worked import work
    from ..quantity import show_run
    from .classes import read

    made = work(read(asked).found)
    units = asked.units
    act, taken = cut_kits(book, made, asked.note or f"{made.asked.title}, {len(made.kits)} kits", units)
    for each in taken:
        back = f", of which {show_run(each.back_mm, units)} goes back" if each.back_mm > 1 else ""
        print(f"{each.reed}, {each.colour}: strands of {show_run(each.strands_mm, units)} in all{back}")
    print(f"Cut. To take it back: slype book undo {act[:6]}")


def held(book: Book, asked: argparse.Namespace) -> None:
    """Enter a class that was held."""
    from ..book.store import today
    from ..book.year import classes
    from .classes import read

    found = read(asked).found
    pace = _read_pace(asked.pace) if asked.pace else []
    with open(asked.file, encoding="utf-8-sig", newline="") as file:
        text = file.read()
    day = said.day(asked.on, "--on") if asked.on else str(found.day or today())
    key = classes.record(
        book, found.title, day, len(found.students), text, asked.note, said.money(asked.brought, "--brought"),
        asked.currency or said.currency(asked.brought, usual_currency(book)),
        pace if asked.names else classes.nameless(pace),
    )  # fmt: skip
    print(f"In the book as {key[:6]}: {found.title}, {day}.{'' if asked.names else _unnamed(pace)}")
    if remark := said.still_to_come(day, key):
        print(remark)


def _read_pace(path: str) -> list[Paced]:
    from ..book.year.classes import read_pace

    try:
        with open(path, encoding="utf-8-sig", newline="") as file:
            return read_pace(file.read(1_000_000), os.path.basename(path), True)
    except (OSError, UnicodeDecodeError) as trouble:
        raise FileTrouble(f"cannot be read: {trouble}.", path) from None


def _unnamed(pace: list[Paced]) -> str:
    return " Students' names were not taken." if any(each.name for each in pace) else ""


def times(book: Book, asked: argparse.Namespace) -> None:
    """Enter students' times of a class that is in the book."""
    from ..book.year import classes
    from ..words import several
    from .gauges import one_of

    held = one_of(classes.held(book), asked.held, "class")
    pace = _read_pace(asked.csv)
    classes.add_pace(book, held.id, pace if asked.names else classes.nameless(pace))
    print(f"{several(len(pace), 'time')} of {held.title}.{'' if asked.names else _unnamed(pace)}")


def listed(book: Book, asked: argparse.Namespace) -> None:
    """List the classes held."""
    from ..book.year.classes import held as classes_held
    from ..report import printed
    from ..report.printed import columns

    found = classes_held(book)
    if not found:
        print("No class is in the book yet. To enter one: slype book held CLASS.toml")
        return
    table = columns("", "Held", "Class", ">Seats", ">Paced", ">Brought", "")
    for each in found:
        brought = f"{each.currency}{each.brought}" if each.brought else ""
        table.add_row(each.id[:6], each.held_on, each.title, str(each.seats), str(each.paced), brought, each.note)
    printed.show([table])


def pace(book: Book, asked: argparse.Namespace) -> None:
    """Say how fast students were, part by part; nobody is named."""
    from ..book.year.classes import paces
    from ..quantity import show_time
    from ..report import printed
    from ..report.printed import columns

    if asked.each:
        return _students(book)
    found = paces(book)
    if not found:
        print("No student's pace is in the book yet: slype book held CLASS.toml --pace FILE.csv")
        return
    table = columns("Part", ">Seats", ">Middle", ">Quickest", ">Slowest", ">Strokes a minute")
    for each in found:
        times = (show_time(s) for s in (each.middle_s, each.quickest_s, each.slowest_s))
        speed = "" if each.strokes_per_minute is None else f"{each.strokes_per_minute:.1f}"
        table.add_row(each.part, str(each.seats), *times, speed)
    printed.show([table])


def _students(book: Book) -> None:
    from ..book.year.classes import students
    from ..report import printed
    from ..report.printed import columns

    table = columns("Student", ">Parts timed", ">Time, of the class's middle", "Nineteen in twenty lie")
    found = students(book)
    for each in found:
        low, high = each.share.within()
        table.add_row(each.who, str(each.parts), f"{each.share.middle:.0%}", f"{low:.0%} to {high:.0%}")
    printed.show([table] if found else ["No part of a class was timed of two students or more yet."])


def money(book: Book, asked: argparse.Namespace) -> None:
    """Enter other money that came in or went out."""
    from ..book.store import today
    from ..book.year.accounts import enter

    amount = said.money(asked.amount, "AMOUNT") or "0"
    day = said.day(asked.on, "--on") if asked.on else today()
    currency = asked.currency or said.currency(asked.amount, usual_currency(book))
    key = enter(book, day, asked.way == "in", asked.what, amount, currency)
    print(
        f"In the book as {key[:6]}: {asked.what}, {currency}{amount} {'came in' if asked.way == 'in' else 'went out'}."
    )


def year(book: Book, asked: argparse.Namespace) -> None:
    """Say what a year brought; with an output, as a page or a workbook."""
    from ..book.store import today
    from ..book.year.accounts import year_of
    from ..book.year.papers import NO_ADVICE, page, summary, workbook
    from ..book.year.papers import money as shown
    from ..report import printed
    from ..report.printed import columns

    found = year_of(book, asked.year or int(today()[:4]))
    if asked.output:
        suffix = files.check_output(asked.output, (".html", ".xlsx"))
        files.write(asked.output, workbook(found) if suffix == ".xlsx" else page(found, asked.units))
        print(f"{asked.output}: the year {found.year}")
        return
    if not found.entries:
        print(f"No money is in the book for {found.year}.")
        return
    table = columns("What", ">Sum")
    for what, currency, value in summary(found):
        table.add_row(what, shown(value, currency))
    printed.show([table, f"\n{NO_ADVICE}"])
