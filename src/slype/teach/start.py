"""Before the first row: cutting, soaking, the cross or the board, and where space 1 is."""

from __future__ import annotations

from math import pi

from ..form.bases import sticks_each_way
from ..lay.spacing import long_sticks
from ..order.course import Job
from ..order.moments import laid_first
from ..plans.pieces import HALF_SPOKE_MM
from ..plans.times import seconds_of
from ..reeds import Soaking
from ..surface.sticks import short_apart
from ..tell.bases import clock, clock_above
from ..tell.bundled import longer_first, weaver_lines
from ..tell.strokes import AWAY
from ..words import listed, several
from .step.bench import Bench, numbers
from .step.values import Draft, Drawing, Slip, afterwards, ahead, due, how

READY = "Get ready"


def gather(bench: Bench, _job: Job) -> list[Draft]:
    """Cutting and bundling, all of it."""
    tell, design = bench.tell, bench.design
    draft = Draft(READY, "Cut and bundle", "gather")
    draft.does = [
        AWAY,
        "Cut every bundle as the list What to cut says.",
        *(["Your first basket? That list says what is then cut longer."] if longer_first(bench.whole) else []),
        "Cut the spare lengths, too, that it names.",
        "Tie each bundle and give it its number on a label.",
    ]
    marked = [each.number for each in bench.bundles if weaver_lines(bench.whole, each)]
    if marked:
        draft.does.append(f"Tag each piece of {numbers(marked, 'bundle', 'bundles')} with its weaver, as listed.")
    if len({each.colour for each in bench.bundles}) > 1:
        draft.does.append(tell("Keep the {colours} apart."))
    draft.does += _dyed(bench)
    if design.spokes.inserted:
        draft.does.append(tell("Cut one end of each side {spoke} to a long slant, the slype."))
    draft.looks = [f"{several(len(bench.bundles), 'bundle')} lie on the table, one label on each."]
    draft.slips = [
        Slip("A piece is cut too short.", "Put it aside for a shorter bundle, and cut a new one."),
    ]
    draft.count("bundles", 0, len(bench.bundles))
    draft.watch = [
        "Blades and points: see the cautions.",
        "Labels on before soaking; ink that water does not take off.",
    ]
    if _dyed(bench):
        draft.why = [(tell("How is the {reed} dyed?"), tell(
            "By the label on the dye's packet and its safety sheet; a scrap of the same {reed} is tried first."))]
    return [draft]


MOST_COLOURS = 5
"""Colours that are named in one sentence."""


def _dyed(bench: Bench) -> list[str]:
    """Where colour comes from, which the plan does not say: bought so, or dyed by the maker as the dye's own label has
    it (common practice, no source); nothing where all is natural."""
    found = list(dict.fromkeys(each.colour for each in bench.bundles if each.colour != "natural"))
    if not found:
        return []
    which = listed(found) if len(found) <= MOST_COLOURS else bench.tell("{coloured}")
    return [bench.tell("Buy {which} {reed} dyed, or dye it in whole lengths before you cut.", which=which),
            "The packet of the dye says how, this sheet does not: go by its label and the cautions."]  # fmt: skip


def soak(bench: Bench, _job: Job) -> list[Draft]:
    tell, plan = bench.tell, bench.whole
    draft = Draft(READY, "Soak", "soak")
    alike: dict[Soaking, list[int]] = {}
    for bundle in bench.bundles:
        alike.setdefault(bundle.reed.soak(), []).append(bundle.number)
    draft.does.append("Soak a bundle shortly before it is taken up: the steps say when.")
    draft.does.append("Soak a spare length, too, before you lay it in: as long as its bundle.")
    for soaking, found in alike.items():
        need = "needs" if len(found) == 1 else "need"
        draft.does.append(f"{numbers(found, 'Bundle', 'Bundles')} {need} {soaking.time} in cool water.")
    until = sorted(number for soaking, found in alike.items() if soaking.until_it_bends for number in found)
    if until:
        of = "" if len(until) == len(bench.bundles) else f" of {numbers(until, 'bundle', 'bundles')}"
        draft.does.append(f"A length{of} must bend round a finger without cracking before you use it.")
    draft.does += [
        "Coil long lengths loosely, so that all lies under water.",
        "When its time is up before its step comes, take it out and wrap it in a damp towel.",
        "Dip it again when it feels dry.",
        *_for_the_night(bench),
    ]
    draft.looks = [tell("Soaked {reed} bends round a finger and does not crack.")]
    draft.slips = [Slip(tell("The {reed} cracks when you bend it."), "Put it back in the water for five minutes more.")]
    draft.minutes = max(each.minutes[1] for _, each in plan.soaking)
    draft.why = [
        (tell("Why soak it?"), tell("Dry {reed} is stiff and cracks. Wet {reed} bends, and holds its bend when dry.")),
        ("Why not longer?", tell("Soaked too long, {reed} frays, darkens and may go mouldy.")),
    ]
    return [draft]


def _for_the_night(bench: Bench) -> list[str]:
    """Where the work may rest until another day, and how it is kept (common practice, no source)."""
    tell, long = bench.tell, bench.design.spokes.reed.soak().time
    return [
        tell("You may stop for the day when the weavers of a band are ended, but not within the {border}."),
        *(["Do they go on into the next band? Then stop after the last row: hold each with a peg."]
          if any(map(_goes_on, _with_lid(bench))) else []),
        tell("Then let work and {reed} dry in moving air: kept damp, they go mouldy."),
        *_wet_again(bench, long),
    ]


def _wet_again(bench: Bench, long: str) -> list[str]:
    """How work that has dried is made supple; a board swells and warps in water (common practice, no source)."""
    if not bench.design.base.is_board:
        return [f"To go on, first soak the work again, {long}, and the next bundles too."]
    return [bench.tell("To go on, first wrap what is woven, and the {spokes}, in a wet towel for {long}.",
                       long=long),
            "Soak the next bundles too, but never the board: it swells and warps."]


def _with_lid(bench: Bench) -> list[Bench]:
    return [bench, *([] if bench.plan.lid is None else [Bench(bench.plan.lid, bench.plan)])]


def _goes_on(bench: Bench) -> bool:
    return any(map(bench.goes_on, bench.laid.bands))


MARKED = "Mark the middle of each {one} with a pencil: half its length from one end."


def cross(bench: Bench, _job: Job) -> list[Draft]:
    """The first sticks laid across each other."""
    return [_cross(bench) if bench.design.form.is_round else _long(bench)]


def _names(bench: Bench) -> tuple[str, str]:
    """What lies in the cross, one and several."""
    spokes = bench.design.spokes
    if spokes.inserted:
        return "base stick", "base sticks"
    if spokes.per_end > 1:
        return "set", "sets"
    return bench.tell("{spoke}"), bench.tell("{spokes}")


def _cross_part(bench: Bench):
    return bench.part("cross")


def _drafted(bench: Bench, title: str) -> Draft:
    part = _cross_part(bench)
    draft = Draft(bench.tell("The {cross}"), title, "cross", first=part.first, beyond=part.beyond)
    draft.bundles = [each.number for each in bench.standing("begin")]
    draft.does = ahead(*(bench.take(each) for each in bench.standing("begin")))
    return draft


def _cross(bench: Bench) -> Draft:
    tell, design = bench.tell, bench.design
    base, spokes, ends = design.base, design.spokes, design.spokes.ends_at_base
    one, many = _names(bench)
    part = _cross_part(bench)
    title = {"pierced cross": "Pierce the {cross}", "interlaced": "Interlace the {cross}"}.get(
        base.kind, "Lay the {cross}"
    )
    draft = _drafted(bench, tell(title))
    draft.minutes = seconds_of(bench.plan.time, "begin") / 60
    if not spokes.inserted and spokes.per_end > 1:
        draft.does += ahead(tell("Take the {spokes} in sets of {n}; a set counts as one.", n=spokes.per_end))
    halved = [f"The half {one} needs no mark."] if ends % 2 and base.odd == "half" else []
    draft.does += ahead(tell("Work on the table: the upper face of the {cross} becomes the inside."),
                        MARKED.format(one=one), *halved)  # fmt: skip
    sticks = (ends + 1) // 2 if base.odd == "cut out" and ends % 2 else ends // 2
    below, over = sticks_each_way(sticks, base.through)
    last = part.beyond - (1 if ends % 2 and base.odd == "half" else 0)  # all but the half one lie there
    laying = _laying(bench, below, over, one, many)
    draft.does += laying if base.kind == "laid cross" else how(*laying)
    draft.does += due(last, *_odd(bench, one)) if ends % 2 else []
    draft.does += afterwards(*_tied(bench), f"Count: {ends} ends stand out all round.")
    draft.count("ends", 0, ends)
    draft.count("sticks", 0, below, over)
    draft.looks = [_layers_told(bench, below, over)]
    draft.slips = [
        Slip("One end stands out further than the one across from it.", f"Draw that {one} back to its mark.")
    ]
    first = laid_first(bench.laid)
    at = part.first + first
    whole = last
    draft.drawings = [
        Drawing(part.first, at, f"First {several(first, one, many)}.",
                f"From above: {several(first, one, many)} lie side by side on the table.", "above", "none", False),
        Drawing(at, whole, f"Then {several(whole - at, one, many)} across them.",
                f"From above: {several(whole - at, one, many)}, dark, lie across the first.", "above", "none", False),
    ]  # fmt: skip
    if whole < part.beyond:
        draft.drawings.append(
            Drawing(whole, part.beyond, f"Last the half {one}.", f"From above: the half {one}, dark, lies beside the "
                    f"upper ones. {ends} ends stand out all round.", "above", "none", False)
        )  # fmt: skip
    draft.watch = [bench.tell("Middles on middles: an untrue {cross} stays untrue.")]
    draft.why = [
        (f"Why is one {one} only half as long?" if ends % 2 and base.odd == "half" else "Why mark the middles?",
         "An odd number of ends lets one single weaver change sides in every round." if ends % 2 and base.odd == "half"
         else "So that all ends come out equally long."),
    ]  # fmt: skip
    return draft


def _laying(bench: Bench, below: int, over: int, one: str, many: str) -> list[str]:
    tell, base = bench.tell, bench.design.base
    if base.kind == "pierced cross":
        return [
            f"Rest a {one} on the table.",
            f"Split it in the middle with the point of a knife, a slit as long as {over} are wide.",
            "Push the knife away from you.",
            f"Split {below} in this way.",
            tell("Pass {n} through the slits, middle in middle.", n=several(over, one, many)),
            "Draw them close; all of it lies flat.",
        ]
    if base.kind == "interlaced":
        way = (below + over) // (2 * base.sets)
        return [
            f"Lay {several(way, 'set')} of {base.sets} flat, side by side.",
            "Take the next set across them: over one set, under the next, and so on.",
            "The set after it goes under where that one went over.",
            f"Weave in {several(way, 'set')} in all.",
            "Draw them close, middle on middle.",
        ]
    return [
        f"Lay {several(below, one, many)} flat, side by side.",
        f"Lay {over} more across them, middle on middle.",
    ]


def _tied(bench: Bench) -> list[str]:
    """What holds sticks that lie loose on each other while they are turned over, once all of them lie there."""
    if bench.design.base.kind != "laid cross" and bench.design.form.is_round:
        return []
    told = ["Tie them with thread over the middle, from corner to corner, both ways; knot it."]
    if bench.laid.base and bench.laid.base[0].segments[0][1] >= 2:
        told.append(f"That thread is cut off after row 2 of band {bench.laid.base[0].index + 1}.")
    return [*told, "They must hold when you turn them over."]


def _odd(bench: Bench, one: str) -> list[str]:
    base = bench.design.base
    if base.odd == "cut out":
        return [
            "Take one end of a larger arm together with its neighbour, as one.",
            "Cut it away close to the weave where the first band ends.",
        ]
    if base.odd == "added":
        return [
            "Mark a place beside an end of the upper ones, and count it as an end.",
            f"A short {one} is pushed in there where the first band ends.",
        ]
    where = "in the slits" if base.kind == "pierced cross" else "beside the upper ones"
    return [
        f"Lay the half {one} {where}, in the same layer.",
        "Either arm there will do: you count from it later.",
        "Its outer end is level with those beside it.",
        f"Its inner end then lies {bench.about(HALF_SPOKE_MM)} past the middle, or a little more.",
        "That short piece lies along the arm across from its own; drawings of rows end it at the first row.",
        "It is woven over with the arm that it lies on, and never counted.",
        f"Look down on it and out along its arm: it lies on the {_half_side(bench)}-hand side of its arm.",
    ]


def _half_end(bench: Bench) -> int:
    """Number, from 1, of the end of the half stick."""
    return next(ends[0] for ends in bench.order.stick_ends if len(ends) == 1) + 1


def _half_side(bench: Bench) -> str:
    """On which side of its arm the half stick lies, for whoever looks out along it from above: ends are counted the way
    of the work on the underside, so from above the last of an arm lies on the other side."""
    last = _half_end(bench) > 1
    return bench.tell("{back}" if last else "{forward}")


def _layers_told(bench: Bench, below: int, over: int) -> str:
    if bench.design.base.kind != "laid cross" or not over:
        return bench.tell("The {cross} lies flat, and its arms stand square to each other.")
    many = _names(bench)[1]
    half = bench.design.spokes.ends_at_base % 2 and bench.design.base.odd == "half"
    return f"Two layers: {below} {many} below, {over} on top" + (
        " and the half one beside these." if half else ", square to each other."
    )


def _long(bench: Bench) -> Draft:
    design = bench.design
    one, many = _names(bench)
    along, sticks = long_sticks(design), design.spokes.ends_at_base // 2
    draft = _drafted(bench, "Lay the long and the short ones")
    draft.minutes = seconds_of(bench.plan.time, "begin") / 60
    part = _cross_part(bench)
    draft.does += [
        *ahead(MARKED.format(one=one)),
        f"Lay the {several(along, f'long {one}', f'long {many}')} flat, side by side.",
        f"Lay the {several(sticks - along, f'short {one}', f'short {many}')} across them.",
        *due(part.first + laid_first(bench.laid), *_spaced(bench)),
        *afterwards("Fan the ends of the long ones out at both round ends, as evenly as you can.",
                    "Bend the two outermost at each end until they point the same way as the short ones.",
                    "The first rows hold them so.",
                    f"At the edge of the base all stand about {bench.long(_edge_apart(bench))} apart.",
                    *_tied(bench),
                    f"Count: {design.spokes.ends_at_base} ends stand out all round."),
    ]  # fmt: skip
    draft.count("ends", 0, design.spokes.ends_at_base)
    draft.count("sticks", 0, along, sticks - along)
    draft.looks = ["The short ones lie on the long ones, square to them."]
    draft.slips = [Slip("The short ones slide.", "Draw the thread over the middle tighter.")]
    at = part.first + laid_first(bench.laid)
    draft.drawings = [
        Drawing(part.first, at, "First the long ones.",
                f"From above: {several(along, f'long {one}', f'long {many}')} side by side.", "above", "none", False),
        Drawing(at, part.beyond, "Then the short ones, across them.", "From above: the short ones, dark, lie on the "
                f"long ones. {design.spokes.ends_at_base} ends stand out all round.", "above", "none", False),
    ]  # fmt: skip
    return draft


def _spaced(bench: Bench) -> list[str]:
    """Where the short sticks of an oval base lie, as a ruler finds it."""
    apart = short_apart(bench.laid)
    if apart is None:
        return ["It lies at the middle."]
    many = bench.design.spokes.ends_at_base // 2 - long_sticks(bench.design)
    sides = f"Lay {many // 2} on each side of the middle marks"
    return [f"Space the short ones {bench.long(apart)} apart, from middle to middle.",
            f"{sides}{', and one on them' if many % 2 else ''}."]  # fmt: skip


def _edge_apart(bench: Bench) -> float:
    form = bench.design.form
    return (2 * form.base_straight_mm + pi * form.base_width_mm) / bench.design.spokes.ends_at_base


def space_1(bench: Bench, _job: Job) -> list[Draft]:
    """Turning the base over, and where its spaces are counted from."""
    tell, design = bench.tell, bench.design
    part, way = _cross_part(bench), clock(design)
    ends, (one, many) = design.spokes.ends_at_base, bench.stood
    draft = Draft(tell("The {cross}"), "Find space 1", "cross", first=part.beyond, beyond=part.beyond)
    draft.does = [
        "Turn it over sideways, like the page of a book.",
        *_facing(bench, _names(bench)[1]),
        "The gap between two ends is a space.",
    ]
    if design.form.is_round:
        draft.does += [*_arm(bench), f"Count that arm's ends {way}: the first is {one} 1."]
        if ends % 2 and design.base.odd == "half":
            draft.does.append(f"The half one is {one} {_half_end(bench)}.")
        draft.does.append(f"The gap just before {one} 1 is space 1.")
        draft.does.append("Hold it with space 1 at the top, as drawn.")
    else:
        draft.does.append("Hold a long side at the top. The gap in the middle of it is space 1.")
        draft.does.append(f"The first end after it, counted {way}, is {one} 1.")
    draft.does += [
        f"Tie a thread round {one} 1.",
        f"From here on every end counts as a {one} of its own: there are {ends}.",
        f"Count {many} and spaces {way}, from space 1.",
    ]
    draft.does += () if bench.is_lid else read_so(one)
    if bench.laid.side and not bench.is_lid:
        draft.does.append(f"Seen from above, once the basket stands, that is {clock_above(design)}.")
    if not bench.laid.base:
        draft.does.append("No rows are woven on the base: go straight on.")
    draft.looks = [f"The thread hangs at {one} 1. {one.capitalize()} {ends} stands on the other side of space 1."]
    draft.slips = [
        Slip("You count the other way round.", f"Look at the underside and count {way}: that is the way you weave.")
    ]
    draft.count("ends", 0, ends)
    about = f"The underside, space 1 at the top; a thread round {one} 1; {many} are numbered 1 to {ends}, {way}."
    draft.drawings = [Drawing(part.beyond, part.beyond, f"Turned over: space 1 and the {many}.", about, "whole",
                             "first", False, counted=True)]  # fmt: skip
    draft.why = [("Why a thread?", tell("All later starts, {colours} and joins are counted from space 1."))]
    draft.watch = [f"Each student points at space 1 and counts three spaces {way} aloud."]
    return [draft]


def read_so(one: str) -> list[str]:
    """How the drawings are read, told once where the first of them has numbers (see `figures.rings`, `figures.pen`)."""
    return [f"In drawings a number in a ring is a space; a bare number is a {one}.",
            "The ring of space 1 is black. What has just moved is dark; an arrow shows its way."]  # fmt: skip


def _facing(bench: Bench, many: str) -> list[str]:
    out = ["Its underside now faces you; the far side will be the inside."]
    if bench.design.base.kind == "laid cross" or not bench.design.form.is_round:
        out.append(f"The {many} you laid first are now the near ones.")
    return out


def _arm(bench: Bench) -> list[str]:
    design, held = bench.design, bench.design.arms
    if design.spokes.ends_at_base % 2 and design.base.odd == "half":
        return [f"Find the arm with the half {_names(bench)[0]}: it has {several(held[0], 'end')}."]
    if len(set(held)) > 1:
        return [f"Find an arm with {several(held[0], 'end')}."]
    lower = " of the ones you laid first" if design.base.kind == "laid cross" else ""
    return [f"Choose an arm{lower}: each has {several(held[0], 'end')}."]
