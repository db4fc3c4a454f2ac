"""The gallery: every weave, base, outline and border on one page."""

import re
from xml.etree import ElementTree

import pytest

from slype.borders.table import BORDERS
from slype.draw import gallery
from slype.weave.table import WEAVES


@pytest.fixture(scope="module")
def page():
    return gallery.gallery()


def test_every_weave_base_outline_and_border_is_on_the_page(page):
    words = {node.text for node in ElementTree.fromstring(page).iter("{http://www.w3.org/2000/svg}text")}
    assert set(WEAVES) <= words
    assert set(gallery.BASES) <= words
    assert set(gallery.OUTLINES) | set(gallery.BOARDS) | set(gallery.FITTED) <= words
    assert {kind.name for kind in BORDERS.values()} <= words


def test_no_two_parts_of_the_page_share_a_name(page):
    names = re.findall(r'\bid="([^"]+)"', page)
    assert len(names) == len(set(names)) > 3
    assert set(re.findall(r"url\(#([^)]+)\)", page)) <= set(names)


def test_cells_are_named_in_the_wording_asked_for():
    for weave in list(WEAVES.values())[:3]:
        assert gallery.weave_cell(weave, "uk", "right").name == weave.named("uk")


@pytest.mark.parametrize("weave", WEAVES.values(), ids=lambda weave: weave.name)
def test_a_cell_shows_a_weave_that_locks_and_has_a_size(weave):
    _, _, wide, high = gallery.weave_cell(weave, "us", "right").box
    assert wide > 50 and high > 10


def test_the_left_hand_turns_the_weave_round():
    right, left = (gallery.weave_cell(WEAVES["four-rod wale"], "us", hand).body for hand in ("right", "left"))
    assert right != left
