"""What a beginner is told where weavers are ended, begun above old ones and trimmed, where a wale turns over, and where
the base is set down: each statement walked against the trace, the curves or the border, for both hands and wordings."""

import re

import numpy as np
import pytest
from told import planned, step_of, steps_of
from worked import figured, outlined

from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, _framed
from slype.figures.making import Making
from slype.figures.reeds.stretch import MOVES
from slype.order.moments import moments
from slype.paper.handout import outline
from slype.quantity import parse_length
from slype.space.tails import tails_of, woven_lines
from slype.space.tubes import on_surface
from slype.surface.curve import TAIL_AT_END, TAIL_AT_START
from slype.surface.woven import stacked_curves
from slype.teach.step.bench import Bench
from slype.teach.troubles import troubles
from slype.tell.bundled import bundle_rows, spare_told
from slype.weave.trace import FRONT

BOTH = [("right", "us"), ("left", "uk")]


def ends_of(band, block):
    """{weaver from 1: (space in which it hangs when its start is done, the last it passed behind), from 1}."""
    t = band.traces()[block][1]
    out = {}
    for weaver in range(len(band.colours)):
        last = max(i for i in range(len(t.spoke)) if t.weaver[i] == weaver)
        assert not t.front[last]  # of these weaves each stroke ends behind
        out[weaver + 1] = (int(t.spoke[last]) + 1) % band.spaces + 1, int(t.spoke[last]) + 1
    return out


@pytest.mark.parametrize("hand, wording", BOTH)
def test_every_end_of_a_band_that_starts_again_says_where_each_weaver_hangs_and_what_it_has_passed(hand, wording):
    plan, steps = steps_of("estuary", hand, wording)
    band = next(each for each in plan.laid.bands if each.band.blocks)
    step = step_of(steps, "End the weavers and start again")
    said = r"After row (\d+): weaver (\d+) \(\w+\) in at space (\d+); it has passed \w+ (\d+)\."
    told = [tuple(map(int, found.groups())) for line in step.does if (found := re.match(said, line))]
    truth = [(first, weaver, *where) for block, (first, *_) in enumerate(band.segments[1:])
             for weaver, where in ends_of(band, block).items()]  # fmt: skip
    assert told == truth
    assert step.table is not None and step.tabled.count(True) > len(truth)
    assert [(int(row), int(re.search(r"\d+", who)[0]), int(at), int(past))
            for row, who, at, past, *_ in step.table.rows] == truth  # fmt: skip
    assert not any(line.startswith(("After row 4:", "Start 2")) for line in step.on_paper)
    assert step.table.lead in step.on_paper


@pytest.mark.parametrize("hand, wording", BOTH)
def test_a_new_start_says_where_each_weaver_begins_behind_which_its_tail_lies_and_which_piece_it_is(hand, wording):
    plan, steps = steps_of("estuary", hand, wording)
    band = next(each for each in plan.laid.bands if each.band.blocks)
    table = step_of(steps, "End the weavers and start again").table
    cut = {(row.number, start): line.split(",")[1].removesuffix(" each").strip() for row in bundle_rows(plan)
           for line in row.cut for start in re.findall(r"for start (\d+)", line)}  # fmt: skip
    bundle = {row.colour: row.number for row in bundle_rows(plan) if row.what == "Band 6"}
    assert len(table.rows) == 3 * len(band.colours)
    for i, (_, _, _, _, start, place, tail, piece, weave) in enumerate(table.rows):
        block, weaver = divmod(i, len(band.colours))
        begins = (band.segments[block + 1][2] + weaver) % band.spaces + 1
        first, many, _ = band.segments[block + 1]
        assert weave == f"{first + 1} to {first + many}"
        assert (int(start), int(place), int(tail)) == (block + 2, begins, (begins - 2) % band.spaces + 1)
        number = bundle[band.colours[weaver][0]]
        assert piece == f"bundle {number}, {cut[number, start]}"


@pytest.mark.parametrize("hand, wording", BOTH)
def test_where_an_old_weaver_was_ended_the_new_one_is_said_and_drawn_to_lie_above_it(hand, wording):
    checked = 0
    for name in ("estuary", "posy"):
        plan, steps = steps_of(name, hand, wording)
        curves, seen = stacked_curves(plan.laid), []
        for step in steps:
            for line in step.does:
                if found := re.match(r"In (?:space|spaces) ([\d, and]+) an old weaver went in: .* in above it\.", line):
                    start = re.search(r"at start (\d+) ", line)
                    again = int(start[1]) - 1 if start else 0
                    assert bool(again) == step.title.startswith("End the")
                    seen.append((step.band, again, [int(each) for each in re.findall(r"\d+", found[1])]))
        for of, again, spaces in seen:
            at = next(i for i, each in enumerate(plan.laid.bands) if each.index == of)
            band = plan.laid.bands[at]
            before = band if again else plan.laid.bands[at - 1]
            block = (again or len(before.segments)) - 1
            start = band.segments[again][2]
            new = {(start + k) % band.spaces + 1: k for k in range(len(band.colours))}
            old = {space: weaver - 1 for weaver, (space, _) in ends_of(before, block).items()}
            assert spaces == sorted(set(new) & set(old))
            for space in spaces:
                begun = _curve(curves, band.index, again, new[space])[0]
                ended = _curve(curves, before.index, block, old[space])[-1]
                assert begun.s[0] > ended.s[-1]
                checked += 1
    assert checked >= 11


@pytest.mark.parametrize("hand, wording", BOTH)
@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_an_ended_weaver_s_tail_is_drawn_as_far_as_its_step_says(name, hand, wording):
    """It was drawn to the next one after that, and on a long basket told as if all stood evenly round it."""
    plan, steps = steps_of(name, hand, wording)
    making, checked = figured(plan).making, 0
    hung = {(tail.band, tail.block, tail.weaver): tail for tail, _, _ in making.left if tail.bit == TAIL_AT_END}
    for step in steps:
        band = next((each for each in plan.laid.bands if each.index == step.band), None)
        if band is None or step.of or not step.title.startswith("End the") or len(band.segments) > 1:
            continue
        told = [int(each) for line in step.does for each in re.findall(r"as far as \w+ (\d+)", line)]
        which = [int(each) - 1 for line in step.does for each in re.findall(r"weaver (\d+)(?: \(\w+\))? back in", line)]
        if band.band.group > 1:
            continue
        u = np.arange(0.0, band.spaces, 1 / 32)
        x, y, _ = on_surface(plan.laid, band.band.where, u, np.full(len(u), float(band.s[-1])), np.zeros(len(u)))
        for far, weaver in zip(told, which or [0] * len(told), strict=True):
            tip = hung[band.index, 0, weaver].points[-1]
            off = u[np.hypot(tip[0] - x, tip[1] - y).argmin()] - (far - 0.5)
            assert abs((off + band.spaces / 2) % band.spaces - band.spaces / 2) < 0.75, (step.number, weaver + 1, far)
            checked += 1
    assert checked >= 4


@pytest.mark.parametrize("name", ["posy", "saltmarsh"])
def test_the_tail_of_a_start_is_drawn_as_far_as_its_step_says(name):
    """On a long basket space 1 lies at its side, where ends stand further apart than round its ends."""
    plan, steps = steps_of(name, "left", "uk")
    hung = {(tail.band, tail.block, tail.weaver): tail for tail, _, _ in figured(plan).making.left
            if tail.bit == TAIL_AT_START}  # fmt: skip
    checked = 0
    for step in steps:
        (band,) = [each for each in plan.laid.bands if each.index == step.band] or [None]
        said = " ".join(map(str, step.does))
        found = [int(each) for each in re.findall(r"reach(?:es)? about (\d+) stakes? further", said)]
        if not (step.title.startswith("Set in") and found and not step.of and band.band.group == 1):
            continue
        u = np.arange(0.0, band.spaces, 1 / 32)
        x, y, _ = on_surface(plan.laid, band.band.where, u, np.full(len(u), float(band.s[0])), np.zeros(len(u)))
        place = next(count.numbers for count in step.counts if count.what == "set in")[0]
        tip = hung[band.index, 0, 0].points[-1]
        behind = (place - 2) % band.spaces + 0.5
        off = (behind - u[np.hypot(tip[0] - x, tip[1] - y).argmin()]) % band.spaces
        assert abs(off - found[0]) < 0.75, (step.number, found, off)
        checked += 1
    assert checked >= 3


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside"])
def test_over_groups_the_tails_of_a_start_are_drawn_as_far_as_their_step_says(name):
    """Round the small cross of a pot a tail goes behind three groups of four: it was told to go behind two."""
    plan, steps = steps_of(name, "left", "uk")
    found = re.search(r"reach about (\d) groups? further", " ".join(step_of(steps, "Set in 2 weavers").does))
    checked = 0
    for tail, _, _ in figured(plan).making.left:
        if tail.band == 0 and tail.bit == TAIL_AT_START:
            way = np.unwrap(np.arctan2(tail.points[:, 1], tail.points[:, 0]))
            quarters = np.degrees(np.arctan2(tail.points[0, 1], tail.points[0, 0])) // 90, np.degrees(way[-1]) // 90
            assert quarters[1] - quarters[0] == int(found[1]), "a group lies in the middle of each quarter"
            checked += 1
    assert checked == 2


def _curve(curves, band, block, weaver):
    return [each for each in curves if each.role == "weaver" and (each.band, each.block, each.weaver) ==
            (band, block, weaver)]  # fmt: skip


def _cut_at(said):
    """Where each weaver's tail is cut, by its number, in spokes counted singly: 4 between spokes 4 and 5."""
    out = {}
    for weaver, at in re.findall(r"[Ww]eaver (\d+) (at spoke \d+|between spokes \d+ and \d+)", said):
        one = int(re.search(r"\d+", at)[0])
        out[weaver] = one - 0.5 if at.startswith("at") else float(one)
    return out


@pytest.mark.parametrize("name", ["estuary", "posy"])
def test_tails_behind_whole_groups_are_cut_where_they_are_drawn_cut(name):
    plan, steps = steps_of(name)
    said = " ".join(step_of(steps, "Trim the weavers").does)
    band = next(each for each in plan.laid.base if each.band.group > 1)
    assert f"In band {band.index + 1} tails lie behind what was a whole group there." in said
    first, last = said.split("Cut first tails")[1], ""
    if "Cut last tails" in first:
        first, last = first.split("Cut last tails")
    first, last = (_cut_at(each) for each in (first, last))
    curves = [each for each in stacked_curves(plan.laid) if each.role == "weaver"]
    order = moments(plan.laid)
    tails = tails_of(plan.laid, curves, woven_lines(plan.laid, curves, order), order)
    mine, edges = [each for each in tails if each.curve.band == band.index], np.cumsum([0, *band.sizes])
    assert {each.at_end for each in mine} == ({False, True} if last else {False})
    for each in mine:
        weaver = str(each.curve.weaver + 1)
        if each.at_end:
            at = last[weaver]
            assert abs((each.curve.u[-1] - at + 1) % band.ends - 1) < 0.1  # where it went in
        else:
            group = int(np.searchsorted(edges, first[weaver], side="right")) - 1
            assert abs(first[weaver] - (edges[group] + edges[group + 1]) / 2) < 0.1, "the middle of it"
            tip = float(each.curve.u[0]) % band.ends
            assert 0.2 < (tip - edges[group]) / band.sizes[group] < 0.8  # behind the middle of that group


@pytest.mark.parametrize("hand, wording", BOTH)
def test_row_2_of_a_chain_wale_is_told_and_drawn_from_its_first_stroke(hand, wording):
    plan, steps = steps_of("estuary", hand, wording)
    band = next(each for each in plan.laid.bands if each.band.weave.name == "chain wale")
    step, t = step_of(steps, "Go round", band.index), band.traces()[0][1]
    first = t.stroke[(t.row == 1) & (t.step == 0)].min()
    mine = np.flatnonzero(t.stroke == first)
    line = next(each for each in step.does if each.startswith("Its first stroke:"))
    numbers = [int(each) for each in re.findall(r"\d+", line)]
    front = [int(t.spoke[i]) + 1 for i in mine if t.front[i]]
    behind = [int(t.spoke[i]) + 1 for i in mine if not t.front[i]]
    assert numbers == [int(t.weaver[mine[0]]) + 1, front[0], *front, *behind, behind[-1] % band.spaces + 1]
    order = moments(plan.laid)
    m = step.drawings[0].first
    assert (int(order.row[m]), int(order.stroke[m]), int(order.band[m])) == (1, 0, band.index)
    # Where it and the next one both lie in front, it lies below in row 2; in row 1 the first one lies above.
    said = next(each for each in step.does if "lead each weaver" in each)
    assert said == "Now lead each weaver under the other 2: below them, between them and the basket."
    for row, above in ((0, True), (1, False)):
        one = t.stroke[(t.row == row) & (t.step == 0)].min()
        both = [next(i for i in range(len(t.spoke)) if t.stroke[i] == one + k and t.spoke[i] == _shared(t, one))
                for k in (0, 1)]  # fmt: skip
        here = t.sites.passage[(t.sites.kind == FRONT) & (t.sites.place == _shared(t, one))].tolist()
        assert (here.index(both[0]) > here.index(both[1])) == above


def _shared(t, stroke):
    """The spoke that a stroke and the next one both pass in front."""
    fronts = [set(t.spoke[(t.stroke == stroke + k) & t.front].tolist()) for k in (0, 1)]
    return (fronts[0] & fronts[1]).pop()


@pytest.mark.parametrize("hand, wording", BOTH)
def test_tipped_towards_you_the_top_of_the_base_comes_to_stand_in_front(hand, wording):
    """The base as it is held before it is set down, turned by a quarter round a line from left to right, its top
    towards the eye, against the basket as it is drawn standing."""
    plan, steps = steps_of("posy", hand, wording)
    does = step_of(steps, "Turn up").does
    tip = next(i for i, line in enumerate(does) if re.match("Lean its top edge towards? you", line))
    assert does[tip - 1] == "Turn the base until space 1 is at the top."
    assert does[tip + 1] == "Space 1, which was at the top, is now in front of you."
    making = Making(plan.laid)
    held, stands = (_seen(making, step_of(steps, title)) for title in ("Open the", "Turn up"))
    away, left = held[0][:, 1], held[0][:, 0]  # on the picture y points down: what is at the top has the least
    assert away.argmin() in (0, len(away) - 1)
    near, right = stands[1], stands[0][:, 0]
    assert near.argmin() in (0, len(near) - 1)
    assert np.corrcoef(left, right)[0, 1] > 0.99  # what was on the left stays there
    assert np.corrcoef(away, near)[0, 1] > 0.99  # what was at the top is near


def _seen(making, step):
    """((spaces, 2) places on the drawing, how far away) of every space at the edge of the base, as a step draws it."""
    drawing = next(each for each in step.drawings if each.kind == "whole")
    scene = Scene(drawing.first, drawing.beyond, whole=True, spaces="all")
    stretches = making.at(scene.first, scene.beyond)
    moment = min(max(scene.beyond - 1, scene.first, 0), len(making.order) - 1)
    flat = not step.title.startswith("Turn up")
    camera, _ = _framed(making, scene, stretches, moment, flat)
    u = np.arange(making.laid.design.foot_ends, dtype=float)
    edge = np.full(len(u), float(making.laid.design.form.radius(0.0)))
    x, y, away = look_at_points(camera, np.stack(on_surface(making.laid, "base", u, edge, np.zeros(len(u))), axis=1))
    return np.stack([x, y], axis=1), away


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh", "tray"])
def test_what_stands_above_the_last_row_is_what_is_cut_less_base_and_wall(name):
    plan, steps = steps_of(name)
    said = " ".join(step_of(steps, "Make the").does)
    found = re.search(r"About (.*?) stands there as listed; for a first basket (.*?)\. ", said)
    listed, longer = map(parse_length, found.groups())
    least = parse_length(re.search(r"Measure each \w+: (.*?) should stand above the last row, or more", said)[1])
    assert least == pytest.approx(plan.laid.border.range_mm[0], abs=8.0) and least < listed
    cut = re.search(r"cut every \w+ that is longer to (.*?) above the last row", said)
    assert bool(cut) == plan.design.border.is_open and (not cut or least <= parse_length(cut[1]) < listed)
    ends = 1 if plan.design.spokes.inserted or plan.board else 2
    below = sum(mm for what, mm, *_ in plan.spokes.parts if "border" not in what and "spare" not in what) / ends
    assert listed == pytest.approx(plan.spokes.cut_mm / ends - below, abs=2.0)  # both spares of a board stand above
    more = plan.spokes.range_mm[1] - plan.spokes.cut_mm
    assert longer - listed == pytest.approx(more / ends, abs=13.0)


def test_a_forgotten_join_is_taken_back_to_where_the_weaver_last_lay_behind():
    for name in ("posy", "quayside"):
        bench = Bench(planned(name))
        trouble = next(each for each in troubles(bench) if each.title.startswith("A join forgotten"))
        space, spoke = re.search(r"space (\d+), until .* lies behind \w+ (\d+)\.", trouble.undo[0]).groups()
        band = next(each for each in bench.laid.bands if each.index == trouble.band)
        mine = [each for each in trouble.right[: trouble.at] if each.weaver == trouble.right[trouble.at].weaver]
        assert mine
        assert int(spoke) == (mine[-1].beyond - 1) % band.spaces + 1
        assert int(space) == mine[-1].beyond % band.spaces + 1


def test_a_weaver_that_goes_round_by_itself_is_told_how_many_strokes_that_is():
    plan, steps = steps_of("estuary")
    band = next(each for each in plan.laid.bands if each.band.weave.name == "chasing")
    t = band.traces()[0][1]
    line = next(each for each in step_of(steps, "The stroke", band.index).does if "once round:" in each)
    many = {len(set(t.stroke[(t.row == 0) & (t.weaver == k)].tolist())) for k in (0, 1)}
    assert {int(each) for each in re.findall(r"\d+", line)} == many


def test_of_many_weavers_it_is_said_how_far_their_tails_reach():
    plan, steps = steps_of("posy")
    band = next(each for each in plan.laid.bands if len(each.colours) > 8)
    step = step_of(steps, "End the weavers", band.index)
    (far,) = [int(found[1]) for line in step.does if (found := re.search(r"reaches about (\d+) spokes? further", line))]
    assert abs(far * float(band.spacing[-1]) - band.tail_mm) < float(band.spacing[-1])


# Drawn ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_drawing_of_weavers_that_are_ended_shows_and_names_the_tail_of_each(hand):
    plan, steps = steps_of("estuary", hand)
    figures = figured(plan)
    for step in (each for each in steps if each.title == "End the weavers level"):
        band = next(each for each in plan.laid.bands if each.index == step.band)
        drawing = step.drawings[0]
        moved = {each.tube.weaver for each in figures.making.at(drawing.first, drawing.beyond)
                 if each.state == MOVES and each.tube.bit == TAIL_AT_END}  # fmt: skip
        assert moved == set(range(len(band.colours)))
        svg = figures.svg(step, drawing)
        assert all(f">tail {k + 1}<" in svg for k in moved)


def test_of_an_open_border_nothing_is_cut_and_nothing_is_said_of_cutting():
    _, steps = steps_of("posy")
    step = step_of(steps, "Level the border")
    said = " ".join([*map(str, step.does), *step.looks, *(f"{slip.seen} {slip.undo}" for slip in step.slips)])
    assert "one height" in said and not re.search(r"\b(cut|slant|short)\b", said)
    assert not any(each.title == "Trim the border" for each in steps)


def test_where_there_is_a_weaver_for_every_space_it_is_said_which_is_which():
    """The steps that follow call them by number: as the order of work sets them in."""
    plan, steps = steps_of("posy")
    band, order = plan.laid.bands[4], moments(plan.laid)
    many = len(band.colours)
    spaces = [int(order.space[order.by_weaver[4, 0, weaver, "set in"][0]]) + 1 for weaver in range(many)]
    told = " ".join(map(str, step_of(steps, "Set in 17 weavers", 4).does))
    assert f"Begin at space {spaces[0]}: that is weaver 1." in told and many == 17
    assert f"weaver 2 at space {spaces[1]}, and so on, weaver 17 at space {spaces[-1]}." in told


@pytest.mark.parametrize("name", ["estuary", "posy"])
def test_where_tails_are_trimmed_the_drawing_numbers_what_they_lie_behind(name):
    plan, steps = steps_of(name)
    last = "Level the border" if plan.design.border.is_open else "Trim the border"
    step, trimmed = step_of(steps, "Trim the weavers"), step_of(steps, last)
    found = [int(each) for each in re.findall(r">(\d+)<", figured(plan).svg(trimmed, trimmed.drawings[-1]))]
    between = re.search(r"is cut between \w+ (\d+) and (\d+)", " ".join(step.does)).groups()
    assert {int(each) for each in between} <= set(found)  # the place of the example is the one that is drawn
    assert len(found) >= 4
    assert len(set(found)) == len(found)
    tips = not plan.design.border.is_open  # of an open one they are pushed into the weaving
    assert trimmed.drawings[-1].caption.endswith("cut tails and tips." if tips else "cut tails.")


# The first page ------------------------------------------------------------------------------------------------


def test_the_list_of_what_to_cut_says_what_a_start_is_and_that_centimetres_are_rounded_up():
    plan = planned("estuary", "left", "uk")
    said = outline(plan, "student")
    assert any(word == "Start" for word, _ in said["early"])
    assert any("In this list centimetres beside inches are rounded up" in line for line in said["spare"])
    pairs = [found for row in said["bundles"] for line in row[-1]
             for found in re.findall(r"([\d/ ]+(?:ft|in)[\d/ in]*) \(([\d.]+) (c?m)\)", line)]  # fmt: skip
    assert len(pairs) > 8
    for inches, metric, unit in pairs:
        more = float(metric) * (10.0 if unit == "cm" else 1000.0) - parse_length(inches.strip())
        assert -1e-6 <= more <= 10.0, inches
    assert not any("rounded" in line for line in spare_told(planned("estuary")))


def test_a_british_teacher_reads_how_sure_the_lengths_are_in_centimetres_too():
    ranges = outlined("estuary", "teacher", "left", "uk")["ranges"]
    assert len(ranges) > 5
    for what, cut, between in ranges:
        inches, cm = re.fullmatch(r"(.*in) \(([\d.]+ c?m)\)", cut).groups()
        more = float(cm.split()[0]) * (10.0 if cm.endswith("cm") else 1000.0) - parse_length(inches)
        assert abs(more) < 10.0 + parse_length("1 in"), what  # inches and centimetres are each rounded up
        low, high = map(int, re.search(r"\((\d+) to (\d+) cm\)$", between).groups())
        assert low < high, what
        assert low - 3.0 < parse_length(inches) / 10.0 < high + 3.0, what
    assert not any("cm" in cell for row in outlined("estuary", "teacher")["ranges"] for cell in row)
