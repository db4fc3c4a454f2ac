"""Handles in space as long as reckoned, the weave giving way to them, and whole baskets in their pictures."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace

import numpy as np
import pytest
import scipy
import trimesh
from fitted_baskets import (
    BESIDE_MM,
    HAIR_MM,
    HANDLES,
    HIGH,
    LIDS,
    border_top,
    length,
    on_board,
    skin,
    with_handle,
    with_lid,
)
from strategies import basket
from worked import planned

from slype.draw.camera import camera_for, frame, look, look_at_points
from slype.draw.glb import glb
from slype.draw.lines import HAND, drawing
from slype.draw.painted import dots
from slype.lay.attachments import lay_handles
from slype.lay.laying import lay
from slype.plans import planning
from slype.space.assembly import whole
from slype.space.footholds import with_room
from slype.space.tubes import tubes
from slype.surface.woven import stacked_curves
from slype.tell.steps import steps

LEAN = 0.01  # of its length, which a reed gains where its foot leans to its place beside the spoke
TURN = 0.01  # of its length, by which the chords of a turn are shorter than its round
ARC = 1e-3  # of an arch: its length is a series, its drawing chords

handles = pytest.mark.parametrize("name", HANDLES)
views = pytest.mark.parametrize("view", ["outside", "above", "under"])


# Handles -------------------------------------------------------------------------------------------------------


@handles
@pytest.mark.parametrize("ends", [24, 27])
def test_what_stands_in_the_wall_is_as_long_as_reckoned(name, ends):
    _laid, each, reeds = with_handle(name, ends=ends)
    standing = [t for key, t in reeds.items() if key.startswith("handle") and " core" in key]
    over = each.arch_mm
    if each.handle.core is None:
        standing = [t for key, t in reeds.items() if key.startswith("handle") and " rod" in key]
        over = each.twist.length_mm
    each_arch = each.twist.rods if each.handle.core is None else each.handle.cores
    assert len(standing) == each.handle.count * each_arch
    # Of several cores the outer is longer, and the inner shorter.
    assert np.mean([length(tube) for tube in standing]) == pytest.approx(over + 2 * each.depth_mm, rel=LEAN)
    if each.handle.cores == 1:
        assert np.ptp([length(tube) for tube in standing]) < LEAN * over


@handles
def test_the_arch_is_as_long_and_stands_as_high_above_the_border_as_reckoned(name):
    laid, each, reeds = with_handle(name)
    first = [t for key, t in reeds.items() if re.match(r"handle 1(, arch 1)?, (core|rod)", key)]
    together = len(first) if each.handle.core is None else each.handle.cores
    middle = np.mean([tube.points[:, 2].max() for tube in first[:together]])
    around = each.twist.radius_mm if each.handle.core is None else each.handle.cores * each.handle.core.diameter_mm / 2
    assert middle - border_top(laid) == pytest.approx(each.height_mm, abs=1 + (together > 1) * around)
    if together == 1:
        above = first[0].points[first[0].points[:, 2] >= border_top(laid) - 1e-6]
        assert length(replace(first[0], points=above)) == pytest.approx(each.arch_mm, rel=ARC)
        assert np.linalg.norm(above[-1] - above[0]) == pytest.approx(each.across_mm, abs=BESIDE_MM)


@pytest.mark.parametrize("name", [name for name, text in HANDLES.items() if "wrap" in text and "rope" not in name])
def test_a_wrapping_strand_goes_round_as_often_and_is_as_long_as_reckoned(name):
    _laid, each, reeds = with_handle(name)
    strands = [t for key, t in reeds.items() if "wrapping strand" in key]
    assert len(strands) == each.handle.strands * each.handle.count
    for strand in strands:
        assert length(strand) == pytest.approx(each.wrapped_mm, rel=TURN)
        arch = re.sub("wrapping.*", "core", strand.name)
        cores = np.mean([t.points for key, t in reeds.items() if key.startswith(arch)], axis=0)
        near = cores[scipy.spatial.cKDTree(cores).query(strand.points)[1]]
        plane = np.cross(cores[-1] - cores[0], [0, 0, 1])
        side = (strand.points - near) @ plane / np.linalg.norm(plane)
        assert np.sum((side[:-1] < 0) & (side[1:] >= 0)) == pytest.approx(each.turns, abs=1)


@handles
def test_the_reeds_of_a_handle_lie_on_each_other_and_not_in_each_other(name):
    laid, _each, reeds = with_handle(name)
    first = [t for key, t in reeds.items() if re.match(r"handle 1, (arch 1|(?!arch))", key)]
    over = [replace(t, points=t.points[t.points[:, 2] > border_top(laid) + 5]) for t in first]
    for i, one in enumerate(over):
        others = [skin(one, other) for other in over[i + 1 :]]
        assert all(gap > -0.1 * one.thick_mm for gap in others), one.name
        if i + 1 < len(over):
            assert min(others) < 0.35 * one.thick_mm, one.name


@handles
@pytest.mark.parametrize("hand", ["right", "left"])
def test_both_ends_go_down_beside_the_spokes_that_the_steps_name(name, hand):
    laid, each, reeds = with_handle(name, hand=hand)
    ends = laid.design.spokes.ends
    told = " ".join(line for step in steps(planning.plan(laid.design)) for line in step.lines)
    spokes = [reeds[f"spoke {k + 1}"] for k in range(ends)]
    for number, feet in enumerate(each.feet(ends)):
        assert re.search(rf"beside spokes {feet[0] + 1} and {feet[1] + 1}[.:]", told)
        arch = f"handle 1, arch {number + 1}, " if each.handle.count > 1 else "handle 1, "
        tube = next(t for key, t in reeds.items() if key.startswith(arch))  # the one that stands next to its spoke
        for tip, spoke in zip((tube.points[0], tube.points[-1]), feet, strict=True):
            away = [float(np.linalg.norm(s.points - tip, axis=1).min()) for s in spokes]
            assert int(np.argmin(away)) == spoke
            assert away[spoke] == pytest.approx((tube.thick_mm + spokes[spoke].thick_mm) / 2, abs=BESIDE_MM * 4)
            down = laid.border_height_mm + laid.top_s - each.depth_mm
            assert tip[2] == pytest.approx(float(laid.design.form.height(down)), abs=1.0)


@pytest.mark.parametrize("name", ["bow", "bow of three cores"])
def test_the_weave_gives_way_to_the_feet(name):
    laid, _, reeds = with_handle(name)
    stand = [t for key, t in reeds.items() if key.startswith("handle") and ("core" in key or "rod" in key)]
    without = {t.name: t for t in tubes(laid)}

    def sunk(all_reeds):
        """Thicknesses by which weavers lie in feet at most, below the border."""
        worst = 0.0
        for foot in stand:
            wall = replace(
                foot, points=foot.points[foot.points[:, 2] < float(laid.design.form.height(laid.top_s)) - 20]
            )
            worst = min([worst, *(skin(wall, t) / t.thick_mm for t in all_reeds.values() if t.role == "weaver")])
        return -worst

    assert sunk(without) > 0.8
    assert sunk(reeds) < 0.45


def test_weavers_far_from_a_foot_lie_as_they_did():
    laid, each, _ = with_handle("bow")
    before = stacked_curves(laid)
    feet = np.array(each.feet(laid.design.spokes.ends)).ravel() + 0.5
    for one, other in zip(before, with_room(laid, before), strict=True):
        off = np.abs((one.u[:, None] - feet + 12) % 24 - 12).min(axis=1) > 1.5
        np.testing.assert_allclose(np.interp(one.u, other.u, other.n)[off], one.n[off], atol=1e-9)
    plain = lay(basket(**HIGH))
    assert with_room(plain, before) is before


@handles
def test_a_left_handed_handle_is_the_mirror_image(name):
    _, _, right = with_handle(name)
    _, _, left = with_handle(name, hand="left")
    assert list(right) == list(left)
    for key, tube in right.items():
        np.testing.assert_allclose(tube.points * [-1, 1, 1], left[key].points, atol=1e-9)


def test_a_bow_spans_an_oval_basket_the_short_way():
    text = "[[handle]]\n" + HANDLES["bow"]
    wall = [["0 in", "9 in", "6 in"], ["6 in", "10 in", "7 in"]]
    laid = lay(basket(ends=30, rows=34, base=["9 in", "6 in"], wall=wall, before='outline = "oval"', tail=text))
    (each,) = lay_handles(laid)
    core = next(t for t in whole(laid) if t.name == "handle 1, core")
    top = core.points[core.points[:, 2] >= border_top(laid) - 1e-6]
    assert np.abs(top[-1] - top[0])[1] == pytest.approx(each.across_mm, rel=0.02)
    assert length(core) == pytest.approx(each.legs_mm, rel=LEAN)


# Pictures ------------------------------------------------------------------------------------------------------


@views
@pytest.mark.parametrize("what", ["bow", "side", "over", "board"])
def test_the_whole_of_it_is_in_the_picture(what, view):
    laid = {
        "bow": lambda: with_handle("bow")[0],
        "side": lambda: with_handle("side")[0],
        "over": lambda: with_lid("over")[0],
        "board": lambda: on_board("round")[0].laid,
    }[what]()
    all_reeds = whole(laid, view=view)
    found = dots(laid, all_reeds, view, 200)
    left, top, wide, high = found.box
    seen = found.seen
    assert seen.shown.all()
    assert (seen.x - seen.radius).min() > left and (seen.x + seen.radius).max() < left + wide
    assert (seen.y - seen.radius).min() > top and (seen.y + seen.radius).max() < top + high
    if found.board is not None:
        x, y, _ = look_at_points(found.camera, found.board.points)
        assert left < x.min() and x.max() < left + wide and top < y.min() and y.max() < top + high


def test_a_lid_that_a_handle_keeps_from_going_on_lies_on_the_table_beside_the_basket():
    for seat, goes_on in (("on", False), ("over", False), ("inside", True)):
        laid, own, of_lid = with_lid(seat, tail=f"[[handle]]\n{HANDLES['bow']}\n{LIDS[seat]}")
        seen = look(camera_for(laid, "outside", own), [*own, *of_lid])
        of = seen.tube < len(own)
        beside = bool(seen.x[~of].min() > seen.x[of].max())
        lowest = min(float((tube.points[:, 2] - tube.thick_mm / 2).min()) for tube in of_lid)
        assert beside is not goes_on and (lowest == pytest.approx(0.0, abs=0.01)) is not goes_on


def test_a_bow_is_seen_from_its_broad_side():
    laid, each, reeds = with_handle("bow")
    seen = look(camera_for(laid, "outside", list(reeds.values())), [reeds["handle 1, core"]])
    assert np.ptp(seen.x) > 0.7 * each.across_mm


def test_what_left_hands_make_is_seen_as_in_a_mirror_its_bow_and_the_lid_beside_it_too():
    """The lid lies in sight: by the broad side of the bow, at the other side for the other hand."""
    seen = {}
    for hand in ("right", "left"):
        laid, own, of_lid = with_lid("on", hand=hand, tail=f"[[handle]]\n{HANDLES['bow']}\n{LIDS['on']}")
        seen[hand] = look(camera_for(laid, "outside", [*own, *of_lid]), [*own, *of_lid])
    assert np.allclose(seen["left"].x, -seen["right"].x, atol=1e-6) and np.allclose(seen["left"].y, seen["right"].y)


def test_what_lies_behind_a_board_is_not_seen_and_what_stands_before_it_is():
    plan, board, reeds = on_board("round")
    all_reeds = list(reeds.values())
    names = [tube.name for tube in all_reeds]
    for view, before, behind in (("under", "foot end", "band"), ("above", "band", "foot end")):
        found = dots(plan.laid, all_reeds, view, 300)
        shown = {names[int(found.seen.tube[i])] for i in np.unique(found.seg[found.seg >= 0])}
        assert any(name.startswith(before) for name in shown)
        assert not any(name.startswith(behind) and "wale" not in name for name in shown if view == "above")
        wood = np.mean(found.seg <= -2)
        assert wood > 0.3, view
        face = board.part[-2 - found.seg[found.seg <= -2]]
        assert np.mean(face == (1 if view == "under" else 0)) > 0.9


def test_a_flat_face_is_as_far_as_a_ray_says():
    """Second opinion: where the ray through a dot meets the plane of the board."""
    plan, board, reeds = on_board("round")
    found = dots(plan.laid, list(reeds.values()), "under", 160)
    rows, cols = np.nonzero(found.seg <= -2)
    eye, far = found.camera.eye, found.camera.distance
    for row, col in list(zip(rows, cols, strict=True))[::200]:
        x, y = found.box[0] + (col + 0.5) * found.step, found.box[1] + (row + 0.5) * found.step
        ray = x / far * found.camera.right - y / far * found.camera.up - found.camera.back
        if board.part[-2 - found.seg[row, col]] != 1:
            continue
        away = (-board.thickness_mm - eye[2]) / ray[2]
        assert far * math.log(away / far) == pytest.approx(found.depth[row, col] * found.step, abs=1e-2)


def test_a_line_drawing_of_a_board_has_its_outline_and_every_hole():
    plan, _board, _ = on_board("round")
    body, _ = drawing(plan.laid, "under", detail=HAND)
    shapes = re.findall(r'<path d="([^"]*)" fill="#[^"]*" fill-rule="evenodd"', body)
    assert [shape.count("Z") for shape in shapes] == [1, 1 + plan.board.holes.count]
    hatched, _ = drawing(plan.laid, "outside", hatched=True, detail=HAND)
    assert 'fill="#ffffff" fill-rule="evenodd"' in hatched


@views
def test_the_frame_without_anything_fitted_is_what_it_was(view):
    laid = planned("posy").laid
    seen = look(camera_for(laid, view), tubes(laid))
    assert frame(laid, seen, view) == frame(laid, look(camera_for(laid, view, whole(laid)), whole(laid)), view)


def test_the_solid_names_every_part():
    laid, _, reeds = with_handle("rope over a core")
    scene = trimesh.load(io.BytesIO(glb(laid)), file_type="glb")
    assert set(scene.graph.nodes_geometry) == set(reeds)
    assert {"handle 1, core", "handle 1, rod 1"} <= set(reeds)
    plan, _board, _ = on_board("oval")
    scene = trimesh.load(io.BytesIO(glb(plan.laid)), file_type="glb")
    low, high = scene.geometry["board"].bounds * 1000
    assert high[1] - low[1] == pytest.approx(plan.board.thickness_mm, abs=HAIR_MM)  # y is up in the file
    assert scene.geometry["board"].visual.material.name == "wood"
