"""Rods in space that lie in each other give way to each other. Numbers only.

A *bundle* is many rods in space, each nodes one after another, in the shape that it has taken: at rest by itself, or
with what lies on its own surface (`rods.wall`). Where surfaces meet, rods lie in each other, and this parts them.
Lengths mm.

Theory
1. Set. Each rod has taken its present shape for its own, as soaked reed does: only what it gives way costs anything.
   Least is wanted of: bending stiffness/2 x (second difference of the move)^2, plus a hold/2 x move^2 that makes a move
   die out within SPREAD thicknesses.
2. Contact. Two rods keep their axes as far apart as they touch, measured where two of their edges come closest. Rods
   that cross are kept apart along the line square to both, so that each has its own side of the other: the side that
   the caller knows (`Side`), or else the one on which they lie. Rods that lie along each other are kept apart along
   the line between them.
3. Method. Consensus ADMM as in `rods.wall` (Boyd and others 2011), in three axes, on moves instead of places; where
   rods come closest is looked up anew every LOOK sweeps. Work and memory grow with the number of nodes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from . import bundle_kernels, kernels

SPREAD = 6.0
"""Thicknesses of a rod within which a move dies out (common practice, no source): about what two fingers hold."""
LOOK = 10  # sweeps between looks for where rods come closest
SWEEPS, MOST_SWEEPS = 40, 160
"""Between two looks at the worst overlap, and the most: a basket that is not parted then hardly ever is later."""
ENOUGH = 0.035  # worst overlap, of the thinner rod's thickness, that is as good as none
MARGIN = 0.25  # thicknesses of the thinnest rod: pairs further apart than this are not looked at
STIFF = 12.0  # weight of a contact against what moves a rod in one place
OVER_RELAX = 1.5
SLIDE = 4  # edges by which a contact may slide along between looks
PARTED = 0.3  # touching distances: rods along each other that are nearer than this have no line between them to trust
SHOWN = 0.3  # of a line square to two rods along the surface's own normal, at least, for that to say who is above

Side = Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]
"""For nodes (pairs,) of two rods where they pass: (side (pairs,), way out (pairs, 3)). Side 1 if the second must lie
further out than the first, -1 if further in, 0 if that is not known."""


@dataclass(frozen=True, eq=False)
class Bundle:
    """Rods in space. `off` (rods + 1,) where each begins among the nodes; `at` (nodes, 3) mm; `radius` (rods,) mm."""

    off: np.ndarray
    at: np.ndarray
    radius: np.ndarray

    @cached_property
    def rod(self) -> np.ndarray:
        """Rod of every node (nodes,)."""
        return np.repeat(np.arange(len(self.off) - 1), np.diff(self.off))

    @cached_property
    def r(self) -> np.ndarray:
        """Radius of the rod at every node (nodes,), mm."""
        return self.radius[self.rod]

    @cached_property
    def long(self) -> np.ndarray:
        """mm from every node to the next (nodes,); 0 at the end of a rod."""
        step = np.r_[np.sqrt((np.diff(self.at, axis=0) ** 2).sum(axis=1)), 0.0]
        step[self.off[1:] - 1] = 0.0
        return step

    @cached_property
    def along(self) -> np.ndarray:
        """mm along its rod of every node (nodes,)."""
        all_along = np.r_[0.0, np.cumsum(self.long)[:-1]]
        return all_along - np.repeat(all_along[self.off[:-1]], np.diff(self.off))

    @cached_property
    def edges(self) -> np.ndarray:
        """Nodes that another of their rod follows."""
        last = np.zeros(len(self.at), bool)
        last[self.off[1:] - 1] = True
        return np.flatnonzero(~last)


@dataclass(frozen=True)
class Worst:
    """The worst overlap of a bundle: its `share` of the thinner rod's thickness, and a node of each beside it."""

    share: float
    nodes: tuple[int, int]


NONE = Worst(0.0, (-1, -1))


ALIKE = 1.3  # times as thick: rods no thicker than this than each other are looked for in one grid


def pairs_near(bundle: Bundle, at: np.ndarray, margin: float) -> tuple[np.ndarray, np.ndarray]:
    """(edge, edge) of every place where two rods pass each other within `margin` mm of touching.

    Of two rods the thinner looks for the other. Thick ones are looked for in a grid of their own, so that fine ones,
    which are many, have fine cells.
    """
    edges = bundle.edges
    middle, r = (at[edges] + at[edges + 1]) / 2, bundle.r[edges]
    low, half = middle.min(axis=0), np.sqrt(((at[edges + 1] - at[edges]) ** 2).sum(axis=1)) / 2
    out, done = [], 0.0
    while done < r.max():
        finest = float(r[r > done].min())
        sought = np.flatnonzero((r > done) & (r <= ALIKE * finest))
        done = float(r[sought].max())
        seek = np.flatnonzero(r <= done)
        size = float(half[sought].max() + half[seek].max()) + 2 * done + margin
        cell = np.floor((middle[seek] - low) / size).astype(np.int64) + 1
        wide = cell.max(axis=0) + 3
        key = (cell[:, 2] * wide[1] + cell[:, 1]) * wide[0] + cell[:, 0]
        # Neighbours in the grid look one after the other: what they look at is at hand.
        order = np.argsort(key, kind="stable")
        seek, key = seek[order], key[order]
        own = r[seek] >= finest
        cells, begins = np.unique(key[own], return_index=True)
        out.append(bundle_kernels.near(
            at, bundle.rod, bundle.r, edges[seek], key, edges[seek[own]], cells, np.r_[begins, own.sum()], wide,
            margin, bundle.along, 40 * len(seek),
        ))  # fmt: skip
    found = np.concatenate(out)
    found = found[np.lexsort((found[:, 1], found[:, 0]))]
    return np.ascontiguousarray(found[:, 0]), np.ascontiguousarray(found[:, 1])


def part(bundle: Bundle, side: Side | None = None, most_sweeps: int = MOST_SWEEPS) -> tuple[np.ndarray, Worst]:
    """How far every node gives way (nodes, 3), mm, so that no two rods lie in each other; and the worst that is left
    between nodes.

    It goes on in stretches of SWEEPS until no overlap is worse than ENOUGH, or for `most_sweeps`.
    """
    if not len(bundle.edges):
        return np.zeros_like(bundle.at), NONE
    work, left, done = _Work(bundle), NONE, 0
    while done < most_sweeps and (done == 0 or left.share > ENOUGH):
        for look in range(SWEEPS // LOOK):
            work.look(side, anew=look == 0)
            work.sweep(LOOK)
        done += SWEEPS
        left = worst(bundle, bundle.at + work.moved)
    return work.moved, left


class _Work:
    """Arrays that change while rods give way."""

    def __init__(self, bundle: Bundle) -> None:
        self.bundle, nodes = bundle, len(bundle.at)
        count = np.diff(bundle.off)
        thick = 2 * bundle.radius
        bend = np.pi / 64 * thick**4
        step = np.maximum(np.add.reduceat(bundle.long, bundle.off[:-1]) / np.maximum(count - 1, 1), 1e-3)
        dies = SPREAD * thick / np.sqrt(2)  # 4 x stiffness / hold, to the fourth root: of a rod on a soft ground
        hold = 4 * bend / dies**4
        self.bend, self.h = bend, np.repeat(step, count)
        self.hold = np.repeat(hold * step, count)
        self.rho_node = np.repeat(STIFF * 8 * bend / dies**3 * np.minimum(step / thick, 1.0), count)
        self.moved, self.new = np.zeros((nodes, 3)), np.empty((nodes, 3))
        self.slot_of = np.zeros(nodes + 1, np.int64)
        self.factors = np.zeros((3, nodes))
        self.pull = np.zeros(len(thick))
        self.one = self.two = np.zeros(0, np.int64)
        self.press = np.zeros(0)

    def look(self, side: Side | None, anew: bool) -> None:
        """Where rods come closest now, which way they are to be parted, and by how much."""
        bundle, at = self.bundle, self.bundle.at + self.moved
        if anew:
            one, two = pairs_near(bundle, at, MARGIN * 2 * float(bundle.radius.min()))
            key, known = one * len(at) + two, self.one * len(at) + self.two
            press = np.zeros(len(one))
            if len(known):
                order = np.argsort(known)
                spot = np.minimum(np.searchsorted(known[order], key), len(known) - 1)
                same = known[order][spot] == key
                press[same] = self.press[order][spot][same]
            self.one, self.two, self.press = one, two, press
        else:
            bundle_kernels.follow(at, bundle.rod, self.one, self.two, SLIDE)
        pairs = len(self.one)
        self.part, sine = np.empty((pairs, 2)), np.empty(pairs)
        far = bundle_kernels.meet(at, self.one, self.two, self.part, sine)
        self.way = self._ways(at, far, sine, side)
        base = self._between(bundle.at, 1) - self._between(bundle.at, 0)
        touch = bundle.r[self.one] + bundle.r[self.two]
        self.short = touch - (base * self.way).sum(axis=1)
        self.rho = np.sqrt(self.rho_node[self.one] * self.rho_node[self.two])
        self.slots, self.shares = np.zeros(4 * pairs, np.int64), np.zeros(4 * pairs)
        weight, beside = np.empty(len(at)), np.empty(len(at))
        bundle_kernels.gather(
            self.one, self.two, self.part, self.rho, self.slot_of, self.slots, self.shares, weight, beside
        )
        kernels.factor(
            bundle.off, 0, len(self.bend), self.bend, self.pull, self.h, weight + self.hold, beside, *self.factors
        )  # fmt: skip
        self.copy = np.stack([self._between(self.moved, 0), self._between(self.moved, 1)], axis=1).reshape(-1, 3)
        push = self.press[:, None] * self.way
        self.push = np.stack([push, -push], axis=1).reshape(-1, 3)

    def _between(self, what: np.ndarray, end: int) -> np.ndarray:
        return bundle_kernels.between(what, self.two if end else self.one, self.part[:, end])

    def _ways(self, at: np.ndarray, far: np.ndarray, sine: np.ndarray, side: Side | None) -> np.ndarray:
        """Unit vectors (pairs, 3) along which the second of every pair is to be parted from the first."""
        line = self._between(at, 1) - self._between(at, 0)
        square = np.cross(at[self.one + 1] - at[self.one], at[self.two + 1] - at[self.two])
        square /= np.maximum(np.sqrt((square**2).sum(axis=1)), 1e-12)[:, None]
        crosses = sine > bundle_kernels.ALONG
        out = line / np.maximum(far, 1e-9)[:, None]
        turn = np.where((line * square).sum(axis=1) < 0, -1.0, 1.0)
        inner = ((self.part > 0) & (self.part < 1)).all(axis=1)
        touch = self.bundle.r[self.one] + self.bundle.r[self.two]
        use = crosses & (inner | (far < PARTED * touch))
        out[use] = (square * turn[:, None])[use]
        if side is not None:
            known, outward = side(self.one, self.two)
            lean = (square * outward).sum(axis=1)
            told = (known != 0) & crosses & (np.abs(lean) > SHOWN)
            out[told] = (square * np.sign(lean * known)[:, None])[told]
            # Along each other and almost in one place: the way out of the surface is as good as any.
            lost = (known != 0) & ~told & (far < PARTED * touch)
            out[lost] = (outward * known[:, None])[lost]
        return out

    def sweep(self, count: int) -> None:
        every = (
            self.bundle.off, self.moved, self.rho, self.slot_of, self.slots, self.shares, self.copy, self.push,
            *self.factors, self.new, self.one, self.two, self.part, self.short, self.way, OVER_RELAX,
        )  # fmt: skip
        bundle_kernels.sweeps(count, *every)
        self.press = (self.push[0::2] * self.way).sum(axis=1)


def overlap(bundle: Bundle, at: np.ndarray, cut: float = 1.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(share of the thinner thickness, edge, edge) of every two rods that lie in each other (pairs,).

    So near to a cut end, in thicknesses of that rod, nothing is asked: ends are cut on the slant.
    """
    one, two = pairs_near(bundle, at, 0.0)
    parts = np.empty((len(one), 2))
    far = bundle_kernels.closest(at, one, two, parts)
    share = (bundle.r[one] + bundle.r[two] - far) / (2 * np.minimum(bundle.r[one], bundle.r[two]))
    whole = bundle.along[bundle.off[1:] - 1][bundle.rod]
    free = np.ones(len(one), bool)
    for end, edge in ((0, one), (1, two)):
        place = bundle.along[edge] + parts[:, end] * bundle.long[edge]
        free &= np.minimum(place, whole[edge] - place) >= cut * 2 * bundle.r[edge]
    keep = free & (share > 0)
    return share[keep], one[keep], two[keep]


def worst(bundle: Bundle, at: np.ndarray) -> Worst:
    """The worst overlap of any two rods of a bundle at places `at` (nodes, 3), each a smooth line through its nodes."""
    fine, node = _finer(bundle, at)
    found = worst_of(fine)
    return found if found is NONE else Worst(found.share, (int(node[found.nodes[0]]), int(node[found.nodes[1]])))


def worst_of(bundle: Bundle) -> Worst:
    """The worst overlap of any two rods as they lie, straight from node to node."""
    share, one, two = overlap(bundle, bundle.at)
    if not len(share):
        return NONE
    k = int(np.argmax(share))
    return Worst(float(share[k]), (int(one[k]), int(two[k])))


def _finer(bundle: Bundle, at: np.ndarray) -> tuple[Bundle, np.ndarray]:
    """The same rods with a node between every two, on a cubic through the four next to it; and the node before each."""
    last = np.zeros(len(at), bool)
    last[bundle.off[1:] - 1] = True
    i = bundle.edges
    before = np.where(np.r_[True, last[:-1]][i], i, i - 1)
    after = np.where(last[i + 1], i + 1, np.minimum(i + 2, len(at) - 1))
    middle = (9 * (at[i] + at[i + 1]) - at[before] - at[after]) / 16
    tip = (before == i) | (after == i + 1)
    middle[tip] = ((at[i] + at[i + 1]) / 2)[tip]
    place = np.r_[np.arange(len(at)), i + 0.5]
    order = np.argsort(place, kind="stable")
    count = 2 * np.diff(bundle.off) - 1
    node = place[order].astype(int)
    return Bundle(np.r_[0, np.cumsum(count)], np.concatenate([at, middle])[order], bundle.radius), node
