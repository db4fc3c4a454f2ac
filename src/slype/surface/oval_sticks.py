"""The sticks of an oval base: long ones side by side, which fan out at its round ends, and short ones across.

Lengths mm.
"""

from __future__ import annotations

import functools
import math

import numpy as np

from ..lay.values import Laid
from .opening_out import BENT, ROOM, RUN_ON, opens, share_between

SOONER_OVAL = 0.5
"""The same share for the long sticks of an oval: nothing is woven round them before, but their bunch is at the first
row's own place."""


def _until(laid: Laid) -> float:
    """How far out the first ends of the base stand alone."""
    tiers = laid.design.tiers("base")
    return laid.tier_start_mm("base", 1) if len(tiers) > 1 else math.inf


@functools.lru_cache(maxsize=4)
def on_long_stick(laid: Laid) -> np.ndarray:
    """True for every end (ends,) that the base begins with that belongs to a stick along an oval. Remembered: who draws
    the work asks for every stick of every step. Do not write into it."""
    ends = laid.design.spokes.ends_at_base
    x, *_ = laid.design.form.place(laid.design.turn("base", np.arange(ends) + 0.5, 0), np.zeros(ends))
    found = laid.design.form.past_straight(x)
    found.setflags(write=False)
    return found


def oval_sticks(laid: Laid) -> list[np.ndarray]:
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
            at = at + opens(radius - band.start_s + SOONER_OVAL * run / 2, run) * (aim - at)
            now, then = (radius * np.diff(each) - wide for each in (at, aim))
            at = at + share_between(ROOM * band.band.reed.diameter_mm, now, then) * (aim - at)
            for end, turn in zip(ends, at, strict=True):
                out[int(end)].append((radius, float(turn)))
            opened += bool(np.allclose(at, aim))
            radius += band.pitch_mm
    return out


