"""The basket as a line drawing: clean outlines, tones that print in grey, or a hatching for every colour.

Every reed is cut into short lengths. Which of them are seen, and which lies before which, is read off the dots of the
painter (`painted.dots`), so the drawing never disagrees with the picture. Lengths are then drawn from far to near, and
neighbours of one reed go together wherever nothing lies between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from ..colour import hex_from_rgb, hex_of, linear_from_rgb, rgb_from_linear, rgb_of, shade
from ..lay.values import Laid
from ..space.assembly import whole
from ..surface.curve import Curve, Tube
from . import pixels
from .boards import board_outline
from .hatching import Hatch, hatches, key
from .light import PITH, UNDYED
from .painted import Dots, dots, lit, longer, table_and_foot
from .runs import ends
from .runs.order import dots_of, evened, meetings, runs_from_behind
from .runs.written import Lines

INK = "#33261a"
CHORDS = 3  # chords of a tube in one length
FEWEST_DOTS = 3  # a length seen in fewer dots than this is left out
TONES = 0.025  # step of tone, in lightness: two that meet along a reed are hardly told apart
EVEN = 40  # how often tones are evened out along a reed: it should not look like bricks
ROW_DOTS = 450  # a picture so many times as wide has its light looked at in so many times fewer of its rows of dots
FEWEST_LIT = 4  # a length with fewer dots in those rows has all of its dots looked at
SHADOWS = 750  # light dots across: evened out so far, tones do not show how fine shadows are
STANDING = ("spoke", "stick", "bye-spoke")
SEAM_SHARE = 0.0012  # how far a body runs into the next, so that no outline shows between (share of the width)


class Detail(NamedTuple):
    """How finely to draw: `line` the pen and `flat` how far off a line a point may lie and yet be left out, both as a
    share of the picture's width; `dots` across the picture from which it is read what is seen; lighter `strips`?"""

    line: float
    flat: float
    dots: int
    strips: bool


PAGE = Detail(line=0.0011, flat=0.00012, dots=1300, strips=True)
"""For a picture as wide as a page."""
HAND = Detail(line=0.0017, flat=0.0004, dots=640, strips=False)
"""For one as wide as a hand, within a page of text."""


@dataclass(frozen=True, eq=False)
class Lengths:
    """Short lengths of reeds that are seen, by number: `first`, `last` point of each in `Seen`; `tube`; `tone` in steps
    of TONES; `depth` mm; `behind` pairs (front, back) of lengths that lie over each other."""

    first: np.ndarray
    last: np.ndarray
    tube: np.ndarray
    tone: np.ndarray
    depth: np.ndarray
    behind: np.ndarray


def drawing(
    laid: Laid,
    view: str,
    hatched: bool = False,
    detail: Detail = PAGE,
    curves: list[Curve] | None = None,
    made_so_far: list[Tube] | None = None,
) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of "outside", "inside", "above" or "under", mm. `curves` as in `assembly.whole`; of what is
    `made_so_far` where that is given, and not of the whole basket."""
    return drawn(laid, *looked_at(laid, view, detail, curves, made_so_far), hatched, detail)


def looked_at(
    laid: Laid, view: str, detail: Detail, curves: list[Curve] | None, made_so_far: list[Tube] | None = None
) -> tuple[list[Tube], Dots]:
    """What there is to draw, and what is seen of it, within which box; as `drawing`."""
    all_tubes = whole(laid, curves, view) if made_so_far is None else made_so_far
    return all_tubes, dots(laid, all_tubes, view, detail.dots)


def drawn(
    laid: Laid, all_tubes: list[Tube], found: Dots, hatched: bool = False, detail: Detail = PAGE
) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of what was `looked_at`."""
    view = found.view
    lengths = lengths_seen(all_tubes, found, laid)
    chosen = hatches(laid.design.palette) if hatched else {}
    pen = _Pen(found, all_tubes, laid.design.palette, chosen, detail)
    out = [] if hatched or view != "outside" else [_shadow(laid, all_tubes, found)]
    beyond = beyond_board(found, lengths)
    out += pen.strokes(lengths, from_far_to_near(lengths, beyond))
    if found.board is not None:
        out.append(board_outline(found, hatched, detail.line * found.box[2]))
        out += pen.strokes(lengths, from_far_to_near(lengths, ~beyond))
    left, top, wide, high = found.box
    clip = f'<clipPath id="c"><rect x="{left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{high:.1f}"/></clipPath>'
    body = f'<g clip-path="url(#c)" stroke="{INK}" stroke-linecap="butt">' + "\n".join(out) + "</g>"
    if hatched:
        words, more = key(chosen, left, top + high, wide)
        body += f'<g stroke="{INK}">{words}</g>'
        high += more
    return clip + body, (left, top, wide, high)


# What is seen, and what lies before what -------------------------------------------------------------------------


def lengths_seen(all_tubes: list[Tube], found: Dots, laid: Laid | None = None, chords: ArrayLike = CHORDS) -> Lengths:
    """What is seen of all tubes, in lengths of so many `chords`, of each tube or of all alike; toned by the light that
    falls on them where `laid` is given."""
    seen = found.seen
    points = np.arange(len(seen.tube))
    start = np.flatnonzero(_then([True], seen.tube[1:] != seen.tube[:-1]))
    local = points - start[seen.tube]
    # Numbers run on along a reed; a number is left free between reeds, so that neighbours in number are neighbours.
    length = local // np.broadcast_to(chords, len(all_tubes))[seen.tube]
    size = _then(length[start[1:] - 1], length[-1:]) + 2
    number = length + _then([0], np.cumsum(size)[:-1])[seen.tube]
    count = dots_of(found.seg, number, int(number[-1]) + 2)
    visible = count >= FEWEST_DOTS
    # What is wound round a handle goes out of sight within a few dots: it is followed round the edge.
    wound = np.zeros(len(count), bool)
    wound[number[np.array([tube.role == "handle" for tube in all_tubes])[seen.tube]]] = True
    visible |= wound & (_then([False], visible[:-1]) | _then(visible[1:], [False]))
    light = np.zeros(len(count), int) if laid is None else _tones(laid, all_tubes, found, number, count)
    behind = _pairs(found, number, visible)
    first, last = np.full(len(count), -1), np.full(len(count), -1)
    last[number] = points + 1  # the last of each, as they come in order
    first[number[::-1]] = points[::-1]
    whole = last < len(points)
    whole[whole] = seen.tube[last[whole]] == seen.tube[first[whole]]
    last = np.where(whole, last, last - 1)
    visible &= last > first
    depth = np.where(visible, (seen.depth[first] + seen.depth[np.minimum(last, len(points) - 1)]) / 2, np.nan)
    tube = np.where(visible, seen.tube[first], -1)
    return Lengths(first, last, tube, light, depth, behind)


def _then(one: ArrayLike, other: ArrayLike) -> np.ndarray:
    """One line of numbers behind the other, as `np.r_` has them, in a tenth of its time."""
    return np.concatenate([one, other])


def _tones(laid, all_tubes, found: Dots, number: np.ndarray, count: np.ndarray) -> np.ndarray:
    """Lightness of every length in whole steps: the light that falls on what is seen of it, evened out along it."""
    plain = (np.ones((len(all_tubes), 3)), np.zeros(len(all_tubes), np.int64), np.zeros((len(all_tubes), 3)))
    many, rows = len(count), slice(None, None, max(1, round(found.seg.shape[1] / ROW_DOTS)))
    few = dots_of(np.ascontiguousarray(found.seg[rows]), number, many) < FEWEST_LIT
    seg = np.where(few[number][np.maximum(found.seg, 0)] & (found.seg >= 0), found.seg, -1)
    seg[rows] = found.seg[rows]
    at = seg >= 0
    light = lit(laid, all_tubes, found._replace(seg=seg), 1, plain, SHADOWS)[:, :, 0][at]
    of, looked_at = number[seg[at]], np.maximum(dots_of(seg, number, many), 1)
    total = np.bincount(of, light, minlength=many) * count / looked_at
    mean = evened(total, EVEN) / np.maximum(evened(count.astype(float), EVEN), 1)
    factor = 0.42 + 0.64 * np.sqrt(np.clip(mean, 0.0, 1.1))
    return np.round(factor / TONES).astype(int)


def _pairs(found: Dots, number: np.ndarray, visible: np.ndarray) -> np.ndarray:
    """(pairs, 2): lengths that lie one before the other at some dot, the nearer first, both seen somewhere."""
    seen, (x, y, z, r) = found.seen, found.in_dots()
    drawn = visible[number]
    ends = _then(np.diff(number) != 0, [True])
    drawn |= _then([False], drawn[:-1] & ends[:-1])  # the point at which a length ends belongs to it too
    first, first_seg = found.depth, found.seg  # what is seen at so few dots that it is left out hides little
    second, second_seg = np.empty_like(found.depth), np.empty_like(found.seg)
    # A tenth of a dot further: not the same surface again.
    pixels.nearest(x, y, z, r, seen.tube, drawn, first + np.float32(0.1), second, second_seg, *found.cuts())
    many = len(visible) + 1
    # Dot beside dot the same pair meets: runs of it are few to put in order.
    met, on_end = meetings(first_seg, second_seg, number, many)
    pairs, which = np.unique(met, return_inverse=True)
    dots_of_pair = np.bincount(which, on_end, minlength=len(pairs)).astype(np.int64)
    # Reeds that touch along their sides change places from dot to dot: what is so at most dots counts.
    other = pairs % many * many + pairs // many
    at = np.minimum(np.searchsorted(pairs, other), len(pairs) - 1)
    against = np.where(pairs[at] == other, dots_of_pair[at], 0)
    pairs = pairs[(dots_of_pair > against) | ((dots_of_pair == against) & (pairs < other))]
    pairs = np.stack(np.divmod(pairs, many), axis=1)
    return pairs[visible[pairs].all(axis=1)]


def beyond_board(found: Dots, lengths: Lengths) -> np.ndarray:
    """True for lengths on the far side of the board (all of them where there is none): no reed goes round it, so those
    are drawn before it, and the others after."""
    if found.board is None:
        return np.ones(len(lengths.tube), bool)
    z, middle = found.seen.world[:, 2], -found.board.thickness_mm / 2
    above = (z[lengths.first] + z[np.minimum(lengths.last, len(z) - 1)]) / 2 > middle
    return above != (found.camera.eye[2] > middle)


def from_far_to_near(lengths: Lengths, use: np.ndarray) -> np.ndarray:
    """Runs of neighbouring lengths, (k, 2) first and last, in an order of painting: each comes after all that lies
    behind it. Only of those to `use` (lengths,)."""
    many = len(lengths.tube)
    pairs = lengths.behind[use[lengths.behind].all(axis=1)]
    pairs = pairs[np.argsort(pairs[:, 1], kind="stable")]
    begin = np.searchsorted(pairs[:, 1], np.arange(many + 1))
    waits = np.bincount(pairs[:, 0], minlength=many)
    return runs_from_behind(
        lengths.tube.astype(np.int64), lengths.tone.astype(np.int64), lengths.depth, use,
        np.ascontiguousarray(pairs[:, 0]), begin, waits,
    )  # fmt: skip


# Strokes -------------------------------------------------------------------------------------------------------


Shapes = list[tuple[np.ndarray, np.ndarray | None]]
"""Of every cut of a run: the outline of the bark that goes on to its slanting face, and of that, None where it looks
away."""


class _Pen:
    """Writes runs of lengths as strokes: outline, body, and a lighter strip or the colour's hatching."""

    def __init__(self, found: Dots, all_tubes: list[Tube], palette: dict[str, str], hatches, detail: Detail) -> None:
        self.found, self.seen, self.tubes, self.palette = found, found.seen, all_tubes, palette
        self.hatches: dict[str, Hatch] = hatches
        self.detail = detail
        self.wide = found.box[2]
        self.cut = {point: cut for cut, point in enumerate(found.seen.cut_at.tolist())}
        self.summed = np.r_[0.0, np.cumsum(found.seen.radius)]

    def strokes(self, lengths: Lengths, runs: np.ndarray) -> list[str]:
        """All runs (k, 2), from the first to the last length of each, as SVG."""
        if not len(runs):
            return []
        a, b = lengths.first[runs[:, 0]], lengths.last[runs[:, 1]]
        width = 2 * (self.summed[b + 1] - self.summed[a]) / (b + 1 - a)
        inner = np.maximum(width - 2 * self.detail.line * self.wide, width * 0.5)
        lines, cuts = self._cut(a.tolist(), b.tolist(), (width / 2).tolist())
        more, paths = SEAM_SHARE * self.wide, lines.paths()
        reeds = [self.tubes[number] for number in self.seen.tube[a].tolist()]
        chosen = [self.hatches.get(reed.colour) for reed in reeds]
        steps = zip(lengths.tone[runs[:, 0]].tolist(), chosen, strict=True)
        tones = [1.0 if hatch else step * TONES for step, hatch in steps]
        colours = [self._colour(*each) for each in zip(reeds, tones, chosen, strict=True)]
        each = zip(paths, lines.paths(more), colours, width.tolist(), inner.tolist(), strict=True)
        out = [
            f'<path d="{path}" stroke-width="{wide:.2f}"/>'
            f'<path d="{body}" stroke="{colour}" stroke-width="{thin:.2f}"/>'
            for path, body, colour, wide, thin in each
        ]
        if self.detail.strips and not all(chosen):
            # Both sides of a reed make it round: lit towards the upper left, dark away from it.
            lit = _strips(lines.paths(more, beside=0.2 * inner), colours, 1.1, 0.3 * inner)
            dark = _strips(lines.paths(more, beside=-0.24 * inner), colours, 0.9, 0.3 * inner)
        for i, (hatch, reed) in enumerate(zip(chosen, reeds, strict=True)):
            if hatch:
                out[i] += "".join(hatch.strokes(paths[i], float(inner[i]), float(self.seen.along[a[i]])))
            elif self.detail.strips:
                out[i] += lit[i] + (dark[i] if reed.role in STANDING else "")
        for i, shapes in cuts.items():
            line, colour = (width[i] - inner[i]) / 2, colours[i]
            bark = "".join(outlined(bark, colour, 2 * line) for bark, _ in shapes)
            pith = _pith(colour, tones[i])
            out[i] = bark + out[i] + "".join(outlined(face, pith, line) for _, face in shapes if face is not None)
        return out

    def _cut(self, first: list[int], last: list[int], radius: list[float]) -> tuple[Lines, dict[int, Shapes]]:
        """The lines of runs through points `first` to `last`, shortened where a reed is cut off, and the shapes of the
        cuts of those that are, by their number."""
        x = [self.seen.x[a : b + 1] for a, b in zip(first, last, strict=True)]
        y = [self.seen.y[a : b + 1] for a, b in zip(first, last, strict=True)]
        shapes: dict[int, Shapes] = {}
        for end, points in ((0, first), (-1, last)):
            for i, point in enumerate(points):
                if point in self.cut:
                    x[i], y[i], bark, face = cut_off(x[i], y[i], end, radius[i], self.seen.cuts[self.cut[point]])
                    shapes.setdefault(i, []).append((bark, face))
        return Lines(x, y, self.detail.flat * self.wide), shapes

    def _colour(self, reed: Tube, tone: float, hatch: Hatch | None) -> str:
        """That of a reed in so light a tone, or its paper where it is hatched."""
        return hatch.paper if hatch else shade(self.palette.get(reed.colour) or hex_of(reed.colour), tone)


def _strips(paths: list[str], colours: list[str], tone: float, width: np.ndarray) -> list[str]:
    """Strips along reeds of those colours, that much lighter or darker."""
    each = zip(paths, colours, width.tolist(), strict=True)
    return [f'<path d="{path}" stroke="{shade(ink, tone)}" stroke-width="{wide:.2f}"/>' for path, ink, wide in each]


def cut_off(
    x: np.ndarray, y: np.ndarray, end: int, radius: float, cut: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray | None]:
    """A line shortened for the cut at its `end` (0 or -1): its x and y, the outline (k, 2) of the bark that goes on to
    the slanting face, and that of the face, None where it looks away from the eye. `cut` as in `camera.Seen.cuts`."""
    step = -1 if end == 0 else 1
    x, y, bark, face = ends.cut_off(np.ascontiguousarray(x[::step]), np.ascontiguousarray(y[::step]), radius, cut)
    return x[::step], y[::step], bark, face if cut[5] < 0 else None


def _pith(colour: str, tone: float) -> str:
    """The colour of the face of a cut, of a reed drawn in that colour and lightness."""
    bark = linear_from_rgb(rgb_of(colour))
    red, green, blue = (UNDYED * a * tone * tone + (1 - UNDYED) * b for a, b in zip(PITH, bark, strict=True))
    return hex_from_rgb(rgb_from_linear((red, green, blue)))


def outlined(outline: np.ndarray, colour: str, line: float, ink: str = "") -> str:
    """An area (k, 2) filled with a colour, within a line so wide."""
    path = "M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in outline.tolist()) + "z"
    stroke = f' stroke="{ink}"' if ink else ""
    return f'<path d="{path}" fill="{colour}"{stroke} stroke-width="{line / 2:.2f}"/>'


def _shadow(laid: Laid, all_tubes: list[Tube], found: Dots) -> str:
    """A soft shadow on the table: an ellipse that fades outward."""
    camera, (table, foot) = found.camera, table_and_foot(laid, all_tubes)
    turn = np.linspace(0, 2 * np.pi, 73)
    along = 1.2 * foot * np.cos(turn) + np.sign(np.cos(turn)) * longer(laid)
    ring = np.stack([along, 1.2 * foot * np.sin(turn), np.full_like(turn, table)], axis=1)
    right, up, back = camera.axes @ (ring - camera.eye).T
    x, y = right / -back * camera.distance, -up / -back * camera.distance
    across, down = (x.max() + x.min()) / 2 + 0.05 * foot, (y.max() + y.min()) / 2
    stops = "".join(
        f'<stop offset="{at}" stop-opacity="{dark}"/>' for at, dark in ((0.74, 0.34), (0.82, 0.2), (0.9, 0.08), (1, 0))
    )
    return (
        f'<radialGradient id="s">{stops}</radialGradient><ellipse cx="{across:.1f}" cy="{down:.1f}" '
        f'rx="{np.ptp(x) / 2:.1f}" ry="{np.ptp(y) / 2:.1f}" stroke="none" fill="url(#s)"/>'
    )
