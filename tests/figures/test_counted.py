"""Where ends are counted from: the thread round the first, the arrow the way they are counted, the half one dark."""

import functools
import re

import numpy as np
import pytest
from worked import figured, planned_as, taught

from slype.draw.camera import look_at_points
from slype.figures import closeup, counted
from slype.figures.labels import Labels
from slype.figures.reeds.stretch import MOVES
from slype.paper.handout import wide_mm

ALL = [(name, hand) for name in ("posy", "quayside", "estuary", "saltmarsh") for hand in ("right", "left")]
HALF = {"posy": 5, "quayside": 6}  # of 4 and 5, and of 5 and 6 ends in an arm the last of the first


@functools.cache
def turned_over(name, hand):
    """(figures, the step, its drawing's SVG, the scene, its shot) of the base turned over."""
    plan = planned_as(name, hand)
    figures = figured(plan)
    step = next(step for step in taught(plan) if step.title == "Find space 1")
    wide = wide_mm(step, not plan.design.form.is_round)[0]
    asked = step.drawings[0]
    scene = closeup.Scene(asked.first, asked.beyond, whole=True, arrow=False, spaces="first", mm=wide, counted=True)
    return figures, step, figures.svg(step, asked, wide), scene, closeup.shot_of(figures.making, scene)


def reed_of(shot, end):
    mine = [each for each in shot.stretches if each.tube.end == end and each.tube.role in ("spoke", "stick")]
    each = max(mine, key=lambda each: len(each.tube.points))
    return each.state, np.stack(look_at_points(shot.camera, each.tube.points)[:2])


@pytest.mark.parametrize("name, hand", ALL)
def test_the_thread_lies_across_the_first_end_and_hangs_on_the_side_of_space_1(name, hand):
    figures, _, svg, scene, shot = turned_over(name, hand)
    unit = shot.box[2] / scene.mm
    labels = Labels(shot.box, unit, -1.0 if hand == "left" else 1.0)
    thread = counted.thread_round(shot.stretches, shot.camera, labels)
    assert thread in svg and ">thread<" in svg
    first, last = (reed_of(shot, end)[1] for end in (0, figures.plan.design.spokes.ends_at_base - 1))
    points = np.array(re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", thread), float)
    gap = np.hypot(points[:, 0, None] - first[0], points[:, 1, None] - first[1]).min(axis=1)
    assert gap.max() < 5 * unit
    hangs = np.array(re.findall(r"Q\S+ \S+ (-?[\d.]+) (-?[\d.]+)", thread), float).mean(axis=0)
    middle = points.mean(axis=0)
    toward = last[:, -1] - first[:, -1]
    assert (hangs - middle) @ toward > 0


@pytest.mark.parametrize("name, hand", ALL)
def test_the_arrow_goes_from_space_1_the_way_ends_are_counted(name, hand):
    figures, _, svg, _, shot = turned_over(name, hand)
    (line,) = counted.arrow_round(figures.making, shot.stretches, shot.camera)
    assert f"{line[0, -1]:.2f} {line[1, -1]:.2f}L" in svg
    ends = figures.plan.design.spokes.ends_at_base
    tips = np.array([reed_of(shot, end)[1][:, -1] for end in range(ends)])
    turns = [np.arctan2(*(tips[end] - tips.mean(axis=0))[::-1]) for end in (0, 1, 2)]
    heads = np.arctan2(*(line - tips.mean(axis=0)[:, None])[::-1])
    way = np.sign(np.diff(np.unwrap(turns)).mean())
    assert way * np.ptp(np.unwrap(heads)) * np.sign(np.unwrap(heads)[-1] - heads[0]) > 0.3
    assert way * np.sin(turns[-1] - heads[0]) > 0  # it sets out before the first ends


@pytest.mark.parametrize("name, hand", ALL)
def test_the_half_stick_is_dark_and_has_its_number(name, hand):
    _, step, svg, _, shot = turned_over(name, hand)
    dark = {each.tube.end + 1 for each in shot.stretches if each.state == MOVES}
    assert dark == ({HALF[name]} if name in HALF else set())
    assert (f">{HALF.get(name)}, half<" in svg) == (name in HALF)
    if name in HALF:
        assert any(f" {HALF[name]}." in each and "half one" in each for each in step.does)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_space_1_of_an_oval_base_lies_between_two_ends_and_not_on_its_long_sticks(hand):
    figures, _, svg, _, shot = turned_over("saltmarsh", hand)
    at = re.search(r'<circle cx="(\S+)" cy="(\S+)" r="[^"]*"[^>]*/><text[^>]*>1<', svg)
    x, y = float(at[1]), float(at[2])
    (first, last) = (reed_of(shot, end)[1] for end in (0, figures.plan.design.spokes.ends_at_base - 1))
    assert min(first[0, -1], last[0, -1]) < x < max(first[0, -1], last[0, -1])
    edge = figures.making.laid.cross_mm
    assert abs(y) > edge


@pytest.mark.parametrize("name, hand", [("posy", "right"), ("posy", "left"), ("quayside", "left")])
def test_where_a_half_stick_is_laid_the_drawing_is_the_largest_and_says_which_end_lies_where(name, hand):
    plan = planned_as(name, hand)
    step = next(step for step in taught(plan) if step.title.startswith("Lay the"))
    wide = wide_mm(step, False)
    assert len(wide) == 3 and wide[-1] > 1.4 * max(wide[:-1])
    svg = figured(plan).svg(step, step.drawings[-1], wide[-1])
    at = {text: np.array([float(x), float(y)]) for x, y, text in
          re.findall(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>([a-z ]+)<', svg)}  # fmt: skip
    box = np.array([float(each) for each in re.search(r'viewBox="([^"]*)"', svg)[1].split()])
    middle = box[:2] + box[2:] / 2
    away = {text: np.hypot(*(place - middle)) / box[2] for text, place in at.items()}
    assert away["past the middle"] < 0.25 < 0.3 < away["level"]
    for each in step.drawings[:-1]:
        assert ">level<" not in figured(plan).svg(step, each, wide[0])
