"""A base woven over groups on an odd count: the odd end stands alone, and one weaver goes over and under.

That over-and-under needs an odd number of things to pass is the handbooks' rule for spokes (Gill; Turner, p. 14); that
a cross of four arms and one odd end makes five of them is common practice, no source.
"""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket_text

from slype.design.file.reader import parse
from slype.design.values import group_sizes
from slype.edit.apply import apply, document
from slype.lay import chart
from slype.plans import planning
from slype.report import plans, printed
from slype.surface.sticks import base_sticks
from slype.tell import steps

BASE = (
    '[[band]]\nwhere = "base"\nweave = "randing"\nreed = "round 2"\ngroups = {group}\n{odd}rows = 6\n'
    '[[band]]\nwhere = "base"\nweave = "randing"\nreed = "round 2"\nuntil = "4 in"\n'
)
ALONE = 'odd = "alone"\n'


def text(ends=17, group=4, odd=ALONE):
    return basket_text(ends=ends, base="4 in", spoke="round 4", before=BASE.format(group=group, odd=odd))


@pytest.fixture(scope="module")
def plan():
    return planning.plan(parse(text()))


@given(st.integers(3, 90), st.integers(1, 20))
def test_groups_hold_every_end_once_and_what_is_left_over_stands_before_them(ends, group):
    sizes = group_sizes(ends, group, odd_alone=True)
    assert sum(sizes) == ends
    left, whole = ends % group, ends // group
    if whole:
        assert sizes == [left] * (left > 0) + [group] * whole


def test_one_weaver_passes_the_same_group_on_the_other_side_in_the_next_row(plan):
    (first, *_) = plan.laid.base
    assert first.sizes == (1, 4, 4, 4, 4) and first.spaces == 5
    outside, _ = chart.faces(plan.laid, first)
    for below, above in itertools.pairwise(outside):
        for one, next_ in zip(below, above, strict=True):
            assert bool(one) != bool(next_)  # over where the row below went under: it never begins anew
    # All ends of a group go together, and the odd one by itself.
    for row in outside:
        seen = [bool(cell) for cell in row]
        assert all(len(set(seen[at : at + 4])) == 1 for at in (1, 5, 9, 13))


def test_it_holds_and_is_not_remarked_on_where_the_odd_end_joined_a_group_falls_open(plan):
    about = {found.rule.key for found in plan.advice if found.where.startswith("band 1")}
    assert not about & {"weave does not lock", "groups do not come out even", "groups lie across the arms"}
    joined = planning.plan(parse(text(odd="")))
    (stop,) = [found for found in joined.advice if found.rule.key == "weave does not lock"]
    assert "On 4 groups" in stop.message and "a group alone" in stop.remedy
    after = apply(text(odd=""), list(stop.changes)).text
    assert document(after)["band"][0]["odd"] == "alone"
    assert not [found for found in planning.plan(parse(after)).advice if found.rule.weight == "stop"]


def test_it_is_told_planned_and_drawn(plan):
    assert plan.laid.base[0].band.odd_alone
    said = " ".join(line for step in steps.steps(plan) for line in step.lines)
    assert "1 end alone, then 4 groups of 4" in said
    assert "over groups of 4, the odd alone" in " ".join(printed.text(plans.plan(plan), 160).split())
    # In the first rows the sticks of a group lie side by side and the odd one apart from its neighbours.
    band = plan.laid.base[0]
    middle = (band.start_s + band.end_s) / 2
    at = np.array([min(knots, key=lambda knot: abs(np.hypot(*knot) - middle)) for knots in base_sticks(plan.laid)])
    assert np.hypot(*at.T) == pytest.approx(np.hypot(*at[0]), rel=0.2)
    apart = np.hypot(*(at[1:] - at[:-1]).T)
    within = np.delete(apart, [0, 4, 8, 12])
    assert min(apart[0], apart[4], apart[8], apart[12]) > 2 * within.max()


def test_a_base_of_single_ends_forgets_what_was_said_of_those_left_over():
    after = apply(text(), [{"set": ["band", 0, "groups"], "to": None}])
    assert "odd" not in document(after.text)["band"][0] and len(after.notes) == 1
