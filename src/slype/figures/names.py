"""Names on a drawing: weavers and tails by number, base sticks, what an end goes under, old and new at a join."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..surface.curve import TAILS
from .flat import marks
from .labels import Labels, Place, on_picture
from .making import Making
from .reeds.joined import NEW
from .reeds.stretch import MOVES, WAITS, Stretch
from .room import comes_near, covers

MOST_NAMED = 5
"""So many hanging weavers are named on a drawing."""


def name_weavers(making: Making, stretches: list[Stretch], camera: Camera, labels: Labels, of: int) -> None:
    """The number of every weaver that hangs from the work, at its tail: never on another one, nor with a line to it
    across another one, for then it would name that."""
    band = next(each for each in making.laid.bands if each.index == of)
    if not 1 < len(band.colours) <= MOST_NAMED:
        return
    hang = [each.tube for each in stretches if _hangs(each, of)]
    moves = [each.tube for each in stretches if each.state == MOVES]
    lines = [np.stack(look_at_points(camera, tube.points[-40:])[:2]) for tube in hang]
    close = [_close(each, labels.unit) for each in lines]
    # What moves before what waits: beside its arrow there is the least room.
    for nth in sorted(range(len(hang)), key=lambda nth: all(hang[nth] is not each for each in moves)):
        tube, (x, y) = hang[nth], lines[nth]
        inside = (y > labels.box[1]) & (y < labels.box[1] + labels.box[3])
        inside &= (x > labels.box[0]) & (x < labels.box[0] + labels.box[2])
        own = [i for i in range(len(x) - 1, 0, -2) if inside[i]]  # only where it hangs free: its last points
        if not own:
            continue
        text = f"weaver {tube.weaver + 1}"
        size = marks.word_size(text, labels.unit * 0.86)
        others = np.concatenate([np.zeros((2, 0)), *close[:nth], *close[nth + 1 :]], axis=1)
        left, across = labels.box[0] + size[0] / 2 + labels.unit, labels.box[2] - size[0] - 2 * labels.unit
        places = [(float(np.clip(x[i], left, left + across)), float(y[i])) for i in own]
        places = [each for each in places if not covers(*each, *size, others)]
        if labels.word(places, text):
            continue
        # Rather off arrows and what moves, with a line to where it hangs; or upon itself past its arrow; across another
        # one only with a dot there.
        free = len(tube.points) - (len(tube.points) if tube.when is None else min(len(tube.points), len(tube.when)))
        ats = [(float(x[i]), float(y[i])) for i in own if i >= len(x) - free]
        past = [(float(np.clip(a, left, left + across)), b) for a, b in ats]
        past = [each for each in past if not covers(*each, *size, others)
                and not any(covers(*each, *size, arrow) for arrow in labels.arrows)]  # fmt: skip
        if _beside(labels, ats, text, others, False) or labels.word(past, text, upon=True):
            continue
        if not _beside(labels, ats, text, others, True):
            labels.word(places, text, upon=True)


def _beside(labels: Labels, ats: list[Place], text: str, others: np.ndarray, over_others: bool) -> bool:
    """Write beside the first of the places `ats` where there is room, with a line to it, that comes near no point of
    `others` (2, k) unless it is to go `over_others`: then with a dot; False where there is none."""
    size = marks.word_size(text, labels.unit * 0.86)
    for at in ats:
        beside = [each for each in labels.clear(labels.around(at, BESIDE_TAIL), at)
                  if not covers(*each, *size, others)
                  and (over_others or not comes_near(*at, *each, others, CROSSED * labels.unit))]  # fmt: skip
        if labels.word(beside, text):
            labels.lead(at, dotted=over_others)
            return True
    return False


def _hangs(each: Stretch, of: int) -> bool:
    """True for what hangs of the weavers of a band."""
    tube = each.tube
    mine = tube.role == "weaver" and tube.band == of and tube.strand <= 0 and tube.bit not in TAILS
    return mine and each.state in (WAITS, MOVES) and each.cut[1]


def _close(line: np.ndarray, unit: float) -> np.ndarray:
    """A line (2, k) with points half a mm on paper apart."""
    hop = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=1)))]
    at = np.linspace(0.0, hop[-1], int(2 * hop[-1] / unit) + 2)
    return np.stack([np.interp(at, hop, each) for each in line])


CROSSED = 0.7
"""A line from a word that comes so near to another weaver seems to name that, mm on paper."""
BESIDE_TAIL = ((9.0, 0.0), (-9.0, 0.0), (9.0, 3.5), (-9.0, 3.5), (9.0, -3.5), (-9.0, -3.5), (12.0, 0.0), (-12.0, 0.0),
               (0.0, 5.0), (0.0, -5.0), (6.0, 5.0), (-6.0, 5.0), (15.0, 2.0), (-15.0, 2.0))  # fmt: skip
"""Where beside what hangs its weaver is named, mm on paper to the right and down."""
DOTS_BARE = 0.7
"""How far beside dots no mark may lie, mm on paper."""
NEAR_SPACE, OFF_SPACE = 3.0, 4.0
"""How near the middle of their space, mm on paper, two ends are looked for that meet in it, and how much a place
further off counts against their distance there."""
CROSSING_BARE = 1.5
"""How far round a crossing that is named no mark may lie, mm on paper."""
ASIDE = 1.5
"""How much further out the hidden tail of each next weaver is drawn, so that two on one ring are seen apart, mm on
paper."""


def further_out(x: np.ndarray, y: np.ndarray, more: float) -> tuple[np.ndarray, np.ndarray]:
    """A line on the picture of a base, whose middle lies at (0, 0), ASIDE times `more` further out."""
    away = np.maximum(np.hypot(x, y), 1e-9)
    return x * (1 + ASIDE * more / away), y * (1 + ASIDE * more / away)


def keep_dots(labels: Labels, dotted: Sequence[np.ndarray]) -> None:
    """Nothing is written upon tails that are `dotted`, lines (2, k)."""
    for line in dotted:
        labels.keep_way(line, DOTS_BARE * labels.unit)


def name_tails(stretches: list[Stretch], camera: Camera, labels: Labels, hidden: bool = False) -> None:
    """`tail` at each of the tails that have just been left, with the number of its weaver where there are several; of a
    start, whose tails lie `hidden` and are dotted, beside these."""
    mine = [each for each in stretches if each.state == MOVES and each.tube.bit in TAILS and not each.tube.strand]
    if len(mine) > MOST_NAMED:
        return
    left, top, wide, high = labels.box
    for each in mine:
        x, y, _ = look_at_points(camera, each.tube.points)
        if hidden:
            x, y = further_out(x, y, each.tube.weaver * labels.unit)
        seen = np.flatnonzero((x > left) & (x < left + wide) & (y > top) & (y < top + high))
        if not len(seen):
            continue
        at = float(x[seen[-1]]), float(y[seen[-1]])
        text = "tail" if len(mine) == 1 else f"tail {each.tube.weaver + 1}"
        away = [(dx * far, dy * far) for far in (1.0, 1.5, 2.1, 2.8) for dx, dy in
                ((0.0, -5.0), (0.0, 6.0), (-6.0, -4.0), (6.0, -4.0), (-6.0, 5.0), (6.0, 5.0))]  # fmt: skip
        if labels.word(labels.around(at, away), text):
            labels.lead(at)


CLOSE_WORDS = 10.0
"""Two crossings no further apart across the picture are named away from each other, mm on paper."""
PUSHED_BARE = 0.9
"""How far round the middle of what is pushed in its sticks' names stay away where they can, mm on paper."""
BEYOND_TIP = tuple((dx, -up) for up in (4.0, 6.0, 8.5, 11.0, 14.0) for dx in (0.0, -4.0, 4.0, -8.0, 8.0, -13.0, 13.0))


def name_sticks(stretches: list[Stretch], camera: Camera, labels: Labels) -> None:
    """`stick 1` at every base stick beside which spokes are pushed in, within its rows: numbers alone are spokes'."""
    pushed = [each.tube for each in stretches if each.state == MOVES and each.tube.role == "spoke"]
    if not pushed:
        return
    left, top, wide, high = labels.box
    own = np.concatenate(on_picture(camera, pushed), axis=1)
    sticks = {}
    for each in stretches:
        if each.tube.role == "stick" and each.tube.end >= 0:
            x, y = on_picture(camera, [each.tube])[0]
            inside = (x > left) & (x < left + wide) & (y > top) & (y < top + high)
            if inside.any() and np.hypot(x[inside, None] - own[0], y[inside, None] - own[1]).min() < 3.0 * labels.unit:
                sticks[each.tube.end] = x[inside], y[inside]
    for line in on_picture(camera, pushed):
        labels.keep_way(line, PUSHED_BARE * labels.unit)
    for end, (x, y) in sticks.items():
        tip = int(np.hypot(x, y).argmax())
        at = float(x[tip]), float(y[tip])
        if labels.word(labels.around(at, BEYOND_TIP), f"stick {end + 1}"):
            labels.lead(at)
            continue
        hop = np.hypot(x - x[tip], y - y[tip])
        places = [(float(x[i]), float(y[i])) for back in (5.0, 8.0, 11.0, 14.0, 18.0)
                  for i in [int(np.abs(hop - back * labels.unit).argmin())]]  # fmt: skip
        labels.word(places, f"stick {end + 1}")


def name_met(
    stretches: list[Stretch], camera: Camera, labels: Labels, met: dict[int, float | None], word: str
) -> None:
    """`under 1` or `over 1`, by `word`, at each end (from 0, with how far across the picture the two meet) that what
    moves goes under or lies on, beside where the two cross; of arches `arch 1`, where its bow is highest."""
    arches = word == "arch"
    moving = [each.tube for each in stretches if each.state == MOVES and each.tube.role == "border"]
    if not moving or not met:
        return
    own = np.stack(look_at_points(camera, np.concatenate([tube.points for tube in moving]))[:2], axis=1)
    left, top, wide, high = labels.box
    spots = {}
    for end, across in met.items():
        mine = [each.tube.points for each in stretches
                if each.state != MOVES and each.tube.role == "border" and each.tube.end == end]  # fmt: skip
        if not mine:
            continue
        x, y, _ = look_at_points(camera, np.concatenate(mine))
        seen = np.flatnonzero((x > left) & (x < left + wide) & (y > top) & (y < top + high))
        if not len(seen):
            continue
        aside, away = x[seen, None] - own[None, :, 0], y[seen, None] - own[None, :, 1]
        gap = np.hypot(aside, away).min(axis=1)
        # An arch is shown where its bow is highest, else where the two cross.
        off = 0.0 if across is None else np.maximum(np.abs(x[seen] - across) - NEAR_SPACE * labels.unit, 0.0)
        highest, nearest = np.where(gap > 1.5 * labels.unit, -y[seen], -np.inf), gap + OFF_SPACE * off
        spot = seen[highest.argmax() if arches else nearest.argmin()]
        spots[end] = float(x[spot]), float(y[spot])
        if not arches:  # the number of what goes under, which stands upon it, leaves this free too
            labels.keep_spot(spots[end], CROSSING_BARE * labels.unit)
    in_turn = sorted(spots, key=lambda end: labels.way * spots[end][0])
    close = any(abs(spots[a][0] - spots[b][0]) < CLOSE_WORDS * labels.unit for a, b in pairwise(in_turn))
    for nth, end in enumerate(in_turn):
        # Of several the first is named to the one side and the last to the other, so that no two lines cross.
        side = 0 if len(in_turn) == 1 else -1 if nth == 0 else int(nth == len(in_turn) - 1)
        at, text = spots[end], f"{word} {end + 1}"
        away = [(dx, -up) for up in (9.0, 12.0, 6.5, 15.0, 4.0)
                for dx in (0.0, -3.0, 3.0, -6.0, 6.0, -12.0, 12.0, -18.0, 18.0)]  # fmt: skip
        least = 3.0 if close else 0.0  # words of two that lie close go apart
        away = sorted(away, key=lambda each: each[0] * side < (least if side else 0.0))
        # Where there is little room, below: aside, for there are the numbers of feet.
        away += [(dx, down) for down in (7.0, 9.0) for dx in (5.0, -5.0, 0.0)]
        if labels.word(labels.clear(labels.around(at, away), at), text):
            labels.lead(at, dotted=not arches)


def name_joined(stretches: list[Stretch], camera: Camera, labels: Labels) -> None:
    """`old` at the tail of a length that runs out, `new` at that of the one laid beside it."""
    new = next((each for each in stretches if each.tube.bit == NEW and each.cut[0]), None)
    if new is None:
        return
    own = [each for each in stretches if each.tube.name == new.tube.of_reed and each.state == WAITS]
    old = min(own, key=lambda each: float(np.hypot(*(each.tube.points[-1] - new.tube.points[0])[:2])), default=None)
    # The old one's name below it, the new one's above.
    for name, one, at, side in (("old", old, -1, 1.0), ("new", new, 0, -1.0)):
        if one is not None:
            x, y, _ = look_at_points(camera, one.tube.points)
            tip = float(x[at]), float(y[at])
            tries = ((5.0, 7.0), (-5.0, 7.0), (0.0, 8.0), (7.0, 5.0), (-7.0, 5.0), (0.0, -8.0))
            places = labels.around(tip, [(dx, side * dy) for dx, dy in tries])
            if labels.word(places, name, 1.0):  # off the reeds, with a line to its tip
                labels.lead(tip)
