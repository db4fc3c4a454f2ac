"""A border brought to rest: where two of its ends meet, the one that is said to lie on top lies higher, all round."""

from collections import defaultdict

import numpy as np
import pytest
from worked import bordered, example, rested

from slype.borders.meetings import meetings
from slype.borders.table import BORDERS
from slype.rest.curves import relaxed_curves

THICKNESS = 0.75
"""So many thicknesses higher, at least, its axis lies: reeds give way a little sideways where they cross."""
UNSURE = 0.5
"""Nearer in height, in thicknesses, two pass beside each other rather than one above the other."""


def higher_by(rested):
    """{(place of the upper piece, of the lower): [(thicknesses that the upper lies higher, whether at the close)]},
    measured on the curves where the two are nearest across the wall; without ends tucked down, which lie behind, and
    those that come out from behind in a later row, which are drawn over what they should come out under."""
    design = rested.design
    curves = {curve.end: curve for curve in relaxed_curves(rested) if curve.role == "border"}
    thick, out = design.spokes.reed.diameter_mm, defaultdict(list)

    def heights(piece):
        curve, at = curves[piece.end], np.linspace(piece.step - 0.5, piece.step + 0.5, 61) + piece.end
        seen = (at >= curve.u[0]) & (at <= curve.u[-1])
        return (np.where(seen, np.interp(at, curve.u, each), np.nan) for each in (curve.s, curve.n))

    for each in meetings(design.border, design.top_ends):
        if each.upper.down or each.lower.down or each.lower.back or min(each.upper.end, each.lower.end) < 0:
            continue
        (high, across), (low, other) = heights(each.upper), heights(each.lower)
        nearest = np.nanargmin(np.abs(across - other))
        closes = abs(each.upper.end - each.lower.end) > design.top_ends / 2
        out[each.upper.place, each.lower.place].append(((high - low)[nearest] / thick, closes))
    return out


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_what_lies_on_top_lies_higher_at_every_place_and_at_the_close(name):
    design, found = example(name), higher_by(rested(name))
    assert len(found) >= 7
    for places, measured in found.items():
        assert len(measured) == design.top_ends and any(closes for _, closes in measured)
        assert min(higher for higher, _ in measured) > THICKNESS, places


@pytest.mark.parametrize("name", [kind.name for kind in BORDERS.values() if not kind.border.is_open and not kind.foot])
def test_the_close_lies_as_all_other_places_do(name):
    found = higher_by(bordered(name))
    assert found
    for places, measured in found.items():
        usual = [higher for higher, closes in measured if not closes]
        if min(map(abs, usual)) > UNSURE and len({higher > 0 for higher in usual}) == 1:
            assert {higher > 0 for higher, closes in measured if closes} <= {usual[0] > 0}, places
