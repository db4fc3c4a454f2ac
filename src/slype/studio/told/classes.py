"""A class of students: its seats, kits, and what it needs. Types only."""

from __future__ import annotations

from typing import Any, TypedDict

from .figures import Choice, PartTold


class ColourWorn(TypedDict):
    """A colour of the design and what a seat wears in its place, with the sight of it."""

    of: str
    worn: str
    hex: str


class BundleTold(TypedDict):
    """One bundle of a kit: its number, what it is, what goes in, and what its length is made of."""

    number: str
    what: str
    goes: str
    parts: list[PartTold]


class SeatTold(TypedDict):
    """One seat of a class. `row` is its place among the file's students, None where it is not written there one by one;
    `works` False where its basket cannot be woven; `faults` what is wrong in its row, also of a roster beside."""

    number: int
    row: int | None
    name: str
    hand: str
    wording: str
    units: str
    skill: str
    design: str
    size: str
    spare: bool
    colours: list[ColourWorn]
    bundles: list[BundleTold]
    works: bool
    faults: list[str]


class RemarkTold(TypedDict):
    """Something to be told of a class; `path` of the field it is about, in the class file, empty where it has none."""

    weight: str
    grave: str
    where: str
    message: str
    remedy: str
    path: list[Any]


class SlideTold(TypedDict):
    """A figure that may be slid to and fro, with its bounds."""

    key: str
    label: str
    value: float
    low: float
    high: float
    step: float


class BlockTold(TypedDict):
    """A block of a pane: `kind` heading, lines, quiet, facts, table or picture; `text` of a heading, or what a picture
    shows; `rows` of facts and tables, whose columns in `right` stand to the right; `opens[i]` what row i opens into, as
    [name, value, why]."""

    kind: str
    text: str
    lines: list[str]
    head: list[str]
    rows: list[list[str]]
    right: list[int]
    svg: str
    opens: list[list[list[str]]]


class PaneTold(TypedDict):
    """One side of what a class needs."""

    key: str
    title: str
    slides: list[SlideTold]
    blocks: list[BlockTold]


class TakeAway(TypedDict):
    """A file that is made when it is asked for: the `kind` of paper, its `query`, and what it is called."""

    kind: str
    query: str
    words: str
    group: str


class ClassTold(TypedDict):
    """Everything the page shows of a class. `beside` the lists that lie beside the file, by their key; `dyes`, `skills`
    what may be chosen; `woven` colours of its designs; `near` the designs that lie beside it; `papers` to take away;
    `wording` that of its first seat, for the page's own words; `settled` whether its baskets lie at rest."""

    title: str
    designs: list[str]
    seats: list[SeatTold]
    beside: dict[str, str]
    panes: list[PaneTold]
    watch: list[RemarkTold]
    dyes: list[Choice]
    woven: list[str]
    near: list[str]
    papers: list[TakeAway]
    wording: str
    settled: bool
