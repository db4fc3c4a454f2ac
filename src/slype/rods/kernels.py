"""The compiled loops of the rod solver, numbers only. Knows neither baskets nor how its arrays came about.

Everything here works on plain arrays; `rods.wall` explains them and is what other rooms call. Compiled once by numba
and kept on disk, without the interpreter's lock, so that two cores can share one wall.

Nodes of all rods lie one after the other; rod r holds nodes `off[r]` to `off[r + 1] - 1`. Contact c lies `part[c]` of
the way from node `low[c]` to the next on its lower rod, and from `high[c]` to the next on its upper; its copies of
these two places are rows 2c and 2c + 1 of `copy` and `push` (2 x contacts, 2): (s, n) mm.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .compiled import compiled
from .pair import come, has_come

STAY = 0.02
"""Share of the square of a touching distance that half a station's slide must win (see `closest`)."""

Array = np.ndarray
_compiled = compiled(nogil=True, fastmath={"contract"})
_inlined = compiled(nogil=True, fastmath={"contract"}, inline="always")


@_compiled
def factor(
    off: Array, first: int, last: int, bend: Array, pull: Array, h: Array, weight: Array, beside: Array, d0: Array,
    d1: Array, d2: Array,
) -> None:  # fmt: skip
    """LDL^T of each rod's pentadiagonal stiffness: d0 one over the diagonal, d1 and d2 the lower bands (nodes,).

    `weight` (nodes,) is added to the diagonal, `beside` (nodes,) between a node and the one before it.
    """
    for r in range(first, last):
        a, b = off[r], off[r + 1]
        for i in range(a, b):
            d0[i] = weight[i]
            d1[i] = beside[i] if i > a else 0.0
            d2[i] = 0.0
        for i in range(a, b - 1):
            c = pull[r] / h[i]
            d0[i] += c
            d0[i + 1] += c
            d1[i + 1] -= c
        for i in range(a + 1, b - 1):
            c = bend[r] / (h[i] * h[i] * h[i])
            d0[i - 1] += c
            d0[i] += 4 * c
            d0[i + 1] += c
            d1[i] -= 2 * c
            d1[i + 1] -= 2 * c
            d2[i + 1] += c
        for i in range(a, b):
            one, two = 0.0, 0.0
            if i > a + 1:
                two = d2[i] / d0[i - 2]
            if i > a:
                one = d1[i]
                if i > a + 1:
                    one -= two * d0[i - 2] * d1[i - 1]
                one /= d0[i - 1]
                d0[i] -= one * one * d0[i - 1]
            if i > a + 1:
                d0[i] -= two * two * d0[i - 2]
            d1[i] = one
            d2[i] = two
        for i in range(a, b):
            d0[i] = 1 / d0[i]


@_compiled
def rod_step(
    off: Array, first: int, last: int, truly: bool, bend: Array, pull: Array, h: Array, base_load: Array, hold: Array,
    at: Array, load: Array, rho_node: Array, floor: Array, post_side: Array, post_clear: Array, post_at: Array,
    post_copy: Array, post_push: Array, factor_s: Array, factor_n: Array, relax: float, new: Array, want: Array,
) -> None:  # fmt: skip
    """Bend every rod freely towards where its contacts want it; then hold it against the floor and the posts.

    `at` (nodes, 2) is replaced; `new` (nodes, 2) is room to work in. Each rod is passed over twice, once each way: a
    solve is a chain of steps that wait for each other, so s and n run side by side and all else is done on the way.
    `want` (2, nodes, 2) is what draws each node, in two parts that two cores may add to; left there is what draws it
    next but for its contacts. With `truly`, `load` is renewed first (see `hold_bend`).
    """
    ds0, ds1, ds2 = factor_s
    dn0, dn1, dn2 = factor_n
    for r in range(first, last):
        a, b = off[r], off[r + 1]
        s1, s2, n1, n2 = 0.0, 0.0, 0.0, 0.0  # solved at the node before, and the one before that
        for i in range(a, b):
            s, n = want[0, i, 0] + want[1, i, 0], want[0, i, 1] + want[1, i, 1]
            s2, s1 = s1, (s - ds2[i] * s2) - ds1[i] * s1
            n2, n1 = n1, (n - dn2[i] * n2) - dn1[i] * n1
            new[i, 0], new[i, 1] = s1, n1
        s1, s2, n1, n2 = 0.0, 0.0, 0.0, 0.0
        es1, es2, en1, en2 = 0.0, 0.0, 0.0, 0.0  # bands of the next node, and the far band of the one after
        for i in range(b - 1, a - 1, -1):
            s2, s1 = s1, (new[i, 0] * ds0[i] - es2 * s2) - es1 * s1
            n2, n1 = n1, (new[i, 1] * dn0[i] - en2 * n2) - en1 * n1
            es1, en1 = ds1[i], dn1[i]
            es2, en2 = (ds2[i + 1], dn2[i + 1]) if i + 1 < b else (0.0, 0.0)
            at[i, 0], at[i, 1] = s1, n1
            v = relax * s1 + (1 - relax) * post_copy[i, 0] + post_push[i, 0]
            z = max(v, floor[i])
            post_copy[i, 0] = z
            post_push[i, 0] = v - z
            if post_side[i] != 0:
                v = relax * n1 + (1 - relax) * post_copy[i, 1] + post_push[i, 1]
                z = post_at[i] + post_side[i] * max(post_side[i] * (v - post_at[i]), post_clear[i])
                post_copy[i, 1] = z
                post_push[i, 1] = v - z
    if truly:
        hold_bend(off, first, last, at, bend, pull, h, base_load, hold, load)
    want_posts(off[first], off[last], load, rho_node, post_side, post_copy, post_push, want)


@_compiled
def want_posts(
    first: int, last: int, load: Array, rho_node: Array, post_side: Array, post_copy: Array, post_push: Array,
    want: Array,
) -> None:  # fmt: skip
    """Set `want` (2, nodes, 2) to what draws nodes `first` to `last` but for their contacts."""
    for i in range(first, last):
        want[0, i, 0] = load[i, 0] + rho_node[i] * (post_copy[i, 0] - post_push[i, 0])
        want[0, i, 1] = load[i, 1]
        if post_side[i] != 0:
            want[0, i, 1] += rho_node[i] * (post_copy[i, 1] - post_push[i, 1])
        want[1, i, 0] = want[1, i, 1] = 0.0


@_compiled
def closest(
    off: Array, rod: Array, at: Array, h: Array, low_at: Array, high_at: Array, touch: Array, half: Array, low: Array,
    high: Array, part: Array, lean: Array,
) -> None:  # fmt: skip
    """Where the two rods of each contact come closest within half a station of nodes `low_at`, `high_at`: either way
    where `half` is 0, only before them where it is -1, only after them where it is 1.

    Sets `low`, `high`, `part` (see above) and `lean`: the cosine of the steeper one's angle in plan, by which their
    distance through the wall shrinks. So no crossing slips between two stations. Rods that lie along each other are
    equally close everywhere: they stay with their nodes, for a place that jumped about would never come to rest.
    """
    for c in range(len(low_at)):
        i, j = low_at[c], high_at[c]
        a, b, e, g = off[rod[i]], off[rod[i] + 1], off[rod[j]], off[rod[j] + 1]
        ds, dn = at[j, 0] - at[i, 0], at[j, 1] - at[i, 1]
        steep = 0.0
        for way in (-1, 1):
            if a <= i + way < b:
                steep = max(steep, abs(at[i + way, 1] - at[i, 1]) / h[i])
            if e <= j + way < g:
                steep = max(steep, abs(at[j + way, 1] - at[j, 1]) / h[j])
        flat = 1 / (1 + steep * steep)
        least, best = ds * ds + flat * dn * dn, 0.0
        stay = STAY * touch[c] ** 2
        for way in (-1, 1):
            p, q = i + way, j + way
            if half[c] != -way and a <= p < b and e <= q < g:
                s, n = at[q, 0] - at[p, 0] - ds, at[q, 1] - at[p, 1] - dn
                t = min(0.5, max(0.0, -(ds * s + flat * dn * n) / (s * s + flat * n * n + stay)))
                far = (ds + t * s) ** 2 + flat * (dn + t * n) ** 2 + stay * t * t
                if far < least:
                    least, best = far, t * way
        across, reach = abs(dn), h[i] / 2
        if across * steep * flat > reach:  # the foot of the shortest way lies beyond what this contact looks at
            lean[c] = min(1.0, math.hypot(across - steep * reach, reach) / across)
        else:
            lean[c] = math.sqrt(flat)
        back = 1 if best < 0 or i + 1 == b or j + 1 == g else 0
        if back == 1 and (i == a or j == e):  # one rod ends where the other begins: no line to slide along
            back, best = 0, 0.0
        low[c], high[c], part[c] = i - back, j - back, best + back


@_compiled
def stiffen(low: Array, high: Array, part: Array, rho: Array, weight: Array, beside: Array) -> None:
    """Set `weight` and `beside` (nodes,) to what the contacts add to the rods' stiffness (see `factor`)."""
    weight[:] = 0.0
    beside[:] = 0.0
    for c in range(len(low)):
        for i in (low[c], high[c]):
            weight[i] += rho[c] * (1 - part[c]) ** 2
            if part[c] > 0:
                weight[i + 1] += rho[c] * part[c] ** 2
                beside[i + 1] += rho[c] * part[c] * (1 - part[c])


@_inlined
def between_nodes(at: Array, i: int, part: float, k: int) -> float:
    """Place k (0: s, 1: n) on a rod `part` of the way from node i to the next."""
    return at[i, k] if part == 0 else at[i, k] + part * (at[i + 1, k] - at[i, k])


@_inlined
def _want(want: Array, i: int, part: float, rho: float, s: float, n: float) -> None:
    """Add to what draws a rod `part` of the way from node i to the next towards (s, n)."""
    c = rho * (1 - part)
    want[i, 0] += c * s
    want[i, 1] += c * n
    if part > 0:
        c = rho * part
        want[i + 1, 0] += c * s
        want[i + 1, 1] += c * n


@_compiled
def want_contacts(
    first: int, last: int, low: Array, high: Array, part: Array, rho: Array, copy: Array, push: Array, want: Array
) -> None:
    """Add to `want` (nodes, 2) what these contacts draw their rods by."""
    for c in range(first, last):
        k, m = 2 * c, 2 * c + 1
        _want(want, low[c], part[c], rho[c], copy[k, 0] - push[k, 0], copy[k, 1] - push[k, 1])
        _want(want, high[c], part[c], rho[c], copy[m, 0] - push[m, 0], copy[m, 1] - push[m, 1])


@_compiled
def contact_step(
    first: int, last: int, low: Array, high: Array, part: Array, touch: Array, ordered: Array, lean: Array, rho: Array,
    at: Array, copy: Array, push: Array, relax: float, least: float, want: Array,
) -> None:  # fmt: skip
    """Push the two copies of every contact apart where they overlap, and add to `want` (nodes, 2) what they draw by.

    `touch` (contacts,) mm: distance of two axes that touch. In an ordered contact the upper rod stays above, by at
    least `least` of `touch`; the others only keep their distance.
    """
    for c in range(first, last):
        i, j, k, m, f = low[c], high[c], 2 * c, 2 * c + 1, part[c]
        d = touch[c]
        vs0 = relax * between_nodes(at, i, f, 0) + (1 - relax) * copy[k, 0] + push[k, 0]
        vn0 = relax * between_nodes(at, i, f, 1) + (1 - relax) * copy[k, 1] + push[k, 1]
        vs1 = relax * between_nodes(at, j, f, 0) + (1 - relax) * copy[m, 0] + push[m, 0]
        vn1 = relax * between_nodes(at, j, f, 1) + (1 - relax) * copy[m, 1] + push[m, 1]
        ds, dn = vs1 - vs0, (vn1 - vn0) * lean[c]
        apart = ds * ds + dn * dn
        gs, gn = 0.0, 0.0
        if ordered[c] and ds < least * d:
            gs = (max(least * d, math.sqrt(max(0.0, d * d - dn * dn))) - ds) / 2
        elif apart < d * d:
            apart = math.sqrt(apart)
            if apart > 1e-9 * d:
                across = dn * lean[c]
                step = (d - apart) * apart / (ds * ds + across * across) / 2
                gs, gn = step * ds, step * across
            else:
                gs = d / 2
        copy[k, 0], copy[k, 1], copy[m, 0], copy[m, 1] = vs0 - gs, vn0 - gn, vs1 + gs, vn1 + gn
        push[k, 0], push[k, 1], push[m, 0], push[m, 1] = gs, gn, -gs, -gn
        _want(want, i, f, rho[c], copy[k, 0] - gs, copy[k, 1] - gn)
        _want(want, j, f, rho[c], copy[m, 0] + gs, copy[m, 1] + gn)


@_compiled
def true_bend(
    off: Array, first: int, last: int, at: Array, bend: Array, pull: Array, h: Array, base_load: Array, load: Array,
) -> None:  # fmt: skip
    """Set `load` so that the rods, solved with small slopes, come to rest where true curvature and length say.

    load = base_load + (small-slope force - true force), both of the present shape `at`: at rest the two cancel and what
    remains is the true balance. Energy per length of a rod: bend / 2 * curvature squared, plus `pull`.
    """
    for r in range(first, last):
        a, b = off[r], off[r + 1]
        for i in range(a, b):
            load[i, 0] = base_load[i, 0]
            load[i, 1] = base_load[i, 1]
        for i in range(a, b - 1):
            ds, dn = at[i + 1, 0] - at[i, 0], at[i + 1, 1] - at[i, 1]
            c = pull[r] * (1 / h[i] - 1 / math.sqrt(h[i] * h[i] + ds * ds + dn * dn))
            load[i, 0] -= c * ds
            load[i + 1, 0] += c * ds
            load[i, 1] -= c * dn
            load[i + 1, 1] += c * dn
        for i in range(a + 1, b - 1):
            k = h[i]
            s1, n1 = (at[i + 1, 0] - at[i - 1, 0]) / (2 * k), (at[i + 1, 1] - at[i - 1, 1]) / (2 * k)
            s2 = (at[i + 1, 0] - 2 * at[i, 0] + at[i - 1, 0]) / (k * k)
            n2 = (at[i + 1, 1] - 2 * at[i, 1] + at[i - 1, 1]) / (k * k)
            q = 1 + s1 * s1 + n1 * n1
            w = 1 / (q * q * math.sqrt(q))
            x = s1 * n2 - n1 * s2
            part = 5 * (s2 * s2 + n2 * n2 + x * x) * w / q
            # Halves of the derivatives of (s2^2 + n2^2 + x^2) / q^(5/2), by second and by first differences.
            fs2, fn2 = s2 - (s2 - n1 * x) * w, n2 - (n2 + s1 * x) * w
            fs1, fn1 = -(x * n2 * w - part * s1 / 2), -(-x * s2 * w - part * n1 / 2)
            c = bend[r] * k
            e, g = c / (k * k), c / (2 * k)
            load[i - 1, 0] += e * fs2 - g * fs1
            load[i, 0] -= 2 * e * fs2
            load[i + 1, 0] += e * fs2 + g * fs1
            load[i - 1, 1] += e * fn2 - g * fn1
            load[i, 1] -= 2 * e * fn2
            load[i + 1, 1] += e * fn2 + g * fn1


@_compiled
def hold_bend(
    off: Array, first: int, last: int, at: Array, bend: Array, pull: Array, h: Array, base_load: Array, hold: Array,
    load: Array,
) -> None:  # fmt: skip
    """`true_bend` of rods that are held where they are by `hold` (nodes,): at rest that bears nothing."""
    true_bend(off, first, last, at, bend, pull, h, base_load, load)
    for i in range(off[first], off[last]):
        load[i, 0] += hold[i] * at[i, 0]
        load[i, 1] += hold[i] * at[i, 1]


@_compiled
def sweeps(
    count: int, often: int, off: Array, half: int, rods: tuple[Any, ...], contacts: tuple[Any, ...], want: Array
) -> None:
    """`count` rounds of `rod_step` and `contact_step` on one core, with what they ask for from `bend` and `low` on;
    every `often` rounds bending is renewed. Contacts before number `half` add to the first part of `want`."""
    pairs = len(contacts[0])
    for k in range(1, count + 1):
        rod_step(off, 0, len(off) - 1, k < count and k % often == 0, *rods)
        contact_step(0, half, *contacts, want[0])
        contact_step(half, pairs, *contacts, want[1])


@_compiled
def sweeps_in_turn(
    own: int, begun: int, counts: Array, count: int, often: int, off: Array, rod_cut: Array, half: int,
    rods: tuple[Any, ...], contacts: tuple[Any, ...], want: Array,
) -> int:  # fmt: skip
    """As `sweeps`, what core `own` (0 or 1) of two has of it, from step `begun` on, two to a sweep: its half of the
    rods (`rod_cut` (3,)), then its half of the contacts. Nothing is written by both. See `pair.in_turn`."""
    pairs = len(contacts[0])
    for step in range(begun, 2 * count + 1):
        if not has_come(counts, 1 - own, step):
            return step
        if step == 2 * count:
            break
        if step % 2 == 0:
            k = step // 2 + 1
            rod_step(off, rod_cut[own], rod_cut[own + 1], k < count and k % often == 0, *rods)
        elif own == 0:
            contact_step(0, half, *contacts, want[0])
        else:
            contact_step(half, pairs, *contacts, want[1])
        come(counts, own, step + 1)
    return 2 * count + 1
