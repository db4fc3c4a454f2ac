"""The basket at rest: every reed as a springy rod, and what that says of each band.

`relax` builds the rods of base, side and border (`rest.reeds`), brings them to rest (`rods.wall`) and reads off true
lengths, row pitch, light, bends and what lies loose. Lengths mm; bends as nominal strain r/R.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from ..design.values import Design
from ..lay.courses import courses_of
from ..lay.joins import Join, plan_joins
from ..lay.laying import as_reckoned
from ..lay.lids import fit_lid
from ..lay.limits import check_drawn
from ..lay.values import Laid, Unsettled
from ..rods import wall as rod_wall
from ..rods.contacts import same_wall
from ..rods.pair import at_hand
from ..space.feet import foot_alone
from ..space.together import settle
from .borders import BEGUN_LOOSER, build_border, build_foot, slipped
from .built import Built
from .curves import all_curves, foot_ends
from .earlier import start_from, with_lengths_like
from .first_rows import begins_alike, set_down
from .hands import work
from .posts import with_bows, with_posts
from .readings import part_name, read_off, with_drawn_lengths, with_true_lengths
from .reeds import STATIONS, build
from .values import AtRest, PartAtRest
from .warp import warp_of
from .wedges import rap

MOST_OVERLAP = 0.01
"""Overlap of two reeds, in thicknesses, at which they count as lying on each other: a fiftieth of a millimetre in most
reed, far less than any reed is true."""
BALANCE = 1.0
"""Largest force left over, as a share of what bends a reed by its own thickness within half a space."""
FRICTION = 0.2
"""Share of what two reeds press each other with up to which they do not slide across each other: wet wood on wood (from
memory, tables of engineering). Without it, reeds pressed together between two spokes creep without end."""
MOST_SWEEPS = 1400
"""Most parts rest within two hundred; a base of many fine rows may take a thousand, and few, of sticks without room,
somewhat more."""
MOST_WORK, LEAST_SWEEPS = 40_000_000, 250
"""Nodes times sweeps of one part, some 2 s of a processor, and the sweeps that even the largest gets: one of more than
31,000 nodes, of which few need so many, may stop before that, and is then not at rest."""
MOST_NODES = 120_000
"""Of base and side together: more than twice the largest example. What is larger keeps its stacked form, and is named:
no answer takes more than 10 s of a processor (`docs/promises.md`), and this one would."""
TANGLED = 0.1
"""Overlap, in thicknesses of the finest reed, beyond which a surface is not called at rest: it keeps its stacked form.
Of 230 random baskets three did, all with reverse wales of five or six rods."""


COMES_TO = {"first": 1.04, "base": 1.005, "side": 1.008}
"""How many times as long as stacked weavers come out at rest, in the middle of 26 baskets by chance: in a base's first
band, in its others, in a side (nine in ten sides 0.998 to 1.033). Joins are planned so where nothing more is known."""
GIVES = {"first": 1.05, "base": 1.01, "side": 1.002}
"""By how much weavers come out longer once all reeds have given way than each surface tells, in the middle of 38
baskets by chance: in a base's first band, in its others, in a side. Joins are planned so; lengths are read off."""
ONCE = 0.8
"""Share of the whole work after which a basket is at rest, if its joins can stay where they are."""
MOST_TIMES, MOST_ANEW = 2, 80_000
"""How often a basket is brought to rest once more where its joins cannot stay, and its points at most, more than twice
those of the largest example; half as many for the second time. Of a larger one some joins are drawn a stroke or two
from where the plan tells them."""
FIRST_DONE, RODS_DONE = 0.6, 0.7
"""Shares of the whole work after which the rods of base and side lie at rest, and do so where joins had to move:
border, lid and parting are the others."""


@at_hand()
def relax(
    design: Design,
    before: AtRest | None = None,
    progress: Callable[[float], None] | None = None,
    cores: int | None = None,
    stations: int = STATIONS,
    by_hands: bool = True,
) -> AtRest:
    """Bring the whole basket to rest. `before`, an answer for a similar design, makes it quick; without `by_hands` the
    border is of hard rods that nobody presses down (see `rest.hands`).

    Raises Unweavable where no hands could weave it, or reeds cannot pass between the spokes. `progress` is told the
    share done; what it raises stops the work.
    """
    tell = _Progress(progress)
    begun = _come_to_rest(design, before, None, tell.span(0.0, ONCE), cores, stations, by_hands)
    # Reeds lie a little otherwise once all have given way, and may not reach every join that was planned before.
    joins = _joins(begun.laid, begun.joins)
    for nth in range(MOST_TIMES):
        if _places(joins) == _places(begun.joins) or _nodes(begun) * (nth + 1) > MOST_ANEW:
            break
        told = tell.span(ONCE + nth * (1 - ONCE) / MOST_TIMES, ONCE + (nth + 1) * (1 - ONCE) / MOST_TIMES)
        again = _come_to_rest(design, begun, joins, told, cores, stations, by_hands)
        if _rests(begun) and not _rests(again):
            break  # better a join told a stroke from where it is drawn
        begun, joins = again, _joins(again.laid, again.joins)
    tell.span(0.0, 1.0)(1.0)
    return replace(begun, joins=joins) if _places(joins) == _places(begun.joins) else begun


def _rests(at_rest: AtRest) -> bool:
    return not at_rest.laid.unsettled and at_rest.together.apart


def _come_to_rest(
    design: Design, before: AtRest | None, cut: tuple[Join, ...] | None, progress: Callable[[float], None],
    cores: int | None, stations: int, by_hands: bool,
) -> AtRest:  # fmt: skip
    """The whole basket at rest, its reeds joined where `cut` says, else as lengths say that are known beforehand."""
    # Rods know thickness and stiffness, not a maker's hands: a plan puts the gauge's figures in place of theirs.
    stacked = as_reckoned(design)
    # Over groups, too, a weaver has its points at every end that it passes.
    check_drawn(stacked.design, ((band.index, band.rows, band.ends, band.band.strands) for band in stacked.bands))
    tell = _Progress(progress)
    anew = before is not None
    if before is None:
        before, joins, parts = _surfaces_at_rest(stacked, tell, cores, stations, by_hands)
    else:
        joins = cut or _joins(with_lengths_like(stacked, before), before.joins)
        told = tell.span(0.0, RODS_DONE)
        parts = _parts(stacked, joins, before, MOST_SWEEPS, told, cores, stations, anew, by_hands)
    for where, part in parts.items():
        known = before.parts.get(where) if anew else None
        if known is not None and part.rest is known.rest:
            continue  # hands have rapped it down
        if part.built.where == "side" and by_hands and part.rest.done:
            rest = rap(part.built, part.rest, MOST_SWEEPS, MOST_OVERLAP, BALANCE, cores, FRICTION)
            if rest is not part.rest:
                parts[where] = replace(part, rest=rest, laid=part.rest)
    tangled = tuple(where for where, part in parts.items() if _is_tangled(part))
    for where in tangled:
        parts[where] = _as_stacked(parts[where])
    warp = warp_of(stacked)
    for where, part in parts.items():
        if part.built.where == "side" and where not in tangled:
            parts[where] = replace(part, warp=warp)
    below = next(reversed(parts.values()), None)
    if below is not None:
        at = below.at
        if stacked.is_mat:  # its border lies round the last row, where that has come to lie
            found = {where: part for where, part in parts.items() if where not in tangled}
            reached = read_off(with_true_lengths(stacked, found), stacked, found).base_reached_mm
            at = at - [reached / 2, 0.0]
        border, holds = _border(partial(build_border, stacked, below.built, at), by_hands, cores)
        if border is not None and holds:
            parts["border"] = border
        elif border is not None:  # it keeps its plain form in pictures
            tangled += ("border",)
    tell.span(RODS_DONE, 1)(0.2)
    sound = {where: part for where, part in parts.items() if where not in tangled}
    laid = replace(read_off(with_true_lengths(stacked, sound), stacked, sound), unsettled=_unsettled(parts, tangled))
    laid = with_bows(laid, sound)
    seat = fit_lid(laid)
    lid = None if seat is None else relax(seat.design, before.lid, None, cores, stations, by_hands)
    if lid is not None:
        laid = replace(laid, lid=lid.laid)
    laid = replace(laid, foot_ends=_foot_at_rest(stacked, by_hands, cores))
    tell.span(RODS_DONE, 1)(0.4)
    return _put_together(AtRest(design, stacked, laid, parts, joins, tangled, lid))


def _surfaces_at_rest(
    stacked: Laid, tell: _Progress, cores: int | None, stations: int, bowed: bool
) -> tuple[AtRest, tuple[Join, ...], dict[str, PartAtRest]]:
    """Base and side at rest of a basket of which nothing is known beforehand: (as they lie first, joins, as they lie
    with these). Joins depend a little on lengths, and lengths hardly on joins: they are planned on what stacked lengths
    come to mostly, and moved where they cannot stay."""
    joins = _joins(_longer(stacked, COMES_TO))
    told = tell.span(0.0, FIRST_DONE)
    parts = _parts(stacked, joins, None, MOST_SWEEPS, told, cores, stations, bowed=bowed)
    sound = {where: part for where, part in parts.items() if not _is_tangled(part)}
    first = AtRest(stacked.design, stacked, with_true_lengths(stacked, sound), parts, joins)
    stay = _joins(_longer(first.laid, GIVES) if _nodes(first) <= MOST_NODES else stacked, joins)
    if _places(stay) != _places(joins):
        told = tell.span(FIRST_DONE, RODS_DONE)
        again = _parts(stacked, stay, first, MOST_SWEEPS, told, cores, stations, bowed=bowed)
        if all(part.rest.done for part in again.values()) or not all(part.rest.done for part in parts.values()):
            return first, stay, again  # else better a join told a stroke from where it is drawn
    return first, joins, parts


def _border(
    begun: Callable[[float], Built | None], by_hands: bool, cores: int | None
) -> tuple[PartAtRest | None, bool]:
    """The border, or the foot of a board, that is `begun` so loosely, None of one that is not woven so; and whether it
    holds together, begun as tight as it does."""
    to_rest, border = work if by_hands else rod_wall.relax, None
    for looser in BEGUN_LOOSER:
        built = begun(looser)
        if built is None:
            break
        rest = to_rest(built.wall, MOST_SWEEPS, MOST_OVERLAP, BALANCE, cores, friction=FRICTION)
        border = PartAtRest(built, rest)
        if not _is_tangled(border) and not slipped(built, rest.at):
            return border, True
    return border, False


def _foot_at_rest(laid: Laid, by_hands: bool, cores: int | None) -> tuple[np.ndarray, ...]:
    """The ends of a board's foot, worked as those of a border are; none where they keep their plain form."""
    foot = foot_alone(laid)
    if foot is None:
        return ()
    part, holds = _border(partial(build_foot, foot), by_hands, cores)
    return foot_ends(foot, part) if part is not None and holds and part.rest.done else ()


def _put_together(alone: AtRest) -> AtRest:
    """The same basket, its reeds parted in space where parts of it meet, and their lengths read off as they lie."""
    together = settle(alone.laid, all_curves(alone), give_way=_nodes(alone) <= MOST_NODES)
    laid = replace(alone.laid, given_way=together.given_way)
    if together.long_mm:
        sound = {where: part for where, part in alone.parts.items() if where not in alone.tangled}
        laid = with_drawn_lengths(laid, sound, together.long_mm)
    return replace(alone, laid=laid, together=together)


def _nodes(at_rest: AtRest) -> int:
    return sum(part.built.wall.nodes for part in at_rest.parts.values())


def _unsettled(parts: dict[str, PartAtRest], tangled: tuple[str, ...]) -> tuple[Unsettled, ...]:
    names = dict.fromkeys([*parts, *tangled])
    return tuple(
        Unsettled(where, parts[where].rest.overlap_mm if where in parts else 0.0, where in tangled)
        for where in names
        if where in tangled or not parts[where].rest.done
    )


def _is_tangled(part: PartAtRest) -> bool:
    """True when reeds have come to lie in each other, or changed places; or were too many to be brought to rest."""
    rest, deep = part.rest, TANGLED * 2 * float(part.built.wall.radius.min())
    return rest.sweeps == 0 or rest.lost or not part.order_kept or rest.overlap_mm > deep


def _as_stacked(part: PartAtRest) -> PartAtRest:
    """The same rods where the stacked knots put them."""
    return PartAtRest(part.built, replace(part.rest, at=part.built.as_laid, done=False))


def _longer(laid: Laid, times: Mapping[str, float]) -> Laid:
    """The basket with so many times the lengths of weavers: in the first band of a base, its others, and the side."""
    first = next((band.index for band in laid.base), -1)
    more = [times["first" if band.index == first else band.band.where] for band in laid.bands]
    return replace(laid, bands=tuple(replace(band, row_mm=band.row_mm * by)
                                     for band, by in zip(laid.bands, more, strict=True)))  # fmt: skip


def _places(joins: tuple[Join, ...]) -> list[tuple[int, ...]]:
    return [(each.band, each.block, each.weaver, each.passed) for each in joins]


def _joins(laid: Laid, kept: tuple[Join, ...] = ()) -> tuple[Join, ...]:
    planned, _ = plan_joins(laid, courses_of(laid), kept=kept)
    return tuple(join for band in planned for join in band.joins)


class _Progress:
    """Hands on the share done of a span of the whole work."""

    def __init__(self, tell: Callable[[float], None] | None) -> None:
        self.tell = tell

    def span(self, low: float, high: float) -> Callable[[float], None]:
        def shared(share: float) -> None:
            if self.tell is not None:
                self.tell(low + (high - low) * share)

        return shared


def _parts(
    laid: Laid, joins, before: AtRest | None, sweeps: int, tell, cores: int | None, stations: int, anew: bool = False,
    bowed: bool = True,
) -> dict[str, PartAtRest]:  # fmt: skip
    """Base and side after so many sweeps at most, on from `before` where there is one; `anew` where that ends in a
    tangle; `bowed` as posts that bow. Beyond MOST_NODES there are none, nor for what was lost when it was brought
    roughly to rest."""
    parts: dict[str, PartAtRest] = {}
    for where, tier, low, high in _tiers(laid):
        name = part_name(where, tier)
        below = parts.get(part_name(where, tier - 1)) if tier else None
        if where == "side" and not tier:
            below = next(reversed(parts.values()), None)  # the last of the base
        built = build(laid, where, joins, stations, tier, None if below is None else _comes_to(below))
        if built is None:
            continue
        if bowed:
            built = with_posts(laid, built, below)

        def shared(share: float, low: float = low, high: float = high) -> None:
            tell(low + (high - low) * share)

        nodes = built.wall.nodes + sum(part.built.wall.nodes for part in parts.values())
        most = min(sweeps, max(LEAST_SWEEPS, MOST_WORK // built.wall.nodes)) if nodes <= MOST_NODES else 0
        old = before.parts.get(name) if before is not None and name not in before.tangled else None
        if not anew and old is not None:  # what lay at rest does so soon with other joins, or not at all
            most = 0 if old.rest.lost else max(most // 3 if old.rest.done else 0, min(most, LEAST_SWEEPS))
        if old is not None and old.rest.done and same_wall(built.wall, old.built.wall):
            parts[name] = PartAtRest(built, old.rest, laid=old.laid)  # nothing in it has changed
            continue
        goes_on = old is not None and old.built.ends == built.ends and begins_alike(built, old.built)
        if old is not None and goes_on:
            begun, forces = start_from(built, old)
            rest = rod_wall.relax(begun.wall, most, MOST_OVERLAP, BALANCE, cores, shared, forces, friction=FRICTION)
            part = PartAtRest(begun, rest)
            if not anew or not _is_tangled(part):
                parts[name] = part
                continue
        # Reeds of another count of ends lie too differently to begin from, and so may any that end in a tangle.
        for begun in (set_down(built, cores), built) if most and not goes_on else (built,):
            some = most if begun is built else max(most // 2, min(most, LEAST_SWEEPS))
            rest = rod_wall.relax(begun.wall, some, MOST_OVERLAP, BALANCE, cores, shared, friction=FRICTION)
            parts[name] = part = PartAtRest(begun, rest)
            if begun is built or (rest.done and not _is_tangled(part)):
                break
    return parts


def _tiers(laid: Laid) -> list[tuple[str, int, float, float]]:
    """(where, tier, shares of the work done before and after it) of every surface to bring to rest, from below."""
    out = []
    for where, low, high in (("base", 0.0, 0.35), ("side", 0.35, 1.0)):
        count = len(laid.design.tiers(where))
        step = (high - low) / count
        out += [(where, tier, low + tier * step, low + (tier + 1) * step) for tier in range(count)]
    return out


def _comes_to(part: PartAtRest) -> tuple[Built, np.ndarray]:
    """A tier and where its nodes came to rest, or were stacked if they would not."""
    return part.built, part.built.as_laid if _is_tangled(part) else part.rest.at
