"""Handles of the design file: TOML tables in, `Handle` values out."""

from __future__ import annotations

from ...errors import DesignError, Place
from ...form.handles import KINDS, MOST_CORES, Handle, kind_named
from ...reeds import Reed
from ...such_as import such_a_reed
from .keys import known_keys
from .stuff import read_colour, read_reed
from .toml import Table, shown

MOST_HANDLES = 12


def read_handles(values: object, own: dict[str, Reed], palette: dict[str, str]) -> tuple[Handle, ...]:
    """All handles of a design, or none. Raises DesignError naming the handle and key."""
    if not isinstance(values, list):
        raise DesignError(f"should be a list of tables, not {shown(values)}.", "handle", "Write each as [[handle]].")
    if len(values) > MOST_HANDLES:
        raise DesignError(f"{len(values)} handles is more than a basket has.", "handle", f"At most {MOST_HANDLES}.")
    return tuple(_handle(value, Place.of("handle", i), own, palette) for i, value in enumerate(values))


def _handle(value: object, place: str, own: dict[str, Reed], palette: dict[str, str]) -> Handle:
    table = Table(value, place, known_keys("handle"))
    if "kind" not in table.values:
        raise DesignError("is missing.", table.at("kind"), f"One of {', '.join(KINDS)}.")
    kind = kind_named(table.values["kind"], table.at("kind"))
    record = KINDS[kind]
    core, wrap = (
        read_reed(table.values[key], own, table.at(key)) if key in table.values else None for key in ("core", "wrap")
    )
    if record.twisted and wrap is None:
        example = such_a_reed("round 5")
        raise DesignError("says no reed to twist.", table.at("wrap"), f'For example wrap = "{example}".')
    if not record.twisted and core is None:
        example = such_a_reed("round 8")
        raise DesignError("is missing: the reed of the arch.", table.at("core"), f'For example core = "{example}".')
    _only(table, record.twisted, ("rods", "turn"), "twisted rope handles")
    _only(table, not record.twisted and wrap is not None, ("strands",), "handles wrapped close")
    _only(table, core is not None, ("cores",), "handles with a core")
    return Handle(
        kind,
        core,
        wrap,
        cores=table.count("cores", 1, 1, MOST_CORES),
        strands=table.count("strands", 1, 1, 6),
        rods=table.count("rods", None, 2 if core is None else 1, 12),
        turn_mm=table.length("turn", 3.0, 500.0),
        across_mm=table.length("across", 20.0),
        height_mm=table.length("height", 5.0),
        depth_mm=table.length("depth", 5.0, 1000.0),
        count=table.count("count", record.count, 1, 6),
        colour=read_colour(table.values.get("colour", "natural"), palette, table.at("colour")),
    )


def _only(table: Table, allowed: bool, keys: tuple[str, ...], what: str) -> None:
    for key in keys:
        if key in table.values and not allowed:
            raise DesignError(f"only belongs to {what}.", table.at(key), "Leave it out.")
