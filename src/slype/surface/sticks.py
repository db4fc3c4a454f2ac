"""Where the reeds of a woven base stand: side by side in the cross, opened out row by row, to even places at its edge.

How they are opened out says `surface.opening_out`, of ovals `surface.oval_sticks`. Lengths mm.
"""

from __future__ import annotations

import functools

import numpy as np

from ..lay.values import BandLaid, Laid
from .added_ends import along_spoke, among_last_ends, ends_by_tier
from .crosses import arm_of, parted_mm, past_half_mm
from .curve import SameBase
from .opening_out import middles, opened, stand_in_groups
from .oval_sticks import on_long_stick, oval_sticks


def base_sticks(laid: Laid) -> list[np.ndarray]:
    """Base reeds from the centre to the edge, each as points (x, y) mm: four arms of a cross, fanning out by bands.

    The reeds of one end follow each other. One that is added on the way begins where its slype lies.
    """
    return list(_base_sticks(SameBase(laid)))


@functools.lru_cache(maxsize=4)
def _base_sticks(same: SameBase) -> tuple[np.ndarray, ...]:
    found = _worked(same.laid)
    for each in found:
        each.setflags(write=False)
    return tuple(found)


def _worked(laid: Laid) -> list[np.ndarray]:
    if laid.design.base.is_board:
        return []
    spokes = laid.design.spokes
    beside = 1 if spokes.inserted else spokes.per_end
    first = _round_sticks(laid) if laid.design.form.is_round else oval_sticks(laid)
    if len(laid.design.tiers("base")) == 1:
        return first
    out = []
    for tier, numbers in ends_by_tier(laid, "base"):
        for k in range(beside):
            on = _later(laid, tier, numbers, k - (beside - 1) / 2)
            out.append(np.concatenate([first[numbers[0] * beside + k], on]) if tier == 0 else on)
    return out


def _later(laid: Laid, tier: int, numbers: list[int], shift: float) -> np.ndarray:
    """Points (x, y) mm of a base end from where ends are added to the edge, `shift` reeds aside."""
    design = laid.design
    thick, edge = design.spokes.stick_reed.diameter_mm, _edge(laid)
    begins = laid.tier_start_mm("base", max(tier, 1))
    low = max(begins - design.spokes.insertion_mm, laid.cross_mm) if tier else begins
    s = np.linspace(low, edge, 24)
    u = along_spoke(laid, "base", tier, numbers, s)
    if tier:  # below, it lies beside the one it is pushed in beside, which stands closer in to the middle
        own = design.tiers("base")[tier]
        old = np.full(len(s), own.came[numbers[0]] + 0.5)
        with_it = among_last_ends(laid, "base", tier - 1, old, s)
        aside = (u[0] - with_it[0]) * begins / np.maximum(s, 1.0)
        u = np.where(s < begins, with_it + aside, u)
    around = 2 * np.pi * np.maximum(design.form.base_radius(s), 1.0) / design.tiers("base")[-1].ends
    x, y, _, _ = design.form.base_place(design.turn("base", u + shift * thick / around), s)
    return np.stack([y, x], axis=1) if design.form.is_round else np.stack([x, y], axis=1)


def _edge(laid: Laid) -> float:
    """Half the width of the base, where its sticks end, turn up or turn down into the border of a mat."""
    woven = laid.base_reached_mm / 2
    if laid.is_mat or (laid.design.spokes.inserted and laid.base):  # trimmed close to the last row
        return woven
    return max(woven, laid.design.form.base_width_mm / 2)


def _round_sticks(laid: Laid) -> list[np.ndarray]:
    spokes = laid.design.spokes
    ends, thick = spokes.ends_at_base, spokes.stick_reed.diameter_mm
    beside = 1 if spokes.inserted else spokes.per_end
    reeds = np.arange(ends * beside)
    # Toward the centre a stick runs on parallel to its arm.
    arms, radius = laid.design.arms, laid.cross_mm * 0.75
    angle = stand_in_groups(reeds, ends, beside, arms, radius, thick)
    out = radius / np.cos(angle - middles(reeds, ends, beside, arms))
    first = out[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    arm = _arm_angle(reeds // beside, arms)
    aside = parted_mm(laid.design, reeds // beside) + past_half_mm(laid.design, reeds // beside)
    first += aside[:, None] * np.stack([-np.sin(arm), np.cos(arm)], axis=1)
    across = -first[:, 0] * np.sin(arm) + first[:, 1] * np.cos(arm)
    centre = np.stack([-across * np.sin(arm), across * np.cos(arm)], axis=1)
    near = 2 * np.pi * (reeds // beside + 0.5) / ends
    angle = np.arctan2(first[:, 1], first[:, 0])
    angle += 2 * np.pi * np.round((near - angle) / (2 * np.pi))
    at, angles = opened(laid, reeds, angle)
    if len(laid.design.tiers("base")) == 1:
        at = np.append(at, _edge(laid))
        angles = np.concatenate([angles, [stand_in_groups(reeds, ends, beside, [1] * ends, at[-1], thick)]])
    later = at[:, None, None] * np.stack([np.cos(angles), np.sin(angles)], axis=2)
    return list(np.concatenate([[centre, first], later]).transpose(1, 0, 2))


EVEN = 1.3
"""The widest gap between ends over the narrowest up to which an eye calls them even (common practice, no source)."""


def even_from(laid: Laid, band: BandLaid) -> int | None:
    """From which row (from 1) of a band of the base on its ends stand evenly all round; None where they do not yet."""
    if len(laid.design.tiers("base")) > 1:  # others are pushed in between them on the way
        return None
    lines = base_sticks(laid)
    ends = np.linspace(0, len(lines), laid.design.spokes.ends_at_base, endpoint=False).astype(int)
    for row, radius in enumerate(band.s, start=1):
        at = np.array([_angle_at(lines[end], float(radius)) for end in ends])
        gaps = np.diff(at, append=at[0] + 2 * np.pi) % (2 * np.pi)
        if gaps.max() <= EVEN * gaps.min():
            return row
    return None


def _angle_at(line: np.ndarray, radius: float) -> float:
    """In which direction a stick's points `line` (k, 2) lie that are so far from the middle."""
    way = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    return float(np.interp(radius, np.hypot(line[:, 0], line[:, 1]), way))


def short_apart(laid: Laid) -> float | None:
    """How far the short sticks of an oval base lie from each other, mm from middle to middle; None for fewer than two.
    """
    of_short = ~on_long_stick(laid)
    beside = 1 if laid.design.spokes.inserted else laid.design.spokes.per_end
    at = sorted({round(float(line[-1, 0]), 6) for line, short in zip(base_sticks(laid)[::beside], of_short, strict=True)
                 if short and line[-1, 1] > 0})  # fmt: skip
    return float(np.mean(np.diff(at))) if len(at) > 1 else None


def _arm_angle(ends: np.ndarray, arms: list[int]) -> np.ndarray:
    """Which way the arm of each of `ends` goes, rad: square to its neighbours, near the middle of its ends' places."""
    sizes, first = np.array(arms), np.cumsum([0, *arms[:-1]])
    turn = 2 * np.pi * (first + sizes / 2) / sum(arms)
    square = np.arange(4) * np.pi / 2
    return (square + float(np.mean(turn - square)))[arm_of(ends, arms)]
