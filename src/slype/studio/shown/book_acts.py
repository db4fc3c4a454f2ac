"""What the buttons of the book's room do: fields as typed in, what came of it out. Nothing is entered where one is
wrong."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ...book import baskets, said, shelf
from ...book.learning import applied, figures
from ...book.makeable import offers
from ...book.place import place
from ...book.store import Book, today
from ...book.year.accounts import enter
from ...errors import DesignError
from ...quantity import show_run
from ...words import several
from .books import OnBench, figure_shown, part, table, told
from .contract import BookAnswer, PartOfBook

Fields = dict[str, str]


def do(act: str, fields: Fields, text: str, name: str, designs: list[tuple[str, str]]) -> BookAnswer:
    """Do `act` with what was typed. Raises SlypeError, and then nothing was entered."""
    if act not in _ACTS:
        raise DesignError("the book has no such button.", act[:40])
    on = OnBench(text, name)
    with Book(place()) as book:
        news, changes, found = _ACTS[act](book, on, fields, designs)
        return {"news": news, "book": told(book, on), "changes": changes, "found": found}


_Did = tuple[str, list[Any], list[PartOfBook]]


def _add(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    amount, unit = said.length_or_mass(_needed(fields, "amount"), "how much")
    more = {key: fields.get(key, "") for key in ("supplier", "dye_lot")}
    cost = said.money(fields.get("cost"), "cost")
    shelf.put_on_shelf(
        book, said.reed(_needed(fields, "reed")), _needed(fields, "colour"), amount, unit,
        "offcuts" if fields.get("kind") == "offcuts" else "coil", fields.get("note", ""), cost=cost,
        currency=fields.get("currency") if cost else None, **more,
    )  # fmt: skip
    return "On the shelf.", [], []


def _move(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    lot = next((each for each in shelf.lots(book) if each.id == fields.get("lot")), None)
    if lot is None:
        raise DesignError("this lot is not on the shelf any more.", "from")
    typed, note = _needed(fields, "amount"), fields.get("note", "")
    if fields.get("what") == "count":
        none = typed in ("0", "nothing")
        shelf.count(book, lot.id, 0.0 if none else said.amount(typed, lot.unit, "how much"), note)
        return "The shelf says so now.", [], []
    amount = said.amount(typed, lot.unit, "how much")
    if fields.get("what") == "back":
        shelf.give_back(book, [(lot.id, amount)], note)
        return "Back on the shelf.", [], []
    shelf.take(book, [(lot.id, amount)], note, on.units)
    return "Cut. It can be taken back below.", [], []


def _undo(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    shelf.undo(book, _needed(fields, "of"))
    return "Taken back.", [], []


def _enter(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    units = {each.key: each.unit for each in figures.can_measure(on.plan)}
    measured = {
        key: said.figure(fields[f"figure {key}"], unit, key)
        for key, unit in units.items()
        if fields.get(f"figure {key}", "").strip()
    }
    hours = {"in all": said.seconds(fields["hours"], "hours in all")} if fields.get("hours", "").strip() else {}
    sold = said.money(fields.get("sold_for"), "sold for")
    day = said.day(fields.get("on") or today(), "day made")
    baskets.record(
        book, on.plan, on.text, day, measured, hours, (), fields.get("note", ""), sold,
        fields.get("currency") if sold else None,
    )  # fmt: skip
    odd = [
        f"{each.key}: you measured {figure_shown(each, measured[each.key], on.units)}, slype reckons "
        f"{figure_shown(each, each.reckoned, on.units)}. If that was a slip, leave the basket out and enter it again."
        for each in figures.surprising(on.plan, measured)
    ]
    return " ".join(["In the book.", *odd]), [], []


def _enter_money(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    amount = said.money(_needed(fields, "amount"), "how much") or "0"
    day = said.day(fields.get("on") or today(), "day")
    enter(book, day, fields.get("way") == "in", _needed(fields, "what"), amount, fields.get("currency", ""))
    return "In the book.", [], []


def _leave(out: bool) -> Callable[[Book, OnBench, Fields, list], _Did]:
    def leave(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
        baskets.leave_out(book, _needed(fields, "of"), out)
        return "It teaches nothing from now on." if out else "It teaches again.", [], []

    return leave


def _put_gauge(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    table = applied.gauge_table(on.plan.design, baskets.known(book))
    if not table:
        raise DesignError("the book has learned nothing yet.", "your measure", "Enter a basket you made first.")
    changes = [{"set": ["gauge", key], "to": value} for key, value in table.items()]
    return "The basket carries your measure now.", changes, []


def _offers(book: Book, on: OnBench, fields: Fields, designs: list[tuple[str, str]]) -> _Did:
    found: list[PartOfBook] = []
    for offer in offers(designs, shelf.lots(book)):
        size = "" if offer.size == 1.0 else f", at {offer.size:.0%} of its size"
        rows = [
            [need.reed, need.colour, show_run(need.wanted_mm, on.units),
             show_run(need.left_mm, on.units) if need.enough else f"lacks {show_run(-need.left_mm, on.units)}"]
            for need in offer.needs
        ]  # fmt: skip
        found.append(part("heading", f"{offer.title}{size}: {'yes' if offer.fits else 'not yet'}"))
        found.append(
            table([on.say("{reed}").capitalize(), on.say("{colour}").capitalize(), "Uses", "Leaves"], rows, (2, 3))
        )
    fits = sum(each["text"].endswith("yes") for each in found)
    return f"{several(fits, 'design')} of {several(len(found) // 2, 'design')} can be made.", [], found


def _needed(fields: Fields, name: str) -> str:
    value = fields.get(name, "").strip()
    if not value:
        raise DesignError("is missing.", name)
    return value


_ACTS: dict[str, Callable[[Book, OnBench, Fields, list], _Did]] = {
    "add": _add, "move": _move, "undo": _undo, "made": _enter, "leave out": _leave(True), "take in": _leave(False),
    "gauge": _put_gauge, "money": _enter_money, "make": _offers,
}  # fmt: skip
