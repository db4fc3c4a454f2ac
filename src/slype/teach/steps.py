"""The whole making as numbered steps: one list for handout, card, script and lesson.

In the order of `order.course`, of which the moments are made too; a job may take several steps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from ..order.course import Job, course
from ..plans.planning import Plan
from . import border, edge, fitted, start
from .bench import Bench
from .glossary import explained
from .values import Draft, Step
from .weaving import band_steps


def taught(plan: Plan) -> tuple[Step, ...]:
    """Every step of a basket in order of work, numbered from 1; those of a lid before it is fitted."""
    bench, drafts = Bench(plan), []
    lid = None if plan.lid is None else Bench(plan.lid, plan)
    for job in course(plan.laid):
        own = TOLD[job.key](lid if job.of and lid else bench, job)
        for each in own if job.of else ():
            each.of, each.chapter = job.of, f"Lid: {each.chapter[:1].lower()}{each.chapter[1:]}"
        drafts += own
    return explained(tuple(each.numbered(i) for i, each in enumerate(drafts, start=1)), plan.design)


TOLD: Mapping[str, Callable[[Bench, Job], list[Draft]]] = MappingProxyType({
    "gather": start.gather, "soak": start.soak, "board": start.board, "cross": start.cross, "space 1": start.space_1,
    "add": edge.pushed_in, "bye": edge.pushed_in, "base": band_steps, "side": band_steps, "insert": edge.insert,
    "turn": edge.turn_up, "border": border.border_steps, "trim": border.trim, "foot": fitted.foot,
    "handle": fitted.handle, "fit": fitted.seat, "finish": fitted.finish,
})  # fmt: skip
"""The steps that each job of the course takes."""
