"""Numbers on the drawings of the steps: every spoke has its own, and none covers another."""

import re
from functools import cache

import numpy as np
import pytest
from places import EXAMPLES
from samples import BOARD
from worked import figured, planned_as, taught

from slype.borders.meetings import lies_on, threads
from slype.design.file import reader
from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, _framed, shot_of
from slype.figures.flat.bends import crimped_svg, turned_svg
from slype.figures.labels import Labels
from slype.figures.pen import DARK, SECOND
from slype.figures.reeds.stretch import MOVES
from slype.figures.room import comes_near, covers
from slype.order.kinds import ACTS
from slype.paper.handout import LARGER, wide_mm
from slype.plans.planning import plan
from slype.space.tubes import on_surface

RINGED = re.compile(r'<circle cx="([\d.-]+)" cy="([\d.-]+)" r="[^"]*"[^>]*/><text[^>]*>(\d+)</text>')
NUMBER = re.compile(r">(\d+)(?:–(\d+))?</text>")


@cache
def drawn(name):
    made = planned_as(name)
    return made, taught(made), figured(made)


@pytest.mark.parametrize("name", ["posy", "quayside", "saltmarsh", "estuary"])
def test_every_end_of_a_base_is_numbered_where_space_1_is_found(name):
    made, steps, figures = drawn(name)
    step = next(step for step in steps if step.title == "Find space 1")
    ends = made.design.spokes.ends_at_base
    svg = figures.svg(step, step.drawings[0], wide_mm(step, not made.design.form.is_round)[0])  # as it is printed
    found = {end for first, last in NUMBER.findall(svg) for end in range(int(first), int(last or first) + 1)}
    assert found == set(range(1, ends + 1))
    assert "underside" in svg


def test_the_cross_is_drawn_from_above_as_it_is_laid_and_from_below_once_turned():
    _, steps, figures = drawn("posy")
    lay, find = (next(step for step in steps if step.title.startswith(title)) for title in ("Lay the", "Find space"))
    assert all("from above" in figures.svg(lay, each) for each in lay.drawings)
    assert all("underside" in figures.svg(find, each) for each in find.drawings)


def test_a_label_gives_way_to_one_that_stands_there():
    labels = Labels((0.0, 0.0, 60.0, 40.0), 1.0)
    assert labels.number([(20.0, 20.0)], "7")
    assert not labels.number([(21.0, 20.0)], "8")
    assert labels.number([(21.0, 20.0), (30.0, 20.0)], "8")
    assert not labels.number([(59.9, 20.0)], "9")  # it would leave the drawing


def test_a_name_lies_on_a_line_it_covers_and_its_way_comes_near_one_it_crosses():
    line = np.array([np.linspace(0.0, 10.0, 41), np.full(41, 5.0)])
    assert covers(4.0, 5.9, 3.0, 2.0, line) and not covers(4.0, 6.1, 3.0, 2.0, line)
    assert not covers(11.6, 5.0, 3.0, 2.0, line) and not covers(4.0, 5.0, 3.0, 2.0, line[:, :0])
    assert comes_near(2.0, 0.0, 6.0, 10.0, line, 0.7) and not comes_near(2.0, 0.0, 6.0, 4.2, line, 0.7)
    assert comes_near(2.0, 0.0, 6.0, 4.4, line, 0.7) and not comes_near(12.0, 0.0, 12.0, 10.0, line, 0.7)


def test_no_line_to_a_name_goes_under_another_label():
    labels = Labels((0.0, 0.0, 60.0, 40.0), 1.0)
    beside, beyond, tip = (20.0, 30.0), (35.0, 20.0), (10.0, 20.0)
    assert labels.clear([beyond, beside], tip) == [beyond, beside]
    assert labels.number([(20.0, 20.0)], "7")
    assert labels.clear([beyond, beside], tip) == [beside]


def test_a_label_keeps_off_what_is_kept_bare_but_that_of_what_moves_stands_upon_it():
    labels = Labels((0.0, 0.0, 60.0, 40.0), 1.0)
    labels.keep_way(np.array([[10.0, 30.0], [20.0, 20.0]]), 1.0)
    labels.keep_spot((30.0, 20.0), 1.0)
    size = (2.0, 2.0)
    assert not labels.free((20.0, 20.0), *size) and labels.free((20.0, 20.0), *size, upon=True)
    assert not labels.free((30.0, 21.5), *size, upon=True)
    assert labels.free((20.0, 22.1), *size)


def test_old_and_new_are_told_apart_at_a_join():
    _, steps, figures = drawn("posy")
    step = next(step for step in steps if step.title == "Join a new length")
    svg = figures.svg(step, step.drawings[0])
    assert ">old<" in svg and ">new<" in svg


@pytest.mark.parametrize("name", ["estuary", "quayside"])
def test_every_space_of_a_base_is_ringed_between_the_two_ends_beside_it(name):
    """As they are drawn there, in groups or singly: no ring stands where none of its spokes is."""
    made, steps, figures = drawn(name)
    making = figures.making
    for step in (each for each in steps if each.title.startswith(("Take the s", "Open the s"))):
        asked = step.drawings[0]
        band = next(each for each in made.laid.bands if each.index == step.band)
        svg = figures.svg(step, asked, 84.0)
        rings = {int(n): (float(x), float(y)) for x, y, n in RINGED.findall(svg)}
        assert set(rings) == set(range(1, band.spaces + 1))
        lines = {}
        camera = _framed(making, Scene(asked.first, asked.beyond, whole=True, band=step.band),
                         making.at(asked.first, asked.beyond, opened=step.band), asked.first, True)[0]  # fmt: skip
        for each in making.at(asked.first, asked.beyond, opened=step.band):
            if each.tube.role in ("spoke", "stick"):
                points = each.tube.points  # the inner end of a half stick lies on another arm
                x, y, _ = look_at_points(camera, points[np.hypot(*points[:, :2].T).argmin() :])
                lines.setdefault(each.tube.end, []).append(np.stack([x, y], axis=1))
        edges = [0, *np.cumsum(band.sizes)[:-1].tolist()]
        many = sum(band.sizes)
        for number, at in rings.items():
            beside = {(edges[number - 1] - 1) % many, edges[number - 1]}
            away = {end: min(np.hypot(*(points - at).T).min() for points in found) for end, found in lines.items()}
            assert beside <= set(sorted(away, key=away.get)[:2]), (name, step.title, number)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_nip_has_a_jaw_on_each_face_and_the_rod_bends_up_or_the_way_of_the_work(hand):
    made = planned_as("estuary", hand)
    turned, box = turned_svg(made.laid, "spoke 1")
    jaws = [float(y) for y in re.findall(r'<rect x="[^"]*" y="([^"]*)" width="3.00" height="6.60"', turned)]
    assert len(jaws) == 2 and min(jaws) + 6.6 < 17.0 < max(jaws)
    assert box[0] == -box[2] / 2  # so that the hands mirror each other
    crimped, _ = crimped_svg(made.laid, ("one jaw", "the other"))
    numbers = {int(n): float(x) for x, n in re.findall(r'<text x="(-?[\d.]+)" y="[^"]*"[^>]*>(\d)<', crimped)}
    way = 1 if hand == "right" else -1
    assert numbers[1] * way < numbers[2] * way < numbers[3] * way


TWO_ROWS = '[border]\nrows = ["behind 1 out", "over 2 down"]\n\n'
LED = re.compile(r'<rect x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"[^>]*fill="#1d1712"[^>]*/>'
                 r'<text[^>]*>(\d+)</text>')  # fmt: skip


@pytest.mark.parametrize("name", ["quayside", "estuary"])
def test_what_is_led_in_a_later_row_of_the_border_is_told_from_the_feet_and_its_tip_is_free(name):
    made, steps, figures = drawn(name)
    step = next(step for step in steps if step.title.startswith("Row 2: the first"))
    svg = figures.svg(step, step.drawings[0], 47.5)
    ((x, _, wide, _, number),) = [tuple(map(float, each)) for each in LED.findall(svg)]
    assert number == 1
    others = {int(n) for n in re.findall(r'fill="#ffffff" fill-opacity="0.9"/><text[^>]*>(\d+)<', svg)}
    passed = {int(n) for count in step.counts if count.what == "leads past" and count.of == 1 for n in count.numbers}
    assert passed <= others  # none of those it goes past has lost its number
    dark = [float(each) for path in re.findall(r'<path d="M([^"]*)" stroke="#35302b"', svg)
            for each in re.findall(r"(-?[\d.]+) -?[\d.]+", path)]  # fmt: skip
    share = (x + wide / 2 - min(dark)) / (max(dark) - min(dark))
    share = share if made.design.hand == "right" else 1 - share
    assert 0.1 < share < 0.7  # neither where it begins nor where it goes in


@pytest.mark.parametrize("mm", [47.5, 86.0 / LARGER])
@pytest.mark.parametrize("name", ["quayside", "estuary", "posy"])
def test_what_an_end_goes_under_at_the_close_is_named_on_the_drawing(name, mm):
    """In large type, too, which takes more of the drawing."""
    made, steps, figures = drawn(name)
    border, ends = made.design.border, made.design.top_ends
    closing = [step for step in steps if step.part == "border" and step.title.endswith("lose it")]
    assert closing
    for step in closing:
        row = int(figures.making.order.row[step.beyond - 1])
        assert bool(_lifted(step.does)) != ("Nothing is lifted in this row" in " ".join(step.does))
        for each in step.drawings:
            end = int(figures.making.order.end[each.beyond - 1])
            svg, under = figures.svg(step, each, mm), threads(border, ends).get((end, row), ())
            upon = () if border.is_open else lies_on(border, ends).get((end, row), ())
            told = re.findall(r">(under|arch|over) (\d+)<", svg)
            word = "arch" if border.is_open else "under"
            wanted = [(word, str(one + 1)) for one in under] + [("over", str(one + 1)) for one in upon]
            assert wanted and sorted(told) == sorted(wanted), step.title
        last = int(figures.making.order.end[step.beyond - 1])
        assert last == ends - 1
        if under := threads(border, ends).get((last, row)):
            assert _lifted(step.does)[-1] == [one + 1 for one in under]
        if upon and not border.is_open:
            said = next(line for line in reversed(step.does) if "passes over" in line)
            assert list(map(int, re.findall(r"(?:spoke|stake) (\d+) at space", said))) == [one + 1 for one in upon]


def _lifted(does):
    """What is lifted, move by move."""
    found = [re.search(r"[Ll]ift (.*?) a little", line) for line in does]
    return [list(map(int, re.findall(r"\d+", each[1]))) for each in found if each]


def test_over_groups_the_base_is_drawn_as_near_as_the_work_reaches():
    made, steps, figures = drawn("quayside")
    step = next(step for step in steps if step.title == "Set in 2 weavers")
    wide = float(re.search(r'viewBox="\S+ \S+ (\S+) ', figures.svg(step, step.drawings[0], 52.0))[1])
    assert wide < 0.7 * made.design.form.base_mm


def test_tails_are_drawn_as_long_as_they_are_left_until_they_are_trimmed():
    made, steps, figures = drawn("estuary")
    making = figures.making
    step = next(step for step in steps if step.title == "End the weavers level" and step.band == 4)
    trimmed = next(part for part in making.order.parts if part.key == "trim").beyond

    def long(beyond):
        out = {}
        for each in making.at(step.first, beyond):
            if each.tube.role == "weaver" and each.tube.band == 4:
                name = each.tube.of_reed or each.tube.name
                long = np.linalg.norm(np.diff(each.tube.points, axis=0), axis=1)
                out[name] = out.get(name, 0.0) + float(long.sum())
        return out

    left, cut = long(step.beyond), long(trimmed)
    band = made.laid.bands[4]
    for name, mm in left.items():
        rests = float(band.spacing.mean())  # of each what lies behind a spoke for good: half a space or a whole one
        assert 2 * (band.tail_mm - rests) < mm - cut[name] < 2 * band.tail_mm, name


# Borders: what goes under what, and where numbers stand --------------------------------------------------------------


def on_paper(figures, step, asked):
    """(stretches, camera) of a drawing, and one mm on paper in it."""
    scene = Scene(asked.first, asked.beyond, inside=asked.kind == "inside", spaces="none", mm=47.5)
    shot = shot_of(figures.making, scene)
    return shot.stretches, shot.camera, shot.box[2] / 47.5


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_tip_that_is_tucked_down_under_an_end_is_seen_on_both_sides_of_it_and_lies_behind_it(hand):
    made = planned_as("estuary", hand)
    figures, steps = figured(made), taught(made)
    step = next(step for step in steps if step.title.startswith("Row 3: the first"))
    under = int(re.search(r"tuck it down at space \d+, under \w+ (\d+)", " ".join(map(str, step.does)))[1]) - 1
    stretches, camera, _ = on_paper(figures, step, step.drawings[0])
    led = np.vstack([each.tube.points for each in stretches
                     if each.tube.role == "border" and each.tube.end == 0 and each.state == MOVES])  # fmt: skip
    over = np.vstack([each.tube.points for each in stretches if each.tube.role == "border" and each.tube.end == under])
    (x, y, away), (a, b, near) = look_at_points(camera, led), look_at_points(camera, over)
    gap = np.hypot(x[:, None] - a, y[:, None] - b)
    i, j = np.unravel_index(gap.argmin(), gap.shape)
    thick = made.design.border_end_mm
    assert gap[i, j] < thick / 2  # they cross on the picture
    assert away[i] > near[j]  # and what is led lies behind
    seen = gap.min(axis=1) > thick  # on both sides of the crossing it is clear of that end
    assert seen[:i].any() and seen[i:].any()
    assert y[-1] > y[i]  # its tip points down


@pytest.mark.parametrize("last", ["over 2 down", "over 3 out"])
def test_what_is_left_over_of_a_border_hangs_at_its_own_end_not_at_that_of_the_foot_with_its_number(last):
    text = BOARD.replace('kind = "three-rod plain"', f'rows = ["behind 1 out", "over 3 in", "{last}"]')
    made = plan(reader.parse(text))
    figures, steps = figured(made), taught(made)
    step = next(step for step in steps if step.title.startswith("Row 3: the first"))
    stretches, _, _ = on_paper(figures, step, step.drawings[1])
    moved = [each.tube for each in stretches if each.tube.role == "border" and each.state == MOVES]
    assert {each.end for each in moved} == {0, 1, 2} and any(each.bit for each in moved)
    below = [each.name for each in moved if each.points[:, 2].min() < 0.0]
    assert not below, "a foot is done long before"


@pytest.mark.parametrize("name", ["estuary", "quayside", "posy"])
def test_of_the_first_moves_of_a_row_the_last_alone_is_dark(name):
    _, steps, figures = drawn(name)
    rows = [step for step in steps if step.part == "border" and "he first" in step.title]
    assert rows
    for step in rows:
        svg = figures.svg(step, step.drawings[1], 47.5)
        pale = re.findall(rf'stroke="{SECOND}"', svg)
        assert bool(pale) != figures.plan.design.border.is_open, step.title
        assert re.findall(rf'stroke="{DARK}"', svg)


PATCH = re.compile(r'<rect x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"[^>]*fill="#ffffff"[^>]*/>'
                   r'<text[^>]*>(\d+)</text>')  # fmt: skip


def off_line(laid, camera, u, heights, at):
    """How far a place on the picture lies from the line up the wall at one place round it."""
    line = np.stack(on_surface(laid, "side", np.full(len(heights), u), heights, np.zeros(len(heights))), axis=1)
    x, y, _ = look_at_points(camera, line)
    return float(np.hypot(x - at[0], y - at[1]).min())


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "quayside", "posy"])
def test_no_number_stands_in_the_space_before_its_own_end_where_the_border_is_worked(name, hand):
    """There another end comes out, or a tip goes down: it would be counted to the wrong space."""
    made = planned_as(name, hand)
    figures, found = figured(made), 0
    for step in taught(made):
        for asked in step.drawings:
            if step.of or ACTS[figures.making.order.act[min(asked.beyond, len(figures.making.order)) - 1]] != "border":
                continue
            if asked.kind not in ("near", "inside"):
                continue
            _, camera, unit = on_paper(figures, step, asked)
            heights = np.maximum(made.laid.top_s + np.linspace(-16.0, 12.0, 80) * unit, 0.0)
            for x, y, wide, high, text in PATCH.findall(figures.svg(step, asked, 47.5)):
                at = float(x) + float(wide) / 2, float(y) + float(high) / 2
                own, before = (off_line(made.laid, camera, int(text) + u, heights, at) for u in (-0.5, -0.8))
                assert own < before, (step.title, asked.caption, text)
                found += 1
    assert found > 20


def test_a_tip_that_is_tucked_down_outside_lies_behind_the_end_that_comes_out_there():
    text = (EXAMPLES / "estuary.toml").read_text(encoding="utf-8")
    made = plan(reader.parse(re.sub(r"\[border\].*?\n(?=\[|\Z)", TWO_ROWS, text, flags=re.S)))
    figures, steps = figured(made), taught(made)
    step = next(step for step in steps if step.title.startswith("Row 2: the first"))
    under = int(re.search(r"tuck it down at space \d+, under \w+ (\d+)", " ".join(map(str, step.does)))[1]) - 1
    stretches, camera, _ = on_paper(figures, step, step.drawings[0])
    ends = [each for each in stretches if each.tube.role == "border"]
    led = np.vstack([each.tube.points for each in ends if each.tube.end == 0 and each.state == MOVES])
    over = np.vstack([each.tube.points for each in ends if each.tube.end == under])
    led = led[len(led) // 2 :]  # it lies on that end before, where it passes
    (x, y, away), (a, b, near) = look_at_points(camera, led), look_at_points(camera, over)
    gap = np.hypot(x[:, None] - a, y[:, None] - b)
    i, j = np.unravel_index(gap.argmin(), gap.shape)
    assert gap[i, j] < made.design.border_end_mm
    assert away[i] > near[j]
