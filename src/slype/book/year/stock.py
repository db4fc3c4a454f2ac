"""Kits cut from what lies on the shelf: a whole class, or a basket, in one act that is undone as a whole.

What a cutting plan takes are strands; what is left of a strand and worth keeping goes back to where it came from, so
the shelf loses pieces and waste only. Lots that are weighed give by the reed's own mass per length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...errors import DesignError
from ...kit.worked import Worked
from ...quantity import show_run
from ...reeds import Reed, reed_named
from ..shelf import LEAST, Lot, NotEnough, lots, take
from ..store import Book


@dataclass(frozen=True)
class Taken:
    """Of one reed and colour: strands of `strands_mm` in all are cut, `back_mm` of that goes back, `net_mm` is gone."""

    reed: str
    colour: str
    strands_mm: float
    back_mm: float

    @property
    def net_mm(self) -> float:
        return self.strands_mm - self.back_mm


def taken_by(made: Worked) -> list[Taken]:
    """What the kits of a class take, by reed and colour."""
    out: dict[tuple[str, str], list[float]] = {}
    for cut in made.reeds:
        for strand in cut.strands:
            both = out.setdefault((cut.reed.key or cut.reed.name, strand.colour), [0.0, 0.0])
            both[0] += strand.length_mm
            both[1] += strand.left_mm if strand.left_mm >= made.asked.rules.useful_mm - 1e-6 else 0.0
    return [Taken(*key, *both) for key, both in out.items()]


def cut_kits(book: Book, made: Worked, note: str, units: str = "in") -> tuple[str, list[Taken]]:
    """(the act's id, what was taken). Raises NotEnough naming all that the shelf lacks, and then nothing is taken."""
    wanted, all_of_it, lacking = taken_by(made), [], []
    for each in wanted:
        there = lots(book, each.reed, each.colour)
        parts, rest = _from(there, each)
        all_of_it += parts
        if rest > 1.0:
            lacking.append(f"{show_run(rest, units)} of {each.reed}, {each.colour}")
    if lacking:
        raise NotEnough(
            f"the shelf lacks {'; '.join(lacking)}. Nothing was cut.", made.asked.title,
            "Put on the shelf what you have (slype book add), or count it anew.",
        )  # fmt: skip
    return take(book, all_of_it, note, units), wanted


def _from(there: Sequence[Lot], wanted: Taken) -> tuple[list[tuple[str, float]], float]:
    """([(lot's id, amount in its unit)], mm that is lacking): the oldest lots first, measured or weighed."""
    out, rest = [], wanted.net_mm
    for lot in sorted(there, key=lambda lot: (lot.since, lot.id)):
        per_mm = 1.0 if lot.unit == "mm" else _g_per_mm(lot.reed)
        part = min(rest, lot.amount / per_mm)
        if part * per_mm >= LEAST[lot.unit]:
            out.append((lot.id, part * per_mm))
            rest -= part
    return out, rest


def _g_per_mm(name: str) -> float:
    try:
        reed: Reed = reed_named(name)
    except DesignError:
        raise DesignError(
            "is weighed, and slype does not know what a foot of it weighs.", name, "Count it by length instead."
        ) from None
    return reed.g_per_mm
