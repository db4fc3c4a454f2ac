"""Borders drawn as strips: a few spokes of the edge laid flat, seen from outside, one end picked out.

What lies in front is decided by the trace: the inner face first, then what stands, then the outer face, and on each
face in the order of work.
"""

from __future__ import annotations

import math

import numpy as np

from ..borders.rows import OPEN_RISE, Border
from ..borders.table import Kind
from ..borders.work import work
from ..colour import shade
from ..form.wall import smooth_through
from ..surface.runs import knots_of_end
from ..surface.woven import tip_side
from ..words import escape

SHOWN = 8  # spokes of a strip
LAYERS = 4  # depths between the spokes' own plane and each face: an end on its way through is hidden bit by bit
STEPS = 4  # samples per half space
BELOW_MM = 9.0  # of the wall, under the edge
COLUMN_GAP_MM, TEXT_MM = 16.0, 5.2
INK, REED, PICKED, EARTH, WALL = "#3a2a1a", "#dcc39a", "#b5523a", "#f7f2e8", "#e8dcc6"
LINE_MM, OVERLAP_MM = 0.3, 0.25
FONT = "Libertinus Serif, DejaVu Serif, serif"


def strips(
    kinds: list[tuple[Kind, str]], spacing_mm: float, spoke_mm: float, hand: str = "right", wording: str = "us"
) -> str:
    """Every border with a line of text under its name, as one stand-alone SVG in two columns, mm as its unit."""
    columns = 2 if len(kinds) > 3 else 1
    wide = SHOWN * spacing_mm
    tops, column, boxes = [0.0] * columns, 0, []
    each = math.ceil(len(kinds) / columns)
    for i, (kind, text) in enumerate(kinds):
        column = i // each
        drawn, high = strip(kind, spacing_mm, spoke_mm, hand)
        left, top = column * (wide + COLUMN_GAP_MM), tops[column]
        clip = f"strip{i}"
        words = (
            f'<text x="0" y="{TEXT_MM:.1f}" font-size="{TEXT_MM}" font-weight="bold">'
            f"{escape(kind.named(wording))}</text>"
            f'<text x="0" y="{TEXT_MM * 2.1:.1f}" font-size="{TEXT_MM * 0.8:.2f}">{escape(text)}</text>'
        )
        at = TEXT_MM * 2.7
        boxes.append(
            f'<g transform="translate({left:.1f} {top:.1f})"><g fill="{INK}" font-family="{FONT}">{words}</g>'
            f'<clipPath id="{clip}"><rect x="0" y="0" width="{wide:.1f}" height="{high:.1f}"/></clipPath>'
            f'<g transform="translate(0 {at:.1f})" clip-path="url(#{clip})" fill="none" stroke-linejoin="round">'
            f'<rect x="0" y="0" width="{wide:.1f}" height="{high:.1f}" fill="{EARTH}"/>{drawn}</g></g>'
        )
        tops[column] += at + high + 7
    margin, whole = 8.0, columns * (wide + COLUMN_GAP_MM) - COLUMN_GAP_MM
    title = "Borders" if len(kinds) > 1 else kinds[0][0].named(wording)
    said = "; ".join(f"{kind.named(wording)}: {kind.border.words()}" for kind, _ in kinds)
    w, h = whole + 2 * margin, max(tops) + 2 * margin - 7
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-margin:.1f} {-margin:.1f} {w:.1f} {h:.1f}" '
        f'width="{w:.1f}mm" height="{h:.1f}mm" role="img" aria-labelledby="t d">'
        f'<title id="t">{escape(title)}</title><desc id="d">{escape(said)}.</desc>\n' + "\n".join(boxes) + "\n</svg>\n"
    )


def strip(kind: Kind, spacing_mm: float, spoke_mm: float, hand: str = "right") -> tuple[str, float]:
    """(SVG of one strip with its top left corner at 0 0, its height mm)."""
    border = kind.border
    runs = _arches(border, spacing_mm) if border.is_open else _runs(border, spoke_mm)
    crown = max(float(s.max()) for _, _, _, s in runs) + spoke_mm
    high = crown + BELOW_MM + 2
    wide = SHOWN * spacing_mm

    def at(u: np.ndarray, s: np.ndarray) -> np.ndarray:
        x = u * spacing_mm if hand == "right" else wide - u * spacing_mm
        y = crown + 1 - s
        if kind.foot:  # the lower edge of the basket: what is worked upside down stands so
            y = high - y
        return np.stack([x, y], axis=1)

    edge = _path(at(np.array([0.0, SHOWN]), np.array([-BELOW_MM / 2, -BELOW_MM / 2])))
    out = [f'<path d="{edge}" stroke="{WALL}" stroke-width="{BELOW_MM - 1:.1f}"/>']
    picked = border.reach // 2 if border.reach < SHOWN else 0
    for depth in range(-LAYERS, LAYERS + 1):
        if depth == 0:
            out += [_reed(at(np.full(2, i + 0.5), np.array([-BELOW_MM - 3, 0.6])), spoke_mm, i == picked // 2)
                    for i in range(SHOWN)]  # fmt: skip
        for end, face, u, s in runs:
            if face == depth:
                out.append(_reed(at(u, s), spoke_mm, end == picked // 2))
    return "".join(out), high


def _path(points: np.ndarray) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist())


def _reed(points: np.ndarray, thick: float, picked: bool) -> str:
    """A stretch with its outlines; its fill runs a little into its neighbours so that no seam shows."""
    colour = PICKED if picked else REED
    inner = max(thick - 2 * LINE_MM, thick / 2)
    step = np.diff(points, axis=0)[[0, -1]]
    step *= OVERLAP_MM / np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    path, longer = _path(points), _path(np.concatenate([[points[0] - step[0]], points, [points[-1] + step[1]]]))
    return "".join(
        f'<path d="{d}" stroke="{ink}" stroke-width="{width:.2f}"/>'
        for d, ink, width in (
            (path, INK, thick),
            (longer, colour, inner),
            (longer, shade(colour, 1.10), inner * 0.4),
        )
    )


def _runs(border: Border, spoke_mm: float) -> list[tuple[int, int, np.ndarray, np.ndarray]]:
    """(end, depth, u, s) of every stretch of every end, in the order of work: depth from -LAYERS inside
    to LAYERS outside."""
    u, s, n = knots_of_end(border, spoke_mm)
    halves = np.linspace(u[0], u[-1], round(2 * (u[-1] - u[0])) * STEPS + 1)
    height, side = smooth_through(u, s, halves), smooth_through(u, n, halves)
    tip = halves > u[-1] - 0.5  # comes out on the side where it rests, or goes down on its own
    part = (halves[tip] - (u[-1] - 0.5)) * 2
    face = side[~tip][-1]
    side[tip] = face
    if border.rows[-1].finish == "down":
        height[tip] -= 1.6 * spoke_mm * part**2
    else:
        side[tip] = face + (tip_side(border) - face) * part
    depth = np.round(np.clip(side, -1, 1) * LAYERS).astype(int)
    if border.rows[0].legs[0][0]:  # bends down over all that passes its foot
        depth[(halves > 0.6) & (halves < 1.5)] = LAYERS
    breaks = np.flatnonzero(np.diff(depth)) + 1
    breaks = breaks[breaks < len(halves) - 1]  # a last point by itself draws nothing
    stretches = [(int(a), int(b)) for a, b in zip([0, *breaks], [*breaks, len(halves)], strict=True)]
    reach = border.reach + 2
    ends = SHOWN + 2 * reach + border.smallest_ends
    when: dict[tuple[int, int], int] = {}
    for i, p in enumerate(work(border, ends).passes):
        when.setdefault((p.end, p.spoke - p.end if p.spoke >= p.end else p.spoke - p.end + ends), i)
    out = []
    for end in range(ends):
        for a, b in stretches:
            # A stretch is dated by the first spoke it passes; the bend over its own spoke by the spoke after that.
            first = max(1, math.ceil(halves[a] - 0.5))
            date = when.get((end, min(first, border.reach)), 0)
            here = slice(a, b + 1)
            shifted = halves[here] + end - reach
            if shifted[-1] > 0 and shifted[0] < SHOWN:
                out.append((date, end - reach, int(depth[a]), shifted, height[here]))
    return [run[1:] for run in sorted(out, key=lambda run: run[0])]


def _arches(border: Border, spacing_mm: float) -> list[tuple[int, int, np.ndarray, np.ndarray]]:
    """The same of an open border: half of each arch lies behind those after it, half before."""
    over, reach = border.rows[0].legs[0][0], border.reach + 0.85
    turn = np.linspace(0, np.pi, 8 * STEPS + 1)
    along = (1 - np.cos(turn)) / 2
    way = 1 if over else -1
    high = (border.reach + 0.5) * spacing_mm * OPEN_RISE
    s = high * 2 * np.sqrt(np.clip(along * (1 - along), 0, None))
    out = []
    for end in range(-border.reach - 2, SHOWN + 1):
        u = end + 0.5 + along * reach
        half = len(u) // 2
        out.append((end, -way * LAYERS, u[: half + 2], s[: half + 2]))
        down = np.r_[u[half:], u[-1]], np.r_[s[half:], -BELOW_MM / 2]
        out.append((end, way * LAYERS, *down))
    return out
