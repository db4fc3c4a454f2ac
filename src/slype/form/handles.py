"""The table of handles and their geometry: arches, wrapping, twisted rods. No basket, no paper.

A handle is data: what it stands on, how it is covered, what a maker usually makes it. Lengths mm.

Theory
1. Arch. A half ellipse of a span and a rise.
2. Close wrapping. Turns lie side by side on the inner side of the arch, where there is least room, and open a little on
   the outer one, as on every bend. An arch that turns by pi is pi times as much shorter along its inner side as that
   lies below the middle. One turn of k strands runs once round the core, its axis half a strand outside the hull of
   the core's rods, and a turn's pitch p onward: sqrt(girth^2 + p^2); aslant like that, strands that touch are k d
   apart, so p / sqrt(1 + (p / girth)^2) = k d. The hull of c rods of diameter D, each beside the next in a ring, is
   pi D + c D long (pi D for one).
3. Twisted rods. A helix of radius R that goes round once in `turn`: sqrt((2 pi R)^2 + turn^2) a turn. Rods lie side by
   side on the cylinder of radius R: n of them fill 2 pi R sin a, where tan a = turn / 2 pi R. Without a core R is the
   least on which the axes of neighbours are nowhere nearer than a thickness; there is none if turn <= n thicknesses.

Nothing here says what a handle carries: a handle's strength is not rated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..errors import DesignError, found_by_name
from ..quantity import MM_PER_IN
from ..reeds import Reed
from ..rods import stack
from ..words import Named

NOT_RATED = "A handle's strength is not rated."
PUSHED_MM = 4.5 * MM_PER_IN
"""How deep each end of a bow is pushed down beside a spoke. Source: Gill, model 18, "inserted 4 1/2 inches"."""
SIDE_PUSHED_MM = 2.0 * MM_PER_IN
"""The same for a small side handle (common practice, no source)."""
SIDE_ACROSS_MM, SIDE_HEIGHT_MM = 4.0 * MM_PER_IN, 1.5 * MM_PER_IN
"""A side handle that four fingers go into (common practice, no source)."""
ENDS_MM = 2.0 * MM_PER_IN
"""Length at each end of a wrapping strand, laid along the core and caught by the turns (common practice, no source)."""
COVER_TURN = 1.5
"""Length of one turn of rods twisted round a core, in girths of it (common practice, no source). Gill's model 17 and
Shaw say how many cover a handle, but not at what slant: see docs/handbooks.md."""
ROPE_TURN = 3.0
"""Length of one turn of a rope without a core, in thicknesses of all its rods side by side (common practice, no
source)."""
LEAST_SLANT = 0.05  # of so many strands that a turn would lie along the core, no more is told than this
MOST_CORES = 4  # beyond four the hull of a bundle depends on how it is tied


@dataclass(frozen=True)
class HandleKind(Named):
    """One kind of handle: its name in both wordings, whether rods are `twisted`, how many a basket has (`count`)."""

    name: str
    uk: str
    twisted: bool
    count: int
    pushed_mm: float
    pushed_source: str
    help: str
    example: str
    source: str

    @property
    def at_side(self) -> bool:
        """True where both feet stand on the same side of the mouth; else it spans it."""
        return self.count > 1


_ALL = (
    HandleKind(
        "bow handle",
        "bow handle",
        False,
        1,
        PUSHED_MM,
        "gill",
        "One arch from side to side over a core of one or more thick reeds, its ends pushed down beside two opposite "
        "{spokes}; wrapped close with finer reed, or left bare.",
        'kind = "bow"\ncore = "round 8"\nwrap = "round 4"',
        "gill",
    ),
    HandleKind(
        "rope handle",
        "roped handle",
        True,
        1,
        PUSHED_MM,
        "gill",
        "One arch from side to side of several reeds twisted together like a rope; with a core they are twisted round "
        "it and cover it.",
        'kind = "rope"\nwrap = "round 5"\nrods = 3',
        "practice",
    ),
    HandleKind(
        "side handle",
        "side handle",
        False,
        2,
        SIDE_PUSHED_MM,
        "practice",
        "Two small arches opposite each other, each with its ends beside two {spokes} of the same side.",
        'kind = "side"\ncore = "round 6"\nwrap = "round 2"',
        "gill",
    ),
    HandleKind(
        "side rope handle",
        "roped side handle",
        True,
        2,
        SIDE_PUSHED_MM,
        "practice",
        "Two small arches opposite each other of several reeds twisted together like a rope; with a core they are "
        "twisted round it and cover it.",
        'kind = "side rope"\nwrap = "round 4"\nrods = 3',
        "practice",
    ),
)
KINDS: dict[str, HandleKind] = {kind.name.removesuffix(" handle"): kind for kind in _ALL}


def kind_named(name: object, where: str = "") -> str:
    """Key of the kind for a name of it in either wording, such as `bow` or `bow handle`. Raises DesignError, suggesting
    the nearest."""
    short = name.strip().lower().removesuffix(" handle") if isinstance(name, str) else name
    known = {told.removesuffix(" handle"): key for key, kind in KINDS.items() for told in (kind.name, kind.uk)}
    return found_by_name(short, "kind of handle", known, where)


@dataclass(frozen=True)
class Handle:
    """One handle as the design has it; None where the basket or the table decides.

    `core` reed of the arch (`cores` of them), `wrap` reed it is wrapped or twisted with, `strands` of it side by side
    in each turn (wrapped) or `rods` of it (twisted), `turn_mm` length of one twist, `across_mm` between its feet,
    `height_mm` above the border, `depth_mm` pushed down, `count` handles alike.
    """

    kind: str
    core: Reed | None = None
    wrap: Reed | None = None
    cores: int = 1
    strands: int = 1
    rods: int | None = None
    turn_mm: float | None = None
    across_mm: float | None = None
    height_mm: float | None = None
    depth_mm: float | None = None
    count: int = 1
    colour: str = "natural"

    @property
    def record(self) -> HandleKind:
        """Its row of the table."""
        return KINDS[self.kind]

    @property
    def thickest_mm(self) -> float:
        """Thickness of one of the reeds that stand in the wall: the core's, or a rope's own."""
        reed = self.core or self.wrap
        assert reed is not None, "the reader refuses a handle of no reed"
        return reed.diameter_mm


def girth_mm(cores: int, core_mm: float, wrap_mm: float) -> float:
    """Length of the axis of one turn round `cores` rods of `core_mm`, seen end on (theory 2)."""
    return math.pi * (core_mm + wrap_mm) + (cores * core_mm if cores > 1 else 0.0)


def in_bundle(cores: int, core_mm: float) -> list[tuple[float, float]]:
    """(mm out of an arch's middle line, mm aside of it) of its cores: one in the middle, or each beside the next in a
    ring."""
    if cores == 1:
        return [(0.0, 0.0)]
    ring = core_mm / 2 / math.sin(math.pi / cores)
    turns = [2 * math.pi * k / cores + (math.pi / 2 if cores == 2 else 0.0) for k in range(cores)]
    return [(ring * math.cos(turn), ring * math.sin(turn)) for turn in turns]


def inside_mm(cores: int, core_mm: float, wrap_mm: float) -> float:
    """How far below the middle line of an arch the axis of what it is wrapped with runs on the arch's inner side."""
    return (core_mm + wrap_mm) / 2 - min(out for out, _ in in_bundle(cores, core_mm))


def wrapping(arch_mm: float, cores: int, core_mm: float, wrap_mm: float, strands: int) -> tuple[int, float]:
    """(turns, length of each strand on the core, mm) of close wrapping over an arch, `strands` side by side in each
    turn (theory 2)."""
    girth, broad = girth_mm(cores, core_mm, wrap_mm), strands * wrap_mm
    # Measured along the arch a turn takes more than it is broad, for it lies aslant.
    pitch = broad / math.sqrt(max(1 - (broad / girth) ** 2, LEAST_SLANT))
    inner = arch_mm - math.pi * inside_mm(cores, core_mm, wrap_mm)
    turns = max(1, math.floor(inner / pitch + 1e-9))
    return turns, turns * math.hypot(girth, arch_mm / turns)


def rope_radius(rods_: int, rod_mm: float, turn_mm: float) -> float:
    """Radius of the helix on which `rods_` rods twisted together touch, mm (theory 3). `turn_mm` > rods_ * rod_mm."""
    apart = 2 * math.pi / rods_
    angle = np.linspace(-apart, 0.0, 2001)
    climb = (turn_mm / (2 * math.pi) * angle) ** 2
    low, high = rod_mm / 4, rod_mm

    def nearest(radius: float) -> float:
        """From a point of one axis to the nearest of the next."""
        return math.sqrt(float((2 * radius**2 * (1 - np.cos(angle + apart)) + climb).min()))

    while nearest(high) < rod_mm and high < 1e4 * rod_mm:  # the axes part as the cylinder grows
        low, high = high, 2 * high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if nearest(middle) < rod_mm else (low, middle)
    return high


def helix_mm(arch_mm: float, radius_mm: float, turn_mm: float) -> float:
    """Length of a helix of this radius along an arch, mm."""
    return arch_mm * math.hypot(2 * math.pi * radius_mm, turn_mm) / turn_mm


def rods_that_cover(radius_mm: float, rod_mm: float, turn_mm: float) -> int:
    """How many rods lie side by side round a core on a helix of this radius."""
    ring = 2 * math.pi * radius_mm
    return max(1, int(ring * turn_mm / math.hypot(ring, turn_mm) / rod_mm + 1e-9))


@dataclass(frozen=True)
class Twist:
    """Rods of a rope handle: how many, one `turn_mm`, `radius_mm` of their helix, `length_mm` of each over the arch."""

    rods: int
    turn_mm: float
    radius_mm: float
    length_mm: float


def twist(handle: Handle, arch_mm: float, where: str) -> Twist:
    """The rods of a rope handle over an arch. Raises DesignError when they cannot lie so."""
    assert handle.wrap is not None, "a rope is twisted of its own reed"
    rod = handle.wrap.diameter_mm
    if handle.core is None:
        many = handle.rods or 3
        turn = handle.turn_mm or ROPE_TURN * many * rod
        if turn <= many * rod * 1.02:
            raise DesignError(
                f"{many} rods of {rod:g} mm cannot twist once round in {turn:.0f} mm.",
                f"{where}, turn",
                f"Give more than {many * rod / 10:.1f} cm; usual is about {ROPE_TURN * many * rod / 10:.1f} cm.",
            )
        radius = rope_radius(many, rod, turn)
        return Twist(many, turn, radius, helix_mm(arch_mm, radius, turn))
    radius = girth_mm(handle.cores, handle.core.diameter_mm, rod) / (2 * math.pi)
    turn = handle.turn_mm or 2 * math.pi * radius * COVER_TURN
    fit = rods_that_cover(radius, rod, turn)
    many = handle.rods or fit
    if many > fit:
        raise DesignError(
            f"{many} rods of {rod:g} mm do not fit side by side round this core; {fit} cover it.",
            f"{where}, rods",
            f"Give rods = {fit}, a thicker core or a longer turn.",
        )
    return Twist(many, turn, radius, helix_mm(arch_mm, radius, turn))


def arch_mm(across_mm: float, height_mm: float) -> float:
    """Length of the arch above the border, mm."""
    return stack.arch_length(across_mm, height_mm)
