"""The table of lid seats and their geometry: how wide a lid must be to sit. No basket, no paper. Lengths mm.

A seat relates the lid's width across to the mouth it closes. `Mouth` says how wide the basket is where a lid could meet
it; `span` gives the width a lid should have, and `why_not` what is wrong with one of another width.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import found_by_name
from ..quantity import MM_PER_IN

PLAY_MM = MM_PER_IN / 8
"""Room left all round between a lid and what it fits in or over: an eighth of an inch, for damp days and for bases that
come out of round (common practice, no source)."""
MOST_SUNK_MM = MM_PER_IN
"""How far below the border an inside lid may come to rest before it counts as falling in (common practice, no
source)."""
MOST_OVERHANG_MM = MM_PER_IN / 2
"""How far a lid may stand out beyond its seat, or hang loose round it (common practice, no source)."""


@dataclass(frozen=True)
class Seat:
    """One way for a lid to sit: its name, whether it needs a side of its own (`has_side`), help, example, source."""

    name: str
    has_side: bool
    help: str
    example: str
    source: str


_ALL = (
    Seat(
        "inside",
        False,
        "A flat lid that goes down into the mouth and rests where the wall narrows below; only for a wall that flares.",
        'seat = "inside"',
        "practice",
    ),
    Seat(
        "on",
        False,
        "A flat lid that lies on the {border}, flush with its outside; a loop or two keeps it from sliding.",
        'seat = "on"',
        "practice",
    ),
    Seat(
        "over",
        True,
        "A lid with a low side of its own that goes over the {border} on the outside.",
        'seat = "over"\ndepth = "7/8 in"',
        "white",
    ),
)
SEATS: dict[str, Seat] = {seat.name: seat for seat in _ALL}


def seat_named(name: str, where: str = "") -> Seat:
    """The record of a seat. Raises DesignError, suggesting the nearest."""
    return found_by_name(name, "seat", SEATS, where)


@dataclass(frozen=True)
class Mouth:
    """Where a lid meets the basket: diameters `opening_mm` clear inside the border, `outside_mm` over the border;
    `inner` ((depth below the border, clear diameter there), ...) going down the wall."""

    opening_mm: float
    outside_mm: float
    inner: tuple[tuple[float, float], ...]

    def rests_at(self, across_mm: float) -> float | None:
        """How far below the border a lid so wide comes to rest, or None when it falls to the base."""
        if across_mm > self.opening_mm:
            return 0.0
        return next((depth for depth, clear in self.inner if clear <= across_mm), None)


def span(seat: Seat, mouth: Mouth, play_mm: float, side_mm: float = 0.0) -> float:
    """Width across that a lid should have: outside of a flat one; of one with a side, at the ring of its spokes, whose
    reeds stand `side_mm` inside of it."""
    if seat.name == "inside":
        return mouth.opening_mm - 2 * play_mm
    if seat.name == "on":
        return mouth.outside_mm
    return mouth.outside_mm + 2 * (play_mm + side_mm)


def why_not(seat: Seat, mouth: Mouth, across_mm: float, side_mm: float = 0.0) -> tuple[str, str] | None:
    """(what is wrong, what would be right) with a lid so wide, or None when it sits."""
    if seat.name == "inside":
        sunk = mouth.rests_at(across_mm)
        if across_mm > mouth.opening_mm:
            return (
                f"it is {_cm(across_mm)} across, larger than its seat: the mouth is {_cm(mouth.opening_mm)} clear.",
                'Make it smaller, leave across out, or use seat = "on".',
            )
        if sunk is None or sunk > MOST_SUNK_MM:
            far = "to the base" if sunk is None else f"{_cm(sunk)} down"
            return (
                f"it is {_cm(across_mm)} across and falls in, {far}: the wall does not narrow there to hold it.",
                'Flare the wall towards the mouth, give it less play, or use seat = "on".',
            )
        return None
    if seat.name == "on":
        least = (mouth.opening_mm + mouth.outside_mm) / 2
        if across_mm < least:
            return (
                f"it is {_cm(across_mm)} across and falls in or slips off: half of the border it lies on begins at "
                f"{_cm(least)}.",
                f"Make it {_cm(mouth.outside_mm)} across, or leave across out.",
            )
        if across_mm > mouth.outside_mm + 2 * MOST_OVERHANG_MM:
            return (
                f"it is {_cm(across_mm)} across, larger than its seat: the border is {_cm(mouth.outside_mm)} over all.",
                "Make it smaller, or leave across out.",
            )
        return None
    clear = across_mm - 2 * side_mm
    if clear < mouth.outside_mm:
        return (
            f"it is {_cm(clear)} clear inside and does not go over the border: {_cm(mouth.outside_mm)} over all.",
            "Make it larger, or leave across out.",
        )
    if clear > mouth.outside_mm + 2 * MOST_OVERHANG_MM:
        return (
            f"it is {_cm(clear)} clear inside, larger than its seat: the border is {_cm(mouth.outside_mm)} over all.",
            "Make it smaller, or leave across out.",
        )
    return None


def _cm(mm: float) -> str:
    return f"{mm / 10:.1f} cm ({mm / MM_PER_IN:.2f} in)"
