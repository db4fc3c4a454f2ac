"""Whole bands stacked on each other: the knots of every weaver, from the first row of the base or side up.

A knot is a weaver at a front, a back or a crossing. Pictures draw curves through them; rods start from them.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..weave.trace import BACK, CROSSING, Trace
from .pitch import settled
from .values import BandLaid, Laid


@dataclass(frozen=True, eq=False)
class Start:
    """One setting-in of a band's weavers: its `number` within the band from 0, `first` row of the band, its `trace` and
    sites in the trace's order.

    `passage`, `kind`, `height` (sites,) mm, `u` (sites,) groups round from space 0; `edges` (groups + 1,) where each
    group begins, counted in ends; `in_s`, `out_s` (weavers, 2) mm: heights of each weaver's cut ends, at the crossing
    of the space it is set in or ended in and behind the spoke beside it.
    """

    band: BandLaid
    number: int
    first: int
    trace: Trace
    passage: np.ndarray
    kind: np.ndarray
    height: np.ndarray
    u: np.ndarray
    edges: np.ndarray
    in_s: np.ndarray
    out_s: np.ndarray

    @property
    def side(self) -> np.ndarray:
        """+1 outside, -1 inside, 0 at a crossing (sites,)."""
        return np.where(self.kind <= BACK, np.where(self.trace.front[self.passage], 1.0, -1.0), 0.0)

    def by_weaver(self) -> Iterator[tuple[int, np.ndarray]]:
        """Each weaver with its sites in the order it passes them."""
        weaver = self.trace.weaver[self.passage]
        order = np.lexsort((self.u, weaver))
        for sites in np.split(order, np.flatnonzero(np.diff(weaver[order])) + 1):
            yield int(weaver[sites[0]]), sites

    def in_ends(self, u: np.ndarray) -> np.ndarray:
        """Places round (in groups) counted in single ends."""
        groups = len(self.edges) - 1
        if groups == self.edges[-1]:  # every end is a group of its own
            return u
        whole, part = np.divmod(u, groups)
        return whole * self.edges[-1] + np.interp(part, np.arange(groups + 1), self.edges)


def starts(laid: Laid, where: str) -> Iterator[Start]:
    """Every start of every band of the base or the side, each stacked on what lies below."""
    bands = laid.base if where == "base" else laid.side
    if not bands:
        return
    # How high the work stands at every front, back and crossing, kept by single ends.
    stands = np.full((3, bands[0].ends), bands[0].start_s)
    spaces, hands = bands[0].spaces, _as_packed(bands)
    for band in bands:
        if band.ends != stands.shape[1]:  # more ends: each new place is as high as the work that was there
            level = stands.max(axis=0)
            level = np.maximum(level, np.maximum(np.roll(level, 1), np.roll(level, -1)))
            there = ((np.arange(band.ends) + 0.5) / band.ends * len(level)).astype(int)
            stands, spaces = np.tile(level[there], (3, 1)), band.spaces
        if band.spaces != spaces:  # opening out: the new spaces lie where no crossing was, so all start level
            stands[:] = np.maximum(stands.max(axis=0), np.roll(stands, 1, axis=1).max(axis=0))
            spaces = band.spaces
        for number, (first, t) in enumerate(band.traces()):
            start = _stack(band, number, first, t, stands)
            yield (
                start
                if hands is None
                else replace(start, height=hands(start.height), in_s=hands(start.in_s), out_s=hands(start.out_s))
            )


def _as_packed(bands: list[BandLaid]) -> Callable[[np.ndarray], np.ndarray] | None:
    """From heights as reed of its stated thickness stacks to heights as the maker's gauge has them; None where it says
    nothing of these rows."""
    if all(band.packs is None for band in bands):
        return None
    reckoned = np.cumsum([0.0, *(band.height_mm / (band.packs.times if band.packs else 1.0) for band in bands)])
    reckoned += bands[0].start_s
    packed = np.array([bands[0].start_s, *(band.end_s for band in bands)])

    def packs(heights: np.ndarray) -> np.ndarray:
        beyond = np.maximum(heights - reckoned[-1], 0.0) + np.minimum(heights - reckoned[0], 0.0)
        return np.interp(heights, reckoned, packed) + beyond

    return packs


def _stack(band: BandLaid, number: int, first: int, t: Trace, stands: np.ndarray) -> Start:
    """One start stacked on `stands` (3, ends) mm, which is raised to what it reaches."""
    stack, reached = _stacked(t, band.thick_mm, band.sizes, stands.tobytes())
    stands[:] = reached
    return Start(band, number, first, t, *stack)


@functools.lru_cache(maxsize=64)
def _stacked(
    t: Trace, thick: float, groups: tuple[int, ...], floor: bytes
) -> tuple[tuple[np.ndarray, ...], np.ndarray]:
    """(`passage` to `out_s` of a `Start`, heights (3, ends) mm that it reaches) on the heights in `floor`, over
    `groups` of so many ends each.

    The last answers are remembered: after a change of the wall or of one band, all that stands below is as it was.
    """
    sizes = np.array(groups)
    stands = np.frombuffer(floor).reshape(3, sizes.sum()).copy()
    edges = np.append(0, np.cumsum(sizes))
    below = np.stack(
        [np.maximum.reduceat(stands[0], edges[:-1]), np.maximum.reduceat(stands[1], edges[:-1]), stands[2][edges[:-1]]]
    )
    below[CROSSING] = _crossings_over(below, thick)
    # A weaver that is set in comes from behind a spoke, out of its space, below all that will lie there.
    begin = (t.start + np.arange(t.weavers)) % t.ends
    in_s = _tucked(below, begin, begin - 1, 0.0 if t.weave.reverse[0] else thick, thick)
    stack, passage, heights = settled(t, thick, below)
    kind, place = t.sites.kind, t.sites.place
    # The next band rests on this one's least height: both then settle upwards by the same play.
    np.maximum.at(below, (kind, place), stack.least + thick / 2)
    last = np.flatnonzero(t.next_on_weaver < 0)
    last = last[np.argsort(t.weaver[last])]
    after = (t.spoke[last] + 1) % t.ends
    ending = np.where(t.front[last], thick, 0.0)
    out_s = _tucked(below, after, after, ending, ending)
    stands[:2] = np.repeat(below[:2], sizes, axis=1)
    stands[2][edges[:-1]] = below[2]
    u = t.trip[passage] * t.ends + t.spoke[passage] + np.where(kind <= BACK, 0.5, 0.0)
    if t.weave.reverse[0]:
        # Reverse strokes pass under the weavers that wait: these come out as high as they go on.
        order = np.lexsort((u, t.weaver[passage]))
        weaver = t.weaver[passage][order]
        in_s[:, 0] = heights[order][np.append(True, weaver[1:] != weaver[:-1])]
    found = (passage, kind, heights, u, edges, in_s, out_s)
    for each in (*found, stands):
        each.flags.writeable = False
    return found, stands


def _crossings_over(below: np.ndarray, thick: float) -> np.ndarray:
    """Heights (spaces,) mm at which what crosses next begins, `below` (3, spaces) being filled: where rows passed by a
    space and none crossed in it, hardly below the lowest of the four faces round it. Else a weaver set in there would
    lead down through all of them."""
    faces = below[:2].min(axis=0)
    return np.maximum(below[CROSSING], np.minimum(faces, np.roll(faces, 1)) - thick)


def _tucked(
    below: np.ndarray,
    spaces: np.ndarray,
    spokes: np.ndarray,
    through: float | np.ndarray,
    behind: float | np.ndarray,
) -> np.ndarray:
    """Heights mm (reeds, 2) of ends that go through `spaces` and lie behind `spokes`, on what is there.

    They raise what is there by `through` and `behind` mm.
    """
    heights = np.empty((len(spaces), 2))
    for column, (kind, places, thick) in enumerate(((CROSSING, spaces, through), (BACK, spokes, behind))):
        for k, (place, thickness) in enumerate(
            zip(places.tolist(), np.broadcast_to(thick, places.shape).tolist(), strict=True)
        ):
            heights[k, column] = below[kind, place] + thickness / 2
            below[kind, place] += thickness
    return heights
