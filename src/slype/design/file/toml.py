"""Reading one TOML table: types, ranges and unknown keys, each fault named by its place."""

from __future__ import annotations

from typing import Any, overload

from ...errors import DesignError, Place, did_you_mean
from ...quantity import parse_length
from ...words import listed
from .keys import TABLES, known_keys


def copied(value: Any) -> Any:
    """Tables and lists of a text anew, what they hold as it is: nobody can change that. As `copy.deepcopy`, a fifth as
    long."""
    if isinstance(value, dict):
        return {key: copied(inner) for key, inner in value.items()}
    return [copied(inner) for inner in value] if isinstance(value, list) else value


class Table:
    """A TOML table that knows its name and complains in a maker's words; keys it does not know are refused."""

    def __init__(self, values: object, place: str, known: tuple[str, ...] | None = None) -> None:
        if not isinstance(values, dict):
            raise DesignError(f"should be a table, not {shown(values)}.", place, f"Write it as [{place}].")
        self.values, self.place = values, place if isinstance(place, Place) else Place.of(place)
        if known is not None:
            for key in values:
                if key not in known:
                    raise DesignError(f'unknown key "{key[:40]}".', place, did_you_mean(key[:40], known))

    def at(self, key: str) -> Place:
        return self.place / key

    def text(self, key: str, default: str | None, choices: tuple[str, ...] = ()) -> str:
        value = self.values.get(key, default)
        if value is None:
            raise DesignError("is missing.", self.at(key))
        if not isinstance(value, str):
            raise DesignError(f"should be text, not {shown(value)}.", self.at(key))
        if not value.isprintable():
            raise DesignError("holds a sign that cannot be printed.", self.at(key), "Use letters and ordinary signs.")
        if choices and value not in choices:
            raise DesignError(
                f'"{value[:40]}" is not one of its values.', self.at(key), did_you_mean(value[:40], choices)
            )
        return value

    @overload
    def count(self, key: str, default: int, low: int, high: int) -> int: ...
    @overload
    def count(self, key: str, default: None, low: int, high: int) -> int | None: ...
    def count(self, key: str, default: int | None, low: int, high: int) -> int | None:
        value = self.values.get(key, default)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            raise DesignError(f"should be a whole number, not {shown(value)}.", self.at(key))
        if not low <= value <= high:
            raise DesignError(f"{shown(value)} is out of reach.", self.at(key), f"From {low} to {high}.")
        return value

    def number(self, key: str, default: float, low: float, high: float) -> float:
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise DesignError(f"should be a number, not {shown(value)}.", self.at(key))
        if not low <= value <= high:
            raise DesignError(f"{shown(value)} is out of reach.", self.at(key), f"From {low:g} to {high:g}.")
        return float(value)

    def flag(self, key: str, default: bool) -> bool:
        value = self.values.get(key, default)
        if not isinstance(value, bool):
            raise DesignError(
                f"should be true or false, not {shown(value)}.", self.at(key), f"Without quotes: {key} = true."
            )
        return value

    def length(self, key: str, low: float = 1.0, high: float = 3000.0) -> float | None:
        if key not in self.values:
            return None
        value = parse_length(self.values[key], self.at(key))
        if not low <= value <= high:
            raise DesignError(
                f'"{self.values[key]}" is not a size this can have.',
                self.at(key),
                f"From {low:g} mm to {high / 1000:g} m.",
            )
        return value


def shown(value: object) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    text = f'"{value}"' if isinstance(value, str) else digits(value)
    return text if len(text) <= 40 else text[:40] + "…"


def digits(value: object) -> str:
    try:
        return str(value)
    except ValueError:  # an integer beyond Python's own limit for printing
        return "a number with thousands of digits"


def tables_in_place(document: dict[str, Any]) -> None:
    """Raise DesignError for what is no table of a design, for a key outside its table and a table inside another: in
    TOML whatever follows a heading belongs to it."""
    for key, value in document.items():
        if key == "version":
            continue
        if key not in TABLES:
            homes = [table for table in TABLES if key in known_keys(table)]
            if homes and not isinstance(value, dict):
                at = listed([f"[{table}]" for table in homes[:3]], "or")
                raise DesignError("stands in no table.", key[:40], f"It goes below the heading {at}.")
            raise DesignError(f'unknown table "{key[:40]}".', "", did_you_mean(key[:40], TABLES))
        for inner in value if isinstance(value, dict) else ():
            if inner in TABLES and inner not in known_keys(key):
                raise DesignError(
                    f"stands inside the table [{key}], where what follows its heading belongs.", inner,
                    f"Put it above [{key}], or give it a heading of its own.",
                )  # fmt: skip
