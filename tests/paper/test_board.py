"""A board's holes: numbers that close, and a template at full size."""

import math
import re

import numpy as np
import pytest
from strategies import basket, toml

from slype.design.file.reader import parse
from slype.errors import DesignError
from slype.lay.boards import template
from slype.offers import PAPERS
from slype.paper import board
from slype.plans.planning import plan
from slype.tell.bases import board_fact, board_lines

TRAY = """[basket]
hand = "{hand}"
units = "{units}"
[spokes]
reed = "round 4"
ends = 44
[form]
{outline}
base = {base}
wall = {wall}
[base]
kind = "board"
foot = "foot of two rows"
[[band]]
weave = "three-rod wale"
reed = "round 3"
until = "top"
[border]
rows = ["behind 1 out", "over 2 in"]
"""
ROUND = ("", "12 1/2 in", [["0 in", "11.297 in"], ["2 in", "11.5 in"]])  # a ring of 35.49 in
OVAL = ('outline = "oval"', ["16 in", "11 in"], [["0 in", "15 in", "10 in"], ["2 in", "15 in", "10 in"]])
RECTANGLE = ('outline = "rectangle"', *OVAL[1:])
SHAPES = {"round": ROUND, "oval": OVAL, "rectangle": RECTANGLE}


def tray(shape="round", hand="right", units="in"):
    outline, base, wall = SHAPES[shape]
    return parse(TRAY.format(hand=hand, units=units, outline=outline, base=toml(base), wall=toml(wall)))


def test_what_is_stepped_off_closes():
    """44 places round 35.49 in came out a quarter of an inch too long."""
    said = board_fact(plan(tray()))
    chord_mm, angle = (float(re.search(rf"([\d.]+){unit}", said)[1]) for unit in (" mm", "°"))
    ring = 35.49 * 25.4
    round_again = 44 * 2 * math.asin(chord_mm / (ring / math.pi)) / (2 * math.pi)
    assert abs(round_again - 1) * ring < 44 * 0.05 + 0.3, "more than a rounding in every step"
    assert 44 * angle == pytest.approx(360, abs=44 * 0.005)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("units", ["in", "cm"])
def test_no_line_of_the_board_says_in_in(shape, units):
    made = plan(tray(shape, units=units))
    for line in (board_fact(made), *board_lines(made), *board.contents(made.design, "a4")["lines"]):
        assert not re.search(r"\bin in\b", line), line


@pytest.mark.parametrize("shape", SHAPES)
def test_holes_of_the_template_lie_as_far_apart_as_is_said(shape):
    drawn = template(tray(shape))
    steps = np.linalg.norm(np.roll(drawn.places, -1, axis=0) - drawn.places, axis=1)
    assert len(drawn.places) == drawn.holes.count == 44
    if shape == "round":
        assert steps == pytest.approx(np.full(44, drawn.holes.chord_mm), abs=1e-6)
    else:  # on the straights; round a corner the chord is a little shorter than the line
        assert steps.max() == pytest.approx(drawn.holes.pitch_mm, abs=0.02)
    far = np.linalg.norm(drawn.edge[:, None] - drawn.places[None], axis=2).min(axis=0)
    assert far == pytest.approx(np.full(44, drawn.holes.margin_mm), abs=0.2)


@pytest.mark.parametrize(("hand", "turns"), [("right", 1), ("left", -1)])
def test_holes_are_numbered_in_the_direction_of_work(hand, turns):
    """Whoever works to the right, seen from outside, goes against the clock seen from above."""
    (x, y), (xx, yy) = template(tray(hand=hand)).places[:2]
    assert math.copysign(1, x * yy - y * xx) == turns


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("shape", SHAPES)
def test_every_hole_is_whole_on_some_page(shape, paper):
    drawn = template(tray(shape))
    wide, high = board.room_of(paper)
    r = drawn.holes.drill_mm / 2
    for x, y in drawn.places:
        assert any(
            t.left + r <= x <= t.left + wide - r and t.top - high + r <= y <= t.top - r
            for t in board.tiles(drawn, paper)
        )


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pages_are_drawn_at_full_size(paper):
    wide, high = PAPERS[paper].wide_mm, PAPERS[paper].high_mm
    for page in board.contents(tray(), paper)["pages"]:
        box = [float(n) for n in re.search(r'viewBox="([^"]+)"', page["svg"])[1].split()]
        assert box[2:] == pytest.approx([page["wide"], page["high"]]), "a unit of the drawing is a millimetre"
        assert page["wide"] <= wide - 2 * board.MARGIN_MM + 1e-6 and page["high"] <= high - 2 * board.MARGIN_MM + 1e-6
        assert re.search(r"h101\.600", page["svg"]), "four inches to measure"


def test_the_template_is_a_pdf_and_a_woven_base_has_none():
    assert board.make(tray("oval")).startswith(b"%PDF")
    with pytest.raises(DesignError, match="woven"):
        board.make(basket())
