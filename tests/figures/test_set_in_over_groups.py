"""Where weavers are set in over groups: every space has its ring and what a step names its name."""

import re
from dataclasses import replace

import numpy as np
import pytest
from samples import MANY_ON_A_BASE
from worked import figured, planned_as, taught

from slype.design.file import reader
from slype.paper.handout import wide_mm
from slype.plans import planning


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "many"])
def test_every_space_is_ringed_and_the_groups_behind_which_tails_lie_are_named(name, hand):
    """By its spaces a tail is counted along: a tail's name stood in one of them, and a weaver hung over the name of a
    group."""
    plan = planning.plan(replace(reader.parse(MANY_ON_A_BASE), hand=hand)) if name == "many" else planned_as(name, hand)
    found = 0
    for step in taught(plan):
        band = next((each for each in plan.laid.base if each.index == step.band and each.band.group > 1), None)
        if band is None or step.of or not step.title.startswith("Set in"):
            continue
        svg = figured(plan).svg(step, step.drawings[-1], wide_mm(step, False)[-1])
        rings = {int(n) for n in re.findall(r"<circle [^>]*/><text[^>]*>(\d+)<", svg)}
        assert rings == set(range(1, band.spaces + 1)), step.number
        behind = {f"group {n}" for line in step.does if line.startswith("Lay tail")
                  for n in re.findall(r"behind (?:group )?(\d+)", line)}  # fmt: skip
        named = set(re.findall(r">(group \d+|tail \d)<", svg))
        assert behind and named >= behind | {"tail 1", "tail 2"}, (step.number, behind - named)
        found += 1
    assert found == 1


@pytest.mark.parametrize("name", ["posy", "estuary"])
def test_beyond_the_rows_a_spoke_bends_into_the_way_of_its_group_and_has_no_knee(name):
    plan = planned_as(name)
    making = figured(plan).making
    step = next(step for step in taught(plan) if step.title.startswith("Go round") and step.part == "base")
    sharpest = 0.0
    for each in making.at(step.drawings[-1].first, step.drawings[-1].beyond):
        if each.tube.role == "spoke" and each.tube.end >= 0:
            hop = np.r_[0.0, np.cumsum(np.hypot(*np.diff(each.tube.points[:, :2], axis=0).T))]
            at = np.arange(0.0, hop[-1], 2.0)
            x, y = (np.interp(at, hop, line) for line in each.tube.points[:, :2].T)
            turn = np.diff(np.unwrap(np.arctan2(np.diff(y), np.diff(x))))
            sharpest = max(sharpest, float(np.abs(turn[at[2:] > 15.0]).max()))
    assert 0.05 < sharpest < np.radians(30.0)
