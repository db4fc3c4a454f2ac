"""From a seat to a basket: the design with this student's colours, size and hand, and its numbered bundles.

Every seat's change goes through `slype.edit`, so it is a design like any other: read, checked and advised on. Seats
that ask for the same basket share one plan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..design.file import reader
from ..design.file.reader import tables_of
from ..design.values import Design, Pace
from ..edit.apply import apply, as_makers_round
from ..errors import DesignError, Place, SlypeError, Unweavable
from ..plans.bundles import Bundle, bundles
from ..plans.planning import Plan, plan
from ..quantity import parse_length
from ..words import listed
from .values import Class, DesignText, Remark, Seat

if TYPE_CHECKING:
    from ..rest.relax import AtRest

Settle = Callable[[Design], "AtRest"]
"""Brings the reeds of a design to rest (see `make.baskets`)."""


@dataclass(frozen=True, eq=False)
class Basket:
    """One basket that is woven in the class: `text` its design file, its `plan` and `bundles`, the `seats` (numbers)
    that weave it, `notes` what was changed along with what the seats asked."""

    text: str
    plan: Plan
    bundles: tuple[Bundle, ...]
    seats: tuple[int, ...]
    notes: tuple[str, ...] = ()

    @property
    def design(self) -> Design:
        """Its design."""
        return self.plan.design


@dataclass(frozen=True, eq=False)
class Kit:
    """What one seat gets: its `seat` and the `basket` it weaves."""

    seat: Seat
    basket: Basket


def kits(asked: Class, settle: Settle | None = None) -> tuple[tuple[Kit, ...], tuple[Remark, ...]]:
    """(a kit for every seat whose basket can be worked, remarks on those that cannot). With `settle` every basket's
    lengths are those of its reeds at rest, else quick ones."""
    texts = {each.name: each for each in asked.designs}
    of_key: dict[tuple, list[Seat]] = {}
    for seat in asked.seats:
        of_key.setdefault(_key(seat), []).append(seat)
    made: dict[int, Basket] = {}
    remarks: list[Remark] = []
    noted: dict[str, list[int]] = {}
    for seats in of_key.values():
        try:
            basket = _basket(asked, texts[seats[0].design], seats, settle)
        except SlypeError as trouble:
            where = seats[0].where or f"seat {seats[0].number}"
            remarks.append(
                Remark("stop", trouble.message, Place(f"{where}, {trouble.where}", _path(seats[0])), trouble.remedy)
            )
            continue
        made |= {seat.number: basket for seat in seats}
        for note in basket.notes:
            noted.setdefault(note, []).extend(seat.number for seat in seats)
    remarks += [Remark("note", note, seats_named(numbers)) for note, numbers in noted.items()]
    return tuple(Kit(seat, made[seat.number]) for seat in asked.seats if seat.number in made), tuple(remarks)


def _path(seat: Seat) -> tuple[str | int, ...]:
    return seat.where.path if isinstance(seat.where, Place) else ("class", "design")


def seats_named(numbers: list[int]) -> str:
    """`seat 3`, `seats 1 to 4, 7 and 9`."""
    return f"{'seat' if len(numbers) == 1 else 'seats'} {in_runs(numbers)}"


def in_runs(numbers: list[int]) -> str:
    """`1 to 4, 7 and 9`."""
    runs: list[list[int]] = []
    for n in sorted(numbers):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 2 else " and ".join(map(str, run)) for run in runs]
    said = [n for each in said for n in each.split(" and ")]
    return listed(said)


def _key(seat: Seat) -> tuple:
    return seat.design, seat.hand, seat.wording, seat.units, seat.colours, seat.size


def _basket(asked: Class, design: DesignText, seats: list[Seat], settle: Settle | None) -> Basket:
    seat = seats[0]
    text, notes = changed(design, seat, asked.palette)
    found = reader.parse(text, design.name)
    found = replace(found, pace=_pace(found.pace, asked.pace))
    at_rest = None
    if settle is not None:
        try:
            at_rest = settle(found)
        except Unweavable as trouble:  # then it has the quick lengths, as on the bench, and says so
            notes = (*notes, f"its reeds cannot be brought to rest ({trouble.message.rstrip('.')}): lengths are quick.")
    made = plan(found, at_rest, asked.first_time)
    return Basket(text, made, bundles(made), tuple(each.number for each in seats), notes)


def _pace(own: Pace, watched: tuple[tuple[str, float], ...]) -> Pace:
    """The design's pace with what the teacher's own watch says in its place."""
    return replace(own, **dict(watched)) if watched else own


def changed(design: DesignText, seat: Seat, palette: tuple[tuple[str, str], ...] = ()) -> tuple[str, tuple[str, ...]]:
    """(text of the design as this seat weaves it, notes on what else was changed). Raises DesignError."""
    tables = tables_of(design.text, design.name)
    changes = [
        {"set": ["basket", key], "to": value}
        for key, value in (("hand", seat.hand), ("wording", seat.wording), ("units", seat.units))
        if tables.get("basket", {}).get(key, {"hand": "right", "wording": "us", "units": "in"}[key]) != value
    ]
    notes: list[str] = []
    if seat.colours:
        changes += _recoloured(tables, dict(seat.colours), dict(palette), design.name)
    if seat.size != 1.0:
        more, notes = _resized(tables, seat.size, seat.units)
        changes += more
    if not changes:
        return design.text, ()
    edited = apply(design.text, changes, design.name)
    return edited.text, tuple(notes)  # what goes with a size is of the size, and not told apart


# Colours -------------------------------------------------------------------------------------------------------


def _recoloured(tables: dict, worn: dict[str, str], palette: dict[str, str], name: str) -> list[dict]:
    """Changes that put every colour of `worn` in the place of the design's, all at once, so that two may be swapped."""
    places: list[tuple[list, str]] = []

    def walk(value: object, path: list) -> None:
        if isinstance(value, dict):
            for key, inner in value.items():
                if key in ("colour", "colours") and path and path[0] != "colours":
                    if isinstance(inner, str):
                        places.append(([*path, key], inner))
                    elif isinstance(inner, list):
                        places.extend(([*path, key, i], each) for i, each in enumerate(inner))
                else:
                    walk(inner, [*path, key])
        elif isinstance(value, list):
            for i, inner in enumerate(value):
                walk(inner, [*path, i])

    walk({key: inner for key, inner in tables.items() if key != "colours"}, [])
    used = {colour for _, colour in places if isinstance(colour, str)} | {"natural"}
    for colour in worn:
        if colour not in used:
            raise DesignError(
                f'the design has no "{colour}" to wear another colour for.', f"colours, {colour}",
                f"It is woven in {', '.join(sorted(used))}.",
            )  # fmt: skip
    own = tables.get("colours", {})
    changes = [
        {"set": ["colours", colour], "to": palette[colour]}
        for colour in dict.fromkeys(worn.values())
        if colour in palette and colour not in own
    ]
    return changes + [
        {"set": path, "to": worn[colour]} for path, colour in places if worn.get(colour, colour) != colour
    ]


# Size ----------------------------------------------------------------------------------------------------------


def _resized(tables: dict, share: float, units: str) -> tuple[list[dict], list[str]]:
    """Changes that make a design `share` as large with as many spokes: base, wall, and rows at the side in step."""
    form, changes, notes = tables["form"], [], []

    def length(value: object) -> str:
        return as_makers_round(parse_length(value) * share, units)

    def scaled(value: object) -> object:
        return [scaled(each) for each in value] if isinstance(value, list) else length(value)

    changes.append({"set": ["form", "wall"], "to": scaled(form["wall"])})
    changes.append({"set": ["form", "base"], "to": scaled(form["base"])})
    if "corner" in form:
        changes.append({"set": ["form", "corner"], "to": scaled(form["corner"])})
    for i, band in enumerate(tables.get("band", [])):
        for key in ("until", "height"):
            if key in band and band[key] != "top":
                changes.append({"set": ["band", i, key], "to": length(band[key])})
        if band.get("where", "side") == "side" and isinstance(band.get("rows"), int):
            rows = _rows(band, share)
            if rows != band["rows"]:
                changes.append({"set": ["band", i, "rows"], "to": rows})
                notes.append(f"Band {i + 1} has {rows} rows in place of {band['rows']}, in step with the size.")
    for i, handle in enumerate(tables.get("handle", [])):
        changes += [
            {"set": ["handle", i, key], "to": length(handle[key])} for key in ("across", "height") if key in handle
        ]
    return changes, notes


def _rows(band: dict, share: float) -> int:
    """Rows of a side band in step with the size: a wale of a few rows keeps them, blocks stay whole."""
    rows, blocks = band["rows"], band.get("blocks")
    every = blocks.get("rows", 1) if isinstance(blocks, dict) else 1
    if rows <= FEW_ROWS:
        return rows
    return max(every, round(rows * share / every) * every)


FEW_ROWS = 3
"""A band of so few rows is there for its firmness and keeps them at any size (common practice, no source)."""
