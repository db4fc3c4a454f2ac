"""What the studio's program and its page say to each other: one form each, typed. Types only.

`docs/make_contract.py` writes the same as JSDoc types for the page (`contract.js`); a test holds answers to
them. Lengths that are drawn are in mm; every figure that is read is text, worded and rounded here.
"""

from __future__ import annotations

from typing import Any, TypedDict


class PartTold(TypedDict):
    """A part of a figure, why it is there and on whose word."""

    name: str
    value: str
    why: str
    source: str


class Number(TypedDict):
    """One figure, ready to show, with the parts it opens into."""

    name: str
    value: str
    parts: list[PartTold]
    note: str


class List(TypedDict):
    """A list of figures under a heading."""

    key: str
    title: str
    numbers: list[Number]
    note: str


class FindingTold(TypedDict):
    """One remark of the advice; `changes` would apply its remedy (none: the maker has to choose)."""

    weight: str
    grave: str
    rule: str
    where: str
    band: int | None
    message: str
    why: str
    remedy: str
    source: str
    changes: list[Any]


class CautionTold(TypedDict):
    """A caution for whoever makes this basket."""

    title: str
    text: str


class WallPoint(TypedDict):
    """A point of the wall as the file has it: mm above the base, length and width there (alike where round)."""

    height_mm: float
    across_mm: list[float]


class FormTold(TypedDict):
    """The outline from the side. `profile` rows are height, length and width in mm, from the base up."""

    outline: str
    base_mm: list[float]
    points: list[WallPoint]
    profile: list[list[float]]
    top_mm: float
    spacing: list[Number]
    long_sticks: int | None


class BandTold(TypedDict):
    """One band; `reach` how wide it leaves a base or how high a side; `why` its colours do what `effect` says;
    `colours` of each weaver's reeds, bottom to top; `swap` how many spaces on its upright lines change colours, 0 where
    it has none; `share` of all heights, from 0 to 1."""

    index: int
    where: str
    title: str
    weave: str
    rows: int
    height: str
    reach: str
    reed: str
    stroke: str
    weavers: int
    strands: int
    colours: list[list[str]]
    effect: str
    why: str
    swap: int
    start: int
    spaces: int
    share: float


class Look(TypedDict):
    """Everything the page shows of one basket but its picture. `relaxed`: from reeds at rest, else from stacked rows;
    `unsettled`: what did not come to rest, "" where all did; `lid_bands`: those of its lid, if it has one; `stop`: why
    no hands could weave it, else None."""

    relaxed: bool
    unsettled: str
    size: list[Number]
    form: FormTold
    bands: list[BandTold]
    lid_bands: list[BandTold]
    border: Number
    needs: list[List]
    watch: list[FindingTold]
    stop: str | None
    cautions: list[CautionTold]
    whence: str
    palette: dict[str, str]


class Trouble(TypedDict):
    """What is wrong, where, and what would be right."""

    message: str
    where: str
    remedy: str


class Conflict(TypedDict):
    """The file on disk is no longer what was last read or written here; `readable` where it is a design."""

    message: str
    readable: bool


class State(TypedDict):
    """One basket on the bench. `document` is its file as written, as JSON; `look` None while no hands could weave it
    (`trouble` then says why, and `form` is its outline); `notes` what else the last change moved. `kit` of a class,
    which has no look; else None."""

    id: str
    revision: int
    title: str
    path: str | None
    place: str
    saved: bool
    conflict: Conflict | None
    undo: str | None
    redo: str | None
    document: dict[str, Any]
    look: Look | None
    form: FormTold | None
    trouble: Trouble | None
    notes: list[str]
    kit: ClassTold | None


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


class PartOfWork(TypedDict):
    """A stretch of the work: `part` what it is, `of` whose ("foot", "lid" or empty), its `band` from 0 where it has
    one, its `first` and `last` moment, counted from 1."""

    part: str
    of: str
    band: int | None
    title: str
    first: int
    last: int


class MomentsTold(TypedDict):
    """The order of work for the player: for each of so many `moments` a sentence, and from where it is looked at, whole
    degrees: `around` the basket, counterclockwise from above, 0 from the near side, and `up` above the table."""

    moments: int
    parts: list[PartOfWork]
    words: list[str]
    around: list[int]
    up: list[int]


class Choice(TypedDict):
    """One thing that may be chosen: its key in the file, its name in the design's wording, and what it is."""

    key: str
    name: str
    help: str
    group: str


class FirstTold(TypedDict):
    """What a thing is like when it is first added: as the file has it, why, and on whose word."""

    value: Any
    why: str
    source: str


class KeyTold(TypedDict):
    """A key of the file: what the page calls it (`label`, empty where it has a field of its own), what it `takes`, and
    what may be chosen, where that has names."""

    label: str
    takes: str
    help: str
    choices: list[Choice]


class Tables(TypedDict):
    """What may be written in a design file, from slype's own tables in one wording; `firsts` by what is added, `moves`
    the rows of every border by its name, `feet` borders for below, `handle_counts` how many alike
    a basket has where it does not say, `words` the trade's terms for sentences of the
    page."""

    weaves: list[Choice]
    reeds: list[Choice]
    borders: list[Choice]
    feet: list[Choice]
    moves: dict[str, list[str]]
    bases: list[Choice]
    handles: list[Choice]
    handle_counts: dict[str, int]
    outlines: list[Choice]
    seats: list[Choice]
    colours: list[dict[str, str]]
    firsts: dict[str, FirstTold]
    keys: dict[str, KeyTold]
    words: dict[str, str]


class Opened(TypedDict):
    """A file in a folder that was opened, or what was left on the bench: `kind` "basket" or "class"."""

    name: str
    path: str | None
    id: str | None
    note: str
    kind: str


class Hello(TypedDict):
    """What the page is told first. `webgl` is for the page to find out."""

    version: str
    folders: list[str]
    bench: list[Opened]
    files: list[Opened]
    examples: list[Opened]


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
