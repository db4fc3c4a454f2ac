"""Where a handle's feet stand in the wall, and how the weave gives way to them. Lengths mm.

A foot stands beside its spoke within the wall; what the weave did round the spoke alone, it does round both together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..form.handles import ENDS_MM
from ..form.wall import cubic, slopes_through
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.values import Laid
from ..surface.curve import Curve
from .tubes import in_space

ABREAST = 4  # rods of a rope without a core that go down side by side; more of them go in two layers
SETTLED_MM = 15.0  # below the border, where a foot has come to lie beside its spoke; and the slant of its end
LEAN_COSTS = 0.2  # mm that a handle may stand too wide or too close for each mm that it need not lean
SOFT = np.array([1, 2, 3, 4, 3, 2, 1]) / 16  # no reed takes a corner: its way round a foot is evened out so


@dataclass(frozen=True)
class Foothold:
    """One foot: the `spoke` it stands beside and where it leaves the border, `u`, both ends round; and on which `side`
    of the spoke, +1 onward, its first reed stands."""

    spoke: float
    u: float
    side: int


@dataclass(frozen=True)
class Stand:
    """A reed of a foot: how far from the middle of its spoke it stands, mm onward and outward, its thickness, and how
    deep it goes from the top of the border."""

    beside: float
    through: float
    thick_mm: float
    deep_mm: float


def feet(laid: Laid, each: HandleLaid, spoke: int) -> tuple[Foothold, Foothold]:
    """Both feet of the arch that begins beside `spoke`, as far apart on the ring of spokes as the handle says, each on
    the side of its spoke that is nearest to that."""
    beside = (_end_mm(laid) + each.handle.thickest_mm) / 2 / laid.border_spacing_mm
    ends = np.array([spoke + 0.5, spoke + 0.5 + each.spaces])

    def wrong_by(both: tuple[int, int]) -> float:
        return round(abs(float(_apart(laid, *(ends + np.array(both) * beside))) - each.across_mm), 6)

    first, second = min(((1, 1), (-1, 1), (1, -1)), key=wrong_by)
    middle, half = (ends + np.array([first, second]) * beside) @ np.array([[0.5, -0.5], [0.5, 0.5]])
    # Spokes stand where they stand: at the border a foot leans by what is still missing, less than half a space.
    tried = half + np.linspace(-1.5, 1.5, 3001)
    tried = tried[tried > 0]
    wrong = np.abs(_apart(laid, middle - tried, middle + tried) - each.across_mm)
    best = float(tried[np.argmin(wrong + LEAN_COSTS * np.abs(tried - half) * laid.border_spacing_mm)])
    return Foothold(ends[0], middle - best, first), Foothold(ends[1], middle + best, second)


def _end_mm(laid: Laid) -> float:
    """How wide what stands in one end is below the border: its reeds side by side."""
    return sum(laid.side[-1].stand_mm)


def _apart(laid: Laid, first, second):
    """mm from place to place on the ring of spokes below the border."""
    return np.linalg.norm(on_wall(laid, second, laid.top_s) - on_wall(laid, first, laid.top_s), axis=-1).squeeze()


def on_wall(laid: Laid, u, s, n=0.0) -> np.ndarray:
    """Points (k, 3) on the wall, among its spokes or `n` mm outside of them."""
    u, s, n = np.broadcast_arrays(np.atleast_1d(np.asarray(u, float)), s, n)
    return in_space(laid, Curve("", "", "side", "", 0.0, u, s, n))


def stands(laid: Laid, foot: Foothold, each: HandleLaid) -> list[Stand]:
    """Where the reeds of a foot stand, cores first: in a row beside the spoke, by turns on one side and the other when
    there are many, finer ones behind each other as deep as the core is thick."""
    handle = each.handle
    kinds = [] if handle.core is None else [(handle.core.diameter_mm, handle.cores, 1, each.depth_mm)]
    if each.twist is not None:
        assert handle.wrap is not None, "a rope is twisted of its own reed"
        rod, rods = handle.wrap.diameter_mm, each.twist.rods
        layers = math.ceil(rods / ABREAST) if handle.core is None else max(1, int(handle.core.diameter_mm / rod + 0.01))
        deep = each.depth_mm if handle.core is None else min(ENDS_MM, each.depth_mm)
        kinds.append((rod, rods, layers, deep))
    columns = [
        (thick, min(layers, many - k), deep) for thick, many, layers, deep in kinds for k in range(0, many, layers)
    ]
    taken = dict.fromkeys((-1, 1), _end_mm(laid) / 2)
    out = []
    for number, (thick, many, deep) in enumerate(columns):
        side = foot.side if len(columns) < 3 or number % 2 == 0 else -foot.side
        away = side * (taken[side] + thick / 2)
        taken[side] += thick
        out += [Stand(away, (layer - (many - 1) / 2) * thick, thick, deep) for layer in range(many)]
    return out


# Room in the weave ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Post:
    """A spoke at `u` and the reeds of a foot that stand beside it, each down to its own `s_mm` up the wall."""

    u: float
    reeds: tuple[Stand, ...]
    s_mm: tuple[float, ...]

    def takes(self, s: np.ndarray, half: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """mm that it takes up before the spoke's middle, after it and through the wall, at `s` (k,); `half` a spoke at
        least to both sides."""
        before, after, deep = (np.full(len(s), each) for each in (half, half, 0.0))
        for reed, low in zip(self.reeds, self.s_mm, strict=True):
            here = np.clip((s - low) / SETTLED_MM + 0.8, 0.0, 1.0)  # what lies below its end gives way a little too
            side, far = after if reed.beside > 0 else before, abs(reed.beside) + reed.thick_mm / 2
            np.maximum(side, half + here * (far - half), out=side)
            np.maximum(deep, here * (2 * abs(reed.through) + reed.thick_mm), out=deep)
        return before, after, deep


def with_room(laid: Laid, curves: list[Curve]) -> list[Curve]:
    """The same reeds, where they pass a handle's foot led round it and its spoke together, on the face on which they
    pass that spoke."""
    posts = [post for each in lay_handles(laid) for post in _posts(laid, each)]
    if not posts:
        return curves
    return [_round_posts(laid, curve, posts) if curve.role == "weaver" else curve for curve in curves]


def _posts(laid: Laid, each: HandleLaid) -> list[_Post]:
    out, top = [], laid.top_s + laid.border_height_mm
    for spoke, _ in each.feet(laid.design.top_ends):
        for foot in feet(laid, each, spoke):
            row = tuple(stands(laid, foot, each))
            out.append(_Post(foot.spoke, row, tuple(top - reed.deep_mm for reed in row)))
    return out


def _round_posts(laid: Laid, curve: Curve, posts: list[_Post]) -> Curve:
    if curve.where != "side" or len(curve.u) < 3 or not (curve.u[1:] > curve.u[:-1]).all():
        return curve
    ends, one, half = laid.design.top_ends, max(laid.side[-1].stand_mm), _end_mm(laid) / 2
    u, s, n, own = _finer_near(curve, posts, ends)
    bow = laid.bow_beside_mm("side", u, s)
    n = n - bow
    moved, more, close = u.copy(), np.ones_like(u), np.zeros(len(u), bool)
    for post in posts:
        near, off = _beside(u, post, ends)
        here = s[near] > min(post.s_mm) - SETTLED_MM
        near, off = near[here], off[here]
        room = 2 * np.pi * laid.design.form.radius(np.maximum(s[near], 0.0)) / ends
        x = off * room
        before, after, deep = post.takes(s[near], half)
        # It crosses in what is left of the space.
        edge = np.minimum(np.where(x > 0, after, before), np.maximum(room - half - curve.thick_mm, half))
        outer = half + (np.abs(x) - edge) * (room - half) / np.maximum(room - edge, 1e-6)
        moved[near] += (np.sign(x) * np.where(np.abs(x) < edge, np.abs(x) / edge * half, outer) - x) / room
        beyond = np.maximum(np.where(x > 0, x - after, -x - before), 0.0) / np.maximum(deep, one)
        swell = np.maximum((deep + curve.thick_mm) / (one + curve.thick_mm), 1.0) - 1
        more[near] += swell * np.cos(np.pi / 2 * np.minimum(beyond, 1.0))
        close[near] = True
    if not close.any():
        return curve
    led = np.flatnonzero(close)
    level, aside = s.copy(), n.copy()
    level[led], aside[led] = np.interp(moved[led], u, s), np.interp(moved[led], u, n) * more[led]
    soft = np.convolve(np.r_[aside[2::-1], aside, aside[:-4:-1]], SOFT, "same")[3:-3]
    return replace(curve, u=u, s=level, n=np.where(close, soft, aside) + bow, place=own)


def _beside(u: np.ndarray, post: _Post, ends: int) -> tuple[np.ndarray, np.ndarray]:
    """(which of the rising places `u` (k,) lie less than a space from a post, in how many rounds ever; how many spaces
    each lies off it)."""
    rounds = post.u + ends * np.arange((u[0] - post.u) // ends, (u[-1] - post.u) // ends + 2)
    first, last = np.searchsorted(u, rounds - 1.001), np.searchsorted(u, rounds + 1.001)
    near = np.concatenate([np.arange(a, b) for a, b in zip(first, last, strict=True)])
    off = (u[near] - post.u + ends / 2) % ends - ends / 2
    here = np.abs(off) < 1
    return near[here], off[here]


def _finer_near(
    curve: Curve, posts: list[_Post], ends: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray | None]:
    """u, s, n and place of a curve with three times the points where a foot stands."""
    near = np.zeros(len(curve.u), bool)
    for post in posts:
        near[_beside(curve.u, post, ends)[0]] = True
    extra = np.flatnonzero(near[:-1])
    if not extra.size:
        return curve.u, curve.s, curve.n, curve.place
    fine = np.concatenate([extra + 1 / 3, extra + 2 / 3])
    # Slopes are reckoned where they are asked for: of the points beside, and of one more to both sides.
    asked = np.zeros(len(curve.u) + 4, bool)
    for step in range(-2, 4):
        asked[extra + step + 2] = True
    some = np.flatnonzero(asked[2:-2])
    begins = np.flatnonzero(np.diff(some, prepend=-2) > 1)
    given = np.stack([curve.u[some], curve.s[some], curve.n[some]])
    i = np.searchsorted(some, extra)
    new = cubic(some, given, slopes_through(some, given, begins), np.concatenate([i, i]), fine)
    at = np.concatenate([extra, extra]) + 1
    u, s, n = (np.insert(each, at, more) for each, more in zip((curve.u, curve.s, curve.n), new, strict=True))
    if curve.place is None:
        return u, s, n, None
    return u, s, n, np.insert(curve.place, at, np.interp(fine, np.arange(len(curve.u)), curve.place))
