"""Advice on how far apart ends stand round the base and up the wall: one remark, one count, one remedy."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import islice
from types import MappingProxyType

import numpy as np

from ..design.counts import most_added
from ..errors import Unweavable
from ..form.tiers import FEWEST_ENDS, MOST_ENDS
from ..lay.laying import lay
from ..lay.spacing import stretches
from ..lay.values import BandLaid, Laid
from ..words import listed
from .book import Offer, Rule, rule, shown, shown_apart
from .remedies import counts_that_hold, locks_on, offer

SPACING_MM = (12.7, 24.0)
"""Spacing of ends at the base's edge in Gill's and Shaw's baskets, 1/2 to 15/16 inch (source id: derived)."""
MOUTH_MM = 32.0
"""Beyond this the border's ends span too far to lie firm (common practice, no source)."""
FLARED, DRAWN_IN, AT_TURN = 1.25, 0.8, 0.9
"""How far the widest row, the mouth and the turn may leave the base's range of spacings (common practice, no
source)."""


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
def spacings(laid: Laid) -> Mapping[str, Place]:
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
    out |= {"added ends": min(added, key=lambda place: place.closest)} if added else {}
    return MappingProxyType(out)


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


def _suits(laid: Laid, count: int, places: Iterable[str] | None = None) -> bool:
    """True when with so many ends to begin with no place stands out, or none of `places`."""
    more = count - laid.design.spokes.ends
    return all(
        _limit(at, False) <= place.closest * share and place.widest * share <= _limit(at, True)
        for at, place in spacings(laid).items()
        if places is None or at in places
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


def _better(found: Place) -> int:
    """Ends that would stand as far apart at a place as those of the handbooks do at theirs."""
    return min(MOST_ENDS, max(FEWEST_ENDS, round(found.mean * found.ends / (sum(SPACING_MM) / 2))))


def _out_of_range(laid: Laid, wide: bool) -> list[str]:
    """Places where ends stand too far apart, or too close, from the one that is told: its count is the remedy for all.

    Far apart at the base's edge, more ends are needed from the start, and they stand further up as well; far apart at
    the mouth, the border decides. Otherwise the place furthest out of range comes first. Added ends have a remedy of
    their own.
    """
    out = {}
    for place, found in spacings(laid).items():
        if place == "added ends" or (place == "widest" and not wide):
            continue
        share = found.widest / _limit(place, True) if wide else _limit(place, False) / found.closest
        if share > 1:
            out[place] = (wide and place == "base edge", wide and place == "mouth", share)
    return sorted(out, key=lambda place: out[place], reverse=True)


def _ends_found(laid: Laid, found: Place, place: str, wide: bool, others: list[str]) -> dict[str, object]:
    """`about` how many ends would stand well at a place in words, and the `offers`: the smallest change with which no
    place stands out; more ends here that are too many there are for the maker to weigh."""
    ends = found.ends
    if place == "added ends":
        index = next(band.index for band in laid.side if band.tier == found.tier)
        adds, better = band_adds(laid, index), _better(found)
        fewer = sorted(range(1, adds), key=lambda n: (abs(n - adds - better + ends), n))[:TRIES]
        return {
            "how": "",
            "offers": lambda: (
                offer("band", index, "add", to=n, how=f" (add = {n})") for n in fewer if _with_add(laid, index, n)
            ),
        }
    least = _least_change(found, place, wide)
    step, woven = (1 if wide else -1), [band.band for band in laid.side if band.tier == found.tier]
    near = (n for n in range(least, least + step * TRIES, step) if n >= FEWEST_ENDS)
    told = next((n for n in near if all(locks_on(band.weave, band.spaces(n)) for band in woven)), least)
    side = "or more" if wide else "or fewer"
    return {
        "about": f"{told} ends {side}",
        "how": ": some of them added where the spaces have grown (add = … in that band)"
        if wide and place in ("widest", "mouth")
        else ", and look at the other places they pass",
        "offers": lambda: _counts_found(laid, found, wide, place, others, least - ends),
    }


def _counts_found(laid: Laid, found: Place, wide: bool, place: str, others: list[str], least: int) -> list[Offer]:
    begun = laid.design.spokes.ends
    more = found.ends - begun  # added on the way
    adding = _adding(laid, least) if wide and place in ("widest", "mouth") else []
    other = f", or leave the base as it is and {adding[0].words['instead']}" if adding else ""
    offers = [
        offer("spokes", "ends", to=count, about=f"{count + more} ends", how=f" (ends = {count})" * bool(more) + other)
        for count in islice(counts_that_hold(laid, "side", begun, lambda n: (n > begun) == wide), MOST_COUNTS)
        if _suits(laid, count, [place, *others])
    ]
    # An odd count asks for a half stick in the base, which is more to do than one end more.
    offers.sort(key=lambda each: (not _suits(laid, each.changes[0]["to"]), each.changes[0]["to"] % 2 > begun % 2))
    # Where the base carries no more ends no count helps, and ends that are added must still have their turn.
    return offers[:FEW_COUNTS] + adding + offers[FEW_COUNTS:]


MOST_COUNTS = 40
"""Counts of ends that are looked at for a remedy."""
FEW_COUNTS = 4
"""Counts that are offered before ends added on the way."""


def _least_change(found: Place, place: str, wide: bool) -> int:
    """The count nearest to the one that stands there with which a place is in range."""
    if wide:
        return math.ceil(found.ends * found.widest / _limit(place, True) - 1e-9)
    return math.floor(found.ends * found.closest / _limit(place, False) + 1e-9)


def _adding(laid: Laid, least: int) -> list[Offer]:
    """Offers to add ends where the spaces grow, before a band of the side: as few as will do."""
    out = []
    for band in laid.side[1:] if laid.design.bye_spokes is None else ():
        adds = band_adds(laid, band.index)
        near = next(
            (n for n in range(max(1, least), max(1, least) + TRIES) if _with_add(laid, band.index, adds + n)), 0
        )
        if near:
            whole, ends = adds + near, band.ends + near
            told = f"add {whole}{' in all' if adds else ''} before band {band.index + 1} (add = {whole})"
            out.append(offer("band", band.index, "add", to=whole, about=f"{ends} ends", how=f": {told}", instead=told))
    return out


TRIES = 8
"""How many counts of added ends are tried for a remedy."""


def _told_apart(laid: Laid, place: str, wide: bool) -> str:
    """How far apart ends stand at a place, in words: the furthest, or the closest."""
    found = spacings(laid)[place]
    mm = found.widest if wide else found.closest
    apart = shown_apart(laid.design, mm, _limit(place, wide))
    if found.widest > found.closest * ALIKE:
        return f"up to {apart}" if wide else f"as little as {apart}"
    return apart


def _spacing_rule(place: str, wide: bool) -> Rule:
    limit = _limit(place, wide)
    said = "far apart" if wide else "close"
    remedy = "Use {about}{how}." if wide else "Use {about}{how}, or finer {spokes}."
    if wide and place in ("widest", "mouth"):
        remedy = "Use {about} there{how}."
    elif place == "added ends":
        remedy = "Add fewer{how}, or add them further up where the ring is wider."

    def look(laid, joins):
        found = spacings(laid).get(place)
        places = _out_of_range(laid, wide)
        if place == "added ends" and found is not None and found.closest < limit:
            places = [place]
        if places[:1] != [place]:
            return
        every = {each: _told_apart(laid, each, wide) for each in places}
        also = listed([f"{apart} at the {each}" for each, apart in every.items() if each != place])
        yield (
            place,
            {
                "spacing": every[place],
                "also": f" (and {also})" if also else "",
                "low": shown(laid.design, SPACING_MM[0]),
                "high": shown(laid.design, limit if wide else SPACING_MM[1]),
                **_ends_found(laid, found, place, wide, places[1:]),
            },
        )

    return rule(
        f"{said} at the {place}",
        "warn",
        "the {spokes} stand {spacing} apart at the "
        + place
        + "{also}; "
        + ("up to {high} is handy there." if wide else "{low} to {high} is handy."),
        "Far apart, the weave is slack and the {border} spans too far."
        if wide
        else "Close together, the weavers bend hard and packing is slow.",
        remedy,
        "practice" if place in ("widest", "mouth") and wide else "derived",
        button=True,
    )(look)


RULES = tuple(
    _spacing_rule(place, wide)
    for place in ("base edge", "turn", "widest", "mouth", "added ends")
    for wide in (True, False)
    if (place, wide) not in (("added ends", True), ("widest", False))
)
