"""Why colours do what they do on this count: the division behind an effect, in words.

The effect itself is read off the trace (`effects`); a reason only puts what was found there into words, so where its
division did not give the move that the trace shows, it would not be told.

Theory
1. A weaver passes `reach` spokes in a cycle. Once round, the cycles stand moved back by what the spaces leave over when
   divided by it: nothing left over, and every row (or trip round) falls on the one below.
2. What the eye sees is that move less whole repeats of the colours: none, and they stand upright; half of one, and they
   change places; anything else, and they climb the shorter way.
3. With a weaver in every space each goes on by its own stroke in a row, and the order of colours must close round the
   basket: the spaces must leave nothing over when divided by it.
"""

from __future__ import annotations

from dataclasses import replace

from ..words import several
from .effects import Effect, effect_of, in_two, weaver_colours
from .table import EVERY_END, Weave


def reason(weave: Weave, ends: int, spaces: int, effect: Effect, order: int = 0) -> str:
    """Why a band of `weave` on `ends` ends, worked over so many `spaces`, shows this effect outside.

    `order` is how many colours are given in turn, of a weave with a weaver in every space.
    """
    groups = f"{ends} ends make {spaces} groups; " if spaces != ends else ""
    if effect.effect == "plain":
        return groups + _plain(weave, spaces)
    if weave.turns == "back":
        return groups + _set_behind(weave, spaces, effect, order)
    left, row = spaces % weave.reach, "row" if weave.turns == "stroke" else "trip round"
    divided = f"{spaces} ÷ {weave.reach} = {spaces // weave.reach}, {left or 'nothing'} left over: "
    if left != effect.shift_per_row:  # the weave repeats within its cycle, so that less than the division moves it
        divided, left = "", effect.shift_per_row
    if left == 0:
        return f"{groups}{divided}every {row} falls on the one below{_upright(effect)}"
    return f"{groups}{divided}every {row} moves {several(left, 'space')} back{_seen(effect, left, 'back')}"


WITH_A_SECOND = {
    "upright lines": "stand in upright lines",
    "spiral": "climb in spirals",
    "blocks": "make small checks",
    "rings": "lie in level rings",
    "speckle": "make a speckle",
}
SLANTING = "stand in slanting lines"


def _plain(weave: Weave, spaces: int) -> str:
    """Of one colour all over: what a second one in half of the reeds would do on this count."""
    colours = in_two(weave, spaces, weave.strands, "one", "other")
    if colours is None:
        return "one weaver, so one colour; a weave with more of them could show a second"
    seen = effect_of(weave, spaces, weaver_colours(weave, spaces, colours, weave.strands))
    why = reason(weave, spaces, spaces, replace(seen, effect="speckle"), len(colours))
    does = SLANTING if seen.effect == "blocks" and seen.lean else WITH_A_SECOND[seen.effect]
    return f"{why}; a second colour {_in_which(weave, colours)} would {does}"


def _in_which(weave: Weave, colours: tuple[str, ...]) -> str:
    if weave.weavers == EVERY_END:
        return "in every other weaver"
    many, some = len(colours), colours.count("other")
    return f"in {some} of its {many} reeds" + (", side by side," if some > 1 else "")


def _set_behind(weave: Weave, spaces: int, effect: Effect, order: int) -> str:
    over = spaces % order if order > 1 else 0
    if effect.effect == "speckle" and over:
        return (
            f"{spaces} ÷ {order} = {spaces // order}, {over} left over: the {order} in turn do not close round the "
            "basket, so two meet that should not"
        )
    return f"each weaver begins its next stroke {several(weave.reach, 'space')} further on{_on(effect, weave.reach)}"


def _upright(effect: Effect) -> str:
    if effect.block_rows:
        return _blocks(effect)
    return ", so colours stand upright" if effect.effect == "upright lines" else ""


def _blocks(effect: Effect) -> str:
    return (
        f", so colours stand upright until the weavers begin {several(effect.block_shift, 'space')} further on, every "
        f"{several(effect.block_rows, 'row').removeprefix('1 ')}"
    )


def _on(effect: Effect, reach: int) -> str:
    if effect.effect == "spiral" and effect.lean > 0 and effect.step == reach:
        return ", and the eye goes with it, so colours climb"
    return _seen(effect, reach, "forward")


def _seen(effect: Effect, moved: int, way: str) -> str:
    """What a move of so many spaces that way comes to, once whole repeats of the colours are left out."""
    period, other = effect.period, "forward" if way == "back" else "back"
    if effect.block_rows:
        return f", a whole repeat{_blocks(effect)}"
    if effect.effect == "upright lines":
        return f", {'a whole repeat' if moved == period else f'whole repeats of {period}'}, so colours stand upright"
    if effect.effect == "blocks":
        slant = "strokes go on where like ones ended, so colours slant" if effect.lean else "so colours change places"
        half = "half a repeat" if 2 * moved == period else f"whole repeats of {period} and half a one"
        return f", {half}{'; ' if effect.lean else ', the same either way, '}{slant}"
    if effect.effect == "rings":
        return ", and every space of a row shows the same, so colours lie level"
    if effect.effect != "spiral":
        return ""
    mine = way if (effect.lean < 0) == (way == "back") else other
    if mine == way and effect.step == moved:
        return ", so colours climb"
    return f", which with a repeat of {period} is {effect.step} {mine}, so colours climb"
