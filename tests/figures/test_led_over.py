"""On a base a weaver is led over those that hang: so the words say, and so it is drawn."""

import numpy as np
import pytest
from worked import figured, planned_as

from slype.figures.reeds.stretch import MOVES, WAITS
from slype.order.kinds import ACTS


def close(line, times=8):
    """Points (k, 3) of a line, so many for each that it has."""
    at = np.linspace(0, len(line) - 1, times * len(line))
    return np.stack([np.interp(at, np.arange(len(line)), axis) for axis in line.T], axis=1)


@pytest.mark.parametrize("name, hand", [("quayside", "left"), ("posy", "right"), ("estuary", "left")])
def test_on_a_base_what_is_led_lies_on_the_makers_side_of_what_hangs_where_it_passes_that(name, hand):
    making = figured(planned_as(name, hand=hand)).making
    order, seen = making.order, 0
    parts = [part for part in order.parts if part.key == "base" and not part.of]
    for part in parts:
        strokes = [m for m in range(part.first, part.beyond) if ACTS[order.act[m]] == "stroke"]
        for moment in strokes[:6]:
            found = [each for each in making.at(moment, moment + 1) if each.tube.role == "weaver"]
            led = [each.tube for each in found if each.state == MOVES and not each.tube.bit]
            for waits in (each.tube for each in found if each.state == WAITS and each.cut[1]):
                loose = close(waits.points[len(waits.when) :])
                for tube in led:
                    laid = close(tube.points[: len(tube.when)])
                    gap = np.linalg.norm(laid[:, None, :2] - loose[None, :, :2], axis=2)
                    a, b = np.unravel_index(gap.argmin(), gap.shape)
                    if gap[a, b] < 0.3 * tube.thick_mm:  # the underside, below, is towards the maker
                        assert laid[a, 2] < loose[b, 2], (part.band, moment)
                        seen += 1
    assert seen > 3
