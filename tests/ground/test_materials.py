"""Reed: one density, two number series, a maker's own measurements, and soaking."""

import itertools
import math

import pytest
from handbook_figures import table
from hypothesis import given
from hypothesis import strategies as st

from slype import reeds as m
from slype.errors import DesignError
from slype.quantity import G_PER_LB, MM_PER_FT
from slype.sources import SOURCES

ROUNDING = 1e-9
PRINTED_DENSITY = 0.0006  # g/cm3: three decimals
NUMBERS = sorted({key.split()[1] for key in m.REEDS})


def test_every_row_of_the_reed_table_has_a_source_in_the_bibliography():
    assert len(m.REEDS) >= 20
    for key, reed in m.REEDS.items():
        assert key == reed.key and reed.source in SOURCES
        assert reed.series in ("us", "uk") and not reed.measured
        # No published table from number to millimetre was found: every row must say so.
        assert reed.source == ("memory" if reed.chart_mm is None else "derived")


def test_thicker_numbers_are_thicker_within_each_series():
    for series in ("us", "uk"):
        rows = [reed.diameter_mm for reed in m.REEDS.values() if reed.series == series]
        assert len(rows) > 8 and rows == sorted(set(rows))


# One density ---------------------------------------------------------------------------------------------------


def test_length_per_pound_times_section_gives_one_density_but_for_the_odd_ones():
    checked = m.density_check()
    assert len(checked) >= 6
    low, high = m.DENSITY_RANGE_G_MM3
    assert all(low <= density <= high for _, density, _ in checked)
    for _, density, odd in checked:
        assert odd or density == pytest.approx(m.DENSITY_G_MM3, rel=0.09)
    assert [reed.key for reed, _, odd in checked if odd] == ["round 2"], "the odd row must be shown as odd"


@pytest.mark.parametrize("row", table("reed_feet_per_pound.csv"), ids=lambda row: row["reed"])
def test_remembered_feet_per_pound_imply_the_density_worked_out_beside_them(row):
    # From memory, both sides: this checks slype's arithmetic and that the table was copied, and nothing else.
    assert row["kind"] == "memory"
    reed = m.REEDS[f"round {row['reed']}"]
    assert (reed.chart_mm or reed.diameter_mm) == float(row["mm"]) and reed.ft_per_lb == float(row["ft_per_lb"])
    implied = {r.key: density for r, density, _ in m.density_check()}[reed.key]
    assert implied * 1000 == pytest.approx(float(row["density_g_cm3"]), abs=PRINTED_DENSITY)


@pytest.mark.parametrize("reed", [reed for reed in m.REEDS.values() if reed.ft_per_lb], ids=lambda reed: reed.key)
def test_a_reed_weighs_what_its_own_feet_in_a_pound_say_and_its_diameter_agrees(reed):
    """Round 2 weighed a tenth less than its own feet in a pound."""
    a_pound = reed.g_per_mm * reed.ft_per_lb * 304.8
    assert a_pound == pytest.approx(453.59, rel=1e-4)
    assert reed.g_per_mm == pytest.approx(m.DENSITY_G_MM3 * m.section_mm2(reed.diameter_mm), rel=0.09)
    if reed.chart_mm is not None:  # reckoned from the feet, to the hundredth of a millimetre
        assert reed.g_per_mm == pytest.approx(m.DENSITY_G_MM3 * m.section_mm2(reed.diameter_mm), rel=0.01)
        assert f"{reed.chart_mm:g}" in reed.note and f"{reed.diameter_mm:g}" in reed.note


def test_a_reed_whose_weight_was_misremembered_shows_as_odd(monkeypatch):
    wrong = m.replace(m.REEDS["round 4"], ft_per_lb=400)
    monkeypatch.setitem(m.REEDS, "round 4", wrong)
    assert "round 4" in [reed.key for reed, _, odd in m.density_check() if odd]


# Two series ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", NUMBERS)
def test_a_bare_number_is_refused_because_the_two_series_differ(number):
    for written in (number, f"No. {number}", f"#{number}", f" {number} "):
        with pytest.raises(DesignError) as refused:
            m.reed_named(written)
        assert f"round {number}" in str(refused.value) and f"cane {number}" in str(refused.value)


def test_one_number_names_two_thicknesses():
    both = [n for n in NUMBERS if f"round {n}" in m.REEDS and f"cane {n}" in m.REEDS]
    assert len(both) >= 4
    assert any(m.REEDS[f"round {n}"].diameter_mm != m.REEDS[f"cane {n}"].diameter_mm for n in both)
    for n in both:
        assert m.reed_named(f"round {n}").series == "us" and m.reed_named(f"cane {n}").series == "uk"
        assert m.reed_named(f"round {n}").name != m.reed_named(f"cane {n}").name


@pytest.mark.parametrize("name", ["reed 5", "round", "round 99", "", "rownd 3", "cane", None, 3, 3.5, ["round 3"]])
def test_an_unknown_reed_is_refused_with_a_remedy(name):
    with pytest.raises(DesignError) as refused:
        m.reed_named(name, where="spokes, reed")
    assert refused.value.remedy and "spokes, reed" in str(refused.value)


def test_a_misspelt_reed_is_guessed():
    with pytest.raises(DesignError, match="round 3"):
        m.reed_named("rounnd 3")


# A maker's own measurements ------------------------------------------------------------------------------------


@given(st.sampled_from(sorted(m.REEDS)), st.floats(0.5, 9.0))
def test_calipers_override_the_table(key, mm):
    own = m.own_reed(key, mm=mm)
    found = m.reed_named(key, {key: own})
    assert found.diameter_mm == mm and found.measured
    assert found.g_per_mm == pytest.approx(m.DENSITY_G_MM3 * math.pi * mm**2 / 4)
    low, high = found.diameter_range_mm
    table_low, table_high = m.REEDS[key].diameter_range_mm
    assert (high - low) / mm < (table_high - table_low) / m.REEDS[key].diameter_mm  # measured is the better truth


@given(st.floats(0.6, 8.0), st.floats(0.3, 0.8), st.floats(1e4, 1e6))
def test_a_weighed_coil_gives_weight_per_length_directly(mm, density, length):
    mass = density * 1e-3 * m.section_mm2(mm) * length
    with_calipers = m.own_reed("mine", mm=mm, coil_g=mass, coil_mm=length)
    assert with_calipers.g_per_mm == pytest.approx(mass / length, rel=ROUNDING)
    assert with_calipers.diameter_mm == mm
    by_weight = m.own_reed("mine", coil_g=mass, coil_mm=length) if 0.3 < mm * (density / 0.51) ** 0.5 < 30 else None
    if by_weight:
        assert by_weight.diameter_mm == pytest.approx(mm * math.sqrt(density / (m.DENSITY_G_MM3 * 1e3)), rel=1e-6)


def test_a_pound_that_measures_750_feet_is_about_no_3():
    reed = m.own_reed("mine", coil_g=G_PER_LB, coil_mm=750 * MM_PER_FT)
    assert reed.diameter_mm == pytest.approx(2.25, rel=0.02)


def test_nothing_measured_or_absurd_is_refused():
    for wrong in ({}, {"coil_g": 100.0}, {"mm": 0.1}, {"mm": 50.0}, {"coil_g": 1e6, "coil_mm": 1000.0}):
        with pytest.raises(DesignError):
            m.own_reed("mine", **wrong)


def test_a_measured_strand_length_is_kept_without_touching_the_thickness():
    own = m.own_reed("round 3", strand_mm=2000.0)
    assert own.strand_mm == 2000.0 and own.diameter_mm == m.REEDS["round 3"].diameter_mm


# Soaking -------------------------------------------------------------------------------------------------------


def gills_reed_mm(number):
    """Gill prints no thickness; No. 00 is finer than our finest, taken as 1 mm (from memory)."""
    return 1.0 if number == "00" else m.REEDS[f"round {number}"].diameter_mm


@pytest.mark.parametrize("row", [r for r in table("soaking.csv") if r["source"] == "gill"], ids=lambda r: r["reed"])
def test_soaking_times_are_gills_where_she_gives_one(row):
    # Gill p. 25.
    soak = m.soaking(gills_reed_mm(row["reed"]))
    assert soak.minutes == (float(row["low_min"]), float(row["high_min"]))
    assert soak.source == "gill"


def test_soaking_never_exceeds_whites_hour_and_never_falls_for_thicker_reed():
    # White ch. I: an hour in cold water for all.
    most = max(float(row["high_min"]) for row in table("soaking.csv") if row["source"] == "white")
    soaks = [m.soaking(mm / 10) for mm in range(5, 100)]
    assert most == 60
    for thin, thick in itertools.pairwise(soaks):
        assert thin.minutes[0] <= thick.minutes[0] and thin.minutes[1] <= thick.minutes[1] <= most
    assert {soak.source for soak in soaks} <= set(SOURCES)
