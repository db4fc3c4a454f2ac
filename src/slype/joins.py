"""Where weavers run out, and how to cut the first ones so that joins fall well. Level 6.

A weaver comes in reeds of finite length. Each join overlaps old end and new in one space, which costs OVERLAP_MM of
reed. Cutting the first reeds of a course to different lengths moves the joins apart and off the start line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .courses import Course, courses
from .lay import TUCK_MM, BandLaid, Laid

OVERLAP_MM = TUCK_MM
"""Reed lost in one join: old and new end lie together behind a spoke (common practice, no source)."""
CLEAR_SPACES = 3
"""Joins nearer than this round the basket, in the same or the next row, meet (common practice, no source)."""
FIRST_CUTS = tuple(round(1.0 - 0.05 * i, 2) for i in range(11))
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
    chosen: list[Join] = []
    first: list[float | None] = []
    for weaver, colours in enumerate(band.colours):
        if course.weaver_mm <= usable:
            first.append(None)
            continue
        # The first pieces differ, so the best is sought among a few shares; later weavers keep clear of earlier ones.
        shares = FIRST_CUTS if len(band.colours) <= MOST_PLANNED else (1.0,)
        tries = [(share, _joins_of(course, weaver, colours, share)) for share in shares]
        share, joins = max(tries, key=lambda t: (_worst_gap(course, t[1], chosen), t[0]))
        chosen += joins
        first.append(share * usable)
    return chosen, first


def _joins_of(course: Course, weaver: int, colours: tuple[str, ...], share: float) -> list[Join]:
    usable = course.usable_mm
    run = np.r_[0.0, np.cumsum(np.concatenate([stretch.row_mm for stretch in course.stretches]))]
    rows = [(stretch, row) for stretch in course.stretches for row in range(stretch.rows)]
    at = max(share * usable - TUCK_MM - OVERLAP_MM / 2, usable / 4)
    out = []
    while at < run[-1] - TUCK_MM:
        i = int(np.searchsorted(run, at, side="right")) - 1
        stretch, row = rows[i]
        part, spaces = (at - run[i]) / (run[i + 1] - run[i]), stretch.laid.spaces
        space = int(stretch.start + weaver + part * spaces) % spaces
        out.append(Join(stretch.laid.index, weaver, stretch.first + row, space, colours))
        at += max(usable - OVERLAP_MM, usable / 2)
    return out


def _worst_gap(course: Course, new: list[Join], old: list[Join]) -> float:
    """Spaces between the two nearest joins of neighbouring rows, or to the start line; never more than is useful."""
    spaces = {stretch.laid.index: stretch.laid.spaces for stretch in course.stretches}
    start = {stretch.laid.index: stretch.start for stretch in course.stretches}
    gap = 2.0 * CLEAR_SPACES
    for i, join in enumerate(new):
        gap = min(gap, _round(join.space - start[join.band], spaces[join.band]))
        for other in [*old, *new[:i]]:
            if other.band == join.band and abs(other.row - join.row) <= 1:
                gap = min(gap, _round(join.space - other.space, spaces[join.band]))
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
