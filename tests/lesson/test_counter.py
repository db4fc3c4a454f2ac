"""The lesson's counter for the bench: keys, pedals, a headset, and its place through reload and crash."""

from __future__ import annotations

import contextlib
import random

import pytest
from browser import wait_until
from lesson_page import AT, BESIDE, count

from slype.order.moments import moments
from slype.tell.moments import moves_alone


def test_the_counter_goes_on_with_keys_and_pedals(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.click("[data-tab=count]")
    assert count(page) == "1. Cut and bundle" and "Cut away from you" in page.inner_text("#next")
    page.keyboard.press("Space")
    assert count(page) == "2. Soak" and page.inner_text(".before summary >> nth=0") == "All of step 2: Soak"
    page.keyboard.press("Space")
    assert count(page) == "spoke 1 of 16"
    page.click("[data-do=undo]")
    assert count(page) == "2. Soak", "what is beside the basket is taken back as well"
    page.keyboard.press("Space")
    for key in ("Space", "Enter", "PageDown", "ArrowRight"):
        page.keyboard.press(key)
    assert count(page) == "spoke 5 of 16"
    page.keyboard.press("PageUp")
    assert count(page) == "spoke 4 of 16"
    page.click("[data-do=undo]")
    page.keyboard.press("Space")  # a pedal's, though Undo was touched last
    assert count(page) == "spoke 4 of 16"


@pytest.mark.parametrize("name, hand", [("estuary", "right"), ("posy", "left")])
def test_after_each_of_thirty_random_steps_what_comes_next_is_told_rightly(hand_held, files, name, hand):
    """As a student would: with the lesson file alone, counting by one thing and another; held against the order of
    work itself."""
    lesson, file = files[name]
    page = hand_held(file, wait="ready")
    page.evaluate("hand => slypeLesson.choose({hand})", hand)
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    made, chance, place = lesson.by_hand[hand], random.Random(30), 0
    order = moments(made.laid)
    said = moves_alone(made, made.laid, order)
    row = list(zip(order.part.tolist(), order.block.tolist(), order.row.tolist(), strict=True))
    for _ in range(30):
        unit = chance.choice(["stroke", "stroke", "row"])
        page.evaluate("unit => slypeLesson.choose({unit})", unit)
        page.keyboard.press("PageDown")
        place += 1
        while unit == "row" and place < len(order) and row[place] == row[place - 1]:
            place += 1
        assert page.inner_text("#next") == said[place]


def test_what_is_done_beside_the_basket_is_told_before_the_next_move_and_so_are_the_bundles(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    steps = demo.words["chapters"]["right"]
    at = next(i for i, each in enumerate(steps) if each["bundles"] and each["first"] and not steps[i - 1]["first"])
    page.evaluate(AT, steps[at]["first"] - 1)
    page.evaluate("number => slypeLesson.places.did(number - 1)", steps[at - 1]["number"])
    page.click("[data-tab=count]")
    assert count(page) == f"{steps[at - 1]['number']}. {steps[at - 1]['title']}"
    told = page.locator(".before > details > summary").all_inner_texts()
    assert f"All of step {steps[at - 1]['number']}: {steps[at - 1]['title']}" in told
    page.keyboard.press("Space")
    (bundle,) = steps[at]["bundles"]
    assert f"Take bundle {bundle}." in page.inner_text("#done")
    page.click(".before > details > summary >> nth=-1")
    assert f"Take bundle {bundle}" in page.inner_text(".before")


def test_it_warns_before_a_join_a_new_colour_and_the_end_of_a_band(hand_held, demo, demo_file):
    made = demo.by_hand["right"]
    found = demo.words["warnings"]
    assert sum(kind == "join" for _, kind in found) == len(made.all_joins)
    assert sum(kind == "end" for _, kind in found) == len(made.laid.bands)
    page = hand_held(demo_file, wait="ready")
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    for kind, said in (("join", "a join in"), ("colour", "a new color, "), ("end", "the end of this band")):
        at = next(moment for moment, each in found if each == kind)
        page.evaluate(AT, at - 2)
        page.evaluate("slypeLesson.draw()")
        assert any(
            line.startswith("In 3 moves: ") and said in line for line in page.locator(".warnings p").all_inner_texts()
        )
        page.keyboard.press("PageDown")
        page.keyboard.press("PageDown")
        assert any(line.startswith("Now: ") and said in line for line in page.locator(".warnings p").all_inner_texts())


FILL = """() => { localStorage.clear(); let size = 1 << 22;
  for (let i = 0; size > 0; i++) {
    try { localStorage.setItem('x' + i, 'y'.repeat(size)); } catch { size >>= 1; }
  } }"""


def test_every_basket_keeps_its_place_through_reload_a_killed_tab_and_a_full_store(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    for _ in range(5):
        page.keyboard.press("PageDown")
    page.click("[data-do=bench-more]")
    page.select_option("[data-set=basket]", "another")
    page.evaluate(BESIDE)
    page.keyboard.press("PageDown")
    assert count(page) == "spoke 2 of 16"
    page.reload()
    wait_until(page, "document.documentElement.dataset.ready === 'yes'")
    assert count(page) == "spoke 2 of 16"
    kept = page.url
    other = page.context.new_page()
    with contextlib.suppress(Exception):  # the browser says that it has crashed
        page.goto("chrome://crash", timeout=2000)
    page.context.said.clear()
    other.goto(kept.split("#")[0])
    wait_until(other, "document.documentElement.dataset.ready === 'yes'")
    other.click("[data-tab=count]")
    assert count(other) == "spoke 2 of 16"
    assert other.evaluate("slypeLesson.places.baskets.map((each) => each.done)") == [5, 1]
    # A store that was full before, and takes nothing of the lesson's.
    other.evaluate(FILL)
    other.keyboard.press("PageDown")
    assert "keeps nothing" in other.inner_text(".trouble")
    other.reload()
    wait_until(other, "document.documentElement.dataset.ready === 'yes'")
    assert count(other) == "spoke 3 of 16"


AWAKE = """window.held = [];
Object.defineProperty(navigator, 'wakeLock', {value: {request: async (kind) => { window.held.push(kind);
  return {released: false, release() { this.released = true; window.held.push('released'); }}; }}});"""


def test_the_screen_is_kept_awake_at_the_bench_and_it_is_said_where_it_is_not(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready", init=AWAKE)
    page.click("[data-tab=count]")
    wait_until(page, "window.held.length === 1")
    page.click("[data-tab=more]")
    assert page.evaluate("window.held") == ["screen", "released"]
    page = hand_held(demo_file, wait="ready", init="delete Navigator.prototype.wakeLock")
    page.click("[data-tab=count]")
    wait_until(page, "document.querySelector('.bench .hint')?.textContent.includes('cannot keep the screen awake')")


def test_a_headset_is_listened_to_once_it_is_asked_for(hand_held, demo_file):
    listen = """window.does = {};
    MediaSession.prototype.setActionHandler = (name, does) => { window.does[name] = does; };"""
    page = hand_held(demo_file, wait="ready", init=listen)
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    page.click("[data-do=bench-more]")
    page.click("[data-do=headset]")
    wait_until(page, "slypeLesson.headset.on")
    page.evaluate("window.does.pause()")
    page.evaluate("window.does.nexttrack()")
    assert count(page) == "spoke 3 of 16"
    page.evaluate("window.does.previoustrack()")
    assert count(page) == "spoke 2 of 16"
