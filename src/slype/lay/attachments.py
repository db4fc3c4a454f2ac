"""Handles on a laid basket: sizes the design leaves open, reed to cut, time.

A handle's strength is not rated: lengths only.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

from ..errors import DesignError, Unweavable
from ..form.handles import ENDS_MM, SIDE_ACROSS_MM, SIDE_HEIGHT_MM, Handle, Twist, arch_mm, twist, wrapping
from ..quantity import show_length
from .values import Laid

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
    place = laid.design.at("handle", index)
    units, side, mouth = laid.design.units, handle.record.at_side, span_mm(laid)
    if not laid.side:
        raise Unweavable("there is no side to push a handle into.", place, "Weave a side, or leave the handle out.")
    usual = min(SIDE_ACROSS_MM, mouth / 2) if side else mouth
    across = handle.across_mm or usual
    if across > mouth * FOOT_SLACK:
        raise Unweavable(
            f"its feet stand {show_length(across, units)} apart, and the mouth is only {show_length(mouth, units)} "
            "across.",
            place / "across",
            "Leave across out, or widen the mouth.",
        )
    across = min(across, mouth)
    height = handle.height_mm or (SIDE_HEIGHT_MM if side else laid.finished_height_mm)
    deep = laid.top_s + laid.border_height_mm
    # Its slanted end stays above the base: it would stand out below.
    depth = handle.depth_mm or min(handle.record.pushed_mm, max(deep - handle.thickest_mm, deep / 2))
    if depth > deep * FOOT_SLACK:
        raise Unweavable(
            f"its ends go down {show_length(depth, units)}, and border and side are only {show_length(deep, units)} "
            "deep.",
            place / "depth",
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


def lengths_of(each: HandleLaid) -> int:
    """Into how many lengths of reed each wrapping strand falls."""
    assert each.handle.wrap is not None, "a core that is wrapped"
    return max(1, math.ceil(each.wrapped_mm / (each.handle.wrap.strand_mm - 2 * ENDS_MM)))
