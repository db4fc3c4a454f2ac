"""Rods in space, and where they lie in each other. Numbers only.

A *bundle* is many rods in space, each nodes one after another. Lengths mm. `rods.parting` has them give way.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

import numpy as np

from . import bundle_kernels, contact_kernels, measure_kernels, smooth_kernels
from .contacts import in_order
from .pair import halves, helper, in_halves


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

    @property
    def long(self) -> np.ndarray:
        """mm from every node to the next (nodes,); 0 at the end of a rod."""
        return self._measured[0]

    @property
    def along(self) -> np.ndarray:
        """mm along its rod of every node (nodes,)."""
        return self._measured[1]

    @cached_property
    def _measured(self) -> tuple[np.ndarray, np.ndarray]:
        both: tuple[np.ndarray, np.ndarray] = measure_kernels.measured(self.at, self.off)
        return both

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


CHORD, MOST_CHORDS = 0.5, 8
"""The longest chord of a smooth line in its own thicknesses, and most of one edge: as reeds are drawn."""
MANY, MOST_OF, LONG = 40_000, 99, 4.0
"""Of so many edges those longer than so many in 100 are looked for apart, where the longest is so many times longer."""
FEW, MOST_CELLS = 0.5, 20e6
"""Times as many: of what is looked for or looks so much more often than the other, most have none of that near them;
and cells of a grid that may be marked to find these out."""
COUNTED = 20  # cells of a grid to each of what lies in it, below which counting sorts sooner than comparing
ALIKE = 1.3  # times as thick: rods no thicker than this than each other are looked for in one grid


def pairs_near(
    bundle: Bundle, at: np.ndarray, margin: float, fresh: np.ndarray | None = None, edges: np.ndarray | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """(edge, edge) of every place where two rods pass each other within `margin` mm of touching; of these `edges` only,
    and only such of which one is `fresh` (nodes,).

    Of two rods the thinner looks for the other. Thick ones are looked for in a grid of their own, so that fine ones,
    which are many, have fine cells.
    """
    edges = bundle.edges if edges is None else edges
    new = None if fresh is None else fresh[edges]
    if not len(edges) or (new is not None and not new.any()):
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    r, (half, low, high) = bundle.r[edges], contact_kernels.middles(at, edges)
    out: list[np.ndarray] = []
    has = np.zeros(len(bundle.radius), bool)
    has[bundle.rod[edges]] = True
    done, radii = 0.0, np.unique(bundle.radius[has])
    while done < radii[-1]:
        alike = radii[(radii > done) & (radii <= ALIKE * radii[radii > done][0])]
        sought = np.flatnonzero((r >= alike[0]) & (r <= alike[-1]))
        done = float(alike[-1])
        seekers = sought if alike[0] == radii[0] else np.flatnonzero(r <= done)
        for seek, those in _parts(half, seekers, sought, new):
            size = float(half[those].max() + half[seek].max()) + 2 * done + margin
            wide = np.floor((high - low) / size).astype(np.int64) + 4
            here = edges[seek]
            of = contact_kernels.cells_of(at, here, low, size, wide)
            there, home = here, of
            if those is not seek:
                there = edges[those]
                home = contact_kernels.cells_of(at, there, low, size, wide)
            many = float(np.prod(wide.astype(float)))
            if many < MOST_CELLS:  # of many only those that have a few near them
                if len(there) < FEW * len(here):
                    beside = contact_kernels.beside(of, home, wide)
                    here, of = here[beside], of[beside]
                elif len(here) < FEW * len(there):
                    beside = contact_kernels.beside(home, of, wide)
                    there, home = there[beside], home[beside]
            if not len(here) or not len(there):
                continue
            # Neighbours in the grid look one after the other: what they look at is at hand.
            of, here = _sorted(of, here, many)
            home, there = (of, here) if those is seek else _sorted(home, there, many)
            begins = np.concatenate([[0], np.flatnonzero(home[1:] != home[:-1]) + 1])
            grid = home[begins], np.r_[begins, len(home)], wide, margin, bundle.along
            in_halves(len(here), partial(_near, out, (at, bundle.rod, bundle.r), (here, of), (there, *grid)))
    found = np.concatenate([np.zeros((0, 2), np.int64), *out])
    one, two = np.divmod(np.sort(found[:, 0] * len(at) + found[:, 1]), len(at))
    return one, two


def _sorted(cells: np.ndarray, edges: np.ndarray, many: float) -> tuple[np.ndarray, np.ndarray]:
    if many < COUNTED * len(cells):
        counted: tuple[np.ndarray, np.ndarray] = contact_kernels.by_cell(cells, edges, int(many))
        return counted
    order = in_order(cells)
    return cells[order], edges[order]


def _near(
    out: list[np.ndarray], rods: tuple[Any, ...], seek: tuple[np.ndarray, ...], those: tuple[Any, ...], first: int,
    last: int,
) -> None:  # fmt: skip
    edges, home = (each[first:last] for each in seek)
    out.append(bundle_kernels.near(*rods, edges, home, *those, 40 * len(edges)))


def _parts(
    half: np.ndarray, seek: np.ndarray, sought: np.ndarray, new: np.ndarray | None
) -> list[tuple[np.ndarray, np.ndarray]]:
    """What looks for what: all for all, or what is `new` for all, and all else for what is new."""
    if new is None:
        return _by_length(half, seek, sought)
    fresh = new[seek]
    parts = [(seek[fresh], sought), (seek[~fresh], sought[new[sought]])]
    return [part for some, those in parts if len(some) and len(those) for part in _by_length(half, some, those)]


def _by_length(half: np.ndarray, seek: np.ndarray, sought: np.ndarray) -> list[tuple[np.ndarray, np.ndarray]]:
    """What looks for what, in parts that lie in one grid each: among very many edges a few long ones look and are
    looked for apart, or they would make every cell as large as themselves."""
    if len(seek) < MANY:
        return [(seek, sought)]
    mine = half[seek]
    longest = float(mine.max())
    if np.count_nonzero(mine * LONG > longest) > len(mine) - int(MOST_OF / 100 * (len(mine) - 1)):
        return [(seek, sought)]  # too many of them are as long: it need not be asked more closely
    usual = np.percentile(mine, MOST_OF)
    if longest < LONG * usual:
        return [(seek, sought)]
    short_seek, short = half[seek] <= usual, half[sought] <= usual
    parts = [(seek[short_seek], sought[short]), (seek, sought[~short]), (seek[~short_seek], sought[short])]
    return [(one, other) for one, other in parts if len(one) and len(other)]


def overlap(bundle: Bundle, at: np.ndarray, cut: float = 1.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(share of the thinner thickness, edge, edge) of every two rods that lie in each other (pairs,).

    So near to a cut end, in thicknesses of that rod, nothing is asked: ends are cut on the slant.
    """
    one, two = pairs_near(bundle, at, 0.0, edges=away_from_ends(bundle, cut))
    parts = np.empty((len(one), 2))
    far = smooth_kernels.closest(at, one, two, parts)
    return _shares(bundle, one, two, parts, far, cut)


def worst_of(bundle: Bundle) -> Worst:
    """The worst overlap of any two rods as they lie, straight from node to node."""
    share, one, two = overlap(bundle, bundle.at)
    if not len(share):
        return NONE
    k = int(np.argmax(share))
    return Worst(float(share[k]), (int(one[k]), int(two[k])))


def smooth_overlap(bundle: Bundle, margin: float, cut: float = 1.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """As `overlap`, of rods that are smooth lines through their nodes as they are drawn, in chords of CHORD at most.
    `margin` mm: how near two edges must come for that to be looked at."""
    return smooth_shares(bundle, *pairs_near(bundle, bundle.at, margin), cut)


def smooth_shares(
    bundle: Bundle, one: np.ndarray, two: np.ndarray, cut: float = 1.0
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """As `smooth_overlap`, of these pairs of edges. Where the nearest place of two rods is at a cut end, it is their
    next nearest that counts: an edge of the first has pairs of its own, and of the second its next inner edge is
    asked."""
    inner = away_from_ends(bundle, cut)
    first, last = np.full(len(bundle.radius), len(bundle.at)), np.full(len(bundle.radius), -1)
    of, begins = np.unique(bundle.rod[inner], return_index=True)
    first[of], last[of] = inner[begins], inner[np.r_[begins[1:], len(inner)][: len(of)] - 1]  # none of a short rod
    mine, other = bundle.rod[one], bundle.rod[two]
    keep = (first[mine] <= one) & (one <= last[mine]) & (last[other] >= 0)
    one, two = one[keep], two[keep]
    two = np.clip(two, first[bundle.rod[two]], last[bundle.rod[two]])
    parts = np.empty((len(one), 2))
    return _shares(bundle, one, two, parts, _closest_smooth(bundle, one, two, parts), cut)


def away_from_ends(bundle: Bundle, cut: float) -> np.ndarray:
    """Edges further than `cut` thicknesses from both ends of their rod: where the nearest place of two rods is at a cut
    end, it is their next nearest that counts."""
    out: np.ndarray = measure_kernels.inner_edges(bundle.off, bundle.radius, bundle.long, bundle.along, float(cut))
    return out


def smooth_distance(bundle: Bundle, one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Least distance, mm, of these edges (pairs,) as parts of smooth lines."""
    return _closest_smooth(bundle, one, two, np.empty((len(one), 2)))


def _closest_smooth(bundle: Bundle, one: np.ndarray, two: np.ndarray, parts: np.ndarray) -> np.ndarray:
    out, lines = np.empty(len(one)), _smooth(bundle)

    def some(first: int, last: int) -> None:
        here = slice(first, last)
        out[here] = smooth_kernels.closest_smooth(*lines, bundle.rod, one[here], two[here], parts[here])

    in_halves(len(one), some)
    return out


def _smooth(bundle: Bundle) -> tuple[np.ndarray, np.ndarray]:
    """(points (k, 3) of smooth lines through the nodes, where each node begins among them (nodes + 1,))."""
    many = np.ones(len(bundle.at), np.int64)
    edges = bundle.edges
    chords = np.ceil(bundle.long[edges] / (CHORD * 2 * bundle.r[edges]) - 1e-9)
    many[edges] = np.clip(chords, 1, MOST_CHORDS).astype(np.int64)
    first = np.r_[0, np.cumsum(many)]
    return lines_through(bundle.at, bundle.off, many, first), first


def lines_through(at: np.ndarray, off: np.ndarray, many: np.ndarray, first: np.ndarray) -> np.ndarray:
    """Points (k, 3) of smooth lines through nodes (see `smooth_kernels.smooth_lines`)."""
    out = np.empty((first[-1], 3))
    cut = 0, int(np.searchsorted(off, len(at) / 2)), len(off) - 1
    with helper(len(at)) as pair:
        halves(pair, cut, lambda begin, end: smooth_kernels.smooth_lines(at, off, many, first, begin, end, out))
    return out


def _shares(
    bundle: Bundle, one: np.ndarray, two: np.ndarray, parts: np.ndarray, far: np.ndarray, cut: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(share of the thinner thickness, edge, edge) of those pairs that lie in each other and are not cut ends."""
    share = (bundle.r[one] + bundle.r[two] - far) / (2 * np.minimum(bundle.r[one], bundle.r[two]))
    deep = np.flatnonzero(share > 0)
    share, one, two, parts = share[deep], one[deep], two[deep], parts[deep]
    whole = bundle.along[bundle.off[1:] - 1]
    free = np.ones(len(one), bool)
    for end, edge in ((0, one), (1, two)):
        place = bundle.along[edge] + parts[:, end] * bundle.long[edge]
        free &= np.minimum(place, whole[bundle.rod[edge]] - place) >= cut * 2 * bundle.r[edge]
    return share[free], one[free], two[free]


# What lies near what, kept while rods give way ---------------------------------------------------------------
# Looking for all pairs anew is the dearest part of parting rods; few of them move far.

SLACK = 0.25
"""Share of the margin that a node may move before what lies near it is looked for anew; pairs are kept from twice as
much further off, so that none within the margin is missed."""
SLIDE = 4  # edges by which the place where two rods meet may slide along between looks
STAYED = 1e-6  # mm: nodes that have moved by no more have stayed
ANEW = 0.5  # share of all edges beyond which all are looked at anew


class Neighbours:
    """Every two edges of a bundle that come within `margin` mm of touching, as its nodes move."""

    def __init__(self, bundle: Bundle, margin: float) -> None:
        self.bundle, self.margin, self.slack = bundle, margin, SLACK * margin
        self.at = bundle.at.copy()  # where each node was when it was last looked for what lies near it
        self.seen = self.at
        self.one, self.two = pairs_near(bundle, self.at, margin + 2 * self.slack)

    def look(self, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(edge, edge) of every pair within the margin, nodes being at `at` (nodes, 3)."""
        if bundle_kernels.further(self.seen, at, STAYED).any():
            self._follow(at)
        near = bundle_kernels.within(at, self.bundle.r, self.one, self.two, self.margin)
        return self.one[near], self.two[near]

    def _follow(self, at: np.ndarray) -> None:
        moved = bundle_kernels.further(self.at, at, self.slack)
        if moved.any():
            self.at[moved] = at[moved]
            fresh = moved.copy()
            fresh[:-1] |= moved[1:]  # edges that end at such a node
            edges, reach = self.bundle.edges, self.margin + 2 * self.slack
            if fresh[edges].mean() > ANEW:
                self.one, self.two = pairs_near(self.bundle, self.at, reach)
            else:
                one, two = pairs_near(self.bundle, self.at, reach, fresh)
                self.one, self.two = np.r_[self.one, one], np.r_[self.two, two]
        one, two, rod = self.one, self.two, self.bundle.rod

        def slide(first: int, last: int) -> None:
            bundle_kernels.follow(at, rod, one[first:last], two[first:last], SLIDE)

        in_halves(len(one), slide)
        key = np.sort(self.one * len(at) + self.two)
        self.one, self.two = np.divmod(key[np.r_[True, np.diff(key) > 0]], len(at))
        self.seen = at.copy()
