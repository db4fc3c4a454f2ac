"""Lengths and masses at the door: text in, numbers in mm or g inside, text out again.

Inside slype a length is always a float in millimetres and a mass a float in grams;
nothing else in the package reads or writes a unit. Makers write `7 1/2 in`, `7-1/2"`, `7½ in`,
`190 mm`, `19 cm`, `9 ft`, `9 ft 6 in`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction

from .errors import DesignError
from .such_as import such_as

MM_PER_IN = 25.4  # exact by definition (international yard and pound agreement, 1959)
MM_PER_FT = 304.8
G_PER_OZ = 28.349523125  # exact by definition
G_PER_LB = 453.59237
MM3_PER_QT = 946_352.946  # US liquid quart, exact by definition (231 cubic inches to the gallon)

_LENGTH_UNITS = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": MM_PER_IN,
    "inch": MM_PER_IN,
    "inches": MM_PER_IN,
    '"': MM_PER_IN,
    "″": MM_PER_IN,
    "''": MM_PER_IN,
    "ft": MM_PER_FT,
    "foot": MM_PER_FT,
    "feet": MM_PER_FT,
    "'": MM_PER_FT,
    "′": MM_PER_FT,
    "yd": 914.4,
    "yard": 914.4,
    "yards": 914.4,
}
_MASS_UNITS = {"g": 1.0, "kg": 1000.0, "oz": G_PER_OZ, "lb": G_PER_LB, "lbs": G_PER_LB}
_PART = re.compile(
    r"""\s*(?P<sign>[-+])?
        (?:(?P<whole>\d+)(?:\s+|-)(?P<top>\d+)/(?P<bottom>\d+)   # 7 1/2 or 7-1/2
          |(?P<t>\d+)/(?P<b>\d+)                                  # 1/2
          |(?P<number>\d+(?:\.\d*)?|\.\d+))                       # 7 or 7.5
        \s*(?P<unit>[a-zA-Z]+|''|["″'′])?""",
    re.VERBOSE,
)
LONGEST_TEXT = 60  # no honest length needs more letters; keeps a hostile file from costing time
LONGEST_MM = 1e6  # a kilometre: far above any basket or coil that a design file names


def _spell_fractions(text: str) -> str:
    """Turn ½ into 1/2, with a space after a whole number before it."""
    out = []
    for sign in text:
        value = unicodedata.numeric(sign, None) if not sign.isascii() else None
        if value is not None and not sign.isdigit():
            part = Fraction(value).limit_denominator(16)
            out.append(f" {part.numerator}/{part.denominator}")
        else:
            out.append(sign)
    return "".join(out).strip()


def _measure(text: object, units: dict[str, float], kind: str, example: str, where: str) -> float:
    if not isinstance(text, str):
        raise DesignError(
            f"a {kind} must be text with its unit, not {text!r:.40}.", where, f'Write it like "{example}".'
        )
    cleaned = _spell_fractions(text) if len(text) <= LONGEST_TEXT else ""
    cleaned = re.sub(r"(?<=\d),(?=\d)", ".", cleaned)  # 3,5 cm is 3.5 cm to half of Europe
    total, at, last_unit = 0.0, 0, ""
    while at < len(cleaned):
        found = _PART.match(cleaned, at)
        if found is None:
            break
        bottom = int(found["bottom"] or found["b"] or 1)
        if bottom == 0:
            raise DesignError(f'"{text}" divides by nought.', where, f'Write it like "{example}".')
        if found["number"] is not None:
            value = float(found["number"])
        else:
            value = int(found["whole"] or 0) + int(found["top"] or found["t"]) / bottom
        last_unit = (found["unit"] or "").lower()
        if last_unit not in units:
            break
        total += value * units[last_unit] * (-1 if found["sign"] == "-" else 1)
        at = found.end()
    if not cleaned or at < len(cleaned.rstrip()):
        shown = text if len(text) <= 24 else text[:24] + "…"
        known = ", ".join(name for name in units if name.isalpha() and len(name) <= 2)
        raise DesignError(
            f'"{shown}" is not a {kind} I can read.', where, f'Give a number and a unit ({known}), like "{example}".'
        )
    return total


def parse_length(text: object, where: str = "") -> float:
    """Length in mm from text such as `7 1/2 in`, `19 cm` or `9 ft 6 in`.

    Raises DesignError, naming `where`, when there is no unit or the number cannot be read.
    """
    value = _measure(text, _LENGTH_UNITS, "length", such_as("7 1/2 in", "19 cm"), where)
    if not math.isfinite(value) or abs(value) > LONGEST_MM:
        raise DesignError(f'"{text}" is longer than a kilometre.', where, "Check the unit.")
    return value


def parse_mass(text: object, where: str = "") -> float:
    """Mass in g from text such as `1 lb` or `500 g`. Raises DesignError like `parse_length`."""
    value = _measure(text, _MASS_UNITS, "mass", such_as("1 lb", "500 g"), where)
    if not math.isfinite(value) or value <= 0 or value > 1e6:
        said = f'"{text}" is not a mass of reed anyone would handle.'
        raise DesignError(said, where, f'Write it like "{such_as("1 lb", "500 g")}".')
    return value


def inches(mm: float, part: int = 8) -> str:
    """`7 1/2` from mm, rounded to the nearest 1/part inch (part a power of two)."""
    sign = "-" if mm < 0 else ""
    steps = round(abs(mm) / MM_PER_IN * part)
    whole, rest = divmod(steps, part)
    if rest == 0:
        return f"{sign}{whole}" if whole else "0"
    piece = Fraction(rest, part)
    lead = f"{whole} " if whole else ""
    return f"{sign}{lead}{piece.numerator}/{piece.denominator}"


def show_length(mm: float, units: str = "in", part: int = 8) -> str:
    """A length as a maker reads it: inches with fractions, or centimetres."""
    if units == "in":
        return f"{inches(mm, part)} in"
    return f"{mm / 10:.2f} cm" if abs(mm) < 10 else f"{mm / 10:.1f} cm"


YARD_IN = 36
"""Up to a yard a length to cut is told in inches, as a yardstick has them; beyond it in feet and inches."""


def show_cut(mm: float, units: str, whole_of: Callable[[float], int] = math.ceil, part: int = 1) -> str:
    """A length of reed to cut, on every list and label alike, rounded up so that it is never short: `31 in`, `8 ft 9
    in`, or `79 cm`, `2.67 m`.

    The lower end of a range is rounded down: `whole_of` is then math.floor. Inches come in steps of 1/`part`: what
    stands is cut to the half inch.
    """
    slip = 0.0 if whole_of is round else 1e-6 if whole_of is math.ceil else -1e-6  # a hair beside the mark is on it
    if units == "cm":
        whole_cm = whole_of(mm / 10 - slip)
        return f"{whole_cm / 100:.2f} m" if whole_cm >= 100 else f"{whole_cm} cm"
    steps = whole_of(mm / MM_PER_IN * part - slip)
    if steps <= YARD_IN * part:
        return f"{inches(steps * MM_PER_IN / part, part)} in"
    feet, rest = divmod(steps, round(MM_PER_FT / MM_PER_IN) * part)
    return f"{feet} ft {inches(rest * MM_PER_IN / part, part)} in" if rest else f"{feet} ft"


def show_piece(mm: float, units: str) -> str:
    """What stands, as it is cut: to the half inch or the centimetre, told as `show_cut` tells it."""
    return show_cut(mm, units, part=2)


def show_fine(mm: float, units: str = "in") -> str:
    """A row's height or a bend: centimetres, or mm beside inches, of which a sixteenth would be too coarse."""
    return f"{mm:.1f} mm" if units == "in" else f"{mm / 10:.2f} cm"


def show_true(mm: float, units: str = "in") -> str:
    """A length that is stepped off again and again, so that a rounding would add up: to a tenth of a millimetre, with
    the nearest 64th beside it for a rule in inches."""
    if units == "in":
        return f"{mm:.1f} mm ({inches(mm, 64)} in)"
    return f"{mm / 10:.2f} cm"


def show_run(mm: float, units: str = "in") -> str:
    """A long run of reed: feet, or metres."""
    if units == "in":
        return f"{mm / MM_PER_FT:.0f} ft" if mm >= 10 * MM_PER_FT else f"{mm / MM_PER_FT:.1f} ft"
    return f"{mm / 1000:.1f} m"


def show_mass(grams: float, units: str = "in") -> str:
    """A mass as a maker weighs it: ounces and pounds, or grams."""
    if units == "in":
        ounces = grams / G_PER_OZ
        return f"{ounces:.1f} oz" if ounces < 16 else f"{ounces / 16:.2f} lb"
    return f"{grams:.0f} g" if grams >= 10 else f"{grams:.1f} g"


def show_coil(grams: float, units: str = "in") -> str:
    """A coil's mass as it is sold: coils of a pound stay a pound, with grams beside for those who weigh in grams."""
    pounds = grams / G_PER_OZ / 16
    if abs(pounds - round(pounds)) > 0.01:
        return show_mass(grams, units)
    return f"{round(pounds)} lb" if units == "in" else f"{round(pounds)} lb ({grams:.0f} g)"


def show_volume(mm3: float, units: str = "in", wording: str = "us") -> str:
    """What a basket holds: US quarts for a maker who works in inches, litres otherwise."""
    if units == "in" and wording == "us":
        return f"{mm3 / MM3_PER_QT:.1f} quarts"
    return f"{mm3 / 1e6:.1f} {'litres' if wording == 'uk' else 'liters'}"


_PARTS = (
    (0, "hardly any"), (1 / 10, "about a tenth"), (1 / 6, "about a sixth"), (1 / 4, "about a quarter"),
    (1 / 3, "about a third"), (2 / 5, "about two fifths"), (1 / 2, "about half"), (3 / 5, "about three fifths"),
    (2 / 3, "about two thirds"), (3 / 4, "about three quarters"), (5 / 6, "about five sixths"),
    (9 / 10, "about nine tenths"), (1, "nearly all"),
)  # fmt: skip


def show_share(part: float) -> str:
    """A part of a whole as makers say it: 0.52 is "about half"."""
    return min(_PARTS, key=lambda each: abs(each[0] - part))[1]


def show_thickness(mm: float, units: str = "in") -> str:
    """A reed's thickness: mm always, as it is sold and measured, with 64ths of an inch beside for inch users."""
    return f"{mm:.2f} mm" if units == "cm" else f"{mm:.2f} mm ({inches(mm, 64)} in)"


def show_time(seconds: float) -> str:
    """Hours and minutes, to five minutes above the hour."""
    minutes = seconds / 60
    if minutes < 60:
        return f"{max(1, round(minutes))} min"
    steps = round(minutes / 5) * 5
    return f"{steps // 60} h {steps % 60:02d} min" if steps % 60 else f"{steps // 60} h"
