"""What hangs from the work while it waits: the loose reed of every weaver and of every border end on its way. Level 6.

A weaver that has begun and is not ended hangs from where its last stroke left it. To draw all of that for every stroke
would double a picture, so a tail is told once: a line in the frame of the place it hangs from, and for every reed from
which moment on which line hangs from its front. Whoever draws lays the line there.

The lines are a picture's convention, not physics: a short piece of what is longer in the hand, going out between the
spokes with the run of the weaving, and bending down as reed does by its own weight.
"""

from __future__ import annotations

import numpy as np

from .curves import Curve
from .lay import TUCK_MM, Laid
from .moment_kinds import Moments
from .piece import SPARE_MM

TAIL_MM = 84.0
"""How much of a loose reed is drawn (a picture's convention)."""
STEPS = 7

Hanging = list[tuple[float, str]]
"""(time in moments done, line of `tails` or "" for none) from then on, in order."""


def tails(laid: Laid) -> dict[str, list[tuple[float, float, float]]]:
    """Lines by name, points (mm with the run of the reed, mm outward, mm down) from the front of the reed on.

    "side", "base": of a weaver; "short": of one whose next move is its last; "out", "in": of an end of the border that
    rests there.
    """
    tip = min(TAIL_MM, TUCK_MM)
    if laid.is_mat:
        return {"base": _flat(TAIL_MM), "short": _flat(tip), "out": _flat(TAIL_MM), "in": _flat(TAIL_MM)}
    led = min(TAIL_MM, max(SPARE_MM, laid.border.length_mm / 2))
    lines = {"base": _flat(TAIL_MM), "side": _hung(TAIL_MM, 42, 26), "short": _hung(tip, 42, 30)}
    return lines | {"out": _hung(led, 30, 14), "in": [(along, -out, down) for along, out, down in _hung(led, 30, 14)]}


def _hung(long: float, first: float, last: float) -> list[tuple[float, float, float]]:
    """A line that leaves `first` degrees outward of its run and ends `last` outward, bending down on its way."""
    share = (np.arange(STEPS) + 0.5) / STEPS
    out = np.radians(first + (last - first) * share)
    down = np.radians(34.0) * share * long / TAIL_MM
    step = np.stack([np.cos(down) * np.cos(out), np.cos(down) * np.sin(out), np.sin(down)], axis=1) * long / STEPS
    return _told(step)


def _flat(long: float) -> list[tuple[float, float, float]]:
    """A line of a base held flat: it comes out below the spokes and lies along them."""
    share = (np.arange(STEPS) + 0.5) / STEPS
    out, down = np.radians(34 + 20 * share), np.radians(np.where(share < 0.2, 34.0, 4.0))
    step = np.stack([np.cos(down) * np.cos(out), np.cos(down) * np.sin(out), np.sin(down)], axis=1) * long / STEPS
    return _told(step)


def _told(step: np.ndarray) -> list[tuple[float, float, float]]:
    points = np.round(np.cumsum(step, axis=0), 1)
    return [(0.0, 0.0, 0.0), *(tuple(each) for each in points.tolist())]


def hanging(made: Moments, curves: list[Curve], times: list[np.ndarray]) -> list[Hanging]:
    """For every one of `curves`, laid at its `times`, which line hangs from its front and when.

    A weaver's hangs from when it is set in, or goes on, until it is ended, or goes on as the next piece of it, in this
    band or the next. An end of the border hangs from its first move until its last.
    """
    begins = {_key(curve): float(np.ceil(at[0])) for curve, at in zip(curves, times, strict=True)}
    return [_hanging(made, curve, at, begins) for curve, at in zip(curves, times, strict=True)]


def _key(curve: Curve) -> tuple[int, ...]:
    return (curve.band, curve.block, curve.weaver, curve.strand, curve.piece, curve.end)


def _hanging(made: Moments, curve: Curve, times: np.ndarray, begins: dict) -> Hanging:
    if curve.role == "border":
        moves = made.by_end["border", curve.end].tolist()
        out = [(float(move + 1), made.rests[move]) for move in moves[:-1]]
        return [*((at, rests) for at, rests in out if rests in ("in", "out")), (float(moves[-1] + 1), "")]
    begin, line = float(np.ceil(times[0])), "base" if curve.where == "base" else "side"
    onward = begins.get((*_key(curve)[:4], curve.piece + 1, curve.end))
    end = made.by_weaver.get((*_key(curve)[:3], "end"))
    if onward is None and end is None:
        onward = begins.get((curve.band + 1, 0, *_key(curve)[2:4], 0, curve.end))
    if onward is not None:
        return [(begin, line), (onward, "")]
    last = float(np.ceil(times[-1])) if end is None else float(end[0] + 1)
    done = float(made.by_weaver[*_key(curve)[:3], "stroke"][-1] + 1)
    return [(begin, line), (max(begin, done), "short"), (last, "")]
