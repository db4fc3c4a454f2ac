"""The icon among the applications: what each system is given, and that nothing stays behind."""

from __future__ import annotations

import os
import plistlib
import shlex
import struct
import subprocess
import sys
from pathlib import Path

import pytest

from slype import system
from slype.errors import FileTrouble
from slype.studio import shortcut

ODD = 'Mona\'s "best" $baskets\\100% `now`'


@pytest.fixture
def home(monkeypatch, tmp_path):
    for name in ("XDG_DATA_HOME", "APPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    monkeypatch.setenv("SLYPE_STATE", str(tmp_path / "state"))
    return tmp_path


def entry_of(text: str) -> dict[str, str]:
    head, *lines = text.splitlines()
    assert head == "[Desktop Entry]"
    return dict(line.split("=", 1) for line in lines)


def exec_words(value: str) -> list[str]:
    """The arguments of Exec, read back by the letter of the Desktop Entry Specification: first the escapes of every
    string, then each quoted argument's own, then field codes."""
    escapes = {"\\\\": "\\", "\\n": "\n", "\\s": " ", "\\t": "\t", "\\r": "\r"}
    plain, i = "", 0
    while i < len(value):
        step = 2 if value[i] == "\\" else 1
        plain += escapes[value[i : i + 2]] if step == 2 else value[i]
        i += step
    words, i = [], 0
    while i < len(plain):
        assert plain[i] == '"'
        word, i = "", i + 1
        while plain[i] != '"':
            i += plain[i] == "\\"
            word, i = word + plain[i], i + 1
        words.append(word.replace("%%", "\0"))
        i += 2
    assert not any("%" in word for word in words), "a lone percent sign begins a field code"
    return [word.replace("\0", "%") for word in words]


def test_the_menu_entry_runs_the_studio_in_a_terminal(home):
    said = shortcut.put([], "unix")
    path = home / ".local" / "share" / "applications" / "slype.desktop"
    assert said[0] == f"{path}: opens the studio." and "--remove-shortcut" in said[1]
    entry = entry_of(path.read_text("utf-8"))
    assert (entry["Type"], entry["Name"], entry["Terminal"]) == ("Application", "slype", "true")
    assert exec_words(entry["Exec"]) == [sys.executable, "-m", "slype", "studio", "--stay", "--baskets"]
    assert Path(entry["Icon"]).read_bytes() == shortcut.ICON.read_bytes()


def test_a_folder_of_any_name_reaches_the_studio_as_it_is_written(home):
    words = [sys.executable, ODD]
    assert exec_words(entry_of(shortcut.desktop_entry(words, "x.svg"))["Exec"]) == words
    script, runs = shortcut.bundle_files(words, b"")["Contents/Resources/studio.command"]
    assert runs and shlex.split(script.splitlines()[-1]) == ["exec", *words]


def test_places_are_written_whole_so_that_the_icon_finds_them_from_anywhere(home, monkeypatch):
    monkeypatch.chdir(home)
    assert shortcut.command(["mine"])[-1] == str(home / "mine") and "--baskets" not in shortcut.command(["mine"])


def test_the_bundle_opens_a_terminal_and_shows_its_picture(home):
    said = shortcut.put([], "macos")
    bundle = home / "Applications" / "slype.app"
    assert said[0].startswith(str(bundle))
    about = plistlib.loads((bundle / "Contents" / "Info.plist").read_bytes())
    opener = bundle / "Contents" / "MacOS" / about["CFBundleExecutable"]
    assert os.access(opener, os.X_OK) and "Resources/studio.command" in opener.read_text()
    program = bundle / "Contents" / "Resources" / "studio.command"
    assert os.access(program, os.X_OK) and program.read_text().endswith("-m slype studio --stay --baskets\n")
    picture = (bundle / "Contents" / "Resources" / f"{about['CFBundleIconFile']}.icns").read_bytes()
    name, length = struct.unpack(">4sI", picture[:8])
    assert (name, length) == (b"icns", len(picture)) and picture[8:12] == b"ic08"
    assert_square_png(picture[16:])


def assert_square_png(raw: bytes) -> None:
    assert raw[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", raw[16:24]) == (shortcut.DOTS, shortcut.DOTS)
    assert raw[25] == 6, "colour with transparency: an icon stands on any ground"


def test_the_start_menu_gets_its_link_from_the_systems_own_shell(home, monkeypatch):
    monkeypatch.chdir(home)
    asked = []
    said = shortcut.put([ODD], "windows", lambda words, **how: asked.append((words, how)))
    (words, how), told = asked[0], asked[0][1]["env"]
    assert words[0] == "powershell" and how["check"]
    assert ODD not in " ".join(words), "what a folder is called is no part of the command"
    assert told["SLYPE_LINK"] == os.path.join(system.applications_folder("windows"), "slype.lnk")
    assert said[0].startswith(told["SLYPE_LINK"]) and told["SLYPE_TARGET"] == sys.executable
    # as the C library of Windows takes arguments apart
    assert told["SLYPE_ARGUMENTS"] == subprocess.list2cmdline(["-m", "slype", "studio", "--stay", str(home / ODD)])
    path, index = told["SLYPE_ICON"].rsplit(",", 1)
    raw = Path(path).read_bytes()
    zero, kind, count, *_, length, offset = struct.unpack("<HHHBBBBHHII", raw[:22])
    assert (zero, kind, count, index) == (0, 1, 1, "0") and len(raw) == offset + length
    assert_square_png(raw[offset:])


def test_a_link_that_the_system_refuses_is_told_in_a_sentence(home):
    def refuse(words, **how):
        raise FileNotFoundError(2, "no such program", "powershell")

    with pytest.raises(FileTrouble, match="did not make the link"):
        shortcut.put([], "windows", refuse)


@pytest.mark.parametrize("on", system.SYSTEMS)
def test_taken_away_it_leaves_nothing_and_again_says_so(home, on):
    def link(words, env, **how):
        Path(env["SLYPE_LINK"]).write_bytes(b"L")

    before = {path for path in home.rglob("*") if not path.is_dir()}
    shortcut.put([], on, link)
    assert {path for path in home.rglob("*") if not path.is_dir()} - before
    assert all(line.endswith(": taken away.") for line in shortcut.remove(on))
    assert {path for path in home.rglob("*") if not path.is_dir()} == before
    assert shortcut.remove(on) == ["There is no icon of slype's to take away."]


def test_putting_it_again_puts_the_new_places(home):
    shortcut.put(["one"], "macos")
    shortcut.put(["two"], "macos")
    program = home / "Applications" / "slype.app" / "Contents" / "Resources" / "studio.command"
    assert "/two\n" in program.read_text() and "/one" not in program.read_text()


def test_an_icon_of_a_passing_environment_is_told_of(home, monkeypatch):
    assert len(shortcut.put([], "unix")) == 2
    monkeypatch.setattr(sys, "prefix", str(home / ".cache" / "uv" / "archive-v0" / "abc"))
    assert "Install it to stay first" in shortcut.put([], "unix")[2]
