"""A close-up of reeds as a line drawing that prints in grey: what is old is pale, what moves is dark.

What is seen and what lies before what is read off dots, as in `draw.lines`, so a drawing never disagrees with the
picture of the finished basket.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..colour import hex_from_rgb, hex_of, luminance, rgb_of
from ..draw import pixels
from ..draw.camera import NEAREST, Camera, Seen, look, look_at_points
from ..draw.lines import SEAM_SHARE, Shapes, beyond_board, cut_off, from_far_to_near, lengths_seen, outlined
from ..draw.painted import EVERYWHERE, Dots
from ..draw.runs import written
from ..draw.runs.thinned import needed_of_all
from ..space.plank import Plank
from ..surface.curve import TAIL_AT_END, along
from .reeds.resting import brought_out
from .reeds.stretch import FRESH, MOVES, OLD, WAITS, Stretch

DOTS, WHOLE_DOTS = 310, 480
"""Across a close-up, and a drawing of all of it: from these it is read what is seen."""
CHORDS = 2  # chords of a tube in one length, as points lie further apart than in a picture
BARE_CHORDS = 8
"""The same of ends that stand above all that is woven: thin ones that lean towards the eye else fall into dots, and
nothing crosses them."""
FLAT = 0.0006  # how far off a line a point may lie and yet be left out (share of the width)
INK, DARK, PALE, HALO = "#2b2520", "#35302b", "#756d64", "#fbf9f5"
"""`HALO` round what moves: rods that move side by side are told apart, and stand out from those behind."""
SECOND, THIRD = "#8d8379", "#bdb3a6"
"""Every second and every third in turn of the tails that are left where weavers are ended, which lie on beside each
other, the third edged with black; `SECOND` too of several ends of a border that are led all but the last."""
LINES = {OLD: 0.0021, FRESH: 0.0026, WAITS: 0.0032}
"""Width of the outline by state, as a share of the drawing's width."""
HALO_WIDE = 0.0032
"""Width of the halo, as such a share; it lies outside of what moves, so that thin reed stays dark."""
LIGHT_ENOUGH = 0.62
"""What waits is no darker than so light a grey, or nobody could tell it from what moves."""
PITH = 0.3  # how much paler the face of a cut is drawn than bark
SLANTED = 0.012  # of the drawing's width: thinner reeds are cut off straight, as their slant would not be seen
FINE = 1  # decimals of a point, mm of the basket: a drawing is a hundred of them wide, and as many on paper at most
BEYOND = 0.06  # of the drawing's width: reeds are followed so far out of it

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Inks:
    """How colours are drawn: in `colour`, or in greys. Of several ends of a border that are led those led `earlier` are
    paler than the last; so are most of these `tails` of weavers (band, block, weaver), ended in this turn. With
    `coloured` weavers that move have their own colours, edged with black."""

    colour: bool
    palette: dict[str, str]
    earlier: frozenset[int] = frozenset()
    tails: tuple[tuple[int, int, int], ...] = ()
    coloured: bool = False
    _known: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)

    def of(self, stretch: Stretch) -> tuple[str, str]:
        """(fill, outline) of a stretch."""
        tube = stretch.tube
        if stretch.state == MOVES and tube.bit == TAIL_AT_END and (tube.band, tube.block, tube.weaver) in self.tails:
            nth = self.tails.index((tube.band, tube.block, tube.weaver))
            return ((DARK, HALO), (SECOND, HALO), (THIRD, INK))[nth % 3]
        if stretch.state == MOVES and tube.role == "border" and tube.end in self.earlier:
            return SECOND, HALO
        own = self.coloured and tube.role == "weaver" and stretch.state == MOVES
        known = (tube.colour, WAITS if own else stretch.state)
        if known not in self._known:
            self._known[known] = self._mixed(*known)
        return self._known[known]

    def _mixed(self, name: str, state: str) -> tuple[str, str]:
        own = self.palette.get(name) or hex_of(name)
        if not self.colour:
            own = grey(own)
        if state == MOVES:
            return DARK, HALO
        if state == WAITS:
            return paler(own, max(0.0, LIGHT_ENOUGH - luminance(own) ** (1 / 2.4))), INK
        if state == FRESH:
            return paler(own, 0.35), INK
        return paler(own, 0.78), PALE


def several_colours(stretches: list[Stretch]) -> bool:
    """True where weavers of more than one colour move."""
    own = {each.tube.colour for each in stretches if each.state == MOVES and each.tube.role == "weaver"}
    return len(own) > 1


def paler(colour: str, share: float) -> str:
    """A colour drawn so far towards white."""
    red, green, blue = (part + (1 - part) * share for part in rgb_of(colour))
    return hex_from_rgb((red, green, blue))


def grey(colour: str) -> str:
    """The grey of a colour, kept light enough for outlines to show on it."""
    light = 0.38 + 0.62 * luminance(colour) ** (1 / 2.4)
    return hex_from_rgb((light, light, light))


_COLOUR = re.compile(r"#[0-9a-f]{6}\b")


def as_light(colour: str) -> str:
    """The grey that is as light as a colour."""
    light = luminance(colour) ** (1 / 2.4)
    return hex_from_rgb((light, light, light))


def greyed(svg: str) -> str:
    """The same picture in greys, each as light as its colour was."""
    return _COLOUR.sub(lambda each: as_light(each[0]), svg)


def drawn(
    stretches: list[Stretch], camera: Camera, box: Box, inks: Inks, dots: int = DOTS,
    board: tuple[Plank, str] | None = None, resting: bool = False,
) -> str:  # fmt: skip
    """SVG of all stretches within `box` (left, top, width, height), mm on the picture; `dots` across it. With a `board`
    and its SVG that hides what lies on its far side; `resting` where nothing that it lies on hides what moves."""
    stretches = within(stretches, camera, box)
    shapes = "" if board is None else board[1]
    if not stretches:
        return shapes
    tubes = [each.tube for each in stretches]
    seen = look(camera, tubes)
    size = (max(1, round(box[3] / box[2] * dots)), dots)
    depth, seg = np.empty(size, np.float32), np.empty(size, np.int32)
    found = Dots("", camera, seen, depth, seg, box, box[2] / dots, None if board is None else board[0])
    pixels.nearest(*found.in_dots(), seen.tube, seen.shown, EVERYWHERE, depth, seg, *found.cuts())
    if resting:
        brought_out(found, stretches)
    woven = max((each.points[:, 2].max() for each in tubes if each.role in ("weaver", "border")), default=-np.inf)
    bare = [each.role in ("spoke", "bye-spoke") and each.points[:, 2].min() > woven - each.thick_mm for each in tubes]
    lengths = lengths_seen(tubes, found, chords=np.where(bare, BARE_CHORDS, CHORDS))
    beyond, out = beyond_board(found, lengths), []
    for use in [beyond] if board is None else [beyond, ~beyond]:
        runs = from_far_to_near(lengths, use)
        a, b = lengths.first[runs[:, 0]], lengths.last[runs[:, 1]]
        out += [*_strokes(stretches, seen, a, b, box[2], inks), shapes] if len(runs) else [shapes]
        shapes = ""
    left, top, wide, high = box
    clip = f'<clipPath id="c"><rect x="{left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{high:.1f}"/></clipPath>'
    return f'{clip}<g clip-path="url(#c)" stroke-linecap="butt">' + "".join(out) + "</g>"


def _strokes(
    stretches: list[Stretch], seen: Seen, first: np.ndarray, last: np.ndarray, wide: float, inks: Inks
) -> list[str]:
    """Runs of reeds through points `first` to `last`, a drawing's width being `wide`: each as its outline, and its body
    upon that."""
    keep, upto = needed_of_all(seen.x, seen.y, first, last, FLAT * wide)
    summed = np.concatenate([[0.0], np.cumsum(seen.radius)])
    of, reed = seen.tube[first], 2 * (summed[last + 1] - summed[first]) / (last + 1 - first)
    outer, inner = _widths(reed, stretches, of, wide)
    colours = [inks.of(each) for each in stretches]
    known = {each: i for i, each in enumerate(sorted({each for both in colours for each in both}))}
    body, line = np.array([[known[each] for each in both] for both in colours])[of].T
    ink = written.Ink(list(known), line, body, outer, inner)
    out = _written(np.round(seen.x[keep], FINE), np.round(seen.y[keep], FINE), upto, wide, ink)
    cut = np.array([each.cut for each in stretches])[of]
    at = np.full(len(seen.x), -1)
    at[seen.cut_at] = np.arange(len(seen.cut_at))
    at = np.where(cut & (reed > SLANTED * wide)[:, None], np.stack([at[first], at[last]], axis=1), -1)
    ended = np.flatnonzero((at >= 0).any(axis=1)).tolist()
    whole = {i: slice(int(first[i]), int(last[i]) + 1) for i in ended}
    found = [_cut(seen.x[own], seen.y[own], float(reed[i]) / 2, at[i].tolist(), seen.cuts) for i, own in whole.items()]
    for i, path, shapes in zip(ended, _cut_written(found, wide, ink.of(ended)), found, strict=True):
        fill, dark = colours[int(of[i])]
        border = outer[i] - inner[i]
        bark = "".join(outlined(shape, fill, border, dark) for shape, _ in shapes[2])
        faces = "".join(outlined(shape, paler(fill, PITH), border, dark) for _, shape in shapes[2] if shape is not None)
        out[i] = bark + path + faces
    return out


def _written(x: np.ndarray, y: np.ndarray, upto: np.ndarray, wide: float, ink: written.Ink) -> list[str]:
    """Runs through points, those of each beginning where `upto` says: outline and body. The body goes on a little, so
    that no outline shows where two runs of one reed meet."""
    reach = []
    for end, before in ((upto[:-1], upto[:-1] + 1), (upto[1:] - 1, upto[1:] - 2)):
        dx, dy = x[end] - x[before], y[end] - y[before]
        more = SEAM_SHARE * wide / np.maximum(np.hypot(dx, dy), 1e-9)
        reach.append(np.stack([x[end] + dx * more, y[end] + dy * more], axis=1))
    return written.strokes(np.stack([x, y], axis=1), upto, np.stack(reach, axis=1), ink)


def _cut_written(found: list[Any], wide: float, ink: written.Ink) -> list[str]:
    """The same of runs that are cut off, each (x, y, shapes) as `_cut` has it."""
    if not found:
        return []
    x, y = (np.concatenate([each[k] for each in found]) for k in (0, 1))
    return _written(x, y, np.cumsum([0, *(len(each[0]) for each in found)]), wide, ink)


def _cut(x: np.ndarray, y: np.ndarray, radius: float, at: list[int], cuts: np.ndarray):
    """A run's points, shortened where its two ends are cut (`at` the numbers of these `cuts`, as in `camera.Seen`, or
    -1), and the shapes of the cuts."""
    shapes: Shapes = []
    for end, cut in zip((0, -1), at, strict=True):
        if cut >= 0:
            x, y, bark, face = cut_off(x, y, end, radius, cuts[cut])
            shapes.append((bark, face))
    return np.round(x, FINE), np.round(y, FINE), shapes


def _widths(reed: np.ndarray, stretches: list[Stretch], of: np.ndarray, wide: float) -> tuple[np.ndarray, np.ndarray]:
    """(outer, inner) width of strokes `of` stretches, of reeds so thick."""
    moves = np.array([each.state == MOVES for each in stretches])[of]
    line = np.array([LINES.get(each.state, 0.0) for each in stretches])[of]
    inner = np.where(moves, 0.9 * reed, np.maximum(reed - 2 * line * wide, 0.4 * reed))
    return np.where(moves, 0.9 * reed + 2 * HALO_WIDE * wide, reed), inner


def within(stretches: list[Stretch], camera: Camera, box: Box) -> list[Stretch]:
    """Only what lies in the box or near it; a reed that leaves it is divided."""
    return kept(stretches, near(every_point(stretches), camera, box)) if stretches else []


def every_point(stretches: list[Stretch]) -> np.ndarray:
    """The points (k, 3) of all of them, one behind the other."""
    return np.concatenate([each.tube.points for each in stretches])


def near(points: np.ndarray, camera: Camera, box: Box, beyond: float = BEYOND) -> np.ndarray:
    """Which points (k, 3) lie in the box, or no further out of it than such a share of its width."""
    x, y, away = look_at_points(camera, points)
    more = beyond * box[2]
    found = (x > box[0] - more) & (x < box[0] + box[2] + more)
    found &= (y > box[1] - more) & (y < box[1] + box[3] + more) & (away > NEAREST * camera.distance)
    return found


def kept(stretches: list[Stretch], keep: np.ndarray) -> list[Stretch]:
    """Of all stretches the runs of points to `keep` (points of all of them,); one that is broken is divided."""
    lengths = np.array([len(each.tube.points) for each in stretches])
    first = np.concatenate([[0], np.cumsum(lengths)])
    begins, ends = keep.copy(), keep.copy()
    begins[1:] &= ~keep[:-1]
    ends[:-1] &= ~keep[1:]
    # Where one stretch ends and the next begins, a run ends and another begins.
    heads, tails = first[:-1], first[1:] - 1
    begins[heads], ends[tails] = keep[heads], keep[tails]
    a, b = np.flatnonzero(begins), np.flatnonzero(ends) + 1
    which = np.searchsorted(first, a, side="right") - 1
    out = []
    for low, high, number in zip((a - first[which]).tolist(), (b - first[which]).tolist(), which.tolist(), strict=True):
        each = stretches[number]
        many = len(each.tube.points)
        if high - low == many:
            out.append(each)
        elif high - low > 1:
            cut = (each.cut[0] and low == 0, each.cut[1] and high == many)
            tube = along(each.tube, each.tube.points[low:high])
            out.append(Stretch(tube, each.state, cut))
    return out
