"""A piece to cut, and how its length opens into parts. Shared by the plan and what is fitted to a basket."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..reeds import Reed

SPARE_MM = 12.7
"""Added to each end of a spoke or handle for an untrue cut (common practice, no source)."""
CUT_STEP_MM = {"in": 12.7, "cm": 10.0}
"""Pieces are cut to the next half inch, or centimetre."""

LengthPart = tuple[str, float, str, str]  # name, mm, why, source id
USES = ("begin", "insert", "add", "foot", "handle")
"""When a piece is taken up: as the base is begun, as side spokes are pushed in, before a band, for a foot, a handle."""


@dataclass(frozen=True)
class Piece:
    """Pieces to cut alike: `name`, `count`, `reed`, `colour`, expected `length_mm`, `cut_mm` rounded up, `parts`;
    `use` of USES says when they are taken up, `band` before which one (an index) for "add"; `share` of baskets in
    which it is long enough, where a maker's gauge says so."""

    name: str
    count: int
    reed: Reed
    colour: str
    length_mm: float
    cut_mm: float
    range_mm: tuple[float, float]
    parts: tuple[LengthPart, ...]
    use: str = "begin"
    band: int | None = None
    share: float | None = None


def piece_of(
    name: str,
    count: int,
    reed: Reed,
    colour: str,
    parts: list[LengthPart],
    spread: tuple[float, ...],
    units: str,
    share: float | None = None,
) -> Piece:
    """A piece whose length is the sum of `parts`; `spread` mm is how much shorter (negative) or longer it may be. With
    `share` it is cut to be long enough in that share of baskets, `spread` then being a `gauge.Swing`."""
    length = sum(part[1] for part in parts)
    low, high, *enough = spread
    wanted = length if share is None else length + sum(enough)
    between = (length + low, length + high)
    cut = round_up(wanted, CUT_STEP_MM[units])
    return Piece(name, count, reed, colour, length, cut, between, tuple(parts), share=share)


def cut_longer(piece: Piece, units: str) -> Piece:
    """The piece cut to the longer figure of its range, as for a first basket; one that a gauge speaks of stays."""
    longer = longer_mm(piece, units)
    return piece if piece.share is not None or longer <= piece.cut_mm else replace(piece, cut_mm=longer)


def longer_mm(piece: Piece, units: str) -> float:
    """The longer figure of a piece's range, as it is cut."""
    return round_up(piece.range_mm[1], CUT_STEP_MM[units])


def round_up(mm: float, step: float) -> float:
    """The next whole `step`; a float a hair above one is on it."""
    return math.ceil(mm / step - 1e-9) * step
