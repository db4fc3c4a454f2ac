"""Kits cut from what lies on the shelf: a whole class, or a basket, in one act that is undone as a whole.

What a cutting plan takes are strands; what is left of a strand and worth keeping goes back to where it came from, so
the shelf loses pieces and waste only. Lots that are weighed give by the reed's own mass per length.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...kit.worked import Worked
from ..shelf import gather, lots, take
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
            both[1] += strand.left_mm if strand.left_mm >= cut.useful_mm - 1e-6 else 0.0
    return [Taken(*key, *both) for key, both in out.items()]


def cut_kits(book: Book, made: Worked, note: str, units: str = "in") -> tuple[str, list[Taken]]:
    """(the act's id, what was taken). Raises NotEnough naming all that the shelf lacks, and then nothing is taken."""
    wanted = taken_by(made)
    net = [(each.reed, each.colour, each.net_mm) for each in wanted]
    return take(book, gather(lots(book), net, made.asked.title, units), note, units), wanted
