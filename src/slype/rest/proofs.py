"""The rod solver against the outside: tables, closed forms, statics, and its own checkers, worked out anew each time.

Each row says what is compared, on whose word, what slype gets, how far that may be off and why. Nothing is
tuned to these figures; where slype disagrees, the row stays, marked as outside, with a note saying whom we believe.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..design.file import reader
from ..lay import laying
from ..rods import cases, stack
from ..rods import wall as rod_wall
from . import hands, reeds, relax
from .built import STIFFNESS_MPA, Built

SECOND_ORDER = 2.3
"""An axis of straight pieces is wrong by about this over the square of the stations in what is measured: of order
stations^-2, as every rod of its kind (Bergou and others 2008), the number seen here and held at every count."""
CHORDS = 1e-3
LONG = 3000  # sweeps after which a wall of rows no longer changes by what is compared here
HEAVY = 30.0  # press on the last row in the unit of `hands.PRESS`
SINK = 10_000  # sweeps, for rows to sink under it
D_OVER_P = (0.2, 0.4, 0.6, 0.8)
PULLS = (0.0, 1.0, 10.0, 100.0, 1000.0)
CANTILEVER = ((0.5, 0.16214, 0.01592, 0.24453), (1.0, 0.30172, 0.05643, 0.46135), (2.0, 0.49346, 0.16064, 0.78175))
"""(load x length^2 / bending stiffness, drop, shortening, angle rad at the tip), lengths over the rod's."""
PROTOTYPE = {
    "randing": (25, 1.038, 0.95, "the prototype's is less than a taut thread takes up there, 1.039: its rows had sunk"),
    "pairing": (24, 1.043, 1.77, "the prototype looked for contacts on its stations only: see the rows on stations"),
    "three-rod wale": (24, 1.051, 1.93, "the height as for pairing; the length is not explained"),
    "four-rod wale": (24, 1.028, 1.91, "as for pairing"),
}
"""Weave: (ends, length of a row over the ring, pitch in thicknesses, whom we believe where we differ)."""
PRESSED = ((8, 1.78), (16, 1.95), (32, 1.99))
"""(stations, height per row over thickness) of pairing looked at on stations only, seen in a repeating cell."""
RING = (
    "[spokes]\nreed = {{ mm = 3.0 }}\nends = {ends}\n[form]\nbase = '{mm} mm'\n"
    "wall = [['0 mm', '{mm} mm'], ['100 mm', '{mm} mm']]\n"
    "[[band]]\nweave = '{weave}'\nreed = {{ mm = 2.25 }}\nrows = {rows}\n[border]\nrows = ['behind 1 out']\n"
)
THICK_MM = 2.25  # of the weavers in RING
TOUCH_MM = 5.25  # and their axes from the spokes'


@dataclass(frozen=True)
class Proof:
    """One comparison. `source` a key of the sources; `bound` "near" (either way), "at least" or "at most" `expected`.

    `tolerance` is a share of `expected`, or counts in `unit` where 0 is expected; `note` says whom we believe.
    """

    part: str
    what: str
    source: str
    expected: float
    found: float
    unit: str
    tolerance: float
    reason: str
    bound: str = "near"
    note: str = ""

    @property
    def error(self) -> float:
        """Found over expected, less one; found itself where 0 is expected."""
        return self.found / self.expected - 1 if self.expected else self.found

    @property
    def within(self) -> bool:
        """Whether the error is no larger than allowed. An answer that is not a number never is."""
        if self.bound == "at most":
            return bool(self.error <= self.tolerance)
        return bool(self.error >= -self.tolerance if self.bound == "at least" else abs(self.error) <= self.tolerance)


def proofs(progress: Callable[[str], None] = lambda part: None) -> list[Proof]:
    """Every comparison; takes some seconds. `progress` is told each part before it begins."""
    rows: list[Proof] = []
    for part, rows_of in PARTS.items():
        progress(part)
        rows += rows_of(part)
    return rows


def _stations(many: int) -> tuple[float, str]:
    return SECOND_ORDER / many**2, f"{many} straight pieces"


# One rod -------------------------------------------------------------------------------------------------------


def springy(part: str) -> Iterator[Proof]:
    """Weavers between straight posts, length free to slide in, against Euler's rectangular elastica."""
    for stations in (reeds.STATIONS, 32):
        part = f"springy weaver, {stations} stations a space, length free to slide in (closure c)"
        for ratio in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6):
            crimp, bend = cases.free_weaver(ratio)
            found, tightest = cases.crimp_and_bend(cases.at_rest(cases.half_wave(1.0, ratio, stations)))
            what = f"rise {ratio:g} of the space: "
            yield Proof(part, what + "crimp", "elastica", 100 * crimp, 100 * found, "%", *_stations(stations))
            yield Proof(part, what + "tightest bend x space", "elastica", bend, tightest, "", *_stations(stations))


def taut(part: str) -> Iterator[Proof]:
    """Weavers pulled over round posts: Peirce's path is the limit, and nothing is shorter."""
    for ratio in D_OVER_P:
        limit = float(stack.taut_crimp(ratio))
        crimps = []
        for pull in PULLS:  # in bending stiffness over half a space squared
            wave = cases.half_wave(1.0, ratio, 64, 4 * pull, post_mm=ratio / 2)
            crimps.append(cases.crimp_and_bend(cases.at_rest(wave))[0])
        what = f"D/p {ratio:g}: crimp "
        yield Proof(
            part, what + "pulled hard", "peirce", 100 * limit, 100 * crimps[-1], "%", CHORDS, "chords of 64 pieces",
        )  # fmt: skip
        yield Proof(
            part, what + "is least at any pull", "peirce", 100 * limit, 100 * min(crimps), "%", CHORDS,
            "chords of 64 pieces", "at least",
        )  # fmt: skip
        yield Proof(
            part, what + "rises most from one pull to the next higher", "peirce", 0.0, 100 * max(np.diff(crimps)), "%",
            0.0, "pull only shortens", "at most",
        )  # fmt: skip


def cantilevers(part: str) -> Iterator[Proof]:
    """An end-loaded cantilever, its length found by the pull. 50 stations."""
    for load, drop, shortening, angle in CANTILEVER:
        bent = cases.cantilever_of_length(load, shortening, 50)
        what = f"load {load:g}: "
        yield Proof(part, what + "drop of the tip over length", "bisshopp", drop, bent.drop, "", *_stations(50))
        yield Proof(part, what + "angle at the tip", "bisshopp", angle, bent.angle, "rad", *_stations(50))
        # No moment at the tip, so what pulls there is the load's share along the rod.
        pull = load * math.sin(angle)
        share, reason = _stations(50)
        yield Proof(
            part, what + "pull that makes it so long", "bisshopp", pull, bent.pull, "", share + 3 * 5e-6 / shortening,
            f"{reason}, and the table's five decimals of the shortening",
        )  # fmt: skip


def beams(part: str) -> Iterator[Proof]:
    """A beam on two supports, and two beams that cross: what they keep and what passes from one to the other."""
    load = 0.05
    rest = cases.at_rest(cases.beam(1.0, load, 32))
    expected = load / 48
    yield Proof(
        part, "three-point bending: middle", "beams", 1000 * expected, 1000 * rest.at[16, 1], "/1000", *_stations(32)
    )
    for past, words in ((0.0, "on a station"), (0.3, "between stations"), (0.5, "midway between stations")):
        rest = cases.at_rest(cases.pressed_pair(1.0, 40.0, 0.5, past, 1e-4, 40))
        apart = cases.least_distance(rest)
        yield Proof(part, f"two rods crossing {words}: apart", "derived", 2.0, apart, "mm", CHORDS, "straight pieces")
        passed = float(_touches(rest).sum()) / 1e-4
        # Like beams side by side bend alike, so each bears half.
        yield Proof(
            part, f"two rods crossing {words}: share of the load passed on", "beams", 0.5, passed, "", 0.01,
            "rods lean, crossing off the middle",
        )  # fmt: skip


# Walls ---------------------------------------------------------------------------------------------------------


def ring_of(weave: str, ends: int, stations: int, rows: int = 8, base_mm: float = 150) -> Built:
    """A straight-sided ring of `weave` in 2.25 mm reed on 3 mm spokes."""
    text = RING.format(weave=weave, ends=ends, mm=f"{base_mm:g}", rows=rows)
    built = reeds.build(laying.lay(reader.parse(text)), "side", (), stations)
    assert built is not None  # it has a side band
    return built


def row_figures(built: Built, at: np.ndarray) -> tuple[float, float]:
    """(length over the ring's, height per row in thicknesses) of the middle rows of a ring's eight."""
    rows = int(built.row.max()) + 1
    middle = (built.row >= 2) & (built.row < rows - 2)
    middle[built.wall.off[1:] - 1] = False
    take_up = rod_wall.edge_lengths(built.wall, at)[middle].sum() / built.wall.h[middle].sum()
    heights = np.bincount(built.row, at[:, 0]) / np.bincount(built.row)
    return float(take_up), float((heights[rows - 3] - heights[2]) / (rows - 5) / THICK_MM)


def out_of_order(built: Built, at: np.ndarray) -> int:
    """How many pairs that the weave lays one on the other lie the wrong way round."""
    low, high = built.columns.T
    return int((at[high, 0] <= at[low, 0]).sum())


def _touches(rest: rod_wall.Rest) -> np.ndarray:
    return np.hypot(rest.push[:, 0], rest.push[:, 1])


def walls(part: str) -> Iterator[Proof]:
    """Eight rows of four weaves as baskets have them: against packing, a prototype, and the checkers."""
    for weave, (ends, take_up, pitch, note) in PROTOTYPE.items():
        built = ring_of(weave, ends, reeds.STATIONS)
        rest = rod_wall.relax(built.wall, most_sweeps=LONG)
        usual = rod_wall.relax(built.wall, relax.MOST_SWEEPS, relax.MOST_OVERLAP, relax.BALANCE)
        found, rows = row_figures(built, rest.at)
        part = f"{weave}, {ends} ends"
        packed = 1.0 if weave == "randing" else 2.0
        yield Proof(
            part, "height per row over thickness", "derived", packed, rows, "", 0.01, "packed by a light load",
        )  # fmt: skip
        if weave == "randing":
            crimp, _ = cases.free_weaver(TOUCH_MM / (math.pi * 150 / ends))
            yield Proof(part, "crimp", "elastica", 100 * crimp, 100 * (found - 1), "%", *_stations(8))
        yield Proof(
            part,
            "length of a row over the ring",
            "prototype",
            take_up,
            found,
            "",
            0.01,
            "an expectation of ours, no source",
            note=note,
        )
        yield Proof(
            part,
            "height per row over thickness",
            "prototype",
            pitch,
            rows,
            "",
            0.02,
            "an expectation of ours, no source",
            note=note,
        )
        yield Proof(
            part, "length after the usual sweeps", "derived", found, row_figures(built, usual.at)[0], "", 0.005,
            f"against {LONG} sweeps; half a hundredth of a length does not show",
        )  # fmt: skip
        yield from _checked(part, built, usual)
        yield _dent(part, rest)


def _checked(part: str, built: Built, rest: rod_wall.Rest) -> Iterator[Proof]:
    """What the checkers find wrong in a wall that came to rest as baskets do."""
    worst = 100 * rod_wall.worst_overlap(rest) / THICK_MM
    yield Proof(
        part, "deepest overlap, of a thickness", "derived", 0.0, worst, "%", 2.0, "less than reeds differ by",
        "at most",
    )  # fmt: skip
    yield Proof(
        part,
        "pairs out of order",
        "derived",
        0.0,
        out_of_order(built, rest.at),
        "pairs",
        0.0,
        "exact",
        "at most",
    )
    yield Proof(
        part, "force left over", "derived", 0.0, rest.unbalanced, "", relax.BALANCE,
        "what bends a rod by its thickness within half a space, as baskets are brought to rest", "at most",
    )  # fmt: skip


def _dent(part: str, rest: rod_wall.Rest) -> Proof:
    force = _touches(rest)
    newtons = float(np.median(force[force > 0])) * STIFFNESS_MPA
    dent = 100 * cases.hertz_dent(newtons, STIFFNESS_MPA, THICK_MM / 2) / THICK_MM
    return Proof(
        part, "dent a middling touch would make, of a thickness", "hertz", 0.0, dent, "%", 5.0,
        "slype's rods do not dent: a twentieth, less than reeds differ by", "at most",
    )  # fmt: skip


def doubling(part: str) -> Iterator[Proof]:
    """Twice as many stations, and twice again: the change must fall to a quarter."""
    lengths = []
    for stations in (8, 16, 32):
        built = ring_of("randing", 25, stations)
        lengths.append(row_figures(built, rod_wall.relax(built.wall, most_sweeps=LONG).at)[0] - 1)
    eight, sixteen, more = lengths
    yield Proof(
        part, "randing: change of crimp from 8 to 16 over that from 16 to 32", "derived", 4.0,
        (sixteen - eight) / (more - sixteen), "times", 0.25, "second order, and what forces are left over",
    )  # fmt: skip
    true = more + (more - sixteen) / 3  # what second order says of endless stations
    for stations, length in zip((8, 16, 32), lengths, strict=True):
        yield Proof(
            part, f"randing: crimp with {stations} stations against endless ones", "derived", 100 * true, 100 * length,
            "%", *_stations(stations),
        )  # fmt: skip


def sinking(part: str) -> Iterator[Proof]:
    """Rows of pairing under a heavy press: crossings looked at on stations only, as the prototype did, and between."""
    for stations, expected in PRESSED:
        found = _pressed(stations, between=False)
        yield Proof(
            part, f"pairing pressed, {stations} stations, looked at on stations only: height per row", "prototype",
            expected, found, "", 0.05, "an expectation of ours, no source; still sinking",
        )  # fmt: skip
    yield Proof(
        part, f"pairing pressed, {reeds.STATIONS} stations, looked at between: height per row", "derived", 2.0,
        _pressed(reeds.STATIONS, between=True), "", 0.01, "packing",
        note=f"no friction: pressed {HEAVY / hands.PRESS:g} times as hard as baskets are for {SINK} sweeps, "
        "crossings of neighbouring rows slide apart and the rows go on sinking",
    )  # fmt: skip


def _pressed(stations: int, between: bool) -> float:
    """Height per row over thickness of pairing in a small ring, pressed by HEAVY."""
    built = ring_of("pairing", 8, stations, 7, 50)
    wall = replace(built.wall, load=HEAVY / hands.PRESS * built.wall.load)
    return row_figures(built, rod_wall.relax(wall, most_sweeps=SINK, balance=0.0, between=between).at)[1]


PARTS: dict[str, Callable[[str], Iterator[Proof]]] = {
    "springy weaver": springy,
    "taut weaver": taut,
    "cantilever": cantilevers,
    "beams": beams,
    "walls": walls,
    "stations": doubling,
    "on stations": sinking,
}
