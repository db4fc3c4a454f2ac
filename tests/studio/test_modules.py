"""The page's modules before any browser: each can be read, and what it imports, also for its types, is there."""

from __future__ import annotations

import json
import re
import subprocess

import pytest
from node import node
from places import PAGE, ROOT, SHARED, SOURCE

FOLDERS = (PAGE, SHARED, SOURCE / "lesson" / "page")
PATHS = [path for folder in FOLDERS for path in sorted(folder.rglob("*.js"))]
MODULES = {path.relative_to(SOURCE).as_posix(): path.read_text("utf-8") for path in PATHS}
OWN = [name for name in MODULES if not name.startswith("page/vendor/")]


def unlinked(modules: dict[str, str]) -> list[str]:
    """What Node says of modules that cannot be linked."""
    words = [node(), "--experimental-vm-modules", "--no-warnings", str(ROOT / "tests" / "support" / "link_modules.js")]
    done = subprocess.run(words, input=json.dumps(modules), capture_output=True, encoding="utf-8", check=True)
    return done.stdout.splitlines()


def test_no_page_reaches_into_another_and_what_they_share_reaches_into_none():
    for name in OWN:
        for asked in re.findall(r"""(?:from|import\(|URL\()\s*["'](\.[^"']+)["']""", MODULES[name]):
            there = (SOURCE / name).parent.joinpath(asked).resolve().relative_to(SOURCE.resolve()).as_posix()
            own = name.split("page/")[0]
            assert there.startswith(("page/", f"{own}page/")), f"{name} takes {there}"


def test_every_module_is_read_and_finds_every_name_it_imports():
    assert len(OWN) > 30
    assert unlinked(MODULES) == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('import { tube } from "./b.js";', "does not provide an export named 'tube'"),
        ('import { a } from "./c.js";', "there is no js/c.js"),
        ("const a = ;", "Unexpected token"),
    ],
)
def test_a_module_that_would_not_load_is_seen(text, said):
    (line,) = unlinked({"js/a.js": text, "js/b.js": "export const tubes = 1;"})
    assert line.startswith("js/a.js: ") and said in line


BORROWED = [(name, *found) for name in OWN for found in re.findall(r'import\("([^"]+)"\)\.(\w+)', MODULES[name])]


def tells(text: str, kind: str) -> bool:
    """Whether a module tells of a type of that name, or exports a thing of it."""
    told = rf"@typedef\b[^\n]*?[}}\s]{kind}\b|@callback {kind}\b"
    exported = rf"^export (default )?(class|function|const) {kind}\b|^export \{{[^}}]*\b{kind}\b[^}}]*\}}"
    return bool(re.search(f"{told}|{exported}", text, re.M))


def test_every_type_that_a_module_borrows_is_told_of_there():
    assert len(BORROWED) > 30
    for name, place, kind in BORROWED:
        there = (SOURCE / name).parent.joinpath(place).resolve().relative_to(SOURCE.resolve()).as_posix()
        assert tells(MODULES[there], kind), f"{name}: {there} tells of no {kind}"
        assert not tells(MODULES[there], f"{kind}s_"), "the question can be answered no"


@pytest.mark.parametrize("name", OWN)
def test_every_module_says_what_it_is_for(name):
    assert re.match(r"\s*(//|/\*)", MODULES[name]), "it begins with a word on what it is for"
