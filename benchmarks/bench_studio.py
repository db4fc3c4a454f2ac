"""How long a maker waits for the studio: from the command to a page that can be used, from an edit to its picture.

Run as `python benchmarks/bench_studio.py` (the page's part needs Playwright and a Chromium, else it is left out and
says so). Aims: usable in 2 s, 95 of 100 edits in the picture within 100 ms as stacked rows and within 1.5 s at rest.
Beside every time stands its ratio to the aim, and to a fixed piece of arithmetic that tells this machine from another.
An edit counts as in the picture when the drawing of it has been handed to the graphics card; how long a browser without
one then still draws is measured beside it. Between edits the page comes to rest, as between those of a hand.
"""

from __future__ import annotations

import os
import platform
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from importlib import resources
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "support"))
from studio_run import Run

from slype.design.file.reader import parse
from slype.edit import apply
from slype.plans.planning import plan
from slype.studio import answers
from slype.studio.shown import lists

EDITS, SEEN = 100, 45
PAUSE_MS = 1200
"""A full drawing of the basket that rests takes a software renderer 0.7 s, and no other is seen until it ends."""
USABLE_MS, STACKED_MS, RELAXED_MS = 2000, 100, 1500
AT_REST = "() => ['full', 'lit'].every(key => document.querySelector('canvas').dataset[key] === 'yes')"
DEMO = resources.files("slype").joinpath("examples", "estuary.toml").read_text(encoding="utf-8")


def yardstick_ms() -> float:
    """A million additions, least of five."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        sum(range(1_000_000))
        times.append(time.perf_counter() - start)
    return 1000 * min(times)


YARD_MS = yardstick_ms()


def edit(i: int) -> dict:
    """The i-th edit: every kind of change that moves reeds, and no two alike."""
    kinds = (
        {"set": ["form", "wall", 1, 0], "to": f"{4 + (i % 16) / 16:g} in"},
        {"set": ["spokes", "ends"], "to": 28 + 2 * (i % 5)},
        {"set": ["band", 4, "rows"], "to": 2 + i % 4},
        {"set": ["form", "wall", 1, 1], "to": f"{9 + (i % 8) / 8:g} in"},
    )
    return kinds[i % len(kinds)]


def line(what: str, times_ms: list[float], aim_ms: float | None = None) -> None:
    ordered = sorted(times_ms)
    middle, late = statistics.median(ordered), ordered[max(0, -(-95 * len(ordered) // 100) - 1)]
    aim = "" if aim_ms is None else f"   p95 / aim {late / aim_ms:5.2f}"
    print(f"{what:44} 50 %: {middle:7.1f} ms   95 %: {late:7.1f} ms   / yard {middle / YARD_MS:6.2f}{aim}", flush=True)


def server_alone() -> None:
    """The parts of one answer, within this process."""
    answers.look(DEMO, "demo", 0, lambda share: None)
    texts, text = [], DEMO
    for i in range(24):
        text = apply.apply(text, [edit(i)]).text
        texts.append(text)

    def timed(work: Callable[[object], object], given: list) -> list[float]:
        out = []
        for each in given:
            start = time.perf_counter()
            work(each)
            out.append(1000 * (time.perf_counter() - start))
        return out

    line("apply one change to the text", timed(lambda each: apply.apply(each, [edit(3)]), texts))
    designs = [parse(each) for each in texts]
    line("plan", timed(plan, designs))
    plans = [plan(each) for each in designs]
    line("lists of figures", timed(lists.look, plans))
    line("look: plan, lists and solid", timed(lambda each: answers.look(each, "d", 1, lambda s: None), texts))


def over_http(run: Run) -> None:
    basket = run.open(text=DEMO, name="demo over http")["id"]
    times = []
    for i in range(EDITS):
        start = time.perf_counter()
        run.change(basket, edit(i))
        run.get(f"/api/baskets/{basket}/solid")
        times.append(1000 * (time.perf_counter() - start))
    line("edit to solid, over HTTP", times, STACKED_MS)


def in_the_browser(run: Run, page, began: float, what: str) -> None:
    page.goto(run.address)
    page.wait_for_selector('[data-ready="yes"]')
    line(f"command to usable page, {what}", [1000 * (time.perf_counter() - began)], USABLE_MS)


def edits_in_the_browser(run: Run, page) -> None:
    basket = run.open(text=DEMO, name="demo in the browser")["id"]
    page.goto("about:blank")
    page.goto(f"{run.address}&basket={basket}")
    page.wait_for_selector('[data-ready="yes"]')
    page.evaluate(
        "window.seen = []; document.querySelector('canvas')"
        ".addEventListener('shown', event => window.seen.push(event.detail))"
    )
    page.get_by_role("tab", name="Shape").click()
    page.wait_for_timeout(3000)
    stacked, relaxed, finished = [], [], []
    page.evaluate(
        "const canvas = document.querySelector('canvas'), gl = canvas.getContext('webgl2');"
        "canvas.addEventListener('shown', event => { if (!window.wait) return;"
        " const begun = performance.now(); gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));"
        " event.detail.finished = event.detail.since + performance.now() - begun; })"
    )
    for i in range(-2, SEEN):  # two to get warm
        page.wait_for_function(AT_REST, timeout=60_000)
        page.wait_for_timeout(PAUSE_MS)
        page.evaluate("wait => { window.seen = []; window.wait = wait; }", i % 3 == 2)
        field = page.locator("#f-form-wall-1-0")
        field.fill(f"{4 + (1 + i % 15) / 16:g} in")
        field.press("Enter")
        until = time.perf_counter() + 60
        while time.perf_counter() < until:
            seen = page.evaluate("window.seen")
            if any(each["form"] == "relaxed" for each in seen):
                break
            page.wait_for_timeout(100)
        if i < 0:
            continue
        first = [each for each in seen if each["form"] == "stacked"][:1]
        stacked += [each["since"] for each in first]
        finished += [each["finished"] for each in first if "finished" in each]
        relaxed += [each["since"] for each in seen if each["form"] == "relaxed"][:1]
    if stacked:
        line("edit to picture, stacked rows", stacked, STACKED_MS)
    if finished:
        line("the same and its drawing finished", finished)
    if relaxed:
        line("edit to picture, reeds at rest", relaxed, RELAXED_MS)


def main() -> None:
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, yard {YARD_MS:.1f} ms")
    if hasattr(os, "getloadavg"):
        print(f"busy with others: load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    server_alone()
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        (here / "designs").mkdir()
        (here / "state").mkdir()

        def start() -> Run:
            return Run(here / "designs", here / "state")

        run = start()
        over_http(run)
        run.stop()
        try:
            from browser import FLAGS, NAMES
            from playwright.sync_api import sync_playwright

            chromium = next(filter(None, map(shutil.which, NAMES)))
        except (ImportError, StopIteration):
            print("no Playwright or no Chromium here: the page's part is left out (sudo apt install chromium)")
            return
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
            for what in ("first time", "once more"):
                page = browser.new_page(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
                began = time.perf_counter()
                run = start()
                in_the_browser(run, page, began, what)
                if what == "once more":
                    edits_in_the_browser(run, page)
                page.close()
                run.stop()
            browser.close()


if __name__ == "__main__":
    main()
