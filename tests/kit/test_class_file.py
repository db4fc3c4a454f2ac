"""The class file and the CSV files beside it: what can be read is read, and every fault is named by row and column."""

import shutil
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import ROOT

from slype.errors import DesignError, FileTrouble
from slype.kit.file.inlined import inlined
from slype.kit.file.keys import CLASS_KEYS, ROSTER
from slype.kit.file.reader import load, of_design
from slype.kit.file.sheets import number, read_sheet
from slype.kit.file.times import read_time
from slype.kit.file.writer import class_text
from slype.kit.values import Class

HEAD = "seat,name,hand,size,rust,slate,skill\n"


def spoil(folder, file, old, new):
    """The example class with one thing changed in one of its files, read again."""
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return load(str(folder / "class.toml"))


def said(read):
    return [str(each) for each in read.remarks]


def test_the_example_says_what_it_is(read):
    assert read.remarks == ()
    seats = read.found.students
    assert len(seats) == 12
    assert sum(seat.hand == "left" for seat in seats) == 3
    assert len({seat.colours for seat in seats}) == 4
    assert {seat.size for seat in seats} == {1.0, 0.85}
    assert len(read.found.seats) == 13 and read.found.seats[-1].spare


def test_a_design_and_a_count_of_seats_are_a_class(class_folder):
    found = of_design(str(class_folder / "saltings.toml"), 12, 3).found
    assert len(found.seats) == 12
    assert [seat.hand for seat in found.seats].count("left") == 3
    with pytest.raises(DesignError, match="more than"):
        of_design(str(class_folder / "saltings.toml"), 4, 5)


def test_so_many_are_left_handed_however_the_design_is_drawn(class_folder):
    """`left` counts the left-handed, also of a design whose maker is left-handed; unsaid, all weave as it is drawn."""
    drawn = class_folder / "saltings.toml"
    drawn.write_text(drawn.read_text(encoding="utf-8").replace('hand = "right"', 'hand = "left"'), encoding="utf-8")
    hands = {left: [seat.hand for seat in of_design(str(drawn), 5, left).found.seats] for left in (None, 0, 2)}
    assert hands[None] == ["left"] * 5
    assert hands[0] == ["right"] * 5
    assert hands[2] == ["right"] * 3 + ["left"] * 2


def test_a_hand_in_short_is_understood(class_folder):
    (class_folder / "roster.csv").write_text("name,hand\nBo,l\nMona,R\nPia,left-handed\n", encoding="utf-8")
    read = load(str(class_folder / "class.toml"))
    assert said(read) == [] and [seat.hand for seat in read.found.students] == ["left", "right", "left"]


def test_a_colour_is_offered_once(class_folder):
    (class_folder / "shelf.csv").write_text("reed,colour,length,count\nround 3,purple,10 ft,3\n", encoding="utf-8")
    (told,) = load(str(class_folder / "class.toml")).remarks
    offered = told.remedy.removeprefix("Known: ").split(". ")[0].split(", ")
    assert len(offered) == len(set(offered)) > 5


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize(("mark", "letters"), [("", "utf-8"), ("\ufeff", "utf-8"), ("", "utf-16"), ("", "cp1252")])
def test_any_usual_spreadsheet_can_write_the_roster(class_folder, separator, mark, letters):
    rows = [["Seat", "Name", "HAND", "rust"], ["2", "Zoë", "Left", "moss"], ["", "", "", ""], ["1", "Bo", "", ""]]
    text = mark + "\r\n".join(separator.join(row) for row in rows) + "\r\n\r\n"
    (class_folder / "roster.csv").write_bytes(text.encode(letters))
    read = load(str(class_folder / "class.toml"))
    assert said(read) == []
    first, second = read.found.students
    assert (first.name, first.hand) == ("Bo", "right")
    assert (second.name, second.hand, second.colours) == ("Zoë", "left", (("rust", "moss"),))


def test_a_decimal_comma_is_read(class_folder):
    (class_folder / "shelf.csv").write_text("reed;length;count\nround 3;3,05 m;14\n", encoding="utf-8")
    (class_folder / "prices.csv").write_text("item;price\nround 3;1.018,50 €\nhour;20,5\n", encoding="utf-8")
    read = load(str(class_folder / "class.toml"))
    assert said(read) == []
    assert read.found.shelf[0].length_mm == pytest.approx(3050)
    assert read.found.packs[0].price == 1018.5 and read.found.prices.hour == 20.5


@given(st.floats(0, 99999).map(lambda x: round(x, 2)), st.sampled_from([".", ","]), st.sampled_from(["", " ", "'"]))
@settings(max_examples=50)
def test_numbers_read_back_as_they_were(value, point, thousands):
    whole, part = f"{value:.2f}".split(".")
    grouped = f"{int(whole):,}".replace(",", thousands)
    assert number(f"{grouped}{point}{part}", "here") == pytest.approx(value)


FAULTS = [
    ("roster.csv", "1,Alder,right", "1,Alder,rihgt", 'row 2, column hand: "rihgt"', 'Did you mean "right"?'),
    ("roster.csv", "3,Clover,left,,moss", "3,Clover,left,,mosss", "roster.csv, row 4, column rust:", '"moss"'),
    ("roster.csv", "2,Bracken,right,small", "2,Bracken,right,tiny", "roster.csv, row 3, column size:", "small"),
    ("roster.csv", "2,Bracken,right,small", "2,Bracken,right,900 %", "roster.csv, row 3, column size:", "From 40%"),
    ("roster.csv", "2,Bracken", "two,Bracken", 'roster.csv, row 3, column seat: "two" is not a number', "figures"),
    ("roster.csv", "2,Bracken", "1,Bracken", "roster.csv, row 3: seat 1 is taken already, by roster.csv, row 2",
     "next free one"),
    ("roster.csv", "2,Bracken", "2,Alder", "row 3: two students have one name: see roster.csv, row 2", "letter"),
    ("roster.csv", "4,Dunlin,right,,moss,,some", "4,Dunlin,right,,moss,,master", "roster.csv, row 5, column skill:",
     "first basket"),
    ("roster.csv", "slate,skill", "slat,skill", 'roster.csv, row 1: the column "slat"', '"slate"'),
    ("roster.csv", "1,Alder,right,,,,first basket", "1,Alder,right,,,,first basket,extra,cells",
     "roster.csv, row 2: has 9 cells under 7 headings", "quotes"),
    ("shelf.csv", "9 ft,22", "9 ft,-22", "shelf.csv, row 2, column count: must not be below nought", "0"),
    ("shelf.csv", "round 5,natural,9 ft,22", "round 55,natural,9 ft,22", "row 2, column reed:", '"round 5.5"'),
    ("shelf.csv", "round 5,natural,9 ft,22", "5,natural,9 ft,22", "shelf.csv, row 2, column reed:", '"round 5" or'),
    ("shelf.csv", "9 ft,22", "9,22", "shelf.csv, row 2, column length:", "unit"),
    ("shelf.csv", "moss,9 ft", "mosss,9 ft", "shelf.csv, row 6, column colour:", '"moss"'),
    ("shelf.csv", "9 ft,22", "9 ft,", "shelf.csv, row 2: says no count, coils or mass", "Count"),
    ("shelf.csv", "reed,colour", "colour,tint", 'shelf.csv, row 1: there is no column "reed"', "call one of them reed"),
    ("prices.csv", "round 5,16.50", "round 5,cheap", "prices.csv, row 2, column price:", "12.50"),
    ("prices.csv", "round 5,16.50", "round 5,-3", "prices.csv, row 2, column price: must not be below nought", "0"),
    ("prices.csv", "room,60", "rom,60", "prices.csv, row 9, column item:", "rom"),
    ("class.toml", '"9:30", "16:30"', '"9:30", "25:30"', "class.toml, class, hours:", "9:30"),
    ("class.toml", '"9:30", "16:30"', '"16:30", "9:30"', "class.toml, class, hours: ends before it starts", "start"),
    ("class.toml", '["15:00", "15:15"]', '["13:00", "15:15"]', "class.toml, class, breaks, entry 2: two breaks", "one"),
    ("class.toml", "day = 2027-03-13", 'day = "March"', "class.toml, class, day:", "2027-03-13"),
    ("class.toml", 'prepared = "nothing"', 'prepared = "bases"', "class.toml, class, prepared:", '"base"'),
    ("class.toml", "helpers = 1", "helper = 1", 'class.toml, class: unknown key "helper"', '"helpers"'),
    ("class.toml", "[sizes]", "[size]", 'class.toml: unknown table "size"', '"sizes"'),
    ("class.toml", 'kind = "packet"', 'kind = "paket"', "class.toml, dye 4, kind:", '"packet"'),
    ("class.toml", 'swatch_dye = "3 g" ', "", "class.toml, dye 2: a swatch has dye and reed", "neither"),
    ("class.toml", 'shelf = "shelf.csv"', 'shelf = "self.csv"', "class.toml, class, shelf, ", "Check the name"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "message", "remedy"), FAULTS)
def test_every_fault_says_where_and_what_would_be_right_and_the_rest_is_read(
    class_folder, file, old, new, message, remedy
):
    read = spoil(class_folder, file, old, new)
    found = [text for text in said(read) if message in text]
    assert found, said(read)
    assert remedy in found[0]
    assert len(read.found.students) == 12, "everyone has a seat all the same"


@pytest.mark.parametrize(
    ("file", "old", "new", "message"),
    [
        ("class.toml", 'design = "saltings.toml"', 'design = "nowhere.toml"', "class.toml, class, design, "),
        ("class.toml", 'design = "saltings.toml"', "", "class.toml, class, design: is missing"),
        ("class.toml", "[class]", "[class", "is not TOML"),
        ("class.toml", "version = 1", "version = 2", "Use a newer slype"),
        ("saltings.toml", "ends = 28", "ends = 2", "saltings.toml, spokes, ends"),
    ],
)
def test_where_there_is_no_class_to_work_nothing_is(class_folder, file, old, new, message):
    with pytest.raises((DesignError, FileTrouble)) as trouble:
        spoil(class_folder, file, old, new)
    assert message in str(trouble.value)


def test_a_roster_without_headings_says_so():
    with pytest.raises(DesignError, match="row 1 holds no headings") as trouble:
        read_sheet(b"1,Ada,right\n2,Bo,left\n", "roster.csv", ROSTER, ())
    assert "seat, name, hand" in trouble.value.remedy


@given(st.binary(max_size=300))
@settings(max_examples=100)
def test_no_bytes_make_a_traceback(raw):
    try:
        sheet = read_sheet(raw, "roster.csv", ROSTER, ())
    except DesignError as trouble:
        assert str(trouble)
    else:
        assert all(row.number >= 2 for row in sheet.rows)


def test_the_class_as_worked_reads_as_the_same_class(class_folder, read):
    (class_folder / "again.toml").write_text(class_text(read.found), encoding="utf-8")
    again = load(str(class_folder / "again.toml"))
    assert again.remarks == ()

    def plain(found: Class):
        seats = tuple(replace(seat, where="") for seat in found.seats)
        shelf = tuple(replace(each, where="", length_mm=round(each.length_mm, 3)) for each in found.shelf)
        packs = tuple(
            replace(p, where="", mass_g=round(p.mass_g, 1), shortest_mm=p.shortest_mm and round(p.shortest_mm, 3))
            for p in found.packs
        )
        dyes = tuple(replace(each, where="") for each in found.dyes)
        rules = replace(found.rules, least_mm=round(found.rules.least_mm))
        return replace(found, seats=seats, shelf=shelf, packs=packs, dyes=dyes, rules=rules, name="")

    assert plain(again.found) == plain(read.found)


def as_read(found: Class) -> Class:
    """What a class says, whatever file it stands in."""
    plain = {
        key: tuple(replace(each, where="") for each in getattr(found, key))
        for key in ("seats", "shelf", "packs", "dyes")
    }
    return replace(found, name="", **plain)


def test_a_class_with_its_lists_taken_in_reads_as_the_same_class_and_keeps_the_makers_own_words(class_folder, read):
    path = class_folder / "class.toml"
    text = inlined(path.read_text(encoding="utf-8"), str(path), {"rust", "sand", "slate"})
    (class_folder / "again.toml").write_text(text, encoding="utf-8")
    for each in ("roster.csv", "shelf.csv", "prices.csv"):
        (class_folder / each).unlink()
    again = load(str(class_folder / "again.toml"))
    assert again.remarks == () and as_read(again.found) == as_read(read.found)
    assert "# a kit made and kept back" in text and '"6 ft 6 in"' in text and "roster.csv" not in text


def test_a_fault_of_a_list_is_still_there_once_the_list_is_taken_in(class_folder):
    spoil(class_folder, "roster.csv", "1,Alder,right", "1,Alder,lefty")
    spoil(class_folder, "prices.csv", "round 5,16.50", "round 5,cheap")
    path = class_folder / "class.toml"
    path.write_text(inlined(path.read_text(encoding="utf-8"), str(path), set()), encoding="utf-8")
    again = load(str(path))
    assert [each.path for each in again.remarks] == [("student", 0, "hand"), ("pack", 0, "price")]
    assert '"lefty"' in said(again)[0] and '"cheap"' in said(again)[1]


def test_a_heading_without_end_is_cut_short_in_the_class_as_worked(class_folder):
    path = class_folder / "class.toml"
    spoil(class_folder, "prices.csv", "item,price", f"item,price,{'beyond ' * 20}")
    spoil(class_folder, "prices.csv", "round 5,16.50", "round 5,16.50,yes")
    assert "beyond beyond" in inlined(path.read_text(encoding="utf-8"), str(path), set())


def test_signs_that_nobody_can_read_are_marked_when_a_list_is_taken_in(class_folder):
    spoil(class_folder, "prices.csv", "round 5,16.50", "rou\x07nd 5,16.50")
    path = class_folder / "class.toml"
    text = inlined(path.read_text(encoding="utf-8"), str(path), set())
    assert 'reed = "rou\N{REPLACEMENT CHARACTER}nd 5"' in text


@pytest.mark.parametrize(
    ("file", "old", "new", "path"),
    [
        ("roster.csv", "3,Clover,left", "3,Clover,lft?", ("student", 2, "hand")),
        ("roster.csv", "2,Bracken", "2,Alder", ("student", 1, "name")),
        ("class.toml", '["15:00", "15:15"]', '["17:00", "17:15"]', ("class", "breaks", 1)),
        ("class.toml", "day = 2027-03-13", 'day = "March"', ("class", "day")),
        ("class.toml", 'kind = "packet"', 'kind = "paket"', ("dye", 3, "kind")),
        ("class.toml", 'small = "85 %"', 'small = "900 %"', ("sizes", "small")),
        ("class.toml", 'roster = "roster.csv"', 'roster = "r.csv"', ("class", "roster")),
    ],
)
def test_a_fault_knows_its_place_in_the_file(class_folder, file, old, new, path):
    assert path in [each.path for each in spoil(class_folder, file, old, new).remarks]


def test_names_stay_out_of_the_class_as_worked_where_they_are_not_to_be_printed(read):
    text = class_text(replace(read.found, names=False))
    assert not [seat.name for seat in read.found.students if seat.name in text]
    assert "Alder" in class_text(read.found)


@pytest.mark.parametrize(
    ("text", "minutes"), [("9:30", 570), ("9.05", 545), ("16h15", 975), ("4:30 pm", 990), ("12 am", 0), ("12 pm", 720)]
)
def test_times_are_read_as_people_write_them(text, minutes):
    assert read_time(text, "here") == minutes


def test_every_key_is_in_the_reference_and_every_table_in_the_guide():
    reference = (ROOT / "docs" / "reference.md").read_text(encoding="utf-8")
    shown = reference.replace("` | ", "` \\| ")
    assert [key for key in CLASS_KEYS if f"`{key.name}` | {key.takes}".replace("|", "\\|") not in shown] == []
    guide = (ROOT / "docs" / "classes.md").read_text(encoding="utf-8")
    assert [key.table for key in CLASS_KEYS if key.table and f"[{key.table}" not in guide] == []


def test_a_folder_of_its_own_needs_nothing_but_the_design(class_folder, tmp_path):
    alone = tmp_path / "alone"
    alone.mkdir()
    shutil.copy(class_folder / "saltings.toml", alone)
    (alone / "class.toml").write_text('[class]\ndesign = "saltings"\nseats = 5\n', encoding="utf-8")
    read = load(str(alone / "class.toml"))
    assert said(read) == [] and len(read.found.seats) == 5
