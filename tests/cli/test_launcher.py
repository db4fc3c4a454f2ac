"""`run.py`, the launcher beside the source, and the ways in without a word: what a double click and an icon start."""

from __future__ import annotations

import importlib.util
import io
import os
import subprocess
import sys

import pytest
from places import ROOT
from studio_run import Run


@pytest.fixture
def launcher(monkeypatch):
    """run.py as a module that hands its words to `given` and sets nothing up."""
    spec = importlib.util.spec_from_file_location("launcher", ROOT / "run.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.given = []
    monkeypatch.setattr(module, "set_up", lambda extra: None)
    monkeypatch.setattr(module, "run_slype", lambda words: module.given.append(words) or 0)
    return module


def terminal(words: str = "\n") -> io.StringIO:
    """A keyboard at which `words` are typed."""
    keys = io.StringIO(words)
    keys.isatty = lambda: True
    return keys


def test_without_a_word_the_studio_opens(launcher):
    assert launcher.main([]) == 0
    assert launcher.given == [["studio", "--baskets"]]


def test_with_words_they_go_to_slype_and_help_to_the_reader(launcher, capsys):
    launcher.main(["plan", "pot.toml"])
    launcher.main(["help"])
    assert launcher.given == [["plan", "pot.toml"], ["--help"]]
    assert launcher.main(["--help"]) == 0 and "open the studio" in capsys.readouterr().out


@pytest.mark.parametrize("trouble", ["slype needs Python 3.11 or newer; this is Python 3.6.", 2])
def test_a_window_that_a_double_click_opened_stays_until_its_trouble_is_read(launcher, monkeypatch, capsys, trouble):
    keys = terminal("\nmore")
    monkeypatch.setattr(sys, "stdin", keys)
    monkeypatch.setattr(launcher, "main", lambda words: trouble)
    assert launcher.by_double_click() == (1 if isinstance(trouble, str) else 2)
    said = capsys.readouterr().err
    assert "Press Enter" in said and (trouble in said if isinstance(trouble, str) else True)
    assert keys.read() == "more"


def test_trouble_in_setting_up_is_read_too(launcher, monkeypatch, capsys):
    def offline(extra):
        sys.exit("The package index cannot be reached.")

    monkeypatch.setattr(sys, "stdin", terminal())
    monkeypatch.setattr(launcher, "set_up", offline)
    assert launcher.by_double_click() == 1
    assert "cannot be reached.\nPress Enter" in capsys.readouterr().err


def test_without_trouble_the_window_closes_by_itself(launcher, monkeypatch, capsys):
    keys = terminal("kept")
    monkeypatch.setattr(sys, "stdin", keys)
    assert not launcher.by_double_click()
    assert keys.read() == "kept" and "Enter" not in capsys.readouterr().err


@pytest.mark.parametrize(("name", "folder", "program"), [("nt", "Scripts", "python.exe"), ("posix", "bin", "python")])
def test_the_private_python_lies_where_each_system_puts_it(launcher, monkeypatch, name, folder, program):
    monkeypatch.setattr(launcher.os, "name", name)
    assert launcher.environment_python().endswith(os.path.join(".venv", folder, program))


@pytest.mark.skipif(os.name == "nt", reason="there the folder of documents is not named by the surroundings")
def test_the_makers_own_folder_is_made_and_opened_and_the_way_to_end_is_said(tmp_path, monkeypatch):
    (tmp_path / "state").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DOCUMENTS_DIR", str(tmp_path / "Documents"))
    run = Run(tmp_path, tmp_path / "state", places=["--baskets"])
    try:
        run.get("/")
        assert (tmp_path / "Documents" / "Baskets").is_dir()
        assert f"Designs in {tmp_path / 'Documents' / 'Baskets'}. Keep this window open" in run.words()
        assert "closes the studio" in run.words()
        assert run.stop() == 0
    finally:
        run.kill()


@pytest.mark.skipif(sys.platform != "linux", reason="each system's icon is asked for in test_shortcut.py")
def test_the_icon_comes_and_goes_by_the_command(tmp_path):
    surroundings = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "PYTHONPATH": str(ROOT / "src")}
    entry = tmp_path / "applications" / "slype.desktop"
    for word, there in (("--shortcut", True), ("--remove-shortcut", False)):
        words = [sys.executable, "-m", "slype", "studio", word]
        done = subprocess.run(words, env=surroundings, capture_output=True, encoding="utf-8", check=False)
        assert done.returncode == 0 and str(entry) in done.stdout, done.stderr
        assert entry.exists() is there
