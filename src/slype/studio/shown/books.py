"""The maker's book as the studio's page shows it: panes ready to show, and what their buttons do.

Everything is opened, done and closed in one answer, so that no window holds the book. What is typed is read here and
what is shown is worded here; the page draws and sends back.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ...book import applied, baskets, said, shelf
from ...book.gauge import Known
from ...book.makeable import offers
from ...book.place import place
from ...book.store import Book, today
from ...book.swatches import ENDS, ROWS, swatches
from ...design.file.reader import parse
from ...errors import DesignError, SlypeError
from ...plans.planning import Plan, plan
from ...quantity import show_length, show_mass, show_run, show_thickness, show_time
from ...reeds import REEDS
from ...tell.gauged import gauge_rows, long_enough
from ...words import say, several
from .contract import ActTold, BookAnswer, BookTold, FieldTold, PaneOfBook, PartOfBook

LEARNED = {
    "row pitch": "How high your rows stand", "take-up": "How much reed your weavers use",
    "border": "How long an end your borders take", "fingers": "What your fingers hold",
    "thickness": "How thick your reed is", "stroke time": "How long your bands take",
    "tails": "How long your tails are",
}  # fmt: skip
MOST_SHOWN = 200
Fields = dict[str, str]


class _On:
    """What is on the bench, for an answer: its plan (None where there is none that can be woven), text, words."""

    def __init__(self, text: str, name: str) -> None:
        self.text, self.name = text, name
        self.plan: Plan | None = None
        if text:
            try:
                self.plan = plan(parse(text, name))
            except SlypeError:
                self.plan = None
        design = self.plan.design if self.plan else None
        self.units = design.units if design else "in"
        self.wording = design.wording if design else "us"

    def say(self, template: str) -> str:
        return say(template, self.wording)


# Parts ---------------------------------------------------------------------------------------------------------


def _part(kind: str, text: str = "", **more: Any) -> PartOfBook:
    empty: PartOfBook = {
        "kind": kind, "text": text, "lines": [], "head": [], "rows": [], "right": [], "acts": [], "form": [],
        "button": None,
    }  # fmt: skip
    return {**empty, **more}  # type: ignore[typeddict-item]


def _lines(*lines: str) -> PartOfBook:
    return _part("lines", lines=list(lines))


def _table(head: list[str], rows: list[list[str]], right: tuple[int, ...] = (), acts: list | None = None):
    return _part("table", head=head, rows=rows, right=list(right), acts=acts or [])


def _act(act: str, label: str, **fields: str) -> ActTold:
    return {"act": act, "label": label, "fields": fields}


def _field(name: str, label: str, hint: str = "", value: str = "", choices: list[list[str]] | None = None) -> FieldTold:
    kind = "choice" if choices else "text"
    return {"name": name, "label": label, "kind": kind, "value": value, "choices": choices or [], "hint": hint}


def _money_field(book: Book) -> FieldTold:
    return _field("currency", "money", value=baskets.usual_currency(book) or "$")


def _form(text: str, act: str, label: str, *fields: FieldTold, **given: str) -> PartOfBook:
    return _part("form", text, form=list(fields), button=_act(act, label, **given))


def _amount(value: float, unit: str, units: str) -> str:
    return show_run(value, units) if unit == "mm" else show_mass(value, units)


# Panes ---------------------------------------------------------------------------------------------------------


def look(text: str, name: str) -> BookTold:
    """The whole book; `text` the design on the bench, "" for none."""
    on = _On(text, name)
    with Book(place()) as book:
        return _told(book, on)


def _told(book: Book, on: _On) -> BookTold:
    panes: list[tuple[str, str, Callable[[Book, _On], list[PartOfBook]]]] = [
        ("shelf", "Shelf", _shelf), ("made", "Baskets", _made), ("gauge", "Your measure", _gauge),
        ("make", "What can I make?", _make), ("swatch", "Swatch", _swatch),
        ("photo", "Photograph", lambda _book, _on: []),
    ]  # fmt: skip
    told: list[PaneOfBook] = [{"key": key, "title": title, "parts": of(book, on)} for key, title, of in panes]
    return {
        "place": book.path or "on a server",
        "basket": on.plan.design.title if on.plan else "",
        "units": on.units,
        "kept": [[each.id, f"{each.title}, {each.made_on}"] for each in baskets.baskets(book)[:MOST_SHOWN]],
        "panes": told,
    }


def _shelf(book: Book, on: _On) -> list[PartOfBook]:
    lots = shelf.lots(book)
    head = ["Reed", on.say("{colour}").capitalize(), "Left", "Of", "Kind", "Dye lot", "From"]
    rows = [
        [lot.reed, lot.colour, *(_amount(each, lot.unit, on.units) for each in (lot.amount, lot.came)), lot.kind,
         lot.dye_lot, lot.supplier]
        for lot in lots[:MOST_SHOWN]
    ]  # fmt: skip
    parts = [_table(head, rows, (2, 3))] if rows else [_lines("Nothing lies on the shelf yet.")]
    if lots:
        names = [[lot.id, f"{lot.reed}, {lot.colour}: {_amount(lot.amount, lot.unit, on.units)}"] for lot in lots]
        what = [["cut", "cut from it"], ["back", "put back to it"], ["count", "it holds, counted anew"]]
        parts.append(
            _form(
                "Cut, put back, count", "move", "Enter",
                _field("lot", "from", choices=names), _field("what", "what", choices=what),
                _field("amount", "how much", "A length, or a weight for a lot that is weighed."),
                _field("note", "what for"),
            )
        )  # fmt: skip
    length = "300 ft" if on.units == "in" else "90 m"
    weight = "1 lb" if on.units == "in" else "500 g"
    parts.append(
        _form(
            "Reed that came", "add", "Put on the shelf",
            _field("reed", "reed", choices=[[key, key] for key in REEDS]),
            _field("colour", on.say("{colour}"), value="natural"),
            _field("amount", "how much", f"In all, like {length}, or by weight, like {weight}."),
            _field("kind", "kind", choices=[["coil", "coil"], ["offcuts", "offcuts"]]),
            _field("cost", "cost"), _money_field(book), _field("supplier", "from whom"),
            _field("dye_lot", "dye lot"), _field("note", "note"),
        )
    )  # fmt: skip
    done = shelf.acts(book, 20)
    if done:
        rows = [[act.at[:16].replace("T", " "), act.said, act.note, "taken back" if act.undone else ""] for act in done]
        acts = [[] if act.undone else [_act("undo", "Take back", of=act.id)] for act in done]
        parts += [_part("heading", "Done to the shelf"), _table(["When", "What", "For", ""], rows, acts=acts)]
    return parts


def _show(each: baskets.Measurable, value: float, units: str) -> str:
    if each.unit == "s":
        return show_time(value)
    if each.quantity == "thickness":
        return show_thickness(value, units)
    return show_run(value, units) if each.quantity == "take-up" else show_length(value, units)


def _made(book: Book, on: _On) -> list[PartOfBook]:
    parts = []
    if on.plan is not None:
        fields = [_field("on", "day made", value=today())]
        fields += [
            _field(f"figure {each.key}", on.say(each.key), f"slype reckons {_show(each, each.reckoned, on.units)}")
            for each in baskets.can_measure(on.plan)
        ]
        fields += [
            _field("hours", "hours in all", "Like 4:30."), _field("sold_for", "sold for"),
            _money_field(book), _field("note", "note"),
        ]  # fmt: skip
        title = f"{on.plan.design.title}, finished"
        parts += [
            _lines("Measure what is quick to measure, and leave the rest empty: one figure teaches something."),
            _form(title, "made", "Enter this basket", *fields),
        ]
    else:
        parts.append(_lines("Come here from a basket on the bench to enter it as made."))
    found = baskets.baskets(book)[:MOST_SHOWN]
    if found:
        rows = [
            [each.made_on, each.title, str(each.figures), show_time(each.seconds) if each.seconds else "",
             f"{each.currency or ''}{each.sold_for}" if each.sold_for else "",
             "teaches nothing" if each.left_out else each.note]
            for each in found
        ]  # fmt: skip
        acts = [
            [
                _act("take in", "Let it teach", of=each.id)
                if each.left_out
                else _act("leave out", "Leave out", of=each.id)
            ]
            for each in found
        ]
        head = ["Made", "Basket", "Figures", "Time", "Brought", ""]
        parts += [_part("heading", "Baskets made"), _table(head, rows, (2, 3, 4), acts)]
    return parts


def _gauge(book: Book, on: _On) -> list[PartOfBook]:
    known, measures = baskets.known(book), baskets.measures(book)
    if not measures:
        return [_lines("Nothing was measured yet. Enter a basket you made, or weave a swatch.")]
    parts = []
    for quantity, title in LEARNED.items():
        pairs = dict.fromkeys((each.weave, each.reed) for each in measures if each.quantity == quantity)
        if pairs:
            rows = [_learned(known[quantity], *pair, measures, on) for pair in pairs]
            head = ["Weave", on.say("{reed}").capitalize(), "Yours", "19 in 20 lie", "Measured"]
            parts += [_part("heading", title), _table(head, rows, (2, 4))]
    parts.insert(0, _lines("As a share of what slype reckons: 104 % is one twenty-fifth more."))
    return _what_it_changes(known, on) + parts


def _learned(known: Known, weave: str, reed: str, measures: list, on: _On) -> list[str]:
    found = known.estimate(weave, reed)
    low, high = found.within()
    mine = [each for each in measures if (each.weave, each.reed, each.quantity) == (weave, reed, known.quantity)]
    return [weave or "all", reed or "all", f"{found.middle:.0%}", f"{low:.0%} to {high:.0%}", str(len(mine))]


def _what_it_changes(known: dict[str, Known], on: _On) -> list[PartOfBook]:
    """What the book's gauge would change in the basket on the bench, and the button that puts it there."""
    if on.plan is None:
        return []
    corrected = plan(parse(applied.from_book(on.text, known, on.name), on.name))
    rows = [[on.say(row.what), row.reckoned, row.yours, row.between] for row in gauge_rows(corrected)]
    there = applied.gauge_table(on.plan.design, known).items() <= _gauge_of(on).items()
    parts = [
        _part("heading", f"What it changes in {on.plan.design.title}"),
        _table(["Figure", "slype reckons", "Yours", "19 in 20 lie"], rows, (1, 2)),
        _lines(long_enough(corrected)),
    ]
    if there:
        return [*parts, _lines("The basket carries this measure already.")]
    return [*parts, _form("", "gauge", "Put your measure into this basket")]


def _gauge_of(on: _On) -> dict[str, object]:
    assert on.plan is not None and on.plan.design.tables is not None, "it was read from a text"
    gauge = on.plan.design.tables.get("gauge", {})
    return dict(gauge) if isinstance(gauge, dict) else {}


def _make(book: Book, on: _On) -> list[PartOfBook]:
    if not shelf.lots(book):
        return [_lines("Nothing lies on the shelf yet.")]
    words = "Every design on the bench and in its folders, at its own size, a little smaller or larger."
    return [_lines(words), _form("", "make", "Look through my designs")]


def _swatch(book: Book, on: _On) -> list[PartOfBook]:
    found = swatches(on.plan, baskets.known(book)) if on.plan else []
    if not found:
        return [_lines("Come here from a basket with a side to see which few rows would teach most about it.")]
    now, high = (show_length(mm, on.units, 16) for mm in (found[0].now_mm, found[0].height_mm))
    rows = [[each.weave, each.reed, show_length(each.then_mm, on.units, 16)] for each in found]
    return [
        _lines(
            f"The side is reckoned {high} high. As far as your book knows, yours will be within {now} of that, "
            "nineteen times in twenty. One of these, woven and measured, would tell more; the first tells most."
        ),
        _table(["Weave", on.say("{reed}").capitalize(), "Then within"], rows, (2,)),
        _lines(
            on.say(
                f"Weave {ROWS} rows of it on {ENDS} {{spokes}} that stand as far apart as in the basket. Soak, pack "
                "and pull as you always do. Measure the height when it is dry, the {reed} it took and the time."
            )
        ),
    ]


# What buttons do -----------------------------------------------------------------------------------------------


def do(act: str, fields: Fields, text: str, name: str, designs: list[tuple[str, str]]) -> BookAnswer:
    """Do `act` with what was typed. Raises SlypeError, and then nothing was entered."""
    if act not in _ACTS:
        raise DesignError("the book has no such button.", act[:40])
    on = _On(text, name)
    with Book(place()) as book:
        news, changes, found = _ACTS[act](book, on, fields, designs)
        return {"news": news, "book": _told(book, on), "changes": changes, "found": found}


_Did = tuple[str, list[Any], list[PartOfBook]]


def _add(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
    amount, unit = said.length_or_mass(_needed(fields, "amount"), "how much")
    more = {key: fields.get(key, "") for key in ("supplier", "dye_lot")}
    cost = said.money(fields.get("cost"), "cost")
    shelf.put_on_shelf(
        book, said.reed(_needed(fields, "reed")), _needed(fields, "colour"), amount, unit,
        "offcuts" if fields.get("kind") == "offcuts" else "coil", fields.get("note", ""), cost=cost,
        currency=fields.get("currency") if cost else None, **more,
    )  # fmt: skip
    return "On the shelf.", [], []


def _move(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
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


def _undo(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
    shelf.undo(book, _needed(fields, "of"))
    return "Taken back.", [], []


def _enter(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    units = {each.key: each.unit for each in baskets.can_measure(on.plan)}
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
        f"{each.key}: you measured {_show(each, measured[each.key], on.units)}, slype reckons "
        f"{_show(each, each.reckoned, on.units)}. If that was a slip, leave the basket out and enter it again."
        for each in baskets.surprising(on.plan, measured)
    ]
    return " ".join(["In the book.", *odd]), [], []


def _leave(out: bool) -> Callable[[Book, _On, Fields, list], _Did]:
    def leave(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
        baskets.leave_out(book, _needed(fields, "of"), out)
        return "It teaches nothing from now on." if out else "It teaches again.", [], []

    return leave


def _put_gauge(book: Book, on: _On, fields: Fields, _designs: list) -> _Did:
    if on.plan is None:
        raise DesignError("there is no basket on the bench that can be woven.", "basket")
    table = applied.gauge_table(on.plan.design, baskets.known(book))
    if not table:
        raise DesignError("the book has learned nothing yet.", "your measure", "Enter a basket you made first.")
    changes = [{"set": ["gauge", key], "to": value} for key, value in table.items()]
    return "The basket carries your measure now.", changes, []


def _offers(book: Book, on: _On, fields: Fields, designs: list[tuple[str, str]]) -> _Did:
    found: list[PartOfBook] = []
    for offer in offers(designs, shelf.lots(book)):
        size = "" if offer.size == 1.0 else f", at {offer.size:.0%} of its size"
        rows = [
            [need.reed, need.colour, show_run(need.wanted_mm, on.units),
             show_run(need.left_mm, on.units) if need.enough else f"lacks {show_run(-need.left_mm, on.units)}"]
            for need in offer.needs
        ]  # fmt: skip
        found.append(_part("heading", f"{offer.title}{size}: {'yes' if offer.fits else 'not yet'}"))
        found.append(
            _table([on.say("{reed}").capitalize(), on.say("{colour}").capitalize(), "Uses", "Leaves"], rows, (2, 3))
        )
    fits = sum(each["text"].endswith("yes") for each in found)
    return f"{several(fits, 'design')} of {several(len(found) // 2, 'design')} can be made.", [], found


def _needed(fields: Fields, name: str) -> str:
    value = fields.get(name, "").strip()
    if not value:
        raise DesignError("is missing.", name)
    return value


_ACTS: dict[str, Callable[[Book, _On, Fields, list], _Did]] = {
    "add": _add, "move": _move, "undo": _undo, "made": _enter, "leave out": _leave(True), "take in": _leave(False),
    "gauge": _put_gauge, "make": _offers,
}  # fmt: skip
