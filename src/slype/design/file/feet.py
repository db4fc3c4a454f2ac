"""A foot below a woven base in the design file: a TOML table in, a `Foot` out."""

from __future__ import annotations

from ...errors import DesignError
from ...form.tiers import MOST_ENDS
from ...reeds import Reed
from ...weave.effects import weaver_colours
from ...weave.table import weave_named
from ..values import Band, Foot, Spokes
from .borders import read_border
from .keys import known_keys
from .stuff import read_colour, read_reed
from .toml import Table

FOOT_ROWS = 2
"""Rows that hold the ends of a foot where none are said (common practice, no source)."""


def read_foot(
    values: object, own: dict[str, Reed], palette: dict[str, str], spokes: Spokes, bands: tuple[Band, ...], board: bool
) -> Foot:
    """The foot of a design. Raises DesignError naming the key."""
    table = Table(values, "foot", known_keys("foot"))
    if board:
        raise DesignError(
            "a board has its foot on the lower ends of its spokes.", table.place, "Give it as foot under [base]."
        )
    side = next((band for band in bands if band.where == "side"), None)
    if side is None:
        raise DesignError("a mat stands on its base.", table.place, "Weave a side, or leave the foot out.")
    if "border" not in table.values:
        raise DesignError("is missing: how its ends are worked.", table.at("border"), 'For example "foot border".')
    weave = weave_named(table.values.get("weave", "three-rod wale"), table.at("weave"))
    colours = table.values.get("colours", ["natural"])
    colours = [colours] if isinstance(colours, str) else colours
    if not isinstance(colours, list) or not 1 <= len(colours) <= MOST_ENDS:
        raise DesignError("should be a list of colours.", table.at("colours"), 'For example ["rust"].')
    colours = tuple(read_colour(colour, palette, table.at("colours")) for colour in colours)
    weaver_colours(weave, spokes.ends, colours, weave.strands, table.at("colours"))
    return Foot(
        reed=read_reed(table.values["reed"], own, table.at("reed")) if "reed" in table.values else spokes.reed,
        colour=read_colour(table.values.get("colour", spokes.colour), palette, table.at("colour")),
        border=read_border(table.values["border"], table.at("border"), foot=True),
        band=Band(
            where="side",
            weave=weave,
            reed=read_reed(table.values["weaver"], own, table.at("weaver")) if "weaver" in table.values else side.reed,
            colours=colours,
            strands=weave.strands,
            rows=table.count("rows", FOOT_ROWS, 1, 200),
        ),
        insertion_mm=table.length("insertion", 5.0, 300.0) or 25.4,
    )
