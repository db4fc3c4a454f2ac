"""How long one design takes: a whole process against a bare interpreter, its imports, and a warm process.

Run as `python benchmarks/bench_plan.py`. Ratios travel better between machines than seconds.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import slype
from slype.design.file import reader
from slype.export.plan import as_json
from slype.lay import laying, pitch
from slype.plans.planning import plan

EXAMPLE = Path(slype.__file__).parent / "examples" / "estuary.toml"
RUNS = 7


def whole_process(*arguments: str) -> float:
    """Median seconds of a fresh interpreter with these arguments."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return median(times)


def imports() -> list[tuple[str, float]]:
    """Top-level packages imported by a plan, with the milliseconds each costs with all that it pulls in."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "slype", "plan", str(EXAMPLE)],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    costs: dict[str, float] = {}
    for line in done.stderr.splitlines():
        if line.startswith("import time:") and "self" not in line:
            own, _, name = (part.strip() for part in line.removeprefix("import time:").split("|"))
            package = name.split(".")[0]
            costs[package] = costs.get(package, 0.0) + int(own) / 1000
    return sorted(costs.items(), key=lambda item: -item[1])


def warm(work, again: int = 30) -> float:
    """Median milliseconds of `work` once everything is imported."""
    times = []
    for _ in range(again):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return median(times)


def forget() -> None:
    """Empty what `lay` remembers between designs, as if this weave had never been seen."""
    for remembered in (pitch._steady, pitch._short_trace, laying._long_effect):
        remembered.cache_clear()


def main() -> None:
    bare = whole_process("-c", "pass")
    numpy = whole_process("-c", "import numpy")
    whole = whole_process("-m", "slype", "plan", str(EXAMPLE))
    print(f"python -c pass             {bare * 1000:7.0f} ms")
    print(f"python -c 'import numpy'   {numpy * 1000:7.0f} ms")
    print(f"python -m slype plan       {whole * 1000:7.0f} ms   {whole / numpy:.2f} x import numpy")
    print("imports of slype plan (own time by package, ms):")
    for package, cost in imports()[:12]:
        print(f"  {package:<24} {cost:7.1f}")
    text = EXAMPLE.read_text(encoding="utf-8")

    def fresh() -> None:
        forget()
        as_json(plan(reader.parse(text)))

    print(f"warm, one design, weaves seen before   {warm(lambda: as_json(plan(reader.parse(text)))):7.1f} ms")
    print(f"warm, one design, weaves new           {warm(fresh):7.1f} ms")


if __name__ == "__main__":
    main()
