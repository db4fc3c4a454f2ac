"""Two cores that take turns within compiled loops: how each says how far it has come, and waits for the other.

Handing work to another thread through the interpreter takes some microseconds, and on a core that sleeps ten times as
many: too long to be done twice in every sweep. So both cores go through one block of sweeps each in one compiled loop,
and look at each other's count there. Numbers only.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from .compiled import Primitive, compiled
from .pair import Pair

APART = 8  # whole numbers between the two counts: a line of the cache each
PATIENCE = 50_000  # looks at the other's count, some 40 microseconds, before a core lets others have their turn
POLITE, NAP = 50, 1e-4  # times it does that in one step; then it sleeps so many seconds in between
FREE = 1 << 60  # count of one that has stopped: the other need wait for it no more

Array = np.ndarray
_compiled = compiled(nogil=True, error_model="numpy")


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
    return cgutils.get_item_pointer(context, builder, kind, array, [given[1]])  # type: ignore[no-untyped-call]  # numba's


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


def _let_others(long: bool) -> None:
    if long:
        time.sleep(NAP)
    elif hasattr(os, "sched_yield"):
        os.sched_yield()
    else:
        time.sleep(0)
