"""A band as a beginner weaves it: take up, set in, the stroke, the end of a row, going on, joining, ending."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from ..advice.attachments import crown_mm
from ..lay.values import BandLaid
from ..order.course import Job
from ..plans.bundles import WEAVER_STEP_MM, Bundle
from ..plans.piece import round_up
from ..tell.bands import band_minutes
from ..tell.voice import title_of_band
from ..weave.table import EVERY_END
from ..words import listed, several
from .bench import Bench, numbers
from .edge import grouped
from .ending import again, end, join, joins_marked, over_old, runs_out
from .measures import compared, effect_told, how_far, off_measure
from .stroke import (
    TOLD_WEAVERS,
    comes_out,
    draft_of,
    is_new,
    last_backs,
    later_backs,
    next_back,
    one_stroke,
    other_way,
    row_2_lies,
    seam_alike,
    standing_at,
    steps_up,
    stroke,
    strokes_of,
)
from .values import AFTER, Draft, Drawing, Due, Slip, afterwards, ahead, due, how, sentences

LEANS_MM = 4.0
"""So much wider or narrower from its first row to its last is worth a word (common practice, no source)."""


def band_steps(bench: Bench, job: Job) -> list[Draft]:
    """All steps of one band in order."""
    at = next(i for i, each in enumerate(bench.laid.bands) if each.index == job.band)
    band, before = bench.laid.bands[at], bench.laid.bands[at - 1] if at else None
    chapter = title_of_band(bench.design, bench.laid, at)
    out = [*grouped(bench, band, before, chapter)]
    if job.begins:
        out.append(_set_in(bench, band, chapter))
        out.append(stroke(bench, band, chapter))
    if bench.plan.joins[at].joins:  # told before the hands come to one
        out.append(join(bench, band, chapter))
    row = _row(bench, band, chapter, job)
    row.minutes = band_minutes(bench.plan, at)
    out.append(row)
    if band.segments[1:]:
        out.append(again(bench, band, chapter))
    if job.ends:
        out.append(end(bench, band, chapter))
    return out


# Set in --------------------------------------------------------------------------------------------------------


def is_folded(bench: Bench, band: BandLaid) -> bool:
    """True where the first two weavers are one reed folded in half round an arm or end."""
    return bench.design.base.begin == "folded" and band is bench.laid.bands[0] and len(band.colours) == 2


def _set_in(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    many, space = len(band.colours), bench.space(band)
    draft = draft_of(bench, band, chapter, f"Set in {'the weaver' if many == 1 else f'{many} weavers'}")
    part = bench.part(band.band.where, band.index)
    moments = [m for m in bench.acts(part, "set in") if bench.order.block[m] == 0]
    draft.first, draft.beyond = moments[0], moments[-1] + 1
    found = bench.of_band(band)
    draft.bundles = [each.number for each in found]
    draft.does = ahead(*(bench.take(each) for each in found), *_in_order(bench, band, found))
    lead = len(draft.does)
    places = [int(bench.order.space[m]) + 1 for m in moments]
    for weaver, place in enumerate(places):
        draft.count("set in", weaver + 1, place)
    tuck = bench.about(band.tail_mm)
    side = "on the far side" if band.band.where == "base" else "inside"
    if is_folded(bench, band):
        draft.does += how(*_folded(bench, band, places))
    elif many == 1:
        draft.does.append(f"Put one tail of the weaver through {space} {places[0]}, from the front.")
        draft.does += how(f"Leave {tuck} of the weaver {side}, behind {_before(bench, band, places[0])}.")
    else:
        draft.does += _each_set_in(bench, band, places, space)
        draft.does += how(f"Leave a tail of {tuck} of each weaver {side}.", _starts_behind(bench, band, places))
        draft.does += how(*_told_apart(bench, band))
    if not is_folded(bench, band):
        draft.does += how(_runs_on(bench, band))
    turned = [bench.faced(places[0], band)]
    if band.band.strands > 1:
        one = "The weaver" if many == 1 else "Each weaver"
        turned.append(bench.tell("{one} is {n} {reed}s side by side; keep them flat.", one=one, n=band.band.strands))
        turned += _strands_told(band)
    draft.does[lead:lead] = ahead(*turned)
    draft.does += how(*_on_what_lies(bench, band, places))
    draft.looks = [_waiting(bench, band, places)]
    draft.slips = [_set_in_slip(bench, band, places)]
    where = f"{space} {places[0]}" if many == 1 else f"{space}s {listed([str(p) for p in places[:TOLD_WEAVERS]])}"
    if many > TOLD_WEAVERS:
        where = f"every {space}, the first at {places[0]}"
    about = f"{several(many, 'weaver')} set in, hanging towards you from {where}."
    whole = band.band.where == "base" and band.band.group > 1 and places[0] == 1
    dotted = ""
    if band.band.where == "base" and not is_folded(bench, band):
        dotted = f" Dotted: {'its tail' if many == 1 else 'their tails'} on the far side."
    draft.drawings = [Drawing(draft.first, draft.beyond, f"Set in at {where}.{dotted}", about,
                             "whole" if whole else "near", "all", False, fold=is_folded(bench, band))]  # fmt: skip
    draft.watch = [f"All hold {'the underside' if band.band.where == 'base' else 'the outside'} towards them."]
    shades = {bench.colour(band, k) for k in range(many)}
    if len(shades) > 1:
        draft.watch.append(bench.tell("The order of the {colours}: the whole pattern hangs on it."))
    apart = "So that no start stands over the one below. " if bench.begins_apart(band) else ""
    draft.why = [(f"Why in {space} {places[0]}?",
                 f"{apart}There row 1 begins{' on the chart, too' if compared(bench, band) else ''}: all rows and "
                 "joins are counted from it.")]  # fmt: skip
    return draft


def _on_what_lies(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    """How a start lies to the band before, whose weavers may have been ended in the same spaces; of the first band of a
    wall, on what its first row lies."""
    at = bench.laid.bands.index(band)
    before = bench.laid.bands[at - 1] if at else None
    if before is None or before.band.where != band.band.where:
        if band.band.where != "side" or bench.is_lid:
            return []
        on = "on the board" if bench.plan.board is not None else \
            bench.tell("on the edge of the base, where the {spokes} turn up") if before is not None else ""  # fmt: skip
        return [f"Row 1 lies {on}."] if on else []
    if before.spaces != band.spaces or len(places) > TOLD_WEAVERS:
        return []
    part = bench.part(before.band.where, before.index)
    return over_old(bench, before, [m for m in bench.acts(part, "end")
                                    if bench.order.block[m] == len(before.segments) - 1], places)  # fmt: skip


def _set_in_slip(bench: Bench, band: BandLaid, places: list[int]) -> Slip:
    space, told = bench.space(band), listed([str(place) for place in places[:TOLD_WEAVERS]])
    if 1 < len(places) <= TOLD_WEAVERS:
        return Slip(f"Two weavers hang from one {space}.", f"Move one on, so that they hang in {space}s {told}.")
    if is_new(bench, band):
        return Slip("The start slips out.", "Hold it with a peg for the first few strokes.")
    return Slip(f"You are not sure of {space} {places[0]}.", "Count again from the thread.")


def _folded(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    one, space = bench.passes(band)[0], bench.space(band)
    first = next(cut for cut in bench.plan.cuts if cut.fold_mm > 0)
    whole, fold = bench.cut(first.pieces_mm[0]), bench.cut(first.fold_mm)
    return [
        f"Take the length of {whole} and fold it, {fold} from one tail.",
        f"Lay the fold behind {one} {places[0]}.",
        f"Bring that half out at {space} {places[0]}: it is weaver 1.",
        f"Bring the other half out at {space} {places[1]}: it is weaver 2.",
    ]


def _strands_told(band: BandLaid) -> list[str]:
    """In which order the reeds of a weaver lie, where their colours differ."""
    if all(len(set(colours)) == 1 for colours in band.colours):
        return []
    if len(set(band.colours)) == 1:
        return [f"From the bottom up they are {listed(list(band.colours[0]))}."]
    return [f"Weaver {k}, from the bottom up: {listed(list(colours))}." for k, colours in enumerate(band.colours, 1)]


def _in_order(bench: Bench, band: BandLaid, found: tuple[Bundle, ...]) -> list[str]:
    """Which lengths of a bundle come first, where a weaver is joined: a line for each weaver where they differ."""
    cuts = sorted((cut for cut in bench.plan.cuts if cut.course.begins is band), key=lambda cut: cut.weaver)
    if all(len(cut.pieces_mm) < 2 for cut in cuts) or len(cuts) > TOLD_WEAVERS or not found:
        return []
    told = [_pieces_told(bench, cut.pieces_mm) for cut in cuts]
    if len(cuts) == 1:
        of = bench.tell("Pieces of each {reed}") if band.band.strands > 1 else "The weaver's pieces"
        return [f"{of}, joined as you weave, in turn: {told[0]}."]
    if len(set(told)) == 1:
        of = bench.tell("Pieces of each {reed} of a weaver") if band.band.strands > 1 else "Each weaver's pieces"
        return [f"{of}, in turn: {told[0]}."]
    of = bench.tell("each {reed} of ") if band.band.strands > 1 else ""
    return [f"Pieces of {of}{bench.weaver(band, cut.weaver)}, in turn: {said}."
            for cut, said in zip(cuts, told, strict=True)]  # fmt: skip


def _pieces_told(bench: Bench, pieces_mm: tuple[float, ...]) -> str:
    """`3.00 m; 4 of 3.00 m; 2.35 m`: a weaver's pieces as they are cut, and listed."""
    units = bench.design.units
    cut = [bench.cut(round_up(mm, WEAVER_STEP_MM[units])) for mm in pieces_mm]
    runs = [(length, len(list(run))) for length, run in groupby(cut)]
    return "; ".join(length if many == 1 else f"{many} of {length}" for length, many in runs)


def _each_set_in(bench: Bench, band: BandLaid, places: list[int], space: str) -> list[str]:
    many = len(places)
    if band.band.weave.weavers == EVERY_END or many > TOLD_WEAVERS:
        names = [bench.colour(band, k) for k in range(many)]
        shades = names[0] if len(set(names)) == 1 else f"{', '.join(dict.fromkeys(names))} in turn"
        return [f"Put one weaver ({shades}) through every {space}. Begin at {space} {places[0]}."]
    return [
        f"Put {bench.weaver(band, k)} through {space} {place}, from the front."
        for k, place in enumerate(places)
    ]


def _before(bench: Bench, band: BandLaid, place: int) -> str:
    """What stands before a space (from 1): behind it the start of a weaver lies."""
    return f"{bench.passes(band)[0]} {(place - 2) % band.spaces + 1}"


def _starts_behind(bench: Bench, band: BandLaid, places: list[int]) -> str:
    """Behind which the tail of each weaver lies."""
    one = bench.passes(band)[0]
    if len(places) > MOST_TAILS:
        return f"Each lies behind the {one} before its {bench.space(band)}."
    told = [f"tail 1 behind {_before(bench, band, places[0])}"]
    told += [f"tail {k} behind {(place - 2) % band.spaces + 1}" for k, place in enumerate(places[1:], start=2)]
    return f"Lay {', '.join(told)}."


def _runs_on(bench: Bench, band: BandLaid) -> str:
    """Which way the tails of a start point, and how far they reach besides what they lie behind."""
    tails, run = ("The tail points", "runs") if len(band.colours) == 1 else ("The tails point", "run")
    more = int(band.tail_mm / float(band.spacing[0]) - 0.5)
    one, many = bench.passes(band)
    past = f"past {several(max(more, 1), f'{one} more', f'{many} more')}"
    if band.band.group > 1 and not more:
        past = "a little past it" if len(band.colours) == 1 else "a little past these"
    return bench.tell("{tails} to the {back}, the way you come from, and {run} on {past}.", tails=tails, run=run,
                      past=past)  # fmt: skip


def _told_apart(bench: Bench, band: BandLaid) -> list[str]:
    """How weavers of one colour are told apart, where rows begin with others of them or joins are told of each."""
    many, rows = len(band.colours), band.segments[0][1]
    alike = 1 < many <= TOLD_WEAVERS and len(set(band.colours)) == 1
    strokes = strokes_of(bench, band)
    begins = {int(bench.order.weaver[next(m for m in strokes if bench.order.row[m] == row)]) for row in range(rows)}
    joined = any(len(cut.pieces_mm) > 1 for cut in bench.plan.cuts if cut.course.begins is band)
    if not alike or not (len(begins) > 1 or joined):
        return []
    moved = " At a join tie it to the new length." if joined else ""
    return sentences(f"They look alike: tie a thread to the tip of weaver 1.{moved}")


MOST_TAILS = 4
"""Tails of a start told one by one; of more, how each lies."""


def _waiting(bench: Bench, band: BandLaid, places: list[int]) -> str:
    if len(places) == 1:
        return "One weaver hangs towards you."
    return f"{len(places)} weavers hang towards you, one from each {bench.space(band)}."


# A row, going on -----------------------------------------------------------------------------------------------


def _row(bench: Bench, band: BandLaid, chapter: str, job: Job) -> Draft:
    _tell, weave, made_of = bench.tell, band.band.weave, bench.order
    strokes, begun = strokes_of(bench, band), band.segments[0]
    draft = draft_of(bench, band, chapter, "Go round: row 1" if begun[1] == 1 else f"Go round: rows 1 to {begun[1]}")
    first_row = [m for m in strokes if made_of.row[m] == 0 and made_of.block[m] == 0]
    last_row = [m for m in strokes if made_of.row[m] == begun[1] - 1 and made_of.block[m] == 0]
    draft.first, draft.beyond = first_row[0], last_row[-1] + 1
    draft.rows = (1, begun[1])
    draft.count("strokes in a row", 0, len(first_row))
    space, many, start = bench.space(band), len(band.colours), begun[2]
    done = due_at(first_row[-1] + 1)
    if weave.turns == "stroke":
        draft.does = [f"Go on, one stroke from every {space}."]
        draft.does += done(
            f"Row 1 is done after {len(first_row)} strokes." if weave.cycle[1:] == () else
            f"Row 1 is done when the weavers are back at {space} {start + 1}."
        )  # fmt: skip
        if begun[1] > 1:
            draft.does += done(*steps_up(bench, band, strokes, len(first_row)))
            if many > 1 and is_new(bench, band):
                draft.looks.append("Where row 1 meets row 2 there is a small rise. It belongs there.")
    elif weave.turns == "back":
        draft.does = [*last_backs(bench, band, first_row)]
        draft.does += done(f"Row 1 is done when every {space} has its weaver again: {len(first_row)} strokes.",
                           *next_back(bench, band, strokes, len(first_row)))  # fmt: skip
    elif many == 1:
        draft.does = done(
            *_round_done(bench, band, first_row[-1], start + 1),
            f"That is {several(len(first_row), 'stroke')}.",
            "Do not stop there: go straight on into row 2." if band.rows > 1 else "That is all of this band.",
        )  # fmt: skip
        if weave.cycle == ((1, 1),) and band.locked and band.rows > 1:
            one = bench.passes(band)[0]
            draft.looks.append(f"Row 2 goes behind each {one} that row 1 passed in front of.")
            draft.slips.append(Slip("Row 2 does the same as row 1.", f"You missed a {one}. Take back to it."))
    else:
        all_of = "both" if many == 2 else f"all {many}"
        draft.does = done(f"When {all_of} have gone once round, {several(len(first_row), 'stroke')}, row 1 is done.")
    lead = []
    if not job.begins:
        lead.append("Go on with the weavers of the band before, in the same stroke.")
        before = bench.laid.bands[bench.laid.bands.index(band) - 1]
        if before.sizes != band.sizes:  # over what is new, the first stroke is told again
            lead.append(one_stroke(bench, band, strokes[0], draft))
    lead += _lean(bench, band)
    draft.does = [*ahead(*lead), *draft.does]
    if bench.plan.joins[bench.laid.bands.index(band)].joins:
        draft.does += done("A weaver that runs out is joined as the step before shows.")
        draft.marks += joins_marked(bench, band)
    draft.does += how_far(bench, band, begun, strokes, first_row[-1] + 1, draft)
    if weave.turns == "back":
        draft.does = in_turn([*draft.does, *later_backs(bench, band, strokes, begun[1], draft)])
    if begun[1] < band.rows:
        draft.marks.append((begun[1], "start again"))
    if not job.ends:
        draft.does += afterwards("Do not end the weavers: the next band goes on with them.")
    alike = seam_alike(bench, band)
    if alike:
        two = numbers(alike, *bench.passes(band))
        draft.looks.append(f"Where each row begins, {two} look alike: that belongs there.")
    draft.looks += effect_told(bench, band)
    _thread_off(bench, band, draft, strokes)
    draft.chart = compared(bench, band)
    if is_new(bench, band) or not draft.looks:
        draft.looks.append("Each row lies close on the one before, with no gap.")
    if is_new(bench, band) or not (draft.slips or begun[1] == band.rows):
        draft.slips.append(Slip("A row rides up at one place.", "Press it down there with the side of the bodkin."))
    first_there = [each for each in bench.laid.bands if each.band.where == band.band.where and each.rows > 1][:1]
    if band in first_there and band.band.where == "base":
        _crowned(bench, draft)
    draft.slips += runs_out(bench, band)
    if begun[1] == band.rows:
        draft.slips.append(off_measure(bench, band))
    at = first_row[-1] + 1
    if weave.turns == "stroke" and begun[1] > 1 and many > 1:
        stand = standing_at(bench, band, strokes, len(first_row))
        about = f"The end of row 1: weavers hang in {space}s {listed([str(s) for s in stand])}, one row up."
        draft.drawings = [Drawing(at - many, at, "The end of row 1.", about, arrow=False)]
    else:
        draft.drawings = [Drawing(at - 1, at, "Row 1 is closed.", f"The end of row 1 at {space} {start + 1}.")]
    _row_2_otherwise(bench, band, draft, strokes, len(first_row))
    draft.drawings.append(
        Drawing(draft.beyond, draft.beyond, f"After row {begun[1]}.", f"The work after row {begun[1]}.", "whole",
                "first", False)
    )  # fmt: skip
    base = "The middle of the base goes away from the hands." if crown_mm(bench.laid) else (
           "The base stays flat; if it cups, pull less.")  # fmt: skip
    draft.watch = ["Rows pressed down before the next begins.", "Ends upright and even: a hand inside holds them."
                  if band.band.where == "side" else base]  # fmt: skip
    pressed, out = ("towards the middle", "wider") if band.band.where == "base" else ("down", "higher")
    draft.why = [(f"Why press each row {pressed}?",
                 f"Loose rows leave gaps, and so many would come out {out} than planned.")]  # fmt: skip
    return draft


def _crowned(bench: Bench, into: Draft) -> None:
    """How a base is kept from cupping the wrong way: a wide one is bent a little, so that it stands on its edge."""
    crown = crown_mm(bench.laid)
    if not crown:
        into.slips.append(Slip("The base cups like a saucer.", "Pull less, and press it flat on the table."))
        return
    told = ("Press the middle a little away from you with every row, in every band of the base.",
            f"When the base is done its middle lies about {bench.long(crown)} further from you than its edge.",
            "Then the basket stands on that edge and does not rock.")  # fmt: skip
    into.does = [*how(*told), *into.does]
    into.slips.append(Slip("The base cups towards you.", "Pull less, and press its middle away from you."))


def _row_2_otherwise(bench: Bench, band: BandLaid, draft: Draft, strokes: list[int], done: int) -> None:
    """Of a weave that is laid the other way in every second row: the first stroke of row 2, told and drawn."""
    side = other_way(band)
    if not side or band.segments[0][1] < 2:
        return
    m = strokes[done]
    which = bench.weaver(band, int(bench.order.weaver[m]))
    others = several(len(band.colours) - 1, "other", "others")
    caption = f"Row 2 begins: {which} goes {side} the {others}."
    about = f"The first stroke of row 2: {which} goes {side} the {others}, {row_2_lies(band)}."
    draft.drawings = [Drawing(m, m + 1, caption, about)]


TIED_ROWS = 2
"""The thread that ties a cross is cut off after so many rows of the base (common practice, no source)."""


def _thread_off(bench: Bench, band: BandLaid, draft: Draft, strokes: list[int]) -> None:
    """When the thread that ties the cross is cut off, said and at the box of its row."""
    base, row = bench.design.base, TIED_ROWS
    tied = base.kind == "laid cross" or not bench.design.form.is_round
    if not tied or not bench.laid.base or band is not bench.laid.base[0] or band.segments[0][1] < row:
        return
    last = max(m for m in strokes if bench.order.row[m] < row)
    draft.does = in_turn([*draft.does, *due(last + 1, bench.tell(
        "After row {row} cut off the thread that ties the {cross}.", row=row))])  # fmt: skip
    draft.marks.append((row, bench.tell("cut thread of {cross}")))


def _lean(bench: Bench, band: BandLaid) -> list[str]:
    """How the wall comes to flare or to draw in, where this band does; nothing where it goes straight up."""
    if band.band.where != "side":
        return []
    wider = 2 * float(bench.design.form.radius(band.end_s) - bench.design.form.radius(band.start_s))
    if abs(wider) < LEANS_MM:
        return []
    if wider > 0:
        loosen = ["Loosen the string as the basket grows wider."] if bench.is_tied else []
        return [bench.tell("Lean the {spokes} out a little as you weave: the basket grows wider here."), *loosen]
    return [bench.tell("Lean the {spokes} in a little and pull a bit firmer: the basket grows narrower here.")]


def _round_done(bench: Bench, band: BandLaid, last: int, start: int) -> list[str]:
    """What shows that one weaver has gone once round: where its last stroke comes out, at or past its beginning."""
    space, out = bench.space(band), comes_out(bench, band, last)
    began = f"{space} {start}, where it began"
    if out == start:
        return [f"Row 1 is done when the weaver comes out at {began}."]
    return [f"Row 1 is done when the weaver comes out at {space} {out}.", f"It has then just passed {began}."]


def in_turn(does: list[str | Due]) -> list[str | Due]:
    """Sentences in the order in which they are due; what the moves themselves do comes before all that is not ahead."""

    def turn(each: str | Due) -> float:
        return 0.0 if isinstance(each, str) else float("inf") if each.moment == AFTER else float(each.moment)

    return sorted(does, key=turn)


def due_at(moment: int) -> Callable[..., list[str | Due]]:
    """Makes sentences due when so many moments are done."""
    return lambda *lines: due(moment, *lines)
