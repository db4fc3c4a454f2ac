"""How large a basket may come out, whatever its file makes of sizes that are each allowed."""

import time

import pytest
from strategies import basket_text

from slype.design.file.reader import parse
from slype.draw import views
from slype.errors import DesignError, Unweavable
from slype.lay import limits
from slype.lay.joins import fewest_joins
from slype.lay.limits import MOST_DRAWN, MOST_JOINS, check_drawn
from slype.lay.pitch import steady_rows
from slype.plans import planning
from slype.rest.relax import relax
from slype.weave.table import free_weave

UPRIGHT = [["0 in", "6 in"], ["2.9 m", "6 in"]]
ENDLESS = dict(ends=24, weave="pairing", reed="round 0", rows=700, wall=UPRIGHT)


def test_more_strokes_than_a_picture_shows_are_planned_but_neither_drawn_nor_settled():
    design = parse(basket_text(**ENDLESS), "tower.toml")
    plan = planning.plan(design)
    assert sum(band.rows * band.spaces for band in plan.laid.bands) > MOST_DRAWN
    for draw in (lambda: views.svg(plan, "outside"), lambda: views.painted_png(plan, "outside"), lambda: relax(design)):
        with pytest.raises(Unweavable, match=r"tower.toml, band 1: 16,800 strokes.*At most 16,000: use coarser reed"):
            draw()


def test_weavers_of_a_hand_s_breadth_on_a_great_wall_are_refused_and_not_joined_without_end():
    wall = [["0 in", "2.9 m"], ["2.9 m", "2.9 m"]]
    text = basket_text(ends=300, weave="pairing", base="2.9 m", rows=400, wall=wall, band='length = "10 cm"')
    with pytest.raises(Unweavable, match=r"band 1, length: reeds of .* would take .* joins here. Use longer reeds"):
        planning.plan(parse(text))
    assert MOST_JOINS < 10_000


def test_weavers_of_a_hand_s_breadth_in_many_blocks_are_refused_as_well():
    text = basket_text(ends=42, over=3, under=2, weavers=5, base="12 in", reed="round 2", rows=60,
                       wall=[["0 in", "12 in"], ["6 in", "13 in"]],
                       band='length = "8 in"\nblocks = { rows = 4, shift = 1 }')  # fmt: skip
    with pytest.raises(Unweavable, match=r"band 1, length: reeds of 8 in would take .* joins here"):
        planning.plan(parse(text))


def test_a_log_basket_of_fine_reed_two_feet_wide_and_high_may_be_drawn():
    wall = [["0 in", "24 in"], ["24 in", "26 in"]]
    design = parse(basket_text(ends=70, weave="pairing", base="24 in", wall=wall, reed="round 4", rows=222))
    check_drawn(design, [(band.index, band.rows, band.spaces, 1) for band in planning.plan(design).laid.bands])


def test_two_hundred_joins_are_planned_as_ever():
    plan = planning.plan(parse(basket_text(ends=24, weave="pairing", rows=60, band='length = "3 ft"')))
    assert 40 < len(plan.all_joins) < MOST_JOINS


@pytest.mark.parametrize("begin", ["cut", "folded"])
def test_joins_are_counted_as_they_are_planned_and_none_are_guessed(begin, monkeypatch):
    base = f'[base]\nbegin = "{begin}"\n[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "6 in"\n'
    text = basket_text(ends=24, weave="pairing", rows=60, band='length = "26 in"', before=base)
    plan = planning.plan(parse(text))
    for course in plan.courses:
        mine = sum(len(cut.pieces_mm) for cut in plan.cuts if cut.course is course)
        joined = mine - (1 if course.folded else len(course.begins.colours))
        assert fewest_joins(course, course.usable_mm) <= joined
    many = len(plan.joins[1].joins)
    monkeypatch.setattr(limits, "MOST_JOINS", many)
    assert len(planning.plan(parse(text)).joins[1].joins) == many
    monkeypatch.setattr(limits, "MOST_JOINS", many - 1)
    with pytest.raises(Unweavable, match=f"would take {many} joins here"):
        planning.plan(parse(text))


def test_many_weavers_of_a_short_stroke_have_room_on_a_great_ring():
    assert steady_rows(free_weave(((3, 3),), 40, "round"), 200).pitch == 20  # each lies on one face of each spoke


def test_a_pattern_as_long_as_the_ring_is_planned_in_seconds_and_one_that_nobody_could_follow_is_refused():
    began = time.process_time()
    assert steady_rows(free_weave(((2, 1), (1, 3), (4, 2)) * 4, 12, "round"), 61).pitch > 5
    assert time.process_time() - began < 5
    with pytest.raises(DesignError, match=r"repeat too late to be followed\. Use fewer weavers"):
        free_weave(((1, 1),), 300, "round")
    assert free_weave(((1, 1),), 300, "back").weavers == 300
