"""The maker's book: its panes, forms and buttons. Types only."""

from __future__ import annotations

from typing import Any, TypedDict


class FieldTold(TypedDict):
    """A field of a form of the book: `kind` text, choice (of `choices`: value and words), lines for several of them, or
    fold, under whose label the fields after it are folded away; `hint` stands below it."""

    name: str
    label: str
    kind: str
    value: str
    choices: list[list[str]]
    hint: str


class ActTold(TypedDict):
    """Something that a button does to the book: `act` of the program, with `fields` it hands over."""

    act: str
    label: str
    fields: dict[str, str]


class PartOfBook(TypedDict):
    """A part of a pane of the book: a heading, lines, a table (`acts` a list for each row), buttons (`acts`, one list)
    or a form, by its `kind`."""

    kind: str
    text: str
    lines: list[str]
    head: list[str]
    rows: list[list[str]]
    right: list[int]
    acts: list[list[ActTold]]
    form: list[FieldTold]
    button: ActTold | None


class PaneOfBook(TypedDict):
    """One pane of the book, ready to show."""

    key: str
    title: str
    parts: list[PartOfBook]


class BookTold(TypedDict):
    """The maker's book as the page shows it; `basket` the title of the one on the bench, empty where none is;
    `maker` whose measure and `year` which accounts it shows, empty for one's own and for this one; `kept` baskets made,
    as [id, words]."""

    place: str
    basket: str
    units: str
    maker: str
    year: str
    kept: list[list[str]]
    panes: list[PaneOfBook]


class MeasuredTold(TypedDict):
    """What a photograph was asked: the answer in words, and whether it can be relied on."""

    said: str
    sure: bool


class BookAnswer(TypedDict):
    """What came of something done to the book: `news` in words, the `book` anew, `changes` for the basket on the bench,
    and what was `found` for a question that changes nothing."""

    news: str
    book: BookTold
    changes: list[Any]
    found: list[PartOfBook]
