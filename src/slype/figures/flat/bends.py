"""Where a rod is nipped and how it bends, from the side: turned up at the edge of a base, or down in the border.

Thicknesses, the lean of the wall and the height of the bend are this basket's; lengths are mm on paper at WIDE across,
drawn for the right hand round x = 0 and mirrored for the left.
"""

from __future__ import annotations

import math

import numpy as np

from ...borders.rows import BEND_THICKNESSES
from ...borders.sentences import bend_above
from ...lay.boards import template
from ...lay.values import Laid
from . import marks

WIDE, HIGH = 58.0, 32.0
ROD = 2.7  # how thick a spoke is drawn
GROUND = 17.0  # where the middle of a rod lies that still lies flat
EDGE, NIP = 11.0, 14.9  # of a panel: where the base ends, where the rod is nipped
PANEL = 27.0  # how wide each of the two is
NIPS = ((-22.8, GROUND + 6.4, "underside"), (-22.8, GROUND - 6.4, "far side"), (-9.4, 9.0, "jaws"),
        (-6.0, GROUND - 3.6, "{}"), (-26.6, 2.4, "1"))  # fmt: skip
BENDS = ((8.2, GROUND + 6.4, "underside"), (8.2, GROUND - 6.4, "inside"), (25.2, GROUND + 4.2, "outside"),
         (4.4, 2.4, "2"))  # fmt: skip
"""(x, y, word) written on a rod that is nipped, and on one that is bent up; `{}` for what that rod is called."""
LINE = 0.3
PALE, DARK, JAW = "#ece8e1", "#35302b", "#c9ccd1"
JAW_WIDE, JAW_LONG = 3.0, 6.6
NIPPED = 0.5
"""How thick a rod is left where it is nipped, as a share (a drawing's convention)."""


def turned_svg(laid: Laid, spoke: str, unit: float = 1.0) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of a rod nipped close to the base and then bent up; `spoke` its name, `unit` what one mm on
    paper is in the drawing."""
    body, way = "", _way(laid)
    for left, bent, words in ((-WIDE / 2, False, NIPS), (2.0, True, BENDS)):
        out = _base(laid, left, way)
        nip = left + NIP
        if bent:
            out.append(_rod(_flat(left, 26.0), way, ghost=True))
            up = _upright(nip, GROUND, _lean(laid))
            out.append(_rod(np.vstack([_flat(left, nip - 1.5 - left), up]), way))
            out.append(_arrow_up(nip, GROUND, way))
        else:
            out.append(_rod(_flat(left, 26.0), way, nipped=nip))
            out += [_jaw(nip, GROUND - ROD / 2, up=True, way=way), _jaw(nip, GROUND + ROD / 2, up=False, way=way)]
        out += _written([(x, y, said.format(spoke)) for x, y, said in words], way, unit, (left, left + PANEL))
        # Mirrored each by itself, so that for both hands the first stands first.
        aside = 0.0 if way > 0 else 2 * left + PANEL
        body += f'<g transform="translate({aside:.2f} 0)">{"".join(out)}</g>'
    return body, (-WIDE / 2, 0.0, WIDE, HIGH)


def crimped_svg(laid: Laid, words: tuple[str, str], unit: float = 1.0) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of an end nipped above the last row and how it will lie; `words` "one jaw" and "the other",
    as they stand left and right of it for the right hand."""
    out, way, top = [], _way(laid), 24.0
    apart = 14.0
    nip = top - (bend_above(laid.design.border) + 0.5) * ROD
    over = laid.design.border.rows[0].legs[0][0]
    down = _turned_down(-apart, nip, apart)
    if not over:
        out.append(_rod(down, way, ghost=True))
    for k in (0.0, apart):
        out.append(_rod(np.array([[k, HIGH], [k, 0.0]]), way, pale=True))
    out.append(_rod(np.array([[-apart, HIGH], [-apart, 0.0]]), way, nipped_at=nip))
    if over:
        out.append(_rod(down, way, ghost=True))
    for row in range(3):
        out.append(_row(top + ROD * 0.45 + row * 2.4))
    out += [_jaw_beside(-apart - ROD / 2, nip, True, way), _jaw_beside(-apart + ROD / 2, nip, False, way)]
    out += [marks.number(way * (k - 1) * apart, 3.4, str(k + 1), unit) for k in range(3)]
    face = "top" if laid.design.of_lid else "outside"
    found = [(-24.0, nip - 4.2, words[0]), (-4.6, nip - 4.2, words[1]), (22.5, 3.2, face)]
    return "".join([*out, *_written(found, way, unit)]), (-WIDE / 2, 0.0, WIDE, HIGH)


def board_svg(laid: Laid, wide_mm: float) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of a board from above, its holes numbered the way of the work, as many as have room."""
    found = template(laid.design)
    (left, top), (right, bottom) = found.edge.min(axis=0), found.edge.max(axis=0)
    more = 0.04 * (right - left)
    unit = (right - left + 2 * more) / wide_mm
    outline = "M" + "L".join(f"{x:.1f} {-y:.1f}" for x, y in found.edge) + "Z"
    out = [f'<path d="{outline}" fill="{PALE}" stroke="{marks.INK}" stroke-width="{0.3 * unit:.2f}"/>']
    hole = max(found.holes.drill_mm / 2, 0.5 * unit)
    out += [f'<circle cx="{x:.1f}" cy="{-y:.1f}" r="{hole:.2f}" fill="#ffffff" stroke="{marks.INK}" '
            f'stroke-width="{0.25 * unit:.2f}"/>' for x, y in found.places]  # fmt: skip
    every = max(1, math.ceil(4.6 * unit / found.holes.pitch_mm))
    every = every if every < 3 else 5
    straight = laid.design.form.base_straight_mm / 2
    for i, (x, y) in enumerate(found.places):
        if i == 0 or ((i + 1) % every == 0 and len(found.places) - i > every / 2):
            spine = min(max(x, -straight), straight)  # square to the edge: each number stands at its own hole
            share = 1.0 - 4.2 * unit / max(math.hypot(x - spine, y), 1e-6)
            out.append(marks.number(spine + (x - spine) * share, -y * share, str(i + 1), unit))
    out.append(marks.word((left + right) / 2, -(top + bottom) / 2, "from above", unit))
    return "".join(out), (left - more, -bottom - more, right - left + 2 * more, bottom - top + 2 * more)


def _way(laid: Laid) -> float:
    return -1.0 if laid.design.hand == "left" else 1.0


def _lean(laid: Laid) -> float:
    """Radians by which the wall leans out from upright where it begins."""
    s = np.array([0.0, 20.0])
    form = laid.design.form
    out, up = float(np.diff(form.radius(s))[0]), float(np.diff(form.height(s))[0])
    return math.atan2(out, max(up, 1e-6))


def _base(laid: Laid, left: float, way: float) -> list[str]:
    """Rows of the base cut across: a reed above and one below the rod."""
    last = laid.base[-1].band.reed.diameter_mm if laid.base else laid.design.spokes.reed.diameter_mm
    reed = min(max(ROD * last / laid.design.spokes.reed.diameter_mm, 1.2), ROD)
    out, x = [], left + EDGE - reed / 2
    while x > left + reed / 2:
        for y in (GROUND - (ROD + reed) / 2, GROUND + (ROD + reed) / 2):
            out.append(f'<circle cx="{way * x:.2f}" cy="{y:.2f}" r="{reed / 2:.2f}" fill="{PALE}" stroke="{marks.INK}" '
                       f'stroke-width="{LINE}"/>')  # fmt: skip
        x -= reed * 1.1
    return out


def _flat(left: float, long: float) -> np.ndarray:
    return np.array([[left, GROUND], [left + long, GROUND]])


def _upright(nip: float, y: float, lean: float) -> np.ndarray:
    """A quarter bend at the nip and up from there, leaning out."""
    radius = BEND_THICKNESSES * ROD * 0.7
    turn = np.linspace(0.0, math.pi / 2 - lean, 14)
    bend = np.stack([nip - 1.5 + radius * np.sin(turn), y - radius * (1 - np.cos(turn))], axis=1)
    long = (bend[-1, 1] - 1.0) / max(math.cos(lean), 0.3)
    return np.vstack([bend, bend[-1] + long * np.array([math.sin(lean), -math.cos(lean)])])


def _turned_down(x: float, nip: float, apart: float) -> np.ndarray:
    """An end as it will lie once it is bent towards the next ones."""
    bend = [[x, nip + 0.8], [x + 0.8, nip - 0.6], [x + 2.4, nip]]
    return np.array([*bend, [x + apart, nip + 1.6], [x + 2.1 * apart, nip + 4.6]])


def _rod(points: np.ndarray, way: float, nipped: float | None = None, nipped_at: float | None = None,
         ghost: bool = False, pale: bool = False) -> str:  # fmt: skip
    path = "M" + "L".join(f"{way * x:.2f} {y:.2f}" for x, y in points)
    if ghost:
        return (f'<path d="{path}" stroke="#8a8178" stroke-width="{ROD}" stroke-opacity="0.25"/>'
                f'<path d="{path}" stroke="#8a8178" stroke-width="{LINE}" stroke-dasharray="1.2 1"/>')  # fmt: skip
    body, ink = (PALE, marks.INK) if pale else (DARK, "#000000")
    out = (f'<path d="{path}" stroke="{ink}" stroke-width="{ROD}"/>'
           f'<path d="{path}" stroke="{body}" stroke-width="{ROD - 2 * LINE:.2f}"/>')  # fmt: skip
    thin = ROD * (1 - NIPPED) / 2
    if nipped is not None:
        for y in (GROUND - ROD / 2 + thin / 2, GROUND + ROD / 2 - thin / 2):
            out += _notch(way * nipped, y, JAW_WIDE, thin)
    if nipped_at is not None:
        for x in (points[0, 0] - ROD / 2 + thin / 2, points[0, 0] + ROD / 2 - thin / 2):
            out += _notch(way * x, nipped_at, thin, JAW_WIDE)
    return out


def _notch(x: float, y: float, wide: float, high: float) -> str:
    return f'<ellipse cx="{x:.2f}" cy="{y:.2f}" rx="{wide / 2:.2f}" ry="{high / 2 + 0.05:.2f}" fill="#ffffff"/>'


def _row(y: float) -> str:
    """A row of weaving seen from the front."""
    path = f'<path d="M{-WIDE / 2} {y:.2f}H{WIDE / 2}" stroke='
    return f'{path}"{marks.INK}" stroke-width="2.3"/>{path}"{PALE}" stroke-width="{2.3 - 2 * LINE:.2f}"/>'


def _jaw(x: float, y: float, up: bool, way: float) -> str:
    """A jaw of the pliers that presses a lying rod from above or from below."""
    top = y - JAW_LONG if up else y
    inward = 1.0 if up else -1.0
    far = y - inward * (JAW_LONG + 3.4)
    return _jaw_box(way * x - JAW_WIDE / 2, top, JAW_WIDE, JAW_LONG) + marks.arrow(
        np.full(2, way * x), np.array([far, far + inward * 3.2]), 0.8
    )


def _jaw_beside(x: float, y: float, left: bool, way: float) -> str:
    """A jaw that presses a standing rod from one side."""
    start = x - JAW_LONG if left else x
    box = (start, y - JAW_WIDE / 2) if way > 0 else (-start - JAW_LONG, y - JAW_WIDE / 2)
    return _jaw_box(*box, JAW_LONG, JAW_WIDE)


def _jaw_box(x: float, y: float, wide: float, high: float) -> str:
    return (f'<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{high:.2f}" rx="1.2" fill="{JAW}" '
            f'stroke="{marks.INK}" stroke-width="{LINE}"/>')  # fmt: skip


def _arrow_up(nip: float, y: float, way: float) -> str:
    turn = np.linspace(0.15, 1.25, 24)
    return marks.arrow(way * (nip + 9.0 * np.cos(turn)), y - 9.0 * np.sin(turn), 1.0)


def _written(words: list[tuple[float, float, str]], way: float, unit: float,
             room: tuple[float, float] = (-WIDE / 2, WIDE / 2)) -> list[str]:  # fmt: skip
    """Words at their places, moved into the `room` they have across where they are large."""
    out = []
    for x, y, said in words:
        wide, high = marks.word_size(said, 0.8 * unit)
        side, top = wide / 2 + 0.3, high / 2 + 0.3
        at = way * min(max(x, room[0] + side), room[1] - side), min(max(y, top), HIGH - top)
        out.append(marks.word(*at, said, 0.8 * unit))
    return out
