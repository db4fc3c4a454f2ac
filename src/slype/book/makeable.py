"""What can I make from what I have? Each design at a few sizes, held against the shelf.

A design fits when of every reed and colour the shelf has at least what its plan would have cut, pieces that stand and
weavers together. Lots counted by weight are taken at the reed's own length per weight. Whether single strands are long
enough for the longest spoke the shelf cannot tell where it was counted as a total; it is said for a maker to look.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..design.file.reader import parse
from ..design.values import Design
from ..errors import DesignError, SlypeError
from ..kit.seats import changed
from ..kit.values import DesignText, Seat
from ..plans.planning import Plan, plan
from ..reeds import reed_named
from .shelf import Lot

LEAST_SHARE = 0.6
"""A weaver shrinks with the area of its wall, and by up to this share more where a band's few rows are rounded down."""
SIZES = (1.0, 0.9, 0.8, 1.1)
"""Sizes tried of every design, as shares of its own: the design as it is, then the smaller, then a larger one."""


@dataclass(frozen=True)
class Need:
    """Of one reed and colour: `wanted_mm` in all, `there_mm` on the shelf, `longest_mm` the longest piece of it."""

    reed: str
    colour: str
    wanted_mm: float
    there_mm: float
    longest_mm: float

    @property
    def enough(self) -> bool:
        """True when the shelf has all of it."""
        return self.there_mm >= self.wanted_mm

    @property
    def left_mm(self) -> float:
        """What the shelf would keep; below 0 what it lacks."""
        return self.there_mm - self.wanted_mm


@dataclass(frozen=True)
class Offer:
    """A design at a size: what it would use and leave. `text` of the design file at that size."""

    name: str
    size: float
    title: str
    text: str
    needs: tuple[Need, ...]

    @property
    def fits(self) -> bool:
        """True when the shelf has all of it."""
        return all(need.enough for need in self.needs)

    @property
    def lacks(self) -> tuple[Need, ...]:
        """What there is too little of."""
        return tuple(need for need in self.needs if not need.enough)


def on_the_shelf(found: Iterable[Lot]) -> dict[tuple[str, str], float]:
    """mm of each reed and colour."""
    out: dict[tuple[str, str], float] = {}
    for lot in found:
        mm = lot.amount
        if lot.unit == "g":
            try:
                mm = lot.amount / reed_named(lot.reed).g_per_mm
            except DesignError:  # a reed of the maker's own whose weight the series does not know
                continue
        key = lot.reed, lot.colour
        out[key] = out.get(key, 0.0) + mm
    return out


def needs_of(made: Plan, shelf: dict[tuple[str, str], float]) -> tuple[Need, ...]:
    """What one basket needs of each reed and colour, its lid included."""
    wanted: dict[tuple[str, str], float] = {}
    longest: dict[tuple[str, str], float] = {}
    for each in (made, made.lid):
        for amount in each.amounts if each is not None else ():
            key = amount.reed.key or amount.reed.name, amount.colour
            wanted[key] = wanted.get(key, 0.0) + amount.length_mm
        for piece in each.pieces if each is not None else ():
            key = piece.reed.key or piece.reed.name, piece.colour
            longest[key] = max(longest.get(key, 0.0), piece.cut_mm)
    return tuple(Need(*key, mm, shelf.get(key, 0.0), longest.get(key, 0.0)) for key, mm in wanted.items())


def at_size(name: str, text: str, size: float) -> tuple[str, Design]:
    """(text, design) at `size` times its own size, as a class would weave it. Raises DesignError."""
    design = parse(text, name)
    if size == 1.0:
        return text, design
    seat = Seat(1, name, design.hand, design.wording, design.units, size=size)
    scaled, _ = changed(DesignText(name, text), seat)
    return scaled, parse(scaled, name)


def offers(designs: Sequence[tuple[str, str]], found: Iterable[Lot], sizes: Sequence[float] = SIZES) -> list[Offer]:
    """For each (name, text) the first size of `sizes` for which the shelf has enough, or its own size with what is
    lacking; those that fit come first. A design that cannot be read or woven is passed over."""
    shelf = on_the_shelf(found)
    out = []
    for name, text in designs:
        first: Offer | None = None
        for size in sizes:
            if first is not None and _never(first, size):
                continue
            try:
                scaled, design = at_size(name, text, size)
                made = plan(replace(design))  # a copy has no file behind it: no remedy is tried on that
            except SlypeError:
                continue
            if any(finding.rule.weight == "stop" for finding in made.advice):
                continue
            offer = Offer(name, size, made.design.title, scaled, needs_of(made, shelf))
            first = first or offer
            if offer.fits:
                first = offer
                break
        if first is not None:
            out.append(first)
    return sorted(out, key=lambda offer: (not offer.fits, len(offer.lacks)))


def _never(first: Offer, size: float) -> bool:
    """True where a design that lacked reed at its `first` size cannot have enough at another: larger takes no less, and
    smaller takes at least LEAST_SHARE of what its area would say."""
    if size >= first.size:
        return True
    least = LEAST_SHARE * (size / first.size) ** 2
    return any(need.there_mm < least * need.wanted_mm for need in first.needs)
