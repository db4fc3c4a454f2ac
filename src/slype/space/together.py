"""The whole basket as one: where reeds of its parts meet, how far each gives way so that none lies in another.

Base, side and border come to rest each on its own surface; sticks, spokes, lids and handles are laid by rule. Here they
are put together in space, a reed that goes on from one part into the next as one rod, and parted (`rods.parting`).
Which side of what stands a weaver passes on is the trace's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ..lay.attachments import lay_handles
from ..lay.values import BandLaid, Laid
from ..rods import bundle as rods
from ..rods import bundle_kernels, measure_kernels, parting, smooth_kernels
from ..surface.added_ends import numbers_in
from ..surface.curve import Curve, Tube
from .assembly import attachments
from .footholds import feet, with_room
from .measuring import Drawn, worst_drawn, worst_near
from .plank import plank
from .tubes import ReedCurves, all_reeds, longest_chord, on_surface, reed_lines, tube

FINEST = 0.7
"""Thicknesses between two nodes of a rod, at least: it bends round nothing finer."""
FINE_STANDING = 0.35
"""The same of what stands: it is thicker than the weavers that lie against it, and bends where it is opened out."""
APART = 0.1
"""Of the thinner reed's thickness: reeds further in each other than this are not at rest. Round reed of one size
differs by as much (common practice, no source)."""
SAME = 0.05  # mm: ends of two reeds this near each other are one reed, drawn in two
GOES_ON = ("spoke", "bye-spoke", "stick", "border")
"""What may be one reed with another: a bye-spoke goes on through a board and into a border as a spoke does."""
SURE = 0.25  # of how far a weaver comes out of its surface at most: nearer the middle its side is not known


@dataclass(frozen=True)
class Together:
    """How the whole basket lies together: `given_way` mm (k, 3) by the name of a reed, for every point of its line;
    `worst` overlap anywhere but at cut ends, as a share of the thinner reed; `between` the two reeds' names. `long_mm`
    (k,) of the basket's own reeds, by name: from every point of its curve to the next, along the line as it is drawn.
    """

    given_way: Mapping[str, np.ndarray]
    worst: float
    between: tuple[str, str]
    long_mm: Mapping[str, np.ndarray] = field(default_factory=dict)

    @property
    def apart(self) -> bool:
        """True when no two reeds lie further in each other than APART."""
        return self.worst <= APART


ALONE = Together({}, 0.0, ("", ""))
"""Of a basket whose parts have not been put together."""


def mirrored(together: Together) -> Together:
    """The same for the other hand: its mirror image."""
    other = {name: moved * [-1.0, 1.0, 1.0] for name, moved in together.given_way.items()}
    return replace(together, given_way=other)


@dataclass(frozen=True, eq=False)
class _Line:
    """One reed as it is drawn: its points (k, 3), those of them that are nodes, and the curve it was laid from."""

    name: str
    role: str
    thick_mm: float
    points: np.ndarray
    nodes: np.ndarray
    curve: Curve | None
    # For every node the place round of what it stands as, in the base and up the wall; NaN where it stands as none.
    post: np.ndarray


def settle(laid: Laid, curves: list[Curve], give_way: bool = True) -> Together:
    """Part all reeds of the basket from one another; without `give_way` they are only measured. `curves`: those at
    rest, the lid's among them."""
    bare = replace(laid, given_way={})
    if not give_way:
        return Together({}, *worst_drawn(bare, curves))
    plain = [curve for curve in curves if not curve.of]
    own = with_room(bare, plain)
    reeds = all_reeds(bare, own)
    laid_as = reed_lines(bare, reeds)
    lines = _lines(bare, curves, own, reeds, laid_as)
    bundle, spots = _bundle(lines, _chains(lines))
    near = parting.neighbours(bundle)
    moved = parting.part(bundle, _Sides(bare, lines, spots), _ground(bare, lines, spots), near)
    given = {line.name: _all_points(line, moved[spot]) for line, spot in zip(lines, spots, strict=True)}
    now, long_mm = replace(laid, given_way=given), _lengths(lines[: len(reeds)], given, plain)
    if near is None:
        return Together(given, *worst_drawn(now, curves, laid_as), long_mm)
    drawn, chord = [], longest_chord(reeds, laid_as)
    fitted = [each.points for each in _fitted(now, curves, own)]
    for k, (line, spot) in enumerate(zip(lines, spots, strict=True)):
        points = line.points + given[line.name] if k < len(reeds) else fitted[k - len(reeds)]
        chord_mm = chord * line.thick_mm if k < len(reeds) else np.inf
        drawn.append(Drawn(line.name, line.thick_mm, points, chord_mm, line.nodes, spot))
    return Together(given, *worst_near(drawn, near), long_mm)


def _lengths(lines: list[_Line], given: Mapping[str, np.ndarray], plain: list[Curve]) -> dict[str, np.ndarray]:
    """`long_mm` of these lines; of those with more points than their `plain` curves, beside a handle's feet, between
    the points of these."""
    off = np.r_[0, np.cumsum([len(line.points) for line in lines])]
    long_mm = smooth_kernels.arcs(np.concatenate([line.points + given[line.name] for line in lines]), off)
    out = {line.name: long_mm[first:last] for line, first, last in zip(lines, off, off[1:], strict=False)}
    finer = {line.name: line.curve.u for line in lines if line.curve is not None}
    for curve in plain:
        if len(curve.u) < len(out[curve.name]) and curve.role == "weaver":
            along = np.r_[0.0, np.cumsum(out[curve.name][:-1])]
            out[curve.name] = np.r_[np.diff(np.interp(curve.u, finer[curve.name], along)), 0.0]
    return out


# The basket as lines -------------------------------------------------------------------------------------------


def _lines(
    laid: Laid, curves: list[Curve], own: list[Curve], reeds: list[ReedCurves], laid_as: list[np.ndarray]
) -> list[_Line]:
    """Every reed as a line: the basket's `own`, joined to `reeds` and `laid_as` such lines, and what is fitted."""
    out = [_line(reed[0], points[:, :3], reed[0]) for reed, points in zip(reeds, laid_as, strict=True)]
    out = [_standing(laid, line, reed) for line, reed in zip(out, reeds, strict=True)]
    return _with_feet(laid, out + [_line(each, each.points, None) for each in _fitted(laid, curves, own)])


def _fitted(laid: Laid, curves: list[Curve], own: list[Curve]) -> list[Tube]:
    """What is fitted to the basket as it is drawn."""
    design = laid.design
    if not (design.handles or design.lid or design.foot or design.base.is_board):
        return []
    edge = [tube(laid, curve) for curve in own if curve.role == "border"]
    return attachments(laid, edge, [curve for curve in curves if curve.of == "lid"])


def _line(reed: Curve | Tube, points: np.ndarray, curve: Curve | None) -> _Line:
    finest = (FINE_STANDING if reed.role in ("stick", "spoke", "bye-spoke") else FINEST) * reed.thick_mm
    nodes = _no_finer(_along(points), finest)
    return _Line(reed.name, reed.role, reed.thick_mm, points, nodes, curve, np.full((len(nodes), 2), np.nan))


def _along(points: np.ndarray) -> np.ndarray:
    """mm along a line of every of its points (k, 3)."""
    along: np.ndarray = measure_kernels.measured(np.ascontiguousarray(points), np.array([0, len(points)]))[1]
    return along


def _no_finer(along: np.ndarray, finest: float) -> np.ndarray:
    """Which of the points `along` (k,) mm are nodes: both ends, and between them every one that lies so far from the
    node before it. Bunches of nodes with wide gaps between would bend otherwise than the line does."""
    out: list[int] = bundle_kernels.spaced(along, finest).tolist()
    last = len(along) - 1
    if out[-1] != last:
        out[-1 if len(out) > 1 and along[last] - along[out[-1]] < finest / 2 else len(out) :] = [last]
    return np.array(out)


def _standing(laid: Laid, line: _Line, reed: tuple[Curve, ...]) -> _Line:
    """The same line, with what it stands as: a stick in the base, a spoke up the wall, or both."""
    if reed[0].role in ("spoke", "bye-spoke"):
        line.post[:, 1] = reed[0].end + 0.5
    if reed[-1].where == "base" and reed[-1].role in ("stick", "spoke"):
        own, spokes = reed[-1].end + 0.5, laid.design.spokes
        if reed[-1].role == "spoke":  # pushed in beside a stick: there it counts as that stick
            own = int(own / spokes.ends * spokes.ends_at_base) + 0.5
        line.post[:, 0] = own
    return line


def _with_feet(laid: Laid, lines: list[_Line]) -> list[_Line]:
    """The same lines; a handle's feet stand as the spokes they stand beside."""
    for each in lay_handles(laid):
        for k, (spoke, _) in enumerate(each.feet(laid.design.top_ends)):
            both = feet(laid, each, spoke)
            name = each.place + (f", arch {k + 1}," if each.handle.count > 1 else ",")
            for line in lines:
                if line.name.startswith(name) and "wrapping" not in line.name:
                    half = len(line.post) // 2
                    line.post[:half, 1], line.post[half:, 1] = both[0].spoke, both[1].spoke
    return lines


def _chains(lines: list[_Line]) -> list[list[int]]:
    """Reeds that are one from end to end, as numbers of lines counted from 1, negative where one runs the other way."""
    tips = np.array([point for line in lines for point in (line.points[0], line.points[-1])])
    goes_on = [k for k, line in enumerate(lines) if line.role in GOES_ON]
    at: dict[tuple[int, ...], list[int]] = {}
    for k in goes_on:
        for tip in (2 * k, 2 * k + 1):
            at.setdefault(tuple(np.round(tips[tip] / SAME).astype(int)), []).append(tip)
    mate: dict[int, int] = {}
    for met in at.values():
        if len(met) == 2 and met[0] // 2 != met[1] // 2 and lines[met[0] // 2].thick_mm == lines[met[1] // 2].thick_mm:
            mate[met[0]], mate[met[1]] = met[1], met[0]
    out, done = [], set()
    for k in range(len(lines)):
        if k in done:
            continue
        tip = 2 * k
        while tip in mate and mate[tip] // 2 != k:  # to the reed's first end
            tip = mate[tip] ^ 1
        chain = []
        while True:
            chain.append(tip // 2 + 1 if tip % 2 == 0 else -(tip // 2 + 1))
            done.add(tip // 2)
            if (tip ^ 1) not in mate or mate[tip ^ 1] // 2 in done:
                break
            tip = mate[tip ^ 1]
        out.append(chain)
    return out


def _bundle(lines: list[_Line], chains: list[list[int]]) -> tuple[rods.Bundle, list[np.ndarray]]:
    """The rods, and for every line where its nodes are among theirs."""
    spots: list[np.ndarray] = [np.zeros(0, int)] * len(lines)
    at, off = [], [0]
    for chain in chains:
        count = off[-1]
        for nth, number in enumerate(chain):
            line = lines[abs(number) - 1]
            nodes = line.points[line.nodes]
            spot = np.arange(len(nodes)) + count - (nth > 0)  # the first is the last of the one before
            at.append((nodes if number > 0 else nodes[::-1])[int(nth > 0) :])
            spots[abs(number) - 1] = spot if number > 0 else spot[::-1]
            count += len(nodes) - (nth > 0)
        off.append(count)
    radius = np.array([lines[abs(chain[0]) - 1].thick_mm / 2 for chain in chains])
    return rods.Bundle(np.array(off), np.concatenate(at), radius), spots


def _ground(laid: Laid, lines: list[_Line], spots: list[np.ndarray]) -> np.ndarray | None:
    """The least height, mm, of every node's axis (nodes,): on the board, for what is woven above it."""
    board = plank(laid)
    if board is None:
        return None
    out = np.full(1 + max(int(spot.max()) for spot in spots), -np.inf)
    for line, spot in zip(lines, spots, strict=True):
        if line.curve is not None and line.role == "weaver":
            here = line.points[line.nodes]
            out[spot] = np.where(_within(board.edge, here[:, :2]), line.thick_mm / 2, -np.inf)
    return out


def _within(edge: np.ndarray, at: np.ndarray) -> np.ndarray:
    """True for points (k, 2) within an outline (e, 2): a line from there outward crosses it an odd number of times."""
    a, b = edge, np.roll(edge, -1, axis=0)
    x, y = at[:, :1], at[:, 1:]
    passes = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    crossed = passes & (x < a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / rise)
    inside: np.ndarray = crossed.sum(axis=1) % 2 == 1
    return inside


def _all_points(line: _Line, moved: np.ndarray) -> np.ndarray:
    """How far every point of a line gives way: on to the smooth line through its nodes where these are now, which bends
    round nothing finer than they lie apart."""
    if len(line.nodes) == len(line.points):
        return moved
    # In rows one after another, however they came: the loop is compiled for one kind alone.
    return smooth_kernels.given_way(np.ascontiguousarray(line.points), line.nodes, np.ascontiguousarray(moved))


# Which side of what stands -------------------------------------------------------------------------------------


def _middles(laid: Laid, band: BandLaid) -> np.ndarray:
    """For every end that stands last the middle, in ends of its band, of the group that it is woven with there."""
    edges = np.r_[0, np.cumsum(band.band.sizes(band.ends))]
    of_number: np.ndarray = np.repeat((edges[:-1] + edges[1:]) / 2, np.diff(edges))
    return of_number[numbers_in(laid, band.band.where, band.tier)]


class _Sides:
    """Says for nodes of two rods on which side of what stands the weaver passes (see `rods.parting.Side`)."""

    def __init__(self, laid: Laid, lines: list[_Line], spots: list[np.ndarray]) -> None:
        nodes = 1 + max(int(spot.max()) for spot in spots)
        self.weaver = np.full(nodes, -1)
        self.u, self.post = np.zeros(nodes), np.full((nodes, 2), np.nan)
        self.base = np.zeros(nodes, bool)
        self.outward = np.zeros((nodes, 3))
        self.ends, self.middles, tables_u, tables_n = [], [], [], []
        number, middles = 0, {band.index: _middles(laid, band) for band in laid.bands}
        ends = {band.index: band.ends for band in laid.bands}
        woven: dict[str, list[tuple[np.ndarray, ...]]] = {}
        for line, spot in zip(lines, spots, strict=True):
            stands = np.isfinite(line.post)
            self.post[spot] = np.where(stands, line.post, self.post[spot])
            curve = line.curve
            if curve is None or curve.role != "weaver" or len(curve.u) != len(line.points):
                continue
            u = curve.u if curve.place is None else curve.place
            if not (u[1:] > u[:-1]).all():
                continue
            self.weaver[spot], self.u[spot], self.base[spot] = number, u[line.nodes], curve.where == "base"
            places = (each[line.nodes] for each in (curve.u, curve.s, curve.n))
            woven.setdefault(curve.where, []).append((spot, *places))
            self.ends.append(ends[curve.band])
            self.middles.append(middles[curve.band])
            tables_u.append(u)
            n = curve.n - laid.bow_beside_mm(curve.where, curve.u, curve.s)
            tables_n.append(n / max(float(np.abs(n).max()), 1e-9))
            number += 1
        for where, each in woven.items():
            spot, around, up, depth = (np.concatenate(part) for part in zip(*each, strict=True))
            both = np.stack([depth, depth + 1])  # inside, and a millimetre further out
            for k, (inside, out) in enumerate(np.broadcast_arrays(*on_surface(laid, where, around, up, both))):
                self.outward[spot, k] = out - inside
        if number:
            self.reach = 4 * max(float(np.abs(u).max()) for u in tables_u) + 100
            self.table_u = np.concatenate([u + k * self.reach for k, u in enumerate(tables_u)])
            self.table_n = np.concatenate(tables_n)
            self.low, self.high = (np.array([u[k] for u in tables_u]) for k in (0, -1))
            self.ends_of = np.array(self.ends)
            self.last_of = np.array([len(each) for each in self.middles])
            self.first = np.r_[0, np.cumsum([len(each) for each in self.middles])][:-1]
            self.all_middles = np.concatenate(self.middles)

    def __call__(self, one: np.ndarray, two: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        out, way = np.zeros(len(one)), np.zeros((len(one), 3))
        for woven, stands, sign in ((one, two, -1.0), (two, one, 1.0)):
            place = np.where(self.base[woven], self.post[stands, 0], self.post[stands, 1])
            mine = np.flatnonzero((self.weaver[woven] >= 0) & np.isfinite(place))
            if not len(mine):
                continue
            node, number = woven[mine], self.weaver[woven[mine]]
            ends, end = self.ends_of[number], place[mine].astype(int)
            middle = self.all_middles[self.first[number] + end % self.last_of[number]]
            at = middle + ends * np.round((self.u[node] - middle) / ends)
            n = np.interp(at + number * self.reach, self.table_u, self.table_n)
            sure = (at >= self.low[number]) & (at <= self.high[number]) & (np.abs(n) > SURE)
            out[mine] = sign * np.where(sure, np.sign(n), 0.0)
            way[mine] = self.outward.take(node, axis=0)
        return out, way
