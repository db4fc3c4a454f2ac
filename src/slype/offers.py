"""What slype can be asked for by name: views, papers, readers of a handout. One table each, for command line, page
and script alike. Standard library only, for help must be there at once."""

from __future__ import annotations

from dataclasses import dataclass

SOLID_VIEWS = ("outside", "inside", "above", "under")
"""Views of the basket itself: these can be painted and hatched."""
FLAT_VIEWS = ("unrolled", "unrolled-inside", "squares")
"""The wall laid flat, from either face, and a square for each stroke seen: these need no reeds at rest."""
VIEWS = ("whole", *SOLID_VIEWS, *FLAT_VIEWS)


@dataclass(frozen=True)
class Paper:
    """A size of paper: `wide_mm`, `high_mm`, and what the typesetter calls it."""

    name: str
    wide_mm: float
    high_mm: float
    typst: str


PAPERS = {
    paper.name: paper
    for paper in (Paper("a4", 210.0, 297.0, "a4"), Paper("letter", 215.9, 279.4, "us-letter"))  # ISO 216; ANSI Y14.1
}
READERS = ("student", "teacher", "card", "showing")
"""Who reads a handout: see `paper.handout`."""
BOARD = "board"
"""Asked for in a reader's place: the holes of a board at full size."""
