"""Putting in the handles and fitting the lid, as lines of a handout. Level 6: a plan in sentences, no page layout."""

from __future__ import annotations

from .fitted import HandleLaid, lengths_of
from .handles import ENDS_MM, NOT_RATED
from .plan import Plan
from .quantity import show_length
from .telling import show_about, soak_words, voice
from .words import several


def handle_title(made: Plan, each: HandleLaid) -> str:
    """`Put in the bow handle`, `Put in the 2 side handles`; numbered where a basket has several kinds."""
    name, count = each.handle.record.named(made.design.wording), each.handle.count
    number = f" (handle {each.index + 1})" if len(made.handles) > 1 else ""
    return f"Put in the {name if count == 1 else f'{count} {name}s'}{number}"


def handle_lines(made: Plan, each: HandleLaid) -> list[str]:
    """Everything a maker does for one row of the design's handles, in order."""
    return [*_prepare(made, each), *_place(made, each), *_cover(made, each), *_close()]


def handle_facts(made: Plan) -> list[str]:
    """A line for each handle: kind, size, how covered."""
    _, long = voice(made.design)
    out = []
    for each in made.handles:
        name, count = each.handle.record.named(made.design.wording), each.handle.count
        said = f"{name if count == 1 else f'{count} {name}s'}, {long(each.height_mm)} above the {{border}}, "
        said += f"{long(each.across_mm)} across"
        out.append(voice(made.design)[0](said))
    return out


def _standing(each: HandleLaid) -> str:
    """What goes down into the wall: the core, or a rope's own rods."""
    if each.handle.core is None:
        return "rods"
    return "core" if each.handle.cores == 1 else "cores"


def _prepare(made: Plan, each: HandleLaid) -> list[str]:
    handle = each.handle
    one = "it" if _standing(each) == "core" and handle.count == 1 else "each"
    reed = handle.core or handle.wrap
    lines = [
        f"Soak the {_standing(each)} ({soak_words(reed.soak().words)}), and bend {one} over the knee into an arch."
    ]
    if handle.core is None:
        lines.append(f"Lay the {each.twist.rods} rods side by side and tie them together at the middle.")
    elif handle.cores > 1:
        lines.append(f"Lay the {handle.cores} cores of a handle side by side and tie them together at the middle.")
    lines.append("Cut both ends to a long slant. Cut away from you.")
    return lines


def _place(made: Plan, each: HandleLaid) -> list[str]:
    tell, long = voice(made.design)
    ends, spaces, handle = made.design.top_ends, each.spaces, each.handle
    first = "Count the {spokes} from space 1 on towards the {forward}, the first one after it as 1."
    first = f"{first} The {'first ' if handle.count > 1 else ''}handle stands beside {{spokes}} 1 and {spaces + 1}"
    if handle.kind == "side":
        first += "."
    elif 2 * spaces == ends:
        first += ": the same both ways round."
    else:
        first += f": {spaces} one way round, {ends - spaces} the other."
    lines = [tell(first)]
    for a, b in each.feet(ends)[1:]:
        lines.append(tell(f"The next stands beside {{spokes}} {a + 1} and {b + 1}."))
    lines.append(
        tell(
            "Open the way beside each of these {spokes} with the bodkin, pushing away from you. Push the ends down "
            "there, {deep} deep from the top of the {border}.",
            deep=long(each.depth_mm),
        )
    )
    lines.append(
        tell(
            "Measure: the arch stands {high} above the {border} and its feet {across} apart. Look from the end: "
            "it stands upright over the middle.",
            high=long(each.height_mm),
            across=long(each.across_mm),
        )
    )
    return lines


def _cover(made: Plan, each: HandleLaid) -> list[str]:
    tell, _ = voice(made.design)
    handle = each.handle
    if each.twist is not None:
        return [tell(_twisted(made, each))]
    if handle.wrap is None:
        return []
    lengths = lengths_of(each)
    lines = [
        f"Lay {'the end' if handle.strands == 1 else f'the ends of {handle.strands} strands, side by side,'} of the "
        f"wrapping along the {_standing(each)} for {show_about(ENDS_MM, made.design.units)}, and wrap over "
        f"{'it' if handle.strands == 1 else 'them'} from the {{border}} up: {several(each.turns, 'turn')}, each close "
        "against the one before, to the other foot."
    ]
    if lengths > 1:
        lines.append(
            "When a length runs out, lay its end and the new one along the arch on the underside, and wrap over both."
        )
    lines.append("Draw the last end back under the last turns with the bodkin, pull it tight and trim it.")
    return [tell(line) for line in lines]


def _twisted(made: Plan, each: HandleLaid) -> str:
    twist, over = each.twist, _standing(each)
    turn = voice(made.design)[1](twist.turn_mm)
    if each.handle.core is None:
        return (
            f"Before the second foot goes in, twist the {twist.rods} rods together towards the {{forward}}, side by "
            f"side like a rope, once round in every {turn}: about {several(each.turns, 'turn')} over the arch."
        )
    them = "it" if twist.rods == 1 else "them"
    return (
        f"Push {several(twist.rods, 'rod')} in beside one foot, and twist {them} round the {over}, side by side, "
        f"towards the {{forward}}, once round in every {turn}, over to the other foot. Push the ends in there."
    )


def _close() -> list[str]:
    return [
        f"Pull at it gently: the feet must not slip. {NOT_RATED} Try it with what the basket is for, little by little, "
        "over a table."
    ]


# Lid -----------------------------------------------------------------------------------------------------------


def lid_facts(made: Plan) -> list[str]:
    """A line on the lid: how wide, how it sits."""
    if made.lid is None:
        return []
    tell, long = voice(made.design)
    seat, across = made.seat, long(made.seat.across_mm)
    if seat.seat.name == "inside":
        down = long(seat.rests_mm)
        return [
            tell("{across} across, goes into the mouth and rests {down} below the {border}", across=across, down=down)
        ]
    if seat.seat.name == "on":
        return [tell("{across} across, lies on the {border}", across=across)]
    return [tell("{across} across at its {spokes}, goes over the {border}", across=across)]


def seat_lines(made: Plan) -> list[str]:
    """Trying the lid on, and what to do when it binds or rattles."""
    tell, _ = voice(made.design)
    seat, units = made.seat, made.design.units
    play = show_length(seat.play_mm, units, 16)
    lines = [tell("Try it while basket and lid are still damp: {fact}.", fact=lid_facts(made)[0])]
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
