"""The basket in the round, in a real browser: its colours, its reeds under a finger, its order of work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from browser import served, wait_until
from scene_shown import SEEN, UNLIT, dots, far_apart, files, of_hue

from slype.draw.solid import solid, unpacked
from slype.lay.laying import lay

# What is seen ----------------------------------------------------------------------------------------------------


def test_the_colours_of_the_reed_are_seen_and_no_others(opened, estuary):
    picture = dots(opened())
    for name in ("rust", "slate", "sand", "natural"):
        assert of_hue(picture, estuary.palette[name]).mean() > SEEN, name
    for stranger in ("#3f6b3a", "#5f3150"):  # fern and plum
        assert of_hue(picture, stranger).mean() < SEEN / 4, stranger


def test_the_basket_fills_the_picture_and_nothing_is_cut_off(opened):
    for size in ((700, 400), (390, 700)):
        covered = dots(opened(lit=False, width=size[0], height=size[1]))[:, :, 3] > 250
        rows, columns = np.flatnonzero(covered.any(axis=1)), np.flatnonzero(covered.any(axis=0))
        assert max(np.ptp(rows) / covered.shape[0], np.ptp(columns) / covered.shape[1]) > 0.85, size
        assert rows[0] > 0 and columns[0] > 0 and rows[-1] < covered.shape[0] - 1, size
        assert columns[-1] < covered.shape[1] - 1, size


@pytest.mark.parametrize("design", ["posy", "quayside", "saltmarsh"])
def test_every_example_is_shown(opened, design, request):
    palette = request.getfixturevalue(design).palette
    picture = dots(opened(design=design))
    shown = [name for name, colour in palette.items() if of_hue(picture, colour).mean() > SEEN / 2]
    assert len(shown) >= 2, shown
    assert (picture[:, :, 3] > 250).mean() > 0.15


def test_every_view_shows_another_side(opened):
    page = opened(lit=False)
    seen = {}
    for view in ("outside", "inside", "above", "under"):
        seen[view] = dots(page, f"scene.view('{view}')").astype(int)
        assert (seen[view][:, :, 3] > 250).mean() > 0.2, view
    for one in seen:
        for other in seen:
            assert one == other or np.abs(seen[one] - seen[other]).mean() > 5, (one, other)


def test_a_new_colour_is_seen_without_new_geometry(opened, bright):
    page = opened(lit=False, width=324, height=240)
    fern = "#3f6b3a"
    before = page.evaluate("scene.sleeve.places.version")
    picture = dots(page, f"scene.recolour({{rust: '{fern}'}})")
    assert of_hue(picture, fern).mean() > SEEN
    assert of_hue(picture, bright.palette["rust"]).mean() < SEEN / 4
    assert page.evaluate("scene.sleeve.places.version") == before


def test_hatchings_need_no_colour(opened):
    page = opened(lit=False)
    picture = dots(page, "scene.hatch(true)").astype(int)
    reeds = picture[picture[:, :, 3] > 250][:, :3]
    assert np.ptp(reeds, axis=1).max() <= 2  # grey to a step of the screen
    assert len(np.unique(reeds[:, 0])) > 20
    assert np.ptp(dots(page, "scene.hatch(false)").astype(int)[:, :, :3], axis=2).max() > 60


def test_what_is_not_marked_steps_back(opened, bright):
    page = opened(lit=False)
    before = of_hue(dots(page), bright.palette["rust"]).mean()
    marked = dots(page, "scene.mark((strand) => strand.band === 1)")
    assert of_hue(marked, bright.palette["rust"]).mean() < before / 4
    assert of_hue(marked, bright.palette["slate"]).mean() > SEEN / 2
    assert of_hue(dots(page, "scene.mark(null)"), bright.palette["rust"]).mean() == pytest.approx(before)


def test_a_dark_page_gets_a_table_of_its_own(opened):
    page = opened()
    light = dots(page)
    dark = dots(page, "scene.theme('dark')")
    table = (light[:, :, 3] < 250) & (dark[:, :, 3] > 0) & (dark[:, :, 3] < 250)
    assert table.mean() > 0.1
    assert dark[table][:, :3].mean() > light[table][:, :3].mean() + 2  # a pool of light in place of a shadow alone


# The rings of all reeds, one long sleeve -------------------------------------------------------------------------

MIDDLES = (1, 4)  # of the cut ends, see KINDS in tube.js


def rings(page) -> np.ndarray:
    """(k, 12) of every ring on show: place, mm along; direction, moment; side, 8 reed + kind."""
    cells = page.evaluate("Array.from(scene.sleeve.rings.cells.subarray(0, 12 * scene.sleeve.rings.many))")
    return np.array(cells).reshape(-1, 12)


@pytest.mark.parametrize("name", ["plain", "ordered"])
def test_what_joins_one_reed_to_the_next_has_no_width(opened, name):
    cells = rings(opened(name, drawn=False, lit=False))
    reed, kind = np.divmod(np.round(cells[:, 11]).astype(int), 8)
    joins = np.flatnonzero(reed[1:] != reed[:-1])
    assert len(joins) > 40
    assert np.isin(kind[joins], MIDDLES).all() and np.isin(kind[joins + 1], MIDDLES).all()
    assert kind[0] in MIDDLES and kind[-1] in MIDDLES
    # And every reed begins and ends so: two middles, and bark nowhere next to another reed's.
    assert np.isin(kind, MIDDLES).sum() == 2 * len(np.unique(reed))


def test_rings_lie_on_their_reeds_and_stand_across_them_without_twist(opened, bright):
    cells = rings(opened(drawn=False, lit=False))
    header, points, _ = unpacked(files(bright)["plain"])
    reed, kind = np.divmod(np.round(cells[:, 11]).astype(int), 8)
    along, side = cells[:, 4:7], cells[:, 8:11]
    assert np.abs(np.linalg.norm(along, axis=1) - 1).max() < 1e-5
    assert np.abs(np.linalg.norm(side, axis=1) - 1).max() < 1e-5
    assert np.abs(np.einsum("ij,ij->i", along, side)).max() < 1e-5
    # Carried on, a side turns no more than the reed itself does: else reeds would look wrung.
    same = reed[1:] == reed[:-1]
    turn = np.arccos(np.clip(np.einsum("ij,ij->i", side[1:], side[:-1]), -1, 1))
    bend = np.arccos(np.clip(np.einsum("ij,ij->i", along[1:], along[:-1]), -1, 1))
    assert (turn[same] <= bend[same] + 1e-3).all()
    for number, strand in enumerate(header["strands"]):
        mine = cells[(reed == number) & np.isin(kind, (0, 5, 6))]
        line = points[strand["first"] : strand["first"] + strand["count"]]
        if strand["count"] < 2:
            continue
        off = np.linalg.norm(line[:, None] - mine[None, :, :3], axis=2).min(axis=1)
        assert off.max() < 1e-3, strand["name"]  # every point has its ring
        # Edges of cuts are where it is cut, and not where it goes on as another reed.
        edges = [(kind[reed == number] == edge).any() for edge in (2, 3)]
        assert edges == [not on for on in strand.get("whole", (False, False))], strand["name"]
        assert (np.diff(mine[:, 3]) >= 0).all()
        chords = np.linalg.norm(np.diff(mine[:, :3], axis=0), axis=1).sum()
        assert mine[-1, 3] == pytest.approx(chords, rel=0.02), strand["name"]


def test_a_changed_basket_takes_no_new_room(opened):
    page = opened(drawn=False, lit=False)
    page.evaluate("window.room = [scene.sleeve.rings.cells, scene.sleeve.places, scene.mesh.geometry]")
    page.evaluate("load('ordered')")
    wait_until(page, "drawn.length > 1")
    assert page.evaluate("room[0] === scene.sleeve.rings.cells && room[1] === scene.sleeve.places")
    assert page.evaluate("room[2] === scene.mesh.geometry")


# Its light, a moment later ---------------------------------------------------------------------------------------


def as_it_is(page) -> np.ndarray:
    """The dots now, whether lit or not."""
    page.evaluate("window.lit = () => {}")
    return dots(page)


def test_a_changed_basket_keeps_the_light_of_the_last_until_its_own_comes(scenes, bright):
    band = replace(bright.bands[0], rows=bright.bands[0].rows + 1)
    taller = replace(bright, bands=(band, *bright.bands[1:]))
    page = scenes.page({**files(bright), "taller": solid(lay(taller), revision=4)})
    page.evaluate("load('plain')")
    page.evaluate("lit()")
    # Nobody is asked for light: what is seen of the taller basket then is carried light alone.
    page.evaluate("scene.light.send = () => {}, load('taller')")
    wait_until(page, "scene.solid.revision === 4")
    assert page.evaluate("canvas.dataset.lit") == "no"
    carried = as_it_is(page)
    unseen = dots(page, "scene.light.known = null, scene.show(scene.solid)")
    page.evaluate("delete scene.light.send, scene.light.send()")
    wait_until(page, "canvas.dataset.lit === 'yes'")
    own = dots(page)
    assert not scenes.come_back()
    assert 0 < far_apart(carried, own) < far_apart(unseen, own) / 2, (far_apart(carried, own), far_apart(unseen, own))


def test_the_light_of_a_basket_no_longer_on_show_is_dropped(opened):
    page = opened(drawn=False)
    page.evaluate("lit()")
    page.evaluate(
        "window.asked = [], scene.light.send = () => asked.push(scene.light.number);"
        "load('plain').then(() => load('ordered'))"
    )
    wait_until(page, "asked.length === 2")
    before = page.evaluate("scene.sleeve.open.version")
    page.evaluate("scene.light.answered({number: asked[0], openness: new Int8Array(4)})")
    assert page.evaluate("scene.sleeve.open.version") == before and page.evaluate("asked.length") == 3
    page.wait_for_timeout(100)
    assert page.evaluate("canvas.dataset.lit") == "no"
    page.evaluate("delete scene.light.send, scene.light.send()")
    wait_until(page, "canvas.dataset.lit === 'yes'")


def test_in_a_fresh_page_and_where_there_are_no_workers_it_looks_the_same_to_a_dot(opened, scenes, tab, pot):
    """Of a page that stays open for all tests only what draws goes on to the next; it was told much before."""
    page = opened("timed")
    dots(page, "scene.hatch(true), scene.theme('dark'), scene.moment(40), scene.mark(() => true), scene.view('above')")
    assert not scenes.come_back()
    with_workers = dots(opened())
    page = tab(216, 160)
    page.add_init_script("delete window.Worker")
    with served(files(pot)) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        page.evaluate("load('plain')")
        assert (dots(page) == with_workers).all()


def test_a_basket_counts_as_shown_once_it_has_been_drawn(opened):
    page = opened(drawn=False)
    page.evaluate(
        "window.order = [], canvas.addEventListener('drawn', () => order.push('drawn')),"
        "scene.show(scene.solid, () => order.push('first')), scene.show(scene.solid, () => order.push('second'))"
    )
    wait_until(page, "order.includes('second')")
    assert page.evaluate("order.slice(0, 4)") == ["drawn", "first", "drawn", "second"]
    page.evaluate("scene.drawNow()")
    assert page.evaluate("order.filter((each) => each !== 'drawn')") == ["first", "second"]


# Where drawing is slow ------------------------------------------------------------------------------------------


def test_nothing_is_drawn_while_nothing_changes(opened):
    page = opened(drawn=False)
    page.evaluate("lit()")
    page.wait_for_timeout(300)
    before = page.evaluate("drawn.length")
    page.wait_for_timeout(500)
    assert page.evaluate("drawn.length") == before
    page.evaluate("scene.recolour({}), scene.mark(null), scene.moment(null)")
    wait_until(page, f"drawn.length > {before}")
    page.wait_for_timeout(200)
    assert page.evaluate("drawn.length") == before + 1  # three changes, one drawing


def test_a_browser_that_draws_nothing_in_the_round_says_so(tab, pot):
    page = tab()
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    with served(files(pot)) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        assert page.evaluate("window.trouble") == "NoWebGL"


def test_other_bytes_are_refused_in_words(opened):
    page = opened(drawn=False)
    said = page.evaluate("load('index.html').catch((trouble) => trouble.message)")
    assert "SLY1" in said


def test_a_left_handed_basket_is_seen_mirrored(scenes, pot):
    both = []
    for hand in ("right", "left"):
        page = scenes.page(files(replace(pot, hand=hand)))
        page.evaluate(UNLIT)
        page.evaluate("load('plain')")
        both.append(dots(page)[:, :, 3] > 250)
    assert not scenes.come_back()
    right, left = both
    assert (right[:, ::-1] == left).mean() > 0.99 > 0.98 > (right == left).mean()
