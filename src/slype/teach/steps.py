"""The whole making as numbered steps: one list for handout, card, script and lesson."""

from __future__ import annotations

from ..plans.planning import Plan
from . import border, edge, fitted, start
from .bench import Bench
from .glossary import explained
from .values import Draft, Step
from .weaving import band_steps


def taught(plan: Plan) -> tuple[Step, ...]:
    """Every step of a basket in order of work, numbered from 1; those of a lid before it is fitted."""
    bench = Bench(plan)
    drafts = [start.gather(bench), start.soak(bench), *_making(bench), *fitted.foot(bench), *fitted.handles(bench)]
    if plan.lid is not None:
        own = _making(Bench(plan.lid, plan))
        for each in own:
            each.of, each.chapter = "lid", f"Lid: {each.chapter[:1].lower()}{each.chapter[1:]}"
        drafts += [*own, *fitted.seat(bench)]
    drafts.append(fitted.finish(bench))
    return explained(tuple(each.numbered(i) for i, each in enumerate(drafts, start=1)), plan.design)


def _making(bench: Bench) -> list[Draft]:
    """From the first sticks to the trimmed border."""
    laid, design = bench.laid, bench.design
    out = start.begun(bench)
    for band in laid.base:
        out += [*edge.pushed_in(bench, band), *band_steps(bench, band)]
    if design.spokes.inserted:
        out.append(edge.insert(bench))
    if laid.side and bench.plan.board is None:
        out.append(edge.turn_up(bench))
    for band in laid.side:
        out += [*edge.pushed_in(bench, band), *band_steps(bench, band)]
    return [*out, *border.border_steps(bench)]
