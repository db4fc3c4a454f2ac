"""Whole commands as a maker types them: what is said, where, and with which exit status."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from commands import BASKET, Said, slype_here, slype_in
from places import EXAMPLES, SOURCE
from samples import pot_text

import slype
from slype.cli.arguments import VIEWS, parser

FILES = sorted(EXAMPLES.glob("*.toml"))


# What a good design gives --------------------------------------------------------------------------------------


def test_a_plan_says_what_to_cut_weigh_soak_and_join(bench):
    said = slype_in(bench, "plan", "bowl.toml")
    assert (said.status, said.err) == (0, "")
    assert "Willow Lane bowl" in said.out
    for heading in ("To cut", "How the length of a spoke is made up", "Reed to weigh out", "Soaking", "Joins", "Time"):
        assert f"\n{heading}" in said.out
    assert re.search(r"\n +14 +Spokes +round 5 +natural +\d+( 1/2)? in +\d+.* to .* in\n", said.out)
    assert "border" in said.out and not re.search(r"\brims?\b", said.out)


def test_a_british_plan_in_centimetres_speaks_of_stakes_and_borders(bench):
    said = slype_here(bench, "plan", "bowl.toml", "--wording", "uk", "--units", "cm")
    assert "stake" in said.out and "spoke" not in said.out
    assert "border" in said.out and "Colour" in said.out
    assert not re.search(r"\d in\b", said.out)


def test_a_report_piped_to_a_file_holds_no_colour_codes_and_fits_in_80_columns(bench):
    for command in (["plan", "bowl.toml"], ["chart", "bowl.toml"], ["check", "bowl.toml"], ["reeds"], ["weaves"]):
        # One as a process, whose pipe is a true one; for the others any file that is no terminal will do.
        said = (slype_in if command[0] == "plan" else slype_here)(bench, *command)
        assert "\x1b" not in said.out and "…" not in said.out
        assert max(map(len, said.out.splitlines())) <= 80
        assert not any(line.endswith(" ") for line in said.out.splitlines())


def test_a_narrow_or_old_terminal_still_gets_its_report(bench):
    assert slype_in(bench, "plan", "bowl.toml", COLUMNS="40").status == 0
    said = slype_in(bench, "plan", "bowl.toml", PYTHONUTF8="0", PYTHONIOENCODING="ascii")
    assert said.status == 0 and said.out.isascii()


def test_the_plans_json_is_the_promised_form(bench):
    said = slype_here(bench, "plan", "bowl.toml", "--json")
    plan = json.loads(said.out)
    assert plan["spokes"]["count"] == 14 and plan["spokes"]["ends"] == 28
    assert {"height_mm", "bands", "reed", "joins", "soaking", "time", "advice"} <= set(plan)
    assert sum(part["mm"] for part in plan["spokes"]["parts"]) == pytest.approx(plan["spokes"]["length_mm"], abs=0.3)


def test_a_plan_in_json_imports_neither_tables_nor_drawing(bench):
    program = (
        "import sys; from slype.cli.commands import main; status = main(['plan', 'bowl.toml', '--json']); "
        "print([name for name in ('rich', 'typst', 'scipy', 'slype.draw.views', 'slype.paper.sheet', "
        "'slype.report.plans', 'slype.report.printed') if name in sys.modules], file=sys.stderr); sys.exit(status)"
    )
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent)}
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=bench, env=env, capture_output=True, text=True, check=True
    )
    assert done.stderr.strip() == "[]"


def test_the_chart_shows_four_colours_in_turn_on_every_spoke(bench):
    chart = json.loads(slype_here(bench, "chart", "bowl.toml", "--json").out)
    row = chart["outside"][1]["rows"][2]
    assert len(row) == 28 and all(len(strands) == 2 for strands in row)
    said = slype_here(bench, "chart", "bowl.toml")
    assert "r rust" in said.out and "upright lines, repeating every 4 spaces" in said.out


def test_the_left_handed_chart_mirrors_the_right_handed_one(bench):
    right, left = (
        json.loads(slype_here(bench, "chart", "bowl.toml", "--json", "--hand", hand).out) for hand in ("right", "left")
    )
    for face in ("outside", "inside"):
        for one, other in zip(right[face], left[face], strict=True):
            assert [row[::-1] for row in one["rows"]] == other["rows"]


def test_check_puts_the_gravest_first(bench):
    found = json.loads(slype_here(bench, "check", "bowl.toml", "--json").out)["advice"]
    weights = [("stop", "warn", "note").index(each["weight"]) for each in found]
    assert weights and weights == sorted(weights)
    assert slype_here(bench, "check", "bowl.toml").out.startswith("Willow Lane bowl: ")


@pytest.mark.parametrize("example", FILES, ids=lambda path: path.stem)
def test_every_example_can_be_woven(tmp_path, example):
    said = slype_here(tmp_path, "check", str(example))
    assert (said.status, said.err) == (0, "")
    assert "stop" not in said.out


def test_there_are_three_examples():
    assert len(FILES) >= 3


# Effects, borders, tables --------------------------------------------------------------------------------------


# Help ----------------------------------------------------------------------------------------------------------


def commands() -> list[str]:
    return next(list(action.choices) for action in parser()._actions if action.dest == "command")


@pytest.mark.parametrize("command", commands())
def test_every_command_shows_an_example_in_its_help(tmp_path, command):
    said = slype_here(tmp_path, command, "--help")
    assert said.status == 0 and f"slype {command}" in said.out.split("Example:")[1]


def test_the_views_in_the_help_are_the_views_that_can_be_drawn():
    from slype.draw.views import VIEWS as DRAWN

    assert VIEWS == DRAWN


def test_the_version_is_told_both_ways(tmp_path):
    assert slype_in(tmp_path, "version").out == slype_in(tmp_path, "--version").out == f"slype {slype.__version__}\n"


# Files written -------------------------------------------------------------------------------------------------


def test_a_picture_is_written_whole_and_says_so(bench):
    said = slype_in(bench, "picture", "bowl.toml", "-o", "bowl.svg", "--view", "outside")
    assert said.status == 0 and said.out.startswith("bowl.svg: ")
    assert (bench / "bowl.svg").read_text(encoding="utf-8").rstrip().endswith("</svg>")
    slype_here(bench, "picture", "bowl.toml", "-o", "bowl.png", "--view", "above", "--width", "90")
    assert (bench / "bowl.png").read_bytes().startswith(b"\x89PNG")


def test_a_solid_is_written_and_says_so(bench):
    said = slype_here(bench, "picture", "bowl.toml", "-o", "bowl.glb")
    assert said.status == 0 and said.out.startswith("bowl.glb: ") and "a solid" in said.out
    assert (bench / "bowl.glb").read_bytes().startswith(b"glTF")


def test_inside_looks_into_the_basket_and_hatching_has_a_key(bench):
    said = slype_here(bench, "picture", "bowl.toml", "-o", "in.svg", "--view", "inside", "--hatch")
    assert said.status == 0
    text = (bench / "in.svg").read_text(encoding="utf-8")
    assert "a look inside" in text and ": plain</text>" in text


def test_flat_views_have_no_hatchings_and_say_which_have(bench):
    said = slype_here(bench, "picture", "bowl.toml", "-o", "flat.svg", "--view", "squares", "--hatch")
    assert said.status == 2 and '"squares" has no hatchings' in said.err and "outside, inside, above, under" in said.err
    assert not (bench / "flat.svg").exists()


def test_another_tone_is_another_picture_and_the_same_tone_the_same(bench):
    (bench / "pot.toml").write_text(pot_text(), encoding="utf-8")
    seeds = {"a": "3", "b": "3", "c": "4"}
    for name, seed in seeds.items():
        slype_here(
            bench, "picture", "pot.toml", "-o", f"{name}.png", "--view", "under", "--width", "60", "--tone", seed
        )
    a, b, c = ((bench / f"{name}.png").read_bytes() for name in seeds)
    assert len({a, b}) == 1 and len({a, c}) == 2


def test_a_sheet_is_a_pdf(bench):
    said = slype_in(bench, "sheet", "bowl.toml", "-o", "bowl.pdf", "--paper", "letter", "--hand", "left")
    assert said.status == 0 and "left-handed" in said.out
    assert (bench / "bowl.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("bowl.gif", '".gif" is not a kind of file this makes. End it in .svg or .png or .glb.'),
        ("bowl", "End it in .svg or .png or .glb."),
        ("no such folder/bowl.svg", 'there is no folder "no such folder" to write into'),
        ("bowl.toml", "this is the very file that it is made from"),
        ("other.toml", '".toml" is not a kind of file this makes'),
        ("folder.svg", "this is a folder, not a file"),
        ("bowl.toml/bowl.svg", 'there is no folder "bowl.toml" to write into'),
    ],
)
def test_a_picture_that_cannot_be_written_is_refused_before_any_work(bench, output, words):
    (bench / "folder.svg").mkdir()
    said = slype_here(bench, "picture", "bowl.toml", "-o", output)
    assert said.status == 2 and said.out == "" and said.err.startswith("slype: ")
    assert words in said.err and output in said.err
    assert sorted(path.name for path in bench.iterdir()) == ["bowl.toml", "folder.svg"]
    assert (bench / "bowl.toml").read_text(encoding="utf-8") == BASKET


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_to_is_told(bench):
    bench.chmod(0o500)
    try:
        said = slype_in(bench, "picture", "bowl.toml", "-o", "bowl.svg")
    finally:
        bench.chmod(0o700)
    assert said.status == 2 and "bowl.svg: cannot be written: permission denied" in said.err


@pytest.mark.skipif(sys.platform == "win32", reason="needs a limit on the size of files")
def test_a_full_disk_leaves_the_old_picture_as_it_was(bench):
    (bench / "bowl.svg").write_text("the old picture", encoding="utf-8")
    program = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000)); "
        "from slype.cli.commands import main; "
        "sys.exit(main(['picture', 'bowl.toml', '-o', 'bowl.svg', '--view', 'unrolled']))"
    )
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([sys.executable, "-c", program], cwd=bench, env=env, capture_output=True, text=True)
    assert done.returncode == 2 and "bowl.svg: cannot be written: File too large." in done.stderr
    assert (bench / "bowl.svg").read_text(encoding="utf-8") == "the old picture"
    assert sorted(path.name for path in bench.iterdir()) == ["bowl.svg", "bowl.toml"], "something half-written is left"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
def test_a_reader_that_goes_away_is_no_fault(bench):
    env = {**os.environ, "PYTHONPATH": str(SOURCE.parent)}
    writer = subprocess.Popen(
        [sys.executable, "-m", "slype", "chart", "bowl.toml", "--json"],
        cwd=bench,
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    writer.stdout.read(10)
    writer.stdout.close()
    assert writer.stderr.read() == b"" and writer.wait() == 0
    writer.stderr.close()


def test_stopping_a_command_from_the_keyboard_is_quiet(monkeypatch, capsys):
    from slype.cli import commands as cli

    def stopped(asked):
        raise KeyboardInterrupt

    monkeypatch.setitem(cli._COMMANDS, "reeds", stopped)
    assert cli.main(["reeds"]) == 130
    assert capsys.readouterr() == ("", "")


def test_a_basket_for_which_there_is_not_enough_memory_is_named(monkeypatch, capsys):
    from slype.cli import commands as cli

    def too_much(asked):
        raise MemoryError

    monkeypatch.setitem(cli._COMMANDS, "check", too_much)
    assert cli.main(["check", "vast.toml"]) == 2
    assert capsys.readouterr().err.startswith("slype: vast.toml: this asks for more memory than there is.")


# The demo ------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> tuple[Path, Said]:
    folder = tmp_path_factory.mktemp("bench")
    return folder, slype_in(folder, "demo")


def test_the_demo_makes_everything_and_says_where(demo):
    folder, said = demo
    assert (said.status, said.err) == (0, "")
    plan = folder / "slype-demo"
    assert str(plan) in said.out
    for words in ("finished", "16 of", "32 ends", "time", "upright lines", "advice"):
        assert words in said.out
    names = {path.name for path in plan.iterdir()}
    assert {path.name for path in FILES} <= names
    assert {"plan.txt", "plan.json", "chart.json", "chart.txt"} <= names
    assert {f"picture-{view}.{kind}" for view in VIEWS for kind in ("svg", "png")} <= names
    assert {"basket.glb", "lesson.html"} <= names
    assert {"sheet-right-a4.pdf", "sheet-right-letter.pdf", "sheet-left-uk-a4.pdf"} <= names
    assert not any(name.startswith(".") for name in names)
    assert all(path.stat().st_size for path in plan.iterdir())
    assert json.loads((plan / "plan.json").read_text(encoding="utf-8"))["spokes"]["count"] == 16


def test_the_demo_keeps_a_design_that_was_changed(tmp_path):
    # Only the copying of the examples: the whole demo is run once, above.
    from slype.cli.demo import _copy_examples

    assert _copy_examples(str(tmp_path)) == []
    mine = tmp_path / "posy.toml"
    mine.write_text("# mine now\n", encoding="utf-8")
    (said,) = _copy_examples(str(tmp_path))
    assert "posy.toml" in said and "left as it is" in said
    assert mine.read_text(encoding="utf-8") == "# mine now\n"
    assert (tmp_path / "estuary.toml").exists()


def test_the_demo_never_enters_a_folder_with_other_files(tmp_path):
    (tmp_path / "plan.txt").write_text("my own plans", encoding="utf-8")
    said = slype_here(tmp_path, "demo", "-o", ".")
    assert said.status == 2 and "holds files that are not from slype" in said.err
    assert [path.name for path in tmp_path.iterdir()] == ["plan.txt"]
    said = slype_here(tmp_path, "demo", "-o", "plan.txt")
    assert said.status == 2 and "plan.txt: this is a file, not a folder" in said.err
    assert (tmp_path / "plan.txt").read_text(encoding="utf-8") == "my own plans"
