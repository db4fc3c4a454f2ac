"""Where the basket is looked at from: reeds in space to flat points with their depth.

A view is a place of the eye and a point it looks at, chosen for the basket's size. The picture plane goes through that
point, so that a mm on the picture is a mm of the basket there; what is nearer is drawn larger, gently.

Picture coordinates: x to the right, y downward, mm. Depth is the logarithm of the distance, scaled so that near any
one point a small step in depth counts as many mm as it does on the picture: a round reed stays round.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..errors import DesignError
from ..form.bases import raised_mm
from ..lay.values import Laid
from ..rods.compiled import compiled
from ..space.assembly import BESIDE_BOW
from ..space.cuts import SLANT, faces_at, slanted, unit
from ..surface.curve import Tube

SHADOW = 1.12  # how much wider the shadow on the table is than a board that stands on it
MARGIN = 0.03  # white round the basket, as a share of the picture's width
ACROSS_BOW = math.degrees(BESIDE_BOW) - 90.0
"""Where the eye stands round a basket with a bow, degrees from its right: the bow stands over the start line at the far
side, and would be seen edge-on from the near side."""
NEAREST = 0.12  # what is nearer the eye than this share of the distance looked over is not drawn


@dataclass(frozen=True, eq=False)
class Camera:
    """An eye: `eye` and `at` (3,) mm; `right`, `up`, `back` (3,) unit directions, `back` pointing to the eye."""

    eye: np.ndarray
    at: np.ndarray
    right: np.ndarray
    up: np.ndarray
    back: np.ndarray

    @cached_property
    def distance(self) -> float:
        """mm from the eye to what it looks at."""
        return float(np.linalg.norm(self.eye - self.at))

    @cached_property
    def axes(self) -> np.ndarray:
        """(3, 3): right, up and back, a row each."""
        return np.stack([self.right, self.up, self.back])


@dataclass(frozen=True, eq=False)
class Seen:
    """Points of all tubes on the picture: `x`, `y`, `depth`, `radius` (k,) mm there; `tube` (k,) which tube each is of;
    `world` (k, 3) mm in space; `along` (k,) mm from the tube's start; `shown` (k,) False where it is behind the eye;
    `near_cut` (k,) which cut the stretch from each point on lies near, -1 for none; `cuts` (c, 9) the middle of the
    face of each, as x, y and depth, the direction on the picture in which it looks, and the reed's run out there;
    `cut_at` (c,) the number of the point at its tip."""

    x: np.ndarray
    y: np.ndarray
    depth: np.ndarray
    radius: np.ndarray
    tube: np.ndarray
    world: np.ndarray
    along: np.ndarray
    shown: np.ndarray
    near_cut: np.ndarray
    cuts: np.ndarray
    cut_at: np.ndarray


def camera_for(laid: Laid, view: str, tubes: list[Tube] | None = None) -> Camera:
    """The eye for "outside", "inside", "above" or "under"; with `tubes` it stands so far off that all of them fit."""
    form = laid.design.form
    wall = np.linspace(0, laid.top_s, 50)
    wide = max(float(form.sides(wall)[0].max()), form.base_length_mm, laid.base_reached_mm) / 2
    low = -raised_mm(laid.design.base, laid.design.spokes.reed.diameter_mm)
    mouth, high = float(form.sides(laid.top_s)[1]) / 2, laid.finished_height_mm + low
    top = max([high, *(float(tube.points[:, 2].max()) for tube in tubes or ())])
    if view == "outside":
        middle = np.array([0.0, 0.0, (top + low) / 2])
        around = ACROSS_BOW if laid.design.has_bow else -90
        if laid.design.hand == "left":  # the mirror image, looked at as in a mirror
            around = -180 - around
        return looking(middle + 6.5 * max(wide, (top - low) / 2) * direction(around, 24), middle, (0, 0, 1))
    if view == "above":
        # Far enough to see the border round, near enough that an upright wall still shows its inner face.
        return looking(np.array([0.0, 0.0, top + 2.6 * wide + high]), np.array([0.0, 0.0, high]), (0, 1, 0))
    if view == "under":
        return looking(np.array([0.0, 0.0, -6.0 * wide]), np.zeros(3), (0, -1, 0))
    # From so high that the near edge hides nothing of the far wall.
    foot = float(form.sides(0.0)[1]) / 2
    rise = math.degrees(math.atan2(high, mouth + foot)) + 9
    at = np.array([0.0, 0.0, high - 0.3 * mouth])
    return looking(at + 5.0 * max(mouth, 0.6 * high, 0.7 * wide) * direction(-90, max(36.0, rise)), at, (0, 0, 1))


def direction(around_deg: float, up_deg: float) -> np.ndarray:
    """The unit vector (3,) so far round from the right, counterclockwise from above, and so far above the table."""
    a, b = math.radians(around_deg), math.radians(up_deg)
    return np.array([math.cos(a) * math.cos(b), math.sin(a) * math.cos(b), math.sin(b)])


def looking(eye: np.ndarray, at: np.ndarray, up: tuple[float, float, float]) -> Camera:
    """The camera of an eye that looks at a point, `up` upward on the picture."""
    back = (eye - at) / np.linalg.norm(eye - at)
    right = np.cross(np.array(up, float), back)
    right /= np.linalg.norm(right)
    return Camera(eye, at, right, np.cross(back, right), back)


def look(camera: Camera, tubes: list[Tube], cuts: bool = True) -> Seen:
    """All tubes as the camera sees them; without `cuts` as if none of them were cut off anywhere."""
    world = np.ascontiguousarray(np.concatenate([tube.points for tube in tubes]), np.float64)
    lengths = np.array([len(tube.points) for tube in tubes])
    last = np.cumsum(lengths) - 1
    tips, thick = np.stack([last - lengths + 1, last], axis=1), np.array([tube.thick_mm for tube in tubes], np.float64)
    place, radius, which, along, shown = _looked(world, tips, thick, camera.eye, camera.axes, camera.distance, NEAREST)
    if cuts:
        near_cut, at_cuts, at = _cuts(camera, world, tips, place, which, along, thick)
    else:
        near_cut, at_cuts, at = np.full(len(world), -1), np.zeros((0, 9)), np.zeros(0, int)
    return Seen(place[0], place[1], place[2], radius, which, world, along, shown, near_cut, at_cuts, at)


@compiled()
def _looked(world, tips, thick, eye, axes, far, nearest):
    """(x, y and depth (3, k), radius, tube, along, shown) of `Seen`, all of points (k, 3); the first and last of each
    tube at `tips` (tubes, 2), `thick` (tubes,) mm; an eye that looks `far`."""
    many = world.shape[0]
    turned, place, radius = _turned(world, eye, axes), np.empty((3, many)), np.empty(many)
    which, along, shown = np.empty(many, np.int64), np.empty(many), np.empty(many, np.bool_)
    total = before = 0.0
    for tube in range(tips.shape[0]):
        first = tips[tube, 0]
        for i in range(first, tips[tube, 1] + 1):
            if i > 0:
                x, y, z = world[i, 0] - world[i - 1, 0], world[i, 1] - world[i - 1, 1], world[i, 2] - world[i - 1, 2]
                total += math.sqrt(x * x + y * y + z * z)
            if i == first:
                before = total
            away = turned[2, i]
            shown[i] = away > nearest * far
            away = max(away, nearest * far)
            scale = far / away
            place[0, i], place[1, i] = turned[0, i] * scale, -turned[1, i] * scale
            place[2, i] = far * math.log(away / far)
            radius[i], which[i], along[i] = thick[tube] / 2 * scale, tube, total - before
    return place, radius, which, along, shown


def _cuts(camera: Camera, world, tips, place, which, along, thick) -> tuple[np.ndarray, ...]:
    """(near_cut, cuts, cut_at) of `Seen`; `tips` (tubes, 2) the numbers of the first and last point of each, `thick`
    (tubes,) mm; `place` (3, k) on the picture, `along` (k,) mm from the start of a reed."""
    look_to, last = faces_at(world, tips, thick), tips[:, 1]
    cut = np.linalg.norm(look_to, axis=2) > 0.5
    number = np.where(cut, np.cumsum(cut.ravel()).reshape(cut.shape) - 1, -1)
    near = _near(which, along, along[last], SLANT * thick, number)
    near[tips[:, 0]] = np.where(number[:, 0] >= 0, number[:, 0], near[tips[:, 0]])
    near[last - 1] = np.where(number[:, 1] >= 0, number[:, 1], near[last - 1])
    at, inner = tips[cut], (tips + np.array([1, -1]))[cut]
    here = place[:, at].T
    run = unit(here - place[:, inner].T)
    # The same slant on the picture: a reed is round there too.
    x, y, away = look_at_points(camera, world[at] + look_to[cut])
    toward = np.stack([x, y, camera.distance * np.log(np.maximum(away, 1.0) / camera.distance)], axis=1) - here
    return near, np.concatenate([here, slanted(run, toward), run], axis=1), at


@compiled()
def _near(which, along, long, reach, number):
    """Which cut the stretch from each point on lies near, -1 for none: of tubes so `long`, a cut reaching so far, and
    the cuts at both ends of each of this `number` (tubes, 2)."""
    out = np.full(which.size, -1)
    for i in range(which.size):
        tube = which[i]
        left = long[tube] - along[i]
        # The nearer of both ends, where a reed is so short that both are near.
        if along[i] < reach[tube] and along[i] <= left:
            out[i] = number[tube, 0]
        elif left < reach[tube]:
            out[i] = number[tube, 1]
    return out


def look_at_points(camera: Camera, points: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """x, y on the picture, mm, and mm away from the eye, of points (k, 3)."""
    x, y, away = _flat(camera, points)
    return x * camera.distance / away, -y * camera.distance / away, away


def _flat(camera: Camera, points: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(to the right, up, away from the eye), mm, of points (k, 3)."""
    right, up, away = _turned(*(np.ascontiguousarray(each, np.float64) for each in (points, camera.eye, camera.axes)))
    return right, up, away


@compiled()
def _turned(points, eye, axes):
    """(3, k): points (k, 3) less `eye` (3,) along the first two of these axes (3, 3), and against the third."""
    out = np.empty((3, points.shape[0]))
    for i in range(points.shape[0]):
        x, y, z = points[i, 0] - eye[0], points[i, 1] - eye[1], points[i, 2] - eye[2]
        out[0, i] = axes[0, 0] * x + axes[0, 1] * y + axes[0, 2] * z
        out[1, i] = axes[1, 0] * x + axes[1, 1] * y + axes[1, 2] * z
        out[2, i] = -(axes[2, 0] * x + axes[2, 1] * y + axes[2, 2] * z)
    return out


def frame(laid: Laid, seen: Seen, view: str, others: np.ndarray | None = None) -> tuple[float, float, float, float]:
    """(left, top, width, height) mm of the picture: the whole basket, or its mouth for a look inside.

    `others` (2, k) are x and y on the picture of what else must be within it.
    """
    use = seen.shown
    if view == "inside":  # the mouth fills the picture
        use = use & (seen.world[:, 2] > float(laid.design.form.height(laid.top_s)))
    left, right = (seen.x - seen.radius)[use].min(), (seen.x + seen.radius)[use].max()
    top, bottom = (seen.y - seen.radius)[use].min(), (seen.y + seen.radius)[use].max()
    if others is not None and view == "outside":  # a board is wider than the wall: its shadow too
        others = others.mean(axis=1)[:, None] + SHADOW * (others - others.mean(axis=1)[:, None])
    if others is not None and view != "inside":
        left, right = min(left, others[0].min()), max(right, others[0].max())
        top, bottom = min(top, others[1].min()), max(bottom, others[1].max())
    if view == "outside":  # room for the shadow on the table
        bottom += 0.05 * (right - left)
    more = MARGIN * (right - left)
    return float(left - more), float(top - more), float(right - left + 2 * more), float(bottom - top + 2 * more)


# How many dots: a tower drawn as wide as a bowl would be fifty thousand dots high --------------------------------

WIDE_PX = 1600
"""Width of a picture, unless asked."""
MANY = 2
"""Dots by dots painted for each dot of a picture, for soft edges."""
MOST_FINE, MOST_PAINTED, MOST_PRINTED, MOST_READ = 10_000_000, 16_000_000, 60_000_000, 12_000_000
"""Dots of a painting with soft edges, of one without (at 46 bytes a dot: 0.9 GB), of a drawing turned into dots, and
those from which a drawing reads what is seen. At 300 dots to an inch, 16 million are 13 inches each way."""


def read(wide: int | None, aspect: float) -> tuple[int, int]:
    """(dots across, dots by dots for each) for a look at what is seen, `wide` of them where the height (`aspect` times
    the width) allows."""
    return min(wide or WIDE_PX, _most_wide(MOST_READ, aspect)), 1


def of_painting(wide: int | None, aspect: float) -> tuple[int, int]:
    """The same for a painting. Raises DesignError where more are asked for than are painted."""
    wide = of_picture(wide, aspect, MOST_PAINTED)
    return wide, MANY if wide * wide * aspect <= MOST_FINE else 1


def of_picture(wide: int | None, aspect: float, most: int = MOST_PRINTED) -> int:
    """Dots across a picture: those asked for, or the usual ones as far as there is room for their height."""
    most_wide = _most_wide(most, aspect)
    if wide is None:
        return min(WIDE_PX, most_wide)
    if wide > most_wide:
        raise DesignError(
            f"{wide:,} dots across would be {wide * aspect:,.0f} down, more than are kept in mind at once.", "width",
            f"At most {most_wide // 10 * 10:,} across for this picture; an .svg is sharp at any size.",
        )  # fmt: skip
    return wide


def _most_wide(most: int, aspect: float) -> int:
    return max(1, math.isqrt(int(most / aspect)))
