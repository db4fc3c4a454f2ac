"""Students, from rows of a roster or [[student]] tables: the same cells, the same messages.

A fault in one cell is told, and that cell alone is left as everyone else's.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from ...colour import REED_COLOURS, hex_of
from ...design.values import HANDS, UNITS, WORDINGS, Design
from ...errors import DesignError, Place, did_you_mean
from ..pace import SKILLS
from ..values import Remark, Seat
from .sheets import Row, Sheet, chosen, count, number

T = TypeVar("T")

SMALLEST, LARGEST = 0.4, 2.5


@dataclass(frozen=True)
class Known:
    """What a student's row is read against: the class's usual `seat`, `designs` by file, named `sizes`, `palette`."""

    seat: Seat
    designs: dict[str, Design]
    sizes: dict[str, float]
    palette: dict[str, str]


def of_sheet(sheet: Sheet, known: Known) -> tuple[list[Seat], list[Remark]]:
    """Students of a roster. A heading that is a colour of the design names the column that says what is worn for it."""
    worn = {colour for design in known.designs.values() for colour in design.palette}
    remarks = list(sheet.remarks)
    called = {name: _as_called(name, worn) for name in sheet.more}
    for name in sheet.more:
        if called[name] not in worn:
            said = f'the column "{name[:40]}" is not one that a roster has, and is left out.'
            where = f"{sheet.rows[0].file if sheet.rows else 'roster'}, row 1"
            remarks.append(Remark("warn", said, where, did_you_mean(name[:40], [*COLUMNS, *sorted(worn)])))
    seats = []
    for row in sheet.rows:
        row = replace(row, cells={called.get(name, name): cell for name, cell in row.cells.items()})
        seat, more = _student(row, known, worn)
        seats.append(seat)
        remarks += more
    return seats, remarks


def _as_called(heading: str, colours: set[str]) -> str:
    """The colour that a heading names, capitals and blanks aside; else the heading as it is."""
    plain = " ".join(heading.lower().split())
    return next((colour for colour in sorted(colours) if colour.lower() == plain), heading)


def of_tables(tables: list[dict], name: str, known: Known) -> tuple[list[Seat], list[Remark]]:
    """Students of [[student]] tables."""
    worn = {colour for design in known.designs.values() for colour in design.palette}
    seats, remarks = [], []
    for i, table in enumerate(tables, start=1):
        cells = {
            key: "; ".join(f"{a}={b}" for a, b in value.items()) if isinstance(value, dict) else str(value)
            for key, value in table.items()
        }
        seat, more = _student(_Table(name, i, cells, ("student", i - 1)), known, worn)
        seats.append(seat)
        remarks += more
    return seats, remarks


COLUMNS = ("seat", "name", "hand", "wording", "units", "skill", "design", "size", "colours")


class _Table(Row):
    """A [[student]] table, whose messages name table and key."""

    def at(self, column: str) -> Place:
        return self.place / column

    @property
    def place(self) -> Place:
        return Place(f"{self.file}, student {self.number}", self.path)


def _student(row: Row, known: Known, worn: set[str]) -> tuple[Seat, list[Remark]]:
    seat, remarks = replace(known.seat, number=0, where=row.place), []

    def read(column: str, how: Callable[[str, str], T]) -> T | None:
        if column not in row.cells:
            return None
        try:
            return how(row.cells[column], row.at(column))
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
            return None

    found = {
        "number": read("seat", lambda text, at: count(text, at, 1, 999)),
        "name": read("name", _name),
        "hand": read("hand", lambda text, at: chosen(text.removesuffix("-handed"), at, HANDS)),
        "wording": read("wording", lambda text, at: chosen(text, at, WORDINGS)),
        "units": read("units", lambda text, at: chosen(text, at, UNITS)),
        "skill": read("skill", lambda text, at: chosen(text, at, tuple(SKILLS))),
        "design": read("design", lambda text, at: _design(text, at, known)),
    }
    told: dict[str, Any] = {key: value for key, value in found.items() if value is not None}
    seat = replace(seat, **told)
    size = read("size", lambda text, at: _size(text, at, known.sizes))
    if size is not None:
        seat = replace(seat, size=size[0], size_name=size[1])
    changes: dict[str, str] = {}
    design = known.designs[seat.design]
    listed = read("colours", _pairs) or {}
    columns = {colour: row.cells[colour] for colour in sorted(worn & set(row.cells))}
    for colour, wears in {**listed, **columns}.items():
        where = row.at(colour if colour in columns else "colours")
        try:
            changes |= _worn(colour, wears, design, known.palette, where)
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return replace(seat, colours=tuple(changes.items())), remarks


def _name(text: str, where: str) -> str:
    if not text.isprintable():
        raise DesignError("holds a sign that cannot be printed.", where, "Use letters and ordinary signs.")
    return " ".join(text.split())[:60]


def _design(text: str, where: str, known: Known) -> str:
    for name in known.designs:
        if text in (name, name.removesuffix(".toml")):
            return name
    raise DesignError(f'the design "{text[:40]}" could not be read.', where, did_you_mean(text[:40], known.designs))


def _size(text: str, where: str, sizes: dict[str, float]) -> tuple[float, str]:
    if text in sizes:
        return sizes[text], text
    if not re.search(r"\d", text):
        raise DesignError(f'there is no size "{text[:40]}".', where, f'Write it like "85 %". {_sizes(sizes)}')
    share = number(text, where, 1, 1000) / 100
    return read_share(share, where), f"{share:.0%}"


def read_share(share: float, where: str) -> float:
    """A share of the design's size that a basket can have. Raises DesignError."""
    if not SMALLEST <= share <= LARGEST:
        raise DesignError(f"{share:.0%} is out of reach.", where, f"From {SMALLEST:.0%} to {LARGEST:.0%}.")
    return share


def _sizes(sizes: dict[str, float]) -> str:
    return f"Sizes of this class: {', '.join(sizes)}." if sizes else "No size has a name in this class yet."


def _pairs(text: str, where: str) -> dict[str, str]:
    """`rust=moss; slate=fern`."""
    out = {}
    for pair in re.split(r"[;,]", text):
        if not pair.strip():
            continue
        colour, sign, wears = (part.strip() for part in pair.partition("="))
        if not sign or not colour or not wears:
            raise DesignError(f'"{pair.strip()[:40]}" does not say what is worn for what.', where, 'Like "rust=moss".')
        out[colour] = wears
    return out


def _worn(colour: str, wears: str, design: Design, palette: dict[str, str], where: str) -> dict[str, str]:
    """{colour: wears}, or nothing where they are the same."""
    if colour not in design.palette:
        raise DesignError(
            f'{design.name} has no "{colour[:40]}".', where, f"It is woven in {', '.join(design.palette)}."
        )
    known = list(dict.fromkeys([*palette, *design.palette, *REED_COLOURS]))
    if wears not in known:
        if not wears.startswith("#"):
            raise DesignError(
                f'the colour "{wears[:40]}" is not defined.', where,
                f'{did_you_mean(wears[:40], known)} Or say its shade, like "#7d5a86".',
            )  # fmt: skip
        hex_of(wears, where)
    return {} if wears == colour else {colour: wears}


def path_of(seat: Seat) -> tuple[str | int, ...]:
    """Where a seat stands among the students of the class file, empty where it is not written there."""
    return seat.where.path if isinstance(seat.where, Place) else ()


def numbered(seats: list[Seat]) -> tuple[list[Seat], list[Remark]]:
    """Every seat with a number of its own: those that ask for none, or for one that is taken, get the next free one."""
    remarks: list[Remark] = []
    taken: dict[int, Seat] = {}
    out: list[Seat] = []
    for seat in seats:
        if seat.number and seat.number in taken:
            remarks.append(
                Remark(
                    "error", f"seat {seat.number} is taken already, by {taken[seat.number].where}.",
                    Place(seat.where, (*path_of(seat), "seat")),
                    "Give each student a seat of their own; it was given the next free one.",
                )
            )  # fmt: skip
            seat = replace(seat, number=0)
        elif seat.number:
            taken[seat.number] = seat
        out.append(seat)
    free = (n for n in range(1, 10_000) if n not in taken)
    out = [seat if seat.number else replace(seat, number=next(free)) for seat in out]
    names: dict[str, Seat] = {}
    for seat in out:
        key = seat.name.casefold()
        if key and key in names:
            remarks.append(
                Remark(
                    "warn", f"two students have one name: see {names[key].where} too.",
                    Place(seat.where, (*path_of(seat), "name")),
                    "Everything printed says the seat beside the name; add a letter to tell them apart.",
                )
            )  # fmt: skip
        names.setdefault(key, seat)
    return sorted(out, key=lambda seat: seat.number), remarks
