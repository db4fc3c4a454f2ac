"""The rod solver beside others, and how it grows: ratios within one run, for seconds do not travel between machines.

Run as `python benchmarks/bench_rods.py [seconds]`; `seconds` bounds the minimiser it is held against (default 60).
Needs scipy; the part about PyElastica is left out where that is not installed.
"""

from __future__ import annotations

import json
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

import slype
from slype.design.file import reader
from slype.lay import laying
from slype.rest import proofs, reeds, relax
from slype.rods import cases, contacts, working
from slype.rods import wall as rod_wall

EXAMPLE = Path(slype.__file__).parent / "examples" / "estuary.toml"
GROWTH = ((24, 4), (24, 12), (48, 24), (96, 48), (96, 120))  # (ends, rows) of three-rod wale
SWEEPS = 100


def side_wall() -> rod_wall.Wall:
    """The rods of the example's side."""
    built = reeds.build(laying.lay(reader.load(EXAMPLE)), "side")
    assert built is not None
    return built.wall


def timed(work, again: int = 3):
    """(least seconds, last answer) of some runs."""
    best, answer = math.inf, None
    for _ in range(again):
        start = time.perf_counter()
        answer = work()
        best = min(best, time.perf_counter() - start)
    return best, answer


# Against a general minimiser -----------------------------------------------------------------------------------


class SmallSlopes:
    """Energy of a wall with small slopes, contact by penalty at stations, and its slope: what scipy is given.

    The penalty is slype's own contact weight: about as stiff as it must be for overlaps as small as slype asks. True
    bending would only make it dearer.
    """

    def __init__(self, wall: rod_wall.Wall) -> None:
        self.wall, work = wall, working.Work(wall, contacts.contacts_of(wall))
        self.scale = work.rho_node * 2 * wall.r / working.STIFF
        self.weight, self.contacts = work.rho_node, work.contacts
        self.pair = work.rho
        end = np.zeros(wall.nodes, bool)
        end[wall.off[1:] - 1] = True
        self.edges = np.flatnonzero(~end)[:, None]
        begin = np.zeros(wall.nodes, bool)
        begin[wall.off[:-1]] = True
        self.inner = np.flatnonzero(~end & ~begin)[:, None]
        self.pull = (wall.pull[wall.rod] / wall.h)[self.edges]
        self.bend = (wall.bend[wall.rod] / wall.h**3)[self.inner]

    def __call__(self, flat: np.ndarray) -> tuple[float, np.ndarray]:
        wall, at = self.wall, flat.reshape(-1, 2)
        i, j, axes = self.edges, self.inner, np.arange(2)
        step, turn = at[i + 1, axes] - at[i, axes], at[j + 1, axes] - 2 * at[j, axes] + at[j - 1, axes]
        energy = (self.pull * step**2).sum() / 2 + (self.bend * turn**2).sum() / 2 - (wall.load * at).sum()
        slope = -wall.load.copy()
        force, moment = self.pull * step, self.bend * turn
        slope[i[:, 0]] -= force
        slope[i[:, 0] + 1] += force
        slope[j[:, 0] - 1] += moment
        slope[j[:, 0]] -= 2 * moment
        slope[j[:, 0] + 1] += moment
        below = np.maximum(wall.floor - at[:, 0], 0)
        inside = np.where(wall.post_side != 0, np.maximum(wall.post_clear - wall.post_side * at[:, 1], 0), 0)
        slope[:, 0] -= self.weight * below
        slope[:, 1] -= self.weight * inside * wall.post_side
        c = self.contacts
        apart = at[c.high] - at[c.low]
        distance = np.maximum(np.hypot(apart[:, 0], apart[:, 1]), 1e-9)
        deep = np.maximum(c.touch - distance, 0)
        push = (self.pair * deep / distance)[:, None] * apart
        for k in range(2):
            slope[:, k] += np.bincount(c.low, push[:, k], wall.nodes) - np.bincount(c.high, push[:, k], wall.nodes)
        energy += (self.weight * (below**2 + inside**2)).sum() / 2 + (self.pair * deep**2).sum() / 2
        self.residual = float((np.hypot(slope[:, 0], slope[:, 1]) / self.scale).max())
        self.overlap = float((deep / c.touch).max())
        return energy, slope.ravel()


class _Enough(Exception):
    """The minimiser has reached what slype reached, or its time is up."""


def against_minimiser(limit_s: float) -> None:
    """slype and L-BFGS on the example's side, both from the stacked start."""
    from scipy.optimize import minimize

    wall = side_wall()
    seconds, rest = timed(lambda: rod_wall.relax(wall, 2000, relax.MOST_OVERLAP, relax.BALANCE))
    print(f"The example's side, {wall.nodes} nodes, {len(rest.contacts.low)} contacts:")
    print(
        f"  slype, true bending        {seconds:7.2f} s  {rest.sweeps:5d} sweeps      force left over "
        f"{rest.unbalanced:8.3f}  overlap {rod_wall.overlap_of(wall, rest.contacts, rest.at):.4f}"
    )
    energy, began, reached = SmallSlopes(wall), time.perf_counter(), []

    def look(_: np.ndarray) -> None:
        reached.append((time.perf_counter() - began, energy.residual, energy.overlap))
        good = energy.residual <= rest.unbalanced and energy.overlap <= relax.MOST_OVERLAP
        if good or reached[-1][0] > limit_s:
            raise _Enough

    try:
        minimize(
            energy, wall.at.ravel(), jac=True, method="L-BFGS-B", callback=look,
            options={"maxiter": 10**7, "maxfun": 10**8, "maxcor": 20, "ftol": 0, "gtol": 0},
        )  # fmt: skip
    except _Enough:
        pass
    for when in (seconds, limit_s / 4, limit_s):
        spent, residual, overlap = next((r for r in reached if r[0] >= when), reached[-1])
        print(
            f"  L-BFGS, small slopes       {spent:7.2f} s  {spent / seconds:5.1f} x slype   force left over "
            f"{residual:8.3f}  overlap {overlap:.4f}"
        )
    better = reached[-1][1] <= rest.unbalanced and reached[-1][2] <= relax.MOST_OVERLAP
    print(f"  L-BFGS {'reached' if better else 'had not reached'} the same after {len(reached)} iterations.")


# Against PyElastica --------------------------------------------------------------------------------------------


def against_pyelastica() -> None:
    """A node and step of PyElastica against a node and sweep of slype; steps against sweeps on a small cantilever."""
    try:
        import elastica
    except ImportError:
        print("PyElastica is not installed (pip install pyelastica==1.0.0): left out.")
        return
    sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "support"))
    wall = side_wall()
    one, rest = timed(lambda: rod_wall.relax(wall, SWEEPS, balance=0.0, cores=1))
    ours = one / rest.sweeps / wall.nodes * 1e9
    pieces, steps = wall.nodes, 200
    bench = _still_rod(elastica, pieces)
    stepper = elastica.PositionVerlet()
    with open(os.devnull, "w") as nowhere:
        out, sys.stdout = sys.stdout, nowhere
        try:
            elastica.integrate(stepper, bench, steps * 1e-9, steps, progress_bar=False)
            theirs, _ = timed(lambda: elastica.integrate(stepper, bench, steps * 1e-9, steps, progress_bar=False))
            from cosserat import ELEMENTS, bent_by_pyelastica

            small_s, bent = timed(lambda: bent_by_pyelastica(1.0), 2)
        finally:
            sys.stdout = out
    theirs = theirs / steps / pieces * 1e9
    print(f"A node: PyElastica {theirs:.0f} ns a step, slype {ours:.0f} ns a sweep on one core: {theirs / ours:.1f} x")
    small = cases.cantilever(1.0, bent[0], ELEMENTS, math.sin(bent[2]))
    rest_s, rest = timed(lambda: rod_wall.relax(small, 10_000, balance=1e-4, cores=1))
    from cosserat import RADIUS

    length = 1 / (1 - 0.5 / ELEMENTS)
    modulus, density = 1 / (math.pi / 4 * RADIUS**4), 1 / (math.pi * RADIUS**2)
    many = int(6.0 / (0.5 * length / ELEMENTS / math.sqrt(modulus / density)))
    print(
        f"A cantilever of {ELEMENTS} pieces: PyElastica {many} steps, {small_s:.2f} s to a speed of {bent[3]:.0e}; "
        f"slype {rest.sweeps} sweeps, {rest_s * 1000:.1f} ms to a force of {rest.unbalanced:.0e}: "
        f"{many / rest.sweeps:.0f} x as many"
    )
    guess = theirs * many * wall.nodes / 1e9
    print(
        f"  Were the example's side as quick to rest as that cantilever: {guess:.0f} s, against "
        f"{ours * 400 * wall.nodes / 1e9:.1f} s for 400 sweeps. It would not be: that rod has one "
        "clamp, few pieces and no contacts."
    )


def _still_rod(elastica, pieces: int):
    class Bench(elastica.BaseSystemCollection, elastica.Constraints):
        pass

    rod = elastica.CosseratRod.straight_rod(
        pieces, np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), 1.0 * pieces, 1.0, 1.0,
        youngs_modulus=1.0, shear_modulus=1.0,
    )  # fmt: skip
    bench = Bench()
    bench.append(rod)
    bench.constrain(rod).using(elastica.OneEndFixedBC, constrained_position_idx=(0,), constrained_director_idx=(0,))
    bench.finalize()
    return bench


# Growth and cold start -----------------------------------------------------------------------------------------


def grow(ends: int, rows: int) -> None:
    """One wall in this process; prints what it took as JSON."""
    rod_wall.relax(proofs.ring_of("three-rod wale", 9, 8, 2, 60).wall, 50)  # compiled or read from the cache
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    built = proofs.ring_of("three-rod wale", ends, reeds.STATIONS, rows, 6.25 * ends)
    out = {"nodes": built.wall.nodes, "before_mb": before / 1024}
    for cores in (1, 2):
        start = time.perf_counter()
        rest = rod_wall.relax(built.wall, SWEEPS, balance=0.0, cores=cores)
        out[f"s{cores}"] = time.perf_counter() - start
    out |= {"sweeps": rest.sweeps, "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}
    print(json.dumps(out))


def alone(*arguments: str, **environment: str) -> str:
    """What this file prints in a fresh process."""
    done = subprocess.run(
        [sys.executable, __file__, *arguments], check=True, capture_output=True, text=True,
        env={**os.environ, **environment},
    )  # fmt: skip
    return done.stdout


def growth() -> None:
    print(f"{SWEEPS} sweeps of three-rod wale, each in a process of its own:")
    print("   nodes   one core   two   ns a node and sweep        peak memory")
    for ends, rows in GROWTH:
        row = json.loads(alone("--grow", str(ends), str(rows)))
        per = [row[key] / row["nodes"] / row["sweeps"] * 1e9 for key in ("s1", "s2")]
        print(
            f"{row['nodes']:8d} {row['s1']:8.2f} s {row['s2']:6.2f} s {per[0]:8.0f} {per[1]:8.0f}     "
            f"{row['peak_mb']:8.0f} MB, {row['before_mb']:.0f} before the wall"
        )


def cold_start() -> None:
    small = "--grow", "9", "2"
    with tempfile.TemporaryDirectory() as empty:
        times = []
        for _ in range(2):
            start = time.perf_counter()
            alone(*small, NUMBA_CACHE_DIR=empty)
            times.append(time.perf_counter() - start)
    cold, cached = times
    bare, _ = timed(lambda: subprocess.run([sys.executable, "-c", "import numba"], check=True))
    print(
        f"A small wall in a fresh process: {cold:.1f} s the first time ever, {cached:.2f} s after that "
        f"({cold / cached:.0f} x); import numba alone {bare:.2f} s."
    )


def main() -> None:
    if sys.argv[1:2] == ["--grow"]:
        grow(int(sys.argv[2]), int(sys.argv[3]))
        return
    against_minimiser(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0)
    against_pyelastica()
    growth()
    cold_start()


if __name__ == "__main__":
    main()
