"""Outline and wall: where the surface runs and how far apart spokes stand on it. Level 2.

Round outline. The wall is given by points (height above the base, diameter at the spokes) and drawn through them as a
curve that never overshoots: straight between two points, rounded through more. `s` is counted along the wall from the
edge of the base, in mm. Knows nothing of strokes.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .errors import DesignError

_SAMPLES = 40  # per stretch between two points: chord error below 0.01 % for any wall that can be woven


@dataclass(frozen=True)
class Form:
    """A round basket's shape: `base_mm` diameter, `wall` ((height_mm, diameter_mm), ...), heights rising from 0."""

    base_mm: float
    wall: tuple[tuple[float, float], ...]

    @cached_property
    def _curve(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """(s, radius, height) sampled along the wall."""
        height = np.array([point[0] for point in self.wall])
        radius = np.array([point[1] for point in self.wall]) / 2
        fine = np.unique(np.concatenate([np.linspace(a, b, _SAMPLES) for a, b in itertools.pairwise(height)]))
        r = smooth_through(height, radius, fine)
        s = np.r_[0.0, np.cumsum(np.hypot(np.diff(fine), np.diff(r)))]
        return s, r, fine

    @property
    def wall_mm(self) -> float:
        """Length along the wall from the base's edge to its last point."""
        return float(self._curve[0][-1])

    def radius(self, s: float | np.ndarray) -> np.ndarray:
        """Radius of the spoke ring, mm, at `s` along the wall; goes straight on beyond the last point."""
        return self._along(s, 1)

    def height(self, s: float | np.ndarray) -> np.ndarray:
        """Height above the base, mm, at `s` along the wall; goes straight on beyond the last point."""
        return self._along(s, 2)

    def _along(self, s: float | np.ndarray, which: int) -> np.ndarray:
        run, values = self._curve[0], self._curve[which]
        slope = (values[-1] - values[-2]) / (run[-1] - run[-2])
        s = np.asarray(s, float)
        beyond = np.maximum(s - run[-1], 0.0)
        return np.maximum(np.interp(s, run, values) + beyond * slope, 0.0)

    def lean(self, s: float) -> float:
        """Angle, rad, of the wall from upright at `s`: positive where it flares outward."""
        step = max(self.wall_mm * 1e-3, 1e-6)
        a, b = max(s - step, 0.0), s + step
        return math.atan2(float(self.radius(b) - self.radius(a)), float(self.height(b) - self.height(a)))

    def capacity_mm3(self, s: float, thick: float) -> float:
        """Space inside up to `s`, mm3, with `thick` mm of wall inside the spoke ring."""
        at = np.linspace(0, s, 200)
        inner = np.maximum(self.radius(at) - thick, 0.0)
        return float(np.trapezoid(math.pi * inner**2, self.height(at)))


def smooth_through(x: np.ndarray, y: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Shape-keeping cubic through points (Fritsch and Carlson 1980, the limiter of Brodlie): never overshoots.

    x (n,) rising, y (n,), at (m,) within x. Held against scipy's PchipInterpolator in the tests; written out here so
    that a plan need not import it.
    """
    h, slope = np.diff(x), np.diff(y) / np.diff(x)
    if len(x) == 2:
        return y[0] + slope[0] * (at - x[0])
    inner = np.zeros(len(x) - 2)
    same = slope[1:] * slope[:-1] > 0
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        inner = np.where(same, (w1 + w2) / (w1 / slope[:-1] + w2 / slope[1:]), 0.0)
    d = np.r_[_end_slope(h[0], h[1], slope[0], slope[1]), inner, _end_slope(h[-1], h[-2], slope[-1], slope[-2])]
    i = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(h) - 1)
    t = (at - x[i]) / h[i]
    return (
        y[i] * (1 + 2 * t) * (1 - t) ** 2
        + y[i + 1] * t**2 * (3 - 2 * t)
        + h[i] * (d[i] * t * (1 - t) ** 2 - d[i + 1] * t**2 * (1 - t))
    )


def _end_slope(h0: float, h1: float, s0: float, s1: float) -> float:
    guess = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    if guess * s0 <= 0:
        return 0.0
    return 3 * s0 if s0 * s1 <= 0 and abs(guess) > 3 * abs(s0) else guess


def check_wall(base_mm: float, wall: tuple[tuple[float, float], ...], where: str) -> None:
    """Refuse walls that cannot stand: DesignError says which point and what would be right."""
    if len(wall) < 2:
        raise DesignError(
            "a wall needs at least two points.", where, 'For example [["0 in", "7 in"], ["4 in", "9 in"]].'
        )
    if wall[0][0] != 0:
        raise DesignError(
            "the first point of the wall must be at height 0, the edge of the base.",
            f"{where}, point 1",
            "Give the points from the base upwards.",
        )
    for i, ((low, _), (high, _)) in enumerate(itertools.pairwise(wall), start=2):
        if high <= low:
            raise DesignError(
                "the wall folds back: each point must be higher than the one before.",
                f"{where}, point {i}",
                "Give the points from the base upwards.",
            )
    for i, (height, diameter) in enumerate(wall, start=1):
        if not 20 <= diameter <= 3000 or height > 3000:
            raise DesignError(
                "this size is absurd for a basket.",
                f"{where}, point {i}",
                "Diameters from 2 cm (3/4 in) to 3 m (10 ft), heights up to 3 m.",
            )
    if abs(wall[0][1] - base_mm) > 0.35 * base_mm:
        raise DesignError(
            "the wall starts far from the edge of the base.",
            f"{where}, point 1",
            "Its first diameter should be near the base's.",
        )
