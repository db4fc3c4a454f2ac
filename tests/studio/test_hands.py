"""Hands on the studio's page: what is dragged with a mouse or a finger, and the keys that do the same.

Each test looks at the design file's text as well as at the page. Fingers are touches as the browser gets them from a
screen (the protocol's own touch events), so that scrolling and dragging have to be told apart as on a phone.
"""

from __future__ import annotations

import io
import time
import tomllib

import numpy as np
import pytest
from page_hands import FAST, HAND, SLOWLY, SMALL, drag, example, middle, part, pot, until
from PIL import Image
from studio_run import wait_until

from slype.quantity import parse_length

PHONE = {"has_touch": True, "is_mobile": True}


def design_of(run, basket) -> dict:
    return tomllib.loads(run.text(basket))


def weaves(run, basket) -> list[str]:
    """What each band is, in the file's order."""
    bands = design_of(run, basket)["band"]
    return [f"{band.get('where', 'side')} {band['weave']} {band.get('rows', '')}" for band in bands]


def stack(run) -> str:
    """A basket whose wall has four bands, all different."""
    text = run.text(pot(run))
    more = (("second", "four-rod wale", 3), ("third", "pairing", 4), ("fourth", "three-rod wale", 5))
    bands = "".join(
        f'[[band]]\n# {words}\nweave = "{weave}"\nreed = "round 2"\nrows = {rows}\n' for words, weave, rows in more
    )
    changed = text.replace("[border]", bands + "[border]")
    stack.made += 1
    return run.open(text=f"{changed}# stack {stack.made}\n", name=f"stack {stack.made}")["id"]


stack.made = 0


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


def state(run, basket) -> tuple:
    """Text, and what undo would take back."""
    return run.text(basket), run.get(f"/api/baskets/{basket}").json["undo"]


def stays(run, basket, was, ms=500):
    """The basket is as it was, now and a moment later."""
    assert not wait_until(lambda: state(run, basket) != was, ms / 1000), state(run, basket)


def grip(index: int) -> str:
    return f'li.band[data-band="{index}"] .grip'


def names(page) -> list[str]:
    return page.locator("li.band .bandname b").all_inner_texts()


# Bands ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("pace", [SLOWLY, FAST], ids=["slowly", "fast"])
def test_a_band_is_dragged_to_another_place_and_one_undo_brings_it_back(run, visit, pace):
    basket = stack(run)
    page = visit(basket, *SMALL)
    before = run.text(basket)
    drag(page, middle(page, grip(0)), middle(page, grip(2)), pace)
    moved = ["side four-rod wale 3", "side pairing 4", "side three-rod wale 6", "side three-rod wale 5"]
    assert wait_until(lambda: weaves(run, basket) == moved), weaves(run, basket)
    assert run.text(basket).index("# second") < run.text(basket).index("# third")  # comments go along
    until(page, "document.querySelector('li.band[data-band=\"0\"] b').textContent === '1 four-rod wale'")
    assert names(page) == ["4 three-rod wale", "3 three-rod wale", "2 pairing", "1 four-rod wale"]
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)
    assert run.get(f"/api/baskets/{basket}").json["undo"] is None


def test_escape_in_the_middle_of_a_bands_drag_leaves_it_where_it_was(run, visit):
    basket = stack(run)
    page = visit(basket, *SMALL)
    was = state(run, basket)
    drag(page, middle(page, grip(0)), middle(page, grip(2)), drop=False)
    page.wait_for_selector("li.band.drop")
    page.keyboard.press("Escape")
    page.wait_for_selector("li.band.drop", state="detached")
    page.mouse.move(*middle(page, grip(3)))
    page.mouse.up()
    stays(run, basket, was)


def test_a_band_dropped_beside_the_stack_or_on_another_part_stays(run, visit):
    basket = example(run)
    page = visit(basket, 1440, 1800)
    was = state(run, basket)
    first = page.evaluate("Number(document.querySelector('ol[data-where=side] li:last-child').dataset.band)")
    assert first > 0
    canvas = page.locator("canvas").bounding_box()
    drag(page, middle(page, grip(first)), (canvas["x"] + 200, canvas["y"] + 300), FAST)
    drag(page, middle(page, grip(first)), middle(page, grip(first - 1)), FAST)
    stays(run, basket, was)


def test_keys_move_a_band_and_keep_hold_of_it(run, visit):
    basket = stack(run)
    page = visit(basket, *SMALL)
    page.locator('li.band[data-band="0"] .bandname').focus()
    page.keyboard.press("Alt+ArrowUp")
    until(page, "document.activeElement.closest('li.band')?.dataset.band === '1'")
    page.keyboard.press("Alt+ArrowUp")
    assert wait_until(lambda: weaves(run, basket)[2] == "side three-rod wale 6"), weaves(run, basket)
    until(page, "document.activeElement.closest('li.band')?.dataset.band === '2'")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Move up").focus()
    page.keyboard.press("Enter")
    assert wait_until(lambda: weaves(run, basket)[3] == "side three-rod wale 6"), weaves(run, basket)
    until(page, "document.activeElement.textContent === 'Move up'")
    until(page, "document.activeElement.closest('li.band')?.dataset.band === '3'")


def test_two_quick_presses_move_one_band_by_two(run, visit):
    basket = stack(run)
    page = visit(basket, *SMALL)
    page.locator('li.band[data-band="0"] .bandname').click()
    up = page.get_by_role("button", name="Move up")
    up.evaluate("button => { button.click(); button.click(); }")
    assert wait_until(lambda: weaves(run, basket)[2] == "side three-rod wale 6"), weaves(run, basket)


def test_two_quick_presses_of_remove_take_out_one_band(run, visit):
    basket = stack(run)
    page = visit(basket, *SMALL)
    page.locator('li.band[data-band="1"] .bandname').click()
    page.locator("li.band.open .danger").evaluate("button => { button.click(); button.click(); }")
    assert wait_until(lambda: len(weaves(run, basket)) == 3)
    stays(run, basket, state(run, basket))


# Points of the shape -------------------------------------------------------------------------------------------


def hold(index: int) -> str:
    return f'.profile .hold[data-hold="{index}"]'


@pytest.mark.parametrize("pace", [SLOWLY, FAST], ids=["slowly", "fast"])
def test_a_point_of_the_wall_is_dragged_and_one_undo_brings_it_back(run, visit, pace):
    basket = pot(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    before = run.text(basket)
    (x, y), scale = middle(page, hold(1)), dots_per_mm(page)
    drag(page, (x, y), (x + 25.4 * scale / 2, y - 25.4 * scale), pace)
    (foot, (high, wide)) = wait_until(lambda: run.text(basket) != before and settled(run, basket))["form"]["wall"]
    assert foot == ["0 in", "6 in"]
    assert inches(high) == pytest.approx(4, abs=0.13) and inches(wide) == pytest.approx(9, abs=0.13)
    until(page, f"document.getElementById('f-form-wall-1-0').value === '{high}'")
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)
    assert run.get(f"/api/baskets/{basket}").json["undo"] is None
    until(page, "document.getElementById('f-form-wall-1-0').value === '3 in'")


@pytest.mark.parametrize("name", ["round", "oval"])
def test_the_bases_edge_is_dragged_and_base_and_wall_keep_together(run, visit, name):
    basket = pot(run) if name == "round" else oval(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    before = run.text(basket)
    (x, y), scale = middle(page, hold(0)), dots_per_mm(page)
    drag(page, (x, y), (x + 25.4 * scale / 2, y - 40))
    form = wait_until(lambda: run.text(basket) != before and settled(run, basket))["form"]
    if name == "round":
        assert form["base"] == form["wall"][0][1] and inches(form["base"]) == pytest.approx(7, abs=0.13)
    else:
        assert form["base"] == form["wall"][0][1:] and inches(form["base"][0]) == pytest.approx(11, abs=0.13)
        assert form["base"][1] == "7 in"
        page.get_by_role("button", name="seen across its width").click()
        (x, y), scale = middle(page, hold(0)), dots_per_mm(page)
        was = run.text(basket)
        drag(page, (x, y), (x - 25.4 * scale / 2, y), FAST)

        def arrived():  # the first half of a quick drag is a change too, and may be answered before the second
            form = settled(run, basket)["form"]
            return form if inches(form["base"][1]) == pytest.approx(6, abs=0.13) else None

        form = wait_until(arrived)
        assert form and form["base"] == form["wall"][0][1:], run.text(basket)
        page.get_by_role("button", name="Undo").click()
        assert wait_until(lambda: run.text(basket) == was)
    assert inches(form["wall"][0][0]) == 0  # however high the hand went
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)


def oval(run) -> str:
    basket = pot(run)
    text = run.text(basket)
    text = text.replace('base = "6 in"', 'outline = "oval"\nbase = ["10 in", "7 in"]')
    wall = '[["0 in", "10 in", "7 in"], ["3 in", "12 in", "9 in"]]'
    text = text.replace('[["0 in", "6 in"], ["3 in", "8 in"]]', wall)
    text = text.replace("ends = 24", "ends = 36")
    return run.open(text=text + "# oval\n", name=f"oval of {basket}")["id"]


def dots_per_mm(page) -> float:
    return page.evaluate(
        "document.querySelector('.profile svg').getBoundingClientRect().width / 300"
        " * Number(document.querySelector('.profile').dataset.scale)"
    )


def settled(run, basket) -> dict:
    """The design once it has not changed for a while."""
    last, end = run.text(basket), time.monotonic() + 0.6
    while time.monotonic() < end:
        time.sleep(0.05)
        now = run.text(basket)
        if now != last:
            last, end = now, time.monotonic() + 0.6
    return tomllib.loads(last)


def inches(text: str) -> float:
    return parse_length(text) / 25.4


def test_escape_in_the_middle_of_a_points_drag_leaves_the_shape_as_it_was(run, visit):
    basket = pot(run)
    run.change(basket, {"set": ["basket", "title"], "to": "Before"})
    page = visit(basket, *SMALL)
    part(page, "Shape")
    was = state(run, basket)
    x, y = middle(page, hold(1))
    drag(page, (x, y), (x + 40, y - 30), drop=False)
    assert wait_until(lambda: run.text(basket) != was[0])  # the picture follows the hand
    page.keyboard.press("Escape")
    assert wait_until(lambda: state(run, basket) == was), state(run, basket)
    page.mouse.move(x + 60, y - 10)
    page.mouse.up()
    stays(run, basket, was)
    until(page, "document.getElementById('f-form-wall-1-0').value === '3 in'")
    assert middle(page, hold(1)) == pytest.approx((x, y), abs=1)


def test_a_click_on_a_point_or_a_grip_changes_nothing(run, visit):
    basket = stack(run)
    page = visit(basket, *SMALL)
    was = state(run, basket)
    x, y = middle(page, grip(1))
    drag(page, (x, y), (x + 1, y + 1), FAST)
    part(page, "Shape")
    x, y = middle(page, hold(1))
    drag(page, (x, y), (x + 1, y + 1), FAST)
    stays(run, basket, was)


def test_every_quick_arrow_on_a_point_counts_and_one_undo_takes_them_back(run, visit):
    basket = pot(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    before = run.text(basket)
    page.locator(hold(1)).focus()
    page.evaluate(
        "for (let k = 0; k < 8; k++) document.activeElement.dispatchEvent("
        "new KeyboardEvent('keydown', {key: 'ArrowUp', bubbles: true, cancelable: true}))"
    )
    assert wait_until(lambda: design_of(run, basket)["form"]["wall"][1] == ["4 in", "8 in"]), run.text(basket)
    page.keyboard.press("ArrowLeft")
    assert wait_until(lambda: design_of(run, basket)["form"]["wall"][1] == ["4 in", "7 7/8 in"]), run.text(basket)
    assert page.evaluate("document.activeElement.dataset.hold") == "1"
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)


# Fingers -------------------------------------------------------------------------------------------------------


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
