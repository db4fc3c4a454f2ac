"""Where weavers run out, and how to cut the first ones so that joins fall well.

A weaver comes in reeds of finite length. Each join overlaps old end and new in one space, which costs OVERLAP_MM of
reed. Cutting the first reeds of a course to different lengths moves the joins apart and off the start line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .courses import Course, Segment
from .gauge import TUCK_MM
from .limits import check_joins
from .values import BandLaid, Laid

OVERLAP_MM = TUCK_MM
"""Reed lost in one join: old and new end lie together behind a spoke (common practice, no source)."""
CLEAR_SPACES = 3
"""Joins nearer than this round the basket, in the same or the next row, meet (common practice, no source)."""
MOST_GAP = 2.0 * CLEAR_SPACES
"""More spaces than these between two joins are of no use."""
FIRST_CUTS = tuple(round(1.0 - 0.02 * i, 2) for i in range(26))
"""Shares of a full reed tried for the first piece of each weaver, the longest first."""
LEAST_LAST_MM = 609.6
"""A weaver's last reed is at least so long, two feet, or a quarter of a reed where that is less: a join for the sake of
a few inches shows and costs a reed (common practice, no source)."""
FOLDED_CUTS = (0.56, 0.58, 0.54, 0.6, 0.52)
"""Shares of a full reed tried for the longer half of one that is folded: halves that differ join apart (common
practice, no source)."""
MOST_PLANNED = 24  # weavers; a weave with one in every space joins everywhere at once and needs no plan


@dataclass(frozen=True)
class Join:
    """A new reed is set in: band, weaver (from 0), row of the band (from 0), space (from 0), its colours."""

    band: int
    weaver: int
    row: int
    space: int
    colours: tuple[str, ...]


@dataclass(frozen=True)
class JoinPlan:
    """Joins of one band and, for each weaver set in there, the length of its first piece in mm.

    None where one reed is enough, or where the weavers come from the band before.
    """

    joins: tuple[Join, ...]
    first_mm: tuple[float | None, ...]


@dataclass(frozen=True, eq=False)
class Cut:
    """What one weaver of a course is cut into: `pieces_mm` in order of use, overlaps and tucked ends included.

    Of a folded course the first piece of the first weaver begins both of them, so that the second has only what is
    joined on, perhaps nothing; `fold_mm` is how far from its first tip it is folded, 0 where it is not.
    """

    course: Course
    weaver: int
    pieces_mm: tuple[float, ...]
    fold_mm: float = 0.0

    @property
    def length_mm(self) -> float:
        """All pieces together."""
        return sum(self.pieces_mm)


def plan_joins(
    laid: Laid, courses: list[Course], pull: Mapping[int, float] | None = None
) -> tuple[list[JoinPlan], list[Cut]]:
    """The joins of every band, in order of work, and what every weaver of every course is cut into.

    `pull` says of some courses, by their number from 0, how long the reeds are that they are cut from, mm; of others
    that is as long as the design says.
    """
    joins: dict[int, list[Join]] = {band.index: [] for band in laid.bands}
    first: dict[int, list[float | None]] = {band.index: [None] * len(band.colours) for band in laid.bands}
    cuts: list[Cut] = []
    many: dict[int, float] = defaultdict(float)
    """Joins by the band that a run of weaving begins with, in all its blocks."""
    for nth, course in enumerate(courses):
        usable = (pull or {}).get(nth, course.usable_mm)
        step = max(usable - OVERLAP_MM, usable / 2)
        many[course.begins.index] += len(course.begins.colours) * course.weaver_mm / step
        check_joins(laid.design, course.begins.index, many[course.begins.index], usable)
        planned, pieces = plan_course(course, usable)
        for join in planned:
            joins[join.band].append(join)
        cuts += pieces
        # In a band of blocks every start is cut alike, so the first that is joined speaks for all.
        begins = course.begins.index
        for cut in pieces:
            if len(cut.pieces_mm) > 1:
                first[begins][cut.weaver] = first[begins][cut.weaver] or cut.pieces_mm[0]
    return [JoinPlan(tuple(joins[band.index]), tuple(first[band.index])) for band in laid.bands], cuts


def plan_course(course: Course, usable_mm: float) -> tuple[list[Join], list[Cut]]:
    """Joins of one course, and what its weavers are cut into, when they come from reeds of `usable_mm` each."""
    segments = tuple((each.band, each.first, each.rows, each.start) for each in course.segments)
    joins, pieces, fold = _planned(segments, usable_mm, course.folded)
    cuts = [Cut(course, weaver, each, 0.0 if weaver else fold) for weaver, each in enumerate(pieces)]
    return list(joins), cuts


@lru_cache(maxsize=256)
def _planned(
    segments: tuple, usable_mm: float, folded: bool
) -> tuple[tuple[Join, ...], tuple[tuple[float, ...], ...], float]:
    """The joins of a course of these segments, the pieces of every weaver, and where the first is folded."""
    course = Course(tuple(Segment(*each) for each in segments), folded)
    joins, cuts = _plan_anew(course, usable_mm)
    pieces = [cut.pieces_mm for cut in cuts]
    if not folded:
        return tuple(joins), tuple(pieces), 0.0
    # A fold has no tips to tuck.
    tail = course.begins.tail_mm
    one, other = pieces
    whole = one[0] + other[0] - 2 * tail
    return tuple(joins), ((whole, *one[1:]), other[1:]), one[0] - tail


def _first_shares(course: Course, weaver: int, usable_mm: float, taken: float) -> tuple[float, ...]:
    """Shares of a full reed to try for the first piece of a weaver; the two of a folded one are halves of one reed, and
    of that `taken` is the share that the first has."""
    if not course.folded:
        return FIRST_CUTS
    if weaver == 0:
        return FOLDED_CUTS
    left = 1.0 + 2 * course.begins.tail_mm / usable_mm - taken
    return tuple(left - 0.02 * i for i in range(10))


def _plan_anew(course: Course, usable_mm: float) -> tuple[list[Join], list[Cut]]:
    chosen, cuts = _Places(course), []
    for weaver, colours in enumerate(course.begins.colours):
        fits = 2 * (course.weaver_mm - course.begins.tail_mm) if course.folded else course.weaver_mm
        if fits <= usable_mm:
            cuts.append(Cut(course, weaver, (course.weaver_mm,)))
            continue
        # The first pieces differ, and later weavers keep clear of earlier ones: the longest first piece whose joins are
        # clear of all others and that leaves no scrap for the last will do, so that no reed is cut shorter than it must
        # be. A weave with a weaver in every space joins everywhere at once: there only the scrap counts.
        clear = CLEAR_SPACES if len(course.begins.colours) <= MOST_PLANNED else -1.0
        best: tuple[bool, float] = (False, -2.0)
        pieces: tuple[float, ...] = ()
        joins: list[Join] = []
        taken = cuts[0].pieces_mm[0] / usable_mm if cuts else 0.0
        for share in _first_shares(course, weaver, usable_mm, taken):
            at = _spots(course, share, usable_mm)
            found, into = _joins_at(course, weaver, colours, at), _pieces(course, at)
            gap = chosen.worst_gap(found) if clear > 0 else -1.0
            so = into[-1] >= min(LEAST_LAST_MM, usable_mm / 4), gap
            if so > best:
                best, pieces, joins = so, into, found
            if so[0] and gap >= clear:
                break
        chosen.add(joins)
        cuts.append(Cut(course, weaver, pieces))
    return chosen.joins, cuts


def _spots(course: Course, share: float, usable: float) -> np.ndarray:
    """Where reeds run out, as length woven so far, when the first piece is this share of a whole reed.

    A piece is tucked by the maker's tail at a start or an end and by half of OVERLAP_MM at a join.
    """
    end, tail = course.run[0][-1], course.begins.tail_mm
    at = max(share * usable - tail - OVERLAP_MM / 2, usable / 4)
    spots = np.arange(at, end + tail - OVERLAP_MM / 2, max(usable - OVERLAP_MM, usable / 2))
    return np.minimum(spots, end - min(tail, end / 4))  # a last piece must have something to weave


def _pieces(course: Course, spots: np.ndarray) -> tuple[float, ...]:
    woven = np.diff(np.r_[0.0, spots, course.run[0][-1]])
    ends = np.full(len(woven), OVERLAP_MM)
    ends[0] += course.begins.tail_mm - OVERLAP_MM / 2
    ends[-1] += course.begins.tail_mm - OVERLAP_MM / 2
    return tuple((woven + ends).tolist())


def _joins_at(course: Course, weaver: int, colours: tuple[str, ...], spots: np.ndarray) -> list[Join]:
    run, rows = course.run
    at = np.minimum(np.searchsorted(run, spots, side="right") - 1, len(rows) - 1)
    part = (spots - run[at]) / (run[at + 1] - run[at])
    out = []
    for i, share in zip(at.tolist(), part.tolist(), strict=True):
        stretch, row = rows[i]
        spaces, weave = stretch.band.spaces, stretch.band.band.weave
        if weave.turns == "back":  # one stroke a row, each begun where the last came out
            passed = weave.reach * (row + share)
        else:
            passed = (row + share) * spaces
            if weave.turns == "stroke":  # a stroke belongs to the row it begins in, and weaver k is k spaces ahead
                row = min(int(passed // weave.reach * weave.reach + weaver) // spaces, stretch.rows - 1)
        space = int(stretch.start + weaver + passed) % spaces
        out.append(Join(stretch.band.index, weaver, stretch.first + row, space, colours))
    return out


class _Places:
    """Joins already planned in a course, by row, so that a new one is held only against its neighbours."""

    def __init__(self, course: Course) -> None:
        self.spaces = {stretch.band.index: stretch.band.spaces for stretch in course.segments}
        self.start = {stretch.band.index: stretch.start for stretch in course.segments}
        self.joins: list[Join] = []
        self.by_row: dict[tuple[int, int], list[int]] = defaultdict(list)

    def add(self, joins: list[Join]) -> None:
        self.joins += joins
        for join in joins:
            self.by_row[join.band, join.row].append(join.space)

    def worst_gap(self, new: list[Join]) -> float:
        """Spaces between a new join and its nearest, or the start line; never more than is useful."""
        gap = MOST_GAP
        mine: dict[tuple[int, int], list[int]] = defaultdict(list)
        for join in new:
            spaces = self.spaces[join.band]
            near = [self.start[join.band]]
            for row in (join.row - 1, join.row, join.row + 1):
                near += self.by_row.get((join.band, row), ())
                near += mine.get((join.band, row), ())
            for space in near:  # written out: of thousands of joins each is held against hundreds
                apart = (join.space - space) % spaces
                apart = min(apart, spaces - apart)
                if apart < gap:
                    gap = apart
            mine[join.band, join.row].append(join.space)
        return gap


def _round(difference: int, spaces: int) -> int:
    difference %= spaces
    return min(difference, spaces - difference)


def meeting(plan: JoinPlan, band: BandLaid) -> list[tuple[Join, Join]]:
    """Pairs of joins that meet: fewer than CLEAR_SPACES apart in the same row or the next."""
    joins = sorted(plan.joins, key=lambda join: join.row)
    return [
        (a, b)
        for i, a in enumerate(joins)
        for b in joins[i + 1 : i + 1 + 200]
        if b.row - a.row <= 1 and _round(a.space - b.space, band.spaces) < CLEAR_SPACES
    ]


def at_start_line(plan: JoinPlan, band: BandLaid) -> list[Join]:
    """Joins in the space where the band begins."""
    return [join for join in plan.joins if _round(join.space - band.band.start, band.spaces) == 0]
