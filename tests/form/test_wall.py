"""The wall: its length, its rings, what it holds."""

import math

import numpy as np
import pytest
import scipy
from hypothesis import given
from hypothesis import strategies as st

from slype.errors import DesignError
from slype.form.wall import Form, check_wall, slopes_through, smooth_through, smooth_through_each

ROUNDING = 1e-9
CHORDS = 1e-4  # relative: the promise beside _SAMPLES
SAMPLED_VOLUME = 2e-3  # trapezia over 200 slices


@st.composite
def points(draw):
    """Rising heights and any diameters, some of them alike so that flats and peaks occur."""
    count = draw(st.integers(2, 7))
    heights = np.cumsum([0, *draw(st.lists(st.floats(1.0, 300.0), min_size=count - 1, max_size=count - 1))])
    some = st.sampled_from([50.0, 100.0, 100.0, 150.0])
    return heights, np.array(draw(st.lists(st.one_of(some, st.floats(20.0, 900.0)), min_size=count, max_size=count)))


@given(st.lists(points().filter(lambda line: len(line[0]) > 2), min_size=1, max_size=4))
def test_lines_laid_out_all_at_once_are_each_as_by_themselves(lines):
    x, y = [heights for heights, _ in lines], [np.stack([wide, -wide]) for _, wide in lines]
    at = [np.linspace(each[0], each[-1], 9 + k) for k, each in enumerate(x)]
    for each, *line in zip(smooth_through_each(x, y, at), x, y, at, strict=True):
        assert np.array_equal(each, smooth_through(*line))


@given(points())
def test_the_curve_through_the_points_is_scipys(wall):
    x, y = wall
    at = np.linspace(x[0], x[-1], 97)
    assert smooth_through(x, y, at) == pytest.approx(scipy.interpolate.PchipInterpolator(x, y)(at), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    "y",
    [
        [0, 0, 0], [0, 0, 1], [1, 0, 0], [0, 1, 0], [1, 0, 1], [0, 1, 1], [0, 1e-12, 1], [0, 5, 5.1],
        [0, 5, 4.9, 5, 0], [3, 2, 2, 1], [0, 10, 10.01, 10.02], [1, 2],
    ],
)  # fmt: skip
def test_flats_peaks_and_ends_agree_with_scipy(y):
    x = np.cumsum([0.0, 1.0, 0.25, 3.0, 1.0][: len(y)])
    at = np.linspace(x[0], x[-1], 101)
    theirs = scipy.interpolate.PchipInterpolator(x, y)(at)
    assert smooth_through(x, np.array(y, float), at) == pytest.approx(theirs, abs=1e-12)


@given(st.lists(points().filter(lambda wall: len(wall[0]) > 2), min_size=1, max_size=4))
def test_lines_one_after_another_have_the_slopes_of_each_alone(walls):
    x, y = (np.concatenate([wall[axis] for wall in walls]) for axis in (0, 1))
    first = np.cumsum([0, *(len(wall[0]) for wall in walls[:-1])])
    alone = np.concatenate([scipy.interpolate.PchipInterpolator(*wall).derivative()(wall[0]) for wall in walls])
    assert slopes_through(x, y, first) == pytest.approx(alone, rel=1e-9, abs=1e-9)


@given(points())
def test_the_wall_never_bulges_beyond_its_points(wall):
    x, y = wall
    at = np.linspace(x[0], x[-1], 97)
    drawn = smooth_through(x, y, at)
    piece = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    low, high = np.minimum(y[piece], y[piece + 1]), np.maximum(y[piece], y[piece + 1])
    assert np.all(drawn >= low - 1e-9) and np.all(drawn <= high + 1e-9)


@given(st.floats(10.0, 500.0), st.floats(50.0, 600.0), st.floats(50.0, 600.0))
def test_a_straight_wall_is_exactly_as_long_as_its_slant(height, base, mouth):
    form = Form(base, ((0.0, base), (height, mouth)))
    assert form.wall_mm == pytest.approx(math.hypot(height, (mouth - base) / 2), rel=ROUNDING)
    half = form.wall_mm / 2
    assert float(form.height(half)) == pytest.approx(height / 2, rel=1e-9)
    assert float(form.radius(half)) == pytest.approx((base + mouth) / 4, rel=1e-9)
    assert form.lean(half) == pytest.approx(math.atan2((mouth - base) / 2, height), abs=1e-6)


def test_a_wall_goes_straight_on_above_its_last_point():
    form = Form(100.0, ((0.0, 100.0), (30.0, 180.0)))  # a slant of 3, 4, 5: 50 mm long
    assert form.wall_mm == pytest.approx(50.0)
    assert float(form.height(60.0)) == pytest.approx(36.0)
    assert float(form.radius(60.0)) == pytest.approx(98.0)


def test_a_bellied_wall_is_as_long_as_its_curve():
    x, y = np.array([0.0, 60.0, 120.0]), np.array([100.0, 150.0, 110.0])
    form = Form(200.0, tuple(zip(x, 2 * y, strict=True)))
    curve = scipy.interpolate.PchipInterpolator(x, y).derivative()
    quad = scipy.integrate.quad
    length = sum(quad(lambda h: math.hypot(1, float(curve(h))), a, b)[0] for a, b in ((0, 60), (60, 120)))
    assert form.wall_mm == pytest.approx(length, rel=CHORDS)


@given(st.floats(50.0, 500.0), st.floats(20.0, 400.0), st.floats(0.0, 10.0))
def test_a_straight_sided_basket_holds_its_cylinder(diameter, height, thick):
    form = Form(diameter, ((0.0, diameter), (height, diameter)))
    exact = math.pi * (diameter / 2 - thick) ** 2 * height
    assert form.capacity_mm3(height, thick) == pytest.approx(exact, rel=1e-9)


@given(st.floats(50.0, 300.0), st.floats(50.0, 300.0), st.floats(20.0, 400.0))
def test_a_flared_basket_holds_its_frustum(base, mouth, height):
    form = Form(base, ((0.0, base), (height, mouth)))
    r, t = base / 2, mouth / 2
    exact = math.pi * height * (r * r + r * t + t * t) / 3
    assert form.capacity_mm3(form.wall_mm, 0.0) == pytest.approx(exact, rel=SAMPLED_VOLUME)


@pytest.mark.parametrize(
    ("wall", "said"),
    [
        (((0, 100),), "two points"),
        (((5, 100), (50, 100)), "height 0"),
        (((0, 100), (50, 100), (50, 120)), "folds back"),
        (((0, 100), (50, 100), (40, 120)), "folds back"),
        (((0, 100), (50, 5)), "absurd"),
        (((0, 100), (50, 4000)), "absurd"),
        (((0, 100), (4000, 100)), "absurd"),
        (((0, 200), (50, 200)), "far from the edge"),
    ],
)
def test_a_wall_that_cannot_stand_is_refused(wall, said):
    with pytest.raises(DesignError, match=said) as refused:
        check_wall(100.0, wall, "form, wall")
    assert "form, wall" in str(refused.value)


def test_a_wall_that_can_stand_is_let_through():
    check_wall(100.0, ((0, 100), (40, 120), (80, 60)), "form, wall")
