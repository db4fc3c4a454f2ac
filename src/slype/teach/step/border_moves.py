"""One move of the border in words: past which spokes, over and under which ends, where it is left or tucked down."""

from __future__ import annotations

from itertools import groupby

from ...borders.meetings import (
    cross_at,
    lies_on,
    only_tip,
    over_tucked,
    places_under,
    places_upon,
    waiting_under,
    waits_over,
)
from ...borders.rows import INSERTION_MM, TAIL, Border, Plait, trimmed_on
from ...borders.work import tuck
from ...tell.strokes import FACES, LEAVE
from ...words import listed
from .bench import Bench, numbers
from .values import Draft, Due, due

MOST_LEGS = 3
"""So many legs of a move are told in one breath."""
FINISHED = {"out": "outside", "in": "inside"}
OVER = "in over the edge"
"""How an end goes in over the rows that lie there."""


def goes_in_above(bench: Bench, moment: int) -> list[str]:
    """Of the first move of a later row that ends by going in: which one comes out in that space, beneath it."""
    order, border = bench.order, bench.design.border
    if border.order is not None or border.is_open or not order.passes[moment][0].stage:
        return []
    passes, row = order.passes[moment], order.passes[moment][0].stage
    if border.rows[row].finish != "in" or border.rows[row - 1].finish != "out" or not passes[-1].outside:
        return []
    space = (passes[-1].spoke + 1) % bench.design.top_ends
    there = [int(order.end[m]) for m in range(moment + 1, bench.part("border").beyond)
             if order.row[m] == row and order.passes[m][0].spoke == space]  # fmt: skip
    if not there:
        return []
    return [f"There it passes over {bench.upright[0]} {there[0] + 1}, which comes out of that space."]


def comes_out_under(bench: Bench, moment: int) -> list[str]:
    """Of the first move of a later row that ends behind: under which one it comes out."""
    end, row = _end_and_row(bench, moment)
    over = waits_over(bench.design.border, row)
    if over is None or not is_last_leg(bench, moment):
        return []
    which = (end + over) % bench.design.top_ends + 1
    return [f"It comes out there under {bench.upright[0]} {which}, which lies in that space."]


def runs_below(bench: Bench, moment: int) -> list[str]:
    """Of the second move of a later row whose ends come out below those that were led before: which lies nearer the
    edge; nothing where they do not."""
    ends, (end, row) = bench.design.top_ends, _end_and_row(bench, moment)
    if 0 not in lies_on(bench.design.border, ends).get((ends - 1, row), ()):
        return []
    one, edge = bench.upright[0], "" if from_inside(bench, moment) else f": {bench.upright[0]} {end} is nearer the edge"
    return [f"Where both run, {one} {end + 1} runs lower than {one} {end}{edge}.",
            "So each next one runs lower than the one before."]  # fmt: skip


def over_waiting(bench: Bench, moment: int) -> list[str]:
    """Of the first move of a later row that is worked inside: which ones it passes over there, where the row before
    left them; outside that is told of all of them (`border._over_what_lies`)."""
    end, row = _end_and_row(bench, moment)
    if not from_inside(bench, moment) or end:
        return []
    one = bench.upright[0]
    places = [f"{one} {on + 1} at space {step + 1}" for on, step in waiting_under(bench.design.border, row)]
    return [f"On its way it passes over {listed(places)}."] if places else []


def over_tip(bench: Bench, moment: int) -> list[str]:
    """Of the second move of a row whose ends are tucked down: where it passes over the tip of the first; nothing of
    arches, which are told of by themselves."""
    (end, row), border = _end_and_row(bench, moment), bench.design.border
    if border.is_open or row != len(border.rows) - 1 or 1 not in over_tucked(border):
        return []
    space, one = (end - 1 + border.reach + 1) % bench.design.top_ends + 1, bench.upright[0]
    return [f"At space {space}, {one} {end + 1} passes over the tip of {one} {end}, which goes down there."]


def crosses_first(bench: Bench, moment: int) -> list[str]:
    """Of the second move of a first row: where it crosses the one before, and which of the two lies on top; nothing of
    arches, which are told of by themselves."""
    border, (end, row) = bench.design.border, _end_and_row(bench, moment)
    if row or end < 1 or border.is_open or isinstance(border.order, Plait):
        return []
    found, one = cross_at(border, bench.design.top_ends, end), bench.upright[0]
    if found is None:
        return []
    space, passes = found[0] + 1, f"passes {'over' if found[1] else 'under'}"
    so = f"So each next one {passes} the one before."
    return [f"Where they cross, at space {space}, {one} {end + 1} {passes} {one} {end}.",
            *([so] if border.order is None else [])]  # fmt: skip


def is_last_leg(bench: Bench, moment: int) -> bool:
    """True when an end finishes its row in this move."""
    order = bench.order
    end, row = int(order.end[moment]), int(order.row[moment])
    return [m for m in order.by_end["border", end] if order.row[m] == row][-1] == moment


def name_of(bench: Bench, moment: int) -> str:
    end = int(bench.order.end[moment])
    return f"{bench.upright[0]} {end + 1}" if end >= 0 else f"extra {bench.tell('{reed}')} {-end}"


def legs_of(bench: Bench, moment: int, feet: bool = False) -> list[str]:
    """Where a move leads its end, leg by leg; past the `feet` of those that are bent already. What goes in in a later
    row goes over the rows that lie there."""
    border, inside, out = bench.design.border, from_inside(bench, moment), []
    over_rows = border.order is None and _goes_over(bench, moment)
    lay_outside = over_rows and border.rows[bench.order.passes[moment][0].stage - 1].finish == "out"
    for outside, run in groupby(bench.order.passes[moment], key=lambda p: p.outside):
        found = [p.spoke + 1 for p in run]
        of = "the foot of " if len(found) == 1 else "the feet of "
        way = bench.tell(FACES[inside][outside != inside])
        over = f"{OVER} at space {found[0]}, " if lay_outside and not outside else ""
        out.append(f"{over}{way} {of if feet else ''}{listed([str(each) for each in found])}")
        lay_outside = over_rows and outside
    return out


def _goes_over(bench: Bench, moment: int) -> bool:
    """True of a move of a later row of what has a wall: what goes in goes over the rows that lie there."""
    return bench.order.passes[moment][0].stage > 0 and not bench.laid.is_mat


def move_told(bench: Bench, moment: int, into: Draft, closing: bool = False) -> str:
    order, border = bench.order, bench.design.border
    passes = order.passes[moment]
    begins = order.end[moment] >= 0 and moment == order.by_end["border", int(order.end[moment])][0]
    into.count("leads past", int(order.end[moment]) + 1, *(p.spoke + 1 for p in passes))
    verb = "Bend" if begins else "Take"
    if border.is_open:
        deep = bench.about(INSERTION_MM)
        into.count("beside", int(order.end[moment]) + 1, _beside(bench, moment))
        finish = bench.tell("; push its tip {deep} deep down beside {spoke} {n}", deep=deep, n=_beside(bench, moment))
    elif is_last_leg(bench, moment):
        finish = _left(bench, moment)
        into.count("tucked", int(order.end[moment]) + 1, *(_tuck(bench, moment) or ()))
    else:
        finish = ""
    legs = legs_of(bench, moment, closing and border.is_open)
    if len(legs) > MOST_LEGS:  # more than one breath
        rest = f"{', then '.join(legs[MOST_LEGS:])}{finish}."
        return f"{verb} {name_of(bench, moment)} {', then '.join(legs[:MOST_LEGS])}; lead it on {rest}"
    return f"{verb} {name_of(bench, moment)} {_in_a_breath(legs)}{finish}."


def _in_a_breath(legs: list[str]) -> str:
    """Legs one after the other; what goes in over the edge begins anew."""
    return "".join(f"{'; then ' if leg.startswith(OVER) else ', then '}{leg}" if nth else leg
                   for nth, leg in enumerate(legs))  # fmt: skip


def _beside(bench: Bench, moment: int) -> int:
    last = bench.order.passes[moment][-1].spoke
    return (last + 1) % bench.design.top_ends + 1


def closing_told(bench: Bench, moment: int, into: Draft) -> list[str | Due]:
    """A move at the close: what is lifted for it, or what it passes over."""
    order = bench.order
    under = goes_under(bench, moment)
    if under:
        into.count("under", int(order.end[moment]) + 1, *under)
    if bench.design.border.is_open:
        arches, bow = ("arch", "its bow") if len(under) == 1 else ("arches", "their bows")
        return [f"Lift {numbers(under, 'arch', arches)} a little: the next tip goes down under {bow}.",
                move_told(bench, moment, into, closing=True),
                *due(moment, *_lies_to_first_arches(bench, moment))]  # fmt: skip
    one, many = bench.upright
    if not under:
        return [move_told(bench, moment, into), *due(moment, *_lies_told(bench, moment))]
    if only_tip(bench.design.border, bench.design.top_ends, *_end_and_row(bench, moment)):
        return _tip_under(bench, moment, under, into)
    return [lifted_told(under, one, many), move_told(bench, moment, into)]


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def _tip_under(bench: Bench, moment: int, under: list[int], into: Draft) -> list[str | Due]:
    """A move at the close that passes over what has gone on already, and goes under only with its tip."""
    (one, many), tuck, legs = bench.upright, _tuck(bench, moment), legs_of(bench, moment)
    end, passes = int(bench.order.end[moment]) + 1, bench.order.passes[moment]
    into.count("leads past", end, *(p.spoke + 1 for p in passes))
    into.count("tucked", end, *(tuck or ()))
    them, which = "it" if len(under) == 1 else "them", numbers(under, one, many)
    lies, name = due(moment, *_lies_told(bench, moment)), name_of(bench, moment)
    led, last = (legs, "") if tuck else (legs[:-1], legs[-1])
    out = [f"Take {name} {', then '.join(led)}.", *lies] if led else []
    out.append(f"Only its tip goes under: lift {which} a little." if led else f"Lift {which} a little.")
    if tuck:
        return [*out, f"Tuck the tip down at space {tuck[0]}, under {them}."]
    finish = bench.design.border.rows[passes[0].stage].finish
    through = _through(bench, moment, finish)
    at = {each + 1 for each in places_under(*_in_border(bench, moment)).values()}
    under_it = f", then {through}, under {them}" if through else \
        f", under {them}" if len(at) > 1 else f", and under {which} at space {min(at)}"  # fmt: skip
    left = bench.tell(f"Leave it {{{FINISHED[finish]}}}.")
    return [*out, f"Lead {'the tip' if led else name} {last}{under_it}.", left]


def _in_border(bench: Bench, moment: int) -> tuple[Border, int, int, int]:
    """(the border, its ends, the end that a move leads, its row), the last two from 0."""
    return bench.design.border, bench.design.top_ends, *_end_and_row(bench, moment)


def _lies_told(bench: Bench, moment: int) -> list[str]:
    """At the close, at which space an end passes over each of the first ones that have gone on already."""
    upon = sorted(places_upon(*_in_border(bench, moment)).items(), key=lambda each: each[0])
    if not upon:
        return []
    one = bench.upright[0]
    places = [f"{one} {end + 1} at space {space + 1}" for end, space in upon]
    return [f"{_first_up(name_of(bench, moment))} passes over {listed(places)}."]


def lifted_told(under: list[int], one: str, many: str) -> str:
    """What is lifted, places from 1, before an end is led under it."""
    them = "it" if len(under) == 1 else "them"
    return f"Lift {numbers(under, one, many)} a little; the next move goes under {them}."


def from_inside(bench: Bench, moment: int) -> bool:
    """True for a move that is made on the inside, where the row before left its ends."""
    return bench.design.border.worked_inside(bench.order.passes[moment][0].stage)


def _left(bench: Bench, moment: int) -> str:
    """What is done with an end that has finished its row."""
    tuck, finish = _tuck(bench, moment), bench.design.border.rows[bench.order.passes[moment][0].stage].finish
    if tuck is None:
        through = _through(bench, moment, finish)
        return f", then {through}; leave it there" if through else f", and {bench.tell(LEAVE[finish])}"
    space, *over = tuck
    under = f", under {bench.upright[0]} {over[0]}" if over else ""
    return f", and tuck it down at space {space}{under}"


def _through(bench: Bench, moment: int, finish: str) -> str:
    """`out at space 3`, where an end goes through to the other side before it is left; "" where it does not."""
    last = bench.order.passes[moment][-1]
    if finish not in ("in", "out") or last.outside == (finish == "out"):
        return ""
    space = (last.spoke + 1) % bench.design.top_ends + 1
    return f"{OVER if finish == 'in' and _goes_over(bench, moment) else finish} at space {space}"


def _tuck(bench: Bench, moment: int) -> tuple[int, ...] | None:
    """(space in which an end is tucked down in this row, the one it goes down under; from 1), or None."""
    border = bench.design.border
    if bench.order.passes[moment][0].stage < len(border.rows) - 1:
        return None
    found = tuck(border, bench.design.top_ends, int(bench.order.end[moment]))
    return None if found is None else tuple(each + 1 for each in found if each is not None)


def goes_under(bench: Bench, moment: int) -> list[int]:
    """Which lie already where an end is led at the close, and must be lifted for it (from 1)."""
    return [each + 1 for each in bench.threads.get(_end_and_row(bench, moment), ())]


def lies_upon(bench: Bench, moment: int) -> list[int]:
    """Which have gone on already at the close where an end is laid over them (from 1)."""
    upon = lies_on(bench.design.border, bench.design.top_ends)
    return [each + 1 for each in upon.get(_end_and_row(bench, moment), ())]


def _end_and_row(bench: Bench, moment: int) -> tuple[int, int]:
    return int(bench.order.end[moment]), int(bench.order.row[moment])


def tucked_first(bench: Bench, moment: int) -> list[str]:
    """How an end is tucked down, told at the first one; nothing where it is not."""
    tuck = _tuck(bench, moment)
    if bench.design.border.is_open:
        return [bench.tell("The tip of {spoke} {m} goes down along {spoke} {n}, on its {back}: the side it comes from.",
                           m=int(bench.order.end[moment]) + 1, n=_beside(bench, moment)),
                bench.tell("Every later tip goes down on the {back} of its {spoke} too.")]  # fmt: skip
    if tuck is None or not is_last_leg(bench, moment):
        return []
    side, one = bench.tell(f"{{the {trimmed_on(bench.design.border)}}}"), bench.upright[0]
    deep = [bench.tell("Draw the tip down until it lies flat; at least {deep} must lie past {spoke} {n}.",
                       deep=tip_long(bench), n=bench.order.passes[moment][-1].spoke + 1),
            "What is left over hangs there until it is trimmed."]  # fmt: skip
    if len(tuck) > 1:
        waits = f"{one.capitalize()} {tuck[1]} lies at space {tuck[0]} since row {bench.order.passes[moment][0].stage}"
        return [f"{waits}: the tip goes between it and the weaving.", *deep]
    tip = f"The tip of {one} {int(bench.order.end[moment]) + 1}"
    return [f"{tip} points down on {side}, close to the weaving.", *deep]


def second_arch(bench: Bench, moment: int) -> list[str]:
    """Which of two arches lies outside where they cross, told at the second; nothing where the first goes past none."""
    first = bench.order.passes[bench.order.by_end["border", int(bench.order.end[moment]) - 1][0]] \
        if bench.order.end[moment] > 0 else ()  # fmt: skip
    mine = [p for p in first if p.spoke == bench.order.end[moment]]
    if not bench.design.border.is_open or not mine:
        return []
    lies, face = ("behind", "in front of") if mine[0].outside else ("in front of", "behind")
    n = int(bench.order.end[moment])
    past = listed([str(p.spoke + 1) for p in bench.order.passes[moment]])
    return [bench.tell("Where arches {n} and {m} cross, arch {m} lies {lies} arch {n}.", n=n, m=n + 1, lies=lies),
            bench.tell("From there it comes down {face} {past}.", face=face, past=past),
            *_third_arch(bench, lies)]  # fmt: skip


def _lies_to_first_arches(bench: Bench, moment: int) -> list[str]:
    """How an arch of the close lies to the first ones, where it crosses them: as each does to the next."""
    passes = bench.order.passes[moment]
    first = [each for each in goes_under(bench, moment) if each in [p.spoke + 1 for p in passes]]
    if not first:
        return []
    lies, end = "in front of" if passes[0].outside else "behind", int(bench.order.end[moment]) + 1
    return [f"Where they cross, arch {end} lies {lies} {numbers(first, 'arch', 'arches')}, as each does to the next."]


def _third_arch(bench: Bench, lies: str) -> list[str]:
    """How many earlier arches each one crosses: those of the ones that it goes past."""
    crossed = min(sum(bool(p.outside) == bool(bench.order.passes[m][0].outside) for p in bench.order.passes[m])
                  for m in bench.order.by_end["border", 0])  # fmt: skip
    if crossed < 2:
        return ["So it is with every next one."]
    both = "both" if crossed == 2 else f"all {crossed}"
    earlier = numbers(list(range(1, crossed + 1)), "arch", "arches")
    return [f"Arch {crossed + 1} crosses {earlier}: it lies {lies} {both}.",
            f"So every next one lies {lies} the {crossed} before it."]  # fmt: skip


def tip_long(bench: Bench) -> str:
    return bench.about(TAIL * bench.design.border_reed_mm)
