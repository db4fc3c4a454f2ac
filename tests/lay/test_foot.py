"""A foot of its own: what it lifts, what its ends are cut to, when it is worked."""

import pytest
from strategies import basket, basket_text
from widening import widening

from slype.design.file import reader
from slype.errors import DesignError, Unweavable
from slype.lay import values
from slype.plans import planning
from slype.tell import steps


def on_a_foot(keys="", **changes):
    return basket(**{"tail": f'[foot]\nborder = "foot border"\n{keys}', **changes})


def test_a_foot_lifts_the_basket_by_its_rows_and_its_border():
    plain, lifted = planning.plan(basket()), planning.plan(on_a_foot("rows = 3"))
    band = lifted.foot.laid.bands[0]
    thick = lifted.laid.finished_height_mm - plain.laid.finished_height_mm
    assert thick == pytest.approx(lifted.foot.height_mm)
    assert thick == pytest.approx(3 * band.pitch_mm + 3.25 * 2)  # two ends lie on each other below the last row
    assert lifted.laid.top_s == plain.laid.top_s


def test_a_foot_end_is_cut_for_its_slype_its_rows_and_its_border():
    plan = planning.plan(on_a_foot('reed = "round 4"\ninsertion = "2 in"'))
    end, weaver = (next(p for p in plan.pieces if p.name == name) for name in ("foot end", "foot weaver"))
    laid = plan.foot.laid
    assert end.count == 24 and weaver.count == 3 and end.reed.key == "round 4"
    assert end.length_mm == pytest.approx(50.8 + laid.top_s + laid.border.length_mm + values.SPARE_MM)
    assert weaver.length_mm == pytest.approx(laid.bands[0].row_mm.sum() + 2 * 50.8)


def test_a_long_foot_weaver_is_cut_in_lengths_no_longer_than_its_reed():
    plan = planning.plan(on_a_foot("rows = 20", base="20 in", ends=80))
    weaver = next(p for p in plan.pieces if p.name == "foot weaver")
    assert weaver.count > 3 and weaver.length_mm <= weaver.reed.strand_mm


def test_the_foot_is_worked_after_the_border_upside_down():
    told = steps.steps(planning.plan(on_a_foot()))
    titles = [step.title for step in told]
    assert titles.index("Work the foot") == titles.index("Work the border") + 1
    lines = told[titles.index("Work the foot")].lines
    assert "upside down" in lines[0]
    assert any("Count: 24 stand" in line for line in lines)


def test_a_foot_stands_on_as_many_ends_as_the_base_has_when_more_are_added_above():
    assert planning.plan(widening(tail='[foot]\nborder = "foot border"')).foot.ends == 24


def test_an_oval_stands_on_a_foot_too():
    oblong = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "10 in", "7 in"]]}
    plan = planning.plan(on_a_foot(before='outline = "oval"', **oblong))
    assert plan.foot.laid.bands[0].radius[0] == pytest.approx(float(plan.design.form.radius(0.0)))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"tail": "[foot]\nrows = 2"}, r"foot, border.*missing"),
        ({"tail": '[foot]\nborder = "three-rod plain"'}, r"not a foot border"),
        ({"tail": '[foot]\nborder = "foot border"\ncolours = ["rust", "rust"]'}, r"foot, colours: 2 colours for 3"),
        (
            {
                "wall": [["0 in", "5 in"], ["4 in", "6 in"]],
                "tail": '[base]\nkind = "board"\nfoot = "foot border"\n[foot]\nborder = "foot border"',
            },
            r"a board has its foot",
        ),
    ],
)
def test_a_foot_that_cannot_be_is_refused_with_a_remedy(changes, said):
    with pytest.raises(DesignError, match=said):
        reader.parse(basket_text(**changes))


@pytest.mark.parametrize(
    ("keys", "said"), [('weave = "randing"', "does not hold"), ("weaver = { mm = 12 }\nreed = { mm = 12 }", "foot")]
)
def test_a_foot_no_hands_could_weave_is_refused(keys, said):
    with pytest.raises(Unweavable, match=said):
        planning.plan(on_a_foot(keys))
