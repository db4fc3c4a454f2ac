"""From a cutting plan to the bench: which piece of which strand goes into which bundle of which seat.

Kits of one basket are alike: each of its courses is pieced in one way in every kit, so that one sheet and one lesson
hold for all of them, and what stands on kit, label, sheet and lesson is one figure. A cutting plan may mix ways to save
reed; every basket gets the way that it takes most, what is cut then is planned anew, and held against the bound of the
plan that was free to mix.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from dataclasses import dataclass, replace

from ..plans.bundles import bundles
from ..plans.planning import Pull, plan
from ..reeds import Reed
from .cuts.cutting import Choice, CuttingPlan, Order, Problem, Stock
from .seats import Basket, Kit
from .values import USEFUL_MM
from .wanted import Pieced, Wanted

Ways = tuple[tuple[tuple[float, str, int], ...], ...]
"""Ways of piecing: of each its pieces, (length mm, colour, count)."""


@dataclass(frozen=True)
class Piece:
    """One piece as it is cut: `length_mm`, and the `seat` and number of the `bundle` that it goes into."""

    length_mm: float
    seat: int
    bundle: int


@dataclass(frozen=True)
class Strand:
    """One strand as it is cut: `number` from 1 in cutting order, what it is cut from (`source` "shelf" or "bought",
    `length_mm`, in the colour `lies`: natural where it is dyed for the class), the `colour` it has when it is cut, its
    `pieces` from the first end, and what is `left_mm`."""

    number: int
    source: str
    length_mm: float
    colour: str
    pieces: tuple[Piece, ...]
    left_mm: float
    lies: str = "natural"


@dataclass(frozen=True)
class ReedCut:
    """One reed cut for the whole class: the `problem`, the solver's `plan` and every `strand`; what `missing` pieces
    no strand is long enough for: (length mm, colour, count). `taken` (seat, course, which of its ways). `free_bound`
    what no plan can go below that pieces every kit in whichever way it likes; None where there is only one way."""

    reed: Reed
    problem: Problem
    plan: CuttingPlan
    strands: tuple[Strand, ...]
    missing: tuple[tuple[float, str, int], ...]
    taken: tuple[tuple[int, Pieced, int], ...] = ()
    asked_useful_mm: float | None = None
    free_bound: float | None = None

    @property
    def alike_costs(self) -> float:
        """What it costs at most that kits of one basket are pieced alike, as a share of the plan's cost."""
        if self.free_bound is None or self.plan.cost <= 0 or self.plan.missing:
            return 0.0
        return max(0.0, (self.plan.cost - self.free_bound) / self.plan.cost)

    @property
    def useful_mm(self) -> float:
        """From what length on an end is worth keeping, shorter ones being scrap: as the class says, else the shortest
        piece that it cuts from this reed, and a foot at least: a shorter one would be of no use to the next class."""
        if self.asked_useful_mm is not None:
            return self.asked_useful_mm
        pieces = [piece.length_mm for strand in self.strands for piece in strand.pieces]
        return max(USEFUL_MM, min(pieces, default=USEFUL_MM))

    @property
    def scrap_mm(self) -> float:
        """Length of all ends that are too short to be worth keeping."""
        return sum(s.left_mm for s in self.strands if s.left_mm < self.useful_mm - 1e-6)

    @property
    def kept_mm(self) -> float:
        """Length of all ends that are worth keeping."""
        return sum(s.left_mm for s in self.strands if s.left_mm >= self.useful_mm - 1e-6)

    @property
    def taken_mm(self) -> float:
        """Length of all strands that are cut."""
        return sum(strand.length_mm for strand in self.strands)

    @property
    def cut_mm(self) -> float:
        """Length of all pieces."""
        return sum(piece.length_mm for strand in self.strands for piece in strand.pieces)

    @property
    def offcuts(self) -> list[tuple[str, float, int]]:
        """(colour, length mm, count) of ends that are worth keeping, the longest first."""
        many = Counter((s.colour, round(s.left_mm, 1)) for s in self.strands if s.left_mm >= self.useful_mm - 1e-6)
        return [(colour, mm, n) for (colour, mm), n in sorted(many.items(), key=lambda item: -item[0][1])]


def problem_of(
    asked: Wanted, kits: tuple[Kit, ...], stock: tuple[Stock, ...]
) -> tuple[Problem, list[tuple[float, str, int]]]:
    """(the cutting problem of one reed, pieces longer than every strand as (length mm, colour, count)).

    Courses that are pieced alike are one choice, made as often as there are seats that weave them.
    """
    longest = max((each.length_mm for each in stock), default=0.0) + 1e-6
    seats = Counter(id(kit.basket) for kit in kits)
    too_long: Counter[tuple[float, str]] = Counter()
    orders: Counter[tuple[float, str]] = Counter()
    choices: Counter[Ways] = Counter()
    for piece in asked.fixed:
        into = orders if piece.length_mm <= longest else too_long
        into[piece.length_mm, piece.colour] += piece.count * seats[id(piece.basket)]
    for each in asked.pieced:
        many = seats[id(each.basket)]
        choices[_alike(each, longest)] += many
        for mm, colour, _, n in each.ways[0] if each.ways[0][0][0] > longest else ():
            too_long[mm, colour] += n * many if mm > longest else 0
    return Problem(
        stock,
        tuple(Order(mm, colour, n) for (mm, colour), n in orders.items()),
        tuple(Choice(n, ways) for ways, n in choices.items()),
    ), [(mm, colour, n) for (mm, colour), n in too_long.items() if n]


def _alike(each: Pieced, longest: float) -> Ways:
    """Its ways without the numbers of bundles, and without what no strand is long enough for."""
    return tuple(tuple((mm, colour, n) for mm, colour, _, n in way if mm <= longest) for way in each.ways)


def assign(asked: Wanted, kits: tuple[Kit, ...], problem: Problem, plan: CuttingPlan) -> tuple[Strand, ...]:
    """Every strand with its pieces, each piece for a seat and a bundle, in cutting order.

    Strands cut alike follow each other, those from the shelf first, the longest pieces first within them.
    """
    waiting = _waiting(asked, kits, problem, plan)
    out: list[Strand] = []
    order = sorted(
        plan.patterns,
        key=lambda p: (p.colour, problem.stock[p.stock].name != "shelf", p.stock, [-mm for mm, _ in p.pieces]),
    )
    for pattern in order:
        stock = problem.stock[pattern.stock]
        for _ in range(pattern.times):
            pieces, left = [], stock.length_mm
            for mm, many in pattern.pieces:
                for _ in range(many):
                    line = waiting.get((mm, pattern.colour))
                    if not line:  # one more than anybody asked for stays on the strand
                        continue
                    pieces.append(Piece(mm, *line.popleft()))
                    left -= mm
            if pieces:
                so_far, said = len(out), (stock.name, stock.length_mm, pattern.colour, tuple(pieces), left)
                out.append(Strand(so_far + 1, *said, stock.colour))
    return tuple(out)


def _waiting(
    asked: Wanted, kits: tuple[Kit, ...], problem: Problem, plan: CuttingPlan
) -> dict[tuple[float, str], deque]:
    """(length mm, colour) -> (seat, bundle) of every piece wanted, seat by seat."""
    wanted: dict[tuple[float, str], list[tuple[int, int]]] = defaultdict(list)
    of_basket: dict[int, list[int]] = {}
    for kit in kits:
        of_basket.setdefault(id(kit.basket), []).append(kit.seat.number)
    for piece in asked.fixed:
        for seat in of_basket[id(piece.basket)]:
            wanted[piece.length_mm, piece.colour] += [(seat, piece.bundle.number)] * piece.count
    for seat, each, way in ways_taken(asked, kits, problem, plan):
        for mm, colour, bundle, n in each.ways[way]:
            wanted[mm, colour] += [(seat, bundle)] * n
    return {key: deque(sorted(line)) for key, line in wanted.items()}


def ways_taken(
    asked: Wanted, kits: tuple[Kit, ...], problem: Problem, plan: CuttingPlan
) -> list[tuple[int, Pieced, int]]:
    """(seat, course, which of its ways) of every course that every seat weaves, as the plan pieces it."""
    longest = max((each.length_mm for each in problem.stock), default=0.0) + 1e-6
    of_basket: dict[int, list[int]] = defaultdict(list)
    for kit in kits:
        of_basket[id(kit.basket)].append(kit.seat.number)
    left = {choice.ways: list(times) for choice, times in zip(problem.choices, plan.chosen, strict=True)}
    out = []
    for each in asked.pieced:
        times = left[_alike(each, longest)]
        for seat in of_basket[id(each.basket)]:
            way = next(i for i, many in enumerate(times) if many)
            times[way] -= 1
            out.append((seat, each, way))
    return out


# Kits of one basket alike ---------------------------------------------------------------------------------------


def kind(asked: Wanted) -> Wanted:
    """What is wanted of a reed, with only the ways that are kind to whoever weaves them (see `wanted.Pieced`)."""
    if all(all(each.good) for each in asked.pieced):
        return asked
    return replace(
        asked, pieced=tuple(each.only(*(i for i, good in enumerate(each.good) if good)) for each in asked.pieced)
    )


def with_one_way(asked: Wanted, kits: tuple[Kit, ...], problem: Problem, mixed: CuttingPlan) -> Wanted:
    """What is wanted of a reed, every basket's courses in one way alone: that which the plan takes most, baskets with
    many seats first."""
    longest = max((each.length_mm for each in problem.stock), default=0.0) + 1e-6
    seats = Counter(id(kit.basket) for kit in kits)
    left = {choice.ways: list(times) for choice, times in zip(problem.choices, mixed.chosen, strict=True)}
    chosen: dict[tuple, int] = {}
    for each in sorted(asked.pieced, key=lambda each: -seats[id(each.basket)]):
        times, key = left[_alike(each, longest)], _key(each)
        if key not in chosen:  # starts of one band that may be cut alike are
            chosen[key] = max(range(len(times)), key=lambda way: times[way])
        times[chosen[key]] -= seats[id(each.basket)]
    return replace(asked, pieced=tuple(each.only(chosen[_key(each)]) for each in asked.pieced))


def with_sure_way(asked: Wanted, problem: Problem) -> Wanted:
    """The same with the ways that do not depend on how many long strands lie on the shelf."""
    endless = max((each.length_mm for each in problem.stock if each.count is None), default=0.0) + 1e-6
    found = [next((i for i, way in enumerate(each.ways) if way[0][0] <= endless), 0) for each in asked.pieced]
    return replace(asked, pieced=tuple(each.only(way) for each, way in zip(asked.pieced, found, strict=True)))


def _key(each) -> tuple:
    return id(each.basket), each.lid, each.course.bands[0], each.ways


def as_cut(kits: tuple[Kit, ...], cuts: tuple[ReedCut, ...]) -> tuple[Kit, ...]:
    """The kits with plans of their baskets that piece every weaver as it is cut."""
    pulls: dict[int, dict[tuple[bool, int], float]] = {}
    for cut in cuts:
        for _, each, way in cut.taken:
            mm = each.pulls_mm[way]
            if mm is not None:
                pulls.setdefault(id(each.basket), {})[each.lid, each.nth] = mm
    fresh = {id(kit.basket): kit.basket for kit in kits}
    fresh = {key: _pulled(basket, pulls[key]) if key in pulls else basket for key, basket in fresh.items()}
    return tuple(replace(kit, basket=fresh[id(kit.basket)]) for kit in kits)


def _pulled(basket: Basket, pull: Pull) -> Basket:
    before = basket.plan
    made = plan(before.design, before.at_rest, before.first_time, pull)
    return replace(basket, plan=made, bundles=bundles(made))
