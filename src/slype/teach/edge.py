"""Turning up, adding ends on the way, and working the border: its first ends, its middle, its closing ends."""

from __future__ import annotations

from itertools import groupby

from ..borders.sentences import before, lay_first, tips
from ..lay.laying import BandLaid
from ..plans.planning import SPARE_MM
from ..plans.times import border_seconds, pushing_in, seconds_of
from ..tell.added_ends import added_lines, added_title, bye_cut_lines, bye_lines
from ..tell.openings import OUTSIDE
from ..tell.strokes import FACES, LEAVE, TRIM
from ..tell.voice import soak_words, worded
from ..words import listed, several
from .bench import Bench
from .draft import Draft, sentences
from .values import Drawing, Slip

FIRST_ENDS = 3
"""So many ends of a row are told one by one."""
MOST_CLOSING = 8
"""Closing ends told one by one; of more, the last ones."""


def insert(bench: Bench) -> Draft:
    """Pushing the side spokes in beside the base sticks."""
    tell, long, spokes = bench.tell, bench.long, bench.design.spokes
    part = bench.part("insert")
    draft = Draft(tell("The side {spokes}"), tell("Insert the side {spokes}"), "insert", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "insert") / 60
    found = bench.standing("insert")
    draft.bundles = [each.number for each in found]
    ends, base = spokes.ends, spokes.base_ends
    one = tell("side {spoke}") if spokes.per_end == 1 else tell("set of {n} side {spokes}", n=spokes.per_end)
    draft.does = [
        "Trim the base sticks level with the edge of the base.",
        *(bench.take(each) for each in found),
        "Open the way beside a base stick with the bodkin. Push away from you.",
        tell("Push a {one} in, slype first, {deep} deep.", one=one, deep=long(spokes.insertion_mm)),
        "Its flat side lies to the stick.",
        *_where_in(bench, ends, base, one),
        tell("Count: {n} {spokes} stand out.", n=ends * spokes.per_end),
        "Tie the thread on again where space 1 was.",
    ]
    draft.count("ends", 0, ends)
    draft.looks = [tell("{Spokes} stand out all round, and none can be pulled out easily.")]
    draft.slips = [Slip(tell("A {spoke} slides out."), "Push it in again deeper, and a little to one side.")]
    about = tell("The base from below with {n} side {spokes} pushed in, numbered.", n=ends * spokes.per_end)
    draft.drawings = [
        Drawing(part.first, part.first + min(3, ends), "The first ones go in.", tell("Three side {spokes} pushed in."),
                "near", "none"),
        Drawing(part.beyond - 1, part.beyond, "All are in.", about, "whole", "none", False),
    ]  # fmt: skip
    draft.watch = ["A bodkin slips: nobody's hand lies in front of it."]
    return draft


def _where_in(bench: Bench, ends: int, base: int, one: str) -> list[str]:
    tell = bench.tell
    if ends == 2 * base:
        return ["Do so on each side of every base stick end."]
    if ends == 2 * base - 1:
        return ["Do so on each side of every base stick end.", f"Only the last stick gets a single {one}."]
    if ends == base:
        return [tell("Do so beside every base stick end, always on its {forward}-hand side.")]
    if base < ends < 2 * base:
        return ["Do so beside every base stick end.", f"Spread {ends - base} more evenly, on the other sides."]
    return [f"Spread {ends} places evenly over the {base} base stick ends."]


def turn_up(bench: Bench) -> Draft:
    """Nipping and bending every end up."""
    tell, spokes, part = bench.tell, bench.design.spokes, bench.part("turn")
    draft = Draft(tell("Turn up the {spokes}"), tell("Turn up the {spokes}"), "turn", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "turn up") / 60
    draft.does = [
        tell("Soak the {spokes} where they will bend: {soak}.",
             soak=soak_words(spokes.reed.soak().words).split(",")[0]),
        tell("Nip each {spoke} with round-nosed pliers, close to the last row of the base."),
        "Keep the underside of the base towards you.",
        tell("Bend every {spoke} away from you."),
        "Hold them together with a tie, or with pegs.",
        *sentences(tell(OUTSIDE)),
    ]  # fmt: skip
    if spokes.per_end > 1:
        draft.does.append(tell("The {n} {spokes} of one place count as one.", n=spokes.per_end))
    draft.count("ends", 0, bench.design.foot_ends)
    draft.looks = [tell("All {n} ends stand up, like a cage; the base is their floor.", n=bench.design.foot_ends)]
    draft.slips = [
        Slip(tell("A {spoke} cracks at its bend."), "Cut it off and push a new one in beside its stump."),
        Slip(tell("You bent them towards you."), "Bend them back: the side you saw so far will be the outside below."),
    ]
    about = tell("The {spokes} stand up all round, seen from outside; space 1 and the ends near it are numbered.")
    draft.drawings = [
        Drawing(part.first + 3, part.first + 4, tell("A {spoke} is bent up."),
                tell("{n} {spokes} bent up, the last one dark.", n=4), "whole", "none"),
        Drawing(part.beyond, part.beyond, "All stand.", about, "whole", "none", False),
    ]  # fmt: skip
    draft.watch = ["Everyone has turned the basket the same way: outside towards them."]
    draft.why = [
        (tell("Why nip the {spokes}?"), "A nip makes a sharp bend; without it the edge of the base goes round.")
    ]
    return draft


def pushed_in(bench: Bench, band: BandLaid) -> list[Draft]:
    """What is pushed in before a band: more ends, or bye-spokes."""
    out = []
    for what, seconds in pushing_in(bench.laid, bench.laid.bands.index(band)):
        title, lines = (
            (added_title(bench.plan, bench.laid.bands.index(band)), added_lines(bench.plan, band.index))
            if what == "ends"
            else (bench.tell("Add the bye-{spokes}"), bye_lines(bench.plan))
        )
        part = bench.part("add" if what == "ends" else "bye", band.index)
        draft = Draft(title, title, part.key, sentences(*lines), band=band.index, first=part.first, beyond=part.beyond)
        draft.minutes = seconds / 60
        draft.bundles = [each.number for each in bench.standing("add", band.index)]
        draft.count("ends", 0, band.ends)
        draft.looks = [f"{band.ends} ends stand, each new one close to an old one."]
        draft.slips = [Slip("You lose count.", "Begin again at space 1 and put a peg on every new one.")]
        draft.drawings = [Drawing(part.first, part.beyond, title + ".", f"{title}: the new ones are dark.", "near")]
        out.append(draft)
    return out


# Border --------------------------------------------------------------------------------------------------------


def border_steps(bench: Bench) -> list[Draft]:
    """Making the ends ready, then each row: first ends, middle, closing ends; trimming."""
    tell, border = bench.tell, bench.design.border
    chapter = tell("The {border}")
    out = [_ready(bench, chapter)]
    part = bench.part("border")
    moves = list(range(part.first, part.beyond))
    if border.order is None:
        for row, run in groupby(moves, key=lambda m: int(bench.order.row[m])):
            found = list(run)
            out += _row_of_border(bench, chapter, row, found)
    else:
        out += _row_of_border(bench, chapter, -1, moves)
    out.append(_trim(bench, chapter))
    out[1].minutes = border_seconds(bench.laid) / 60
    return out


def _standing_mm(bench: Bench) -> float:
    plan = bench.plan
    ends = 1 if bench.design.spokes.inserted or plan.board else 2
    return (plan.spokes.cut_mm - plan.spokes.length_mm) / ends + bench.laid.border.length_mm + SPARE_MM


def _ready(bench: Bench, chapter: str) -> Draft:
    tell, long, design, need = bench.tell, bench.long, bench.design, bench.laid.border
    part = bench.part("border")
    draft = Draft(chapter, "Make the ends ready", "border", first=part.first, beyond=part.first)
    draft.does = [
        tell("Measure one end: {about} must stand above the last row.", about=long(need.length_mm)),
        *(tell(line) for line in bye_cut_lines(bench.plan)),
        *sentences(*(tell(line) for line in before(design.border))),
    ]
    if len(design.top_reeds) > 1:
        draft.does.append(tell("The {n} {spokes} of one place move together, side by side.", n=len(design.top_reeds)))
    draft.looks = [f"All {design.top_ends} ends stand wet and even."]
    draft.slips = [Slip(tell("An end is shorter than {least}.", least=long(need.range_mm[0])),
                       "Push a new one down beside it, as deep as the last band, and use that.")]  # fmt: skip
    draft.count("ends", 0, design.top_ends)
    about = f"The finished weaving from outside, {design.top_ends} ends standing above the last row."
    draft.drawings = [Drawing(part.first, part.first, "Before the first end.", about, "whole", "none", False)]
    draft.watch = [tell("As cut, about {cut} should stand above the last row.", cut=long(_standing_mm(bench)))]
    return draft


def _row_of_border(bench: Bench, chapter: str, row: int, moves: list[int]) -> list[Draft]:
    """First, middle and closing ends of one row; of a border worked end by end throughout, of all of it (`row` -1)."""
    tell, design = bench.tell, bench.design
    border, ends = design.border, design.top_ends
    closing = _closing_moves(bench, moves)
    head = f"Row {row + 1}: " if row >= 0 and len(border.rows) > 1 else ""
    told = _first_moves(bench, moves)
    first = Draft(chapter, head + ("the first ends" if head else "The first ends"), "border", first=moves[0],
                  beyond=told[-1] + 1)  # fmt: skip
    if row == 0 or row < 0:
        first.does += [tell("Begin with end 1, the first after space 1; mark it."), tell("Work towards the {forward}.")]
    else:
        side = {"in": "inside", "out": "outside"}[border.rows[row - 1].finish]
        first.does += [f"Now every end lies {side}. Begin again with end 1."]
        if side == "inside":
            first.does.append("Work on the inside, the same way round the basket.")
    first.does += [_move(bench, m, first) for m in told]
    first.does.append(_loose(bench, row, closing))
    first.looks = [_after_told(bench, told)]
    first.slips = [Slip("An end lies on the wrong side of one it should pass.", "Lift it out, count from its own foot, "
                        "and lead it again.")]  # fmt: skip
    end = int(bench.order.end[told[0]]) + 1
    first.drawings = [Drawing(told[0], told[0] + 1, f"End {end}.", _about(bench, told[0])),
                      Drawing(told[0], told[-1] + 1, "The first ends.", _about(bench, told[-1]))]  # fmt: skip
    middle = Draft(chapter, head + ("go on" if head else "Go on round"), "border", first=told[-1] + 1,
                   beyond=max(closing[0], told[-1] + 1) if closing else moves[-1] + 1)  # fmt: skip
    rest = [m for m in moves if m >= middle.first and m < middle.beyond]
    out = [first]
    if rest:
        middle.does = [*_on(bench, rest, row)]
        if border.order is not None:
            middle.does += sentences(*(tell(line) for line in lay_first(border)[2:]))
        at = rest[len(rest) // 2]
        middle.looks = ["Every end lies like the one before it, a space further on."]
        middle.slips = [Slip("There is a gap in the rope of ends.", "An end was passed by. Go back to it.")]
        middle.drawings = [Drawing(at, at + 1, "In the middle of the row.", _about(bench, at))]
        out.append(middle)
    if closing:
        last = Draft(chapter, head + ("close it" if head else "Close it"), "border", first=closing[0],
                     beyond=moves[-1] + 1)  # fmt: skip
        shown = closing[-MOST_CLOSING:]
        if len(shown) < len(closing):
            last.does.append(f"The last {len(closing)} moves go under ends that lie there already.")
        last.does += [each for m in shown for each in _closing(bench, m, last)]
        last.looks = ["Nobody can see where the row began."]
        last.slips = [Slip("There is a gap where it closes.", "Find the end that did not go under; lift the loose ones "
                           "and lead it again.")]  # fmt: skip
        drawings = [Drawing(closing[0], closing[0] + 1, _caption(bench, closing[0]), _about(bench, closing[0])),
                         Drawing(moves[-1], moves[-1] + 1, "The last one.", _about(bench, moves[-1]))]  # fmt: skip
        last.drawings = drawings[:1] if len(closing) == 1 else drawings
        last.watch = ["This is where most stop and ask: show it at one basket, slowly, before anyone begins."]
        out.append(last)
    first.why = [("Why leave the first ends loose?", "The last ends must go under them; a tight end cannot be lifted.")]
    first.count("ends", 0, ends)
    return out


def _first_moves(bench: Bench, moves: list[int]) -> list[int]:
    order = bench.design.border.order
    many = FIRST_ENDS if order is None else max(FIRST_ENDS, getattr(order, "down", 3) + 2)
    return moves[: min(many, len(moves))]


def _closing_moves(bench: Bench, moves: list[int]) -> list[int]:
    """Moves of a row that must go under what lies there already, from the first of them at the end of the row."""
    order = bench.order
    return [m for m in moves if (int(order.end[m]), int(order.row[m])) in bench.threads and _is_last_leg(bench, m)]


def _is_last_leg(bench: Bench, moment: int) -> bool:
    """True when an end finishes its row in this move."""
    order = bench.order
    end, row = int(order.end[moment]), int(order.row[moment])
    return [m for m in order.by_end["border", end] if order.row[m] == row][-1] == moment


def _name(bench: Bench, moment: int) -> str:
    end = int(bench.order.end[moment])
    return f"end {end + 1}" if end >= 0 else f"extra {bench.tell('{reed}')} {-end}"


def _legs(bench: Bench, moment: int) -> list[str]:
    """Where a move leads its end, leg by leg."""
    order, border = bench.order, bench.design.border
    passes = order.passes[moment]
    stage = passes[0].stage
    inside = stage > 0 and border.rows[stage - 1].finish == "in"
    out = []
    for outside, run in groupby(passes, key=lambda p: p.outside):
        found = [p.spoke + 1 for p in run]
        out.append(f"{FACES[inside][outside != inside]} {listed([str(each) for each in found])}")
    return out


def _move(bench: Bench, moment: int, into: Draft) -> str:
    order, border = bench.order, bench.design.border
    passes = order.passes[moment]
    begins = order.end[moment] >= 0 and moment == order.by_end["border", int(order.end[moment])][0]
    into.count("leads past", int(order.end[moment]) + 1, *(p.spoke + 1 for p in passes))
    verb = "Bend" if begins else "Take"
    finish = f", and {LEAVE[border.rows[passes[0].stage].finish]}" if _is_last_leg(bench, moment) else ""
    if border.is_open:
        finish = bench.tell(", and push it down beside {spoke} {n}", n=_beside(bench, moment))
    return f"{verb} {_name(bench, moment)} {', then '.join(_legs(bench, moment))}{finish}."


def _beside(bench: Bench, moment: int) -> int:
    last = bench.order.passes[moment][-1].spoke
    return (last + 1) % bench.design.top_ends + 1


def _closing(bench: Bench, moment: int, into: Draft) -> list[str]:
    order = bench.order
    under = bench.threads[int(order.end[moment]), int(order.row[moment])]
    into.count("under", int(order.end[moment]) + 1, *(each + 1 for each in under))
    ends = ("end", "it") if len(under) == 1 else ("ends", "them")
    lifted = listed([str(each + 1) for each in under])
    return [_move(bench, moment, into), f"For that, lift {ends[0]} {lifted} and lead it under {ends[1]}."]


def _loose(bench: Bench, row: int, closing: list[int]) -> str:
    lifted = sorted({u + 1 for m in closing for u in bench.threads[int(bench.order.end[m]), int(bench.order.row[m])]})
    if not lifted:
        return "Draw each one close as you go."
    if len(lifted) > 6:
        return f"Leave ends {lifted[0]} to {lifted[-1]} loose, a pencil's thickness: the last ends go under them."
    named = f"ends {listed([str(each) for each in lifted])}" if len(lifted) > 1 else f"end {lifted[0]}"
    return f"Leave {named} loose, a pencil's thickness: the last ends go under."


def _on(bench: Bench, rest: list[int], row: int) -> list[str]:
    order = bench.order
    ends = [int(order.end[m]) + 1 for m in rest if order.end[m] >= 0]
    if bench.design.border.order is None:
        if len(ends) == 1:
            return [_move_plain(bench, rest[0])]
        return [f"Do the same with ends {ends[0]} to {ends[-1]}.",
                bench.tell("Count the {spokes} you pass aloud, each time.")]  # fmt: skip
    return [f"Go on in this way: {several(len(rest), 'move')} more before it closes."]


def _move_plain(bench: Bench, moment: int) -> str:
    return _move(bench, moment, Draft("", "", ""))


def _after_told(bench: Bench, told: list[int]) -> str:
    rests = bench.order.rests[told[-1]]
    many = len({int(bench.order.end[m]) for m in told})
    if bench.design.border.is_open:
        return f"{several(many, 'arch', 'arches')} of one height."
    side = {"out": "lie outside", "in": "lie inside", "down": "are tucked down"}.get(rests, "lie side by side")
    return f"{several(many, 'end')} {side}, each pointing the way you work."


def _caption(bench: Bench, moment: int) -> str:
    name = _name(bench, moment)
    return f"{name[:1].upper()}{name[1:]} goes under."


def _about(bench: Bench, moment: int) -> str:
    said = f"{_name(bench, moment)} goes {', then '.join(_legs(bench, moment))}"
    under = bench.threads.get((int(bench.order.end[moment]), int(bench.order.row[moment])), ())
    if under:
        said += f", under {'end' if len(under) == 1 else 'ends'} {listed([str(each + 1) for each in under])}"
    return f"{said[:1].upper()}{said[1:]}."


def _trim(bench: Bench, chapter: str) -> Draft:
    tell, part = bench.tell, bench.part("trim")
    draft = Draft(chapter, "Trim", "trim", first=part.first, beyond=part.beyond)
    draft.minutes = seconds_of(bench.plan.time, "trim") / 60
    draft.does = sentences(tell(TRIM), worded(tips(bench.design.border), bench.design.wording), "Cut away from you.")
    draft.looks = ["No tip catches a finger; none is so short that it slips out."]
    draft.slips = [Slip("A tip slips off what it rests on.", "It was cut too short. Push a scrap in beside it.")]
    about = tell("The basket with its {border} done, from outside.")
    draft.drawings = [Drawing(part.beyond, part.beyond, "Done.", about, "finished", "none", False)]
    draft.watch = ["Glasses on: cut tips fly."]
    return draft
