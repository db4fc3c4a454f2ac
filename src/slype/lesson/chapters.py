"""The steps of a lesson: those of the handout (`teach.steps`), and to which of them each moment belongs.

One list for handout, card, script and lesson: names, numbers and bundles are its own. A step may show strokes that the
next one goes on from, so a moment belongs to the first step that covers it; a step that the hands do beside the basket
(cut, soak, measure) has no moments of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..order.kinds import Moments
from ..plans.planning import Plan
from ..teach.step.values import Drawing, Step
from ..teach.steps import taught


@dataclass(frozen=True)
class Chapter:
    """A step, and the moments that belong to it, `first` to `beyond` (from 0, of the whole work); alike where none."""

    step: Step
    first: int
    beyond: int
    off: int = 0
    """Moments that come before those the step counts (of a lid: all of the basket's own)."""


@dataclass(frozen=True)
class Card:
    """What is read at one place of the lesson, when `after` moments are done: sentences of the step by their number in
    `does`; `whole` where the step's looks and slips are told too, as nothing more of it follows. `care` the cautions
    that are read there by their number: they have cards of their own, so that they do not push the hands' lines away.
    `begins` True of the one on which a step's bundles, drawings and new words are shown."""

    after: int
    does: tuple[int, ...]
    whole: bool
    care: tuple[int, ...] = ()
    begins: bool = False


MOST_CARE = 2
"""Cautions on one card: more are not read on a phone (as it looked best, no source)."""


def cards(chapter: Chapter, care: int) -> tuple[Card, ...]:
    """Cards of a step, in order: its `care` (so many cautions), what is done before its moves, between them and after;
    of a step beside the basket all that is done on one card."""
    step, (first, beyond) = chapter.step, (chapter.first, chapter.beyond)
    careful = tuple(
        Card(first, (), False, tuple(range(at, min(at + MOST_CARE, care)))) for at in range(0, care, MOST_CARE)
    )
    if first == beyond:
        return (*careful, Card(first, tuple(range(len(step.does))), True, begins=True))
    found: dict[int, list[int]] = {beyond: []}
    for i, due in enumerate(step.due):
        if due is not None:
            found.setdefault(min(max(due + chapter.off, first), beyond), []).append(i)
    if step.drawings and any(map(is_shown, step.drawings)):
        found.setdefault(first, [])
    return (*careful, *(Card(at, tuple(found[at]), at == beyond, begins=at == min(found)) for at in sorted(found)))


def is_shown(drawing: Drawing) -> bool:
    """True of a drawing that shows what the basket in the round does not: how a cross is laid, where a spoke is nipped,
    two lengths at a join, a weaver folded in half, where tails are cut, a handle's foot."""
    return drawing.kind in ("above", "turned", "nipped", "tails", "foot") or drawing.join is not None or drawing.fold


def chapters(plan: Plan, order: Moments) -> tuple[Chapter, ...]:
    """All steps in order; every moment belongs to just one of them."""
    out: list[Chapter] = []
    done = 0  # moments given to a step
    for step in taught(plan):
        off = order.others["lid"].first if step.of == "lid" else 0
        first, beyond = max(done, step.first + off), step.beyond + off
        if step.beyond == step.first or beyond <= done:
            out.append(Chapter(step, done, done, off))
            continue
        if first > done:  # moments that no step names go with the step before
            _stretch(out, done, first)
        out.append(Chapter(step, first, beyond, off))
        done = beyond
    if done < len(order):
        _stretch(out, done, len(order))
    return tuple(out)


def _stretch(out: list[Chapter], first: int, beyond: int) -> None:
    last = next((i for i in reversed(range(len(out))) if out[i].beyond > out[i].first), len(out) - 1)
    before = out[last]
    out[last] = Chapter(before.step, before.first if before.beyond > before.first else first, beyond, before.off)
