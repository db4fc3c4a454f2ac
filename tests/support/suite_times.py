"""A pytest plugin: what each test takes, by the clock and of the processor, a line of JSON each.

[test, seconds by the clock, of the processor here, of the processor in processes begun here: browser, studio, ...]
"""

from __future__ import annotations

import json
import os
import resource
import time
from pathlib import Path

import pytest

TICK_S = 1 / os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 0.0


def of_children() -> float:
    """Seconds of the processor that processes begun here took: ended ones, and where the system tells living ones."""
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    mine, living, took = {os.getpid()}, {}, ended.ru_utime + ended.ru_stime
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue  # it has ended meanwhile
        living[int(path.parent.name)] = int(fields[1]), sum(map(int, fields[11:15]))
    found = True
    while found:
        found = {process for process, (parent, _) in living.items() if parent in mine} - mine
        mine |= found
    return took + TICK_S * sum(living[process][1] for process in mine - {os.getpid()} if process in living)


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_protocol(item):
    # What others took is read outside of what is timed: to look through all processes takes longer than many a test.
    began = of_children(), time.perf_counter(), time.process_time()
    yield
    ended = time.perf_counter(), time.process_time(), of_children()
    took = [after - before for before, after in zip((*began[1:], began[0]), ended, strict=True)]
    worker = os.environ.get("PYTEST_XDIST_WORKER", "one")
    with Path(os.environ["SUITE_TIMES"], f"{worker}.jsonl").open("a", encoding="utf-8") as file:
        file.write(json.dumps([item.nodeid, *(round(each, 3) for each in took)]) + "\n")
