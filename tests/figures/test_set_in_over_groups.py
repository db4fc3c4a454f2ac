"""Where weavers are set in over groups: every space has its ring and what a step names its name."""

import re
from dataclasses import replace

import pytest
from samples import MANY_ON_A_BASE
from worked import figured, planned_as

from slype.design.file import reader
from slype.paper.handout import wide_mm
from slype.plans import planning
from slype.teach.steps import taught


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "many"])
def test_every_space_is_ringed_and_the_groups_behind_which_tails_lie_are_named(name, hand):
    """By its spaces a tail is counted along: the name of the tail stood in one of them, and the other hung over the name
    of the group."""
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
