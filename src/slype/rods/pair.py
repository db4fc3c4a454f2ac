"""Two cores that work on one thing together, hand in hand.

Handing work to another thread through the interpreter takes some microseconds, and on a core that sleeps ten times as
many: too long to be done twice in every sweep. So both cores go through one block of sweeps each in one compiled loop
(`in_turn`); there each says how far it has come and looks how far the other has.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from queue import SimpleQueue
from types import TracebackType
from typing import Any

import numpy as np

from .compiled import Primitive, compiled

Array = np.ndarray
_compiled = compiled(nogil=True)


class Pair:
    """A second thread beside this one, for halves of work that let the interpreter go: `both(work)` returns when
    `work(0)` has been done here and `work(1)` there. Handing over takes a few microseconds, a tenth of what a pool
    takes."""

    def __init__(self) -> None:
        self._asked: SimpleQueue[Callable[[int], None] | None] = SimpleQueue()
        self._done: SimpleQueue[BaseException | None] = SimpleQueue()
        self._other = threading.Thread(target=self._serve, daemon=True)
        self._other.start()

    def __enter__(self) -> Pair:
        return self

    def __exit__(self, kind: type | None, trouble: BaseException | None, where: TracebackType | None) -> None:
        if _kept:
            _waiting.append(self)
        else:
            self.end()

    def end(self) -> None:
        """Let the second thread go."""
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
CORES = 2  # that work on one thing, where there are so many


_waiting: list[Pair] = []
_kept: list[None] = []
if hasattr(os, "register_at_fork"):  # a process that is forked off has none of these threads
    os.register_at_fork(after_in_child=_waiting.clear)


@contextmanager
def at_hand() -> Iterator[None]:
    """As long as this goes on, second threads wait for the next work that is shared: to begin one and to end it takes
    0.15 ms, and bringing a basket to rest asks for one thirty times. None is left afterwards."""
    _kept.append(None)
    try:
        yield
    finally:
        _kept.pop()
        while _waiting and not _kept:
            _waiting.pop().end()


def _free() -> Pair:
    try:
        return _waiting.pop()
    except IndexError:
        return Pair()


def helper(count: int, least: int = SHARED_FROM, cores: int | None = None) -> AbstractContextManager[Pair | None]:
    """A second thread for so many things, from the `least` that are worth it on; None where there is no second core,
    or of the `cores`, CORES if nothing is asked for, only one is to work."""
    return _free() if count >= least and min(cores or CORES, os.cpu_count() or 1) > 1 else nullcontext()


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


# In turn, within compiled loops -------------------------------------------------------------------------------

APART = 8  # whole numbers between the two counts: a line of the cache each
PATIENCE = 50_000  # looks at the other's count, some 40 microseconds, before a core lets others have their turn
POLITE, NAP = 50, 1e-4  # times it does that in one step; then it sleeps so many seconds in between
FREE = 1 << 60  # count of one that has stopped: the other need wait for it no more


def _reader() -> Any:
    from numba.core import types
    from numba.extending import intrinsic

    def read(typing: Any, counts: Any, place: Any) -> Any:
        """The count at a place as it is now, and all that was written before it."""

        def written(context: Any, builder: Any, signature: Any, given: Any) -> Any:
            return builder.load_atomic(_address(context, builder, signature, given), "acquire", 8)

        return types.int64(counts, place), written

    return intrinsic(read)


def _writer() -> Any:
    from numba.core import types
    from numba.extending import intrinsic

    def write(typing: Any, counts: Any, place: Any, count: Any) -> Any:
        """Set the count at a place once all before it has been written."""

        def written(context: Any, builder: Any, signature: Any, given: Any) -> Any:
            builder.store_atomic(given[2], _address(context, builder, signature, given), "release", 8)
            return context.get_dummy_value()

        return types.void(counts, place, count), written

    return intrinsic(write)


def _address(context: Any, builder: Any, signature: Any, given: Any) -> Any:
    from numba.core import cgutils

    kind = signature.args[0]
    array = context.make_array(kind)(context, builder, given[0])
    return cgutils.get_item_pointer(context, builder, kind, array, [given[1]])


read: Any = Primitive(_reader)
write: Any = Primitive(_writer)


@_compiled
def has_come(counts: Array, other: int, far: int) -> bool:
    """Whether the other core has come so far, for which it is waited PATIENCE long."""
    for _ in range(PATIENCE):
        if read(counts, other * APART) >= far:
            return True
    return False


@_compiled
def come(counts: Array, own: int, far: int) -> None:
    """Say how far this core has come."""
    write(counts, own * APART, far)


def in_turn(pair: Pair, last: int, run: Callable[[int, int, Array], int]) -> None:
    """Both cores through `last` steps, of which none is begun before both have done all before it.

    `run(k, begun, counts)` goes on with core k from the step `begun`, and returns the first that it could not begin,
    `last` + 1 once the other has come to the end too.
    """
    counts = np.zeros(2 * APART, np.int64)

    def work(k: int) -> None:
        done, before, waited = 0, 0, 0
        try:
            while (done := run(k, done, counts)) <= last:
                waited = waited + 1 if done == before else 0
                before = done
                _let_others(waited > POLITE)
        except BaseException:
            counts[k * APART] = FREE  # what the other comes to is not looked at
            raise

    pair.both(work)


_NEVER = threading.Event()


def _let_others(long: bool) -> None:
    if not long and hasattr(os, "sched_yield"):
        os.sched_yield()
    else:
        _NEVER.wait(NAP if long else 0)
