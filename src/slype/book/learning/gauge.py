"""What measured baskets teach about one maker: a hierarchical model, begun from physics, in closed form.

Theory
1. What is learned is a ratio, measured over reckoned: 1.06 says this maker's rows stand 6 % higher than slype reckons.
   Its logarithm y is modelled, so that twice and half are as far from 1.
2. For one quantity (row pitch, take-up, ...), y of a measure = maker + weave + reed + both together + basket + error.
   Every term is normal round 0, with a spread stated in PRIORS: so the first answer is slype's own figure, and evidence
   pulls away from it as far as it is strong (shrinkage). The first four terms stay from basket to basket; "basket" is
   what one basket's reed and day were like; "error" is ruler and rounding.
3. With spreads known the posterior is normal and exact (Gelman and others, Bayesian Data Analysis, 3rd edition, chapter
   15; Lindley and Smith 1972). Within one basket the errors are correlated; the inverse of (s_e^2 I + s_b^2 J) is
   (I - s_b^2 J / (s_e^2 + n s_b^2)) / s_e^2 (Sherman and Morrison 1950), so learning takes time with the number of
   measures, and a small matrix with one row for each effect.
4. A figure of several bands, like a whole height, moves by each band's ratio times its share of the height: to first
   order its y is that weighted sum, and what no ratio moves (a border's thickness, a foot) has no share.
5. A prediction for a new basket is normal with the mean of its effects and their spread, its own basket term and error.

Nothing here reads a file or a clock. Numbers in, numbers out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np

from ...design.gauge import BASKET_SPREAD, RULER_SPREAD

Effect = tuple[str, ...]
"""("maker",), ("weave", name), ("reed", name) or ("both", weave, reed)."""


@dataclass(frozen=True)
class Prior:
    """Spreads of log(measured / reckoned) of one quantity, before anything is measured; each a standard deviation.

    `maker` from hand to hand, `weave` and `reed` of one maker, `both` what they do together, `basket` from one basket
    to the next of the same kind, `error` of one measure; `source` where the spreads come from.
    """

    maker: float
    weave: float
    reed: float
    both: float
    basket: float
    error: float
    source: str

    def __post_init__(self) -> None:
        spreads = (self.maker, self.weave, self.reed, self.both, self.basket, self.error)
        if not all(0 <= each < 10 for each in spreads) or self.error <= 0:
            raise ValueError(f"spreads must be 0 or more, and the error more: {spreads}")

    def of(self, effect: Effect) -> float:
        """The spread of one effect."""
        return {"maker": self.maker, "weave": self.weave, "reed": self.reed, "both": self.both}[effect[0]]


def _same(quantity: str) -> tuple[float, float]:
    """Spreads from basket to basket and of the ruler: the same whether a measure stands in a book or in a design."""
    return BASKET_SPREAD[quantity], RULER_SPREAD[quantity]


PRIORS: dict[str, Prior] = {
    "row pitch": Prior(
        0.06, 0.04, 0.05, 0.02, *_same("row pitch"),
        "docs/handbooks.md: published rows lie within 8.5 % of the reckoned, one outlier left out; shares by judgement",
    ),
    "take-up": Prior(0.03, 0.02, 0.02, 0.01, *_same("take-up"), "common practice, no source"),
    "border": Prior(
        0.20, 0.10, 0.05, 0.05, *_same("border"),
        "docs/handbooks.md: what published lists leave for one border differs by a third",
    ),
    "thickness": Prior(
        0.03, 0.0, 0.07, 0.0, *_same("thickness"),
        "tests/authorities/reed_feet_per_pound.csv: feet per pound of one number differ by a fifth, so thickness by a "
        "tenth",
    ),
    "stroke time": Prior(0.50, 0.20, 0.05, 0.05, *_same("stroke time"), "common practice, no source"),
    "tails": Prior(0.40, 0.10, 0.05, 0.05, *_same("tails"), "common practice, no source"),
    "fingers": Prior(0.40, 0.0, 0.10, 0.0, *_same("fingers"), "common practice, no source"),
}  # fmt: skip
"""What may be learned, and how far makers differ in it before one is known."""


@dataclass(frozen=True)
class Measure:
    """One measured figure of one basket beside what slype reckoned for it, both above 0 and in the same unit.

    A figure of several bands together, like a whole height, has `parts`: (weave, reed, share of what was reckoned).
    """

    quantity: str
    basket: str
    measured: float
    reckoned: float
    weave: str = ""
    reed: str = ""
    parts: tuple[tuple[str, str, float], ...] = ()

    def __post_init__(self) -> None:
        if self.quantity not in PRIORS:
            raise ValueError(f"nothing is learned of {self.quantity!r}")
        for value in (self.measured, self.reckoned):
            if not (math.isfinite(value) and value > 0):
                raise ValueError(f"a measure must be above 0, not {value}")

    @property
    def log_ratio(self) -> float:
        return math.log(self.measured / self.reckoned)

    @property
    def shares(self) -> tuple[tuple[str, str, float], ...]:
        """(weave, reed, share) of all that it speaks of."""
        return self.parts or ((self.weave, self.reed, 1.0),)


def effects_of(weave: str, reed: str, prior: Prior) -> tuple[Effect, ...]:
    """The lasting effects that bear on a weave in a reed; one without spread, or without a name, is left out."""
    named: list[Effect] = [("maker",)]
    if weave:
        named.append(("weave", weave))
    if reed:
        named.append(("reed", reed))
    if weave and reed:
        named.append(("both", weave, reed))
    return tuple(effect for effect in named if prior.of(effect) > 0)


def kinds_of(measures: Iterable[Measure], quantity: str) -> dict[tuple[str, str], int]:
    """Every (weave, reed) that measures of a quantity speak of, with how many of them do."""
    out: dict[tuple[str, str], int] = {}
    for each in measures:
        if each.quantity == quantity:
            for kind in dict.fromkeys((weave, reed) for weave, reed, _ in each.shares):
                out[kind] = out.get(kind, 0) + 1
    return out


@dataclass(frozen=True)
class Estimate:
    """A ratio with its range: `middle` (the median), and the `spread` (standard deviation) of its logarithm.

    `measures` and `baskets`: how many bore on this maker's figure at all.
    """

    middle: float
    spread: float
    measures: int
    baskets: int

    def at(self, share: float) -> float:
        """The ratio that is not passed in that share of baskets, 0 < share < 1."""
        return self.middle * math.exp(NormalDist().inv_cdf(share) * self.spread)

    def within(self, share: float = 0.95) -> tuple[float, float]:
        """The ratios between which that share of baskets lies."""
        return self.at((1 - share) / 2), self.at((1 + share) / 2)


@dataclass(frozen=True, eq=False)
class Known:
    """What is known of one quantity: the lasting `effects`, their posterior `mean` (k,) and `covariance` (k, k)."""

    quantity: str
    prior: Prior
    effects: tuple[Effect, ...]
    mean: np.ndarray
    covariance: np.ndarray
    measures: int = 0
    baskets: int = 0

    def lasting(self, weave: str = "", reed: str = "") -> tuple[float, float]:
        """(mean, variance) of the log ratio that lasts from basket to basket, for a weave in a reed."""
        place = {effect: i for i, effect in enumerate(self.effects)}
        mean, variance, known = 0.0, 0.0, []
        for effect in effects_of(weave, reed, self.prior):
            if effect in place:
                known.append(place[effect])
            else:
                variance += self.prior.of(effect) ** 2  # nothing measured yet: the prior stands
        if known:
            mean += float(self.mean[known].sum())
            variance += float(self.covariance[np.ix_(known, known)].sum())
        return mean, variance

    def estimate(self, weave: str = "", reed: str = "", measured: bool = False) -> Estimate:
        """What the next basket will be like; `measured`: with the error of a ruler, as a measure of it would read."""
        mean, variance = self.lasting(weave, reed)
        variance += self.prior.basket**2 + (self.prior.error**2 if measured else 0.0)
        return Estimate(math.exp(mean), math.sqrt(variance), self.measures, self.baskets)


def learn(quantity: str, measures: Iterable[Measure], prior: Prior | None = None) -> Known:
    """The posterior of one quantity from all measures of it (others are passed over)."""
    prior = prior or PRIORS[quantity]
    mine = [each for each in measures if each.quantity == quantity]
    kinds = dict.fromkeys(each.shares for each in mine)
    named = dict.fromkeys((weave, reed) for kind in kinds for weave, reed, _ in kind)
    effects = tuple(dict.fromkeys(effect for each in named for effect in effects_of(*each, prior)))
    place = {effect: i for i, effect in enumerate(effects)}
    k = len(effects)
    row_of = {kind: np.zeros(k) for kind in kinds}
    for kind, row in row_of.items():
        for weave, reed, share in kind:
            row[[place[effect] for effect in effects_of(weave, reed, prior)]] += share
    baskets = {key: i for i, key in enumerate(dict.fromkeys(each.basket for each in mine))}
    rows = np.array([row_of[each.shares] for each in mine]).reshape(len(mine), k)
    y = np.array([each.log_ratio for each in mine])
    of_basket = np.array([baskets[each.basket] for each in mine], dtype=int)
    error, basket = prior.error**2, prior.basket**2
    # One basket's measures share the basket's own term (theory 3): sums over a basket are all it takes.
    total, total_y = np.zeros((len(baskets), k)), np.zeros(len(baskets))
    np.add.at(total, of_basket, rows)
    np.add.at(total_y, of_basket, y)
    shared = basket / (error * (error + np.bincount(of_basket, minlength=len(baskets)) * basket))
    precision = np.diag([prior.of(effect) ** -2 for effect in effects]).reshape(k, k)
    precision = precision + rows.T @ rows / error - (total * shared[:, None]).T @ total
    pull = rows.T @ y / error - total.T @ (shared * total_y)
    covariance = np.linalg.inv(precision) if k else precision
    return Known(quantity, prior, effects, covariance @ pull, covariance, len(mine), len(baskets))


SLIP = 4.0
"""Beyond so many spreads of what makers differ in, a figure is taken for a slip (a wrong band, a foot for an inch) and
teaches nothing; of true figures one in 16,000 is."""


def is_slip(measure: Measure) -> bool:
    """True for a figure that hardly any hands and reed give."""
    weave, reed, _ = measure.shares[0]
    return abs(measure.log_ratio) > SLIP * _usual_spread(measure.quantity, weave, reed)


@lru_cache(maxsize=4096)
def _usual_spread(quantity: str, weave: str, reed: str) -> float:
    """How far figures differ before anything is known of a maker."""
    return learn(quantity, []).estimate(weave, reed, measured=True).spread


def learn_all(measures: Sequence[Measure]) -> dict[str, Known]:
    """What is known of every quantity."""
    return {quantity: learn(quantity, measures) for quantity in PRIORS}


def without(measures: Sequence[Measure], basket: str) -> list[Measure]:
    """The measures with one basket left out."""
    return [each for each in measures if each.basket != basket]


def spread_after(known: Known, weave: str, reed: str, swatch: Sequence[tuple[str, str]]) -> float:
    """How wide the lasting log ratio of a weave in a reed will still be (a standard deviation) once a swatch is
    measured: one measure of each (weave, reed), all in one piece of work. What will be read does not matter for it."""
    prior = known.prior
    wanted = effects_of(weave, reed, prior)
    effects = tuple(dict.fromkeys([*known.effects, *wanted, *(e for each in swatch for e in effects_of(*each, prior))]))
    place = {effect: i for i, effect in enumerate(effects)}
    covariance = np.diag([prior.of(effect) ** 2 for effect in effects])
    old = len(known.effects)
    covariance[:old, :old] = known.covariance
    design = np.zeros((len(swatch), len(effects)))
    for row, each in enumerate(swatch):
        design[row, [place[effect] for effect in effects_of(*each, prior)]] = 1
    noise = prior.error**2 * np.eye(len(swatch)) + prior.basket**2
    gain = covariance @ design.T @ np.linalg.inv(design @ covariance @ design.T + noise)
    after = covariance - gain @ design @ covariance
    asked = np.zeros(len(effects))
    asked[[place[effect] for effect in wanted]] = 1
    return math.sqrt(max(0.0, float(asked @ after @ asked)))
