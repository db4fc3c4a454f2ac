"""Advice on room and reed: thickness, unequal spaces, bends."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from ..borders.rows import crossings
from ..lay.spacing import long_sticks
from ..lay.values import TIGHTEST_RATIO, BandLaid, Laid
from ..quantity import show_fine
from ..rods import stack
from ..surface.opened import free_between
from ..words import say
from .book import Offer, band_name, rule, shown
from .counts import WRAP_RATIO, finer_by
from .remedies import finer_offers, firm_band, offer, reeds_between, such_as, with_rows_left_out

REED_JUMP = 1.6
"""Thickness of one band's reed over its neighbour's that rides up (common practice, no source)."""
EASY_BEND, HARD_BEND = 0.10, 0.25
"""Nominal bending strain r/R. Ordinary weaving reaches 0.10 to 0.25 and no published limit for soaked reed was found,
so these only compare a bend with what makers do daily (common practice, no source)."""


UNEVEN = 1.7
"""Widest over closest spacing of one ring from which it is worth saying (common practice, no source)."""


@rule(
    "unevenly spaced",
    "warn",
    "below the {border} the {spokes} stand from {closest} to {widest} apart.",
    "Where they stand wide the weave is slack and the {border} spans too far; where they crowd, weavers bend hard.",
    "Stand them more evenly: {do}.",
    "practice",
    button=True,
)
def _uneven(laid, joins):
    closest, widest = laid.closest_mm, laid.border_spacing_mm
    if widest > UNEVEN * closest:
        even = long_sticks(replace(laid.design, spokes=replace(laid.design.spokes, long_sticks=None)))
        do = f"put {even} sticks along the base, which stands its ends about evenly"
        offers = () if even == long_sticks(laid.design) else (offer("spokes", "long_sticks", to=even, do=do),)
        yield (
            "mouth",
            {
                "closest": shown(laid.design, closest),
                "widest": shown(laid.design, widest),
                "do": "flare the long sides and the ends alike, or add ends on the curves only",
                "offers": offers,
            },
        )


@rule(
    "spoke finer than weaver",
    "warn",
    "the {spokes} ({spoke_mm:.2f} mm) are not coarser than the weavers ({weaver_mm:.2f} mm).",
    "The weaver should bend round the {spoke}, not the {spoke} round the weaver; {spokes} are usually two numbers so.",
    "Use a finer weaver{like} or coarser {spokes}.",
    "white",
    button=True,
)
def _fine_spokes(laid, joins):
    for band in laid.bands:
        # Reeds worked or standing side by side count together: a pair holds against a weaver of one.
        together = math.sqrt(sum(mm * mm for mm in band.stand_mm) * band.band.group)
        if together <= band.band.reed.diameter_mm:
            # A number finer than what would just do; then what just does.
            fits = [finer_offers(band, share * together, laid.design.units) for share in (0.9, 0.999)]
            yield (
                band_name(band),
                {
                    "spoke_mm": max(band.stand_mm),
                    "weaver_mm": band.band.reed.diameter_mm,
                    "like": "",
                    "offers": (*fits[0], *fits[1]),
                },
            )


@rule(
    "reed jumps",
    "note",
    "the {reed} changes from {a:.2f} to {b:.2f} mm between two neighbouring bands.",
    "A coarse row on fine ones rides up and leaves light.",
    "Put a firm row of a size between{like}{also}.",
    "practice",
    button=True,
)
def _jump(laid, joins):
    for a, b in pairwise(laid.side):
        thin, thick = sorted((a.band.reed.diameter_mm, b.band.reed.diameter_mm))
        if thick > REED_JUMP * thin:
            yield (
                band_name(b),
                {
                    "a": a.band.reed.diameter_mm,
                    "b": b.band.reed.diameter_mm,
                    "like": "",
                    "also": "",
                    "offers": lambda a=a, b=b: _rows_between(laid, a, b),
                },
            )


def _rows_between(laid: Laid, a: BandLaid, b: BandLaid) -> Iterator[Offer]:
    for between in reeds_between(a.band.reed, b.band.reed, REED_JUMP, laid.design.units):
        firm = firm_band(between, 1, b.ends)
        if firm:
            put_in = {"insert": ["band"], "at": b.index, "value": firm}
            yield from with_rows_left_out(laid, put_in, between, 1, like=such_as(between))


@rule(
    "weaver wraps the spokes",
    "warn",
    "the {spokes} stand so close ({gap} apart) that the weaver must wrap round each one: the two thicknesses fill "
    "more than two thirds of the gap, too much for an easy bend.",
    "Reed forced round so short a bend packs badly and may crack.",
    "A finer weaver{like}, fewer {spokes}, or groups until the ring is wider.",
    "bisshopp",
    button=True,
)
def _wraps(laid, joins):
    for band in laid.bands:
        worst = float(band.ratio.max())
        if band.band.group == 1 and WRAP_RATIO < worst < TIGHTEST_RATIO:
            gap = float(band.gap[band.ratio.argmax()])
            yield band_name(band), {"gap": shown(laid.design, gap), **finer_by(laid, band)}


@rule(
    "no room between base ends",
    "warn",
    "in its first row less room lies free between two {of} of the base than its weaver is thick.",
    "A row that is forced in there bends them aside, and light shows inside it; further out they stand wider.",
    "Use a finer weaver{like} here, or fewer or finer {spokes}{by_twos}.",
    "practice",
    button=True,
)
def _no_room(laid, joins):
    for band in laid.base:
        thick = band.band.reed.diameter_mm
        if band.tier or (band.band.group == 1 and band.jammed) or laid.design.base.is_board:
            continue  # what passes nowhere is told by another rule
        free = free_between(laid, band)
        if free < thick:
            yield (
                band_name(band),
                {
                    "of": "groups of ends" if band.band.group > 1 else "ends",
                    "like": "",
                    "by_twos": "" if band.band.group > 1 else ", or weave it over groups of two first",
                    "offers": finer_offers(band, free, laid.design.units),
                },
            )


def bend_of(band: BandLaid) -> tuple[float, float]:
    """(tightest radius mm, nominal strain r/R) of a band's weavers: of relaxed reeds, or else of a bent-rod cell."""
    if band.at_rest is not None:
        strain = max(band.at_rest.bend.value, 1e-9)
        return band.band.reed.diameter_mm / 2 / strain, strain
    i = int(band.ratio.argmax())
    radius = stack.tightest_bend(min(float(band.ratio[i]), TIGHTEST_RATIO), float(band.gap[i]))
    return radius, band.band.reed.diameter_mm / 2 / radius


@rule(
    "hard bend",
    "warn",
    "the weavers bend harder than makers usually ask: to a radius of {radius}.",
    "There is no published limit for soaked {reed}: this only says that the bend is harder than in ordinary weaving.",
    "Soak longer, crimp the {reed} with round-nosed pliers where it bends, use finer {reed}, or {wider}.",
    "practice",
)
def _hard_bend(laid, joins):
    for band in laid.bands:
        radius, strain = bend_of(band)
        if band.band.group == 1 and strain > HARD_BEND:
            wider = say("stand the {spokes} wider", laid.design.wording)
            if band.band.where == "base":  # where they are closest on the smallest ring, whatever their count
                wider = "weave more rows over groups of two first, until the ring is wider"
            yield band_name(band), {"radius": show_fine(radius, laid.design.units), "wider": wider}


@rule(
    "usual bend",
    "note",
    "the weavers bend as in ordinary weaving.",
    "No published limit for soaked {reed} was found; rattan stretches plastically when wet.",
    "Keep the {reed} damp while weaving.",
    "gu-zhang",
)
def _usual_bend(laid, joins):
    bends = [(bend_of(band)[1], band) for band in laid.bands if band.band.group == 1]
    if bends:
        strain, band = max(bends, key=lambda pair: pair[0])
        if EASY_BEND < strain <= HARD_BEND:
            yield band_name(band), {}


@rule(
    "border bends hard",
    "warn",
    "in the {border} the {spokes} bend hard between neighbours {spacing} apart.",
    "{Spokes} are thicker than weavers and bend less willingly; no published limit for soaked {reed} was found.",
    "Soak the standing ends well, crimp them with round-nosed pliers, or use finer {spokes}.",
    "practice",
)
def _border_bend(laid, joins):
    d = laid.design.border_reed_mm
    gap = laid.border_spacing_mm - (len(laid.design.top_reeds) - 1) * d
    ratio = 2 * d / gap
    if not laid.design.border.is_open and crossings(laid.design.border):
        strain = d / 2 / stack.tightest_bend(ratio, gap)
        if strain > HARD_BEND:
            yield "border", {"spacing": shown(laid.design, laid.border_spacing_mm)}


@rule(
    "crimp at the turn",
    "note",
    "the {spokes} turn up through {angle:.0f} degrees at the edge of the base.",
    "A dry {spoke} snaps at a sharp turn.",
    "Soak the ends and nip each {spoke} flat with round-nosed pliers where it turns up.",
    "practice",
)
def _turn(laid, joins):
    if not laid.design.spokes.inserted and laid.side and not laid.design.base.is_board:
        yield "turn", {"angle": 90 - math.degrees(laid.design.form.lean(0.0))}


RULES = (
    _uneven,
    _fine_spokes,
    _jump,
    _wraps,
    _no_room,
    _hard_bend,
    _usual_bend,
    _border_bend,
    _turn,
)
