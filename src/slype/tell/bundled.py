"""What to cut, bundle by bundle, as a student reads it on the handout and in the lesson."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from itertools import groupby

from ..design.values import Design
from ..plans.bundles import WEAVER_STEP_MM, Bundle, Lot, bundles
from ..plans.in_hand import Spare, ToBuy, first_mm, spares, standing, to_buy
from ..plans.piece import round_up
from ..plans.planning import Plan
from ..quantity import G_PER_OZ, MM_PER_FT, show_mass, show_run
from ..reeds import Reed
from ..words import several
from .lists import first_up
from .voice import in_both, length_to_cut, piece_name, reed_short, reed_sized, worded

HALF_INCHES = 2
"""What stands is cut to the half inch (see `quantity.show_piece`)."""


@dataclass(frozen=True)
class BundleRow:
    """One bundle in words: its `number`, for `what`, how many lengths, of which `reed` and `colour`; `cut` how long
    each is, or where they differ a line for every lot, or for every weaver."""

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
        cut = [length_to_cut(design, bundle.cut_mm)] if len(bundle.lots) == 1 else weaver_lines(plan, bundle) or lots
    what = f"Lid: {what[:1].lower()}{what[1:]}" if bundle.lid else what
    reed = reed_sized(bundle.reed, design.wording)
    return BundleRow(bundle.number, what, bundle.count, reed, bundle.colour, tuple(cut))


MOST_WEAVERS = 8
"""Weavers whose pieces are listed one by one."""


def weaver_lines(plan: Plan, bundle: Bundle) -> list[str]:
    """`weaver 1: 10 ft; 10 ft; 4 ft 7 in`: the pieces of every weaver of a bundle in turn, where weavers are joined and
    differ, so that each piece can be marked with its weaver; else nothing."""
    whole = plan.lid if bundle.lid and plan.lid else plan
    if bundle.bands is None:
        return []
    begun = [cut for cut in whole.cuts if cut.course.begins.index == bundle.bands[0]]
    mine = [cut for cut in begun if bundle.colour in cut.course.begins.colours[cut.weaver]]
    several_starts = len({id(cut.course) for cut in begun}) > 1
    if several_starts or not 1 < len(begun) <= MOST_WEAVERS or any(cut.fold_mm for cut in begun):
        return []
    if any(cut.course.begins.band.strands > 1 for cut in mine) or max(len(cut.pieces_mm) for cut in mine) < 2:
        return []
    told = {cut.weaver + 1: pieces_told(plan.design, cut.pieces_mm) for cut in mine}
    if len(set(told.values())) == 1 < len(told):
        return []
    return [f"weaver {weaver}: {said}" for weaver, said in sorted(told.items())]


def pieces_told(design: Design, pieces_mm: tuple[float, ...]) -> str:
    """`3.00 m; 4 of 3.00 m; 2.35 m`: a weaver's pieces in turn, as they are cut."""
    cut = [length_to_cut(design, round_up(mm, WEAVER_STEP_MM[design.units])) for mm in pieces_mm]
    runs = [(length, len(list(run))) for length, run in groupby(cut)]
    return "; ".join(length if many == 1 else f"{many} of {length}" for length, many in runs)


def _lot(lot: Lot, long: str) -> str:
    """`2 middle pieces, 10 ft each`, `3 pieces, 4 ft each`, `2 pieces, 8 ft each, for start 3`."""
    pieces = several(lot.count, "piece" if lot.part == "whole" else f"{lot.part} piece")
    told = f"{pieces}, {long}" + (" each" if lot.count > 1 else "")
    if lot.starts is None:
        return told
    first, last = (at + 1 for at in lot.starts)
    return f"{told}, for start {first}" if first == last else f"{told}, for starts {first} to {last}"


def longer_first(plan: Plan) -> list[str]:
    """`spokes 34 1/2 in, not 33 in`: what stands that is cut longer for a first basket than listed, and how long."""
    design, out = plan.design, []
    for of_lid, piece in standing(plan):
        whose = "the lid's " if of_lid else ""
        if first_mm(plan, piece) > piece.cut_mm:
            long, listed_as = (length_to_cut(design, mm, HALF_INCHES) for mm in (first_mm(plan, piece), piece.cut_mm))
            out.append(f"{whose}{piece_name(piece, design.wording)} {long}, not {listed_as}")
    return out


IN_HAND = "Keep spare lengths in hand, one of each."
BOUGHT = "This is bought, or dyed, in all, spare lengths with it. What is left of each strand comes on top."


def spare_told(plan: Plan) -> list[str]:
    """What stands below the list, in paragraphs: what a first basket needs besides, what is kept in hand, and how much
    all of it is."""
    design, out = plan.design, longer_first(plan)
    told = ["Your first basket?", *(f"Cut {each}." for each in out)] if out else []
    both = (["In this list centimetres beside inches are rounded up, so that nothing comes out short."]
            if in_both(design) else [])  # fmt: skip
    first = [*told, "Cut weavers as listed: one that comes out short is joined.", *both]
    return [" ".join(each) for each in (first, [IN_HAND, *map(partial(_spare, design), spares(plan))],
                                        [BOUGHT, *map(partial(_bought, design), to_buy(plan))])]  # fmt: skip


def _spare(design: Design, spare: Spare) -> str:
    if spare.stands:
        name = worded(f"{'lid ' if spare.lid else ''}{{spoke}}", design.wording)
        return f"{first_up(name)}: {length_to_cut(design, spare.length_mm, HALF_INCHES)}."
    return f"{_reed_of(design, spare.reed, spare.colour)}: {length_to_cut(design, spare.length_mm)}."


def _bought(design: Design, bought: ToBuy) -> str:
    def told(units: str) -> str:
        """Both rounded up, so that nothing comes out short."""
        run, mass = (MM_PER_FT, G_PER_OZ / 10) if units == "in" else (100.0, 1.0)
        return f"{show_run(round_up(bought.length_mm, run), units)}, {show_mass(round_up(bought.mass_g, mass), units)}"

    beside = f" ({told('cm')})" if in_both(design) else ""
    return f"{_reed_of(design, bought.reed, bought.colour)}: {told(design.units)}{beside}."


def _reed_of(design: Design, reed: Reed, colour: str) -> str:
    return first_up(f"{colour} {reed_short(reed, design.wording)}")
