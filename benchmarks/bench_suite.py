"""How long the tests take: the whole suite once, the slowest tests, and what each costs, kept for the quick run.

Run as `python benchmarks/bench_suite.py [PYTEST ARGS]` (needs the test tools). Processor time is what is compared: it
counts the browser, the studio and the commands that a test starts, and a busy machine hardly changes it. Writes
`suite_times.csv` beside this file, which `python3 run.py test quick` reads, and the list in README.md.
"""

from __future__ import annotations

import csv
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent
SLOWEST = 20
SLOW_S = 1.0
"""A test of more than this stands in the table by itself; the others of its file together."""
MARKS = ("<!-- slowest -->\n", "<!-- /slowest -->\n")
Row = tuple[str, float, float]
"""Test, seconds by the clock, seconds of the processor."""


def timed(words: list[str]) -> tuple[list[Row], float, float]:
    """Every test's times, and the whole run's: by the clock, and of the processor."""
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        command = [sys.executable, "-m", "pytest", "-q", "-n", str(os.cpu_count() or 1), "--dist", "worksteal", *words]
        subprocess.run(command, cwd=ROOT, env={**os.environ, "SUITE_TIMES": folder}, check=False)
        took = time.perf_counter() - began
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        return read(Path(folder)), took, used.ru_utime + used.ru_stime


def read(folder: Path) -> list[Row]:
    """What `tests/support/suite_times.py` has left in a folder; of a test that ran twice, the last."""
    lines = [json.loads(line) for path in sorted(folder.glob("*.jsonl")) for line in path.open(encoding="utf-8")]
    found = {test: (test, clock, here + begun) for test, clock, here, begun in lines}
    return list(found.values())


def table(rows: list[Row]) -> dict[str, float]:
    """Seconds of the processor by slow test, and by file for its other tests."""
    out: dict[str, float] = defaultdict(float)
    for test, _, used in rows:
        out[test if used > SLOW_S else test.split("::")[0]] += used
        out[test.split("::")[0]] += 0.0
    return dict(sorted(out.items()))


def write(rows: list[Row], whole: str) -> None:
    """The table for the quick run, and the list in README.md."""
    with (HERE / "suite_times.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["test", "seconds"])
        writer.writerows((test, f"{seconds:.2f}") for test, seconds in table(rows).items())
    page = HERE / "README.md"
    before, _, rest = page.read_text(encoding="utf-8").partition(MARKS[0])
    after = rest.partition(MARKS[1])[2]
    lines = [whole, "", "| processor | clock | test |", "|---|---|---|", *(f"| {cells} |" for cells in slowest(rows))]
    page.write_text(before + MARKS[0] + "\n".join(lines) + "\n" + MARKS[1] + after, encoding="utf-8")


def slowest(rows: list[Row]) -> list[str]:
    """The slowest tests, one a line."""
    first = sorted(rows, key=lambda row: -row[2])[:SLOWEST]
    return [f"{used:.1f} s | {clock:.1f} s | `{test.replace('|', ', ')}`" for test, clock, used in first]


if __name__ == "__main__":
    rows, took, used = timed(sys.argv[1:])
    whole = f"{len(rows)} tests: {took:.0f} s by the clock, {used:.0f} s of the processor, {os.cpu_count()} cores."
    print(whole, *slowest(rows), sep="\n")
    if not sys.argv[1:]:  # a part of the tests is no table of the whole
        write(rows, whole)
