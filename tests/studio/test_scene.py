"""The basket in the round, in a real browser: its colours, its reeds under a finger, its order of work."""

from __future__ import annotations

import base64
from dataclasses import replace

import numpy as np
import pytest
from browser import served, wait_until
from places import ROOT
from samples import pot_text

from slype.colour import oklab_from_rgb, rgb_of
from slype.design.file.reader import parse
from slype.draw.solid import packed, solid, unpacked
from slype.lay.laying import lay
from slype.order.moments import moments

HTML = (
    b'<!doctype html><meta charset="utf-8"><title>Basket</title><link rel="stylesheet" href="page.css">'
    b'<canvas tabindex="0"></canvas><script type="module" src="page.js"></script>'
)
CSS = b"html, body { margin: 0; height: 100% } canvas { display: block; width: 100vw; height: 100vh }"
NEAR = 0.12  # rad between hues that are the same: light on a reed hardly turns its hue
SEEN = 0.01  # of the picture: a colour of the wall covers more than this


def with_times(raw: bytes, seconds: int = 100) -> bytes:
    """The same solid with its points laid one after the other, the first a little after moment 0."""
    header, points, _ = unpacked(raw)
    when = (np.arange(len(points)) + 1) / len(points) * seconds
    return packed({**header, "moments": seconds}, points, when)


def files(design) -> dict[str, bytes]:
    """What the page may ask for. Each basket is worked once, whatever tests show of it."""
    name = f"scene {design.title} {design.hand}"
    if name not in WORKED:
        laid = lay(design)
        plain = solid(laid, revision=3)
        WORKED[name] = {
            "index.html": HTML,
            "page.css": CSS,
            "page.js": (ROOT / "tests" / "support" / "scene_page.js").read_bytes(),
            "plain": plain,
            "timed": with_times(plain),
            "relaxed": solid(laid, revision=3, form="relaxed"),
            "ordered": solid(laid, revision=3, order=moments(laid)),
        }
    return WORKED[name]


WORKED: dict[str, dict[str, bytes]] = {}


@pytest.fixture
def pot():
    return parse(pot_text())


@pytest.fixture
def opened(tab, request):
    """Opens the demo's basket (or `name`) in a tab: opened(name) -> page."""
    servers = []

    def show(name="plain", design="", **more):
        # Where a test speaks of the demo it takes it; else a small pot is drawn ten times as fast.
        design = design or ("estuary" if "estuary" in request.fixturenames else "pot")
        server = served(files(request.getfixturevalue(design)))
        servers.append(server)
        page = tab(**more)
        page.goto(server.__enter__())
        wait_until(page, "window.ready")
        page.evaluate("name => load(name)", name)
        wait_until(page, "drawn.length > 0")
        return page

    yield show
    for server in servers:
        server.__exit__(None, None, None)


def dots(page) -> np.ndarray:
    """(h, w, 4) of 0 to 255."""
    found = page.evaluate("dots()")
    return np.frombuffer(base64.b64decode(found["dots"]), np.uint8).reshape(found["high"], found["wide"], 4)


def of_hue(picture: np.ndarray, colour: str) -> np.ndarray:
    """True (h, w) where dots have the hue of a colour, and are neither much greyer than it nor nearly black."""
    _, a, b = oklab_from_rgb(rgb_of(colour))
    rgb = picture[:, :, :3] / 255.0
    seen = np.unique((rgb * 31).round().astype(int).reshape(-1, 3), axis=0)
    lab = np.array([oklab_from_rgb(tuple(each / 31)) for each in seen])
    off = np.abs(np.angle(np.exp(1j * (np.arctan2(lab[:, 2], lab[:, 1]) - np.arctan2(b, a)))))
    good = (off < NEAR) & (np.hypot(lab[:, 1], lab[:, 2]) > 0.6 * np.hypot(a, b)) & (lab[:, 0] > 0.25)
    table = np.zeros((32, 32, 32), bool)
    table[tuple(seen[good].T)] = True
    return table[tuple(np.moveaxis((rgb * 31).round().astype(int), 2, 0))] & (picture[:, :, 3] > 250)


# What is seen ----------------------------------------------------------------------------------------------------


def test_the_colours_of_the_reed_are_seen_and_no_others(opened, estuary):
    picture = dots(opened())
    for name in ("rust", "slate", "sand", "natural"):
        assert of_hue(picture, estuary.palette[name]).mean() > SEEN, name
    for stranger in ("#3f6b3a", "#5f3150"):  # fern and plum
        assert of_hue(picture, stranger).mean() < SEEN / 4, stranger


def test_the_basket_fills_the_picture_and_nothing_is_cut_off(opened):
    for size in ((700, 400), (390, 700)):
        covered = dots(opened(width=size[0], height=size[1]))[:, :, 3] > 250
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
    page = opened()
    seen = {}
    for view in ("outside", "inside", "above", "under"):
        page.evaluate("view => scene.view(view)", view)
        seen[view] = dots(page).astype(int)
        assert (seen[view][:, :, 3] > 250).mean() > 0.2, view
    for one in seen:
        for other in seen:
            assert one == other or np.abs(seen[one] - seen[other]).mean() > 5, (one, other)


def test_a_new_colour_is_seen_without_new_geometry(opened, estuary):
    page = opened()
    fern = "#3f6b3a"
    before = page.evaluate("scene.sleeve.places.version")
    page.evaluate("colour => scene.recolour({rust: colour})", fern)
    picture = dots(page)
    assert of_hue(picture, fern).mean() > SEEN
    assert of_hue(picture, estuary.palette["rust"]).mean() < SEEN / 4
    assert page.evaluate("scene.sleeve.places.version") == before


def test_hatchings_need_no_colour(opened):
    page = opened()
    page.evaluate("scene.hatch(true)")
    picture = dots(page).astype(int)
    reeds = picture[picture[:, :, 3] > 250][:, :3]
    assert np.ptp(reeds, axis=1).max() <= 2  # grey to a step of the screen
    assert len(np.unique(reeds[:, 0])) > 20
    page.evaluate("scene.hatch(false)")
    assert np.ptp(dots(page).astype(int)[:, :, :3], axis=2).max() > 60


def test_what_is_not_marked_steps_back(opened, estuary):
    page = opened()
    before = of_hue(dots(page), estuary.palette["rust"]).mean()
    page.evaluate("scene.mark((strand) => strand.band === 7)")
    marked = dots(page)
    assert of_hue(marked, estuary.palette["rust"]).mean() < before / 4
    assert of_hue(marked, estuary.palette["slate"]).mean() > SEEN / 2
    page.evaluate("scene.mark(null)")
    assert of_hue(dots(page), estuary.palette["rust"]).mean() == pytest.approx(before)


def test_a_dark_page_gets_a_table_of_its_own(opened):
    page = opened()
    light = dots(page)
    page.evaluate("scene.theme('dark')")
    dark = dots(page)
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
    cells = rings(opened(name))
    reed, kind = np.divmod(np.round(cells[:, 11]).astype(int), 8)
    joins = np.flatnonzero(reed[1:] != reed[:-1])
    assert len(joins) > 40
    assert np.isin(kind[joins], MIDDLES).all() and np.isin(kind[joins + 1], MIDDLES).all()
    assert kind[0] in MIDDLES and kind[-1] in MIDDLES
    # And every reed begins and ends so: two middles, and bark nowhere next to another reed's.
    assert np.isin(kind, MIDDLES).sum() == 2 * len(np.unique(reed))


def test_rings_lie_on_their_reeds_and_stand_across_them_without_twist(opened, estuary):
    cells = rings(opened())
    header, points, _ = unpacked(files(estuary)["plain"])
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
    page = opened()
    page.evaluate("window.room = [scene.sleeve.rings.cells, scene.sleeve.places, scene.mesh.geometry]")
    page.evaluate("load('ordered')")
    wait_until(page, "drawn.length > 1")
    assert page.evaluate("room[0] === scene.sleeve.rings.cells && room[1] === scene.sleeve.places")
    assert page.evaluate("room[2] === scene.mesh.geometry")


# Its light, a moment later ---------------------------------------------------------------------------------------


def far_apart(one: np.ndarray, other: np.ndarray) -> float:
    """Mean difference of two pictures, steps of 255."""
    return np.abs(one.astype(int) - other).mean()


def as_it_is(page) -> np.ndarray:
    """The dots now, whether lit or not."""
    page.evaluate("window.lit = () => {}")
    return dots(page)


def test_a_changed_basket_keeps_the_light_of_the_last_until_its_own_comes(tab, estuary):
    band = replace(estuary.bands[5], rows=estuary.bands[5].rows + 2)
    taller = replace(estuary, bands=(*estuary.bands[:5], band, *estuary.bands[6:]))
    page = tab()
    with served({**files(estuary), "taller": solid(lay(taller), revision=4)}) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        page.evaluate("load('plain')")
        page.evaluate("lit()")
        # Nobody is asked for light: what is seen of the taller basket then is carried light alone.
        page.evaluate("scene.light.send = () => {}, load('taller')")
        wait_until(page, "scene.solid.revision === 4")
        assert page.evaluate("canvas.dataset.lit") == "no"
        carried = as_it_is(page)
        page.evaluate("scene.light.known = null, scene.show(scene.solid)")
        unseen = as_it_is(page)
        page.evaluate("delete scene.light.send, scene.light.send()")
        wait_until(page, "canvas.dataset.lit === 'yes'")
        own = dots(page)
    assert 0 < far_apart(carried, own) < far_apart(unseen, own) / 2, (far_apart(carried, own), far_apart(unseen, own))


def test_the_light_of_a_basket_no_longer_on_show_is_dropped(opened):
    page = opened()
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


def test_where_there_are_no_workers_the_light_is_the_same(opened, tab, estuary):
    with_workers = dots(opened())
    page = tab()
    page.add_init_script("delete window.Worker")
    with served(files(estuary)) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        page.evaluate("load('plain')")
        assert (dots(page) == with_workers).all()


def test_a_basket_counts_as_shown_once_it_has_been_drawn(opened):
    page = opened()
    page.evaluate(
        "window.order = [], canvas.addEventListener('drawn', () => order.push('drawn')),"
        "scene.show(scene.solid, () => order.push('first')), scene.show(scene.solid, () => order.push('second'))"
    )
    wait_until(page, "order.includes('second')")
    assert page.evaluate("order.slice(0, 4)") == ["drawn", "first", "drawn", "second"]
    page.evaluate("scene.drawNow()")
    assert page.evaluate("order.filter((each) => each !== 'drawn')") == ["first", "second"]


# The order of work ---------------------------------------------------------------------------------------------


def test_at_moment_nothing_only_the_ground_is_there_and_at_the_last_all(opened):
    page = opened("timed")
    whole = dots(page)
    page.evaluate("scene.moment(0)")
    assert dots(page).max() == 0, "on a light page the bare table is the page itself"
    page.evaluate("scene.moment(100)")
    assert ((whole[:, :, 3] > 250) == (dots(page)[:, :, 3] > 250)).mean() > 0.999
    page.evaluate("scene.moment(null)")
    assert (dots(page) == whole).all()


def test_the_basket_grows_from_moment_to_moment_and_the_stroke_in_hand_glows(opened):
    page = opened("timed")
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


def test_ends_stand_high_while_the_wall_is_woven_and_not_on_the_finished_basket(opened, estuary):
    page = opened("plain")
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


def test_what_vanishes_is_gone_after_its_moment(opened, estuary, request):
    header, points, when = unpacked(files(estuary)["timed"])
    for each in header["strands"]:
        each["until"] = 50
    opened_files = {**files(estuary), "vanishing": packed(header, points, when)}
    page = request.getfixturevalue("tab")()
    with served(opened_files) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        page.evaluate("load('vanishing')")
        page.evaluate("scene.moment(50)")
        assert (dots(page)[:, :, 3] > 250).any()
        page.evaluate("scene.moment(51)")
        assert not (dots(page)[:, :, 3] > 250).any()


# Under the finger ----------------------------------------------------------------------------------------------


def test_a_click_on_a_rust_reed_picks_a_rust_reed_of_a_band_that_has_rust(opened, estuary):
    page = opened()
    picture = dots(page)
    rust = of_hue(picture, estuary.palette["rust"])
    # Amid rust, so that no edge of a neighbour is meant.
    inner = rust & np.roll(rust, 1, 0) & np.roll(rust, -1, 0) & np.roll(rust, 1, 1) & np.roll(rust, -1, 1)
    places = np.argwhere(inner)
    assert len(places) > 200
    some = places[np.random.default_rng(5).choice(len(places), 40, replace=False)]
    for row, column in some:
        page.mouse.click(int(column), int(row))
    picked = page.evaluate("picked.map((hit) => hit.strand)")
    assert len(picked) == len(some)
    right = [each for each in picked if each and each["colour"] == "rust"]
    assert len(right) >= 0.95 * len(some)
    with_rust = {i for i, band in enumerate(estuary.bands) if "rust" in str(band.colours)}
    assert {each["band"] for each in right} <= with_rust
    assert 5 in {each["band"] for each in right}


def test_a_click_on_the_table_picks_nothing(opened):
    page = opened()
    page.mouse.click(4, 4)
    assert page.evaluate("picked.map((hit) => [hit.strand, hit.index])") == [[None, -1]]


def test_what_is_not_laid_yet_is_not_picked(opened, estuary):
    page = opened("timed")
    rows, columns = np.nonzero(of_hue(dots(page), estuary.palette["rust"]))
    page.evaluate("scene.moment(1)")
    page.mouse.click(int(columns[len(columns) // 2]), int(rows[len(rows) // 2]))
    assert page.evaluate("picked[0].strand?.colour") != "rust"


def test_a_drag_turns_and_does_not_pick(opened):
    page = opened()
    before = dots(page).astype(int)
    page.mouse.move(200, 200)
    page.mouse.down()
    page.mouse.move(320, 200, steps=4)
    page.mouse.up()
    assert page.evaluate("picked.length") == 0
    assert page.evaluate("Math.abs(scene.turntable.pose.around)") > 0.3
    assert np.abs(dots(page).astype(int) - before).mean() > 3


def test_keys_turn_and_zoom_and_home_goes_back(opened):
    page = opened()
    start = page.evaluate("scene.turntable.pose")
    page.focus("canvas")
    for key in ("ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    moved = page.evaluate("scene.turntable.pose")
    assert moved["around"] != start["around"] and moved["up"] > start["up"] and moved["zoom"] > start["zoom"]
    page.keyboard.press("Home")
    assert page.evaluate("scene.turntable.pose") == start


def test_another_form_of_the_same_basket_keeps_the_eye(opened):
    page = opened()
    page.focus("canvas")
    page.keyboard.press("ArrowLeft")
    pose, far = page.evaluate("[scene.turntable.pose, scene.far]")
    page.evaluate("load('relaxed')")
    wait_until(page, "drawn.at(-1).form === 'relaxed'")
    assert page.evaluate("[scene.turntable.pose, scene.far]") == [pose, far]
    assert page.evaluate("drawn.at(-1).revision") == 3


# Nothing for nothing -------------------------------------------------------------------------------------------


# Where drawing is slow ------------------------------------------------------------------------------------------


@pytest.fixture
def paced(tab, estuary):
    """A tab in which the basket is drawn as the studio draws it."""
    with served(files(estuary)) as address:
        page = tab(540, 400)  # large enough that flat and round reed are compared as an eye sees them
        page.goto(f"{address}?paced")
        wait_until(page, "window.ready")
        yield page


def test_without_a_graphics_card_a_basket_is_first_drawn_quickly_and_in_full_once_it_rests(paced):
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


def test_nothing_is_drawn_while_nothing_changes(opened):
    page = opened()
    page.evaluate("lit()")
    page.wait_for_timeout(300)
    before = page.evaluate("drawn.length")
    page.wait_for_timeout(500)
    assert page.evaluate("drawn.length") == before
    page.evaluate("scene.recolour({}), scene.mark(null), scene.moment(null)")
    wait_until(page, f"drawn.length > {before}")
    page.wait_for_timeout(200)
    assert page.evaluate("drawn.length") == before + 1  # three changes, one drawing


def test_a_browser_that_draws_nothing_in_the_round_says_so(tab, estuary):
    page = tab()
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    with served(files(estuary)) as address:
        page.goto(address)
        wait_until(page, "window.ready")
        assert page.evaluate("window.trouble") == "NoWebGL"


def test_other_bytes_are_refused_in_words(opened):
    page = opened()
    said = page.evaluate("load('index.html').catch((trouble) => trouble.message)")
    assert "SLY1" in said


def test_a_left_handed_basket_is_seen_mirrored(tab, estuary):
    both = []
    for hand in ("right", "left"):
        page = tab(width=480, height=360)
        with served(files(replace(estuary, hand=hand))) as address:
            page.goto(address)
            wait_until(page, "window.ready")
            page.evaluate("load('plain')")
            both.append(dots(page)[:, :, 3] > 250)
    right, left = both
    assert (right[:, ::-1] == left).mean() > 0.99
