"""The swatch that teaches most: what is promised before it is woven is what measuring it gives."""

import pytest
from places import EXAMPLES

from slype.book.learning.gauge import Measure, learn, learn_all
from slype.book.learning.swatches import swatches
from slype.design.file.reader import parse
from slype.plans.planning import plan


@pytest.fixture(scope="module")
def estuary():
    return plan(parse((EXAMPLES / "estuary.toml").read_text("utf-8")))


def test_every_swatch_narrows_the_range_and_the_first_narrows_it_most(estuary):
    found = swatches(estuary, learn_all([]))
    assert len(found) > 1
    assert all(each.then_mm < each.now_mm for each in found)
    assert [each.then_mm for each in found] == sorted(each.then_mm for each in found)


def test_the_first_swatch_is_of_what_most_of_the_side_is_woven_in(estuary):
    heights = {}
    for band in estuary.laid.side:
        key = band.band.weave.name, band.band.reed.key
        heights[key] = heights.get(key, 0) + len(band.s) * band.pitch_mm
    first = swatches(estuary, learn_all([]))[0]
    assert (first.weave, first.reed) == max(heights, key=heights.get)


def test_a_swatch_that_was_woven_teaches_less_the_second_time(estuary):
    first = swatches(estuary, learn_all([]))[0]
    woven = [Measure("row pitch", "swatch", 1.1, 1.0, first.weave, first.reed)]
    again = next(
        each for each in swatches(estuary, {"row pitch": learn("row pitch", woven)}) if each.weave == first.weave
    )
    assert again.now_mm == pytest.approx(first.then_mm)
    assert again.now_mm - again.then_mm < first.now_mm - first.then_mm
