"""The steps of a lesson: those of the handout (`teach.steps`), and to which of them each moment belongs.

One list for handout, card, script and lesson: names, numbers and bundles are its own. A step may show strokes that the
next one goes on from, so a moment belongs to the first step that covers it; a step that the hands do beside the basket
(cut, soak, measure) has no moments of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..order.kinds import Moments
from ..plans.planning import Plan
from ..teach.steps import taught
from ..teach.values import Step


@dataclass(frozen=True)
class Chapter:
    """A step, and the moments that belong to it, `first` to `beyond` (from 0, of the whole work); alike where none."""

    step: Step
    first: int
    beyond: int


def chapters(plan: Plan, order: Moments) -> tuple[Chapter, ...]:
    """All steps in order; every moment belongs to just one of them."""
    out: list[Chapter] = []
    done = 0  # moments given to a step
    for step in taught(plan):
        off = order.others["lid"].first if step.of == "lid" else 0
        first, beyond = max(done, step.first + off), step.beyond + off
        if step.beyond == step.first or beyond <= done:
            out.append(Chapter(step, done, done))
            continue
        if first > done:  # moments that no step names go with the step before
            _stretch(out, done, first)
        out.append(Chapter(step, first, beyond))
        done = beyond
    if done < len(order):
        _stretch(out, done, len(order))
    return tuple(out)


def _stretch(out: list[Chapter], first: int, beyond: int) -> None:
    last = next((i for i in reversed(range(len(out))) if out[i].beyond > out[i].first), len(out) - 1)
    before = out[last]
    out[last] = Chapter(before.step, before.first if before.beyond > before.first else first, beyond)
