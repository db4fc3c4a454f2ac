"""Where weavers run out, and how to cut the first ones so that joins fall well. Level 6.

A weaver comes in reeds of finite length. Each join overlaps old end and new in one space, which costs OVERLAP_MM of
every reed. Cutting the first reeds of a band to different lengths moves the joins apart and off the start line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

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
    """Joins of one band and, for each weaver, the length of its first piece in mm (None: one reed is enough)."""

    joins: tuple[Join, ...]
    first_mm: tuple[float | None, ...]


def plan_joins(laid: Laid) -> list[JoinPlan]:
    """The joins of every band, in order."""
    return [_plan_band(band) for band in laid.bands]


def _plan_band(band: BandLaid) -> JoinPlan:
    usable = band.band.usable_mm
    chosen: list[Join] = []
    first: list[float | None] = []
    for weaver, colours in enumerate(band.colours):
        if _longest_run(band) + 2 * TUCK_MM <= usable:
            first.append(None)
            continue
        # The first pieces differ, so the best is sought among a few shares; later weavers keep clear of earlier ones.
        shares = FIRST_CUTS if len(band.colours) <= MOST_PLANNED else (1.0,)
        tries = [(share, _joins_of(band, weaver, colours, usable, share)) for share in shares]
        share, joins = max(tries, key=lambda t: (_worst_gap(band, t[1], chosen), t[0]))
        chosen += joins
        first.append(share * usable)
    return JoinPlan(tuple(chosen), tuple(first))


def _longest_run(band: BandLaid) -> float:
    return max(float(band.row_mm[first : first + rows].sum()) for first, rows, _ in band.segments)


def _joins_of(band: BandLaid, weaver: int, colours: tuple[str, ...], usable: float, share: float) -> list[Join]:
    out = []
    net = max(usable - OVERLAP_MM, usable / 2)
    for first, rows, start in band.segments:
        run = np.r_[0.0, np.cumsum(band.row_mm[first : first + rows])]
        at = max(share * usable - TUCK_MM - OVERLAP_MM / 2, usable / 4)
        while at < run[-1] - TUCK_MM:
            row = int(np.searchsorted(run, at, side="right")) - 1
            part = (at - run[row]) / (run[row + 1] - run[row])
            out.append(
                Join(band.index, weaver, first + row, int(start + weaver + part * band.spaces) % band.spaces, colours)
            )
            at += net
    return out


def _worst_gap(band: BandLaid, new: list[Join], old: list[Join]) -> float:
    """Spaces between the two nearest joins of neighbouring rows, or to the start line; never more than is useful."""
    gap = float(band.spaces)
    for i, join in enumerate(new):
        gap = min(gap, _round(join.space - band.band.start, band.spaces))
        for other in [*old, *new[:i]]:
            if abs(other.row - join.row) <= 1:
                gap = min(gap, _round(join.space - other.space, band.spaces))
    return min(gap, 2 * CLEAR_SPACES)


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
