"""One studio for all tests of the page (each with a basket of its own), and ways to open the page, or the scene."""

import shutil

import class_shown
import pytest
from browser import READY, UNSEEN, quiet, wait_until
from desk import opened as opened_desk
from kept_pages import Kept, Scenes, Tabs, studio_for_many
from page_hands import WAIT
from places import EXAMPLES
from samples import bright_text, pot_text
from scene_shown import UNLIT, files
from studio_run import STACKED, Run

from slype.design.file.reader import parse
from slype.studio.bench import Bench
from slype.studio.journal import Journal

EXTRA = {"reduced_motion": "reduce"}  # the same basket in every picture, and no waiting for a turn to end


@pytest.fixture(scope="session")
def run(tmp_path_factory, kept):
    yield from _studio(tmp_path_factory, kept)


@pytest.fixture(scope="session")
def stacked(tmp_path_factory, kept):
    """The same, but its reeds never come to rest: for tests of fields and fingers, which need not wait for them."""
    yield from _studio(tmp_path_factory, kept, python=STACKED)


def _studio(tmp_path_factory, kept, **how):
    here = tmp_path_factory.mktemp("page")
    (here / "designs").mkdir()
    (here / "state").mkdir()
    with studio_for_many(kept, here / "designs", here / "state", **how) as started:
        yield started


@pytest.fixture(scope="session")
def kept(chromium):
    """Pages that stay open from test to test."""
    return Kept(chromium)


@pytest.fixture
def visit(run, tab, chromium, kept):
    """Opens the page on a basket: visit(basket id, width, height, **more) -> page, once it can be used.

    Only where that is asked for is the basket `drawn`, dot by dot (see `browser.UNSEEN`). Then, or where a `fresh`
    page is asked for, it is one of its own; else one that an earlier test has used (see `kept_pages`).

    Its console must stay quiet, but for what is `refused`: browsers count every refusal as an error of their own.
    """
    extra = []

    def opened(basket="", width=1440, height=900, at=run, refused=False, drawn=False, fresh=False, **more):
        if basket and not (refused or drawn or fresh):
            return kept.take(at, basket, width, height, **EXTRA, **more)
        if refused:
            page = chromium.new_page(viewport={"width": width, "height": height}, **EXTRA, **more)
            if not drawn:
                page.add_init_script(UNSEEN)
            page.on("pageerror", lambda trouble: pytest.fail(f"the page stumbled: {trouble}"))
            extra.append(page)
        else:
            page = tab(width, height, drawn, **EXTRA, **more)
        page.set_default_timeout(WAIT)
        page.goto(at.address + (f"&basket={basket}" if basket else ""))
        page.wait_for_selector(READY)
        return page

    yield opened
    said = kept.come_back()
    for page in extra:
        page.close()
    quiet(said)


@pytest.fixture(scope="session")
def desk(stacked, chromium):
    """The page by the bench: a mouse, a window of middling size."""
    yield from opened_desk(stacked, chromium)


@pytest.fixture(scope="session")
def hand(stacked, chromium):
    """The page in the hand: fingers, a phone."""
    yield from opened_desk(stacked, chromium, has_touch=True, is_mobile=True)


@pytest.fixture
def pot():
    return parse(pot_text())


@pytest.fixture
def bright():
    return parse(bright_text())


@pytest.fixture(scope="session")
def scenes(chromium):
    """Pages that show one basket after the other in the round."""
    with Scenes(chromium) as shown:
        yield shown


@pytest.fixture
def opened(scenes, request):
    """Shows the demo's basket (or `name`) in the round: opened(name) -> page; `lit` as it is, or in even light."""

    def show(name="plain", design="", lit=True, **more):
        # What a test speaks of; else a small pot, which is drawn four times as fast as the demo.
        design = design or next((name for name in ("estuary", "bright") if name in request.fixturenames), "pot")
        page = scenes.page(files(request.getfixturevalue(design)), **more)
        if not lit:
            page.evaluate(UNLIT)
        page.evaluate("name => load(name)", name)
        wait_until(page, "drawn.length > 0")
        return page

    yield show
    quiet(scenes.come_back())


@pytest.fixture
def place(tmp_path):
    """A folder with one design, and room for the studio's memory."""
    (tmp_path / "designs").mkdir()
    (tmp_path / "state").mkdir()
    (tmp_path / "designs" / "pot.toml").write_text("# my own words\n" + pot_text(), encoding="utf-8")
    return tmp_path


@pytest.fixture
def start(place):
    """Starts the studio as often as asked for; all are ended."""
    runs = []

    def started(**how):
        runs.append(Run(place / "designs", place / "state", **how))
        return runs[-1]

    yield started
    for run in runs:
        run.kill()


@pytest.fixture
def bench(place):
    """The bench within this process, to look at files and journal without waiting for a program."""
    opened = Bench([str(place / "designs")], Journal(str(place / "state" / "bench")), parse)
    yield opened
    opened.journal.close()


# Classes ---------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def tabs(chromium):
    """Tabs that are loaded anew for each test."""
    return Tabs(chromium)


@pytest.fixture(scope="session")
def of_classes(tmp_path_factory, tabs):
    """A studio on a folder with the basket that classes weave; its reeds never come to rest (see `stacked`)."""
    folder = tmp_path_factory.mktemp("class")
    shutil.copy(EXAMPLES / "posy.toml", folder)
    with studio_for_many(tabs, folder, folder / "state", python=STACKED) as started:
        yield started


@pytest.fixture
def saturday(run):
    path = run.folder / "saturday.toml"
    path.write_text('[class]\ntitle = "Saturday pots" # early\ndesign = "posy.toml"\nseats = 3\nleft = 1\n', "utf-8")
    yield path
    for basket in run.get("/api/hello").json["bench"]:
        run.ask("DELETE", f"/api/baskets/{basket['id']}")


@pytest.fixture
def room(run, saturday, tabs):
    """The page of a class in a tab: room(width) -> page. What it asks for under `late` is answered once the test calls
    `page.come()`."""

    def opened(width=1440, late=""):
        page = tabs.take(run, width, 900)
        if late:
            kept = []
            page.route(f"**{late}*", lambda route: kept.append(route))
            page.come = lambda: [each.continue_() for each in kept]
        key = run.post("/api/open", {"path": str(saturday)}).json["id"]
        page.goto(f"http://127.0.0.1:{run.port}/class#key={run.key}&basket={key}")
        class_shown.until(page, class_shown.READY)
        return page

    yield opened
    quiet(tabs.come_back())
