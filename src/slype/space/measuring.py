"""How far reeds lie in each other just as they are drawn. Lengths mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..lay.values import Laid
from ..rods import bundle as rods
from ..rods import measure_kernels, smooth_kernels
from ..rods.bundle import Bundle, Neighbours
from ..rods.pair import in_halves
from ..rods.smooth_kernels import SAME_PLACE_MM
from ..surface.curve import Curve
from .assembly import whole

MOST_DRAWN = 1_000_000
"""Points of all reeds as they are drawn. Of a basket with more only every so many of them are measured, which took a
gigabyte of three million."""

Found = tuple[float, tuple[str, str]]
"""The worst overlap as a share of the thinner reed, and the two reeds' names."""


def worst_drawn(laid: Laid, curves: list[Curve], lines: list[np.ndarray] | None = None) -> Found:
    """The worst overlap of any two reeds of a basket, all looked for anew; beyond MOST_DRAWN points of fewer. `lines`:
    of the basket's own reeds before any gave way, where they are known."""
    reeds = whole(laid, curves, lines=lines)
    step = -(-sum(len(reed.points) for reed in reeds) // MOST_DRAWN)
    lines = [np.r_[reed.points[:-1:step], reed.points[-1:]] for reed in reeds]
    off = np.r_[0, np.cumsum([len(line) for line in lines])]
    drawn = Bundle(off, np.concatenate(lines), np.array([r.thick_mm / 2 for r in reeds]))
    found = rods.worst_of(drawn)
    first, second = ("" if node < 0 else reeds[drawn.rod[node]].name for node in found.nodes)
    return found.share, (first, second)


@dataclass(frozen=True, eq=False)
class Drawn:
    """One reed where it has come to lie: its `points` (k, 3), its longest chord once drawn (inf where it is drawn
    through its points), and which of its points are nodes of a bundle (nodes,), those of the numbers `spots`."""

    name: str
    thick_mm: float
    points: np.ndarray
    chord_mm: float
    nodes: np.ndarray
    spots: np.ndarray


def worst_near(reeds: Sequence[Drawn], near: Neighbours) -> Found:
    """The worst overlap of any two reeds, of which it is known what lies near what: `near` of the bundle of their
    nodes. The same as `worst_drawn`, in a tenth of the time."""
    lines = _Chords(reeds, near.bundle)
    at = np.empty_like(near.at)
    for reed in reeds:
        at[reed.spots] = reed.points[reed.nodes]
    one, two = near.look(at)
    bowed = smooth_kernels.bowed(*lines.all[:3])
    some = bowed > near.margin / 2  # of others what strays is within the margin
    if some.any():
        some[1:] |= some[:-1].copy()  # the nodes at both its ends
        more = rods.pairs_near(near.bundle, at, 2 * float(bowed.max()), some)
        one, two = np.r_[one, more[0]], np.r_[two, more[1]]
    far, radius = np.empty(len(one)), near.bundle.r

    def measure(first: int, last: int) -> None:
        here = slice(first, last)
        far[here] = smooth_kernels.closest_chords(*lines.all, near.bundle.rod, one[here], two[here])

    in_halves(len(one), measure)
    share = (radius[one] + radius[two] - far) / (2 * np.minimum(radius[one], radius[two]))
    k = int(np.argmax(share)) if len(share) else -1
    if k < 0 or share[k] <= 0:
        return rods.NONE.share, ("", "")
    return float(share[k]), (reeds[lines.of[one[k]]].name, reeds[lines.of[two[k]]].name)


class _Chords:
    """The reeds' smooth lines in chords: `all` as `smooth_kernels.closest_chords` asks for them; `of` which reed each
    edge of the bundle belongs to (nodes,)."""

    def __init__(self, reeds: Sequence[Drawn], bundle: Bundle) -> None:
        starts = np.r_[0, np.cumsum([len(reed.points) for reed in reeds])]
        at = np.concatenate([reed.points for reed in reeds])
        # What is drawn has no two points in one place.
        keep = np.r_[True, measure_kernels.measured(at, starts)[0][:-1] > SAME_PLACE_MM]
        keep[starts[:-1]] = True
        place = np.cumsum(keep) - 1
        off = np.r_[place[starts[:-1]], place[-1] + 1]
        at, number = at if keep.all() else at[keep], np.repeat(np.arange(len(reeds)), np.diff(off))
        chord, cut = (np.array(each)[number] for each in zip(*((r.chord_mm, r.thick_mm) for r in reeds), strict=True))
        hop = measure_kernels.measured(at, off)[0]
        many = np.maximum(np.ceil(hop / chord - 1e-9), 1).astype(np.int64)
        first = np.r_[0, np.cumsum(many)]
        line = rods.lines_through(at, off, many, first)
        begin, end, self.of = (np.zeros(len(bundle.at), np.int64) for _ in range(3))
        for k, reed in enumerate(reeds):
            edge, chords = np.minimum(reed.spots[1:], reed.spots[:-1]), first[place[starts[k] + reed.nodes]]
            begin[edge], end[edge], self.of[edge] = chords[:-1], chords[1:], k
        dense = Bundle(first[off], line, cut[off[:-1]] / 2)
        free = np.zeros(len(line), bool)
        free[rods.away_from_ends(dense, 1.0)] = True
        self.all = line, begin, end, free
