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
    part above the border; `spaces` from one foot round to the other, `begins` the spoke, from 0, beside which the first
    of these handles stands; `turns` of wrapping and `wrapped_mm` of each
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
    begins: int = 0

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
        at = [self.begins + round(k * ends / share) for k in range(self.handle.count)]
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
    spaces, begins = _placed(laid, across, side)
    return HandleLaid(
        index, handle, across, height, depth, arch, spaces, turns, wrapped, twisted,
        _whence(handle, depth < handle.record.pushed_mm and handle.depth_mm is None), begins,
    )  # fmt: skip


def span_mm(laid: Laid) -> float:
    """What a bow spans, spoke to spoke, below the border: the mouth, the short way where it is not round."""
    return float(min(laid.design.form.sides(laid.top_s)[:2]))


NOT_NEAREST = 0.75
"""So many spaces from what was asked a handle's feet may stand, where it then stands over the middle of an end."""


def _placed(laid: Laid, across: float, at_side: bool) -> tuple[int, int]:
    """(spaces between the two ends that a handle's feet stand beside, the short way round, at least one; the end, from
    0, beside which the first of them stands).

    On a mouth that is not round, feet nearer than the whole span stand on one side, a spacing apart from end to end. Of
    such a one side handles stand over the middles of its ends, by which it is carried level (common practice, no
    source); space 1 lies in the middle of a long side (`space.tubes`), a quarter of the round from there.
    """
    ends = laid.design.top_ends
    if across >= span_mm(laid) * 0.99:
        return ends // 2, 0
    if laid.design.form.is_round:
        turn = 2 * math.asin(min(1.0, across / span_mm(laid))) / (2 * math.pi)
        return max(1, min(ends // 2, round(turn * ends))), 0
    apart = across / laid.border_spacing_mm
    spaces = max(1, min(ends // 2, round(apart)))
    if not at_side:
        return spaces, 0
    # An end stands half a space past its space: of feet beside f and f + n the middle lies at f + (n + 1) / 2.
    middle = [n for n in (spaces - 1, spaces + 1) if 0 < n <= ends // 2 and abs(n - apart) < NOT_NEAREST]
    if (ends % 4, spaces % 2) in ((0, 0), (2, 1)):
        spaces = min([*middle, spaces], key=lambda n: (n == spaces, abs(n - apart)))
    return spaces, round(ends / 4 - (spaces + 1) / 2)


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
