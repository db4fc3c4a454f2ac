"""Checks: how far on weavers start again so that the colours of their upright lines change places.

Theory. Where K weavers keep to their own spaces, space j shows the colour of weaver j mod K, row after row. Ended and
set in s spaces further on, it shows that of weaver j - s. So the shift that swaps most is the s for which most weavers
have another colour s places before them: half a repeat for two halves (2 for A A B B), one space where colours
alternate (1 for A B A B, where 2 would bring the same colours to the same places).
"""

from __future__ import annotations

from collections.abc import Sequence


def swaps(colours: Sequence[object], shift: int) -> int:
    """How many of the weavers' places show another colour once all start `shift` spaces on."""
    return sum(colour != colours[(k - shift) % len(colours)] for k, colour in enumerate(colours))


def best_shift(colours: Sequence[object]) -> int:
    """The shift that swaps the most colours, the nearest to half the weavers, or the smaller, where several do; 0 where
    none changes anything. `colours` of the weavers, in the order they are set in."""
    count = len(colours)
    good = [shift for shift in range(1, count) if swaps(colours, shift)]
    return min(good, key=lambda shift: (-swaps(colours, shift), abs(2 * shift - count), shift), default=0)
