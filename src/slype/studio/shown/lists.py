"""What the studio's page says beside the picture, ready to show: every number as text, each with its parts.

The page prints these as they stand: it knows no units and adds nothing up. Forms are in `told`.
"""

from __future__ import annotations

from itertools import groupby

import numpy as np

from ...advice.advise import must_stop
from ...advice.spacing import spacings
from ...design.values import Design
from ...edit.values import as_makers_round
from ...form.handles import NOT_RATED
from ...lay.spacing import long_sticks
from ...plans.cautions import cautions
from ...plans.costs import cost_of, left_out
from ...plans.planning import Plan
from ...quantity import show_length, show_mass, show_run, show_time, show_volume
from ...sources import short_source
from ...tell.lists import WEIGHTS, CutRow, cut_list, first_up
from ...tell.voice import (
    apart,
    band_title,
    base_across,
    count_from_one,
    effect_in_words,
    reason_in_words,
    ring_across,
    unsettled,
    voice,
    whence,
    worded,
)
from ...weave.swaps import best_shift
from ...words import of_a_lid, say
from ..told.baskets import BandTold, FindingTold, FormTold, Look
from ..told.figures import List, Number, PartTold

PROFILE_STEPS = 60  # points of the wall's outline, as drawn beside the fields


def look(plan: Plan) -> Look:
    """Everything the page shows of one basket but its picture."""
    stop = must_stop(plan.advice)
    return {
        "relaxed": plan.at_rest is not None,
        "unsettled": unsettled(plan),
        "size": size(plan),
        "form": form(plan),
        "bands": [band(plan, i) for i in range(len(plan.laid.bands))],
        "lid_bands": [] if plan.lid is None else [band(plan.lid, i) for i in range(len(plan.lid.laid.bands))],
        "border": border(plan),
        "needs": needs(plan),
        "watch": watch(plan),
        "stop": None if stop is None else stop.message,
        "cautions": [
            {"title": first_up(worded(caution.key, plan.design.wording)), "text": text}
            for caution, text in cautions(plan)
        ],
        "whence": whence(plan),
        "palette": dict(plan.design.palette),
    }


def size(plan: Plan) -> list[Number]:
    """The finished basket in a few figures."""
    design, laid = plan.design, plan.laid
    tell, long = voice(design)
    weight = sum(amount.mass_g for amount in plan.amounts)
    facts = [
        ("high", long(laid.finished_height_mm)),
        ("across the mouth", ring_across(design, laid.top_s)),
        ("across the base", base_across(design)),
        ("holds about", show_volume(laid.capacity_mm3, design.units, design.wording)),
        (tell("{reed} in it"), show_mass(weight, design.units)),
        ("time about", show_time(plan.time.seconds)),
    ]
    return [number(name, value) for name, value in facts]


def number(name: str, value: str, parts: list[PartTold] | None = None, note: str = "") -> Number:
    """One figure of a list, with what it opens into."""
    return {"name": name, "value": value, "parts": parts or [], "note": note}


def parts_of(design: Design, parts) -> list[PartTold]:
    return [
        {
            "name": worded(name, design.wording),
            "value": show_length(mm, design.units),
            "why": worded(why, design.wording),
            "source": short_source(source),
        }
        for name, mm, why, source in parts
    ]


# What you need -------------------------------------------------------------------------------------------------


def needs(plan: Plan) -> list[List]:
    """What to cut, weigh out, soak and allow time for."""
    tell, _ = voice(plan.design)
    lists: list[List] = [
        {"key": "cut", "title": "To cut", "numbers": _to_cut(plan), "note": ""},
        {"key": "reed", "title": tell("{reed} to buy").capitalize(), "numbers": _to_buy(plan), "note": _reserve(plan)},
        {"key": "time", "title": "Time", "numbers": _time(plan), "note": "At the pace the design states."},
        {"key": "cost", "title": "Cost", "numbers": _cost(plan), "note": _cost_note(plan)},
        {"key": "soak", "title": "Soaking, in cool water", "numbers": _soaking(plan), "note": ""},
    ]
    if plan.handles:
        lists[0]["note"] = NOT_RATED
    return lists


def _to_cut(plan: Plan) -> list[Number]:
    """The cut list of the sheet; pieces open into their parts, weavers into what they weave and what they tuck."""
    out = []
    for row in cut_list(plan):
        parts = weaver_parts(row) if row.piece is None else parts_of(plan.design, row.piece.parts)
        if row.plan.design.of_lid:
            parts = [{**part, "name": of_a_lid(part["name"]), "why": of_a_lid(part["why"])} for part in parts]
        reed = row.reed.named(plan.design.wording)
        between = "" if row.is_weaver else f"from {row.between}"
        note = ", ".join(each for each in (reed, row.colour, between, row.remark) if each)
        out.append(number(row.what, f"{row.count} × {row.length}", parts, note))
    return out


def weaver_parts(row: CutRow) -> list[PartTold]:
    """What the weavers of a row weave, band by band, and what is left for ends and joins."""
    cut = max((cut for cut in row.plan.cuts if cut.course in row.courses), key=lambda each: each.length_mm)
    units = row.plan.design.units
    out: list[PartTold] = []
    for index, group in groupby(cut.course.segments, key=lambda segment: segment.band.index):
        segments = list(group)
        rows, mm = sum(each.rows for each in segments), float(sum(each.row_mm.sum() for each in segments))
        take_up = float(segments[0].band.take_up.mean())
        why = f"{rows} rows round the ring, {take_up:.2f} times as long as the ring for going in and out"
        out.append(
            {"name": f"woven in band {index + 1}", "value": show_run(mm, units), "why": why, "source": "reckoned"}
        )
    more = cut.length_mm - cut.course.woven_mm
    joins = len(cut.pieces_mm) - 1
    last = " and the end of the last stroke" if cut.course.last_mm else ""
    why = f"the two ends to tuck in{last}" + (f", and {joins} overlapping joins" if joins else "")
    return [*out, {"name": "ends", "value": show_length(more, units), "why": why, "source": short_source("practice")}]


def _to_buy(plan: Plan) -> list[Number]:
    units = plan.design.units
    out = []
    for amount in plan.amounts:
        parts: list[PartTold] = [
            {"name": "woven in and cut", "value": show_run(amount.length_mm, units), "why": "", "source": "reckoned"},
            {
                "name": "weight",
                "value": show_mass(amount.mass_g, units),
                "why": worded(f"{amount.reed.g_per_mm * 1000:.1f} g a metre", plan.design.wording),
                "source": short_source(amount.reed.source),
            },
            {
                "name": "to buy, with reserve",
                "value": show_mass(amount.buy_g, units),
                "why": f"the longer end of every range and {plan.design.pace.reserve:.0%} more",
                "source": short_source("practice"),
            },
            {
                "name": "coils",
                "value": f"{amount.coils:.2f}",
                "why": f"of {show_mass(amount.reed.coil_g, units)}",
                "source": short_source(amount.reed.source),
            },
        ]
        out.append(
            number(f"{amount.reed.named(plan.design.wording)}, {amount.colour}", show_mass(amount.buy_g, units), parts)
        )
    return out


def _reserve(plan: Plan) -> str:
    if all(amount.reed.measured for amount in plan.amounts):
        return "Weights are from your own measurements."
    return "Diameters not measured by you may be off by a tenth, and the weight then by a fifth."


def _time(plan: Plan) -> list[Number]:
    out = [number("in all, about", show_time(plan.time.seconds), [], f"{plan.time.strokes} strokes")]
    return out + [
        number(worded(name, plan.design.wording), show_time(s), [], worded(how, plan.design.wording))
        for name, s, how in plan.time.parts
    ]


def _cost(plan: Plan) -> list[Number]:
    cost = cost_of(plan)
    if cost is None:
        return []
    lines = [number(name, cost.shown(amount), [], how) for name, amount, how in cost.lines]
    return [number("in all", cost.shown(cost.total)), *lines]


def _cost_note(plan: Plan) -> str:
    cost = cost_of(plan)
    if cost is None:
        return "Write down what a coil costs you and what you ask for an hour (Shape, Pace and prices) to see it."
    return left_out(cost)


def _soaking(plan: Plan) -> list[Number]:
    return [
        number(reed.named(plan.design.wording), soak.words, [], short_source(soak.source))
        for reed, soak in plan.soaking
    ]


# Watch out -----------------------------------------------------------------------------------------------------


def watch(plan: Plan) -> list[FindingTold]:
    """What the advice found, the gravest first, each with the changes that would apply its remedy."""
    wording = plan.design.wording
    return [
        {
            "weight": found.rule.weight,
            "grave": WEIGHTS[found.rule.weight],
            "rule": found.rule.key,
            "where": first_up(worded(found.where, wording)),
            "band": _band_of(found.where),
            "message": worded(found.message, wording),
            "why": worded(found.why, wording),
            "remedy": worded(found.remedy, wording),
            "source": short_source(found.rule.source),
            "changes": list(found.changes),
        }
        for found in plan.advice
    ]


def _band_of(where: str) -> int | None:
    """The band, from 0, that a finding is about (`band 3 (pairing)`), or None."""
    words = where.split()
    return int(words[1]) - 1 if words[:1] == ["band"] and words[1].isdigit() else None


# The basket as fields show it ----------------------------------------------------------------------------------


def form(plan: Plan) -> FormTold:
    """The wall's outline as seen from the side, mm: what the page draws and lets one drag."""
    design, laid = plan.design, plan.laid
    apart_at = spacings(laid)
    spacing = [
        number(said, apart(apart_at[place], design.units)) for place, said in _PLACES.items() if place in apart_at
    ]
    top = float(design.form.height(laid.top_s)) if laid.side else 0.0
    return {**bare_form(design), "top_mm": top, "spacing": spacing}


def bare_form(design: Design) -> FormTold:
    """The same of a basket that cannot be woven: its outline alone."""
    shape = design.form
    steps = [shape.wall_mm * i / PROFILE_STEPS for i in range(PROFILE_STEPS + 1)]
    heights, (length, width, _) = shape.height(np.array(steps)), shape.sides(np.array(steps))
    return {
        "outline": shape.outline,
        "base_mm": [shape.base_length_mm, shape.base_width_mm],
        "points": [
            {"height_mm": height, "across_mm": list(_sides_of(design, i))} for i, (height, _) in enumerate(shape.wall)
        ],
        "profile": np.stack([heights, length, width], axis=1).tolist(),
        "top_mm": 0.0,
        "spacing": [],
        "long_sticks": None if shape.is_round or design.base.is_board else long_sticks(design),
    }


_PLACES = {"base edge": "at the base", "added ends": "where more are added", "mouth": "at the mouth"}


def _sides_of(design: Design, i: int) -> tuple[float, float]:
    shape = design.form
    if shape.is_round:
        return shape.wall[i][1], shape.wall[i][1]
    return shape.wall_sides[i][0], shape.wall_sides[i][1]


def band(plan: Plan, index: int) -> BandTold:
    """One band of the stack: what it is called, how far it goes, what its colours do."""
    laid = plan.laid.bands[index]
    return {
        "index": laid.index,
        "where": laid.band.where,
        "title": band_title(plan, index),
        "weave": laid.band.weave.named(plan.design.wording),
        "rows": laid.rows,
        "height": show_length(laid.height_mm, plan.design.units),
        "reach": _reach(plan.design, laid),
        "reed": laid.band.reed.named(plan.design.wording),
        "stroke": laid.band.weave.stroke_words(),
        "weavers": len(laid.colours),
        "strands": laid.band.strands,
        "colours": [list(each) for each in laid.colours],
        "swap": best_shift(laid.colours) if laid.effect.effect == "upright lines" else 0,
        "effect": worded(effect_in_words(laid, plan.design.hand), plan.design.wording),
        "why": reason_in_words(laid, plan.design),
        "start": count_from_one(laid.band.start, laid.spaces),
        "spaces": laid.spaces,
        "share": laid.height_mm / max(sum(each.height_mm for each in plan.laid.bands), 1.0),
    }


def _reach(design: Design, laid) -> str:
    """How wide a base is once this band is woven, or how high the side, as one would write it in the file."""
    if laid.band.where != "base":
        return as_makers_round(float(design.form.height(laid.end_s)), design.units)
    return as_makers_round(2 * float(laid.end_s), design.units)


def border(plan: Plan) -> Number:
    """The border in its own words, and what each end of it needs."""
    design, need = plan.design, plan.laid.border
    parts = parts_of(design, need.parts)
    return number(
        say("each end needs", design.wording),
        show_length(need.length_mm, design.units),
        parts,
        say(f"works on {design.border.smallest_ends} {{spokes}} or more", design.wording),
    )
