"""What slype says to input it cannot use: one paragraph with file, table and key, and what would be right."""

from __future__ import annotations

import pytest
from commands import BASKET, slype_here, slype_in, with_change

BAND_2 = '[[band]]\nwhere = "side"\nweave = "four-rod wale"\nreed = "round 3"\n'

# what is wrong, the file's text, and words that must all be in the message: place, fault, remedy
CANNOT_BE_READ = {
    "not TOML": ("a basket of reed", ["slype: bowl.toml: is not TOML", "line 1"]),
    "nothing at all": ("", ["bowl.toml: ", "is empty", "README"]),
    "a class file": (
        '[class]\ndesign = "estuary.toml"\nseats = 12\n',
        ["bowl.toml: is a class file", "slype class FILE -o FOLDER", "estuary.toml"],
    ),
    "a cycle that nobody could follow": (
        with_change('weave = "three-rod wale"', "weavers = 60\ncycle = [12, 12, 1, 2, 3, 4, 5, 6, 7, 8]"),
        ["bowl.toml, band 1", "60 weavers and a cycle that passes 60 spokes", "fewer weavers or a shorter cycle"],
    ),
    "nested a thousand deep": ("a = " + "[" * 1000 + "]" * 1000, ["bowl.toml: ", "nested far deeper"]),
    "nested tables a thousand deep": ("[" + ".".join("a" * 1000) + "]\nb = 1", ["bowl.toml: ", "nested far deeper"]),
    "too large": ("# " + "x" * 300_000, ["bowl.toml: is larger than any design"]),
    "endless number": (with_change("ends = 28", "ends = " + "9" * 5000), ["bowl.toml", "cannot be read"]),
    "no spokes": (BASKET.replace("[spokes]", "[spoke]"), ["bowl.toml", 'unknown table "spoke"', 'mean "spokes"?']),
    "text for a count": (with_change("ends = 28", 'ends = "28"'), ["bowl.toml, spokes, ends", "whole number", '"28"']),
    "fraction for a count": (with_change("ends = 28", "ends = 28.5"), ["bowl.toml, spokes, ends", "whole number"]),
    "truth for a count": (with_change("ends = 28", "ends = true"), ["bowl.toml, spokes, ends", "whole number", "true"]),
    "no ends": (with_change("ends = 28", "ends = 0"), ["bowl.toml, spokes, ends", "From 3 to 400"]),
    "negative ends": (with_change("ends = 28", "ends = -28"), ["bowl.toml, spokes, ends", "-28", "From 3 to 400"]),
    "a number for a table": ("spokes = 3\nform = 1\nband = 2\nborder = 3", ["bowl.toml, form", "should be a table"]),
    "one band where a list of them belongs": (
        BASKET.split("[[band]]")[0] + '[band]\nrows = 3\n[border]\nrows = ["over 1 in"]',
        ["bowl.toml, band", "list of tables", "[[band]]"],
    ),
    "misspelt key": (with_change("ends = 28", "endz = 28"), ["bowl.toml, spokes", '"endz"', 'Did you mean "ends"?']),
    "misspelt key of a band": (
        with_change('until = "top"', 'untill = "top"'),
        ["bowl.toml, band 2", '"untill"', 'Did you mean "until"?'],
    ),
    "misspelt weave": (
        with_change('weave = "four-rod wale"', 'weave = "four-rod whale"'),
        ["bowl.toml, band 2, weave", 'Did you mean "four-rod wale"?'],
    ),
    "a reed of no series": (
        with_change('reed = "round 5"', 'reed = "5"'),
        ["bowl.toml, spokes, reed", "American round reed or British cane", '"round 5" or "cane 5"'],
    ),
    "a reed thicker than a wrist": (
        with_change('reed = "round 5"', "reed = { mm = 80 }"),
        ["bowl.toml, spokes, reed", "80", "From 0.3 to 30"],
    ),
    "a length without its unit": (
        with_change('base = "7 in"', 'base = "7"'),
        ["bowl.toml, form, base", '"7"', "number and a unit"],
    ),
    "a bare number for a length": (
        with_change('base = "7 in"', "base = 7"),
        ["bowl.toml, form, base", "with its unit", '"7 1/2 in"'],
    ),
    "a negative base": (with_change('base = "7 in"', 'base = "-7 in"'), ["bowl.toml, form, base", '"-7 in"']),
    "a base of a mile": (with_change('base = "7 in"', 'base = "5280 ft"'), ["bowl.toml, form, base", "kilometre"]),
    "divided by nought": (with_change('base = "7 in"', 'base = "7 1/0 in"'), ["bowl.toml, form, base", "nought"]),
    "a wall that folds back": (
        with_change('["4 in", "9 in"]]', '["4 in", "9 in"], ["3 in", "8 in"]]'),
        ["bowl.toml, form, wall, point 3", "folds back", "from the base upwards"],
    ),
    "a wall of one point": (with_change(', ["4 in", "9 in"]', ""), ["bowl.toml, form, wall", "at least two points"]),
    "a point of three": (
        with_change('["4 in", "9 in"]', '["4 in", "9 in", "1 in"]'),
        ["bowl.toml, form, wall, point 2", "[height, diameter]"],
    ),
    "a wall that starts elsewhere": (
        with_change('["0 in", "7 in"]', '["0 in", "30 in"]'),
        ["bowl.toml, form, wall, point 1", "far from the edge"],
    ),
    "a colour with a control sign in its name": (
        with_change("[border]", '[colours]\n"a\\u001b[31m" = "#123456"\n[border]'),
        ["bowl.toml, colours, a?[31m", "sign that cannot be printed"],
    ),
    "a reed with a line end in its name": (
        with_change("[border]", '[reeds]\n"my\\nreed" = { mm = 2 }\n[border]'),
        ["bowl.toml, reeds, my?reed", "sign that cannot be printed"],
    ),
    "a reed without a name": (
        with_change("[border]", '[reeds]\n"" = { mm = 2 }\n[border]'),
        ["bowl.toml, reeds", "a reed needs a name"],
    ),
    "a title of two lines": (
        with_change('title = "Willow Lane bowl"', 'title = "Willow\\nLane"'),
        ["bowl.toml, basket, title", "cannot be printed"],
    ),
    "an undefined colour": (
        with_change('"sand", "slate"]', '"sandy", "slate"]'),
        ["bowl.toml, band 2, colours", '"sandy" is not defined', 'Did you mean "sand"?', "[colours]"],
    ),
    "a colour that is none": (
        with_change("[border]", '[colours]\nfog = "#12"\n\n[border]'),
        ["bowl.toml, colours, fog", "#12"],
    ),
    "three colours for four weavers": (
        with_change('["rust", "rust", "sand", "slate"]', '["rust", "sand", "slate"]'),
        ["bowl.toml, band 2, colours", "3 colors for 4 weavers", "Give 1 or 4"],
    ),
    "a colour that is a number": (
        with_change('["rust", "rust", "sand", "slate"]', '["rust", 4, "sand", "slate"]'),
        ["bowl.toml, band 2, colours", "name or #rrggbb"],
    ),
    "an empty band": (with_change("[border]", "[[band]]\n\n[border]"), ["bowl.toml, band 3", "is empty"]),
    "no bands": ("band = []\n" + BASKET.split("[[band]]")[0] + '[border]\nrows = ["over 1 in"]', ["[[band]]"]),
    "a band without an end": (
        with_change('until = "top"', ""),
        ["bowl.toml, band 2", "does not say how far", "rows = 12"],
    ),
    "a band that ends twice": (
        with_change('until = "top"', 'until = "top"\nrows = 3'),
        ["bowl.toml, band 2", "2 times"],
    ),
    "a million rows": (with_change("rows = 3", "rows = 1000000"), ["bowl.toml, band 1, rows", "1000000", "to 2000"]),
    "no rows": (with_change("rows = 3", "rows = 0"), ["bowl.toml, band 1, rows", "From 1 to"]),
    "a base band after the side": (
        with_change(BAND_2, BAND_2.replace('"side"', '"base"')).replace('until = "top"', "rows = 2"),
        ["bowl.toml, band", "base band comes after a side band"],
    ),
    "a border move that is none": (
        with_change('"over 3 in"', '"round the houses"'),
        ["bowl.toml, border, rows, row 2", '"round the houses"', '"behind 1 out"'],
    ),
    "a border tucked down too early": (
        with_change('"over 3 in"', '"over 3 down"'),
        ["bowl.toml, border, rows, row 2", "only the last row"],
    ),
    "a border over a hundred": (
        with_change('"over 3 in"', '"over 100 in"'),
        ["bowl.toml, border, rows, row 2", "1 to 12 spokes"],
    ),
    "an unknown hand": (with_change("[spokes]", 'hand = "both"\n[spokes]'), ["bowl.toml, basket, hand", '"both"']),
    "an oval": (
        with_change("[form]", '[form]\noutline = "oval"'),
        ["bowl.toml, form, base", "should be [length, width]"],
    ),
    "a file from a newer slype": (with_change("version = 1", "version = 2"), ["bowl.toml, version", "newer slype"]),
    "a speed of nought": (
        with_change("[border]", "[pace]\nstrokes_per_minute = 0\n[border]"),
        ["bowl.toml, pace, strokes_per_minute", "From 0.5"],
    ),
    "no number at all": (
        with_change("[border]", "[pace]\nstrokes_per_minute = nan\n[border]"),
        ["bowl.toml, pace, strokes_per_minute"],
    ),
}


@pytest.mark.parametrize("fault", CANNOT_BE_READ)
def test_a_design_that_cannot_be_read_is_told_where_and_what_would_be_right(tmp_path, fault):
    text, words = CANNOT_BE_READ[fault]
    (tmp_path / "bowl.toml").write_text(text, encoding="utf-8")
    said = slype_here(tmp_path, "plan", "bowl.toml")
    assert said.status == 2, said
    assert said.out == ""
    assert said.err.startswith("slype: ") and said.err.count("\n") == 1 and len(said.err) < 600
    for word in words:
        assert word in said.err


def test_a_file_that_is_not_utf_8_is_told_its_line(tmp_path):
    (tmp_path / "bowl.toml").write_bytes(BASKET.replace("Willow", "Wïllow").encode("latin-1"))
    said = slype_in(tmp_path, "plan", "bowl.toml")
    assert said.status == 2 and "bowl.toml: is not UTF-8 text: line 4" in said.err


def test_a_file_that_is_not_there_is_told_and_so_is_a_folder(tmp_path):
    said = slype_in(tmp_path, "plan", "bowl.toml")
    assert said.status == 2 and "bowl.toml: there is no such file" in said.err
    said = slype_in(tmp_path, "plan", ".")
    assert said.status == 2 and "this is a folder, not a design file" in said.err


def test_no_escape_code_of_a_file_reaches_the_terminal(tmp_path):
    (tmp_path / "bowl.toml").write_text(with_change("ends = 28", 'ends = "\\u001b[31mred"'), encoding="utf-8")
    assert "\x1b" not in slype_in(tmp_path, "plan", "bowl.toml").err


# what is wrong, the file's text, words of the message; the design can be read, but no hands could weave it
CANNOT_BE_WOVEN = {
    "randing on an even count": (
        with_change('weave = "three-rod wale"', 'weave = "randing"'),
        ["bowl.toml, band 1 (randing)", "always on the same side", "27, 29"],
    ),
    "a wale longer than the ring": (with_change("ends = 28", "ends = 3"), ["bowl.toml", "band", "there are only 3"]),
    "a border longer than the ring": (
        with_change("ends = 28", "ends = 6").replace('"over 2 down"', '"over 5 down"'),
        ["bowl.toml, border", "comes round to itself"],
    ),
    "a side as high as a house": (
        with_change('until = "top"', "rows = 1900"),
        ["bowl.toml, band", "would stand", "At most 3 m", "fewer rows"],
    ),
    "spokes of sixty metres": (
        with_change("ends = 28", "ends = 5")
        .replace('base = "7 in"', 'base = "2.9 m"')
        .replace('["0 in", "7 in"], ["4 in", "9 in"]', '["0 in", "2.9 m"], ["4 in", "2.9 m"]')
        .replace('"behind 1 out", "over 3 in", "over 2 down"', '"behind 4 out", "over 4 in"'),
        ["bowl.toml, spokes", "would have to be", "border", "At most 10 m"],
    ),
    "a wall that closes to nothing": (
        with_change('["4 in", "9 in"]', '["4 in", "1 in"]').replace('until = "top"', "rows = 60"),
        ["bowl.toml, form, wall: ", "closes to nothing", "widen the mouth"],
    ),
    "two bands to the top": (
        with_change("rows = 3", 'until = "top"'),
        ["bowl.toml, band 2, until: two bands", "give this one rows"],
    ),
    "holes over the edge of the board": (
        with_change("[form]", '[base]\nkind = "board"\nfoot = ["behind 1 out", "over 1 down"]\n[form]').replace(
            '["0 in", "7 in"]', '["0 in", "6 7/8 in"]'
        ),
        ["bowl.toml, form, wall, point 1: holes", "over the edge of the board", "further in"],
    ),
    "spokes as thick as their spacing": (
        with_change('reed = "round 5"', "reed = { mm = 28 }"),
        ["bowl.toml", "leave no room for an end"],
    ),
}


@pytest.mark.parametrize("fault", CANNOT_BE_WOVEN)
@pytest.mark.parametrize("command", ["check", "plan"])
def test_a_design_that_no_hands_could_weave_is_told_and_gives_status_1(tmp_path, command, fault):
    text, words = CANNOT_BE_WOVEN[fault]
    (tmp_path / "bowl.toml").write_text(text, encoding="utf-8")
    said = slype_here(tmp_path, command, "bowl.toml")
    assert said.status == 1, said
    assert said.err.startswith("slype: ") and said.err.count("\n") == 1
    for word in words:
        assert word in said.err


def test_a_design_that_falls_open_still_gets_its_report(tmp_path):
    (tmp_path / "bowl.toml").write_text(CANNOT_BE_WOVEN["randing on an even count"][0], encoding="utf-8")
    said = slype_here(tmp_path, "check", "bowl.toml")
    assert said.out.startswith("Willow Lane bowl: 1 stop") and "\nstop  Band 1 (randing)" in said.out
    assert slype_here(tmp_path, "plan", "bowl.toml", "--json").out.startswith("{")
