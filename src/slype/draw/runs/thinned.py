"""Which points a line needs. Compiled loops."""

from __future__ import annotations

import math

import numpy as np

from ...rods.compiled import compiled


@compiled()
def needed(x, y, flat):
    """Points to keep so that no other lies more than `flat` off the line (Douglas and Peucker 1973)."""
    keep = np.zeros(x.size, np.bool_)
    keep[0] = keep[-1] = True
    todo = [(0, x.size - 1)]
    while len(todo):
        a, b = todo.pop()
        dx, dy = x[b] - x[a], y[b] - y[a]
        long = max(math.sqrt(dx * dx + dy * dy), 1e-9)
        worst, middle = flat, -1
        for i in range(a + 1, b):
            off = abs(dx * (y[i] - y[a]) - dy * (x[i] - x[a])) / long
            if off > worst:
                worst, middle = off, i
        if middle >= 0:
            keep[middle] = True
            todo.append((a, middle))
            todo.append((middle, b))
    out, many = np.empty(x.size, np.int64), 0
    for i in range(x.size):
        if keep[i]:
            out[many] = i
            many += 1
    return out[:many]


@compiled()
def needed_of_all(x, y, first, last, flat):
    """`needed` of every run of points from `first` to `last` (runs,): the points to keep, and where those of each run
    begin among them (runs + 1,)."""
    many = 0
    for i in range(first.size):
        many += last[i] - first[i] + 1
    keep, upto = np.empty(many, np.int64), np.zeros(first.size + 1, np.int64)
    for i in range(first.size):
        mine = needed(x[first[i] : last[i] + 1], y[first[i] : last[i] + 1], flat)
        for k in range(mine.size):
            keep[upto[i] + k] = mine[k] + first[i]
        upto[i + 1] = upto[i] + mine.size
    return keep[: upto[-1]], upto
