"""The compiled loops that find which rods may touch, numbers only; `rods.kernels` has those that bend them and part
them, and says what the arrays are.
"""

from __future__ import annotations

import math

import numpy as np

from .kernels import Array, _compiled, between_nodes


@_compiled
def level_with(
    order: Array, station: Array, at: Array, r: Array, held: Array, near: float, through: float, reach: int
) -> tuple[Array, Array]:
    """(lower, upper) nodes (pairs,) of one station near enough to touch: less than `near` touching distances above each
    other and `through` such through the wall; `order` (nodes,) is by station and then by height. Of every node only
    the `reach` next above are looked at; of two that are `held` none is asked."""
    low, high = np.empty(reach * len(order), np.int64), np.empty(reach * len(order), np.int64)
    found = 0
    for k in range(len(order)):
        i = order[k]
        for m in range(k + 1, min(k + 1 + reach, len(order))):
            j = order[m]
            if station[j] != station[i]:
                break
            touch = r[i] + r[j]
            if at[j, 0] - at[i, 0] < near * touch and abs(at[j, 1] - at[i, 1]) < through * touch:
                if not (held[i] and held[j]):
                    low[found], high[found] = i, j
                    found += 1
    return low[:found].copy(), high[:found].copy()


@_compiled
def live(
    at: Array, low: Array, high: Array, part: Array, touch: Array, ordered: Array, lean: Array, push: Array,
    copy: Array, idle: Array, least: float, soon: float,
) -> Array:  # fmt: skip
    """Numbers of the contacts (k,) that press, or are nearer to pressing than `soon` touching distances.

    `idle` (contacts,) says which were not among them before, and is renewed: copies of those that join them start where
    the rods are.
    """
    out = np.empty(len(low), np.int64)
    found = 0
    for c in range(len(low)):
        i, j, f = low[c], high[c], part[c]
        s0, n0 = between_nodes(at, i, f, 0), between_nodes(at, i, f, 1)
        s1, n1 = between_nodes(at, j, f, 0), between_nodes(at, j, f, 1)
        ds, dn = s1 - s0, (n1 - n0) * lean[c]
        reach = (1 + soon) * touch[c]
        presses = push[2 * c, 0] != 0.0 or push[2 * c, 1] != 0.0
        if not (presses or ds * ds + dn * dn < reach * reach or (ordered[c] and ds < (least + soon) * touch[c])):
            idle[c] = True
            continue
        if idle[c]:
            copy[2 * c, 0], copy[2 * c, 1], copy[2 * c + 1, 0], copy[2 * c + 1, 1] = s0, n0, s1, n1
            idle[c] = False
        out[found] = c
        found += 1
    return out[:found]


@_compiled
def those(
    which: Array, low: Array, high: Array, part: Array, lean: Array, touch: Array, ordered: Array, rho: Array,
    copy: Array, push: Array,
) -> tuple[Array, ...]:  # fmt: skip
    """What there is to each of the contacts of these numbers (k,), side by side."""
    many = len(which)
    lows, highs, parts, leans = np.empty(many, low.dtype), np.empty(many, high.dtype), np.empty(many), np.empty(many)
    touches, orders, rhos = np.empty(many), np.empty(many, ordered.dtype), np.empty(many)
    copies, pushes = np.empty((2 * many, 2)), np.empty((2 * many, 2))
    for k in range(many):
        c = which[k]
        lows[k], highs[k], parts[k], leans[k] = low[c], high[c], part[c], lean[c]
        touches[k], orders[k], rhos[k] = touch[c], ordered[c], rho[c]
        for end in range(2):
            for x in range(2):
                copies[2 * k + end, x], pushes[2 * k + end, x] = copy[2 * c + end, x], push[2 * c + end, x]
    return lows, highs, parts, leans, touches, orders, rhos, copies, pushes


@_compiled
def put_back(which: Array, copy: Array, push: Array, whole_copy: Array, whole_push: Array) -> None:
    """The copies and pushes of the contacts of these numbers (k,), back among those of all."""
    for k in range(len(which)):
        c = which[k]
        for end in range(2):
            for x in range(2):
                whole_copy[2 * c + end, x], whole_push[2 * c + end, x] = copy[2 * k + end, x], push[2 * k + end, x]


@_compiled
def upper_of(
    order: Array, one: Array, other: Array, place: Array, r: Array, pile: Array, rank: Array, level: float,
    surely: float,
) -> Array:  # fmt: skip
    """True for pairs of nodes (pairs,) of which `other`, of the greater number, lies above `one`, by their `place`
    (nodes, 2): alike all along a stretch where two rods pass closely. `order` (pairs,) puts pairs of the same two rods
    one behind the other. What counts is where the stretch is plainest; `contacts._turned` says how, and why."""
    out = np.empty(len(order), np.bool_)
    first = 0
    while first < len(order):
        last = first
        most, plainest, above, known_above = 0.0, -np.inf, False, False
        step, before, was_close = 0, 0, False
        while last < len(order):
            i, j = one[order[last]], other[order[last]]
            touch = r[i] + r[j]
            lift, apart = place[j, 0] - place[i, 0], abs(place[j, 1] - place[i, 1])
            close = apart < touch
            if last > first and (j - i != step or i - before > 1 or not close or not was_close):
                break
            step, before, was_close = j - i, i, close
            most = max(most, abs(lift) / touch)
            plain, known = abs(lift) - apart, pile[i] >= 0 and pile[i] == pile[j]
            if known:
                plain += surely
            if plain >= plainest:  # the last of those that are as plain
                plainest, known_above = plain, known
                above = rank[j] > rank[i] if known else lift >= 0
            last += 1
        if most < level and not known_above:
            above = True
        for k in range(first, last):
            out[order[k]] = above
        first = last
    return out


@_compiled
def missing_from(keys: Array, order: Array, known: Array) -> Array:
    """True for those of `keys` (k,), which `order` (k,) sorts, that are none of `known`, which are sorted."""
    out, at = np.empty(len(keys), np.bool_), 0
    for k in order:
        while at < len(known) and known[at] < keys[k]:
            at += 1
        out[k] = at == len(known) or known[at] != keys[k]
    return out


# In space: a grid of cells ---------------------------------------------------------------------------------------


@_compiled
def cells_of(at: Array, edges: Array, low: Array, size: float, wide: Array) -> Array:
    """Number of the cell of a grid (edges,), its cells `size` mm wide and `wide` (3,) of them each way, in which the
    middle of each edge lies; `low` (3,) mm the least of all middles."""
    out = np.empty(len(edges), np.int64)
    for e in range(len(edges)):
        i, key = edges[e], 0
        for k in range(2, -1, -1):
            key = key * wide[k] + int(((at[i, k] + at[i + 1, k]) / 2 - low[k]) / size) + 1
        out[e] = key
    return out


@_compiled
def by_cell(cells: Array, edges: Array, many: int) -> tuple[Array, Array]:
    """(`cells` (k,) in order, the `edges` (k,) in them, those of one cell in the order they came in), of a grid of so
    `many`: each is counted into its place."""
    begins = np.zeros(many + 1, np.int64)
    for cell in cells:
        begins[cell + 1] += 1
    for cell in range(many):
        begins[cell + 1] += begins[cell]
    home, sorted_edges = np.empty(len(cells), np.int64), np.empty(len(cells), np.int64)
    for k in range(len(cells)):
        place = begins[cells[k]]
        begins[cells[k]] += 1
        home[place], sorted_edges[place] = cells[k], edges[k]
    return home, sorted_edges


@_compiled
def beside(cells: Array, others: Array, wide: Array) -> Array:
    """True for those of `cells` (k,) that are one of the `others` or beside one in the grid (see `cells_of`)."""
    taken = np.zeros(wide[0] * wide[1] * wide[2], np.bool_)
    before = -1
    for cell in others:
        if cell == before:  # edges of one reed follow each other through a cell
            continue
        before = cell
        for row in range(9):
            middle = cell + ((row // 3 - 1) * wide[1] + row % 3 - 1) * wide[0]
            taken[middle - 1] = taken[middle] = taken[middle + 1] = True
    out = np.empty(len(cells), np.bool_)
    for k in range(len(cells)):
        out[k] = taken[cells[k]]
    return out


@_compiled
def middles(at: Array, edges: Array) -> tuple[Array, Array, Array]:
    """(half the length of every edge (edges,), the least and the greatest of their middles (3,)), mm."""
    half, low, high = np.empty(len(edges)), np.full(3, np.inf), np.full(3, -np.inf)
    for e in range(len(edges)):
        i, square = edges[e], 0.0
        for k in range(3):
            square += (at[i + 1, k] - at[i, k]) ** 2
            middle = (at[i, k] + at[i + 1, k]) / 2
            low[k], high[k] = min(low[k], middle), max(high[k], middle)
        half[e] = math.sqrt(square) / 2
    return half, low, high
