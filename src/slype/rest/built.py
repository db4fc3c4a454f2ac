"""A wall of rods and what its parts are: what is built of weavers or ends, put together as one surface. Lengths mm."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..lay.values import Laid, flat_mm
from ..rods.contacts import Wall
from .hands import AT_EDGE, rapped

SLACK_PULL = 0.1
"""Pull along a weaver, in units of bending stiffness / spacing^2: a hand that only takes up the slack (common practice,
no source)."""


Least = Callable[[np.ndarray, np.ndarray, np.ndarray, np.ndarray], np.ndarray]
"""Least heights of nodes at the edge of a base: see `edge.Edge.least`."""
STIFFNESS_MPA = 1000.0
"""Bending modulus of soaked reed, N/mm2, from memory: it only turns pushes into newtons, no shape or length depends on
it."""


@dataclass(frozen=True)
class ReedLine:
    """One rod: a reed of a weaver in one start of a band, or the end of a spoke in the border.

    `which` says it in words, but for its colour. `block` counts the starts of the band, `piece` the reeds of one weaver
    as joins cut it, `strand` the reeds worked as one. For the border `band` is -1, `weaver` the spoke's number from 0
    and `strand` that of the reeds of a doubled end.
    """

    which: str
    role: str
    band: int
    block: int
    weaver: int
    strand: int
    piece: int
    colour: str
    thick_mm: float

    @property
    def name(self) -> str:
        """What it is called: a weaver with its colour."""
        return f"{self.which}, {self.colour}" if self.role == "weaver" else self.which


@dataclass(frozen=True, eq=False)
class Built:
    """A wall of rods and what its parts are. Over nodes: `u` ends round from space 0; `row` of its band; `woven` False
    where a cut end is tucked away. `columns` (pairs, 2): nodes, lower and upper, that the trace puts one directly above
    the other. `stations` nodes per space, `ends` spaces round, which stand on the `tier` of that number. `down_mm` how
    much lower beside a woven base than it is laid a wall was begun; `at_edge` where such a wall's first rows are."""

    where: str
    wall: Wall
    lines: tuple[ReedLine, ...]
    u: np.ndarray
    row: np.ndarray
    woven: np.ndarray
    columns: np.ndarray
    stacked: np.ndarray
    stations: int
    ends: int
    tier: int = 0
    down_mm: float = 0.0
    at_edge: np.ndarray | None = None

    @property
    def as_laid(self) -> np.ndarray:
        """Where the nodes lie (nodes, 2) on a wall that nobody sets down: what never comes to rest keeps that form."""
        out: np.ndarray = self.stacked + np.array((self.down_mm, 0.0))
        return out


@dataclass(eq=False)
class Rod:
    """One rod before it is put with the others: nodes, and the band's numbers that it takes part in; `held` where it
    lies."""

    line: ReedLine
    station: np.ndarray
    s: np.ndarray
    n: np.ndarray
    side: np.ndarray
    row: np.ndarray
    woven: np.ndarray
    groups: tuple[int, ...]
    pressed: bool
    stand_mm: tuple[float, ...]
    pile: np.ndarray
    rank: np.ndarray
    held: bool = False


def top_of(built: Built, at: np.ndarray, stations_round: int) -> np.ndarray:
    """Highest surface of any rod at every station round the wall (stations,), mm."""
    top = np.zeros(stations_round)
    np.maximum.at(top, built.wall.station, at[:, 0] + built.wall.r)
    return top


def put_together(
    laid: Laid,
    where: str,
    rods: list[Rod],
    columns: np.ndarray,
    stations: int,
    floor: np.ndarray,
    tier: int,
    edge: Least | None = None,
    down: float = 0.0,
) -> Built:
    """All rods of one surface, above the `floor` (stations round,) mm; beside the `edge` of a woven base they may
    come lower, and a wall's first rows are rapped down there, begun `down` mm lower than it is laid."""
    ends = len(floor) // stations
    count = np.array([len(rod.s) for rod in rods])
    s, n = np.concatenate([rod.s for rod in rods]), np.concatenate([rod.n for rod in rods])
    station = np.concatenate([rod.station for rod in rods])
    u = station / stations
    form = laid.design.form
    radius = form.base_radius(s) if where == "base" else np.maximum(form.radius(s), 1.0)
    h = 2 * math.pi * radius / (ends * stations)
    thick = np.array([rod.line.thick_mm for rod in rods])
    bend = math.pi / 64 * thick**4
    clear, scale = _posts(rods, count, u, radius, ends)
    last = np.concatenate([np.full(len(rod.s), bands_rows(laid, rod) - 1 if rod.pressed else -1) for rod in rods])
    row = np.concatenate([rod.row for rod in rods])
    woven = np.concatenate([rod.woven for rod in rods])
    load = np.zeros((len(s), 2))
    gap = np.add.reduceat(scale, np.r_[0, np.cumsum(count)[:-1]]) / count
    # Where a band of a side begins on another, and where on the edge of a woven base.
    lowest = min(rod.line.band for rod in rods)
    begins = np.repeat([where == "side" and rod.line.band > lowest for rod in rods], count)
    at_edge = np.repeat([edge is not None and rod.line.band == lowest for rod in rods], count)
    bears = np.repeat(_bears(rods, bend * thick), count)
    # Stout reed pressed down at the edge as hard as it bears would lift finer spokes out of their turn.
    stout = math.pi / 64 * laid.design.spokes.reed.diameter_mm ** 5
    bears = np.where(at_edge, np.minimum(bears, stout), bears)
    load[:, 0] = -np.where(woven, rapped(row, last, begins, at_edge) * bears / scale**4, 0.0) * h
    below = floor[station % len(floor)] + np.repeat(thick / 2, count)
    if edge is not None:
        below = np.minimum(below, edge(station, s, n, np.repeat(thick / 2, count)))
    side = np.concatenate([rod.side for rod in rods])
    at = np.stack([s, n], axis=1)
    wall = Wall(
        np.r_[0, np.cumsum(count)], at, station % (ends * stations), h, bend,
        SLACK_PULL * bend / gap**2, thick / 2, scale, load, below,
        np.where(clear > 0, side, 0), np.where(side != 0, clear, 0.0),
        np.concatenate([_pinned(rod) for rod in rods]),
        pile=np.concatenate([rod.pile for rod in rods]), rank=np.concatenate([rod.rank for rod in rods]),
    )  # fmt: skip
    return Built(
        where,
        wall,
        tuple(rod.line for rod in rods),
        u,
        row,
        woven,
        columns,
        wall.at,
        stations,
        ends,
        tier,
        down,
        at_edge & (row < len(AT_EDGE)),
    )


def _bears(rods: list[Rod], own: np.ndarray) -> np.ndarray:
    """What load each rod is given (rods,), where its reed alone would be given `own`: what the finest of all bands that
    it lies on bears. Rapped down as hard as it bears itself, stout reed would bend fine rows below it, and such walls
    hardly come to rest."""
    band = np.array([rod.line.band for rod in rods])
    order = np.argsort(band, kind="stable")
    least: np.ndarray = np.minimum.accumulate(own[order])[np.searchsorted(band[order], band, side="right") - 1]
    return least


def _pinned(rod: Rod) -> np.ndarray:
    """A border's end is held where it leaves its spoke; what lies below a border, wherever it is."""
    pinned = np.full(len(rod.s), rod.held)
    pinned[0] |= rod.line.role == "border"
    return pinned


def bands_rows(laid: Laid, rod: Rod) -> int:
    """Rows of the band a rod belongs to."""
    return next((band.rows for band in laid.bands if band.index == rod.line.band), 0)


def _posts(rods, count, u, radius, ends: int) -> tuple[np.ndarray, np.ndarray]:
    """For each node, mm: how far it must keep from the middle of the wall for the spokes it passes, 0 in open spaces;
    and the gap from one to the next that it bends in.

    Spokes of a group lie side by side: a reed passes straight over them and bends round the outer two.
    """
    gap = np.zeros(len(u))
    out = np.zeros(len(u))
    kinds = list(dict.fromkeys((rod.groups, rod.stand_mm) for rod in rods))
    kind = np.repeat([kinds.index((rod.groups, rod.stand_mm)) for rod in rods], count)
    thick = np.repeat([rod.line.thick_mm for rod in rods], count)
    place = u % ends
    for which, (sizes, stand) in enumerate(kinds):
        chosen = np.flatnonzero(kind == which)
        edges = np.r_[0, np.cumsum(sizes)]
        mine = np.clip(np.searchsorted(edges, place[chosen] + 1e-9, side="right") - 1, 0, len(edges) - 2)
        middle, many = (edges[mine] + edges[mine + 1]) / 2, edges[mine + 1] - edges[mine]
        away = np.abs(place[chosen] - middle) * 2 * math.pi * radius[chosen] / ends
        flat = flat_mm(stand, many)
        past = np.maximum(away - flat / 2, 0.0)
        gap[chosen] = np.maximum(2 * math.pi * radius[chosen] * many / ends - flat, 2 * thick[chosen])
        keep = (max(stand) + thick[chosen]) / 2
        out[chosen] = np.sqrt(np.maximum(keep**2 - past**2, 0.0))
    return out, gap
