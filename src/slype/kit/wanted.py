"""What all kits together ask of one reed: pieces of fixed length, and weavers that may be pieced in several ways.

What stands is cut to one length. A weaver is a total: from strands of another length it is pieced anew, by the same
rule that plans joins anywhere (`lay.joins`), the weavers of one course together so that their joins keep apart.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TypeVar

from ..lay.courses import Course
from ..lay.joins import Cut, Join, JoinPlan, meeting, plan_course
from ..plans.bundles import MOST_LENGTHS, WEAVER_STEP_MM, Bundle, bundle_of_piece
from ..plans.piece import round_up
from ..plans.planning import Plan
from ..reeds import Reed
from .seats import Basket, Kit

T = TypeVar("T")
MOST_WAYS = 3
"""Ways to piece one course that are tried."""

Lengths = tuple[tuple[float, str, int, int], ...]
"""(length mm, colour, number of its bundle, count): what one way cuts, the longest first."""


Weaver = tuple[int, tuple[str, ...], tuple[float, ...]]
"""(weaver from 0, its colours, lengths to cut in order of use)."""


Said = tuple[int, float, tuple[Weaver, ...], float | None]
"""What is said of one way: (joins, its shortest piece mm, its weavers, how long the reeds are that it comes from)."""


@dataclass(frozen=True, eq=False)
class Fixed:
    """`count` pieces of `length_mm` in one colour for the `bundle` of a basket, in every kit of its seats."""

    basket: Basket
    bundle: Bundle
    length_mm: float
    colour: str
    count: int


@dataclass(frozen=True, eq=False)
class Pieced:
    """Weavers of one course of a basket, in every kit of its seats: one of the `ways` each. `joins[i]` how many joins
    way i has, `shortest_mm[i]` its shortest piece, `weavers[i]` its weavers as (weaver from 0, colours, lengths to cut
    in order of use), `pulls_mm[i]` how long the reeds are that it comes from (None: as the design says). The first way
    is the one that the design's own join plan asks. `nth` is its number among the courses of basket or lid; `good[i]`
    whether way i is kind to whoever weaves it: no join more than must be, and none beside another."""

    basket: Basket
    course: Course
    ways: tuple[Lengths, ...]
    joins: tuple[int, ...]
    shortest_mm: tuple[float, ...]
    weavers: tuple[tuple[Weaver, ...], ...]
    pulls_mm: tuple[float | None, ...]
    nth: int
    good: tuple[bool, ...]
    lid: bool = False

    def only(self, *ways: int) -> Pieced:
        """The same with these of its ways alone."""

        def some(all_of_them: tuple[T, ...]) -> tuple[T, ...]:
            return tuple(all_of_them[way] for way in ways)

        return replace(
            self, ways=some(self.ways), joins=some(self.joins), shortest_mm=some(self.shortest_mm),
            weavers=some(self.weavers), pulls_mm=some(self.pulls_mm), good=some(self.good),
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Wanted:
    """Everything wanted of one reed."""

    reed: Reed
    fixed: tuple[Fixed, ...]
    pieced: tuple[Pieced, ...]


def wanted(
    kits: tuple[Kit, ...],
    strands_mm: dict[tuple[str, float], tuple[float, ...]],
    least_mm: float,
    join_more: bool = False,
) -> list[Wanted]:
    """What all kits ask, reed by reed, the thickest first; `strands_mm` the lengths that each reed comes in, that
    of bought strands first: any number of them can be had, so every weaver can be cut from them. With
    `join_more` also weavers that one strand is enough for may be joined, where that saves reed."""
    fixed: dict[tuple[str, float], list[Fixed]] = {}
    pieced: dict[tuple[str, float], list[Pieced]] = {}
    reeds: dict[tuple[str, float], Reed] = {}
    for basket in {id(kit.basket): kit.basket for kit in kits}.values():
        for plan, lid in ((basket.plan, False), (basket.plan.lid, True)):
            if plan is None:
                continue
            for piece in plan.pieces:
                bundle = bundle_of_piece(basket.bundles, piece)
                key = key_of(piece.reed)
                reeds[key] = piece.reed
                fixed.setdefault(key, []).append(Fixed(basket, bundle, piece.cut_mm, piece.colour, piece.count))
            for nth, course in enumerate(plan.courses):
                reed = course.begins.band.reed
                key = key_of(reed)
                reeds[key] = reed
                some = _pieced(basket, plan, lid, nth, strands_mm.get(key, (reed.strand_mm,)), least_mm, join_more)
                pieced.setdefault(key, []).append(some)
    order = sorted(reeds, key=lambda key: (-key[1], key[0]))
    return [Wanted(reeds[key], tuple(fixed.get(key, ())), tuple(pieced.get(key, ()))) for key in order]


def key_of(reed: Reed) -> tuple[str, float]:
    """What tells reeds apart: their name, and their thickness where they have none."""
    return reed.key, reed.diameter_mm


def _pieced(
    basket: Basket, plan: Plan, lid: bool, nth: int, strands: tuple[float, ...], least_mm: float, join_more: bool
) -> Pieced:
    course, own = _cut_alike(plan, nth)
    found = {each.colour: each.number for each in _bundles(basket, plan.courses[nth], lid)}
    step = WEAVER_STEP_MM[plan.design.units]
    kept = _that_can_be_cut(course, own, found, step, strands, least_mm, join_more)
    endless = strands[0]
    good = _good(course, kept, endless, join_more)
    sure = [way for way in [*good, *kept] if _endless(way, endless)][:1]  # a kind one, where there is any
    chosen = dict.fromkeys([*list(kept)[: MOST_WAYS - 1], *sure, *good[:1], *list(kept)[:MOST_WAYS]])
    said = [kept[way] for way in chosen]
    return Pieced(
        basket, course, tuple(chosen), tuple(each[0] for each in said), tuple(each[1] for each in said),
        tuple(each[2] for each in said), tuple(each[3] for each in said), nth,
        tuple(way in good for way in chosen), lid,
    )  # fmt: skip


def _cut_alike(plan: Plan, nth: int) -> tuple[Course, tuple[Cut, ...]]:
    """The course of that number and what the plan cuts for it; of a band with more starts than `plans.bundles` gives
    lengths to, all starts are cut like the longest."""
    course = plan.courses[nth]
    alike = [other for other in plan.courses if other.bands[0] == course.bands[0]]
    if len(alike) <= MOST_LENGTHS:
        return course, tuple(cut for cut in plan.cuts if cut.course is course)
    each = [tuple(cut for cut in plan.cuts if cut.course is other) for other in alike]
    longest = max(each, key=lambda cuts: max(cut.length_mm for cut in cuts))
    return longest[0].course, longest


def _endless(way: Lengths, endless: float) -> bool:
    """True where all of a way comes from bought strands, of which any number can be had."""
    return way[0][0] <= endless + 1e-6


def _that_can_be_cut(
    course: Course, own: tuple[Cut, ...], bundle: dict[str, int], step: float, strands: tuple[float, ...],
    least_mm: float, join_more: bool,
) -> dict[Lengths, Said]:  # fmt: skip
    """Ways to piece a course from what there is, the design's own first. No piece is shorter than `least_mm`, but where
    nothing else can be cut; and one way at least does not depend on how many long strands there are."""
    endless, longest = strands[0], max(strands)
    ways = _ways([(None, own)], bundle, step)
    ((way, (joins, *_)),) = ways.items()
    if join_more or joins or not _endless(way, endless):  # one that is enough stays whole: a join takes a learner time
        from_strands = [endless, *(mm for mm in _from_strands(course, strands) if mm != endless)]
        ways |= _ways([(mm, _pieced_from(course, mm)) for mm in from_strands], bundle, step)
    fit = {way: said for way, said in ways.items() if way[0][0] <= longest + 1e-6}
    kept = {way: said for way, said in fit.items() if said[0] == 0 or said[1] >= least_mm - 1e-6}
    shorter: dict[Lengths, Said] | None = None
    if not kept:  # shorter strands than there are put the joins elsewhere
        shorter = _ways(_from_shorter(course, endless, step), bundle, step)
        more = shorter | fit
        kept = {way: said for way, said in more.items() if said[1] >= least_mm - 1e-6}
        # Where no way keeps to the least, the one whose shortest piece is longest comes nearest.
        kept = kept or dict([max(more.items(), key=lambda item: item[1][1])] if more else list(ways.items())[:1])
    if not any(_endless(way, endless) for way in kept):
        kept |= _ways([(endless, _pieced_from(course, endless))], bundle, step)
    if all(_meeting(course, said[3]) for way, said in kept.items() if _endless(way, endless)):
        # A hand's breadth less of every strand often moves joins apart that would lie beside each other.
        shorter = _ways(_from_shorter(course, endless, step), bundle, step) if shorter is None else shorter
        kept |= {way: said for way, said in shorter.items() if said[1] >= least_mm - 1e-6}
    return kept


def _good(course: Course, ways: dict[Lengths, Said], endless: float, join_more: bool) -> list[Lengths]:
    """Ways that are kind to whoever weaves them, of which one at least does not depend on long strands: no joins that
    meet, which make a thick, weak place, and no join more than must be, for every one takes a learner time."""

    def sure(some: list[Lengths]) -> bool:
        return any(_endless(way, endless) for way in some)

    calm = [way for way, said in ways.items() if not _meeting(course, said[3])]
    good = calm if sure(calm) else list(ways)
    fewest = min((ways[way][0] for way in good if _endless(way, endless)), default=0)
    few = [way for way in good if join_more or ways[way][0] <= fewest]
    return few if sure(few) else good


def _meeting(course: Course, pull_mm: float | None) -> int:
    """Pairs of joins that meet where a course comes from reeds of that length (None: as the design says)."""
    by_band: dict[int, list[Join]] = {}
    for join in plan_course(course, course.usable_mm if pull_mm is None else pull_mm)[0]:
        by_band.setdefault(join.band, []).append(join)
    bands = {each.band.index: each.band for each in course.segments}
    return sum(len(meeting(JoinPlan(tuple(joins), ()), bands[band])) for band, joins in by_band.items())


def _bundles(basket: Basket, course: Course, lid: bool) -> list[Bundle]:
    first = course.bands[0]
    return [each for each in basket.bundles if each.bands and each.lid is lid and each.bands[0] == first]


SHARES = (0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.6, 0.5)
"""Shares of a strand from which a course is pieced where whole ones leave a piece that is too short, or joins that
meet."""


def _from_strands(course: Course, strands: tuple[float, ...]) -> list[float]:
    """Lengths of strand to piece a course from."""
    return [] if course.weaver_mm <= min(strands) else sorted(set(strands), reverse=True)


def _from_shorter(course: Course, strand_mm: float, step: float) -> list[tuple[float | None, tuple[Cut, ...]]]:
    """What a course is cut into from shares of a strand, each a whole number of steps, so that it can be measured."""
    lengths = dict.fromkeys(max(1, int(strand_mm * share / step + 1e-9)) * step for share in SHARES)
    return [(mm, _pieced_from(course, mm)) for mm in lengths]


def _pieced_from(course: Course, strand_mm: float) -> tuple[Cut, ...]:
    return tuple(plan_course(course, strand_mm)[1])


def _ways(
    tried: list[tuple[float | None, tuple[Cut, ...]]], bundle: dict[str, int], step: float
) -> dict[Lengths, Said]:
    """Each way once, with its count of joins, its shortest piece, its weavers, and the reeds it comes from."""
    out: dict[Lengths, Said] = {}
    for pull_mm, cuts in tried:
        lengths = _lengths(cuts, bundle, step, pull_mm)
        weavers = tuple(
            (cut.weaver, cut.course.begins.colours[cut.weaver],
             tuple(_as_cut(mm, step, pull_mm) for mm in cut.pieces_mm))
            for cut in cuts
        )
        begun = 1 if cuts[0].course.folded else len(cuts)  # a folded length begins both
        joins = sum(len(cut.pieces_mm) for cut in cuts) - begun
        out.setdefault(lengths, (joins, min(mm for mm, *_ in lengths), weavers, pull_mm))
    return out


def _as_cut(mm: float, step: float, strand_mm: float | None) -> float:
    """A piece rounded up to a whole step; one that takes all of a strand is as long as that, and no longer."""
    up = round_up(mm, step)
    return up if strand_mm is None or mm > strand_mm + 1e-6 else min(up, strand_mm)


def _lengths(cuts: tuple[Cut, ...], bundle: dict[str, int], step: float, strand_mm: float | None) -> Lengths:
    out: Counter[tuple[float, str]] = Counter()
    for cut in cuts:
        for colour in cut.course.begins.colours[cut.weaver]:
            for mm in cut.pieces_mm:
                out[_as_cut(mm, step, strand_mm), colour] += 1
    return tuple((mm, colour, bundle[colour], many) for (mm, colour), many in sorted(out.items(), reverse=True))
