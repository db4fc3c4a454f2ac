"""The plan that a careful person makes by hand: what every other plan is held against, and where columns begin."""

from __future__ import annotations

from collections import Counter

from .values import Bar, Found, Item, cost_of

Choices = list[tuple[int, list[dict[int, int]]]]
"""(how often, ways), each way {item: count}."""


def sure_way(bars: list[Bar], items: list[Item], ways: list[dict[int, int]]) -> int:
    """The first way that can be cut from strands of which there are any number; else the first."""
    room = {
        colour: max((bar.length for bar in bars if bar.count is None and bar.colour in (colour, "natural")), default=0)
        for colour in {item.colour for item in items}
    }
    fit = (w for w, way in enumerate(ways) if all(items[i].length <= room[items[i].colour] for i in way))
    return next(fit, 0)


def _wanted_by_hand(bars: list[Bar], items: list[Item], choices: Choices) -> Counter[int]:
    """How many of every item the plan made by hand cuts."""
    wanted = Counter({i: item.least for i, item in enumerate(items)})
    for many, ways in choices:
        for i, n in ways[sure_way(bars, items, ways)].items():
            wanted[i] += many * n
    return wanted


def by_hand(bars: list[Bar], items: list[Item], choices: Choices) -> list[tuple[int, str, dict[int, int]]]:
    """Columns of the plan made by hand: the longest piece first, into the first strand that has room for it; the sure
    way of every choice. So no plan found is worse than that."""
    wanted = _wanted_by_hand(bars, items, choices)
    left = [bar.count for bar in bars]
    fresh = sorted(range(len(bars)), key=lambda b: (left[b] is None, bars[b].length))
    open_ones: list[tuple[int, str, Counter[int], list[int]]] = []
    for i in sorted(wanted, key=lambda i: -items[i].length):
        length, colour = items[i].length, items[i].colour
        for _ in range(wanted[i]):
            one = next((each for each in open_ones if each[1] == colour and each[3][0] >= length), None)
            if one is None:
                fit = (b for b in fresh if left[b] != 0 and bars[b].length >= length)
                bar = next((b for b in fit if bars[b].colour in (colour, "natural")), None)
                if bar is None:
                    break
                there = left[bar]
                left[bar] = None if there is None else there - 1
                one = (bar, colour, Counter(), [bars[bar].length])
                open_ones.append(one)
            one[2][i] += 1
            one[3][0] -= length
    return [(bar, colour, dict(pieces)) for bar, colour, pieces, _ in open_ones]


def hand_made(bars: list[Bar], items: list[Item], choices: Choices) -> Found:
    """The plan made by hand as a whole: see `by_hand`."""
    patterns = Counter(
        (b, colour, tuple(sorted(pieces.items()))) for b, colour, pieces in by_hand(bars, items, choices)
    )
    found = Found([(b, colour, dict(pieces), n) for (b, colour, pieces), n in patterns.items()])
    wanted = _wanted_by_hand(bars, items, choices)
    used: Counter[int] = Counter()
    for many, ways in choices:
        sure = sure_way(bars, items, ways)
        found.chosen.append(tuple(many if w == sure else 0 for w in range(len(ways))))
    for b, _, pieces, times in found.patterns:
        used[b] += times
        for i, n in pieces.items():
            wanted[i] -= n * times
    found.missing = {i: n for i, n in wanted.items() if n > 0}
    found.packs = [-(-used[b] // bar.per_pack) if bar.per_pack else 0 for b, bar in enumerate(bars)]
    found.cost, found.stopped = cost_of(bars, found), True
    return found
