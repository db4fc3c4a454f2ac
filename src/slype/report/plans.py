"""Reports for a terminal: tables that read well at 80 columns, in colour or piped to a file.

Each report is a list of parts, which `printed` shows. Nothing is reckoned here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from rich.table import Table
from rich.text import Text

from ..advice.advise import Finding
from ..advice.spacing import spacings
from ..design.values import Design
from ..form.handles import NOT_RATED
from ..lay.values import BandLaid, Laid
from ..plans.costs import cost_of, left_out
from ..plans.planning import Piece, Plan
from ..quantity import MM_PER_FT, show_fine, show_length, show_mass, show_run, show_time, show_volume
from ..reeds import Reed
from ..sources import short_source
from ..tell.attachments import handle_facts, lid_facts
from ..tell.bases import board_fact
from ..tell.gauged import gauge_rows, long_enough
from ..tell.lists import cut_list, pieced, spokes_note, weaver_named
from ..tell.strokes import passed
from ..tell.voice import apart, base_across, effect_in_words, reason_in_words, ring_across, whence, worded
from ..words import listed, of_a_lid, say, several
from .columns import Columns
from .printed import Parts, bullets, columns, heading, part_cells, sentence

MOST_JOINS_TOLD = 20  # of one weaver; the JSON has them all


# Advice --------------------------------------------------------------------------------------------------------

_WEIGHTS = {"stop": ("stop", "bold red"), "warn": ("warning", "yellow"), "note": ("note", "cyan")}


def advice(design: Design, findings: Iterable[Finding], reasons: bool = True) -> Parts:
    """What was found, the gravest first; with `reasons` also why, and on whose word."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=5)
    grid.add_column(overflow="fold")
    for finding in findings:
        said = f"{sentence(worded(finding.where, design.wording))}: {finding.message} {finding.remedy}"
        grid.add_row(Text(finding.rule.weight, style=_WEIGHTS[finding.rule.weight][1]), said)
        if reasons:
            grid.add_row("", Text(f"Why: {finding.why} ({short_source(finding.rule.source)})", style="dim"))
    if not grid.rows:
        return [Text("Nothing to watch out for.")]
    return [grid]


def check(plan: Plan) -> Parts:
    """The report of `slype check`."""
    weights = Counter(finding.rule.weight for finding in plan.advice)
    counts = [several(weights[weight], name) for weight, (name, _) in _WEIGHTS.items() if weights[weight]]
    head = plan.design.title + (f": {listed(counts)}" if counts else "")
    more = "what only the settled basket can tell"
    more = f"and {more}" if plan.at_rest else f"--settled adds {more}"
    whence = Text(f"From the quick basket, rows simply stacked; {more}.", style="dim")
    return [Text(head, style="bold"), *advice(plan.design, plan.advice), whence]


# Plan ----------------------------------------------------------------------------------------------------------


def plan(plan: Plan) -> Parts:
    """The report of `slype plan`: what to cut, weigh out, soak and allow time for."""
    design = plan.design
    return [
        Text(design.title, style="bold"),
        _size(plan),
        Text(_spacing(plan)),
        Text(whence(plan)),
        heading("To cut"),
        *_cut_list(plan),
        *(part for piece in plan.pieces for part in _opened(design, piece)),
        heading("Bands, in order of work"),
        _bands(plan.laid),
        bullets(effects_in_words(plan.laid)),
        *_gauge(plan),
        heading(f"{sentence(_reed_word(design))} to weigh out"),
        *_amounts(plan),
        heading("Soaking, in cool water"),
        bullets(f"{_key(reed)}: {soak.words}; {short_source(soak.source)}" for reed, soak in plan.soaking),
        heading("Joins"),
        bullets(_joins(plan)),
        heading(f"Time: about {show_time(plan.time.seconds)}"),
        bullets(_times(plan)),
        *_cost(plan),
        *_fitted(plan),
        heading("Advice"),
        *advice(design, plan.advice, reasons=False),
    ]


def _gauge(plan: Plan) -> Parts:
    """What the maker's own measure changed, where the design carries one."""
    rows = gauge_rows(plan)
    if plan.design.gauge is None:
        return []
    if not rows:
        return [heading("Your measure"), Text("[gauge] speaks of nothing that is in this basket.")]
    table = columns("Figure", ">slype reckons", ">Yours", "19 in 20 lie", "Whence")
    for row in rows:
        table.add_row(row.what, row.reckoned, row.yours, row.between, row.whence)
    return [heading("Your measure, and what it changed"), table]


def _times(plan: Plan) -> list[str]:
    """Minutes by part of the work, and how they were reckoned."""
    wording = plan.design.wording
    return [f"{worded(name, wording)} {show_time(s)}: {worded(how, wording)}" for name, s, how in plan.time.parts]


def _cost(plan: Plan) -> Parts:
    """What it costs, where the design names prices."""
    cost = cost_of(plan)
    if cost is None:
        return []
    lines = [f"{name} {cost.shown(amount)}: {how}" for name, amount, how in cost.lines]
    return [heading(f"Cost: {cost.shown(cost.total)}"), bullets([*lines, *filter(None, [left_out(cost)])])]


def _fitted(plan: Plan) -> Parts:
    """Handles, and that nobody says how much they hold; the lid, its bands and joins."""
    out: Parts = []
    if plan.board is not None:
        out += [heading("Board"), bullets([board_fact(plan)])]
    if plan.handles:
        out += [heading("Handles"), bullets([*map(sentence, handle_facts(plan)), NOT_RATED])]
    if plan.lid is not None:
        sentences = [*map(sentence, lid_facts(plan)), *(f"Joins: {line}" for line in _joins(plan.lid))]
        out += [heading("Lid"), _bands(plan.lid.laid), bullets([*sentences, *effects_in_words(plan.lid.laid)])]
        out += [part for piece in plan.lid.pieces for part in _opened(plan.lid.design, piece, "the lid's ")]
    return out


def _key(reed: Reed) -> str:
    return reed.key or reed.name


def _reed_word(design: Design) -> str:
    return say("{reed}", design.wording)


def _spacing(plan: Plan) -> str:
    """How far apart the ends stand, up the wall."""
    laid, units = plan.laid, plan.design.units
    named = {
        "base edge": "along the holes of the board" if laid.design.base.is_board else "at the edge of the base",
        "widest": "at the widest row",
        "added ends": "where more are added",
        "mouth": "below the {border}",
    }
    found = spacings(laid)
    apart_by_place = [f"{apart(found[place], units)} {said}" for place, said in named.items() if place in found]
    return say("The ends stand " + listed(apart_by_place) + ", middle to middle.", plan.design.wording)


def _size(plan: Plan) -> Text:
    design, laid = plan.design, plan.laid
    high = show_length(laid.finished_height_mm, design.units)
    mouth, base = ring_across(design, laid.top_s), base_across(design)
    ends = say(f"{design.spokes.ends} {{spoke}} ends", design.wording)
    if design.top_ends != design.spokes.ends:
        ends += say(f", {design.top_ends} at the {{border}}", design.wording)
    return Text(
        f"Finished: {high} high, {mouth} across the mouth, {base} across the base; holds about "
        f"{show_volume(laid.capacity_mm3, design.units, design.wording)}. {ends}, woven {design.hand}-handed."
    )


def _cut_list(plan: Plan) -> Parts:
    colour = sentence(say("{colour}", plan.design.wording))
    table = columns(">Count", "What", "=Reed", colour, ">Length", "=Range")
    for row in cut_list(plan):
        named = f"{row.what}, {row.remark}" if row.remark else row.what
        between = "" if row.is_weaver else row.between
        table.add_row(str(row.count), named, _key(row.reed), row.colour, row.length, between)
    play = max(band.woven_range_mm()[1] / float(band.row_mm.sum()) - 1 for band in plan.laid.bands)
    whole, called = (MM_PER_FT, "foot") if plan.design.units == "in" else (1000.0, say("meter", plan.design.wording))
    more = f"{show_length(play * whole, plan.design.units)} to the {called}"
    note = f"Weavers are rounded up and hold the ends to tuck in; they may come out {more} longer or shorter. "
    note += long_enough(plan) or spokes_note(plan)
    return [table, *([bullets(pieced(plan))] if pieced(plan) else []), Text(note)]


def _opened(design: Design, piece: Piece, whose: str = "a ") -> Parts:
    """A piece's length opened into its parts."""
    table = columns("Part", ">Length", "Why", "On whose word")
    for part in piece.parts:
        cells = part_cells(part, design.units, design.wording)
        table.add_row(*(map(of_a_lid, cells) if design.of_lid else cells))
    table.add_row("in all", show_length(piece.length_mm, design.units), "before rounding up", "", style="bold")
    return [heading(f"How the length of {whose}{worded(piece.name, design.wording)} is made up"), table]


def _bands(laid: Laid) -> Columns:
    units = laid.design.units
    table = columns("Band", "Where", "Weave", "=Reed", ">Rows", ">Height", ">One row", ">Take-up")
    for band in laid.bands:
        table.add_row(
            str(band.index + 1),
            "top" if laid.design.of_lid and band.band.where == "base" else band.band.where,
            _weave_words(band, laid.design),
            _key(band.band.reed),
            str(band.rows),
            show_length(band.height_mm, units),
            show_fine(band.pitch_mm, laid.design.units),
            f"{float(band.take_up.mean()):.2f}",
        )
    return table


def _weave_words(band: BandLaid, design: Design) -> str:
    words = band.band.weave.named(design.wording)
    if words == "free weave":
        words += f" ({band.band.weave.stroke_words()})"
    if band.band.strands > 1:
        words += f", {band.band.strands} reeds as one"
    over = f" over groups of {band.band.group}" + band.band.odd_alone * ", the odd alone"
    return words + (over if band.band.group > 1 else "")


def effects_in_words(laid: Laid) -> list[str]:
    """A line for each band: what its colours do, outside and inside."""
    told = ((band, effect_in_words(band, laid.design.hand), reason_in_words(band, laid.design)) for band in laid.bands)
    return [f"band {band.index + 1}: {said}{'. ' * bool(why)}{why}" for band, said, why in told]


def _amounts(plan: Plan) -> Parts:
    units = plan.design.units
    table = columns("=Reed", sentence(say("{colour}", plan.design.wording)), ">Length", ">Weight", ">To buy", ">Coils")
    for amount in plan.amounts:
        table.add_row(
            amount.reed.named(plan.design.wording),
            amount.colour,
            show_run(amount.length_mm, units),
            show_mass(amount.mass_g, units),
            show_mass(amount.buy_g, units),
            f"{amount.coils:.2f}",
        )
    reserve = f"To buy: the longer end of every range and {plan.design.pace.reserve:.0%} more. "
    reserve += "Diameters not measured by you may be off by "
    lines: Parts = [table, Text(f"{reserve}a tenth, and the weight then by a fifth.")]
    if plan.finished_g is not None:
        lines.append(Text(f"Done, dry and trimmed, the basket weighs about {show_mass(plan.finished_g, units)}."))
    return lines


def _joins(plan: Plan) -> list[str]:
    """Where the reeds of each joined weaver meet."""
    out = []
    for cut in plan.cuts:
        bands = {each.band.index: each.band for each in cut.course.segments}
        joins = [
            f"band {j.band + 1} row {j.row + 1} behind {passed(plan.design, bands[j.band])[0]} {j.spoke + 1}"
            for j in plan.all_joins
            if j.band in bands and j.weaver == cut.weaver and cut.course.weaves(j.band, j.row)
        ]
        if not joins:
            continue
        if len(joins) > MOST_JOINS_TOLD:
            joins[MOST_JOINS_TOLD:] = [f"{len(joins) - MOST_JOINS_TOLD} more places"]
        out.append(f"{weaver_named(plan, cut)}: {listed(joins)}")
    return out or ["None: every weaver is shorter than the reed it is cut from."]
