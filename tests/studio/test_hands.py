"""Hands on the studio's page: what is dragged with a mouse or a finger, and the keys that do the same.

Each test looks at the design file's text as well as at the page. Fingers are touches as the browser gets them from a
screen (the protocol's own touch events), so that scrolling and dragging have to be told apart as on a phone.
"""

from __future__ import annotations

import pytest
from bands_in_hand import design_of, dots_per_mm, grip, hold, inches, settled, stack, state, stays, weaves
from page_hands import FAST, SLOWLY, SMALL, drag, example, middle, part, pot, until
from studio_run import wait_until


@pytest.fixture(scope="module")
def run(stacked):
    return stacked


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
