"""What the machine around a command does to it: files kept as they were, output full or closed, no cache, no folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import numpy as np
import pytest
from commands import BASKET, slype_here
from places import SOURCE

from slype import files
from slype.draw.runs.thinned import needed
from slype.errors import FileTrouble

HEAD = [sys.executable, "-m", "slype"]


@pytest.fixture
def bowl(tmp_path):
    (tmp_path / "bowl.toml").write_text(BASKET, encoding="utf-8")
    return tmp_path


def surroundings(**more):
    return {**os.environ, "PYTHONPATH": str(SOURCE.parent), **more}


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o644])
def test_a_file_keeps_its_mode_when_it_is_written(tmp_path, mode):
    path = tmp_path / "mine.toml"
    path.write_text("old")
    path.chmod(mode)
    files.write(str(path), "new")
    assert path.read_text() == "new" and path.stat().st_mode & 0o777 == mode


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only root gives files away")
def test_a_file_keeps_its_owner_when_another_user_writes_it(tmp_path):
    path = tmp_path / "theirs.toml"
    path.write_text("old")
    os.chown(path, 12345, 12345)
    files.write(str(path), "new")
    assert (path.stat().st_uid, path.stat().st_gid, path.read_text()) == (12345, 12345, "new")


def test_a_read_only_file_is_left_as_it_is(bowl):
    kept = bowl / "bowl.svg"
    kept.write_text("drawn by hand")
    kept.chmod(0o444)
    said = slype_here(bowl, "picture", "bowl.toml", "-o", "bowl.svg", "--view", "squares")
    assert said.status == 2 and "bowl.svg: is read-only" in said.err and "another name" in said.err
    assert kept.read_text() == "drawn by hand" and kept.stat().st_mode & 0o777 == 0o444
    with pytest.raises(FileTrouble, match="read-only"):
        files.write(str(kept), "new")
    assert sorted(each.name for each in bowl.iterdir()) == ["bowl.svg", "bowl.toml"]


@pytest.mark.parametrize(("made", "link"), [("bowl.svg", os.symlink), ("bowl.svg", os.link), ("b.glb", os.symlink)])
def test_an_output_that_is_a_link_to_the_design_does_not_eat_it(bowl, made, link):
    link(bowl / "bowl.toml", bowl / made)
    said = slype_here(bowl, "picture", "bowl.toml", "-o", made, "--view", "squares")
    assert said.status == 2 and "the very file that it is made from" in said.err
    assert (bowl / "bowl.toml").read_text(encoding="utf-8") == BASKET


def test_a_link_stays_a_link_to_what_was_drawn(bowl):
    (bowl / "far").mkdir()
    (bowl / "bowl.svg").symlink_to(bowl / "far" / "drawn.svg")
    assert slype_here(bowl, "picture", "bowl.toml", "-o", "bowl.svg", "--view", "squares").status == 0
    assert (bowl / "bowl.svg").is_symlink() and (bowl / "far" / "drawn.svg").read_text().startswith("<svg")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no full device")
def test_a_full_output_is_told_and_is_not_called_unweavable(bowl):
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [*HEAD, "plan", "bowl.toml"], cwd=bowl, stdout=full, stderr=subprocess.PIPE, env=surroundings(), text=True
        )
    assert done.returncode == 2 and done.stderr.count("\n") == 1, done.stderr
    assert "output: No space left on device. Make room" in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="said in a shell of Unix")
@pytest.mark.parametrize("closed", [">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_streams_are_nothing_to_stumble_over(bowl, closed):
    words = f'"{sys.executable}" -m slype check bowl.toml {closed}'
    done = subprocess.run(words, shell=True, cwd=bowl, capture_output=True, env=surroundings(), text=True)
    assert done.returncode == 0 and "Traceback" not in done.stderr, done.stderr


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps a folder that is in use")
def test_a_working_folder_that_is_gone_is_told(bowl):
    words = f'mkdir gone; cd gone; rmdir ../gone; "{sys.executable}" -m slype picture {bowl}/bowl.toml -o a.svg --quick'
    done = subprocess.run(words, shell=True, cwd=bowl, capture_output=True, env=surroundings(), text=True)
    assert done.returncode == 2 and "Traceback" not in done.stderr and done.stderr.startswith("slype: "), done.stderr


@pytest.mark.parametrize("letters", ["ascii", "latin-1"])
def test_json_loses_no_letter_whatever_the_terminal_is(bowl, letters):
    (bowl / "bowl.toml").write_text(BASKET.replace("Willow Lane bowl", "Zoë's č bowl 🧺"), encoding="utf-8")
    said = subprocess.run(
        [*HEAD, "check", "bowl.toml", "--json"], cwd=bowl, capture_output=True, check=True,
        env=surroundings(PYTHONIOENCODING=letters, PYTHONUTF8="0"),
    ).stdout  # fmt: skip
    assert json.loads(said.decode("ascii"))["title"] == "Zoë's č bowl 🧺"


NO_CACHE = """
import sys
sys.argv = ["slype"]
import numba.core.caching as caching
caching.CacheImpl._locator_classes = []
caching.CodeLibraryCacheImpl._locator_classes = []
caching.CompileResultCacheImpl._locator_classes = []
from slype.cli.surroundings import tell_warnings
from slype.rods.compiled import compiled, is_kept
tell_warnings()
tell_warnings()
print("before", file=sys.stderr)
@compiled(nogil=True)
def twice(x):
    return 2 * x
assert is_kept() and twice(1) == 2 and not is_kept()
print("to work", file=sys.stderr)
@compiled(nogil=True)
def thrice(x):
    return 3 * x
assert twice(thrice(7)) == 42
"""


def test_without_a_folder_for_compiled_loops_they_are_compiled_anew_and_that_is_told(tmp_path):
    done = subprocess.run([sys.executable, "-c", NO_CACHE], capture_output=True, env=surroundings(), text=True)
    assert done.returncode == 0, done.stderr
    said = done.stderr.splitlines()
    assert said[0] == "before" and said[2:] == ["to work"], "it is told once, before anything is compiled"
    assert said[1].startswith("slype: no folder can be written") and "NUMBA_CACHE_DIR" in said[1]


def test_a_cache_that_cannot_be_read_or_written_stops_no_work(monkeypatch):
    from slype.rods import compiled

    monkeypatch.setattr(compiled, "_not_kept", set())

    def full(*args):
        raise OSError(28, "No space left on device")

    assert compiled.is_kept()
    with pytest.warns(compiled.Slow, match="half a minute longer"):
        assert compiled._or_none(full, "a loop")("anything") is None
    assert not compiled.is_kept()


FROM_THE_CACHE = """
import sys, numpy as np
from slype.draw.runs.thinned import needed
print(needed(np.arange(3.0), np.zeros(3), 0.1).tolist(), "scipy.linalg" in sys.modules)
import scipy.optimize
print(scipy.optimize.brentq(lambda x: x - 1.0, 0.0, 3.0))
"""


def test_a_compiled_loop_brings_no_scipy_and_leaves_it_to_whoever_wants_it():
    """numba looks for scipy before it has its first loop from the cache; that took as long as to draw a basket."""
    needed(np.arange(3.0), np.zeros(3), 0.1)  # is in the cache then
    done = subprocess.run([sys.executable, "-c", FROM_THE_CACHE], capture_output=True, env=surroundings(), text=True)
    assert done.stdout.splitlines() == ["[0, 2] False", "1.0"], done.stderr


def test_what_calls_no_loop_does_not_load_what_compiles_them(bowl):
    """That takes as long as the rest of a plan."""
    words = (
        "import sys, atexit; from slype.cli.commands import main; "
        "atexit.register(lambda: print('numba' in sys.modules)); main()"
    )
    for command, loaded in ((["plan", "bowl.toml"], False), (["picture", "bowl.toml", "-o", "a.png", "--quick"], True)):
        done = subprocess.run(
            [sys.executable, "-c", words, *command], cwd=bowl, capture_output=True, env=surroundings(), text=True
        )
        assert done.returncode == 0 and done.stdout.splitlines()[-1] == str(loaded), done.stderr
