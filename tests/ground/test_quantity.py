"""Lengths and masses as makers write and read them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slype import quantity as q
from slype.errors import DesignError

ROUNDING = 1e-9


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("7 in", 177.8), ("7 1/2 in", 190.5), ("7-1/2 in", 190.5), ('7.5"', 190.5), ("7½ in", 190.5), ("½ in", 12.7),
        ("1/2 in", 12.7), ("190 mm", 190.0), ("19 cm", 190.0), ("1.9 m", 1900.0), ("9 ft", 2743.2), ("6″", 152.4),
        ("9 ft 6 in", 2895.6), ("9' 6\"", 2895.6), ("2 yards", 1828.8), (".5 in", 12.7), ("  3   in ", 76.2),
        ("1 FOOT", 304.8), ("-2 in", -50.8),
    ],
)  # fmt: skip
def test_a_maker_may_write_a_length_in_any_usual_way(text, mm):
    assert q.parse_length(text) == pytest.approx(mm, rel=ROUNDING)


@pytest.mark.parametrize(
    "text",
    ["", " ", "7", "in", "7 in 3", "seven in", "7 inn", "1/0 in", "7 1/0 in", "7 in;", "1e3 in", "nan mm", "inf mm",
     "7 kg", "9" * 400 + " in", "2000000 mm", None, 7, 7.5, ["7 in"], {"in": 7}, True, "⅐⅐ in in"],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_an_example(text):
    with pytest.raises(DesignError) as refused:
        q.parse_length(text, "form, base")
    assert "form, base" in str(refused.value)


@given(st.text(max_size=80))
def test_no_text_does_worse_than_a_refusal(text):
    for parse in (q.parse_length, q.parse_mass):
        try:
            assert math.isfinite(parse(text))
        except DesignError as refused:
            assert str(refused)


@given(st.integers(-4000, 4000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_inches_written_out_read_back_as_the_same_length(steps, part):
    mm = steps * q.MM_PER_IN / part
    assert q.parse_length(q.inches(mm, part).replace("-", "- ").replace("- ", "-") + " in") == pytest.approx(
        mm, abs=ROUNDING
    ) or (steps < 0 and " " in q.inches(mm, part))


@given(st.floats(0.0, 5000.0), st.sampled_from([8, 16]))
def test_a_printed_length_is_right_to_half_its_step(mm, part):
    assert abs(q.parse_length(q.show_length(mm, "in", part)) - mm) <= q.MM_PER_IN / part / 2 + ROUNDING
    assert abs(q.parse_length(q.show_length(mm, "cm")) - mm) <= 0.5 + ROUNDING


@given(st.floats(10.0, 9e5))
def test_a_long_run_reads_back_to_its_last_printed_digit(mm):
    half_a_foot = q.MM_PER_FT / 2
    assert abs(q.parse_length(q.show_run(mm, "in")) - mm) <= half_a_foot + ROUNDING
    assert abs(q.parse_length(q.show_run(mm, "cm")) - mm) <= 50 + ROUNDING


@given(st.floats(2.0, 5000.0))
def test_a_printed_mass_reads_back_to_its_last_digit(grams):
    for units, step in (("cm", 0.5), ("in", 0.005 * q.G_PER_LB)):
        assert abs(q.parse_mass(q.show_mass(grams, units)) - grams) <= step + ROUNDING


def test_masses_are_read_in_pounds_ounces_and_grams():
    assert q.parse_mass("1 lb") == pytest.approx(453.59237)
    assert q.parse_mass("16 oz") == pytest.approx(q.parse_mass("1 lb"))
    assert q.parse_mass("1 lb 8 oz") == pytest.approx(1.5 * q.G_PER_LB)
    assert q.parse_mass("0.5 kg") == 500
    for bad in ("0 g", "-1 lb", "2000 kg", "1 in", "a pound"):
        with pytest.raises(DesignError):
            q.parse_mass(bad)


def test_fractions_are_printed_in_lowest_terms():
    assert [q.inches(n * q.MM_PER_IN / 8) for n in range(9)] == [
        "0",
        "1/8",
        "1/4",
        "3/8",
        "1/2",
        "5/8",
        "3/4",
        "7/8",
        "1",
    ]
    assert q.inches(7.5 * q.MM_PER_IN) == "7 1/2"
    assert q.inches(-7.5 * q.MM_PER_IN) == "-7 1/2"
    assert q.inches(-0.01) == "0"


def test_thickness_is_in_millimetres_for_everyone():
    assert q.show_thickness(2.25, "cm") == "2.25 mm"
    assert q.show_thickness(3.175, "in") == "3.17 mm (1/8 in)" or q.show_thickness(3.175, "in") == "3.18 mm (1/8 in)"


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(1, "1 min"), (59 * 60, "59 min"), (3600, "1 h"), (3600 + 7 * 60, "1 h 05 min"), (2.5 * 3600, "2 h 30 min")],
)
def test_times_are_printed_to_five_minutes_above_the_hour(seconds, shown):
    assert q.show_time(seconds) == shown


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (0.0, "hardly any"),
        (0.24, "about a quarter"),
        (0.52, "about half"),
        (0.66, "about two thirds"),
        (1.0, "nearly all"),
    ],
)
def test_a_part_of_a_whole_is_said_as_makers_say_it(part, words):
    assert q.show_share(part) == words
