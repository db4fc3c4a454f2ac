"""What of every spoke still lies flat beyond the edge of the base, straight on from there, until it is turned up."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..lay.values import Laid
from ..order.kinds import ACTS, Moments
from ..order.times import LEAST
from ..surface.curve import Curve, Tube
from .tails import Left

FROM_MM = 6.0
"""Over so much of its end the way of a spoke in the base is read, along which it lies on."""


def lying_flat(
    laid: Laid, curves: Sequence[Curve | Tube], lines: Sequence[np.ndarray], order: Moments
) -> list[Left]:
    """Of every spoke that is turned up: as long as it stands then, lying, and from when to when. `curves` the first of
    every reed, `lines` (4, k) mm and moments of all of it."""
    turned = {end: at for end, at in enumerate(order.begun["side"]) if ACTS[order.act[at]] == "turn"}
    out: list[Left] = []
    for curve, line in zip(curves, lines, strict=False):
        if curve.role != "spoke" or curve.of or curve.end not in turned:
            continue
        until = turned[curve.end]
        laid_by_then = line[3] <= until
        many = np.count_nonzero(laid_by_then)
        if many < 2 or many == line.shape[1]:
            continue
        low = line[:, laid_by_then]
        edge, back = low[:3, -1], low[:3]
        away = _long(edge[:, None] - back)
        way = edge - back[:, np.flatnonzero(away >= min(FROM_MM, away.max()))[-1]]
        way[2] = 0.0
        rest = float(_long(line[:3, many:] - line[:3, many - 1 : -1]).sum()) + laid.border.length_mm
        tip = edge + way / np.linalg.norm(way) * rest
        flat = Tube(f"{curve.name}, lying", "spoke", curve.colour, curve.thick_mm, np.stack([edge, tip]),
                    upright=curve.upright, end=curve.end)  # fmt: skip
        out.append((flat, float(low[3].max()), float(until) - LEAST))
    return out


def _long(ways: np.ndarray) -> np.ndarray:
    long: np.ndarray = np.sqrt((ways * ways).sum(axis=0))
    return long
