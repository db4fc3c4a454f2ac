"""What hangs over: of a border's end until it is trimmed off, of weavers that wait while ends are opened out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...borders.rows import Border, trimmed_on
from ...lay.values import Laid
from ...order.kinds import Moments
from ...surface.curve import TAIL, Tube, along
from .stretch import FRESH, MOVES, Stretch

LEFT_OVER = "left over"
"""The bit of a border's end that hangs over."""


def over(laid: Laid, order: Moments, tubes: list[Tube], first: int, beyond: int) -> list[Stretch]:
    """What is left over of the ends of `tubes` that have made all their moves when `beyond` moments are done, until the
    border is trimmed; those from moment `first` on picked out."""
    trims = next((p.first for p in order.parts if p.key == "trim" and not p.of), len(order))
    long = next((mm for name, mm, *_ in laid.border.parts if name == "fingers"), 0.0)
    if laid.design.border.is_open or laid.is_mat or beyond > trims or long <= 0.0:
        return []
    out = []
    for each in tubes:
        moves = order.by_end.get(("border", each.end)) if each.role == "border" and each.end >= 0 else None
        if moves is None or each.when is None:
            continue
        last = int(moves[-1])
        if last < beyond and each.when[-1] <= beyond + 1e-9:
            state = MOVES if last >= first else FRESH
            out.append(Stretch(_hangs_over(each, long, laid.design.border), state, (False, True)))
    return out


def _hangs_over(end: Tube, long: float, border: Border) -> Tube:
    """What of a border's end lies past its tip: on with its run, springing away from the wall and down (a picture's
    convention)."""
    tip, run = end.points[-1], end.points[-1] - end.points[max(0, len(end.points) - 4)]
    run = run / max(float(np.linalg.norm(run)), 1e-9)
    away = tip * [1, 1, 0] / max(float(np.hypot(*tip[:2])), 1e-9)
    away = away if trimmed_on(border) == "outside" else -away
    share = np.linspace(0.0, 1.0, 12)[:, None]
    hop = run * (1 - 0.5 * share) + (0.45 * away + np.array([0.0, 0.0, -0.35])) * share
    points = tip + np.vstack([np.zeros(3), np.cumsum((hop[1:] + hop[:-1]) / 2, axis=0)]) * long / 11
    return replace(end, name=f"{end.name}, left over", bit=LEFT_OVER, of_reed=end.name, points=points, when=None)


SHOWN = 0.6
"""How much of what hangs of a weaver is drawn there: the rest would cover the ends' numbers."""


def hanging_dark(stretches: list[Stretch], band: int) -> list[Stretch]:
    """The stretches of a base whose ends are opened out between two bands, with what hangs of every weaver picked out,
    as of the `band` (an index) that goes on with it: of those ends the step speaks."""
    out = []
    for each in stretches:
        tube = each.tube
        laid = 0 if tube.when is None else len(tube.when)
        if tube.role != "weaver" or tube.bit == TAIL or not each.cut[1] or not 1 < laid < len(tube.points):
            out.append(each)
            continue
        assert tube.when is not None, "counted above"
        woven = along(tube, tube.points[:laid], tube.when)
        upto = laid + max(2, round(SHOWN * (len(tube.points) - laid)))
        free = replace(along(tube, tube.points[laid - 1 : upto], tube.when[-1:]), band=band)
        out += [each._replace(tube=woven, cut=(each.cut[0], False)), Stretch(free, MOVES, (False, True))]
    return out
