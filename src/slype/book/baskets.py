"""Baskets made: the design as woven, what was measured of it, reed used and left, hours; and what they teach.

What can be measured of a basket follows from its plan (`can_measure`): each figure has a name, what slype reckons for
it, and the quantity of the gauge that it speaks of.
"""

from __future__ import annotations

import math
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from ..errors import DesignError, did_you_mean
from ..lay.gauge import TUCK_MM
from ..lay.laying import ungauged
from ..plans.times import seconds_of
from .gauge import Known, Measure, is_slip, learn, learn_all, without
from .store import Book
from .tables import BASKET, FIGURE, HOURS, LOT, MONEY, PHOTO, USED

if TYPE_CHECKING:
    from ..design.values import Design
    from ..plans.planning import Plan


@dataclass(frozen=True)
class Measurable:
    """One figure of a basket that a maker can measure: its `key` to name it by, the `quantity` of the gauge, and what
    slype `reckoned`, in `unit` ("mm" or "s")."""

    key: str
    quantity: str
    reckoned: float
    unit: str = "mm"
    weave: str = ""
    reed: str = ""


def can_measure(plan: Plan) -> tuple[Measurable, ...]:
    """What can be measured of this basket, in the order in which it grows; bands count from 1 as on the sheet."""
    plan = _reckoned(plan)
    design, laid = plan.design, plan.laid
    out: list[Measurable] = []
    for found in laid.bands:
        band = found.band
        kind = {"weave": band.weave.name, "reed": band.reed.key}
        number = found.index + 1
        high = len(found.s) * found.pitch_mm
        if high > 0:
            out.append(Measurable(f"height of band {number}", "row pitch", high, "mm", **kind))
        seconds = seconds_of(plan.time, "band", found.index)
        out.append(Measurable(f"time of band {number}", "stroke time", seconds, "s", **kind))
    for (reed, colour), mm in _woven(plan).items():
        out.append(Measurable(f"used of {reed}, {colour}", "take-up", mm, "mm", "", reed))
    spokes = design.spokes.reed.key
    if laid.border.length_mm > 0:
        out.append(Measurable("length of one border end", "border", laid.border.length_mm, "mm", "", spokes))
        held = sum(part[1] for part in laid.border.parts if part[0] == "fingers")
        if held:
            out.append(Measurable("length the fingers held", "fingers", held, "mm", "", spokes))
    for reed in _reeds(plan):
        out.append(Measurable(f"thickness of {reed.key}", "thickness", reed.diameter_mm, "mm", "", reed.key))
    out.append(Measurable("length of a tail", "tails", TUCK_MM))
    return tuple(out)


def _reckoned(plan: Plan) -> Plan:
    """The plan as slype reckons it without its maker's gauge: what is learned is a ratio to that, or it would be
    learned twice."""
    if plan.design.gauge is None:
        return plan
    from ..plans import planning

    return planning.plan(ungauged(plan.design))


def surprising(plan: Plan, measured: Mapping[str, float]) -> list[Measurable]:
    """Measured figures that hardly any maker's hand would give: three spreads and more from what slype reckons."""
    out = []
    for each in can_measure(plan):
        if each.key in measured:
            usual = learn(each.quantity, []).estimate(each.weave, each.reed, measured=True)
            if abs(math.log(measured[each.key] / each.reckoned)) > 3 * usual.spread:
                out.append(each)
    return out


def _woven(plan: Plan) -> dict[tuple[str, str], float]:
    """mm of weavers that slype reckons for each reed and colour, tails included."""
    out: dict[tuple[str, str], float] = {}
    for strand in plan.strands:
        key = strand.reed.key, strand.colour
        out[key] = out.get(key, 0.0) + strand.length_mm
    return out


def _reeds(plan: Plan) -> list:
    return list({amount.reed.key: amount.reed for amount in plan.amounts if amount.reed.key}.values())


@dataclass(frozen=True)
class Made:
    """A basket in the book; `figures` how many were measured, `photographs` how many are kept."""

    id: str
    title: str
    made_on: str
    figures: int
    photographs: int
    seconds: float
    left_out: bool
    sold_for: str | None
    currency: str | None
    note: str


def title_of(design: Design) -> str:
    """What a basket is called in the book: its title, or the name of its file where it has none."""
    said = (design.tables or {}).get("basket", {})
    titled = not isinstance(said, dict) or "title" in said or design.tables is None
    return design.title if titled else os.path.splitext(design.name)[0] or design.title


def usual_currency(book: Book) -> str:
    """The money that most of the book's entries are in; "" where none says."""
    with book.reading() as db:
        found: list[str] = []
        for column in (BASKET.c.currency, LOT.c.currency, MONEY.c.currency):
            found += [row[0] for row in db.execute(sa.select(column).where(column.is_not(None), column != ""))]
    return max(set(found), key=found.count) if found else ""


def record(
    book: Book,
    plan: Plan,
    text: str,
    made_on: str,
    measured: Mapping[str, float] | None = None,
    hours: Mapping[str, float] | None = None,
    used: Sequence[tuple[str, str, float, float]] = (),
    note: str = "",
    sold_for: str | None = None,
    currency: str | None = None,
) -> str:
    """Enter a basket; its id. `text` of its design file, `measured` values by the keys of `can_measure`, `hours`
    seconds by part of the work, `used` (reed, colour, mm used, mm left over).

    Raises DesignError for a figure that this basket does not have, or one that is nothing.
    """
    known = {each.key: each for each in can_measure(plan)}
    for key, value in (measured or {}).items():
        if key not in known:
            raise DesignError("this basket has no such figure.", key, did_you_mean(key, known))
        if not 0 < value < 1e9:
            raise DesignError("a measured figure is more than nothing.", key)
    with book.writing() as work:
        basket = work.add(
            BASKET, title=title_of(plan.design), made_on=made_on, design=text, note=note, sold_for=sold_for,
            currency=currency,
        )  # fmt: skip
        for key, value in (measured or {}).items():
            figure = known[key]
            work.add(
                FIGURE, basket_id=basket, quantity=figure.quantity, weave=figure.weave, reed=figure.reed,
                measured=float(value), reckoned=figure.reckoned,
            )  # fmt: skip
        for part, seconds in (hours or {}).items():
            work.add(HOURS, basket_id=basket, part=part, seconds=float(seconds))
        for reed, colour, length, left in used:
            work.add(USED, basket_id=basket, reed=reed, colour=colour, length_mm=float(length), left_mm=float(left))
        return basket


def baskets(book: Book, search: str = "") -> list[Made]:
    """Baskets of the book, the newest first; with `search`, those whose title or note has it."""

    def of(table: sa.Table, what: sa.ColumnElement[Any]) -> sa.Subquery:
        return sa.select(table.c.basket_id, what).group_by(table.c.basket_id).subquery()

    figures = of(FIGURE, sa.func.count().label("figures"))
    photos = of(PHOTO, sa.func.count().label("photographs"))
    hours = of(HOURS, sa.func.sum(HOURS.c.seconds).label("seconds"))
    asked = sa.select(
        BASKET.c.id, BASKET.c.title, BASKET.c.made_on, BASKET.c.left_out, BASKET.c.sold_for, BASKET.c.currency,
        BASKET.c.note,
        *(sa.func.coalesce(each.c[name], 0).label(name) for each, name in
          ((figures, "figures"), (photos, "photographs"), (hours, "seconds"))),
    )  # fmt: skip
    joined: sa.FromClause = BASKET
    for each in (figures, photos, hours):
        joined = joined.outerjoin(each, each.c.basket_id == BASKET.c.id)
    asked = asked.select_from(joined).order_by(BASKET.c.made_on.desc(), BASKET.c.id)
    if search:
        told = (each.icontains(search, autoescape=True) for each in (BASKET.c.title, BASKET.c.note))
        asked = asked.where(sa.or_(*told))
    with book.reading() as db:
        return [Made(**{**row, "left_out": bool(row["left_out"])}) for row in db.execute(asked).mappings()]


def design_of(book: Book, basket: str) -> str:
    """The text of a basket's design file, as it was woven. Raises DesignError where there is no such basket."""
    with book.reading() as db:
        text = db.execute(sa.select(BASKET.c.design).where(BASKET.c.id == basket)).scalar()
    if text is None:
        raise DesignError("there is no such basket in the book.", basket, "See: slype book baskets.")
    return text


def leave_out(book: Book, basket: str, out: bool = True) -> None:
    """Let a basket teach nothing from now on, or teach again."""
    with book.writing() as work:
        work.change(BASKET, basket, left_out=out)


def measures(book: Book) -> list[Measure]:
    """All that was measured, of baskets that are not left out."""
    asked = (
        sa.select(*(FIGURE.c[name] for name in ("quantity", "basket_id", "measured", "reckoned", "weave", "reed")))
        .join_from(FIGURE, BASKET, BASKET.c.id == FIGURE.c.basket_id)
        .where(BASKET.c.left_out.is_(False))
        .order_by(BASKET.c.made_on, FIGURE.c.id)
    )
    with book.reading() as db:
        return [Measure(*row) for row in db.execute(asked)]


def known(book: Book, without_basket: str = "") -> dict[str, Known]:
    """What the book knows of its maker, of each quantity, figures left out that must be slips; `without_basket`: as if
    that one had not been made."""
    found = [each for each in measures(book) if not is_slip(each)]
    return learn_all(without(found, without_basket) if without_basket else found)
