"""What each count of ends gives: the table from which a maker chooses 24 or 28 and knows why.

Every line is read off a trace of the weave on that count (`effects`), never off a formula; the reason beside it only
puts the shift that was found into words.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice

from ..errors import DesignError, Unweavable
from ..words import listed, several
from .effects import Effect, effect_of, weaver_colours
from .reasons import reason
from .table import EVERY_END, Weave
from .trace import locked, trace

MOST_LINES = 500


@dataclass(frozen=True)
class CountLine:
    """One count with one colour order. Without `outside` and `inside` the weave cannot be worked on it, and `why` says
    so; with `holds` False it can, but the wall falls open."""

    ends: int
    colours: tuple[str, ...]
    outside: Effect | None
    inside: Effect | None
    holds: bool
    why: str


def what_counts_give(
    weave: Weave,
    counts: Sequence[int],
    colours: tuple[str, ...],
    orders: bool = False,
    spaces: Callable[[int], int] = lambda ends: ends,
) -> list[CountLine]:
    """A line for every count of ends (of so many `spaces` where they are grouped), and with `orders` for every order of
    the colours.

    Raises DesignError when the colours fit no count, or when there would be more lines than anyone reads.
    """
    every = list(islice(orders_of(colours, weave), MOST_LINES + 1)) if orders else [colours]
    if len(every) * len(counts) > MOST_LINES:
        raise DesignError(
            f"the orders of these {several(len(colours), 'colour')} on {several(len(counts), 'count')} make more than "
            f"{MOST_LINES} lines, more than anyone reads.",
            "orders",
            "Ask for fewer counts or fewer different colours.",
        )
    return [line_of(weave, ends, order, spaces(ends)) for ends in counts for order in every]


def line_of(weave: Weave, ends: int, colours: tuple[str, ...], spaces: int) -> CountLine:
    """The line of one count, worked over so many spaces, and one order."""
    try:
        short = trace(weave, spaces, 2 * weave.reach)
    except Unweavable as trouble:
        return CountLine(ends, colours, None, None, False, f"too few: {trouble.message} {trouble.remedy}")
    by_weaver = weaver_colours(weave, spaces, colours, weave.strands, "colours")
    outside, inside = (effect_of(weave, spaces, by_weaver, face) for face in (False, True))
    if not locked(short):
        return CountLine(
            ends, colours, outside, inside, False, "falls open: some ends are always passed on the same side"
        )
    return CountLine(ends, colours, outside, inside, True, reason(weave, ends, spaces, outside, len(colours)))


# Orders of the colours -----------------------------------------------------------------------------------------


def orders_of(colours: tuple[str, ...], weave: Weave) -> Iterator[tuple[str, ...]]:
    """Every different order, the given one first. Orders that differ only in which weaver starts count as one."""
    # Where every strand has a colour of its own, one weaver is several entries of the list.
    step = weave.strands if weave.weavers != EVERY_END and len(colours) == weave.weavers * weave.strands else 1
    seen = set()
    for order in chain([colours], _arranged(Counter(colours))):  # one by one: there may be more than fit in memory
        turned = min(order[k:] + order[:k] for k in range(0, len(order), step))
        if turned not in seen:
            seen.add(turned)
            yield order


def _arranged(left: Counter[str]) -> Iterator[tuple[str, ...]]:
    if not left.total():
        yield ()
    for colour in sorted(left):
        if left[colour]:
            left[colour] -= 1
            for rest in _arranged(left):
                yield (colour, *rest)
            left[colour] += 1


# In words and in the promised form -----------------------------------------------------------------------------


def summary(lines: list[CountLine], hand: str = "right") -> list[str]:
    """`upright lines, repeating every 4 spaces: 20, 24 and 28 ends`: one text per effect, order by order."""
    orders = list(dict.fromkeys(line.colours for line in lines))
    out = []
    for order in orders:
        ends: dict[str, list[str]] = {}
        for line in lines:
            if line.colours == order:
                said = line.outside.words(hand) if line.holds and line.outside else "not to be used"
                ends.setdefault(said, []).append(str(line.ends))
        named = f"{', '.join(order)}: " if len(orders) > 1 else ""
        out += [f"{named}{said}: {listed(counts)} ends" for said, counts in ends.items()]
    return out
