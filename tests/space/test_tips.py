"""Border ends at rest go on into their tips without a corner."""

from __future__ import annotations

import math

import numpy as np
import pytest
from worked import rested

from slype.rest.curves import all_curves
from slype.space.tubes import tubes

MOST = 50.0
"""Degrees within half a thickness along a reed, of nine ends in ten; corners were 58 and 70 at the middle end (common
practice, no source)."""


@pytest.mark.parametrize(("name", "middle"), [("estuary", 48), ("quayside", 40)])
def test_no_end_of_a_border_turns_a_corner_into_its_tip(name, middle):
    rest = rested(name)
    curves = [curve for curve in all_curves(rest) if curve.role == "border" and not curve.of]
    sharpest = [_sharpest(tube) for tube in tubes(rest.laid, curves) if tube.role == "border"]
    assert len(sharpest) == rest.laid.design.top_ends
    assert np.percentile(sharpest, 90) < MOST and np.median(sharpest) < middle


def _sharpest(tube) -> float:
    """The sharpest bend, degrees within half a thickness, in the last eight of a border end."""
    step = np.diff(tube.points, axis=0)
    along = np.r_[0.0, np.cumsum(np.linalg.norm(step, axis=1))]
    way = step / np.linalg.norm(step, axis=1)[:, None]
    i = np.flatnonzero(along[:-1] > along[-1] - 8 * tube.thick_mm)
    j = np.searchsorted(along, along[i] + tube.thick_mm / 2)
    i, j = i[j < len(way)], j[j < len(way)]
    return math.degrees(float(np.arccos(np.clip((way[i] * way[j]).sum(axis=1), -1, 1)).max()))
