"""What the page offers to choose from: slype's own tables in one wording."""

from __future__ import annotations

from ..borders.table import BORDERS, FAMILIES
from ..colour import REED_COLOURS
from ..design.file.keys import KEYS
from ..design.starters import FIRSTS
from ..form.bases import KINDS as BASES
from ..form.handles import KINDS as HANDLES
from ..form.lids import SEATS
from ..form.wall import OUTLINES
from ..reeds import REEDS
from ..weave.table import EVERY_END, WEAVES
from ..words import say
from .contract import Choice, Tables

_OUTLINE_HELP = {
    "round": "a circle",
    "oval": "two straight sides and two half circles",
    "rectangle": "four straight sides and round corners",
}
SERIES = {"round": "Round reed, American numbers", "cane": "Cane, British numbers"}


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
        "bases": [_choice(wording, kind.name, kind.named(wording), kind.help, "") for kind in BASES.values()],
        "handles": [_choice(wording, key, kind.named(wording), kind.help, "") for key, kind in HANDLES.items()],
        "outlines": [_choice(wording, key, key, _OUTLINE_HELP[key], "") for key in OUTLINES],
        "seats": [_choice(wording, key, key, seat.help, "") for key, seat in SEATS.items()],
        "firsts": {
            name: {"value": first.value(wording), "why": say(first.why, wording), "source": first.source}
            for name, first in FIRSTS.items()
        },
        "colours": [{"name": each.name, "hex": each.hex, "help": each.help} for each in REED_COLOURS.values()],
        "keys": {f"{key.table}.{key.name}": {"takes": key.takes, "help": key.help} for key in KEYS},
    }


def _choice(wording: str, key: str, name: str, help: str, group: str) -> Choice:
    return {"key": key, "name": name, "help": say(help, wording), "group": group}


def _group(weavers: int) -> str:
    if weavers == EVERY_END:
        return "a weaver in every space"
    return {1: "one weaver", 2: "two weavers"}.get(weavers, f"{weavers} weavers")
