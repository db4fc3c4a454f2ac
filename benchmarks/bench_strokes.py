"""Cost against strokes: it should grow in proportion, from five thousand strokes to half a million.

Run as `python benchmarks/bench_strokes.py`. The last column is nanoseconds per stroke over those of the smallest run.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from slype.design.file import reader
from slype.lay import chart, laying, pitch
from slype.plans.planning import plan
from slype.weave.table import WEAVES
from slype.weave.trace import trace

ENDS = 100
STROKES = (5_000, 50_000, 200_000, 500_000)


def traced(strokes: int) -> None:
    """Every stroke, and the order of strands at every site."""
    sites = trace(WEAVES["four-rod wale"], ENDS, strokes // ENDS).sites
    assert len(sites.kind) >= strokes


def stacked(strokes: int) -> None:
    """Heights of every strand at every site."""
    pitch.settled(trace(WEAVES["four-rod wale"], ENDS, strokes // ENDS), 2.25)


def basket(strokes: int) -> str:
    """A design of many bands with so many strokes in all."""
    bands = max(1, strokes // (ENDS * 500))
    rows = strokes // (ENDS * bands)
    colours = '["rust", "sand", "rust", "slate"]'
    band = f'[[band]]\nweave = "four-rod wale"\nreed = "round 0"\ncolours = {colours}\nrows = {rows}\n'
    return (
        f'[spokes]\nreed = "round 2"\nends = {ENDS}\n'
        '[form]\nbase = "5 ft"\nwall = [["0 in", "5 ft"], ["9 ft", "5 ft"]]\n'
        + band * bands
        + '[border]\nrows = ["behind 1 out", "over 2 in"]\n'
    )


def planned(strokes: int) -> None:
    """A whole plan."""
    assert plan(reader.parse(basket(strokes))).time.strokes == strokes


def charted(strokes: int) -> None:
    """A plan, and the colour chart of both faces."""
    chart.as_json(laying.lay(reader.parse(basket(strokes))))


def seconds(work: Callable[[int], None], strokes: int) -> float:
    """Best of three."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work(strokes)
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    for name, work in (("trace and sites", traced), ("heights", stacked), ("plan", planned), ("chart", charted)):
        work(STROKES[0])  # once unmeasured: what is remembered between runs is then remembered in all
        print(name)
        first = None
        for strokes in STROKES:
            taken = seconds(work, strokes)
            each = taken / strokes * 1e9
            first = first or each
            print(f"  {strokes:>8} strokes {taken * 1000:9.1f} ms {each:9.0f} ns a stroke   {each / first:5.2f}")


if __name__ == "__main__":
    main()
