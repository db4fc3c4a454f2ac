"""From points clicked in a photograph to lengths: by a ruler, or by a flat face seen aslant.

Theory
1. Beside a ruler in the plane that is measured, square to the camera, lengths go by one scale.
2. A flat face seen aslant goes into the picture by a projective map; four corners of a known rectangle fix its eight
   numbers, and points in the same plane go back by its inverse (Hartley and Zisserman, Multiple View Geometry, 2nd ed.
   2004, section 2.3). What stands out of the plane is not measured right: a round basket only along the line that faces
   the camera.
3. A click is a pixel or two off. The range told is that of both ends CLICK_PX off, and the ruler's ends too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...errors import DesignError

CLICK_PX = 2.0
LEAST_PX = 20.0
"""Two points of a ruler or a corner nearer than this say nothing."""
Point = tuple[float, float]


@dataclass(frozen=True)
class Plane:
    """A map from pixels to mm in one plane: `into` (3, 3) projective; `error` share by which its scale may be off."""

    into: np.ndarray
    error: float

    def place(self, point: Point) -> np.ndarray:
        """mm in the plane (2,) of a pixel."""
        x, y, w = self.into @ np.array([*point, 1.0])
        if abs(w) < 1e-12:
            raise DesignError("this point lies on the horizon of the face.", "the photograph", "Click within the face.")
        return np.array([x / w, y / w])

    def length(self, a: Point, b: Point) -> tuple[float, float]:
        """(length mm, how far it may be off to either side) from one pixel to another."""
        here, there = self.place(a), self.place(b)
        length = float(np.hypot(*(there - here)))
        steps = [np.hypot(*(self.place((p[0] + dx, p[1] + dy)) - at)) for p, at in ((a, here), (b, there))
                 for dx, dy in ((CLICK_PX, 0.0), (0.0, CLICK_PX))]  # fmt: skip
        return length, float(max(steps)) * 2**0.5 + self.error * length


def by_ruler(a: Point, b: Point, mm: float) -> Plane:
    """The plane of a ruler: `a` and `b` two of its marks, `mm` apart. Raises DesignError."""
    _known(mm)
    apart = float(np.hypot(b[0] - a[0], b[1] - a[1]))
    if apart < LEAST_PX:
        raise DesignError("the two marks are too near each other.", "ruler", "Click marks further apart.")
    return Plane(np.diag([mm / apart, mm / apart, 1.0]), CLICK_PX * 2**0.5 / apart)


def by_face(corners: list[Point], wide_mm: float, high_mm: float) -> Plane:
    """The plane of a flat rectangle, its `corners` in turn from the upper left. Raises DesignError."""
    _known(wide_mm)
    _known(high_mm)
    if len(corners) != 4:
        raise DesignError("a face has four corners.", "face")
    at = np.array(corners, dtype=float)
    turn = [_turn(at[i], at[(i + 1) % 4], at[(i + 2) % 4]) for i in range(4)]
    sides = [float(np.hypot(*(at[(i + 1) % 4] - at[i]))) for i in range(4)]
    if min(sides) < LEAST_PX or not (all(each > 0 for each in turn) or all(each < 0 for each in turn)):
        raise DesignError(
            "these are no four corners of a face.", "face", "Click them in turn: upper left, upper right, lower right, "
            "lower left.",
        )  # fmt: skip
    to = [(0.0, 0.0), (wide_mm, 0.0), (wide_mm, high_mm), (0.0, high_mm)]
    rows, right = [], []
    for (x, y), (u, v) in zip(corners, to, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    into = np.append(np.linalg.solve(np.array(rows, dtype=float), np.array(right)), 1.0).reshape(3, 3)
    return Plane(into, CLICK_PX * 2**0.5 / min(sides))


def _turn(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> float:
    one, other = b - a, c - b
    return float(one[0] * other[1] - one[1] * other[0])


def _known(mm: float) -> None:
    if not 1.0 <= mm <= 10_000.0:
        raise DesignError("is no length a ruler shows.", "length", "From a millimetre to ten metres.")
