"""What stands, as curves on the surface: base sticks, spokes from the edge to the last row, and bye-spokes."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from ..design.values import Design
from ..form.wall import smooth_through
from ..lay.spacing import long_sticks
from ..lay.values import HALF_SPOKE_MM, Laid
from .added_ends import along_spoke, aside_mm, bye_starts_mm, ends_by_tier
from .crosses import HALF_STICK, below, half_n, is_half, laced_n, slit_mm
from .curve import OWN, STICK_MM, Curve, Names, SameBase, of_end
from .sticks import base_sticks, on_long_stick


def spoke_curves(laid: Laid, names: Names = OWN) -> list[Curve]:
    """Standing spokes to the last row, reeds of one end side by side: from the base's edge, or where pushed in."""
    spokes, tiers, out = laid.design.spokes, laid.design.tiers("side"), []

    def up(tier: int) -> np.ndarray:
        foot = max(0.0, laid.tier_start_mm("side", tier) - spokes.insertion_mm) if tier else 0.0
        return np.linspace(foot, laid.top_s, max(2, math.ceil((laid.top_s - foot) / STICK_MM) + 1))

    for k in range(spokes.per_end):
        reed = of_end(laid, k)
        for end, tier, u, s in _up_the_wall(laid, k, up):
            which = {"end": end, "band": tiers[tier].first if tier else -1}
            name, level = f"{names.spoke} {end + 1}" + reed, np.zeros(len(s))
            which["upright"] = ("", end, k)
            out.append(Curve(name, "spoke", "side", spokes.colour, spokes.reed.diameter_mm, u, s, level, **which))
    return sorted(out, key=lambda each: each.end)


def _up_the_wall(laid: Laid, reed: int, up: Callable[[int], np.ndarray]) -> Iterator[tuple]:
    """(end, its tier, u, s) of that reed of every end, at the heights s that `up` gives for a tier."""
    ends = ends_by_tier(laid, "side")
    for tier in dict.fromkeys(tier for tier, _ in ends):
        mine = [end for end, (born_in, _) in enumerate(ends) if born_in == tier]
        numbers = np.array([ends[end][1] for end in mine])
        s = up(tier)
        around = 2 * np.pi * np.maximum(laid.design.form.radius(s), 1.0) / laid.design.top_ends
        u = along_spoke(laid, "side", tier, numbers.T[:, :, None], s) + aside_mm(laid, reed, s) / around
        for end, places in zip(mine, u, strict=True):
            yield end, tier, places, s


def by_beginning(standing: list[Curve]) -> tuple[list[Curve], list[Curve]]:
    """Spokes that stand from the base's edge on, and those that are pushed in further up."""
    return [each for each in standing if each.band < 0], [each for each in standing if each.band >= 0]


def bye_curves(laid: Laid) -> list[Curve]:
    """Bye-spokes, each beside the reeds of its end, from where it is pushed in to the last row."""
    bye_spokes = laid.design.bye_spokes
    out: list[Curve] = []
    if bye_spokes is None:
        return out
    s = np.linspace(
        max(0.0, bye_starts_mm(laid) - bye_spokes.insertion_mm),
        laid.top_s,
        max(2, math.ceil(laid.top_s / STICK_MM) + 1),
    )
    reed = of_end(laid, laid.design.spokes.per_end)
    for end, _, u, _ in _up_the_wall(laid, laid.design.spokes.per_end, lambda tier: s):
        upright = ("", end, laid.design.spokes.per_end)
        which, level = {"end": end, "band": bye_spokes.first, "upright": upright}, np.zeros(len(s))
        name = f"spoke {end + 1}" + reed
        out.append(
            Curve(name, "bye-spoke", "side", bye_spokes.colour, bye_spokes.reed.diameter_mm, u, s, level, **which)
        )
    return sorted(out, key=lambda each: each.end)


def stick_curves(laid: Laid) -> list[Curve]:
    """Base sticks from the middle of the cross to the base's edge, one for every reed of every end.

    A half one begins a little past the middle; those that are split there begin where their slit ends: see
    `split_curves`.
    """
    return list(_stick_curves(SameBase(laid)))


@functools.lru_cache(maxsize=4)
def _stick_curves(same: SameBase) -> tuple[Curve, ...]:
    laid = same.laid
    spokes, out = laid.design.spokes, []
    pierced, thick = laid.design.base.kind == "pierced cross", laid.design.spokes.stick_reed.diameter_mm
    split = below(laid.design) if pierced else np.zeros(spokes.ends_at_base, bool)
    for name, end, first, along, knots in _sticks(laid):
        begins = slit_mm(laid) if first is not None and split[first] else 0.0
        at = np.linspace(begins, along[-1], max(2, math.ceil(along[-1] / STICK_MM) + 1))
        u, s = _on_stick(laid, end, along, knots, at)
        n = laced_n(laid, first, at) if laid.design.base.sets and first is not None else np.zeros(len(s))
        out.append(Curve(name, "stick", "base", spokes.colour, thick, u, s, n, end=end))
    if laid.design.base.sets or not out:
        return tuple(out)
    s = np.concatenate([each.s for each in out])
    n = across_cross(laid, np.repeat([each.end + 0.5 for each in out], [len(each.s) for each in out]), s)
    each_n = np.split(n, np.cumsum([len(each.s) for each in out])[:-1])
    return tuple(replace(each, n=n) for each, n in zip(out, each_n, strict=True))


def outward(stick: Curve) -> Curve:
    """A stick from where it comes nearest to the middle: without the inner end of a half one, which lies on the arm
    across from its own."""
    begins = int(np.argmin(stick.s))
    return stick if not begins else replace(stick, u=stick.u[begins:], s=stick.s[begins:], n=stick.n[begins:])


def split_curves(laid: Laid) -> list[Curve]:
    """Both halves of every split stick of a pierced cross, from the middle to where its slit ends."""
    if laid.design.base.kind != "pierced cross":
        return []
    spokes, split, out = laid.design.spokes, below(laid.design), []
    thick = HALF_STICK * spokes.stick_reed.diameter_mm
    at = np.linspace(0.0, slit_mm(laid), 25)
    for name, end, first, along, knots in _sticks(laid):
        if first is not None and split[first]:
            u, s = _on_stick(laid, end, along, knots, at)
            for half, side in (("lower", 1), ("upper", -1)):
                n = side * half_n(laid, at)
                out.append(Curve(f"{name}, {half} half", "stick", "base", spokes.colour, thick, u, s, n, end=end))
    return out


def _sticks(laid: Laid):
    """(name, end, its number among the first ends or None where it is added, mm along it of its knots, knots (k, 2) mm)
    of every reed of every base end."""
    beside = 1 if laid.design.spokes.inserted else laid.design.spokes.per_end
    begun = ends_by_tier(laid, "base")
    for i, knots in enumerate(base_sticks(laid)):
        end, k = divmod(i, beside)
        tier, numbers = begun[end]
        if laid.design.form.is_round and tier == 0:  # straight as long as it crosses others
            knots = np.insert(knots, 1, 0.1 * knots[0] + 0.9 * knots[1], axis=0)
            if is_half(laid.design, numbers[0]):
                knots = np.insert(knots, 0, _past_middle(laid, knots), axis=0)
        along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(knots, axis=0).T))]
        name = f"base stick {end + 1}" + (f", reed {k + 1}" if beside > 1 else "")
        yield name, end, None if tier else numbers[0], along, knots


def _past_middle(laid: Laid, knots: np.ndarray) -> np.ndarray:
    """Where (x, y) the inner end of a half stick is drawn to lie whose `knots` begin beside the middle: as far past it
    as it lies clear of the first row, which binds the rest in."""
    way = (knots[1] - knots[0]) / np.hypot(*(knots[1] - knots[0]))
    weaver = laid.base[0].band.reed.diameter_mm if laid.base else 0.0
    free = laid.cross_mm - weaver / 2
    beside = float(np.hypot(*knots[0])) + laid.design.spokes.stick_reed.diameter_mm / 2
    past: np.ndarray = knots[0] - way * min(HALF_SPOKE_MM, math.sqrt(max(free**2 - beside**2, 0.0)))
    return past


def _on_stick(laid: Laid, end: int, along, knots, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    x, y = smooth_through(along, knots.T, at)
    return _round(laid, x, y, end + 0.5)


def beside_sticks(design: Design) -> list[tuple[int, int]]:
    """(stick from 0, 1 on the side that lies the way of the work, -1 on the other) of every side spoke pushed in.

    Each goes to the stick that its place lies nearest; in its middle to the side that lies the way of the work.
    """
    ends, sticks, out = design.spokes.ends, design.spokes.ends_at_base, []
    for end in range(design.foot_ends):
        stick, rest = divmod((2 * end + 1) * sticks, 2 * ends)
        out.append((stick, 1 if rest >= ends else -1))
    return out


def inserted_curves(laid: Laid) -> list[Curve]:
    """Side spokes that are pushed in: the part of each that lies beside a base stick, from its slype to the edge."""
    spokes = laid.design.spokes
    if not spokes.inserted:
        return []
    sticks = [outward(stick) for stick in stick_curves(laid)]
    form = laid.design.form
    edge = float(form.sides(0.0)[1]) / 2  # of an oval, as far from its middle line as its wall stands
    start = max(edge - spokes.insertion_mm, laid.cross_mm)
    taken: dict[tuple[int, int], int] = {}
    out = []
    for end, (stick, side) in enumerate(beside_sticks(laid.design)):
        own = (end + 0.5) / spokes.ends * spokes.ends_at_base
        order = taken[stick, side] = taken.get((stick, side), -1) + 1
        off = side * ((spokes.stick_reed.diameter_mm + spokes.reed.diameter_mm) / 2 + order * spokes.reed.diameter_mm)
        for k in range(spokes.per_end):
            beside = off + side * k * spokes.reed.diameter_mm
            s = np.linspace(start, edge, max(3, math.ceil((edge - start) / STICK_MM) + 1))
            along = np.interp(s, sticks[stick].s, sticks[stick].u)
            around = 2 * np.pi * np.maximum(form.base_radius(s), 1.0) / spokes.ends_at_base
            stands = own + (k - (spokes.per_end - 1) / 2) * spokes.reed.diameter_mm / around[-1]
            # It follows the stick and swings out to its own place near the edge.
            part = (s - start) / (edge - start)
            ease = part * part * (3 - 2 * part)
            u = (along + beside / around) * (1 - ease) + stands * ease
            name = f"spoke {end + 1}" + (f", reed {k + 1}" if spokes.per_end > 1 else "")
            level = np.zeros_like(s)
            out.append(Curve(name, "spoke", "base", spokes.colour, spokes.reed.diameter_mm, u, s, level, end=end))
    return out


def _round(laid: Laid, x: np.ndarray, y: np.ndarray, near: float) -> tuple[np.ndarray, np.ndarray]:
    """(u, s) of points in the plane of the base, u running on from `near` at the edge without a jump."""
    ends = laid.design.tiers("base")[-1].ends
    if not laid.design.form.is_round:
        turn, s = laid.design.form.base_at(x, y)
        # From turns back to spokes: a fine table, for a maker may crowd them on the long sides.
        places = np.linspace(0, ends, 64 * ends + 1)
        u = np.interp(turn, laid.design.turn("base", places) - laid.design.turn("base", np.zeros(1)), places)
        u = np.unwrap(u[::-1], period=ends)[::-1]
        return u + ends * np.round((near - u[-1]) / ends), s
    u = np.unwrap(np.arctan2(y, x)[::-1])[::-1] / (2 * np.pi) * ends
    return u + ends * np.round((near - u[-1]) / ends), np.hypot(x, y)


def across_cross(laid: Laid, u: np.ndarray, s: np.ndarray) -> np.ndarray:
    """How far through the base the sticks stand at (u, s), each (k,): the two halves of the cross lie on each other.

    The half laid first is below, so positive; outside the cross both come level.
    """
    if laid.design.base.kind != "laid cross":  # pierced and interlaced ones are level where the first row goes round
        return np.zeros_like(s)
    spokes = laid.design.spokes
    ends, thick = spokes.ends_at_base, spokes.stick_reed.diameter_mm
    u = u * ends / laid.design.tiers("base")[-1].ends  # the cross is that of the first ends
    if not laid.design.form.is_round:  # the sticks across lie on the long ones
        layer, half = np.where(on_long_stick(laid), 1.0, -1.0), long_sticks(laid.design) / 2
    else:
        layer, half = np.where(below(laid.design), 1.0, -1.0), max(laid.design.arms) / 2
    at = np.interp(u % ends, np.arange(-0.5, ends + 1), np.r_[layer[-1], layer, layer[0]])
    gone = np.clip((s - half * thick) / (5 * thick), 0, 1)
    return at * thick / 2 * (1 - gone * gone * (3 - 2 * gone))
