"""The cut end of a run: how far its line is shortened, and the outlines of its bark and its slanting face. Compiled
loops: a drawing has hundreds of ends, of two dozen places each.
"""

from __future__ import annotations

import math

import numpy as np

from ...rods.compiled import compiled
from ...space.cuts import LEAN, SLANT

PLACES = 16
"""Round the face of a cut."""
COS, SIN = (each(np.linspace(0, 2 * np.pi, PLACES + 1)[:-1]) for each in (np.cos, np.sin))
LEAST = 0.1
"""So much of a line is left at least, as a share."""
LEAN_ALONG, LEAN_ASIDE = LEAN


@compiled()
def cut_off(x, y, radius, cut):
    """A line (k,), (k,) shortened for the cut at its last point: its x and y, the outline (j, 2) of the bark that goes
    on to the slanting face of the reed, `radius` thick from its middle, and that of the face. `cut` (9,) as in
    `camera.Seen.cuts`."""
    middle, looks, run = cut[0:3], cut[3:6], cut[6:9]
    side = _square_to(run, looks)
    for k in range(3):
        side[k] /= LEAN_ASIDE
    other = _square_to(run, side)
    short = 1.02 * SLANT * radius
    face, both, ring = np.empty((PLACES, 2)), np.empty((2 * PLACES, 2)), np.empty(3)
    for i in range(PLACES):
        for k in range(3):
            ring[k] = radius * (COS[i] * side[k] + SIN[i] * other[k])
        on = (ring[0] * looks[0] + ring[1] * looks[1] + ring[2] * looks[2]) / LEAN_ALONG
        for k in range(2):
            both[i, k] = face[i, k] = middle[k] + ring[k] - on * run[k]
            # Bark from the shortest side of the cut on, and a little of what comes before it, so that no outline shows
            # between.
            both[PLACES + i, k] = middle[k] + ring[k] - short * run[k]
    x, y = _shortened(x, y, short * math.hypot(run[0], run[1]))
    return x, y, _hull(both), face


@compiled()
def _square_to(a, b):
    """The vector product of two (3,)."""
    out = np.empty(3)
    for k in range(3):
        out[k] = a[(k + 1) % 3] * b[(k + 2) % 3] - a[(k + 2) % 3] * b[(k + 1) % 3]
    return out


@compiled()
def _shortened(x, y, by):
    """The line without so much at its end, but at least LEAST of it."""
    along = np.zeros(x.size)
    for i in range(1, x.size):
        along[i] = along[i - 1] + math.hypot(x[i] - x[i - 1], y[i] - y[i - 1])
    upto = max(along[-1] - by, LEAST * along[-1])
    keep = 1
    while keep < x.size and along[keep] < upto - 1e-9:
        keep += 1
    out_x, out_y = np.empty(keep + 1), np.empty(keep + 1)
    for i in range(keep):
        out_x[i], out_y[i] = x[i], y[i]
    here = min(keep, x.size - 1)  # a reed may have one point only
    step = along[here] - along[keep - 1]
    part = (upto - along[keep - 1]) / step if step > 0 else 0.0
    out_x[keep] = x[keep - 1] + part * (x[here] - x[keep - 1])
    out_y[keep] = y[keep - 1] + part * (y[here] - y[keep - 1])
    return out_x, out_y


@compiled()
def _hull(points):
    """The outline (j, 2) round points (k, 2) (Andrew 1979)."""
    many = points.shape[0]
    order = np.empty(many, np.int64)
    for i in range(many):
        j = i
        while j > 0 and _before(points[i], points[order[j - 1]]):
            order[j] = order[j - 1]
            j -= 1
        order[j] = i
    out = np.empty((2 * many, 2))
    end = 0
    for half in range(2):  # from left to right, and back
        begin = end
        for i in range(many):
            point = points[order[i if half == 0 else many - 1 - i]]
            while end - begin > 1 and _turns(out[end - 2], out[end - 1], point) <= 0:
                end -= 1
            out[end, 0], out[end, 1] = point[0], point[1]
            end += 1
        end -= 1  # with that the other half begins
    return out[:end]


@compiled()
def _before(a, b):
    return a[0] < b[0] or (a[0] == b[0] and a[1] < b[1])


@compiled()
def _turns(a, b, c):
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
