"""A border of doubled ends: two spokes, or a spoke and its bye-spoke, are woven down together and come to rest."""

import numpy as np
import pytest
from strategies import basket

from slype.rest import relax
from slype.rest.curves import relaxed_curves

BYE_SPOKES = '[bye_spokes]\nreed = "round 3"\nfrom = "base"\nto = "border"'
DOUBLED = {"two spokes": {"spokes": "per_end = 2"}, "bye-spoke": {"after": BYE_SPOKES}}
CLOSED = ("two-row", "three-row", "three-rod plain", "rope", "trac behind 1, over 2")
ENDS = 20
HARDLY = 0.05  # of the thinner reed's thickness


@pytest.fixture(scope="module", params=[(what, kind) for what in DOUBLED for kind in CLOSED], ids=" of ".join)
def woven(request):
    """A low round basket of doubled ends at rest."""
    what, kind = request.param
    return relax.relax(basket(ends=ENDS, rows=3, kind=kind, **DOUBLED[what]))


def test_both_reeds_of_every_end_come_to_rest_and_lie_in_nothing(woven):
    assert "border" in woven.parts and not woven.tangled and woven.parts["border"].rest.done
    ends = [curve for curve in relaxed_curves(woven) if curve.role == "border"]
    reeds = woven.design.top_reeds
    assert [(each.upright[1:], each.colour, each.thick_mm) for each in ends] == [
        ((end, k), colour, reed.diameter_mm) for end in range(ENDS) for k, (reed, colour) in enumerate(reeds)
    ]
    assert woven.together.worst < HARDLY


def test_the_reeds_of_an_end_go_side_by_side_and_never_change_places(woven):
    border = woven.parts["border"]
    wall, at = border.built.wall, border.rest.at
    assert border.order_kept
    for first in range(0, 2 * ENDS, 2):
        one, two = (at[wall.off[k] : wall.off[k + 1]] for k in (first, first + 1))
        off = one - two
        touch = wall.radius[first] + wall.radius[first + 1]
        # They touch or nearly do, and the first lies above or beside the second, never wholly below it.
        assert np.median(np.hypot(*off.T)) < 1.6 * touch
        assert (off[:, 0] > -0.3 * touch).all()


def test_they_lie_about_as_high_as_is_reckoned(woven):
    border = woven.parts["border"]
    wall = border.built.wall
    mine = np.arange(wall.off[2 * ENDS])
    high = (border.rest.at[mine, 0] + wall.r[mine]).max() - woven.laid.top_s
    assert 0.6 < high / woven.laid.border_height_mm < 1.3


def test_where_doubled_ends_find_no_rest_the_border_is_named_and_keeps_its_plain_form():
    rest = relax.relax(basket(ends=17, rows=3, spoke="round 4", kind="six-rod plain", spokes="per_end = 2"))
    assert rest.tangled == ("border",) and [each.part for each in rest.laid.unsettled] == ["border"]
    assert sum(curve.role == "border" for curve in relaxed_curves(rest)) == 2 * 17
