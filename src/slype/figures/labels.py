"""Numbers and names on a drawing of the work, each where it covers no other.

Every spoke that is seen has its number, alone or as one of a run ("1–5"); rings in spaces move outward, and names of
weavers along their tails, until they stand free.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..lay.values import BandLaid
from ..space.tubes import on_surface
from ..surface.curve import Tube
from .flat import marks
from .making import Making
from .stretch import FRESH, OLD, WAITS, Stretch

Box = tuple[float, float, float, float]
Place = tuple[float, float]
MOST_IN_RUN = 12
"""So many ends beside each other are numbered as one run, `1–5`, where there is no room for each."""
CONVERGE = 1.15
"""Spokes that stand so many times further apart lower down than at their tips are numbered there."""
LOW = 0.62
"""So far down a close-up of a base the ends of its sticks are numbered, as a share: further down lies no work."""
BELOW_BORDER, BELOW_ROWS = 4.2, 6.0
"""How far below the border spokes are numbered while they are bent down, mm on paper; in its later rows further, where
what is led lies lower."""


@dataclass(eq=False)
class Labels:
    """What has been written on a drawing of `box`, where `unit` is one mm on paper: SVG in `out`, places in `taken`."""

    box: Box
    unit: float
    out: list[str] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)

    def free(self, at: Place, wide: float, high: float) -> bool:
        """True where a label of that size (of the drawing) lies in the box and covers no other."""
        x, y = at
        left, top, w, h = self.box
        inside = left + wide / 2 < x < left + w - wide / 2 and top + high / 2 < y < top + h - high / 2
        return inside and not any(
            abs(x - a) < (wide + b) / 2 and abs(y - c) < (high + d) / 2 for a, c, b, d in self.taken
        )

    def write(self, places: list[Place], size: Place, drawn) -> bool:
        """Write at the first of these places that is free; False where none is."""
        for at in places:
            if self.free(at, *size):
                self.taken.append((*at, *size))
                self.out.append(drawn(*at))
                return True
        return False

    def number(self, places: list[Place], text: str, moves: bool = False) -> bool:
        wide, high = marks.number_size(text, self.unit)
        return self.write(places, (wide, high), lambda x, y: marks.number(x, y, text, self.unit, moves))

    def ring(self, places: list[Place], text: str, first: bool) -> bool:
        across = 2 * marks.ring_radius(text, self.unit) * 1.06
        return self.write(places, (across, across), lambda x, y: marks.ringed(x, y, text, self.unit, first))

    def word(self, places: list[Place], text: str, share: float = 0.86) -> bool:
        wide, high = marks.word_size(text, self.unit * share)
        return self.write(places, (wide, high), lambda x, y: marks.word(x, y, text, self.unit * share))

    def corner(self, text: str, left_handed: bool = False) -> None:
        """Which face is shown, in the upper left corner; for the left hand, as all is mirrored, in the right one."""
        wide, high = marks.word_size(text, self.unit * 0.86)
        off = wide / 2 + self.unit * 1.05
        x = self.box[0] + self.box[2] - off if left_handed else self.box[0] + off
        at = (x, self.box[1] + high / 2 + self.unit)
        self.word([at], text)


# Spokes --------------------------------------------------------------------------------------------------------


def tips(
    stretches: list[Stretch],
    camera: Camera,
    labels: Labels,
    flat: bool,
    low_first: bool = False,
    near: bool = False,
    straight: float = 0.0,
    rows: float = 0.0,
) -> dict[int, list[Place]]:
    """For every spoke that is seen, from its tip (or where it leaves the drawing) inwards: places on it; with
    `low_first`, where spokes lean to each other, from close above the work outwards; of a base seen `near` those that
    stand at the top, where the work is, and only where they stand out of its `rows`, so many mm out: a number within
    these would name what it lies on; an oval base has `straight` mm between its round ends."""
    out: dict[int, list[Place]] = {}
    edge = 2.2 * labels.unit
    left, top, wide, high = labels.box
    woven = [each.tube.points[:, 2].max() for each in stretches if each.tube.role == "weaver" and each.state != WAITS]
    least = max([0.0, *woven]) if low_first else 0.0
    roles = ("spoke", "stick") if flat else ("spoke",)
    mine = [each.tube for each in stretches if each.tube.role in roles and each.tube.end >= 0]
    for tube, (x, y) in zip(mine, on_picture(camera, mine), strict=True):
        standing = _out(tube.points, straight) > rows if flat else tube.points[:, 2] > least + 2 * tube.thick_mm
        inside = standing & (x > left + edge) & (x < left + wide - edge) & (y > top + edge) & (y < top + high - edge)
        found = np.flatnonzero(inside)
        if not len(found) or (near and y[found[-1]] > top + LOW * high):
            continue
        last = found[-1]
        hop = np.hypot(x - x[last], y - y[last])
        here = [(float(x[last]), float(y[last]))]
        for back in (4.0, 8.0, 12.0, 18.0, 26.0):
            on = found[hop[found] >= back * labels.unit]
            if len(on):
                here.append((float(x[on[-1]]), float(y[on[-1]])))
        if low_first:  # and close above the work
            low = int(found[np.argmin(np.abs(hop[found] - (hop[found[0]] - 3.0 * labels.unit)))])
            here.append((float(x[low]), float(y[low])))
        known = out.get(tube.end)
        middle = (left + wide / 2, top + high / 2)
        further = known is None or (
            np.hypot(here[0][0] - middle[0], here[0][1] - middle[1])
            > np.hypot(known[0][0] - middle[0], known[0][1] - middle[1])
            if flat
            else here[0][1] < known[0][1]
        )
        if further:
            out[tube.end] = here
    return _where_apart(out) if low_first else out


def rows_reach(stretches: list[Stretch], straight: float) -> float:
    """How far out the rows of a base have come, mm, without what hangs from them; `straight` as in `tips`."""
    laid = [each.tube.points[: _laid(each.tube)] for each in stretches
            if each.tube.role == "weaver" and each.state in (OLD, FRESH)]  # fmt: skip
    return max((float(_out(points, straight).max()) for points in laid), default=0.0)


def _laid(tube: Tube) -> int:
    """How many points of a reed lie in the work; the rest hangs from it."""
    return len(tube.points) if tube.when is None else min(len(tube.points), len(tube.when))


def _out(points: np.ndarray, straight: float) -> np.ndarray:
    """How far points of a base lie from its middle; of an oval one from the line between its round ends' middles."""
    aside = points[:, 0] - np.clip(points[:, 0], -straight / 2, straight / 2)
    return np.hypot(aside, points[:, 1])


def on_picture(camera: Camera, tubes: list[Tube]) -> list[np.ndarray]:
    """(2, k) of every tube: its points on the picture, all looked at at once."""
    if not tubes:
        return []
    x, y, _ = look_at_points(camera, np.concatenate([each.points for each in tubes]))
    return np.split(np.stack([x, y]), np.cumsum([len(each.points) for each in tubes])[:-1], axis=1)


def _where_apart(found: dict[int, list[Place]]) -> dict[int, list[Place]]:
    """Of spokes that are tied together or lean to each other the lower places first: there they stand further apart."""
    if len(found) < 2:
        return found
    top, low = (np.ptp([places[at][0] for places in found.values()]) for at in (0, -1))
    return {end: places[::-1] for end, places in found.items()} if low > CONVERGE * top else found


def number_spokes(found: dict[int, list[Place]], labels: Labels, first: set[int], outward: bool) -> None:
    """Write the number of every spoke: those of `first` before others; `outward` of all round a base seen whole."""
    if outward:
        _number_round(found, labels)
        return
    middle = labels.box[0] + labels.box[2] / 2
    for end in sorted(found, key=lambda end: (end not in first, abs(found[end][0][0] - middle))):
        labels.number(found[end], str(end + 1))


def name_groups(band: BandLaid, found: dict[int, list[Place]], labels: Labels) -> None:
    """Write `group 1` and so on at the groups of a band."""
    edges = np.cumsum([0, *band.sizes]).tolist()
    for group, (first, beyond) in enumerate(pairwise(edges), start=1):
        own = [found[end] for end in range(first, beyond) if end in found]
        if not own:
            continue
        at = np.array([places[0] for places in own]).mean(axis=0)
        x, y, wide, high = labels.box
        to = np.array([x + wide / 2, y + high / 2]) - at
        to = to / max(float(np.hypot(*to)), 1e-9)
        labels.word([_place(at + to * k * labels.unit) for k in (-2.0, 0.0, 2.0, 4.0, 6.0, 9.0)], f"group {group}")


def _number_round(found: dict[int, list[Place]], labels: Labels) -> None:
    """Numbers all round: one by one, stepping out by turns where it is close; a bunch of parallel ones as `1–5`."""
    x, y = (np.array([places[0][i] for places in found.values()]) for i in (0, 1))
    middle = (float(x.min() + x.max()) / 2, float(y.min() + y.max()) / 2)
    for run in _bunches(found, labels.unit):
        tip = np.array([found[end][0] for end in run])
        way = tip.mean(axis=0) - middle
        way = way / max(float(np.hypot(*way)), 1e-9)
        if len(run) > MOST_IN_RUN and _too_close(tip, labels.unit):  # all the way round: every fifth, and the first
            for end, own in zip(run, tip, strict=True):
                if end == 0 or (end + 1) % 5 == 0:
                    out = (own - middle) / max(float(np.hypot(*(own - middle))), 1e-9)
                    labels.number([_place(own + out * k * labels.unit) for k in (1.6, -1.6, -4.6)], str(end + 1))
            continue
        if len(run) > 1 and _too_close(tip, labels.unit):
            at = tip.mean(axis=0) + way * 2.6 * labels.unit
            text = f"{run[0] + 1}–{run[-1] + 1}"
            labels.number([_place(at + way * k * labels.unit) for k in (0.0, 1.5, -3.0, -5.0)], text)
            continue
        for end, own in zip(run, tip, strict=True):
            out = own - middle
            out = out / max(float(np.hypot(*out)), 1e-9)
            tries = (1.6, 4.6, -1.6, -4.6, -7.6, -10.6)
            labels.number([_place(own + out * k * labels.unit) for k in tries], str(end + 1))


def _place(at: np.ndarray) -> Place:
    return float(at[0]), float(at[1])


def _bunches(found: dict[int, list[Place]], unit: float) -> list[list[int]]:
    """Ends in order, divided where two neighbours stand apart."""
    ends = sorted(found)
    out: list[list[int]] = []
    for end in ends:
        near = out and out[-1][-1] == end - 1
        near = near and np.hypot(*np.subtract(found[end][0], found[end - 1][0])) < 4.4 * unit
        if near:
            out[-1].append(end)
        else:
            out.append([end])
    return out


def _too_close(tip: np.ndarray, unit: float) -> bool:
    """True where not even numbers that step out by turns have room."""
    return float(np.hypot(*np.diff(tip, axis=0).T).mean()) < 3.3 * unit


def below_border(
    making: Making, camera: Camera, labels: Labels, inside: bool, below: float = BELOW_BORDER
) -> dict[int, list[Place]]:
    """A place on the wall for every spoke on the near side, or `inside` on the far one, below the border."""
    laid = making.laid
    ends = laid.design.top_ends
    u = np.arange(ends) + 0.5
    if laid.is_mat:  # its border lies flat, round its edge
        s = np.full(ends, max(float(laid.design.form.radius(0.0)) - below * labels.unit, 0.0))
        x, y, _ = look_at_points(camera, np.stack(on_surface(laid, "base", u, s, np.zeros(ends)), axis=1))
        return {i: [(float(x[i]), float(y[i]))] for i in range(ends)}
    s = np.full(ends, max(laid.top_s - below * labels.unit, 0.0))
    points = np.stack(on_surface(laid, "side", u, s, np.zeros(ends)), axis=1)
    x, y, _ = look_at_points(camera, points)
    near = towards(points, camera) * (-1.0 if inside else 1.0) > 0.25
    return {i: [(float(x[i]), float(y[i]))] for i in range(ends) if near[i]}


def towards(points: np.ndarray, camera: Camera) -> np.ndarray:
    """Cosine between where points lie from the middle and where the eye is, seen from above."""
    toward = camera.back[:2] / max(float(np.hypot(*camera.back[:2])), 1e-9)
    return points[:, :2] @ toward / np.maximum(np.hypot(*points[:, :2].T), 1e-9)
