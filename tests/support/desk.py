"""One page on one basket, laid out anew for each test: to load a page is what costs time."""

from __future__ import annotations

import tomllib

from browser import READY, UNSEEN
from page_hands import HAND, SMALL, WAIT, part, until
from studio_run import wait_until

from slype.edit.apply import apply, blank


class Desk:
    """The page, its basket and the studio that answers it."""

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


def opened(run, chromium, **more):
    """Yields the page at a desk, or in the hand where it `has_touch`; nothing may go wrong on it."""
    page = chromium.new_page(viewport={"width": HAND[0], "height": HAND[1]}, reduced_motion="reduce", **more)
    page.add_init_script(UNSEEN)  # words and controls: no test here looks at a dot of the basket
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
