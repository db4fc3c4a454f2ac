"""What a maker's gauge changed in a plan, in sentences and rows of a table: report, screen and page say the same."""

from __future__ import annotations

from dataclasses import dataclass

from ..plans.gauged import Changed, changed, times_in
from ..plans.planning import Plan
from ..quantity import show_length, show_piece
from ..words import say


@dataclass(frozen=True)
class Row:
    """One figure that the gauge speaks of, as text: `what`, what slype `reckoned`, `yours`, the range `between` which
    nineteen in twenty lie, and `whence`."""

    what: str
    reckoned: str
    yours: str
    between: str
    whence: str


def gauge_rows(plan: Plan) -> tuple[Row, ...]:
    """Every figure that the design's gauge speaks of; () without one."""
    return tuple(_row(plan, each) for each in changed(plan.laid))


def _row(plan: Plan, each: Changed) -> Row:
    design = plan.design
    band = None if each.where is None else plan.laid.bands[each.where]
    named = "" if band is None else f"band {band.index + 1}, {band.band.weave.named(design.wording)}: "
    rows = "" if band is None else f"{band.rows} rows{f', in place of {each.rows},' if each.rows else ''}"
    what = {
        "row pitch": f"{named}{rows} stand",
        "take-up": f"{named}take-up",
        "stroke time": f"{named}strokes a minute",
        "border": "{border}: one end takes",
        "fingers": "{border}, with your fingers: one end takes",
        "tails": "a tail",
    }[each.quantity]

    def show(value: float) -> str:
        if each.unit == "mm":
            return show_length(value, design.units)
        return f"{value:.2f}" if each.unit == "times" else f"{value:.1f}"

    assert design.gauge is not None, "it says something"
    whence = "measured" if each.by_hand else "learned"
    return Row(
        say(what, design.wording),
        show(each.reckoned),
        show(each.now),
        f"{show(each.low)} to {show(each.high)}",
        f"{whence}: {design.gauge.whence}" if design.gauge.whence else whence,
    )


def long_enough(plan: Plan) -> str:
    """`Cut 22 1/2 in: long enough 19 times in 20.` for the spokes; "" where no gauge says so."""
    spokes = plan.spokes
    if spokes.share is None:
        return ""
    cut = show_piece(spokes.cut_mm, plan.design.units)
    line = f"{{Spokes}} cut {cut}: long enough {times_in(spokes.share)}, as far as your measure tells."
    return say(line, plan.design.wording)
