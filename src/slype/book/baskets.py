"""Baskets made: the design as woven, what was measured of it, reed used and left, hours; and what they teach.

What can be measured of a basket follows from its plan (`learning.figures`): each figure has a name, what slype reckons
for it, and the quantity of the gauge that it speaks of.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from ..design.file.reader import parse
from ..errors import DesignError
from .learning.figures import can_measure, of_swatch, which
from .learning.gauge import PRIORS, Known, Measure, is_slip, learn_all, without
from .shelf import gather, lots_in, take_in, undo_in
from .store import Book, Writing, now
from .tables import ACT, BASKET, FIGURE, HOURS, LOT, MONEY, MOVEMENT, PHOTO, USED

if TYPE_CHECKING:
    from ..design.values import Design
    from ..plans.planning import Plan


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
    maker: str


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


def usual_units(book: Book) -> str:
    """The units of the basket entered last, else of the trade whose numbers most reed on the shelf goes by: "cm" for
    cane, "in" for round reed."""
    with book.reading() as db:
        mine = sa.select(BASKET.c.design).where(BASKET.c.design != "", BASKET.c.undone_at.is_(None))
        text = db.execute(mine.order_by(BASKET.c.entered_at.desc()).limit(1)).scalar()
        reeds = [row[0] for row in db.execute(sa.select(LOT.c.reed))]
    if text:
        with suppress(DesignError):  # a design of long ago may not be read today
            return parse(text).units
    return "cm" if 2 * sum(reed.startswith("cane ") for reed in reeds) > len(reeds) else "in"


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
    maker: str = "",
    off_shelf: bool = False,
) -> str:
    """Enter a basket; its id. `text` of its design file, `measured` values by the keys of `can_measure`, `hours`
    seconds by part of the work, `used` (reed, colour, mm used, mm left over), `maker` who made it ("": whose book it
    is). With `off_shelf` what was used comes off the shelf in the same entry.

    Raises DesignError for a figure that this basket does not have, or one that is nothing; NotEnough where the shelf
    has less. Then nothing is entered.
    """
    known = {each.key: each for each in can_measure(plan)}
    for key, value in (measured or {}).items():
        if key not in known:
            raise DesignError("this basket has no such figure.", key, which(key, known))
        if not 0 < value < 1e9:
            raise DesignError("a measured figure is more than nothing.", key)
    with book.writing() as work:
        basket = work.add(
            BASKET, title=title_of(plan.design), made_on=made_on, design=text, note=note, sold_for=sold_for,
            currency=currency, maker=maker.strip()[:80], entered_at=now(),
        )  # fmt: skip
        for key, value in (measured or {}).items():
            figure = known[key]
            work.add(
                FIGURE, basket_id=basket, quantity=figure.quantity, weave=figure.weave, reed=figure.reed,
                measured=float(value), reckoned=figure.reckoned, name=key[:120],
                parts=json.dumps(figure.parts) if figure.parts else "",
            )  # fmt: skip
        for part, seconds in (hours or {}).items():
            work.add(HOURS, basket_id=basket, part=part, seconds=float(seconds))
        for reed, colour, length, left in used:
            work.add(USED, basket_id=basket, reed=reed, colour=colour, length_mm=float(length), left_mm=float(left))
        taken = [(reed, colour, length) for reed, colour, length, _ in used if length > 0]
        if off_shelf and taken:
            title, units = title_of(plan.design), plan.design.units
            take_in(work, gather(lots_in(work.db), taken, title, units), title, units, basket)
        return basket


def record_swatch(
    book: Book, plan: Plan, weave: str, reed: str, made_on: str, measured: Mapping[str, float], maker: str = ""
) -> str:
    """Enter a swatch that was woven for a basket; its id. `measured` by the keys of `learning.figures.of_swatch`. It
    stands among the baskets, with no design of its own, and can be left out or taken back like one.

    Raises DesignError where nothing was measured, or a figure is nothing.
    """
    known = {each.key: each for each in of_swatch(plan, weave, reed)}
    if not measured:
        raise DesignError("nothing was measured of it.", "height", "Measure its height, the reed it took or the time.")
    for key, value in measured.items():
        if not 0 < value < 1e9:
            raise DesignError("a measured figure is more than nothing.", key)
    with book.writing() as work:
        swatch = work.add(
            BASKET, title=f"Swatch: {weave} in {reed}", made_on=made_on, design="", maker=maker.strip()[:80],
            entered_at=now(),
        )  # fmt: skip
        for key, value in measured.items():
            of = known[key]
            work.add(
                FIGURE, basket_id=swatch, quantity=of.quantity, weave=of.weave, reed=of.reed, measured=float(value),
                reckoned=of.reckoned, name=key,
            )  # fmt: skip
        return swatch


def take_back(book: Book, basket: str) -> None:
    """Take a basket's entry back, and put what was cut for it back on the shelf: it counts nowhere from now on. What
    was entered stays in the file, and in an export. Raises FileTrouble where there is no such basket."""
    with book.writing() as work:
        at = now()
        work.change(BASKET, basket, undone_at=at)
        undo_in(work, basket, at)


def bring_back(book: Book, basket: str) -> None:
    """Enter again a basket that was taken back, as it was; what was cut for it comes off the shelf again. Raises
    NotEnough where the shelf no longer has it, and FileTrouble where there is no such basket."""
    with book.writing() as work:
        asked = (
            sa.select(ACT.c.id, MOVEMENT.c.lot_id, MOVEMENT.c.amount)
            .join_from(ACT, MOVEMENT)
            .where(ACT.c.basket_id == basket, ACT.c.undone_at == _taken_back_at(work, basket))
        )
        again = [(row.lot_id, -row.amount) for row in work.db.execute(asked)]
        work.change(BASKET, basket, undone_at=None)
        if again:
            title = work.db.execute(sa.select(BASKET.c.title).where(BASKET.c.id == basket)).scalar_one()
            take_in(work, again, title, basket=basket)


def _taken_back_at(work: Writing, basket: str) -> str | None:
    return work.db.execute(sa.select(BASKET.c.undone_at).where(BASKET.c.id == basket)).scalar()


def makers(book: Book) -> list[tuple[str, int]]:
    """(name, how many baskets) of everybody whose baskets are in the book; "" is whose book it is."""
    asked = sa.select(BASKET.c.maker, sa.func.count()).where(BASKET.c.undone_at.is_(None)).group_by(BASKET.c.maker)
    with book.reading() as db:
        return sorted((row[0], row[1]) for row in db.execute(asked))


@dataclass(frozen=True)
class Opened:
    """All that the book holds of one basket: its `figures` (name, quantity, measured, reckoned), reed `used` (reed,
    colour, mm, mm left over), `hours` (part, s), `photographs` by name, and the acts on the shelf that cut for it."""

    made: Made
    figures: tuple[tuple[str, str, float, float], ...]
    used: tuple[tuple[str, str, float, float], ...]
    hours: tuple[tuple[str, float], ...]
    photographs: tuple[str, ...]
    off_shelf: bool


def opened(book: Book, basket: str) -> Opened:
    """One basket with all that was entered of it. Raises DesignError where there is none."""
    made = next((each for each in baskets(book) if each.id == basket), None)
    if made is None:
        raise DesignError("there is no such basket in the book.", basket[:40], "See: slype book baskets.")

    def of(table: sa.Table, *names: str) -> tuple:
        asked = sa.select(*(table.c[name] for name in names)).where(table.c.basket_id == basket).order_by(table.c.id)
        return tuple(tuple(row) for row in db.execute(asked))

    with book.reading() as db:
        cut = db.execute(sa.select(ACT.c.id).where(ACT.c.basket_id == basket, ACT.c.undone_at.is_(None))).first()
        figures = of(FIGURE, "name", "quantity", "measured", "reckoned")
        photographs = tuple(row[0] for row in of(PHOTO, "name"))
        used, hours = of(USED, "reed", "colour", "length_mm", "left_mm"), of(HOURS, "part", "seconds")
    return Opened(made, figures, used, hours, photographs, cut is not None)


NEWEST = (BASKET.c.made_on.desc(), BASKET.c.entered_at.desc(), BASKET.c.id)
"""Of one day's baskets the one entered last comes first."""


def baskets(book: Book, search: str = "") -> list[Made]:
    """Baskets of the book, the newest first; with `search`, those whose title or note has it."""

    def of(table: sa.Table, what: sa.ColumnElement[Any]) -> sa.Subquery:
        return sa.select(table.c.basket_id, what).group_by(table.c.basket_id).subquery()

    figures = of(FIGURE, sa.func.count().label("figures"))
    photos = of(PHOTO, sa.func.count().label("photographs"))
    hours = of(HOURS, sa.func.sum(HOURS.c.seconds).label("seconds"))
    asked = sa.select(
        BASKET.c.id, BASKET.c.title, BASKET.c.made_on, BASKET.c.left_out, BASKET.c.sold_for, BASKET.c.currency,
        BASKET.c.note, BASKET.c.maker,
        *(sa.func.coalesce(each.c[name], 0).label(name) for each, name in
          ((figures, "figures"), (photos, "photographs"), (hours, "seconds"))),
    )  # fmt: skip
    joined: sa.FromClause = BASKET
    for each in (figures, photos, hours):
        joined = joined.outerjoin(each, each.c.basket_id == BASKET.c.id)
    asked = asked.select_from(joined).where(BASKET.c.undone_at.is_(None)).order_by(*NEWEST)
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


def measures(book: Book, maker: str = "") -> list[Measure]:
    """All that was measured and speaks of a maker, of baskets that are not left out: hands are everybody's own, but
    the reed is one shelf's, so thickness counts whoever's calipers it was."""
    names = ("quantity", "basket_id", "measured", "reckoned", "weave", "reed", "parts")
    asked = (
        sa.select(*(FIGURE.c[name] for name in names))
        .join_from(FIGURE, BASKET, BASKET.c.id == FIGURE.c.basket_id)
        .where(BASKET.c.left_out.is_(False), BASKET.c.undone_at.is_(None), FIGURE.c.quantity.in_(PRIORS))
        .where(sa.or_(BASKET.c.maker == maker, FIGURE.c.quantity == "thickness"))
        .order_by(BASKET.c.made_on, FIGURE.c.id)
    )
    with book.reading() as db:
        rows = list(db.execute(asked))
    return [
        Measure(quantity, basket, measured, reckoned, weave, reed, _parts(parts))
        for quantity, basket, measured, reckoned, weave, reed, parts in rows
    ]


@lru_cache(maxsize=1024)
def _parts(text: str) -> tuple[tuple[str, str, float], ...]:
    """Of a figure of several bands, what it speaks of; () of any other, and of what cannot be read."""
    try:
        return tuple((str(weave), str(reed), float(share)) for weave, reed, share in json.loads(text or "[]"))
    except (ValueError, TypeError):
        return ()


def known(book: Book, without_basket: str = "", maker: str = "") -> dict[str, Known]:
    """What the book knows of a maker, of each quantity, figures left out that must be slips; `without_basket`: as if
    that one had not been made."""
    return known_from(measures(book, maker), without_basket)


def known_from(found: Sequence[Measure], without_basket: str = "") -> dict[str, Known]:
    """The same from measures at hand."""
    found = [each for each in found if not is_slip(each)]
    return learn_all(without(found, without_basket) if without_basket else found)
