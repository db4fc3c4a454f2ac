"""Ends added on the way: where each stands while they open out to even spaces. Lengths mm.

Curves are drawn on the ends that stand last; what lies on an earlier tier is carried over to these, and what lies where
ends have just been added follows them as they open out.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..lay.values import BandLaid, Laid

OPENS_IN = 0.8
"""Rise, in spaces between the new ends, in which they open out from where they were pushed in (common practice, no
source)."""
FINE = 64  # places per space of the table that turns a turn round into a place


def place_of(laid: Laid, where: str, turn: np.ndarray, tier: int = -1) -> np.ndarray:
    """Places among the ends of a tier, from turns round: `Design.turn` turned round. Any number of turns."""
    design = laid.design
    ends = design.tiers(where)[tier].ends
    if design.form.is_round:
        return turn * ends
    table = np.linspace(0.0, ends, FINE * ends + 1)
    turns = design.turn(where, table, tier)
    whole = np.floor(turn - turns[0])
    return whole * ends + np.interp(turn - whole, turns, table)


def pushed_in(laid: Laid, where: str, tier: int) -> np.ndarray:
    """Where the ends of a tier (ends,) stand as it begins, in its own places: old ones as before, new ones beside."""
    design = laid.design
    above, below = design.tiers(where)[tier], design.tiers(where)[tier - 1]
    was = place_of(laid, where, design.turn(where, np.arange(below.ends) + 0.5, tier - 1), tier)
    s = laid.tier_start_mm(where, tier)
    radius = design.form.base_radius(s) if where == "base" else design.form.radius(s)
    reed = design.spokes.stick_reed if where == "base" else design.spokes.reed
    aside = reed.diameter_mm * design.spokes.per_end * above.ends / (2 * np.pi * max(float(radius), 1.0))
    out, last_old = np.zeros(above.ends), -1
    for end, (came, new) in enumerate(zip(above.came, above.new, strict=True)):
        if not new:
            last_old = came
        out[end] = was[came] + (0.0 if not new else aside if last_old == came else -aside)
    return out


def among_last_ends(laid: Laid, where: str, tier: int, u: np.ndarray, s: np.ndarray) -> np.ndarray:
    """Places (k,) among the ends that stand last, of places `u` among those of `tier`, at `s` along the surface."""
    design = laid.design
    tiers = design.tiers(where)
    if len(tiers) == 1:
        return u
    if tier:
        ends, begins = tiers[tier].ends, laid.tier_start_mm(where, tier)
        radius = design.form.base_radius(begins) if where == "base" else design.form.radius(begins)
        rise = OPENS_IN * 2 * np.pi * max(float(radius), 1.0) / ends
        done = np.clip((s - begins) / rise, 0.0, 1.0)
        off = pushed_in(laid, where, tier) - np.arange(ends) - 0.5
        knots = np.arange(-1, ends + 1) + 0.5
        shift = np.interp(np.mod(u, ends), knots, np.r_[off[-1], off, off[0]])
        u = u + shift * (1 - done * done * (3 - 2 * done))
    if tier in (-1, len(tiers) - 1):
        return u
    return place_of(laid, where, design.turn(where, u, tier))


def apart_mm(laid: Laid, band: BandLaid, s: float) -> np.ndarray:
    """How far, mm, from each of what a band's weavers pass (spaces,) to the next, straight across, at `s` along the
    surface: on a long basket not the same at its sides as round its ends. Groups are taken in the mean."""
    design, where = laid.design, band.band.where
    if band.band.group > 1:
        return np.full(band.spaces, float(np.interp(s, band.s, band.spacing)))
    at = np.full(band.spaces + 1, s)
    u = among_last_ends(laid, where, band.tier, np.arange(band.spaces + 1) + 0.5, at)
    place = design.form.base_place if where == "base" else design.form.place
    x, y, _, _ = place(design.turn(where, u), at)
    return np.hypot(np.diff(x), np.diff(y))


def beside(stand_mm: Sequence[float]) -> np.ndarray:
    """Middles, mm, of reeds that stand side by side, from the middle of all of them."""
    edges = np.r_[0.0, np.cumsum(stand_mm)]
    return (edges[1:] + edges[:-1]) / 2 - edges[-1] / 2


def bye_starts_mm(laid: Laid) -> float:
    """Where along the wall the first row lies that is woven over the bye-spokes."""
    bye_spokes = laid.design.bye_spokes
    assert bye_spokes is not None, "asked of a basket that has them"
    return next(band.start_s for band in laid.bands if band.index == bye_spokes.first)


def aside_mm(laid: Laid, reed: int, s: np.ndarray) -> np.ndarray:
    """How far reed number `reed` of an end stands from the end's middle at `s` (k,): it makes room for a bye-spoke.

    Where the bye-spoke is only pushed in it lies beside the others; they draw together round their middle above.
    """
    spokes, bye_spokes = laid.design.spokes, laid.design.bye_spokes
    alone = beside([spokes.reed.diameter_mm] * spokes.per_end)
    if bye_spokes is None:
        return np.full(len(s), alone[reed])
    both = beside([*[spokes.reed.diameter_mm] * spokes.per_end, bye_spokes.reed.diameter_mm])
    outer = alone[-1] + (spokes.reed.diameter_mm + bye_spokes.reed.diameter_mm) / 2
    low = alone[reed] if reed < spokes.per_end else outer
    rise = 2 * (spokes.reed.diameter_mm + bye_spokes.reed.diameter_mm)
    done = np.clip((s - bye_starts_mm(laid)) / rise, 0.0, 1.0)
    return low + (both[reed] - low) * done * done * (3 - 2 * done)


def ends_by_tier(laid: Laid, where: str) -> list[tuple[int, list[int]]]:
    """For every end that stands last: (tier in which it is pushed in, its number in every tier from there on)."""
    tiers = laid.design.tiers(where)
    out = []
    for end in range(tiers[-1].ends):
        numbers, tier = [end], len(tiers) - 1
        while tier and not tiers[tier].new[numbers[0]]:
            numbers.insert(0, tiers[tier].came[numbers[0]])
            tier -= 1
        out.append((tier, numbers))
    return out


def numbers_in(laid: Laid, where: str, tier: int) -> list[int]:
    """For every end that stands last its number in a tier; below its own, that of the one it is pushed in beside."""
    tiers, out = laid.design.tiers(where), []
    for born, numbers in ends_by_tier(laid, where):
        if tier >= born:
            out.append(numbers[tier - born])
            continue
        number = numbers[0]
        for above in range(born, tier, -1):
            number = tiers[above].came[number]
        out.append(number)
    return out


def along_spoke(laid: Laid, where: str, tier: int, numbers: Sequence | np.ndarray, s: np.ndarray) -> np.ndarray:
    """Where an end stands, among those that stand last, at `s` (k,); below its own tier, where it was pushed in.

    `numbers` of one end as in `ends_by_tier`; of many of one tier, each (ends, 1), and the answer is (ends, k).
    """
    starts = [laid.tier_start_mm(where, tier + i) for i in range(len(numbers))]
    at = np.searchsorted(starts[1:], s, side="right")
    u = np.zeros(np.broadcast_shapes(np.shape(numbers[0]), s.shape))
    for i, number in enumerate(numbers):
        mine = at == i
        # A new end below its tier: beside the one it was pushed in beside, as at the start.
        here = np.maximum(s[mine], starts[i]) if tier + i else s[mine]
        u[..., mine] = among_last_ends(laid, where, tier + i, number + np.full(len(here), 0.5), here)
    return u
