"""What a basket at rest is: its parts, its numbers, and how well it came to rest. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..design.values import Design
from ..lay.joins import Join
from ..lay.values import Laid
from ..rods.wall import Rest
from ..space.together import ALONE, Together
from .built import Built
from .warp import Warp


@dataclass(frozen=True, eq=False)
class PartAtRest:
    """One surface at rest: its rods and where they came to on a straight wall, and the `warp` of their own; `laid` how
    they lay before hands rapped wedges down, None where there were none. An edit starts from that."""

    built: Built
    rest: Rest
    warp: Warp | None = None
    laid: Rest | None = None

    @cached_property
    def at(self) -> np.ndarray:
        """Where every node lies on the surface (nodes, 2): s and n, mm."""
        if self.warp is None:
            return self.rest.at
        return np.stack([self.warp.risen(self.rest.at[:, 0]), self.rest.at[:, 1]], axis=1)

    @property
    def order_kept(self) -> bool:
        """True when every strand still lies above what the trace puts below it."""
        low, high = self.built.columns.T
        return bool(np.all(self.rest.at[high, 0] > self.rest.at[low, 0]))


@dataclass(frozen=True, eq=False)
class AtRest:
    """A whole basket at rest. `laid` has relaxed lengths and heights in place of those of stacked cells; `stacked` has
    not. `parts` by name: "base", "side", "border" (each only where there is one), and where ends are added "side 2" and
    so on, a tier each; `joins` as its reeds were cut; `tangled` the surfaces that would not come to rest and were left
    stacked, or in the border's plain form. `lid` is the basket's lid at rest, None where it has none. `together`
    says how all of it lies in space, where its parts meet.
    """

    design: Design
    stacked: Laid
    laid: Laid
    parts: dict[str, PartAtRest]
    joins: tuple[Join, ...]
    tangled: tuple[str, ...] = ()
    lid: AtRest | None = None
    together: Together = ALONE

    @property
    def done(self) -> bool:
        """True when every part, the lid's too, came to rest within what was asked."""
        return not self.laid.unsettled and (self.lid is None or self.lid.done)

    @property
    def overlap_mm(self) -> float:
        """Worst overlap of any two reeds of what came to rest."""
        return max((part.rest.overlap_mm for part in self._sound), default=0.0)

    @property
    def unbalanced(self) -> float:
        """Largest force left over, in the unit of BALANCE."""
        return max((part.rest.unbalanced for part in self._sound), default=0.0)

    @property
    def _sound(self) -> list[PartAtRest]:
        return [part for where, part in self.parts.items() if where not in self.tangled]

    @property
    def sweeps(self) -> int:
        """Sweeps of the part that took longest."""
        return max((part.rest.sweeps for part in self.parts.values()), default=0)

    @property
    def nodes(self) -> int:
        """Points of all reeds that were moved."""
        return sum(part.built.wall.nodes for part in self.parts.values())

    @property
    def order_kept(self) -> bool:
        """True when no strand has changed places with one that the trace puts above or below it."""
        return all(part.order_kept for part in self.parts.values())
