"""How long the studio's solid takes: bytes in Python, reeds and picture in a browser without a graphics card.

Run as `PYTHONPATH=src:tests/support python benchmarks/bench_solid.py`. Ratios are taken within one run; they travel
better
between machines than milliseconds. Frames are measured in processor time of the process that draws, full and empty by
turns, at a fixed number of dots; in a canvas of a few dots what is left is the work on corners. `--relaxed` brings
every example to rest first, which takes minutes.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import median

import slype
from slype.design.file.reader import load
from slype.draw.solid import solid, unpacked
from slype.lay.laying import lay
from slype.lay.values import Laid
from slype.space.tubes import tubes
from slype.surface.woven import stacked_curves

EXAMPLES = sorted((Path(slype.__file__).parent / "examples").glob("*.toml"))
HTML = (
    b'<!doctype html><meta charset="utf-8"><link rel="stylesheet" href="page.css">'
    b'<canvas></canvas><script type="module" src="page.js"></script>'
)
CSS = b"html, body { margin: 0; height: 100% } canvas { display: block; width: 960px; height: 600px }"


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
    from slype.rest.curves import relaxed_curves
    from slype.rest.relax import relax

    rest = relax(laid)
    raw = solid(laid, relaxed_curves(rest), form="relaxed")
    mine = warm(lambda: solid(laid, relaxed_curves(rest), form="relaxed"))
    print(f"{name:<10} {mine:6.1f} ms   {len(raw) / 1024:5.0f} kB  {unpacked(raw)[0]['points']:6d} points")


SIZES = {"960 x 600": (960, 600), "16 x 10": (16, 10)}
"""Dots of the canvas: in so few that nearly all of a frame's work is its corners, and in many."""
TRIANGLES = (50_000, 100_000, 200_000, 0)
"""How much of the demo's basket is drawn; 0 for all."""
BLOCK, BLOCKS = 3, 5
"""Frames in a row, full and empty by turns; enough blocks that one disturbed from outside does not count."""


def in_browser(solids: dict[str, bytes]) -> None:
    """Prints how long reeds and picture take in Chromium, drawn by software."""
    import shutil

    from browser import FLAGS, NAMES, served, wait_until
    from playwright.sync_api import sync_playwright

    files = {"index.html": HTML, "page.css": CSS, "page.js": (Path(__file__).parent / "solid_page.js").read_bytes()}
    path = next(filter(None, map(shutil.which, NAMES)))
    with sync_playwright() as running, served({**files, **solids}) as address:
        browser = running.chromium.launch(executable_path=path, args=FLAGS)
        system = browser.new_browser_cdp_session()
        page = browser.new_page(viewport={"width": 960, "height": 600})
        page.goto(address)
        wait_until(page, "window.ready")
        print("from bytes to the call that draws, ms on the page's own thread: median (least)")
        for name in solids:
            page.evaluate("name => show(name)", name)
            found = page.evaluate("built(25)")
            parts = "   ".join(f"{part} {median(ms):5.1f} ({ms[0]:4.1f})" for part, ms in found.items())
            print(f"{name:<10} {parts}")
        print("frames of the demo, drawn by software: ms of processor time to a frame, median [quarters]")
        page.evaluate("show('estuary')")
        for size, dots in SIZES.items():
            for triangles in TRIANGLES:
                seen = page.evaluate("([w, h, t]) => set(w, h, t)", [*dots, triangles])
                print(f"{size:<10} {_told(seen, _frames(page, system))}")
        browser.close()


def _frames(page, system) -> dict[bool, list[float]]:
    """Milliseconds of processor time the drawing process needs to a frame, full (True) and empty, block by block.

    Processor time, for other programs on the machine lengthen a frame and do not make it more work.
    """
    found: dict[bool, list[float]] = {True: [], False: []}
    page.evaluate("frames(true, 2)")
    for _ in range(BLOCKS):
        for full in (True, False):
            before = _drawing_s(system)
            page.evaluate("([full, many]) => frames(full, many)", [full, BLOCK])
            found[full].append((_drawing_s(system) - before) / BLOCK * 1000)
    return found


def _drawing_s(system) -> float:
    """Seconds of processor time that the process which draws has used so far."""
    processes = system.send("SystemInfo.getProcessInfo")["processInfo"]
    return next(each["cpuTime"] for each in processes if each["type"] == "GPU")


def _told(seen: dict, found: dict[bool, list[float]]) -> str:
    full, empty = (f"{median(ms):6.1f} [{_quarter(ms, 1):.1f} {_quarter(ms, 3):.1f}]" for ms in found.values())
    basket = median(found[True]) - median(found[False])
    return (
        f"{seen['triangles']:7d} triangles, {seen['covered']:6d} dots covered, {seen['drawn']:6d} drawn of "
        f"{seen['layers']:7d}   full {full}   empty {empty}   basket {basket:6.1f}"
    )


def _quarter(values: list[float], which: int) -> float:
    return sorted(values)[round((len(values) - 1) * which / 4)]


def main() -> None:
    all_laid = {path.stem: lay(load(path)) for path in EXAMPLES}
    print("bytes, stacked")
    solids = {name: in_python(name, laid) for name, laid in all_laid.items()}
    if "--relaxed" in sys.argv:
        print("bytes, at rest")
        for name, laid in all_laid.items():
            at_rest(name, laid)
    print("in the browser")
    in_browser(solids)


if __name__ == "__main__":
    main()
