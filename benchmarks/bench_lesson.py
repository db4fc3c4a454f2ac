"""A lesson on a phone that is four times as slow as this machine: opening, one step, and memory.

    python benchmarks/bench_lesson.py

Writes the demo's lesson, opens it from a file in Chromium without a graphics card, at a phone's size, and prints
milliseconds: until the words can be used and the counter counts, and until the basket stands in the round, with the
processor slowed four times (best of three); and the processor's own time that the page takes to open and for one step,
times four, which other work on this machine does not lengthen: in the mean, and the slowest of steps
from the whole basket, each taken three times. The drawing itself is a graphics card's on a phone.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

import slype
from slype.design.file.reader import load
from slype.lesson.content import Lesson
from slype.lesson.whole import whole
from slype.plans.planning import plan

SLOWED = 4
RUNS = 3
STEPS = range(560, 600)
SPREAD = 60
"""So many steps from the first to the last, to find the slowest among."""
FLAGS = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"]
STEP = """place => new Promise((done) => { slypeLesson.watch.go(place);
  requestAnimationFrame(() => requestAnimationFrame(done)); })"""
WATCH = """new MutationObserver(() => { const {ready, drawn} = document.documentElement.dataset;
  if (ready) window.readyAt ??= performance.now();
  if (drawn) window.drawnAt ??= performance.now(); }).observe(document, {subtree: true, attributes: true})"""


def tasks(line) -> float:
    """Milliseconds of the processor that the page's own thread has taken so far."""
    metrics = line.send("Performance.getMetrics")["metrics"]
    return 1000 * next(each["value"] for each in metrics if each["name"] == "TaskDuration")


def opened(browser, path: Path, slowed: float):
    """(the page, a line to its processor's times), opened and drawn."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    line = page.context.new_cdp_session(page)
    line.send("Performance.enable", {"timeDomain": "threadTicks"})
    if slowed != 1:
        line.send("Emulation.setCPUThrottlingRate", {"rate": slowed})
    page.add_init_script(WATCH)
    page.goto(f"file://{path}")
    page.wait_for_selector("[data-drawn=yes]")
    return page, line


def worst(page, line) -> list[tuple[float, int]]:
    """The three slowest steps of SPREAD, (ms, the moment stepped to), each the best of three."""
    last = page.evaluate("slypeLesson.order.moments")
    out = []
    for place in range(1, last, max(1, last // SPREAD)):
        found = []
        for _ in range(RUNS):
            page.evaluate(STEP, place - 1)
            before = tasks(line)
            page.evaluate(STEP, place)
            found.append(tasks(line) - before)
        out.append((min(found), place))
    return sorted(out, reverse=True)[:3]


def main() -> None:
    made = plan(load(Path(slype.__file__).parent / "examples" / "estuary.toml"))
    whole(Lesson(made))
    begun = time.perf_counter()
    content = whole(Lesson(made))
    print(f"written, warm and stacked: {1000 * (time.perf_counter() - begun):.0f} ms; {len(content) / 1e6:.2f} MB")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        path = Path(folder) / "lesson.html"
        path.write_bytes(content)
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        ready, drawn = [], []
        for _ in range(RUNS):
            page, _ = opened(browser, path, SLOWED)
            ready.append(page.evaluate("window.readyAt"))
            drawn.append(page.evaluate("window.drawnAt"))
            page.close()
        page, line = opened(browser, path, 1)
        opening = tasks(line)
        for place in STEPS:
            page.evaluate(STEP, place)
        step = (tasks(line) - opening) / len(STEPS)
        slowest = worst(page, line)
        heap = page.evaluate("performance.memory.usedJSHeapSize") / 1e6
        browser.close()
    print(f"slowed {SLOWED} times, best of {RUNS}: words usable {min(ready):.0f} ms, in the round {min(drawn):.0f} ms")
    print(f"the page's own thread, times {SLOWED}: opening {SLOWED * opening:.0f} ms, one step {SLOWED * step:.0f} ms")
    print("slowest steps, times 4: " + ", ".join(f"{SLOWED * ms:.0f} ms at {place}" for ms, place in slowest))
    print(f"memory of the page's scripts: {heap:.0f} MB")


if __name__ == "__main__":
    sys.exit(main())
