"""What stands, as curves on the surface: base sticks, spokes from the edge to the last row, and bye-spokes."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ..design.values import Design
from ..form.wall import smooth_through, smooth_through_each
from ..lay.spacing import long_sticks
from ..lay.values import HALF_SPOKE_MM, Laid
from .added_ends import along_spoke, aside_mm, bye_starts_mm, ends_by_tier
from .crosses import HALF_STICK, below, half_n, half_outside_mm, is_half, laced_n, slit_mm
from .curve import OWN, STICK_MM, Curve, Names, SameBase, end_named, stick_named
from .oval_sticks import on_long_stick
from .sticks import base_sticks


def spoke_curves(laid: Laid, names: Names = OWN) -> list[Curve]:
    """Standing spokes to the last row, reeds of one end side by side: from the base's edge, or where pushed in."""
    spokes, tiers, out = laid.design.spokes, laid.design.tiers("side"), []

    def up(tier: int) -> np.ndarray:
        foot = max(0.0, laid.tier_start_mm("side", tier) - spokes.insertion_mm) if tier else 0.0
        return np.linspace(foot, laid.top_s, max(2, math.ceil((laid.top_s - foot) / STICK_MM) + 1))

    for k in range(spokes.per_end):
        for end, tier, u, s in _up_the_wall(laid, k, up):
            which = {"end": end, "band": tiers[tier].first if tier else -1}
            name, n = end_named(laid, names.spoke, end, k), laid.bow_mm("side", end, s)
            which["upright"] = ("", end, k)
            out.append(Curve(name, "spoke", "side", spokes.colour, spokes.reed.diameter_mm, u, s, n, **which))
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
    for end, _, u, _ in _up_the_wall(laid, laid.design.spokes.per_end, lambda tier: s):
        upright = ("", end, laid.design.spokes.per_end)
        which, n = {"end": end, "band": bye_spokes.first, "upright": upright}, laid.bow_mm("side", end, s)
        name = end_named(laid, OWN.spoke, end, laid.design.spokes.per_end)
        out.append(
            Curve(name, "bye-spoke", "side", bye_spokes.colour, bye_spokes.reed.diameter_mm, u, s, n, **which)
        )
    return sorted(out, key=lambda each: each.end)


def stick_curves(laid: Laid) -> list[Curve]:
    """Base sticks from the middle of the cross to the base's edge, one for every reed of every end.

    A half one begins a little past the middle; those that are split there begin where their slit ends: see
    `split_curves`.
    """
    level = _stick_curves(SameBase(laid))
    if "base" not in laid.bowed:
        return list(level)
    return [replace(each, n=each.n + laid.bow_mm("base", each.end, each.s)) for each in level]


@functools.lru_cache(maxsize=4)
def _stick_curves(same: SameBase) -> tuple[Curve, ...]:
    laid = same.laid
    design, thick = laid.design, laid.design.spokes.stick_reed.diameter_mm
    sticks = list(_sticks(laid))
    if not sticks:
        return ()
    split = below(design) if design.base.kind == "pierced cross" else np.zeros(design.spokes.ends_at_base, bool)
    slit = slit_mm(laid) if split.any() else 0.0
    ats = []
    for each in sticks:
        last = each.along[-1]
        begins = slit if each.first is not None and split[each.first] else -_past_middle(laid, each.first)
        ats.append(np.linspace(begins, last, max(2, math.ceil(last / STICK_MM) + 1)))
    places = _on_sticks(laid, sticks, ats)
    if design.base.sets:
        through = [np.zeros(len(at)) if each.first is None else laced_n(laid, each.first, at)
                   for each, at in zip(sticks, ats, strict=True)]  # fmt: skip
    else:
        many = [len(at) for at in ats]
        ends = np.repeat([each.end + 0.5 for each in sticks], many)
        through = np.split(across_cross(laid, ends, np.concatenate([s for _, s in places])), np.cumsum(many)[:-1])
    return tuple(
        Curve(each.name, "stick", "base", design.spokes.colour, thick, u, s, n, end=each.end)
        for each, (u, s), n in zip(sticks, places, through, strict=True)
    )


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
    sticks = [each for each in _sticks(laid) if each.first is not None and split[each.first]]
    for each, (u, s) in zip(sticks, _on_sticks(laid, sticks, [at] * len(sticks)), strict=True):
        for half, side in (("lower", 1), ("upper", -1)):
            n, name = side * half_n(laid, at), f"{each.name}, {half} half"
            out.append(Curve(name, "stick", "base", spokes.colour, thick, u, s, n, end=each.end))
    return out


class _Stick(NamedTuple):
    """A reed of a base end: `first` its number among the first ends, None where it is added; `along` (k,) mm along it
    of its `knots` (k, 2) mm."""

    name: str
    end: int
    first: int | None
    along: np.ndarray
    knots: np.ndarray


def _sticks(laid: Laid) -> Iterator[_Stick]:
    """Every reed of every base end."""
    beside = 1 if laid.design.spokes.inserted else laid.design.spokes.per_end
    begun, is_round = ends_by_tier(laid, "base"), laid.design.form.is_round
    for i, knots in enumerate(base_sticks(laid)):
        end, k = divmod(i, beside)
        tier, numbers = begun[end]
        if is_round and tier == 0:  # straight as long as it crosses others
            knots = np.concatenate([knots[:1], 0.1 * knots[:1] + 0.9 * knots[1:2], knots[1:]])
        step = knots[1:] - knots[:-1]
        along = np.append(0.0, np.cumsum(np.hypot(step[:, 0], step[:, 1])))
        name = stick_named(end, k, beside)
        yield _Stick(name, end, None if tier else numbers[0], along, knots)


def _past_middle(laid: Laid, first: int | None) -> float:
    """How far past the middle a stick is drawn, mm: a half one as far as it lies clear of the first row, that binds the
    rest in."""
    if first is None or not laid.design.form.is_round or not is_half(laid.design, first):
        return 0.0
    weaver = laid.base[0].band.reed.diameter_mm if laid.base else 0.0
    free, outer = laid.cross_mm - weaver / 2, half_outside_mm(laid.design)
    return min(HALF_SPOKE_MM, math.sqrt(max(free**2 - outer**2, 0.0)))


def _on_sticks(
    laid: Laid, sticks: list[_Stick], at: list[np.ndarray]
) -> list[tuple[np.ndarray, np.ndarray]]:
    """(u, s) of points `at` mm along each of these."""
    on = [np.maximum(here, 0.0) for here in at]
    straight = [len(each.along) < 3 for each in sticks]
    bent = [(each, here) for each, here, even in zip(sticks, on, straight, strict=True) if not even]
    curved: Iterator[np.ndarray] = iter(())
    if bent:
        along, knots = [each.along for each, _ in bent], [each.knots.T for each, _ in bent]
        curved = iter(smooth_through_each(along, knots, [here for _, here in bent]))
    lines = [smooth_through(each.along, each.knots.T, here) if even else next(curved)
             for each, here, even in zip(sticks, on, straight, strict=True)]  # fmt: skip
    for i, (each, here) in enumerate(zip(sticks, at, strict=True)):
        if here[0] < 0:  # straight on past the middle
            back = np.minimum(here, 0.0) / max(float(each.along[1]), 1e-9)
            lines[i] = lines[i] + back * (each.knots[1] - each.knots[0])[:, None]
    return _round(laid, lines, [each.end + 0.5 for each in sticks])


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
            name = end_named(laid, OWN.spoke, end, k)
            n = laid.bow_mm("base", stick, s)  # as the stick beside it
            out.append(Curve(name, "spoke", "base", spokes.colour, spokes.reed.diameter_mm, u, s, n, end=end))
    return out


def _round(laid: Laid, lines: list[np.ndarray], near: list[float]) -> list[tuple[np.ndarray, np.ndarray]]:
    """(u, s) of lines (2, k) in the plane of the base, u of each running on from its `near` at the edge without a
    jump."""
    if not lines:
        return []
    ends, form = laid.design.tiers("base")[-1].ends, laid.design.form
    x, y = np.concatenate(lines, axis=1)
    if form.is_round:
        period, turn, s = 2 * np.pi, np.arctan2(y, x), np.hypot(x, y)
    else:
        period, (turn, s) = float(ends), form.base_at(x, y)
        # From turns back to spokes: a fine table, for a maker may crowd them on the long sides.
        places = np.linspace(0, ends, 64 * ends + 1)
        turn = np.interp(turn, laid.design.turn("base", places) - laid.design.turn("base", np.zeros(1)), places)
    jumps = np.abs(np.diff(turn, append=turn[-1])) >= period / 2
    out, last = [], 0
    for line, own in zip(lines, near, strict=True):
        first, last = last, last + line.shape[1]
        u = turn[first:last]
        if jumps[first : last - 1].any():
            u = np.unwrap(u[::-1], period=period)[::-1]
        if form.is_round:
            u = u / (2 * np.pi) * ends
        out.append((u + ends * np.round((own - u[-1]) / ends), s[first:last]))
    return out


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
