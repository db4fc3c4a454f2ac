"""Two cores that work on one thing together, hand in hand."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from queue import SimpleQueue
from types import TracebackType


class Pair:
    """A second thread beside this one, for halves of work that let the interpreter go: `both(work)` returns when
    `work(0)` has been done here and `work(1)` there. Handing over takes a few microseconds, a tenth of what a pool
    takes; a wall is handed over twice in every sweep."""

    def __init__(self) -> None:
        self._asked: SimpleQueue[Callable[[int], None] | None] = SimpleQueue()
        self._done: SimpleQueue[BaseException | None] = SimpleQueue()
        self._other = threading.Thread(target=self._serve, daemon=True)
        self._other.start()

    def __enter__(self) -> Pair:
        return self

    def __exit__(self, kind: type | None, trouble: BaseException | None, where: TracebackType | None) -> None:
        self._asked.put(None)
        self._other.join()

    def _serve(self) -> None:
        while (work := self._asked.get()) is not None:
            try:
                work(1)
                self._done.put(None)
            except BaseException as trouble:
                self._done.put(trouble)

    def both(self, work: Callable[[int], None]) -> None:
        """`work(0)` here and `work(1)` beside it; what either raises is raised once both are done."""
        self._asked.put(work)
        try:
            work(0)
        finally:
            trouble = self._done.get()
        if trouble is not None:
            raise trouble


SHARED_FROM = 10_000  # things to do; below, a second thread costs more than it saves


def helper(count: int, least: int = SHARED_FROM, cores: int | None = None) -> AbstractContextManager[Pair | None]:
    """A second thread for so many things, from the `least` that are worth it on; None where there is no second core,
    or of the `cores` only one is to work."""
    return Pair() if count >= least and min(cores or 2, os.cpu_count() or 1) > 1 else nullcontext()


def halves(pair: Pair | None, cut: tuple[int, int, int], work: Callable[[int, int], None]) -> None:
    """`work(first, last)` of what lies between the `cut`: each half on a core of the pair, or all of it at once."""
    if pair is None:
        work(cut[0], cut[2])
    else:
        pair.both(lambda k: work(cut[k], cut[k + 1]))


def in_halves(count: int, work: Callable[[int, int], None]) -> None:
    """`work(first, last)` of so many things: all at once, or where there are many and a second core in two halves."""
    with helper(count) as pair:
        halves(pair, (0, count // 2, count), work)
