"""Dyeing: how much of which reed in each colour, how much dye, how many baths, and in what order.

1. Weight: the dry reed of every kit in a colour, as cut, with a margin for what splits and for trials.
2. Dye: by the maker's own swatch where there is one. Colour stays in the skin of a reed, so a swatch of another size is
   scaled by surface (weight over thickness) and not by weight (an inference: no published figure).
3. Otherwise as published recipes for reed go: so much to a litre of bath, or a packet to so much reed. These are not
   per cents of the weight of reed, and are not turned into any. Salt and soda go by litre of bath.
4. Pale baths come before dark ones.
"""

from __future__ import annotations

from dataclasses import dataclass

SHADES = ("light", "medium", "dark")


@dataclass(frozen=True)
class Recipe:
    """One kind of dye for reed: `dye_g_per_litre` (by shade) or `packet_g_reed` grams of reed that one packet dyes;
    `salt` and `soda` g per litre (by shade), `words` how it is worked, `minutes` in the bath, `source` id."""

    key: str
    name: str
    dye_g_per_litre: tuple[float, float, float] | None
    packet_g_reed: float | None
    salt: tuple[float, float, float]
    soda: tuple[float, float, float]
    minutes: tuple[int, int]
    words: str
    source: str


KINDS: dict[str, Recipe] = {}
KINDS = {"reactive": None, "direct": None, "acid": None, "packet": None}
