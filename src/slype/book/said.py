"""What a maker types into the book, read: amounts, times, money, days. The command and the studio read alike."""

from __future__ import annotations

import re
from datetime import date

from ..errors import DesignError
from ..quantity import parse_length, parse_mass
from ..reeds import reed_named


def amount(text: str, unit: str, where: str = "AMOUNT") -> float:
    """A length in mm, or for what is weighed ("g") a mass in g."""
    return parse_length(text, where) if unit == "mm" else parse_mass(text, where)


def length_or_mass(text: str, where: str = "AMOUNT") -> tuple[float, str]:
    """(amount, "mm" or "g") of a text like `300 ft` or `1 lb`. Raises DesignError."""
    try:
        return parse_mass(text, where), "g"
    except DesignError:
        try:
            return parse_length(text, where), "mm"
        except DesignError:
            raise DesignError(
                f'"{text[:40]}" is no amount of reed.', where, 'Write a length like "300 ft" or a weight like "1 lb".'
            ) from None


def reed(name: str, where: str = "REED") -> str:
    """The name of a reed. Raises DesignError where slype knows none such and it is no thickness of the maker's own."""
    if not re.fullmatch(r"[\d.,/ ]+ ?(mm|in|\")", name):
        reed_named(name, where=where)
    return name


def money(text: str | None, where: str) -> str | None:
    """An amount of money as the book keeps it: digits and a point; None where nothing is said."""
    if text is None or not text.strip():
        return None
    plain = text.strip().replace(",", ".")
    if not re.fullmatch(r"\d{1,9}(\.\d{1,3})?", plain):
        raise DesignError(f'"{text[:40]}" is no amount of money.', where, 'Write it like "14.50".')
    return plain


def seconds(text: str, where: str) -> float:
    """A time like `2:30` or `45 min`, s."""
    found = re.fullmatch(r"(\d{1,3}):([0-5]\d)", text.strip()) or re.fullmatch(r"()(\d{1,4}) ?min", text.strip())
    if found is None:
        raise DesignError(f'"{text[:40]}" is no time.', where, 'Write hours and minutes like "2:30", or "45 min".')
    return 3600.0 * int(found[1] or 0) + 60.0 * int(found[2])


def day(text: str, where: str) -> str:
    """A day as the book keeps it."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise DesignError(f'"{text[:40]}" is no day.', where, "Write it like 2026-05-09.") from None


def figure(text: str, unit: str, where: str) -> float:
    """A measured figure: a length in mm, or a time in s."""
    return seconds(text, where) if unit == "s" else parse_length(text, where)
