"""What fits into one strand: the most valuable set of pieces, and every set that is worth having."""

from __future__ import annotations

from collections import Counter

import numpy as np


def knapsack(
    lengths: list[int], values: np.ndarray, most: list[int], rooms: list[int]
) -> tuple[list[float], list[dict[int, int]]]:
    """For every room the most valuable set of pieces that fits, at most so many of each: its value, {piece: count}."""
    widest = max(rooms)
    best = np.zeros(widest + 1)
    taken: list[tuple[int, int, np.ndarray]] = []
    for i, (length, value, limit) in enumerate(zip(lengths, values, most, strict=True)):
        left, many = min(limit, widest // length if length else 0), 1
        while left > 0:
            many = min(many, left)
            left -= many
            wide = many * length
            if wide <= widest:
                better = best[: widest + 1 - wide] + many * value
                take = np.zeros(widest + 1, dtype=bool)
                take[wide:] = better > best[wide:] + 1e-12
                if take.any():
                    best = np.where(take, np.r_[np.zeros(wide), better], best)
                    taken.append((i, many, take))
            many *= 2
    sacks = []
    for room in rooms:
        sack: Counter[int] = Counter()
        for i, many, take in reversed(taken):
            if take[room]:
                sack[i] += many
                room -= many * lengths[i]
        sacks.append(dict(sack))
    return [float(best[room]) for room in rooms], sacks


def worthwhile(
    lengths: list[int], values: list[float], most: list[int], room: int, worth: float, limit: int
) -> list[tuple[tuple[int, int], ...]] | None:
    """Every full set of pieces that fits into `room` and is worth `worth` or more, as ((piece, count), …); None when
    there are more than `limit`. A set is full when none of the pieces would still fit."""
    n = len(lengths)
    best = [np.zeros(room + 1)]  # best[k][r]: the most that the last k pieces can be worth in r
    for length, value, many in zip(reversed(lengths), reversed(values), reversed(most), strict=True):
        above = best[-1].copy()
        for m in range(1, min(many, room // length) + 1):
            above[m * length :] = np.maximum(above[m * length :], best[-1][: room + 1 - m * length] + m * value)
        best.append(above)
    best.reverse()
    shortest = [min((lengths[k] for k in range(n)), default=room + 1)]
    out: list[tuple[tuple[int, int], ...]] = []
    sack = [0] * n

    def go(i: int, left: int, value: float) -> bool:
        if value + best[i][left] < worth:
            return True
        if i == n or left < shortest[0]:
            if all(lengths[k] > left or sack[k] >= most[k] for k in range(n)):
                out.append(tuple((k, m) for k, m in enumerate(sack) if m))
            return len(out) <= limit
        for many in range(min(most[i], left // lengths[i]), -1, -1):
            sack[i] = many
            if not go(i + 1, left - many * lengths[i], value + many * values[i]):
                return False
        sack[i] = 0
        return True

    return out if go(0, room, 0.0) else None
