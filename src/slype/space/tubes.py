"""Every reed of the basket as a tube in space: curves on the surface, laid into mm.

`tubes` lays them out with z up from the table, x and y across, mm. The start line (u = 0) lies at the far side, +y; for
a left hand the whole basket is the mirror image.

Reeds are stacked as the trace orders them (`surface.woven`); a relaxed basket hands its own curves over instead.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from ..form.wall import on_circle
from ..lay.values import Laid
from ..rods import measure_kernels
from ..rods.compiled import compiled
from ..rods.smooth_kernels import SAME_PLACE_MM
from ..surface.curve import OF_NO_BAND, Curve, Tube
from ..surface.standing import by_beginning, bye_curves, inserted_curves, split_curves, spoke_curves, stick_curves
from ..surface.woven import stacked_curves

CHORD = 0.5  # longest chord of a tube, in its own thicknesses: bends are then drawn without corners
MOST_CHORDS = 320_000
"""Where reeds make more chords, these are longer: so large a basket, three times the largest example at least, is seen
from so far off that its bends show none, and memory does not grow with it. Rows and spaces do not tell: of twelve
weavers in one row each makes its own."""
TURN = 1.5  # how far from the corner a spoke begins to turn up, in its own thicknesses (common practice, no source)

ReedCurves = tuple[Curve, ...]
"""One curve; or the two of a spoke that meet at the base's edge, the one up the wall first."""
When = Callable[[Curve], np.ndarray]
"""For every point of a curve the moment at which it is laid."""


def all_reeds(laid: Laid, curves: list[Curve]) -> list[ReedCurves]:
    """Every reed of the basket in a steady order: sticks, spokes, weavers, border. `curves`: what is woven."""
    first, later = by_beginning(spoke_curves(laid))
    out: list[ReedCurves] = []
    if laid.design.base.is_board:  # every spoke comes straight up through its hole
        out += [(spoke,) for spoke in (*first, *later)]
    else:
        starts = sticks = stick_curves(laid)
        if laid.design.spokes.inserted:
            out += [(stick,) for stick in sticks]
            starts = inserted_curves(laid)
        out += [(half,) for half in split_curves(laid)]
        out += [(spoke,) for spoke in later]
        out += zip(first, starts, strict=True)
    out += [(each,) for each in bye_curves(laid)]
    for role in ("weaver", "border"):
        out += [(curve,) for curve in curves if curve.role == role]
    return out


def tubes(
    laid: Laid, curves: list[Curve] | None = None, when: When | None = None, lines: list[np.ndarray] | None = None
) -> list[Tube]:
    """Every reed of the basket in space, in the order of `all_reeds`.

    `curves` weavers and border ends to use in place of `stacked_curves`; `when` gives every tube its times; `lines`
    where these `reed_lines` are known.
    """
    reeds = all_reeds(laid, stacked_curves(laid) if curves is None else curves)
    if lines is None:
        parts = [part for reed in reeds for part in reed]
        lines = reed_lines(laid, reeds, None if when is None else np.concatenate([when(part) for part in parts]))
    chord = longest_chord(reeds, lines)
    return [
        _as_tube(reed[0], line if curves is None else given(laid, reed[0].name, line), when, chord)
        for reed, line in zip(reeds, lines, strict=True)
    ]


def longest_chord(reeds: list[ReedCurves], lines: list[np.ndarray]) -> float:
    """The longest chord of every tube, in thicknesses."""
    if not lines:
        return CHORD
    off = np.cumsum([0] + [len(line) for line in lines])
    long, _ = measure_kernels.measured(np.concatenate([line[:, :3] for line in lines]), off)
    chords = sum(
        float(mm) / (CHORD * reed[0].thick_mm)
        for reed, mm in zip(reeds, np.add.reduceat(long, off[:-1]), strict=True)
    )
    return CHORD * max(1.0, chords / MOST_CHORDS)


def reed_lines(laid: Laid, reeds: list[ReedCurves], times: np.ndarray | None = None) -> list[np.ndarray]:
    """Points (k, 4) of every reed in space, mm and times, as they are laid, before any gives way to another; `times` of
    every point of every curve of them, one after another, else 0."""
    parts = [part for reed in reeds for part in reed]
    begins = np.cumsum([0] + [len(part.u) for part in parts])
    timed = np.zeros(begins[-1]) if times is None else times
    laid_out = (np.column_stack([points, timed[a:b]])
                for points, a, b in zip(_all_in_space(laid, parts), begins, begins[1:], strict=False))  # fmt: skip
    lines = [[next(laid_out) for _ in reed] for reed in reeds]
    turned = [k for k, line in enumerate(lines) if len(line) == 2]
    if turned:
        walls, bases = ([lines[k][part].T for k in turned] for part in (0, 1))
        thick = np.array([reeds[k][0].thick_mm for k in turned])
        for k, line in zip(turned, turned_up(bases, walls, thick), strict=True):
            lines[k] = [line.T]
    return [line[0] for line in lines]


def given(laid: Laid, name: str, points: np.ndarray) -> np.ndarray:
    """Points (k, 3 or more) of a reed of a basket at rest where it has given way to the others (see `together`)."""
    moved = laid.given_way.get(name)
    if moved is None or len(moved) != len(points):
        return points
    out = points.copy()
    out[:, :3] += moved
    return out


def tube(laid: Laid, curve: Curve, when: When | None = None, moved: np.ndarray | None = None) -> Tube:
    """One reed in space, with its times where `when` is given; `moved` (k, 3) mm in place of what its name says."""
    points = np.c_[in_space(laid, curve), _times(curve, when)]
    if moved is None:
        return _as_tube(curve, given(laid, curve.name, points), when)
    points[:, :3] += moved
    return _as_tube(curve, points, when)


def _times(curve: Curve, when: When | None) -> np.ndarray:
    return np.zeros(len(curve.u)) if when is None else when(curve)


def _as_tube(curve: Curve, points: np.ndarray, when: When | None, chord: float = CHORD) -> Tube:
    """A tube through `points` (k, 4): mm, and times in the last column."""
    dense = _dense(np.ascontiguousarray(points, np.float64), float(chord * curve.thick_mm))
    times = None if when is None else dense[:, 3]
    which = {number: getattr(curve, number) for number in OF_NO_BAND}
    line = dense[:, :3]
    return Tube(curve.name, curve.role, curve.colour, curve.thick_mm, line, times, upright=curve.upright, **which)


def _all_in_space(laid: Laid, curves: list[Curve]) -> list[np.ndarray]:
    """As `in_space`, of many curves: those at one place all at once."""
    out: list[np.ndarray] = [np.zeros((0, 3))] * len(curves)
    for where in dict.fromkeys(curve.where for curve in curves):
        some = [k for k, curve in enumerate(curves) if curve.where == where]
        u, s, n = (np.concatenate([getattr(curves[k], what) for k in some]) for what in ("u", "s", "n"))
        points = np.stack(on_surface(laid, where, u, s, n), axis=1)
        ends = np.cumsum([len(curves[k].u) for k in some])[:-1]
        for k, mine in zip(some, np.split(points, ends), strict=True):
            out[k] = mine
    return out


def in_space(laid: Laid, curve: Curve) -> np.ndarray:
    """Points (k, 3) mm of a curve: laid on the base's plane or on the wall, mirrored for a left hand."""
    return np.stack(on_surface(laid, curve.where, curve.u, curve.s, curve.n), axis=1)


def on_surface(laid: Laid, where: str, u: np.ndarray, s: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, ...]:
    """x, y, z mm, each (k,), of points (u, s, n) of curves at one place: "base", "side" or "foot"."""
    form = laid.design.form
    turn = laid.design.turn("base" if where == "base" else "side", u)
    out: float | np.ndarray
    if where == "base":
        out, z = 0.0, -n
        x, y, nx, ny = form.base_place(turn, s)
    elif where == "foot":
        out, z = n, s
        x, y, nx, ny = form.place(turn, np.zeros_like(s))
    elif laid.is_mat:  # there is no wall: its border lies flat round the last row
        out, z = 0.0, -n
        edge = laid.base_reached_mm / 2
        x, y, nx, ny = form.base_place(turn, edge + s)
    else:
        s = np.maximum(s, 0.0)
        radius, height, lean, rise = form.leaning(s)
        out, z = n * rise, height - n * lean
        x, y, nx, ny = on_circle(turn, radius) if form.is_round else form.place(turn, s)
    hand = 1.0 if laid.design.hand == "left" else -1.0
    return hand * (x + out * nx), y + out * ny, z


def turned_up(bases: list[np.ndarray], walls: list[np.ndarray], thick: np.ndarray) -> list[np.ndarray]:
    """Lines (3 or 4, k) of points, each from two that meet at the base's edge, the corner rounded; times may stand in
    the fourth row. `thick` (lines,) mm."""
    reach = TURN * thick
    corner = np.stack([wall[:, 0] for wall in walls], axis=1)
    base, wall = (np.concatenate(each, axis=1) for each in (bases, walls))
    on_base, on_wall = (np.cumsum([each.shape[1] for each in part]) for part in (bases, walls))
    of_base, of_wall = (np.repeat(np.arange(len(walls)), np.diff(ends, prepend=0)) for ends in (on_base, on_wall))
    keep = _length(base[:2] - corner[:2, of_base]) > reach[of_base]
    # A base that came out too wide reaches over the edge.
    keep &= _length(base[:2]) < (_length(corner[:2]) - reach / 2)[of_base]
    lows = [each[:, own] for each, own in zip(bases, np.split(keep, on_base[:-1]), strict=True)]
    keep = _length(wall[:3] - corner[:3, of_wall]) > reach[of_wall]
    highs = [each[:, own] for each, own in zip(walls, np.split(keep, on_wall[:-1]), strict=True)]
    t = np.linspace(0, 1, 9)
    parts = ((1 - t) ** 2, 2 * t * (1 - t), t**2)
    out = []
    for i, (low, high) in enumerate(zip(lows, highs, strict=True)):
        if min(low.shape[1], high.shape[1]) < 2:
            out.append(np.concatenate([bases[i][:, :-1], walls[i]], axis=1))
            continue
        middle = corner[:, i]
        start, end = (
            (tip - middle) / _length((tip - middle)[:3]) * reach[i] + middle for tip in (low[:, -1], high[:, 0])
        )
        bend = np.outer(start, parts[0]) + np.outer(middle, parts[1]) + np.outer(end, parts[2])
        bend[3:] = middle[3:, None]  # it is bent as it is turned up
        out.append(np.concatenate([low, bend, high], axis=1))
    return out


def _length(step: np.ndarray) -> np.ndarray:
    return np.sqrt((step * step).sum(axis=0))


@compiled(nogil=True)
def _dense(points: np.ndarray, chord: float) -> np.ndarray:
    """A smooth line (Catmull and Rom 1974, by length) through points (k, 4), no chord longer than `chord` mm. A
    compiled loop: a basket has a hundred thousand chords.

    The last column holds times. They run on evenly within a moment; where one moment ends, the next begins at once.
    """
    given, hop = np.empty((points.shape[0], 4)), np.empty(points.shape[0])
    size = total = 0
    for i in range(points.shape[0]):
        if i > 0:
            x, y, z = points[i, 0] - points[i - 1, 0], points[i, 1] - points[i - 1, 1], points[i, 2] - points[i - 1, 2]
            if not math.sqrt(x * x + y * y + z * z) > SAME_PLACE_MM:
                continue
        for k in range(4):
            given[size, k] = points[i, k]
        size += 1
    if size < 3:
        return given[:size]
    many, slope = np.empty(size, np.int64), np.empty((size, 3))
    for i in range(size - 1):
        x, y, z = given[i + 1, 0] - given[i, 0], given[i + 1, 1] - given[i, 1], given[i + 1, 2] - given[i, 2]
        hop[i] = math.sqrt(x * x + y * y + z * z)
        many[i] = max(1, math.ceil(hop[i] / chord - 1e-9))
        total += many[i]
    for i in range(size):
        low, high = max(i - 1, 0), min(i, size - 2)  # the edges before and after it
        ratio = hop[low] / (hop[low] + hop[high])
        for k in range(3):
            before = (given[low + 1, k] - given[low, k]) / hop[low]
            after = (given[high + 1, k] - given[high, k]) / hop[high]
            slope[i, k] = before * (1 - ratio) + after * ratio if low < high else after
    out, at = np.empty((total + 1, 4)), 0
    for i in range(size - 1):
        now, then, h = given[i, 3], given[i + 1, 3], hop[i]
        later = then - now if math.ceil(now) == math.ceil(then) else 0.0
        for m in range(many[i]):
            t = m / many[i]
            for k in range(3):
                out[at, k] = (
                    given[i, k] * (1 + 2 * t) * (1 - t) ** 2
                    + given[i + 1, k] * t**2 * (3 - 2 * t)
                    + h * slope[i, k] * t * (1 - t) ** 2
                    - h * slope[i + 1, k] * t**2 * (1 - t)
                )
            out[at, 3] = then if t > 0 and later == 0 else now + t * later
            at += 1
    for k in range(4):
        out[at, k] = given[size - 1, k]
    return out
