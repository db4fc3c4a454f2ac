"""Whole baskets of the old handbooks, worked by slype and held against what the books say."""

import math
import re

import handbook_page
import handbooks
import pytest
from handbook_figures import DISAGREE, TOLERANCES, table
from handbooks import comparisons, worked

from slype.advice.advise import SPACING_MM
from slype.design.file import reader
from slype.quantity import MM_PER_IN
from slype.sources import SOURCES

DESIGNS = sorted(path.stem for path in (handbooks.AUTHORITIES / "designs").glob("*.toml"))
LAST_PRINTED_DIGIT = 0.005 + 1e-9  # the spacing table prints hundredths of an inch


@pytest.fixture(scope="module")
def rows():
    """Every comparison. (Not worked when tests are collected: several baskets come to rest for it.)"""
    return comparisons()


def test_there_are_handbooks_to_compare_with(rows):
    assert len(rows) >= 55
    assert {row.source for row in rows} == {
        "turner",
        "white",
        "tinsley",
        "gill",
        "mcgaw",
        "shaw",
        "practice",
        "prototype",
    }
    assert len({row.key for row in rows}) == len(rows)
    assert DESIGNS == ["gill_m20", "gill_m30", "gill_m36", "gill_m42", "gill_m8", "shaw_gathering"]


def test_slype_predicts_what_the_books_say(rows):
    beyond = [
        f"{row.source}, {row.quantity}: the book says {row.stated}, slype {row.shown(row.predicted)} "
        f"({row.error:+.1%}), beyond {row.tolerance.name} ({row.tolerance.reason})"
        for row in rows
        if row.key not in DISAGREE and not row.within
    ]
    assert not beyond, "\n".join(beyond)


@pytest.mark.parametrize("key", DISAGREE, ids="-".join)
def test_a_figure_that_disagrees_stays_visible_with_a_reason(rows, key):
    row = next(row for row in rows if row.key == key)
    assert not row.within, "it agrees now: take it out of DISAGREE"
    assert row.verdict == "DISAGREES"
    assert len(DISAGREE[key]) > 30
    assert f"**{row.source}, {row.quantity}**" in handbook_page.page()


def test_every_comparison_names_a_source_a_tolerance_and_its_kind(rows):
    for row in rows:
        assert row.source in SOURCES or row.source == "prototype"
        assert row.tolerance in TOLERANCES and row.tolerance.reason
        assert row.kind in ("stated", "derived", "practice", "prototype")
        assert row.low > 0 and row.predicted > 0


def test_each_tolerance_is_used_and_can_be_missed(rows):
    assert {row.tolerance.name for row in rows} == {tolerance.name for tolerance in TOLERANCES}
    for row in rows:
        worse = handbooks.replace(row, predicted=row.predicted * 3, least=row.predicted * 30)
        assert not worse.within, f"{row.key} would pass whatever slype said"


def test_the_books_disagree_with_each_other_about_one_border():
    # Turner A, White 2 and Tinsley 2 (read alike) are one border; Gill 1 is shorter still and is allowed most.
    turner = float(table("turner_open_borders.csv")[0]["high_in"])
    others = {row["source"]: float(row["allowance_in"]) for row in table("open_borders.csv")}
    assert others["tinsley"] / turner > 1.3
    assert others["white"] / turner > 1.3
    assert others["gill"] / turner > 2


def test_m30_gains_in_fifteen_rows_what_gill_measured_between_them(rows):
    rows = {row.quantity: row for row in rows if row.quantity.startswith("M30: height after")}
    stated = rows["M30: height after band 5"].low - rows["M30: height after band 4"].low
    predicted = rows["M30: height after band 5"].predicted - rows["M30: height after band 4"].predicted
    assert stated == pytest.approx(2.25 * MM_PER_IN)
    assert predicted == pytest.approx(stated, rel=handbooks.NUMBER_AND_PACKING.relative)


def test_m36_lies_between_two_ways_of_counting_pairing():
    # Gill's 7 in: 23 rows of pairing counted as rounds stand higher, counted as single strands lower.
    plan = worked("gill_m36")
    pairing = plan.laid.bands[1]
    assert pairing.band.weave.name == "pairing" and pairing.rows == 23
    as_rounds = plan.laid.top_s
    as_strands = as_rounds - pairing.height_mm / 2
    assert as_strands < 7 * MM_PER_IN < as_rounds


def test_shaws_base_has_room_for_single_pairing_before_the_triple_weave():
    plan = worked("shaw_gathering")
    over_twos = plan.laid.bands[1]
    assert 2 * over_twos.end_s < 4.5 * MM_PER_IN  # stated: singly to 4 1/2 in
    assert plan.laid.base_reached_mm == pytest.approx(9 * MM_PER_IN, abs=plan.laid.bands[3].pitch_mm)


def test_shaws_weavers_are_strands_one_could_buy():
    # Stated: 3 weavers No. 2 and 12 No. 3; their length is not given. Each must come out longer than one round of the
    # edge and shorter than Blanchard-long reeds of 20 ft (from memory, no check by itself).
    plan = worked("shaw_gathering")
    totals = {amount.reed.key: amount.length_mm for amount in plan.amounts}
    for reed, strands in (("round 2", 3), ("round 3", 12)):
        assert math.pi * 11 * MM_PER_IN < totals[reed] / strands < 20 * 304.8


@pytest.mark.parametrize("row", table("spacing.csv"), ids=lambda row: row["project"])
def test_spoke_spacing_at_the_base_edge_is_in_the_band_slype_calls_handy(row):
    spacing = math.pi * float(row["base_in"]) / int(row["ends"])
    assert spacing == pytest.approx(float(row["printed_in"]), abs=LAST_PRINTED_DIGIT)
    assert SPACING_MM[0] * 0.99 <= spacing * MM_PER_IN <= SPACING_MM[1]


@pytest.mark.parametrize("name", DESIGNS)
def test_each_whole_design_says_what_is_stated_and_what_assumed(name):
    text = (handbooks.AUTHORITIES / "designs" / f"{name}.toml").read_text(encoding="utf-8")
    assert "# STATED:" in text and "# ASSUMED:" in text and re.search("Project Gutenberg|PG 38681", text)
    assert reader.parse(text).bands


def test_raw_tables_name_their_source_and_mark_stated_from_derived():
    names = sorted(path.name for path in handbooks.AUTHORITIES.glob("*.csv"))
    books = [name for name in names if "kind" in (handbooks.AUTHORITIES / name).read_text(encoding="utf-8")]
    assert len(books) >= 7
    for name in books:
        assert (handbooks.AUTHORITIES / name).read_text(encoding="utf-8").startswith("# ")
        for row in table(name):
            if "kind" in row:
                assert row["kind"] in ("stated", "derived", "practice", "memory", "given", "")


def test_the_page_of_comparisons_is_what_the_code_says():
    plan = handbook_page.page()
    shown = handbook_page.PAGE
    if not shown.exists() or shown.read_text(encoding="utf-8") != plan:
        beside = shown.with_suffix(".new.md")
        beside.write_text(plan, encoding="utf-8")
        remedy = "Rewrite: python tests/support/handbook_page.py --write"
        pytest.fail(f"{shown} is out of date; the new one is {beside}. {remedy}")
