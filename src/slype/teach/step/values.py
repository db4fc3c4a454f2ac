"""What a step of the teaching is, as values; how one is written, and long sentences divided.

A step covers a stretch of the order of work (`order.moments`), so that a lesson can play it and a drawing show it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

KINDS = ("near", "whole", "above", "inside", "finished", "turned", "nipped", "board", "tails", "foot")
"""How a drawing looks at the work: close to the place of the last move, all of it (space 1 at the top or in front), a
cross as it is laid on the table, the same place from inside, the finished basket; or one rod from the side: nipped and
turned up at the base, or nipped above the last row for the border; or a board with its holes, from above; or the wall
cut across, with each kind of tail; or a handle's foot in the wall."""
CLOSE = ("near", "inside", "turned", "nipped", "tails", "foot")
"""Those that are wider than high."""


@dataclass(frozen=True)
class Tail:
    """A tail that is trimmed: its `kind`, "ended", "set in" or "joined"; its `name` on a drawing; the spoke that it
    must stay behind, `held`, from 1, of so many `spaces`."""

    kind: str
    name: str
    held: int
    spaces: int


@dataclass(frozen=True)
class Drawing:
    """A drawing that a step asks for: the work when `beyond` moments are done, those from `first` on picked out.

    `kind` one of KINDS; `caption` below it; `alt` says what it shows, for those who cannot see it. `spaces`: which
    spaces are numbered, "all", "first" (space 1 alone) or "none"; `arrow` along what moves; `join` the weaver (from 0)
    whose old and new reed are shown lying beside each other, else None; `fold` True where the first two weavers are one
    reed folded in half; `tails` those of a drawing of this kind; `handle` which one's foot is drawn, from 0; `counted`
    True where it shows how the ends of a base are counted, from the thread on.
    """

    first: int
    beyond: int
    caption: str
    alt: str
    kind: str = "near"
    spaces: str = "all"
    arrow: bool = True
    join: int | None = None
    fold: bool = False
    tails: tuple[Tail, ...] = ()
    handle: int = 0
    counted: bool = False


@dataclass(frozen=True)
class Slip:
    """The usual mistake: how it shows, `seen`, and how to `undo` it. Of one that several steps tell, `what` it is
    called, and in the later ones `as_in`, the band (an index) whose step tells it whole: `undo` is then what matters
    most, and that step is named before it once steps are numbered."""

    seen: str
    undo: str
    what: str = ""
    as_in: int | None = None


@dataclass(frozen=True)
class Table:
    """Sentences of a step as paper has them: under one another, a line or a column for each. `lead` says it in their
    place; `head` names the columns, or where it is empty the first cell of each of the `rows` names that row."""

    lead: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Count:
    """A number that a step's sentences give, for whoever checks them: `what` it counts, of which `weaver` or end (from
    1; 0 where it is of none), and the `numbers`, all from 1."""

    what: str
    of: int
    numbers: tuple[int, ...]


@dataclass(frozen=True)
class Step:
    """One step. `number` from 1 through the whole making; `chapter` names the part of the work.

    `part` is that of the order of work (`order.kinds.PARTS`), or "gather", "soak", "finish"; `of` "foot" or "lid" where
    it is of one, and then `first`, `beyond` are moments of the lid's own order of work (of a foot: of the basket's).
    `band` index into the design's bands, of a lid into the lid's. `first`, `beyond` moments that it covers, alike where
    it covers none. `bundles` numbers of what is taken up (`plans.bundles`). `does` sentences with one action each, in
    the order of the hands; `looks` what it should look like now; `slips`; `counts`; `drawings`. `rows` (first, last) to
    tick off, from 1. `minutes` at the design's own pace, None where not known. `why` (question, answer), `watch` what a
    teacher watches, `say` what to say while showing it; `words` of the trade that it uses first (keys of `glossary`).
    `marks` (row, a word or two) of what is due when a row is done, written at the box that is ticked for it.
    `due` for each sentence of `does` after how many moments its turn comes, or None where it says what the moments
    themselves do; `care` (heading, text) of the cautions that belong here; `chart` True where the work is held against
    the chart; `table` what paper shows instead of the sentences that are `tabled` (as many as in `does`).
    """

    number: int
    chapter: str
    title: str
    part: str
    does: tuple[str, ...]
    of: str = ""
    band: int | None = None
    first: int = 0
    beyond: int = 0
    bundles: tuple[int, ...] = ()
    looks: tuple[str, ...] = ()
    slips: tuple[Slip, ...] = ()
    counts: tuple[Count, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    rows: tuple[int, int] | None = None
    minutes: float | None = None
    why: tuple[tuple[str, str], ...] = ()
    watch: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    due: tuple[int | None, ...] = ()
    care: tuple[tuple[str, str], ...] = ()
    chart: bool = False
    marks: tuple[tuple[int, str], ...] = ()
    table: Table | None = None
    tabled: tuple[bool, ...] = ()

    @property
    def on_paper(self) -> list[str]:
        """Its sentences where its table stands beside them."""
        if self.table is None:
            return list(self.does)
        first = self.tabled.index(True)
        return [self.table.lead if i == first else line
                for i, line in enumerate(self.does) if i == first or not self.tabled[i]]  # fmt: skip


# Writing one ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Due:
    """A sentence that is no move at the basket, and after how many moments of the work it is its turn: BEFORE the
    step's first move, AFTER its last, or a number; `tabled` where the step's table has it on paper. `slot`
    is set on the sentence after which what that names is said, once all steps are written."""

    text: str
    moment: int
    tabled: bool = False
    slot: str = ""


BEFORE, AFTER = -1, -2
IN_BASIN = "in the basin"
"""Slot of what else goes into the water with the base."""


def ahead(*lines: str, slot: str = "") -> list[str | Due]:
    """What is done before a step's first move; after the last of the lines, what the `slot` names."""
    return [Due(line, BEFORE, slot=slot if i == len(lines) - 1 else "") for i, line in enumerate(lines)]


def how(*lines: str) -> list[str | Due]:
    """How the hands make the moves of a step: on paper they stand among these, a lesson reads them before the first."""
    return ahead(*lines)


def afterwards(*lines: str) -> list[str | Due]:
    """What is done after a step's last move."""
    return [Due(line, AFTER) for line in lines]


def due(moment: int, *lines: str, tabled: bool = False) -> list[str | Due]:
    """What is done when so many moments are done; `tabled` as in Due."""
    return [Due(line, moment, tabled) for line in lines]


@dataclass
class Draft:
    """A step in the writing; see `values.Step` for what its fields mean."""

    chapter: str
    title: str
    part: str
    does: list[str | Due] = field(default_factory=list)
    of: str = ""
    band: int | None = None
    first: int = 0
    beyond: int = 0
    bundles: list[int] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)
    slips: list[Slip] = field(default_factory=list)
    counts: list[Count] = field(default_factory=list)
    drawings: list[Drawing] = field(default_factory=list)
    rows: tuple[int, int] | None = None
    minutes: float | None = None
    why: list[tuple[str, str]] = field(default_factory=list)
    watch: list[str] = field(default_factory=list)
    care: list[tuple[str, str]] = field(default_factory=list)
    chart: bool = False
    marks: list[tuple[int, str]] = field(default_factory=list)
    table: Table | None = None

    def say_in(self, slot: str, lines: list[str | Due]) -> None:
        """Says lines after the sentence that has the slot, one there is."""
        at = next(i for i, each in enumerate(self.does) if isinstance(each, Due) and each.slot == slot)
        self.does[at + 1 : at + 1] = lines

    @property
    def told(self) -> list[str]:
        """Its sentences."""
        return [each.text if isinstance(each, Due) else each for each in self.does]

    def _due(self, each: str | Due) -> int | None:
        if isinstance(each, str):
            return None
        return {BEFORE: self.first, AFTER: self.beyond}.get(each.moment, each.moment)

    def count(self, what: str, of: int, *found: int) -> None:
        self.counts.append(Count(what, of, found))

    def numbered(self, number: int, words: tuple[str, ...] = ()) -> Step:
        return Step(
            number, self.chapter, self.title, self.part, tuple(self.told), self.of, self.band, self.first, self.beyond,
            tuple(self.bundles), tuple(self.looks), tuple(self.slips), tuple(self.counts), tuple(self.drawings),
            self.rows, self.minutes, tuple(self.why), tuple(self.watch), words,
            tuple(self._due(each) for each in self.does), tuple(self.care),
            self.chart, tuple(sorted(self.marks)), self.table,
            tuple(isinstance(each, Due) and each.tabled for each in self.does) if self.table else (),
        )  # fmt: skip


_END = re.compile(r"(?<=[.!?])\s+(?=[A-Z0-9])")


def sentences(*lines: str) -> list[str]:
    """Lines divided into their sentences."""
    whole = [each.strip() for line in lines for each in _END.split(line) if each.strip()]
    return [part for each in whole for part in _shorter(each)]


MOST_WORDS = 20
"""Of a sentence on a student's page."""


def _shorter(line: str) -> list[str]:
    """A long sentence divided at its colon, semicolon, or where a second action is joined on."""
    if len(line.split()) <= MOST_WORDS:
        return [line]
    for sign in (": ", "; ", ", and "):
        before, found, after = line.partition(sign)
        if found:
            return [*_shorter(f"{before}."), *_shorter(after[:1].upper() + after[1:])]
    return [line]
