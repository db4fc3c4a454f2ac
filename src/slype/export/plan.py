"""The promised JSON form of a plan: lengths in mm, masses in g. Documented in docs/json.md."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from ..lay.values import BandAtRest, BandLaid, Laid, wall_thick_mm
from ..plans.bundles import Bundle, bundles
from ..plans.costs import cost_of
from ..plans.gauged import Changed, changed
from ..plans.piece import LengthPart
from ..plans.planning import Plan
from .fitted import base_json, cost_json, foot_json, handle_json, seat_json

if TYPE_CHECKING:
    from ..rest.relax import AtRest


def as_json(plan: Plan) -> dict[str, Any]:
    """The promised JSON form of a plan: lengths in mm, masses in g. Documented in docs/json.md."""
    design, laid = plan.design, plan.laid
    return {
        "title": design.title,
        "height_mm": _n(laid.top_s),
        "finished_height_mm": _n(laid.finished_height_mm),
        "base_mm": _n(design.form.base_mm),
        "mouth_mm": _n(laid.mouth_mm),
        "outline": _outline_json(laid),
        "capacity_ml": _n(laid.capacity_mm3 / 1000),
        "base": base_json(design, plan.board),
        "spokes": _spokes_json(plan),
        "pieces": [
            {
                "name": p.name,
                "count": p.count,
                "reed": p.reed.key or p.reed.name,
                "colour": p.colour,
                "length_mm": _n(p.length_mm),
                "cut_mm": _n(p.cut_mm),
                "long_enough": None if p.share is None else round(p.share, 4),
                "parts": [_part(part) for part in p.parts],
            }
            for p in plan.pieces
        ],
        "bands": [_band_json(plan, band) for band in laid.bands],
        "bundles": [bundle_json(each) for each in bundles(plan)],
        "reed": [
            {
                "reed": a.reed.key or a.reed.name,
                "colour": a.colour,
                "length_mm": _n(a.length_mm),
                "mass_g": _n(a.mass_g),
                "buy_g": _n(a.buy_g),
                "coils": round(a.coils, 3),
            }
            for a in plan.amounts
        ],
        "finished_g": None if plan.finished_g is None else _n(plan.finished_g),
        "joins": [
            {"band": j.band, "weaver": j.weaver, "row": j.row, "spoke": j.spoke + 1, "space": j.spoke + 1,
             "overlap_mm": _n(j.overlap_mm), "colours": list(j.colours)}
            for j in plan.all_joins
        ],
        "soaking": [
            {"reed": reed.key or reed.name, "minutes": list(soak.minutes), "words": soak.words, "source": soak.source}
            for reed, soak in plan.soaking
        ],
        "time": {
            "strokes": plan.time.strokes,
            "seconds": round(plan.time.seconds),
            "parts": [{"name": n, "seconds": round(s), "how": how} for n, s, how in plan.time.parts],
        },
        "gauge": [_changed(each) for each in changed(laid)],
        "cost": cost_json(cost_of(plan)),
        "foot": foot_json(plan.foot),
        "handles": [handle_json(each) for each in plan.handles],
        "lid": None if plan.lid is None or plan.seat is None else {**seat_json(plan.seat), **as_json(plan.lid)},
        "advice": [finding.as_json() for finding in plan.advice],
        "relaxed": None if plan.at_rest is None else _relaxed_json(plan.at_rest),
    }


def bundle_json(bundle: Bundle) -> dict[str, object]:
    """The promised form of one bundle, lengths in mm; bands and starts count from 0."""
    return {
        "number": bundle.number,
        "piece": bundle.piece.name if bundle.piece else None,
        "bands": list(bundle.bands) if bundle.bands else None,
        "lid": bundle.lid,
        "reed": bundle.reed.key or bundle.reed.name,
        "colour": bundle.colour,
        "count": bundle.count,
        "lots": [
            {
                "count": lot.count,
                "cut_mm": _n(lot.cut_mm),
                "part": lot.part,
                "starts": None if lot.starts is None else list(lot.starts),
            }
            for lot in bundle.lots
        ],
    }


def _outline_json(laid: Laid) -> dict[str, object]:
    """Length, width and corners at the base and the mouth, and the room inside."""
    form, wall = laid.design.form, wall_thick_mm(laid)
    return {
        "kind": form.outline,
        "base_mm": [_n(form.base_length_mm), _n(form.base_width_mm)],
        "mouth_mm": [_n(float(side)) for side in form.sides(laid.top_s)],
        "inside_base_mm": [_n(float(side)) for side in form.inside(0.0, wall)],
        "inside_mouth_mm": [_n(float(side)) for side in form.inside(laid.top_s, wall)],
    }


def _relaxed_json(at_rest: AtRest) -> dict[str, object]:
    """How well the reeds came to rest, and what stacked cells had said of the height."""
    return {
        "points": at_rest.nodes,
        "sweeps": at_rest.sweeps,
        "done": at_rest.done,
        "tangled": list(at_rest.tangled),
        "order_kept": at_rest.order_kept,
        "overlap_mm": _n(at_rest.overlap_mm, 4),
        "worst_overlap": _n(at_rest.together.worst, 3),
        "worst_between": list(at_rest.together.between),
        "apart": at_rest.together.apart,
        "unbalanced": _n(at_rest.unbalanced, 3),
        "stacked_height_mm": _n(at_rest.stacked.top_s),
    }


def _spokes_json(plan: Plan) -> dict[str, object]:
    design, laid, spokes = plan.design, plan.laid, plan.spokes
    ends = design.foot_ends
    across = 2 * float(design.form.radius(0.0)) if design.base.is_board else design.form.base_mm
    return {
        "count": spokes.count,
        "ends": design.spokes.ends,
        "ends_at_border": design.top_ends,
        "length_mm": _n(spokes.length_mm),
        "cut_mm": _n(spokes.cut_mm),
        "range_mm": [_n(x) for x in spokes.range_mm],
        "border_mm": _n(laid.border.length_mm),
        "reed": spokes.reed.key or spokes.reed.name,
        "spacing_mm": {
            "base": _n(math.pi * across / ends),
            "mouth": _n(laid.border_spacing_mm),
        },
        "parts": [_part(part) for part in spokes.parts],
    }


def _band_json(plan: Plan, band: BandLaid) -> dict[str, object]:
    return {
        "where": band.band.where,
        "weave": band.band.weave.name,
        "rows": band.rows,
        "ends": band.ends,
        "added": band.band.add,
        "height_mm": _n(band.height_mm),
        "row_pitch_mm": _n(band.pitch_mm, 3),
        "spacing_mm": [_n(float(band.spacing[0])), _n(float(band.spacing[-1]))],
        "take_up": _n(float(band.take_up.mean()), 4),
        "strokes": band.strokes,
        "cover": {"outside": _n(band.cover[0], 3), "inside": _n(band.cover[1], 3)},
        "effect": band.effect.effect,
        "relaxed": None if band.at_rest is None else _band_at_rest_json(band.at_rest),
        "strands": [
            {
                "colour": s.colour,
                "reed": s.reed.key or s.reed.name,
                "length_mm": _n(s.length_mm),
                "range_mm": [_n(x) for x in s.range_mm],
            }
            for s in plan.strands
            if s.band == band.index
        ],
        "starts": [
            {"weaver": cut.weaver, "pieces_mm": [_n(mm) for mm in cut.pieces_mm]}
            for cut in plan.cuts
            if cut.course.begins.index == band.index
        ],
        "first_pieces_mm": [None if mm is None else _n(mm) for mm in plan.joins[plan.laid.bands.index(band)].first_mm],
    }


def _band_at_rest_json(said: BandAtRest) -> dict[str, object]:
    return {
        "stacked_row_pitch_mm": _n(said.stacked_pitch_mm, 3),
        "stacked_take_up": _n(said.stacked_take_up, 4),
        "light": _n(said.light, 3),
        "bend": {
            "strain": _n(said.bend.value, 3),
            "usual": _n(said.usual_bend, 3),
            "row": said.bend.row,
            "spoke": said.bend.spoke + 1,
            "weaver": said.bend.weaver,
        },
        "press_n": _n(said.press_n, 1),
        "loose": _n(said.loose, 3),
        "loosest": {
            "share": _n(said.loosest.value, 3),
            "row": said.loosest.row,
            "spoke": said.loosest.spoke + 1,
            "weaver": said.loosest.weaver,
        },
    }


def _changed(each: Changed) -> dict[str, object]:
    digits = 1 if each.unit == "mm" else 3
    return {
        "quantity": each.quantity,
        "band": each.where,
        "unit": each.unit,
        "reckoned": _n(each.reckoned, digits),
        "yours": _n(each.now, digits),
        "range": [_n(each.low, digits), _n(each.high, digits)],
        "by_hand": each.by_hand,
    }


def _part(part: LengthPart) -> dict[str, object]:
    return {"name": part[0], "mm": _n(part[1]), "why": part[2], "source": part[3]}


def _n(value: float, digits: int = 1) -> float:
    return round(float(value), digits)
