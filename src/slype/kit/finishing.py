"""Who will finish: classes simulated from stroke counts, skill and its spread.

1. Every task of a basket takes its time at the stated pace (`plans.times`), times what the student's skill makes of it.
2. Students of one skill differ: each has a factor whose logarithm is normal about the skill's, with its spread; and
   each task strays a little from that (STEP_SPREAD). So times are never below nought and a few people are very slow.
3. Whoever needs help waits until teacher or helper is free (`waiting`): the more students to each of them, the longer.
4. Of the hours between start and end count those outside breaks, without welcome and clearing up, and with a short rest
   for the hands every half hour.
Nothing of this is measured: it is a stated assumption, which the teacher's watch replaces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..plans.times import Task
from .pace import SKILLS, STEP_SPREAD
from .seats import Kit
from .values import PREPARED, Class
from .waiting import longer

RUNS = 10_000
WELCOME, CLEARING = 15, 15
"""Minutes for welcome and safety, and for clearing up (common practice, no source)."""
REST_EVERY, REST = 30, 2
"""A rest of 2 minutes for hands and back in every half hour (common practice, no source)."""
SLOW = 0.9
"""The slow are those slower than nine in ten."""


@dataclass(frozen=True)
class SeatOdds:
    """One student: `minutes` of work at the middle and the nine-in-ten slowest, `odds` to finish in time."""

    seat: int
    minutes: float
    slow_minutes: float
    odds: float


@dataclass(frozen=True)
class TaskOdds:
    """One task of the usual basket: its `key`, `band` and `lid`; `minutes` it usually takes in this class; the share of
    students who have done it by the end; when the usual and the slow have (minutes of work)."""

    key: str
    band: int | None
    lid: bool
    minutes: float
    done: float
    usual_done: float
    slow_done: float


@dataclass(frozen=True)
class Stop:
    """What to do with the slow: at `work_minutes` of work whoever is not past task number `task` (from 0) ends it where
    they are and goes on to the border."""

    work_minutes: float
    task: int


@dataclass(frozen=True)
class Finish:
    """What simulated classes say: `chances[k]` that exactly k of the students finish in the `available` minutes of
    work; each of the `seats`; the `tasks` of the usual basket; `stop` for the slow, None where they finish; `expected`
    how many finish in the mean for every one of PREPARED, and `usual_prepared` in the middle one of all classes, which
    is what words tell; `waiting` how many times as long work takes for want of somebody to ask, and with one helper
    more `usual_helped` finish in the middle one."""

    available: float
    chances: tuple[float, ...]
    seats: tuple[SeatOdds, ...]
    tasks: tuple[TaskOdds, ...]
    stop: Stop | None
    expected: tuple[tuple[str, float], ...]
    usual_prepared: tuple[tuple[str, int], ...]
    runs: int
    waiting: float
    usual_helped: int

    @property
    def usual(self) -> int:
        """How many finish in the middle one of all classes."""
        return _at_least_in(0.5, self.chances)

    @property
    def at_least(self) -> int:
        """How many finish in nine classes of ten."""
        return _at_least_in(0.9, self.chances)

    @property
    def better_prepared(self) -> tuple[str, int] | None:
        """The least of PREPARED by which the most finish, and how many; None where no more do than now."""
        most = max(usual for _, usual in self.usual_prepared)
        least = next(prepared for prepared, usual in self.usual_prepared if usual == most)
        return (least, most) if most > self.usual else None


def work_minutes(asked: Class) -> float:
    """Minutes that hands work: from start to end without breaks, welcome, clearing up and rests."""
    whole = asked.teaching_minutes - WELCOME - CLEARING
    return max(0.0, whole * REST_EVERY / (REST_EVERY + REST))


def left_to_do(tasks: tuple[Task, ...], prepared: str, first_side: int | None) -> tuple[Task, ...]:
    """Tasks that are left for the class when something is woven before: the base up to the turning up, or also the
    first band of the side."""
    if prepared == "nothing":
        return tasks
    keys = [task.key for task in tasks if not task.lid]
    cut = next((i for i, key in enumerate(keys) if key in ("insert", "turn up")), 0)
    if prepared == "base and upsett":
        cut = next((i + 1 for i, t in enumerate(tasks) if t.key == "band" and t.band == first_side and not t.lid), cut)
    return tasks[cut:]


def finish(asked: Class, kits: tuple[Kit, ...], runs: int = RUNS) -> Finish | None:
    """Simulate the class; None where no student has a basket."""
    students = [kit for kit in kits if not kit.seat.spare]
    if not students:
        return None
    available = work_minutes(asked)
    expected, usual, every = [], [], {}
    for prepared in PREPARED:
        every[prepared] = _totals(asked, students, prepared, runs)
        done = every[prepared] <= available
        expected.append((prepared, float(done.sum(axis=1).mean())))
        usual.append((prepared, _at_least_in(0.5, _chances(done))))
    totals = every[asked.prepared]
    done = totals <= available
    waits, less = waiting_of(asked, students), waiting_of(asked, students, 1)
    helped = _at_least_in(0.5, _chances(totals * (less / waits) <= available))
    seats = tuple(
        SeatOdds(
            kit.seat.number, float(np.median(totals[:, i])), float(np.quantile(totals[:, i], SLOW)),
            float(done[:, i].mean()),
        )
        for i, kit in enumerate(students)
    )  # fmt: skip
    tasks, stop = _tasks(asked, students, runs, available)
    chances = tuple(_chances(done).tolist())
    return Finish(available, chances, seats, tasks, stop, tuple(expected), tuple(usual), runs, waits, helped)


def _chances(done: np.ndarray) -> np.ndarray:
    """(students + 1,): the share of classes in which just so many finish, of `done` (runs, students)."""
    return np.bincount(done.sum(axis=1), minlength=done.shape[1] + 1) / len(done)


def _at_least_in(share: float, chances: Sequence[float] | np.ndarray) -> int:
    """How many finish, or more, in that share of all classes."""
    return int(np.searchsorted(np.cumsum(chances), 1 - share + 1e-12))


def waiting_of(asked: Class, students: list[Kit], more: int = 0) -> float:
    """How many times as long work takes for waiting, with so many `more` helpers; all ask as often as they do on
    average."""
    often = [1 / (asked.asks_every or SKILLS[kit.seat.skill].asks_every) for kit in students]
    return longer(len(students), 1 + asked.helpers + more, len(often) / sum(often), asked.answer_minutes)


def _minutes(kit: Kit, prepared: str) -> tuple[tuple[Task, ...], np.ndarray]:
    plan = kit.basket.plan
    first_side = plan.laid.side[0].index if plan.laid.side else None
    left = left_to_do(plan.time.tasks, prepared, first_side)
    return left, np.array([task.seconds / 60 for task in left])


def _factors(asked: Class, students: list[Kit], runs: int) -> np.ndarray:
    """(runs, students): how many times as long as the pace says each student takes, the waiting for help with it."""
    spread = {key: dict(asked.spread).get(key, skill.spread) for key, skill in SKILLS.items()}
    wide = np.array([spread[kit.seat.skill] for kit in students])
    usual = np.array([SKILLS[kit.seat.skill].times for kit in students]) * waiting_of(asked, students)
    chance = np.random.default_rng(asked.rules.seed)
    return usual * np.exp(wide * chance.standard_normal((runs, len(students))))


def _totals(asked: Class, students: list[Kit], prepared: str, runs: int) -> np.ndarray:
    """(runs, students): minutes each takes for everything left to do."""
    factors = _factors(asked, students, runs)
    chance = np.random.default_rng(asked.rules.seed + 1)
    out = np.empty_like(factors)
    for i, kit in enumerate(students):
        _, minutes = _minutes(kit, prepared)
        strays = np.exp(np.float32(STEP_SPREAD) * chance.standard_normal((runs, len(minutes)), dtype=np.float32))
        out[:, i] = factors[:, i] * (strays @ minutes.astype(np.float32))
    return out


def _tasks(asked: Class, students: list[Kit], runs: int, available: float) -> tuple[tuple[TaskOdds, ...], Stop | None]:
    """Tasks of the basket that most weave, over all who weave it."""
    many: dict[int, list[int]] = {}
    for i, kit in enumerate(students):
        many.setdefault(_shape(kit), []).append(i)
    mine = max(many.values(), key=len)
    left, minutes = _minutes(students[mine[0]], asked.prepared)
    factors = _factors(asked, students, runs)[:, mine]
    chance = np.random.default_rng(asked.rules.seed + 2)
    strays = np.exp(STEP_SPREAD * chance.standard_normal((runs, len(minutes))))
    each = (minutes * strays)[:, None, :] * factors[:, :, None]
    done = np.cumsum(each, axis=2).reshape(-1, len(minutes))
    each = each.reshape(-1, len(minutes))
    usual, slow = np.median(done, axis=0), np.quantile(done, SLOW, axis=0)
    tasks = tuple(
        TaskOdds(
            task.key, task.band, task.lid, float(np.median(each[:, k])), float((done[:, k] <= available).mean()),
            float(usual[k]), float(slow[k]),
        )
        for k, task in enumerate(left)
    )  # fmt: skip
    return tasks, _stop(left, each, slow, available)


def _shape(kit: Kit) -> int:
    """Baskets that differ in hand and colours alone are one for the clock."""
    return hash(tuple(round(task.seconds) for task in kit.basket.plan.time.tasks))


def _stop(left: tuple[Task, ...], each: np.ndarray, slow: np.ndarray, available: float) -> Stop | None:
    """When whoever is slow has to leave off weaving, so that the border and what follows it still fit in."""
    border = next((k for k, task in enumerate(left) if task.key == "border" and not task.lid), None)
    if border is None or slow[-1] <= available:
        return None
    # What the slow still need from the border on: that of those who are slow.
    total = each.sum(axis=1)
    laggards = each[total >= np.quantile(total, SLOW)]
    at = available - float(np.median(laggards[:, border:].sum(axis=1)))
    behind = int(np.searchsorted(slow[:border], at))
    return Stop(max(0.0, at), min(behind, border - 1)) if border else None
