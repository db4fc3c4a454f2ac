"""Where the reeds of a woven base stand: side by side in the cross, opened out row by row, to even places at its edge.

Hands open the sticks out as they weave: a row that goes round single ends or smaller groups can only be worked where
there is room for its weaver between them, and no stick takes a corner. Lengths mm.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from copy import copy

import numpy as np

from ..form.wall import smooth_through
from ..lay.values import BandLaid, Laid
from .added_ends import along_spoke, among_last_ends, ends_by_tier
from .crosses import arm_of, parted_mm, past_half_mm
from .curve import SameBase


def base_sticks(laid: Laid) -> list[np.ndarray]:
    """Base reeds from the centre to the edge, each as points (x, y) mm: four arms of a cross, fanning out by bands.

    The reeds of one end follow each other. One that is added on the way begins where its slype lies.
    """
    return list(_base_sticks(SameBase(laid)))


@functools.lru_cache(maxsize=4)
def _base_sticks(same: SameBase) -> tuple[np.ndarray, ...]:
    found = _worked(same.laid)
    for each in found:
        each.setflags(write=False)
    return tuple(found)


def _worked(laid: Laid) -> list[np.ndarray]:
    if laid.design.base.is_board:
        return []
    spokes = laid.design.spokes
    beside = 1 if spokes.inserted else spokes.per_end
    first = _round_sticks(laid) if laid.design.form.is_round else _oval_sticks(laid)
    if len(laid.design.tiers("base")) == 1:
        return first
    out = []
    for tier, numbers in ends_by_tier(laid, "base"):
        for k in range(beside):
            on = _later(laid, tier, numbers, k - (beside - 1) / 2)
            out.append(np.concatenate([first[numbers[0] * beside + k], on]) if tier == 0 else on)
    return out


def _later(laid: Laid, tier: int, numbers: list[int], shift: float) -> np.ndarray:
    """Points (x, y) mm of a base end from where ends are added to the edge, `shift` reeds aside."""
    design = laid.design
    thick, edge = design.spokes.stick_reed.diameter_mm, _edge(laid)
    begins = laid.tier_start_mm("base", max(tier, 1))
    low = max(begins - design.spokes.insertion_mm, laid.cross_mm) if tier else begins
    s = np.linspace(low, edge, 24)
    u = along_spoke(laid, "base", tier, numbers, s)
    if tier:  # below, it lies beside the one it is pushed in beside, which stands closer in to the middle
        own = design.tiers("base")[tier]
        old = np.full(len(s), own.came[numbers[0]] + 0.5)
        with_it = among_last_ends(laid, "base", tier - 1, old, s)
        aside = (u[0] - with_it[0]) * begins / np.maximum(s, 1.0)
        u = np.where(s < begins, with_it + aside, u)
    around = 2 * np.pi * np.maximum(design.form.base_radius(s), 1.0) / design.tiers("base")[-1].ends
    x, y, _, _ = design.form.base_place(design.turn("base", u + shift * thick / around), s)
    return np.stack([y, x], axis=1) if design.form.is_round else np.stack([x, y], axis=1)


def _edge(laid: Laid) -> float:
    """Half the width of the base, where its sticks end, turn up or turn down into the border of a mat."""
    woven = laid.base_reached_mm / 2
    if laid.is_mat or (laid.design.spokes.inserted and laid.base):  # trimmed close to the last row
        return woven
    return max(woven, laid.design.form.base_width_mm / 2)


ROOM = 1.2
"""Thicknesses of a row's weaver that lie free between two sticks or groups that it passes between (common practice, no
source)."""
BENT = 0.25
"""Bend of sticks as they are opened out, where weavers have room: half their thickness over its radius, the most that
ordinary weaving asks (common practice, no source)."""
RUN_ON = 2  # rows past those in which sticks are opened out from which on they run straight outward


def _until(laid: Laid) -> float:
    """How far out the first ends of the base stand alone."""
    tiers = laid.design.tiers("base")
    return laid.tier_start_mm("base", 1) if len(tiers) > 1 else math.inf


def _round_sticks(laid: Laid) -> list[np.ndarray]:
    spokes = laid.design.spokes
    ends, thick = spokes.ends_at_base, spokes.stick_reed.diameter_mm
    beside = 1 if spokes.inserted else spokes.per_end
    reeds = np.arange(ends * beside)
    # Toward the centre a stick runs on parallel to its arm.
    arms, radius = laid.design.arms, laid.cross_mm * 0.75
    angle = _stand(reeds, ends, beside, arms, radius, thick)
    out = radius / np.cos(angle - _middles(reeds, ends, beside, arms))
    first = out[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    arm = _arm_angle(reeds // beside, arms)
    aside = parted_mm(laid.design, reeds // beside) + past_half_mm(laid.design, reeds // beside)
    first += aside[:, None] * np.stack([-np.sin(arm), np.cos(arm)], axis=1)
    across = -first[:, 0] * np.sin(arm) + first[:, 1] * np.cos(arm)
    centre = np.stack([-across * np.sin(arm), across * np.cos(arm)], axis=1)
    near = 2 * np.pi * (reeds // beside + 0.5) / ends
    angle = np.arctan2(first[:, 1], first[:, 0])
    angle += 2 * np.pi * np.round((near - angle) / (2 * np.pi))
    at, angles = _opened(laid, reeds, angle)
    if len(laid.design.tiers("base")) == 1:
        at = np.append(at, _edge(laid))
        angles = np.concatenate([angles, [_stand(reeds, ends, beside, [1] * ends, at[-1], thick)]])
    later = at[:, None, None] * np.stack([np.cos(angles), np.sin(angles)], axis=2)
    return list(np.concatenate([[centre, first], later]).transpose(1, 0, 2))


def _opened(laid: Laid, reeds: np.ndarray, cross: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(radii (rows,), angles (rows, sticks) of all `reeds`) at the rows in which the base's first sticks are opened
    out; in the cross they stand at the angles `cross`.

    From one band to the next they are opened out over as many rows as they need, in the last of the one and the first
    of the next, as far as a row's own weaver has room. Where it has none between sticks that lie so slanted, they are
    opened out sooner, or more sharply.
    """
    opening = _Opening(laid, reeds, cross)
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


SOONER_OVAL = 0.5
"""The same share for the long sticks of an oval: nothing is woven round them before, but their bunch is at the first
row's own place."""


class _Opening:
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

    def with_these(self, runs: list[float], leads: list[float]) -> _Opening:
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
            self._stood[key] = _stand(self.reeds, self.ends, self.beside, sizes, radii[:, None], self.thick)
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
        angle = aim + (1 - _opens(at - band.start_s + self.leads[k], self.runs[k])) * (before - aim)
        if k + 1 < len(self.bands):
            past = at - self.bands[k + 1].start_s + self.leads[k + 1]
            angle = angle + _opens(past, self.runs[k + 1]) * (after - aim)
        room = ROOM * band.band.reed.diameter_mm
        parted = _parted(arm_of(self.reeds // self.beside, band.sizes))
        now, then = ((at * _gaps(each) - self.thick)[:, parted] for each in (angle, aim))
        return angle + _share_between(room, now, then)[:, None] * (aim - angle)

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


EVEN = 1.3
"""The widest gap between ends over the narrowest up to which an eye calls them even (common practice, no source)."""


def even_from(laid: Laid, band: BandLaid) -> int | None:
    """From which row (from 1) of a band of the base on its ends stand evenly all round; None where they do not yet."""
    if len(laid.design.tiers("base")) > 1:  # others are pushed in between them on the way
        return None
    lines = base_sticks(laid)
    ends = np.linspace(0, len(lines), laid.design.spokes.ends_at_base, endpoint=False).astype(int)
    for row, radius in enumerate(band.s, start=1):
        at = np.array([_angle_at(lines[end], float(radius)) for end in ends])
        gaps = np.diff(at, append=at[0] + 2 * np.pi) % (2 * np.pi)
        if gaps.max() <= EVEN * gaps.min():
            return row
    return None


def _angle_at(line: np.ndarray, radius: float) -> float:
    """In which direction a stick's points `line` (k, 2) lie that are so far from the middle."""
    way = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    return float(np.interp(radius, np.hypot(line[:, 0], line[:, 1]), way))


def _opens(past: float | np.ndarray, run: float) -> np.ndarray:
    part: np.ndarray = np.minimum(1.0, np.maximum(0.0, 0.5 + past / max(run, 1e-9)))
    return part * part * (3 - 2 * part)


def _share_between(room: float, now: np.ndarray, then: np.ndarray) -> np.ndarray:
    """How far, 0 to 1 (rows,), from gaps (rows, gaps) of `now` mm to those of `then`, so that all of a row are `room`
    mm, or as wide as they come."""
    least = np.minimum(room, then)
    share = (least - now) / np.maximum(then - now, 1e-9)
    return np.minimum(1.0, np.max(share, axis=-1, initial=0.0, where=now < least))


@functools.lru_cache(maxsize=4)
def on_long_stick(laid: Laid) -> np.ndarray:
    """True for every end (ends,) that the base begins with that belongs to a stick along an oval. Remembered: who draws
    the work asks for every stick of every step. Do not write into it."""
    ends = laid.design.spokes.ends_at_base
    x, *_ = laid.design.form.place(laid.design.turn("base", np.arange(ends) + 0.5, 0), np.zeros(ends))
    found = laid.design.form.past_straight(x)
    found.setflags(write=False)
    return found


def short_apart(laid: Laid) -> float | None:
    """How far the short sticks of an oval base lie from each other, mm from middle to middle; None for fewer than two.
    """
    of_short = ~on_long_stick(laid)
    beside = 1 if laid.design.spokes.inserted else laid.design.spokes.per_end
    at = sorted({round(float(line[-1, 0]), 6) for line, short in zip(base_sticks(laid)[::beside], of_short, strict=True)
                 if short and line[-1, 1] > 0})  # fmt: skip
    return float(np.mean(np.diff(at))) if len(at) > 1 else None


def _oval_sticks(laid: Laid) -> list[np.ndarray]:
    """Sticks of an oval base, each end from the middle out: long ones side by side and fanning, the rest across."""
    spokes, form = laid.design.spokes, laid.design.form
    ends, thick = spokes.ends_at_base, spokes.stick_reed.diameter_mm
    beside = 1 if spokes.inserted else spokes.per_end
    edge = laid.base_reached_mm / 2 if laid.is_mat else max(laid.base_reached_mm, form.base_width_mm) / 2
    edge = min(edge, _until(laid) * 0.9)
    straight = form.base_straight_mm / 2
    turn = laid.design.turn("base", np.arange(ends) + 0.5, 0)
    x, y, _, _ = form.base_place(turn, np.full(ends, edge))
    is_long = on_long_stick(laid)
    fans, out = _fanned(laid, is_long, x, y, edge), []
    for reed in range(ends * beside):
        end, k = divmod(reed, beside)
        shift = (k - (beside - 1) / 2) * thick
        if not is_long[end]:
            side = np.sign(y[end])
            out.append(np.array([[x[end] + shift, 0.0], [x[end] + shift, side * edge]]))
            continue
        same = np.flatnonzero(is_long & (np.sign(x) == np.sign(x[end])))
        rank = int(np.sum(y[same] < y[end]))
        beside_y = (rank - (len(same) - 1) / 2) * thick * beside + shift
        side = np.sign(x[end])
        start = np.array([[0.0, beside_y], [side * straight, beside_y]])
        fan = [[side * (straight + at * math.cos(turn)), at * math.sin(turn)] for at, turn in fans[end]]
        aside = np.array([[-py, px - side * straight] for px, py in [*fan, (x[end], y[end])]])
        aside *= shift / np.maximum(np.hypot(*aside.T), 1e-9)[:, None]
        out.append(_rounded(np.concatenate([start, np.array([*fan, [x[end], y[end]]]) + aside]), thick / 2 / BENT))
    return out


STEEP = math.radians(45)
"""A long stick of an oval that must be opened out by more than this turns into its way in a bend, sooner than the rows
ask: the outermost of a wide bunch would stand in a corner else, at a right angle."""


def _rounded(line: np.ndarray, radius: float) -> np.ndarray:
    """A stick's points (k, 2), mm, with the corner at its second point rounded to `radius` where there is room."""
    corner, away = line[1], np.hypot(*(line[2:] - line[1]).T)
    first = min(int(np.searchsorted(away, radius)), len(away) - 1)
    to = line[2 + first] - corner
    back, on = (line[0] - corner) / math.dist(line[0], corner), to / math.hypot(*to)
    turn = math.pi - math.acos(max(-1.0, min(1.0, float(back @ on))))
    if turn < STEEP:
        return line
    arm = min(radius * math.tan(turn / 2), float(away[-1]) / 2, math.dist(line[0], corner) / 2)
    part = np.linspace(0.0, 1.0, 7)[:, None]
    bend = corner + arm * ((1 - part) ** 2 * back + part**2 * on)
    return np.concatenate([line[:1], bend, line[2 + first :][away[first:] > 1.2 * arm]])


def _fanned(laid: Laid, is_long: np.ndarray, x: np.ndarray, y: np.ndarray, edge: float) -> dict[int, list]:
    """(radius, angle off the long way) of every long stick's end at the rows in which it is opened out, from the middle
    of its own round end on; `x`, `y` (ends,) where ends stand at last, at `edge` mm from the middle line."""
    spokes = laid.design.spokes
    wide = spokes.stick_reed.diameter_mm * (1 if spokes.inserted else spokes.per_end)
    band = next((band for band in laid.base if band.tier == 0 and band.band.group == 1), None)
    straight = laid.design.form.base_straight_mm / 2
    out: dict[int, list] = {int(end): [] for end in np.flatnonzero(is_long)}
    for side in (-1, 1):
        ends = np.flatnonzero(is_long & (np.sign(x) == side))
        ends = ends[np.argsort(y[ends])]
        aim = np.arctan2(y[ends], np.abs(x[ends]) - straight)
        bunch = (np.arange(len(ends)) - (len(ends) - 1) / 2) * wide
        opened = 0
        radius = 0.0 if band is None else band.start_s + band.band.reed.diameter_mm / 2
        while band is not None and radius < edge - band.pitch_mm and opened <= RUN_ON and len(ends):
            at = np.arcsin(np.clip(bunch / radius, -1, 1))
            run = math.sqrt(6 * radius * float(np.abs(aim - at).max()) * wide / 2 / BENT)
            at = at + _opens(radius - band.start_s + SOONER_OVAL * run / 2, run) * (aim - at)
            now, then = (radius * np.diff(each) - wide for each in (at, aim))
            at = at + _share_between(ROOM * band.band.reed.diameter_mm, now, then) * (aim - at)
            for end, turn in zip(ends, at, strict=True):
                out[int(end)].append((radius, float(turn)))
            opened += bool(np.allclose(at, aim))
            radius += band.pitch_mm
    return out


def _arm_angle(ends: np.ndarray, arms: list[int]) -> np.ndarray:
    """Which way the arm of each of `ends` goes, rad: square to its neighbours, near the middle of its ends' places."""
    sizes, first = np.array(arms), np.cumsum([0, *arms[:-1]])
    turn = 2 * np.pi * (first + sizes / 2) / sum(arms)
    square = np.arange(4) * np.pi / 2
    return (square + float(np.mean(turn - square)))[arm_of(ends, arms)]


def _middles(reeds: np.ndarray, ends: int, beside: int, sizes: Sequence[int]) -> np.ndarray:
    """Angle of the middle of the group that each reed belongs to."""
    which = arm_of(reeds // beside, sizes)
    first, size = np.cumsum([0, *sizes[:-1]])[which], np.array(sizes)[which]
    return 2 * np.pi * (first + (size - 1) / 2 + 0.5) / ends


def _stand(
    reeds: np.ndarray, ends: int, beside: int, sizes: Sequence[int], radius: float | np.ndarray, thick: float
) -> np.ndarray:
    """At what angle reeds stand (k,) at `radius`, or (rows, k) at radii (rows, 1), when ends of `beside` reeds are
    worked in groups of these `sizes`: all reeds of a group lie side by side."""
    which = arm_of(reeds // beside, sizes)
    first, size = np.cumsum([0, *sizes[:-1]])[which], np.array(sizes)[which]
    across = (reeds - (first * beside + (size * beside - 1) / 2)) * thick
    return _middles(reeds, ends, beside, sizes) + np.arctan2(across, radius)
