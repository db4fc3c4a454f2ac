"""A class in words: the report of `slype class`, sentence by sentence."""

from __future__ import annotations

from ..kit.assigned import ReedCut
from ..kit.worked import Worked
from ..quantity import show_run
from ..words import several
from .kits import counted


def report(made: Worked) -> list[str]:
    """The class in a screenful."""
    wording, units = made.kits[0].seat.wording, made.kits[0].seat.units
    out = [f"{made.asked.title}: {counted(made.kits, wording)}."]
    for cut in made.reeds:
        if cut.strands:
            out.append(f"{cut.reed.named(wording)}: {cut_told(cut, units)}")
    return out


def cut_told(cut: ReedCut, units: str) -> str:
    """How much is cut and how good the plan is, in a sentence or two."""
    shelf = sum(strand.source == "shelf" for strand in cut.strands)
    taken = (
        f"{several(len(cut.strands), 'strand')}, {shelf} of them from the shelf; {show_run(cut.taken_mm, units)} in "
    )
    taken += f"all, {show_run(cut.cut_mm, units)} of it used."
    plan = cut.plan
    if plan.missing:
        return f"{taken} Some pieces are missing."
    if plan.proven:
        return f"{taken} No plan does better: proven."
    return f"{taken} No plan does better by more than {plan.gap:.1%}."
