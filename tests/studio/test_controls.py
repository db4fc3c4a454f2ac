"""Every control does what it says: nothing moves from under the hand, no choice is a dead end, a phone can do all.

One visit makes many checks, as a visit is what costs time here.
"""

from __future__ import annotations

import re

import pytest
from desk import open_band, soon, type_in
from page_hands import HAND, part, until

from slype.design.starters import FIRSTS

# The border --------------------------------------------------------------------------------------------------------


def test_every_border_shows_its_moves_and_lets_them_be_changed(desk):
    page = desk.lay_out()
    card = page.locator("details.edge")
    assert card.locator(".moves-told li").all_inner_texts() == ["behind 1 out", "over 2, behind 1 out"]
    card.get_by_role("button", name="Change these moves").click()
    field = card.get_by_label("move 2", exact=True)
    field.fill("over 1, behind 1 out")
    field.press("Enter")
    rows = ["behind 1 out", "over 1, behind 1 out"]
    assert soon(lambda: desk.said["border"] == {"rows": rows}), desk.said["border"]
    card.locator("select").select_option("trac behind 1, over 1")
    assert soon(lambda: desk.said["border"] == {"kind": "trac behind 1, over 1"})
    card.locator("select").select_option("")  # moves of my own
    assert soon(lambda: desk.said["border"] == {"rows": ["behind 1, over 1 in"]})
    part(page, "Shape")
    page.get_by_role("button", name="Add a foot").click()
    foot = page.locator('details.card[data-key="foot"]')
    foot.get_by_role("button", name="Change these moves").click()
    assert soon(lambda: desk.said["foot"]["border"] == ["over 1, behind 1 out"])
    foot.get_by_label("move 1 of the foot", exact=True).wait_for()


# What follows must follow --------------------------------------------------------------------------------------------


def test_more_ends_in_a_new_basket_leave_nothing_to_mend_in_its_base(desk):
    page = desk.lay_out()
    part(page, "Shape")
    type_in(page, "standing ends", "32")
    assert soon(lambda: [band.get("groups") for band in desk.said["band"][:2]] == [8, 4])
    until(page, "document.querySelector('#news').textContent.includes('groups of 8')")
    part(page, "Watch out")
    assert not re.search("first groups|divide into groups|arms of the cross", page.locator("#pane").inner_text())


def test_only_one_band_fills_what_is_left_whichever_is_told_to(desk):
    page = desk.lay_out()
    open_band(page, 4)
    page.locator("li.band.open").get_by_text("to the top", exact=True).click()
    assert soon(lambda: desk.said["band"][4].get("until") == "top")
    rows = desk.said["band"][5]["rows"]
    assert rows == 9  # as many as it had
    page.locator("li.band.open").get_by_role("button", name="Copy above").click()
    assert soon(lambda: len(desk.said["band"]) == 7)
    bands = desk.said["band"]
    assert bands[5]["until"] == "top" and bands[4]["rows"] == 4
    assert desk.run.get(f"/api/baskets/{desk.basket}").json["trouble"] is None


# Nothing moves from under the hand -----------------------------------------------------------------------------------


def test_what_the_pointer_lies_on_stays_there_while_all_else_changes(desk):
    page = desk.lay_out(wide=(1000, 1000))
    page.evaluate("document.getElementById('stack').scrollTop = 0")
    button = page.locator("details.edge").get_by_role("button", name="Change these moves")
    button.hover()
    # At the head of a list browsers by themselves hold nothing in its place.
    assert page.evaluate("document.getElementById('stack').scrollTop") == 0
    top = button.bounding_box()["y"]
    lid = FIRSTS["lid"].value("us")
    desk.run.change(desk.basket, {"set": ["lid"], "to": lid})  # its bands come in above, as from another window
    page.get_by_role("heading", name="Lid", exact=True).wait_for(state="attached")
    assert abs(button.bounding_box()["y"] - top) <= 1
    page.mouse.down()
    desk.run.change(desk.basket, {"set": ["lid"], "to": None})
    page.mouse.up()
    assert soon(lambda: "rows" in desk.said["border"]), "the press went astray"


LIES_OVER = """() => {
  const note = document.querySelector("#news").getBoundingClientRect();
  return [...document.querySelectorAll("#head, .stage, .viewbar, .player, #stack, #told, #tabs")].filter(each => {
    const box = each.getBoundingClientRect();
    return box.width && box.height && box.top < note.bottom - 1 && note.top < box.bottom - 1;
  }).map(each => each.id || each.className);
}"""


@pytest.mark.parametrize("wide", [(1440, 900), (900, 700), HAND])
def test_a_note_lies_over_nothing_and_a_long_one_lets_every_press_through(desk, wide):
    page = desk.lay_out(wide=wide)
    seats = "JSON.stringify([...document.querySelectorAll('#room > *')].map(each => each.getBoundingClientRect()))"
    before = page.evaluate(seats)
    note = "import('/studio/page/js/base/notes.js').then(made => made.news('A long note. '.repeat(40), 'bad'))"
    for said in (note.replace("repeat(40)", "repeat(1)"), note):
        page.evaluate(said)
        page.wait_for_selector("#news .bad")
        assert page.evaluate(LIES_OVER) == []
        assert page.evaluate(seats) == before, "the room stands still"
    box = page.locator("#news .bad").bounding_box()
    assert box["height"] > 2 * page.locator("#news").bounding_box()["height"]
    below = page.evaluate("([x, y]) => document.elementFromPoint(x, y).closest('#news')", [box["x"] + 5, box["y"] + 3])
    assert below is None


def test_what_cannot_be_woven_is_told_shortly_by_name_and_keeps_its_colours_also_on_a_phone(hand):
    page = hand.lay_out({"set": ["band", 4, "colours"], "to": ["rust", "rust", "sand", "sand"]}, wide=HAND)
    page.locator("#tabs button", has_text="Bands").tap()
    open_band(page, 4)
    page.locator("li.band.open .swatches button").nth(3).wait_for()
    field = page.locator('li.band.open input[data-label="rows"]')
    field.fill("90")
    field.press("Enter")
    told = page.locator("#stack .stopped")
    told.wait_for()
    assert "there is no wall left for band 6 above" in told.inner_text()
    box, stage = page.locator(".which").bounding_box(), page.locator(".stage").bounding_box()
    assert box["height"] * box["width"] < 0.15 * stage["height"] * stage["width"]
    assert page.evaluate("getComputedStyle(document.querySelector('.stage canvas')).filter") == "none"
    assert page.locator("li.band.open .swatches .name").all_inner_texts() == ["rust", "rust", "sand", "sand"]
    told.get_by_role("button", name="Undo").tap()
    told.wait_for(state="detached")


def test_ten_taps_are_ten_and_all_is_in_reach_of_a_thumb(hand, tmp_path):
    page = hand.lay_out(wide=HAND)
    page.locator("#tabs button", has_text="Shape").tap()
    more = page.get_by_label("more: standing ends")
    more.scroll_into_view_if_needed()
    box = more.bounding_box()
    assert min(box["width"], box["height"]) >= 44
    for _ in range(10):
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    assert soon(lambda: hand.said["spokes"]["ends"] == 34), hand.said["spokes"]
    # keys say what they do
    page.locator("summary", has_text="Hand and units").tap()
    page.get_by_role("button", name="Keys").tap()
    for told in page.locator("dialog dd").all():
        at = told.bounding_box()
        assert at["width"] > 200 and at["x"] + at["width"] <= HAND[0]
    page.get_by_role("button", name="Close").tap()
    # saving and taking away
    page.locator("#tabs button", has_text="Print, save").tap()
    page.get_by_role("button", name="Save under another name").tap()
    page.get_by_label(re.compile("Name of the file")).fill(f"thumb-{tmp_path.name}")
    page.get_by_role("button", name="Save", exact=True).tap()
    page.locator(f'.safe[title$="thumb-{tmp_path.name}.toml"]').wait_for(state="attached")
    with page.expect_download() as taken:
        page.get_by_role("button", name="Download a copy").tap()
    assert taken.value.suggested_filename.startswith("thumb-")
    # the slider is as long as the screen and as thick as a finger
    page.get_by_role("button", name="Watch it woven").tap()
    slider = page.locator("#moment")
    slider.wait_for()
    box = slider.bounding_box()
    assert box["width"] > 300 and box["height"] >= 44


# The bench ----------------------------------------------------------------------------------------------------------


def test_the_bench_shows_each_basket_as_a_picture(desk):
    page = desk.lay_out()
    page.keyboard.press("Control+o")
    page.wait_for_selector("dialog.benchlist")
    count = page.locator("dialog .opened").count()
    assert count >= 5
    until(page, f"document.querySelectorAll('dialog .small img').length >= {min(count, 2)}", timeout=120_000)
    until(page, "document.querySelector('dialog .small img').naturalWidth >= 200")


def test_on_a_phone_a_note_leaves_the_picture_free(hand):
    page = hand.lay_out(wide=HAND)
    page.locator("#tabs button", has_text="Shape").tap()
    type_in(page, "standing ends", "32")
    until(page, "document.querySelector('#news').textContent.includes('groups of 8')")
    note, stage = (page.locator(what).bounding_box() for what in ("#news", ".stage"))
    assert note["y"] >= stage["y"] + stage["height"], "it stands below the picture"
    assert note["y"] + note["height"] <= page.locator("#tabs").bounding_box()["y"], "and above the tabs"
