"""Handles in space: cores, wrapping strands and twisted rods as tubes, with their ends beside the spokes.

The arch is the half ellipse that `handles` reckons, upright above the border; its feet go straight down through the
border and then along the wall, each beside its spoke. A wrapping strand winds round the hull of the cores turn by turn;
twisted rods are helices round the arch. What is laid along a core under the turns is covered, and left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..form.handles import girth_mm, in_bundle, inside_mm
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.values import Laid
from ..order.kinds import Moments
from ..order.times import of_arch
from ..surface.curve import Tube
from .footholds import SETTLED_MM, Foothold, Stand, feet, on_wall, stands
from .tubes import CHORD

ROUND = 18  # chords of one turn of a wrapping strand
LEAST_INNER = 0.15  # an arch that bends within its own thickness keeps so much of its length on its inner side
FINE = 4001  # points of an arch from which places along it are read


@dataclass(frozen=True, eq=False)
class Arch:
    """The middle line of one handle: `along` (k,) mm from one foot on the border to the other, `points` (k, 3),
    `out` (k, 3) away from the basket within its plane, `aside` (3,) square to that plane; `feet` (2, 3) where the
    ring of spokes would have its feet."""

    along: np.ndarray
    points: np.ndarray
    out: np.ndarray
    aside: np.ndarray
    feet: np.ndarray

    def off(self, at: np.ndarray, out: np.ndarray, aside: np.ndarray) -> np.ndarray:
        """Points (k, 3) `at` mm along it, `out` and `aside` mm off it; below its feet it goes straight down."""
        points, away = (
            np.stack([np.interp(at, self.along, each[:, axis]) for axis in range(3)], axis=1)
            for each in (self.points, self.out)
        )
        points[:, 2] += np.minimum(at, 0.0) - np.maximum(at - self.along[-1], 0.0)
        away /= np.linalg.norm(away, axis=1)[:, None]
        return points + out[:, None] * away + aside[:, None] * self.aside


def handle_tubes(laid: Laid, order: Moments | None = None) -> list[Tube]:
    """Every reed of every handle of the basket, by name: "handle 1, core", "handle 2, arch 1, rod 3"; with its times
    where an `order` of work is given."""
    mirror = [1.0 if laid.design.hand == "right" else -1.0, 1.0, 1.0]
    right = replace(laid, design=replace(laid.design, hand="right"))
    out = []
    for each in lay_handles(laid):
        for k, (spoke, _) in enumerate(each.feet(laid.design.top_ends)):
            name = each.place + (f", arch {k + 1}" if each.handle.count > 1 else "")
            for part, thick, points, along in _reeds(right, each, spoke):
                when = None if order is None else of_arch(order.arches[each.index, k], part.split()[0], along)
                out.append(Tube(f"{name}, {part}", "handle", each.handle.colour, thick, points * mirror, when))
    return out


def _reeds(laid: Laid, each: HandleLaid, spoke: int) -> Iterator[tuple[str, float, np.ndarray, np.ndarray]]:
    """(what it is called, thickness, points, how far along as `times.of_arch` has it) of every reed of one
    arch."""
    handle, both = each.handle, feet(laid, each, spoke)
    arch = _arch(laid, each, both)
    for (name, start), *row in zip(_starts(each), *(stands(laid, foot, each) for foot in both), strict=True):
        yield name, row[0].thick_mm, *_through(laid, arch, both, row, start)
    if each.twist is None and handle.wrap is not None:
        for k in range(handle.strands):
            name = "wrapping strand" + (f" {k + 1}" if handle.strands > 1 else "")
            points = wound(each, arch, k)
            yield name, handle.wrap.diameter_mm, points, np.linspace(1.0, 2.0, len(points))


def _starts(each: HandleLaid) -> list[tuple[str, tuple[float, float, float]]]:
    """(name, (mm out of the arch's middle line, mm aside of it, mm in which it winds round once)) of what stands in the
    wall, in the order of `footholds.stands`."""
    handle, out = each.handle, []
    if handle.core is not None:
        for k, place in enumerate(in_bundle(handle.cores, handle.core.diameter_mm)):
            out.append((f"core {k + 1}" if handle.cores > 1 else "core", (*place, math.inf)))
    if each.twist is not None:
        for k in range(each.twist.rods):
            turn, radius = 2 * math.pi * k / each.twist.rods, each.twist.radius_mm
            out.append((f"rod {k + 1}", (radius * math.cos(turn), radius * math.sin(turn), each.twist.turn_mm)))
    return out


def _arch(laid: Laid, each: HandleLaid, both: tuple[Foothold, Foothold]) -> Arch:
    ends = on_wall(laid, [foot.u for foot in both], laid.top_s)
    ends[:, 2] += laid.border_height_mm
    return arch_over(ends, each.across_mm, each.height_mm)


def arch_over(ends: np.ndarray, across_mm: float, height_mm: float) -> Arch:
    """The half ellipse between `ends` (2, 3), so wide and so high."""
    middle, across = ends.mean(axis=0), ends[1] - ends[0]
    across /= np.linalg.norm(across)
    turn = np.linspace(math.pi, 0.0, FINE)[:, None]
    up = np.array([0.0, 0.0, 1.0])
    half, high = across_mm / 2, height_mm
    points = middle + half * np.cos(turn) * across + high * np.sin(turn) * up
    out = high * np.cos(turn) * across + half * np.sin(turn) * up
    out /= np.linalg.norm(out, axis=1)[:, None]
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    return Arch(along, points, out, np.cross(across, up), ends)


def _through(laid: Laid, arch: Arch, both: tuple[Foothold, Foothold], row: list[Stand], start):
    """(points, how far along) of a reed that stands in both feet and goes over the arch, from `start` on (see
    `_starts`)."""
    out, aside, turn_mm = start
    thick, radius, phase = row[0].thick_mm, math.hypot(out, aside), math.atan2(aside, out)
    slope = math.hypot(1.0, 2 * math.pi * radius / turn_mm)
    at = np.linspace(0.0, arch.along[-1], math.ceil(arch.along[-1] * slope / (CHORD * thick)) + 1)
    angle = phase + 2 * math.pi * at / turn_mm
    over = arch.off(at, radius * np.cos(angle), radius * np.sin(angle))
    first, last = (_leg(laid, both[end], row[end], over[k] - arch.feet[k]) for end, k in ((0, 0), (1, -1)))
    down, up = np.linspace(0.0, 1.0, len(first) + 1)[:-1], np.linspace(2.0, 3.0, len(last) + 1)[1:]
    along = np.concatenate([down, np.linspace(1.0, 2.0, len(over)), up])
    return np.concatenate([first[::-1], over, last]), along


def _leg(laid: Laid, foot: Foothold, stand: Stand, off: np.ndarray) -> np.ndarray:
    """Points of a reed going down from the top of the border, straight through it, then along the wall.

    It leaves the arch `off` (3,) mm from the ring of spokes, and comes to stand where it stands.
    """
    down = np.linspace(0.0, stand.deep_mm, max(2, math.ceil(stand.deep_mm / (CHORD * stand.thick_mm)) + 1))[1:]
    s = np.maximum(laid.top_s - np.maximum(down - laid.border_height_mm, 0.0), 0.0)
    share = np.clip(down / (laid.border_height_mm + SETTLED_MM), 0.0, 1.0)
    ease = share * share * (3 - 2 * share)
    around = 2 * math.pi * laid.design.form.radius(s) / laid.design.top_ends
    u = foot.u * (1 - ease) + (foot.spoke + stand.beside / around) * ease
    points = on_wall(laid, u, s, (stand.through + laid.bow_beside_mm("side", np.full(len(s), foot.spoke), s)) * ease)
    points[:, 2] += np.maximum(laid.border_height_mm - down, 0.0)
    return points + off * (1 - ease)[:, None]


def wound(each: HandleLaid, arch: Arch, strand: int) -> np.ndarray:
    """Points of one wrapping strand: `turns` times round the hull of the cores, from foot to foot."""
    handle = each.handle
    assert handle.core is not None and handle.wrap is not None, "a core that is wrapped"
    core, wrap = handle.core.diameter_mm, handle.wrap.diameter_mm
    girth = girth_mm(handle.cores, core, wrap)
    share = np.linspace(0.0, each.turns, each.turns * ROUND + 1)
    out, aside = _round_hull(handle.cores, core, (core + wrap) / 2, (share % 1.0) * girth)
    # Turns stand evenly on the inner side of the arch, where they touch.
    hop, bend = np.diff(arch.along), np.linalg.norm(np.diff(arch.out, axis=0), axis=1)
    inner = np.r_[0.0, np.cumsum(np.maximum(hop - inside_mm(handle.cores, core, wrap) * bend, LEAST_INNER * hop))]
    share = share + (strand - (handle.strands - 1) / 2) / handle.strands
    on = share / each.turns * inner[-1]
    at = np.interp(on, inner, arch.along) + np.minimum(on, 0.0) + np.maximum(on - inner[-1], 0.0)
    return arch.off(at, out, aside)


def _round_hull(cores: int, core: float, reach: float, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(out, aside) mm of places `at` mm round the hull of the cores, `reach` mm off their axes."""
    arc = 2 * math.pi / cores * reach
    straight = core if cores > 1 else 0.0
    middles = np.array(in_bundle(cores, core))
    which = np.minimum((at // (arc + straight)).astype(int), cores - 1)
    part = at - which * (arc + straight)
    first = np.arctan2(middles[:, 1], middles[:, 0]) - math.pi / cores if cores > 1 else np.zeros(1)
    angle = first[which] + np.minimum(part, arc) / reach
    on = np.maximum(part - arc, 0.0)
    out = middles[which, 0] + reach * np.cos(angle) - on * np.sin(angle)
    return out, middles[which, 1] + reach * np.sin(angle) + on * np.cos(angle)
