"""What to cut, bundle by bundle, as a student reads it on the handout and in the lesson."""

from __future__ import annotations

from dataclasses import dataclass

from ..plans.bundles import Bundle, Lot, bundles
from ..plans.piece import longer_mm
from ..plans.planning import Plan
from ..words import several
from .lists import first_up
from .voice import in_both, length_to_cut, piece_name, reed_sized, worded

HALF_INCHES = 2
"""What stands is cut to the half inch (see `quantity.show_piece`)."""


@dataclass(frozen=True)
class BundleRow:
    """One bundle in words: its `number`, for `what`, how many lengths, of which `reed` and `colour`; `cut` how long
    each is, or where they differ a line for every lot."""

    number: int
    what: str
    count: int
    reed: str
    colour: str
    cut: tuple[str, ...]


def bundle_rows(plan: Plan) -> tuple[BundleRow, ...]:
    """The list What to cut: every bundle in the order of use."""
    return tuple(_row(plan, each) for each in bundles(plan))


def _row(plan: Plan, bundle: Bundle) -> BundleRow:
    design = plan.design
    if bundle.piece is not None:
        what = first_up(piece_name(bundle.piece, design.wording))
        cut = [length_to_cut(design, bundle.cut_mm, HALF_INCHES)]
    else:
        assert bundle.bands is not None, "a bundle is of a piece or of bands"
        first, last = bundle.bands
        what = f"Band {first + 1}" if first == last else f"Bands {first + 1} to {last + 1}"
        lots = [_lot(lot, length_to_cut(design, lot.cut_mm)) for lot in bundle.lots]
        cut = [length_to_cut(design, bundle.cut_mm)] if len(bundle.lots) == 1 else lots
    what = f"Lid: {what[:1].lower()}{what[1:]}" if bundle.lid else what
    reed = reed_sized(bundle.reed, design.wording)
    return BundleRow(bundle.number, what, bundle.count, reed, bundle.colour, tuple(cut))


def _lot(lot: Lot, long: str) -> str:
    """`2 middle pieces, 10 ft each`, `3 pieces, 4 ft each`, `2 pieces, 8 ft each, for start 3`."""
    pieces = several(lot.count, "piece" if lot.part == "whole" else f"{lot.part} piece")
    told = f"{pieces}, {long}" + (" each" if lot.count > 1 else "")
    if lot.starts is None:
        return told
    first, last = (at + 1 for at in lot.starts)
    return f"{told}, for start {first}" if first == last else f"{told}, for starts {first} to {last}"


def spare_told(plan: Plan) -> list[str]:
    """What a first basket may need besides what is listed."""
    design, out = plan.design, []
    for whole, of in ((plan, ""), (plan.lid, "the lid's ")):
        standing = "insert" if whole and whole.design.spokes.inserted else "begin"
        for piece in whole.pieces if whole and not plan.first_time else ():
            longer = longer_mm(piece, design.units)
            if piece.use == standing and longer > piece.cut_mm:
                long, listed_as = (length_to_cut(design, mm, HALF_INCHES) for mm in (longer, piece.cut_mm))
                out.append(f"{of}{piece_name(piece, design.wording)} {long}, not {listed_as}")
    told = ["Your first basket?", *(f"Cut {each}." for each in out)] if out else []
    both = (["In this list centimetres beside inches are rounded up, so that nothing comes out short."]
            if in_both(design) else [])  # fmt: skip
    more = "Keep one long {spoke} in hand, and a length of each size and {colour} of {reed}."
    return [*told, "Cut weavers as listed: one that comes out short is joined.", worded(more, design.wording), *both]
