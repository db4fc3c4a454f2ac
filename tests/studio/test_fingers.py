"""Fingers on the page's glass: bands and points dragged, the basket zoomed and panned, nothing moved by resting."""

from __future__ import annotations

import io

import numpy as np
import pytest
from bands_in_hand import dots_per_mm, grip, hold, inches, settled, stack, state, stays, weaves
from page_hands import HAND, SMALL, middle, pot
from PIL import Image
from studio_run import wait_until

PHONE = {"has_touch": True, "is_mobile": True}


@pytest.fixture(scope="module")
def run(stacked):
    return stacked


class Fingers:
    """Fingers on the page's glass."""

    def __init__(self, page) -> None:
        self.page, self.line = page, page.context.new_cdp_session(page)

    def send(self, kind: str, *points) -> None:
        touches = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
        self.line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})

    def drag(self, *ways, rest: int = 0, steps: int = 16, ms: int = 16, lift=True) -> None:
        """Each way (start, end) is one finger's; all move together, after they have rested so long (ms)."""
        self.send("touchStart", *(start for start, _ in ways))
        if rest:
            self.page.wait_for_timeout(rest)
        for k in range(1, steps + 1):
            self.send("touchMove", *(tuple(a + (b - a) * k / steps for a, b in zip(*way, strict=True)) for way in ways))
            self.page.wait_for_timeout(ms)
        if lift:
            self.send("touchEnd")


def phone(visit, basket, tab_name: str):
    page = visit(basket, *HAND, **PHONE)
    page.locator("#tabs button", has_text=tab_name).click()
    return page, Fingers(page)


def test_a_finger_that_rests_on_the_grip_drags_the_band(run, visit):
    basket = stack(run)
    page, fingers = phone(visit, basket, "Bands")
    before = run.text(basket)
    page.locator(grip(0)).scroll_into_view_if_needed()
    page.locator(grip(2)).scroll_into_view_if_needed()
    fingers.drag((middle(page, grip(0)), middle(page, grip(2))), rest=1000)
    assert wait_until(lambda: weaves(run, basket)[2] == "side three-rod wale 6"), weaves(run, basket)
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)


def test_scrolling_and_resting_on_a_phone_drag_nothing(run, visit):
    basket = stack(run)
    page, fingers = phone(visit, basket, "Bands")
    was = state(run, basket)
    where = "[...document.querySelectorAll('*')].reduce((n, e) => n + e.scrollTop, 0)"
    scrolled = page.evaluate(where)
    x, y = middle(page, grip(1))
    fingers.drag(((x, y), (x, y - 220)), steps=8)  # a quick stroke over the grip scrolls
    page.wait_for_timeout(300)
    assert page.evaluate(where) != scrolled
    x, y = middle(page, grip(1))
    fingers.drag(((x, y), (x + 2, y + 1)), rest=900, steps=3)  # a long press
    page.locator("#tabs button", has_text="Shape").click()
    x, y = middle(page, hold(1))
    fingers.drag(((x, y), (x + 2, y + 2)), rest=900, steps=3)
    box = page.locator(".profile svg").bounding_box()
    scrolled = page.evaluate(where)
    fingers.drag(((box["x"] + 20, box["y"] + 60), (box["x"] + 22, box["y"] - 160)), steps=8)  # beside the points
    page.wait_for_timeout(300)
    assert page.evaluate(where) != scrolled
    stays(run, basket, was)


def test_a_finger_drags_a_point_of_the_wall_and_of_the_base(run, visit):
    basket = pot(run)
    page, fingers = phone(visit, basket, "Shape")
    before = run.text(basket)
    (x, y), scale = middle(page, hold(1)), dots_per_mm(page)
    fingers.drag(((x, y), (x - 25.4 * scale / 2, y - 12.7 * scale)))
    high, wide = wait_until(lambda: run.text(basket) != before and settled(run, basket))["form"]["wall"][1]
    assert inches(high) == pytest.approx(3.5, abs=0.13) and inches(wide) == pytest.approx(7, abs=0.13)
    between = run.text(basket)
    (x, y), scale = middle(page, hold(0)), dots_per_mm(page)
    fingers.drag(((x, y), (x - 25.4 * scale / 2, y)))
    form = wait_until(lambda: run.text(basket) != between and settled(run, basket))["form"]
    assert inches(form["base"]) == pytest.approx(5, abs=0.13) and form["base"] == form["wall"][0][1]
    for text in (between, before):
        page.get_by_role("button", name="Undo").click()
        assert wait_until(lambda text=text: run.text(basket) == text)


def test_a_second_finger_ends_a_points_drag_and_all_is_as_before(run, visit):
    basket = pot(run)
    page, fingers = phone(visit, basket, "Shape")
    was = state(run, basket)
    x, y = middle(page, hold(1))
    fingers.drag(((x, y), (x - 30, y - 20)), lift=False)
    assert wait_until(lambda: run.text(basket) != was[0])
    fingers.send("touchStart", (x - 30, y - 20), (x - 120, y + 20))
    fingers.send("touchEnd")
    assert wait_until(lambda: state(run, basket) == was), state(run, basket)


def poses(page) -> None:
    page.evaluate(
        "window.pose = {around: 0, up: 0, zoom: 1, pan: [0, 0]};"
        "document.querySelector('canvas').addEventListener('turned', ({detail}) => window.pose = detail)"
    )


def where_it_is(page) -> tuple[float, float, float]:
    """The basket's middle on the screen, in dots, and its breadth, from the picture: what differs from the edge."""
    page.wait_for_timeout(400)
    box = page.locator("canvas").bounding_box()
    image = Image.open(io.BytesIO(page.locator("canvas").screenshot())).convert("RGB")
    pixels = np.asarray(image).astype(int)
    there = np.abs(pixels - pixels[pixels.shape[0] // 2, 3]).sum(axis=2) > 90
    rows, columns = np.nonzero(there)
    grain = image.width / box["width"]
    return np.median(columns) / grain, np.median(rows) / grain, np.ptp(columns) / grain


def test_two_fingers_zoom_and_pan_the_basket_and_change_nothing(run, visit):
    basket = pot(run)
    page = visit(basket, *HAND, drawn=True, **PHONE)
    fingers = Fingers(page)
    was = state(run, basket)
    poses(page)
    x, y = middle(page, "canvas")
    fingers.drag(((x - 30, y), (x - 70, y)), ((x + 30, y), (x + 70, y)))
    assert page.evaluate("window.pose.zoom") == pytest.approx(140 / 60, rel=0.05)
    fingers.drag(((x - 70, y), (x - 30, y)), ((x + 70, y), (x + 30, y)))
    at = where_it_is(page)
    fingers.drag(((x - 30, y), (x + 10, y + 25)), ((x + 30, y), (x + 70, y + 25)))
    pose = page.evaluate("window.pose")
    assert pose["zoom"] == pytest.approx(1, rel=0.05) and pose["around"] == pytest.approx(0, abs=0.02)
    moved = where_it_is(page)
    assert moved[0] - at[0] == pytest.approx(40, abs=9)  # the basket goes with the fingers
    assert moved[1] - at[1] == pytest.approx(25, abs=9)
    assert page.locator("dialog").count() == 0
    stays(run, basket, was)


def test_two_fingers_set_down_and_lifted_or_one_that_rests_pick_no_reed(run, visit):
    basket = pot(run)
    page = visit(basket, *HAND, **PHONE)
    fingers = Fingers(page)
    poses(page)
    x, y = middle(page, "canvas")
    fingers.drag(((x - 30, y), (x - 30, y)), ((x + 30, y), (x + 30, y)), steps=2)
    fingers.drag(((x, y), (x + 3, y + 2)), rest=900, steps=4)  # trembling
    fingers.drag(((x + 3, y + 2), (x, y)), rest=900, steps=4)
    page.wait_for_timeout(500)
    assert page.evaluate("window.pose.around") == 0
    assert page.locator("dialog").count() == 0
    fingers.drag(((x, y), (x + 60, y)))
    assert page.evaluate("window.pose.around") < -0.2


def test_keys_turn_zoom_and_slide_the_basket(run, visit):
    basket = pot(run)
    page = visit(basket, *SMALL)
    was = state(run, basket)
    poses(page)
    page.locator("canvas").focus()
    for key in ("ArrowRight", "ArrowUp", "+", "Shift+ArrowRight", "Shift+ArrowUp"):
        page.keyboard.press(key)
    pose = page.evaluate("window.pose")
    assert pose["around"] and pose["zoom"] > 1
    page.keyboard.press("Home")
    was_at = page.evaluate("window.pose.pan")
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    right, up = page.evaluate("window.pose.pan")
    assert (right - was_at[0], up - was_at[1]) == pytest.approx((0.15, -0.05))  # signs as under two fingers
    stays(run, basket, was)
