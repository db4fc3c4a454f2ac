"""Two lengths that lie beside each other in a join, and two weavers that are one reed folded in half."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .stretch import MOVES, WAITS, Stretch


def _tail_on(points: np.ndarray, long: float, thick: float, rise: float = 2.0) -> np.ndarray:
    """How a line that ends behind a spoke lies on from there, `long` mm: round along what is woven, its tip a little
    inward and `rise` thicknesses higher."""
    tip = points[-1]
    away, at = float(np.hypot(*tip[:2])), float(np.arctan2(tip[1], tip[0]))
    before = points[-4]
    way = np.sign(before[0] * tip[1] - before[1] * tip[0]) or 1.0
    share = np.linspace(0.0, 1.0, max(4, int(long / 3)))[1:]
    reach = np.maximum(away - 1.5 * thick * np.sqrt(share), away / 4)
    turn = at + way * share * long / max(away, 1.0)
    up = tip[2] + rise * thick * share
    return np.stack([reach * np.cos(turn), reach * np.sin(turn), up], axis=1)


NEW = ", new"
"""After the name of a length that is joined on."""


def with_join(found: list[Stretch], half_mm: float) -> list[Stretch]:
    """The last stretch ends `half_mm` past what it lies behind; a new length, whose tail lies as far back from there,
    goes on beside it."""
    last = found[-1]
    points = last.tube.points
    out = points[:, :2] / np.maximum(np.hypot(*points[:, :2].T), 1e-9)[:, None]
    reach = np.hypot(*points[:, :2].T)
    # Where it is furthest in, it lies behind what stands: there one takes over from the other.
    middle = int(np.argmin(reach[len(reach) // 3 :])) + len(reach) // 3
    far = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points[middle:], axis=0), axis=1))]
    back = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points[: middle + 1][::-1], axis=0), axis=1))]
    # Along what is woven as far as that goes, and on from there.
    lap = max(4, min(len(points) // 5, int(np.searchsorted(far, half_mm)), int(np.searchsorted(back, half_mm))))
    more = half_mm - np.array([far[min(lap, len(far)) - 1], back[min(lap, len(back) - 1)]])
    old = replace(last, tube=replace(last.tube, points=points[: middle + lap]), state=WAITS, cut=(last.cut[0], True))
    new = points[max(0, middle - lap) :].copy()
    beside = last.tube.thick_mm * 1.05
    share = np.clip(1.6 - np.arange(len(new)) / lap, 0.0, 1.0)[:, None]
    new[:, :2] -= out[max(0, middle - lap) :] * beside * 0.25 * share
    new[:, 2:] += beside * share
    if more[0] > beside:
        old = replace(old, tube=replace(old.tube, points=_joined_on(old.tube.points, float(more[0]), beside, -0.6)))
    if more[1] > beside:
        new = _joined_on(new[::-1], float(more[1]), beside, 0.5)[::-1]
    fresh = replace(last, tube=replace(last.tube, name=f"{last.tube.name}{NEW}", points=new), cut=(True, True))
    return [*found[:-1], old, fresh]


def _joined_on(points: np.ndarray, long: float, thick: float, rise: float) -> np.ndarray:
    return np.vstack([points, _tail_on(points, long, thick, rise)])


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
