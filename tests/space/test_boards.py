"""A board in space: solid wood with its holes, and the foot worked below it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from fitted_baskets import BOARDS, border_top, on_board

boards = pytest.mark.parametrize("shape", BOARDS)


@boards
def test_its_holes_are_as_many_as_wide_and_as_far_apart_as_reckoned(shape):
    plan, board, reeds = on_board(shape)
    holes = plan.board.holes
    middles = (board.holes.max(axis=1) + board.holes.min(axis=1)) / 2
    assert len(middles) == holes.count == plan.design.spokes.ends
    np.testing.assert_allclose(np.ptp(board.holes, axis=1), holes.drill_mm, rtol=0.06)
    steps_mm = np.linalg.norm(middles - np.roll(middles, 1, axis=0), axis=1)
    if shape == "round":
        np.testing.assert_allclose(steps_mm, holes.chord_mm, rtol=0.005)
    assert steps_mm.max() < holes.pitch_mm * 1.01 and steps_mm.sum() > 0.97 * holes.pitch_mm * holes.count
    for k in range(holes.count):  # every spoke goes down the middle of one of them
        way = reeds[f"spoke {k + 1}, through the board"].points
        assert np.linalg.norm(middles - way[0, :2], axis=1).min() < 0.1
        assert np.ptp(way[:, 2]) == pytest.approx(plan.board.thickness_mm)


@boards
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_foot_is_worked_below_the_board_to_the_height_that_lifts_it(shape, hand):
    plan, _board, reeds = on_board(shape, hand=hand)
    thick = plan.design.spokes.reed.diameter_mm
    feet = [reeds[f"foot end {k + 1}"] for k in range(plan.design.spokes.ends)]
    under = -plan.board.thickness_mm
    for k, foot in enumerate(feet):
        np.testing.assert_allclose(foot.points[0], reeds[f"spoke {k + 1}, through the board"].points[-1], atol=1e-6)
        low = foot.points[np.linalg.norm(foot.points - foot.points[0], axis=1) > 2 * thick]
        assert low[:, 2].max() < under - 0.4 * thick
    lowest = min(float(foot.points[:, 2].min()) for foot in feet) - thick / 2
    lift = plan.laid.finished_height_mm - border_top(plan.laid)
    assert -lowest == pytest.approx(lift, abs=0.6 * thick)


def test_with_the_board_turned_over_the_foot_goes_the_way_a_border_goes():
    _made, _, reeds = on_board("round")
    for name, way in (("foot end 5", -1), ("border end 5", 1)):
        points = reeds[name].points
        turn = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
        # Seen from above the upper border of a right hand is worked against the clock.
        assert np.sign(turn[-1] - turn[0]) == way, name


@boards
def test_a_board_is_solid_wood_with_its_holes_cut_out(shape):
    plan, board, _ = on_board(shape)
    holes, form = plan.board.holes, plan.design.form
    solid = trimesh.Trimesh(board.points, board.faces, process=True)
    assert solid.is_watertight and solid.is_winding_consistent
    length_mm, width, corner = (
        float(each) + 2 * holes.margin_mm * k for each, k in zip(form.sides(0.0), (1, 1, 0.5), strict=True)
    )
    area = length_mm * width - (4 - math.pi) * corner**2 - holes.count * math.pi / 4 * holes.drill_mm**2
    assert solid.volume == pytest.approx(area * plan.board.thickness_mm, rel=0.01)
    assert np.ptp(board.points[:, 2]) == plan.board.thickness_mm and board.points[:, 2].max() == 0
    assert np.ptp(board.points[:, 1]) == pytest.approx(form.base_width_mm, abs=0.5)
