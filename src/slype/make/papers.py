"""What is handed out: the pattern sheet, a handout by its reader, a board's holes, the lesson."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import DesignError, did_you_mean
from ..offers import BOARD, READERS
from ..plans.planning import Plan


def sheet(plan: Plan, reader: str | None = None, paper: str = "a4", large: bool = False, grey: bool = False) -> bytes:
    """A PDF: the pattern sheet; with a `reader` the handout for them, or for BOARD the holes of the board at full size.

    `paper` one of `offers.PAPERS`; `large` and `grey` go with a handout. Raises DesignError.
    """
    if reader is None:
        from ..paper.sheet import make

        return make(plan, paper)
    if reader == BOARD:
        from ..paper import board

        return board.make(plan.design, paper)
    if reader not in READERS:
        known = (*READERS, BOARD)
        raise DesignError(f'"{reader[:20]}" is no reader of a handout.', "for", did_you_mean(reader[:20], known))
    from ..paper import handout

    return handout.make(plan, reader, paper, handout.Style(large, grey))


def sheets(plan: Plan, papers: Sequence[str]) -> list[bytes]:
    """The pattern sheet on one paper after the other."""
    from ..paper.sheet import on_each

    return on_each(plan, papers)


def lesson(plan: Plan, seats: bool = False) -> bytes:
    """The page that plays the basket, one file; with `seats` each may tell how far it is."""
    from ..lesson.content import Lesson
    from ..lesson.whole import whole

    return whole(Lesson(plan), seats=seats)
