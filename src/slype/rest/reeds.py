"""The whole basket as rods: every reed of every weaver, cut where it is joined, and the border's ends.

Makes a `wall.Wall` of the base or the side from the stacked knots and says which rod is which. Lengths mm.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping

import numpy as np

from ..errors import Unweavable
from ..form.wall import smooth_through_each
from ..lay.joins import Join
from ..lay.stacks import Start, starts
from ..lay.values import BandLaid, Laid
from ..quantity import show_length
from ..weave.trace import BACK
from .built import Built, Least, ReedLine, Rod, put_together, top_of
from .edge import edge_of

STATIONS = 8
"""Nodes of a rod per space between ends (even, so that spokes stand on one). See the table of checks for what twice as
many change."""
TAIL = 0.3
"""How far a cut end lies past the spoke it rests against, in spaces (common practice, no source)."""
SET_DOWN = 0.15
"""A wall begins so low beside a woven base that at such a share of its places a reed touches what is below: hands set
its first stroke down on the base (common practice, no source). Begun higher, the whole wall hangs there: what is woven
above the first rows presses too lightly to draw it down, and the ring between base and wall stays open."""
OVER = 8  # stations either way: a row lies on what stands highest within a space of it


def build(
    laid: Laid,
    where: str,
    joins: Iterable[Join] = (),
    stations: int = STATIONS,
    tier: int = 0,
    below: tuple[Built, np.ndarray] | None = None,
) -> Built | None:
    """Rods of one tier of the base or the side, None when nothing is woven there.

    `below` the tier it stands on, or the base, and where its nodes came to rest (nodes, 2); a side for which none is
    given begins beside the base as it is stacked. Raises Unweavable naming the band where reeds cannot pass between the
    spokes.
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
    floor += lift
    if below is None and where == "side" and laid.base:
        base = build(laid, "base", tier=len(laid.design.tiers("base")) - 1)
        below = None if base is None else (base, base.stacked)
    edge = None
    if below is not None and below[0].where != where:
        edge = edge_of(laid, *below, len(floor)).least
    elif below is not None:
        floor, lift = _ground(below, len(floor))
    for rod in rods:
        rod.s += lift
    down = 0.0
    if edge is not None:
        down = _set_down(rods, floor, edge)
    elif below is not None:
        _off_the_ground(rods, floor)
    return put_together(laid, where, rods, np.concatenate(pairs), stations, floor, tier, edge, down)


def _ground(below: tuple[Built, np.ndarray], stations_round: int) -> tuple[np.ndarray, float]:
    """(height at every station of the tier above, how much higher than stacked), mm, of a tier at rest."""
    built, at = below
    around = built.ends * built.stations
    top, stacked = (top_of(built, each, around) for each in (at, built.stacked))
    there = ((np.arange(stations_round) + 0.5) * around / stations_round).astype(int)
    return top[there], float(top.mean() - stacked.mean())


def _set_down(rods: list[Rod], floor: np.ndarray, edge: Least) -> float:
    """Let the wall begin lower, all of it by so many mm, until reeds touch the base at SET_DOWN of its places."""
    free = np.full(len(floor), np.inf)
    for rod in rods:
        radius, at = np.full(len(rod.s), rod.line.thick_mm / 2), rod.station % len(floor)
        least = np.minimum(floor[at] + radius, edge(rod.station, rod.s, rod.n, radius))
        np.minimum.at(free, at[rod.woven], (rod.s - least)[rod.woven])
    down = max(0.0, float(np.quantile(free, SET_DOWN)))
    for rod in rods:
        rod.s -= down
    return down


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


def _refuse_jammed(laid: Laid, band: BandLaid) -> None:
    if band.band.group == 1 and band.jammed:  # over groups it turns at the corners of the cross
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
    band = start.band
    thick, deep = band.band.reed.diameter_mm, band.deep_mm
    low, high = np.zeros(len(start.u), np.int64), np.zeros(len(start.u), np.int64)
    cut = _cut(start, at_join)
    out: list[Rod] = []
    for (weaver, piece, mine, many), (u, n, ends, station, s_here, n_here) in zip(
        cut, _smooth(start, cut, stations, deep / 2 + thick), strict=True
    ):
        here = station / stations
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
            which = _which(band, start, weaver, strand, piece, many)
            line = ReedLine(which, "weaver", band.index, start.number, weaver, strand, piece, colour, thick)
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


_Piece = tuple[int, int, np.ndarray, bool]
"""(weaver, number of the reed, its sites, whether the weaver has others)."""


def _cut(start: Start, at_join: Mapping[tuple[int, int], list[Join]]) -> list[_Piece]:
    """Every reed of one start."""
    return [
        (weaver, piece, sites[first:last], last - first < len(sites))
        for weaver, sites in start.by_weaver()
        for piece, (first, last) in enumerate(_pieces(start, sites, at_join[start.band.index, weaver]))
    ]


def _smooth(start: Start, cut: list[_Piece], stations: int, behind: float) -> list[tuple[np.ndarray, ...]]:
    """(u, n of its knots, their places in ends; the stations it passes, s, n there) of every reed, all laid out at
    once. `behind` see `_with_ends`."""
    n = start.side * start.band.deep_mm / 2
    knots = [
        _with_ends(start.u[mine], start.height[mine], n[mine], behind, start.in_s[weaver], start.out_s[weaver])
        for weaver, _, mine, _ in cut
    ]
    ends = [start.in_ends(u) for u, _, _ in knots]
    stand = [
        np.arange(math.ceil(each[0] * stations - 1e-9), math.floor(each[-1] * stations + 1e-9) + 1) for each in ends
    ]
    lines = smooth_through_each(ends, [np.stack(each[1:]) for each in knots], [each / stations for each in stand])
    return [
        (u, n, each, station, s_here, n_here)
        for (u, _, n), each, station, (s_here, n_here) in zip(knots, ends, stand, lines, strict=True)
    ]


def _in_piles(
    start: Start, sites: np.ndarray, at: np.ndarray, count: int, strand: int, laid_before: int
) -> tuple[np.ndarray, np.ndarray]:
    """`pile` and `rank` (count,) of one rod's nodes (see `Wall`), its `sites` at nodes `at`: what the trace says."""
    pile, rank = np.full(count, -1), np.zeros(count, np.int64)
    # Sites are sorted by place and height, and whatever a later start lays lies above.
    pile[at], rank[at] = start.kind[sites], laid_before + sites * start.band.band.strands + strand
    return pile, rank


def _which(band: BandLaid, start: Start, weaver: int, strand: int, piece: int, many: bool) -> str:
    """Which reed of a weaver it is, in words; `many` where the weaver is joined."""
    parts = [f"band {band.index + 1}"]
    if len(band.segments) > 1:
        parts.append(f"block {1 + [first for first, _, _ in band.segments].index(start.first)}")
    parts.append(f"weaver {weaver + 1}")
    if band.band.strands > 1:
        parts.append(f"strand {strand + 1}")
    if many:
        parts.append(f"reed {piece + 1}")
    return ", ".join(parts)


def _pieces(start: Start, sites: np.ndarray, joins: list[Join]) -> list[tuple[int, int]]:
    """Runs of a weaver's sites (first, past the last) between its joins: a new reed begins behind a spoke."""
    passed = np.where(start.kind[sites] <= BACK, start.trace.travel[start.passage[sites]], -1)
    cuts = [0, *(int(np.argmax(passed == join.passed)) for join in joins if join.block == start.number)]
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
    if groups == start.edges[-1]:  # every end is a group of its own
        group = np.floor(here + 1e-9)
    else:
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
