"""Compiling loops, and keeping what was compiled where that can be.

numba keeps compiled code beside the module or in the user's cache, and gives up where neither can be written; without
that, everything is compiled anew in every run: slower by half a minute, and otherwise the same.
"""

from __future__ import annotations

import sys
import warnings
from collections.abc import Callable
from typing import Any

import numba

_not_kept: set[str] = set()


class Slow(UserWarning):
    """Loops are compiled anew in every run; said once, before the first."""


SLOW = (
    "no folder can be written to keep compiled loops in, so every run compiles them anew: half a minute longer. "
    "Set NUMBA_CACHE_DIR to a folder that can be written."
)


def is_kept() -> bool:
    """False where what was compiled so far could not be kept for the next run."""
    return not _not_kept


def compiled(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """As `numba.njit` with these options, and its code kept where there is a place for it."""

    def of(loop: Callable[..., Any]) -> Any:
        try:
            fast = numba.njit(cache=True, **options)(loop)
        except RuntimeError as trouble:  # "no locator available": neither folder can be written
            if "locator" not in str(trouble):
                raise
            _keep_not(loop.__name__)
            return numba.njit(**options)(loop)
        kept = getattr(fast, "_cache", None)
        if kept is not None:
            kept.load_overload = _or_none(kept.load_overload, loop.__name__)
            kept.save_overload = _or_none(kept.save_overload, loop.__name__)
        return fast

    return of


def _keep_not(name: str) -> None:
    if not _not_kept:
        warnings.warn(SLOW, Slow, stacklevel=2)
    _not_kept.add(name)


def _or_none(work: Callable[..., Any], name: str) -> Callable[..., Any]:
    """The work of the cache, which must not stop ours: a full disk, or half a file that another program left there."""

    def careful(*args: Any) -> Any:
        _without_scipy()
        try:
            return work(*args)
        except Exception:
            _keep_not(name)
            return None

    return careful


_BLAS = "scipy.linalg.cython_blas"


def _without_scipy() -> None:
    """Has numba find no library for products of matrices, which it looks for before the first loop is had from the
    cache: ours have none, and where scipy is at hand loading it took as long as drawing a basket."""
    if _BLAS in sys.modules:
        return
    sys.modules[_BLAS] = None  # type: ignore[assignment]  # "there is none", to whoever imports it
    try:
        import numba.np.arraymath  # noqa: F401 - looks for it once, and remembers
    finally:
        del sys.modules[_BLAS]
