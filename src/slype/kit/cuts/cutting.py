"""How to cut a reed: which strand gives which pieces, with a bound that says how near the best the plan is.

A cutting-stock problem with strands of unequal length (P. C. Gilmore, R. E. Gomory, Operations Research 9 (1961) 849):
a column is one way to cut one strand in one colour. A linear programme over columns, each new one found by a knapsack
over whole steps of length, gives a bound that no plan can beat; an integer programme over the columns found gives the
plan. Weavers that may be pieced in several ways are columns too: each takes the pieces of one of its ways.

Lengths are whole steps of `step_mm`, pieces rounded up and strands down, so that what comes out can be cut.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from dataclasses import dataclass

from .columns import Master
from .hand import by_hand, hand_made
from .values import Bar, Found, Item, whole_bound


@dataclass(frozen=True)
class Stock:
    """Strands of one length to cut from: `length_mm`, `count` (None: as many as are bought), `colour` ("natural" reed
    takes any, dyed before it is cut), `cost` of taking one, of what the plan aims at; sold `per_pack` to a pack, which
    then costs `pack_cost`; `name` for the lists."""

    length_mm: float
    count: int | None
    colour: str = "natural"
    cost: float = 0.0
    per_pack: int = 0
    pack_cost: float = 0.0
    name: str = ""


@dataclass(frozen=True)
class Order:
    """`count` pieces of `length_mm` in one colour."""

    length_mm: float
    colour: str
    count: int


@dataclass(frozen=True)
class Choice:
    """`count` times one of `ways`, each a tuple of (length mm, colour, count)."""

    count: int
    ways: tuple[tuple[tuple[float, str, int], ...], ...]


@dataclass(frozen=True)
class Problem:
    """All of one reed: what there is, what is wanted."""

    stock: tuple[Stock, ...]
    orders: tuple[Order, ...]
    choices: tuple[Choice, ...] = ()


@dataclass(frozen=True)
class Pattern:
    """`times` strands of stock number `stock` (from 0), in `colour`, each cut into `pieces` (length mm, count)."""

    stock: int
    colour: str
    pieces: tuple[tuple[float, int], ...]
    times: int

    @property
    def cut_mm(self) -> float:
        """All pieces of one strand together."""
        return sum(mm * many for mm, many in self.pieces)


@dataclass(frozen=True)
class CuttingPlan:
    """A plan: `patterns`; `chosen[i]` how often each way of choice i is taken; its `cost` and the `bound` that no plan
    can go below; `missing` (length mm, colour, count) what no strand was left for; whether `stopped` by the time."""

    patterns: tuple[Pattern, ...]
    chosen: tuple[tuple[int, ...], ...]
    cost: float
    bound: float
    missing: tuple[tuple[float, str, int], ...] = ()
    packs: tuple[int, ...] = ()
    stopped: bool = False

    @property
    def gap(self) -> float:
        """How much better a plan could be at most, as a share of this one; 0 where it is proven best."""
        return max(0.0, (self.cost - self.bound) / self.cost) if self.cost > 0 else 0.0

    @property
    def proven(self) -> bool:
        """True when no plan is better."""
        return self.gap < 1e-6


def cut(problem: Problem, seconds: float = 10.0, known_bound: float | None = None) -> CuttingPlan:
    """The best plan found within about `seconds`, with its bound. Pieces longer than every strand come out missing.

    `known_bound` is a bound from a problem that allows more: a plan that comes near it (NEAR) is not bettered further.
    """
    if not problem.orders and not problem.choices:
        return CuttingPlan((), (), 0.0, 0.0, (), tuple(0 for _ in problem.stock))
    bars, items, keys, choices = _in_steps(problem)
    master = Master(bars, items, choices)
    _begin(master)
    costs = [bar.cost for bar in bars] + [bar.pack_cost for bar in bars if bar.per_pack]
    relaxed, proven = master.relax(seconds / 2)
    bound = whole_bound(relaxed, costs) if proven else relaxed
    quick = [hand_made(bars, items, choices), master.rounded()]
    # Where the time is too short for anything better, what is there at once will do.
    best = master.whole_numbers(seconds / 4)
    tried = quick if best is None else [best, *quick]
    found = min(tried, key=lambda each: (sum(each.missing.values()), each.cost))
    # Every column worth having, where these are few: then what the solver proves holds for all plans.
    enough = known_bound is not None and found.cost <= known_bound * (1 + NEAR)
    if proven and not found.missing and not enough and found.cost > bound + 1e-9 * found.cost:
        found, bound = _better(master, found, relaxed, bound, costs, seconds / 4)
    missing = tuple((keys[i][0], keys[i][1], n) for i, n in found.missing.items())
    return CuttingPlan(
        tuple(_pattern(b, colour, pieces, times, keys) for b, colour, pieces, times in found.patterns),
        tuple(found.chosen),
        found.cost,
        min(bound, found.cost) if not missing else 0.0,
        missing,
        tuple(found.packs),
        found.stopped,
    )


def _better(
    master: Master, found: Found, relaxed: float, bound: float, costs: list[float], seconds: float
) -> tuple[Found, float]:
    """(a plan at least as good, a bound at least as high) from every column that could be part of a better plan."""
    if not master.complete(found.cost - relaxed, MOST_COLUMNS):
        return found, bound
    again = master.whole_numbers(seconds)
    if again is None or again.missing:
        return found, bound
    return min(again, found, key=lambda each: each.cost), max(bound, again.bound)


NEAR = 0.01
"""Within a hundredth of the best is near enough where a better plan would only be proven among fewer (the speed that
was asked of large classes)."""
MOST_COLUMNS = 20_000
"""With more columns than these a proof is not tried."""


def _pattern(bar: int, colour: str, pieces: dict[int, int], times: int, keys: list[tuple[float, str]]) -> Pattern:
    cuts = sorted(((keys[i][0], n) for i, n in pieces.items()), reverse=True)
    return Pattern(bar, colour, tuple(cuts), times)


def _begin(master: Master) -> None:
    """First columns: those of the plan made by hand, and of every piece as many as one strand holds."""
    for which, colour, pieces in by_hand(master.bars, master.items, master.choices):
        master.add(which, colour, pieces)
    for i, item in enumerate(master.items):
        for b, bar in enumerate(master.bars):
            many = min(item.most, bar.length // item.length)
            if many and bar.colour in (item.colour, "natural"):
                master.add(b, item.colour, {i: many})


# Whole steps ---------------------------------------------------------------------------------------------------

TENTH = 10
"""Lengths are read to a tenth of a millimetre, which holds every half inch."""
MOST_STEPS = 4000
"""More steps to a strand than these are made coarser, pieces up and strands down."""


def _step(pieces: list[int], strands: list[int]) -> int:
    """The step for these lengths: the largest that all pieces are whole numbers of. Where that is too fine (pieces in
    inches beside some in centimetres), a coarser one in which a piece as long as a whole strand still fits in it."""
    exact = math.gcd(*pieces) if pieces else 1
    coarse = math.ceil(max(strands, default=1) / MOST_STEPS)
    if coarse <= exact:
        return exact
    pairs = itertools.product(set(pieces), set(strands))
    tight = [(piece, strand) for piece, strand in pairs if strand - 3 * coarse < piece <= strand]
    fits = (
        step
        for step in range(coarse, 3 * coarse)
        if all(math.ceil(piece / step) <= strand // step for piece, strand in tight)
    )
    return next(fits, exact)


def _in_steps(
    problem: Problem,
) -> tuple[list[Bar], list[Item], list[tuple[float, str]], list[tuple[int, list[dict[int, int]]]]]:
    """(bars, items, (length mm, colour) of each item, choices), in whole steps of one length."""
    least: Counter[tuple[float, str]] = Counter()
    for order in problem.orders:
        least[order.length_mm, order.colour] += order.count
    most = Counter(least)
    for choice in problem.choices:
        wanted: dict[tuple[float, str], int] = {}
        for way in choice.ways:
            for mm, colour, many in way:
                wanted[mm, colour] = max(wanted.get((mm, colour), 0), many)
        for key, many in wanted.items():
            most[key] += many * choice.count
    keys = sorted(most, key=lambda key: (-key[0], key[1]))
    tenths = [math.ceil(mm * TENTH - 1e-6) for mm, _ in keys]
    step = _step(tenths, [math.floor(stock.length_mm * TENTH + 1e-6) for stock in problem.stock])
    items = [
        Item(max(1, math.ceil(length / step)), key[1], least[key], most[key])
        for key, length in zip(keys, tenths, strict=True)
    ]
    bars = [
        Bar(
            math.floor((stock.length_mm * TENTH + 1e-6) / step), stock.count, stock.colour, stock.cost,
            stock.per_pack, stock.pack_cost,
        )
        for stock in problem.stock
    ]  # fmt: skip
    index = {key: i for i, key in enumerate(keys)}
    choices = []
    for choice in problem.choices:
        ways = []
        for way in choice.ways:
            pieces: Counter[int] = Counter()
            for mm, colour, many in way:
                pieces[index[mm, colour]] += many
            ways.append(dict(pieces))
        choices.append((choice.count, ways))
    return bars, items, keys, choices
