"""Which rods of a bundle lie near which, kept while they give way. Numbers only.

Looking for all pairs anew is the dearest part of parting rods; few of them move far. `rods.parting` works with these.
"""

from __future__ import annotations

import numpy as np

from . import bundle_kernels
from .bundle import Bundle, pairs_near
from .pair import in_halves

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
