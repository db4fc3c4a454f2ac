"""Advice on room and reed: spacing along the wall, thickness, bends. Level 6."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from . import rods
from .band_file import most_added
from .border import crossings
from .design import FEWEST_ENDS, MOST_ENDS
from .errors import Unweavable
from .lay import TIGHTEST_RATIO, BandLaid, Laid, lay
from .mends import (
    changes_found,
    count_that_holds,
    finer_reed,
    firm_band,
    like,
    put,
    reed_between,
    reed_value,
    set_to,
)
from .quantity import show_fine
from .rule_book import band_name, rule, shown
from .rules_count import WRAP_RATIO, finer_by
from .spacing import long_sticks, stretches

SPACING_MM = (12.7, 24.0)
"""Spacing of ends at the base's edge in Gill's and Shaw's baskets, 1/2 to 15/16 inch (source id: derived)."""
MOUTH_MM = 32.0
"""Beyond this the border's ends span too far to lie firm (common practice, no source)."""
FLARED, DRAWN_IN, AT_TURN = 1.25, 0.8, 0.9
"""How far the widest row, the mouth and the turn may leave the base's range of spacings (common practice, no
source)."""
REED_JUMP = 1.6
"""Thickness of one band's reed over its neighbour's that rides up (common practice, no source)."""
EASY_BEND, HARD_BEND = 0.10, 0.25
"""Nominal bending strain r/R. Ordinary weaving reaches 0.10 to 0.25 and no published limit for soaked reed was found,
so these only compare a bend with what makers do daily (common practice, no source)."""


@dataclass(frozen=True)
class Place:
    """Ends on one ring: `ends` of them, of the `tier` of that number, from `closest` to `widest` mm apart; both alike
    on a round basket."""

    ends: int
    closest: float
    widest: float
    tier: int = 0

    @property
    def mean(self) -> float:
        """Mean of the two, mm."""
        return (self.closest + self.widest) / 2


@functools.lru_cache(maxsize=8)
def spacings(laid: Laid) -> dict[str, Place]:
    """How far apart the side's ends stand at named places."""
    design = laid.design
    if design.base.is_board or not design.form.is_round:
        edge = _ring_at(laid, 0, 0.0)
    else:
        even = math.pi * design.form.base_mm / design.foot_ends
        edge = Place(design.foot_ends, even, even)
    out = {"base edge": edge}
    if laid.side:  # a mat has an edge and nothing more
        rows = [_ring_at(laid, band.tier, s) for band in laid.side for s in (band.s[0], band.s[-1], _widest(band))]
        out |= {"turn": rows[0], "widest": max(rows, key=lambda place: place.widest)}
        out["mouth"] = _ring_at(laid, len(design.tiers("side")) - 1, laid.top_s)
    added = [_ring_at(laid, band.tier, float(band.s[0])) for band in laid.side if band.band.add]
    return out | ({"added ends": min(added, key=lambda place: place.closest)} if added else {})


def _widest(band: BandLaid) -> float:
    return float(band.s[int(band.radius.argmax())])


def _ring_at(laid: Laid, tier: int, s: float) -> Place:
    each = [float(part.spacing[0]) for part in stretches(laid.design, "side", tier, np.array([s]))]
    return Place(laid.design.tiers("side")[tier].ends, min(each), max(each), tier)


ALIKE = 1.02
"""Spacings of one ring that differ by less than this are told as one."""


def _limit(place: str, wide: bool) -> float:
    """Spacing, mm, beyond which ends stand far apart at a place, or below which close."""
    if place in ("base edge", "turn"):
        return SPACING_MM[1] if wide else SPACING_MM[0] * AT_TURN
    return (MOUTH_MM if place == "mouth" else SPACING_MM[1] * FLARED) if wide else SPACING_MM[0] * DRAWN_IN


def _suits(laid: Laid, count: int) -> bool:
    """True when with so many ends to begin with no place stands out: else more ends here are too many there, and a
    maker must weigh one against the other."""
    more = count - laid.design.spokes.ends
    return all(
        _limit(at, False) <= place.closest * share and place.widest * share <= _limit(at, True)
        for at, place in spacings(laid).items()
        for share in (place.ends / (place.ends + more),)
    )


def _with_add(laid: Laid, index: int, add: int) -> Laid | None:
    """The basket with so many ends added before a band, or None where that is not sound: ends stand far apart or close,
    a weave falls open or jams, or the border comes round to itself."""
    bands = list(laid.design.bands)
    bands[index] = replace(bands[index], add=add)
    if (bands[index].on_curves and add % 2) or not 0 < add <= most_added(
        laid.design.ends_at(index) - band_adds(laid, index)
    ):
        return None
    try:
        tried = lay(replace(laid.design, bands=tuple(bands)))
    except Unweavable:
        return None
    sound = all(band.locked and not band.jammed for band in tried.bands)
    sound &= tried.design.top_ends >= tried.design.border.smallest_ends
    return tried if sound and _suits(tried, tried.design.spokes.ends) else None


def band_adds(laid: Laid, index: int) -> int:
    """Ends that a band adds as it is."""
    return laid.design.bands[index].add


def _ends_found(laid: Laid, found: Place, place: str, wide: bool) -> dict[str, object]:
    """How many ends would stand well at a place: `better`, `how` to come to them in words, and the `changes`."""
    ends, begun = found.ends, laid.design.spokes.ends
    better = min(MOST_ENDS, max(FEWEST_ENDS, round(found.mean * ends / (sum(SPACING_MM) / 2))))
    if place == "added ends":
        index = next(band.index for band in laid.side if band.tier == found.tier)
        adds = band_adds(laid, index)
        for add in sorted(range(1, adds), key=lambda n: (abs(n - adds - better + ends), n))[:TRIES]:
            if _with_add(laid, index, add):
                return {"better": better, "how": f" (add = {add})", "changes": (put("band", index, "add", to=add),)}
        return {"better": better, "how": "", "changes": ()}
    held = count_that_holds(laid, "side", better - (ends - begun))
    if held and _suits(laid, held):
        how = f" (ends = {held})" if ends != begun else ""
        return {"better": held + ends - begun, "how": how, "changes": (put("spokes", "ends", to=held),)}
    if not wide or place not in ("widest", "mouth"):
        return {"better": held + ends - begun if held else better, "how": "", "changes": ()}
    more = max(1, better - ends)
    for band in laid.side[1:] if laid.design.bye is None else ():
        adds = band_adds(laid, band.index)
        for near in (more, more + 1, more - 1, more + 2):
            if _with_add(laid, band.index, adds + near):
                told = (
                    f": add {adds + near}{' in all' if adds else ''} before band {band.index + 1} (add = {adds + near})"
                )
                return {
                    "better": ends + near,
                    "how": told,
                    "changes": (put("band", band.index, "add", to=adds + near),),
                }
    told = f": add about {more} where the spaces grow (add = {more} in that band)"
    return {"better": better, "how": told, "changes": ()}


TRIES = 8
"""How many counts of added ends are tried for a remedy."""


def _spacing_rule(place: str, wide: bool):
    limit = _limit(place, wide)
    said = "far apart" if wide else "close"
    remedy = "Use about {better} ends{how}." if wide else "Use about {better} ends{how}, or finer {spokes}."
    if wide and place in ("widest", "mouth"):
        remedy = "Use about {better} ends there{how}."
    elif place == "added ends":
        remedy = "Add fewer{how}, or add them further up where the ring is wider."

    def look(laid, joins):
        found = spacings(laid).get(place)
        spacing = found and (found.widest if wide else found.closest)
        if spacing is not None and (spacing > limit if wide else spacing < limit):
            apart = shown(laid.design, spacing)
            if found.widest > found.closest * ALIKE:
                apart = f"up to {apart}" if wide else f"as little as {apart}"
            yield (
                place,
                {
                    "spacing": apart,
                    "low": shown(laid.design, SPACING_MM[0]),
                    "high": shown(laid.design, limit if wide else SPACING_MM[1]),
                    **_ends_found(laid, found, place, wide),
                },
            )

    rule(
        f"{said} at the {place}",
        "warn",
        "the {spokes} stand {spacing} apart at the "
        + place
        + "; "
        + ("up to {high} is handy there." if wide else "{low} to {high} is handy."),
        "Far apart, the weave is slack and the {border} spans too far."
        if wide
        else "Close together, the weavers bend hard and packing is slow.",
        remedy,
        "practice" if place in ("widest", "mouth") and wide else "derived",
        changes_found,
    )(look)


for _place in ("base edge", "turn", "widest", "mouth", "added ends"):
    if _place != "added ends":
        _spacing_rule(_place, True)
    if _place != "widest":
        _spacing_rule(_place, False)


UNEVEN = 1.7
"""Widest over closest spacing of one ring from which it is worth saying (common practice, no source)."""


@rule(
    "unevenly spaced",
    "warn",
    "below the {border} the {spokes} stand from {closest} to {widest} apart.",
    "Where they stand wide the weave is slack and the {border} spans too far; where they crowd, weavers bend hard.",
    "Stand them more evenly: {do}.",
    "practice",
    set_to("better", "spokes", "long_sticks"),
)
def _uneven(laid, joins):
    closest, widest = laid.closest_mm, laid.border_spacing_mm
    if widest > UNEVEN * closest:
        even = long_sticks(replace(laid.design, spokes=replace(laid.design.spokes, long_sticks=None)))
        better = None if even == long_sticks(laid.design) else even
        do = "flare the long sides and the ends alike, or add ends on the curves only"
        if better is not None:
            do = f"put more sticks along the base: long_sticks = {better} stands them about evenly"
        yield (
            "mouth",
            {
                "closest": shown(laid.design, closest),
                "widest": shown(laid.design, widest),
                "better": better,
                "do": do,
            },
        )


@rule(
    "spoke finer than weaver",
    "warn",
    "the {spokes} ({spoke_mm:.2f} mm) are not coarser than the weavers ({weaver_mm:.2f} mm).",
    "The weaver should bend round the {spoke}, not the {spoke} round the weaver; {spokes} are usually two numbers so.",
    "Use a finer weaver{like} or coarser {spokes}.",
    "white",
    set_to("finer", "band", "{index}", "reed"),
)
def _fine_spokes(laid, joins):
    for band in laid.bands:
        # Reeds worked or standing side by side count together: a pair holds against a weaver of one.
        together = math.sqrt(sum(mm * mm for mm in band.stand_mm) * band.band.group)
        if together <= band.band.reed.diameter_mm:
            # A number finer than what would just do.
            finer = finer_reed(band.band.reed, 0.9 * together, laid.design.units)
            yield (
                band_name(band),
                {
                    "spoke_mm": max(band.stand_mm),
                    "weaver_mm": band.band.reed.diameter_mm,
                    "like": like(finer),
                    "finer": finer and reed_value(finer),
                    "index": band.index,
                },
            )


@rule(
    "reed jumps",
    "note",
    "the {reed} changes from {a:.2f} to {b:.2f} mm between two neighbouring bands.",
    "A coarse row on fine ones rides up and leaves light.",
    "Put a firm row of a size between{like}.",
    "practice",
    changes_found,
)
def _jump(laid, joins):
    for a, b in pairwise(laid.side):
        thin, thick = sorted((a.band.reed.diameter_mm, b.band.reed.diameter_mm))
        if thick > REED_JUMP * thin:
            between = reed_between(a.band.reed, b.band.reed, REED_JUMP, laid.design.units)
            firm = between and firm_band(between, 1, b.ends)
            yield (
                band_name(b),
                {
                    "a": a.band.reed.diameter_mm,
                    "b": b.band.reed.diameter_mm,
                    "like": like(between),
                    "changes": ({"insert": ["band"], "at": b.index, "value": firm},) if firm else (),
                },
            )


@rule(
    "weaver wraps the spokes",
    "warn",
    "the {spokes} stand so close ({gap} apart) that the weaver must wrap round each one: the two thicknesses fill "
    "{ratio:.0%} of the gap, where 66 % is the most for an easy bend.",
    "Reed forced round so short a bend packs badly and may crack.",
    "A finer weaver{like}, fewer {spokes}, or groups until the ring is wider.",
    "bisshopp",
    set_to("finer", "band", "{index}", "reed"),
)
def _wraps(laid, joins):
    for band in laid.bands:
        worst = float(band.ratio.max())
        if band.band.group == 1 and WRAP_RATIO < worst < TIGHTEST_RATIO:
            gap = float(band.gap[band.ratio.argmax()])
            yield band_name(band), {"ratio": worst, "gap": shown(laid.design, gap), **finer_by(laid, band)}


def bend_of(band: BandLaid) -> tuple[float, float]:
    """(tightest radius mm, nominal strain r/R) of a band's weavers: of relaxed reeds, or else of a bent-rod cell."""
    if band.at_rest is not None:
        strain = max(band.at_rest.bend.value, 1e-9)
        return band.band.reed.diameter_mm / 2 / strain, strain
    i = int(band.ratio.argmax())
    radius = rods.tightest_bend(min(float(band.ratio[i]), TIGHTEST_RATIO), float(band.gap[i]))
    return radius, band.band.reed.diameter_mm / 2 / radius


@rule(
    "hard bend",
    "warn",
    "the weavers bend harder than makers usually ask: to a radius of {radius}, which stretches the outer side "
    "by {strain:.0%}.",
    "Ordinary weaving bends {reed} by 10 to 25 %. There is no published limit for soaked {reed}: this only says that "
    "the bend is harder than makers usually ask.",
    "Soak longer, crimp the {reed} with round-nosed pliers where it bends, use finer {reed}, or stand the {spokes} "
    "wider.",
    "practice",
)
def _hard_bend(laid, joins):
    for band in laid.bands:
        radius, strain = bend_of(band)
        if band.band.group == 1 and strain > HARD_BEND:
            yield band_name(band), {"radius": show_fine(radius, laid.design.units), "strain": strain}


@rule(
    "usual bend",
    "note",
    "the weavers bend as in ordinary weaving: the outer side stretches by {strain:.0%} (10 to 25 % is usual).",
    "No published limit for soaked {reed} was found; rattan stretches plastically when wet.",
    "Keep the {reed} damp while weaving.",
    "gu-zhang",
)
def _usual_bend(laid, joins):
    bends = [(bend_of(band)[1], band) for band in laid.bands if band.band.group == 1]
    if bends:
        strain, band = max(bends, key=lambda pair: pair[0])
        if EASY_BEND < strain <= HARD_BEND:
            yield band_name(band), {"strain": strain}


@rule(
    "border bends hard",
    "warn",
    "in the {border} the {spokes} bend hard between neighbours {spacing} apart: the outer side stretches by "
    "{strain:.0%}.",
    "{Spokes} are thicker than weavers and bend less willingly; no published limit for soaked {reed} was found.",
    "Soak the standing ends well, crimp them with round-nosed pliers, or use finer {spokes}.",
    "practice",
)
def _border_bend(laid, joins):
    d = laid.design.border_reed_mm
    gap = laid.border_spacing_mm - (len(laid.design.top_reeds) - 1) * d
    ratio = 2 * d / gap
    if not laid.design.border.is_open and crossings(laid.design.border):
        strain = d / 2 / rods.tightest_bend(ratio, gap)
        if strain > HARD_BEND:
            yield "border", {"spacing": shown(laid.design, laid.border_spacing_mm), "strain": strain}


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
