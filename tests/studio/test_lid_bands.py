"""The lid's bands on the studio's page: the same stack as the basket's; what is done there is in the file's text."""

from __future__ import annotations

import tomllib

import pytest
from page_hands import SMALL, drag, middle, part, pot, until
from studio_run import wait_until

from slype.design.starters import FIRSTS

CARD = 'ol[data-of="lid"] li.band[data-band="{}"]'


@pytest.fixture(scope="module")
def run(stacked):
    return stacked


def lidded(run) -> str:
    basket = pot(run)
    run.change(basket, {"set": ["lid"], "to": FIRSTS["lid"].value("us")})
    return basket


def lid(run, basket) -> dict:
    return tomllib.loads(run.text(basket))["lid"]


def rows(run, basket) -> list:
    return [band.get("rows") for band in lid(run, basket)["band"]]


def open_band(page, index: int):
    page.locator(CARD.format(index)).locator(".bandname").click()
    return page.wait_for_selector(CARD.format(index) + ".open") and page.locator(CARD.format(index))


def test_bands_of_a_lid_are_added_copied_moved_and_taken_out(run, visit):
    basket = pot(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    page.get_by_role("button", name="Add a lid").click()
    assert wait_until(lambda: "[lid]" in run.text(basket))
    part(page, "Bands")
    until(page, "document.querySelectorAll('ol[data-of=lid] li.band').length === 3")
    steps = [run.text(basket)]
    page.get_by_role("button", name="Add a band to the lid").click()  # below the one that goes to the edge
    assert wait_until(lambda: rows(run, basket) == [2, 5, 2, None]), rows(run, basket)
    page.wait_for_selector(CARD.format(2) + ".open")
    steps.append(run.text(basket))
    card = open_band(page, 1)
    card.get_by_role("button", name="Copy above").click()
    assert wait_until(lambda: rows(run, basket) == [2, 5, 5, 2, None]), rows(run, basket)
    steps.append(run.text(basket))
    page.wait_for_selector(CARD.format(2) + ".open")
    page.locator(CARD.format(2)).get_by_role("button", name="Move down").click()
    page.locator(CARD.format(1) + ".open").wait_for()
    page.locator(CARD.format(1)).get_by_role("button", name="Move down").click()
    assert wait_until(lambda: rows(run, basket) == [5, 2, 5, 2, None]), rows(run, basket)
    page.locator(CARD.format(0) + ".open").get_by_role("button", name="Remove").click()
    assert wait_until(lambda: rows(run, basket) == [2, 5, 2, None]), rows(run, basket)
    for back in ([5, 2, 5, 2, None], [2, 5, 5, 2, None]):  # two alike changed places: no step of its own
        page.get_by_role("button", name="Undo").click()
        assert wait_until(lambda back=back: rows(run, basket) == back), rows(run, basket)
    for text in reversed(steps[:-1]):
        page.get_by_role("button", name="Undo").click()
        assert wait_until(lambda text=text: run.text(basket) == text)


def test_a_band_of_a_lid_is_dragged_and_never_into_the_basket(run, visit):
    basket = lidded(run)
    page = visit(basket, 1000, 1300)
    before = run.text(basket)
    drag(page, middle(page, CARD.format(0) + " .grip"), middle(page, CARD.format(1) + " .grip"))
    assert wait_until(lambda: rows(run, basket) == [5, 2, None]), rows(run, basket)
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: run.text(basket) == before)
    until(page, f"document.querySelector('{CARD.format(0)} .brief').textContent.startsWith('2 rows')")
    drag(page, middle(page, CARD.format(0) + " .grip"), middle(page, 'ol[data-of=""] li.band .grip'))
    assert not wait_until(lambda: run.text(basket) != before, 0.5)
    page.locator(CARD.format(0)).locator(".bandname").focus()
    page.keyboard.press("Alt+ArrowUp")
    assert wait_until(lambda: rows(run, basket) == [5, 2, None]), rows(run, basket)
    until(page, "document.activeElement.closest('ol[data-of=lid] li.band')?.dataset.band === '1'")


def test_each_field_of_a_lids_band_writes_its_key(run, visit):
    basket = lidded(run)
    page = visit(basket, *SMALL)
    card = open_band(page, 1)

    def band():
        return lid(run, basket)["band"][1]

    for label, value, key, wanted in (
        ("rows", "6", "rows", 6),
        ("first weaver in space", "3", "start", 3),
        ("ends worked as one", "2", "groups", 2),
        ("reeds worked as one", "2", "strands", 2),
        ("length of one weaver", "9 ft", "length", "9 ft"),
    ):
        field = card.locator(f'input[data-label="{label}"]')
        field.fill(value)
        field.press("Enter")
        assert wait_until(lambda key=key, wanted=wanted: band().get(key) == wanted), (label, band())
    card.get_by_label("weave", exact=True).select_option("three-rod wale")
    assert wait_until(lambda: band()["weave"] == "three-rod wale"), band()
    card.locator("select[data-kind=reed]").select_option("round 3")
    assert wait_until(lambda: band()["reed"] == "round 3"), band()
    card.locator(".swatches button").nth(1).click()
    page.locator("dialog button", has_text="rust").first.click()
    assert wait_until(lambda: "rust" in band().get("colours", [])), band()
    card.get_by_text("height", exact=True).click()
    assert wait_until(lambda: "height" in band() and "rows" not in band()), band()
    card.get_by_label("swap colors every few rows").click()
    assert wait_until(lambda: band().get("blocks") == {"rows": 4, "shift": 1}), band()  # what swaps two of three
    assert run.get(f"/api/baskets/{basket}").json["undo"] == "checks of band 2 of the lid"
    last = open_band(page, 2)
    last.get_by_text("rows", exact=True).click()
    assert wait_until(lambda: "rows" in lid(run, basket)["band"][2])
    last.get_by_text("to the edge", exact=True).click()
    assert wait_until(lambda: lid(run, basket)["band"][2].get("until") == "edge")
    assert run.get(f"/api/baskets/{basket}").json["look"]["lid_bands"][2]["rows"] > 0


LISTEN = """document.querySelector('.stage canvas').addEventListener('drawn',
  ({detail}) => window.inHand = detail.of)"""
TO = """title => { const list = document.querySelector('[data-part]');
  list.value = [...list.options].find((each) => each.text === title).value;
  list.dispatchEvent(new Event('change', {bubbles: true})); }"""


def test_the_player_has_a_lid_alone_in_hand_while_it_is_woven(run, visit):
    page = visit(lidded(run), *SMALL)
    page.click("[data-do=play]")
    page.wait_for_selector("#moment")
    page.evaluate(LISTEN)
    in_hand = {"Lid: lay the cross": "lid", "Trim": "", "Lid: work the border": "lid", "Fit the lid": ""}
    for title, of in in_hand.items():
        page.evaluate(TO, title)
        until(page, f"window.inHand === {of!r}")


def test_the_effects_wall_of_a_lids_band_changes_the_lid(run, visit):
    basket = lidded(run)
    run.change(basket, {"set": ["lid", "band", 2, "colours"], "to": ["rust", "natural"]})
    page = visit(basket, *SMALL)
    open_band(page, 2).get_by_role("button", name="Try effects …").click()
    other = page.locator("dialog button.effect[aria-pressed=false]")
    other.first.wait_for()
    assert "Band 3 of the lid" in page.get_by_role("dialog").inner_text()
    before = run.text(basket)
    other.first.click()
    assert wait_until(lambda: run.text(basket) != before)
    now, was = tomllib.loads(run.text(basket)), tomllib.loads(before)
    assert now.pop("lid") != was.pop("lid") and now == was


def test_a_lids_ends_seat_and_border_have_fields(run, visit):
    basket = lidded(run)
    page = visit(basket, *SMALL)
    part(page, "Shape")
    page.get_by_label("more: ends of the lid").click()
    assert wait_until(lambda: lid(run, basket)["spokes"]["ends"] == 25)
    page.get_by_label("take out move 1 of the lid").click()
    assert wait_until(lambda: lid(run, basket)["border"] == ["over 2 down"])
    page.get_by_label("it sits", exact=True).select_option("over")
    assert wait_until(lambda: lid(run, basket)["seat"] == "over" and "depth" in lid(run, basket))
    part(page, "Bands")
    page.get_by_text("Side of the lid").wait_for()
    assert run.get(f"/api/baskets/{basket}").json["look"]["lid_bands"][-1]["where"] == "side"
