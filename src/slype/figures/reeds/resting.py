"""What a new row's reeds, or a border's ends, lie on never hides them on a drawing.

A row nests into the one below: beside it stand the crests of the last row's reeds. On paper these would bite pieces out
of a weaver that is followed with the eye, where it bends out or where its tail lies behind a spoke.
"""

from __future__ import annotations

import numpy as np

from ...draw import pixels
from ...draw.painted import EVERYWHERE, Dots
from .stretch import MOVES, OLD, Stretch

SINKS = 1.5
"""A reed lies on those below where its middle is no further below the highest of these there, in its thicknesses."""
SECTORS, BESIDE = 240, 3
"""Of the way round in so many sectors the highest is known, and that of so many beside each counts too."""
BEFORE = np.float32(0.2)
"""How much nearer than what hid it a reed is taken to lie, in dots."""


def brought_out(found: Dots, stretches: list[Stretch]) -> None:
    """What moves and rests upon old weavers is seen before them at every dot, in `found`, made of these stretches;
    spokes and weavers in work hide it as they did."""
    over, below = _resting(stretches)
    if not over.any():
        return
    depth, seg = np.empty_like(found.depth), np.empty_like(found.seg)
    shown, reeds, cuts = found.seen.shown & ~below, found.in_dots(), found.cuts()
    with_ends = over | np.concatenate([[False], over[:-1]])  # a stretch is of what its first point is of
    pixels.nearest(*reeds, found.seen.tube, shown & with_ends, EVERYWHERE, depth, seg, *cuts)
    out = (seg >= 0) & over[np.maximum(seg, 0)] & (found.seg >= 0) & below[np.maximum(found.seg, 0)]
    # What else lies before it is looked for at these few dots.
    depth[~out] = -np.inf
    pixels.nearer(*reeds, found.seen.tube, shown, EVERYWHERE, depth, seg, *cuts)
    out &= over[np.maximum(seg, 0)]
    found.depth[out] -= BEFORE  # so what hid it is known to lie behind it
    found.seg[out] = seg[out]


def _resting(stretches: list[Stretch]) -> tuple[np.ndarray, np.ndarray]:
    """(points of weavers that move and of ends of the border, so far as they lie on old weavers (k,), points of old
    weavers (k,)), of all stretches' points."""
    sizes = [len(each.tube.points) for each in stretches]
    woven = np.array([each.tube.role == "weaver" for each in stretches])
    ends = np.array([each.tube.role == "border" for each in stretches])
    moves = np.repeat((woven & [each.state == MOVES for each in stretches]) | ends, sizes)
    below = np.repeat(woven & [each.state == OLD for each in stretches], sizes)
    if not (moves.any() and below.any()):
        return np.zeros(len(moves), bool), below
    x, y, z = np.concatenate([each.tube.points for each in stretches]).T
    thick = np.repeat([each.tube.thick_mm for each in stretches], sizes)
    sector = ((np.arctan2(y, x) / (2 * np.pi) + 0.5) * SECTORS).astype(int) % SECTORS
    top = np.full(SECTORS, -np.inf)
    np.maximum.at(top, sector[below], z[below])
    top = np.max([np.roll(top, by) for by in range(-BESIDE, BESIDE + 1)], axis=0)
    return moves & (z > top[sector] - SINKS * thick), below
