"""The promised JSON forms of what is not a whole basket: a border, the reeds, the weaves.

Lengths in mm, masses in g; plan, chart and counts hold their own forms. Documented in docs/json.md.
"""

from __future__ import annotations

from ..borders.rows import Border, Need, path_of_end, trimmed_on
from ..borders.sentences import before, closing, lay_first
from ..borders.table import Finish, named_as
from ..reeds import REEDS, Reed, density_check
from ..weave.table import EVERY_END, WEAVES
from ..words import say


def border(asked: Border, need: Need, ends: int | None = None, foot: bool = False) -> dict[str, object]:
    """What one end of a border needs, its way, how to begin and how it closes."""
    known_ends = ends if ends is not None and ends >= asked.smallest_ends else None
    return {
        "border": asked.words(),
        "name": named_as(asked) if named_as(asked) != asked.words() else None,
        **_need(need),
        "path": [
            {"row": row + 1, "face": "outside" if outside else "inside", "spoke": spoke}
            for row, outside, spoke in path_of_end(asked)
        ],
        "before": [say(line) for line in before(asked)],
        "begin": [say(line) for line in lay_first(asked)],
        "closing": closing(asked, known_ends),
        "trim": trimmed_on(asked),
        "foot": foot,
        "smallest_ends": asked.smallest_ends,
        "ends": ends,
        "ends_ok": None if ends is None else ends >= asked.smallest_ends,
    }


def _need(need: Need) -> dict[str, object]:
    return {
        "length_mm": round(need.length_mm, 1),
        "range_mm": [round(mm, 1) for mm in need.range_mm],
        "parts": [
            {"name": name, "mm": round(mm, 1), "why": why, "source": source} for name, mm, why, source in need.parts
        ],
    }


def borders(found: list[Finish], spacing_mm: float, spoke_mm: float, left_mm: float | None) -> dict[str, object]:
    """The table of borders at one spacing; with `left_mm` also what it leaves to spare (below 0: what is missing)."""
    return {
        "spacing_mm": round(spacing_mm, 2),
        "spoke_mm": round(spoke_mm, 2),
        "left_mm": None if left_mm is None else round(left_mm, 1),
        "borders": [_finish(one, left_mm) for one in found],
    }


def _finish(one: Finish, left_mm: float | None) -> dict[str, object]:
    kind = one.kind
    return {
        "name": kind.name,
        "uk": kind.named("uk"),
        "also": list(kind.also),
        "family": kind.family,
        "border": kind.border.words(),
        "smallest_ends": kind.border.smallest_ends,
        "trim": trimmed_on(kind.border),
        **(_need(one.need) if one.need else {"length_mm": None, "range_mm": None, "parts": []}),
        "why_not": one.why_not or None,
        "spare_mm": None if left_mm is None or one.need is None else round(one.spare_mm, 1),
        "enough": None if left_mm is None else one.enough,
        "just_short": None if left_mm is None else one.just_short,
        "help": kind.help,
        "example": kind.example,
        "source": kind.source,
    }


def reeds() -> list[dict[str, object]]:
    """The table of reeds, both series."""
    implied = {reed.key: (density, odd) for reed, density, odd in density_check()}
    return [_reed(reed, *implied.get(reed.key, (None, None))) for reed in REEDS.values()]


def _reed(reed: Reed, density: float | None, odd: bool | None) -> dict[str, object]:
    soak = reed.soak()
    return {
        "reed": reed.key,
        "name": reed.name,
        "series": reed.series,
        "diameter_mm": reed.diameter_mm,
        "diameter_range_mm": [round(mm, 2) for mm in reed.diameter_range_mm],
        "source": reed.source,
        "g_per_m": round(reed.g_per_mm * 1000, 3),
        "ft_per_lb": reed.ft_per_lb,
        "implied_density_g_cm3": None if density is None else round(density * 1000, 3),
        "odd": odd,
        "coil_g": round(reed.coil_g, 1),
        "soaking": {"minutes": list(soak.minutes), "words": soak.words, "source": soak.source},
        "note": reed.note,
    }


def weaves() -> list[dict[str, object]]:
    """The table of weaves."""
    return [
        {
            "name": weave.name,
            "uk": weave.named("uk"),
            "also": list(weave.also),
            "weavers": None if weave.weavers == EVERY_END else weave.weavers,
            "cycle": [list(pair) for pair in weave.cycle],
            "turns": weave.turns,
            "reverse": list(weave.reverse),
            "strands": weave.strands,
            "help": weave.help,
            "example": weave.example,
            "source": weave.source,
        }
        for weave in WEAVES.values()
    ]
