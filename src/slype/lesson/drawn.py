"""The handout's drawings that a lesson carries: what the basket in the round does not show, and the chart."""

from __future__ import annotations

from ..draw import views
from ..figures.figure import figures_of
from ..plans.planning import Plan
from ..teach.step.values import CLOSE, Drawing, Step
from ..teach.steps import taught
from ..tell.voice import voice
from .chapters import is_shown

NEAR_MM, WHOLE_MM = 58.0, 47.5
"""How wide drawings stand on the handout's page, to which what is written on them is fitted."""


def numbered(plan: Plan) -> dict[int, list[int]]:
    """By the step's number which of `drawn_steps` belong to it, from 0."""
    out: dict[int, list[int]] = {}
    for at, (step, _) in enumerate(_shown(plan)):
        out.setdefault(step.number, []).append(at)
    return out


def drawn_steps(plan: Plan) -> list[dict[str, str]]:
    """Each drawing as stand-alone SVG, with its caption and what it shows in words."""
    figures = figures_of(plan)
    return [
        {
            "svg": figures.svg(step, each, NEAR_MM if each.kind in CLOSE else WHOLE_MM),
            "caption": each.caption,
            "alt": each.alt,
        }
        for step, each in _shown(plan)
    ]


def _shown(plan: Plan) -> list[tuple[Step, Drawing]]:
    return [(step, each) for step in taught(plan) for each in step.drawings if is_shown(each)]


def drawn_charts(plan: Plan) -> list[dict[str, str]]:
    """The chart in pieces, as the handout has it; none where all is of one colour."""
    if not any(len(set(band.band.colours)) > 1 for band in plan.laid.side):
        return []
    about = views.describe(plan, "squares")
    key = voice(plan.design)[0](
        "Seen from outside; rows go up. Numbers below are {spokes}, in rings spaces. An arrow: there a band begins."
    )
    return [
        {"svg": svg, "caption": f"The chart: {bands}", "key": key, "alt": f"{about} Here: {bands}."}
        for svg, _, bands in views.chart_pages(plan)
    ]
