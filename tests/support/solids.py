"""A second opinion on whether reeds lie in each other: read from a GLB file alone, by brute force.

Knows nothing of rods, contacts, surfaces or strokes: it takes the file that other programs get, rebuilds the middle
line and the radius of every reed from the rings of its skin, and measures every two pieces of reed in space. The design
is asked for one thing only: which bands are the base's.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import scipy

CUT = 1.0
"""So near to a cut end, in thicknesses of that reed, nothing is measured: ends are cut on the slant."""
ALONG = 4.0
"""So near along one reed, in its thicknesses, it is not measured against itself: that is its own next piece."""


@dataclass(frozen=True, eq=False)
class Reed:
    """One reed of the file: `line` (k, 3) mm, z up; `radius` mm."""

    name: str
    line: np.ndarray
    radius: float


@dataclass(frozen=True)
class Overlap:
    """Two reeds in each other: `share` of the thinner one's thickness, `at` mm; `kinds` what they are there."""

    share: float
    kinds: tuple[str, str]
    names: tuple[str, str]
    at: tuple[float, float, float]


def reeds_in(glb: bytes) -> list[Reed]:
    """Every reed of a GLB file of slype's; the board is none."""
    assert glb[:4] == b"glTF"
    size = struct.unpack_from("<I", glb, 12)[0]
    tree, body = json.loads(glb[20 : 20 + size]), glb[20 + size + 8 :]

    def array(number: int, kind: str, width: int) -> np.ndarray:
        what = tree["accessors"][number]
        view = tree["bufferViews"][what["bufferView"]]
        start = view.get("byteOffset", 0) + what.get("byteOffset", 0)
        return np.frombuffer(body, kind, what["count"] * width, start).reshape(-1, width)

    out = []
    kinds = {5125: "<u4", 5123: "<u2"}
    for node in tree["nodes"]:
        if "mesh" not in node or node["name"] == "board":
            continue
        (part,) = tree["meshes"][node["mesh"]]["primitives"]
        points = array(part["attributes"]["POSITION"], "<f4", 3).astype(float) * 1000
        faces = array(part["indices"], kinds[tree["accessors"][part["indices"]]["componentType"]], 1).ravel()
        sides = (
            int(faces[2]) - 1
        )  # the first triangle is corner 0, corner 1, and the one that follows it on the next ring
        rings = points.reshape(-1, sides, 3)[:-2]  # without the two flat ends
        line = rings.mean(axis=1)
        radius = float(np.median(np.linalg.norm(rings - line[:, None], axis=2)))
        out.append(Reed(node["name"], line[:, [0, 2, 1]] * [1, -1, 1], radius))
    return out


def overlaps(reeds: list[Reed], base_bands: Iterable[int] = ()) -> dict[tuple[str, str], Overlap]:
    """The worst overlap of every two kinds of reed, of those that overlap at all; `base_bands` counted from 1."""
    a, b, which, along, whole = _pieces(reeds)
    radius = np.array([reed.radius for reed in reeds])[which]
    near = _near(a, b, radius, which, along)
    far, s, t = _closest(a, b, *near)
    one, two = near
    thin = np.minimum(radius[one], radius[two])
    share = (radius[one] + radius[two] - far) / (2 * thin)
    long = np.linalg.norm(b - a, axis=1)
    free = np.ones(len(one), bool)
    for piece, part in ((one, s), (two, t)):
        place = along[piece] + part * long[piece]
        free &= np.minimum(place, whole[piece] - place) >= CUT * 2 * radius[piece]
    found = np.flatnonzero(free & (share > 0))
    base = set(base_bands)
    worst: dict[tuple[str, str], Overlap] = {}
    seen: set[tuple[int, int]] = set()
    for i in found[np.argsort(-share[found], kind="stable")]:
        pair = (int(which[one[i]]), int(which[two[i]]))
        at = a[one[i]] + s[i] * (b[one[i]] - a[one[i]])
        both = [kind_of(reeds[k], at, base) for k in pair]
        kinds = tuple(sorted(both))
        if pair in seen and kinds in worst:
            continue
        seen.add(pair)
        worst.setdefault(
            kinds,
            Overlap(float(share[i]), kinds, tuple(reeds[k].name for k in pair), tuple(float(x) for x in at.round(1))),
        )
    return worst


def kind_of(reed: Reed, at: np.ndarray, base_bands: set[int]) -> str:
    """What a reed is there: a spoke that lies below, turns up or stands is three things."""
    name = reed.name
    for fitted in ("lid", "handle", "foot"):
        if name.startswith(fitted):
            return fitted
    if name.startswith("band "):
        return "base weaver" if int(name.split(",")[0].split()[1]) in base_bands else "side weaver"
    if "stick" in name:
        return "base stick"
    if name.startswith("border end"):
        return "border end"
    if "bye-spoke" in name:
        return "bye-spoke"
    if "through the board" in name:
        return "foot"
    high = float(at[2]) / (2 * reed.radius)
    return "spoke in the base" if high < 0.75 else "spoke at the turn" if high < 2.5 else "spoke"


def _pieces(reeds: list[Reed]):
    """Pieces (k, 3) from and to, none longer than the reed is thick; its reed, mm along it, and that reed's length."""
    starts, ends, which, along, whole = [], [], [], [], []
    for number, reed in enumerate(reeds):
        step = np.linalg.norm(np.diff(reed.line, axis=0), axis=1)
        many = np.maximum(1, np.ceil(step / (2 * reed.radius)).astype(int))
        i = np.repeat(np.arange(len(step)), many)
        part = (np.arange(len(i)) - np.repeat(np.cumsum(many) - many, many)) / many[i]
        hop = reed.line[i + 1] - reed.line[i]
        starts.append(reed.line[i] + part[:, None] * hop)
        ends.append(reed.line[i] + (part + 1 / many[i])[:, None] * hop)
        begins = np.r_[0.0, np.cumsum(step)]
        along.append(begins[i] + part * step[i])
        which.append(np.full(len(i), number))
        whole.append(np.full(len(i), begins[-1]))
    return tuple(np.concatenate(each) for each in (starts, ends, which, along, whole))


def _near(a, b, radius, which, along) -> tuple[np.ndarray, np.ndarray]:
    """Every two pieces that could touch."""
    middle, half = (a + b) / 2, np.linalg.norm(b - a, axis=1) / 2
    pairs = scipy.spatial.cKDTree(middle).query_pairs(2 * float((half + radius).max()), output_type="ndarray")
    one, two = pairs.T
    reach = half[one] + half[two] + radius[one] + radius[two]
    close = ((middle[one] - middle[two]) ** 2).sum(axis=1) < reach**2
    close &= (which[one] != which[two]) | (np.abs(along[one] - along[two]) > ALONG * 2 * radius[one])
    return one[close], two[close]


def _closest(a, b, one, two) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(distance, share along the first, share along the second) where two straight pieces come closest.

    After Ericson 2005, Real-Time Collision Detection, section 5.1.9.
    """
    d1, d2, r = b[one] - a[one], b[two] - a[two], a[one] - a[two]

    def dot(x, y):
        return np.einsum("ij,ij->i", x, y)

    aa, ee, ff, cc, bb = dot(d1, d1), dot(d2, d2), dot(d2, r), dot(d1, r), dot(d1, d2)
    den = aa * ee - bb * bb
    s = np.where(den > 1e-12 * aa * ee, np.clip((bb * ff - cc * ee) / np.maximum(den, 1e-300), 0, 1), 0.5)
    t = np.clip((bb * s + ff) / ee, 0, 1)
    s = np.clip((bb * t - cc) / aa, 0, 1)
    t = np.clip((bb * s + ff) / ee, 0, 1)
    gap = r + s[:, None] * d1 - t[:, None] * d2
    return np.sqrt(dot(gap, gap)), s, t
