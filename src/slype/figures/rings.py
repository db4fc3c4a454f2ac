"""Numbers of spaces, each in a ring where its space is: round a base midway between the two ends drawn beside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..order.kinds import ACTS
from ..space.tubes import on_surface
from ..surface.added_ends import among_last_ends
from .labels import Labels, towards
from .making import Making
from .stretch import Stretch

OUTWARD = (0.0, 2.6, 5.2, 7.8, 10.4, 13.0, 15.6, 18.2)
"""How far a ring may move out from where it belongs, mm on paper."""


@dataclass(frozen=True)
class _Gaps:
    """Where the ends of a base are drawn: by end (its distances from the middle, mm, its points there (k, 3))."""

    ends: dict[int, tuple[np.ndarray, np.ndarray]]

    @classmethod
    def of(cls, stretches: list[Stretch]) -> _Gaps:
        parts: dict[int, list[np.ndarray]] = {}
        for each in stretches:
            if each.tube.role in ("spoke", "stick") and each.tube.end >= 0:
                points = each.tube.points  # of a half stick without its inner end, which lies on another arm
                parts.setdefault(each.tube.end, []).append(points[int(np.argmin(np.hypot(*points[:, :2].T))) :])
        ends = {}
        for end, found in parts.items():
            points = np.vstack(found)
            away = np.hypot(*points[:, :2].T)
            inward = np.argsort(away)
            ends[end] = away[inward], points[inward]
        return cls(ends)

    def between(self, edges: np.ndarray, many: int, away_mm: float) -> np.ndarray:
        """The points of spaces before the ends `edges` (of `many`), each midway between the two ends beside it; not a
        number where one of these is not drawn so far out."""
        return np.array([(self._at((edge - 1) % many, away_mm) + self._at(edge, away_mm)) / 2
                         for edge in edges.astype(int).tolist()])  # fmt: skip

    def _at(self, end: int, away_mm: float) -> np.ndarray:
        away, points = self.ends.get(end, (np.zeros(0), np.zeros((0, 3))))
        if len(away) < 2 or not away[0] <= away_mm <= away[-1]:
            return np.full(3, np.nan)
        return np.array([np.interp(away_mm, away, line) for line in points.T])


def number_spaces(
    making: Making, stretches: list[Stretch], labels: Labels, camera: Camera, moment: int, flat: bool, of: int | None,
    row_at: int, inside: bool, only_first: bool,
) -> None:  # fmt: skip
    """Ring the spaces of the band `of` in work (an index; None where none is), as it is when `row_at` moments are
    done; `only_first` space 1 alone. Round a base each lies midway between the two ends drawn beside it."""
    laid, order, unit = making.laid, making.order, labels.unit
    if order.of[moment] >= 0:
        return
    where, act = "base" if flat else "side", ACTS[order.act[moment]]
    band = next((each for each in laid.bands if each.index == of and each.band.where == where), None)
    edges = np.arange(laid.design.tiers(where)[0].ends, dtype=float)
    if band is not None:
        edges = np.r_[0, np.cumsum(band.sizes)][: band.spaces].astype(float)
        began = next(part for part in order.parts if part.band == band.index and part.key == where).first
        row = int(order.row[row_at - 1]) if row_at > began else 0
        # Half a row higher where a round has come further on.
        s = float(band.s[min(max(row, 0), band.rows - 1)]) + 2.0 * unit + 1.7 * band.band.reed.diameter_mm
        u = among_last_ends(laid, where, band.tier, edges, np.full(len(edges), s))
    else:
        u = edges
        s = laid.cross_mm + 3.0 * unit if flat else 3.0 * unit
        if act == "insert":
            s = float(laid.design.form.radius(0.0)) + 3.0 * unit
        if act == "border":
            u, s = np.arange(laid.design.top_ends, dtype=float), laid.top_s + 2.5 * unit
    u, edges = (each[:1] if only_first else each for each in (u, edges))
    ends = laid.design.tiers(where)[-1].ends
    alike = flat and act != "insert" and laid.design.form.is_round and len(laid.design.tiers(where)) == 1
    gaps = _Gaps.of(stretches) if alike else None
    spots = []
    for out in OUTWARD:
        if gaps is not None:
            points = gaps.between(edges, ends, s + out * unit)
        else:
            points = np.stack(on_surface(laid, where, u, np.full(len(u), s + out * unit), np.zeros(len(u))), axis=1)
        spots.append((*look_at_points(camera, points)[:2], towards(points, camera)))
    middle = labels.box[0] + labels.box[2] / 2
    first = set()
    if act == "stroke" and band is not None and order.band[moment] == band.index:  # where it begins and comes out
        begin, spaces = int(order.space[moment]), band.spaces
        first = {begin % spaces, (begin + int(order.over[moment] + order.under[moment])) % spaces}
    for i in sorted(range(len(u)), key=lambda i: (i not in first, i != 0, abs(float(spots[0][0][i]) - middle))):
        if not flat and (spots[0][2][i] > 0.25) == inside:
            continue
        places = [(float(x[i]), float(y[i])) for x, y, _ in spots if np.isfinite(x[i])]
        labels.ring(places, str(i + 1), i == 0)
