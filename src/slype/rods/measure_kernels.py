"""The compiled loops that measure how well rods rest, numbers only; `rods.kernels` has those that bring them there, and
says what the arrays are."""

from __future__ import annotations

import math

import numpy as np

from .compiled import compiled
from .kernels import Array, between_nodes

_compiled = compiled(nogil=True)


@_compiled
def unbalanced(
    off: Array, at: Array, bend: Array, pull: Array, h: Array, load: Array, pin: Array, rho_node: Array,
    post_side: Array, post_push: Array, low: Array, high: Array, part: Array, rho: Array, push: Array, friction: float,
) -> Array:  # fmt: skip
    """Force left over at every node, into a new array (nodes,): `load` (see `true_bend`) less the small-slope force
    of the rods, less what contacts, floor and posts bear, less what these hold by friction: across the way in which
    they press, up to `friction` of what they press with."""
    left = load.copy()
    for r in range(len(off) - 1):
        a, b = off[r], off[r + 1]
        for i in range(a, b - 1):
            c = pull[r] / h[i]
            for k in range(2):
                step = c * (at[i + 1, k] - at[i, k])
                left[i, k] += step
                left[i + 1, k] -= step
        for i in range(a + 1, b - 1):
            c = bend[r] / (h[i] * h[i] * h[i])
            for k in range(2):
                turn = c * (at[i + 1, k] - 2 * at[i, k] + at[i - 1, k])
                left[i - 1, k] -= turn
                left[i, k] += 2 * turn
                left[i + 1, k] -= turn
    held = np.zeros((len(at), 2))  # how hard what lies against a node presses it, each way
    for i in range(len(at)):
        post_s, post_n = rho_node[i] * post_push[i, 0], 0.0
        if post_side[i] != 0:
            post_n = rho_node[i] * post_push[i, 1]
        left[i, 0] -= post_s + pin[i] * at[i, 0]
        left[i, 1] -= post_n + pin[i] * at[i, 1]
        held[i, 0], held[i, 1] = abs(post_s), abs(post_n)
    for c in range(len(low)):
        for upper in range(2):
            first, f = (high[c] if upper else low[c]), part[c]
            for step in range(2 if f > 0 else 1):
                for k in range(2):
                    force = rho[c] * (f if step else 1 - f) * push[2 * c + upper, k]
                    left[first + step, k] -= force
                    held[first + step, k] += abs(force)
    out = np.empty(len(at))
    for i in range(len(at)):
        hold_s, hold_n = held[i, 1], held[i, 0]
        over_s, over_n = max(abs(left[i, 0]) - friction * hold_s, 0.0), max(abs(left[i, 1]) - friction * hold_n, 0.0)
        out[i] = math.hypot(over_s, over_n)
    return out


@_compiled
def overlap(
    at: Array, low: Array, high: Array, part: Array, touch: Array, ordered: Array, lean: Array, out: Array
) -> None:
    """Set `out` (contacts,) to the depth, mm, by which the rods of each contact lie in each other."""
    for c in range(len(low)):
        ds = between_nodes(at, high[c], part[c], 0) - between_nodes(at, low[c], part[c], 0)
        dn = (between_nodes(at, high[c], part[c], 1) - between_nodes(at, low[c], part[c], 1)) * lean[c]
        apart = math.sqrt(ds * ds + dn * dn)
        if ordered[c] and ds < 0:
            apart = -apart
        out[c] = touch[c] - apart


@_compiled
def curvature(off: Array, at: Array, h: Array) -> Array:
    """Curvature, 1/mm, of every rod at every node (nodes,); an end has its neighbour's."""
    out = np.zeros(len(at))
    for r in range(len(off) - 1):
        a, b = off[r], off[r + 1]
        for i in range(a + 1, b - 1):
            k = h[i]
            s1, n1 = (at[i + 1, 0] - at[i - 1, 0]) / (2 * k), (at[i + 1, 1] - at[i - 1, 1]) / (2 * k)
            s2 = (at[i + 1, 0] - 2 * at[i, 0] + at[i - 1, 0]) / (k * k)
            n2 = (at[i + 1, 1] - 2 * at[i, 1] + at[i - 1, 1]) / (k * k)
            x, q = s1 * n2 - n1 * s2, 1 + s1 * s1 + n1 * n1
            out[i] = math.sqrt((s2 * s2 + n2 * n2 + x * x) / (q * q * q))
        if b - a > 2:
            out[a], out[b - 1] = out[a + 1], out[b - 2]
    return out


@_compiled
def measured(at: Array, off: Array) -> tuple[Array, Array]:
    """(mm from every node to the next (nodes,), 0 at the end of a rod; mm along its rod of every node (nodes,))."""
    long, along = np.zeros(len(at)), np.zeros(len(at))
    so_far = 0.0
    for rod in range(len(off) - 1):
        begins = so_far
        for i in range(off[rod], off[rod + 1]):
            along[i] = so_far - begins
            if i + 1 < off[rod + 1]:
                x, y, z = at[i + 1, 0] - at[i, 0], at[i + 1, 1] - at[i, 1], at[i + 1, 2] - at[i, 2]
                long[i] = math.sqrt(x * x + y * y + z * z)
                so_far += long[i]
    return long, along


@_compiled
def inner_edges(off: Array, radius: Array, long: Array, along: Array, cut: float) -> Array:
    """Edges further than `cut` thicknesses from both ends of their rod (see `measured`)."""
    out = np.empty(len(long), np.int64)
    count = 0
    for rod in range(len(off) - 1):
        last = off[rod + 1] - 1
        least = cut * (2 * radius[rod])
        for i in range(off[rod], last):
            if along[i] >= least and along[last] - along[i] - long[i] >= least:
                out[count] = i
                count += 1
    return out[:count].copy()
