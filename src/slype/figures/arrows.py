"""Arrows along what moves, the tails that are dotted where they lie hidden, and what all that keeps bare of marks."""

from __future__ import annotations

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..surface.curve import TAILS
from .labels import Box, Labels
from .names import further_out
from .reeds.left_over import LEFT_OVER, TUCKED
from .reeds.stretch import MOVES, Stretch

HANGS_SHOWN, PAST_SPACE = 0.35, 5.0
"""How much of what hangs from a stroke its arrow goes along, on a base, and how far, mm on paper, on a wall: further
out the weaver has its name."""
PUSHED = ("insert", "add", "bye", "push in")
"""Acts that push a rod in from its outer end."""
LEAST_LONG = 3.0
"""An arrow that would be shorter is not drawn, mm on paper."""
HEAD_BARE, ARROW_BARE, REED_BARE = 1.9, 0.7, 0.3
"""How far round an arrow's head, its line, and a reed's own edge no mark may lie, mm on paper."""


def hidden_tails(stretches: list[Stretch], camera: Camera, box: Box, unit: float) -> list[np.ndarray]:
    """Lines (2, k) along the tails of a start, which lie on the far side: from where each weaver has come through."""
    out: list[np.ndarray] = []
    starts = {each.tube.name: each.tube.points for each in stretches if each.state == MOVES}
    for each in stretches:
        if each.state != MOVES or each.tube.bit not in TAILS or each.tube.strand > 0:
            continue
        start = starts.get(each.tube.of_reed, each.tube.points[:0])
        hidden = start[: int(np.argmax(start[:, 2] <= 0.0))] if len(start) else start
        whole = np.vstack([hidden[::-1], each.tube.points])
        x, y = further_out(*look_at_points(camera, whole)[:2], each.tube.weaver * unit)
        inside = (x > box[0]) & (x < box[0] + box[2]) & (y > box[1]) & (y < box[1] + box[3])
        if inside.sum() > 1:
            out.append(np.stack([x[inside], y[inside]]))
    return out


def arrow_lines(
    stretches: list[Stretch], camera: Camera, box: Box, unit: float, inward: bool, flat: bool, one: bool = False,
    floor: float = -np.inf,
) -> list[np.ndarray]:
    """A line (2, k) along each reed that moves, a little above it, for an arrow whose head is at its end; of what is
    pushed in `inward`, from its outer end. On a `flat` base it ends a little past where the reed comes out: what hangs
    from there lies across what is not passed. Only `one` along what moved last, where many would lie on each other. It
    ends where its reed comes below `floor`, mm: a head would hide what that goes down beside."""
    out = []
    left, top, wide, high = box[0] + unit, box[1] + unit, box[2] - 2 * unit, box[3] - 2 * unit
    for points, thick in _whole_ways(stretches, flat, unit)[-1 if one else 0 :]:
        x, y, _ = look_at_points(camera, points)
        inside = (x > box[0]) & (x < box[0] + box[2]) & (y > box[1]) & (y < box[1] + box[3]) & (points[:, 2] > floor)
        if inside.sum() < 3:
            continue
        x, y = x[inside], y[inside]
        hop = np.r_[0.0, np.cumsum(np.hypot(np.diff(x), np.diff(y)))]
        if hop[-1] < LEAST_LONG * unit:
            continue
        at = np.linspace(hop[-1], 0.0, 40) if inward else np.linspace(0.0, hop[-1], 40)
        x, y = np.interp(at, hop, x), np.interp(at, hop, y)
        lift = thick / 2 + 1.5 * unit
        kernel = np.ones(7) / 7
        x, y = (np.convolve(np.pad(line, 3, mode="edge"), kernel, mode="valid") for line in (x, y))
        dx, dy = np.gradient(x), np.gradient(y)
        long = np.maximum(np.hypot(dx, dy), 1e-9)
        side = np.where(np.median(dx) >= 0, 1.0, -1.0)
        x, y = x + side * dy / long * lift, y - side * dx / long * lift
        inside = (x > left) & (x < left + wide) & (y > top) & (y < top + high)  # so that its head is seen
        if inside.sum() > 2:
            out.append(np.stack([x[inside], y[inside]]))
    return out


def _whole_ways(stretches: list[Stretch], flat: bool, unit: float) -> list[tuple[np.ndarray, float]]:
    """(points (k, 3), thickness) of every reed that moves: one way each, with what is left over at its end, or it would
    have an arrow for every stretch of it that is seen; in the order in which they are laid."""
    ways: dict[str, tuple[list[np.ndarray], float]] = {}
    laid_at: dict[str, float] = {}
    for each in stretches:
        tube = each.tube
        # An arrow beside a tip that is tucked down would hide the end it goes under: it ends before that.
        if each.state != MOVES or len(tube.points) < 3 or tube.strand > 0 or tube.bit == TUCKED:
            continue
        laid = len(tube.points)
        if tube.role == "weaver" and tube.when is not None and len(tube.when) < laid:
            hangs = tube.points[len(tube.when) - 1 :]
            hop = np.linalg.norm(np.diff(hangs, axis=0), axis=1).cumsum()
            past = int(HANGS_SHOWN * len(hop)) if flat else int(hop.searchsorted(PAST_SPACE * unit))
            laid = len(tube.when) + past
        reed = tube.of_reed if tube.bit == LEFT_OVER else tube.name
        ways.setdefault(reed, ([], tube.thick_mm))[0].append(tube.points[:laid])
        begun = -np.inf if tube.when is None else float(tube.when[0])
        laid_at[reed] = max(laid_at.get(reed, begun), begun)
    in_turn = [ways[reed] for reed in sorted(ways, key=laid_at.__getitem__)]
    return [(np.vstack(points), thick) for points, thick in in_turn]


def keep_bare(labels: Labels, stretches: list[Stretch], camera: Camera, lines: list[np.ndarray], inward: bool) -> None:
    """No mark lies on weavers and ends of the border that move, nor on their arrows, `lines`; what is pushed in
    `inward` bears its number."""
    unit, (left, top, wide, high) = labels.unit, labels.box
    for line in lines:
        at = line[:, -1] + (line[:, -2] - line[:, -1]) / max(float(np.hypot(*(line[:, -2] - line[:, -1]))), 1e-9) * unit
        labels.keep_spot((float(at[0]), float(at[1])), HEAD_BARE * unit)
        if not inward:
            labels.keep_way(line, ARROW_BARE * unit)
            labels.arrows.append(line)
    for each in stretches:
        if each.state == MOVES and each.tube.role in ("weaver", "border") and each.tube.bit not in TAILS:
            x, y, _ = look_at_points(camera, each.tube.points)
            seen = (x > left) & (x < left + wide) & (y > top) & (y < top + high)
            if seen.sum() > 1:
                labels.keep_way(np.stack([x[seen], y[seen]]), each.tube.thick_mm / 2 + REED_BARE * unit)
