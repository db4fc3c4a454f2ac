"""An icon for the studio where the system keeps applications, and its removal.

Theory
1. The icon starts the Python that slype runs in now, in a window of the terminal: there the studio says its address,
   and there it is ended.
2. On systems that follow freedesktop.org: a desktop entry (Desktop Entry Specification 1.5) and its picture in the icon
   theme "hicolor" (Icon Theme Specification).
3. On macOS: an application bundle (Apple, "Bundle Programming Guide"), which opens a `.command` file in the terminal.
4. On Windows: a link in the Start menu, made by the system's own shell (WScript.Shell, CreateShortcut), because the
   form of such a file depends on the disk it points to. What is put into it travels in the surroundings of that call,
   so that no quote or sign in a folder's name can be read as a command.
"""

from __future__ import annotations

import os
import plistlib
import shlex
import shutil
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from .. import __version__, files, system
from ..errors import FileTrouble
from ..system import HERE, System

NAME = "slype"
ABOUT = "Design baskets woven from round reed"
ICON = Path(__file__).parent / "page" / "icon.svg"
DOTS = 256
"""Width of the icon where the system takes no drawing in lines."""
PASSING = {"cache", ".cache", "archive-v0", "environments-v2"}
"""Folders in which `uvx` and `pipx run` keep environments that may be thrown away."""

_LINK = (
    "$link = (New-Object -ComObject WScript.Shell).CreateShortcut($env:SLYPE_LINK);"
    "$link.TargetPath = $env:SLYPE_TARGET; $link.Arguments = $env:SLYPE_ARGUMENTS;"
    "$link.WorkingDirectory = $env:USERPROFILE; $link.IconLocation = $env:SLYPE_ICON;"
    "$link.Description = $env:SLYPE_ABOUT; $link.Save()"
)


def command(places: list[str]) -> list[str]:
    """What the icon runs: this slype's studio, with `places` by their whole names or the maker's own folder."""
    where = [os.path.abspath(place) for place in places] or ["--baskets"]
    return [sys.executable, "-m", "slype", "studio", "--stay", *where]


def put(places: list[str], on: System = HERE, run: Callable = subprocess.run) -> list[str]:
    """Put the icon; lines that say where it is and how it is taken away. Raises FileTrouble."""
    words = command(places)
    if on == "windows":
        at = _put_link(words, run)
    elif on == "macos":
        at = _put_bundle(words)
    else:
        at = _put_entry(words)
    said = [f"{at}: opens the studio.", "Take it away again with: slype studio --remove-shortcut"]
    if PASSING & set(Path(sys.prefix).parts):
        said.append(
            "This slype was fetched for one run, and the icon ends with it. Install it to stay first "
            "(uv tool install, pipx install), then ask again."
        )
    return said


def remove(on: System = HERE) -> list[str]:
    """Take away what `put` put; lines that say so. Raises FileTrouble."""
    gone = [path for path in _whole(on) if os.path.lexists(path)]
    for path in gone:
        try:
            shutil.rmtree(path) if os.path.isdir(path) and not os.path.islink(path) else os.unlink(path)
        except OSError as trouble:
            raise FileTrouble(f"cannot be taken away: {trouble.strerror or trouble}.", path) from None
    return [f"{path}: taken away." for path in gone] or ["There is no icon of slype's to take away."]


def _whole(on: System) -> list[str]:
    """Every file or folder that `put` makes, the icon itself first."""
    folder = system.applications_folder(on)
    if on == "windows":
        return [os.path.join(folder, f"{NAME}.lnk"), os.path.join(system.state_folder(on), f"{NAME}.ico")]
    if on == "macos":
        return [os.path.join(folder, f"{NAME}.app")]
    theme = os.path.join(system.data_folder(), "icons", "hicolor", "scalable", "apps")
    return [os.path.join(folder, f"{NAME}.desktop"), os.path.join(theme, f"{NAME}.svg")]


def _write(path: str, content: bytes | str, runs: bool = False) -> None:
    files.make_folder(os.path.dirname(path))
    files.write(path, content)
    if runs:
        os.chmod(path, 0o755)


# The freedesktop entry -----------------------------------------------------------------------------------------------


def _put_entry(words: list[str]) -> str:
    entry, picture = _whole("unix")
    _write(picture, ICON.read_bytes())
    _write(entry, desktop_entry(words, picture))
    return entry


def desktop_entry(words: list[str], picture: str) -> str:
    """The text of a desktop entry that runs `words` in a terminal."""
    lines = {
        "Type": "Application",
        "Version": "1.5",
        "Name": NAME,
        "GenericName": "Basket design",
        "Comment": ABOUT,
        "Exec": " ".join(_exec_word(word) for word in words),
        "Icon": _escaped(picture),
        "Terminal": "true",
        "Categories": "Graphics;Education;",
        "Keywords": "basket;wicker;weaving;reed;",
    }
    return "[Desktop Entry]\n" + "".join(f"{key}={value}\n" for key, value in lines.items())


def _exec_word(word: str) -> str:
    """One argument of Exec: quoted, then escaped as every string of the form is (Desktop Entry Specification, 4 and 7);
    a percent sign would begin a field code."""
    quoted = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word).replace("%", "%%")
    return _escaped(f'"{quoted}"')


def _escaped(text: str) -> str:
    for sign, written in (("\\", "\\\\"), ("\n", "\\n"), ("\r", "\\r"), ("\t", "\\t")):
        text = text.replace(sign, written)
    return text


# The macOS bundle ----------------------------------------------------------------------------------------------------


def _put_bundle(words: list[str]) -> str:
    (bundle,) = _whole("macos")
    shutil.rmtree(bundle, ignore_errors=True)
    for name, (content, runs) in bundle_files(words, _png()).items():
        _write(os.path.join(bundle, *name.split("/")), content, runs)
    return bundle


def bundle_files(words: list[str], png: bytes) -> dict[str, tuple[bytes | str, bool]]:
    """The files of the bundle by their names in it, each with whether it is a program."""
    about = {
        "CFBundleName": NAME,
        "CFBundleIdentifier": "slype.studio",
        "CFBundleExecutable": "open-studio",
        "CFBundleIconFile": NAME,
        "CFBundlePackageType": "APPL",
        "CFBundleShortVersionString": __version__,
        "CFBundleVersion": __version__,
    }
    opening = '#!/bin/sh\nexec open "$(dirname "$0")/../Resources/studio.command"\n'
    # "ic08" is a PNG of 256 dots; each part begins with its name and its whole length (Apple Icon Image format)
    part = b"ic08" + struct.pack(">I", len(png) + 8) + png
    return {
        "Contents/Info.plist": (plistlib.dumps(about), False),
        "Contents/MacOS/open-studio": (opening, True),
        "Contents/Resources/studio.command": (f'#!/bin/sh\ncd "$HOME"\nexec {shlex.join(words)}\n', True),
        f"Contents/Resources/{NAME}.icns": (b"icns" + struct.pack(">I", len(part) + 8) + part, False),
    }


# The Windows link ----------------------------------------------------------------------------------------------------


def _put_link(words: list[str], run: Callable) -> str:
    link, picture = _whole("windows")
    png = _png()
    # one picture of 256 dots (written as 0), 32 bits a dot, as PNG right after the directory (ICO, as of Windows Vista)
    _write(picture, struct.pack("<HHHBBBBHHII", 0, 1, 1, 0, 0, 0, 0, 1, 32, len(png), 22) + png)
    files.make_folder(os.path.dirname(link))
    told = {
        "SLYPE_LINK": link,
        "SLYPE_TARGET": words[0],
        "SLYPE_ARGUMENTS": subprocess.list2cmdline(words[1:]),
        "SLYPE_ICON": f"{picture},0",
        "SLYPE_ABOUT": ABOUT,
    }
    asked = ["powershell", "-NoProfile", "-NonInteractive", "-Command", _LINK]
    try:
        run(asked, env={**os.environ, **told}, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError) as trouble:
        raise FileTrouble(f"the system did not make the link: {trouble}.", link) from None
    return link


def _png() -> bytes:
    """The icon as dots."""
    from ..draw.views import png

    return png(ICON.read_text(encoding="utf-8"), DOTS, ground="none")
