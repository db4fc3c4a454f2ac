"""What the machine around a command may do to it: output that is closed or full, a folder that is gone, no memory."""

from __future__ import annotations

import errno
import os
import sys
from typing import TextIO

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


def of_this_machine(trouble: OSError | MemoryError) -> SlypeError:
    """What the machine refused, in a sentence."""
    if isinstance(trouble, MemoryError):
        return SlypeError("this asks for more memory than there is.", "", "Make the basket smaller or plainer.")
    if trouble.filename is None and trouble.errno == errno.ENOENT:
        return FileTrouble("the folder this was started in is gone.", "", "Go to another folder and ask again.")
    where = os.fsdecode(trouble.filename) if isinstance(trouble.filename, str | bytes) else "output"
    remedy = "Make room on the disk and ask again." if trouble.errno == errno.ENOSPC else ""
    return FileTrouble(f"{(trouble.strerror or str(trouble)).rstrip('.')}.", where, remedy)


def tell_of_slowness() -> None:
    """Say once where what was compiled could not be kept, for the next run will be as slow."""
    loaded = sys.modules.get("slype.rods.compiled")
    if loaded is not None and not loaded.is_kept():
        complain(
            "no folder can be written to keep compiled loops in, so every run compiles them anew (half a minute). Set "
            "NUMBA_CACHE_DIR to a folder that can be written."
        )
