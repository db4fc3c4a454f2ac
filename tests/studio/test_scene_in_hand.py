"""The basket in the round under a finger: reeds picked, the basket turned and zoomed, its eye kept."""

from __future__ import annotations

import numpy as np
from browser import wait_until
from scene_shown import dots, of_hue


def test_a_click_on_a_rust_reed_picks_a_rust_reed_of_a_band_that_has_rust(opened, bright):
    page = opened(width=324, height=240)
    picture = dots(page)
    rust = of_hue(picture, bright.palette["rust"])
    # Amid rust, so that no edge of a neighbour is meant.
    inner = rust & np.roll(rust, 1, 0) & np.roll(rust, -1, 0) & np.roll(rust, 1, 1) & np.roll(rust, -1, 1)
    places = np.argwhere(inner)
    assert len(places) > 200
    some = places[np.random.default_rng(5).choice(len(places), 40, replace=False)]
    for row, column in some:
        page.mouse.click(int(column), int(row))
    picked = page.evaluate("picked.map((hit) => hit.strand)")
    assert len(picked) == len(some)
    right = [each for each in picked if each and each["colour"] == "rust"]
    assert len(right) >= 0.95 * len(some)
    with_rust = {i for i, band in enumerate(bright.bands) if "rust" in str(band.colours)}
    assert {each["band"] for each in right} <= with_rust
    assert 0 in {each["band"] for each in right}


def test_a_click_on_the_table_picks_nothing(opened):
    page = opened(drawn=False, lit=False)
    page.mouse.click(4, 4)
    assert page.evaluate("picked.map((hit) => [hit.strand, hit.index])") == [[None, -1]]


def test_what_is_not_laid_yet_is_not_picked(opened, bright):
    page = opened("timed", lit=False)
    rows, columns = np.nonzero(of_hue(dots(page), bright.palette["rust"]))
    page.evaluate("scene.moment(1)")
    page.mouse.click(int(columns[len(columns) // 2]), int(rows[len(rows) // 2]))
    assert page.evaluate("picked[0].strand?.colour") != "rust"


def test_a_drag_turns_and_does_not_pick(opened):
    page = opened(lit=False)
    before = dots(page).astype(int)
    page.mouse.move(50, 100)
    page.mouse.down()
    page.mouse.move(170, 100, steps=4)
    page.mouse.up()
    assert page.evaluate("picked.length") == 0
    assert page.evaluate("Math.abs(scene.turntable.pose.around)") > 0.3
    assert np.abs(dots(page).astype(int) - before).mean() > 3


def test_keys_turn_and_zoom_and_home_goes_back(opened):
    page = opened(drawn=False, lit=False)
    start = page.evaluate("scene.turntable.pose")
    page.focus("canvas")
    for key in ("ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    moved = page.evaluate("scene.turntable.pose")
    assert moved["around"] != start["around"] and moved["up"] > start["up"] and moved["zoom"] > start["zoom"]
    page.keyboard.press("Home")
    assert page.evaluate("scene.turntable.pose") == start


def test_another_form_of_the_same_basket_keeps_the_eye(opened):
    page = opened(drawn=False, lit=False)
    page.focus("canvas")
    page.keyboard.press("ArrowLeft")
    pose, far = page.evaluate("[scene.turntable.pose, scene.far]")
    page.evaluate("load('relaxed')")
    wait_until(page, "drawn.at(-1).form === 'relaxed'")
    assert page.evaluate("[scene.turntable.pose, scene.far]") == [pose, far]
    assert page.evaluate("drawn.at(-1).revision") == 3
