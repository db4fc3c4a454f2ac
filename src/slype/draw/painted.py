"""The basket painted in dots: wet reed in soft light, for the screen.

`paint` gives the dots, `png` the file. Which reed is seen where is exact to a dot (`pixels`); the light is in `light`.
Reeds differ a little in tone, as they do in a coil, by a seed.
"""

from __future__ import annotations

import math
import struct
import zlib
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from ..colour import hex_of, linear_from_rgb, rgb_of
from ..form.bases import raised_mm
from ..lay.values import Laid
from ..space.assembly import whole
from ..space.cuts import one_reed
from ..space.plank import WOOD, Plank, plank
from ..surface.curve import Curve, Tube, firsts
from . import light, pixels
from .camera import Camera, Seen, camera_for, frame, look, look_at_points, of_painting, read

EVERYWHERE = np.full((1, 1), -np.inf, np.float32)
TONE = 7  # the usual seed of natural variation
GAP_REACH = 2.6  # how far round a dot gaps are looked for, in radii of its reed
GAP_LOOKS = 32
LIGHT_DOTS = 1500  # across the picture that the key light sees
FINER = 1.4  # of a small picture no more light dots than so many times its own: finer shadows would not be seen
INTO_LEAST = 0.45  # of the key light falls into every basket: a hard edge of shadow on the base would hide the weave
KNEE = 0.80  # amounts of light above this are held down softly


class Dots(NamedTuple):
    """What is seen at every dot: `depth` (h, w) in dots, `seg` (h, w) number of the first point of the reed's cylinder
    in `seen`, -1 for none, -2 and less for a face of the `board`; the picture's `box` (left, top, width, height) mm,
    and `step` mm to a dot, of which there are `many` by `many` to each of the picture."""

    view: str
    camera: Camera
    seen: Seen
    depth: np.ndarray
    seg: np.ndarray
    box: tuple[float, float, float, float]
    step: float
    board: Plank | None = None
    many: int = 1

    def in_dots(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """x, y, z, r (k,) of the points, in dots; a dot's middle lies half a dot in."""
        seen, step = self.seen, self.step
        return (
            (seen.x - self.box[0]) / step - 0.5,
            (seen.y - self.box[1]) / step - 0.5,
            seen.depth / step,
            seen.radius / step,
        )

    def cuts(self) -> tuple[np.ndarray, np.ndarray]:
        """`near_cut` and `cuts` of what is seen, in dots."""
        return self.seen.near_cut, in_dots(self.seen.cuts, np.array([*self.box[:2], 0.0]), self.step)


def in_dots(cuts: np.ndarray, origin: np.ndarray, step: float) -> np.ndarray:
    """Cuts (c, 9) as `camera.Seen` has them, their places in dots of `step` mm from `origin` (3,)."""
    return np.c_[(cuts[:, :3] - origin) / step - [0.5, 0.5, 0.0], cuts[:, 3:]]


def dots(
    laid: Laid,
    all_tubes: list[Tube],
    view: str,
    wide: int | None,
    sized: Callable[[int | None, float], tuple[int, int]] = read,
) -> Dots:
    """Which reed is seen at every dot of a picture `wide` dots across, or as many as `sized` says of that and of its
    height over its width, with how many by how many are looked at for each."""
    camera = camera_for(laid, view, all_tubes)
    seen, board = look(camera, all_tubes), plank(laid)
    box = frame(laid, seen, view, None if board is None else np.array(look_at_points(camera, board.points)[:2]))
    across, many = sized(wide, box[3] / box[2])
    size = (max(1, round(box[3] / box[2] * across)) * many, across * many)
    depth, seg = np.empty(size, np.float32), np.empty(size, np.int32)
    found = Dots(view, camera, seen, depth, seg, box, box[2] / across / many, board, many)
    pixels.nearest(*found.in_dots(), seen.tube, seen.shown, EVERYWHERE, depth, seg, *found.cuts())
    if board is not None:
        x, y, away = look_at_points(camera, board.points)
        x, y = (x - box[0]) / found.step - 0.5, (y - box[1]) / found.step - 0.5
        pixels.nearest_faces(x, y, away / found.step, camera.distance / found.step, board.faces, depth, seg)
    return found


def paint(
    laid: Laid, view: str, wide: int | None = None, tone: int = TONE, curves: list[Curve] | None = None
) -> np.ndarray:
    """The picture as dots (h, `wide`, 3) of 0..255, as many as there is room for unless asked.

    `tone` is the seed of natural variation, 0 for none; `curves` as in `assembly.whole`.
    """
    all_tubes = whole(laid, curves, view)
    found = dots(laid, all_tubes, view, wide, of_painting)
    many = found.many
    image = lit(laid, all_tubes, found, many, _reeds(laid, all_tubes, tone))
    if found.board is not None:
        _light_board(laid, all_tubes, found, many, image)
    if view == "outside":
        camera, (table, foot) = found.camera, table_and_foot(laid, all_tubes)
        light.ground(
            image,
            np.array(found.box[:2]),
            found.step * many,
            camera.axes,
            camera.eye,
            camera.distance,
            table,
            foot,
            longer(laid),
            laid.finished_height_mm,
        )
    else:
        image[:, :, :3] += 1 - image[:, :, 3:]
    return _for_the_screen(image[:, :, :3])


def lit(
    laid: Laid, all_tubes: list[Tube], found: Dots, many: int, reeds: tuple, light_dots: int = LIGHT_DOTS
) -> np.ndarray:
    """Amounts of light (h, w, 4), the last how much of the dot is covered; `reeds` as in `light.paint`. The lamp
    sees so many `light_dots` across, or fewer."""
    seen = found.seen
    image = np.zeros((found.depth.shape[0] // many, found.depth.shape[1] // many, 4), np.float32)
    x, y, z, r = found.in_dots()
    radius = np.array([tube.thick_mm / 2 for tube in all_tubes])[seen.tube]
    light.paint(
        image,
        many,
        found.depth,
        found.seg,
        (x, y, z, r, _at_joints(x, y, z, seen.tube), *found.cuts()),
        (seen.world, seen.along, radius, seen.tube),
        reeds,
        _hollow(laid),
        _lamp(found, all_tubes, light_dots),
        (GAP_REACH, *_spiral()),
    )
    return image


def _light_board(laid: Laid, all_tubes: list[Tube], found: Dots, many: int, image: np.ndarray) -> None:
    """Add the light on the board to `image`."""
    camera, board = found.camera, found.board
    assert board is not None, "asked where one is seen"
    light.faces(
        image, many, found.depth, found.seg, board.normals, np.array(linear_from_rgb(rgb_of(WOOD))),
        (found.box[0], found.box[1], found.step, camera.eye, camera.distance),
        _hollow(laid), _lamp(found, all_tubes),
        (GAP_REACH * laid.design.spokes.reed.diameter_mm / found.step, *_spiral()),
    )  # fmt: skip


def table_and_foot(laid: Laid, all_tubes: list[Tube]) -> tuple[float, float]:
    """Height of the table that the basket stands on, and the half-width of its foot, mm."""
    low = min(float(tube.points[:, 2].min()) - tube.thick_mm / 2 for tube in all_tubes)
    foot = float(laid.design.form.sides(0.0)[1]) / 2 + max(tube.thick_mm for tube in all_tubes)
    return low, max(foot, laid.design.form.base_width_mm / 2) if laid.design.base.is_board else foot


def _at_joints(x: np.ndarray, y: np.ndarray, z: np.ndarray, tube: np.ndarray) -> np.ndarray:
    """Tangents (k, 3) of the lines through the points: across the joint, and not across from reed to reed."""
    hop = np.stack([np.gradient(each) for each in (x, y, z)], axis=1)
    step = np.stack([np.diff(each) for each in (x, y, z)], axis=1)
    first = np.flatnonzero(np.r_[True, tube[1:] != tube[:-1]])
    last = np.r_[first[1:] - 1, len(tube) - 1]
    hop[first] = step[np.minimum(first, len(step) - 1)]
    hop[last] = step[last - 1]
    return hop / np.maximum(np.linalg.norm(hop, axis=1), 1e-12)[:, None]


def _reeds(laid: Laid, all_tubes: list[Tube], tone: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(hue, salt, across) of every tube, for `light.paint`."""
    palette = laid.design.palette
    hue = np.array([linear_from_rgb(rgb_of(palette.get(tube.colour) or hex_of(tube.colour))) for tube in all_tubes])
    salt = np.zeros(len(all_tubes), np.int64)
    if tone:
        chance = np.random.default_rng(tone)
        # Reeds of one coil differ in lightness, and a little in warmth.
        # An end of the border is the same reed as its spoke, and a spoke as the one across the base from it.
        tips = np.array([[tube.points[0], tube.points[-1]] for tube in all_tubes])
        own = np.array(one_reed(firsts(all_tubes), tips))
        hue = hue * (1 + 0.10 * chance.standard_normal((len(hue), 1)).clip(-2, 2))[own]
        hue = hue * (1 + 0.03 * chance.standard_normal((len(hue), 1)).clip(-2, 2) * np.array([1.0, 0.0, -1.4]))[own]
        salt = chance.integers(1, 1 << 30, len(hue))[own]
    across = np.zeros((len(all_tubes), 3))
    across[:, 2] = 1.0
    for i, tube in enumerate(all_tubes):
        if tube.role == "weaver":
            continue
        out = tube.points[-1, :2] / max(np.hypot(*tube.points[-1, :2]), 1e-9)
        # A spoke lies in an upright plane through the middle: count from that plane's side; a border end across it.
        across[i] = (out[0], out[1], 0.0) if tube.role == "border" else (-out[1], out[0], 0.0)
    return hue, salt, across


def _hollow(laid: Laid) -> tuple[np.ndarray, float, float, float, float]:
    """What `light._sunk` asks of the basket's form."""
    form = laid.design.form
    top = laid.finished_height_mm - raised_mm(laid.design.base, laid.design.spokes.reed.diameter_mm)
    s = np.linspace(0, laid.top_s + laid.border_height_mm, 400)
    wall = np.interp(np.arange(math.ceil(top) + 1), form.height(s), form.sides(s)[1] / 2)
    thick = laid.design.spokes.reed.diameter_mm + max((band.band.reed.diameter_mm for band in laid.side), default=0.0)
    return wall, top, float(form.sides(laid.top_s)[1]) / 2, thick, longer(laid)


def longer(laid: Laid) -> float:
    """Half of how much longer the basket is than wide, mm: 0 when it is round."""
    length, width, _ = laid.design.form.sides(0.0)
    return float(length - width) / 2


def _lamp(found: Dots, all_tubes: list[Tube], light_dots: int = LIGHT_DOTS):
    """The key light, as `light.paint` asks for it; what it sees is (directions, origin mm, mm to a dot, depths)."""
    camera, into = found.camera, _looks_in(found.view)
    back = camera.axes.T @ (light.INTO if into else light.ACROSS)
    right = np.cross(camera.up, back)
    right /= np.linalg.norm(right)
    rows = np.stack([right, np.cross(back, right), back])
    flat = Camera(back * 1e6, np.zeros(3), *rows)
    seen = look(flat, all_tubes, cuts=False)
    x, y, toward = (rows @ seen.world.T).copy()
    step = (max(np.ptp(x), np.ptp(y)) + 4 * seen.radius.max()) / min(light_dots, FINER * found.depth.shape[1])
    left, top = x.min() - 2 * seen.radius.max(), (-y).min() - 2 * seen.radius.max()
    wide, high = math.ceil((x.max() - left) / step) + 4, math.ceil((-y.min() - top) / step) + 4
    depth, seg = np.empty((high, wide), np.float32), np.empty((high, wide), np.int32)
    x, y, z = (x - left) / step, (-y - top) / step, -toward / step
    # In its shadow no slant of a cut is told.
    no_cuts = seen.near_cut, np.zeros((1, 6))
    pixels.nearest(x, y, z, seen.radius / step, seen.tube, seen.shown, EVERYWHERE, depth, seg, *no_cuts)
    if found.board is not None:
        x, y, toward = rows @ found.board.points.T
        x, y, z = (x - left) / step, (-y - top) / step, -toward / step
        pixels.nearest_faces(x, y, z, 0.0, found.board.faces, depth, seg)
    least = INTO_LEAST if into else 0.0
    return found.camera.axes, least, rows, np.array([left, top, 0.0]), step, depth * np.float32(step)


def _looks_in(view: str) -> bool:
    return view in ("inside", "above")


def _spiral() -> tuple[np.ndarray, np.ndarray]:
    k = np.arange(GAP_LOOKS)
    far, turn = np.sqrt((k + 0.5) / GAP_LOOKS), k * 2.399963
    return far * np.sin(turn), far * np.cos(turn)


def _for_the_screen(image: np.ndarray) -> np.ndarray:
    """Screen values from amounts of light; the brightest are held down softly, white stays white."""
    amounts = np.linspace(0, 2, 4096)  # finer than a step of a screen: a table is quicker than powers of every dot
    over = np.maximum(amounts - KNEE, 0) / (1 - KNEE)
    held = np.where(over > 0, KNEE + (1 - KNEE) * (1 - np.exp(-over)) / (1 - math.exp(-1)), amounts)
    held = np.clip(held, 0, 1)
    screen = np.where(held <= 0.0031308, held * 12.92, 1.055 * held ** (1 / 2.4) - 0.055)
    table = np.round(screen * 255).astype(np.uint8)
    return table[np.minimum((image * 2047.5 + 0.5).astype(np.int32), 4095)]


def png(picture: np.ndarray, words: dict[str, str] | None = None) -> bytes:
    """A PNG file of dots (h, w, 3) 0..255, each row written as its difference from the one above.

    `words` go with it as text, by keyword: "Title", "Description".
    """
    high, wide, _ = picture.shape
    flat = picture.reshape(high, wide * 3)
    rows = np.empty((high, wide * 3 + 1), np.uint8)
    rows[:, 0] = 2
    rows[0, 1:] = flat[0]
    rows[1:, 1:] = flat[1:] - flat[:-1]

    def part(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = part(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0))
    said = (key.encode("latin-1") + b"\0\0\0\0\0" + text.encode() for key, text in (words or {}).items())
    texts = b"".join(part(b"iTXt", each) for each in said)
    return b"\x89PNG\r\n\x1a\n" + head + texts + part(b"IDAT", zlib.compress(rows.tobytes(), 6)) + part(b"IEND", b"")
