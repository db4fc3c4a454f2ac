"""Whole commands, run as a maker types them."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from places import SOURCE

from slype.cli.commands import main

BASKET = """version = 1

[basket]
title = "Willow Lane bowl"

[spokes]
reed = "round 5"
ends = 28

[form]
base = "7 in"
wall = [["0 in", "7 in"], ["4 in", "9 in"]]

[[band]]
where = "side"
weave = "three-rod wale"
reed = "round 3"
colours = ["natural"]
rows = 3

[[band]]
where = "side"
weave = "four-rod wale"
reed = "round 3"
colours = ["rust", "rust", "sand", "slate"]
until = "top"

[border]
rows = ["behind 1 out", "over 3 in", "over 2 down"]
"""


class Said(NamedTuple):
    status: int
    out: str
    err: str


def slype_in(folder: Path, *arguments: str, **environment: str) -> Said:
    """Run `slype` in a folder, as a user would; never mind what, no traceback may come out."""
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent), "PYTHONUTF8": "1", "COLUMNS": "80", **environment}
    done = subprocess.run(
        [sys.executable, "-m", "slype", *arguments],
        cwd=folder,
        env=env,
        capture_output=True,
        encoding="utf-8",
        timeout=600,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return Said(done.returncode, done.stdout, done.stderr)


def slype_here(folder: Path, *arguments: str) -> Said:
    """The same command without a process of its own: for the many that differ only in what they are asked. A traceback
    is then the test's own failure."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    wide = mock.patch.dict(os.environ, COLUMNS="80")
    with wide, contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(list(arguments))
        except SystemExit as end:
            status = end.code
    return Said(status, *(each.buffer.getvalue().decode() for each in (out, err)))


def with_change(old: str, new: str) -> str:
    """The basket with one thing changed."""
    assert BASKET.count(old) == 1, f"{old!r} does not stand once in the basket"
    return BASKET.replace(old, new)
