"""The promised JSON forms of what is not a whole basket: a border, the reeds, the weaves. Level 4.

Lengths in mm, masses in g; plan, chart and counts hold their own forms. Documented in docs/json.md.
"""

from __future__ import annotations

from .border import Border, Need, path_of_end
from .border_table import Finish, named_as
from .border_words import before, closing, lay_first, tips, trimmed_on
from .materials import REEDS, Reed, density_check
from .weaves import EVERY_END, WEAVES


def border(asked: Border, need: Need, ends: int | None = None) -> dict[str, object]:
    """What one end of a border needs, its way, and how the border closes."""
    return {
        "border": asked.words(),
        "length_mm": round(need.length_mm, 1),
        "range_mm": [round(mm, 1) for mm in need.range_mm],
        "parts": [
            {"name": name, "mm": round(mm, 1), "why": why, "source": source} for name, mm, why, source in need.parts
        ],
        "path": [
            {"row": row + 1, "face": "outside" if outside else "inside", "spoke": spoke}
            for row, outside, spoke in path_of_end(asked)
        ],
        "closing": closing(asked),
        "smallest_ends": asked.smallest_ends,
        "ends": ends,
        "ends_ok": None if ends is None else ends >= asked.smallest_ends,
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
