"""A base's weavers follow its sticks while these open out: they go round them where they stand, not at even places."""

from __future__ import annotations

import functools

import numpy as np

from ..lay.values import BandLaid, Laid
from .added_ends import among_last_ends, ends_by_tier
from .curve import STICK_MM, SameBase
from .standing import outward, stick_curves

FINE = 8  # places per space of the tables of how far sticks stand off


def as_sticks_stand(laid: Laid, band: BandLaid, own: np.ndarray, u: np.ndarray, s: np.ndarray) -> np.ndarray:
    """Places (k,) of points of a band of the base where its sticks stand, at `s` mm from the centre: `own` counted
    evenly among the ends that it is woven on, `u` among those that stand last."""
    if band.band.where != "base" or band.tier or laid.design.base.is_board:
        return u
    low, off = _off_places(SameBase(laid), band.sizes)
    row = np.clip((s - low) / STICK_MM, 0.0, len(off) - 1.0)
    column = own % band.ends * FINE
    i, j = np.minimum(row.astype(int), len(off) - 2), np.minimum(column.astype(int), off.shape[1] - 2)
    f, g = row - i, column - j
    inner, outer = (off[k, j] * (1 - g) + off[k, j + 1] * g for k in (i, i + 1))
    return u + inner * (1 - f) + outer * f


@functools.lru_cache(maxsize=16)
def _off_places(same: SameBase, sizes: tuple[int, ...]) -> tuple[float, np.ndarray]:
    """(s of the first row, (rows, FINE places in each space and one) how far onward the sticks of groups of these
    `sizes` stand there of where rows at rest suppose them: groups at even places, their sticks side by side); rows
    STICK_MM apart."""
    laid = same.laid
    low, s, stands = _stands(same)
    ends, spokes = stands.shape[1], laid.design.spokes
    wide = spokes.stick_reed.diameter_mm * (1 if spokes.inserted else spokes.per_end)
    edges = np.r_[0, np.cumsum(sizes)]
    many = np.array(sizes)
    middle = np.repeat((edges[:-1] + edges[1:]) / 2, many)
    within = np.arange(ends) - np.repeat(edges[:-1], many) - np.repeat((many - 1) / 2, many)
    per_end = 2 * np.pi * np.maximum(laid.design.form.base_radius(s), 1.0) / ends
    supposed = middle + within * np.minimum(wide / per_end, 1.0)[:, None]
    outer = np.unique(np.r_[edges[:-1], edges[1:] - 1])
    at = np.arange(ends * FINE + 1) / FINE
    place, stand = supposed[:, outer], stands[:, outer]
    last = among_last_ends(laid, "base", 0, place.ravel(), np.repeat(s, len(outer))).reshape(place.shape)
    shift = stand - last
    # All the way round: beyond the first lies the last, and the other way about.
    around = np.concatenate([place[:, -1:] - ends, place, place[:, :1] + ends], axis=1)
    shift = np.concatenate([shift[:, -1:], shift, shift[:, :1]], axis=1)
    off = np.stack([np.interp(at, *row) for row in zip(around, shift, strict=True)])
    off.setflags(write=False)
    return low, off


@functools.lru_cache(maxsize=4)
def _stands(same: SameBase) -> tuple[float, np.ndarray, np.ndarray]:
    """(s of the first row, s of all (rows,), (rows, ends) where each of the base's first ends stands there, among the
    last)."""
    laid = same.laid
    number = {end: numbers[0] for end, (tier, numbers) in enumerate(ends_by_tier(laid, "base")) if tier == 0}
    low = 0.75 * laid.cross_mm
    s = np.arange(low, max(laid.base_reached_mm / 2, low) + 2 * STICK_MM, STICK_MM)
    stands, reeds = np.zeros((len(s), len(number))), np.zeros(len(number))
    for stick in map(outward, stick_curves(laid)):
        if stick.end in number:
            stands[:, number[stick.end]] += np.interp(s, stick.s, stick.u)
            reeds[number[stick.end]] += 1
    return low, s, stands / np.maximum(reeds, 1)


def free_between(laid: Laid, band: BandLaid) -> float:
    """The least that lies free between two sticks or groups of them in the first row of a band of the base's first
    ends, mm, where sticks stand in it."""
    s = float(band.s[0])
    sticks = [outward(stick) for stick in stick_curves(laid)]
    sticks = [stick for stick in sticks if stick.s[0] <= s]
    form, edges = laid.design.form, np.cumsum(band.sizes)
    u = np.array([np.interp(s, stick.s, stick.u) for stick in sticks])
    order = np.argsort(u)
    x, y, _, _ = form.base_place(laid.design.turn("base", u[order]), np.full(len(u), s))
    group = np.searchsorted(edges, [stick.end for stick in sticks], side="right")[order]
    apart = np.hypot(x - np.roll(x, -1), y - np.roll(y, -1)) - laid.design.spokes.stick_reed.diameter_mm
    return float(apart[group != np.roll(group, -1)].min(initial=np.inf))
