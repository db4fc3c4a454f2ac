"""Courses: from setting a band's weavers in to ending them, across bands and starts.

Weavers are ended where a band ends, unless the next band goes on with the same reed, colours and weave; a band in
blocks ends them after every block. A course is what is woven with one setting-in: what a weaver is cut for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..weave.trace import past_the_rows
from .values import BandLaid, Laid


@dataclass(frozen=True, eq=False)
class Segment:
    """Rows `first` to `first + rows - 1` of a band, begun in space `start` (from 0)."""

    band: BandLaid
    first: int
    rows: int
    start: int

    @property
    def block(self) -> int:
        """Which of the band's starts it is, from 0."""
        return [first for first, _, _ in self.band.segments].index(self.first)

    @property
    def row_mm(self) -> np.ndarray:
        """Length one weaver lays in each row."""
        return self.band.row_mm[self.first : self.first + self.rows]


@dataclass(frozen=True, eq=False)
class Course:
    """One setting-in of weavers and all they weave, as segments in order of work; `folded` where its two weavers are
    begun with one reed, folded."""

    segments: tuple[Segment, ...]
    folded: bool = False

    @property
    def begins(self) -> BandLaid:
        """The band in which the weavers are set in."""
        return self.segments[0].band

    @property
    def bands(self) -> tuple[int, ...]:
        """Indices of the bands it runs through."""
        return tuple(segment.band.index for segment in self.segments)

    @property
    def woven_mm(self) -> float:
        """Length one weaver lays in all its rows."""
        return float(sum(segment.row_mm.sum() for segment in self.segments))

    def past_mm(self, weaver: int) -> float:
        """Length a weaver lays beyond its whole rows, up to the end of its last stroke; less than 0 where fewer."""
        last = self.segments[-1]
        spaces = past_the_rows(last.band.band.weave, weaver, last.band.spaces, last.rows)
        return spaces * float(last.row_mm[-1]) / last.band.spaces

    @cached_property
    def last_mm(self) -> float:
        """What every weaver is cut longer for its last stroke: all alike, as the one needs it that goes furthest."""
        return max(0.0, *(self.past_mm(weaver) for weaver in range(len(self.begins.colours))))

    def weaves(self, band: int, row: int) -> bool:
        """True when it weaves that row of that band."""
        return any(s.band.index == band and s.first <= row < s.first + s.rows for s in self.segments)

    @property
    def woven_range_mm(self) -> tuple[float, float]:
        """Least and most that one weaver lays in all its rows."""
        shares = [(s.band.woven_range_mm(), float(s.row_mm.sum() / s.band.row_mm.sum())) for s in self.segments]
        return sum(low * share for (low, _), share in shares), sum(high * share for (_, high), share in shares)

    @property
    def weaver_mm(self) -> float:
        """Length of one weaver with its last stroke and both ends to tuck, without what joins cost."""
        return self.woven_mm + self.last_mm + 2 * self.begins.tail_mm

    @property
    def usable_mm(self) -> float:
        """Length of one reed as woven with: the shortest that its bands ask for."""
        return min(segment.band.band.usable_mm for segment in self.segments)


def goes_on(a: BandLaid, b: BandLaid) -> bool:
    """True when band `b` takes the weavers of band `a`, so that they need not be ended between the two.

    Every band begins its weave anew at its start, so this can only be where the last row of `a` leaves its weavers
    there in their first order: otherwise new weavers are set in, as chart and picture show.
    """
    x, y = a.band, b.band
    same = (
        x.where == y.where and a.tier == b.tier and x.reed == y.reed and x.weave == y.weave and a.colours == b.colours
    )
    return same and x.start == y.start and not x.blocks and not y.blocks and _comes_home(a)


def _comes_home(band: BandLaid) -> bool:
    """True when after its last row the weavers of a band stand as they did before its first."""
    weave = band.band.weave
    if band.rows % len(weave.reverse):
        return False
    if weave.turns == "back":  # all spaces hold a weaver, so only the colours can be out of place
        return len(set(band.colours)) == 1 or band.rows * weave.reach % band.spaces == 0
    return band.rows * band.spaces % weave.reach == 0


def courses_of(laid: Laid) -> list[Course]:
    """Every course of the basket, in order of work."""
    out: list[list[Segment]] = []
    before: BandLaid | None = None
    for band in laid.bands:
        segments = [Segment(band, first, rows, start) for first, rows, start in band.segments]
        if before is not None and goes_on(before, band):
            out[-1] += segments
        else:
            out += [[segment] for segment in segments]
        before = band
    folded = laid.design.base.begin == "folded" and bool(laid.bands) and len(laid.bands[0].colours) == 2
    return [Course(tuple(segments), folded and nth == 0) for nth, segments in enumerate(out)]
