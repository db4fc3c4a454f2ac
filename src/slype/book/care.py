"""Caring for the book: is every entry whole, and the way back where one is not.

What is checked: that the file is sound, that what points somewhere finds it, that book and diary say the same, that no
lot holds less than nothing, that photographs are what they were. What is repaired: the book from its diary, the diary
from its book, or, where both are damaged, the newest sound backup and every line of the diary after it that can be
read. Nothing is thrown away: what was there is put aside first.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
from dataclasses import dataclass

import sqlalchemy as sa

from .. import system
from ..errors import FileTrouble, SlypeError
from .diary import Diary, Line
from .store import Book, file_engine, mark_of, now, replay, set_mark, take_steps
from .tables import MARK, TABLES, defaults_of


@dataclass(frozen=True)
class Trouble:
    """One thing wrong: a sentence, and whether `slype book repair` mends it."""

    said: str
    mended_by_repair: bool = True


def check(place: str, photos: str | None = None) -> list[Trouble]:
    """Everything wrong with the book at `place`, and its photographs in the folder `photos`; [] where all is well."""
    found = _unsound(place)
    if found:
        return found
    try:
        with Book(place) as book:
            with book.reading() as db:
                tables = _contents(db)
                mark = mark_of(db)
                orphans = list(db.exec_driver_sql("PRAGMA foreign_key_check")) if book.is_file else []
            if orphans:
                found.append(Trouble(f"{len(orphans)} entries point to others that are not there."))
            if book.diary is not None:
                found += _against_diary(book.diary, mark, tables)
            found += _below_nothing(book)
            if not book.is_file:
                found += _on_server(book, tables)
    except SlypeError as trouble:
        return [Trouble(str(trouble))]
    except ValueError as trouble:
        return [Trouble(f"an entry cannot be read ({trouble}).")]
    return found + _photographs(tables, photos)


def _unsound(place: str) -> list[Trouble]:
    """What SQLite itself says of the file."""
    if place.startswith("postgres") or not os.path.exists(place):
        return []
    try:
        with contextlib.closing(sqlite3.connect(f"file:{os.path.abspath(place)}?mode=ro", uri=True)) as db:
            said = [row[0] for row in db.execute("PRAGMA integrity_check(5)")]
    except (sqlite3.Error, ValueError) as trouble:  # what it says of damage may itself be unreadable
        return [Trouble(f"the file is damaged ({trouble}).")]
    return [] if said == ["ok"] else [Trouble(f"the file is damaged ({said[0][:120]}).")]


def _contents(db: sa.Connection) -> dict[str, dict[str, dict]]:
    """Every entry of every table by its id."""
    return {
        name: {row["id"]: dict(row) for row in db.execute(table.select()).mappings()}
        for name, table in TABLES.items()
        if name != MARK.name
    }


def _told(lines: list[Line]) -> dict[str, dict[str, dict]]:
    """What the tables would hold by the diary alone."""
    out: dict[str, dict[str, dict]] = {name: {} for name in TABLES if name != MARK.name}
    for line in lines:
        for kind, name, values in line.ops:
            table = out.setdefault(name, {})
            if kind == "add":
                # A line of an older slype lacks what later steps added: it stands there as these steps have left it.
                table[values["id"]] = {**(defaults_of(TABLES[name]) if name in TABLES else {}), **values}
            elif kind == "change":
                table.setdefault(values["id"], {}).update(values)
            else:
                table.pop(values["id"], None)
    return out


def _against_diary(diary: Diary, mark: int, tables: dict[str, dict[str, dict]]) -> list[Trouble]:
    lines = list(diary.lines())
    bad = sum(line is None for line in lines)
    whole = [line for line in lines if line is not None]
    if bad or [line.number for line in whole] != list(range(1, mark + 1)):
        missing = mark - len(whole)
        return [Trouble(f"{max(bad, missing)} of {mark} lines of the diary are damaged or missing.")]
    told = _told(whole)
    apart = sum(told[name].get(key) != tables[name].get(key) for name in tables for key in {*told[name], *tables[name]})
    return [Trouble(f"{apart} entries of the book are not as the diary tells them.")] if apart else []


def _below_nothing(book: Book) -> list[Trouble]:
    from .shelf import LEAST, lots

    return [
        Trouble(f"{lot.reed}, {lot.colour}: the shelf holds less than nothing; count it.", False)
        for lot in lots(book, empty=True)
        if lot.amount < -LEAST[lot.unit]
    ]


def _on_server(book: Book, tables: dict[str, dict[str, dict]]) -> list[Trouble]:
    """Photographs of a book on a server that are not there as they were."""
    from .photographs import bytes_of

    return [
        Trouble(f"the photograph {entry['name']} is missing or damaged.", False)
        for entry in tables["photo"].values()
        if bytes_of(book, entry["sha256"]) is None
    ]


def _photographs(tables: dict[str, dict[str, dict]], folder: str | None) -> list[Trouble]:
    from .photographs import hash_of, path_of

    found = []
    if folder is None:
        return []
    for entry in tables["photo"].values():
        path = path_of(folder, entry["sha256"])
        if not os.path.exists(path):
            found.append(Trouble(f"the photograph {entry['name']} is missing.", False))
        elif hash_of(path) != entry["sha256"]:
            found.append(Trouble(f"the photograph {entry['name']} is damaged.", False))
    return found


def repair(place: str) -> list[str]:
    """Mend the book at `place` as far as can be; what was done, in sentences. Nothing is thrown away."""
    path = os.path.abspath(place)
    stem = os.path.splitext(path)[0]
    diary = Diary(stem + ".diary")
    aside = _put_aside(path, diary.path)
    if not _unsound(path) and os.path.exists(path):
        with contextlib.suppress(SlypeError), Book(path) as book:
            with book.reading() as db:
                tables, mark = _contents(db), mark_of(db)
            trouble = _against_diary(diary, mark, tables)
            if not trouble:
                return ["The book and its diary are sound; nothing was changed."]
            if "diary" in trouble[0].said and "lines" in trouble[0].said:
                _write_diary_anew(book, diary)
                return [f"The diary was written anew from the book. What was there lies in {aside}."]
    lines = list(diary.lines())
    whole = [line for line in lines if line is not None]
    start, said = _best_start(stem + "-backups", lines)
    _build(path, start, whole)
    done = _mark_of(start)
    last = max([len(lines), done, *(line.number for line in whole)])
    lost = last - done - sum(line.number > done for line in whole)
    said += ["Every entry was brought back." if not lost else f"{lost} of {last} entries cannot be read and are lost."]
    if len(whole) < last:
        with Book(path) as book:
            _write_diary_anew(book, diary)
    return [*said, f"What was there lies in {aside}."]


def _put_aside(*paths: str) -> str:
    folder = os.path.splitext(paths[0])[0] + "-damaged-" + now()[:19].replace(":", "")
    while os.path.exists(folder):
        folder += "x"
    os.makedirs(folder)
    for path in (*paths, paths[0] + "-journal"):
        if os.path.exists(path):
            shutil.copy2(path, folder)
    return folder


def _mark_of(path: str | None) -> int:
    """The last line of the diary that a book or backup holds."""
    if path is None:
        return 0
    engine = file_engine(path)
    try:
        with engine.begin() as db:
            return mark_of(db)
    except sa.exc.DBAPIError:
        return 0
    finally:
        engine.dispose()


def _best_start(backups: str, lines: list[Line | None]) -> tuple[str | None, list[str]]:
    """The backup to build on, None for an empty book, and a sentence about it."""
    if lines and None not in lines:
        return None, ["The book was built anew from its diary."]
    sound = []
    if os.path.isdir(backups):
        for name in sorted(os.listdir(backups)):
            path = os.path.join(backups, name)
            if name.endswith(".sqlite") and not _unsound(path):
                sound.append((_mark_of(path), path))
    if not sound:
        return None, ["The book was built anew from what can be read of its diary; there was no backup."]
    _, path = max(sound)
    name = os.path.basename(path)
    return path, [f"The book was built anew from the backup {name} and what the diary tells after it."]


def _build(path: str, start: str | None, whole: list[Line]) -> None:
    """Make the book at `path` of a backup (or of nothing) and the lines of the diary after it."""
    half = path + ".repairing"
    for old in (half, half + "-journal"):
        with contextlib.suppress(FileNotFoundError):
            os.unlink(old)
    if start is not None:
        shutil.copyfile(start, half)
    engine = file_engine(half)
    try:
        take_steps(engine)
        with engine.connect().execution_options(writes=True) as db, db.begin():
            done = mark_of(db)
            for line in whole:
                if line.number > done:
                    with contextlib.suppress(FileTrouble), db.begin_nested():
                        replay(db, line)
            set_mark(db, max([done, *(line.number for line in whole)]))
    finally:
        engine.dispose()
    with contextlib.suppress(FileNotFoundError):
        os.unlink(path + "-journal")
    system.replace(half, path)


def _write_diary_anew(book: Book, diary: Diary) -> None:
    """One line that tells the whole book as it is."""
    with book.engine.connect().execution_options(writes=True) as db, db.begin():
        ops = tuple(
            ("add", name, dict(row))
            for name, table in TABLES.items()
            if name != MARK.name
            for row in db.execute(table.select()).mappings()
        )
        diary.rewrite([Line(1, ops)] if ops else [])
        set_mark(db, 1 if ops else 0)
