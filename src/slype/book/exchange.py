"""The whole book as plain files, and back: a table each as CSV, designs and classes as TOML, photographs in a folder.

The files are for eyes and for other programs as much as for another book: UTF-8, a heading in every table, one entry a
row. What is brought in is added to what is there; an entry that is there already, just so, is passed over, and one that
is there in another form is refused before anything is written.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Callable

import sqlalchemy as sa

from .. import files
from ..errors import FileTrouble
from .photographs import bytes_of, folder_of, hash_of, path_of, put_on_server
from .store import Book, Writing
from .tables import MARK, PHOTO, TABLES, defaults_of

TEXTS = {"basket": ("design", "designs"), "class_held": ("plan", "classes")}
"""By table: the column that is a file of its own, and the folder of these files."""
KINDS: dict[type, Callable[[str], object]] = {
    sa.Float: float,
    sa.Integer: int,
    sa.Boolean: lambda text: {"yes": True, "no": False}[text],
}
LATER = {"act": ("basket_id",), "basket": ("maker", "undone_at", "entered_at"), "figure": ("name", "parts")}
"""By table: columns that came after the first books were exported."""
_ID = re.compile(r"[0-9a-f]{1,32}")


def export(book: Book, folder: str) -> list[str]:
    """Write everything into `folder`, which must be empty or new; the names of what was written."""
    files.make_folder(folder)
    if files.read_folder(folder):
        raise FileTrouble("this folder is not empty.", folder, "Name a new one.")
    written = []
    with book.reading() as db:
        for name, table in TABLES.items():
            if name == MARK.name:
                continue
            rows = [dict(row) for row in db.execute(table.select().order_by(table.c.id)).mappings()]
            if name in TEXTS:
                written += _texts_out(folder, *TEXTS[name], rows)
            files.write(os.path.join(folder, f"{name}.csv"), _as_csv(table, rows))
            written.append(f"{name}.csv")
        hashes = [row.sha256 for row in db.execute(sa.select(PHOTO.c.sha256).distinct())]
    for sha256 in hashes:
        raw = bytes_of(book, sha256)
        if raw is not None:
            files.make_folder(os.path.join(folder, "photographs"))
            files.write(os.path.join(folder, "photographs", sha256), raw)
            written.append(f"photographs/{sha256}")
    return written


def _texts_out(folder: str, column: str, subfolder: str, rows: list[dict]) -> list[str]:
    """Write the texts of a column as files of their own; in the rows their names take their place."""
    files.make_folder(os.path.join(folder, subfolder))
    out = []
    for row in rows:
        name = f"{subfolder}/{row['id']}.toml"
        files.write(os.path.join(folder, name), row[column].encode("utf-8", "surrogatepass"))
        row[column] = name
        out.append(name)
    return out


def _as_csv(table: sa.Table, rows: list[dict]) -> str:
    """What is not there is written as nothing. Text that begins with = + - or @ gets a ' before it, so that no
    spreadsheet takes it for a formula; so do empty text and text that begins with a '."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    names = [column.name for column in table.columns]
    writer.writerow(names)
    for row in rows:
        writer.writerow([_cell(row[name]) for name in names])
    return out.getvalue()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value)
    text = str(value)
    return "'" + text if not isinstance(value, int) and text[:1] in ("", *"=+-@'") else text


def bring_in(book: Book, folder: str) -> int:
    """Add the entries of an exported folder; how many were new. Raises FileTrouble, naming file, row and column, and
    then adds nothing."""
    if not any(name.removesuffix(".csv") in TABLES for name in files.read_folder(folder)):
        raise FileTrouble("no book was exported into this folder.", folder, "Name the folder of: slype book export.")
    found = {name: _read(folder, table) for name, table in TABLES.items() if name != MARK.name}
    new = 0
    with book.writing() as work:
        for name, table in TABLES.items():
            for number, entry in found.get(name, []):
                there = work.db.execute(table.select().where(table.c.id == entry["id"])).mappings().first()
                if there is None:
                    try:
                        with work.db.begin_nested():
                            work.add(table, **entry)
                    except sa.exc.IntegrityError:
                        where = f"{name}.csv, row {number}"
                        raise FileTrouble("points to an entry that is not there.", where) from None
                    new += 1
                elif dict(there) != entry:
                    raise FileTrouble(
                        "this entry is in the book already, and says something else.", f"{name}.csv, row {number}",
                        "Change one of the two, or bring it into a new book.",
                    )  # fmt: skip
        _photographs_in(book, work, folder, [entry["sha256"] for _, entry in found["photo"]])
    return new


def _read(folder: str, table: sa.Table) -> list[tuple[int, dict]]:
    """(row's number in the file, entry) of a table's file; [] where there is none."""
    name = f"{table.name}.csv"
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        return []
    try:
        with open(path, encoding="utf-8-sig", newline="") as file:
            rows = list(csv.reader(file))
    except (OSError, UnicodeDecodeError, csv.Error) as trouble:
        raise FileTrouble(f"cannot be read: {trouble}.", name) from None
    heading = rows[0] if rows else []
    wanted = [column.name for column in table.columns]
    later = {c.name: default for c, default in _later(table)}
    lacks = [each for each in wanted if each not in heading and each not in later]
    if lacks or len(set(heading)) != len(heading) or not set(heading) <= set(wanted):
        raise FileTrouble(
            f"its heading lacks {', '.join(lacks)}." if lacks else "its heading names columns that are not the book's.",
            name, f"It should be: {','.join(wanted)}",
        )  # fmt: skip
    out = []
    for number, row in enumerate(rows[1:], start=2):
        if len(row) != len(heading):
            raise FileTrouble(f"has {len(row)} cells, the heading {len(heading)}.", f"{name}, row {number}")
        cells = dict(zip(heading, row, strict=True))
        entry = {
            c.name: _value(c, cells[c.name], f"{name}, row {number}, {c.name}") if c.name in cells else later[c.name]
            for c in table.columns
        }
        if not _ID.fullmatch(str(entry["id"])):
            raise FileTrouble("an id is made of up to 32 of the signs 0-9 and a-f.", f"{name}, row {number}, id")
        if table.name in TEXTS:
            _text_in(folder, entry, *TEXTS[table.name], f"{name}, row {number}")
        out.append((number, entry))
    return out


def _later(table: sa.Table) -> list[tuple[sa.Column, object]]:
    """Columns that an export of an older slype lacks, and what they hold then."""
    known = defaults_of(table)
    return [(column, known[column.name]) for column in table.columns if column.name in LATER.get(table.name, ())]


def _value(column: sa.Column, text: str, where: str) -> object:
    if text == "":
        if column.nullable:
            return None
        raise FileTrouble("this cell may not be empty.", where)
    kind = next((KINDS[each] for each in KINDS if type(column.type) is each), None)
    if kind is None:
        return text.removeprefix("'")
    try:
        value = kind(text)
    except (ValueError, KeyError):
        raise FileTrouble(f'"{text[:40]}" is not what belongs here.', where) from None
    if isinstance(value, float) and not abs(value) < float("inf"):
        raise FileTrouble(f'"{text[:40]}" is no figure.', where)
    return value


def _text_in(folder: str, entry: dict, column: str, subfolder: str, where: str) -> None:
    name = entry[column]
    if name != f"{subfolder}/{entry['id']}.toml":
        raise FileTrouble(f'the file should be "{subfolder}/{entry["id"]}.toml".', f"{where}, {column}")
    try:
        with open(os.path.join(folder, name), "rb") as file:
            entry[column] = file.read(files.MOST_BYTES * 5).decode("utf-8", "surrogatepass")
    except (OSError, UnicodeDecodeError) as trouble:
        raise FileTrouble(f"cannot be read: {trouble}.", name) from None


def _photographs_in(book: Book, work: Writing, folder: str, hashes: list[str]) -> None:
    for sha256 in dict.fromkeys(hashes):
        source = os.path.join(folder, "photographs", sha256)
        target = path_of(folder_of(book), sha256)
        there = book.is_file and os.path.exists(target)
        if not re.fullmatch(r"[0-9a-f]{64}", sha256) or not os.path.isfile(source) or there:
            continue
        if hash_of(source) != sha256:
            raise FileTrouble("this photograph is damaged.", source)
        with open(source, "rb") as file:
            raw = file.read()
        if book.is_file:
            files.make_folder(os.path.dirname(target))
            files.write(target, raw)
        else:
            put_on_server(work, sha256, raw)
