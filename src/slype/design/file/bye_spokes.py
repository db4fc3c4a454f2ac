"""Bye-spokes of the design file: a TOML table in, a `ByeSpokes` out."""

from __future__ import annotations

from ...errors import DesignError
from ...reeds import Reed
from ..values import Band, ByeSpokes, Spokes
from .keys import known_keys
from .stuff import read_colour, read_reed
from .toml import Table


def read_bye(
    values: object, own: dict[str, Reed], palette: dict[str, str], spokes: Spokes, bands: tuple[Band, ...]
) -> ByeSpokes:
    """The bye-spokes of a design. Raises DesignError naming the key."""
    table = Table(values, "bye_spokes", known_keys("bye_spokes"))
    in_upsett = table.text("from", "upsett", ("base", "upsett")) == "upsett"
    side = [i for i, band in enumerate(bands) if band.where == "side"]
    if not side:
        raise DesignError("stand at the side, and there is none.", table.place, "Weave a side, or leave them out.")
    first = side[0]
    if in_upsett:
        above = [i for i in side[1:] if not all(bands[k].weave.is_wale for k in side if k <= i)]
        if not above:
            raise DesignError(
                "there is no band above the upsett to weave over them.",
                table.at("from"),
                'Add a band above the first one, or say from = "base".',
            )
        first = above[0]
    late = next((i for i in side if bands[i].add and i != side[0]), None)
    if late is not None:
        raise DesignError(
            "stand beside every end, and this basket adds ends part way up.",
            f"bye_spokes, and band {late + 1}, add",
            "Leave one of them out, or add the ends in the base or below the first side band.",
        )
    return ByeSpokes(
        reed=read_reed(table.values["reed"], own, table.at("reed")) if "reed" in table.values else spokes.reed,
        colour=read_colour(table.values.get("colour", spokes.colour), palette, table.at("colour")),
        first=first,
        in_upsett=in_upsett,
        to_border=table.text("to", "border", ("border", "below")) == "border",
        insertion_mm=table.length("insertion", 5.0, 300.0) or 25.4,
    )
