"""Changing a design file: the maker's own text stays, and lengths are told as the maker writes them."""

import re

import pytest
from edited import ESTUARY, FIRST, ODD, TEXTS, band, edited, put, texts
from hypothesis import given
from hypothesis import strategies as st

from slype.design.file.keys import KEYS
from slype.design.file.reader import parse
from slype.edit import apply
from slype.edit.values import takes
from slype.quantity import parse_length

# The maker's own text ------------------------------------------------------------------------------------------


@texts
def test_only_the_line_that_is_meant_changes(text):
    after = edited(text, put(["spokes", "per_end"], 2), put(["spokes", "colour"], "rust")).text
    after = edited(after, put(["spokes", "per_end"], None), put(["spokes", "colour"], None)).text
    assert after == text


@texts
def test_a_title_goes_in_and_comes_out_without_a_trace_elsewhere(text):
    after = edited(text, put(["basket", "title"], "Tern")).text
    assert parse(after).title == "Tern"
    assert [line for line in re.findall(r"#[^\r\n]*", text)] == re.findall(r"#[^\r\n]*", after)


@texts
def test_every_comment_survives_a_change_of_every_number(text):
    said = apply.document(text)
    for i, each in enumerate(said["band"]):
        if "rows" in each:
            after = edited(text, put(["band", i, "rows"], each["rows"] + 1)).text
            ours, theirs = text.splitlines(), after.splitlines()
            assert len(ours) == len(theirs)
            assert sum(a != b for a, b in zip(ours, theirs, strict=True)) == 1
            assert edited(after, put(["band", i, "rows"], each["rows"])).text == text


@texts
def test_a_band_moved_there_and_back_leaves_the_text_as_it_was(text):
    last = len(apply.document(text)["band"]) - 1
    sides = [i for i in range(last + 1) if band(text, i).get("where") != "base"]
    for a in sides:
        for b in sides:
            there = edited(text, {"move": ["band"], "from": a, "to": b})
            assert band(there.text, b) == band(text, a)
            back = edited(there.text, {"move": ["band"], "from": b, "to": a})
            if text.endswith("\n") and "#" not in text.split("band")[0][-20:]:
                assert apply.document(back.text) == apply.document(text)
            if text != ODD:
                assert back.text == text


@texts
def test_a_band_put_in_or_copied_and_taken_out_again_leaves_the_text_as_it_was(text):
    many = len(apply.document(text)["band"])
    new = {"where": "side", "weave": "pairing", "reed": "round 2", "rows": 2}
    sides = [i for i in range(many + 1) if i == many or band(text, i).get("where") != "base"]
    for at in sides:
        there = edited(text, {"insert": ["band"], "at": at, "value": new}).text
        assert band(there, at) == new and len(apply.document(there)["band"]) == many + 1
        assert edited(there, {"remove": ["band", at]}).text == text
        twice = edited(text, {"copy": ["band", many - 1], "to": at}).text
        assert band(twice, at) == band(text, many - 1)
        assert edited(twice, {"remove": ["band", at]}).text == text


def test_a_comment_above_a_band_goes_with_it_and_a_heading_stays():
    after = edited(ODD, {"remove": ["band", 1]}).text
    assert "a heading" not in after and "red" not in after
    assert "above the band" in after and "below" in after and "a comment by itself" in after
    after = edited(ODD, {"move": ["band"], "from": 1, "to": 0}).text
    assert after.index("a comment by itself") < after.index("a heading") < after.index("above the band")


def test_a_wall_point_is_moved_with_what_is_said_of_it():
    after = edited(ODD, {"insert": ["form", "wall"], "at": 1, "value": ["1 1/2", 4.5]}).text
    assert apply.document(after)["form"]["wall"][1] == ["1 1/2 in", "4.5 in"]
    assert after.index("# the foot") < after.index("1 1/2 in") < after.index("# the mouth")
    assert apply.document(edited(after, {"remove": ["form", "wall", 1]}).text) == apply.document(ODD)


def test_a_list_on_one_line_stays_neat():
    after = edited(ESTUARY, {"move": ["band", 5, "colours"], "from": 3, "to": 0}).text
    assert 'colours = ["slate", "rust", "rust", "sand"]' in after
    after = edited(ESTUARY, {"insert": ["border", "rows"], "at": 0, "value": "behind 1 out"}).text
    assert 'rows = ["behind 1 out", "behind 1 out", "over 3 in", "over 2 down"]' in after
    after = edited(FIRST, put(["spokes", "inserted"], True)).text
    assert 'spokes = { reed = "round 4", ends = 17, inserted = true }' in after
    assert edited(after, put(["spokes", "inserted"], None)).text == FIRST


def test_a_windows_file_keeps_its_line_ends():
    after = edited(TEXTS["a file from Windows"], put(["form", "corner"], None), put(["basket", "title"], "Tern")).text
    assert after.count("\r\n") == after.count("\n") > 50


@pytest.mark.parametrize(
    "change",
    [
        {"insert": ["handle"], "at": 0, "value": {"kind": "bow", "core": "round 8"}},
        put(["colours", "tide"], "#336677"),
        put(["pace", "strokes_per_minute"], 15.5),
        put(["base", "odd"], None),
        put(["lid"], {"spokes": {"reed": "round 4", "ends": 32}, "band": [{"weave": "pairing", "reed": "round 2"}],
                      "border": ["behind 1 out", "over 2 down"]}),
    ],
    ids=lambda change: str(change)[:30],
)  # fmt: skip
@texts
def test_what_was_not_there_is_made(text, change):
    after = edited(text, change).text
    parse(after)
    assert re.findall(r"#[^\r\n]*", text.replace("#336677", "")) == re.findall(
        r"#[^\r\n]*", after.replace("#336677", "")
    )
    if "insert" in change:
        assert apply.document(edited(after, {"remove": ["handle", 0]}).text) == apply.document(text)


# Lengths at the door -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "written"),
    [("7 1/2", "7 1/2 in"), ("19 cm", "19 cm"), (7.5, "7.5 in"), (8, "8 in"), ({"mm": 187.3}, "7 3/8 in"),
     ("7½", "7½ in"), ('7"', '7"'), ({"mm": 180}, "7 1/8 in")],
)  # fmt: skip
def test_a_length_without_a_unit_gets_the_baskets_own(typed, written):
    after = edited(ESTUARY, put(["form", "base"], typed)).text
    assert apply.document(after)["form"]["base"] == written


def test_centimetres_where_the_basket_is_written_in_them():
    quayside = TEXTS["quayside"]
    after = edited(quayside, put(["form", "wall", 2], [{"mm": 263.0}, "31,5"]), put(["band", 3, "height"], 14)).text
    assert apply.document(after)["form"]["wall"][2] == ["26.5 cm", "31,5 cm"]
    assert band(after, 3)["height"] == "14 cm"


@given(st.floats(0, 900), st.sampled_from(["in", "cm"]))
def test_a_makers_rounding_is_off_by_half_a_step_at_most(mm, units):
    half = 25.4 / 16 if units == "in" else 2.5
    assert abs(parse_length(apply.as_makers_round(mm, units)) - mm) <= half + 1e-9


def test_every_key_that_takes_a_length_is_known_as_one():
    lengths = [key for key in KEYS if "length" in key.takes or "height" in key.takes]
    assert len(lengths) > 12
    for key in lengths:
        assert takes((key.table, 0, key.name)) == key.takes
        assert takes(("lid", key.table, key.name)) == key.takes
    assert takes(("spokes", "reed", "mm")) == ""  # calipers are always in mm
    assert takes(("reeds", "round 3", "coil_length")) == "length"
