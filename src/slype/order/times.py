"""When every point of every reed is laid, and what stands in its place before.

Times are moments done (see `moments`): a point laid a third of the way through moment i has time i + 1/3, and is drawn
from then on. A weaver's cut ends are laid as it is set in and ended.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..lay.values import Laid
from ..surface.added_ends import aside_mm
from ..surface.curve import STICK_MM, Curve, end_named
from .kinds import ACTS, Covered, Moments, Other

LEAST = 1e-3
"""Share of a moment that has gone by when its first point is laid: before the moment begins nothing of it is shown."""


@dataclass(frozen=True, eq=False)
class Standing:
    """An upright end above the last row, drawn until the border takes it: `curve` as `tubes.tube` draws it, shown while
    `appears` <= time <= `vanishes`, in moments done; `held` out of an arch's way, by a move that is not its own."""

    curve: Curve
    appears: float
    vanishes: float
    held: bool = False


def when(order: Moments, curve: Curve) -> np.ndarray:
    """For every point of a curve the moment at which it is laid, (k,), rising along the reed.

    Takes weavers (stacked or relaxed, whole or cut at joins), spokes, sticks and border ends; of a board also what is
    below it.
    """
    return when_all(order, [curve])


def when_all(order: Moments, curves: Sequence[Curve]) -> np.ndarray:
    """The same of many curves, one after another."""
    many = np.array([len(curve.u) for curve in curves])
    last = np.cumsum(many)
    led = [_led(order, curve) for curve in curves]
    # What is laid in one move: evenly along the reed. That is also the arch of an open border, whose end is pushed
    # straight down: places round do not tell how far it has come.
    begun = np.array([_begun(order, curve) if on is None else on[0][0] for curve, on in zip(curves, led, strict=True)])
    along = (np.arange(last[-1]) - np.repeat(last - many, many)) / np.repeat(np.maximum(many - 1, 1), many)
    # A spoke that a stick's moment sets up, of a mat: the stick's own end, laid with it.
    at_once = np.array([curve.role == "spoke" for curve in curves]) & (order.act[begun] == ACTS.index("stick"))
    along[np.repeat(at_once, many)] = 1.0
    out = np.repeat(begun, many) + np.maximum(along, LEAST)
    moved = [(i, on) for i, on in enumerate(led) if on is not None and (len(on[0]) > 1 or curves[i].role == "weaver")]
    found = [i for i, _ in moved]
    if found:
        times = _led_along(order, [curves[i] for i in found], [on for _, on in moved])
        for i, own in zip(found, np.split(times, np.cumsum(many[found])[:-1]), strict=True):
            rising = own if curves[i].role == "weaver" else np.maximum.accumulate(own)
            out[last[i] - many[i] : last[i]] = rising
    return out


def when_of(other: Other, curve: Curve) -> np.ndarray:
    """The same for a reed of a foot or a lid: its own time, counted on from where its own moments begin."""
    return other.first + when(other.order, curve)


def of_arch(covered: Covered, kind: str, along: np.ndarray) -> np.ndarray:
    """For every point of a reed of a handle the moment at which it is laid, (k,).

    `along` (k,) from 0 to 1 down in the first foot, read from its tip; to 2 over the arch; to 3 in the other foot.
    `kind` "core", "rod" or "wrap".
    """

    def part(share: np.ndarray) -> np.ndarray:
        return np.clip(share, LEAST, 1.0)

    one, other = covered.push
    if kind == "core":  # bent over as its other foot is pushed in
        return np.where(along <= 1.0, one + part(along), other + part((along - 1.0) / 2))
    turn = np.clip((along - 1.0) * covered.turns, 0.0, covered.turns - 1e-9)
    out = covered.wrap + np.floor(turn) + part(turn % 1.0)
    if kind == "wrap":
        return out
    if covered.rods >= 0:  # round a core that stands already
        one, other = covered.rods, covered.fasten
    out = np.where(along < 1.0, one + part(along), out)
    return np.where(along > 2.0, other + part(along - 2.0), out)


def _led(order: Moments, curve: Curve) -> tuple[np.ndarray, np.ndarray] | None:
    """(moments that lead a weaver or an end of a border on, places round of its points), None of a reed that is laid in
    one."""
    if curve.role == "weaver":
        moves = order.by_weaver[curve.band, curve.block, curve.weaver, "stroke"]
        return moves, curve.u if curve.place is None else curve.place
    if curve.role != "border":
        return None
    if curve.where == "foot":  # below a board an end is led the other way round: see `feet`
        return order.by_end["foot", curve.end], 1.0 - curve.u
    return order.by_end["border", curve.end], curve.u


def _begun(order: Moments, curve: Curve) -> int:
    """The moment that lays a stick, or sets up a spoke or the part of it that lies in the base or goes through it."""
    if curve.where == "foot":
        return int(order.by_end["hole", curve.end][0])
    if curve.role == "bye-spoke":
        return int(order.by_end["bye", curve.end][0])
    if curve.role == "stick":
        return order.begun["base"][curve.end]
    # The part of a spoke in the base: of one that runs through it is laid with its stick, else it is pushed in.
    if curve.where == "base":
        return int(order.by_end["insert", curve.end][0])
    return order.begun["side"][curve.end]


def _led_along(order: Moments, curves: list[Curve], led: list[tuple[np.ndarray, np.ndarray]]) -> np.ndarray:
    """Times of the points of curves one after another, each led on by its own moments; a place between two moments
    belongs to the earlier. A weaver's cut ends are laid as it is set in and ended."""
    places = [each for _, each in led]
    u, moment = np.concatenate(places), np.concatenate([each for each, _ in led])
    line = np.repeat(np.arange(len(curves)), [len(each) for each in places])
    moves = np.array([len(each) for each, _ in led])
    first = np.cumsum(moves) - moves
    begin, beyond = order.begin[moment], order.beyond[moment]
    # Looked up in one row: the curves stand behind each other, so far apart that none reaches the next.
    apart = max(u.max(), begin.max()) - min(u.min(), begin.min()) + 1.0
    row = begin + np.repeat(np.arange(len(curves)), moves) * apart
    at = np.maximum(np.searchsorted(row, u - 1e-9 + line * apart, side="left") - 1, first[line])
    out = moment[at] + np.minimum(np.maximum((u - begin[at]) / (beyond[at] - begin[at]), LEAST), 1.0)
    for act, tips, cut in (("set in", [each[0] for each in places], begin[first]),
                           ("end", [each[-1] for each in places], beyond[first + moves - 1])):  # fmt: skip
        found = [order.by_weaver.get((curve.band, curve.block, curve.weaver, act)) for curve in curves]
        laid = np.array([-1 if curve.role != "weaver" or each is None else each[0]
                         for curve, each in zip(curves, found, strict=True)])  # fmt: skip
        off = u <= cut[line] if act == "set in" else u > cut[line]
        mine = np.flatnonzero(off & (laid[line] >= 0))
        of = line[mine]
        start, end = (np.array(tips), cut) if act == "set in" else (cut, np.array(tips))
        share = (u[mine] - start[of]) / np.maximum(end - start, 1e-9)[of]
        out[mine] = laid[of] + np.minimum(np.maximum(share, LEAST), 1.0)
    return out


BENT_ASIDE = 1.8
"""Thicknesses by which a standing end is held out of the way of an arch (as much as both reeds need, and a little)."""
BENT_WITHIN = 0.6
"""Share of an arch's height above the last row in which it is bent so far: below where the arch goes past."""
SWAY = ((0.25, 0.05), (0.5, 0.1), (0.75, 0.15), (1.0, 1.0))
"""(how far it is bent, until which share of the moment in which an arch first goes past it): it is seen to sway."""


def standing(laid: Laid, order: Moments) -> tuple[Standing, ...]:
    """Every upright end above the last row, as long as the border needs, and while it stands there: straight up, and
    from the first arch of an open border that goes past it on, held to the other side of that."""
    design, top = laid.design, laid.top_s
    s = np.linspace(top, top + laid.border.length_mm, max(2, math.ceil(laid.border.length_mm / STICK_MM / 4) + 1))
    around = 2 * np.pi * max(float(design.form.radius(top)), 1.0) / design.top_ends
    per_end, level, out = design.spokes.per_end, np.zeros(len(s)), []
    aside = [float(aside_mm(laid, k, s[:1])[0]) / around for k in range(len(design.top_reeds))]
    passed = _passed_by_arches(laid, order)
    for end in range(design.top_ends):
        until = float(order.by_end["border", end][0])
        for k, (reed, colour) in enumerate(design.top_reeds):
            u = np.full(len(s), end + 0.5 + aside[k])
            name = end_named(laid, "standing end", end, k)
            role = "bye-spoke" if k == per_end else "spoke"
            upright = ("", end, k)
            curve = Curve(name, role, "side", colour, reed.diameter_mm, u, s, level, end=end, upright=upright)
            appears = float(_begun(order, curve)) + 1.0
            if end in passed:
                moment, face = passed[end]
                out.append(Standing(curve, appears, float(moment)))
                out += _held(laid, curve, moment, until, face)
            else:
                out.append(Standing(curve, appears, until))
    return tuple(out)


def _passed_by_arches(laid: Laid, order: Moments) -> dict[int, tuple[int, int]]:
    """For every end that an arch of an open border goes past while it stands: the first moment that does, and the face
    it is held to, 1 outside and -1 inside."""
    out: dict[int, tuple[int, int]] = {}
    if not laid.design.border.is_open:
        return out
    for moment in np.flatnonzero((order.act == ACTS.index("border")) & (order.of < 0)).tolist():
        for face, ends in ((-1, order.in_front(moment)), (1, order.behind(moment))):
            for end in ends:
                if moment < order.by_end["border", end][0]:
                    out.setdefault(end, (moment, face))
    return out


def _held(laid: Laid, curve: Curve, moment: int, until: float, face: int) -> list[Standing]:
    """An end as it is held out of the way of arches from `moment` on, in the steps of SWAY."""
    high = BENT_WITHIN * laid.border_height_mm
    s = np.unique(np.concatenate([curve.s, curve.s[0] + np.linspace(0.0, high, 7)]))
    share = np.clip((s - s[0]) / high, 0.0, 1.0)
    bent = face * BENT_ASIDE * laid.design.border_reed_mm * share * share * (3 - 2 * share)
    out, appears = [], moment + LEAST
    for step, (far, beyond) in enumerate(SWAY):
        name, n = f"{curve.name}, held aside {step + 1}", far * bent
        reach = 2 * s[-1] - s[0] - np.hypot(np.diff(s), np.diff(n)).sum()  # it is no longer than it was
        low = s < reach
        up, n = np.append(s[low], reach), np.append(n[low], n[-1])
        held = replace(curve, name=name, u=np.full(len(up), curve.u[0]), s=up, n=n)
        vanishes = until if step == len(SWAY) - 1 else moment + beyond
        out.append(Standing(held, appears, vanishes, held=True))
        appears = vanishes + LEAST
    return out
