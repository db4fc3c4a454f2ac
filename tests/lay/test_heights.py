"""A side band that goes to a height of the wall, as the wall's own points have it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, basket_text

from slype.edit.apply import apply, document
from slype.errors import Unweavable
from slype.form.wall import Form
from slype.lay.laying import lay

LEANING = [["0 in", "6 in"], ["4 in", "12 in"]]
NEXT = '[[band]]\nweave = "pairing"\nreed = "round 2"\nuntil = "{until}"\n'


@given(st.floats(1, 150))
def test_along_a_straight_wall_a_height_is_its_share_of_the_slant(height_mm):
    form = Form(100.0, ((0.0, 100.0), (80.0, 220.0)))  # leans out 60 over 80
    assert form.along_to(height_mm) == pytest.approx(height_mm * math.hypot(80, 60) / 80, rel=1e-6)
    assert float(form.height(form.along_to(height_mm))) == pytest.approx(height_mm, rel=1e-6)


@pytest.mark.parametrize("until", ["2 in", "3 1/4 in", "9 cm"])
@pytest.mark.parametrize("rows", [3, 9])
def test_it_ends_at_that_height_by_the_ruler_held_upright_whatever_lies_below(until, rows):
    laid = lay(basket(rows=rows, wall=LEANING, after=NEXT.format(until=until)))
    asked = {"2 in": 50.8, "3 1/4 in": 82.55, "9 cm": 90.0}[until]
    above = laid.bands[1]
    assert abs(float(laid.design.form.height(above.end_s)) - asked) <= above.pitch_mm / 2


def test_a_height_below_what_stands_already_is_refused_with_both():
    with pytest.raises(Unweavable) as refused:
        lay(basket(rows=12, after=NEXT.format(until="1/2 in")))
    said = str(refused.value)
    assert "band 2" in said and "until = 1/2 in" in said and "already stands 2 1/8 in high" in said


def test_it_cannot_stand_above_a_band_that_fills_what_is_left():
    with pytest.raises(Unweavable, match="band 2, until: it goes to a height of the wall, above a band that fills"):
        lay(basket(rows=None, band='until = "top"', after=NEXT.format(until="3 in")))


def test_moved_into_the_base_it_goes_to_the_edge_of_that():
    text = basket_text(rows=None, band='until = "2 in"', before="")
    after = apply(text, [{"set": ["band", 0, "where"], "to": "base"}])
    assert document(after.text)["band"][0]["until"] == "6 in" and after.notes
