"""Numbers and names on a drawing of the work, each where it covers no other, nor the way that is shown.

Every spoke that is seen has its number, alone or as one of a run ("1–5"), or only the first and every fifth; rings in
spaces move outward, and names of weavers along their tails, until they stand free.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..lay.values import BandLaid
from ..surface.curve import Tube
from .flat import marks
from .reeds.stretch import FRESH, OLD, WAITS, Stretch
from .room import NOTHING, cross, crosses, first_free, goes_clear, lie_within

Box = tuple[float, float, float, float]
Place = tuple[float, float]
MOST_IN_RUN = 12
"""So many ends beside each other are numbered as one run, `1–5`, where there is no room for each."""
EVERY = 5
"""Where ends are too close for a number each, the first and every so many have one."""
ABOVE_TIP = 2.3
"""How far above its tip a standing end is numbered, mm on paper."""
CONVERGE = 1.15
"""Spokes that stand so many times further apart lower down than at their tips are numbered there."""
LOW = 0.62
"""So far down a close-up of a base the ends of its sticks are numbered, as a share: further down lies no work."""
SPOT_PASSED = 0.85
"""So near to a head or crossing, as a share of what is kept bare round it, no line from a word passes."""
ASLANT = 0.8
"""A line from a word that goes further aside than so, as a share of how far up, runs along an arrow that it crosses."""


@dataclass(frozen=True)
class Spaces:
    """Where spaces lie, `many` of them: `at` so many mm on paper further out than they belong (k,), those of these
    numbers (j,), from 0: (k, j, 3)."""

    many: int
    at: Callable[[np.ndarray, np.ndarray], np.ndarray]


@dataclass(eq=False)
class Labels:
    """What has been written on a drawing of `box`, where `unit` is one mm on paper: SVG in `out`, places in `taken`;
    `way` -1 for the left hand, for which all is mirrored.

    What is shown is kept bare: `ways` (k, 3) are points along what moves, and along its arrow, each with how far round
    it nothing is written; `spots` (k, 3) the same of heads and crossings, which not even the number of what moves, that
    stands upon it, may cover. `level` is that of the row in which rings stand on a wall,
    `spaces` where these lie, once that is known. `arrows` are lines (2, k), `leads` those from words to what they name
    (from, to), `missing` rings that found no place yet, as `ring` takes them.
    """

    box: Box
    unit: float
    way: float = 1.0
    out: list[str] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    ways: np.ndarray = field(default_factory=lambda: np.zeros((0, 3)))
    spots: np.ndarray = field(default_factory=lambda: np.zeros((0, 3)))
    level: int = 0
    spaces: Spaces | None = None
    arrows: list[np.ndarray] = field(default_factory=list)
    leads: list[tuple[Place, Place]] = field(default_factory=list)
    missing: list[tuple[list[Place], str, bool]] = field(default_factory=list)
    _known: np.ndarray = field(default_factory=lambda: np.zeros((0, 4)))

    def keep_way(self, line: np.ndarray, bare: float) -> None:
        """Nothing shall be written within `bare` of a line (2, k) of the drawing."""
        hop = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=1)))]
        at = np.linspace(0.0, hop[-1], max(2, int(hop[-1] / self.unit) + 1))
        x, y = (np.interp(at, hop, each) for each in line)
        self.ways = np.vstack([self.ways, np.stack([x, y, np.full(len(x), bare)], axis=1)])

    def keep_spot(self, at: Place, bare: float) -> None:
        """Nor within `bare` of a place, whatever it is."""
        self.spots = np.vstack([self.spots, [(*at, bare)]])

    def free(self, at: Place, wide: float, high: float, upon: bool = False) -> bool:
        """True where a label of that size (of the drawing) lies in the box, covers no other and nothing that is kept
        bare; one that stands `upon` what moves may cover that."""
        return self._first_free([at], wide, high, upon) == 0

    def _first_free(self, places: list[Place], wide: float, high: float, upon: bool = False) -> int:
        """The number of the first of these places that is `free` in that sense; -1 where none is."""
        if not places:
            return -1
        ways = NOTHING if upon else self.ways
        return int(first_free(np.array(places), wide, high, np.array(self.box), self._taken(), self.spots, ways))

    def _taken(self) -> np.ndarray:
        """`taken` as (k, 4): they are many, and asked for often."""
        if len(self._known) != len(self.taken):
            self._known = np.array(self.taken).reshape(-1, 4)
        return self._known

    @staticmethod
    def _covered(at: Place, wide: float, high: float, kept: np.ndarray) -> int:
        """How many points that are kept bare a label would cover."""
        if not len(kept):
            return 0
        return lie_within(kept, at[0], at[1], wide / 2, high / 2)

    def write(self, places: list[Place], size: Place, drawn, upon: bool = False, must: bool = False) -> bool:
        """Write at the first of these places that is free; False where none is. What `must` be there stands then where
        it covers least of the ways that are kept bare, but no other label and no spot."""
        first = self._first_free(places, *size, upon)
        at = places[first] if first >= 0 else None
        if at is None and must:
            room = [each for each in places if self.free(each, *size, upon=True)]
            at = min(room, default=None, key=lambda each: self._covered(each, *size, self.ways))
        if at is None:
            return False
        self.taken.append((*at, *size))
        self.out.append(drawn(*at))
        return True

    def number(self, places: list[Place], text: str, moves: bool = False, must: bool = False) -> bool:
        wide, high = marks.number_size(text, self.unit)
        mark = partial(marks.number, text=text, unit=self.unit, moves=moves)
        return self.write(places, (wide, high), mark, moves, moves or must)

    def ring(self, places: list[Place], text: str, first: bool, must: bool = False) -> bool:
        across = 2 * marks.ring_radius(text, self.unit) * 1.06
        return self.write(places, (across, across), lambda x, y: marks.ringed(x, y, text, self.unit, first), must=must)

    def word(self, places: list[Place], text: str, share: float = 0.86, upon: bool = False) -> bool:
        size = marks.word_size(text, self.unit * share)
        return self.write(places, size, lambda x, y: marks.word(x, y, text, self.unit * share), upon)

    def lead(self, tip: Place, dotted: bool = False) -> None:
        """A line from the words that were written last to what they name, which lies at `tip`, with a dot there if it
        is `dotted`; below all that is written."""
        word = self.taken[-1][:2]
        self.leads.append((tip, word))
        self.out.insert(0, marks.lead(tip, word, self.unit, dotted))
        self.keep_way(np.array([tip, word]).T, 0.3 * self.unit)

    def clear(self, places: list[Place], tip: Place) -> list[Place]:
        """Those of the places from which a line to the tip goes under nothing that is written, nor across the head of
        an arrow, another crossing or another such line; those first where it does not cross an arrow aslant either."""
        others = self.spots[np.hypot(self.spots[:, 0] - tip[0], self.spots[:, 1] - tip[1]) > 0.1 * self.unit]
        boxes = np.column_stack([others[:, :2], np.tile(2 * SPOT_PASSED * others[:, 2:], (1, 2))])
        taken = np.vstack([self._taken(), boxes])
        found = [at for at in places if goes_clear(*at, *tip, taken)
                 and not any(cross(*at, *tip, *one, *other) for one, other in self.leads)]  # fmt: skip
        aslant = [abs(at[0] - tip[0]) > ASLANT * abs(at[1] - tip[1]) for at in found]
        last = [slant and any(crosses(*at, *tip, line) for line in self.arrows)
                for slant, at in zip(aslant, found, strict=True)]  # fmt: skip
        return [at for wanted in (False, True) for at, is_last in zip(found, last, strict=True) if is_last is wanted]

    def off(self, aside: float) -> tuple[float, bool]:
        """Sorts by how far to a side something lies, in tenths of a mm on paper, and then by the side: for both hands
        in the same order."""
        return round(abs(aside) / self.unit, 1), self.way * aside < 0

    def around(self, at: Place, aside: Iterable[Place]) -> list[Place]:
        """Places beside one, so many mm on paper to the right and down; for the left hand to the left and down."""
        return [(at[0] + self.way * dx * self.unit, at[1] + dy * self.unit) for dx, dy in aside]

    def corner(self, text: str, numbers: list[Place], size: Place, dotted: Sequence[np.ndarray] = ()) -> None:
        """Which face is shown, in the upper left corner, or in the lower one where that would lie upon what has its
        place there, of this `size` each; for the left hand, as all is mirrored, in the right one. In one of the others
        where it would lie upon a line (2, k) that is `dotted`."""
        wide, high = marks.word_size(text, self.unit * 0.86)
        off = wide / 2 + self.unit * 1.05
        left, right = self.box[0] + off, self.box[0] + self.box[2] - off
        upper, lower = self.box[1] + high / 2 + self.unit, self.box[1] + self.box[3] - high / 2 - self.unit
        sides = (right, left) if self.way < 0 else (left, right)

        def upon(x: float, y: float) -> bool:
            return any(abs(x - a) < (wide + size[0]) / 2 and abs(y - b) < (high + size[1]) / 2 for a, b in numbers)

        def clear(x: float, y: float) -> bool:
            near = (np.abs(line - np.array([[x], [y]])) < np.array([[wide], [high]]) / 2 for line in dotted)
            return not any(each.all(axis=0).any() for each in near)

        usual = (sides[0], lower if upon(sides[0], upper) else upper)
        places = [usual, *((x, y) for x in sides for y in (upper, lower) if (x, y) != usual and not upon(x, y))]
        self.word([next((at for at in places if clear(*at)), usual)], text, upon=True)


# Spokes --------------------------------------------------------------------------------------------------------

OFF_ROWS = 2.0
"""How far out of the rows of a base the middle of a number stands at least, mm on paper."""


def tips(
    stretches: list[Stretch],
    camera: Camera,
    labels: Labels,
    flat: bool,
    low_first: bool = False,
    near: bool = False,
    straight: float = 0.0,
    rows: float = 0.0,
    only: Callable[[int], bool] | None = None,
) -> dict[int, list[Place]]:
    """For every spoke that is seen, from its tip (or where it leaves the drawing) inwards: places on it; with
    `low_first`, where spokes lean to each other, from close above the work outwards; of a base seen `near` those that
    stand at the top, where the work is, and only where they stand out of its `rows`, so many mm out: a number within
    these would name what it lies on; an oval base has `straight` mm between its round ends; `only` of those ends."""
    out: dict[int, list[Place]] = {}
    edge = 2.2 * labels.unit
    left, top, wide, high = labels.box
    woven = [each.tube.points[:, 2].max() for each in stretches if each.tube.role == "weaver" and each.state != WAITS]
    least = max([0.0, *woven]) if low_first else 0.0
    off = OFF_ROWS * labels.unit if rows else 0.0
    roles = ("spoke", "stick") if flat else ("spoke",)
    mine = [each.tube for each in stretches if each.tube.role in roles and each.tube.end >= 0]
    mine = mine if only is None else [each for each in mine if only(each.end)]
    for tube, (x, y) in zip(mine, on_picture(camera, mine), strict=True):
        above = tube.points[:, 2] > least + 2 * tube.thick_mm
        standing = out_from(tube.points, straight) > rows + off if flat else above
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
    return max((float(out_from(points, straight).max()) for points in laid), default=0.0)


def _laid(tube: Tube) -> int:
    """How many points of a reed lie in the work; the rest hangs from it."""
    return len(tube.points) if tube.when is None else min(len(tube.points), len(tube.when))


def out_from(points: np.ndarray, straight: float) -> np.ndarray:
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


def number_spokes(
    found: dict[int, list[Place]], labels: Labels, first: set[int], outward: bool, must: bool = False
) -> None:
    """Write the number of every spoke: those of `first` before others; `outward` of all round a base seen whole; that
    `must` have one even where it covers what moves."""
    if outward:
        _number_round(found, labels)
        return
    middle = labels.box[0] + labels.box[2] / 2
    for end in sorted(found, key=lambda end: (end not in first, labels.off(found[end][0][0] - middle))):
        labels.number(found[end], str(end + 1), must=must)


def counted(end: int, ends: int) -> bool:
    """True for the first end (from 0) of so many and every fifth, but not for one close before the first: they would be
    taken for neighbours."""
    return end == 0 or ((end + 1) % EVERY == 0 and not ends - EVERY + 1 < end + 1 < ends)


def number_tips(found: dict[int, list[Place]], labels: Labels) -> None:
    """Number those that are `counted` of the ends that stand all round a basket seen from outside, above their tips, in
    one row: more would lie upon each other, and on the ends."""
    middle = labels.box[0] + labels.box[2] / 2
    for end in sorted(found, key=lambda end: (end != 0, labels.off(found[end][0][0] - middle))):
        x, y = found[end][0]
        labels.number([(x, y - ABOVE_TIP * labels.unit), (x, y)], str(end + 1))


def name_groups(places: dict[int, list[Place]], labels: Labels) -> None:
    """Write `group 1` and so on at the groups of a band, numbered from 0; upon what hangs over a group where there is
    no other place."""
    left = [(group, own) for group, own in places.items() if not labels.word(own, f"group {group + 1}")]
    for group, own in left:
        labels.word(own, f"group {group + 1}", upon=True)


def groups_at(band: BandLaid, found: dict[int, list[Place]], labels: Labels) -> dict[int, list[Place]]:
    """Places for the name of every group that is seen, from its ends inwards; `found` those of its ends."""
    out = {}
    edges = np.cumsum([0, *band.sizes]).tolist()
    for group, (first, beyond) in enumerate(pairwise(edges)):
        own = [found[end] for end in range(first, beyond) if end in found]
        if not own:
            continue
        at = np.array([places[0] for places in own]).mean(axis=0)
        x, y, wide, high = labels.box
        to = np.array([x + wide / 2, y + high / 2]) - at
        to = to / max(float(np.hypot(*to)), 1e-9)
        out[group] = [_place(at + to * k * labels.unit) for k in (-2.0, 0.0, 2.0, 4.0, 6.0, 9.0)]
    return out


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
                if counted(end, max(found) + 1):
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


def towards(points: np.ndarray, camera: Camera) -> np.ndarray:
    """Cosine between where points lie from the middle and where the eye is, seen from above."""
    toward = camera.back[:2] / max(float(np.hypot(*camera.back[:2])), 1e-9)
    flat = points[:, :2]
    far = np.hypot(flat[:, 0], flat[:, 1])
    return flat @ toward / np.maximum(far, 1e-9)
