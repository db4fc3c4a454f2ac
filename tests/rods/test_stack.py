"""Rods in contact: stacks against two other solvers, crimp against tables, arches against an integral."""

import math
from collections import defaultdict

import numpy as np
import pytest
import scipy
from handbook_figures import table
from hypothesis import given
from hypothesis import strategies as st

from slype.rods import stack as rods

TABLE_DIGITS = 1e-3  # relative; the interpolated crimp table promises 1e-5 of crimp
PRINTED_CRIMP = 6e-7  # 4 decimals of a percent, half a digit, and a little
PRINTED_RADIUS = 0.006  # mm: two decimals
SOLVER = 1e-6  # mm: HiGHS' own feasibility tolerance
ROUNDING = 1e-8
RAMANUJAN = 1e-5  # promised by the docstring


@st.composite
def stacks(draw):
    """Small heaps: a few columns, rods threading them in column order round and round, so that each can be laid."""
    columns = draw(st.integers(2, 5))
    rods_many = draw(st.integers(1, 4))
    climb = draw(st.floats(0.3, 3.0))
    heap = defaultdict(list)
    chains = []
    for rod in range(rods_many):
        thick = draw(st.floats(0.5, 4.0))
        at = draw(st.integers(0, columns - 1))
        chain = []
        for _ in range(draw(st.integers(1, 6))):
            heap[at].append((rod, len(chain), thick))
            chain.append(at)
            at = (at + 1) % columns
        chains.append(chain)
    places = [(column, *entry) for column in sorted(heap) for entry in heap[column]]
    number = {(rod, step): i for i, (_, rod, step, _) in enumerate(places)}
    after = np.array([number.get((rod, step + 1), -1) for _, rod, step, _ in places])
    floor = draw(st.sampled_from([0.0, 2.5]))
    return rods.Stack(
        np.array([p[0] for p in places]), np.array([p[3] for p in places]), after, climb, np.full(len(places), floor)
    )


def constraints(stack):
    """(lower, upper, gap): height[upper] - height[lower] >= gap, and the floor of each place."""
    out, n = [], len(stack.column)
    climb = np.broadcast_to(stack.climb, (n,))
    for i in range(n - 1):
        if stack.column[i] == stack.column[i + 1]:
            out.append((i, i + 1, (stack.thick[i] + stack.thick[i + 1]) / 2))
    for i, j in enumerate(stack.after):
        if j >= 0:
            out += [(i, j, -climb[i]), (j, i, -climb[i])]
    return out, np.maximum(stack.thick / 2, np.broadcast_to(stack.floor, (n,)))


def by_programme(stack):
    """The least heights by linear programming (HiGHS), None when there are none."""
    rules, floor = constraints(stack)
    n = len(floor)
    a, b = np.zeros((max(1, len(rules)), n)), np.zeros(max(1, len(rules)))
    for row, (low, up, gap) in enumerate(rules):
        a[row, low], a[row, up], b[row] = a[row, low] + 1, a[row, up] - 1, -gap
    found = scipy.optimize.linprog(np.ones(n), A_ub=a, b_ub=b, bounds=[(f, None) for f in floor], method="highs")
    return found.x if found.status == 0 else None


def by_longest_paths(stack):
    """The least heights by brute force (Bellman and Ford's relaxation), None when they grow for ever."""
    rules, floor = constraints(stack)
    heights = floor.copy()
    for _ in range(len(heights) + 1):
        before = heights.copy()
        for low, up, gap in rules:
            heights[up] = max(heights[up], heights[low] + gap)
        if np.allclose(before, heights, rtol=0, atol=1e-12):
            return heights
    return None


# Stacks --------------------------------------------------------------------------------------------------------


@given(stacks())
def test_heights_are_the_least_that_meet_every_constraint(stack):
    brute, programme = by_longest_paths(stack), by_programme(stack)
    assert (brute is None) == (programme is None)
    if brute is None:
        with pytest.raises(ValueError, match="above themselves"):
            rods.least_heights(stack)
        return
    heights = rods.least_heights(stack)
    assert rods.stack_faults(stack, heights) <= ROUNDING
    assert heights == pytest.approx(brute, abs=ROUNDING)
    assert heights == pytest.approx(programme, abs=SOLVER)


@given(stacks(), st.floats(0.0, 5.0))
def test_settled_rods_meet_the_same_constraints_and_stand_no_taller(stack, play):
    if by_longest_paths(stack) is None:
        return
    low, settled = rods.least_heights(stack), rods.settled_heights(stack, play)
    assert rods.stack_faults(stack, settled) <= ROUNDING
    assert np.all(settled >= low - ROUNDING)
    assert np.all(settled <= low + play / 2 + ROUNDING)
    assert (settled + stack.thick / 2).max() <= (low + stack.thick / 2).max() + ROUNDING


@given(stacks(), st.data())
def test_the_checker_sees_a_rod_pushed_into_another(stack, data):
    if by_longest_paths(stack) is None:
        return
    heights = rods.least_heights(stack)
    push = data.draw(st.floats(0.01, 1.0))
    place = data.draw(st.integers(0, len(heights) - 1))
    heights[place] -= push  # least heights have no slack below
    assert rods.stack_faults(stack, heights) == pytest.approx(push, abs=ROUNDING)


def test_two_rods_laid_across_each_other_lie_half_their_thicknesses_apart():
    stack = rods.Stack(np.array([0, 0]), np.array([2.0, 4.0]), np.array([-1, -1]), 1.0)
    assert rods.least_heights(stack) == pytest.approx([1.0, 4.0])


def test_an_empty_stack_has_no_heights():
    stack = rods.Stack(np.zeros(0, int), np.zeros(0), np.zeros(0, int), 1.0)
    assert len(rods.least_heights(stack)) == 0


def test_rods_in_a_ring_each_above_the_next_cannot_be_stacked():
    # Three stiff rods, each over one neighbour and under the other: possible only if they may climb their thickness.
    def ring(climb):
        return rods.Stack(np.array([0, 0, 1, 1, 2, 2]), np.full(6, 1.0), RING_AFTER, climb)

    assert rods.stack_faults(ring(1.0), rods.least_heights(ring(1.0))) <= ROUNDING
    with pytest.raises(ValueError, match="above themselves"):
        rods.least_heights(ring(0.5))


# Column c holds rod c below and rod c+1 above: places 2c and 2c+1. Rod c runs from its upper place (column c-1) to its
# lower place (column c).
RING_AFTER = np.array([-1, 2, -1, 4, -1, 0])


# Crimp ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", table("crimp_taut.csv"), ids=lambda row: row["d_over_p"])
def test_a_taut_weaver_is_as_long_as_peirce_says(row):
    # Peirce 1937, straight posts.
    crimp = float(rods.taut_crimp(float(row["d_over_p"])))
    assert crimp == pytest.approx(float(row["crimp_percent"]) / 100, abs=PRINTED_CRIMP)
    assert (1 + crimp) / float(row["d_over_p"]) == pytest.approx(float(row["length_over_d"]), abs=PRINTED_CRIMP * 10)


@pytest.mark.parametrize("row", table("crimp_springy.csv"), ids=lambda row: f"{row['branch']} {row['d_over_p']}")
def test_a_springy_weaver_is_as_long_as_the_bent_rod_table_says(row):
    # Bisshopp and Drucker 1945 as a quarter wave; wrapped rows solved separately.
    ratio = float(row["d_over_p"])
    assert float(rods.springy_crimp(ratio)) == pytest.approx(float(row["crimp_percent"]) / 100, rel=TABLE_DIGITS)
    if row["peak_curvature_p"]:
        assert 1 / rods.tightest_bend(ratio, 1.0) == pytest.approx(float(row["peak_curvature_p"]), rel=TABLE_DIGITS)


@pytest.mark.parametrize("row", table("cantilever_bisshopp.csv"), ids=lambda row: f"load {row['load']}")
def test_a_quarter_wave_is_an_end_loaded_cantilever(row):
    across = 1 - float(row["u"])
    ratio, crimp = float(row["w"]) / across, 1 / across - 1
    printed = 0.5e-5 / across**2 + 1e-5  # five decimals of u, and the interpolation's promise
    assert float(rods.springy_crimp(ratio)) == pytest.approx(crimp, abs=2 * printed)


@pytest.mark.parametrize("row", table("bends.csv"), ids=lambda row: f"{row['weaver_mm']} at {row['spacing_mm']}")
def test_basket_sized_bends_come_out_as_worked_separately(row):
    weaver, spoke, spacing = (float(row[key]) for key in ("weaver_mm", "spoke_mm", "spacing_mm"))
    ratio = (weaver + spoke) / spacing
    radius = rods.tightest_bend(ratio, spacing)
    assert radius == pytest.approx(float(row["radius_mm"]), abs=PRINTED_RADIUS)
    assert weaver / 2 / radius * 100 == pytest.approx(float(row["strain_percent"]), abs=0.06)
    assert float(rods.taut_crimp(ratio)) * 100 == pytest.approx(float(row["taut_percent"]), abs=6e-4)
    assert float(rods.springy_crimp(ratio)) * 100 == pytest.approx(float(row["springy_percent"]), abs=6e-4)


@given(st.floats(0.01, 0.99))
def test_a_springy_weaver_is_never_shorter_than_a_taut_one(ratio):
    assert rods.springy_crimp(ratio) >= rods.taut_crimp(ratio)


def test_slight_crimp_follows_the_small_angle_laws():
    # c = k (D/p)^2 with k = 1/2 taut and 3/5 for the elastic rod (derived).
    assert float(rods.taut_crimp(0.02)) / 0.02**2 == pytest.approx(1 / 2, rel=1e-3)
    assert float(rods.springy_crimp(0.05)) / 0.05**2 == pytest.approx(3 / 5, rel=2e-3)


def test_spokes_closer_than_the_thickness_sum_cannot_be_woven():
    assert math.isnan(rods.taut_crimp(1.01))
    assert math.isnan(rods.springy_crimp(1.0))


def test_a_wrapped_weaver_bends_exactly_as_tight_as_the_spoke_allows():
    # Beyond D/p = 0.66198 the axis follows the spoke's surface at radius D/2.
    assert rods.tightest_bend(0.8, 10.0) == pytest.approx(0.8 * 10.0 / 2, rel=TABLE_DIGITS)
    assert rods.tightest_bend(0.6, 10.0) > 0.6 * 10.0 / 2
    assert rods.tightest_bend(0.0, 10.0) == math.inf


# Arches --------------------------------------------------------------------------------------------------------


@given(st.floats(5.0, 200.0), st.floats(0.1, 2.0))
def test_an_arch_is_as_long_as_half_an_ellipse(span, share):
    a, b = span / 2, span * share
    speed = scipy.integrate.quad(lambda t: math.hypot(a * math.sin(t), b * math.cos(t)), 0, math.pi, limit=200)[0]
    long, short = max(a, b), min(a, b)
    assert speed == pytest.approx(2 * long * scipy.special.ellipe(1 - (short / long) ** 2), rel=1e-7)
    assert rods.arch_length(span, b) == pytest.approx(speed, rel=RAMANUJAN)


def test_an_arch_as_high_as_half_its_span_is_half_a_circle():
    assert rods.arch_length(20.0, 10.0) == pytest.approx(math.pi * 10.0, rel=ROUNDING)
