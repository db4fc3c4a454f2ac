"""A border told: what to do before, what to lay first and leave loose, how it closes, where the tips rest.

One place each. Sentences are templates of `words.say` ({spoke}, {forward}, {back}); `closing` is plain, as it has been.
Ends and spokes are counted from 1 here, in the direction of work.
"""

from __future__ import annotations

from ..words import listed
from .meetings import lies_on, threads
from .rows import Border, Plait, Rods, row_tips, trimmed_on
from .work import layers, stand_ins

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
KINK_MOST = 3
"""An end that comes down on many others is bent no higher than so many thicknesses (common practice, no source)."""


def bend_above(border: Border) -> float:
    """How far above the last row an end bends, in its own thicknesses: as high as what it must lie over."""
    if border.order is None:
        legs = border.rows[0].legs
        return float(min(legs[0][1], KINK_MOST)) - 0.5
    return min(layers(border)[0, 1], KINK_MOST) + 0.5


SOAK_AGAIN = (
    "Soak the standing {spokes} again, basket upside down in the water, until one bends round a finger uncracked."
)
SOAK_FLAT = "Soak the {spokes} again, laid flat in the water, until one bends round a finger uncracked."
"""The same of what has no wall."""


def before(border: Border) -> list[str]:
    """Soaking and crimping, before the first end is bent."""
    return [SOAK_AGAIN, bent_how(border)]


def bent_how(border: Border) -> str:
    """What is done to every end so that it will bend where it should."""
    if border.is_open:
        return "Cut every tip on the slant, so that it slides down beside a {spoke}; arches are bent, not nipped."
    high = bend_above(border)
    where = "just {above} the last row" if high < 1 else f"{high:g} times its thickness {{above}} the last row"
    return f"Nip each {{spoke}} flat with round-nosed pliers {where}, where it will turn down."


def lay_first(border: Border) -> list[str]:
    """What is laid down first, what stays loose, and the move that then repeats."""
    order = border.order
    if isinstance(order, Rods):
        return _rods_first(border, order)
    if isinstance(order, Plait):
        return [*_plait_first(order), _loose(_lifted(border))]
    return ["Begin with any {spoke}, mark it, and work towards the {forward}.", *_loose_by_rows(border)]


def _loose_by_rows(border: Border) -> list[str]:
    """What stays loose in which row, of a border worked row by row."""
    by_row: dict[int, set[int]] = {}
    for (_, stage), under in threads(border, _ring(border)).items():
        by_row.setdefault(stage, set()).update(under)
    out = []
    for stage, lifted in by_row.items():
        row = f"In row {stage + 1} leave" if len(border.rows) > 1 else "Leave"
        out.append(f"{row} {_firsts(lifted)} loose, a pencil's thickness above the row: others close there.")
    return out


def _firsts(ends: set[int]) -> str:
    """Ends of the beginning, from 0: `the first 2 spokes`."""
    spokes = "spoke" if len(ends) == 1 else "spokes"
    if ends == set(range(len(ends))):
        return f"the first {spokes}" if len(ends) == 1 else f"the first {len(ends)} {spokes}"
    return f"{spokes} {listed([str(end + 1) for end in sorted(ends)])}"


def _rods_first(border: Border, order: Rods) -> list[str]:
    first = listed([str(end + 1) for end in range(order.down)])
    ahead = order.down - order.behind
    lies = f"in front of {ahead - 1 + order.front}" if ahead - 1 + order.front else "on"
    go_on = f"Take the {{back}}-hand {{spoke}} of those that wait {lies}"
    stands = "stands" if order.front == 1 else "stand"
    stands = f" The last {NUMBERS[order.front]} that it goes in front of still {stands}." if order.front else ""
    if not order.back_rods:
        go_on += (
            f" and in, where it rests. Then bend down the first {{spoke}} that stands, behind {order.behind} and out."
        )
        go_on += f"{stands} Go on so, towards the {{forward}}."
        return [_mark(first, order.behind), _loose(_lifted(border)), go_on]
    beside = "beside it" if order.front == 1 else f"behind {order.behind} and out"
    pair = " Of each pair the longer, {forward}-hand one goes on; the shorter stays and is trimmed." * (
        order.front == 1
    )
    go_on += f", behind {order.behind} and out; bend down the first {{spoke}} that stands, {beside}.{stands}"
    return [_mark(first, order.behind), _loose(_lifted(border)), f"{go_on} Go on so, towards the {{forward}}.{pair}"]


def _mark(first: str, behind: int) -> str:
    return f"Mark any {{spoke}}: it is 1. Bend down {first} one after the other, each behind {behind} and out."


def _lifted(border: Border) -> list[int]:
    """The ends that others are led under at the close, from 1."""
    return sorted({end + 1 for ends in threads(border, _ring(border)).values() for end in ends})


def _loose(loose: list[int]) -> str:
    return f"Leave {listed([str(end) for end in loose])} loose, a pencil's thickness above the row: others close there."


def _plait_first(order: Plait) -> list[str]:
    many, one = NUMBERS[order.pairs], "pair" if order.rounds > 1 else "{spoke}"
    extras = (
        [
            f"Cut {many} extra reeds as long as a standing {{spoke}} and push one in beside each of the first {many} "
            "{spokes}, to its {forward}. Mark the first."
        ]
        if order.rounds > 1
        else ["Mark any {spoke}: it is 1."]
    )
    rest = ("three", "shortest", "the other two") if order.rounds > 1 else ("two", "shorter", "the other")
    return [
        *extras,
        f"Bend the first {one} down to {{the outside}}, then the second. Take the first {one} on in front of the third "
        f"{{spoke}} and in, and bend down the third {one} over it: two {one}s now lie {{outside}} and one {{inside}}.",
        f"From here: the {{back}}-hand {one} {{outside}} goes in front of the first {{spoke}} that stands, and in; the "
        f"{one} {{inside}} comes out behind that {{spoke}}, over it; and the {{spoke}} lies down with it, to its "
        "{forward}.",
        f"Where {rest[0]} now lie together, leave the {rest[1]} {{outside}} and go on with {rest[2]}.",
    ]


def _ring(border: Border) -> int:
    """A count on which the first ends and the last are well apart."""
    return 2 * border.smallest_ends + 6


def _end(end: int, ends: int, numbered: bool) -> str:
    if end < ends // 2:
        return f"spoke {end + 1}"
    name = "the last spoke" if end == ends - 1 else f"the last spoke but {NUMBERS[ends - 1 - end]}"
    return f"{name} ({end + 1})" if numbered else name


def _space(at: int, ends: int) -> str:
    """The space before spoke `at`, counted from 0 and perhaps round the ring."""
    at %= ends
    if at == 0:
        return "between the last spoke and spoke 1"
    return f"between spokes {at} and {at + 1}"


def closing(border: Border, ends: int | None = None) -> list[str]:
    """How the border closes, as sentences with the exact ends and spaces; `ends` the count, where it is known.

    Row borders are told row by row, as each row closes by itself; the last sentence is of the tips.
    """
    if border.order is None:
        rows = enumerate(closing_by_rows(border, ends), start=1)
        return [*(f"Row {i}: {line}" for i, line in rows), tips(border)]
    ring, numbered = _ring(border), False
    if ends is not None and ends >= ring:  # on fewer the first ends and the last are the same
        ring, numbered = ends, True
    extras = {end: extra for extra, end in stand_ins(border, ring).items()}
    out = []
    for (end, stage), under in threads(border, ring).items():
        row = border.rows[stage]
        beyond = end + 1 + sum(each.reach for each in border.rows[: stage + 1])
        name = _end(end, ring, numbered)
        lifted = listed([_end(other, ring, numbered) for other in under])
        place = "rests inside" if row.finish == "in" else f"comes out {_space(beyond, ring)}"
        draws = ""
        if stage == len(border.rows) - 1 and end in extras:
            draws = f"Draw out the extra reed beside spoke {-extras[end]}; {name} takes its place: it"
        out.append(f"{draws or name[:1].upper() + name[1:]} goes {row.words()}, under {lifted}, and {place}.")
    return [*out, tips(border)]


def closing_by_rows(border: Border, ends: int | None = None) -> list[str]:
    """How each row closes, with the place of its very last end; to follow `Row 1: `, or to begin with a capital."""
    ring, numbered = _ring(border), False
    if ends is not None and ends >= ring:
        ring, numbered = ends, True
    lines, beyond = [], ring
    last = _end(ring - 1, ring, numbered)
    for i, row in enumerate(border.rows):
        beyond += row.reach
        where = f"beside spoke {beyond % ring + 1}" if border.is_open else _space(beyond, ring)
        lines.append(f"{_row_closes(border, ring, i)} {last[:1].upper() + last[1:]} comes to lie {where}.")
    return lines


def _row_closes(border: Border, ring: int, stage: int) -> str:
    """What is lifted at the close of a row worked end by end, or what its last ends lie on."""
    under = {end: found for (end, at), found in threads(border, ring).items() if at == stage}
    upon = {end: found for (end, at), found in lies_on(border, ring).items() if at == stage}
    found = under or upon
    lasts = "the last spoke goes" if len(found) == 1 else f"the last {len(found)} spokes go"
    firsts = _firsts({each for ends in found.values() for each in ends})
    moves = border.rows[stage].words()
    if under:
        return (f"leave {firsts} loose enough to lift; {lasts} {moves}, led under {firsts} in turn: "
                "so the row closes without a gap.")  # fmt: skip
    if upon:
        return f"nothing is lifted; {lasts} {moves} like all others, above {firsts}."
    return f"nothing is lifted; the last spokes go {moves} like all others."


def tips(border: Border) -> str:
    """Where the tips rest, and on which side to trim them."""
    if border.order is None:
        return row_tips(border)
    return (
        f"The tips rest {trimmed_on(border)}; trim them there on the slant once the border is dry, each long enough to "
        "lie against the next spoke."
    )
