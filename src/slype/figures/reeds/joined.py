"""Two lengths that lie beside each other in a join, and two weavers that are one reed folded in half."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .stretch import MOVES, WAITS, Stretch


def _tail_on(points: np.ndarray, long: float, thick: float, rise: float, flat: bool) -> np.ndarray:
    """How a line that ends behind a spoke lies on from there, `long` mm, on the side it is on: round along what is
    woven, of a wall its tip a little inward and `rise` thicknesses higher, of a `flat` base a little off it."""
    tip = points[-1]
    away, at = float(np.hypot(*tip[:2])), float(np.arctan2(tip[1], tip[0]))
    before = points[-4]
    way = np.sign(before[0] * tip[1] - before[1] * tip[0]) or 1.0
    share = np.linspace(0.0, 1.0, max(4, int(long / 3)))[1:]
    reach = np.maximum(away + (rise * thick * share if flat else -1.5 * thick * np.sqrt(share)), away / 4)
    turn = at + way * share * long / max(away, 1.0)
    up = tip[2] + (thick * np.sqrt(share) if flat else rise * thick * share)
    return np.stack([reach * np.cos(turn), reach * np.sin(turn), up], axis=1)


NEW = "new"
"""The bit of a weaver that is a length just joined on."""


def with_join(found: list[Stretch], half_mm: float, under: int, flat: bool) -> list[Stretch]:
    """The last stretch, of a wall or a `flat` base, ends `half_mm` past the first of the `under` that it lies behind; a
    new length, whose tail lies as far back from there, goes on beside it."""
    last = found[-1]
    points, thick = last.tube.points, last.tube.thick_mm
    out = points[:, :2] / np.maximum(np.hypot(*points[:, :2].T), 1e-9)[:, None]
    laid = len(points) if last.tube.when is None else min(len(points), len(last.tube.when))  # the rest hangs
    # How far it lies behind what stands: inside a wall, on the far side of a base. There one takes over from the other.
    deep = points[:, 2] if flat else -np.hypot(*points[:, :2].T)
    middle = int(np.argmax(deep[laid // 3 : laid])) + laid // 3
    behind = deep >= (0.0 if flat else (deep[:laid].max() + deep[:laid].min()) / 2)
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
        old = old._replace(tube=replace(old.tube, points=_joined_on(old.tube.points, more[0], beside, -0.6, flat)))
    if more[1] > beside:
        new = _joined_on(new[::-1], more[1], beside, 0.5, flat)[::-1]
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


def _joined_on(points: np.ndarray, long: float, thick: float, rise: float, flat: bool) -> np.ndarray:
    return np.vstack([points, _tail_on(points, long, thick, rise, flat)])


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
