"""Examples that messages give, in the units and the reeds of whoever reads them.

A fault is found deep in a reader that knows neither, so whoever begins to read a file, or to answer a maker, says for
whom (`speaking_to`), and the example that a message is made with follows it. Nothing else does: no length is read or
shown by this.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_READER: ContextVar[tuple[str, str]] = ContextVar("reader", default=("in", "us"))
_CANES = {"round 3": "cane 3", "round 5": "cane 10", "round 8": "cane 16"}
"""A reed of American numbers that examples name, and the British cane that is nearest."""


@contextmanager
def speaking_to(units: object, wording: object) -> Iterator[None]:
    """Examples given within are for a maker in these `units` ("in", "cm") and this `wording` ("us", "uk"); what is
    neither, as a file may hold, counts as the usual."""
    before = _READER.set(("cm" if units == "cm" else "in", "uk" if wording == "uk" else "us"))
    try:
        yield
    finally:
        _READER.reset(before)


def such_as(inches: str, centimetres: str) -> str:
    """The one of two examples that is in the reader's units."""
    return centimetres if _READER.get()[0] == "cm" else inches


def such_a_reed(name: str) -> str:
    """An example of a reed, by its American number, or the British cane nearest to it."""
    return _CANES[name] if _READER.get()[1] == "uk" else name
