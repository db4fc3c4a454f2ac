"""Where the numbers of spokes and spaces stand in the picture, so that a sentence's numbers are found at the basket.

Theory
1. Every part of the work has a ring of places: of each spoke (or group, where a band is woven over groups) and of each
   space, as they are counted in that part. They are laid as the reeds are (`space.tubes.on_surface`), a little ahead of
   the work, so that a number stands on bare spoke and not on what is woven.
2. A band grows, and its numbers rise with it: a ring is told at the band's beginning and at its end, and the page takes
   the share of the rows between. So the page reckons no place; it puts on the screen what it is given.
3. A foot is laid as the picture lays it, turned over; a lid as it is woven, by itself.

Told for the right hand; the page mirrors the places, never the numbers.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ..lay.boards import lay_board
from ..lay.values import BandLaid, Laid
from ..order.kinds import ACTS, APART, OTHERS, Moments, WorkPart
from ..space.assembly import OVER
from ..space.tubes import on_surface
from ..surface.added_ends import among_last_ends

AHEAD_MM = {"spaces": 7.0, "spokes": 17.0}
"""How far before the work the numbers stand: spaces close to where weavers wait, spokes beyond them, so that on a
phone neither covers the other (as it looked best, no source)."""
ON_TIPS_MM = {"spokes": 3.0, "spaces": -9.0}
"""How far beyond the tips of a cross its numbers stand: spokes on them, spaces between them (as it looked best)."""
OFF_MM = 3.0
"""How far before the wall: a number is not hidden in the spoke it stands on."""
ASIDE_MM = 16.0
"""How far outside the edge, where what is numbered stands in the way of its own number."""

Ring = dict[str, Any]


def rings(laid: Laid, order: Moments) -> list[Ring | None]:
    """For every part of the work its ring: `whole` True where the far side is seen as well as the near one, `spokes`
    and `spaces` each [at the beginning, at the end], a list of x, y, z in mm for number 1, 2 and so on. None where
    nothing is counted."""
    return [_of_other(order, part) if part.of else _ring(laid, order, part) for part in order.parts]


def passed(order: Moments, moment: int) -> list[int]:
    """Numbers of the spokes (or groups), from 0, that a moment's sentence names."""
    act = ACTS[order.act[moment]]
    end = int(order.end[moment])
    if act == "stick":
        within = (each.order for each in order.others.values() if 0 <= moment - each.first < len(each.order))
        return list(next(within, order).stick_ends[end])
    if act == "stroke":
        return [*order.in_front(moment), *order.behind(moment)]
    if act == "foot":  # below a board it goes the other way round: see `space.feet`
        found = [*([end] if end >= 0 else []), *order.in_front(moment), *order.behind(moment)]
        return [-each % int(order.spaces[moment]) for each in found]
    if act == "border":
        return [*([end] if end >= 0 else []), *order.in_front(moment), *order.behind(moment)]
    if act in ("wrap", "rods"):  # it begins at the first foot
        return [order.arches[int(order.row[moment]), int(order.block[moment])].home]
    return [end] if act in ("hole", "insert", "turn", "add", "push in", "fasten", "bye") and end >= 0 else []


def goal(laid: Laid, order: Moments, moment: int) -> int:
    """Number, from 0, of the spoke beside which an end of an open border is pushed down; -1 where none is. A foot and a
    lid have borders of their own."""
    of = int(order.of[moment])
    design = (order.others[OTHERS[of]].laid if of >= 0 else laid).design
    if ACTS[order.act[moment]] != "border" or not design.border.is_open:
        return -1
    return (order.passes[moment][-1].spoke + 1) % design.top_ends


def _of_other(order: Moments, part: WorkPart) -> Ring | None:
    """A ring of a foot or a lid where it is drawn: of what is woven apart as of any basket, of a foot turned over."""
    other = order.others[part.of]
    own = next(each for each in other.order.parts if each.first + other.first == part.first)
    ring = _ring(other.laid, other.order, own)
    if ring is None or part.of in APART:
        return ring
    turned = {
        what: [np.round(np.array(each).reshape(-1, 3) * OVER, 1).tolist() for each in ring[what]]
        for what in ("spokes", "spaces")
    }
    # Of a basket that is set down on its border the far side of a foot is hidden.
    return {"whole": False, **turned}


def _ring(laid: Laid, order: Moments, part: WorkPart) -> Ring | None:
    design = laid.design
    if part.band is not None:
        band = next(each for each in laid.bands if each.index == part.band)
        return _of_band(laid, band, part.key)
    if part.key == "cross":
        # At their tips, where one lies apart from the next.
        every, s = np.arange(design.tiers("base")[0].ends), laid.base_reached_mm / 2
        at = {what: s - AHEAD_MM[what] + more for what, more in ON_TIPS_MM.items()}
        return _told(True, _round(laid, "base", 0, every + 0.5, (at["spokes"],) * 2, "spokes"),
                     _round(laid, "base", 0, every * 1.0, (at["spaces"],) * 2, "spaces"))  # fmt: skip
    if part.key == "board" and (board := lay_board(laid)) is not None:
        every = np.arange(design.foot_ends)
        high = np.full(len(every), AHEAD_MM["spokes"])
        place = _places(laid, "side", every + 0.5, high, np.full(len(every), OFF_MM))
        if any(ACTS[act] == "foot" for act in order.act[part.first : part.beyond]):
            low = np.full(len(every), -board.thickness_mm - AHEAD_MM["spaces"])
            return _told(False, [place, _places(laid, "foot", every + 0.5, low, np.full(len(every), OFF_MM))], [[], []])
        return _told(False, [place, place], [[], []])
    if part.key in ("insert", "turn"):
        return _at_edge(laid, part.key)
    if part.key in ("border", "trim", "handle"):
        every = np.arange(design.top_ends)
        along, out = (ASIDE_MM, 0.0) if laid.is_mat else (laid.top_s, ASIDE_MM)
        place = _places(laid, "side", every + 0.5, np.full(len(every), along), np.full(len(every), out))
        return _told(laid.is_mat, [place, place], [[], []])
    return None


def _at_edge(laid: Laid, key: str) -> Ring:
    """Side spokes as they are pushed in round the base, or turned up at its edge."""
    design = laid.design
    every = np.arange(design.foot_ends)
    spaces, spokes = (among_last_ends(laid, "side", 0, u, every * 0.0) for u in (every * 1.0, every + 0.5))
    if key == "insert":  # seen from below, so beyond the edge
        out = [_places(laid, "side", u, every * 0.0, np.full(len(every), ASIDE_MM)) for u in (spokes, spaces)]
    else:
        out = [
            _places(laid, "side", u, np.full(len(every), 2 * AHEAD_MM[what]), np.full(len(every), OFF_MM))
            for u, what in ((spokes, "spokes"), (spaces, "spaces"))
        ]
    return _told(key == "insert", [out[0]] * 2, [out[1]] * 2)


def _of_band(laid: Laid, band: BandLaid, key: str) -> Ring:
    """What a band's weavers pass: spokes, or groups of them; and what is pushed in before it."""
    where = band.band.where
    edges = np.r_[0, np.cumsum(band.band.sizes(band.ends))].astype(float)
    ends = (band.start_s, band.start_s) if key in ("add", "bye") else (band.start_s, band.end_s)
    spokes = np.arange(band.ends) + 0.5 if key in ("add", "bye") else (edges[1:] + edges[:-1]) / 2
    flat = where == "base" or laid.is_mat
    return _told(flat, _round(laid, where, band.tier, spokes, ends, "spokes"),
                 _round(laid, where, band.tier, edges[:-1], ends, "spaces"))  # fmt: skip


def _round(laid: Laid, where: str, tier: int, u: np.ndarray, ends: tuple[float, float], what: str) -> list[np.ndarray]:
    """Places (k, 3) at both ends of a band, ahead of the work."""
    out = []
    for at in ends:
        s = np.full(len(u), at)
        place = among_last_ends(laid, where, tier, u, s)
        out.append(_places(laid, where, place, s + AHEAD_MM[what], np.full(len(u), OFF_MM)))
    return out


def _places(laid: Laid, where: str, u: np.ndarray, s: np.ndarray, n: np.ndarray) -> np.ndarray:
    return np.round(np.stack(on_surface(laid, where, u, s, n), axis=1), 1)


def _told(whole: bool, spokes: list, spaces: list) -> Ring:
    return {
        "whole": whole,
        **{name: [np.asarray(each).tolist() for each in found]
           for name, found in (("spokes", spokes), ("spaces", spaces))},
    }  # fmt: skip
