"""Lines written as SVG paths, in as few signs as SVG needs. Compiled loops: a picture has tens of thousands."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from ...rods.compiled import compiled
from .thinned import needed_of_all

MINUS, POINT, SPACE, ZERO, M, L = (ord(sign) for sign in "-. 0Ml")
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
def _number(out, at, hundredths):
    """Writes so many hundredths to `out` from `at` on; where it ends."""
    if hundredths < 0:
        out[at] = MINUS
        at += 1
    whole, part = divmod(abs(hundredths), 100)
    if whole or not part:
        tens = 1
        while tens * 10 <= whole:
            tens *= 10
        while tens:
            out[at] = ZERO + whole // tens % 10
            at += 1
            tens //= 10
    if part:
        out[at], out[at + 1] = POINT, ZERO + part // 10
        at += 2
        if part % 10:
            out[at] = ZERO + part % 10
            at += 1
    return at
