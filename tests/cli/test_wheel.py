"""slype as others get it: the wheel, built here, unpacked into an empty folder, run with the source out of the way."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import tomllib
import zipfile
from pathlib import Path

import pytest
from places import ROOT
from studio_run import Run

SOURCE = ROOT / "src"
START = """
import sys
sys.path[:0] = [{wheel!r}]
sys.path += [path for path in {site!r} if path not in sys.path]
from importlib.metadata import distribution
(command,) = distribution("slype").entry_points
main = command.load()
assert sys.modules["slype"].__file__.startswith({wheel!r}), sys.modules["slype"].__file__
status = main(sys.argv[1:])
assert not [m for m in sys.modules.values() if (getattr(m, "__file__", None) or "").startswith({source!r})]
sys.exit(status)
"""
"""What the `slype` script of an installed wheel does, in a Python that was told nothing (-I) and reads no `.pth` file
(-S), by which a checkout could come in."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel, as the build system of pyproject.toml makes it."""
    folder = tmp_path_factory.mktemp("built")
    asked = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(asked, cwd=ROOT, check=True, capture_output=True)
    (built,) = folder.glob("slype-*.whl")
    return built


@pytest.fixture(scope="module")
def python(wheel, tmp_path_factory) -> list[str]:
    """Words that run `slype` from the unpacked wheel; a pure wheel is installed by being unpacked."""
    folder = tmp_path_factory.mktemp("installed").resolve()
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder)
    site = [sysconfig.get_path("purelib"), sysconfig.get_path("platlib")]
    return [sys.executable, "-I", "-S", "-c", START.format(wheel=str(folder), site=site, source=str(SOURCE))]


def test_the_wheel_holds_every_file_of_the_package_and_no_other(wheel):
    there = {path.relative_to(SOURCE).as_posix() for path in (SOURCE / "slype").rglob("*") if path.is_file()}
    there = {name for name in there if "__pycache__" not in name and not name.endswith(".pyc")}
    held = set(zipfile.ZipFile(wheel).namelist())
    assert {name for name in held if not name.startswith("slype-")} == there
    for name in ("examples/estuary.toml", "paper/sheet.typ", "studio/page/index.html", "studio/page/js/main.js"):
        assert f"slype/{name}" in held
    assert {f"slype/page/vendor/three/{name}" for name in ("LICENSE", "three.core.js")} <= held
    licences = {name.partition("licenses/")[2] for name in held if "dist-info/licenses/" in name}
    vendored = "src/slype/page/vendor/three/"
    assert licences == {"LICENSE", f"{vendored}LICENSE", f"{vendored}LICENSE-earcut"}


def test_it_makes_no_claim_on_one_system_and_asks_for_a_python_that_will_do(wheel):
    assert wheel.name.endswith("-py3-none-any.whl")
    packed = zipfile.ZipFile(wheel)
    (name,) = [name for name in packed.namelist() if name.endswith("METADATA")]
    assert "Requires-Python: >=3.11" in packed.read(name).decode()


def test_a_plan_and_a_picture_come_from_the_wheel_alone(python, wheel, tmp_path):
    draw = ["--spoke", "round 5", "-o", "border.png"]
    with zipfile.ZipFile(wheel) as packed:
        (tmp_path / "posy.toml").write_bytes(packed.read("slype/examples/posy.toml"))
    for words in (["plan", "posy.toml", "--json"], ["border", "three-rod plain", "--spacing", "3/4 in", *draw]):
        done = subprocess.run(
            [*python, *words],
            cwd=tmp_path,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode == 0, done.stderr
        if "--json" in words:
            assert json.loads(done.stdout)["spokes"]["length_mm"] > 100
    assert (tmp_path / "border.png").read_bytes().startswith(b"\x89PNG")


def test_the_studio_opens_from_the_wheel_alone_with_its_page_and_workers(python, tmp_path):
    (tmp_path / "state").mkdir()
    run = Run(tmp_path, tmp_path / "state", python=python)
    try:
        for name in ("", "studio/page/js/main.js", "page/vendor/three/three.module.js", "studio/page/icon.svg"):
            assert run.get(f"/{name}").status == 200, name
        state = run.open(example="posy")
        assert state["look"] and not state["trouble"]
        assert run.stop() == 0, run.words()
    finally:
        run.kill()
    assert "Keep this window open" in run.words() and os.listdir(tmp_path / "state")


def test_what_the_script_loads_at_its_head_is_little_for_every_worker_loads_it_too():
    command = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["scripts"]["slype"]
    words = f"import sys; from {command.replace(':', ' import ')}; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout.split()
    assert "slype" in loaded and not {"slype.cli", "argparse"} & set(loaded)
