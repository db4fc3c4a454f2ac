"""One basket on the bench: its look, what is wrong with it, and the order of its work. Types only."""

from __future__ import annotations

from typing import Any, TypedDict

from .classes import ClassTold
from .figures import List, Number


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
