"""The promised JSON form of what is fitted to a basket: its base, foot, handles, lid, and what it costs. Lengths mm.
Documented in docs/json.md."""

from __future__ import annotations

from ..design.values import Design
from ..lay.attachments import HandleLaid
from ..lay.boards import BoardLaid
from ..lay.feet import FootLaid
from ..lay.lids import LidFit
from ..plans.costs import Cost


def handle_json(each: HandleLaid) -> dict[str, object]:
    """The promised form of one handle, lengths in mm. Documented in docs/json.md."""
    handle = each.handle
    return {
        "kind": handle.kind,
        "count": handle.count,
        "across_mm": round(each.across_mm, 1),
        "height_mm": round(each.height_mm, 1),
        "depth_mm": round(each.depth_mm, 1),
        "arch_mm": round(each.arch_mm, 1),
        "spaces": each.spaces,
        "cores": 0 if handle.core is None else handle.cores,
        "wrapping": {"turns": each.turns, "strands": handle.strands, "strand_mm": round(each.wrapped_mm, 1)}
        if each.wrapped_mm
        else None,
        "twist": None
        if each.twist is None
        else {
            "rods": each.twist.rods,
            "turn_mm": round(each.twist.turn_mm, 1),
            "radius_mm": round(each.twist.radius_mm, 2),
            "rod_mm": round(each.twist.length_mm, 1),
        },
        "why": [{"size": key, "why": why, "source": source} for key, why, source in each.whence],
        "strength": "not rated",
    }


def foot_json(found: FootLaid | None) -> dict[str, object] | None:
    """The promised form of the foot, lengths in mm. Documented in docs/json.md."""
    if found is None:
        return None
    band = found.laid.bands[0]
    return {
        "ends": found.ends,
        "height_mm": round(found.height_mm, 1),
        "weave": band.band.weave.name,
        "rows": band.rows,
        "border_mm": round(found.laid.border.length_mm, 1),
        "insertion_mm": round(found.foot.insertion_mm, 1),
    }


def base_json(design: Design, board: BoardLaid | None) -> dict[str, object]:
    """The promised form of the base, lengths in mm. Documented in docs/json.md."""
    base, said = design.base, None
    if board is not None:
        h = board.holes
        said = {
            "holes": h.count,
            "ring_mm": round(h.ring_mm, 1),
            "pitch_mm": round(h.pitch_mm, 2),
            "chord_mm": round(h.chord_mm, 2),
            "margin_mm": round(h.margin_mm, 1),
            "drill_mm": round(h.drill_mm, 2),
            "thickness_mm": round(board.thickness_mm, 1),
            "foot_mm": round(board.foot.length_mm, 1),
        }
    return {
        "kind": base.kind,
        "arms": None if base.is_board or not design.form.is_round else design.arms,
        "sets": base.sets or None,
        "odd": base.odd if design.spokes.ends_at_base % 2 and not base.is_board else None,
        "board": said,
    }


def seat_json(fit: LidFit) -> dict[str, object]:
    """How the lid sits, for the promised form of the plan, lengths in mm."""
    return {
        "seat": fit.seat.name,
        "across_mm": round(fit.across_mm, 1),
        "opening_mm": round(fit.mouth.opening_mm, 1),
        "outside_mm": round(fit.mouth.outside_mm, 1),
        "play_mm": round(fit.play_mm, 2),
        "rests_mm": None if fit.rests_mm is None else round(fit.rests_mm, 1),
    }


def cost_json(cost: Cost | None) -> dict[str, object] | None:
    """The promised form of a plan's cost. Documented in docs/json.md."""
    if cost is None:
        return None
    return {
        "currency": cost.currency,
        "total": round(cost.total, 2),
        "parts": [{"name": name, "amount": round(amount, 2), "how": how} for name, amount, how in cost.lines],
        "missing": list(cost.missing),
    }
