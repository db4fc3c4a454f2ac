"""The maker's year in the docs is what the simulation gives, and it shows what the book is for."""

import importlib.util

import pytest
from places import ROOT


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_year", ROOT / "docs" / "make_year.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_and_the_picture_are_what_the_year_gives(maker):
    found = maker.year()
    text = (ROOT / "docs" / "book.md").read_text("utf-8")
    assert "<!-- year's spokes -->" in text
    assert maker.page(text, found, maker.spokes()) == text, "run docs/make_year.py"
    assert (ROOT / "docs" / "pictures" / "year.svg").read_text("utf-8") == maker.picture(found)


def test_what_is_foretold_comes_nearer_in_the_course_of_the_year(maker):
    found = maker.year()
    first, last = found[:6], found[-6:]
    alone = sum(abs(true - 1) for _, true, *_ in last)
    assert sum(abs(true - told) for _, true, told, *_ in last) < alone / 2
    assert sum(half for *_, half, _ in last) < sum(half for *_, half, _ in first)


def test_spokes_cut_by_the_book_come_short_no_oftener_than_once_in_twenty_or_so(maker):
    """24 baskets at one in twenty: more than four short has a chance of one in a hundred."""
    cut = maker.spokes()
    assert len(cut) == 24
    assert sum(each.book < each.took for each in cut) <= 4 < sum(each.plain < each.took for each in cut)
    last = cut[-6:]
    off = [sum(abs(each.border[k] / each.border[2] - 1) for each in last) for k in (0, 1)]
    assert off[1] < off[0] / 2
