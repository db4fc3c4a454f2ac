"""The spaces that a move of the border goes through: ringed on its drawing as its words name them."""

import re

import pytest
from strategies import basket
from worked import figured, planned_as, taught

from slype.borders.table import BORDERS
from slype.borders.work import spaces_of_move
from slype.order.moments import moments
from slype.plans import planning

RING = re.compile(r"<circle[^>]*/><text[^>]*>(\d+)</text>")


def moves(steps):
    """(step, row, end, sentence) of each move of a border that is told by itself, rows and ends from 0."""
    for step in (step for step in steps if step.part == "border"):
        for line in step.does:
            found = re.match(r"(?:Bend|Take) (?:spoke|stake) (\d+) ", line)
            if found:
                row = int(step.title[4]) - 1 if step.title.startswith("Row") else None
                yield step, row, int(found[1]) - 1, line


@pytest.mark.parametrize("name", [k.name for k in BORDERS.values() if not k.foot and k.order is None])
def test_the_spaces_of_a_move_are_those_that_its_words_name(name):
    plan = planning.plan(basket(ends=40, kind=name))
    order, border, told = moments(plan.laid), plan.design.border, 0
    for step, row, end, line in moves(taught(plan)):
        mine = [m for m in order.by_end["border", end] if order.row[m] == (row or 0)]
        found = spaces_of_move(border, 40, order.passes[mine[-1]], True)
        at = step.does.index(line)
        tip = ""  # at the close a tip is told by itself
        if at + 3 < len(step.does) and any("Only its tip" in each for each in step.does[at : at + 4]):
            tip = next(each for each in step.does[at:] if each.startswith(("Lead the tip", "Tuck the tip")))
        said = re.findall(r"(?:over the edge|out|in|down) at space (\d+)", line + tip)
        assert [int(each) - 1 for each in said] == list(found), (line, tip)
        told += len(found)
    assert told or border.is_open or all(row.finish == "out" for row in border.rows)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "saltmarsh", "quayside"])
def test_a_drawing_of_one_move_rings_the_spaces_it_goes_through_and_no_other(name, hand):
    plan = planned_as(name, hand)
    figures, order, ringed, asked = figured(plan), moments(plan.laid), 0, 0
    for step in (step for step in taught(plan) if step.part == "border" and not step.title.startswith("Make")):
        for drawing in step.drawings:
            rings = [int(each) for each in RING.findall(figures.svg(step, drawing, 47.5))]
            moment = drawing.beyond - 1
            spaces = spaces_of_move(plan.design.border, plan.design.top_ends, order.passes[moment], True)
            single = drawing.beyond - drawing.first == 1
            assert set(rings) <= ({each + 1 for each in spaces} if single else set()), step.title
            ringed, asked = ringed + len(rings), asked + len(spaces) * single
    assert asked >= 5 and ringed >= 0.6 * asked, (ringed, asked)
