"""Where weavers are joined, and how to cut the first ones so that joins fall well.

A weaver comes in reeds of finite length.

Theory
1. A join lies behind a spoke (or group): there old end and new lie together, each half of OVERLAP_MM past it, on the
   side that is not looked at. So a join can only be where a stroke of its weaver passes behind one, and it is told by
   the first that the stroke passes behind.
2. Reeds are not cut for their joins but the first: each is woven as far as it goes and joined behind the last such
   spoke that it reaches so far past with HELD_MM to hold; what it reaches further lies double too, and is cut off. The
   next begins there, and the last is as long as what is left. So pieces are together what is woven, the tails, and
   every join's overlap.
3. Cutting the first reeds of a course to different lengths moves the joins apart and off the start line.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil

import numpy as np

from ..quantity import MM_PER_IN
from ..weave.trace import strokes_of_one
from .courses import Course, Segment
from .gauge import TUCK_MM
from .limits import check_joins, check_reach
from .values import BandLaid, Laid

OVERLAP_MM = TUCK_MM
"""Reed that lies double in one join, at least: half of it to either side of a spoke (common practice, no source)."""
HELD_MM = MM_PER_IN
"""What a reed reaches at least further than that past the spoke behind which it is joined, a thumb's width: less
cannot be held, and a hand that weaves a little looser runs short of the spoke. Where it would be less, the join is a
stroke sooner, unless that is where the reed begins (common practice, no source)."""
KEPT_MM = HELD_MM / 2
"""Joins planned before, on lengths that have changed a little since, stay where they are as long as so much is
left to hold (common practice, no source): a thumb is no finer."""
CLEAR_SPACES = 3
"""Joins behind spokes nearer than this round the basket, in the same or the next row, meet (common practice, no
source)."""
MOST_GAP = 2.0 * CLEAR_SPACES
"""Joins that are more spokes apart than these are no better for it."""
FIRST_CUTS = tuple(round(1.0 - 0.02 * i, 2) for i in range(26))
"""Shares of a full reed tried for the first piece of each weaver, the longest first."""
LEAST_LAST_MM = 609.6
"""A weaver's last reed is at least so long, two feet, or a quarter of a reed where that is less: a join for the sake of
a few inches shows and costs a reed (common practice, no source)."""
FOLDED_CUTS = (0.56, 0.58, 0.54, 0.6, 0.52)
"""Shares of a full reed tried for the longer half of one that is folded: halves that differ join apart (common
practice, no source)."""
MOST_PLANNED = 24  # weavers; a weave with one in every space joins everywhere at once and needs no plan


_Kept = tuple[tuple[int, ...], ...]
"""(weaver, band, block, passed) of joins, as of `Join`."""


@dataclass(frozen=True)
class Join:
    """A new reed is set in behind a spoke. All numbers from 0.

    `band`; `block` which start of it; `weaver`; `row` of the band to which the stroke belongs, `stroke` which one of
    its weaver since that was set in; `passed` spokes (or groups) which that weaver has passed before the `spoke` behind
    which it is joined; its `colours`; `overlap_mm` how much of the old reed and the new one lie double; `next_mm` how
    long the new one is.
    """

    band: int
    block: int
    weaver: int
    row: int
    stroke: int
    passed: int
    spoke: int
    colours: tuple[str, ...]
    overlap_mm: float
    next_mm: float

    @property
    def spare_mm(self) -> float:
        """What the old reed reaches further past the spoke than it must, and is cut off."""
        return self.overlap_mm - OVERLAP_MM


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
    laid: Laid, courses: list[Course], pull: Mapping[int, float] | None = None, kept: Iterable[Join] = ()
) -> tuple[list[JoinPlan], list[Cut]]:
    """The joins of every band, in order of work, and what every weaver of every course is cut into.

    `pull` says of some courses, by their number from 0, how long the reeds are that they are cut from, mm; of others
    that is as long as the design says. `kept`: joins of the same basket planned before; a weaver keeps its own where
    its reeds still reach them and no further than a stroke more.
    """
    places: dict[tuple[int, int], list[tuple[int, ...]]] = defaultdict(list)
    for join in kept:
        places[join.band, join.block].append((join.weaver, join.band, join.block, join.passed))
    joins: dict[int, list[Join]] = {band.index: [] for band in laid.bands}
    first: dict[int, list[float | None]] = {band.index: [None] * len(band.colours) for band in laid.bands}
    cuts: list[Cut] = []
    longest: list[tuple[int, float, float]] = []
    many: dict[int, int] = defaultdict(int)
    """Joins by the band that a run of weaving begins with, in all its blocks."""
    for nth, course in enumerate(courses):
        usable = (pull or {}).get(nth, course.usable_mm)
        begins = course.begins.index
        # So many that they would take too long to plan are refused before; the others are counted.
        check_joins(laid.design, begins, many[begins] + fewest_joins(course, usable), usable)
        own = tuple(place for each in course.segments for place in places[each.band.index, each.block])
        planned, pieces = plan_course(course, usable, () if pull and nth in pull else own)
        many[begins] += len(planned)
        check_joins(laid.design, begins, many[begins], usable)
        if not (pull and nth in pull):  # a kit that is cut from other reeds says itself what cannot be cut
            longest.append((course.begins.index, max(mm for cut in pieces for mm in cut.pieces_mm), usable))
        for join in planned:
            joins[join.band].append(join)
        cuts += pieces
        # In a band of blocks every start is cut alike, so the first that is joined speaks for all.
        for cut in pieces:
            if len(cut.pieces_mm) > 1:
                first[begins][cut.weaver] = first[begins][cut.weaver] or cut.pieces_mm[0]
    for each in longest:
        check_reach(laid.design, *each)
    return [JoinPlan(tuple(joins[band.index]), tuple(first[band.index])) for band in laid.bands], cuts


def fewest_joins(course: Course, usable_mm: float) -> int:
    """How many joins a course has at least, if every reed of `usable_mm` is woven to its end."""
    step = max(usable_mm - OVERLAP_MM, usable_mm / 2)
    if course.folded:
        return max(0, ceil((2 * (course.weaver_mm - course.begins.tail_mm) - usable_mm) / step - 1e-9))
    return len(course.begins.colours) * max(0, ceil((course.weaver_mm - usable_mm) / step - 1e-9))


def plan_course(course: Course, usable_mm: float, kept: _Kept = ()) -> tuple[list[Join], list[Cut]]:
    """Joins of one course, and what its weavers are cut into, when they come from reeds of `usable_mm` each; `kept`
    where they were joined when it was planned before."""
    segments = tuple((each.band, each.first, each.rows, each.start) for each in course.segments)
    joins, pieces, fold = _planned(segments, usable_mm, course.folded, kept)
    cuts = [Cut(course, weaver, each, 0.0 if weaver else fold) for weaver, each in enumerate(pieces)]
    return list(joins), cuts


@lru_cache(maxsize=256)
def _planned(
    segments: tuple, usable_mm: float, folded: bool, kept: _Kept
) -> tuple[tuple[Join, ...], tuple[tuple[float, ...], ...], float]:
    """The joins of a course of these segments, the pieces of every weaver, and where the first is folded."""
    course = Course(tuple(Segment(*each) for each in segments), folded)
    joins, cuts = _plan_anew(course, usable_mm, kept)
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


def _plan_anew(course: Course, usable_mm: float, kept: _Kept) -> tuple[list[Join], list[Cut]]:
    chosen = _Places(course)
    cuts: list[Cut] = []
    for weaver in range(len(course.begins.colours)):
        before = [place[1:] for place in kept if place[0] == weaver]
        taken = cuts[0].pieces_mm[0] / usable_mm if cuts else 0.0
        again = _kept(course, weaver, usable_mm, before, taken) if before else None
        if again is not None:
            chosen.add(again[0])
            cuts.append(Cut(course, weaver, again[1]))
            continue
        fits = 2 * (course.weaver_mm - course.begins.tail_mm) if course.folded else course.weaver_mm
        if fits <= usable_mm:
            cuts.append(Cut(course, weaver, (course.weaver_mm,)))
            continue
        # The first pieces differ, and later weavers keep clear of earlier ones: the longest first piece whose joins are
        # clear of all others and that leaves no scrap for the last will do, so that no reed is cut shorter than it must
        # be. A weave with a weaver in every space joins everywhere at once: there only the scrap counts.
        clear = CLEAR_SPACES if len(course.begins.colours) <= MOST_PLANNED else -1.0
        best: tuple[bool, float] = (False, -2.0)
        backs = _Backs(course, weaver, usable_mm)
        at: list[int] = []
        pieces: tuple[float, ...] = ()
        for share in _first_shares(course, weaver, usable_mm, taken):
            tried = backs.joined(share * usable_mm)
            into = backs.pieces_mm(tried, share * usable_mm)
            gap = chosen.worst_gap(backs.places(tried)) if clear > 0 else -1.0
            so = into[-1] >= min(LEAST_LAST_MM, usable_mm / 4), gap
            if so > best:
                best, pieces, at = so, into, tried
            if so[0] and gap >= clear:
                break
        chosen.add(backs.joins(at, pieces))
        cuts.append(Cut(course, weaver, pieces))
    return chosen.joins, cuts


def _kept(
    course: Course, weaver: int, usable_mm: float, before: list[tuple[int, ...]], taken: float
) -> tuple[list[Join], tuple[float, ...]] | None:
    """Joins of one weaver where they were `before`, and its pieces; None where a reed does not reach so far any more,
    or reaches two strokes further."""
    backs = _Backs(course, weaver, usable_mm)
    number = {place: i for i, place in enumerate(zip(backs.band, backs.block, backs.passed, strict=True))}
    at = sorted(number[place] for place in before if place in number)
    if len(at) < len(before) or backs.ends_mm[at[-1]] > usable_mm:
        return None
    for a, b in pairwise(at):
        if backs.at_mm[b] - backs.at_mm[a] > usable_mm - OVERLAP_MM - KEPT_MM or backs.onward[a] > b + 1:
            return None
    reaches = backs.at_mm[at[0]] + backs.tail_mm + OVERLAP_MM / 2 + KEPT_MM
    for share in _first_shares(course, weaver, usable_mm, taken):
        first_mm = share * usable_mm
        reached = backs.joined(first_mm)[:1]
        if first_mm >= reaches and reached and reached[0] <= at[0] + 1:
            pieces = backs.pieces_mm(at, first_mm)
            return backs.joins(at, pieces), pieces
    return None


class _Backs:
    """Where one weaver of a course can be joined: behind the first spoke of every stroke that passes behind any.

    Arrays and lists run over these, in order: `at_mm` what is woven where the middle of that spoke is, from where the
    weaver was set in; `band`, `block`, `row`, `stroke`, `passed`, `spoke` as of `Join`; `onward` the last to which a
    whole reed reaches that is joined on there; `ends_mm` what a reed joined on there needs to the end, tail and all.
    """

    def __init__(self, course: Course, weaver: int, usable_mm: float) -> None:
        self.course, self.weaver, self.usable_mm = course, weaver, usable_mm
        self.tail_mm, self.woven_mm = course.begins.tail_mm, course.woven_mm + course.last_mm
        found = [_in_segment(segment, weaver) for segment in course.segments]
        began = np.cumsum([0.0, *(segment.row_mm.sum() for segment in course.segments)])
        at = np.concatenate([mm + before for (mm, _), before in zip(found, began, strict=False)])
        # A last piece must have something to weave.
        least = min(self.tail_mm, self.woven_mm / 4, usable_mm / 4)
        many = int(np.searchsorted(at, self.woven_mm - least, side="right"))
        at = at[:many]
        columns = np.concatenate([numbers for _, numbers in found], axis=1)[:, :many]
        self.band, self.block, self.row, self.stroke, self.passed, self.spoke = columns.tolist()
        reached = np.searchsorted(at, at + (usable_mm - OVERLAP_MM - HELD_MM) * (1 + 1e-12), side="right") - 1
        self.at_mm: list[float] = at.tolist()
        self.onward: list[int] = np.minimum(np.maximum(reached, np.arange(many) + 1), many - 1).tolist()
        self.ends_mm: list[float] = (self.woven_mm - at + OVERLAP_MM / 2 + self.tail_mm).tolist()

    def joined(self, first_mm: float) -> list[int]:
        """Where it is joined when its first reed is so long and all others are whole."""
        if self.woven_mm + 2 * self.tail_mm <= first_mm or not self.at_mm:
            return []
        room = (first_mm - self.tail_mm - OVERLAP_MM / 2 - HELD_MM) * (1 + 1e-12)
        at = max(bisect_right(self.at_mm, room) - 1, 0)
        out = [at]
        while self.ends_mm[at] > self.usable_mm and self.onward[at] > at:
            at = self.onward[at]
            out.append(at)
        return out

    def pieces_mm(self, at: list[int], first_mm: float) -> tuple[float, ...]:
        """The reeds of a weaver joined there: the first so long, the others whole, the last what is left. Longer than
        that only where no spoke is near enough to join behind."""
        if not at:
            return (self.course.weaver_mm,)
        begun = self.at_mm[at[0]] + self.tail_mm + OVERLAP_MM / 2
        least = [self.at_mm[b] - self.at_mm[a] + OVERLAP_MM for a, b in pairwise(at)]
        return (max(first_mm, begun), *(max(self.usable_mm, mm) for mm in least), self.ends_mm[at[-1]])

    def places(self, at: list[int]) -> list[tuple[int, int, int]]:
        """(band, row, spoke) of joins there."""
        return [(self.band[i], self.row[i], self.spoke[i]) for i in at]

    def joins(self, at: list[int], pieces: tuple[float, ...]) -> list[Join]:
        """Joins there of a weaver in these pieces."""
        colours, out = self.course.begins.colours[self.weaver], []
        before = -self.tail_mm
        for i, (mm, next_mm) in zip(at, pairwise(pieces), strict=False):
            overlap = before + mm - self.at_mm[i] + OVERLAP_MM / 2
            out.append(Join(self.band[i], self.block[i], self.weaver, self.row[i], self.stroke[i], self.passed[i],
                            self.spoke[i], colours, max(overlap, OVERLAP_MM), next_mm))  # fmt: skip
            before = self.at_mm[i] - OVERLAP_MM / 2
        return out


def _in_segment(segment: Segment, weaver: int) -> tuple[np.ndarray, np.ndarray]:
    """Behind which spokes a weaver can be joined in one segment: (mm woven in it at the middle of each,), and (band,
    block, row, stroke, passed, spoke) of each (6, many), as of `Join`."""
    band, weave = segment.band, segment.band.band.weave
    begin, over, under, row = strokes_of_one(weave, weaver, band.spaces, segment.rows)
    # What a weaver has passed when each row begins, and at the end: of one that makes one stroke a row, its strokes.
    ends = np.r_[begin, begin[-1] + over[-1] + under[-1]] if weave.turns == "back" else \
        np.arange(segment.rows + 1) * band.spaces  # fmt: skip
    passed = begin + over
    inside = passed < ends[-1]
    mm = np.interp(passed + 0.5, ends, np.r_[0.0, np.cumsum(segment.row_mm)])
    spoke = (segment.start + weaver + passed) % band.spaces
    same = np.ones_like(row)
    columns = [band.index * same, segment.block * same, segment.first + row, np.arange(len(row)), passed, spoke]
    return mm[inside], np.stack(columns)[:, inside]


class _Places:
    """Joins already planned in a course, by row, so that a new one is held only against its neighbours."""

    def __init__(self, course: Course) -> None:
        self.spaces = {segment.band.index: segment.band.spaces for segment in course.segments}
        self.start = {segment.band.index: segment.start for segment in course.segments}
        self.joins: list[Join] = []
        self.by_row: dict[tuple[int, int], list[int]] = defaultdict(list)

    def add(self, joins: list[Join]) -> None:
        self.joins += joins
        for join in joins:
            self.by_row[join.band, join.row].append(join.spoke)

    def worst_gap(self, new: list[tuple[int, int, int]]) -> float:
        """Spokes from a new join, each (band, row, spoke), to its nearest, or to those beside the start line; never
        more than is useful."""
        gap = MOST_GAP
        mine: dict[tuple[int, int], list[int]] = defaultdict(list)
        for band, row, spoke in new:
            spaces, start = self.spaces[band], self.start[band]
            near = [start - 1, start]
            for beside in (row - 1, row, row + 1):
                near += self.by_row.get((band, beside), ())
                near += mine.get((band, beside), ())
            for other in near:  # written out: of thousands of joins each is held against hundreds
                apart = (spoke - other) % spaces
                apart = min(apart, spaces - apart)
                if apart < gap:
                    gap = apart
            mine[band, row].append(spoke)
        return gap


def _round(difference: int, spaces: int) -> int:
    difference %= spaces
    return min(difference, spaces - difference)


def least_apart(plan: JoinPlan, band: BandLaid) -> int:
    """How many spokes apart the nearest two joins of a band lie that are in the same row or the next."""
    least, by_row = band.spaces, defaultdict[int, list[int]](list)
    for join in plan.joins:
        for row in (join.row - 1, join.row, join.row + 1):
            for other in by_row.get(row, ()):
                least = min(least, _round(join.spoke - other, band.spaces))
        by_row[join.row].append(join.spoke)
    return least


def meeting(plan: JoinPlan, band: BandLaid) -> list[tuple[Join, Join]]:
    """Pairs of joins that meet: fewer than CLEAR_SPACES apart in the same row or the next."""
    joins = sorted(plan.joins, key=lambda join: join.row)
    return [
        (a, b)
        for i, a in enumerate(joins)
        for b in joins[i + 1 : i + 1 + 200]
        if b.row - a.row <= 1 and _round(a.spoke - b.spoke, band.spaces) < CLEAR_SPACES
    ]


def at_start_line(plan: JoinPlan, band: BandLaid) -> list[Join]:
    """Joins behind a spoke beside the space where the band begins."""
    beside = {band.band.start % band.spaces, (band.band.start - 1) % band.spaces}
    return [join for join in plan.joins if join.spoke in beside]
