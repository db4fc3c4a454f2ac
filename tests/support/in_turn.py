"""In a fresh clone several processes want the same loops compiled at once: one compiles each, the others take it from
the cache. Without, a third of all was compiled twice."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any
from zlib import crc32

from slype import system
from slype.rods import compiled

AT_MOST_S = 60.0
"""So long another's work is waited for; whoever works on it may be stuck, and then it is done here as well."""

_mine: dict[str, IO[bytes]] = {}
"""The turns held by this process. No loop calls one that calls it, so that two never wait for each other; and numba
compiles in one thread of a process at a time."""


def compile_in_turn(folder: str) -> None:
    """From now on loops are compiled here when it is this process's turn; turns are files in `folder`."""
    careful = compiled._or_none

    def by_turns(work: Callable[..., Any], name: str) -> Callable[..., Any]:
        done = careful(work, name)
        cache = getattr(work, "__self__", None)  # the loop's own
        if cache is None:  # no loop's, but what a test hands in
            return done
        turn = f"{crc32(cache.cache_path.encode())}-{cache._impl.filename_base}.turn"

        def load(*args: Any) -> Any:
            found = done(*args)
            if found is not None or turn in _mine:
                return found
            file = Path(folder, turn).open("ab")
            until = time.monotonic() + AT_MOST_S
            while not system.lock(file) and time.monotonic() < until:
                time.sleep(0.02)
            found = done(*args)
            if found is None:
                _mine[turn] = file
            else:
                file.close()
            return found

        def save(*args: Any) -> Any:
            kept = done(*args)
            if turn in _mine:
                _mine.pop(turn).close()
            return kept

        return load if work.__name__ == "load_overload" else save

    compiled._or_none = by_turns
