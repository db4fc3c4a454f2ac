"""What every design keeps to: names that can be read and printed."""

from dataclasses import replace

import pytest
from commands import slype_here, with_change
from strategies import basket

from slype.design.rules import UNTITLED
from slype.errors import DesignError


@pytest.mark.parametrize("title", ["", "   "])
def test_a_blank_title_is_none_and_the_sheet_is_printed(tmp_path, title):
    (tmp_path / "bowl.toml").write_text(with_change("Willow Lane bowl", title), encoding="utf-8")
    said = slype_here(tmp_path, "sheet", "bowl.toml", "-o", "bowl.pdf")
    assert said.status == 0 and said.out.startswith(f"bowl.pdf: {UNTITLED}")
    assert (tmp_path / "bowl.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("title", ["", "two\nlines", "\x1b[31mred"])
def test_no_design_can_be_made_with_a_title_that_cannot_be_shown(title):
    with pytest.raises(DesignError, match="title"):
        replace(basket(), title=title)


def test_a_reed_is_found_by_its_name_however_many_blanks_that_has():
    found = basket(reed="my  reed", tail='[reeds]\n"my  reed" = { mm = 2.1 }\n')
    assert found.bands[0].reed.diameter_mm == 2.1


def test_a_file_called_by_control_signs_does_not_reach_the_terminal(tmp_path):
    (tmp_path / "bowl.toml").write_text(with_change("Willow", "Willow"), encoding="utf-8")
    said = slype_here(tmp_path, "picture", "bowl.toml", "-o", "a\x1b[31m.svg", "--view", "squares")
    assert said.status == 0 and "\x1b" not in said.out
