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
from ...book.year import accounts, classes
from ...book.year.accounts import enter
from ...book.year.stock import cut_kits
from ...errors import DesignError
from ...kit.worked import work
from ...quantity import show_run, show_time
from ...words import several
from ..told.book import BookAnswer, PartOfBook
from .book_baskets import label_of, opened
from .book_learned import whose
from .book_parts import OnBench, form, part, table
from .books import told

Fields = dict[str, str]


def do(act: str, fields: Fields, text: str, name: str, designs: list[tuple[str, str]]) -> BookAnswer:
    """Do `act` with what was typed. Raises SlypeError, and then nothing was entered."""
    if act not in _ACTS:
        raise DesignError("the book has no such button.", act[:40])
    on = OnBench(text, name, fields.pop("whose", "").strip()[:80], _year(fields.pop("which year", "")))
    with Book(place()) as book:
        news, changes, found = _ACTS[act](book, on, fields, designs)
        return {"news": news, "book": told(book, on), "changes": changes, "found": found}


_Did = tuple[str, list[Any], list[PartOfBook]]


def _year(text: str) -> int:
    """A year as it is typed; 0 where nothing is said."""
    if not text.strip():
        return 0
    if not (text.strip().isascii() and text.strip().isdigit() and 1900 <= int(text) <= 2200):
        raise DesignError(f'"{text[:20]}" is no year of a maker\'s book.', "year", "Write it like 2026.")
    return int(text)


def _add(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    amount, unit = said.length_or_mass(_needed(fields, "amount"), "how much", on.units)
    more = {key: fields.get(key, "") for key in ("supplier", "dye_lot")}
    cost = said.money(fields.get("cost"), "cost")
    reed, colour = said.reed(_needed(fields, "reed")), _needed(fields, "colour")
    shelf.put_on_shelf(
        book, reed, colour, amount, unit,
        "offcuts" if fields.get("kind") == "offcuts" else "coil", fields.get("note", ""), cost=cost,
        currency=said.currency(fields.get("cost"), fields.get("currency", "")) if cost else None, **more,
    )  # fmt: skip
    return f"On the shelf: {said.shown(amount, unit, on.units)} of {reed}, {colour}.", [], []


def _move(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    lot = next((each for each in shelf.lots(book) if each.id == fields.get("lot")), None)
    if lot is None:
        raise DesignError("this lot is not on the shelf any more.", "from")
    typed, note, of = _needed(fields, "amount"), fields.get("note", ""), f"of {lot.reed}, {lot.colour}"
    if fields.get("what") == "count":
        amount = 0.0 if typed in ("0", "nothing") else said.amount(typed, lot.unit, "how much", on.units)
        shelf.count(book, lot.id, amount, note)
        return f"The shelf says {said.shown(amount, lot.unit, on.units)} {of} now.", [], []
    amount = said.amount(typed, lot.unit, "how much", on.units)
    shown = said.shown(amount, lot.unit, on.units)
    if fields.get("what") == "back":
        shelf.give_back(book, [(lot.id, amount)], note)
        return f"{shown} {of} is back on the shelf.", [], []
    shelf.take(book, [(lot.id, amount)], note, on.units)
    return f"Cut: {shown} {of}. It can be taken back below.", [], []


def _undo(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    found = next((each for each in shelf.acts(book) if each.id == fields.get("of")), None)
    shelf.undo(book, _needed(fields, "of"))
    if found is not None and found.basket:
        stays = f"It was taken for {found.title}, which stays in the book and can be taken back under Baskets."
        return f"Back on the shelf. {stays}", [], []
    return "Taken back.", [], []


def _enter(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    known = {each.key: each for each in figures.can_measure(on.plan)}
    measured = {
        key: said.figure(fields[f"figure {key}"], of, label_of(of), on.units)
        for key, of in known.items()
        if fields.get(f"figure {key}", "").strip()
    }
    hours = fields.get("hours", "").strip()
    time = {"in all": said.seconds(hours, "hours in all", "h")} if hours else {}
    sold = said.money(fields.get("sold_for"), "sold for")
    currency = said.currency(fields.get("sold_for"), fields.get("currency", "")) if sold else None
    off_shelf = fields.get("shelf") == "yes"
    used = _used(on, fields, off_shelf)
    maker = fields.get("maker", "").strip()
    baskets.record(
        book, on.plan, on.text, said.day(fields.get("on") or today(), "day made"), measured, time, used,
        fields.get("note", ""), sold, currency, maker, off_shelf,
    )  # fmt: skip
    words = [said.understood(measured, known, on.units)] + [f"{show_time(s)} in all" for s in time.values()]
    words += [f"{currency}{sold}"] if sold else []
    news = [f"In the book: {'; '.join(filter(None, words))}." if any(words) else "In the book."]
    if off_shelf:
        gone = "; ".join(f"{show_run(mm, on.units)} of {reed}, {colour}" for reed, colour, mm, _ in used)
        news.append(f"Off the shelf: {gone}.")
    news += [
        f"{each.key}: you measured {said.figure_shown(each, measured[each.key], on.units)}, slype reckons "
        f"{said.figure_shown(each, each.reckoned, on.units)}. If that was a slip, take it back and enter it again."
        for each in figures.surprising(on.plan, measured)
    ]
    return " ".join(news), [], []


def _swatch(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    weave, _, reed = (each.strip() for each in _needed(fields, "kind", "of what").rpartition(","))
    known = {each.key: each for each in figures.of_swatch(on.plan, weave, reed)}
    measured = {
        key: said.figure(fields[key], of, key, on.units) for key, of in known.items() if fields.get(key, "").strip()
    }
    day = said.day(fields.get("on") or today(), "day")
    baskets.record_swatch(book, on.plan, weave, reed, day, measured, on.maker)
    return f"In the book: {said.understood(measured, known, on.units)}.", [], []


def _used(on: OnBench, fields: Fields, off_shelf: bool) -> list[tuple[str, str, float, float]]:
    """(reed, colour, mm, 0) of what the basket took: as typed, else as reckoned where it comes off the shelf."""
    assert on.plan is not None, "asked of a basket"
    out = []
    for reed, colour, mm in figures.reckoned_use(on.plan):
        typed = fields.get(f"used {reed}, {colour}", "").strip()
        if typed:
            mm = 0.0 if typed in ("0", "nothing") else said.amount(typed, "mm", f"{reed}, {colour}", on.units)
        if (typed or off_shelf) and mm > 0:
            out.append((reed, colour, mm, 0.0))
    return out


def _open(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    return "", [], opened(book, _needed(fields, "of"), on)


def _take_back(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    basket = _needed(fields, "of")
    found = baskets.opened(book, basket)
    baskets.take_back(book, basket)
    back = " What it took lies on the shelf again." if found.off_shelf else ""
    again = form("", "bring back", f"Enter {found.made.title} again as it was", of=basket)
    return f"{found.made.title} is taken back.{back}", [], [again]


def _bring_back(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    baskets.bring_back(book, _needed(fields, "of"))
    return "In the book again.", [], []


def _kits(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.group is None:
        raise DesignError("there is no class on the bench.", "class")
    made = work(on.group)
    if not made.kits:
        raise DesignError("no seat has a basket that can be woven.", on.group.title)
    _, taken = cut_kits(book, made, f"{on.group.title}, {several(len(made.kits), 'kit')}", on.units)
    rows = [
        [each.reed, each.colour, show_run(each.strands_mm, on.units), show_run(each.back_mm, on.units)]
        for each in taken
    ]
    head = [on.say("{reed}").capitalize(), on.say("{colour}").capitalize(), "Strands cut", "Of which goes back"]
    news = f"{several(len(made.kits), 'kit')} cut from the shelf. It can be taken back there."
    return news, [], [part("heading", "Cut"), table(head, rows, (2, 3))]


def _held(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    seats = _needed(fields, "seats", "students")
    if not (seats.isascii() and seats.isdigit() and len(seats) < 6):
        raise DesignError(f'"{seats[:20]}" is no count.', "students", "Write it like 12.")
    brought = said.money(fields.get("brought"), "brought in")
    currency = said.currency(fields.get("brought"), fields.get("currency", ""))
    title, day = _needed(fields, "title"), said.day(fields.get("on") or today(), "day")
    plan = on.text if on.group is not None else ""
    classes.record(book, title, day, int(seats), plan, fields.get("note", ""), brought, currency)
    still = f" {day} is still to come: if that was a slip, take it back and enter it again." if day > today() else ""
    return f"In the book: {title}, {day}{f', {currency}{brought}' if brought else ''}.{still}", [], []


def _pace(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    names = fields.get("names") == "yes"
    found = classes.read_pace(_needed(fields, "times").replace("\r\n", "\n") + "\n", "times", names)
    if not found:
        raise DesignError("there is no time below the headings.", "times", "A line like: 1,base,0:45")
    classes.add_pace(book, _needed(fields, "held", "class"), found)
    return f"{several(len(found), 'time')} in the book{'' if names else ', without names'}.", [], []


def _class_back(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    classes.take_back(book, _needed(fields, "of"))
    return "The class is taken back, with what it brought and its students' times.", [], []


def _money_back(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    accounts.take_back(book, _needed(fields, "of"))
    return "Taken back.", [], []


def _turn(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    """Turn to another maker, or another year."""
    if "maker" in fields:
        on.maker = fields["maker"].strip()[:80]
    if "year" in fields:
        on.year = _year(fields["year"])
    return "", [], []


def _enter_money(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    amount = said.money(_needed(fields, "amount"), "how much") or "0"
    day = said.day(fields.get("on") or today(), "day")
    currency = said.currency(fields.get("amount"), fields.get("currency", ""))
    came_in, what = fields.get("way") == "in", _needed(fields, "what")
    enter(book, day, came_in, what, amount, currency)
    return f"In the book: {what}, {currency}{amount} {'came in' if came_in else 'went out'}.", [], []


def _leave(out: bool) -> Callable[[Book, OnBench, Fields, list], _Did]:
    def leave(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
        baskets.leave_out(book, _needed(fields, "of"), out)
        return "It teaches nothing from now on." if out else "It teaches again.", [], []

    return leave


def _put_gauge(book: Book, on: OnBench, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    table = applied.gauge_table(on.plan.design, baskets.known(book, maker=on.maker), whose(on.maker))
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


def _needed(fields: Fields, name: str, called: str = "") -> str:
    value = fields.get(name, "").strip()
    if not value:
        raise DesignError("is missing.", called or name)
    return value


_ACTS: dict[str, Callable[[Book, OnBench, Fields, list], _Did]] = {
    "add": _add, "move": _move, "undo": _undo, "made": _enter, "leave out": _leave(True), "take in": _leave(False),
    "open": _open, "take back": _take_back, "bring back": _bring_back, "gauge": _put_gauge, "whose": _turn,
    "which year": _turn, "money": _enter_money, "make": _offers, "kits": _kits, "held": _held, "pace": _pace,
    "swatch": _swatch, "take class back": _class_back, "take money back": _money_back,
}  # fmt: skip
