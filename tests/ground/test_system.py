"""What differs by operating system, each system's way asked for on whatever system the tests run."""

from __future__ import annotations

import errno
import io
import os
import signal
import socket
import sys
import webbrowser
from pathlib import Path
from types import SimpleNamespace

import pytest
from places import SOURCE

from slype import system


def test_no_other_module_asks_which_system_it_runs_on():
    asks = (
        "os.name",
        "sys.platform",
        "msvcrt",
        "fcntl",
        "os.nice",
        "webbrowser",
        "setrlimit",
        "SIG_IGN",
        "os.replace(",
    )
    asks = (*asks, "platformdirs", "SO_REUSEADDR", "APPDATA")
    assert all(word in Path(system.__file__).read_text("utf-8") for word in asks if word != "os.name")
    for path in SOURCE.rglob("*.py"):
        if path.name != "system.py":
            text = path.read_text("utf-8")
            assert [word for word in asks if word in text] == [], path


def test_the_system_is_one_of_the_three():
    assert system.HERE in system.SYSTEMS
    assert (system.HERE == "windows") == (os.name == "nt")
    assert (system.HERE == "macos") == (sys.platform == "darwin")


# Folders and names ---------------------------------------------------------------------------------------------------


@pytest.fixture
def home(monkeypatch, tmp_path):
    """A user's home without any of the names that move folders."""
    for name in ("SLYPE_STATE", "XDG_STATE_HOME", "XDG_DATA_HOME", "XDG_DOCUMENTS_DIR", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    return tmp_path


def test_the_bench_is_remembered_where_each_system_keeps_such_things(home, monkeypatch):
    # freedesktop's XDG Base Directory Specification; Apple's File System Programming Guide; Microsoft's KNOWNFOLDERID
    assert system.state_folder("unix") == str(home / ".local" / "state" / "slype")
    assert system.state_folder("macos") == str(home / "Library" / "Application Support" / "slype")
    monkeypatch.setattr("platformdirs.windows.get_win_folder", lambda name: f"C:\\Users\\mona\\{name}")
    assert system.state_folder("windows").replace("/", "\\") == "C:\\Users\\mona\\CSIDL_LOCAL_APPDATA\\slype"
    monkeypatch.setenv("SLYPE_STATE", "elsewhere")
    assert {system.state_folder(on) for on in system.SYSTEMS} == {"elsewhere"}


def test_documents_lie_where_each_system_keeps_them(home, monkeypatch):
    assert system.documents_folder("unix") == system.documents_folder("macos") == str(home / "Documents")
    monkeypatch.setattr("platformdirs.windows.get_win_folder", lambda name: f"D:\\{name}")
    assert system.documents_folder("windows") == "D:\\CSIDL_PERSONAL"


def test_applications_lie_where_each_system_keeps_them(home, monkeypatch):
    assert system.applications_folder("unix") == str(home / ".local" / "share" / "applications")
    assert system.applications_folder("macos") == str(home / "Applications")
    menu = ("Microsoft", "Windows", "Start Menu", "Programs")
    assert system.applications_folder("windows") == str(home.joinpath("AppData", "Roaming", *menu))
    monkeypatch.setenv("APPDATA", str(home / "moved"))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    assert system.applications_folder("windows") == str(home.joinpath("moved", *menu))
    assert system.applications_folder("unix") == str(home / "data" / "applications")


def test_a_file_lies_in_a_folder_whatever_the_case_on_windows_only():
    inside = system.is_inside
    assert inside("C:\\Baskets\\pot.toml", "c:\\baskets", "windows")
    assert not inside("D:\\Baskets\\pot.toml", "C:\\Baskets", "windows")
    assert not inside("C:\\Baskets-old\\pot.toml", "C:\\Baskets", "windows")
    for on in ("macos", "unix"):
        assert inside("/home/mona/baskets/pot.toml", "/home/mona/baskets", on)
        assert inside("/home/mona/baskets", "/home/mona/baskets", on) and inside("/pot.toml", "/", on)
        assert not inside("/home/mona/Baskets/pot.toml", "/home/mona/baskets", on)
        assert not inside("/home/mona/baskets-old/pot.toml", "/home/mona/baskets", on)


@pytest.mark.parametrize(
    "name", ["nul.toml", "Con.toml", "com1.toml", "pot:red.toml", 'a"b.toml', "pot?.toml", "pot. "]
)
def test_a_name_that_windows_would_lose_is_refused_there_alone(name):
    assert system.unfit_name(name, "windows").endswith(("Windows.", "device."))
    assert system.unfit_name(name, "unix") is system.unfit_name(name, "macos") is None


@pytest.mark.parametrize("name", ["pot.toml", "½ inch.toml", "console.toml", "com.toml", "null.toml", "a.b.toml"])
def test_an_ordinary_name_is_fit_everywhere(name):
    assert [system.unfit_name(name, on) for on in system.SYSTEMS] == [None] * 3


# Files ---------------------------------------------------------------------------------------------------------------


def test_windows_waits_for_a_file_that_another_program_reads_and_then_gives_up(monkeypatch):
    held, pauses = [2], []

    def busy(new, old):
        if held[0]:
            held[0] -= 1
            raise PermissionError(errno.EACCES, "is used by another process")

    monkeypatch.setattr(os, "replace", busy)
    monkeypatch.setattr(system.time, "sleep", pauses.append)
    system.replace("new", "old", "windows")
    assert pauses == [system.PAUSE_S] * 2
    held[0] = 1000
    with pytest.raises(PermissionError):
        system.replace("new", "old", "windows")
    assert len(pauses) == 2 + system.TRIES - 1
    for on in ("unix", "macos"):  # there it is no passing trouble
        with pytest.raises(PermissionError):
            system.replace("new", "old", on)
    assert len(pauses) == 2 + system.TRIES - 1


@pytest.mark.skipif(os.name == "nt", reason="flock is of the other systems")
def test_a_lock_keeps_a_second_program_out_until_the_first_lets_go(tmp_path):
    with open(tmp_path / "in-use", "a") as first, open(tmp_path / "in-use", "a") as second:
        assert system.lock(first, "unix")
        assert not system.lock(second, "macos")
        first.close()
        assert system.lock(second, "unix")


@pytest.mark.parametrize(
    ("trouble", "held"), [(None, True), (errno.EACCES, False), (errno.EDEADLK, False), (errno.ENOSYS, True)]
)
def test_on_windows_one_byte_is_locked_without_waiting(tmp_path, monkeypatch, trouble, held):
    asked = []

    def locking(number, how, length):
        asked.append((how, length))
        if trouble:
            raise OSError(trouble, "locked")

    monkeypatch.setitem(sys.modules, "msvcrt", SimpleNamespace(locking=locking, LK_NBLCK=2))
    with open(tmp_path / "in-use", "a") as file:
        assert system.lock(file, "windows") is held
    assert asked == [(2, 1)]


# Programs ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("on", system.SYSTEMS)
def test_a_worker_leaves_the_keys_that_stop_to_whoever_began_it(monkeypatch, on):
    left = {}
    monkeypatch.setattr(signal, "signal", left.__setitem__)
    monkeypatch.setattr(signal, "SIGBREAK", 21, raising=False)
    system.leave_stopping_to_parent(on)
    assert left == {signal.SIGINT: signal.SIG_IGN, **({21: signal.SIG_IGN} if on == "windows" else {})}


@pytest.mark.parametrize("on", system.SYSTEMS)
def test_a_program_is_stopped_once_however_often_it_is_asked(monkeypatch, on):
    heeded, stopped = {}, []
    monkeypatch.setattr(signal, "signal", heeded.__setitem__)
    monkeypatch.setattr(signal, "SIGBREAK", 21, raising=False)
    hear_no_more = system.hear_stopping(lambda: stopped.append("closed"), on)
    assert set(heeded) == {signal.SIGINT, signal.SIGTERM, *([21] if on == "windows" else [])}
    for number, hear in heeded.items():
        hear(number, None)
        hear(number, None)
    assert stopped == ["closed"]
    hear_no_more()
    assert set(heeded.values()) == {signal.SIG_IGN}


def test_patient_work_gives_way_to_the_page(monkeypatch):
    nicer, classes = [], []
    monkeypatch.setattr(os, "nice", nicer.append, raising=False)
    kernel = SimpleNamespace(
        GetCurrentProcess=lambda: -1, SetPriorityClass=lambda who, what: classes.append((who, what))
    )
    monkeypatch.setattr("ctypes.windll", SimpleNamespace(kernel32=kernel), raising=False)
    for on in system.SYSTEMS:
        system.give_way(on)
    assert nicer == [10, 10] and classes == [(-1, 0x4000)]


def test_memory_is_limited_where_the_system_can(monkeypatch):
    limits = []
    resource = SimpleNamespace(RLIMIT_AS=9, setrlimit=lambda what, how: limits.append((what, how)))
    monkeypatch.setitem(sys.modules, "resource", resource)
    assert [system.limit_memory(10**9, on) for on in system.SYSTEMS] == [False, True, True]
    assert limits == [(9, (10**9, 10**9))] * 2

    def refuse(what, how):
        raise ValueError("current limit exceeds maximum limit")

    resource.setrlimit = refuse  # as macOS does
    assert system.limit_memory(10**9, "macos") is False


def test_no_two_programs_share_a_port(monkeypatch):
    monkeypatch.setattr(socket, "SO_EXCLUSIVEADDRUSE", -5, raising=False)
    said = []
    plan = SimpleNamespace(setsockopt=lambda *what: said.append(what))
    for on in system.SYSTEMS:
        system.share_no_port(plan, on)
    again = (socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    assert said == [(socket.SOL_SOCKET, -5, 1), again, again]


# The terminal and the browser ----------------------------------------------------------------------------------------


def test_the_key_that_stops_is_called_as_the_system_calls_it():
    assert [system.how_to_stop(on) for on in system.SYSTEMS] == ["Ctrl-C", "Control-C", "Ctrl-C"]


@pytest.mark.parametrize("on", system.SYSTEMS)
def test_json_in_a_file_is_utf8_with_plain_line_ends_also_on_windows(on):
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="cp1252", newline="\r\n")
    system.promise_utf8(stream, on)
    stream.write("½ in\n")
    stream.flush()
    assert raw.getvalue() == ("½ in\n".encode() if on == "windows" else "½ in\r\n".encode("cp1252"))


def test_the_page_opens_in_the_browser_but_never_in_one_that_takes_the_terminal(monkeypatch):
    opened = []
    monkeypatch.setattr(webbrowser, "open", lambda address: not opened.append(address))
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"):
        monkeypatch.delenv(name, raising=False)
    assert [system.open_page("http://x/", on) for on in system.SYSTEMS] == [True, True, False]
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert system.open_page("http://x/", "unix") and len(opened) == 3

    def none(address):
        raise webbrowser.Error("could not locate runnable browser")

    monkeypatch.setattr(webbrowser, "open", none)
    assert system.open_page("http://x/", "unix") is False
