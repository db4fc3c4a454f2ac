"""The day of a class as a strip, SVG: what everyone does from start to end, what soaks meanwhile, when hands rest.

Drawn in tones that print in grey; every stretch has its words in it where they fit, and its number in the list below.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from html import escape

from ...kit.timetable import Hour, Timetable

WIDE, SIDE, LANE, GAP = 1000.0, 20.0, 54.0, 6.0
INK, LINE = "#262626", "#8a8175"
TONES = {
    "welcome": "#d9d2c3", "task": "#e7dfcb", "break": "#ffffff", "clear": "#d9d2c3", "soak": "#cfdde3",
    "in hand": "#f6f3ec",
}  # fmt: skip
LETTER = 6.6
"""About how wide a letter of the drawing is."""


def day(when: Timetable, starts: float, ends: float, named: Callable[[Hour], str]) -> str:
    """SVG of the day from `starts` to `ends`, minutes after midnight; `named` words a stretch."""
    last = max([ends, *(hour.end for hour in when.hours)])
    first = min([starts, *(hour.start for hour in when.hours)])
    scale = (WIDE - 2 * SIDE) / max(1.0, last - first)

    def x(minutes: float) -> float:
        return SIDE + (minutes - first) * scale

    top = 30.0
    soaks = _in_lanes(when.soaks)
    high = top + LANE + GAP + len(soaks) * (26 + GAP) + 26
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {high:.0f}" width="{WIDE:g}" '
        f'height="{high:.0f}" font-family="Libertinus Serif, serif" font-size="13" fill="{INK}">'
    ]
    for hour in range(math.ceil(first / 60), int(last // 60) + 1):
        at = x(hour * 60)
        out.append(
            f'<path d="M{at:.1f} 20V{high - 18:.1f}" stroke="{LINE}" stroke-width="0.6" stroke-dasharray="2 3"/>'
        )
        out.append(f'<text x="{at:.1f}" y="14" text-anchor="middle">{hour}:00</text>')
    for each in when.stretches:
        out += _stretch(x(each.start), x(each.end), top, LANE, TONES[each.key], named(each))
    for i, lane in enumerate(soaks):
        for each in lane:
            y = top + LANE + GAP + i * (26 + GAP)
            out += _stretch(x(each.start), x(each.end), y, 26, TONES["soak"], named(each))
    for rest in when.rests:
        at = x(rest)
        out.append(f'<path d="M{at - 5:.1f} {high - 6:.1f}h10l-5 -9z" fill="{INK}"/>')
    if x(ends) < WIDE - SIDE - 1:
        out.append(f'<path d="M{x(ends):.1f} {top - 4:.1f}V{high - 18:.1f}" stroke="{INK}" stroke-width="2"/>')
    return "".join([*out, "</svg>"])


def _in_lanes(hours: tuple[Hour, ...]) -> list[list[Hour]]:
    """Stretches shared out so that none lies over another in its lane."""
    lanes: list[list[Hour]] = []
    for hour in hours:
        free = next((lane for lane in lanes if lane[-1].end <= hour.start + 1e-9), None)
        if free is None:
            lanes.append([hour])
        else:
            free.append(hour)
    return lanes


def _stretch(left: float, right: float, y: float, high: float, tone: str, words: str) -> list[str]:
    wide = right - left
    out = [
        f'<rect x="{left:.1f}" y="{y:.1f}" width="{max(0.5, wide):.1f}" height="{high:g}" fill="{tone}" '
        f'stroke="{INK}" stroke-width="0.8"><title>{escape(words)}</title></rect>'
    ]
    lines = _fitted(words, int((wide - 6) / LETTER), int(high // 15))
    for i, line in enumerate(lines):
        at = y + high / 2 + 4.5 + (i - (len(lines) - 1) / 2) * 15
        out.append(f'<text x="{(left + right) / 2:.1f}" y="{at:.1f}" text-anchor="middle">{escape(line)}</text>')
    return out


def _fitted(words: str, letters: int, lines: int) -> list[str]:
    """The words in so many lines of so many letters; none where a word does not fit."""
    out = [""]
    for word in words.split():
        if len(word) > letters:
            return []
        if len(out[-1]) + len(word) + 1 <= letters:
            out[-1] = f"{out[-1]} {word}".strip()
        else:
            out.append(word)
    return out if len(out) <= lines else []
