"""Reading files with a bound, and writing them so that nothing is ever half written.

What is written goes to a temporary file in the same folder, is brought safely to disk and only then takes the name that
was asked for: whoever looks sees the old file or the whole new one.
"""

from __future__ import annotations

import contextlib
import os
import stat

from . import system
from .errors import DesignError, FileTrouble

MOST_BYTES = 200_000
"""No design file is larger, nor a class."""


def read(path: str, most: int = MOST_BYTES, name: str = "") -> bytes:
    """The bytes of a file, but never more than one over `most`, so that who asks sees that it is too large.

    `name` is what messages call it, else its path. Raises FileTrouble where there is no file or it cannot be read.
    """
    said = name or path
    if os.path.isdir(path):
        raise FileTrouble("this is a folder, not a file.", said, "Name the file in it.")
    try:
        with open(path, "rb") as file:
            return file.read(most + 1)
    except (FileNotFoundError, ValueError):  # ValueError: a sign that no name of a file can have
        raise FileTrouble("there is no such file.", said, "Check the name and the folder.") from None
    except OSError as trouble:
        raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", said) from None


def text_of(raw: bytes, name: str, kind: str = "design") -> str:
    """The text of a file's bytes, a mark of its order of bytes taken off. Raises DesignError where it is too large for
    its `kind` or is not UTF-8."""
    if len(raw) > MOST_BYTES:
        raise too_large(name, kind)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw[: trouble.start].count(b"\n") + 1
        said = f"is not UTF-8 text: line {line} holds a byte that is not a letter."
        raise DesignError(said, name, "Save it as UTF-8 from your editor.") from None


def no_larger(text: object, name: str, kind: str = "design") -> str:
    """A text that was handed over. Raises DesignError where it is no text, or larger than any of its `kind`."""
    if not isinstance(text, str) or len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise too_large(name, kind)
    return text


def too_large(name: str, kind: str, becomes: str = "is") -> DesignError:
    """What is said of a text over the bound."""
    return DesignError(f"{becomes} larger than any {kind} ({MOST_BYTES // 1000} kB).", name)


def check_output(path: str, suffixes: tuple[str, ...], source: str | None = None) -> str:
    """The suffix of `path`, once it is sure that a file can go there; asked before any long work.

    Raises FileTrouble for another suffix, a missing folder, a folder of that name or one that cannot be written to,
    and where `path` is another name of the file `source` that is worked from.
    """
    if source is not None and is_same(path, source):
        raise FileTrouble("this is the very file that it is made from.", path, "Give it another name.")
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
    _kept_as(os.path.realpath(path), path)
    return suffix


def is_same(path: str, other: str) -> bool:
    """Whether two names lead to one file, by a link or otherwise."""
    try:
        return os.path.samefile(path, other)
    except OSError:
        return False


def write(path: str, content: bytes | str, sync: bool = True) -> None:
    """Write the whole of `content` (text as UTF-8) to `path`, or leave what was there untouched.

    Without `sync` it does not wait for the disk: a program that stops loses nothing, a machine without power may.

    A file that was there keeps its mode and owner, a link stays a link. Raises FileTrouble when the disk or the folder
    refuses, and where the file is read-only: then somebody wants it kept.
    """
    import tempfile  # most commands write nothing, and each starts the sooner

    raw = content.encode("utf-8") if isinstance(content, str) else content
    drafted = None
    try:
        target = os.path.realpath(path)  # where a link points to, so that the link stays one
        folder = os.path.dirname(target)
        mode = _kept_as(target, path)
        handle, drafted = tempfile.mkstemp(prefix=".slype-", dir=folder)
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            if sync:
                os.fsync(file.fileno())
        os.chmod(drafted, mode)  # a temporary file is for its owner's eyes only
        _same_owner(drafted, target)
        system.replace(drafted, target)
        drafted = None
    except OSError as trouble:
        raise FileTrouble(
            f"cannot be written: {trouble.strerror or trouble}.", path, "Choose another folder or another name."
        ) from None
    finally:
        if drafted is not None and os.path.exists(drafted):
            os.unlink(drafted)


STALE_S = 600.0
"""A draft this old is of a program that was stopped: the longest write takes seconds."""


def sweep(folder: str, now: float) -> None:
    """Take away the drafts that a stopped program left in a folder; `now` in seconds, as files have their times."""
    with contextlib.suppress(OSError):
        for each in os.scandir(folder):
            if each.name.startswith(".slype-") and each.is_file(follow_symlinks=False):
                if each.stat(follow_symlinks=False).st_mtime < now - STALE_S:
                    os.unlink(each.path)


def put_aside(path: str) -> str:
    """A copy of a file beside it, under a name that is free. Raises FileTrouble where none can be made."""
    import shutil

    stem, suffix = os.path.splitext(path)
    free = next(name for n in range(1, 10_000) if not os.path.exists(name := f"{stem}-kept-{n}{suffix}"))
    try:
        shutil.copy2(path, free)
    except OSError as trouble:
        raise FileTrouble(
            f"what lies there could not be put aside: {trouble.strerror or trouble}.", path, "Save under another name."
        ) from None
    return free


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


def _kept_as(target: str, path: str) -> int:
    """The mode that a file is written with: its own where there is one. Raises FileTrouble where it is read-only."""
    try:
        found = os.stat(target)
    except OSError:
        return _usual_mode()
    if stat.S_ISREG(found.st_mode) and not found.st_mode & 0o222:
        raise FileTrouble(
            "is read-only, so it was left as it is.", path, "Choose another name, or allow writing to it first."
        )
    return stat.S_IMODE(found.st_mode)


def _same_owner(new: str, old: str) -> None:
    """Give a file the owner and group of the one it takes the place of, as far as this user may."""
    with contextlib.suppress(OSError, AttributeError):  # none was there, or it may not be given away
        found, mine = os.stat(old), os.stat(new)
        if (found.st_uid, found.st_gid) != (mine.st_uid, mine.st_gid):
            os.chown(new, found.st_uid, found.st_gid)
            os.chmod(new, stat.S_IMODE(found.st_mode))  # a change of owner takes some bits away


def _usual_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
