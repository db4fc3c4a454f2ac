"""What reeds at rest say of each band: true lengths, where it stands, light, bends, presses. Lengths mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..lay.values import BandAtRest, BandLaid, Laid, Spot
from ..rods import wall as rod_wall
from ..rods.contacts import in_order
from ..rods.wall import Rest
from .built import STIFFNESS_MPA, Built
from .values import PartAtRest

LOOSE = 0.1
"""A reed lies loose on a spoke that it presses with less than this share of what its band's reeds usually press (common
practice, no source)."""


def part_name(where: str, tier: int) -> str:
    """What the rods of a tier of the base or side are called: "side", "side 2" …"""
    return f"{where} {tier + 1}" if tier else where


def part_of(band: BandLaid) -> str:
    """The part that a band's rods belong to."""
    return part_name(band.band.where, band.tier)


# Lengths -------------------------------------------------------------------------------------------------------


def with_true_lengths(laid: Laid, parts: dict[str, PartAtRest]) -> Laid:
    """The same basket with the relaxed length of every row."""
    bands: list[BandLaid] = []
    edges: dict[str, np.ndarray] = {}
    for band in laid.bands:
        name = part_of(band)
        if name not in parts:
            bands.append(band)
            continue
        if name not in edges:
            edges[name] = edge_mm(laid, band.band.where, parts[name])
        row_mm = _row_lengths(laid, band, parts[name], edges[name])
        ring = 2 * np.pi * band.radius * (band.band.weave.reach / band.spaces if band.band.weave.turns == "back" else 1)
        bands.append(replace(band, row_mm=row_mm, take_up=row_mm / ring))
    return replace(laid, bands=tuple(bands))


def with_drawn_lengths(laid: Laid, parts: dict[str, PartAtRest], long_mm: Mapping[str, np.ndarray]) -> Laid:
    """The same basket once all of it has given way in space, with the length of every row and of every reed as it is
    drawn; `long_mm` of every reed (see `space.together`), of the `parts` that came to rest."""
    bands: list[BandLaid] = []
    for band in laid.bands:
        part = parts.get(part_of(band))
        if part is None or band.at_rest is None:
            bands.append(band)
            continue
        edges = np.concatenate([long_mm[line.name] for line in part.built.lines])
        row_mm = _row_lengths(laid, band, part, edges)
        said = replace(band.at_rest, row_mm=row_mm)
        bands.append(replace(band, row_mm=row_mm, take_up=band.take_up * row_mm / band.row_mm, at_rest=said))
    drawn = {name: float(mm.sum()) for name, mm in long_mm.items()}
    return replace(laid, bands=tuple(bands), drawn_mm=drawn)


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


def _row_lengths(laid: Laid, band: BandLaid, part: PartAtRest, edges: np.ndarray) -> np.ndarray:
    """Mean length, mm, that one reed of the band lays in each row (rows,), its tucked ends left out; `edges` of its
    part (see `edge_mm`)."""
    built = part.built
    mine = np.repeat([line.band == band.index for line in built.lines], np.diff(built.wall.off)) & built.woven
    row = built.row[mine]
    reeds = len(band.colours) * band.band.strands
    laid_mm = np.bincount(row, edges[mine], band.rows) / reeds
    steps = np.bincount(row, minlength=band.rows) / reeds
    # A weaver that starts some spaces on ends them early: a row's length is that of its share of steps.
    whole: float = _round(laid, band.band.where, built)
    whole = whole * band.band.weave.reach / band.spaces if band.band.weave.turns == "back" else whole
    return laid_mm * np.where(steps > 0, whole / np.maximum(steps, 1), 0.0)


# What else the reeds say ---------------------------------------------------------------------------------------


def read_off(laid: Laid, stacked: Laid, parts: dict[str, PartAtRest]) -> Laid:
    """The basket with what relaxed reeds say of every band, and its bands where they came to stand."""
    down = parts["side"].built.down_mm if "side" in parts else 0.0
    bands, start = [], {"base": 0.0, "side": stacked.turn_mm - down}
    strains = {name: rod_wall.bending_strain(part.rest) for name, part in parts.items() if part.built.where != "border"}
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
        bend, usual = _bends(laid, band, part.built, strains[part_of(band)], mine)
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
    # Nodes that pass one spoke lie one after the other on one rod.
    begins = np.flatnonzero(np.r_[True, (rod[1:] != rod[:-1]) | (passage[1:] != passage[:-1])])
    peaks = np.maximum.reduceat(strain[nodes], begins)
    return _spot(laid, band, built, worst, float(strain[worst])), float(np.median(peaks))


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
    if not near.any():  # woven on what keeps its stacked form after all, and lies lower: seen where its own reeds lie
        near[:] = True
        low, high = float((at[:, 0] - built.wall.r).min()), float((at[:, 0] + built.wall.r).max())
    station, s, r = built.wall.station[near], at[near, 0], built.wall.r[near]
    order = np.argsort(s - r, kind="stable")
    order = order[in_order(station[order])]
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
