"""Pieces to cut for what stands: spokes, base sticks, what is added on the way up. Every length opens into parts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..design.values import Design
from ..lay import gauge
from ..lay.boards import BoardLaid
from ..lay.spacing import long_sticks
from ..lay.values import BASE_STICK_OVER_MM, HALF_SPOKE_MM, SPARE_MM, Laid
from ..order.moments import sticks_in_order
from ..reeds import Reed
from ..surface.curve import OWN, end_named, stick_named
from ..surface.oval_sticks import on_long_stick
from .fitted_pieces import spoke_parts
from .gauged import ends_swing
from .piece import SPARE, LengthPart, Piece, piece_of

STICK_SPREAD_MM = gauge.Swing(-6.0, 12.0)
"""How much shorter or longer a base stick may be cut. Source: Gill's lists, "0 to 1 inch longer, usually 1/2"."""


def standing_pieces(laid: Laid, board: BoardLaid | None) -> list[Piece]:
    """What stands: the spokes, the base sticks, and what is added on the way up."""
    spokes = laid.design.spokes

    def piece(name: str, count: int, reed: Reed, parts: list[LengthPart], spread: gauge.Swing) -> Piece:
        share = laid.design.gauge.share if laid.design.gauge and spread is not STICK_SPREAD_MM else None
        return piece_of(name, count, reed, spokes.colour, parts, spread, laid.design.units, share)

    spread = ends_swing(laid)
    first, added = _first_pieces(laid, board, piece, spread), _added_pieces(laid, piece, spread)
    return [*first, *added, *_bye_pieces(laid, spread)]


def _first_pieces(laid: Laid, board: BoardLaid | None, piece, spread: gauge.Swing) -> list[Piece]:
    """What the basket begins with."""
    design, spokes, need = laid.design, laid.design.spokes, laid.border
    if board is not None:
        low, high = (mm - board.foot.length_mm for mm in board.foot.range_mm)
        both = gauge.Swing(spread.low + low, spread.high + high, spread.enough)
        return [piece("spoke", spokes.ends * spokes.per_end, spokes.reed, spoke_parts(laid, board), both)]
    if spokes.inserted:
        parts = [
            ("pushed in", spokes.insertion_mm, "beside the base stick, its slype included", "gill"),
            ("up the wall", _pushed_in_up_mm(laid), "along the wall to the top of the last row", "derived"),
            ("border", need.length_mm, "what one end needs above the last row", "derived"),
            (SPARE, SPARE_MM, "for an untrue cut", "practice"),
        ]
        sticks = [
            _across(laid, 0.0),
            ("over the edge", BASE_STICK_OVER_MM, "base sticks stand out a little", "gill"),
        ]
        side = piece("side spoke", spokes.ends * spokes.per_end, spokes.reed, parts, spread)
        side = replace(side, use="insert")
        if not design.form.is_round:
            kinds = _both_ways(laid, sticks, spokes.base_ends // 2)
            return [
                side,
                *(piece(f"{which} base stick", n, spokes.stick_reed, p, STICK_SPREAD_MM) for which, n, p in kinds),
            ]
        out = [side, piece("base stick", _full(design, spokes.base_ends), spokes.stick_reed, sticks, STICK_SPREAD_MM)]
        if spokes.base_ends % 2 and design.base.odd == "half":
            out.append(piece("half base stick", 1, spokes.stick_reed, _half(sticks), STICK_SPREAD_MM))
        if spokes.base_ends % 2 and design.base.odd == "added":
            more = ("over the edge", BASE_STICK_OVER_MM / 2, "base sticks stand out a little", "gill")
            out.append(piece("added stick", 1, spokes.stick_reed, [*_added(laid), more], STICK_SPREAD_MM))
        return out
    parts = [_across(laid, 2 * laid.top_s), *_up(laid, 2, "both ends")]
    both = spread.times(2)
    if not design.form.is_round:
        kinds = _both_ways(laid, parts, spokes.ends // 2)
        return [piece(f"{which} spoke", n * spokes.per_end, spokes.reed, p, both) for which, n, p in kinds]
    out = [piece("spoke", _full(design, spokes.ends) * spokes.per_end, spokes.reed, parts, both)]
    if spokes.ends % 2 and design.base.odd == "added":
        added = [*_added(laid), *_up(laid, 1, "its one end")]
        out.append(piece("added spoke", spokes.per_end, spokes.reed, added, spread))
    elif spokes.ends % 2 and design.base.odd == "half":
        out.append(piece("half spoke", spokes.per_end, spokes.reed, _half(parts), spread))
    return out


def _up(laid: Laid, many: int, whose: str) -> list[LengthPart]:
    """So many ends of one piece from the base's edge to the tips of the border; a mat has no wall."""
    top = "along the wall to the top of the last row"
    return [
        *([("up the wall", many * laid.top_s, f"{whose}, {top}", "derived")] if laid.top_s > 0 else []),
        ("border", many * laid.border.length_mm, f"{whose}, above the last row", "derived"),
        (SPARE, many * SPARE_MM, f"{whose}, for an untrue cut", "practice"),
    ]


def _added_pieces(laid: Laid, piece, spread: gauge.Swing) -> list[Piece]:
    """Ends pushed in where a band begins, from their slypes to the tips of the border."""
    design, out = laid.design, []
    for where in ("base", "side"):
        for tier in design.tiers(where)[1:]:
            begins = next(band for band in laid.bands if band.index == tier.first).start_s
            parts = [("pushed in", design.spokes.insertion_mm, "beside another, its slype included", "gill")]
            if where == "base":
                edge = design.form.base_width_mm / 2
                parts.append(("to the edge", max(0.0, edge - begins), "from where it is added to the edge", "derived"))
                begins = 0.0
            if laid.top_s > 0:
                why = "along the wall from where it is added to the top of the last row"
                parts.append(("up the wall", laid.top_s - begins, why, "derived"))
            parts += [
                ("border", laid.border.length_mm, "what one end needs above the last row", "derived"),
                (SPARE, SPARE_MM, "for an untrue cut", "practice"),
            ]
            assert tier.first is not None, "added before a band"
            name = f"band {tier.first + 1}: added spoke"
            more = piece(name, tier.added * design.spokes.per_end, design.spokes.reed, parts, spread)
            out.append(replace(more, use="add", band=tier.first))
    return out


def bye_depth_mm(laid: Laid) -> float:
    """How deep bye-spokes are pushed in: no deeper than the upsett goes, if that is where they stand."""
    bye_spokes = laid.design.bye_spokes
    assert bye_spokes is not None, "asked of a basket that has them"
    begins = next(band.start_s for band in laid.bands if band.index == bye_spokes.first)
    return min(bye_spokes.insertion_mm, begins) if bye_spokes.in_upsett else bye_spokes.insertion_mm


def _bye_pieces(laid: Laid, spread: gauge.Swing) -> list[Piece]:
    """One bye-spoke for every end of the side, to the border's tips or only to the last row."""
    design, bye_spokes = laid.design, laid.design.bye_spokes
    if bye_spokes is None:
        return []
    begins = next(band.start_s for band in laid.bands if band.index == bye_spokes.first)
    where = "in the upsett, beside the spoke" if bye_spokes.in_upsett else "beside the spoke at the base's edge"
    parts = [
        (
            "pushed in",
            bye_depth_mm(laid),
            f"{where}, its slype included",
            "eb11" if bye_spokes.in_upsett else "practice",
        ),
        ("up the wall", laid.top_s - begins, "along the wall from there to the top of the last row", "derived"),
    ]
    if bye_spokes.to_border:
        parts.append(("border", laid.border.length_mm, "what one end needs above the last row", "derived"))
    else:
        spread = ends_swing(laid, border=False)
    parts.append((SPARE, SPARE_MM, "for an untrue cut", "practice"))
    one = piece_of(
        "bye-spoke", design.ends_at(bye_spokes.first), bye_spokes.reed, bye_spokes.colour, parts, spread, design.units,
        design.gauge.share if design.gauge else None,
    )  # fmt: skip
    return [replace(one, use="add", band=bye_spokes.first, table="bye_spokes")]


def _across(laid: Laid, beyond_mm: float) -> LengthPart:
    """What a whole stick of a round base takes through it: of a basket at rest as the longest lies, less what runs on
    `beyond_mm`; else as wide as the base is."""
    lies = max((mm for _, mm in _whole_mm(laid)), default=0.0)
    if lies > beyond_mm:
        return "across the base", lies - beyond_mm, "as the longest lies, opened out", "derived"
    return "across the base", laid.design.form.base_mm, "diameter of the base", "derived"


def _whole_mm(laid: Laid) -> list[tuple[bool, float]]:
    """(whether it lies along an oval, mm as it is drawn) of every reed of a whole stick, of a basket at rest."""
    spokes = laid.design.spokes
    beside = 1 if spokes.inserted else spokes.per_end
    if spokes.inserted:
        names = [[stick_named(end)] for end in range(spokes.ends_at_base)]
    else:
        names = [[end_named(laid, OWN.spoke, end, k) for k in range(beside)] for end in range(spokes.ends)]
    if not all(name in laid.drawn_mm for of in names for name in of):
        return []
    is_long = np.zeros(len(names), bool) if laid.design.form.is_round else on_long_stick(laid)
    mm = laid.drawn_mm
    return [
        (bool(is_long[ends[0]]), mm[names[ends[0]][k]] + mm[names[ends[1]][-1 - k]])
        for ends in sticks_in_order(laid) if len(ends) == 2 for k in range(beside)
    ]  # fmt: skip


def _pushed_in_up_mm(laid: Laid) -> float:
    """From the base's edge to the last row, of a side spoke that is pushed in: of a basket at rest as the longest lies,
    for on a wall that is not round some have further."""
    spokes, edge = laid.design.spokes, float(laid.design.form.sides(0.0)[1]) / 2
    names = [end_named(laid, OWN.spoke, end, k) for end in range(spokes.ends) for k in range(spokes.per_end)]
    lies = max((laid.drawn_mm.get(name, 0.0) for name in names), default=0.0)
    pushed_in = max(0.0, min(spokes.insertion_mm, edge - laid.cross_mm))
    return lies - pushed_in if lies > pushed_in else laid.top_s


def _both_ways(laid: Laid, parts: list[LengthPart], sticks: int) -> list[tuple[str, int, list[LengthPart]]]:
    """("long" or "short", how many, parts) of the sticks along and across a base that is not round. Of a basket at
    rest what runs up the wall is told as the longest of them lies, for the wall leans otherwise from side to side."""
    form, along, out = laid.design.form, long_sticks(laid.design), []
    for which, count, wide, side in (
        ("long", along, form.base_length_mm, "length"), ("short", sticks - along, form.base_width_mm, "width"),
    ):  # fmt: skip
        lies = max((mm for is_long, mm in _whole_mm(laid) if is_long == (which == "long")), default=0.0)
        mine = [("across the base", wide, f"{side} of the base", "derived"), *parts[1:]]
        if mine[1][0] == "up the wall" and lies > wide:
            mine[1] = ("up the wall", lies - wide, f"{mine[1][2]}, as the longest lies", "derived")
        if count > 0:
            out.append((which, count, mine))
    return out


def _full(design: Design, ends: int) -> int:
    """Full spokes or sticks for so many ends: one more where the odd end is what is left of a full one."""
    return (ends + 1) // 2 if design.base.odd == "cut out" else ends // 2


def _added(laid: Laid) -> list[LengthPart]:
    """From where a single one is pushed in beside another, after the first band, to the edge of the base."""
    design = laid.design
    from_mm = laid.base[0].end_s if laid.base else laid.cross_mm
    return [
        ("pushed in", design.spokes.insertion_mm, "beside another, its slant included", "gill"),
        ("to the edge", max(0.0, design.form.base_mm / 2 - from_mm), "from the first band to the edge", "derived"),
    ]


def _half(parts: list[LengthPart]) -> list[LengthPart]:
    half = sum(part[1] for part in parts) / 2
    return [
        ("half a full one", half, "it runs from the middle out", "derived"),
        ("for binding", HALF_SPOKE_MM, "its end is bound into the cross", "white"),
    ]
