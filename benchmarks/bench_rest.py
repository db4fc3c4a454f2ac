"""Which baskets by chance do not come to rest, and how far reeds lie in each other in the end (docs/rest.md).

Run as `PYTHONPATH=src:tests/support python benchmarks/bench_rest.py FIRST COUNT`: the first COUNT sound baskets from
that seed on. "Sound" are those to which slype's own advice has no stop, and none of UNSOUND. About a second of a
processor each.
"""

from __future__ import annotations

import sys
import time
from statistics import median

from strategies import basket_by_chance

from slype.design.file.reader import parse
from slype.design.values import Design
from slype.errors import SlypeError
from slype.plans.planning import plan
from slype.rest.relax import AtRest, relax
from slype.rods.wall import overlap_of

UNSOUND = {"lid meets a handle", "weavers lie alike", "bows run into each other"}
"""Advice that names what cannot be put together, and warns of it."""
MOST = 0.05
"""Overlap, in thicknesses of the thinner reed, that is asked for anywhere (issue of one basket at rest)."""


def sound(seed: int) -> Design | None:
    """The basket of that seed, None where it cannot be laid or advice does not call it sound."""
    try:
        design = parse(basket_by_chance(seed))
        found = plan(design).advice
    except SlypeError:
        return None
    bad = any(each.rule.weight == "stop" or each.rule.key in UNSOUND for each in found)
    return None if bad else design


def left(rest: AtRest) -> list[str]:
    """What is not at rest, part by part, with what was left there."""
    out = []
    for name, part in rest.parts.items():
        if not part.rest.done or name in rest.tangled:
            deep = overlap_of(part.rest.wall, part.rest.contacts, part.rest.at)
            kind = "stacked form" if name in rest.tangled else "not quite"
            out.append(
                f"{name}: {kind}, overlap {deep:.4f}, force {part.rest.unbalanced:.2f}, {part.rest.sweeps} sweeps, "
                f"{part.rest.wall.nodes} points"
            )
    out += [f"{name}: plain form" for name in rest.tangled if name not in rest.parts]
    return out + ([f"lid's {each}" for each in left(rest.lid)] if rest.lid is not None else [])


def main(first: int, count: int) -> None:
    deep, seconds, restless, seed = [], [], 0, first
    while len(deep) < count:
        design = sound(seed)
        if design is not None:
            start = time.process_time()
            try:
                rest = relax(design, cores=1)
            except SlypeError as refused:  # a lid, say, that is known to be too tight once its basket is at rest
                print(seed, f"refused: {refused}", sep="   ", flush=True)
                seed += 1
                continue
            seconds.append(time.process_time() - start)
            deep.append(rest.together.worst)
            said = left(rest)
            restless += bool(said)
            if said or rest.together.worst > MOST:
                print(seed, f"{rest.together.worst:.3f}", f"{seconds[-1]:.1f} s", *said, sep="   ", flush=True)
        seed += 1
    over = sum(each > MOST for each in deep)
    print(
        f"seeds {first} to {seed - 1}: {count} sound baskets, {restless} not at rest on a surface, {over} over {MOST}, "
        f"middle {median(deep):.3f}, worst {max(deep):.3f}; {median(seconds):.2f} s of a processor in the middle, "
        f"{max(seconds):.1f} at most"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
