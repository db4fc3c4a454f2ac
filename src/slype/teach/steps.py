"""The whole making as numbered steps: one list for handout, card, script and lesson.

In the order of `order.course`, of which the moments are made too; a job may take several steps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import ceil
from types import MappingProxyType
from typing import Any

from ..order.course import Job, course
from ..plans.bundles import Bundle
from ..plans.cautions import cautions
from ..plans.planning import Plan
from ..tell.lists import first_up
from ..tell.voice import worded
from ..words import of_a_lid
from . import board, border, edge, finishing, handles, start
from .ending import TOLD_STARTS
from .step.bench import Bench, numbers
from .step.glossary import explained
from .step.values import AFTER, IN_BASIN, Draft, Due, Step, afterwards, ahead, due
from .stroke import strokes_of
from .weaving import band_steps


def taught(plan: Plan) -> tuple[Step, ...]:
    """Every step of a basket in order of work, numbered from 1; those of a lid before it is fitted."""
    bench, drafts = Bench(plan), []
    lid = None if plan.lid is None else Bench(plan.lid, plan)
    for job in course(plan.laid):
        own = TOLD[job.key](lid if job.of and lid else bench, job)
        for each in own if job.of else ():
            each.of, each.chapter = job.of, f"Lid: {each.chapter[:1].lower()}{each.chapter[1:]}"
            for told in TOLD_OF:
                setattr(each, told, _said(getattr(each, told), of_a_lid))
        drafts += own
    _soaked(bench, lid, drafts)
    _cared_for(plan, drafts)
    _pointed(drafts)
    steps = tuple(each.numbered(i) for i, each in enumerate(drafts, start=1))
    return explained(tuple(map(_spelt_american, steps)) if plan.design.wording == "us" else steps, plan.design)


def _pointed(drafts: list[Draft]) -> None:
    """Names the step that tells a mistake whole where a later one tells it in short."""
    told = {(draft.of, draft.band, slip.what): number for number, draft in enumerate(drafts, start=1)
            for slip in draft.slips if slip.what and slip.as_in is None}  # fmt: skip
    for draft in drafts:
        for i, slip in enumerate(draft.slips):
            if slip.as_in is not None:
                as_there = f"As in step {told[draft.of, slip.as_in, slip.what]}: "
                draft.slips[i] = replace(slip, undo=as_there + slip.undo)


def _spelt_american(step: Step) -> Step:
    """A step whose plain sentences, those that no voice has said, are spelt as the others are."""
    return replace(step, **{told: _said(getattr(step, told), _toward) for told in TOLD_OF})


def _toward(text: str) -> str:
    # This word alone: a maker's own colours stand in these sentences, and are not spelt anew.
    return text.replace("towards", "toward")


def _said(told: Any, how: Callable[[str], str]) -> Any:
    """Sentences, or what holds some, each said as `how` has it."""
    if isinstance(told, str):
        return how(told)
    if told is None:
        return None
    if isinstance(told, list | tuple):
        return type(told)(_said(each, how) for each in told)
    return replace(told, **{name: _said(getattr(told, name), how) for name in SAID if hasattr(told, name)})


TOLD_OF = ("title", "does", "looks", "slips", "drawings", "why", "watch", "care", "table")
"""What of a step is sentences, or holds some."""
SAID = ("text", "seen", "undo", "caption", "alt", "lead", "head", "rows")
"""What is said in a sentence in its turn, a slip, a drawing, a table."""


SLOW = ("soak", "cross", "board", "insert", "turn", "add", "bye", "handle")
"""What takes a while besides rows, so that a bundle can soak meanwhile."""


def _soaked(bench: Bench, lid: Bench | None, drafts: list[Draft]) -> None:
    """Says in time which bundles go into the water: so long before they are taken up as they must lie in it."""
    soak = next(i for i, each in enumerate(drafts) if each.part == "soak")
    known = {each.number: each for each in bench.bundles}
    placed: dict[tuple[int, int | None, str], list[int]] = {}
    for i, draft in enumerate(drafts):
        if draft.bundles:
            long = max((known[number].reed.soak() for number in draft.bundles), key=lambda each: each.minutes)
            words = long.time
            stands = (lid if draft.of and lid else bench).design.spokes.reed.soak()
            if drafts[i - 1].part == "turn" and sum(stands.minutes) >= sum(long.minutes):
                # There what will bend is soaked first, and nobody counts that among the minutes of work.
                beside = "lid" if draft.of == "lid" else "base"
                drafts[i - 1].say_in(IN_BASIN, ahead(
                    f"Put {numbers(sorted(draft.bundles), 'bundle', 'bundles')} in the water beside the {beside}: "
                    f"{words}.",
                    *_only_start_1([known[number] for number in sorted(draft.bundles)])))  # fmt: skip
                continue
            before, row = _in_time(drafts[soak:i], sum(long.minutes) / 2)
            placed.setdefault((soak + before, row, f": {words}" if before else ""), []).extend(draft.bundles)
    for (at, row, words), mine in placed.items():
        draft, found = drafts[at], numbers(sorted(mine), "bundle", "bundles")
        only = _only_start_1([known[number] for number in sorted(mine)])
        if row is None:
            draft.does += afterwards(f"Put {found} in the water now{words}.", *only)
        else:
            _put_in(lid if draft.of and lid else bench, draft, row, (f"put {found} in the water{words}.", *only),
                    ", ".join(map(str, sorted(mine))))  # fmt: skip
    for draft in drafts:
        _soaked_by_start(lid if draft.of and lid else bench, draft, drafts)


def _put_in(bench: Bench, draft: Draft, row: int, told: tuple[str, ...], what: str) -> None:
    """Says what goes into the water after a row of a step, and at the box of that row `what` it is."""
    done = _row_done(bench, draft, row)
    draft.does[(i := _turn_of(draft, done, row)) : i] = due(done, f"After row {row} {told[0]}", *told[1:])
    draft.marks.append((row, f"soak {what}"))


def _only_start_1(mine: list[Bundle]) -> list[str]:
    """That of bundles which hold pieces for several starts only those for the first are soaked yet."""
    of_starts = [each.number for each in mine if any(lot.starts is not None for lot in each.lots)]
    return [f"Of {numbers(of_starts, 'bundle', 'bundles')} only the pieces for start 1."] if of_starts else []


def _soaked_by_start(bench: Bench, draft: Draft, drafts: list[Draft]) -> None:
    """Says of a step at which a band starts again when the pieces for each new start go into the water."""
    band = next((each for each in bench.laid.bands if each.index == draft.band), None)
    if draft.table is None or band is None or band.band.blocks is None or draft.rows is None:
        return
    if not _only_start_1(list(bench.of_band(band))):
        return
    soak, per_row = band.band.reed.soak(), _row_minutes(drafts, draft)
    ahead_by = max(1, ceil(sum(soak.minutes) / 2 / per_row)) if per_row > 0 else 1
    for block in range(1, min(len(band.segments), TOLD_STARTS + 1)):
        row = max(band.segments[block][0] - ahead_by, band.segments[block - 1][0] + 1)
        at = next(each for each in drafts if (each.band, each.of) == (draft.band, draft.of) and each.rows
                  and each.rows[0] <= row <= each.rows[1])  # fmt: skip
        told = f"put the pieces for start {block + 1} in the water: {soak.time}."
        _put_in(bench, at, row, (told,), f"for start {block + 1}")


def _turn_of(draft: Draft, done: int, row: int) -> int:
    """Before which of a step's sentences it is the turn of one that is due when so many moments, and this row, are
    done: before what is said of the next row, but after what shows that row 1 is done."""
    at = done if row > 1 else done + 1
    later = (i for i, each in enumerate(draft.does)
             if isinstance(each, Due) and (each.moment == AFTER or each.moment >= at))  # fmt: skip
    return next(later, len(draft.does))


UNTIMED_MINUTES = 2.0
"""What a step takes that has no time of its own, as its minutes stand at another one (common practice, no source)."""


def _in_time(before: list[Draft], need: float) -> tuple[int, int | None]:
    """(which of the steps `before` a bundle must go into the water at, after which of its rows; None: when it is done),
    so that so many minutes are still to come; the first of them, the soaking itself, if all others are too short."""
    left = 0.0
    for at in range(len(before) - 1, 0, -1):
        each = before[at]
        # Nobody knows how long drilling takes, nor drying before all is trimmed.
        if (each.part == "board" and each.first == each.beyond) or each.part == "trim":
            return at, None
        if left >= need and (each.rows or each.part in SLOW):
            return at, None
        if not each.rows:
            left += UNTIMED_MINUTES if each.minutes is None else each.minutes
            continue
        per_row, (first, last) = _row_minutes(before, each), each.rows
        rows = max(0, ceil((need - left) / per_row)) if per_row > 0 else 0
        if rows <= last - first:
            return at, last - rows if rows else None
        left += per_row * (last - first + 1)
    return 0, None


def _row_minutes(drafts: list[Draft], draft: Draft) -> float:
    """Of a row of the band that a step is of: its minutes stand at the first step with rows of it."""
    mine = [each for each in drafts if each.rows and (each.band, each.of) == (draft.band, draft.of)]
    rows = sum(each.rows[1] - each.rows[0] + 1 for each in mine if each.rows)
    return sum(each.minutes or 0.0 for each in mine) / rows


def _row_done(bench: Bench, draft: Draft, row: int) -> int:
    """The moment at which a row (from 1) of a step's band is done."""
    band = next(each for each in bench.laid.bands if each.index == draft.band)
    return max(m for m in strokes_of(bench, band) if bench.order.row[m] < row) + 1


def _cared_for(plan: Plan, drafts: list[Draft]) -> None:
    """Each caution at the first step where the danger is, but for those said before all; of finishes at the end."""
    parts = {"weave": ("base", "side")}
    for caution, text in cautions(plan):
        if caution.first or caution.finish:
            continue
        mine = parts.get(caution.at, (caution.at,))
        at = next((each for each in drafts if each.part in mine and each.part == mine[0]), None)
        at = at or next((each for each in drafts if each.part in mine), drafts[-1])
        at.care.append((first_up(worded(caution.key, plan.design.wording)), text))


TOLD: Mapping[str, Callable[[Bench, Job], list[Draft]]] = MappingProxyType({
    "gather": start.gather, "soak": start.soak, "board": board.board, "cross": start.cross, "space 1": start.space_1,
    "add": edge.pushed_in, "bye": edge.pushed_in, "base": band_steps, "side": band_steps, "insert": edge.insert,
    "turn": edge.turn_up, "border": border.border_steps, "trim": finishing.trim, "foot": board.foot,
    "handle": handles.handle, "fit": finishing.seat, "finish": finishing.finish,
})  # fmt: skip
"""The steps that each job of the course takes."""
