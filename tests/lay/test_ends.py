"""Ends that come to stand on the way: pushed in beside others, counted, cut, told and drawn."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, basket_text
from widening import MORE, WIDENING, widening
from worked import rested_of

from slype.design.file import reader
from slype.errors import DesignError
from slype.form.tiers import Tier, spread, with_more
from slype.lay import chart, courses, values
from slype.lay.spacing import stretches
from slype.plans import planning
from slype.space.tubes import tubes
from slype.surface.added_ends import along_spoke, among_last_ends, ends_by_tier, place_of
from slype.surface.sticks import base_sticks
from slype.tell import steps

IN_BASE = (
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 6\n'
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nadd = {add}\nuntil = "6 in"\n'
)


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
    plan = planning.plan(widening())
    assert [band.ends for band in plan.laid.bands] == [24, 48]
    assert plan.design.top_ends == 48
    assert plan.laid.border_spacing_mm == pytest.approx(np.pi * plan.laid.mouth_mm / 48)
    outside, _ = chart.faces(plan.laid, plan.laid.bands[1])
    assert {len(row) for row in outside} == {48}


def test_spacing_halves_where_as_many_again_are_added():
    alone, more = (planning.plan(widening(add=add)).laid.bands[1] for add in (1, 24))
    assert more.spacing[0] * 48 == pytest.approx(alone.spacing[0] * 25)


def test_weavers_are_ended_where_ends_are_added():
    same = MORE.format(add=24).replace("add = 24\n", "")
    plain, more = (planning.plan(widening(weave="pairing", after=each)) for each in (same, MORE.format(add=24)))
    assert courses.goes_on(*plain.laid.bands) and not courses.goes_on(*more.laid.bands)


# Lengths -------------------------------------------------------------------------------------------------------


def test_an_added_spoke_is_as_long_as_what_is_left_of_the_wall_its_slype_and_the_border():
    plan = planning.plan(widening(spokes='insertion = "2 in"'))
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
    (step,) = [step for step in steps.steps(planning.plan(widening(add=add))) if step.title.startswith("Add ")]
    assert any(said in line for line in step.lines), step.lines
    assert any(f"{24 + add} ends stand" in line for line in step.lines)


def test_a_left_handed_maker_adds_on_the_left():
    (step,) = [step for step in steps.steps(planning.plan(widening(hand="left"))) if step.title.startswith("Add ")]
    assert any("left-hand side" in line for line in step.lines)


def test_spaces_grown_too_wide_are_told_to_add_ends():
    told = {f.rule.key: f for f in planning.plan(basket(wall=[["0 in", "6 in"], ["1 in", "26 in"]], rows=60)).advice}
    assert "add = " in told["far apart at the mouth"].remedy


# Curves --------------------------------------------------------------------------------------------------------


@given(st.integers(1, 48), st.sampled_from(["round", "oval"]))
def test_old_ends_go_on_from_where_they_stood(add, outline):
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "13 in", "10 in"]]}
    changes = {"before": 'outline = "oval"', **oblong} if outline == "oval" else {}
    laid = planning.plan(widening(add=add, **changes)).laid
    start = laid.tier_start_mm("side", 1)
    for tier, numbers in ends_by_tier(laid, "side"):
        if tier == 0:
            below, above = along_spoke(laid, "side", 0, numbers, np.array([start - 1e-6, start]))
            assert below == pytest.approx(above, abs=1e-3)
        top = along_spoke(laid, "side", tier, numbers, np.array([laid.top_s]))
        assert top[0] == pytest.approx(numbers[-1] + 0.5)


@pytest.fixture(scope="module")
def oval():
    """An oval that widens, its wall's second band with 8 more ends."""
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "13 in", "10 in"]]}
    return planning.plan(widening(add=8, before='outline = "oval"', spokes="long_sticks = 5", **oblong)).laid


@given(u=st.floats(-60, 60), tier=st.integers(0, 1))
def test_a_place_is_found_again_from_its_turn(oval, u, tier):
    turn = oval.design.turn("side", np.array([u]), tier)
    assert place_of(oval, "side", turn, tier)[0] == pytest.approx(u, abs=0.02)


def test_without_added_ends_nothing_is_moved():
    laid = planning.plan(basket()).laid
    u = np.linspace(-3, 30, 50)
    assert np.array_equal(among_last_ends(laid, "side", 0, u, np.zeros(50)), u)


def test_every_added_spoke_is_drawn_from_its_slype_to_the_border():
    plan = planning.plan(widening(spokes='insertion = "3/4 in"'))
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
    at_rest = rested_of(basket_text(ends=24, wall=WIDENING, after=MORE.format(add=24)))
    assert list(at_rest.parts)[:2] == ["side", "side 2"]
    assert at_rest.done and at_rest.order_kept
    low, high = at_rest.laid.bands
    assert high.start_s == pytest.approx(low.end_s)
    assert at_rest.laid.top_s == pytest.approx(at_rest.stacked.top_s, rel=0.05)


# Bye-spokes ----------------------------------------------------------------------------------------------------


# A foot of its own ---------------------------------------------------------------------------------------------


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
