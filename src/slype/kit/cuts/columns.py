"""Columns for the cutting problem, and the programmes over them. Whole steps of length only; see `kit.cutting`.

Solved with HiGHS (Q. Huangfu, J. A. J. Hall, Math. Prog. Comp. 10 (2018) 119), whose time limits are the only clock.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

PAYS = 1e-7
"""Share of the dearest strand below which a column is not worth adding."""
MOST_ROUNDS = 2000
MISSING = 1e3
"""What a piece that cannot be cut counts, in strands of its length: only where there is no other way."""


@dataclass(frozen=True)
class Bar:
    """Strands of one kind, in steps: see `cutting.Stock`."""

    length: int
    count: int | None
    colour: str
    cost: float
    per_pack: int
    pack_cost: float


@dataclass(frozen=True)
class Item:
    """Pieces of one `length` in steps and one `colour`; `least` wanted in any case, `most` with every choice."""

    length: int
    colour: str
    least: int
    most: int


def _sure_way(bars: list[Bar], items: list[Item], ways: list[dict[int, int]]) -> int:
    """The first way that can be cut from strands of which there are any number; else the first."""
    room = {
        colour: max((bar.length for bar in bars if bar.count is None and bar.colour in (colour, "natural")), default=0)
        for colour in {item.colour for item in items}
    }
    fit = (w for w, way in enumerate(ways) if all(items[i].length <= room[items[i].colour] for i in way))
    return next(fit, 0)


def _wanted_by_hand(
    bars: list[Bar], items: list[Item], choices: list[tuple[int, list[dict[int, int]]]]
) -> Counter[int]:
    """How many of every item the plan made by hand cuts."""
    wanted = Counter({i: item.least for i, item in enumerate(items)})
    for many, ways in choices:
        for i, n in ways[_sure_way(bars, items, ways)].items():
            wanted[i] += many * n
    return wanted


def by_hand(
    bars: list[Bar], items: list[Item], choices: list[tuple[int, list[dict[int, int]]]]
) -> list[tuple[int, str, dict[int, int]]]:
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


@dataclass
class Found:
    """What came out: `patterns` (bar, colour, {item: count}, times), `chosen` per choice, `missing` per item."""

    patterns: list[tuple[int, str, dict[int, int], int]] = field(default_factory=list)
    chosen: list[tuple[int, ...]] = field(default_factory=list)
    missing: dict[int, int] = field(default_factory=dict)
    packs: list[int] = field(default_factory=list)
    cost: float = 0.0
    bound: float = 0.0
    stopped: bool = False


Column = tuple[int, str, tuple[tuple[int, int], ...]]  # bar, colour, (item, count)


class Master:
    """The linear programme over columns, grown until no column can better it, and then solved in whole numbers.

    `choices[k]` is (how often, ways), each way {item: count}. A bar with `per_pack` is paid by the pack.
    """

    def __init__(self, bars: list[Bar], items: list[Item], choices: list[tuple[int, list[dict[int, int]]]]) -> None:
        import highspy  # slow to load, and only a class needs it

        self.bars, self.items, self.choices = bars, items, choices
        self.inf = highspy.kHighsInf
        self.whole = highspy.HighsVarType.kInteger
        self.lp = _quiet_solver()
        self.columns: list[Column] = []
        self.known: set[Column] = set()
        self.duals = np.array([])
        # Inside, the dearest strand costs 1, which keeps the solver's tolerances honest.
        self.unit = max((bar.cost + bar.pack_cost / (bar.per_pack or 1) for bar in bars), default=1.0) or 1.0
        self._rows()
        self._fixed_columns()
        self.colours = sorted({item.colour for item in items})

    # Building ------------------------------------------------------------------------------------------------

    def _rows(self) -> None:
        none = (0, np.array([], dtype=np.int32), np.array([]))
        for item in self.items:
            self.lp.addRow(float(item.least), self.inf, *none)
        for many, _ in self.choices:
            self.lp.addRow(float(many), float(many), *none)
        self.bar_row = []
        row = len(self.items) + len(self.choices)
        for bar in self.bars:
            limited = bar.count is not None or bar.per_pack
            if limited:
                self.lp.addRow(-self.inf, float(bar.count) if bar.count is not None else 0.0, *none)
            self.bar_row.append(row if limited else -1)
            row += limited

    def _add(self, cost: float, rows: list[int], values: list[float], most: float | None = None) -> None:
        most = self.inf if most is None else most
        where, what = np.array(rows, dtype=np.int32), np.array(values, dtype=float)
        self.lp.addCol(cost / self.unit, 0.0, most, len(rows), where, what)

    def _fixed_columns(self) -> None:
        """What is missing (nothing, where any number of strands can be had), the ways of every choice, the packs."""
        longest = max((bar.length for bar in self.bars), default=1)
        endless = [bar for bar in self.bars if bar.count is None]
        for i, item in enumerate(self.items):
            can = any(bar.length >= item.length and bar.colour in (item.colour, "natural") for bar in endless)
            self._add(self.unit * MISSING * item.length / longest, [i], [1.0], 0.0 if can else self.inf)
        for k, (_, ways) in enumerate(self.choices):
            for way in ways:
                self._add(0.0, [*way, len(self.items) + k], [*(-float(n) for n in way.values()), 1.0])
        for bar, row in zip(self.bars, self.bar_row, strict=True):
            if bar.per_pack:
                self._add(bar.pack_cost, [row], [-float(bar.per_pack)])
        self.first = self.lp.getNumCol()

    def add(self, bar: int, colour: str, pieces: dict[int, int]) -> bool:
        """Add one column; False when it is known."""
        column = (bar, colour, tuple(sorted(pieces.items())))
        if column in self.known or not pieces:
            return False
        self.known.add(column)
        self.columns.append(column)
        rows, values = [i for i, _ in column[2]], [float(n) for _, n in column[2]]
        if self.bar_row[bar] >= 0:
            rows, values = [*rows, self.bar_row[bar]], [*values, 1.0]
        self._add(self.bars[bar].cost, rows, values)
        return True

    # Solving -------------------------------------------------------------------------------------------------

    def relax(self, seconds: float) -> tuple[float, bool]:
        """(the bound, whether it is proven): add columns until none pays."""
        best = 0.0
        for _ in range(MOST_ROUNDS):
            self.lp.run()
            value, duals = self.lp.getInfo().objective_function_value, self.lp.getSolution().row_dual
            self.duals = np.array(duals)
            added, short = self._price(self.duals)
            # Lagrange: what the cheapest columns could still save, if every piece came from them, bounds from below.
            best = max(best, value + short)
            if not added:
                return value * self.unit, True
            if self.lp.getRunTime() > seconds:
                break
        return best * self.unit, False

    def _price(self, duals: np.ndarray) -> tuple[int, float]:
        """(columns added, the most that all columns not there could save)."""
        added, most_saved = 0, 0.0
        pieces_wanted = sum(item.most for item in self.items)
        worst = 0.0
        for colour in self.colours:
            mine = [i for i, item in enumerate(self.items) if item.colour == colour and duals[i] > 1e-12]
            allowed = [b for b, bar in enumerate(self.bars) if bar.colour in (colour, "natural")]
            if not mine or not allowed:
                continue
            values, sacks = knapsack(
                [self.items[i].length for i in mine],
                duals[mine],
                [self.items[i].most for i in mine],
                [self.bars[b].length for b in allowed],
            )
            for b, value, sack in zip(allowed, values, sacks, strict=True):
                row = self.bar_row[b]
                saved = value + (duals[row] if row >= 0 else 0.0) - self.bars[b].cost / self.unit
                worst = max(worst, saved)
                if saved > PAYS:
                    added += self.add(b, colour, {mine[i]: n for i, n in sack.items()})
        most_saved = -worst * pieces_wanted
        return added, most_saved

    def complete(self, gap: float, most: int) -> bool:
        """Add every column that a plan better than the best known by less than `gap` over the bound could hold; False
        when these are more than `most`. Reduced costs tell: a column dearer than the gap is in no better plan."""
        duals = self.duals
        found: list[Column] = []
        for colour in self.colours:
            mine = [i for i, item in enumerate(self.items) if item.colour == colour]
            # The most valuable for their length first, so that hopeless branches end early.
            mine.sort(key=lambda i: -duals[i] / self.items[i].length)
            for b, bar in enumerate(self.bars):
                if bar.colour not in (colour, "natural"):
                    continue
                row = self.bar_row[b]
                worth = (bar.cost - gap) / self.unit - (duals[row] if row >= 0 else 0.0) - 1e-9
                sacks = worthwhile(
                    [self.items[i].length for i in mine],
                    [max(0.0, float(duals[i])) for i in mine],
                    [self.items[i].most for i in mine],
                    bar.length,
                    worth,
                    most - len(found),
                )
                if sacks is None:
                    return False
                found += [(b, colour, tuple((mine[i], n) for i, n in sack)) for sack in sacks]
        for which, colour, pieces in found:
            self.add(which, colour, dict(pieces))
        return True

    def whole_numbers(self, seconds: float) -> Found:
        """The best of the columns that are there, in whole numbers, within about `seconds`. Its `bound` holds for
        these columns."""
        import highspy

        columns = self.lp.getNumCol()
        self.lp.changeColsIntegrality(columns, np.arange(columns, dtype=np.int32), np.array([self.whole] * columns))
        # Nothing to start from: given a start, this solver (1.16) has taken a plan for the best that was not.
        self.lp.clearSolver()
        self.lp.setOptionValue("time_limit", float(self.lp.getRunTime() + max(0.1, seconds)))
        self.lp.run()
        values = np.rint(np.array(self.lp.getSolution().col_value)).astype(int)
        found = self._read(values)
        # The bound the solver itself states leaves out what its presolve has settled, so only a proof counts.
        found.stopped = self.lp.getModelStatus() != highspy.HighsModelStatus.kOptimal
        found.bound = 0.0 if found.stopped else found.cost
        self.lp.changeColsIntegrality(
            columns, np.arange(columns, dtype=np.int32), np.array([highspy.HighsVarType.kContinuous] * columns)
        )
        self.lp.setOptionValue("time_limit", self.inf)
        return found

    def _read(self, values: np.ndarray) -> Found:
        found, at = Found(), len(self.items)
        found.missing = {i: int(n) for i, n in enumerate(values[:at]) if n > 0}
        for _, ways in self.choices:
            found.chosen.append(tuple(int(n) for n in values[at : at + len(ways)]))
            at += len(ways)
        for bar in self.bars:
            found.packs.append(int(values[at]) if bar.per_pack else 0)
            at += bool(bar.per_pack)
        for (which, colour, pieces), n in zip(self.columns, values[self.first :], strict=True):
            if n > 0:
                found.patterns.append((which, colour, dict(pieces), int(n)))
        found.cost = cost_of(self.bars, found)
        return found


def hand_made(bars: list[Bar], items: list[Item], choices: list[tuple[int, list[dict[int, int]]]]) -> Found:
    """The plan made by hand as a whole: see `by_hand`."""
    patterns = Counter(
        (b, colour, tuple(sorted(pieces.items()))) for b, colour, pieces in by_hand(bars, items, choices)
    )
    found = Found([(b, colour, dict(pieces), n) for (b, colour, pieces), n in patterns.items()])
    wanted, used = _wanted_by_hand(bars, items, choices), Counter()
    for many, ways in choices:
        sure = _sure_way(bars, items, ways)
        found.chosen.append(tuple(many if w == sure else 0 for w in range(len(ways))))
    for b, _, pieces, times in found.patterns:
        used[b] += times
        for i, n in pieces.items():
            wanted[i] -= n * times
    found.missing = {i: n for i, n in wanted.items() if n > 0}
    found.packs = [-(-used[b] // bar.per_pack) if bar.per_pack else 0 for b, bar in enumerate(bars)]
    found.cost, found.stopped = cost_of(bars, found), True
    return found


def _quiet_solver():
    """A solver that prints nothing, also as it is made."""
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    return Quiet()


def cost_of(bars: list[Bar], found: Found) -> float:
    """What a plan costs, added up anew: strands and packs, without what is missing."""
    used: Counter[int] = Counter()
    for bar, _, _, times in found.patterns:
        used[bar] += times
    return sum(bars[b].cost * n for b, n in used.items()) + sum(
        bar.pack_cost * packs for bar, packs in zip(bars, found.packs, strict=True)
    )


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


def whole_bound(bound: float, costs: list[float]) -> float:
    """The bound lifted to what whole strands can cost: a sum of these costs, where they are whole multiples of one."""
    scaled = [round(cost * 1000) for cost in costs if cost > 0]
    if not scaled or any(abs(cost * 1000 - round(cost * 1000)) > 1e-6 for cost in costs):
        return bound
    unit = math.gcd(*scaled) / 1000
    return math.ceil(bound / unit - 1e-6) * unit
