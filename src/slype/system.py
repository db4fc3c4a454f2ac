"""All that differs from one operating system to another, in one place: folders, locks, replacing a file that is open,
signals, processes, sockets, the terminal's letters, opening a page in the browser.

Every function takes `on`, the system it answers for, so that a test can ask for each; HERE is the one it runs on. Line
ends are not among them: a design keeps those it came with (`edit.lines`), and files are written as bytes.
"""

from __future__ import annotations

import contextlib
import errno
import ntpath
import os
import posixpath
import signal
import sys
import time
from typing import IO, TYPE_CHECKING, Literal, TextIO

if TYPE_CHECKING:
    import socket
    from collections.abc import Callable

    from platformdirs.api import PlatformDirsABC

System = Literal["windows", "macos", "unix"]
_NAMES: dict[str, System] = {"win32": "windows", "darwin": "macos"}
HERE: System = _NAMES.get(sys.platform, "unix")
SYSTEMS: tuple[System, ...] = ("windows", "macos", "unix")

TRIES, PAUSE_S = 20, 0.05
"""Windows does not replace a file while another program (a virus scanner, a backup) reads it: a second's patience."""
_BELOW_NORMAL = 0x4000
"""BELOW_NORMAL_PRIORITY_CLASS of Windows' SetPriorityClass."""
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
"""Names that Windows keeps for devices, with whatever ending (Microsoft, "Naming files, paths, and namespaces")."""


# Folders and names ---------------------------------------------------------------------------------------------------


def state_folder(on: System = HERE) -> str:
    """Where a program of this user remembers things between runs, or what SLYPE_STATE says."""
    return os.environ.get("SLYPE_STATE") or _places(on).user_state_dir


def own_folder(on: System = HERE) -> str:
    """Where a program of this user keeps what it must never lose."""
    return _places(on).user_data_dir


def documents_folder(on: System = HERE) -> str:
    """Where this user keeps documents."""
    return _places(on).user_documents_dir


def _places(on: System) -> PlatformDirsABC:
    """The standard folders of a system, as platformdirs knows them."""
    from platformdirs import macos, unix, windows

    if on == "windows":
        return windows.Windows("slype", appauthor=False)
    return macos.MacOS("slype") if on == "macos" else unix.Unix("slype")


def applications_folder(on: System = HERE) -> str:
    """Where this user's menu of applications is kept: Start menu, Applications, or the freedesktop menu."""
    home = os.path.expanduser("~")
    if on == "windows":
        roaming = os.environ.get("APPDATA") or os.path.join(home, "AppData", "Roaming")
        return os.path.join(roaming, "Microsoft", "Windows", "Start Menu", "Programs")
    if on == "macos":
        return os.path.join(home, "Applications")
    return os.path.join(data_folder(), "applications")


def data_folder() -> str:
    """The freedesktop folder of a user's own data (XDG Base Directory Specification)."""
    return os.environ.get("XDG_DATA_HOME") or os.path.join(os.path.expanduser("~"), ".local", "share")


def is_inside(path: str, folder: str, on: System = HERE) -> bool:
    """Whether the real place `path` is `folder` or lies in it; both whole. On Windows case does not count."""
    paths = ntpath if on == "windows" else posixpath
    a, b = paths.normcase(path), paths.normcase(folder)
    try:
        return paths.commonpath([a, b]) == paths.normpath(b)
    except ValueError:  # another drive
        return False


def unfit_name(name: str, on: System = HERE) -> str | None:
    """Why a file cannot be called `name` (without its folders); None where it can."""
    if on != "windows":
        return None
    found = next((sign for sign in name if sign in '<>:"|?*'), None)
    if found:
        return f"a file's name holds no {found} on Windows."
    if name.split(".")[0].strip().lower() in _DEVICES:
        return f'Windows keeps the name "{name.split(".")[0]}" for a device.'
    return "a file's name does not end in a space or a dot on Windows." if name != name.rstrip(" .") else None


# Files ---------------------------------------------------------------------------------------------------------------


def replace(new: str, old: str, on: System = HERE) -> None:
    """Put the file `new` in the place of `old` in one step. Raises OSError; then `old` is as it was."""
    for left in reversed(range(TRIES if on == "windows" else 1)):
        try:
            return os.replace(new, old)
        except PermissionError:
            if not left:
                raise
            time.sleep(PAUSE_S)


def lock(file: IO, on: System = HERE) -> bool:
    """Hold `file` for this program alone until it is closed; False where another program holds it.

    True also on a disk that knows no locks: there two at once are not guarded.
    """
    try:
        if on == "windows":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]  # of Windows
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as trouble:
        return trouble.errno not in (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
    return True


# Programs ------------------------------------------------------------------------------------------------------------


def leave_stopping_to_parent(on: System = HERE) -> None:
    """Ctrl-C, and on Windows the closing of the window, reach every program in a terminal: a worker heeds neither and
    is ended by whoever began it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if on == "windows":
        signal.signal(signal.SIGBREAK, signal.SIG_IGN)  # type: ignore[attr-defined]  # of Windows


def hear_stopping(act: Callable[[], object], on: System = HERE) -> Callable[[], None]:
    """Call `act` the first time this program is asked to stop, within the signal's handler. From then on it heeds
    nothing, so that whoever presses again and again does not break off what is being closed.

    What it gives is to be called last of all: Python, as it ends, would give the keys back to the system.
    """
    asked = [signal.SIGINT, signal.SIGTERM]
    if on == "windows":
        asked.append(signal.SIGBREAK)  # type: ignore[attr-defined]  # of Windows
    heard: list[int] = []

    def hear(number: int, frame: object) -> None:
        if not heard:
            heard.append(number)
            act()

    def heed(how: Callable | signal.Handlers) -> None:
        for each in asked:
            signal.signal(each, how)

    heed(hear)
    return lambda: heed(signal.SIG_IGN)


def give_way(on: System = HERE) -> None:
    """Let other programs go first where cores are few."""
    with contextlib.suppress(OSError, AttributeError):
        if on == "windows":
            import ctypes

            kernel = ctypes.windll.kernel32  # type: ignore[attr-defined]  # of Windows
            kernel.SetPriorityClass(kernel.GetCurrentProcess(), _BELOW_NORMAL)
        else:
            os.nice(10)


def limit_memory(most_bytes: int, on: System = HERE) -> bool:
    """Refuse this process more memory; False where the system has no such limit (Windows, and macOS heeds none)."""
    if on == "windows":
        return False
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))
    except (ImportError, ValueError, OSError):
        return False
    return True


def seconds_used(process: int | None) -> float | None:
    """Seconds of a processor that another process has had; None where the system does not tell (it does on Linux)."""
    try:
        with open(f"/proc/{process}/stat", encoding="ascii", errors="replace") as file:
            fields = file.read().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    except (OSError, ValueError, IndexError, AttributeError):
        return None


def share_no_port(door: socket.socket, on: System = HERE) -> None:
    """Let a port be used again at once after its program ended, and never by two programs at a time."""
    import socket

    if on == "windows":  # SO_REUSEADDR there would let two programs share one port
        door.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)  # type: ignore[attr-defined]  # of Windows
    else:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)


def letters_of(stream: TextIO) -> bool:
    """Whether a stream takes any letter as UTF-8."""
    return (getattr(stream, "encoding", None) or "utf-8").lower().replace("-", "").replace("_", "") == "utf8"


# The terminal and the browser ----------------------------------------------------------------------------------------


def how_to_stop(on: System = HERE) -> str:
    """How a program that runs in a terminal is stopped, in words."""
    return "Control-C" if on == "macos" else "Ctrl-C"


def promise_utf8(stream: TextIO, on: System = HERE) -> None:
    """JSON is UTF-8 (RFC 8259), also where Windows would write a file in a code page of its own."""
    if on == "windows" and hasattr(stream, "reconfigure") and not stream.isatty():
        stream.reconfigure(encoding="utf-8", newline="\n")


def open_page(address: str, on: System = HERE) -> bool:
    """Open `address` in the browser; False where there is none, or only one that would take over the terminal."""
    if on == "unix" and not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")):
        return False
    import webbrowser

    try:
        return webbrowser.open(address)
    except webbrowser.Error:
        return False
