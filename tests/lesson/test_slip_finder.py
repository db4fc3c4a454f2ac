"""The slip finder of the lesson: tapped in as it lies, named, and unwoven."""

from __future__ import annotations

import numpy as np
from lesson_page import AT

from slype.order.kinds import ACTS
from slype.weave.slips import Slip, Woven, piles, strokes_made


def test_a_slip_tapped_in_is_named_with_how_far_to_unweave(hand_held, demo, demo_file):
    """A weaver of the colours that go round the side went over one spoke too many, ten strokes ago."""
    made, order = demo.by_hand["right"], demo.order
    band = max(made.laid.bands, key=lambda each: len(set(each.colours)))
    strokes = np.flatnonzero((order.band == band.index) & (order.act == ACTS.index("stroke"))) + 1
    done = 3 * band.spaces
    colours = [order.colours.index(each) for each in band.colours]
    woven = Woven(band.band.weave, band.spaces, tuple(colours), band.band.start)
    wrong = piles(woven, strokes_made(woven, done, Slip("over more", done - 10)))
    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, int(strokes[done - 1]))
    page.click("[data-tab=slip]")
    for spoke, down in page.evaluate(
        "[...document.querySelectorAll('[data-at]')].map((cell) => cell.dataset.at.split('.').map(Number))"
    ):
        right = piles(woven, strokes_made(woven, done))[spoke][down]
        if wrong[spoke][down] != right:
            page.click(f"[data-at='{spoke}.{down}']")
            if wrong[spoke][down][0] != right[0]:
                page.click(f"[data-do=slip-put][data-colour='{wrong[spoke][down][0]}']")
            else:
                page.click(f"[data-do=slip-put][data-over='{wrong[spoke][down][1]}']")
    answers = page.locator(".answers li").all_inner_texts()
    named = [i for i, each in enumerate(answers) if "went in front of one spoke too many" in each]
    assert named and "Unweave 10 strokes" in answers[named[0]], answers
    page.click(f".answers li >> nth={named[0]} >> [data-do=slip-unwoven]")
    assert page.evaluate("slypeLesson.places.basket.done") == int(strokes[done - 10]) - 1, "the counter goes back too"


def test_a_slip_of_the_border_is_named_from_where_the_tips_lie(hand_held, demo, demo_file):
    order = demo.order
    moves = np.flatnonzero(order.act == ACTS.index("border")) + 1
    done = int(moves[7])
    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, done)
    page.click("[data-tab=slip]")
    end = int(order.end[done - 3])  # two moves before the last
    past = f"[data-set=slip-tip][data-what=past][data-end='{end}']"
    right = int(page.input_value(past))
    page.select_option(past, str(right + 1))
    first = page.locator(".answers li").all_inner_texts()[0]
    assert f"Spoke {end + 1} went past one spoke too many." in first and "Take back 3 moves" in first
    page.select_option(past, str(right))
    assert "Nothing is marked" in page.inner_text(".answers")


def test_before_anything_is_laid_the_slips_are_those_of_the_step_in_hand(hand_held, demo_file):
    """Nothing is cut yet: the step after, which lays the first spokes, is not where its maker is."""
    page = hand_held(demo_file, wait="ready")
    page.click("[data-tab=count]")
    number, title = page.inner_text("#done strong").split(". ", 1)
    page.click("[data-tab=slip]")
    assert f"Your place is at {number}. {title}" in " ".join(page.inner_text(".slip").split())
