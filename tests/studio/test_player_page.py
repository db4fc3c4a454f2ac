"""The player of strokes in a real browser: the basket turns with the work, and does not where the maker says so."""

from __future__ import annotations

from itertools import pairwise

import pytest
from browser import READY, wait_until
from page_hands import example
from places import EXAMPLES

from slype.studio.answers import ANSWERS

FRONT = 16.0
"""Degrees off the middle within which a stroke may wander before the basket turns (`following.js`)."""
SEEN = 60.0
LISTEN = """window.poses = []; document.querySelector('.stage canvas').addEventListener('drawn',
  ({detail}) => window.poses.push([detail.pose.around * 180 / Math.PI, detail.pose.up * 180 / Math.PI,
    detail.pose.zoom, performance.now()]))"""
TO = """moment => { window.poses = []; const slider = document.querySelector('#moment'); slider.value = moment;
  slider.dispatchEvent(new Event('input', {bubbles: true})) }"""


@pytest.fixture(scope="module")
def told():
    return ANSWERS["moments"]((EXAMPLES / "estuary.toml").read_text(encoding="utf-8"), "estuary.toml", {}, print)


@pytest.fixture
def player(run, visit):
    """The page on the demo's basket with its player open: player() -> page."""

    def opened():
        page = visit(example(run), 760, 700)
        wait_until(page, "document.querySelector('.which').textContent === 'Settled'")
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
    wait_until(page, "window.poses.length > 0")
    return page.evaluate("window.poses.at(-1)")


def test_the_basket_turns_so_that_every_stroke_is_in_front(player, told):
    page = player()
    for moment in [*range(15, told["moments"], 193), told["moments"]]:
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


HAND = """moments => {
  const canvas = document.querySelector('.stage canvas'), slider = document.querySelector('#moment');
  window.poses = [];
  canvas.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowLeft'}));
  for (const moment of moments) {
    slider.value = moment;
    slider.dispatchEvent(new Event('input', {bubbles: true}));
  }
}"""


def test_it_waits_while_a_hand_turns_the_basket(player, told):
    page = player()
    page.evaluate(TO, 600)
    before = pose(page)
    page.evaluate(HAND, [601, 616])
    around, *same = pose(page)[:3]
    assert off(around, before[0] + 7.5) < 0.01 and same == before[1:3], "only as the hand has turned it"
    page.wait_for_timeout(4100)  # long since let go
    page.evaluate(TO, 617)
    assert off(pose(page)[0], told["around"][616]) < FRONT + 1


RUN = """async ([told, first, last, fps]) => {
  const { Follower } = await import('/page/scene/following.js');
  const { requestAnimationFrame } = window;
  window.requestAnimationFrame = () => 1;
  const scene = {
    solid: { strands: [] }, size: { low: 0 }, canvas: {}, poseFor: () => ({ zoom: 1, pan: [0, 0] }),
    turntable: {
      handAt: -Infinity, pose: { around: 0, up: 0.4, zoom: 1, pan: [0, 0] },
      lead(pose) { this.pose = pose; },
    },
  };
  const follower = new Follower(false), out = [];
  for (let frame = 0, moment = first; ; frame++) {
    const now = (frame * 1000) / fps;
    const due = first + Math.floor(now / 350);
    if (due > last) {
      window.requestAnimationFrame = requestAnimationFrame;
      return out;
    }
    if (frame === 0 || due > moment) follower.to(scene, told, Math.min(last, (moment = due) + 1));
    if (follower.waiting) follower.step(scene, now);
    const { around, up } = scene.turntable.pose;
    out.push([now, moment, (around * 180) / Math.PI, (up * 180) / Math.PI]);
  }
}"""


@pytest.mark.parametrize("fps", [60, 8])
def test_a_running_play_turns_evenly_and_never_loses_the_stroke(player, told, fps):
    """The player's own path at 350 ms a move, frame by frame, on a quick screen and a slow one."""
    page = player()
    parts = {(part["part"], part["band"]): part for part in told["parts"]}
    first, last = parts["side", 4]["first"], parts["border", None]["last"]  # the side and the border
    wale = parts["side", 5]["first"]  # of four rods, and most of the side
    path = page.evaluate(RUN, [told, first, last, fps])
    lost = [moment for now, moment, around, _ in path if now > 2000 and off(around, told["around"][moment - 1]) > SEEN]
    # Where a band begins the work jumps to another place, and the eye is under way for a second or two.
    assert len(lost) < 0.03 * len(path)
    turned = [off(one[2], other[2]) / (other[0] - one[0]) * 1000 for one, other in pairwise(path)]
    assert max(turned) < 155, "degrees a second"
    steady = [speed for speed, (now, moment, *_) in zip(turned, path, strict=False) if wale + 80 < moment < wale + 160]
    one_space = 360 / 32 / 0.35  # a space in 350 ms
    assert 0.8 * one_space < sum(steady) / len(steady) < 1.2 * one_space
    if fps == 60:
        assert max(steady) < 1.8 * one_space, "no jerk from move to move"


def test_tails_hang_where_weavers_wait_and_are_gone_at_the_end(player, told):
    """Drawn, not only sent: what hangs stands out from the basket, in its weavers' colours."""
    page = player()
    wale = next(part for part in told["parts"] if part["band"] == 5)  # of four rods
    page.evaluate(TO, wale["first"] + 80)
    page.wait_for_timeout(300)
    assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == "4"
    page.evaluate(TO, told["moments"])
    page.wait_for_timeout(300)
    assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == "0"
