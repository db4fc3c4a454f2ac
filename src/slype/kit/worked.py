"""A class worked from end to end: kits, cutting and all that follows from them. A class in, values out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from .assigned import ReedCut, as_cut, assign, kind, problem_of, ways_taken, with_one_way, with_sure_way
from .cuts.cutting import cut
from .dyeing import Bath, baths
from .findings import findings
from .finishing import Finish, finish
from .money import Money, money
from .seats import Kit, Settle, kits
from .shopping import Line, Substitute, shopping, substitutes
from .stock import lengths_of, stock_of
from .timetable import Timetable, timetable
from .values import Class, Remark
from .wanted import Wanted, key_of, wanted


@dataclass(frozen=True, eq=False)
class Worked:
    """Everything a class needs: what was `asked`, a `kit` for every seat, the `reeds` cut, what to buy (`lines`), the
    `baths` to dye, who will `finish`, `when` everything happens, the `sums` of money, `substitutes` for its reeds, and
    `remarks`, the gravest first."""

    asked: Class
    kits: tuple[Kit, ...]
    reeds: tuple[ReedCut, ...] = ()
    lines: tuple[Line, ...] = ()
    baths: tuple[Bath, ...] = ()
    finish: Finish | None = None
    when: Timetable | None = None
    sums: Money | None = None
    substitutes: tuple[Substitute, ...] = ()
    remarks: tuple[Remark, ...] = ()

    @property
    def settled(self) -> bool:
        """True where lengths are those of reeds at rest."""
        return bool(self.kits) and all(kit.basket.plan.at_rest is not None for kit in self.kits)

    @cached_property
    def units(self) -> dict[int, str]:
        """The units of every seat's kit, by the number of the seat."""
        return {kit.seat.number: kit.seat.units for kit in self.kits}

    @cached_property
    def lengths(self) -> dict[int, dict[int, list[float]]]:
        """Every piece that a seat's bundle holds, mm: {seat: {number of the bundle: lengths}}."""
        out: dict[int, dict[int, list[float]]] = {}
        for reed in self.reeds:
            for strand in reed.strands:
                for piece in strand.pieces:
                    out.setdefault(piece.seat, {}).setdefault(piece.bundle, []).append(piece.length_mm)
        return out


def work(asked: Class, settle: Settle | None = None) -> Worked:
    """The class worked out; with `settle` from the lengths of reeds at rest (see `make.baskets.settler`), else from
    quick ones. Seats whose basket cannot be worked are left out and told in the remarks."""
    made, remarks = kits(asked, settle)
    if not made:
        return Worked(asked, (), remarks=remarks)
    reeds = {key_of(each.reed): each.reed for kit in made for each in kit.basket.bundles}
    strands = {key: lengths_of(asked, reed) for key, reed in reeds.items()}
    all_wanted = wanted(made, strands, asked.rules.least_mm, asked.rules.join_more)
    cuts = tuple(_cut(asked, made, each, len(all_wanted)) for each in all_wanted)
    made = as_cut(made, cuts)
    lines = shopping(asked, cuts)
    dyed = baths(asked, made, cuts)
    found = finish(asked, made)
    when = timetable(asked, made, cuts, dyed, found)
    sums = money(asked, made, cuts, lines, dyed, when)
    more = findings(asked, made, cuts, lines, dyed, found, sums)
    order = ("error", "stop", "warn", "note")
    told = tuple(sorted((*remarks, *more), key=lambda each: order.index(each.weight)))
    return Worked(asked, made, cuts, lines, dyed, found, when, sums, substitutes(made[0].basket), told)


def _cut(asked: Class, made: tuple[Kit, ...], each: Wanted, reeds: int) -> ReedCut:
    stock, seconds = stock_of(asked, each.reed), asked.rules.seconds / reeds
    problem, too_long = problem_of(each, made, stock)
    plan, free = cut(problem, seconds), None
    if any(len(piece.ways) > 1 for piece in each.pieced):  # free to mix, it says how good a plan could be at most
        mixed, whole = plan, kind(each)
        if whole != each:  # of the ways that are kind to hands, which go well together
            problem, _ = problem_of(whole, made, stock)
            plan = cut(problem, seconds, math.inf)
        each = with_one_way(whole, made, problem, plan)
        problem, too_long = problem_of(each, made, stock)
        plan = cut(problem, seconds, mixed.bound)
        if plan.missing and not mixed.missing:
            each = with_sure_way(whole, problem)
            problem, too_long = problem_of(each, made, stock)
            plan = cut(problem, seconds, mixed.bound)
        free = mixed.bound
    strands, taken = assign(each, made, problem, plan), ways_taken(each, made, problem, plan)
    missing = (*too_long, *plan.missing)
    return ReedCut(each.reed, problem, plan, strands, missing, tuple(taken), asked.rules.useful_mm, free)
