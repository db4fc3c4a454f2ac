"""What to buy, pack by pack, what it costs and what will be left; and what a neighbouring size would do instead."""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, replace

from ..design.file import reader
from ..design.file.reader import tables_of
from ..design.values import Design
from ..edit.apply import apply
from ..errors import SlypeError
from ..plans.planning import Plan, plan
from ..reeds import REEDS, Reed
from .assigned import ReedCut
from .chance import Enough, enough
from .seats import Basket
from .stock import pack_of, shelf_of
from .values import Class


@dataclass(frozen=True)
class Line:
    """One reed to buy: `strands` of `strand_mm` (the shortest of a range up to `longest_mm`) that the plan takes beyond
    the shelf, `packs` of `mass_g` reckoned as `per_pack` strands, `cost` (None: no price), `left` strands of the last
    pack; `used` of `shelf` strands. `sure` where lengths were not measured: how many packs are enough with the stated
    chance."""

    reed: Reed
    strands: int
    strand_mm: float
    packs: int
    mass_g: float
    price: float | None
    cost: float | None
    left: int
    used: int
    shelf: int
    per_pack: int
    longest_mm: float
    sure: Enough | None = None

    @property
    def needed(self) -> int:
        """Strands to buy: those of the plan, or as many as are enough with the stated chance."""
        return self.strands if self.sure is None else self.sure.strands

    @property
    def price_mm(self) -> float | None:
        """Price of a millimetre, a pack being so many strands of the length that the plan takes them for."""
        return None if self.price is None else self.price / (self.per_pack * self.strand_mm)

    @property
    def bought_mm(self) -> float:
        """Length of new reed that is used up, in the middle one of all cases."""
        return (self.strands if self.sure is None else self.sure.usual_strands) * self.strand_mm


def shopping(asked: Class, reeds: tuple[ReedCut, ...]) -> tuple[Line, ...]:
    """A line for every reed that the class uses, also where nothing has to be bought."""
    return tuple(_line(asked, cut) for cut in reeds)


def _line(asked: Class, cut: ReedCut) -> Line:
    pack = pack_of(asked, cut.reed)
    bought = sum(strand.source == "bought" for strand in cut.strands)
    used = len(cut.strands) - bought
    shelf = sum(each.count for each in shelf_of(asked, cut.reed))
    sure = None
    packs = math.ceil(bought / pack.strands)
    if pack.shortest_mm is not None and bought:
        pieces = [p.length_mm for strand in cut.strands if strand.source == "bought" for p in strand.pieces]
        sure = enough(pieces, pack.shortest_mm, pack.strand_mm, pack.strands, asked.rules.chance, asked.rules.seed)
        packs = sure.packs
    cost = None if pack.price is None else packs * pack.price
    left = max(0, packs * pack.strands - (bought if sure is None else sure.strands))
    return Line(
        cut.reed, bought, pack.shortest_mm or pack.strand_mm, packs, pack.mass_g, pack.price, cost, left, used, shelf,
        pack.strands, pack.strand_mm, sure,
    )  # fmt: skip


# Neighbouring sizes --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Substitute:
    """Another size in the place of a `reed`: what it does to the usual basket. `height_mm` and `spoke_mm` by how much
    it grows (below 0: shrinks), `mass` times as heavy what takes its place, `fresh` (weight, message) of advice that
    was not given before; `trouble` why it cannot be woven at all."""

    reed: Reed
    other: Reed
    height_mm: float = 0.0
    spoke_mm: float = 0.0
    mass: float = 1.0
    fresh: tuple[tuple[str, str], ...] = ()
    trouble: str = ""


_KNOWN: deque[tuple[tuple[object, ...], tuple[Substitute, ...]]] = deque(maxlen=8)
"""Substitutes found lately, and for what: a class is worked anew with every letter that its teacher types."""


def substitutes(basket: Basket) -> tuple[Substitute, ...]:
    """The next thinner and the next thicker size for every reed of a basket, each worked out as a design of its own."""
    asked = basket.text, basket.design, basket.plan.first_time, basket.plan.pull, basket.plan.at_rest is None
    found = next((known for of, known in _KNOWN if of == asked), None)
    if found is None:
        found = _substitutes(basket)
        _KNOWN.append((asked, found))
    return found


def _substitutes(basket: Basket) -> tuple[Substitute, ...]:
    used = list(dict.fromkeys(amount.reed for amount in basket.plan.amounts))
    out = []
    for reed in used:
        out += [_worked(basket, reed, other) for other in neighbours(reed)]
    return tuple(out)


def neighbours(reed: Reed) -> list[Reed]:
    """The next thinner and the next thicker size of the same series."""
    series = sorted((each for each in REEDS.values() if each.series == reed.series), key=lambda each: each.diameter_mm)
    thinner = [each for each in series if each.diameter_mm < reed.diameter_mm - 1e-9]
    thicker = [each for each in series if each.diameter_mm > reed.diameter_mm + 1e-9]
    return [*thinner[-1:], *thicker[:1]]


def _worked(basket: Basket, reed: Reed, other: Reed) -> Substitute:
    tables = tables_of(basket.text)
    changes = [{"set": path, "to": other.key} for path in _places(tables, reed.key)]
    if not changes:
        return Substitute(reed, other, trouble="it is measured by its thickness alone")
    try:
        text = apply(basket.text, changes, basket.design.name).text
        made = _quick(basket, reader.parse(text, basket.design.name))
    except SlypeError as trouble:
        return Substitute(reed, other, trouble=f"{trouble.message} {trouble.remedy}".strip())
    before = basket.plan if basket.plan.at_rest is None else _quick(basket, basket.design)
    told = {(each.rule.key, each.where) for each in before.advice}
    fresh = tuple(
        (each.rule.weight, f"{each.where}: {each.message}")
        for each in made.advice
        if (each.rule.key, each.where) not in told and each.rule.weight != "note"
    )
    more = _mass(made, other) - _mass(before, other)  # the basket may have had some of that size already
    return Substitute(
        reed, other, made.laid.finished_height_mm - before.laid.finished_height_mm,
        made.spokes.cut_mm - before.spokes.cut_mm, more / max(_mass(before, reed), 1e-9), fresh,
    )  # fmt: skip


def _quick(basket: Basket, design: Design) -> Plan:
    """The quick plan: sizes are compared by what stacked rows make of them, at the same pace and cut."""
    return plan(replace(design, pace=basket.design.pace), None, basket.plan.first_time)


def _mass(made: Plan, reed: Reed) -> float:
    return sum(amount.mass_g for amount in made.amounts if amount.reed.key == reed.key)


def _places(tables: object, key: str, path: tuple = ()) -> list[list]:
    """Every place of a design's tables that names this reed."""
    found: list[list] = []
    if isinstance(tables, dict):
        for name, value in tables.items():
            if name in ("reed", "base_reed", "core", "wrap", "weaver") and value == key:
                found.append([*path, name])
            elif name not in ("reeds", "colours", "prices"):
                found += _places(value, key, (*path, name))
    elif isinstance(tables, list):
        for i, value in enumerate(tables):
            found += _places(value, key, (*path, i))
    return found
