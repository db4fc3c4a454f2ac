"""The wall of effects on the studio's page: large, told apart, and each a press away."""

from __future__ import annotations

import re

from desk import open_band, soon
from page_hands import until

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
