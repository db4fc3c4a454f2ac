"""The maker's book as the studio's page shows it: panes ready to show.

Everything is opened, done and closed in one answer, so that no window holds the book. What is shown is worded here,
what is typed is read in `book_acts`; the page draws and sends back.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ...book import baskets, shelf
from ...book.learning import applied, figures
from ...book.learning.gauge import Known
from ...book.learning.swatches import ENDS, ROWS, swatches
from ...book.place import place
from ...book.store import Book, today
from ...book.year.accounts import year_of
from ...book.year.classes import held
from ...book.year.papers import NO_ADVICE, summary
from ...book.year.papers import money as shown_money
from ...design.file.reader import parse
from ...errors import SlypeError
from ...plans.planning import Plan, plan
from ...quantity import show_length, show_mass, show_run, show_thickness, show_time
from ...reeds import REEDS
from ...tell.gauged import gauge_rows, long_enough
from ...words import say
from .contract import ActTold, BookTold, FieldTold, PaneOfBook, PartOfBook

LEARNED = {
    "row pitch": "How high your rows stand", "take-up": "How much reed your weavers use",
    "border": "How long an end your borders take", "fingers": "What your fingers hold",
    "thickness": "How thick your reed is", "stroke time": "How long your bands take",
    "tails": "How long your tails are",
}  # fmt: skip
MOST_SHOWN = 200


class OnBench:
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


def part(kind: str, text: str = "", **more: Any) -> PartOfBook:
    """A part of a pane, of some kind."""
    empty: PartOfBook = {
        "kind": kind, "text": text, "lines": [], "head": [], "rows": [], "right": [], "acts": [], "form": [],
        "button": None,
    }  # fmt: skip
    return {**empty, **more}  # type: ignore[typeddict-item]


def _lines(*lines: str) -> PartOfBook:
    return part("lines", lines=list(lines))


def table(head: list[str], rows: list[list[str]], right: tuple[int, ...] = (), acts: list | None = None):
    """A table, with a list of acts for each row."""
    return part("table", head=head, rows=rows, right=list(right), acts=acts or [])


def _act(act: str, label: str, **fields: str) -> ActTold:
    return {"act": act, "label": label, "fields": fields}


def _field(name: str, label: str, hint: str = "", value: str = "", choices: list[list[str]] | None = None) -> FieldTold:
    kind = "choice" if choices else "text"
    return {"name": name, "label": label, "kind": kind, "value": value, "choices": choices or [], "hint": hint}


def _money_field(book: Book) -> FieldTold:
    return _field("currency", "money", value=baskets.usual_currency(book) or "$")


def _form(text: str, act: str, label: str, *fields: FieldTold, **given: str) -> PartOfBook:
    return part("form", text, form=list(fields), button=_act(act, label, **given))


def _amount(value: float, unit: str, units: str) -> str:
    return show_run(value, units) if unit == "mm" else show_mass(value, units)


# Panes ---------------------------------------------------------------------------------------------------------


def look(text: str, name: str) -> BookTold:
    """The whole book; `text` the design on the bench, "" for none."""
    on = OnBench(text, name)
    with Book(place()) as book:
        return told(book, on)


def told(book: Book, on: OnBench) -> BookTold:
    """The open book, pane by pane."""
    panes: list[tuple[str, str, Callable[[Book, OnBench], list[PartOfBook]]]] = [
        ("shelf", "Shelf", _shelf), ("made", "Baskets", _made), ("gauge", "Your measure", _gauge),
        ("make", "What can I make?", _make), ("swatch", "Swatch", _swatch),
        ("photo", "Photograph", lambda _book, _on: []),
        ("year", "Year", _year),
    ]  # fmt: skip
    ready: list[PaneOfBook] = [{"key": key, "title": title, "parts": of(book, on)} for key, title, of in panes]
    return {
        "place": book.path or "on a server",
        "basket": on.plan.design.title if on.plan else "",
        "units": on.units,
        "kept": [[each.id, f"{each.title}, {each.made_on}"] for each in baskets.baskets(book)[:MOST_SHOWN]],
        "panes": ready,
    }


def _shelf(book: Book, on: OnBench) -> list[PartOfBook]:
    lots = shelf.lots(book)
    head = ["Reed", on.say("{colour}").capitalize(), "Left", "Of", "Kind", "Dye lot", "From"]
    rows = [
        [lot.reed, lot.colour, *(_amount(each, lot.unit, on.units) for each in (lot.amount, lot.came)), lot.kind,
         lot.dye_lot, lot.supplier]
        for lot in lots[:MOST_SHOWN]
    ]  # fmt: skip
    parts = [table(head, rows, (2, 3))] if rows else [_lines("Nothing lies on the shelf yet.")]
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
        parts += [part("heading", "Done to the shelf"), table(["When", "What", "For", ""], rows, acts=acts)]
    return parts


def figure_shown(each: figures.Measurable, value: float, units: str) -> str:
    """A figure as it is read: a length, a thickness or a time."""
    if each.unit == "s":
        return show_time(value)
    if each.quantity == "thickness":
        return show_thickness(value, units)
    return show_run(value, units) if each.quantity == "take-up" else show_length(value, units)


def _made(book: Book, on: OnBench) -> list[PartOfBook]:
    parts = []
    if on.plan is not None:
        fields = [_field("on", "day made", value=today())]
        fields += [
            _field(f"figure {each.key}", on.say(each.key), f"slype reckons {figure_shown(each, value, on.units)}")
            for each in figures.can_measure(on.plan)
            for value in (each.reckoned,)
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
        parts += [part("heading", "Baskets made"), table(head, rows, (2, 3, 4), acts)]
    return parts


def _gauge(book: Book, on: OnBench) -> list[PartOfBook]:
    known, measures = baskets.known(book), baskets.measures(book)
    if not measures:
        return [_lines("Nothing was measured yet. Enter a basket you made, or weave a swatch.")]
    parts = []
    for quantity, title in LEARNED.items():
        pairs = dict.fromkeys((each.weave, each.reed) for each in measures if each.quantity == quantity)
        if pairs:
            rows = [_learned(known[quantity], *pair, measures, on) for pair in pairs]
            head = ["Weave", on.say("{reed}").capitalize(), "Yours", "19 in 20 lie", "Measured"]
            parts += [part("heading", title), table(head, rows, (2, 4))]
    parts.insert(0, _lines("As a share of what slype reckons: 104 % is one twenty-fifth more."))
    return _what_it_changes(known, on) + parts


def _learned(known: Known, weave: str, reed: str, measures: list, on: OnBench) -> list[str]:
    found = known.estimate(weave, reed)
    low, high = found.within()
    mine = [each for each in measures if (each.weave, each.reed, each.quantity) == (weave, reed, known.quantity)]
    return [weave or "all", reed or "all", f"{found.middle:.0%}", f"{low:.0%} to {high:.0%}", str(len(mine))]


def _what_it_changes(known: dict[str, Known], on: OnBench) -> list[PartOfBook]:
    """What the book's gauge would change in the basket on the bench, and the button that puts it there."""
    if on.plan is None:
        return []
    corrected = plan(parse(applied.from_book(on.text, known, on.name), on.name))
    rows = [[on.say(row.what), row.reckoned, row.yours, row.between] for row in gauge_rows(corrected)]
    there = applied.gauge_table(on.plan.design, known).items() <= _gauge_of(on).items()
    parts = [
        part("heading", f"What it changes in {on.plan.design.title}"),
        table(["Figure", "slype reckons", "Yours", "19 in 20 lie"], rows, (1, 2)),
        _lines(long_enough(corrected)),
    ]
    if there:
        return [*parts, _lines("The basket carries this measure already.")]
    return [*parts, _form("", "gauge", "Put your measure into this basket")]


def _gauge_of(on: OnBench) -> dict[str, object]:
    assert on.plan is not None and on.plan.design.tables is not None, "it was read from a text"
    gauge = on.plan.design.tables.get("gauge", {})
    return dict(gauge) if isinstance(gauge, dict) else {}


def _make(book: Book, on: OnBench) -> list[PartOfBook]:
    if not shelf.lots(book):
        return [_lines("Nothing lies on the shelf yet.")]
    words = "Every design on the bench and in its folders, at its own size, a little smaller or larger."
    return [_lines(words), _form("", "make", "Look through my designs")]


def _swatch(book: Book, on: OnBench) -> list[PartOfBook]:
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
        table(["Weave", on.say("{reed}").capitalize(), "Then within"], rows, (2,)),
        _lines(
            on.say(
                f"Weave {ROWS} rows of it on {ENDS} {{spokes}} that stand as far apart as in the basket. Soak, pack "
                "and pull as you always do. Measure the height when it is dry, the {reed} it took and the time."
            )
        ),
    ]


def _year(book: Book, on: OnBench) -> list[PartOfBook]:
    year = year_of(book, int(today()[:4]))
    rows = [[what, shown_money(value, currency)] for what, currency, value in summary(year)]
    parts = [part("heading", f"{year.year}")]
    parts += [table(["", "Sum"], rows, (1,))] if rows else [_lines("No money is in the book for this year yet.")]
    classes_held = [
        [each.held_on, each.title, str(each.seats), f"{each.currency}{each.brought}" if each.brought else ""]
        for each in held(book)[:MOST_SHOWN]
    ]
    if classes_held:
        parts += [part("heading", "Classes held"), table(["Held", "Class", "Seats", "Brought"], classes_held, (2, 3))]
    entry = _form(
        "Other money", "money", "Enter", _field("way", "it", choices=[["in", "came in"], ["out", "went out"]]),
        _field("what", "what"), _field("amount", "how much"), _money_field(book), _field("on", "day", value=today()),
    )  # fmt: skip
    words = "A page or a workbook for the accountant, and classes with their students' pace: slype book, in a terminal."
    return [*parts, entry, _lines(words, NO_ADVICE)]
