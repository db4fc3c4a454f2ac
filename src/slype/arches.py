"""Handles in space: cores, wrapping strands and twisted rods as tubes, with their ends beside the spokes. Level 6.

The arch is the half ellipse that `handles` reckons, upright above the border; its feet go straight down through the
border and then along the wall, each beside its spoke. A wrapping strand winds round the hull of the cores turn by turn;
twisted rods are helices round the arch. What is laid along a core under the turns is covered, and left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from .fitted import HandleLaid, lay_handles
from .handles import ENDS_MM, girth_mm
from .lay import Laid
from .tubes import CHORD, Curve, Tube, in_space

SETTLED_MM = 15.0  # below the border, where a foot has come to lie beside its spoke
ROUND = 28  # chords of one turn of a wrapping strand
FINE = 4001  # points of an arch from which places along it are read


@dataclass(frozen=True, eq=False)
class _Arch:
    """The middle line of one handle: `along` (k,) mm from one foot on the border to the other, `points` (k, 3),
    `out` (k, 3) away from the basket within its plane, `aside` (3,) square to that plane."""

    along: np.ndarray
    points: np.ndarray
    out: np.ndarray
    aside: np.ndarray

    def off(self, at: np.ndarray, out: np.ndarray, aside: np.ndarray) -> np.ndarray:
        """Points (k, 3) `at` mm along it, `out` and `aside` mm off it; below its feet it goes straight down."""
        points, away = (
            np.stack([np.interp(at, self.along, each[:, axis]) for axis in range(3)], axis=1)
            for each in (self.points, self.out)
        )
        points[:, 2] += np.minimum(at, 0.0) - np.maximum(at - self.along[-1], 0.0)
        away /= np.linalg.norm(away, axis=1)[:, None]
        return points + out[:, None] * away + aside[:, None] * self.aside


@dataclass(frozen=True, eq=False)
class _Foot:
    """One foot: the `spoke` it stands beside, where it leaves the border (`u` ends round), and on which `side` of the
    spoke, +1 onward, its first reed lies."""

    spoke: float
    u: float
    side: int


def handle_tubes(laid: Laid) -> list[Tube]:
    """Every reed of every handle of the basket, by name: "handle 1, core", "handle 2, arch 1, rod 3"."""
    mirror = [1.0 if laid.design.hand == "right" else -1.0, 1.0, 1.0]
    right = replace(laid, design=replace(laid.design, hand="right"))
    out = []
    for each in lay_handles(laid):
        for k, (spoke, _) in enumerate(each.feet(laid.design.spokes.ends)):
            name = each.place + (f", arch {k + 1}" if each.handle.count > 1 else "")
            for part, thick, points in _reeds(right, each, spoke):
                colour = each.handle.colour
                out.append(Tube(f"{name}, {part}", "handle", colour, thick, points * mirror))
    return out


def _reeds(laid: Laid, each: HandleLaid, spoke: int):
    """(what it is called, thickness, points) of every reed of one arch."""
    handle = each.handle
    feet = _feet(laid, each, spoke)
    arch = _arch(laid, each, feet)
    cores = 0 if handle.core is None else handle.cores
    stand = [] if handle.core is None else [handle.core.diameter_mm] * cores
    if each.twist is not None:
        stand += [handle.wrap.diameter_mm] * each.twist.rods
    rows = [_row(laid, foot, stand) for foot in feet]
    for k in range(cores):
        out, aside = _in_bundle(cores, handle.core.diameter_mm)[k]
        name = "core" if cores == 1 else f"core {k + 1}"
        path = _through(laid, each, arch, feet, rows, k, each.depth_mm, stand[k], math.inf, (out, aside))
        yield name, stand[k], path
    if each.twist is not None:
        deep = each.depth_mm if handle.core is None else min(ENDS_MM, each.depth_mm)
        for k in range(each.twist.rods):
            turn = 2 * math.pi * k / each.twist.rods
            start = each.twist.radius_mm * math.cos(turn), each.twist.radius_mm * math.sin(turn)
            thick = handle.wrap.diameter_mm
            yield (
                f"rod {k + 1}", thick,
                _through(laid, each, arch, feet, rows, cores + k, deep, thick, each.twist.turn_mm, start),
            )  # fmt: skip
    elif handle.wrap is not None:
        for k in range(handle.strands):
            name = "wrapping strand" + (f" {k + 1}" if handle.strands > 1 else "")
            yield name, handle.wrap.diameter_mm, _wound(each, arch, k)


# Where it stands -----------------------------------------------------------------------------------------------


def _feet(laid: Laid, each: HandleLaid, spoke: int) -> tuple[_Foot, _Foot]:
    """Both feet, as far apart on the ring of spokes as the handle says, each on the side of its spoke that is nearest
    to that."""
    spokes = laid.design.spokes
    beside = (spokes.per_end * spokes.reed.diameter_mm + each.handle.thickest_mm) / 2 / laid.border_spacing_mm
    ends = np.array([spoke + 0.5, spoke + 0.5 + each.spaces])
    sides = ((1, 1), (-1, 1), (1, -1))
    first, second = min(
        sides, key=lambda both: round(abs(_apart(laid, *(ends + np.array(both) * beside)) - each.across_mm), 6)
    )
    middle, half = (ends + np.array([first, second]) * beside) @ np.array([[0.5, -0.5], [0.5, 0.5]])
    # Spokes stand where they stand: the foot leans out of the wall by what is still missing, less than half a space.
    tried = half + np.linspace(-1.5, 1.5, 3001)
    tried = tried[tried > 0]
    wrong = np.round(np.abs(_apart(laid, middle - tried, middle + tried) - each.across_mm), 3)
    best = float(tried[np.lexsort((np.abs(tried - half), wrong))[0]])
    return _Foot(ends[0], middle - best, first), _Foot(ends[1], middle + best, second)


def _apart(laid: Laid, first, second):
    """mm from place to place on the ring of spokes below the border."""
    return np.linalg.norm(_on_wall(laid, second, laid.top_s) - _on_wall(laid, first, laid.top_s), axis=-1).squeeze()


def _on_wall(laid: Laid, u, s) -> np.ndarray:
    """Points (k, 3) on the wall, among its spokes."""
    u, s = np.broadcast_arrays(np.atleast_1d(np.asarray(u, float)), s)
    return in_space(laid, Curve("", "", "side", "", 0.0, u, s, np.zeros_like(s)))


def _arch(laid: Laid, each: HandleLaid, feet: tuple[_Foot, _Foot]) -> _Arch:
    ends = _on_wall(laid, [foot.u for foot in feet], laid.top_s)
    ends[:, 2] += laid.border_height_mm
    middle, across = ends.mean(axis=0), ends[1] - ends[0]
    across /= np.linalg.norm(across)
    turn = np.linspace(math.pi, 0.0, FINE)[:, None]
    up = np.array([0.0, 0.0, 1.0])
    half, high = each.across_mm / 2, each.height_mm
    points = middle + half * np.cos(turn) * across + high * np.sin(turn) * up
    out = high * np.cos(turn) * across + half * np.sin(turn) * up
    out /= np.linalg.norm(out, axis=1)[:, None]
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    return _Arch(along, points, out, np.cross(across, up))


def _in_bundle(many: int, thick: float) -> list[tuple[float, float]]:
    """(out, aside) mm of the cores of an arch: one in the middle, or each beside the next in a ring."""
    if many == 1:
        return [(0.0, 0.0)]
    ring = thick / 2 / math.sin(math.pi / many)
    turns = [2 * math.pi * k / many + (math.pi / 2 if many == 2 else 0.0) for k in range(many)]
    return [(ring * math.cos(turn), ring * math.sin(turn)) for turn in turns]


def _row(laid: Laid, foot: _Foot, thick: list[float]) -> list[float]:
    """How far from the middle of its spoke each reed of a foot stands, mm onward: by turns on one side and the other,
    as many as fit on the first side there when they are no more than two."""
    spokes = laid.design.spokes
    taken = {side: spokes.per_end * spokes.reed.diameter_mm / 2 for side in (-1, 1)}
    out = []
    for k, each in enumerate(thick):
        side = foot.side if len(thick) < 3 else foot.side * (1 if k % 2 == 0 else -1)
        out.append(side * (taken[side] + each / 2))
        taken[side] += each
    return out


# Reeds ---------------------------------------------------------------------------------------------------------


def _through(laid, each, arch: _Arch, feet, rows, number: int, deep: float, thick: float, turn_mm: float, start):
    """Points of a reed that stands `deep` in both feet and goes over the arch, winding round once in `turn_mm`."""
    radius, phase = math.hypot(*start), math.atan2(start[1], start[0])
    slope = math.hypot(1.0, 2 * math.pi * radius / turn_mm)
    at = np.linspace(0.0, arch.along[-1], math.ceil(arch.along[-1] * slope / (CHORD * thick)) + 1)
    angle = phase + 2 * math.pi * at / turn_mm
    over = arch.off(at, radius * np.cos(angle), radius * np.sin(angle))
    down = np.linspace(0.0, deep, max(2, math.ceil(deep / (CHORD * thick)) + 1))[1:]
    first = _leg(laid, feet[0], rows[0][number], down, over[0] - arch.points[0])
    last = _leg(laid, feet[1], rows[1][number], down, over[-1] - arch.points[-1])
    return np.concatenate([first[::-1], over, last])


def _leg(laid: Laid, foot: _Foot, beside: float, down: np.ndarray, off: np.ndarray) -> np.ndarray:
    """Points of a reed going `down` (k,) mm from the top of the border: straight through it, then along the wall.

    It leaves the arch `off` (3,) mm from the middle line and comes to stand `beside` mm from the middle of its spoke.
    """
    s = np.maximum(laid.top_s - np.maximum(down - laid.border_height_mm, 0.0), 0.0)
    share = np.clip(down / (laid.border_height_mm + SETTLED_MM), 0.0, 1.0)
    ease = share * share * (3 - 2 * share)
    around = 2 * math.pi * laid.design.form.radius(s) / laid.design.spokes.ends
    points = _on_wall(laid, foot.u * (1 - ease) + (foot.spoke + beside / around) * ease, s)
    points[:, 2] += np.maximum(laid.border_height_mm - down, 0.0)
    return points + off * (1 - ease)[:, None]


def _wound(each: HandleLaid, arch: _Arch, strand: int) -> np.ndarray:
    """Points of one wrapping strand: `turns` times round the hull of the cores, from foot to foot."""
    handle = each.handle
    core, wrap = handle.core.diameter_mm, handle.wrap.diameter_mm
    girth = girth_mm(handle.cores, core, wrap)
    share = np.linspace(0.0, each.turns, each.turns * ROUND + 1)
    out, aside = _round_hull(handle.cores, core, (core + wrap) / 2, (share % 1.0) * girth)
    pitch = arch.along[-1] / each.turns
    at = share * pitch + (strand - (handle.strands - 1) / 2) * pitch / handle.strands
    return arch.off(at, out, aside)


def _round_hull(cores: int, core: float, reach: float, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(out, aside) mm of places `at` mm round the hull of the cores, `reach` mm off their axes."""
    arc = 2 * math.pi / cores * reach
    straight = core if cores > 1 else 0.0
    middles = np.array(_in_bundle(cores, core))
    which = np.minimum((at // (arc + straight)).astype(int), cores - 1)
    part = at - which * (arc + straight)
    first = np.arctan2(middles[:, 1], middles[:, 0]) - math.pi / cores if cores > 1 else np.zeros(1)
    angle = first[which] + np.minimum(part, arc) / reach
    on = np.maximum(part - arc, 0.0)
    out = middles[which, 0] + reach * np.cos(angle) - on * np.sin(angle)
    return out, middles[which, 1] + reach * np.sin(angle) + on * np.cos(angle)
