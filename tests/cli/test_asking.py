"""What is asked without a design of one's own: effects, borders, reeds and weaves by command."""

from __future__ import annotations

import json

import pytest
from commands import slype_here
from places import ROOT

from slype.borders.table import BORDERS


def test_four_rod_wale_stands_in_lines_on_24_and_spirals_on_25(tmp_path):
    asked = ("effects", "--weave", "four-rod wale", "--colours", "rust,rust,sand,slate", "--ends", "24-26")
    lines = json.loads(slype_here(tmp_path, *asked, "--json").out)
    assert [line["ends"] for line in lines] == [24, 25, 26]
    assert [line["outside"]["effect"] for line in lines] == ["upright lines", "spiral", "blocks"]
    assert [line["outside"]["shift_per_row"] for line in lines] == [0, 1, 2]
    said = slype_here(tmp_path, *asked).out
    assert "24 ÷ 4 = 6," in said and "- upright lines, repeating every 4 spaces: 24 ends" in said


def test_a_left_handed_spiral_climbs_to_the_other_side(tmp_path):
    asked = ("effects", "--weave", "four-rod wale", "--colours", "a,a,b,c", "--ends", "25", "--json")
    right, left = (json.loads(slype_here(tmp_path, *asked, "--hand", hand).out)[0] for hand in ("right", "left"))
    assert "to the left" in right["outside"]["words"] and "to the right" in right["inside"]["words"]
    assert "to the right" in left["outside"]["words"] and "to the left" in left["inside"]["words"]


def test_two_and_two_and_one_colours_have_three_orders_round_a_ring(tmp_path):
    asked = ("effects", "--weave", "4-rod wale", "--colours", "a,a,b,c", "--ends", "24", "--orders", "--json")
    orders = {tuple(line["colours"]) for line in json.loads(slype_here(tmp_path, *asked).out)}
    assert orders == {("a", "a", "b", "c"), ("a", "a", "c", "b"), ("a", "b", "a", "c")}


def test_colours_in_pairs_make_lines_where_colours_in_turn_make_blocks(tmp_path):
    asked = ("effects", "--over", "2", "--under", "2", "--colours", "a,b,a,b", "--ends", "25-26", "--json")
    assert [line["outside"]["effect"] for line in json.loads(slype_here(tmp_path, *asked).out)] == [
        "blocks",
        "upright lines",
    ]


def test_randing_falls_open_on_an_even_count(tmp_path):
    even, odd = json.loads(slype_here(tmp_path, "effects", "--weave", "randing", "--ends", "24-25", "--json").out)
    assert not even["holds"] and "falls open" in even["why"]
    assert odd["holds"]


def test_a_file_is_asked_only_about_its_bands_of_several_colours(bench):
    lines = json.loads(slype_here(bench, "effects", "bowl.toml", "--ends", "27-28", "--json").out)
    assert [(line["band"], line["ends"]) for line in lines] == [(1, 27), (1, 28)]
    one = json.loads(slype_here(bench, "effects", "bowl.toml", "--band", "1", "--ends", "28", "--json").out)
    assert one[0]["weave"] == "three-rod wale" and one[0]["outside"]["effect"] == "plain"


BORDER = ("border", "behind 1 out, over 3 in, over 2 down", "--spacing", "3/4 in", "--spoke", "round 5")


def test_a_border_says_what_each_end_needs_in_parts(tmp_path):
    form = json.loads(slype_here(tmp_path, *BORDER, "--json").out)
    assert sum(part["mm"] for part in form["parts"]) == pytest.approx(form["length_mm"], abs=0.3)
    assert form["range_mm"][0] < form["length_mm"] < form["range_mm"][1]
    assert len(form["path"]) == 6 and form["ends_ok"] is None
    assert len(form["closing"]) == 4
    assert "above the last row" in slype_here(tmp_path, *BORDER).out


def test_a_border_on_too_few_ends_is_told_and_refused(tmp_path):
    smallest = json.loads(slype_here(tmp_path, *BORDER, "--json").out)["smallest_ends"]
    assert slype_here(tmp_path, *BORDER, "--ends", str(smallest)).status == 0
    said = slype_here(tmp_path, *BORDER, "--ends", str(smallest - 1))
    assert said.status == 1 and "is too few" in said.out and "too few" in said.err


BORDER_KEYS = {
    "border", "name", "length_mm", "range_mm", "parts", "path", "before", "begin", "closing", "trim", "foot",
    "smallest_ends", "ends", "ends_ok",
}  # fmt: skip


LISTED_KEYS = {
    "name", "uk", "also", "family", "border", "smallest_ends", "trim", "length_mm", "range_mm", "parts", "why_not",
    "spare_mm", "enough", "just_short", "help", "example", "source",
}  # fmt: skip


def test_a_border_by_name_is_told_from_the_first_bend_to_the_last_trim(tmp_path):
    asked = ("border", "three-rod plain", "--spacing", "3/4 in", "--spoke", "round 5", "--ends", "28")
    form = json.loads(slype_here(tmp_path, *asked, "--json").out)
    assert set(form) == BORDER_KEYS
    assert form["name"] == "three-rod plain" and form["trim"] == "outside" and form["ends_ok"] is True
    said = slype_here(tmp_path, *asked)
    assert said.status == 0
    flat = " ".join(said.out.split())
    assert "The last spoke (28) goes behind 1 and out, under spoke 1, and comes out between spokes 1 and 2." in flat
    assert "Leave 1, 2, 3 and 4 loose" in flat and "Take the left-hand spoke" in flat
    left = " ".join(slype_here(tmp_path, *asked, "--hand", "left", "--wording", "uk").out.split())
    assert "Take the right-hand stake" in left and "stake" in left and "spoke" not in left


def test_every_border_is_listed_with_what_it_needs(tmp_path):
    form = json.loads(slype_here(tmp_path, "border", "--json").out)
    assert form["spacing_mm"] == 19.05 and form["left_mm"] is None
    assert all(set(row) == LISTED_KEYS for row in form["borders"])
    assert [row["name"] for row in form["borders"]] == list(BORDERS)
    assert all(row["enough"] is None and row["length_mm"] > 0 for row in form["borders"])
    said = slype_here(tmp_path, "border").out
    assert [name for name in BORDERS if name not in " ".join(said.split()) and len(name) < 24] == []
    rods = json.loads(slype_here(tmp_path, "border", "--family", "rod", "--spacing", "1 in", "--json").out)
    assert {row["family"] for row in rods["borders"]} == {"rod"}


def test_the_forms_of_borders_are_documented():
    text = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    about = text.split("## `slype border ROWS")[1].split("## `slype effects")[0]
    assert sorted(key for key in BORDER_KEYS | LISTED_KEYS if f"`{key}`" not in about) == []


def test_what_is_left_of_the_spokes_says_what_can_be_finished(tmp_path):
    asked = ("border", "--left", "5 in", "--spacing", "3/4 in", "--spoke", "round 5")
    rows = json.loads(slype_here(tmp_path, *asked, "--json").out)["borders"]
    assert "foot" not in {row["family"] for row in rows}
    lengths = [row["length_mm"] for row in rows]
    assert lengths == sorted(lengths, reverse=True)
    assert any(row["enough"] for row in rows) and any(row["just_short"] for row in rows)
    said = slype_here(tmp_path, *asked)
    assert said.status == 0 and "Can be finished" in said.out and "Fall just short" in said.out
    feet = json.loads(slype_here(tmp_path, *asked, "--family", "foot", "--json").out)["borders"]
    assert {row["family"] for row in feet} == {"foot"}
    right, left = said.out, slype_here(tmp_path, *asked, "--hand", "left").out
    assert "┗" in right and "┛" not in right and "┛" in left and "┗" not in left
    close = slype_here(tmp_path, "border", "--left", "5 in", "--spacing", "6 mm")
    assert close.status == 1 and "leave no room for an end between them" in close.err
    none = slype_here(tmp_path, "border", "--left", "1 in")
    assert none.status == 1 and "too short for any" in none.err and none.err.count("\n") == 1


@pytest.mark.parametrize("asked", [("three-rod plain", "--spacing", "3/4 in", "--spoke", "round 5"), ()])
def test_borders_are_drawn_to_a_file(tmp_path, asked):
    assert slype_here(tmp_path, "border", *asked, "-o", "borders.svg").status == 0
    drawing = (tmp_path / "borders.svg").read_text(encoding="utf-8")
    assert drawing.startswith("<svg") and drawing.count("<clipPath") == (1 if asked else len(BORDERS))
    assert slype_here(tmp_path, "border", *asked, "--hand", "left", "-o", "left.svg").status == 0
    assert (tmp_path / "left.svg").read_text(encoding="utf-8") != drawing


def test_reeds_keeps_the_two_series_apart_and_marks_the_odd_ones(tmp_path):
    rows = json.loads(slype_here(tmp_path, "reeds", "--json").out)
    assert {row["series"] for row in rows} == {"us", "uk"}
    assert all(row["source"] and row["soaking"]["source"] for row in rows)
    assert any(row["odd"] for row in rows)
    said = slype_here(tmp_path, "reeds").out
    assert "American round reed" in said and "British centre cane" in said and " *" in said


def test_weaves_lists_every_weave_with_its_help(tmp_path):
    rows = json.loads(slype_here(tmp_path, "weaves", "--json").out)
    said = slype_here(tmp_path, "weaves").out
    assert len(rows) > 12
    for row in rows:
        assert row["help"] and f"\n{row['name']}\n" in said
