"""Where every strand runs, as curves to draw: stacked heights, geometric border, fanned base.

A curve is sampled points (u, s, n): u spokes round in the direction of work, s along the surface in mm, n -1 inside,
0 between the spokes, +1 outside. No screen, no colour, no projection.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from ..borders.meetings import beside_the_tip, laid_over
from ..borders.rows import Border, Plait, Rods, path_of_end
from ..borders.work import layers
from ..form.wall import cubic, slopes_through, smooth_through
from ..lay.stacks import Start, starts
from ..lay.values import Laid
from ..rods.stack import read_only
from .from_behind import from_behind, plaited_in_pairs

_Knots = tuple[np.ndarray, np.ndarray, np.ndarray]
LOWEST = 0.0  # thicknesses of a border's end above the last row: no tip is drawn lower
STEPS = 4  # samples per half space: at drawing size the chords cannot be told from the curve
IN_HALF = np.linspace(0, 0.5, STEPS + 1)


@dataclass(frozen=True, eq=False)
class Run:
    """Half spaces of one strand: `u`, `s`, `n` each (pieces, STEPS + 1); `colours` bottom to top; `thick_mm` of one.

    `band` in the design, `start` within the band and `weaver` of that start say which weaver it is, each from 0.
    """

    u: np.ndarray
    s: np.ndarray
    n: np.ndarray
    colours: tuple[str, ...]
    thick_mm: float
    band: int = -1
    start: int = 0
    weaver: int = 0


@dataclass(frozen=True, eq=False)
class StartRuns:
    """Half spaces of all weavers of one `start`, one weaver after the other: `u`, `s`, `n` each (pieces, STEPS + 1).

    `weavers` (w,) their numbers, `first` (w + 1,) where the pieces of each begin, and how many there are.
    """

    start: Start
    u: np.ndarray
    s: np.ndarray
    n: np.ndarray
    weavers: np.ndarray
    first: np.ndarray


def start_runs(laid: Laid, where: str) -> Iterator[StartRuns]:
    """The weavers of the base or the side, start by start, each band stacked on the last."""
    for start in starts(laid, where):
        if start.passage.size:
            sites = (start.trace.weaver[start.passage], start.u, start.height, start.side)
            at, s, n, weavers, first = _sampled(*(each.tobytes() for each in sites))
            yield StartRuns(start, start.in_ends(at), s, n, weavers, first)


@functools.lru_cache(maxsize=64)
def _sampled(*sites: bytes) -> tuple[np.ndarray, ...]:
    """`u` (in groups) to `first` of `StartRuns` from the weaver, u, height and side of every site.

    The last answers are remembered: many changes leave most of a basket's weavers as they were. Do not write into them.
    """
    weaver, (u, s, n) = np.frombuffer(sites[0], int), (np.frombuffer(each, float) for each in sites[1:])
    order = np.lexsort((u, weaver))
    weaver = weaver[order]
    begins = np.flatnonzero(np.append(True, weaver[1:] != weaver[:-1]))
    many = np.diff(np.append(begins, len(order)))
    # At both ends of each a short tail is tucked behind, level with its first and its last site.
    first = begins + 2 * np.arange(len(begins))
    last = first + many + 1
    line = np.repeat(np.arange(len(begins)), many + 2)
    within = np.minimum(np.maximum(np.arange(len(line)) - first[line] - 1, 0), many[line] - 1)
    u, s, n = (each[order[begins[line] + within]] for each in (u, s, n))
    u[first] -= 0.5
    u[last] += 0.5
    n[first] = n[last] = 0.0
    knot, halves = _halves(u, last)
    at, heights = halves[:, None] + IN_HALF, np.stack([s, n])
    s, n = cubic(u, heights, slopes_through(u, heights, first), knot[:, None], at)
    return read_only(at, s, n, weaver[begins], np.append(np.searchsorted(knot, first), len(knot)))


def _halves(u: np.ndarray, last: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Every half space between knots u (k,): (the knot before it, where it begins). None between a line's `last` and
    the next."""
    many = np.rint(2 * (u[1:] - u[:-1])).astype(int)
    many[last[:-1]] = 0
    knot = np.repeat(np.arange(len(many)), many)
    nth = np.arange(len(knot)) - np.repeat(np.cumsum(many) - many, many)
    return knot, u[knot] + nth / 2


def weaver_runs(laid: Laid, where: str) -> list[Run]:
    """The weavers of the base or the side, one run for every start of every weaver."""
    out: list[Run] = []
    for runs in start_runs(laid, where):
        band, number = runs.start.band, runs.start.number
        for weaver, a, b in zip(runs.weavers.tolist(), runs.first, runs.first[1:], strict=False):
            u, s, n = (each[a:b] for each in (runs.u, runs.s, runs.n))
            out.append(Run(u, s, n, band.colours[weaver], band.band.reed.diameter_mm, band.index, number, weaver))
    return out


def border_runs(laid: Laid) -> list[Run]:
    """The spokes' ends woven down, in geometric form: each end rises with every spoke it passes, as in a rope."""
    border, design = laid.design.border, laid.design
    thick = design.spokes.reed.diameter_mm
    if border.is_open:
        return _arches(laid)
    colours = (design.spokes.colour,)
    # By the border's screw symmetry all ends run alike, each a space further on.
    u, s, n = _sampled_from(*border_knots(laid)[0])
    return [Run(u + end, s, n, colours, thick, weaver=end) for end in range(design.top_ends)]


def border_knots(laid: Laid) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Knots (u ends, s mm, side) of every end of a closed border, one of its reeds; the last knot lies past its last.

    In the first row ends are laid down one after the other over standing spokes: each lies over those before it, bends
    over them at its own foot and sinks as it goes. In later rows an end passes over others that wait there, and rises
    with every spoke as in a rope. Every row lies on what the rows before it laid on that face. By the border's screw
    symmetry that is the same at every spoke. Rod and plaited borders lie as their order of work lays them.
    """
    thick = laid.design.border_end_mm
    u, s, n = knots_of_end(laid.design.border, thick)
    return [(u + end, s + laid.top_s, n) for end in range(laid.design.top_ends)]


def knots_of_end(border: Border, thick: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Knots (u ends, s mm over the last row, side) of the end of spoke 0, `thick` mm: see `border_knots`."""
    way = 1.0 if border.rows[0].legs[0][0] else -1.0
    if border.order is not None:
        return _in_order_of_work(border, way, thick)
    if (led := from_behind(border)) is not None:
        at, high, side = led
        return at, high * thick, side
    bend = _first_row(border)[1] + 0.5
    u, level, n = [0.5, 0.75, 1.0], [-0.5, bend, bend], [0.0, 0.1 * way, 0.5 * way]
    stands, here, last = {True: 0, False: 0}, {True: 0, False: 0}, 0
    first = _first_row(border)
    for row, outside, passed in path_of_end(border):
        if row != last:
            stands, here, last = {face: stands[face] + here[face] for face in stands}, dict.fromkeys(stands, 0), row
        u.append(passed + 0.5)
        level.append(first[passed] if row == 0 else stands[outside] + here[outside])
        n.append(1.0 if outside else -1.0)
        here[outside] += 1
    return _with_tip(border, thick, _with_crossings(np.array(u), (np.array(level) + 0.5) * thick, np.array(n)))


def _in_order_of_work(border: Border, way: float, thick: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The same of a border worked in another order than by rows: in a space in which it goes in over rods that come out
    there, or bends down over some, an end lies above these."""
    u, s, n = _as_laid(border, way, thick)
    for step, others in laid_over(border):
        at = np.isclose(u, step) | ((step == 1) & (u > 0.6) & (u < 1.1))
        s[at] = np.maximum(s[at], max(float(np.interp(other, u, s)) for other in others) + thick)
    return _with_tip(border, thick, (u, s, n))


def _first_row(border: Border) -> dict[int, int]:
    """How many ends lie below each pass of the first row, by how many spokes on: those bent down before, there."""
    faces = {step: outside for row, outside, step in path_of_end(border) if row == 0}
    return {step: sum(faces[other] == faces[step] for other in faces if other > step) for step in faces}


def _with_tip(border: Border, thick: float, knots: _Knots) -> _Knots:
    """The same knots with the very tip above what it lies on, and below those that are led over it, so far as there is
    room above the weaving."""
    u, s, n = knots
    over, under = ([float(np.interp(step, u, s)) for step in steps] for steps in beside_the_tip(border))
    high = max([float(s[-1]), *(each + thick for each in under)])
    s[-1] = min([high, *(max(each - thick, LOWEST * thick) for each in over)])
    return u, s, n


def _side_by_side(border: Border) -> Mapping[tuple[int, int], int]:
    """How many ends lie below each pass of an end of a border worked in another order than by rows, by (stage, step).
    In front of rods that lie there it rises with every spoke it passes: the next comes out from beneath it."""
    rank = layers(border)
    if not isinstance(border.order, Rods):
        return rank
    front = [(stage, step) for stage, outside, step in path_of_end(border) if stage and outside]
    return {**rank, **{place: nth for nth, place in enumerate(front)}}


def _as_laid(border: Border, way: float, thick: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Knots of the end of spoke 0 of a border worked in another order than by rows."""
    rank, path = _side_by_side(border), path_of_end(border)
    # It bends over what lies on the inside, and over the rods that have passed before it.
    before = [rank[stage, step] for stage, outside, step in path if outside and isinstance(border.order, Rods)]
    bend = max(rank[0, 1], *before, 0) + 0.5
    u, level, n = [0.5, 0.75, 1.0], [-0.5, bend, bend], [0.0, 0.1 * way, 0.5 * way]
    for stage, outside, step in path:
        u.append(step + 0.5)
        level.append(rank[stage, step])
        n.append(1.0 if outside else -1.0)
    knots = _with_crossings(np.array(u), np.array(level) + 0.5, np.array(n))
    if isinstance(border.order, Plait) and border.order.rounds > 1:
        knots = plaited_in_pairs(border, knots)
    return knots[0], knots[1] * thick, knots[2]


def _with_crossings(u: np.ndarray, s: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Put a knot in the space wherever the curve changes sides, and one past its end."""
    swap = np.flatnonzero(n[1:] * n[:-1] < 0) + 1
    u = np.insert(u, swap, u[swap] - 0.5)
    s = np.insert(s, swap, (s[swap] + s[swap - 1]) / 2)
    n = np.insert(n, swap, 0.0)
    return np.r_[u, u[-1] + 0.5], np.r_[s, s[-1]], np.r_[n, 0.0]


def _sampled_from(u: np.ndarray, s: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    halves = np.arange(round(2 * u[0]), round(2 * u[-1])) / 2
    at = halves[:, None] + IN_HALF
    s, n = smooth_through(u, np.stack([s, n]), at.ravel()).reshape(2, *at.shape)
    return at, s, n


def _arches(laid: Laid) -> list[Run]:
    """Scallops of an open border: half ellipses from each spoke to where its end goes down."""
    border = laid.design.border
    over, thick = border.rows[0].legs[0][0], laid.design.spokes.reed.diameter_mm
    # It passes so many spokes and goes down beside the next one, on the near side of it.
    reach = border.reach + 1 - min(0.5, 1.1 * thick / laid.border_spacing_mm)
    out = []
    for end in range(laid.design.top_ends):
        # Even steps of angle, so that the steep feet of the arch are as smooth as its crown.
        turn = np.linspace(0, np.pi, 8 * STEPS + 1)
        along = (1 - np.cos(turn[np.arange(8)[:, None] * STEPS + np.arange(STEPS + 1)])) / 2
        at = end + 0.5 + along * reach
        s = laid.top_s + laid.border_height_mm * 2 * np.sqrt(np.clip(along * (1 - along), 0, None))
        # Later arches leave their spokes behind this one: it begins on the one side of them and ends on the other.
        side = 0.6 * np.sin(2 * np.pi * along) * (-1 if over else 1)
        out.append(Run(at, s, side, (laid.design.spokes.colour,), thick, weaver=end))
    return out
