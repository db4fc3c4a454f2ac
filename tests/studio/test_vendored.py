"""What the page carries of others' work is what its README says, unchanged, and goes out with slype."""

from __future__ import annotations

import hashlib
import re

import pytest
from places import PAGE, SHARED, SOURCE

THREE = SHARED / "vendor" / "three"
SUMS = dict(re.findall(r"^\| (\S+) \| `([0-9a-f]{64})` \|$", (THREE / "README.md").read_text("utf-8"), re.M))


@pytest.mark.parametrize("name", ["LICENSE", "LICENSE-earcut", "three.core.js", "three.module.js"])
def test_every_file_has_the_sum_that_the_readme_gives(name):
    assert hashlib.sha256((THREE / name).read_bytes()).hexdigest() == SUMS[name]


def test_nothing_else_lies_there():
    assert {path.name for path in THREE.iterdir()} == {*SUMS, "README.md"}


def test_the_version_is_the_one_the_readme_names():
    version = re.search(r"Version 0\.(\d+)\.\d+", (THREE / "README.md").read_text("utf-8"))[1]
    assert re.search(rf"const REVISION = '{version}'", (THREE / "three.core.js").read_text("utf-8"))


def test_what_the_library_copied_has_its_own_licence_beside_it():
    copied = re.search(r"copy of mapbox/earcut version (\S+)", (THREE / "three.core.js").read_text("utf-8"))[1]
    assert f"earcut {copied}" in (THREE / "README.md").read_text("utf-8")
    assert "ISC License" in (THREE / "LICENSE-earcut").read_text("utf-8")


def test_the_library_asks_only_for_its_own_other_file():
    text = (THREE / "three.module.js").read_text("utf-8")
    assert set(re.findall(r"^(?:import|export) .* from '([^']+)'", text, re.M)) == {"./three.core.js"}


def test_the_page_asks_only_for_files_that_are_there():
    asked = 0
    for path in (PAGE / "js").glob("*.js"):
        for name in re.findall(r'from "([^"]+)"', path.read_text("utf-8")):
            assert (path.parent / name).resolve().is_file(), f"{path.name} asks for {name}"
            asked += 1
    assert asked > 5


def test_the_page_names_every_script_it_will_want_so_that_none_waits_for_another():
    wanted, new = set(), [PAGE / "js" / "main.js"]
    while new:
        path = new.pop()
        wanted.add(path)
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.S)  # types are named in comments
        asked = re.findall(r"(?:from|import\() ?[\"'](\.[^\"']+)[\"']", text)
        new += {(path.parent / name).resolve() for name in asked} - wanted
    named = re.findall(r'rel="modulepreload" href="/([^"]+)"', (PAGE / "index.html").read_text("utf-8"))
    assert sorted(named) == sorted(path.resolve().relative_to(SOURCE.resolve()).as_posix() for path in wanted)
