"""Reeds and colours of the design file: a maker's own first, then the tables."""

from __future__ import annotations

from ...colour import REED_COLOURS, hex_of
from ...errors import DesignError, Place, did_you_mean
from ...quantity import parse_mass
from ...reeds import REEDS, Reed, own_reed, reed_named
from .. import rules
from .toml import Table, shown

REED_KEYS = ("mm", "coil_mass", "coil_length", "strand")


def read_own_reeds(values: object) -> dict[str, Reed]:
    out = {}
    for key, row in Table(values, "reeds").values.items():
        key = rules.check_name(key, "a reed", Place.of("reeds", _printable(key)))
        table = Table(row, Place.of("reeds", key), REED_KEYS)
        mm = table.number("mm", 0.0, 0.3, 30.0) if "mm" in table.values else None
        mass = parse_mass(table.values["coil_mass"], table.at("coil_mass")) if "coil_mass" in table.values else None
        key = key.lower() if key.lower() in REEDS else key
        out[key] = own_reed(
            key,
            mm,
            mass,
            table.length("coil_length", 1000.0, 1e6),
            table.length("strand", 100.0, 20_000.0),
            table.place,
        )
    return out


def read_own_colours(values: object) -> dict[str, str]:
    table = Table(values, "colours")
    for name in table.values:
        rules.check_name(name, "a colour", table.at(_printable(name)))
    return {name: hex_of(table.text(name, None), table.at(name)) for name in table.values}


def _printable(name: str) -> str:
    """A name as a message can show it."""
    return "".join(sign if sign.isprintable() else "?" for sign in name[:40])


def read_reed(value: object, own: dict[str, Reed], where: str) -> Reed:
    if isinstance(value, dict):
        table = Table(value, where, REED_KEYS)
        mm = table.number("mm", 0.0, 0.3, 30.0) if "mm" in table.values else None
        mass = parse_mass(table.values["coil_mass"], table.at("coil_mass")) if "coil_mass" in table.values else None
        return own_reed(
            "", mm, mass, table.length("coil_length", 1000.0, 1e6), table.length("strand", 100.0, 20_000.0), where
        )
    return reed_named(value, own, where)


def read_colour(value: object, palette: dict[str, str], where: str) -> str:
    if not isinstance(value, str):
        raise DesignError(f"a colour is a name or #rrggbb, not {shown(value)}.", where)
    if value in palette:
        return value
    known = list(dict.fromkeys([*palette, *REED_COLOURS]))
    if value not in REED_COLOURS and not value.startswith("#"):
        raise DesignError(
            f'the colour "{value[:40]}" is not defined.',
            where,
            did_you_mean(value[:40], known) + ' Or define it under [colours], like rust = "#a4502c".',
        )
    hex_of(value, where)
    return value
