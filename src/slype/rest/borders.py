"""A border as rods: the ends of the spokes, lying on what is woven below them, which is held. Lengths mm."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np

from ..form.wall import smooth_through
from ..lay.values import Laid
from ..surface.added_ends import beside
from ..surface.curve import OWN, end_named
from ..surface.runs import border_knots
from .built import Built, ReedLine, Rod, put_together, top_of
from .reeds import STATIONS

NIPPED = 1.5
"""So many of its thicknesses above the weaving a spoke is nipped: ends that lie higher pass over it, and may close up
to each other (common practice, no source)."""
HELD = 2.0
"""A border lies on what reaches to within so many thicknesses of its ends below the top of the weaving, and sinks no
further into it."""
BEGUN_LOOSER = 0.0, 0.3, 0.6, 1.0
"""By so much of their height higher ends begin than they are stacked (common practice, no source): where they tangle as
stacked, they are laid more loosely, and then pressed down. Doubled ends, as stacked, begin in each other where they
change sides."""
LEAP = 2.0
"""So many thicknesses an end rises, falls or goes aside at most from one station to the next, an eighth of a space, but
out of its spoke: one that leaps further has slipped off what it lay on (over the whole table ends of single reeds leap
1.3 at most)."""


def slipped(border: Built, at: np.ndarray) -> bool:
    """True when an end of the border has slipped off what it was laid on and stands away from it."""
    wall = border.wall
    last = wall.off[len(border.lines)]
    same = wall.rod[1:last] == wall.rod[: last - 1]
    same[wall.off[: len(border.lines)]] = False  # out of the spoke
    leaps = np.abs(np.diff(at[:last], axis=0)).max(axis=1) / (2 * wall.r[1:last])
    return bool((leaps[same] > LEAP).any())


def build_border(laid: Laid, below: Built, at: np.ndarray, looser: float = 0.0) -> Built | None:
    """The ends of a closed border lying on the wall, or None where they keep their plain form.

    The arches of an open border stand free. Reeds of a doubled end begin one above the other, as they are stacked.

    `below` the side's last tier, or a mat's base, and `at` (nodes, 2) where it came to rest, heights counted as the
    border's are: what lies uppermost of it is held there, as rods after those of the border, which have no lines of
    their own. `looser` one of BEGUN_LOOSER.
    """
    if laid.design.border.is_open:
        return None
    stations, thick = below.stations, laid.design.border_reed_mm
    top = top_of(below, at, below.ends * stations)
    cover = _cover(top, stations)
    rods = [*_border(laid, stations, cover - laid.top_s, looser), *_uppermost(below, at, top - HELD * thick)]
    tier = len(laid.design.tiers("side")) - 1
    built = put_together(laid, "side", rods, np.zeros((0, 2), np.int64), stations, cover - HELD * thick, tier)
    built = _ordered(laid, rods, built)
    return replace(built, lines=tuple(line for line in built.lines if line.role == "border"))


def build_foot(foot: Laid, looser: float = 0.0) -> Built | None:
    """The ends of a board's foot, lying on the board, as `space.feet.foot_alone` has it; None where they keep their
    plain form, as those of an open border do. `looser` as in `build_border`."""
    if foot.design.border.is_open:
        return None
    level = np.full(foot.design.top_ends * STATIONS, foot.top_s)
    rods = _border(foot, STATIONS, np.zeros(len(level)), looser)
    return _ordered(foot, rods, put_together(foot, "side", rods, np.zeros((0, 2), np.int64), STATIONS, level, 0))


def _ordered(laid: Laid, rods: list[Rod], built: Built) -> Built:
    """The same ends, doubled ones with what says which of two lies above the other."""
    if len(laid.design.top_reeds) == 1:
        return built
    return replace(built, wall=replace(built.wall, order_at=_whole_ends(laid, rods)))


def _whole_ends(laid: Laid, rods: list[Rod]) -> np.ndarray:
    """Places (nodes, 2) that say which of two ends lies above the other: where the middle of each doubled end lies."""
    down = beside([reed.diameter_mm for reed, _ in laid.design.top_reeds])
    lift = [0.0 if rod.held else down[rod.line.strand] for rod in rods]
    return np.stack([np.concatenate([rod.s + up for rod, up in zip(rods, lift, strict=True)]),
                     np.concatenate([rod.n for rod in rods])], axis=1)  # fmt: skip


def _uppermost(below: Built, at: np.ndarray, over: np.ndarray) -> list[Rod]:
    """The pieces of reeds at rest that reach higher than `over` (stations round,) mm, held where they lie."""
    wall, out = below.wall, []
    high = at[:, 0] + wall.r > over[wall.station]
    cut = np.r_[True, ~high[1:] | ~high[:-1] | (wall.rod[1:] != wall.rod[:-1]), True]
    for first, last in pairwise(np.flatnonzero(cut).tolist()):
        if last - first < 3:
            continue
        station = np.arange(round(below.u[first] * below.stations), round(below.u[last - 1] * below.stations) + 1)
        none = np.zeros(len(station), np.int64)
        line, (s, n) = below.lines[wall.rod[first]], at[first:last].T
        out.append(Rod(line, station, s, n, none, none - 1, none > 0, (1,) * below.ends, False, (line.thick_mm,),
                        none - 1, none, held=True))  # fmt: skip
    return out


def _cover(top: np.ndarray, stations: int) -> np.ndarray:
    """A smooth line round the basket that nothing stands above, (stations round,): so high a border is begun."""
    reach = stations // 2
    around = np.arange(len(top))[:, None]
    near = np.arange(-reach, reach + 1)
    highest = top[(around + near) % len(top)].max(axis=1)
    return highest[(around + near) % len(top)].mean(axis=1)


def _border(laid: Laid, stations: int, lift_mm: np.ndarray, looser: float) -> list[Rod]:
    """The reeds of the spokes' ends of a closed border, lifted by `lift_mm` (stations round,) on to the last row, and
    begun by that share `looser`."""
    design, out = laid.design, []
    reeds, whole = design.top_reeds, design.border_end_mm
    stand_mm = tuple(reed.diameter_mm for reed, _ in reeds)
    singly, down = (1,) * design.top_ends, beside(stand_mm)
    for end, (u, s, n) in enumerate(border_knots(laid)):
        station = np.arange(round(u[0] * stations), math.floor(u[-1] * stations + 1e-9) + 1)
        here = station / stations
        nearest = np.clip(np.searchsorted(u, np.floor(here) + 0.5 - 1e-6), 0, len(u) - 1)
        side = np.where(np.abs(u[nearest] - np.floor(here) - 0.5) < 1e-6, np.sign(n[nearest]), 0).astype(np.int64)
        s_here, n_here = smooth_through(u, np.stack([s, n]), here)
        side[s_here - laid.top_s > NIPPED * whole] = 0
        s_here += lift_mm[station % len(lift_mm)] + looser * (s_here - laid.top_s)
        s_here[0] += whole / 2  # its foot is the top of a spoke; a rod's middle lies half a thickness above the row
        rows, woven = np.zeros(len(here), np.int64), np.ones(len(here), bool)
        for k, (reed, colour) in enumerate(reeds):
            thick = reed.diameter_mm
            name = end_named(laid, OWN.border_end, end, k)
            line = ReedLine(name, "border", -1, 0, end, k, 0, colour, thick)
            out.append(Rod(line, station, s_here - down[k], n_here * thick, side, rows, woven, singly, False, stand_mm,
                           rows + end, rows - k))  # fmt: skip
    return out
