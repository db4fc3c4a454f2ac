"""The swatch that teaches most: what is promised before it is woven is what measuring it gives."""

import pytest
from places import EXAMPLES

from slype.book import baskets
from slype.book.learning import figures
from slype.book.learning.gauge import Measure, learn, learn_all
from slype.book.learning.swatches import swatches
from slype.design.file.reader import parse
from slype.errors import DesignError
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


def test_a_swatch_that_was_woven_teaches_as_much_as_was_said_and_is_no_unsold_basket(book, estuary):
    from slype.book.year.accounts import year_of

    best = swatches(estuary, baskets.known(book))[0]
    high, used, time = figures.of_swatch(estuary, best.weave, best.reed)
    assert high.reckoned == pytest.approx(20 * next(
        b.pitch_mm for b in estuary.laid.side if (b.band.weave.name, b.band.reed.key) == (best.weave, best.reed)
    ))  # fmt: skip
    assert used.reckoned > 20 * 16 * 10.0 and time.reckoned > 0
    baskets.record_swatch(book, estuary, best.weave, best.reed, "2026-05-09", {"height": 1.1 * high.reckoned})
    known = baskets.known(book)
    assert 1.0 < known["row pitch"].estimate(best.weave, best.reed).middle < 1.1
    after = next(each for each in swatches(estuary, known) if (each.weave, each.reed) == (best.weave, best.reed))
    assert after.now_mm == pytest.approx(best.then_mm)
    (entry,) = baskets.baskets(book)
    assert entry.title == f"Swatch: {best.weave} in {best.reed}" and year_of(book, 2026).unsold == 0
    with pytest.raises(DesignError, match="nothing was measured"):
        baskets.record_swatch(book, estuary, best.weave, best.reed, "2026-05-09", {})
    with pytest.raises(DesignError, match="no such band"):
        figures.of_swatch(estuary, "plaiting", best.reed)
