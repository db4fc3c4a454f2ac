"""A border worked end by end on a ring of spokes: every pass of every end, in the order the hands make them.

Nothing here is a formula for the finished border. The hands know what stands, what lies where and which end is next;
they go on until no end has a move left. That all ends then made the same moves, and that the border closes, is proved
by the tests, not assumed. What is read off the work:

- `rows_of`: the moves of one end, as rows;
- `layers`: how many lie side by side on each face of a spoke, in the order in which they were laid.

Which of two ends lies on top where they meet, and what is lifted at the close: `borders.meetings`.

Spokes and ends count from 0 in the direction of work. Extra reeds of a plaited border are counted -1, -2, -3.
"""

from __future__ import annotations

import itertools
from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from ..errors import Unweavable
from .rows import Border, Plait, Rods, Row


@dataclass(frozen=True)
class Pass:
    """One end passing one spoke. `stage` of that end from 0; `step` how many spokes on from its own; `spoke` on the
    ring."""

    end: int
    stage: int
    outside: bool
    step: int
    spoke: int


@dataclass(frozen=True)
class Work:
    """The whole border as worked: `passes` in order; `finishes` by (end, stage): out, in or down."""

    ends: int
    passes: tuple[Pass, ...]
    finishes: Mapping[tuple[int, int], str]

    def of(self, end: int) -> list[tuple[int, bool, int]]:
        """(stage, outside, step) of one end, in order."""
        return [(p.stage, p.outside, p.step) for p in self.passes if p.end == end]


class _Hands:
    """Keeps the list while ends are led round."""

    def __init__(self, ends: int) -> None:
        self.ends = ends
        self.passes: list[Pass] = []
        self.finishes: dict[tuple[int, int], str] = {}

    def lead(self, end: int, home: int, stage: int, outside: bool, first: int, beyond: int) -> int:
        """`end`, which belongs to spoke `home`, past the spokes from `first` up to before `beyond`; where it is now."""
        for at in range(first, beyond):
            self.passes.append(Pass(end, stage, outside, at - home, at % self.ends))
        return max(first, beyond)

    def leave(self, end: int, stage: int, finish: str) -> None:
        self.finishes[end, stage] = finish

    def done(self) -> Work:
        return Work(self.ends, tuple(self.passes), MappingProxyType(self.finishes))


def work(border: Border, ends: int) -> Work:
    """Work a border on `ends` spokes. Raises Unweavable where it cannot even be begun on so few."""
    if isinstance(border.order, Rods):
        return _rods(border.order, ends)
    if isinstance(border.order, Plait):
        return _plait(border.order, ends)
    return _rows(border.rows, ends)


def _rows(rows: tuple[Row, ...], ends: int) -> Work:
    """Row after row, each end in turn."""
    hands, at, inside = _Hands(ends), [end + 1 for end in range(ends)], False
    for stage, row in enumerate(rows):
        for end in range(ends):
            for over, count in row.legs:
                at[end] = hands.lead(end, end, stage, over != inside, at[end], at[end] + count)
            hands.leave(end, stage, row.finish)
        inside = row.finish == "in"
    return hands.done()


def _too_few(ends: int, least: int) -> Unweavable:
    return Unweavable(
        f"{ends} ends are too few to begin this border.", "border", f"It takes {least} or more, or a shorter border."
    )


def _rods(order: Rods, ends: int) -> Work:
    """So many ends down first; then the left-hand one of those that wait goes on, and the next upright comes down."""
    if ends < order.least_ends:
        raise _too_few(ends, order.least_ends)
    hands = _Hands(ends)
    upright = deque(range(ends))
    waiting: deque[tuple[int, int]] = deque()

    def lay_down() -> None:
        end = upright.popleft()
        waiting.append((end, hands.lead(end, end, 0, False, end + 1, end + 1 + order.behind)))
        hands.leave(end, 0, "out")

    for _ in range(order.down):
        lay_down()
    head = order.down  # the spoke at the head of the work: the next that stands, or would if it were not down already
    while waiting:
        end, at = waiting.popleft()
        at = hands.lead(end, end, 1, True, at, head + order.front)
        if order.back_rods:
            hands.lead(end, end, 1, False, at, at + order.behind)
        hands.leave(end, 1, "out" if order.back_rods else "in")
        if upright:
            lay_down()
        head += 1
    return hands.done()


@dataclass
class _Member:
    """One reed of a plaiting group: to which spoke it belongs, and how often it has come out again."""

    end: int
    home: int
    times: int


def _plait(order: Plait, ends: int) -> Work:
    """Three groups plaited along the edge: the left-hand one outside goes in, the one inside comes out, and the next
    upright lies down beside it; of every three reeds the oldest then stays behind."""
    if ends < order.least_ends:
        raise _too_few(ends, order.least_ends)
    hands = _Hands(ends)
    upright = deque(range(ends))
    outside: deque[tuple[list[_Member], int]] = deque()
    inside: deque[tuple[list[_Member], int]] = deque()

    def lie_down(group: list[_Member]) -> None:
        if upright:
            end = upright.popleft()
            group.append(_Member(end, end, 0))

    extras = itertools.count(-1, -1)
    head = 0
    while upright or any(members for members, _ in (*outside, *inside)):
        if len(outside) == order.pairs - 1:
            members, at = outside.popleft()
            for member in members:
                hands.lead(member.end, member.home, member.times, True, at, head + 1)
            inside.append((members, head + 1))
        if len(inside) > 1 or (inside and head >= order.pairs):
            members, at = inside.popleft()
            for member in members:
                hands.lead(member.end, member.home, member.times, False, at, head + 1)
                hands.leave(member.end, member.times, "out")
                member.times += 1
            members = [member for member in members if member.times < order.rounds]
        else:  # an extra reed stands in for the one that will close the border here: it has come round once already
            earlier = range(order.rounds - 1, 0, -1)
            members = [_Member(next(extras), head - order.reach_of_a_round * times, times) for times in earlier]
        lie_down(members)
        outside.append((members, head + 1))
        head += 1
    return hands.done()


# What is read off the work -------------------------------------------------------------------------------------


@lru_cache(maxsize=512)
def middle_of(border: Border) -> tuple[Work, int]:
    """The border on so long a ring that its middle knows nothing of beginning or end; (work, an end in the middle)."""
    span = border.reach if border.order is None else border.order.span
    ends = 6 * (span + 3)
    return work(border, ends), ends // 2


def rows_of(order: Rods | Plait) -> tuple[Row, ...]:
    """The moves of one end in the middle of the work, as rows."""
    longest, middle = middle_of(Border((), order))
    rows = []
    for stage, passes in itertools.groupby(longest.of(middle), key=lambda p: p[0]):
        faces = itertools.groupby(passes, key=lambda p: p[1])
        legs = tuple((outside, len(list(group))) for outside, group in faces)
        rows.append(Row(legs, longest.finishes[middle, stage]))
    return tuple(rows)


@lru_cache(maxsize=512)
def layers(border: Border) -> Mapping[tuple[int, int], int]:
    """How many ends were laid on that face of that spoke before each pass of an end: by (stage, step), from 0."""
    longest, middle = middle_of(border)
    below: dict[bool, int] = defaultdict(int)
    out = {}
    for p in longest.passes:
        if p.spoke == middle:
            out[p.stage, p.step] = below[p.outside]
            below[p.outside] += 1
    return MappingProxyType(out)


def tuck(border: Border, ends: int, end: int) -> tuple[int, int | None] | None:
    """(space in which an end is tucked down, the end it goes down under), from 0; None where it is not tucked down.

    It goes down in the space past the last spoke it passed. On its own face another waits there, which came through
    that space in the row before: it goes down between that one and the wall, and is held. None waits there in a first
    row, where all still stand, nor on the face of a last leg that goes behind.
    """
    if border.order is not None or border.is_open or border.rows[-1].finish != "down":
        return None
    last = border.rows[-1]
    space = (end + 1 + border.reach) % ends
    if len(border.rows) == 1 or not last.legs[-1][0]:
        return space, None
    return space, (end + last.reach) % ends


def spaces_of_move(border: Border, ends: int, passes: Sequence[Pass], done: bool) -> tuple[int, ...]:
    """The spaces, from 0, in which a move takes its end from one side to the other: amid it where it goes in over the
    rows that lie there, and where it finishes its row, if it does (`done`), also down. None of arches."""
    stage, out = passes[0].stage, []
    if border.order is None and stage:
        outside = border.rows[stage - 1].finish == "out"
        for p in passes:
            out += [p.spoke] if outside and not p.outside else []
            outside = p.outside
    finish, last = border.rows[stage].finish, passes[-1]
    through = finish in ("in", "out") and last.outside != (finish == "out")
    if done and not border.is_open and (through or finish == "down"):
        out.append((last.spoke + 1) % ends)
    return tuple(dict.fromkeys(out))


def stand_ins(border: Border, ends: int) -> dict[int, int]:
    """Which end at last takes the place of each extra reed: {extra: end}, by the very sites that both pass."""
    worked = work(border, ends)
    places: dict[tuple[int, int], list[tuple[bool, int]]] = defaultdict(list)
    for p in worked.passes:
        places[p.end, p.stage].append((p.outside, p.spoke))
    extras = {end: sites for (end, _), sites in places.items() if end < 0}
    return {
        extra: end for extra, sites in extras.items() for (end, _), own in places.items() if end >= 0 and own == sites
    }
