"""Advice that only reeds at rest can give: light through the wall, parts that did not come to rest, loose weavers."""

from __future__ import annotations

from ..lay.values import BandLaid, Laid
from ..quantity import show_share
from ..words import say
from .book import band_name, rule

LIGHT, LOOSE_SHARE = 0.1, 0.3
"""Share of a band that light passes through, and of places where its reeds hardly press, from which it is worth saying
(common practice, no source)."""


@rule(
    "light shows",
    "note",
    "light passes through {light} of this band, at rest and unpacked by hand.",
    "Between rows of two or more weavers the reeds cross and stand apart in every space.",
    "Pack it harder, or weave it with a single weaver or a wale; where light is wanted, leave it.",
    "derived",
    at_rest=True,
)
def _light(laid, joins):
    for band in laid.bands:
        if band.at_rest is not None and band.at_rest.light > LIGHT:
            yield band_name(band), {"light": show_share(band.at_rest.light)}


@rule(
    "would not come to rest",
    "warn",
    "the reeds of the {part} came to lie in each other and would not come to rest: its figures are those of stacked "
    "rows.",
    "Heights, lengths and the picture of that part are estimates, not those of reeds that press on each other.",
    "Check the first of these {spokes} and weavers against the work before you cut the rest.",
    "derived",
    at_rest=True,
)
def _tangled(laid, joins):
    for each in laid.unsettled:
        if each.tangled:
            yield each.part, {"part": each.part}


@rule(
    "not quite at rest",
    "note",
    "the {part} had not come quite to rest when the reckoning stopped: its reeds still lie {overlap} in each other at "
    "worst.",
    "Heights and lengths of that part may still move a little.",
    "Take them as estimates; cut the first {reed} a little long.",
    "derived",
    at_rest=True,
)
def _not_quite(laid, joins):
    for each in laid.unsettled:
        if not each.tangled:
            overlap = f"{each.overlap_mm:.2f} mm" if each.overlap_mm >= 0.005 else "less than 0.01 mm"
            yield each.part, {"part": each.part, "overlap": overlap}


def _held_by(laid: Laid, band: BandLaid) -> str:
    """What holds a loose band down: what is woven after it, where there is a place for that."""
    if band.band.where == "base":
        beyond = band is not laid.base[-1] or laid.side
        return "; the rows further out hold them" if beyond else ""
    if band is laid.side[-1]:
        return say(", before the {border} holds them", laid.design.wording)
    return ", and put a firm row above"


@rule(
    "lies loose",
    "note",
    "at {loose} of the {spokes} it passes, the {reed} of this band hardly presses; most in row {row} at {spoke} "
    "{number}.",
    "Where a weaver passes several {spokes} on one side, only the outer ones hold it: the rows above must.",
    "Pack these rows well{do}.",
    "derived",
    at_rest=True,
)
def _loose(laid, joins):
    for band in laid.bands:
        said = band.at_rest
        if said is not None and said.loose > LOOSE_SHARE:
            yield (
                band_name(band),
                {
                    "loose": show_share(said.loose),
                    "row": said.loosest.row + 1,
                    "number": said.loosest.spoke + 1,
                    "do": _held_by(laid, band),
                },
            )


RULES = (_light, _tangled, _not_quite, _loose)
