"""One stroke, and one border, in words for a new student. Used by `steps`.

"In front" is the side that faces the maker: the outside, or the underside of a base.
"""

from __future__ import annotations

from functools import partial

from ..borders.rows import INSERTION_MM, Row
from ..borders.sentences import bent_how, closing, closing_by_rows, lay_first
from ..borders.sentences import tips as tips_of
from ..design.values import Design
from ..lay.values import BandLaid
from ..words import listed, say
from .voice import show_about


def stroke_lines(design: Design, band: BandLaid) -> list[str]:
    """How the weavers of a band move, one row long."""
    weave = band.band.weave
    tell = {"stroke": _by_turns, "round": _one_at_a_time, "back": _set_behind}[weave.turns]
    one, many = passed(design, band)
    return [say(line, design.wording, design.hand, one=one, many=many) for line in tell(band)]


def passed(design: Design, band: BandLaid) -> tuple[str, str]:
    """What a weaver of this band passes, one and several."""
    if band.band.group > 1:
        return "group", "groups"
    if band.band.where == "base" and design.spokes.inserted:
        return "stick", "sticks"
    return say("{spoke}", design.wording), say("{spokes}", design.wording)


def _move(over: int, under: int) -> str:
    """`in front of 2 spokes, behind 1`, as a template."""
    return f"in front of {over} {'{one}' if over == 1 else '{many}'}, behind {under}"


def past_others(band: BandLaid) -> list[str]:
    """How the moved weaver of a band passes those that wait, row by row, repeating: `over the other 3`."""
    others = len(band.colours) - 1
    rest = "the other" if others == 1 else f"the other {others}"
    return [f"{'under' if reverse else 'over'} {rest}" for reverse in band.band.weave.reverse]


def stroke_told(
    band: BandLaid, row: int, weaver: int, named: str, space: int, front: list[int], back: list[int]
) -> str:
    """One single stroke, as a template: `row` of its block, spokes and `space` count from 0, `named` is its colour."""
    weave, many, gap = band.band.weave, len(band.colours), space_of(band)
    legs: list[str] = []
    for where, spokes in (("in front of", front), ("behind", back)):
        if spokes:
            noun = "" if legs else " {one}" if len(spokes) == 1 else " {many}"
            legs.append(f"{where}{noun} {listed([str(spoke + 1) for spoke in spokes])}")
    out = (space + len(front) + len(back)) % band.spaces + 1
    way = ", ".join(legs) + (f", out at {gap} {out}" if back else "")
    if weave.turns == "round":
        which = f"weaver {weaver + 1}" if many > 1 else "the weaver"
        return f"Take {which}{named} on from {gap} {space + 1}: {way}."
    if weave.turns == "back":
        return f"Take the weaver{named} in {gap} {space + 1}: {way}."
    past = past_others(band)[row % len(weave.reverse)]
    return f"Take the weaver furthest to the {{back}}{named}, from {gap} {space + 1}, {past}: {way}."


def space_of(band: BandLaid) -> str:
    """What the gaps are called that a band's weavers hang in, as in the handout's steps."""
    return "group space" if band.band.group > 1 else "space"


def tucked(band: BandLaid) -> str:
    """Where the tails of a band's weavers lie, seen by whoever works it."""
    return "on the far side" if band.band.where == "base" else "inside"


def _by_turns(band: BandLaid) -> list[str]:
    """The hindmost weaver moves, over or under the others (pairing, wales)."""
    weave = band.band.weave
    rest = past_others(band)[0].split(" ", 1)[1]
    sides = [sentence.split(" ", 1)[0] for sentence in past_others(band)]
    first, more = weave.cycle[0], weave.cycle[1:]
    lines = [
        f"Take the {{back}}-hand weaver. Bring it {sides[0]} {rest}, {_move(*first)}, and out to the front. Now "
        "another weaver is the {back}-hand one: do the same with it, and so on."
    ]
    if more:
        sentence = ", then ".join(_move(over, under) for over, under in more)
        lines.append(f"Each weaver's next stroke goes {sentence}; after that it begins again with the first.")
    if len(set(sides)) > 1:
        sentence = listed([f"row {i} goes {side} {rest}" for i, side in enumerate(sides, start=1)])
        lines.append(f"The rows differ: {sentence}; then the same again. The twists of two such rows meet.")
        lines.append(
            f"Change over where the band began: when every space from {band.band.start + 1} round to "
            f"{band.band.start + 1} has had its stroke, begin the other row with the weaver that stands hindmost."
        )
    elif sides[0] == "under":
        lines.append(f"Mind that the moved weaver passes below {rest}: the row twists the other way.")
    if not more and len(band.colours) == weave.reach:
        lines.append(f"One row is {band.spaces} strokes, one from every space.")
    else:
        lines.append(f"A row is done when the weavers have come round to space {band.band.start + 1} again.")
    return lines


def _one_at_a_time(band: BandLaid) -> list[str]:
    """Once round with one weaver, then with the next (randing, chasing, slewing)."""
    weave, many = band.band.weave, len(band.colours)
    over, under = weave.cycle[0]
    round_ = ", ".join([_move(over, under), *(f"in front of {a}, behind {b}" for a, b in weave.cycle[1:])])
    as_one = f" Keep its {band.band.strands} {{reed}}s flat, side by side." if band.band.strands > 1 else ""
    if many == 1:
        lines = [f"Go {round_}, and so on, towards the {{forward}}.{as_one} Once round is one row."]
        if not band.locked:
            lines.append("On this count it passes some always on the same side and does not hold: see Watch out.")
        elif weave.cycle == ((1, 1),):
            lines.append(
                f"Because {band.spaces} is odd, the next row goes behind where this one went in front. If it does "
                "not, a {one} was missed: go back."
            )
        else:
            lines.append(
                f"Do not begin the count anew at space {band.band.start + 1}: go on, and every row moves by itself."
            )
        return lines
    lines = [
        f"With the first weaver go {round_}, and so on, once round to where it began.{as_one} Let it rest in front.",
        "Then do the same with the "
        + ("second" if many == 2 else "second, and so on up to the last")
        + ", which lies on top. Where one meets another that rests, it goes in above that one.",
        f"Once round with {'both' if many == 2 else f'all {many}'} is one row.",
    ]
    return lines


def _set_behind(band: BandLaid) -> list[str]:
    """A weaver in every space, each next one behind the last (French randing)."""
    weave = band.band.weave
    over, under = weave.cycle[0]
    first = (band.band.start + band.spaces - 1) % band.spaces + 1
    back = (first - 2) % band.spaces + 1
    return [
        f"Begin with the weaver in space {first}: {_move(over, under)}, and out to the front. Next take the one "
        f"to its {{back}}, in space {back}, and do the same. Go on backwards round the basket: each stroke lies on the "
        "one before it.",
        f"Lift the first {weave.reach} to let the last {weave.reach} pass below them. Now every space has its weaver "
        "again, and that is one row.",
        "Begin every row with the weaver you began with.",
    ]


# Border --------------------------------------------------------------------------------------------------------

FACES = {
    True: {True: "along {the inside} past", False: "along {the outside} past"},
    False: {True: "in front of", False: "behind"},
}
"""By whether a row is worked on the inside, and whether a leg goes over: where it goes, a template."""
LEAVE = {"out": "leave it {outside}", "in": "leave it {inside}", "down": "tuck it down there"}
AWAY = "Cut away from you."
"""What every step with a blade in it says; the caution on blades and points says the rest."""
TRIM = "Trim the weavers' tails {inside}, on the slant, each long enough to rest on a {spoke}."


def border_lines(design: Design, nip: str = "", tips: str = "", flat: bool = False) -> list[str]:
    """How to work the border, of what has a wall or is `flat`: each row's move, what to leave loose, how to close,
    trimming; `nip` and `tips` what is said of these two in place of the usual."""
    tell = partial(say, wording=design.wording, hand=design.hand, flat=flat)
    border, per_end = design.border, len(design.top_reeds)
    together = (
        [say(f"The {per_end} {{spokes}} of one place move together, side by side.", design.wording)]
        if per_end > 1
        else []
    )
    nipped, at_last = [nip or tell(bent_how(border))], tips or tips_of(border)
    if border.order is not None:
        lines = [*nipped, *lay_first(border), *closing(border, design.top_ends)[:-1], at_last]
        return [*together, *map(tell, lines)]
    close = [line[:1].upper() + line[1:] for line in closing_by_rows(border, design.top_ends)]
    if border.is_open:
        return [*together, *_open_lines(design), close[0], "Make all the arches alike before they dry."]
    lines = [*together, *nipped]
    side = "standing"
    for i, row in enumerate(border.rows):
        lines += [f"Row {i + 1}. {tell(_row_words(row, side))}", close[i]]
        side = {"in": "inside", "out": "outside", "down": "down"}[row.finish]
    return [*lines, at_last]


def _next(count: int) -> str:
    return "the next one" if count == 1 else f"the next {count}"


def _row_words(row: Row, side: str) -> str:
    faces = FACES[side == "inside"]
    legs = ", then ".join(f"{faces[over]} {_next(count)}" for over, count in row.legs)
    last = LEAVE[row.finish]
    begin = {
        "standing": "Begin with any {spoke} and mark it. Bend it down towards the {forward},",
        "outside": "Now every {spoke} lies {outside}. Begin again with the marked one. Take it on towards the "
        "{forward},",
        "inside": "Now every {spoke} lies {inside}. Work on {the inside}, the same way round the basket. Take the "
        "marked one",
    }[side]
    return f"{begin} {legs}, and {last}. Do the same with the next {{spoke}}, and so on all the way round."


def _open_lines(design: Design) -> list[str]:
    over, count = design.border.rows[0].legs[0]
    return [
        "Cut each tip on the slant, so that it slides down easily.",
        say(
            "Begin with any {spoke}. Bend it in an arch towards the {forward}, {face} {next}, and push it down beside "
            "the {spoke} after that, {deep} deep. Do the same with the next {spoke}, and so on all the way round.",
            design.wording,
            design.hand,
            face="in front of" if over else "behind",
            next=_next(count),
            deep=show_about(INSERTION_MM, design.units),
        ),
    ]
