"""The first rows of a side beside a woven base: rapped down before more is woven on them. Lengths mm.

Hands set them down over the elbows of the spokes until they close the ring, and go on weaving on what has come of it.
All at once a whole wall would come down: what is woven above hangs by its own stiffness, and presses too lightly.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..rods import wall as rod_wall
from ..rods.contacts import Wall
from .built import Built

HARDER = 3.0
"""So many times as hard as they are held down later they are rapped: it would bend a reed by 1.2 of its thicknesses,
clamped at two spokes (common practice, no source)."""
RAPPING = 125
"""Sweeps for which hands rap. Longer or harder (200, or 5) some reeds are driven so far that the wall does not rest."""
FADES = 5.0
"""What is woven above follows where they come lower in one place than in another; how much so dies out by a factor of e
within so many of their thicknesses (common practice, no source)."""
ALIKE = 0.25
"""Thicknesses that first rows of two walls are laid apart in the mean, at most, if one goes on from the other."""
TOO_DEEP = 0.3
"""Overlap, in their thicknesses, at which rapped rows are left as they were begun."""


def set_down(built: Built, cores: int | None = None) -> Built:
    """A side that begins as hands leave it that rap its first rows down; as it was where none lie at the edge of a
    woven base, or where they would be driven into each other."""
    wall, some = built.wall, built.at_edge
    if some is None or not some.any():
        return built
    first, nodes = _part_of(wall, some)
    load = first.load * np.array([HARDER, 1.0])
    held = rod_wall.relax(replace(first, load=load), RAPPING, 0.0, 0.0, cores)
    thick = 2 * float(first.radius.min(initial=np.inf))
    if not len(nodes) or held.lost or held.overlap_mm > TOO_DEEP * thick:
        return built
    at = wall.at.copy()
    at[nodes] = held.at
    above = np.ones(wall.nodes, bool)
    above[nodes] = False
    at[above, 0] -= _comes_down(built, first, held.at, np.flatnonzero(above))
    return replace(built, wall=replace(wall, at=at, order_at=wall.order))


def begins_alike(one: Built, other: Built) -> bool:
    """True where the first rows of both are laid alike: what was rapped down in one lies as well in the other."""
    if one.at_edge is None or not one.at_edge.any() or other.at_edge is None or not other.at_edge.any():
        return True
    heights = [_heights(each, one.ends * one.stations) for each in (one, other)]
    return bool(np.nanmean(np.abs(heights[1] - heights[0])) < ALIKE * 2 * float(one.wall.r[one.at_edge].min()))


def _heights(built: Built, around: int) -> np.ndarray:
    """How high, mm, first rows are laid in the mean at every station round (around,)."""
    station, s = built.wall.station[built.at_edge] % around, built.stacked[built.at_edge, 0]
    with np.errstate(invalid="ignore"):
        mean: np.ndarray = np.bincount(station, s, around) / np.bincount(station, minlength=around)
    return mean


def _part_of(wall: Wall, some: np.ndarray) -> tuple[Wall, np.ndarray]:
    """The nodes of a wall where `some` (nodes,) is True, each run of them along a rod as a rod of its own; and their
    numbers."""
    nodes = np.flatnonzero(some)
    begins = np.r_[True, (np.diff(nodes) > 1) | (np.diff(wall.rod[nodes]) > 0)]
    long = np.diff(np.r_[np.flatnonzero(begins), len(nodes)])
    whole = long > 3  # what is shorter does not bend
    nodes, long = nodes[np.repeat(whole, long)], long[whole]
    off = np.r_[0, np.cumsum(long)]
    rods = {name: getattr(wall, name)[wall.rod[nodes[off[:-1]]]] for name in ("bend", "pull", "radius")}
    alike = "at", "station", "h", "scale", "load", "floor", "post_side", "post_clear", "pinned", "pile", "rank"
    return Wall(off=off, **rods, **{name: getattr(wall, name)[nodes] for name in alike}), nodes


def _comes_down(built: Built, first: Wall, at: np.ndarray, above: np.ndarray) -> np.ndarray:
    """How much lower than they begin the nodes `above` follow the `first` rows, which have come to lie `at`."""
    around = built.ends * built.stations
    inside, outside = (_lower(first, at, face, around, built.stations) for face in (at[:, 1] < 0, at[:, 1] >= 0))
    mean = float(inside.mean() + outside.mean()) / 2
    begin, station = built.wall.at[above], built.wall.station[above] % around
    out = 0.5 + 0.5 * begin[:, 1] / np.abs(built.wall.at[:, 1]).max()
    high = np.maximum(begin[:, 0] - first.at[:, 0].max(), 0.0)
    fade = np.exp(-high / (FADES * 2 * float(first.radius.mean())))
    lower: np.ndarray = mean + ((1 - out) * inside[station] + out * outside[station] - mean) * fade
    return lower


def _lower(first: Wall, at: np.ndarray, face: np.ndarray, around: int, space: int) -> np.ndarray:
    """How much lower than it began the highest reed lies at every station round (around,) on one `face` of the wall
    (nodes,), evened out over a space."""
    order = np.argsort(at[:, 0], kind="stable")
    order = order[face[order]]
    lower = np.full(around, np.nan)
    lower[first.station[order] % around] = (first.at - at)[order, 0]  # the highest is written last
    there = np.flatnonzero(np.isfinite(lower))
    if not len(there):
        return np.zeros(around)
    lower = np.interp(np.arange(around), there, lower[there], period=around)
    return np.convolve(np.r_[lower[-space:], lower, lower[:space]], np.full(space + 1, 1 / (space + 1)), "same")[
        space:-space
    ]
