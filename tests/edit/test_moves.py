"""A named border told row by row keeps its moves, so that they can be changed."""

import pytest

from slype.borders.rows import parse_border
from slype.borders.table import BORDERS
from slype.design.file.reader import parse
from slype.edit.apply import apply, blank
from slype.edit.moves import moves_of


@pytest.mark.parametrize("kind", BORDERS.values(), ids=lambda kind: kind.name)
def test_the_moves_of_every_border_read_as_the_same_rows(kind):
    assert parse_border(moves_of(kind.border)).rows == kind.border.rows


@pytest.mark.parametrize("kind", [kind for kind in BORDERS.values() if not kind.foot], ids=lambda kind: kind.name)
def test_choosing_row_by_row_writes_the_moves_of_the_border_it_was(kind):
    named = apply(blank(), [{"set": ["border", "kind"], "to": kind.name}]).text
    plan = apply(named, [{"set": ["border", "kind"], "to": None}])
    assert parse(plan.text).border.rows == kind.border.rows
    assert "kind" not in plan.text.split("[border]")[1]
    assert any("written out" in note for note in plan.notes)


def test_a_border_laid_down_in_threes_says_that_rows_are_another_order():
    (note,) = apply(blank(), [{"set": ["border", "kind"], "to": None}]).notes
    assert "every end makes the first move before any makes the next" in note
