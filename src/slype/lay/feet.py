"""A foot below a woven base: what is cut for it, how long it takes. Lengths mm.

It is reckoned as a small basket of its own, upside down on the ends pushed in round the base's edge.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..design.values import Foot
from ..errors import Unweavable
from .laying import lay
from .values import Laid


@dataclass(frozen=True, eq=False)
class FootLaid:
    """A foot in place: what it is, as `laid` alone, and `height_mm` from the table to the base's edge."""

    foot: Foot
    laid: Laid
    height_mm: float

    @property
    def ends(self) -> int:
        """Ends pushed in for it."""
        return self.laid.design.spokes.ends


def lay_foot(laid: Laid) -> FootLaid | None:
    """The foot of a basket, or None. Raises Unweavable when it cannot be worked on this base."""
    design = laid.design
    if design.foot is None:
        return None
    alone = lay(design.foot_alone)
    band, need = alone.bands[0], design.foot.border.smallest_ends
    if band.jammed or not band.locked:
        raise Unweavable(
            f"{band.band.weave.name} does not hold on these {band.ends} ends.",
            design.at("foot", "weave"),
            'Use weave = "three-rod wale", or finer reed.',
        )
    if alone.design.spokes.ends < need:
        raise Unweavable(
            f"an end of this foot border comes round to itself on {alone.design.spokes.ends} ends.",
            design.at("foot", "border"),
            f"Use a shorter one or at least {need} ends.",
        )
    return FootLaid(design.foot, alone, laid.raised_mm)
