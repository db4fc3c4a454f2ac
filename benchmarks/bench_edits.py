"""How long one change to a design file takes: the whole of it, and what tomlkit and the reader of designs have of it;
how long after it the stacked picture is there, and how long after it the basket is at rest again.

Run as `python benchmarks/bench_edits.py`. The page that asks for a change should not be kept waiting: 20 ms at most.
For the stacked picture the aim is 50 ms, for rest 0.5 s, for 95 of 100 changes.
"""

from __future__ import annotations

import functools
import gc
import time
from pathlib import Path
from statistics import median, quantiles

import tomlkit

import slype
from slype.design.file import reader
from slype.edit import apply
from slype.errors import SlypeError
from slype.lay import laying
from slype.make.baskets import settled
from slype.studio import answers, remembered

EXAMPLES = Path(slype.__file__).parent / "examples"
EXAMPLE = (EXAMPLES / "estuary.toml").read_text(encoding="utf-8")
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


THEN = {
    "a title": {"set": ["basket", "title"], "to": "Another"},
    "one colour": {"set": ["band", 5, "colours", 0], "to": "moss"},
    "one row more": {"set": ["band", 4, "rows"], "to": 5},
    "two spokes more": {"set": ["spokes", "ends"], "to": 2},
    "stouter spokes": {"set": ["spokes", "reed"], "to": "round 6"},
    "another border": {"set": ["border", "rows"], "to": ["behind 1 out", "over 2 in"]},
    "finer weavers": {"set": ["band", 5, "reed"], "to": "round 2"},
    "a handle": {"insert": ["handle"], "at": 0, "value": {"kind": "bow", "core": "round 8"}},
}
"""Changes to every example that takes them; for "two spokes more", how many more."""


def to_picture() -> None:
    """Processor milliseconds from each kind of change to the studio's stacked answer, figures and solid, over all
    examples that take it: of a worker that knows the basket before and nothing else, the least of five."""
    names = ("estuary", "posy", "quayside", "saltmarsh")
    for name in names:  # whatever is loaded and compiled late
        answers.look(_text(name), name, 0, lambda share: None)
    kept = [each for each in gc.get_objects() if isinstance(each, functools._lru_cache_wrapper)]
    kept = [each for each in kept if (each.__module__ or "").startswith("slype")]
    every: list[float] = []
    for kind, change in THEN.items():
        took = []
        for name in names:
            change = _of(kind, change, reader.parse(_text(name)).spokes.ends)
            times = [_picture(name, change, kept) for _ in range(5)]
            took += [1000 * min(each for each in times if each is not None)] if None not in times else []
        every += took
        print(f"{kind + ', to the stacked picture':42} {', '.join(f'{each:.0f}' for each in took)} ms")
    middle, late = median(every), quantiles(every, n=20)[-1]
    print(f"{'the middle of them, and 95 of 100 within':42} {middle:.0f} ms, {late:.0f} ms; {len(every)} changes")


def _picture(name: str, change: dict, kept: list) -> float | None:
    """Seconds of one such change, None of one that the example does not take."""
    for each in kept:
        each.cache_clear()
    laying._known.clear()
    remembered.forget()
    answers.look(_text(name), name, 0, lambda share: None)
    gc.collect()
    start = time.process_time()
    try:
        answer = answers.change(_text(name), [change], name, 1, lambda share: None)["answer"]
    except SlypeError:
        return None
    return time.process_time() - start if answer and answer["solid"] else None


def _of(kind: str, change: dict, ends: int) -> dict:
    return {**change, "to": ends + 2} if kind == "two spokes more" else change


def to_rest() -> None:
    """Processor seconds from each kind of change to the basket at rest again, over all examples that take it."""
    every: list[float] = []
    before = {name: settled(reader.parse(_text(name))) for name in ("estuary", "posy", "quayside", "saltmarsh")}
    for kind, change in THEN.items():
        took = []
        for name, rest in before.items():
            change = _of(kind, change, rest.design.spokes.ends)
            try:
                design = reader.parse(apply.apply(_text(name), [change]).text)
                if design == rest.design:
                    continue
                start = time.process_time()
                settled(design, rest, cores=1)
            except SlypeError:
                continue
            took.append(time.process_time() - start)
        every += took
        said = ", ".join(f"{each:.2f}" for each in took)
        print(f"{kind + ', to rest':34} {said} s")
    print(f"{'95 of 100 at rest after':34} {quantiles(every, n=20)[-1]:.2f} s; {len(every)} changes")


def _text(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


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
    to_picture()
    to_rest()


if __name__ == "__main__":
    main()
