"""The whole order of work, moment by moment: every stroke of every weaver, every move of every end. Level 6.

A moment is one thing the hands do: lay a stick, set a weaver in, make a stroke, turn an end up, lead an end of the
border. Moments come as arrays in order of work. Time is counted in moments done: moment i (from 0) goes on from time i
to i + 1, so at time t, a whole number, just the first t moments are done. `moment_times` says when every point of every
reed is laid, `moment_words` what a moment is in a sentence.

Strokes are read off the trace and moves of the border off its own order of work; nothing is worked out here again.
"""

from __future__ import annotations

import functools
from collections import Counter, defaultdict
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

import numpy as np

from .border import Border
from .border_work import Pass, work
from .courses import goes_on
from .design import Design, group_sizes
from .lay import BandLaid, Laid
from .opening import born
from .paths import base_sticks, on_long_stick
from .strokes import Trace

ACTS = ("stick", "hole", "foot", "set in", "stroke", "end", "insert", "turn", "border", "trim", "add", "bye")
"""What a moment can be. "stick": a stick of the base is laid; "hole": a spoke is pushed through its hole of a board;
"foot", "border": an end is led on; "set in", "end": a weaver begins or ends; "insert": a side spoke is pushed in;
"turn": an end is turned up; "add", "bye": one more end, or a bye-spoke, is pushed in before a band; "trim": all tips
are trimmed."""
PARTS = ("cross", "board", "base", "insert", "turn", "add", "bye", "side", "border", "trim")
_SETS_UP = [ACTS.index(act) for act in ("stick", "hole", "insert", "turn", "add")]
_NUMBERS = "act part band block weaver row stroke strokes end space spaces over under colour".split()


@dataclass(frozen=True)
class Part:
    """A stretch of the work: `key` one of PARTS, the `band` it weaves or is pushed in for (from 0; None where none),
    its `first` moment and the moment `beyond` its last, counted from 0."""

    key: str
    band: int | None
    first: int
    beyond: int


@dataclass(frozen=True, eq=False)
class Moments:
    """All moments in order of work. Arrays (moments,), -1 where a moment has none of a thing; all count from 0.

    `act` in ACTS; `part` in `parts`; `band`; `block`: which setting-in of the band; `weaver` of that setting-in; `row`
    of the band; `stroke` within the row, of `strokes`; `end`: which spoke, stick, or end of the border (of a border's
    extra reed -1 and below); `space` a weaver comes from, of `spaces` round; `over`, `under`: spokes (or groups) passed
    in front and behind; `colour` in `colours`, each the colours of a weaver's strands from the bottom up.

    `begin`, `beyond` (moments,): where a stroke or a move begins and ends, single ends round without a jump, as `u` of
    `curves.Curve`, or its `place` where ends are added later. `passes` of a border's or foot's moment; `stick_ends` the
    ends of each stick in the order they are laid. Where ends are added an `end` has its number among those that stand
    then; `begun` (moment for each end that stands last, of "base" and "side") says which moment sets it up.
    """

    act: np.ndarray
    part: np.ndarray
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
    parts: tuple[Part, ...]
    colours: tuple[tuple[str, ...], ...]
    passes: dict[int, tuple[Pass, ...]]
    stick_ends: tuple[tuple[int, ...], ...]
    begun: dict[str, tuple[int, ...]]

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

    @cached_property
    def by_weaver(self) -> dict[tuple[int, int, int, str], np.ndarray]:
        """Moments of every (band, block, weaver, act), in order."""
        mine = np.flatnonzero(self.weaver >= 0)
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
        """Moments of every (act, end): border, foot, turn, insert, hole, bye; and stick, for every end of the base."""
        out: dict[tuple[str, int], list[int]] = defaultdict(list)
        mine = ((self.end >= 0) | (self.act == ACTS.index("border"))) & (self.act != ACTS.index("add"))
        for moment in np.flatnonzero(mine).tolist():
            act, end = ACTS[self.act[moment]], int(self.end[moment])
            for each in self.stick_ends[end] if act == "stick" else (end,):
                out[act, each].append(moment)
        return {key: np.array(found) for key, found in out.items()}


# Building ------------------------------------------------------------------------------------------------------


class _Bench:
    """Collects moments, a run of them at a time."""

    def __init__(self) -> None:
        self.added: list[tuple[int, int, dict]] = []  # first moment, how many, what is given of them
        self.parts: list[Part] = []
        self.passes: dict[int, tuple[Pass, ...]] = {}
        self.colours: dict[tuple[str, ...], int] = {}
        self.many = 0

    def open(self, key: str, band: int | None = None) -> None:
        """A new part begins; the one before is kept only if it held anything."""
        self.close()
        self.parts.append(Part(key, band, self.many, self.many))

    def close(self) -> None:
        if self.parts:
            last = self.parts.pop()
            if self.many > last.first:
                self.parts.append(Part(last.key, last.band, last.first, self.many))

    def shade(self, colours: tuple[str, ...]) -> int:
        return self.colours.setdefault(colours, len(self.colours))

    def add(self, act: str, count: int, **given) -> None:
        """`count` moments; what is not given is -1 in all of them."""
        given["act"], given["part"] = ACTS.index(act), len(self.parts) - 1
        self.added.append((self.many, count, given))
        self.many += count

    def done(self, laid: Laid, stick_ends: tuple[tuple[int, ...], ...]) -> Moments:
        self.close()
        columns = {name: np.full(self.many, -1, np.int32) for name in _NUMBERS}
        columns |= {name: np.zeros(self.many) for name in ("begin", "beyond")}
        for first, count, given in self.added:
            for name, value in given.items():
                columns[name][first : first + count] = value
        return Moments(**columns, parts=tuple(self.parts), colours=tuple(self.colours), passes=self.passes,
                       stick_ends=stick_ends, begun=_begun(laid, columns, stick_ends))  # fmt: skip


def _begun(laid: Laid, columns: dict[str, np.ndarray], stick_ends) -> dict[str, tuple[int, ...]]:
    """The moment that sets up each of the ends that stand last, round the base and at the side."""
    act, end, band = (columns[name].tolist() for name in ("act", "end", "band"))
    set_up: dict[tuple[str, int, int], int] = {}
    for moment in np.flatnonzero(np.isin(columns["act"], _SETS_UP)).tolist():
        what = ACTS[act[moment]]
        for each in stick_ends[end[moment]] if what == "stick" else (end[moment],):
            set_up.setdefault((what, each, band[moment]), moment)
    out: dict[str, list[int]] = {"base": [], "side": []}
    for where, acts in (("base", ("stick",)), ("side", ("turn", "hole", "insert"))):
        for tier, numbers in born(laid, where):
            if tier:
                out[where].append(set_up["add", numbers[0], laid.design.tiers(where)[tier].first])
                continue
            found = [set_up[what, numbers[0], -1] for what in acts if (what, numbers[0], -1) in set_up]
            # A mat's spokes are never turned up: they lie where their sticks lay.
            out[where] += found[:1] or out["base"][numbers[0] : numbers[0] + 1]
    return {where: tuple(found) for where, found in out.items()}


def moments(laid: Laid) -> Moments:
    """The whole order of work of a basket, from the first stick to the trimmed border.

    Handles, lids and the foot of a woven base are left out.
    """
    bench, design = _Bench(), laid.design
    spokes, spoke_colour = design.spokes, (design.spokes.colour,)
    every = np.arange(design.foot_ends)
    sticks = () if design.base.is_board else tuple(sticks_in_order(laid))
    if design.base.is_board:
        bench.open("board")
        bench.add("hole", len(every), end=every, colour=bench.shade(spoke_colour))
        if design.base.foot is not None:
            _border(bench, design, design.base.foot, "foot", len(every))
    else:
        bench.open("cross")
        bench.add("stick", len(sticks), end=np.arange(len(sticks)), colour=bench.shade(spoke_colour))
    for band in laid.base:
        _band(bench, laid, band)
    if spokes.inserted:  # a mat's border needs its side spokes too
        bench.open("insert")
        bench.add("insert", len(every), end=every, colour=bench.shade(spoke_colour))
    if laid.side and not design.base.is_board:
        bench.open("turn")
        bench.add("turn", len(every), end=every, colour=bench.shade(spoke_colour))
    for band in laid.side:
        _band(bench, laid, band)
    bench.open("border")
    _border(bench, design, design.border, "border", design.top_ends)
    bench.open("trim")
    bench.add("trim", 1)
    return bench.done(laid, sticks)


def sticks_in_order(laid: Laid) -> list[tuple[int, ...]]:
    """The base ends that belong to each stick, from 0, in the order sticks are laid: the lower ones, those across them,
    and last a half one, which has a single end."""
    if not laid.design.form.is_round:
        return _oval_sticks(laid)
    arms = laid.design.arms
    first = np.r_[0, np.cumsum(arms)].tolist()
    # The lower sticks are those of the arms that an odd end does not lie in (see `design.arms`).
    lower = 1 if sum(arms) % 2 else 0
    whole, half = [], []
    for arm in (lower, 1 - lower):
        here, there = list(range(first[arm], first[arm + 1])), list(range(first[arm + 2], first[arm + 3]))
        # Round the ring the far ends of neighbouring sticks follow each other the other way.
        whole += list(zip(here, reversed(there), strict=False))
        half += [(end,) for end in here[len(there) :]]
    return whole + half


def laid_first(laid: Laid) -> int:
    """How many sticks are laid one way before the others come across them."""
    if not laid.design.form.is_round:
        return int(on_long_stick(laid).sum()) // 2
    arms = laid.design.arms
    return arms[1 if sum(arms) % 2 else 0]


def _oval_sticks(laid: Laid) -> list[tuple[int, ...]]:
    """Long sticks of an oval base, then those across."""
    spokes = laid.design.spokes
    beside = 1 if spokes.inserted else spokes.per_end
    standing = zip(base_sticks(laid)[::beside], born(laid, "base"), strict=True)
    tips = np.array([knots[-1] for knots, (tier, _) in standing if tier == 0])  # what is added is no stick
    is_long = on_long_stick(laid)
    out = []
    for chosen, side, along in ((is_long, 0, 1), (~is_long, 1, 0)):
        ends = np.flatnonzero(chosen)
        ends = ends[np.argsort(tips[ends, along], kind="stable")]
        one, other = ends[tips[ends, side] < 0].tolist(), ends[tips[ends, side] >= 0].tolist()
        paired = list(zip(one, other, strict=False))
        out += paired + [(end,) for end in one[len(paired) :] + other[len(paired) :]]
    return out


def _pushed_in(bench: _Bench, laid: Laid, band: BandLaid) -> None:
    """The ends and bye-spokes that are pushed in before a band, in the direction of work."""
    design = laid.design
    if band.band.add:
        added = np.flatnonzero(design.tiers(band.band.where)[band.tier].new)
        bench.open("add", band.index)
        bench.add("add", len(added), band=band.index, end=added, colour=bench.shade((design.spokes.colour,)))
    if design.bye is not None and design.bye.first == band.index:
        bench.open("bye", band.index)
        every = np.arange(band.ends)
        bench.add("bye", len(every), band=band.index, end=every, colour=bench.shade((design.bye.colour,)))


def _band(bench: _Bench, laid: Laid, band: BandLaid) -> None:
    """Set in, every stroke, and end; weavers that go on from the band before are neither ended nor set in between."""
    at = laid.bands.index(band)
    from_before = at > 0 and goes_on(laid.bands[at - 1], band)
    into_next = at + 1 < len(laid.bands) and goes_on(band, laid.bands[at + 1])
    _pushed_in(bench, laid, band)
    bench.open(band.band.where, band.index)
    shades = np.array([bench.shade(colours) for colours in band.colours])
    segments = band.traces()
    for block, (first, t) in enumerate(segments):
        weavers = np.arange(t.weavers)
        own = {"band": band.index, "block": block, "spaces": band.spaces}
        if not (from_before and block == 0):
            bench.add("set in", t.weavers, **own, weaver=weavers, row=first, space=(t.start + weavers) % t.ends,
                      colour=shades)  # fmt: skip
        _strokes(bench, laid, band, t, first, own, shades)
        if not (into_next and block + 1 == len(segments)):
            last = np.flatnonzero(t.next_on_weaver < 0)
            last = last[np.argsort(t.weaver[last])]
            bench.add("end", t.weavers, **own, weaver=weavers, row=first + t.rows - 1,
                      space=(t.spoke[last] + 1) % t.ends, colour=shades)  # fmt: skip


def _strokes(bench: _Bench, laid: Laid, band: BandLaid, t: Trace, first: int, own: dict, shades: np.ndarray) -> None:
    """Every stroke of one trace."""
    begins = np.flatnonzero(np.r_[True, t.stroke[1:] != t.stroke[:-1]])
    length = np.diff(np.r_[begins, len(t.stroke)])
    over = np.add.reduceat(t.front.astype(np.int32), begins)
    at = t.trip[begins] * t.ends + t.spoke[begins]
    edges = np.r_[0, np.cumsum(group_sizes(band.ends, band.band.group))]
    row = t.row[begins]
    in_row = np.bincount(row, minlength=t.rows)
    nth = np.arange(len(row)) - (np.cumsum(in_row) - in_row)[row]
    weaver = t.weaver[begins]
    bench.add(
        "stroke", len(begins), **own, weaver=weaver, row=first + row, stroke=nth, strokes=in_row[row],
        space=t.spoke[begins], over=over, under=length - over, colour=shades[weaver],
        begin=_in_ends(edges, at), beyond=_in_ends(edges, at + length),
    )  # fmt: skip


def _in_ends(edges: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Spaces between groups, counted on without a jump, in single ends."""
    whole, part = np.divmod(at, len(edges) - 1)
    return (whole * edges[-1] + edges[part]).astype(float)


def _border(bench: _Bench, design: Design, border: Border, act: str, ends: int) -> None:
    """Every move of every end, as the border's own order of work has them."""
    moves, given = _moves(border, ends)
    bench.passes |= enumerate(moves, bench.many)
    bench.add(act, len(moves), spaces=ends, colour=bench.shade((design.spokes.colour,)), **given)


@functools.lru_cache(maxsize=16)
def _moves(border: Border, ends: int) -> tuple[list[tuple[Pass, ...]], dict[str, list]]:
    """(passes of every move of a border, what `Moments` say of each); remembered, as most changes leave it alone."""
    moves = [tuple(run) for _, run in groupby(work(border, ends).passes, key=lambda p: (p.end, p.stage))]
    many = Counter(move[0].stage for move in moves)
    begun: set[int] = set()
    rows: Counter[int] = Counter()
    given: dict[str, list] = defaultdict(list)
    for move in moves:
        p, q = move[0], move[-1]
        home = p.end if p.end >= 0 else p.spoke - p.step  # an extra reed belongs to the spoke it stands beside
        one = {
            "end": p.end, "row": p.stage, "stroke": rows[p.stage], "strokes": many[p.stage], "space": p.spoke,
            "over": sum(each.outside for each in move), "under": sum(not each.outside for each in move),
            # An end leaves its own spoke half a space before the first space that it comes to.
            "begin": home + (p.step if p.end in begun else 0.5), "beyond": home + q.step + 1,
        }  # fmt: skip
        for name, value in one.items():
            given[name].append(value)
        begun.add(p.end)
        rows[p.stage] += 1
    return moves, dict(given)
