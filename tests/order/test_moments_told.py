"""What is said of every move in the order of work."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from in_order import moments_of
from samples import BOARD
from worked import planned

from slype.design.file.reader import parse
from slype.lay.laying import lay
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.plans import planning
from slype.tell.moments import moves_alone, sentence, sentences
from slype.tell.openings import opening


def test_a_stroke_is_told_with_its_spokes(estuary):
    plan = planned("estuary")
    m = moments(plan.laid)
    # Band 6, row 3 of its first block: the third row from space 1 on; the twelfth stroke.
    mine = moments_of(m, 5)
    number = int(mine[(m.row[mine] == 2) & (m.stroke[mine] == 11)][0]) + 1
    assert sentence(plan, plan.laid, m, number) == (
        "Row 3, stroke 12 of 32: take the weaver furthest to the left (now slate), from space 12, over the other 3: in "
        "front of spokes 12 and 13, behind 14 and 15, out at space 16."
    )
    left = replace(estuary, hand="left", wording="uk")
    assert "take the weaver furthest to the right" in sentence(left, lay(left), m, number)
    assert "in front of stakes 12 and 13" in sentence(left, lay(left), m, number)


def test_a_move_told_alone_leaves_out_its_count_and_what_its_step_says_and_nothing_else(estuary):
    laid = planned("estuary").laid
    m = moments(laid)
    shorter = 0
    for i, (alone, counted) in enumerate(zip(moves_alone(estuary, laid, m), sentences(estuary, laid, m), strict=True)):
        whole = re.sub(r"row \d+, (stroke|move) \d+ of \d+: ", "", counted.lower())
        if alone.lower() != whole:
            shorter += 1
            begins, turned = m.parts[m.part[i]].first == i, m.act[i] == ACTS.index("turn")
            assert turned or begins, "only where a part begins, and where the basket is set down"
            assert whole.startswith(alone.lower()) if turned else whole.endswith(alone.lower()) or "draw its" in alone
    assert 0 < shorter <= len(m.parts) + 1


def test_what_one_stroke_is_and_how_many_go_once_round_is_told_before_a_weaver_that_goes_alone(posy, estuary):
    """Randing on 17 goes in front of one and behind one: 8 strokes and a half, so 9 and 8 by turns."""
    laid = planned("posy").laid
    said = sentences(posy, laid, moments(laid))
    told = [line for line in said if "Here one stroke is: in front of 1 spoke, behind 1." in line]
    assert len(told) == 2 and all("Once round takes 8 or 9 of them and is one row." in line for line in told)
    laid = planned("estuary").laid
    (told,) = [line for line in sentences(estuary, laid, moments(laid)) if "Here one stroke" in line]
    assert "Once round with both takes 32 of them" in told


def test_rows_laid_under_the_others_say_so(estuary):
    laid = planned("estuary").laid
    m = moments(laid)
    said = sentences(estuary, laid, m)
    chain = laid.bands[7]
    for moment in moments_of(m, 7).tolist():
        under = chain.band.weave.reverse[m.row[moment] % 2]
        assert ("under the other 2" in said[moment]) == under


def test_every_moment_of_every_basket_is_told(design):
    plan = planning.plan(design)
    m = moments(plan.laid)
    said = sentences(plan, plan.laid, m)
    assert len(said) == len(m)
    assert all(line[0].isupper() and line.endswith(".") and "{" not in line for line in said)
    assert said[3] == sentence(plan, plan.laid, m, 4)
    for number in (0, len(m) + 1):
        with pytest.raises(ValueError, match="numbered 1 to"):
            sentence(plan, plan.laid, m, number)


def test_every_join_of_the_plan_is_told_where_it_falls(design):
    plan = planning.plan(design)
    m = moments(plan.laid)
    told_of = [i for i, line in enumerate(sentences(plan, plan.laid, m)) if "A join falls" in line]
    joins = plan.all_joins
    assert len(told_of) == len(joins)
    told = sorted((int(m.band[i]), int(m.weaver[i]), int(m.row[i]), m.behind(i)[0]) for i in told_of)
    assert told == sorted((join.band, join.weaver, join.row, join.spoke) for join in joins)


def test_a_block_that_begins_again_and_a_new_colour_are_told(estuary):
    laid = planned("estuary").laid
    m = moments(laid)
    said = sentences(estuary, laid, m)
    again = [line for line in said if "begin again 2 spaces further on" in line]
    assert [line.split(":")[0] for line in again] == ["Row 5", "Row 9", "Row 13"]
    new = [line for line in said if line.endswith("A new color.")]
    assert [line.split("(")[1].split(")")[0] for line in new] == ["rust", "sand", "slate"]


def test_the_last_ends_are_led_under_the_first(estuary):
    laid = planned("estuary").laid
    said = sentences(estuary, laid, moments(laid))
    row_one = [line for line in said if line.startswith("Row 1, move ")]
    assert (
        row_one[0] == "Row 1, move 2 of 32: bend spoke 2 down toward the right, behind spoke 3, and leave it outside."
    )
    assert row_one[-1].endswith("Lift spoke 1 and lead spoke 32 under it.")
    assert "Lift" not in row_one[5]


@pytest.mark.parametrize("stepped", [False, True], ids=["alone", "beside the steps"])
def test_above_a_board_the_side_begins_with_which_spoke_is_the_first(stepped):
    """It stood there as a place still to fill in, and every lesson of a basket on a board ended in a traceback."""
    plan = planning.plan(parse(BOARD))
    m = moments(plan.laid)
    side = next(part for part in m.parts if part.key == "side")
    assert "Tie a thread round one spoke: it is spoke 1." in opening(plan.design, plan.laid, m, side.first, "", stepped)
