"""Advice on what is fitted to a basket, and on what it stands on: handles, lids, boards, crowns. None of "
"it rates a strength."""

from __future__ import annotations

import math
from itertools import combinations

from ..form.lids import MOST_OVERHANG_MM, PLAY_MM
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.boards import board_holes
from ..lay.laying import lay
from ..lay.lids import across_as_woven, fit_lid
from ..lay.values import Laid
from ..quantity import MM_PER_IN
from ..words import say
from .book import rule, shown
from .remedies import count_offers, offer

THINNEST_CORE = 235.0
"""Length of a handle's core over its thickness, beyond which no single core in Gill's lists goes: model 25 hangs from
39 inches of No. 6. Derived; the thickness of the number is from memory."""

CROWN, CROWN_FROM_MM = 1 / 16, 8 * MM_PER_IN
"""How high the middle of a woven base is pressed up, over its width, and from what width a flat one rocks (common
practice, no source)."""
WEB = 1.0
"""Wood between two holes, or between a hole and the edge, in holes: less may split (common practice, no source)."""


@rule(
    "handle core thin for its length",
    "warn",
    "the core is {ratio:.0f} times as long as it is thick; the longest in published lists is about {most} times.",
    "A core thinner than usual bows out of shape. This compares lengths only: a handle's strength is not rated.",
    "Lay two or more side by side (cores = 2), use a thicker core, or a lower arch.",
    "gill",
    button=True,
)
def _thin_core(laid, joins):
    for each in lay_handles(laid):
        # Reeds side by side or twisted stiffen each other little: only a single one can be held against the lists.
        if each.handle.cores > 1 or each.handle.core is None:
            continue
        ratio = each.legs_mm / each.handle.thickest_mm
        if ratio > THINNEST_CORE:
            offers = (offer("handle", each.index, "cores", to=2),)
            yield each.place, {"ratio": ratio, "most": f"{THINNEST_CORE:.0f}", "offers": offers}


@rule(
    "handle on an odd count",
    "note",
    "{ends} is odd, so its feet stand {short} {spokes} apart one way round and {long} the other.",
    "Published baskets with handles mostly stand on even counts; some stand on 13, 19 and 21.",
    "Set it half a space off the middle and look from above before you push it down{like}.",
    "blanchard",
    button=True,
)
def _odd_handle(laid, joins):
    ends = laid.design.top_ends
    for each in lay_handles(laid):
        if ends % 2 and not each.handle.record.at_side and each.spaces == ends // 2:
            begun = laid.design.spokes.ends
            offers = count_offers(
                laid, "side", begun, lambda count, more=ends - begun: (count + more) % 2 == 0,
                like=", or use an even count (" + ("{count})" if ends == begun else "ends = {count})"),
            )  # fmt: skip
            found = {"ends": ends, "short": each.spaces, "long": ends - each.spaces, "like": ""}
            yield each.place, {**found, "offers": offers}


@rule(
    "handle set shallow",
    "warn",
    "its ends go down {deep}, less than the usual {usual}.",
    "An end that is pushed down little slips out; how deep is enough nobody has measured.",
    "{how}, or peg it below the {border}. A handle's strength is not rated.",
    "gill",
    button=True,
)
def _shallow(laid, joins):
    for each in lay_handles(laid):
        usual = each.handle.record.pushed_mm
        if each.depth_mm < 0.75 * usual:
            said = shown(laid.design, usual)
            room = each.handle.depth_mm is not None and usual <= laid.top_s + laid.border_height_mm
            yield (
                each.place,
                {
                    "deep": shown(laid.design, each.depth_mm),
                    "usual": said,
                    "how": "Push it deeper" if room else "Weave a higher side, push it deeper",
                    "offers": (offer("handle", each.index, "depth", to=said, how=f"Push it {said} deep"),) * room,
                },
            )


@rule(
    "lid play",
    "warn",
    "woven in whole rows the lid comes out {across} across, which leaves {play} of play all round; {usual} is usual.",
    "Damp {reed} swells and hands pull a ring out of round; a lid with less play binds, with more it slips or rattles.",
    "Change its rows or its width (across = …), or ask for another play.",
    "practice",
)
def _lid_play(laid, joins):
    fit = fit_lid(laid)
    if fit is None or fit.seat.name == "on":
        return
    across = across_as_woven(fit, lay(fit.design))
    play = fit.play_mm + (fit.across_mm - across) / 2 * (1 if fit.seat.name == "inside" else -1)
    if not PLAY_MM / 2 <= play <= MOST_OVERHANG_MM:
        show = laid.design
        yield "lid", {"across": shown(show, across), "play": shown(show, play), "usual": shown(show, PLAY_MM)}


@rule(
    "lid may slide",
    "note",
    "a flat lid that only lies on the {border} is kept by nothing.",
    "It slides when the basket is tilted.",
    'Tie it with a loop or two, or weave it with a side (seat = "over").',
    "practice",
)
def _lid_slides(laid, joins):
    if laid.design.lid is not None and laid.design.lid.seat == "on":
        yield "lid", {}


@rule(
    "lid meets a handle",
    "warn",
    "{handle} stands in the {border}, where the lid comes to lie: the lid cannot go on as it is.",
    "A lid that lies on the {border} or goes over it is as wide as the mouth, and a handle's feet stand in its way.",
    "{do}Notch the lid at the handle's feet, hinge it in two halves along the handle, seat it inside the mouth, or "
    "leave the handle out.",
    "practice",
    button=True,
)
def _lid_meets(laid, joins):
    if laid.design.lid is None or laid.design.lid.seat == "inside":
        return
    handles = lay_handles(laid)
    if handles:
        inside = offer("lid", "seat", to="inside", do='seat = "inside" does it. ')
        name = handles[0].handle.record.named(laid.design.wording)
        yield "lid", {"handle": f"a {name}", "do": "", "offers": (inside,)}


@rule(
    "bows run into each other",
    "warn",
    "{which} {meet}.",
    "Two arches cannot be in one place.",
    "Leave one out{like}; two arches side by side are one handle of two cores (cores = 2).",
    "practice",
    button=True,
)
def _bows_meet(laid, joins):
    ends = laid.design.top_ends
    bows = [(each, feet) for each in lay_handles(laid) if not each.handle.record.at_side for feet in each.feet(ends)]
    for (a, mine), (b, theirs) in combinations(bows, 2):
        thick = (_thickness(a) + _thickness(b)) / 2
        which = f"two of {a.place}" if a is b else f"{a.place} and {b.place}"
        if set(mine) & set(theirs):
            meet = say("stand beside the same {spoke}", laid.design.wording)
        elif abs(a.height_mm - b.height_mm) < thick:
            meet = "cross at one height"
        else:
            continue
        many = a.handle.count - 1
        fewer = offer("handle", a.index, "count", to=many, like=f" (count = {many})") if a is b else None
        found = {"which": which[:1].upper() + which[1:], "meet": meet, "like": ""}
        yield a.place, {**found, "offers": (fewer,) if fewer else ()}
        return


def _thickness(each: HandleLaid) -> float:
    """How thick a handle is where it crosses another: its core with its wrapping."""
    handle = each.handle
    return handle.thickest_mm + (2 * handle.wrap.diameter_mm if handle.core and handle.wrap else 0.0)


@rule(
    "holes too tight for the board",
    "warn",
    "{web} of wood is left {between}, less than one hole ({hole}).",
    "Wood splits along a row of holes that leaves less than a hole between them, or along the edge.",
    "Use fewer ends{like} or finer {spokes}, or set the holes further from the edge; drill with a backing board.",
    "practice",
    button=True,
)
def _tight_holes(laid, joins):
    if not laid.design.base.is_board:
        return
    holes = board_holes(laid.design)
    for between, web in (
        ("between two holes", holes.chord_mm - holes.drill_mm),
        ("between the holes and the edge", holes.margin_mm - holes.drill_mm / 2),
    ):
        if web < WEB * holes.drill_mm:
            show = laid.design
            offers = ()
            if between == "between two holes":
                apart = (1 + WEB) * holes.drill_mm / holes.ring_mm
                most = int(math.pi / math.asin(min(1.0, apart)))
                offers = count_offers(laid, "side", most, lambda count, most=most: count <= most, like=" ({count})")
            words = {"like": "", "offers": offers}
            yield "board", {"web": shown(show, web), "between": between, "hole": shown(show, holes.drill_mm), **words}


@rule(
    "crown of the base",
    "note",
    "a woven base {across} across rocks if it is left flat; press its middle up by about {crown} as you weave.",
    "A base stands on its edge only when its middle is higher, and it sinks a little in use. The curve itself takes "
    "{more} of stick, which the length to spare covers.",
    "Bend the sticks a little away from you with every row, the underside towards you.",
    "practice",
)
def _crown(laid, joins):
    show, across, crown = laid.design, laid.base_told_mm, crown_mm(laid)
    if crown:
        # A flat arc is longer than its chord by 8/3 rise^2 over span.
        more = 8 / 3 * crown**2 / across
        yield "base", {"across": shown(show, across), "crown": shown(show, crown), "more": shown(show, more)}


def crown_mm(laid: Laid) -> float:
    """How much higher than its edge the middle of a woven base is to stand; 0 for one that stands well flat."""
    stands = laid.base and laid.side and not laid.design.of_lid and laid.base_reached_mm >= CROWN_FROM_MM
    return laid.base_reached_mm * CROWN if stands else 0.0


RULES = (
    _thin_core,
    _odd_handle,
    _shallow,
    _lid_play,
    _lid_slides,
    _lid_meets,
    _bows_meet,
    _tight_holes,
    _crown,
)
