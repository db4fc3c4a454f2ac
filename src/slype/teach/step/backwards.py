"""Rows of a weave that is worked backwards, a weaver in every space: how each begins, and its last strokes, which come
to spaces where moved weavers hang already."""

from __future__ import annotations

from ...lay.values import BandLaid
from ...words import listed, several
from .bench import Bench, numbers
from .values import Draft, Due, due


def next_back(bench: Bench, band: BandLaid, strokes: list[int], done: int) -> list[str]:
    """How the next row of a weave worked backwards begins: with which weaver, in which space it hangs by then."""
    if band.rows < 2:
        return []
    begin, space = strokes[done], bench.space(band)
    own = f"the weaver that you began with. It hangs in {space} {int(bench.order.space[begin]) + 1} now."
    front, behind = (
        numbers([each + 1 for each in found], *bench.passes(band))
        for found in (bench.order.in_front(begin), bench.order.behind(begin))
    )
    return [f"Begin row 2 with {own}", f"It goes in front of {front}, then behind {behind}.",
            "Begin every later row with that weaver too."]  # fmt: skip


def last_backs(bench: Bench, band: BandLaid, row: list[int]) -> list[str]:
    """The last strokes of a row worked backwards, which come to spaces where moved weavers hang already."""
    order, reach = bench.order, band.band.weave.reach
    last, space, one, many = row[-reach:], bench.space(band), *bench.passes(band)
    named = listed([str(int(order.stroke[m]) + 1) for m in last])
    every = "In every row" if band.rows > 1 else "Here"
    places = [int(order.space[m]) + 1 for m in last]
    early = numbers(list(range(1, reach + 1)), "stroke", "strokes")
    out = [f"After {early} of row 1 two weavers hang in {numbers(sorted(places), space, space + 's')}.",
           "Leave them so for now.", f"{every} only the last strokes, {named}, begin where two hang.",
           "Lift the one that has moved already; take the lower one, and pass it below."]  # fmt: skip
    for m in last:
        front, behind = (
            numbers([each + 1 for each in found], one, many) for found in (order.in_front(m), order.behind(m))
        )
        said = f"Stroke {int(order.stroke[m]) + 1}" + (" of row 1" if band.rows > 1 else "")
        out.append(f"{said}: from {space} {int(order.space[m]) + 1}; front of {front}, behind {behind}.")
    return out


MOST_ROWS_TOLD = 6
"""Rows of a weave worked backwards whose ends are told one by one; of more, how they move on."""


def later_backs(bench: Bench, band: BandLaid, strokes: list[int], rows: int, into: Draft) -> list[str | Due]:
    """Where the last strokes of each later row are made, below what has moved already there."""
    order, reach, space = bench.order, band.band.weave.reach, bench.space(band)
    out: list[str | Due] = []
    for row in range(1, rows):
        mine = [m for m in strokes if order.row[m] == row and order.block[m] == 0]
        found = [int(order.space[m]) + 1 for m in mine[-reach:]]
        if row < MOST_ROWS_TOLD:
            into.count("lifts", row + 1, *found)
            from_ = f"from {space}s" if len(found) > 1 else f"from {space}"
            last = "last strokes" if len(found) > 1 else "last stroke"
            out += due(
                mine[0],
                f"Row {row + 1} begins in {space} {int(order.space[mine[0]]) + 1}; its {last} {from_} "
                f"{listed([str(each) for each in found])}.",
            )
        elif row == MOST_ROWS_TOLD:
            on = several(reach, space)
            out += due(mine[0], f"Every later row begins, and ends, {on} further on than the one before.")
    return out
