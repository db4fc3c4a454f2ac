"""A wooden board in a line drawing: its outline, the face that is seen, and the holes in it."""

from __future__ import annotations

import numpy as np

from ..colour import shade
from ..space.plank import WOOD
from .camera import look_at_points
from .painted import Dots

INK = "#33261a"
EDGE, FACE, PAPER = 0.80, 1.0, "#ffffff"  # tones of what is seen from the side and square on; bare in hatched drawings


def board_outline(found: Dots, hatched: bool, line: float) -> str:
    """The board as SVG, `line` mm the pen. Seen edge-on, its edge is all there is."""
    board, eye = found.board, found.camera.eye
    assert board is not None, "asked where one is seen"
    level = [0.0] if eye[2] > 0 else [-board.thickness_mm] if eye[2] < -board.thickness_mm else []
    edge, face = (PAPER, PAPER) if hatched else (shade(WOOD, EDGE), shade(WOOD, FACE))
    both = np.concatenate([_seen(found, board.edge, z) for z in (0.0, -board.thickness_mm)])
    out = [_shape([_hull(both)], edge, line)]
    for z in level:
        holes = [_seen(found, hole[::2], z) for hole in board.holes]
        out.append(_shape([_seen(found, board.edge, z), *holes], face, line))
    return "".join(out)


def _seen(found: Dots, outline: np.ndarray, z: float) -> np.ndarray:
    """Points (k, 2) on the picture of an outline (k, 2) at one height."""
    x, y, _ = look_at_points(found.camera, np.c_[outline, np.full(len(outline), z)])
    return np.stack([x, y], axis=1)


def _shape(rings: list[np.ndarray], colour: str, line: float) -> str:
    path = "".join("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in ring.tolist()) + "Z" for ring in rings)
    return f'<path d="{path}" fill="{colour}" fill-rule="evenodd" stroke-width="{2 * line:.2f}"/>'


def _hull(points: np.ndarray) -> np.ndarray:
    """Corners of the convex hull of points (k, 2) (Andrew 1979)."""
    order = points[np.lexsort((points[:, 1], points[:, 0]))].tolist()
    out: list[list[float]] = []
    for side in (order, order[::-1]):
        half: list[list[float]] = []
        for p in side:
            while len(half) > 1 and _turn(half[-2], half[-1], p) <= 0:
                half.pop()
            half.append(p)
        out += half[:-1]
    return np.array(out)


def _turn(a: list[float], b: list[float], c: list[float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
