"""One studio for all tests of the page (each with a basket of its own), and a way to open the page on a basket."""

import pytest
from browser import READY, UNDRAWN
from page_hands import WAIT
from studio_run import Run

EXTRA = {"reduced_motion": "reduce"}  # the same basket in every picture, and no waiting for a turn to end


@pytest.fixture(scope="session")
def run(tmp_path_factory):
    here = tmp_path_factory.mktemp("page")
    (here / "designs").mkdir()
    (here / "state").mkdir()
    started = Run(here / "designs", here / "state")
    yield started
    started.stop()
    assert "Traceback" not in started.words()


@pytest.fixture
def visit(run, tab, chromium):
    """Opens the page on a basket: visit(basket id, width, height, **more) -> page, once it can be used.

    Only where that is asked for is the basket `drawn`, dot by dot (see `browser.UNDRAWN`).

    Its console must stay quiet, but for what is `refused`: browsers count every refusal as an error of their own.
    """
    extra = []

    def opened(basket: str = "", width=1440, height=900, at=run, refused: bool = False, drawn=False, **more):
        if refused:
            page = chromium.new_page(viewport={"width": width, "height": height}, **EXTRA, **more)
            if not drawn:
                page.add_init_script(UNDRAWN)
            page.on("pageerror", lambda trouble: pytest.fail(f"the page stumbled: {trouble}"))
            extra.append(page)
        else:
            page = tab(width, height, drawn, **EXTRA, **more)
        page.set_default_timeout(WAIT)
        page.goto(at.address + (f"&basket={basket}" if basket else ""))
        page.wait_for_selector(READY)
        return page

    yield opened
    for page in extra:
        page.close()
