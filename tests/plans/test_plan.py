"""What to cut, weigh out and expect: spokes, weavers, joins, reed and time."""

import json
import math

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from places import EXAMPLES
from strategies import basket, borders, turn_taking, weave_and_ends

from slype.design.file import reader
from slype.errors import Unweavable
from slype.export.plan import as_json
from slype.lay import joins
from slype.lay.gauge import TUCK_MM
from slype.lay.values import HALF_SPOKE_MM
from slype.plans import planning
from slype.plans.piece import CUT_STEP_MM
from slype.quantity import MM_PER_IN
from slype.sources import SOURCES

FILES = sorted(EXAMPLES.glob("*.toml"))
PRINTED = 0.05 + 1e-9  # the promised form rounds lengths to a tenth of a millimetre
INSERTED = 'inserted = true\nbase_ends = 16\nbase_reed = "round 6"'


def some_basket(woven, **more):
    weave, ends = woven
    ((over, under),) = weave.cycle
    return planning.plan(basket(ends=ends, over=over, under=under, weavers=weave.weavers, reed="round 1", **more))


wide_weaves = weave_and_ends(turn_taking(), most=44)
examples = pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)


def test_there_are_examples_to_plan():
    assert len(FILES) >= 1


# Spokes --------------------------------------------------------------------------------------------------------


@given(wide_weaves, borders(), st.sampled_from(["", INSERTED]))
def test_the_parts_of_every_piece_add_up_to_its_length(woven, rows, spokes):
    try:
        plan = some_basket(woven, border=rows, spokes=spokes, base="9 in")
    except Unweavable:
        assume(False)
    for piece in plan.pieces:
        assert piece.length_mm == pytest.approx(sum(mm for _, mm, _, _ in piece.parts))
        assert all(why and source in SOURCES for _, _, why, source in piece.parts)
        assert piece.length_mm <= piece.cut_mm + 1e-6 < piece.length_mm + CUT_STEP_MM["in"] + 1e-5
        assert piece.range_mm[0] <= piece.length_mm <= piece.range_mm[1]


def test_a_half_spoke_is_half_a_full_one_and_an_inch():
    # White's rule, covers page.
    full, half = planning.plan(basket(ends=25)).pieces
    assert (full.name, full.count, half.name, half.count) == ("spoke", 12, "half spoke", 1)
    assert half.length_mm == pytest.approx(full.length_mm / 2 + 25.4)
    assert HALF_SPOKE_MM == 25.4


def test_an_even_count_needs_no_half_spoke():
    assert [(piece.name, piece.count) for piece in planning.plan(basket(ends=24)).pieces] == [("spoke", 12)]


def test_a_through_spoke_reckoned_by_hand():
    # 6 in base, straight; 6 rows of three-rod wale in No. 3 (2.25 mm) stand 6 x 2 x 2.25 = 27 mm; both ends and 1/2 in
    # to spare at each.
    plan = planning.plan(basket())
    assert plan.finish_mm == pytest.approx(27.0)
    by_hand = 6 * MM_PER_IN + 2 * 27.0 + 2 * plan.laid.border.length_mm + 2 * 12.7
    assert plan.spokes.length_mm == pytest.approx(by_hand)


def test_inserted_spokes_run_once_up_the_wall_and_sticks_cross_the_base():
    plan = planning.plan(basket(spokes=INSERTED + '\ninsertion = "2 in"'))
    side, stick = plan.pieces
    assert side.count == 24 and stick.count == 8
    assert side.length_mm == pytest.approx(2 * MM_PER_IN + 27.0 + plan.laid.border.length_mm + 12.7)
    assert stick.length_mm == pytest.approx(6.5 * MM_PER_IN)


def test_reeds_in_pairs_double_the_pieces_and_hardly_change_their_length():
    one, two = planning.plan(basket()), planning.plan(basket(spokes="per_end = 2"))
    assert two.spokes.count == 2 * one.spokes.count
    # A pair leaves less room between ends, so the border's bends are a little longer and nothing else.
    other = {part[0]: part[1] for part in one.spokes.parts}
    assert {name for name, mm, _, _ in two.spokes.parts if mm != pytest.approx(other[name])} == {"border"}
    assert 0 < two.spokes.length_mm - one.spokes.length_mm < 4


# Hand ----------------------------------------------------------------------------------------------------------


@given(wide_weaves)
def test_the_other_hand_needs_the_same_of_everything(woven):
    right, left = (as_json(some_basket(woven, hand=hand, base="9 in")) for hand in ("right", "left"))
    for plan in (right, left):
        plan.pop("advice")  # words of left and right
    assert right == left


# Reed ----------------------------------------------------------------------------------------------------------


@examples
def test_reed_is_the_sum_of_pieces_and_strands_by_size_and_colour(path):
    plan = planning.plan(reader.load(path))
    assert plan.amounts
    for amount in plan.amounts:
        cut = sum(p.count * p.cut_mm for p in plan.pieces if (p.reed.key, p.colour) == (amount.reed.key, amount.colour))
        woven = sum(s.length_mm for s in plan.strands if (s.reed.key, s.colour) == (amount.reed.key, amount.colour))
        assert amount.length_mm == pytest.approx(cut + woven)
        assert amount.mass_g == pytest.approx(amount.length_mm * amount.reed.g_per_mm)
        # Bought for the longer end of every range and the heavier of density and the trade's length per pound.
        longest = sum(
            p.count * max(p.cut_mm, p.range_mm[1])
            for p in plan.pieces
            if (p.reed.key, p.colour) == (amount.reed.key, amount.colour)
        ) + sum(s.range_mm[1] for s in plan.strands if (s.reed.key, s.colour) == (amount.reed.key, amount.colour))
        heavy = amount.reed.heavy_g_per_mm
        assert heavy >= amount.reed.g_per_mm
        assert amount.buy_g == pytest.approx(longest * heavy * (1 + plan.design.pace.reserve))
    everything = sum(p.count * p.cut_mm for p in plan.pieces) + sum(s.length_mm for s in plan.strands)
    assert sum(amount.length_mm for amount in plan.amounts) == pytest.approx(everything)


@examples
def test_a_finished_basket_weighs_less_than_what_is_cut_for_it_but_not_much(path):
    plan = planning.plan(reader.load(path))
    cut = sum(amount.mass_g for amount in plan.amounts)
    if plan.board is None:
        assert 0.7 * cut < plan.finished_g < cut


def test_longer_tails_take_more_reed_and_make_the_basket_no_heavier():
    short, long = (planning.plan(basket(tail=f'[gauge]\ntail = "{tail}"')) for tail in ("3 in", "9 in"))
    assert sum(each.mass_g for each in long.amounts) > sum(each.mass_g for each in short.amounts)
    assert long.finished_g == pytest.approx(short.finished_g, rel=1e-6)


@given(st.integers(0, 100))
def test_the_reserve_is_bought_on_top_of_what_is_used(percent):
    plan = planning.plan(basket(tail=f"[pace]\nreserve_percent = {percent}"))
    plain = planning.plan(basket(tail="[pace]\nreserve_percent = 0"))
    for more, used in zip(plan.amounts, plain.amounts, strict=True):
        assert more.mass_g == used.mass_g <= used.buy_g
        assert more.buy_g == pytest.approx(used.buy_g * (1 + percent / 100))


def test_doubling_the_reserve_doubles_what_is_bought_on_top():
    none, ten, twenty = (
        sum(a.buy_g for a in planning.plan(basket(tail=f"[pace]\nreserve_percent = {p}")).amounts) for p in (0, 10, 20)
    )
    assert twenty - none == pytest.approx(2 * (ten - none)) and ten > none


def woven(plan, weaver=0):
    """Length of a weaver without its tucked ends (at each setting-in) and what its joins cost."""
    (band,) = plan.laid.bands
    joined = sum(join.overlap_mm for join in plan.all_joins if join.weaver == weaver)
    tucked = 2 * TUCK_MM * len(band.segments)
    return plan.strands[weaver].length_mm - tucked - joined


def test_twice_the_rows_take_twice_the_weaver_but_for_the_tucked_ends():
    once, twice = (woven(planning.plan(basket(rows=rows))) for rows in (6, 12))
    assert twice == pytest.approx(2 * once)


def test_a_weaver_is_a_little_longer_than_its_rings():
    plan = planning.plan(basket(weave="four-rod wale"))
    (band,) = plan.laid.bands
    rings = float((2 * math.pi * band.radius).sum())
    assert 1.0 < (plan.strands[0].length_mm - 2 * TUCK_MM) / rings < 1.1


@given(wide_weaves)
def test_expected_lengths_lie_in_their_ranges(woven):
    for strand in some_basket(woven, base="9 in").strands:
        assert strand.range_mm[0] <= strand.length_mm <= strand.range_mm[1]


# Bands ---------------------------------------------------------------------------------------------------------


def test_rows_for_a_height_and_height_for_rows_agree():
    by_rows = planning.plan(basket(rows=10)).laid.side[0]
    by_height = planning.plan(basket(rows=None, band=f'height = "{by_rows.height_mm} mm"')).laid.side[0]
    assert by_height.rows == 10 and by_height.height_mm == pytest.approx(by_rows.height_mm)


def test_a_band_to_the_top_fills_the_wall_that_later_bands_leave():
    after = '[[band]]\nweave = "four-rod wale"\nreed = "round 3"\nrows = 3\n'
    laid = planning.plan(basket(rows=None, band='until = "top"', after=after)).laid
    assert abs(laid.top_s - 4 * MM_PER_IN) <= laid.side[0].pitch_mm / 2 + 1e-9
    assert laid.side[1].rows == 3


@examples
def test_bands_follow_each_other_without_gap_or_overlap(path):
    laid = planning.plan(reader.load(path)).laid
    for part, start in ((laid.base, laid.cross_mm), (laid.side, 0.0)):
        for band in part:
            assert band.start_s == pytest.approx(start)
            assert np.all(band.s > band.start_s) and np.all(band.s < band.end_s)
            start = band.end_s


@given(st.integers(1, 9), st.integers(0, 28), st.integers(1, 30))
def test_blocks_end_the_weavers_and_start_them_further_on(every, shift, rows):
    more = f"blocks = {{ rows = {every}, shift = {shift} }}\nstart = 3"
    (band,) = planning.plan(basket(ends=28, weave="four-rod wale", rows=rows, band=more)).laid.bands
    assert sum(rows for _, rows, _ in band.segments) == rows
    assert len(band.segments) == math.ceil(rows / every)
    for i, (first, many, start) in enumerate(band.segments):
        assert first == i * every and 1 <= many <= every
        assert start == (2 + i * shift) % 28
    whole = planning.plan(basket(ends=28, weave="four-rod wale", rows=rows))
    assert woven(planning.plan(basket(ends=28, weave="four-rod wale", rows=rows, band=more))) == pytest.approx(
        woven(whole)
    )


@given(wide_weaves, st.integers(1, 12))
def test_stroke_counts_are_those_of_the_trace(woven, rows):
    weave, ends = woven
    assume(weave.weavers * (ends / weave.weavers) <= ends)  # rounding: see the next test
    plan = some_basket(woven, rows=rows, base="9 in")
    assert plan.time.strokes == sum(t.stroke_count for band in plan.laid.bands for _, t in band.traces())


def test_a_row_of_a_seven_weaver_weave_on_29_ends_is_29_strokes():
    assert planning.plan(basket(ends=29, over=3, under=4, weavers=7, rows=1, base="9 in")).time.strokes == 29


def test_time_is_strokes_over_speed_and_the_rest_by_the_piece():
    plan = planning.plan(basket(rows=10, tail="[pace]\nstrokes_per_minute = 40\nborder_seconds = 5\npack_seconds = 60"))
    seconds = {name: s for name, s, _ in plan.time.parts}
    assert seconds["weaving"] == pytest.approx(10 * 24 / 40 * 60)
    assert seconds["border"] == 24 * 2 * 5 and seconds["packing"] == 600
    assert plan.time.seconds == pytest.approx(sum(seconds.values()))


# Joins ---------------------------------------------------------------------------------------------------------


@given(st.integers(20, 36), st.integers(2, 12), st.integers(1, 20), st.integers(4, 14))
@example(31, 8, 1, 7)  # the longest first piece joins at the start, the next ones leave a scrap: a shorter does both
def test_joins_keep_off_the_start_line_where_a_cut_of_the_first_reed_can_do_it(ends, rows, start, feet):
    plan = planning.plan(basket(ends=ends, rows=rows, band=f'length = "{feet} ft"\nstart = {start}'))
    (band,), (planned,) = plan.laid.bands, plan.joins
    for weaver in range(3):
        mine = [join for join in planned.joins if join.weaver == weaver]
        if set(joins.at_start_line(planned, band)) & set(mine):
            # Then every other cut that slype tries would have put one there, or nearer to another weaver's join.
            (course,) = plan.courses
            places = joins._Places(course)
            places.add([join for join in planned.joins if join.weaver < weaver])
            backs = joins._Backs(course, weaver, course.usable_mm)
            firsts = [share * course.usable_mm for share in joins.FIRST_CUTS]
            least = min(joins.LEAST_LAST_MM, course.usable_mm / 4)  # a scrap at the end is no way out
            fine = [mm for mm in firsts if backs.pieces_mm(backs.joined(mm), mm)[-1] >= least] or firsts
            assert max(places.worst_gap(backs.places(backs.joined(mm))) for mm in fine) == 0


@given(st.integers(20, 36), st.integers(2, 40), st.sampled_from([4, 7, 8, 10, 12]), st.sampled_from([1, 3]))
def test_no_weaver_is_joined_for_the_sake_of_a_scrap(ends, rows, feet, weavers):
    weave = {1: "rib randing", 3: "three-rod wale"}[weavers]
    plan = planning.plan(basket(ends=ends, rows=rows, weave=weave, band=f'length = "{feet} ft"'))
    (course,) = plan.courses
    for cut in plan.cuts:
        *full, last = cut.pieces_mm
        if not full:
            continue
        usable = feet * 304.8
        assert last >= min(24 * MM_PER_IN, usable / 4) - 1e-6
        assert max(cut.pieces_mm) <= usable + 1e-6
        # Only the first is cut, and no more than the others' joins and the last one ask.
        assert full[1:] == pytest.approx([usable] * len(full[1:])) and full[0] >= usable / 2
        # All that is woven, the ends to tuck, and the overlap of every join: nothing is lost or made.
        overlaps = [join.overlap_mm for join in plan.all_joins if join.weaver == cut.weaver]
        assert len(overlaps) == len(full)
        assert sum(cut.pieces_mm) == pytest.approx(course.weaver_mm + sum(overlaps))


def test_a_weaver_longer_than_its_reed_is_joined():
    # 3 rows on 20 ends take 62 1/2 in with both ends to tuck; a 5 ft reed is 60 in long.
    plan = planning.plan(basket(ends=20, rows=3, band='length = "5 ft"'))
    assert plan.courses[0].weaver_mm > 5 * 304.8
    assert {join.weaver for join in plan.all_joins} == {0, 1, 2}


def test_weavers_that_go_on_into_the_next_band_are_set_in_once():
    again = '[[band]]\nweave = "three-rod wale"\nreed = "round 3"\nrows = 4\ncolours = ["{}"]\n'
    same, other = (planning.plan(basket(rows=4, after=again.format(colour))) for colour in ("natural", "rust"))
    assert [course.bands for course in same.courses] == [(0, 1)]
    assert [course.bands for course in other.courses] == [(0,), (1,)]
    tucks = [sum(s.length_mm for s in plan.strands if s.weaver == 0) for plan in (same, other)]
    joined = [sum(j.overlap_mm for j in plan.all_joins if j.weaver == 0) for plan in (same, other)]
    assert tucks[1] - joined[1] == pytest.approx(tucks[0] - joined[0] + 2 * TUCK_MM)


def test_a_reed_long_enough_for_the_whole_band_needs_no_join():
    plan = planning.plan(basket(rows=3, band='length = "20 ft"'))
    assert plan.all_joins == [] and plan.joins[0].first_mm == (None,) * 3


# The promised form ---------------------------------------------------------------------------------------------


@examples
def test_the_promised_form_says_what_the_plan_says(path):
    plan = planning.plan(reader.load(path))
    said = json.loads(json.dumps(as_json(plan), allow_nan=False))
    assert abs(said["height_mm"] - plan.laid.top_s) <= PRINTED
    assert said["spokes"]["count"] == plan.spokes.count
    assert abs(sum(part["mm"] for part in said["spokes"]["parts"]) - said["spokes"]["length_mm"]) <= 10 * PRINTED
    assert [band["rows"] for band in said["bands"]] == [band.rows for band in plan.laid.bands]
    for band, laid in zip(said["bands"], plan.laid.bands, strict=True):
        assert abs(band["row_pitch_mm"] * band["rows"] - band["height_mm"]) <= 0.05 + 0.0005 * band["rows"]
        assert len(band["strands"]) == sum(len(colours) for colours in laid.colours)
    assert {"title", "spokes", "bands", "reed", "joins", "soaking", "time", "advice"} <= set(said)


def test_a_basket_that_no_hands_could_weave_is_refused_by_name():
    with pytest.raises(Unweavable, match="no room"):
        planning.plan(basket(ends=80, base="4 in", spoke="round 6"))
    with pytest.raises(Unweavable, match="top"):
        planning.plan(
            basket(
                rows=None, band='until = "top"', after='[[band]]\nreed = "round 3"\nweave = "pairing"\nuntil = "top"'
            )
        )
    with pytest.raises(Unweavable, match="closes to nothing"):
        planning.plan(basket(wall=[["0 in", "6 in"], ["2 in", "1 in"]], rows=30))


@pytest.mark.parametrize(
    ("handle", "pieces"),
    [
        ('kind = "bow"\ncore = "round 8"', {"bow handle core": 1}),
        ('kind = "bow"\ncore = "round 8"\ncores = 3', {"bow handle core": 3}),
        ('kind = "side"\ncore = "round 6"', {"side handle core": 2}),
        ('kind = "side"\ncore = "round 6"\ncores = 2', {"side handle core": 4}),
        ('kind = "rope"\nwrap = "round 5"\nrods = 4', {"rope handle rod": 4}),
        ('kind = "side rope"\ncore = "round 6"\nwrap = "round 4"\nrods = 3',
         {"side rope handle core": 2, "side rope handle rod": 6}),
    ],
)  # fmt: skip
def test_each_arch_of_a_handle_has_its_cores_and_its_rods_to_cut(handle, pieces):
    """As many arches as the kind has, each of as many cores side by side and rods twisted as the design says."""
    cut = planning.plan(basket(ends=24, wall=[["0 in", "7 in"], ["3 in", "9 in"]], tail=f"[[handle]]\n{handle}\n"))
    found = {piece.name: piece.count for piece in cut.pieces if "handle" in piece.name and "strand" not in piece.name}
    assert found == pieces
