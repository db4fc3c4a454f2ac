"""Pages of the studio that stay open from test to test: to open one costs six tenths of a second of the processor, to
show another basket in one that is open less than one.

A page that was handed back is set back by what a maker can press, its lists are emptied to be drawn anew, and it opens
the next basket as a browser's page does that was given another address. `test_kept_pages` holds that it then is as one
just opened. What cannot be set back, and what complained, is closed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from browser import READY, UNDRAWN, UNSEEN, complains, served, wait_until
from page_hands import WAIT, until
from studio_run import Run


@contextmanager
def studio_for_many(keeper: Kept | Tabs, folder: Path, state: Path, **how) -> Iterator[Run]:
    """A studio for many tests, whose pages `keeper` lets go before it is stopped; it must not have stumbled."""
    run = Run(folder, state, **how)
    yield run
    keeper.leave(run)
    run.stop()
    assert "Traceback" not in run.words()


BACK = """() => {
  for (const each of document.querySelectorAll("dialog")) each.close();
  document.querySelector(".turns input:not(:checked)")?.click();
  for (const on of ["play", "hatch"]) document.querySelector(`[data-do=${on}][aria-pressed=true]`)?.click();
  document.querySelector("[data-do=view][data-view=outside]").click();
  for (const tab of ["need", "bands"]) document.querySelector(`[data-do=tab][data-tab=${tab}]`).click();
  document.querySelector(".stage canvas").dispatchEvent(new KeyboardEvent("keydown", { key: "Home" }));
  document.activeElement.blur();
  for (const key of Object.keys(localStorage))
    if (!["slype-key", "slype-theme"].includes(key)) localStorage.removeItem(key);
  for (const part of ["head", "news", "stack", "told", "tabs"]) document.getElementById(part).replaceChildren();
}"""
SHOWN = """basket => location.hash === `#basket=${basket}` &&
  ["#head h1", "#part", "#pane"].every(each => document.querySelector(each)) &&
  !document.getElementById("stack").inert"""
STANDS = """() => [document.querySelectorAll("dialog, li.band.open").length, { ...document.documentElement.dataset },
  { ...document.body.dataset }, Object.keys(localStorage).toSorted(), document.body.className,
  [...document.querySelectorAll("[aria-pressed=true], [aria-selected=true]")].map(each => each.textContent)]"""
"""What a page keeps from basket to basket."""
MOST = 6
"""Pages that wait to be asked for again."""


class Kept:
    """The open pages of one browser."""

    def __init__(self, chromium) -> None:
        self.chromium = chromium
        self.free: list[Page] = []
        self.lent: list[Page] = []

    def take(self, run, basket: str, width: int, height: int, **more):
        """A page of this size on a basket of the studio `run`."""
        key = (run.address, *sorted(more.items()))
        for each in [each for each in self.free if each.said]:  # what came after its test is no other test's
            self.free.remove(each)
            each.page.close()
        found = next((each for each in self.free if each.key == key and each.basket != basket), None)
        if found is not None:
            self.free.remove(found)
            if not found.turn_to(run, basket, width, height):
                found.page.close()
                found = None
        if found is None:
            found = Page(self.chromium, key, run, basket, width, height, more)
        self.lent.append(found)
        return found.page

    def come_back(self) -> list[str]:
        """All that were lent are free again; what they complained of."""
        said = [each for page in self.lent for each in page.said]
        self.free = [page for page in self.lent if page.is_whole()] + self.free
        self.lent.clear()
        while len(self.free) > MOST:
            self.free.pop().page.close()
        return said

    def leave(self, run) -> None:
        """Closes those of a studio that is to be stopped."""
        for each in [each for each in self.free if each.key[0] == run.address]:
            self.free.remove(each)
            each.page.close()


class Page:
    """One page, and what it complained of."""

    def __init__(self, chromium, key, run, basket, width, height, more) -> None:
        self.key, self.basket, self.said = key, basket, []
        self.page = page = chromium.new_page(viewport={"width": width, "height": height}, **more)
        page.add_init_script(UNSEEN)
        page.on("console", lambda message: complains(message) and self.said.append(message.text))
        page.on("pageerror", lambda trouble: self.said.append(str(trouble)))
        page.set_default_timeout(WAIT)
        page.goto(f"{run.address}&basket={basket}")
        page.wait_for_selector(READY)
        until(page, SHOWN, basket)
        self.stood = page.evaluate(STANDS)

    def is_whole(self) -> bool:
        """Whether it may be used again: where it was, and without complaint."""
        whole = not self.said and not self.page.is_closed() and self.page.url.split("#")[0].endswith("/")
        if not whole and not self.page.is_closed():
            self.page.close()
        return whole

    def turn_to(self, run, basket: str, width: int, height: int) -> bool:
        """Whether it shows another basket as if just opened on it."""
        page = self.page
        page.mouse.move(0, 0)
        page.evaluate(BACK)
        if page.viewport_size != {"width": width, "height": height}:
            page.set_viewport_size({"width": width, "height": height})
        page.goto(f"{run.address}&basket={basket}")
        until(page, SHOWN, basket)
        self.basket = basket
        return page.evaluate(STANDS) == self.stood


class Tabs:
    """Tabs that load each test's page anew, where no other studio's was before: a new tab takes twice as long."""

    def __init__(self, chromium) -> None:
        self.chromium = chromium
        self.free: list[Tab] = []
        self.lent: list[Tab] = []

    def take(self, run, width: int, height: int):
        """An empty tab of this size for pages of the studio `run`."""
        found = next((each for each in self.free if each.run is run), None) or Tab(self.chromium, run)
        self.free = [each for each in self.free if each is not found]
        self.lent.append(found)
        found.page.set_viewport_size({"width": width, "height": height})
        return found.page

    def come_back(self) -> list[str]:
        """All that were lent are empty and free again; what they complained of."""
        lent, self.lent = self.lent, []
        self.free += [each for each in lent if each.empty()]
        return [said for each in lent for said in each.said]

    def leave(self, run) -> None:
        """Closes those of a studio that is to be stopped."""
        for each in self.free:
            if each.run is run:
                each.page.close()
        self.free = [each for each in self.free if each.run is not run]


class Tab:
    """One tab, and what its pages complained of."""

    def __init__(self, chromium, run) -> None:
        self.run, self.said = run, []
        self.page = page = chromium.new_page()
        page.on("console", lambda message: complains(message) and self.said.append(message.text))
        page.on("pageerror", lambda trouble: self.said.append(str(trouble)))

    def empty(self) -> bool:
        """Whether it can be used again: nothing goes on in it and nothing is remembered."""
        if self.said or self.page.is_closed():
            self.page.close()
            return False
        self.page.unroute_all()
        self.page.goto(f"http://127.0.0.1:{self.run.port}/studio/page/icon.svg")
        self.page.evaluate("localStorage.clear(), sessionStorage.clear()")
        return True


class Scenes:
    """Pages that show one basket after the other in the round (`scene_page.js`): one draws every dot, another none."""

    def __init__(self, chromium) -> None:
        self.chromium = chromium
        self.files: dict[str, bytes] = {}
        self.server = served(self.files)
        self.pages: dict[tuple[bool, int], object] = {}
        self.lent: set[tuple[bool, int]] = set()
        self.said: list[str] = []

    def __enter__(self) -> Scenes:
        self.address = self.server.__enter__()
        return self

    def __exit__(self, *_) -> None:
        self.server.__exit__(None, None, None)

    def page(self, files: dict[str, bytes], width: int = 216, height: int = 160, drawn: bool = True):
        """A page with nothing on show yet that may ask for `files`; another one where the test has one already."""
        self.files.clear()
        self.files.update(files)
        key = (drawn, sum(mine == drawn for mine, _ in self.lent))
        page = self.pages[key] = self.pages.get(key) or self._opened(drawn)
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("begin()")
        self.lent.add(key)
        return page

    def _opened(self, drawn: bool):
        page = self.chromium.new_page()
        if not drawn:
            page.add_init_script(UNDRAWN)
        page.on("console", lambda message: complains(message) and self.said.append(message.text))
        page.on("pageerror", lambda trouble: self.said.append(str(trouble)))
        page.goto(self.address)
        wait_until(page, "window.ready")
        return page

    def come_back(self) -> list[str]:
        """All pages are free again; what they complained of."""
        said, self.said = self.said, []
        self.lent.clear()
        return said
