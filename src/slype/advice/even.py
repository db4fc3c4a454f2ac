"""Advice on what should come out even: groups and the arms of the cross, ends beside sticks, blocks of colour."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import accumulate

from ..design.values import arms, group_sizes
from ..lay.values import HALF_SPOKE_MM, Laid
from ..weave.swaps import best_shift
from ..words import listed, say, several
from .book import Offer, band_name, rule, shown
from .remedies import (
    MOST_OFFERS,
    count_offers,
    counts_that_hold,
    ends_key,
    locks_on,
    offer,
    set_change,
)


@rule(
    "groups do not come out even",
    "note",
    "{ends} ends do not divide into groups of {group}: {told}.",
    "Uneven groups open out unevenly.",
    "Use {better}{keep}.",
    "derived",
    button=True,
)
def _uneven(laid, joins):
    for band in laid.bands:
        ends, group = band.ends, band.band.group
        sizes = band.sizes
        if band.band.odd_alone:
            continue  # the maker has said where they go
        if band.index == 0 and band.band.where == "base" and list(sizes) == laid.design.arms:
            continue  # the arms of this cross are no more even
        if band.index == 0 and _cross_the_arms(laid):
            continue  # that is said, with groups that help; groups that are even might not
        if len(set(sizes)) > 1 or sizes[0] != group:
            larger, least = sizes.count(max(sizes)), min(sizes)
            told = f"{several(len(sizes), 'group')} of {least}"
            if max(sizes) > least:
                told = f"{larger} of the {len(sizes)} groups will hold {max(sizes)}, the others {least}"
            keep = ", or keep the larger group at the half one" if larger == 1 else ""
            fit = sorted((n for n in range(2, ends // 2 + 1) if ends % n == 0), key=lambda n: abs(n - group))
            yield (
                band_name(band),
                {
                    "ends": ends,
                    "group": group,
                    "told": told,
                    "better": "groups that divide them, or another count of ends",
                    "keep": keep,
                    "offers": tuple(
                        offer("band", band.index, "groups", to=n, better=f"groups of {n}")
                        for n in fit
                        if locks_on(band.band.weave, ends // n)
                    ),
                },
            )


@rule(
    "groups lie across the arms",
    "warn",
    "the first groups hold {groups} ends, the arms of the {cross} {arms}.",
    "The first rows tie the arms of the {cross} together; a group with ends from two arms cannot be worked there.",
    "Change it to {better}.",
    "practice",
    button=True,
)
def _across_arms(laid, joins):
    if not _cross_the_arms(laid):
        return
    band = laid.base[0]
    sizes, held = band.sizes, laid.design.arms
    yield (
        band_name(band),
        {
            "groups": ", ".join(map(str, sizes)),
            "arms": ", ".join(map(str, held)),
            "better": "groups that end where the arms do, or to a count of ends that makes all four arms alike",
            "offers": lambda: _groups_on_arms(laid),
        },
    )


def _cross_the_arms(laid: Laid) -> bool:
    """Whether a group of the first rows holds ends of two arms."""
    if not laid.base or laid.base[0].band.group == 1 or not laid.design.form.is_round:
        return False  # sticks along and across have no four arms
    return not set(accumulate(laid.design.arms)) <= set(accumulate(laid.base[0].sizes))


def _groups_on_arms(laid: Laid) -> Iterator[Offer]:
    """Groups of the first rows that end where the arms do; then counts of ends whose four arms are alike."""
    band, ends, held = laid.base[0], laid.base[0].ends, laid.design.arms
    for n in sorted(range(1, max(held) + 1), key=lambda n: abs(n - band.band.group)):
        sizes = group_sizes(ends, n, band.band.odd_alone)
        if set(accumulate(held)) <= set(accumulate(sizes)) and locks_on(band.band.weave, len(sizes)):
            yield offer("band", band.index, "groups", to=n, better=f"groups = {n}")
    if not locks_on(band.band.weave, 4):
        return
    for count in counts_that_hold(laid, "base", ends, _arms_alike):
        group = arms(count)[0]
        changes = (
            set_change("spokes", ends_key(laid, "base"), to=count),
            set_change("band", band.index, "groups", to=group),
        )
        told = f"{count} ends, so that all four arms hold {group}, with groups = {group}"
        yield Offer(changes, {"better": told})


def _arms_alike(ends: int) -> bool:
    return ends % 2 == 0 and len(set(arms(ends))) == 1


@rule(
    "half spoke",
    "note",
    "{ends} is odd, so one half {stick} is bound into the {cross} beside {full} full ones.",
    "A full {stick} gives two ends; the odd one comes from a half.",
    "Cut the half one {more} longer than half a full one.",
    "white",
)
def _half(laid, joins):
    spokes = laid.design.spokes
    if spokes.ends_at_base % 2 and laid.design.base.odd == "half" and not laid.design.base.is_board:
        more = shown(laid.design, HALF_SPOKE_MM)
        stick = "base stick" if spokes.inserted else say("{spoke}", laid.design.wording)
        yield "spokes", {"ends": spokes.ends_at_base, "full": spokes.ends_at_base // 2, "more": more, "stick": stick}


@rule(
    "more ends than the base carries",
    "warn",
    "{ends} side {spokes} beside {base} base ends is more than one on each side of every end.",
    "A base end has two sides to push a side {spoke} in beside.",
    "Give the base more sticks{enough}, or use {most} side {spokes} at most.",
    "gill",
    button=True,
)
def _too_many_inserted(laid, joins):
    spokes = laid.design.spokes
    if spokes.inserted and spokes.ends > 2 * spokes.base_ends:
        least = 2 * math.ceil(spokes.ends / 4)  # an even count, so that no half stick is needed
        fits = count_offers(
            laid, "base", least, lambda count: count >= least and count % 2 == 0, enough=" (base_ends = {count})"
        )
        yield (
            "spokes",
            {
                "ends": spokes.ends,
                "base": spokes.base_ends,
                "most": 2 * spokes.base_ends,
                "enough": "",
                "offers": fits,
            },
        )


@rule(
    "blocks do not move",
    "warn",
    "starting {shift} spaces further on brings the same {colours} to the same {spokes}.",
    "The {colours} repeat every {period} spaces.",
    "Use a shift that {period} does not divide{better}.",
    "derived",
    button=True,
)
def _idle_blocks(laid, joins):
    for band in laid.bands:
        blocks, period = band.band.blocks, band.effect.period
        if blocks and band.effect.effect == "upright lines" and blocks.shift % period == 0:
            # The shift that swaps most colours; then whatever moves them at all, the nearest first.
            swap = best_shift(band.colours)
            shifts = sorted(
                (n for n in range(1, min(band.spaces, blocks.shift + period) + 1) if n % period),
                key=lambda n: (n != swap, abs(n - blocks.shift)),
            )
            yield (
                band_name(band),
                {
                    "shift": blocks.shift,
                    "period": period,
                    "better": "",
                    "offers": tuple(
                        offer("band", band.index, "blocks", "shift", to=n, better=f", like {n}")
                        for n in shifts[:MOST_OFFERS]
                    ),
                },
            )


@rule(
    "last block is short",
    "note",
    "{rows} rows do not divide into blocks of {block}; the last block has {left}.",
    "A cut-off block looks like a slip.",
    "Weave {fit}.",
    "practice",
    button=True,
)
def _short_block(laid, joins):
    for band in laid.bands:
        blocks = band.band.blocks
        if blocks and band.rows % blocks.rows:
            down = band.rows // blocks.rows * blocks.rows
            fit = sorted({down, down + blocks.rows} - {0}, key=lambda n: abs(n - band.rows))
            yield (
                band_name(band),
                {
                    "rows": band.rows,
                    "block": blocks.rows,
                    "left": band.rows % blocks.rows,
                    "fit": f"{listed([str(n) for n in sorted(fit)], 'or')} rows",
                    "offers": tuple(offer("band", band.index, "rows", to=n, fit=f"{n} rows") for n in fit),
                },
            )


RULES = (_uneven, _across_arms, _half, _too_many_inserted, _idle_blocks, _short_block)
