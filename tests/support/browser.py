"""A real browser for the page's tests: Chromium without a window, and a server that sends what the page may use.

Test modules take the fixtures `chromium` (one for all tests) and `tab` (a fresh tab whose console must stay quiet).
Where there is no Chromium their tests are skipped, and say how to get one.
"""

from __future__ import annotations

import contextlib
import http.server
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from places import SHARED

OF_COLOUR = {"options": {"runOnly": ["color-contrast", "link-in-text-block"]}}
"""In dark only the rules that have to do with colour are looked at once more."""
READY = '[data-ready="yes"]'
"""What the studio's page shows once it can be used."""
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
"""The same browser without any window of its own goes first: a page costs it half the processor."""
MISSING = "no Chromium is on the path; to run the page's tests in a browser: sudo apt install chromium-headless-shell"
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Draws in the round by software, so that no graphics card is needed and every machine draws alike.
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--ignore-gpu-blocklist",
    # All else is painted the plain way: software that plays a graphics card is ten times slower at it.
    "--disable-accelerated-2d-canvas",
    "--disable-gpu-rasterization",
    "--disable-gpu-compositing",
]
UNDRAWN = """
{
  const gl = WebGL2RenderingContext.prototype;
  for (const painting of ["drawArrays", "drawElements", "drawArraysInstanced", "drawElementsInstanced",
    "drawRangeElements", "clear", "bufferData", "bufferSubData", "texImage2D", "texSubImage2D", "texStorage2D",
    "blitFramebuffer", "generateMipmap", "compileShader", "linkProgram", "useProgram"])
    gl[painting] = () => {};
  gl.getShaderParameter = () => true;
  const of = {[gl.LINK_STATUS]: true, [gl.ACTIVE_UNIFORMS]: 0, [gl.ACTIVE_ATTRIBUTES]: 0};
  gl.getProgramParameter = (_, asked) => of[asked] ?? 0;
}
"""
"""A page whose basket is reckoned, placed and picked as ever, but for the last step: nothing is handed to the graphics
card, and no dot of it is painted. Without a card that takes most of the processor, and only tests that look at dots
need it."""
UNSEEN = UNDRAWN + """
window.Worker = class {
  postMessage({ number, solid }) {
    const openness = new Int8Array((4 * solid.points.length) / 3);
    setTimeout(() => this.onmessage?.({ data: { number, openness } }));
  }
  terminate() { this.onmessage = null; }
};
"""
"""The same in even light, for pages of which nobody asks how light they are: what of the sky reaches each reed is asked
of a worker of the page, which takes a tenth of what such a page takes, and this one answers at once. `test_scene`, and
the drawn ones of `test_fingers` and of the lesson, have the page's own."""
POLICY = (
    "default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; font-src 'self'"
)
TYPES = {".html": "text/html", ".js": "text/javascript", ".css": "text/css"}


_OPEN: list = []  # the one browser; every test module that takes the fixture has a fixture of its own


@pytest.fixture(scope="session")
def chromium(request):
    """The browser, closed after the last test."""
    playwright = pytest.importorskip("playwright.sync_api", reason="the page's tests need playwright (see pyproject)")
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        pytest.skip(MISSING)
    if not _OPEN:
        running = playwright.sync_playwright().start()
        _OPEN.append(running.chromium.launch(executable_path=path, args=FLAGS))
        request.config.add_cleanup(lambda: (_OPEN.pop().close(), running.stop()))
    return _OPEN[0]


def complains(message) -> bool:
    """Whether a console's message is a complaint of the page: not the browser's own, that fetching a picture which
    software has drawn takes time."""
    return message.type in ("error", "warning") and "GPU stall due to ReadPixels" not in message.text


def quiet(said: list[str]) -> None:
    """No page may have complained of anything."""
    assert not said, "the browser complains:\n" + "\n".join(said)


@pytest.fixture
def tab(chromium):
    """Opens tabs: tab(width, height, drawn, **more) -> page. What any of them complains of fails the test."""
    said, open_ones = [], []

    def opened(width: int = 324, height: int = 240, drawn: bool = True, **more):
        page = chromium.new_page(viewport={"width": width, "height": height}, **more)
        if not drawn:
            page.add_init_script(UNSEEN)
        page.on("console", lambda message: complains(message) and said.append(message.text))
        page.on("pageerror", lambda trouble: said.append(str(trouble)))
        open_ones.append(page)
        return page

    yield opened
    for page in open_ones:
        page.close()
    quiet(said)


WAIT = """async ([arg, ms, patient]) => {
  const end = Date.now() + ms;
  const said = async () => { const found = %s; return typeof found === "function" ? found(arg) : found; };
  for (;;) {
    if (await (patient ? said().catch(() => false) : said())) return true;
    if (Date.now() > end) return false;
    await new Promise((then) => setTimeout(then, 20));
  }
}"""


def comes_true(page, expression: str, seconds: float = 60.0, arg=None, patient: bool = False) -> bool:
    """Whether an expression, or a function of `arg`, comes true in the page in time. `patient`: also where it stumbles.

    The page itself waits: asked from here again and again, that takes a seventh of a processor. (Playwright's own
    waiting evaluates text as the page's own code, which the page's policy forbids.)
    """
    end = time.monotonic() + seconds
    while True:
        try:
            return page.evaluate(WAIT % expression, [arg, max(0.0, end - time.monotonic()) * 1000, patient])
        except Exception as trouble:  # the page is on its way to another
            gone = "context was destroyed" in str(trouble) or "navigat" in str(trouble)
            if not gone or time.monotonic() > end:
                raise
            page.wait_for_timeout(30)


def wait_until(page, expression: str, seconds: float = 60.0) -> None:
    """Waits until an expression is true in the page."""
    assert comes_true(page, expression, seconds), f"after {seconds:.0f} s still not: {expression}"


@contextlib.contextmanager
def served(files: dict[str, bytes], folder: Path = SHARED) -> Iterator[str]:
    """The address of a server of this machine's that sends `files` by name, and else what lies in `folder`.

    It forbids all that the studio's own server forbids.
    """

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            name = self.path.split("?")[0].strip("/") or "index.html"
            path = folder / name
            body = files.get(name) or (path.read_bytes() if path.is_file() else b"")
            self.send_response(200 if body or name == "favicon.ico" else 404)
            self.send_header("Content-Type", TYPES.get(Path(name).suffix, "application/octet-stream"))
            self.send_header("Content-Length", str(len(body)))
            self.send_header("Content-Security-Policy", POLICY)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_):
            """Says nothing."""

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield f"http://127.0.0.1:{server.server_port}/"
        finally:
            server.shutdown()
