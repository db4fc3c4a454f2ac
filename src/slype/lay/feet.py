"""A foot below a woven base: what is cut for it, how long it takes. Lengths mm.

It is reckoned as a small basket of its own, upside down on the ends pushed in round the base's edge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..design.values import Foot
from ..errors import Unweavable
from .laying import Laid, lay
from .piece import SPARE_MM, LengthPart, Piece, piece_of


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
            f"{design.name}, foot, weave",
            'Use weave = "three-rod wale", or finer reed.',
        )
    if alone.design.spokes.ends < need:
        raise Unweavable(
            f"an end of this foot border comes round to itself on {alone.design.spokes.ends} ends.",
            f"{design.name}, foot, border",
            f"Use a shorter one or at least {need} ends.",
        )
    return FootLaid(design.foot, alone, laid.raised_mm)


def foot_pieces(found: FootLaid | None, units: str) -> list[Piece]:
    """Ends of the foot, and its weavers."""
    if found is None:
        return []
    foot, laid = found.foot, found.laid
    need = laid.border
    swing = (need.range_mm[0] - need.length_mm, need.range_mm[1] - need.length_mm)
    parts: list[LengthPart] = [
        ("pushed in", foot.insertion_mm, "beside a spoke at the base's edge, its slype included", "practice"),
        ("down the foot", laid.top_s, "the rows woven on it", "derived"),
        ("border", need.length_mm, "what one end needs below its last row", "derived"),
        ("to spare", SPARE_MM, "for an untrue cut", "practice"),
    ]
    out = [piece_of("foot end", found.ends, foot.reed, foot.colour, parts, swing, units)]
    return [replace(each, use="foot") for each in (*out, *_weavers(found, units))]


def _weavers(found: FootLaid, units: str) -> list[Piece]:
    band = found.laid.bands[0]
    woven, (low, high) = float(band.row_mm.sum()), band.woven_range_mm()
    lengths = max(1, math.ceil(woven / (band.band.reed.strand_mm - 2 * band.tail_mm)))
    share = "" if lengths == 1 else f", in {lengths} lengths"
    colours = [colour for of_weaver in band.colours for colour in of_weaver]
    remark = f"{band.rows} rows of {band.band.weave.name}{share}"
    return [
        piece_of(
            "foot weaver",
            colours.count(colour) * lengths,
            band.band.reed,
            colour,
            [("rows", woven / lengths, remark, "derived"), ("ends", 2 * band.tail_mm, "both ends to tuck", "practice")],
            ((low - woven) / lengths, (high - woven) / lengths),
            units,
        )
        for colour in dict.fromkeys(colours)
    ]


def foot_seconds(found: FootLaid | None) -> float:
    """Seconds for a foot: ends pushed in, rows, and every end once in every row of its border."""
    if found is None:
        return 0.0
    band, pace = found.laid.bands[0], found.laid.design.pace
    rows = band.strokes / pace.strokes_per_minute * 60 + band.rows * pace.pack_seconds
    set_in = (found.ends + len(band.colours)) * pace.join_seconds
    return rows + set_in + found.ends * len(found.foot.border.rows) * pace.border_seconds


def as_json(found: FootLaid | None) -> dict[str, object] | None:
    """The promised form of the foot, lengths in mm. Documented in docs/json.md."""
    if found is None:
        return None
    band = found.laid.bands[0]
    return {
        "ends": found.ends,
        "height_mm": round(found.height_mm, 1),
        "weave": band.band.weave.name,
        "rows": band.rows,
        "border_mm": round(found.laid.border.length_mm, 1),
        "insertion_mm": round(found.foot.insertion_mm, 1),
    }
