"""Changing a class file: what the teacher wrote stays, what is asked is there, and nothing is half done."""

import tomllib

import pytest

from slype.errors import DesignError
from slype.kit.file.change import change

TEXT = """\
# the spring class
[class]
title = "Saturday" # we meet early
design = "posy.toml"
hours = ["9:30", "16:30"]
day = 2027-03-13

[[student]]
name = "Mona"
hand = "left"

[[student]]
name = "Bo"
colours = { plum = "moss" }
"""


def after(*changes):
    out = change(TEXT, list(changes))
    return out, tomllib.loads(out)


def test_a_student_who_wears_another_colour_leaves_everything_else_as_it_was_written():
    out, tables = after({"set": ["student", 1, "colours", "plum"], "to": "rust"})
    assert tables["student"][1]["colours"] == {"plum": "rust"}
    assert out == TEXT.replace("moss", "rust")


def test_students_come_and_go_in_their_order():
    out, tables = after({"insert": ["student"], "at": 1, "value": {"name": "Io"}}, {"remove": ["student", 0]})
    assert [each["name"] for each in tables["student"]] == ["Io", "Bo"]
    assert out.startswith(TEXT.split("[[student]]")[0])
    assert [each["name"] for each in after({"move": ["student"], "from": 1, "to": 0})[1]["student"]] == ["Bo", "Mona"]


def test_a_table_that_is_missing_is_made_where_a_teacher_would_write_it():
    out, tables = after({"set": ["prices", "fee"], "to": 60}, {"set": ["cutting", "aim"], "to": "cost"})
    assert tables["prices"] == {"fee": 60} and tables["cutting"] == {"aim": "cost"}
    assert out.index("[prices]") < out.index("[cutting]") and out.startswith(TEXT)


def test_taking_out_what_is_not_there_by_nothing_is_no_fault():
    assert change(TEXT, [{"set": ["class", "seats"], "to": None}]) == TEXT


@pytest.mark.parametrize(
    "wrong",
    [
        "not a list",
        [{"set": ["class", "title"]}],
        [{"set": ["basket", "title"], "to": "x"}],
        [{"set": ["student", 9, "name"], "to": "x"}],
        [{"set": ["student", "name"], "to": "x"}],
        [{"remove": ["student", 5]}],
        [{"insert": ["class"], "at": 0, "value": 1}],
        [{"insert": ["student"], "at": 7, "value": {}}],
        [{"move": ["student"], "from": 0, "to": 9}],
        [{"set": [], "to": 1}],
        [{"set": ["class", "title", "x"], "to": 1}],
        [{"set": ["class", "title"], "to": float("nan")}],
        [7],
    ],
)
def test_what_is_no_change_is_refused_and_changes_nothing(wrong):
    with pytest.raises(DesignError):
        change(TEXT, wrong)


def test_all_changes_are_made_or_none():
    with pytest.raises(DesignError):
        change(TEXT, [{"set": ["class", "title"], "to": "x"}, {"remove": ["student", 5]}])


def test_the_last_row_of_a_list_can_be_taken_out_and_another_put_in():
    text = '[class]\ndesign = "posy.toml" # mine\n\n[[dye]]\ncolour = "plum"\n'
    bare = change(text, [{"remove": ["dye", 0]}])
    assert "dye" not in bare and "# mine" in bare
    assert 'colour = "rust"' in change(bare, [{"insert": ["dye"], "at": 0, "value": {"colour": "rust"}}])
