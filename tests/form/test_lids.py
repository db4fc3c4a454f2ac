"""Lids: how wide, how they sit, and that they are woven as any basket is."""

import json
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from samples import FLARED, FLAT, LIDS, SIDED, WOVEN
from strategies import basket, basket_text
from worked import planned_of, sheet_words, taught

from slype.edit.apply import apply, document
from slype.errors import DesignError, Unweavable
from slype.export.plan import as_json
from slype.form.lids import MOST_OVERHANG_MM, PLAY_MM, SEATS, Mouth, seat_named, span, why_not
from slype.lay.lids import across_as_woven, mouth_of
from slype.order.moments import moments
from slype.plans import planning
from slype.sources import SOURCES
from slype.tell.lists import opened
from slype.tell.moments import sentences, title_of_part
from slype.tell.steps import steps

ONE_ROW_MM = 3.6  # a row of pairing in No. 2, which a lid woven in whole rows may be off, half on each side


def with_lid(seat, **changes):
    return planned_of(basket_text(tail=LIDS[seat], **{**FLARED, **changes}))


seats = pytest.mark.parametrize("seat", SEATS)
mouths = st.builds(lambda opening, thick: (opening, opening + thick), st.floats(60, 400), st.floats(6, 30))


# Seats ---------------------------------------------------------------------------------------------------------


@given(mouths, st.sampled_from(sorted(SEATS)), st.floats(0.1, MOST_OVERHANG_MM), st.floats(0, 10))
def test_a_lid_of_the_size_that_its_seat_asks_for_sits(mouth, seat, play, side):
    opening, outside = mouth
    play = min(play, 8.0)
    inner = tuple((float(down), opening - down) for down in range(40))  # a wall that flares by half its height
    side = side if seat == "over" else 0.0
    seat, mouth = seat_named(seat), Mouth(opening, outside, inner)
    assert why_not(seat, mouth, span(seat, mouth, play, side), side) is None


@given(mouths, st.floats(0.1, 5))
def test_nothing_rests_inside_a_wall_that_stands_straight(mouth, play):
    opening, outside = mouth
    straight = Mouth(opening, outside, tuple((float(down), opening) for down in range(100)))
    wrong, remedy = why_not(seat_named("inside"), straight, opening - 2 * play)
    assert "falls in" in wrong and 'seat = "on"' in remedy


@pytest.mark.parametrize("record", SEATS.values(), ids=SEATS)
def test_every_seat_has_help_an_example_and_a_source(record):
    assert record.source in SOURCES and len(record.help) > 30
    assert record.name in record.example


# On a basket ---------------------------------------------------------------------------------------------------


@seats
def test_a_lid_is_the_plan_of_a_basket_of_its_own(seat):
    plan = with_lid(seat)
    again = planning.plan(plan.lid.design)
    assert as_json(again) == as_json(plan.lid)
    assert plan.lid.design.form.base_mm > 0.8 * plan.laid.mouth_mm


@seats
def test_a_lid_changes_nothing_of_the_basket_but_reed_time_and_advice(seat):
    bare, plan = planning.plan(basket(**FLARED)), with_lid(seat)
    assert plan.pieces == bare.pieces and plan.strands == bare.strands and plan.laid.top_s == bare.laid.top_s
    assert plan.time.seconds == pytest.approx(bare.time.seconds + plan.lid.time.seconds)
    for field in ("length_mm", "mass_g", "buy_g"):
        whole, one, two = (sum(getattr(a, field) for a in p.amounts) for p in (plan, bare, plan.lid))
        assert whole == pytest.approx(one + two)


def test_a_lid_inside_leaves_its_play_and_rests_where_the_wall_is_as_wide_as_it():
    plan = with_lid("inside")
    seat, mouth = plan.seat, mouth_of(plan.laid)
    assert seat.play_mm == pytest.approx(PLAY_MM)
    assert seat.across_mm == pytest.approx(mouth.opening_mm - 2 * PLAY_MM)
    # The wall leans in by an inch of radius in four of height, so an eighth of an inch of play sinks about a half. The
    # border's ends inside (2.75 mm) take a millimetre more of the opening than the weavers below (1.75 mm).
    fallen = seat.rests_mm - plan.laid.border_height_mm
    assert fallen == pytest.approx(4 * (PLAY_MM + 1.0), abs=1.0)


def test_a_lid_on_the_border_is_flush_with_it():
    plan = with_lid("on")
    assert abs(across_as_woven(plan.seat, plan.lid.laid) - plan.seat.mouth.outside_mm) <= ONE_ROW_MM


def test_a_lid_over_the_border_clears_it_by_the_play():
    plan = with_lid("over")
    spoke, weaver = 2.75, 1.84
    inner = plan.lid.laid.mouth_mm - spoke - 2 * weaver
    assert inner - plan.seat.mouth.outside_mm == pytest.approx(2 * PLAY_MM)


@pytest.mark.parametrize(
    ("seat", "change", "message"),
    [
        ("on", "across = '4 in'", "falls in or slips off"),
        ("on", "across = '12 in'", "larger than its seat"),
        ("inside", "across = '9 in'", "larger than its seat"),
        ("inside", "across = '5 1/2 in'", "falls in"),
        ("over", "across = '8 in'", "does not go over"),
        ("over", "across = '12 in'", "larger than its seat"),
        ("in", "", "no seat called"),
        ("over", "wide = 3", 'unknown key "wide"'),
    ],
)
def test_a_lid_that_does_not_fit_is_refused_with_a_remedy(seat, change, message):
    text = LIDS.get(seat, LIDS["on"].replace("'on'", f"'{seat}'")) + change
    with pytest.raises((DesignError, Unweavable), match=message) as refused:
        planning.plan(basket(tail=text, **FLARED))
    assert refused.value.remedy and "\n" not in str(refused.value) and "lid" in str(refused.value)


@seats
@pytest.mark.parametrize("wording", ["us", "uk"])
def test_the_steps_of_a_lid_speak_of_a_lid(seat, wording):
    plan = with_lid(seat, basket=f'wording = "{wording}"')
    own = [step for step in steps(plan) if step.title.startswith("Lid:")]
    said = "\n".join(line for step in own for line in step.lines)
    assert not re.search(r"the base\b|[Uu]nderside|upset|basket|handle", said), said
    assert "what will be the top of the lid" in said
    assert re.search(r"the lid is [\d /]+ (in|cm)( \([\d.]+ cm\))? across", said)


ODD = "[lid]\nseat = 'on'\n" + WOVEN.replace("24", "25") + FLAT


@pytest.mark.parametrize(
    ("odd", "pieces"),
    [
        ("", {"spoke": 12, "half spoke": 1}),
        ("base = { odd = 'half' }\n", {"spoke": 12, "half spoke": 1}),
        ("base = { odd = 'cut out' }\n", {"spoke": 13}),
        ("base = { odd = 'added' }\n", {"spoke": 12, "added spoke": 1}),
    ],
)
def test_a_lid_comes_by_an_odd_count_as_a_base_does(odd, pieces):
    plan = planning.plan(basket(tail=ODD + odd, **FLARED))
    assert {piece.name: piece.count for piece in plan.lid.pieces} == pieces
    said = " ".join(line for step in steps(plan) if "Lid:" in step.title for line in step.lines)
    assert ("Lay the half spoke beside" in said) == ("half spoke" in pieces)


def test_a_lids_cross_may_be_pierced_and_its_words_are_those_of_a_basket():
    plan = planning.plan(basket(tail=LIDS["on"] + "base = { kind = 'pierced cross', through = 4 }\n", **FLARED))
    said = " ".join(line for step in steps(plan) if "Lid:" in step.title for line in step.lines)
    assert plan.lid.design.arms == [8, 4, 8, 4] and "split" in said.lower()


def test_another_count_takes_the_way_to_an_odd_one_with_it():
    after = apply(basket_text(tail=ODD + "base = { odd = 'cut out' }\n", **FLARED),
                  [{"set": ["lid", "spokes", "ends"], "to": 26}])  # fmt: skip
    assert not document(after.text)["lid"].get("base") and any("even" in note for note in after.notes)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[lid]\n" + FLAT, "lid, spokes: is missing"),
        ("[lid]\nseat = 'over'\ndepth = '1 in'\n" + WOVEN + FLAT, "without a side"),
        ("[lid]\nseat = 'on'\n" + WOVEN + SIDED, "seat is flat"),
        ("[lid]\nseat = 'over'\n" + WOVEN + SIDED, "lid, depth: is missing"),
        ("[lid]\ndepth = '1 in'\n" + WOVEN + FLAT, "only belongs to a lid with a side"),
        (LIDS["on"].replace("'round 4'", "'round 44'").replace('"round 4"', '"round 44"'), "lid, spokes, reed"),
        (LIDS["on"].replace("'rust'", "'rost'"), "lid, band 2, colours"),
        ("lid = 3", "lid"),
        (LIDS["on"] + "base = { odd = 'half' }\n", "lid, base, odd: 24 ends are an even count"),
        (LIDS["on"] + "base = { kind = 'board', foot = 'foot border' }\n", "lid, base, kind: a lid is woven"),
        (LIDS["on"].replace('["behind 1 out", "over 2 down"]', '"foot of two rows"'), "lid, border: .* lower ends"),
    ],
)
def test_a_lid_that_cannot_be_read_says_where(text, message):
    with pytest.raises(DesignError, match=message):
        basket(tail=text)


def test_a_lid_may_have_any_border_by_its_name():
    plan = planning.plan(
        basket(tail=LIDS["on"].replace('["behind 1 out", "over 2 down"]', '"three-rod plain"'), **FLARED)
    )
    assert plan.lid.design.border.order is not None
    assert abs(across_as_woven(plan.seat, plan.lid.laid) - plan.seat.mouth.outside_mm) <= ONE_ROW_MM


def test_a_straight_wall_has_no_seat_inside():
    with pytest.raises(Unweavable, match="falls in"):
        with_lid("inside", wall=[["0 in", "6 in"], ["4 in", "6 in"]])


@seats
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_lid_is_told_step_by_step_in_the_baskets_hand_and_wording(seat, hand):
    plan = with_lid(seat, hand=hand, basket='wording = "uk"')
    told = [step for step in steps(plan) if step.title.startswith("Lid") or step.title == "Fit the lid"]
    # The lid's own, but for cutting, soaking and drying, which are done with the basket's.
    assert len(told) == len(steps(plan.lid)) - 3 + 1
    titles = [step.title for step in steps(plan)]
    assert titles[:2] == ["Gather and cut", "Soak"] and titles.count("Soak") == 1 and titles[-1].startswith("Trim")
    assert any(line.startswith("For the lid: cut") for line in steps(plan)[0].lines)
    said = "\n".join(line for step in told for line in step.lines)
    assert not re.search(r"[{}]|\bNone\b|\bspokes?\b|\brim\b|  ", said)
    assert f"towards the {hand}" in said
    assert sum(step.rows for step in told) == sum(band.rows for band in plan.lid.laid.bands)


@seats
def test_the_sheet_lists_the_lid(seat):
    said = sheet_words(with_lid(seat))
    assert [row for row in said["cut"] if row[0].startswith("Lid: ")]
    assert [value for name, value in said["facts"] if name == "Lid"]


@seats
def test_the_promised_form_holds_the_lid(seat):
    said = json.loads(json.dumps(as_json(with_lid(seat)), allow_nan=False))["lid"]
    assert said["seat"] == seat and said["bands"] and said["pieces"] and said["lid"] is None
    assert as_json(planning.plan(basket(**FLARED)))["lid"] is None


def test_what_is_wrong_with_the_lid_is_said_of_the_lid():
    text = LIDS["on"].replace("'pairing', reed = 'round 2', colours", "'randing', reed = 'round 2', colours")
    found = [
        each for each in planning.plan(basket(tail=text, **FLARED)).advice if each.rule.key == "weave does not lock"
    ]
    assert found and found[0].where.startswith("lid, band 2")


def test_a_lid_has_the_colours_it_needs_and_the_basket_has_them_too():
    plan = with_lid("on")
    assert "rust" in plan.design.palette and "rust" in plan.lid.design.palette
    assert replace(plan.design, lid=None).bands == plan.design.bands


OF_A_BASKET = re.compile(r"\b(base|basket|wall|mouth|upset|upsett|underside)\b", re.IGNORECASE)


@pytest.mark.parametrize("wording", ["us", "uk"])
@pytest.mark.parametrize("seat", LIDS)
def test_no_title_and_no_sentence_of_a_lid_speaks_of_a_basket_or_its_parts(seat, wording):
    made = planning.plan(basket(tail=LIDS[seat], **FLARED).reworded(wording=wording))
    order, laid = moments(made.laid), made.laid
    every = sentences(made, laid, order)
    said = {line for part in order.parts if part.of == "lid" for line in every[part.first : part.beyond]}
    said |= {title_of_part(made.design, laid, order, part) for part in order.parts if part.of == "lid"}
    said |= {line for step in steps(made) if step.title.startswith("Lid:") for line in (step.title, *step.lines)}
    for step in taught(made):
        if step.of == "lid":
            said |= {step.chapter, step.title, *step.does, *step.looks, *step.watch}
            said |= {line for slip in step.slips for line in (slip.seen, slip.undo)}
            said |= {line for drawing in step.drawings for line in (drawing.caption, drawing.alt)}
            said |= {line for pair in (*step.why, *step.care) for line in pair}
    said |= {line for line in opened(made) if line.startswith("Lid:")}
    for found in made.advice:
        if found.of_lid:
            said |= {found.where, found.message, found.remedy, found.why}
    assert len(said) > 200
    assert not sorted(filter(OF_A_BASKET.search, said))


def test_a_lid_does_not_stand_so_its_middle_need_not_be_pressed_up():
    wide = dict(rows=26, base="9 in", wall=[["0 in", "9 in"], ["4 in", "11 in"]])
    rules = [(each.rule.key, each.of_lid) for each in with_lid("over", **wide).advice]
    assert ("crown of the base", True) not in rules


def test_a_lids_border_in_a_table_of_its_own_is_told_how_it_is_written():
    with pytest.raises(DesignError, match="lid, border: is one value here, a name or a list of rows"):
        basket(tail=LIDS["on"].replace("border = ", "border.rows = "), **FLARED)
