"""The maker's book as a maker types it: reed comes and goes, baskets are entered, and slype says what they teach."""

import contextlib
import io
import os
import re
from pathlib import Path

import pytest

import slype
from slype.cli.commands import main

POSY = str(Path(slype.__file__).parent / "examples" / "posy.toml")


@pytest.fixture
def book(tmp_path, monkeypatch):
    """Types a line after `slype book`: (exit status, what it printed, what it complained of)."""
    monkeypatch.setenv("SLYPE_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)

    def typed(*words):
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(["book", *words])
        return status, out.getvalue(), err.getvalue()

    return typed


def said(answer):
    status, out, err = answer
    assert (status, err) == (0, ""), err
    return out


def test_reed_that_comes_is_cut_put_back_counted_and_undone(book):
    lot = said(book("add", "round 3", "rust", "--length", "300 ft", "--dye-lot", "7")).split()[-1].rstrip(".")
    said(book("cut", "round 3, rust", "20 ft", "--note", "twelve kits"))
    assert "280 ft" in said(book("shelf", "round 3"))
    said(book("back", lot, "5 ft"))
    assert "285 ft" in said(book("shelf"))
    said(book("undo"))
    said(book("count", lot, "250 ft"))
    assert "250 ft" in said(book("shelf"))
    done = said(book("done"))
    assert "twelve kits" in done and "taken back" in done
    status, _, complaint = book("cut", lot, "900 ft")
    assert status == 2 and "only 250 ft of it is left, 900 ft is wanted" in complaint


def test_a_basket_whose_photograph_is_none_is_not_entered_half(book, tmp_path):
    (tmp_path / "pot.txt").write_text("no picture")
    status, _, complaint = book("made", POSY, "--photo", str(tmp_path / "pot.txt"))
    assert status == 2 and "no photograph" in complaint
    assert "No basket is in the book yet" in said(book("baskets"))


def test_a_basket_without_a_title_goes_by_its_file_and_money_by_what_the_book_mostly_has(book, tmp_path):
    design = "\n".join(line for line in Path(POSY).read_text("utf-8").splitlines() if not line.startswith("title"))
    (tmp_path / "sunday pot.toml").write_text(design, "utf-8")
    said(book("add", "round 3", "rust", "--length", "9 ft", "--cost", "4", "--currency", "kr"))
    said(book("made", "sunday pot.toml", "--sold-for", "40"))
    listed = said(book("baskets"))
    assert "sunday pot" in listed and "kr40" in listed


def test_a_year_and_a_class_are_kept_by_command(book, tmp_path):
    for reed, colour, length in (("round 3", "natural", "900 ft"), ("round 2", "natural", "900 ft")):
        said(book("add", reed, colour, "--length", length, "--cost", "10", "--currency", "$"))
    status, _, complaint = book("kits", POSY, "--seats", "2")
    assert status == 2 and "the shelf lacks" in complaint and "Nothing was cut" in complaint
    (tmp_path / "times.csv").write_text("seat,part,time,strokes,name\n1,base,0:50,200,Io\n", "utf-8")
    entered = said(book("held", POSY, "--seats", "6", "--brought", "150", "--pace", "times.csv"))
    assert "names were not taken" in entered
    assert "50 min" in said(book("pace")) and "150" in said(book("classes"))
    said(book("money", "out", "stall", "12.50"))
    assert "$117.50" in said(book("year"))
    for name in ("year.html", "year.xlsx"):
        said(book("year", "-o", name))
        assert (tmp_path / name).stat().st_size > 1000
    status, _, complaint = book("year", "-o", "year.doc")
    assert status == 2 and ".html or .xlsx" in complaint


def test_two_lots_of_one_reed_are_cut_the_oldest_first(book):
    for length in ("10 ft", "30 ft"):
        said(book("add", "round 3", "rust", "--length", length))
    said(book("cut", "round 3, rust", "35 ft"))
    assert said(book("shelf")).count("5.0 ft") == 1


@pytest.mark.parametrize("amount", ["-1", "-3 in", "0"])
def test_less_than_nothing_is_not_cut(book, amount):
    mine = said(book("add", "round 3", "rust", "--length", "10 ft")).split()[-1].rstrip(".")
    shelf = said(book("shelf"))
    for lot in ("round 3, rust", mine):
        status, _, complaint = book("cut", "--", lot, amount)
        assert status == 2 and "round 3, rust: this is no amount of reed" in complaint
    assert said(book("shelf")) == shelf


def test_a_basket_is_entered_and_teaches_and_can_be_left_out(book):
    listed = said(book("measurable", POSY))
    assert "height of band 4" in listed and "1 7/8 in" in listed
    entered = said(
        book(
            "made", POSY, "--on", "2026-05-09", "--measured", "height of band 4 = 2 in", "--hours",
            "weaving = 2:30", "--used", "round 2, plum = 30 ft, 2 ft", "--sold-for", "40", "--currency", "€",
        )
    )  # fmt: skip
    name = entered.removeprefix("In the book as ")[:6]
    assert "height of band 4 2 in; weaving 2 h 30 min; €40." in entered
    assert "2 h 30 min" in said(book("baskets", "dunlin")) and "No basket" in said(book("baskets", "heron"))
    learned = said(book("learned"))
    assert "For 10 in reckoned" in learned and "10 1/2 in" in learned
    said(book("leave-out", name))
    assert "Nothing was measured" in said(book("learned"))
    said(book("take-in", name))
    assert "Nothing was measured" in said(book("learned", "--without", name))


def test_the_book_answers_in_the_units_that_were_typed_and_then_in_those_of_the_last_basket(book, tmp_path):
    """Who types metres is answered in metres; a shelf of cane is told in metres, one of round reed in feet."""
    assert "200.0 m of cane 6" in said(book("add", "cane 6", "natural", "--length", "200 m"))
    assert "200.0 m" in said(book("shelf")) and "Colour" in said(book("shelf"))
    assert "500 g of cane 8" in said(book("add", "cane 8", "natural", "--weight", "500 g"))
    assert "20.0 m" in said(book("cut", "cane 6, natural", "20"))
    assert "ft" in said(book("--units", "in", "shelf"))
    said(book("made", POSY))
    assert "ft" in said(book("shelf")), "the basket made last is drawn in inches"
    metric = tmp_path / "metric.toml"
    metric.write_text(Path(POSY).read_text("utf-8").replace("[basket]", '[basket]\nunits = "cm"'), "utf-8")
    said(book("made", str(metric)))
    assert "180.0 m" in said(book("shelf"))
    assert "90 ft of round 3" in said(book("add", "round 3", "rust", "--length", "90 ft"))


def test_a_number_alone_is_taken_in_the_makers_own_units_and_told_back(book, tmp_path):
    assert "300 ft of round 3, rust" in said(book("add", "round 3", "rust", "--length", "300", "--cost", "$14.50"))
    assert "90.0 m of round 3, sand" in said(book("--units", "cm", "add", "round 3", "sand", "--length", "90"))
    entered = said(
        book("made", POSY, "--measured", "whole height = 3 1/2", "--measured", "time of band 4 = 50",
             "--measured", "thickness of round 2 = 1.9", "--hours", "in all = 3", "--sold-for", "40 kr")
    )  # fmt: skip
    assert "whole height 3 1/2 in; time of band 4 50 min; thickness of round 2 1.90 mm" in entered
    assert "in all 3 h; kr40." in entered
    (tmp_path / "cm.toml").write_text(
        Path(POSY).read_text("utf-8").replace("[basket]", '[basket]\nunits = "cm"'), "utf-8"
    )
    assert "whole height 9.0 cm" in said(book("made", "cm.toml", "--measured", "whole height = 9"))


def test_a_basket_made_by_a_student_comes_off_the_shelf_and_back_in_one_step(book):
    for reed, colour in (("round 4", "natural"), ("round 2", "natural"), ("round 2", "plum")):
        said(book("add", reed, colour, "--length", "100 ft"))
    before = said(book("shelf"))
    entered = said(book("made", POSY, "--maker", "Io", "--off-shelf", "--measured", "height of band 4 = 2 1/8"))
    assert "Off the shelf: " in entered and "of round 2, plum" in entered
    assert said(book("shelf")) != before
    assert "Io: 1 basket" in said(book("makers")) and "Io" in said(book("baskets"))
    assert "Nothing was measured" in said(book("learned"))
    assert "round 2" in said(book("learned", "--maker", "Io"))
    assert "Io's baskets" in said(book("gauge", POSY, "--maker", "Io"))
    status, _, complaint = book("learned", "--maker", "Ivo")
    assert status == 2 and 'Did you mean "Io"?' in complaint
    name = said(book("baskets")).splitlines()[2][:6]
    opened = said(book("open", name))
    assert "2 1/8 in" in opened and "1 7/8 in" in opened and "came off the shelf" in opened
    assert said(book("open", name, "--design")) == Path(POSY).read_text("utf-8")
    assert "on the shelf again" in said(book("take-back", name))
    assert said(book("shelf")) == before and "No basket" in said(book("baskets"))


def test_a_figure_that_looks_like_a_slip_is_entered_and_said_with_how_to_take_it_back(book):
    entered = said(book("made", POSY, "--measured", "height of band 4 = 7 in"))
    assert "you measured 7 in, slype reckons 1 7/8 in" in entered
    remedy = re.search(r"slype book (take-back [0-9a-f]{6}), and enter it again", entered)
    said(book(*remedy[1].split()))
    assert "No basket is in the book yet" in said(book("baskets"))


def test_undo_does_not_take_the_reed_of_a_basket_back_unless_it_is_meant(book):
    for reed, colour in (("round 4", "natural"), ("round 2", "natural"), ("round 2", "plum")):
        said(book("add", reed, colour, "--length", "100 ft"))
    before = said(book("shelf"))
    entered = said(book("made", POSY, "--off-shelf"))
    without = said(book("shelf"))
    name = re.search(r"as ([0-9a-f]{6})", entered)[1]
    status, out, complaint = book("undo")
    assert status == 2 and not out and name in complaint and f"slype book take-back {name}" in complaint
    assert said(book("shelf")) == without
    act = re.search(r"slype book undo ([0-9a-f]{6})", complaint)[1]
    assert name in said(book("done"))
    taken_back = said(book("undo", act))
    assert "stays in the book" in taken_back and name in taken_back
    assert said(book("shelf")) == before and "It came off no shelf" in said(book("open", name))


def test_a_figure_that_a_basket_does_not_have_is_answered_by_the_nearest_and_a_list_that_can_be_read(book):
    status, _, complaint = book("made", POSY, "--measured", "border = 7")
    assert status == 2 and 'Did you mean "length of one border end"? Its figures are: whole height; ' in complaint
    assert "height of band 1 to " in complaint and complaint.count("band") == 2


def test_reed_that_goes_into_more_than_weavers_is_told_in_all_where_it_is_measured(book, tmp_path):
    text = Path(POSY).read_text("utf-8")
    (tmp_path / "pot.toml").write_text(text + '\n[[handle]]\nkind = "rope"\ncore = "round 8"\nwrap = "round 2"\n')
    told = said(book("measurable", str(tmp_path / "pot.toml")))
    whole = re.search(r"used of round 2, \w+ counts weavers alone; the whole basket takes (\d+) ft", told)
    weavers = re.search(r"used of round 2, \w+ +(\d+) ft", told)
    assert int(whole[1]) > int(weavers[1])
    assert "counts weavers alone" not in said(book("measurable", POSY))


def test_what_is_entered_as_done_on_a_day_to_come_gets_a_remark(book):
    told = said(book("held", POSY, "--seats", "3", "--on", "2199-05-01"))
    assert "2199-05-01 is still to come" in told and "slype book take-back" in told
    assert "still to come" in said(book("made", POSY, "--on", "2199-05-01"))
    assert "still to come" not in said(book("held", POSY, "--seats", "3", "--on", "2019-05-01"))


def test_the_whole_book_goes_out_and_comes_into_another(book, tmp_path):
    said(book("add", "round 3", "rust", "--length", "300 ft"))
    said(book("made", POSY, "--measured", "length of a tail = 1 1/2 in"))
    said(book("export", "out"))
    other = str(tmp_path / "other.sqlite")
    assert "5 new entries" in said(book("--book", other, "import", "out"))
    assert "0 new entries" in said(book("--book", other, "import", "out"))
    assert "300 ft" in said(book("--book", other, "shelf"))


def test_a_damaged_book_is_seen_and_repaired(book, tmp_path):
    said(book("add", "round 3", "rust", "--length", "300 ft"))
    assert "whole" in said(book("check"))
    path = tmp_path / "book.sqlite"
    path.write_bytes(path.read_bytes()[:3000])
    status, out, _ = book("check")
    assert status == 1 and "Run: slype book repair." in out
    assert "brought back" in said(book("repair"))
    assert "300 ft" in said(book("shelf"))
    assert any(name.startswith("book-damaged-") for name in os.listdir(tmp_path)), "what was there is put aside"


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["add", "raund 3", "rust", "--length", "3 ft"], 'Did you mean "round 3"?'),
        (["add", "round 3", "rust", "--length", "3 miles"], "--length"),
        (["add", "round 3", "rust", "--weight", "-1 lb"], "--weight"),
        (["add", "round 3", "rust", "--length", "3 ft", "--cost", "lots"], "no amount of money"),
        (["cut", "zzzz", "3 ft"], "there is no such lot"),
        (["cut", "round 9, rust", "3 ft"], "none of it is on the shelf"),
        (["undo"], "nothing was done"),
        (["made", POSY, "--on", "9 May"], "no day"),
        (["made", POSY, "--measured", "height of band 4"], "does not say what is how much"),
        (["made", POSY, "--measured", "height of band 44 = 2 in"], "this basket has no such figure"),
        (["made", POSY, "--measured", "height of band 4 = -2 in"], "more than nothing"),
        (["made", POSY, "--hours", "weaving = long"], "no time"),
        (["made", POSY, "--sold-for", "1,200"], 'Write "1200"'),
        (["made", POSY, "--off-shelf"], "the shelf lacks"),
        (["made", POSY, "--used", "round 2 = 3 ft"], "names no color"),
        (["made", "nothing.toml"], "no such file"),
        (["leave-out", "abcdef"], "there is no such basket"),
        (["import", "nowhere"], "nowhere"),
    ],
)  # fmt: skip
def test_what_cannot_be_entered_is_refused_in_a_sentence_and_nothing_is_entered(book, words, complaint):
    status, _, err = book(*words)
    assert status == 2 and complaint in err and err.count("\n") == 1, err
    assert "0 lots of reed on the shelf, 0 baskets made, 0 figures measured" in said(book("where"))


def test_a_class_its_times_and_other_money_are_entered_and_taken_back(book, tmp_path):
    (tmp_path / "times.csv").write_text("seat;part;time\n1;base;0:50\n2;base;1:10\n", "utf-8")
    held = said(book("held", POSY, "--seats", "2", "--brought", "$120")).removeprefix("In the book as ")[:6]
    assert said(book("times", held, "times.csv")).startswith("2 times of")
    each = said(book("pace", "--each"))
    assert each.index("seat 2") < each.index("seat 1"), "the slowest first"
    assert "113%" in each and "87%" in each
    stall = said(book("money", "out", "stall", "30")).removeprefix("In the book as ")[:6]
    assert "$90.00" in said(book("year"))
    said(book("take-back", stall))
    assert "$90.00" not in said(book("year"))
    assert "students' times" in said(book("take-back", held))
    assert "No money" in said(book("year")) and "No student's pace" in said(book("pace"))
    assert "whole" in said(book("check"))


def test_reed_that_was_not_as_reckoned_is_said_and_the_rest_is_taken_as_reckoned(book):
    for reed, colour in (("round 4", "natural"), ("round 2", "natural"), ("round 2", "plum")):
        said(book("add", reed, colour, "--length", "100"))
    entered = said(book("made", POSY, "--off-shelf", "--used", "round 2, plum = 35", "--used", "round 4, natural = 0"))
    assert "35 ft of round 2, plum" in entered and "round 4" not in entered
    reckoned = int(re.search(r"(\d+) ft of round 2, natural", entered)[1])
    shelf = said(book("shelf"))
    assert 50 < reckoned < 70 and "65 ft" in shelf and f"{100 - reckoned} ft" in shelf


def test_a_swatch_that_was_woven_is_entered_and_teaches(book):
    assert "--woven" in said(book("swatch", POSY))
    entered = said(book("swatch", POSY, "--woven", "randing, round 2", "--height", "2", "--time", "40"))
    assert "height 2 in; time 40 min" in entered
    assert "randing" in said(book("learned"))
    status, _, complaint = book("swatch", POSY, "--woven", "randing, round 9", "--height", "2")
    assert status == 2 and "no such band" in complaint
