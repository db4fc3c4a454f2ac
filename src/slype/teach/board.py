"""A board: its holes, its spokes, its foot border row by row; and the foot below a woven base."""

from __future__ import annotations

from itertools import groupby

from ..borders.meetings import lies_on, only_tip, threads
from ..order.course import Job
from ..plans.times import board_foot_seconds, foot_seconds, seconds_of
from ..tell.bases import (
    BOARD_OVER,
    FOOT_DRAWN_CLOSE,
    board_foot_lines,
    board_foot_trim,
    drilling_lines,
    first_on_board,
    foot_lines,
    foot_nip,
    pushed_up,
)
from ..tell.moments import Narration, border_move
from ..tell.voice import base_across
from ..words import several
from .step.bench import Bench, numbers
from .step.border_moves import lifted_told
from .step.values import Draft, Drawing, Slip, afterwards, ahead, sentences


def board(bench: Bench, _job: Job) -> list[Draft]:
    """Marking out, drilling, spokes, and the foot border row by row."""
    tell, part, made = bench.tell, bench.part("board"), bench.plan.board
    assert made is not None, "there is that part of the work"
    ready = Draft("The board", "Mark and drill the board", "board", first=part.first, beyond=part.first)
    *marked, drilled = drilling_lines(bench.plan)
    edge = bench.long(made.holes.margin_mm)
    if bench.design.form.is_round:
        marked = ["Without a template mark them as told next.", *marked]
    else:  # along its ends the template alone says where they lie
        marked = [f"Look that every mark lies {edge} from the edge."]
    ready.does = [*ahead(*_board_needed(bench)), *sentences(*marked, drilled)]
    ready.looks = [f"{made.holes.count} holes stand evenly round the board."]
    ready.slips = [
        Slip("The marks do not close to an even last gap.", "Change the step a very little and mark anew.")
        if bench.design.form.is_round else
        Slip(f"A mark does not lie {edge} from the edge.",
             "Lay the template on again, its middle lines on those of the board.")
    ]  # fmt: skip
    ready.watch = ["The template is a sheet of its own: slype sheet, with --for board, writes it.",
                   "Print it at full size."]  # fmt: skip
    seen = f"The board from above with its {made.holes.count} holes, numbered from the first the way of the work."
    ready.drawings = [Drawing(part.first, part.first, "The board from above.", seen, "board", "none", False)]
    moves = bench.acts(part, "foot")
    draft = Draft("The board", tell("Set the {spokes}"), "board", first=part.first,
                  beyond=min(moves, default=part.beyond))  # fmt: skip
    draft.bundles = [each.number for each in bench.standing("begin")]
    foot_minutes = board_foot_seconds(bench.laid) / 60
    draft.minutes = seconds_of(bench.plan.time, "begin") / 60 - foot_minutes
    others = board_foot_lines(bench.plan)[1:]
    thread = tell(f"Tie a thread round {first_on_board(bench.design)}: it is {{spoke}} 1. The space before it is space "
                  "1. With the outside towards you, count {spokes} from there towards the {forward}.")  # fmt: skip
    taken = (bench.take(each) for each in bench.standing("begin"))
    draft.does = ahead(*taken, *sentences(pushed_up(bench.plan), *_none_slips(bench), thread))
    draft.looks = [tell("{n} {spokes} stand evenly round the board.", n=made.holes.count)]
    draft.slips = [Slip(tell("A {spoke} is stiff in its hole."), "Wet it there, and push it with a twist.")]
    draft.count("ends", 0, made.holes.count)
    about = tell("The board with its {spokes} in their holes, from outside.")
    stands = tell("All {spokes} in their holes, {long} below the board.", long=_below(bench))
    draft.drawings = [Drawing(part.first, draft.beyond, stands, about, "whole", "first", False)]
    feet = _foot_of_board(bench, moves, others)
    for each in feet:
        each.minutes = foot_minutes / len(feet)
    return [ready, draft, *feet]


def _below(bench: Bench) -> str:
    """How much of each spoke stands out below the board, in words."""
    assert bench.plan.board is not None, "there is that part of the work"
    return bench.long(bench.plan.board.foot.length_mm)


def _none_slips(bench: Bench) -> list[str]:
    """How loose ends are kept at their length above the table (common practice, no source)."""
    below = _below(bench)
    return [f"Rest the middle of the board on books, {below} high.",
            bench.tell("Then the short ends stand on the table, and no {spoke} slips down.")]


def _rests_turned(bench: Bench) -> list[str]:
    """Where the board rests while its foot is worked, and what may slip by then (common practice, no source)."""
    below = _below(bench)
    return ["Rest its middle on an upturned bucket or a tall tin, so that the long ends hang free round it.",
            f"Before each bend see that {below} stands out; push it up where it has slipped."]


def _board_needed(bench: Bench) -> list[str]:
    """The board, and the template that its holes are marked by."""
    form, thick = bench.design.form, bench.long(bench.design.base.thickness_mm)
    ends = "" if form.is_round else ", its ends half round" if form.outline == "oval" else ""
    return [f"You need a board {base_across(bench.design)}, {thick} thick{ends}.",
            "Lay its template on the board: your teacher has it, printed at full size.",
            "Prick the middle of every hole through it into the wood, with the bodkin."]  # fmt: skip


def _foot_of_board(bench: Bench, moves: list[int], others: list[str]) -> list[Draft]:
    """A foot border below a board: row by row as its ends are led; else, of one worked in another order, in the lines
    that any is told in."""
    border, tell = bench.design.base.foot, bench.tell
    assert border is not None, "a board has a foot border"
    if border.is_open or border.order is not None:
        others = [others[0], *_rests_turned(bench), *others[1:]]
        draft = Draft("The board", "Work the foot", "board", ahead(*sentences(*others)), first=moves[0],
                      beyond=moves[-1] + 1)  # fmt: skip
        return [_foot_done(bench, draft, moves)]
    rows = [list(run) for _, run in groupby(moves, key=lambda m: int(bench.order.row[m]))]
    out = [_foot_row(bench, row, at, len(rows)) for at, row in enumerate(rows)]
    before = [BOARD_OVER, *_rests_turned(bench), foot_nip("board"),
              tell("Keep the outside towards you, and work towards the {forward}."),
              tell("Below the board numbers run backwards: after {spoke} 1 comes {n}, then {m}.",
                   n=bench.design.foot_ends, m=bench.design.foot_ends - 1)]  # fmt: skip
    out[0].does[:0] = ahead(*sentences(*before))
    out[-1].does += afterwards(*sentences(*(tell(line) for line in (FOOT_DRAWN_CLOSE, *board_foot_trim()))))
    _foot_done(bench, out[-1], moves)
    return out


def _foot_row(bench: Bench, row: list[int], at: int, rows: int) -> Draft:
    """One row of a foot border below a board: its first moves, its middle, its close."""
    tale, one = Narration(bench.plan, bench.laid, bench.order), bench.tell("{spoke}")
    draft = Draft("The board", f"The foot, row {at + 1}" if rows > 1 else "The foot", "board", first=row[0],
                  beyond=row[-1] + 1)  # fmt: skip
    ends, border = bench.design.foot_ends, bench.design.base.foot
    assert border is not None, "a board has a foot border"
    found = {m: threads(border, ends).get((int(bench.order.end[m]), at), ()) for m in row}
    upon = {m: lies_on(border, ends).get((int(bench.order.end[m]), at), ()) for m in row}
    told, closing = row[:3], [m for m in row if found[m]] or [m for m in row if upon[m]]
    middle = [m for m in row if m not in told and m not in closing]
    under = {each for m in closing for each in found[m]}
    lifted = [-each % ends + 1 for each in sorted(under)]
    if at:
        draft.does += ahead(bench.tell("Go round once more, from {spoke} 1 on; every {spoke} lies outside now."),
                            bench.tell("A bent {spoke} counts where it comes out of the board."))
    if lifted:
        draft.does += ahead(f"Leave {numbers(lifted, one, f'{one}s')} loose enough to lift.")
    draft.does += sentences(*(border_move(tale, m) for m in told))
    if middle:
        first, last = (-int(bench.order.end[m]) % ends + 1 for m in (middle[0], middle[-1]))
        draft.does.append(f"Do the same with {one} {first}, and so on back to {one} {last}." if first != last else
                          f"Do the same with {one} {first}.")  # fmt: skip
    for m in (m for m in closing if m not in told):
        lies = [-each % ends + 1 for each in sorted(found[m])]
        tip = only_tip(border, ends, int(bench.order.end[m]), at)
        draft.does += [lifted_told(lies, one, f"{one}s")] if lies and not tip else []
        draft.does += sentences(border_move(tale, m, lifting=tip))
        above = [-each % ends + 1 for each in sorted(upon[m])]
        draft.does += [] if lies else sentences(f"It lies above {numbers(above, one, f'{one}s')}, as all others do.")
    draft.looks = [f"Every {one} lies outside, like the one before it."]
    draft.slips = [Slip("There is a gap in the row.", f"A {one} was passed by. Go back to it.")]
    about = "The board turned over, from outside, the foot below it pointing up."
    draft.drawings = [Drawing(told[0], told[-1] + 1, f"The first {several(len(told), 'move')}, the board turned over.",
                              about, "near", "none")]  # fmt: skip
    draft.drawings.append(Drawing(row[-1], row[-1] + 1, "The last move.", about, "near", "none"))
    return draft


def _foot_done(bench: Bench, draft: Draft, moves: list[int]) -> Draft:
    draft.looks = ["The foot lies close below the board, and the tray stands level on it."]
    draft.slips = [Slip("The tray rocks on its foot.", "Press the foot down where it is high, and trim long tips.")]
    if not draft.drawings:
        about = bench.tell("The board with its {spokes} in their holes and the short ends worked below it.")
        draft.drawings = [Drawing(moves[0], moves[-1] + 1, "The foot is worked.", about, "whole", "none", False)]
    return draft


def foot(bench: Bench, _job: Job) -> list[Draft]:
    assert bench.plan.foot is not None, "it has this job"
    parts = [part for part in bench.order.parts if part.of == "foot"]
    draft = Draft("The foot", "Work the foot", parts[0].key, ahead(*sentences(*foot_lines(bench.plan))), "foot",
                 first=parts[0].first, beyond=parts[-1].beyond)  # fmt: skip
    draft.bundles = [each.number for each in bench.standing("foot")]
    draft.minutes = foot_seconds(bench.plan.foot) / 60
    draft.looks = ["The basket stands level on its foot."]
    draft.slips = [Slip("It rocks.", "Press it down where it is high, while it is damp, and trim long tips.")]
    draft.drawings = [
        Drawing(draft.first, draft.beyond, "The foot.", "The foot below the basket, dark.", "finished", "none", False)
    ]
    return [draft]
