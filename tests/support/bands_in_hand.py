"""A stack of bands on the studio's page, its grips and points, and what its basket is at this moment."""

from __future__ import annotations

import time
import tomllib

from page_hands import pot
from studio_run import wait_until

from slype.quantity import parse_length


def design_of(run, basket) -> dict:
    return tomllib.loads(run.text(basket))


def weaves(run, basket) -> list[str]:
    """What each band is, in the file's order."""
    bands = design_of(run, basket)["band"]
    return [f"{band.get('where', 'side')} {band['weave']} {band.get('rows', '')}" for band in bands]


def stack(run) -> str:
    """A basket whose wall has four bands, all different."""
    text = run.text(pot(run))
    more = (("second", "four-rod wale", 3), ("third", "pairing", 4), ("fourth", "three-rod wale", 5))
    bands = "".join(
        f'[[band]]\n# {words}\nweave = "{weave}"\nreed = "round 2"\nrows = {rows}\n' for words, weave, rows in more
    )
    changed = text.replace("[border]", bands + "[border]")
    stack.made += 1
    return run.open(text=f"{changed}# stack {stack.made}\n", name=f"stack {stack.made}")["id"]


stack.made = 0


stack.made = 0


def state(run, basket) -> tuple:
    """Text, and what undo would take back."""
    return run.text(basket), run.get(f"/api/baskets/{basket}").json["undo"]


def stays(run, basket, was, ms=500):
    """The basket is as it was, now and a moment later."""
    assert not wait_until(lambda: state(run, basket) != was, ms / 1000), state(run, basket)


def grip(index: int) -> str:
    return f'li.band[data-band="{index}"] .grip'


def hold(index: int) -> str:
    return f'.profile .hold[data-hold="{index}"]'


def dots_per_mm(page) -> float:
    return page.evaluate(
        "document.querySelector('.profile svg').getBoundingClientRect().width / 300"
        " * Number(document.querySelector('.profile').dataset.scale)"
    )


def settled(run, basket) -> dict:
    """The design once it has not changed for a while."""
    last, end = run.text(basket), time.monotonic() + 0.6
    while time.monotonic() < end:
        time.sleep(0.05)
        now = run.text(basket)
        if now != last:
            last, end = now, time.monotonic() + 0.6
    return tomllib.loads(last)


def inches(text: str) -> float:
    return parse_length(text) / 25.4
