"""A stroke up the wall that goes under the weavers that wait: as it is drawn, these hang before it."""

import numpy as np
import pytest
from worked import figured, planned_as, taught

from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, shot_of
from slype.figures.reeds.led_over import lifted_over
from slype.figures.reeds.stretch import MOVES, WAITS
from slype.surface.curve import TAILS, along


@pytest.mark.parametrize("hand", ["right", "left"])
def test_where_a_row_goes_under_all_that_wait_hang_before_what_is_led(hand):
    """One of them came out lower down, and the other was drawn to pass above it."""
    plan = planned_as("estuary", hand)
    (begun,) = [(step, asked) for step in taught(plan) for asked in step.drawings if "goes under the" in asked.caption]
    step, asked = begun
    scene = Scene(asked.first, asked.beyond, arrow=True, spaces=asked.spaces, mm=60.0, band=step.band)
    found = crossings(shot_of(figured(plan).making, scene))
    band = next(each for each in plan.laid.bands if each.index == step.band)
    assert len(found) == len(band.colours) - 1 and max(found.values()) < 0.0, found


@pytest.mark.parametrize("short", [0, 4])
def test_a_weaver_that_waits_and_of_which_nothing_hangs_lies_as_it_lay(short):
    """Where it ends in the stroke it was led to there is no loose end to lift; a lesson could not be made of that."""
    plan = planned_as("estuary")
    (asked,) = [asked for step in taught(plan) for asked in step.drawings if "goes under the" in asked.caption]
    found = list(shot_of(figured(plan).making, Scene(asked.first, asked.beyond, arrow=True, mm=60.0)).stretches)
    at = next(i for i, each in enumerate(found) if each.state == WAITS and each.tube.role == "weaver" and each.cut[1])
    tube = found[at].tube
    found[at] = found[at]._replace(tube=along(tube, tube.points[: len(tube.when) - short], tube.when))
    assert np.array_equal(lifted_over(found)[at].tube.points, found[at].tube.points)


def crossings(shot):
    """By what hangs: how much further from the eye than what is led, mm, it lies where the two cross in the picture."""
    led, hung = ([each.tube for each in shot.stretches if each.state == state and each.tube.role == "weaver"
                  and each.tube.bit not in TAILS] for state in (MOVES, WAITS))  # fmt: skip
    out = {}
    for under in led:
        x, y, deep = look_at_points(shot.camera, under.points[: len(under.when)])
        for over in hung:
            loose = over.points[len(over.when) - 1 :]
            if len(loose) < 2:
                continue
            share = np.arange(0.0, len(loose) - 1, 1 / 16)
            fine = np.stack([np.interp(share, np.arange(len(loose)), loose[:, axis]) for axis in range(3)], axis=1)
            a, b, far = look_at_points(shot.camera, fine)
            gap = np.hypot(a[:, None] - x, b[:, None] - y)
            k, j = np.unravel_index(gap.argmin(), gap.shape)
            if gap[k, j] < under.thick_mm / 2:
                out[over.name] = float(far[k] - deep[j])
    return out
