"""The maker's own measure in a design file: the table [gauge] in, a `Gauge` out."""

from __future__ import annotations

import math

from ...errors import DesignError, Place
from ...reeds import REEDS, Reed
from ...such_as import such_as
from ...weave.table import weave_named
from ..gauge import QUANTITIES, USUAL_SHORT_COSTS, WIDE, Gauge, Learned, RowsMeasured
from .keys import known_keys
from .stuff import read_reed
from .toml import Table, shown

ROWS_KEYS = ("weave", "reed", "rows", "height", "take_up", "strokes_per_minute")
LEARNED_KEYS = ("quantity", "weave", "reed", "times", "between")
LEAST_TIMES, MOST_TIMES = 0.2, 5.0
MOST_ENTRIES = 200


def read_gauge(values: object, own: dict[str, Reed]) -> Gauge:
    """The gauge of a design. Raises DesignError naming key and entry."""
    table = Table(values, "gauge", known_keys("gauge"))
    if "border" in table.values and "fingers" in table.values:
        raise DesignError(
            "holds what the fingers held already.", table.at("border"), "Leave border or fingers out of [gauge]."
        )
    return Gauge(
        rows=tuple(_rows(each, place, own) for each, place in _entries(table, "rows")),
        border_mm=table.length("border", 5.0, 2000.0),
        fingers_mm=table.length("fingers", 0.0, 500.0),
        tail_mm=table.length("tail", 0.0, 500.0),
        short_costs=table.number("short_costs", USUAL_SHORT_COSTS, 1.0, 1000.0),
        whence=table.text("from", "")[:80],
        learned=tuple(_learned(each, place, own) for each, place in _entries(table, "learned")),
    )


def _entries(table: Table, key: str) -> list[tuple[object, Place]]:
    values = table.values.get(key, [])
    if not isinstance(values, list):
        raise DesignError(f"should be a list of tables, not {shown(values)}.", table.at(key), f"Write [[gauge.{key}]].")
    if len(values) > MOST_ENTRIES:
        raise DesignError(f"holds {len(values)} entries.", table.at(key), f"At most {MOST_ENTRIES}.")
    return [(each, table.at(key).entry("entry", i)) for i, each in enumerate(values)]


def _kind(table: Table, own: dict[str, Reed], needed: bool) -> tuple[str, str]:
    """(weave, reed) by their names in the tables; "" where it is not said."""
    if needed and "weave" not in table.values:
        raise DesignError("is missing.", table.at("weave"), 'Say which weave, like weave = "three-rod wale".')
    weave = weave_named(table.text("weave", None), table.at("weave")).name if "weave" in table.values else ""
    reed = ""
    if "reed" in table.values:
        said = table.text("reed", None)
        reed = said if said in own else read_reed(said, own, table.at("reed")).key or said
        reed = reed.lower() if reed.lower() in REEDS else reed
    return weave, reed


ROWS_AND_HEIGHT = 'rows = 12, height = "2 1/8 in"', 'rows = 12, height = "5.4 cm"'


def _rows(values: object, place: Place, own: dict[str, Reed]) -> RowsMeasured:
    table = Table(values, place, ROWS_KEYS)
    weave, reed = _kind(table, own, True)
    if ("rows" in table.values) != ("height" in table.values):
        raise DesignError(
            "rows and height belong together: so many rows stood so high.", place,
            f"For example {such_as(*ROWS_AND_HEIGHT)}.",
        )  # fmt: skip
    if not {"rows", "take_up", "strokes_per_minute"} & set(table.values):
        raise DesignError("measures nothing.", place, f"Say rows and height, like {such_as(*ROWS_AND_HEIGHT)}.")
    return RowsMeasured(
        weave,
        reed,
        table.count("rows", None, 1, 2000),
        table.length("height", 1.0, 3000.0),
        table.number("take_up", 1.0, 1.0, 3.0) if "take_up" in table.values else None,
        table.number("strokes_per_minute", 1.0, 0.5, 300.0) if "strokes_per_minute" in table.values else None,
    )


def _learned(values: object, place: Place, own: dict[str, Reed]) -> Learned:
    table = Table(values, place, LEARNED_KEYS)
    quantity = table.text("quantity", None, tuple(QUANTITIES))
    weave, reed = _kind(table, own, False)
    times = table.number("times", 1.0, LEAST_TIMES, MOST_TIMES)
    between = table.values.get("between")
    if not (isinstance(between, list) and len(between) == 2):
        raise DesignError(
            "should be two numbers between which 19 in 20 lie.", table.at("between"), "For example [0.95, 1.12]."
        )
    low, high = (Table({"between": each}, place).number("between", 1.0, 0.01, 100.0) for each in between)
    if not low <= times <= high:
        raise DesignError(
            f"{low:g} to {high:g} leaves out {times:g}.", table.at("between"), "Write the smaller figure first."
        )
    return Learned(quantity, times, math.log(high / low) / (2 * WIDE), weave, reed)
