"""Money: what the class costs, per seat and per basket, the fee at which it pays, a price for a finished basket.

Every sum opens into its lines; what has no price is left out and named. Nothing is guessed. A fee or price is rounded
up to what the teacher rounds to, and says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..plans.costs import to_the_cent
from ..plans.planning import Plan
from .assigned import ReedCut
from .dyeing import Bath
from .seats import Kit
from .shopping import Line
from .stock import pack_of
from .timetable import TEACHER, Timetable
from .values import Class

COUNTS = (6, 8, 12)
"""Counts of seats that a fee is worked out for, beside the class's own."""


@dataclass(frozen=True)
class Sum:
    """One line: `key` what for, its `amount`, `each` True where it grows with the seats, `how` it is reckoned as
    (count, unit, price)."""

    key: str
    amount: float
    each: bool
    how: tuple[float, str, float]


@dataclass(frozen=True)
class ReedSums:
    """From the shopping list to the reed that the kits use up, where there are prices: `paid` for packs, less what is
    `left` of them, with what comes from the `shelf` at today's price, less offcuts that are `kept`: what is `used`."""

    paid: float
    left: float
    shelf: float
    kept: float

    @property
    def used(self) -> float:
        """What the reed lines of the money add up to."""
        return self.paid - self.left + self.shelf - self.kept


@dataclass(frozen=True)
class Money:
    """The class's money in `currency`: its `lines`, what is `missing` a price, `seats` paid for; `fees` (seats, fee
    that just pays, rounded up); `fee` asked, with what is `left` over and from how many seats it pays (`pays_from`,
    None: never); `basket` lines of one finished basket and its `price`, or what it `lacks`; `reed` how shopping and the
    reed here hang together."""

    currency: str
    lines: tuple[Sum, ...]
    missing: tuple[str, ...]
    seats: int
    overhead: float
    rounding: float
    fees: tuple[tuple[int, float], ...]
    fee: float | None
    left: float | None
    pays_from: int | None
    basket: tuple[Sum, ...]
    price: float | None
    lacks: tuple[str, ...] = ()
    reed: ReedSums = ReedSums(0.0, 0.0, 0.0, 0.0)

    @property
    def total(self) -> float:
        """Everything, with overhead."""
        return cost(self.lines, self.overhead, self.seats, self.seats)

    @property
    def per_seat(self) -> float:
        """Everything shared among the seats."""
        return self.total / max(1, self.seats)


def cost(lines: tuple[Sum, ...], overhead: float, seats: int, now: int) -> float:
    """What a class of so many seats costs, where the lines are those of `now` seats."""
    fixed = sum(line.amount for line in lines if not line.each)
    grows = sum(line.amount for line in lines if line.each)
    return (fixed + grows * seats / max(1, now)) * (1 + overhead)


def rounded_up(amount: float, step: float) -> float:
    """The next whole step; a float a hair above one is on it."""
    return math.ceil(amount / step - 1e-9) * step


def money(
    asked: Class,
    kits: tuple[Kit, ...],
    cuts: tuple[ReedCut, ...],
    bought: tuple[Line, ...],
    baths: tuple[Bath, ...],
    when: Timetable,
) -> Money:
    """What the class costs and what to ask."""
    prices, seats = asked.prices, sum(not kit.seat.spare for kit in kits)
    reeds = tuple(reed_sums(asked, cut, line) for cut, line in zip(cuts, bought, strict=True))
    lines, missing = _lines(asked, tuple(zip(bought, reeds, strict=True)), baths, when, seats)
    overhead, step = prices.overhead, prices.rounding
    fees = tuple((n, rounded_up(cost(lines, overhead, n, seats) / n, step)) for n in sorted({*COUNTS, max(1, seats)}))
    left = None if prices.fee is None else prices.fee * seats - cost(lines, overhead, seats, seats)
    basket, price, lacks = _basket(asked, kits)
    return Money(
        prices.currency, lines, missing, seats, overhead, step, fees if lines else (), prices.fee, left,
        _pays_from(lines, overhead, seats, prices.fee), basket, price, lacks,
        ReedSums(*(sum(column) for column in zip(*(vars(each).values() for each in reeds), strict=True))),
    )  # fmt: skip


def _pays_from(lines: tuple[Sum, ...], overhead: float, seats: int, fee: float | None) -> int | None:
    """The fewest seats at which a fee covers everything; None where none do."""
    if fee is None:
        return None
    return next((n for n in range(1, 401) if fee * n >= cost(lines, overhead, n, seats) - 1e-9), None)


def _lines(
    asked: Class,
    reeds: tuple[tuple[Line, ReedSums], ...],
    baths: tuple[Bath, ...],
    when: Timetable,
    seats: int,
) -> tuple[tuple[Sum, ...], tuple[str, ...]]:
    prices, out, missing = asked.prices, [], []

    def line(key: str, price: float | None, count: float, unit: str, each: bool) -> None:
        if not count:
            return
        if price is None:
            missing.append(key)
        else:
            out.append(Sum(key, to_the_cent(count * price), each, (count, unit, price)))

    for each, reed in reeds:
        # Offcuts worth keeping are not charged; shelf reed is worth what it would cost now.
        per_m = None if each.price_mm is None else each.price_mm * 1000
        metres = reed.used / per_m if per_m else float(bool(each.strands or each.used))
        line(f"reed {each.reed.key or each.reed.name}", per_m, metres, "m", True)
    line("dye", prices.dye, sum(bath.dye is not None for bath in baths), "colour", False)
    hour = prices.hour
    teaching = prices.teaching_hour if prices.teaching_hour is not None else hour
    preparing = prices.preparing_hour if prices.preparing_hour is not None else hour
    long = (asked.ends - asked.starts) / 60
    line("teaching", teaching, long, "hour", False)
    line("preparing", preparing, when.preparing_minutes / 60, "hour", True)
    line("helpers", prices.helper_hour, asked.helpers * long, "hour", False)
    for key in ("room", "travel"):
        price = getattr(prices, key)
        if price is not None:
            line(key, price, 1, "day", False)
    if prices.extras is not None:
        line("extras", prices.extras, seats, "seat", True)
    return tuple(out), tuple(missing)


def reed_sums(asked: Class, cut: ReedCut, line: Line) -> ReedSums:
    """The money of one reed; nought where it has no price."""
    if line.price_mm is None or line.cost is None:
        return ReedSums(0.0, 0.0, 0.0, 0.0)
    shelf_mm = sum(strand.length_mm for strand in cut.strands if strand.source == "shelf")
    kept_mm = cut.kept_mm
    left = line.cost - line.bought_mm * line.price_mm
    parts = (line.cost, left, shelf_mm * line.price_mm, kept_mm * line.price_mm)
    return ReedSums(*(to_the_cent(part) for part in parts))


def _basket(asked: Class, kits: tuple[Kit, ...]) -> tuple[tuple[Sum, ...], float | None, tuple[str, ...]]:
    """(lines of one finished basket of the usual kind, its price, what has no price): reed, and hours at the pace of
    whoever teaches."""
    plan: Plan = kits[0].basket.plan
    out, lacks = [], []
    for amount in plan.amounts:
        pack = pack_of(asked, amount.reed)
        name = f"reed {amount.reed.key or amount.reed.name}"
        if pack.price is None:
            lacks.append(name)
            continue
        per_m = pack.price / (pack.strands * (pack.shortest_mm or pack.strand_mm)) * 1000
        metres = amount.length_mm * (1 + plan.design.pace.reserve) / 1000
        out.append(Sum(f"{name}, {amount.colour}", to_the_cent(metres * per_m), True, (metres, "m", per_m)))
    hour = asked.prices.hour
    if hour is None:
        lacks.append("hour")
    else:
        hours = plan.time.seconds / 3600 * TEACHER
        out.append(Sum("making", to_the_cent(hours * hour), True, (hours, "hour", hour)))
    if lacks:
        return tuple(out), None, tuple(dict.fromkeys(lacks))
    whole = sum(each.amount for each in out) * (1 + asked.prices.overhead)
    return tuple(out), rounded_up(whole, asked.prices.rounding), ()
