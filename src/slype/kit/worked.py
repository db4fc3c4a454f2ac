"""A class worked from end to end: kits, cutting and all that follows from them. A class in, values out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..quantity import show_length
from .assigned import ReedCut, assign, problem_of
from .cutting import cut
from .seats import Kit, kits
from .stock import lengths_of, stock_of
from .values import Class, Remark
from .wanted import Wanted, key_of, wanted


@dataclass(frozen=True, eq=False)
class Worked:
    """Everything a class needs: what was `asked`, a `kit` for every seat, the `reeds` cut, and `remarks`. `lengths`
    mm of every piece that a seat's bundle holds: {seat: {number of the bundle: lengths}}."""

    asked: Class
    kits: tuple[Kit, ...]
    reeds: tuple[ReedCut, ...]
    remarks: tuple[Remark, ...]

    @cached_property
    def lengths(self) -> dict[int, dict[int, list[float]]]:
        out: dict[int, dict[int, list[float]]] = {}
        for reed in self.reeds:
            for strand in reed.strands:
                for piece in strand.pieces:
                    out.setdefault(piece.seat, {}).setdefault(piece.bundle, []).append(piece.length_mm)
        return out


def work(asked: Class) -> Worked:
    """The class worked out. Seats whose basket cannot be worked are left out and told in the remarks."""
    made, remarks = kits(asked)
    reeds = {key_of(each.reed): each.reed for kit in made for each in kit.basket.bundles}
    strands = {key: lengths_of(asked, reed) for key, reed in reeds.items()}
    cuts = []
    for each in wanted(made, strands, asked.rules.least_mm, asked.rules.join_more):
        one, more = _cut(asked, made, each)
        cuts.append(one)
        remarks += more
    return Worked(asked, made, tuple(cuts), tuple(remarks))


def _cut(asked: Class, made: tuple[Kit, ...], each: Wanted) -> tuple[ReedCut, tuple[Remark, ...]]:
    stock = stock_of(asked, each.reed)
    problem, too_long = problem_of(each, made, stock)
    plan = cut(problem, asked.rules.seconds)
    missing = (*too_long, *plan.missing)
    longest = max(one.length_mm for one in stock)
    units = made[0].seat.units
    remarks = tuple(
        Remark(
            "stop",
            f"{many} pieces of {show_length(mm, units)} of {each.reed.name} ({colour}) are longer than any strand: "
            f"the longest is {show_length(longest, units)}.",
            "cutting",
            "Buy longer strands and write their length on the shelf, or make the basket smaller.",
        )
        for mm, colour, many in too_long
    )
    return ReedCut(each.reed, problem, plan, assign(each, made, problem, plan), missing), remarks
