"""What a thing is like when it is first added to a basket: a band, a lid, a handle, a foot. Facts, no page.

One record per thing. Each is where a maker would begin, to be changed at once; the reeds are of the series that is sold
where the wording is spoken. The studio's buttons write these values and no others of their own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Plain = dict[str, object]


@dataclass(frozen=True)
class First:
    """The first `value` of one thing, as it is written in the design file, for a wording ("us" or "uk"): `why` it is
    like that, on whose word (`source`)."""

    name: str
    value: Callable[[str], object]
    why: str
    source: str


# Plain weavers, thick rods and the sticks of a lid, by the numbers of either series.
FINE, STICK, CORE, WRAP = (
    {"us": "round 2", "uk": "cane 1"},
    {"us": "round 4", "uk": "cane 6"},
    {"us": "round 8", "uk": "cane 16"},
    {"us": "round 3", "uk": "cane 3"},
)


def _band(where: str, weave: str, rows: int) -> Callable[[str], Plain]:
    return lambda wording: {"where": where, "weave": weave, "reed": FINE[wording], "rows": rows}


def _lid(wording: str) -> Plain:
    paired: Plain = {"weave": "pairing", "reed": FINE[wording]}
    return {
        "seat": "on",
        "spokes": {"reed": STICK[wording], "ends": 24},
        "band": [{**paired, "groups": 6, "rows": 2}, {**paired, "groups": 3, "rows": 5}, paired],
        "border": ["behind 1 out", "over 2 down"],
    }


_ALL = (
    First(
        "side band",
        _band("side", "three-rod wale", 4),
        "A firm band that holds on any count; its reed is that of the band below it, where there is one.",
        "practice",
    ),
    First(
        "base band",
        _band("base", "pairing", 2),
        "Pairing lies flat and holds on any count; its reed is that of the band before it, where there is one.",
        "practice",
    ),
    First(
        "lid band",
        _band("base", "pairing", 2),
        "As in a base.",
        "practice",
    ),
    First(
        "lid",
        _lid,
        "Six sticks each way, woven as a base: over the arms of its cross, over threes, then over single sticks to the "
        "edge. Flush on the border, as that seat fits every mouth.",
        "practice",
    ),
    First(
        "handle",
        lambda wording: {"kind": "bow", "core": CORE[wording], "wrap": WRAP[wording]},
        "One arch over the thickest reed of the table, wrapped with a fine one. Its strength is not rated.",
        "practice",
    ),
    First("foot", lambda _: {"border": "foot border"}, "The low border that is made for it.", "practice"),
    First(
        "bye-spokes",
        lambda _: {"from": "base"},
        "Pushed in where the side begins, so that they stand beside every {spoke} all the way up.",
        "practice",
    ),
    First(
        "blocks",
        lambda _: {"rows": 4, "shift": 2},
        "Four rows make a block that can be seen; two spaces on, the blocks stand apart.",
        "practice",
    ),
    First(
        "border row",
        lambda _: "behind 1 out",
        "The simplest first move; it goes before the last row, as only that may tuck the ends down.",
        "practice",
    ),
    First(
        "reed",
        lambda _: {"mm": 3},
        "A middling reed, near No. 5 (No. 8 in Britain): measure yours and write that.",
        "practice",
    ),
    First("rows", lambda _: 4, "A band of a few rows.", "practice"),
    First("height", lambda _: {"mm": 25.4}, "A band an inch high.", "practice"),
)
FIRSTS: dict[str, First] = {first.name: first for first in _ALL}
