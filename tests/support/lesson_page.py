"""Where a lesson's page stands, what its counter says, and the browsers in the hand that it is opened in."""

from __future__ import annotations

import contextlib

from browser import complains
from places import SOURCE

AT = "place => slypeLesson.places.go(place)"


BESIDE = "slypeLesson.places.did(99)"
"""All that is done beside the basket is done: the counter counts moves."""


def count(page) -> str:
    return page.inner_text("#done strong")


EMPTY = f"file://{SOURCE / 'studio' / 'page' / 'icon.svg'}"
"""A file that keeps nothing, of the same origin as every file: what a lesson has kept can be cleared from there."""


class Phones:
    """Browsers in the hand, offline, that load each test's lesson anew: one that a test has handed back takes less than
    half of what a new one takes."""

    def __init__(self, chromium) -> None:
        self.chromium = chromium
        self.free: dict[tuple, list] = {}
        self.lent: list[tuple] = []

    def take(self, width: int, height: int, init: str, **more):
        """An empty page of this size in which `init` is run first."""
        key = (init, *sorted(more.items()))
        waiting = self.free.get(key)
        page = waiting.pop() if waiting else self._new(init, more)
        page.set_viewport_size({"width": width, "height": height})
        self.lent.append((key, page))
        return page

    def _new(self, init: str, more: dict):
        context = self.chromium.new_context(offline=True, reduced_motion="reduce", **more)
        context.said = said = []
        context.add_init_script(init)
        page = context.new_page()
        page.on("console", lambda message: complains(message) and said.append(message.text))
        page.on("pageerror", lambda trouble: said.append(str(trouble)))
        page.on("request", lambda asked: asked.url.startswith(("http", "ws")) and said.append(f"asks for {asked.url}"))
        return page

    def come_back(self) -> list[str]:
        """All that were lent are free again and remember nothing; what they complained of."""
        lent, self.lent, said = self.lent, [], []
        for key, page in lent:
            said += page.context.said
            if page.context.said or len(page.context.pages) > 1 or not self._forgets(page):
                with contextlib.suppress(Exception):
                    page.context.close()
            else:
                self.free.setdefault(key, []).append(page)
        return said

    def _forgets(self, page) -> bool:
        """Whether it is empty now, and quiet; one whose tab was killed never is."""
        try:
            page.goto(EMPTY)
            page.evaluate("localStorage.clear(), sessionStorage.clear()")
            return not page.context.said and page.evaluate("localStorage.length + sessionStorage.length") == 0
        except Exception:
            return False


FLAT = """HTMLCanvasElement.prototype.getContext = ((own) => function (kind, ...more) {
  return kind === 'webgl2' ? null : own.call(this, kind, ...more);
})(HTMLCanvasElement.prototype.getContext)"""
UNPAINTED = FLAT + "; CanvasRenderingContext2D.prototype.stroke = () => {};"
"""The same, placed and numbered and not painted: of what these tests took that was a third, and none looks at a dot."""
