"""What stands, lies and hangs at a lid while it is woven by itself: as at any basket in the making.

All of it vanishes before the lid is fitted. It is laid where the lid's own reeds are: turned over, at its seat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..order.kinds import ACTS, Moments, Other
from ..order.times import standing
from ..surface.curve import TAIL_AT_END, Curve, Tube, named_of, of_other
from ..surface.woven import stacked_curves
from .assembly import OVER
from .lying import lying_flat
from .tails import Left, all_left, woven_lines
from .tubes import tube


@dataclass(frozen=True, eq=False)
class Passing:
    """A reed that is there from `appears` to `until`, moments done; `held` out of an arch's way, `lies` flat beyond the
    edge until it is turned up."""

    tube: Tube
    appears: float
    until: float
    held: bool = False
    lies: bool = False


@dataclass(frozen=True, eq=False)
class AtWork:
    """What is woven apart, and passes: turned `OVER` and moved by `place` (3,) mm it lies where it is fitted, in the
    moment `fitted` (from 0)."""

    of: str
    place: np.ndarray
    fitted: int
    passing: list[Passing]


def at_work(order: Moments, curves: Sequence[Curve] | None, reeds: Sequence[Tube], place: np.ndarray) -> AtWork:
    """The lid of a basket's `order` of work: `curves` those of its own that are at rest, else None; `reeds` all of it
    with their times as they lie where it is fitted."""
    other = order.others["lid"]
    woven = stacked_curves(other.laid) if curves is None else curves
    fitted = int(np.flatnonzero(order.act == ACTS.index("fit"))[0])
    return AtWork(other.of, place, fitted, _passing(other, woven, reeds, place))


def _passing(other: Other, curves: Sequence[Curve], reeds: Sequence[Tube], place: np.ndarray) -> list[Passing]:
    laid, order = other.laid, other.order
    found = [Passing(tube(laid, each.curve), each.appears, each.vanishes, each.held) for each in standing(laid, order)]
    found += [Passing(*each) for each in _tails(other, curves, reeds, place)]
    upright = [replace(each, of="", end=each.upright[1]) for each in reeds if each.upright and each.role == "spoke"]
    lines = [np.vstack([_back(each.points, place).T, _own_times(other, each)]) for each in upright]
    found += [Passing(*each, lies=True) for each in lying_flat(laid, upright, lines, order)]
    return [
        replace(each, appears=each.appears + other.first, until=each.until + other.first,
                tube=replace(each.tube, name=named_of(other.of, each.tube.name),
                             points=each.tube.points * OVER + place, **of_other(other.of, each.tube)))
        for each in found
    ]  # fmt: skip


def _tails(other: Other, curves: Sequence[Curve], reeds: Sequence[Tube], place: np.ndarray) -> list[Left]:
    """Its tails, each from where its reed is drawn to end: that may have given way a little to others."""
    laid, order = other.laid, other.order
    own = [replace(curve, of="") for curve in curves]
    drawn = {each.name: _back(each.points, place) for each in reeds}
    out = []
    for tail, appears, until in all_left(laid, own, woven_lines(laid, own, order), order):
        reed = drawn[named_of(other.of, tail.of_reed)]
        off = reed[-1 if tail.bit == TAIL_AT_END else 0] - tail.points[0]
        out.append((replace(tail, points=tail.points + off), appears, until))
    return out


def _back(points: np.ndarray, place: np.ndarray) -> np.ndarray:
    return (points - place) * OVER


def _own_times(other: Other, reed: Tube) -> np.ndarray:
    assert reed.when is not None, "made with its times"
    return reed.when - other.first
