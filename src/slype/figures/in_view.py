"""What of all reeds that lie there is seen in a drawing: on this side of the basket, and not behind what is shown."""

from __future__ import annotations

import numpy as np

from ..draw.camera import Camera
from ..surface.curve import along
from .labels import towards
from .making import Making
from .pen import Box, every_point, kept, near
from .reeds.stretch import Stretch

AROUND = 0.4
"""How far round a close-up reeds are followed, in its width: what hangs out of it is still named in it."""


def in_view(stretches: list[Stretch], camera: Camera, scene, box: Box, flat: bool) -> list[Stretch]:
    """What lies in a close-up or round it; of what is not `flat` only what lies on this side of the basket, and of a
    look inside on the far side; `scene` as `closeup.Scene`."""
    if not stretches or (scene.whole and flat):
        return stretches
    if not flat:
        stretches = [_rooted(each, camera, scene.inside) for each in stretches]
    points = every_point(stretches)
    keep = np.ones(len(points), bool) if scene.whole else near(points, camera, box, AROUND)
    if not flat:
        toward = camera.back[:2] / max(float(np.hypot(*camera.back[:2])), 1e-9)
        keep &= (points[:, :2] @ toward > 0) != scene.inside
    return kept(stretches, keep)


def _rooted(each: Stretch, camera: Camera, inside: bool) -> Stretch:
    """The stretch without what hangs from it where it comes out on the side of the basket that is not seen: it would
    float in the air."""
    tube = each.tube
    woven = len(tube.points) if tube.when is None else len(tube.when)
    if tube.role != "weaver" or not 1 < woven < len(tube.points):
        return each
    if (towards(tube.points[woven - 1 : woven], camera)[0] > 0.0) != inside:
        return each
    return Stretch(along(tube, tube.points[:woven], tube.when), each.state, (each.cut[0], False))


def without_base(stretches: list[Stretch], making: Making) -> list[Stretch]:
    """Without the base behind a wall that is looked at from outside: its lines would be in the way."""
    base = {band.index for band in making.laid.base}
    out = []
    for each in stretches:
        if each.tube.role == "stick" or (each.tube.role == "weaver" and each.tube.band in base):
            continue
        up = each.tube.points[:, 2] > 1.2 * each.tube.thick_mm
        if each.tube.role == "spoke" and not up.any():
            continue
        if each.tube.role == "spoke" and not up.all():
            first = int(np.argmax(up))
            tube = along(each.tube, each.tube.points[max(0, first - 2) :], each.tube.when)
            if len(tube.points) > 1:
                each = each._replace(tube=tube, cut=(False, each.cut[1]))
        out.append(each)
    return out
