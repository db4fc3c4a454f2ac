"""Pieces to cut for what is fitted to a basket: its handles, its foot, the spokes that stand through a board."""

from __future__ import annotations

import math
from dataclasses import replace

from ..form.handles import ENDS_MM, wrapping
from ..lay.attachments import RISE_SPREAD_MM, HandleLaid, lengths_of
from ..lay.boards import BoardLaid
from ..lay.feet import FootLaid
from ..lay.values import SPARE_MM, Laid
from .piece import SPARE, LengthPart, Piece, piece_of

# Pieces --------------------------------------------------------------------------------------------------------


def handle_pieces(laid: Laid, handles: tuple[HandleLaid, ...]) -> list[Piece]:
    """What every handle is cut from: cores, then wrapping strands or twisted rods."""
    kinds = [each.handle.kind for each in handles]
    return [
        replace(piece, use="handle", table="handle")
        for each in handles
        for piece in _pieces(laid, each, kinds.count(each.handle.kind) > 1)
    ]


def _pieces(laid: Laid, each: HandleLaid, numbered: bool) -> list[Piece]:
    handle, units = each.handle, laid.design.units
    name = f"{each.place}: " if numbered else ""
    kind = handle.record.name
    why = {key: (reason, source) for key, reason, source in each.whence}
    above = ("over the arch", each.arch_mm, "a half ellipse above the border", "derived")
    feet = ("pushed down", 2 * each.depth_mm, f"both ends beside a spoke: {why['depth'][0]}", why["depth"][1])
    spare = (SPARE, 2 * SPARE_MM, "both ends, for an untrue cut", "practice")
    play = (-2 * RISE_SPREAD_MM, 2 * RISE_SPREAD_MM)
    out = []
    if handle.core is not None:
        parts: list[LengthPart] = [above, feet, spare]
        many = handle.count * handle.cores
        out.append(piece_of(f"{name}{kind} core", many, handle.core, handle.colour, parts, play, units))
    if each.twist is not None:
        assert handle.wrap is not None, "a rope is twisted of its own reed"
        more = each.twist.length_mm - each.arch_mm
        parts = [above, ("twist", more, "each rod winds round instead of going straight", "derived")]
        if handle.core is None:
            parts += [feet, spare]
        else:
            parts.append(("ends", 2 * ENDS_MM, "both ends, pushed in beside the core and tucked", "practice"))
        share = each.twist.length_mm / each.arch_mm
        many, swing = handle.count * each.twist.rods, (play[0] * share, play[1] * share)
        out.append(piece_of(f"{name}{kind} rod", many, handle.wrap, handle.colour, parts, swing, units))
    elif handle.wrap is not None:
        one = "strand" if handle.strands > 1 else "length"  # strands lie side by side, lengths follow one another
        out.append(_wrapping_piece(laid, each, f"{name}{kind} wrapping {one}"))
    return out


def _wrapping_piece(laid: Laid, each: HandleLaid, name: str) -> Piece:
    """Strands of a close wrapping; where one is longer than its reed, so many lengths of it, each with its ends."""
    handle, core, wrap = each.handle, each.handle.core, each.handle.wrap
    assert core is not None and wrap is not None, "a core that is wrapped"
    lengths = lengths_of(each)
    around = each.wrapped_mm / lengths
    share = "" if lengths == 1 else f", in {lengths} lengths"
    parts = [
        ("turns", around, f"{each.turns} turns side by side along the arch{share}", "derived"),
        ("ends", 2 * ENDS_MM, "both ends, laid along the core under the turns", "practice"),
    ]
    low, high = (
        wrapping(each.arch_mm, handle.cores, core.diameter_mm, mm, handle.strands)[1] / lengths - around
        for mm in reversed(wrap.diameter_range_mm)
    )
    many = handle.count * handle.strands * lengths
    return piece_of(name, many, wrap, handle.colour, parts, (min(low, 0), max(high, 0)), laid.design.units)


def foot_pieces(found: FootLaid | None, units: str) -> list[Piece]:
    """Ends of the foot, and its weavers."""
    if found is None:
        return []
    foot, laid = found.foot, found.laid
    need = laid.border
    swing = (need.range_mm[0] - need.length_mm, need.range_mm[1] - need.length_mm)
    parts: list[LengthPart] = [
        ("pushed in", foot.insertion_mm, "beside a spoke at the base's edge, its slype included", "practice"),
        ("down the foot", laid.top_s, "the rows woven on it", "derived"),
        ("border", need.length_mm, "what one end needs below its last row", "derived"),
        (SPARE, SPARE_MM, "for an untrue cut", "practice"),
    ]
    out = [piece_of("foot end", found.ends, foot.reed, foot.colour, parts, swing, units)]
    return [replace(each, use="foot", table="foot") for each in (*out, *_weavers(found, units))]


def _weavers(found: FootLaid, units: str) -> list[Piece]:
    band = found.laid.bands[0]
    woven, (low, high) = float(band.row_mm.sum()), band.woven_range_mm()
    lengths = max(1, math.ceil(woven / (band.band.reed.strand_mm - 2 * band.tail_mm)))
    share = "" if lengths == 1 else f", in {lengths} lengths"
    colours = [colour for of_weaver in band.colours for colour in of_weaver]
    remark = f"{band.rows} rows of {band.band.weave.name}{share}"
    return [
        piece_of(
            "foot weaver",
            colours.count(colour) * lengths,
            band.band.reed,
            colour,
            [("rows", woven / lengths, remark, "derived"), ("ends", 2 * band.tail_mm, "both ends to tuck", "practice")],
            ((low - woven) / lengths, (high - woven) / lengths),
            units,
        )
        for colour in dict.fromkeys(colours)
    ]


def spoke_parts(laid: Laid, board: BoardLaid) -> list[LengthPart]:
    """Parts of the length of a spoke that stands through the board."""
    return [
        ("foot", board.foot.length_mm, "what one end needs below the board", "derived"),
        ("through the board", board.thickness_mm, "its thickness", "derived"),
        ("up the wall", laid.top_s, "along the wall to the top of the last row", "derived"),
        ("border", laid.border.length_mm, "what one end needs above the last row", "derived"),
        (SPARE, 2 * SPARE_MM, "both ends, for an untrue cut", "practice"),
    ]
