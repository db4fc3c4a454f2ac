"""What a drawing shows is bare of marks: the arrow's head, the crossing that is named, the spaces of the stroke."""

import re
from dataclasses import replace

import numpy as np
import pytest
from drawn_steps import ALL, HEAD, LEAD, PATCH, covered, drawn, rings
from worked import figured

from slype.draw.camera import looking
from slype.figures import closeup, pen
from slype.figures.arrows import LEAST_LONG, arrow_lines
from slype.figures.figure import Figures
from slype.figures.flat.marks import DOT_MM, INK
from slype.figures.names import MOST_NAMED
from slype.figures.reeds.stretch import OLD, Stretch
from slype.order.kinds import ACTS
from slype.space.plank import plank
from slype.surface.curve import TAILS

ON_DARK = re.compile(rf'<rect [^>]*fill="{INK}"[^>]*/><text[^>]*>(\d+)<')


@pytest.mark.parametrize("name, hand", ALL)
def test_nothing_is_written_upon_the_head_of_an_arrow(name, hand):
    found = 0
    for step, asked, svg, _ in drawn(name, hand)[2]:
        for each in HEAD.findall(svg):
            tip = np.array(each, float).reshape(3, 2)
            assert not covered(tip.mean(axis=0), svg), (step.number, asked.caption)
            assert not covered(tip[0], svg), (step.number, asked.caption)
            found += 1
    assert found > 4


@pytest.mark.parametrize("name, hand", ALL)
def test_one_move_has_one_arrow_with_one_head(name, hand):
    _, order, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        if asked.arrow and asked.beyond == asked.first + 1 and ACTS[order.act[asked.first]] in ("stroke", "border"):
            assert len(HEAD.findall(svg)) == 1, (step.number, asked.caption, LEAST_LONG)
            found += 1
    assert found > 2


@pytest.mark.parametrize("name, hand", [each for each in ALL if each[0] != "posy"])  # its arches are shown singly
def test_of_several_moves_of_a_border_or_a_foot_only_the_last_has_an_arrow(name, hand):
    """Three dashed lines over one another could not be told apart."""
    plan, order, drawings = drawn(name, hand)
    making, found = figured(plan).making, 0
    for step, asked, svg, unit in drawings:
        last = asked.beyond - 1
        act = ACTS[order.act[last]]
        if not asked.arrow or asked.first == last or asked.kind == "whole" or act not in ("border", "foot"):
            continue
        assert len(HEAD.findall(svg)) == 1, (step.number, asked.caption)
        shot = closeup.shot_of(making, closeup.Scene(asked.first, asked.beyond, inside=asked.kind == "inside"))
        line = arrow_lines(shot.stretches, shot.camera, shot.box, unit, False, False, one=True)
        alone = arrow_lines(making.at(last, asked.beyond), shot.camera, shot.box, unit, False, False)
        assert len(line) == len(alone) == 1 and np.allclose(line[0], alone[0]), (step.number, asked.caption)
        found += 1
    assert found


@pytest.mark.parametrize("hand", ["right", "left"])
def test_below_a_board_the_ends_that_are_led_bear_the_number_of_their_spoke(hand):
    """There they are led the other way round: from spoke 1 on to the last."""
    plan, order, drawings = drawn("tray", hand)
    found = 0
    for _, asked, svg, _ in drawings:
        if asked.kind == "near" and ACTS[order.act[asked.first]] == "foot":
            led = sorted(-int(order.end[m]) % plan.design.foot_ends + 1 for m in range(asked.first, asked.beyond))
            assert sorted(int(n) for n in ON_DARK.findall(svg)) == led, asked.caption
            found += 1
    assert found > 1


@pytest.mark.parametrize("name, hand", [each for each in ALL if each[0] in ("posy", "quayside", "saltmarsh")])
def test_on_a_base_every_weaver_of_a_stroke_is_named_and_no_name_lies_upon_the_stroke_s_arrow(name, hand):
    """The words live by them: `weaver 1 from space 1`."""
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        if step.part != "base" or step.title != "The stroke":
            continue
        band = next(each for each in plan.laid.base if each.index == step.band)
        many = len(band.colours)
        named = {text for *_, text in PATCH.findall(svg) if text.startswith("weaver ")}
        assert named == ({f"weaver {k + 1}" for k in range(many)} if many > 1 else set()), (step.number, asked.caption)
        dashed = [np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", path), float)
                  for path in re.findall(r'<path d="(M[^"]*)"[^>]*stroke-dasharray', svg)]  # fmt: skip
        assert dashed
        upon = {text for line in dashed for at in line for text in covered(at, svg)}
        assert not upon & named, (step.number, asked.caption, upon)
        found += many > 1
    assert found


@pytest.mark.parametrize("name, hand", ALL)
def test_where_the_first_row_of_a_wall_ends_every_weaver_that_hangs_is_named(name, hand):
    """Also one whose tail runs far out of the drawing."""
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        band = next((each for each in plan.laid.side if each.index == step.band), None)
        if band is None or "end of row 1" not in asked.caption or not 1 < len(band.colours) <= MOST_NAMED:
            continue
        named = {text for *_, text in PATCH.findall(svg) if text.startswith("weaver ")}
        assert named == {f"weaver {k + 1}" for k in range(len(band.colours))}, (step.number, asked.caption)
        found += 1
    assert found


@pytest.mark.parametrize("name, hand", ALL)
def test_on_a_base_that_is_seen_whole_space_1_is_ringed(name, hand):
    found = 0
    for step, asked, svg, _ in drawn(name, hand)[2]:
        if asked.kind == "whole" and asked.spaces == "first" and ">underside<" in svg:
            assert 1 in rings(svg), (step.number, asked.caption)
            found += 1
    assert found or name == "tray"  # on a board nothing is woven


@pytest.mark.parametrize("name, hand", ALL)
def test_a_crossing_that_is_named_is_bare_and_has_a_dot_of_its_own(name, hand):
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, unit in drawings:
        if ">under " not in svg:
            continue
        for each in LEAD.findall(svg):
            tip = np.array(each[:2], float)
            assert not covered(tip, svg), (step.number, asked.caption)
            assert f'<circle cx="{each[0]}" cy="{each[1]}" r="{DOT_MM * unit:.2f}"' in svg, (step.number, asked.caption)
            found += 1
    assert found or plan.design.border.is_open


@pytest.mark.parametrize("name, hand", ALL)
def test_the_spaces_that_a_stroke_comes_from_passes_and_comes_out_in_are_ringed(name, hand):
    """Where a row begins or is closed as well as in its middle; without an arrow, those in which weavers hang."""
    _, order, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        if asked.spaces != "all" or asked.kind != "near" or asked.beyond - asked.first > 4:
            continue
        for m in range(asked.first, asked.beyond):
            if order.of[m] < 0 and ACTS[order.act[m]] in ("stroke", "set in") and order.space[m] >= 0:
                way = max(int(order.over[m] + order.under[m]), 0)
                shown = range(0 if asked.arrow else way, way + 1)
                named = {(int(order.space[m]) + k) % int(order.spaces[m]) + 1 for k in shown}
                assert named <= set(rings(svg)), (step.number, asked.caption)
                found += 1
    assert found > 4


@pytest.mark.parametrize("name, hand", ALL)
def test_round_a_standing_basket_the_first_and_every_fifth_end_are_numbered_in_one_row(name, hand):
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        if asked.kind != "whole" or ">outside<" not in svg:
            continue
        inner = re.sub(r"<circle[^>]*/><text[^>]*>\d+</text>", "", svg)
        numbers = [(float(x), int(text)) for x, _, _, _, text in PATCH.findall(inner) if text.isdigit()]
        assert 1 in {n for _, n in numbers}, (step.number, asked.caption)
        assert all(n == 1 or n % 5 == 0 for _, n in numbers)
        ends = plan.design.top_ends
        across = [(n + ends // 2) % ends for _, n in sorted(numbers)]  # end 1 stands in front
        across = across if hand == "right" else across[::-1]
        assert across == sorted(across), (step.number, asked.caption, numbers)
        found += 1
    assert found


@pytest.mark.parametrize("name", sorted({name for name, _ in ALL}))
def test_every_mark_stands_at_the_mirrored_place_for_the_other_hand(name):
    both = [drawn(name, hand)[2] for hand in ("right", "left")]
    for (step, asked, right, _), (_, _, left, _) in zip(*both, strict=True):
        marks = []
        for svg, way in ((right, 1), (left, -1)):
            x, _, wide, _ = map(float, re.search(r'viewBox="([^"]*)"', svg)[1].split())
            middle = x + wide / 2
            found = [(text, way * (float(a) + float(w) / 2 - middle), float(b))
                     for a, b, w, _, text in PATCH.findall(svg)]  # fmt: skip
            found += [(f"ring {n}", way * (a - middle), b) for n, (a, b, _) in rings(svg).items()]
            marks.append(sorted((text, round(a), round(b)) for text, a, b in found))
        for one, other in zip(*marks, strict=True):
            assert one[0] == other[0] and abs(one[1] - other[1]) < 2 and abs(one[2] - other[2]) < 2, (
                step.number, asked.caption, one, other)  # fmt: skip


@pytest.mark.parametrize("above", [True, False])
def test_a_board_hides_what_lies_on_its_far_side_and_what_lies_on_the_near_one_lies_before_it(above):
    """A reed above it and one below: from above the lower one is drawn before the board, else the upper one."""
    plan, _, _ = drawn("tray", "right")
    board = plank(plan.laid)
    eye = np.array([0.0, -900.0, 400.0 if above else -400.0])
    camera = looking(eye, np.zeros(3), (0.0, 0.0, 1.0))
    made = {}
    for name, z in (("upper", 20.0), ("lower", -20.0)):
        points = np.array([[x, 0.0, z] for x in np.linspace(-60.0, 60.0, 30)])
        tube = replace(figured(plan).making.basket[0], points=points, when=None, thick_mm=6.0)
        made[name] = svg_of([Stretch(tube, OLD)], camera, (-100.0, -100.0, 200.0, 200.0), board)
    far, near = ("lower", "upper") if above else ("upper", "lower")
    assert made[far].index("stroke") < made[far].index("BOARD") and "stroke" not in made[far].partition("BOARD")[2]
    assert "stroke-width" not in made[near].partition("BOARD")[0] and "stroke-width" in made[near].partition("BOARD")[2]


def svg_of(stretches, camera, box, board):
    return pen.drawn(stretches, camera, box, pen.Inks(True, {}), board=(board, "BOARD")).partition("stroke-linecap")[2]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_tails_that_hang_on_the_inside_are_not_seen_from_outside_in_the_border(hand):
    """They looked like more ends, or heads of arrows, above the last row."""
    plan, _, drawings = drawn("tray", hand)
    figures = Figures(plan)
    asked = next(asked for step, asked, _, _ in drawings if step.part == "border" and asked.kind == "near")
    lying = figures.making.at(asked.first, asked.beyond)
    assert [each for each in lying if each.tube.bit in TAILS]  # they are there, until they are trimmed
    seen = []
    original = closeup.drawn
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(closeup, "drawn", lambda stretches, *rest: seen.extend(stretches) or original(stretches, *rest))
        scene = closeup.Scene(asked.first, asked.beyond, spaces="none", mm=58.0)
        closeup.scene_svg(figures.making, scene, figures.inks)
    assert seen and not [each for each in seen if each.tube.bit in TAILS]
