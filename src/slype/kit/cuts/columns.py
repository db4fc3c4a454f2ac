"""Columns for the cutting problem, and the programmes over them. Whole steps of length only; see `cutting`.

Solved with HiGHS (Q. Huangfu, J. A. J. Hall, Math. Prog. Comp. 10 (2018) 119), whose time limits are the only clock.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np

from .hand import Choices, hand_made, sure_way
from .sacks import knapsack, worthwhile
from .values import Bar, Found, Item, cost_of

PAYS = 1e-7
"""Share of the dearest strand below which a column is not worth adding."""
LEAST_ROUNDS = 100
"""So many are always worked, however slow or busy the machine: a class of 3,000 pieces takes seven. Cut short, a bound
is none, and what was told by it (what piecing alike costs) was told wrong."""
MOST_ROUNDS = 2000
LEAST_S = 0.1
"""No less than this is given to whole numbers, however little time there is."""
MISSING = 1e3
"""What a piece that cannot be cut counts, in strands of its length: only where there is no other way."""

Column = tuple[int, str, tuple[tuple[int, int], ...]]  # bar, colour, (item, count)


class Master:
    """The linear programme over columns, grown until no column can better it, and then solved in whole numbers.

    `choices[k]` is (how often, ways), each way {item: count}. A bar with `per_pack` is paid by the pack.
    """

    def __init__(self, bars: list[Bar], items: list[Item], choices: Choices) -> None:
        import highspy  # slow to load, and only a class needs it

        self.bars, self.items, self.choices = bars, items, choices
        self.inf = highspy.kHighsInf
        self.whole = highspy.HighsVarType.kInteger
        self.lp = _quiet_solver()
        self.columns: list[Column] = []
        self.known: set[Column] = set()
        self.duals = self.values = np.array([])
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
        """(the bound, whether it is proven): add columns until none pays, or for `seconds` after LEAST_ROUNDS."""
        best = 0.0
        for done in range(1, MOST_ROUNDS + 1):
            self.lp.run()
            value, duals = self.lp.getInfo().objective_function_value, self.lp.getSolution().row_dual
            self.duals = np.array(duals)
            self.values = np.array(self.lp.getSolution().col_value)
            added, short = self._price(self.duals)
            # Lagrange: what the cheapest columns could still save, if every piece came from them, bounds from below.
            best = max(best, value + short)
            if not added:
                return value * self.unit, True
            if done >= LEAST_ROUNDS and self.lp.getRunTime() > seconds:
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

    def rounded(self) -> Found:
        """A plan in whole numbers at once: that of the linear programme rounded down, what is left cut by hand. Its
        columns join the others."""
        found, at = Found(stopped=True), len(self.items)
        need = np.array([item.least for item in self.items])
        for many, ways in self.choices:
            parts = self.values[at : at + len(ways)]
            taken = np.floor(parts + 1e-6).astype(int)
            taken[sure_way(self.bars, self.items, ways)] += many - int(taken.sum())
            found.chosen.append(tuple(taken.tolist()))
            for way, n in zip(ways, taken.tolist(), strict=True):
                for i, each in way.items():
                    need[i] += each * n
            at += len(ways)
        used: Counter[int] = Counter()
        for column, value in zip(self.columns, self.values[self.first :], strict=False):
            times, (bar, colour, pieces) = int(value + 1e-6), column
            # One strand more than is needed would be waste.
            times = min(times, max((-(-int(need[i]) // n) for i, n in pieces), default=0))
            if times > 0:
                found.patterns.append((bar, colour, dict(pieces), times))
                used[bar] += times
                for i, n in pieces:
                    need[i] -= n * times
        items = [replace(item, least=max(0, int(n))) for item, n in zip(self.items, need, strict=True)]
        bars = [
            bar if bar.count is None else replace(bar, count=bar.count - used[b]) for b, bar in enumerate(self.bars)
        ]
        rest = hand_made(bars, items, [])
        for bar, colour, cut, times in rest.patterns:
            self.add(bar, colour, cut)
            found.patterns.append((bar, colour, cut, times))
            used[bar] += times
        found.missing = rest.missing
        found.packs = [-(-used[b] // bar.per_pack) if bar.per_pack else 0 for b, bar in enumerate(self.bars)]
        found.cost = cost_of(self.bars, found)
        return found

    def whole_numbers(self, seconds: float) -> Found | None:
        """The best of the columns that are there, in whole numbers, within about `seconds`; None where none was found
        in that time: what the solver holds then is no plan. Its `bound` holds for these columns."""
        import highspy

        columns = self.lp.getNumCol()
        self.lp.changeColsIntegrality(columns, np.arange(columns, dtype=np.int32), np.array([self.whole] * columns))
        # Nothing to start from: given a start, this solver (1.16) has taken a plan for the best that was not.
        self.lp.clearSolver()
        self.lp.setOptionValue("time_limit", float(self.lp.getRunTime() + max(LEAST_S, seconds)))
        self.lp.run()
        values = np.rint(np.array(self.lp.getSolution().col_value)).astype(int)
        some = self.lp.getInfo().primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
        found = self._read(values)
        # The bound the solver itself states leaves out what its presolve has settled, so only a proof counts.
        found.stopped = self.lp.getModelStatus() != highspy.HighsModelStatus.kOptimal
        found.bound = 0.0 if found.stopped else found.cost
        self.lp.changeColsIntegrality(
            columns, np.arange(columns, dtype=np.int32), np.array([highspy.HighsVarType.kContinuous] * columns)
        )
        self.lp.setOptionValue("time_limit", self.inf)
        return found if some else None

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


def _quiet_solver():
    """A solver that prints nothing, also as it is made."""
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    return Quiet()
