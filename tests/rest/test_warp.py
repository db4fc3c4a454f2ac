"""Rows on a wall that bends or is not round: each has its thickness, in space, on every side and face of it."""

from itertools import pairwise

import numpy as np
import pytest
from strategies import basket

from slype.lay import laying
from slype.rest.warp import warp_of
from slype.space.tubes import on_surface

STRAIGHT = [["0 in", "6 in"], ["4 in", "6 in"]]
FLARED = [["0 in", "6 in"], ["4 in", "9 in"]]
BELLIED = [["0 in", "6 in"], ["2 in", "8 in"], ["4 in", "6 in"]]
OVAL = {"base": ["9 in", "6 in"], "basket": "", "before": 'outline = "oval"'}
OVAL_WALL = [["0 in", "9 in", "6 in"], ["4 in", "12 in", "8 in"]]


@pytest.mark.parametrize("wall", [STRAIGHT, FLARED])
def test_a_round_wall_that_goes_straight_up_has_no_warp_however_it_leans(wall):
    assert warp_of(laying.lay(basket(wall=wall, rows=20))) is None


@pytest.mark.parametrize("changes", [{"wall": BELLIED}, {**OVAL, "wall": OVAL_WALL}], ids=["bellied", "oval"])
def test_rows_have_their_thickness_wherever_they_lie(changes):
    laid = laying.lay(basket(rows=20, **changes))
    warp = warp_of(laid)
    assert warp is not None
    thick, deep = laid.side[0].thick_mm, (laid.side[0].thick_mm + laid.side[0].stand_mm[0]) / 2
    flat = np.arange(laid.turn_mm + thick / 2, laid.top_s, thick)
    rows, u = warp.risen(flat), np.arange(0.25, laid.design.top_ends, 0.5)
    apart = []
    for side in (-deep, 0.0, deep):
        at = [np.stack(on_surface(laid, "side", u, np.full(len(u), s), np.full(len(u), side))) for s in rows]
        apart += [np.linalg.norm(b - a, axis=0).min() for a, b in pairwise(at)]
    assert min(apart) > 0.97 * thick  # chords of a bend, and of STEP
    # And no more than it takes: somewhere every row lies on the one below.
    assert min(apart) < 1.02 * thick
    level = [np.stack(on_surface(laid, "side", u, np.full(len(u), s), np.full(len(u), -deep))) for s in flat]
    assert min(np.linalg.norm(b - a, axis=0).min() for a, b in pairwise(level)) < min(apart) - 0.01
