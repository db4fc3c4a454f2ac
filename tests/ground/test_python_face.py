"""What `import slype` offers to a script: there at once, every name, and every verb of docs/python.md."""

from __future__ import annotations

import ast
import inspect
import json
import subprocess
import sys

import pytest
from places import ROOT, SOURCE

import slype

HEAVY = """
import sys
before = set(sys.modules)
import slype
print(sorted(set(sys.modules) - before))
slype.DesignError
print("numpy" in sys.modules, "slype.errors" in sys.modules)
"""


def test_import_slype_imports_nothing_else():
    words = [sys.executable, "-c", HEAVY]
    done = subprocess.run(
        words, env={"PYTHONPATH": str(SOURCE.parent)}, capture_output=True, encoding="utf-8", check=True
    )
    assert done.stdout.splitlines() == ["['slype']", "False True"], done.stdout


def test_every_public_name_is_there_told_and_the_same_to_a_type_checker():
    tree = ast.parse((SOURCE / "__init__.py").read_text("utf-8"))
    told = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.level
        for alias in node.names
    }
    assert told == set(slype.__all__) <= set(dir(slype))
    for name in slype.__all__:
        assert inspect.getdoc(getattr(slype, name)), name


def test_a_type_checker_is_told_the_very_things_that_come():
    tree = ast.parse((SOURCE / "__init__.py").read_text("utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            module = __import__(f"slype.{node.module}", fromlist=["x"])
            for alias in node.names:
                assert getattr(slype, alias.asname or alias.name) is getattr(module, alias.name)


def test_no_verb_has_the_name_of_a_room_or_a_module():
    there = {path.stem for path in SOURCE.iterdir()}
    assert not there & set(slype.__all__)


def test_a_name_that_there_is_not_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'weavers'"):
        _ = slype.weavers
    assert not hasattr(slype, "mends")


def test_every_verb_is_in_the_docs():
    text = (ROOT / "docs" / "python.md").read_text("utf-8")
    assert [name for name in slype.__all__ if f"`slype.{name}" not in text and f"`{name}" not in text] == []


# The verbs agree with the commands -----------------------------------------------------------------------------------


def test_a_sheet_is_the_handout_of_the_plan_on_the_paper_asked_for(plan, monkeypatch):
    monkeypatch.setattr("slype.make.papers.sheet", lambda *asked: asked)  # half a minute, and tests/paper looks at it
    assert slype.sheet(plan, "letter") == (plan, None, "letter", False, False)
    assert slype.sheet(plan, reader="student")[1] == "student"


@pytest.fixture(scope="module")
def plan():
    return slype.plan(slype.read(SOURCE / "examples" / "posy.toml"))


def test_verbs_take_a_design_or_its_plan_and_answer_alike(plan):
    assert slype.check(plan) == slype.check(plan.design) == plan.advice
    assert slype.chart(plan) == slype.chart(plan.design)
    assert slype.picture(plan, "squares") == slype.picture(plan.design, "squares")


def test_the_chart_is_the_promised_form(plan):
    done = subprocess.run(
        [sys.executable, "-m", "slype", "chart", str(SOURCE / "examples" / "posy.toml"), "--json"],
        env={"PYTHONPATH": str(SOURCE.parent)}, capture_output=True, encoding="utf-8", check=True,
    )  # fmt: skip
    assert json.loads(done.stdout) == json.loads(json.dumps(slype.chart(plan)))


def test_files_come_as_bytes_of_their_kind(plan):
    assert slype.picture(plan, "unrolled", kind="png", width=200).startswith(b"\x89PNG")
    assert slype.picture(plan, "above", kind="png", width=200).startswith(b"\x89PNG")
    assert slype.solid(plan).startswith(b"glTF")


def test_four_rod_wale_stands_in_lines_on_24_and_spirals_on_25():
    lines = slype.effects("four-rod wale", "rust, rust, sand, slate", (24, 25))
    assert [line.outside.effect for line in lines] == ["upright lines", "spiral"]
    assert slype.effects("four-rod wale", ["rust", "rust", "sand", "slate"], 24) == lines[:1]


def test_a_borders_need_is_the_same_in_makers_words_and_in_millimetres():
    told = slype.border("behind 1 out, over 2 down", "19 mm", "round 5")
    from slype.reeds import reed_named

    assert told == slype.border("behind 1 out, over 2 down", 19.0, reed_named("round 5").diameter_mm)
    assert told.length_mm > slype.border("behind 1 out, over 1 down", "19 mm", "round 5").length_mm


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (lambda plan: slype.picture(plan, "sideways"), 'no view "sideways"'),
        (lambda plan: slype.picture(plan, "outside", kind="gif"), "no kind of picture"),
        (lambda plan: slype.picture(plan, "unrolled", hatched=True), "no hatchings"),
        (lambda plan: slype.sheet(plan, "a3"), "a3"),
        (lambda plan: slype.effects("four-rod whale", "rust", 24), "four-rod w"),
        (lambda plan: slype.border("behind 1 out", "3/4 in", "round 44"), "round 44"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(plan, asked, words):
    with pytest.raises(slype.SlypeError, match=words):
        asked(plan)
