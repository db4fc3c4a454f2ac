"""How long one change to a design file takes: the whole of it, and what tomlkit and the reader of designs have of it.

Run as `python benchmarks/bench_edits.py`. The page that asks for a change should not be kept waiting: 20 ms at most.
"""

from __future__ import annotations

import time
from pathlib import Path
from statistics import median

import tomlkit

import slype
from slype.design.file import reader
from slype.edit import apply

EXAMPLE = (Path(slype.__file__).parent / "examples" / "estuary.toml").read_text(encoding="utf-8")
RUNS = 30
CHANGES = {
    "one colour": {"set": ["band", 5, "colours", 1], "to": "moss"},
    "count of ends (a start follows)": {"set": ["spokes", "ends"], "to": 28},
    "another weave (colours follow)": {"set": ["band", 5, "weave"], "to": "three-rod wale"},
    "a point of the wall": {"set": ["form", "wall", 1], "to": [{"mm": 121.0}, {"mm": 233.0}]},
    "oval in place of round": {"set": ["form", "outline"], "to": "oval"},
    "a band moved": {"move": ["band"], "from": 7, "to": 5},
    "a band put in": {"insert": ["band"], "at": 5, "value": {"weave": "pairing", "reed": "round 3", "rows": 2}},
    "a board in place of four bands": {"set": ["base", "kind"], "to": "board"},
}


def ms(work) -> float:
    """Median milliseconds of a run, of the processor's own time, whatever else the machine does."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return 1000 * median(times)


def main() -> None:
    for name, change in CHANGES.items():
        print(f"{name:34} {ms(lambda change=change: apply.apply(EXAMPLE, [change])):6.1f} ms")
    print(f"{'of which: reading the design':34} {ms(lambda: reader.parse(EXAMPLE)):6.1f} ms, twice or more")
    print(f"{'tomlkit on the whole file':34} {ms(lambda: tomlkit.parse(EXAMPLE)):6.1f} ms, which is not needed")


if __name__ == "__main__":
    main()
