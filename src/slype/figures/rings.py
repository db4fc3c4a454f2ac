"""Numbers of spaces, each in a ring where its space is: round a base midway between the two ends drawn beside it."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass

import numpy as np

from ..draw.camera import look_at_points
from ..order.kinds import ACTS, Moments
from ..space.tubes import on_surface
from ..surface.added_ends import among_last_ends
from .flat import marks
from .labels import Labels, Spaces, towards
from .making import Making
from .names import MOST_NAMED
from .reeds.stretch import Stretch

OUTWARD = (0.0, 2.6, 5.2, 7.8, 10.4, 13.0, 15.6, 18.2)
"""How far a ring may move out from where it belongs, mm on paper."""
NEAR = 0.25
"""Spaces are ringed that lie no further aside on a wall than so (the cosine of how far round), but those of a stroke
as far as it is seen."""
INWARD = (-2.6, -5.2, -7.8)
"""And how far in, where space 1 alone is ringed and its place is taken by numbers."""


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

    def between(self, edges: np.ndarray, many: int, away_mm: np.ndarray) -> np.ndarray:
        """The points (distances, edges, 3) of spaces before the ends `edges` (of `many`), each midway between the two
        ends beside it; not a number where one of these is not drawn so far out."""
        found = [(self._at((edge - 1) % many, away_mm) + self._at(edge, away_mm)) / 2
                 for edge in edges.astype(int).tolist()]  # fmt: skip
        return np.stack(found, axis=1) if found else np.zeros((len(away_mm), 0, 3))

    def _at(self, end: int, away_mm: np.ndarray) -> np.ndarray:
        away, points = self.ends.get(end, (np.zeros(0), np.zeros((0, 3))))
        if len(away) < 2:
            return np.full((len(away_mm), 3), np.nan)
        beyond = np.nan  # where it is not drawn
        return np.stack([np.interp(away_mm, away, line, beyond, beyond) for line in points.T], axis=1)


def named_spaces(order: Moments, scene) -> frozenset[int]:
    """The spaces (from 0) in which weavers of the band in work come out in the moments of a scene; where their arrows
    are shown also those from which they set out, and which they pass."""
    out: set[int] = set()
    for m in range(scene.first, min(scene.beyond, len(order))):
        woven = ACTS[order.act[m]] in ("stroke", "set in") and order.space[m] >= 0
        if woven and order.of[m] < 0 and order.band[m] == scene.band:
            begin, way = int(order.space[m]), max(int(order.over[m] + order.under[m]), 0)
            out |= {(begin + k) % int(order.spaces[m]) for k in range(0 if scene.arrow else way, way + 1)}
    return frozenset(out)


def _begun_in(making: Making, scene) -> frozenset[int]:
    """Space 1, and those in which the weavers of a band begin, of which a drawing of all of a base speaks."""
    band = next((each for each in making.laid.bands if each.index == scene.band), None)
    if not scene.whole or band is None:
        return frozenset()
    return frozenset({0, *((band.band.start + k) % band.spaces for k in range(min(len(band.colours), MOST_NAMED)))})


def number_spaces(making: Making, scene, stretches: list[Stretch], shot, labels: Labels, which: str = "") -> None:
    """Ring the spaces of the band in work, as `scene` (`closeup.Scene`) asks for them, in a `shot` (`closeup.Shot`) of
    which these `stretches` are seen; those that are named before others and in any case, and with `which` "named" or
    "others" only these."""
    flat = shot.flat
    if making.order.of[shot.moment] >= 0:
        return
    only_first = scene.spaces == "first"
    must = frozenset({0}) if only_first else named_spaces(making.order, scene) | _begun_in(making, scene)
    # In the middle of an oval base lie its long sticks until rows are woven round them.
    within = making.laid.design.form.is_round or any(each.tube.role == "weaver" for each in stretches)
    outs = np.array((*OUTWARD, *INWARD) if only_first and within else OUTWARD)
    if labels.spaces is None:
        labels.spaces = spaces_of(making, scene, stretches, shot.moment, flat, labels.unit)
    found = labels.spaces
    numbers = np.arange(1) if only_first else np.arange(found.many)
    if flat and which:
        numbers = np.array([i for i in numbers.tolist() if (i in must) == (which == "named")], dtype=int)
    if not flat:  # of all round only those that may be seen
        first = found.at(outs[:1], numbers)[0]
        x, aside = look_at_points(shot.camera, first)[0], towards(first, shot.camera) * (-1.0 if scene.inside else 1.0)
        wide = labels.box[2]
        numbers = numbers[(np.abs(x - labels.box[0] - wide / 2) < wide) & (aside > -NEAR)]
    points = found.at(outs, numbers)
    x, y, _ = (each.reshape(points.shape[:2]) for each in look_at_points(shot.camera, points.reshape(-1, 3)))
    aside = towards(points[0], shot.camera)
    middle = labels.box[0] + labels.box[2] / 2
    ringed = {}
    for k in sorted(range(len(numbers)), key=lambda k: (
        numbers[k] not in must, numbers[k] != 0, labels.off(float(x[0, k]) - middle)
    )):  # fmt: skip
        i = int(numbers[k])
        if flat or (aside[k] > (0.0 if i in must else NEAR)) != scene.inside:
            ringed[i] = [(float(a), float(b)) for a, b in zip(x[:, k], y[:, k], strict=True) if np.isfinite(a)]
    if not flat and which != "others":
        labels.level = _level(labels, ringed, must, len(outs)) if ringed else 0
    if which:
        ringed = {i: places for i, places in ringed.items() if (i in must) == (which == "named")}
    # Where all of a base is shown to count by, none may be missing: rather upon what hangs there, when that is named.
    level, every = 0 if flat else labels.level, flat and scene.whole and not only_first
    for i, places in ringed.items():
        ring = places[level:] + places[:level], str(i + 1), i == 0
        if not labels.ring(*ring, i in must) and every:
            labels.missing.append(ring)


def spaces_of(making: Making, scene, stretches: list[Stretch], moment: int, flat: bool, unit: float) -> Spaces:
    """Where all spaces of the band in work lie; `unit` is what a mm on paper is in the drawing. Round a base each lies
    midway between the two ends drawn beside it, and is not a number where one of these is not drawn so far out."""
    laid, order = making.laid, making.order
    where, act = "base" if flat else "side", ACTS[order.act[moment]]
    band = next((each for each in laid.bands if each.index == scene.band and each.band.where == where), None)
    edges = np.arange(laid.design.tiers(where)[0].ends, dtype=float)
    if band is not None:
        edges = np.r_[0, np.cumsum(band.sizes)][: band.spaces].astype(float)
        began = next(part for part in order.parts if part.band == band.index and part.key == where).first
        row = int(order.row[scene.beyond - 1]) if scene.beyond > began else 0
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
    ends = laid.design.tiers(where)[-1].ends
    if flat and act != "insert" and laid.design.form.is_round and len(laid.design.tiers(where)) == 1:
        gaps = _Gaps.of(stretches)
        return Spaces(len(edges), lambda outs, which: gaps.between(edges[which], ends, s + outs * unit))

    def on_wall(outs: np.ndarray, which: np.ndarray) -> np.ndarray:
        up, on = (each.ravel() for each in np.meshgrid(s + outs * unit, u[which], indexing="ij"))
        points = np.stack(on_surface(laid, where, on, up, np.zeros(len(on))), axis=1)
        return points.reshape(len(outs), len(which), 3)

    return Spaces(len(edges), on_wall)


def _level(labels: Labels, ringed: dict[int, list[tuple[float, float]]], must: Set[int], many: int) -> int:
    """Which of their `many` places is free for most rings, of those that `must` be there before others: on a wall they
    stand in one row."""
    size = {i: 2 * marks.ring_radius(str(i + 1), labels.unit) * 1.06 for i in ringed}

    def fits(level: int) -> tuple[int, int]:
        free = [i for i, places in ringed.items() if labels.free(places[level], size[i], size[i])]
        return sum(i in must for i in free), len(free)

    return max(range(many), key=fits)  # of equal ones the first
