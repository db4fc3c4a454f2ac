"""A maker's own words for tables, keys and weaves of the file: understood, and written slype's way by a change."""

import pytest

from slype.design.file import reader
from slype.edit.apply import apply
from slype.errors import DesignError

OTHERWISE = """\
# mine
[basket]
title = "By other words"
[spokes]
reed = "round 4"
ends = 24
color = "rust"
[form]
base = "5 in"
wall = [["0 in", "5 in"], ["3 in", "6 in"]]
[[band]] # low
where = "side"
weave = "waling"
reed = "round 2"
colors = ["rust", "natural", "natural"] # one of three
rows = 4
[rim] # as my teacher says
kind = "three-row"
"""


def test_rim_and_color_are_understood_and_the_same_basket():
    own = OTHERWISE.replace("[rim]", "[border]").replace("colors", "colours").replace("color ", "colour ")
    said, meant = reader.parse(OTHERWISE), reader.parse(own.replace("waling", "three-rod wale"))
    assert said == meant
    assert said.border == meant.border and said.bands[0].weave.name == "three-rod wale"


def test_a_change_writes_slypes_word_in_place_of_the_makers_and_keeps_all_else():
    out = apply(OTHERWISE, [{"set": ["band", 0, "rows"], "to": 5}, {"set": ["border", "kind"], "to": "two-row"}]).text
    wanted = OTHERWISE.replace("[rim]", "[border]").replace("colors", "colours").replace("color ", "colour ")
    assert out == wanted.replace("rows = 4", "rows = 5").replace("three-row", "two-row")


def test_a_thing_under_both_its_names_is_refused_and_says_which_to_keep():
    with pytest.raises(DesignError, match='once as "rim"') as refused:
        reader.parse(OTHERWISE + '[border]\nkind = "one-row"\n')
    assert refused.value.remedy == 'Keep one of them, under "border".'


def test_a_colour_of_ones_own_may_be_called_color_or_rim():
    design = reader.parse(OTHERWISE.replace('colors = ["rust", ', 'colors = ["rim", ') + '[colors]\nrim = "#aa5500"\n')
    assert design.bands[0].colours[0] == "rim"
