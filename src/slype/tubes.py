"""Every reed of the basket as a tube in space: curves on the surface, and the surface laid into mm. Level 6.

A curve is points (u, s, n) on the surface: u spokes round in the direction of work, s along it, n through it. `tubes`
lays them out with z up from the table, x and y across, mm. The start line (u = 0) lies at the far side, +y; for a left
hand the whole basket is the mirror image.

Reeds are stacked here as the trace orders them (`paths`); a relaxed basket hands its own curves to `tubes` instead.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from .border import INSERTION_MM
from .crosses import HALF_STICK, below, half_n, laced_n, slit_mm
from .design import group_sizes
from .form import smooth_through
from .lay import BandLaid, Laid
from .opening import along_spoke, aside_mm, beside, born, bye_starts_mm, carried
from .paths import STEPS, Run, base_sticks, border_runs, on_long_stick, weaver_runs
from .spacing import long_sticks

CHORD = 0.5  # longest chord of a tube, in its own thicknesses: bends are then drawn without corners
TURN = 1.5  # how far from the corner a spoke begins to turn up, in its own thicknesses (common practice, no source)
STICK_MM = 1.5  # between two points of a stick or a spoke on the surface
CROSSING = 1.2  # least room, in thicknesses of what stands, in which a weaver changes faces
TUCKED = 0.62  # how far, in spaces, the cut end of a weaver runs on behind the next spoke


@dataclass(frozen=True, eq=False)
class Curve:
    """One reed on the basket's surface.

    `name` is unique, in words: "band 3, weaver 2, rust", "spoke 5", "border end 5", "base stick 3". `role` is "weaver",
    "spoke", "bye-spoke", "stick" or "border", `where` "base", "side" or "foot", `colour` a name of the design's
    palette.

    u, s, n (k,): `u` spokes round in the direction of work (base: base ends round), spoke j at j + 1/2; `s` mm along
    the surface (base: from the centre; side: along the wall from the base's edge; foot: straight up from there); `n` mm
    through the wall, positive outside and on the underside of the base. `of` is "lid" for a reed of the lid, else
    empty.

    Which reed it is, each from 0 and -1 where it is none: of a weaver its `band`, `block` (setting-in of that band),
    `weaver`, `strand` of those worked as one and `piece` between joins; of all others the `end` or spoke it belongs to,
    and the `band` before which it was pushed in, where it did not stand from the start. `place` (k,) of a weaver below
    added ends: its places among the ends it was woven on, where `u` are those among the ends that stand last.
    """

    name: str
    role: str
    where: str
    colour: str
    thick_mm: float
    u: np.ndarray
    s: np.ndarray
    n: np.ndarray
    band: int = -1
    block: int = -1
    weaver: int = -1
    strand: int = -1
    piece: int = -1
    end: int = -1
    of: str = ""
    place: np.ndarray | None = None


@dataclass(frozen=True, eq=False)
class Tube:
    """One reed in space: `points` (k, 3) mm along its middle, z up from the base; `thick_mm` its diameter.

    `when` (k,) the moment at which each point is laid (`moment_times`), None where it was not asked for. `band` to
    `end` say which reed it is, as in `Curve`.
    """

    name: str
    role: str
    colour: str
    thick_mm: float
    points: np.ndarray
    when: np.ndarray | None = None
    band: int = -1
    block: int = -1
    weaver: int = -1
    strand: int = -1
    piece: int = -1
    end: int = -1


When = Callable[[Curve], np.ndarray]
"""For every point of a curve the moment at which it is laid."""


# Weavers -------------------------------------------------------------------------------------------------------


def stacked_curves(laid: Laid) -> list[Curve]:
    """Weavers of the base and the side and the ends of the border, as the trace stacks them; cut ends lie inside."""
    out = [*_base_weavers(_SameBase(laid)), *_weavers(laid, "side")]
    ends = border_runs(laid)
    for each in border_curves(laid, ends[0]):
        for run in ends:
            name = each.name.replace("end 1", f"end {run.weaver + 1}")
            out.append(replace(each, name=name, u=each.u + run.weaver, end=run.weaver))
    return out


class _SameBase:
    """A basket that counts as every other whose base is the same: what is drawn of a base is remembered by it, so that
    a change further up need not wait for it."""

    def __init__(self, laid: Laid) -> None:
        design = laid.design
        rows = tuple((band.start_s, band.end_s, band.rows) for band in laid.base)
        woven = tuple(band for band in design.bands if band.where == "base")
        self.laid = laid
        self.key = (design.spokes, design.form, design.base, design.bye, woven, rows, laid.cross_mm)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _SameBase) and self.key == other.key


def _weavers(laid: Laid, where: str) -> list[Curve]:
    return [curve for run in weaver_runs(laid, where) if run.u.size for curve in _weaver(laid, run, where)]


@functools.lru_cache(maxsize=4)
def _base_weavers(same: _SameBase) -> tuple[Curve, ...]:
    return tuple(_weavers(same.laid, "base"))


def _weaver(laid: Laid, run: Run, where: str) -> list[Curve]:
    """Curves of the reeds that one weaver is worked with, one above the other."""
    band = next(each for each in laid.bands if each.index == run.band)
    u, s, n = _along(run)
    u, s, n = _with_cut_ends(u, s, n)
    u, s, n = _over_groups(laid, band, u, s, n)
    n = n * band.deep_mm / 2
    woven, u = u, carried(laid, where, band.tier, u, s)
    own = None if u is woven else woven
    if where == "base":
        n = n + across_cross(laid, u, s)
    name = f"band {run.band + 1}, "
    if len(band.segments) > 1:
        name += f"block {run.start + 1}, "
    name += f"weaver {run.weaver + 1}, "
    out = []
    for k, colour in enumerate(run.colours):
        reed = f"reed {k + 1}, " if len(run.colours) > 1 else ""
        lift = (k - (len(run.colours) - 1) / 2) * run.thick_mm
        place = (run.band, run.start, run.weaver, k, 0)
        curve = Curve(f"{name}{reed}{colour}", "weaver", where, colour, run.thick_mm, u, s + lift, n, *place, place=own)
        out.append(curve)
    return out


def _along(run: Run) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The points of a run one after another, its pieces joined."""
    u, s, n = (np.concatenate([each[:, :-1].ravel(), each[-1, -1:]]) for each in (run.u, run.s, run.n))
    return u, s, n


def _with_cut_ends(u: np.ndarray, s: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Both cut ends tucked behind: a reed that would end between two spokes runs on to the inner face of the next."""
    for backward in (True, False):
        u, s, n = (each[::-1] for each in (u, s, n)) if not backward else (u, s, n)
        if n[STEPS] < 0:  # already inside: it simply stays there
            n = np.r_[np.full(STEPS, n[STEPS]), n[STEPS:]]
        else:
            more = round(TUCKED * 2 * STEPS)
            back = np.arange(more, 0, -1)
            fade = np.sin(np.pi / 2 * np.clip(back / STEPS, 0, 1))
            u = np.r_[u[0] - (u[1] - u[0]) * back, u]
            s = np.r_[np.full(more, s[0]), s]
            n = np.r_[-1.15 * fade, n]
        u, s, n = (each[::-1] for each in (u, s, n)) if not backward else (u, s, n)
    return u, s, n


def _over_groups(laid: Laid, band: BandLaid, u: np.ndarray, s: np.ndarray, n: np.ndarray):
    """Samples dense enough for wide groups, and flat over the reeds of a group that lie side by side.

    u, s, n (k,), n still from -1 inside to 1 outside.
    """
    spokes = laid.design.spokes
    base, group, ends = band.band.where == "base", band.band.group, band.ends
    thick, wide = max(band.stand_mm), sum(band.stand_mm)
    sizes = np.array(group_sizes(ends, group))
    if group > 1:
        fine = np.linspace(0, len(u) - 1, (len(u) - 1) * min(group, 8) + 1)
        at = np.arange(len(u))
        u, s, n = np.interp(fine, at, u), smooth_through(at, s, fine), smooth_through(at, n, fine)
    if group == 1 and len(band.stand_mm) == 1 and not (base and spokes.inserted):
        return u, s, n
    edges = np.r_[0, np.cumsum(sizes)]
    which = np.clip(np.searchsorted(edges, u % ends, side="right") - 1, 0, len(sizes) - 1)
    form = laid.design.form
    radius = form.base_radius(s) if base else form.radius(np.maximum(s, 0))
    around = 2 * np.pi * radius / ends  # mm for each end
    half_room = sizes[which] / 2 * around
    off = np.abs(u % ends - (edges[which] + edges[which + 1]) / 2) * around
    half_wide = (sizes[which] * wide - thick) / 2
    if not base:  # up the wall the ends of a group stand as far apart as all others
        half_wide = (sizes[which] - 1) / 2 * around + (wide - thick) / 2
    elif spokes.inserted:  # where side spokes lie on both sides of a stick
        half_wide += np.where(s > laid.design.form.base_mm / 2 - spokes.insertion_mm, spokes.reed.diameter_mm, 0.0)
    # However narrow the gap between two groups, a weaver needs room to pass through it.
    room = np.maximum(half_room - half_wide, CROSSING * thick)
    part = np.clip((off - half_room) / room + 1, 0, 1)
    flat = np.cos(np.pi / 2 * part)
    return u, s, np.sign(n) * np.maximum(np.abs(n), flat)


def border_curves(laid: Laid, run: Run) -> list[Curve]:
    """An end of a spoke from the last row on: a rounded bend out of the upright, then along the border."""
    u, s, n = _along(run)
    n = n * laid.design.border_reed_mm
    spacing = laid.border_spacing_mm
    if laid.design.border.is_open:
        deep = np.linspace(0, INSERTION_MM, math.ceil(INSERTION_MM / STICK_MM) + 1)[1:]
        u, s, n = np.r_[u, np.full_like(deep, u[-1])], np.r_[s, s[-1] - deep], np.r_[n, np.zeros_like(deep)]
    else:
        u, s, n = _bent_over(u, s, n, run.thick_mm)
        s, n = _tip(laid, u, s, n, run.thick_mm)
    out = []
    reeds = laid.design.top_reeds
    standing = beside(laid.side[-1].stand_mm if laid.side else [reed.diameter_mm for reed, _ in reeds])
    lie = beside([reed.diameter_mm for reed, _ in reeds])
    # Side by side as they stand and one above the other as they lie: always square to the way they run.
    across, up = np.gradient(u) * spacing, np.gradient(s)
    long = np.maximum(np.hypot(across, up), 1e-9)
    right, down = (up / long, across / long) if not laid.design.border.is_open else (np.ones_like(u), np.zeros_like(u))
    rising = np.clip(1 - (u - u[0]) / 0.5, 0.0, 1.0)
    for k, (reed, colour) in enumerate(reeds):
        name = f"border end {run.weaver + 1}" + of_end(laid, k)
        at = u + (lie[k] * right + (standing[k] - lie[k]) * rising) / spacing
        out.append(Curve(name, "border", "side", colour, reed.diameter_mm, at, s - lie[k] * down, n, end=run.weaver))
    return out


def _bent_over(u: np.ndarray, s: np.ndarray, n: np.ndarray, thick: float):
    """The first half space of a border end as a curve of Bezier's that leaves the spoke upright."""
    join = int(np.searchsorted(u, u[0] + 0.45))
    slope = (s[join + 1] - s[join]) / (u[join + 1] - u[join])
    t = np.linspace(0, 1, 3 * join + 1)[:-1]
    b0, b1, b2, b3 = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
    reach = 0.28  # spaces: how long the curve's last arm is
    start = (
        (b0 + b1) * u[0] + b2 * (u[join] - reach) + b3 * u[join],
        b0 * s[0] + b1 * (s[0] + 0.8 * thick) + b2 * (s[join] - reach * slope) + b3 * s[join],
        b2 * n[join] * 0.5 + b3 * n[join],
    )
    return tuple(np.r_[new, old[join:]] for new, old in zip(start, (u, s, n), strict=True))


def _tip(laid: Laid, u: np.ndarray, s: np.ndarray, n: np.ndarray, thick: float) -> tuple[np.ndarray, np.ndarray]:
    """(s, n) of a border end whose last half space rests where its row says: against the next spoke, or pushed down."""
    part = np.clip((u - (u[-1] - 0.5)) * 2, 0, 1)
    face = n[int(np.argmax(part > 0)) - 1]
    if laid.design.border.rows[-1].finish == "down":
        # Down between the strands of its own face and the wall.
        return s - 2.2 * thick * part**2, np.where(part > 0, face * (1 - 0.45 * part), n)
    return s - 0.5 * thick * part**2, np.where(part > 0, face * (1 + 0.1 * part), n)


# What stands ---------------------------------------------------------------------------------------------------


def spoke_curves(laid: Laid) -> list[Curve]:
    """Standing spokes to the last row, reeds of one end side by side: from the base's edge, or where pushed in."""
    spokes, out = laid.design.spokes, []
    for end, (tier, numbers) in enumerate(born(laid, "side")):
        foot = max(0.0, laid.tier_start_mm("side", tier) - spokes.insertion_mm) if tier else 0.0
        s = np.linspace(foot, laid.top_s, max(2, math.ceil((laid.top_s - foot) / STICK_MM) + 1))
        around = 2 * np.pi * np.maximum(laid.design.form.radius(s), 1.0) / laid.design.top_ends
        middle = along_spoke(laid, "side", tier, numbers, s)
        pushed_in = laid.design.tiers("side")[tier].first if tier else -1
        for k in range(spokes.per_end):
            u = middle + aside_mm(laid, k, s) / around
            name = f"spoke {end + 1}" + of_end(laid, k)
            level = np.zeros_like(s)
            of = {"end": end, "band": pushed_in}
            out.append(Curve(name, "spoke", "side", spokes.colour, spokes.reed.diameter_mm, u, s, level, **of))
    return out


def of_end(laid: Laid, reed: int) -> str:
    """What tells reed number `reed` of an end from the others in a name: nothing where there is only one."""
    per_end = laid.design.spokes.per_end
    return ", bye-spoke" if reed == per_end else f", reed {reed + 1}" if per_end > 1 else ""


def by_beginning(standing: list[Curve]) -> tuple[list[Curve], list[Curve]]:
    """Spokes that stand from the base's edge on, and those that are pushed in further up."""
    return [each for each in standing if each.band < 0], [each for each in standing if each.band >= 0]


def bye_curves(laid: Laid) -> list[Curve]:
    """Bye-spokes, each beside the reeds of its end, from where it is pushed in to the last row."""
    bye, out = laid.design.bye, []
    if bye is None:
        return out
    begins = bye_starts_mm(laid)
    s = np.linspace(max(0.0, begins - bye.insertion_mm), laid.top_s, max(2, math.ceil(laid.top_s / STICK_MM) + 1))
    around = 2 * np.pi * np.maximum(laid.design.form.radius(s), 1.0) / laid.design.top_ends
    for end, (tier, numbers) in enumerate(born(laid, "side")):
        u = along_spoke(laid, "side", tier, numbers, s) + aside_mm(laid, laid.design.spokes.per_end, s) / around
        name = f"spoke {end + 1}" + of_end(laid, laid.design.spokes.per_end)
        of = {"end": end, "band": bye.first}
        out.append(Curve(name, "bye-spoke", "side", bye.colour, bye.reed.diameter_mm, u, s, np.zeros_like(s), **of))
    return out


def stick_curves(laid: Laid) -> list[Curve]:
    """Base sticks from the middle of the cross to the base's edge, one for every reed of every end.

    Those that are split in the middle begin where their slit ends: see `split_curves`.
    """
    return list(_stick_curves(_SameBase(laid)))


@functools.lru_cache(maxsize=4)
def _stick_curves(same: _SameBase) -> tuple[Curve, ...]:
    laid = same.laid
    spokes, out = laid.design.spokes, []
    pierced, thick = laid.design.base.kind == "pierced cross", laid.design.spokes.stick_reed.diameter_mm
    split = below(laid.design) if pierced else np.zeros(spokes.ends_at_base, bool)
    for name, end, first, along, knots in _sticks(laid):
        begins = slit_mm(laid) if first is not None and split[first] else 0.0
        at = np.linspace(begins, along[-1], max(2, math.ceil(along[-1] / STICK_MM) + 1))
        u, s = _on_stick(laid, end, along, knots, at)
        if laid.design.base.sets:
            n = np.zeros_like(s) if first is None else laced_n(laid, first, at)
        else:
            n = across_cross(laid, np.full_like(s, end + 0.5), s)
        out.append(Curve(name, "stick", "base", spokes.colour, thick, u, s, n, end=end))
    return tuple(out)


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
    begun = born(laid, "base")
    for i, knots in enumerate(base_sticks(laid)):
        end, k = divmod(i, beside)
        tier, numbers = begun[end]
        if laid.design.base.kind != "laid cross" and tier == 0:  # straight as long as it holds others
            knots = np.insert(knots, 1, 0.1 * knots[0] + 0.9 * knots[1], axis=0)
        along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(knots, axis=0).T))]
        name = f"base stick {end + 1}" + (f", reed {k + 1}" if beside > 1 else "")
        yield name, end, None if tier else numbers[0], along, knots


def _on_stick(laid: Laid, end: int, along, knots, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    x, y = smooth_through(along, knots.T, at)
    return _round(laid, x, y, end + 0.5)


def inserted_curves(laid: Laid) -> list[Curve]:
    """Side spokes that are pushed in: the part of each that lies beside a base stick, from its slype to the edge."""
    spokes = laid.design.spokes
    if not spokes.inserted:
        return []
    sticks = stick_curves(laid)
    edge = float(laid.design.form.radius(0.0))
    start = max(edge - spokes.insertion_mm, laid.cross_mm)
    taken: dict[tuple[int, int], int] = {}
    out = []
    for end in range(laid.design.foot_ends):
        own = (end + 0.5) / spokes.ends * spokes.ends_at_base
        stick = int(own)
        side = 1 if own > stick + 0.5 or (own == stick + 0.5 and end % 2) else -1
        order = taken[stick, side] = taken.get((stick, side), -1) + 1
        off = side * ((spokes.stick_reed.diameter_mm + spokes.reed.diameter_mm) / 2 + order * spokes.reed.diameter_mm)
        for k in range(spokes.per_end):
            beside = off + side * k * spokes.reed.diameter_mm
            s = np.linspace(start, edge, max(3, math.ceil((edge - start) / STICK_MM) + 1))
            along = np.interp(s, sticks[stick].s, sticks[stick].u)
            around = 2 * np.pi * s / spokes.ends_at_base
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


# In space ------------------------------------------------------------------------------------------------------


def tubes(laid: Laid, curves: list[Curve] | None = None, when: When | None = None) -> list[Tube]:
    """Every reed of the basket in space, in a steady order: sticks, spokes, weavers, border.

    `curves` weavers and border ends to use in place of `stacked_curves`; `when` gives every tube its times.
    """
    curves = stacked_curves(laid) if curves is None else curves
    sticks, inner = stick_curves(laid), inserted_curves(laid)
    first, later = by_beginning(spoke_curves(laid))
    out = []
    if laid.design.spokes.inserted:
        out += [tube(laid, stick, when) for stick in sticks]
    if laid.design.base.is_board:  # every spoke comes straight up through its hole
        out += [tube(laid, spoke, when) for spoke in first]
        inner, sticks = [], []
    out += [tube(laid, half, when) for half in split_curves(laid)]
    starts = inner if laid.design.spokes.inserted else sticks
    if starts or laid.design.base.is_board:
        out += [tube(laid, spoke, when) for spoke in later]
    for spoke, start in zip(first if starts else [], starts, strict=True):
        low, high = (np.c_[in_space(laid, each), _times(each, when)] for each in (start, spoke))
        out.append(_as_tube(spoke, turned_up(laid, low, high, spoke.thick_mm), when))
    out += [tube(laid, each, when) for each in bye_curves(laid)]
    for role in ("weaver", "border"):
        out += [tube(laid, curve, when) for curve in curves if curve.role == role]
    return out


def tube(laid: Laid, curve: Curve, when: When | None = None) -> Tube:
    """One reed in space, with its times where `when` is given."""
    return _as_tube(curve, np.c_[in_space(laid, curve), _times(curve, when)], when)


def _times(curve: Curve, when: When | None) -> np.ndarray:
    return np.zeros(len(curve.u)) if when is None else when(curve)


def _as_tube(curve: Curve, points: np.ndarray, when: When | None) -> Tube:
    """A tube through `points` (k, 4): mm, and times in the last column."""
    dense = _dense(points, curve.thick_mm)
    place = (curve.band, curve.block, curve.weaver, curve.strand, curve.piece, curve.end)
    times = None if when is None else dense[:, 3]
    return Tube(curve.name, curve.role, curve.colour, curve.thick_mm, dense[:, :3], times, *place)


def in_space(laid: Laid, curve: Curve) -> np.ndarray:
    """Points (k, 3) mm of a curve: laid on the base's plane or on the wall, mirrored for a left hand."""
    form = laid.design.form
    if curve.where == "base":
        out, z = 0.0, -curve.n
        x, y, nx, ny = form.base_place(laid.design.turn("base", curve.u), curve.s)
    elif curve.where == "foot":
        out, z = curve.n, curve.s
        x, y, nx, ny = form.place(laid.design.turn("side", curve.u), np.zeros_like(curve.s))
    elif laid.is_mat:  # there is no wall: its border lies flat round the last row
        out, z = 0.0, -curve.n
        edge = max(laid.base_reached_mm, form.base_width_mm) / 2
        x, y, nx, ny = form.base_place(laid.design.turn("side", curve.u), edge + curve.s)
    else:
        s = np.maximum(curve.s, 0.0)
        step = 1.0  # mm either way: the wall is a fine polygon, and its lean must not jump at a corner of it
        rise = form.height(s + step) - form.height(np.maximum(s - step, 0))
        lean = form.radius(s + step) - form.radius(np.maximum(s - step, 0))
        far = np.hypot(rise, lean)
        out = curve.n * rise / far
        z = form.height(s) - curve.n * lean / far
        x, y, nx, ny = form.place(laid.design.turn("side", curve.u), s)
    hand = 1.0 if laid.design.hand == "left" else -1.0
    return np.stack([hand * (x + out * nx), y + out * ny, z], axis=1)


def turned_up(laid: Laid, base: np.ndarray, wall: np.ndarray, thick: float) -> np.ndarray:
    """One line of points (k, 3) from two that meet at the base's edge, the corner rounded; times in a fourth column."""
    reach = TURN * thick
    corner = wall[0]
    low = base[np.hypot(*(base - corner)[:, :2].T) > reach]
    low = low[np.hypot(low[:, 0], low[:, 1]) < np.hypot(*corner[:2]) - reach / 2]  # a base that came out too wide
    high = wall[np.linalg.norm((wall - corner)[:, :3], axis=1) > reach]
    if len(low) < 2 or len(high) < 2:
        return np.concatenate([base[:-1], wall])
    t = np.linspace(0, 1, 9)[:, None]
    start = corner + (low[-1] - corner) / np.linalg.norm((low[-1] - corner)[:3]) * reach
    end = corner + (high[0] - corner) / np.linalg.norm((high[0] - corner)[:3]) * reach
    bend = (1 - t) ** 2 * start + 2 * t * (1 - t) * corner + t**2 * end
    bend[:, 3:] = corner[3:]  # it is bent as it is turned up
    return np.concatenate([low, bend, high])


def _dense(points: np.ndarray, thick: float) -> np.ndarray:
    """A smooth line (Catmull and Rom 1974, by length) through points (k, 4), no chord longer than CHORD thicknesses.

    The last column holds times. They run on evenly within a moment; where one moment ends, the next begins at once.
    """
    hop = np.linalg.norm(np.diff(points[:, :3], axis=0), axis=1)
    points = points[np.r_[True, hop > 1e-6]]
    if len(points) < 3:
        return points
    points, times = points[:, :3], points[:, 3]
    hop = np.linalg.norm(np.diff(points, axis=0), axis=1)
    slope = np.empty_like(points)
    ratio = (hop[:-1] / (hop[:-1] + hop[1:]))[:, None]
    step = np.diff(points, axis=0) / hop[:, None]
    slope[1:-1] = step[:-1] * (1 - ratio) + step[1:] * ratio
    slope[0], slope[-1] = step[0], step[-1]
    many = np.maximum(1, np.ceil(hop / (CHORD * thick) - 1e-9).astype(int))
    i = np.repeat(np.arange(len(hop)), many)
    t = ((np.arange(len(i)) - np.repeat(np.cumsum(many) - many, many)) / many[i])[:, None]
    h = hop[i][:, None]
    inner = (
        points[i] * (1 + 2 * t) * (1 - t) ** 2
        + points[i + 1] * t**2 * (3 - 2 * t)
        + h * (slope[i] * t * (1 - t) ** 2 - slope[i + 1] * t**2 * (1 - t))
    )
    later = np.where(np.ceil(times[i]) == np.ceil(times[i + 1]), times[i + 1] - times[i], 0.0)
    between = np.where((t[:, 0] > 0) & (later == 0), times[i + 1], times[i] + t[:, 0] * later)
    return np.c_[np.concatenate([inner, points[-1:]]), np.r_[between, times[-1]]]
