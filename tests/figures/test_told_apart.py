"""What stands close together on a drawing is told apart: names and arrows, lines to words, tails, colours."""

import re
from itertools import combinations, pairwise

import numpy as np
import pytest
from drawn_steps import ALL, HEAD, LEAD, PATCH, covered, drawn
from worked import figured

from slype.colour import hex_of
from slype.draw.camera import look_at_points
from slype.figures import closeup
from slype.figures.arrows import HEAD_BARE
from slype.figures.figure import Figures
from slype.figures.labels import Labels
from slype.figures.pen import DARK, SECOND, THIRD, paler
from slype.figures.reeds.fanned import FEW, ended_in_turn, fanned
from slype.figures.reeds.stretch import MOVES
from slype.order.kinds import ACTS
from slype.paper.handout import wide_mm
from slype.surface.curve import TAIL_AT_END

DASHED = re.compile(r'<path d="(M[^"]*)"[^>]*stroke-dasharray')


@pytest.mark.parametrize("name, hand", ALL)
def test_no_name_of_a_weaver_lies_upon_the_arrow_of_a_stroke_up_a_wall(name, hand):
    """The frame was so full there that the name of what moves found no other place."""
    plan, order, drawings = drawn(name, hand)
    walls, found = {band.index for band in plan.laid.side}, 0
    for step, asked, svg, _ in drawings:
        woven = step.band in walls and ACTS[order.act[asked.first]] == "stroke"
        if not woven or asked.kind != "near" or not asked.arrow:
            continue
        named = {text for *_, text in PATCH.findall(svg) if text.startswith("weaver ")}
        lines = [np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", path), float) for path in DASHED.findall(svg)]
        upon = {text for line in lines for a, b in pairwise(line) for at in np.linspace(a, b, 5)
                for text in covered(at, svg)}  # fmt: skip
        assert lines and not upon & named, (step.number, asked.caption, upon)
        found += len(named) > 0
    assert found


@pytest.mark.parametrize("name, hand", ALL)
def test_no_line_to_a_word_crosses_the_head_of_an_arrow_or_another_line(name, hand):
    found = 0
    for step, asked, svg, unit in drawn(name, hand)[2]:
        heads = [np.array(each, float).reshape(3, 2).mean(axis=0) for each in HEAD.findall(svg)]
        leads = [np.linspace(*each, 60) for each in np.array(LEAD.findall(svg), float).reshape(-1, 2, 2)]
        for line in leads:
            for head in heads:
                assert np.hypot(*(line - head).T).min() > 1.0 * unit, (step.number, asked.caption)
                found += 1
        if asked.caption.startswith("The last move"):
            for a, b in combinations(leads, 2):
                assert np.hypot(*(a[:, None] - b).T).min() > 0.3 * unit, (step.number, asked.caption)
    assert found > 2


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_word_goes_where_its_line_passes_no_head_no_other_line_and_no_arrow_aslant(way):
    """A line went through the head of an arrow: which of the two was meant nobody could tell."""
    def labels():
        return Labels((-50.0, -50.0, 100.0, 100.0), 1.0, way)

    tip, above, beside = (0.0, 0.0), (0.0, -12.0), (12.0 * way, -12.0)
    assert labels().clear([above, beside], tip) == [above, beside]
    headed = labels()
    headed.keep_spot((0.0, -6.0), HEAD_BARE)
    assert headed.clear([above, beside], tip) == [beside]
    own = labels()
    own.keep_spot(tip, HEAD_BARE)  # the crossing that it names
    assert own.clear([above, beside], tip) == [above, beside]
    led = labels()
    led.taken.append((6.0 * way, -20.0, 4.0, 3.0))
    led.lead((9.0 * way, 0.0))
    assert led.clear([above, beside], tip) == [above]
    along = labels()
    along.arrows.append(np.array([[-20.0, 20.0], [-5.0, -5.0]]))
    assert along.clear([beside, above], tip) == [above, beside]


@pytest.mark.parametrize("name, hand", ALL)
def test_where_a_tail_ends_no_other_one_goes_on_and_tails_ended_in_turn_differ(name, hand):
    """Three of them lay in one line, two in the same black."""
    plan, order, drawings = drawn(name, hand)
    making, found = figured(plan).making, 0
    for step, asked, svg, unit in drawings:
        turn = ended_in_turn(order, asked.first, asked.beyond)
        if asked.kind != "inside" or not 2 <= len(turn) <= FEW or "Ended" not in asked.caption:
            continue
        mm = dict(zip(step.drawings, wide_mm(step, not plan.design.form.is_round), strict=True))[asked]
        shot = closeup.shot_of(making, closeup.Scene(asked.first, asked.beyond, inside=True, arrow=asked.arrow, mm=mm,
                                                     spaces=asked.spaces, band=step.band))  # fmt: skip
        tails = {each.tube.weaver: each.tube for each in fanned(shot.stretches, turn, unit, shot.flat)
                 if each.state == MOVES and each.tube.bit == TAIL_AT_END}  # fmt: skip
        lines = {k: np.stack(look_at_points(shot.camera, tube.points)[:2], axis=1) for k, tube in tails.items()}
        lines = {k: np.concatenate([np.linspace(a, b, 20) for a, b in pairwise(line)]) for k, line in lines.items()}
        # Of those that are drawn alike, none begins where another one ends.
        for one, other in ((turn[i][2], turn[j][2]) for i, j in combinations(range(len(turn)), 2) if (j - i) % 3 == 0):
            for tip, line in ((lines[one][-1], lines[other]), (lines[other][-1], lines[one])):
                gap = np.hypot(*(line - tip).T).min()
                assert gap > 0.8 * min(tails[one].thick_mm, tails[other].thick_mm), (step.number, one, other)
                found += 1
        shades = [ink for ink in (DARK, SECOND, THIRD) if f'stroke="{ink}"' in svg]
        assert len(shades) == min(3, len(turn)), (step.number, asked.caption)
        found += 1
    assert found


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_of_the_dotted_tails_of_two_weavers_one_has_hollow_dots(name):
    """On one ring they ran into each other, and only their names told which was which."""
    found = 0
    for step, asked, svg, _ in drawn(name, "right")[2]:
        if "Dotted: their tails" in asked.caption:
            dots = re.findall(r'<path d="([^"]*)" stroke="(#\w+)"[^>]*stroke-dasharray="0\.0\d* ', svg)
            lines = {path for path, _ in dots}
            assert len(lines) == 2 and sum(ink == "#ffffff" for _, ink in dots) == 1, (step.number, asked.caption)
            found += 1
    assert found


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "posy", "quayside"])
def test_the_face_that_is_shown_is_not_written_upon_a_dotted_tail(name, hand):
    """How far that reaches could not be counted there."""
    found = 0
    for step, asked, svg, _ in drawn(name, hand)[2]:
        for path in re.findall(r'<path d="([^"]*)" stroke="#\w+"[^>]*stroke-dasharray="0\.0\d* ', svg):
            line = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", path), float)
            upon = {text for a, b in pairwise(line) for at in np.linspace(a, b, 5) for text in covered(at, svg)}
            assert not upon & {"underside", "top"}, (step.number, asked.caption)
            found += 1
    assert found


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "posy"])
def test_where_a_row_of_several_colours_ends_each_weaver_hangs_in_its_own(name, hand):
    """All were black there, where colour is the question."""
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        band = next((each for each in plan.laid.bands if each.index == step.band), None)
        if band is None or "end of row 1" not in asked.caption or len(set(band.colours)) < 2:
            continue
        inks = Figures(plan).inks
        own = {inks.palette.get(each) or hex_of(each) for reeds in band.colours for each in reeds}
        seen = set(re.findall(r'stroke="(#\w{6})"', svg))
        assert f'stroke="{DARK}"' not in svg, (step.number, asked.caption)
        shades = {each: {paler(each, share) for share in np.linspace(0.0, 0.6, 601)} for each in own}
        assert all(any(near(ink, shade) for ink in seen for shade in shades[each]) for each in own), (step.number, seen)
        found += 1
    assert found


def near(one, other):
    return max(abs(int(one[k : k + 2], 16) - int(other[k : k + 2], 16)) for k in (1, 3, 5)) < 2


def test_where_reeds_of_several_colours_are_joined_the_new_ones_are_dark():
    """As the words below that drawing say: in their own colours old and new ones looked alike."""
    plan, _, drawings = drawn("quayside", "right")
    joined = [(step, svg) for step, asked, svg, _ in drawings if "new one dark" in asked.caption]
    assert any(plan.design.bands[step.band].strands > 1 for step, _ in joined)
    assert not [step.number for step, svg in joined if f'stroke="{DARK}"' not in svg]
