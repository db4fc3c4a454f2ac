"""A border as rods: the ends of the spokes, lying on what is woven below them, which is held. Lengths mm."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np

from ..form.wall import smooth_through
from ..lay.values import Laid
from ..surface.runs import border_knots
from .built import Built, ReedLine, Rod, put_together, top_of
from .reeds import STATIONS

NIPPED = 1.5
"""So many of its thicknesses above the weaving a spoke is nipped: ends that lie higher pass over it, and may close up
to each other (common practice, no source)."""
HELD = 2.0
"""A border lies on what reaches to within so many thicknesses of its ends below the top of the weaving, and sinks no
further into it."""


def build_border(laid: Laid, below: Built, at: np.ndarray) -> Built | None:
    """The ends of a closed border lying on the wall, or None where they keep their plain form.

    The arches of an open border stand free, and doubled ends lie beside each other as well as on each other.

    `below` the side's last tier and `at` (nodes, 2) where it came to rest: what lies uppermost of it is held there, as
    rods after those of the border, which have no lines of their own.
    """
    if laid.design.border.is_open or len(laid.design.top_reeds) > 1:
        return None
    stations, thick = below.stations, laid.design.spokes.reed.diameter_mm
    top = top_of(below, at, below.ends * stations)
    cover = _cover(top, stations)
    rods = [*_border(laid, stations, cover - laid.top_s), *_uppermost(below, at, top - HELD * thick)]
    tier = len(laid.design.tiers("side")) - 1
    built = put_together(laid, "side", rods, np.zeros((0, 2), np.int64), stations, cover - HELD * thick, tier)
    return replace(built, lines=tuple(line for line in built.lines if line.role == "border"))


def build_foot(foot: Laid) -> Built | None:
    """The ends of a board's foot, lying on the board, as `space.feet.foot_alone` has it; None where they keep their
    plain form, as those of a border do."""
    if foot.design.border.is_open or len(foot.design.top_reeds) > 1:
        return None
    level = np.full(foot.design.top_ends * STATIONS, foot.top_s)
    rods = _border(foot, STATIONS, np.zeros(len(level)))
    return put_together(foot, "side", rods, np.zeros((0, 2), np.int64), STATIONS, level, 0)


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


def _border(laid: Laid, stations: int, lift_mm: np.ndarray) -> list[Rod]:
    """The spokes' single ends of a closed border, lifted by `lift_mm` (stations round,) on to the last row."""
    spokes = laid.design.spokes
    thick = spokes.reed.diameter_mm
    singly, out = (1,) * laid.design.top_ends, []
    for end, (u, s, n) in enumerate(border_knots(laid)):
        station = np.arange(round(u[0] * stations), math.floor(u[-1] * stations + 1e-9) + 1)
        here = station / stations
        nearest = np.clip(np.searchsorted(u, np.floor(here) + 0.5 - 1e-6), 0, len(u) - 1)
        side = np.where(np.abs(u[nearest] - np.floor(here) - 0.5) < 1e-6, np.sign(n[nearest]), 0).astype(np.int64)
        s_here, n_here = smooth_through(u, np.stack([s, n]), here)
        side[s_here - laid.top_s > NIPPED * thick] = 0
        s_here += lift_mm[station % len(lift_mm)]
        s_here[0] += thick / 2  # its foot is the top of a spoke; a rod's middle lies half a thickness above the row
        line = ReedLine(f"border end {end + 1}", "border", -1, 0, end, 0, 0, spokes.colour, thick)
        rows, woven, none = np.zeros(len(here), np.int64), np.ones(len(here), bool), np.full(len(here), -1)
        out.append(Rod(line, station, s_here, n_here * thick, side, rows, woven, singly, False, (thick,), none, rows))
    return out
