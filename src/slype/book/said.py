"""What a maker types into the book, read, and told back as it was understood: amounts, times, money, days, figures. The
command and the studio read alike.

A number alone is taken in the units that the maker works in: reed in feet or metres, a figure of a basket in inches or
centimetres, a thickness in mm. Nothing is guessed where a number alone could well mean two things.
"""

from __future__ import annotations

import re
from datetime import date

from ..errors import DesignError
from ..quantity import parse_length, parse_mass, show_length, show_mass, show_run, show_thickness, show_time
from ..reeds import reed_named
from ..such_as import such_as
from .learning.figures import Measurable
from .store import today

RUN = {"in": "ft", "cm": "m"}
"""What a number alone means of reed, by the maker's units."""
MONEY_SIGN = re.compile(r"^(?P<before>[^\d\s.,+-]{1,4})?\s*(?P<sum>[\d.,]+)\s*(?P<after>[^\d\s.,+-]{1,4})?$")


def alone(text: str) -> bool:
    """True for a number that names no unit: `24`, `7 1/2`, `3,5`."""
    return bool(re.fullmatch(r"[\d\s.,/½¼¾⅛⅜⅝⅞-]+", text.strip()))


def units_in(text: str) -> str:
    """The maker's units that a typed amount speaks in, "in" or "cm"; "" where it names none."""
    named = re.findall(r"[a-z]+|[\"″]", text.lower())
    families = {"cm": ("mm", "cm", "m", "g", "kg"), "in": ("in", "inch", "inches", '"', "″", "ft", "feet", "oz", "lb")}
    return next((units for units, names in families.items() if any(each in names for each in named)), "")


def _with(text: str, unit: str) -> str:
    return f"{text.strip()} {unit}" if alone(text) else text


def amount(text: str, unit: str, where: str = "AMOUNT", units: str = "in") -> float:
    """A length of reed in mm, or for what is weighed ("g") a mass in g."""
    if unit == "mm":
        return parse_length(_with(text, RUN[units]), where)
    return parse_mass(_with(text, "g") if units == "cm" else text, where)


def length(text: str, where: str, units: str = "in") -> float:
    """A length of a basket or a ruler, mm."""
    return parse_length(_with(text, units), where)


def length_or_mass(text: str, where: str = "AMOUNT", units: str = "in") -> tuple[float, str]:
    """(amount, "mm" or "g") of a text like `300 ft` or `1 lb`. Raises DesignError."""
    try:
        return parse_mass(text, where), "g"
    except DesignError:
        try:
            return parse_length(_with(text, RUN[units]), where), "mm"
        except DesignError:
            raise DesignError(
                f'"{text[:40]}" is no amount of reed.', where,
                f'Write a length like "{such_as("300 ft", "90 m")}" or a weight like "{such_as("1 lb", "500 g")}".',
            ) from None  # fmt: skip


def shown(value: float, unit: str, units: str) -> str:
    """An amount of reed as it is read."""
    return show_run(value, units) if unit == "mm" else show_mass(value, units)


def reed(name: str, where: str = "REED") -> str:
    """The name of a reed. Raises DesignError where slype knows none such and it is no thickness of the maker's own."""
    if not re.fullmatch(r"[\d.,/ ]+ ?(mm|in|\")", name):
        reed_named(name, where=where)
    return name


def money(text: str | None, where: str) -> str | None:
    """An amount of money as the book keeps it: digits and a point; None where nothing is said. A sign like $ may stand
    beside it (`currency`)."""
    if text is None or not text.strip():
        return None
    found = MONEY_SIGN.match(text.strip())
    plain = found["sum"].replace(",", ".") if found else ""
    if re.fullmatch(r"\d{1,6}\.\d{3}", plain):
        raise DesignError(
            f'"{text[:40]}" may be thousands, or parts of one.',
            where,
            f'Write "{plain.replace(".", "")}" or two places.',
        )
    if not re.fullmatch(r"\d{1,9}(\.\d{1,2})?", plain):
        raise DesignError(f'"{text[:40]}" is no amount of money.', where, 'Write it like "14.50".')
    return plain


def currency(text: str | None, usual: str) -> str:
    """The money that a sum is in: the sign beside it, else the `usual`."""
    found = MONEY_SIGN.match((text or "").strip())
    return (found and (found["before"] or found["after"])) or usual


def seconds(text: str, where: str, alone_means: str = "") -> float:
    """A time like `2:30`, `45 min`, `2 h 30 min` or `2.5 h`, s; a number alone where `alone_means` "h" or "min"."""
    said = re.sub(r"\s+", " ", text.strip().lower().replace(",", "."))
    if alone_means and re.fullmatch(r"\d{1,4}(\.\d+)?", said):
        said += f" {alone_means}"
    clock = re.fullmatch(r"(\d{1,3}):([0-5]\d)", said)
    worded = re.fullmatch(
        r"(?=.)(?:(\d{1,3}(?:\.\d+)?) ?(?:h|hr|hrs|hours?))? ?(?:(\d{1,4}(?:\.\d+)?) ?(?:min|minutes?))?", said
    )
    found = clock or worded
    if found is None:
        raise DesignError(f'"{text[:40]}" is no time.', where, 'Write hours and minutes like "2:30", or "45 min".')
    return 3600.0 * float(found[1] or 0) + 60.0 * float(found[2] or 0)


def day(text: str, where: str) -> str:
    """A day as the book keeps it."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise DesignError(f'"{text[:40]}" is no day.', where, "Write it like 2026-05-09.") from None


def still_to_come(on: str, entry: str) -> str:
    """A remark on something entered as done whose day is after today; "" where it is not. `entry` is its id."""
    if on <= today():
        return ""
    return (
        f"{on} is still to come. If it has not been done yet, or that was a slip: slype book take-back {entry[:6]}, "
        "and enter it again."
    )


def figure(text: str, of: Measurable, where: str, units: str = "in") -> float:
    """A measured figure: a length in mm, or a time in s."""
    if of.unit == "s":
        return seconds(text, where, "min")
    unit = "mm" if of.quantity == "thickness" else RUN[units] if of.quantity == "take-up" else units
    return parse_length(_with(text, unit), where)


def figure_shown(of: Measurable, value: float, units: str) -> str:
    """A figure as it is read: a length, a thickness or a time."""
    if of.unit == "s":
        return show_time(value)
    if of.quantity == "thickness":
        return show_thickness(value, units)
    return show_run(value, units) if of.quantity == "take-up" else show_length(value, units)


def understood(measured: dict[str, float], of: dict[str, Measurable], units: str) -> str:
    """All that was measured, as it was read: `height of band 4 2 in; length of a tail 1 1/2 in`."""
    return "; ".join(f"{key} {figure_shown(of[key], value, units)}" for key, value in measured.items())
