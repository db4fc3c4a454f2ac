"""`slype book`: what a maker types about shelf, baskets and gauge; lengths and weights are read and printed here."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from typing import TYPE_CHECKING

from ..book import said as typed
from ..errors import DesignError, FileTrouble
from . import gauges, years
from .gauges import one_of

if TYPE_CHECKING:
    from ..book.store import Book


def answer(asked: argparse.Namespace) -> int:
    """Do what was asked and print what is to say; the exit status."""
    from ..book.place import place

    where = place(asked.book)
    if asked.todo in ("check", "repair"):
        return _care(asked.todo, where)
    from ..book.store import Book

    with Book(where) as book:
        if asked.todo not in OF_A_DESIGN:
            asked.units = asked.units or _own_units(book, asked)
        _TODO[asked.todo or "where"](book, asked)
    return 0


OF_A_DESIGN = ("measurable", "made", "swatch", "gauge")
"""What is asked of a design speaks in the units of that."""


def _own_units(book: Book, asked: argparse.Namespace) -> str:
    """The units to answer in where none are asked for: those of what was typed, else the book's."""
    from ..book.baskets import usual_units

    amounts = (getattr(asked, name, None) for name in ("length", "weight", "amount"))
    said = next((units for each in amounts if isinstance(each, str) for units in [typed.units_in(each)] if units), "")
    return said or usual_units(book)


def _care(todo: str, where: str) -> int:
    from ..book import care
    from ..book.photographs import folder_beside

    if where.startswith("postgres"):
        if todo == "repair":
            raise FileTrouble("a book on a server is mended by whoever keeps the server.", "slype book repair")
        found = care.check(where)
    elif todo == "repair":
        for line in care.repair(where):
            print(line)
        return 0
    else:
        found = care.check(where, folder_beside(where))
    for trouble in found:
        print(
            f"{trouble.said[:1].upper()}{trouble.said[1:]}"
            + (" Run: slype book repair." if trouble.mended_by_repair else "")
        )
    if not found:
        print("Every entry is whole.")
    return 1 if found else 0


# The shelf -------------------------------------------------------------------------------------------------------


def _where(book: Book, asked: argparse.Namespace) -> None:
    from ..book.baskets import baskets, measures
    from ..book.shelf import lots
    from ..words import several

    print(book.path or "The book is on a server.")
    print(
        f"{several(len(lots(book)), 'lot')} of reed on the shelf, {several(len(baskets(book)), 'basket')} made, "
        f"{several(len(measures(book)), 'figure')} measured."
    )


def _shelf(book: Book, asked: argparse.Namespace) -> None:
    from ..book.shelf import lots
    from ..report import books, printed

    printed.show(books.shelf(lots(book, asked.reed, asked.colour, asked.all), asked.units))


def _add(book: Book, asked: argparse.Namespace) -> None:
    from ..book import shelf
    from ..book.baskets import usual_currency

    currency = asked.currency or (typed.currency(asked.cost, usual_currency(book)) if asked.cost else None)
    typed.reed(asked.reed)
    unit = "mm" if asked.length else "g"
    units = asked.units
    amount = typed.amount(asked.length or asked.weight, unit, "--length" if asked.length else "--weight", units)
    more = {
        "cost": typed.money(asked.cost, "--cost"), "currency": currency, "supplier": asked.supplier or "",
        "dye_lot": asked.dye_lot or "",
    }  # fmt: skip
    kind = "offcuts" if asked.offcuts else "coil"
    lot = shelf.put_on_shelf(book, asked.reed, asked.colour, amount, unit, kind, asked.note or "", **more)
    print(f"On the shelf: {typed.shown(amount, unit, units)} of {asked.reed}, {asked.colour}, as {lot[:6]}.")


def _cut(book: Book, asked: argparse.Namespace) -> None:
    from ..book import shelf

    found, units = shelf.lots(book), asked.units
    reed, comma, colour = (part.strip() for part in asked.lot.rpartition(","))
    if comma:
        mine = [lot for lot in found if (lot.reed, lot.colour) == (reed, colour)]
        wanted = shelf.oldest_first(mine, _amount(asked, mine[0].unit if mine else "mm"), asked.lot, units)
    else:
        lot = one_of(found, asked.lot, "lot")
        wanted = [(lot.id, _amount(asked, lot.unit))]
    act = shelf.take(book, wanted, asked.note, units)
    unit = next(lot.unit for lot in found if lot.id == wanted[0][0])
    print(
        f"Cut {typed.shown(sum(each[1] for each in wanted), unit, units)}. To take it back: slype book undo {act[:6]}"
    )


def _back(book: Book, asked: argparse.Namespace) -> None:
    from ..book import shelf

    lot = one_of(shelf.lots(book, empty=True), asked.lot, "lot")
    amount = _amount(asked, lot.unit)
    shelf.give_back(book, [(lot.id, amount)], asked.note)
    print(f"{typed.shown(amount, lot.unit, asked.units)} is back on the shelf.")


def _count(book: Book, asked: argparse.Namespace) -> None:
    from ..book import shelf

    lot = one_of(shelf.lots(book, empty=True), asked.lot, "lot")
    amount = 0.0 if asked.amount.strip() in ("0", "nothing") else _amount(asked, lot.unit)
    shelf.count(book, lot.id, amount, asked.note)
    print(f"The shelf says {typed.shown(amount, lot.unit, asked.units)} now.")


def _amount(asked: argparse.Namespace, unit: str) -> float:
    return typed.amount(asked.amount, unit, units=asked.units)


def _undo(book: Book, asked: argparse.Namespace) -> None:
    from ..book import shelf

    found = [act for act in shelf.acts(book) if not act.undone]
    if not found:
        raise DesignError("nothing was done to the shelf yet.", "undo")
    act = one_of(found, asked.act, "act") if asked.act else found[0]
    take_back = f"slype book take-back {act.basket[:6]}"
    if act.basket and not asked.act:  # a basket would stay in the book whose reed lies on the shelf again
        raise DesignError(
            f"the last thing done to the shelf was to take the reed of a basket from it: {act.title}, "
            f"{act.basket[:6]}. Nothing was taken back.", "undo",
            f"To take back that basket and its reed: {take_back}. To put back its reed alone: "
            f"slype book undo {act.id[:6]}.",
        )  # fmt: skip
    shelf.undo(book, act.id)
    print(f"Taken back: {act.said}.")
    if act.basket:
        print(f"This was the reed of {act.title}, which stays in the book. To take that back too: {take_back}")


def _done(book: Book, asked: argparse.Namespace) -> None:
    from ..book.shelf import acts
    from ..report import books, printed

    printed.show(books.acts(acts(book)[:30]))


# Baskets ---------------------------------------------------------------------------------------------------------


def _design_and_plan(path: str):
    from ..design.file.reader import load
    from ..plans import planning

    with_text = load(path)
    with open(path, encoding="utf-8-sig", newline="") as file:
        return planning.plan(with_text), file.read()


def _measurable(book: Book, asked: argparse.Namespace) -> None:
    from ..book.learning.figures import can_measure, reckoned_in_all
    from ..report import books, printed

    plan, _ = _design_and_plan(asked.file)
    units = asked.units or plan.design.units
    printed.show(books.measurable(can_measure(plan), reckoned_in_all(plan), units))


def _made(book: Book, asked: argparse.Namespace) -> None:
    from ..book import baskets, photographs
    from ..book.learning import figures
    from ..book.store import today
    from ..quantity import show_time
    from ..report import books

    plan, text = _design_and_plan(asked.file)
    units = asked.units or plan.design.units
    day = typed.day(asked.on, "--on") if asked.on else today()
    known = {each.key: each for each in figures.can_measure(plan)}
    measured = {}
    for name, value in (_split(said, "--measured") for said in asked.measured):
        if name not in known:
            raise DesignError("this basket has no such figure.", name, figures.which(name, known))
        measured[name] = typed.figure(value, known[name], f"--measured, {name}", units)
    parts = (_split(said, "--hours") for said in asked.hours)
    hours = {part: typed.seconds(value, f"--hours, {part}", "h") for part, value in parts}
    used = [_used(said, units) for said in asked.used]
    if asked.off_shelf:  # what was not said is as reckoned
        said_of = {each[:2] for each in used}
        used += [(*each, 0.0) for each in figures.reckoned_use(plan) if each[:2] not in said_of]
    sold = typed.money(asked.sold_for, "--sold-for")
    kept = [(os.path.basename(path), photographs.read(path)) for path in asked.photo]  # refused before anything is kept
    currency = asked.currency or typed.currency(asked.sold_for, baskets.usual_currency(book)) if sold else None
    basket = baskets.record(
        book, plan, text, day, measured, hours, used, asked.note, sold, currency, asked.maker or "", asked.off_shelf
    )
    for name, raw in kept:
        photographs.keep_bytes(book, basket, raw, name)
    said = [typed.understood(measured, known, units), *(f"{part} {show_time(s)}" for part, s in hours.items())]
    said += [f"{currency}{sold}"] if sold else []
    print(f"In the book as {basket[:6]}" + (f": {'; '.join(filter(None, said))}." if any(said) else "."))
    if asked.off_shelf:
        gone = "; ".join(f"{typed.shown(each[2], 'mm', units)} of {each[0]}, {each[1]}" for each in used if each[2])
        print(f"Off the shelf: {gone}. To take all of it back: slype book take-back {basket[:6]}")
    for figure in figures.surprising(plan, measured):
        print(books.surprise(figure, measured[figure.key], units, basket))
    _if_still_to_come(day, basket)


def _if_still_to_come(day: str, entry: str) -> None:
    remark = typed.still_to_come(day, entry)
    if remark:
        print(remark)


def _split(said: str, where: str) -> tuple[str, str]:
    name, sign, value = (part.strip() for part in said.partition("="))
    if not (name and sign and value):
        raise DesignError(f'"{said[:60]}" does not say what is how much.', where, 'Write it like "NAME = VALUE".')
    return name, value


def _used(said: str, units: str) -> tuple[str, str, float, float]:
    name, value = _split(said, "--used")
    reed, comma, colour = (part.strip() for part in name.rpartition(","))
    if not comma:
        raise DesignError(f'"{name[:40]}" names no colour.', "--used", 'Write it like "round 3, rust = 30 ft, 2 ft".')
    length, _, left = (part.strip() for part in value.partition(", "))
    none = ("", "0", "nothing")
    mm, over = (0.0 if each in none else typed.amount(each, "mm", "--used", units) for each in (length, left))
    return reed, colour, mm, over


def _open(book: Book, asked: argparse.Namespace) -> None:
    from ..book import baskets
    from ..report import books, printed

    basket = one_of(baskets.baskets(book), asked.basket, "basket")
    if asked.design:
        print(baskets.design_of(book, basket.id), end="")
        return
    printed.show(books.opened(baskets.opened(book, basket.id), asked.units))


def _take_back(book: Book, asked: argparse.Namespace) -> None:
    from ..book import baskets
    from ..book.year import accounts, classes

    made, held, others = baskets.baskets(book), classes.held(book), accounts.others(book)
    found = one_of([*made, *held, *others], asked.entry, "basket, class or money")
    if found in held:
        classes.take_back(book, found.id)
        print(f"{found.title} is taken back, with what it brought and its students' times.")
    elif found in others:
        accounts.take_back(book, found.id)
        print(f"{found.what} is taken back.")
    else:
        off_shelf = baskets.opened(book, found.id).off_shelf
        baskets.take_back(book, found.id)
        print(f"{found.title} is taken back.{' Its reed is on the shelf again.' if off_shelf else ''}")


def _makers(book: Book, asked: argparse.Namespace) -> None:
    from ..book.baskets import makers
    from ..words import several

    for name, many in makers(book):
        print(f"{name or 'you'}: {several(many, 'basket')}")


def _baskets(book: Book, asked: argparse.Namespace) -> None:
    from ..book.baskets import baskets
    from ..report import books, printed

    printed.show(books.baskets(baskets(book, asked.search)))


def _leave(out: bool) -> Callable[[Book, argparse.Namespace], None]:
    def leave(book: Book, asked: argparse.Namespace) -> None:
        from ..book import baskets

        basket = one_of(baskets.baskets(book), asked.basket, "basket")
        baskets.leave_out(book, basket.id, out)
        print(f"{basket.title} teaches {'nothing from now on' if out else 'again'}.")

    return leave


def _make(book: Book, asked: argparse.Namespace) -> None:
    from ..book.makeable import offers
    from ..book.shelf import lots
    from ..files import MOST_BYTES, read_folder
    from ..report import books, printed

    designs = []
    for name in read_folder(asked.folder):
        path = os.path.join(asked.folder, name)
        if name.lower().endswith(".toml") and os.path.isfile(path) and os.path.getsize(path) <= MOST_BYTES:
            with open(path, encoding="utf-8-sig", errors="replace", newline="") as file:
                designs.append((name, file.read()))
    if not designs:
        raise FileTrouble("there is no design in this folder.", asked.folder, "Name the folder where designs lie.")
    printed.show(books.makeable(offers(designs, lots(book)), asked.units))


# The whole book --------------------------------------------------------------------------------------------------


def _export(book: Book, asked: argparse.Namespace) -> None:
    from ..book.exchange import export

    print(f"{len(export(book, asked.folder))} files are in {asked.folder}.")


def _import(book: Book, asked: argparse.Namespace) -> None:
    from ..book.exchange import bring_in
    from ..words import several

    print(f"{several(bring_in(book, asked.folder), 'new entry', 'new entries')}.")


def _backup(book: Book, asked: argparse.Namespace) -> None:
    from ..book.store import today

    if not book.is_file:
        raise FileTrouble("a book on a server is backed up by whoever keeps the server.", "slype book backup")
    print(book.back_up(today()))


_TODO: dict[str, Callable[[Book, argparse.Namespace], None]] = {
    "where": _where, "shelf": _shelf, "add": _add, "cut": _cut, "back": _back, "count": _count, "undo": _undo,
    "done": _done, "measurable": _measurable, "made": _made, "baskets": _baskets, "open": _open,
    "take-back": _take_back, "makers": _makers, "leave-out": _leave(True), "take-in": _leave(False),
    "learned": gauges.learned, "make": _make, "swatch": gauges.swatch, "gauge": gauges.gauge, "kits": years.kits,
    "held": years.held, "classes": years.listed, "pace": years.pace, "times": years.times, "money": years.money,
    "year": years.year, "export": _export, "import": _import, "backup": _backup,
}  # fmt: skip
