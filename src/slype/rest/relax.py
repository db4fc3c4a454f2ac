"""The basket at rest: every reed as a springy rod, and what that says of each band.

`relax` builds the rods of base, side and border (`rest.reeds`), brings them to rest (`rods.wall`) and reads off true
lengths, row pitch, light, bends and what lies loose. Lengths mm; bends as nominal strain r/R.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from ..design.values import Design
from ..lay.courses import courses_of
from ..lay.joins import Join, plan_joins
from ..lay.laying import as_reckoned
from ..lay.lids import fit_lid
from ..lay.limits import check_drawn
from ..lay.values import BandAtRest, BandLaid, Laid, Spot, Unsettled
from ..rods import wall as rod_wall
from ..rods.contacts import contacts_between
from ..rods.wall import Known, Rest
from ..space.together import mirrored, settle
from .curves import all_curves
from .reeds import STATIONS, STIFFNESS_MPA, Built, build, build_border, top_of
from .values import AtRest, PartAtRest
from .warp import warp_of

MOST_OVERLAP = 0.01
"""Overlap of two reeds, in thicknesses, at which they count as lying on each other: a fiftieth of a millimetre in most
reed, far less than any reed is true."""
BALANCE = 1.0
"""Largest force left over, as a share of what bends a reed by its own thickness within half a space."""
ROUGH_SWEEPS, MOST_SWEEPS = 100, 1000
"""A hundred sweeps from the stacked knots give lengths within a thousandth, enough to plan joins by. Most parts rest
within two hundred; a base of many fine rows may take a thousand."""
MOST_WORK, LEAST_SWEEPS = 25_000_000, 150
"""Nodes times sweeps of one part, some 2 s of a processor, and the sweeps that even the largest gets: one of more than
28,000 nodes, of which few need so many, may stop before the thousand, and is then not at rest."""
MOST_NODES = 150_000
"""Of base and side together: three times the largest example. What is larger keeps its stacked form, and that is said:
no answer takes more than 10 s of a processor (`docs/promises.md`), and this one would."""
TANGLED = 0.1
"""Overlap, in thicknesses of the finest reed, beyond which a surface is not called at rest: it keeps its stacked form.
Of 230 random baskets three did, all with reverse wales of five or six rods."""
LOOSE = 0.1
"""A reed lies loose on a spoke that it presses with less than this share of what its band's reeds usually press (common
practice, no source)."""


RODS_DONE = 0.7
"""Share of the whole work after which the rods of base and side lie at rest: border, lid and parting are the others."""


def relax(
    design: Design,
    before: AtRest | None = None,
    progress: Callable[[float], None] | None = None,
    cores: int | None = None,
    stations: int = STATIONS,
) -> AtRest:
    """Bring the whole basket to rest. `before`, an answer for a similar design, makes it quick.

    Raises Unweavable where no hands could weave it, or reeds cannot pass between the spokes. `progress` is told the
    share done; what it raises stops the work.
    """
    # Rods know thickness and stiffness, not a maker's hands: a plan puts the gauge's figures in place of theirs.
    stacked = as_reckoned(design)
    check_drawn(stacked.design, ((band.index, band.rows, band.spaces, band.band.strands) for band in stacked.bands))
    # Joins depend a little on lengths, and lengths hardly on joins: first roughly with joins planned from stacked
    # lengths, then on from there with joins planned from true ones.
    tell = _Progress(progress)
    anew = before is not None
    if before is None:
        joins = _joins(stacked)
        parts = _parts(stacked, joins, None, ROUGH_SWEEPS, tell.span(0.0, 0.2), cores, stations)
        before = AtRest(design, stacked, _with_true_lengths(stacked, parts), parts, joins)
        joins = _joins(before.laid) if _nodes(before) <= MOST_NODES else joins
    else:
        joins = _joins(_with_lengths_like(stacked, before.laid))
    tell_parts = tell.span(0.2, RODS_DONE)
    if anew or _nodes(before) <= MOST_NODES:
        parts = _parts(stacked, joins, before, MOST_SWEEPS - ROUGH_SWEEPS, tell_parts, cores, stations, anew)
    tangled = tuple(where for where, part in parts.items() if _is_tangled(part))
    for where in tangled:
        parts[where] = _as_stacked(parts[where])
    warp = warp_of(stacked)
    for where, part in parts.items():
        if part.built.where == "side" and where not in tangled:
            parts[where] = replace(part, warp=warp)
    sides = [part for part in parts.values() if part.built.where == "side"]
    if sides:
        side = sides[-1]
        built = build_border(stacked, top_of(side.built, side.at, design.top_ends * stations))
        if built is not None:
            rest = rod_wall.relax(built.wall, MOST_SWEEPS, MOST_OVERLAP, BALANCE, cores)
            border = PartAtRest(built, rest)
            if _is_tangled(border):  # it keeps its plain form in pictures
                tangled += ("border",)
            else:
                parts["border"] = border
    tell.span(RODS_DONE, 1)(0.2)
    sound = {where: part for where, part in parts.items() if where not in tangled}
    laid = replace(_at_rest(_with_true_lengths(stacked, sound), stacked, sound), unsettled=_unsettled(parts, tangled))
    seat = fit_lid(laid)
    lid = None if seat is None else relax(seat.design, before.lid, None, cores, stations)
    if lid is not None:
        laid = replace(laid, lid=lid.laid)
    tell.span(RODS_DONE, 1)(0.4)
    together = _put_together(AtRest(design, stacked, laid, parts, joins, tangled, lid))
    tell.span(0, 1)(1.0)
    return together


def _put_together(alone: AtRest) -> AtRest:
    """The same basket, its reeds parted in space where parts of it meet."""
    together = settle(alone.laid, all_curves(alone), give_way=_nodes(alone) <= MOST_NODES)
    return replace(alone, laid=replace(alone.laid, given_way=together.given_way), together=together)


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
    deep = TANGLED * 2 * float(part.built.wall.radius.min())
    return part.rest.sweeps == 0 or not part.order_kept or part.rest.overlap_mm > deep


def _as_stacked(part: PartAtRest) -> PartAtRest:
    """The same rods where the stacked knots put them."""
    return PartAtRest(part.built, replace(part.rest, at=part.built.stacked, done=False))


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


def _with_lengths_like(stacked: Laid, known: Laid) -> Laid:
    """The basket with take-up corrected as an earlier answer was, band by band where the weave is the same."""
    bands = list(stacked.bands)
    for i, (band, other) in enumerate(zip(stacked.bands, known.bands, strict=False)):
        if other.at_rest is not None and other.band.weave == band.band.weave and other.band.reed == band.band.reed:
            more = float(other.take_up.mean()) / other.at_rest.stacked_take_up
            bands[i] = replace(band, row_mm=band.row_mm * more, take_up=band.take_up * more)
    return replace(stacked, bands=tuple(bands))


def _joins(laid: Laid) -> tuple[Join, ...]:
    planned, _ = plan_joins(laid, courses_of(laid))
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
    laid: Laid, joins, before: AtRest | None, sweeps: int, tell, cores: int | None, stations: int, anew: bool = False
) -> dict[str, PartAtRest]:
    """Base and side after so many sweeps at most, on from `before` where there is one; `anew` where that ends in a
    tangle. Beyond MOST_NODES there are none, nor for what was lost when it was brought roughly to rest."""
    parts: dict[str, PartAtRest] = {}
    for where, tier, low, high in _tiers(laid):
        name = part_name(where, tier)
        below = parts.get(part_name(where, tier - 1)) if tier else None
        built = build(laid, where, joins, stations, tier, None if below is None else _comes_to(below))
        if built is None:
            continue

        def shared(share: float, low: float = low, high: float = high) -> None:
            tell(low + (high - low) * share)

        nodes = built.wall.nodes + sum(part.built.wall.nodes for part in parts.values())
        most = min(sweeps, max(LEAST_SWEEPS, MOST_WORK // built.wall.nodes)) if nodes <= MOST_NODES else 0
        if not anew and before is not None and name in before.parts and before.parts[name].rest.lost:
            most = 0
        old = before.parts.get(name) if before is not None and name not in before.tangled else None
        if old is not None and old.built.ends == built.ends:
            begun, forces = start_from(built, old)
            part = PartAtRest(begun, rod_wall.relax(begun.wall, most, MOST_OVERLAP, BALANCE, cores, shared, forces))
            if not anew or not _is_tangled(part):
                parts[name] = part
                continue
        # Reeds of another count of ends lie too differently to begin from, and so may any that end in a tangle.
        parts[name] = PartAtRest(built, rod_wall.relax(built.wall, most, MOST_OVERLAP, BALANCE, cores, shared))
    return parts


def part_name(where: str, tier: int) -> str:
    """What the rods of a tier of the base or side are called: "side", "side 2" …"""
    return f"{where} {tier + 1}" if tier else where


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
    return part.built, part.built.stacked if _is_tangled(part) else part.rest.at


def part_of(band: BandLaid) -> str:
    """The part that a band's rods belong to."""
    return part_name(band.band.where, band.tier)


def start_from(built: Built, old: PartAtRest) -> tuple[Built, Known]:
    """The same rods, started where an earlier answer left them, and its forces.

    Reeds are known again by what they weave: band, block, weaver, strand, and where round; joins may lie elsewhere. A
    band that now stands higher or lower is lifted as a whole.
    """
    at = built.wall.at.copy()
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
            _, here, there = np.intersect1d(mine, was, return_indices=True)
            nodes, before = nodes[here], before[there]
            at[nodes] += old.rest.at[before] - old.built.stacked[before]
            free = was_at[before] < 0
            was_at[before[free]] = nodes[free]
            known[nodes] = True
    wall, contacts, rest = replace(built.wall, at=at, order_at=built.stacked), old.rest.contacts, old.rest
    low, high = was_at[contacts.low], was_at[contacts.high]
    both, kept = (low >= 0) & (high >= 0), np.flatnonzero(was_at >= 0)
    pairs, turned = contacts_between(wall, low[both], high[both])
    push = np.where(turned[:, None], -rest.push[both], rest.push[both])
    return replace(built, wall=wall), Known(pairs, push, was_at[kept], rest.post_push[kept])


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


# Lengths -------------------------------------------------------------------------------------------------------


def _with_true_lengths(laid: Laid, parts: dict[str, PartAtRest]) -> Laid:
    """The same basket with the relaxed length of every row."""
    bands = []
    for band in laid.bands:
        if part_of(band) not in parts:
            bands.append(band)
            continue
        row_mm = _row_lengths(laid, band, parts[part_of(band)])
        ring = 2 * np.pi * band.radius * (band.band.weave.reach / band.spaces if band.band.weave.turns == "back" else 1)
        bands.append(replace(band, row_mm=row_mm, take_up=row_mm / ring))
    return replace(laid, bands=tuple(bands))


def edge_mm(laid: Laid, where: str, part: PartAtRest) -> np.ndarray:
    """Length, mm, from every node to the next in space (nodes,); 0 at the end of a rod."""
    wall, at = part.built.wall, part.at
    s, n = at[:, 0], at[:, 1]
    if where == "base":
        radius = laid.design.form.base_radius(s)
    else:
        step = 0.5  # mm either way, for the slope of the wall
        lean = (laid.design.form.radius(s + step) - laid.design.form.radius(np.maximum(s - step, 0.0))) / (2 * step)
        radius = laid.design.form.radius(np.maximum(s, 0.0)) + n * np.sqrt(np.maximum(1 - lean**2, 0.0))
    after = np.minimum(np.arange(len(s)) + 1, len(s) - 1)
    around = 2 * np.pi * (radius + radius[after]) / 2 / _round(laid, where, part.built)
    out = np.sqrt(around**2 + (s[after] - s) ** 2 + (n[after] - n) ** 2)
    out[wall.off[1:] - 1] = 0.0
    return out


def _round(laid: Laid, where: str, built: Built) -> int:
    """Stations once round."""
    return built.stations * built.ends


def _row_lengths(laid: Laid, band: BandLaid, part: PartAtRest) -> np.ndarray:
    """Mean length, mm, that one reed of the band lays in each row (rows,), its tucked ends left out."""
    built = part.built
    mine = np.repeat([line.band == band.index for line in built.lines], np.diff(built.wall.off)) & built.woven
    edges = edge_mm(laid, band.band.where, part)
    row = built.row[mine]
    reeds = len(band.colours) * band.band.strands
    laid_mm = np.bincount(row, edges[mine], band.rows) / reeds
    steps = np.bincount(row, minlength=band.rows) / reeds
    # A weaver that starts some spaces on ends them early: a row's length is that of its share of steps.
    whole: float = _round(laid, band.band.where, built)
    whole = whole * band.band.weave.reach / band.spaces if band.band.weave.turns == "back" else whole
    return laid_mm * np.where(steps > 0, whole / np.maximum(steps, 1), 0.0)


# What else the reeds say ---------------------------------------------------------------------------------------


def _at_rest(laid: Laid, stacked: Laid, parts: dict[str, PartAtRest]) -> Laid:
    """The basket with what relaxed reeds say of every band, and its bands where they came to stand."""
    bands, start = [], {"base": 0.0, "side": stacked.turn_mm}
    for band, before in zip(laid.bands, stacked.bands, strict=True):
        where = band.band.where
        if part_of(band) not in parts:  # it keeps its stacked form, on what came to rest below it
            lift = start[where] - band.start_s if start[where] else 0.0
            bands.append(
                replace(band, start_s=band.start_s + lift, end_s=band.end_s + lift, s=band.s + lift) if lift else band
            )
            start[where] = bands[-1].end_s
            continue
        part = parts[part_of(band)]
        mine = np.repeat([line.band == band.index for line in part.built.lines], np.diff(part.built.wall.off))
        mine &= part.built.woven
        low = start[where] or band.start_s
        top = max(_top(part, mine), low + band.thick_mm / 2)
        pitch = (top - low) / band.rows
        bend, usual = _bends(laid, band, part.built, rod_wall.bending_strain(part.rest), mine)
        press, loose, loosest = _presses(laid, band, part.built, part.rest, mine)
        said = BandAtRest(
            band.row_mm, top, light_of(laid, band, part), bend, usual, press * STIFFNESS_MPA, loose, loosest,
            float(before.take_up.mean()), before.pitch_mm,
        )  # fmt: skip
        s = low + (np.arange(band.rows) + 0.5) * pitch
        bands.append(replace(band, pitch_mm=pitch, start_s=low, end_s=top, s=s, at_rest=said))
        start[where] = top
    return replace(laid, bands=tuple(bands), top_s=start["side"] or stacked.top_s)


def _top(part: PartAtRest, mine: np.ndarray) -> float:
    """Height, mm, that the rods of these nodes reach, in the mean over the stations they pass."""
    station = part.built.wall.station[mine]
    reach = np.full(station.max() + 1, -np.inf)
    np.maximum.at(reach, station, part.at[mine, 0] + part.built.wall.r[mine])
    return float(reach[np.isfinite(reach)].mean())


def _spot(laid: Laid, band: BandLaid, built: Built, node: int, value: float) -> Spot:
    line = built.lines[int(built.wall.rod[node])]
    ends = band.ends
    group = int(built.u[node] % ends / ends * band.spaces + 1e-9) % band.spaces
    return Spot(int(built.row[node]), group, line.weaver, value)


def _bends(laid, band, built: Built, strain: np.ndarray, mine: np.ndarray) -> tuple[Spot, float]:
    nodes = np.flatnonzero(mine)
    worst = nodes[int(np.argmax(strain[nodes]))]
    rod = built.wall.rod[nodes].astype(np.int64)
    passage = np.floor(built.u[nodes] + 1e-9).astype(np.int64)
    key = rod * (passage.max() + 2) + passage
    peaks = np.zeros(len(key))
    _, which = np.unique(key, return_inverse=True)
    np.maximum.at(peaks, which, strain[nodes])
    return _spot(laid, band, built, worst, float(strain[worst])), float(np.median(peaks[: which.max() + 1]))


def _presses(laid, band, built: Built, rest: Rest, mine: np.ndarray) -> tuple[float, float, Spot]:
    """(usual press, share of loose places, loosest) on the spokes of one band; presses in stiffness per mm2."""
    on_post = (built.wall.post_side != 0) & mine
    nodes = np.flatnonzero(on_post)
    # Nodes that pass one spoke lie one after the other on one rod.
    breaks = np.r_[True, (np.diff(nodes) > 1) | (np.diff(built.wall.rod[nodes]) != 0)]
    passage = np.cumsum(breaks) - 1
    force = np.bincount(passage, rest.post_force[nodes])
    usual = float(np.median(force)) if len(force) else 0.0
    if usual <= 0:
        return 0.0, 1.0, Spot(0, 0, 0, 0.0)
    least = int(np.argmin(force))
    at = nodes[np.flatnonzero(passage == least)]
    spot = _spot(laid, band, built, int(at[len(at) // 2]), float(force[least] / usual))
    return usual, float(np.mean(force < LOOSE * usual)), spot


def light_of(laid: Laid, band: BandLaid, part: PartAtRest) -> float:
    """Share of a band that light passes through, looked at square on, 0 to 1: between reeds and beside spokes."""
    built, at = part.built, part.at
    low, high = band.start_s, band.end_s
    near = (at[:, 0] > low - 3 * band.thick_mm) & (at[:, 0] < high + 3 * band.thick_mm)
    station, s, r = built.wall.station[near], at[near, 0], built.wall.r[near]
    order = np.lexsort((s - r, station))
    station, bottom, top = station[order], (s - r)[order], (s + r)[order]
    # How high the reeds of a station reach so far: one running maximum, each station lifted above the one before.
    step = float(top.max() - bottom.min()) + 1.0
    reach = np.maximum.accumulate(top + station * step) - station * step
    same = station[1:] == station[:-1]
    open_from = np.clip(reach[:-1][same], low, high)
    open_to = np.clip(bottom[1:][same], low, high)
    gaps = np.bincount(station[1:][same], np.maximum(open_to - open_from, 0.0), _round(laid, band.band.where, built))
    return float((gaps * _beside_spokes(laid, band, built)).sum() / ((high - low) * len(gaps)))


def _beside_spokes(laid: Laid, band: BandLaid, built: Built) -> np.ndarray:
    """Share of every station's width that no spoke covers (stations round,)."""
    ends, base = band.ends, band.band.where == "base"
    many = ends // band.spaces if base else 1
    width = 2 * np.pi * float(band.radius.mean()) / ends / built.stations
    edges = np.r_[0, np.cumsum([len(x) for x in np.array_split(np.arange(ends), band.spaces)])]
    place = np.arange(ends * built.stations) / built.stations
    middles = (edges[:-1] + edges[1:]) / 2 if base else np.arange(ends) + 0.5
    away = np.abs(place[:, None] - middles[None, :])
    away = np.minimum(away, ends - away).min(axis=1) * built.stations * width
    half = many * sum(band.stand_mm) / 2
    return np.clip((away + width / 2 - half) / width, 0.0, 1.0)
