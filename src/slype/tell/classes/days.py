"""The days before, the day, who finishes, in words."""

from __future__ import annotations

from ...kit.finishing import CLEARING, REST, REST_EVERY, WELCOME, Finish, TaskOdds, left_to_do
from ...kit.pace import SKILLS, STEP_SPREAD
from ...kit.timetable import BATH_MINUTES, BUNDLE_SECONDS, CUT_SECONDS, TEACHER, Hour, Job, Timetable, clock_of
from ...kit.values import WOVEN_BEFORE
from ...kit.worked import Worked
from ...plans.planning import Plan
from ...quantity import show_time
from ...words import listed, say, several
from ..voice import band_title
from .blocks import Block, Heading, Lines, Opened, Part, Table

JOBS = {
    "order": "Order what is on the shopping list",
    "dye": "Dye, the pale colours first",
    "dry": "Let the dyed {reed} dry",
    "cut": "Cut, by the cutting lists",
    "bundle": "Bundle, label and tick off the kits",
    "weave": "Weave what is prepared",
    "dry baskets": "The baskets dry at home, in moving air",
}
TASKS = {
    "begin": "Lay and tie the {cross}",
    "insert": "Push in the side {spokes}",
    "turn up": "Turn up the {spokes}",
    "add": "Add ends",
    "border": "Work the {border}",
    "foot": "Work the foot",
    "handle": "Fit the handle",
    "trim": "Trim",
}


def clock(minutes: float) -> str:
    """`9:30`, to the minute."""
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}"


def to_five(minutes: float) -> str:
    """A time that a simulation gives, to five minutes: more would be false."""
    return clock(round(minutes / 5) * 5)


def task_told(plan: Plan, task: TaskOdds) -> str:
    """What a task is called."""
    wording, lid = plan.design.wording, "Lid: " if task.lid else ""
    of = plan.lid if task.lid else plan
    if task.key == "band" and of is not None and task.band is not None:
        return f"{lid}{band_title(of, task.band)}"
    if task.key == "begin" and plan.board is not None and not task.lid:
        return say("Set the {spokes} in the board", wording)
    return lid + say(TASKS[task.key], wording)


def job_told(job: Job, wording: str) -> str:
    """What is to be done on a day."""
    return say(JOBS[job.key], wording).replace("colours", "colors" if wording == "us" else "colours")


def preparing(made: Worked) -> Part:
    """The days before and after."""
    wording, when = made.kits[0].seat.wording, _when(made)
    rows = [
        (_days(made, job), job_told(job, wording), "" if job.minutes is None else show_time(job.minutes * 60))
        for job in when.jobs
    ]
    rows.insert(sum(job.last < 0 for job in when.jobs), (_day(made, 0), "The class", ""))
    note = (
        "Times for cutting, bundling and dyeing are common practice, without a source; put your own days in their "
        "place (days)."
    )
    return Part("preparing", "Before and after", (
        Table(("Day", "What", "Time"), tuple(rows), wide=1, ticked=True, opens=_jobs_opened(made)), Lines((note,), True)
    ), False)  # fmt: skip


def _jobs_opened(made: Worked) -> tuple[Opened, ...]:
    """How the time of each job comes about."""
    pieces = sum(len(strand.pieces) for cut in made.reeds for strand in cut.strands)
    bundles = sum(len(kit.basket.bundles) for kit in made.kits)
    pots = sum(bath.baths for bath in made.baths if bath.dye is not None)
    parts = {
        "cut": (("pieces", str(pieces), f"{CUT_SECONDS:g} seconds each"),),
        "bundle": (("bundles", str(bundles), f"{BUNDLE_SECONDS:g} seconds each"),),
        "dye": (("baths", str(pots), f"{BATH_MINUTES:g} minutes each"),),
        "weave": (("kits", str(len(made.kits)), f"at {TEACHER:.0%} of a beginner's time"),),
    }
    out: list[Opened] = [parts.get(job.key, ()) for job in _when(made).jobs]
    out.insert(sum(job.last < 0 for job in _when(made).jobs), ())
    return tuple(out)


def _when(made: Worked) -> Timetable:
    assert made.when is not None, "told of a class that has kits"
    return made.when


def _day(made: Worked, offset: int) -> str:
    found = _when(made).date_of(offset)
    if found is not None:
        return f"{found:%a} {found.day} {found:%b}"
    if offset == 0:
        return "the day"
    return f"{several(abs(offset), 'day')} {'before' if offset < 0 else 'after'}"


def _days(made: Worked, job: Job) -> str:
    first, last = _day(made, job.first), _day(made, job.last)
    return first if first == last else f"{first} to {last}"


def the_day(made: Worked) -> Part:
    """The day, hour by hour, as the usual student goes."""
    plan, found, when = usual_plan(made), made.finish, _when(made)
    rows = [(clock(h.start), clock(h.end), hour_told(made, plan, h)) for h in when.stretches]
    soaks = [(clock(h.start), clock(h.end), hour_told(made, plan, h)) for h in when.soaks]
    rests = ", ".join(to_five(at) for at in when.rests)
    blocks: list[Block] = [
        Table(("From", "To", "What"), tuple(rows), wide=2),
        Lines((f"Stretch hands, shoulders and back at {rests}. Stop when it hurts.",)),
        Lines((
            "The hours are those of the usual student; the quick are ahead, the slow behind. "
            f"{WELCOME} minutes go to welcome and safety, {CLEARING} to clearing up, {REST} in every {REST_EVERY} to "
            "the hands (common practice, no source).",
        ), True),
        Heading("Into the water"),
        Table(("At", "Wanted at", "What"), tuple(soaks), wide=2),
    ]  # fmt: skip
    return Part("day", "The day", (*blocks, *_finishing(made, plan, found)))


def usual_plan(made: Worked) -> Plan:
    """The plan of the basket that the hours are about: that of the first student."""
    return next(kit.basket.plan for kit in made.kits if not kit.seat.spare)


def hour_told(made: Worked, plan: Plan, hour: Hour) -> str:
    """What happens in one stretch of the day."""
    if hour.key == "soak" and hour.reed is not None:
        numbers = [str(n) for n in hour.bundles]
        name = "bundle" if len(numbers) == 1 else "bundles"
        return f"Soak {name} {listed(numbers)} ({hour.reed.named(plan.design.wording)})"
    if hour.key == "task" and hour.task is not None:
        assert made.finish is not None, "its tasks are the class's"
        return task_told(plan, made.finish.tasks[hour.task])
    return {"welcome": "Welcome, safety, hand out the kits", "break": "Break", "clear": "Clear up",
            "in hand": "In hand: whoever is slower weaves on"}[hour.key]


def verdict(made: Worked) -> list[str]:
    """Who will finish, and what would change it: the sentences for the front page."""
    found = made.finish
    if found is None:
        return []
    many, end = len(found.seats), clock(made.asked.ends - CLEARING)
    sure = f"all {many}" if found.at_least == many else f"{found.at_least} or more"
    out = [f"{found.usual} of {many} finish by {end} in the middle one of all classes, {sure} in nine of ten."]
    if found.usual == 0 and found.chances[0] > 0.99:
        return [f"Nobody finishes by {end}: the time is too short for this basket."]
    if found.usual == many:
        often = f"{found.chances[many] * 100:.0f} of 100" if found.chances[many] < 0.995 else "nearly all"
        more = "" if found.at_least == many else f"; in nine of ten at least {found.at_least} do"
        out = [f"All {many} finish by {end} in {often} classes{more}." if many > 1 else
               f"The one student finishes by {end} in {often} classes."]  # fmt: skip
    waited = waiting_told(made)
    out += [waited] if waited else []
    if found.better_prepared is not None:
        prepared, would = found.better_prepared
        out.append(f"Weave {WOVEN_BEFORE[prepared]} beforehand and {'all' if would == many else would} do.")
    if found.stop is not None:
        at = to_five(clock_of(made.asked, found.stop.work_minutes))
        task = task_told(usual_plan(made), found.tasks[found.stop.task])
        out.append(
            say(f"At {at} whoever is still at “{task}” or before it ends the band there and goes on to the {{border}}.",
                made.kits[0].seat.wording)
        )  # fmt: skip
    return out


def waiting_told(made: Worked) -> str:
    """What the helpers do for the time, and what one more would; empty where nobody waits."""
    found, asked = made.finish, made.asked
    assert found is not None, "told of a class that was tried"
    lost, many = (found.waiting - 1) * 60, len(found.seats)
    helpers = "one helper" if asked.helpers == 1 else f"{asked.helpers} helpers"
    hands = f"one teacher and {helpers}" if asked.helpers else "one teacher alone"
    if lost < 0.5:
        return "" if many == 1 else f"With {hands} nobody waits long to be helped."
    said = f"With {hands} a student waits about {several(round(lost), 'minute')} of every hour to be helped."
    if found.usual_helped > found.usual:
        said += f" One helper more, and {found.usual_helped} finish in place of {found.usual}."
    return said


def _finishing(made: Worked, plan: Plan, found) -> list[Block]:
    if found is None:
        return []
    rows = [
        (
            task_told(plan, task), show_time(task.minutes * 60), to_five(clock_of(made.asked, task.usual_done)),
            to_five(clock_of(made.asked, task.slow_done)), f"{task.done:.0%}",
        )
        for task in found.tasks
    ]  # fmt: skip
    seats = [
        (
            str(odds.seat), show_time(odds.minutes * 60), show_time(odds.slow_minutes * 60), f"{odds.odds:.0%}",
        )
        for odds in found.seats
    ]  # fmt: skip
    return [
        Heading("Who will finish"),
        Lines(tuple(verdict(made))),
        Table(
            ("Step", "Takes", "Usually done", "Slow ones done", "Students done in time"),
            tuple(rows),
            frozenset({1, 2, 3, 4}),
            opens=_steps_opened(made, plan, found),
        ),
        Heading("Seat by seat"),
        Table(
            ("Seat", "Usually", "One in ten longer than", "Odds to finish"),
            tuple(seats),
            frozenset({1, 2, 3}),
            -1,
            opens=_seats_opened(made, found),
        ),
        Lines((_assumed(made),), True),
    ]


def _steps_opened(made: Worked, plan: Plan, found: Finish) -> tuple[Opened, ...]:
    """What each step is reckoned from: strokes, rows, joins at the pace, then skill and waiting."""
    side = plan.laid.side[0].index if plan.laid.side else None
    out = []
    for task in left_to_do(plan.time.tasks, made.asked.prepared, side):
        parts = [(name, show_time(seconds), say(how, plan.design.wording)) for name, seconds, how in task.parts]
        out.append((*parts, ("waiting for help", f"+{found.waiting - 1:.0%}", "on top, then as quick as the skill is")))
    return tuple(out)


def _seats_opened(made: Worked, found: Finish) -> tuple[Opened, ...]:
    """What each student's odds are reckoned from."""
    out = []
    for kit in (kit for kit in made.kits if not kit.seat.spare):
        side = kit.basket.plan.laid.side[0].index if kit.basket.plan.laid.side else None
        left = left_to_do(kit.basket.plan.time.tasks, made.asked.prepared, side)
        skill = SKILLS[kit.seat.skill]
        out.append((
            ("the basket", show_time(sum(task.seconds for task in left)), "what is left to weave, at the pace"),
            ("skill", f"{skill.times:.0%}", f"{skill.key}: {skill.means}"),
            ("waiting for help", f"+{found.waiting - 1:.0%}", "for teacher or helper"),
            ("time to weave", show_time(found.available * 60), "the hours without breaks, welcome, rests, clearing up"),
        ))  # fmt: skip
    return tuple(out)


def _asking(made: Worked) -> str:
    every = [made.asked.asks_every or SKILLS[kit.seat.skill].asks_every for kit in made.kits if not kit.seat.spare]
    low, high = min(every), max(every)
    often = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return (
        f"a student asks once in {often} minutes of work and is answered in {made.asked.answer_minutes:g}, whoever is "
        "free first"
    )


def _assumed(made: Worked) -> str:
    skills = sorted({kit.seat.skill for kit in made.kits if not kit.seat.spare})
    spread = dict(made.asked.spread)
    said = [f"{key}: {SKILLS[key].times:.0%} of the pace's time, spread {spread.get(key, SKILLS[key].spread):.0%}"
            for key in skills]  # fmt: skip
    assert made.finish is not None, "told of a class that was tried"
    return (
        f"{made.finish.runs:,} classes simulated from stroke counts. Assumed, without a source: {'; '.join(said)}; "
        f"each step strays by {STEP_SPREAD:.0%}; {_asking(made)}. Time a class with your own watch and "
        "put it in its place (pace)."
    )
