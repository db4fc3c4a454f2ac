"""What the order of work is told in: moments, their parts, and the bench on which they are gathered.

See `moments`, which makes them.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from ..borders.work import Pass
from ..lay.values import Laid
from ..surface.added_ends import ends_by_tier

ACTS = (
    *("stick", "hole", "foot", "set in", "stroke", "end", "insert", "turn", "border", "trim", "add", "bye"),
    *("push in", "rods", "wrap", "fasten", "fit"),
)
"""What a moment can be. "stick": a stick of the base is laid; "hole": a spoke is pushed through its hole of a board;
"foot", "border": an end is led on; "set in", "end": a weaver begins or ends; "insert": a side spoke is pushed in;
"turn": an end is turned up; "add", "bye": one more end, or a bye-spoke, is pushed in before a band; "trim": all tips
are trimmed. Of a handle: "push in" one foot of it, "rods" set beside a foot of it, "wrap" one turn round it, "fasten"
what it is covered with. "fit": the lid is set on."""
PARTS = ("cross", "board", "base", "insert", "turn", "add", "bye", "side", "border", "trim", "handle", "fit")
OTHERS = ("foot", "lid")
"""What is a small basket of its own, with its own order of work: a foot below a woven base, and a lid."""
APART = ("lid",)
"""Which of these is woven by itself, away from the basket, and put to it when all of it is done ("fit"): while it is
worked it alone is in hand, and held as a basket is."""
_SETS_UP = [ACTS.index(act) for act in ("stick", "hole", "insert", "turn", "add")]
_NUMBERS = "act part of band block weaver row stroke strokes end space spaces over under colour".split()


@dataclass(frozen=True)
class WorkPart:
    """A stretch of the work: `key` one of PARTS, the `band` it weaves or is pushed in for (from 0; None where none),
    its `first` moment and the moment `beyond` its last, counted from 0. `of` one of OTHERS whose band it is, else
    empty; `row` of the design's handles, from 0, else None."""

    key: str
    band: int | None
    first: int
    beyond: int
    of: str = ""
    row: int | None = None


@dataclass(frozen=True, eq=False)
class Other:
    """A foot or a lid in the order of work: `of` OTHERS, as `laid` alone, its own moments `made`, begun at `first`."""

    of: str
    laid: Laid
    order: Moments
    first: int


@dataclass(frozen=True)
class Covered:
    """The moments of one arch of a handle: `push` one foot and the other in, `rods` set in beside the first, `turns` of
    them from `wrap` on, `fasten`; -1 where there is none. `home` the spoke it is counted from."""

    home: int
    push: tuple[int, int]
    rods: int
    wrap: int
    turns: int
    fasten: int


@dataclass(frozen=True, eq=False)
class Moments:
    """All moments in order of work. Arrays (moments,), -1 where a moment has none of a thing; all count from 0.

    `act` in ACTS; `part` in `parts`; `of` in OTHERS, whose moment it is: then all numbers but `part` and `colour` are
    its own; `band`; `block`: which setting-in of the band; `weaver` of that setting-in; `row` of the band; `stroke`
    within the row, of `strokes` (of a handle: `row` of the design's handles, `block` which arch of it, `stroke` which
    turn, `end` the spoke it is pushed in beside); `end`: which spoke, stick, or end of the border (of a border's
    extra reed -1 and below); `space` a weaver comes from, of `spaces` round; `over`, `under`: spokes (or groups) passed
    in front and behind; `colour` in `colours`, each the colours of a weaver's strands from the bottom up.

    `begin`, `beyond` (moments,): where a stroke or a move begins and ends, single ends round without a jump, as `u` of
    `tubes.Curve`, or its `place` where ends are added later. `passes` of a border's or foot's moment, and where it
    `rests` the end: out, in or down; `stick_ends` the ends of each stick in the order they are laid. `others` the foot
    and the lid, `arches` the handles by (row, arch). Where ends are added an `end` has its number among those that
    stand then; `begun` (moment for each end that stands last, of "base" and "side") says which moment sets it up.
    """

    act: np.ndarray
    part: np.ndarray
    of: np.ndarray
    band: np.ndarray
    block: np.ndarray
    weaver: np.ndarray
    row: np.ndarray
    stroke: np.ndarray
    strokes: np.ndarray
    end: np.ndarray
    space: np.ndarray
    spaces: np.ndarray
    over: np.ndarray
    under: np.ndarray
    colour: np.ndarray
    begin: np.ndarray
    beyond: np.ndarray
    parts: tuple[WorkPart, ...]
    colours: tuple[tuple[str, ...], ...]
    passes: dict[int, tuple[Pass, ...]]
    stick_ends: tuple[tuple[int, ...], ...]
    begun: dict[str, tuple[int, ...]]
    rests: dict[int, str]
    others: dict[str, Other]
    arches: dict[tuple[int, int], Covered]

    def __len__(self) -> int:
        return len(self.act)

    def in_front(self, moment: int) -> list[int]:
        """Spokes (or groups), from 0, that this moment passes in front of: outside, or on the underside of a base."""
        return self._passed(moment, True)

    def behind(self, moment: int) -> list[int]:
        """Spokes (or groups), from 0, that this moment passes behind."""
        return self._passed(moment, False)

    def _passed(self, moment: int, front: bool) -> list[int]:
        if moment in self.passes:
            return [p.spoke for p in self.passes[moment] if p.outside == front]
        space, spaces, over, under = (int(a[moment]) for a in (self.space, self.spaces, self.over, self.under))
        steps = range(over) if front else range(over, over + under)
        return [(space + step) % spaces for step in steps] if ACTS[self.act[moment]] == "stroke" else []

    def tail_behind(self, moment: int) -> tuple[int, bool]:
        """(the spoke or group, from 0, that a weaver ended in this moment lies behind; whether its last stroke went
        behind it already and has come out in front since)."""
        key = int(self.band[moment]), int(self.block[moment]), int(self.weaver[moment]), "stroke"
        stroke = self.by_weaver[key][-1]
        behind = bool(self.under[stroke] > 0)
        last = int(self.space[stroke] + self.over[stroke] + self.under[stroke] - 1)
        return (last if behind else last + 1) % int(self.spaces[moment]), behind

    @cached_property
    def by_weaver(self) -> dict[tuple[int, int, int, str], np.ndarray]:
        """Moments of every (band, block, weaver, act) of the basket itself, in order."""
        mine = np.flatnonzero((self.weaver >= 0) & (self.of < 0))
        order = mine[np.lexsort((mine, self.act[mine], self.weaver[mine], self.block[mine], self.band[mine]))]
        key = np.stack([self.band[order], self.block[order], self.weaver[order], self.act[order]], axis=1)
        cuts = np.flatnonzero(np.any(key[1:] != key[:-1], axis=1)) + 1
        groups = np.split(order, cuts) if len(order) else []
        return {
            (int(self.band[g[0]]), int(self.block[g[0]]), int(self.weaver[g[0]]), ACTS[self.act[g[0]]]): g
            for g in groups
        }

    @cached_property
    def by_end(self) -> dict[tuple[str, int], np.ndarray]:
        """Moments of every (act, end) of the basket itself: border, foot, turn, insert, hole, bye; and stick, for every
        end of the base."""
        out: dict[tuple[str, int], list[int]] = defaultdict(list)
        mine = ((self.end >= 0) | (self.act == ACTS.index("border"))) & (self.act != ACTS.index("add")) & (self.of < 0)
        for moment in np.flatnonzero(mine).tolist():
            act, end = ACTS[self.act[moment]], int(self.end[moment])
            for each in self.stick_ends[end] if act == "stick" else (end,):
                out[act, each].append(moment)
        return {key: np.array(found) for key, found in out.items()}


# Gathering ----------------------------------------------------------------------------------------------------


class Gathering:
    """Collects moments, a run of them at a time."""

    def __init__(self) -> None:
        self.added: list[tuple[int, int, dict]] = []  # first moment, how many, what is given of them
        self.parts: list[WorkPart] = []
        self.passes: dict[int, tuple[Pass, ...]] = {}
        self.rests: dict[int, str] = {}
        self.others: dict[str, Other] = {}
        self.arches: dict[tuple[int, int], Covered] = {}
        self.colours: dict[tuple[str, ...], int] = {}
        self.many = 0

    def open(self, key: str, band: int | None = None, **more) -> None:
        """A new part begins; the one before is kept only if it held anything."""
        self.close()
        self.parts.append(WorkPart(key, band, self.many, self.many, **more))

    def close(self) -> None:
        if self.parts:
            last = self.parts.pop()
            if self.many > last.first:
                self.parts.append(replace(last, beyond=self.many))

    def shade(self, colours: tuple[str, ...]) -> int:
        return self.colours.setdefault(colours, len(self.colours))

    def add(self, act: str, count: int, **given) -> None:
        """`count` moments; what is not given is -1 in all of them."""
        given["act"], given["part"] = ACTS.index(act), len(self.parts) - 1
        self.added.append((self.many, count, given))
        self.many += count

    def append_from(self, of: str, laid: Laid, order: Moments) -> None:
        """All moments of a foot or a lid, as they are."""
        self.close()
        shades = np.array([self.shade(colours) for colours in order.colours])
        given = {name: getattr(order, name) for name in (*_NUMBERS, "begin", "beyond")}
        given |= {"of": OTHERS.index(of), "part": order.part + len(self.parts)}
        given["colour"] = np.where(order.colour >= 0, shades[order.colour], -1)
        self.added.append((self.many, len(order), given))
        self.parts += [
            replace(part, first=part.first + self.many, beyond=part.beyond + self.many, of=of) for part in order.parts
        ]
        for name in ("passes", "rests"):
            getattr(self, name).update({self.many + at: each for at, each in getattr(order, name).items()})
        self.others[of] = Other(of, laid, order, self.many)
        self.many += len(order)

    def done(self, laid: Laid, stick_ends: tuple[tuple[int, ...], ...]) -> Moments:
        self.close()
        columns: dict[str, np.ndarray] = {name: np.full(self.many, -1, np.int32) for name in _NUMBERS}
        columns |= {name: np.zeros(self.many) for name in ("begin", "beyond")}
        for first, count, given in self.added:
            for name, value in given.items():
                columns[name][first : first + count] = value
        return Moments(**columns, parts=tuple(self.parts), colours=tuple(self.colours), passes=self.passes,
                       stick_ends=stick_ends, begun=_begun(laid, columns, stick_ends), rests=self.rests,
                       others=self.others, arches=self.arches)  # fmt: skip


def _begun(laid: Laid, columns: dict[str, np.ndarray], stick_ends) -> dict[str, tuple[int, ...]]:
    """The moment that sets up each of the ends that stand last, round the base and at the side."""
    own = np.flatnonzero((columns["of"] < 0) & np.isin(columns["act"], _SETS_UP))
    act, end, band = (columns[name][own].tolist() for name in ("act", "end", "band"))
    set_up: dict[tuple[str, int, int], int] = {}
    for moment, what, number, at in zip(own.tolist(), act, end, band, strict=True):
        for each in stick_ends[number] if ACTS[what] == "stick" else (number,):
            set_up.setdefault((ACTS[what], each, at), moment)
    out: dict[str, list[int]] = {"base": [], "side": []}
    for where, acts in (("base", ("stick",)), ("side", ("turn", "hole", "insert"))):
        for tier, numbers in ends_by_tier(laid, where):
            if tier:
                first = laid.design.tiers(where)[tier].first
                assert first is not None, "every tier but the lowest begins with a band"
                out[where].append(set_up["add", numbers[0], first])
                continue
            found = [set_up[what, numbers[0], -1] for what in acts if (what, numbers[0], -1) in set_up]
            # A mat's spokes are never turned up: they lie where their sticks lay.
            out[where] += found[:1] or out["base"][numbers[0] : numbers[0] + 1]
    return {where: tuple(found) for where, found in out.items()}
