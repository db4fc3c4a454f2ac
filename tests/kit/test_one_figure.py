"""One basket, one figure: cutting list, label, kit page, sheet and design of a class say the same, and say why."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from pages import pages_of
from places import EXAMPLES

from slype.design.file.reader import load as load_design
from slype.kit.cuts.checks import faults
from slype.kit.file import reader
from slype.kit.values import Pack, Prices
from slype.kit.worked import work
from slype.make.baskets import planned, settled, settler
from slype.paper import folder, sheet
from slype.plans.piece import CUT_STEP_MM, longer_mm, round_up
from slype.plans.planning import plan
from slype.quantity import show_cut, show_piece
from slype.reeds import REEDS
from slype.tell.classes.cutting import colour_told, cutting_list, offcuts_told, proof_told
from slype.tell.classes.goods import dyeing
from slype.tell.classes.kits import lots_told
from slype.tell.classes.papers import handed
from slype.tell.lists import cut_list, opened

SMALLEST_POINTS = 10.5
"""Type that is read at arm's length, at the bench (common practice, no source)."""


def small(seats=2, **rules):
    asked = reader.of_design(str(EXAMPLES / "posy.toml"), seats).found
    return replace(asked, rules=replace(asked.rules, seconds=0.5, **rules))


def spokes(made):
    return [kit.basket.plan.spokes for kit in made.kits]


# First baskets --------------------------------------------------------------------------------------------------


def test_a_class_of_first_baskets_cuts_the_longer_figure_everywhere():
    made = work(small())
    (cut,) = [each for each in made.reeds if each.reed == made.kits[0].basket.plan.spokes.reed]
    for piece in spokes(made):
        assert piece.cut_mm == longer_mm(piece, "in") > round_up(piece.length_mm, CUT_STEP_MM["in"])
    said = show_piece(spokes(made)[0].cut_mm, "in")
    listed = " ".join(cell for block in cutting_list(cut, "in", "us") if hasattr(block, "rows") for row in block.rows
                      for cell in row)  # fmt: skip
    bundle = made.kits[0].basket.bundles[0]
    row = cut_list(made.kits[0].basket.plan)[0]
    assert f"× {said}" in listed and lots_told(bundle, "in") == [f"{bundle.count} of {said}"]
    assert row.length == said and row.between.endswith(said), "the cut is the upper end of the range that is printed"
    assert said in opened(made.kits[0].basket.plan)[0] and "first basket" in opened(made.kits[0].basket.plan)[0]
    text = " ".join(page.text for page in pages_of(folder.make(made)))
    assert "for first baskets" in text and f"{said} (usually " in text.replace("\u00a0", " ").replace("\n", " ")


@pytest.mark.parametrize(("skill", "longer", "is_longer"), [
    ("some", None, False), ("experienced", None, False), ("first basket", False, False), ("some", True, True),
])  # fmt: skip
def test_others_cut_as_planned_and_the_teacher_has_the_last_word(skill, longer, is_longer):
    asked = small(longer=longer)
    made = work(replace(asked, seats=tuple(replace(seat, skill=skill) for seat in asked.seats)))
    usual = round_up(spokes(made)[0].length_mm, CUT_STEP_MM["in"])
    assert (spokes(made)[0].cut_mm > usual) is is_longer


def test_one_first_basket_among_others_and_the_whole_class_is_cut_alike():
    asked = small()
    one, two = asked.seats
    made = work(replace(asked, seats=(one, replace(two, skill="experienced"))))
    assert len({piece.cut_mm for piece in spokes(made)}) == 1 and made.asked.first_time


# Quick or settled -----------------------------------------------------------------------------------------------


def test_a_settled_class_has_the_figures_of_the_settled_basket_and_says_so():
    asked = replace(small(longer=False), packs=())
    design = load_design(str(EXAMPLES / "posy.toml"))
    page = planned(design, settled)
    told = []
    made = work(asked, settler(tell=told.append))
    assert told == [0], "two seats of one basket come to rest once"
    for kit in made.kits:
        assert [piece.cut_mm for piece in kit.basket.plan.pieces] == [piece.cut_mm for piece in page.pieces]
        assert kit.basket.plan.laid.finished_height_mm == pytest.approx(page.laid.finished_height_mm)
    facts = dict(folder.contents(made)["facts"])
    assert facts["Lengths"].startswith("of the settled baskets")
    assert dict(folder.contents(work(asked))["facts"])["Lengths"].startswith("quick ones")


def test_settling_that_is_called_off_keeps_what_it_has():
    class Off(Exception):
        pass

    def off(share):
        raise Off

    design = load_design(str(EXAMPLES / "posy.toml"))
    kept = [settled(design)]
    with pytest.raises(Off):
        settler(kept, progress=off)(load_design(str(EXAMPLES / "estuary.toml")))
    assert len(kept) == 1 and settler(kept, progress=off)(design.reworded(hand="left")).design.hand == "left"


# Pieced alike ---------------------------------------------------------------------------------------------------


def test_kits_of_one_basket_are_pieced_alike_as_their_sheet_says(worked):
    for kit in worked.kits:
        held = {number: sorted(lengths) for number, lengths in worked.lengths[kit.seat.number].items()}
        for other in worked.kits:
            if other.basket is kit.basket:
                assert held == {n: sorted(mm) for n, mm in worked.lengths[other.seat.number].items()}
        cuts = sorted(mm for cut in kit.basket.plan.cuts for mm in cut.pieces_mm)
        woven = sorted(mm for b in kit.basket.bundles if b.is_weaver for mm in held[b.number])
        assert woven == [pytest.approx(round_up(mm, 25.4)) for mm in cuts]


def test_what_piecing_alike_costs_at_most_is_told(worked):
    for cut in worked.reeds:
        assert all(len(each.ways) == 1 for each in cut.problem.choices) and faults(cut.problem, cut.plan) == []
        told = proof_told(cut)
        assert 0.0 <= cut.alike_costs < 0.1 and ("pieced alike" in told) == (cut.alike_costs >= 0.0005), told


def test_no_weaver_is_joined_more_often_than_it_must_be_nor_beside_another_where_that_can_be(worked):
    for basket in {id(kit.basket): kit.basket for kit in worked.kits}.values():
        assert not [each for each in basket.plan.advice if "joins meet" in each.message]


# What is dyed, what is left -------------------------------------------------------------------------------------


def test_the_dye_list_names_every_strand_of_the_pot_and_none_that_has_its_colour_already(worked):
    by_colour = {bath.colour: bath for bath in worked.baths}
    for cut in worked.reeds:
        for strand in cut.strands:
            held = [s for reed, _, some in by_colour.get(strand.colour, worked.baths[0]).reeds for s in some
                    if reed == cut.reed]  # fmt: skip
            if strand.lies == strand.colour:
                assert strand not in held or strand.colour not in by_colour
            else:
                assert strand.lies == "natural" and strand in held
    moss = [s for cut in worked.reeds for s in cut.strands if s.lies == "moss"]
    assert moss and all(s.colour == "moss" and s.source == "shelf" for s in moss), "moss lies on the example's shelf"
    text = " ".join(line for block in dyeing(worked).blocks if hasattr(block, "lines") for line in block.lines)
    many = sum(len(some) for _, _, some in by_colour["moss"].reeds)
    assert f"In the pot: {many} whole strands" in text and "from the shelf, natural" in text


def test_reed_of_the_same_length_dyed_already_is_told_from_what_has_yet_to_be(asked):
    nine = next(each for each in asked.shelf if each.colour == "moss")
    natural = replace(nine, colour="natural", count=3)
    made = work(replace(asked, shelf=(*asked.shelf, natural), seats=asked.seats[2:4]))
    cut = next(each for each in made.reeds if any(s.lies == "moss" for s in each.strands))
    ready = [s for s in cut.strands if s.lies == "moss"]
    dyed = {s.number for bath in made.baths for _, _, some in bath.reeds for s in some}
    assert len(ready) <= nine.count and not dyed & {s.number for s in ready}
    said = colour_told("moss", [s for s in cut.strands if s.colour == "moss"], "in")
    assert f"{len(ready)} strand" in said and "in moss already" in said and "to dye" in said


def test_dyeing_what_is_cut_takes_less_and_comes_after_cutting(asked):
    few = replace(asked, seats=asked.seats[:3])
    whole, pieces = work(few), work(replace(few, rules=replace(few.rules, dye_cut=True)))
    assert sum(b.strands_g for b in pieces.baths) < sum(b.strands_g for b in whole.baths)
    order = [
        [job.key for job in made.when.jobs if job.key in ("dye", "dry", "cut", "bundle")] for made in (whole, pieces)
    ]
    assert order == [["dye", "dry", "cut", "bundle"], ["cut", "dye", "dry", "bundle"]]


def test_an_end_is_kept_from_the_shortest_piece_on_and_all_else_is_scrap(worked, asked):
    for cut in worked.reeds:
        shortest = min(piece.length_mm for strand in cut.strands for piece in strand.pieces)
        assert cut.useful_mm == pytest.approx(max(304.8, shortest))
        assert cut.kept_mm + cut.scrap_mm + cut.cut_mm == pytest.approx(cut.taken_mm)
        assert all(mm >= cut.useful_mm - 0.1 for _, mm, _ in cut.offcuts)
        assert "scrap" in offcuts_told(cut, "in") and show_piece(cut.useful_mm, "in") in offcuts_told(cut, "in")
    own = work(replace(asked, seats=asked.seats[:1], rules=replace(asked.rules, useful_mm=500.0)))
    assert {cut.useful_mm for cut in own.reeds} == {500.0}


# The day ----------------------------------------------------------------------------------------------------------


def test_the_day_is_told_in_order_without_a_gap_and_nothing_over_anything_else(worked):
    day = worked.when.stretches
    assert [hour.start for hour in day] == sorted(hour.start for hour in day)
    for before, after in itertools.pairwise(day):
        assert before.end == pytest.approx(after.start, abs=0.51)
    assert day[0].start == worked.asked.starts and day[-1].end == worked.asked.ends
    assert {hour.key for hour in day} >= {"welcome", "task", "break", "in hand", "clear"}
    assert all(hour.key == "soak" for hour in worked.when.soaks)


# Paper ------------------------------------------------------------------------------------------------------------


def type_of(pdf, of_page):
    """Sizes in points of all letters on the pages whose text `of_page` accepts."""
    out = set()
    for page in pypdfium2.PdfDocument(pdf):
        words = page.get_textpage()
        text = words.get_text_range()
        if of_page(text):
            out |= {
                round(pdfium.FPDFText_GetFontSize(words.raw, i), 1) for i, sign in enumerate(text) if sign.isalnum()
            }
    return out


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_labels_of_bundles_can_be_read_at_the_bench(worked, pdf, paper):
    few = replace(worked, asked=replace(worked.asked, paper=paper), kits=worked.kits[:6])
    printed = pdf if paper == worked.asked.paper else folder.make(few)
    sizes = type_of(printed, lambda text: text.count("weavers") > 6 and "Done" not in text)
    assert sizes and min(sizes) >= SMALLEST_POINTS


def test_sheets_are_listed_with_their_copies_and_bound_where_that_is_asked():
    made = work(replace(small(3), prices=Prices(), bind=True))
    (found,) = handed(made)
    one = sheet.whole(made.kits[0].basket.plan)
    pages = pages_of(folder.make(made, {found.name: one}))
    assert found.copies == 3 and len(pages_of(one.pdf)) == one.pages
    text = pages[0].text.replace("\n", "").replace("\u00a0", " ")
    assert found.sheet in text and "3 sheets in all" in text, "on the first page"
    sheets = [page.text.split()[:3] for page in pages[-3 * one.pages :: one.pages]]
    assert sheets == [pages_of(one.pdf)[0].text.split()[:3]] * 3, "one for every kit, after everything else"
    assert not folder.contents(replace(made, asked=replace(made.asked, bind=False)))["bound"]


# Lengths ----------------------------------------------------------------------------------------------------------


def test_a_length_to_cut_is_told_one_way_on_every_list():
    inch = 25.4
    assert show_piece(27.5 * inch, "in") == "27 1/2 in" and show_cut(36 * inch, "in") == "36 in"
    assert show_cut(37 * inch, "in") == "3 ft 1 in" and show_piece(41.5 * inch, "in") == "3 ft 5 1/2 in"
    assert show_piece(790.0, "cm") == "79 cm" and show_cut(2670.0, "cm") == "2.67 m"


def test_a_plan_for_the_first_time_is_the_plan_but_for_what_stands():
    design = load_design(str(EXAMPLES / "posy.toml"))
    usual, first = plan(design), plan(design, None, True)
    assert [s.length_mm for s in usual.strands] == [s.length_mm for s in first.strands]
    assert all(a.cut_mm <= b.cut_mm for a, b in zip(usual.pieces, first.pieces, strict=True))


def test_a_class_in_inches_and_centimetres_is_cut_from_the_same_strands_each_piece_as_its_label_says():
    """A piece as long as a whole strand fits in it, though centimetres and inches share no step that is not fine."""
    asked = small(2)
    inches, metric = asked.seats
    pack = Pack(REEDS["round 2"], 454.0, None, strand_mm=8 * 12 * 25.4)
    made = work(replace(asked, seats=(inches, replace(metric, units="cm")), packs=(*asked.packs, pack)))
    assert not [str(each) for each in made.remarks if each.weight == "stop"]
    for cut in made.reeds:
        assert not cut.missing and all(strand.left_mm > -0.1 for strand in cut.strands)
        listed = [row for block in cutting_list(cut, "in", "us", False, made.units) if hasattr(block, "rows")
                  for row in block.rows]  # fmt: skip
        for *_, said, into, _left in listed:
            seats = {int(each.split("·")[0]) for each in into.split(", ")}
            assert ("cm" in said or " m" in said) == (2 in seats) and (" in" in said or " ft" in said) == (1 in seats)
