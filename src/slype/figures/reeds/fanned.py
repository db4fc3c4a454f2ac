"""Tails of weavers that are ended one after another lie in one line on the inside of a wall, each on the one before: on
a drawing they are spread, or nobody sees where one ends and the next goes on."""

from __future__ import annotations

import numpy as np

from ...order.kinds import ACTS, Moments
from ...surface.curve import TAIL_AT_END, along
from .stretch import MOVES, Stretch

APART, LEAST = 1.15, 0.75
"""So far each lies from the next, in thicknesses, and mm on paper at least."""
LANES, FEW = 3, 5
"""Of more than a few, as of a weave with a weaver in every space, every third lies in one line again."""
SPREAD_BY = 0.45
"""By so much of its length a tail has come to its own place."""

Weaver = tuple[int, int, int]
"""Which one it is: (band, block, weaver)."""


def ended_in_turn(order: Moments, first: int, beyond: int) -> list[Weaver]:
    """The basket's own weavers that are ended in these moments, in the order of the hands."""
    ends = [m for m in range(first, min(beyond, len(order))) if ACTS[order.act[m]] == "end" and order.of[m] < 0]
    return [(int(order.band[m]), int(order.block[m]), int(order.weaver[m])) for m in ends]


def fanned(stretches: list[Stretch], in_turn: list[Weaver], unit: float, flat: bool) -> list[Stretch]:
    """The same stretches: tails of the weavers that are ended `in_turn` side by side, those ended
    first furthest onto the finished rows, down a wall or in on a `flat` base; `unit` what one mm on paper is."""
    out, many = [], len(in_turn)
    for each in stretches:
        tube, which = each.tube, (each.tube.band, each.tube.block, each.tube.weaver)
        if each.state == MOVES and tube.bit == TAIL_AT_END and which in in_turn:
            nth = many - 1 - in_turn.index(which)
            by = (nth if many <= FEW else nth % LANES) * max(APART * tube.thick_mm, LEAST * unit)
            share = np.minimum(np.linspace(0.0, 1.0 / SPREAD_BY, len(tube.points)), 1.0)[:, None]
            way = np.tile([0.0, 0.0, -1.0], (len(tube.points), 1))
            if flat:
                away = tube.points[:, :2] / np.maximum(np.hypot(*tube.points[:, :2].T), 1e-9)[:, None]
                way = np.c_[-away, np.zeros(len(away))]
            each = each._replace(tube=along(tube, tube.points + way * by * (3 - 2 * share) * share**2, tube.when))
        out.append(each)
    return out
