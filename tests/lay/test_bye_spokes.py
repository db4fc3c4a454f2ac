"""Bye-spokes: where they stand, how long they are cut, what they do to the border."""

import numpy as np
import pytest
from strategies import basket, basket_text
from widening import MORE

from slype.design.file import reader
from slype.errors import DesignError
from slype.lay import values
from slype.plans import planning
from slype.rest.relax import relax
from slype.space.tubes import tubes
from slype.tell import steps

UPPER = '[[band]]\nweave = "pairing"\nreed = "round 2"\nrows = 8\n'


def with_byes(keys="", **changes):
    return basket(**{"after": UPPER, "tail": f"[bye_spokes]\n{keys}", **changes})


def test_bye_spokes_stand_from_the_upsett_on_and_take_up_room_between_the_ends():
    byes, alone = planning.plan(with_byes()).laid.bands, planning.plan(basket(after=UPPER)).laid.bands
    assert byes[0].gap[0] == pytest.approx(alone[0].gap[0])
    assert byes[1].gap[0] == pytest.approx(alone[1].gap[0] - 3.25)
    assert byes[1].take_up.mean() > alone[1].take_up.mean()  # a shorter gap is a steeper way through


def test_one_bye_spoke_for_every_end_as_long_as_its_way():
    plan = planning.plan(with_byes('reed = "round 4"'))
    (bye_spokes,) = [piece for piece in plan.pieces if piece.name == "bye-spoke"]
    laid = plan.laid
    assert bye_spokes.count == 24 and bye_spokes.reed.key == "round 4"
    upsett = laid.bands[0].end_s
    way = min(25.4, upsett) + laid.top_s - upsett + laid.border.length_mm + values.SPARE_MM
    assert bye_spokes.length_mm == pytest.approx(way)


def test_cut_off_below_the_border_they_need_no_more_than_the_wall_and_leave_the_border_as_it_was():
    plan, alone = planning.plan(with_byes('to = "below"')), planning.plan(basket(after=UPPER))
    bye_spokes = next(piece for piece in plan.pieces if piece.name == "bye-spoke")
    assert bye_spokes.length_mm < plan.laid.top_s + values.SPARE_MM + 25.4
    assert plan.laid.border == alone.laid.border
    told = [line for step in steps.steps(plan) for line in step.lines]
    assert any("Cut the bye-spokes off" in line for line in told)


def test_in_the_border_a_spoke_and_its_bye_spoke_are_like_doubled_spokes():
    byes, doubled = planning.plan(with_byes('from = "base"')), planning.plan(basket(after=UPPER, spokes="per_end = 2"))
    assert byes.laid.border.length_mm == pytest.approx(doubled.laid.border.length_mm)
    assert byes.laid.border_height_mm == pytest.approx(doubled.laid.border_height_mm)
    for a, b in zip(byes.laid.bands, doubled.laid.bands, strict=True):
        assert a.take_up == pytest.approx(b.take_up)


@pytest.mark.parametrize(("keys", "where"), [("", "down into the upsett"), ('from = "base"', "edge of the base")])
def test_a_step_says_where_bye_spokes_go(keys, where):
    told = steps.steps(planning.plan(with_byes(keys, basket='wording = "uk"')))
    (step,) = [step for step in told if step.title == "Add the bye-stakes"]
    assert any(where in line for line in step.lines)
    place = [each.title for each in told].index(step.title)
    assert told[place + 1].band == (0 if keys else 1)


def test_the_two_reeds_of_an_end_never_run_through_each_other_in_a_picture():
    laid = planning.plan(with_byes('reed = "round 4"\ncolour = "slate"')).laid
    of = {tube.name: tube for tube in tubes(laid)}
    for pair in (("border end 3", "border end 3, bye-spoke"), ("spoke 3", "spoke 3, bye-spoke")):
        a, b = (of[name] for name in pair)
        apart = np.sqrt(((a.points[:, None] - b.points[None]) ** 2).sum(axis=2)).min()
        assert apart > 0.85 * (a.thick_mm + b.thick_mm) / 2, pair


def test_a_wall_with_bye_spokes_comes_to_rest():
    at_rest = relax(with_byes('to = "below"'))
    assert at_rest.done and "border" in at_rest.parts


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"after": "", "tail": "[bye_spokes]"}, r"no band above the upsett.*from = .base."),
        ({"after": MORE.format(add=4), "tail": "[bye_spokes]"}, r"adds ends part way up.*Leave one of them out"),
        ({"tail": '[bye_spokes]\nfrom = "rim"'}, r"bye_spokes, from"),
    ],
)
def test_bye_spokes_that_cannot_stand_are_refused_with_a_remedy(changes, said):
    with pytest.raises(DesignError, match=said):
        reader.parse(basket_text(**changes))
