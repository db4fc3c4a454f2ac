"""The basket in the round as it is woven: what is laid by a moment is seen, and no more."""

from __future__ import annotations

import numpy as np
from scene_shown import UNLIT, dots, files

from slype.draw.solid import packed, unpacked


def test_at_moment_nothing_only_the_ground_is_there_and_at_the_last_all(opened):
    page = opened("timed", lit=False)
    whole = dots(page)
    assert dots(page, "scene.moment(0)").max() == 0, "on a light page the bare table is the page itself"
    assert ((whole[:, :, 3] > 250) == (dots(page, "scene.moment(100)")[:, :, 3] > 250)).mean() > 0.999
    assert (dots(page, "scene.moment(null)") == whole).all()


def test_the_basket_grows_from_moment_to_moment_and_the_stroke_in_hand_glows(opened):
    page = opened("timed", lit=False)
    covered = []
    for moment in (10, 40, 70, 95):
        covered.append((dots(page, f"scene.moment({moment})")[:, :, 3] > 250).sum())
    assert covered == sorted(covered) and covered[0] > 0 and covered[-1] > 1.3 * covered[0]
    # At the last moment all is laid, so what differs from the finished basket is the glow of the last stroke.
    in_hand = dots(page, "scene.moment(100)").astype(int)
    change = in_hand - dots(page, "scene.moment(null)")
    was_there = in_hand[:, :, 3] > 250
    glowing = was_there & (change[:, :, 0] - change[:, :, 2] > 40)
    assert 20 < glowing.sum() < 0.05 * was_there.sum()


def test_ends_stand_high_while_the_wall_is_woven_and_not_on_the_finished_basket(opened):
    page = opened("plain", lit=False)
    plain = dots(page)[:, :, 3] > 250
    page.evaluate("load('ordered')")
    assert ((dots(page)[:, :, 3] > 250) == plain).mean() > 0.99  # framed alike to a dot
    woven = dots(page, "scene.moment(scene.solid.moments >> 1)")[:, :, 3] > 250
    rows = np.flatnonzero(woven.any(axis=1))
    assert rows[0] > 0, "the ends are cut off"
    assert np.ptp(rows) > 0.85 * woven.shape[0]
    # Above lie thin ends with gaps between them, below the base and what there is of the wall, lower still only tails.
    high, low = woven[rows[0] + np.ptp(rows) // 4], woven[rows[0] + np.ptp(rows) * 7 // 10]
    assert np.abs(np.diff(high.astype(int))).sum() > 20
    assert low.sum() > high.sum()
    assert ((dots(page, "scene.moment(null)")[:, :, 3] > 250) == plain).mean() > 0.99


def test_what_vanishes_is_gone_after_its_moment(pot, scenes):
    header, points, when = unpacked(files(pot)["timed"])
    for each in header["strands"]:
        each["until"] = 50
    page = scenes.page({**files(pot), "vanishing": packed(header, points, when)})
    page.evaluate(UNLIT)
    page.evaluate("load('vanishing')")
    assert (dots(page, "scene.moment(50)")[:, :, 3] > 250).any()
    assert not (dots(page, "scene.moment(51)")[:, :, 3] > 250).any()
    assert not scenes.come_back()


FOOT_IN_HAND = """async () => {
  const { Follower } = await import('/scene/following.js');
  const parts = [['base', '', 0, 1], ['base', 'foot', 0, 50], ['border', 'foot', null, 80]];
  const told = { around: Array(100).fill(0), up: Array(100).fill(-60) };
  told.parts = parts.map(([part, of, band, first]) => ({ part, of, band, first }));
  const follower = new Follower(false), seen = [];
  for (const moment of [10, 60, 90]) {
    scene.moment(moment, told.parts.findLast((each) => moment >= each.first).of);
    const before = follower.goal;
    follower.to(scene, told, moment);
    seen.push({ of: scene.of, released: before !== null && !follower.waiting, zoom: follower.framing.zoom });
    follower.whole = new Follower(false).frame(scene, told, { part: 'fit', of: '', band: null, first: 1 }, -60).zoom;
  }
  follower.stop();
  return [seen, follower.whole];
}"""


def test_while_its_foot_is_worked_the_whole_basket_is_looked_at_and_the_eye_does_not_jump(opened):
    """A foot is woven at the basket, not by itself as a lid is."""
    page = opened("timed", design="estuary", lit=False)
    (base, *foot), whole = page.evaluate(FOOT_IN_HAND)
    assert base["zoom"] > 1.2 * whole, "rows of its base from near"
    for seen in foot:
        assert seen == {"of": "", "released": False, "zoom": whole}
