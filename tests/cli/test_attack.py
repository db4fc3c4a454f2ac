"""A quick share of the attack: a few hundred trials from a seed, each in a process with limits; nothing may be found.

The whole of it is `python3 run.py attack` (docs/promises.md).
"""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from places import ROOT, SOURCE

pytestmark = pytest.mark.skipif(
    not hasattr(os, "fork"), reason="trials are copies of a process, which this system has not"
)

SHARE = {"reports": 40, "drawings": 3, "book": 4, "shared": 4, "faults": 2, "kills": 12}


def test_the_attack_finds_nothing():
    """All rooms of the share in one run, made once: two workers each made it for the rooms that fell to them."""
    paths = {**os.environ, "PYTHONPATH": str(SOURCE.parent)}
    words = [sys.executable, "-m", "attack", "--share", "--seed", "47"]
    share = subprocess.run(words, cwd=ROOT, env=paths, capture_output=True, text=True, timeout=290)
    said = share.stdout[-3000:] + share.stderr[-3000:]
    for room, trials in SHARE.items():
        assert not [line for line in share.stdout.splitlines() if line.startswith(f"{room} ")], said
        assert f"| {room} | {trials} |" in share.stdout, said
    assert share.returncode == 0, said


JUDGED = """
import sys
sys.path[:0] = ["src", "tests/support"]
from pathlib import Path
from attack import trial, verdict
from attack.trial import Outcome, Said
here = Path(".")
for status, cpu, out, err in (
    (1, 0.1, "", "Traceback (most recent call last): x"), (None, 40.0, "", ""), (0, 11.0, "fine", ""),
    (0, 0.1, "a spoke of -3 1/2 in", ""), (0, 0.1, "nan g", ""), (2, 0.1, "", "slype: it is wrong."),
    (2, 0.1, "", "slype: a.toml: it is wrong."), (2, 0.1, "", ""), (2, 0.1, "", "slype: a.toml, band 2, rows: wrong."),
):
    found = verdict.faults(Outcome([Said(("plan", "a.toml"), status, cpu, out, err)]), Path("attack"), "a.toml")
    print([kind for kind, _ in found])
print(verdict.faults(Outcome([trial.broken(("killed",), "half a file")]), Path("attack"), "a.toml"))
print([kind for kind, _ in verdict.faults(Outcome([], 2000.0), Path("attack"), "a.toml")])
outcome = trial.run(Path(sys.argv[1]), [("plan", "none.toml"), ("version",)])
print([said.status for said in outcome.said], "there is no such file" in outcome.said[0].err)
"""


def test_the_attack_sees_what_must_not_be(tmp_path):
    done = subprocess.run([sys.executable, "-c", JUDGED, str(tmp_path)], cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.splitlines() == [
        "['traceback']", "['never ended']", "['late']", "['absurd']", "['absurd']", "['no file']", "['no place']",
        "['nothing said']", "[]", "[('broken', 'killed: half a file')]", "['memory']", "[2, 0] True",
    ], done.stderr  # fmt: skip


SAME = """
import hashlib, sys
sys.path[:0] = ["src", "tests/support"]
from attack.designs import text_of
made = [text_of(seed) for seed in range(60)]
print(hashlib.sha256(b"".join(text for _, text in made)).hexdigest(), len({kind for kind, _ in made}))
"""


def test_the_same_seed_is_the_same_attack():
    once, again = (
        subprocess.run([sys.executable, "-c", SAME], cwd=ROOT, capture_output=True, text=True).stdout for _ in range(2)
    )
    assert once == again and once.endswith(" 3\n")
