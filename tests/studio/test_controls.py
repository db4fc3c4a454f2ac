"""Every control does what it says: nothing moves from under the hand, no choice is a dead end, a phone can do all.

One visit makes many checks, as a visit is what costs time here.
"""

from __future__ import annotations

import re
import tomllib

import pytest
from browser import READY, UNDRAWN
from page_hands import HAND, SMALL, WAIT, part, until
from studio_run import wait_until

from slype.design.file.keys import KEYS
from slype.design.starters import FIRSTS
from slype.edit.apply import apply, blank

OF_THE_FILE = {"odd", "beside", "turn", "play", "border seconds", "join seconds", "pack seconds", "per end", "add at"}
RAW = OF_THE_FILE | {key.name.replace("_", " ") for key in KEYS if "_" in key.name} - {"long sticks", "base ends"}


@pytest.fixture(scope="module")
def run(stacked):
    return stacked


class Desk:
    """One page on one basket, laid out anew for each test: to load a page is what costs time."""

    def __init__(self, run, page, basket: str) -> None:
        self.run, self.page, self.basket, self.laid_out = run, page, basket, 0

    def lay_out(self, *changes, wide: tuple[int, int] = SMALL, **begin):
        """The page with a new basket after `changes`, its bands on show and none open."""
        self.laid_out += 1
        text = apply(blank(**begin), [{"set": ["basket", "title"], "to": f"Desk {self.laid_out}"}, *changes]).text
        page = self.page
        page.set_viewport_size({"width": wide[0], "height": wide[1]})
        while page.locator("dialog").count():
            page.keyboard.press("Escape")
        answer = self.run.ask("PUT", f"/api/baskets/{self.basket}/text", {"text": text})
        assert answer.status == 200, answer.body
        until(page, f"document.title.startsWith('Desk {self.laid_out} ')")
        if wide[0] > 680:
            part(page, "Bands")
        for card in page.locator("li.band.open .bandname").all():
            card.click()
        return page

    @property
    def said(self) -> dict:
        """The basket as its file would have it."""
        return tomllib.loads(self.run.text(self.basket))


@pytest.fixture(scope="module")
def desk(run, chromium):
    """The page by the bench: a mouse, a window of middling size."""
    yield from _opened(run, chromium, {})


@pytest.fixture(scope="module")
def hand(run, chromium):
    """The page in the hand: fingers, a phone."""
    yield from _opened(run, chromium, {"has_touch": True, "is_mobile": True})


def _opened(run, chromium, more):
    page = chromium.new_page(viewport={"width": HAND[0], "height": HAND[1]}, reduced_motion="reduce", **more)
    page.add_init_script(UNDRAWN)  # words and controls: no test here looks at a dot of the basket
    faults = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.set_default_timeout(WAIT)
    basket = run.open(new=True)["id"]
    page.goto(f"{run.address}&basket={basket}")
    page.wait_for_selector(READY)
    yield Desk(run, page, basket)
    page.close()
    assert not faults, faults


def soon(true):
    """What `true()` says once it says something; a crowded machine takes its time."""
    return wait_until(true, WAIT / 1000)


def type_in(page, label: str, value: str):
    field = page.get_by_label(label, exact=True).first
    field.fill(value)
    field.press("Enter")


def open_band(page, index: int):
    page.locator(f'li.band[data-of=""][data-band="{index}"] .bandname').click()
    page.wait_for_selector(f'li.band.open[data-of=""][data-band="{index}"]')


def unfold(page):
    page.evaluate("document.querySelectorAll('#part details, #pane details').forEach(each => each.open = true)")


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


# Effects, bench, labels ----------------------------------------------------------------------------------------------

ALTERNATE = {"set": ["band", 4, "colours"], "to": ["natural", "fern", "natural", "fern"]}


def test_effects_are_large_tell_what_differs_and_offer_checks_that_swap(desk):
    page = desk.lay_out(ALTERNATE, wide=(1200, 800))
    open_band(page, 4)
    page.get_by_role("button", name="Try effects").click()
    page.wait_for_selector("dialog.effectswall")
    sizes = page.evaluate(
        "[...document.querySelectorAll('dialog .effect img')].map(each => each.getBoundingClientRect())"
        ".map(box => [box.width, box.height])"
    )
    assert len(sizes) > 4 and all(width > 200 and height > 100 for width, height in sizes)
    told = page.locator("dialog .effect").all_inner_texts()
    orders = page.locator("dialog .effect .order").evaluate_all("each => each.map(one => one.ariaLabel)")
    assert len(set(zip(told, orders, strict=True))) == len(told), "two tiles say the same"
    refused = page.locator("dialog details li").all_text_contents()
    assert len(set(refused)) == len(refused)
    page.locator("dialog .effect", has_text=re.compile("checks 4 rows high")).last.click()
    assert soon(lambda: desk.said["band"][4].get("blocks"))
    band = desk.said["band"][4]
    assert band["blocks"] == {"rows": 4, "shift": 1 if band["colours"][0] == band["colours"][2] else 2}


def test_a_band_of_one_colour_is_offered_effects_with_a_second_in_one_press(desk):
    page = desk.lay_out(wide=(1200, 800))
    open_band(page, 3)
    page.get_by_role("button", name="Try effects").click()
    page.wait_for_selector("dialog.effectswall")
    assert "natural so far" in page.locator("dialog .second").inner_text()
    page.locator("dialog .second .swatch").click()
    page.locator("dialog.palette .swatch", has_text="fern").click()
    until(page, "document.querySelector('dialog.effectswall .second .swatch')?.textContent === 'fern'")
    first = page.locator("dialog .effect").first
    assert first.locator(".order").get_attribute("aria-label") == "natural, natural, fern"
    assert "one color" not in page.locator("dialog").inner_text()
    first.click()
    assert soon(lambda: desk.said["band"][3].get("colours") == ["natural", "natural", "fern"])


def test_a_tick_swaps_the_colours_it_finds(desk):
    page = desk.lay_out(ALTERNATE)
    open_band(page, 4)
    page.locator("li.band.open").get_by_label("swap colors every few rows").click()
    assert soon(lambda: desk.said["band"][4].get("blocks") == {"rows": 4, "shift": 1})


def test_no_label_is_a_key_of_the_file(desk):
    thing = {name: FIRSTS[name].value("us") for name in ("lid", "handle")}
    page = desk.lay_out(
        {"set": ["spokes", "inserted"], "to": True},
        {"set": ["lid"], "to": thing["lid"]},
        {"insert": ["handle"], "at": 0, "value": {**thing["handle"], "kind": "rope"}},
        {"set": ["band", 4, "weave"], "to": None},
    )
    open_band(page, 4)
    labels = set()
    for name in ("Bands", "Shape"):
        part(page, name)
        unfold(page)
        labels |= set(page.locator("#part label, #part legend, #part option").all_inner_texts())
    assert {"side spokes beside each base end", "room left all round", "seconds for one join"} <= labels
    assert not {label.strip().lower() for label in labels} & RAW


def test_a_board_is_asked_nothing_about_sticks_it_has_not(desk):
    page = desk.lay_out({"set": ["form", "outline"], "to": "oval"})
    part(page, "Shape")
    asked = ("pushed in beside base sticks", "sticks along the base")
    for label in asked:
        page.get_by_label(label, exact=True).wait_for()
    desk.run.change(desk.basket, {"set": ["base", "kind"], "to": "board"})
    for label in asked:
        page.get_by_label(label, exact=True).wait_for(state="detached")


def test_the_bench_shows_each_basket_as_a_picture(desk):
    page = desk.lay_out()
    page.keyboard.press("Control+o")
    page.wait_for_selector("dialog.benchlist")
    count = page.locator("dialog .opened").count()
    assert count >= 5
    until(page, f"document.querySelectorAll('dialog .small img').length >= {min(count, 2)}", timeout=120_000)
    until(page, "document.querySelector('dialog .small img').naturalWidth >= 200")


# Both wordings -------------------------------------------------------------------------------------------------------

OTHERS = {
    "uk": "spokes?|reeds?|colors?|colored|gray|rim|upset|toward|neighbor.*|centimeters?|calipers|meters?",
    "us": "stakes?|canes?|colours?|coloured|grey|upsett|towards|neighbour.*|centimetres?|callipers|slath|metres?",
}
COINED = r"effects wall|the solid\b|take away|^begun with|^mind$|reeds? at rest|stacked rows|\brelax|proofs"
"""Words that only slype's makers understood."""
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
def test_every_word_tip_and_name_of_the_page_is_in_the_wording_of_the_basket(desk, wording):
    thing = {name: FIRSTS[name].value(wording) for name in ("foot", "bye-spokes", "handle", "lid")}
    page = desk.lay_out(
        {"set": ["foot"], "to": thing["foot"]},
        {"set": ["bye_spokes"], "to": thing["bye-spokes"]},
        {"insert": ["handle"], "at": 0, "value": thing["handle"]},
        {"set": ["lid"], "to": thing["lid"]},
        wide=(1200, 800),
        wording=wording,
        units={"us": "in", "uk": "cm"}[wording],
    )
    said = set()

    def hear():
        unfold(page)
        said.update(page.evaluate(SAID))

    part(page, "Shape")
    stand = {"us": "Spokes", "uk": "Stakes"}[wording]
    until(page, f"document.querySelector('[data-key=spokes] summary').textContent.startsWith('{stand}')")
    for name in ("Shape", "Bands", "What you need", "Watch out", "Print and save"):
        part(page, name)
        hear()
    open_band(page, 4)
    hear()
    page.get_by_role("button", name="Try effects").click()
    page.wait_for_selector("dialog.effectswall")
    hear()
    page.keyboard.press("Escape")
    page.wait_for_selector("dialog", state="detached")
    page.keyboard.press("?")
    page.wait_for_selector("dialog")
    hear()
    page.keyboard.press("Escape")
    page.wait_for_selector("dialog", state="detached")
    page.locator("li.band.open .swatches button").first.click()
    page.wait_for_selector("dialog.palette")
    hear()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Watch it woven").click()
    page.wait_for_selector(".player .words")
    hear()
    page.get_by_role("button", name="Watch it woven").click()
    assert len(said) > 300
    other = rf"\b({OTHERS[wording]})\b"
    wrong = [each for each in said if each not in BOTH and re.search(other, each, re.IGNORECASE)]
    wrong += [each for each in said if re.search(COINED, each, re.IGNORECASE)]
    assert not wrong, "\n".join(sorted(wrong))


def test_on_a_phone_a_note_leaves_the_picture_free(hand):
    page = hand.lay_out(wide=HAND)
    page.locator("#tabs button", has_text="Shape").tap()
    type_in(page, "standing ends", "32")
    until(page, "document.querySelector('#news').textContent.includes('groups of 8')")
    note, stage = (page.locator(what).bounding_box() for what in ("#news", ".stage"))
    assert note["y"] >= stage["y"] + stage["height"], "it stands below the picture"
    assert note["y"] + note["height"] <= page.locator("#tabs").bounding_box()["y"], "and above the tabs"
