"""Before the first row: cutting, soaking, the cross or the board, and where space 1 is."""

from __future__ import annotations

from ..form.bases import sticks_each_way
from ..lay.spacing import long_sticks
from ..order.moments import laid_first
from ..plans.times import seconds_of
from ..tell.bases import board_lines, clock
from ..tell.strokes import AWAY
from ..tell.voice import soak_words, worded
from ..words import several
from .bench import Bench, numbers
from .draft import Draft, sentences
from .values import Drawing, Slip

READY = "Get ready"


def gather(bench: Bench) -> Draft:
    """Cutting and bundling, all of it."""
    tell, design = bench.tell, bench.design
    made = Draft(READY, "Cut and bundle", "gather")
    made.does = [
        "Cut every bundle as the cut list says.",
        "Tie each bundle and give it its number on a label.",
        tell("Keep the {colours} apart.") if len({each.colour for each in bench.bundles}) > 1 else "Cut away from you.",
    ]
    if design.spokes.inserted:
        made.does.append(tell("Cut one end of each side {spoke} to a long slant, the slype."))
        made.does.append(AWAY)
    made.looks = [f"{several(len(bench.bundles), 'bundle')} lie on the table, one label on each."]
    made.slips = [
        Slip("A piece is cut too short.", "Put it aside for a shorter bundle, and cut a new one."),
    ]
    made.count("bundles", 0, len(bench.bundles))
    made.watch = ["Blades and points: see the cautions.", "Labels on before soaking; ink that water does not take off."]
    return made


def soak(bench: Bench) -> Draft:
    tell, plan = bench.tell, bench.whole
    made = Draft(READY, "Soak", "soak")
    alike: dict[str, list[int]] = {}
    for bundle in bench.bundles:
        alike.setdefault(soak_words(bundle.reed.soak().words), []).append(bundle.number)
    for words, found in alike.items():
        made.does.append(f"Soak {numbers(found, 'bundle', 'bundles')} for {words}.")
    made.does += [
        "Use cool water.",
        tell("Soak only the {reed} you will use next."),
        "Wrap it in a damp towel until you need it.",
        "Dip it again when it feels dry.",
    ]
    made.looks = [tell("The {reed} bends round a finger and does not crack.")]
    made.slips = [Slip(tell("The {reed} cracks when you bend it."), "Put it back in the water for five minutes more.")]
    made.minutes = max(each.minutes[1] for _, each in plan.soaking)
    made.why = [
        (tell("Why soak it?"), tell("Dry {reed} is stiff and cracks. Wet {reed} bends, and holds its bend when dry.")),
        ("Why not longer?", tell("Soaked too long, {reed} frays, darkens and may go mouldy.")),
    ]
    return made


def begun(bench: Bench) -> list[Draft]:
    """The base until its first row can begin."""
    if bench.plan.board is not None:
        return [_board(bench)]
    if not bench.design.form.is_round:
        return [_long(bench), _space_1(bench)]
    return [_cross(bench), _space_1(bench)]


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
    made = Draft(bench.tell("The {cross}"), title, "cross", first=part.first, beyond=part.beyond)
    made.bundles = [each.number for each in bench.standing("begin")]
    made.does = [bench.take(each) for each in bench.standing("begin")]
    return made


def _cross(bench: Bench) -> Draft:
    tell, design = bench.tell, bench.design
    base, spokes, ends = design.base, design.spokes, design.spokes.ends_at_base
    one, many = _names(bench)
    part = _cross_part(bench)
    title = {"pierced cross": "Pierce the {cross}", "interlaced": "Interlace the {cross}"}.get(
        base.kind, "Lay the {cross}"
    )
    made = _drafted(bench, tell(title))
    made.minutes = seconds_of(bench.plan.time, "begin") / 60
    if not spokes.inserted and spokes.per_end > 1:
        made.does.append(tell("Take the {spokes} in sets of {n}; a set counts as one.", n=spokes.per_end))
    made.does.append(f"Mark the middle of each full {one}.")
    sticks = (ends + 1) // 2 if base.odd == "cut out" and ends % 2 else ends // 2
    below, over = sticks_each_way(sticks, base.through)
    made.does += _laying(bench, below, over, one, many)
    if ends % 2:
        made.does += _odd(bench, one)
    made.does.append(f"Count: {ends} ends stand out all round.")
    made.count("ends", 0, ends)
    made.count("sticks", 0, below, over)
    made.looks = [_layers_told(bench, below, over)]
    made.slips = [Slip("One end stands out further than the one across from it.", f"Draw that {one} back to its mark.")]
    first = laid_first(bench.laid)
    at = part.first + first
    made.drawings = [
        Drawing(part.first, at, f"The first {several(first, one, many)} lie side by side.",
                f"{several(first, one, many)} side by side, seen from below.", "whole", "none", False),
        Drawing(at, part.beyond, tell("The {cross}: the rest lie the other way."),
                tell("The {cross} seen from below: {n} ends stand out all round, numbered from space 1.", n=ends),
                "whole", "none", False),
    ]  # fmt: skip
    made.watch = ["Middles on middles: an untrue cross stays untrue."]
    made.why = [
        (tell("Why is one {spoke} only half as long?") if ends % 2 and base.odd == "half" else "Why mark the middles?",
         "An odd number of ends lets one single weaver change sides in every round." if ends % 2 and base.odd == "half"
         else "So that all ends come out equally long."),
    ]  # fmt: skip
    return made


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
        f"Lay the half {one} {where}, level with them.",
        "Its inner end lies just past the middle; the first rows will bind it.",
    ]


def _layers_told(bench: Bench, below: int, over: int) -> str:
    if bench.design.base.kind != "laid cross" or not over:
        return bench.tell("The {cross} lies flat, and its arms stand square to each other.")
    return f"Two layers: {below} below, {over} on top" + (
        ", the half one among the top ones." if bench.design.spokes.ends_at_base % 2 else ", square to each other."
    )


def _long(bench: Bench) -> Draft:
    design = bench.design
    one, many = _names(bench)
    along, sticks = long_sticks(design), design.spokes.ends_at_base // 2
    made = _drafted(bench, "Lay the long and the short ones")
    made.minutes = seconds_of(bench.plan.time, "begin") / 60
    part = _cross_part(bench)
    made.does += [
        f"Mark the middle of each {one}.",
        f"Lay the {several(along, f'long {one}', f'long {many}')} flat, side by side.",
        f"Lay the {several(sticks - along, f'short {one}', f'short {many}')} across them.",
        "Space these evenly along the straight part, as many on each side of the middle.",
        "Fan the ends of the long ones out at both round ends.",
        f"Count: {design.spokes.ends_at_base} ends stand out all round.",
    ]
    made.count("ends", 0, design.spokes.ends_at_base)
    made.count("sticks", 0, along, sticks - along)
    made.looks = ["The short ones lie on the long ones, square to them."]
    made.slips = [Slip("The short ones slide.", "Tie a thread crosswise over the middle; cut it off after two rows.")]
    at = part.first + laid_first(bench.laid)
    made.drawings = [
        Drawing(part.first, at, "The long ones lie side by side.",
                f"{several(along, f'long {one}', f'long {many}')} side by side.", "whole", "none", False),
        Drawing(at, part.beyond, "The short ones lie across them.",
                f"The base seen from below: {design.spokes.ends_at_base} ends stand out all round.", "whole", "none",
                False),
    ]  # fmt: skip
    return made


def _space_1(bench: Bench) -> Draft:
    """Lifting the base, and where its spaces are counted from."""
    tell, design = bench.tell, bench.design
    part, way = _cross_part(bench), clock(design)
    ends = design.spokes.ends_at_base
    _one, many = _names(bench)
    made = Draft(tell("The {cross}"), "Find space 1", "cross", first=part.beyond, beyond=part.beyond)
    made.does = [
        "Lift it and turn its underside towards you.",
        _facing(bench, many),
        "The gap between two ends is a space.",
    ]
    if design.form.is_round:
        made.does += [*_arm(bench), f"Count that arm's ends {way}: the first is end 1."]
        made.does.append("The gap just before end 1 is space 1.")
    else:
        made.does.append("Hold a long side at the top. The gap in the middle of it is space 1.")
        made.does.append(f"The first end after it, counted {way}, is end 1.")
    made.does += ["Tie a thread round end 1.", f"Count all ends and spaces {way} from there."]
    if not bench.laid.base:
        made.does.append("No rows are woven on the base: go straight on.")
    made.looks = [f"The thread hangs at end 1. End {ends} stands on the other side of space 1."]
    made.slips = [
        Slip("You count the other way round.", f"Look at the underside and count {way}: that is the way you weave.")
    ]
    made.count("ends", 0, ends)
    about = f"The base from below. Space 1 is marked; ends are numbered 1 to {ends}, {way}."
    made.drawings = [Drawing(part.beyond, part.beyond, "Space 1, and every end.", about, "whole", "first", False)]
    made.why = [("Why a thread?", tell("All later starts, {colours} and joins are counted from space 1."))]
    made.watch = [f"Each student points at space 1 and counts three spaces {way} aloud."]
    return made


def _facing(bench: Bench, many: str) -> str:
    if bench.design.base.kind == "laid cross" or not bench.design.form.is_round:
        return f"The {many} you laid first now face you; the far side will be the inside."
    return "The far side will be the inside."


def _arm(bench: Bench) -> list[str]:
    design, held = bench.design, bench.design.arms
    if design.spokes.ends_at_base % 2 and design.base.odd == "half":
        return [f"Find the arm with the half {_names(bench)[0]}: it has {several(held[0], 'end')}."]
    if len(set(held)) > 1:
        return [f"Find an arm with {several(held[0], 'end')}."]
    return [f"Choose an arm: each has {several(held[0], 'end')}."]


def _board(bench: Bench) -> Draft:
    """Marking out, drilling, spokes and foot border, as the sheet has it."""
    part = bench.part("board")
    made = Draft("The board", "Make the board ready", "board", first=part.first, beyond=part.beyond)
    made.bundles = [each.number for each in bench.standing("begin")]
    made.does = [*(bench.take(each) for each in bench.standing("begin")), *sentences(*board_lines(bench.plan))]
    made.minutes = seconds_of(bench.plan.time, "begin") / 60
    made.looks = [worded(f"{bench.plan.board.holes.count} places stand evenly round the board.", bench.design.wording)]
    made.slips = [Slip("The marks do not close to an even last gap.", "Change the step a very little and mark anew.")]
    made.count("ends", 0, bench.plan.board.holes.count)
    about = bench.tell("The board with its {spokes} in their holes and the short ends worked below it.")
    made.drawings = [Drawing(part.first, part.beyond, "The board with its foot worked.", about, "whole", "none", False)]
    return made
