"""The days of a class as a calendar file (iCalendar, RFC 5545): preparation as whole days, the class by the clock."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, time, timedelta

from ..kit.worked import Worked
from ..tell.classes.days import hour_told, job_told, usual_plan


def calendar(made: Worked) -> bytes | None:
    """An .ics file, or None where the class has no day yet. Times float: they are those of the place of the class."""
    from icalendar import Calendar, Event  # only a class with a day needs it

    asked, when = made.asked, made.when
    if asked.day is None or when is None:
        return None
    wording = made.kits[0].seat.wording
    # The same class gives the same file: it is stamped with its own day, not with the time of writing.
    stamp = datetime.combine(asked.day, time(0, 0), UTC)
    out = Calendar()
    out.add("prodid", "-//slype//class//EN")
    out.add("version", "2.0")
    out.add("x-wr-calname", asked.title)

    def event(key: str, title: str, start, end, about: str = "") -> None:
        one = Event()
        mark = hashlib.sha256(f"{asked.title}|{asked.day}|{key}".encode()).hexdigest()[:24]
        one.add("uid", f"{mark}@slype")
        one.add("dtstamp", stamp)
        one.add("summary", title)
        one.add("dtstart", start)
        one.add("dtend", end)
        if about:
            one.add("description", about)
        if asked.place:
            one.add("location", asked.place)
        out.add_component(one)

    for job in when.jobs:
        last = asked.day + timedelta(days=job.last + 1)  # the end of a whole day is the day after
        event(job.key, f"{asked.title}: {job_told(job, wording)}", asked.day + timedelta(days=job.first), last)
    midnight = datetime.combine(asked.day, time(0, 0))
    told = []
    for hour in when.hours:
        told.append(f"{_clock(hour.start)} {hour_told(made, usual_plan(made), hour)}")
    start, end = (midnight + timedelta(minutes=minutes) for minutes in (asked.starts, asked.ends))
    event("class", asked.title, start, end, "\n".join(told))
    for i, hour in enumerate(hour for hour in when.hours if hour.key in ("soak", "break")):
        first, last = (midnight + timedelta(minutes=round(minutes)) for minutes in (hour.start, hour.end))
        event(f"{hour.key} {i}", hour_told(made, usual_plan(made), hour), first, last)
    return out.to_ical()


def _clock(minutes: float) -> str:
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}"
