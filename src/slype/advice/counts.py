"""Advice on counts: does the weave lock, close and divide on this many spokes?"""

from __future__ import annotations

import math
from itertools import accumulate

from ..design.values import arms, group_sizes
from ..errors import Unweavable
from ..lay.laying import HALF_SPOKE_MM, TIGHTEST_RATIO, BandLaid, Laid
from ..weave.trace import locked, trace
from ..words import say
from .book import band_name, rule, shown
from .remedies import (
    changes_found,
    count_that_holds,
    ends_key,
    finer_reed,
    locks_on,
    reed_value,
    set_change,
    set_to,
    shorter_border,
    such_as,
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


@rule(
    "weave does not lock",
    "stop",
    "on {count} {spokes}, {weave} passes some of them always on the same side.",
    "A {spoke} that is passed on one side only is not held; the wall falls open.",
    "Use {good}another weave (two weavers chasing, or pairing).",
    "derived",
    set_to("best", "spokes", "{key}"),
)
def _unlocked(laid, joins):
    spokes = say("{spokes}", laid.design.wording)
    for band in laid.bands:
        if not band.locked:
            good, where = counts_that_lock(band, band.spaces), band.band.where
            if _in_pairs(laid):
                good = [count for count in good if count * band.band.group % 2 == 0]
            # Where ends are added on the way, how many to begin with and how many to add is the maker's choice.
            alone = band.band.group == 1 and band.tier == 0
            best = count_that_holds(laid, where, band.spaces) if alone else None
            if best is not None and best not in good:
                good = sorted([*good[:3], best])
            yield (
                band_name(band),
                {
                    "count": band.spaces,
                    "weave": band.band.weave.name,
                    "good": f"{', '.join(map(str, good))} {spokes}, or " if good else "",
                    "best": best,
                    "key": ends_key(laid, where),
                },
            )


@rule(
    "weaver cannot pass",
    "stop",
    "the {spokes} leave a gap of {gap}, middle to middle, and no way through: {spoke} ({stand}) and weaver "
    "({weaver}) together fill {ratio:.0%} of it.",
    "A weaver must cross from one face to the other between two neighbouring {spokes}.",
    "Use finer {reed}{like}, fewer {spokes}, or begin where the ring is wider.",
    "peirce",
    set_to("finer", "band", "{index}", "reed"),
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
                    "ratio": float(band.ratio[worst]),
                    "stand": f"{max(reed.diameter_mm for reed in reeds):.2f} mm",
                    "weaver": f"{band.band.reed.diameter_mm:.2f} mm",
                    **finer_by(laid, band),
                },
            )


def finer_by(laid: Laid, band: BandLaid) -> dict[str, object]:
    """The reed with which the band's weavers no longer wrap, for words (`such_as`) and for the change (`finer`)."""
    worst = band.ratio.argmax()
    spoke = float(band.ratio[worst] * band.gap[worst]) - band.band.reed.diameter_mm
    finer = finer_reed(band.band.reed, WRAP_RATIO * float(band.gap[worst]) - spoke, laid.design.units)
    return {"like": such_as(finer), "finer": finer and reed_value(finer), "index": band.index}


@rule(
    "more reed than the wall holds",
    "stop",
    "the weavers would have to be {ratio:.1f} times as long as the ring they go round.",
    "Even a weaver that wraps every {spoke} as tightly as it can is no more than 1.57 times as long as its ring.",
    "Use fewer weavers or strands{fewer}, finer {reed}, or fewer {spokes}.",
    "peirce",
    set_to("strands", "band", "{index}", "strands"),
)
def _too_much_reed(laid, joins):
    for band in laid.bands:
        most = float(band.take_up.max())
        if band.band.weave.turns != "back" and most > MOST_TAKE_UP and band.ratio.max() < TIGHTEST_RATIO:
            strands = max(1, int(band.band.strands * MOST_TAKE_UP / most)) if band.band.strands > 1 else None
            fewer = f" (strands = {strands})" if strands else ""
            yield band_name(band), {"ratio": most, "fewer": fewer, "strands": strands, "index": band.index}


@rule(
    "border too long for the count",
    "stop",
    "on {ends} {spokes} an end of this {border} comes round to itself; it takes {need} or more.",
    "Each end passes {reach} {spokes} in all and must lie in a new place at every step.",
    "Use a shorter {border}{like} or at least {need} {spokes}.",
    "derived",
    set_to("kind", "border", "kind"),
)
def _border_count(laid, joins):
    border, ends = laid.design.border, laid.design.top_ends
    if ends < border.smallest_ends:
        kind = shorter_border(ends)
        yield (
            "border",
            {
                "ends": ends,
                "need": border.smallest_ends,
                "reach": border.reach,
                "kind": kind,
                "like": f' (kind = "{kind}")' if kind else "",
            },
        )


@rule(
    "chasing on an odd count",
    "note",
    "{weave} is meant for even counts; on {count} one weaver alone would do.",
    "On an odd count a single weaver already alternates from row to row.",
    "Use randing, or keep it if you want the two {colours} to cross.",
    "gill",
    set_to("instead", "band", "{index}", "weave"),
)
def _odd_chase(laid, joins):
    for band in laid.bands:
        if band.band.weave.name == "chasing" and band.band.weave.cycle == ((1, 1),) and band.spaces % 2:
            yield (
                band_name(band),
                {"weave": "chasing", "count": band.spaces, "instead": "randing", "index": band.index},
            )


@rule(
    "colours do not close",
    "warn",
    "{many} {colours} in turn do not go evenly into {count} spaces, so two that should not will meet.",
    "With a weaver in every space the {colour} order must close up round the basket.",
    "Use a count that {many} divides{like}, or another {colour} order.",
    "derived",
    set_to("better", "spokes", "{key}"),
)
def _colour_close(laid, joins):
    for band in laid.bands:
        many = len(band.band.colours)
        if band.band.weave.weavers == 0 and many > 1 and band.spaces % many:
            where, better = band.band.where, None
            if band.band.group == 1:
                better = count_that_holds(laid, where, band.spaces, lambda count, many=many: count % many == 0)
            yield (
                band_name(band),
                {
                    "many": many,
                    "count": band.spaces,
                    "like": f" ({better})" if better else "",
                    "better": better,
                    "key": ends_key(laid, where),
                },
            )


@rule(
    "groups do not come out even",
    "note",
    "{ends} ends do not divide into groups of {group}; {odd} of the {count} groups will hold one more.",
    "Uneven groups open out unevenly.",
    "Use {better}{keep}.",
    "derived",
    set_to("groups", "band", "{index}", "groups"),
)
def _uneven(laid, joins):
    for band in laid.bands:
        ends = band.ends
        if ends % band.band.group:
            keep = ", or keep the larger group at the half one" if ends % 2 else ""
            fit = [n for n in range(2, ends // 2 + 1) if ends % n == 0]
            near = min(fit, key=lambda n: abs(n - band.band.group)) if fit else 1
            yield (
                band_name(band),
                {
                    "ends": ends,
                    "group": band.band.group,
                    "count": band.spaces,
                    "odd": ends % band.spaces,
                    "better": f"groups of {near}" if fit else "another count of ends",
                    "keep": keep,
                    "groups": near if fit and locks_on(band.band.weave, ends // near) else None,
                    "index": band.index,
                },
            )


@rule(
    "groups lie across the arms",
    "warn",
    "the first groups hold {groups} ends, the arms of the {cross} {arms}.",
    "The first rows tie the arms of the {cross} together; a group with ends from two arms cannot be worked there.",
    "Change it to {better}.",
    "practice",
    changes_found,
)
def _across_arms(laid, joins):
    if not laid.base or laid.base[0].band.group == 1 or not laid.design.form.is_round:
        return  # sticks along and across have no four arms
    band, ends = laid.base[0], laid.base[0].ends
    sizes, held = group_sizes(ends, band.band.group), laid.design.arms
    if set(accumulate(held)) <= set(accumulate(sizes)):
        return
    better = 4 * max(1, round(ends / 4))
    fits = len(set(arms(ends - ends % 2))) == 1
    group = min(held) if fits else better // 4
    changes = (set_change("band", band.index, "groups", to=group),)
    said = f"groups = {group}"
    if not fits:
        said = f"{better} ends, so that all four arms hold {group}, with groups = {group}"
        change = set_change("spokes", ends_key(laid, "base"), to=better)
        changes = (change, *changes) if count_that_holds(laid, "base", better, lambda n: n == better) else ()
    yield (
        band_name(band),
        {
            "groups": ", ".join(map(str, sizes)),
            "arms": ", ".join(map(str, held)),
            "better": said,
            "changes": changes if locks_on(band.band.weave, 4) else (),
        },
    )


@rule(
    "half spoke",
    "note",
    "{ends} is odd, so one half {spoke} is bound into the {cross} beside {full} full ones.",
    "A full {spoke} gives two ends; the odd one comes from a half.",
    "Cut the half one {more} longer than half a full one.",
    "white",
)
def _half(laid, joins):
    spokes = laid.design.spokes
    if spokes.ends_at_base % 2 and laid.design.base.odd == "half" and not laid.design.base.is_board:
        more = shown(laid.design, HALF_SPOKE_MM)
        yield "spokes", {"ends": spokes.ends_at_base, "full": spokes.ends_at_base // 2, "more": more}


@rule(
    "more ends than the base carries",
    "warn",
    "{ends} side {spokes} beside {base} base ends is more than one on each side of every end.",
    "A base end has two sides to push a side {spoke} in beside.",
    "Give the base more sticks (base_ends = {enough}), or use {most} side {spokes} at most.",
    "gill",
    changes_found,
)
def _too_many_inserted(laid, joins):
    spokes = laid.design.spokes
    if spokes.inserted and spokes.ends > 2 * spokes.base_ends:
        enough = 2 * math.ceil(spokes.ends / 4)  # an even count, so that no half stick is needed
        held = count_that_holds(laid, "base", enough, lambda count: count == enough)
        yield (
            "spokes",
            {
                "ends": spokes.ends,
                "base": spokes.base_ends,
                "most": 2 * spokes.base_ends,
                "enough": enough,
                "changes": (set_change("spokes", "base_ends", to=enough),) if held else (),
            },
        )


@rule(
    "blocks do not move",
    "warn",
    "starting {shift} spaces further on brings the same {colours} to the same {spokes}.",
    "The {colours} repeat every {period} spaces.",
    "Use a shift that {period} does not divide, like {better}.",
    "derived",
    set_to("better", "band", "{index}", "blocks", "shift"),
)
def _idle_blocks(laid, joins):
    for band in laid.bands:
        blocks = band.band.blocks
        if blocks and band.effect.effect == "upright lines" and blocks.shift % band.effect.period == 0:
            better = blocks.shift + 1 if blocks.shift < band.spaces else blocks.shift - 1
            yield (
                band_name(band),
                {"shift": blocks.shift, "period": band.effect.period, "better": better, "index": band.index},
            )


@rule(
    "last block is short",
    "note",
    "{rows} rows do not divide into blocks of {block}; the last block has {left}.",
    "A cut-off block looks like a slip.",
    "Weave {fit} rows.",
    "practice",
    set_to("fit", "band", "{index}", "rows"),
)
def _short_block(laid, joins):
    for band in laid.bands:
        blocks = band.band.blocks
        if blocks and band.rows % blocks.rows:
            yield (
                band_name(band),
                {
                    "rows": band.rows,
                    "block": blocks.rows,
                    "left": band.rows % blocks.rows,
                    "fit": max(blocks.rows, round(band.rows / blocks.rows) * blocks.rows),
                    "index": band.index,
                },
            )
