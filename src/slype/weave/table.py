"""The table of weaves: one record per weave of the trade.

A weave is data: how many weavers, the cycle of (over, under), whose turn it is, and whether the moved weaver goes
over or under the others. `trace.trace` runs any of them; help, checks, docs and tests loop over `WEAVES`.

Turns
- "stroke": the hindmost weaver makes one stroke, then the next (pairing, wales);
- "round": one weaver goes once round, then the next goes round after it (randing, chasing);
- "back": one stroke with each weaver, each next one set in the space behind the last (French randing).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from ..errors import DesignError, did_you_mean
from ..words import Named

EVERY_END = 0  # `weavers` of a weave that uses one weaver in every space
MOST_SPOKES, MOST_A_ROW, MOST_FOLLOWED = 400, 20_000, 1_200_000
"""Spokes of a basket at most; passages by them in a row of a free weave, and in all until it comes round. A dozen
weavers in a pattern of 60 spokes take half of it. Following so many takes a second or two."""
TURNS = ("stroke", "round", "back")


@dataclass(frozen=True)
class Weave(Named):
    """How weavers move, and what the trade says of it.

    `cycle` holds (over, under) pairs, worked in turn by each weaver; `reverse` says row by row, repeating, whether
    the moved weaver is laid under the others; `strands` reeds are worked as one. `source` is a key of the sources.
    """

    name: str
    weavers: int
    cycle: tuple[tuple[int, int], ...]
    turns: str = "stroke"
    reverse: tuple[bool, ...] = (False,)
    strands: int = 1
    uk: str = ""
    also: tuple[str, ...] = ()
    help: str = ""
    example: str = ""
    source: str = "practice"

    @property
    def reach(self) -> int:
        """Spokes that one whole cycle of a weaver passes."""
        return sum(over + under for over, under in self.cycle)

    @property
    def is_wale(self) -> bool:
        """Three or more weavers taking turns: firm enough to hold spokes up or a border down."""
        return self.turns == "stroke" and self.weavers >= 3

    def count(self, ends: int) -> int:
        """How many weavers it takes on `ends` standing ends (or groups of them)."""
        return ends if self.weavers == EVERY_END else self.weavers

    def stroke_words(self) -> str:
        """`over 2, under 1` in words."""
        return ", then ".join(f"over {over}, under {under}" for over, under in self.cycle)


def _wale(count: str, weavers: int, over: int, under: int, **more: Any) -> Weave:
    return Weave(
        f"{count}-rod wale",
        weavers,
        ((over, under),),
        help=(
            f"{weavers} weavers in neighbouring spaces; the hindmost goes in front of {over}, behind {under} and out, "
            "over the others."
        ),
        example=f'weave = "{count}-rod wale"',
        **more,
    )


def _reversed(weave: Weave) -> Weave:
    return replace(
        weave,
        name=f"reverse {weave.name}",
        reverse=(True,),
        also=(),
        source="practice",
        uk="",
        example=f'weave = "reverse {weave.name}"',
        help=weave.help.replace("over the others", "under the others, so that it twists the other way"),
    )


_PAIRING = Weave(
    "pairing",
    2,
    ((1, 1),),
    also=("twining",),
    source="gill",
    help="Two weavers in neighbouring spaces; the hindmost goes over the other, in front of 1, behind 1 and "
    "out. Works on odd and even counts.",
    example='weave = "pairing"',
)
_WALES = (
    _wale(
        "three",
        3,
        2,
        1,
        source="gill",
        also=("triple twist", "three-rod coil", "waling", "wale", "upset", "upsett"),
    ),
    _wale("four", 4, 2, 2, also=("four-rod coil",)),
    _wale("five", 5, 3, 2, also=("five-rod coil",)),
    _wale("six", 6, 3, 3),
)
_ALL = (
    Weave(
        "randing",
        1,
        ((1, 1),),
        "round",
        source="gill",
        also=("plain weave", "over-and-under weaving"),
        help="One weaver, in front of 1, behind 1. Needs an odd count of ends.",
        example='weave = "randing"',
    ),
    Weave(
        "rib randing",
        1,
        ((2, 1),),
        "round",
        help="One weaver, in front of 2, behind 1. Needs a count that is not a multiple of 3.",
        example='weave = "rib randing"',
    ),
    Weave(
        "chasing",
        2,
        ((1, 1),),
        "round",
        source="gill",
        help="Two weavers in neighbouring spaces; one goes round, the other follows it. For even counts.",
        example='weave = "chasing"',
    ),
    Weave(
        "slewing",
        1,
        ((1, 1),),
        "round",
        strands=2,
        source="gill",
        also=("double weaving",),
        help="Two or more reeds worked as one, in front of 1, behind 1. Needs an odd count of ends.",
        example='weave = "slewing"\nstrands = 3',
    ),
    _PAIRING,
    replace(_reversed(_PAIRING), also=("fitching",), source="eb11"),
    *_WALES,
    *(_reversed(wale) for wale in _WALES),
    Weave(
        "chain wale",
        3,
        ((2, 1),),
        reverse=(False, True),
        also=("arrow",),
        help="A row of three-rod wale, then a row of reverse three-rod wale: the twists meet like a chain.",
        example='weave = "chain wale"\nrows = 2',
    ),
    Weave(
        "twill randing",
        1,
        ((2, 2),),
        "round",
        help="One weaver, in front of 2, behind 2. Needs an odd count of ends (one more or less than a multiple of "
        "four lets the steps climb one space a row).",
        example='weave = "twill randing"',
    ),
    Weave(
        "French randing",
        EVERY_END,
        ((1, 1),),
        "back",
        source="practice",
        help="A weaver in every space; each goes in front of 1, behind 1, the next one set behind the last.",
        example='weave = "French randing"',
    ),
)
WEAVES: dict[str, Weave] = {weave.name: weave for weave in _ALL}
_BY_ANY_NAME = {name.lower(): weave for weave in _ALL for name in (weave.name, weave.uk, *weave.also) if name}


def weave_named(name: object, where: str = "") -> Weave:
    """The record for a name in either wording. Raises DesignError, suggesting the nearest name."""
    if not isinstance(name, str):
        raise DesignError(f"a weave is a name, not {name!r:.40}.", where, 'Write it like "three-rod wale".')
    key = " ".join(name.lower().split())
    for figure, word in (("3", "three"), ("4", "four"), ("5", "five"), ("6", "six")):
        key = key.replace(f"{figure}-rod", f"{word}-rod").replace(f"{figure} rod", f"{word}-rod")
    if key not in _BY_ANY_NAME:
        raise DesignError(f'there is no weave called "{name}".', where, did_you_mean(key, _BY_ANY_NAME))
    return _BY_ANY_NAME[key]


def free_weave(
    cycle: tuple[tuple[int, int], ...],
    weavers: int,
    turns: str = "",
    reverse: tuple[bool, ...] = (False,),
    where: str = "",
) -> Weave:
    """Any cycle of over and under with any number of weavers.

    Raises DesignError for nought over or under, no weavers, or weavers that would have no free space to stand in.
    """
    if not cycle or any(over < 1 or under < 1 for over, under in cycle):
        raise DesignError(
            "a weaver must go over at least 1 and under at least 1.", where, "For example over = 2, under = 1."
        )
    if weavers < 1:
        raise DesignError("a weave needs at least one weaver.", where, "For example weavers = 3.")
    reach = sum(over + under for over, under in cycle)
    turns = turns or ("stroke" if 1 < weavers <= reach else "round")
    if turns not in TURNS:
        raise DesignError(f'turns = "{turns}" is not a way to take turns.', where, did_you_mean(turns, TURNS))
    if turns == "stroke" and weavers > reach:
        raise DesignError(
            f"{weavers} weavers taking turns need a stroke that passes at least {weavers} spokes; this one "
            f"passes {reach}.",
            where,
            'Use fewer weavers, a longer stroke, or turns = "round".',
        )
    a_row = weavers * min(max(8 * reach, weavers + 2 * reach), MOST_SPOKES)
    if turns != "back" and (a_row > MOST_A_ROW or a_row * 2 * reach > MOST_FOLLOWED):
        raise DesignError(
            f"{weavers} weavers and a cycle that passes {reach} spokes repeat too late to be followed.", where,
            "Use fewer weavers or a shorter cycle, for example 24 weavers over 12 and under 12.",
        )  # fmt: skip
    weave = Weave("free weave", weavers, cycle, turns, reverse)
    return replace(weave, help=f"{weavers} weavers, {weave.stroke_words()}.")
