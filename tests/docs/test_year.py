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
    assert maker.page(text, found) == text, "run docs/make_year.py"
    assert (ROOT / "docs" / "pictures" / "year.svg").read_text("utf-8") == maker.picture(found)


def test_what_is_foretold_comes_nearer_in_the_course_of_the_year(maker):
    found = maker.year()
    first, last = found[:6], found[-6:]
    alone = sum(abs(true - 1) for _, true, *_ in last)
    assert sum(abs(true - told) for _, true, told, *_ in last) < alone / 2
    assert sum(half for *_, half, _ in last) < sum(half for *_, half, _ in first)
