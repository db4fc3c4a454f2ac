"""Advice on the work: joins and time."""

from __future__ import annotations

import math

from ..lay import gauge
from ..lay.joins import at_start_line, meeting
from ..lay.laying import as_reckoned
from ..quantity import show_length
from ..words import say, several
from .book import band_name, rule

FAR_OFF = {"row pitch": 1.3, "take-up": 1.15, "border": 2.0}
"""Beyond so many times what slype reckons, or below as
little, a measure is asked about (common practice, no source)."""
LONG_DAY_S = 6 * 3600.0
"""Weaving beyond which hands want a second day, s (common practice, no source)."""


@rule(
    "joins meet",
    "warn",
    "{pairs}: for example rows {row} and {next_row}, near {one} {number}.",
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
                    "one": "group" if band.band.group > 1 else say("{spoke}", laid.design.wording),
                    "number": a.spoke + 1,
                },
            )


@rule(
    "join at the start line",
    "note",
    "{many} beside the space where the band begins.",
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
    design = laid.design
    seconds = sum(60 * band.strokes / gauge.strokes_per_minute(design, band.band) for band in laid.bands)
    if seconds > LONG_DAY_S:
        yield "time", {"hours": seconds / 3600}


@rule(
    "measure far off",
    "warn",
    "your measure says {yours} where slype reckons {reckoned}.",
    "Hands and reed differ by a tenth or two; more is often a slip, or another weave, reed or {border}.",
    "Measure again, or take it out of [gauge].",
    "practice",
)
def _far_off(laid, joins):
    if laid.design.gauge is None:
        return
    units = laid.design.units
    for band in laid.bands:
        if band.packs is not None and band.packs.by_hand and far_off(band.packs.times, "row pitch"):
            high, was = (show_length(mm, units) for mm in (band.height_mm, band.height_mm / band.packs.times))
            yield band_name(band), {"yours": f"{band.rows} rows stand {high}", "reckoned": was}
        if band.takes is not None and band.takes.by_hand and far_off(band.takes.times, "take-up"):
            mean = float(band.take_up.mean())
            yield band_name(band), {"yours": f"take-up {mean:.2f}", "reckoned": f"{mean / band.takes.times:.2f}"}
    taken = laid.design.gauge.border_mm
    reckoned = as_reckoned(laid.design).border.length_mm
    if taken is not None and far_off(taken / reckoned, "border"):
        yield "border", {"yours": show_length(taken, units), "reckoned": show_length(reckoned, units)}


def far_off(times: float, quantity: str) -> bool:
    """True for a ratio that hardly any maker's hands give."""
    return abs(math.log(times)) > math.log(FAR_OFF[quantity])


RULES = (
    _far_off,
    _meet,
    _start_line,
    _long,
)
