"""Working the border: its first spokes, its middle, its closing ones, each by its number."""

from __future__ import annotations

from itertools import groupby

from ..borders.sentences import lay_first
from ..order.course import Job
from ..plans.times import border_seconds
from ..words import several
from .edge import made_ready
from .step.bench import Bench, numbers
from .step.border_moves import (
    closing_told,
    comes_out_under,
    crosses_first,
    from_inside,
    goes_in_above,
    goes_under,
    is_last_leg,
    legs_of,
    lies_upon,
    move_told,
    name_of,
    over_tip,
    over_waiting,
    runs_below,
    second_arch,
    tucked_first,
)
from .step.values import Draft, Drawing, Slip, afterwards, ahead, how, sentences

FIRST_ENDS = 3
"""So many moves of a row are told one by one."""
MOST_CLOSING = 8
"""Closing moves told one by one; of more, the last ones."""


def border_steps(bench: Bench, _job: Job) -> list[Draft]:
    """Making the spokes ready, then each row: its first ones, its middle, its last ones."""
    tell, border = bench.tell, bench.design.border
    chapter = tell("The {border}")
    out = [made_ready(bench, chapter)]
    part = bench.part("border")
    moves = list(range(part.first, part.beyond))
    if border.order is None:
        for row, run in groupby(moves, key=lambda m: int(bench.order.row[m])):
            found = list(run)
            out += _row_of_border(bench, chapter, row, found)
    else:
        out += _row_of_border(bench, chapter, -1, moves)
    out[1].minutes = border_seconds(bench.laid) / 60
    return out


def _row_of_border(bench: Bench, chapter: str, row: int, moves: list[int]) -> list[Draft]:
    """First, middle and closing moves of one row; of a border worked end by end throughout, of all of it (`row` -1)."""
    head = f"Row {row + 1}: " if row >= 0 and len(bench.design.border.rows) > 1 else ""
    closing, told = _closing_moves(bench, moves), _first_moves(bench, moves)
    out = [_first_of_row(bench, chapter, head, row, told, closing)]
    beyond = max(closing[0], told[-1] + 1) if closing else moves[-1] + 1
    rest = [m for m in moves if told[-1] < m < beyond]
    if rest:
        out.append(_middle_of_row(bench, chapter, head, rest))
    if closing:
        out.append(_close_of_row(bench, chapter, head, moves[-1], closing))
    return out


def _first_of_row(bench: Bench, chapter: str, head: str, row: int, told: list[int], closing: list[int]) -> Draft:
    tell, border, (one, many) = bench.tell, bench.design.border, bench.upright
    draft = Draft(chapter, f"{head}{'the' if head else 'The'} first {many}", "border", first=told[0],
                 beyond=told[-1] + 1)  # fmt: skip
    if row <= 0:
        draft.does = ahead(*_held(bench), tell("Work towards the {forward}."))
    else:
        side = {"in": "inside", "out": "outside"}[border.rows[row - 1].finish]
        back = f"{one.capitalize()} 1 comes next: begin again with it."
        draft.does = ahead(tell(f"Now every {one} lies {{{side}}}. {back}"),
                           f"Do the {many} feel dry? Dip them in the water again.")  # fmt: skip
        if side == "inside":
            across = [] if bench.laid.is_mat else [
                tell("You look across at the far wall: there the work goes towards the {back}.")]  # fmt: skip
            draft.does += ahead(tell("Work on {the inside}, the same way round the basket."), *across, tell(
                "Turn it as before: the side nearest to you goes to the {back}."))  # fmt: skip
        draft.does += ahead(*_over_what_lies(bench, row, side))
    if row == 0 and len(border.rows) == 1:
        draft.does += ahead(tell("This {border} has one row only: once round, and it is done."))
    draft.does += ahead(*_loose(bench, closing))
    for nth, moment in enumerate(told):
        draft.does.append(move_told(bench, moment, draft))
        draft.does += how(*goes_in_above(bench, moment)) if nth == 0 else []
        draft.does += how(*comes_out_under(bench, moment)) if nth == 0 else []
        draft.does += how(*over_waiting(bench, moment), *tucked_first(bench, moment)) if nth == 0 else []
        second = runs_below, over_tip, crosses_first, second_arch
        draft.does += how(*(line for told_of in second for line in told_of(bench, moment))) if nth == 1 else []
    draft.looks = [_after_told(bench, told)]
    draft.slips = [Slip(f"A {one} lies on the wrong side of one it should pass.", "Lift it out, count from where "
                        "it stands up, and lead it again.")]  # fmt: skip
    draft.drawings = [
        _drawing(bench, told[0], told[0], _first_caption(bench, told[0])),
        # Of arches, which cross, the last alone is dark.
        _drawing(bench, told[-1] if bench.design.border.is_open else told[0], told[-1],
                 f"The first {several(len(told), 'move')}"),
    ]
    if any(goes_under(bench, m) for m in closing):
        draft.why = [(f"Why leave the first {many} loose?",
                      "The last ones go under them; a tight one cannot be lifted.")]  # fmt: skip
    elif closing:
        draft.why = [(f"Why leave the first {many} loose?",
                      "The last ones go in over them; against the edge there would be no room.")]  # fmt: skip
    draft.count("ends", 0, bench.design.top_ends)
    return draft


def _held(bench: Bench) -> list[str]:
    """How the work is turned before the first move: what has no wall is held upright, and its moves are made at the
    top, as drawn."""
    one = bench.upright[0]
    if bench.laid.is_mat:
        return ["Hold the base upright, its underside towards you.",
                f"Turn it until {one} 1, the first after space 1, is at the top: each move is made there, as drawn."]
    return [f"Turn the basket until {one} 1, the first after space 1, is in front of you."]


def _over_what_lies(bench: Bench, row: int, side: str) -> list[str]:
    """How a later row lies to the ends that lie there, and where a bent one counts."""
    counts = bench.tell("A bent {spoke} counts at the place where it comes up out of the weaving.")
    outside = side == "outside" and bench.design.border.rows[row].legs[0][0]
    over = ["What you lead passes over the ends that come out there: it lies on your side of them."] if outside else []
    return [*over, counts]


def _middle_of_row(bench: Bench, chapter: str, head: str, rest: list[int]) -> Draft:
    border, one = bench.design.border, bench.upright[0]
    draft = Draft(chapter, head + ("go on" if head else "Go on round"), "border", first=rest[0], beyond=rest[-1] + 1)
    turned = "Turn the basket to the {back} as you go, so that the work stays {before you}."
    if from_inside(bench, rest[0]):
        turned = "Turn the basket as you go: the side nearest to you to the {back}."
    draft.does = ahead(bench.tell(turned), *_on(bench, rest))
    if border.order is not None:
        draft.does += ahead(*sentences(*map(bench.tell, lay_first(border)[2:])))
    at = rest[len(rest) // 2]
    draft.looks = [f"Every {one} lies like the one before it, a space further on."]
    draft.slips = [Slip("There is a gap in the row.", f"A {one} was passed by. Go back to it.")]
    draft.drawings = [_drawing(bench, at, at, f"In the middle of the row: {name_of(bench, at)}")]
    return draft


def _close_of_row(bench: Bench, chapter: str, head: str, end: int, closing: list[int]) -> Draft:
    one = bench.upright[0]
    last = Draft(chapter, head + ("close it" if head else "Close it"), "border", first=closing[0], beyond=end + 1)
    shown = closing[-MOST_CLOSING:]
    last.does += ahead(f"You have come round to {one} 1 again.")
    lifts = any(goes_under(bench, m) for m in closing)
    if not lifts:
        last.does += ahead("Nothing is lifted in this row.", *_before_the_first(bench, closing))
    elif len(shown) < len(closing):
        under = sum(bool(goes_under(bench, m)) for m in closing)
        last.does += ahead(f"The last {under} moves go under what lies there already.")
    last.does += [each for m in shown for each in closing_told(bench, m, last)]
    last.does += afterwards(_drawn_down(bench, closing))
    last.looks = ["Nobody can see where the row began."]
    last.slips = [
        Slip("There is a gap where it closes.",
             f"Find the {one} that did not go under; lift the loose ones and lead it again.")
        if lifts else
        Slip(f"At the close a {one} passes under the first ones.", "Take it out, and lead it over them.")
    ]  # fmt: skip
    drawings = [
        _drawing(bench, at, at, caption)
        for at, caption in (
            (closing[0], _caption(bench, closing[0])),
            (end, f"The last move: {name_of(bench, end)}"),
        )
    ]
    last.drawings = drawings[:1] if len(closing) == 1 else drawings
    last.watch = ["This is where most stop and ask: show it at one basket, slowly, before anyone begins."]
    return last


def _before_the_first(bench: Bench, closing: list[int]) -> list[str]:
    """Why the last ends of a row pass over the first ones, and how they lie to each other."""
    one, ends = bench.upright[0], bench.design.top_ends
    last = [int(bench.order.end[m]) + 1 for m in closing]
    lie = "the last ones pass over the first" if len(last) > 1 else "it passes over the first"
    out = [f"{one.capitalize()} {ends} comes before {one} 1, so {lie}."]
    if len(last) > 1:
        out.append(f"Each of them still runs lower than the one before it: {last[1]} lower than {last[0]}, and so on.")
        out.append(f"So {one} 1 runs lower than {one} {ends}, which is nearer the edge.")
    return out


def _first_moves(bench: Bench, moves: list[int]) -> list[int]:
    order = bench.design.border.order
    many = FIRST_ENDS if order is None else max(FIRST_ENDS, getattr(order, "down", 3) + 2)
    return moves[: min(many, len(moves))]


def _closing_moves(bench: Bench, moves: list[int]) -> list[int]:
    """Moves of a row that must go under what lies there already, or are laid on what has gone on already."""
    return [m for m in moves if is_last_leg(bench, m) and (goes_under(bench, m) or lies_upon(bench, m))]


def _loose(bench: Bench, closing: list[int]) -> list[str]:
    """Which are not drawn tight, and for whom."""
    order = bench.order
    lifted = sorted({each for m in closing for each in goes_under(bench, m)})
    meets = goes_under if lifted else lies_upon
    last = sorted({int(order.end[m]) + 1 for m in closing if order.end[m] >= 0 and meets(bench, m)})
    if not lifted and closing:
        first = sorted({each for m in closing for each in lies_upon(bench, m)})
        them = "it" if len(first) == 1 else "them"
        return [f"Do not draw {numbers(first, *bench.upright)} close to the edge yet.",
                f"At the close {numbers(last, *bench.upright)} will pass over {them}."]  # fmt: skip
    if not lifted:
        return ["Draw each one close as you go."]
    each = "it" if len(lifted) == 1 else "each"
    out = [f"Do not pull {numbers(lifted, *bench.upright)} tight: a pencil must fit under {each}."]
    if last:
        below = "under their arches" if bench.design.border.is_open else "under there"
        out.append(f"At the close {numbers(last, *bench.upright)} will go {below}.")
    return out


def _drawn_down(bench: Bench, closing: list[int]) -> str:
    """What becomes of those that were left loose, once the last ones lie (common practice, no source)."""
    meets = goes_under if any(goes_under(bench, m) for m in closing) else lies_upon
    loose = numbers(sorted({each for m in closing for each in meets(bench, m)}), *bench.upright)
    if bench.design.border.is_open:
        return f"Now draw {loose} to the height of all others."
    return f"Now draw {loose} close, like all others."


def _on(bench: Bench, rest: list[int]) -> list[str]:
    order = bench.order
    ends = [int(order.end[m]) + 1 for m in rest if order.end[m] >= 0]
    if bench.design.border.order is None:
        if len(ends) == 1:
            return [move_told(bench, rest[0], Draft("", "", ""))]
        return [f"Do the same with {numbers(list(range(ends[0], ends[-1] + 1)), *bench.upright)}.",
                bench.tell("Count the {spokes} you pass aloud, each time.")]  # fmt: skip
    return [f"Go on in this way: {several(len(rest), 'move')} more before it closes."]


def _after_told(bench: Bench, told: list[int]) -> str:
    rests = bench.order.rests[told[-1]]
    many = len({int(bench.order.end[m]) for m in told})
    if bench.design.border.is_open:
        high = bench.long(bench.laid.border_height_mm)
        return bench.tell(f"{several(many, 'arch', 'arches')} of one height, {high} {{above}} the last row.")
    side = bench.tell({"out": "{outside}", "in": "{inside}", "down": "tucked down"}.get(rests, "side by side"))
    return f"{several(many, *bench.upright)} {'lies' if many == 1 else 'lie'} {side}, pointing the way you work."


def _caption(bench: Bench, moment: int) -> str:
    name = name_of(bench, moment)
    under = goes_under(bench, moment) if bench.design.border.is_open else []
    if under:
        return f"{name[:1].upper()}{name[1:]} goes under {numbers(under, 'arch', 'arches')}"
    return f"{name[:1].upper()}{name[1:]} goes {'under' if goes_under(bench, moment) else 'over'}"


def _first_caption(bench: Bench, moment: int) -> str:
    name = name_of(bench, moment)
    return f"{name[:1].upper()}{name[1:]}{'' if bench.design.border.is_open else ', white on black'}"


def _drawing(bench: Bench, first: int, last: int, caption: str) -> Drawing:
    """Moves of a row, from the side on which they are made."""
    about = _about(bench, last)
    if from_inside(bench, last):
        told = bench.tell("{caption}, {from inside}: left and right change places.", caption=caption)
        return Drawing(first, last + 1, told, bench.tell("{From inside}. {about}", about=about), "inside", "none")
    return Drawing(first, last + 1, f"{caption}.", about, spaces="none")


def _about(bench: Bench, moment: int) -> str:
    said = f"{name_of(bench, moment)} goes {', then '.join(legs_of(bench, moment))}"
    if under := goes_under(bench, moment):
        said += f", under {numbers(under, *bench.upright)}"
    return f"{said[:1].upper()}{said[1:]}."
