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
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from types import MappingProxyType

from .rows import Border, Rods
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


def _of_end(border: Border, worked: Work, end: int, passes: list[Pass], when: dict) -> Iterator[Piece]:
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


@lru_cache(maxsize=512)
def _in_the_middle(border: Border) -> Mapping[tuple[tuple[int, int], tuple[int, int]], tuple[bool, bool]]:
    """In the middle of the border, by the places of two pieces that meet: (whether the first of them lies on top,
    whether it is laid first)."""
    longest, middle = middle_of(border)
    out = {}
    for one, two in combinations(pieces(border, longest)[middle], 2):
        if _meet(one, two):
            first = _upper(one, two) is one
            out[one.place, two.place], out[two.place, one.place] = (first, True), (not first, False)
    return MappingProxyType(out)


def meetings(border: Border, ends: int) -> list[Meeting]:
    """Every meeting of the finished border, each as it is in the middle of the border."""
    rule, out = _in_the_middle(border), []
    for space, found in sorted(pieces(border, work(border, ends)).items()):
        for one, two in combinations(found, 2):
            if (one.place, two.place) in rule and one.end != two.end:
                upper, lower = (one, two) if rule[one.place, two.place][0] else (two, one)
                out.append(Meeting(space, upper, lower))
    return out


@lru_cache(maxsize=512)
def laid_over(border: Border) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Of a rod border: each space, in spokes on from an end's own, in which it goes in over rods that come out there or
    bends down over rods that go in there, with how far on from their own spokes that is. The bend comes last."""
    if not isinstance(border.order, Rods):
        return ()
    over: dict[int, set[int]] = defaultdict(set)
    for ((stage, step), (below, other)), (upper, _) in _in_the_middle(border).items():
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
    met = [(place[1], upper) for (place, other), (upper, _) in _in_the_middle(border).items() if other == tip]
    return tuple(step for step, upper in met if upper), tuple(step for step, upper in met if not upper)


@lru_cache(maxsize=4096)
def threads(border: Border, ends: int) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """By (end, stage) in order of work: the ends, from 0, that are lifted so that it is led or tucked under them; they
    lie there already, and everywhere else they come later. None on fewer ends than the border takes."""
    if ends < border.smallest_ends:
        return MappingProxyType({})
    out: dict[tuple[int, int], set[int]] = defaultdict(set)
    for meeting in lifts(border, ends):
        out[meeting.lower.end, meeting.lower.stage].add(meeting.upper.end)
    return _in_order(border, ends, out)


@lru_cache(maxsize=4096)
def lies_on(border: Border, ends: int) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """By (end, stage): the first ends, from 0, that have gone on already in a row worked end by end, on which an end of
    the close is laid as everywhere else: above them, between them and the edge."""
    out: dict[tuple[int, int], set[int]] = defaultdict(set)
    for meeting in _laid_on(border, ends):
        out[meeting.upper.end, meeting.upper.stage].add(meeting.lower.end)
    return _in_order(border, ends, out)


def places_under(border: Border, ends: int, end: int, stage: int) -> dict[int, int]:
    """The last space, from 0, in which an end goes under each that is lifted for it."""
    return {each.upper.end: each.space for each in lifts(border, ends)
            if (each.lower.end, each.lower.stage) == (end, stage)}  # fmt: skip


def waits_over(border: Border, ends: int, end: int, stage: int) -> int | None:
    """The end that lies in the space where this one comes out from behind in a later row, over it; None elsewhere."""
    for each in meetings(border, ends):
        if (each.lower.end, each.lower.stage) == (end, stage) and each.lower.back and each.lower.rests:
            if each.upper.rests and each.upper.stage == stage - 1:
                return each.upper.end
    return None


def only_tip(border: Border, ends: int, end: int, stage: int) -> bool:
    """True for an end that in a later row lies above the others at the close too, and goes under them only where it
    comes to rest."""
    mine = [each for each in lifts(border, ends) if (each.lower.end, each.lower.stage) == (end, stage)]
    return bool(mine) and border.order is None and stage > 0 and all(each.lower.rests for each in mine)


def places_upon(border: Border, ends: int, end: int, stage: int) -> dict[int, int]:
    """The last space, from 0, in which an end of the close lies on each that has gone on already."""
    return {each.lower.end: each.space for each in _laid_on(border, ends)
            if (each.upper.end, each.upper.stage) == (end, stage)}  # fmt: skip


@lru_cache(maxsize=512)
def lifts(border: Border, ends: int) -> tuple[Meeting, ...]:
    """Meetings whose upper piece lies there already at the close, where everywhere else it comes later."""
    if ends < border.smallest_ends:
        return ()
    rule = _in_the_middle(border)
    return tuple(
        each for each in meetings(border, ends)
        if rule[each.upper.place, each.lower.place] == (True, False) and each.upper.when < each.lower.when
        and each.upper.end >= 0 and each.lower.end >= 0  # extra reeds are drawn out, and need no lifting
    )  # fmt: skip


@lru_cache(maxsize=512)
def _laid_on(border: Border, ends: int) -> tuple[Meeting, ...]:
    """Meetings with an end that everywhere else still lies where it came to rest, and at the close has gone on."""
    if ends < border.smallest_ends or border.order is not None:
        return ()
    return tuple(
        each for each in meetings(border, ends)
        if each.lower.rests and each.lower.stage == each.upper.stage - 1 and each.lower.end < each.upper.end
    )  # fmt: skip


def _in_order(border: Border, ends: int, found: dict) -> Mapping[tuple[int, int], tuple[int, ...]]:
    """The same, each tuple sorted, in the order in which the moves are made."""
    moves = dict.fromkeys((p.end, p.stage) for p in work(border, ends).passes) if found else {}
    return MappingProxyType({move: tuple(sorted(found[move])) for move in moves if move in found})
