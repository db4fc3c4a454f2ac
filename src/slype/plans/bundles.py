"""Bundles: what is cut alike for one basket and tied together, numbered in the order of use.

A bundle is the unit a maker holds: the spokes are one, the weavers that a band is begun with are one for each of their
colours. Handout, labels and lesson call it by the same number.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from ..lay.courses import Course
from ..lay.joins import Cut
from ..quantity import MM_PER_IN
from ..reeds import Reed
from .piece import Piece, round_up
from .planning import Plan

MOST_LENGTHS = 6
"""Starts of one band that are cut to lengths of their own; beyond that all are cut like the longest."""
WEAVER_STEP_MM = {"in": MM_PER_IN, "cm": 10.0}
"""Weavers are cut to the next whole inch, or centimetre, so that they are never short (common practice, no source)."""
PARTS = ("whole", "first", "middle", "last")
"""What a length is of its weaver: all of it, or the first, a middle or the last piece of one that is joined."""


@dataclass(frozen=True)
class Lot:
    """`count` lengths of a bundle cut alike to `cut_mm`, each one of PARTS of a weaver (a piece is whole); of a band in
    blocks, those of the `starts` (first, last), from 0, where they differ from start to start; else None."""

    count: int
    cut_mm: float
    part: str = "whole"
    starts: tuple[int, int] | None = None


@dataclass(frozen=True)
class Bundle:
    """One bundle: its `number` from 1 in the order of use, `reed`, `colour` and the `lots` it is cut into.

    Either the `piece` that stands, or weavers (`piece` None) set in for `bands` (first, last), indices into the
    design's bands. `lid` True for what the lid is made of, whose bands are then the lid's.
    """

    number: int
    reed: Reed
    colour: str
    lots: tuple[Lot, ...]
    piece: Piece | None = None
    bands: tuple[int, int] | None = None
    lid: bool = False

    @property
    def count(self) -> int:
        """Lengths of reed in it."""
        return sum(lot.count for lot in self.lots)

    @property
    def cut_mm(self) -> float:
        """The longest of its lengths."""
        return max(lot.cut_mm for lot in self.lots)

    @property
    def length_mm(self) -> float:
        """All its lengths together."""
        return sum(lot.count * lot.cut_mm for lot in self.lots)

    @property
    def is_weaver(self) -> bool:
        """True when it holds weavers, False when it holds what stands."""
        return self.piece is None


def bundles(plan: Plan) -> tuple[Bundle, ...]:
    """Everything cut for one basket, its lid last, in the order in which it is taken up."""
    found = [*_of_basket(plan), *(replace(each, lid=True) for each in (_of_basket(plan.lid) if plan.lid else ()))]
    return tuple(replace(each, number=i) for i, each in enumerate(found, start=1))


def bundle_of_piece(found: tuple[Bundle, ...], piece: Piece) -> Bundle:
    """The bundle that holds a piece. Raises LookupError for a piece of another plan."""
    for each in found:
        if each.piece is piece:
            return each
    raise LookupError(piece.name)


def bundles_of_band(found: tuple[Bundle, ...], band: int, lid: bool = False) -> tuple[Bundle, ...]:
    """Bundles of weavers that band number `band` (an index) is woven with, in the order of its colours.

    A band that goes on with the weavers of the band before has the same bundles.
    """
    return tuple(each for each in found if each.bands and each.lid is lid and each.bands[0] <= band <= each.bands[1])


def _of_basket(plan: Plan) -> list[Bundle]:
    """Bundles of the basket alone, not numbered yet."""
    out: list[tuple[tuple[int, int, int], Bundle]] = []
    for piece in plan.pieces:
        lots = (Lot(piece.count, piece.cut_mm),)
        out.append((_when(plan, piece), Bundle(0, piece.reed, piece.colour, lots, piece)))
    begun: dict[int, list[Course]] = {}
    for course in plan.courses:
        begun.setdefault(course.bands[0], []).append(course)
    for first, alike in begun.items():
        out += [((_stage(plan, first), first, 1), each) for each in _weavers(plan, alike)]
    return [each for _, each in sorted(out, key=lambda item: item[0])]


_BASE, _INSERT, _SIDE, _FOOT, _HANDLE = 1, 2, 3, 4, 5


def _stage(plan: Plan, band: int) -> int:
    return _BASE if plan.design.bands[band].where == "base" else _SIDE


def _when(plan: Plan, piece: Piece) -> tuple[int, int, int]:
    """Where a piece stands in the order of work: (stage, band, 0 as it is taken up before that band's weavers)."""
    if piece.use == "add":
        assert piece.band is not None, "added before a band"
        return _stage(plan, piece.band), piece.band, 0
    return {"begin": 0, "insert": _INSERT, "foot": _FOOT, "handle": _HANDLE}[piece.use], 0, 0


def _weavers(plan: Plan, begun: list[Course]) -> list[Bundle]:
    """Weavers of all courses begun in one band: a bundle for each colour."""
    band = begun[0].begins
    of_course = [[cut for cut in plan.cuts if cut.course is course] for course in begun]
    if len(begun) > MOST_LENGTHS:  # nobody sorts so many lengths at a bench
        longest = max(of_course, key=lambda cuts: max(cut.length_mm for cut in cuts))
        of_course = [longest] * len(begun)
    bands = begun[0].bands
    out = []
    for colour in dict.fromkeys(colour for colours in band.colours for colour in colours):
        starts = [_lengths(cuts, colour, plan.design.units) for cuts in of_course]
        out.append(Bundle(0, band.band.reed, colour, _lots(starts), None, (bands[0], bands[-1])))
    return out


def _lengths(cuts: list[Cut], colour: str, units: str) -> Counter[tuple[int, float]]:
    """How many of each (index into PARTS, length to cut) the weavers of one colour need."""
    out: Counter[tuple[int, float]] = Counter()
    for cut in cuts:
        strands = cut.course.begins.colours[cut.weaver].count(colour)
        last = len(cut.pieces_mm) - 1
        for i, mm in enumerate(cut.pieces_mm if strands else ()):
            part = 0 if last == 0 else 1 if i == 0 else 3 if i == last else 2
            out[part, round_up(mm, WEAVER_STEP_MM[units])] += strands
    return out


def _lots(starts: list[Counter[tuple[int, float]]]) -> tuple[Lot, ...]:
    """Lots of one bundle: starts that are cut alike and follow each other are one lot."""
    if all(start == starts[0] for start in starts):
        return tuple(Lot(many * len(starts), mm, PARTS[part]) for (part, mm), many in sorted(starts[0].items()))
    out, first = [], 0
    for i, start in enumerate(starts):
        if i + 1 == len(starts) or starts[i + 1] != start:
            many = i + 1 - first
            out += [Lot(n * many, mm, PARTS[part], (first, i)) for (part, mm), n in sorted(start.items())]
            first = i + 1
    return tuple(out)
