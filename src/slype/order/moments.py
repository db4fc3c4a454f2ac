"""The whole order of work, moment by moment: every stroke of every weaver, every move of every end.

A moment is one thing the hands do: lay a stick, set a weaver in, make a stroke, turn an end up, lead an end of the
border. Moments come as arrays in order of work. Time is counted in moments done: moment i (from 0) goes on from time i
to i + 1, so at time t, a whole number, just the first t moments are done. `order.times` says when every point of every
reed is laid, `tell.moments` what a moment is in a sentence.

Strokes are read off the trace and moves of the border off its own order of work; nothing is worked out here again.
"""

from __future__ import annotations

import functools
import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from itertools import groupby
from types import MappingProxyType

import numpy as np

from ..borders.rows import Border
from ..borders.work import Pass, work
from ..design.values import Design
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.feet import lay_foot
from ..lay.lids import lid_laid
from ..lay.values import BandLaid, Laid
from ..surface.added_ends import ends_by_tier
from ..surface.crosses import arm_of, pairs_of
from ..surface.oval_sticks import on_long_stick
from ..surface.sticks import base_sticks
from ..weave.trace import Trace
from .course import BESIDE, Job, fitting, making, making_of_foot
from .kinds import Covered, Gathering, Moments


def moments(laid: Laid) -> Moments:
    """The whole order of work of a basket: from the first stick to the trimmed border, then its foot, its handles, and
    its lid from the lid's own first stick until it is set on.
    """
    bench = Gathering()
    sticks = () if laid.design.base.is_board else tuple(sticks_in_order(laid))
    _work(bench, laid, making(laid))
    _work(bench, laid, (job for job in fitting(laid) if not job.of))  # a lid's own jobs come before it is set on
    return bench.done(laid, sticks)


def _work(bench: Gathering, laid: Laid, jobs: Iterable[Job]) -> None:
    for job in jobs:
        if job.key not in BESIDE:
            DOES[job.key](bench, laid, job)


def _board(bench: Gathering, laid: Laid, _job: Job) -> None:
    design, every = laid.design, np.arange(laid.design.foot_ends)
    bench.open("board")
    bench.add("hole", len(every), end=every, colour=bench.shade((design.spokes.colour,)))
    if design.base.foot is not None:
        _border(bench, design, design.base.foot, "foot", len(every))


def _cross(bench: Gathering, laid: Laid, _job: Job) -> None:
    every = np.arange(len(sticks_in_order(laid)))
    bench.open("cross")
    bench.add("stick", len(every), end=every, colour=bench.shade((laid.design.spokes.colour,)))


def _every_end(bench: Gathering, laid: Laid, job: Job) -> None:
    """Every end of the side is pushed in, or turned up."""
    every = np.arange(laid.design.foot_ends)
    bench.open(job.key)
    bench.add(job.key, len(every), end=every, colour=bench.shade((laid.design.spokes.colour,)))


def _rim(bench: Gathering, laid: Laid, _job: Job) -> None:
    bench.open("border")
    _border(bench, laid.design, laid.design.border, "border", laid.design.top_ends)


def _once(bench: Gathering, _laid: Laid, job: Job) -> None:
    """What is done at once: all tips are trimmed."""
    bench.open(job.key)
    bench.add(job.key, 1)


def _under(bench: Gathering, laid: Laid, _job: Job) -> None:
    """A foot below a woven base."""
    foot = lay_foot(laid)
    assert foot is not None, "it has this job"
    alone = Gathering()
    _work(alone, foot.laid, making_of_foot(foot.laid))
    bench.append_from("foot", foot.laid, alone.done(foot.laid, ()))


def _handle(bench: Gathering, laid: Laid, job: Job) -> None:
    each = next(one for one in lay_handles(laid) if one.index == job.row)
    bench.open("handle", row=each.index)
    for arch, spokes in enumerate(each.feet(laid.design.top_ends)):
        bench.arches[each.index, arch] = _arch(bench, each, arch, spokes)


def _fit(bench: Gathering, laid: Laid, job: Job) -> None:
    """A lid is woven and set on."""
    lid = lid_laid(laid)
    assert lid is not None, "it has this job"
    bench.append_from("lid", lid, moments(lid))
    _once(bench, laid, job)


def _arch(bench: Gathering, each: HandleLaid, arch: int, spokes: tuple[int, int]) -> Covered:
    """One arch of a handle: its feet pushed in, and what covers it; a rope without a core is twisted in between."""
    handle, begun, (one, other) = each.handle, bench.many, spokes
    turns = each.turns if each.twist is None else max(1, math.ceil(each.arch_mm / each.twist.turn_mm - 1e-9))
    rope = each.twist is not None and handle.core is None
    rods = each.twist is not None and handle.core is not None
    own = {"row": each.index, "block": arch, "colour": bench.shade((handle.colour,))}
    bench.add("push in", 1, **own, end=one)
    if not rope:
        bench.add("push in", 1, **own, end=other)
    if rods:
        bench.add("rods", 1, **own, end=one)
    wrap = bench.many
    bench.add("wrap", turns, **own, stroke=np.arange(turns), strokes=turns)
    if rope:
        bench.add("push in", 1, **own, end=other)
    elif turns:
        bench.add("fasten", 1, **own, end=other)
    last = bench.many - 1
    return Covered(one, (begun, last if rope else begun + 1), begun + 2 if rods else -1, wrap, turns,
                   last if turns and not rope else -1)  # fmt: skip


def sticks_in_order(laid: Laid) -> list[tuple[int, ...]]:
    """The base ends that belong to each stick, from 0, in the order sticks are laid: the lower ones, those across them,
    and last a half one, which has a single end."""
    if not laid.design.form.is_round:
        return _oval_sticks(laid)
    arms, pairs = laid.design.arms, pairs_of(laid.design.arms)
    # The lower sticks are those of the arms that an odd end does not lie in (see `values.arms`).
    lower = 1 if sum(arms) % 2 else 0
    whole = [each for each in pairs if len(each) == 2]
    whole.sort(key=lambda ends: bool(arm_of(np.array(ends[0]), arms) % 2 != lower))
    return whole + [each for each in pairs if len(each) == 1]


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
    standing = zip(base_sticks(laid)[::beside], ends_by_tier(laid, "base"), strict=True)
    tips = np.array([knots[-1] for knots, (tier, _) in standing if tier == 0])  # what is added is no stick
    is_long = on_long_stick(laid)
    out: list[tuple[int, ...]] = []
    for chosen, side, along in ((is_long, 0, 1), (~is_long, 1, 0)):
        ends = np.flatnonzero(chosen)
        ends = ends[np.argsort(tips[ends, along], kind="stable")]
        one, other = ends[tips[ends, side] < 0].tolist(), ends[tips[ends, side] >= 0].tolist()
        paired = list(zip(one, other, strict=False))
        out += [*paired, *((end,) for end in one[len(paired) :] + other[len(paired) :])]
    return out


def _add(bench: Gathering, laid: Laid, job: Job) -> None:
    """Ends are pushed in before a band, in the direction of work."""
    design, band = laid.design, _band_of(laid, job)
    added = np.flatnonzero(design.tiers(band.band.where)[band.tier].new)
    bench.open("add", band.index)
    bench.add("add", len(added), band=band.index, end=added, colour=bench.shade((design.spokes.colour,)))


def _bye(bench: Gathering, laid: Laid, job: Job) -> None:
    """Bye-spokes are pushed in before a band."""
    band, spokes = _band_of(laid, job), laid.design.bye_spokes
    assert spokes is not None, "it has this job"
    bench.open("bye", band.index)
    bench.add("bye", band.ends, band=band.index, end=np.arange(band.ends), colour=bench.shade((spokes.colour,)))


def _band_of(laid: Laid, job: Job) -> BandLaid:
    return next(band for band in laid.bands if band.index == job.band)


def _band(bench: Gathering, laid: Laid, job: Job) -> None:
    """Set in, every stroke, and end; weavers that go on from the band before are neither ended nor set in between."""
    band = _band_of(laid, job)
    bench.open(band.band.where, band.index)
    shades = np.array([bench.shade(colours) for colours in band.colours])
    segments = band.traces()
    for block, (first, t) in enumerate(segments):
        weavers = np.arange(t.weavers)
        own = {"band": band.index, "block": block, "spaces": band.spaces}
        if job.begins or block:
            bench.add("set in", t.weavers, **own, weaver=weavers, row=first, space=(t.start + weavers) % t.ends,
                      colour=shades)  # fmt: skip
        _strokes(bench, laid, band, t, first, own, shades)
        if job.ends or block + 1 < len(segments):
            last = np.flatnonzero(t.next_on_weaver < 0)
            last = last[np.argsort(t.weaver[last])]
            bench.add("end", t.weavers, **own, weaver=weavers, row=first + t.rows - 1,
                      space=(t.spoke[last] + 1) % t.ends, colour=shades)  # fmt: skip


def _strokes(bench: Gathering, laid: Laid, band: BandLaid, t: Trace, first: int, own: dict, shades: np.ndarray) -> None:
    """Every stroke of one trace."""
    begins = np.flatnonzero(np.r_[True, t.stroke[1:] != t.stroke[:-1]])
    length = np.diff(np.r_[begins, len(t.stroke)])
    over = np.add.reduceat(t.front.astype(np.int32), begins)
    at = t.trip[begins] * t.ends + t.spoke[begins]
    edges = np.r_[0, np.cumsum(band.sizes)]
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


def _border(bench: Gathering, design: Design, border: Border, act: str, ends: int) -> None:
    """Every move of every end, as the border's own order of work has them."""
    moves, rests, given = _moves(border, ends)
    bench.passes.update(enumerate(moves, bench.many))
    bench.rests.update(enumerate(rests, bench.many))
    bench.add(act, len(moves), spaces=ends, colour=bench.shade((design.spokes.colour,)), **given)


@functools.lru_cache(maxsize=16)
def _moves(border: Border, ends: int) -> tuple[tuple[tuple[Pass, ...], ...], tuple[str, ...], Mapping[str, tuple]]:
    """(passes of every move of a border, where each rests, what `Moments` say of it); remembered, as most changes leave
    a border alone."""
    worked = work(border, ends)
    moves = [tuple(run) for _, run in groupby(worked.passes, key=lambda p: (p.end, p.stage))]
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
    rests = tuple(worked.finishes.get((move[0].end, move[0].stage), "") for move in moves)
    return tuple(moves), rests, MappingProxyType({name: tuple(values) for name, values in given.items()})


DOES: Mapping[str, Callable[[Gathering, Laid, Job], None]] = MappingProxyType({
    "board": _board, "cross": _cross, "insert": _every_end, "turn": _every_end, "add": _add, "bye": _bye, "base": _band,
    "side": _band, "border": _rim, "trim": _once, "foot": _under, "handle": _handle, "fit": _fit,
})  # fmt: skip
"""What moments each job of the course is made of."""
