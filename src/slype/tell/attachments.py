"""Putting in the handles and fitting the lid, as lines of a handout. A plan in sentences, no page layout."""

from __future__ import annotations

from collections.abc import Sequence

from ..design.values import Design
from ..form.handles import ENDS_MM, NOT_RATED, Twist
from ..lay.attachments import HandleLaid, lengths_of
from ..lay.lids import LidFit
from ..plans.planning import Plan
from ..quantity import show_length
from ..words import several
from .strokes import AWAY
from .voice import length_by_eye, length_with_cm, thin_told, voice

COUNTED = "Count the {spokes} from space 1 on towards the {forward}, the first one after it as 1."
NEW_LENGTH = (
    "Before a length runs out lay the end of the new one along the arch, on the underside, and wrap over it. Then lay "
    "the old end there too, and wrap over it with the new one."
)
WRAP_ENDS = "Draw the last end back under the last turns with the bodkin, pull it tight and trim it."
RODS_END = "Push the ends in there."
TRIED = (
    f"Pull at it gently: the feet must not slip. {NOT_RATED} Try it with what the basket is for, little by little, "
    "over a table."
)


def handles_named(design: Design, each: HandleLaid) -> str:
    """`bow handle`, `2 side handles`."""
    name, count = each.handle.record.named(design.wording), each.handle.count
    return name if count == 1 else f"{count} {name}s"


def handle_title(design: Design, each: HandleLaid) -> str:
    """`Put in the bow handle`, `Put in the 2 side handles`; numbered where a basket has several kinds."""
    return f"Put in the {handles_named(design, each)}{handle_number(design, each)}"


def handle_number(design: Design, each: HandleLaid) -> str:
    """` (handle 2)` where a basket has several kinds, else empty."""
    return f" (handle {each.index + 1})" if len(design.handles) > 1 else ""


def handle_lines(design: Design, each: HandleLaid, soaked: str = "", feet: Sequence[str] = ()) -> list[str]:
    """Everything a maker does for one row of the design's handles, in order. `soaked` is said in place of how what
    stands in the wall is soaked, and the lines of `feet` before its ends are pushed down."""
    return [*prepare_lines(each, soaked), *set_in_lines(design, each, feet), *cover_lines(design, each), TRIED]


def handle_facts(plan: Plan) -> list[str]:
    """A line for each handle: kind, size, how covered."""
    design = plan.design
    out = []
    for each in plan.handles:
        said = f"{handles_named(design, each)}, {length_with_cm(design, each.height_mm)} above the {{border}}, "
        said += f"{length_with_cm(design, each.across_mm)} across"
        out.append(voice(plan.design)[0](said))
    return out


def standing_in(each: HandleLaid) -> str:
    """What goes down into the wall: the core, or a rope's own rods."""
    if each.handle.core is None:
        return "rods"
    return "core" if each.handle.cores == 1 else "cores"


def prepare_lines(each: HandleLaid, soaked: str = "") -> list[str]:
    """Soaking and bending what stands in the wall, and cutting its ends; `soaked` as in `handle_lines`."""
    handle = each.handle
    one = "it" if standing_in(each) == "core" and handle.count == 1 else "each"
    reed = handle.core or handle.wrap
    assert reed is not None, "no handle is of nothing"
    bent = f"end {one} over the knee into an arch."
    lines = [f"{soaked} B{bent}" if soaked else f"Soak the {standing_in(each)} ({reed.soak().told}), and b{bent}"]
    if handle.core is None and each.twist is not None:
        lines.append(f"Lay the {each.twist.rods} rods side by side and tie them together at the middle.")
    elif handle.cores > 1:
        lines.append(f"Lay the {handle.cores} cores of a handle side by side and tie them together at the middle.")
    lines.append(f"{AWAY} Cut both ends to a long slant.")
    return lines


def set_in_lines(design: Design, each: HandleLaid, feet: Sequence[str], arches: int | None = None) -> list[str]:
    """Where the feet of these handles go, or of the first so many `arches`, and how they are pushed in; `feet` as in
    `handle_lines`."""
    tell, _ = voice(design)
    ends, spaces, handle = design.top_ends, each.spaces, each.handle
    one, other = each.feet(ends)[0]
    which = "first handle" if handle.count > 1 else "handle"
    first = f"{COUNTED} The {which} stands beside {{spokes}} {one + 1} and {other + 1}"
    if handle.record.at_side:
        first += "."
    elif 2 * spaces == ends:
        first += f": {spaces} on from each other, counted either way."
    else:
        first += f": {spaces} one way round, {ends - spaces} the other."
    lines = [tell(first)]
    for a, b in each.feet(ends)[1:arches]:
        lines.append(tell(f"The next stands beside {{spokes}} {a + 1} and {b + 1}."))
    lines += feet
    if each.twist is not None and each.handle.core is None:  # twisted from one foot to the other before that goes in
        first = "the first of these {spokes}" if handle.count == 1 else "the first {spoke} of each handle"
        return [*lines, pushed_told(design, each, first, "one end of all its rods"),
                twisted_told(design, each),
                pushed_told(design, each, "the other {spoke}", "the other ends"), measured_told(design, each)]
    return [*lines, pushed_told(design, each, "each of these {spokes}", "the ends"), measured_told(design, each)]


def pushed_told(design: Design, each: HandleLaid, beside: str, ends: str) -> str:
    """How `ends` of a handle are pushed down `beside` something, as a template has it."""
    tell = voice(design)[0]
    return tell(
        f"Open the way beside {beside} with the bodkin, pushing away from you. Mark {ends} {{deep}} from the tip. Push "
        f"{ends} down there, until the mark is at the top of the {{border}}.",
        deep=length_with_cm(design, each.depth_mm),
    )


def measured_told(design: Design, each: HandleLaid) -> str:
    """How high the arch must stand once both its feet are in."""
    looked = "Look along the {border}: it stands upright over it." if each.handle.record.at_side else \
        "Look from the end: it stands upright over the middle."  # fmt: skip
    return voice(design)[0](
        f"Measure: the arch stands {{high}} above the {{border}} and its feet {{across}} apart. {looked}",
        high=length_with_cm(design, each.height_mm),
        across=length_with_cm(design, each.across_mm),
    )


def cover_lines(design: Design, each: HandleLaid) -> list[str]:
    """Wrapping a handle, or twisting its rods round its core; nothing where what was set in stays bare."""
    if each.twist is not None:
        if each.handle.core is None:
            return []
        return [f"{rods_in_told(each)}, and {twisted_told(design, each)} {RODS_END}"]
    if each.handle.wrap is None:
        return []
    return [wrapped_told(design, each), *([NEW_LENGTH] if lengths_of(each) > 1 else []), WRAP_ENDS]


def wrapped_told(design: Design, each: HandleLaid) -> str:
    """How a close wrapping is begun and led over."""
    handle = each.handle
    return voice(design)[0](
        f"Lay {'the end' if handle.strands == 1 else f'the ends of {handle.strands} strands, side by side,'} of the "
        f"wrapping along the {standing_in(each)} for {length_by_eye(design, ENDS_MM)}, and wrap over "
        f"{'it' if handle.strands == 1 else 'them'} from the {{border}} up. Lay {several(each.turns, 'turn')} to the "
        "other foot, each close against the one before."
    )


def _twist(each: HandleLaid) -> Twist:
    assert each.twist is not None, "asked of a rope handle"
    return each.twist


def twisted_told(design: Design, each: HandleLaid) -> str:
    """How the rods of a rope handle are twisted: a sentence, or the end of one where they are set in round a core."""
    tell, twist = voice(design)[0], _twist(each)
    turn = length_with_cm(design, twist.turn_mm)
    if each.handle.core is None:
        return tell(
            f"Before the second foot goes in, twist the {twist.rods} rods together towards the {{forward}}, once round "
            f"in every {turn}: about {several(each.turns, 'turn')} over the arch. They lie side by side like a rope."
        )
    them = "it" if twist.rods == 1 else "them"
    return tell(
        f"twist {them} round the {standing_in(each)} towards the {{forward}}, once round in every {turn}, over to the "
        f"other foot. {'Its turns' if twist.rods == 1 else 'They'} lie side by side."
    )


def rods_in_told(each: HandleLaid) -> str:
    """The rods that will cover a core, set in; without its full stop."""
    return f"Push {several(_twist(each).rods, 'rod')} in beside one foot"


# Lid -----------------------------------------------------------------------------------------------------------


def lid_facts(plan: Plan) -> list[str]:
    """A line on the lid: how wide, how it sits."""
    return [] if plan.seat is None else [_lid_fact(plan.design, plan.seat)]


def _lid_fact(design: Design, seat: LidFit) -> str:
    return f"{_lid_across(design, seat)}, {_lid_sits(design, seat)}"


def _lid_across(design: Design, seat: LidFit) -> str:
    across = length_with_cm(design, seat.across_mm)
    return voice(design)[0]("{across} across at its {spokes}" if seat.seat.name == "over" else "{across} across",
                            across=across)  # fmt: skip


def _lid_sits(design: Design, seat: LidFit) -> str:
    """How it sits, after a comma or `it`."""
    tell = voice(design)[0]
    if seat.seat.name == "inside":
        assert seat.rests_mm is not None, "a lid inside rests somewhere"
        return tell("goes into the mouth and rests {down} below the {border}",
                    down=length_with_cm(design, seat.rests_mm))  # fmt: skip
    return tell("lies on the {border}" if seat.seat.name == "on" else "goes over the {border}")


def seat_lines(design: Design, seat: LidFit) -> list[str]:
    """Trying the lid on, and what to do when it binds or rattles."""
    tell = voice(design)[0]
    play = thin_told(design, show_length(seat.play_mm, design.units, 16), seat.play_mm)
    lines = ["Try it while basket and lid are still damp."]
    if any(not handle.record.at_side for handle in design.handles):
        lines.append("Tilt the lid to pass it under the handle.")
    lines.append(f"The lid is {_lid_across(design, seat)}. It {_lid_sits(design, seat)}.")
    if seat.seat.name == "inside":
        lines.append(
            f"All round it should have about {play} of play at the mouth. If it binds, press the mouth out with your "
            "hands; if it falls through, press the mouth in."
        )
    elif seat.seat.name == "on":
        lines.append(
            "Tie it to the basket with a loop of soaked {reed} at the back, and another at the front to close it."
        )
    else:
        lines.append(
            f"All round it should have about {play} of play. If it binds, press its side out with your hands while "
            "it is damp."
        )
    lines.append("Mark on both where they fit best, and let them dry together.")
    return [tell(line) for line in lines]
