"""Colour against published tables, a second library, and laws that hold for every colour."""

import csv
import math
import warnings
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import AUTHORITIES

from slype import colour
from slype.errors import DesignError

with warnings.catch_warnings():
    # Its docstrings hold stray backslashes, which Python minds where no installer has compiled them beforehand.
    warnings.simplefilter("ignore")
    from colorspacious import cspace_convert

PRINTED_DIGITS = 1e-4 / 2 + 1e-9  # Sharma's table prints four decimals
BETWEEN_LIBRARIES_LAB = 0.02  # libraries round the sRGB matrix and the white differently
BETWEEN_LIBRARIES_OKLAB = 1.5e-4
SAME_MATRICES_OKLAB = 1e-6  # six printed decimals, plus their rounding
ROUNDING = 1e-9
SCREEN_STEP = 1 / 255

hexes = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")
rgbs = hexes.map(colour.rgb_of)
lab_colours = rgbs.map(colour.lab_from_rgb)
blind_eyes = st.sampled_from(sorted(colour.CVD_MATRICES))


def table(name, rows_expected):
    """Rows of a published table; that they are all there is part of every test that reads them."""
    lines = (AUTHORITIES / name).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("# ")))
    assert len(rows) == rows_expected
    return rows


def numbers(row, *keys):
    return tuple(float(row[key]) for key in keys)


# --- names -------------------------------------------------------------------------------------


def test_every_named_colour_can_be_asked_for_and_is_explained():
    assert len(colour.REED_COLOURS) >= 24
    for name, reed in colour.REED_COLOURS.items():
        assert name == reed.name == name.lower().strip()
        assert colour.hex_of(name) == colour.hex_of(reed.hex) == reed.hex
        assert len(reed.help) > 8


def test_no_two_named_colours_look_the_same():
    names = sorted(colour.REED_COLOURS)
    pairs = [(a, b) for a in names for b in names if a < b]
    assert len(pairs) >= 24 * 23 / 2
    just_seen = 2.0  # CIEDE2000: about 1 is just seen side by side
    labs = {name: colour.lab_from_rgb(colour.rgb_of(name)) for name in names}
    assert [(a, b) for a, b in pairs if colour.delta_e_2000(labs[a], labs[b]) < just_seen] == []


def test_capitals_and_stray_spaces_do_not_matter():
    assert colour.hex_of(" Rust ") == colour.hex_of("rust")
    assert colour.hex_of("#D2B48C") == "#d2b48c"


def test_a_misspelt_colour_is_refused_with_the_nearest_name():
    with pytest.raises(DesignError) as refusal:
        colour.hex_of("indgo", "band 2, colours")
    assert refusal.value.where == "band 2, colours"
    assert "indgo" in refusal.value.message
    assert '"indigo"' in refusal.value.remedy


NO_COLOURS = ["", "#12345", "#1234567", "#12345g", "#fff", None, 7, ["rust"], "x" * 100_000]


@pytest.mark.parametrize("text", NO_COLOURS)
def test_what_is_no_colour_is_refused_in_one_short_sentence(text):
    with pytest.raises(DesignError) as refusal:
        colour.hex_of(text, "band 1")
    assert refusal.value.where == "band 1"
    assert "#" in refusal.value.remedy
    assert len(refusal.value.message) < 80


# --- spaces ------------------------------------------------------------------------------------


def test_lab_agrees_with_the_table():
    for row in table("colour_lab_oklab.csv", 6):
        lab = colour.lab_from_rgb(colour.rgb_of(row["hex"]))
        assert lab == pytest.approx(numbers(row, "L", "a", "b"), abs=BETWEEN_LIBRARIES_LAB), row["hex"]


def test_oklab_agrees_with_the_table():
    for row in table("colour_lab_oklab.csv", 6):
        oklab = colour.oklab_from_rgb(colour.rgb_of(row["hex"]))
        by_hand = numbers(row, "oklab_L", "oklab_a", "oklab_b")
        by_library = numbers(row, "oklab_cs_L", "oklab_cs_a", "oklab_cs_b")
        assert oklab == pytest.approx(by_hand, abs=SAME_MATRICES_OKLAB), row["hex"]
        assert oklab == pytest.approx(by_library, abs=BETWEEN_LIBRARIES_OKLAB), row["hex"]


@given(rgbs)
def test_lab_agrees_with_a_second_library(rgb):
    theirs = cspace_convert(rgb, "sRGB1", "CIELab")
    assert colour.lab_from_rgb(rgb) == pytest.approx(tuple(theirs), abs=BETWEEN_LIBRARIES_LAB)


@given(rgbs)
def test_light_agrees_with_a_second_library(rgb):
    theirs = cspace_convert(rgb, "sRGB1", "sRGB1-linear")
    assert colour.linear_from_rgb(rgb) == pytest.approx(tuple(theirs), abs=ROUNDING)


@given(hexes)
def test_every_colour_comes_back_from_its_numbers(text):
    assert colour.hex_from_rgb(colour.rgb_of(text)) == text


@given(st.tuples(*[st.floats(0, 1)] * 3))
def test_every_colour_comes_back_from_light_and_from_oklab(rgb):
    assert colour.rgb_from_linear(colour.linear_from_rgb(rgb)) == pytest.approx(rgb, abs=ROUNDING)
    # The two published halves of the screen curve miss each other by 1e-8 where they meet.
    assert colour.rgb_from_oklab(colour.oklab_from_rgb(rgb)) == pytest.approx(rgb, abs=1e-7)


def test_a_grey_has_no_colour():
    for step in range(256):
        _, a, b = colour.lab_from_rgb((step / 255,) * 3)
        assert (a, b) == pytest.approx((0, 0), abs=ROUNDING)


# --- differences -------------------------------------------------------------------------------

ON_A_STEP = "10"  # hue difference exactly 180 degrees: rounding decides which side of the step is taken
OTHER_SIDE_OF_THE_STEP = 4.7461


def test_the_difference_agrees_with_all_34_published_pairs_in_both_orders():
    for row in table("ciede2000_sharma_2005.csv", 34):
        one, other = numbers(row, "L1", "a1", "b1"), numbers(row, "L2", "a2", "b2")
        allowed = [float(row["delta_e"])]
        if row["pair"] == ON_A_STEP:
            allowed.append(OTHER_SIDE_OF_THE_STEP)
        for found in (colour.delta_e_2000(one, other), colour.delta_e_2000(other, one)):
            assert min(abs(found - value) for value in allowed) <= PRINTED_DIGITS, (row["pair"], found)


@given(lab_colours, lab_colours)
def test_a_difference_is_the_same_both_ways_and_none_to_itself(one, other):
    there, back = colour.delta_e_2000(one, other), colour.delta_e_2000(other, one)
    assert there >= 0
    assert colour.delta_e_2000(one, one) == 0
    if one != other:
        assert there > 0
    on_a_step = math.isclose(abs(_hue(one) - _hue(other)), 180, abs_tol=0.5)
    if not on_a_step:
        assert there == pytest.approx(back, abs=ROUNDING)


def _hue(lab):
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


# --- other eyes --------------------------------------------------------------------------------


def matrix_in(row):
    r, g, b = (numbers(row, *(to + of for of in "rgb")) for to in "rgb")
    return r, g, b


def test_the_matrices_are_the_published_ones():
    full = [row for row in table("cvd_machado_2009.csv", 6) if row["severity"] == "1.0"]
    assert {row["eyes"]: matrix_in(row) for row in full} == colour.CVD_MATRICES
    assert len(full) == 3


def test_the_published_matrices_leave_greys_alone():
    six_decimals = 2e-6  # three numbers rounded to six decimals
    for row in table("cvd_machado_2009.csv", 6):
        assert [sum(line) for line in matrix_in(row)] == pytest.approx([1, 1, 1], abs=six_decimals)


def test_a_grey_looks_the_same_to_all_eyes():
    for eyes in colour.CVD_MATRICES:
        for step in range(256):
            grey = (step / 255,) * 3
            assert colour.hex_from_rgb(colour.seen_by(grey, eyes)) == colour.hex_from_rgb(grey)


LIBRARY_NAMES = {"protan": "protanomaly", "deutan": "deuteranomaly", "tritan": "tritanomaly"}


@given(rgbs, blind_eyes)
def test_other_eyes_agree_with_a_second_library(rgb, eyes):
    space = {"name": "sRGB1+CVD", "cvd_type": LIBRARY_NAMES[eyes], "severity": 100}
    light = cspace_convert(rgb, space, "sRGB1-linear")
    shown = cspace_convert(light.clip(0, 1), "sRGB1-linear", "sRGB1")
    assert colour.seen_by(rgb, eyes) == pytest.approx(tuple(shown), abs=1e-6)


@given(hexes, hexes)
def test_the_hardest_eyes_are_named_and_never_see_more_than_full_sight(one, other):
    closeness = colour.hard_to_tell_apart(one, other)
    full = colour.delta_e_2000(*(colour.lab_from_rgb(colour.rgb_of(text)) for text in (one, other)))
    assert closeness.eyes in colour.EYES
    assert closeness.delta_e <= full
    seen = [colour.lab_from_rgb(colour.seen_by(colour.rgb_of(text), closeness.eyes)) for text in (one, other)]
    assert closeness.delta_e == colour.delta_e_2000(*seen)


def test_a_red_and_a_green_of_like_lightness_are_lost_on_red_and_green_blind_eyes():
    red, green = "#a05040", "#6f6c30"
    full = colour.delta_e_2000(*(colour.lab_from_rgb(colour.rgb_of(text)) for text in (red, green)))
    closeness = colour.hard_to_tell_apart(red, green)
    assert closeness.eyes in ("protan", "deutan")
    assert closeness.delta_e < full / 3


def test_light_and_dark_stay_apart_for_all_eyes():
    assert colour.hard_to_tell_apart("ivory", "charcoal").delta_e > 50


# --- drawing -----------------------------------------------------------------------------------


def test_black_on_white_has_the_greatest_contrast():
    assert colour.luminance("#ffffff") == pytest.approx(1, abs=ROUNDING)
    assert colour.luminance("#000000") == 0
    assert colour.contrast("#000000", "#ffffff") == pytest.approx(21, abs=ROUNDING)


@given(hexes)
def test_a_label_can_be_read_on_any_colour(background):
    # The worst background has contrast c with black and with white alike, so c squared is 21.
    assert colour.contrast(colour.label_colour(background), background) >= math.sqrt(21) - ROUNDING


@given(hexes)
def test_a_shade_of_one_changes_nothing_and_of_nought_is_black(text):
    assert colour.shade(text, 1) == text
    assert colour.shade(text, 0) == "#000000"


@given(hexes, st.lists(st.floats(0, 3), min_size=2, max_size=5).map(sorted))
def test_more_light_is_never_darker(text, factors):
    lightness = [colour.oklab_from_rgb(colour.rgb_of(colour.shade(text, f)))[0] for f in factors]
    screen_rounding = 0.02  # near black one step of a screen is a large step in Oklab
    assert all(after >= before - screen_rounding for before, after in pairwise(lightness))


@settings(max_examples=300)
@given(st.sampled_from(sorted(colour.REED_COLOURS)), st.floats(0.6, 1.4))
def test_a_shade_has_the_lightness_asked_for_and_keeps_its_hue(name, factor):
    before = colour.oklab_from_rgb(colour.rgb_of(name))
    after = colour.oklab_from_rgb(colour.rgb_of(colour.shade(name, factor)))
    assert after[0] == pytest.approx(min(1, before[0] * factor), abs=SCREEN_STEP)
    across = before[1] * after[2] - before[2] * after[1]  # chroma times how far the hue has swung
    assert across / math.hypot(*before[1:]) == pytest.approx(0, abs=SCREEN_STEP)


@given(hexes, st.floats(0, 1))
def test_a_shadow_dims_all_three_lights_alike(text, factor):
    before = colour.linear_from_rgb(colour.rgb_of(text))
    after = colour.rgb_of(colour.shade(text, factor))
    expected = colour.rgb_from_linear(tuple(factor**3 * light for light in before))
    assert after == pytest.approx(expected, abs=SCREEN_STEP)


def test_a_negative_shade_is_refused():
    with pytest.raises(ValueError, match="nought or more"):
        colour.shade("rust", -0.1)
