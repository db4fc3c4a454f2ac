"""What is cut longer for a first basket, what is kept in hand besides, and how much reed all of it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..lay import gauge
from ..reeds import Reed
from .bundles import bundles
from .piece import Piece, longer_mm
from .planning import Plan


@dataclass(frozen=True)
class Spare:
    """A length kept in hand: of what stands (`stands`), of the lid where `lid`, else of a size and colour that is
    woven, as long as the longest piece of it."""

    reed: Reed
    colour: str
    length_mm: float
    stands: bool = False
    lid: bool = False


@dataclass(frozen=True)
class ToBuy:
    """Reed of one size and colour for all that is listed, what stands as long as for a first basket, and the spare
    lengths: `length_mm` without offcuts, `mass_g` no less than the plan buys."""

    reed: Reed
    colour: str
    length_mm: float
    mass_g: float


def standing(plan: Plan) -> Iterator[tuple[bool, Piece]]:
    """(whether of the lid, the piece) of all that stands."""
    for whole in (plan, plan.lid):
        if whole is not None:
            use = "insert" if whole.design.spokes.inserted else "begin"
            yield from ((whole is plan.lid, piece) for piece in whole.pieces if piece.use == use)


def first_mm(plan: Plan, piece: Piece) -> float:
    """How long a piece is cut for a first basket."""
    return piece.cut_mm if plan.first_time else max(piece.cut_mm, longer_mm(piece, plan.design.units))


def spares(plan: Plan) -> tuple[Spare, ...]:
    """One of each that is kept in hand: what stands, of the lid too, then what is woven in the order of use (common
    practice, no source)."""
    longest: dict[bool, tuple[Piece, float]] = {}
    for of_lid, piece in standing(plan):
        whole = plan.lid if of_lid and plan.lid else plan
        long = first_mm(plan, piece)
        if piece.reed == whole.design.spokes.reed and long > longest.get(of_lid, (piece, 0.0))[1]:
            longest[of_lid] = piece, long
    out = [Spare(piece.reed, piece.colour, long, True, of_lid) for of_lid, (piece, long) in longest.items()]
    woven: dict[tuple[Reed, str], float] = {}
    for bundle in bundles(plan):
        if bundle.is_weaver:
            key = bundle.reed, bundle.colour
            woven[key] = max(woven.get(key, 0.0), bundle.cut_mm)
    return (*out, *(Spare(*key, mm) for key, mm in woven.items()))


def to_buy(plan: Plan) -> tuple[ToBuy, ...]:
    """How much is bought, or dyed, of every size and colour, in the order of use."""
    long: dict[tuple[Reed, str], float] = {}
    first = {id(piece): first_mm(plan, piece) for _, piece in standing(plan)}
    for bundle in bundles(plan):
        mine = bundle.count * first[id(bundle.piece)] if id(bundle.piece) in first else bundle.length_mm
        long[bundle.reed, bundle.colour] = long.get((bundle.reed, bundle.colour), 0.0) + mine
    for spare in spares(plan):
        long[spare.reed, spare.colour] += spare.length_mm
    planned = {(each.reed, each.colour): each.buy_g for each in plan.amounts}
    out = []
    for (reed, colour), mm in long.items():
        heavy = mm * reed.heavy_g_per_mm * gauge.thickness(plan.design, reed) ** 2
        out.append(ToBuy(reed, colour, mm, max(heavy, planned.get((reed, colour), 0.0))))
    return tuple(out)
