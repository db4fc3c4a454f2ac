"""One band of weaving as lines of a handout: set in, stroke, colours, starts, rows, joins, ending."""

from __future__ import annotations

from itertools import groupby

from ..design.values import group_sizes
from ..lay.courses import goes_on
from ..lay.joins import Join
from ..lay.laying import TUCK_MM, BandLaid
from ..plans.planning import Plan
from ..plans.times import band_seconds
from ..weave.table import EVERY_END
from ..words import listed, several
from .strokes import passed, stroke_lines
from .voice import base_across, count_from_one, ring_across, show_about, show_cut, voice

MOST_JOINS_TOLD = 12
MOST_STARTS_TOLD = 6
HALF_WAY_FROM = 6
"""Bands of so many rows are measured half way too."""


def band_lines(made: Plan, index: int) -> list[str]:
    """Everything a maker does in one band, in order."""
    laid = made.laid.bands[index]
    before = made.laid.bands[index - 1] if index else None
    if before and goes_on(before, laid):
        begin = _carry_on(laid)
    else:
        begin = [*_first_cuts(made, index), *_set_in(made, laid), *_stroke(made, index), *_effect(made, laid)]
    return [
        *groups_told(laid, before),
        *begin,
        *_starts(laid),
        *_how_far(made, laid),
        *_joins(made, index),
        *_end(made, index),
    ]


def band_minutes(made: Plan, index: int) -> float:
    """Time for one band, reckoned as the plan does."""
    return sum(band_seconds(made.laid, made.courses, made.joins, index)) / 60


def _stroke(made: Plan, index: int) -> list[str]:
    """The stroke in full, or the earlier band that has it in full."""
    bands = made.laid.bands
    laid = bands[index]
    alike = (i for i in range(index) if _same_stroke(bands[i], laid))
    told = next(alike, None)
    if told is None or laid.band.weave.turns != "stroke":
        return stroke_lines(made.design, laid)
    return [f"The stroke is the one of band {told + 1}: {laid.band.weave.stroke_words()}."]


def _same_stroke(a: BandLaid, b: BandLaid) -> bool:
    places = a.band.where == b.band.where and a.spaces == b.spaces
    return places and a.band.weave == b.band.weave and len(a.colours) == len(b.colours)


def groups_told(laid: BandLaid, before: BandLaid | None) -> list[str]:
    """What counts as one in a band, where that is not as it was in the band before."""
    if laid.band.group > 1:
        sizes = group_sizes(laid.ends, laid.band.group)
        told = listed([f"{several(len(list(run)), 'group')} of {size}" for size, run in groupby(sizes)])
        opened = "Open the ends out into smaller groups. " if before and before.band.group > laid.band.group else ""
        return [f"{opened}Take the ends together, from space 1 on: {told}. Each group counts as one."]
    if before and before.band.group > 1 and before.band.where == laid.band.where:
        return ["Open the ends out singly and evenly, like the rays of a star, as you weave."]
    return []


def _places(laid: BandLaid) -> list[int]:
    """The space in which each weaver is set, counted from 1."""
    return [count_from_one(laid.band.start + k, laid.spaces) for k in range(len(laid.colours))]


def _carry_on(laid: BandLaid) -> list[str]:
    which = "weaver" if len(laid.colours) == 1 else f"{len(laid.colours)} weavers"
    return [f"Go on with the {which} of the band before, in the same stroke."]


def strand_colours(colours: tuple[str, ...]) -> str:
    """The colours of one weaver's strands: `rust`, or `rust with sand`."""
    return colours[0] if len(set(colours)) == 1 else " with ".join(colours)


def _set_in(made: Plan, laid: BandLaid) -> list[str]:
    tell, _ = voice(made.design)
    band, reed, places = laid.band, laid.band.reed.named(made.design.wording), _places(laid)
    beside = tell("{n} {reed}s side by side", n=band.strands) if band.strands > 1 else ""
    each = f", each of {beside}," if beside else ""
    names = [strand_colours(colour) for colour in laid.colours]
    if band.weave.weavers == EVERY_END:
        shades = names[0] if len(set(names)) == 1 else f"{', '.join(band.colours)} in turn"
        said = (
            f"Set one weaver of {reed}{each} in every space, {laid.spaces} in all, from space {places[0]} on: {shades}."
        )
    elif len(names) == 1:
        said = f"Set one weaver{f' of {beside}' if beside else ''} ({reed}, {names[0]}) in space {places[0]}."
    elif len(set(names)) == 1:
        where = listed([str(place) for place in places])
        said = f"Set {len(names)} weavers of {reed} ({names[0]}){each} in spaces {where}, one in each."
    else:
        told = listed([f"{name} in space {place}" for name, place in zip(names, places, strict=True)])
        said = f"Set {len(names)} weavers of {reed}{each} in this order: {told}."
    return [f"{said} Leave {show_about(TUCK_MM, made.design.units)} of each start inside."]


def _effect(made: Plan, laid: BandLaid) -> list[str]:
    if laid.effect.effect == "plain":
        return []
    check = " Compare with the chart after row 2." if laid.rows > 2 else ""
    return [f"Outside you will see {laid.effect.words(made.design.hand)}.{check}"]


def _starts(laid: BandLaid) -> list[str]:
    """Ending the weavers and starting again further on."""
    blocks, segments = laid.band.blocks, laid.segments
    if blocks is None or len(segments) < 2:
        return []
    on = f"{several(blocks.shift, 'space')} further on" if blocks.shift else "in the same spaces"
    told = [
        f"{f'row {first + 1}' if rows == 1 else f'rows {first + 1} to {first + rows}'} from space {start + 1}"
        for first, rows, start in segments
    ]
    shown = "; ".join(told[:MOST_STARTS_TOLD]) + ("; and so on" if len(told) > MOST_STARTS_TOLD else "")
    return [
        f"After every {several(blocks.rows, 'row').removeprefix('1 ')} end all the weavers and start new ones {on}, "
        f"in the same order: {shown}."
    ]


def reached(made: Plan, laid: BandLaid, s: float) -> str:
    """What the ruler says when the work has come to `s`."""
    tell, long = voice(made.design)
    if laid.band.where == "base":
        return f"the base is {base_across(made.design, s)} across"
    return tell(
        "the side stands {up} high along the wall and {across} across at the {spokes}",
        up=long(s),
        across=ring_across(made.design, s),
    )


def _how_far(made: Plan, laid: BandLaid) -> list[str]:
    """Rows, packing, and what the ruler should say half way and at the end."""
    half = laid.rows // 2
    lines = [f"Weave {several(laid.rows, 'row')}, pressing each down on the one before."]
    if laid.rows >= HALF_WAY_FROM:
        lines.append(
            f"Measure after row {half}: {reached(made, laid, laid.start_s + half * laid.pitch_mm)}. "
            f"After row {laid.rows}: {reached(made, laid, laid.end_s)}."
        )
    else:
        lines.append(f"Measure at the end: {reached(made, laid, laid.end_s)}.")
    return lines


def _first_cuts(made: Plan, index: int) -> list[str]:
    """How long the first reed of each weaver is, told before it is set in."""
    tell, _ = voice(made.design)
    laid, units = made.laid.bands[index], made.design.units
    begun = [course for course in made.courses if course.begins is laid]
    out = []
    for nth, course in enumerate(begun, start=1):
        cut = [(each.weaver, each.pieces_mm[0]) for each in made.cuts if each.course is course and each.pieces_mm[1:]]
        if len({round(mm) for _, mm in cut}) < 2:
            continue
        start = course.stretches[0].start
        told = [f"{show_cut(mm, units)} in space {count_from_one(start + k, laid.spaces)}" for k, mm in cut]
        when = f", at start {nth}," if len(begun) > 1 else ","
        words = "So that joins fall apart" + when + " begin with first {reed}s of these lengths: {told}."
        out.append(tell(words, told=listed(told)))
    return out


def _joins(made: Plan, index: int) -> list[str]:
    planned, units = made.joins[index], made.design.units
    if not planned.joins:
        return []
    first = next(i for i, other in enumerate(made.joins) if other.joins)
    how = f"To join, {join_words(units)}." if index == first else f"Join as in band {first + 1}."
    return [f"Joins fall about here: {joins_told(planned.joins)}. {how}"]


def join_words(units: str) -> str:
    """How a new reed takes over from an old one."""
    return f"lay the new end beside the old for {show_about(TUCK_MM, units)}, behind, and go on with the new"


def joins_told(joins: tuple[Join, ...]) -> str:
    """`row 8 in spaces 14 and 22; row 14 in space 9`, or the rows alone when there are many."""
    by_row = [
        (row, sorted(join.space + 1 for join in run))
        for row, run in groupby(sorted(joins, key=lambda join: join.row), key=lambda join: join.row)
    ]
    if len(joins) > MOST_JOINS_TOLD:
        many = [str(row + 1) for row, _ in by_row]
        shown = f"{', '.join(many[:MOST_JOINS_TOLD])} and so on" if len(many) > MOST_JOINS_TOLD else listed(many)
        return f"{several(len(joins), 'join')} in {'row' if len(many) == 1 else 'rows'} {shown}"
    return "; ".join(
        f"row {row + 1} in {'space' if len(spaces) == 1 else 'spaces'} {listed([str(space) for space in spaces])}"
        for row, spaces in by_row
    )


def _end(made: Plan, index: int) -> list[str]:
    bands = made.laid.bands
    laid = bands[index]
    if index + 1 < len(bands) and goes_on(laid, bands[index + 1]):
        return ["Do not end the weavers yet: the next band goes on with them."]
    which = "the weaver" if len(laid.colours) == 1 else "each weaver"
    first = next(i for i in range(len(bands)) if i + 1 == len(bands) or not goes_on(bands[i], bands[i + 1]))
    if index > first:
        return [f"End {which} inside, as in band {first + 1}."]
    return [
        f"End {which} inside, behind a {passed(made.design, laid)[0]}, so that the last row closes level. Leave "
        f"{show_about(TUCK_MM, made.design.units)} and trim it later."
    ]
