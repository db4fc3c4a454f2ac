"""A lid in space: the basket it is planned as, turned over, on its seat, in nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from fitted_baskets import HANDLES, LIDS, border_top, least_skin, length, with_lid

from slype.draw.views import curves
from slype.lay.laying import lay
from slype.lay.lids import fit_lid
from slype.plans import planning
from slype.rest.curves import relaxed_curves
from slype.rest.earlier import reworded
from slype.rest.relax import relax
from slype.space.assembly import whole
from slype.space.tubes import tubes

lids = pytest.mark.parametrize("seat", LIDS)


@lids
def test_a_lid_is_the_basket_it_is_planned_as_turned_over(seat):
    laid, _, lid = with_lid(seat)
    own = tubes(lay(fit_lid(laid).design))
    assert [tube.name for tube in lid] == [f"lid, {tube.name}" for tube in own]
    for one, other in zip(lid, own, strict=True):
        turned = one.points * [1, -1, -1]
        np.testing.assert_allclose(np.diff(turned, axis=0), np.diff(other.points, axis=0), atol=1e-9)


@lids
def test_a_lid_touches_its_seat_and_lies_in_nothing(seat):
    laid, own, lid = with_lid(seat)
    rim = [t for t in own if t.points[:, 2].max() > border_top(laid) - 30]
    slack = 0.6 if seat == "inside" else 0.1  # a wall that is not quite round holds it a little higher
    assert -slack * 3.25 < least_skin(lid, rim) < 3.5


@lids
def test_a_lid_sits_as_high_as_its_seat_says(seat):
    laid, _own, lid = with_lid(seat)
    fit, top = fit_lid(laid), border_top(laid)
    level = np.mean([t.points[-1, 2] for t in lid if t.role == "stick"] or [np.median(t.points[:, 2]) for t in lid])
    if seat == "inside":
        assert top - level == pytest.approx(fit.rests_mm, abs=1.0)
        assert max(float(np.hypot(*t.points[:, :2].T).max()) for t in lid) < fit.mouth.opening_mm / 2
    else:
        assert min(float(t.points[:, 2].max()) for t in lid if t.role == "weaver") > top - 26
        assert max(float(t.points[:, 2].max()) for t in lid) > top


def test_the_side_of_a_lid_goes_down_outside_the_border():
    laid, _own, lid = with_lid("over")
    low = np.concatenate([t.points[t.points[:, 2] < border_top(laid) - 5] for t in lid])
    assert len(low) and np.hypot(*low[:, :2].T).min() > fit_lid(laid).mouth.outside_mm / 2


def test_the_border_of_a_mat_lies_flat_round_its_last_row():
    laid = lay(fit_lid(with_lid("on")[0]).design)
    ends = [t for t in tubes(laid) if t.role == "border"]
    away = np.concatenate([np.hypot(*t.points[:, :2].T) for t in ends])
    tucked = 2.5 * ends[0].thick_mm  # its last row goes down
    assert away.min() > laid.base_reached_mm / 2 - tucked and away.max() > laid.base_reached_mm / 2 + ends[0].thick_mm
    assert max(float(np.abs(t.points[:, 2]).max()) for t in ends) < 1.3 * ends[0].thick_mm


@pytest.mark.parametrize("hand", ["left", "right"])
def test_no_ring_stays_open_between_the_last_row_of_a_mat_at_rest_and_its_border(hand):
    """The border began where the base was to end, half a row beyond where it does, and in its plain form: 4 mm off."""
    rest = relax(replace(fit_lid(with_lid("on")[0]).design, hand=hand))
    assert rest.done and "border" in rest.parts and rest.together.worst < 0.05
    around = np.linspace(-np.pi, np.pi, 181)
    woven, bordered = np.zeros(180), np.full(180, np.inf)
    for each in tubes(rest.laid, relaxed_curves(rest)):
        way, away = np.arctan2(each.points[:, 1], each.points[:, 0]), np.hypot(*each.points[:, :2].T)
        at = np.clip(np.searchsorted(around, way) - 1, 0, 179)
        if each.role == "weaver":
            np.maximum.at(woven, at, away + each.thick_mm / 2)
        elif each.role == "border":
            np.minimum.at(bordered, at, away - each.thick_mm / 2)
    # Where ends rise out of their spokes they are drawn finer than elsewhere: each has some points in every place.
    open_mm = (bordered - woven)[np.isfinite(bordered)]
    assert len(open_mm) > 150 and (open_mm > 0.5).mean() < 0.03


def test_a_look_inside_leaves_off_what_would_hide_it():
    laid, own, _ = with_lid("on", tail=LIDS["on"] + "[[handle]]\n" + HANDLES["side"])
    assert any(t.role == "handle" for t in whole(laid))
    assert [t.name for t in whole(laid, view="inside")] == [t.name for t in own if t.role != "handle"]


def test_a_lid_is_brought_to_rest_with_its_basket():
    design = with_lid("over")[0].design
    at_rest = relax(design)
    plan = planning.plan(design, at_rest)
    assert plan.lid.at_rest is at_rest.lid and at_rest.lid.done
    assert at_rest.lid.design == fit_lid(at_rest.laid).design
    assert plan.lid.laid.bands[0].at_rest is not None
    lid = {t.name: t for t in whole(plan.laid, curves(plan)) if t.name.startswith("lid, ")}
    own = {f"lid, {t.name}": t for t in tubes(plan.lid.laid, curves(plan.lid))}
    assert list(lid) == list(own)
    for name, tube in own.items():
        assert length(lid[name]) == pytest.approx(length(tube), rel=0.005)
    left = reworded(at_rest, replace(design, hand="left"))
    assert left.lid.design.hand == "left" == left.laid.lid.design.hand
