"""Compiling loops, and keeping what was compiled where that can be.

numba keeps compiled code beside the module or in the user's cache, and gives up where neither can be written; without
that, everything is compiled anew in every run: slower by half a minute, and otherwise the same. To load numba takes
longer than to plan a basket, which calls no loop: it is loaded once a loop is called.
"""

from __future__ import annotations

import functools
import sys
import threading
import warnings
from collections.abc import Callable
from types import CodeType
from typing import Any

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


class Loop:
    """A loop that is made ready for numba when it is first called, and all that it calls with it."""

    def __init__(self, loop: Callable[..., Any], options: dict[str, Any]) -> None:
        functools.update_wrapper(self, loop)
        self._loop, self._options = loop, options
        self._fast: Any = None

    def __call__(self, *args: Any) -> Any:
        return (self._fast or self.fast())(*args)

    def fast(self) -> Any:
        """What numba calls, in place of this wherever its module names it: numba knows its own kind alone."""
        with _MAKING:
            if self._fast is None:
                names = self._loop.__globals__
                for name in _names(self._loop.__code__):
                    called = names.get(name)
                    if isinstance(called, Loop) and called is not self:
                        names[name] = called.fast()
                self._fast = _made(self._loop, self._options)
                if names.get(self._loop.__name__) is self:
                    names[self._loop.__name__] = self._fast
            return self._fast


class Primitive(Loop):
    """What loops call that numba has to be told how to write: `make` gives it, once a loop that calls it is made
    ready."""

    def __init__(self, make: Callable[[], Any]) -> None:
        self._make, self._fast = make, None

    def fast(self) -> Any:
        """See `Loop.fast`."""
        with _MAKING:
            if self._fast is None:
                self._fast = self._make()
            return self._fast


_MAKING = threading.RLock()


def _names(code: CodeType) -> set[str]:
    """Every name that a loop may look for in its module."""
    return set(code.co_names).union(*(_names(each) for each in code.co_consts if isinstance(each, CodeType)))


def compiled(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """As `numba.njit` with these options, and its code kept where there is a place for it. Loops divide as numpy does:
    by nothing without an error, for that takes long to compile. So does setting a stretch of an array from another,
    because of the message where their lengths differ: element by element is as quick, and compiled in a third."""
    return lambda loop: Loop(loop, {"error_model": "numpy", **options})


def _made(loop: Callable[..., Any], options: dict[str, Any]) -> Any:
    import numba

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
