"""Ends that come to stand on the way: pushed in beside others, counted, cut, told and drawn."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, basket_text

from slype.design.file import reader
from slype.errors import DesignError, Unweavable
from slype.form.tiers import Tier, spread, with_more
from slype.lay import chart, courses, values
from slype.lay.spacing import stretches
from slype.plans import planning
from slype.rest.relax import relax
from slype.space.tubes import tubes
from slype.surface.added_ends import along_spoke, among_last_ends, ends_by_tier, place_of
from slype.surface.sticks import base_sticks
from slype.tell import steps

FLARED = [["0 in", "6 in"], ["4 in", "12 in"]]
MORE = '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = {add}\nrows = 6\n'
IN_BASE = (
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 6\n'
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nadd = {add}\nuntil = "6 in"\n'
)


def flared(add=24, **changes):
    return basket(**{"ends": 24, "wall": FLARED, "after": MORE.format(add=add), **changes})


# Counts --------------------------------------------------------------------------------------------------------


@given(st.integers(3, 60), st.data())
def test_every_end_stands_on_and_every_new_one_beside_an_old_one(ends, data):
    added = data.draw(st.integers(1, 2 * ends))
    tier = with_more(Tier(ends), added, 1, None)
    assert tier.ends == ends + added and tier.added == added
    assert [came for came, new in zip(tier.came, tier.new, strict=True) if not new] == list(range(ends))
    beside = [tier.beside.count(end) for end in range(ends)]
    assert max(beside) - min(beside) <= 1
    for end, (came, new) in enumerate(zip(tier.came, tier.new, strict=True)):
        if new:
            neighbours = [n for n in (end - 1, end + 1) if 0 <= n < tier.ends]
            assert any(tier.came[n] == came and not tier.new[n] for n in neighbours)


def test_half_as_many_go_beside_every_second_end_from_the_first_on():
    assert spread(12, 24) == [1, 0] * 12


def test_nineteen_beside_twenty_leave_one_alone():  # Gill M36: 20 side spokes, later 19 more
    assert spread(19, 20).count(0) == 1


def test_a_band_with_added_ends_is_woven_on_all_of_them_and_so_is_the_border():
    plan = planning.plan(flared())
    assert [band.ends for band in plan.laid.bands] == [24, 48]
    assert plan.design.top_ends == 48
    assert plan.laid.border_spacing_mm == pytest.approx(np.pi * plan.laid.mouth_mm / 48)
    outside, _ = chart.faces(plan.laid, plan.laid.bands[1])
    assert {len(row) for row in outside} == {48}


def test_spacing_halves_where_as_many_again_are_added():
    alone, more = (planning.plan(flared(add=add)).laid.bands[1] for add in (1, 24))
    assert more.spacing[0] * 48 == pytest.approx(alone.spacing[0] * 25)


def test_weavers_are_ended_where_ends_are_added():
    same = MORE.format(add=24).replace("add = 24\n", "")
    plain, more = (planning.plan(flared(weave="pairing", after=each)) for each in (same, MORE.format(add=24)))
    assert courses.goes_on(*plain.laid.bands) and not courses.goes_on(*more.laid.bands)


# Lengths -------------------------------------------------------------------------------------------------------


def test_an_added_spoke_is_as_long_as_what_is_left_of_the_wall_its_slype_and_the_border():
    plan = planning.plan(flared(spokes='insertion = "2 in"'))
    added = next(piece for piece in plan.pieces if "added" in piece.name)
    assert added.count == 24
    left = plan.laid.top_s - plan.laid.bands[0].end_s
    assert added.length_mm == pytest.approx(50.8 + left + plan.laid.border.length_mm + values.SPARE_MM)


def test_one_added_in_the_base_runs_on_up_the_side():
    plan = planning.plan(basket(ends=16, before=IN_BASE.format(add=16)))
    added = next(piece for piece in plan.pieces if "added" in piece.name)
    assert [band.ends for band in plan.laid.bands] == [16, 32, 32]
    to_edge = 6 * 25.4 / 2 - plan.laid.bands[1].start_s
    assert dict((name, mm) for name, mm, *_ in added.parts)["to the edge"] == pytest.approx(to_edge)
    assert added.length_mm > plan.laid.top_s + plan.laid.border.length_mm + to_edge


# Words ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("add", "said"),
    [
        (24, "beside every spoke, always on its right-hand side"),
        (48, "one on each side of every spoke"),
        (12, "beside every second spoke"),
        (23, "beside every spoke but 24"),
        (30, "one on each side of spokes 1, 5, 9, 13, 17 and 21"),
        (5, "beside spokes 1, 5, 10, 15 and 20"),
    ],
)
def test_a_step_says_beside_which_spokes(add, said):
    (step,) = [step for step in steps.steps(planning.plan(flared(add=add))) if step.title.startswith("Add ")]
    assert any(said in line for line in step.lines), step.lines
    assert any(f"{24 + add} ends stand" in line for line in step.lines)


def test_a_left_handed_maker_adds_on_the_left():
    (step,) = [step for step in steps.steps(planning.plan(flared(hand="left"))) if step.title.startswith("Add ")]
    assert any("left-hand side" in line for line in step.lines)


def test_spaces_grown_too_wide_are_told_to_add_ends():
    told = {f.rule.key: f for f in planning.plan(basket(wall=[["0 in", "6 in"], ["1 in", "26 in"]], rows=60)).advice}
    assert "add = " in told["far apart at the mouth"].remedy


# Curves --------------------------------------------------------------------------------------------------------


@given(st.integers(1, 48), st.sampled_from(["round", "oval"]))
def test_old_ends_go_on_from_where_they_stood(add, outline):
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "13 in", "10 in"]]}
    changes = {"before": 'outline = "oval"', **oblong} if outline == "oval" else {}
    laid = planning.plan(flared(add=add, **changes)).laid
    start = laid.tier_start_mm("side", 1)
    for tier, numbers in ends_by_tier(laid, "side"):
        if tier == 0:
            below, above = along_spoke(laid, "side", 0, numbers, np.array([start - 1e-6, start]))
            assert below == pytest.approx(above, abs=1e-3)
        top = along_spoke(laid, "side", tier, numbers, np.array([laid.top_s]))
        assert top[0] == pytest.approx(numbers[-1] + 0.5)


@given(st.floats(-60, 60), st.integers(0, 1))
def test_a_place_is_found_again_from_its_turn(u, tier):
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "13 in", "10 in"]]}
    laid = planning.plan(flared(add=8, before='outline = "oval"', spokes="long_sticks = 5", **oblong)).laid
    turn = laid.design.turn("side", np.array([u]), tier)
    assert place_of(laid, "side", turn, tier)[0] == pytest.approx(u, abs=0.02)


def test_without_added_ends_nothing_is_moved():
    laid = planning.plan(basket()).laid
    u = np.linspace(-3, 30, 50)
    assert np.array_equal(among_last_ends(laid, "side", 0, u, np.zeros(50)), u)


def test_every_added_spoke_is_drawn_from_its_slype_to_the_border():
    plan = planning.plan(flared(spokes='insertion = "3/4 in"'))
    standing = [tube for tube in tubes(plan.laid) if tube.role == "spoke"]
    late = [tube for tube in standing if np.hypot(*tube.points[0, :2]) > 50]  # the others run in to the middle
    assert len(standing) == 48 and len(late) == 24
    start = plan.laid.design.form.height(plan.laid.bands[1].start_s - 19.05)
    assert all(tube.points[0, 2] == pytest.approx(float(start), abs=1.0) for tube in late)


def test_sticks_added_in_the_base_begin_beside_another_and_reach_the_edge():
    laid = planning.plan(basket(ends=16, before=IN_BASE.format(add=16))).laid
    sticks = base_sticks(laid)
    assert len(sticks) == 32
    ends = np.array([np.arctan2(stick[-1, 1], stick[-1, 0]) for stick in sticks]) % (2 * np.pi)
    assert np.allclose(np.diff(ends), 2 * np.pi / 32, atol=1e-6)
    late = [stick for stick in sticks if np.hypot(*stick[0]) > 5]
    assert len(late) == 16


def test_tiers_come_to_rest_one_on_the_other():
    at_rest = relax(flared(add=24))
    assert list(at_rest.parts)[:2] == ["side", "side 2"]
    assert at_rest.done and at_rest.order_kept
    low, high = at_rest.laid.bands
    assert high.start_s == pytest.approx(low.end_s)
    assert at_rest.laid.top_s == pytest.approx(at_rest.stacked.top_s, rel=0.05)


# Bye-spokes ----------------------------------------------------------------------------------------------------

UPPER = '[[band]]\nweave = "pairing"\nreed = "round 2"\nrows = 8\n'


def with_byes(keys="", **changes):
    return basket(**{"after": UPPER, "tail": f"[bye_spokes]\n{keys}", **changes})


def test_bye_spokes_stand_from_the_upsett_on_and_take_up_room_between_the_ends():
    byes, alone = planning.plan(with_byes()).laid.bands, planning.plan(basket(after=UPPER)).laid.bands
    assert byes[0].gap[0] == pytest.approx(alone[0].gap[0])
    assert byes[1].gap[0] == pytest.approx(alone[1].gap[0] - 3.25)
    assert byes[1].take_up.mean() > alone[1].take_up.mean()  # a shorter gap is a steeper way through


def test_one_bye_spoke_for_every_end_as_long_as_its_way():
    plan = planning.plan(with_byes('reed = "round 4"'))
    (bye_spokes,) = [piece for piece in plan.pieces if piece.name == "bye-spoke"]
    laid = plan.laid
    assert bye_spokes.count == 24 and bye_spokes.reed.key == "round 4"
    upsett = laid.bands[0].end_s
    way = min(25.4, upsett) + laid.top_s - upsett + laid.border.length_mm + values.SPARE_MM
    assert bye_spokes.length_mm == pytest.approx(way)


def test_cut_off_below_the_border_they_need_no_more_than_the_wall_and_leave_the_border_as_it_was():
    plan, alone = planning.plan(with_byes('to = "below"')), planning.plan(basket(after=UPPER))
    bye_spokes = next(piece for piece in plan.pieces if piece.name == "bye-spoke")
    assert bye_spokes.length_mm < plan.laid.top_s + values.SPARE_MM + 25.4
    assert plan.laid.border == alone.laid.border
    told = [line for step in steps.steps(plan) for line in step.lines]
    assert any("Cut the bye-spokes off" in line for line in told)


def test_in_the_border_a_spoke_and_its_bye_spoke_are_like_doubled_spokes():
    byes, doubled = planning.plan(with_byes('from = "base"')), planning.plan(basket(after=UPPER, spokes="per_end = 2"))
    assert byes.laid.border.length_mm == pytest.approx(doubled.laid.border.length_mm)
    assert byes.laid.border_height_mm == pytest.approx(doubled.laid.border_height_mm)
    for a, b in zip(byes.laid.bands, doubled.laid.bands, strict=True):
        assert a.take_up == pytest.approx(b.take_up)


@pytest.mark.parametrize(("keys", "where"), [("", "down into the upsett"), ('from = "base"', "edge of the base")])
def test_a_step_says_where_bye_spokes_go(keys, where):
    told = steps.steps(planning.plan(with_byes(keys, basket='wording = "uk"')))
    (step,) = [step for step in told if step.title == "Add the bye-stakes"]
    assert any(where in line for line in step.lines)
    place = [each.title for each in told].index(step.title)
    assert told[place + 1].band == (0 if keys else 1)


def test_the_two_reeds_of_an_end_never_run_through_each_other_in_a_picture():
    laid = planning.plan(with_byes('reed = "round 4"\ncolour = "slate"')).laid
    of = {tube.name: tube for tube in tubes(laid)}
    for pair in (("border end 3", "border end 3, bye-spoke"), ("spoke 3", "spoke 3, bye-spoke")):
        a, b = (of[name] for name in pair)
        apart = np.sqrt(((a.points[:, None] - b.points[None]) ** 2).sum(axis=2)).min()
        assert apart > 0.85 * (a.thick_mm + b.thick_mm) / 2, pair


def test_a_wall_with_bye_spokes_comes_to_rest():
    at_rest = relax(with_byes('to = "below"'))
    assert at_rest.done and "border" in at_rest.parts


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"after": "", "tail": "[bye_spokes]"}, r"no band above the upsett.*from = .base."),
        ({"after": MORE.format(add=4), "tail": "[bye_spokes]"}, r"adds ends part way up.*Leave one of them out"),
        ({"tail": '[bye_spokes]\nfrom = "rim"'}, r"bye_spokes, from"),
    ],
)
def test_bye_spokes_that_cannot_stand_are_refused_with_a_remedy(changes, said):
    with pytest.raises(DesignError, match=said):
        reader.parse(basket_text(**changes))


# A foot of its own ---------------------------------------------------------------------------------------------


def on_a_foot(keys="", **changes):
    return basket(**{"tail": f'[foot]\nborder = "foot border"\n{keys}', **changes})


def test_a_foot_lifts_the_basket_by_its_rows_and_its_border():
    plain, lifted = planning.plan(basket()), planning.plan(on_a_foot("rows = 3"))
    band = lifted.foot.laid.bands[0]
    thick = lifted.laid.finished_height_mm - plain.laid.finished_height_mm
    assert thick == pytest.approx(lifted.foot.height_mm)
    assert thick == pytest.approx(3 * band.pitch_mm + 3.25 * 2)  # two ends lie on each other below the last row
    assert lifted.laid.top_s == plain.laid.top_s


def test_a_foot_end_is_cut_for_its_slype_its_rows_and_its_border():
    plan = planning.plan(on_a_foot('reed = "round 4"\ninsertion = "2 in"'))
    end, weaver = (next(p for p in plan.pieces if p.name == name) for name in ("foot end", "foot weaver"))
    laid = plan.foot.laid
    assert end.count == 24 and weaver.count == 3 and end.reed.key == "round 4"
    assert end.length_mm == pytest.approx(50.8 + laid.top_s + laid.border.length_mm + values.SPARE_MM)
    assert weaver.length_mm == pytest.approx(laid.bands[0].row_mm.sum() + 2 * 50.8)


def test_a_long_foot_weaver_is_cut_in_lengths_no_longer_than_its_reed():
    plan = planning.plan(on_a_foot("rows = 20", base="20 in", ends=80))
    weaver = next(p for p in plan.pieces if p.name == "foot weaver")
    assert weaver.count > 3 and weaver.length_mm <= weaver.reed.strand_mm


def test_the_foot_is_worked_after_the_border_upside_down():
    told = steps.steps(planning.plan(on_a_foot()))
    titles = [step.title for step in told]
    assert titles.index("Work the foot") == titles.index("Work the border") + 1
    lines = told[titles.index("Work the foot")].lines
    assert "upside down" in lines[0]
    assert any("Count: 24 stand" in line for line in lines)


def test_a_foot_stands_on_as_many_ends_as_the_base_has_when_more_are_added_above():
    assert planning.plan(flared(tail='[foot]\nborder = "foot border"')).foot.ends == 24


def test_an_oval_stands_on_a_foot_too():
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "10 in", "7 in"]]}
    plan = planning.plan(on_a_foot(before='outline = "oval"', **oblong))
    assert plan.foot.laid.bands[0].radius[0] == pytest.approx(float(plan.design.form.radius(0.0)))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"tail": "[foot]\nrows = 2"}, r"foot, border.*missing"),
        ({"tail": '[foot]\nborder = "three-rod plain"'}, r"not a foot border"),
        ({"tail": '[foot]\nborder = "foot border"\ncolours = ["rust", "rust"]'}, r"foot, colours: 2 colours for 3"),
        (
            {
                "wall": [["0 in", "5 in"], ["4 in", "6 in"]],
                "tail": '[base]\nkind = "board"\nfoot = "foot border"\n[foot]\nborder = "foot border"',
            },
            r"a board has its foot",
        ),
    ],
)
def test_a_foot_that_cannot_be_is_refused_with_a_remedy(changes, said):
    with pytest.raises(DesignError, match=said):
        reader.parse(basket_text(**changes))


@pytest.mark.parametrize(
    ("keys", "said"), [('weave = "randing"', "does not hold"), ("weaver = { mm = 12 }\nreed = { mm = 12 }", "foot")]
)
def test_a_foot_no_hands_could_weave_is_refused(keys, said):
    with pytest.raises(Unweavable, match=said):
        planning.plan(on_a_foot(keys))


# Ovals ---------------------------------------------------------------------------------------------------------

OBLONG = {
    "before": 'outline = "oval"',
    "base": ["12 in", "6 in"],
    "wall": [["0 in", "12 in", "6 in"], ["4 in", "15 in", "9 in"]],  # flares by the same all round: only the ends grow
}


def test_stretches_hold_every_space_and_the_whole_ring():
    design = basket(ends=40, **OBLONG)
    found = stretches(design, "side", 0, np.array([0.0, 50.0, 90.0]))
    assert sum(part.spaces for part in found) == pytest.approx(40)
    assert sum(part.share for part in found) == pytest.approx(np.ones(3))
    straight, curve = found
    assert straight.spacing == pytest.approx(np.full(3, straight.spacing[0]))  # 6 in of straight side all the way up
    assert curve.spacing[2] > 1.3 * curve.spacing[0] and curve.spacing[0] == pytest.approx(straight.spacing[0])


def test_a_weaver_winds_more_where_ends_stand_close_so_an_oval_is_no_mean():
    laid = planning.plan(basket(ends=48, weave="pairing", rows=20, reed="round 4", **OBLONG)).laid
    band = laid.bands[0]
    assert band.gap[-1] < band.spacing[-1] - 0.5  # the closest counts for what can pass
    even = planning.plan(
        basket(
            ends=48,
            weave="pairing",
            rows=20,
            reed="round 4",
            **{**OBLONG, "wall": [["0 in", "12 in", "6 in"], ["4 in", "12 in", "6 in"]]},
        )
    ).laid.bands[0]
    assert even.gap == pytest.approx(even.spacing)


def test_more_ends_on_the_curves_stand_there_and_nowhere_else():
    few = basket(ends=40, band='add = 8\nadd_at = "curves"', **OBLONG)
    tier = few.tiers("side")[1]
    x, *_ = few.form.place(few.turn("side", np.arange(48) + 0.5, 1), np.zeros(48))
    x_before, *_ = few.form.place(few.turn("side", np.arange(40) + 0.5, 0), np.zeros(40))
    half = (few.form.base_length_mm - few.form.base_width_mm) / 2 + 1e-6
    assert np.sum(np.abs(x) > half) == np.sum(np.abs(x_before) > half) + 8 == 2 * tier.on_curve
    old, more = (stretches(few, "side", k, np.array([80.0])) for k in (0, 1))
    assert more[1].spacing[0] < old[1].spacing[0]


def test_advice_on_an_oval_names_the_widest_stretch():
    said = planning.plan(basket(ends=26, rows=20, **OBLONG)).advice
    (found,) = [each for each in said if each.rule.key.startswith("far apart")]
    assert "up to 1 11/16 in at the mouth" in found.message


# Bad input -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"band": "add = 49"}, r"one on each side of the 24.*At most 48"),
        ({"band": 'add_at = "curves"'}, r"says nothing without add"),
        ({"band": 'add = 8\nadd_at = "curves"'}, r"a round basket is all curve"),
        (
            {
                "before": 'outline = "rectangle"',
                "base": ["9 in", "6 in"],
                "wall": [["0 in", "9 in", "6 in"], ["4 in", "9 in", "6 in"]],
                "band": 'add = 8\nadd_at = "curves"',
            },
            r"is for ovals",
        ),
        ({"before": IN_BASE.format(add=8), "spokes": "inserted = true"}, r"whose spokes run through"),
        ({"before": IN_BASE.replace("rows = 6\n", "rows = 6\nadd = 8\n", 1).format(add=8)}, r"before the first row"),
        ({"spokes": 'insertion = "1 in"'}, r"only belongs to spokes that are pushed in"),
    ],
)
def test_ends_that_cannot_be_added_are_refused_with_a_remedy(changes, said):
    with pytest.raises(DesignError, match=said):
        reader.parse(basket_text(**changes))
