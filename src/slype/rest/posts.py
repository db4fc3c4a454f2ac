"""Spokes and sticks as posts that bow under what is woven on them (`rods.posts`), and how they stand. Lengths mm."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..lay.values import Bowed, Laid
from ..rods.posts import BINDS, PARTS, RING, Posts
from ..surface.added_ends import bye_starts_mm, numbers_in
from ..surface.standing import beside_sticks
from .built import Built
from .values import PartAtRest

SHORTEST = 4.0  # thicknesses of what stands: over a shorter way it does not bow
STEP_MM = 2.0  # between the places at which it is told how ends stand
HELD_MM = 12.0  # below the border, where they come to stand as it holds them


def with_posts(laid: Laid, built: Built, below: PartAtRest | None) -> Built:
    """The same rods, whose ends bow: each is held where its surface begins (in a base at the edge of the cross), comes
    on from there as it stands in the part `below`, and is held at the top of what is woven, or the base's edge."""
    where, tier, wall = built.where, built.tier, built.wall
    low, top = laid.tier_start_mm(where, tier), None
    if where == "base":
        low = low or laid.cross_mm
        if tier == len(laid.design.tiers("base")) - 1:
            top = max(laid.base_reached_mm, laid.design.form.base_width_mm) / 2
    thick = laid.design.spokes.reed if where == "side" else laid.design.spokes.stick_reed
    if (float(wall.at[:, 0].max()) if top is None else top) - low < SHORTEST * thick.diameter_mm:
        return built
    place, count = built.u % built.ends, np.diff(wall.off)
    first, many = np.floor(place + 1e-9).astype(np.int64) % built.ends, np.ones(wall.nodes, np.int64)
    bands = {band.index: band for band in laid.bands}
    numbers = [line.band for line in built.lines]
    of_band = np.repeat(np.array(numbers) - min(numbers), count)
    bind = np.zeros(wall.nodes)
    for number in dict.fromkeys(numbers):
        band = bands[number]
        if band.band.group == 1:
            continue
        mine, edges = np.flatnonzero(of_band == number - min(numbers)), np.r_[0, np.cumsum(band.sizes)]
        group = np.clip(np.searchsorted(edges, place[mine] + 1e-9, side="right") - 1, 0, len(edges) - 2)
        first[mine], many[mine] = edges[group], np.diff(edges)[group]
        share = wall.h[mine] / many[mine] / max(band.stand_mm) ** 4
        bind[mine] = np.where(wall.post_side[mine] != 0, BINDS * share, 0.0)
    ring = np.zeros(wall.nodes)
    if where == "side":  # what bows out of a base's plane widens no ring
        radius = wall.h * (built.ends * built.stations / (2 * math.pi))
        ring = RING / (np.repeat([bands[number].deep_mm for number in numbers], count) * radius) ** 2 * wall.h
    ring, bind = (each * wall.bend[wall.rod] for each in (ring, bind))
    posts = Posts(built.ends, low, first, many, place, _stiff(laid, built, low), _slope(laid, built, below), ring, bind,
                  of_band, top)  # fmt: skip
    return replace(built, wall=replace(wall, posts=posts))


def _stiff(laid: Laid, built: Built, low: float) -> np.ndarray:
    """Bending stiffness of every end (ends, PARTS): of all its reeds side by side."""
    spokes, bye = laid.design.spokes, laid.design.bye_spokes
    if built.where == "base":
        beside = 1 if spokes.inserted else spokes.per_end
        return np.full((built.ends, PARTS), beside * _bend(spokes.stick_reed.diameter_mm))
    out = np.full((built.ends, PARTS), spokes.per_end * _bend(spokes.reed.diameter_mm))
    if bye is not None:
        s = low + (np.arange(PARTS) + 0.5) / PARTS * (float(built.wall.at[:, 0].max()) - low)
        out[:, s > bye_starts_mm(laid) - bye.insertion_mm] += _bend(bye.reed.diameter_mm)
    return out


def _bend(thick_mm: float) -> float:
    return math.pi / 64 * thick_mm**4


def _slope(laid: Laid, built: Built, below: PartAtRest | None) -> np.ndarray:
    """In what slope (ends,) each end comes on from below; upright out of a board."""
    bow = None if below is None else below.rest.bow
    if bow is None or below is None:
        return np.zeros(built.ends)
    comes: np.ndarray = bow.at[:, -1, 1]
    if built.tier:
        return comes[np.array(laid.design.tiers(built.where)[built.tier].came)]
    if built.where == "side" and laid.design.spokes.inserted:
        return comes[[stick for stick, _ in beside_sticks(laid.design)]]
    return comes


def with_bows(laid: Laid, parts: Mapping[str, PartAtRest]) -> Laid:
    """The same basket at rest, its ends bowed as they stand in base and side, as far as their `parts` came to rest."""
    out = {}
    for where in ("base", "side"):
        mine = [part for part in parts.values() if part.built.where == where and part.rest.bow is not None]
        if not mine:
            continue
        top = max(part.rest.bow.top for part in mine if part.rest.bow is not None)
        s = np.arange(0.0, top + 2 * STEP_MM, STEP_MM)
        mm = np.zeros((laid.design.tiers(where)[-1].ends, len(s)))
        for part in mine:
            bow = part.rest.bow
            if bow is not None:
                mm += bow.mm(s)[numbers_in(laid, where, part.built.tier)]
        warp = next((part.warp for part in mine), None)
        s = s if warp is None else warp.risen(s)
        if where == "side":  # the border holds them at the last row's mean height, the solve where that is highest
            over = [np.interp(laid.top_s, s, each) for each in mm]
            mm -= np.outer(over, np.clip((s - laid.top_s) / HELD_MM + 1, 0.0, 1.0))
            mm[:, s > laid.top_s] = 0.0
        out[where] = Bowed(s, mm)
    return replace(laid, bowed=out)
