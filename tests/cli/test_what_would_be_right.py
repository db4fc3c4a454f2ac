"""What a refusal offers instead: the nearest name, an example in the design's own units, the place that is to blame."""

from __future__ import annotations

import pytest
from commands import BASKET, slype_here

from slype.design.file import reader
from slype.errors import DesignError
from slype.kit.file import goods
from slype.kit.file.keys import PRICES
from slype.kit.file.sheets import read_sheet
from slype.reeds import reed_named

BAND = '[[band]]\nwhere = "side"\nweave = "four-rod wale"\nreed = "round 3"\n'


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("ends = thirty", "ends is a number, in figures: ends = 28"),
        ("rows = six", "rows is a number"),
        ("reed = round", "quote"),
    ],
)
def test_a_word_where_a_number_belongs_is_told_that_it_is_a_number(line, right):
    with pytest.raises(DesignError, match=right):
        reader.parse(f"[spokes]\n{line}\n")


@pytest.mark.parametrize(
    ("here", "instead", "right"),
    [
        ('base = "7 in"', "base = 22", 'Write it like "{}".'),
        ('base = "7 in"', "", 'For example base = "{}".'),
        ('wall = [["0 in", "7 in"], ["4 in", "9 in"]]', 'wall = "steep"', 'For example [["{}", '),
        ('until = "top"', "", 'height = "{}", until = "top"'),
        ('reed = "round 5"', "", 'For example reed = "{}".'),
        ('title = "Willow Lane bowl"', "title = Willow", 'like reed = "{}".'),
        ("[border]", '[[handle]]\nkind = "rope"\n[border]', 'For example wrap = "{}".'),
    ],
)
def test_examples_in_a_refusal_are_in_the_units_and_the_reeds_of_the_design(here, instead, right):
    in_inches = {"7 1/2 in", "7 in", "0 in", "1 1/2 in", "round 5"}
    in_metres = {"19 cm", "18 cm", "0 cm", "4 cm", "cane 10"}
    for spoken, examples in (("", in_inches), ('units = "cm"\nwording = "uk"\n', in_metres)):
        text = BASKET.replace("[basket]\n", f"[basket]\n{spoken}")
        assert here in text
        with pytest.raises(DesignError) as refused:
            reader.parse(text.replace(here, instead, 1))
        assert any(right.format(each) in refused.value.remedy for each in examples), refused.value.remedy
    with pytest.raises(DesignError, match="7 1/2 in"):
        reader.parse(BASKET.replace('base = "7 in"', "base = 22"))  # nothing stays of the reader before


def test_an_example_for_a_board_is_of_its_outline_and_leaves_its_holes_an_edge():
    text = f"""[basket]
units = "cm"
[spokes]
reed = "cane 10"
ends = 31
[base]
kind = "board"
foot = "foot of two rows"
[form]
outline = "oval"
base = ["38 cm", "26 cm"]
wall = [["0 cm", "38 cm", "26 cm"], ["6 cm", "40 cm", "28 cm"]]
{BAND}until = "top"
[border]
kind = "simple trac"
"""
    with pytest.raises(DesignError, match=r'for example \["0 cm", "35.0 cm", "23.0 cm"\]'):
        reader.parse(text)
    reader.parse(text.replace('"0 cm", "38 cm", "26 cm"', '"0 cm", "35.0 cm", "23.0 cm"'))


@pytest.mark.parametrize(
    ("name", "right"),
    [
        ("cane 13", 'Did you mean "cane 12" or "cane 15"?'),
        ("Cane 4", 'Did you mean "cane 3" or "cane 5"?'),
        ("round 2.7", 'Did you mean "round 2.5" or "round 3"?'),
        ("cane 99", 'The thickest is "cane 16", 5 mm.'),
        ("round 55", 'Did you mean "round 5.5"?'),
        ("raund 3", 'Did you mean "round 3"?'),
        ("cane 00", 'Did you mean "cane 0'),
    ],
)
def test_a_number_that_reed_has_not_is_answered_by_those_on_either_side_of_it(name, right):
    with pytest.raises(DesignError) as refused:
        reed_named(name)
    assert right in refused.value.remedy


@pytest.mark.parametrize("written", ["True", "TRUE", "False", "yes"])
def test_true_and_false_are_asked_for_in_small_letters(written):
    with pytest.raises(DesignError, match="in small letters and without quotes: inserted = true"):
        reader.parse(f"[spokes]\ninserted = {written}\n")
    with pytest.raises(DesignError, match="Without quotes: inserted = true"):
        reader.parse(BASKET.replace("ends = 28", f'ends = 28\ninserted = "{written}"'))


def test_a_table_that_begins_twice_is_named():
    with pytest.raises(DesignError, match=r"the table \[spokes\] begins twice, the second time in line 3"):
        reader.parse("[spokes]\nends = 3\n[spokes]\n")


def test_rows_that_stand_higher_than_the_wall_are_blamed_where_they_are_counted(tmp_path):
    (tmp_path / "bowl.toml").write_text(BASKET.replace("rows = 3", "rows = 1200"), encoding="utf-8")
    said = slype_here(tmp_path, "check", "bowl.toml")
    assert said.status == 1 and "bowl.toml, band 1, rows: 1200 rows stand " in said.err, said.err
    assert "no wall left for band 2" in said.err


def test_a_price_that_is_misspelt_is_answered_by_the_price_nearest_to_it():
    for item, right in (("techning_hour", 'Did you mean "teaching_hour"?'), ("raund 3", 'Did you mean "round 3"?'),
                        ("glue", "or one of these: hour, teaching_hour")):  # fmt: skip
        sheet = read_sheet(f"item,price\n{item},25\n".encode(), "prices.csv", PRICES, ("item",), "pack")
        assert [right in remark.remedy for remark in goods.price_rows(sheet, {})[3]] == [True], item


def test_a_remedy_that_cannot_be_woven_on_few_groups_is_not_thought_of(tmp_path):
    """Seven ends in groups of two leave three spaces, too few for the wale that would be offered."""
    text = BASKET.replace("ends = 28", "ends = 7").replace('"three-rod wale"', '"pairing"\ngroups = 2')
    text = text.replace('"four-rod wale"', '"randing"').replace('["rust", "rust", "sand", "slate"]', '["rust"]')
    (tmp_path / "bowl.toml").write_text(text.replace("rows = 3", "rows = 60").replace('until = "top"', "rows = 15"))
    said = slype_here(tmp_path, "check", "bowl.toml")
    assert said.status in (0, 1) and "bowl.toml" in said.err + "bowl.toml" and "there are only 3" not in said.err
