"""What an earlier answer gives a basket after a change: other colours or words on reeds that lie as they lay, and where
and how long reeds may be expected to lie once they have come to rest anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..design.values import Design
from ..lay.courses import courses_of
from ..lay.laying import as_reckoned
from ..lay.lids import fit_lid
from ..lay.values import Laid
from ..rods.contacts import contacts_between
from ..rods.working import Known
from ..space.together import mirrored
from .built import Built, ReedLine
from .values import AtRest, PartAtRest

MOST_TIMES_AS_FAR = 2.0
"""After a change what a row winds further than stacked is reckoned as at most so many times what it was, or so small a
part of it."""


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


def reworded(at_rest: AtRest, design: Design) -> AtRest:
    """The same basket for another hand, wording or units of the same design: reeds lie the same."""
    laid, stacked = (replace(each, design=design) for each in (at_rest.laid, at_rest.stacked))
    together = at_rest.together
    if design.hand != at_rest.design.hand:
        together = mirrored(together)
        laid = replace(laid, given_way=together.given_way)
    lid, fit = None, None if at_rest.lid is None else fit_lid(laid)
    if at_rest.lid is not None and fit is not None:
        lid = reworded(at_rest.lid, fit.design)
        laid = replace(laid, lid=lid.laid)
    return replace(at_rest, design=design, laid=laid, stacked=stacked, lid=lid, together=together)


# Expected after a change --------------------------------------------------------------------------------------------


def with_lengths_like(stacked: Laid, before: AtRest) -> Laid:
    """The basket with lengths as they may be expected after an earlier answer, band by band where the weave is the
    same."""
    bands = list(stacked.bands)
    for i, (band, was, found) in enumerate(zip(stacked.bands, before.stacked.bands, before.laid.bands, strict=False)):
        if found.at_rest is not None and found.band.weave == band.band.weave:
            take_up = _expected(band.take_up, was.take_up, found.take_up)
            bands[i] = replace(band, row_mm=band.row_mm * take_up / band.take_up, take_up=take_up)
    return replace(stacked, bands=tuple(bands))


def _expected(stacked: np.ndarray, was: np.ndarray, found: np.ndarray) -> np.ndarray:
    """Take-up (rows,) to be expected where it is so `stacked`, and it `was` stacked and `found` before: what a row
    winds further than stacked it winds in proportion to how far it winds at all, and what it is shorter it is as it
    was. Of more rows than before the others are as the last."""
    row = np.minimum(np.arange(len(stacked)), len(was) - 1)
    was, found = was[row], found[row]
    winds = np.clip((stacked - 1) / np.maximum(was - 1, 1e-9), 1 / MOST_TIMES_AS_FAR, MOST_TIMES_AS_FAR)
    return stacked + (found - was) * np.where(found > was, winds, stacked / was)


def start_from(built: Built, old: PartAtRest) -> tuple[Built, Known]:
    """The same rods, started where an earlier answer left them, and its forces.

    Reeds are known again by what they weave: band, block, weaver, strand, and where round; joins may lie elsewhere. A
    band that now stands higher or lower is lifted as a whole.
    """
    at, rest = built.wall.at.copy(), old.rest if old.laid is None else old.laid
    was_at = np.full(old.built.wall.nodes, -1)  # node of the new wall for every old one
    known = np.zeros(len(at), bool)
    # First reed for reed; then, where joins have moved, whatever reed of the same weaver lay there.
    for by_piece in (True, False):
        theirs = _by_reed(old.built, by_piece)
        for key, nodes in _by_reed(built, by_piece).items():
            before = theirs.get(key)
            nodes = nodes[~known[nodes]]
            if before is None or not len(nodes):
                continue
            mine = np.round(built.u[nodes] * built.stations).astype(np.int64)
            was = np.round(old.built.u[before] * built.stations).astype(np.int64)
            here, there = _in_both(mine, was)
            nodes, before = nodes[here], before[there]
            at[nodes] += rest.at[before] - old.built.stacked[before]
            free = was_at[before] < 0
            was_at[before[free]] = nodes[free]
            known[nodes] = True
    if known.any() and not known.all():  # new reeds follow what lies as high
        up = np.polyfit(built.stacked[known, 0], at[known, 0] - built.stacked[known, 0], 1)
        at[~known, 0] += np.polyval(up, built.stacked[~known, 0])
    wall, contacts = replace(built.wall, at=at, order_at=built.stacked), rest.contacts
    low, high = was_at[contacts.low], was_at[contacts.high]
    both, kept = (low >= 0) & (high >= 0), np.flatnonzero(was_at >= 0)
    pairs, turned = contacts_between(wall, low[both], high[both])
    pairs = replace(pairs, half=contacts.half[both])
    push = rest.push.take(np.flatnonzero(both), axis=0)
    push = np.where(turned[:, None], -push, push)
    return replace(built, wall=wall), Known(pairs, push, was_at[kept], rest.post_push.take(kept, axis=0), rest.bow)


def _in_both(mine: np.ndarray, was: np.ndarray) -> tuple[np.ndarray | slice, np.ndarray | slice]:
    """Where in each of two rising rows of stations those are that both have."""
    if (np.diff(mine) == 1).all() and (np.diff(was) == 1).all():  # as in one reed
        low, high = max(mine[0], was[0]), min(mine[-1], was[-1]) + 1
        high = max(low, high)
        return slice(low - mine[0], high - mine[0]), slice(low - was[0], high - was[0])
    _, here, there = np.intersect1d(mine, was, return_indices=True)
    return here, there


def _by_reed(built: Built, by_piece: bool) -> dict[tuple, np.ndarray]:
    """Nodes of every reed in order round; without `by_piece`, the reeds of one weaver put together."""
    out: dict[tuple, list[np.ndarray]] = {}
    off = built.wall.off
    for i, line in enumerate(built.lines):
        nodes = np.arange(off[i], off[i + 1])
        out.setdefault((line.band, line.block, line.weaver, line.strand, line.piece if by_piece else -1), []).append(
            nodes
        )
    put = {key: np.concatenate(pieces) for key, pieces in out.items()}
    return {key: nodes[np.argsort(built.u[nodes], kind="stable")] for key, nodes in put.items()}
