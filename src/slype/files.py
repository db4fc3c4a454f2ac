"""Writing files so that nothing is ever half written.

Everything goes to a temporary file in the same folder, is brought safely to disk and only then takes the name that was
asked for: whoever looks sees the old file or the whole new one.
"""

from __future__ import annotations

import os
import tempfile

from . import system
from .errors import FileTrouble

MOST_BYTES = 200_000
"""No design file is larger."""


def check_output(path: str, suffixes: tuple[str, ...]) -> str:
    """The suffix of `path`, once it is sure that a file can go there; asked before any long work.

    Raises FileTrouble for another suffix, a missing folder, a folder of that name or one that cannot be written to.
    """
    suffix = os.path.splitext(path)[1].lower()
    if suffix not in suffixes:
        said = f'"{suffix}" is not a kind of file this makes.' if suffix else "the name does not say what kind of file."
        raise FileTrouble(said, path, f"End it in {' or '.join(suffixes)}.")
    if os.path.isdir(path):
        raise FileTrouble("this is a folder, not a file.", path, "Give the name of a file to write.")
    folder = os.path.dirname(path) or "."
    if not os.path.isdir(folder):
        raise FileTrouble(f'there is no folder "{folder}" to write into.', path, "Make the folder first.")
    if not os.access(folder, os.W_OK | os.X_OK) or (os.path.exists(path) and not os.access(path, os.W_OK)):
        raise FileTrouble("cannot be written: permission denied.", path, "Choose another folder or another name.")
    return suffix


def write(path: str, content: bytes | str, sync: bool = True) -> None:
    """Write the whole of `content` (text as UTF-8) to `path`, or leave what was there untouched.

    Without `sync` it does not wait for the disk: a program that stops loses nothing, a machine without power may.

    Raises FileTrouble when the disk or the folder refuses.
    """
    raw = content.encode("utf-8") if isinstance(content, str) else content
    target = os.path.realpath(path)  # where a link points to, so that the link stays one
    folder = os.path.dirname(target)
    drafted = None
    try:
        handle, drafted = tempfile.mkstemp(prefix=".slype-", dir=folder)
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            if sync:
                os.fsync(file.fileno())
        os.chmod(drafted, _usual_mode())  # a temporary file is for its owner's eyes only
        system.replace(drafted, target)
        drafted = None
    except OSError as trouble:
        raise FileTrouble(
            f"cannot be written: {trouble.strerror or trouble}.", path, "Choose another folder or another name."
        ) from None
    finally:
        if drafted is not None and os.path.exists(drafted):
            os.unlink(drafted)


def make_folder(path: str) -> None:
    """Make the folder `path` where there is none. Raises FileTrouble when that cannot be."""
    if os.path.exists(path) and not os.path.isdir(path):
        raise FileTrouble("this is a file, not a folder.", path, "Give the name of a folder.")
    try:
        os.makedirs(path, exist_ok=True)
    except OSError as trouble:
        raise FileTrouble(f"the folder cannot be made: {trouble.strerror or trouble}.", path) from None


def read_folder(path: str) -> list[str]:
    """Names in a folder, in order. Raises FileTrouble when it cannot be read."""
    try:
        return sorted(os.listdir(path))
    except OSError as trouble:
        raise FileTrouble(f"the folder cannot be read: {trouble.strerror or trouble}.", path) from None


def _usual_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
