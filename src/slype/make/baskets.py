"""A design worked out: quick, from rows simply stacked, or settled, every reed where it comes to rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from ..design.values import Design, Pace
from ..errors import Unweavable
from ..plans import planning
from ..plans.planning import Plan

if TYPE_CHECKING:
    from ..rest.relax import AtRest

Settle = Callable[[Design], "AtRest"]
"""Brings a design's reeds to rest: `settled`, or one that says on a screen how far it is."""


def settled(
    design: Design,
    before: AtRest | None = None,
    progress: Callable[[float], None] | None = None,
    cores: int | None = None,
    fine: bool = False,
) -> AtRest:
    """The design's reeds at rest; with `before`, those of a basket like it, to go on from.

    `progress` is told the share done, 0 to 1; `cores` None takes two where there are two; `fine` doubles the points of
    every reed. Raises Unweavable.
    """
    from ..rest.earlier import recoloured, reworded
    from ..rest.reeds import STATIONS
    from ..rest.relax import relax

    if before is not None and same_reeds(before.design, design):
        return reworded(before, design)
    if before is not None and _same_but_colours(before.design, design):
        other = recoloured(before, design)
        if other is not None:
            return other
    return relax(design, before, progress, cores, 2 * STATIONS if fine else STATIONS)


MOST_KEPT = 48
"""Baskets whose reeds at rest are kept to go on from: a class with a basket of its own for every seat."""


def settler(
    kept: list[AtRest] | None = None,
    cores: int | None = None,
    tell: Callable[[int], None] | None = None,
    progress: Callable[[float], None] | None = None,
) -> Settle:
    """A `Settle` for many baskets, as of a class: each is brought to rest once, whatever hand, wording and units ask
    for it. `kept` holds what is known already and takes what is new; `tell` hears how many were settled before, and
    `progress` how far the one in work is: what it raises stops the work, and what is kept stays."""
    known: list[AtRest] = [] if kept is None else kept

    def settle(design: Design) -> AtRest:
        before = next((each for each in known if same_reeds(each.design, design)), None)
        if before is None:
            if tell is not None:
                tell(len(known))
            before = settled(design, progress=progress, cores=cores)
            known.append(before)
            del known[:-MOST_KEPT]
        return settled(design, before)

    return settle


def planned(design: Design, settle: Settle | None = None, or_quick: bool = False) -> Plan:
    """The plan of a design, settled by `settle`, or quick without. Where no hands could weave it, Unweavable is raised;
    with `or_quick` the quick plan is tried then, for a picture shows what the file says."""
    if settle is None:
        return planning.plan(design)
    try:
        return planning.plan(design, settle(design))
    except Unweavable:
        if not or_quick:
            raise
    return planning.plan(design)


def same_reeds(a: Design, b: Design) -> bool:
    """True when two designs differ only in words, shades and prices, so that their reeds lie the same."""
    return _bare(a) == _bare(b)


def _same_but_colours(a: Design, b: Design) -> bool:
    """True when two designs differ in words, shades, prices and the colours of their bands alone."""
    if len(a.bands) != len(b.bands):
        return False
    bands = tuple(replace(mine, colours=theirs.colours) for mine, theirs in zip(a.bands, b.bands, strict=True))
    return same_reeds(replace(a, bands=bands, palette=b.palette), b)


def _bare(design: Design) -> Design:
    words: dict[str, Any] = {"title": "-", "hand": "right", "wording": "us", "units": "in", "name": ""}
    lid = None if design.lid is None else replace(design.lid, mat=_bare(design.lid.mat))
    return replace(design, **words, palette={}, pace=Pace(), prices=None, lid=lid)
