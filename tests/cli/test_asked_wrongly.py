"""What slype says to a command it cannot follow: one line, and what would be right."""

from __future__ import annotations

import pytest
from commands import BASKET, slype_here

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
        said = slype_here(tmp_path, "check", "a.toml", *words).err
        assert f'the {spelt} "slat" is not defined' in said and "under [colours]" in said, said
        said = slype_here(tmp_path, "check", "b.toml", *words).err
        assert f'no {thing} called "round 33"' in said and ", reed:" in said, said


def test_spokes_too_close_for_a_border_give_status_1(tmp_path):
    said = slype_here(tmp_path, "border", "behind 1 out", "--spacing", "1 mm", "--spoke", "round 5")
    assert said.status == 1 and "leave no room for an end between them" in said.err
