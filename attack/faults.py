"""Faults of the surroundings: programs killed while they write, no home, no state, output that nobody reads."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

from places import SOURCE

from .designs import EXAMPLES
from .trial import Outcome, Said, broken

OLD = b"<svg>drawn before</svg>"


def faults(seed: int, folder: Path):
    """One fault while a picture is drawn or a design is planned; what lay there is whole, old or new."""
    by = random.Random(f"fault {seed}")
    (folder / "pot.toml").write_text(by.choice(EXAMPLES), encoding="utf-8")
    (folder / "pot.svg").write_bytes(OLD)
    return _ONE[by.choice(sorted(_ONE))](by, folder), "", False


def _begin(folder: Path, *words: str, out=subprocess.PIPE, **surroundings: str) -> subprocess.Popen:
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent), **surroundings}
    command = [sys.executable, "-m", "slype", *words]
    return subprocess.Popen(
        command,
        cwd=folder,
        env=env,
        stdout=out,
        stderr=subprocess.PIPE,
        stdin=subprocess.DEVNULL,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )


def _ended(run: subprocess.Popen, words: tuple[str, ...], expected: tuple[int, ...]) -> Outcome:
    out, err = run.communicate(timeout=240)
    said = err.decode("utf-8", "replace")
    if run.returncode not in expected and "Traceback" not in said:
        return Outcome([broken(words, f"status {run.returncode}: {said[-600:]}")])
    status = max(0, run.returncode) if "Traceback" not in said else 99
    seen = out is not None and status == 0 and run.returncode == 0
    shown = words if seen else words[:1]  # what went elsewhere cannot be judged
    return Outcome([Said(shown, status, 0.0, out.decode("utf-8", "replace") if seen else "", said)])


def _killed(by: random.Random, folder: Path) -> Outcome:
    """Ended without a word at any moment: the file is the old one or the whole new one."""
    run = _begin(folder, "picture", "pot.toml", "-o", "pot.svg", "--view", "squares")
    try:
        run.wait(by.uniform(0.0, 1.6))
    except subprocess.TimeoutExpired:
        run.kill()
    run.communicate()
    raw = (folder / "pot.svg").read_bytes()
    whole = raw == OLD or (raw.startswith(b"<svg") and raw.rstrip().endswith(b"</svg>"))
    for each in folder.glob(".slype-*"):  # what a killed program leaves is swept later, and is no part of the answer
        each.unlink()
    return Outcome([] if whole else [broken(("killed",), f"half a file: {raw[:60]!r}")])


def _no_home(by: random.Random, folder: Path) -> Outcome:
    none = {"HOME": "/nowhere", "XDG_CACHE_HOME": "/nowhere", "XDG_DATA_HOME": "/nowhere", "SLYPE_STATE": "/proc/none"}
    words = by.choice((("plan", "pot.toml"), ("book", "shelf"), ("check", "pot.toml")))
    return _ended(_begin(folder, *words, **none), words, (0, 1, 2))


def _no_state(by: random.Random, folder: Path) -> Outcome:
    (folder / "state").write_text("a file in its place")
    words = ("studio", ".", "--no-browser")
    return _ended(_begin(folder, *words, SLYPE_STATE=str(folder / "state")), words, (2,))


def _full(by: random.Random, folder: Path) -> Outcome:
    words = by.choice((("plan", "pot.toml"), ("chart", "pot.toml", "--json"), ("reeds",), ("border",)))
    with open("/dev/full", "wb") as full:
        return _ended(_begin(folder, *words, out=full), words, (2,))


def _nobody_reads(by: random.Random, folder: Path) -> Outcome:
    words = by.choice((("plan", "pot.toml"), ("chart", "pot.toml", "--json"), ("weaves",)))
    ends, begins = os.pipe()
    run = _begin(folder, *words, out=begins)
    os.close(begins)
    time.sleep(by.uniform(0.0, 0.6))
    os.close(ends)
    return _ended(run, words, (0,))


def _read_only(by: random.Random, folder: Path) -> Outcome:
    (folder / "pot.svg").chmod(0o444)
    words = ("picture", "pot.toml", "-o", "pot.svg", "--view", "squares")
    outcome = _ended(_begin(folder, *words), words, (2,))
    if (folder / "pot.svg").read_bytes() != OLD:
        outcome.said.append(broken(words, "it was written over"))
    return outcome


def _interrupted(by: random.Random, folder: Path) -> Outcome:
    """Ctrl-C at any moment, once or three times: it ends, without a word of Python's."""
    words = by.choice((("studio", ".", "--no-browser"), ("picture", "pot.toml", "-o", "pot.svg"), ("plan", "pot.toml")))
    run = _begin(folder, *words, SLYPE_STATE=str(folder / "state"))
    time.sleep(by.uniform(0.3, 3.0))
    for _ in range(by.choice((1, 3))):
        run.send_signal(signal.SIGINT)
        time.sleep(0.05)
    outcome = _ended(run, words, (0, 130, -signal.SIGINT))
    outcome.said = [replace(each, status=0) if each.status == 130 else each for each in outcome.said]
    return outcome


_ONE = {
    "killed": _killed, "killed again": _killed, "no home": _no_home, "no state": _no_state, "full": _full,
    "nobody reads": _nobody_reads, "read-only": _read_only, "interrupted": _interrupted,
}  # fmt: skip
