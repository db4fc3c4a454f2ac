"""How the book's tables came to be what they are: named steps, each done in one transaction with its record.

A step is never changed once a book may have taken it; what comes later is a new step at the end. The tables of `tables`
are what the last step leaves; a test holds the two against each other. Steps are written with Alembic's operations, so
that one text serves SQLite and PostgreSQL.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import sqlalchemy as sa
from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection

from ..errors import FileTrouble

RECORD = sa.Table(
    "step",
    sa.MetaData(),
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("name", sa.String(80), nullable=False),
    sa.Column("at", sa.String(20), nullable=False),
)


def _id() -> sa.Column:
    return sa.Column("id", sa.String(32), primary_key=True)


def _of(table: str) -> sa.Column:
    return sa.Column(f"{table}_id", sa.String(32), sa.ForeignKey(f"{table}.id"), nullable=False, index=True)


def _text(name: str, size: int, nullable: bool = False, index: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(size), nullable=nullable, index=index)


def _note(name: str = "note") -> sa.Column:
    return sa.Column(name, sa.Text, nullable=False)


def _number(name: str) -> sa.Column:
    return sa.Column(name, sa.Float, nullable=False)


def _whole(name: str) -> sa.Column:
    return sa.Column(name, sa.Integer, nullable=False)


def _shelf(op: Operations) -> None:
    op.create_table(
        "lot", _id(), _text("reed", 80), _text("colour", 80), _text("kind", 16), _text("unit", 2),
        _text("cost", 32, True), _text("currency", 8, True), _text("supplier", 200), _text("dye_lot", 80), _note(),
        _text("since", 10),
    )  # fmt: skip
    op.create_index("lot_reed_colour", "lot", ["reed", "colour"])
    op.create_table("act", _id(), _text("at", 30, index=True), _text("kind", 16), _note(), _text("undone_at", 30, True))
    op.create_table("movement", _id(), _of("act"), _of("lot"), _number("amount"))


def _baskets(op: Operations) -> None:
    op.create_table(
        "basket", _id(), _text("title", 200), _text("made_on", 10, index=True), _note("design"),
        _text("sold_for", 32, True), _text("currency", 8, True), sa.Column("left_out", sa.Boolean, nullable=False),
        _note(),
    )  # fmt: skip
    op.create_table(
        "figure", _id(), _of("basket"), _text("quantity", 32), _text("weave", 80), _text("reed", 80),
        _number("measured"), _number("reckoned"),
    )  # fmt: skip
    op.create_table(
        "used", _id(), _of("basket"), _text("reed", 80), _text("colour", 80), _number("length_mm"), _number("left_mm")
    )
    op.create_table("hours", _id(), _of("basket"), _text("part", 80), _number("seconds"))
    op.create_table("photo", _id(), _of("basket"), _text("sha256", 64), _text("name", 200), _whole("size"))


def _classes(op: Operations) -> None:
    op.create_table(
        "class_held", _id(), _text("title", 200), _text("held_on", 10, index=True), _note("plan"), _whole("seats"),
        _note(),
    )  # fmt: skip
    op.create_table(
        "pace", _id(), _of("class_held"), _whole("seat"), _text("name", 200, True), _text("part", 80),
        _whole("strokes"), _number("seconds"),
    )  # fmt: skip


def _mark(op: Operations) -> None:
    op.create_table("mark", _id(), _whole("line"))


def _money(op: Operations) -> None:
    op.create_table(
        "money", _id(), _text("on", 10, index=True), _text("kind", 16), _text("what", 200), _text("amount", 32),
        _text("currency", 8), sa.Column("basket_id", sa.String(32), sa.ForeignKey("basket.id")),
        sa.Column("class_held_id", sa.String(32), sa.ForeignKey("class_held.id")),
    )  # fmt: skip


def _makers(op: Operations) -> None:
    # Written out, because SQLite takes a column that points to another table in this form only.
    op.execute("ALTER TABLE act ADD COLUMN basket_id VARCHAR(32) REFERENCES basket (id)")
    op.add_column("basket", sa.Column("maker", sa.String(80), nullable=False, server_default=""))
    op.add_column("basket", sa.Column("undone_at", sa.String(30)))
    op.add_column("figure", sa.Column("name", sa.String(120), nullable=False, server_default=""))
    op.add_column("figure", sa.Column("parts", sa.Text, nullable=False, server_default=""))


def _entered(op: Operations) -> None:
    op.add_column("basket", sa.Column("entered_at", sa.String(30), nullable=False, server_default=""))


def _pictures(op: Operations) -> None:
    op.create_table("picture", sa.Column("sha256", sa.String(64), primary_key=True), sa.Column("raw", sa.LargeBinary,
                    nullable=False))  # fmt: skip


STEPS: tuple[tuple[str, Callable[[Operations], None]], ...] = (
    ("the shelf: lots, what is done to them, movements", _shelf),
    ("baskets made: figures, reed used, hours, photographs", _baskets),
    ("classes held, and the pace in them", _classes),
    ("money that came in and went out", _money),
    ("how far the diary goes", _mark),
    ("several makers, baskets taken back, figures by name, reed cut for a basket", _makers),
    ("when a basket was entered", _entered),
    ("bytes of photographs, for a book on a server", _pictures),
)


def taken(db: Connection) -> int:
    """How many steps this book has taken; 0 for an empty one. Raises FileTrouble for one of a newer slype."""
    if not sa.inspect(db).has_table(RECORD.name):
        return 0
    numbers = [row.number for row in db.execute(sa.select(RECORD.c.number).order_by(RECORD.c.number))]
    if len(numbers) > len(STEPS):
        raise FileTrouble(
            "this book was written by a newer slype.", "the book", "Bring slype up to date; the book is left as it is."
        )
    if numbers != list(range(1, len(numbers) + 1)):
        raise FileTrouble("its record of steps has gaps.", "the book", "Run: slype book repair.")
    return len(numbers)


def take_step(db: Connection, number: int) -> None:
    """Take step `number` (from 1) and write it into the record, in the transaction that is open on `db`."""
    if number == 1:
        RECORD.create(db, checkfirst=True)
    name, up = STEPS[number - 1]
    up(Operations(MigrationContext.configure(db)))
    now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    db.execute(RECORD.insert().values(number=number, name=name, at=now))
