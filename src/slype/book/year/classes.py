"""Classes held: when, what it brought, and how fast its students were, by seat; by name only where the teacher wants
it."""

from __future__ import annotations

import csv
import io
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

import sqlalchemy as sa

from ...errors import DesignError, FileTrouble
from .. import said
from ..learning.gauge import Estimate, Measure, learn
from ..store import Book, Writing
from ..tables import CLASS, MONEY, PACE

HEADING = ("seat", "part", "time", "strokes", "name")
MOST_SEATS = 200


@dataclass(frozen=True)
class Paced:
    """How long one seat took for a `part` of the work: `seconds`, for so many `strokes` (0: not counted)."""

    seat: int
    part: str
    seconds: float
    strokes: int = 0
    name: str | None = None


@dataclass(frozen=True)
class Held:
    """A class in the book; `brought` what came in for it, with its currency."""

    id: str
    title: str
    held_on: str
    seats: int
    note: str
    brought: str | None
    currency: str
    paced: int


def read_pace(text: str, name: str, names: bool) -> list[Paced]:
    """Rows of a table with the headings seat, part and time (like 0:45, or minutes alone), and if you like strokes and
    name, or without headings in this order; names are passed over unless `names`. Raises FileTrouble naming row and
    column."""
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    between = next((sign for sign in "\t;" if sign in first), ",")  # pasted from a spreadsheet, or saved by one
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=between))
    except csv.Error as trouble:
        raise FileTrouble(f"cannot be read as a table: {trouble}.", name) from None
    begin = 2
    if rows and rows[0] and rows[0][0].strip().isdigit():  # times at once: the columns in their usual order
        rows.insert(0, list(HEADING))
        begin = 1
    heading = [cell.strip().lower() for cell in rows[0]] if rows else []
    missing = [each for each in HEADING[:3] if each not in heading]
    if missing:
        raise FileTrouble(f"its heading lacks {', '.join(missing)}.", name, f"It should be: {','.join(HEADING)}")
    out = []
    for number, row in enumerate(rows[1:], start=begin):
        if any(cell.strip() for cell in row):
            cells = dict(zip(heading, (cell.strip() for cell in row), strict=False))
            out.append(_paced(cells, f"{name}, row {number}", names))
    return out


def nameless(pace: Sequence[Paced]) -> list[Paced]:
    """The same without names."""
    return [replace(each, name=None) for each in pace]


def _paced(cells: dict[str, str], where: str, names: bool) -> Paced:
    seat, strokes = (cells.get(key) or "0" for key in ("seat", "strokes"))
    for key, text in (("seat", seat), ("strokes", strokes)):
        if not (text.isascii() and text.isdigit() and len(text) < 7):
            raise FileTrouble(f'"{text[:20]}" is no count.', f"{where}, {key}")
    if not 1 <= int(seat) <= MOST_SEATS:
        raise FileTrouble(f"there is no seat {seat}.", f"{where}, seat", f"From 1 to {MOST_SEATS}.")
    part = cells.get("part", "")
    if not part:
        raise FileTrouble("this cell may not be empty.", f"{where}, part")
    time = said.seconds(cells.get("time", ""), f"{where}, time", "min")
    return Paced(int(seat), part[:80], time, int(strokes), (cells.get("name") or None) if names else None)


def record(
    book: Book, title: str, held_on: str, seats: int, plan: str = "", note: str = "", brought: str | None = None,
    currency: str = "", pace: Sequence[Paced] = (),
) -> str:  # fmt: skip
    """Enter a class that was held; its id. `plan` the text of its file. Raises DesignError for no seats."""
    if not 1 <= seats <= MOST_SEATS:
        raise DesignError("a class has 1 to 200 seats.", "seats")
    with book.writing() as work:
        key = work.add(CLASS, title=title[:200], held_on=held_on, plan=plan, seats=seats, note=note)
        if brought is not None:
            work.add(
                MONEY, on=held_on, kind="came in", what=title[:200], amount=brought, currency=currency,
                class_held_id=key, basket_id=None,
            )  # fmt: skip
        _pace_in(work, key, pace)
        return key


def _pace_in(work: Writing, held: str, pace: Sequence[Paced]) -> None:
    for each in pace:
        work.add(
            PACE, class_held_id=held, seat=each.seat, name=each.name, part=each.part, strokes=each.strokes,
            seconds=each.seconds,
        )  # fmt: skip


def add_pace(book: Book, held: str, pace: Sequence[Paced]) -> None:
    """Enter students' times of a class that is in the book. Raises DesignError where it is not."""
    with book.writing() as work:
        if work.db.execute(sa.select(CLASS.c.id).where(CLASS.c.id == held)).first() is None:
            raise DesignError("there is no such class in the book.", "class")
        _pace_in(work, held, pace)


def take_back(book: Book, held: str) -> None:
    """Take a class out of the book, with what it brought and its students' times; the diary keeps that it was there.
    Raises FileTrouble where there is no such class."""
    with book.writing() as work:
        for table in (PACE, MONEY):
            for row in list(work.db.execute(sa.select(table.c.id).where(table.c.class_held_id == held))):
                work.drop(table, row.id)
        work.drop(CLASS, held)


def held(book: Book) -> list[Held]:
    """Classes of the book, the newest first."""
    paced = sa.select(sa.func.count()).where(PACE.c.class_held_id == CLASS.c.id).scalar_subquery()
    asked = (
        sa.select(
            *(CLASS.c[name] for name in ("id", "title", "held_on", "seats", "note")),
            MONEY.c.amount.label("brought"), sa.func.coalesce(MONEY.c.currency, "").label("currency"),
            paced.label("paced"),
        )
        .select_from(CLASS.outerjoin(MONEY, MONEY.c.class_held_id == CLASS.c.id))
        .order_by(CLASS.c.held_on.desc(), CLASS.c.id)
    )  # fmt: skip
    with book.reading() as db:
        return [Held(**row) for row in db.execute(asked).mappings()]


@dataclass(frozen=True)
class Part:
    """How students were with one part of the work: `seats` that did it, the middle, quickest and slowest of their
    times, and the middle of their strokes a minute (None: not counted)."""

    part: str
    seats: int
    middle_s: float
    quickest_s: float
    slowest_s: float
    strokes_per_minute: float | None


def paces(book: Book) -> list[Part]:
    """Students' pace in all classes together, part by part; nobody is named."""
    with book.reading() as db:
        rows = list(db.execute(sa.select(PACE.c.part, PACE.c.seconds, PACE.c.strokes).order_by(PACE.c.part)))
    out = []
    for part in dict.fromkeys(row.part for row in rows):
        mine = [row for row in rows if row.part == part]
        times = [row.seconds for row in mine]
        speeds = [60 * row.strokes / row.seconds for row in mine if row.strokes and row.seconds > 0]
        out.append(
            Part(
                part, len(mine), statistics.median(times), min(times), max(times),
                statistics.median(speeds) if speeds else None,
            )
        )  # fmt: skip
    return out


@dataclass(frozen=True)
class Student:
    """How fast one student was: `who` (a name where names are kept, else seat and class), `parts` timed of them, and
    their time as a share of the class's middle, with its range."""

    who: str
    parts: int
    share: Estimate


def students(book: Book) -> list[Student]:
    """Each student's pace, learned as a maker's is: begun from the class's middle, and pulled away from it as far as
    their times are strong evidence. Parts that nobody else was timed at say nothing. The slowest first."""
    asked = sa.select(
        PACE.c.class_held_id, PACE.c.seat, PACE.c.name, PACE.c.part, PACE.c.seconds, CLASS.c.title
    ).join_from(PACE, CLASS, CLASS.c.id == PACE.c.class_held_id)
    with book.reading() as db:
        rows = list(db.execute(asked.order_by(CLASS.c.held_on, PACE.c.seat, PACE.c.id)))
    times: dict[tuple[str, str], list[float]] = {}
    for row in rows:
        times.setdefault((row.class_held_id, row.part), []).append(row.seconds)
    of: dict[str, list[Measure]] = {}
    for row in rows:
        mine = times[row.class_held_id, row.part]
        if len(mine) > 1 and row.seconds > 0 and (middle := statistics.median(mine)) > 0:
            who = row.name or f"seat {row.seat}, {row.title}"
            of.setdefault(who, []).append(
                Measure("stroke time", row.class_held_id, row.seconds, middle, weave=row.part)
            )
    found = [Student(who, len(mine), learn("stroke time", mine).estimate()) for who, mine in of.items()]
    return sorted(found, key=lambda each: -each.share.middle)
