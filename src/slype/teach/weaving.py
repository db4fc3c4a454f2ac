"""A band as a beginner weaves it: take up, set in, the stroke, the end of a row, going on, joining, ending."""

from __future__ import annotations

from itertools import groupby

from ..design.values import group_sizes
from ..lay.courses import goes_on
from ..lay.laying import TUCK_MM, BandLaid
from ..order.kinds import ACTS
from ..tell.bands import band_minutes, joins_told
from ..tell.moments import moments_of_joins
from ..tell.voice import base_across, ring_across, show_about, title_of_band
from ..weave.table import EVERY_END
from ..words import listed, several
from .bench import Bench, numbers
from .draft import Draft
from .values import Drawing, Slip

TOLD_STROKES = 6
"""So many strokes are told one by one."""
TOLD_WEAVERS = 8
"""So many weavers are set in one by one in words."""


def band_steps(bench: Bench, band: BandLaid) -> list[Draft]:
    """All steps of one band in order."""
    at = bench.laid.bands.index(band)
    before = bench.laid.bands[at - 1] if at else None
    chapter = title_of_band(bench.design, bench.laid, at)
    out = [*_grouped(bench, band, before, chapter)]
    carried = before is not None and goes_on(before, band)
    if not carried:
        out.append(_set_in(bench, band, chapter))
    out.append(_stroke(bench, band, chapter, carried))
    out.append(_row(bench, band, chapter))
    if band.segments[1:]:
        out.append(_again(bench, band, chapter))
    if bench.plan.joins[at].joins:
        out.append(_join(bench, band, chapter))
    out.append(_end(bench, band, chapter))
    minutes = band_minutes(bench.plan, at)
    row = next(step for step in out if step.rows)
    row.minutes = minutes
    return out


def _draft(bench: Bench, band: BandLaid, chapter: str, title: str) -> Draft:
    return Draft(chapter, title, band.band.where, band=band.index)


def _strokes(bench: Bench, band: BandLaid) -> list[int]:
    return bench.acts(bench.part(band.band.where, band.index), "stroke")


def _grouped(bench: Bench, band: BandLaid, before: BandLaid | None, chapter: str) -> list[Draft]:
    """Taking the ends in groups, or opening them out."""
    was = before.band.group if before is not None and before.band.where == band.band.where else 0
    group, part = band.band.group, bench.part(band.band.where, band.index)
    if group == was or (group == 1 and was < 2):
        return []
    made = _draft(bench, band, chapter, "Take the ends in groups" if group > 1 else "Open the ends out")
    made.first = made.beyond = part.first
    way = bench.tell("from space 1 on")
    if group > 1:
        sizes = group_sizes(band.ends, group)
        if was > group:
            made.does.append("Open the old groups out into smaller ones.")
        first = 0
        for size, run in groupby(sizes):
            many = len(list(run))
            if many == 1:
                made.does.append(f"Take ends {first + 1} to {first + size} together: they are a group.")
            else:
                made.does.append(f"Take the next ends together in {several(many, 'group')} of {size}." if first else
                                 f"Take the ends together in {several(many, 'group')} of {size}, {way}.")  # fmt: skip
            first += size * many
        made.does += [
            "Each group counts as one.",
            f"The gaps between groups are group spaces, numbered 1 to {len(sizes)}.",
            "Group space 1 is space 1.",
        ]
        made.count("groups", 0, *sizes)
        made.looks = [f"{several(len(sizes), 'group')}: weave over a whole group as if it were one end."]
        made.slips = [
            Slip("A group has an end too many.", f"Count: the groups hold {_sizes_told(sizes)}, from space 1.")
        ]
        made.why = [("Why in groups?", "So near the middle single ends stand too close for a weaver to pass.")]
        about = f"The base from below, with group spaces 1 to {len(sizes)} numbered."
    else:
        made.does = [
            "From now on every end counts by itself.",
            "Bend the ends apart as you weave, evenly, like the rays of a star.",
            f"Count spaces anew from space 1: there are {band.spaces}.",
        ]
        made.count("spaces", 0, band.spaces)
        made.looks = ["Every gap between two ends is about as wide as the next."]
        made.slips = [Slip("Two ends stay close together.", "Press them apart with a bodkin before the weaver passes.")]
        made.why = [("Why only now?", "Further out there is room between single ends.")]
        about = f"The base from below, with all {band.spaces} spaces between single ends."
    made.drawings = [Drawing(part.first, part.first, made.title + ".", about, "whole", "all", False)]
    return [made]


def _sizes_told(sizes: list[int]) -> str:
    return listed([str(size) for size in sizes]) if len(sizes) <= 8 else f"{sizes[0]} and then {sizes[-1]} each"


# Set in --------------------------------------------------------------------------------------------------------


def is_folded(bench: Bench, band: BandLaid) -> bool:
    """True where the first two weavers are one reed folded in half round an arm or end."""
    return bench.design.base.begin == "folded" and band is bench.laid.bands[0] and len(band.colours) == 2


def _set_in(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    many, space = len(band.colours), bench.space(band)
    made = _draft(bench, band, chapter, f"Set in {'the weaver' if many == 1 else f'{many} weavers'}")
    part = bench.part(band.band.where, band.index)
    moments = [m for m in bench.acts(part, "set in") if bench.made.block[m] == 0]
    made.first, made.beyond = moments[0], moments[-1] + 1
    found = bench.of_band(band)
    made.bundles = [each.number for each in found]
    made.does = [bench.take(each) for each in found]
    places = [int(bench.made.space[m]) + 1 for m in moments]
    for weaver, place in enumerate(places):
        made.count("set in", weaver + 1, place)
    tuck = show_about(TUCK_MM, bench.design.units)
    side = "to the far side" if band.band.where == "base" else "inside"
    if is_folded(bench, band):
        made.does += _folded(bench, band, places)
    elif many == 1:
        made.does.append(f"Put its end through {space} {places[0]}, from the front.")
        made.does.append(f"Leave {tuck} of it {side}, behind the next end.")
    else:
        made.does += _each_set_in(bench, band, places, space)
        made.does.append(f"Leave {tuck} of each start {side}.")
    if band.band.strands > 1:
        made.does.append(bench.tell("Each weaver is {n} {reed}s side by side; keep them flat.", n=band.band.strands))
    made.looks = [_waiting(bench, band, places)]
    made.slips = [Slip(f"Two weavers hang from one {space}.", f"Move one on, so that they hang in {space}s "
                       f"{listed([str(p) for p in places[:TOLD_WEAVERS]])}.") if 1 < many <= TOLD_WEAVERS else
                  Slip("The start slips out.", "Hold it with a peg for the first few strokes.")]  # fmt: skip
    where = (
        f"{space} {places[0]}" if many == 1 else f"{space}s {listed([str(p) for p in sorted(places)[:TOLD_WEAVERS]])}"
    )
    about = f"{several(many, 'weaver')} set in, hanging towards you from {where}."
    made.drawings = [Drawing(made.first, made.beyond, f"Set in at {where}.", about,
                             "whole" if band.band.where == "base" and band.band.group > 1 else "near", "all", False,
                             fold=is_folded(bench, band))]  # fmt: skip
    made.watch = [f"All hold {'the underside' if band.band.where == 'base' else 'the outside'} towards them."]
    shades = {bench.colour(band, k) for k in range(many)}
    if len(shades) > 1:
        made.watch.append(bench.tell("The order of the {colours}: the whole pattern hangs on it."))
    made.why = [(f"Why in {space} {places[0]}?", "So that no start stands over the one below, and the pattern falls "
                 "where the chart has it.")]  # fmt: skip
    return made


def _folded(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    one, space = bench.passes(band)[0], bench.space(band)
    return [
        "Fold the weaver in half, one half a hand longer, so that joins fall apart.",
        f"Lay the fold round {one} {places[0]}, behind it.",
        f"Bring one half out at {space} {places[0]}: it is weaver 1.",
        f"Bring the other half out at {space} {places[1]}: it is weaver 2.",
    ]


def _each_set_in(bench: Bench, band: BandLaid, places: list[int], space: str) -> list[str]:
    many = len(places)
    if band.band.weave.weavers == EVERY_END or many > TOLD_WEAVERS:
        names = [bench.colour(band, k) for k in range(many)]
        shades = names[0] if len(set(names)) == 1 else f"{', '.join(dict.fromkeys(names))} in turn"
        return [f"Put one weaver through every {space}, from {space} {places[0]} on: {shades}."]
    return [f"Put {bench.weaver(band, k)} through {space} {place}, from the front." for k, place in enumerate(places)]


def _waiting(bench: Bench, band: BandLaid, places: list[int]) -> str:
    if len(places) == 1:
        return "One weaver hangs towards you."
    return f"{len(places)} weavers hang towards you, one from each {bench.space(band)}."


# The stroke ----------------------------------------------------------------------------------------------------


def _stroke(bench: Bench, band: BandLaid, chapter: str, carried: bool) -> Draft:
    made = _draft(bench, band, chapter, "The stroke")
    strokes = _strokes(bench, band)
    weave, many = band.band.weave, len(band.colours)
    told = min(TOLD_STROKES, max(many, 2) if weave.turns == "stroke" else 2, len(strokes))
    made.first, made.beyond = strokes[0], strokes[told - 1] + 1
    if carried:
        made.does.append("Go on with the weavers of the band before.")
    made.does += {"stroke": _by_turns, "round": _by_rounds, "back": _by_backs}[weave.turns](bench, band)
    made.does += [_one_stroke(bench, band, m, made) for m in strokes[:told]]
    made.looks, made.slips = _stroke_looks(bench, band, strokes[told - 1]), _stroke_slips(bench, band)
    first = strokes[0]
    one, space = bench.passes(band)[0], bench.space(band)
    front, behind = (_numbered(bench, band, found) for found in (bench.made.in_front(first), bench.made.behind(first)))
    out = _comes_out(bench, band, first)
    about = (
        f"The first stroke: {bench.weaver(band, int(bench.made.weaver[first]))} from {space} "
        f"{int(bench.made.space[first]) + 1}, in front of {front}, behind {behind}, out at {space} {out}."
    )
    made.drawings = [Drawing(first, first + 1, "The first stroke.", about)]
    if told > 1:
        after = f"After {several(told, 'stroke')}. The last one is dark: it came from {space} "
        after += f"{int(bench.made.space[strokes[told - 1]]) + 1}."
        made.drawings.append(Drawing(strokes[told - 1], made.beyond, f"Stroke {told}.", after))
    made.watch = [f"Say it aloud: {_rhyme(band)}.", f"The hand behind feels that the weaver passes one {one} only."
                  if weave.cycle[0][1] == 1 else "The hand behind counts along."]  # fmt: skip
    turns = ("Why always the hindmost weaver?", "So each passes over the others in turn, and they lock.")
    rounds = ("Why in and out?", "Each row holds the one below, and holds the ends apart.")
    made.why = [turns if weave.turns == "stroke" else rounds]
    return made


def _rhyme(band: BandLaid) -> str:
    return ", ".join(f"front of {over}, behind {under}" for over, under in band.band.weave.cycle) + ", out"


def _by_turns(bench: Bench, band: BandLaid) -> list[str]:
    tell, weave, others = bench.tell, band.band.weave, len(band.colours) - 1
    one, many = bench.passes(band)
    over, under = weave.cycle[0]
    rest = "the other weaver" if others == 1 else f"the other {others} weavers"
    sides = ["under" if reverse else "over" for reverse in weave.reverse]
    out = [
        tell("Take the weaver furthest to the {back}."),
        f"Lead it {sides[0]} {rest}.",
        f"Go in front of {several(over, one, many)}.",
        f"Go behind {several(under, one, many)}, and out to the front.",
    ]
    for a, b in weave.cycle[1:]:
        out.append(f"Its next stroke: in front of {a}, behind {b}.")
    out.append(tell("Now another weaver is furthest to the {back}. Do the same with it."))
    if len(set(sides)) > 1:
        out.append(f"In every second row lead it {sides[1]} {rest}.")
    return out


def _by_rounds(bench: Bench, band: BandLaid) -> list[str]:
    tell, weave, many = bench.tell, band.band.weave, len(band.colours)
    one, more = bench.passes(band)
    over, under = weave.cycle[0]
    which = "the weaver" if many == 1 else "the first weaver"
    out = [
        tell("Lead {which} towards the {forward}.", which=which),
        f"Go in front of {several(over, one, more)}.",
        f"Go behind {several(under, one, more)}, and out to the front.",
    ]
    for a, b in weave.cycle[1:]:
        out.append(f"Next: in front of {a}, behind {b}.")
    out.append("Go on in this way once round.")
    if many > 1:
        out.append("Let it rest in front, and do the same with the next weaver.")
        out.append("The weaver behind never overtakes the one before it.")
    return out


def _by_backs(bench: Bench, band: BandLaid) -> list[str]:
    tell, weave = bench.tell, band.band.weave
    one, many = bench.passes(band)
    over, under = weave.cycle[0]
    first = int(bench.made.space[_strokes(bench, band)[0]]) + 1
    return [
        f"Begin with the weaver in space {first}.",
        f"Go in front of {several(over, one, many)}.",
        f"Go behind {several(under, one, many)}, and out to the front.",
        tell("Next take the weaver to its {back}, and do the same."),
        "Go on backwards round the basket; each stroke lies on the one before.",
        f"Lift the first {weave.reach} ends of weaver to let the last {weave.reach} pass below.",
    ]


def _numbered(bench: Bench, band: BandLaid, found: list[int]) -> str:
    return numbers([each + 1 for each in found], *bench.passes(band)) if found else "none"


def _comes_out(bench: Bench, band: BandLaid, moment: int) -> int:
    """The space in which a stroke ends, from 1."""
    made = bench.made
    return int(made.space[moment] + made.over[moment] + made.under[moment]) % band.spaces + 1


def _one_stroke(bench: Bench, band: BandLaid, moment: int, into: Draft) -> str:
    made, space = bench.made, bench.space(band)
    front, behind = made.in_front(moment), made.behind(moment)
    nth = int(made.stroke[moment]) + 1
    begin, out = int(made.space[moment]) + 1, _comes_out(bench, band, moment)
    into.count("from", nth, begin)
    into.count("in front", nth, *(each + 1 for each in front))
    into.count("behind", nth, *(each + 1 for each in behind))
    into.count("out", nth, out)
    which = bench.weaver(band, int(made.weaver[moment]))
    said = f"Stroke {nth}: {which} from {space} {begin}: front of {listed([str(each + 1) for each in front])}"
    return said + (f", behind {listed([str(each + 1) for each in behind])}, out at {out}." if behind else ".")


def _stroke_looks(bench: Bench, band: BandLaid, last: int) -> list[str]:
    made, many, space = bench.made, len(band.colours), bench.space(band)
    if band.band.weave.turns != "stroke" or many < 2:
        return [f"The weaver comes to the front in {space} {_comes_out(bench, band, last)}."]
    strokes = _strokes(bench, band)
    coming = strokes[strokes.index(last) + 1 :][:many]
    stand = sorted({int(made.space[m]) + 1 for m in coming})
    if len(stand) < many:
        return []
    return [f"The weavers now hang in {space}s {listed([str(each) for each in stand])}, one in each."]


def _stroke_slips(bench: Bench, band: BandLaid) -> list[Slip]:
    one, space = bench.passes(band)[0], bench.space(band)
    if band.band.weave.turns == "stroke":
        return [Slip(f"Two weavers hang in one {space}, or a {space} between them is empty.",
                     f"Take strokes back until each hangs in a {space} of its own, side by side.")]  # fmt: skip
    if band.band.weave.turns == "back":
        return [Slip(f"A {space} is left without a weaver.", "You passed one by. Take the strokes back to there.")]
    return [Slip(f"The weaver goes in front of a {one} twice running.", "A " + one + " was missed. Go back to it.")]


# A row, going on -----------------------------------------------------------------------------------------------


def _row(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    _tell, weave, made_of = bench.tell, band.band.weave, bench.made
    strokes, begun = _strokes(bench, band), band.segments[0]
    made = _draft(bench, band, chapter, "Go round: row 1" if begun[1] == 1 else f"Go round: rows 1 to {begun[1]}")
    first_row = [m for m in strokes if made_of.row[m] == 0 and made_of.block[m] == 0]
    last_row = [m for m in strokes if made_of.row[m] == begun[1] - 1 and made_of.block[m] == 0]
    made.first, made.beyond = first_row[0], last_row[-1] + 1
    made.rows = (1, begun[1])
    made.count("strokes in a row", 0, len(first_row))
    space, many, start = bench.space(band), len(band.colours), begun[2]
    if weave.turns == "stroke":
        made.does = [
            f"Go on, one stroke from every {space}.",
            f"Row 1 is done after {len(first_row)} strokes." if weave.cycle[1:] == () else
            f"Row 1 is done when the weavers are back at {space} {start + 1}.",
        ]  # fmt: skip
        if begun[1] > 1:
            made.does.append(_steps_up(bench, band, strokes, len(first_row)))
    elif weave.turns == "back":
        made.does = [f"Row 1 is done when every {space} has its weaver again: {len(first_row)} strokes.",
                     "Begin each row with the weaver you began with."]  # fmt: skip
    elif many == 1:
        made.does = [f"Row 1 is done when you come round to {space} {start + 1} again.",
                     f"Do not stop there: go straight on over {space} {start + 1} into row 2."
                     if band.rows > 1 else "That is all of this band."]  # fmt: skip
        if weave.cycle == ((1, 1),) and band.locked and band.rows > 1:
            one = bench.passes(band)[0]
            made.looks.append(f"Row 2 goes behind each {one} that row 1 passed in front of.")
            made.slips.append(Slip("Row 2 does the same as row 1.", f"You missed a {one}. Unweave to it."))
    else:
        made.does = [f"When all {many} have gone once round, row 1 is done."]
    made.does += [each for each in _how_far(bench, band, begun) if each]
    made.looks += _effect_told(bench, band)
    made.looks.append("Each row lies close on the one before, with no gap.")
    made.slips.append(Slip("A row rides up at one place.", "Press it down there with the side of the bodkin."))
    at = first_row[-1] + 1
    if weave.turns == "stroke" and begun[1] > 1 and many > 1:
        stand = _standing_at(bench, band, strokes, len(first_row))
        about = f"The end of row 1: weavers hang in {space}s {listed([str(s) for s in stand])}, a step above the start."
        made.drawings = [Drawing(at - many, at, "The end of row 1: the step.", about, arrow=False)]
    else:
        made.drawings = [Drawing(at - 1, at, "Row 1 is closed.", f"The end of row 1 at {space} {start + 1}.")]
    made.drawings.append(
        Drawing(made.beyond, made.beyond, f"After row {begun[1]}.", f"The work after row {begun[1]}.", "whole"
                if band.band.where == "base" else "near", "all", False)
    )  # fmt: skip
    made.watch = ["Rows pressed down before the next begins.", "Ends upright and even: a hand inside holds them."
                  if band.band.where == "side" else "The base stays flat; if it cups, pull less."]  # fmt: skip
    made.why = [
        ("Why press each row down?", "Loose rows leave gaps, and the basket would not stand as high as planned.")
    ]
    return made


def _standing_at(bench: Bench, band: BandLaid, strokes: list[int], done: int) -> list[int]:
    """Spaces, from 1, in which the weavers hang after so many strokes of the band, hindmost first."""
    coming = strokes[done : done + len(band.colours)]
    return [int(bench.made.space[m]) + 1 for m in coming]


def _steps_up(bench: Bench, band: BandLaid, strokes: list[int], done: int) -> str:
    return (
        f"The weavers are back in the {bench.space(band)}s where they began, one row higher: this step is right."
        if sorted(_standing_at(bench, band, strokes, done)) == sorted(_standing_at(bench, band, strokes, 0))
        else "The weavers stand a little further on, one row higher: this step is right."
    )


def _how_far(bench: Bench, band: BandLaid, begun: tuple[int, int, int]) -> list[str]:
    rows = begun[1]
    out = [f"Weave on until {several(rows, 'row')} {'is' if rows == 1 else 'are'} done."] if rows > 1 else []
    out.append("Press each row down on the one before.")
    if rows == band.rows:
        if rows >= 6:
            half = rows // 2
            out.append(f"Measure after row {half}: {_measured(bench, band, band.start_s + half * band.pitch_mm)}.")
        out.append(f"Measure at the end: {_measured(bench, band, band.end_s)}.")
    return out


def _measured(bench: Bench, band: BandLaid, s: float) -> str:
    """What the ruler says when the work has come to `s` mm."""
    if band.band.where == "base":
        return f"{base_across(bench.design, s)} across"
    return f"{bench.long(s)} up the wall, {ring_across(bench.design, s)} across"


def _effect_told(bench: Bench, band: BandLaid) -> list[str]:
    if band.effect.effect == "plain":
        return []
    side = "On the underside" if band.band.where == "base" else "Outside"
    check = ["Compare rows 1 and 2 with the chart."] if band.rows > 2 and band.band.where == "side" else []
    said = band.effect.words(bench.design.hand).split("; ")
    first = said[0].split(" that ")
    out = [f"{side} you see {first[0]}."]
    return [*out, *check]


def _again(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    """Ending the colours and starting them further on."""
    made_of, blocks = bench.made, band.band.blocks
    made = _draft(bench, band, chapter, "End the weavers and start again")
    part = bench.part(band.band.where, band.index)
    ends = [m for m in bench.acts(part, "end") if made_of.block[m] == 0]
    starts = [m for m in bench.acts(part, "set in") if made_of.block[m] == 1]
    last = next(m for m in bench.acts(part, "end") if made_of.block[m] == len(band.segments) - 1)
    made.first, made.beyond = ends[0], last
    on = f"{several(blocks.shift, 'space')} further on" if blocks.shift else "in the same spaces"
    made.does = [
        f"After row {blocks.rows} leave every weaver's end inside, {show_about(TUCK_MM, bench.design.units)} long.",
        f"Set new weavers in {on}, in the same order.",
    ]
    for block, (first, _rows, start) in enumerate(band.segments):
        if block == 0:
            continue
        places = [(start + k) % band.spaces + 1 for k in range(len(band.colours))]
        made.count("start again", block + 1, *places)
        if block <= 4:
            told = listed([f"{bench.colour(band, k)} in {p}" for k, p in enumerate(places[:TOLD_WEAVERS])])
            made.does.append(f"Start {block + 1}, row {first + 1}: {told}.")
    if len(band.segments) > 5:
        made.does.append("Go on in this way to the last row.")
    made.rows = (band.segments[1][0] + 1, band.rows)
    made.does.append(f"Measure at the end: {_measured(bench, band, band.end_s)}.")
    made.looks = [bench.tell("The {colours} jump sideways: a new block begins above the old one.")]
    made.slips = [
        Slip(bench.tell("The {colours} run straight on."), "The new weavers stand in the old spaces. Set them in anew.")
    ]
    places = [int(made_of.space[m]) + 1 for m in starts]
    about = f"The old weavers are ended and the new ones hang from spaces {listed([str(p) for p in places])}."
    made.drawings = [Drawing(starts[0], starts[-1] + 1, "The second start.", about, arrow=False)]
    return made


# Joining, ending -----------------------------------------------------------------------------------------------


def _join(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    at = bench.laid.bands.index(band)
    joins = bench.plan.joins[at].joins
    made = _draft(bench, band, chapter, "Join a new length")
    tuck = show_about(TUCK_MM, bench.design.units)
    one = bench.passes(band)[0]
    made.does = [
        *_where_joined(bench, band),
        f"Stop when the old end lies behind a {one}, {tuck} long.",
        f"Lay the new end beside it, behind the same {one}.",
        f"Leave {tuck} of the new end inside.",
        "Go on with the new length in the same stroke.",
    ]
    for join in joins:
        made.count("join", join.weaver + 1, join.row + 1, join.space + 1)
    made.looks = ["From outside no join shows: both ends lie inside."]
    made.slips = [Slip("The new length pulls out.", "Draw it back and leave a longer end behind.")]
    found = moments_of_joins(bench.made, list(joins))
    if found:
        moment, join = min(found.items())
        made.first, made.beyond = moment, moment + 1
        about = f"Seen from inside: the old end and the new one lie side by side behind a {one}."
        made.drawings = [Drawing(moment, moment + 1, "A join, seen from inside.", about, "inside", "none", False,
                                 join=join.weaver)]  # fmt: skip
    made.why = [("Why not all at one place?", "Joins above each other make a weak, thick line.")]
    return made


MOST_JOINS = 8
"""Joins told place by place; of more, how many there are."""


def _where_joined(bench: Bench, band: BandLaid) -> list[str]:
    joins = bench.plan.joins[bench.laid.bands.index(band)].joins
    if len(joins) > MOST_JOINS:
        first = min(joins, key=lambda join: (join.row, join.space))
        return [
            f"There are about {len(joins)} joins in this band.",
            f"The first falls in row {first.row + 1}, about space {first.space + 1}.",
        ]
    return [f"Joins fall about here: {joins_told(joins)}."]


def _end(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    at, bands = bench.laid.bands.index(band), bench.laid.bands
    part = bench.part(band.band.where, band.index)
    if at + 1 < len(bands) and goes_on(band, bands[at + 1]):
        made = _draft(bench, band, chapter, "Leave the weavers hanging")
        made.first = made.beyond = part.beyond
        made.does = ["Do not end the weavers: the next band goes on with them."]
        made.looks = ["The weavers hang towards you and wait."]
        made.slips = [Slip("You have cut them.", "Join new lengths on, as shown for joins.")]
        return made
    many, last = len(band.colours), len(band.segments) - 1
    moments = [m for m in bench.acts(part, "end") if bench.made.block[m] == last]
    made = _draft(bench, band, chapter, "End the weaver" if many == 1 else "End the weavers level")
    made.first, made.beyond = moments[0], moments[-1] + 1
    one, tuck = bench.passes(band)[0], show_about(TUCK_MM, bench.design.units)
    side = "on the far side" if band.band.where == "base" else "inside"
    if 1 < many <= TOLD_WEAVERS:
        made.does.append(f"Stop after row {band.rows}: make no more strokes.")
        for moment in moments:
            spoke, behind = _held_behind(bench, band, moment)
            made.count("ends behind", int(bench.made.weaver[moment]) + 1, spoke)
            which = bench.weaver(band, int(bench.made.weaver[moment]))
            verb = "stays" if behind else "goes in and stays"
            made.does.append(f"{which[:1].upper()}{which[1:]} {verb} {side}, behind {one} {spoke}.")
    elif many == 1:
        spoke, behind = _held_behind(bench, band, moments[0])
        made.count("ends behind", 1, spoke)
        made.does.append(f"Stop after row {band.rows}. Leave the weaver {side}, behind {one} {spoke}.")
    else:
        made.does.append(f"Stop after row {band.rows}. Leave every weaver {side}, each behind its {one}.")
    made.does += [f"Cut each end {tuck} long." if many > 1 else f"Cut its end {tuck} long.", "Trim it later."]
    if many > 1 and band.band.weave.turns == "stroke":
        made.looks = ["The last strokes end above the first ones: the row closes in a small step, as level as it can."]
        made.slips = [
            Slip("There is a gap where the row closes.", "You stopped too soon. Count the strokes of the last row.")
        ]
    else:
        made.looks = [f"No end stands out {'on the underside' if band.band.where == 'base' else 'outside'}."]
        made.slips = [Slip("The end springs out.", f"Tuck it in further, behind one {one} more.")]
    about = f"The end of the band: {several(many, 'weaver')} ended {side}."
    made.drawings = [Drawing(moments[0], made.beyond, "The band is ended.", about, arrow=False)]
    made.why = [("Why end here?", "The band has its rows; the next begins at another place, so that starts lie apart.")]
    return made


def _held_behind(bench: Bench, band: BandLaid, moment: int) -> tuple[int, bool]:
    """(the spoke or group, from 1, that an ended weaver lies behind; whether its last stroke went behind it)."""
    made, weaver, block = bench.made, bench.made.weaver[moment], bench.made.block[moment]
    stroke = made.by_weaver[band.index, int(block), int(weaver), "stroke"][-1]
    assert ACTS[made.act[stroke]] == "stroke"
    behind = bool(made.under[stroke] > 0)
    last = int(made.space[stroke] + made.over[stroke] + made.under[stroke] - 1)
    return (last if behind else last + 1) % band.spaces + 1, behind
