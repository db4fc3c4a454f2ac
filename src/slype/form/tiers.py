"""Which ends stand from which band on, and beside which each added one was pushed in. Counts only.

A tier is the ends that stand until more are added. Ends are numbered round from space 1; added ones stand next to the
end they were pushed in beside: one of them on its forward side, two of them on either side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

MOST_ENDS, FEWEST_ENDS = 400, 3
"""Ends that a basket may have."""
MOST_BESIDE = 2
"""An end has two sides to push another in beside."""


@dataclass(frozen=True)
class Tier:
    """`ends` that stand from band `first` on (None where no band is worked on them); `on_curve` of them on each round
    end of an outline that is not round, None where all stand evenly.

    `came` (ends,): number in the tier below of each end, or of the one it was pushed in beside; `new` (ends,) True for
    those pushed in here. Both are empty in the lowest tier.
    """

    ends: int
    first: int | None = None
    on_curve: int | None = None
    came: tuple[int, ...] = ()
    new: tuple[bool, ...] = ()

    @property
    def added(self) -> int:
        """Ends pushed in where it begins."""
        return sum(self.new)

    @property
    def beside(self) -> list[int]:
        """Numbers, in the tier below, of the ends that others were pushed in beside, once for each."""
        return [came for came, new in zip(self.came, self.new, strict=True) if new]


def spread(added: int, places: int) -> list[int]:
    """How many of `added` fall to each of so many places, as evenly as may be, the first place first."""
    upto = [-(-i * added // places) for i in range(places + 1)]
    return [b - a for a, b in pairwise(upto)]


def with_more(below: Tier, added: int, first: int, on_curve: int | None, chosen: Sequence[int] | None = None) -> Tier:
    """The tier above `below`: `added` more from band `first` on, spread over its ends, or over the `chosen` of them."""
    chosen = range(below.ends) if chosen is None else chosen
    more = dict(zip(chosen, spread(added, len(chosen)), strict=True))
    came: list[int] = []
    new: list[bool] = []
    for end in range(below.ends):
        count = more.get(end, 0)
        before = count // 2
        came += [end] * (count + 1)
        new += [True] * before + [False] + [True] * (count - before)
    return Tier(len(came), first, on_curve, tuple(came), tuple(new))
