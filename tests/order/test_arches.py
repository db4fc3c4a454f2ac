"""Arches of an open border: on which side they pass what stands, in words, on paper and on the screen."""

from __future__ import annotations

import numpy as np
import pytest
from strategies import basket

from slype.borders.table import BORDERS
from slype.draw.solid import solid, unpacked
from slype.figures.making import Making
from slype.lay.laying import lay
from slype.order.moments import moments
from slype.order.times import BENT_ASIDE, standing
from slype.surface.woven import stacked_curves
from slype.tell.moments import sentences

OPEN = [kind.name for kind in BORDERS.values() if kind.family == "open"]


TOUCHING = 1.0  # thicknesses between two middle lines


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("kind", OPEN)
def test_an_arch_passes_the_standing_ends_on_the_side_that_its_words_say(kind, hand):
    """Every arch, as soon as it is laid: wholly in front of the ends its sentence names, or wholly behind."""
    laid = lay(basket(ends=17, rows=6, kind=kind, hand=hand))
    order, checked = moments(laid), 0
    upright = standing(laid, order)
    arches = {each.end: each for each in stacked_curves(laid) if each.role == "border"}
    said = sentences(laid.design, laid, order)
    for end, arch in arches.items():
        move = int(order.by_end["border", end][0])
        front, behind = order.in_front(move), order.behind(move)
        assert ("in front of" in said[move]) == bool(front), said[move]
        for side, passed in ((1, front), (-1, behind)):
            for each in upright:
                if each.curve.end not in passed or not each.appears <= move + 1 <= each.vanishes:
                    continue
                at = int(np.argmin(np.abs(arch.u - each.curve.u[0])))
                level = np.interp(arch.s[at], each.curve.s, each.curve.n)
                assert side * (arch.n[at] - level) > TOUCHING * each.curve.thick_mm, (arch.name, each.curve.name)
                checked += 1
    assert checked >= 16


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("kind", "way"), [("open over 2", -1), ("open behind 1", 1)])
def test_so_they_stand_in_the_handout_and_on_the_screen_and_each_at_one_place_at_a_time(kind, way, hand):
    """Straight until the first arch goes past; then in four steps inward of one in front, outward of one behind."""
    laid = lay(basket(ends=17, rows=6, kind=kind, hand=hand))
    making = Making(laid)
    order = making.order
    header, points, when = unpacked(solid(laid, order=order))
    begins = next(part.first for part in order.parts if part.key == "border")
    first = [each for each in header["strands"] if each["name"].startswith("standing end 2")]
    straight = points[first[0]["first"]][:2]

    def leans(line):
        return float(np.hypot(*line[-1][:2]) - np.hypot(*straight))

    def on_screen(time):
        there = [each for each in first if when[each["first"]] <= time <= each["until"]]
        assert len(there) == 1, (time, there)
        return leans(points[there[0]["first"] : there[0]["first"] + there[0]["count"]])

    def on_paper(beyond):
        found = [each.tube for each in making.at(beyond - 1, beyond) if each.tube.name.startswith("standing end 2")]
        assert len(found) == 1, beyond
        return leans(found[0].points)

    held = way * BENT_ASIDE * laid.design.border_reed_mm
    assert on_screen(begins) == pytest.approx(0, abs=0.05) and on_paper(begins) == pytest.approx(0, abs=0.05)
    assert on_screen(begins + 1) == pytest.approx(held, abs=0.05)
    assert on_paper(begins + 1) == pytest.approx(held, abs=0.05)
    sway = [way * on_screen(begins + share) for share in np.linspace(0.01, 0.99, 60)]
    assert sway == sorted(sway) and len({round(each, 2) for each in sway}) == 4
    assert not [each for each in making.at(begins + 1, begins + 2) if each.tube.name.startswith("standing end 2")]
    kept = [each for each in header["strands"] if each.get("held")]
    assert len(kept) == 4 * len({each["end"] for each in kept}) > 0, "what makes room for a move does not glow with it"
    assert {each.curve.name for each in standing(laid, order) if each.held} == {each["name"] for each in kept}
    one_reed = {each.get("same", i) for i, each in enumerate(header["strands"]) if each["end"] == 1}
    assert len(one_reed) == 1, "a spoke, its waiting end and its arch are one reed"
