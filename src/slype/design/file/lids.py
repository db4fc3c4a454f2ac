"""The lid of the design file: a TOML table in, a `Lid` out.

A lid is woven as a base, so it is a design of its own: its spokes, bands and border are read as those of a basket.
"""

from __future__ import annotations

from collections.abc import Callable

from ...errors import DesignError, Place
from ...form.bases import Base
from ...form.lids import PLAY_MM, SEATS, seat_named
from ...form.wall import Form
from ...reeds import Reed
from ...such_as import such_as
from .. import values as d
from .bands import read_bands
from .bases import ends_from_base, read_base
from .borders import read_border
from .keys import known_keys
from .toml import Table, shown

TO_EDGE = "edge"
ANY_MM = 100.0  # stands in for the lid's size, which follows from the mouth


def read_lid(
    values: object, own: dict[str, Reed], palette: dict[str, str], read_spokes: Callable[[object], d.Spokes]
) -> d.Lid:
    """The lid of a design. Raises DesignError naming the lid and key."""
    table = Table(values, "lid", known_keys("lid"))
    for needed in ("spokes", "band", "border"):
        if needed not in table.values:
            raise DesignError("is missing.", table.at(needed), "A lid has spokes, bands and a border of its own.")
    seat = seat_named(table.text("seat", "on"), table.at("seat"))
    try:
        spokes = read_spokes(ends_from_base(table.values.get("base"), table.values["spokes"]))
        bands, fills = _bands(table.values["band"], own, palette, spokes)
        base = _base(table.values.get("base", {}), spokes, bands)
    except DesignError as trouble:
        raise trouble.inside(Place.of("lid")) from None
    has_side = any(band.where == "side" for band in bands)
    if has_side != seat.has_side:
        raise DesignError(
            "is woven without a side, which this seat needs."
            if seat.has_side
            else "has a side, but this seat is flat.",
            Place.of("lid", "band"),
            f'Add a band with where = "side", or use {" or ".join(s.name for s in SEATS.values() if not s.has_side)}.'
            if seat.has_side
            else 'Leave the side bands out, or use seat = "over".',
        )
    if has_side and "depth" not in table.values:
        said, example = "is missing: how deep the lid's side is.", such_as("1 in", "2.5 cm")
        raise DesignError(said, table.at("depth"), f'For example depth = "{example}".')
    if not has_side and "depth" in table.values:
        raise DesignError("only belongs to a lid with a side.", table.at("depth"), "Leave it out.")
    depth = table.length("depth", 5.0, 500.0)
    mat = d.Design(
        title="Lid",
        spokes=spokes,
        form=Form(ANY_MM, ((0.0, ANY_MM), (depth or 25.4, ANY_MM))),
        bands=bands,
        border=read_border(table.values["border"], Place.of("lid", "border")),
        base=base,
    )
    return d.Lid(mat, seat.name, table.length("play", 0.0, 50.0) or PLAY_MM, table.length("across", 20.0), fills)


def _base(values: object, spokes: d.Spokes, bands: tuple[d.Band, ...]) -> Base:
    """The cross of a lid, read as that of a basket; a lid is woven, so it is no board."""
    if isinstance(values, dict) and values.get("kind") == "board":
        raise DesignError("a lid is woven, and no board.", Place.of("base", "kind"), "Use another kind.")
    return read_base(values, spokes, Form(ANY_MM, ((0.0, ANY_MM), (ANY_MM, ANY_MM))), bands)


def _bands(
    values: object, own: dict[str, Reed], palette: dict[str, str], spokes: d.Spokes
) -> tuple[tuple[d.Band, ...], int | None]:
    """The bands, base unless they say side; and which of them is woven to the edge, if any: the last base band is when
    it does not say how far it goes."""
    if not isinstance(values, list):
        raise DesignError(f"should be a list of tables, not {shown(values)}.", "band", "Write it as a list of tables.")
    ready, fills = [], None
    for i, value in enumerate(values):
        if isinstance(value, dict):
            value = {"where": "base", **value}
            open_ended = not {"rows", "height", "until"} & set(value)
            if value["where"] == "base" and (value.get("until") == TO_EDGE or open_ended):
                if fills is not None:
                    raise DesignError("two bands go to the edge.", Place.of("band", i), "Only the last base band can.")
                fills, value = i, {**value, "until": f"{ANY_MM} mm"}
        ready.append(value)
    bands = read_bands(ready, own, palette, spokes)
    if fills is not None and any(band.where == "base" for band in bands[fills + 1 :]):
        raise DesignError("goes to the edge, but another comes after it.", Place.of("band", fills), "Give it rows.")
    return bands, fills
