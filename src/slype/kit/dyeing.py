"""Dyeing: how much of which reed in each colour, how much dye, how many baths, and in what order.

1. Weight: the dry reed of every kit in a colour, whole strands that are cut when they are dry again, or (`dye_cut`)
   only what is cut of them, with a margin for what splits and for trials.
2. Dye: by the maker's own swatch where there is one. Colour stays in the skin of a reed, so a swatch of another size is
   scaled by surface (weight over thickness) and not by weight (an inference: no published figure).
3. Otherwise as published recipes for reed go: so much to a litre of bath, or a packet to so much reed. These are not
   per cents of the weight of reed, and are not turned into any.
4. Pale baths come before dark ones. The label goes first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from ..colour import hex_of, oklab_from_rgb, rgb_of
from ..reeds import Reed
from .assigned import ReedCut, Strand
from .seats import Kit
from .values import Class, Dye

SHADES = ("light", "medium", "dark")
MARGIN = 0.10
"""Reed dyed beyond what is cut, for what splits and for trials (common practice, no source)."""
LITRES_PER_KG = 20.0
"""Bath for a kilogram of dry reed, so that it is covered and can be moved: the 20 to 30 litres of recipes for cellulose
(source id: textileoscope)."""
ML_PER_GALLON = 3785.411784  # US gallon, exact by definition
ML_PER_TBSP, ML_PER_CUP = 14.786764781, 236.5882365  # US measures, exact by definition


@dataclass(frozen=True)
class Recipe:
    """One kind of dye as published for reed: `key`, what it is; per litre of bath `dye_ml` of powder by the spoon and
    `salt_ml`, `soda_ml`, for a middling shade (None: not said); `reed_per_packet_g` where it is sold by the packet;
    `minutes` in the bath (least, most); `words` how it is worked; `source` id."""

    key: str
    name: str
    minutes: tuple[int, int]
    words: str
    source: str
    dye_ml: float | None = None
    salt_ml: float | None = None
    soda_ml: float | None = None
    reed_per_packet_g: float | None = None
    salt_tbsp_per_packet: float | None = None


KINDS: dict[str, Recipe] = {
    each.key: each
    for each in (
        Recipe(
            "reactive", "fibre-reactive dye, cold", (140, 1440),
            "Dissolve the dye and the salt, put the damp reed in and move it for 20 minutes; then dissolve the soda "
            "apart, add it, and leave it up to 2 hours. Rinse until the water runs clear.",
            "dye-reactive-reed", ML_PER_TBSP / ML_PER_GALLON * 1000, 0.5 * ML_PER_CUP / ML_PER_GALLON * 1000,
            ML_PER_CUP / 3 / ML_PER_GALLON * 1000,
        ),
        Recipe(
            "direct", "direct dye, hot", (15, 60),
            "One packet to about 2 lb of reed, as a basketry supplier's sheet has it; keep the bath hot and the room "
            "aired.",
            "dye-direct-reed", reed_per_packet_g=907.18474,
        ),
        Recipe(
            "packet", "household dye by the packet", (60, 720),
            "Soak the reed for an hour first. Dissolve the packet with a tablespoon of salt; an hour to overnight in "
            "the bath. Reed takes less dye for its weight than yarn, because the colour does not reach the inside.",
            "dye-packet-reed", salt_tbsp_per_packet=1.0,
        ),
        Recipe(
            "acid", "acid dye", (30, 60),
            "Only historic use on reed is published (dye dissolved in vinegar); it bonds to wool and not to reed, and "
            "washes out. Try a swatch.",
            "gill",
        ),
    )
}  # fmt: skip
"""Kinds of dye, with what is published about them on reed; by the spoon and not by weight, as published."""


@dataclass(frozen=True)
class Bath:
    """One colour to dye: `strands_g` what goes in the pot, dry, with the margin, `pieces_g` what is cut, `reeds` (reed,
    grams of it, its strands as they are cut); `baths` of `litres` each; `dye_g` by the maker's swatch, or `dye_ml`,
    `salt_ml`, `soda_ml` in all by the published recipe, or `packets`; None where nothing is known. `by` "swatch",
    "recipe", "packet" or "" ; `lightness` 0 to 1, by which the baths are ordered."""

    colour: str
    dye: Dye | None
    recipe: Recipe | None
    reeds: tuple[tuple[Reed, float, tuple[Strand, ...]], ...]
    strands_g: float
    pieces_g: float
    baths: int
    litres: float
    lightness: float
    by: str = ""
    dye_g: float | None = None
    dye_ml: float | None = None
    salt_ml: float | None = None
    soda_ml: float | None = None
    packets: float | None = None


def baths(asked: Class, kits: tuple[Kit, ...], cuts: tuple[ReedCut, ...]) -> tuple[Bath, ...]:
    """Every colour that has to be dyed, the palest first. What lies dyed on the shelf is not dyed again."""
    palette = {name: shade for kit in kits for name, shade in kit.basket.design.palette.items()}
    dyes = {dye.colour: dye for dye in asked.dyes}
    found: dict[str, list[tuple[ReedCut, list]]] = {}
    for cut in cuts:
        for strand in cut.strands:
            if strand.colour == strand.lies:
                continue
            rows = found.setdefault(strand.colour, [])
            if not rows or rows[-1][0] is not cut:
                rows.append((cut, []))
            rows[-1][1].append(strand)
    out = [
        _bath(colour, rows, dyes.get(colour), palette.get(colour) or hex_of(colour), asked.rules.dye_cut)
        for colour, rows in found.items()
    ]
    return tuple(sorted(out, key=lambda bath: -bath.lightness))


def _bath(colour: str, rows: list[tuple[ReedCut, list]], dye: Dye | None, shade: str, dye_cut: bool) -> Bath:
    reeds, pieces, surface = [], 0.0, 0.0
    for cut, strands in rows:
        whole_mm = sum(strand.length_mm for strand in strands)
        cut_mm = sum(piece.length_mm for strand in strands for piece in strand.pieces)
        grams = (cut_mm if dye_cut else whole_mm) * cut.reed.g_per_mm * (1 + MARGIN)
        reeds.append((cut.reed, grams, tuple(strands)))
        pieces += cut_mm * cut.reed.g_per_mm
        surface += grams / cut.reed.diameter_mm
    whole = sum(grams for _, grams, _ in reeds)
    pot = dye.bath_l if dye else Dye(colour).bath_l
    many = max(1, math.ceil(whole / 1000 * LITRES_PER_KG / pot - 1e-9))
    litres = min(pot, whole / 1000 * LITRES_PER_KG / many)
    recipe = KINDS.get(dye.kind) if dye else None
    amounts = _amounts(dye, recipe, whole, surface, many * litres) if dye else {}
    return Bath(
        colour, dye, recipe, tuple(reeds), whole, pieces, many, litres, oklab_from_rgb(rgb_of(shade))[0], **amounts
    )


def _amounts(dye: Dye, recipe: Recipe | None, grams: float, surface: float, litres: float) -> dict[str, Any]:
    """How much dye: by the swatch, else as published."""
    if dye.swatch_dye_g is not None:
        assert dye.swatch_reed_g is not None, "both are weighed"
        if dye.swatch_mm:
            return {"by": "swatch", "dye_g": dye.swatch_dye_g * surface / (dye.swatch_reed_g / dye.swatch_mm)}
        return {"by": "swatch", "dye_g": dye.swatch_dye_g * grams / dye.swatch_reed_g}
    if recipe is None:
        return {}
    if recipe.dye_ml is not None:
        assert recipe.salt_ml is not None and recipe.soda_ml is not None, "a recipe by the spoon is whole"
        spoon = recipe.dye_ml * SHADE_SHARE[dye.shade]
        return {"by": "recipe", "dye_ml": spoon * litres, "salt_ml": recipe.salt_ml * litres,
                "soda_ml": recipe.soda_ml * litres}  # fmt: skip
    if recipe.reed_per_packet_g is not None:
        return {"by": "packet", "packets": grams / recipe.reed_per_packet_g}
    return {}


SHADE_SHARE = {"light": 1 / 3, "medium": 1.0, "dark": 2.0}
"""Dye for pale, medium and dark as shares of medium: 1, 3 and 6 teaspoons a pound (source id: dye-shades)."""


# Arithmetic of recipes by weight -------------------------------------------------------------------------------


@dataclass(frozen=True)
class ByWeight:
    """A recipe by weight of fibre: `dye_g`; `stock_ml` of a stock solution that holds it; `liquor_ml` the whole bath,
    of which the stock is part; `salt_g` and `soda_g` by litre of bath."""

    dye_g: float
    stock_ml: float
    liquor_ml: float
    salt_g: float
    soda_g: float


def by_weight(
    fibre_g: float, depth_percent: float, liquor_ratio: float, stock_percent: float, salt_g_l: float, soda_g_l: float
) -> ByWeight:
    """Dyers' arithmetic for a label that states a per cent of the weight of dry fibre (depth of shade) and a liquor
    ratio; `stock_percent` grams of dye in 100 ml of stock. For labels that say so: published recipes for reed do not.

    Source: P. Burch (see sources: burch); 100 g at 1 % need 1 g.
    """
    dye = fibre_g * depth_percent / 100
    liquor = fibre_g * liquor_ratio
    return ByWeight(dye, dye / stock_percent * 100, liquor, salt_g_l * liquor / 1000, soda_g_l * liquor / 1000)
