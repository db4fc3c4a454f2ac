"""What a beginner is told of a border: which end lies on which, what hangs over, which way it goes on; each statement
walked against its work, its rule of meetings or the curves."""

import re

import numpy as np
import pytest
from strategies import basket
from told import step_of, steps_of
from worked import figured, planned_as, taught

from slype.borders.meetings import lies_on, meetings, places_under, places_upon
from slype.borders.sentences import bend_above
from slype.borders.work import work
from slype.figures.making import Making
from slype.figures.reeds.left_over import LEFT_OVER, TUCKED
from slype.plans import planning
from slype.teach.card import card

BOTH = [("right", "us"), ("left", "uk")]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_each_later_arch_lies_behind_all_that_it_crosses(hand):
    plan, steps = steps_of("posy", hand)
    does = step_of(steps, "The first spokes").does
    assert "Arch 3 crosses arches 1 and 2: it lies behind both." in does
    assert not [line for line in does if "passes over" in line], "an arch goes over no tip"
    tubes = {each.end: each.points for each in Making(plan.laid).tubes if each.role == "border"}
    for one in (0, 1):
        points = tubes[one], tubes[2]
        away = [np.hypot(*each[:, :2].T) for each in points]
        around = [np.unwrap(np.arctan2(each[:, 1], each[:, 0])) for each in points]
        apart = np.hypot((around[0][:, None] - around[1]) * away[0].mean(), points[0][:, 2][:, None] - points[1][:, 2])
        i, j = np.unravel_index(apart.argmin(), apart.shape)
        assert apart[i, j] < 2.0
        assert away[0][i] > away[1][j] + 1.0


@pytest.mark.parametrize("kind", ["over 2 down", "behind 1 in", "over 1 in"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_arch_of_the_close_lies_to_the_first_ones_as_is_said(hand, kind):
    plan = planning.plan(basket(ends=24, border=[kind], hand=hand))
    assert plan.design.border.is_open
    tubes, told = {each.end: each.points for each in Making(plan.laid).tubes if each.role == "border"}, 0
    for line in step_of(taught(plan), "Close it").does:
        if found := re.match(r"Where they cross, arch (\d+) lies (in front of|behind) (.*), as each", line):
            for other in map(int, re.findall(r"\d+", found[3])):
                points = tubes[int(found[1]) - 1], tubes[other - 1]
                apart = np.linalg.norm(points[0][:, None] - points[1], axis=2)
                i, j = np.unravel_index(apart.argmin(), apart.shape)
                away = [np.hypot(*each[k, :2]) for each, k in zip(points, (i, j), strict=True)]
                assert (away[0] > away[1]) == (found[2] == "in front of"), line
                told += 1
    assert told


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_foot_of_a_tray_says_of_each_last_one_below_which_it_goes(hand):
    plan, steps = steps_of("tray", hand)
    ends, border = plan.design.foot_ends, plan.design.base.foot
    step = step_of(steps, "The foot, row 2")
    told = {}
    for move, lift in zip(step.does, step.does[1:], strict=False):  # lifted before the tip goes there
        if found := re.match(r"Lift spokes? ([\d and]+), and lead the tip of spoke (\d+) under (it|them)", lift):
            assert move.startswith(f"Take spoke {found[2]} ")
            end = -(int(found[2]) - 1) % ends
            told[end] = {-(int(each) - 1) % ends for each in re.findall(r"\d+", found[1])}
    # Walked: who has moved on from a space, and who comes to it later.
    left, truth = {}, {}
    for p in work(border, ends).passes:
        if p.stage == 1:
            space = p.spoke if p.outside else (p.spoke + 1) % ends
            if p.outside:
                left.setdefault(p.spoke, p.end)
                space = (p.spoke + 1) % ends
            if space in left and left[space] != p.end:
                truth.setdefault(p.end, set()).add(left[space])
    assert told == truth and len(told) == 2


def test_what_is_left_over_of_a_tucked_end_hangs_there_until_it_is_trimmed():
    plan, steps = steps_of("estuary")
    making, close = Making(plan.laid), step_of(steps, "Row 3: close it")
    hangs = {each.tube.end for each in making.at(close.first, close.beyond) if each.tube.bit == TUCKED}
    assert hangs == set(range(plan.design.top_ends))
    first = step_of(steps, "Row 3: the first")
    hangs = {each.tube.end for each in making.at(first.first, first.beyond) if each.tube.bit == TUCKED}
    assert hangs == {0, 1, 2}
    trimmed = step_of(steps, "Trim the border")
    assert not [each for each in making.at(trimmed.first, trimmed.beyond) if each.tube.bit == TUCKED]


def test_the_words_say_which_of_two_ends_lies_next_to_the_edge_and_what_goes_in_over_it():
    """As its rule of meetings has it: what is led lies on the hands' side of the ends that come out below it."""
    plan, steps = steps_of("estuary")
    step = step_of(steps, "Row 2: the first")
    assert 0 in lies_on(plan.design.border, plan.design.top_ends)[plan.design.top_ends - 1, 1]
    told = " ".join(map(str, step.does))
    assert "Where both run, spoke 2 runs lower than spoke 1: spoke 1 is nearer the edge." in told
    assert len(re.findall(r"then in over the edge at space \d+", told)) == 3
    first = " ".join(map(str, step_of(steps, "Row 1: the first").does))
    assert "runs lower" not in first and "over the edge" not in first
    lines = dict(card(plan))
    assert "Row 1: leave 1 loose. Row 2: leave 1, 2, 3 loose. Row 3: leave 1, 2 loose." in lines["Border"]


@pytest.mark.parametrize("name, hand, wording", [("estuary", "right", "us"), ("saltmarsh", "left", "uk")])
def test_of_the_last_row_it_is_told_what_an_end_passes_over_and_between_what_its_tip_goes(name, hand, wording):
    """As all meetings of the border have it; above and below had three meanings there."""
    plan, steps = steps_of(name, hand, wording)
    step = step_of(steps, "Row 3: the first")
    met = meetings(plan.design.border, plan.design.top_ends)
    told = " ".join(step.does)
    (over,) = re.findall(r"On its way it passes over \w+ (\d+) at space (\d+)\.", told)
    waits = [(each.lower.end + 1, each.space + 1) for each in met if each.upper.end == 0 and each.upper.stage == 2
             and each.lower.stage == 1 and each.lower.rests]  # fmt: skip
    assert [tuple(map(int, over))] == waits
    (tip,) = re.findall(r"At space (\d+), \w+ 2 passes over the tip of \w+ 1, which goes down there\.", told)
    tips = [each.space + 1 for each in met if (each.upper.end, each.upper.stage, each.lower.end) == (1, 2, 0)
            and each.lower.down]  # fmt: skip
    assert [int(tip)] == tips
    (under,) = re.findall(r"\w+ (\d+) lies at space (\d+) since row 2: the tip goes between it and the weaving", told)
    waits = [(each.upper.end + 1, each.space + 1) for each in met if each.lower.end == 0 and each.lower.down
             and each.upper.stage == 1]  # fmt: skip
    assert [tuple(map(int, under))] == waits
    assert not re.search(r"\b(above|below)\b", told)
    assert "over" in [key for each in steps for key in each.words], "and what over means is explained"


@pytest.mark.parametrize("name", ["estuary", "quayside"])
def test_the_close_of_a_row_says_at_which_space_an_end_lies_above_which_and_where_it_goes_under(name):
    """As its rule of meetings has it, whoever else was told to do the same as all others."""
    plan, steps = steps_of(name)
    border, ends, told = plan.design.border, plan.design.top_ends, 0
    for step in (each for each in steps if re.match(r"Row \d: close it", each.title)):
        row, said = int(step.title[4]) - 1, {}
        for line in step.does:
            if found := re.match(r"S(?:poke|take) (\d+) passes over (.*)", line):
                pairs = re.findall(r"(?:spoke|stake) (\d+) at space (\d+)", found[2])
                said[int(found[1]) - 1] = {int(one) - 1: int(space) - 1 for one, space in pairs}
        upon = {end: places_upon(border, ends, end, row) for end in range(ends)}
        assert said == {end: places for end, places in upon.items() if places}, step.title
        told += len(said)
        for nth, line in enumerate(step.does):
            if found := re.search(r"and under (?:spoke|stake) (\d+) at space (\d+)", line):
                end = int(re.search(r"(?:spoke|stake) (\d+)", step.does[nth - 3])[1]) - 1
                assert places_under(border, ends, end, row) == {int(found[1]) - 1: int(found[2]) - 1}
    assert told >= 2


def test_where_the_first_two_ends_of_a_border_cross_is_told_as_its_meetings_have_it():
    for name in ("estuary", "quayside"):
        plan, steps = steps_of(name)
        line = next(line for line in step_of(steps, "Row 1: the first").does if line.startswith("Where they cross"))
        space, *pair = map(int, re.findall(r"\d+", line))
        assert pair == [2, 1] and " passes over " in line
        found = [each for each in meetings(plan.design.border, plan.design.top_ends)
                 if {each.upper.end, each.lower.end} == {0, 1} and each.upper.stage == each.lower.stage == 0]
        assert (found[0].space + 1, found[0].upper.end) == (space, 1)


@pytest.mark.parametrize("name", ["estuary", "quayside", "posy", "saltmarsh"])
def test_a_new_one_in_the_border_is_led_as_the_old_one_lay_and_the_nip_is_told_as_it_is_measured(name):
    plan, steps = steps_of(name, "left", "uk")
    step = next(step for step in steps if step.part == "border")
    (cracks,) = [slip.undo for slip in step.slips if "cracks now or in the border" in slip.seen]
    assert cracks.endswith("In the border lead it first as the old one lay, then go on.")
    high = bend_above(plan.design.border)
    told = [line for line in step.does if line.startswith("That is about") and "above it" in line]
    assert len(told) == (high >= 1 and not plan.design.border.is_open)
    for line in told:
        (mm,) = re.findall(r"(\d+) mm", line)
        assert int(mm) == pytest.approx(high * plan.design.border_reed_mm, abs=1.0)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_across_the_basket_the_border_goes_on_towards_the_other_hand(hand):
    """Moves along the far wall, as they lie in the basket, for whoever stands before it and looks in."""
    plan, steps = steps_of("estuary", hand)
    said = next(line for line in step_of(steps, "Row 3: the first").does if "far wall" in line)
    turns = []
    for each in (each for each in Making(plan.laid).tubes if each.role == "border"):
        x, y = each.points[:, 0], each.points[:, 1]
        turns.append(float(np.sum(x[:-1] * np.diff(y) - y[:-1] * np.diff(x))))  # below nought: clockwise from above
    assert all(turn < 0 for turn in turns) or all(turn > 0 for turn in turns)
    way = "right" if turns[0] < 0 else "left"  # clockwise, what is far away moves to the right
    assert said.endswith(f"the {way}.")


@pytest.mark.parametrize("name", ["quayside", "estuary"])
def test_what_hangs_over_of_a_border_s_end_goes_on_from_where_that_is_drawn(name):
    """A gap was left between an end and its tip where nothing is tucked down inside."""
    making = figured(planned_as(name)).making
    close = next(step for step in reversed(taught(planned_as(name))) if step.part == "border")
    drawn = making.at(close.first, close.beyond)
    tips = [each.tube for each in drawn if each.tube.bit in (LEFT_OVER, TUCKED)]
    for tip in tips:
        own = [each.tube for each in drawn if each.tube.name == tip.of_reed]
        gap = min(float(np.linalg.norm(each.points - tip.points[0], axis=1).min()) for each in own)
        assert gap < 0.6 * tip.thick_mm, tip.name
    assert len(tips) == making.laid.design.top_ends
