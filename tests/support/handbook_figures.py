"""What a figure of a handbook is: how far a prediction may lie from it and why, and which ones disagree."""

from __future__ import annotations

import csv
from dataclasses import dataclass

from places import AUTHORITIES

from slype.quantity import MM_PER_IN, show_length
from slype.reeds import DIAMETER_SPREAD

PACKING = 0.10  # rows pack a tenth tighter or looser than reckoned: the same tenth that the plan allows for


@dataclass(frozen=True)
class Tolerance:
    """How far a prediction may lie from the book's figure, and why. `covers`: the book's figure need only suffice."""

    name: str
    reason: str
    relative: float = 0.0
    absolute_mm: float = 0.0
    covers: bool = False


NUMBER_AND_PACKING = Tolerance(
    "number and packing",
    "reeds of one number differ by a fifth, so a tenth either way, and hands pack a tenth tighter or looser",
    relative=DIAMETER_SPREAD + PACKING,
)


PACKING_ONLY = Tolerance("packing", "the reed's thickness is known; hands pack a tenth tighter or looser", PACKING)


BY_TRIAL = Tolerance("by trial", 'Turner adds that the length "can be found by trial": a tenth of his range', 0.10)


HALF_INCH = Tolerance("half an inch", "the books list lengths in whole or half inches", absolute_mm=MM_PER_IN / 2)


COMMON_RANGE = Tolerance("as said", "common practice gives a range; the prediction must lie in it")


THICKNESS_IN_TAKE_UP = Tolerance(
    "thickness in the take-up",
    "reed a tenth thicker changes a take-up of 4 to 5 % by a fifth of itself, which is 1 % of the length",
    relative=0.01,
)


NEAREST_QUARTER = Tolerance(
    "nearest quarter", "spacings are told to a quarter of an inch: half of one either way", absolute_mm=MM_PER_IN / 8
)


A_REED = Tolerance("one reed", "one more or less still looks covered", absolute_mm=1.0)


ENOUGH = Tolerance(
    "enough to work with",
    "spoke lists are generous and say nothing of why: the stated length must cover the path and the bends",
    covers=True,
)


TOLERANCES = (
    NUMBER_AND_PACKING, PACKING_ONLY, BY_TRIAL, HALF_INCH, COMMON_RANGE, THICKNESS_IN_TAKE_UP, NEAREST_QUARTER,
    A_REED, ENOUGH,
)  # fmt: skip


DISAGREE = {
    ("tinsley", "open border 2: in front of 1 and down before the 3rd"): (
        "Read so, it is Turner's border A, for which he says 2 3/4 in. Turner is believed: he alone states the spacing "
        "and his four figures grow evenly with the spokes passed. Read as past the 3rd, Tinsley agrees."
    ),
    ("gill", "open border 1: behind the next 1 and down beside it"): (
        "Gill's 6 1/2 in is twice Tinsley's 3 in for the same border, and her spacing is not given: very large "
        "scallops, or a cautious list. Turner is believed, for his stated spacing."
    ),
    ("mcgaw", "edge in front of 1 and down on its far side"): (
        "McGaw's 1 1/2 in does not fit her own list either: a 16 in spoke across a 3 in base with 3 in sides leaves "
        "3 1/2 in. slype also reckons the edge as a raised arch pushed down an inch, which a flat edge is not."
    ),
    ("gill", "plaited border p. 57"): (
        "Gill's 13 in is nearly twice what an end of a plait of three pairs passes. She begins with four extra reeds, "
        "so hers may hold more reeds or go round oftener; and her board baskets leave 13 to 14 1/2 in whether spokes "
        "stand 1/2 in or 1 in apart: a safe list, not a measure. The path is believed; cut hers for a first plait."
    ),
    ("gill", "M51: per row of pairing"): (
        "Nine full rounds of two strands cannot stand in half an inch of No. 2: M30 and M66 in the same book give 1.75 "
        "to 1.95 mm for a single strand. Nine strands, or a rounded figure; M30, M42 and M66 are believed."
    ),
    ("gill", "M53: per row of pairing"): (
        '"Double weaving in pairing", read as two reeds to each of two weavers, would stand twice as high as the sides '
        "that Gill states. Plain pairing in No. 4 (5.5 mm a row) fits within an eighth, and that reading is believed."
    ),
    ("prototype", "pairing: relaxed"): (
        "Two reeds that cross in plan stand a whole thickness apart there, and in pairing each row's second strand "
        "crosses the next row's first: hard rods stand two thicknesses a row, stacked or at rest. The prototype looked "
        "for touching reeds only at eight stations a space, between which crossings sank into each other (slype "
        "evidence shows it). The rods are believed and the prototype's 1.77 is not."
    ),
    ("gill", "M8: left for the border"): (
        "An 18 in spoke across a 4 1/4 in base and up the stated wall leaves less than the bare path of the border "
        "that Gill gives it. The border and the wall are believed and the list is not: cut longer."
    ),
    ("gill", "M12: side handle core"): (
        "Gill's 8 in handle has two ends in the wall and an arch that is left over, size not given: smaller than the "
        "four fingers that slype reckons with, or set less deep. Both of slype's sizes are common practice without a "
        "source."
    ),
    ("gill", "M17: reeds that cover the handle"): (
        'How "four rounds" and "nine twists once round" are meant is not clear, and the length of the handle, which '
        "decides the slant, is not given. If a round is there and back, eight lie side by side, and six to eight is "
        "what geometry allows. slype's slant is common practice without a source."
    ),
    ("gill", "M8: spoke"): "The same 18 in, seen as a whole spoke.",
}  # fmt: skip


@dataclass(frozen=True)
class Comparison:
    """One figure: what the book says (`low` to `high`, mm unless `unit` says else) and what slype predicts.

    `kind` stated, derived, practice or prototype. `least`: the smallest the prediction allows (for ENOUGH). `relaxed`
    what the basket at rest predicts, where that can differ from stacked rows.
    """

    source: str
    quantity: str
    low: float
    high: float
    predicted: float
    tolerance: Tolerance
    kind: str
    note: str = ""
    least: float = 0.0
    unit: str = "length"
    relaxed: float | None = None

    @property
    def relaxed_error(self) -> float | None:
        """The same of the basket at rest, None where it says nothing of this figure."""
        return None if self.relaxed is None else self.relaxed / ((self.low + self.high) / 2) - 1

    @property
    def error(self) -> float:
        """Predicted over the middle of what the book says, less one."""
        return self.predicted / ((self.low + self.high) / 2) - 1

    @property
    def within(self) -> bool:
        """True when the prediction lies within the tolerance."""
        t = self.tolerance
        if t.covers:
            return self.high >= self.least
        slack = 1e-9
        return (
            self.low * (1 - t.relative) - t.absolute_mm - slack
            <= self.predicted
            <= self.high * (1 + t.relative) + t.absolute_mm + slack
        )

    @property
    def key(self) -> tuple[str, str]:
        """How DISAGREE names it."""
        return self.source, self.quantity

    @property
    def verdict(self) -> str:
        """The judgement in words."""
        if not self.within:
            return "DISAGREES"
        if not self.tolerance.covers:
            return "within"
        spare = self.high - self.predicted
        return f"enough, {show_length(abs(spare))} {'over' if spare >= 0 else 'tighter than slype would cut'}"

    def shown(self, value: float) -> str:
        """A value in the unit of this figure."""
        if self.unit == "length":
            return show_length(value, "in", 16)
        if self.unit == "count":
            return f"{value:.0f}"
        return f"{value:.2f} mm" if self.unit == "mm" else f"{value:.3f}"

    @property
    def stated(self) -> str:
        """What the book says."""
        low, high = self.shown(self.low), self.shown(self.high)
        return low if low == high else f"{low.removesuffix(' in')} to {high}"


def table(name: str) -> list[dict[str, str]]:
    """Rows of a raw table, comments left out; never empty."""
    with open(AUTHORITIES / name, encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    assert rows, f"{name} holds no rows"
    assert not any(None in row or None in row.values() for row in rows), f"{name} has a row of the wrong length"
    return rows
