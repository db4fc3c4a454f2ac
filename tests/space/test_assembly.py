"""The whole basket in space: handles as long as reckoned, lids on their seats, boards with their holes and feet."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree
from strategies import basket

from slype.draw.camera import camera_for, frame, look, look_at_points
from slype.draw.glb import glb
from slype.draw.lines import HAND, drawing
from slype.draw.painted import dots
from slype.draw.views import curves
from slype.lay.attachments import lay_handles
from slype.lay.laying import lay
from slype.lay.lids import fit_lid
from slype.plans import planning
from slype.rest.relax import relax, reworded
from slype.space.assembly import whole
from slype.space.footholds import with_room
from slype.space.plank import plank
from slype.space.tubes import tubes
from slype.surface.woven import stacked_curves
from slype.tell.steps import steps

HIGH = dict(rows=34, wall=[["0 in", "6 in"], ["6 in", "8 in"]])
HANDLES = {
    "bow": 'kind = "bow"\ncore = "round 8"\nwrap = "round 3"',
    "bow, bare": 'kind = "bow"\ncore = "round 6"',
    "bow of three cores": 'kind = "bow"\ncore = "round 6"\ncores = 3\nwrap = "round 3"\nstrands = 2',
    "bow of two, low": 'kind = "bow"\ncore = "round 6"\ncores = 2\nwrap = "round 2"\nheight = "2 in"',
    "two bows": 'kind = "bow"\ncore = "round 6"\ncount = 2',
    "rope": 'kind = "rope"\nwrap = "round 4"',
    "rope of six": 'kind = "rope"\nwrap = "round 3"\nrods = 6',
    "rope over a core": 'kind = "rope"\ncore = "round 8"\nwrap = "round 3"',
    "side": 'kind = "side"\ncore = "round 6"\nwrap = "round 2"',
}
LEAN = 0.01  # of its length, which a reed gains where its foot leans to its place beside the spoke
TURN = 0.01  # of its length, by which the chords of a turn are shorter than its round
ARC = 1e-3  # of an arch: its length is a series, its drawing chords
BESIDE_MM = 0.1
HAIR_MM = 0.05

handles = pytest.mark.parametrize("name", HANDLES)
views = pytest.mark.parametrize("view", ["outside", "above", "under"])


def with_handle(name, **changes):
    laid = lay(basket(tail=f"[[handle]]\n{HANDLES[name]}\n", **{**HIGH, **changes}))
    return laid, lay_handles(laid)[0], {tube.name: tube for tube in whole(laid)}


def length(tube):
    return float(np.linalg.norm(np.diff(tube.points, axis=0), axis=1).sum())


def skin(one, other):
    """mm from skin to skin where two reeds come nearest; below 0 they lie in each other."""
    apart = cKDTree(other.points).query(one.points)[0].min()
    return float(apart) - (one.thick_mm + other.thick_mm) / 2


def border_top(laid):
    return float(laid.design.form.height(laid.top_s)) + laid.border_height_mm


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
        near = cores[cKDTree(cores).query(strand.points)[1]]
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


# Lids ----------------------------------------------------------------------------------------------------------

WOVEN = 'spokes = { reed = "round 4", ends = 24 }\nborder = ["behind 1 out", "over 2 down"]\n'
PAIRED = '{ weave = "pairing", reed = "round 2", colours = ["rust"] }'
FIRST = '{ weave = "pairing", reed = "round 2", groups = 6, rows = 3 }'
LIDS = {
    "on": f'[lid]\nseat = "on"\n{WOVEN}band = [{FIRST}, {PAIRED}]\n',
    "inside": f'[lid]\nseat = "inside"\n{WOVEN}band = [{FIRST}, {PAIRED}]\n',
    "over": f'[lid]\nseat = "over"\ndepth = "1 in"\n{WOVEN}band = [{FIRST}, {PAIRED}, '
    '{ where = "side", weave = "three-rod wale", reed = "round 2", rows = 6 }]\n',
}
FLARED = dict(rows=26, wall=[["0 in", "6 in"], ["4 in", "8 in"]])
lids = pytest.mark.parametrize("seat", LIDS)


def with_lid(seat, **changes):
    laid = lay(basket(**{**FLARED, "tail": LIDS[seat], **changes}))
    all_reeds = whole(laid)
    of_lid = [tube for tube in all_reeds if tube.name.startswith("lid, ")]
    return laid, [tube for tube in all_reeds if tube not in of_lid], of_lid


@lids
def test_a_lid_is_the_basket_it_is_planned_as_turned_over(seat):
    laid, _, lid = with_lid(seat)
    own = tubes(lay(fit_lid(laid).design))
    assert [tube.name for tube in lid] == [f"lid, {tube.name}" for tube in own]
    for one, other in zip(lid, own, strict=True):
        turned = one.points * [1, -1, -1]
        np.testing.assert_allclose(np.diff(turned, axis=0), np.diff(other.points, axis=0), atol=1e-9)


@lids
def test_a_lid_touches_its_seat_and_lies_in_nothing(seat):
    laid, own, lid = with_lid(seat)
    rim = [t for t in own if t.points[:, 2].max() > border_top(laid) - 30]
    gaps = [skin(one, other) for one in lid for other in rim]
    slack = 0.6 if seat == "inside" else 0.1  # a wall that is not quite round holds it a little higher
    assert -slack * 3.25 < min(gaps) < 3.5


@lids
def test_a_lid_sits_as_high_as_its_seat_says(seat):
    laid, _own, lid = with_lid(seat)
    fit, top = fit_lid(laid), border_top(laid)
    level = np.mean([t.points[-1, 2] for t in lid if t.role == "stick"] or [np.median(t.points[:, 2]) for t in lid])
    if seat == "inside":
        assert top - level == pytest.approx(fit.rests_mm, abs=1.0)
        assert max(float(np.hypot(*t.points[:, :2].T).max()) for t in lid) < fit.mouth.opening_mm / 2
    else:
        assert min(float(t.points[:, 2].max()) for t in lid if t.role == "weaver") > top - 26
        assert max(float(t.points[:, 2].max()) for t in lid) > top


def test_the_side_of_a_lid_goes_down_outside_the_border():
    laid, _own, lid = with_lid("over")
    low = np.concatenate([t.points[t.points[:, 2] < border_top(laid) - 5] for t in lid])
    assert len(low) and np.hypot(*low[:, :2].T).min() > fit_lid(laid).mouth.outside_mm / 2


def test_the_border_of_a_mat_lies_flat_round_its_last_row():
    laid = lay(fit_lid(with_lid("on")[0]).design)
    ends = [t for t in tubes(laid) if t.role == "border"]
    away = np.concatenate([np.hypot(*t.points[:, :2].T) for t in ends])
    tucked = 2.5 * ends[0].thick_mm  # its last row goes down
    assert away.min() > laid.base_reached_mm / 2 - tucked and away.max() > laid.base_reached_mm / 2 + ends[0].thick_mm
    assert max(float(np.abs(t.points[:, 2]).max()) for t in ends) < 1.3 * ends[0].thick_mm


def test_a_look_inside_leaves_off_what_would_hide_it():
    laid, own, _ = with_lid("on", tail=LIDS["on"] + "[[handle]]\n" + HANDLES["side"])
    assert any(t.role == "handle" for t in whole(laid))
    assert [t.name for t in whole(laid, view="inside")] == [t.name for t in own if t.role != "handle"]


def test_a_lid_is_brought_to_rest_with_its_basket():
    design = with_lid("over")[0].design
    at_rest = relax(design)
    plan = planning.plan(design, at_rest)
    assert plan.lid.at_rest is at_rest.lid and at_rest.lid.done
    assert at_rest.lid.design == fit_lid(at_rest.laid).design
    assert plan.lid.laid.bands[0].at_rest is not None
    lid = {t.name: t for t in whole(plan.laid, curves(plan)) if t.name.startswith("lid, ")}
    own = {f"lid, {t.name}": t for t in tubes(plan.lid.laid, curves(plan.lid))}
    assert list(lid) == list(own)
    for name, tube in own.items():
        assert length(lid[name]) == pytest.approx(length(tube), rel=0.005)
    left = reworded(at_rest, replace(design, hand="left"))
    assert left.lid.design.hand == "left" == left.laid.lid.design.hand


# Boards --------------------------------------------------------------------------------------------------------

BOARD = '[base]\nkind = "board"\nfoot = ["behind 1 out", "over 1 down"]\n'
BOARDS = {
    "round": dict(ends=29, base="7 in", wall=[["0 in", "6 1/4 in"], ["3 in", "7 in"]]),
    "oval": dict(
        ends=30, base=["9 in", "6 in"], wall=[["0 in", "8 1/4 in", "5 1/4 in"], ["3 in", "9 in", "6 in"]],
        before='outline = "oval"',
    ),
    "rectangle": dict(
        ends=34, base=["9 in", "6 in"], wall=[["0 in", "8 1/4 in", "5 1/4 in"], ["3 in", "9 in", "6 in"]],
        before='outline = "rectangle"\ncorner = "1 1/2 in"',
    ),
}  # fmt: skip
boards = pytest.mark.parametrize("shape", BOARDS)


def on_board(shape, **changes):
    plan = planning.plan(basket(tail=BOARD, **{**BOARDS[shape], **changes}))
    return plan, plank(plan.laid), {tube.name: tube for tube in whole(plan.laid)}


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


def test_a_bow_is_seen_from_its_broad_side():
    laid, each, reeds = with_handle("bow")
    seen = look(camera_for(laid, "outside", list(reeds.values())), [reeds["handle 1, core"]])
    assert np.ptp(seen.x) > 0.7 * each.across_mm


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


@views
def test_the_frame_without_anything_fitted_is_what_it_was(view, posy):
    laid = lay(posy)
    seen = look(camera_for(laid, view), tubes(laid))
    assert frame(laid, seen, view) == frame(laid, look(camera_for(laid, view, whole(laid)), whole(laid)), view)
