"""What is woven, as curves on the surface: weavers as the trace stacks them, and the ends of the border."""

from __future__ import annotations

import functools
import math
from dataclasses import replace

import numpy as np

from ..borders.rows import INSERTION_MM, Border, trimmed_on
from ..form.wall import cubic, slopes_through
from ..lay.limits import check_drawn
from ..lay.values import BandLaid, Laid
from .added_ends import among_last_ends, beside
from .curve import OWN, STICK_MM, Curve, Names, SameBase, end_named
from .opened import as_sticks_stand
from .runs import STEPS, Run, StartRuns, border_runs, start_runs
from .standing import across_cross

CROSSING = 1.2  # least room, in thicknesses of what stands, in which a weaver changes faces
RUNS_ON = 0.62  # how far, in spaces, the cut end of a weaver runs on behind the next spoke


def stacked_curves(laid: Laid, names: Names = OWN) -> list[Curve]:
    """Weavers of the base and the side and the ends of the border, as the trace stacks them; cut ends lie inside."""
    check_drawn(laid.design, ((band.index, band.rows, band.spaces, band.band.strands) for band in laid.bands))
    out = [*_base_weavers(SameBase(laid)), *_weavers(laid, "side", names)]
    ends = border_runs(laid)
    if laid.design.border.is_open and not laid.design.form.is_round:  # arches take more of their ends in some places
        each_own = [border_curves(laid, run, names.border_end) for run in ends]
        return out + [curve for nth in zip(*each_own, strict=True) for curve in nth]
    for k, each in enumerate(border_curves(laid, ends[0])):
        for run in ends:
            name = end_named(laid, names.border_end, run.weaver, k)
            upright = ("", run.weaver, k)
            out.append(replace(each, name=name, u=each.u + run.weaver, end=run.weaver, upright=upright))
    return out


@functools.lru_cache(maxsize=4)
def _base_weavers(same: SameBase) -> tuple[Curve, ...]:
    return tuple(_weavers(same.laid, "base"))


def _weavers(laid: Laid, where: str, names: Names = OWN) -> list[Curve]:
    runs = list(start_runs(laid, where))
    if not runs:
        return []
    u, s, n, first = _with_cut_ends(*_joined(runs))
    out, done = [], 0
    for each in runs:
        weavers = first[done : done + len(each.weavers) + 1]
        own = slice(weavers[0], weavers[-1])
        out += _of_start(laid, names, each, u[own], s[own], n[own], weavers - weavers[0])
        done += len(each.weavers)
    return out


def _of_start(laid: Laid, names: Names, runs: StartRuns, *lines: np.ndarray) -> list[Curve]:
    """Curves of all weavers of a start, and of the reeds that each is worked with, one above the other."""
    band, where = runs.start.band, runs.start.band.band.where
    u, s, n, first = _over_groups(laid, band, *lines)
    n = n * band.deep_mm / 2
    woven, u = u, as_sticks_stand(laid, band, u, among_last_ends(laid, where, band.tier, u, s), s)
    if where == "base":
        n = n + across_cross(laid, u, s)
    title = f"{names.band or f'band {band.index + 1}'}, " + (
        f"block {runs.start.number + 1}, " if len(band.segments) > 1 else ""
    )
    out, thick = [], band.band.reed.diameter_mm
    for weaver, a, b in zip(runs.weavers.tolist(), first.tolist(), first[1:].tolist(), strict=False):
        colours = band.colours[weaver]
        for k, colour in enumerate(colours):
            name = f"{title}weaver {weaver + 1}, " + (f"reed {k + 1}, " if len(colours) > 1 else "") + colour
            lift = (k - (len(colours) - 1) / 2) * thick
            line = (u[a:b], s[a:b] + lift, n[a:b])
            place = None if u is woven else woven[a:b]
            which = {"band": band.index, "block": runs.start.number, "weaver": weaver, "strand": k, "piece": 0}
            out.append(Curve(name, "weaver", where, colour, thick, *line, place=place, **which))
    return out


Lines = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
"""u, s, n (k,) of many lines one after another, and `first` (lines + 1,): where each begins, and how many points."""


def _joined(runs: list[StartRuns]) -> Lines:
    """The points of every weaver one after another, its pieces joined."""
    u, s, n = (np.concatenate([getattr(each, axis) for each in runs]) for axis in "usn")
    pieces = np.append(0, np.cumsum(np.concatenate([np.diff(each.first) for each in runs])))
    own = np.ones(u.shape, bool)
    own[:, -1] = False  # where a piece ends the next begins
    own[pieces[1:] - 1, -1] = True
    return u[own], s[own], n[own], pieces * STEPS + np.arange(len(pieces))


def _with_cut_ends(u: np.ndarray, s: np.ndarray, n: np.ndarray, first: np.ndarray) -> Lines:
    """Both cut ends tucked behind: a reed that would end between two spokes runs on to the inner face of the next."""
    more = round(RUNS_ON * 2 * STEPS)
    back = np.arange(more, 0, -1)  # steps from the tip
    fade = -1.15 * np.sin(np.pi / 2 * np.minimum(back / STEPS, 1.0))
    n, put, tips = n.copy(), [], []
    added = np.zeros(len(first), int)
    for tip, inward in ((first[1:] - 1, -1), (first[:-1], 1)):
        inside = n[tip + inward * STEPS] < 0
        for step in range(STEPS):  # already inside: it simply stays there
            n[(tip + inward * step)[inside]] = n[(tip + inward * STEPS)[inside]]
        out = tip[~inside]
        places = u[out, None] - (u[out + inward] - u[out])[:, None] * back[::inward]
        tips.append(np.stack([places.ravel(), np.repeat(s[out], more), np.tile(fade[::inward], len(out))]))
        put.append(np.repeat(out + (inward < 0), more))
        added[1:] += np.where(inside, 0, more)
    u, s, n = np.insert(np.stack([u, s, n]), np.concatenate(put), np.concatenate(tips, axis=1), axis=1)
    return u, s, n, first + np.cumsum(added)


def _over_groups(laid: Laid, band: BandLaid, u: np.ndarray, s: np.ndarray, n: np.ndarray, first: np.ndarray) -> Lines:
    """Samples dense enough for wide groups, and flat over the reeds of a group that lie side by side.

    n still from -1 inside to 1 outside.
    """
    spokes = laid.design.spokes
    base, group, ends = band.band.where == "base", band.band.group, band.ends
    thick, wide = max(band.stand_mm), sum(band.stand_mm)
    sizes = np.array(band.sizes)
    if group > 1:
        u, s, n, first = _finer(min(group, 8), u, s, n, first)
    if group == 1 and len(band.stand_mm) == 1 and not (base and spokes.inserted):
        return u, s, n, first
    edges = np.append(0, np.cumsum(sizes))
    which = np.minimum(np.searchsorted(edges, u % ends, side="right") - 1, len(sizes) - 1)
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
    return u, s, np.sign(n) * np.maximum(np.abs(n), flat), first


def _finer(times: int, u: np.ndarray, s: np.ndarray, n: np.ndarray, first: np.ndarray) -> Lines:
    """Lines with so many times as many steps between their points."""
    at = np.arange(len(u), dtype=float)
    last = first[1:] - 1
    many = np.full(len(u), times)
    many[last] = 1
    i = np.repeat(np.arange(len(u)), many)
    part = (np.arange(len(i)) - np.repeat(np.cumsum(many) - many, many)) / times
    before = np.minimum(i, len(u) - 2)
    fine = at[i] + part
    y = np.stack([s, n])
    s, n = cubic(at, y, slopes_through(at, y, first[:-1]), before, fine)
    return u[i] + (u[before + 1] - u[i]) * part, s, n, first * times - (times - 1) * np.arange(len(first))


# The border ---------------------------------------------------------------------------------------------------


def border_curves(laid: Laid, run: Run, called: str = OWN.border_end) -> list[Curve]:
    """An end of a spoke from the last row on: a rounded bend out of the upright, then along the border."""
    u, s, n = (np.append(each[:, :-1], each[-1, -1]) for each in (run.u, run.s, run.n))
    n = n * laid.design.border_reed_mm
    spacing = laid.border_spacing_mm
    if laid.design.border.is_open:
        pushed = max(laid.border.length_mm - _arch_mm(laid, u, s, n), LEAST_PUSHED * INSERTION_MM)
        deep = np.linspace(0, pushed, math.ceil(pushed / STICK_MM) + 1)[1:]
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
        name = end_named(laid, called, run.weaver, k)
        at = u + (lie[k] * right + (standing[k] - lie[k]) * rising) / spacing
        lies = s - lie[k] * down
        which = ("", run.weaver, k)
        out.append(Curve(name, "border", "side", colour, reed.diameter_mm, at, lies, n, end=run.weaver, upright=which))
    return out


LEAST_PUSHED = 0.5
"""Of the push-down that is reckoned, at least so much of an end of an open border goes down. It is cut for an arch into
the middle of a space and goes down beside the next spoke: with thin spokes far apart the arch takes a little more of it
(common practice, no source)."""


def _arch_mm(laid: Laid, u: np.ndarray, s: np.ndarray, n: np.ndarray) -> float:
    """The length of an arch of an open border."""
    form, turn = laid.design.form, laid.design.turn("side", u)
    if laid.is_mat:
        edge = laid.base_reached_mm / 2
        x, y, *_ = form.base_place(turn, edge + s)
        hops = np.diff([x, y, n])
    else:
        x, y, *_ = form.place(turn, s)
        hops = np.diff([x, y, form.height(s), n])
    return float(np.sqrt((hops * hops).sum(axis=0)).sum())


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
    """(s, n) of a border end whose last half space rests where its strokes say: come out on the side where the tips
    are trimmed, or pushed down on the face it ran along."""
    part = np.clip((u - (u[-1] - 0.5)) * 2, 0, 1)
    face = n[int(np.argmax(part > 0)) - 1]
    if laid.design.border.rows[-1].finish == "down":
        # Down between the strands of its own face and the wall.
        return s - 2.2 * thick * part**2, np.where(part > 0, face * (1 - 0.45 * part), n)
    rests = tip_side(laid.design.border) * 1.1 * abs(face)
    return s - 0.5 * thick * part**2, np.where(part > 0, face + (rests - face) * part * part * (3 - 2 * part), n)


def tip_side(border: Border) -> float:
    """1 where the tips of a closed border rest outside, -1 inside."""
    return 1.0 if trimmed_on(border) == "outside" else -1.0


TIP_SPACES, TIP_POINTS, TIP_RUN, TIP_GOES_ON = 0.35, 10, 3, 0.7
"""How far a tip shows past the space it comes out in, in spaces (common practice, no source), its points, those of the
end before it from which its run is read, and how much of that run it goes on with: the rest is nipped."""


def with_tip(laid: Laid, u: np.ndarray, s: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A border end at rest, which ends in the space past its last spoke, with the tip that comes out of that space."""
    border, thick = laid.design.border, laid.design.border_reed_mm
    t = np.linspace(0, 1, TIP_POINTS + 1)[1:]
    side = tip_side(border)
    down = 2.0 if border.rows[-1].finish == "down" else 0.4
    # It leaves its way without a corner: as a curve of Hermite's that goes on nearly as the end came.
    before = min(TIP_RUN, len(u) - 1)
    share = TIP_GOES_ON * TIP_SPACES / (u[-1] - u[-1 - before])
    run = share * np.array([s[-1] - s[-1 - before], n[-1] - n[-1 - before]])
    to = np.array([-down * thick, side * 1.1 * thick - n[-1]])
    tip_s, tip_n = np.outer(run, t * (1 - t) ** 2) + np.outer(to, t * t * (2 - t))
    more = u[-1] + TIP_SPACES * t, s[-1] + tip_s, n[-1] + tip_n
    u, s, n = (np.concatenate(both) for both in zip((u, s, n), more, strict=True))
    return u, s, n
