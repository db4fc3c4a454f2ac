"""A page that stays open shows the next basket as one that was just opened does: tests need not know whose it was."""

from __future__ import annotations

import re

import pytest
from page_hands import SMALL, part, pot, until

from slype.design.starters import FIRSTS

ALL = """() => {
  const said = document.body.cloneNode(true);
  const [now, then] = [document, said].map(each => [...each.querySelectorAll("input, select, textarea")]);
  now.forEach((each, i) => then[i].setAttribute("value", each.type === "checkbox" ? each.checked : each.value));
  for (const each of said.querySelectorAll("#f-basket-title, canvas, .safe")) each.remove();
  return said.innerHTML;
}"""
EYE = """() => new Promise((seen) => {
  const told = ({ detail: { pose } }) => seen([pose.around, pose.up, pose.zoom, ...pose.pan]);
  document.querySelector(".stage canvas").addEventListener("drawn", told, { once: true });
  document.querySelector("[data-do=hatch]").click();
})"""
PLACES = "['stack', 'told', 'room'].map(each => document.getElementById(each).scrollTop)"


def lidded(run) -> str:
    basket = pot(run)
    run.change(basket, {"set": ["lid"], "to": FIRSTS["lid"].value("us")})
    return basket


def as_it_is(page) -> list:
    """All that a maker can see in every part of the page, but for the basket's own name."""

    def now():
        # That a fold was opened is marked a moment after: nobody sees the mark.
        return re.sub(r"Pot|pot \d+|basket=\w+| data-own-open=\"\"", "", page.evaluate(ALL)).splitlines()

    seen = [page.evaluate(PLACES), page.url.split("#")[0], now()]
    for name in ("Shape", "Watch out", "Print and save", "What you need", "Bands"):
        part(page, name)
        seen.append(now())
    return seen


def test_a_page_that_was_used_shows_the_next_basket_as_a_fresh_one_does(stacked, visit, kept):
    used = visit(lidded(stacked), *SMALL, at=stacked)
    used.locator('ol[data-of="lid"] li.band .bandname').first.click()
    used.locator("li.band.open").wait_for()
    used.locator('ol[data-of=""] li.band .bandname').first.click()
    part(used, "Shape")
    field = used.get_by_label("standing ends", exact=True).first
    field.fill("30")
    field.press("Enter")
    until(used, "document.querySelector('.safe, #head').textContent.includes('Undo')")
    used.evaluate("document.querySelectorAll('#part details').forEach(each => each.open = !each.open)")
    used.evaluate("document.getElementById('stack').scrollTop = 200")
    used.locator(".stage canvas").focus()
    for key in ("ArrowLeft", "ArrowUp", "+"):
        used.keyboard.press(key)
    used.keyboard.press("3")
    used.keyboard.press("h")
    used.get_by_role("button", name="Watch it woven").click()
    used.locator("#moment").wait_for()
    part(used, "Watch out")
    used.keyboard.press("?")
    used.wait_for_selector("dialog")
    assert not kept.come_back()
    again = visit(lidded(stacked), 1000, 760, at=stacked)
    assert again is used, "or this tries nothing"
    fresh = visit(lidded(stacked), 1000, 760, at=stacked, fresh=True)
    for page in (again, fresh):
        until(page, "document.querySelector('.stage canvas').dataset.lit === 'yes'")
    for one, other in zip(as_it_is(again), as_it_is(fresh), strict=True):
        assert one == other
    # A basket much as large as the last one leaves the eye where it was.
    assert again.evaluate(EYE) == pytest.approx(fresh.evaluate(EYE), abs=0.005)
