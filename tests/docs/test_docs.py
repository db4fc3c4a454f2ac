"""The docs say what the code does: the reference is remade, the examples run, nothing promised is left out."""

from __future__ import annotations

import importlib.util
import re
import tomllib

import pytest
from places import ROOT
from worked import planned

from slype.advice.advise import RULES
from slype.advice.results import in_words, wall
from slype.borders.table import BORDERS
from slype.cli.arguments import parser
from slype.design.file.keys import KEYS
from slype.design.file.reader import parse
from slype.export.plan import as_json
from slype.export.promised import chart_json, moments_json
from slype.export.promised import results_json as wall_json
from slype.order.moments import moments
from slype.plans import planning
from slype.sources import SOURCES
from slype.weave.table import WEAVES

README = (ROOT / "README.md").read_text(encoding="utf-8")
GUIDE = (ROOT / "docs" / "guide.md").read_text(encoding="utf-8")
PYTHON = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
JSON = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")


def _blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def test_the_reference_is_what_the_tables_say(tmp_path):
    spec = importlib.util.spec_from_file_location("make_reference", ROOT / "docs" / "make_reference.py")
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    new = maker.text()
    if maker.TARGET.read_text(encoding="utf-8") != new:
        beside = tmp_path / "reference.md"
        beside.write_text(new, encoding="utf-8")
        pytest.fail(f"{maker.TARGET} is not what the tables say; see {beside}, or run docs/make_reference.py")


def test_every_record_is_in_the_reference():
    reference = (ROOT / "docs" / "reference.md").read_text(encoding="utf-8")
    names = [*WEAVES, *BORDERS, *RULES, *SOURCES, *(key.name for key in KEYS)]
    assert len(names) > 80
    assert [name for name in names if name not in reference] == []


def test_the_first_design_in_the_readme_is_ten_lines_and_can_be_woven():
    (text,) = _blocks(README, "toml")
    assert len(text.strip().splitlines()) == 10
    plan = planning.plan(parse(text, "pot.toml"))
    assert not [found for found in plan.advice if found.rule.weight in ("stop", "warn")]
    assert plan.laid.bands[3].effect.effect == "blocks"  # pairing in two colours on an odd count


def test_the_programs_in_the_guide_run(capsys, monkeypatch):
    monkeypatch.chdir(ROOT / "src" / "slype" / "examples")  # they read an example by its name
    programs = _blocks(GUIDE, "python")
    assert len(programs) >= 2
    for program in programs:
        exec(program, {})
    said = capsys.readouterr().out
    assert 'weave = "pairing"' in said and "from space" in said and "upright lines" in said


def test_every_piece_of_toml_in_the_guide_can_be_read():
    pieces = _blocks(GUIDE, "toml")
    assert len(pieces) >= 6
    whole = (ROOT / "src" / "slype" / "examples" / "estuary.toml").read_text(encoding="utf-8")
    for piece in pieces:
        # Each piece replaces its tables in a whole design, which must then still be a design.
        design = tomllib.loads(whole)
        told = tomllib.loads(piece)
        if told.get("base", {}).get("kind") == "board":  # then no base is woven
            design["band"] = [band for band in design["band"] if band["where"] != "base"]
        for table, values in told.items():
            design[table] = [*design["band"], *values] if table == "band" else values
        assert parse(_toml(design)).title


def _toml(document: dict) -> str:
    """Enough TOML to hand a document back to the reader."""

    def value(v) -> str:
        if isinstance(v, dict):
            return "{ " + ", ".join(f'"{k}" = {value(x)}' for k, x in v.items()) + " }"
        if isinstance(v, list):
            return "[" + ", ".join(map(value, v)) + "]"
        if isinstance(v, bool):
            return str(v).lower()
        return str(v) if isinstance(v, int | float) else "'" + v + "'"

    return "\n".join(f'"{key}" = {value(v)}' for key, v in document.items())


def test_every_command_is_in_the_guide_or_the_readme():
    actions = [action for action in parser()._actions if action.choices and action.dest == "command"]
    commands = [name for action in actions for name in action.choices]
    assert len(commands) >= 8
    assert [name for name in commands if name not in GUIDE and name not in README] == []


def test_every_key_of_the_promised_forms_is_documented():
    plan = planned("estuary")
    for form in (as_json(plan), chart_json(plan.laid)):
        assert [key for key in form if f"`{key}`" not in JSON and key != "title"] == []
    for inner in ("spokes", "bands", "reed", "joins", "advice", "soaking", "time"):
        row = as_json(plan)[inner]
        keys = row if isinstance(row, dict) else row[0]
        assert [key for key in keys if key not in JSON] == []


def test_every_key_of_the_forms_for_pages_is_documented(estuary):
    plan = planned("estuary")
    options = wall(estuary, 5)
    order = moments_json(plan, plan.laid, moments(plan.laid))
    results = wall_json(options, in_words(estuary, options), [""] * len(options))
    for form in (order, order["parts"][0], results[0], *results[0]["changes"]):
        assert form and [key for key in form if f"`{key}`" not in JSON] == []
    assert [act for act in order["acts"] if act not in JSON] == []


def test_the_python_of_the_guide_runs(tmp_path, monkeypatch, capsys):
    (tmp_path / "estuary.toml").write_bytes((ROOT / "src" / "slype" / "examples" / "estuary.toml").read_bytes())
    monkeypatch.chdir(tmp_path)
    pieces = _blocks(GUIDE, "python")
    assert pieces
    for piece in pieces:
        exec(compile(piece, "guide.md", "exec"), {})
    assert "upright lines for 4 rows" in capsys.readouterr().out


def test_the_scripts_of_the_python_page_run_and_print_a_table(tmp_path, monkeypatch, capsys):
    (tmp_path / "posy.toml").write_bytes((ROOT / "src" / "slype" / "examples" / "posy.toml").read_bytes())
    monkeypatch.chdir(tmp_path)
    first, *others = _blocks(PYTHON, "python")
    assert len([line for line in first.splitlines() if line]) == 15 and others
    exec(compile(first, "python.md", "exec"), {})
    table = capsys.readouterr().out
    assert [table] == _blocks(PYTHON, "text"), "the page shows what its script prints"
    head, *rows = table.splitlines()
    assert len(rows) == 5 and len({len(line) for line in (head, *rows)}) == 1
    grams = [int(re.search(r"(\d+) g", row)[1]) for row in rows]
    assert grams == sorted(set(grams))
    for program in others:
        exec(compile(program, "python.md", "exec"), {})
    said = capsys.readouterr().out
    assert "24 upright lines" in said and "[form] is missing" in said
    assert (tmp_path / "posy.svg").stat().st_size > 10_000


def test_links_lead_somewhere():
    links = re.findall(r"\]\(([^)#]+)\)", README)
    assert links
    assert [link for link in links if not (ROOT / link).exists()] == []
