"""One trial: a few commands in a process of their own, with an end to time and memory.

The process is a copy of this one, which has slype loaded, so that a trial costs a hundredth of a second and not half of
one. Its memory is read from the system's own account of it when it has ended.
"""

from __future__ import annotations

import contextlib
import os
import resource
import select
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

from places import SOURCE

MOST_BYTES = 4 * 2**30
"""Address space: well over what counts as too much, so that it is counted and the machine is spared."""
MOST_CPU_S, MOST_CLOCK_S = 40, 240
"""A trial over these is ended; what counts as late is said in `verdict`."""


@dataclass
class Said:
    """What one command did: exit `status` (None where it never ended), `cpu_s`, output and complaint; `broken` what was
    found otherwise than promised, though the command itself says nothing of it."""

    words: tuple[str, ...]
    status: int | None
    cpu_s: float
    out: str
    err: str
    broken: str = ""


def broken(words: tuple[str, ...], story: str) -> Said:
    """A promise that does not hold, found by looking."""
    return Said(words, 0, 0.0, "", "", story)


@dataclass
class Outcome:
    """All of one trial. `ended_by` a signal, where the process did not end by itself."""

    said: list[Said] = field(default_factory=list)
    most_mb: float = 0.0
    ended_by: int | None = None


def run(folder: Path, commands: list[tuple[str, ...]], most_cpu_s: int = MOST_CPU_S) -> Outcome:
    """Run `slype` with each of the commands' words in `folder`, all in one limited process."""
    sys.stdout.flush()
    sys.stderr.flush()
    logs = [(folder / f".out-{i}", folder / f".err-{i}") for i in range(len(commands))]
    ends, begins = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ends)
        _live(folder, commands, logs, begins, most_cpu_s)
    os.close(begins)
    outcome = Outcome()
    marks, ended = _marks(ends, child)
    os.close(ends)
    _, status, used = ended if ended is not None else os.wait4(child, 0)
    outcome.most_mb = used.ru_maxrss / 1024 if sys.platform != "darwin" else used.ru_maxrss / 2**20
    if os.WIFSIGNALED(status):
        outcome.ended_by = os.WTERMSIG(status)
    for i, words in enumerate(commands):
        if i > len(marks):
            break
        end, cpu = marks[i] if i < len(marks) else (None, float(most_cpu_s))
        out, err = (path.read_text("utf-8", "replace") if path.exists() else "" for path in logs[i])
        outcome.said.append(Said(words, end, cpu, out, err))
    for pair in logs:
        for path in pair:
            path.unlink(missing_ok=True)
    return outcome


def _marks(ends: int, child: int):
    """(status, seconds) of every command that ended; the process is stopped where it takes far too long."""
    raw, until = b"", time.monotonic() + MOST_CLOCK_S
    while True:
        ready, _, _ = select.select([ends], [], [], max(0.0, until - time.monotonic()))
        if not ready:
            with contextlib.suppress(ProcessLookupError):
                os.kill(child, signal.SIGKILL)
            break
        more = os.read(ends, 65536)
        if not more:
            break
        raw += more
    rows = [row.split() for row in raw.decode().splitlines()]
    return [(int(status), float(seconds)) for status, seconds in rows], None


def _limit(most_cpu_s: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (most_cpu_s, most_cpu_s + 1))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def as_typed(folder: Path, words: tuple[str, ...], most_cpu_s: int = MOST_CPU_S) -> Said:
    """One command as a maker types it: a fresh Python, with the same limits."""
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent), "COLUMNS": "80", "PYTHONUTF8": "1"}
    begun = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, "-m", "slype", *words], cwd=folder, env=env, stdin=subprocess.DEVNULL, capture_output=True,
        preexec_fn=lambda: _limit(most_cpu_s), check=False,
    )  # fmt: skip
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = used.ru_utime + used.ru_stime - begun.ru_utime - begun.ru_stime
    return Said(words, done.returncode, cpu, *(raw.decode("utf-8", "replace") for raw in (done.stdout, done.stderr)))


def _live(folder: Path, commands, logs, begins: int, most_cpu_s: int) -> None:
    """The life of the trial's process; it never returns."""
    from slype.cli.commands import main

    os.chdir(folder)
    _limit(most_cpu_s)
    os.environ["COLUMNS"] = "80"
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    sys.stdin = open(0, encoding="utf-8", closefd=False)
    for words, (out, err) in zip(commands, logs, strict=True):
        for at, path in ((1, out), (2, err)):
            to = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(to, at)
            os.close(to)
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)
        begun = time.process_time()
        try:
            status = main(list(words))
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else 0
        except BaseException:
            import traceback

            traceback.print_exc()
            status = 99
        for stream in (sys.stdout, sys.stderr):
            with contextlib.suppress(OSError, ValueError):
                stream.flush()
        os.write(begins, f"{int(status or 0)} {time.process_time() - begun:.3f}\n".encode())
    os._exit(0)
