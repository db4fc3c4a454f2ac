"""How long one basket takes at a stated pace, task by task in the order of work. Seconds.

Strokes, moves and pieces are counted from the laid basket; what each takes is the design's pace (`design.values.Pace`),
by default a beginner's. Soaking, cutting and drying are told elsewhere: they are no work at the basket.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..design.values import Pace
from ..lay import gauge
from ..lay.attachments import HandleLaid, lengths_of
from ..lay.courses import Course
from ..lay.feet import FootLaid
from ..lay.joins import JoinPlan
from ..lay.values import Laid
from ..order.course import Job, making
from ..words import several

Parts = tuple[tuple[str, float, str], ...]  # name, seconds, how reckoned


@dataclass(frozen=True)
class Task:
    """One task: its `key` (begin, band, insert, turn up, add, border, foot, handle, trim), the `band` or handle
    (an index) it is about, its `parts` (name, seconds, how reckoned); `lid` True for the lid's own."""

    key: str
    parts: Parts
    band: int | None = None
    lid: bool = False

    @property
    def seconds(self) -> float:
        """All its parts together."""
        return sum(part[1] for part in self.parts)


@dataclass(frozen=True)
class Time:
    """Strokes, and `tasks` in the order of work."""

    strokes: int
    tasks: tuple[Task, ...]

    @property
    def parts(self) -> Parts:
        """Seconds by part of the work, over all tasks: (name, seconds, how reckoned); the lid's own are one part."""
        found: dict[str, list[tuple[float, str]]] = {}
        for task in self.tasks:
            for name, seconds, how in task.parts:
                found.setdefault("lid" if task.lid else name, []).append((seconds, "" if task.lid else how))
        return tuple(
            (name, sum(seconds for seconds, _ in some), _together([how for _, how in some]))
            for name, some in found.items()
        )

    @property
    def seconds(self) -> float:
        """All tasks together."""
        return sum(task.seconds for task in self.tasks)


def _together(hows: list[str]) -> str:
    """How several were reckoned: counts of one thing at one pace are added up."""
    split = [how.partition(" at ") for how in hows]
    heads, paces = [head.split(" ", 1) for head, *_ in split], {pace for *_, pace in split}
    if len(paces) == 1 and ";" not in hows[0] and all(len(head) == 2 and head[0].isdigit() for head in heads):
        things = {head[1].removesuffix("s") for head in heads}
        if len(things) == 1:
            total = sum(int(head[0]) for head in heads)
            return f"{several(total, things.pop())} at {paces.pop()}"
    return "its strokes, rows and border" if not any(hows) else "; ".join(dict.fromkeys(how for how in hows if how))


def tasks(
    laid: Laid,
    courses: Sequence[Course],
    joins: tuple[JoinPlan, ...],
    handles: tuple[HandleLaid, ...],
    foot: FootLaid | None,
    lid: Time | None,
) -> tuple[Task, ...]:
    """Every task of one basket, in the order of work; a lid's own last."""
    pace, design, out = laid.design.pace, laid.design, []
    for job in making(laid):
        match job.key:
            case "cross" | "board":
                out.append(Task("begin", begin_parts(laid)))
            case "insert":
                many = design.spokes.ends * design.spokes.per_end
                said = f"{several(many, 'spoke')} at {pace.push_seconds:g} s"
                out.append(Task("insert", (("pushing in", many * pace.push_seconds, said),)))
            case "turn":
                many = design.foot_ends * design.spokes.per_end
                said = f"{several(many, 'spoke')} at {pace.turn_seconds:g} s"
                out.append(Task("turn up", (("turning up", many * pace.turn_seconds, said),)))
            case "add" | "bye":
                at = _place(laid, job)
                out.append(Task("add", (("added ends", dict(pushing_in(laid, at))[job.key], _one(pace)),), at))
            case "base" | "side":
                out.append(_band(laid, courses, joins, _place(laid, job)))
            case "border":
                moves, said = design.top_ends * len(design.border.rows), f"moves at {pace.border_seconds:g} s"
                out.append(Task("border", (("border", border_seconds(laid), f"{moves} {said}"),)))
            case "trim":
                tips = _tips(laid, courses, joins)
                said = f"{several(tips, 'tip')} at {pace.trim_seconds:g} s"
                out.append(Task("trim", (("trimming", tips * pace.trim_seconds, said),)))
    if foot:
        out.append(Task("foot", (("foot", foot_seconds(foot), "its ends, rows and border"),)))
    for i, each in enumerate(handles):
        turns, ends = _handle_work(each)
        said = f"{several(turns, 'turn')} at {pace.strokes_per_minute:g} a minute; " if turns else ""
        said += f"{several(ends, 'end')} at {pace.join_seconds:g} s"
        out.append(Task("handle", (("handles", handle_seconds(laid, each), said),), i))
    return (*out, *(replace(task, lid=True) for task in (lid.tasks if lid else ())))


def _place(laid: Laid, job: Job) -> int:
    return next(i for i, band in enumerate(laid.bands) if band.index == job.band)


def _one(pace: Pace) -> str:
    return f"one at {pace.join_seconds:g} s"


def _band(laid: Laid, courses: Sequence[Course], joins: tuple[JoinPlan, ...], i: int) -> Task:
    pace, band = laid.design.pace, laid.bands[i]
    weaving, packing, joining = band_seconds(laid, courses, joins, i)
    reeds, per_minute, slower = _reeds_set_in(laid, courses, joins, i), _per_minute(laid, i), _slower(laid, i)
    parts = (
        ("weaving", weaving, f"{several(band.strokes, 'stroke')} at {per_minute:.4g} a minute"),
        ("packing", packing, f"{several(band.rows, 'row')} at {pace.pack_seconds * slower:.4g} s"),
        ("joins and starts", joining, f"{several(reeds, 'reed')} at {pace.join_seconds * slower:.4g} s"),
    )
    return Task("band", parts, i)


def band_seconds(laid: Laid, courses: Sequence[Course], joins: tuple[JoinPlan, ...], i: int) -> list[float]:
    """Seconds of one band: weaving, packing, joins and starts. Where several reeds are worked as one, each of them is
    set in and joined."""
    band, pace = laid.bands[i], laid.design.pace
    return [
        band.strokes / _per_minute(laid, i) * 60,
        band.rows * pace.pack_seconds * _slower(laid, i),
        _reeds_set_in(laid, courses, joins, i) * pace.join_seconds * _slower(laid, i),
    ]


def _slower(laid: Laid, i: int) -> float:
    """How many times as long as at the stated pace all work on a band takes, by what a book learned of this maker; a
    speed of strokes that stands in the design speaks of strokes alone."""
    found = gauge.stroke_time(laid.design, laid.bands[i].band)
    return found.times if found and not found.by_hand else 1.0


def _per_minute(laid: Laid, i: int) -> float:
    """Strokes of a band in a minute, as this maker weaves it."""
    return gauge.strokes_per_minute(laid.design, laid.bands[i].band)


def _reeds_set_in(laid: Laid, courses: Sequence[Course], joins: tuple[JoinPlan, ...], i: int) -> int:
    """Reeds set in at the starts and joins of one band."""
    band = laid.bands[i]
    starts = sum(len(colours) for course in courses if course.begins is band for colours in course.begins.colours)
    return starts + sum(len(join.colours) for join in joins[i].joins)


def _tips(laid: Laid, courses: Sequence[Course], joins: tuple[JoinPlan, ...]) -> int:
    """Tips to trim: both of every reed set in, and every end of the border."""
    reeds = sum(_reeds_set_in(laid, courses, joins, i) for i in range(len(laid.bands)))
    return 2 * reeds + laid.design.top_ends * len(laid.design.top_reeds)


def begin_parts(laid: Laid) -> Parts:
    """Laying and tying the cross, or setting the spokes of a board in its holes and working the foot below it."""
    design, pace = laid.design, laid.design.pace
    if design.base.is_board:
        many = design.spokes.ends * design.spokes.per_end
        said = f"{several(many, 'spoke')} at {pace.push_seconds:g} s"
        moves, tips = _board_foot_work(laid)
        how = f"{moves} moves at {pace.border_seconds:g} s; {tips} tips at {pace.trim_seconds:g} s"
        return (("setting up", many * pace.push_seconds, said), ("foot", board_foot_seconds(laid), how))
    sticks = (design.spokes.ends_at_base + 1) // 2
    if not design.spokes.inserted:
        sticks *= design.spokes.per_end
    said = f"{several(sticks, 'stick')} at {pace.stick_seconds:g} s"
    return (("setting up", sticks * pace.stick_seconds, said),)


def border_seconds(laid: Laid) -> float:
    """Seconds for the border: every end once in every row."""
    return laid.design.top_ends * len(laid.design.border.rows) * laid.design.pace.border_seconds


def pushing_in(laid: Laid, band: int) -> list[tuple[str, float]]:
    """("add" for ends or "bye" for bye-spokes, seconds) of what is pushed in before a band: each takes as long as a
    join."""
    design, out = laid.design, []
    each = design.pace.join_seconds
    if design.bands[band].add:
        out.append(("add", design.bands[band].add * design.spokes.per_end * each))
    if design.bye_spokes is not None and design.bye_spokes.first == band:
        out.append(("bye", design.ends_at(band) * each))
    return out


def board_foot_seconds(laid: Laid) -> float:
    """Seconds for the foot border below a board and its tips, 0 without one."""
    moves, tips = _board_foot_work(laid)
    return moves * laid.design.pace.border_seconds + tips * laid.design.pace.trim_seconds


def _board_foot_work(laid: Laid) -> tuple[int, int]:
    """(moves of the foot border below a board, tips to trim)."""
    foot, ends = laid.design.base.foot, laid.design.spokes.ends
    return (ends * len(foot.rows), ends) if foot else (0, 0)


def seconds_of(time: Time, key: str, band: int | None = None, lid: bool = False) -> float:
    """Seconds of the tasks of one key (and band), 0 where there are none."""
    return sum(t.seconds for t in time.tasks if t.key == key and t.lid is lid and band in (None, t.band))


def handle_seconds(laid: Laid, each: HandleLaid) -> float:
    """Seconds for one row of the design's handles: a turn is reckoned as a stroke, a foot or a new strand as a join."""
    return each.handle.count * sum(arch_seconds(laid, each))


def arch_seconds(laid: Laid, each: HandleLaid) -> tuple[float, float]:
    """Seconds to set in the feet of one of these handles, and to wrap or twist it."""
    pace = laid.design.pace
    turns, ends = (work // each.handle.count for work in _handle_work(each))
    return 2 * pace.join_seconds, turns / pace.strokes_per_minute * 60 + (ends - 2) * pace.join_seconds


def _handle_work(each: HandleLaid) -> tuple[int, int]:
    """(turns, feet and strands set in) of all handles of one row of the design's; every rod of a rope has its own
    turns."""
    handle, turns = each.handle, each.turns
    if each.twist is not None:
        turns = math.ceil(each.arch_mm / each.twist.turn_mm) * each.twist.rods
    new = lengths_of(each) * handle.strands if each.wrapped_mm else (each.twist.rods if each.twist else 0)
    return handle.count * turns, handle.count * (2 + new)


def foot_seconds(found: FootLaid | None) -> float:
    """Seconds for a foot: ends pushed in, rows, every end once in every row of its border, and all its tips."""
    if found is None:
        return 0.0
    band, pace = found.laid.bands[0], found.laid.design.pace
    rows = band.strokes / pace.strokes_per_minute * 60 + band.rows * pace.pack_seconds
    set_in = (found.ends + len(band.colours)) * pace.join_seconds
    tips = found.ends + 2 * len(band.colours)
    return rows + set_in + found.ends * len(found.foot.border.rows) * pace.border_seconds + tips * pace.trim_seconds
