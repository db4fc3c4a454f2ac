"""The compiled loops that measure how rods in space lie: smooth lines, and how near they come. Numbers only.

`bundle_kernels` has those that find and part them, and says what the arrays are.
"""

from __future__ import annotations

import math

import numpy as np

from .bundle_kernels import FAR_ALONG
from .kernels import Array, _compiled, _inlined

GAUSS = math.sqrt(0.15)  # from the middle of an edge, in its lengths, to the first and last of three places
SAME_PLACE_MM = 1e-6
"""Of two points of a line nearer than this to each other one is left out where it is drawn."""


@_inlined
def _closest(
    ax: float, ay: float, az: float, bx: float, by: float, bz: float, rx: float, ry: float, rz: float
) -> tuple[float, float, float]:
    """(square of the distance, part along the first, part along the second) of two straight pieces a and b wherever
    they are nearest; r from the beginning of b to that of a.

    `meet` looks at one place of edges that lie along each other, for a place that jumped about would never come to
    rest; what is measured is measured everywhere. The same source, its section 5.1.9.
    """
    aa, bb, ab = ax * ax + ay * ay + az * az, bx * bx + by * by + bz * bz, ax * bx + ay * by + az * bz
    ar, br, rr = ax * rx + ay * ry + az * rz, bx * rx + by * ry + bz * rz, rx * rx + ry * ry + rz * rz
    f, g = 0.0, 0.0
    if aa > 1e-12 and bb > 1e-12:
        area = aa * bb - ab * ab
        f = min(1.0, max(0.0, (ab * br - ar * bb) / area)) if area > 1e-12 * aa * bb else 0.5
        g = min(1.0, max(0.0, (ab * f + br) / bb))
        f = min(1.0, max(0.0, (ab * g - ar) / aa))
        g = min(1.0, max(0.0, (ab * f + br) / bb))
    return max(rr + f * f * aa + g * g * bb + 2 * (f * ar - g * br - f * g * ab), 0.0), f, g


@_compiled
def closest(at: Array, one: Array, two: Array, part: Array) -> Array:
    """Least distance, mm, of every two edges wherever it is, into a new array (pairs,); sets `part` (pairs, 2)."""
    out = np.empty(len(one))
    for c in range(len(one)):
        i, j = one[c], two[c]
        square, part[c, 0], part[c, 1] = _closest(
            at[i + 1, 0] - at[i, 0], at[i + 1, 1] - at[i, 1], at[i + 1, 2] - at[i, 2],
            at[j + 1, 0] - at[j, 0], at[j + 1, 1] - at[j, 1], at[j + 1, 2] - at[j, 2],
            at[i, 0] - at[j, 0], at[i, 1] - at[j, 1], at[i, 2] - at[j, 2],
        )  # fmt: skip
        out[c] = math.sqrt(square)
    return out


@_compiled
def smooth_lines(at: Array, off: Array, many: Array, first: Array, begin: int, end: int, out: Array) -> None:
    """Points `out` (k, 3) of smooth lines through the nodes (Catmull and Rom 1974, by length) of the rods from `begin`
    on to before `end`: `many` (nodes,) chords of every edge, the points of node i from `first[i]` on; a rod's last node
    has its own place alone."""
    for r in range(begin, end):
        a, b = off[r], off[r + 1]
        for i in range(a, b):
            for k in range(3):
                out[first[i], k] = at[i, k]
        for i in range(a, b - 1):
            if many[i] < 2:
                continue
            before, here, after = _hop(at, i - 1) if i > a else 0.0, _hop(at, i), _hop(at, i + 1) if i < b - 2 else 0.0
            for k in range(3):
                step = at[i + 1, k] - at[i, k]
                slope, next_slope = step, step  # times the length of this edge
                if before > 0:
                    part = before / (before + here)
                    slope = step * part + (at[i, k] - at[i - 1, k]) * here / before * (1 - part)
                if after > 0:
                    part = here / (here + after)
                    next_slope = (at[i + 2, k] - at[i + 1, k]) * here / after * part + step * (1 - part)
                for m in range(1, many[i]):
                    t = m / many[i]
                    bent = slope * t * (1 - t) ** 2 - next_slope * t * t * (1 - t)
                    out[first[i] + m, k] = at[i, k] + step * t * t * (3 - 2 * t) + bent


@_inlined
def _hop(at: Array, i: int) -> float:
    return math.sqrt((at[i + 1, 0] - at[i, 0]) ** 2 + (at[i + 1, 1] - at[i, 1]) ** 2 + (at[i + 1, 2] - at[i, 2]) ** 2)


@_compiled
def closest_smooth(line: Array, first: Array, rod: Array, one: Array, two: Array, part: Array) -> Array:
    """As `closest`, of edges that are chords of a smooth `line` (see `smooth_lines`); of another rod, or far along the
    same, also the edges either side."""
    out = np.empty(len(one))
    last = len(rod) - 1
    for c in range(len(one)):
        i, least = one[c], np.inf
        beside = 0 if rod[i] == rod[two[c]] and abs(i - two[c]) < FAR_ALONG else 1
        for j in range(max(two[c] - beside, 0), min(two[c] + beside + 1, last)):
            if rod[j] != rod[two[c]] or rod[j + 1] != rod[j]:
                continue
            for p in range(first[i], first[i + 1]):
                for q in range(first[j], first[j + 1]):
                    square, f, g = _closest(
                        line[p + 1, 0] - line[p, 0], line[p + 1, 1] - line[p, 1], line[p + 1, 2] - line[p, 2],
                        line[q + 1, 0] - line[q, 0], line[q + 1, 1] - line[q, 1], line[q + 1, 2] - line[q, 2],
                        line[p, 0] - line[q, 0], line[p, 1] - line[q, 1], line[p, 2] - line[q, 2],
                    )  # fmt: skip
                    if square < least:
                        least = square
                        part[c, 0] = (p - first[i] + f) / (first[i + 1] - first[i])
                        part[c, 1] = (q - first[j] + g) / (first[j + 1] - first[j]) + j - two[c]
        out[c] = math.sqrt(least)
    return out


@_compiled
def closest_chords(line: Array, begin: Array, end: Array, free: Array, rod: Array, one: Array, two: Array) -> Array:
    """Least distance (pairs,) of two edges that are drawn as chords `begin` to `end` of a `line`, as far as these are
    `free`; inf where none is. Beside the second edge those either side of it are looked at, as in `closest_smooth`."""
    out = np.empty(len(one))
    last = len(rod) - 1
    for c in range(len(one)):
        i, least = one[c], np.inf
        beside = 0 if rod[i] == rod[two[c]] and abs(i - two[c]) < FAR_ALONG else 1
        for j in range(max(two[c] - beside, 0), min(two[c] + beside + 1, last)):
            if rod[j] != rod[two[c]] or rod[j + 1] != rod[j]:
                continue
            for p in range(begin[i], end[i]):
                if not free[p]:
                    continue
                for q in range(begin[j], end[j]):
                    if free[q]:
                        square = _closest(
                            line[p + 1, 0] - line[p, 0], line[p + 1, 1] - line[p, 1], line[p + 1, 2] - line[p, 2],
                            line[q + 1, 0] - line[q, 0], line[q + 1, 1] - line[q, 1], line[q + 1, 2] - line[q, 2],
                            line[p, 0] - line[q, 0], line[p, 1] - line[q, 1], line[p, 2] - line[q, 2],
                        )[0]  # fmt: skip
                        least = min(least, square)
        out[c] = math.sqrt(least)
    return out


@_compiled
def bowed(line: Array, begin: Array, end: Array) -> Array:
    """How far, mm, the chords `begin` to `end` of every edge stray from the straight between its nodes (nodes,)."""
    out = np.zeros(len(begin))
    for i in range(len(begin)):
        a, b = begin[i], end[i]
        x, y, z = line[b, 0] - line[a, 0], line[b, 1] - line[a, 1], line[b, 2] - line[a, 2]
        size = max(x * x + y * y + z * z, 1e-12)
        for p in range(a + 1, b):
            u, v, w = line[p, 0] - line[a, 0], line[p, 1] - line[a, 1], line[p, 2] - line[a, 2]
            part = (u * x + v * y + w * z) / size
            u, v, w = u - part * x, v - part * y, w - part * z
            out[i] = max(out[i], math.sqrt(u * u + v * v + w * w))
    return out


@_compiled
def given_way(points: Array, nodes: Array, moved: Array) -> Array:
    """How far, mm (k, 3), every one of a line's `points` (k, 3) moves where its `nodes` (m,), numbers of points from
    the first to the last, have `moved` (m, 3): on to the smooth line (Catmull and Rom 1974, by length) through these.
    """
    out, many = np.empty(points.shape), len(nodes)
    at, hop = np.empty((many, 3)), np.empty(many)
    for m in range(many):
        for x in range(3):
            at[m, x] = points[nodes[m], x] + moved[m, x]
        if m:
            hop[m - 1] = math.sqrt(
                (at[m, 0] - at[m - 1, 0]) ** 2 + (at[m, 1] - at[m - 1, 1]) ** 2 + (at[m, 2] - at[m - 1, 2]) ** 2
            )
    for m in range(many - 1):
        first, last = nodes[m], nodes[m + 1]
        whole = 0.0
        for p in range(first, last):
            whole += _far(points, p, p + 1)
        along = 0.0
        before, here = hop[m - 1] if m else 0.0, hop[m]
        after = hop[m + 1] if m + 2 < many else 0.0
        for p in range(first, last + 1 if m + 2 == many else last):
            t = min(along / whole, 1.0) if whole > 0 else 0.0
            for x in range(3):
                step = at[m + 1, x] - at[m, x]
                slope, next_slope = step, step  # times the length of this hop
                if m and before + here > 0 and before > 0:
                    part = before / (before + here)
                    slope = (at[m, x] - at[m - 1, x]) / before * here * (1 - part) + step * part
                if m + 2 < many and here + after > 0 and after > 0:
                    part = here / (here + after)
                    next_slope = step * (1 - part) + (at[m + 2, x] - at[m + 1, x]) / after * here * part
                bent = slope * t * (1 - t) ** 2 - next_slope * t * t * (1 - t)
                place = at[m, x] * (1 + 2 * t) * (1 - t) ** 2 + at[m + 1, x] * t * t * (3 - 2 * t) + bent
                out[p, x] = place - points[p, x]
            if p < last:
                along += _far(points, p, p + 1)
    return out


@_compiled
def arcs(at: Array, off: Array) -> Array:
    """mm from every node to the next along the smooth lines through them (Catmull and Rom 1974, by length), into a new
    array (nodes,), 0 at the end of a rod: by Gauss's rule of three places, true to a part in ten thousand where an edge
    turns by half a right angle. Nodes in one place are one, as they are drawn."""
    out, kept, hop = np.zeros(len(at)), np.empty(len(at), np.int64), np.empty(len(at))
    for r in range(len(off) - 1):
        size = 0
        for i in range(off[r], off[r + 1]):
            far = _far(at, kept[size - 1], i) if size else 0.0
            if size and not far > SAME_PLACE_MM:
                continue
            if size:
                hop[size - 1] = far
            kept[size] = i
            size += 1
        for m in range(size - 1):
            a, b = kept[m], kept[m + 1]
            square = np.zeros(3)
            for x in range(3):
                step = (at[b, x] - at[a, x]) / hop[m]
                slope, next_slope = step, step
                if m:
                    part = hop[m - 1] / (hop[m - 1] + hop[m])
                    slope = (at[a, x] - at[kept[m - 1], x]) / hop[m - 1] * (1 - part) + step * part
                if m + 2 < size:
                    part = hop[m] / (hop[m] + hop[m + 1])
                    next_slope = step * (1 - part) + (at[kept[m + 2], x] - at[b, x]) / hop[m + 1] * part
                for k in range(3):
                    t = 0.5 + (k - 1) * GAUSS
                    run = 6 * t * (1 - t) * step + (1 - t) * (1 - 3 * t) * slope + t * (3 * t - 2) * next_slope
                    square[k] += run * run
            out[a] = hop[m] * (5 * math.sqrt(square[0]) + 8 * math.sqrt(square[1]) + 5 * math.sqrt(square[2])) / 18
    return out


@_inlined
def _far(points: Array, p: int, q: int) -> float:
    x, y, z = points[q, 0] - points[p, 0], points[q, 1] - points[p, 1], points[q, 2] - points[p, 2]
    return math.sqrt(x * x + y * y + z * z)
