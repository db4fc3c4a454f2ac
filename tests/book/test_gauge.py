"""What measured baskets teach about a maker: against a second way of reckoning, limits, and simulated makers."""

import math

import numpy as np
import pytest
import scipy
from hypothesis import given
from hypothesis import strategies as st

from slype.book.learning.gauge import (
    PRIORS,
    Measure,
    Prior,
    effects_of,
    learn,
    spread_after,
    without,
)
from slype.design.gauge import share_long_enough

PITCH = PRIORS["row pitch"]
WEAVES, REEDS = ("randing", "pairing", "three-rod wale"), ("round 2", "round 3")


def simulated(rng, prior, baskets=4, each=3):
    """(true lasting log ratio by (weave, reed), measures) of one maker drawn from the prior."""
    maker = rng.normal(0, prior.maker)
    weave = {name: rng.normal(0, prior.weave) for name in WEAVES}
    reed = {name: rng.normal(0, prior.reed) for name in REEDS}
    both = {(w, r): rng.normal(0, prior.both) for w in WEAVES for r in REEDS}
    truth = {(w, r): maker + weave[w] + reed[r] + both[w, r] for w in WEAVES for r in REEDS}
    measures = []
    for basket in range(baskets):
        day = rng.normal(0, prior.basket)
        for _ in range(each):
            w, r = WEAVES[rng.integers(len(WEAVES))], REEDS[rng.integers(len(REEDS))]
            y = truth[w, r] + day + rng.normal(0, prior.error)
            measures.append(Measure("row pitch", str(basket), 5.0 * math.exp(y), 5.0, w, r))
    return truth, measures


def by_conditioning(prior, measures, weave, reed):
    """(mean, variance) of the lasting log ratio, from the joint normal of all measures and it: no effects, no inverse
    of Sherman and Morrison. A second opinion for `learn`."""

    def shared(a, b):
        out = prior.maker**2
        out += prior.weave**2 * (a[0] == b[0]) + prior.reed**2 * (a[1] == b[1]) + prior.both**2 * (a == b)
        return out

    def of_shares(one, other):
        return sum(a[2] * b[2] * shared(a[:2], b[:2]) for a in one for b in other)

    places = [each.shares for each in measures]
    k = np.array([[of_shares(a, b) for b in places] for a in places])
    for i, a in enumerate(measures):
        for j, b in enumerate(measures):
            k[i, j] += prior.basket**2 * (a.basket == b.basket) + prior.error**2 * (i == j)
    to_it = np.array([of_shares(a, ((weave, reed, 1.0),)) for a in places])
    y = np.array([each.log_ratio for each in measures])
    weights = np.linalg.solve(k, to_it)
    return float(weights @ y), float(shared((weave, reed), (weave, reed)) - weights @ to_it)


def test_a_maker_of_whom_nothing_is_known_gets_slypes_own_figure():
    known = learn("row pitch", [])
    found = known.estimate("randing", "round 2")
    assert found.middle == 1.0 and found.measures == 0
    assert found.spread == pytest.approx(
        math.sqrt(sum(s**2 for s in (PITCH.maker, PITCH.weave, PITCH.reed, PITCH.both, PITCH.basket)))
    )


@given(st.integers(0, 10**6), st.integers(1, 6), st.integers(1, 4))
def test_it_agrees_with_plain_conditioning_of_the_joint_normal(seed, baskets, each):
    rng = np.random.default_rng(seed)
    _, measures = simulated(rng, PITCH, baskets, each)
    known = learn("row pitch", measures)
    for weave in (*WEAVES, "slewing"):
        for reed in (*REEDS, "round 4"):
            assert known.lasting(weave, reed) == pytest.approx(by_conditioning(PITCH, measures, weave, reed), abs=1e-9)


@given(st.integers(0, 10**6), st.lists(st.floats(0.05, 0.5), min_size=2, max_size=2))
def test_a_figure_of_several_bands_bears_on_each_by_its_share(seed, shares):
    rng = np.random.default_rng(seed)
    _, measures = simulated(rng, PITCH, 3, 2)
    whole = tuple((WEAVES[i], REEDS[i], share) for i, share in enumerate(shares))
    measures.append(Measure("row pitch", "9", 1.08, 1.0, parts=whole))
    known = learn("row pitch", measures)
    for weave in (*WEAVES, "slewing"):
        assert known.lasting(weave, "round 2") == pytest.approx(
            by_conditioning(PITCH, measures, weave, "round 2"), abs=1e-9
        )


def test_one_measure_shrinks_by_the_textbooks_share():
    """Of a single group the posterior mean is y times s^2 / (s^2 + error) (Gelman and others, section 5.4)."""
    prior = Prior(0.1, 0, 0, 0, 0.05, 0.02, "a test")
    known = learn("row pitch", [Measure("row pitch", "a", 1.1, 1.0)], prior)
    share = 0.1**2 / (0.1**2 + 0.05**2 + 0.02**2)
    assert known.lasting()[0] == pytest.approx(share * math.log(1.1))
    assert known.lasting()[1] == pytest.approx(0.1**2 * (1 - share))


def test_many_baskets_win_over_physics_and_one_basket_measured_often_does_not():
    many = learn("row pitch", [Measure("row pitch", str(i), 1.2, 1.0) for i in range(4000)])
    often = learn("row pitch", [Measure("row pitch", "one", 1.2, 1.0) for _ in range(4000)])
    assert many.lasting()[0] == pytest.approx(math.log(1.2), abs=1e-3)
    left = PITCH.maker**2 / (PITCH.maker**2 + PITCH.basket**2)
    assert often.lasting()[0] == pytest.approx(left * math.log(1.2), rel=1e-3), "its own day stays in doubt"


def test_ranges_hold_what_they_promise_over_simulated_makers():
    """Simulation-based calibration (Talts and others 2018): the true value's place within its posterior is uniform."""
    rng = np.random.default_rng(20260)
    places, held = [], 0
    makers = 2000
    for _ in range(makers):
        truth, measures = simulated(rng, PITCH)
        known = learn("row pitch", measures)
        mean, variance = known.lasting("randing", "round 2")
        places.append(scipy.stats.norm.cdf(truth["randing", "round 2"], mean, math.sqrt(variance)))
        basket = math.exp(truth["randing", "round 2"] + rng.normal(0, PITCH.basket))
        low, high = known.estimate("randing", "round 2").within(0.95)
        held += low <= basket <= high
    counts = np.histogram(places, bins=20, range=(0, 1))[0]
    assert scipy.stats.chisquare(counts).pvalue > 0.01, counts
    assert scipy.stats.kstest(places, "uniform").pvalue > 0.01
    assert 0.93 <= held / makers <= 0.97, held / makers


def test_ranges_from_spreads_that_are_half_as_wide_are_caught():
    """The check above is no formality: a model too sure of itself fails it."""
    rng = np.random.default_rng(3)
    sure = Prior(*(s / 2 for s in (PITCH.maker, PITCH.weave, PITCH.reed, PITCH.both, PITCH.basket, PITCH.error)), "no")
    held = 0
    for _ in range(400):
        truth, measures = simulated(rng, PITCH)
        basket = math.exp(truth["randing", "round 2"] + rng.normal(0, PITCH.basket))
        low, high = learn("row pitch", measures, sure).estimate("randing", "round 2").within(0.95)
        held += low <= basket <= high
    assert held / 400 < 0.9


def test_the_share_that_should_be_long_enough_is_the_newsvendors():
    """Short costs 7, waste costs 3: the best order covers 0.7 of demand; tried by brute force on a million days."""
    share = share_long_enough(7, 3)
    assert share == pytest.approx(0.7)
    demand = np.exp(np.random.default_rng(1).normal(0, 0.2, 200_000))
    orders = np.linspace(0.8, 1.6, 161)
    cost = [np.mean(7 * np.maximum(demand - q, 0) + 3 * np.maximum(q - demand, 0)) for q in orders]
    best = math.exp(scipy.stats.norm.ppf(share) * 0.2)
    assert orders[int(np.argmin(cost))] == pytest.approx(best, abs=0.01)


PAIRS = [(w, r) for w in WEAVES for r in REEDS]


@given(st.integers(0, 10**6), st.lists(st.sampled_from(PAIRS), min_size=1, max_size=4))
def test_a_swatch_narrows_the_range_by_what_was_said_before_it_was_woven(seed, swatch):
    rng = np.random.default_rng(seed)
    _, measures = simulated(rng, PITCH, 2, 2)
    said = spread_after(learn("row pitch", measures), "pairing", "round 3", swatch)
    woven = [*measures, *(Measure("row pitch", "swatch", 1 + rng.random(), 1.0, w, r) for w, r in swatch)]
    assert math.sqrt(learn("row pitch", woven).lasting("pairing", "round 3")[1]) == pytest.approx(said, abs=1e-9)


def test_a_basket_left_out_leaves_no_trace():
    _, measures = simulated(np.random.default_rng(8), PITCH)
    others = learn("row pitch", without(measures, "2"))
    assert others.baskets == 3
    assert others.lasting("randing", "round 2") == pytest.approx(
        by_conditioning(PITCH, [each for each in measures if each.basket != "2"], "randing", "round 2"), abs=1e-9
    )


@pytest.mark.parametrize("measured", [0.0, -1.0, math.inf, math.nan])
def test_no_measure_is_zero_negative_or_endless(measured):
    with pytest.raises(ValueError, match="above 0"):
        Measure("row pitch", "a", measured, 1.0)


def test_every_prior_says_where_its_spreads_come_from():
    for name, prior in PRIORS.items():
        assert len(prior.source) > 10, name
        assert effects_of("randing", "round 2", prior)[0] == ("maker",)
