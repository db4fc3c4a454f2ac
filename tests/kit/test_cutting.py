"""Cutting plans: known optima, brute force, the linear bound, and every plan added up anew by a checker."""

import itertools
import random
from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from slype.kit.cuts import columns
from slype.kit.cuts.checks import faults, first_fit
from slype.kit.cuts.cutting import Choice, CuttingPlan, Order, Pattern, Problem, Stock, cut
from slype.kit.cuts.sacks import knapsack, worthwhile
from slype.kit.worked import work

HERE = Path(__file__).parent
QUICK = settings(max_examples=25, phases=[Phase.explicit, Phase.reuse, Phase.generate])
"""A plan takes a moment, so what fails is not made smaller by trying hundreds more."""
FALKENAUER = HERE.parent / "authorities" / "binpacking" / "u120_00.txt"


def bins(sizes, capacity):
    """Bin packing as a cutting problem: strands of one length, as many as are wanted."""
    orders = tuple(Order(float(mm), "natural", n) for mm, n in Counter(sizes).items())
    return Problem((Stock(float(capacity), None, cost=1.0),), orders)


def triplets(count, seed):
    """Falkenauer's triplets made anew: every strand of 1000 is filled by three pieces, so count / 3 are least."""
    chance, out = random.Random(seed), []
    for _ in range(count // 3):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        out += [first, second, 1000 - first - second]
    assert sum(out) == 1000 * (count // 3)
    return out


def test_the_published_instance_is_cut_from_its_proven_48():
    many, capacity, *sizes = map(int, FALKENAUER.read_text().split())
    assert len(sizes) == many == 120
    problem = bins(sizes, capacity)
    plan = cut(problem, 20.0)
    assert plan.cost == 48 == plan.bound
    assert faults(problem, plan) == []
    assert first_fit(problem)[1] == 49, "what the instance is known for: first fit needs one more"


@pytest.mark.parametrize("seed", range(4))
def test_triplets_are_cut_from_what_made_them(seed):
    problem = bins(triplets(60, seed), 1000)
    plan = cut(problem, 20.0)
    assert faults(problem, plan) == []
    assert plan.bound == 20, "no plan can do with less than the sum of lengths"
    assert plan.cost in (20, 21)


def test_most_triplets_are_proven_best():
    assert sum(cut(bins(triplets(30, seed), 1000), 20.0).proven for seed in range(4)) >= 3


def brute_force(sizes, capacity):
    """Least count of strands, by trying everything."""

    @cache
    def least(left):
        if not left:
            return 0
        first, rest = left[0], left[1:]
        best = len(left)
        for k in range(len(rest) + 1):
            for with_it in itertools.combinations(range(len(rest)), k):
                if first + sum(rest[i] for i in with_it) <= capacity:
                    best = min(best, 1 + least(tuple(mm for i, mm in enumerate(rest) if i not in with_it)))
        return best

    return least(tuple(sorted(sizes, reverse=True)))


@given(st.lists(st.integers(2, 10), min_size=1, max_size=8), st.integers(10, 14))
@QUICK
def test_small_cases_are_as_good_as_trying_everything(sizes, capacity):
    problem = bins(sizes, capacity)
    plan = cut(problem)
    assert faults(problem, plan) == []
    assert plan.cost == brute_force(sizes, capacity)
    assert plan.proven


whole_inches = st.integers(4, 40).map(lambda n: n * 25.4)
pieces = st.lists(
    st.builds(Order, whole_inches, st.sampled_from(["natural", "rust"]), st.integers(1, 9)), min_size=1, max_size=8
)
shelves = st.lists(st.tuples(st.integers(40, 120), st.integers(0, 6), st.sampled_from(["natural", "rust"])), max_size=3)


@given(pieces, shelves)
@QUICK
def test_of_unequal_strands_any_plan_can_be_cut_and_its_bound_holds(orders, shelf):
    stock = tuple(Stock(n * 25.4, many, colour, n * 25.4, name="shelf") for n, many, colour in shelf)
    problem = Problem((*stock, Stock(3048.0, None, cost=3048.0, name="bought")), tuple(orders))
    plan = cut(problem, 1.0)
    assert faults(problem, plan) == []
    assert not plan.missing
    by_hand, _ = first_fit(problem)
    assert plan.bound <= plan.cost <= by_hand + 1e-6
    wanted = sum(order.length_mm * order.count for order in orders)
    assert plan.bound >= wanted - 1e-6, "no plan takes less than is cut"


def test_the_shelf_is_emptied_first_and_the_least_reed_is_another_plan():
    orders = (Order(1000.0, "natural", 6),)

    def strands(bought_cost):
        stock = (Stock(1500.0, 6, cost=1500.0), Stock(3000.0, None, cost=bought_cost))
        plan = cut(Problem(stock, orders))
        return {stock[p.stock].length_mm: p.times for p in plan.patterns}

    assert strands(3000.0) == {3000.0: 2}, "two long strands leave nothing over"
    assert strands(3000.0 * 20) == {1500.0: 6}, "what lies there already costs little"


def test_packs_are_bought_whole():
    orders = (Order(1000.0, "natural", 7),)
    plan = cut(Problem((Stock(1000.0, None, per_pack=5, pack_cost=12.0),), orders))
    assert plan.packs == (2,)
    assert plan.cost == 24.0


def test_a_dyed_strand_serves_only_its_colour_and_a_natural_one_any():
    orders = (Order(1000.0, "rust", 2), Order(1000.0, "moss", 1))
    stock = (Stock(1000.0, 1, "rust", 1.0), Stock(1000.0, None, "natural", 5.0))
    problem = Problem(stock, orders)
    plan = cut(problem)
    assert faults(problem, plan) == []
    assert plan.cost == 11.0


def test_a_piece_longer_than_every_strand_is_missing_and_the_rest_is_cut():
    orders = (Order(2000.0, "natural", 3), Order(500.0, "natural", 2))
    plan = cut(Problem((Stock(1000.0, None, cost=1.0),), orders))
    assert plan.missing == ((2000.0, "natural", 3),)
    assert [(p.pieces, p.times) for p in plan.patterns] == [(((500.0, 2),), 1)]


def test_a_weaver_takes_the_way_that_fits_the_strands():
    whole = ((2000.0, "rust", 1),)
    joined = ((1100.0, "rust", 1), (950.0, "rust", 1))
    short = Problem((Stock(1200.0, None, cost=1.0),), (), (Choice(3, (whole, joined)),))
    plan = cut(short)
    assert plan.chosen == ((0, 3),) and faults(short, plan) == []
    long = Problem((Stock(2000.0, None, cost=1.0),), (), (Choice(3, (whole, joined)),))
    plan = cut(long)
    assert plan.cost == 3 and faults(long, plan) == []


def test_the_checker_finds_what_is_wrong():
    problem = Problem((Stock(1000.0, 1, cost=1.0),), (Order(600.0, "natural", 2),))
    too_much = CuttingPlan((Pattern(0, "natural", ((600.0, 2),), 1),), (), 1.0, 1.0, (), (0,))
    too_few = CuttingPlan((Pattern(0, "natural", ((600.0, 1),), 1),), (), 1.0, 1.0, (), (0,))
    too_many_strands = CuttingPlan((Pattern(0, "natural", ((600.0, 1),), 2),), (), 2.0, 2.0, (), (0,))
    too_cheap = CuttingPlan((Pattern(0, "natural", ((600.0, 1),), 1),), (), 0.5, 0.5, ((600.0, "natural", 1),), (0,))
    assert [len(faults(problem, plan)) for plan in (too_much, too_few, too_many_strands, too_cheap)] == [1, 1, 1, 1]


@given(
    st.lists(st.tuples(st.integers(1, 9), st.floats(0.1, 5), st.integers(1, 4)), min_size=1, max_size=5),
    st.integers(1, 25),
)
@settings(max_examples=60)
def test_the_knapsack_is_as_good_as_trying_everything(things, room):
    lengths, values, most = ([each[k] for each in things] for k in range(3))
    (found,), (sack,) = knapsack(lengths, values, most, [room])
    best = max(
        sum(n * v for n, v in zip(some, values, strict=True))
        for some in itertools.product(*(range(m + 1) for m in most))
        if sum(n * mm for n, mm in zip(some, lengths, strict=True)) <= room
    )
    assert abs(found - best) < 1e-9
    assert abs(sum(values[i] * n for i, n in sack.items()) - found) < 1e-9
    assert sum(lengths[i] * n for i, n in sack.items()) <= room
    assert all(n <= most[i] for i, n in sack.items())


@given(
    st.lists(st.tuples(st.integers(2, 9), st.floats(0.1, 5), st.integers(1, 3)), min_size=1, max_size=4),
    st.integers(4, 20), st.floats(0, 8),
)  # fmt: skip
@settings(max_examples=60)
def test_every_full_set_that_is_worth_it_is_found(things, room, worth):
    lengths, values, most = ([each[k] for each in things] for k in range(3))
    found = worthwhile(lengths, values, most, room, worth, 10_000)
    expected = set()
    for some in itertools.product(*(range(m + 1) for m in most)):
        left = room - sum(n * mm for n, mm in zip(some, lengths, strict=True))
        full = left >= 0 and all(lengths[i] > left or some[i] >= most[i] for i in range(len(some)))
        if full and sum(n * v for n, v in zip(some, values, strict=True)) >= worth + 1e-9:
            expected.add(tuple((i, n) for i, n in enumerate(some) if n))
    assert expected <= set(found)


def test_a_solver_that_is_starved_of_time_gives_a_plan_all_the_same(asked, monkeypatch):
    """On a busy machine the time is over before whole numbers are found; what the solver holds then is no plan."""
    monkeypatch.setattr(columns, "LEAST_S", 1e-9)
    made = work(replace(asked, rules=replace(asked.rules, seconds=1e-9)))
    assert [faults(cut.problem, cut.plan) for cut in made.reeds] == [[] for _ in made.reeds]
    alike = [cut.alike_costs for cut in made.reeds if cut.free_bound is not None]
    assert alike and max(alike) < 0.1, "what piecing alike costs is told from a bound that no haste cuts short"
