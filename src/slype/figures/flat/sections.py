"""The wall cut across, looked at from above, or a lid seen edge on: where each kind of tail is cut; and a handle's
foot beside its spoke.

Numbers, sides, thicknesses and the depth are this basket's; lengths mm on paper at WIDE across, drawn for the right
hand round x = 0 and mirrored for the left.
"""

from __future__ import annotations

import numpy as np

from ...lay.attachments import HandleLaid
from ...lay.values import Laid
from ...space.footholds import Foothold, stands
from ...teach.step.values import Tail
from . import marks

Box = tuple[float, float, float, float]

WIDE = 58.0
PANEL, FOOT_HIGH = 21.0, 40.0
"""How high each kind of tail stands, and the drawing of a foot."""
APART = 14.5  # from spoke to spoke
SPOKE, REED = 3.4, 1.5  # how thick they are drawn
LINE = 0.3
PALE, DARK, TAN, GONE = "#ece8e1", "#35302b", "#9a9287", "#8a8178"


def tails_svg(
    tails: tuple[Tail, ...], hand: str, unit: float = 1.0, faces: tuple[str, str] = ("inside", "outside")
) -> tuple[str, Box]:
    """(body of an SVG, box): each kind of tail in a strip of its own, the face on which it lies above and that which is
    worked on below, called `faces`; spokes by number, what is cut off dashed. `unit` what one mm on paper is in the
    drawing."""
    way = -1.0 if hand == "left" else 1.0
    out = []
    for k, tail in enumerate(tails):
        top = k * PANEL
        out += [f'<g transform="translate(0 {top:.1f})">', *_strip(tail, way, unit, faces), "</g>"]
        if k:
            out.append(f'<path d="M{-WIDE / 2} {top:.1f}H{WIDE / 2}" stroke="{GONE}" stroke-width="0.2"/>')
    return "".join(out), (-WIDE / 2, 0.0, WIDE, PANEL * len(tails))


def _strip(tail: Tail, way: float, unit: float, faces: tuple[str, str]) -> list[str]:
    """One kind of tail behind the spoke that it must stay behind, which stands in the middle."""
    middle, out = 11.5, []
    held = tail.held - 1
    lines = {"ended": [1.0], "set in": [-1.0], "joined": [1.0, -1.0]}[tail.kind]
    for which, on in enumerate(lines):  # on +1: it has come from the left and ends here; -1: it begins here
        level = 0.0 if which == 0 else -1.15 * REED
        come, rest, gone = _run(middle, level, on)
        ink = TAN if tail.kind == "joined" and which == 0 else DARK  # as everywhere the new one is dark
        out.append(_line(gone, way, GONE, dashed=True))
        out.append(_line(come, way, ink))
        out.append(_line(rest, way, ink))
        x = way * on * APART / 2
        out.append(f'<path d="M{x:.2f} {middle + level - 4.6:.2f}V{middle + level - 0.4:.2f}" stroke="{marks.INK}" '
                   'stroke-width="0.35"/>')  # fmt: skip
        out.append(marks.word(x, middle - 6.2, "cut", 0.72 * unit))
    for k in (-1, 0, 1):
        out.append(f'<circle cx="{way * k * APART:.2f}" cy="{middle:.2f}" r="{SPOKE / 2}" fill="{PALE}" '
                   f'stroke="{marks.INK}" stroke-width="{LINE}"/>')  # fmt: skip
        out.append(marks.number(way * k * APART, middle + 5.6, str((held + k) % tail.spaces + 1), 0.86 * unit))
    words = [(-WIDE / 2, 2.6, tail.name, "start"), (WIDE / 2, 2.6, faces[0], "end"),
             (WIDE / 2, PANEL - 2.6, faces[1], "end")]  # fmt: skip
    return out + [marks.word(x + (0.8 if side == "start" else -0.8), y, said, 0.8 * unit, side)
                  for x, y, said, side in words]  # fmt: skip


def _run(middle: float, aside: float, on: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(how a weaver comes from in front of the spoke before and in behind this one, what rests of its tail, what is cut
    off), lines of points; `on` +1 for one that ends here. Behind this one it lies `aside` of one that is there."""
    off, level = (SPOKE + REED) / 2, middle + aside
    x = np.linspace(-2.0, 0.0, 41)
    wave = middle + off * np.cos(np.pi * (x + 1.0))  # in front of the one before, behind this one
    wave += aside * (1 + np.cos(np.pi * np.maximum(x, -1.0))) / 2
    come = np.stack([on * x * APART, wave], axis=1)[12:]
    rest = np.array([[0.0, level - off], [on * APART * 0.25, level - off], [on * APART / 2, level - off + 0.4]])
    gone = np.array([rest[-1], [on * APART * 0.8, level - off - 0.6], [on * APART * 1.3, level - off - 2.2]])
    return come, rest, gone


def _line(points: np.ndarray, way: float, ink: str, dashed: bool = False) -> str:
    path = "M" + "L".join(f"{way * x:.2f} {y:.2f}" for x, y in points)
    if dashed:
        return f'<path d="{path}" stroke="{ink}" stroke-width="0.5" stroke-dasharray="1.1 0.9"/>'
    return f'<path d="{path}" stroke="{ink}" stroke-width="{REED}" stroke-linecap="butt"/>'


# A foot ----------------------------------------------------------------------------------------------------------

BORDER, TIP = 11.0, 33.0
"""Where the top of the border is drawn, and the tips of a foot."""
SHOWN = 3.4
"""So many spaces are shown across."""


def foot_svg(
    laid: Laid, handle: HandleLaid, foot: Foothold, said: tuple[str, str], unit: float = 1.0
) -> tuple[str, Box]:
    """(body of an SVG, box) of a foot in the wall, from outside: its reeds beside their spoke, as thick and as far from
    it as they are, and how deep; `said` what the border is called, and the depth in words."""
    way, scale = (-1.0 if laid.design.hand == "left" else 1.0), WIDE / (SHOWN * laid.border_spacing_mm)
    name, depth = said
    wide = max(scale * sum(laid.side[-1].stand_mm), 1.2)
    out = [_rod(way * k * scale * laid.border_spacing_mm, BORDER, FOOT_HIGH, wide, PALE) for k in (-1, 0, 1)]
    deepest = max(each.deep_mm for each in stands(laid, foot, handle))
    for each in sorted(stands(laid, foot, handle), key=lambda each: each.through):
        tip = BORDER + (TIP - BORDER) * each.deep_mm / deepest
        out.append(_pointed(way * scale * each.beside, tip, max(scale * each.thick_mm, 1.0)))
    rows = [f'<path d="M{-WIDE / 2} {BORDER + 5.0 + k * 2.6:.1f}H{WIDE / 2}" stroke="{GONE}" stroke-width="0.25" '
            'stroke-dasharray="3 1.4"/>' for k in range(10)]  # fmt: skip
    top = f'<rect x="{-WIDE / 2}" y="{BORDER}" width="{WIDE}" height="3.6" fill="{PALE}" fill-opacity="0.85" ' \
          f'stroke="{marks.INK}" stroke-width="{LINE}"/>'  # fmt: skip
    spoke = int(foot.spoke) % laid.design.top_ends
    numbers = [marks.number(way * k * scale * laid.border_spacing_mm, FOOT_HIGH - 2.6,
                            str((spoke + k) % laid.design.top_ends + 1), unit) for k in (-1, 0, 1)]  # fmt: skip
    x = way * -foot.side * 0.5 * scale * laid.border_spacing_mm
    # Each from the middle: the white edge of one would cover the other's head.
    spans = [np.linspace((BORDER + TIP) / 2, end, 12) for end in (BORDER, TIP)]
    depths = [*(marks.arrow(np.full(12, x), span, 0.8 * unit) for span in spans),
              marks.word(x, (BORDER + TIP) / 2 + 2.0, depth, 0.86 * unit)]  # fmt: skip
    words = [marks.word(way * -(WIDE / 2 - 7.0), BORDER + 1.8, name, 0.8 * unit),
             marks.word(way * (WIDE / 2 - 7.0), 2.6, "outside", 0.8 * unit)]  # fmt: skip
    return "".join([*rows, *out, top, *depths, *numbers, *words]), (-WIDE / 2, 0.0, WIDE, FOOT_HIGH)


def _rod(x: float, top: float, foot: float, wide: float, fill: str) -> str:
    return (f'<rect x="{x - wide / 2:.2f}" y="{top:.2f}" width="{wide:.2f}" height="{foot - top:.2f}" fill="{fill}" '
            f'stroke="{marks.INK}" stroke-width="{LINE}"/>')  # fmt: skip


def _pointed(x: float, tip: float, wide: float) -> str:
    """A reed from above the border down to the point of its long slant."""
    left, right, slant = x - wide / 2, x + wide / 2, tip - 2.5 * wide
    return (f'<path d="M{left:.2f} 0V{tip:.2f}L{right:.2f} {slant:.2f}V0Z" '
            f'fill="{DARK}" stroke="#ffffff" stroke-width="{LINE}"/>')  # fmt: skip
