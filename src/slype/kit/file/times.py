"""Days and times of day in the class file, as people write them."""

from __future__ import annotations

import re
from datetime import date, datetime

from ...design.file.toml import Table, shown
from ...errors import DesignError


def read_time(value: object, where: str) -> int:
    """Minutes after midnight of `9:30`, `16.30` or `4:30 pm`. Raises DesignError."""
    found = re.fullmatch(r"\s*(\d{1,2})(?:[:.h](\d{2}))?\s*([ap]\.?m\.?)?\s*", str(value).lower())
    if found:
        hour, minute = int(found[1]), int(found[2] or 0)
        if found[3] and hour <= 12:
            hour = hour % 12 + (12 if found[3].startswith("p") else 0)
        if hour < 24 and minute < 60:
            return hour * 60 + minute
    raise DesignError(f"{shown(value)} is not a time of day.", where, 'Write it like "9:30" or "4:30 pm".')


def _pair(value: object, where: str) -> tuple[int, int]:
    if not isinstance(value, list) or len(value) != 2:
        raise DesignError("should be [start, end].", where, 'For example ["9:30", "16:30"].')
    first, last = read_time(value[0], where), read_time(value[1], where)
    if last <= first:
        said = "ends before it starts; it is left out, as if it were not there."
        raise DesignError(said, where, "Write the start first.")
    return first, last


def hours_of(main: Table) -> tuple[int, int]:
    return _pair(main.values.get("hours", ["9:30", "16:30"]), main.at("hours"))


def breaks_of(main: Table, hours: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    given = main.values.get("breaks", [])
    if not isinstance(given, list):
        raise DesignError("should be a list of [start, end].", main.at("breaks"), 'For example [["12:30", "13:15"]].')
    out = sorted((*_pair(each, main.at("breaks").entry("entry", i)), i) for i, each in enumerate(given))
    for i, (first, last, row) in enumerate(out):
        at = main.at("breaks").entry("entry", row)
        if first < hours[0] or last > hours[1]:
            raise DesignError("a break lies outside the class's hours.", at, "Check hours and breaks.")
        if i and first < out[i - 1][1]:
            raise DesignError("two breaks lie over each other.", at, "Make them one.")
    return tuple((first, last) for first, last, _ in out)


def day_of(main: Table) -> date | None:
    value = main.values.get("day")
    if value is None:
        return None
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        raise DesignError(
            f"{shown(value)} is not a day.", main.at("day"), "Write year-month-day: 2027-03-13."
        ) from None
