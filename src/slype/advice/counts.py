"""Advice on counts: does the weave lock, close and divide on this many spokes?"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain

from ..errors import Unweavable
from ..lay.values import TIGHTEST_RATIO, BandLaid, Laid
from ..weave.trace import locked, trace
from ..words import listed, say
from .book import Offer, band_name, rule, shown
from .remedies import (
    count_offers,
    finer_offers,
    locks_on,
    offer,
    shorter_borders,
)

WRAP_RATIO = 0.66
"""D/p from which a springy weaver must wrap round the spoke (derived from the bent rod)."""
MOST_TAKE_UP = math.pi / 2
"""Length over ring of a taut weaver at the jam, half circles round every post. Source: Peirce 1937."""


def counts_that_lock(band: BandLaid, near: int, most: int = 4) -> list[int]:
    """Counts nearest to `near` on which the band's weave holds every spoke on both sides."""
    good = []
    for count in sorted(range(max(3, near - 12), near + 13), key=lambda n: (abs(n - near), n)):
        try:
            if locked(trace(band.band.weave, count, 2 * band.band.weave.reach)):
                good.append(count)
        except Unweavable:
            continue
        if len(good) == most:
            break
    return sorted(good)


def _in_pairs(laid: Laid) -> bool:
    """True where every end at the side is one of the two of a stick along or across."""
    return not laid.design.form.is_round and not laid.design.spokes.inserted and not laid.design.base.is_board


HOLD_ON_ANY = ("chasing", "pairing")
"""Weaves that hold where a single weaver passes every end always on the same side."""


@rule(
    "weavers lie alike",
    "warn",
    "{many} weavers go round one after the other, and a stroke passes {reach} {spokes}: weaver {later} passes every "
    "{spoke} on the same face as weaver 1.",
    "At the end of a row weaver {later} waits below weaver 1 on one {spoke} and lies over it on the next. They press "
    "into each other there, and no reckoning brings them to rest.",
    "Use {reach} weavers or fewer, or a stroke that passes {many} {spokes}.",
    "derived",
)
def _alike(laid, joins):
    for band in laid.bands:
        weave = band.band.weave
        if weave.turns == "round" and weave.weavers > weave.reach:
            yield band_name(band), {"many": weave.weavers, "reach": weave.reach, "later": weave.reach + 1}


@rule(
    "weave does not lock",
    "stop",
    "on {count} {units}, {weave} passes some of them always on the same side.",
    "A {spoke} that is passed on one side only is not held; the wall falls open.",
    "Use {better}{good}.",
    "derived",
    button=True,
)
def _unlocked(laid, joins):
    spokes = say("{spokes}", laid.design.wording)
    for band in laid.bands:
        if not band.locked:
            good, where = counts_that_lock(band, band.spaces), band.band.where
            if _in_pairs(laid):
                good = [count for count in good if count * band.band.group % 2 == 0]
            name, units = band.band.weave.name, "groups" if band.band.group > 1 else spokes
            odd = _odd_alone(band)
            more = f"; {name} by itself holds on {listed(list(map(str, good)))} {units}"
            # Where ends are added on the way, how many to begin with and how many to add is the maker's choice.
            alone = band.band.group == 1 and band.tier == 0
            counts = count_offers(laid, where, band.spaces, better=f"{{count}} {spokes}") if alone else tuple
            yield (
                band_name(band),
                {
                    "count": band.spaces,
                    "units": units,
                    "weave": name,
                    "better": "another weave (two weavers chasing, or pairing)",
                    "good": more if good else "",
                    "offers": lambda counts=counts, band=band, odd=odd: chain(odd, counts(), _held_by_another(band)),
                },
            )


def _odd_alone(band: BandLaid) -> list[Offer]:
    """The odd ends as a group of their own, where that makes the count of groups one on which the weave holds."""
    asked = band.band
    if asked.group == 1 or asked.odd_alone or band.ends % asked.group == 0:
        return []
    if not locks_on(asked.weave, len(replace(asked, odd_alone=True).sizes(band.ends))):
        return []
    many = band.ends % asked.group
    left = "odd end" if many == 1 else f"{many} odd ends"
    return [offer("band", band.index, "odd", to="alone", better=f"the {left} as a group alone", good="")]


def _held_by_another(band: BandLaid) -> list[Offer]:
    """Weaves that hold on the count as it is, for a band of plain colour."""
    if len(set(band.band.colours)) > 1:
        return []  # how the colours go on is the maker's choice
    index = band.index
    return [offer("band", index, "weave", to=name, better=name, good="") for name in HOLD_ON_ANY]


@rule(
    "weaver cannot pass",
    "stop",
    "the {spokes} leave a gap of {gap}, middle to middle, and no way through: {spoke} ({stand}) and weaver "
    "({weaver}) together leave too little of it.",
    "A weaver must cross from one face to the other between two neighbouring {spokes}.",
    "Use finer {reed}{like}, fewer {spokes}, or begin where the ring is wider.",
    "peirce",
    button=True,
)
def _jammed(laid, joins):
    for band in laid.bands:
        worst = band.ratio.argmax()
        # Over groups a weaver turns at the corners of the cross instead of squeezing between neighbours.
        if band.band.group == 1 and band.jammed:
            reeds = laid.design.reeds_at(band.index)
            yield (
                band_name(band),
                {
                    "gap": shown(laid.design, float(band.gap[worst])),
                    "stand": f"{max(reed.diameter_mm for reed in reeds):.2f} mm",
                    "weaver": f"{band.band.reed.diameter_mm:.2f} mm",
                    **finer_by(laid, band),
                },
            )


def finer_by(laid: Laid, band: BandLaid) -> dict[str, object]:
    """Offers of reeds with which the band's weavers no longer wrap, the thickest first, named as {like}."""
    worst = band.ratio.argmax()
    spoke = float(band.ratio[worst] * band.gap[worst]) - band.band.reed.diameter_mm
    most = WRAP_RATIO * float(band.gap[worst]) - spoke
    return {"like": "", "offers": finer_offers(band, most, laid.design.units)}


@rule(
    "more reed than the wall holds",
    "stop",
    "the weavers would have to be {ratio:.1f} times as long as the ring they go round.",
    "Even a weaver that wraps every {spoke} as tightly as it can is no more than 1.57 times as long as its ring.",
    "Use fewer weavers or strands{fewer}, finer {reed}{like}, or fewer {spokes}.",
    "peirce",
    button=True,
)
def _too_much_reed(laid, joins):
    for band in laid.bands:
        most = float(band.take_up.max())
        if band.band.weave.turns != "back" and most > MOST_TAKE_UP and band.ratio.max() < TIGHTEST_RATIO:
            fewer = [
                offer("band", band.index, "strands", to=n, fewer=f" (strands = {n})", like="")
                for n in range(band.band.strands - 1, 0, -1)
            ]
            finer = [
                Offer(each.changes, {**each.words, "fewer": ""})
                for each in finer_offers(band, band.band.reed.diameter_mm, laid.design.units)
            ]
            yield band_name(band), {"ratio": most, "fewer": "", "like": "", "offers": (*fewer, *finer)}


@rule(
    "border too long for the count",
    "stop",
    "on {ends} {spokes} an end of this {border} comes round to itself; it takes {need} or more.",
    "Each end passes {reach} {spokes} in all and must lie in a new place at every step.",
    "Use a shorter {border}{like} or at least {need} {spokes}.",
    "derived",
    button=True,
)
def _border_count(laid, joins):
    border, ends = laid.design.border, laid.design.top_ends
    if ends < border.smallest_ends:
        yield (
            "border",
            {
                "ends": ends,
                "need": border.smallest_ends,
                "reach": border.reach,
                "like": "",
                "offers": lambda: [
                    offer("border", "kind", to=kind, like=f' (kind = "{kind}")') for kind in shorter_borders(ends)
                ],
            },
        )


@rule(
    "chasing on an odd count",
    "note",
    "{weave} is meant for even counts; on {count} one weaver alone would do.",
    "On an odd count a single weaver already alternates from row to row.",
    "Use randing, or keep it if you want the two {colours} to cross.",
    "gill",
    button=True,
)
def _odd_chase(laid, joins):
    for band in laid.bands:
        if band.band.weave.name == "chasing" and band.band.weave.cycle == ((1, 1),) and band.spaces % 2:
            # One weaver has one colour: with two, which is to go is the maker's choice.
            one = (offer("band", band.index, "weave", to="randing"),) if len(set(band.band.colours)) == 1 else ()
            yield band_name(band), {"weave": "chasing", "count": band.spaces, "offers": one}


@rule(
    "colours do not close",
    "warn",
    "{many} {colours} in turn do not go evenly into {count} spaces, so two that should not will meet.",
    "With a weaver in every space the {colour} order must close up round the basket.",
    "Use a count that {many} divides{like}, or another {colour} order.",
    "derived",
    button=True,
)
def _colour_close(laid, joins):
    for band in laid.bands:
        many = len(band.band.colours)
        if band.band.weave.weavers == 0 and many > 1 and band.spaces % many:
            where, offers = band.band.where, ()
            if band.band.group == 1:
                begun = laid.design.spokes.ends_at_base if where == "base" else laid.design.spokes.ends
                more = band.ends - begun
                offers = count_offers(
                    laid, where, begun, lambda count, many=many, more=more: (count + more) % many == 0,
                    like=" (ends = {count})" if more else " ({count})",
                )  # fmt: skip
            yield band_name(band), {"many": many, "count": band.spaces, "like": "", "offers": offers}


RULES = (_alike, _unlocked, _jammed, _too_much_reed, _border_count, _odd_chase, _colour_close)
