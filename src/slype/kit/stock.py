"""What every reed can be cut from: strands on the shelf, and packs to buy, priced for what the plan aims at."""

from __future__ import annotations

from ..reeds import Reed
from .cuts.cutting import Stock
from .values import Class, Pack, Strands
from .wanted import key_of

BOUGHT_COUNTS = 20.0
"""When the shelf is to be emptied first, a bought length counts as so many lengths from the shelf."""
SHELF_COUNTS = 1e-3
"""When the plan shall cost least, a length from the shelf, paid for already, counts this share of the price of a bought
one: it is taken first, and no more of it than need be."""


def shelf_of(asked: Class, reed: Reed) -> tuple[Strands, ...]:
    """Strands of one reed on the shelf."""
    return tuple(each for each in asked.shelf if key_of(each.reed) == key_of(reed))


def pack_of(asked: Class, reed: Reed) -> Pack:
    """How a reed is sold: as the class says, else as the table of reeds says, without a price."""
    for pack in asked.packs:
        if key_of(pack.reed) == key_of(reed):
            return pack
    return Pack(reed, reed.coil_g, None, reed.strand_mm)


def lengths_of(asked: Class, reed: Reed) -> tuple[float, ...]:
    """Every length that strands of a reed come in, that of bought ones first; of a range its shortest."""
    pack = pack_of(asked, reed)
    found = {each.shortest_mm or each.length_mm for each in shelf_of(asked, reed)}
    bought = pack.shortest_mm or pack.strand_mm
    return (bought, *sorted(found - {bought}, reverse=True))


def stock_of(asked: Class, reed: Reed) -> tuple[Stock, ...]:
    """Strands to cut from, the shelf's first. Where lengths are known as a range, all count as the shortest here; what
    that leaves is reckoned in `chance`."""
    aim, pack = asked.rules.aim, pack_of(asked, reed)
    bought = pack.shortest_mm or pack.strand_mm
    out = []
    per_mm = 1.0 if aim != "cost" or not pack.price else pack.price / (pack.strands * bought) * SHELF_COUNTS
    for each in shelf_of(asked, reed):
        length = each.shortest_mm or each.length_mm
        out.append(Stock(length, each.count, each.colour, round(length * per_mm, 6), name="shelf"))
    if aim == "cost" and pack.price is not None:
        # The pack is what is paid: a strand more of one that is open costs nothing.
        out.append(Stock(bought, None, "natural", 0.0, pack.strands, pack.price, "bought"))
    else:
        cost = bought * (BOUGHT_COUNTS if aim == "shelf" else 1.0)
        out.append(Stock(bought, None, "natural", round(cost, 3), name="bought"))
    return tuple(out)
