"""Lines written as SVG paths, in as few signs as SVG needs. Compiled loops: a picture has tens of thousands."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ...rods.compiled import compiled
from .thinned import needed_of_all

MINUS, POINT, SPACE, ZERO, M, L, LINE = (ord(sign) for sign in "-. 0MlL")
"""What a path is made of, as bytes."""


class Lines:
    """Many lines, each with the points it needs."""

    def __init__(self, x: list[np.ndarray], y: list[np.ndarray], flat: float) -> None:
        """Lines through these points, mm, at least two each; without such as lie less than `flat` mm off the line."""
        many = np.array([len(each) for each in x])
        first = np.r_[0, np.cumsum(many)[:-1]]
        last = first + many - 1
        self._x, self._y = np.concatenate(x), np.concatenate(y)
        self._keep, self._upto = needed_of_all(self._x, self._y, first, last, flat)
        of = np.repeat(np.arange(many.size), np.diff(self._upto))
        self._of, self._before = of, np.maximum(self._keep - 1, first[of])
        self._after = np.minimum(self._keep + 1, last[of])

    def paths(self, more: float = 0.0, beside: np.ndarray | None = None) -> list[str]:
        """The d of an SVG path for each line, by steps from point to point in hundredths of a mm.

        It is `more` mm longer at both ends, and lies so many mm `beside` the middle (one for each), towards the light
        at the upper left."""
        x, y = self._x[self._keep], self._y[self._keep]
        if beside is not None:
            dx = self._x[self._after] - self._x[self._before]
            dy = self._y[self._after] - self._y[self._before]
            size = np.maximum(np.hypot(dx, dy), 1e-9)
            across, down = (np.add.reduceat(each, self._upto[:-1]) for each in (dx, dy))
            side = np.where(across * 0.8 - down * 0.5 > 0, -beside, beside)[self._of]
            x, y = x - side * dy / size, y + side * dx / size
        signs, ends = _spelt(*(np.round(each * 100).astype(np.int64) for each in (x, y)), self._upto, 100 * more)
        text, places = signs.tobytes().decode("ascii"), [0, *ends.tolist()]
        return [text[a:b] for a, b in pairwise(places)]


@compiled()
def _spelt(across, down, upto, more):
    """The signs of all paths as bytes, and where that of each ends among them (k,)."""
    widest = 1.0
    for i in range(across.size):
        widest = max(widest, abs(across[i]), abs(down[i]))
    # A step is at most twice as wide as what it lies in, and longer by `more`: sign, digits, point and a space.
    most = 2 * (int(math.log10(2 * widest + more + 1)) + 4)
    out = np.empty((across.size + upto.size) * most, np.uint8)
    ends = np.empty(upto.size - 1, np.int64)
    at = 0
    for i in range(upto.size - 1):
        a, b = upto[i], upto[i + 1]
        fore_x, fore_y = _longer(across[a + 1] - across[a], down[a + 1] - down[a], more)
        aft_x, aft_y = _longer(across[b - 1] - across[b - 2], down[b - 1] - down[b - 2], more)
        out[at] = M
        at = _pair(out, at + 1, across[a] - fore_x, down[a] - fore_y)
        out[at] = L
        at += 1
        for j in range(a + 1, b):
            step_x, step_y = across[j] - across[j - 1], down[j] - down[j - 1]
            if j == a + 1:
                step_x, step_y = step_x + fore_x, step_y + fore_y
            if j == b - 1:
                step_x, step_y = step_x + aft_x, step_y + aft_y
            if j > a + 1 and step_x >= 0:
                out[at] = SPACE
                at += 1
            at = _pair(out, at, step_x, step_y)
        ends[i] = at
    return out[:at], ends


@compiled()
def _longer(dx, dy, more):
    """What lengthens a step by `more`, all in hundredths."""
    share = more / max(math.hypot(dx, dy), 1e-9)
    return int(np.rint(dx * share)), int(np.rint(dy * share))


@compiled()
def _pair(out, at, x, y):
    at = _number(out, at, x)
    if y >= 0:
        out[at] = SPACE
        at += 1
    return _number(out, at, y)


@compiled()
def _whole(out, at, number):
    """Writes a whole number, none below 0; where it ends."""
    tens = 1
    while tens * 10 <= number:
        tens *= 10
    while tens:
        out[at] = ZERO + number // tens % 10
        at += 1
        tens //= 10
    return at


@compiled()
def _number(out, at, hundredths):
    """Writes so many hundredths to `out` from `at` on; where it ends."""
    if hundredths < 0:
        out[at] = MINUS
        at += 1
    whole, part = divmod(abs(hundredths), 100)
    if whole or not part:
        at = _whole(out, at, whole)
    if part:
        out[at], out[at + 1] = POINT, ZERO + part // 10
        at += 2
        if part % 10:
            out[at] = ZERO + part % 10
            at += 1
    return at


# A run as its outline, and its body upon that -------------------------------------------------------------------

_OPENS, _STROKE, _WIDE, _CLOSES = (
    np.frombuffer(text, np.uint8) for text in (b'<path d="M', b'" stroke="', b'" stroke-width="', b'"/>')
)


class Ink(NamedTuple):
    """How runs are stroked: `colours` that there are, a # and six signs each; which of them each run's outline and body
    have (`line`, `body`: (runs,)), and how wide these are drawn, mm (`outer`, `inner`: (runs,))."""

    colours: list[str]
    line: np.ndarray
    body: np.ndarray
    outer: np.ndarray
    inner: np.ndarray

    def of(self, runs: list[int]) -> Ink:
        """That of these runs only."""
        return Ink(self.colours, *(each[runs] for each in self[1:]))


def strokes(points: np.ndarray, upto: np.ndarray, reach: np.ndarray, ink: Ink) -> list[str]:
    """Two paths for each run: an outline through its `points` (k, 2), mm, and upon that its body, which reaches from
    and to places of its own, `reach` (runs, 2, 2). To tenths of a mm; the points of each run begin where `upto`
    (runs + 1,) says."""
    signs = np.frombuffer("".join(ink.colours).encode("ascii"), np.uint8).reshape(-1, 7)
    tenths = (np.rint(each * 10).astype(np.int64) for each in (points, reach))
    hundredths = (np.rint(each * 100).astype(np.int64) for each in ink[3:])
    of = (np.ascontiguousarray(each) for each in (ink.line, ink.body))  # columns of a table, too: compiled for one kind
    out, ends = _stroked(*tenths, upto, signs, *of, *hundredths)
    text, places = out.tobytes().decode("ascii"), [0, *ends.tolist()]
    return [text[a:b] for a, b in pairwise(places)]


@compiled()
def _stroked(points, reach, upto, colours, line, body, outer, inner):
    """The signs of all runs as bytes, and where those of each end among them (runs,)."""
    widest = 1
    for i in range(points.shape[0]):
        widest = max(widest, abs(points[i, 0]), abs(points[i, 1]))
    for i in range(reach.shape[0]):
        for end in range(2):
            widest = max(widest, abs(reach[i, end, 0]), abs(reach[i, end, 1]))
        widest = max(widest, outer[i], inner[i])
    number = int(math.log10(widest)) + 4  # sign, digits, point and a sign that parts it from the next
    fixed = _OPENS.size + _STROKE.size + 7 + _WIDE.size + number + 1 + _CLOSES.size
    out = np.empty(2 * (upto.size * fixed + (points.shape[0] + 2 * upto.size) * 2 * number), np.uint8)
    ends = np.empty(upto.size - 1, np.int64)
    at = 0
    for i in range(upto.size - 1):
        a, b = upto[i], upto[i + 1] - 1
        at = _put(out, at, _OPENS)
        at = _place(out, at, points[a])
        out[at] = LINE
        between = at
        at += 1
        for j in range(a + 1, b):
            at = _place(out, at, points[j])
            out[at] = LINE
            at += 1
        beyond = at
        at = _place(out, at, points[b])
        at = _inked(out, at, colours[line[i]], outer[i])
        at = _put(out, at, _OPENS)
        at = _place(out, at, reach[i, 0])
        for j in range(between, beyond):
            out[at] = out[j]
            at += 1
        at = _place(out, at, reach[i, 1])
        at = _inked(out, at, colours[body[i]], inner[i])
        ends[i] = at
    return out[:at], ends


@compiled()
def _inked(out, at, colour, hundredths):
    at = _put(out, _put(out, at, _STROKE), colour)
    at = _fixed(out, _put(out, at, _WIDE), hundredths, 100)
    return _put(out, at, _CLOSES)


@compiled()
def _put(out, at, text):
    for i in range(text.size):
        out[at + i] = text[i]
    return at + text.size


@compiled()
def _place(out, at, place):
    at = _fixed(out, at, place[0], 10)
    out[at] = SPACE
    return _fixed(out, at + 1, place[1], 10)


@compiled()
def _fixed(out, at, value, share):
    """Writes so many tenths (`share` 10) or hundredths (100) with all their decimals; where it ends."""
    if value < 0:
        out[at] = MINUS
        at += 1
    whole, part = divmod(abs(value), share)
    at = _whole(out, at, whole)
    out[at] = POINT
    at += 1
    while share > 1:
        share //= 10
        out[at] = ZERO + part // share % 10
        at += 1
    return at
