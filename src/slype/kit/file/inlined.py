"""The lists beside a class file taken into it, word for word: faults stay as they were written, too."""

from __future__ import annotations

import re
from typing import Any

from ...edit.values import LONGEST_KEY, LONGEST_TEXT
from ...errors import DesignError
from .change import change
from .goods import MONEY
from .keys import ROSTER
from .reader import lists_beside
from .sheets import Row, number

MARK = "# A class as worked by slype: its lists are in it. Change anything and work it again: slype class"
"""How a class file begins that slype wrote into a folder, and may write there again."""


def inlined(text: str, path: str, colours: set[str]) -> str:
    """The text of a class with its roster, shelf and prices in it in place of the files' names; a list that cannot be
    read stays beside it. `colours` are those of its designs: columns of the roster that say what is worn for them."""
    lists, changes = lists_beside(text, path), []
    tables = lists.pop("", {})
    main = dict(tables.get("class", {}))
    for key, sheet in lists.items():
        changes.append({"set": ["class", key], "to": None})
        if key == "roster":
            rows = [student_of(row, colours, strict=False) for row in sheet.rows]
            changes.append({"set": ["student"], "to": rows + tables.get("student", [])})
            changes += [{"set": ["class", each], "to": None} for each in ("seats", "left") if each in main]
        elif key == "shelf":
            rows = [_plain(row.cells, ("count", "coils")) for row in sheet.rows]
            changes.append({"set": ["shelf"], "to": rows + tables.get("shelf", [])})
        else:
            changes += _prices(list(sheet.rows), tables)
    return change(text, [_printable(each) for each in changes if each.get("to") != []], path)


def _printable(value: Any) -> Any:
    """A change without what no file may hold: control signs are marked, cells and headings without end cut short."""
    if isinstance(value, dict):
        return {_printable(key)[:LONGEST_KEY] or "no heading": _printable(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_printable(inner) for inner in value]
    if not isinstance(value, str):
        return value
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in value[:LONGEST_TEXT])


def student_of(row: Row, colours: set[str], strict: bool = True) -> dict[str, Any]:
    """A row of a roster as a student of the class file: a column headed by a colour of the design says what is worn for
    it, other columns that a roster does not have are left out. Raises DesignError for a cell that does not say what for
    what; where not `strict` such a cell is kept as it is."""
    out: dict[str, Any] = {
        key: value for key, value in row.cells.items() if key in ROSTER and key != "colours" and value
    }
    if out.get("seat", "").isdigit():
        out["seat"] = int(out["seat"])
    worn = {colour: row.cells[colour] for colour in sorted(colours) if row.cells.get(colour)}
    for pair in filter(None, re.split(r"\s*[;,]\s*", row.cells.get("colours", "").strip())):
        of, sign, wears = (part.strip() for part in pair.partition("="))
        if not (of and sign and wears):
            if not strict:
                return {**out, "colours": row.cells["colours"]}
            raise DesignError(
                f'"{pair[:40]}" does not say what is worn for what.', row.at("colours"), "Write it like rust=moss."
            )
        worn[of] = wears
    return {**out, "colours": worn} if worn else out


def _plain(cells: dict[str, str], numbers: tuple[str, ...]) -> dict[str, Any]:
    return {key: _figure(cell) if key in numbers else cell for key, cell in cells.items()}


def _figure(cell: str) -> float | int | str:
    """A number as the file has it; what is none stays as it was written, to be told of."""
    try:
        value = number(cell, "", -1e6)
    except DesignError:
        return cell
    return int(value) if value == int(value) else value


def _prices(rows: list[Row], tables: dict) -> list[dict]:
    """Changes for a price list: money where the class says none itself, and packs below its own."""
    said, packs, out = tables.get("prices", {}), list(tables.get("pack", [])), []
    for row in rows:
        item = row.cells.get("item", "").strip()
        key = item.lower().replace(" ", "_")
        if key in (*MONEY, "overhead_percent", "currency"):
            if key not in said and "price" in row.cells:
                price = row.cells["price"]
                out.append({"set": ["prices", key], "to": price if key == "currency" else _figure(price)})
        else:
            cells = _plain({k: cell for k, cell in row.cells.items() if k not in ("item",)}, ("price",))
            packs.append({"reed": item, **cells} if item else cells)
    return [*out, {"set": ["pack"], "to": packs}]
