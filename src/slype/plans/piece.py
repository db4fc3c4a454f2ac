"""A piece to cut, and how its length opens into parts. Shared by the plan and what is fitted to a basket."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from ..design.rules import MOST_PIECE_MM
from ..design.values import Design
from ..errors import Unweavable
from ..quantity import show_length
from ..reeds import Reed
from ..words import say

CUT_STEP_MM = {"in": 12.7, "cm": 10.0}
"""Pieces are cut to the next half inch, or centimetre."""

LengthPart = tuple[str, float, str, str]  # name, mm, why, source id
SPARE = "to spare"
"""Name of the part of a length that is cut off when the basket is done."""
USES = ("begin", "insert", "add", "foot", "handle")
"""When a piece is taken up: as the base is begun, as side spokes are pushed in, before a band, for a foot, a handle."""


@dataclass(frozen=True)
class Piece:
    """Pieces to cut alike: `name`, `count`, `reed`, `colour`, expected `length_mm`, `cut_mm` rounded up, `parts`;
    `use` of USES says when they are taken up, `band` before which one (an index) for "add"; `share` of baskets in
    which it is long enough, where a maker's gauge says so; `table` of the file that it comes from."""

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
    table: str = "spokes"


def spare_of(piece: Piece) -> float:
    """How much of one such piece is there to be cut off; mm."""
    return sum(part[1] for part in piece.parts if part[0] == SPARE)


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


def check_pieces(design: Design, pieces: Iterable[Piece]) -> None:
    """Raises Unweavable where a piece to cut is longer than any reed, or shorter than nothing."""
    for piece in pieces:
        name, most = say(piece.name, design.wording), show_length(piece.cut_mm, design.units)
        if piece.cut_mm > MOST_PIECE_MM:
            longest = max(piece.parts, key=lambda part: part[1])
            raise Unweavable(
                f"each {name} would have to be {most} long, of which {show_length(longest[1], design.units)} for: "
                f"{longest[0]}.",
                design.at(piece.table),
                f"At most {MOST_PIECE_MM / 1000:g} m: make the basket smaller, stand more ends, or choose a border of "
                "shorter reach.",
            )
        least = min(piece.parts, key=lambda part: part[1])
        if least[1] < 0 or piece.length_mm <= 0:
            raise Unweavable(
                f"nothing is left of each {name} for: {least[0]}.", design.at(piece.table),
                "Make the basket larger, or what takes its length away smaller.",
            )  # fmt: skip
