"""Every control does what it says: nothing moves from under the hand, no choice is a dead end, a phone can do all.

One visit makes many checks, as a visit is what costs time here.
"""

from __future__ import annotations

import re
import tomllib

import pytest
from page_hands import HAND, SMALL, WAIT, part, until
from studio_run import wait_until

from slype.design.file.keys import KEYS

OF_THE_FILE = {"odd", "beside", "turn", "play", "border seconds", "join seconds", "pack seconds", "per end", "add at"}
RAW = OF_THE_FILE | {key.name.replace("_", " ") for key in KEYS if "_" in key.name} - {"long sticks", "base ends"}


def new(run, **begin) -> str:
    return run.open(new=True, **begin)["id"]


def of(run, basket) -> dict:
    return tomllib.loads(run.text(basket))


def soon(true):
    """What `true()` says once it says something; a crowded machine takes its time."""
    return wait_until(true, WAIT / 1000)


def type_in(page, label: str, value: str):
    field = page.get_by_label(label, exact=True).first
    field.fill(value)
    field.press("Enter")


def unfold(page):
    page.evaluate("document.querySelectorAll('#part details, #pane details').forEach(each => each.open = true)")


# The border --------------------------------------------------------------------------------------------------------


def test_every_border_shows_its_moves_and_lets_them_be_changed(run, visit):
    basket = new(run)
    page = visit(basket, *SMALL)
    card = page.locator("details.edge")
    assert card.locator(".moves-told li").all_inner_texts() == ["behind 1 out", "over 2, behind 1 out"]
    card.get_by_role("button", name="Change these moves").click()
    field = card.get_by_label("move 2", exact=True)
    field.fill("over 1, behind 1 out")
    field.press("Enter")
    rows = ["behind 1 out", "over 1, behind 1 out"]
    assert soon(lambda: of(run, basket)["border"] == {"rows": rows}), of(run, basket)["border"]
    card.locator("select").select_option("trac behind 1, over 1")
    assert soon(lambda: of(run, basket)["border"] == {"kind": "trac behind 1, over 1"})
    card.locator("select").select_option("")  # moves of my own
    assert soon(lambda: of(run, basket)["border"] == {"rows": ["behind 1, over 1 in"]})
    part(page, "Shape")
    page.get_by_role("button", name="Add a foot").click()
    foot = page.locator('details.card[data-key="foot"]')
    foot.get_by_role("button", name="Change these moves").click()
    assert soon(lambda: of(run, basket)["foot"]["border"] == ["over 1, behind 1 out"])
    foot.get_by_label("move 1 of the foot", exact=True).wait_for()


# What follows must follow --------------------------------------------------------------------------------------------


def test_more_ends_in_a_new_basket_leave_nothing_to_mend_in_its_base(run, visit):
    basket = new(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    type_in(page, "standing ends", "32")
    assert soon(lambda: [band.get("groups") for band in of(run, basket)["band"][:2]] == [8, 4])
    until(page, "document.querySelector('#news').textContent.includes('groups of 8')")
    part(page, "Watch out")
    assert not re.search("groups|arms of the cross", page.locator("#pane").inner_text())


def test_only_one_band_fills_what_is_left_whichever_is_told_to(run, visit):
    basket = new(run)
    page = visit(basket, *SMALL)
    page.locator('li.band[data-band="4"] .bandname').click()
    page.locator("li.band.open").get_by_text("to the top", exact=True).click()
    assert soon(lambda: of(run, basket)["band"][4].get("until") == "top")
    assert of(run, basket)["band"][5]["rows"] == 9  # as many as it had
    page.locator("li.band.open").get_by_role("button", name="Copy above").click()
    assert soon(lambda: len(of(run, basket)["band"]) == 7)
    bands = of(run, basket)["band"]
    assert bands[5]["until"] == "top" and bands[4]["rows"] == 4
    assert run.get(f"/api/baskets/{basket}").json["trouble"] is None


# Nothing moves from under the hand -----------------------------------------------------------------------------------


def test_what_the_pointer_lies_on_stays_there_while_all_else_changes(run, visit):
    basket = new(run)
    page = visit(basket, *SMALL)
    page.locator('li.band[data-band="2"] .bandname').click()
    button = page.locator("li.band.open").get_by_role("button", name="Copy above")
    button.scroll_into_view_if_needed()
    button.hover()
    top = button.bounding_box()["y"]
    lid = run.get("/api/tables?wording=us").json["firsts"]["lid"]["value"]
    run.change(basket, {"set": ["lid"], "to": lid})  # its bands come in above, as from another window
    page.get_by_role("heading", name="Lid", exact=True).wait_for(state="attached")
    assert abs(button.bounding_box()["y"] - top) <= 1
    page.mouse.down()
    run.change(basket, {"set": ["lid"], "to": None})
    page.mouse.up()
    assert soon(lambda: len(of(run, basket)["band"]) == 7), "the press went astray"


def test_what_cannot_be_woven_is_told_shortly_by_name_and_keeps_its_colours_also_on_a_phone(run, visit):
    basket = new(run)
    run.change(basket, {"set": ["band", 4, "colours"], "to": ["rust", "rust", "sand", "sand"]})
    page = visit(basket, *HAND, has_touch=True, is_mobile=True)
    page.locator('li.band[data-band="4"] .bandname').tap()
    page.locator("li.band.open .swatches button").nth(3).wait_for()
    field = page.locator('li.band.open input[data-label="rows"]')
    field.fill("90")
    field.press("Enter")
    told = page.locator("#stack .stopped")
    told.wait_for()
    assert "Band 6 (three-rod wale): there is no wall left" in told.inner_text()
    box, stage = page.locator(".which").bounding_box(), page.locator(".stage").bounding_box()
    assert box["height"] * box["width"] < 0.15 * stage["height"] * stage["width"]
    assert page.evaluate("getComputedStyle(document.querySelector('.stage canvas')).filter") == "none"
    assert page.locator("li.band.open .swatches .name").all_inner_texts() == ["rust", "rust", "sand", "sand"]
    told.get_by_role("button", name="Undo").tap()
    told.wait_for(state="detached")


def test_ten_taps_are_ten_and_all_is_in_reach_of_a_thumb(run, visit, tmp_path):
    basket = new(run)
    page = visit(basket, *HAND, has_touch=True, is_mobile=True)
    page.locator("#tabs button", has_text="Shape").tap()
    more = page.get_by_label("more: standing ends")
    more.scroll_into_view_if_needed()
    box = more.bounding_box()
    assert min(box["width"], box["height"]) >= 44
    for _ in range(10):
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    assert soon(lambda: of(run, basket)["spokes"]["ends"] == 34), of(run, basket)["spokes"]
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


# Effects, bench, labels ----------------------------------------------------------------------------------------------


def test_effects_are_large_tell_what_differs_and_offer_checks_that_swap(run, visit):
    basket = new(run)
    run.change(basket, {"set": ["band", 4, "colours"], "to": ["natural", "fern", "natural", "fern"]})
    page = visit(basket, 1200, 800)
    page.locator('li.band[data-band="4"] .bandname').click()
    page.get_by_role("button", name="Try effects").click()
    page.wait_for_selector("dialog.effectswall")
    sizes = page.evaluate(
        "[...document.querySelectorAll('dialog .effect img')].map(each => each.getBoundingClientRect())"
        ".map(box => [box.width, box.height])"
    )
    assert len(sizes) > 4 and all(width > 200 and height > 100 for width, height in sizes)
    told = page.locator("dialog .effect").all_inner_texts()
    assert len(set(told)) == len(told), "two tiles say the same"
    refused = page.locator("dialog details li").all_text_contents()
    assert len(set(refused)) == len(refused)
    check = page.locator("dialog .effect", has_text=re.compile("checks 4 rows high")).last
    check.click()
    assert soon(lambda: of(run, basket)["band"][4].get("blocks"))
    band = of(run, basket)["band"][4]
    assert band["blocks"] == {"rows": 4, "shift": 1 if band["colours"][0] == band["colours"][2] else 2}
    page.locator("li.band.open").get_by_label("swap colors every few rows").click()
    assert soon(lambda: "blocks" not in of(run, basket)["band"][4])
    run.change(basket, {"set": ["band", 4, "colours"], "to": ["natural", "fern", "natural", "fern"]})
    until(page, "document.querySelectorAll('li.band.open .swatches .name')[1].textContent === 'fern'")
    page.locator("li.band.open").get_by_label("swap colors every few rows").click()
    assert soon(lambda: of(run, basket)["band"][4].get("blocks") == {"rows": 4, "shift": 1})


def test_the_bench_shows_each_basket_as_a_picture_and_no_label_is_a_key(run, visit):
    basket = new(run)
    thick = run.get("/api/tables?wording=us").json["firsts"]
    run.change(
        basket,
        {"set": ["spokes", "inserted"], "to": True},
        {"set": ["lid"], "to": thick["lid"]["value"]},
        {"insert": ["handle"], "at": 0, "value": {**thick["handle"]["value"], "kind": "rope"}},
        {"set": ["band", 4, "weave"], "to": None},
    )
    page = visit(basket, *SMALL)
    labels = set()
    for name in ("Shape", "Bands"):
        part(page, name)
        if name == "Bands":
            page.locator('li.band[data-band="4"] .bandname').click()
        unfold(page)
        labels |= set(page.locator("#part label, #part legend, #part option").all_inner_texts())
    assert {"side spokes beside each base end", "room left all round", "seconds for one join"} <= labels
    assert not {label.strip().lower() for label in labels} & RAW
    page.keyboard.press("Control+o")
    page.wait_for_selector("dialog.benchlist")
    count = page.locator("dialog .opened").count()
    assert count >= 5
    until(page, f"document.querySelectorAll('dialog .small img').length >= {min(count, 3)}", timeout=120_000)
    until(page, "document.querySelector('dialog .small img').naturalWidth >= 200")


# Both wordings -------------------------------------------------------------------------------------------------------

OTHERS = {
    "uk": "spokes?|reeds?|colors?|colored|gray|rim|upset|toward|neighbor.*|centimeters?|calipers|meters?",
    "us": "stakes?|canes?|colours?|coloured|grey|upsett|towards|neighbour.*|centimetres?|callipers|slath|metres?",
}
BOTH = ("American: spoke, reed", "British: stake, cane", "Cane, British numbers")
SAID = """() => {
  const said = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) said.push(walk.currentNode.nodeValue);
  for (const each of document.querySelectorAll("*"))
    for (const name of ["title", "aria-label", "placeholder", "alt", "aria-valuetext", "label"])
      if (each.getAttribute?.(name)) said.push(each.getAttribute(name));
  return [...new Set(said.map(each => each.trim()).filter(Boolean))];
}"""


@pytest.mark.parametrize("wording", ["us", "uk"])
def test_every_word_tip_and_name_of_the_page_is_in_the_wording_of_the_basket(run, visit, wording):
    basket = new(run, wording=wording, units={"us": "in", "uk": "cm"}[wording])
    firsts = run.get(f"/api/tables?wording={wording}").json["firsts"]
    run.change(
        basket,
        {"set": ["foot"], "to": firsts["foot"]["value"]},
        {"set": ["bye_spokes"], "to": firsts["bye-spokes"]["value"]},
        {"insert": ["handle"], "at": 0, "value": firsts["handle"]["value"]},
    )
    run.change(basket, {"set": ["lid"], "to": firsts["lid"]["value"]})
    page = visit(basket, 1200, 800)
    said = set()

    def hear():
        unfold(page)
        said.update(page.evaluate(SAID))

    for name in ("Shape", "Bands", "What you need", "Watch out", "Print and save"):
        part(page, name)
        hear()
    for index in (0, 4):
        page.locator(f'li.band[data-of=""][data-band="{index}"] .bandname').click()
        hear()
    page.get_by_role("button", name="Try effects").click()
    page.wait_for_selector("dialog.effectswall")
    hear()
    page.keyboard.press("Escape")
    page.keyboard.press("?")
    page.wait_for_selector("dialog")
    hear()
    page.keyboard.press("Escape")
    page.locator("li.band.open .swatches button").first.click()
    page.wait_for_selector("dialog.palette")
    hear()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Watch it woven").click()
    page.wait_for_selector(".player .words")
    hear()
    assert len(said) > 300
    wrong = [each for each in said if each not in BOTH and re.search(rf"\b({OTHERS[wording]})\b", each, re.IGNORECASE)]
    assert not wrong, "\n".join(sorted(wrong))
