"""Working the border: its first spokes, its middle, its closing ones, each by its number."""

from __future__ import annotations

from itertools import groupby

from ..borders.rows import INSERTION_MM, TAIL, trimmed_on
from ..borders.sentences import lay_first
from ..borders.work import goes_under, tuck
from ..order.course import Job
from ..plans.times import border_seconds
from ..tell.strokes import FACES, LEAVE
from ..words import listed, several
from .edge import made_ready
from .step.bench import Bench, numbers
from .step.values import Draft, Drawing, Slip, ahead, how, sentences

FIRST_ENDS = 3
"""So many moves of a row are told one by one."""
MOST_LEGS = 3
"""So many legs of a move are told in one breath."""
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
        back = f"Turn the basket back to {one} 1 and begin again with it."
        draft.does = ahead(tell(f"Now every {one} lies {{{side}}}. {back}"))
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
        draft.does.append(_move(bench, moment, draft))
        draft.does += how(*_goes_in_above(bench, moment)) if nth == 0 else []
        draft.does += how(*_tucked_first(bench, moment)) if nth == 0 else []
        draft.does += how(*_second_arch(bench, moment)) if nth == 1 else []
    draft.looks = [_after_told(bench, told)]
    draft.slips = [Slip(f"A {one} lies on the wrong side of one it should pass.", "Lift it out, count from where "
                        "it stands up, and lead it again.")]  # fmt: skip
    draft.drawings = [
        _drawing(bench, told[0], told[0], _first_caption(bench, told[0])),
        # Of arches, which cross, the last alone is dark.
        _drawing(bench, told[-1] if bench.design.border.is_open else told[0], told[-1],
                 f"The first {several(len(told), 'move')}"),
    ]
    draft.why = [(f"Why leave the first {many} loose?", "The last ones go under them; a tight one cannot be lifted.")]
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
    return [*(["What you lead lies on top of the ends that come out below it."] if outside else []), counts]


def _goes_in_above(bench: Bench, moment: int) -> list[str]:
    """Of the first move of a later row that ends by going in: which one comes out in that space and lies below."""
    order, border = bench.order, bench.design.border
    if border.order is not None or border.is_open or not order.passes[moment][0].stage:
        return []
    passes, row = order.passes[moment], order.passes[moment][0].stage
    if border.rows[row].finish != "in" or border.rows[row - 1].finish != "out" or not passes[-1].outside:
        return []
    space = (passes[-1].spoke + 1) % bench.design.top_ends
    there = [int(order.end[m]) for m in range(moment + 1, bench.part("border").beyond)
             if order.row[m] == row and order.passes[m][0].spoke == space]  # fmt: skip
    if not there:
        return []
    return [f"It goes in there above {bench.upright[0]} {there[0] + 1}, which comes out of that space."]


def _middle_of_row(bench: Bench, chapter: str, head: str, rest: list[int]) -> Draft:
    border, one = bench.design.border, bench.upright[0]
    draft = Draft(chapter, head + ("go on" if head else "Go on round"), "border", first=rest[0], beyond=rest[-1] + 1)
    turned = "Turn the basket to the {back} as you go, so that the work stays {before you}."
    if _from_inside(bench, rest[0]):
        turned = "Turn the basket as you go: the side nearest to you to the {back}."
    draft.does = ahead(bench.tell(turned), *_on(bench, rest))
    if border.order is not None:
        draft.does += ahead(*sentences(*map(bench.tell, lay_first(border)[2:])))
    at = rest[len(rest) // 2]
    draft.looks = [f"Every {one} lies like the one before it, a space further on."]
    draft.slips = [Slip("There is a gap in the row.", f"A {one} was passed by. Go back to it.")]
    draft.drawings = [_drawing(bench, at, at, f"In the middle of the row: {_name(bench, at)}")]
    return draft


def _close_of_row(bench: Bench, chapter: str, head: str, end: int, closing: list[int]) -> Draft:
    one = bench.upright[0]
    last = Draft(chapter, head + ("close it" if head else "Close it"), "border", first=closing[0], beyond=end + 1)
    shown = closing[-MOST_CLOSING:]
    last.does += ahead(f"You have come round to {one} 1 again.")
    if len(shown) < len(closing):
        last.does += ahead(f"The last {len(closing)} moves go under what lies there already.")
    last.does += [each for m in shown for each in _closing(bench, m, last)]
    last.looks = ["Nobody can see where the row began."]
    last.slips = [Slip("There is a gap where it closes.", f"Find the {one} that did not go under; lift the loose ones "
                       "and lead it again.")]  # fmt: skip
    drawings = [
        _drawing(bench, at, at, caption)
        for at, caption in (
            (closing[0], _caption(bench, closing[0])),
            (end, f"The last move: {_name(bench, end)}"),
        )
    ]
    last.drawings = drawings[:1] if len(closing) == 1 else drawings
    last.watch = ["This is where most stop and ask: show it at one basket, slowly, before anyone begins."]
    return last


def _first_moves(bench: Bench, moves: list[int]) -> list[int]:
    order = bench.design.border.order
    many = FIRST_ENDS if order is None else max(FIRST_ENDS, getattr(order, "down", 3) + 2)
    return moves[: min(many, len(moves))]


def _closing_moves(bench: Bench, moves: list[int]) -> list[int]:
    """Moves of a row that must go under what lies there already, from the first of them at the end of the row."""
    return [m for m in moves if _is_last_leg(bench, m) and _under(bench, m)]


def _is_last_leg(bench: Bench, moment: int) -> bool:
    """True when an end finishes its row in this move."""
    order = bench.order
    end, row = int(order.end[moment]), int(order.row[moment])
    return [m for m in order.by_end["border", end] if order.row[m] == row][-1] == moment


def _name(bench: Bench, moment: int) -> str:
    end = int(bench.order.end[moment])
    return f"{bench.upright[0]} {end + 1}" if end >= 0 else f"extra {bench.tell('{reed}')} {-end}"


def _legs(bench: Bench, moment: int, feet: bool = False) -> list[str]:
    """Where a move leads its end, leg by leg; past the `feet` of those that are bent already."""
    inside, out = _from_inside(bench, moment), []
    for outside, run in groupby(bench.order.passes[moment], key=lambda p: p.outside):
        found = [p.spoke + 1 for p in run]
        of = "the foot of " if len(found) == 1 else "the feet of "
        way = bench.tell(FACES[inside][outside != inside])
        out.append(f"{way} {of if feet else ''}{listed([str(each) for each in found])}")
    return out


def _move(bench: Bench, moment: int, into: Draft, closing: bool = False) -> str:
    order, border = bench.order, bench.design.border
    passes = order.passes[moment]
    begins = order.end[moment] >= 0 and moment == order.by_end["border", int(order.end[moment])][0]
    into.count("leads past", int(order.end[moment]) + 1, *(p.spoke + 1 for p in passes))
    verb = "Bend" if begins else "Take"
    if border.is_open:
        deep = bench.about(INSERTION_MM)
        into.count("beside", int(order.end[moment]) + 1, _beside(bench, moment))
        finish = bench.tell("; push its tip {deep} deep down beside {spoke} {n}", deep=deep, n=_beside(bench, moment))
    elif _is_last_leg(bench, moment):
        finish = _left(bench, moment)
        into.count("tucked", int(order.end[moment]) + 1, *(_tuck(bench, moment) or ()))
    else:
        finish = ""
    legs = _legs(bench, moment, closing and border.is_open)
    if len(legs) > MOST_LEGS:  # more than one breath
        rest = f"{', then '.join(legs[MOST_LEGS:])}{finish}."
        return f"{verb} {_name(bench, moment)} {', then '.join(legs[:MOST_LEGS])}; lead it on {rest}"
    return f"{verb} {_name(bench, moment)} {', then '.join(legs)}{finish}."


def _beside(bench: Bench, moment: int) -> int:
    last = bench.order.passes[moment][-1].spoke
    return (last + 1) % bench.design.top_ends + 1


def _closing(bench: Bench, moment: int, into: Draft) -> list[str]:
    order = bench.order
    threaded = bench.threads.get((int(order.end[moment]), int(order.row[moment])), ())
    if threaded:
        into.count("under", int(order.end[moment]) + 1, *(each + 1 for each in threaded))
    under = _under(bench, moment)
    if bench.design.border.is_open:
        arches, them = ("arch", "it") if len(under) == 1 else ("arches", "them")
        return [f"Lift {numbers(under, 'arch', arches)} a little: the next tip goes down below {them}.",
                _move(bench, moment, into, closing=True)]  # fmt: skip
    return [lifted_told(under, *bench.upright), _move(bench, moment, into)]


def lifted_told(under: list[int], one: str, many: str) -> str:
    """What is lifted, places from 1, before an end is led under it."""
    them = "it" if len(under) == 1 else "them"
    return f"Lift {numbers(under, one, many)} a little; the next move goes under {them}."


def _loose(bench: Bench, closing: list[int]) -> list[str]:
    """Which are not drawn tight, and for whom."""
    order = bench.order
    lifted = sorted({each for m in closing for each in _under(bench, m)})
    last = sorted({int(order.end[m]) + 1 for m in closing if order.end[m] >= 0})
    if not lifted:
        return ["Draw each one close as you go."]
    each = "it" if len(lifted) == 1 else "each"
    out = [f"Do not pull {numbers(lifted, *bench.upright)} tight: a pencil must fit under {each}."]
    if last:
        below = "below their arches" if bench.design.border.is_open else "under there"
        out.append(f"At the close {numbers(last, *bench.upright)} will go {below}.")
    return out


def _on(bench: Bench, rest: list[int]) -> list[str]:
    order = bench.order
    ends = [int(order.end[m]) + 1 for m in rest if order.end[m] >= 0]
    if bench.design.border.order is None:
        if len(ends) == 1:
            return [_move(bench, rest[0], Draft("", "", ""))]
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
    name = _name(bench, moment)
    under = _under(bench, moment) if bench.design.border.is_open else []
    if under:
        return f"{name[:1].upper()}{name[1:]} goes below {numbers(under, 'arch', 'arches')}"
    return f"{name[:1].upper()}{name[1:]} goes under"


def _first_caption(bench: Bench, moment: int) -> str:
    name = _name(bench, moment)
    return f"{name[:1].upper()}{name[1:]}{'' if bench.design.border.is_open else ', white on black'}"


def _drawing(bench: Bench, first: int, last: int, caption: str) -> Drawing:
    """Moves of a row, from the side on which they are made."""
    about = _about(bench, last)
    if _from_inside(bench, last):
        told = bench.tell("{caption}, {from inside}: left and right change places.", caption=caption)
        return Drawing(first, last + 1, told, bench.tell("{From inside}. {about}", about=about), "inside", "none")
    return Drawing(first, last + 1, f"{caption}.", about, spaces="none")


def _from_inside(bench: Bench, moment: int) -> bool:
    """True for a move that is made on the inside, where the row before left its ends."""
    stage = bench.order.passes[moment][0].stage
    return stage > 0 and bench.design.border.rows[stage - 1].finish == "in"


def _about(bench: Bench, moment: int) -> str:
    said = f"{_name(bench, moment)} goes {', then '.join(_legs(bench, moment))}"
    under = bench.threads.get((int(bench.order.end[moment]), int(bench.order.row[moment])), ())
    if under:
        said += f", under {numbers([each + 1 for each in under], *bench.upright)}"
    return f"{said[:1].upper()}{said[1:]}."


# Tucked down -------------------------------------------------------------------------------------------------


def _left(bench: Bench, moment: int) -> str:
    """What is done with an end that has finished its row."""
    tuck, finish = _tuck(bench, moment), bench.design.border.rows[bench.order.passes[moment][0].stage].finish
    if tuck is None:
        through = _through(bench, moment, finish)
        return f", then {through}; leave it there" if through else f", and {bench.tell(LEAVE[finish])}"
    space, *over = tuck
    under = f", under {bench.upright[0]} {over[0]}" if over else ""
    return f", and tuck it down at space {space}{under}"


def _through(bench: Bench, moment: int, finish: str) -> str:
    """`out at space 3`, where an end goes through to the other side before it is left; "" where it does not."""
    last = bench.order.passes[moment][-1]
    if finish not in ("in", "out") or last.outside == (finish == "out"):
        return ""
    space = (last.spoke + 1) % bench.design.top_ends + 1
    return f"{finish} at space {space}"


def _tuck(bench: Bench, moment: int) -> tuple[int, ...] | None:
    """(space in which an end is tucked down in this row, the one it goes down under; from 1), or None."""
    border = bench.design.border
    if bench.order.passes[moment][0].stage < len(border.rows) - 1:
        return None
    found = tuck(border, bench.design.top_ends, int(bench.order.end[moment]))
    return None if found is None else tuple(each + 1 for each in found if each is not None)


def _under(bench: Bench, moment: int) -> list[int]:
    """Which lie already where an end is led at the close, and must be lifted for it (from 1)."""
    end, row = int(bench.order.end[moment]), int(bench.order.row[moment])
    return [each + 1 for each in goes_under(bench.design.border, bench.design.top_ends, end, row)]


def _tucked_first(bench: Bench, moment: int) -> list[str]:
    """How an end is tucked down, told at the first one; nothing where it is not."""
    tuck = _tuck(bench, moment)
    if bench.design.border.is_open:
        return [bench.tell("The tip of {spoke} {m} goes down along {spoke} {n}, on its {back}: the side it comes from.",
                           m=int(bench.order.end[moment]) + 1, n=_beside(bench, moment)),
                bench.tell("Every later tip goes down on the {back} of its {spoke} too.")]  # fmt: skip
    if tuck is None or not _is_last_leg(bench, moment):
        return []
    side, one = bench.tell(f"{{the {trimmed_on(bench.design.border)}}}"), bench.upright[0]
    tip = f"The tip of {one} {int(bench.order.end[moment]) + 1}"
    between = f"{tip} points down on {side}, close to the weaving."
    if len(tuck) > 1:
        between = f"{tip} goes down on {side}, between the end of {one} {tuck[1]} there and the weaving."
    return [between, bench.tell("Draw it down until it lies flat; at least {deep} must lie past {spoke} {n}.",
                                deep=tip_long(bench), n=bench.order.passes[moment][-1].spoke + 1),
            "What is left over hangs there until it is trimmed."]  # fmt: skip


def _second_arch(bench: Bench, moment: int) -> list[str]:
    """Which of two arches lies outside where they cross, told at the second; nothing where the first goes past none."""
    first = bench.order.passes[bench.order.by_end["border", int(bench.order.end[moment]) - 1][0]] \
        if bench.order.end[moment] > 0 else ()  # fmt: skip
    mine = [p for p in first if p.spoke == bench.order.end[moment]]
    if not bench.design.border.is_open or not mine:
        return []
    lies, face = ("behind", "in front of") if mine[0].outside else ("in front of", "behind")
    n = int(bench.order.end[moment])
    past = listed([str(p.spoke + 1) for p in bench.order.passes[moment]])
    return [bench.tell("Where arches {n} and {m} cross, arch {m} lies {lies} arch {n}.", n=n, m=n + 1, lies=lies),
            bench.tell("From there it comes down {face} {past}.", face=face, past=past),
            *_third_arch(bench, lies)]  # fmt: skip


def _third_arch(bench: Bench, lies: str) -> list[str]:
    """How many earlier arches each one crosses: those of the ones that it goes past."""
    crossed = min(sum(bool(p.outside) == bool(bench.order.passes[m][0].outside) for p in bench.order.passes[m])
                  for m in bench.order.by_end["border", 0])  # fmt: skip
    if crossed < 2:
        return ["So it is with every next one."]
    both = "both" if crossed == 2 else f"all {crossed}"
    earlier = numbers(list(range(1, crossed + 1)), "arch", "arches")
    return [f"Arch {crossed + 1} crosses {earlier}: it lies {lies} {both}.",
            f"So every next one lies {lies} the {crossed} before it."]  # fmt: skip


def tip_long(bench: Bench) -> str:
    return bench.about(TAIL * bench.design.border_reed_mm)
