"""The days before, the day, and the days after: what happens when.

Days are counted backward from the class; the hours of the class are walked through with the usual student, breaks left
out and rests for the hands put in. Soaking begins as long before a reed is used as its size asks (`reeds.SOAKING`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from ..plans.bundles import Bundle
from ..reeds import Reed
from .assigned import ReedCut
from .dyeing import Bath
from .finishing import CLEARING, REST, REST_EVERY, WELCOME, Finish, left_to_do
from .seats import Kit
from .values import Class

DAYS = {"order": 14, "dye": 1, "dry": 2, "cut": 1, "bundle": 1}
"""Days that each takes before the next can begin, where the class does not say (common practice, no source)."""
CUT_SECONDS, BUNDLE_SECONDS, BATH_MINUTES = 12.0, 45.0, 90.0
"""Cutting one length, tying and labelling one bundle, minding one bath (common practice, no source)."""
TEACHER = 0.4
"""Time of whoever teaches, as a share of a beginner's (common practice, no source)."""
DRYING_DAYS = 2
"""Days a basket dries after the class (common practice, no source)."""


@dataclass(frozen=True)
class Job:
    """One thing to do before or after: `key` of what, on the day `first` to `last` (days from the class, below 0 before
    it), `minutes` of work where known."""

    key: str
    first: int
    last: int
    minutes: float | None = None


@dataclass(frozen=True)
class Hour:
    """A stretch of the day: `key` (welcome, task, break, clear, soak, in hand), from `start` to `end` in minutes after
    midnight; `task` number of the usual basket's tasks in the class (from 0), `reed` to put in to soak, `bundles` it is
    for."""

    key: str
    start: float
    end: float
    task: int | None = None
    reed: Reed | None = None
    bundles: tuple[int, ...] = ()


@dataclass(frozen=True)
class Timetable:
    """`jobs` before and after, in order; `hours` of the day; `rests` when hands rest; `preparing_minutes` in all."""

    jobs: tuple[Job, ...]
    hours: tuple[Hour, ...]
    rests: tuple[float, ...]
    day: date | None

    @property
    def stretches(self) -> tuple[Hour, ...]:
        """The day in its order, nothing over anything else: tasks parted by the breaks in them, time that is left over
        told as time in hand; soaking, which goes on beside it, left out."""
        breaks = [hour for hour in self.hours if hour.key == "break"]
        out = [piece for hour in self.hours if hour.key != "soak" for piece in _parted(hour, breaks)]
        out.sort(key=lambda hour: (hour.start, hour.end))
        gaps, at = [], out[0].start if out else 0.0
        for hour in out:
            if hour.start > at + 0.5:
                gaps.append(Hour("in hand", at, hour.start))
            at = max(at, hour.end)
        return tuple(sorted([*out, *gaps], key=lambda hour: (hour.start, hour.end)))

    @property
    def soaks(self) -> tuple[Hour, ...]:
        """When reed goes into the water, in order."""
        return tuple(sorted((hour for hour in self.hours if hour.key == "soak"), key=lambda hour: hour.start))

    @property
    def preparing_minutes(self) -> float:
        """Work before the class."""
        return sum(job.minutes or 0.0 for job in self.jobs if job.last < 0)

    def date_of(self, offset: int) -> date | None:
        """The date so many days from the class, None where its day is not fixed."""
        return None if self.day is None else self.day + timedelta(days=offset)


def _parted(hour: Hour, breaks: list[Hour]) -> list[Hour]:
    """What is left of a stretch once the breaks in it are taken out; a break itself stays whole."""
    pieces = [(hour.start, hour.end)]
    for rest in breaks if hour.key != "break" else ():
        pieces = [
            piece
            for a, b in pieces
            for piece in ((a, min(b, rest.start)), (max(a, rest.end), b))
            if piece[1] > piece[0]
        ]
    return [replace(hour, start=a, end=b) for a, b in pieces] or [hour]


def timetable(
    asked: Class, kits: tuple[Kit, ...], cuts: tuple[ReedCut, ...], baths: tuple[Bath, ...], found: Finish | None
) -> Timetable:
    """When everything happens."""
    hours = _hours(asked, kits, found) if found else ()
    return Timetable(_jobs(asked, kits, cuts, baths), hours, _rests(asked), asked.day)


def _jobs(asked: Class, kits: tuple[Kit, ...], cuts: tuple[ReedCut, ...], baths: tuple[Bath, ...]) -> tuple[Job, ...]:
    days = {**DAYS, **dict(asked.days)}
    pieces = sum(len(strand.pieces) for cut in cuts for strand in cut.strands)
    bundles = sum(len(kit.basket.bundles) for kit in kits)
    wanted: list[tuple[str, int, float | None]] = []  # from the class backward
    before = _prepared_minutes(asked, kits)
    if before:
        wanted.append(("weave", 1 + int(before // (6 * 60)), before))
    wanted.append(("bundle", days["bundle"], bundles * BUNDLE_SECONDS / 60))
    cutting = [("cut", days["cut"], pieces * CUT_SECONDS / 60)]
    baths = tuple(bath for bath in baths if bath.dye is not None)  # for what has no dye named no day can be planned
    dyeing: list[tuple[str, int, float | None]] = []
    if baths:
        dyeing = [("dry", days["dry"], None), ("dye", days["dye"], sum(bath.baths for bath in baths) * BATH_MINUTES)]
    wanted += [*dyeing, *cutting] if asked.rules.dye_cut else [*cutting, *dyeing]
    if any(strand.source == "bought" for cut in cuts for strand in cut.strands):
        wanted.append(("order", days["order"], None))
    jobs, next_day = [], 0
    for key, many, minutes in wanted:
        if many == 0:
            jobs.append(Job(key, min(next_day, -1), min(next_day, -1), minutes))
            continue
        jobs.append(Job(key, next_day - many, next_day - 1, minutes))
        next_day -= many
    return (*reversed(jobs), Job("dry baskets", 1, DRYING_DAYS))


def _prepared_minutes(asked: Class, kits: tuple[Kit, ...]) -> float:
    """What is woven before the class, at the teacher's pace."""
    out = 0.0
    for kit in kits:
        plan = kit.basket.plan
        side = plan.laid.side[0].index if plan.laid.side else None
        left = left_to_do(plan.time.tasks, asked.prepared, side)
        out += (plan.time.seconds - sum(task.seconds for task in left)) / 60 * TEACHER
    return out


# The day -------------------------------------------------------------------------------------------------------


def clock_of(asked: Class, work: float) -> float:
    """Time of day, in minutes after midnight, when so many minutes of work are done: breaks and rests in between."""
    left = work * (REST_EVERY + REST) / REST_EVERY
    now = float(asked.starts + WELCOME)
    for first, last in asked.breaks:
        if now + left <= first:
            break
        if first >= now:
            left -= first - now
            now = float(last)
        elif last > now:
            now = float(last)
    return now + left


def _hours(asked: Class, kits: tuple[Kit, ...], found: Finish) -> tuple[Hour, ...]:
    out = [Hour("welcome", asked.starts, asked.starts + WELCOME)]
    out += [Hour("break", first, last) for first, last in asked.breaks]
    out.append(Hour("clear", asked.ends - CLEARING, asked.ends))
    begun = 0.0
    for i, task in enumerate(found.tasks):
        out.append(Hour("task", clock_of(asked, begun), clock_of(asked, task.usual_done), i))
        begun = task.usual_done
    return tuple(sorted([*out, *_soaking(asked, kits, found)], key=lambda hour: (hour.start, hour.key)))


def _soaking(asked: Class, kits: tuple[Kit, ...], found: Finish) -> list[Hour]:
    """When each reed goes into the water, and for which bundles: what is used at the start is put in before it."""
    basket = next(kit.basket for kit in kits if not kit.seat.spare)
    starts: dict[tuple[Reed, float], list[int]] = {}
    begun = 0.0
    for task in found.tasks:
        for bundle in basket.bundles:
            if _used_in(bundle, task.key, task.band, task.lid):
                starts.setdefault((bundle.reed, clock_of(asked, begun)), []).append(bundle.number)
        begun = task.usual_done
    return [
        Hour("soak", at - reed.soak().minutes[1], at, None, reed, tuple(numbers))
        for (reed, at), numbers in starts.items()
    ]


def _used_in(bundle: Bundle, key: str, band: int | None, lid: bool) -> bool:
    if bundle.lid != lid:
        return False
    if bundle.piece is None:
        assert bundle.bands is not None, "a bundle is of a piece or of bands"
        return key == "band" and bundle.bands[0] == band
    use = {"begin": "begin", "insert": "insert", "add": "add", "foot": "foot", "handle": "handle"}[bundle.piece.use]
    return key == use and (use != "add" or bundle.piece.band == band)


def _rests(asked: Class) -> tuple[float, ...]:
    """When hands rest: every half hour of work."""
    out: list[float] = []
    now = float(asked.starts + WELCOME)
    while True:
        now += REST_EVERY
        inside = next(((a, b) for a, b in asked.breaks if a - REST_EVERY / 2 <= now < b), None)
        if inside:
            now = float(inside[1])
            continue
        if now >= asked.ends - CLEARING:
            return tuple(out)
        out.append(now)
        now += REST
