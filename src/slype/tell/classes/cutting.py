"""Cutting in words: how good each plan is, and the list in cutting order with the bundle that each piece goes into."""

from __future__ import annotations

from collections import Counter
from itertools import groupby

from ...kit.assigned import ReedCut, Strand
from ...kit.cuts.checks import first_fit
from ...kit.worked import Worked
from ...quantity import show_cut, show_piece, show_run
from ...words import several
from .blocks import Block, Heading, Lines, Table


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
    if plan.proven:
        return "No plan does better: proven."
    stopped = " in the time given" if plan.stopped else ""
    return f"The best found{stopped}; no plan does better by more than {plan.gap:.1%}."


def by_hand(cut: ReedCut, units: str) -> str:
    """What the plan saves against cutting by hand, the longest first."""
    length, _ = first_fit(cut.problem)
    saved = length - cut.taken_mm
    if saved < 1.0:
        return ""
    return f"Cut by hand, the longest piece first, it would take {show_run(saved, units)} more."


def offcuts_told(made: Worked, cut: ReedCut, units: str) -> str:
    """What is left and worth keeping, in a sentence."""
    kept = cut.offcuts(made.asked.rules.useful_mm)
    if not kept:
        return "Nothing is left that is worth keeping."
    most = [f"{n} of {bench(mm, units)} {colour}" for colour, mm, n in kept[:6]]
    more = sum(n for *_, n in kept[6:])
    rest = f", and {more} shorter" if more else ""
    return f"Keep: {', '.join(most)}{rest}."


def cutting_list(cut: ReedCut, units: str, wording: str) -> list[Block]:
    """The list in cutting order: strands cut alike share a row; each row says which bundles its pieces go into."""
    out: list[Block] = [Heading("In cutting order")]
    rows = []
    for (source, length, colour, _), same in groupby(cut.strands, key=_alike):
        strands = list(same)
        rows.append(
            (
                f"{strands[0].number}" if len(strands) == 1 else f"{strands[0].number}–{strands[-1].number}",
                f"{bench(length, units)} {'' if source == 'shelf' else '(new)'}".strip(),
                colour,
                _pieces(strands[0], units),
                _seats(strands),
                bench(strands[0].left_mm, units) if strands[0].left_mm > 0.5 else "–",
            )
        )
    head = ("Strand", "From", "Colour" if wording == "uk" else "Color", "Cut", "For seat · bundle", "Left")
    out.append(Table(head, tuple(rows), frozenset({5}), wide=4, ticked=True))
    return out


def _alike(strand: Strand) -> tuple:
    return strand.source, strand.length_mm, strand.colour, tuple(piece.length_mm for piece in strand.pieces)


def _pieces(strand: Strand, units: str) -> str:
    many = Counter(piece.length_mm for piece in strand.pieces)
    return " + ".join(f"{n} × {show_piece(mm, units)}" if n > 1 else show_piece(mm, units)
                      for mm, n in many.items())  # fmt: skip


def _seats(strands: list[Strand]) -> str:
    """`1·4, 2·4 (2), 3·4`: which bundle of which seat the pieces go into."""
    many = Counter((piece.seat, piece.bundle) for strand in strands for piece in strand.pieces)
    return ", ".join(f"{seat}·{bundle}{f' ({n})' if n > 1 else ''}" for (seat, bundle), n in sorted(many.items()))


def told(made: Worked, cut: ReedCut, units: str) -> Lines:
    """Everything about one reed's plan before its drawing."""
    lines = [cut_told(cut, units), by_hand(cut, units), offcuts_told(made, cut, units)]
    return Lines(tuple(line for line in lines if line))
