"""CSV files as spreadsheets write them: any usual separator, decimal comma, byte-order mark, letters of any age.

Rows come out with the numbers a spreadsheet shows, so that a message can name file, row and column.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from ...errors import DesignError, Place, did_you_mean
from ..values import Remark

SEPARATORS = (",", ";", "\t", "|")
MOST_ROWS = 1000


@dataclass(frozen=True)
class Row:
    """One row below the heading: `number` as a spreadsheet counts, the heading being row 1; `cells` by column; `path`
    of the table that it would be in the class file."""

    file: str
    number: int
    cells: dict[str, str]
    path: tuple[str | int, ...] = ()

    def at(self, column: str) -> Place:
        """Where a cell stands, for messages."""
        return Place(f"{self.file}, row {self.number}, column {column}", (*self.path, column))

    @property
    def place(self) -> Place:
        """Where the row stands."""
        return Place(f"{self.file}, row {self.number}", self.path)


@dataclass(frozen=True)
class Sheet:
    """What a CSV file holds: `rows` by known column, and `more` headings that are none of these, as written."""

    rows: tuple[Row, ...]
    more: tuple[str, ...]
    remarks: tuple[Remark, ...]


def read_sheet(
    raw: bytes, file: str, columns: dict[str, tuple[str, ...]], needed: tuple[str, ...], table: str = ""
) -> Sheet:
    """The rows of a CSV file whose headings may be any of `columns` (name, how else it is written); `table` is
    what each would be in the class file.

    Raises DesignError where there is no heading to go by, or a needed column is missing.
    """
    text = _text(raw, file)
    lines = _cells(text, columns)
    while lines and not any(lines[-1]):
        lines.pop()
    if not lines:
        raise DesignError("is empty.", file, f"Begin it with the headings {', '.join(columns)}.")
    names = {also: name for name, ways in columns.items() for also in (name, *ways)}
    heading = [names.get(cell.lower().rstrip(":"), cell) for cell in lines[0]]
    found = [name for name in heading if name in columns]
    if not found:
        raise DesignError(
            "row 1 holds no headings.", f"{file}, row 1", f"Write a first row like: {', '.join(columns)}."
        )
    for name in needed:
        if name not in found:
            raise DesignError(
                f'there is no column "{name}".', f"{file}, row 1",
                f"Its headings are {', '.join(cell for cell in lines[0] if cell)}; call one of them {name}.",
            )  # fmt: skip
    twice = [name for name in dict.fromkeys(found) if found.count(name) > 1]
    if twice:
        raise DesignError(f'two columns are called "{twice[0]}".', f"{file}, row 1", "Leave one of them out.")
    if len(lines) > MOST_ROWS:
        raise DesignError(f"{len(lines)} rows are more than any class.", file, f"At most {MOST_ROWS}.")
    rows: list[Row] = []
    remarks: list[Remark] = []
    for number, cells in enumerate(lines[1:], start=2):
        if not any(cells):
            continue
        if len(cells) > len(heading) and any(cells[len(heading) :]):
            said = f"has {len(cells)} cells under {len(heading)} headings; the last are left out."
            where = Place(f"{file}, row {number}", (table, len(rows)))
            remarks.append(Remark("error", said, where, 'Put a text with a comma in quotes: "1,5 m".'))
        pairs = zip(heading, cells, strict=False)
        rows.append(Row(file, number, {name: cell for name, cell in pairs if name and cell}, (table, len(rows))))
    return Sheet(tuple(rows), tuple(name for name in heading if name and name not in columns), tuple(remarks))


def _text(raw: bytes, file: str) -> str:
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", "replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")  # what an older spreadsheet writes


def _cells(text: str, columns: dict[str, tuple[str, ...]]) -> list[list[str]]:
    """Cells of all lines, by the separator that makes most sense of the first line."""
    lines = text.splitlines()
    first = lines[0] if lines else ""
    if first.lower().startswith("sep=") and len(first) == 5:  # a line that some spreadsheets put first
        separator, text = first[4], text.split("\n", 1)[1] if "\n" in text else ""
    else:
        words = {also for name, ways in columns.items() for also in (name, *ways)}

        def sense(separator: str) -> tuple[int, int]:
            cells = next(csv.reader([first], delimiter=separator), [])
            return sum(cell.strip().lower() in words for cell in cells), len(cells)

        separator = max(SEPARATORS, key=sense)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        return [[cell.strip() for cell in line] for line in reader]
    except csv.Error as trouble:
        raise DesignError(f"cannot be read as CSV: {trouble}.", f"row {reader.line_num}") from None


def number(text: str, where: str, low: float = 0.0, high: float = 1e6) -> float:
    """A number with a decimal point or comma, thousands apart or not. Raises DesignError."""
    plain = text.replace("\u00a0", "").replace("\u202f", "").replace(" ", "").replace("'", "")
    plain = plain.strip("€$£¥").removesuffix("kr").removesuffix("%")
    if "," in plain and "." in plain:  # the last of the two is the decimal sign
        thousands = "," if plain.rfind(".") > plain.rfind(",") else "."
        plain = plain.replace(thousands, "")
    try:
        value = float(plain.replace(",", "."))
    except ValueError:
        raise DesignError(f'"{text[:40]}" is not a number.', where, "Write figures, like 12.50 or 12,50.") from None
    if not low <= value <= high:
        said = "must not be below nought." if value < 0 and low == 0 else f"{text[:20]} is out of reach."
        raise DesignError(said, where, f"From {low:g} to {high:,.0f}.")
    return value


def count(text: str, where: str, low: int = 0, high: int = 10_000) -> int:
    """A whole number. Raises DesignError."""
    value = number(text, where, low, high)
    if value != int(value):
        raise DesignError(f'"{text[:40]}" is not a whole number.', where)
    return int(value)


def chosen(text: str, where: str, choices: tuple[str, ...]) -> str:
    """One of the choices, in any case; a beginning that fits only one will do. Raises DesignError."""
    plain = " ".join(text.lower().split())
    fit = [choice for choice in choices if choice == plain] or [c for c in choices if plain and c.startswith(plain)]
    if len(fit) != 1:
        raise DesignError(f'"{text[:40]}" is not one of its values.', where, did_you_mean(text[:40], choices))
    return fit[0]
