"""The tails that are left at the ends of weavers and of a border until the basket is trimmed, and what is trimmed off.

A weaver is cut so long that a tail is left at both its ends, and half an overlap at a join. Of that a short end rests
behind a spoke for good: it is drawn as a part of the weaver. The rest lies inside the basket until tips are trimmed:
what is cut is what is drawn, and what is trimmed off. So it is with the end of a closed border: what its moves have not
taken of its cut stands out where it rests. All ends are cut alike; one that has a shorter way has the longer tail.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ..lay.courses import courses_of
from ..lay.joins import OVERLAP_MM
from ..lay.values import Laid
from ..order.kinds import ACTS, Moments
from ..order.times import when_all
from ..surface.curve import OF_NO_BAND, TAIL_AT_END, TAIL_AT_START, Curve, Tube
from ..surface.woven import tip_side
from .tubes import given, in_space, on_surface

SPRINGS = 0.28
"""How far a tail springs away from the wall, as a share of its length (common practice, no source)."""
OF_BORDER = {"out": (1.0, 0.5, -0.15), "down": (0.25, 0.25, -0.9)}
"""How a border's tail goes on, by how its end finishes: with its run, away from the wall and up along it, as shares of
its length; the first goes for all that are not tucked down (common practice, no source)."""
EASES = 4.0  # thicknesses in which a tail leaves the way of its weaver
POINTS = 10
BACK = 3  # points of a weaver from which its run at the tip is read

Left = tuple[Tube, float, float]
"""A tail as it hangs, and from when to when, in moments done."""


@dataclass(frozen=True, eq=False)
class Tail:
    """One end of a weaver or of a border: the `curve` of that, `at_end` of it or at its start; `left_mm` what a maker
    leaves there past the last stroke or spoke, of which `rests_mm` stays in the basket, both along the reed: less than
    0 where the tip is drawn before the place in which its stroke is said to begin or end. `tip` (BACK + 1, 4) the last
    points of its line in space, mm and moments, its end first; `goes` on with its run, outward and up the wall, as
    shares of its length."""

    curve: Curve
    at_end: bool
    left_mm: float
    rests_mm: float
    tip: np.ndarray
    goes: tuple[float, float, float] = (1.0, -SPRINGS, 0.0)

    @property
    def trimmed_mm(self) -> float:
        """What is cut off when the basket is done."""
        return max(0.0, self.left_mm - self.rests_mm)


def woven_lines(laid: Laid, curves: Sequence[Curve], order: Moments) -> list[np.ndarray]:
    """Points (4, k) of curves in space, mm and moments, where they have given way to others."""
    lines = [given(laid, curve.name, in_space(laid, curve)).T for curve in curves]
    times = np.split(when_all(order, curves), np.cumsum([len(curve.u) for curve in curves])[:-1])
    return [np.vstack([line, own]) for line, own in zip(lines, times, strict=True)]


def tails_of(laid: Laid, curves: Sequence[Curve], lines: Sequence[np.ndarray], order: Moments) -> list[Tail]:
    """Both tails of every weaver among `curves` of the basket, and those of its pieces where it is joined; none where a
    weaver goes on into the next band. `lines` as `woven_lines` has them."""
    pieces: dict[tuple[int, int, int, int], list[tuple[Curve, np.ndarray]]] = defaultdict(list)
    for curve, line in zip(curves, lines, strict=True):
        if curve.role == "weaver" and not curve.of:
            pieces[curve.band, curve.block, curve.weaver, curve.strand].append((curve, line))
    bands, out = {band.index: band for band in laid.bands}, []
    # A reed that is folded to begin both weavers has no tips there.
    folded = next((course.begins.index for course in courses_of(laid)[:1] if course.folded), None)
    for (band, block, weaver, _), mine in pieces.items():
        mine.sort(key=lambda each: each[0].piece)
        strokes = order.by_weaver[band, block, weaver, "stroke"]
        # Where it begins and ends to weave, and where one piece takes over from another: amid what lies together.
        joins = [(_places(old)[-1] + _places(new)[0]) / 2 for (old, _), (new, _) in pairwise(mine)]
        woven = [float(order.begin[strokes[0]]), *joins, float(order.beyond[strokes[-1]])]
        left = [bands[band].tail_mm, *[OVERLAP_MM / 2] * len(joins), bands[band].tail_mm]
        cut = [band != folded and (band, block, weaver, "set in") in order.by_weaver, *[True] * len(joins),
               (band, block, weaver, "end") in order.by_weaver]  # fmt: skip
        for nth, (curve, line) in enumerate(mine):
            u, low, high = _places(curve), woven[nth], woven[nth + 1]
            if cut[nth]:
                rests = _beyond(u[::-1], line[:, ::-1], low)
                out.append(Tail(curve, False, left[nth], rests, line[:, : BACK + 1].T))
            if cut[nth + 1]:
                rests = _beyond(u, line, high)
                out.append(Tail(curve, True, left[nth + 1], rests, line[:, : -BACK - 2 : -1].T))
    return out


def border_tails(laid: Laid, curves: Sequence[Curve], lines: Sequence[np.ndarray]) -> list[Tail]:
    """The tail of every end of a closed border among `curves` of the basket: what is left of its cut past the last
    spoke that it passes. An open border has none: its ends are pushed in as long as they are. `lines` as in
    `tails_of`."""
    border = laid.design.border
    if border.is_open:
        return []
    goes, out = _ways(laid), []
    for curve, line in zip(curves, lines, strict=True):
        if curve.role != "border" or curve.of or curve.where != "side":
            continue
        hops = line[:3, 1:] - line[:3, :-1]
        drawn = float(np.sqrt((hops * hops).sum(axis=0)).sum())
        rests = _beyond(curve.u, line, curve.end + 1.0 + border.reach)
        left = laid.border.length_mm - (drawn - rests)
        out.append(Tail(curve, True, left, rests, line[:, : -BACK - 2 : -1].T, goes))
    return out


def _ways(laid: Laid) -> tuple[float, float, float]:
    """How the tails of a border go on; a flat mat's lie beside it, not through it."""
    on, away, up = OF_BORDER.get(laid.design.border.rows[-1].finish, OF_BORDER["out"])
    if laid.is_mat:
        return 1.0, 0.0, abs(away)
    return on, away * tip_side(laid.design.border), up


def _beyond(u: np.ndarray, line: np.ndarray, place: float) -> float:
    """mm along a line from where its places `u` (k,) pass `place` to its end; less than 0 where it ends before."""
    sign = 1.0 if u[-1] > u[0] else -1.0
    at = min(max(int(np.searchsorted(sign * u, sign * place)), 1), len(u) - 1)
    hops = line[:3, at:] - line[:3, at - 1 : -1]
    long = np.sqrt((hops * hops).sum(axis=0))
    return float(long.sum() - long[0] * (place - u[at - 1]) / (u[at] - u[at - 1]))


def _places(curve: Curve) -> np.ndarray:
    return curve.u if curve.place is None else curve.place


def all_left(laid: Laid, curves: Sequence[Curve], lines: Sequence[np.ndarray], order: Moments) -> list[Left]:
    """The tails of weavers and of a border's ends among these curves, laid along `lines` (4, k), that hang until the
    basket is trimmed."""
    weavers, ends = ([(curve, line) for curve, line in zip(curves, lines, strict=False) if curve.role == role]
                     for role in ("weaver", "border"))  # fmt: skip
    tails = [*tails_of(laid, *_apart(weavers), order), *border_tails(laid, *_apart(ends))]
    return left_hanging(laid, tails, order)


def _apart(found: list[tuple[Curve, np.ndarray]]) -> tuple[list[Curve], list[np.ndarray]]:
    return [curve for curve, _ in found], [line for _, line in found]


def left_hanging(laid: Laid, tails: Sequence[Tail], order: Moments) -> list[Left]:
    """What is trimmed off every tail, as it lies from when its weaver is begun or ended there, or its end has made all
    its moves, until all tips are trimmed."""
    trims = np.flatnonzero((order.act == ACTS.index("trim")) & (order.of < 0))
    tails = [each for each in tails if each.trimmed_mm > each.curve.thick_mm and len(each.tip) > BACK]
    out: list[Left] = []
    for where in ("base", "side"):
        here = [each for each in tails if each.curve.where == where]
        if not len(trims) or not here:
            continue
        for each, points in zip(here, _lying(laid, where, here), strict=True):
            curve = each.curve
            bit = TAIL_AT_END if each.at_end else TAIL_AT_START
            which = {number: getattr(curve, number) for number in OF_NO_BAND}
            tube = Tube(
                f"{curve.name}, {bit}", curve.role, curve.colour, curve.thick_mm, points, bit=bit, of_reed=curve.name,
                upright=curve.upright, **which,
            )
            out.append((tube, float(np.ceil(each.tip[0, 3])), float(trims[0]) + 0.5))
    return out


def _lying(laid: Laid, where: str, tails: Sequence[Tail]) -> np.ndarray:
    """Points (tails, POINTS, 3) of what will be trimmed off: on with the run of the reed, and away from the wall."""
    steps = [slice(None, -BACK - 2, -1) if each.at_end else slice(BACK + 1) for each in tails]
    ends = np.array([[getattr(each.curve, axis)[step][[0, -1]] for axis in "usn"]
                     for each, step in zip(tails, steps, strict=True)])  # fmt: skip
    (u, s, n), way = ends[:, :, 0].T, ends[:, :, 0] - ends[:, :, 1]
    hops = np.diff(np.array([each.tip[:, :3] for each in tails]), axis=1)
    way /= np.sqrt((hops**2).sum(axis=2)).sum(axis=1)[:, None]
    long = np.array([each.trimmed_mm for each in tails])[:, None]
    near = EASES * np.array([each.curve.thick_mm for each in tails])[:, None]
    rise, through = np.clip(way[:, 1:2], -0.5, 0.5), np.clip(way[:, 2:3], -0.3, 0.3)
    along = long * np.linspace(0.0, 1.0, POINTS)
    eased = near * (1 - np.exp(-along / near))
    on, out, up = (np.array([each.goes[k] for each in tails])[:, None] for k in range(3))
    lines = (u[:, None] + way[:, :1] * (eased + on * (along - eased)), s[:, None] + rise * eased + up * (along - eased),
             n[:, None] + through * eased + out * (along - eased))  # fmt: skip
    flat = on_surface(laid, where, *(each.ravel() for each in lines))
    points = np.stack(flat, axis=1).reshape(*along.shape, 3)
    hops = np.diff(points, axis=1)
    found = np.sqrt((hops * hops).sum(axis=2)).sum(axis=1)
    # A little longer or shorter, until it is as long as it must be.
    points = (points - points[:, :1]) * (long[:, 0] / found)[:, None, None]
    return points + np.array([each.tip[0, :3] for each in tails])[:, None]
