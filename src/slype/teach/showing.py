"""The script of whoever shows a basket to a class, live or filmed: part by part, what to lay ready, hold up and say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ..order.viewpoints import BOARD_FOOT, FOOT_UP, TURNED, UNDERSIDE, places
from ..plans.planning import Plan
from ..words import listed, say
from .step.bench import Bench
from .step.values import Drawing, Slip, Step


@dataclass(frozen=True)
class Part:
    """One part of the showing: the `steps` (first, last) it shows; what to lay `ready`; `samples` woven before; from
    where students `look`; what to `hold` up; what to `say` at each step, (step number, title, sentences); `slips`;
    `minutes` at the plan's pace; the same for the `other` hand; a `drawing` with its step, or None."""

    title: str
    steps: tuple[int, int]
    ready: str
    samples: str
    look: str
    hold: str
    say: tuple[tuple[int, str, tuple[str, ...]], ...]
    slips: tuple[Slip, ...]
    minutes: float | None
    other: str
    drawing: tuple[Step, Drawing] | None


def script(plan: Plan, steps: tuple[Step, ...]) -> tuple[Part, ...]:
    """Every part of the showing, one for each chapter of the steps."""
    bench = Bench(plan)
    chapters: dict[str, list[Step]] = {}
    for step in steps:
        chapters.setdefault(step.chapter, []).append(step)
    return tuple(_part(bench, title, found) for title, found in chapters.items())


def _part(bench: Bench, title: str, found: list[Step]) -> Part:
    first, last = found[0], found[-1]
    bundles = [str(number) for step in found for number in step.bundles]
    ready = f"Bundle{'s' if len(bundles) > 1 else ''} {listed(bundles)}." if bundles else "Nothing new."
    if first.part == "gather":
        ready = "All that the list has, and the tools."
    minutes = [step.minutes for step in found if step.minutes is not None]
    drawn = next(((step, step.drawings[-1]) for step in found[::-1] if step.drawings), None)
    return Part(
        title, (first.number, last.number), ready, _samples(found), _look(bench, found), _hold(found),
        tuple((step.number, step.title, step.does) for step in found), tuple(_unique(found)),
        sum(minutes) if minutes and first.part not in ("gather", "soak") else None, _other(bench), drawn,
    )  # fmt: skip


def _unique(found: list[Step]) -> Iterable[Slip]:
    return {slip.seen: slip for step in found for slip in step.slips}.values()


def _samples(found: list[Step]) -> str:
    first, last = found[0], found[-1]
    if first.part in ("gather", "soak"):
        return "The finished basket."
    before = f"One basket worked up to step {first.number - 1}, to show on." if first.first else "The soaked bundles."
    after = f" One with this part done, to step {last.number}, to hand round." if last.number > first.number else ""
    return before + after


def _look(bench: Bench, found: list[Step]) -> str:
    step = next((step for step in found if step.beyond > step.first), found[0])
    if step.beyond <= step.first:
        return "Round the table, all hands free."
    if step.of == "lid":
        return bench.tell("Over your shoulder, the lid's outside towards them.")
    up = int(places(bench.laid, bench.order).up[step.beyond - 1])
    if up in (UNDERSIDE, TURNED):
        return "At the underside: hold it up facing them, the work at its top edge."
    if up == BOARD_FOOT or (step.of == "foot" and up in FOOT_UP.values()):
        return bench.tell("From below: the basket is turned over, its outside towards them.")
    if up >= 40:
        return bench.tell("From above at a slant: tip the edge towards them.")
    return "At the outside, from a little above."


def _hold(found: list[Step]) -> str:
    looks = [line for step in found for line in step.looks[:1]]
    return looks[-1] if looks else "The piece as it is now."


def _other(bench: Bench) -> str:
    hand = "left" if bench.design.hand == "right" else "right"
    told = say("works towards the {forward}", bench.design.wording, hand)
    return (
        f"A {hand}-handed student {told}, everything mirrored; counts and spaces are the same. Let them sit "
        "opposite you: what they see is then their own way round."
    )
