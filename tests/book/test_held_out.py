"""The table of published baskets that the gauge had not seen stands in the docs as it comes out, good or bad."""

import held_out

from slype.book.learning.gauge import Measure, is_slip


def test_the_docs_show_what_held_out_books_say():
    assert held_out.PAGE.read_text("utf-8") == held_out.in_page(), "run: python tests/support/held_out.py --write"


def test_every_published_figure_is_foretold_without_its_own_basket():
    found = held_out.held_out(held_out.model_of)
    assert len(found) > 15
    assert {each.quantity for each in found} == {"border", "row pitch"}


def test_a_slip_is_told_from_a_hand():
    assert is_slip(Measure("row pitch", "b", 12.0, 1.0)), "a foot for an inch"
    assert not is_slip(Measure("row pitch", "b", 1.15, 1.0))
    assert not is_slip(Measure("border", "b", 1.6, 1.0))
