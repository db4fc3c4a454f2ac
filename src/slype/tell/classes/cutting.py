"""Cutting in words: how good each plan is, and the list in cutting order with the bundle that each piece goes into."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from itertools import groupby
from types import MappingProxyType

from ...kit.assigned import ReedCut, Strand
from ...kit.cuts.checks import first_fit
from ...kit.values import USEFUL_MM
from ...kit.worked import Worked
from ...quantity import show_cut, show_piece, show_run
from ...words import several
from .blocks import Block, Heading, Lines, Table
from .kits import longer_told


def bench(mm: float, units: str) -> str:
    """A strand, or what is left of one, as all lengths to cut are told, to the nearest half inch or centimetre."""
    return show_cut(mm, units, round, 2)


def cut_told(cut: ReedCut, units: str) -> str:
    """How much is cut and how good the plan is, in a sentence or two."""
    shelf = sum(strand.source == "shelf" for strand in cut.strands)
    taken = (
        f"{several(len(cut.strands), 'strand')}, {shelf} of them from the shelf; {show_run(cut.taken_mm, units)} in "
    )
    taken += f"all, {show_run(cut.cut_mm, units)} of it used."
    return f"{taken} {proof_told(cut)}"


def proof_told(cut: ReedCut) -> str:
    """How near the best a plan is proven to be."""
    plan = cut.plan
    if cut.missing:
        return "Some pieces are longer than any strand: see what to watch out for."
    free = cut.alike_costs  # plans free to piece kits otherwise prove as much, where they are the nearer ones
    gap = plan.gap if cut.free_bound is None else min(plan.gap, free)
    stopped = " in the time given" if plan.stopped else ""
    said = f"The best found{stopped}; no plan does better by more than {gap:.1%}."
    if gap < 1e-6:
        said = "No plan does better: proven."
    if cut.free_bound is None or free < 0.0005:
        return said
    return f"{said} Kits of one basket are pieced alike; each in its own way they would save {free:.1%} at most."


def by_hand(cut: ReedCut, units: str) -> str:
    """What the plan saves against cutting by hand, the longest first."""
    length, _ = first_fit(cut.problem)
    saved = length - cut.taken_mm
    if saved < 1.0:
        return ""
    return f"Cut by hand, the longest piece first, it would take {show_run(saved, units)} more."


def offcuts_told(cut: ReedCut, units: str) -> str:
    """What is left, what of it is worth keeping and what is scrap, and where the line is drawn."""
    why = "the shortest piece cut of this reed" if cut.asked_useful_mm is None else "as the class says"
    if cut.asked_useful_mm is None and cut.useful_mm <= USEFUL_MM:
        why = "no shorter end is of use"
    scrap = f"{show_run(cut.scrap_mm, units)} is scrap ({cut.scrap_mm / cut.taken_mm:.0%})"
    kept = cut.offcuts
    if not kept:
        return f"No end is as long as {show_piece(cut.useful_mm, units)} ({why}), to be kept; {scrap}."
    most = [f"{n} {colour} of {bench(mm, units)}" for colour, mm, n in kept[:6]]
    more = sum(n for *_, n in kept[6:])
    rest = f", and {more} shorter" if more else ""
    return (
        f"Keep ends from {show_piece(cut.useful_mm, units)} on ({why}): {', '.join(most)}{rest}, "
        f"{show_run(cut.kept_mm, units)} in all; {scrap}."
    )


def longer_cut(made: Worked, cut: ReedCut) -> str:
    """Why pieces of this reed are longer than the plan's usual figure, where they are."""
    told = longer_told(made, cut.reed)
    return f"{told[:1].upper()}{told[1:]}." if told else ""


NO_SEATS: Mapping[int, str] = MappingProxyType({})


def joining_told(made: Worked, cut: ReedCut) -> str:
    """Whether weavers are joined that need not be, where the reed gives weavers."""
    if not any(bundle.is_weaver and bundle.reed == cut.reed for kit in made.kits for bundle in kit.basket.bundles):
        return ""
    if made.asked.rules.join_more:
        return "Weavers that one strand is enough for may be joined here, where that saves reed."
    return "A weaver that one strand is enough for stays whole; let it be joined where reed is short (join_more)."


def lying(strand: Strand, units: str) -> str:
    """A strand as it lies there before it is dyed: `10 ft natural, shelf`, `8 ft 6 in, new`."""
    long = bench(strand.length_mm, units)
    return f"{long} {strand.lies}, shelf" if strand.source == "shelf" else f"{long}, new"


def strands_told(strands: list[Strand], units: str) -> str:
    """`13 from the shelf, natural: 9 of 10 ft, 4 of 7 ft 6 in; 42 new of 8 ft 6 in`."""
    out = []
    for lies in sorted({each.lies for each in strands if each.source == "shelf"}):
        mine = Counter(each.length_mm for each in strands if each.source == "shelf" and each.lies == lies)
        said = ", ".join(f"{n} of {bench(mm, units)}" for mm, n in sorted(mine.items(), reverse=True))
        out.append(f"from the shelf, {lies}: {said}")
    new = Counter(each.length_mm for each in strands if each.source != "shelf")
    if new:
        out.append("new: " + ", ".join(f"{n} of {bench(mm, units)}" for mm, n in sorted(new.items(), reverse=True)))
    return "; ".join(out)


def colour_told(colour: str, strands: list[Strand], units: str) -> str:
    """What is cut in one colour and whether it is dyed first: `Moss: 14 strands to dye, …; 10 moss already, …`."""
    dyed = [each for each in strands if each.lies != each.colour]
    ready = [each for each in strands if each.lies == each.colour]
    out = [f"{several(len(dyed), 'strand')} to dye, {strands_told(dyed, units)}"] if dyed else []
    if ready:
        already = "" if colour == "natural" else f" in {colour} already"
        out.append(f"{several(len(ready), 'strand')}{already}, {strands_told(ready, units)}")
    return f"{colour[:1].upper()}{colour[1:]}: {'; and '.join(out)}."


def cutting_list(
    cut: ReedCut, units: str, wording: str, dye_cut: bool = False, of_seats: Mapping[int, str] = NO_SEATS
) -> list[Block]:
    """The list in cutting order: strands cut alike share a row; each row says which bundles its pieces go into. A piece
    is said as the label of its kit says it: in the units `of_seats` by number, else in those of the list."""
    out: list[Block] = [Heading("In cutting order")]
    rows = []
    for _, same in groupby(cut.strands, key=lambda strand: (_alike(strand), _said(strand, units, of_seats))):
        strands = list(same)
        colour = strands[0].colour
        rows.append(
            (
                f"{strands[0].number}" if len(strands) == 1 else f"{strands[0].number}–{strands[-1].number}",
                lying(strands[0], units),
                colour if colour == strands[0].lies else f"{colour} ({'to dye' if dye_cut else 'dyed'})",
                _said(strands[0], units, of_seats),
                _seats(strands),
                left_told(cut, strands[0], units),
            )
        )
    head = ("Strand", "From", "Colour" if wording == "uk" else "Color", "Cut", "For seat · bundle", "Left")
    out.append(Table(head, tuple(rows), frozenset({5}), wide=4, ticked=True))
    return out


def left_told(cut: ReedCut, strand: Strand, units: str) -> str:
    """`keep 33 in`, `scrap 9 in`, or a dash where nothing is left."""
    if strand.left_mm <= 6.0:  # what a pair of cutters leaves
        return "–"
    return f"{'keep' if strand.left_mm >= cut.useful_mm - 1e-6 else 'scrap'} {bench(strand.left_mm, units)}"


def _alike(strand: Strand) -> tuple:
    pieces = tuple(piece.length_mm for piece in strand.pieces)
    return strand.source, strand.length_mm, strand.lies, strand.colour, pieces


def _said(strand: Strand, units: str, of_seats: Mapping[int, str]) -> str:
    """`4 × 21 1/2 in + 54 cm`: each piece in the units of its kit."""
    many = Counter(show_piece(piece.length_mm, of_seats.get(piece.seat, units)) for piece in strand.pieces)
    return " + ".join(f"{n} × {said}" if n > 1 else said for said, n in many.items())


def _seats(strands: list[Strand]) -> str:
    """`1·4, 2·4 (2), 3·4`: which bundle of which seat the pieces go into."""
    many = Counter((piece.seat, piece.bundle) for strand in strands for piece in strand.pieces)
    return ", ".join(f"{seat}·{bundle}{f' ({n})' if n > 1 else ''}" for (seat, bundle), n in sorted(many.items()))


def told(made: Worked, cut: ReedCut, units: str) -> Lines:
    """Everything about one reed's plan before its drawing."""
    lines = [cut_told(cut, units), by_hand(cut, units), longer_cut(made, cut), offcuts_told(cut, units)]
    lines.append(joining_told(made, cut))
    return Lines(tuple(line for line in lines if line))
