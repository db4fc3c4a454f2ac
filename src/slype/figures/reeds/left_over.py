"""What hangs over: of a border's end until it is trimmed off, of an end below a board until its foot is worked, of
weavers that wait while ends are opened out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...borders.rows import Border, path_of_end, trimmed_on
from ...lay.values import Laid
from ...order.kinds import Moments
from ...space.tubes import on_surface
from ...surface.curve import TAILS, Tube, along
from .stretch import FRESH, MOVES, Stretch

LEFT_OVER = "left over"
"""The bit of a border's end that hangs over."""
TUCKED = "tucked"
"""The same of one that is tucked down, with its last leg."""
LAST_LEG, GOES_ON, TIP_SHOWN = 0.55, 0.36, 0.5
"""Of an end that is tucked down its last leg, that it goes on past the middle of its space, and what is shown of its
tip, in spaces: it comes out below the end it goes under, and lies under no other (a picture's convention)."""


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
            tip = _tucked(laid, each, long) if is_tucked(laid) else _hangs_over(each, long, laid.design.border)
            out.append(Stretch(tip, state, (False, True)))
    return out


def below_board(long_mm: float, foot_ends: int, order: Moments, tubes: list[Tube], beyond: int) -> list[Stretch]:
    """What stands out `long_mm` below a board of each of the ends among `tubes` until it is led in the foot border of
    `foot_ends`, when `beyond` moments are done."""
    out = []
    spokes = {each.end: each for each in tubes if each.role == "spoke" and each.end >= 0}
    for end, each in spokes.items():
        holes = order.by_end.get(("hole", end), np.zeros(0, int))  # ends that are added above the board have none
        moves = order.by_end.get(("foot", -end % foot_ends), np.zeros(0, int))
        if len(holes) and len(moves) and int(holes[0]) < beyond <= int(moves[0]):
            foot = each.points[int(np.argmin(each.points[:, 2]))]
            points = foot - np.linspace(0.0, long_mm, 8)[:, None] * [0, 0, 1]
            out.append(Stretch(replace(each, role="border", end=-1, points=points, when=None), FRESH, (False, True)))
    return out


def is_tucked(laid: Laid) -> bool:
    """True where the ends of a border go down inside, between the wall and ends that wait there. Outside, where these
    come out below the rim, a tip that hangs over is behind them as it is."""
    border = laid.design.border
    tucked = border.order is None and not border.is_open and border.rows[-1].finish == "down"
    return tucked and trimmed_on(border) == "inside"


def without_tips(laid: Laid, stretches: list[Stretch]) -> list[Stretch]:
    """All of `stretches`; ends that are tucked down only as far as their tips, which are drawn by themselves."""
    tips = {each.tube.of_reed for each in stretches if each.tube.bit == TUCKED}
    if not tips:
        return stretches
    out = []
    for each in stretches:
        tube = each.tube
        if tube.name in tips and not tube.bit and each.cut[1]:
            upto = _last_leg(laid, tube.points) + 2
            times = None if tube.when is None else tube.when[:upto]
            each = each._replace(tube=along(tube, tube.points[:upto], times), cut=(each.cut[0], False))
        out.append(each)
    return out


def _last_leg(laid: Laid, points: np.ndarray) -> int:
    """The first of these points of a border's end that lies in its last leg."""
    hop = np.linalg.norm(np.diff(points, axis=0), axis=1)[::-1].cumsum()
    return max(1, len(points) - 1 - int(np.searchsorted(hop, LAST_LEG * laid.border_spacing_mm)))


def _tucked(laid: Laid, end: Tube, long: float) -> Tube:
    """The last leg of an end that is tucked down, and its tip: between the weaving and the end that waits in its
    space, which it passes under, and down beyond that."""
    from_ = _last_leg(laid, end.points)
    last = end.points[from_]
    thick, spacing = end.thick_mm, laid.border_spacing_mm
    woven = max((band.band.reed.diameter_mm for band in laid.side), default=0.0)
    off = -(laid.design.spokes.reed.diameter_mm / 2 + woven + thick / 2)
    u_tip = end.end + path_of_end(laid.design.border)[-1][2] + 1.0
    u0, round_it = u_tip - LAST_LEG, GOES_ON + LAST_LEG
    turn = np.linspace(0.0, 1.0, 24)
    u = u0 + round_it * np.sin(np.pi / 2 * np.minimum(turn / 0.75, 1.0))
    down = np.maximum(turn - 0.45, 0.0) ** 1.5
    s = laid.top_s + thick - (thick + min(long, TIP_SHOWN * spacing)) * down / down[-1]
    points = np.stack(on_surface(laid, "side", u, s, off * np.minimum(down / down[-1] * 2.5, 1.0)), axis=1)
    points += (last - points[0]) * np.exp(-6.0 * turn)[:, None]
    return replace(end, name=f"{end.name}, left over", bit=TUCKED, of_reed=end.name, points=points, when=None)


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


HANGING_SHOWN = 0.6
"""How much of what hangs of a weaver is drawn there: the rest would cover the ends' numbers."""


def hanging_dark(stretches: list[Stretch], band: int) -> list[Stretch]:
    """The stretches of a base whose ends are opened out between two bands, with what hangs of every weaver picked out,
    as of the `band` (an index) that goes on with it: of those ends the step speaks."""
    out = []
    for each in stretches:
        tube = each.tube
        laid = 0 if tube.when is None else len(tube.when)
        if tube.role != "weaver" or tube.bit in TAILS or not each.cut[1] or not 1 < laid < len(tube.points):
            out.append(each)
            continue
        assert tube.when is not None, "counted above"
        woven = along(tube, tube.points[:laid], tube.when)
        upto = laid + max(2, round(HANGING_SHOWN * (len(tube.points) - laid)))
        free = replace(along(tube, tube.points[laid - 1 : upto], tube.when[-1:]), band=band)
        out += [each._replace(tube=woven, cut=(each.cut[0], False)), Stretch(free, MOVES, (False, True))]
    return out
