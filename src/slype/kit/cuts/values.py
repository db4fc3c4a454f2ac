"""What is cut and from what, in whole steps of length; what came out. See `kit.cuts.cutting` for lengths in mm."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Bar:
    """Strands of one kind, in steps: see `cutting.Stock`."""

    length: int
    count: int | None
    colour: str
    cost: float
    per_pack: int
    pack_cost: float


@dataclass(frozen=True)
class Item:
    """Pieces of one `length` in steps and one `colour`; `least` wanted in any case, `most` with every choice."""

    length: int
    colour: str
    least: int
    most: int


@dataclass
class Found:
    """What came out: `patterns` (bar, colour, {item: count}, times), `chosen` per choice, `missing` per item."""

    patterns: list[tuple[int, str, dict[int, int], int]] = field(default_factory=list)
    chosen: list[tuple[int, ...]] = field(default_factory=list)
    missing: dict[int, int] = field(default_factory=dict)
    packs: list[int] = field(default_factory=list)
    cost: float = 0.0
    bound: float = 0.0
    stopped: bool = False


def cost_of(bars: list[Bar], found: Found) -> float:
    """What a plan costs, added up anew: strands and packs, without what is missing."""
    used: Counter[int] = Counter()
    for bar, _, _, times in found.patterns:
        used[bar] += times
    return sum(bars[b].cost * n for b, n in used.items()) + sum(
        bar.pack_cost * packs for bar, packs in zip(bars, found.packs, strict=True)
    )


def whole_bound(bound: float, costs: list[float]) -> float:
    """The bound lifted to what whole strands can cost: a sum of these costs, where they are whole multiples of one."""
    scaled = [round(cost * 1000) for cost in costs if cost > 0]
    if not scaled or any(abs(cost * 1000 - round(cost * 1000)) > 1e-6 for cost in costs):
        return bound
    unit = math.gcd(*scaled) / 1000
    return math.ceil(bound / unit - 1e-6) * unit
