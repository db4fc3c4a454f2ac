"""Outline and wall: where the surface runs and how far apart spokes stand on it.

Every outline is a rectangle with round corners: a round one is all corner, an oval has two straight sides and two round
ends. So one ring inside or outside another keeps its shape, and is longer or shorter by 2 pi times their distance.

The wall is given by points (height above the base, size at the spokes) and drawn through them as a curve that never
overshoots: straight between two points, rounded through more. `s` is counted along the wall from the edge of the base,
in mm, on the mean of all its sides. Knows nothing of strokes.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from ..errors import DesignError

OUTLINES = ("round", "oval", "rectangle")
_SAMPLES = 40  # per stretch between two points: chord error below 0.01 % for any wall that can be woven

Sides = tuple[float, float, float]  # length, width, radius of the corners, mm
Points = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]  # x, y, outward x, outward y
Number = float | np.ndarray


def ring_of(length: Any, width: Any, corner: Any) -> Any:
    """Length, mm, once round a rectangle with round corners: numbers or arrays of one shape."""
    return 2 * (length - 2 * corner) + 2 * (width - 2 * corner) + 2 * math.pi * corner


@dataclass(frozen=True)
class Form:
    """A basket's shape. `base_mm` and the second values of `wall` ((height_mm, diameter_mm), ...) are diameters, of the
    ring over pi where the outline is not round; heights rise from 0.

    Where it is not round, `base_sides` and `wall_sides` (one of each point) hold length, width and corner.
    """

    base_mm: float
    wall: tuple[tuple[float, float], ...]
    outline: str = "round"
    base_sides: Sides | None = None
    wall_sides: tuple[Sides, ...] = ()

    @property
    def is_round(self) -> bool:
        """True when the outline is a circle."""
        return self.base_sides is None

    @cached_property
    def _curve(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """(s, mean radius, height, sides (3, k)) sampled along the wall."""
        height = np.array([point[0] for point in self.wall])
        fine = np.unique(np.concatenate([np.linspace(a, b, _SAMPLES) for a, b in itertools.pairwise(height)]))
        if self.is_round:
            r = smooth_through(height, np.array([point[1] for point in self.wall]) / 2, fine)
            sides = np.stack([2 * r, 2 * r, r])
        else:
            sides = np.stack(
                [smooth_through(height, np.array(side), fine) for side in zip(*self.wall_sides, strict=True)]
            )
            r = ring_of(*sides) / (2 * math.pi)
        s = np.r_[0.0, np.cumsum(np.hypot(np.diff(fine), np.diff(r)))]
        return s, r, fine, sides

    @property
    def wall_mm(self) -> float:
        """Length along the wall from the base's edge to its last point."""
        return float(self._curve[0][-1])

    def radius(self, s: float | np.ndarray) -> np.ndarray:
        """Radius of the spoke ring, mm, at `s` along the wall; goes straight on beyond the last point.

        Of an outline that is not round: length of the ring over 2 pi.
        """
        return np.maximum(self._along(s, self._curve[1]), 0.0)

    def height(self, s: float | np.ndarray) -> np.ndarray:
        """Height above the base, mm, at `s` along the wall; goes straight on beyond the last point."""
        return np.maximum(self._along(s, self._curve[2]), 0.0)

    def along_to(self, height_mm: float) -> float:
        """How far along the wall it stands so high above the base, mm; goes straight on beyond the last point."""
        run, high = self._curve[0], self._curve[2]
        over = max(height_mm - high[-1], 0.0) * (run[-1] - run[-2]) / (high[-1] - high[-2])
        return float(np.interp(height_mm, high, run)) + over

    def leaning(self, s: np.ndarray) -> tuple[np.ndarray, ...]:
        """(radius, height, lean outward, rise) of the wall at `s` (k,), the last two for each mm along it.

        The wall is a fine polygon: its lean is taken over a millimetre either way, so that it does not jump at a
        corner of it.
        """
        lean = np.interp(s, *self._leans)
        far = np.sqrt(lean.real * lean.real + lean.imag * lean.imag)
        return *self._both(s), lean.real / far, lean.imag / far

    @cached_property
    def _leans(self) -> tuple[np.ndarray, np.ndarray]:
        """(places, how far the wall goes outward and up, as one complex number, in the two millimetres round each):
        straight from place to place, and beyond the last."""
        run = self._curve[0]
        at = np.unique(np.concatenate([[0.0, 1.0], run + 1.0, np.maximum(run - 1.0, 0.0)]))
        (radius, height), (back, low) = self._both(at + 1.0), self._both(np.maximum(at - 1.0, 0.0))
        return at, radius - back + 1j * (height - low)

    def _both(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(radius, height) at `s`, looked up together as the two parts of one complex number."""
        both = self._along(s, self._radius_and_height)
        return np.maximum(both.real, 0.0), np.maximum(both.imag, 0.0)

    @cached_property
    def _radius_and_height(self) -> np.ndarray:
        return self._curve[1] + 1j * self._curve[2]

    def sides(self, s: float | np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """(length, width, corner) mm of the spoke ring at `s` along the wall."""
        if self.is_round:
            r = self.radius(s)
            return 2 * r, 2 * r, r
        length, width, corner = (np.maximum(self._along(s, side), 0.0) for side in self._curve[3])
        return length, width, np.minimum(corner, np.minimum(length, width) / 2)

    def _along(self, s: float | np.ndarray, values: np.ndarray) -> np.ndarray:
        run = self._curve[0]
        slope = (values[-1] - values[-2]) / (run[-1] - run[-2])
        s = np.asarray(s, float)
        out = np.asarray(np.interp(s, run, values))
        beyond = s > run[-1]
        if beyond.any():
            out[beyond] += (s[beyond] - run[-1]) * slope
        return out

    def lean(self, s: float) -> float:
        """Angle, rad, of the wall from upright at `s`, in the mean of its sides: positive where it flares outward."""
        step = max(self.wall_mm * 1e-3, 1e-6)
        a, b = max(s - step, 0.0), s + step
        return math.atan2(float(self.radius(b) - self.radius(a)), float(self.height(b) - self.height(a)))

    def capacity_mm3(self, s: float, thick: float) -> float:
        """Space inside up to `s`, mm3, with `thick` mm of wall inside the spoke ring."""
        at = np.linspace(0, s, 200)
        length, width, corner = self.inside(at, thick)
        return float(np.trapezoid(length * width - (4 - math.pi) * corner**2, self.height(at)))

    def inside(self, s: float | np.ndarray, thick: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """(length, width, corner) mm of the room inside at `s`, with `thick` mm of wall inside the spoke ring."""
        length, width, corner = self.sides(s)
        less = [np.maximum(each - 2 * thick, 0.0) for each in (length, width)]
        return less[0], less[1], np.clip(corner - thick, 0.0, np.minimum(*less) / 2)

    # The base: rings from its middle out, each so far from the line down its middle

    @property
    def base_length_mm(self) -> float:
        """Length of the base, its diameter when it is round."""
        return self.base_mm if self.base_sides is None else self.base_sides[0]

    @property
    def base_width_mm(self) -> float:
        """Width of the base, its diameter when it is round."""
        return self.base_mm if self.base_sides is None else self.base_sides[1]

    @property
    def base_straight_mm(self) -> float:
        """Length of the straight part of a base's long sides; 0 when it is round. It is as long in every ring."""
        return self.base_length_mm - self.base_width_mm

    def past_straight(self, x: np.ndarray) -> np.ndarray:
        """True for places (k,), mm along the length from the middle, that lie on a round end of an oval."""
        return np.abs(x) > self.base_straight_mm / 2 + 1e-6

    def base_radius(self, s: float | np.ndarray) -> np.ndarray:
        """Length over 2 pi, mm, of the ring round the base at half-width `s`: the radius of a round one."""
        return np.asarray(s, float) + self.base_straight_mm / math.pi

    def turn(self, u: np.ndarray, ends: int, on_curve: int | None) -> np.ndarray:
        """Rings round of places `u` among `ends` spokes (spoke j at j + 1/2), for `place` and `base_place`.

        Spokes stand evenly round the foot of the wall; or `on_curve` of them on each round end and the rest on the two
        long sides, evenly there. With an odd count on a side one of them stands in the middle of it.
        """
        u = np.asarray(u, float)
        if self.is_round or on_curve is None:
            return u / ends
        straight = self.base_straight_mm
        ring = ring_of(self.base_length_mm, self.base_width_mm, self.base_width_mm / 2)
        side = ends / 2 - on_curve
        long, curve = straight / ring, (0.5 - straight / ring)
        shift = 0.5 if round(side) % 2 else 0.0
        whole, at = np.divmod(u + shift, ends / 2)
        knots = [0.0, side / 2, side / 2 + on_curve, ends / 2]
        return whole / 2 + np.interp(at, knots, [0.0, long / 2, long / 2 + curve, 0.5])

    # Where things are in space

    def place(self, turn: np.ndarray, s: np.ndarray) -> Points:
        """(x, y, outward x, outward y) of points on the wall's ring at `s`, each (k,).

        `turn` counts rings round from the middle of the far long side, +y, first towards +x; x is along the length.
        """
        if self.is_round:
            return on_circle(turn, self.radius(s))
        return _on_ring(turn, *self.sides(s), *self.sides(0.0))

    def base_place(self, turn: np.ndarray, s: np.ndarray) -> Points:
        """The same on the ring of the base at half-width `s`."""
        s = np.asarray(s, float)
        if self.is_round:
            return on_circle(turn, s)
        straight = self.base_straight_mm
        return _on_ring(
            turn, straight + 2 * s, 2 * s, s, self.base_length_mm, self.base_width_mm, self.base_width_mm / 2
        )

    def base_at(self, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(turn, half-width s) of points in the plane of an oval base, each (k,): `base_place` turned round."""
        straight, corner = self.base_straight_mm / 2, self.base_width_mm / 2
        past = np.maximum(np.abs(x) - straight, 0.0)
        ring = ring_of(self.base_length_mm, self.base_width_mm, corner)
        # In the far half, first to the right: along the straight side, then round the corner.
        angle = np.arctan2(past, np.abs(y))
        far = (np.minimum(np.abs(x), straight) + angle * corner) / ring
        turn = np.where(y >= 0, far, 0.5 - far)
        return np.where(x >= 0, turn, 1.0 - turn), np.hypot(past, y)


def on_circle(turn: np.ndarray, radius: np.ndarray) -> Points:
    """Points of circles: what `_on_ring` gives where a ring is all corner."""
    turn = np.asarray(turn, float)
    angle = 2 * np.pi * (turn - np.floor(turn))  # many times as fast as %
    nx, ny = np.sin(angle), np.cos(angle)
    return radius * nx, radius * ny, nx, ny


def _on_ring(
    turn: np.ndarray, length: Number, width: Number, corner: Number, foot_length: Number, foot_width: Number,
    foot_corner: Number,
) -> Points:  # fmt: skip
    """Points of rings by the share of each straight side and corner that they have on the ring at the foot.

    So a spoke on a straight side climbs the side it stands on, and those of a corner fan out.
    """
    turn = np.asarray(turn, float) % 1.0
    foot = [
        float(each)
        for each in (
            (foot_length - 2 * foot_corner) / 2, math.pi / 2 * foot_corner, foot_width - 2 * foot_corner,
            math.pi / 2 * foot_corner, (foot_length - 2 * foot_corner) / 2,
        )
    ]  # fmt: skip
    foot = [*foot, *foot]  # a half turn later all is the same, the other way round
    ends = np.cumsum(foot)
    at = turn * ends[-1]
    which = np.clip(np.searchsorted(ends, at, side="right"), 0, 9)
    share = np.clip((at - (ends - foot)[which]) / np.maximum(np.array(foot)[which], 1e-12), 0.0, 1.0)
    half, part = which // 5, which % 5
    a, b = length / 2 - corner, width / 2 - corner  # half of what is straight
    angle = (
        math.pi
        / 2
        * np.select([part == 1, part == 3], [share, 1 + share], np.where(part < 2, 0.0, np.where(part == 2, 1.0, 2.0)))
    )
    x = np.select([part == 0, part <= 3], [a * share, a], a * (1 - share))
    y = np.select([part <= 1, part == 2], [b, b * (1 - 2 * share)], -b)
    nx, ny = np.sin(angle), np.cos(angle)
    sign = np.where(half == 0, 1.0, -1.0)
    return sign * (x + corner * nx), sign * (y + corner * ny), sign * nx, sign * ny


def smooth_through(x: np.ndarray, y: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Shape-keeping cubic through points (Fritsch and Carlson 1980, the limiter of Brodlie): never overshoots.

    x (n,) rising, y (..., n), at (m,) within x; the answer is (..., m). Held against scipy's PchipInterpolator in the
    tests; written out here so that a plan need not import it.
    """
    if len(x) == 2:
        return y[..., :1] + (y[..., 1:] - y[..., :1]) / (x[1] - x[0]) * (at - x[0])
    i = np.minimum(np.maximum(np.searchsorted(x, at, side="right") - 1, 0), len(x) - 2)
    return cubic(x, y, slopes_through(x, y), i, at)


def smooth_through_each(x: list[np.ndarray], y: list[np.ndarray], at: list[np.ndarray]) -> list[np.ndarray]:
    """As `smooth_through` of every line by itself, all reckoned at once: x (n,), y (k, n), at (m,) of each line, which
    has three points or more; the answers are (k, m)."""
    first = np.cumsum([0] + [len(each) for each in x])[:-1]
    points, values = np.concatenate(x), np.concatenate(y, axis=-1)
    slopes = slopes_through(points, values, first)
    i = [begin + _before(each, here) for begin, each, here in zip(first, x, at, strict=True)]
    whole = cubic(points, values, slopes, np.concatenate(i), np.concatenate(at))
    return np.split(whole, np.cumsum([len(here) for here in at])[:-1], axis=-1)


def _before(x: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Between which of the places x (n,) and the next those at (m,) lie, both rising: 0 to n - 2. There are more of
    these than of those, so those are looked for among these."""
    turns = np.searchsorted(at, x[1:-1])
    return np.repeat(np.arange(len(x) - 1), np.diff(turns, prepend=0, append=len(at)))


def slopes_through(x: np.ndarray, y: np.ndarray, first: np.ndarray | None = None) -> np.ndarray:
    """Slopes (..., n) of that cubic at its points, of one line or of many lines one after another.

    `first` (lines,): where each line begins among the points; x rises within each, which has three points or more.
    """
    h = x[1:] - x[:-1]
    begin = np.zeros(1, int) if first is None else first
    end = np.append(begin[1:], len(x)) - 1
    h[end[:-1]] = 1.0  # from one line to the next nothing runs: only the division is kept quiet
    slope = (y[..., 1:] - y[..., :-1]) / h
    d = np.empty(y.shape)
    before, after = slope[..., :-1], slope[..., 1:]
    same = before * after > 0
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    # Where slopes differ in sign the curve is level; the 1 only keeps the division quiet there.
    mean = (w1 + w2) / (w1 / np.where(same, before, 1.0) + w2 / np.where(same, after, 1.0))
    d[..., 1:-1] = np.where(same, mean, 0.0)
    d[..., begin] = _end_slope(h[begin], h[begin + 1], slope[..., begin], slope[..., begin + 1])
    d[..., end] = _end_slope(h[end - 1], h[end - 2], slope[..., end - 1], slope[..., end - 2])
    return d


def cubic(x: np.ndarray, y: np.ndarray, d: np.ndarray, i: np.ndarray, at: np.ndarray) -> np.ndarray:
    """The cubics through points x (n,), y (..., n) with slopes d (..., n), at `at` (m,) between points i and i + 1."""
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    # A shorter form would miss the points by a rounding, and reeds that are alike must be so when they come to rest.
    return (
        y[..., i] * (1 + 2 * t) * (1 - t) ** 2
        + y[..., i + 1] * t**2 * (3 - 2 * t)
        + h * (d[..., i] * t * (1 - t) ** 2 - d[..., i + 1] * t**2 * (1 - t))
    )


def _end_slope(h0: np.ndarray, h1: np.ndarray, s0: np.ndarray, s1: np.ndarray) -> np.ndarray:
    guess = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    steep = (s0 * s1 <= 0) & (np.abs(guess) > 3 * np.abs(s0))
    return np.where(guess * s0 <= 0, 0.0, np.where(steep, 3 * s0, guess))


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
