"""What was wrong on drawings that were looked at, page by page, of four baskets."""

import functools
import re
from dataclasses import replace
from importlib import resources

import numpy as np
import pytest
from places import EXAMPLE_NAMES, EXAMPLES
from provoking import LID
from samples import BOW, MANY_ON_A_BASE, OVAL_BOARD, grouped
from strategies import basket_text
from worked import figured, planned_as, taught

from slype.design.file import reader
from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, shot_of
from slype.figures.reeds.stretch import MOVES, WAITS
from slype.lay.boards import template
from slype.order.kinds import ACTS
from slype.plans import planning
from slype.space.cuts import SLANT
from slype.weave.table import WEAVES


@functools.cache
def planned(name, hand="right"):
    if name in EXAMPLE_NAMES:
        return planned_as(name, hand)
    text = "version = 1\n" + OVAL_BOARD
    if name in WEAVES:  # of a low wall, whose strokes lie behind several
        text = basket_text(ends=30 if name == "six-rod wale" else 25, weave=name, band='length = "5 ft"')
    elif name == "bow":
        text = (EXAMPLES / "posy.toml").read_text(encoding="utf-8").replace("[border]", BOW + "\n[border]")
    return planning.plan(replace(reader.parse(text), hand=hand))


def drawn(name, title, hand="right"):
    """(step, the SVG of its last drawing) of every step that begins so."""
    plan = planned(name, hand)
    figures = figured(plan)
    return [(step, figures.svg(step, step.drawings[-1], 47.5)) for step in taught(plan) if step.title.startswith(title)]


NUMBER = re.compile(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>(\d+)<')


@pytest.mark.parametrize("name, hand", [("saltmarsh", "right"), ("saltmarsh", "left"), ("posy", "left")])
def test_on_the_far_side_of_a_base_what_stands_out_is_numbered_and_nothing_within_the_rows(name, hand):
    ended = [(step, svg) for step, svg in drawn(name, "End the weaver", hand)
             if step.part == "base" and "group" not in svg]  # fmt: skip
    assert ended
    for _, svg in ended:
        box = [float(each) for each in re.search(r'viewBox="([^"]*)"', svg)[1].split()]
        found = [(float(y) - box[1]) / box[3] for _, y, _ in NUMBER.findall(svg)]
        assert len(found) >= 4
        assert max(found) < 0.72  # further down lie rows, and no work


def test_a_number_on_a_board_stands_nearer_to_its_own_hole_than_to_any_other():
    plan = planned("tray")
    step = next(step for step in taught(plan) if step.title.startswith("Mark and drill"))
    holes = np.array([(x, -y) for x, y in template(plan.design).places])
    found = [(float(x), float(y), int(n)) for x, y, n in NUMBER.findall(figured(plan).svg(step, step.drawings[0]))]
    assert len(found) > 8
    for x, y, number in found:
        away = np.hypot(*(holes - (x, y)).T)
        assert away.argmin() == number - 1, number


def test_the_hidden_tails_of_a_start_over_groups_are_dotted_beside_each_other():
    _, svg = drawn("posy", "Set in 2")[0]
    dots = [np.array([[float(each) for each in point.split()] for point in re.findall(r"-?[\d.]+ -?[\d.]+", path)])
            for path in re.findall(r'<path d="M([^"]*)"[^>]*stroke-dasharray="0[^"]*"', svg)]  # fmt: skip
    rings = sorted(float(np.hypot(*line.T).mean()) for line in dots)
    assert rings[-1] > 1.04 * rings[0]
    left = planned("posy").laid.base[0].tail_mm
    for line in dots:  # all of a tail, from where its weaver has come through
        assert 0.85 * left < float(np.hypot(*np.diff(line, axis=0).T).sum()) < 1.6 * left


def test_a_foot_worked_upside_down_lies_in_the_upper_half_of_its_drawing_and_what_it_passes_is_numbered_below():
    for step, svg in drawn("tray", "The foot"):
        box = [float(each) for each in re.search(r'viewBox="([^"]*)"', svg)[1].split()]
        dark = [float(y) for path in re.findall(r'<path d="M([^"]*)" stroke="#35302b"', svg)
                for _, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)]  # fmt: skip
        assert 0.2 < (np.median(dark) - box[1]) / box[3] < 0.55, step.title
        passed = re.findall(r'fill="#ffffff" fill-opacity="[\d.]+"/><text x="[^"]*" y="([^"]*)"[^>]*>\d+<', svg)
        assert len(passed) > 2 and min(map(float, passed)) > np.median(dark)  # an end that is led bears its own number


def test_a_border_is_seen_where_it_is_trimmed_though_a_handle_is_put_in_later():
    for name in ("posy", "bow"):
        _, svg = drawn(name, "Trim")[0]
        assert len(NUMBER.findall(svg)) >= 4, name


@pytest.mark.parametrize("name, hand", [("posy", "right"), ("quayside", "left"), ("estuary", "right"),
                                        ("twill randing", "left"), ("six-rod wale", "right")])  # fmt: skip
def test_both_lengths_of_a_join_are_seen_on_either_side_of_what_they_lie_behind(name, hand):
    plan = planned(name, hand)
    making = figured(plan).making
    stood = {(each.role, each.end): each.points for each in making.tubes if each.role in ("spoke", "stick")}
    seen = set()
    for step in (each for each in taught(plan) if each.title == "Join a new length"):
        drawing, base = step.drawings[0], step.part == "base"
        behind = next(count.numbers[0] for count in step.counts if count.what == "joined behind") - 1
        found = making.at(drawing.first, drawing.beyond, drawing.join)
        new = next(each for each in found if each.tube.bit == "new" and not each.tube.strand)
        old = next(each for each in found if each.tube.name == new.tube.of_reed
                   and each.state == WAITS)  # fmt: skip
        stands = stood["stick" if base and plan.design.spokes.inserted else "spoke", behind]
        turns = []
        for tip in (new.tube.points[0], old.tube.points[-1]):
            far = np.hypot(*tip[:2])
            near = np.abs(np.hypot(*stands[:, :2].T) - far) if base else np.abs(stands[:, 2] - tip[2])
            own = stands[near.argmin()]
            assert tip[2] > own[2] if base else far < np.hypot(*own[:2])  # on the far side, or inside
            turns.append(float(np.arctan2(own[0] * tip[1] - own[1] * tip[0], own[:2] @ tip[:2]) * far))
        assert turns[0] * turns[1] < 0  # one on either side
        assert all(10.0 < abs(turn) < 40.0 for turn in turns)
        seen.add(step.part)
    assert seen


CLOSE = (
    grouped("round 4", '[["0 in", "6 in"], ["2 in", "6 in"]]', "reverse pairing")
    + """
[[band]]
weave = "pairing"
reed = "round 2"
until = "top"
[border]
rows = ["behind 1 out", "over 2 down"]
"""
)


@pytest.mark.parametrize("name, hand", [("posy", "right"), ("quayside", "left"), ("close", "right"), ("close", "left")])
def test_the_spaces_in_which_a_stroke_begins_and_comes_out_are_ringed_near_to_the_work_beside_its_arrow(name, hand):
    plan = planning.plan(replace(reader.parse(CLOSE), hand=hand)) if name == "close" else planned(name, hand)
    figures, seen = figured(plan), 0
    for step in (each for each in taught(plan) if each.title == "The stroke" and each.part == "base"):
        svg = figures.svg(step, step.drawings[0], 47.5)
        rings = {int(n): float(np.hypot(float(x), float(y))) for x, y, n in re.findall(
            r'<circle cx="(-?[\d.]+)" cy="(-?[\d.]+)"[^>]*/><text[^>]*>(\d+)<', svg)}  # fmt: skip
        # Past the arrow, which the others need not be.
        least, unit = min(rings.values()), float(re.search(r'viewBox="\S+ \S+ (\S+)', svg)[1]) / 47.5
        for what in ("from", "out"):
            number = next(count.numbers[0] for count in step.counts if (count.what, count.of) == (what, 1))
            assert rings[number] < least + 6.0 * unit, (step.number, what)
            seen += 1
    assert seen


@pytest.mark.parametrize("hand", ["left", "right"])
def test_where_a_base_is_joined_its_spokes_are_numbered_though_another_weaver_hangs_out_of_the_rows(hand):
    plan = planned("estuary", hand)
    step = next(each for each in taught(plan) if each.title.startswith("Join") and each.part == "base")
    assert len(plan.laid.bands[step.band].colours) == 2
    svg = figured(plan).svg(step, step.drawings[0], 58.0)
    behind = next(each.numbers[0] for each in step.counts if each.what == "joined behind")
    found = {int(text) for _, _, text in NUMBER.findall(svg)}
    assert behind in found and len(found) >= 3


def test_where_side_spokes_are_pushed_in_sticks_are_called_sticks_and_numbers_are_spokes():
    plan = planned("quayside")
    step = next(each for each in taught(plan) if each.part == "insert")
    svg = figured(plan).svg(step, step.drawings[0], 47.5)
    plain = {text for _, _, text in NUMBER.findall(re.sub(r"<circle[^>]*/><text[^>]*>\d+</text>", "", svg))}
    assert plain == {"1", "2", "3"}  # those that have just gone in
    assert {">stick 1<", ">stick 2<"} <= set(re.findall(r">stick \d+<", svg))


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside"])
def test_the_name_of_a_dotted_tail_lies_beside_its_dots(name):
    for step, svg in drawn(name, "Set in 2"):
        if "Dotted" not in step.drawings[0].caption:
            continue
        names = re.findall(r'<rect x="(-?[\d.]+)" y="(-?[\d.]+)" width="([\d.]+)" height="([\d.]+)"[^>]*/>'
                           r"<text[^>]*>tail \d<", svg)  # fmt: skip
        dots = [[float(each) for each in point.split()]
                for path in re.findall(r'<path d="M([^"]*)"[^>]*stroke-dasharray="0[^"]*"', svg)
                for point in re.findall(r"-?[\d.]+ -?[\d.]+", path)]  # fmt: skip
        assert len(names) == 2
        for x, y, wide, high in (map(float, each) for each in names):
            assert not any(x < a < x + wide and y < b < y + high for a, b in dots), step.title


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_lid_that_is_trimmed_is_seen_from_the_side_of_its_tips_with_its_spokes_numbered(hand):
    """It was seen from the far side, half of the drawing empty and without a number."""
    text = resources.files("slype").joinpath("examples/posy.toml").read_text(encoding="utf-8")
    plan = planning.plan(replace(reader.parse(text + "\n" + LID), hand=hand))
    figures = figured(plan)
    step = next(step for step in taught(plan) if step.of == "lid" and step.title == "Trim the border")
    svg = figures.svg(step, step.drawings[0], 58.0)
    assert ">top<" in svg and ">far side<" not in svg
    numbers = [int(number) for *_, number in NUMBER.findall(svg)]
    ends = plan.lid.design.top_ends
    assert len(numbers) >= 4 and all((n % ends) + 1 in numbers or (n - 2) % ends + 1 in numbers for n in numbers)
    _, top, _, high = (float(each) for each in re.search(r'viewBox="([^"]*)"', svg)[1].split())
    drawn_at = [float(y) for y in re.findall(r'd="M\S+ (\S+?)L[^"]*" stroke="#', svg)]
    assert min(drawn_at) < top + 0.35 * high


def test_the_ends_of_a_lid_stand_out_of_it_when_its_last_row_is_woven():
    """They were drawn before that, and again for the border, and in between numbers stood beside nothing."""
    text = resources.files("slype").joinpath("examples/posy.toml").read_text(encoding="utf-8")
    plan = planning.plan(reader.parse(text + "\n" + LID))
    step = [step for step in taught(plan) if step.of == "lid" and step.title.startswith("Go round")][-1]
    asked = step.drawings[-1]
    assert asked.caption.startswith("After row")
    stretches = figured(plan).of_lid.making.at(asked.first, asked.beyond)
    far = {each.tube.end: float(np.hypot(*each.tube.points[:, :2].T).max()) for each in stretches
           if each.tube.role in ("spoke", "stick") and each.tube.end >= 0}  # fmt: skip
    rows = max(float(np.hypot(*each.tube.points[: len(each.tube.when), :2].T).max()) for each in stretches
               if each.tube.role == "weaver" and each.tube.when is not None)  # fmt: skip
    assert len(far) == plan.lid.design.top_ends and min(far.values()) > rows + 10.0


@pytest.mark.parametrize("title", ["Set the spokes", "Go round", "Make the spokes ready"])
def test_what_stands_above_all_that_is_woven_is_drawn_in_one_go(title):
    """The front spokes of a wide tray, thin and leaning towards the eye, fell into dots."""
    plan = planned("tray")
    figures = figured(plan)
    steps = [step for step in taught(plan) if step.title.startswith(title)]
    for step in steps:
        asked = next(each for each in step.drawings if each.kind == "whole")
        svg = figures.svg(step, asked, 44.0)
        high = float(re.search(r'viewBox="\S+ \S+ \S+ ([^"]*)"', svg)[1])
        runs = re.findall(r'<path d="M(\S+) (\S+?)L[^"]*?(-?[\d.]+) (-?[\d.]+)" stroke="#', svg)
        tall = [one for one in runs if abs(float(one[3]) - float(one[1])) > 0.12 * high]
        # Of the near half, each with an outline and a body upon it.
        assert len(tall) >= 2 * 0.45 * plan.design.top_ends, (step.title, len(tall))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_base_sticks_are_level_with_the_last_row_where_side_spokes_go_in_and_named_beside_them(hand):
    """They stood out past the edge with round ends, and their names lay upon what is pushed in."""
    plan = planned("quayside", hand)
    figures = figured(plan)
    step = next(step for step in taught(plan) if step.title.startswith("Insert the side "))
    asked = step.drawings[0]
    lying = figures.making.at(asked.first, asked.beyond)
    sticks = [each.tube for each in lying if each.tube.role == "stick"]
    edge = plan.laid.base_reached_mm / 2
    assert sticks
    for tube in sticks:
        assert np.hypot(*tube.points[:, :2].T).max() + SLANT / 2 * tube.thick_mm < edge + 1.0
    svg = figures.svg(step, asked, 58.0)
    shot = shot_of(figures.making, Scene(asked.first, asked.beyond, mm=58.0, band=step.band))
    pushed = [look_at_points(shot.camera, each.tube.points)[:2] for each in lying if each.state == MOVES]
    named = re.findall(r'<rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"[^>]*/><text[^>]*>stick \d+<', svg)
    assert len(named) >= 2 and len(pushed) == 3
    for left, top, wide, high in (map(float, each) for each in named):
        for x, y in pushed:
            assert not ((x > left) & (x < left + wide) & (y > top) & (y < top + high)).any()


@pytest.mark.parametrize("hand", ["right", "left"])
def test_at_the_end_of_a_row_of_a_base_each_weaver_hangs_in_its_own_space_and_none_crosses_another(hand):
    plan = planning.plan(replace(reader.parse(MANY_ON_A_BASE), hand=hand))
    steps = [step for step in taught(plan) if step.title.startswith("Go round") and step.part == "base"]
    assert len(steps) == 3
    for step in steps:
        asked = step.drawings[0]
        assert asked.caption == "The end of row 1."
        scene = Scene(asked.first, asked.beyond, arrow=asked.arrow, mm=58.0, band=step.band)
        free = {}
        for each in shot_of(figured(plan).making, scene).stretches:
            if each.state == MOVES and each.tube.role == "weaver":
                points = each.tube.points[len(each.tube.when) :]
                free[each.tube.weaver] = np.unwrap(np.arctan2(points[:, 1], points[:, 0])), np.hypot(*points[:, :2].T)
        assert sorted(free) == [0, 1]
        far = [away for _, away in free.values()]
        out = np.linspace(max(each.min() for each in far), min(each.max() for each in far), 30)
        one, two = (np.interp(out, away, turn) for turn, away in free.values())
        space = 2 * np.pi / plan.laid.base[step.band].spaces
        apart = np.abs((two - one + np.pi) % (2 * np.pi) - np.pi) / space
        assert 0.5 < apart.min() and apart.max() < 1.5, apart
        assert max(np.ptp(one), np.ptp(two)) / space < 0.9


def test_a_border_whose_tips_lie_outside_is_trimmed_in_a_drawing_from_outside_and_the_tails_in_one_from_inside():
    plan = planning.plan(reader.parse(MANY_ON_A_BASE))
    step = {step.title: step for step in taught(plan)}
    tails, border = step["Trim the weavers' tails"], step["Trim the border"]
    assert any(line.startswith("Go round the border on the outside") for line in border.does)
    figures = figured(plan)
    for one, face in ((tails, "inside"), (border, "outside")):
        svg = figures.svg(one, one.drawings[-1])
        assert f">{face}<" in svg and len(NUMBER.findall(svg)) >= 3


@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_arch_is_drawn_in_front_of_the_spokes_it_is_led_in_front_of(hand):
    """Of the posy, whose wall leans in: its spokes stand up straighter once the string is off, but not through an
    arch."""
    making = figured(planned("posy", hand)).making
    order = making.order
    moments = [each for each in np.flatnonzero((order.act == ACTS.index("border")) & (order.of < 0)).tolist()]
    seen = 0
    for moment in moments[:4]:
        found = making.at(moment, moment + 1)
        arch = next(each.tube for each in found if each.state == MOVES and each.tube.role == "border")
        for end in order.in_front(moment):
            stands = next((e.tube for e in found if e.tube.name.startswith(f"standing end {end + 1}, held")), None)
            if stands is None:
                continue
            # Where the two are nearest: in front is further from the middle of the pot.
            hop = np.linalg.norm(arch.points[:, None] - stands.points[None], axis=2)
            a, b = np.unravel_index(hop.argmin(), hop.shape)
            out, within = np.hypot(*arch.points[a, :2]), np.hypot(*stands.points[b, :2])
            assert out > within + arch.thick_mm / 2, (moment, end + 1)
            seen += 1
    assert seen >= 4


@pytest.mark.parametrize("hand", ["right", "left"])
def test_where_ends_are_opened_out_the_weavers_that_wait_are_dark_and_named(hand):
    plan = planning.plan(replace(reader.parse(MANY_ON_A_BASE), hand=hand))
    steps = [step for step in taught(plan) if any("opened out" in each.caption for each in step.drawings)]
    assert steps
    for step in steps:
        asked = step.drawings[0]
        scene = Scene(asked.first, asked.beyond, whole=True, arrow=asked.arrow, mm=84.0, band=step.band)
        dark = [each for each in shot_of(figured(plan).making, scene).stretches if each.state == MOVES]
        assert sorted(each.tube.weaver for each in dark) == [0, 1]
        svg = figured(plan).svg(step, asked, 84.0)
        assert all(f">weaver {n}<" in svg for n in (1, 2))
        assert all(f">{n}<" in svg for n in (1, 2))
