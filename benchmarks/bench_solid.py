"""How long the studio's solid takes: bytes in Python, reeds and picture in a browser without a graphics card.

Run as `PYTHONPATH=src:tests python benchmarks/bench_solid.py`. Ratios are taken within one run; they travel better
between machines than milliseconds. `--relaxed` brings every example to rest first, which takes minutes.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import median

import slype
from slype.design_file import load
from slype.lay import Laid, lay
from slype.solid import solid, unpacked
from slype.tubes import tubes
from slype.woven_curves import stacked_curves

EXAMPLES = sorted((Path(slype.__file__).parent / "examples").glob("*.toml"))
HTML = (
    b'<!doctype html><meta charset="utf-8"><link rel="stylesheet" href="page.css">'
    b'<canvas></canvas><script type="module" src="page.js"></script>'
)
CSS = b"html, body { margin: 0; height: 100% } canvas { display: block; width: 100vw; height: 100vh }"


def warm(work, again: int = 15) -> float:
    """Median milliseconds of `work` after a first time."""
    work()
    times = []
    for _ in range(again):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return median(times)


def in_python(name: str, laid: Laid) -> bytes:
    """Prints how long the bytes take, stacked, beside the tubes of our pictures; gives them."""
    raw = solid(laid)
    mine, curves, theirs = (warm(lambda f=f: f(laid)) for f in (solid, stacked_curves, tubes))
    print(
        f"{name:<10} {mine:6.1f} ms, of it curves {curves:5.1f}   {mine / theirs:4.2f} x the pictures' tubes   "
        f"{len(raw) / 1024:5.0f} kB  {unpacked(raw)[0]['points']:6d} points"
    )
    return raw


def at_rest(name: str, laid: Laid) -> None:
    """The same of the basket at rest."""
    from slype.relaxed import relax
    from slype.rest_curves import relaxed_curves

    rest = relax(laid)
    raw = solid(laid, relaxed_curves(rest), form="relaxed")
    mine = warm(lambda: solid(laid, relaxed_curves(rest), form="relaxed"))
    print(f"{name:<10} {mine:6.1f} ms   {len(raw) / 1024:5.0f} kB  {unpacked(raw)[0]['points']:6d} points")


def in_browser(solids: dict[str, bytes]) -> None:
    """Prints how long reeds and picture take in Chromium, drawn by software."""
    import shutil

    from browser import FLAGS, NAMES, served, wait_until
    from playwright.sync_api import sync_playwright

    files = {"index.html": HTML, "page.css": CSS, "page.js": (Path(__file__).parent / "solid_page.js").read_bytes()}
    path = next(filter(None, map(shutil.which, NAMES)))
    with sync_playwright() as running, served({**files, **solids}) as address:
        browser = running.chromium.launch(executable_path=path, args=FLAGS)
        page = browser.new_page(viewport={"width": 960, "height": 600})
        page.goto(address)
        wait_until(page, "window.ready")
        for name in solids:
            found = page.evaluate("name => measure(name, 9)", name)
            print(
                f"{name:<10} {found['triangles']:7.0f} triangles   frame {found['turning']:6.1f} ms, "
                f"{found['turning'] / found['empty']:5.1f} x an empty one   shown in {found['show']:5.1f} ms "
                f"(openness {found['openness']:5.1f}, reeds {found['skin']:5.1f})   pick {found['pick']:4.1f} ms"
            )
        browser.close()


def main() -> None:
    all_laid = {path.stem: lay(load(path)) for path in EXAMPLES}
    print("bytes, stacked")
    solids = {name: in_python(name, laid) for name, laid in all_laid.items()}
    if "--relaxed" in sys.argv:
        print("bytes, at rest")
        for name, laid in all_laid.items():
            at_rest(name, laid)
    print("in the browser, 960 x 600 dots, drawn by software")
    in_browser(solids)


if __name__ == "__main__":
    main()
