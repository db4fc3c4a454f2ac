"""What the studio's page says: no key of the file, nothing of what is not there, all in the wording of the basket."""

from __future__ import annotations

import re

import pytest
from desk import open_band, unfold
from page_hands import part, until

from slype.design.file.keys import KEYS
from slype.design.starters import FIRSTS

OF_THE_FILE = {"odd", "beside", "turn", "play", "border seconds", "join seconds", "pack seconds", "per end", "add at"}
RAW = OF_THE_FILE | {key.name.replace("_", " ") for key in KEYS if "_" in key.name} - {"long sticks", "base ends"}


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
