"""What a laid basket is: bands in place, the whole in numbers, what is cut longer than it lies. Lengths mm.

`laying` reckons these from a design; reeds at rest (`rest.relax`) put their own figures in.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ..borders.meetings import thicknesses
from ..borders.rows import OPEN_RISE, Need
from ..design.values import Band, Design
from ..form.bases import raised_mm
from ..weave.effects import Effect, effect_of, with_blocks
from ..weave.trace import Trace, trace
from . import gauge
from .pitch import Steady
from .rows import fixed_height

SPARE_MM = 12.7
"""Added to each end of a spoke or handle for an untrue cut (common practice, no source)."""
BASE_STICK_OVER_MM = 12.7
"""Base sticks are cut this much longer than the base. Source: Gill's lists, "usually 1/2 inch"."""
HALF_SPOKE_MM = 25.4
"""A half spoke is half a full one and an inch more for binding. Source: White, agreeing with Gill's lists."""
HAND_SHARE = 0.03
"""How far a weaver's length may differ with the hand that pulls it and the true size of the ring, either way (common
practice, no source)."""
TIGHTEST_RATIO = 0.98
"""D/p beyond which a weaver is taken as jammed; the advice then refuses the design."""


# Most of a basket stays as it was when a maker changes one thing of it.
_trace = functools.lru_cache(maxsize=128)(trace)
_effect_of = functools.lru_cache(maxsize=4096)(effect_of)


@dataclass(frozen=True)
class Spot:
    """A place in a band: `row` and `spoke` (or group) and `weaver`, each from 0, and the `value` there."""

    row: int
    spoke: int
    weaver: int
    value: float


@dataclass(frozen=True, eq=False)
class BandAtRest:
    """What relaxed reeds say of one band (see `rest.relax`).

    `row_mm` (rows,) one weaver lays in each row; `top_mm` where the band ends, in the mean round the basket; `light`
    share of the band that light passes through; `bend` the tightest bend r/R and `usual_bend` (the middle one of the
    tightest at every spoke); `press_n` what a reed usually presses a spoke with, N, if soaked reed is as stiff as
    `reeds.STIFFNESS_MPA`; `loose` share of the places where it hardly presses, and the `loosest` of them as a share
    of the usual; `stacked_take_up`, `stacked_pitch_mm` what cells had said.
    """

    row_mm: np.ndarray
    top_mm: float
    light: float
    bend: Spot
    usual_bend: float
    press_n: float
    loose: float
    loosest: Spot
    stacked_take_up: float
    stacked_pitch_mm: float


@dataclass(frozen=True, eq=False)
class BandLaid:
    """A band in place. Arrays run over its rows, from the first woven.

    `s` where each row's middle lies (from the centre for a base, from the base's edge for a side); `radius` of the ring
    of spokes there; `spacing` of spokes (or groups) there in the mean, `gap` what reeds standing side by side
    leave of the closest, `ratio` both thicknesses over that gap; `take_up` expected length over ring length, with
    `take_up_range` (taut, springy); `row_mm` length one weaver lays in each row. `start_s`, `end_s` bound the
    band. `at_rest` what relaxed reeds say of it, whose lengths and heights then stand in place of those of stacked
    cells; else None. `ends` stand where it is worked, on the `tier` of that number (see `Design.tiers`); `stand_mm`
    thickness of each reed of one end, side by side. `packs`, `takes` how the maker's gauge corrected pitch and take-up,
    `tail_mm` what is left over at each end of a weaver.
    """

    index: int
    band: Band
    spaces: int
    steady: Steady
    pitch_mm: float
    start_s: float
    end_s: float
    s: np.ndarray
    radius: np.ndarray
    spacing: np.ndarray
    gap: np.ndarray
    ratio: np.ndarray
    take_up: np.ndarray
    take_up_range: tuple[np.ndarray, np.ndarray]
    row_mm: np.ndarray
    colours: tuple[tuple[str, ...], ...]
    locked: bool
    at_rest: BandAtRest | None = None
    ends: int = 0
    tier: int = 0
    stand_mm: tuple[float, ...] = ()
    packs: gauge.Correction | None = None
    takes: gauge.Correction | None = None
    tail_mm: float = gauge.TUCK_MM

    @property
    def tail_rests_mm(self) -> float:
        """What stays of a tail when it is trimmed: half-way to the next that stands (common practice, no source)."""
        return float(self.spacing.mean()) / 2

    @property
    def jammed(self) -> bool:
        """True where a weaver cannot pass between the closest ends."""
        return float(self.ratio.max()) >= TIGHTEST_RATIO

    @property
    def deep_mm(self) -> float:
        """From the middle of a weaver in front of a spoke to the middle of one behind it."""
        return max(self.stand_mm) + self.band.reed.diameter_mm

    @property
    def flat_mm(self) -> float:
        """How far a weaver runs straight over the reeds of a group: from the middle of the first to the last's."""
        return flat_mm(self.stand_mm, self.ends / self.spaces)

    @functools.cached_property
    def sizes(self) -> tuple[int, ...]:
        """Ends in each group, from space 1: ones where they are worked singly."""
        return tuple(self.band.sizes(self.ends))

    @property
    def effect(self) -> Effect:
        """What its colours make, seen from outside."""
        return self._effect(inside=False)

    @property
    def effect_inside(self) -> Effect:
        """The same from inside."""
        return self._effect(inside=True)

    def _effect(self, inside: bool) -> Effect:
        # Worked out where it is asked for: a picture asks for none.
        effect, blocks = _effect_of(self.band.weave, self.spaces, self.colours, inside), self.band.blocks
        return with_blocks(effect, blocks.rows, blocks.shift) if blocks else effect

    @property
    def rows(self) -> int:
        """Rows in the band."""
        return len(self.s)

    @property
    def height_mm(self) -> float:
        """Width of the band along the surface."""
        return self.end_s - self.start_s

    @property
    def thick_mm(self) -> float:
        """Height of what one weaver lays: its strands lie one above the other."""
        return self.band.reed.diameter_mm * self.band.strands

    @property
    def cover(self) -> tuple[float, float]:
        """How much of the spokes' outside and inside face is covered, 0 to 1."""
        return (
            min(1.0, self.steady.fronts * self.thick_mm / self.pitch_mm),
            min(1.0, self.steady.backs * self.thick_mm / self.pitch_mm),
        )

    @property
    def segments(self) -> list[tuple[int, int, int]]:
        """(first row, rows, start space) of each run between ending the weavers and starting again."""
        if self.band.blocks is None:
            return [(0, self.rows, self.band.start)]
        every, shift = self.band.blocks.rows, self.band.blocks.shift
        return [
            (first, min(every, self.rows - first), (self.band.start + i * shift) % self.spaces)
            for i, first in enumerate(range(0, self.rows, every))
        ]

    def traces(self) -> list[tuple[int, Trace]]:
        """(first row, trace) of each segment."""
        return [(first, _trace(self.band.weave, self.spaces, rows, start)) for first, rows, start in self.segments]

    @property
    def strokes(self) -> int:
        """Strokes in the whole band."""
        weave = self.band.weave
        count = weave.count(self.spaces)
        if weave.turns == "back":
            return count * self.rows
        return sum(t.stroke_count for _, t in self.traces()) if len(weave.cycle) > 1 else self._even_strokes(count)

    def _even_strokes(self, count: int) -> int:
        reach, total = self.band.weave.reach, 0
        for _, rows, _ in self.segments:
            passed = rows * self.spaces
            if self.band.weave.turns == "round":
                total += count * -(-passed // reach)
            else:  # weaver k starts k spaces on, and begins strokes while it is within the last row
                total += sum(-(-(passed - k) // reach) for k in range(count))
        return total

    def woven_range_mm(self) -> tuple[float, float]:
        """Least and most that one weaver lays in all its rows: taut and springy path, thin and thick reed, and PULL; or
        as the maker's gauge says."""
        low, high = (float((self.row_mm * t / self.take_up).sum()) for t in self.take_up_range)
        if self.takes is not None:
            return low, high
        thin, thick = self.band.reed.diameter_range_mm
        swing = abs(float((self.row_mm * (1 - 1 / self.take_up)).sum())) * (thick / thin - 1) / 2
        play = HAND_SHARE * float(self.row_mm.sum())
        return low - swing - play, high + swing + play


ON_BASE = 0.75
"""How high above the base's last row the first row of the side lies, in thicknesses of that row: it lies a little
outside of it (common practice, no source)."""


@dataclass(frozen=True)
class Unsettled:
    """A part of the basket ("base", "side 2", "border") whose reeds did not come quite to rest: they still lie
    `overlap_mm` in each other at worst; where `tangled`, so far that its figures are those of stacked rows."""

    part: str
    overlap_mm: float
    tangled: bool


@dataclass(frozen=True, eq=False)
class Bowed:
    """How ends stand bowed through a surface: `mm` (ends, k) of each at `s` (k,) mm along it, outward or, of a base,
    downward."""

    s: np.ndarray
    mm: np.ndarray

    def of(self, end: int, s: np.ndarray) -> np.ndarray:
        """Of one end, from 0, at places `s` (n,)."""
        out: np.ndarray = np.interp(s, self.s, self.mm[end % len(self.mm)])
        return out

    def beside(self, u: np.ndarray, s: np.ndarray) -> np.ndarray:
        """At places (u, s), each (n,), ends round: of the two ends beside, the nearer the more."""
        ends, last = self.mm.shape[0], len(self.s) - 1
        at = np.interp(s, self.s, np.arange(last + 1.0))
        k = np.minimum(at.astype(np.int64), last - 1)
        whole = np.floor(u - 0.5)
        one, two = (whole.astype(np.int64) + step for step in (0, 1))
        up, on = at - k, u - 0.5 - whole
        both = [self.mm[end % ends, k] * (1 - up) + self.mm[end % ends, k + 1] * up for end in (one, two)]
        out: np.ndarray = both[0] * (1 - on) + both[1] * on
        return out


@dataclass(frozen=True, eq=False)
class Laid:
    """The whole basket in numbers. `cross_mm` radius of the inner side of the first base row; `top_s` along the wall
    where the last row ends; `mouth_mm` diameter there; `border` what one end needs above it; `border_spacing_mm` and
    `closest_mm` the widest and the least that ends stand apart there; `lid` its lid, where both came to rest together;
    `unsettled` the parts whose reeds did not come quite to rest, where they were to; `given_way` mm in space by which
    the reeds of a basket at rest, by name, give way where its parts meet; `foot_ends` (3, k) each: u, s, n of the ends
    of a board's foot at rest, as those of a border worked with the board turned over; none in their plain form;
    `drawn_mm` how long the reeds of a basket at rest, by name, are drawn: what stands from the middle of the base or
    where they are pushed in to the last row or the base's edge; `bowed` how the ends of a basket at rest stand, by
    where: "base", "side"."""

    design: Design
    bands: tuple[BandLaid, ...]
    cross_mm: float
    top_s: float
    border: Need
    border_spacing_mm: float
    closest_mm: float = 0.0
    lid: Laid | None = None
    unsettled: tuple[Unsettled, ...] = ()
    given_way: Mapping[str, np.ndarray] = field(default_factory=dict)
    foot_ends: tuple[np.ndarray, ...] = ()
    drawn_mm: Mapping[str, float] = field(default_factory=dict)
    bowed: Mapping[str, Bowed] = field(default_factory=dict)

    @property
    def tail_mm(self) -> float:
        """Length left over at each end of a weaver to tuck in."""
        return gauge.tail_mm(self.design)

    @property
    def side(self) -> list[BandLaid]:
        """Bands of the side, from the base up."""
        return [band for band in self.bands if band.band.where == "side"]

    @property
    def base(self) -> list[BandLaid]:
        """Bands of the base, from the centre out."""
        return [band for band in self.bands if band.band.where == "base"]

    def tier_start_mm(self, where: str, tier: int) -> float:
        """Where along the surface the ends of a tier begin to stand: 0 for the lowest."""
        first = self.design.tiers(where)[tier].first
        return 0.0 if first is None else next(band.start_s for band in self.bands if band.index == first)

    @property
    def base_reached_mm(self) -> float:
        """Diameter, or width, at which the base bands end (the base's own when there are none)."""
        return 2 * self.base[-1].end_s if self.base else self.design.form.base_width_mm

    @property
    def base_told_mm(self) -> float:
        """Diameter, or width, by which a base is called: the design's where its last row lies within a reed of that,
        else where its bands end."""
        wide, reached = self.design.form.base_width_mm, self.base_reached_mm
        near = not self.base or abs(reached - wide) <= 2 * self.base[-1].band.reed.diameter_mm
        return wide if near else reached

    @property
    def is_mat(self) -> bool:
        """True for a woven base with no side, as a flat lid is: its border lies flat round the last row."""
        return not self.side and not self.design.base.is_board

    @property
    def turn_mm(self) -> float:
        """How far up the wall the first row of the side lies: on the last row of a woven base, which lies half a stick
        above the middle of the sticks; on the sticks, where nothing is woven on them; on a board."""
        if self.design.base.is_board:
            return 0.0
        woven = self.base[-1].band.reed.diameter_mm if self.base else 0.0
        return self.design.spokes.stick_reed.diameter_mm / 2 + ON_BASE * woven

    @property
    def mouth_mm(self) -> float:
        """Diameter of the spoke ring below the border; of a ring that is not round, its length over pi."""
        return 2 * float(self.design.form.radius(self.top_s))

    @property
    def border_height_mm(self) -> float:
        """Height of the border above the last row: as many thicknesses as ends lie on each other.

        An open border stands as high as its arches. (Geometric form; common practice, no source.)
        """
        border = self.design.border
        if border.is_open:
            return (border.reach + 0.5) * self.border_spacing_mm * OPEN_RISE
        return self.design.border_end_mm * thicknesses(border)

    def bow_mm(self, where: str, end: int, s: np.ndarray) -> np.ndarray:
        """How far through the surface an end that stands last, from 0, is bowed at `s` (k,) mm along it."""
        bowed = self.bowed.get(where)
        return np.zeros(len(s)) if bowed is None else bowed.of(end, s)

    def bow_beside_mm(self, where: str, u: np.ndarray, s: np.ndarray) -> np.ndarray:
        """The same at places (u, s), each (k,), between ends."""
        bowed = self.bowed.get(where)
        return np.zeros(len(s)) if bowed is None else bowed.beside(u, s)

    @property
    def raised_mm(self) -> float:
        """How high the base stands above the table: on a board and its foot, or on a foot of its own."""
        foot = self.design.foot
        if foot is None:
            return raised_mm(self.design.base, self.design.spokes.reed.diameter_mm)
        return fixed_height(self.design.foot_alone, 0, foot.band) + foot.reed.diameter_mm * thicknesses(foot.border)

    @property
    def finished_height_mm(self) -> float:
        """Height from the table to the top of the border."""
        return self.raised_mm + float(self.design.form.height(self.top_s)) + self.border_height_mm

    @property
    def capacity_mm3(self) -> float:
        """Space inside below the border."""
        return self.design.form.capacity_mm3(self.top_s, wall_thick_mm(self))


def flat_mm(stand_mm: tuple[float, ...], ends: float) -> float:
    """From the middle of the first to the middle of the last reed of so many ends side by side."""
    return ends * sum(stand_mm) - max(stand_mm)


def wall_thick_mm(laid: Laid) -> float:
    """How far the wall reaches inside the ring of spokes: half a spoke and the thickest weaver."""
    return laid.design.spokes.reed.diameter_mm / 2 + max(
        (band.band.reed.diameter_mm for band in laid.side), default=0.0
    )
