"""The chapters of a lesson: the handout's steps, each with the moments that the hands make in it.

Names, numbers and lines are those of `tell.steps`; the moments are those of `order.moments`. Both tell one order of
work, so they are walked side by side; a step that the hands do beside the basket (cut, soak, dry) has no moments.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import SlypeError
from ..order.kinds import Moments, Part
from ..plans.planning import Plan
from ..tell.steps import Step, steps


@dataclass(frozen=True)
class Chapter:
    """A step with its `number` (from 1) and the moments it holds, `first` to `beyond` (from 0); both -1 where none."""

    number: int
    step: Step
    first: int
    beyond: int


def chapters(made: Plan, order: Moments) -> tuple[Chapter, ...]:
    """All steps in order."""
    told = steps(made)
    runs = _runs(order)
    beside = 2  # gathered and soaked before, trimmed and dried after: see `steps`
    if len(told) != beside + len(runs) + 1:
        raise SlypeError(f"the steps ({len(told)}) and the order of work ({len(runs)} parts) tell different work.")
    held = [(-1, -1)] * beside + runs + [(-1, -1)]
    return tuple(Chapter(i, step, *run) for i, (step, run) in enumerate(zip(told, held, strict=True), start=1))


def _runs(order: Moments) -> list[tuple[int, int]]:
    """(first moment, the one beyond the last) of every step: trimming belongs to the border, a foot is one step."""
    runs: list[tuple[int, int]] = []
    before: Part | None = None
    for part in order.parts:
        goes_on = part.key == "trim" or (part.of == "foot" and before is not None and before.of == "foot")
        if goes_on and runs:
            runs[-1] = (runs[-1][0], part.beyond)
        else:
            runs.append((part.first, part.beyond))
        before = part
    return runs
