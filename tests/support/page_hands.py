"""What tests do on the studio's page: wait, open a part, drag; and the baskets they do it with."""

from __future__ import annotations

from browser import comes_true
from samples import pot_text

WAIT = 40_000
SMALL, HAND = (1000, 760), (390, 900)
"""Windows in which a whole short list of bands can be seen."""
SLOWLY, FAST = (24, 15), (2, 0)
"""Steps of a drag, and ms between them."""


def until(page, true: str, arg=None, timeout: int = WAIT):
    """Waits until an expression of the page, or a function of `arg`, is true."""
    assert comes_true(page, true, timeout / 1000, arg), f"in vain: {true}"


def example(run, name: str = "estuary") -> str:
    """A fresh copy of an example, by its id."""
    text = run.text(run.open(example=name)["id"])
    return run.open(text=text + f"\n# copy {example.made}\n", name=f"{name} {next_number()}")["id"]


example.made = 0


def next_number() -> int:
    example.made += 1
    return example.made


def pot(run) -> str:
    return run.open(text=pot_text() + f"\n# copy {next_number()}\n", name=f"pot {example.made}")["id"]


def part(page, name: str):
    page.get_by_role("tab", name=name).click()


def middle(page, what: str) -> tuple[float, float]:
    """The middle of something, once it is in sight."""
    found = page.locator(what).first
    found.scroll_into_view_if_needed()
    box = found.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, start, end, pace=SLOWLY, drop=True):
    steps, ms = pace
    page.mouse.move(*start)
    page.mouse.down()
    for k in range(1, steps + 1):
        page.mouse.move(*(a + (b - a) * k / steps for a, b in zip(start, end, strict=True)))
        if ms:
            page.wait_for_timeout(ms)
    if drop:
        page.mouse.up()
