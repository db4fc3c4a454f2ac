"""How long a class takes to work out: twelve kits, a large cutting problem, ten thousand simulated classes.

Run as `python benchmarks/bench_kit.py`. Everything is set beside something else of the same run, since ratios travel
better between machines than seconds: a class beside planning one basket, a plan beside cutting by hand, columns beside
one variable for every piece and strand in the same solver. On a busy machine the processor's time is what to read.
"""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np

import slype
from slype.design.file.reader import parse
from slype.kit.cuts.checks import faults, first_fit
from slype.kit.cuts.columns import _quiet_solver
from slype.kit.cuts.cutting import Order, Problem, Stock, cut
from slype.kit.file.reader import load
from slype.kit.finishing import finish
from slype.kit.seats import kits
from slype.kit.worked import work
from slype.plans.planning import plan

EXAMPLE = Path(slype.__file__).parent / "examples" / "class" / "class.toml"


def timed(what):
    """(clock seconds, processor seconds, answer) of one call."""
    start, used = time.perf_counter(), time.process_time()
    answer = what()
    return time.perf_counter() - start, time.process_time() - used, answer


def twelve() -> None:
    """The example class, warm, with a second and with ten for the solver, beside planning one basket."""
    asked = load(str(EXAMPLE)).found
    work(replace(asked, rules=replace(asked.rules, seconds=0.3)))  # imports and caches
    design = parse(asked.designs[0].text, "saltings.toml")
    _, one, _ = min(timed(lambda: plan(design)) for _ in range(5))
    print(f"planning one basket: {one * 1000:.0f} ms of the processor")
    for seconds in (0.5, 10.0):
        clock, used, made = timed(lambda s=seconds: work(replace(asked, rules=replace(asked.rules, seconds=s))))
        gaps = ", ".join(f"{each.reed.key} {each.plan.gap:.2%}" for each in made.reeds)
        print(
            f"12 kits and a spare, {seconds:g} s for the solver: {clock:.2f} s by the clock, {used:.2f} s of the "
            f"processor ({used / one:.0f} times one basket); gaps {gaps}"
        )


def large(seed: int) -> Problem:
    """200 kits in five sizes, 3,000 pieces, on 400 strands of ten lengths, the rest bought."""
    dice = np.random.default_rng(seed)
    sizes = dice.multinomial(200, [0.2] * 5)
    spokes = [25.4 * inches for inches in (24.5, 28, 31.5, 35, 38.5)]
    weavers = [25.4 * inches for inches in (66, 74, 83, 91, 105)]
    orders = [Order(mm, "natural", int(n) * 12) for mm, n in zip(spokes, sizes, strict=True)]
    orders += [
        Order(mm, colour, int(n))
        for mm, n in zip(weavers, sizes, strict=True)
        for colour in ("natural", "rust", "slate")
    ]
    lengths = zip(range(84, 124, 4), dice.multinomial(400, [0.1] * 10), strict=True)
    shelf = [Stock(25.4 * inches, int(n), cost=25.4 * inches, name="shelf") for inches, n in lengths]
    return Problem((*shelf, Stock(3048.0, None, cost=3048.0 * 20, name="bought")), tuple(orders))


def many() -> None:
    """Three large problems: how near the best is proven, and what cutting by hand would take."""
    for seed in (1, 2, 3):
        problem = large(seed)
        clock, used, found = timed(lambda p=problem: cut(p, 20.0))
        assert faults(problem, found) == []
        taken = sum(problem.stock[each.stock].length_mm * each.times for each in found.patterns)
        by_hand, _ = first_fit(problem)
        print(
            f"3,000 pieces on 400 strands, seed {seed}: {clock:.1f} s by the clock, {used:.1f} s of the processor, gap "
            f"{found.gap:.2%}; by hand {by_hand / taken - 1:.1%} more reed"
        )


def one_by_one(sizes: list[int], capacity: int, seconds: float) -> tuple[float, float, bool]:
    """(processor seconds, strands, proven) with a variable for every piece and strand, in the same solver."""
    solver = _quiet_solver()
    strands = len(sizes) // 2
    h = solver
    opened = [h.addBinary(obj=1.0) for _ in range(strands)]
    put = [[h.addBinary() for _ in range(strands)] for _ in sizes]
    for row in put:
        h.addConstr(sum(row[1:], row[0]) == 1)
    for j in range(strands):
        load_j = sum((size * put[i][j] for i, size in enumerate(sizes[1:], start=1)), sizes[0] * put[0][j])
        h.addConstr(load_j <= capacity * opened[j])
    h.setOptionValue("time_limit", seconds)
    start = time.process_time()
    h.run()
    return time.process_time() - start, h.getInfo().objective_function_value, h.getInfo().mip_gap < 1e-6


def formulations() -> None:
    """The same small problems by columns and by one variable for every piece and strand."""
    for pieces in (24, 36, 48):
        dice = np.random.default_rng(pieces)
        sizes = dice.integers(20, 101, pieces).tolist()
        problem = Problem(
            (Stock(150.0, None, cost=1.0),), tuple(Order(float(mm), "natural", n) for mm, n in Counter(sizes).items())
        )
        _, used, found = timed(lambda p=problem: cut(p, 20.0))
        slow, strands, proven = one_by_one(sizes, 150, 60.0)
        said = "" if proven else " and not proven"
        print(
            f"{pieces} pieces: columns {used:.2f} s ({found.cost:.0f} strands, gap {found.gap:.1%}); one variable for "
            f"every piece and strand {slow:.1f} s{said} ({strands:.0f} strands): {slow / used:.0f} times as long"
        )


def simulated() -> None:
    """Ten thousand classes."""
    asked = load(str(EXAMPLE)).found
    made, _ = kits(asked)
    clock, used, found = timed(lambda: finish(asked, made))
    print(
        f"{found.runs:,} classes of {len(found.seats)} simulated, for three ways to prepare: {clock:.2f} s by the "
        f"clock, {used:.2f} s of the processor"
    )


if __name__ == "__main__":
    twelve()
    many()
    formulations()
    simulated()
