"""Baskets made and what they teach, the shelf on either kind of book, and everything as plain files and back."""

import csv
import threading
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slype.book import baskets, exchange, photographs, shelf
from slype.book.care import check
from slype.book.learning import figures
from slype.book.learning.gauge import PRIORS
from slype.book.store import Book
from slype.book.tables import BASKET, CLASS, FIGURE, HOURS, MARK, MONEY, PACE, PICTURE, TABLES, USED
from slype.errors import DesignError, FileTrouble
from slype.plans import planning

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(256))


@pytest.fixture(scope="module")
def planned():
    from slype.design.file.reader import parse

    text = (Path(__file__).parents[2] / "src" / "slype" / "examples" / "estuary.toml").read_text("utf-8")
    return planning.plan(parse(text)), text


# Baskets ---------------------------------------------------------------------------------------------------------


def test_all_that_can_be_measured_of_a_basket_speaks_of_something_the_gauge_learns(planned):
    found = figures.can_measure(planned[0])
    assert {each.quantity for each in found if each.teaches} == set(PRIORS)
    assert len({each.key for each in found}) == len(found), "two figures of one name"
    assert all(each.reckoned > 0 for each in found)
    heights = [each for each in found if each.quantity == "row pitch" and not each.parts]
    bands = planned[0].laid.bands
    assert [each.reckoned for each in heights] == [
        pytest.approx(len(band.s) * band.pitch_mm) for band in bands if band.pitch_mm
    ]


def test_a_basket_is_entered_found_again_and_teaches(book, planned):
    plan, text = planned
    height = next(each for each in figures.can_measure(plan) if each.key == "height of band 3")
    basket = baskets.record(
        book, plan, text, "2026-05-09", {height.key: height.reckoned * 1.08}, {"weaving": 7200.0},
        [("round 3", "rust", 9000.0, 400.0)], "for the spring market", "65.00", "€",
    )  # fmt: skip
    (there,) = baskets.baskets(book, "spring MARKET")
    assert (there.id, there.title, there.figures, there.seconds) == (basket, plan.design.title, 1, 7200.0)
    assert baskets.baskets(book, "autumn") == [] and baskets.baskets(book, "%") == []
    assert baskets.design_of(book, basket) == text
    known = baskets.known(book)["row pitch"]
    assert 1.0 < known.estimate(height.weave, height.reed).middle < 1.08
    assert baskets.known(book, without_basket=basket)["row pitch"].measures == 0
    baskets.leave_out(book, basket)
    assert baskets.known(book)["row pitch"].estimate(height.weave, height.reed).middle == 1.0
    assert baskets.baskets(book)[0].left_out


def test_a_figure_the_basket_does_not_have_is_refused_and_nothing_entered(book, planned):
    with pytest.raises(DesignError, match=r'height of band 33.*Did you mean "height of band 3"'):
        baskets.record(book, *planned, "2026-05-09", {"height of band 33": 20.0})
    with pytest.raises(DesignError, match="more than nothing"):
        baskets.record(book, *planned, "2026-05-09", {"height of band 3": -20.0})
    assert baskets.baskets(book) == []


# Several makers, reed off the shelf, entries taken back ------------------------------------------------------------


def test_each_makers_baskets_teach_that_maker_alone_but_everybodys_calipers_speak_of_the_reed(book, planned):
    plan, text = planned
    reckoned = {each.key: each for each in figures.can_measure(plan)}
    height, thick = reckoned["height of band 3"], reckoned["thickness of round 3"]
    kind = height.weave, height.reed
    baskets.record(book, plan, text, "2026-05-09", {height.key: 1.1 * height.reckoned})
    measured = {height.key: 0.9 * height.reckoned, thick.key: 1.1 * thick.reckoned}
    baskets.record(book, plan, text, "2026-05-09", measured, maker="seat 3")
    assert baskets.makers(book) == [("", 1), ("seat 3", 1)]
    mine, hers = (baskets.known(book, maker=maker) for maker in ("", "seat 3"))
    assert mine["row pitch"].estimate(*kind).middle > 1.0 > hers["row pitch"].estimate(*kind).middle
    assert mine["thickness"].estimate("", thick.reed).middle == hers["thickness"].estimate("", thick.reed).middle > 1.0
    assert baskets.known(book, maker="nobody")["row pitch"].measures == 0


def test_a_basket_takes_its_reed_off_the_shelf_in_the_same_entry_and_gives_it_back_with_it(book, planned):
    plan, text = planned
    for reed, colour, mm in figures.reckoned_use(plan):
        shelf.put_on_shelf(book, reed, colour, 2 * mm)
    before = [lot.amount for lot in shelf.lots(book)]
    used = [(reed, colour, mm, 0.0) for reed, colour, mm in figures.reckoned_use(plan)]
    basket = baskets.record(book, plan, text, "2026-05-09", used=used, off_shelf=True)
    assert [lot.amount for lot in shelf.lots(book)] == pytest.approx([each / 2 for each in before])
    assert baskets.opened(book, basket).off_shelf and sorted(baskets.opened(book, basket).used) == sorted(used)
    baskets.take_back(book, basket)
    assert [lot.amount for lot in shelf.lots(book)] == pytest.approx(before)
    assert baskets.baskets(book) == [] and baskets.makers(book) == [] and baskets.measures(book) == []
    with pytest.raises(DesignError, match="no such basket"):
        baskets.opened(book, basket)
    baskets.bring_back(book, basket)
    assert [lot.amount for lot in shelf.lots(book)] == pytest.approx([each / 2 for each in before])
    assert baskets.opened(book, basket).off_shelf
    baskets.take_back(book, basket)
    for lot in shelf.lots(book):
        shelf.count(book, lot.id, 1.0)
    with pytest.raises(shelf.NotEnough):
        baskets.bring_back(book, basket)
    assert baskets.baskets(book) == [], "half of it was brought back"


def test_where_the_shelf_has_too_little_all_of_it_is_said_and_no_basket_is_entered(book, planned):
    shelf.put_on_shelf(book, "round 3", "rust", 10_000.0)
    used = [("round 3", "rust", 9000.0, 0.0), ("round 2", "natural", 6096.0, 0.0), ("round 3", "sand", 3048.0, 0.0)]
    with pytest.raises(shelf.NotEnough, match="lacks 20 ft of round 2, natural; 10 ft of round 3, sand"):
        baskets.record(book, *planned, "2026-05-09", used=used, off_shelf=True)
    assert baskets.baskets(book) == [] and [lot.amount for lot in shelf.lots(book)] == [10_000.0]


def test_a_whole_height_teaches_each_band_of_the_side_by_its_share_and_a_mouth_is_kept(book, planned):
    """Sixteen baskets whose rows all stand a tenth higher: base, foot and border do not, so the whole is less than a
    tenth higher, and yet the rows are found out."""
    plan, text = planned
    high, mouth = figures.can_measure(plan)[:2]
    assert (high.key, mouth.key, mouth.teaches) == ("whole height", "width of the mouth", False)
    share = sum(each[2] for each in high.parts)
    assert 0.6 < share < 1.0
    for _ in range(16):
        basket = baskets.record(
            book, plan, text, "2026-05-09", {high.key: (1 + 0.1 * share) * high.reckoned, mouth.key: 200.0}
        )
    known = baskets.known(book)["row pitch"]
    assert known.measures == 16
    weave, reed, _ = max(high.parts, key=lambda each: each[2])
    assert known.estimate(weave, reed).middle == pytest.approx(1.1, abs=0.035)
    assert ("width of the mouth", "mouth", 200.0, mouth.reckoned) in baskets.opened(book, basket).figures


# The shelf, on a file and on a server ----------------------------------------------------------------------------


def test_two_benches_that_cut_from_one_coil_at_once_never_cut_it_twice(book, server, tmp_path):
    lot = shelf.put_on_shelf(book, "round 3", "rust", 10_000.0)
    place = book.path or server
    cut, refused = [], []

    def bench():
        with Book(place) as mine:
            for _ in range(8):
                try:
                    shelf.take(mine, [(lot, 900.0)])
                    cut.append(900.0)
                except shelf.NotEnough:
                    refused.append(1)

    threads = [threading.Thread(target=bench) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(cut) == 9900.0 and len(refused) == 24 - 11
    assert shelf.lots(book)[0].amount == pytest.approx(100.0)


def test_the_shelf_is_the_same_on_either_kind_of_book(book):
    rust = shelf.put_on_shelf(book, "round 3", "rust", 10_000.0, cost="14.50", currency="€", supplier="Old Quay Reed")
    sand = shelf.put_on_shelf(book, "round 3", "sand", 450.0, "g", dye_lot="8")
    act = shelf.take(book, [(rust, 4000.0), (sand, 50.0)])
    shelf.give_back(book, [(rust, 250.0)])
    assert [(lot.colour, lot.amount) for lot in shelf.lots(book)] == [("rust", 6250.0), ("sand", 400.0)]
    shelf.undo(book, act)
    shelf.count(book, sand, 0.0)
    assert [(lot.colour, lot.amount) for lot in shelf.lots(book)] == [("rust", 10_250.0)]
    assert [lot.colour for lot in shelf.lots(book, empty=True)] == ["rust", "sand"]
    assert shelf.lots(book, "round 3", "rust")[0].cost == "14.50"


# Photographs -----------------------------------------------------------------------------------------------------


def test_a_photograph_is_kept_once_and_its_damage_is_seen(tmp_path, planned):
    picture = tmp_path / "basket.png"
    picture.write_bytes(PNG)
    with Book(str(tmp_path / "book.sqlite")) as book:
        basket = baskets.record(book, *planned, "2026-05-09")
        photographs.keep(book, basket, str(picture))
        photographs.keep(book, basket, str(picture))
        folder = photographs.folder_of(book)
        kept = [each for each in Path(folder).rglob("*") if each.is_file()]
        assert len(kept) == 1 and kept[0].read_bytes() == PNG
        assert len(photographs.of_basket(book, basket)) == 2
        assert check(book.path, folder) == []
        kept[0].write_bytes(PNG[:-1])
        assert "basket.png is damaged" in check(book.path, folder)[0].said
        kept[0].unlink()
        assert "basket.png is missing" in check(book.path, folder)[0].said


def test_a_photograph_goes_out_with_either_kind_of_book_and_into_either_kind(book, server, tmp_path, planned):
    basket = baskets.record(book, *planned, "2026-05-09")
    photographs.keep_bytes(book, basket, PNG, "basket.png")
    photographs.keep_bytes(book, basket, PNG, "again.png")
    ((_, sha256), _) = photographs.of_basket(book, basket)
    assert photographs.bytes_of(book, sha256) == PNG
    exchange.export(book, str(tmp_path / "files"))
    assert (tmp_path / "files" / "photographs" / sha256).read_bytes() == PNG
    with Book(str(tmp_path / "other" / "book.sqlite")) as other:
        exchange.bring_in(other, str(tmp_path / "files"))
        assert contents(other) == contents(book) and photographs.bytes_of(other, sha256) == PNG
    assert not (tmp_path / "-photographs").exists() and not Path("-photographs").exists()
    if book.is_file:
        with Book(server) as guild:
            assert exchange.bring_in(guild, str(tmp_path / "files")) > 0
            assert contents(guild) == contents(book) and photographs.bytes_of(guild, sha256) == PNG
            with guild.engine.begin() as db:
                db.execute(PICTURE.update().values(raw=PNG[:-1]))
            assert "missing or damaged" in check(server)[0].said
            with guild.engine.begin() as db:
                for table in (PICTURE, *reversed(TABLES.values())):
                    db.execute(table.delete())


@pytest.mark.parametrize("raw", [b"", b"MZ\x90", b"<svg onload='x'/>", b"GIF89a"])
def test_what_is_no_photograph_is_not_kept(tmp_path, planned, raw):
    picture = tmp_path / "basket.png"
    picture.write_bytes(raw)
    with Book(str(tmp_path / "book.sqlite")) as book:
        basket = baskets.record(book, *planned, "2026-05-09")
        with pytest.raises(FileTrouble, match=r"basket\.png: is no photograph"):
            photographs.keep(book, basket, str(picture))
        assert photographs.of_basket(book, basket) == []


# Plain files and back --------------------------------------------------------------------------------------------

words = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00\r"), max_size=12)
values = st.floats(1e-6, 1e6)
entry = st.fixed_dictionaries(
    {"title": words, "note": words, "design": words, "value": values, "name": st.none() | words}
)


def contents(book):
    with book.reading() as db:
        return {
            name: sorted((dict(row) for row in db.execute(table.select()).mappings()), key=lambda row: row["id"])
            for name, table in TABLES.items()
            if name != MARK.name
        }


@settings(max_examples=8)
@given(st.lists(entry, max_size=4))
def test_everything_goes_out_as_plain_files_and_comes_back_the_same(tmp_path_factory, entries):
    folder = tmp_path_factory.mktemp("book")
    with Book(str(folder / "one.sqlite")) as one:
        for each in entries:
            with one.writing() as work:
                told = {name: each[name] for name in ("title", "design", "note")}
                basket = work.add(BASKET, made_on="2026-05-09", **told)
                work.add(FIGURE, basket_id=basket, quantity="border", measured=each["value"], reckoned=1 / 3)
                work.add(HOURS, basket_id=basket, part=each["title"], seconds=each["value"])
                work.add(USED, basket_id=basket, reed="round 3", colour="=1+1", length_mm=each["value"], left_mm=0.1)
                held = work.add(CLASS, title="-", held_on="2026-05-10", seats=12, plan=each["design"], note="'")
                work.add(PACE, class_held_id=held, seat=3, name=each["name"], part="@", strokes=5, seconds=1.5)
                work.add(MONEY, on="2026-05-10", kind="in", what="+", amount="12.50", basket_id=basket)
        if entries:
            shelf.put_on_shelf(one, "round 3", "rust", 10_000.0)
        before = contents(one)
        exchange.export(one, str(folder / "files"))
    with Book(str(folder / "other.sqlite")) as other:
        assert exchange.bring_in(other, str(folder / "files")) == sum(map(len, before.values()))
        assert contents(other) == before
        assert exchange.bring_in(other, str(folder / "files")) == 0, "the same once more adds nothing"


def test_what_an_older_slype_exported_comes_in_with_nothing_said_of_what_came_later(files_of_a_book, tmp_path):
    for file, columns in exchange.LATER.items():
        rows = list(csv.reader((files_of_a_book / f"{file}.csv").read_text("utf-8").splitlines()))
        keep = [i for i, name in enumerate(rows[0]) if name not in columns]
        assert len(keep) == len(rows[0]) - len(columns)
        lines = [",".join(row[i] for i in keep) for row in rows]
        (files_of_a_book / f"{file}.csv").write_text("\n".join(lines) + "\n", "utf-8")
    with Book(str(tmp_path / "other.sqlite")) as other:
        assert exchange.bring_in(other, str(files_of_a_book)) == 2
        assert baskets.makers(other) == [("", 1)] and len(baskets.measures(other)) == 1


@pytest.fixture
def files_of_a_book(tmp_path, planned):
    with Book(str(tmp_path / "one.sqlite")) as one:
        baskets.record(one, *planned, "2026-05-09", {"length of a tail": 40.0})
        exchange.export(one, str(tmp_path / "files"))
    return tmp_path / "files"


@pytest.mark.parametrize(
    ("file", "was", "put", "said"),
    [
        ("figure.csv", "40.0", "fourty", r'figure\.csv, row 2, measured: "fourty"'),
        ("figure.csv", "40.0", "inf", r"figure\.csv, row 2, measured"),
        ("figure.csv", "quantity", "quality", r"figure\.csv: its heading lacks quantity"),
        ("figure.csv", ",40.0", "", r"figure\.csv, row 2: has 8 cells"),
        ("basket.csv", "2026-05-09", "", r"basket\.csv, row 2, made_on: this cell may not be empty"),
        ("basket.csv", "designs/", "../designs/", r"basket\.csv, row 2, design"),
    ],
)
def test_a_file_that_was_spoilt_is_refused_by_row_and_column_and_nothing_comes_in(
    tmp_path, files_of_a_book, file, was, put, said
):
    path = files_of_a_book / file
    text = path.read_text("utf-8")
    assert was in text
    path.write_text(text.replace(was, put), "utf-8")
    with Book(str(tmp_path / "other.sqlite")) as other:
        with pytest.raises(FileTrouble, match=said):
            exchange.bring_in(other, str(files_of_a_book))
        assert not any(contents(other).values())


def test_an_entry_that_says_something_else_than_the_books_is_refused(tmp_path, files_of_a_book):
    with Book(str(tmp_path / "other.sqlite")) as other:
        exchange.bring_in(other, str(files_of_a_book))
        before = contents(other)
        path = files_of_a_book / "figure.csv"
        path.write_text(path.read_text("utf-8").replace("40.0", "41.0"), "utf-8")
        with pytest.raises(FileTrouble, match="says something else"):
            exchange.bring_in(other, str(files_of_a_book))
        assert contents(other) == before


def test_no_cell_of_a_table_is_taken_for_a_formula(files_of_a_book, tmp_path):
    with Book(str(tmp_path / "x.sqlite")) as book:
        shelf.put_on_shelf(book, "=HYPERLINK(1)", "@rust", 500.0, note="-1+2")
        exchange.export(book, str(tmp_path / "out"))
    rows = list(csv.reader((tmp_path / "out" / "lot.csv").read_text("utf-8").splitlines()))
    assert not [cell for row in rows for cell in row if cell[:1] in ("=", "@", "+", "-")]
    moved = csv.DictReader((tmp_path / "out" / "movement.csv").read_text("utf-8").splitlines())
    assert [float(row["amount"]) for row in moved] == [500.0], "a figure stays a figure"
