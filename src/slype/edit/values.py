"""What a page or a program may ask of a design file: paths, values, lengths as they are typed.

Everything is doubted here, so that what comes in later is plain data of modest size.
"""

from __future__ import annotations

import math

from ..design.file.keys import KEYS
from ..errors import DesignError
from ..quantity import MM_PER_IN, inches, parse_length
from .lists import Path

MOST_CHANGES, LONGEST_PATH, DEEPEST, MOST_VALUES, LONGEST_TEXT = 200, 8, 6, 4000, 500
LONGEST_KEY = 60
SMALL_MM = {"in": MM_PER_IN, "cm": 20.0}
"""Below this a length is rounded more finely: to 1/16 inch or 1 mm (common practice, no source)."""
# Lengths in the maker's own reeds, which the table of keys holds under any name.
_LENGTHS = {"coil_length", "strand"}


def checked_path(path: object) -> Path:
    """A path of keys and places, from 0. Raises DesignError."""
    steps = tuple(path) if isinstance(path, list | tuple) else ()
    good = 1 <= len(steps) <= LONGEST_PATH and isinstance(steps[0], str)
    for step in steps if good else ():
        if isinstance(step, str):
            good = good and 0 < len(step) <= 60 and step.isprintable()
        else:
            good = good and isinstance(step, int) and not isinstance(step, bool) and 0 <= step < 10_000
    if not good:
        raise DesignError(
            f"{_briefly(path)} does not name a place in a design.", "", 'For example ["band", 3, "colours", 0].'
        )
    return steps


def checked_place(value: object, most: int, where: str) -> int:
    """A place in a list, from 0 to `most`. Raises DesignError."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= most:
        raise DesignError(f"there is no place {_briefly(value)} in this list.", where, f"From 0 to {most}.")
    return value


def checked_value(value: object, where: str) -> object:
    """The value, when it is plain data that a design could hold. Raises DesignError."""
    left = [MOST_VALUES]

    def walk(value: object, depth: int) -> None:
        left[0] -= 1
        if depth > DEEPEST or left[0] < 0:
            raise DesignError("holds more than any design does.", where, "Change less at a time.")
        if isinstance(value, dict):
            for key, inner in value.items():
                if not isinstance(key, str) or not 0 < len(key) <= LONGEST_KEY or not key.isprintable():
                    raise DesignError(f"{_briefly(key)} is not a key.", where)
                walk(inner, depth + 1)
        elif isinstance(value, list | tuple):
            for inner in value:
                walk(inner, depth + 1)
        elif isinstance(value, str):
            if len(value) > LONGEST_TEXT or not value.isprintable():
                raise DesignError(
                    "holds a text that is too long or cannot be printed.", where, "Use letters and ordinary signs."
                )
        elif isinstance(value, float):
            if not math.isfinite(value):
                raise DesignError("is not a number anyone can measure.", where)
        elif isinstance(value, int):
            if not isinstance(value, bool) and abs(value) >= 2**53:
                raise DesignError("is a number far beyond any basket.", where)
        else:
            raise DesignError(f"{_briefly(value)} is not a value of a design file.", where)

    walk(value, 0)
    return _plain(value)


def _plain(value: object) -> object:
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value


def _briefly(value: object) -> str:
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 10**12:
        return "a huge number"
    if isinstance(value, list | tuple | dict):
        return "this"
    return f"{value!r:.40}"


def where_of(path: Path) -> str:
    """`band 4, colours`: a place as messages call it."""
    said: list[str] = []
    for step in path:
        if not isinstance(step, int):
            said.append(step[:40])
        elif said and said[-1] in ("band", "handle"):
            said[-1] += f" {step + 1}"
        else:
            said.append(f"{'point' if said[-1:] == ['wall'] else 'entry'} {step + 1}")
    return ", ".join(said)


# Lengths -------------------------------------------------------------------------------------------------------


def takes(path: Path) -> str:
    """What the key at a path takes, in the words of the table of keys; "" for a key it does not hold."""
    names = [step for step in path if isinstance(step, str)]
    if names[0] == "lid" and len(names) > 2:
        names = names[1:]
    if len(names) < 2:
        return ""
    if names[-1] in _LENGTHS:
        return "length"
    return next((key.takes for key in KEYS if [key.table, key.name] == names[:2] and len(names) == 2), "")


def as_makers_round(mm: float, units: str) -> str:
    """A length as a maker would write it, to 1/8 inch or half a centimetre; small ones to 1/16 inch or 1 mm."""
    small = abs(mm) < SMALL_MM[units]
    if units == "in":
        return f"{inches(mm, 16 if small else 8)} in"
    step = 1.0 if small else 5.0
    return f"{round(mm / step) * step / 10:g} cm"


def as_typed(value: object, path: Path, units: str) -> object:
    """The value for a path, with the basket's unit added to lengths that lack one and { mm = … } written in it."""
    kinds = takes(path)
    if isinstance(value, dict) and not (kinds and set(value) == {"mm"} and "length" in kinds):
        return {key: as_typed(inner, (*path, key), units) for key, inner in value.items()}
    if isinstance(value, list) and "length" not in kinds and "height" not in kinds:
        return [as_typed(inner, (*path, i), units) for i, inner in enumerate(value)]
    if not ("length" in kinds or "[height" in kinds):
        return value
    return _lengths(value, units, where_of(path))


def _lengths(value: object, units: str, where: str) -> object:
    if isinstance(value, list):
        return [_lengths(inner, units, where) for inner in value]
    if isinstance(value, dict):
        mm = value.get("mm")
        if set(value) != {"mm"} or isinstance(mm, bool) or not isinstance(mm, int | float) or abs(mm) > 1e6:
            raise DesignError("is not a length.", where, f'Write it like "{"7 1/2 in" if units == "in" else "19 cm"}".')
        return as_makers_round(mm, units)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g} {units}" if abs(value) < 1e6 else value
    if not isinstance(value, str) or _is_length(value):
        return value
    with_unit = f"{value.strip()} {units}"
    return with_unit if _is_length(with_unit) else value


def _is_length(text: str) -> bool:
    try:
        parse_length(text)
    except DesignError:
        return False
    return True
