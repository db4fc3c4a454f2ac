"""A drawing that is not made yet: how high it will be, and how to make it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, eq=False)
class Later:
    """A drawing that `draw` makes as stand-alone SVG, `high` times as high as wide."""

    high: float
    draw: Callable[[], str]

    @property
    def blank(self) -> str:
        """An empty drawing of the same shape."""
        size = f'width="100mm" height="{100 * self.high:.3f}mm" viewBox="0 0 100 {100 * self.high:.3f}"'
        return f'<svg xmlns="http://www.w3.org/2000/svg" {size}/>'


def drawn(value: Any) -> Any:
    """The same contents with everything drawn that was left for later."""
    if isinstance(value, Later):
        return value.draw()
    if isinstance(value, list):
        return [drawn(each) for each in value]
    return {key: drawn(each) for key, each in value.items()} if isinstance(value, dict) else value
