"""Two lengths that lie beside each other in a join, and two weavers that are one reed folded in half."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...lay.values import Laid
from ...space.tubes import on_surface
from .stretch import MOVES, WAITS, Stretch


def ring_of(laid: Laid, index: int, row: int) -> np.ndarray:
    """Points (k, 2) mm all round of a row of the band that has an index in the design: how rows run round there."""
    band = next(each for each in laid.bands if each.index == index)
    u = np.arange(0.0, laid.design.tiers(band.band.where)[-1].ends, 1 / 16)
    s = np.full(len(u), float(band.s[min(row, len(band.s) - 1)]))
    return np.stack(on_surface(laid, band.band.where, u, s, np.zeros(len(u)))[:2], axis=1)


def _inside(points: np.ndarray, ring: np.ndarray) -> np.ndarray:
    """How far (k,) mm points lie inside a ring, less than 0 outside it."""
    at = np.hypot(points[:, :1] - ring[:, 0], points[:, 1:2] - ring[:, 1]).argmin(axis=1)
    run = np.roll(ring, -1, axis=0)[at] - np.roll(ring, 1, axis=0)[at]
    out = np.stack([run[:, 1], -run[:, 0]], axis=1)
    out *= np.sign((out * ring[at]).sum(axis=1))[:, None] / np.hypot(*run.T)[:, None]
    return -((points[:, :2] - ring[at]) * out).sum(axis=1)


def _tail_on(points: np.ndarray, long: float, thick: float, rise: float, flat: bool, ring: np.ndarray) -> np.ndarray:
    """How a line that ends behind a spoke lies on from there, `long` mm, on the side it is on: as the `ring` (k, 2) of
    rows runs there, of a wall its tip a little inward and `rise` thicknesses higher, of a `flat` base a little off."""
    tip, before = points[-1], points[-4]
    at = int(np.hypot(*(ring - tip[:2]).T).argmin())
    run = np.roll(ring, -at, axis=0)
    if (run[1] - run[0]) @ (tip - before)[:2] < 0:
        run = np.roll(ring[::-1], at + 1, axis=0)
    hops = np.r_[0.0, np.cumsum(np.hypot(*np.diff(run, axis=0).T))]
    share = np.linspace(0.0, 1.0, max(4, int(long / 3)))[1:]
    on = np.stack([np.interp(share * long, hops, run[:, axis]) for axis in (0, 1)], axis=1)
    ahead = np.stack([np.interp(share * long + 1.0, hops, run[:, axis]) for axis in (0, 1)], axis=1) - on
    out = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1)
    out *= np.sign((out * on).sum(axis=1))[:, None] / np.hypot(*ahead.T)[:, None]
    aside = rise * thick * share if flat else -1.5 * thick * np.sqrt(share)
    up = tip[2] + (thick * np.sqrt(share) if flat else rise * thick * share)
    return np.column_stack([tip[:2] + on - run[0] + out * aside[:, None], up])


HELD = 0.8
"""A tail at a join leaves its weaver's way where that no longer lies so deep inside, as a share from outside to inside:
held longer it went out in front with its weaver."""
NEW = "new"
"""The bit of a weaver that is a length just joined on."""


def with_join(found: list[Stretch], half_mm: float, under: int, flat: bool, ring: np.ndarray) -> list[Stretch]:
    """The last stretch, of a wall or a `flat` base, ends `half_mm` past the first of the `under` that it lies behind; a
    new length, whose tail lies as far back from there, goes on beside it. `ring` (k, 2) mm how rows run round there."""
    last = found[-1]
    points, thick = last.tube.points, last.tube.thick_mm
    out = points[:, :2] / np.maximum(np.hypot(*points[:, :2].T), 1e-9)[:, None]
    laid = len(points) if last.tube.when is None else min(len(points), len(last.tube.when))  # the rest hangs
    # How far it lies behind what stands: inside a wall, on the far side of a base. There one takes over from the other.
    deep = points[:, 2] if flat else _inside(points, ring)
    middle = int(np.argmax(deep[laid // 3 : laid])) + laid // 3
    behind = deep >= deep[:laid].min() + HELD * (deep[:laid].max() - deep[:laid].min())
    if under > 1:  # of what lies behind several, the middle of the first
        begun, lies = middle - _run(behind[: middle + 1][::-1]) + 1, middle + _run(behind[middle:laid])
        middle = begun + round((lies - begun) / (2 * under))
    ahead, back = points[middle:], points[: middle + 1][::-1]
    laps = [max(4, min(_within(line, half_mm), _run(held))) for line, held in
            ((ahead, behind[middle:]), (back, behind[: middle + 1][::-1]))]  # fmt: skip
    more = [half_mm - _long(line[:lap]) for line, lap in zip((ahead, back), laps, strict=True)]
    ended = replace(last.tube, points=points[: middle + laps[0]])
    old = last._replace(tube=ended, state=WAITS, cut=(last.cut[0], True))
    first = max(0, middle - laps[1])
    new = points[first:].copy()
    beside = thick * 1.05
    share = np.clip(1.6 - np.arange(len(new)) / max(laps), 0.0, 1.0)[:, None]
    new[:, :2] += out[first:] * beside * (1.0 if flat else -0.25) * share
    new[:, 2:] += beside * (0.25 if flat else 1.0) * share
    if more[0] > beside:
        ended = replace(old.tube, points=_joined_on(old.tube.points, more[0], beside, -0.6, flat, ring))
        old = old._replace(tube=ended)
    if more[1] > beside:
        new = _joined_on(new[::-1], more[1], beside, 0.5, flat, ring)[::-1]
    reed = last.tube.name
    fresh = replace(last.tube, name=f"{reed}, new", bit=NEW, of_reed=reed, points=new)
    return [*found[:-1], old, last._replace(tube=fresh, cut=(True, True))]


def _long(line: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def _within(line: np.ndarray, long: float) -> int:
    """How many points of a line lie within `long` mm along it."""
    return int(np.searchsorted(np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))], long))


def _run(held: np.ndarray) -> int:
    """How many are True before the first False."""
    return int(np.argmin(held)) if not held.all() else len(held)


def _joined_on(points: np.ndarray, long: float, thick: float, rise: float, flat: bool, ring: np.ndarray) -> np.ndarray:
    return np.vstack([points, _tail_on(points, long, thick, rise, flat, ring)])


def folded(found: list[Stretch], names: set[str]) -> list[Stretch]:
    """The two weavers' starts joined by a loop behind what stands between them."""
    mine = [each for each in found if each.tube.name in names]
    if len(mine) != 2:
        return found
    first, second = (each.tube.points for each in mine)
    # Each from where it comes out on the underside (the lowest of its first points).
    one, other = (points[_comes_out(points) :] for points in (first, second))
    a, b = one[0], other[0]
    t = np.linspace(0.0, 1.0, 25)[1:-1, None]
    away = max(4.0 * mine[0].tube.thick_mm, 2.0)
    loop = a + (b - a) * t + np.array([0.0, 0.0, 1.0]) * np.sin(np.pi * t) * away
    whole = np.vstack([one[::-1], loop, other])
    tube = replace(mine[0].tube, points=whole, when=None)
    return [each for each in found if each.tube.name not in names] + [Stretch(tube, MOVES)]


def _comes_out(points: np.ndarray) -> int:
    """Number of the point at which a weaver's start has come through the base."""
    level = np.flatnonzero(points[:, 2] <= 0.0)
    return int(level[0]) if len(level) else 0
