"""One maker's own measure, as a design carries it: what was measured by hand, and what a book learned.

A gauge corrects what slype reckons and never replaces the design: `lay.gauge` says how. Lengths mm, ratios measured
over reckoned. Spreads are standard deviations of a ratio's logarithm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

QUANTITIES = {
    "row pitch": "how high rows stand",
    "take-up": "how much reed weavers use",
    "border": "how long an end the border takes",
    "fingers": "what the fingers hold to draw the last ends tight",
    "tails": "how long the tails are",
    "stroke time": "how long a stroke takes",
    "thickness": "how thick the reed is, for its weight",
}
"""What a maker's hands and reed decide."""
BASKET_SPREAD = {
    "row pitch": 0.03, "take-up": 0.02, "border": 0.05, "fingers": 0.15, "tails": 0.15, "stroke time": 0.15,
    "thickness": 0.03,
}  # fmt: skip
"""How one maker's baskets differ among themselves (docs/handbooks.md for rows; else by judgement, no source)."""
RULER_SPREAD = {
    "row pitch": 0.02, "take-up": 0.01, "border": 0.03, "fingers": 0.05, "tails": 0.05, "stroke time": 0.05,
    "thickness": 0.02,
}  # fmt: skip
"""How far one reading is off: ruler, rounding, watch (by judgement, no source)."""
USUAL_SHORT_COSTS = 19.0
"""How many times an inch too short costs what an inch too much does, where nothing else is said: 19 times in 20 a spoke
is then long enough."""
WIDE = NormalDist().inv_cdf(0.975)
"""Standard deviations to either side between which 19 in 20 lie."""


def share_long_enough(cost_short: float, cost_waste: float) -> float:
    """In which share of baskets a piece should be long enough, where coming short costs `cost_short` and one spare
    length costs `cost_waste`, both above 0 and per the same length: the critical ratio of the newsvendor (Arrow, Harris
    and Marschak 1951)."""
    if not (cost_short > 0 and cost_waste > 0):
        raise ValueError("both costs must be above 0")
    return cost_short / (cost_short + cost_waste)


def spread_of_one(quantity: str) -> float:
    """How sure one measured basket is of the next: both differ from the maker's usual, and the ruler errs once."""
    return math.sqrt(2 * BASKET_SPREAD[quantity] ** 2 + RULER_SPREAD[quantity] ** 2)


@dataclass(frozen=True)
class RowsMeasured:
    """Rows that were measured: `rows` of a `weave` in a `reed` (its key; "" for any) stood `height_mm` high in all;
    `take_up` weaver over way round and `strokes_per_minute`, where these were measured."""

    weave: str
    reed: str
    rows: int | None = None
    height_mm: float | None = None
    take_up: float | None = None
    strokes_per_minute: float | None = None


@dataclass(frozen=True)
class Learned:
    """What a book learned of one `quantity` of QUANTITIES, for a weave and a reed ("" for any): the middle ratio
    `times`, and its `spread`."""

    quantity: str
    times: float
    spread: float
    weave: str = ""
    reed: str = ""


@dataclass(frozen=True)
class Gauge:
    """A maker's measure. `border_mm` what one end of this design's own border took above the last row; `fingers_mm`,
    `tail_mm` in any basket; `short_costs` see USUAL_SHORT_COSTS; `whence` whose it is, in words."""

    rows: tuple[RowsMeasured, ...] = ()
    border_mm: float | None = None
    fingers_mm: float | None = None
    tail_mm: float | None = None
    short_costs: float = USUAL_SHORT_COSTS
    whence: str = ""
    learned: tuple[Learned, ...] = ()

    @property
    def share(self) -> float:
        """In which share of baskets a spoke shall be long enough."""
        return share_long_enough(self.short_costs, 1.0)

    def elsewhere(self) -> Gauge:
        """What of it holds for a lid or a foot: all but the length this basket's own border took."""
        learned = tuple(each for each in self.learned if each.quantity != "border")
        return Gauge(self.rows, None, self.fingers_mm, self.tail_mm, self.short_costs, self.whence, learned)
