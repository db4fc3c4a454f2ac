"""How the ends of a base are counted: a thread round the first, an arrow the way it goes, the half one named."""

from __future__ import annotations

import numpy as np

from ..draw.camera import Camera, look_at_points
from ..space.tubes import on_surface
from ..surface.curve import Tube
from .flat import marks
from .labels import Labels, Place, out_from
from .making import Making
from .reeds.stretch import MOVES, Stretch

ARROW_OUT, THREAD_OUT = 0.55, 0.78
"""How far out the arrow and the thread lie, as shares of how far the first end is drawn."""
BEGINS, TURNS = 0.012, 0.2
"""From where the arrow goes and how far round, as shares of all ends."""
AWAY = ((9.0, 0.0), (8.0, -4.0), (8.0, 5.0), (-9.0, -4.0), (12.0, 0.0), (0.0, -8.0), (0.0, 8.0), (-12.0, 0.0))
"""Where beside what they name words stand, mm on paper to the right and down."""


def picked_out(stretches: list[Stretch], half: int) -> list[Stretch]:
    """The stretches, those of the `half` end (from 0; -1: of none) as what moves is drawn."""
    return [each._replace(state=MOVES) if each.tube.end == half >= 0 else each for each in stretches]


def arrow_round(making: Making, stretches: list[Stretch], camera: Camera) -> list[np.ndarray]:
    """A line (2, k) round the base from space 1, the way ends are counted; none where the first end is not drawn."""
    first = _reed(stretches, 0)
    if first is None:
        return []
    ends = making.laid.design.tiers("base")[-1].ends
    far = float(out_from(first.points, making.laid.design.form.base_straight_mm).max())
    u = ends * np.linspace(BEGINS, BEGINS + TURNS, 40)
    x, y, _ = look_at_points(camera, _at(making, u, ARROW_OUT * far))
    return [np.stack([x, y])]


def thread_round(stretches: list[Stretch], camera: Camera, labels: Labels) -> str:
    """The thread round the first end, as SVG; no mark may lie upon it."""
    first = _reed(stretches, 0)
    if first is None:
        return ""
    line = _on_picture(camera, first)
    return _thread(line, _share(line, THREAD_OUT), first.thick_mm, labels)


def name_counted(stretches: list[Stretch], camera: Camera, labels: Labels, half: int) -> None:
    """Names the thread and the `half` end (from 0; -1: there is none), once all numbers have their places."""
    for end, share, text in ((0, THREAD_OUT, "thread"), (half, ARROW_OUT, f"{half + 1}, half")):
        reed = _reed(stretches, end) if end >= 0 else None
        if reed is not None:
            at = _share(_on_picture(camera, reed), share)
            if labels.word(labels.around(at, AWAY), text):
                labels.lead(at)


def _thread(line: np.ndarray, at: Place, thick: float, labels: Labels) -> str:
    """Two turns round an end, and what hangs of the thread, on the side of space 1."""
    unit = labels.unit
    nearest = int(np.hypot(line[0] - at[0], line[1] - at[1]).argmin())
    way = line[:, min(nearest + 1, line.shape[1] - 1)] - line[:, max(nearest - 1, 0)]
    way = way / max(float(np.hypot(*way)), 1e-9)
    aside = np.array([way[1], -way[0]]) * labels.way  # to the side from which it is counted
    reach = thick / 2 + 0.35 * unit
    paths = []
    for along in (-0.45, 0.45):
        middle = np.array(at) + way * along * unit
        a, b = middle - aside * reach, middle + aside * reach
        paths.append(f"M{a[0]:.2f} {a[1]:.2f}L{b[0]:.2f} {b[1]:.2f}")
        hang = b + aside * 3.6 * unit + way * along * 3.0 * unit
        bow = b + aside * 1.6 * unit - way * along * 2.0 * unit
        paths.append(f"M{b[0]:.2f} {b[1]:.2f}Q{bow[0]:.2f} {bow[1]:.2f} {hang[0]:.2f} {hang[1]:.2f}")
    labels.keep_spot((float(at[0]), float(at[1])), reach + unit)
    path = "".join(paths)
    return "".join(f'<path d="{path}" stroke="{ink}" stroke-width="{wide * unit:.2f}" stroke-linecap="round"/>'
                   for ink, wide in (("#ffffff", 1.1), (marks.INK, 0.55)))  # fmt: skip


def name_half(stretches: list[Stretch], camera: Camera, labels: Labels, half: int) -> None:
    """Where a half stick is laid beside the others: which end of it is level with theirs, and which is past the
    middle."""
    laid = [each.tube for each in stretches if each.state == MOVES and each.tube.end == half]
    if half < 0 or not laid:
        return
    line = _on_picture(camera, max(laid, key=lambda each: len(each.points)))
    labels.keep_way(line, 0.5 * labels.unit)
    for at, text in (((float(line[0, 0]), float(line[1, 0])), "past the middle"),
                     ((float(line[0, -1]), float(line[1, -1])), "level")):  # fmt: skip
        if labels.word(labels.clear(labels.around(at, BESIDE_HALF), at), text):
            labels.lead(at)


def _reed(stretches: list[Stretch], end: int) -> Tube | None:
    """The spoke or stick of an end as it is drawn, from the middle outwards."""
    mine = [each.tube for each in stretches if each.tube.end == end and each.tube.role in ("spoke", "stick")]
    return max(mine, key=lambda each: len(each.points), default=None)


def _on_picture(camera: Camera, reed: Tube) -> np.ndarray:
    x, y, _ = look_at_points(camera, reed.points)
    return np.stack([x, y])


BESIDE_HALF = tuple((dx, dy) for far in (1.0, 1.4, 1.9, 2.5)
                    for dx, dy in ((0.0, 5.0 * far), (8.0 * far, 3.0 * far), (-8.0 * far, 3.0 * far), (0.0, -5.0 * far),
                                   (8.0 * far, -3.0 * far), (-8.0 * far, -3.0 * far)))  # fmt: skip
"""Where beside its ends a half stick's are named, mm on paper to the right and down."""


def _share(line: np.ndarray, share: float) -> Place:
    """The place so far along a line (2, k)."""
    hop = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=1)))]
    x, y = (float(np.interp(share * hop[-1], hop, each)) for each in line)
    return x, y


def _at(making: Making, u: np.ndarray, s: float) -> np.ndarray:
    return np.stack(on_surface(making.laid, "base", u, np.full(len(u), s), np.zeros(len(u))), axis=1)
