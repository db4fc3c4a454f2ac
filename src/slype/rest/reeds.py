"""The whole basket as rods: every reed of every weaver, cut where it is joined, and the border's ends.

Makes a `wall.Wall` of the base or the side from the stacked knots and says which rod is which. Lengths mm.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from ..errors import Unweavable
from ..form.wall import smooth_through
from ..lay.joins import Join
from ..lay.stacks import Start, starts
from ..lay.values import BandLaid, Laid, flat_mm
from ..quantity import show_length
from ..rods.contacts import Wall
from ..weave.trace import BACK
from .hands import rapped

STATIONS = 8
"""Nodes of a rod per space between ends (even, so that spokes stand on one). See the table of checks for what twice as
many change."""
SLACK_PULL = 0.1
"""Pull along a weaver, in units of bending stiffness / spacing^2: a hand that only takes up the slack (common practice,
no source)."""
TAIL = 0.3
"""How far a cut end lies past the spoke it rests against, in spaces (common practice, no source)."""
OVER = 8  # stations either way: a row lies on what stands highest within a space of it
STIFFNESS_MPA = 1000.0
"""Bending modulus of soaked reed, N/mm2, from memory: it only turns pushes into newtons, no shape or length depends on
it."""


@dataclass(frozen=True)
class ReedLine:
    """One rod: a reed of a weaver in one start of a band, or the end of a spoke in the border.

    `block` counts the starts of the band, `piece` the reeds of one weaver as joins cut it, `strand` the reeds worked as
    one. For the border `band` is -1 and `weaver` the spoke's number from 0.
    """

    name: str
    role: str
    band: int
    block: int
    weaver: int
    strand: int
    piece: int
    colour: str
    thick_mm: float


@dataclass(frozen=True, eq=False)
class Built:
    """A wall of rods and what its parts are. Over nodes: `u` ends round from space 0; `row` of its band; `woven` False
    where a cut end is tucked away. `columns` (pairs, 2): nodes, lower and upper, that the trace puts one directly above
    the other. `stations` nodes per space, `ends` spaces round, which stand on the `tier` of that number."""

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


def build(
    laid: Laid,
    where: str,
    joins: Iterable[Join] = (),
    stations: int = STATIONS,
    tier: int = 0,
    below: tuple[Built, np.ndarray] | None = None,
) -> Built | None:
    """Rods of one tier of the base or the side, None when nothing is woven there.

    `below` the tier it stands on and where its nodes came to rest (nodes, 2). Raises Unweavable
    naming the band where reeds cannot pass between the spokes.
    """
    bands = [band for band in laid.bands if band.band.where == where and band.tier == tier]
    if not bands:
        return None
    for band in bands:
        _refuse_jammed(laid, band)
    rods: list[Rod] = []
    pairs: list[np.ndarray] = []
    at_join: dict[tuple[int, int], list[Join]] = defaultdict(list)
    for join in joins:
        at_join[join.band, join.weaver].append(join)
    nodes = laid_before = 0
    for start in starts(laid, where):
        if start.band.tier != tier:
            continue
        begun, low, high = _weavers(laid, start, at_join, stations, nodes, laid_before)
        nodes += sum(len(rod.s) for rod in begun)
        laid_before += len(start.u) * start.band.band.strands
        rods += begun
        pairs.append(_columns(start, low, high))
    floor = np.full(bands[0].ends * stations, bands[0].start_s)
    lift = laid.turn_mm if where == "side" and tier == 0 else 0.0
    # Outside nothing of a woven base is below the first row: it may come down beside the base's edge.
    outside = lift if laid.base else 0.0
    floor += lift
    if below is not None:
        floor, lift = _ground(below, len(floor))
    for rod in rods:
        rod.s += lift
    if below is not None:
        _off_the_ground(rods, floor)
    return put_together(laid, where, rods, np.concatenate(pairs), stations, floor, tier, outside)


def _ground(below: tuple[Built, np.ndarray], stations_round: int) -> tuple[np.ndarray, float]:
    """(height at every station of the tier above, how much higher than stacked), mm, of a tier at rest."""
    built, at = below
    around = built.ends * built.stations
    top, stacked = (top_of(built, each, around) for each in (at, built.stacked))
    there = ((np.arange(stations_round) + 0.5) * around / stations_round).astype(int)
    return top[there], float(top.mean() - stacked.mean())


def _off_the_ground(rods: list[Rod], floor: np.ndarray) -> None:
    """Let rods begin above what they stand on, whose height is `floor` (stations round,) mm: where the lowest would
    begin below it, all that lie near are lifted. Else a cut end is lifted past the row that is laid over it."""
    sunk, near = np.zeros(len(floor)), np.arange(-OVER, OVER + 1)
    for rod in rods:
        at = rod.station % len(floor)
        np.maximum.at(sunk, at, floor[at] + rod.line.thick_mm / 2 - rod.s)
    around = (np.arange(len(floor))[:, None] + near) % len(floor)
    lift = sunk[around].max(axis=1)[around].mean(axis=1)
    for rod in rods:
        rod.s += lift[rod.station % len(floor)]


def top_of(built: Built, at: np.ndarray, stations_round: int) -> np.ndarray:
    """Highest surface of any rod at every station round the wall (stations,), mm."""
    top = np.zeros(stations_round)
    np.maximum.at(top, built.wall.station, at[:, 0] + built.wall.r)
    return top


def _refuse_jammed(laid: Laid, band: BandLaid) -> None:
    if band.jammed:
        gap, wording = float(band.gap[int(np.argmax(band.ratio))]), laid.design.wording
        raise Unweavable(
            f"{band.band.weave.named(wording)} in {band.band.reed.named(wording)} cannot pass between spokes with "
            f"{show_length(max(gap, 0), laid.design.units, 16)} from one to the next.",
            laid.design.at("band", band.index),
            "Use fewer ends, finer reed or spokes, or a wider basket.",
        )


# Weavers -------------------------------------------------------------------------------------------------------


def _weavers(
    laid: Laid, start: Start, at_join, stations: int, offset: int, laid_before: int
) -> tuple[list[Rod], np.ndarray, np.ndarray]:
    """(rods, node of every site on its lowest strand, and on its highest) of one start; nodes counted from `offset`.

    `laid_before`: how many sites of strands the starts below it have.
    """
    band, side = start.band, start.side
    thick, deep = band.band.reed.diameter_mm, band.deep_mm
    low, high = np.zeros(len(start.u), np.int64), np.zeros(len(start.u), np.int64)
    out: list[Rod] = []
    for weaver, sites in start.by_weaver():
        for piece, (first, last) in enumerate(_pieces(start, sites, side, at_join[band.index, weaver])):
            mine = sites[first:last]
            u, s, n = _with_ends(
                start.u[mine],
                start.height[mine],
                side[mine] * deep / 2,
                deep / 2 + thick,
                start.in_s[weaver],
                start.out_s[weaver],
            )
            ends = start.in_ends(u)
            station = np.arange(math.ceil(ends[0] * stations - 1e-9), math.floor(ends[-1] * stations + 1e-9) + 1)
            here = station / stations
            s_here, n_here = smooth_through(ends, s, here), smooth_through(ends, n, here)
            row = _row_at(start, mine, ends, here)
            first_u, last_u = start.in_ends(start.u[mine[[0, -1]]] + np.array([-0.5, 0.5]))
            woven = (here >= first_u - 1e-9) & (here < last_u - 1e-9)
            facing = _side_at(u, n, start, here)
            at = np.round(start.in_ends(start.u[mine]) * stations).astype(np.int64) - station[0]
            for strand in range(band.band.strands):
                lift = (strand - (band.band.strands - 1) / 2) * thick
                colour = band.colours[weaver][strand % len(band.colours[weaver])]
                if strand == 0:
                    low[mine] = offset + at
                high[mine] = offset + at
                name = _name(band, start, weaver, strand, piece, colour, last - first < len(sites))
                line = ReedLine(name, "weaver", band.index, start.number, weaver, strand, piece, colour, thick)
                pressed = bool(start.first + start.trace.rows >= band.rows)
                out.append(
                    Rod(
                        line,
                        station,
                        s_here + lift,
                        n_here,
                        facing,
                        row,
                        woven,
                        band.sizes,
                        pressed,
                        band.stand_mm,
                        *_in_piles(start, mine, at, len(station), strand, laid_before),
                    )
                )
                offset += len(station)
    return out, low, high


def _in_piles(
    start: Start, sites: np.ndarray, at: np.ndarray, count: int, strand: int, laid_before: int
) -> tuple[np.ndarray, np.ndarray]:
    """`pile` and `rank` (count,) of one rod's nodes (see `Wall`), its `sites` at nodes `at`: what the trace says."""
    pile, rank = np.full(count, -1), np.zeros(count, np.int64)
    # Sites are sorted by place and height, and whatever a later start lays lies above.
    pile[at], rank[at] = start.kind[sites], laid_before + sites * start.band.band.strands + strand
    return pile, rank


def _name(band: BandLaid, start: Start, weaver: int, strand: int, piece: int, colour: str, many: bool) -> str:
    parts = [f"band {band.index + 1}"]
    if len(band.segments) > 1:
        parts.append(f"block {1 + [first for first, _, _ in band.segments].index(start.first)}")
    parts.append(f"weaver {weaver + 1}")
    if band.band.strands > 1:
        parts.append(f"strand {strand + 1}")
    if many:
        parts.append(f"reed {piece + 1}")
    return ", ".join([*parts, colour])


def _pieces(start: Start, sites: np.ndarray, side: np.ndarray, joins: list[Join]) -> list[tuple[int, int]]:
    """Runs of a weaver's sites (first, past the last) between its joins: a new reed begins behind a spoke."""
    cuts = [0]
    passage = start.passage[sites]
    face = start.kind[sites] <= BACK
    row, spoke = start.trace.row[passage] + start.first, start.trace.spoke[passage]
    for join in joins:
        if not start.first <= join.row < start.first + start.trace.rows:
            continue
        away = np.abs(spoke - join.space)
        far = np.where(
            face & (side[sites] < 0), np.minimum(away, start.trace.ends - away) + 1000 * np.abs(row - join.row), 10**9
        )
        cuts.append(int(np.argmin(far)))
    cuts = sorted({cut for cut in cuts if cut == 0 or 3 <= cut <= len(sites) - 3})
    return list(zip(cuts, [*cuts[1:], len(sites)], strict=True))


def _with_ends(
    u, s, n, behind: float, in_s: np.ndarray, out_s: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Knots with the cut ends that rest inside: past a front the reed goes in and lies behind the next spoke.

    `behind` mm: how far inside the wall's middle an old end lies that has a new reed before it. `in_s`, `out_s` mm:
    heights of its ends, at the crossing and behind the spoke (see `Start`).
    """
    inside = float(-abs(n).max())
    if n[0] > 0:
        head = [(u[0] - 1 - TAIL, in_s[1], inside), (u[0] - 1, in_s[1], inside), (u[0] - 0.5, in_s[0], 0.0)]
    else:
        head = [(u[0] - TAIL, s[0], inside)]
    if n[-1] > 0:
        tail = [(u[-1] + 0.5, out_s[0], 0.0), (u[-1] + 1, out_s[1], inside), (u[-1] + 1 + TAIL, out_s[1], inside)]
    elif n[-1] < 0:
        tail = [(u[-1] + TAIL, s[-1], inside)]
    else:
        tail = [(u[-1] + 0.5, s[-1], -behind), (u[-1] + 0.5 + TAIL, s[-1], -behind)]
    whole = np.concatenate([np.array(head), np.stack([u, s, n], axis=1), np.array(tail)])
    return whole[:, 0], whole[:, 1], whole[:, 2]


def _row_at(start: Start, sites: np.ndarray, ends: np.ndarray, here: np.ndarray) -> np.ndarray:
    """Row of the band at places `here` along one piece."""
    places = start.in_ends(start.u[sites])
    at = np.clip(np.searchsorted(places, here, side="right") - 1, 0, len(sites) - 1)
    return start.trace.row[start.passage[sites[at]]] + start.first


def _side_at(u: np.ndarray, n: np.ndarray, start: Start, here: np.ndarray) -> np.ndarray:
    """On which side of its nearest spoke or group a reed passes at places `here` (in ends): +1, -1, 0 for neither."""
    groups = len(start.edges) - 1
    whole, part = np.divmod(here, start.edges[-1])
    group = np.floor(whole * groups + np.interp(part, start.edges, np.arange(groups + 1)) + 1e-9)
    middle = group + 0.5
    at = np.clip(np.searchsorted(u, middle - 1e-6), 0, len(u) - 1)
    return np.where(np.abs(u[at] - middle) < 1e-6, np.sign(n[at]), 0).astype(np.int64)


def _columns(start: Start, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """(lower node, upper node) wherever the trace puts one strand directly on another."""
    sites = start.trace.sites
    same = (sites.kind[1:] == sites.kind[:-1]) & (sites.place[1:] == sites.place[:-1])
    return np.stack([high[:-1][same], low[1:][same]], axis=1)


# All rods of one surface ---------------------------------------------------------------------------------------


def put_together(
    laid: Laid,
    where: str,
    rods: list[Rod],
    columns: np.ndarray,
    stations: int,
    floor: np.ndarray,
    tier: int,
    outside_mm: float = 0.0,
) -> Built:
    """All rods of one surface, above the `floor` (stations round,) mm; outside, that lies `outside_mm` lower, and
    a wall's first rows are rapped down there."""
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
    # Where a band of a side begins on another, or on a woven base.
    lowest = 0 if outside_mm else min(rod.line.band for rod in rods) + 1
    begins = np.repeat([where == "side" and rod.line.band >= lowest for rod in rods], count)
    load[:, 0] = -np.where(woven, rapped(row, last, begins) * np.repeat(bend * thick, count) / scale**4, 0.0) * h
    below = floor[station % len(floor)] + np.repeat(thick / 2, count)
    below -= outside_mm * np.clip(n / max(n.max(), 1e-9), 0.0, 1.0)
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
    )


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
