"""A drawing of a moment: where it is looked at from, how much is shown, its numbers and its arrow."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..draw.camera import Camera, camera_for, direction, look_at_points, looking
from ..order.kinds import ACTS
from ..order.viewpoints import SET_DOWN, TURNED, UNDERSIDE
from ..space.plank import Plank, plank
from ..space.tubes import on_surface
from ..surface.curve import TAILS, along
from .arrows import PUSHED, arrow_lines, hidden_tails, keep_bare
from .border_numbers import last_row, name_feet
from .counted import arrow_round, name_counted, picked_out, thread_round
from .flat import marks
from .in_view import in_view, without_base
from .labels import Labels, towards
from .making import Making
from .pen import DOTS, WHOLE_DOTS, Box, Inks, drawn, several_colours
from .reeds.fanned import ended_in_turn, fanned
from .reeds.left_over import hanging_dark
from .reeds.stretch import FRESH, MOVES, Stretch
from .rings import named_spaces, spaces_of
from .written import write_all

NEAR_SPACES, JOIN_SPACES, ENDING_SPACES = 6.0, 5.4, 8.0
"""Spaces that a close-up shows across, one of a join with both its tails, and one of weavers that are ended."""
RINGS_ACROSS, LEAST_ACROSS = 3.0, 60.0
"""A close-up of a base shows no more across than so many rings of its row, and none less than so many mm."""
EDGE_MM = 4.0
"""The spaces of a stroke, and where it comes out, lie at least so far within its drawing, mm on paper."""
HIGH = 0.62
"""Height of a drawing as a share of its width."""
ABOVE_ROW = 1.5
"""How far above the last row the arrow of an arch ends, mm on paper: whose side its tip goes down on is seen below."""
BOARD, FACE = "#cbc4b8", "#e1dcd3"
FAR = 9.0  # how many widths of the drawing the eye stands off: almost without perspective


@dataclass(frozen=True)
class Scene:
    """What to draw: the work when `beyond` moments are done, those from `first` on picked out. `whole` shows all of it
    and not only the place of the work; `inside` looks at the same place from inside; `arrow` along what moves;
    `spaces` "all", "first" or "none" are numbered; `mm` how wide it stands on paper; `join`, `fold` as in
    `teach.step.values.Drawing`, and `counted`; `band` index of the band in work, or None; `finished` shows
    all of it as the picture of the finished basket does, without numbers; `above` looks down on what lies on the table.
    """

    first: int
    beyond: int
    whole: bool = False
    inside: bool = False
    arrow: bool = True
    spaces: str = "all"
    across: float = NEAR_SPACES
    mm: float = 80.0
    join: int | None = None
    fold: bool = False
    band: int | None = None
    finished: bool = False
    above: bool = False
    counted: bool = False


@dataclass(frozen=True, eq=False)
class Shot:
    """A scene before it is drawn: what lies there, at which `moment`, looked at by a camera within a `box`; `flat` is
    a look at the base."""

    stretches: list[Stretch]
    camera: Camera
    box: Box
    moment: int
    flat: bool


def shot_of(making: Making, scene: Scene) -> Shot:
    """The scene, framed."""
    last = ACTS[making.order.act[min(max(scene.beyond - 1, 0), len(making.order) - 1)]]
    several = not (scene.arrow or scene.whole) and last == "stroke"  # each that hangs there
    stretches = making.at(scene.first, scene.beyond, scene.join, scene.fold, scene.band, several)
    if scene.counted:
        stretches = picked_out(stretches, making.half)
    moment = min(max(scene.beyond - 1, scene.first, 0), len(making.order) - 1)
    flat = abs(making.places.up[moment]) == -UNDERSIDE
    if flat and scene.whole and scene.spaces == "all" and scene.first == scene.beyond and scene.band is not None:
        stretches = hanging_dark(stretches, scene.band)
    if scene.finished:
        camera = camera_for(making.laid, "outside", [each.tube for each in stretches])
        box = _close_to_work(_box_of_all(stretches, camera), stretches, camera)
        cored = any(each.tube.role == "handle" and each.state == FRESH for each in stretches)
        if cored and scene.beyond - scene.first > 1:  # a wrapping that is done: dark, its turns would run together
            stretches = [each._replace(state=FRESH) if each.state == MOVES else each for each in stretches]
        return Shot(stretches, camera, box, moment, flat)
    return Shot(stretches, *_framed(making, scene, stretches, moment, flat), moment, flat)


def scene_svg(making: Making, scene: Scene, inks: Inks) -> tuple[str, Box]:
    """(body of an SVG, box) of a scene."""
    shot = shot_of(making, scene)
    return shot_svg(making, scene, inks, shot), shot.box


def shot_svg(making: Making, scene: Scene, inks: Inks, shot: Shot) -> str:
    """The body of an SVG of a scene that is framed."""
    camera, box, moment, flat = shot.camera, shot.box, shot.moment, shot.flat
    unit, board = box[2] / scene.mm, plank(making.laid)
    ended = ended_in_turn(making.order, scene.first, scene.beyond) if scene.inside else []
    if ended:
        shot = replace(shot, stretches=fanned(shot.stretches, ended, unit, flat))
        inks = replace(inks, tails=tuple(ended))
    stretches = shot.stretches
    lies = None if board is None else (board, _board(board, camera, box, unit))
    if scene.finished:
        labels = Labels(box, unit, -1.0 if making.laid.design.hand == "left" else 1.0)
        name_feet(making, moment, camera, labels)
        return "".join([drawn(stretches, camera, box, inks, WHOLE_DOTS, lies), *labels.out])
    stretches = in_view(stretches, camera, scene, box, flat)
    if not (flat or scene.whole or scene.inside):
        stretches = without_base(stretches, making)
    if scene.inside and not flat and board is not None:  # the board hides what lies below it
        stretches = [each for each in stretches if each.tube.points[:, 2].max() > 0.0]
    if not (flat or scene.whole or scene.inside):  # what hangs on the inside until it is trimmed is not seen there
        stretches = [each for each in stretches if each.state == MOVES or each.tube.bit not in TAILS]
    act = ACTS[making.order.act[moment]]
    if act == "border" and not scene.whole:
        led = {each.tube.end for each in stretches if each.state == MOVES and each.tube.role == "border"}
        inks = replace(inks, earlier=frozenset(led - {int(making.order.end[moment])}))
    of_one = scene.arrow or scene.whole or scene.join is not None  # dark is what its words speak of
    if act in ("set in", "stroke") and not of_one and several_colours(stretches):
        inks = replace(inks, coloured=True)
    rests = act in ("set in", "stroke", "border") and not (flat or scene.whole)
    body = [drawn(stretches, camera, box, inks, WHOLE_DOTS if scene.whole else DOTS, lies, rests)]
    labels = Labels(box, unit, -1.0 if making.laid.design.hand == "left" else 1.0)
    many = act in ("border", "foot") and scene.beyond - scene.first > 1
    floor = last_row(making) + ABOVE_ROW * unit if act == "border" and making.laid.design.border.is_open else -math.inf
    arrows = arrow_lines(stretches, camera, box, unit, act in PUSHED, flat, many, floor) if scene.arrow else []
    if scene.counted:
        arrows = arrow_round(making, stretches, camera)
    body += [marks.arrow(line[0], line[1], unit) for line in arrows]
    keep_bare(labels, stretches, camera, arrows, act in PUSHED)
    dotted: list[np.ndarray] = []
    if act == "set in" and flat and not scene.inside and not scene.fold:
        dotted = hidden_tails(stretches, camera, box, unit)
        body += [marks.dots(line[0], line[1], unit, bool(nth % 2)) for nth, line in enumerate(dotted)]
    if scene.counted:
        body.append(thread_round(stretches, camera, labels))
    write_all(making, scene, stretches, shot, labels, dotted)
    if scene.counted:
        name_counted(stretches, camera, labels, making.half)
    return "".join(body + labels.out)


# Where from, how much ------------------------------------------------------------------------------------------


def _framed(making: Making, scene: Scene, stretches: list[Stretch], moment: int, flat: bool) -> tuple[Camera, Box]:
    laid, around = making.laid, float(making.places.around[moment])
    if scene.whole and making.order.of[moment] < 0:
        around = _around_first(making, flat)
    if ACTS[making.order.act[moment]] == "trim" and laid.side:
        around = _around_ended(making, around)
    place = around
    if scene.inside and not flat:
        around += 180.0
    wide = _width(making, scene, moment)
    moves = [each for each in stretches if each.state == MOVES]
    if ACTS[making.order.act[moment]] == "trim":  # all round: the place in front is shown
        moves = []
    tails = [each for each in moves if each.tube.bit in TAILS] if ACTS[making.order.act[moment]] == "end" else []
    moving = [each.tube.points for each in tails or moves]
    if moving and not flat and laid.design.form.is_round and not scene.whole:
        x, y, _ = np.vstack(moving).mean(axis=0)
        if math.hypot(x, y) > 0.4 * float(laid.design.form.radius(0.0)):  # else it goes all the way round
            around = math.degrees(math.atan2(y, x)) + 90.0 + (180.0 if scene.inside else 0.0)
    toward = direction(around - 90.0, 0.0)
    if flat:
        eye = np.array([0.0, 0.0, -FAR * max(wide, laid.base_reached_mm)])
        camera = looking(eye, np.zeros(3), tuple(toward))
        if scene.inside or scene.above:
            camera = looking(-eye, np.zeros(3), tuple(toward))
    else:
        up = float(making.places.up[moment])
        up = SET_DOWN if up == TURNED else up  # drawn as it stands when all are turned up
        up = max(up, 30.0) if scene.inside else up
        form = laid.design.form
        at = np.array([0.0, 0.0, float(form.height(laid.top_s)) / 2])
        over = ACTS[making.order.act[moment]] == "foot" and not scene.whole  # a board turned over
        above = (0.0, 0.0, -1.0) if over else (0.0, 0.0, 1.0)
        camera = looking(at + FAR * wide * direction(around - 90.0, up), at, above)
    if scene.whole:
        box = _box_of_all(_cropped(stretches, making, moment, flat), camera)
        return camera, _close_to_groups(making, scene, box, flat)
    points = np.vstack(moving) if moving else _place(making, moment, place)
    x, y, _ = look_at_points(camera, points)
    act = ACTS[making.order.act[moment]]
    # What hangs out of the picture may do so: the middle of the work is what counts.
    middle = (np.median(x), np.median(y))
    high = wide * HIGH
    inward = {"border": -0.16}.get(act, 0.10) if scene.inside else -0.12 if act == "foot" else 0.10
    inward = TRIMMED if act == "trim" else FLAT_BORDER if flat and act == "border" else 0.06 if flat else inward
    lift = inward * high
    box = (float(middle[0] - wide / 2), float(middle[1] - high / 2 - lift), float(wide), float(high))
    if act in ("stroke", "set in") and scene.join is None and scene.spaces == "all" and not scene.inside:
        named = np.array(sorted(named_spaces(making.order, scene)), dtype=int)
        unit = wide / scene.mm
        spaces = spaces_of(making, scene, stretches, moment, flat, unit).at(np.zeros(1), named)[0]
        spaces = spaces[np.isfinite(spaces).all(axis=1)]
        x, y, _ = look_at_points(camera, np.vstack([spaces, *_come_out(moves, unit)]))
        box = _reaching(box, x, y, scene.mm)
    return camera, box


SMALL, NEARER = 0.3, 0.42
"""Work that takes up less than the one share of a picture of the whole basket is shown as near as the other share, or
twice as far across as the work is where that is more."""


def _close_to_work(box: Box, stretches: list[Stretch], camera: Camera) -> Box:
    """The box of a whole basket, or where what moves is small there, as a side handle, a smaller one round that."""
    moves = [each.tube.points for each in stretches if each.state == MOVES]
    if not moves:
        return box
    x, y, _ = look_at_points(camera, np.vstack(moves))
    most = max(float(np.ptp(x)), float(np.ptp(y)))
    if most > SMALL * box[2]:
        return box
    wide = max(NEARER * box[2], 2 * most)
    high = min(HIGH * wide, box[3])
    return (float(x.min() + x.max() - wide) / 2, float(y.min() + y.max() - high) / 2, wide, high)


ENDED_ACROSS, ENDED_LEAST = 2.2, 40.0
"""The same of a base whose weavers are ended: all that is shown lies on its rim."""
TRIMMED = -0.26
"""How far above the middle what is trimmed is drawn, as a share of the height: above it there is nothing."""
FLAT_BORDER = -0.07
"""The same of a border worked on a flat base, whose spaces are ringed below the numbers of its ends."""
HANGS_MM = 9.0
"""So much of each weaver that hangs is within the drawing at least where several are shown, mm on paper."""


def _come_out(moves: list[Stretch], unit: float) -> list[np.ndarray]:
    """Where the weavers that move come out, each (1, 3); of several a little further down, where each has its name."""
    woven = [each.tube for each in moves if each.tube.role == "weaver" and each.tube.bit not in TAILS]
    out = []
    for each in woven:
        upto = len(each.points) if each.when is None else min(len(each.points), len(each.when))
        hop = np.linalg.norm(each.points[upto - 1 :] - each.points[upto - 1], axis=1)
        on = int(np.argmax(hop > HANGS_MM * unit)) if len(woven) > 1 else 0
        out.append(each.points[upto - 1 + on : upto + on])
    return out


def _reaching(box: Box, x: np.ndarray, y: np.ndarray, mm: float) -> Box:
    """The box, moved no more than it must be, and as little larger, so that these places lie well within it."""
    left, top, wide, high = box
    if not len(x):
        return box
    room = 1.0 - 2 * EDGE_MM / mm
    larger = max(1.0, float(np.ptp(x)) / (room * wide), float(np.ptp(y)) / (high - 2 * EDGE_MM / mm * wide))
    left, top = left - (larger - 1) * wide / 2, top - (larger - 1) * high / 2
    wide, high = larger * wide, larger * high
    edge = EDGE_MM * wide / mm
    left += min(0.0, float(x.min()) - edge - left) + max(0.0, float(x.max()) + edge - left - wide)
    top += min(0.0, float(y.min()) - edge - top) + max(0.0, float(y.max()) + edge - top - high)
    return left, top, wide, high


def _around_first(making: Making, flat: bool) -> float:
    """Degrees from where the eye has space 1 at the top of a base, or in front: all of it is always drawn so."""
    where = "base" if flat else "side"
    edge = float(making.laid.design.form.radius(0.0)) if flat else 0.0
    x, y, _ = on_surface(making.laid, where, np.zeros(1), np.full(1, edge), np.zeros(1))
    return math.degrees(math.atan2(float(y[0]), float(x[0]))) + 90.0


def _around_ended(making: Making, else_: float) -> float:
    """Degrees from where the eye has in front where the last band's first weaver was ended: there its tail is cut."""
    laid, order = making.laid, making.order
    last = laid.side[-1].index
    ends = np.flatnonzero((order.act == ACTS.index("end")) & (order.band == last) & (order.of < 0))
    if not len(ends):
        return else_
    u = np.full(1, order.tail_behind(int(ends[0]))[0] + 1.0)
    x, y, _ = on_surface(laid, "side", u, np.full(1, laid.top_s), np.zeros(1))
    return math.degrees(math.atan2(float(y[0]), float(x[0]))) + 90.0


def _width(making: Making, scene: Scene, moment: int) -> float:
    """mm of the basket that a close-up shows across."""
    laid, order = making.laid, making.order
    act = ACTS[order.act[moment]]
    ends = laid.design.top_ends
    around = 2 * np.pi * float(laid.design.form.radius(max(laid.top_s, 0.0) if act == "border" else 0.0))
    spacing = around / ends
    if order.band[moment] >= 0:
        band = next(each for each in laid.bands if each.index == order.band[moment])
        spacing = float(band.spacing.mean()) / 1.0
        if band.band.where == "base":
            spacing = float(band.spacing[-1])
    across = JOIN_SPACES if scene.join is not None else scene.across
    if act == "end":  # tails run on: their tips shall be seen
        across = max(across, ENDING_SPACES)
    most = 2.1 * around / np.pi
    if order.band[moment] >= 0 and band.band.where == "base":
        # Few wide groups near the middle: so many of their spaces reach far past the work, and it would be small.
        ring = 2 * float(band.s[min(max(int(order.row[moment]), 0), band.rows - 1)])
        most = min(most, (ENDED_ACROSS if act == "end" else RINGS_ACROSS) * ring)
    least = ENDED_LEAST if act == "end" and most < LEAST_ACROSS else LEAST_ACROSS
    return float(np.clip(across * spacing, least, max(least, most)))


def _place(making: Making, moment: int, around: float) -> np.ndarray:
    """Where the work of a moment is, (1, 3): the place of its ring that the maker has in front, `around` degrees from
    where the eye has it."""
    laid, order = making.laid, making.order
    band = next((each for each in laid.bands if each.index == order.band[moment]), None)
    where, s = ("side", laid.top_s if ACTS[order.act[moment]] in ("border", "trim") else 0.0)
    if band is not None:
        where, s = band.band.where, float(band.s[min(max(int(order.row[moment]), 0), band.rows - 1)])
    u = np.linspace(0.0, laid.design.tiers(where)[-1].ends, 241)
    ring = np.stack(on_surface(laid, where, u, np.full(len(u), s), np.zeros(len(u))), axis=1)
    front = direction(around - 90.0, 0.0)
    return ring[[int(np.argmax(ring @ front))]]


def _close_to_groups(making: Making, scene: Scene, box: Box, flat: bool) -> Box:
    """The box of a drawing of all the base, or a smaller one: near the middle group spaces lie close and look small."""
    band = next((each for each in making.laid.base if each.index == scene.band and each.band.group > 1), None)
    if not flat or band is None or not making.laid.design.form.is_round:
        return box
    row = int(making.order.row[max(scene.beyond - 1, 0)]) if scene.beyond > scene.first else 0
    s = float(band.s[min(max(row, 0), band.rows - 1)])
    wide = max(LEAST_ACROSS, RINGS_ACROSS * 2 * s)
    return box if wide >= box[2] else (-wide / 2, -wide / 2, wide, wide)


CROPPED = 0.5
"""How far above the work standing ends are shown, as a share of the basket's width."""


def _cropped(stretches: list[Stretch], making: Making, moment: int, flat: bool) -> list[Stretch]:
    """Standing ends cut off a little above the work: they would make the drawing small."""
    if flat:
        return stretches
    woven = [each.tube.points[:, 2].max() for each in stretches if each.tube.role not in ("spoke", "bye-spoke")]
    top = max([0.0, *woven]) + CROPPED * 2 * float(making.laid.design.form.radius(0.0))
    out = []
    for each in stretches:
        below = each.tube.points[:, 2] <= top
        if below.sum() > 1:
            out.append(each._replace(tube=along(each.tube, each.tube.points[below], each.tube.when)))
    return out


def _box_of_all(stretches: list[Stretch], camera: Camera) -> Box:
    x, y, away = look_at_points(camera, np.concatenate([each.tube.points for each in stretches]))
    thick = np.repeat([each.tube.thick_mm for each in stretches], [len(each.tube.points) for each in stretches])
    radius = thick / 2 * camera.distance / away
    left, right = float((x - radius).min()), float((x + radius).max())
    top, bottom = float((y - radius).min()), float((y + radius).max())
    more = 0.09 * max(right - left, (bottom - top) / HIGH)
    left, right, top, bottom = left - more, right + more, top - more, bottom + more
    wide = max(right - left, (bottom - top) / 1.0)
    middle = (left + right) / 2
    return (middle - wide / 2, top, wide, bottom - top)


def _board(board: Plank, camera: Camera, box: Box, unit: float) -> str:
    """A board as it is seen: its near edge, and the face that is turned to the eye."""
    near = towards(np.c_[board.edge, np.zeros(len(board.edge))], camera) > 0.0
    first = int(np.flatnonzero(near & ~np.roll(near, 1))[0]) if near.any() and not near.all() else 0
    edge = np.roll(board.edge, -first, axis=0)[: int(near.sum())]
    sides = []
    for z in (0.0, -board.thickness_mm):
        x, y, _ = look_at_points(camera, np.c_[edge, np.full(len(edge), z)])
        sides.append(np.stack([x, y], axis=1))
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in np.vstack([sides[0], sides[1][::-1]])) + "Z"
    # What is seen of it besides: its upper or its lower face.
    x, y, _ = look_at_points(camera, np.c_[board.edge, np.full(len(board.edge), 0.0 if camera.eye[2] > 0 else
                                                               -board.thickness_mm)])  # fmt: skip
    face = "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x, y, strict=True)) + "Z"
    left, top, wide, high = box
    clip = f'<clipPath id="b"><rect x="{left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{high:.1f}"/></clipPath>'
    pen = f'stroke="{marks.INK}" stroke-width="{0.25 * unit:.2f}"/>'
    shapes = "".join(f'<path d="{shape}" fill="{fill}" {pen}' for shape, fill in ((face, FACE), (path, BOARD)))
    return f'{clip}<g clip-path="url(#b)">{shapes}</g>'
