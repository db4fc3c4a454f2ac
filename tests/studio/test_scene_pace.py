"""The basket in the round where drawing is slow: quickly first, in full at rest, nothing for nothing."""

from __future__ import annotations

import pytest
from browser import served, wait_until
from scene_shown import dots, far_apart, files


@pytest.fixture
def paced(tab, request):
    """A tab in which the basket is drawn as the studio draws it: the demo's where a test speaks of it, else a pot."""
    demo = "estuary" in request.fixturenames
    with served(files(request.getfixturevalue("estuary" if demo else "pot"))) as address:
        # Large enough that flat and round reed are compared as an eye sees them.
        page = tab(540, 400) if demo else tab()
        page.goto(f"{address}?paced")
        wait_until(page, "window.ready")
        yield page


def test_without_a_graphics_card_a_basket_is_first_drawn_quickly_and_in_full_once_it_rests(paced, estuary):
    assert paced.evaluate("scene.pace.slow"), "this browser draws by software, and says so"
    paced.evaluate("load('plain')")
    wait_until(paced, "canvas.dataset.lit === 'yes'")
    quick, full = paced.evaluate("[drawn.find((each) => each.quick), drawn.at(-1)]")
    assert not full["quick"] and full["triangles"] > 5 * quick["triangles"]
    in_full = dots(paced)
    assert paced.evaluate("[canvas.width, canvas.height]") == list(in_full.shape[1::-1])
    # The same drawn flat, in as many dots: the same basket, as near as an eye sees in passing.
    paced.evaluate(
        "Object.defineProperty(scene.pace, 'quick', { get: () => true }),"
        "Object.defineProperty(scene.pace, 'share', { get: () => 1 })"
    )
    flat = dots(paced)
    assert paced.evaluate("drawn.at(-1).quick") and 0 < far_apart(flat, in_full) < 4
    covered, covered_flat = ((picture[..., 3] > 127).mean() for picture in (in_full, flat))
    assert covered_flat == pytest.approx(covered, rel=0.02)


def test_while_it_turns_it_is_drawn_quickly_and_in_fewer_dots(paced):
    paced.evaluate("load('plain')")
    wait_until(paced, "canvas.dataset.lit === 'yes'")
    wide = paced.evaluate("canvas.width")
    paced.evaluate("drawn.length = 0, scene.turntable.turn(0.3, 0)")
    wait_until(paced, "drawn.length > 0")
    assert paced.evaluate("drawn[0].quick")
    wait_until(paced, "canvas.dataset.full === 'yes'")
    assert paced.evaluate("canvas.width") == wide


def test_where_drawing_is_fast_it_is_never_drawn_quickly(paced):
    """A clock that stands still is the fastest graphics card there is."""
    paced.evaluate("scene.pace.slow = false, performance.now = () => 0, load('plain')")
    wait_until(paced, "canvas.dataset.lit === 'yes'")
    paced.evaluate("scene.turntable.turn(0.3, 0)")
    wait_until(paced, "drawn.length > 1 && !scene.pace.moving && !scene.pace.watched")
    assert not paced.evaluate("scene.pace.slow") and not paced.evaluate("drawn.some((each) => each.quick)")
