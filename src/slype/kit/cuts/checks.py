"""A second opinion on cutting plans: everything added up anew, and the plan a careful person would make by hand.

Nothing here knows how a plan was found.
"""

from __future__ import annotations

from collections import Counter

from .cutting import CuttingPlan, Problem

HAIR_MM = 1e-6
"""Lengths nearer than this are one."""


def faults(problem: Problem, plan: CuttingPlan) -> list[str]:
    """What is wrong with a plan (lengths, counts, colours, stock, ways, cost); nothing where it can be cut."""
    out: list[str] = []
    cut: Counter[tuple[float, str]] = Counter()
    used: Counter[int] = Counter()
    for pattern in plan.patterns:
        stock = problem.stock[pattern.stock]
        total = sum(mm * many for mm, many in pattern.pieces)
        if total > stock.length_mm + HAIR_MM:
            out.append(f"{total} mm cut from a strand of {stock.length_mm} mm")
        if stock.colour not in ("natural", pattern.colour):
            out.append(f"{pattern.colour} cut from {stock.colour}")
        for mm, many in pattern.pieces:
            cut[mm, pattern.colour] += many * pattern.times
        used[pattern.stock] += pattern.times
    for i, stock in enumerate(problem.stock):
        if stock.count is not None and used[i] > stock.count:
            out.append(f"{used[i]} strands taken where there are {stock.count}")
        if stock.per_pack and used[i] > stock.per_pack * plan.packs[i]:
            out.append(f"{used[i]} strands from {plan.packs[i]} packs of {stock.per_pack}")
    wanted: Counter[tuple[float, str]] = Counter()
    for order in problem.orders:
        wanted[order.length_mm, order.colour] += order.count
    for choice, times in zip(problem.choices, plan.chosen, strict=True):
        if sum(times) != choice.count:
            out.append(f"{sum(times)} ways taken for {choice.count}")
        for way, n in zip(choice.ways, times, strict=True):
            for mm, colour, many in way:
                wanted[mm, colour] += many * n
    short = {key: n for mm, colour, n in plan.missing for key in [(mm, colour)]}
    for key, many in wanted.items():
        if cut[key] + short.get(key, 0) < many:
            out.append(f"{cut[key]} of {key} cut, {many} wanted")
    cost = sum(problem.stock[i].cost * n for i, n in used.items())
    cost += sum(stock.pack_cost * packs for stock, packs in zip(problem.stock, plan.packs, strict=True))
    if abs(cost - plan.cost) > 1e-6 * max(1.0, cost):
        out.append(f"costs {cost}, says {plan.cost}")
    if plan.bound > plan.cost * (1 + 1e-9):
        out.append(f"bound {plan.bound} above its cost {plan.cost}")
    return out


def first_fit(problem: Problem) -> tuple[float, int]:
    """(length taken in mm, strands) of the plan made by hand: the longest piece first, from the first strand that still
    has room, else from a new one, the shelf's before bought ones, of those the shortest that will do. The first way of
    every choice."""
    pieces: list[tuple[float, str]] = []
    for order in problem.orders:
        pieces += [(order.length_mm, order.colour)] * order.count
    for choice in problem.choices:
        for mm, colour, many in choice.ways[0]:
            pieces += [(mm, colour)] * (many * choice.count)
    pieces.sort(reverse=True)
    left = [stock.count for stock in problem.stock]
    fresh = sorted(range(len(left)), key=lambda i: (left[i] is None, problem.stock[i].length_mm))
    open_ones: list[list] = []  # [room, colour, stock]
    for mm, colour in pieces:
        one = next((each for each in open_ones if each[1] == colour and each[0] >= mm - HAIR_MM), None)
        if one is None:
            which = next(
                (i for i in fresh if left[i] != 0 and problem.stock[i].length_mm >= mm - HAIR_MM
                 and problem.stock[i].colour in (colour, "natural")), None,
            )  # fmt: skip
            if which is None:
                continue
            still = left[which]
            if still is not None:
                left[which] = still - 1
            one = [problem.stock[which].length_mm, colour, which]
            open_ones.append(one)
        one[0] -= mm
    return sum(problem.stock[each[2]].length_mm for each in open_ones), len(open_ones)
