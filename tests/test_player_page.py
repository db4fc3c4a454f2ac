"""The player of strokes in a real browser: the basket turns with the work, and does not where the maker says so."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from browser import chromium, tab, wait_until  # noqa: F401  they are fixtures
from conftest import EXAMPLES
from studio_run import Run

from slype.studio_answers import ANSWERS

READY = '[data-ready="yes"]'
FRONT = 16.0
"""Degrees off the middle within which a stroke may wander before the basket turns (`following.js`)."""
SEEN = 60.0
LISTEN = """window.poses = []; document.querySelector('.stage canvas').addEventListener('drawn',
  ({detail}) => window.poses.push([detail.pose.around * 180 / Math.PI, detail.pose.up * 180 / Math.PI,
    detail.pose.zoom, performance.now()]))"""
TO = """moment => { const slider = document.querySelector('#moment'); slider.value = moment;
  slider.dispatchEvent(new Event('input', {bubbles: true})) }"""


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    here = tmp_path_factory.mktemp("player")
    (here / "designs").mkdir()
    started = Run(here / "designs", here / "state")
    yield started
    started.stop()
    assert "Traceback" not in started.words()


@pytest.fixture(scope="module")
def told():
    return ANSWERS["moments"]((EXAMPLES / "estuary.toml").read_text(encoding="utf-8"), "estuary.toml", {}, print)


@pytest.fixture
def player(run, tab):  # noqa: F811
    """The page on the demo's basket with its player open: player(reduced_motion) -> page."""

    def opened(motion: str = "reduce", **more):
        page = tab(1200, 900, reduced_motion=motion, **more)
        page.goto(run.address + f"&basket={run.open(example='estuary')['id']}")
        page.wait_for_selector(READY)
        wait_until(page, "document.querySelector('.which').textContent.includes('at rest')")
        page.click("[data-do=play]")
        page.wait_for_selector("#moment")
        page.evaluate(LISTEN)
        return page

    return opened


def off(one: float, other: float) -> float:
    """Degrees between two directions round the basket."""
    return abs((one - other + 180) % 360 - 180)


def pose(page) -> list[float]:
    """Where the eye stands once the picture has been drawn."""
    page.wait_for_timeout(80)
    return page.evaluate("window.poses.at(-1)")


def test_the_basket_turns_so_that_every_stroke_is_in_front(player, told):
    page = player()
    for moment in [*range(15, told["moments"], 61), told["moments"]]:
        page.evaluate(TO, moment)
        around, up, *_ = pose(page)
        assert off(around, told["around"][moment - 1]) < FRONT + 1, moment
        assert up == pytest.approx(told["up"][moment - 1], abs=0.5), moment


def test_the_switch_stops_it_and_is_remembered(player, told):
    page = player()
    page.evaluate(TO, 600)
    before = pose(page)
    page.uncheck("text=turn with the work")
    for moment in (40, 616, 1400):
        page.evaluate(TO, moment)
        assert pose(page)[:3] == before[:3]
    page.reload()
    page.wait_for_selector(READY)
    page.click("[data-do=play]")
    page.wait_for_selector("#moment")
    assert not page.is_checked(".turns input")
    page.evaluate(LISTEN)
    page.check(".turns input")
    page.evaluate(TO, 616)
    assert off(pose(page)[0], told["around"][615]) < FRONT + 1


def test_it_waits_while_a_hand_turns_the_basket(player, told):
    page = player()
    page.evaluate(TO, 600)
    page.focus(".stage canvas")
    page.keyboard.press("ArrowLeft")
    turned = pose(page)
    for moment in (601, 616):
        page.evaluate(TO, moment)
        assert pose(page)[:3] == turned[:3]
    page.wait_for_timeout(4100)  # long since let go
    page.evaluate(TO, 617)
    assert off(pose(page)[0], told["around"][616]) < FRONT + 1


def test_a_running_play_turns_without_a_jerk_and_never_loses_the_stroke(player, told):
    page = player("no-preference")
    page.evaluate(TO, 600)
    page.wait_for_timeout(2500)
    page.evaluate("window.poses = []; window.moves = []")
    page.evaluate(
        "new MutationObserver(() => window.moves.push([performance.now(), document.querySelector('#moment').value]))"
        ".observe(document.querySelector('.playline .count'), {childList: true, characterData: true, subtree: true})"
    )
    page.click("[data-do=play-run]")
    page.wait_for_timeout(9000)
    page.click("[data-do=play-run]")
    poses, moves = page.evaluate("[window.poses, window.moves]")
    assert len(moves) > 15 and len(poses) > 40
    for at, moment in moves:
        around = [each[0] for each in poses if each[3] <= at][-1:]
        assert not around or off(around[0], told["around"][int(moment) - 1]) < SEEN, moment
    fastest = 0.0
    for one, other in pairwise(poses):
        passed = (other[3] - one[3]) / 1000
        if 0 < passed < 0.2:
            fastest = max(fastest, off(one[0], other[0]) / max(passed, 1 / 60))
    assert 5 < fastest < 160, "degrees a second"
    assert math.isfinite(fastest)


def test_tails_hang_where_weavers_wait_and_are_gone_at_the_end(player, told):
    """Drawn, not only sent: what hangs stands out from the basket, in its weavers' colours."""
    page = player()
    page.evaluate(TO, 700)  # four weavers of a wale
    page.wait_for_timeout(300)
    assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == "4"
    page.evaluate(TO, told["moments"])
    page.wait_for_timeout(300)
    assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == "0"
