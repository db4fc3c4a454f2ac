"""Painting reeds dot by dot: which reed is seen at every dot, and the light on it. Compiled loops.

All lengths here are dots of the picture being painted; x to the right, y downward, z away from the eye. A reed is a
chain of short cylinders, cut on the slant at its two ends; where it goes on as another reed, a ball closes the joint.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from ..rods.compiled import compiled

RUN_ON = 0.22  # how far a cylinder runs on past its end, in its own radii, to close the outside of a bend
REACH = 1.6  # how far a reed cut on the slant may reach past the end of its middle line, in radii
ON_FACE = 0.03  # so near the face of a cut, in radii, a dot shows that face and not the bark
SEEN_FROM = 1e-3  # a cylinder seen more nearly end-on than this is drawn as a ball
SOFT_MM, LOOKS = 1.8, 3  # how far aside a shadow fades, and looks to each side of a place for it
SLOPE = 0.5  # a surface that rises no more than so much towards the lamp is not in its own shadow
LIFT = 0.10  # what stands less than this above a surface (as a sine) does not darken it


SHARED_FROM = 250_000  # dots; below, handing rows to a second core costs more than it saves
STRIPS = 8  # of a picture's rows, so that both cores have as much to do wherever the basket stands in it


def by_rows(rows: int, dots: int, work: Callable[[int, int], None]) -> None:
    """Does the `work` of all rows, from the first to before the last it is given: in strips on two cores where there
    are, and so many `dots` that it pays. What a dot becomes must not depend on those of other rows."""
    if dots < SHARED_FROM or (os.cpu_count() or 1) < 2:
        return work(0, rows)
    edges = [rows * k // STRIPS for k in range(STRIPS + 1)]
    with ThreadPoolExecutor(2) as cores:
        list(cores.map(work, edges[:-1], edges[1:]))


def nearest(x, y, z, r, tube, shown, beyond, depth, seg, near_cut, cuts):
    """Paint every reed into `depth` (h, w, float32) and `seg` (h, w, int32): the nearest surface and the number of the
    first point of the cylinder it belongs to, -1 where there is none.

    x, y, z, r, tube, shown (k,). Only what lies beyond `beyond` (h, w, or 1, 1 for all dots) is looked at. `near_cut`
    (k,) the number of the cut that the cylinder from each point lies near, -1 for none; `cuts` (c, 6 or more) a place
    on its face, and the direction in which that looks.
    """
    depth[:], seg[:] = np.inf, -1
    nearer(x, y, z, r, tube, shown, beyond, depth, seg, near_cut, cuts)


def nearer(x, y, z, r, tube, shown, beyond, depth, seg, near_cut, cuts):
    """`nearest`, but only at dots where that is nearer than what stands in `depth` already."""
    x, y, z = map(np.ascontiguousarray, (x, y, z))  # columns of a table too: the loop is compiled for one kind alone
    every = x, y, z, r, tube, shown, beyond, depth, seg, near_cut, cuts
    by_rows(depth.shape[0], depth.size, lambda first, end: _nearest(*every, first, end))


@compiled(nogil=True, fastmath={"contract", "arcp", "nsz", "reassoc"})
def _nearest(x, y, z, r, tube, shown, beyond, depth, seg, near_cut, cuts, first, end):
    """`nearer` of the rows from `first` to before `end`."""
    wide = depth.shape[1]
    last = x.size - 1
    one_for_all = beyond.shape[0] == 1
    for i in range(last):
        if tube[i] != tube[i + 1] or not (shown[i] and shown[i + 1]):
            continue
        dx, dy, dz = x[i + 1] - x[i], y[i + 1] - y[i], z[i + 1] - z[i]
        long = math.sqrt(dx * dx + dy * dy + dz * dz)
        if long < 1e-9:
            continue
        dx, dy, dz = dx / long, dy / long, dz / long
        rad = 0.5 * (r[i] + r[i + 1])
        ends_here = i == 0 or tube[i - 1] != tube[i]
        ends_there = i + 1 == last or tube[i + 2] != tube[i]
        ex, ey = rad * math.sqrt(max(0.0, 1 - dx * dx)), rad * math.sqrt(max(0.0, 1 - dy * dy))
        over = RUN_ON * rad
        cut = near_cut[i]
        # On the slant a reed reaches beyond its middle line's end, and needs no ball there.
        before = (REACH if cut >= 0 else 1.0) * rad if ends_here else over
        after = (REACH if cut >= 0 else 1.0) * rad if ends_there else over
        x0, x1 = min(x[i] - before * dx, x[i + 1] + after * dx), max(x[i] - before * dx, x[i + 1] + after * dx)
        y0, y1 = min(y[i] - before * dy, y[i + 1] + after * dy), max(y[i] - before * dy, y[i + 1] + after * dy)
        if (ends_here or ends_there) and cut < 0:
            ex, ey = rad, rad
        flat2 = dx * dx + dy * dy
        flat = math.sqrt(flat2)
        # No dot of it is nearer than so: what lies before that already needs no look.
        front = min(z[i], z[i + 1]) - (REACH + 1.0) * rad - 1e-3
        for row in range(max(first, math.ceil(y0 - ey)), min(end - 1, math.floor(y1 + ey)) + 1):
            qy = row - y[i]
            left, right = x0 - ex, x1 + ex
            if abs(dy) > 1e-3:  # between the two lines along the cylinder's sides
                middle, half = x[i] + qy * dx / dy, rad * flat / abs(dy)
                left, right = max(left, middle - half), min(right, middle + half)
            for col in range(max(0, math.ceil(left)), min(wide - 1, math.floor(right)) + 1):
                if front >= depth[row, col]:
                    continue
                qx = col - x[i]
                best = np.inf
                if flat > SEEN_FROM:
                    off = qx * dy - qy * dx
                    room = flat2 * rad * rad - off * off
                    if room >= 0:
                        t = ((qx * dx + qy * dy) * dz - math.sqrt(room)) / flat2
                        w = qx * dx + qy * dy + t * dz
                        if cut >= 0:
                            best = _at_cut(t, qx, qy, x[i], y[i], z[i], dx, dy, dz, flat2, room, -before, long + after,
                                           cuts[cut])  # fmt: skip
                        elif (0 if ends_here else -over) <= w <= long + (0 if ends_there else over):
                            best = t
                if cut >= 0:
                    pass
                elif ends_here or flat <= SEEN_FROM:
                    room = rad * rad - qx * qx - qy * qy
                    if room >= 0 and -math.sqrt(room) < best:
                        best = -math.sqrt(room)
                if ends_there and cut < 0:
                    gx, gy = col - x[i + 1], row - y[i + 1]
                    room = rad * rad - gx * gx - gy * gy
                    if room >= 0 and z[i + 1] - z[i] - math.sqrt(room) < best:
                        best = z[i + 1] - z[i] - math.sqrt(room)
                if z[i] + best < depth[row, col] and z[i] + best > (beyond[0, 0] if one_for_all else beyond[row, col]):
                    depth[row, col] = z[i] + best
                    seg[row, col] = i


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _at_cut(t, qx, qy, x, y, z, dx, dy, dz, flat2, room, low, high, cut):
    """How far behind z a ray first meets a cylinder on that side of a cut on which the reed is; inf where it does not.

    `t` where it would meet the whole cylinder; (qx, qy) the ray from the cylinder's point (x, y, z), whose run is (dx,
    dy, dz); `room` and `flat2` as in `nearest`; the place must lie from `low` to `high` along it.
    """
    beyond = t + 2 * math.sqrt(room) / flat2  # where it would leave it
    level = (qx + x - cut[0]) * cut[3] + (qy + y - cut[1]) * cut[4] + (z - cut[2]) * cut[5]
    if abs(cut[5]) < 1e-9:
        if level > 0:
            return np.inf
    else:
        on_face = -level / cut[5]
        if cut[5] < 0:  # the face looks at the eye
            t = max(t, on_face)
            if t > beyond:
                return np.inf
        elif t > on_face:
            return np.inf
    w = qx * dx + qy * dy + t * dz
    return t if low <= w <= high else np.inf


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def nearest_faces(x, y, away, far, faces, depth, seg):
    """Paint flat faces into what `nearest` has painted: where one is nearer, `seg` becomes -2 less its number.

    x, y (k,) of their corners; `away` (k,) from the eye, and `far` what it looks over, for z as the far-th of a
    logarithm of it; or z itself with `far` 0, for an eye so far away that its rays are parallel. faces (t, 3).
    """
    high, wide = depth.shape
    for t in range(faces.shape[0]):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        area = (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a])
        if abs(area) < 1e-9:
            continue
        top, bottom = min(y[a], y[b], y[c]), max(y[a], y[b], y[c])
        left, right = min(x[a], x[b], x[c]), max(x[a], x[b], x[c])
        for row in range(max(0, math.ceil(top)), min(high - 1, math.floor(bottom)) + 1):
            for col in range(max(0, math.ceil(left)), min(wide - 1, math.floor(right)) + 1):
                wb = ((col - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (row - y[a])) / area
                wc = ((x[b] - x[a]) * (row - y[a]) - (col - x[a]) * (y[b] - y[a])) / area
                wa = 1 - wb - wc
                if min(wa, wb, wc) < -1e-9:
                    continue
                if far > 0:  # a flat face stays flat in one over the distance
                    zed = -far * math.log(far * (wa / away[a] + wb / away[b] + wc / away[c]))
                else:
                    zed = wa * away[a] + wb * away[b] + wc * away[c]
                if zed < depth[row, col]:
                    depth[row, col] = zed
                    seg[row, col] = -2 - t


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _noise(cell, salt):
    """A number 0..1 that looks random, from two whole numbers."""
    h = (np.uint64(cell) * np.uint64(0x9E3779B97F4A7C15)) ^ (np.uint64(salt) * np.uint64(0xC2B2AE3D27D4EB4F))
    h ^= h >> np.uint64(29)
    h *= np.uint64(0xBF58476D1CE4E5B9)
    h ^= h >> np.uint64(32)
    return float(h & np.uint64(0xFFFFFF)) / 16777215.0


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _smooth_noise(at, salt):
    cell = math.floor(at)
    f = at - cell
    f = f * f * (3 - 2 * f)
    return _noise(cell + 4096, salt) * (1 - f) + _noise(cell + 4097, salt) * f


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def surface(i, col, row, zed, x, y, z, r, tangent, near_cut, cuts, out):
    """Normal of the reed at a dot into out[:3] (x, y, z of the picture), share along the cylinder into out[3];
    `near_cut` and `cuts` as in `nearest`. True on the face of a cut."""
    dx, dy, dz = x[i + 1] - x[i], y[i + 1] - y[i], z[i + 1] - z[i]
    long = math.sqrt(dx * dx + dy * dy + dz * dz)
    dx, dy, dz = dx / long, dy / long, dz / long
    qx, qy, qz = col - x[i], row - y[i], zed - z[i]
    w = qx * dx + qy * dy + qz * dz
    held = min(max(w, 0.0), long)
    cut = near_cut[i]
    if cut >= 0:
        off = (
            (col - cuts[cut, 0]) * cuts[cut, 3]
            + (row - cuts[cut, 1]) * cuts[cut, 4]
            + (zed - cuts[cut, 2]) * cuts[cut, 5]
        )
        if abs(off) < ON_FACE * r[i] and cuts[cut, 5] < 0:
            out[0], out[1], out[2], out[3] = cuts[cut, 3], cuts[cut, 4], cuts[cut, 5], held / long
            return True
    if (
        cut >= 0 or abs(w - held) <= 1.05 * RUN_ON * r[i]
    ):  # not on the rounded end: square to the smooth curve and not to its chord
        f = held / long
        nx, ny, nz = qx - w * dx, qy - w * dy, qz - w * dz
        tx = tangent[i, 0] * (1 - f) + tangent[i + 1, 0] * f
        ty = tangent[i, 1] * (1 - f) + tangent[i + 1, 1] * f
        tz = tangent[i, 2] * (1 - f) + tangent[i + 1, 2] * f
        part = (nx * tx + ny * ty + nz * tz) / max(tx * tx + ty * ty + tz * tz, 1e-12)
        nx, ny, nz = nx - part * tx, ny - part * ty, nz - part * tz
    else:
        f = held / long
        nx, ny, nz = qx - held * dx, qy - held * dy, qz - held * dz
    size = max(math.sqrt(nx * nx + ny * ny + nz * nz), 1e-12)
    out[0], out[1], out[2], out[3] = nx / size, ny / size, nz / size, f
    return False


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def openness(col, row, nx, ny, nz, depth, reach, rows, cols):
    """How much of the sky round a dot is not hidden by what stands before it, 0 to 1. `reach` in dots."""
    high, wide = depth.shape
    hidden = 0.0
    here = depth[row, col]
    for k in range(rows.size):
        at_x, at_y = int(col + cols[k] * reach), int(row + rows[k] * reach)
        if at_x < 0 or at_y < 0 or at_x >= wide or at_y >= high:
            continue
        there = depth[at_y, at_x]
        if there == np.inf:
            continue
        vx, vy, vz = at_x - col, at_y - row, there - here
        far = math.sqrt(vx * vx + vy * vy + vz * vz) + 1e-6
        rises = (vx * nx + vy * ny + vz * nz) / far - LIFT
        if rises > 0:
            near = max(0.0, 1 - far / (3.0 * reach))
            hidden += rises * near
    return max(0.0, 1 - 2.4 * hidden / rows.size)


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def in_light(px, py, pz, rows, origin, step, light_depth, bias):
    """Share of the key light that reaches a point (mm in space), 0 to 1.

    `rows` (3, 3) the light's right, up and back; `light_depth` (h, w) how far from it the nearest reed is, mm, a dot
    being `step` mm, the first one at `origin`; `bias` mm forgives what a reed does to itself.
    """
    high, wide = light_depth.shape
    lx = (rows[0, 0] * px + rows[0, 1] * py + rows[0, 2] * pz - origin[0]) / step
    ly = (-(rows[1, 0] * px + rows[1, 1] * py + rows[1, 2] * pz) - origin[1]) / step
    lz = -(rows[2, 0] * px + rows[2, 1] * py + rows[2, 2] * pz) - bias
    # The lamp is broad: looked at from its middle outward, so that the edge of a shadow fades.
    apart = SOFT_MM / (LOOKS * step)
    reached, looked = 0.0, 0.0
    for a in range(-LOOKS, LOOKS + 1):
        for b in range(-LOOKS, LOOKS + 1):
            col, row = int(lx + a * apart + 0.5), int(ly + b * apart + 0.5)
            if 0 <= col < wide and 0 <= row < high:
                share = (LOOKS + 1 - abs(a)) * (LOOKS + 1 - abs(b))
                looked += share
                # Further aside a round reed itself stands nearer to the lamp.
                if lz - SLOPE * step * apart * math.sqrt(a * a + b * b) < light_depth[row, col]:
                    reached += share
    return 1.0 if looked == 0 else reached / looked


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def fibres(salt, round_angle, along):
    """Lightness of the fibres of one reed, about 1, at an angle round it (rad) and mm along it."""
    turn = (round_angle + along * 0.004) / (2 * math.pi) * 22
    fine = _smooth_noise(turn * 2 + 0.15 * _smooth_noise(along * 0.05, salt + 3) * 8, salt)
    broad = _smooth_noise(turn * 0.5 + 7, salt + 1)
    slow = _smooth_noise(along * 0.02, salt + 2)
    return 1 + 0.22 * (fine - 0.5) + 0.14 * (broad - 0.5) + 0.12 * (slow - 0.5)
