"""A border brought to rest: where two of its ends meet, the one that is said to lie on top lies higher, all round."""

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from strategies import borders
from worked import bordered, example, rested

from slype.borders.meetings import meetings, places_of, thicknesses
from slype.borders.rows import Plait, parse_border
from slype.borders.table import BORDERS
from slype.rest.curves import relaxed_curves
from slype.surface.runs import knots_of_end

THICKNESS = 0.75
"""So many thicknesses higher, at least, its axis lies: reeds give way a little sideways where they cross."""
UNSURE = 0.5
"""Nearer in height, in thicknesses, two pass beside each other rather than one above the other."""

LESS = 1.0
"""So many thicknesses lower, at most, a pressed border lies than ends lie on each other in it: they lie in the hollows
between others, too."""
MORE = 0.2
"""So many thicknesses higher, at most: none is drawn taller than its ends lie on each other."""


def higher_by(rested):
    """{(place of the upper piece, of the lower): [(thicknesses that the upper lies higher, whether at the close,
    whether they cross)]}, measured on the curves where they cross across the wall, and most plainly; where they do
    not, where they are nearest across it. Without ends tucked down, which lie behind."""
    design = rested.design
    curves = {curve.end: curve for curve in relaxed_curves(rested) if curve.role == "border"}
    thick, out = design.spokes.reed.diameter_mm, defaultdict(list)
    again = come_out_again(design.border)

    def heights(piece):
        first, last = (0.0 if one in again else 0.5 for one in ((piece.stage - 1, piece.step), piece.place))
        curve, at = curves[piece.end], np.linspace(-0.5, 0.5, 61)
        at = np.where((at >= -first) & (at <= last), at, np.nan) + piece.step + piece.end
        seen = (at >= curve.u[0]) & (at <= curve.u[-1])
        return (np.where(seen, np.interp(at, curve.u, each), np.nan) for each in (curve.s, curve.n))

    for each in meetings(design.border, design.top_ends):
        if each.upper.down or each.lower.down or min(each.upper.end, each.lower.end) < 0:
            continue
        (high, across), (low, other) = heights(each.upper), heights(each.lower)
        between, lift = across - other, (high - low) / thick
        changes = np.flatnonzero(between[3:-3] * between[2:-4] <= 0) + 3
        plainest = max(changes, key=lambda k: abs(lift[k]), default=np.nanargmin(np.abs(between)))
        closes = abs(each.upper.end - each.lower.end) > design.top_ends / 2
        out[each.upper.place, each.lower.place].append((lift[plainest], closes, bool(len(changes))))
    return out


def come_out_again(border):
    """The places at which an end comes out and, in its next row, goes in again through the same space or is led up
    outside: one half of that space belongs to the one row, the other to the next."""
    found = places_of(border)
    return {place for place, each in found.items() if each.rests and each.start != each.to
            and (each.stage + 1, each.step) in found
            and (found[each.stage + 1, each.step].to != each.to or isinstance(border.order, Plait))}  # fmt: skip


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_what_lies_on_top_lies_higher_at_every_place_and_at_the_close(name):
    design, found = example(name), higher_by(rested(name))
    assert len(found) >= 7
    for places, measured in found.items():
        assert len(measured) == design.top_ends and any(closes for _, closes, _ in measured)
        assert min(higher for higher, *_ in measured) > THICKNESS, places


@pytest.mark.parametrize("name", [kind.name for kind in BORDERS.values() if not kind.border.is_open and not kind.foot])
def test_the_close_lies_as_all_other_places_do(name):
    """But for one place of six rods, where an end passes beside the one that it lies across at all others: so on four
    of five walls of 5.9 to 6.3 inches, and in a plait on one (docs/rest.md)."""
    found = higher_by(bordered(name))
    assert found
    for places, measured in found.items():
        usual = [higher for higher, closes, _ in measured if not closes]
        if min(map(abs, usual)) > UNSURE and len({higher > 0 for higher in usual}) == 1:
            other = [across for higher, closes, across in measured if closes and (higher > 0) != (usual[0] > 0)]
            assert other in ([], [False] if name == "six-rod plain" else []), places


@pytest.mark.parametrize("name", ["closed over one", "closed over two", "closed over three", "reverse rope",
                                  "plaited with three pairs", "foot of two rows"])  # fmt: skip
def test_what_comes_out_from_behind_lies_under_all_that_it_meets_there_and_at_the_close_too(name):
    found = higher_by(bordered(name))
    border = BORDERS[name].border
    under = {place for place, each in places_of(border).items()
             if each.back or (isinstance(border.order, Plait) and each.rests)}  # fmt: skip
    crossing = {places: [higher for higher, *_ in measured] for places, measured in found.items()
                if places[1] in under and all(crosses for *_, crosses in measured)}  # fmt: skip
    assert under and {lower for _, lower in crossing} == under
    for places, measured in crossing.items():
        assert min(measured) > UNSURE, places


def test_an_end_of_a_reverse_rope_goes_in_again_over_the_next_end_under_which_it_came_out():
    found = higher_by(bordered("reverse rope"))
    for places in (((0, 1), (0, 2)), ((1, 2), (0, 1))):
        assert min(higher for higher, *_ in found[places]) > THICKNESS, places


@pytest.mark.parametrize("name", [kind.name for kind in BORDERS.values() if not kind.border.is_open])
def test_a_border_comes_to_rest_about_as_high_as_it_is_reckoned(name):
    rest = bordered(name)
    thick, curves = rest.design.spokes.reed.diameter_mm, relaxed_curves(rest)
    below = max(float(curve.s.max()) + curve.thick_mm / 2 for curve in curves if curve.role == "weaver")
    high = [(float(curve.s.max()) + thick / 2 - below) / thick for curve in curves if curve.role == "border"]
    assert -LESS <= np.mean(high) - thicknesses(rest.design.border) <= MORE


@given(borders())
def test_no_border_that_a_maker_writes_is_drawn_far_higher_than_its_ends_lie_on_each_other(rows):
    """Where an end comes out from behind in a later row heights rose in a circle: some stood a hand high."""
    border = parse_border(rows)
    high = float(knots_of_end(border, 1.0)[1].max())
    assert high <= thicknesses(border) + 2.0
