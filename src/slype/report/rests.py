"""What the basket at rest says, for a terminal: the report of `slype settle`. Nothing is reckoned here."""

from __future__ import annotations

from rich.text import Text

from ..advice.room import EASY_BEND, HARD_BEND
from ..plans.planning import Plan
from ..quantity import show_fine, show_length
from ..tell.voice import deepest, worded
from ..words import say, several
from .printed import Parts, bullets, columns, heading


def at_rest(plan: Plan) -> Parts:
    """Heights and lengths beside those of stacked rows, light, bends and presses of every band."""
    design, rest, laid = plan.design, plan.at_rest, plan.laid
    sizes, looks = (
        columns("band", "weave", ">rows", ">row", ">quick", ">take-up", ">quick"),
        columns("band", "weave", ">light", ">usual bend", ">tightest", "=where", ">press", ">loose"),
    )
    for band in laid.bands:
        said = band.at_rest
        if said is None:
            continue
        name = band.band.weave.named(design.wording)
        sizes.add_row(
            str(band.index + 1), name, str(band.rows),
            *(show_fine(mm, design.units) for mm in (band.pitch_mm, said.stacked_pitch_mm)),
            f"{band.take_up.mean():.3f}", f"{said.stacked_take_up:.3f}",
        )  # fmt: skip
        looks.add_row(
            str(band.index + 1), name, f"{said.light:.0%}", f"{said.usual_bend:.0%}",
            f"{said.bend.value:.0%} {bend_words(said.bend.value)}",
            f"row {said.bend.row + 1}, {worded('spoke', design.wording)} {said.bend.spoke + 1}",
            f"{said.press_n:.0f} N", f"{said.loose:.0%}",
        )  # fmt: skip
    assert rest is not None, "a report of reeds at rest"
    height, stacked = (show_length(mm, design.units) for mm in (laid.top_s, rest.stacked.top_s))
    return [
        Text(f"{design.title}, settled", style="bold"),
        Text(f"The side stands {height} high along the wall; rows simply stacked had said {stacked}."),
        heading("Heights and lengths"),
        sizes,
        heading("Light, bends, and how firm it lies"),
        looks,
        bullets(
            (
                "Light: share of the band one can see through, looked at square on, before any packing by hand.",
                f"Bend: how far its outer side is stretched. Up to {EASY_BEND:.0%} is easy, to "
                f"{HARD_BEND:.0%} usual in ordinary weaving, more is hard (common practice, no source: no published "
                + say(
                    "limit for soaked {reed} was found). Against a hard bend: crimp, soak longer, finer {reed}, wider "
                    "spaces.",
                    design.wording,
                ),
                say(
                    "Press: what a weaver usually presses a {spoke} with, if soaked {reed} is as stiff as 1 GPa (from "
                    "memory). Loose: share of the places where it presses with less than a tenth of that.",
                    design.wording,
                ),
            )
        ),
        heading("How well it settled"),
        bullets(_how_well(plan)),
    ]


def bend_words(strain: float) -> str:
    """A bending strain r/R in the bands that makers know (common practice, no source)."""
    return "easy" if strain <= EASY_BEND else "usual" if strain <= HARD_BEND else "hard"


_TANGLED = {
    "base": "The base would not come to rest without reeds lying in each other: its figures are the quick ones.",
    "side": "The side would not come to rest without reeds lying in each other: its figures are the quick ones.",
    "border": "The {border} would not come to rest: it is drawn in its plain form.",
}


def _tiny(mm: float, units: str) -> str:
    return f"{mm:.3f} mm" if units == "in" else f"{mm / 10:.4f} cm"


def _how_well(plan: Plan) -> list[str]:
    rest = plan.at_rest
    assert rest is not None, "a report of reeds at rest"
    order = "no strand has changed places with another" if rest.order_kept else "STRANDS HAVE CHANGED PLACES"
    return [
        f"{rest.nodes:,} points on {several(sum(len(part.built.lines) for part in rest.parts.values()), 'reed')}, "
        f"{rest.sweeps} sweeps; {order}.",
        f"On their own surfaces the worst overlap of two reeds is {_tiny(rest.overlap_mm, plan.design.units)}; the "
        f"largest force left over is {rest.unbalanced:.2f} of what bends a reed by its thickness within half a space.",
        deepest(rest),
        *(say(_TANGLED[where.split()[0]], plan.design.wording) for where in rest.tangled),
        ("It came to rest." if rest.together.apart else "Each part came to rest; where parts meet, not all of it did.")
        if rest.done
        else "It stopped after as many sweeps as it is given, before all of it was quite at rest.",
    ]
