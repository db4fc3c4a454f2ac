"""Small cases of rods whose answers are known from elsewhere: made by hand, no basket in them. Numbers only.

Each is a `wall.Wall` to be brought to rest; `proofs` holds the answers against tables. Lengths mm, bending
stiffness 1 unless given, so that forces are in units of it. The solver's rods are graphs over the way along the wall
with free length, so a rod of given length is found by the pull that makes it so long (`cantilever_of_length`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from . import wall as rod_wall
from .contacts import Wall
from .wall import Rest

MOST_SWEEPS = 40_000
TIGHT = 2e-5  # forces left over, as a share of what bends a rod by its thickness (see `wall.relax`)


def rods_by_hand(
    places: list[np.ndarray], step: float, radius: float, scale: float, pinned: list[list[int]], **more: Any
) -> Wall:
    """A wall of rods on the same stations: `places` (nodes, 2) each, `step` mm between stations, `pinned` nodes.

    `more`: `pull`, `bend` numbers; `load` (all nodes, 2); `post_side`, `post_clear` (all nodes,).
    """
    count = [len(at) for at in places]
    off = np.r_[0, np.cumsum(count)]
    nodes, rods = int(off[-1]), len(places)
    held = np.zeros(nodes, bool)
    for first, mine in zip(off[:-1], pinned, strict=True):
        held[[first + i for i in mine]] = True
    return Wall(
        off,
        np.concatenate(places),
        np.concatenate([np.arange(many) for many in count]),
        np.full(nodes, step),
        np.full(rods, float(more.get("bend", 1.0))),
        np.full(rods, float(more.get("pull", 0.0))),
        np.full(rods, radius),
        np.full(nodes, scale),
        more.get("load", np.zeros((nodes, 2))),
        np.full(nodes, -1e6),  # no floor
        more.get("post_side", np.zeros(nodes, np.int64)),
        more.get("post_clear", np.zeros(nodes)),
        held,
    )


def at_rest(wall: Wall, balance: float = TIGHT) -> Rest:
    """Brought to rest as closely as the solver can: proofs are about the answer, not about when to stop."""
    return rod_wall.relax(wall, most_sweeps=MOST_SWEEPS, overlap=1e-9, balance=balance, cores=1)


def crimp_and_bend(rest: Rest) -> tuple[float, float]:
    """(crimp, tightest curvature 1/mm) of a single rod."""
    wall = rest.wall
    length = rod_wall.rod_lengths(rest)[0]
    return length / float(wall.h[: wall.off[1] - 1].sum()) - 1, float((rod_wall.bending_strain(rest) / wall.r).max())


# Weavers between posts -----------------------------------------------------------------------------------------


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_NODES, _WEIGHTS = (_NODES + 1) / 2, _WEIGHTS / 2  # on 0..1


def _free_wave(steepest: float) -> tuple[float, float, float]:
    """(rise over spacing, crimp, tightest curvature x spacing) of a weaver whose steepest slope is `steepest` rad.

    Source: Euler's rectangular elastica. Where length may slide in, pull + bending stiffness/2 x curvature^2 = 0, so
    the force between posts stands square on the rod where it does not bend, and curvature^2 goes with the sine of the
    angle from there.
    """
    # angle = steepest x t^2 takes the root's infinity out of the integrals.
    angle = steepest * _NODES**2
    way = 2 * steepest * _NODES / np.sqrt(np.sin(angle)) * _WEIGHTS
    along, across = (way * np.cos(steepest - angle)).sum(), (way * np.sin(steepest - angle)).sum()
    return float(across / along), float(way.sum() / along) - 1, float(2 * along * math.sqrt(math.sin(steepest)))


def free_weaver(ratio: float) -> tuple[float, float]:
    """(crimp, tightest curvature x spacing) of an elastic weaver round straight posts, its length free to slide in.

    `ratio`: rise over spacing, above 0 and up to 0.7 (from 0.724 it would lie flat on a round post). See `_free_wave`.
    """
    low, high = 1e-6, 0.95
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _free_wave(middle)[0] < ratio else (low, middle)
    return _free_wave(low)[1:]


def half_wave(spacing: float, rise: float, stations: int, pull: float = 0.0, post_mm: float = 0.0) -> Wall:
    """A weaver from the middle of one space round a post to the middle of the next; `rise` mm from inner to outer axis.

    By symmetry the axis crosses the middle of the wall there without bending, so the cut ends are pinned and free to
    turn: what lies between is one half wave of an endless weaver. `post_mm`: radius of the circle that the axis keeps
    round the post, 0 for a post without thickness that only lifts one node.
    """
    x = (np.arange(stations + 1) / stations - 0.5) * spacing
    clear = np.where(x == 0, rise / 2, 0.0)
    if post_mm:
        clear = np.sqrt(np.maximum(post_mm**2 - x**2, 0.0))
    n = rise / 2 * np.cos(math.pi * x / spacing)
    return rods_by_hand(
        [np.stack([np.zeros_like(x), n], axis=1)], spacing / stations, rise / 4, spacing, [[0, stations]],
        pull=pull, post_side=(clear > 0).astype(np.int64), post_clear=clear,
    )  # fmt: skip


# Rods under loads ----------------------------------------------------------------------------------------------


def cantilever(load: float, reach: float, stations: int, pull: float) -> Wall:
    """A rod clamped at one end and loaded across at the other, `reach` mm away; the load's direction does not turn.

    Two pinned nodes are the clamp; the rod bends from halfway between them.
    """
    step = reach / (stations - 0.5)
    loads = np.zeros((stations + 1, 2))
    loads[-1, 1] = load
    return rods_by_hand(
        [np.zeros((stations + 1, 2))], step, 0.05 * reach, reach, [[0, 1]], pull=pull, load=loads,
    )  # fmt: skip


@dataclass(frozen=True)
class Bent:
    """A cantilever of length 1 at rest: `drop` of its tip, `angle` rad there, and the `pull` that makes it so long."""

    drop: float
    angle: float
    pull: float


def cantilever_of_length(load: float, shortening: float, stations: int) -> Bent:
    """The cantilever of length 1 whose tip came nearer by `shortening`. Bending stiffness 1."""
    low, high = 0.0, 4 * load
    for _ in range(24):  # 4 x load / 2^24: finer than the tables by far
        pull = (low + high) / 2
        rest = at_rest(cantilever(load, 1 - shortening, stations, pull))
        edges = rod_wall.edge_lengths(rest.wall, rest.at)
        long = edges.sum() - edges[0] / 2 > 1
        low, high = (pull, high) if long else (low, pull)
    drop = rest.at[-1, 1]
    return Bent(float(drop), math.atan2(drop - rest.at[-2, 1], rest.wall.h[0]), pull)


def beam(span: float, load: float, stations: int) -> Wall:
    """A rod on two supports with a load on its middle. Bending stiffness 1."""
    loads = np.zeros((stations + 1, 2))
    loads[stations // 2, 1] = load
    return rods_by_hand([np.zeros((stations + 1, 2))], span / stations, 0.05 * span, span, [[0, stations]], load=loads)


def pressed_pair(radius: float, span: float, slope: float, past: float, load: float, stations: int) -> Wall:
    """Two like rods that cross, the upper pressed on the lower's middle, both held at their ends.

    `slope` of each through the wall, one to either side; they cross `past` stations beyond the middle station.
    """
    x = (np.arange(stations + 1) - stations / 2 - past) * span / stations
    low, high = (np.stack([np.full_like(x, s), side * slope * x], axis=1) for s, side in ((0, 1), (2 * radius, -1)))
    loads = np.zeros((2 * len(x), 2))
    loads[len(x) + stations // 2, 0] = -load
    return rods_by_hand([low, high], span / stations, radius, span, [[0, stations]] * 2, load=loads)


def least_distance(rest: Rest, pieces: int = 40) -> float:
    """Least distance, mm, of the axes of the first two rods of a wall by hand, in space: by brute force, as a check."""
    wall, lines = rest.wall, []
    for a, b in zip(wall.off[:2], wall.off[1:3], strict=True):
        x = np.arange(b - a) * wall.h[0]
        fine = np.linspace(0, x[-1], (b - a - 1) * pieces + 1)
        s, n = (np.interp(fine, x, rest.at[a:b, k]) for k in range(2))
        lines.append(np.stack([fine, s, n], axis=1))
    apart2 = sum((one[:, None] - other[None]) ** 2 for one, other in zip(lines[0].T, lines[1].T, strict=True))
    return math.sqrt(np.min(apart2))


def hertz_dent(force_n: float, modulus_mpa: float, radius_mm: float, poisson: float = 0.3) -> float:
    """How deep, mm, two like rods crossed at right angles dent each other (both together).

    Source: Hertz 1882 in the form of a sphere on a flat: a^3 = 3 F R / 4 E*, dent = a^2 / R. For a solid alike in all
    directions; reed is softer across its grain, so its dents are deeper.
    """
    joint = modulus_mpa / (2 * (1 - poisson**2))
    return (3 * force_n * radius_mm / (4 * joint)) ** (2 / 3) / radius_mm
