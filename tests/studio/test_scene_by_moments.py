"""The basket in the round as it is woven: what is laid by a moment is seen, and no more."""

from __future__ import annotations

import numpy as np
from browser import served, wait_until
from scene_shown import UNLIT, dots, files

from slype.draw.solid import packed, unpacked


def test_at_moment_nothing_only_the_ground_is_there_and_at_the_last_all(opened):
    page = opened("timed", lit=False)
    whole = dots(page)
    page.evaluate("scene.moment(0)")
    assert dots(page).max() == 0, "on a light page the bare table is the page itself"
    page.evaluate("scene.moment(100)")
    assert ((whole[:, :, 3] > 250) == (dots(page)[:, :, 3] > 250)).mean() > 0.999
    page.evaluate("scene.moment(null)")
    assert (dots(page) == whole).all()


def test_the_basket_grows_from_moment_to_moment_and_the_stroke_in_hand_glows(opened):
    page = opened("timed", lit=False)
    covered = []
    for moment in (10, 40, 70, 95):
        page.evaluate("moment => scene.moment(moment)", moment)
        covered.append((dots(page)[:, :, 3] > 250).sum())
    assert covered == sorted(covered) and covered[0] > 0 and covered[-1] > 1.3 * covered[0]
    # At the last moment all is laid, so what differs from the finished basket is the glow of the last stroke.
    page.evaluate("scene.moment(100)")
    in_hand = dots(page).astype(int)
    page.evaluate("scene.moment(null)")
    change = in_hand - dots(page)
    was_there = in_hand[:, :, 3] > 250
    glowing = was_there & (change[:, :, 0] - change[:, :, 2] > 40)
    assert 20 < glowing.sum() < 0.05 * was_there.sum()


def test_ends_stand_high_while_the_wall_is_woven_and_not_on_the_finished_basket(opened):
    page = opened("plain", lit=False)
    plain = dots(page)[:, :, 3] > 250
    page.evaluate("load('ordered')")
    assert ((dots(page)[:, :, 3] > 250) == plain).mean() > 0.99  # framed alike to a dot
    half = page.evaluate("scene.solid.moments >> 1")
    page.evaluate("moment => scene.moment(moment)", half)
    woven = dots(page)[:, :, 3] > 250
    rows = np.flatnonzero(woven.any(axis=1))
    assert rows[0] > 0, "the ends are cut off"
    assert np.ptp(rows) > 0.85 * woven.shape[0]
    # Above lie thin ends with gaps between them, below the base and what there is of the wall.
    high, low = woven[rows[0] + np.ptp(rows) // 4], woven[rows[0] + np.ptp(rows) * 9 // 10]
    assert np.abs(np.diff(high.astype(int))).sum() > 20
    assert low.sum() > high.sum()
    page.evaluate("scene.moment(null)")
    assert ((dots(page)[:, :, 3] > 250) == plain).mean() > 0.99


def test_what_vanishes_is_gone_after_its_moment(pot, tab):
    header, points, when = unpacked(files(pot)["timed"])
    for each in header["strands"]:
        each["until"] = 50
    opened_files = {**files(pot), "vanishing": packed(header, points, when)}
    page = tab()
    with served(opened_files) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        page.evaluate(UNLIT)
        page.evaluate("load('vanishing')")
        page.evaluate("scene.moment(50)")
        assert (dots(page)[:, :, 3] > 250).any()
        page.evaluate("scene.moment(51)")
        assert not (dots(page)[:, :, 3] > 250).any()
