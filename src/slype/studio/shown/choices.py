"""What the page offers to choose from: slype's own tables in one wording."""

from __future__ import annotations

from ...borders.table import BORDERS, FAMILIES
from ...colour import REED_COLOURS
from ...design.file.keys import KEYS
from ...design.starters import FIRSTS
from ...edit.moves import moves_of
from ...form.bases import KINDS as BASES
from ...form.handles import KINDS as HANDLES
from ...form.lids import SEATS
from ...form.wall import OUTLINES
from ...reeds import REEDS
from ...weave.table import EVERY_END, WEAVES
from ...words import NAMED, SPELT, TERMS, worded
from ..told.figures import Choice
from ..told.tables import KeyTold, Tables

_OUTLINE_HELP = {
    "round": "a circle",
    "oval": "two straight sides and two half circles",
    "rectangle": "four straight sides and round corners",
}
SERIES = {"round": "Round reed, American numbers", "cane": "Cane, British numbers"}

LABELS = {
    "base.odd": "an odd end comes from",
    "base.beside": "side spokes beside each base end",
    "band.turns": "the weavers work",
    "band.reverse": "the weaver that moves lies",
    "band.odd": "ends left over by groups",
    "band.add_at": "new ends stand",
    "handle.cores": "rods side by side in the core",
    "handle.strands": "reeds side by side in the wrapping",
    "handle.rods": "reeds twisted together",
    "handle.turn": "twisted once round in",
    "handle.depth": "each end pushed down",
    "handle.colour": "colour of the handle",
    "lid.play": "room left all round",
    "lid.across": "width of the lid",
    "pace.border_seconds": "seconds for one end, one row of the border",
    "pace.join_seconds": "seconds for one join",
    "pace.pack_seconds": "seconds to press one row down",
}
"""Labels by table and key."""

NAMES = {
    "base.odd": {"half": "a half stick", "cut out": "cutting one out", "added": "adding one"},
    "base.beside": {"1": "1", "2": "2"},
    "band.turns": {
        "stroke": "stroke by stroke, the hindmost next",
        "round": "one after the other, a whole round each",
        "back": "each one stroke, all the way round",
    },
    "band.reverse": {
        "false": "over the others",
        "true": "under the others (the twist turns round)",
        "alternate": "over and under, row about",
    },
    "band.odd": {"with": "with the first groups", "alone": "a group of their own"},
    "band.add_at": {"round": "all the way round", "curves": "on the round ends only"},
    "lid.seat": {"inside": "inside the mouth", "on": "on the border", "over": "over the border, with a side"},
}
"""What may be chosen, by table and key: as the file has it, and in words."""


def tables(wording: str) -> Tables:
    """Every table, its names in `wording`."""
    return {
        "weaves": [
            _choice(wording, weave.name, weave.named(wording), weave.help, _group(weave.weavers))
            for weave in WEAVES.values()
        ],
        "reeds": [
            _choice(
                wording,
                reed.key,
                f"No. {reed.key.split()[1]}, {reed.diameter_mm:.2f} mm",
                reed.note,
                SERIES.get(reed.key.split()[0], ""),
            )
            for reed in REEDS.values()
        ],
        "borders": [
            _choice(wording, kind.name, kind.named(wording), kind.help, f"{kind.family}: {FAMILIES[kind.family]}")
            for kind in BORDERS.values()
            if not kind.foot
        ],
        "feet": [
            _choice(wording, kind.name, kind.named(wording), kind.help, "") for kind in BORDERS.values() if kind.foot
        ],
        "moves": {name: moves_of(kind.border) for kind in BORDERS.values() for name in (kind.name, *kind.also)},
        "bases": [_choice(wording, kind.name, kind.named(wording), kind.help, "") for kind in BASES.values()],
        "handles": [_choice(wording, key, kind.named(wording), kind.help, "") for key, kind in HANDLES.items()],
        "handle_counts": {key: kind.count for key, kind in HANDLES.items()},
        "outlines": [_choice(wording, key, key, _OUTLINE_HELP[key], "") for key in OUTLINES],
        "seats": [_choice(wording, key, NAMES["lid.seat"][key], seat.help, "") for key, seat in SEATS.items()],
        "firsts": {
            name: {"value": first.value(wording), "why": worded(first.why, wording), "source": first.source}
            for name, first in FIRSTS.items()
        },
        "colours": [
            {"name": each.name, "hex": each.hex, "help": worded(each.help, wording)} for each in REED_COLOURS.values()
        ],
        "keys": {f"{key.table}.{key.name}": _key(key, wording) for key in KEYS},
        "words": _words(wording),
    }


def _words(wording: str) -> dict[str, str]:
    """What stands for {colour}, {spokes} and so on in a sentence of the page."""
    at = 1 if wording == "uk" else 0
    return (
        {pair[1]: pair[at] for pair in SPELT}
        | {word: pair[at] for word, *pair in NAMED}
        | {name: term.uk if wording == "uk" else term.us for name, term in TERMS.items()}
    )


def _key(key, wording: str) -> KeyTold:
    place = f"{key.table}.{key.name}"
    names = NAMES.get(place, {})
    return {
        "label": worded(LABELS.get(place, ""), wording),
        "takes": key.takes,
        "help": sentence(worded(key.help, wording)),
        "choices": [_choice(wording, name, said, "", "") for name, said in names.items()],
    }


def sentence(text: str) -> str:
    """The same with its first letter large."""
    return text[:1].upper() + text[1:]


def _choice(wording: str, key: str, name: str, help: str, group: str) -> Choice:
    return {"key": key, "name": worded(name, wording), "help": worded(help, wording), "group": worded(group, wording)}


def _group(weavers: int) -> str:
    if weavers == EVERY_END:
        return "a weaver in every space"
    return {1: "one weaver", 2: "two weavers"}.get(weavers, f"{weavers} weavers")
