"""Where weavers run out, and how to cut the first ones so that joins fall well. Level 6.

A weaver comes in reeds of finite length. Each join overlaps old end and new in one space, which costs OVERLAP_MM of
reed. Cutting the first reeds of a course to different lengths moves the joins apart and off the start line.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from .courses import Course, courses
from .lay import TUCK_MM, BandLaid, Laid

OVERLAP_MM = TUCK_MM
"""Reed lost in one join: old and new end lie together behind a spoke (common practice, no source)."""
CLEAR_SPACES = 3
"""Joins nearer than this round the basket, in the same or the next row, meet (common practice, no source)."""
FIRST_CUTS = tuple(round(1.0 - 0.02 * i, 2) for i in range(26))
"""Shares of a full reed tried for the first piece of each weaver."""
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


def plan_joins(laid: Laid) -> list[JoinPlan]:
    """The joins of every band, in order."""
    joins: dict[int, list[Join]] = {band.index: [] for band in laid.bands}
    first: dict[int, list[float | None]] = {band.index: [None] * len(band.colours) for band in laid.bands}
    for course in courses(laid):
        planned, cuts = _plan_course(course)
        for join in planned:
            joins[join.band].append(join)
        # In a band of blocks every start is cut alike, so the first one speaks for all.
        begins = course.begins.index
        first[begins] = [old or new for old, new in zip(first[begins], cuts, strict=True)]
    return [JoinPlan(tuple(joins[band.index]), tuple(first[band.index])) for band in laid.bands]


def _plan_course(course: Course) -> tuple[list[Join], list[float | None]]:
    usable, band = course.usable_mm, course.begins
    chosen = _Places(course)
    first: list[float | None] = []
    for weaver, colours in enumerate(band.colours):
        if course.weaver_mm <= usable:
            first.append(None)
            continue
        # The first pieces differ, so the best is sought among a few shares; later weavers keep clear of earlier ones.
        shares = FIRST_CUTS if len(band.colours) <= MOST_PLANNED else (1.0,)
        tries = [(share, _joins_of(course, weaver, colours, share)) for share in shares]
        share, joins = max(tries, key=lambda t: (chosen.worst_gap(t[1]), t[0]))
        chosen.add(joins)
        first.append(share * usable)
    return chosen.joins, first


def _joins_of(course: Course, weaver: int, colours: tuple[str, ...], share: float) -> list[Join]:
    usable = course.usable_mm
    run, rows = course.run
    # A piece is tucked by TUCK_MM at a start or an end and by half of OVERLAP_MM at a join.
    at = max(share * usable - TUCK_MM - OVERLAP_MM / 2, usable / 4)
    out = []
    while at < run[-1] + TUCK_MM - OVERLAP_MM / 2:
        spot = min(at, run[-1] - min(TUCK_MM, run[-1] / 4))  # a last piece must have something to weave
        i = min(int(np.searchsorted(run, spot, side="right")) - 1, len(rows) - 1)
        stretch, row = rows[i]
        part, spaces = (spot - run[i]) / (run[i + 1] - run[i]), stretch.laid.spaces
        space = int(stretch.start + weaver + part * spaces) % spaces
        out.append(Join(stretch.laid.index, weaver, stretch.first + row, space, colours))
        at = spot + max(usable - OVERLAP_MM, usable / 2)
    return out


class _Places:
    """Joins already planned in a course, by row, so that a new one is held only against its neighbours."""

    def __init__(self, course: Course) -> None:
        self.spaces = {stretch.laid.index: stretch.laid.spaces for stretch in course.stretches}
        self.start = {stretch.laid.index: stretch.start for stretch in course.stretches}
        self.joins: list[Join] = []
        self.by_row: dict[tuple[int, int], list[int]] = defaultdict(list)

    def add(self, joins: list[Join]) -> None:
        self.joins += joins
        for join in joins:
            self.by_row[join.band, join.row].append(join.space)

    def worst_gap(self, new: list[Join]) -> float:
        """Spaces between a new join and its nearest, or the start line; never more than is useful."""
        gap = 2.0 * CLEAR_SPACES
        mine: dict[tuple[int, int], list[int]] = defaultdict(list)
        for join in new:
            spaces = self.spaces[join.band]
            near = [self.start[join.band]]
            for row in (join.row - 1, join.row, join.row + 1):
                near += self.by_row.get((join.band, row), ())
                near += mine.get((join.band, row), ())
            gap = min(gap, min(_round(join.space - space, spaces) for space in near))
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
