"""The book itself: opened, written to in whole transactions, backed up. One SQLite file, or a PostgreSQL database.

Whoever writes holds the book's lock for that moment, so two programs never cut one coil twice. A file has its diary
beside it (see `diary`); a database server keeps its own.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime

import sqlalchemy as sa
from sqlalchemy import Connection, Table

from .. import system
from ..errors import FileTrouble
from ..files import make_folder
from .diary import Diary, Line, Op
from .migrations import STEPS, take_step, taken
from .tables import MARK, TABLES, defaults_of

WAIT_S = 15.0
"""How long one program waits for another to end its entry."""
DAILY, MONTHLY = 7, 12
"""Backups kept: of the last so many days with entries, and one for each of so many months before."""
MARK_ID = "diary"


def now() -> str:
    """This moment, as the book writes it: so fine that of two things done in a second the later is known."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def today() -> str:
    """This day where the maker is, as the book writes it."""
    return datetime.now().astimezone().date().isoformat()


class Writing:
    """One transaction: what is entered in it is entered whole, or not at all. `db` reads what it has entered so far."""

    def __init__(self, db: Connection) -> None:
        self.db = db
        self.ops: list[Op] = []

    def add(self, table: Table, **values: object) -> str:
        """Enter a new entry; its id."""
        entry = {"id": secrets.token_hex(16), **defaults_of(table), **values}
        self.db.execute(table.insert().values(**entry))
        self.ops.append(("add", table.name, entry))
        return str(entry["id"])

    def change(self, table: Table, key: str, **values: object) -> None:
        """Change an entry. Raises FileTrouble where there is none."""
        if self.db.execute(table.update().where(table.c.id == key).values(**values)).rowcount != 1:
            raise FileTrouble(f"there is no such entry ({table.name}).", key)
        self.ops.append(("change", table.name, {"id": key, **values}))

    def drop(self, table: Table, key: str) -> None:
        """Take an entry out. Raises FileTrouble where there is none."""
        if self.db.execute(table.delete().where(table.c.id == key)).rowcount != 1:
            raise FileTrouble(f"there is no such entry ({table.name}).", key)
        self.ops.append(("drop", table.name, {"id": key}))


class Book:
    """An open book. `path` of its file, "" where it is a database server's."""

    def __init__(self, place: str) -> None:
        """Open the book at `place`, a path or a postgresql:// address; a new one is begun where there is none.

        Raises FileTrouble where it cannot be opened, is no book, or was written by a newer slype.
        """
        self.is_file = not place.startswith(("postgresql://", "postgres://"))
        self.path = os.path.abspath(os.path.expanduser(place)) if self.is_file else ""
        self.name = os.path.basename(self.path) if self.is_file else "the book"
        self.diary = Diary(os.path.splitext(self.path)[0] + ".diary") if self.is_file else None
        if self.is_file:
            make_folder(os.path.dirname(self.path))
        self.engine = file_engine(self.path) if self.is_file else _server_engine(place)
        with self._saying_why():
            self._take_steps()
            self._agree_with_diary()

    def close(self) -> None:
        """Let go of the file or the server."""
        self.engine.dispose()

    def __enter__(self) -> Book:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # Reading and writing -------------------------------------------------------------------------------------------

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one moment of the book."""
        with self._saying_why(), self.engine.begin() as db:
            yield db

    @contextlib.contextmanager
    def writing(self) -> Iterator[Writing]:
        """One transaction. Raises FileTrouble when it cannot be written; then nothing of it is."""
        self._back_up_of_the_day()
        with self._saying_why(), self.engine.connect().execution_options(writes=True) as db:
            before = None
            try:
                with db.begin():
                    work = Writing(db)
                    yield work
                    if work.ops and self.diary is not None:
                        line = Line(1 + mark_of(db), tuple(work.ops))
                        set_mark(db, line.number)
                        before = self.diary.write(line)
            except BaseException:
                if before is not None and self.diary is not None:
                    self.diary.cut(before)  # on disk, but the book never took it
                raise

    @contextlib.contextmanager
    def _saying_why(self) -> Iterator[None]:
        try:
            yield
        except sa.exc.DBAPIError as trouble:
            raise _in_words(trouble, self.path or "the book") from None

    # Opening -----------------------------------------------------------------------------------------------------

    def _take_steps(self) -> None:
        with self.engine.connect() as db:
            done = taken(db)
        if 0 < done < len(STEPS):
            self.back_up("before-step")
        take_steps(self.engine)

    def _agree_with_diary(self) -> None:
        if self.diary is None:
            return
        with self.engine.connect().execution_options(writes=True) as db, db.begin():
            self.diary.take_off_beyond(mark_of(db))

    # Backups -----------------------------------------------------------------------------------------------------

    @property
    def backups(self) -> str:
        """The folder of dated backups."""
        return os.path.splitext(self.path)[0] + "-backups"

    def _back_up_of_the_day(self) -> None:
        if self.is_file and not os.path.exists(self._backup_path(today())):
            self.back_up(today())

    def _backup_path(self, label: str) -> str:
        return os.path.join(self.backups, f"{label}.sqlite")

    def back_up(self, label: str) -> str:
        """A whole copy of the book as it is, by that name; its path. Old ones go by the rule of DAILY and MONTHLY."""
        if not self.is_file:
            return ""
        make_folder(self.backups)
        target = self._backup_path(label)
        half = target + ".half"
        try:
            closing = contextlib.closing
            with closing(sqlite3.connect(self.path)) as here, closing(sqlite3.connect(half)) as to:
                here.backup(to)
            system.replace(half, target)
        except (OSError, sqlite3.Error) as trouble:
            with contextlib.suppress(OSError):
                os.unlink(half)
            raise FileTrouble(f"the backup cannot be written: {trouble}.", target, "Make room on the disk.") from None
        for old in _no_longer_kept([name[:-7] for name in os.listdir(self.backups) if name.endswith(".sqlite")]):
            os.unlink(self._backup_path(old))
        return target


def _no_longer_kept(labels: list[str]) -> list[str]:
    """Which dated backups go: all but the newest DAILY and, of older ones, the last of each of MONTHLY months."""
    days = sorted(label for label in labels if len(label) == 10 and label[4] == label[7] == "-")
    keep = set(days[-DAILY:])
    months: dict[str, str] = {}
    for day in days[:-DAILY]:
        months[day[:7]] = day
    keep |= set(sorted(months.values())[-MONTHLY:])
    return [day for day in days if day not in keep]


def take_steps(engine: sa.Engine) -> None:
    """Take every step that the book has not taken yet, each in a transaction of its own."""
    done = 0
    while done < len(STEPS):
        with engine.connect().execution_options(writes=True) as db, db.begin():
            if engine.dialect.name == "postgresql":
                db.execute(sa.text("SELECT pg_advisory_xact_lock(7395)"))  # two benches may begin at once
            done = taken(db)
            if done < len(STEPS):
                take_step(db, done + 1)


def mark_of(db: Connection) -> int:
    """The last line of the diary that this book holds."""
    return db.execute(sa.select(MARK.c.line).where(MARK.c.id == MARK_ID)).scalar() or 0


def set_mark(db: Connection, line: int) -> None:
    """Write down which line of the diary is the last."""
    if db.execute(MARK.update().where(MARK.c.id == MARK_ID).values(line=line)).rowcount == 0:
        db.execute(MARK.insert().values(id=MARK_ID, line=line))


def replay(db: Connection, line: Line) -> None:
    """Do again what a line of the diary says. Raises FileTrouble where it names a table that is not there."""
    for kind, name, values in line.ops:
        if name not in TABLES or name == MARK.name:
            raise FileTrouble(f'line {line.number} speaks of "{name[:40]}".', "the diary")
        table = TABLES[name]
        if kind == "add":
            db.execute(table.insert().values(**values))
        elif kind == "change":
            db.execute(table.update().where(table.c.id == values["id"]).values(**values))
        else:
            db.execute(table.delete().where(table.c.id == values["id"]))
    set_mark(db, line.number)


def file_engine(path: str) -> sa.Engine:
    """The way to a book's file: each transaction begins when it is said to, and is on disk when it has ended."""
    engine = sa.create_engine(f"sqlite:///{path}", connect_args={"timeout": WAIT_S}, poolclass=sa.pool.NullPool)

    @sa.event.listens_for(engine, "connect")
    def _(raw, _record) -> None:
        raw.isolation_level = None  # SQLAlchemy says when a transaction begins, tables made in it included
        raw.execute("PRAGMA foreign_keys = ON")
        raw.execute("PRAGMA synchronous = EXTRA")  # an entry is on disk before anyone is told that it is

    @sa.event.listens_for(engine, "begin")
    def _(db: Connection) -> None:
        db.exec_driver_sql("BEGIN IMMEDIATE" if db.get_execution_options().get("writes") else "BEGIN")

    return engine


def _server_engine(address: str) -> sa.Engine:
    plain = address.replace("postgres://", "postgresql://", 1).replace("postgresql://", "postgresql+psycopg://", 1)
    try:
        return sa.create_engine(plain, pool_pre_ping=True)
    except ModuleNotFoundError:
        raise FileTrouble(
            "to keep the book on PostgreSQL, its driver is needed.", "the book",
            'Install it: pip install "psycopg[binary]".',
        ) from None  # fmt: skip
    except (sa.exc.ArgumentError, ValueError):
        raise FileTrouble(
            "this is no address of a PostgreSQL database.", "SLYPE_BOOK", "Like postgresql://name@host/book."
        ) from None


def _in_words(trouble: sa.exc.DBAPIError, where: str) -> FileTrouble:
    said = str(trouble.orig).strip().splitlines()[0] if trouble.orig is not None and str(trouble.orig).strip() else ""
    lower = said.lower()
    for sign, words, remedy in (
        ("locked", "another program is writing in the book.", "Wait a moment and try again."),
        ("full", "the disk is full. Nothing was entered.", "Make room and enter it again."),
        ("readonly", "the book cannot be written to. Nothing was entered.", "Allow writing in its folder."),
        ("unable to open", "the book cannot be opened.", "Check the folder and its permissions."),
        ("not a database", "this file is no book, or it is damaged.", "Run: slype book repair."),
        ("malformed", "the book is damaged.", "Run: slype book repair."),
        ("disk i/o", "the disk refuses. Nothing was entered.", "Check the disk, then run: slype book check."),
        ("connection", "the book's server does not answer.", "Check the address in SLYPE_BOOK and that it runs."),
    ):
        if sign in lower:
            return FileTrouble(words, where, remedy)
    return FileTrouble(f"the book refuses: {said[:200]}.", where, "Run: slype book check.")
