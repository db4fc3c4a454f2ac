"""Numbers at the border: of spokes that are bent down, on the wall below it or on ends that still stand, and of those
beside which a handle's feet stand."""

from __future__ import annotations

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..lay.attachments import lay_handles
from ..space.tubes import on_surface
from .labels import Labels, Place, on_picture, towards
from .making import Making
from .reeds.stretch import MOVES, Stretch

LOWER = ((0.0, 0.0), (2.2, 0.0), (4.4, 0.0), (6.6, 0.0), (0.0, 0.33), (2.2, 0.33))
"""How much lower, mm on paper, and how much further on, in spaces, spokes may be numbered on the wall where what is led
lies upon their place: never in the space before them, where an end comes out or goes down."""
UP_IT = (4.0, 6.5, 9.0, 11.5)
"""So far up a standing end, mm on paper, it is numbered where its foot is covered."""
BELOW_BORDER, BELOW_ROWS = 4.2, 6.0
"""How far below the border spokes are numbered while they are bent down, mm on paper; in its later rows further, where
what is led lies lower."""
FOOT_OFF = 3.0
"""How far out of the wall a foot is numbered, in thicknesses of a spoke."""
BESIDE_FOOT = ((3.0, 0.0), (3.0, -3.0), (4.5, 0.0), (3.0, 3.5), (5.0, -4.0))
"""Where beside its place a foot is numbered, mm on paper away from the middle and down."""


def below_border(
    making: Making, camera: Camera, labels: Labels, inside: bool, below: float = BELOW_BORDER
) -> dict[int, list[Place]]:
    """Places on the wall for every spoke on the near side, or `inside` on the far one, below the border: the first of
    all in one row, the others lower."""
    laid = making.laid
    ends = laid.design.top_ends
    u = np.arange(ends) + 0.5
    out: dict[int, list[Place]] = {}
    for down, on in LOWER:
        if laid.is_mat:  # its border lies flat, round its edge
            s = np.full(ends, max(float(laid.design.form.radius(0.0)) - (below + down) * labels.unit, 0.0))
            points, near = np.stack(on_surface(laid, "base", u + on, s, np.zeros(ends)), axis=1), np.ones(ends, bool)
        else:
            s = np.full(ends, max(laid.top_s - (below + down) * labels.unit, 0.0))
            points = np.stack(on_surface(laid, "side", u + on, s, np.zeros(ends)), axis=1)
            near = towards(points, camera) * (-1.0 if inside else 1.0) > 0.25
        x, y, _ = look_at_points(camera, points)
        for i in np.flatnonzero(near).tolist():
            out.setdefault(i, []).append((float(x[i]), float(y[i])))
    return out


def last_row(making: Making) -> float:
    """How high the last row lies, mm; of a mat, which has no wall, below all."""
    laid = making.laid
    return -np.inf if laid.is_mat else float(laid.design.form.height(laid.top_s))


def up_the_standing(
    making: Making, stretches: list[Stretch], camera: Camera, labels: Labels
) -> dict[int, list[Place]]:
    """Places on every end that still stands, above the last row."""
    mine = [each.tube for each in stretches if each.tube.role == "spoke" and each.state != MOVES and each.tube.end >= 0
            and each.tube.points[0, 2] > last_row(making) - 2 * each.tube.thick_mm
            and each.tube.points[-1, 2] > each.tube.points[0, 2]]  # fmt: skip
    out = {}
    for tube, (x, y) in zip(mine, on_picture(camera, mine), strict=True):
        hop = np.r_[0.0, np.cumsum(np.hypot(np.diff(x), np.diff(y)))] / labels.unit
        out[tube.end] = [(float(np.interp(up, hop, x)), float(np.interp(up, hop, y))) for up in UP_IT if up < hop[-1]]
    return out


def name_feet(making: Making, moment: int, camera: Camera, labels: Labels) -> None:
    """The numbers of the spokes beside which the feet of a handle stand that is worked at a moment, at the border."""
    laid, order = making.laid, making.order
    part = order.parts[order.part[moment]]
    if part.key != "handle" or part.of:
        return
    each = next(one for one in lay_handles(laid) if one.index == part.row)
    ends = sorted({end for pair in each.feet(laid.design.top_ends) for end in pair})
    u, off = np.array(ends) + 0.5, FOOT_OFF * laid.design.spokes.reed.diameter_mm
    points = np.stack(on_surface(laid, "side", u, np.full(len(u), laid.top_s), np.full(len(u), off)), axis=1)
    x, y, _ = look_at_points(camera, points)
    middle = labels.box[0] + labels.box[2] / 2
    for end, a, b in zip(ends, x.tolist(), y.tolist(), strict=True):
        side = 1.0 if a > middle else -1.0
        labels.number([(a + side * dx * labels.unit, b + dy * labels.unit) for dx, dy in BESIDE_FOOT], str(end + 1))
