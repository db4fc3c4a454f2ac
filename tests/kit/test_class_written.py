"""What is written of a class, read back by libraries that did not write it: PDF, code, workbook, calendar, lists."""

import csv
import io
import json
import math
import re
from dataclasses import replace
from datetime import date, datetime

import openpyxl
import pikepdf
import pypdfium2
import pytest
import vobject
import zxingcpp
from commands import slype_here
from pages import pages_of
from PIL import Image
from places import SOURCE

from slype.draw.views import png
from slype.export.calendars import calendar
from slype.export.lists import lists
from slype.export.workbook import workbook
from slype.kit.file.reader import load, of_design
from slype.kit.file.students import numbered
from slype.kit.values import Labels
from slype.kit.worked import work
from slype.paper import folder
from slype.paper.codes import MOST_BYTES, code

EXAMPLE = SOURCE / "examples" / "class" / "class.toml"


@pytest.fixture(scope="module")
def pages(pdf):
    return [page.text for page in pages_of(pdf)]


@pytest.fixture(scope="module")
def nameless(worked):
    return replace(worked, asked=replace(worked.asked, names=False))


# The PDF -------------------------------------------------------------------------------------------------------


def test_every_part_and_every_kit_has_its_bookmark(pdf, worked):
    with pikepdf.open(io.BytesIO(pdf)) as opened, opened.open_outline() as outline:
        titles, inner = [], []

        def walk(items, into):
            for item in items:
                into.append(item.title)
                walk(item.children, inner)

        walk(outline.root, titles)
    for part in ("Shopping", "Dyeing", "The day", "Money", "Seats", "Packing", "Cautions", "Kits"):
        assert part in titles
    assert [title for title in titles if title.startswith("Cutting: No.")] and "Labels for kits" in titles
    assert "Seat 3 · Clover" in inner and "Spare kit 13" in inner


def test_every_kit_page_lists_its_bundles_with_the_lengths_that_were_cut(pages, worked):
    for kit in worked.kits:
        head = f"Spare kit {kit.seat.number}" if kit.seat.spare else f"Seat {kit.seat.number} · {kit.seat.name}"
        (page,) = [text for text in pages if head in text and "What goes in" in text]
        assert f"{kit.seat.hand}-handed" in page
        spokes = kit.basket.bundles[0]
        shown = page.replace("\u00a0", " ")
        whole, half = divmod(round(spokes.cut_mm / 25.4 * 2), 2)
        assert f"{spokes.count} of {whole}{' 1/2' if half else ''} in" in shown
        assert shown.count("weavers") == sum(bundle.is_weaver for bundle in kit.basket.bundles)


def test_one_switch_leaves_the_names_off_everything_that_is_written(nameless, worked):
    names = [seat.name for seat in worked.asked.students]
    few = replace(nameless, kits=nameless.kits[:2])
    twins = [replace(seat, name="Alder", number=0) for seat in worked.asked.students[:2]]
    assert not [each for each in numbered(twins)[1] if "Alder" in str(each)], "remarks are printed too"
    written = [page.text for page in pages_of(folder.make(few))]
    book = openpyxl.load_workbook(io.BytesIO(workbook(nameless)))
    written += [str(cell.value) for sheet in book for row in sheet for cell in row]
    written += [content.decode("utf-8-sig") for content in lists(nameless).values()]
    written.append(calendar(nameless).decode())
    words = set(re.findall(r"\w+", " ".join(written)))
    assert not words & set(names)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_kit_has_one_page_also_where_there_is_much_to_say(tmp_path, paper):
    """The first kit has the heading of them all above it; its many pieces once ran over."""
    found = of_design(str(SOURCE / "examples" / "quayside.toml"), 2, 1).found
    made = work(replace(found, rules=replace(found.rules, seconds=0.3), paper=paper))
    texts = [page.text for page in pages_of(folder.make(made))]
    first = next(i for i, text in enumerate(texts) if "What goes in" in text)
    assert ["What goes in" in text for text in texts[first : first + 3]] == [True, True, False]
    assert all("order in which they are used" in text for text in texts[first : first + 2])


def test_what_is_to_watch_out_for_is_printed_in_a_makers_words(pages, worked):
    front = pages[0].replace("\n", " ")
    assert "The class, prepared: of 12 students" in front and "class.toml" not in front


def test_letter_and_a4_are_what_they_say(pdf, worked):
    few = replace(worked, kits=worked.kits[:1], reeds=worked.reeds[:1], lines=worked.lines[:1])
    letter = folder.make(replace(few, asked=replace(worked.asked, paper="letter")))
    for raw, (wide, high) in ((pdf, (595.28, 841.89)), (letter, (612, 792))):
        with pikepdf.open(io.BytesIO(raw)) as opened:
            for page in opened.pages:
                assert [float(x) for x in page.mediabox] == pytest.approx([0, 0, wide, high], abs=0.5)


def test_a_label_lies_where_the_teachers_sheet_has_it(worked):
    sheet = Labels(99.0, 57.0, 2, 5, 4.5, 6.0, 102.0, 57.0)
    few = replace(worked, asked=replace(worked.asked, labels=sheet), kits=worked.kits[:5])
    opened = [(page, page.get_textpage()) for page in pypdfium2.PdfDocument(folder.make(few))]
    told = [(page, words, words.get_text_range()) for page, words in opened]
    ((page, words, _),) = [each for each in told if "Seat 5 · Elder" in each[2] and "9 bundles" in each[2]]
    mm, high = 72 / 25.4, page.get_height()
    for i, name in enumerate(["Seat 1", "Seat 2", "Seat 3", "Seat 4", "Seat 5"]):
        at, _ = words.search(name).get_next()
        x, _, _, y = words.get_charbox(at)
        left, top = 4.5 + (i % 2) * 102.0, 6.0 + (i // 2) * 57.0
        assert left * mm <= x <= (left + 99.0) * mm and top * mm <= high - y <= (top + 57.0) * mm


# Codes ---------------------------------------------------------------------------------------------------------


def read_codes(raw, number, dpi=200):
    image = pypdfium2.PdfDocument(raw)[number].render(scale=dpi / 72).to_pil()
    return [found.text for found in zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)]


def test_a_phone_reads_the_kit_off_the_printed_label(pdf, pages, worked):
    first = next(
        i for i, text in enumerate(pages) if "Seat 1 · Alder" in text and "Seat 8" in text and "bundles" in text
    )
    found = read_codes(pdf, first)
    assert len(found) == 8, "eight labels to a page"
    by_seat = {re.search(r"Seat (\d+)", text)[1]: text for text in found}
    for kit in worked.kits[:8]:
        text = by_seat[str(kit.seat.number)]
        assert f"{kit.seat.hand}-handed" in text
        for bundle in kit.basket.bundles:
            assert re.search(rf"^{bundle.number} .*{bundle.colour}", text, re.MULTILINE)


def test_a_code_carries_any_letters_and_is_cut_off_at_a_line(tmp_path):
    text = "Gänseblümchen, ½ inch\n" + "\n".join(f"{i} weavers of No. 3 reed" for i in range(200))
    svg = code(text)
    image = Image.open(io.BytesIO(png(svg, 1200))).convert("RGB")
    (found,) = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    assert text.startswith(found.text) and found.text.startswith("Gänseblümchen, ½")
    assert text[len(found.text)] == "\n" and len(found.text.encode()) <= MOST_BYTES


# The workbook --------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def books(worked):
    raw = workbook(worked)
    return openpyxl.load_workbook(io.BytesIO(raw)), openpyxl.load_workbook(io.BytesIO(raw), data_only=True)


def reckon(sheet, cell, changed):
    """A formula of the workbook worked out by a small reader of our own, with some input cells changed."""
    value = changed.get(cell, sheet[cell].value)
    if not isinstance(value, str) or not value.startswith("="):
        return 0.0 if value in (None, "") else value

    def cells(first, last):
        return [reckon(sheet, each.coordinate, changed) for row in sheet[first:last] for each in row]

    text = value[1:].replace("$", "")
    text = re.sub(r"([A-Z]+\d+):([A-Z]+\d+)", lambda m: f"cells('{m[1]}','{m[2]}')", text)
    text = re.sub(r"(?<!')\b([A-Z]+\d+)\b(?!')", lambda m: f"reckon(sheet,'{m[1]}',changed)", text)
    names = {
        "SUM": lambda x: sum(v for v in x if isinstance(v, int | float)),
        "SUMPRODUCT": lambda a, b: sum(x * y for x, y in zip(a, b, strict=True)),
        "CEILING": lambda x, step: math.ceil(x / step - 1e-9) * step, "ROUND": round, "MAX": max,
        "ROUNDUP": lambda x, n: math.ceil(x - 1e-9),
    }  # fmt: skip
    return eval(text, {}, {**names, "cells": cells, "reckon": reckon, "sheet": sheet, "changed": changed})


def test_every_formula_says_what_slype_worked_out(books):
    formulas, values = books
    checked = 0
    for name in ("Money", "Shopping"):
        for row in formulas[name].iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and cell.value.startswith("="):
                    assert reckon(formulas[name], cell.coordinate, {}) == pytest.approx(
                        values[name][cell.coordinate].value
                    )
                    checked += 1
    assert checked > 20


def test_a_line_of_the_money_is_rounded_to_the_cent_as_on_the_pages(worked):
    line = replace(worked.sums.lines[0], amount=0.33, how=(1 / 3, "m", 1.0))
    made = replace(worked, sums=replace(worked.sums, lines=(line, *worked.sums.lines[1:])))
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(made)))["Money"]
    at = next(row[0].row for row in sheet.iter_rows() if row[0].value == "For") + 1
    assert reckon(sheet, f"F{at}", {}) == 0.33


def test_a_changed_number_changes_what_follows_as_the_engine_does(books, asked):
    formulas, _ = books
    sheet = formulas["Money"]
    at = next(row[0].row for row in sheet.iter_rows() if row[0].value == "In all")
    before = reckon(sheet, f"F{at}", {})
    assert reckon(sheet, f"F{at}", {"B2": 20}) > before
    room = next(row[0].row for row in sheet.iter_rows() if row[0].value == "Room")
    prices = replace(asked.prices, room=asked.prices.room + 100)
    dearer = work(replace(asked, prices=prices, rules=replace(asked.rules, seconds=1.0)))
    money = sum(line.amount for line in dearer.sums.lines if line.key == "room")
    assert reckon(sheet, f"F{room}", {f"E{room}": 160.0}) == pytest.approx(money)
    assert reckon(sheet, f"F{at}", {f"E{room}": 160.0}) == pytest.approx(before + 100 * 1.1)


def test_a_name_is_never_taken_for_a_formula(worked):
    seats = (replace(worked.kits[0].seat, name='=HYPERLINK("http://x")'),)
    kits = (replace(worked.kits[0], seat=seats[0]), *worked.kits[1:])
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(replace(worked, kits=kits))))["Kits"]
    assert sheet["A2"].data_type == "s" and "HYPERLINK" in sheet["A2"].value
    assert (
        b"\"'=HYPERLINK" in lists(replace(worked, kits=kits))["seats.csv"]
        or b"'=HYPERLINK" in lists(replace(worked, kits=kits))["seats.csv"]
    )


# The calendar --------------------------------------------------------------------------------------------------


def test_the_calendar_holds_the_day_and_what_comes_before_it(worked):
    events = list(vobject.readOne(calendar(worked).decode()).vevent_list)
    by = {event.summary.value.split(": ")[-1]: event for event in events}
    class_itself = by["Bread baskets at the net loft"]
    assert class_itself.dtstart.value == datetime(2027, 3, 13, 9, 30)
    assert class_itself.dtend.value == datetime(2027, 3, 13, 16, 30)
    assert class_itself.location.value == "The net loft, Saltings Quay"
    bundle = by["Bundle, label and tick off the kits"]
    assert bundle.dtstart.value == date(2027, 3, 12) and bundle.dtend.value == date(2027, 3, 13)
    assert len({event.uid.value for event in events}) == len(events)
    soaks = [event for event in events if event.summary.value.startswith("Soak")]
    assert soaks and all(event.dtend.value > event.dtstart.value for event in soaks)


def test_the_same_class_gives_the_same_calendar_and_one_without_a_day_none(worked):
    assert calendar(worked) == calendar(worked)
    assert calendar(replace(worked, asked=replace(worked.asked, day=None))) is None


# Lists and the whole command -----------------------------------------------------------------------------------


def test_the_lists_add_up_to_the_cutting(worked):
    files = {name: list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig")))) for name, raw in lists(worked).items()}
    pieces = sum(float(row["piece_mm"]) for row in files["cutting.csv"])
    assert pieces == pytest.approx(sum(float(row["length_mm"]) for row in files["bundles.csv"]))
    assert pieces == pytest.approx(sum(cut.cut_mm for cut in worked.reeds), abs=len(files["cutting.csv"]) * 0.05)
    assert [row["name"] for row in files["seats.csv"]][:2] == ["Alder", "Bracken"]


def test_a_folder_from_a_design_and_a_count_goes_on_from_its_own_class_file(class_folder, tmp_path):
    out = tmp_path / "saturday"
    done = slype_here(
        class_folder,
        "class",
        str(class_folder / "saltings.toml"),
        "--seats",
        "2",
        "--left",
        "1",
        "-o",
        str(out),
        "--no-sheets",
    )
    assert done.status == 0 and "2 kits, 1 left-handed" in done.out
    names = {path.name for path in out.iterdir()}
    assert {"folder.pdf", "class.xlsx", "class.toml", "saltings.toml", "cutting.csv"} <= names
    again = load(str(out / "class.toml"))
    assert again.remarks == () and [seat.hand for seat in again.found.seats] == ["right", "left"]


def test_a_fault_in_a_row_ends_in_status_2_and_the_folder_is_written_all_the_same(class_folder, tmp_path):
    roster = class_folder / "roster.csv"
    rows = roster.read_text(encoding="utf-8").splitlines()[:3]
    roster.write_text("\n".join(rows).replace("right", "rihgt", 1), encoding="utf-8")
    out = tmp_path / "out"
    done = slype_here(
        class_folder, "class", str(class_folder / "class.toml"), "-o", str(out), "--no-sheets", "--no-names", "--bind"
    )
    assert done.status == 2
    _, _, watched = done.out.partition("To watch out for")
    assert "roster.csv, row 2, column hand" in watched, "told again where it is looked for"
    assert "bind = true" in (out / "class.toml").read_text(encoding="utf-8")
    assert "roster.csv, row 2, column hand" in done.err and "Traceback" not in done.err
    assert (out / "folder.pdf").stat().st_size > 10_000
    assert "Alder" not in (out / "class.toml").read_text(encoding="utf-8")


def test_the_form_for_programs_is_json_and_nothing_else(class_folder):
    done = slype_here(class_folder, "class", str(class_folder / "saltings.toml"), "--seats", "1", "--json")
    form = json.loads(done.out)
    assert done.status == 0 and len(form["seats"]) == 1 and form["cutting"]


def test_a_class_that_is_not_there_says_so(tmp_path):
    done = slype_here(tmp_path, "class", str(tmp_path / "nowhere.toml"))
    assert done.status == 2 and "no such file" in done.err
