"""What can I make from what I have? Held against the plan of each design, and against the shelf cut empty."""

import pytest
from places import EXAMPLES

from slype.book import makeable, shelf
from slype.book.store import Book
from slype.design.file.reader import parse
from slype.plans.planning import plan

POSY = (EXAMPLES / "posy.toml").read_text("utf-8")
WRECK = '[basket]\ntitle = "wreck"\n'


@pytest.fixture
def stocked(tmp_path):
    """A book whose shelf has so many times what the posy pot needs: stocked(times) -> lots."""

    def lots(times):
        with Book(str(tmp_path / f"book-{times}.sqlite")) as book:
            for amount in plan(parse(POSY)).amounts:
                shelf.put_on_shelf(book, amount.reed.key, amount.colour, amount.length_mm * times)
            return shelf.lots(book)

    return lots


def test_a_shelf_with_just_what_the_plan_needs_is_enough_and_is_left_empty(stocked):
    (offer,) = makeable.offers([("posy.toml", POSY)], stocked(1.0001))
    assert offer.fits and offer.size == 1.0 and offer.text == POSY
    assert all(0 <= need.left_mm < 10 for need in offer.needs)


def test_a_shelf_with_a_little_less_is_enough_for_a_smaller_one(stocked):
    (offer,) = makeable.offers([("posy.toml", POSY)], stocked(0.93))
    assert offer.fits and offer.size == 0.9
    smaller = plan(parse(offer.text))
    assert smaller.laid.top_s < plan(parse(POSY)).laid.top_s
    assert {(a.reed.key, a.colour): pytest.approx(a.length_mm) for a in smaller.amounts} == {
        (need.reed, need.colour): need.wanted_mm for need in offer.needs
    }


def test_where_nothing_is_enough_it_is_said_what_is_lacking(stocked):
    (offer,) = makeable.offers([("posy.toml", POSY)], stocked(0.3))
    assert not offer.fits and offer.size == 1.0
    assert len(offer.lacks) == len(offer.needs)
    assert all(need.left_mm == pytest.approx(-0.7 * need.wanted_mm) for need in offer.needs)


def test_what_can_be_made_comes_first_and_what_cannot_be_read_is_passed_over(stocked):
    saltmarsh = (EXAMPLES / "saltmarsh.toml").read_text("utf-8")
    found = makeable.offers([("wreck.toml", WRECK), ("saltmarsh.toml", saltmarsh), ("posy.toml", POSY)], stocked(2))
    assert [offer.name for offer in found] == ["posy.toml", "saltmarsh.toml"]


def test_reed_that_is_weighed_counts_by_its_weight(tmp_path):
    with Book(str(tmp_path / "book.sqlite")) as book:
        shelf.put_on_shelf(book, "round 2", "rust", 100.0, "g")
        shelf.put_on_shelf(book, "my own", "rust", 100.0, "g")
        from slype.reeds import reed_named

        found = makeable.on_the_shelf(shelf.lots(book))
    assert found == {("round 2", "rust"): pytest.approx(100 / reed_named("round 2").g_per_mm)}


@pytest.mark.parametrize("times", [0.35, 0.5, 0.6, 0.65, 0.75, 0.85, 0.95, 1.05])
def test_a_size_that_is_passed_over_would_not_have_been_enough(stocked, times):
    """Held against trying every size: what is told is the first that fits, or none."""
    lots = stocked(times)
    (told,) = makeable.offers([("posy.toml", POSY)], lots)
    fits = [
        size
        for size in makeable.SIZES
        if all(
            need.enough
            for need in makeable.needs_of(
                plan(makeable.at_size("posy.toml", POSY, size)[1]), makeable.on_the_shelf(lots)
            )
        )
    ]
    assert (told.fits, told.size) == ((True, fits[0]) if fits else (False, 1.0))
