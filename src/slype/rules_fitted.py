"""Advice on what is fitted to a basket: handles and lids. Level 6. None of it rates a strength."""

from __future__ import annotations

from .fitted import lay_handles
from .lay import lay
from .lidded import across_as_woven, fit_lid
from .lids import MOST_OVERHANG_MM, PLAY_MM
from .rule_book import rule, shown

THINNEST_CORE = 235.0
"""Length of a handle's core over its thickness, beyond which no single core in Gill's lists goes: model 25 hangs from
39 inches of No. 6. Derived; the thickness of the number is from memory."""


@rule(
    "handle core thin for its length",
    "warn",
    "the core is {ratio:.0f} times as long as it is thick; the longest in Gill's lists is about {most} times.",
    "A core thinner than usual bows out of shape. This compares lengths only: a handle's strength is not rated.",
    "Use a thicker core, two or more side by side (cores = 2), or a lower arch.",
    "gill",
)
def _thin_core(laid, joins):
    for each in lay_handles(laid):
        # Reeds side by side or twisted stiffen each other little: only a single one can be held against the lists.
        if each.handle.cores > 1 or each.handle.core is None:
            continue
        ratio = each.legs_mm / each.handle.thickest_mm
        if ratio > THINNEST_CORE:
            yield each.place, {"ratio": ratio, "most": f"{THINNEST_CORE:.0f}"}


@rule(
    "handle on an odd count",
    "note",
    "{ends} is odd, so its feet stand {short} {spokes} apart one way round and {long} the other.",
    "Blanchard wants an even count wherever there is a handle; Gill puts handles on 13, 19 and 21.",
    "Use an even count, or set it half a space off the middle and look from above before you push it down.",
    "blanchard",
)
def _odd_handle(laid, joins):
    ends = laid.design.spokes.ends
    for each in lay_handles(laid):
        if ends % 2 and each.handle.kind != "side" and each.spaces == ends // 2:
            yield each.place, {"ends": ends, "short": each.spaces, "long": ends - each.spaces}


@rule(
    "handle set shallow",
    "warn",
    "its ends go down {deep}, less than the usual {usual}.",
    "An end that is pushed down little slips out; how deep is enough nobody has measured.",
    "Weave a higher side, push it deeper, or peg it below the {border}. A handle's strength is not rated.",
    "gill",
)
def _shallow(laid, joins):
    for each in lay_handles(laid):
        usual = each.handle.record.pushed_mm
        if each.depth_mm < 0.75 * usual:
            yield each.place, {"deep": shown(laid.design, each.depth_mm), "usual": shown(laid.design, usual)}


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
