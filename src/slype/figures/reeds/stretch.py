"""A stretch of a reed as a drawing shows it: where it lies, and what it is at that moment."""

from __future__ import annotations

from typing import NamedTuple

from ...surface.curve import Tube

OLD, FRESH, WAITS, MOVES = "old", "fresh", "waits", "moves"
"""What a stretch of reed is at a moment: laid before; of the part in work; a weaver or end in play; laid just now."""


class Stretch(NamedTuple):
    """A stretch of a reed as it lies at a moment: its `tube`, its `state`, whether its (start, end) are `cut` ends. A
    drawing has thousands, and a tuple is the soonest made."""

    tube: Tube
    state: str
    cut: tuple[bool, bool] = (True, True)
