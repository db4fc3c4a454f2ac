"""Handles on a laid basket: sizes the design leaves open, reed to cut, time.

A handle's strength is not rated: lengths only.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

from ..errors import DesignError, Unweavable
from ..form.handles import ENDS_MM, SIDE_ACROSS_MM, SIDE_HEIGHT_MM, Handle, Twist, arch_mm, twist, wrapping
from .laying import Laid
from .piece import SPARE_MM, LengthPart, Piece, piece_of

RISE_SPREAD_MM = 12.7
"""How much higher or lower a handle may be set by eye, along each leg (common practice, no source)."""
FOOT_SLACK = 1.02
"""How far beyond the mouth a handle's feet may be said to stand: hands and rulers (common practice, no source)."""


@dataclass(frozen=True)
class HandleLaid:
    """A handle in place. `across_mm` foot to foot, `height_mm` above the border, `depth_mm` pushed down, `arch_mm` the
    part above the border; `spaces` from one foot round to the other; `turns` of wrapping and `wrapped_mm` of each
    strand of it (0 where bare), or the `twist` of a rope. `whence` says why each size is what it is: (key, why,
    source).
    """

    index: int
    handle: Handle
    across_mm: float
    height_mm: float
    depth_mm: float
    arch_mm: float
    spaces: int
    turns: int
    wrapped_mm: float
    twist: Twist | None
    whence: tuple[tuple[str, str, str], ...]

    @property
    def place(self) -> str:
        """`handle 1`: what messages and advice call it."""
        return f"handle {self.index + 1}"

    @property
    def legs_mm(self) -> float:
        """Length of the arch and both ends in the wall."""
        return self.arch_mm + 2 * self.depth_mm

    def feet(self, ends: int) -> list[tuple[int, int]]:
        """The two spokes, from 0, that each of these handles stands beside, among so many ends: side handles share out
        the whole round, bows cross."""
        share = self.handle.count * (1 if self.handle.record.at_side else 2)
        at = [round(k * ends / share) for k in range(self.handle.count)]
        return [(first % ends, (first + self.spaces) % ends) for first in at]


@functools.lru_cache(maxsize=8)
def lay_handles(laid: Laid) -> tuple[HandleLaid, ...]:
    """Every handle of the design on this basket, fitted once and remembered with it. Raises Unweavable when one cannot
    stand on it."""
    return tuple(_lay(laid, i, handle) for i, handle in enumerate(laid.design.handles))


def _lay(laid: Laid, index: int, handle: Handle) -> HandleLaid:
    place = f"{laid.design.name}, handle {index + 1}"
    side, mouth = handle.record.at_side, span_mm(laid)
    if not laid.side:
        raise Unweavable("there is no side to push a handle into.", place, "Weave a side, or leave the handle out.")
    usual = min(SIDE_ACROSS_MM, mouth / 2) if side else mouth
    across = handle.across_mm or usual
    if across > mouth * FOOT_SLACK:
        raise Unweavable(
            f"its feet stand {across / 10:.1f} cm apart, but the mouth is only {mouth / 10:.1f} cm across.",
            f"{place}, across",
            "Leave across out, or widen the mouth.",
        )
    across = min(across, mouth)
    height = handle.height_mm or (SIDE_HEIGHT_MM if side else laid.finished_height_mm)
    deep = laid.top_s + laid.border_height_mm
    depth = handle.depth_mm or min(handle.record.pushed_mm, deep)
    if depth > deep * FOOT_SLACK:
        raise Unweavable(
            f"its ends go down {depth / 10:.1f} cm, but border and side are only {deep / 10:.1f} cm deep.",
            f"{place}, depth",
            "Push it less deep, or weave a higher side.",
        )
    arch = arch_mm(across, height)
    turns, wrapped, twisted = 0, 0.0, None
    if handle.record.twisted:
        try:
            twisted = twist(handle, arch, f"handle {index + 1}")
        except DesignError as trouble:
            raise trouble.inside(laid.design.name) from None
        if handle.core is None:  # its own rods go down into the wall
            turns = round(arch / twisted.turn_mm)
    elif handle.wrap is not None:
        assert handle.core is not None, "only a core is wrapped"
        turns, wrapped = wrapping(arch, handle.cores, handle.core.diameter_mm, handle.wrap.diameter_mm, handle.strands)
    return HandleLaid(
        index, handle, across, height, depth, arch, _spaces(laid, across), turns, wrapped, twisted,
        _whence(handle, depth < handle.record.pushed_mm and handle.depth_mm is None),
    )  # fmt: skip


def span_mm(laid: Laid) -> float:
    """What a bow spans, spoke to spoke, below the border: the mouth, the short way where it is not round."""
    return float(min(laid.design.form.sides(laid.top_s)[:2]))


def _spaces(laid: Laid, across: float) -> int:
    """Spaces between the two ends that a handle's feet stand beside, the short way round; at least one.

    On a mouth that is not round, feet nearer than the whole span stand on one side, a spacing apart from end to end.
    """
    ends = laid.design.top_ends
    if across >= span_mm(laid) * 0.99:
        return ends // 2
    turn = 2 * math.asin(min(1.0, across / span_mm(laid))) / (2 * math.pi)
    apart = turn * ends if laid.design.form.is_round else across / laid.border_spacing_mm
    return max(1, min(ends // 2, round(apart)))


def _whence(handle: Handle, short: bool) -> tuple[tuple[str, str, str], ...]:
    side, own = handle.record.at_side, ("as the design says", "derived")
    across = ("four fingers go in", "practice") if side else ("the mouth, at the spokes", "derived")
    height = ("four fingers go in", "practice")
    if not side:
        height = ("as high above the border as the border above the table", "mcgaw")
    deep = ("as deep as side and border go", "derived") if short else ("usual depth", handle.record.pushed_source)
    return (
        ("across", *(own if handle.across_mm else across)),
        ("height", *(own if handle.height_mm else height)),
        ("depth", *(own if handle.depth_mm else deep)),
    )


# Pieces --------------------------------------------------------------------------------------------------------


def handle_pieces(laid: Laid, handles: tuple[HandleLaid, ...]) -> list[Piece]:
    """What every handle is cut from: cores, then wrapping strands or twisted rods."""
    kinds = [each.handle.kind for each in handles]
    return [
        replace(piece, use="handle")
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
    spare = ("to spare", 2 * SPARE_MM, "both ends, for an untrue cut", "practice")
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
        out.append(_wrapping_piece(laid, each, f"{name}{kind} wrapping strand"))
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


def lengths_of(each: HandleLaid) -> int:
    """Into how many lengths of reed each wrapping strand falls."""
    assert each.handle.wrap is not None, "a core that is wrapped"
    return max(1, math.ceil(each.wrapped_mm / (each.handle.wrap.strand_mm - 2 * ENDS_MM)))


# Time ----------------------------------------------------------------------------------------------------------


def handle_seconds(laid: Laid, each: HandleLaid) -> float:
    """Seconds for one row of the design's handles: a turn is reckoned as a stroke, a foot or a new strand as a join."""
    pace, handle = laid.design.pace, each.handle
    turns = each.turns
    if each.twist is not None:
        turns = math.ceil(each.arch_mm / each.twist.turn_mm) * each.twist.rods
    new = lengths_of(each) * handle.strands if each.wrapped_mm else (each.twist.rods if each.twist else 0)
    return handle.count * (turns / pace.strokes_per_minute * 60 + (2 + new) * pace.join_seconds)


def as_json(each: HandleLaid) -> dict[str, object]:
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
