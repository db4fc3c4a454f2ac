"""Joins and pieces agree: whoever cuts what is listed comes past every spoke behind which a join is told."""

from __future__ import annotations

import re
from itertools import groupby

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from strategies import basket, toml

from slype.errors import DesignError, Unweavable
from slype.lay.joins import CLEAR_SPACES, HELD_MM, OVERLAP_MM, at_start_line, least_apart, meeting
from slype.plans import planning
from slype.quantity import MM_PER_FT
from slype.weave.table import WEAVES

HALF = OVERLAP_MM / 2


def weavers_of(course):
    """(band, block, weaver) by number of the weaver; and their passages, segment by segment, as the trace has them:
    (band, its row's mm, row of the stroke, stroke, spokes passed before, spoke, in front?)."""
    out = {k: [] for k in range(len(course.begins.colours))}
    for segment in course.segments:
        band = segment.band
        block = [first for first, _, _ in band.segments].index(segment.first)
        first, t = band.traces()[block]
        row_of = {int(stroke): int(row) for stroke, row in zip(t.stroke[::-1], t.row[::-1], strict=True)}
        for k, passages in out.items():
            mine = [int(i) for i in (t.weaver == k).nonzero()[0]]
            mine.sort(key=lambda i: int(t.travel[i]))
            strokes = [each for each, _ in groupby(int(t.stroke[i]) for i in mine)]
            nth = {stroke: n for n, stroke in enumerate(strokes)}
            for i in mine:
                travel, stroke = int(t.travel[i]), int(t.stroke[i])
                back = band.band.weave.turns == "back"
                # Of what a weaver lays in one row, each of the spokes that it passes there has its share.
                share = int((t.stroke == stroke).sum()) if back else band.spaces
                row = int(t.row[i]) if back else min(travel // band.spaces, segment.rows - 1)
                passages.append((band, block, float(segment.row_mm[row]) / share, first + row_of[stroke], nth[stroke],
                                 travel, int(t.spoke[i]), bool(t.front[i])))  # fmt: skip
    return out


def walked(plan):
    """Weaves every joined weaver stroke by stroke from its listed pieces; how many joins it came to."""
    came = 0
    for course in plan.courses:
        passages, left = weavers_of(course), []
        for cut in (each for each in plan.cuts if each.course is course):
            joins = {(j.band, j.block, j.passed): j for j in plan.all_joins if j.weaver == cut.weaver
                     and j.band in course.bands and course.weaves(j.band, j.row)}  # fmt: skip
            assert len(joins) == len(cut.pieces_mm) - 1
            pieces = list(cut.pieces_mm)
            hand = pieces.pop(0) - course.begins.tail_mm
            sooner, before = 0, None
            for band, block, mm, row, stroke, passed, spoke, front in passages[cut.weaver]:
                hand -= mm / 2
                join = joins.pop((band.index, block, passed), None)
                if join is not None:
                    assert not front and (join.row, join.stroke, join.spoke) == (row, stroke, spoke)
                    assert hand >= HALF - 1e-6, "it reaches its half of what lies double past the spoke"
                    assert hand >= HALF + HELD_MM - 1e-6 or not sooner, "so much besides that it can be held"
                    assert join.overlap_mm == pytest.approx(hand + HALF)
                    hand = pieces.pop(0) - HALF
                    came, sooner = came + 1, 0
                elif not front and before != (block, band.index, stroke):
                    sooner += 1  # a stroke of this piece goes behind here, so it could be joined here
                before = before if front else (block, band.index, stroke)
                hand -= mm / 2
                assert hand >= -1e-6, "it does not run out between two joins"
            assert not joins and not pieces
            left.append(hand)
        # Last strokes of weavers that take turns end in several places: all are cut like the one that goes furthest.
        tail = course.begins.tail_mm
        assert min(left) >= tail - 1e-6 and (course.last_mm == 0 or min(left) == pytest.approx(tail))
    return came


@st.composite
def joined_baskets(draw):
    """A basket whose side is woven in any weave of the table or a free one, with reeds too short for it."""
    weave = draw(st.sampled_from([*sorted(WEAVES), "free"]))
    ends = draw(st.integers(18, 41))
    more = {"weave": weave} if weave != "free" else {"over": draw(st.integers(1, 3)), "under": draw(st.integers(1, 3)),
                                                     "weavers": draw(st.integers(1, 3))}  # fmt: skip
    lines = [f"length = {toml(draw(st.sampled_from(['18 in', '2 ft', '3 ft 1 in', '5 ft', '8 ft'])))}",
             f"start = {draw(st.integers(1, ends))}"]  # fmt: skip
    if draw(st.booleans()):
        lines.append(f"groups = {draw(st.integers(2, 3))}")
    if draw(st.integers(0, 2)) == 0:
        lines.append(f"blocks = {{ rows = {draw(st.integers(2, 5))}, shift = {draw(st.integers(0, 3))} }}")
    if weave == "slewing":
        lines.append(f"strands = {draw(st.integers(2, 3))}")
    return dict(ends=ends, rows=draw(st.integers(2, 14)), hand=draw(st.sampled_from(["right", "left"])),
                wall=[["0 in", "6 in"], ["5 in", draw(st.sampled_from(["6 in", "8 in"]))]],
                band="\n".join(lines), **more)  # fmt: skip


@settings(max_examples=60)
@given(joined_baskets())
@example(dict(ends=41, weave="randing", rows=30, band='length = "8 ft"'))
@example(dict(ends=25, weave="French randing", rows=14, band='length = "18 in"'))
@example(dict(ends=32, weave="six-rod wale", rows=9, band='length = "3 ft"\nstart = 7'))
@example(dict(ends=24, weave="pairing", colours=["natural", "rust"], rows=6, band='length = "4 ft"',
              after='[[band]]\nweave = "pairing"\nreed = "round 3"\ncolours = ["natural", "rust"]\nrows = 5\n'
                    'length = "4 ft"'))  # fmt: skip
def test_who_cuts_what_is_listed_comes_past_every_spoke_of_a_join(said):
    try:
        plan = planning.plan(basket(**said))
    except (DesignError, Unweavable):
        assume(False)
    usable = {course: course.usable_mm for course in plan.courses}
    assert all(mm <= usable[cut.course] + 1e-6 for cut in plan.cuts for mm in cut.pieces_mm)
    assert walked(plan) == len(plan.all_joins)
    for strand in plan.strands:
        mine = [cut for cut in plan.cuts if cut.weaver == strand.weaver and strand.band in cut.course.bands]
        bands = {band for cut in mine for band in cut.course.bands}
        whole = sum(s.length_mm for s in plan.strands if s.band in bands and s.weaver == strand.weaver)
        many = len(plan.laid.bands[0].colours[0])
        assert whole / many == pytest.approx(sum(cut.length_mm for cut in mine))


def test_folded_weavers_are_walked_to_the_end_as_well():
    # Of an even number of rows both weavers pass as many ends.
    made = planning.plan(basket(ends=25, before='[base]\nbegin = "folded"\n[[band]]\nwhere = "base"\n'
                                'weave = "pairing"\nreed = "round 2"\ncolours = ["natural", "natural"]\n'
                                'rows = 10\nlength = "5 ft"\n'))  # fmt: skip
    course = made.courses[0]
    first, other = (cut for cut in made.cuts if cut.course is course)
    assert course.folded and len(other.pieces_mm) > 1
    joined = [join.overlap_mm for join in made.all_joins if join.band == 0]
    both = sum(first.pieces_mm) + sum(other.pieces_mm)
    assert both == pytest.approx(2 * course.woven_mm + 2 * course.begins.tail_mm + sum(joined))


def test_a_reed_is_woven_as_far_as_it_goes():
    """No spoke further on, behind which the weaver passes, is reached with enough to hold: they are a stroke away."""
    plan = planning.plan(basket(ends=25, weave="randing", rows=20, band='length = "6 ft"'))
    (band,) = plan.laid.bands
    stroke = 2 * float(band.row_mm.max()) / band.spaces
    spare = [join.spare_mm for join in plan.all_joins]
    assert len(spare) == 5 and HELD_MM <= min(spare) and max(spare) <= HELD_MM + stroke + 1e-6


def first_cuts(passages, course, usable):
    """(row, spoke) of every join of one weaver, and how long its last piece is, for each first cut from a whole reed
    down to half of one: each piece is woven by hand as far as it goes, and joined where it last could be held."""
    places, woven, before = [], 0.0, None
    for band, block, mm, row, stroke, _, spoke, front in passages:
        if not front and before != (block, band.index, stroke):
            places.append((woven + mm / 2, row, spoke))
        before = before if front else (block, band.index, stroke)
        woven += mm
    end = course.woven_mm + course.last_mm + course.begins.tail_mm
    for cut in range(26):
        hand, out = usable * (1 - 0.02 * cut) - course.begins.tail_mm, []
        while hand < end - 1e-6:
            at = max((place for place in places if place[0] <= hand - HALF - HELD_MM + 1e-6), default=None)
            if at is None or at in out:
                break
            out.append(at)
            hand = at[0] - HALF + usable
        else:
            yield [place[1:] for place in out], end - out[-1][0] + HALF


@settings(max_examples=40)
@given(joined_baskets())
@example(dict(ends=32, weave="pairing", rows=20, band='length = "8 ft"'))
@example(dict(ends=27, weave="chain wale", rows=14, band='length = "8 ft"'))
@example(dict(ends=36, weave="six-rod wale", rows=12, band='length = "8 ft"\nstart = 7'))
def test_joins_lie_apart_wherever_a_first_cut_would_have_kept_them_so(said):
    try:
        plan = planning.plan(basket(**said))
    except (DesignError, Unweavable):
        assume(False)
    for course in plan.courses:
        if len(course.segments) > 1 or len(course.begins.colours) > 24:
            continue  # with a weaver in every space they meet anyway
        band, usable, passages = course.begins, course.usable_mm, weavers_of(course)
        earlier = []

        def clear(mine, earlier=earlier, band=band):
            start = band.band.start % band.spaces if len(band.segments) == 1 else None
            held = [*earlier, *mine]
            near = [(a, b) for i, a in enumerate(held) for b in held[i + 1 :] if b in mine and abs(a[0] - b[0]) <= 1]
            round_ = [abs((a[1] - b[1] + band.spaces // 2) % band.spaces - band.spaces // 2) for a, b in near]
            beside = [abs((spoke - s + band.spaces // 2) % band.spaces - band.spaces // 2)
                      for _, spoke in mine for s in (start - 1, start)]  # fmt: skip
            return min([CLEAR_SPACES, *round_, *beside]) >= CLEAR_SPACES

        for cut in (each for each in plan.cuts if each.course is course):
            mine = [(j.row, j.spoke) for j in plan.all_joins if j.weaver == cut.weaver and j.band == band.index]
            if mine and len(band.segments) == 1 and not clear(mine):
                least = min(MM_PER_FT * 2, usable / 4)
                helps = [at for at, last in first_cuts(passages[cut.weaver], course, usable)
                         if last >= least and clear(at)]  # fmt: skip
                assert not helps, (cut.weaver, mine, helps[0])
            earlier += mine


@given(st.integers(20, 36), st.integers(2, 20), st.integers(4, 14), st.sampled_from(["randing", "pairing"]))
def test_what_is_said_of_joins_that_meet_is_so_of_the_spokes(ends, rows, feet, weave):
    ends += (weave == "randing") * (1 - ends % 2)
    plan = planning.plan(basket(ends=ends, rows=rows, weave=weave, band=f'length = "{feet} ft"'))
    (band,), (planned,) = plan.laid.bands, plan.joins
    near = [min((a.spoke - b.spoke) % ends, (b.spoke - a.spoke) % ends) for i, a in enumerate(planned.joins)
            for b in planned.joins[i + 1 :] if abs(a.row - b.row) <= 1]  # fmt: skip
    assert least_apart(planned, band) == min([ends, *near])
    assert len(meeting(planned, band)) == sum(each < CLEAR_SPACES for each in near)
    assert all(join.spoke in (0, ends - 1) for join in at_start_line(planned, band))
    for told in (each for each in plan.advice if each.rule.key == "joins meet"):
        row, spoke = re.search(r"rows (\d+) and .* near spoke (\d+)", told.message).groups()
        assert (int(row) - 1, int(spoke) - 1) in {(join.row, join.spoke) for join in planned.joins}


def test_reeds_that_do_not_reach_from_one_back_to_the_next_are_refused():
    band = 'groups = 4\nlength = "4 in"'
    short = dict(ends=24, weave="pairing", base="12 in", rows=4)
    with pytest.raises(Unweavable, match=r"band 1, length: reeds of 4 in are too short here") as refused:
        planning.plan(basket(**short, band=band))
    long = re.search(r"Use reeds of (.* in) or longer", str(refused.value))[1]  # a remedy that helps
    assert planning.plan(basket(**short, band=band.replace("4 in", long))).all_joins
    assert planning.plan(basket(ends=25, weave="randing", rows=4, band='length = "6 in"')).all_joins


def test_a_place_is_told_by_the_first_spoke_that_the_stroke_passes_behind():
    plan = planning.plan(basket(ends=30, weave="six-rod wale", rows=8, band=f"length = {toml('5 ft')}"))
    (_, t), *_ = plan.laid.bands[0].traces()
    firsts = {(int(t.weaver[i]), int(t.travel[i])) for i in (~t.front).nonzero()[0] if t.step[i] == 3}
    assert plan.all_joins and {(join.weaver, join.passed) for join in plan.all_joins} <= firsts
    assert max(mm for cut in plan.cuts for mm in cut.pieces_mm) <= 5 * MM_PER_FT + 1e-6
