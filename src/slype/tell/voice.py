"""How the handout says things: one voice per design, lengths to cut, names of bands and pieces.

`tell.steps`, `tell.bands`, `tell.strokes` and `paper.sheet` share these, so that one thing has one name on every page.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from ..advice.spacing import Place
from ..design.values import Design
from ..lay.values import BandLaid, Laid
from ..plans.fits import Fit
from ..plans.planning import Piece, Plan
from ..quantity import MM_PER_IN, show_cut, show_length
from ..reeds import Reed
from ..rest.values import AtRest
from ..weave.reasons import reason
from ..words import listed, say, several, worded


def voice(design: Design, flat: bool = False) -> tuple[Callable[..., str], Callable[[float], str]]:
    """(tell, long): fills a template in the design's wording and hand, of what is `flat` or has a wall; prints a length
    in its units."""
    return partial(say, wording=design.wording, hand=design.hand, flat=flat), partial(show_length, units=design.units)


def band_title(plan: Plan, index: int) -> str:
    """The title of one of its bands."""
    return title_of_band(plan.design, plan.laid, index)


def title_of_band(design: Design, whole: Laid, index: int) -> str:
    """`Band 2, base: pairing over groups of 2`; free weaves are told by their strokes."""
    band = whole.bands[index]
    asked = band.band
    name = asked.weave.named(design.wording)
    if asked.weave.name == "free weave":
        name = f"{several(len(band.colours), 'weaver')}, {asked.weave.stroke_words()}"
    sizes = [asked.group] if asked.odd_alone else sorted(set(band.sizes))
    over = f" over groups of {listed([str(size) for size in sizes])}" if asked.group > 1 else ""
    over += ", the odd alone" if asked.group > 1 and asked.odd_alone else ""
    first = bool(whole.side) and band is whole.side[0] and not design.of_lid
    upsett = say(" (the {upsett})", design.wording) if first and asked.weave.is_wale else ""
    where = "top" if design.of_lid and asked.where == "base" else asked.where
    return f"Band {index + 1}, {where}: {name}{over}{upsett}"


def piece_name(piece: Piece, wording: str) -> str:
    """The piece in the design's wording, one or several: `half stake`, `side stakes`."""
    return worded(piece.name if piece.count == 1 else f"{piece.name}s", wording)


def reed_short(reed: Reed, wording: str) -> str:
    """A reed as a sentence names it: by its number in the reader's own series, else by its thickness."""
    if reed.series in (wording, "own"):
        return reed.named(wording)
    return f"{reed.diameter_mm:.1f} mm {worded('{reed}', wording)}"


def reed_sized(reed: Reed, wording: str) -> str:
    """A reed as a list names it, with its thickness: `No. 4 round reed, 2.8 mm`, `2.8 mm cane (American No. 4)`."""
    thick = f"{reed.diameter_mm:.1f} mm"
    if reed.series == wording:
        return f"{reed.named(wording)}, {thick}"
    if reed.series == "own":
        return reed.named(wording) if not reed.key else f"{reed.named(wording)}, {thick}"
    whose = "American" if reed.series == "us" else "British"
    return f"{reed_short(reed, wording)} ({whose} No. {reed.key.split()[1]})"


def soaking_told(plan: Plan) -> list[str]:
    """`No. 6 and No. 8 centre cane: 15 to 20 minutes`: one line for all that soak alike."""
    alike: dict[str, list[str]] = {}
    for reed, soak in plan.soaking:
        alike.setdefault(soak.told, []).append(reed.named(plan.design.wording))
    return [f"{listed(names)}: {words}" for words, names in alike.items()]


def in_both(design: Design) -> bool:
    """True for a British reader of a design in inches, who measures by either side of the tape."""
    return design.wording == "uk" and design.units == "in"


def with_cm(design: Design, told: str, *mm: float) -> str:
    """A length as it is `told`, to the eighth of an inch; for a British reader with the centimetres of that eighth."""
    if not in_both(design):
        return told
    eighth = MM_PER_IN / 8
    return f"{told} ({' by '.join(f'{round(each / eighth) * eighth / 10:.1f}' for each in mm)} cm)"


def length_with_cm(design: Design, mm: float) -> str:
    """A length as it is measured; for a British reader of a design in inches with its centimetres beside it."""
    return with_cm(design, show_length(mm, design.units), mm)


def thin_told(design: Design, told: str, mm: float) -> str:
    """A gap or a row as it is `told`; for a British reader of a design in inches with its millimetres beside it."""
    return f"{told} ({mm:.0f} mm)" if in_both(design) else told


def length_to_cut(design: Design, mm: float, part: int = 1) -> str:
    """A length to cut, rounded up to 1/`part` inch or a centimetre (see `quantity.show_cut`); for a British reader of a
    design in inches with the centimetres of those inches beside it."""
    told, step = show_cut(mm, design.units, part=part), MM_PER_IN / part
    return f"{told} ({show_cut(math.ceil(mm / step - 1e-6) * step, 'cm')})" if in_both(design) else told


LEAST_BY_EYE_MM = 20.0
"""Shorter ones are told to the millimetre: half a centimetre more would be too much of them."""


def show_about(mm: float, units: str) -> str:
    """A length judged by eye: to the half inch, or half centimetre."""
    if units == "in":
        return show_length(mm, units, 2)
    if mm < LEAST_BY_EYE_MM:
        return show_length(round(mm), units)
    return show_length(round(mm / 5) * 5, units).replace(".0 cm", " cm")


def length_by_eye(design: Design, mm: float) -> str:
    """A length judged by eye; for a British reader of a design in inches with its centimetres beside it."""
    told, half = show_about(mm, design.units), MM_PER_IN / 2
    return f"{told} ({show_about(round(mm / half) * half, 'cm')})" if in_both(design) else told


def count_from_one(space: int, spaces: int) -> int:
    """A space as the maker counts it: from 1, in the direction of work."""
    return space % spaces + 1


def fit_told(design: Design, size: str, found: Fit) -> str:
    """How a box sits, in a sentence or two: yes or no first."""
    spare = show_length(abs(found.spare_mm), design.units, 16)
    where = "on the floor of it"
    if found.height_mm > 0.5:
        where = f"{show_length(found.height_mm, design.units)} above the floor"
    corners = "" if design.form.outline == "rectangle" else "; its square corners meet the round of the wall first"
    if found.sits:
        said = f"Yes: {size} sits in it, with {spare} to spare all round where it is tightest, {where}."
    elif found.spare_mm >= 0:
        said = f"No: {size} goes in with only {spare} to spare all round, {where}, too little to lift it out again."
    else:
        said = f"No: {size} does not go in. It would have to be {spare} smaller on every side, {where}{corners}."
    if found.proud_mm > 0:
        said += f" It stands {show_length(found.proud_mm, design.units)} above the last row."
    return said


def ring_across(design: Design, s: float) -> str:
    """How wide the ring of spokes is at `s` mm up the wall: `9 1/4 in`, or `13 in by 8 1/2 in`."""
    length, width, _ = (float(each) for each in design.form.sides(s))
    return _across(design, length, width)


def base_across(design: Design, half_mm: float | None = None) -> str:
    """How wide the base is, or its weaving once it has come to half the width `half_mm`."""
    form = design.form
    if half_mm is None:
        return _across(design, form.base_length_mm, form.base_width_mm)
    return _across(design, form.base_straight_mm + 2 * half_mm, 2 * half_mm)


def woven_across(laid: Laid, band: BandLaid, s: float) -> str:
    """How wide the work is when a band has come to `s` mm. The last row of a base lies within a reed of its edge: it is
    told as the base is told everywhere, and what comes before it in step with that."""
    design = laid.design
    if band.band.where != "base":
        return ring_across(design, s)
    if band is not laid.base[-1]:
        return base_across(design, s)
    share = (s - band.start_s) / (band.end_s - band.start_s)
    return base_across(design, s + share * (laid.base_told_mm / 2 - band.end_s))


def _across(design: Design, length: float, width: float) -> str:
    if design.form.is_round:
        return with_cm(design, show_length(width, design.units), width)
    told = f"{show_length(length, design.units)} by {show_length(width, design.units)}"
    return with_cm(design, told, length, width)


def whence(plan: Plan) -> str:
    """Where heights and lengths come from, and what the other way of reckoning says: one sentence or two."""
    rest, units = plan.at_rest, plan.design.units
    if rest is None:
        return "Heights and lengths are quick ones, from rows simply stacked, good to a few in a hundred."
    woven, before = (
        sum(float(band.row_mm.sum()) * len(band.colours) * band.band.strands for band in laid.bands)
        for laid in (rest.laid, rest.stacked)
    )
    return (
        f"Heights and lengths are those of {_what_rests(plan)}. Rows simply stacked would stand "
        f"{show_length(rest.stacked.top_s, units)} up the wall and take {show_length(abs(before - woven), units)} "
        f"{'more' if before > woven else 'less'} weaver in all; remarks are reckoned from that. {deepest(rest)}"
    )


def apart(place: Place, units: str) -> str:
    """How far apart ends stand at a place, `7/16 to 5/8 in`."""
    closest, widest = (show_length(mm, units, 16) for mm in (place.closest, place.widest))
    return closest if closest == widest else f"{closest} to {widest}"


def reason_in_words(band: BandLaid, design: Design) -> str:
    """Why its colours do that on this count of spaces; "" where it has only one."""
    if len(set(band.band.colours)) == 1:
        return ""
    why = reason(band.band.weave, band.ends, band.spaces, band.effect, len(band.band.colours))
    return worded(why, design.wording)


def effect_in_words(band: BandLaid, hand: str) -> str:
    """What the colours of one band do, outside and inside."""
    if len(set(band.band.colours)) == 1:
        return f"{band.band.colours[0]} all over"
    outside, inside = band.effect.words(hand), band.effect_inside.words(hand, inside=True)
    return f"outside and inside {outside}" if outside == inside else f"outside {outside}; inside {inside}"


def deepest(rest: AtRest) -> str:
    """The worst overlap of two reeds anywhere in a settled basket, in a sentence."""
    found, wording = rest.together, rest.design.wording
    if not found.worst:
        return say("Nowhere does one {reed} lie in another.", wording)
    where = "; ".join(worded(name, wording) for name in found.between)
    share = max(round(100 * found.worst), 1)
    if found.apart:
        return say("Nowhere does one {reed} lie deeper in another than {share} hundredths of a thickness: {where}.",
                   wording, share=share, where=where)  # fmt: skip
    return say("Two pieces of {reed} lie in each other, {share} hundredths of a thickness deep: {where}. They are not "
               "at rest, and there the picture is wrong.", wording, share=share, where=where)  # fmt: skip


def _what_rests(made: Plan) -> str:
    """`the whole basket, settled`, or what of it would not settle."""
    out = unsettled(made)
    return f"the settled basket, {out}" if out else "the whole basket, settled"


def unsettled(made: Plan) -> str:
    """What did not come to rest, in words that follow a comma; "" where all did."""
    named: dict[bool, list[str]] = {False: [], True: []}
    for whose, each in (("", made), ("the lid's ", made.lid)):
        if each is not None:
            for part in each.laid.unsettled:
                named[part.tangled].append(f"{whose or 'the '}{worded(part.part, made.design.wording)}")
    out = []
    if named[True]:
        out.append(f"but for {listed(named[True])}, which would not come to rest and keeps its quick figures")
    if named[False]:
        out.append(f"with {listed(named[False])} not quite at rest")
    if made.at_rest is not None and not made.at_rest.together.apart:
        one, other = (worded(name, made.design.wording) for name in made.at_rest.together.between)
        out.append(f"with {one} and {other} not at rest where they meet")
    return ", ".join(out)
