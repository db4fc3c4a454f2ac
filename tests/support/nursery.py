"""Studios of tests begin as forks of a process that has loaded already what a studio and its workers load, and has
settled a basket: begun as a maker begins them each takes half a second of the processor, and its first basket at rest
as much again. `studio_run.AS_TYPED` begins one as a maker does, for tests of how it begins and ends.

The process is the fork server of Python's own `multiprocessing`; a studio's workers are asked of the same.
"""

from __future__ import annotations

import functools
import importlib
import multiprocessing
import os
import subprocess
import sys
import types
from multiprocessing import forkserver
from pathlib import Path
from unittest import mock

from places import SOURCE

POSSIBLE = sys.platform == "linux"
"""Elsewhere there is no fork, or the system's own libraries do not bear it."""


class Born:
    """A studio's process, asked as one of `subprocess` is."""

    def __init__(self, process) -> None:
        self.process, self.pid = process, process.pid

    def poll(self) -> int | None:
        return self.process.exitcode

    def wait(self, seconds: float) -> int:
        self.process.join(seconds)
        if self.process.exitcode is None:
            raise subprocess.TimeoutExpired("slype studio", seconds)
        return self.process.exitcode

    def send_signal(self, asked: int) -> None:
        if self.poll() is None:
            os.kill(self.pid, asked)


def born(words: list[str], surroundings: dict[str, str], said: Path, stacked: bool) -> Born:
    """`slype studio WORDS` in these surroundings; what it and its workers say is written to `said`."""
    _server_runs()
    at = (dict(surroundings), str(said), os.getcwd())
    key = getattr(forkserver._forkserver, "_forkserver_authkey", None)  # from Python 3.14 on, who asks must know it
    process = multiprocessing.get_context("forkserver").Process(target=_studio, args=(at, words, stacked, key))
    with mock.patch.dict(sys.modules, {"__main__": types.ModuleType("__main__")}):  # nobody there loads pytest
        process.start()
    return Born(process)


@functools.lru_cache(maxsize=1)
def _server_runs() -> None:
    path = os.pathsep.join((str(SOURCE.parent), str(Path(__file__).parent)))
    multiprocessing.set_forkserver_preload(["nursery", "nursery_warm"])
    with mock.patch.dict(os.environ, {"PYTHONPATH": path}):
        forkserver.ensure_running()


def _stand_in(at: tuple[dict[str, str], str, str]) -> None:
    """Takes the surroundings, the folder and the terminal that a process would have been begun with."""
    surroundings, said, folder = at
    os.environ.clear()
    os.environ.update(surroundings)
    os.chdir(folder)
    written = os.open(said, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    for each in (sys.stdout, sys.stderr):
        each.flush()
        os.dup2(written, each.fileno())
        each.reconfigure(write_through=True)
    os.close(written)


def _studio(at: tuple, words: list[str], stacked: bool, key: bytes | None) -> None:
    from slype.__main__ import main
    from slype.studio import running, workers
    from slype.studio.asked import app

    _stand_in(at)
    forkserver._forkserver.ensure_running = lambda: None  # a fork believes that it is the first to ask
    forkserver._forkserver._forkserver_authkey = key
    context = multiprocessing.get_context("forkserver")
    workers.multiprocessing.get_context = lambda _: context
    workers.work = functools.partial(_worker, at)
    if stacked:
        running.REST_AFTER_S = app.SLOW_LATER_S = float("inf")
    sys.argv = ["slype", *words]
    sys.exit(main())


def _worker(at: tuple, *life) -> None:
    _stand_in(at)
    importlib.import_module("slype.studio.life").work(*life)
