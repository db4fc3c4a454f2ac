"""Kits cut from the shelf, classes held, and a year's money: exact sums, each behind an entry of the book."""

import io
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slype.book import baskets, shelf
from slype.book.store import Book
from slype.book.year import accounts, classes, papers, stock
from slype.design.file.reader import parse
from slype.errors import DesignError, FileTrouble
from slype.kit.file import reader
from slype.kit.worked import work
from slype.plans import planning
from slype.reeds import reed_named

EXAMPLES = Path(__file__).parents[2] / "src" / "slype" / "examples"


@pytest.fixture(scope="module")
def pots():
    """Three posy pots."""
    return work(reader.of_design(str(EXAMPLES / "posy.toml"), 3, 0).found)


def fill(book, made, more=1.0, unit="mm"):
    for each in stock.taken_by(made):
        grams = reed_named(each.reed).g_per_mm if unit == "g" else 1.0
        shelf.put_on_shelf(book, each.reed, each.colour, more * each.net_mm * grams, unit)


def held_mm(book):
    return {(lot.reed, lot.colour): lot.amount for lot in shelf.lots(book, empty=True)}


# Kits ----------------------------------------------------------------------------------------------------------


def test_kits_take_strands_less_what_goes_back_and_are_undone_as_a_whole(book, pots):
    fill(book, pots, 2.0)
    before = held_mm(book)
    act, taken = stock.cut_kits(book, pots, "market")
    after = held_mm(book)
    for each in taken:
        key = each.reed, each.colour
        cut = sum(c.cut_mm for c in pots.reeds if (c.reed.key or c.reed.name) == each.reed)
        assert before[key] - after[key] == pytest.approx(each.net_mm)
        assert each.net_mm >= 0 and each.strands_mm >= each.back_mm
        assert sum(t.net_mm for t in taken if t.reed == each.reed) >= cut - 1
    shelf.undo(book, act)
    assert held_mm(book) == pytest.approx(before)


def test_reed_that_is_weighed_gives_by_its_weight(book, pots):
    fill(book, pots, 1.001, "g")
    stock.cut_kits(book, pots, "")
    for each in stock.taken_by(pots):
        (lot,) = [lot for lot in shelf.lots(book, each.reed, each.colour, empty=True)]
        assert lot.amount == pytest.approx(0.001 * each.net_mm * reed_named(each.reed).g_per_mm, abs=0.1)


def test_where_the_shelf_lacks_anything_all_of_it_is_named_and_nothing_cut(book, pots):
    fill(book, pots)
    first, second, *_ = shelf.lots(book)
    for lot in (first, second):
        shelf.count(book, lot.id, lot.amount / 2)
    before = held_mm(book)
    with pytest.raises(shelf.NotEnough) as trouble:
        stock.cut_kits(book, pots, "")
    assert all(f"{lot.reed}, {lot.colour}" in str(trouble.value) for lot in (first, second))
    assert held_mm(book) == before


# Classes -------------------------------------------------------------------------------------------------------

TIMES = "Seat,Part,Time,Strokes,Name\n1,base,1:10,280,Io\n2,base,1:40,300,Pia\n1,wale,2:00,,Io\n"


def test_students_pace_is_kept_by_seat_and_by_name_only_where_wanted(book):
    for names in (False, True):
        classes.record(book, "Pots", "2026-05-09", 6, pace=classes.read_pace(TIMES, "times.csv", names))
    with book.reading() as db:
        kept = {row.name for row in db.execute(accounts.sa.select(classes.PACE.c.name))}
    assert kept == {None, "Io", "Pia"}
    base, wale = classes.paces(book)
    assert (base.part, base.seats, base.quickest_s, base.slowest_s) == ("base", 4, 4200.0, 6000.0)
    assert base.strokes_per_minute == pytest.approx(3.5)
    assert wale.strokes_per_minute is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("seat,part\n1,base\n", "its heading lacks time"),
        ("seat,part,time\nx,base,1:00\n", "row 2, seat"),
        ("seat,part,time\n1,,1:00\n", "row 2, part"),
        ("seat,part,time\n1,base,soon\n", "is no time"),
        ("seat,part,time\n999,base,1:00\n", "there is no seat 999"),
    ],
)
def test_a_table_of_times_that_cannot_be_read_is_named_by_row_and_column(text, said):
    with pytest.raises((FileTrouble, DesignError)) as trouble:
        classes.read_pace(text, "times.csv", False)
    assert said in str(trouble.value)


# Money ---------------------------------------------------------------------------------------------------------


@pytest.fixture
def kept(book):
    """A year with two pots sold (one with its hours), one kept, a class of five hours, reed and a stall."""
    text = (EXAMPLES / "posy.toml").read_text("utf-8")
    plan = planning.plan(parse(text))
    baskets.record(book, plan, text, "2026-02-01", hours={"all": 7200.0}, sold_for="40.10", currency="$")
    baskets.record(book, plan, text, "2026-03-01", sold_for="45.20", currency="$")
    baskets.record(book, plan, text, "2026-04-01", hours={"all": 3600.0})
    baskets.record(book, plan, text, "2025-04-01", sold_for="999", currency="$")
    day = '[class]\nhours = ["9:30", "15:00"]\nbreaks = [["12:00", "12:30"]]\n'
    classes.record(book, "Pots", "2026-05-09", 6, day, "", "300.00", "$")
    with book.writing() as work:
        work.add(shelf.LOT, reed="round 3", colour="natural", kind="coil", unit="g", since="2026-01-02", cost="24.50",
                 currency="$", note="", supplier="a market", dye_lot="")  # fmt: skip
    accounts.enter(book, "2026-06-01", False, "stall", "12.30", "$")
    accounts.enter(book, "2026-06-02", True, "prize", "5", "€")
    return book


def test_a_year_is_added_up_to_the_cent_and_apart_by_currency(kept):
    year = accounts.year_of(kept, 2026)
    assert year.total("$", "basket") == Decimal("85.30")
    assert year.total("$") == Decimal("85.30") + 300 - Decimal("24.50") - Decimal("12.30")
    assert year.total("€") == Decimal(5)
    assert year.per_piece("$", "basket") == Decimal("42.65")
    assert year.per_hour("$", "basket") == Decimal("20.05"), "only the one whose hours are known"
    assert year.per_hour("$", "class") == Decimal("60.00")
    assert (year.unsold, year.seconds) == (1, 10800.0)
    assert accounts.year_of(kept, 2024).entries == ()


@given(st.lists(st.decimals(0, 10**6, places=2), min_size=1, max_size=12))
@settings(max_examples=20, deadline=None)
def test_sums_lose_no_cent(amounts):
    with _memory() as book:
        for amount in amounts:
            accounts.enter(book, "2026-01-01", True, "x", str(amount), "kr")
        assert accounts.year_of(book, 2026).total("kr") == sum(amounts)


def _memory():
    import tempfile

    return Book(str(Path(tempfile.mkdtemp()) / "book.sqlite"))


def test_reed_bought_cut_and_lost_is_told_by_weight(book):
    lot = shelf.put_on_shelf(book, "round 3", "natural", 500.0, "g", cost="20", currency="$")
    shelf.take(book, [(lot, 120.0)])
    shelf.give_back(book, [(lot, 20.0)])
    shelf.count(book, lot, 390.0)
    year = int(shelf.today()[:4])
    (reed,) = accounts.year_of(book, year).reeds
    assert (reed.bought_g, reed.cut_g, reed.missing_g) == (500.0, 100.0, 10.0)
    assert reed.cost == (("$", Decimal(20)),)


def test_the_workbook_and_the_page_hold_every_sum_and_no_formula(kept):
    accounts.enter(kept, "2026-07-01", True, '=HYPERLINK("http://x","y")<b>', "1.00", "$")
    year = accounts.year_of(kept, 2026)
    sheets = zipfile.ZipFile(io.BytesIO(papers.workbook(year)))
    inside = "".join(sheets.read(name).decode() for name in sheets.namelist() if name.endswith(".xml"))
    assert "<f>" not in inside and "HYPERLINK(" in inside
    assert "348.5" not in inside and "349.5" in inside, "what is left, the last sum of all"
    page = papers.page(year)
    assert "$349.50" in page and "-$12.30" in page and "no tax advice" in page
    assert "<b>" not in page


def test_a_year_that_is_none_is_refused(book):
    with pytest.raises(DesignError, match="no year of a maker"):
        accounts.year_of(book, 3)
