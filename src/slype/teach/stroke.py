"""One stroke of a band as a beginner makes it, the first few one by one, and how row 2 follows row 1."""

from __future__ import annotations

from itertools import pairwise

from ..lay.values import BandLaid
from ..tell.lists import first_up
from ..words import listed, several
from .step.bench import Bench, numbers
from .step.values import MOST_WORDS, Draft, Drawing, Slip, ahead

TOLD_WEAVERS = 8
"""So many weavers are told one by one."""
PASSES = {"over": "on your side of {}", "under": "between {} and the basket"}
"""Where a weaver passes those that wait, for whoever looks at them."""
LIES = {"over": "above", "under": "below"}
"""Where it then lies to what they have left in front."""
TOLD_STROKES = 6
"""So many strokes are told one by one."""


def draft_of(bench: Bench, band: BandLaid, chapter: str, title: str) -> Draft:
    return Draft(chapter, title, band.band.where, band=band.index)


def strokes_of(bench: Bench, band: BandLaid) -> list[int]:
    return bench.acts(bench.part(band.band.where, band.index), "stroke")


def stroke(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    draft = draft_of(bench, band, chapter, "The stroke")
    strokes = strokes_of(bench, band)
    weave, many = band.band.weave, len(band.colours)
    told = min(TOLD_STROKES, max(many, 2) if weave.turns == "stroke" else 2, len(strokes))
    draft.first, draft.beyond = strokes[0], strokes[told - 1] + 1
    draft.does += ahead(*_hands(bench, band))
    draft.does += ahead(*{"stroke": _by_turns, "round": _by_rounds, "back": _by_backs}[weave.turns](bench, band))
    draft.does += [one_stroke(bench, band, m, draft) for m in strokes[:told]]
    draft.looks, draft.slips = _stroke_looks(bench, band, strokes[told - 1]), _stroke_slips(bench, band)
    first = strokes[0]
    one, space = bench.passes(band)[0], bench.space(band)
    front, behind = (
        _numbered(bench, band, found) for found in (bench.order.in_front(first), bench.order.behind(first))
    )
    out = comes_out(bench, band, first)
    about = (
        f"The first stroke: {bench.weaver(band, int(bench.order.weaver[first]))} from {space} "
        f"{int(bench.order.space[first]) + 1}, in front of {front}, behind {behind}, out at {space} {out}."
    )
    draft.drawings = [Drawing(first, first + 1, "The first stroke.", about)]
    if told > 1:
        after = f"After {several(told, 'stroke')}. The last one is dark: it came from {space} "
        after += f"{int(bench.order.space[strokes[told - 1]]) + 1}."
        draft.drawings.append(Drawing(strokes[told - 1], draft.beyond, f"Stroke {told}.", after))
    draft.watch = [f"Say it aloud: {_rhyme(band)}.", f"The hand behind feels that the weaver passes one {one} only."
                  if weave.cycle[0][1] == 1 else "The hand behind counts along."]  # fmt: skip
    others = "the other" if many == 2 else "the others"
    sides = " or ".join(dict.fromkeys("under" if reverse else "over" for reverse in weave.reverse))
    turns = (bench.tell("Why always the weaver furthest to the {back}?"),
             f"So each passes {sides} {others} in turn, and they lock.")  # fmt: skip
    rounds = ("Why in and out?", f"Each row holds the one below, and holds the {bench.passes(band)[1]} apart.")
    draft.why = [turns if weave.turns == "stroke" else rounds]
    return draft


def is_new(bench: Bench, band: BandLaid) -> bool:
    """True for the first band of the base and of the side: what holds for all of them is told there, and once."""
    return band is next(each for each in bench.laid.bands if each.band.where == band.band.where)


def _hands(bench: Bench, band: BandLaid) -> list[str]:
    """Which hand does what, and how the work is turned meanwhile; nothing where it goes on as in the band before."""
    nth = bench.laid.bands.index(band)
    backwards = [each.band.weave.turns == "back" for each in bench.laid.bands[max(nth - 1, 0) : nth + 1]]
    if not is_new(bench, band) and backwards in ([False, False], [True, True]):
        return []
    other = "left" if bench.design.hand == "right" else "right"
    at = "at the top" if band.band.where == "base" else "in front of you"
    leads = f"Your {bench.design.hand} hand leads the weaver; your {other} one holds from behind."
    if band.band.weave.turns == "back":
        return [leads, bench.tell("Each stroke goes to the {forward}, but the next one begins a {space} to its {back}.",
                                  space=bench.space(band)),
                f"So {turning(bench, band)}; each stroke is made {at}, as drawn."]  # fmt: skip
    return [leads, f"{turning(bench, band).capitalize()}: each stroke is made {at}, as drawn."]


def turning(bench: Bench, band: BandLaid) -> str:
    """Which way the work is turned from stroke to stroke: against the way in which their beginnings move on."""
    held = "base" if band.band.where == "base" else "basket"
    way = "{forward}" if band.band.weave.turns == "back" else "{back}"
    return bench.tell("turn the {held} to the " + way + " as you go", held=held)


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
        f"Lead it {sides[0]} {rest}: {PASSES[sides[0]].format('it' if others == 1 else 'them')}.",
        f"Go in front of {several(over, one, many)}.",
        f"Go behind {several(under, one, many)}, and out to the front.",
    ]
    for a, b in weave.cycle[1:]:
        out.append(f"Its next stroke: in front of {a}, behind {b}.")
    out.append(tell("Now another weaver is furthest to the {back}. Do the same with it."))
    if len(set(sides)) > 1 and sides[0] == sides[1 % len(sides)]:  # else it is told where row 2 begins
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
        own = [m for m in strokes_of(bench, band) if bench.order.row[m] == 0 and bench.order.block[m] == 0]
        each = sorted({sum(int(bench.order.weaver[m]) == k for m in own) for k in range(many)})
        out[-1] = f"Go on in this way once round: {' or '.join(str(n) for n in each)} strokes."
        out.append("Let it rest in front, and do the same with the next weaver.")
        out.append("Where it meets one that rests, it goes in above that one: let that one hang.")
        out += _meets_told(bench, band)
        out += _round_ends(bench, band, own)
    return out


def _round_ends(bench: Bench, band: BandLaid, own: list[int]) -> list[str]:
    """Where each of several weavers that go round in turn ends its first round."""
    mine = {k: [m for m in own if int(bench.order.weaver[m]) == k] for k in range(len(band.colours))}
    ends = {k: comes_out(bench, band, found[-1]) for k, found in mine.items() if found}
    if all(at == int(bench.order.space[mine[k][0]]) + 1 for k, at in ends.items()):
        return ["Each ends its round in the space where it began it."]
    told = [f"{bench.weaver(band, k)} in {at}" for k, at in ends.items()]
    head = f"After row 1 they hang in other {bench.space(band)}s: "
    return [first_up(f"{'' if at else head}{listed(told[at : at + 2])}.") for at in range(0, len(told), 2)]


def _meets_told(bench: Bench, band: BandLaid) -> list[str]:
    """In which space each of two weavers that go round in turn meets the one that rests: once for all rows that are
    alike, and of the others row by row."""
    order = bench.order
    if len(band.colours) != 2 or not band.locked:
        return []
    found: dict[tuple[tuple[int, int], ...], list[int]] = {}
    for row in range(band.segments[0][1]):
        mine = [m for m in strokes_of(bench, band) if order.block[m] == 0 and order.row[m] == row]
        own = [[m for m in mine if order.weaver[m] == k] for k in (0, 1)]
        if min(map(len, own)) < 2:
            return []
        met = []
        for k, other in ((0, own[1]), (1, own[0])):
            # It hangs where its round of this row begins, or where that has ended.
            rests = int(order.space[other[0]]) + 1 if other[0] > own[k][0] else comes_out(bench, band, other[-1])
            goes_in = [int(order.behind(m)[0]) + 1 for m in own[k] if order.behind(m)]
            met += [(k, rests)] if rests in goes_in else []
        found.setdefault(tuple(met), []).append(row + 1)
    if not any(found):
        return []
    out, all_rows, left_out = [], sum(map(len, found.values())), len(found) > MOST_TOLD_ROWS
    for places, rows in list(found.items())[:MOST_TOLD_ROWS]:
        which, whole = rows_told(rows, all_rows)
        left_out = left_out or not whole
        said = [f"{bench.weaver(band, k)} at {bench.space(band)} {at}" for k, at in places]
        told = f"In {which} that is {' and '.join(said) or 'nowhere'}."
        out += [told] if len(told.split()) <= MOST_WORDS else [f"In {which} that is {each}." for each in said]
    return [*out, "In the other rows look for the one that rests."] if left_out else out


MOST_LISTED_ROWS = 6
"""Rows, from 1, that are named one by one where they are alike."""


def rows_told(rows: list[int], last: int) -> tuple[str, bool]:
    """Which rows (from 1, of so many in all) are meant, as words after "In", and whether all of them are."""
    if len(rows) == last:
        return ("every row" if last > 1 else "row 1"), True
    if len(rows) > 2 and rows == list(range(rows[0], rows[-1] + 1, 2)):
        until = "after it" if rows[-1] + 2 > last else f"up to row {rows[-1]}"
        return f"row {rows[0]} and every second one {until}", True
    told = rows if len(rows) == rows[-1] - rows[0] + 1 else rows[:MOST_LISTED_ROWS]  # in one run they are short
    return numbers(told, "row", "rows"), told == rows


def _by_backs(bench: Bench, band: BandLaid) -> list[str]:
    tell, weave = bench.tell, band.band.weave
    one, many = bench.passes(band)
    over, under = weave.cycle[0]
    first = int(bench.order.space[strokes_of(bench, band)[0]]) + 1
    return [
        f"Begin with the weaver in space {first}, the one before the first that you set in."
        if first != band.band.start % band.spaces + 1
        else f"Begin with the weaver in space {first}.",
        f"Go in front of {several(over, one, many)}.",
        f"Go behind {several(under, one, many)}, and out to the front.",
        tell("Next take the weaver to its {back}, and do the same."),
        "Go on backwards round the basket; each stroke lies on the one before.",
    ]


def _numbered(bench: Bench, band: BandLaid, found: list[int]) -> str:
    return numbers([each + 1 for each in found], *bench.passes(band)) if found else "none"


def comes_out(bench: Bench, band: BandLaid, moment: int) -> int:
    """The space in which a stroke ends, from 1."""
    order = bench.order
    return int(order.space[moment] + order.over[moment] + order.under[moment]) % band.spaces + 1


def one_stroke(bench: Bench, band: BandLaid, moment: int, into: Draft) -> str:
    order, space = bench.order, bench.space(band)
    front, behind = order.in_front(moment), order.behind(moment)
    nth = int(order.stroke[moment]) + 1
    begin, out = int(order.space[moment]) + 1, comes_out(bench, band, moment)
    into.count("from", nth, begin)
    into.count("in front", nth, *(each + 1 for each in front))
    into.count("behind", nth, *(each + 1 for each in behind))
    into.count("out", nth, out)
    which = bench.weaver(band, int(order.weaver[moment]))
    said = f"Stroke {nth}: {which} from {space} {begin}; front of {_numbered(bench, band, front)}"
    return said + (f", behind {_numbered(bench, band, behind)}, out at {space} {out}." if behind else ".")


def _stroke_looks(bench: Bench, band: BandLaid, last: int) -> list[str]:
    many, space = len(band.colours), bench.space(band)
    if band.band.weave.turns != "stroke" or many < 2:
        return [f"The weaver comes to the front in {space} {comes_out(bench, band, last)}."]
    strokes = strokes_of(bench, band)
    coming = strokes[strokes.index(last) + 1 :][:many]
    stand = _as_they_hang(bench, band, coming)
    if len(stand) < many:
        return []
    return [f"The weavers now hang in {space}s {listed([str(each) for each in stand])}, one in each."]


def _as_they_hang(bench: Bench, band: BandLaid, strokes: list[int]) -> list[int]:
    """The spaces, from 1, of so many strokes as they follow each other round the basket, past space 1 too."""
    stand = sorted({int(bench.order.space[m]) + 1 for m in strokes})
    gaps = [(after - before) % band.spaces or band.spaces for before, after in pairwise([stand[-1], *stand])]
    first = gaps.index(max(gaps))
    return stand[first:] + stand[:first]


def _stroke_slips(bench: Bench, band: BandLaid) -> list[Slip]:
    one, space = bench.passes(band)[0], bench.space(band)
    if band.band.weave.turns == "stroke":
        return [Slip(f"Two weavers hang in one {space}, or a {space} between them is empty.",
                     f"Take strokes back until each hangs in a {space} of its own, side by side.")]  # fmt: skip
    if band.band.weave.turns == "back":
        return [Slip(f"A {space} is left without a weaver.", "You passed one by. Take the strokes back to there.")]
    most = max(over for over, _ in band.band.weave.cycle)
    seen = f"a {one} twice running" if most == 1 else several(most + 1, one)
    alike = seam_alike(bench, band)
    but = ", where no row begins" if alike and most == 1 else ""
    return [Slip(f"The weaver goes in front of {seen}{but}.", f"A {one} was missed. Go back to it.")]


def seam_alike(bench: Bench, band: BandLaid) -> list[int]:
    """The two neighbours, from 1, that look alike in every row where it begins: the last and the first that it passes
    are both passed in front, by the same colour, for their number is odd. Nothing where that is not so."""
    order, weave = bench.order, band.band.weave
    if weave.cycle != ((1, 1),) or weave.turns == "back" or len(band.colours) > 2 or not band.spaces % 2:
        return []
    if len(band.colours) == 2 and (weave.turns != "stroke" or len(set(band.colours)) == 1):
        return []
    if band.rows < 2 or not band.locked:
        return []
    first = order.in_front(strokes_of(bench, band)[0])[0]
    return [(first - 1) % band.spaces + 1, first + 1]


# From row 1 to row 2 -------------------------------------------------------------------------------------------


def standing_at(bench: Bench, band: BandLaid, strokes: list[int], done: int) -> list[int]:
    """Spaces, from 1, in which the weavers hang after so many strokes of the band, hindmost first."""
    coming = strokes[done : done + len(band.colours)]
    return [int(bench.order.space[m]) + 1 for m in coming]


def steps_up(bench: Bench, band: BandLaid, strokes: list[int], done: int) -> list[str]:
    """Where the weavers hang when row 1 is done, each by its colour where they differ."""
    hanging = strokes[done : done + len(band.colours)]
    stand, on = _as_they_hang(bench, band, hanging), _on_into_row_2(bench, band, strokes[done])
    if len(stand) > TOLD_WEAVERS:
        return ["Each weaver now hangs one row higher.", *on]
    space = bench.space(band)
    if len(set(band.colours)) == 1:
        back = set(stand) == set(standing_at(bench, band, strokes, 0))
        told = f"The weavers now hang in {numbers(stand, space, space + 's')}"
        whose = [int(bench.order.weaver[m]) for m in (*strokes[done : done + len(stand)], *strokes[: len(stand)])]
        swapped = back and whose[: len(stand)] != whose[len(stand) :]
        who = sorted(strokes[done : done + len(stand)], key=lambda m: stand.index(int(bench.order.space[m]) + 1))
        each = "; ".join(f"weaver {int(bench.order.weaver[m]) + 1} in {int(bench.order.space[m]) + 1}" for m in who)
        # Where others hang there now, "where they began" would be true of none.
        began = ", where they began" if back and not swapped else ""
        whose_now = [f"There now hang: {each}."] if swapped else []
        return [f"{told}{began}.", *whose_now, *on]
    hang: dict[str, list[int]] = {}
    for m in sorted(hanging, key=lambda m: stand.index(int(bench.order.space[m]) + 1)):
        colour = bench.colour(band, int(bench.order.weaver[m]))
        hang.setdefault(colour, []).append(int(bench.order.space[m]) + 1)
    said = [f"{colour} in {numbers(where, space, space + 's')}" for colour, where in hang.items()]
    return [f"Now {listed(said)}: so they should hang.", *on]


def other_way(band: BandLaid) -> str:
    """"under" or "over", where row 2 is laid so and row 1 is not; else ""."""
    reverse = band.band.weave.reverse
    if band.band.weave.turns != "stroke" or len(band.colours) < 2 or reverse[0] == reverse[1 % len(reverse)]:
        return ""
    return "under" if reverse[1 % len(reverse)] else "over"


def row_2_lies(band: BandLaid) -> str:
    """Where a weaver passes the others in such a row 2."""
    side, them = other_way(band), "it" if len(band.colours) == 2 else "them"
    return f"{LIES[side]} {them}, {PASSES[side].format(them)}"


def _on_into_row_2(bench: Bench, band: BandLaid, first: int) -> list[str]:
    """How row 2 follows, whose `first` stroke is told where it is laid the other way."""
    side, others = other_way(band), len(band.colours) - 1
    if not side:
        return ["Go straight on into row 2."]
    order, space = bench.order, bench.space(band)
    front, behind = (_numbered(bench, band, found) for found in (order.in_front(first), order.behind(first)))
    begin, who = int(order.space[first]) + 1, bench.weaver(band, int(order.weaver[first]))
    out = ["Go straight on into row 2.",
           f"Now lead each weaver {side} the other {others if others > 1 else 'one'}: {row_2_lies(band)}.",
           f"Its first stroke: {who} from {space} {begin}; front of {front}, behind {behind}, "
           f"out at {space} {comes_out(bench, band, first)}."]  # fmt: skip
    if band.segments[0][1] > 2:
        out.append("Row 3 goes as row 1 did, row 4 as row 2, and so on in turn.")
    return out


MOST_TOLD_ROWS = 4
"""So many rows that begin alike are told one by one; of more, that it goes on so."""


def rows_begin(bench: Bench, band: BandLaid, strokes: list[int]) -> list[str]:
    """What is not alike in every row of a band: with which weaver it begins, or where a single one ends it."""
    order, rows = bench.order, band.segments[0][1]
    if rows < 3 or band.band.weave.turns == "back":
        return []
    by_row = [[m for m in strokes if order.row[m] == row and order.block[m] == 0] for row in range(rows)]
    alike: dict[tuple[int, ...], list[int]] = {}
    for row, mine in enumerate(by_row, start=1):
        key: tuple[int, ...] = (int(order.weaver[mine[0]]),)
        if len(band.colours) == 1:
            key = len(mine), comes_out(bench, band, mine[-1]), len(order.behind(mine[-1]))
        alike.setdefault(key, []).append(row)
    if not 1 < len(alike) <= TOLD_WEAVERS or (band.band.weave.turns == "round" and len(band.colours) > 1):
        return []
    out = []
    for found, mine in alike.items():
        which = f"rows {listed([str(row) for row in mine])}" if len(mine) > 1 else f"row {mine[0]}"
        if len(mine) > MOST_TOLD_ROWS:
            which = f"rows {', '.join(str(row) for row in mine[:3])} and so on"
        which = which[:1].upper() + which[1:]
        if len(found) > 1:
            ends = "out at" if found[2] else "the last in front only, to"
            out.append(f"{which}: {several(found[0], 'stroke')}, {ends} {bench.space(band)} {found[1]}.")
        else:
            verb = "begin" if len(mine) > 1 else "begins"
            turn = [(found[0] + k) % len(band.colours) + 1 for k in range(1, len(band.colours))]
            in_turn = band.band.weave.turns == "stroke" and len(turn) > 1
            then = f", then {', '.join(map(str, turn))} in turn" if in_turn else ""
            out.append(f"{which} {verb} with {bench.weaver(band, found[0])}{then}.")
    return out if len(out) <= MOST_TOLD_ROWS else []
