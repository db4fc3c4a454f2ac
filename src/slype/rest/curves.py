"""Relaxed reeds as curves to draw: weavers, joins with their overlapping ends, border ends bent out of their spokes.

The points are the rods' own; nothing is smoothed or moved but where a border end rises from its spoke.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from ..lay.values import Laid
from ..surface.added_ends import among_last_ends, aside_mm
from ..surface.curve import Curve
from ..surface.opened import as_sticks_stand
from ..surface.runs import border_runs
from ..surface.standing import across_cross
from ..surface.woven import border_curves, with_tip
from .values import AtRest, PartAtRest

RISE = 0.35  # spaces in which a border end bends out of its spoke


def relaxed_curves(at_rest: AtRest) -> list[Curve]:
    """Weavers and border ends of a basket at rest, for `tubes.tubes`; the arches of an open border stand free."""
    laid, out = at_rest.laid, []
    for part in at_rest.parts.values():
        out += _curves(laid, part)
    if "border" not in at_rest.parts:
        out += [curve for run in border_runs(laid) for curve in border_curves(laid, run)]
    return out


def foot_ends(foot: Laid, part: PartAtRest) -> tuple[np.ndarray, ...]:
    """The ends of a board's foot at rest, as `Laid.foot_ends` has them; `foot` as `space.feet.foot_alone` has it."""
    return tuple(np.stack([curve.u, curve.s, curve.n]) for curve in _curves(foot, part))


def all_curves(at_rest: AtRest) -> list[Curve]:
    """The curves of a basket and of its lid, for `assembly.whole`."""
    lid = [] if at_rest.lid is None else relaxed_curves(at_rest.lid)
    return [*relaxed_curves(at_rest), *(replace(curve, of="lid") for curve in lid)]


def _curves(laid: Laid, part: PartAtRest) -> list[Curve]:
    built, at = part.built, part.at
    off = built.wall.off
    where, bands = built.where, {band.index: band for band in laid.bands}
    out = []
    for i, line in enumerate(built.lines):
        u, s, n = built.u[off[i] : off[i + 1]], at[off[i] : off[i + 1], 0], at[off[i] : off[i + 1], 1]
        woven, own = u, None
        if line.role == "weaver":
            u = among_last_ends(laid, where, built.tier, u, s)
            u = as_sticks_stand(laid, bands[line.band], woven, u, s)
            own = None if u is woven else woven
        if where == "base":
            n = n + across_cross(laid, u, s)
        if line.role == "border":
            u, s, n = with_tip(laid, *_risen(laid, line.strand, u, s, n))
        which: dict[str, Any] = {"end": line.weaver, "upright": ("", line.weaver, line.strand)}
        if line.role == "weaver":
            which = {number: getattr(line, number) for number in ("band", "block", "weaver", "strand", "piece")}
        out.append(Curve(line.name, line.role, where, line.colour, line.thick_mm, u, s, n, place=own, **which))
    return out


def _risen(
    laid: Laid, reed: int, u: np.ndarray, s: np.ndarray, n: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Reed number `reed` of a border end with its bend: upright out of its spoke, which stands beside the others of its
    place, over into its own way within RISE of a space."""
    aside = float(aside_mm(laid, reed, np.array([laid.top_s]))[0]) / laid.border_spacing_mm
    foot, join = (u[0] + aside, laid.top_s), int(np.searchsorted(u, u[0] + RISE))
    slope = (s[join + 1] - s[join]) / (u[join + 1] - u[join])
    top = max(s[: join + 1])
    t = np.linspace(0, 1, 10)[:-1]
    b0, b1, b2, b3 = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
    lean = RISE / 2
    rise = (
        (b0 + b1) * foot[0] + b2 * (u[join] - lean) + b3 * u[join],
        b0 * foot[1] + b1 * top + b2 * (s[join] - lean * slope) + b3 * s[join],
        b2 * n[join] * 0.6 + b3 * n[join],
    )
    u, s, n = (np.concatenate([new, old[join:]]) for new, old in zip(rise, (u, s, n), strict=True))
    return u, s, n
