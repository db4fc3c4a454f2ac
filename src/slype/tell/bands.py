"""One band of weaving as lines of a handout: set in, stroke, colours, starts, rows, joins, ending."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from ..lay.courses import goes_on
from ..lay.gauge import TUCK_MM
from ..lay.joins import Join
from ..lay.values import BandLaid
from ..plans.planning import Plan
from ..plans.times import band_seconds
from ..quantity import show_cut
from ..weave.table import EVERY_END
from ..words import listed, several
from .strokes import passed, stroke_lines
from .voice import count_from_one, ring_across, show_about, voice, woven_across

MOST_JOINS_TOLD = 12
MOST_STARTS_TOLD = 6
SHORTER_MM = 25.4
"""A first reed so much shorter than a whole one is told of."""
HALF_WAY_FROM = 6
"""Bands of so many rows are measured half way too."""


def band_lines(plan: Plan, index: int) -> list[str]:
    """Everything a maker does in one band, in order."""
    band = plan.laid.bands[index]
    before = plan.laid.bands[index - 1] if index else None
    if before and goes_on(before, band):
        begin = _carry_on(band)
    else:
        begin = [*_first_cuts(plan, index), *_set_in(plan, band), *_stroke(plan, index), *_effect(plan, band)]
    return [
        *groups_told(band, before),
        *begin,
        *_starts(band),
        *_how_far(plan, band),
        *_joins(plan, index),
        *_end(plan, index),
    ]


def band_minutes(plan: Plan, index: int) -> float:
    """Time for one band, reckoned as the plan does."""
    return sum(band_seconds(plan.laid, plan.courses, plan.joins, index)) / 60


def _stroke(plan: Plan, index: int) -> list[str]:
    """The stroke in full, or the earlier band that has it in full."""
    bands = plan.laid.bands
    band = bands[index]
    alike = (i for i in range(index) if _same_stroke(bands[i], band))
    earlier = next(alike, None)
    if earlier is None or band.band.weave.turns != "stroke":
        return stroke_lines(plan.design, band)
    return [f"The stroke is the one of band {earlier + 1}: {band.band.weave.stroke_words()}."]


def _same_stroke(a: BandLaid, b: BandLaid) -> bool:
    places = a.band.where == b.band.where and a.spaces == b.spaces
    return places and a.band.weave == b.band.weave and len(a.colours) == len(b.colours)


def groups_told(band: BandLaid, before: BandLaid | None) -> list[str]:
    """What counts as one in a band, where that is not as it was in the band before."""
    if band.band.group > 1:
        groups = groups_in_words(band.sizes)
        opened = "Open the ends out into smaller groups. " if before and before.band.group > band.band.group else ""
        return [f"{opened}Take the ends together, from space 1 on: {groups}. Each group counts as one."]
    if before and before.band.group > 1 and before.band.where == band.band.where:
        return ["Open the ends out singly and evenly, like the rays of a star, as you weave."]
    return []


def groups_in_words(sizes: Sequence[int]) -> str:
    """`7 groups of 4`, or `1 end alone, then 4 groups of 4`."""
    runs = [(len(list(run)), size) for size, run in groupby(sizes)]
    alone = "1 end alone, then " if runs[0] == (1, 1) and len(runs) > 1 else ""
    return alone + listed([f"{several(many, 'group')} of {size}" for many, size in (runs[1:] if alone else runs)])


def _places(band: BandLaid) -> list[int]:
    """The space in which each weaver is set, counted from 1."""
    return [count_from_one(band.band.start + k, band.spaces) for k in range(len(band.colours))]


def _carry_on(band: BandLaid) -> list[str]:
    which = "weaver" if len(band.colours) == 1 else f"{len(band.colours)} weavers"
    return [f"Go on with the {which} of the band before, in the same stroke."]


def strand_colours(colours: tuple[str, ...]) -> str:
    """The colours of one weaver's strands: `rust`, or `rust with sand`."""
    return colours[0] if len(set(colours)) == 1 else " with ".join(colours)


def _set_in(plan: Plan, band: BandLaid) -> list[str]:
    tell, _ = voice(plan.design)
    asked, reed, places = band.band, band.band.reed.named(plan.design.wording), _places(band)
    beside = tell("{n} {reed}s side by side", n=asked.strands) if asked.strands > 1 else ""
    each = f", each of {beside}," if beside else ""
    names = [strand_colours(colour) for colour in band.colours]
    if asked.weave.weavers == EVERY_END:
        shades = names[0] if len(set(names)) == 1 else f"{', '.join(asked.colours)} in turn"
        said = (
            f"Set one weaver of {reed}{each} in every space, {band.spaces} in all, from space {places[0]} on: {shades}."
        )
    elif len(names) == 1:
        said = f"Set one weaver{f' of {beside}' if beside else ''} ({reed}, {names[0]}) in space {places[0]}."
    elif len(set(names)) == 1:
        where = listed([str(place) for place in places])
        said = f"Set {len(names)} weavers of {reed} ({names[0]}){each} in spaces {where}, one in each."
    else:
        places_named = listed([f"{name} in space {place}" for name, place in zip(names, places, strict=True)])
        said = f"Set {len(names)} weavers of {reed}{each} in this order: {places_named}."
    return [f"{said} Leave {show_about(band.tail_mm, plan.design.units)} of each start inside."]


def _effect(plan: Plan, band: BandLaid) -> list[str]:
    if band.effect.effect == "plain":
        return []
    check = " Compare with the chart after row 2." if band.rows > 2 else ""
    return [f"Outside you will see {band.effect.words(plan.design.hand)}.{check}"]


def _starts(band: BandLaid) -> list[str]:
    """Ending the weavers and starting again further on."""
    blocks, segments = band.band.blocks, band.segments
    if blocks is None or len(segments) < 2:
        return []
    on = f"{several(blocks.shift, 'space')} further on" if blocks.shift else "in the same spaces"
    starts = [
        f"{f'row {first + 1}' if rows == 1 else f'rows {first + 1} to {first + rows}'} from space {start + 1}"
        for first, rows, start in segments
    ]
    shown = "; ".join(starts[:MOST_STARTS_TOLD]) + ("; and so on" if len(starts) > MOST_STARTS_TOLD else "")
    return [
        f"After every {several(blocks.rows, 'row').removeprefix('1 ')} end all the weavers and start new ones {on}, "
        f"in the same order: {shown}."
    ]


def reached(plan: Plan, band: BandLaid, s: float) -> str:
    """What the ruler says when the work has come to `s`."""
    tell, long = voice(plan.design)
    if band.band.where == "base":
        return f"the {'lid' if plan.design.of_lid else 'base'} is {woven_across(plan.laid, band, s)} across"
    side = "its side stands {up} high" if plan.design.of_lid else "the side stands {up} high along the wall"
    return tell(
        side + " and {across} across at the {spokes}",
        up=long(s),
        across=ring_across(plan.design, s),
    )


def _how_far(plan: Plan, band: BandLaid) -> list[str]:
    """Rows, packing, and what the ruler should say half way and at the end."""
    half = band.rows // 2
    lines = [f"Weave {several(band.rows, 'row')}, pressing each down on the one before."]
    if band.rows >= HALF_WAY_FROM:
        lines.append(
            f"Measure after row {half}: {reached(plan, band, band.start_s + half * band.pitch_mm)}. "
            f"After row {band.rows}: {reached(plan, band, band.end_s)}."
        )
    else:
        lines.append(f"Measure at the end: {reached(plan, band, band.end_s)}.")
    return lines


def _first_cuts(plan: Plan, index: int) -> list[str]:
    """How long the first reed of each weaver is, told before it is set in."""
    tell, _ = voice(plan.design)
    band, units = plan.laid.bands[index], plan.design.units
    begun = [course for course in plan.courses if course.begins is band]
    out = []
    for nth, course in enumerate(begun, start=1):
        cut = [(each.weaver, each.pieces_mm[0]) for each in plan.cuts if each.course is course and each.pieces_mm[1:]]
        if course.folded:
            continue
        start = course.segments[0].start
        if len({round(mm) for _, mm in cut}) < 2:
            if cut and cut[0][1] < course.usable_mm - SHORTER_MM:
                words = "So that no {reed} is joined for a scrap at the end, cut {which} first {reed} to {told}."
                which = "the" if len(cut) == 1 else "each"
                out.append(tell(words, which=which, told=show_cut(cut[0][1], units)))
            continue
        lengths = [f"{show_cut(mm, units)} in space {count_from_one(start + k, band.spaces)}" for k, mm in cut]
        when = f", at start {nth}," if len(begun) > 1 else ","
        words = "So that joins fall apart" + when + " begin with first {reed}s of these lengths: {told}."
        out.append(tell(words, told=listed(lengths)))
    return out


def _joins(plan: Plan, index: int) -> list[str]:
    planned, units = plan.joins[index], plan.design.units
    if not planned.joins:
        return []
    first = next(i for i, other in enumerate(plan.joins) if other.joins)
    how = f"To join, {join_words(units)}." if index == first else f"Join as in band {first + 1}."
    names = passed(plan.design, plan.laid.bands[index])
    return [f"Joins fall about here: {joins_told(planned.joins, *names)}. {how}"]


def join_words(units: str) -> str:
    """How a new reed takes over from an old one."""
    return f"lay the new end beside the old for {show_about(TUCK_MM, units)}, behind, and go on with the new"


def joins_told(joins: tuple[Join, ...], one: str, many: str) -> str:
    """`row 8 behind spokes 14 and 22; row 14 behind spoke 9`, of what a weaver passes, `one` and `many`; or the rows
    alone when there are many."""
    by_row = [
        (row, sorted(join.spoke + 1 for join in run))
        for row, run in groupby(sorted(joins, key=lambda join: join.row), key=lambda join: join.row)
    ]
    if len(joins) > MOST_JOINS_TOLD:
        rows = [str(row + 1) for row, _ in by_row]
        shown = f"{', '.join(rows[:MOST_JOINS_TOLD])} and so on" if len(rows) > MOST_JOINS_TOLD else listed(rows)
        return f"{several(len(joins), 'join')} in {'row' if len(rows) == 1 else 'rows'} {shown}"
    return "; ".join(
        f"row {row + 1} behind {one if len(behind) == 1 else many} {listed([str(each) for each in behind])}"
        for row, behind in by_row
    )


def _end(plan: Plan, index: int) -> list[str]:
    bands = plan.laid.bands
    band = bands[index]
    if index + 1 < len(bands) and goes_on(band, bands[index + 1]):
        return ["Do not end the weavers yet: the next band goes on with them."]
    which = "the weaver" if len(band.colours) == 1 else "each weaver"
    first = next(i for i in range(len(bands)) if i + 1 == len(bands) or not goes_on(bands[i], bands[i + 1]))
    if index > first:
        return [f"End {which} inside, as in band {first + 1}."]
    return [
        f"End {which} inside, behind a {passed(plan.design, band)[0]}, so that the last row closes level. Leave "
        f"{show_about(band.tail_mm, plan.design.units)} and trim it later."
    ]
