"""How hands open out the sticks of a round base, from band to band, so that every row can be woven. Lengths mm.

A row that goes round single ends or smaller groups can only be worked where there is room for its weaver between them,
and no stick takes a corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy

import numpy as np

from ..form.wall import smooth_through
from ..lay.values import Laid
from .crosses import arm_of

ROOM = 1.2
"""Thicknesses of a row's weaver that lie free between two sticks or groups that it passes between (common practice, no
source)."""
BENT = 0.25
"""Bend of sticks as they are opened out, where weavers have room: half their thickness over its radius, the most that
ordinary weaving asks (common practice, no source)."""
RUN_ON = 2  # rows past those in which sticks are opened out from which on they run straight outward


def opened(laid: Laid, reeds: np.ndarray, cross: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(radii (rows,), angles (rows, sticks) of all `reeds`) at the rows in which the base's first sticks are opened
    out; in the cross they stand at the angles `cross`.

    From one band to the next they are opened out over as many rows as they need, in the last of the one and the first
    of the next, as far as a row's own weaver has room. Where it has none between sticks that lie so slanted, they are
    opened out sooner, or more sharply.
    """
    opening = Opening(laid, reeds, cross)
    for k in range(len(opening.bands)):
        best, usual = -math.inf, opening.runs[k]
        tried = [(lead, sharp) for sharp in SHARPER for lead in SOONER]
        for lead, sharp in tried if usual > 0 else ():
            runs, leads = list(opening.runs), list(opening.leads)
            runs[k], leads[k] = usual * sharp, lead * usual * sharp / 2
            room = min(ROOM, opening.with_these(runs, leads).room(k))
            if room > best + 0.02:
                best, chosen = room, (runs, leads)
            if room >= ROOM:
                break
        if best > -math.inf:
            opening = opening.with_these(*chosen)
    rings = opening.rings()
    if not rings:
        return np.zeros(0), np.zeros((0, len(reeds)))
    return np.concatenate([rows for rows, _ in rings]), np.concatenate([angles for _, angles in rings])


SOONER = (0.0, 0.35, 0.7, 1.0)
"""Shares of half of its run by which sticks are opened out sooner, where a weaver has no room else."""
SHARPER = (1.0, 0.75)
"""Shares of the run in which they are opened out: the second bends them by 1.8 times BENT, a bend that makers nip."""


class Opening:
    """How the first sticks of a round base open out: from band to band in `runs` mm, `leads` mm sooner than midway."""

    def __init__(self, laid: Laid, reeds: np.ndarray, cross: np.ndarray) -> None:
        spokes = laid.design.spokes
        self.reeds, self.cross, self.thick = reeds, cross, spokes.stick_reed.diameter_mm
        self.ends, self.beside = spokes.ends_at_base, 1 if spokes.inserted else spokes.per_end
        self.bands = [band for band in laid.base if band.tier == 0]
        self._stood: dict[tuple[int, bytes], np.ndarray] = {}
        self._rings: dict[tuple[float, ...], tuple[np.ndarray, np.ndarray]] = {}
        self.runs = [self._opens_in(k) for k in range(len(self.bands))] + [0.0]
        self.leads = [0.0] * len(self.runs)

    def with_these(self, runs: list[float], leads: list[float]) -> Opening:
        """The same sticks, opened out so."""
        out = copy(self)
        out.runs, out.leads = runs, leads
        return out

    def stand(self, k: int, radii: np.ndarray) -> np.ndarray:
        """At what angles they stand in band k at `radii` (rows,), in the cross before the first: (rows, sticks)."""
        if k < 0:
            return np.broadcast_to(self.cross, (len(radii), len(self.cross)))
        key = k, radii.tobytes()
        if key not in self._stood:  # shared by all that open out otherwise: it is the same in each
            sizes = self.bands[k].sizes if k < len(self.bands) else [1] * self.ends
            self._stood[key] = stand_in_groups(self.reeds, self.ends, self.beside, sizes, radii[:, None], self.thick)
        return self._stood[key]

    def _opens_in(self, k: int) -> float:
        """mm in which they are opened out from the places of the band before to those of a band."""
        begins = self.bands[k].start_s
        at = np.array([begins])
        aside = begins * float(np.abs(self.stand(k, at) - self.stand(k - 1, at)).max())
        return math.sqrt(6 * aside * self.thick / 2 / BENT)

    def _rows(self, k: int) -> np.ndarray:
        """Radius of the rows of a band."""
        band = self.bands[k]
        half = band.band.reed.diameter_mm / 2
        last = max(band.end_s - half, band.start_s + half)
        return np.append(np.arange(band.start_s + half, last - band.pitch_mm / 2, band.pitch_mm), last)

    def _angles(self, k: int, radii: np.ndarray) -> np.ndarray:
        """At what angles they stand at rows of band k, (rows, sticks)."""
        band, at = self.bands[k], radii[:, None]
        aim, before, after = (self.stand(k + step, radii) for step in (0, -1, 1))
        angle = aim + (1 - opens(at - band.start_s + self.leads[k], self.runs[k])) * (before - aim)
        if k + 1 < len(self.bands):
            past = at - self.bands[k + 1].start_s + self.leads[k + 1]
            angle = angle + opens(past, self.runs[k + 1]) * (after - aim)
        room = ROOM * band.band.reed.diameter_mm
        parted = _parted(arm_of(self.reeds // self.beside, band.sizes))
        now, then = ((at * _gaps(each) - self.thick)[:, parted] for each in (angle, aim))
        return angle + share_between(room, now, then)[:, None] * (aim - angle)

    def rings(self) -> list[tuple[np.ndarray, np.ndarray]]:
        """(radii (rows,), angles (rows, sticks)) of the rows of every band in which they are opened out."""
        return [self._ring(k) for k in range(len(self.bands))]

    def _ring(self, k: int) -> tuple[np.ndarray, np.ndarray]:
        key = k, *self.leads[k : k + 2], *self.runs[k : k + 2]
        if key not in self._rings:  # most are tried again beside another band that opens out otherwise
            band, ends_at = self.bands[k], self.bands[k + 1].start_s if k + 1 < len(self.bands) else math.inf
            more, rows = RUN_ON * band.pitch_mm, self._rows(k)
            opened = band.start_s - self.leads[k] + self.runs[k] / 2 + more
            opens = ends_at - self.leads[k + 1] - self.runs[k + 1] / 2 - more
            rows = rows[~((opened < rows) & (rows < min(opens, rows[-1])))]
            self._rings[key] = rows, self._angles(k, rows)
        return self._rings[key]

    def room(self, k: int) -> float:
        """Least room, in thicknesses of the weaver, in the first two rows of band k and in the band before it, square
        to the sticks as they run there."""
        rings = self.rings()
        radii = np.concatenate([[self.bands[0].start_s * 0.75], *(rows for rows, _ in rings)])
        radii, first = np.unique(radii, return_index=True)
        angles = np.concatenate([self.cross[None], *(angles for _, angles in rings)])[first]
        bands = [(k, self._rows(k)[:2]), *([(k - 1, self._rows(k - 1))] if k else [])]
        at = np.concatenate([rows for _, rows in bands])[:, None] + np.array([-0.5, 0.0, 0.5])
        near = smooth_through(radii, angles.T, at.ravel()).T.reshape(*at.shape, -1)
        out, done = math.inf, 0
        for of, rows in bands:
            radius, mine = rows[:, None], near[done : done + len(rows)]
            slant = radius * (mine[:, 2] - mine[:, 0])
            square = 1 / np.sqrt(1 + np.maximum(slant**2, np.roll(slant, -1, axis=1) ** 2))
            parted = _parted(arm_of(self.reeds // self.beside, self.bands[of].sizes))
            apart = radius * _gaps(mine[:, 1]) * square
            least = float((apart - self.thick)[:, parted].min(initial=math.inf))
            out, done = min(out, least / self.bands[of].band.reed.diameter_mm), done + len(rows)
        return out


def _parted(group: np.ndarray) -> np.ndarray:
    """Whether each of a ring and the next belong to two groups."""
    return np.diff(group, append=-1) != 0


def _gaps(angle: np.ndarray) -> np.ndarray:
    """From each of a ring's angles (rows, sticks) to the next, right round."""
    return np.diff(angle, axis=1, append=angle[:, :1] + 2 * np.pi)


def opens(past: float | np.ndarray, run: float) -> np.ndarray:
    part: np.ndarray = np.minimum(1.0, np.maximum(0.0, 0.5 + past / max(run, 1e-9)))
    return part * part * (3 - 2 * part)


def share_between(room: float, now: np.ndarray, then: np.ndarray) -> np.ndarray:
    """How far, 0 to 1 (rows,), from gaps (rows, gaps) of `now` mm to those of `then`, so that all of a row are `room`
    mm, or as wide as they come."""
    least = np.minimum(room, then)
    share = (least - now) / np.maximum(then - now, 1e-9)
    return np.minimum(1.0, np.max(share, axis=-1, initial=0.0, where=now < least))


def middles(reeds: np.ndarray, ends: int, beside: int, sizes: Sequence[int]) -> np.ndarray:
    """Angle of the middle of the group that each reed belongs to."""
    which = arm_of(reeds // beside, sizes)
    first, size = np.cumsum([0, *sizes[:-1]])[which], np.array(sizes)[which]
    return 2 * np.pi * (first + (size - 1) / 2 + 0.5) / ends


def stand_in_groups(
    reeds: np.ndarray, ends: int, beside: int, sizes: Sequence[int], radius: float | np.ndarray, thick: float
) -> np.ndarray:
    """At what angle reeds stand (k,) at `radius`, or (rows, k) at radii (rows, 1), when ends of `beside` reeds are
    worked in groups of these `sizes`: all reeds of a group lie side by side."""
    which = arm_of(reeds // beside, sizes)
    first, size = np.cumsum([0, *sizes[:-1]])[which], np.array(sizes)[which]
    across = (reeds - (first * beside + (size * beside - 1) / 2)) * thick
    return middles(reeds, ends, beside, sizes) + np.arctan2(across, radius)
