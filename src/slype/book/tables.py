"""What the book holds: one record for each table, the same on SQLite and on PostgreSQL.

Every entry has an id of its own, made at random, so that entries of two benches, of a diary and of an import never
collide. Lengths mm, masses g, times s; days as 2026-05-09, moments as 2026-05-09T14:03:22.000123Z; money as text with a
decimal point, so that no cent is lost to rounding.
"""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Float, ForeignKey, Index, Integer, LargeBinary, MetaData, String, Table, Text
from sqlalchemy.sql.schema import ScalarElementColumnDefault

META = MetaData()


def _table(name: str, *columns: Column, **more) -> Table:
    return Table(name, META, Column("id", String(32), primary_key=True), *columns, **more)


def _of(table: str) -> Column:
    return Column(f"{table}_id", String(32), ForeignKey(f"{table}.id"), nullable=False, index=True)


LOT = _table(
    "lot",
    Column("reed", String(80), nullable=False),
    Column("colour", String(80), nullable=False),
    Column("kind", String(16), nullable=False),  # coil, offcuts
    Column("unit", String(2), nullable=False),  # mm or g: what it is counted in
    Column("cost", String(32)),
    Column("currency", String(8)),
    Column("supplier", String(200), nullable=False, default=""),
    Column("dye_lot", String(80), nullable=False, default=""),
    Column("note", Text, nullable=False, default=""),
    Column("since", String(10), nullable=False),
)
ACT = _table(
    "act",  # one thing done to the shelf, undone as a whole
    Column("at", String(30), nullable=False, index=True),
    Column("kind", String(16), nullable=False),  # came, cut, back, count
    Column("note", Text, nullable=False, default=""),
    Column("undone_at", String(30)),
    Column("basket_id", String(32), ForeignKey("basket.id")),  # for which it was cut, where that was entered
)
MOVEMENT = _table(
    "movement",
    _of("act"),
    _of("lot"),
    Column("amount", Float, nullable=False),  # in the lot's unit; below 0 what was taken
)
BASKET = _table(
    "basket",
    Column("title", String(200), nullable=False),
    Column("made_on", String(10), nullable=False, index=True),
    Column("design", Text, nullable=False),  # the design file's text, as woven
    Column("sold_for", String(32)),
    Column("currency", String(8)),
    Column("left_out", Boolean, nullable=False, default=False),  # teaches nothing
    Column("note", Text, nullable=False, default=""),
    Column("maker", String(80), nullable=False, default=""),  # "": whose book it is
    Column("undone_at", String(30)),  # taken back: it counts nowhere
    Column("entered_at", String(30), nullable=False, default=""),
)
FIGURE = _table(
    "figure",  # what was measured, beside what slype reckoned on that day
    _of("basket"),
    Column("quantity", String(32), nullable=False),
    Column("weave", String(80), nullable=False, default=""),
    Column("reed", String(80), nullable=False, default=""),
    Column("measured", Float, nullable=False),
    Column("reckoned", Float, nullable=False),
    Column("name", String(120), nullable=False, default=""),  # as it was asked for, like "height of band 3"
    Column("parts", Text, nullable=False, default=""),  # of a figure of several bands: [[weave, reed, share], ...]
)
USED = _table(
    "used",
    _of("basket"),
    Column("reed", String(80), nullable=False),
    Column("colour", String(80), nullable=False),
    Column("length_mm", Float, nullable=False),
    Column("left_mm", Float, nullable=False, default=0.0),
)
HOURS = _table(
    "hours",
    _of("basket"),
    Column("part", String(80), nullable=False),
    Column("seconds", Float, nullable=False),
)
PHOTO = _table(
    "photo",
    _of("basket"),
    Column("sha256", String(64), nullable=False),
    Column("name", String(200), nullable=False),
    Column("size", Integer, nullable=False),
)
CLASS = _table(
    "class_held",
    Column("title", String(200), nullable=False),
    Column("held_on", String(10), nullable=False, index=True),
    Column("plan", Text, nullable=False, default=""),  # the class file's text
    Column("seats", Integer, nullable=False),
    Column("note", Text, nullable=False, default=""),
)
PACE = _table(
    "pace",
    _of("class_held"),
    Column("seat", Integer, nullable=False),
    Column("name", String(200)),  # only where the teacher wants it
    Column("part", String(80), nullable=False),
    Column("strokes", Integer, nullable=False, default=0),
    Column("seconds", Float, nullable=False),
)
MONEY = _table(
    "money",
    Column("on", String(10), nullable=False, index=True),
    Column("kind", String(16), nullable=False),  # came in, went out
    Column("what", String(200), nullable=False),
    Column("amount", String(32), nullable=False),
    Column("currency", String(8), nullable=False, default=""),
    Column("basket_id", String(32), ForeignKey("basket.id")),
    Column("class_held_id", String(32), ForeignKey("class_held.id")),
)
MARK = _table(
    "mark",  # one entry: the last line of the diary that this book holds
    Column("line", Integer, nullable=False),
)
Index("lot_reed_colour", LOT.c.reed, LOT.c.colour)


def defaults_of(table: Table) -> dict[str, object]:
    """What an entry holds that says nothing of a column which may be left empty."""
    out: dict[str, object] = {}
    for column in table.columns:
        if isinstance(column.default, ScalarElementColumnDefault):
            out[column.name] = column.default.arg
        elif column.nullable:
            out[column.name] = None
    return out


PICTURE = Table(
    "picture",  # bytes of photographs, on a server only: a file has them beside it, where the diary need not hold them
    MetaData(),
    Column("sha256", String(64), primary_key=True),
    Column("raw", LargeBinary, nullable=False),
)

TABLES: dict[str, Table] = {table.name: table for table in META.sorted_tables}
"""Every table, each after those it points to."""
