"""A lidded basket with a bow handle as a beginner is told it, held against its curves, its plan and its order."""

import functools
import re
from dataclasses import replace

import numpy as np
import pytest
from samples import HANDLES, grouped
from worked import figured, taught

from slype.borders.work import work
from slype.design.file import reader
from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, _framed, shot_of
from slype.figures.figure import USUAL_MM
from slype.figures.making import Making
from slype.figures.reeds.stretch import MOVES
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.paper.handout import outline
from slype.plans import planning
from slype.plans.bundles import bundles
from slype.plans.times import handle_seconds
from slype.quantity import parse_length
from slype.space.tubes import on_surface
from slype.teach.measures import DISAGREES, rows_changed, ruler_remedies
from slype.teach.showing import script
from slype.teach.step.bench import Bench
from slype.tell.bundled import spare_told

TEXT = (
    grouped("round 5", '[["0 in", "6 in"], ["5 in", "9 in"]]')
    + """
[basket]
title = "Wren egg basket"
[[band]]
weave = "three-rod wale"
reed = "round 3"
until = "top"
[border]
rows = ["behind 1 out", "over 3 in", "over 2 down"]
[[handle]]
kind = "bow"
core = "round 8"
wrap = "round 3"
height = "7 in"
[lid]
seat = "inside"
spokes = { reed = "round 4", ends = 24 }
band = [
  { weave = "pairing", reed = "round 2", groups = 6, rows = 3 },
  { weave = "pairing", reed = "round 2", colours = ["rust"] },
]
border = ["behind 1 out", "over 2 down"]
"""
)
BOTH = [("right", "us"), ("left", "uk")]


@functools.cache
def planned(hand="right", wording="us"):
    return planning.plan(replace(reader.parse(TEXT), hand=hand, wording=wording))


@functools.cache
def steps_of(hand="right", wording="us"):
    return taught(planned(hand, wording))


@pytest.mark.parametrize("hand, wording", BOTH)
def test_a_lid_s_border_is_told_of_its_two_faces_and_held_so_that_work_goes_the_told_way(hand, wording):
    plan, steps = planned(hand, wording), steps_of(hand, wording)
    flat = [step for step in steps if step.of == "lid" and step.part in ("border", "trim")]
    for step in flat:
        said = [*step.does, *step.looks, *(text for each in step.drawings for text in (each.caption, each.alt))]
        assert not [line for line in said if re.search(r"\b(inside|outside)\b", line)], step.title
    first = next(step for step in flat if step.title == f"Row 1: the first {'spokes' if wording == 'us' else 'stakes'}")
    assert first.does[0].startswith("Hold the lid upright, its top toward")
    assert first.does[1].endswith("1, the first after space 1, is at the top: each move is made there, as drawn.")
    assert re.match(rf"Work towards? the {hand}\.", first.does[2])
    making = Making(plan.lid.laid)
    drawing = first.drawings[0]
    stretches = making.at(drawing.first, drawing.beyond)
    camera, _ = _framed(making, Scene(drawing.first, drawing.beyond), stretches, drawing.first, True)
    places = on_surface(making.laid, "base", np.array([0.5, 1.5]), np.full(2, 90.0), np.zeros(2))
    x, y, _ = look_at_points(camera, np.stack(places, axis=1))
    middle = look_at_points(camera, np.zeros((1, 3)))[1][0]
    assert (y < middle).all()  # at the top of the drawing
    assert (x[1] > x[0]) == (hand == "right")  # from there the next one lies the told way


def test_the_thread_at_spoke_1_comes_off_after_the_last_step_that_counts_from_it():
    steps = [step for step in steps_of() if not step.of]
    off = next(i for i, step in enumerate(steps) if any("Take the thread off" in line for line in step.does))
    told = [line for line in steps[off].does if "in the water now" not in line]
    assert told[-1] == "Take the thread off spoke 1."
    counting = [i for i, step in enumerate(steps) for line in step.does if re.search(r"spokes? 1\b|space 1\b", line)]
    assert max(counting) == off
    assert sum("Take the thread off" in line for step in steps for line in step.does) == 1


@pytest.mark.parametrize("kind", HANDLES)
def test_what_stands_in_the_wall_is_taken_out_of_the_water_and_bent_before_its_feet_are_told(kind):
    begin, end = TEXT.index("[[handle]]"), TEXT.index("[lid]")
    plan = planning.plan(reader.parse(TEXT[:begin] + HANDLES[kind] + "\n" + TEXT[end:]))
    does = next(step for step in taught(plan) if step.part == "handle").does
    heads = ("Take the ", "Bend ", "Cut away from you.", "Cut both ends", "At spoke", "Open the way")
    at = [next(i for i, line in enumerate(does) if line.startswith(head)) for head in heads]
    assert at == sorted(at) and at[0] == 0
    assert not [line for line in does if line.startswith("Soak")], "a bundle was put in the water steps before"


def test_a_first_lid_s_spokes_are_told_longer_on_the_first_page_too():
    plan = planned()
    told = " ".join(spare_told(plan))
    long, listed = re.search(r"the lid's spokes (.*?), not ([\d /]+ in)", told).groups()
    piece = next(each for each in plan.lid.pieces if each.use == "begin")
    assert parse_length(listed) == pytest.approx(piece.cut_mm, abs=0.1)
    assert piece.range_mm[1] <= parse_length(long) < piece.range_mm[1] + 13.0


def test_what_is_taken_up_after_the_basket_has_dried_goes_into_the_water_when_it_is_trimmed():
    plan, steps = planned(), steps_of()
    trim = next(i for i, step in enumerate(steps) if step.title == "Trim the weavers' tails" and not step.of)
    later = {number for step in steps[trim + 1 :] for number in step.bundles}
    put = {}
    for i, step in enumerate(steps):
        for line in step.does:
            if found := re.search(r"[Pp]ut bundles? ([\d, and]+) in the water", line):
                put |= {int(each): i for each in re.findall(r"\d+", found[1])}
    assert set(put) == {each.number for each in bundles(plan)}
    assert later and all(put[number] >= trim for number in later)
    handle = next(step for step in steps if step.part == "handle")
    assert not any(line.startswith("Soak") for line in handle.does)  # it lies in the water already


@pytest.mark.parametrize("hand", ["right", "left"])
def test_each_foot_of_the_handle_is_told_on_the_side_on_which_it_is_drawn(hand):
    plan, steps = planned(hand), steps_of(hand)
    handle = next(step for step in steps if step.part == "handle")
    pattern = r"At spokes? ([\d and]+) a foot goes down on the (\w+) of (?:it|each), seen from outside"
    told = [(int(spoke), side) for line in handle.does for spokes, side in re.findall(pattern, line)
            for spoke in re.findall(r"\d+", spokes)]  # fmt: skip
    making = Making(plan.laid)
    core = max((each for each in making.tubes if each.role == "handle"), key=lambda each: each.thick_mm).points
    spokes = {each.end: each.points for each in making.tubes if each.role == "spoke"}
    assert len(told) == 2
    for spoke, side in told:
        points = spokes[spoke - 1]
        low = core[core[:, 2] < plan.laid.finished_height_mm - 30.0]
        z = low[:, 2]
        foot = low[np.argmin(np.hypot(*(low[:, :2] - points[np.argmin(np.abs(points[:, 2] - z.mean()))][:2]).T))]
        own = points[np.argmin(np.abs(points[:, 2] - foot[2]))]
        turn = np.arctan2(own[0] * foot[1] - own[1] * foot[0], own[:2] @ foot[:2])
        # Seen from outside, what lies counterclockwise (from above) of a spoke lies on its right.
        assert ("right" if turn > 0 else "left") == side
        assert abs(turn) < np.pi / 24


def test_a_stake_that_is_led_in_lies_above_the_one_that_comes_out_there():
    plan, steps = planned(), steps_of()
    step = next(step for step in steps if step.title == "Row 2: the first spokes" and not step.of)
    line = next(each for each in step.does if each.startswith("There it passes over"))
    space = int(next(found[1] for each in step.does if (found := re.search(r"in over the edge at space (\d+)", each))))
    passes = work(plan.design.border, plan.design.top_ends).passes
    begins = {p.end: p.spoke for p in reversed(passes) if p.stage == 1}  # where each begins row 2: there it came out
    assert begins[int(re.search(r"spoke (\d+)", line)[1]) - 1] == space - 1


def test_the_first_stroke_over_new_groups_is_told_again_as_the_trace_has_it():
    plan, steps = planned(), steps_of()
    band = plan.laid.base[1]
    step = next(step for step in steps if step.band == band.index and step.title.startswith("Go round") and not step.of)
    t = band.traces()[0][1]
    mine = np.flatnonzero(t.stroke == t.stroke.min())
    spokes = [int(t.spoke[i]) + 1 for i in mine]
    line = next(each for each in step.does if each.startswith("Stroke 1:"))
    assert [int(each) for each in re.findall(r"\d+", line)] == [1, 1, 1, *spokes, spokes[-1] % band.spaces + 1]


def test_tails_that_are_left_beside_each_other_are_drawn_in_two_shades_and_said_to_be_mirrored():
    steps, figures = steps_of(), figured(planned())
    ended = [step for step in steps if step.title == "End the weavers level"]
    for step in ended:
        assert "left and right change places" in step.drawings[0].caption
        svg = figures.svg(step, step.drawings[0])
        assert "#8d8379" in svg and "#35302b" in svg
    assert ended


def test_a_lid_s_tails_are_trimmed_by_its_own_numbers():
    plan, steps = planned(), steps_of()
    does = " ".join(next(step for step in steps if step.title == "Trim the weavers' tails" and step.of).does)
    assert "Cut each tail half-way to the next spoke." in does
    assert "In band 1 tails lie behind what was a whole group there." in does
    weaver, band, one, after = map(int, re.search(
        r"So weaver (\d+)[^.]* of band (\d+) is cut between spokes (\d+) and (\d+)", does).groups())  # fmt: skip
    t = plan.lid.laid.bands[band - 1].traces()[-1][1]
    last = max(i for i in range(len(t.spoke)) if t.weaver[i] == weaver - 1 and not t.front[i])
    assert (one, after) == (int(t.spoke[last]) + 1, (int(t.spoke[last]) + 1) % t.ends + 1)


def test_how_far_back_a_row_is_is_told_of_the_lid_too():
    plan = planned()
    said = outline(plan, "student")["trouble"]
    found = re.search(r"(\d+) in the lid's band 1; (\d+) in the lid's band 2", said)
    traces = [band.traces()[0][1] for band in plan.lid.laid.bands]
    assert [int(each) for each in found.groups()] == [len(set(t.stroke[t.row == 0].tolist())) for t in traces]


def test_on_a_trimmed_lid_every_number_stands_upon_its_own_spoke():
    """All ends are bent down there: at their tips a number would name another one."""
    step = next(step for step in steps_of() if step.title == "Trim the border" and step.of)
    figures = figured(planned()).of_lid
    asked = step.drawings[0]
    svg = figured(planned()).svg(step, asked)
    shot = shot_of(figures.making, Scene(asked.first, asked.beyond, arrow=False, spaces="none", mm=USUAL_MM))
    assert f'viewBox="{shot.box[0]:.1f} {shot.box[1]:.1f}' in svg
    lying = {}
    for each in shot.stretches:
        if each.tube.role in ("spoke", "stick") and each.tube.end >= 0:
            lying.setdefault(each.tube.end, []).append(look_at_points(shot.camera, each.tube.points)[:2])
    found = re.findall(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>(\d+)<', svg)
    for x, y, number in found:
        away = {end: min(float(np.hypot(a - float(x), b - float(y)).min()) for a, b in lines)
                for end, lines in lying.items()}  # fmt: skip
        assert min(away, key=away.get) == int(number) - 1
    assert len(found) > 4


def test_a_script_says_all_of_a_step():
    """A long step was cut off after so many sentences: the wrapping, the trimming of the border were lost; so were the
    first strokes, which are said aloud as the hands make them."""
    steps = steps_of()
    told = {number: lines for part in script(planned(), steps) for number, _, lines in part.say}
    assert max(len(step.does) for step in steps) > 14
    for step in steps:
        assert told[step.number] == step.does, step.title
    assert any(re.match(r"Stroke 2", line) for lines in told.values() for line in lines)


def test_a_script_sends_nobody_to_a_part_that_it_has_not():
    said = outline(planned(), "showing")
    text = " ".join(line for part in said["script"] for _, _, lines in part["say"] for line in lines)
    text += " ".join(undo for part in said["script"] for _, undo in part["slips"])
    assert "What to cut" in text and DISAGREES in text and said["measures"]["remedies"]
    assert not re.search(r"\bsee Wrong\b|degrees", text + " ".join(part["look"] for part in said["script"]))


@pytest.mark.parametrize("kind", ["bow", "side"])
def test_a_handle_is_set_in_then_wrapped_and_the_other_one_after_it(kind):
    begin, end = TEXT.index("[[handle]]"), TEXT.index("[lid]")
    wrapped = f'[[handle]]\nkind = "{kind}"\ncore = "round 8"\nwrap = "round 3"\n'
    plan = planning.plan(reader.parse(TEXT[:begin] + wrapped + TEXT[end:]))
    each, order = plan.handles[0], moments(plan.laid)
    steps = [step for step in taught(plan) if step.part == "handle"]
    assert [step.title.split()[0] for step in steps] == ["Put", "Wrap", "Put"][: 2 if kind == "bow" else 3]
    part = next(part for part in order.parts if part.key == "handle")
    cut = [step.first for step in steps] + [part.beyond]
    assert cut[0] == part.first and [step.beyond for step in steps] == cut[1:]
    wrapping = [m for m in range(part.first, part.beyond) if order.act[m] == ACTS.index("wrap") and not order.block[m]]
    assert (steps[1].first, len(wrapping)) == (wrapping[0], each.turns)
    assert f"Lay {each.turns} turns" in " ".join(steps[1].does) and "Open the way" in " ".join(steps[0].does)
    assert sum(step.minutes for step in steps) == pytest.approx(handle_seconds(plan.laid, each) / 60)
    feet = [foot + 1 for both in each.feet(plan.design.top_ends)[1:] for foot in both]
    assert all(f"{foot}" in re.findall(r"\d+", " ".join(steps[-1].does)) for foot in feet)


def test_when_the_mouth_is_off_the_lid_is_made_to_fit_it():
    plan = planned()
    bench, last = Bench(plan), plan.lid.laid.base[-1]
    told = next(each for each in ruler_remedies(bench) if "mouth is wider or narrower than told" in each.seen)
    row = re.search(r"in band (\d+) of the lid makes it (.*) wider or narrower", told.undo).groups()
    assert int(row[0]) == last.index + 1
    assert parse_length(row[1]) == pytest.approx(2 * last.pitch_mm, abs=1.0)  # a row lies at both sides
    on = Bench(planning.plan(reader.parse(TEXT.replace(', colours = ["rust"]', ""))))
    kept = "Keep to the rows told of band 1 of the lid"
    assert [any(line.startswith(kept) for line in rows_changed(each)) for each in (on, bench)] == [True, False]
    without = planning.plan(reader.parse(TEXT[: TEXT.index("[lid]")]))
    assert not any("lid" in each.undo for each in ruler_remedies(Bench(without)))


def test_a_lid_s_reed_lies_in_the_water_while_the_handle_is_wrapped_not_the_hours_before():
    plan, steps = planned(), steps_of()
    wrap = next(i for i, step in enumerate(steps) if step.title.startswith("Wrap the"))
    cross = next(step for step in steps if step.of == "lid" and step.part == "cross" and step.bundles)
    put = next(i for i, step in enumerate(steps) for line in step.does
               if (found := re.search(r"[Pp]ut bundles? ([\d, and]+) in the water", line))
               and str(cross.bundles[0]) in re.findall(r"\d+", found[1]))  # fmt: skip
    long = max(each.reed.soak().minutes for each in bundles(plan) if each.number in cross.bundles)
    assert put in (wrap - 1, wrap)
    assert steps[wrap].minutes > sum(long) / 2 or put == wrap


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_wrapping_begins_at_the_foot_that_is_named_and_its_join_is_wrapped_with_the_length_that_is_there(hand):
    plan = planned(hand)
    step = next(step for step in steps_of(hand) if step.title.startswith("Wrap the"))
    found = (re.match(r"Begin at the foot beside \w+ (\d+)", line) for line in step.does)
    named = next(int(each[1]) for each in found if each)
    making = Making(plan.laid)
    turns = [each.tube.points for each in making.at(step.first, step.first + 6) if each.state == MOVES]
    at = np.concatenate(turns).mean(axis=0)
    u = np.arange(plan.design.top_ends) + 0.5
    x, y, _ = on_surface(plan.laid, "side", u, np.full(len(u), plan.laid.top_s), np.zeros(len(u)))
    assert int(np.hypot(x - at[0], y - at[1]).argmin()) in (named - 1, named % len(u), (named - 2) % len(u))
    new, old = (next(i for i, line in enumerate(step.does) if text in line) for text in ("length runs out", "old end"))
    assert step.does[new + 1].startswith("Wrap over it") and new + 1 < old
