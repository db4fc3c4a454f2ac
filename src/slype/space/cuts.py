"""Where reeds are cut: the slanting face at the end of every reed that does not go on as another.

Makers trim on the slant, and point what they push in: the face of a slype. Here it is a plane through the middle of the
cut, so a reed is as long along its middle line as it is drawn; the longer side lies on the wall, the face looks to the
mouth, where the knife comes from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ..surface.curve import Tube

SLANT = 1.5
"""How much further the long side of a cut reaches than the short one, in thicknesses (common practice, no source)."""
LEAN = math.cos(math.atan(SLANT)), math.sin(math.atan(SLANT))
"""Shares of the reed's run and of the way to the knife in the direction in which the face of a cut looks."""
SAME_MM = 0.05  # ends nearer than this are of one reed
SLANTING = np.array([0.621, 0.533, 0.575])
GOES_ON = 0.5  # thicknesses: ends of two reeds nearer than this are one reed, drawn in two


def faces(tubes: Sequence[Tube]) -> np.ndarray:
    """(tubes, 2, 3): the unit direction in which the face at the start and at the end of each reed looks, away from the
    reed; zeros where it goes on as another, as a spoke does in the border."""
    if not tubes:
        return np.zeros((0, 2, 3))
    last = np.cumsum([len(tube.points) for tube in tubes]) - 1
    ends = np.stack([np.r_[0, last[:-1] + 1], last], axis=1)
    return faces_at(np.concatenate([tube.points for tube in tubes]), ends, np.array([tube.thick_mm for tube in tubes]))


def faces_at(points: np.ndarray, ends: np.ndarray, thick: np.ndarray) -> np.ndarray:
    """The same of reeds whose `points` (k, 3) follow each other, the first and last of each at `ends` (reeds, 2), and
    `thick` (reeds,) mm."""
    tips = points[ends]
    inward = np.minimum(1, ends[:, 1:] - ends[:, :1]) * [1, -1]  # a reed may have one point only
    run = unit(tips - points[ends + inward])
    out: np.ndarray = faced(tips.reshape(-1, 3), run.reshape(-1, 3), float(points[:, 2].max())).reshape(run.shape)
    out[~alone(tips.reshape(-1, 3), np.repeat(thick, 2)).reshape(-1, 2)] = 0.0
    return out


def faced(tips: np.ndarray, run: np.ndarray, top: float) -> np.ndarray:
    """(k, 3): where the faces of cuts at `tips` (k, 3) look, of reeds that `run` (k, 3) out there; the middle of the
    mouth is `top` mm high."""
    knife = np.array([0.0, 0.0, top + 1.0]) - tips
    return slanted(run, knife)


def slanted(run: np.ndarray, toward: np.ndarray) -> np.ndarray:
    """(k, 3): where faces look of cuts across `run` (k, 3), leaned `toward` the knife (k, 3)."""
    aside = toward - (toward * run).sum(axis=-1, keepdims=True) * run
    leaned: np.ndarray = LEAN[0] * run + LEAN[1] * unit(aside)
    return leaned


def alone(tips: np.ndarray, thick: np.ndarray) -> np.ndarray:
    """Which of `tips` (k, 3) are cut, (k,): no end of another reed is there, of reeds `thick` (k,) mm."""
    # In order along a slanting line: few of a basket's ends lie side by side on that.
    on = tips @ SLANTING
    order = np.argsort(on, kind="stable")
    near, reach, on = GOES_ON * thick[order], tips[order], on[order]
    out = np.ones(len(order), bool)
    for step in range(1, len(order)):
        low = np.flatnonzero(on[step:] - on[:-step] <= np.maximum(near[step:], near[:-step]))
        if not len(low):
            break
        far = np.sqrt(((reach[low + step] - reach[low]) ** 2).sum(axis=1))
        out[low[far <= near[low]]] = False
        out[low[far <= near[low + step]] + step] = False
    back = np.empty(len(order), bool)
    back[order] = out
    return back


def one_reed(firsts: Sequence[int], tips: np.ndarray) -> list[int]:
    """For each reed the number of the first that is a part of the same: as `surface.curve.firsts` has it, and where two
    meet end to end, as both halves of a stick do in the middle of the base. `tips` (reeds, 2, 3) mm."""
    out, met = list(firsts), dict[tuple[int, ...], int]()

    def root(reed: int) -> int:
        while out[reed] != reed:
            reed = out[reed]
        return reed

    for tip, place in enumerate(map(tuple, np.round(tips.reshape(-1, 3) / SAME_MM).astype(int).tolist())):
        other = met.setdefault(place, tip // 2)
        if other != tip // 2:
            one, two = sorted((root(other), root(tip // 2)))
            out[two] = one
    return [root(reed) for reed in range(len(out))]


def unit(ways: np.ndarray) -> np.ndarray:
    """Directions (..., 3) of length 1; of none, none."""
    return ways / np.maximum(np.linalg.norm(ways, axis=-1, keepdims=True), 1e-12)
