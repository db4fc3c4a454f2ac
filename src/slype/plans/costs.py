"""What one basket costs: reed, work and overhead, from the maker's own prices.

No price is ever guessed: what the design does not say is left out, and named as left out.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..quantity import show_mass, show_time
from ..words import listed
from .planning import Plan


@dataclass(frozen=True)
class Cost:
    """`lines` of (name, amount, how reckoned), adding up to `total`; `missing` what no price was given for."""

    currency: str
    lines: tuple[tuple[str, float, str], ...]
    missing: tuple[str, ...]

    @property
    def total(self) -> float:
        """All lines together."""
        return sum(line[1] for line in self.lines)

    def shown(self, amount: float) -> str:
        """`$12.40`."""
        return f"{self.currency}{amount:.2f}"


def to_the_cent(amount: float) -> float:
    """As it is printed, so that whoever adds up the printed lines comes to the printed sum."""
    return round(amount, 2)


def cost_of(plan: Plan) -> Cost | None:
    """The cost of a planned basket (its lid with it), or None where the design names no prices."""
    prices = plan.design.prices
    if prices is None:
        return None
    special, units = dict(prices.coils), plan.design.units
    lines, missing = [], []
    for amount in plan.amounts:
        name = f"{amount.reed.named(plan.design.wording)}, {amount.colour}"
        price = special.get(amount.reed.key, prices.coil)
        if price is None:
            missing.append(name)
            continue
        sign = f"{prices.currency}{price:.2f}"
        how = f"{amount.coils:.2f} coils of {show_mass(amount.reed.coil_g, units)} at {sign}, with reserve"
        lines.append((name, to_the_cent(amount.coils * price), how))
    if prices.hour is None:
        missing.append("work")
    else:
        how = f"{show_time(plan.time.seconds)} at {prices.currency}{prices.hour:.2f} an hour"
        lines.append(("work", to_the_cent(plan.time.seconds / 3600 * prices.hour), how))
    if prices.overhead:
        so_far = sum(line[1] for line in lines)
        lines.append(("overhead", to_the_cent(so_far * prices.overhead), f"{prices.overhead:.0%} of the above"))
    return Cost(prices.currency, tuple(lines), tuple(missing))


def left_out(cost: Cost) -> str:
    """A sentence on what has no price, or nothing."""
    return f"Not counted, for want of a price: {listed(list(cost.missing))}." if cost.missing else ""
