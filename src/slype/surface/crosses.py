"""How the sticks of a round base hold each other in its middle: laid, pierced or interlaced, as heights.

Everywhere `n` is mm through the base, positive on its underside, and sticks that go one way are those of arms 0 and 2.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate

import numpy as np

from ..design.values import Design
from ..form.wall import smooth_through
from ..lay.values import Laid

HALF_STICK = math.sqrt(0.5)
"""Thickness of one half of a split stick, drawn as a round reed of the same section, in thicknesses of the whole."""
SLIT_OUT = 0.8  # how far a slit runs on beyond the sticks that it holds, in thicknesses (common practice, no source)
HELD = 0.25  # how far beyond a set's outer sticks one that passes them stays level, in thicknesses
LEVEL_OUT = 3.0  # how far beyond the last set an interlaced stick has come level, in thicknesses


def arm_of(ends: np.ndarray, arms: Sequence[int]) -> np.ndarray:
    """Which arm of the cross each of `ends` (k,) belongs to, from 0."""
    return np.searchsorted(np.cumsum(arms), ends, side="right")


def pairs_of(arms: Sequence[int]) -> list[tuple[int, ...]]:
    """The base ends that belong to each stick, from 0: sticks of arms 0 and 2, then of 1 and 3; of each last one that
    has a single end, if there is any."""
    first, out = [0, *accumulate(map(int, arms))], []
    for arm in (0, 1):
        here, there = range(first[arm], first[arm + 1]), range(first[arm + 2], first[arm + 3])
        # Round the ring the far ends of neighbouring sticks follow each other the other way.
        out += [*zip(here, reversed(there), strict=False), *((end,) for end in here[len(there) :])]
    return out


def below(design: Design) -> np.ndarray:
    """True for every base end (ends,) of the sticks that lie below, or are split (see `values.arms`)."""
    ends = design.spokes.ends_at_base
    # An odd end is laid with the upper sticks, and its arm comes first.
    return (arm_of(np.arange(ends), design.arms) + ends) % 2 == 0


def past_half_mm(design: Design, ends: np.ndarray) -> np.ndarray:
    """How much further round from the middle of its arm each of `ends` (k,) lies because a half stick lies beside whole
    ones, the last of its arm: these run straight through to the arm across, both arms as near their middles as may be.
    """
    arms = design.arms
    quarter = _beside(design) * design.spokes.stick_reed.diameter_mm / 4
    return np.where(arm_of(ends, arms) % 2 == 0, quarter * (arms[0] - arms[2]), 0.0)


def half_outside_mm(design: Design) -> float:
    """How far from the middle line of its arm the outer side of a half stick lies, past all others of the arm."""
    arms, wide = design.arms, _beside(design) * design.spokes.stick_reed.diameter_mm
    return wide * (arms[0] / 2 + (arms[0] - arms[2]) / 4)


def is_half(design: Design, end: int) -> bool:
    """True for the base end of a half stick, or of one whose other end is cut out; not for one that is added only after
    the first band."""
    return design.base.odd != "added" and (end,) in pairs_of(design.arms)


# Pierced -------------------------------------------------------------------------------------------------------


def slit_mm(laid: Laid) -> float:
    """How far from the middle the slit of a split stick reaches: past the sticks that go through it."""
    through = max(arm for arm, low in zip(laid.design.arms, _arms_below(laid.design), strict=True) if not low)
    return (through * _beside(laid.design) / 2 + SLIT_OUT) * laid.design.spokes.stick_reed.diameter_mm


def _arms_below(design: Design) -> list[bool]:
    return [(arm + design.spokes.ends_at_base) % 2 == 0 for arm in range(4)]


def half_n(laid: Laid, along: np.ndarray) -> np.ndarray:
    """n of the lower half of a split stick `along` (k,) mm from the middle; the upper half is its mirror image."""
    thick, slit = laid.design.spokes.stick_reed.diameter_mm, slit_mm(laid)
    over, closed = (1 + HALF_STICK) / 2 * thick, (1 - HALF_STICK) / 2 * thick
    knots = np.array([0.0, max(slit - 1.3 * SLIT_OUT * thick, 1e-3), slit])
    return smooth_through(knots, np.array([over, over, closed]), np.minimum(along, slit))


# Interlaced ----------------------------------------------------------------------------------------------------


def _beside(design: Design) -> int:
    """Reeds of one end that lie side by side in the base."""
    return 1 if design.spokes.inserted else design.spokes.per_end


def _sets(design: Design) -> tuple[int, float]:
    """(sets each way, mm from the middle of one to that of the next): a thickness of room between two."""
    base, thick = design.base, design.spokes.stick_reed.diameter_mm
    many = design.spokes.ends_at_base // 2 // (2 * base.sets)
    return many, (base.sets * _beside(design) + 1) * thick


def parted_mm(design: Design, ends: np.ndarray) -> np.ndarray:
    """How much further from the middle of its arm each of `ends` (k,) lies because interlaced sets part each other; 0
    in other crosses."""
    if not design.base.sets:
        return np.zeros(np.shape(ends))
    many, _ = _sets(design)
    within = ends - np.cumsum([0, *design.arms])[arm_of(ends, design.arms)]
    return (within // design.base.sets - (many - 1) / 2) * design.spokes.stick_reed.diameter_mm


def laced_n(laid: Laid, end: int, along: np.ndarray) -> np.ndarray:
    """n of an interlaced stick `along` (k,) mm from the middle towards base end `end`: over one set, under the next."""
    design = laid.design
    thick, (many, apart) = design.spokes.stick_reed.diameter_mm, _sets(design)
    arm = int(arm_of(np.asarray(end), design.arms))
    own = (end - sum(design.arms[:arm])) // design.base.sets
    # Counted along two fixed directions, those of arms 0 and 1; an arm's own sets count the way round it.
    own = own if arm in (0, 3) else many - 1 - own
    crossed = np.arange(many) if arm in (0, 1) else np.arange(many)[::-1]
    under = (crossed + own) % 2 == (0 if arm % 2 == 0 else 1)
    flat = ((design.base.sets * _beside(design) - 1) / 2 + HELD) * thick
    middles = (np.arange(many) - (many - 1) / 2) * apart
    at = np.stack([middles - flat, middles + flat], axis=1).ravel()
    n = np.repeat(np.where(under, thick / 2, -thick / 2), 2)
    level = at[-1] + LEVEL_OUT * thick
    at, n = np.r_[-level, at, level], np.r_[0.0, n, 0.0]
    return smooth_through(at, n, np.minimum(along, level))
