"""The whole making as numbered steps: one list for handout, card, script and lesson.

In the order of `order.course`, of which the moments are made too; a job may take several steps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from ..order.course import Job, course
from ..plans.cautions import cautions
from ..plans.planning import Plan
from ..tell.lists import first_up
from ..tell.voice import soak_words, worded
from ..words import of_a_lid
from . import border, edge, fitted, start
from .bench import Bench, numbers
from .glossary import explained
from .values import Draft, Step, afterwards
from .weaving import band_steps


def taught(plan: Plan) -> tuple[Step, ...]:
    """Every step of a basket in order of work, numbered from 1; those of a lid before it is fitted."""
    bench, drafts = Bench(plan), []
    lid = None if plan.lid is None else Bench(plan.lid, plan)
    for job in course(plan.laid):
        own = TOLD[job.key](lid if job.of and lid else bench, job)
        for each in own if job.of else ():
            each.of, each.chapter = job.of, f"Lid: {each.chapter[:1].lower()}{each.chapter[1:]}"
            for told in ("title", "does", "looks", "slips", "drawings", "why", "watch", "care"):
                setattr(each, told, _of_a_lid(getattr(each, told)))
        drafts += own
    _soaked(bench, drafts)
    _cared_for(plan, drafts)
    return explained(tuple(each.numbered(i) for i, each in enumerate(drafts, start=1)), plan.design)


def _of_a_lid(told: Any) -> Any:
    """Sentences, or what holds some, as they are said of a lid."""
    if isinstance(told, str):
        return of_a_lid(told)
    if isinstance(told, list | tuple):
        return type(told)(map(_of_a_lid, told))
    return replace(told, **{name: of_a_lid(getattr(told, name)) for name in SAID if hasattr(told, name)})


SAID = ("text", "seen", "undo", "caption", "alt")
"""What is said in a sentence in its turn, a slip, a drawing."""


SLOW = ("soak", "cross", "board")
"""What takes a while besides rows, so that a bundle can soak meanwhile."""


def _soaked(bench: Bench, drafts: list[Draft]) -> None:
    """Says in time which bundles go into the water: at the last thing that takes a while before they are taken up."""
    soak = next(i for i, each in enumerate(drafts) if each.part == "soak")
    known = {each.number: each for each in bench.bundles}
    for i, draft in enumerate(drafts):
        if not draft.bundles:
            continue
        long = max((known[number].reed.soak() for number in draft.bundles), key=lambda each: each.minutes)
        told = f"Put {numbers(draft.bundles, 'bundle', 'bundles')} in the water now"
        slow = (each for each in reversed(drafts[soak:i]) if each.rows or each.part in SLOW)
        before = next(slow, drafts[soak])
        words = soak_words(long.words).split(",")[0]
        before.does += afterwards(f"{told}." if before is drafts[soak] else f"{told}: {words}.")


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
    "gather": start.gather, "soak": start.soak, "board": start.board, "cross": start.cross, "space 1": start.space_1,
    "add": edge.pushed_in, "bye": edge.pushed_in, "base": band_steps, "side": band_steps, "insert": edge.insert,
    "turn": edge.turn_up, "border": border.border_steps, "trim": border.trim, "foot": fitted.foot,
    "handle": fitted.handle, "fit": fitted.seat, "finish": fitted.finish,
})  # fmt: skip
"""The steps that each job of the course takes."""
