"""Rods in space that lie in each other give way to each other. Numbers only.

Each rod of a bundle (`rods.bundle`) has the shape that it has taken: at rest by itself, or with what lies on its own
surface (`rods.wall`). Where surfaces meet, rods lie in each other, and this parts them. Lengths mm.

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
   A node that lies on the ground keeps its axis above it, as if it touched a rod that never moves.
4. Stretches. All rods give way for SWEEPS; then they have taken that shape for their own (1 again), and only those near
   a place that is not parted give way further, held further off. So what would not part at once
   does so bit by bit, as fingers press a reed into place, slanting no more than SLANTS in one of them, and what has
   parted is left alone.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from . import bundle_kernels, kernels
from .bundle import SLIDE, Bundle, Neighbours, smooth_distance, smooth_shares
from .pair import Pair, halves, helper, in_turn

SPREAD = 6.0
"""Thicknesses of a rod within which a move dies out (common practice, no source): about what two fingers hold."""
LOOK = 10  # sweeps between looks for where rods come closest
SWEEPS = 40  # of a stretch
SLANTS, ROUND_IT = 0.4, 8
"""How far a rod slants away from where it lay in one stretch, at most (a tangent; moves are small ones, 1 above), and
how many nodes to both sides of such a place then make no greater share of their moves. A cut end that is pressed
further in one go swings out, and bends back on itself."""
MOST_STRETCHES = 12
HOPELESS = 3, 0.04
"""(Stretches, share of all nodes): rods of which so many are not parted by then do not go on. Of 25 baskets tried
those that parted in the end had less than a hundredth left by the second; one that did not had a fortieth after all
twelve."""
MOST_WORK = 12_000_000
"""Nodes times sweeps, of a whole basket: some 2 s of a processor. One of 40,000 nodes, a common one, may go on with all
its rods to the end; one of more than 300,000, as nobody weaves, is not begun with."""
MOST_IN_ALL = 15_000_000
"""The same once it is begun: in a basket of 260,000 nodes what little is left may part in a third stretch."""
ENOUGH = 0.025  # worst overlap, of the thinner rod's thickness, that is as good as none
MARGIN = 0.25  # thicknesses of the thinnest rod: pairs further apart than this are not looked at
STIFF = 12.0  # weight of a contact against what moves a rod in one place
OVER_RELAX = 1.5
PARTED = 0.3  # touching distances: rods along each other that are nearer than this have no line between them to trust
SHOWN = 0.3  # of a line square to two rods along the surface's own normal, at least, for that to say who is above
BEYOND = 8  # nodes to both sides of what such rods may touch that lie there for them to slide along
ROUND = 6.0  # thicknesses of the thickest rod: so far round a place that is not parted, at least, rods give way further
ROUNDING = 0.15  # touching distances by which smooth lines may be nearer than straight edges, at most
CUT = 0.5  # thicknesses from a cut end within which nothing is asked: half of what is measured, whose edges are shorter
SHARED_FROM = 6_000  # nodes; below, handing sweeps to a second core costs more than it saves
CLAMP = 1e6  # weight of what holds rods further off, in contact weights

Pairs = tuple[np.ndarray, np.ndarray]
"""(edge, edge) of rods that may touch, each (pairs,)."""
Side = Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]
"""For nodes (pairs,) of two rods where they pass: (side (pairs,), way out (pairs, 3)). Side 1 if the second must lie
further out than the first, -1 if further in, 0 if that is not known."""


def neighbours(bundle: Bundle) -> Neighbours | None:
    """What lies near what among these rods; None where too many for anything to give way, or none."""
    if not len(bundle.edges) or SWEEPS * len(bundle.at) > MOST_WORK:
        return None
    return Neighbours(bundle, MARGIN * 2 * float(bundle.radius.min()))


def part(
    bundle: Bundle, side: Side | None = None, ground: np.ndarray | None = None, near: Neighbours | None = None
) -> np.ndarray:
    """How far every node gives way (nodes, 3), mm, so that no two rods lie in each other and none in the `ground`: the
    least height of every node's axis (nodes,), -inf where there is none. `near` is the bundle's `neighbours`.

    It goes on in stretches until no overlap is worse than ENOUGH, or MOST_STRETCHES or MOST_IN_ALL are done, or it is
    HOPELESS; where one stretch alone would take more, nothing gives way. Given is how rods lay when the fewest were
    left in each other.
    """
    at, near = bundle.at.copy(), neighbours(bundle) if near is None else near
    if near is None:
        return np.zeros_like(at)
    here, some = np.arange(len(at)), bundle
    ground = np.full(len(at), -np.inf) if ground is None else ground
    clamped, effort = np.zeros(len(at), bool), SWEEPS * len(at)
    best, fewest = at, np.inf
    pairs = near.look(at)
    for nth in range(MOST_STRETCHES):
        moved = _stretch(some, clamped, _of_some(side, here), nth > 0, ground[here], _among(pairs, here, clamped))
        moved *= _unfolded(some, moved)[:, None]
        if len(here) == len(at):
            at += moved
        else:
            at[here] += moved
        pairs = near.look(at)
        left = _unparted(Bundle(bundle.off, at, bundle.radius), _of_free(pairs, here, clamped), ground)
        if len(left) < fewest:  # where there is no room, what is pressed further may only go astray
            best, fewest = at.copy(), len(left)
        if not len(left) or (nth + 1 >= HOPELESS[0] and len(left) > HOPELESS[1] * len(at)):
            break
        here, some, clamped = _near_to(bundle, at, left, pairs)
        effort += SWEEPS * len(here)
        if effort > MOST_IN_ALL:
            break
    return best - bundle.at


def _stretch(
    bundle: Bundle, clamped: np.ndarray, side: Side | None, smooth: bool, ground: np.ndarray, pairs: Pairs
) -> np.ndarray:
    nodes = len(bundle.at)
    if np.isfinite(ground).any():  # one more rod, far off, that never moves: the ground
        far = bundle.at.min(axis=0) - 100.0 - np.array([[1.0], [0.0]])
        radius = np.r_[bundle.radius, bundle.radius.min()]
        bundle = Bundle(np.r_[bundle.off, nodes + 2], np.concatenate([bundle.at, far]), radius)
        clamped, ground = np.r_[clamped, True, True], np.r_[ground, -np.inf, -np.inf]
    with helper(nodes, SHARED_FROM) as pair:
        work = _Work(bundle, clamped, smooth, ground, pairs, pair)
        for _ in range(SWEEPS // LOOK):
            work.look(side)
            work.sweep(LOOK)
    return work.moved[:nodes]


def _unfolded(bundle: Bundle, moved: np.ndarray) -> np.ndarray:
    """The share (nodes,) of its move that each node makes in one stretch, so that no rod turns aside by more than
    SLANTS, a tangent, on its way to it."""
    hop = np.diff(moved, axis=0)
    slant = np.sqrt((hop * hop).sum(axis=1)) / np.maximum(bundle.long[:-1], 1e-9)
    slant[bundle.rod[1:] != bundle.rod[:-1]] = 0.0
    share, steep = np.ones(len(moved)), np.flatnonzero(slant > SLANTS)
    for edge in steep:
        rod = bundle.rod[edge]
        here = slice(max(edge - ROUND_IT, bundle.off[rod]), min(edge + 2 + ROUND_IT, bundle.off[rod + 1]))
        share[here] = np.minimum(share[here], SLANTS / slant[edge])
    return share


def _of_some(side: Side | None, here: np.ndarray) -> Side | None:
    return None if side is None else lambda one, two: side(here[one], here[two])


def _of_free(pairs: Pairs, here: np.ndarray, clamped: np.ndarray) -> Pairs:
    """Those pairs of which a node is one of those `here` (k,) that are not `clamped`: all others lie as they did."""
    one, two = pairs
    free = np.zeros(max(int(here.max()), int(one.max(initial=0)), int(two.max(initial=0))) + 2, bool)
    free[here[~clamped]] = True
    some = free[one] | free[one + 1] | free[two] | free[two + 1]
    return one[some], two[some]


def _among(pairs: Pairs, here: np.ndarray, clamped: np.ndarray) -> Pairs:
    """The same of those pairs that lie among the nodes `here` (k,), by their numbers there."""
    one, two = _of_free(pairs, here, clamped)
    place = np.full(max(int(here.max()), int(one.max(initial=0)), int(two.max(initial=0))) + 2, -1)
    place[here] = np.arange(len(here))
    whole = (place[one] >= 0) & (place[two] >= 0)
    whole &= (place[one + 1] == place[one] + 1) & (place[two + 1] == place[two] + 1)
    return place[one[whole]], place[two[whole]]


def _unparted(bundle: Bundle, pairs: Pairs, ground: np.ndarray) -> np.ndarray:
    """Nodes beside places of these pairs that are not parted, and those that lie in the ground."""
    share, one, two = smooth_shares(bundle, *pairs, CUT)
    worse = share > ENOUGH
    sunk = np.flatnonzero(ground - bundle.at[:, 2] > ENOUGH * 2 * bundle.r)
    return np.unique(np.r_[one[worse], two[worse], sunk])


def _near_to(bundle: Bundle, at: np.ndarray, left: np.ndarray, pairs: Pairs) -> tuple[np.ndarray, Bundle, np.ndarray]:
    """(nodes round those `left` and what of their `pairs` lies beyond, the pieces of rods that they are, True for those
    beyond: they stay)."""
    size = ROUND * 2 * float(bundle.radius.max())
    cell = np.floor((at - at.min(axis=0)) / size).astype(np.int64) + 1
    wide = cell.max(axis=0) + 2
    key = (cell[:, 2] * wide[1] + cell[:, 1]) * wide[0] + cell[:, 0]
    steps = np.array([(z * wide[1] + y) * wide[0] + x for z in (-1, 0, 1) for y in (-1, 0, 1) for x in (-1, 0, 1)])
    near = np.zeros(int(np.prod(wide)), bool)  # cells: coarse ones, a few thousand
    near[(np.unique(key[left])[:, None] + steps).ravel()] = True
    free = near[key]
    # Of what stays only that counts which the others may touch, or slide to, and what holds the ends of their rods.
    keep = free.copy()
    moving = np.flatnonzero(free)
    for edge in _of_free(pairs, moving, np.zeros(len(moving), bool)):
        keep[edge] = keep[edge + 1] = True
    so_far, every = np.r_[0, np.cumsum(keep)], np.arange(len(at))
    first = np.maximum(every - BEYOND, bundle.off[bundle.rod])
    last = np.minimum(every + 1 + BEYOND, bundle.off[bundle.rod + 1])
    keep = so_far[last] > so_far[first]
    # Pieces of one rod that lie close along it stay one: as two they would lie in each other.
    here = np.flatnonzero(keep)
    same = bundle.rod[here[1:]] == bundle.rod[here[:-1]]
    close = same & (bundle.along[here[1:]] - bundle.along[here[:-1]] < 10 * bundle.r[here[1:]])
    for k in np.flatnonzero(close & (np.diff(here) > 1)):
        keep[here[k] : here[k + 1]] = True
    here = np.flatnonzero(keep)
    begins = np.r_[True, (np.diff(here) > 1) | (bundle.rod[here[1:]] != bundle.rod[here[:-1]])]
    first = np.flatnonzero(begins)
    pieces = Bundle(np.r_[first, len(here)], at.take(here, axis=0), bundle.radius[bundle.rod[here[first]]])
    return here, pieces, ~free[here]


class _Work:
    """Arrays that change while rods give way."""

    def __init__(
        self, bundle: Bundle, clamped: np.ndarray, smooth: bool, ground: np.ndarray, pairs: Pairs, pair: Pair | None
    ) -> None:
        self.bundle, self.smooth, nodes = bundle, smooth, len(bundle.at)
        self.ground, self.pair = ground, pair
        count = np.diff(bundle.off)
        thick = 2 * bundle.radius
        bend = np.pi / 64 * thick**4
        step = np.maximum(np.add.reduceat(bundle.long, bundle.off[:-1]) / np.maximum(count - 1, 1), 1e-3)
        dies = SPREAD * thick / np.sqrt(2)  # 4 x stiffness / hold, to the fourth root: of a rod on a soft ground
        hold = 4 * bend / dies**4
        self.bend, self.h = bend, np.repeat(step, count)
        self.hold = np.repeat(hold * step, count)
        self.rho_node = np.repeat(STIFF * 8 * bend / dies**3 * np.minimum(step / thick, 1.0), count)
        self.hold[clamped] += CLAMP * self.rho_node[clamped]
        self.moved, self.new = np.zeros((nodes, 3)), np.empty((nodes, 3))
        self.want = np.empty((2, nodes, 3))
        self.factors = np.zeros((3, nodes))
        self.pull = np.zeros(len(thick))
        low = np.flatnonzero(bundle.at[:, 2] - ground < MARGIN * 2 * float(bundle.radius.min()))
        self.last = np.isin(low, bundle.off[1:] - 1)  # of its rod: it lies at the end of the edge before it
        self.one, self.two = np.r_[pairs[0], low - self.last], np.r_[pairs[1], np.full(len(low), nodes - 2)]
        self.lying = np.arange(len(self.one)) >= len(pairs[0])
        self.press = np.zeros(len(self.one))
        # What is known of sides, and of which second edges that was asked.
        self.known, self.outward = np.zeros(len(self.one)), np.zeros((len(self.one), 3))
        self.asked = np.full(len(self.one), -1)
        self.rod_cut = 0, int(np.searchsorted(bundle.off, nodes / 2)), len(count)
        self.pair_cut = 0, len(self.one) // 2, len(self.one)

    def look(self, side: Side | None) -> None:
        """Where rods come closest now, which way they are to be parted, and by how much."""
        bundle, at, pairs = self.bundle, self.bundle.at + self.moved, len(self.one)
        self.part, sine, far = np.empty((pairs, 2)), np.empty(pairs), np.empty(pairs)

        def meet(first: int, last: int) -> None:
            here = slice(first, last)
            bundle_kernels.follow(at, bundle.rod, self.one[here], self.two[here], SLIDE)
            far[here] = bundle_kernels.meet(at, self.one[here], self.two[here], self.part[here], sine[here])

        halves(self.pair, self.pair_cut, meet)
        lying = np.flatnonzero(self.lying)
        self.part[lying, 0], self.part[lying, 1] = self.last, 0.0
        self.way = self._ways(at, far, sine, side)
        self.way[lying] = (0.0, 0.0, -1.0)
        touch = bundle.r[self.one] + bundle.r[self.two]
        if self.smooth:  # straight edges may be apart where the smooth lines through the same nodes are not
            now = Bundle(bundle.off, at, bundle.radius)
            touch += np.clip(far - smooth_distance(now, self.one, self.two), 0.0, ROUNDING * touch)
        self.short = bundle_kernels.missing(bundle.at, touch, self.one, self.two, self.part, self.way)
        node = self.one[lying] + self.last
        self.short[lying] = self.ground[node] - bundle.at[node, 2]
        self.rho = np.sqrt(self.rho_node[self.one] * self.rho_node[self.two])
        self.copy, weight, beside = np.empty((2 * pairs, 3)), np.empty(len(at)), np.empty(len(at))
        places = self.one, self.two, self.part
        bundle_kernels.begin(
            *places, self.rho, self.way, self.press, self.moved, self.copy, weight, beside, self.want
        )
        rods = self.bend, self.pull, self.h, weight + self.hold, beside, *self.factors
        halves(self.pair, self.rod_cut, lambda first, last: kernels.factor(bundle.off, first, last, *rods))

    def _ways(self, at: np.ndarray, far: np.ndarray, sine: np.ndarray, side: Side | None) -> np.ndarray:
        """Unit vectors (pairs, 3) along which the second of every pair is to be parted from the first."""
        if side is not None:
            some = np.flatnonzero((self.two != self.asked) & ~self.lying)
            self.known[some], self.outward[some] = side(self.one[some], self.two[some])
            self.asked = self.two.copy()
        touch = self.bundle.r[self.one] + self.bundle.r[self.two]
        out, lost = np.empty((len(far), 3)), PARTED * touch

        def some_ways(first: int, last: int) -> None:
            here = slice(first, last)
            every = self.one, self.two, self.part, far, sine, lost, self.known, self.outward
            out[here] = bundle_kernels.ways(at, *(each[here] for each in every), SHOWN)

        halves(self.pair, self.pair_cut, some_ways)
        return out

    def sweep(self, count: int) -> None:
        off, half = self.bundle.off, self.pair_cut[1]
        rods = self.moved, self.want, *self.factors, self.new
        places = self.one, self.two, self.part, self.short, self.way, self.rho
        pairs = *places, self.moved, self.copy, self.press, OVER_RELAX
        if self.pair is None:
            bundle_kernels.sweeps(count, off, half, rods, pairs, self.want)
            return
        cut = np.array(self.rod_cut)

        def run(k: int, begun: int, counts: np.ndarray) -> int:
            done: int = bundle_kernels.sweeps_in_turn(k, begun, counts, count, off, cut, half, rods, pairs, self.want)
            return done

        in_turn(self.pair, 2 * count, run)
