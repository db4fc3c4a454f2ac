"""A basket at rest whose weavers take other colours: reeds lie as they lay, under other names."""

from __future__ import annotations

from dataclasses import replace

from ..design.values import Design
from ..lay.courses import courses_of
from ..lay.laying import as_reckoned
from ..lay.values import Laid
from .built import ReedLine
from .relax import reworded
from .values import AtRest


def recoloured(at_rest: AtRest, design: Design) -> AtRest | None:
    """The same basket for a design that differs in words, shades and the colours of its bands alone. None where other
    weavers go on from band to band, or are joined elsewhere, for their colours: then it must be brought to rest."""
    stacked = as_reckoned(design)
    if _worked(stacked) != _worked(at_rest.stacked):
        return None
    names: dict[str, str] = {}
    parts = {}
    for where, part in at_rest.parts.items():
        lines = tuple(_line(line, stacked) for line in part.built.lines)
        names |= {old.name: new.name for old, new in zip(part.built.lines, lines, strict=True)}
        parts[where] = replace(part, built=replace(part.built, lines=lines))
    bands = [
        replace(old, band=new.band, colours=new.colours)
        for old, new in zip(at_rest.laid.bands, stacked.bands, strict=True)
    ]
    given = {names.get(name, name): moved for name, moved in at_rest.together.given_way.items()}
    first, second = (names.get(name, name) for name in at_rest.together.between)
    long_mm = {names.get(name, name): mm for name, mm in at_rest.together.long_mm.items()}
    together = replace(at_rest.together, given_way=given, between=(first, second), long_mm=long_mm)
    of_hand = replace(design, hand=at_rest.design.hand)
    drawn = {names.get(name, name): mm for name, mm in at_rest.laid.drawn_mm.items()}
    laid = replace(at_rest.laid, design=of_hand, bands=tuple(bands), given_way=given, drawn_mm=drawn)
    of_band = {band.index: band.colours for band in bands}
    joins = tuple(replace(join, colours=of_band[join.band][join.weaver]) for join in at_rest.joins)
    new = AtRest(of_hand, stacked, laid, parts, joins, at_rest.tangled, at_rest.lid, together)
    return reworded(new, design)


def _worked(laid: Laid) -> tuple:
    """What of a basket's work may go by its colours: which bands are one course, how many weavers, strands of each."""
    bands = tuple(tuple(len(strands) for strands in band.colours) for band in laid.bands)
    return bands, tuple((len(course.segments), course.folded) for course in courses_of(laid))


def _line(line: ReedLine, laid: Laid) -> ReedLine:
    if line.role != "weaver":
        return line
    band = next(each for each in laid.bands if each.index == line.band)
    of_weaver = band.colours[line.weaver]
    return replace(line, colour=of_weaver[line.strand % len(of_weaver)])
