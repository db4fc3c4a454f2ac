"""How much light is seen through the ring between base and wall, looked at from inside (docs/rest.md).

Run as `PYTHONPATH=src python benchmarks/bench_ring.py FILE ...`: designs of round baskets, settled. The ring is looked
at outward and down at several slopes, sector by sector, on dots of PX mm; about 5 s of a processor each.
"""

from __future__ import annotations

import sys

import numpy as np
from scipy import ndimage

from slype.design.file.reader import load
from slype.rest.curves import all_curves
from slype.rest.relax import AtRest, relax
from slype.space.assembly import whole

PX, STEP, SECTORS = 0.12, 0.35, 36
SLOPES = 15, 30, 45, 60, 80
LOW, HIGH = (-4.0, 0.0), (3.0, 7.0)
"""From where to where it is looked at: mm outward from the wall's foot and up from the sticks' middle."""


def skins(rest: AtRest, edge: float) -> tuple[np.ndarray, np.ndarray]:
    """Points (k, 3) along all reeds near the ring, and their radius (k,)."""
    points, radius = [], []
    for reed in whole(rest.laid, all_curves(rest)):
        along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(reed.points, axis=0), axis=1))]
        at = np.arange(0.0, along[-1], STEP)
        dense = np.stack([np.interp(at, along, axis) for axis in reed.points.T], axis=1)
        away = np.hypot(*dense[:, :2].T) - edge
        near = dense[(away > -16) & (away < 22) & (dense[:, 2] < 30)]
        points.append(near)
        radius.append(np.full(len(near), reed.thick_mm / 2))
    return np.concatenate(points), np.concatenate(radius)


def open_dots(points: np.ndarray, radius: np.ndarray, edge: float, sector: int, slope: float) -> np.ndarray:
    """True for every dot of one sector's picture at which no reed stands."""
    turn, tilt = 2 * np.pi * (sector + 0.5) / SECTORS, np.radians(slope)
    out, wide = np.array([np.sin(turn), np.cos(turn)]), 2 * np.pi * edge / SECTORS
    away, x = points[:, :2] @ out, points[:, :2] @ [out[1], -out[0]]
    low, high = ((edge + o) * np.sin(tilt) + up * np.cos(tilt) for o, up in (LOW, HIGH))
    y = away * np.sin(tilt) + points[:, 2] * np.cos(tilt)
    here = (away > 0) & (np.abs(x) < wide / 2 + 3) & (y > low - 3) & (y < high + 3)
    shape, dark = (int((high - low) / PX), int(wide / PX)), None
    for r in np.unique(radius[here]):
        m = int(np.ceil(r / PX)) + 1
        line = np.zeros((shape[0] + 2 * m, shape[1] + 2 * m), bool)
        some = here & (radius == r)
        i, j = (np.round(each).astype(int) + m for each in ((y[some] - low) / PX, (x[some] + wide / 2) / PX))
        within = (i >= 0) & (i < line.shape[0]) & (j >= 0) & (j < line.shape[1])
        line[i[within], j[within]] = True
        covered = (ndimage.distance_transform_edt(~line) * PX <= r)[m:-m, m:-m]
        dark = covered if dark is None else dark | covered
    return ~dark if dark is not None else np.ones(shape, bool)


def main(paths: list[str]) -> None:
    for path in paths:
        rest = relax(load(path))
        edge = float(rest.design.form.sides(0.0)[0]) / 2
        points, radius = skins(rest, edge)
        for slope in SLOPES:
            seen = [open_dots(points, radius, edge, sector, slope) for sector in range(SECTORS)]
            holes = [n * PX * PX for each in seen for n in np.bincount(ndimage.label(each)[0].ravel())[1:]]
            print(f"{path}, {slope} degrees: {sum(holes):.0f} mm2 open, the largest hole {max(holes, default=0):.0f}")


if __name__ == "__main__":
    main(sys.argv[1:])
