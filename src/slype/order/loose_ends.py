"""What hangs from the work while it waits: the loose reed of every weaver and of every border end on its way.

A weaver that has begun and is not ended hangs from where its last stroke left it. To draw all of that for every stroke
would double a picture, so a tail is told once: a line in the frame of the place it hangs from, and for every reed from
which moment on which line hangs from its front. Whoever draws lays the line there.

The lines are a picture's convention, not physics: a short piece of what is longer in the hand, going out between the
spokes with the run of the weaving, and bending down as reed does by its own weight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..lay.values import SPARE_MM, Laid
from ..surface.curve import Curve, Tube
from .kinds import APART, Moments, Other

DRAWN_TAIL_MM = 84.0
"""How much of a loose reed is drawn (a picture's convention)."""
STEPS = 7

TailLine = list[tuple[float, float, float]]
Hanging = list[tuple[float, str]]
"""(time in moments done, line of `order.loose_ends` or "" for none) from then on, in order."""


def tail_lines(laid: Laid, order: Moments | None = None) -> dict[str, TailLine]:
    """Lines by name, points (mm with the run of the reed, mm outward, mm down) from the front of the reed on.

    "side", "base": of a weaver; with "short", of one whose next move is its last; "out", "in": of an end of the border
    that rests there. With the order of work also those of a foot and a lid, as "lid base": of what is woven apart as it
    lies then, of all else as it is turned over.
    """
    tip = min(DRAWN_TAIL_MM, laid.tail_mm)
    lines = {"base": _flat(DRAWN_TAIL_MM), "base short": _flat(tip)}
    if laid.is_mat:
        lines |= {"out": _flat(DRAWN_TAIL_MM), "in": _flat(DRAWN_TAIL_MM)}
    else:
        led = min(DRAWN_TAIL_MM, max(SPARE_MM, laid.border.length_mm / 2))
        lines |= {"side": _hung(DRAWN_TAIL_MM, 42, 26), "side short": _hung(tip, 42, 30), "out": _hung(led, 30, 14)}
        lines["in"] = [(along, -out, down) for along, out, down in lines["out"]]
    for name, other in (order.others if order else {}).items():
        for each, line in tail_lines(other.laid).items():
            # What lies flat along a base that is turned over lies above it.
            flat = each.startswith("base") or other.laid.is_mat
            over = -1.0 if flat and name not in APART else 1.0
            lines[f"{name} {each}"] = [(along, out, over * down) for along, out, down in line]
    return lines


def _hung(long: float, first: float, last: float) -> TailLine:
    """A line that leaves `first` degrees outward of its run and ends `last` outward, bending down on its way."""
    share = (np.arange(STEPS) + 0.5) / STEPS
    out = np.radians(first + (last - first) * share)
    down = np.radians(34.0) * share * long / DRAWN_TAIL_MM
    step = np.stack([np.cos(down) * np.cos(out), np.cos(down) * np.sin(out), np.sin(down)], axis=1) * long / STEPS
    return _rounded(step)


def _flat(long: float) -> TailLine:
    """A line of a base held flat: it comes out below the spokes and lies along them."""
    share = (np.arange(STEPS) + 0.5) / STEPS
    out, down = np.radians(34 + 20 * share), np.radians(np.where(share < 0.2, 34.0, 4.0))
    step = np.stack([np.cos(down) * np.cos(out), np.cos(down) * np.sin(out), np.sin(down)], axis=1) * long / STEPS
    return _rounded(step)


def _rounded(step: np.ndarray) -> TailLine:
    points = np.round(np.cumsum(step, axis=0), 1)
    return [(0.0, 0.0, 0.0), *(tuple(each) for each in points.tolist())]


def hanging(laid: Laid, order: Moments, reeds: Sequence[Curve | Tube], times: Sequence[np.ndarray]) -> list[Hanging]:
    """For every one of `reeds`, laid at its `times`, which line hangs from its front and when.

    A weaver's hangs from when it is set in, or goes on, until it is ended, or goes on as the next piece of it, in this
    band or the next. An end of the border hangs from its first move until its last.
    """
    begins = {_key(reed): float(np.ceil(at[0])) for reed, at in zip(reeds, times, strict=True)}
    where = {band.index: band.band.where for band in laid.bands}
    out = []
    for reed, at in zip(reeds, times, strict=True):
        if reed.role == "border":
            out.append(_led(order, reed.end))
        else:
            out.append(_woven(order, reed, at, begins, where[reed.band]) if reed.role == "weaver" else [])
    return out


def hanging_of(other: Other, tubes: list[Tube]) -> list[Tube]:
    """The reeds of a foot or a lid, each with what hangs from it in the whole order of work."""
    own = [_when(tube) - other.first for tube in tubes]
    hung_by_reed = hanging(other.laid, other.order, tubes, own)
    return [
        replace(tube, hangs=tuple((at + other.first, line and f"{other.of} {line}") for at, line in hung))
        for tube, hung in zip(tubes, hung_by_reed, strict=True)
    ]


def _when(tube: Tube) -> np.ndarray:
    assert tube.when is not None, "made with its times"
    return tube.when


def _key(reed: Curve | Tube) -> tuple[int, int, int, int, int, int]:
    return (reed.band, reed.block, reed.weaver, reed.strand, reed.piece, reed.end)


def _led(order: Moments, end: int) -> Hanging:
    moves = order.by_end["border", end].tolist()
    rests = [(float(move + 1), order.rests[move]) for move in moves[:-1]]
    return [*((at, line) for at, line in rests if line in ("in", "out")), (float(moves[-1] + 1), "")]


def _woven(order: Moments, reed: Curve | Tube, times: np.ndarray, begins: dict, line: str) -> Hanging:
    begin = float(np.ceil(times[0]))
    onward = begins.get((*_key(reed)[:4], reed.piece + 1, reed.end))
    end = order.by_weaver.get((*_key(reed)[:3], "end"))
    if onward is None and end is None:
        onward = begins.get((reed.band + 1, 0, *_key(reed)[2:4], 0, reed.end))
    if onward is not None:
        return [(begin, line), (onward, "")]
    last = float(np.ceil(times[-1])) if end is None else float(end[0] + 1)
    done = float(order.by_weaver[*_key(reed)[:3], "stroke"][-1] + 1)
    return [(begin, line), (max(begin, done), f"{line} short"), (last, "")]
