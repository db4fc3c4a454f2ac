"""The shelf: reed that lies there, in lots; what comes, is cut, goes back and is counted, each thing to be undone.

A lot is a coil or a bundle of offcuts of one reed, colour and dye lot, counted in mm of length or in g. What it holds
is the sum of its movements. Nothing is taken that is not there: a cut that would go below nothing is refused whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy import Connection

from ..errors import DesignError, SlypeError
from ..quantity import show_mass, show_run
from ..reeds import reed_named
from .store import Book, Writing, now, today
from .tables import ACT, BASKET, LOT, MOVEMENT

LEAST = {"mm": 0.5, "g": 0.05}
"""What is less than this, in the lot's unit, is nothing."""


class NotEnough(SlypeError):
    """The shelf has less than was to be taken; nothing was taken."""


@dataclass(frozen=True)
class Lot:
    """Reed on the shelf: `amount` of it in `unit` ("mm" or "g"); `cost` for all of it when it came."""

    id: str
    reed: str
    colour: str
    kind: str
    unit: str
    amount: float
    came: float
    cost: str | None = None
    currency: str | None = None
    supplier: str = ""
    dye_lot: str = ""
    note: str = ""
    since: str = ""


def put_on_shelf(
    book: Book,
    reed: str,
    colour: str,
    amount: float,
    unit: str = "mm",
    kind: str = "coil",
    note: str = "",
    **more: str | None,
) -> str:
    """A new lot; its id. `more`: cost, currency, supplier, dye_lot."""
    _check(amount, unit)
    with book.writing() as work:
        lot = work.add(LOT, reed=reed, colour=colour, kind=kind, unit=unit, note=note, since=today(), **more)
        _move(work, "came", note, [(lot, amount)])
        return lot


def lots(book: Book, reed: str | None = None, colour: str | None = None, empty: bool = False) -> list[Lot]:
    """What lies on the shelf, by reed and colour, the oldest lot first; `empty` with those that are used up."""
    with book.reading() as db:
        return lots_in(db, reed, colour, empty)


def lots_in(db: Connection, reed: str | None = None, colour: str | None = None, empty: bool = False) -> list[Lot]:
    amount = sa.func.coalesce(sa.func.sum(MOVEMENT.c.amount), 0.0)
    came = sa.func.coalesce(sa.func.sum(sa.case((ACT.c.kind == "came", MOVEMENT.c.amount), else_=0.0)), 0.0)
    asked = (
        sa.select(*LOT.columns, amount.label("amount"), came.label("came"))
        .join_from(LOT, MOVEMENT, MOVEMENT.c.lot_id == LOT.c.id)
        .join(ACT, ACT.c.id == MOVEMENT.c.act_id)
        .where(ACT.c.undone_at.is_(None))
        .group_by(*LOT.columns)
        .order_by(LOT.c.reed, LOT.c.colour, LOT.c.since, LOT.c.id)
    )
    if reed is not None:
        asked = asked.where(LOT.c.reed == reed)
    if colour is not None:
        asked = asked.where(LOT.c.colour == colour)
    found = [Lot(**row) for row in db.execute(asked).mappings()]
    return [lot for lot in found if empty or lot.amount >= LEAST[lot.unit]]


@dataclass(frozen=True)
class Act:
    """One thing done to the shelf: `said` in words, `undone` where it was taken back; for which basket of the book it
    was cut, by its id and `title` ("" for none, or one that was itself taken back)."""

    id: str
    at: str
    said: str
    note: str
    undone: bool
    basket: str = ""
    title: str = ""


SAID = {"came": "came", "cut": "cut", "back": "put back", "count": "counted"}


def acts(book: Book, most: int = 200) -> list[Act]:
    """The last things done to the shelf, the newest first."""
    asked = (
        sa.select(
            ACT.c.id, ACT.c.at, ACT.c.kind, ACT.c.note, ACT.c.undone_at, LOT.c.reed, LOT.c.colour,
            BASKET.c.id.label("basket"), BASKET.c.title,
        )
        .join_from(ACT, MOVEMENT, MOVEMENT.c.act_id == ACT.c.id)
        .join(LOT, LOT.c.id == MOVEMENT.c.lot_id)
        .outerjoin(BASKET, (BASKET.c.id == ACT.c.basket_id) & BASKET.c.undone_at.is_(None))
        .order_by(ACT.c.at.desc(), ACT.c.id)
        .limit(most * 10)
    )  # fmt: skip
    out: dict[str, Act] = {}
    with book.reading() as db:
        for row in db.execute(asked):
            of = f"{row.reed}, {row.colour}"
            said = f"{out[row.id].said}; {of}" if row.id in out else f"{of} {SAID[row.kind]}"
            undone = row.undone_at is not None
            out[row.id] = Act(row.id, row.at, said, row.note, undone, row.basket or "", row.title or "")
    return list(out.values())[:most]


def oldest_first(found: Sequence[Lot], amount: float, what: str, units: str = "in") -> list[tuple[str, float]]:
    """(lot's id, amount) that take `amount` from lots of one unit, the oldest first. Raises NotEnough, also for what is
    no amount."""
    unit = found[0].unit if found else "mm"
    _check(amount, unit, what)
    out, rest = [], amount
    for lot in sorted((lot for lot in found if lot.unit == unit), key=lambda lot: (lot.since, lot.id)):
        part = min(rest, lot.amount)
        if part >= LEAST[unit]:
            out.append((lot.id, part))
            rest -= part
    if rest >= LEAST[unit]:
        raise NotEnough(
            _too_little(amount - rest, amount, unit, units) if found
            else "none of it is on the shelf.",
            what, "See what is there: slype book shelf.",
        )  # fmt: skip
    return out


def gather(found: Sequence[Lot], wanted: Sequence[tuple[str, str, float]], what: str, units: str = "in") -> list:
    """[(lot's id, amount in its unit)] that take so many mm of each (reed, colour, mm), the oldest lots first, measured
    or weighed. Raises NotEnough naming all that the shelf lacks."""
    out: list[tuple[str, float]] = []
    lacking = []
    for reed, colour, mm in wanted:
        mine = [lot for lot in found if (lot.reed, lot.colour) == (reed, colour)]
        rest = mm
        for lot in sorted(mine, key=lambda lot: (lot.since, lot.id)):
            per_mm = 1.0 if lot.unit == "mm" else _g_per_mm(lot.reed)
            part = min(rest, lot.amount / per_mm)
            if part * per_mm >= LEAST[lot.unit]:
                out.append((lot.id, part * per_mm))
                rest -= part
        if rest > 1.0:
            lacking.append(f"{show_run(rest, units)} of {reed}, {colour}")
    if lacking:
        raise NotEnough(
            f"the shelf lacks {'; '.join(lacking)}. Nothing was cut.", what,
            "Put on the shelf what you have (slype book add), or count it anew.",
        )  # fmt: skip
    return out


def _g_per_mm(name: str) -> float:
    try:
        return reed_named(name).g_per_mm
    except DesignError:
        raise DesignError(
            "is weighed, and slype does not know what a foot of it weighs.", name, "Count it by length instead."
        ) from None


def _too_little(left: float, wanted: float, unit: str, units: str) -> str:
    show = show_run if unit == "mm" else show_mass
    return f"only {show(left, units)} of it is left, {show(wanted, units)} is wanted."


def take(book: Book, wanted: Sequence[tuple[str, float]], note: str = "", units: str = "in") -> str:
    """Cut from lots: (lot's id, amount in its unit), all together or none; the act's id, to undo it by.

    Raises NotEnough, and then nothing is taken.
    """
    with book.writing() as work:
        return take_in(work, wanted, note, units)


def take_in(
    work: Writing, wanted: Sequence[tuple[str, float]], note: str, units: str = "in", basket: str | None = None
) -> str:
    """The same as a part of a larger entry; `basket` for which it is cut."""
    total: dict[str, float] = {}
    for lot, amount in wanted:
        total[lot] = total.get(lot, 0.0) + amount
    # On a server others write at the same time: whoever takes from a lot holds it until he is done. In one order, so
    # that two never wait for each other.
    held = work.db.execute(sa.select(LOT.c.id).where(LOT.c.id.in_(total)).order_by(LOT.c.id).with_for_update())
    known = {row.id for row in held}
    there = {lot.id: lot for lot in lots_in(work.db, empty=True) if lot.id in known}
    for lot, amount in total.items():
        if lot not in there:
            raise NotEnough("this lot is not on the shelf.", lot, "See what is there: slype book shelf.")
        found = there[lot]
        _check(amount, found.unit, f"{found.reed}, {found.colour}")
        if amount > found.amount + LEAST[found.unit]:
            raise NotEnough(
                _too_little(found.amount, amount, found.unit, units),
                f"{found.reed}, {found.colour}",
                "Take less, take from another lot too, or count the shelf anew.",
            )
    return _move(work, "cut", note, [(lot, -amount) for lot, amount in total.items()], basket)


def give_back(book: Book, amounts: Sequence[tuple[str, float]], note: str = "") -> str:
    """Put leftovers back to their lots; the act's id."""
    with book.writing() as work:
        units = {lot.id: lot.unit for lot in lots_in(work.db, empty=True)}
        for lot, amount in amounts:
            if lot not in units:
                raise NotEnough("this lot is not on the shelf.", lot, "See what is there: slype book shelf.")
            _check(amount, units[lot])
        return _move(work, "back", note, list(amounts))


def count(book: Book, lot: str, amount: float, note: str = "") -> str:
    """Set right what a lot holds, after it was counted or weighed; the act's id."""
    if not 0 <= amount < 1e9:
        raise NotEnough("a lot holds nothing or more.", lot)
    with book.writing() as work:
        work.db.execute(sa.select(LOT.c.id).where(LOT.c.id == lot).with_for_update())
        found = next((each for each in lots_in(work.db, empty=True) if each.id == lot), None)
        if found is None:
            raise NotEnough("this lot is not on the shelf.", lot, "See what is there: slype book shelf.")
        return _move(work, "count", note, [(lot, amount - found.amount)])


def undo_in(work: Writing, basket: str, at: str) -> None:
    """Put back what was cut for a basket, as a part of a larger entry."""
    mine = sa.select(ACT.c.id).where(ACT.c.basket_id == basket, ACT.c.undone_at.is_(None))
    for row in list(work.db.execute(mine)):
        work.change(ACT, row.id, undone_at=at)


def undo(book: Book, act: str) -> None:
    """Take back one thing done to the shelf. Raises NotEnough where a lot would then hold less than nothing."""
    with book.writing() as work:
        touched = [row.lot_id for row in work.db.execute(sa.select(MOVEMENT.c.lot_id).where(MOVEMENT.c.act_id == act))]
        work.db.execute(sa.select(LOT.c.id).where(LOT.c.id.in_(touched)).order_by(LOT.c.id).with_for_update())
        before = {lot.id for lot in lots_in(work.db, empty=True) if lot.amount < -LEAST[lot.unit]}
        work.change(ACT, act, undone_at=now())
        for lot in lots_in(work.db, empty=True):
            if lot.id in touched and lot.amount < -LEAST[lot.unit] and lot.id not in before:
                raise NotEnough(
                    "some of it has been cut since.", f"{lot.reed}, {lot.colour}",
                    "Undo the later cuts first, or count it.",
                )  # fmt: skip


def _move(work: Writing, kind: str, note: str, amounts: Sequence[tuple[str, float]], basket: str | None = None) -> str:
    act = work.add(ACT, at=now(), kind=kind, note=note, undone_at=None, basket_id=basket)
    for lot, amount in amounts:
        work.add(MOVEMENT, act_id=act, lot_id=lot, amount=float(amount))
    return act


def _check(amount: float, unit: str, what: str = "") -> None:
    """Raises NotEnough for an amount of `what` that is none."""
    if unit not in LEAST:
        raise NotEnough(f'reed is counted in mm or g, not in "{unit[:20]}".')
    if not LEAST[unit] <= amount < 1e9:
        raise NotEnough("this is no amount of reed.", what, "It should be more than nothing, like 3 ft or 40 g.")
