"""Advice on the work: joins and time."""

from __future__ import annotations

from ..lay.joins import at_start_line, meeting
from ..words import several
from .book import band_name, rule

LONG_DAY_S = 6 * 3600.0
"""Weaving beyond which hands want a second day, s (common practice, no source)."""


@rule(
    "joins meet",
    "warn",
    "{pairs}: for example rows {row} and {next_row}, near space {space}.",
    "Joins side by side make a thick, weak place.",
    "Cut the first reeds to other lengths, or use longer ones.",
    "practice",
)
def _meet(laid, joins):
    for band, planned in zip(laid.bands, joins, strict=True):
        pairs = meeting(planned, band)
        if pairs:
            a, b = pairs[0]
            yield (
                band_name(band),
                {
                    "pairs": several(len(pairs), "pair of joins meets", "pairs of joins meet"),
                    "row": a.row + 1,
                    "next_row": b.row + 1,
                    "space": a.space + 1,
                },
            )


@rule(
    "join at the start line",
    "note",
    "{many} in the space where the band begins.",
    "The start is already the thickest place.",
    "Cut that weaver's first reed a hand's breadth shorter.",
    "practice",
)
def _start_line(laid, joins):
    for band, planned in zip(laid.bands, joins, strict=True):
        many = len(at_start_line(planned, band))
        if many:
            yield band_name(band), {"many": several(many, "join falls", "joins fall")}


@rule(
    "long work",
    "note",
    "about {hours:.1f} hours of weaving at the stated speed.",
    "Wet, gripping work strains hands, wrists and shoulders.",
    "Break every half hour, stretch, and spread it over two days; stop when it hurts.",
    "practice",
)
def _long(laid, joins):
    seconds = sum(band.strokes for band in laid.bands) / laid.design.pace.strokes_per_minute * 60
    if seconds > LONG_DAY_S:
        yield "time", {"hours": seconds / 3600}


RULES = (
    _meet,
    _start_line,
    _long,
)
