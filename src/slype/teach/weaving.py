"""A band as a beginner weaves it: take up, set in, the stroke, the end of a row, going on, joining, ending."""

from __future__ import annotations

from collections.abc import Callable

from ..advice.attachments import crown_mm
from ..lay.values import BandLaid
from ..order.course import Job
from ..tell.bands import band_minutes
from ..tell.voice import title_of_band
from ..words import listed, several
from .edge import grouped
from .ending import again, end
from .measures import compared, effect_told, how_far, off_measure
from .setting_in import set_in
from .step.backwards import last_backs, later_backs, next_back
from .step.bench import Bench, numbers
from .step.joining import cut_short, join, joins_marked
from .step.values import AFTER, Draft, Drawing, Due, Slip, afterwards, ahead, due, how
from .stroke import (
    comes_out,
    draft_of,
    is_new,
    one_stroke,
    other_way,
    row_2_lies,
    seam_alike,
    standing_at,
    steps_up,
    stroke,
    strokes_of,
)

LEANS_MM = 4.0
"""So much wider or narrower from its first row to its last is worth a word (common practice, no source)."""


def band_steps(bench: Bench, job: Job) -> list[Draft]:
    """All steps of one band in order."""
    at = next(i for i, each in enumerate(bench.laid.bands) if each.index == job.band)
    band, before = bench.laid.bands[at], bench.laid.bands[at - 1] if at else None
    chapter = title_of_band(bench.design, bench.laid, at)
    out = [*grouped(bench, band, before, chapter)]
    if job.begins:
        out.append(set_in(bench, band, chapter))
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
    if not bench.plan.joins[bench.laid.bands.index(band)].joins:  # else the step on joins says so
        draft.slips += cut_short(bench, band)
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
        "After row {row} cut the thread that ties the {cross}, and draw it out.", row=row))])  # fmt: skip
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
