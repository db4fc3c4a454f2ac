"""What the ruler says, and what helps where it says something else; where side spokes are pushed in."""

import math
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from places import EXAMPLES
from samples import BOARD
from strategies import basket
from worked import planned_as, taught

from slype.design.file import reader
from slype.figures.making import Making
from slype.order.moments import moments
from slype.paper.handout import outline
from slype.plans import planning
from slype.quantity import MM_PER_IN, parse_length
from slype.surface.oval_sticks import on_long_stick
from slype.surface.standing import beside_sticks, inserted_curves
from slype.surface.sticks import base_sticks
from slype.teach.ending import ended_in
from slype.teach.measures import (
    DISAGREES,
    HARDLY_SEEN_MM,
    hangs_in,
    row_strokes,
    rows_changed,
    rows_off,
    ruler_remedies,
)
from slype.teach.step.bench import Bench
from slype.teach.stroke import rows_begin
from slype.tell.inserted import where_in
from slype.weave.trace import CROSSING


def example(name, **values):
    return replace(reader.parse((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")), **values)


@cache
def planned(name, wording="us"):
    return planned_as(name, wording=wording)


@pytest.mark.parametrize("name", ["posy", "quayside", "saltmarsh"])
def test_every_band_that_is_measured_says_what_a_row_is_and_where_help_stands(name):
    plan = planned(name)
    for step in taught(plan):
        if not any("the last, measure:" in line for line in step.does):
            continue
        band = next(each for each in plan.laid.bands if each.index == step.band)
        slip = next(slip for slip in step.slips if slip.seen.startswith("The ruler shows"))
        (said,) = re.findall(r"shows (?:(\d+) mm|([\d/ ]+) in) more", slip.seen)
        mm = float(said[0]) if said[0] else sum(_number(part) for part in said[1].split()) * MM_PER_IN
        row_mm = band.pitch_mm * (2 if band.band.where == "base" else 1)
        (rows,) = re.findall(r"That is (?:a|(\d+)) row|$", slip.undo)[:1]  # none where they belong together
        assert mm == pytest.approx(row_mm * rows_off(band), abs=0.85) and mm > 4, "finer is not read off reed"
        assert "rows" not in slip.seen and (int(rows or 1) == rows_off(band) or "Keep to its rows" in slip.undo)
        assert row_mm * (rows_off(band) - 1) < HARDLY_SEEN_MM, "no more than is seen"
        assert DISAGREES in slip.undo


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_a_ruler_is_heeded_from_as_many_rows_on_as_each_band_s_own_step_says(name):
    """It was said of a wall to go on where a row is off, and to leave one out."""
    plan = planned(name)
    said = " ".join(rows_changed(Bench(plan)))
    fine = re.findall(r"rows of bands? ([^.]*) are thin. Go on there when you are off by less than (\d+)", said)
    assert ("Are you off by less than a row? Go on." in said) == (not fine)
    told = {int(band): int(rows) for bands, rows in fine for band in re.findall(r"\d+", bands)}
    for band in plan.laid.bands:
        row_mm = band.pitch_mm * (2 if band.band.where == "base" else 1)
        rows = told.get(band.index + 1, 1)
        assert rows * row_mm > 4, "finer is not read off reed"
        assert (rows - 1) * row_mm < HARDLY_SEEN_MM, "no more than is seen"
    assert ("Elsewhere go on when you are off by less than a row." in said) == (0 < len(told) < len(plan.laid.bands))


@pytest.mark.parametrize("ends", [16, 17])
def test_across_is_measured_to_what_stands_across_an_even_count_has_a_spoke_there_an_odd_one_a_gap(ends):
    plan = planning.plan(basket(ends=ends, weave="three-rod wale"))
    (told,) = [line for step in taught(plan) for line in step.does if line.startswith("Across: at the last row")]
    assert str(told).endswith("to the gap across from it." if ends % 2 else "to that of the one across.")


def _number(part):
    over, _, under = part.partition("/")
    return float(over) / float(under or 1)


@pytest.mark.parametrize("name", ["posy", "saltmarsh"])
def test_a_row_fewer_leaves_every_later_band_where_it_begins(name):
    """As the page says: laid with one row fewer in a band, all that follow are set in where they were."""
    design = example(name)
    assert any("begins in the same spaces" in line for line in rows_changed(Bench(planned(name))))
    at = next(i for i, band in enumerate(design.bands) if band.where == "side" and band.rows)
    bands = list(design.bands)
    bands[at] = replace(bands[at], rows=bands[at].rows - 1)
    before, after = taught(planned(name)), taught(planning.plan(replace(design, bands=tuple(bands))))
    began = [[(step.band, count) for step in steps for count in step.counts if count.what == "set in"]
             for steps in (before, after)]  # fmt: skip
    assert began[0] and began[0] == began[1]


def test_a_british_maker_of_a_basket_in_inches_finds_centimetres_beside_them():
    measures = [line for step in taught(planned("posy", "uk")) for line in step.does if "measure:" in line]
    assert measures and all(len(re.findall(r"in \([\d.]+ cm\)", line)) >= 1 for line in measures)
    assert not any("cm" in line for step in taught(planned("posy")) for line in step.does)


def test_what_is_too_high_and_what_is_too_low_have_a_remedy_each():
    seen = " ".join(each.seen for each in ruler_remedies(Bench(planned("posy"))))
    for fault in ("too wide", "too narrow", "too high", "too low", "too short"):
        assert fault in seen


def test_weavers_that_go_on_over_other_groups_are_drawn_back_to_where_the_trace_begins():
    plan, seen = planned("estuary"), 0
    for step in taught(plan):
        if step.title.startswith(("Take the spokes", "Open the")) and step.band > 0:
            band = next(each for each in plan.laid.bands if each.index == step.band)
            t = band.traces()[0][1]
            begin = next(int(t.spoke[i]) + 1 for i in range(len(t.spoke)) if t.weaver[i] == 1)
            kind = "group space" if band.band.group > 1 else "space"
            said = " ".join(step.does)
            assert f"Weaver 2 then comes out at {kind} {begin}." in said
            seen += 1
    assert seen == 3


def test_a_weaver_that_meets_one_at_rest_goes_in_above_it_as_in_the_trace():
    plan = planned("estuary")
    band = next(each for each in plan.laid.bands if each.band.weave.name == "chasing")
    t = band.traces()[0][1]
    here = t.sites.passage[(t.sites.kind == CROSSING) & (t.sites.place == t.start)]  # from the bottom up
    met = [int(p) for p in here if t.row[p] == 0 or t.weaver[p] == 0][:2]
    assert [int(t.weaver[p]) for p in met] == [0, 1]
    said = next(step for step in taught(plan) if step.band == band.index and step.title == "The stroke").does
    assert "Where it meets one that rests, it goes in above that one: let that one hang." in said


def test_an_oval_is_told_how_far_apart_its_sticks_lie():
    """The short ones where they cross, and all at the edge, held against the sticks as they are drawn."""
    plan = planned("saltmarsh")
    said = " ".join(next(step for step in taught(plan) if step.title.startswith("Lay the long")).does)
    lines = [line for line, long in zip(base_sticks(plan.laid), on_long_stick(plan.laid), strict=True) if not long]
    across = sorted({round(float(line[0, 0]), 3) for line in lines})
    told = [sum(_number(part) for part in found.split()) * MM_PER_IN
            for found in re.findall(r"([\d/ ]+) in apart", said)]  # fmt: skip
    assert told[0] == pytest.approx(across[1] - across[0], abs=1.6)
    tips = [line[-1] for line in base_sticks(plan.laid)]
    apart = sum(math.dist(a, b) for a, b in pairwise([*tips, tips[0]])) / len(tips)
    assert told[1] == pytest.approx(apart, abs=2.0)


@pytest.mark.parametrize("name", ["posy", "quayside"])
def test_a_new_spoke_for_a_cracked_one_reaches_through_the_border(name):
    plan = planned(name)
    slip = next(slip for step in taught(plan) for slip in step.slips if "cracks, here or while" in slip.seen)
    long = parse_length(re.search(r"at least (.*?) long", slip.undo)[1])
    least = plan.laid.top_s + plan.laid.border.length_mm
    assert least + 40.0 < long < least + 160.0
    ready = next(step for step in taught(plan) if step.title.startswith("Make the")).slips[0]
    enough = parse_length(re.search(r"shorter than (.*), or cracks", ready.seen)[1])
    assert enough == pytest.approx(plan.laid.border.range_mm[0], abs=2.0)
    assert parse_length(re.search(r"new one, (.*?) long", ready.undo)[1]) > plan.laid.border.length_mm + 25.0


@pytest.mark.parametrize("name", ["posy", "quayside", "estuary"])
def test_each_weaver_s_pieces_are_those_that_are_cut_for_it_in_order(name):
    plan = planned(name)
    told = 0
    for step in taught(plan):
        band = next((each for each in plan.laid.bands if each.index == step.band), None)
        for line in step.does if band is not None and band.band.blocks is None else ():
            if "in turn: " not in line:
                continue
            which = re.search(r"of weaver (\d+)", line)
            cut = next(each for each in plan.cuts if each.course.begins is band
                       and (which is None or each.weaver == int(which[1]) - 1))  # fmt: skip
            pieces = []
            for part in line.split("in turn: ")[1].rstrip(".").split("; "):
                many, _, long = part.partition(" of ") if " of " in part else ("1", "", part)
                pieces += [parse_length(long)] * int(many)
            assert len(pieces) == len(cut.pieces_mm)
            more = [piece - mm for mm, piece in zip(cut.pieces_mm, pieces, strict=True)]
            assert all(-1e-6 <= each < MM_PER_IN + 1e-3 for each in more)
            told += 1
    assert told


@pytest.mark.parametrize("ends, base_ends", [(41, 21), (42, 21), (21, 21), (31, 16), (24, 16)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_side_spokes_go_in_where_it_is_said(ends, base_ends, hand):
    design = example("quayside", hand=hand)
    design = replace(design, spokes=replace(design.spokes, ends=ends, base_ends=base_ends))
    found = beside_sticks(design)
    assert len(set(found)) == ends  # never two on one side of a stick
    said = " ".join(where_in(design, "side spoke"))
    alone = {stick: side for stick, side in found if (stick, -side) not in found}
    if ends == base_ends:
        assert f"always on its {hand} side" in said and set(alone.values()) == {1}
        return
    for stick, side in alone.items():
        told = re.search(rf"Sticks? (?:[\d, and]*\b)?{stick + 1}\b[^.]* get", said)
        near = f"between it and stick {(stick + side) % base_ends + 1}", "higher number" if side > 0 else "lower number"
        assert told and said[told.end() :].split(".")[0].endswith(near)
    assert len(alone) == 2 * base_ends - ends


def test_what_is_said_of_a_single_one_is_what_is_drawn():
    laid = planned("quayside").laid
    drawn = [(int(curve.u[0]), 1 if curve.u[0] % 1 > 0.5 else -1) for curve in inserted_curves(laid)]
    assert drawn == beside_sticks(laid.design)


def test_groups_opened_out_on_a_board_are_told_though_no_sticks_lie_below():
    board = BOARD.replace('weave = "three-rod wale"', 'weave = "pairing"\ngroups = 3\nrows = 4', 1).replace(
        'reed = "round 3"\nuntil = "top"', 'reed = "round 3"\n[[band]]\nweave = "randing"\nreed = "round 3"\nrows = 6'
    )
    assert any("Open the" in step.title for step in taught(planning.plan(reader.parse(board))))


@pytest.mark.parametrize("name", ["posy", "saltmarsh", "estuary"])
def test_rows_that_begin_or_end_otherwise_are_told_as_the_trace_has_them(name):
    """With which weaver each row begins; of a single one, after how many strokes and where it comes out."""
    plan, checked = planned(name), 0
    for step in taught(plan):
        told = [line for line in step.does if re.match(r"Rows? \d[\d, and]*(?: begins? with weaver|:)", line)]
        if not told or not step.rows:
            continue
        t = next(each for each in plan.laid.bands if each.index == step.band).traces()[0][1]
        for line in told:
            head, _, tail = line.partition(" begin" if "begin" in line else ":")
            for row in map(int, re.findall(r"\d+", head)):
                mine = (t.row == row - 1) & (t.step == 0)  # a stroke is of the row that it begins in
                first = t.stroke[mine].min()
                if "begin" in line:
                    assert int(re.search(r"weaver (\d+)", tail)[1]) == t.weaver[t.stroke == first][0] + 1
                else:
                    many, out = map(int, re.findall(r"\d+", tail))
                    last = t.stroke == t.stroke[mine].max()
                    came = int(t.spoke[last][t.step[last].argmax()]) + 1
                    assert (many, out) == (len(set(t.stroke[mine].tolist())), came % t.ends + 1)
                checked += 1
    assert checked >= 3


def test_what_holds_for_all_bands_is_said_once_in_the_base_and_once_at_the_side():
    said = [line for step in taught(planned("estuary")) for line in (*step.does, *step.looks)]
    for what in ("hand leads the weaver", "Press each row", "there is a small rise"):
        assert sum(what in line for line in said) == 2, what


@pytest.mark.parametrize("hand", ["right", "left"])
def test_of_two_arches_the_one_lies_outside_that_is_told_to(hand):
    """Where the second crosses the first, as their curves have it."""
    plan = planning.plan(example("posy", hand=hand))
    step = next(step for step in taught(plan) if step.title == "The first spokes")
    assert "Where arches 1 and 2 cross, arch 2 lies behind arch 1." in step.does
    one, two = (next(each.points for each in Making(plan.laid).tubes if each.role == "border" and each.end == end)
                for end in (0, 1))  # fmt: skip
    away = [np.hypot(*points[:, :2].T) for points in (one, two)]
    around = [np.unwrap(np.arctan2(points[:, 1], points[:, 0])) for points in (one, two)]
    apart = np.hypot((around[0][:, None] - around[1]) * away[0].mean(), one[:, 2][:, None] - two[:, 2])
    i, j = np.unravel_index(apart.argmin(), apart.shape)
    assert apart[i, j] < 2.0 and away[0][i] > away[1][j] + 1.0


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_foot_of_a_board_is_told_as_its_ends_are_led(hand):
    plan = planning.plan(replace(reader.parse("version = 1\n" + BOARD), hand=hand))
    order, ends = moments(plan.laid), plan.design.foot_ends
    told = 0
    for step in taught(plan):
        for line in step.does if step.title.startswith("The foot") else ():
            if found := re.match(r"(?:Bend|Take) spoke (\d+) (.*), and leave", line):
                end = -(int(found[1]) - 1) % ends
                row = int(re.search(r"\d+$", step.title)[0]) - 1 if step.title[-1].isdigit() else 0
                m = next(m for m in order.by_end["foot", end] if order.row[m] == row)
                numbers = [int(each) for each in re.findall(r"\d+", found[2])]
                assert numbers == [-p.spoke % ends + 1 for p in order.passes[m]]
                told += 1
    assert told >= 4


def test_a_board_stays_dry_and_its_loose_spokes_are_held_at_their_length():
    plan = planning.plan(reader.parse("version = 1\n" + BOARD))
    steps = taught(plan)
    told = [line for step in steps for line in step.does]
    assert not [line for line in told if re.search(r"[Dd]ip the (basket|work)|soak the work", line)]
    assert [line for line in steps[-1].does if "board out of the water" in line]
    marked = next(step for step in steps if step.title.startswith("Mark and drill")).does
    prick, without, circle = (next(i for i, line in enumerate(marked) if text in line)
                              for text in ("Prick", "Without a template", "Draw a circle"))  # fmt: skip
    assert prick < without < circle
    below = Bench(plan).long(plan.board.foot.length_mm)
    set_in, first = (next(step for step in steps if step.title.startswith(name)) for name in ("Set the", "The foot"))
    assert [line for line in set_in.does if f"books, {below} high" in line]
    assert f"{below} below the board" in set_in.drawings[0].caption
    held = [line for line in first.does if "bucket" in line or f"{below} stands out" in line]
    assert len(held) == 2 and first.does.index(held[1]) < first.does.index(
        next(line for line in first.does if line.startswith("Bend")))  # fmt: skip


BELONG = {"estuary": {1, 2, 3, 6, 8}, "posy": set(), "saltmarsh": set()}
"""Bands of the examples whose rows belong together, by hand from their files: 1 to 3 of the bread basket go on with the
same weavers, 6 begins anew after every fourth row, and 8 is a chain of two rows."""


@pytest.mark.parametrize("name", BELONG)
def test_no_row_more_or_fewer_is_offered_where_it_would_break_the_pattern(name):
    plan = planned(name)
    bench = Bench(plan)
    told = [f"{each.seen} {each.undo}" for each in ruler_remedies(bench)]
    offered = [line for line in told if re.search(r"back the last row|Leave out|more rows|many more", line)]
    assert len(offered) == 4
    after = [re.sub(r"Take it back.*|\d+ strokes.*", "", line.split("band", 1)[1]) for line in offered]
    named = {int(n) for line in after for n in re.findall(r"(?<![\d/])\d+(?![\d/ ]*(?:in|mm))", line)}
    assert named and not named & BELONG[name]
    for step in taught(plan):
        for slip in step.slips:
            if step.band is not None and step.band + 1 in BELONG[name] and slip.seen.startswith("The ruler shows"):
                assert "belong together" in slip.undo and "a row more" not in slip.undo
    kept = [line for line in rows_changed(bench) if line.startswith(("To reach a measure, never", "Keep to the rows"))]
    assert {int(n) for line in kept for n in re.findall(r"\d+", line)} == BELONG[name]


def test_rows_that_close_in_pairs_are_taken_back_in_pairs_and_it_is_said_what_becomes_of_their_weavers():
    plan = planned("estuary")
    (last,) = [each.undo for each in ruler_remedies(Bench(plan)) if "too short" in each.seen]
    assert last.startswith("All of them: take back two rows, never one alone; a row is 32 strokes.")
    assert "Here that is meant, though band 8 is not changed for a measure." in last
    assert plan.laid.side[-1].rows == 2 and "Draw its weavers out whole. The border then stands on band 7." in last
    last = ruler_remedies(Bench(planned("posy")))[-1].undo
    assert "take back the top row, or two" in last and "is meant" not in last and "out whole" not in last
    assert "end each weaver anew where it hangs" in last


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_a_row_too_many_is_taken_back_by_as_many_strokes_as_the_order_of_work_has_in_it(name):
    bench = Bench(planned(name))
    order, told = moments(bench.laid), 0
    for band in bench.laid.bands:
        made = [[m for (index, block, _, act), found in order.by_weaver.items() for m in found
                 if (index, block, act) == (band.index, 0, "stroke") and order.row[m] == row]
                for row in range(min(5, band.segments[0][1]))]  # fmt: skip
        assert set(map(int, re.findall(r"\d+", row_strokes(band)))) == {len(each) for each in made}
        if len(band.colours) == 1 and not band.band.blocks:
            if band.rows % 2 == 0:  # of an odd number of rows the last stroke passes on beyond the last
                (end,) = order.by_weaver[band.index, 0, 0, "end"]
                assert hangs_in(band, band.rows) == ended_in(bench, band, end)
            told += 1
    (wide,) = [each.undo for each in ruler_remedies(bench) if each.seen == "The base is too wide."]
    at = int(re.search(r"the last row of band (\d+)", wide)[1]) - 1
    assert f"band {at + 1}: {row_strokes(bench.laid.bands[at])}." in wide
    said = [line for line in rows_changed(bench) if re.match(r"Band \d+: space", line)]
    assert len(said) == told or name == "estuary"
    for line in said:
        at, fewer, *more = map(int, re.findall(r"\d+", line))
        band = bench.laid.bands[at - 1]
        assert [hangs_in(band, band.rows - 1), hangs_in(band, band.rows + 1)] == [fewer, (more or [fewer])[0]]


@pytest.mark.parametrize("name", ["estuary", "posy", "saltmarsh"])
@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
def test_the_last_measure_says_how_high_the_finished_basket_stands_as_its_head_does(name, hand, wording):
    """The wall measured less than the height on the first page, and nothing said that the border adds the rest."""
    plan = planned_as(name, hand, wording)
    said = [line for step in taught(plan) for line in step.does if "the basket then stands" in line]
    head = dict(map(tuple, outline(plan, "student")["facts"]))["Height"]
    assert said == [f"With its border the basket then stands {head} high."]


def test_where_the_last_row_ends_in_half_a_stroke_it_is_said_that_its_last_stroke_goes_in_front_only():
    """Nine rows over 17 sticks are 76 strokes and a half: of the last no stick is passed behind."""
    bench = Bench(planning.plan(basket(ends=17, weave="randing", rows=9)))
    (band,) = bench.laid.bands
    strokes = sorted(m for (_, _, _, act), found in bench.order.by_weaver.items() if act == "stroke" for m in found)
    told = rows_begin(bench, band, strokes)
    assert not bench.order.behind(strokes[-1])
    assert told[-1].startswith("Row 9: 9 strokes, the last in front only, to space ")
    assert all(", out at space " in line for line in told[:-1])
