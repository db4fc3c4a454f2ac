"""The table of bases and their geometry: crosses of sticks and boards with holes. Lengths mm.

A cross is data: how many sticks lie each way, how they hold each other, what its first ring goes round. A board is a
ring of holes a little way in from its edge, with a foot border below.

Theory
1. First ring. It goes round a rectangle as wide as the sticks that lie each way, so its radius is that of a circle with
   the rectangle's girth; half a stick more to the inner side of the first row.
2. Holes. The pitch is the ring over their count; compasses step off the chord, ring / pi * sin(pi / count).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..borders.meetings import thicknesses
from ..borders.rows import Border
from ..errors import found_by_name
from ..quantity import MM_PER_IN
from ..words import Named

DRILL_STEP_MM = {"in": MM_PER_IN / 64, "cm": 0.5}
"""Steps in which drills are sold (common practice, no source)."""
BOARD_MM = MM_PER_IN / 4
"""Usual thickness of a base board (common practice, no source)."""


@dataclass(frozen=True)
class BaseKind(Named):
    """One kind of base: its name in both wordings, whether it is of `sticks`, help, example, source."""

    name: str
    uk: str
    sticks: bool
    help: str
    example: str
    source: str

_ALL = (
    BaseKind(
        "laid cross",
        "laid slath",
        True,
        "Half of the sticks lie across the other half; the first rows tie them.",
        'kind = "laid cross"',
        "gill",
    ),
    BaseKind(
        "pierced cross",
        "pierced slath",
        True,
        "Some sticks are split in the middle and the others passed through them, so that all lie in one plane.",
        'kind = "pierced cross"\nthrough = 4',
        "shaw",
    ),
    BaseKind(
        "interlaced",
        "interlaced",
        True,
        "Sets of several sticks are woven over and under each other in the middle before the first row.",
        'kind = "interlaced"\nsets = 4',
        "practice",
    ),
    BaseKind(
        "board",
        "board",
        False,
        "A wooden board with a hole for every {spoke}; the ends below are worked into a foot border.",
        'kind = "board"\nfoot = ["behind 1 out", "over 1 down"]',
        "gill",
    ),
)
KINDS: dict[str, BaseKind] = {kind.name: kind for kind in _ALL}

ODD = {
    "half": "a half one is bound into the middle",
    "cut out": "one end of a full one is cut out where the first rows end",
    "added": "one more is pushed in beside another where the first rows end",
}
"""Ways to come by an odd count of ends. Half: White. Cut out and added: Turner, p. 14."""
ODD_SOURCE = {"half": "white", "cut out": "turner", "added": "turner"}


def kind_named(name: str, where: str = "") -> str:
    """Key of the kind for its name in either wording. Raises DesignError, suggesting the nearest."""
    by_name = {name: key for key, kind in KINDS.items() for name in (kind.name, kind.uk)}
    return found_by_name(name, "base", by_name, where)


@dataclass(frozen=True)
class Base:
    """The base of a design. `through` sticks that pass through (or lie over) the others, None for half of them; `sets`
    sticks in each interlaced set; `odd` how an odd count comes about; of a board, its `thickness_mm` and the `foot`;
    `begin` one of BEGIN: how the first two weavers are set in."""

    kind: str = "laid cross"
    through: int | None = None
    sets: int = 0
    odd: str = "half"
    thickness_mm: float = BOARD_MM
    foot: Border | None = None
    begin: str = "cut"

    @property
    def record(self) -> BaseKind:
        """Its row of the table."""
        return KINDS[self.kind]

    @property
    def is_board(self) -> bool:
        """True for a wooden board."""
        return not self.record.sticks


BEGIN = ("cut", "folded")
"""How the first row of a base is begun: with cut weavers, or with one folded in half round an arm."""


def raised_mm(base: Base, spoke_mm: float) -> float:
    """How high a board and its foot border lift the wall above the table: 0 for a woven base.

    The foot is as many spokes thick as ends lie on each other. (Geometric form; common practice, no source.)
    """
    if base.foot is None:
        return 0.0
    return base.thickness_mm + spoke_mm * thicknesses(base.foot)


def sticks_each_way(sticks: int, through: int | None = None) -> tuple[int, int]:
    """(below or split, over or through) of so many full sticks."""
    over = sticks // 2 if through is None else through
    return sticks - over, over


def first_ring_mm(base: Base, sticks: int, beside: int, stick_mm: float) -> float:
    """Radius, mm, of a circle round the crossing of `sticks` (a half one counted whole), `beside` reeds to each."""
    below, over = sticks_each_way(sticks, base.through)
    wide = (below + over) * beside * stick_mm
    if base.sets:
        # Where a set passes between two others it parts them by a thickness (common practice, no source).
        wide += 2 * (sticks // (2 * base.sets) - 1) * stick_mm
    return wide / math.pi


# Boards --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Holes:
    """Holes of a board: `count`, `ring_mm` diameter of their circle (its length over pi where it is not round),
    `pitch_mm` along the ring, `chord_mm` straight from one to the next on a circle, `margin_mm` from their middles to
    the edge, `drill_mm`."""

    count: int
    ring_mm: float
    pitch_mm: float
    chord_mm: float
    margin_mm: float
    drill_mm: float

    @property
    def angle_deg(self) -> float:
        """From one hole of a circle to the next, seen from its middle."""
        return 360.0 / self.count


def bundle_mm(reeds: int, thick_mm: float) -> float:
    """Diameter of the hole that so many reeds side by side in a ring just pass."""
    return thick_mm if reeds == 1 else thick_mm * (1 + 1 / math.sin(math.pi / reeds))


def holes(count: int, ring_mm: float, board_mm: float, spoke_most_mm: float, per_end: int, units: str) -> Holes:
    """The holes of a board `board_mm` across on a ring `ring_mm` across for spokes up to `spoke_most_mm` thick."""
    step = DRILL_STEP_MM[units]
    drill = math.ceil(bundle_mm(per_end, spoke_most_mm) / step - 1e-9) * step
    pitch, chord = math.pi * ring_mm / count, ring_mm * math.sin(math.pi / count)
    return Holes(count, ring_mm, pitch, chord, (board_mm - ring_mm) / 2, drill)
