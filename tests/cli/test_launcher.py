"""`run.py`, the launcher beside the source, and the ways in without a word: what a double click and an icon start."""

from __future__ import annotations

import importlib.util
import io
import os
import subprocess
import sys

import pytest
from places import ROOT
from studio_run import AS_TYPED, Run, wait_until


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


def test_tests_start_from_compiled_modules_even_where_none_may_lie_beside_the_source(launcher, monkeypatch, tmp_path):
    monkeypatch.setattr(launcher, "ENVIRONMENT", str(tmp_path))
    monkeypatch.delenv("PYTHONPYCACHEPREFIX", raising=False)
    (tmp_path / "osier.py").write_text("")
    for forbidden, kept in (("1", tmp_path / "compiled"), ("", tmp_path / "__pycache__")):
        monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", forbidden)
        words = [sys.executable, "-c", "import osier"]
        assert launcher.run(words, str(tmp_path), {**launcher.compiled_once(), "PYTHONPATH": str(tmp_path)}) == 0
        assert [path.name.split(".")[0] for path in kept.rglob("osier.*")] == ["osier"]


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
    run = Run(tmp_path, tmp_path / "state", places=["--baskets"], python=AS_TYPED)
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


@pytest.mark.parametrize("sign", [os.pathsep, "\n"])
def test_a_folder_whose_name_python_cannot_use_is_told_before_anything_is_set_up(launcher, monkeypatch, sign):
    monkeypatch.setattr(launcher, "ROOT", f"/home/me/my{sign}baskets")
    said = launcher.main(["demo"])
    assert "name of this folder" in said and "Rename it" in said and launcher.given == []


def test_help_that_nobody_reads_to_its_end_is_no_trouble():
    done = subprocess.run(
        f'"{sys.executable}" run.py --help | head -1', shell=True, cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0 and done.stderr == "" and done.stdout.startswith("Run slype")


def test_a_package_that_has_gone_is_noticed(launcher, monkeypatch, tmp_path):
    monkeypatch.setattr(launcher, "ENVIRONMENT", str(tmp_path))
    monkeypatch.setattr(launcher, "STAMP", str(tmp_path / "slype-ready.txt"))
    place = tmp_path / "lib" / f"python{sys.version_info[0]}.{sys.version_info[1]}" / "site-packages"
    for name in ("numpy", "numpy-2.1.dist-info", "typst", "typst-0.14.dist-info"):
        (place / name).mkdir(parents=True)
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "python").touch()
    launcher.write_stamp("")
    assert launcher.ready("")
    (place / "numpy-2.1.dist-info").rename(place / "numpy-2.2.dist-info")  # brought up to date by hand
    assert launcher.ready("")
    (place / "typst").rmdir()
    assert not launcher.ready("")


INSTALLING = """
import importlib.util, sys, time
spec = importlib.util.spec_from_file_location("launcher", sys.argv[1])
launcher = importlib.util.module_from_spec(spec)
spec.loader.exec_module(launcher)
launcher.said_by([sys.executable, "-c", "import os, time; open(%r, 'w').write(str(os.getpid())); time.sleep(60)"])
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux ends a process with its parent")
def test_an_installer_does_not_outlive_the_launcher_that_is_killed(tmp_path):
    note = tmp_path / "pid"
    words = [sys.executable, "-c", INSTALLING % str(note), str(ROOT / "run.py")]
    begun = subprocess.Popen(words)
    assert wait_until(lambda: note.exists() and note.read_text(), 20)
    installer = int(note.read_text())
    begun.kill()
    begun.wait()
    assert wait_until(lambda: not os.path.exists(f"/proc/{installer}"), 10)


@pytest.mark.parametrize(("pip", "made"), [(["python", "-m", "pip"], True), ([], False)])
def test_a_python_whose_own_pip_can_install_elsewhere_need_not_make_another(launcher, monkeypatch, tmp_path, pip, made):
    monkeypatch.setattr(launcher, "ENVIRONMENT", str(tmp_path / "env"))
    monkeypatch.setattr(launcher, "pip_from_here", lambda: pip)
    real = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "ensurepip" else real(name))
    if made:
        launcher.make_environment(None)
    else:
        with pytest.raises(SystemExit, match="python3-venv"):
            launcher.make_environment(None)
    assert os.path.exists(launcher.environment_python()) is made


@pytest.mark.parametrize("here", [[], ["pip of this Python"]])
def test_where_no_pip_can_be_made_its_words_are_kept_or_the_pip_of_this_python_installs(
    launcher, monkeypatch, tmp_path, here
):
    monkeypatch.setattr(launcher, "ENVIRONMENT", str(tmp_path))
    monkeypatch.setattr(launcher, "pip_from_here", lambda: here)
    asked = []

    def said_by(command):
        asked.append(command)
        if "ensurepip" in command:
            return "No module named ensurepip"
        return None if "-e" in command and command[:1] == here else "No module named pip"

    monkeypatch.setattr(launcher, "said_by", said_by)
    said = launcher.install("", None)
    if here:
        assert said is None
    else:
        assert said == "No module named ensurepip" and not any("pip" in command for command in asked)
        told = launcher.why_not(said)
        assert "could not make a pip" in told and "network" not in told
        assert (tmp_path / "slype-setup.log").read_text() == said
    assert "network" in launcher.why_not("connection refused")
