"""A hatching for every colour: for prints without colour, and for eyes that see two colours as one.

A hatching is strokes laid over a reed's body: bars across it, lines along it, dots. The lighter a colour, the lighter
its hatching.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from ..colour import lab_from_rgb, luminance, rgb_of
from ..words import escape

BLACK = "#1d1712"


@dataclass(frozen=True)
class Hatch:
    """`words` for the key; `paper` the body's colour; `marks` strokes over it: (width as a share of the body's, dashes
    in body widths, round?, ink)."""

    words: str
    paper: str = "#ffffff"
    marks: tuple[tuple[float, tuple[float, float] | None, bool, str], ...] = ()

    def strokes(self, path: str, width: float, along: float) -> list[str]:
        """SVG strokes over a body `width` mm wide; the dashes go on from `along` mm."""
        out = []
        for share, dashes, is_round, ink in self.marks:
            dash = ""
            if dashes:
                on, off = (each * width for each in dashes)
                dash = f' stroke-dasharray="{on:.2f} {off:.2f}" stroke-dashoffset="{along % (on + off):.2f}"'
            cap = ' stroke-linecap="round"' if is_round else ""
            out.append(f'<path d="{path}" stroke="{ink}" stroke-width="{share * width:.2f}"{dash}{cap}/>')
        return out


HATCHES = (  # from light to dark
    Hatch("plain"),
    Hatch("bars far apart", marks=((1.0, (0.16, 1.9), False, BLACK),)),
    Hatch("a line along the middle", marks=((0.16, None, False, BLACK),)),
    Hatch("dots", marks=((0.42, (0.0, 1.1), True, BLACK),)),
    Hatch("a broken line", marks=((0.3, (0.9, 0.6), False, BLACK),)),
    Hatch("bars close together", marks=((1.0, (0.2, 0.5), False, BLACK),)),
    Hatch("two lines along it", marks=((0.62, None, False, BLACK), (0.3, None, False, "#ffffff"))),
    Hatch("grey", paper="#a3a3a3"),
    Hatch("grey with bars", paper="#b5b5b5", marks=((1.0, (0.3, 0.8), False, BLACK),)),
    Hatch("black with white bars", paper=BLACK, marks=((1.0, (0.3, 1.2), False, "#ffffff"),)),
    Hatch("black with a white line", paper=BLACK, marks=((0.22, None, False, "#ffffff"),)),
    Hatch("black", paper=BLACK),
)

LIGHT = 8  # so many of them leave the outlines to be seen


def hatches(palette: dict[str, str]) -> dict[str, Hatch]:
    """A hatching for every colour of a palette (name to #rrggbb), no two alike, the lightest plain.

    Raises ValueError for more colours than there are hatchings.
    """
    if len(palette) > len(HATCHES):
        raise ValueError(f"{len(palette)} colours, and there are only {len(HATCHES)} hatchings")
    by_light = sorted(palette, key=lambda name: (-luminance(palette[name]), name))
    # Spread over the table, so that few colours differ as much as they can; black hides outlines, so it comes last.
    last = max(LIGHT, len(by_light)) - 1
    places = [round(i * last / max(1, len(by_light) - 1)) for i in range(len(by_light))]
    return {name: HATCHES[place] for name, place in zip(by_light, places, strict=True)}


ALIKE = 16.0
"""Colours whose lightness (CIELAB L) lies so close are taken for one where colour is missing, or light is poor (common
practice, no source)."""
WAYS = ("", "/", "\\")
"""How a chart's square is ruled: not at all, or aslant one way or the other."""


def ruled(palette: dict[str, str]) -> dict[str, str]:
    """One of WAYS for every colour of a palette: those that differ little in lightness are ruled otherwise."""
    return dict(_ruled(tuple(palette.items())))


@functools.lru_cache(maxsize=64)
def _ruled(palette: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """The same of a palette as (name, colour): every square of a chart asks for it."""
    light = {name: lab_from_rgb(rgb_of(shade))[0] for name, shade in palette}
    out: dict[str, str] = {}
    way, before = "", float("inf")
    for name in sorted(light, key=lambda name: (-light[name], name)):
        way = WAYS[(WAYS.index(way) + 1) % len(WAYS)] if before - light[name] < ALIKE else ""
        out[name], before = way, light[name]
    return tuple(out.items())


DARK = 42.0
"""Below such a lightness (CIELAB L) black lines are not seen on a colour (judged by eye, no source)."""


def rules(way: str, box: tuple[float, float, float, float], fill: str, apart: float = 1.2) -> str:
    """Thin lines aslant in a box (left, top, wide, high) filled so, as `ruled` asks for; "" where it asks for none."""
    if not way:
        return ""
    ink = _ink_on(fill)
    x, y, wide, high = box
    lines = []
    at = apart / 2 - high
    while at < wide:
        # From the foot at `at` to the head, so far to the right as the box is high; cut off at its sides.
        low, top = max(at, 0.0), min(at + high, wide)
        if top - low > 0.05:
            ends = [(each, high - (each - at)) for each in (low, top)]
            lines.append("L".join(f"{x + (a if way == '/' else wide - a):.2f} {y + b:.2f}" for a, b in ends))
        at += apart
    path = "M" + "M".join(lines)
    return f'<path d="{path}" stroke="{ink}" stroke-width="0.16" stroke-opacity="0.55" fill="none"/>'


@functools.lru_cache(maxsize=512)
def _ink_on(fill: str) -> str:
    """Of lines on a square filled so: one chart has a thousand squares of a few colours."""
    return BLACK if lab_from_rgb(rgb_of(fill))[0] > DARK else "#ffffff"


def key(chosen: dict[str, Hatch], left: float, top: float, wide: float) -> tuple[str, float]:
    """(SVG, height mm) of the key that names every colour's hatching, below a picture `wide` mm across."""
    size = wide * 0.022
    bar, gap = size * 3.4, size * 0.8
    out, x, y = [], left + gap, top + size * 1.4
    for name, hatch in chosen.items():
        words = f"{name}: {hatch.words}"
        room = bar + gap + 0.52 * size * len(words) + 2 * gap
        if x + room > left + wide and x > left + gap:
            x, y = left + gap, y + 1.9 * size
        path, width = f"M{x:.2f} {y:.2f}h{bar:.2f}", size * 0.9
        out.append(f'<path d="{path}" stroke-width="{width + 0.16 * size:.2f}"/>')
        out.append(f'<path d="{path}" stroke="{hatch.paper}" stroke-width="{width:.2f}"/>')
        out += hatch.strokes(path, width, 0.0)
        out.append(
            f'<text x="{x + bar + gap:.2f}" y="{y + 0.33 * size:.2f}" font-size="{size:.2f}" fill="{BLACK}" '
            f'stroke="none" font-family="Libertinus Serif, DejaVu Serif, serif">{escape(words)}</text>'
        )
        x += room
    return "".join(out), y + 1.4 * size - top
