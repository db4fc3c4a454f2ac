"""All that is written on a drawing: which face it shows, numbers of spokes and spaces, names of weavers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np

from ..borders.meetings import places_under, places_upon
from ..borders.work import spaces_of_move
from ..draw.camera import Camera, look_at_points
from ..order.kinds import ACTS
from .border_numbers import BELOW_BORDER, BELOW_ROWS, below_border, up_the_standing
from .counted import name_half
from .flat import marks
from .labels import (
    Labels,
    Place,
    counted,
    groups_at,
    name_groups,
    number_spokes,
    number_tips,
    out_from,
    rows_reach,
    tips,
    towards,
)
from .making import Making
from .names import keep_dots, name_joined, name_met, name_sticks, name_tails, name_weavers
from .reeds.left_over import LEFT_OVER, TUCKED
from .reeds.stretch import MOVES, Stretch
from .rings import number_spaces


def write_all(making: Making, scene, stretches, shot, labels: Labels, dotted: Sequence[np.ndarray] = ()) -> None:
    """Write everything on a drawing (`scene` as `closeup.Scene`, `shot` as `closeup.Shot`); of the
    `stretches` that are seen there, and of tails that are `dotted`, lines (2, k), which no name covers."""
    camera, moment, flat = shot.camera, shot.moment, shot.flat
    act = ACTS[making.order.act[moment]]
    face = "from above" if scene.above else "outside"
    if scene.inside or (flat and not scene.above):
        face = "far side" if scene.inside and flat else "inside" if scene.inside else "underside"
        face = "top" if face == "underside" and making.laid.design.of_lid else face
    found, grouped = _ends_seen(making, scene, stretches, shot, labels)
    if making.order.of[moment] < 0:
        wide, high = (marks.word_size if grouped else marks.number_size)("group 1" if grouped else "11", labels.unit)
        near = [] if scene.whole and not grouped else [places[0] for places in found.values()]
        labels.corner(face, near, (wide, high), dotted)
    if scene.join is not None:
        name_joined(stretches, camera, labels)
    elif act == "end" and scene.inside:
        name_tails(stretches, camera, labels)
    keep_dots(labels, dotted)
    if scene.above:
        name_half(stretches, camera, labels, making.half)
    moving = {each.tube.end for each in stretches if each.state == MOVES}
    ring = partial(number_spaces, making, scene, stretches, shot, labels)
    # Those of a stroke lie close to the numbers of its spokes, which have more places.
    apart = not scene.whole and act in ("stroke", "set in", "end") and scene.spaces == "all"
    if apart and not scene.above:
        ring("named")
    if dotted and grouped:  # tails are counted by the spaces that they run past
        ring("others" if apart else "")
    if not scene.above:
        if act == "border" and not scene.whole and (not flat or making.laid.is_mat):
            _write_border(making, scene, stretches, camera, labels, moment, moving)
        elif act == "foot" and not scene.whole:
            for own, places in _moving_tips(stretches, camera, 0.5).items():
                labels.number(places, str(own + 1), moves=True)
            number_spokes(found, labels, set(), False)
        elif act == "trim" and not scene.whole:  # on the wall, below what is trimmed; of a flat one within
            inside = scene.inside and not flat
            number_spokes(below_border(making, camera, labels, inside, BELOW_TAILS), labels, set(), False)
        elif grouped:
            name_groups(found, labels)
        elif act == "insert" and flat and not scene.whole:
            number_spokes(found, labels, moving, False)
            name_sticks(stretches, camera, labels)
        elif scene.whole and not flat:
            number_tips(found, labels)
        else:
            number_spokes(found, labels, moving, flat and scene.whole)
        if scene.spaces != "none":
            if flat and scene.whole and scene.spaces == "first":
                _keep_beside_first(making, stretches, camera, labels)
            if not (dotted and grouped):
                ring("others" if apart else "")
        if dotted:
            name_tails(stretches, camera, labels, hidden=True)
        hangs = scene.spaces == "all" if scene.whole else act != "end"
        if scene.band is not None and not scene.inside and hangs:
            # Also those whose tails run far out of the drawing, of which it has only a part.
            seen = stretches if scene.whole and not flat else [
                each for each in shot.stretches if flat or towards(each.tube.points[-1:], camera)[0] > 0.0]  # fmt: skip
            name_weavers(making, seen, camera, labels, scene.band)
    for places, text, first in labels.missing:
        labels.ring(places, text, first, must=True)


def _ends_seen(making: Making, scene, stretches: list[Stretch], shot, labels: Labels) -> tuple[dict, bool]:
    """Places for the number of every end that is numbered at its tip, or (True beside it) for the name of every group
    where these have names."""
    act, flat = ACTS[making.order.act[shot.moment]], shot.flat
    if scene.above or (act == "border" and not scene.whole) or (act == "trim" and not scene.whole):
        return {}, False
    if act == "insert" and flat and not scene.whole:
        pushed = [each for each in stretches if each.tube.role == "spoke"]
        return tips(pushed, shot.camera, labels, flat, near=True), False
    bands = (each for each in making.laid.base if each.index == scene.band and each.band.group > 1)
    grouped = next(bands, None) if flat else None
    near = flat and not scene.whole
    straight = 0.0 if grouped else making.laid.design.form.base_straight_mm
    rows = rows_reach(shot.stretches, straight) if near else 0.0
    low = not flat and scene.inside and not scene.whole
    round_it = scene.whole and not flat
    only = partial(counted, ends=making.laid.design.top_ends) if round_it else None
    found = tips(stretches, shot.camera, labels, flat, low, near, straight, rows, only)
    return (groups_at(grouped, found, labels), True) if grouped else (found, False)


def _keep_beside_first(making: Making, stretches: list[Stretch], camera: Camera, labels: Labels) -> None:
    """Space 1 is ringed beside the two ends it lies between, so far as these are seen out of the rows."""
    straight = making.laid.design.form.base_straight_mm
    rows = rows_reach(stretches, straight)
    last = making.laid.design.tiers("base")[-1].ends - 1
    for each in stretches:
        if each.tube.role in ("spoke", "stick") and each.tube.end in (0, last):
            points = each.tube.points[out_from(each.tube.points, straight) > rows]
            if len(points) > 1:
                labels.keep_way(np.stack(look_at_points(camera, points)[:2]), each.tube.thick_mm / 2)


BELOW_TAILS = 11.0
"""How far below the border spokes are numbered where tails hang or are trimmed, mm on paper."""
HIDDEN = 0.3
"""Where along its way an end is numbered whose tip goes in behind something: a number there would hide how."""


def _write_border(making: Making, scene, stretches, camera: Camera, labels: Labels, moment: int, moving) -> None:
    """Numbers on the wall at the feet of all, and, white on dark, on the ends that are led; at a single move `under 1`
    on what it goes under, `above 1` where it lies on that."""
    border, row = making.laid.design.border, int(making.order.row[moment])
    passes = making.order.passes[moment]
    goes_in = border.rows[passes[-1].stage].finish != "out" if passes else False
    first = 0.5 if border.is_open else 0.0 if scene.inside else HIDDEN if goes_in else 1.0
    below = BELOW_ROWS if row > 0 else BELOW_BORDER
    if scene.inside and 0 < row == len(border.rows) - 1 and not border.is_open and border.order is None:
        below = BELOW_TAILS  # what is left over hangs above
    feet = below_border(making, camera, labels, scene.inside, below)
    tips = _moving_tips(stretches, camera, first)
    end = int(making.order.end[moment])
    if scene.beyond - scene.first == 1:
        ends = making.laid.design.top_ends
        under = places_under(border, ends, end, row)
        upon = places_upon(border, ends, end, row)
        for met, word in ((under, "arch" if border.is_open else "under"), (upon, "over")):
            at = {each: _near_space(feet, space, ends) for each, space in met.items()}
            name_met(stretches, camera, labels, at, word)
    for end, places in tips.items():
        # An arch stands where its number stands: a second one upon it would name two.
        if not (border.is_open and end in feet):
            labels.number(places, str(end + 1), moves=True)
    spaces = _spaces_led_through(making, moment) if scene.beyond - scene.first == 1 else ()
    ringed = {space: _below_feet(feet, space, making.laid.design.top_ends, labels) for space in spaces}
    up = up_the_standing(making, stretches, camera, labels)
    feet = {end: [*places[:1], *up.get(end, ()), *places[1:]] for end, places in feet.items()}
    number_spokes(feet, labels, moving, False, must=True)
    for space, places in ringed.items():
        labels.ring(places, str(space + 1), space == 0)


def _spaces_led_through(making: Making, moment: int) -> tuple[int, ...]:
    """The spaces, from 0, of which the words of a move of the border speak."""
    order, design, end = making.order, making.laid.design, int(making.order.end[moment])
    own = [m for m in order.by_end["border", end] if order.row[m] == order.row[moment]]
    return spaces_of_move(design.border, design.top_ends, order.passes[moment], own[-1] == moment)


RING_BELOW = (5.0, 5.8, 6.6, 7.6, 9.0, 0.0, 1.5, 3.0, 4.0)
"""How far below the numbers at the feet a space is ringed, mm on paper."""


def _below_feet(feet: dict[int, list[Place]], space: int, ends: int, labels: Labels) -> list[Place]:
    """Places below the two ends that a space lies between; none where these are not both seen."""
    beside = [feet[end][0] for end in ((space - 1) % ends, space) if feet.get(end)]
    if len(beside) < 2:
        return []
    x, y = (sum(each) / 2 for each in zip(*beside, strict=True))
    return [(x, y + down * labels.unit) for down in RING_BELOW]


def _near_space(feet: dict[int, list[Place]], space: int, ends: int) -> float | None:
    """Where a space (from 0) is across the picture, between the numbers at the feet beside it."""
    beside = [feet[end][0][0] for end in ((space - 1) % ends, space) if feet.get(end)]
    return sum(beside) / 2 if len(beside) == 2 else None


def _moving_tips(stretches: list[Stretch], camera: Camera, first: float) -> dict[int, list[Place]]:
    """Places along every end that is being led, by the spoke it belongs to, those nearest to `first` before others (a
    share of its way: 1 at its tip; less where a number there would hide how that goes down)."""
    out: dict[int, list[Place]] = {}
    for each in stretches:
        tube = each.tube
        if each.state != MOVES or tube.role != "border" or tube.end < 0 or tube.bit in (LEFT_OVER, TUCKED):
            continue
        x, y, _ = look_at_points(camera, tube.points)
        step = max(1, len(x) // 12)
        near = sorted(range(len(x) - 1, 0, -step), key=lambda i: abs(i - first * (len(x) - 1)))
        # Ends of a foot are led the other way round: they say whose they are.
        own = each.tube.upright[1] if each.tube.upright else each.tube.end
        out[own] = [(float(x[i]), float(y[i])) for i in near]
    return out
