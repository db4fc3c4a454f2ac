"""The compiled loops of rods in space, numbers only. `rods.bundle` and `rods.parting` explain the arrays.

Nodes of all rods lie one after the other; edge i runs from node i to the next of its rod. Contact c lies `part[c, 0]`
along edge `one[c]` and `part[c, 1]` along edge `two[c]`; its copies of these two places are rows 2c and 2c + 1 of
`copy` (2 x contacts, 3) mm.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .kernels import Array, _compiled, _inlined
from .pair import come, has_come

ALONG = 0.35
"""Sine of the angle below which two edges count as lying along each other (about 20 degrees)."""
OUT = 0.7
"""Share of the way out of a surface that may lead along either of two rods for them to be parted that way. A spoke that
has turned up runs on out of the base: what lies in it there was pushed along it, stretch after stretch, up the wall."""
FAR_ALONG = 20  # edges: as far along one rod, its next edges are not those of another turn
APART = 6.0  # radii along one rod between two of its edges, at least, for them to count as two that may touch


@_inlined
def _meet(at: Array, i: int, j: int) -> tuple[float, float, float, float]:
    """(square of the distance, part along edge i, part along edge j, sine of their angle) where two edges come closest.

    After Ericson 2005, section 5.1.9. Edges that lie along each other are equally close all along: there it is the
    middle of the first and what lies over against it.
    """
    ax, ay, az = at[i + 1, 0] - at[i, 0], at[i + 1, 1] - at[i, 1], at[i + 1, 2] - at[i, 2]
    bx, by, bz = at[j + 1, 0] - at[j, 0], at[j + 1, 1] - at[j, 1], at[j + 1, 2] - at[j, 2]
    rx, ry, rz = at[i, 0] - at[j, 0], at[i, 1] - at[j, 1], at[i, 2] - at[j, 2]
    aa, bb, ab = ax * ax + ay * ay + az * az, bx * bx + by * by + bz * bz, ax * bx + ay * by + az * bz
    ar, br = ax * rx + ay * ry + az * rz, bx * rx + by * ry + bz * rz
    if aa < 1e-12 or bb < 1e-12:
        return rx * rx + ry * ry + rz * rz, 0.0, 0.0, 0.0
    area = max(aa * bb - ab * ab, 0.0)
    sine = math.sqrt(area / (aa * bb))
    f = min(1.0, max(0.0, (ab * br - ar * bb) / area)) if sine > ALONG else 0.5
    g = min(1.0, max(0.0, (ab * f + br) / bb))
    if sine > ALONG or g == 0.0 or g == 1.0:
        f = min(1.0, max(0.0, (ab * g - ar) / aa))
        g = min(1.0, max(0.0, (ab * f + br) / bb))
    x, y, z = rx + f * ax - g * bx, ry + f * ay - g * by, rz + f * az - g * bz
    return x * x + y * y + z * z, f, g, sine


@_compiled
def meet(at: Array, one: Array, two: Array, part: Array, sine: Array) -> Array:
    """Distance, mm, of every two edges, into a new array (pairs,); sets `part` (pairs, 2) and `sine` (pairs,)."""
    out = np.empty(len(one))
    for c in range(len(one)):
        square, f, g, s = _meet(at, one[c], two[c])
        out[c] = math.sqrt(square)
        part[c, 0], part[c, 1], sine[c] = f, g, s
    return out


@_compiled
def _leads_out(way: Array, c: int, x: float, y: float, z: float) -> bool:
    """Whether the way (3,) in row `c` leads away from an edge that runs (x, y, z), and not on along it."""
    along = way[c, 0] * x + way[c, 1] * y + way[c, 2] * z
    return bool(along * along < OUT * OUT * (x * x + y * y + z * z))


@_compiled
def ways(
    at: Array, one: Array, two: Array, part: Array, far: Array, sine: Array, lost: Array, known: Array, outward: Array,
    shown: float,
) -> Array:  # fmt: skip
    """Unit vectors (pairs, 3) along which the second edge of every pair is to be parted from the first, where they come
    closest `part` along each, `far` (pairs,) mm apart.

    Edges that cross are parted along the line square to both: but at an end of either, only where they are nearer than
    `lost`. Where it is `known` that the second must lie further out (1) or further in (-1) along `outward` (pairs, 3),
    that says to which side, if of that line at least `shown` points there. Edges that lie along each other are parted
    along the line between them; almost in one place (`lost`), along the way out, if anything is known and that way does
    not lead on along one of them.
    """
    out = np.empty((len(one), 3))
    for c in range(len(one)):
        i, j, f, g = one[c], two[c], part[c, 0], part[c, 1]
        ax, ay, az = at[i + 1, 0] - at[i, 0], at[i + 1, 1] - at[i, 1], at[i + 1, 2] - at[i, 2]
        bx, by, bz = at[j + 1, 0] - at[j, 0], at[j + 1, 1] - at[j, 1], at[j + 1, 2] - at[j, 2]
        x, y, z = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        size = max(math.sqrt(x * x + y * y + z * z), 1e-12)
        x, y, z = x / size, y / size, z / size
        lx = at[j, 0] * (1 - g) + at[j + 1, 0] * g - (at[i, 0] * (1 - f) + at[i + 1, 0] * f)
        ly = at[j, 1] * (1 - g) + at[j + 1, 1] * g - (at[i, 1] * (1 - f) + at[i + 1, 1] * f)
        lz = at[j, 2] * (1 - g) + at[j + 1, 2] * g - (at[i, 2] * (1 - f) + at[i + 1, 2] * f)
        side = known[c]
        crossed = sine[c] > ALONG
        lean = (x * outward[c, 0] + y * outward[c, 1] + z * outward[c, 2]) * side
        if side != 0 and crossed and abs(lean) > shown:
            turn = -1.0 if lean < 0 else 1.0
            out[c, 0], out[c, 1], out[c, 2] = x * turn, y * turn, z * turn
        elif (
            side != 0
            and far[c] < lost[c]
            and _leads_out(outward, c, ax, ay, az)
            and _leads_out(outward, c, bx, by, bz)
        ):
            out[c, 0], out[c, 1], out[c, 2] = outward[c, 0] * side, outward[c, 1] * side, outward[c, 2] * side
        elif crossed and ((f > 0 and f < 1 and g > 0 and g < 1) or far[c] < lost[c]):
            turn = -1.0 if lx * x + ly * y + lz * z < 0 else 1.0
            out[c, 0], out[c, 1], out[c, 2] = x * turn, y * turn, z * turn
        else:
            size = max(far[c], 1e-9)
            out[c, 0], out[c, 1], out[c, 2] = lx / size, ly / size, lz / size
    return out


@_compiled
def missing(at: Array, touch: Array, one: Array, two: Array, part: Array, way: Array) -> Array:
    """What is missing, mm, between the two rods of every contact along its way until they are `touch` (contacts,)
    apart, nodes being at `at`: a new array (contacts,)."""
    out = np.empty(len(one))
    for c in range(len(one)):
        i, j, f, g, apart = one[c], two[c], part[c, 0], part[c, 1], 0.0
        for x in range(3):
            a, b = at[i, x] * (1 - f) + at[i + 1, x] * f, at[j, x] * (1 - g) + at[j + 1, x] * g
            apart += (b - a) * way[c, x]
        out[c] = touch[c] - apart
    return out


@_compiled
def spaced(along: Array, finest: float) -> Array:
    """Numbers of the points `along` a line (k,) mm that lie `finest` or more beyond the one taken before; the first is
    taken."""
    out = np.empty(len(along), np.int64)
    count = 1
    out[0] = 0
    for k in range(1, len(along)):
        if along[k] - along[out[count - 1]] >= finest - 1e-9:
            out[count] = k
            count += 1
    return out[:count].copy()


@_compiled
def follow(at: Array, rod: Array, one: Array, two: Array, far: int) -> None:
    """Let the second edge of every pair slide along its rod, up to `far` edges, to where it is nearest to the first; on
    the same rod it would slide towards the first itself."""
    nodes = len(at)
    for c in range(len(one)):
        i, j = one[c], two[c]
        if rod[i] == rod[j] and abs(i - j) < FAR_ALONG:
            continue
        least = _meet(at, i, j)[0]
        for way in (-1, 1):
            k = j
            for _ in range(far):
                k += way
                if k < 0 or k + 1 >= nodes or rod[k] != rod[j] or rod[k + 1] != rod[j]:
                    break
                square = _meet(at, i, k)[0]
                if square >= least:
                    break
                least, two[c] = square, k


@_compiled
def further(at: Array, now: Array, far: float) -> Array:
    """True for nodes (nodes,) that have moved by more than `far` mm."""
    out = np.empty(len(at), np.bool_)
    for i in range(len(at)):
        x, y, z = now[i, 0] - at[i, 0], now[i, 1] - at[i, 1], now[i, 2] - at[i, 2]
        out[i] = x * x + y * y + z * z > far * far
    return out


@_compiled
def within(at: Array, radius: Array, one: Array, two: Array, margin: float) -> Array:
    """True for pairs of edges (pairs,) that come within `margin` mm of touching."""
    out = np.empty(len(one), np.bool_)
    for c in range(len(one)):
        reach = radius[one[c]] + radius[two[c]] + margin
        out[c] = _meet(at, one[c], two[c])[0] < reach * reach
    return out


@_compiled
def near(
    at: Array, rod: Array, radius: Array, edges: Array, cell: Array, sought: Array, cells: Array, begins: Array,
    wide: Array, margin: float, apart: Array, most: int,
) -> Array:  # fmt: skip
    """Every two edges that are nearer to each other than they are thick and `margin` mm, (pairs, 2).

    `edges`, each in its `cell` (edges,), look for those `sought`, sorted by theirs; `cells` the cells there are,
    `begins` (cells + 1,) where each begins among the sought, `wide` (3,) how many cells each way. Of a stretch
    in which a rod passes an edge only its nearest edge counts. Edges of one rod, `apart` (nodes,) mm
    along it, count from APART. At most `most` pairs.
    """
    out = np.empty((most, 2), np.int64)
    found = 0
    some = np.empty(4096, np.int64)
    # Of every edge sought its middle and how far it reaches from there: most are only looked at for that. What lies in
    # the 27 cells round home is put side by side for all that look from there.
    ball = np.empty((4, len(sought)))
    for o in range(len(sought)):
        i = sought[o]
        square = 0.0
        for k in range(3):
            ball[k, o] = (at[i, k] + at[i + 1, k]) / 2
            square += (at[i + 1, k] - at[i, k]) ** 2
        ball[3, o] = math.sqrt(square) / 2 + radius[i]
    home, size = -1, 0
    mine, over = np.empty(len(sought), np.int64), np.empty(len(sought))
    bx, by, bz, far = np.empty(len(sought)), np.empty(len(sought)), np.empty(len(sought)), np.empty(len(sought))
    for e in range(len(edges)):
        i, count = edges[e], 0
        square = 0.0
        for k in range(3):
            square += (at[i + 1, k] - at[i, k]) ** 2
        x, y, z = (at[i, 0] + at[i + 1, 0]) / 2, (at[i, 1] + at[i + 1, 1]) / 2, (at[i, 2] + at[i + 1, 2]) / 2
        long = math.sqrt(square) / 2 + radius[i] + margin
        if cell[e] != home:
            home, size = cell[e], 0
            for row in range(9):
                first = home + ((row // 3 - 1) * wide[1] + row % 3 - 1) * wide[0] - 1
                q = np.searchsorted(cells, first)
                o = begins[q]
                while q < len(cells) and cells[q] <= first + 2:
                    q += 1
                while o < begins[q]:
                    mine[size], bx[size], by[size], bz[size], far[size] = (
                        sought[o], ball[0, o], ball[1, o], ball[2, o], ball[3, o]
                    )
                    o += 1
                    size += 1
        for q in range(size):
            dx, dy, dz = x - bx[q], y - by[q], z - bz[q]
            reach = long + far[q]
            over[q] = dx * dx + dy * dy + dz * dz - reach * reach
        for o in range(size):
            if over[o] > 0:
                continue
            j = mine[o]
            # Of two rods the thinner one looks: what is wound round another touches it all along.
            if radius[j] < radius[i] or (radius[j] == radius[i] and (rod[j] < rod[i] or j == i)):
                continue
            if rod[j] == rod[i] and (j < i or apart[j] - apart[i + 1] < APART * radius[i]):
                continue
            if count < len(some):
                q = count  # in order of their numbers, which they nearly come in
                while q > 0 and some[q - 1] > j:
                    some[q] = some[q - 1]
                    q -= 1
                some[q] = j
                count += 1
        least, best, before = np.inf, -1, -9
        for q in range(count + 1):
            j = some[q] if q < count else -1
            if best >= 0 and (q == count or j > before + 3 or rod[j] != rod[before]):
                if least < (radius[i] + radius[best] + margin) ** 2 and found < most:
                    out[found, 0], out[found, 1] = i, best
                    found += 1
                least, best = np.inf, -1
            if q < count:
                square = _meet(at, i, j)[0]
                if square < least:
                    least, best = square, j
                before = j
    return out[:found]


@_compiled
def begin(
    one: Array, two: Array, part: Array, rho: Array, way: Array, press: Array, moved: Array, copy: Array,
    weight: Array, beside: Array, want: Array,
) -> None:  # fmt: skip
    """Set the copies of what has moved at every contact, what contacts add to the rods' stiffness (see
    `kernels.factor`), and what they draw by now: `want` (2, nodes, 3)."""
    weight[:] = 0.0
    beside[:] = 0.0
    want[:] = 0.0
    for c in range(len(one)):
        for end in range(2):
            i, f, k = (two[c] if end else one[c]), part[c, end], 2 * c + end
            push = -press[c] if end else press[c]
            weight[i] += rho[c] * (1 - f) ** 2
            weight[i + 1] += rho[c] * f * f
            beside[i + 1] += rho[c] * f * (1 - f)
            for x in range(3):
                copy[k, x] = moved[i, x] * (1 - f) + moved[i + 1, x] * f
                drawn = rho[c] * (copy[k, x] - push * way[c, x])
                want[0, i, x] += (1 - f) * drawn
                want[0, i + 1, x] += f * drawn


@_compiled
def rod_step(
    off: Array, first: int, last: int, moved: Array, want: Array, d0: Array, d1: Array, d2: Array, new: Array
) -> None:
    """Let every rod give way towards where its contacts want it: `moved` (nodes, 3) is replaced, `want` is emptied."""
    for r in range(first, last):
        a, b = off[r], off[r + 1]
        x1, x2, y1, y2, z1, z2 = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
        for i in range(a, b):
            x, y, z = want[0, i, 0] + want[1, i, 0], want[0, i, 1] + want[1, i, 1], want[0, i, 2] + want[1, i, 2]
            for k in range(3):
                want[0, i, k] = want[1, i, k] = 0.0
            x2, x1 = x1, (x - d2[i] * x2) - d1[i] * x1
            y2, y1 = y1, (y - d2[i] * y2) - d1[i] * y1
            z2, z1 = z1, (z - d2[i] * z2) - d1[i] * z1
            new[i, 0], new[i, 1], new[i, 2] = x1, y1, z1
        x1, x2, y1, y2, z1, z2 = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
        e1, e2 = 0.0, 0.0
        for i in range(b - 1, a - 1, -1):
            x2, x1 = x1, (new[i, 0] * d0[i] - e2 * x2) - e1 * x1
            y2, y1 = y1, (new[i, 1] * d0[i] - e2 * y2) - e1 * y1
            z2, z1 = z1, (new[i, 2] * d0[i] - e2 * z2) - e1 * z1
            e1 = d1[i]
            e2 = d2[i + 1] if i + 1 < b else 0.0
            moved[i, 0], moved[i, 1], moved[i, 2] = x1, y1, z1


@_compiled
def contact_step(
    first: int, last: int, one: Array, two: Array, part: Array, short: Array, way: Array, rho: Array, moved: Array,
    copy: Array, press: Array, relax: float, want: Array,
) -> None:  # fmt: skip
    """Push the two copies of every contact apart along its `way` (contacts, 3) until they have moved apart by what is
    missing between them, `short` (contacts,) mm, and add to `want` (nodes, 3) what they draw by. Copies are of what has
    moved, not of places; `press` (contacts,) is how far each is pushed."""
    for c in range(first, last):
        i, j, k, m = one[c], two[c], 2 * c, 2 * c + 1
        f, g, held = part[c, 0], part[c, 1], press[c]
        gap = 0.0
        for x in range(3):
            a = moved[i, x] + f * (moved[i + 1, x] - moved[i, x])
            b = moved[j, x] + g * (moved[j + 1, x] - moved[j, x])
            copy[k, x] = relax * a + (1 - relax) * copy[k, x] + held * way[c, x]
            copy[m, x] = relax * b + (1 - relax) * copy[m, x] - held * way[c, x]
            gap += (copy[m, x] - copy[k, x]) * way[c, x]
        lack = max(0.0, (short[c] - gap) / 2)
        press[c] = lack
        for x in range(3):
            step = lack * way[c, x]
            copy[k, x] -= step
            copy[m, x] += step
            one_draws, two_draws = rho[c] * (copy[k, x] - step), rho[c] * (copy[m, x] + step)
            want[i, x] += (1 - f) * one_draws
            want[i + 1, x] += f * one_draws
            want[j, x] += (1 - g) * two_draws
            want[j + 1, x] += g * two_draws


@_compiled
def sweeps(count: int, off: Array, half: int, rods: tuple[Any, ...], pairs: tuple[Any, ...], want: Array) -> None:
    """`count` rounds of `rod_step` and `contact_step` on one core, with what they ask for from `moved` and `one` on.
    Pairs before number `half` add to the first part of `want`."""
    for _ in range(count):
        rod_step(off, 0, len(off) - 1, *rods)
        contact_step(0, half, *pairs, want[0])
        contact_step(half, len(pairs[0]), *pairs, want[1])


@_compiled
def sweeps_in_turn(
    own: int, begun: int, counts: Array, count: int, off: Array, rod_cut: Array, half: int, rods: tuple[Any, ...],
    pairs: tuple[Any, ...], want: Array,
) -> int:  # fmt: skip
    """As `sweeps`, what core `own` (0 or 1) of two has of it, from step `begun` on, two to a sweep: its half of the
    rods (`rod_cut` (3,)), then its half of the pairs. Nothing is written by both. See `pair.in_turn`."""
    for step in range(begun, 2 * count + 1):
        if not has_come(counts, 1 - own, step):
            return step
        if step == 2 * count:
            break
        if step % 2 == 0:
            rod_step(off, rod_cut[own], rod_cut[own + 1], *rods)
        elif own == 0:
            contact_step(0, half, *pairs, want[0])
        else:
            contact_step(half, len(pairs[0]), *pairs, want[1])
        come(counts, own, step + 1)
    return 2 * count + 1
