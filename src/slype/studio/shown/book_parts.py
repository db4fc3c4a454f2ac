"""What every pane of the book is put together from: what is on the bench, parts, tables, forms and their fields."""

from __future__ import annotations

from typing import Any

from ...book.baskets import Made, baskets, known_from, measures, usual_currency
from ...book.learning.gauge import Known, Measure
from ...book.shelf import Lot, lots
from ...book.store import Book
from ...design.file.reader import parse
from ...errors import SlypeError
from ...kit.file import reader
from ...kit.values import Class
from ...plans.planning import Plan, plan
from ...words import say
from ..told.book import ActTold, FieldTold, PartOfBook
from .class_texts import is_class

MOST_SHOWN = 200
"""Rows of one table; the command lists all."""


class OnBench:
    """What is on the bench, for an answer, and what the page looks at: the `plan` of a design or the `group` of a class
    (None where there is none that can be worked), its text and words; whose baskets (`maker`), and which `year`."""

    def __init__(self, text: str, name: str, maker: str = "", year: int = 0) -> None:
        self.text, self.name, self.maker, self.year = text, name, maker, year
        self._made: list[Made] | None = None
        self._known: dict[str, Known] | None = None
        self._measures: list[Measure] | None = None
        self._lots: list[Lot] | None = None
        self.plan: Plan | None = None
        self.group: Class | None = None
        try:
            if is_class(text):
                self.group = reader.parse(text, name).found
            elif text:
                self.plan = plan(parse(text, name))
        except SlypeError:
            pass
        speaks = self.plan.design if self.plan else next(iter(self.group.seats), None) if self.group else None
        self.units = speaks.units if speaks else "in"
        self.wording = speaks.wording if speaks else "us"

    @property
    def title(self) -> str:
        """What it is called; "" where nothing is."""
        return self.plan.design.title if self.plan else self.group.title if self.group else ""

    def made(self, book: Book) -> list[Made]:
        """Baskets of the book; asked for once an answer."""
        if self._made is None:
            self._made = baskets(book)
        return self._made

    def known(self, book: Book) -> dict[str, Known]:
        """What the book knows of the maker that is looked at; learned once an answer."""
        if self._known is None:
            self._known = known_from(self.measures(book))
        return self._known

    def measures(self, book: Book) -> list[Measure]:
        """All that was measured of that maker."""
        if self._measures is None:
            self._measures = measures(book, self.maker)
        return self._measures

    def lots(self, book: Book) -> list[Lot]:
        """What lies on the shelf."""
        if self._lots is None:
            self._lots = lots(book)
        return self._lots

    def afresh(self) -> None:
        """Something was entered: look into the book anew."""
        self._made = self._known = self._measures = self._lots = None

    def say(self, template: str) -> str:
        """Words in the wording of the basket."""
        return say(template, self.wording)


def part(kind: str, text: str = "", **more: Any) -> PartOfBook:
    """A part of a pane, of some kind."""
    empty: PartOfBook = {
        "kind": kind, "text": text, "lines": [], "head": [], "rows": [], "right": [], "acts": [], "form": [],
        "button": None,
    }  # fmt: skip
    return {**empty, **more}  # type: ignore[typeddict-item]


def lines(*said: str) -> PartOfBook:
    """Sentences."""
    return part("lines", lines=list(said))


def table(head: list[str], rows: list[list[str]], right: tuple[int, ...] = (), acts: list | None = None) -> PartOfBook:
    """A table, with a list of acts for each row."""
    return part("table", head=head, rows=rows, right=list(right), acts=acts or [])


def act(name: str, label: str, **fields: str) -> ActTold:
    """What a button does."""
    return {"act": name, "label": label, "fields": fields}


def field(name: str, label: str, hint: str = "", value: str = "", choices: list[list[str]] | None = None) -> FieldTold:
    """A field to type in, or with `choices` (value, words) to choose from."""
    kind = "choice" if choices else "text"
    return {"name": name, "label": label, "kind": kind, "value": value, "choices": choices or [], "hint": hint}


def note(name: str, label: str, hint: str = "") -> FieldTold:
    """A field for several lines."""
    return {**field(name, label, hint), "kind": "lines"}


def fold(label: str, hint: str = "") -> FieldTold:
    """What follows, up to the next fold, is folded away under these words; open where there is a `hint`."""
    return {**field("", label, hint), "kind": "fold"}


def money_field(book: Book) -> FieldTold:
    """In which money."""
    return field("currency", "money", value=usual_currency(book) or "$")


def form(text: str, name: str, label: str, *fields: FieldTold, **given: str) -> PartOfBook:
    """Fields and the button that enters them; with no fields, a button alone."""
    return part("form", text, form=list(fields), button=act(name, label, **given))
