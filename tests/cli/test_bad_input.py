"""What slype says to input it cannot use: one paragraph with file, table and key, and what would be right."""

from __future__ import annotations

import pytest
from commands import BASKET, slype_here, slype_in, with_change

from slype.design.file import reader
from slype.errors import DesignError
from slype.kit.file import goods
from slype.kit.file.keys import PRICES
from slype.kit.file.sheets import read_sheet
from slype.reeds import reed_named

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
    said = slype_in(tmp_path, "check", "bowl.toml")
    assert said.out.startswith("Willow Lane bowl: 1 stop") and "\nstop  Band 1 (randing)" in said.out
    assert slype_in(tmp_path, "plan", "bowl.toml", "--json").out.startswith("{")


# what is asked, words of the message
ASKED_WRONGLY = {
    "nothing": ([], ["COMMAND"]),
    "an unknown command": (["pln", "bowl.toml"], ['no "pln"', 'Did you mean "plan"?']),
    "no file": (["plan"], ["plan: ", "FILE", "slype plan --help"]),
    "an unknown option": (["plan", "bowl.toml", "--jsn"], ["--jsn"]),
    "an unknown hand": (["plan", "bowl.toml", "--hand", "lft"], ["--hand", 'Did you mean "left"?']),
    "an unknown view": (["picture", "bowl.toml", "-o", "a.svg", "--view", "abve"], ["--view", '"above"']),
    "a picture a mile wide": (["picture", "bowl.toml", "-o", "a.png", "--width", "99999"], ["--width", "50 to 8000"]),
    "an unknown paper": (["sheet", "bowl.toml", "-o", "a.pdf", "--paper", "a44"], ["--paper", '"a4"']),
    "no output": (["picture", "bowl.toml"], ["-o"]),
    "counts backwards": (
        ["effects", "--weave", "pairing", "--ends", "32-20"],
        ["--ends", "backwards", "smaller count first"],
    ),
    "counts beyond reach": (["effects", "--weave", "pairing", "--ends", "1-9999999"], ["--ends", "3 to 400"]),
    "counts in words": (["effects", "--weave", "pairing", "--ends", "many"], ["--ends", '"many"']),
    "effects of nothing": (["effects"], ["effects: say which weave", "--weave"]),
    "effects of two things": (["effects", "bowl.toml", "--weave", "pairing"], ["--weave: goes without a design file"]),
    "an unknown weave": (["effects", "--weave", "pearing"], ["--weave", 'Did you mean "pairing"?']),
    "colours that do not fit": (["effects", "--weave", "pairing", "--colours", "a,b,c"], ["--colours: 3 colors for"]),
    "an empty colour": (["effects", "--weave", "pairing", "--colours", "a,,b"], ["--colours", "list of colors"]),
    "half a stroke": (["effects", "--over", "2"], ["effects: say which weave"]),
    "too many orders": (
        ["effects", "--over", "5", "--under", "5", "--colours", "a,b,c,d,e,f,g,h,i,j", "--orders"],
        ["--orders: ", "more than anyone reads"],
    ),
    "an option by its American name": (
        ["effects", "--weave", "pairing", "--colors", "a,b,c"],
        ["--colors: 3 colors for 2 weavers"],
    ),
    "a stroke for a named weave": (["effects", "--weave", "pairing", "--over", "2"], ["--over: a named weave"]),
    "a band of no file": (["effects", "--weave", "pairing", "--band", "2"], ["--band: goes with a design file"]),
    "a hatching of what has none": (
        ["picture", "bowl.toml", "-o", "a.svg", "--hatch", "--view", "unrolled"],
        ["--hatch: ", "no hatchings"],
    ),
    "a hatched solid": (["picture", "bowl.toml", "-o", "a.glb", "--hatch"], ["--hatch: has no use here"]),
    "a view of a solid": (["picture", "bowl.toml", "-o", "a.glb", "--view", "above"], ["--view: ", "every side"]),
    "a width of a drawing": (["picture", "bowl.toml", "-o", "a.svg", "--width", "900"], ["--width: ", "a .png"]),
    "a tone of a drawing": (["picture", "bowl.toml", "-o", "a.svg", "--tone", "3"], ["--tone: ", "a painted .png"]),
    "a pattern sheet in large type": (["sheet", "bowl.toml", "-o", "a.pdf", "--large"], ["--large: goes with --for"]),
    "a board's holes in greys": (
        ["sheet", "bowl.toml", "-o", "a.pdf", "--for", "board", "--gray"],
        ["--gray: goes with --for"],
    ),
    "a band that is not there": (["effects", "bowl.toml", "--band", "9"], ["--band", "no band 9", "1 to 2"]),
    "a border of nonsense": (["border", "knots", "--spacing", "1 in", "--spoke", "round 5"], ['"knots"']),
    "a border spelt wrong": (
        ["border", "three rod plian", "--spacing", "1 in", "--spoke", "round 5"],
        ['Did you mean "three-rod plain"?'],
    ),
    "a family that is none": (["border", "--family", "rods"], ["--family", 'Did you mean "rod"?']),
    "what is left of one border": (
        ["border", "rope", "--left", "5 in", "--spacing", "1 in", "--spoke", "round 5"],
        ["--left", "goes with the list"],
    ),
    "nothing left": (["border", "--left", "0 in"], ["--left", "0 in"]),
    "less than nothing left": (["border", "--left=-2 in"], ["--left", "-2 in"]),
    "a length without a unit left": (["border", "--left", "5"], ["--left", "5"]),
    "a border drawn on nothing": (["border", "-o", "borders.doc"], ["borders.doc", ".svg or .png"]),
    "no spacing": (["border", "over 1 in", "--spoke", "round 5"], ["border: ", "--spacing"]),
    "a spacing without its unit": (["border", "over 1 in", "--spacing", "3/4", "--spoke", "round 5"], ["--spacing"]),
    "a negative spacing": (["border", "over 1 in", "--spacing=-1 in", "--spoke", "round 5"], ["--spacing", "-1 in"]),
    "a spoke of no series": (["border", "over 1 in", "--spacing", "1 in", "--spoke", "#5"], ["--spoke", '"cane 5"']),
}


@pytest.mark.parametrize("fault", ASKED_WRONGLY)
def test_a_command_asked_wrongly_says_what_would_be_right(tmp_path, fault):
    asked, words = ASKED_WRONGLY[fault]
    (tmp_path / "bowl.toml").write_text(BASKET, encoding="utf-8")
    said = slype_here(tmp_path, *asked)
    assert said.status == 2, said
    assert said.out == "" and said.err.startswith("slype: ") and said.err.count("\n") == 1
    for word in words:
        assert word in said.err
    assert [path.name for path in tmp_path.iterdir()] == ["bowl.toml"]


def test_a_refusal_speaks_in_the_wording_of_the_file_or_the_one_asked_for_and_quotes_the_file_as_it_is(tmp_path):
    cases = (("us", "uk", "color", "reed"), ("uk", "us", "colour", "cane"), ("", "uk", "colour", "cane"))
    for asked, own, spelt, thing in cases:
        text = BASKET.replace("[basket]", f'[basket]\nwording = "{own}"')
        (tmp_path / "a.toml").write_text(text.replace('"slate"', '"slat"'), encoding="utf-8")
        (tmp_path / "b.toml").write_text(text.replace('"round 3"', '"round 33"'), encoding="utf-8")
        words = ["--wording", asked] if asked else []
        said = slype_in(tmp_path, "check", "a.toml", *words).err
        assert f'the {spelt} "slat" is not defined' in said and "under [colours]" in said, said
        said = slype_in(tmp_path, "check", "b.toml", *words).err
        assert f'no {thing} called "round 33"' in said and ", reed:" in said, said


def test_spokes_too_close_for_a_border_give_status_1(tmp_path):
    said = slype_in(tmp_path, "border", "behind 1 out", "--spacing", "1 mm", "--spoke", "round 5")
    assert said.status == 1 and "leave no room for an end between them" in said.err


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
{BAND_2}until = "top"
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
    said = slype_in(tmp_path, "check", "bowl.toml")
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
