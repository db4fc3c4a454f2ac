"""A class worked from end to end: every seat gets its own basket, and every piece that is cut goes into one bundle."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import SOURCE

from slype.design.file.reader import parse
from slype.errors import DesignError
from slype.export.classes import as_json
from slype.kit import shopping as buying
from slype.kit import worked as working
from slype.kit.cuts.checks import faults
from slype.kit.cuts.cutting import Order, Problem
from slype.kit.cuts.cutting import cut as best_plan
from slype.kit.file.reader import of_design
from slype.kit.seats import changed, kits, seats_named
from slype.kit.shopping import neighbours, shopping
from slype.kit.stock import stock_of
from slype.kit.values import DesignText, Rules, Seat, Strands
from slype.kit.worked import work
from slype.paper.folder import contents
from slype.plans.planning import plan
from slype.reeds import REEDS
from slype.tell.classes.report import report

FOOT = 304.8


@pytest.fixture(scope="module")
def text(asked):
    return asked.designs[0]


def basket_of(worked, seat):
    return next(kit.basket for kit in worked.kits if kit.seat.number == seat)


# Seats ---------------------------------------------------------------------------------------------------------


def test_seats_that_ask_the_same_share_a_basket_and_others_do_not(worked):
    assert basket_of(worked, 1) is basket_of(worked, 9) is basket_of(worked, 13)
    assert basket_of(worked, 1) is not basket_of(worked, 10), "another hand is another basket"
    assert len({id(kit.basket) for kit in worked.kits}) == 9


def test_every_seat_weaves_its_own_colours_hand_and_size_as_a_design_like_any_other(worked):
    for kit in worked.kits:
        design = parse(kit.basket.text, kit.seat.design)
        assert design.hand == kit.seat.hand
        assert {wears for _, wears in kit.seat.colours} <= set(design.palette)
        worn = dict(kit.seat.colours)
        gone = set(worn) - set(worn.values())
        assert not gone & {colour for band in design.bands for colour in band.colours}
        full = basket_of(worked, 1).design.form.base_mm
        assert design.form.base_mm == pytest.approx(full * kit.seat.size, abs=2.0)


def test_colours_change_all_at_once_so_that_two_may_be_swapped(text):
    out, _ = changed(text, Seat(1, text.name, colours=(("rust", "sand"), ("sand", "rust"))))
    was, now = parse(text.text, "a"), parse(out, "b")
    swap = {"rust": "sand", "sand": "rust"}
    for before, after in zip(was.bands, now.bands, strict=True):
        assert after.colours == tuple(swap.get(colour, colour) for colour in before.colours)


def test_a_smaller_size_keeps_spokes_and_firm_rows_and_fills_its_wall(text):
    small, notes = changed(text, Seat(1, text.name, size=0.85))
    was, now = parse(text.text, "a"), parse(small, "b")
    assert now.spokes.ends == was.spokes.ends
    assert now.bands[3].rows == was.bands[3].rows == 3
    assert now.bands[4].rows < was.bands[4].rows
    assert notes and all("Band" in note for note in notes)
    laid = plan(now).laid
    assert laid.mouth_mm == pytest.approx(plan(was).laid.mouth_mm * 0.85, rel=0.03)
    assert not [each for each in plan(now).advice if each.rule.weight == "stop"]


def test_a_colour_that_the_design_has_not_is_refused(text):
    with pytest.raises(DesignError, match='no "teal" to wear'):
        changed(text, Seat(1, text.name, colours=(("teal", "rust"),)))


def test_a_seat_whose_basket_cannot_be_woven_is_told_and_the_others_are_worked(asked):
    tiny = replace(asked.seats[0], size=0.4, where="roster.csv, row 2")
    made, remarks = kits(replace(asked, seats=(tiny, *asked.seats[1:4])))
    assert [kit.seat.number for kit in made] == [1, 2, 3, 4] or remarks[0].weight == "stop"
    broken = DesignText(asked.designs[0].name, asked.designs[0].text.replace('weave = "pairing"', 'weave = "twill"', 1))
    made, remarks = kits(replace(asked, designs=(broken,), seats=asked.seats[:2]))
    assert made == () and remarks[0].weight == "stop" and "row 2" in remarks[0].where


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ([3], "seat 3"),
        ([1, 2], "seats 1 and 2"),
        ([1, 2, 3, 4, 7, 9], "seats 1 to 4, 7 and 9"),
        ([7, 8], "seats 7 and 8"),
    ],
)
def test_seats_are_named_as_people_do(numbers, said):
    assert seats_named(numbers) == said


# Cutting -------------------------------------------------------------------------------------------------------


def test_every_plan_can_be_cut_as_it_says(worked):
    for cut in worked.reeds:
        assert faults(cut.problem, cut.plan) == []
        assert cut.missing == ()


def test_no_strand_gives_more_than_it_has_and_what_is_left_is_left(worked):
    for cut in worked.reeds:
        for strand in cut.strands:
            assert sum(p.length_mm for p in strand.pieces) + strand.left_mm == pytest.approx(strand.length_mm)
            assert strand.left_mm >= -1e-6


def test_the_shelf_is_never_cut_twice(worked):
    for cut in worked.reeds:
        for stock in cut.problem.stock:
            if stock.name != "shelf":
                continue
            used = sum(
                s.source == "shelf"
                and abs(s.length_mm - stock.length_mm) < 0.1
                and stock.colour in ("natural", s.colour)
                for s in cut.strands
            )
            same = sum(
                each.count for each in cut.problem.stock
                if each.name == "shelf" and abs(each.length_mm - stock.length_mm) < 0.1
            )  # fmt: skip
            assert used <= same


def test_every_kit_gets_what_its_weavers_and_spokes_need(worked):
    """Pieces are those of the plan; a weaver that is pieced otherwise is as long, less and more an overlap at joins."""
    for kit in worked.kits:
        got = worked.lengths[kit.seat.number]
        assert set(got) == {bundle.number for bundle in kit.basket.bundles}
        for bundle in kit.basket.bundles:
            if not bundle.is_weaver:
                assert Counter(got[bundle.number]) == Counter({bundle.cut_mm: bundle.count})
                continue
            lots = sorted(lot.cut_mm for lot in bundle.lots for _ in range(lot.count))
            assert sorted(got[bundle.number]) == pytest.approx(lots), "so the sheet says what is in the kit"


def test_no_piece_of_a_joined_weaver_is_shorter_than_the_least(worked):
    for cut in worked.reeds:
        for _, course, way in cut.taken:
            for _, _, lengths in course.weavers[way]:
                assert len(lengths) == 1 or min(lengths) >= worked.asked.rules.least_mm - 1e-6


def test_joins_of_one_course_do_not_fall_in_one_place(worked):
    """First pieces of joined weavers of one course differ, as the join plan asks: that is what keeps joins apart."""
    joined = 0
    for cut in worked.reeds:
        for _, course, way in cut.taken:
            firsts = [lengths[0] for _, _, lengths in course.weavers[way] if len(lengths) > 1]
            if len(firsts) > 1:
                joined += 1
                assert len(set(firsts)) > 1
    assert joined > 0, "the example has short strands, so some weavers are joined"


def test_a_spoke_longer_than_any_strand_is_told_with_its_length_and_the_rest_is_cut(asked):
    short = tuple(replace(pack, strand_mm=2 * FOOT) for pack in asked.packs if pack.reed.key == "round 5")
    made = work(replace(asked, shelf=(), packs=short, seats=asked.seats[:1]))
    (stop,) = [each for each in made.remarks if each.weight == "stop" and "cannot be cut" in each.message]
    spoke = made.kits[0].basket.plan.spokes
    whole, half = divmod(round(spoke.cut_mm / 25.4 * 2), 2)
    length = f"{whole}{' 1/2' if half else ''} in"
    assert f"{spoke.count} pieces of {length}" in stop.message and "24 in" in stop.message
    assert sum(len(cut.strands) for cut in made.reeds) > 0
    (spokes,) = [cut for cut in made.reeds if cut.reed.key == "round 5"]
    assert sum(n for *_, n in spokes.missing) == 14 and spokes.strands == ()


@pytest.mark.parametrize("aim", ["shelf", "reed", "cost"])
def test_what_the_plan_aims_at_is_never_worse_than_with_another_aim(asked, aim):
    spokes = (Order(812.8, "natural", 50), Order(711.2, "natural", 31))
    reed = asked.packs[0].reed

    def figures(other):
        stock = stock_of(replace(asked, rules=Rules(aim=other)), reed)
        problem = Problem(stock, spokes)
        found = best_plan(problem, 3.0)
        assert found.proven and faults(problem, found) == []
        bought = sum(p.times for p in found.patterns if stock[p.stock].name == "bought")
        taken = sum(stock[p.stock].length_mm * p.times for p in found.patterns)
        return {"shelf": bought, "reed": taken, "cost": -(-bought // asked.packs[0].strands)}[aim]

    assert figures(aim) == min(figures(other) for other in ("shelf", "reed", "cost"))


def test_reed_that_lies_dyed_on_the_shelf_is_not_dyed_again(asked, worked):
    moss = next(bath for bath in worked.baths if bath.colour == "moss")
    without = work(replace(asked, shelf=tuple(each for each in asked.shelf if each.colour == "natural")))
    again = next(bath for bath in without.baths if bath.colour == "moss")
    assert again.strands_g > moss.strands_g


# Shopping ------------------------------------------------------------------------------------------------------


def test_packs_are_enough_and_not_one_too_many(worked):
    for line in worked.lines:
        if line.sure is None and line.packs:
            per = line.per_pack
            assert line.packs * per >= line.strands > (line.packs - 1) * per
            assert line.left == line.packs * per - line.strands


def test_a_full_shelf_buys_nothing(asked):
    full = tuple(Strands(REEDS[key], "natural", 10 * FOOT, 900) for key in ("round 2", "round 3", "round 5"))
    made = work(replace(asked, shelf=full, seats=asked.seats[:3]))
    assert {line.packs for line in shopping(made.asked, made.reeds)} == {0}


def test_neighbouring_sizes_are_worked_and_do_what_thickness_does(worked):
    by = {(each.reed.key, each.other.key): each for each in worked.substitutes}
    thin, thick = by["round 3", "round 2.5"], by["round 3", "round 3.5"]
    assert thin.height_mm < 0 < thick.height_mm, "finer weavers stand less high for the same rows"
    assert thin.mass < 1 < thick.mass
    assert [each.key for each in neighbours(REEDS["round 0"])] == ["round 1"]


def test_what_other_sizes_do_is_worked_once_for_a_basket_and_anew_for_another(worked, monkeypatch):
    basket = worked.kits[0].basket
    other = replace(basket, plan=plan(replace(basket.design, pace=replace(basket.design.pace, trim_seconds=9.0))))
    assert buying.substitutes(basket) == worked.substitutes
    made, real = [], buying.plan
    monkeypatch.setattr(buying, "plan", lambda *asked: made.append(asked) or real(*asked))
    assert buying.substitutes(replace(basket)) == worked.substitutes and not made
    assert len(buying.substitutes(other)) == len(worked.substitutes) and made


def test_a_size_that_the_basket_has_already_is_not_weighed_twice(tmp_path):
    """Pairing in round 2 below a wale in round 2.5: with either in the place of the other what is woven there weighs as
    much less or more as its thickness says, whatever of that size lies elsewhere."""
    path = tmp_path / "two.toml"
    text = FITTED.replace('"three-rod wale", reed = "round 2"', '"three-rod wale", reed = "round 2.5"')
    path.write_text(text, encoding="utf-8")
    made = work(replace(of_design(str(path), 1).found, rules=Rules(seconds=0.2)))
    by = {(each.reed.key, each.other.key): each for each in made.substitutes}
    thick, thin = REEDS["round 2.5"], REEDS["round 2"]
    square = (thick.diameter_mm / thin.diameter_mm) ** 2
    assert by[thick.key, thin.key].mass == pytest.approx(1 / square, rel=0.2)
    assert by[thin.key, thick.key].mass == pytest.approx(square, rel=0.2)


# Any basket ----------------------------------------------------------------------------------------------------

FITTED = """
spokes = { reed = "round 4", ends = 23, inserted = true, base_ends = 12 }
form = { base = "6 in", wall = [["0 in", "6 in"], ["3 in", "7 in"]] }
band = [
  { where = "base", weave = "pairing", reed = "round 2", groups = 3, rows = 3 },
  { where = "base", weave = "pairing", reed = "round 2", until = "6 in" },
  { where = "side", weave = "slewing", reed = "round 2", strands = 2, colours = ["rust", "sand"], rows = 8 },
  { where = "side", weave = "three-rod wale", reed = "round 2", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
foot = { border = "foot border", reed = "round 4" }
handle = [{ kind = "bow", core = "round 8", wrap = "round 2" }]

[lid]
seat = "on"
spokes = { reed = "round 4", ends = 24 }
band = [
  { weave = "pairing", reed = "round 2", groups = 2, rows = 3 },
  { weave = "pairing", reed = "round 2", colours = ["rust"] },
]
border = ["behind 1 out", "over 2 down"]
"""
BOARD = """
basket = { units = "cm", wording = "uk", hand = "left" }
base = { kind = "board", foot = ["behind 1 out", "over 1 down"] }
spokes = { reed = "cane 10", ends = 24 }
form = { base = "20 cm", wall = [["0 cm", "17 cm"], ["8 cm", "20 cm"]] }
band = [
  { where = "side", weave = "three-rod wale", reed = "cane 6", rows = 3 },
  { where = "side", weave = "randing", reed = "cane 5", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
"""
DESIGNS = {path.stem: path.read_text(encoding="utf-8") for path in sorted((SOURCE / "examples").glob("*.toml"))}
DESIGNS |= {"fitted": FITTED, "board": BOARD.replace("ends = 24", "ends = 25")}


@pytest.mark.parametrize("name", DESIGNS)
def test_any_basket_makes_a_class_with_lid_handle_foot_or_board(tmp_path, name):
    path = tmp_path / f"{name}.toml"
    path.write_text(DESIGNS[name], encoding="utf-8")
    made = work(replace(of_design(str(path), 2, 1).found, rules=Rules(seconds=0.2)))
    assert len(made.kits) == 2
    assert [each for each in made.remarks if each.weight in ("error", "stop")] == []
    for cut in made.reeds:
        assert faults(cut.problem, cut.plan) == []
    for kit in made.kits:
        assert set(made.lengths[kit.seat.number]) == {bundle.number for bundle in kit.basket.bundles}
    assert "\n".join(report(made)) and contents(made)["kits"]


# The promised form ---------------------------------------------------------------------------------------------


def test_the_promised_form_is_plain_and_adds_up(worked):
    import json

    form = json.loads(json.dumps(as_json(worked)))
    assert len(form["seats"]) == 13
    for cut, plain in zip(worked.reeds, form["cutting"], strict=True):
        assert sum(piece["mm"] for s in plain["strands"] for piece in s["pieces"]) == pytest.approx(cut.cut_mm, abs=20)
    assert form["money"]["total"] == pytest.approx(worked.sums.total, abs=0.01)
    assert "Alder" in str(form) and "Alder" not in str(as_json(worked, names=False))


def test_a_class_worked_twice_is_the_same(asked, worked, monkeypatch):
    monkeypatch.setattr(working, "cut", best_plan)  # all is cut anew
    again = work(asked)
    assert as_json(again)["finish"] == as_json(worked)["finish"]
    assert as_json(again)["dyeing"][0]["colour"] == as_json(worked)["dyeing"][0]["colour"]


@given(st.integers(1, 5), st.integers(0, 5))
@settings(max_examples=3)
def test_any_count_of_seats_and_hands_gets_its_kits(seats, left):
    path = SOURCE / "examples" / "class" / "saltings.toml"
    asked = of_design(str(path), seats, min(left, seats)).found
    made = work(replace(asked, rules=Rules(seconds=0.3)))
    assert len(made.kits) == seats
    assert sum(kit.seat.hand == "left" for kit in made.kits) == min(left, seats)
    assert all(made.lengths[kit.seat.number] for kit in made.kits)
