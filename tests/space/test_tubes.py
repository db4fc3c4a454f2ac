"""Reeds in space: over is outside, under is inside, and nothing ends in the air."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from samples import pot_text
from worked import planned, reeds_of

from slype.design.file.reader import parse
from slype.lay import stacks
from slype.lay.laying import lay
from slype.order.moments import sticks_in_order
from slype.space.tubes import CHORD, MOST_CHORDS, _dense, in_space, tubes
from slype.surface import runs, standing, woven
from slype.surface.crosses import below
from slype.surface.curve import Curve
from slype.surface.standing import inserted_curves, outward, spoke_curves, stick_curves
from slype.surface.woven import stacked_curves

NAMES = ["estuary", "posy", "quayside"]
HAIR_MM = 0.05  # what rounding between samples may move a reed


@pytest.fixture(params=NAMES)
def laid(request):
    return planned(request.param).laid


def in_the_round(points):
    """(times round as an angle without jumps, distance from the middle) of points in space."""
    return np.unwrap(np.arctan2(points[:, 1], points[:, 0])), np.hypot(points[:, 0], points[:, 1])


def test_every_weaver_passes_outside_the_spokes_it_goes_over_and_inside_those_it_goes_under(laid):
    ends, form = laid.design.spokes.ends, laid.design.form
    by_name = {tube.name: tube for tube in reeds_of(laid)}
    curves = {curve.name: curve for curve in stacked_curves(laid)}
    passed = 0
    for band in laid.side:
        blocks = len(band.segments) > 1
        apart = (laid.design.spokes.reed.diameter_mm + band.band.reed.diameter_mm) / 2
        for block, (_, t) in enumerate(band.traces()):
            for weaver in range(t.weavers):
                start = f"band {band.index + 1}, " + (f"block {block + 1}, " if blocks else "")
                name = next(each for each in curves if each.startswith(f"{start}weaver {weaver + 1}, "))
                curve, tube = curves[name], by_name[name]
                angle, r = in_the_round(tube.points)
                round_so_far = curve.u[0] + (angle - angle[0]) * ends / (2 * np.pi) * (
                    1 if laid.design.hand == "right" else -1
                )
                mine = t.weaver == weaver
                at = t.trip[mine] * ends + t.spoke[mine] + 0.5
                s = np.interp(at, curve.u, curve.s)
                lean = np.array([form.lean(float(each)) for each in s])
                off = (np.interp(at, round_so_far, r) - form.radius(s)) / np.cos(lean)
                assert (np.sign(off) == np.where(t.front[mine], 1, -1)).all(), name
                assert np.abs(np.abs(off) - apart).max() < 0.12 * apart, name
                passed += len(at)
    assert passed > 500


def test_a_left_handed_basket_is_the_mirror_image(laid):
    right, left = (tubes(lay(replace(laid.design, hand=hand))) for hand in ("right", "left"))
    assert [tube.name for tube in right] == [tube.name for tube in left]
    for one, other in zip(right, left, strict=True):
        np.testing.assert_allclose(one.points * [-1, 1, 1], other.points, atol=1e-9)
    assert not np.allclose(right[0].points, left[0].points)


def test_work_to_the_right_runs_to_the_right_seen_from_outside():
    weaver = next(tube for tube in reeds_of(planned("estuary").laid) if tube.name.startswith("band 5"))
    near = weaver.points[weaver.points[:, 1] < -0.9 * np.abs(weaver.points[:, 1]).max()]
    # The eye stands at the near side, -y, with x to the right: there x grows as the weaver goes on.
    assert np.diff(near[:20, 0]).min() > 0


def test_names_are_unique_and_in_words(laid):
    names = [tube.name for tube in reeds_of(laid)]
    assert len(set(names)) == len(names)
    assert {name.split()[0] for name in names} <= {"band", "spoke", "border", "base"}
    assert sum(name.startswith("border end") for name in names) == laid.design.spokes.ends


def test_no_reed_has_a_corner(laid):
    """A spoke turns up from the base, and an end bends over into the border, in a curve that no eye sees as chords."""
    for tube in reeds_of(laid):
        step = np.diff(tube.points, axis=0)
        step /= np.linalg.norm(step, axis=1)[:, None]
        turn = np.arccos(np.clip((step[1:] * step[:-1]).sum(axis=1), -1, 1))
        assert np.degrees(turn.max()) < 40, tube.name
        if tube.role == "spoke":
            tightest = np.linalg.norm(np.diff(tube.points, axis=0), axis=1)[1:] / np.maximum(turn, 1e-9)
            assert tightest.min() > 0.4 * tube.thick_mm, tube.name


def test_a_spoke_runs_on_as_its_end_in_the_border(laid):
    by_name = {tube.name: tube for tube in reeds_of(laid)}
    for end in range(1, laid.design.spokes.ends + 1):
        top, start = by_name[f"spoke {end}"].points[-1], by_name[f"border end {end}"].points[0]
        assert np.linalg.norm(top - start) < HAIR_MM


def test_the_cut_ends_of_weavers_lie_inside(laid):
    for tube in reeds_of(laid):
        if tube.role != "weaver" or tube.points[:, 2].max() < laid.design.spokes.reed.diameter_mm * 2:
            continue
        ring = np.interp(tube.points[[0, -1], 2], laid.design.form._curve[2], laid.design.form._curve[1])
        assert (np.hypot(*tube.points[[0, -1], :2].T) < ring - 0.4 * tube.thick_mm).all(), tube.name


def test_the_halves_of_the_cross_lie_on_each_other_and_come_level_at_the_edge(laid):
    sticks = [outward(stick) for stick in stick_curves(laid)]
    thick = laid.design.spokes.stick_reed.diameter_mm
    middle = np.array([stick.n[stick.s.argmin()] for stick in sticks])
    assert set(np.round(middle / thick, 6)) == {-0.5, 0.5}
    below = int((middle > 0).sum())
    assert below == 2 * ((len(sticks) // 2) - (len(sticks) // 2) // 2), "the larger half of the sticks lies below"
    assert max(abs(stick.n[-1]) for stick in sticks) < HAIR_MM


@pytest.mark.parametrize("kind", ["laid cross", "pierced cross"])
@pytest.mark.parametrize(("ends", "beside"), [(15, 1), (17, 1), (16, 1), (17, 2), (21, 1)])
def test_every_whole_stick_runs_through_the_middle_in_one_piece(kind, ends, beside):
    """Where an arm holds one end more than that across from it, too."""
    design = parse(pot_text())
    spokes = replace(design.spokes, ends=ends, per_end=beside)
    laid = lay(replace(design, base=replace(design.base, kind=kind, odd="half"), spokes=spokes))
    lines = {}
    for curve in stick_curves(laid):
        lines.setdefault(curve.end, []).append(in_space(laid, curve))
    for one, two in (pair for pair in sticks_in_order(laid) if len(pair) == 2):
        for mine, other in zip(lines[one], reversed(lines[two]), strict=True):
            split = kind == "pierced cross" and below(laid.design)[one]  # its halves lie between
            assert split or np.linalg.norm(mine[0] - other[0]) < HAIR_MM, (one, two)
            ways = [(each[3] - each[0])[:2] for each in (mine, other)]
            ways = [way / np.linalg.norm(way) for way in ways]
            assert split or ways[0] @ ways[1] < -np.cos(np.radians(0.1)), (one, two)
    half = [each[0] for each in sticks_in_order(laid) if len(each) == 1]
    for line in (line for end in half for line in lines[end]):
        inner = np.hypot(*line[0, :2])
        assert inner > np.hypot(*line[:, :2].T).min() + HAIR_MM, "a half one ends past the middle"
        assert inner < laid.cross_mm, "and clear of the first row"


def test_an_inserted_spoke_starts_right_beside_a_stick(quayside):
    laid = planned("quayside").laid
    by_name = {tube.name: tube for tube in reeds_of(laid)}
    sticks = np.concatenate([by_name[f"base stick {i + 1}"].points for i in range(quayside.spokes.base_ends)])
    touch = (quayside.spokes.reed.diameter_mm + quayside.spokes.stick_reed.diameter_mm) / 2
    assert len(inserted_curves(laid)) == quayside.spokes.ends
    for end in range(quayside.spokes.ends):
        start = by_name[f"spoke {end + 1}"].points[0]
        beside = np.hypot(*(sticks - start)[:, :2].T).min()
        assert beside == pytest.approx(touch, abs=0.3)


def test_spokes_two_in_a_place_stand_side_by_side(estuary):
    laid = lay(replace(estuary, spokes=replace(estuary.spokes, per_end=2)))
    pairs = spoke_curves(laid)
    assert len(pairs) == 2 * estuary.spokes.ends
    around = 2 * np.pi * float(laid.design.form.radius(laid.top_s)) / estuary.spokes.ends
    assert (pairs[1].u[-1] - pairs[0].u[-1]) * around == pytest.approx(estuary.spokes.reed.diameter_mm, rel=1e-6)


def test_relaxed_curves_take_the_place_of_stacked_ones():
    laid = planned("posy").laid
    stacks = stacked_curves(laid)
    wider = [Curve(c.name, c.role, c.where, c.colour, c.thick_mm, c.u, c.s, c.n + 10.0) for c in stacks]
    for before, after in zip(tubes(laid, stacks), tubes(laid, wider), strict=True):
        moved = before.role in ("weaver", "border")
        assert (np.linalg.norm(after.points[0] - before.points[0]) > 9) == moved, before.name


def forget():
    for module in (runs, stacks, standing, woven):
        for each in vars(module).values():
            if hasattr(each, "cache_clear"):
                each.cache_clear()


def changed(design):
    """The same basket with one thing after another changed that some of its reeds hang on, and some do not."""
    first, form = design.bands[0], design.form
    yield replace(design, form=replace(form, wall=(*form.wall[:-1], (form.wall[-1][0], form.wall[-1][1] * 1.02))))
    yield replace(design, form=replace(form, wall=((0.0, form.wall[0][1] * 1.01), *form.wall[1:])))
    yield replace(design, bands=(replace(first, rows=(first.rows or 3) + 1), *design.bands[1:]))
    yield replace(design, bands=(replace(first, colours=("rust",) * len(first.colours)), *design.bands[1:]))
    yield replace(design, bands=(replace(first, start=first.start + 1), *design.bands[1:]))
    yield replace(design, spokes=replace(design.spokes, colour="rust"))
    yield replace(design, hand="left" if design.hand == "right" else "right")


def test_what_is_remembered_of_other_baskets_changes_none(laid):
    for design in changed(laid.design):
        tubes(laid)
        after_another = tubes(lay(design))
        forget()
        for one, fresh in zip(after_another, tubes(lay(design)), strict=True):
            assert (one.name, one.colour, one.thick_mm) == (fresh.name, fresh.colour, fresh.thick_mm)
            np.testing.assert_array_equal(one.points, fresh.points, err_msg=one.name)


def test_a_very_large_basket_is_drawn_in_longer_chords_so_that_memory_does_not_grow_with_it():
    text = pot_text().replace('["0 in", "6 in"], ["3 in", "8 in"]', '["0 in", "50 in"], ["40 in", "60 in"]')
    text = text.replace('base = "6 in"', 'base = "50 in"').replace("rows = 6\n", "rows = 200\n")
    laid = lay(parse(text))
    points = sum(len(each.points) for each in tubes(laid))
    assert points < 1.3 * MOST_CHORDS
    for each in tubes(lay(parse(pot_text()))):
        hops = np.linalg.norm(np.diff(each.points, axis=0), axis=1)
        assert hops.max() < 1.1 * CHORD * each.thick_mm, "a small one loses nothing"


def test_so_is_one_of_few_rows_and_very_many_weavers():
    """A log basket two metres wide, 12 fine weavers of two strands in every row: by rows and spaces alone it was small,
    and its picture took 2.4 GB."""
    text = pot_text().replace('["0 in", "6 in"], ["3 in", "8 in"]', '["0 in", "80 in"], ["20 in", "90 in"]')
    text = text.replace('base = "6 in"', 'base = "80 in"').replace("rows = 6\n", "rows = 12\nstrands = 2\n")
    many = text.replace('weave = "three-rod wale"', "over = 4\nunder = 6\nweavers = 12")
    assert many != text, "the band is another"
    assert sum(len(each.points) for each in tubes(lay(parse(many)))) < 1.3 * MOST_CHORDS


def test_a_line_is_drawn_through_all_its_points_in_short_chords_and_its_moments_follow_each_other():
    points = np.array([[0.0, 0, 0, 1], [4, 0, 0, 1], [4, 0, 0, 1], [4, 3, 0, 2], [4, 3, 12, 2.5]])
    line = _dense(points, 0.5)
    far = np.linalg.norm(line[:, None, :3] - points[:, :3], axis=2).min(axis=0)
    assert far.max() < 1e-9  # one that stands twice is one
    assert np.linalg.norm(np.diff(line[:, :3], axis=0), axis=1).max() < 1.5 * 0.5  # a bow is longer than its chord
    turn, up = (int(np.linalg.norm(line[:, :3] - points[k, :3], axis=1).argmin()) for k in (1, 3))
    assert set(line[: turn + 1, 3]) == {1.0} and set(line[turn + 1 : up + 1, 3]) == {2.0}  # moment by moment
    assert np.all(np.diff(line[:, 3]) >= 0) and line[-1, 3] == 2.5
    assert len(_dense(points[:2], 0.5)) == 2  # a straight one needs no more
