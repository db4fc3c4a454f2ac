"""Dye by published arithmetic and by the maker's swatch; money that adds up and guesses nothing."""

from dataclasses import replace

import pytest

from slype.kit.dyeing import KINDS, MARGIN, baths, by_weight
from slype.kit.money import cost, rounded_up
from slype.kit.values import Dye, Prices
from slype.kit.worked import work
from slype.sources import SOURCES

# Dye -----------------------------------------------------------------------------------------------------------


def test_dyers_arithmetic_is_that_of_published_examples():
    # P. Burch, 2014: 100 g at 1 % need 1 g of dye.
    assert by_weight(100, 1, 20, 1, 0, 0).dye_g == pytest.approx(1.0)
    # Dyeing-terms slides: 4 kg on 100 kg is 4 %; 100 kg in 1000 litres is a liquor ratio of 1 to 10.
    large = by_weight(100_000, 4, 10, 1, 0, 0)
    assert large.dye_g == pytest.approx(4000) and large.liquor_ml == pytest.approx(1_000_000)


def test_a_stock_solution_is_part_of_the_bath_and_salt_goes_by_the_litre():
    # Worked by hand: 250 g at 2 %, 20 to 1, stock of 1 %, 40 g/L of salt, 10 g/L of soda ash.
    found = by_weight(250, 2, 20, 1, 40, 10)
    assert (found.dye_g, found.stock_ml, found.liquor_ml, found.salt_g, found.soda_g) == pytest.approx(
        (5.0, 500.0, 5000.0, 200.0, 50.0)
    )


def test_the_published_recipe_by_the_gallon_comes_out_by_the_litre():
    recipe = KINDS["reactive"]  # a tablespoon of dye, half a cup of salt, a third of a cup of soda ash to a US gallon
    gallon = 3.785411784
    assert recipe.dye_ml * gallon == pytest.approx(14.8, abs=0.05)
    assert recipe.salt_ml * gallon == pytest.approx(118.3, abs=0.05)
    assert recipe.soda_ml * gallon == pytest.approx(78.9, abs=0.05)


def test_a_bath_holds_the_published_spoons_to_the_gallon_of_its_water(worked):
    """A tablespoon of powder (a third of it for pale, two for dark), half a cup of salt and a third of a cup of soda to
    a US gallon, for all the baths of a colour together."""
    spoons = {"sand": 14.787 / 3, "slate": 14.787, "indigo": 2 * 14.787}
    found = {bath.colour: bath for bath in worked.baths if bath.by == "recipe"}
    assert set(found) == set(spoons)
    for colour, bath in found.items():
        gallons = bath.baths * bath.litres / 3.785411784
        assert bath.dye_ml / gallons == pytest.approx(spoons[colour], rel=1e-3)
        assert bath.salt_ml / gallons == pytest.approx(118.294, rel=1e-3)
        assert bath.soda_ml / gallons == pytest.approx(78.863, rel=1e-3)
        assert bath.baths * bath.litres >= bath.strands_g / 1000 * 20 * (1 - 1e-9), "it is covered and can be moved"


def test_every_kind_of_dye_has_its_source():
    assert KINDS and all(kind.source in SOURCES for kind in KINDS.values())


def test_the_weight_to_dye_is_that_of_the_strands_and_a_margin(worked):
    for bath in worked.baths:
        strands = [(cut.reed, strand) for cut in worked.reeds for strand in cut.strands if strand.colour == bath.colour]
        if bath.colour == "moss":  # of which strands of 9 ft lie dyed on the shelf
            strands = [(r, s) for r, s in strands if s.source != "shelf" or abs(s.length_mm - 9 * 304.8) > 1]
        grams = sum(strand.length_mm * reed.g_per_mm for reed, strand in strands)
        assert bath.strands_g == pytest.approx(grams * (1 + MARGIN), rel=1e-9)
        assert bath.pieces_g < bath.strands_g


def test_pale_baths_come_before_dark_ones(worked):
    assert [bath.colour for bath in worked.baths] == ["sand", "moss", "slate", "rust", "indigo"]


def test_a_swatch_of_the_same_reed_scales_by_weight_and_of_another_by_surface(asked, worked):
    def rust(**swatch):
        dye = Dye("rust", "reactive", swatch_dye_g=3.0, swatch_reed_g=100.0, **swatch)
        return next(b for b in baths(replace(asked, dyes=(dye,)), worked.kits, worked.reeds) if b.colour == "rust")

    plain, same, thick = rust(), rust(swatch_mm=2.25), rust(swatch_mm=4.5)
    assert plain.dye_g == pytest.approx(plain.strands_g * 0.03)
    assert same.dye_g == pytest.approx(plain.dye_g), "rust is woven in round 3, 2.25 mm thick"
    assert thick.dye_g == pytest.approx(2 * same.dye_g), "half as thick has twice the skin for its weight"


def test_a_colour_without_a_dye_is_told_and_its_weight_still_stands(asked):
    made = work(replace(asked, dyes=(), seats=asked.seats[:2]))
    (said,) = [each for each in made.remarks if "no dye is named" in each.message]
    assert said.weight == "warn" and said.path == ("dye",) and "Name the dye" in said.remedy
    assert all(bath.dye is None and bath.strands_g > 0 and bath.dye_g is None for bath in made.baths)


def test_no_day_of_dyeing_and_no_price_of_dye_where_no_dye_is_named(asked):
    made = work(replace(asked, dyes=(), seats=asked.seats[:2]))
    assert not {"dye", "dry"} & {job.key for job in made.when.jobs}
    assert "dye" not in {line.key for line in made.sums.lines}
    some = work(replace(asked, dyes=asked.dyes[:1], seats=asked.seats[:2]))
    assert {"dye", "dry"} <= {job.key for job in some.when.jobs}


# Money ---------------------------------------------------------------------------------------------------------


def test_the_fee_that_pays_does_pay_and_the_next_lower_one_does_not(worked):
    sums = worked.sums
    assert [seats for seats, _ in sums.fees] == [6, 8, 12]
    for seats, fee in sums.fees:
        whole = cost(sums.lines, sums.overhead, seats, sums.seats)
        assert fee * seats >= whole - 1e-9 > (fee - sums.rounding) * seats


def test_what_is_left_and_from_how_many_seats_it_pays(worked):
    sums = worked.sums
    assert sums.left == pytest.approx(sums.fee * sums.seats - sums.total)
    enough, fewer = (
        sums.fee * n - cost(sums.lines, sums.overhead, n, sums.seats) for n in (sums.pays_from, sums.pays_from - 1)
    )
    assert enough >= 0 > fewer


def test_lines_are_counts_times_prices_and_overhead_comes_on_top(worked):
    sums = worked.sums
    for line in sums.lines:
        count, _, price = line.how
        assert line.amount == pytest.approx(count * price, abs=0.0051)
    assert sums.total == pytest.approx(sum(line.amount for line in sums.lines) * 1.1)


def test_whoever_adds_up_what_is_printed_comes_to_the_printed_sum(worked):
    """Every line is a whole count of cents, and so are the steps from the shopping list to the reed charged."""
    sums = worked.sums
    steps = [sums.reed.paid, sums.reed.left, sums.reed.shelf, sums.reed.kept]
    for amount in (*(line.amount for line in (*sums.lines, *sums.basket)), *steps):
        assert amount == pytest.approx(float(f"{amount:.2f}"), abs=1e-9)
    reed = sum(float(f"{line.amount:.2f}") for line in sums.lines if line.key.startswith("reed"))
    paid, left, shelf, kept = (float(f"{step:.2f}") for step in steps)
    assert f"{reed:.2f}" == f"{paid - left + shelf - kept:.2f}"


def test_no_price_is_invented(asked):
    made = work(replace(asked, prices=Prices(), packs=(), seats=asked.seats[:2]))
    assert made.sums.lines == () and made.sums.fees == () and made.sums.price is None
    (said,) = [each for each in made.remarks if "no price" in each.message]
    assert "No. 5 round reed" in said.message and "teaching" in said.message


def test_the_shopping_list_and_the_reed_charged_are_one_account(worked):
    """What is paid, less what is left of it, with the shelf, less offcuts kept, is what the reed lines charge."""
    reed, lines = worked.sums.reed, {line.key: line.amount for line in worked.sums.lines}
    assert reed.paid == pytest.approx(sum(line.cost for line in worked.lines))
    assert reed.used == pytest.approx(sum(amount for key, amount in lines.items() if key.startswith("reed")))
    assert min(reed.left, reed.shelf, reed.kept) >= 0
    for cut, line in zip(worked.reeds, worked.lines, strict=True):
        if line.sure is None:  # every strand that is cut, at a strand's share of its pack, less what is kept of it
            kept = sum(mm * n for _, mm, n in cut.offcuts)
            a_mm = line.price / (line.per_pack * line.strand_mm)
            assert lines[f"reed {line.reed.key}"] == pytest.approx((cut.taken_mm - kept) * a_mm, rel=1e-3)


def test_a_price_that_cannot_be_reckoned_says_what_it_lacks(asked):
    made = work(replace(asked, prices=replace(asked.prices, hour=None), packs=asked.packs[:2], seats=asked.seats[:2]))
    assert made.sums.price is None and made.sums.lacks == ("reed round 2", "hour")


def test_rounding_is_upward_to_the_teachers_step():
    assert rounded_up(66.01, 1) == 67
    assert rounded_up(66.0000000001, 1) == 66
    assert rounded_up(66.2, 0.5) == 66.5
    assert rounded_up(61.0, 5) == 65
