"""How long the student's sheet of the example basket takes, warm, and what of it is drawing, picture and typesetting.

Run as `python benchmarks/bench_handout.py`. Seconds are of the processor; a share, or how many million additions it is
worth, travels better between machines, and from a busy hour to a quiet one. The typesetter works beside the drawing:
what the sheet takes of the first core is what a maker waits for at least where there is a second one.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import slype
from slype.design.file import reader
from slype.draw import views
from slype.draw.lines import HAND
from slype.figures.figure import Figures
from slype.paper import handout
from slype.paper.typeset import set_pages
from slype.plans.planning import Plan, plan
from slype.teach.steps import taught

EXAMPLE = (Path(slype.__file__).parent / "examples" / "estuary.toml").read_text(encoding="utf-8")
RUNS = 5


def fresh(nth: int) -> Plan:
    """The plan of a basket that has not been drawn yet."""
    return plan(reader.parse(EXAMPLE.replace('title = "', f'title = "{nth} ', 1)))


def spent(work, clock: Callable[[], float] = time.process_time) -> float:
    """Median seconds of the processor for `work` on plans that are new to it; by `time.thread_time` of one core."""
    times = []
    for nth in range(RUNS + 1):
        made = fresh(nth)
        start = clock()
        work(made)
        times.append(clock() - start)
    return median(times[1:])  # the first compiles, or loads what was compiled


def yard() -> float:
    """Seconds for a million additions, least of five."""
    times = []
    for _ in range(5):
        start = time.process_time()
        sum(range(1_000_000))
        times.append(time.process_time() - start)
    return min(times)


def drawings(made: Plan) -> None:
    own = Figures(made)
    for step in taught(made):
        for each in step.drawings:
            own.svg(step, each)


def main() -> None:
    whole = spent(lambda made: handout.make(made, "student"))
    waited = spent(lambda made: handout.make(made, "student"), time.thread_time)
    clock = spent(lambda made: handout.make(made, "student"), time.perf_counter)
    said = handout.contents(fresh(0), "student")
    parts = {
        "drawings of the steps": spent(drawings),
        "picture on the first page": spent(lambda made: views.svg(made, "outside", detail=HAND)),
        "typesetting": spent(lambda made: set_pages("handout.typ", said)),
    }
    million = yard()
    print(f"student's sheet {whole:.2f} s, worth {whole / million:.0f} million additions")
    print(f"  of one core, the typesetter working on another: {waited:.2f} s, {waited / whole:.0%}")
    print(f"  by the clock: {clock:.2f} s, {clock / whole:.0%}; half where two cores do nothing else")
    for name, seconds in parts.items():
        print(f"  {name}: {seconds:.2f} s, {seconds / whole:.0%}")


if __name__ == "__main__":
    main()
