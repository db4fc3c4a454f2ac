"""The wooden board of a base in space: a slab of triangles with its holes. Lengths mm.

Its upper face lies where the wall begins, at height 0. Holes stand as `boards` reckons them, one for every spoke.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..lay.boards import lay_board
from ..lay.values import Laid

WOOD = "#d3ae7c"
"""Colour of the board in pictures: plywood, unvarnished (common practice, no source)."""
ARC, SIDE = 10, 4  # chords of one space along the edge, and of the line between two holes' shares


@dataclass(frozen=True, eq=False)
class Plank:
    """`points` (k, 3) mm; `faces` (t, 3) triangles, counterclockwise from outside; `part` (t,) 0 for the upper face, 1
    for the lower, 2 for the edge, 3 for the walls of holes; `edge` (e, 2) and `holes` (count, h, 2) mm its outlines
    from above; `thickness_mm`."""

    points: np.ndarray
    faces: np.ndarray
    part: np.ndarray
    edge: np.ndarray
    holes: np.ndarray
    thickness_mm: float

    @property
    def normals(self) -> np.ndarray:
        """Outward directions (t, 3) of the faces."""
        a, b, c = (self.points[self.faces[:, k]] for k in range(3))
        out = np.cross(b - a, c - a)
        return out / np.linalg.norm(out, axis=1)[:, None]


@functools.lru_cache(maxsize=4)
def plank(laid: Laid) -> Plank | None:
    """The board of this basket, or None where its base is woven. Remembered for its next picture: do not write into it.
    """
    board = lay_board(laid)
    if board is None:
        return None
    holes, ends = board.holes, laid.design.spokes.ends
    inner = min(holes.margin_mm, holes.drill_mm)
    shares, rims = [], []
    for end in range(ends):
        share = _share(laid, end, holes.margin_mm, -inner)
        middle = _ring(laid, np.array([end + 0.5]), 0.0)[0]
        to = share - middle
        shares.append(share)
        rims.append(middle + to / np.linalg.norm(to, axis=1)[:, None] * holes.drill_mm / 2)
    return _slab(np.array(shares), np.array(rims), board.thickness_mm)


def _ring(laid: Laid, u: np.ndarray, off: float) -> np.ndarray:
    """Points (k, 2) `off` mm outside the ring of holes, u spokes round."""
    x, y, nx, ny = laid.design.form.place(laid.design.turn("side", u), np.zeros(len(u)))
    return np.stack([x + off * nx, y + off * ny], axis=1)


def _share(laid: Laid, end: int, out: float, inside: float) -> np.ndarray:
    """The outline (m, 2) of the part of the board round one hole: along the edge, in, back nearer the middle, out."""
    go, across = np.linspace(end, end + 1, ARC + 1), np.linspace(0, 1, SIDE + 1)[:, None]
    edge, back = _ring(laid, go, out), _ring(laid, go[::-1], inside)
    sides = (edge[-1] * (1 - across) + back[0] * across, back[-1] * (1 - across) + edge[0] * across)
    return np.concatenate([edge[:-1], sides[0][:-1], back[:-1], sides[1][:-1]])


def _slab(shares: np.ndarray, rims: np.ndarray, thick: float) -> Plank:
    """Upper and lower faces, edge and walls of holes; shares and rims (ends, m, 2), both clockwise from above."""
    ends, m, _ = shares.shape
    flat = np.concatenate([shares.reshape(-1, 2), rims.reshape(-1, 2), np.zeros((1, 2))])
    many, middle = len(flat), len(flat) - 1
    a = (np.arange(ends)[:, None] * m + np.arange(m)).ravel()
    b = (np.arange(ends)[:, None] * m + (np.arange(m) + 1) % m).ravel()
    rim_a, rim_b = a + ends * m, b + ends * m
    inner = np.concatenate([np.arange(e * m + ARC + SIDE, e * m + 2 * ARC + SIDE) for e in range(ends)])
    fan = _both(inner, inner + 1, np.full(len(inner), middle))
    upper = np.concatenate([_both(a, rim_a, b), _both(b, rim_a, rim_b), fan])
    outer = np.concatenate([np.arange(e * m, e * m + ARC) for e in range(ends)])
    edge = np.concatenate([_both(outer, outer + 1, outer + many), _both(outer + 1, outer + 1 + many, outer + many)])
    wall = np.concatenate([_both(rim_a, rim_a + many, rim_b), _both(rim_b, rim_a + many, rim_b + many)])
    points = np.concatenate([np.c_[flat, np.zeros(many)], np.c_[flat, np.full(many, -thick)]])
    faces = np.concatenate([upper, upper[:, ::-1] + many, edge, wall])
    part = np.repeat([0, 1, 2, 3], [len(upper), len(upper), len(edge), len(wall)])
    return Plank(points, faces, part, flat[outer], rims, thick)


def _both(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    return np.stack([a, b, c], axis=1)
