"""A stretch of a reed as a drawing shows it: where it lies, and what it is at that moment."""

from __future__ import annotations

from dataclasses import dataclass

from ..surface.curve import Tube

OLD, FRESH, WAITS, MOVES = "old", "fresh", "waits", "moves"
"""What a stretch of reed is at a moment: laid before; of the part in work; a weaver or end in play; laid just now."""


@dataclass(frozen=True, eq=False)
class Stretch:
    """A stretch of a reed as it lies at a moment: its `tube`, its `state`, whether its (start, end) are `cut` ends; and
    where `tip` the point (3,) mm at which the reed is numbered."""

    tube: Tube
    state: str
    cut: tuple[bool, bool] = (True, True)
