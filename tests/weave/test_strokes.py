"""Every stroke of every weave: who goes where, and who lies on whom."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import any_weave, named_weaves, starts, stroke_weaves, turn_taking, weave_and_ends

from slype.errors import Unweavable
from slype.lay import pitch
from slype.rods import stack as rods
from slype.weave import trace as strokes
from slype.weave.table import WEAVES, free_weave
from slype.weave.trace import BACK, CROSSING, FRONT, trace

ROUNDING = 1e-9
rows_of_work = st.integers(1, 5)


def woven_by_hand(weave, ends, rows, start):
    """The same band with fingers and no arithmetic: the hindmost weaver moves; of two in one space, the first come.

    Returns the passages (weaver, spoke counted on from space 0, in front?) and whether two ever stood in one space.
    """
    at, came, many = list(range(weave.weavers)), list(range(weave.weavers)), [0] * weave.weavers
    clock, out, met = weave.weavers, [], False
    while True:
        k = min(range(weave.weavers), key=lambda weaver: (at[weaver], came[weaver]))
        if at[k] >= rows * ends:
            return out, met
        met = met or at.count(at[k]) > 1
        over, under = weave.cycle[many[k] % len(weave.cycle)]
        for step in range(over + under):
            out.append((k, start + at[k] + step, step < over))
        at[k] += over + under
        many[k] += 1
        clock += 1
        came[k] = clock


def in_laying_order(t):
    """Passages (weaver, spoke counted on from space 0, in front?) in the order they are laid."""
    order = np.lexsort((t.step, t.stroke))
    unrolled = t.trip * t.ends + t.spoke
    return [(int(t.weaver[i]), int(unrolled[i]), bool(t.front[i])) for i in order]


def columns(t):
    """For every front, back and crossing: its strands from the bottom up, as (trip, laying stroke, weaver)."""
    sites, out = t.sites, {}
    before = np.full(len(t.spoke), -1)
    has_next = t.next_on_weaver >= 0
    before[t.next_on_weaver[has_next]] = np.flatnonzero(has_next)
    for kind, place, passage in zip(sites.kind.tolist(), sites.place.tolist(), sites.passage.tolist(), strict=True):
        maker = before[passage] if kind == CROSSING else passage  # a crossing is laid by the stroke that makes it
        entry = (int(t.trip[passage]), int(t.stroke[maker]), int(t.weaver[passage]))
        out.setdefault((kind, place), []).append(entry)
    return out


# Who goes where ------------------------------------------------------------------------------------------------


@given(weave_and_ends(turn_taking()), rows_of_work, starts)
def test_weavers_that_take_turns_go_where_hands_would_lead_them(woven, rows, start):
    weave, ends = woven
    by_hand, _ = woven_by_hand(weave, ends, rows, start % ends)
    assert in_laying_order(trace(weave, ends, rows, start % ends)) == by_hand


@given(weave_and_ends(any_weave().filter(lambda weave: weave.turns == "stroke")), rows_of_work, starts)
def test_longer_cycles_go_where_hands_would_lead_them_while_no_two_stand_in_one_space(woven, rows, start):
    weave, ends = woven
    by_hand, met = woven_by_hand(weave, ends, rows, start % ends)
    assume(not met)
    assert in_laying_order(trace(weave, ends, rows, start % ends)) == by_hand


@given(weave_and_ends(turn_taking()), rows_of_work, starts)
def test_the_stroke_from_space_p_belongs_to_weaver_p_mod_k(woven, rows, start):
    weave, ends = woven
    start %= ends
    t = trace(weave, ends, rows, start)
    begins = t.step == 0
    space = (t.trip * ends + t.spoke)[begins] - start
    assert np.array_equal(t.weaver[begins], space % weave.weavers)
    assert sorted(space.tolist()) == list(range(rows * ends))  # every space starts one stroke in every row
    assert np.array_equal(t.row[begins], space // ends)


@given(weave_and_ends(turn_taking()), st.integers(2, 5), starts)
def test_each_row_moves_the_weavers_by_count_mod_k(woven, rows, start):
    weave, ends = woven
    t = trace(weave, ends, rows, start % ends)
    for front in (True, False):
        seen = strokes.cells(t, front)
        for below, above in itertools.pairwise(seen):
            for j in range(ends):
                moved = sorted((weaver + ends) % weave.weavers for weaver in below[j])
                assert sorted(above[j]) == moved and moved


@given(weave_and_ends(turn_taking()), rows_of_work, starts)
def test_every_row_lays_over_strands_before_and_under_strands_behind_each_spoke(woven, rows, start):
    weave, ends = woven
    ((over, under),) = weave.cycle
    t = trace(weave, ends, rows, start % ends)
    for front, count in ((True, over), (False, under)):
        seen = strokes.cells(t, front)
        assert len(seen) == rows
        assert {len(cell) for row in seen for cell in row} == {count}


@given(weave_and_ends(), rows_of_work, starts)
def test_every_stroke_is_laid_once_and_every_weaver_passes_every_spoke_in_turn(woven, rows, start):
    weave, ends = woven
    start %= ends
    t = trace(weave, ends, rows, start)
    assert np.array_equal(np.unique(t.stroke), np.arange(t.stroke_count))
    assert len(np.unique(t.stroke * 10_000 + t.step)) == len(t.stroke)
    assert set(t.weaver.tolist()) == set(range(t.weavers))
    for k in range(t.weavers):
        mine = t.weaver == k
        travel = np.sort(t.travel[mine])
        assert np.array_equal(travel, np.arange(len(travel)))
        unrolled = (t.trip * ends + t.spoke)[mine][np.argsort(t.travel[mine])]
        assert np.array_equal(unrolled, start + k + np.arange(len(travel)))
        fronts = t.front[mine][np.argsort(t.travel[mine])]
        pattern = [face for over, under in weave.cycle for face in (True,) * over + (False,) * under]
        assert fronts.tolist() == [pattern[i % len(pattern)] for i in range(len(travel))]


@given(weave_and_ends(), rows_of_work, starts)
def test_every_passage_lies_on_one_face_and_every_change_of_face_is_one_crossing(woven, rows, start):
    weave, ends = woven
    t = trace(weave, ends, rows, start % ends)
    faces = t.sites.kind != CROSSING
    assert sorted(t.sites.passage[faces].tolist()) == list(range(len(t.spoke)))
    assert np.array_equal(t.sites.kind[faces] == FRONT, t.front[t.sites.passage[faces]])
    here = np.flatnonzero(t.next_on_weaver >= 0)
    changes = t.front[here] != t.front[t.next_on_weaver[here]]
    assert sorted(t.sites.passage[~faces].tolist()) == sorted(t.next_on_weaver[here[changes]].tolist())
    fronts, backs = t.faces_of_spokes()
    assert fronts.sum() + backs.sum() == len(t.spoke)
    assert [len(c) for row in zip(*strokes.cells(t, True), strict=True) for c in row] or not fronts.sum()


@pytest.mark.parametrize("name", WEAVES)
def test_every_weave_of_the_table_can_be_worked_and_holds_its_spokes(name):
    weave = WEAVES[name]
    holding = [ends for ends in range(weave.reach + 1, 41) if strokes.locked(trace(weave, ends, 12))]
    assert holding, f"{name} holds on no count at all"
    if weave.turns != "round":
        assert holding == list(range(weave.reach + 1, 41)), f"{name} should hold on every count"


def test_randing_holds_on_odd_counts_only_and_chasing_on_all():
    counts = range(6, 30)
    holds = {name: [n for n in counts if strokes.locked(trace(WEAVES[name], n, 4))] for name in ("randing", "chasing")}
    assert holds["randing"] == [n for n in counts if n % 2]  # implied by every book's half spoke
    assert holds["chasing"] == list(counts)


def test_rib_randing_falls_off_where_three_divides_the_count():
    counts = range(6, 30)
    assert [n for n in counts if not strokes.locked(trace(WEAVES["rib randing"], n, 6))] == list(range(6, 30, 3))


@given(named_weaves)
def test_too_few_spokes_for_a_stroke_are_refused_with_the_count_needed(weave):
    with pytest.raises(Unweavable) as refused:
        trace(weave, weave.reach, 3)
    assert str(weave.reach + 1) in str(refused.value)


def test_french_randing_puts_one_stroke_of_every_weaver_on_every_spoke_each_row():
    t = trace(WEAVES["French randing"], 13, 4)
    for front in (True, False):
        assert {len(cell) for row in strokes.cells(t, front) for cell in row} == {1}
    first = [w for w, _, _ in in_laying_order(t)][::2][:13]
    assert first == list(range(12, -1, -1))  # each next weaver is set behind the last


# Who lies on whom ----------------------------------------------------------------------------------------------


@given(weave_and_ends(turn_taking()), st.integers(2, 4), starts)
def test_weavers_that_take_turns_lie_as_a_rope(woven, rows, start):
    weave, ends = woven
    t = trace(weave, ends, rows, start % ends)
    backward = weave.reverse == (True,)
    for (kind, _), strands in columns(t).items():
        trips = [trip for trip, _, _ in strands]
        assert trips == sorted(trips), "a later trip lies above an earlier one"
        for (trip, laid, _), (next_trip, next_laid, _) in itertools.pairwise(strands):
            if trip == next_trip:
                # On fronts the earlier stroke lies above, on backs and crossings the later; reversed, the other way.
                assert (next_laid < laid) == ((kind == FRONT) != backward)


@given(weave_and_ends(turn_taking()), st.integers(1, 4), starts)
def test_a_reverse_weave_is_the_same_rope_upside_down(woven, rows, start):
    weave, ends = woven
    upright, turned = (
        columns(trace(replace(weave, reverse=(way,)), ends, rows, start % ends)) for way in (False, True)
    )
    assert upright.keys() == turned.keys()
    for site, strands in upright.items():
        for trip in {t for t, _, _ in strands}:
            ours = [s for s in strands if s[0] == trip]
            assert [s for s in turned[site] if s[0] == trip] == ours[::-1]


@given(weave_and_ends(any_weave().filter(lambda weave: weave.turns == "round")), rows_of_work, starts)
def test_weavers_that_go_round_alone_always_lie_above_what_was_laid_before(woven, rows, start):
    weave, ends = woven
    for strands in columns(trace(weave, ends, rows, start % ends)).values():
        laid = [stroke for _, stroke, _ in strands]
        assert laid == sorted(laid)


def test_three_rod_wale_on_one_spoke_drawn_out_by_hand():
    # Nine ends, strokes 0, 1, 2 … from spaces 0, 1, 2 …: stroke p passes before spokes p and p+1, behind p+2. Spoke 4
    # is passed in front by strokes 3 and 4, 3 waiting above; behind by stroke 2; space 5 is crossed inwards by stroke
    # 3, and outwards by stroke 2, which was laid first and so lies below.
    seen = columns(trace(WEAVES["three-rod wale"], 9, 1))
    assert [s for _, s, _ in seen[FRONT, 4]] == [4, 3]
    assert [s for _, s, _ in seen[BACK, 4]] == [2]
    assert [s for _, s, _ in seen[CROSSING, 5]] == [2, 3]


# What the order allows -----------------------------------------------------------------------------------------


def stacked(t, climb):
    """The stack of a trace, rods 1 thick that may climb `climb` in half a space."""
    stack, _ = pitch.stack_of(t, 1.0)
    face = t.sites.kind != CROSSING
    float_on = face & (stack.after >= 0) & face[stack.after]
    return replace(stack, climb=np.where(float_on, 2.0, 1.0) * climb)


@pytest.mark.parametrize("name", ["three-rod wale", "four-rod wale", "five-rod wale", "six-rod wale"])
def test_a_wale_with_the_later_stroke_on_top_everywhere_cannot_be_stacked(name):
    # The promise in the theory of trace.py: with the order on fronts turned round, no heights exist while a weaver
    # climbs no more than its own thickness in half a space; with slype's order they do.
    t = trace(WEAVES[name], 13, 6)
    later_on_top = replace(t, rank=t.trip.astype(np.int64) * (2 * t.stroke_count + 2) + t.stroke)
    assert rods.stack_faults(stacked(t, 1.0), rods.least_heights(stacked(t, 1.0))) <= ROUNDING
    with pytest.raises(ValueError, match="above themselves"):
        rods.least_heights(stacked(later_on_top, 1.0), 4000)
    assert rods.least_heights(stacked(later_on_top, 2.0)).max() > 6  # steeper than any reed goes, it can


@given(weave_and_ends(named_weaves, most=29), starts)
def test_every_weave_of_the_table_stacks_whatever_its_start(woven, start):
    weave, ends = woven
    stack, passage, heights = pitch.settled(trace(weave, ends, 6, start % ends), 1.0)
    assert len(heights) == len(passage)
    assert rods.stack_faults(stack, heights) <= ROUNDING


def slope(t, heights, passage, low=12, high=36):
    """Height gained per row, mm, between two rows some whole turns apart."""
    faces = t.sites.kind != CROSSING
    row, height = t.row[passage[faces]], heights[faces]
    return (height[row == high].max() - height[row == low].max()) / (high - low)


@given(weave_and_ends(named_weaves, most=33))
def test_steady_pitch_is_the_slope_of_a_long_stack(woven):
    # Weavers free to climb their own thickness in half a space; the last rows are left out, having nothing above them.
    weave, ends = replace(woven[0], strands=1), woven[1]
    t = trace(weave, ends, 49)
    assume(strokes.locked(t) and ends > weave.reach + 1)
    heights = rods.least_heights(stacked(t, 1.0), 4000)
    assert slope(t, heights, t.sites.passage) == pytest.approx(pitch.steady_rows(weave, ends).pitch, abs=ROUNDING)


@pytest.mark.parametrize("name", WEAVES)
def test_the_climb_allowed_in_pictures_does_not_change_the_pitch(name):
    weave = replace(WEAVES[name], strands=1)
    for ends in (25, 28):
        t = trace(weave, ends, 49)
        if strokes.locked(t):
            _, passage, heights = pitch.settled(t, 1.0)
            assert slope(t, heights, passage) == pytest.approx(pitch.steady_rows(weave, ends).pitch, abs=0.01)


@given(stroke_weaves, st.integers(1, 4))
def test_reeds_worked_as_one_stand_as_much_higher(weave, strands):
    alone = pitch.steady_rows(replace(weave, strands=1), 24)
    together = pitch.steady_rows(replace(weave, strands=strands), 24)
    assert together.pitch == pytest.approx(strands * alone.pitch)
    assert (together.fronts, together.backs, together.crossings) == (alone.fronts, alone.backs, alone.crossings)


@given(turn_taking())
def test_the_fullest_place_sets_the_pitch(weave):
    # Two strands cross in every gap each row; a face holds `over` or `under`: the greatest of these counts.
    ((over, under),) = weave.cycle
    assert pitch.steady_rows(weave, 4 * weave.weavers + 1).pitch == pytest.approx(max(2, over, under))


def test_of_two_weavers_in_one_space_the_one_that_came_first_moves():
    # Over 2 under 3, over 1 under 2, by six weavers: two come to stand in one space, and their turns are then mixed up.
    weave = free_weave(((2, 3), (1, 2)), 6, "stroke")
    by_hand, met = woven_by_hand(weave, 30, 3, 0)
    assert met
    assert in_laying_order(trace(weave, 30, 3)) == by_hand
