"""What the machine around a command may do to it: output that is closed or full, a folder that is gone, no memory."""

from __future__ import annotations

import errno
import os
import sys
import warnings
from collections.abc import Callable
from functools import partial
from typing import Any, TextIO

from ..errors import FileTrouble, SlypeError
from .told import complain


def ready_streams() -> None:
    """Make sure that there is something to print to, and that a terminal that has no ½ still gets its report."""
    for name in ("stdin", "stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever began this
            setattr(sys, name, open(os.devnull, "r" if name == "stdin" else "w", encoding="utf-8"))
        elif hasattr(stream, "reconfigure") and name != "stdin":
            stream.reconfigure(errors="replace")


def let_go(stream: TextIO) -> None:
    """Print no more to a stream that cannot take it, and keep Python from saying so when it closes down."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    except (OSError, ValueError):
        pass


def of_this_machine(trouble: OSError | MemoryError, file: str | None = None) -> SlypeError:
    """What the machine refused, in a sentence; `file` what was worked on."""
    if isinstance(trouble, MemoryError):
        return SlypeError("this asks for more memory than there is.", file or "", "Make the basket smaller or plainer.")
    if trouble.filename is None and trouble.errno == errno.ENOENT:
        return FileTrouble("the folder this was started in is gone.", "", "Go to another folder and ask again.")
    where = os.fsdecode(trouble.filename) if isinstance(trouble.filename, str | bytes) else "output"
    remedy = "Make room on the disk and ask again." if trouble.errno == errno.ENOSPC else ""
    return FileTrouble(f"{(trouble.strerror or str(trouble)).rstrip('.')}.", where, remedy)


def tell_warnings() -> None:
    """What slype warns of while it works is told as everything else is, in a paragraph, and at once."""
    if getattr(warnings.showwarning, "tells", False):
        return
    show = partial(_show, warnings.showwarning)
    show.tells = True  # type: ignore[attr-defined]  # so that it is done once
    warnings.showwarning = show


def _show(
    usual: Callable[..., None], message: Warning | str, category: type[Warning], *where: Any, **more: Any
) -> None:
    if category.__module__.startswith("slype."):
        complain(str(message))
    else:
        usual(message, category, *where, **more)
