"""Bases: crosses laid, pierced and interlaced, odd ends, boards with holes."""

import json
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, basket_text

from slype.borders.rows import border_need
from slype.borders.table import BORDERS
from slype.design.file.reader import parse
from slype.design.values import arms
from slype.errors import DesignError, Unweavable
from slype.export.plan import as_json
from slype.form.bases import KINDS, ODD, ODD_SOURCE, Base, bundle_mm, first_ring_mm, holes, sticks_each_way
from slype.paper.sheet import contents
from slype.plans import planning
from slype.quantity import MM_PER_IN
from slype.sources import SOURCES
from slype.space.tubes import in_space, tubes
from slype.surface.standing import stick_curves
from slype.tell.steps import steps

BASE_BAND = '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "6 in"\n'
BOARD = '[base]\nkind = "board"\nfoot = ["behind 1 out", "over 1 down"]\n'
ON_BOARD = dict(ends=24, base="6 3/4 in", wall=[["0 in", "6 in"], ["4 in", "6 in"]])
INSERTED = 'inserted = true\nbase_ends = 16\nbase_reed = "round 6"'


def based(base, **changes):
    return planning.plan(basket(tail=base, **{"before": BASE_BAND, **changes}))


def on_board(base=BOARD, **changes):
    return planning.plan(basket(tail=base, **{**ON_BOARD, **changes}))


def said(plan):
    return "\n".join(line for step in steps(plan) for line in (step.title, *step.lines))


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_kind_has_its_words_an_example_and_a_source(kind):
    assert kind.source in SOURCES and len(kind.help) > 30 and kind.named("uk")
    text = f"[base]\n{kind.example}\n"
    assert (based(text, ends=32) if kind.sticks else on_board(text)).design.base.kind == kind.name


# Crosses -------------------------------------------------------------------------------------------------------


@given(st.integers(4, 60), st.data())
def test_the_arms_of_any_cross_hold_all_its_ends(ends, data):
    through = data.draw(st.integers(1, ends // 2 - 1))
    held = arms(ends, through)
    assert sum(held) == ends and len(held) == 4
    below, over = sticks_each_way(ends // 2, through)
    assert over == through and sorted(held)[0] == min(below, over)


@given(st.integers(2, 20), st.integers(1, 3), st.floats(1, 8))
def test_the_first_ring_goes_round_a_square_cross_whichever_way_it_is_held(each_way, beside, thick):
    sticks = 2 * each_way
    laid = first_ring_mm(Base(), sticks, beside, thick)
    pierced = first_ring_mm(Base("pierced cross", each_way), sticks, beside, thick)
    assert pierced == pytest.approx(laid) == pytest.approx(4 * each_way * beside * thick / (2 * math.pi))


@pytest.mark.parametrize("ends", [16, 17, 18, 20, 21])
def test_round_whole_arms_the_first_row_lies_close_and_between_their_sticks_half_a_weaver_further_out_at_least(ends):
    """Close: on a circle with the girth of the rectangle of the crossing sticks, a half one counted whole."""
    over = '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\ngroups = {}\nrows = 3\n'
    close, between = (based("", ends=ends, before=over.format(group)).laid for group in (ends // 4, 2))
    stick, weaver = close.design.spokes.stick_reed.diameter_mm, close.base[0].band.reed.diameter_mm
    assert close.base[0].sizes == tuple(close.design.arms) or list(close.base[0].sizes) == close.design.arms
    girth = 2 * stick * (close.design.arms[0] + close.design.arms[1])
    assert close.cross_mm - stick / 2 == pytest.approx(girth / (2 * math.pi))
    assert between.cross_mm >= close.cross_mm + weaver / 2 - 1e-9


@given(st.integers(1, 6), st.integers(2, 5), st.floats(1, 8))
def test_an_interlaced_middle_is_wider_than_a_laid_one(sets, ways, thick):
    sticks = 2 * sets * ways
    assert first_ring_mm(Base("interlaced", None, sets), sticks, 1, thick) > first_ring_mm(Base(), sticks, 1, thick)


def test_a_pierced_cross_of_three_through_five_stands_in_arms_of_five_and_three():
    plan = based('[base]\nkind = "pierced cross"\nthrough = 3\n', ends=16)
    assert plan.design.arms == [5, 3, 5, 3]
    text = said(plan)
    assert "Split 5 spokes" in text and "Pass 3 spokes through" in text and "an arm with 5 ends" in text


def test_a_pierced_cross_lies_in_one_plane_and_a_laid_one_in_two():
    def thick(base):
        sticks = [t for t in tubes(based(base, spokes=INSERTED).laid) if t.role == "stick" and "half" not in t.name]
        return max(float(np.ptp(t.points[:, 2])) for t in sticks)

    assert thick('[base]\nkind = "pierced cross"\n') < 1e-6 < thick("")


def nearest(one, other):
    """mm from skin to skin of two reeds, where they come nearest; below 0 they lie in each other."""
    apart = np.linalg.norm(one.points[:, None] - other.points[None], axis=2).min()
    return apart - (one.thick_mm + other.thick_mm) / 2


def in_the_cross(laid, reed):
    """The part of a stick within the first ring; beyond it outer sticks of two arms fan out side by side."""
    at = np.hypot(*reed.points[:, :2].T) < laid.cross_mm
    return replace(reed, points=reed.points[at])


SLACK = 0.12  # of a stick, by which drawn sticks may sink into each other where they bend


@pytest.mark.parametrize("through", [2, 4, 5])
def test_the_sticks_passed_through_lie_between_the_halves_of_those_that_are_split(through):
    plan = based(f'[base]\nkind = "pierced cross"\nthrough = {through}\n', ends=16)
    sticks = [t for t in tubes(plan.laid) if t.role == "stick"]
    spokes = [t for t in tubes(plan.laid) if t.role == "spoke"]
    thick = plan.design.spokes.reed.diameter_mm
    split = {int(t.name.split(",")[0].split()[-1]) for t in sticks}
    assert len(split) == 2 * (8 - through) and len(sticks) == 2 * len(split)
    passing = [t for i, t in enumerate(spokes, start=1) if i not in split]
    for half in sticks:
        side = -1 if "lower" in half.name else 1
        assert (side * half.points[:, 2] > 0).all()
        assert min(nearest(half, each) for each in passing) > -SLACK * thick
    for i in split:  # the whole stick begins where its slit ends, beyond those that pass through it
        start = spokes[i - 1].points[0]
        assert min(np.linalg.norm(t.points - start, axis=1).min() for t in passing) > thick


@pytest.mark.parametrize(("ends", "sets"), [(16, 2), (24, 3), (24, 2), (24, 1), (32, 4)])
def test_interlaced_sets_go_over_one_and_under_the_next_and_never_through_each_other(ends, sets):
    laid = based(f'[base]\nkind = "interlaced"\nsets = {sets}\n', ends=ends).laid
    curves, (per_arm, thick) = stick_curves(laid), (ends // 4, laid.design.spokes.reed.diameter_mm)
    one_way = [k for k in range(ends) if k // per_arm in (0, 2)]
    reeds = tubes(laid)
    crossings = {}
    for a in one_way:
        for b in sorted(set(range(ends)) - set(one_way)):
            p, q = (in_space(laid, curves[k]) for k in (a, b))
            flat = np.linalg.norm(p[:, None, :2] - q[None, :, :2], axis=2)
            if flat.min() > 0.4 * thick:
                continue  # they cross on their other halves
            i, j = np.unravel_index(flat.argmin(), flat.shape)
            crossings[a, b] = np.sign(p[i, 2] - q[j, 2])
            assert abs(p[i, 2] - q[j, 2]) > (1 - SLACK) * thick
            here, there = (in_the_cross(laid, reeds[k]) for k in (a, b))
            assert nearest(here, there) > -SLACK * thick
    assert len(crossings) == (ends // 4) ** 2
    for (a, b), over in crossings.items():  # the neighbours of one set do as it does, those of the next the other way
        for (c, d), other in crossings.items():
            if a == c and b // per_arm == d // per_arm:
                steps = b % per_arm // sets - d % per_arm // sets
                assert (over == other) == (steps % 2 == 0)


def test_an_interlaced_base_is_told_by_its_sets():
    text = said(based('[base]\nkind = "interlaced"\nsets = 4\n', ends=32))
    assert "in sets of 4, and lay 2 sets side by side" in text


def test_shaws_cross_is_four_split_and_four_through():
    # Shaw: "8 x 10 in No. 6 (4 split, 4 through)".
    plan = based('[base]\nkind = "pierced cross"\n', spokes=INSERTED, ends=31)
    assert "Split 4 base sticks" in said(plan) and "Pass 4 base sticks" in said(plan)


# An odd count --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_count_comes_from_a_half_one_a_cut_or_an_added_end(odd):
    plan = based(f'[base]\nodd = "{odd}"\n', ends=25)
    counts = {piece.name: piece.count for piece in plan.pieces}
    ends = (
        2 * counts["spoke"]
        + {"half": counts.get("half spoke", 0), "cut out": -1, "added": counts.get("added spoke", 0)}[odd]
    )
    assert ends == 25 and ODD_SOURCE[odd] in SOURCES
    for piece in plan.pieces:
        assert piece.length_mm == pytest.approx(sum(part[1] for part in piece.parts))
    assert not re.search(r"[{}]|\bNone\b|  ", said(plan))


def test_an_added_end_reaches_as_far_as_the_others():
    tied = '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 4\n' + BASE_BAND
    full, half = based('[base]\nodd = "half"\n', ends=25, before=tied).pieces
    plan = based('[base]\nodd = "added"\n', ends=25, before=tied)
    inside = plan.laid.base[0].end_s - 25.4  # its inner end lies an inch inside of where the first band ends
    assert plan.pieces[1].length_mm == pytest.approx(full.length_mm / 2 - inside)
    assert plan.pieces[1].length_mm < half.length_mm


def test_side_spokes_beside_each_base_end_are_counted_for_the_maker():
    text = basket_text(spokes=INSERTED, tail="[base]\nbeside = 2\n").replace("ends = 24\n", "", 1)
    assert parse(text).spokes.ends == 32
    assert based("[base]\nbeside = 2\n", spokes=INSERTED, ends=31).design.spokes.ends == 31


# Boards --------------------------------------------------------------------------------------------------------


@given(st.integers(3, 200), st.floats(50, 900), st.floats(4, 60))
def test_stepping_off_the_chord_comes_round_to_the_first_hole(count, ring, margin):
    found = holes(count, ring, ring + 2 * margin, 3.0, 1, "cm")
    turn = 2 * math.asin(found.chord_mm / ring)
    assert turn * count == pytest.approx(2 * math.pi)
    assert found.chord_mm < found.pitch_mm and found.margin_mm == pytest.approx(margin)


@given(st.floats(1, 8), st.integers(1, 6), st.sampled_from(["in", "cm"]))
def test_a_hole_is_the_next_drill_above_its_reeds(thick, reeds, units):
    step = {"in": MM_PER_IN / 64, "cm": 0.5}[units]
    drill = holes(30, 200, 220, thick, reeds, units).drill_mm
    assert bundle_mm(reeds, thick) - 1e-6 <= drill < bundle_mm(reeds, thick) + step
    assert drill / step == pytest.approx(round(drill / step))


def test_a_spoke_of_a_board_reckoned_by_hand():
    plan = on_board()
    (spoke,) = plan.pieces
    pitch = math.pi * 6 * MM_PER_IN / 24
    foot = border_need(plan.design.base.foot, pitch, 3.25).length_mm
    assert spoke.count == 24
    assert spoke.length_mm == pytest.approx(foot + MM_PER_IN / 4 + plan.laid.top_s + plan.laid.border.length_mm + 25.4)


@pytest.mark.parametrize("kind", [kind for kind in BORDERS.values() if kind.foot], ids=lambda kind: kind.name)
def test_every_foot_border_of_the_table_goes_below_a_board(kind):
    plan = on_board(f'[base]\nkind = "board"\nfoot = "{kind.name}"\n')
    assert plan.design.base.foot == kind.border
    assert plan.board.foot.length_mm == border_need(kind.border, plan.board.holes.pitch_mm, 3.25).length_mm
    assert not re.search(r"[{}]|\bNone\b|  ", said(plan))


def test_a_basket_on_a_board_stands_higher_by_the_board_and_its_foot():
    # A quarter of an inch of wood, and two No. 5 spokes (3.25 mm): under each comes out the one before it.
    plan = on_board()
    stands = plan.laid.finished_height_mm - plan.laid.border_height_mm - float(plan.design.form.height(plan.laid.top_s))
    assert stands == pytest.approx(MM_PER_IN / 4 + 2 * 3.25)
    assert plan.laid.top_s == pytest.approx(planning.plan(basket()).laid.top_s)


def test_a_board_is_drilled_and_footed_and_its_spokes_are_not_turned_up():
    plan = on_board()
    titles = [step.title for step in steps(plan)]
    assert "Make the board ready" in titles
    assert not [title for title in titles if "Turn up" in title or "ross" in title]
    text = said(plan)
    assert "step off 24 places" in text and "close to the board" in text and "drill 5/32 in holes" in text
    assert "drilling" in [row[0].lower() for row in contents(plan)["cautions"]]
    assert [row for row in contents(plan)["facts"] if row[0] == "Board" and "24 holes" in row[1]]
    assert not {"crimp at the turn", "wall begins away from the base", "half spoke"} & {f.rule.key for f in plan.advice}


@pytest.mark.parametrize(("outline", "ring"), [("oval", 12 + 13 * math.pi), ("rectangle", 64 - 8 + 2 * math.pi)])
def test_a_board_that_is_not_round_has_its_holes_evenly_along_a_line(outline, ring):
    shape = f'outline = "{outline}"\nbase = ["20 in", "14 in"]\n'
    shape += 'wall = [["0 in", "19 in", "13 in"], ["2 in", "20 in", "14 in"]]'
    text = (
        f'[spokes]\nreed = "round 5"\nends = 52\n[form]\n{shape}\n{BOARD}[[band]]\nweave = "three-rod wale"\n'
        'reed = "round 3"\nrows = 6\n[border]\nrows = ["behind 1 out", "over 2 down"]\n'
    )
    plan = planning.plan(parse(text))
    assert plan.board.holes.margin_mm == pytest.approx(MM_PER_IN / 2)
    assert plan.board.holes.pitch_mm == pytest.approx(ring * MM_PER_IN / 52)
    assert "Draw a line all round the board, 1/2 in from the edge" in said(plan) and "compasses" not in said(plan)
    with pytest.raises(DesignError, match="for round baskets"):
        parse(text.replace("board", "interlaced").replace('foot = ["behind 1 out", "over 1 down"]', ""))


def test_the_promised_form_holds_the_base():
    said = json.loads(json.dumps(as_json(on_board()), allow_nan=False))["base"]
    assert said["kind"] == "board" and said["arms"] is None
    assert said["board"]["holes"] == 24 and said["board"]["margin_mm"] == pytest.approx(3 / 8 * 25.4, abs=0.05)
    said = as_json(based('[base]\nkind = "pierced cross"\nthrough = 5\n'))["base"]
    assert said == {"kind": "pierced cross", "arms": [7, 5, 7, 5], "sets": None, "odd": None, "board": None}


def test_every_reed_of_a_basket_on_a_board_is_drawn():
    plan = on_board()
    drawn = tubes(plan.laid)
    assert sum(t.role == "spoke" for t in drawn) == 24 and not [t for t in drawn if t.role == "stick"]


@pytest.mark.parametrize(
    ("text", "changes", "message"),
    [
        ('[base]\nkind = "pieced cross"\n', {}, 'no base called "pieced cross"'),
        ("[base]\nthrough = 3\n", {}, 'only belongs to kind = "pierced cross"'),
        ('[base]\nkind = "pierced cross"\nthrough = 12\n', {}, "there are 12 in all"),
        ('[base]\nkind = "interlaced"\n', dict(ends=22), "equal sets each way"),
        ('[base]\nkind = "interlaced"\nsets = 5\n', {}, "sets of 5 do not share"),
        ('[base]\nodd = "none"\n', {}, "not a way to an odd count"),
        ('[base]\nodd = "added"\n', {}, "even count"),
        ("[base]\nbeside = 2\n", {}, "inserted side spokes"),
        ("[base]\nbeside = 2\n", dict(spokes=INSERTED), "makes 32"),
        ('[base]\nkind = "board"\n', dict(before=""), "base, foot: is missing"),
        ('[base]\nkind = "board"\nfoot = "rope"\n', ON_BOARD | dict(before=""), "not a foot border"),
        (BOARD, {}, "a board is not woven"),
        (BOARD, dict(before=""), "on the edge of the board"),
        (BOARD + 'margin = "1 in"\n', dict(ON_BOARD, before=""), "0.9|1.0 cm in from the edge"),
        (BOARD, dict(ON_BOARD, before="", spokes=INSERTED), "not inserted"),
        (BOARD, dict(ON_BOARD, before="", ends=140), "run into each other|no room|leave no room"),
    ],
)
def test_a_base_that_cannot_be_is_refused_in_one_sentence(text, changes, message):
    with pytest.raises((DesignError, Unweavable), match=message) as refused:
        planning.plan(basket(tail=text, **{"before": BASE_BAND, **changes}))
    assert "\n" not in str(refused.value) and refused.value.remedy
