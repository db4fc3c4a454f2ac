"""Outlines: rings of round, oval and rectangular baskets, what stands on them, and what sits in them."""

import functools
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slype.design.file.reader import load, parse
from slype.errors import DesignError, Unweavable
from slype.form.wall import Form, ring_of
from slype.lay.laying import lay
from slype.lay.spacing import long_sticks, spacing_range
from slype.plans import planning
from slype.plans.fits import EASE_MM, fit, parse_box
from slype.rest import relax
from slype.space.tubes import tubes
from slype.surface.sticks import base_sticks
from slype.tell.steps import steps
from slype.tell.voice import fit_told

INCH = 25.4


@pytest.fixture(scope="module")
def garden():
    import slype

    return load(f"{slype.__path__[0]}/examples/saltmarsh.toml")


def oval(length=280.0, width=150.0, top=(330.0, 215.0), high=100.0):
    sides = ((length, width, width / 2), (top[0], top[1], top[1] / 2))
    foot, mouth = (ring_of(*each) / math.pi for each in sides)
    return Form(foot, ((0.0, foot), (high, mouth)), "oval", sides[0], sides)


def basket(outline='"oval"', base='["11 in", "6 in"]', more="", spokes="ends = 40", first="", wall=None):
    wall = wall or '[["0 in", "11 in", "6 in"], ["4 in", "13 in", "8 in"]]'
    return parse(
        f'spokes = {{ reed = "round 5", {spokes} }}\n'
        f"form = {{ outline = {outline}, base = {base}, wall = {wall} {more} }}\n"
        f'band = [ {first}{{ weave = "pairing", reed = "round 3", rows = 6 }} ]\n'
        'border = { rows = ["behind 1 out", "over 2 down"] }\n'
    )


def test_an_oval_board_of_20_by_14_inches_takes_52_holes_about_an_inch_apart():
    # Gill 1906, M53: oval board 20 in by 14 in, 52 holes "about one inch apart"; half an inch from the edge is ours.
    apart = ring_of(19 * INCH, 13 * INCH, 6.5 * INCH) / 52
    assert apart == pytest.approx(INCH, rel=0.05)


def test_a_round_board_of_10_inches_takes_39_holes():
    # Gill 1906, M54: 39 holes 5/8 in from the edge, "3/4 inch spacing"; 8 3/4 in across gives 0.70 in.
    across = 8.75 * INCH
    assert ring_of(across, across, across / 2) / 39 == pytest.approx(0.705 * INCH, rel=0.01)


@given(st.floats(60, 900), st.floats(0.3, 1.0), st.floats(0, 1), st.floats(1, 20))
def test_a_ring_further_out_is_longer_by_two_pi_of_the_distance(length, narrow, round_part, out):
    width = length * narrow
    corner = round_part * width / 2
    grown = ring_of(length + 2 * out, width + 2 * out, corner + out)
    assert grown - ring_of(length, width, corner) == pytest.approx(2 * math.pi * out)


@given(st.floats(0, 1), st.floats(0, 100))
def test_every_place_lies_on_its_ring_and_faces_outward(turn, s):
    form = oval()
    x, y, nx, ny = (float(each[0]) for each in form.place(np.array([turn]), np.array([s])))
    length, width, corner = (float(each) for each in form.sides(s))
    past = max(abs(x) - (length / 2 - corner), 0.0), max(abs(y) - (width / 2 - corner), 0.0)
    assert math.hypot(*past) == pytest.approx(corner, rel=1e-6)
    assert math.hypot(nx, ny) == pytest.approx(1.0)
    assert nx * x + ny * y > 0


def test_once_round_is_as_long_as_the_ring():
    form = oval()
    x, y, _, _ = form.place(np.linspace(0, 1, 4001), np.full(4001, 60.0))
    walked = float(np.hypot(np.diff(x), np.diff(y)).sum())
    assert walked == pytest.approx(2 * math.pi * float(form.radius(60.0)), rel=1e-4)


def test_a_round_basket_is_a_rectangle_that_is_all_corner():
    form = Form(200.0, ((0.0, 200.0), (100.0, 240.0)))
    x, y, _, _ = form.place(np.linspace(0, 1, 9), np.full(9, 100.0))
    angle = 2 * np.pi * np.linspace(0, 1, 9)
    r = float(form.radius(100.0))
    assert np.allclose([x, y], [r * np.sin(angle), r * np.cos(angle)], atol=1e-9)


@given(st.floats(-110, 110), st.floats(-70, 70))
def test_places_on_an_oval_base_are_found_again(x, y):
    form = oval()
    turn, s = form.base_at(np.array([x]), np.array([y]))
    again = form.base_place(turn, s)
    assert float(again[0][0]) == pytest.approx(x, abs=1e-6)
    assert float(again[1][0]) == pytest.approx(y, abs=1e-6)


def test_sticks_run_along_and_across_and_are_cut_for_it(garden):
    plan = planning.plan(garden)
    long, short = plan.pieces[:2]
    assert (long.name, short.name) == ("long spoke", "short spoke")
    assert long.count + short.count == 20
    assert long.count == long_sticks(garden)
    assert long.length_mm - short.length_mm == pytest.approx(5 * INCH)


def test_a_maker_may_say_how_many_lie_along():
    plan = planning.plan(basket(spokes="ends = 40, long_sticks = 7"))
    assert [piece.count for piece in plan.pieces[:2]] == [7, 13]
    turned = plan.design.turn("base", np.arange(40) + 0.5)
    x, y, _, _ = plan.design.form.place(turned, np.zeros(40))
    straight = 2.5 * INCH
    assert int(np.sum(np.abs(x) > straight + 1e-6)) == 14
    assert np.allclose(np.sort(y), np.sort(-y)), "as many stand on one long side as on the other"


def test_sticks_reach_the_edge_where_their_ends_stand(garden):
    laid = lay(garden)
    turned = garden.turn("base", np.arange(40) + 0.5)
    x, y, _, _ = garden.form.base_place(turned, np.full(40, max(laid.base_reached_mm, garden.form.base_width_mm) / 2))
    for end, stick in enumerate(base_sticks(laid)):
        assert stick[-1] == pytest.approx([x[end], y[end]], abs=1e-6)


def test_an_oval_comes_to_rest_and_is_as_wide_as_it_says(garden):
    rest = relax.relax(garden)
    assert rest.tangled == () and rest.order_kept
    points = np.concatenate([tube.points for tube in tubes(rest.laid) if tube.role == "spoke"])
    length, width, _ = (float(each) for each in garden.form.sides(rest.laid.top_s))
    assert np.ptp(points[:, 0]) == pytest.approx(length, rel=0.02)
    assert np.ptp(points[:, 1]) == pytest.approx(width, rel=0.02)


def test_a_left_handed_oval_is_the_mirror_image(garden):
    right, left = lay(garden), lay(replace(garden, hand="left"))
    for a, b in zip(tubes(right), tubes(left), strict=True):
        assert np.allclose(a.points * [-1, 1, 1], b.points)


def test_capacity_lies_between_that_of_what_fits_in_it_and_what_it_fits_in():
    form = oval(top=(280.0, 150.0))
    held = form.capacity_mm3(100.0, 0.0)
    assert 150 * 150 * math.pi / 4 * 100 + 130 * 150 * 100 == pytest.approx(held, rel=1e-3)
    assert form.capacity_mm3(100.0, 5.0) < held


def test_a_box_that_fits_exactly_has_nothing_to_spare():
    design = basket(
        '"rectangle"',
        '["11 in", "6 in"]',
        ', corner = "0.3 in"',
        wall='[["0 in","11 in","6 in"],["4 in","11 in","6 in"]]',
    )
    laid = lay(design)
    length, width, _ = (float(each) for each in design.form.inside(0.0, 0.0))
    found = fit(laid, length, width, 50.0)
    assert found.spare_mm < 0 and not found.sits
    roomy = fit(laid, length - 60, width - 60, 50.0)
    assert roomy.sits and roomy.spare_mm == pytest.approx(found.spare_mm + 30, abs=2.0)


@functools.cache
def plain():
    return lay(basket())


@settings(max_examples=40)
@given(st.floats(40, 250), st.floats(40, 140))
def test_a_smaller_box_always_has_more_to_spare(length, width):
    large, small = (fit(plain(), max(length, width) - less, min(length, width) - less, 40.0) for less in (0.0, 10.0))
    assert small.spare_mm > large.spare_mm
    assert (large.spare_mm >= EASE_MM / 2) == large.sits


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("9 x 5 in", (9, 5, 0)),
        ("5 x 9 x 2 1/2 in", (9, 5, 2.5)),
        ("9 in by 5 in", (9, 5, 0)),
        ("25.4 cm × 12.7 cm", (10, 5, 0)),
    ],
)
def test_sizes_are_read_as_makers_write_them(text, size):
    assert parse_box(text) == pytest.approx(tuple(INCH * each for each in size))


@pytest.mark.parametrize("text", ["9 in", "9 x 5", "", "x", "9 x", "a x b", "1 x 2 x 3 x 4 in", "0 x 0 in"])
def test_what_is_no_size_is_refused_in_words(text):
    with pytest.raises(DesignError):
        parse_box(text, "size")


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (dict(spokes="ends = 41"), "long and short sticks"),
        (dict(base='["6 in", "11 in"]'), "wider than it is long"),
        (dict(base='"11 in"'), r"\[length, width\]"),
        (dict(more=', corner = "1 in"'), "only belongs to a rectangle"),
        (dict(spokes="ends = 40, long_sticks = 20"), "leave none to lie across"),
        (dict(outline='"rectangle"', more=', corner = "4 in"'), "narrower than its two corners"),
        (dict(outline='"hexagon"'), "hexagon"),
    ],
)
def test_outlines_that_cannot_be_are_refused_with_what_would_be_right(changes, said):
    with pytest.raises(DesignError, match=said):
        basket(**changes)


def test_a_rectangle_has_no_base_woven_round_its_middle():
    with pytest.raises(DesignError, match="board"):
        basket('"rectangle"', first='{ where = "base", weave = "pairing", reed = "round 2", rows = 3 }, ')


def test_an_oval_narrower_than_its_sticks_is_refused():
    design = basket(
        base='["11 in", "1 1/2 in"]',
        wall='[["0 in", "11 in", "1 1/2 in"], ["2 in", "11 in", "3 in"]]',
        spokes="ends = 40, long_sticks = 12",
        first='{ where = "base", weave = "pairing", reed = "round 2", rows = 1 }, ',
    )
    with pytest.raises(Unweavable, match=r"long sticks side by side.*Use fewer ends"):
        lay(design)


def test_a_base_twisted_all_one_way_is_warned_of(garden):
    turned = [replace(band, weave=garden.bands[0].weave) if band.where == "base" else band for band in garden.bands]
    all_one_way = replace(garden, bands=tuple(turned))
    assert "oval base winds" in {found.rule.key for found in planning.plan(all_one_way).advice}
    assert "oval base winds" not in {found.rule.key for found in planning.plan(garden).advice}


def test_few_long_sticks_leave_the_ends_bare_and_that_is_said():
    design = basket(base='["11 in", "7 in"]', spokes="ends = 36, long_sticks = 5")
    closest, widest = spacing_range(design, 50.0)
    assert widest > 3 * closest
    plan = planning.plan(design)
    (found,) = [each for each in plan.advice if each.rule.key == "unevenly spaced"]
    better = int(re.search(r"(?i)put (\d+) sticks along the base", found.remedy)[1])
    even = planning.plan(basket(base='["11 in", "7 in"]', spokes=f"ends = 36, long_sticks = {better}"))
    assert "unevenly spaced" not in {each.rule.key for each in even.advice}
    # The border must reach across the widest gap.
    assert plan.laid.border.length_mm > 1.5 * even.laid.border.length_mm


def test_an_evenly_spaced_oval_and_a_round_basket_have_one_spacing(garden):
    closest, widest = spacing_range(garden, 0.0)
    assert widest == pytest.approx(closest, rel=0.02)
    assert 40 * widest == pytest.approx(2 * math.pi * float(garden.form.radius(0.0)), rel=0.01)


def test_an_oval_base_woven_to_its_width_is_not_called_too_small(garden):
    keys = {found.rule.key for found in planning.plan(garden).advice}
    assert not keys & {"base bands against base", "groups lie across the arms", "unevenly spaced"}


def test_fits_says_yes_or_no_first(garden):
    for size, begins in (("6 x 4 x 2 in", "Yes"), ("9 x 5 inches", "No"), ("30 x 20 cm", "No")):
        assert fit_told(garden, size, fit(lay(garden), *parse_box(size))).startswith(begins)


def test_the_steps_lay_long_sticks_and_short_ones(garden):
    told = " ".join(line for step in steps(planning.plan(garden)) for line in (step.title, *step.lines))
    assert "14 long spokes" in told and "6 short spokes" in told
    assert " in by 8 1/2 in across at the spokes" in told


def test_a_round_plan_is_worked_as_fast_as_an_oval_one_is_shaped():
    # No time is asserted; what is: an oval asks nothing of the weave that a round one does not.
    round_one = parse(
        'spokes = { reed = "round 5", ends = 40 }\n'
        'form = { base = "8.5 in", wall = [["0 in", "8.5 in"], ["4 in", "10 in"]] }\n'
        'band = [ { weave = "pairing", reed = "round 3", rows = 6 } ]\n'
        'border = { rows = ["behind 1 out", "over 2 down"] }\n'
    )
    assert lay(basket()).side[0].strokes == lay(round_one).side[0].strokes
