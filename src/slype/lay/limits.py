"""How large a basket may come out: what its rows, its ring and its border make of the sizes in the file.

What a file says is bounded where it is read; what follows from it is bounded here, before anything is drawn or listed.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..design.rules import MOST_ACROSS_MM, MOST_HIGH_MM
from ..design.values import Design
from ..errors import Unweavable
from ..quantity import show_length
from .gauge import TUCK_MM


def check_side(design: Design, top_s: float) -> None:
    """Raises Unweavable where the rows climb above, spread beyond or close the wall that a basket can have."""
    side = design.bands_at("side")
    where = design.at("band", side[-1][0]) if side else design.at("form", "wall")
    high, across = float(design.form.height(top_s)), 2 * float(design.form.radius(top_s))
    if high > MOST_HIGH_MM:
        raise Unweavable(
            f"the side would stand {show_length(high, design.units)} high here.", where,
            f"At most {MOST_HIGH_MM / 1000:g} m: use fewer rows, or finer reed.",
        )  # fmt: skip
    if across > MOST_ACROSS_MM:
        raise Unweavable(
            f"the basket would be {show_length(across, design.units)} across here.", where,
            f"At most {MOST_ACROSS_MM / 1000:g} m: let the wall flare less, or weave fewer rows.",
        )  # fmt: skip
    if across <= 4 * design.spokes.reed.diameter_mm:
        raise Unweavable(
            "the wall closes to nothing below the last row.", design.at("form", "wall"),
            "Weave fewer rows or widen the mouth.",
        )  # fmt: skip


MOST_DRAWN = 16_000
"""Rows times spaces that a picture shows, and rows times ends that are brought to rest: a log basket two feet wide and
high, finely woven, has 15,000. That takes 7 s of a processor to settle, 10 to draw and 0.8 GB; more would be finer than
its dots."""
MOST_JOINS = 2_000
"""Joins of one run of weaving, in all its blocks: at a minute each, most of a working week."""


def check_drawn(design: Design, bands: Iterable[tuple[int, int, int, int]]) -> None:
    """Raises Unweavable where bands, each (index, rows, spaces, reeds worked as one), are more than is ever drawn."""
    strokes = {index: rows * spaces * strands for index, rows, spaces, strands in bands}
    many = sum(strokes.values())
    if many > MOST_DRAWN:
        most = max(strokes, key=lambda index: strokes[index])
        raise Unweavable(
            f"{many:,} strokes in all, rows times spaces, are more than a picture can show; most are here.",
            design.at("band", most),
            f"At most {MOST_DRAWN:,}: use coarser reed, fewer rows or fewer spokes. Plan, check and chart answer it as "
            "it is.",
        )


def _longer(design: Design) -> str:
    return f'Use longer reeds: length = "{"9 ft" if design.units == "in" else "3 m"}", or leave length out.'


def check_joins(design: Design, band: int, many: int, usable_mm: float) -> None:
    """Raises Unweavable where reeds of `usable_mm` each would have to be joined `many` times, more than anyone does."""
    if many > MOST_JOINS:
        raise Unweavable(
            f"reeds of {show_length(usable_mm, design.units)} would take {many:,} joins here.",
            design.at("band", band, "length"), _longer(design),
        )  # fmt: skip


def check_reach(design: Design, band: int, longest_mm: float, usable_mm: float) -> None:
    """Raises Unweavable where a piece `longest_mm` long would have to be longer than the reeds it is cut from."""
    if longest_mm > usable_mm + 1e-6:
        raise Unweavable(
            f"reeds of {show_length(usable_mm, design.units)} are too short here: from one place where a weaver can be "
            f"joined to the next, or to an end, takes {show_length(longest_mm, design.units)} with what is tucked.",
            design.at("band", band, "length"),
            f"Use reeds of {show_length(longest_mm + TUCK_MM, design.units)} or longer, or more spokes.",
        )  # fmt: skip
