"""Lines of reeds changed for a drawing: ends stand up once they are untied, corners are rounded, points left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...space.cuts import SLANT
from ...surface.curve import Tube, along
from ...surface.woven import RUNS_ON

LEANS_ON = 0.3
"""How far ends that are untied for the border still lean in, as a share of how the wall does (as makers' photographs
show them; no source)."""


def untied(end: Tube, wall_mm: np.ndarray) -> Tube:
    """An end above the last row once the string is off: it stands up straighter where the wall leans in (`wall_mm` how
    wide that would go on, point by point), as long as it was."""
    points = end.points
    back = (1 - LEANS_ON) * np.maximum(wall_mm[0] - wall_mm, 0.0)
    if not back.any():
        return end
    away = np.hypot(*points[:, :2].T)
    out = points[:, :2] * (1 + back / np.maximum(away, 1e-9))[:, None]
    hop = np.linalg.norm(np.diff(points, axis=0), axis=1)
    aside = np.linalg.norm(np.diff(out, axis=0), axis=1)
    rise = np.sqrt(np.maximum(hop**2 - aside**2, 0.0)) * np.sign(np.diff(points[:, 2]))
    return replace(end, points=np.column_stack([out, points[0, 2] + np.r_[0.0, np.cumsum(rise)]]))


def levelled(stick: Tube) -> Tube:
    """A base stick that is trimmed level with the last row: not even the long side of its cut stands out."""
    away = np.linalg.norm(stick.points - stick.points[-1], axis=1)
    keep = max(2, int((away >= SLANT / 2 * stick.thick_mm).sum()))
    return along(stick, stick.points[:keep], None if stick.when is None else stick.when[:keep])


THINNED = 2
"""Of a weaver's points every so many are drawn: on a drawing that is a hand wide nobody sees the difference."""


def thinned(reed: Tube) -> Tube:
    """A weaver with fewer points, its ends as they are."""
    many = len(reed.points)
    if reed.role != "weaver" or many < 4 * THINNED:
        return reed
    keep = np.r_[0 : many - 1 : THINNED, many - 1]
    return along(reed, reed.points[keep], None if reed.when is None else reed.when[keep])


def upto_half_way(tail: Tube, spacing_mm: float) -> Tube:
    """What rests of a tail that is cut half-way to the next end, of ends so far apart."""
    hop = np.r_[0.0, np.linalg.norm(np.diff(tail.points, axis=0), axis=1).cumsum()]
    at = np.linspace(0.0, min((1.0 - RUNS_ON) * spacing_mm, float(hop[-1])), 5)
    points = np.stack([np.interp(at, hop, axis) for axis in tail.points.T], axis=1)
    return replace(tail, name=f"{tail.name}, cut", bit="", points=points)


def rounded(points: np.ndarray) -> np.ndarray:
    """Corners cut twice (Chaikin 1974), the ends kept."""
    for _ in range(2):
        a, b = points[:-1], points[1:]
        cut = np.stack([0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b], axis=1).reshape(-1, 3)
        points = np.vstack([points[:1], cut[1:-1], points[-1:]])
    return points


def round_base(at: np.ndarray, run: np.ndarray, half: float) -> np.ndarray:
    """Unit direction (3,) round a base at a place, the way of `run`, `half` mm of its straight side to either hand of
    the middle: so two tails beside each other, whose weavers lie a little askew there, do not cross."""
    away = at * [1, 1, 0] - [float(np.clip(at[0], -half, half)), 0.0, 0.0]
    long = float(np.hypot(*away[:2]))
    if long < 1e-6:
        return run
    round_ = np.array([-away[1], away[0], 0.0]) / long
    return round_ if round_ @ run > 0 else -round_
