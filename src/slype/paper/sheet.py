"""The handout: a pattern sheet a teacher gives to a class, as a PDF.

Everything comes from a finished plan; nothing is reckoned here. `contents` turns the plan into plain text and lists in
the design's units, `sheet.typ` sets them on paper. Users' words travel as data and are never read as markup.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..borders.table import named_fully
from ..draw import views as picture
from ..draw.squares import swatch
from ..lay.chart import letters_for
from ..offers import PAPERS
from ..plans.cautions import cautions
from ..plans.planning import Plan
from ..quantity import show_coil, show_mass, show_run, show_thickness, show_time, show_volume
from ..tell.attachments import handle_facts, lid_facts
from ..tell.bases import board_fact
from ..tell.lists import cut_list, first_up, opened, pieced, ruler, sources_line, spokes_note, watch_list
from ..tell.steps import Step, steps, tools
from ..tell.voice import base_across, ring_across, soaking_told, voice, worded
from .press import Press, pressed
from .typeset import paper_named, set_with_fonts, short

TICKS = 60
"""Most tick boxes drawn for the rows of one band; more rows share a box."""
ALL_BUT_EMPTY = 0.45
"""Share of the page's height: a last page with less than this in one column is better saved."""
TIGHTER = (1, 2, 3, 4)
"""Steps of 2 % by which the text may be set smaller for that."""


def make(plan: Plan, paper: str = "a4") -> bytes:
    """The handout of `plan` as PDF bytes, on "a4" or "letter" paper. Raises DesignError for another paper."""
    return whole(plan, paper).pdf


def on_each(plan: Plan, papers: Sequence[str]) -> list[bytes]:
    """As `make`, on one paper after the other: its pictures are drawn once."""
    said = contents(plan, papers[0])
    return [_typeset({**said, "paper": PAPERS[paper].typst}).pdf for paper in papers]


@dataclass(frozen=True)
class Sheet:
    """A sheet as `pdf`, and how many `pages` it has."""

    pdf: bytes
    pages: int


def whole(plan: Plan, paper: str = "a4") -> Sheet:
    """As `make`, with the count of its pages."""
    paper_named(paper)
    return _typeset(contents(plan, paper))


def contents(plan: Plan, paper: str = "a4") -> dict[str, object]:
    """All that the sheet says, as text and lists ready to print."""
    tell, _ = voice(plan.design)
    every_step = steps(plan)
    return {
        "title": plan.design.title,
        "short": short(plan.design.title),
        "paper": PAPERS[paper].typst,
        "region": "GB" if plan.design.wording == "uk" else "US",
        "pictures": _pictures(plan),
        "squares": _squares(plan),
        "facts": _facts(plan),
        "reed": _reed(plan),
        "tools": ", ".join(tools(plan)),
        "cut": [row.cells for row in cut_list(plan)],
        "longer": spokes_note(plan),
        "pieced": pieced(plan),
        "opened": opened(plan),
        "soaking": soaking_told(plan),
        "watch": watch_list(plan),
        "steps": [_step(plan, step) for step in every_step],
        "key": [{"name": f"{name} ({letter.upper()})", "svg": swatch(plan, name)}
                for name, letter in letters_for(plan.design).items()],
        "charts": bool(plan.laid.side),
        "ruler": ruler(plan),
        "cautions": [[first_up(worded(caution.key, plan.design.wording)), text] for caution, text in cautions(plan)],
        "sources": sources_line(plan),
        "words": {key: first_up(tell(text)) for key, text in WORDS.items()},
    }


WORDS = {
    "chart": "{colour} chart",
    "squares": "To count by, from outside: a square for each stroke that is seen; a bar where the {spoke} shows. "
    "{Spokes} are numbered below their squares, spaces in rings between them; a ring to tick stands beside each row.",
    "colour": "{colour}",
    "across": "across at the {spokes}",
    "reed": "{reed}",
}
"""Headings with a word of the trade in them; the rest stand in sheet.typ."""


def _pictures(plan: Plan) -> dict[str, dict[str, str]]:
    views = ["outside", "unrolled", "unrolled-inside"] if plan.laid.side else ["under"]
    out = {
        view: {"svg": picture.svg(plan, view, detail=picture.HAND), "alt": picture.describe(plan, view)}
        for view in views
    }
    if plan.laid.side and plan.laid.base:
        out["base"] = {"svg": picture.base_alone(plan), "alt": picture.describe(plan, "under")}
    return out


def _squares(plan: Plan) -> list[dict[str, object]]:
    """The chart to count by, piece by piece; none where one colour is woven all over."""
    if not any(len(set(band.band.colours)) > 1 for band in plan.laid.side):
        return []
    about = picture.describe(plan, "squares")
    return [
        {"svg": svg, "alt": f"{about} Here: {bands}.", "bands": bands, "wide": round(wide, 1)}
        for svg, wide, bands in picture.chart_pages(plan)
    ]


def _facts(plan: Plan) -> list[list[str]]:
    tell, long = voice(plan.design)
    design, laid = plan.design, plan.laid
    holds = f"about {show_volume(laid.capacity_mm3, design.units, design.wording)}"
    out = [["Base", f"{base_across(design)} across"]]
    if plan.board is not None:
        out = [["Board", f"{base_across(design)} across; {board_fact(plan)}"]]
    if laid.side:
        out += [
            ["Mouth", tell("{across} across, below the {border}", across=ring_across(design, laid.top_s))],
            ["Height", long(laid.finished_height_mm)],
            ["Holds", holds],
        ]
    ends = tell("{n} ends stand", n=design.spokes.ends)
    for where in ("base", "side"):
        for tier in design.tiers(where)[1:]:
            assert tier.first is not None, "added before a band"
            ends += f", {tier.ends} from band {tier.first + 1} on"
    if design.bye_spokes is not None:
        ends += f", each with a bye-{tell('{spoke}')} beside it"
    if design.spokes.per_end > 1:
        ends = tell("{n} places, {k} {spokes} in each", n=design.spokes.ends, k=design.spokes.per_end)
    pace = design.pace.strokes_per_minute
    return [
        *out,
        [first_up(tell("{spokes}")), ends],
        [first_up(tell("{border}")), first_up(named_fully(design.border, design.wording))],
        *(["Handle", f"{fact}; strength not rated"] for fact in handle_facts(plan)),
        *(["Lid", first_up(fact)] for fact in lid_facts(plan)),
        ["Hand", tell("{side}; from outside, work and count towards the {forward}", side=design.hand)],
        ["Time", f"about {show_time(plan.time.seconds)} at {pace:g} strokes a minute, besides cutting and soaking"],
    ]


def _reed(plan: Plan) -> list[list[str]]:
    units = plan.design.units
    return [
        [
            amount.reed.named(plan.design.wording),
            show_thickness(amount.reed.diameter_mm, units),
            amount.colour,
            show_run(amount.length_mm, units),
            show_mass(amount.mass_g, units),
            show_mass(amount.buy_g, units),
            f"{amount.coils:.2f} of {show_coil(amount.reed.coil_g, units)}",
        ]
        for amount in plan.amounts
    ]


def _step(plan: Plan, step: Step) -> dict[str, object]:
    rows = step.rows
    each = next(n for n in (1, 2, 5, 10, 20, 50, 100, 200) if rows <= n * TICKS)
    return {
        "title": step.title,
        "lines": list(step.lines),
        "minutes": "" if step.minutes is None else f"about {show_time(step.minutes * 60)}",
        "rows": rows,
        "shows": "base" if plan.laid.side and step.band is not None and step.band == len(plan.laid.base) - 1 else "",
        "each": each,
    }


# Typesetting ---------------------------------------------------------------------------------------------------


def _typeset(said: dict[str, object]) -> Sheet:
    """PDF from the contents. A sign that no font has would stop a tagged PDF, so it is shown as a small square.

    With the fonts that come with the typesetter, so that the sheet prints the same everywhere; only a title in another
    script may borrow this machine's fonts.
    """
    with pressed("sheet.typ") as press:
        return set_with_fonts(press, said, lambda: _compiled(press))


def _compiled(press: Press) -> Sheet:
    """The PDF; set a little smaller where that saves a last page that would be all but empty."""

    def ends(tight: int) -> dict[str, float]:
        return press.value("<end>", {"tight": str(tight)})

    chosen, end = 0, ends(0)
    if end["page"] > 1 and end["across"] < 0.5 and end["down"] < ALL_BUT_EMPTY:
        chosen = next((tight for tight in TIGHTER if ends(tight)["page"] < end["page"]), 0)
    pdf = press.pdf(inputs={"tight": str(chosen)})
    return Sheet(pdf, round(ends(chosen)["page"]))
