"""Wedges where a band begins on another, rapped down by hands. Lengths mm.

Where a weaver has just begun, a reed that comes round lies on what is there in the spaces beside, and stands open above
the space between: as springy rod it bridges that. Hands rap it down with all that is woven above it, and wet reed keeps
the bend.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..rods import wall as rod_wall
from ..rods.wall import Rest
from ..rods.working import Known
from ..weave.trace import CROSSING
from .built import Built
from .hands import CLAMPED, MOST_SETTLING, SET

OPEN = 0.5
"""Of a thickness: where a band begins and light shows through a space higher than that, hands rap it down (common
practice, no source)."""
RAPPED_BY, RAP_REACH, RAPPING = 1.5, 1.5, 50
"""How hard: it would bend a reed, clamped at two spokes, by so many of its own thicknesses; how far a rap reaches, in
spaces; and the sweeps for which hands rap (common practice, no source). One place rapped hard, at a space alone, leaves
dents."""


def rap(
    built: Built, rest: Rest, most: int, overlap: float, balance: float, cores: int | None = None, friction: float = 0.0
) -> Rest:
    """A side once hands have rapped down, space by space, what lies open where a band begins, and let go; as it was
    where nothing does, or where it would not come to rest again. Asked for as `rods.wall.relax` is.

    Reed keeps the bend that rapping adds to what it had, and is strained by that no more.
    """
    wall = built.wall
    share = rapped_at(built, rest.at)
    if not share.any():
        return rest
    load = wall.load.copy()
    stiff = np.repeat(wall.bend, np.diff(wall.off))
    load[:, 0] -= RAPPED_BY * share * CLAMPED * stiff * 2 * wall.r / wall.scale**4 * wall.h
    before, every = replace(wall, at=rest.at, order_at=wall.order), np.arange(wall.nodes)
    forces = Known(rest.contacts, rest.push, every, rest.post_push, rest.bow)
    held = rod_wall.relax(replace(before, load=load), RAPPING, 0.0, 0.0, cores, known=forces)
    more = rod_wall.with_set(before, held.at, SET).load - rod_wall.with_set(before, rest.at, SET).load
    kept = replace(before, at=held.at, load=wall.load + more)
    forces = Known(held.contacts, held.push, every, held.post_push, held.bow)
    after = rod_wall.relax(kept, min(most, MOST_SETTLING), overlap, balance, cores, known=forces, friction=friction)
    sweeps = rest.sweeps + held.sweeps + after.sweeps
    return replace(after, wall=wall, sweeps=sweeps) if after.done else rest


def rapped_at(built: Built, at: np.ndarray) -> np.ndarray:
    """How much of a rap every node gets (nodes,), 0 to 1: most in an open space, least RAP_REACH away, and in all that
    is woven above; what lies below gets none."""
    wall, out, around = built.wall, np.zeros(built.wall.nodes), built.ends * built.stations
    band = _band(built)
    for node in open_spaces(built, at)[0]:
        away = np.abs(wall.station - wall.station[node])
        away = np.minimum(away, around - away) / built.stations
        near = np.cos(np.pi / 2 * np.minimum(away / RAP_REACH, 1)) ** 2
        out = np.maximum(out, np.where((band >= band[node]) & built.woven, near, 0.0))
    return out


def open_spaces(built: Built, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(nodes (k,), mm (k,)): where light shows through a space, how high, below the first reed that a band lays across
    it on another band. No cut end lies there either."""
    wall, band = built.wall, _band(built)
    if wall.pile is None or wall.rank is None:
        return np.zeros(0, int), np.zeros(0)
    here = np.flatnonzero(wall.pile == CROSSING)
    here = here[np.lexsort((wall.rank[here], wall.station[here]))]
    upper, lower = here[1:], here[:-1]
    begins = (wall.station[upper] == wall.station[lower]) & (band[upper] != band[lower])
    low, top = at[:, 0] - wall.r, at[:, 0] + wall.r
    begins &= low[upper] - top[lower] > OPEN * 2 * wall.r[upper]
    nodes, high = [], []
    for node in upper[begins].tolist():
        below = (wall.station == wall.station[node]) & (at[:, 0] < at[node, 0])
        opened = low[node] - top[below].max()
        if opened > OPEN * 2 * wall.r[node]:
            nodes.append(node)
            high.append(opened)
    return np.array(nodes, int), np.array(high)


def _band(built: Built) -> np.ndarray:
    return np.repeat([line.band for line in built.lines], np.diff(built.wall.off))
