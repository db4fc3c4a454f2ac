"""What a year brought and took: baskets, classes, other money, hours, and the reed bought, cut and lost.

Sums are exact (decimal) and kept apart by currency; nothing is converted, nothing estimated, and no tax is reckoned. A
basket counts in the year it was made, reed in the year it came.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import sqlalchemy as sa

from ...errors import DesignError
from ...reeds import reed_named
from ..store import Book
from ..tables import ACT, BASKET, CLASS, HOURS, LOT, MONEY, MOVEMENT

CENT = Decimal("0.01")


@dataclass(frozen=True)
class Entry:
    """One sum: `day`, `kind` ("basket", "class", "reed", "other"), `what`, `amount` (below 0 what was spent), and the
    `seconds` of work it took, None where they are not in the book."""

    day: str
    kind: str
    what: str
    amount: Decimal
    currency: str
    seconds: float | None = None


@dataclass(frozen=True)
class ReedOfYear:
    """One reed of a year, g: `bought` and what it `cost` by currency, `cut` and not put back, `missing` at counts
    (below 0: found)."""

    reed: str
    bought_g: float
    cost: tuple[tuple[str, Decimal], ...]
    cut_g: float
    missing_g: float


@dataclass(frozen=True)
class Year:
    """A year's `entries` in order of their days, its `reeds`, `unsold` baskets, and `hours_s` of baskets made."""

    year: int
    entries: tuple[Entry, ...]
    reeds: tuple[ReedOfYear, ...]
    unsold: int
    seconds: float

    @property
    def currencies(self) -> list[str]:
        """Currencies of its sums, as first met."""
        return list(dict.fromkeys(each.currency for each in self.entries))

    def total(self, currency: str, kind: str = "", out: bool | None = None) -> Decimal:
        """Sum in a currency, of one kind, of what came in (`out` False), went out (True) or both."""
        return sum(
            (
                each.amount for each in self.entries
                if each.currency == currency and kind in ("", each.kind) and out in (None, each.amount < 0)
            ),
            Decimal(0),
        )  # fmt: skip

    def per_hour(self, currency: str, kind: str) -> Decimal | None:
        """What an hour brought, over those whose hours are in the book; None where there are none."""
        timed = [e for e in self.entries if e.currency == currency and e.kind == kind and e.seconds and e.amount > 0]
        hours = sum(each.seconds or 0.0 for each in timed) / 3600
        return (sum((e.amount for e in timed), Decimal(0)) / Decimal(str(hours))).quantize(CENT) if hours else None

    def per_piece(self, currency: str, kind: str) -> Decimal | None:
        """What one sold basket, or one class, brought in the mean; None where there was none."""
        mine = [e.amount for e in self.entries if e.currency == currency and e.kind == kind and e.amount > 0]
        return (sum(mine, Decimal(0)) / len(mine)).quantize(CENT) if mine else None


def year_of(book: Book, year: int) -> Year:
    """The year's accounts."""
    if not 1900 <= year <= 2200:
        raise DesignError(f"{year} is no year of a maker's book.", "year")
    with book.reading() as db:
        entries = sorted([*_baskets(db, year), *_reed(db, year), *_money(db, year)], key=lambda each: each.day)
        unsold = db.execute(
            sa.select(sa.func.count())
            .select_from(BASKET)
            .where(*_made_in(year), BASKET.c.sold_for.is_(None), BASKET.c.design != "")
        ).scalar_one()
        seconds = db.execute(
            sa.select(sa.func.coalesce(sa.func.sum(HOURS.c.seconds), 0.0))
            .join_from(HOURS, BASKET, BASKET.c.id == HOURS.c.basket_id)
            .where(*_made_in(year))
        ).scalar_one()
        return Year(year, tuple(entries), tuple(_reeds(db, year)), int(unsold), float(seconds))


def _in(column: sa.Column, year: int) -> sa.ColumnElement[bool]:
    return column.like(f"{year:04d}-%")


def _made_in(year: int) -> tuple[sa.ColumnElement[bool], ...]:
    """Baskets of a year whose entry was not taken back."""
    return _in(BASKET.c.made_on, year), BASKET.c.undone_at.is_(None)


def _baskets(db: sa.Connection, year: int) -> Iterator[Entry]:
    hours = sa.select(sa.func.sum(HOURS.c.seconds)).where(HOURS.c.basket_id == BASKET.c.id).scalar_subquery()
    asked = sa.select(BASKET.c.made_on, BASKET.c.title, BASKET.c.sold_for, BASKET.c.currency, hours.label("seconds"))
    for row in db.execute(asked.where(*_made_in(year), BASKET.c.sold_for.is_not(None))):
        yield Entry(row.made_on, "basket", row.title, Decimal(row.sold_for), row.currency or "", row.seconds)


def _reed(db: sa.Connection, year: int) -> Iterator[Entry]:
    for row in db.execute(sa.select(LOT).where(_in(LOT.c.since, year), LOT.c.cost.is_not(None))):
        what = f"{row.reed}, {row.colour}" + (f", {row.supplier}" if row.supplier else "")
        yield Entry(row.since, "reed", what, -Decimal(row.cost), row.currency or "")


def _money(db: sa.Connection, year: int) -> Iterator[Entry]:
    asked = sa.select(MONEY, CLASS.c.plan).select_from(MONEY.outerjoin(CLASS, CLASS.c.id == MONEY.c.class_held_id))
    for row in db.execute(asked.where(_in(MONEY.c.on, year))):
        amount = Decimal(row.amount) * (1 if row.kind == "came in" else -1)
        kind = "class" if row.class_held_id else "other"
        yield Entry(row.on, kind, row.what, amount, row.currency, _hours_of(row.plan or ""))


def _hours_of(plan: str) -> float | None:
    """Teaching time that a class's file says, s; None where it says none."""
    from ...design.file.reader import toml_of

    def clock(text: object) -> int:
        hours, minutes = str(text).split(":")
        return 60 * int(hours) + int(minutes)

    try:
        table = toml_of(plan).get("class", {}) if plan.strip() else {}
        if "hours" not in table:
            return None
        spans = [table["hours"], *table.get("breaks", [])]
        (whole, *off) = [clock(last) - clock(first) for first, last in spans]
    except (DesignError, ValueError, TypeError):
        return None
    return 60.0 * max(0, whole - sum(off)) or None


def _reeds(db: sa.Connection, year: int) -> Iterator[ReedOfYear]:
    asked = (
        sa.select(LOT.c.reed, LOT.c.unit, ACT.c.kind, sa.func.sum(MOVEMENT.c.amount).label("amount"))
        .join_from(MOVEMENT, ACT, ACT.c.id == MOVEMENT.c.act_id)
        .join(LOT, LOT.c.id == MOVEMENT.c.lot_id)
        .where(ACT.c.undone_at.is_(None), _in(ACT.c.at, year))
        .group_by(LOT.c.reed, LOT.c.unit, ACT.c.kind)
    )
    found: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for row in db.execute(asked):
        found[row.reed][row.kind] += row.amount * (1.0 if row.unit == "g" else _g_per_mm(row.reed))
    costs: dict[str, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    for row in db.execute(sa.select(LOT).where(_in(LOT.c.since, year), LOT.c.cost.is_not(None))):
        costs[row.reed][row.currency or ""] += Decimal(row.cost)
    for reed in sorted(found):
        of = found[reed]
        cost = tuple(sorted(costs[reed].items()))
        yield ReedOfYear(reed, of["came"], cost, 0.0 - of["cut"] - of["back"], 0.0 - of["count"])


def _g_per_mm(name: str) -> float:
    """Mass of a reed per mm; nothing where slype does not know it, so that it is told as 0 g."""
    try:
        return reed_named(name).g_per_mm
    except DesignError:
        return 0.0


def enter(book: Book, on: str, came_in: bool, what: str, amount: str, currency: str) -> str:
    """Enter other money, like a stall's fee or a repair; its id."""
    with book.writing() as work:
        return work.add(
            MONEY, on=on, kind="came in" if came_in else "went out", what=what[:200], amount=amount,
            currency=currency[:8], basket_id=None, class_held_id=None,
        )  # fmt: skip


@dataclass(frozen=True)
class Other:
    """Other money that was entered: its `id`, and the `sum` below 0 where it went out."""

    id: str
    day: str
    what: str
    sum: Decimal
    currency: str


def others(book: Book, year: int | None = None) -> list[Other]:
    """Other money of a year, or of all, the newest first."""
    asked = sa.select(MONEY).where(MONEY.c.class_held_id.is_(None)).order_by(MONEY.c.on.desc(), MONEY.c.id)
    if year is not None:
        asked = asked.where(_in(MONEY.c.on, year))
    with book.reading() as db:
        return [
            Other(row.id, row.on, row.what, Decimal(row.amount) * (1 if row.kind == "came in" else -1), row.currency)
            for row in db.execute(asked)
        ]


def take_back(book: Book, money: str) -> None:
    """Take an entry of other money out; the diary keeps that it was there. Raises FileTrouble where there is none."""
    with book.writing() as work:
        work.drop(MONEY, money)
