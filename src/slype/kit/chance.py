"""How much to buy where the strands' lengths are only known as a range.

1. A batch of reed has a usual length, which nobody knows before a coil is opened: evenly likely anywhere in the middle
   half of the range. Its strands lie evenly about that, within a quarter of the range either way.
2. Pieces are cut from strands as they come, from each the longest that still fits.
3. Many such batches, from a seed, say how many strands are needed; the stated chance says how many of them to buy for.
4. With one coil measured the usual length is known, and fewer have to be bought for the same chance.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np

RUNS = 200


@dataclass(frozen=True)
class Enough:
    """How much is enough with `chance`: `strands` and `packs`; what it takes in the middle of all cases
    (`usual_strands`); and with one coil measured, `packs_measured` on average, from `fewest` to `most`."""

    chance: float
    strands: int
    packs: int
    usual_strands: int
    packs_measured: float
    fewest: int
    most: int


def enough(
    pieces: list[float],
    shortest_mm: float,
    longest_mm: float,
    per_pack: int,
    chance: float,
    seed: int,
    runs: int = RUNS,
) -> Enough:
    """Packs that are enough for all pieces with that chance. Raises ValueError for a piece longer than the shortest
    strand: plans are made so that every piece fits every strand."""
    if max(pieces, default=0.0) > shortest_mm + 1e-6:
        raise ValueError("a piece is longer than the shortest strand")
    dice = np.random.default_rng(seed)
    wide = longest_mm - shortest_mm
    usual = shortest_mm + wide * (0.25 + 0.5 * (np.arange(runs) + dice.random(runs)) / runs)
    needed = np.array([_needed(pieces, mean - wide / 4, mean + wide / 4, dice) for mean in usual])
    strands = math.ceil(np.quantile(needed, chance))
    # What a measured coil would tell is which of a few narrow bands of the usual length it is.
    bands = [np.quantile(some, chance) for some in np.array_split(needed, 10)]
    packs = [math.ceil(n / per_pack) for n in bands]
    return Enough(
        chance, strands, math.ceil(strands / per_pack), int(np.median(needed)), float(np.mean(packs)), min(packs),
        max(packs),
    )  # fmt: skip


def _needed(pieces: list[float], low: float, high: float, dice: np.random.Generator) -> int:
    """Strands of random length between low and high taken until all pieces are cut."""
    left = Counter(pieces)
    order = sorted(left, reverse=True)
    used, total = 0, len(pieces)
    rooms = iter(())
    while total:
        room = next(rooms, None)
        if room is None:
            rooms = iter(dice.uniform(low, high, max(64, total)).tolist())
            continue
        used += 1
        for mm in order:
            while left[mm] and mm <= room + 1e-6:
                left[mm] -= 1
                total -= 1
                room -= mm
            if room < order[-1]:
                break
        order = [mm for mm in order if left[mm]] if used % 16 == 0 else order
    return used
