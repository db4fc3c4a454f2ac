"""Where a new length is joined on, as it is drawn."""

import numpy as np
import pytest
from worked import figured, planned_as, taught

from slype.figures.reeds.joined import NEW
from slype.figures.reeds.stretch import WAITS


def joins_drawn(name, part):
    """(step, stretches of reed) of every drawing of a join in the base or the side of an example."""
    plan = planned_as(name, "left", "uk")
    for step in taught(plan):
        if step.title == "Join a new length" and step.part == part and not step.of:
            asked = step.drawings[0]
            yield step, figured(plan).making.at(asked.first, asked.beyond, asked.join)


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_the_old_tail_at_a_join_lies_inside_what_stands_next(name):
    """As its step says of both tails: it went out in front with its weaver, or through that."""
    checked = 0
    for step, stretches in joins_drawn(name, "side"):
        fresh = {each.tube.of_reed for each in stretches if each.tube.bit == NEW}
        standing = [each.tube.points for each in stretches if each.tube.role == "spoke" and each.tube.end >= 0]
        for old in stretches:
            if old.tube.name not in fresh or old.state != WAITS or old.tube.bit:
                continue
            tail = old.tube.points[-4:]
            there = [each for each in standing if each[:, 2].min() < tail[-1, 2] < each[:, 2].max()]
            nearest = min((_from(spoke, tail) for spoke in there), key=lambda found: found[0])
            assert nearest[1] > 0.5 * old.tube.thick_mm, (step.number, old.tube.name, nearest)
            checked += 1
    assert checked


def _from(spoke, tail):
    """(how near, how much further inside, mm) a tail lies where it comes nearest to a spoke, looked at from above."""
    up = spoke[np.argsort(spoke[:, 2])]
    at = np.stack([np.interp(tail[:, 2], up[:, 2], up[:, axis]) for axis in (0, 1)], axis=1)
    near = int(np.hypot(*(tail[:, :2] - at).T).argmin())
    outward = at[near] / np.hypot(*at[near])
    return float(np.hypot(*(tail[near, :2] - at[near]))), float(-(tail[near, :2] - at[near]) @ outward)


@pytest.mark.parametrize("name", ["estuary", "saltmarsh"])
def test_on_a_base_both_tails_of_a_join_lie_on_the_far_side_of_what_stands_next(name):
    """As its step says: the new one was drawn to go under it, and would have shown on the underside."""
    checked = 0
    for step, stretches in joins_drawn(name, "base"):
        (new,) = [each for each in stretches if each.tube.bit == NEW]
        old = next(each for each in stretches if each.tube.name == new.tube.of_reed and each.state == WAITS
                   and not each.tube.bit)  # fmt: skip
        behind = figured(planned_as(name, "left", "uk")).making.order.behind(step.drawings[0].beyond - 1)[0]
        (stake,) = [each.tube for each in stretches if each.tube.role in ("spoke", "stick") and each.tube.end == behind]
        for tail in (new.tube.points[:40], old.tube.points[-40:]):
            away = np.hypot(*(stake.points[:, None, :2] - tail[None, :, :2]).transpose(2, 0, 1))
            at, on = np.unravel_index(away.argmin(), away.shape)
            assert away[at, on] < 1.5 and 0 < on < len(tail) - 1, "it crosses the one that it lies behind"
            touching = (stake.thick_mm + new.tube.thick_mm) / 2
            assert tail[on, 2] - stake.points[at, 2] > 0.8 * touching, (step.number, behind + 1)
            checked += 1
    assert checked
