"""The layout of the tests: a folder for each room, what several use in `support/`, no test leans on another."""

from __future__ import annotations

import ast

from places import ROOT, SOURCE

TESTS = ROOT / "tests"
OTHER_FOLDERS = {"authorities", "docs", "ground", "support"} | {"kit", "lesson", "book"}
"""Folders that are no room's: published figures, the docs, what lies directly in `slype`, what several tests use; and
wings, whose code may lie in older rooms."""
FILES = sorted(TESTS.rglob("*.py"))


def imported(path) -> set[str]:
    """Every name of a module that a file imports, at its head or inside a function."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def test_there_are_tests_to_look_at():
    assert len(FILES) > 60
    assert {"commands", "pytest", "slype.cli.demo"} <= imported(TESTS / "cli" / "test_commands.py")


def test_no_test_imports_another():
    for path in FILES:
        stems = {part for name in imported(path) for part in name.split(".")}
        tests = {stem for stem in stems if stem == "conftest" or stem.startswith("test_")}
        assert not tests, f"{path.relative_to(TESTS)} imports {tests}"


def test_every_folder_of_tests_is_named_after_a_room():
    folders = {path.parent.relative_to(TESTS).parts[0] for path in TESTS.rglob("test_*.py") if path.parent != TESTS}
    rooms = {path.parent.name for path in SOURCE.glob("*/__init__.py")}
    assert folders <= rooms | OTHER_FOLDERS, f"no such room: {folders - rooms - OTHER_FOLDERS}"


def test_what_tests_share_is_no_test_itself():
    assert not list((TESTS / "support").rglob("test_*.py"))
