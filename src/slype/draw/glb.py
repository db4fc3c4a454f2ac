"""The basket as a solid for other programs: a GLB file (glTF 2.0), every reed a named node.

glTF asks for metres and y upward; slype reckons in mm with z upward. Reeds are closed tubes with smooth normals, cut on
the slant, and one material for each colour.
"""

from __future__ import annotations

import math

import numpy as np

from ..colour import hex_of, rgb_of
from ..lay.values import Laid
from ..space.assembly import whole
from ..space.cuts import SLANT, faces
from ..space.plank import WOOD, Plank, plank
from ..surface.curve import Curve, Tube
from ..version import VERSION

SIDES = 8  # of a reed's cross-section: with smooth normals it reads as round
LONGEST = 2.0  # of a step along a reed, in its thicknesses, where it runs straight
BEND = 0.24  # rad a reed may turn within one step
UPRIGHT = np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]]).T  # z up to y up
ROUGH = 0.6  # wet reed: neither polish nor chalk


def glb(laid: Laid, curves: list[Curve] | None = None) -> bytes:
    """The file's bytes, the same for the same basket. `curves` as in `assembly.whole`."""
    import trimesh
    from trimesh.visual import TextureVisuals
    from trimesh.visual.material import PBRMaterial

    scene = trimesh.Scene(base_frame=laid.design.title)
    materials: dict[str, PBRMaterial] = {}

    def material(name: str, colour: str) -> PBRMaterial:
        if name not in materials:
            rgb = [*(round(255 * each) for each in rgb_of(colour)), 255]
            materials[name] = PBRMaterial(name=name, baseColorFactor=rgb, metallicFactor=0.0, roughnessFactor=ROUGH)
        return materials[name]

    tubes = whole(laid, curves)
    for tube, looks in zip(tubes, faces(tubes), strict=True):
        points, normals, triangles = skin(tube, looks)
        mesh = trimesh.Trimesh(points, triangles, vertex_normals=normals, process=False)
        mesh.visual = TextureVisuals(
            material=material(tube.colour, laid.design.palette.get(tube.colour) or hex_of(tube.colour))
        )
        scene.add_geometry(mesh, node_name=tube.name, geom_name=tube.name)
    board = plank(laid)
    if board is not None:
        points, normals, triangles = _slab(board)
        mesh = trimesh.Trimesh(points, triangles, vertex_normals=normals, process=False)
        mesh.visual = TextureVisuals(material=material("wood", WOOD))
        scene.add_geometry(mesh, node_name="board", geom_name="board")
    return scene.export(file_type="glb", include_normals=True, tree_postprocessor=_signed)


def _signed(tree: dict) -> None:
    """Say in the file which program it comes from."""
    tree["asset"]["generator"] = f"slype {VERSION}"


def skin(tube: Tube, looks: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(points (k, 3) m, normals (k, 3), triangles (t, 3)) of a reed's surface, y up; `looks` (2, 3) the directions in
    which the faces of its cuts look, as `cuts.faces` has them; where it goes on as another it ends square."""
    cut = (looks * looks).sum(axis=1) > 0.5
    line = _thinned(_clear_of_cuts(tube.points, tube.thick_mm, cut), tube.thick_mm)
    step = np.diff(line, axis=0)
    step /= np.linalg.norm(step, axis=1)[:, None]
    along = np.concatenate([step[:1], step[:-1] + step[1:], step[-1:]])
    along /= np.linalg.norm(along, axis=1)[:, None]
    side = _carried(along)
    other = np.cross(along, side)
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    out = side[:, None] * np.cos(turn)[:, None] + other[:, None] * np.sin(turn)[:, None]
    wall = line[:, None] + out * tube.thick_mm / 2
    ends = np.stack([-along[0], along[-1]])
    for end in (0, -1):
        if cut[end]:
            ends[end] = looks[end]
            off = wall[end] - line[end]
            wall[end] -= np.outer(off @ looks[end] / (along[end] @ looks[end]), along[end])
    k = len(line)
    ring = np.arange(SIDES)
    a = (np.arange(k - 1)[:, None] * SIDES + ring).ravel()
    b = (np.arange(k - 1)[:, None] * SIDES + (ring + 1) % SIDES).ravel()
    sleeve = np.concatenate([np.stack([a, b, b + SIDES], axis=1), np.stack([a, b + SIDES, a + SIDES], axis=1)])
    # The faces at the ends have corners of their own, so that their edges stay sharp.
    first, last = k * SIDES, (k + 1) * SIDES
    fan = np.arange(1, SIDES - 1)
    closed = [
        np.stack([np.full_like(fan, first), first + fan + 1, first + fan], axis=1),
        np.stack([np.full_like(fan, last), last + fan, last + fan + 1], axis=1),
    ]
    points = np.concatenate([wall.reshape(-1, 3), wall[0], wall[-1]])
    normals = np.concatenate([out.reshape(-1, 3), np.repeat(ends, SIDES, axis=0)])
    return (
        (points @ UPRIGHT / 1000).astype(np.float32),
        (normals @ UPRIGHT).astype(np.float32),
        np.concatenate([sleeve, *closed]),
    )


def _slab(board: Plank) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(points (k, 3) m, normals (k, 3), triangles (t, 3)) of the board, y up, each with corners of its own."""
    points = board.points[board.faces].reshape(-1, 3) @ UPRIGHT / 1000
    normals = np.repeat(board.normals, 3, axis=0) @ UPRIGHT
    return points.astype(np.float32), normals.astype(np.float32), np.arange(len(points)).reshape(-1, 3)


def _thinned(points: np.ndarray, thick: float) -> np.ndarray:
    """Points of a line with long steps where it runs straight and short ones where it bends; the last at either end
    stay, and between them each stands as far outside a bend as its steps cut it off."""
    step = np.diff(points, axis=0)
    long = np.linalg.norm(step, axis=1)
    points, step, long = points[np.r_[True, long > 1e-9]], step[long > 1e-9], long[long > 1e-9]
    step = step / long[:, None]
    bend = np.r_[0.0, np.arccos(np.clip((step[1:] * step[:-1]).sum(axis=1), -1, 1)), 0.0]
    cost = np.cumsum(np.r_[0.0, long / (LONGEST * thick)]) + np.cumsum(bend) / BEND
    many = max(2, int(np.ceil(cost[-1])) + 1)
    at = np.unique(np.searchsorted(cost, np.linspace(0, cost[-1], many) - 1e-12))
    kept = np.unique(np.r_[0, min(1, len(points) - 1), at, max(0, len(points) - 2), len(points) - 1])
    line, left = points[kept], np.diff(kept)
    begun = np.repeat(kept[:-1], left)
    along = np.r_[0.0, np.cumsum(long)]
    hop = along[kept[1:]] - along[kept[:-1]]
    part = (along[:-1] - along[begun]) / np.repeat(hop, left)
    off = points[:-1] - points[begun] - part[:, None] * np.repeat(np.diff(line, axis=0), left, axis=0)
    # Of what a step leaves of its bend the greatest is half as much again as the mean; half of that is for each side.
    mean = np.add.reduceat(off, kept[:-1]) / left[:, None]
    line[1:-1] += 0.75 * (mean[:-1] + mean[1:]) / 2
    return line


def _clear_of_cuts(line: np.ndarray, thick: float, cut: np.ndarray) -> np.ndarray:
    """The points of a line without those over which the slanting face of a cut would reach back."""
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    reach = 0.55 * SLANT * thick
    keep = np.ones(len(line), bool)
    keep[1:-1] &= (along[1:-1] > reach) | ~cut[0]
    keep[1:-1] &= (along[-1] - along[1:-1] > reach) | ~cut[1]
    return line[keep]


def _carried(along: np.ndarray) -> np.ndarray:
    """Directions (k, 3) square to `along` (k, 3), carried from point to point without twist."""
    x, y, z = np.eye(3)[int(np.argmin(np.abs(along[0])))].tolist()
    out = []
    for a, b, c in along.tolist():  # plain numbers: five times as quick as small arrays, and there are many points
        lean = x * a + y * b + z * c
        x, y, z = x - lean * a, y - lean * b, z - lean * c
        long = math.sqrt(x * x + y * y + z * z)
        x, y, z = x / long, y / long, z / long
        out.append((x, y, z))
    return np.array(out)
