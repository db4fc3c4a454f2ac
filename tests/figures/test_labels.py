"""Numbers on the drawings of the steps: every spoke has its own, and none covers another."""

import re
from functools import cache

import pytest
from places import EXAMPLES

from slype.design.file import reader
from slype.figures.figure import Figures
from slype.figures.labels import Labels
from slype.paper.handout import wide_mm
from slype.plans.planning import plan
from slype.teach.steps import taught

NUMBER = re.compile(r">(\d+)(?:–(\d+))?</text>")


@cache
def drawn(name):
    made = plan(reader.parse((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")))
    return made, taught(made), Figures(made)


@pytest.mark.parametrize("name", ["posy", "quayside", "saltmarsh", "estuary"])
def test_every_end_of_a_base_is_numbered_where_space_1_is_found(name):
    made, steps, figures = drawn(name)
    step = next(step for step in steps if step.title == "Find space 1")
    ends = made.design.spokes.ends_at_base
    svg = figures.svg(step, step.drawings[0], wide_mm(step, ends)[0])  # as it is printed
    found = {end for first, last in NUMBER.findall(svg) for end in range(int(first), int(last or first) + 1)}
    assert found == set(range(1, ends + 1))
    assert "underside" in svg


def test_the_cross_is_drawn_from_above_as_it_is_laid_and_from_below_once_turned():
    _, steps, figures = drawn("posy")
    lay, find = (next(step for step in steps if step.title.startswith(title)) for title in ("Lay the", "Find space"))
    assert all("from above" in figures.svg(lay, each) for each in lay.drawings)
    assert all("underside" in figures.svg(find, each) for each in find.drawings)


def test_a_label_gives_way_to_one_that_stands_there():
    labels = Labels((0.0, 0.0, 60.0, 40.0), 1.0)
    assert labels.number([(20.0, 20.0)], "7")
    assert not labels.number([(21.0, 20.0)], "8")
    assert labels.number([(21.0, 20.0), (30.0, 20.0)], "8")
    assert not labels.number([(59.9, 20.0)], "9")  # it would leave the drawing


def test_old_and_new_are_told_apart_at_a_join():
    _, steps, figures = drawn("posy")
    step = next(step for step in steps if step.title == "Join a new length")
    svg = figures.svg(step, step.drawings[0])
    assert ">old<" in svg and ">new<" in svg
