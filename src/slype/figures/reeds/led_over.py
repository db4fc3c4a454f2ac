"""On a base what is led goes over what waits: the loose end of a weaver that hangs where another is led past it lies
below that, away from the maker. Where both cross in a space their lines lie level, and either could be drawn on top.

On a wall what is led under those that wait goes between them and the basket: one that came out lower down is lifted
over it, and hangs before it."""

from __future__ import annotations

import numpy as np

from ...lay.values import Laid
from ...order.kinds import ACTS, Moments
from ...surface.curve import TAILS, along
from .stretch import MOVES, WAITS, Stretch

CLEAR = 1.1
"""How far apart the middles of the two lie where they cross, in thicknesses."""
REACHES = 1.6
"""How far along itself the one that is led comes away from its way there, in thicknesses."""


def led_over(found: list[Stretch]) -> list[Stretch]:
    """The same stretches of a base, or of a lid, which is woven as one; weavers that move come toward the maker, who
    looks at the underside, where they cross what hangs from those that wait."""
    hanging = [each.tube for each in found if each.state == WAITS and each.tube.role == "weaver" and each.cut[1]]
    tails = [tube.points[len(tube.when) - 1 :] for tube in hanging if tube.when is not None]
    tails = [tail for tail in tails if len(tail) > 1]
    if not tails:
        return found
    return [_over(each, tails) if each.state == MOVES and each.tube.role == "weaver" and each.tube.bit not in TAILS
            else each for each in found]  # fmt: skip


BESIDE = 2.5
"""How near what is led must pass to where one hangs, in thicknesses, for that to be lifted over it."""
LIFTED = 6.0
"""How far it may pass above that, in thicknesses: further up it is another row."""


def goes_under(laid: Laid, order: Moments, moment: int) -> bool:
    """Whether a stroke up the wall goes under the weavers that wait."""
    band = next((each.band for each in laid.side if each.index == order.band[moment]), None)
    if band is None or band.weave.turns != "stroke" or ACTS[order.act[moment]] != "stroke" or order.of[moment] >= 0:
        return False
    return bool(band.weave.reverse[int(order.row[moment]) % len(band.weave.reverse)])


def lifted_over(found: list[Stretch]) -> list[Stretch]:
    """The same stretches of a wall in whose row each weaver goes under those that wait: these hang before it."""
    led = [each.tube.points if each.tube.when is None else each.tube.points[: len(each.tube.when)] for each in found
           if each.state == MOVES and each.tube.role == "weaver" and each.tube.bit not in TAILS]  # fmt: skip
    if not led:
        return found
    waits = [each.state == WAITS and each.tube.role == "weaver" and each.cut[1] and each.tube.when is not None
             for each in found]  # fmt: skip
    return [_lifted(each, np.concatenate(led)) if held else each for each, held in zip(found, waits, strict=True)]


def _lifted(waits: Stretch, led: np.ndarray) -> Stretch:
    tube, thick = waits.tube, waits.tube.thick_mm
    assert tube.when is not None, "asked of one that is woven"
    begins = len(tube.when) - 1
    if begins + 1 >= len(tube.points):  # nothing of it hangs
        return waits
    front, tail = tube.points[begins], tube.points[begins + 1 :]
    away = np.hypot(*(led[:, :2] - front[:2]).T)
    near = int(away.argmin())
    above = led[near, 2] - front[2]
    if away[near] > BESIDE * thick or not -0.5 * thick < above < LIFTED * thick:
        return waits
    out = front[:2] / max(float(np.hypot(*front[:2])), 1e-9)
    reach = max(0.0, float((led[near, :2] - front[:2]) @ out)) + CLEAR * thick
    share = np.linspace(0.0, 1.0, 7)[1:, None]
    rise = np.column_stack([np.sqrt(share) * reach * out, share * (above + CLEAR * thick)])
    points = np.vstack([tube.points[: begins + 1], front + rise, tail + rise[-1]])
    return waits._replace(tube=along(tube, points, tube.when))


def _over(led: Stretch, tails: list[np.ndarray]) -> Stretch:
    tube, thick = led.tube, led.tube.thick_mm
    own = len(tube.points) if tube.when is None else min(len(tube.points), len(tube.when))
    points = tube.points.copy()
    for tail in tails:
        at = _crossing(points[:own], tail)
        if at is None:
            continue
        here, high = at
        away = np.linalg.norm(points[:own, :2] - here, axis=1)
        share = np.clip(1.0 - away / (REACHES * thick), 0.0, 1.0)
        share = share * share * (3 - 2 * share)
        points[:own, 2] -= share * np.maximum(points[:own, 2] - (high - CLEAR * thick), 0.0)
    return led._replace(tube=along(tube, points, tube.when))


def _crossing(line: np.ndarray, tail: np.ndarray) -> tuple[np.ndarray, float] | None:
    """((2,) mm where the line first crosses the tail as seen from above, height of the tail there); None where not."""
    a, b = line[:-1, None, :2], line[1:, None, :2] - line[:-1, None, :2]
    c, d = tail[None, :-1, :2], tail[None, 1:, :2] - tail[None, :-1, :2]
    turn = b[..., 0] * d[..., 1] - b[..., 1] * d[..., 0]
    gap = c - a
    with np.errstate(divide="ignore", invalid="ignore"):
        on = (gap[..., 0] * d[..., 1] - gap[..., 1] * d[..., 0]) / turn
        along_tail = (gap[..., 0] * b[..., 1] - gap[..., 1] * b[..., 0]) / turn
    found = np.argwhere((on >= 0) & (on <= 1) & (along_tail >= 0) & (along_tail <= 1))
    if not len(found):
        return None
    i, j = found[0]
    high = tail[j, 2] + along_tail[i, j] * (tail[j + 1, 2] - tail[j, 2])
    return line[i, :2] + on[i, j] * (line[i + 1, :2] - line[i, :2]), float(high)
