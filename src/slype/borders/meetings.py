"""Where two ends of a border meet, which of them lies on top, and what must be lifted at the close.

Theory
1. Seen from above, ends run inside or outside the feet and change sides in the spaces between. Two ends meet in a space
   where they cross, or where one comes to the side on which the other runs. Side by side on one face they do not meet.
2. What is laid later lies on top: higher in the border, and further from the wall. An end is laid in pieces, a move
   each. So one that is led over an end that lies there is on top of it; that one is led on from beneath it, and lies
   lower on the face from there on.
3. Two things go under what lies there. An end that passes behind in a later row comes out under what lies in that space
   (White 1901, of a border's second row: "each end of a group is brought under the next end on the right, over the
   next"). An end that is tucked down goes between the wall and the one that waits there (common practice, no source).
4. The finished border is the same all round. So at the close an end must be led under whatever lies there already and
   lies on top of it everywhere else: that, and nothing else, is lifted. Where everywhere else it lies on top, it is
   laid on top at the close too: above the first ones, between them and the edge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from types import MappingProxyType

from .rows import Border, Rods, path_of_end
from .work import Pass, Work, middle_of, work

OUT, FOOT, IN = 1, 0, -1
_SIDES = {"out": OUT, "in": IN}


@dataclass(frozen=True)
class Piece:
    """What one move (`end`, `stage`) lays in the space after the spoke `step - 1` on from its own: from a side to a
    side, OUT, FOOT (its own) or IN. `when` its move is made; `rests` where the move ends; `back` where it comes out
    from behind in a later row; `down` where it is tucked down on that side."""

    end: int
    stage: int
    step: int
    start: int
    to: int
    when: int
    rests: bool = False
    back: bool = False
    down: bool = False

    @property
    def place(self) -> tuple[int, int]:
        """Which piece of an end it is: the same for every end."""
        return self.stage, self.step


@dataclass(frozen=True)
class Meeting:
    """Two pieces that meet in a `space`, from 0: the `upper` lies on the `lower`."""

    space: int
    upper: Piece
    lower: Piece


def pieces(border: Border, worked: Work) -> Mapping[int, list[Piece]]:
    """All pieces of a border by the space they lie in, in the order in which they are laid."""
    at: dict[int, list[Piece]] = defaultdict(list)
    when = {move: k for k, move in enumerate(dict.fromkeys((p.end, p.stage) for p in worked.passes))}
    ends: dict[int, list[Pass]] = defaultdict(list)
    for p in worked.passes:
        ends[p.end].append(p)
    for end, passes in ends.items():
        for each in _of_end(border, worked, end, passes, when):
            at[(passes[0].spoke + each.step - passes[0].step) % worked.ends].append(each)
    return {space: sorted(found, key=lambda each: each.when) for space, found in at.items()}


def _of_end(
    border: Border, worked: Work, end: int, passes: list[Pass], when: dict[tuple[int, int], int]
) -> Iterator[Piece]:
    side, stage = FOOT, passes[0].stage
    for p in (*passes, None):
        done = p is None or p.stage != stage
        step = passes[-1].step + 1 if p is None else p.step
        if done:  # what it finished by, in this space
            finish = worked.finishes.get((end, stage), "out")
            to = _SIDES.get(finish, side)
            yield Piece(end, stage, step, side, to, when[end, stage], True, _back(border, stage, side, to),
                        finish == "down")  # fmt: skip
            side = to
        if p is not None:
            to = OUT if p.outside else IN
            yield Piece(end, p.stage, step, side, to, when[end, p.stage], False, _back(border, p.stage, side, to))
            side, stage = to, p.stage


def _back(border: Border, stage: int, side: int, to: int) -> bool:
    """True where an end comes out from behind, to the side on which all lie in a later row."""
    if border.order is not None or not stage:
        return False
    worked_on = _SIDES[border.rows[stage - 1].finish]
    return side == -worked_on and to == worked_on


def _meet(one: Piece, two: Piece) -> bool:
    if one.end == two.end:
        return False
    if one.down or two.down:
        tucked, other = (one, two) if one.down else (two, one)
        return tucked.to in (other.start, other.to)
    before, after = one.start - two.start, one.to - two.to
    if not before:
        return not after and one.start != one.to and (one.back or two.back)
    return not after or (before > 0) != (after > 0)


def _upper(one: Piece, two: Piece) -> Piece:
    """Which of two that meet lies on top; `two` is laid later, in the middle of the border."""
    if two.back and one.stage < two.stage:
        return one
    if two.down and one.rests and one.to == two.to and one.stage == two.stage - 1:
        return one
    return two


def in_one_space(border: Border) -> list[Piece]:
    """All pieces in a space in the middle of the border, in the order in which they are laid."""
    if border.order is not None:
        longest, middle = middle_of(border)
        return pieces(border, longest)[middle]
    # Worked by rows every end makes the same moves, each later by as many moves as it stands further on.
    passes = [Pass(0, stage, outside, step, step) for stage, outside, step in path_of_end(border)]
    rows = range(len(border.rows))
    one = Work(border.reach + 1, tuple(passes), {(0, row): border.rows[row].finish for row in rows})
    when = {(0, row): row * (border.reach + 2) for row in rows}
    own = _of_end(border, one, 0, passes, when)
    found = [replace(each, end=-each.step, when=each.when - each.step) for each in own]
    return sorted(found, key=lambda each: each.when)


@lru_cache(maxsize=512)
def places_of(border: Border) -> Mapping[tuple[int, int], Piece]:
    """The pieces of an end by their places."""
    return MappingProxyType({each.place: each for each in in_one_space(border)})


@lru_cache(maxsize=512)
def in_the_middle(border: Border) -> Mapping[tuple[tuple[int, int], tuple[int, int]], tuple[bool, bool]]:
    """In the middle of the border, by the places of two pieces that meet: (whether the first of them lies on top,
    whether it is laid first)."""
    out = {}
    for one, two in combinations(in_one_space(border), 2):
        if _meet(one, two):
            first = _upper(one, two) is one
            out[one.place, two.place], out[two.place, one.place] = (first, True), (not first, False)
    return MappingProxyType(out)


@lru_cache(maxsize=512)
def thicknesses(border: Border) -> int:
    """How many ends of a closed border lie on each other at most: what it is high, in spokes.

    As many as pass a spoke on one face, or as bend down and change sides in one space, whichever are more; no tips,
    which are trimmed there.
    """
    laid = [each for each in in_one_space(border) if each.step <= border.reach]
    faces = [sum(each.to == face and not each.rests for each in laid) for face in (OUT, IN)]
    return max(*faces, len({each.end for each in laid if each.start != each.to}))


def meetings(border: Border, ends: int) -> list[Meeting]:
    """Every meeting of the finished border, each as it is in the middle of the border."""
    rule, out = in_the_middle(border), []
    for space, found in sorted(pieces(border, work(border, ends)).items()):
        for one, two in combinations(found, 2):
            if (one.place, two.place) in rule and one.end != two.end:
                upper, lower = (one, two) if rule[one.place, two.place][0] else (two, one)
                out.append(Meeting(space, upper, lower))
    return out


def cross_at(border: Border, ends: int, end: int) -> tuple[int, bool] | None:
    """The first space, from 0, in which an end crosses the one before it while both make their first move, and whether
    it lies on top there; None where they do not."""
    for each in meetings(border, ends):
        met = {each.upper.end: each.upper.stage, each.lower.end: each.lower.stage}
        if met == {end: 0, end - 1: 0}:
            return each.space, each.upper.end == end
    return None


@lru_cache(maxsize=512)
def laid_over(border: Border) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Of a rod border: each space, in spokes on from an end's own, in which it goes in over rods that come out there or
    bends down over rods that go in there, with how far on from their own spokes that is. The bend comes last."""
    if not isinstance(border.order, Rods):
        return ()
    over: dict[int, set[int]] = defaultdict(set)
    for ((stage, step), (below, other)), (upper, _) in in_the_middle(border).items():
        if upper and (stage > below if step > 1 else stage < below):
            over[step].add(other)
    return tuple((step, tuple(sorted(found))) for step, found in sorted(over.items(), reverse=True))


@lru_cache(maxsize=512)
def beside_the_tip(border: Border) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Pieces that lie on an end's tip, and those that its tip lies on: how many spokes on from their own each of them
    lies in that space. None of a tip that is tucked down, which goes behind others."""
    tip = len(border.rows) - 1, border.reach + 1
    if border.rows[-1].finish == "down":
        return (), ()
    met = [(place[1], upper) for (place, other), (upper, _) in in_the_middle(border).items() if other == tip]
    return tuple(step for step, upper in met if upper), tuple(step for step, upper in met if not upper)


@lru_cache(maxsize=512)
def over_tucked(border: Border) -> tuple[int, ...]:
    """Of a border whose ends are tucked down last: by how many spokes further on those stand that are led over the tip
    of one in that row."""
    row, tip = len(border.rows) - 1, border.reach + 1
    if border.order is not None or border.rows[-1].finish != "down":
        return ()
    return tuple(sorted(on for on, (last, _) in _later_over(border).get(row, {}).items() if last == tip))


def waiting_under(border: Border, stage: int) -> tuple[tuple[int, int], ...]:
    """Of a border worked by rows: by how many spokes further on those stand that lie in a later row's way where the row
    before left them, and that it is led over, each with how many spokes on the space is, nearest first."""
    if border.order is not None or not stage:
        return ()
    return tuple(sorted((on, step) for on, (step, _) in _waiting_under(border).get(stage, {}).items()))


# What the close asks of the hands ------------------------------------------------------------------------------


def lifts(border: Border, ends: int) -> list[Meeting]:
    """Meetings whose upper piece lies there already at the close, where everywhere else it comes later: what is lifted,
    so that the lower one is led or tucked under it."""
    rule = in_the_middle(border)
    return [
        each for each in meetings(border, ends)
        if rule[each.upper.place, each.lower.place] == (True, False) and each.upper.when < each.lower.when
        and each.upper.end >= 0 and each.lower.end >= 0  # extra reeds are drawn out, and need no lifting
    ]  # fmt: skip


@lru_cache(maxsize=4096)
def threads(border: Border, ends: int) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """By (end, stage) in order of work: the ends, from 0, that are lifted so that it is led or tucked under them; they
    lie there already, and everywhere else they come later. None on fewer ends than the border takes."""
    if ends < border.smallest_ends:
        return MappingProxyType({})
    if border.order is None:
        return _at_the_close(_later_over(border), ends)
    found: dict[tuple[int, int], set[int]] = defaultdict(set)
    for each in lifts(border, ends):
        found[each.lower.end, each.lower.stage].add(each.upper.end)
    moves = dict.fromkeys((p.end, p.stage) for p in work(border, ends).passes)
    return MappingProxyType({move: tuple(sorted(found[move])) for move in moves if move in found})


@lru_cache(maxsize=4096)
def lies_on(border: Border, ends: int) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """By (end, stage): the first ends, from 0, that have gone on already in a row worked end by end, on which an end of
    the close is laid as everywhere else: above them, between them and the edge."""
    if ends < border.smallest_ends or border.order is not None:
        return MappingProxyType({})
    return _at_the_close(_waiting_under(border), ends)


def places_under(border: Border, ends: int, end: int, stage: int) -> dict[int, int]:
    """The last space, from 0, in which an end goes under each that is lifted for it."""
    if border.order is not None:
        return {each.upper.end: each.space for each in lifts(border, ends)
                if (each.lower.end, each.lower.stage) == (end, stage)}  # fmt: skip
    under = threads(border, ends).get((end, stage), ())
    steps = _later_over(border).get(stage, {})
    return {each: (end + steps[each + ends - end][0]) % ends for each in under}


def places_upon(border: Border, ends: int, end: int, stage: int) -> dict[int, int]:
    """The last space, from 0, in which an end of the close lies on each that has gone on already."""
    upon = lies_on(border, ends).get((end, stage), ())
    steps = _waiting_under(border).get(stage, {})
    return {each: (end + steps[each + ends - end][0]) % ends for each in upon}


def only_tip(border: Border, ends: int, end: int, stage: int) -> bool:
    """True for an end that in a later row lies above the others at the close too, and goes under them only where it
    comes to rest."""
    if border.order is not None or not stage:
        return False
    under = threads(border, ends).get((end, stage), ())
    return bool(under) and all(_later_over(border)[stage][each + ends - end][1] for each in under)


def waits_over(border: Border, stage: int) -> int | None:
    """How many ends on from its own that one belongs which lies in the space where an end comes out from behind in a
    later row, and over it; None elsewhere."""
    if border.order is not None or not stage:
        return None
    for (over, under), (upper, _) in in_the_middle(border).items():
        one, two = places_of(border)[over], places_of(border)[under]
        if upper and two.back and two.rests and two.stage == stage and one.rests and one.stage == stage - 1:
            return two.step - one.step
    return None


def _at_the_close(found: Mapping[int, Mapping[int, object]], ends: int) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """By (end, stage): the first ends that one of the last meets, of those so many on from its own by row."""
    out = {}
    for stage, others in found.items():
        for end in range(ends - max(others, default=0), ends):
            if met := tuple(sorted(end + on - ends for on in others if end + on >= ends)):
                out[end, stage] = met
    return MappingProxyType(out)


@lru_cache(maxsize=512)
def _later_over(border: Border) -> Mapping[int, Mapping[int, tuple[int, bool]]]:
    """Of a border worked by rows, by row: how many on from an end's own those belong that are led over it later in that
    row, with the last space in which they are, and whether it is over its resting place alone."""
    out: dict[int, dict[int, tuple[int, bool]]] = defaultdict(dict)
    for ((stage, step), (row, own)), (upper, earlier) in in_the_middle(border).items():
        if upper and not earlier and stage == row and own > step:
            last, rests = out[row].get(own - step, (0, True))
            out[row][own - step] = max(last, own), rests and places_of(border)[row, own].rests
    return MappingProxyType({row: out[row] for row in sorted(out)})


@lru_cache(maxsize=512)
def _waiting_under(border: Border) -> Mapping[int, Mapping[int, tuple[int, bool]]]:
    """Of a border worked by rows, by row: how many on from an end's own those belong on which it is laid where they
    came to rest in the row before, with the last space in which they are."""
    out: dict[int, dict[int, tuple[int, bool]]] = defaultdict(dict)
    for ((row, own), (stage, step)), (upper, _) in in_the_middle(border).items():
        if upper and stage == row - 1 and own > step and places_of(border)[stage, step].rests:
            out[row][own - step] = max(out[row].get(own - step, (0, True))[0], own), True
    return MappingProxyType({row: out[row] for row in sorted(out)})
