"""A maker's own measure in a design: rows, border, tails and pace as measured, each with its range."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, basket_text

from slype.design.file.reader import parse
from slype.design.gauge import QUANTITIES, spread_of_one
from slype.errors import DesignError
from slype.lay.laying import as_reckoned, lay
from slype.plans import planning
from slype.plans.gauged import changed, ends_swing, times_in
from slype.quantity import MM_PER_IN
from slype.surface.woven import stacked_curves
from slype.tell.steps import steps

WALE = '[[gauge.rows]]\nweave = "three-rod wale"\nrows = 12\nheight = "{} in"\n'
LEARNED = "[gauge]\nlearned = [{{ quantity = {!r}, times = {}, between = [{}, {}] }}]\n"
PRINTED_MM = 1e-6


def gauged(tail, **changes):
    return planning.plan(basket(tail=tail, **changes))


def said(plan):
    return " ".join(sentence for step in steps(plan) for sentence in step.lines)


# Rows ----------------------------------------------------------------------------------------------------------


@given(st.integers(2, 40), st.floats(1.0, 6.0))
def test_rows_stand_as_high_as_they_were_measured_to_stand(rows, inches):
    (band,) = lay(basket(rows=rows, tail=WALE.format(round(inches, 3)))).bands
    assert band.height_mm == pytest.approx(rows / 12 * round(inches, 3) * MM_PER_IN, rel=1e-6)


def test_a_band_of_a_height_takes_as_many_rows_as_the_measured_ones_say():
    plan = gauged(WALE.format("2"), rows=None, band='height = "4 in"', wall=[["0 in", "6 in"], ["6 in", "6 in"]])
    assert plan.laid.bands[0].rows == 24


def test_a_measure_of_another_weave_or_reed_changes_nothing():
    plain = planning.plan(basket())
    for other in ('weave = "pairing"', 'weave = "three-rod wale"\nreed = "round 6"'):
        plan = gauged(f'[[gauge.rows]]\n{other}\nrows = 12\nheight = "3 in"\n')
        assert plan.finish_mm == plain.finish_mm
        assert changed(plan.laid) == ()


def test_of_two_measures_of_the_same_the_later_holds():
    older, newer = WALE.format("2"), WALE.format("3")
    assert gauged(older + newer).laid.bands[0].pitch_mm == pytest.approx(0.25 * MM_PER_IN)


def test_what_names_weave_and_reed_goes_before_what_names_the_weave_and_hands_before_the_book():
    exact = '[[gauge.rows]]\nweave = "three-rod wale"\nreed = "round 3"\nrows = 10\nheight = "2 in"\n'
    book = '[[gauge.learned]]\nquantity = "row pitch"\ntimes = 3.0\nbetween = [2.9, 3.1]\n'
    for tail in (WALE.format("4") + exact + book, book + exact + WALE.format("4")):
        assert gauged(tail).laid.bands[0].pitch_mm == pytest.approx(0.2 * MM_PER_IN)


def test_a_picture_stands_as_high_as_the_measured_rows():
    """The highest weaver in the picture moves by as much as the top of the rows, and the first stays on the base."""
    plain, tall = (planning.plan(basket(tail=tail)) for tail in ("", WALE.format("3 1/2")))
    (top, low), (high, first) = (
        (max(c.s.max() for c in curves), min(c.s.min() for c in curves))
        for curves in ([c for c in stacked_curves(plan.laid) if c.role == "weaver"] for plan in (plain, tall))
    )
    assert high - top == pytest.approx(tall.finish_mm - plain.finish_mm, abs=1.0)
    assert tall.finish_mm > plain.finish_mm * 1.2
    assert first == pytest.approx(low, abs=1.0)


def test_reeds_at_rest_keep_their_own_picture_and_the_plan_the_makers_figures():
    from slype.rest.relax import relax

    design = basket(ends=12, rows=4, tail=WALE.format("2"))
    at_rest = relax(design)
    plan = planning.plan(design, at_rest)
    assert plan.laid.bands[0].height_mm == pytest.approx(4 / 12 * 2 * MM_PER_IN)
    assert plan.laid.bands[0].at_rest is not None
    assert at_rest.laid.bands[0].height_mm == pytest.approx(as_reckoned(design).bands[0].height_mm, rel=0.1)
    assert plan.laid.bands[0].row_mm == pytest.approx(at_rest.laid.bands[0].row_mm), "nothing was said of take-up"


# What one band takes -------------------------------------------------------------------------------------------


def test_measured_take_up_gives_the_weavers_length_and_range():
    tail = '[[gauge.rows]]\nweave = "three-rod wale"\ntake_up = 1.2\n'
    (band,) = lay(basket(tail=tail)).bands
    rings = float((2 * math.pi * band.radius).sum())
    assert float(band.row_mm.sum()) == pytest.approx(1.2 * rings)
    low, high = band.woven_range_mm()
    wide = math.exp(1.959964 * spread_of_one("take-up"))
    assert (low, high) == (pytest.approx(1.2 * rings / wide), pytest.approx(1.2 * rings * wide))


def test_a_measured_speed_changes_the_time_of_the_strokes_alone():
    tail = '[[gauge.rows]]\nweave = "three-rod wale"\nstrokes_per_minute = 16\n'
    slow, fast = (dict((n, s) for n, s, _ in planning.plan(basket(tail=t)).time.parts) for t in ("", tail))
    assert fast["weaving"] == pytest.approx(slow["weaving"] / 2)
    assert {k: v for k, v in fast.items() if k != "weaving"} == {k: v for k, v in slow.items() if k != "weaving"}


def test_what_a_book_learned_of_the_time_speaks_of_the_whole_band():
    learned = LEARNED.format("stroke time", 1.5, 1.2, 1.9)
    slow, fast = (dict((n, s) for n, s, _ in planning.plan(basket(tail=t)).time.parts) for t in ("", learned))
    for part in ("weaving", "packing", "joins and starts"):
        assert fast[part] == pytest.approx(slow[part] * 1.5)


def test_learned_thickness_changes_weights_by_its_square_and_no_row():
    plain, thick = (planning.plan(basket(tail=t)) for t in ("", LEARNED.format("thickness", 1.1, 1.0, 1.2)))
    assert thick.laid.bands[0].pitch_mm == plain.laid.bands[0].pitch_mm
    for a, b in zip(plain.amounts, thick.amounts, strict=True):
        assert b.mass_g / b.length_mm == pytest.approx(1.21 * a.mass_g / a.length_mm)


def test_tails_as_long_as_the_maker_leaves_them_are_cut_and_told():
    plain, longer = (planning.plan(basket(tail=t)) for t in ("", '[gauge]\ntail = "4 in"\n'))
    for a, b in zip(plain.strands, longer.strands, strict=True):
        joined = [sum(j.overlap_mm for j in plan.all_joins if j.weaver == a.weaver) for plan in (plain, longer)]
        assert b.length_mm - a.length_mm == pytest.approx(2 * 2 * MM_PER_IN + joined[1] - joined[0])
    assert "Leave 4 in of each start inside" in said(longer)
    assert "Leave 2 in of each start inside" in said(plain)


# Border and spokes ---------------------------------------------------------------------------------------------


def test_a_spoke_has_the_border_that_was_measured():
    plan = gauged('[gauge]\nborder = "8 in"\n')
    parts = {name: mm for name, mm, *_ in plan.spokes.parts}
    assert parts["border"] == pytest.approx(2 * 8 * MM_PER_IN)


def test_fingers_that_hold_more_lengthen_the_border_by_just_that():
    plain, wide = (planning.plan(basket(tail=t)) for t in ("", '[gauge]\nfingers = "3 in"\n'))
    (held,) = [mm for name, mm, *_ in plain.laid.border.parts if name == "fingers"]
    assert wide.laid.border.length_mm - plain.laid.border.length_mm == pytest.approx(3 * MM_PER_IN - held)


@given(st.sampled_from([1.0, 3.0, 9.0, 19.0, 99.0]), st.floats(0.02, 0.25), st.floats(0.02, 0.12))
def test_a_spoke_is_long_enough_as_often_as_is_said(costs, border, rows):
    """Forty thousand baskets drawn from the stated ranges: rows and border each by their own lognormal (the second
    opinion); the cut, before it is rounded up, must hold in the stated share of them."""
    wide = 1.959964
    learned = ", ".join(
        f"{{ quantity = {quantity!r}, times = 1.05, between = [{1.05 * math.exp(-reach)}, {1.05 * math.exp(reach)}] }}"
        for quantity, reach in (("border", wide * border), ("row pitch", wide * rows))
    )
    plan = gauged(f"[gauge]\nshort_costs = {costs}\nlearned = [{learned}]\n", rows=20)
    spoke, laid = plan.spokes, plan.laid
    rng = np.random.default_rng(7)
    draws = rng.normal(size=(2, 40_000))
    both = 2 * (laid.top_s * np.exp(rows * draws[0]) + laid.border.length_mm * np.exp(border * draws[1]))
    needs = spoke.length_mm - 2 * (laid.top_s + laid.border.length_mm) + both
    cut = spoke.length_mm + ends_swing(laid).times(2).enough
    assert spoke.share == pytest.approx(costs / (costs + 1))
    assert float(np.mean(needs <= cut)) == pytest.approx(spoke.share, abs=0.02)
    assert spoke.cut_mm >= cut - PRINTED_MM
    inside = np.mean((needs >= spoke.range_mm[0]) & (needs <= spoke.range_mm[1]))
    assert inside == pytest.approx(0.95, abs=0.015)


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.95, "19 times in 20"), (0.9, "9 times in 10"), (0.99, "99 times in 100"), (0.5, "5 times in 10")],
)
def test_shares_are_said_as_a_maker_says_them(share, words):
    assert times_in(share) == words


def test_a_foot_and_a_lid_take_the_measure_but_for_this_borders_length():
    plain, more = (
        lay(basket(tail=t, before='[foot]\nborder = ["behind 1 out", "over 1 in"]\n').foot_alone)
        for t in ("", '[gauge]\nborder = "15 in"\n' + WALE.format("4"))
    )
    assert more.border.length_mm == plain.border.length_mm
    assert more.bands[0].pitch_mm == pytest.approx(MM_PER_IN / 3)


# What is told of it --------------------------------------------------------------------------------------------


def test_every_figure_that_a_gauge_changed_is_told_with_what_was_reckoned():
    tail = '[gauge]\nborder = "8 in"\ntail = "3 in"\n' + WALE.format("3") + "take_up = 1.1\nstrokes_per_minute = 10\n"
    found = changed(gauged(tail).laid)
    plain = as_reckoned(basket())
    assert [each.quantity for each in found] == ["row pitch", "take-up", "stroke time", "border", "tails"]
    assert found[0].reckoned == pytest.approx(plain.bands[0].height_mm)
    assert found[3].reckoned == pytest.approx(plain.border.length_mm)
    for each in found:
        assert each.low < each.now < each.high
        assert each.by_hand


@pytest.mark.parametrize(("measured", "told"), [('border = "8 in"', "border"), ('fingers = "3 in"', "fingers")])
def test_a_border_measured_whole_and_one_measured_by_the_fingers_are_told_apart(measured, told):
    (found,) = changed(gauged(f"[gauge]\n{measured}\n").laid)
    assert found.quantity == told and found.by_hand


def test_a_measure_that_no_hands_give_is_asked_about():
    assert "measure far off" in {f.rule.key for f in gauged(WALE.format("9")).advice}
    plan = gauged('[gauge]\nborder = "30 in"\n')
    (found,) = [f for f in plan.advice if f.rule.key == "measure far off"]
    assert found.where == "border" and "30 in" in found.message
    assert "measure far off" not in {f.rule.key for f in gauged('[gauge]\nborder = "8 in"\n').advice}


@pytest.mark.parametrize(
    ("tail", "where", "what"),
    [
        ("[gauge]\nbordre = 3\n", "gauge", 'Did you mean "border"'),
        ('[gauge]\nborder = "3 in"\nfingers = "1 in"\n', "gauge, border", "Leave border or fingers out"),
        ("[gauge]\nrows = 3\n", "gauge, rows", "Write [[gauge.rows]]"),
        ('[[gauge.rows]]\nrows = 3\nheight = "2 in"\n', "gauge, rows, entry 1, weave", "Say which weave"),
        ('[[gauge.rows]]\nweave = "randing"\nrows = 3\n', "gauge, rows, entry 1", "belong together"),
        ('[[gauge.rows]]\nweave = "randing"\n', "gauge, rows, entry 1", "measures nothing"),
        ('[[gauge.rows]]\nweave = "rending"\nrows = 3\nheight = "2 in"\n', "entry 1, weave", "randing"),
        ("[gauge]\nshort_costs = 0\n", "gauge, short_costs", "From 1 to 1000"),
        ('[[gauge.learned]]\nquantity = "rows"\ntimes = 1\nbetween = [1, 1]\n', "quantity", "row pitch"),
        ('[[gauge.learned]]\nquantity = "tails"\ntimes = 1\nbetween = [2, 1]\n', "between", "smaller figure first"),
        ('[[gauge.learned]]\nquantity = "tails"\ntimes = 1\nbetween = 3\n', "between", "two numbers"),
    ],
)
def test_a_measure_that_cannot_be_is_refused_with_what_would_be_right(tail, where, what):
    with pytest.raises(DesignError) as trouble:
        parse(basket_text(tail=tail), "pot.toml")
    assert where in trouble.value.where
    assert what in str(trouble.value)


@given(st.sampled_from(sorted(QUANTITIES)), st.floats(0.5, 2.0), st.floats(0.01, 0.3))
def test_a_learned_ratio_of_one_changes_only_ranges(quantity, times, spread):
    plain = planning.plan(basket())
    between = math.exp(-1.96 * spread), math.exp(1.96 * spread)
    plan = gauged(LEARNED.format(quantity, 1.0, *between))
    assert plan.finish_mm == plain.finish_mm
    assert plan.spokes.length_mm == pytest.approx(plain.spokes.length_mm)
    assert [s.length_mm for s in plan.strands] == pytest.approx([s.length_mm for s in plain.strands])
    assert plan.time.seconds == pytest.approx(plain.time.seconds)
