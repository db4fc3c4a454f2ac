"""The light on painted reeds: wet reed on a white table, lit softly from the upper left. Compiled loops.

Light is reckoned in amounts (linear), not as screen values. A dot's light is what the sky gives, dimmed in gaps and
deep inside the basket, what the key light gives where nothing stands in its way, and a broad sheen along the reed.
"""

from __future__ import annotations

import math

import numpy as np

from ..rods.compiled import compiled
from .pixels import by_rows, fibres, in_light, openness, surface

SKY, KEY, SHEEN, GLINT = 0.70, 0.72, 0.08, 0.08
BOUNCE = 0.85  # how much deeper colours grow in gaps
SHUT = 3.2  # how soon a place counts as shut in, by the share of the sky that is hidden there
PITH, UNDYED = (0.72, 0.56, 0.36), 0.45  # amounts of the pith, and its share of the face of a cut: it takes up less dye
WRAP = 0.22  # light that creeps round into the shade side, as it does on a wet fibre


def _key_from(right: float, up: float, back: float) -> np.ndarray:
    return np.array([right, up, back]) / math.sqrt(right * right + up * up + back * back)


ACROSS, INTO = _key_from(-0.50, 0.62, 0.60), _key_from(-0.26, 0.34, 0.90)
"""Where the key light stands, to the right, up and toward the eye: across the basket, or so that it shines into it."""
SKY_FROM = np.array([0.0, 0.72, 0.694])
"""Where most of the sky's light comes from, likewise."""


def paint(image, many, depth, seg, screen, solid, reeds, basket, lamp, around):
    """Add to `image` (h, w, 4) amounts of light and how much is covered, `many` by `many` dots of `depth` to each dot.

    screen: x, y, z, r (k,) in dots and tangents (k, 3) in the picture's directions, and both that `pixels.nearest`
    takes of cuts; solid: world (k, 3), along (k,),
    radius (k,) mm and tube (k,); reeds: hue (tubes, 3) amounts, salt (tubes,), 0 for no fibres, across (tubes, 3) the
    direction in space from which angles round each reed are counted; basket: see `_sunk`; lamp: the picture's
    directions (3, 3), the least share of the key light that reaches every place, and what `pixels.in_light` asks for;
    around: reach in radii, and the spiral's rows and columns.
    """
    every = image, many, depth, seg, screen, solid, reeds, basket, lamp, around
    by_rows(image.shape[0], depth.size, lambda first, end: _paint(*every, first, end))


@compiled(nogil=True, fastmath={"contract", "arcp", "nsz", "reassoc"})
def _paint(image, many, depth, seg, screen, solid, reeds, basket, lamp, around, first, end):
    """`paint` of the image's rows from `first` to before `end`."""
    x, y, z, r, tangent, near_cut, cuts = screen
    world, along, radius, tube = solid
    hue, salt, across = reeds
    look, least, rows, origin, step, light_depth = lamp
    key = rows[2]
    reach, spiral_rows, spiral_cols = around
    sky = _turned(look, SKY_FROM)
    half = key + look[2]
    half = half / math.sqrt(_dot(half, half))
    n, normal, line = np.empty(4), np.empty(3), np.empty(3)
    within = np.empty(many * many, np.int64)  # reeds found in one dot of the picture, -1 once their light is reckoned
    for place in range(first * image.shape[1], end * image.shape[1]):
        top, left = place // image.shape[1] * many, place % image.shape[1] * many
        for a in range(many * many):
            i = seg[top + a // many, left + a % many]
            within[a] = -1 if i < 0 else tube[i]
        for a in range(many * many):
            who = within[a]
            if who < 0:
                continue
            # Light changes little within one reed in one dot: reckoned once, for all of its dots there.
            share = 0.0
            for b in range(a, many * many):
                if within[b] == who:
                    within[b] = -1
                    share += 1.0 / (many * many)
            row, col = top + a // many, left + a % many
            i = seg[row, col]
            cut = surface(i, col, row, depth[row, col], x, y, z, r, tangent, near_cut, cuts, n)
            f, long = n[3], 0.0
            for c in range(3):
                normal[c] = n[0] * look[0, c] - n[1] * look[1, c] - n[2] * look[2, c]
                line[c] = world[i + 1, c] - world[i, c]
                long += line[c] * line[c]
            long = math.sqrt(long)
            px = world[i, 0] + f * line[0] + radius[i] * normal[0]
            py = world[i, 1] + f * line[1] + radius[i] * normal[1]
            pz = world[i, 2] + f * line[2] + radius[i] * normal[2]
            gap = openness(col, row, n[0], n[1], n[2], depth, reach * r[i], spiral_rows, spiral_cols)
            reached = in_light(px, py, pz, rows, origin, step, light_depth, 0.35 * radius[i])
            reached = least + (1 - least) * reached
            open_sky = gap * _sunk(px, py, pz, basket)
            body, shine = _falls_on(normal, line, long, key, sky, half, look[2], gap, open_sky, reached)
            tone = 1.0
            if salt[who] and not cut:
                tone = _fibre(normal, line, long, across[who], salt[who], along[i] + f * long)
            for c in range(3):
                own = hue[who, c] * tone
                if cut:
                    own += UNDYED * (PITH[c] - own)
                # Light that goes from reed to reed in a gap takes on their colour.
                own *= 1 - BOUNCE * (1 - open_sky) * (1 - min(own, 1.0))
                image[place // image.shape[1], place % image.shape[1], c] += share * (own * body + shine)
            image[place // image.shape[1], place % image.shape[1], 3] += share


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _dot(a, b):
    """The product of two (3,). For one by `@` numba asks scipy, which takes longer to load than a picture."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _turned(look, way):
    """A direction (3,) of the picture as one in space, `look` (3, 3) the picture's."""
    return way[0] * look[0] + way[1] * look[1] + way[2] * look[2]


GRAIN, GRAIN_SALT = 0.35, 11  # rad of a reed's fibres to a mm of wood, and its own look


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def faces(image, many, depth, seg, normals, hue, screen, basket, lamp, around):
    """Add to `image` the light on flat faces of wood, as `paint` does on reeds.

    normals (t, 3) in space, hue (3,); screen: the picture's left and top mm, mm to a dot, the eye (3,) and mm to what
    it looks at; basket and lamp as in `paint`; around: reach in dots, and the spiral's rows and columns.
    """
    left, top, step, eye, far = screen
    look, least, rows, origin, light_step, light_depth = lamp
    key = rows[2]
    reach, spiral_rows, spiral_cols = around
    sky = _turned(look, SKY_FROM)
    here = np.empty(3)
    for row in range(image.shape[0] * many):
        for col in range(image.shape[1] * many):
            if seg[row, col] > -2:
                continue
            normal = normals[-2 - seg[row, col]]
            away = far * math.exp(depth[row, col] * step / far)
            x, y = (left + (col + 0.5) * step) * away / far, (top + (row + 0.5) * step) * away / far
            for c in range(3):
                here[c] = eye[c] + x * look[0, c] - y * look[1, c] - away * look[2, c]
            nx, ny, nz = _dot(look[0], normal), -_dot(look[1], normal), -_dot(look[2], normal)
            gap = openness(col, row, nx, ny, nz, depth, reach, spiral_rows, spiral_cols)
            reached = in_light(here[0], here[1], here[2], rows, origin, light_step, light_depth, 0.8)
            reached = least + (1 - least) * reached
            open_sky = gap * _sunk(here[0], here[1], here[2], basket)
            to_key = max(0.0, (_dot(normal, key) + WRAP) / (1 + WRAP))
            body = SKY * (0.625 + 0.375 * _dot(normal, sky)) * open_sky + KEY * to_key * reached * (0.35 + 0.65 * gap)
            tone = fibres(GRAIN_SALT, GRAIN * (here[1] + 0.6 * here[2]), 0.2 * here[0])
            at_row, at_col, share = row // many, col // many, 1.0 / (many * many)
            for c in range(3):
                image[at_row, at_col, c] += share * hue[c] * tone * body
            image[at_row, at_col, 3] += share


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _falls_on(normal, line, long, key, sky, half, eye, gap, open_sky, reached):
    """(light that a reed's own colour gives back, sheen): from the sky and from the key light."""
    to_key = max(0.0, (normal[0] * key[0] + normal[1] * key[1] + normal[2] * key[2] + WRAP) / (1 + WRAP))
    to_sky = 0.5 + 0.5 * (normal[0] * sky[0] + normal[1] * sky[1] + normal[2] * sky[2])
    # What is seen in a gap gets its light through that gap, from where the eye looks in: its sides stay dark.
    front = max(0.0, normal[0] * eye[0] + normal[1] * eye[1] + normal[2] * eye[2])
    shut = min(1.0, SHUT * (1 - gap))
    round_it = (1 - shut) * (0.25 + 0.75 * to_sky) + shut * (0.12 + 0.98 * front * front)
    body = SKY * round_it * open_sky + KEY * to_key * reached * (0.35 + 0.65 * gap)
    return body, _sheen(normal, line, long, half) * (0.25 * open_sky + 0.75 * reached * gap) * to_key


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _sheen(normal, line, long, half):
    """A broad light along a reed, as on wet fibres, and a small one across it."""
    along, face = 0.0, 0.0
    for c in range(3):
        along += line[c] / long * half[c]
        face += normal[c] * half[c]
    face = max(0.0, face)
    return SHEEN * max(0.0, 1 - along * along) ** 4 * face**5 + GLINT * face**36


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _fibre(normal, line, long, across, salt, at):
    ux, uy, uz = across[0], across[1], across[2]
    vx = (line[1] * uz - line[2] * uy) / long
    vy = (line[2] * ux - line[0] * uz) / long
    vz = (line[0] * uy - line[1] * ux) / long
    turn = math.atan2(
        normal[0] * vx + normal[1] * vy + normal[2] * vz, normal[0] * ux + normal[1] * uy + normal[2] * uz
    )
    return fibres(salt, turn + math.pi, at)


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def _sunk(px, py, pz, basket):
    """How much sky reaches a place inside the basket, 0 to 1; all of it outside.

    basket: half-width of the wall for each mm of height (m,), height of the border's top, half-width of the mouth, half
    the wall's thickness, and half of how much longer the basket is than wide.
    """
    wall, top, mouth, thick, longer = basket
    px = max(abs(px) - longer, 0.0)
    at = min(max(int(pz + 0.5), 0), wall.size - 1)
    inside = min(max((wall[at] - math.sqrt(px * px + py * py)) / thick + 0.2, 0.0), 1.0)
    if pz < 0:  # the underside of the base
        inside *= max(0.0, 1 + pz / thick)
    deep = max(0.0, top - pz) * 0.75
    return 1 - inside * (1 - (0.58 + 0.42 * mouth * mouth / (mouth * mouth + deep * deep)))


@compiled(fastmath={"contract", "arcp", "nsz", "reassoc"})
def ground(image, box, step, look, eye, distance, table_z, foot, longer, high):
    """Soft shadow of the basket on the table, behind what is painted. `image` (h, w, 4); box (left, top) mm and `step`
    mm to a dot; `foot` half-width of the base, `longer` half of how much longer it is, and `high` of the basket."""
    key = _turned(look, ACROSS)
    # The shadow's middle lies away from the light, and it is wider than the foot the taller the basket is.
    shift_x, shift_y = -key[0] / key[2] * high * 0.30, -key[1] / key[2] * high * 0.30
    for row in range(image.shape[0]):
        for col in range(image.shape[1]):
            bare = 1.0 - image[row, col, 3]
            if bare <= 0:
                continue
            flat_x, flat_y = box[0] + (col + 0.5) * step, box[1] + (row + 0.5) * step
            ray = look[0] * flat_x - look[1] * flat_y - look[2] * distance
            light = 1.0
            if ray[2] < -1e-6:
                t = (table_z - eye[2]) / ray[2]
                px, py = eye[0] + t * ray[0], eye[1] + t * ray[1]
                near = max(0.0, math.hypot(max(abs(px) - longer, 0.0), py) - foot) / (0.10 * foot)
                wide = math.hypot(max(abs(px - shift_x) - longer, 0.0), py - shift_y) / (1.18 * foot)
                light = 1 - 0.50 * math.exp(-near * near) - 0.22 * math.exp(-(wide**4))
            for c in range(3):
                image[row, col, c] += bare * max(light, 0.15)
