"""A pytest plugin: what each test takes, by the clock and of the processor, a line of JSON each."""

from __future__ import annotations

import json
import os
import resource
import time
from pathlib import Path

import pytest


def of_children() -> float:
    """Seconds of the processor that processes which were begun here, and have ended, took."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_protocol(item):
    began = time.perf_counter(), time.process_time(), of_children()
    yield
    took = [b - a for a, b in zip(began, (time.perf_counter(), time.process_time(), of_children()), strict=True)]
    worker = os.environ.get("PYTEST_XDIST_WORKER", "one")
    with Path(os.environ["SUITE_TIMES"], f"{worker}.jsonl").open("a", encoding="utf-8") as file:
        file.write(json.dumps([item.nodeid, *(round(each, 4) for each in took), round(began[0], 3)]) + "\n")
