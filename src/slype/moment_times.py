"""When every point of every reed is laid, and what stands in its place before. Level 6.

Times are moments done (see `moments`): a point laid a third of the way through moment i has time i + 1/3, and is drawn
from then on. A weaver's cut ends are laid as it is set in and ended.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from .curves import STICK_MM, Curve, of_end
from .lay import Laid
from .moment_kinds import ACTS, Covered, Moments, Other
from .opening import aside_mm

LEAST = 1e-3
"""Share of a moment that has gone by when its first point is laid: before the moment begins nothing of it is shown."""


@dataclass(frozen=True, eq=False)
class Standing:
    """An upright end above the last row, drawn until the border takes it: `curve` as `tubes.tube` draws it, shown while
    `appears` <= time <= `vanishes`, in moments done."""

    curve: Curve
    appears: float
    vanishes: float


def when(made: Moments, curve: Curve) -> np.ndarray:
    """For every point of a curve the moment at which it is laid, (k,), rising along the reed.

    Takes weavers (stacked or relaxed, whole or cut at joins), spokes, sticks and border ends; of a board also what is
    below it.
    """
    if curve.role == "weaver":
        return _weaver(made, curve)
    if curve.where == "foot":
        return _below(made, curve)
    if curve.role == "border":
        return _border(made, curve)
    along, begun = np.linspace(0, 1, len(curve.u)), _begun(made, curve)
    if curve.role == "spoke" and made.act[begun] == ACTS.index("stick"):  # of a mat: the stick's own end, laid with it
        along[:] = 1.0
    return begun + np.clip(along, LEAST, 1.0)


def when_of(other: Other, curve: Curve) -> np.ndarray:
    """The same for a reed of a foot or a lid: its own time, counted on from where its own moments begin."""
    return other.first + when(other.made, curve)


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


def _below(made: Moments, curve: Curve) -> np.ndarray:
    """Below a board a spoke goes through its hole, and its end is led the other way round: see `feet`."""
    if curve.role != "border":
        return int(made.by_end["hole", curve.end][0]) + np.clip(np.linspace(0, 1, len(curve.u)), LEAST, 1.0)
    return _border(made, replace(curve, u=2 * curve.u[0] - curve.u), "foot")


def _begun(made: Moments, curve: Curve) -> int:
    """The moment that lays a stick, or sets up a spoke or the part of it that lies in the base."""
    if curve.role == "bye-spoke":
        return int(made.by_end["bye", curve.end][0])
    if curve.role == "stick":
        return made.begun["base"][curve.end]
    # The part of a spoke in the base: of one that runs through it is laid with its stick, else it is pushed in.
    if curve.where == "base":
        return int(made.by_end["insert", curve.end][0])
    return made.begun["side"][curve.end]


def _weaver(made: Moments, curve: Curve) -> np.ndarray:
    key = (curve.band, curve.block, curve.weaver)
    strokes = made.by_weaver[*key, "stroke"]
    set_in, end = (made.by_weaver.get((*key, act)) for act in ("set in", "end"))
    u = curve.u if curve.place is None else curve.place
    begin, beyond = made.begin[strokes], made.beyond[strokes]
    out = _within(u, strokes, begin, beyond)
    before, after = u <= begin[0], u > beyond[-1]
    if set_in is not None and before.any():
        share = (u[before] - u[0]) / max(begin[0] - u[0], 1e-9)
        out[before] = set_in[0] + np.clip(share, LEAST, 1.0)
    if end is not None and after.any():
        share = (u[after] - beyond[-1]) / max(u[-1] - beyond[-1], 1e-9)
        out[after] = end[0] + np.clip(share, LEAST, 1.0)
    return out


def _border(made: Moments, curve: Curve, act: str = "border") -> np.ndarray:
    moves = made.by_end[act, curve.end]
    if len(moves) == 1:  # an arch, and its end pushed straight down: places round do not tell how far it has come
        return moves[0] + np.clip(np.linspace(0, 1, len(curve.u)), LEAST, 1.0)
    return np.maximum.accumulate(_within(curve.u, moves, made.begin[moves], made.beyond[moves]))


def _within(u: np.ndarray, moment: np.ndarray, begin: np.ndarray, beyond: np.ndarray) -> np.ndarray:
    """Times of places `u` along a reed that `moment`s lay from `begin` to `beyond`; a place between two belongs to the
    earlier."""
    at = np.maximum(np.searchsorted(begin, u - 1e-9, side="left") - 1, 0)
    return moment[at] + np.clip((u - begin[at]) / (beyond[at] - begin[at]), LEAST, 1.0)


def standing(laid: Laid, made: Moments) -> tuple[Standing, ...]:
    """Every upright end above the last row, as long as the border needs, and while it stands there."""
    design, top = laid.design, laid.top_s
    s = np.linspace(top, top + laid.border.length_mm, max(2, math.ceil(laid.border.length_mm / STICK_MM / 4) + 1))
    around = 2 * np.pi * max(float(design.form.radius(top)), 1.0) / design.top_ends
    per_end, out = design.spokes.per_end, []
    for end in range(design.top_ends):
        until = float(made.by_end["border", end][0])
        for k, (reed, colour) in enumerate(design.top_reeds):
            u = np.full_like(s, end + 0.5 + float(aside_mm(laid, k, s[:1])[0]) / around)
            name = f"standing end {end + 1}" + of_end(laid, k)
            role = "bye-spoke" if k == per_end else "spoke"
            curve = Curve(name, role, "side", colour, reed.diameter_mm, u, s, np.zeros_like(s), end=end)
            out.append(Standing(curve, float(_begun(made, curve)) + 1.0, until))
    return tuple(out)
