"""Baskets that add ends part way up, as a page plays, shows and changes them: times, solids, changes, remedies."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from strategies import basket, basket_text
from worked import planned_of, rested_of

from slype.advice.results import wall
from slype.design.file.reader import parse
from slype.draw.solid import unpacked
from slype.edit import apply
from slype.errors import DesignError
from slype.export.promised import moments_json
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.order.times import standing, when
from slype.plans import planning
from slype.rest.curves import relaxed_curves
from slype.space.assembly import whole
from slype.space.tubes import tube, tubes
from slype.studio import answers
from slype.studio.shown import lists
from slype.surface.woven import stacked_curves
from slype.tell.moments import sentences

FLARED = [["0 in", "6 in"], ["4 in", "12 in"]]
MORE = '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = {add}\nrows = 6\n'
PLAIN = MORE.replace("add = {add}\n", "")
IN_BASE = (
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 6\n'
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nadd = 8\nuntil = "6 in"\n'
)
OVAL = dict(
    before='outline = "oval"',
    ends=40,
    base=["11 in", "7 in"],
    wall=[["0 in", "11 in", "7 in"], ["4 in", "15 in", "10 in"]],
)
KINDS = {
    "as many again": dict(ends=24, wall=FLARED, after=MORE.format(add=24)),
    "five more": dict(ends=24, wall=FLARED, after=MORE.format(add=5)),
    "in the base": dict(ends=16, before=IN_BASE),
    "in base and side": dict(ends=16, wall=FLARED, before=IN_BASE, after=MORE.format(add=10)),
    "beside inserted spokes": dict(
        ends=24, wall=FLARED, spokes="inserted = true\nbase_ends = 16", after=MORE.format(add=24)
    ),
    "doubled spokes": dict(ends=20, wall=FLARED, spokes="per_end = 2", after=MORE.format(add=7)),
    "on the curves": dict(**OVAL, band='add = 8\nadd_at = "curves"'),
    "bye-spokes from the base": dict(after=PLAIN, tail='[bye_spokes]\nfrom = "base"'),
    "bye-spokes, more ends and a foot": dict(
        ends=20,
        wall=FLARED,
        band="add = 6",
        after=PLAIN,
        tail='[bye_spokes]\nfrom = "base"\nto = "below"\n[foot]\nborder = "foot border"',
    ),
    "on a board": dict(
        ends=20,
        base="7 in",
        wall=FLARED,
        after=MORE.format(add=9),
        tail='[base]\nkind = "board"\nfoot = "foot border"',
    ),
    "under a bow": dict(
        ends=24, wall=FLARED, after=MORE.format(add=24), tail='[[handle]]\nkind = "bow"\ncore = "round 8"'
    ),
}


@pytest.fixture(params=KINDS.values(), ids=KINDS.keys())
def plan(request):
    return planned_of(basket_text(**request.param))


def timed(laid, curves=None):
    order = moments(laid)
    return order, tubes(laid, curves, when=lambda curve: when(order, curve))


# Played --------------------------------------------------------------------------------------------------------


def test_every_point_of_every_reed_is_laid_in_its_turn(plan):
    order, reeds = timed(plan.laid)
    for reed in reeds:
        assert 0 < reed.when[0] and reed.when[-1] <= len(order) and (np.diff(reed.when) >= -1e-9).all(), reed.name


def test_weavers_are_laid_in_the_moments_of_their_own_band(plan):
    order, reeds = timed(plan.laid)
    for reed in reeds:
        if reed.role == "weaver":
            laid_in = np.unique(np.ceil(reed.when).astype(int) - 1)
            assert set(order.band[laid_in]) == {reed.band}, reed.name
            strokes = order.by_weaver[reed.band, reed.block, reed.weaver, "stroke"]
            assert set(strokes) <= set(laid_in), f"{reed.name}: a stroke lays nothing"


def test_every_stroke_lays_the_points_between_its_own_spaces(plan):
    order = moments(plan.laid)
    for curve in stacked_curves(plan.laid):
        if curve.role == "weaver":
            at = np.ceil(when(order, curve)).astype(int) - 1
            place = curve.u if curve.place is None else curve.place
            stroke = order.act[at] == ACTS.index("stroke")
            assert (order.begin[at] - 1e-6 <= place)[stroke].all(), curve.name
            assert (place <= order.beyond[at] + 1e-6)[stroke].all(), curve.name
            # On the ring it is the same place, told among more ends.
            stand, last = (plan.design.tiers(curve.where)[tier] for tier in (plan.laid.bands[curve.band].tier, -1))
            assert np.abs(place / stand.ends - curve.u / last.ends).max() < 1.5 / stand.ends, curve.name


def test_ends_are_pushed_in_after_what_they_stand_on_and_before_what_is_woven_on_them(plan):
    order, design = moments(plan.laid), plan.design
    for i, band in enumerate(design.bands):
        pushed = np.flatnonzero((order.band == i) & np.isin(order.act, [ACTS.index("add"), ACTS.index("bye")]))
        woven = np.flatnonzero((order.band == i) & (order.act == ACTS.index("stroke")))
        byes = design.ends_at(i) if design.bye_spokes is not None and design.bye_spokes.first == i else 0
        assert len(pushed) == band.add + byes
        if len(pushed):
            below = np.flatnonzero((order.band >= 0) & (order.band < i))
            assert below.max(initial=-1) < pushed.min() and pushed.max() < woven.min()


def test_an_added_spoke_is_there_from_its_own_moment_on(plan):
    order, reeds = timed(plan.laid)
    for reed in reeds:
        if reed.role in ("spoke", "bye-spoke") and reed.band >= 0:
            moment = int(np.ceil(reed.when[0])) - 1
            assert (
                ACTS[order.act[moment]] == ("add" if reed.role == "spoke" else "bye")
                and order.band[moment] == reed.band
            )
            assert np.ceil(reed.when[-1]) - 1 == moment
    added = {reed.end for reed in reeds if reed.role == "spoke" and reed.band >= 0}
    moment_of = [order.begun["side"][end] for end in sorted(added)]
    assert len(set(moment_of)) == len(added) == sum(tier.added for tier in plan.design.tiers("side")), (
        "each has its own"
    )


def test_parts_follow_each_other_and_what_is_pushed_in_is_a_part_of_its_own(plan):
    order = moments(plan.laid)
    assert all(a.beyond == b.first for a, b in pairwise(order.parts)) and order.parts[-1].beyond == len(order)
    for a, b in pairwise(order.parts):
        if a.key in ("add", "bye"):
            assert b.band == a.band
    titles = [part["title"] for part in moments_json(plan, plan.laid, order)["parts"]]
    assert titles.count("Add the bye-spokes") == (plan.design.bye_spokes is not None)
    assert sum(title.startswith("Add ") for title in titles) == sum(p.key in ("add", "bye") for p in order.parts)


def test_ends_wait_above_the_last_row_until_the_border_takes_them(plan):
    order, reeds = timed(plan.laid)
    stands = standing(plan.laid, order)
    assert len(stands) == plan.design.top_ends * len(plan.design.top_reeds)
    tips = {reed.name: reed.points[-1] for reed in reeds}
    for each in stands:
        assert each.appears <= each.vanishes == order.by_end["border", each.curve.end][0]
        name = each.curve.name.replace("standing end", "spoke")
        begins = tube(plan.laid, each.curve).points[0]
        assert np.linalg.norm(begins - tips[name]) < 0.2, f"{each.curve.name} does not go on from {name}"


def test_a_sentence_names_the_spoke_beside_which_another_is_pushed_in():
    plan = planning.plan(basket(**KINDS["five more"]))
    order = moments(plan.laid)
    said = sentences(plan, plan.laid, order)
    pushed = np.flatnonzero(order.act == ACTS.index("add"))
    assert said[pushed[0]].startswith("Push in added spoke 1 of 5 beside spoke 1, on its right-hand side")
    assert [said[i].split("beside spoke ")[1].split(",")[0] for i in pushed] == [
        "1",
        "5",
        "10",
        "15",
        "20",
    ]  # as the step
    left = replace(plan.design, hand="left")
    assert "left-hand side" in sentences(left, plan.laid, order)[pushed[0]]


# Shown ---------------------------------------------------------------------------------------------------------


def checked_solid(plan, form):
    header, points, times = unpacked(answers._solid(plan, 1))
    assert header["form"] == form and np.isfinite(points).all()
    assert 0 < times.min() and times.max() <= header["moments"]
    assert sum(strand["count"] for strand in header["strands"]) == len(points)
    return header


def test_the_solid_holds_every_reed_that_is_drawn(plan):
    header = checked_solid(plan, "stacked")
    names = {strand["name"] for strand in header["strands"]}
    assert {each.name for each in whole(plan.laid)} <= names


def test_the_pages_lists_tell_such_a_basket(plan):
    told = lists.look(plan)
    assert len(told["bands"]) == len(plan.design.bands)
    apart = {number["name"]: number["value"] for number in told["form"]["spacing"]}
    assert {"at the base", "at the mouth"} <= apart.keys()
    assert ("where more are added" in apart) == any(b.add and b.where == "side" for b in plan.design.bands)


@pytest.mark.parametrize("kind", ["as many again", "bye-spokes from the base", "on the curves"])
def test_at_rest_it_is_played_and_shown_the_same(kind):
    rest = rested_of(basket_text(**KINDS[kind]))
    plan = planning.plan(rest.design, rest)
    order, reeds = timed(plan.laid, relaxed_curves(rest))
    for reed in reeds:
        assert 0 < reed.when[0] and reed.when[-1] <= len(order) and (np.diff(reed.when) >= -1e-9).all(), reed.name
        if reed.role == "weaver":
            assert set(order.band[np.ceil(reed.when).astype(int) - 1]) == {reed.band}
    checked_solid(plan, "relaxed")
    assert lists.look(plan)["relaxed"]


def test_places_below_added_ends_are_kept_and_turn_into_those_of_the_top():
    laid = planning.plan(basket(**KINDS["as many again"])).laid
    low = [curve for curve in stacked_curves(laid) if curve.role == "weaver" and curve.band == 0]
    for curve in low:  # twice as many stand above: a turn is a turn
        np.testing.assert_allclose(curve.u, 2 * curve.place)
    high = [curve for curve in stacked_curves(laid) if curve.role == "weaver" and curve.band == 1]
    assert all(
        np.ptp(curve.u) == pytest.approx(np.ptp(curve.place if curve.place is not None else curve.u), abs=0.5)
        for curve in high
    )


def test_a_foot_stands_below_the_base_on_the_table():
    plan = planning.plan(basket(tail='[foot]\nborder = "foot border"\nrows = 2\ncolours = ["rust"]'))
    reeds, thick = whole(plan.laid), plan.design.spokes.reed.diameter_mm
    foot = [reed for reed in reeds if reed.name.startswith("foot ")]
    ends = [reed for reed in foot if reed.name.startswith("foot spoke")]
    assert len(ends) == plan.foot.ends
    low = min(float(reed.points[:, 2].min()) - reed.thick_mm / 2 for reed in foot)
    assert low == pytest.approx(-plan.foot.height_mm, abs=3.0)
    assert max(float(reed.points[:, 2].max()) for reed in foot) < thick
    spokes = np.concatenate([reed.points for reed in reeds if reed.role == "spoke" and reed not in ends])
    for end in ends:
        away = np.linalg.norm(spokes - end.points[0], axis=1).min()
        assert 0.8 * thick < away < 1.5 * thick, "each stands beside a spoke, not in it"


# Changed -------------------------------------------------------------------------------------------------------


def test_lengths_and_counts_of_what_is_pushed_in_are_set_like_any_other():
    text = basket_text(ends=24, wall=FLARED, after=PLAIN)
    changes = [
        {"set": ["band", 1, "add"], "to": 12},
        {"set": ["spokes", "insertion"], "to": "2"},
        {"set": ["foot"], "to": {"border": "foot border"}},
        {"set": ["foot", "insertion"], "to": "1 1/2"},
    ]
    design = parse(apply.apply(text, changes).text)
    assert design.top_ends == 36 and design.spokes.insertion_mm == pytest.approx(50.8)
    assert design.foot.insertion_mm == pytest.approx(38.1)
    byes = [{"set": ["bye_spokes"], "to": {"from": "base"}}, {"set": ["bye_spokes", "insertion"], "to": "3/4"}]
    assert parse(apply.apply(text, byes).text).bye_spokes.insertion_mm == pytest.approx(19.05)


def test_a_start_fits_the_spaces_of_its_own_ends():
    text = basket_text(ends=24, wall=FLARED, after=MORE.format(add=24) + "start = 40\n")
    kept = apply.apply(text, [{"set": ["spokes", "ends"], "to": 22}])
    assert parse(kept.text).bands[1].start == 39, "46 stand there"
    fewer = apply.apply(text, [{"set": ["band", 1, "add"], "to": 8}])
    assert parse(fewer.text).bands[1].start == 7 and any("32" in note for note in fewer.notes)
    above = basket_text(ends=24, wall=FLARED, after=MORE.format(add=24) + PLAIN + "start = 40\n")
    assert parse(apply.apply(above, [{"set": ["spokes", "ends"], "to": 22}]).text).bands[2].start == 39
    fewer = apply.apply(above, [{"set": ["band", 1, "add"], "to": 8}])
    assert parse(fewer.text).bands[2].start == 7, "what is added below stands there too"
    none = apply.apply(text, [{"set": ["band", 1, "add"], "to": 0}])
    assert parse(none.text).top_ends == 24 and "add" not in none.text


def test_no_more_are_added_than_go_in_beside_those_that_stand():
    text = basket_text(ends=24, wall=FLARED, after=MORE.format(add=40))
    fewer = apply.apply(text, [{"set": ["spokes", "ends"], "to": 16}])
    assert parse(fewer.text).bands[1].add == 32 and any("32" in note for note in fewer.notes)
    with pytest.raises(DesignError, match="more than one on each side"):
        apply.apply(text, [{"set": ["band", 1, "add"], "to": 49}])


def test_a_basket_that_becomes_round_adds_its_ends_all_round():
    text = basket_text(**OVAL, band='add = 8\nadd_at = "curves"')
    round_now = apply.apply(text, [{"set": ["form", "outline"], "to": "round"}])
    (band,) = parse(round_now.text).bands
    assert band.add == 8 and not band.on_curves and any("all round" in note for note in round_now.notes)


def test_a_board_leaves_the_foot_of_a_woven_base_out():
    text = basket_text(tail='[foot]\nborder = "foot border"')
    board = apply.apply(text, [{"set": ["base", "kind"], "to": "board"}])
    assert parse(board.text).foot is None and any(note.startswith("Foot left out") for note in board.notes)


@pytest.mark.parametrize("kind", ["as many again", "in base and side", "on the curves"])
def test_every_result_of_a_band_is_what_the_changed_design_has(kind):
    text = basket_text(**KINDS[kind])
    design = parse(text)
    for index in range(len(design.bands)):
        options = wall(design, index, around=2)
        assert sum(option.is_current for option in options) == 1
        for option in options:
            if not option.spoils:
                changed = parse(apply.apply(text, option.changes).text)
                assert changed.ends_at(index) == option.ends


# Advised -------------------------------------------------------------------------------------------------------


def found(text, key):
    return next((each for each in planning.plan(parse(text)).advice if each.rule.key == key), None)


def test_where_the_wall_flares_the_remedy_names_the_count_it_sets_and_takes_the_remark_away():
    text = basket_text(
        ends=24, wall=[["0 in", "6 in"], ["4 in", "10 in"]], rows=16, after=PLAIN.replace("rows = 6", "rows = 20")
    )
    key = "far apart at the mouth"
    said = found(text, key)
    (change,) = said.changes
    # No half stick for one end fewer; and the smaller change to a base that is woven already is told beside it.
    assert change == {"set": ["spokes", "ends"], "to": 32}
    assert said.remedy == "Use 32 ends there, or leave the base as it is and add 7 before band 2 (add = 7)."
    by_adding = apply.apply(text, [{"set": ["band", 1, "add"], "to": 7}]).text
    assert found(by_adding, key) is None
    assert found(apply.apply(text, said.changes).text, key) is None


def test_fewer_are_added_where_they_come_to_stand_close():
    text = basket_text(band="add = 24")
    said = found(text, "close at the added ends")
    assert found(apply.apply(text, said.changes).text, "close at the added ends") is None
