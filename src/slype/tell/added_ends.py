"""Pushing more ends in on the way, as a step of a handout."""

from __future__ import annotations

from itertools import groupby, pairwise

from ..form.tiers import Tier
from ..plans.pieces import bye_depth_mm
from ..plans.planning import Plan
from ..words import listed, several
from .voice import voice

MOST_NUMBERED = 24
"""Ends told by number when the added ones follow no simple rule."""


def added_title(plan: Plan, index: int) -> str:
    """`Add 16 spokes`: what the step before a band is called."""
    tell, _ = voice(plan.design)
    many = plan.design.bands[index].add * plan.design.spokes.per_end
    return tell("Add {many}", many=several(many, tell("{spoke}"), tell("{spokes}")))


def added_lines(plan: Plan, index: int) -> list[str]:
    """Where the ends that stand from this band on are pushed in, and what to count afterwards."""
    tell, long = voice(plan.design)
    spokes, tier, stood = plan.design.spokes, *_tiers(plan, index)
    where, numbered = where_told(plan, tier, stood)
    each = tell("one {spoke}") if spokes.per_end == 1 else tell("a set of {n} {spokes}", n=spokes.per_end)
    lines = [
        tell("Cut one end of each added {spoke} to a long slant, the slype, away from you, and soak them."),
        tell("Open the way beside the {spoke} with the bodkin, pushing away from you."),
        tell(
            f"Push {each} in, {{deep}} deep, slype first and the cut face to the {{spoke}}: {{where}}.",
            deep=long(spokes.insertion_mm),
            where=where,
        ),
        *([tell("{Spokes} are counted from space 1.")] if numbered else []),
        tell(
            "Count: {ends} ends stand now. Space 1 stays where it was. Count spaces anew from there; every added "
            "{spoke} counts like the others.",
            ends=tier.ends,
        ),
        tell("In the first rows draw each pair apart, until all the {spokes} stand evenly."),
    ]
    return lines


def _tiers(plan: Plan, index: int) -> tuple[Tier, int]:
    """The tier that begins with a band, and how many ends stood before it."""
    tiers = plan.design.tiers(plan.design.bands[index].where)
    number = plan.design.tier_at(index)
    return tiers[number], tiers[number - 1].ends


def bye_lines(plan: Plan) -> list[str]:
    """Pushing a bye-spoke in beside every end, and how it is woven from then on."""
    tell, long = voice(plan.design)
    bye_spokes = plan.design.bye_spokes
    assert bye_spokes is not None, "asked of a basket that has them"
    where = (
        "down into the upsett beside every {spoke}"
        if bye_spokes.in_upsett
        else "in beside every {spoke} at the edge of the base"
    )
    lines = [
        tell("Cut one end of each bye-{spoke} to a long slant, the slype, away from you, and soak them."),
        tell("Open the way beside the {spoke} with the bodkin, pushing away from you."),
        tell(
            f"Push one bye-{{spoke}} {where}, {{deep}} deep. Keep always to its {{forward}}-hand side.",
            deep=long(bye_depth_mm(plan.laid)),
        ),
        tell("From here on a {spoke} and its bye-{spoke} stand side by side and count as one; weave over both."),
    ]
    return lines


def bye_cut_lines(plan: Plan) -> list[str]:
    """What becomes of bye-spokes that do not go into the border."""
    tell, _ = voice(plan.design)
    bye_spokes = plan.design.bye_spokes
    if bye_spokes is None or bye_spokes.to_border:
        return []
    return [tell("Cut the bye-{spokes} off level with the last row, with side cutters; mind the {spokes}.")]


def where_told(plan: Plan, tier: Tier, stood: int) -> tuple[str, bool]:
    """(beside which ends, in words: all, every second, all but some, or by number; whether by number)."""
    tell, _ = voice(plan.design)
    side = tell("on its {forward}-hand side")
    beside = tier.beside
    count = [beside.count(end) for end in range(stood)]
    if set(count) == {1}:
        return tell("beside every {spoke}, always {side}", side=side), False
    if set(count) == {2}:
        return tell("one on each side of every {spoke}"), False
    if set(count) == {1, 2}:
        both = numbers_told([end for end in range(stood) if count[end] == 2])
        return tell("one on each side of {spokes} {both}, and one beside each of the others, {side}", both=both,
                    side=side), True  # fmt: skip
    steps = {b - a for a, b in pairwise(beside)}
    if len(steps) == 1 and stood % len(beside) == 0:
        nth = {2: "second", 3: "third", 4: "fourth", 5: "fifth"}.get(steps.pop())
        if nth:
            return tell(
                "beside every {nth} {spoke}, beginning with the first after space 1, {side}", nth=nth, side=side
            ), False
    left = [end for end in range(stood) if not count[end]]
    if len(left) < len(beside):
        return tell("beside every {spoke} but {numbers}, {side}", numbers=numbers_told(left), side=side), True
    return tell("beside {spokes} {numbers}, {side}", numbers=numbers_told(beside), side=side), True


def numbers_told(ends: list[int]) -> str:
    """`1 to 4, 9 and 12`: ends counted from 1."""
    runs = [[end for _, end in run] for _, run in groupby(enumerate(ends), key=lambda pair: pair[1] - pair[0])]
    numbers = []
    for run in runs:
        numbers += [f"{run[0] + 1} to {run[-1] + 1}"] if len(run) > 2 else [str(end + 1) for end in run]
    if len(numbers) > MOST_NUMBERED:
        return f"{', '.join(numbers[:MOST_NUMBERED])} and so on"
    return listed(numbers)
