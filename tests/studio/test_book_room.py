"""The room of the book in a real browser: reed comes and is cut, a basket is entered as made, and the measure it taught
goes into the basket on the bench."""

import shutil
import tomllib
import zipfile

import numpy as np
import pytest
from browser import quiet
from class_shown import until
from kept_pages import studio_for_many
from PIL import Image
from places import EXAMPLES
from studio_run import STACKED, wait_until

from slype.book import baskets, shelf
from slype.book.store import Book, today


@pytest.fixture(scope="module")
def run(tmp_path_factory, tabs):
    folder = tmp_path_factory.mktemp("book")
    shutil.copy(EXAMPLES / "posy.toml", folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SLYPE_BOOK", str(folder / "kept" / "book.sqlite"))
        with studio_for_many(tabs, folder, folder / "state", python=STACKED) as started:
            yield started


@pytest.fixture
def kept(run):
    def opened():
        return Book(str(run.folder / "kept" / "book.sqlite"))

    return opened


@pytest.fixture
def room(run, tabs, chromium):
    """The page of the book beside a basket or class in a tab: room(width) -> page. Browsers count every refusal as an
    error of their own: a page that is to be `refused` something is a plain one."""
    plain = []

    def opened(width=1440, height=900, refused=False, beside="posy.toml"):
        page = chromium.new_page() if refused else tabs.take(run, width, height)
        if refused:
            plain.append(page)
        key = run.post("/api/open", {"path": str(run.folder / beside)}).json["id"]
        page.goto(f"http://127.0.0.1:{run.port}/book#key={run.key}&basket={key}")
        until(page, "document.documentElement.dataset.ready === 'yes' && !!document.querySelector('#leaf')")
        return page

    yield opened
    said = tabs.come_back()
    for page in plain:
        page.close()
    quiet(said)


def sees(page, text):
    until(page, f"document.body.innerText.includes({text!r})")


def test_reed_comes_is_cut_and_the_cut_taken_back(room, kept):
    page = room()
    sees(page, "Nothing lies on the shelf yet.")
    came = page.locator("form", has_text="Reed that came")
    came.get_by_label("reed", exact=True).select_option("round 3")
    came.get_by_label("how much").fill("300 ft")
    came.get_by_label("how much").press("Enter")
    sees(page, "300 ft")
    cut = page.locator("form", has_text="Cut, put back, count")
    cut.get_by_label("how much").fill("20 ft")
    cut.get_by_label("what for").fill("two pots")
    cut.get_by_role("button").click()
    sees(page, "280 ft")
    page.get_by_role("button", name="Take back").first.click()
    sees(page, "taken back")
    with kept() as book:
        # The page says so a moment before the book is closed.
        assert wait_until(lambda: [round(lot.amount / 304.8) for lot in shelf.lots(book)] == [300], 20.0)


def test_what_is_refused_stands_at_its_form_with_all_that_was_typed(room):
    page = room(refused=True)
    came = page.locator("form", has_text="Reed that came")
    came.get_by_label("how much").fill("some")
    came.get_by_role("button").click()
    until(page, "document.querySelector('.fault:not([hidden])')?.innerText.includes('is no amount of reed')")
    assert came.get_by_label("how much").input_value() == "some"


def test_a_basket_entered_as_made_teaches_and_its_measure_goes_into_the_basket(room, run, kept):
    page = room()
    page.get_by_role("tab", name="Baskets").click()
    page.get_by_label("height of band 6").fill("1 1/2 in")
    page.get_by_label("note").last.fill("blue ribbon")
    page.get_by_role("button", name="Enter this basket").click()
    sees(page, "blue ribbon")
    with kept() as book:
        (made,) = baskets.baskets(book)
        (measure,) = baskets.measures(book)
    assert made.figures == 1 and measure.measured == pytest.approx(38.1)
    page.get_by_role("tab", name="Your measure").click()
    sees(page, "What it changes in")
    page.get_by_role("button", name="Put your measure into this basket").click()
    sees(page, "carries this measure already")
    assert wait_until(lambda: "gauge" in tomllib.loads((run.folder / "posy.toml").read_text("utf-8")))
    page.get_by_role("tab", name="Baskets").click()
    page.get_by_role("button", name="Leave out").click()
    sees(page, "teaches nothing")
    page.get_by_role("tab", name="Your measure").click()
    sees(page, "Nothing was measured yet")
    page.get_by_role("tab", name="What can I make?").click()
    page.get_by_role("button", name="Look through my designs").click()
    sees(page, "not yet")


def test_money_is_entered_and_the_year_adds_up(room):
    page = room()
    page.get_by_role("tab", name="Year").click()
    page.get_by_label("it", exact=True).select_option("out")
    page.get_by_label("what", exact=True).fill("stall")
    page.get_by_label("how much").fill("12,50")
    page.get_by_role("button", name="Enter").click()
    sees(page, "-$12.50")


def test_what_was_typed_stays_while_the_page_is_turned_reloaded_and_left(room):
    page = room()
    page.get_by_role("tab", name="Baskets").click()
    page.get_by_label("whole height").fill("4 3/4")
    page.get_by_role("tab", name="Shelf").click()
    page.get_by_label("from whom").fill("Old Quay Reed")
    page.get_by_role("tab", name="Baskets").click()
    assert page.get_by_label("whole height").input_value() == "4 3/4"
    page.reload()
    until(page, "document.documentElement.dataset.ready === 'yes' && !!document.querySelector('#leaf')")
    assert page.get_by_label("from whom").input_value() == "Old Quay Reed"
    page.get_by_role("tab", name="Baskets").click()
    assert page.get_by_label("whole height").input_value() == "4 3/4"


def test_a_students_basket_takes_its_reed_off_the_shelf_is_opened_and_taken_back(room, kept):
    with kept() as book:
        for reed, colour in (("round 4", "natural"), ("round 2", "natural"), ("round 2", "plum")):
            shelf.put_on_shelf(book, reed, colour, 90_000.0)
        before = {lot.id: lot.amount for lot in shelf.lots(book)}
    page = room()
    page.get_by_role("tab", name="Baskets").click()
    page.get_by_label("made by").fill("Io")
    page.get_by_label("whole height").fill("4 3/4")
    page.get_by_label("round 2, plum", exact=True).fill("30")
    page.get_by_label("hours in all").fill("3")
    page.get_by_label("sold for").fill("$40")
    page.get_by_role("button", name="Enter this basket").click()
    sees(page, "In the book: whole height 4 3/4 in; 3 h in all; $40. Off the shelf: ")
    sees(page, "30 ft of round 2, plum")
    assert page.get_by_label("whole height").input_value() == "", "what was entered is not typed a second time"
    box = page.locator("#news").bounding_box()
    tabs = page.locator(".panes").bounding_box()
    assert box["y"] > tabs["y"] + tabs["height"], "what is said covers the tabs"
    with kept() as book:
        plum = next(lot for lot in shelf.lots(book) if lot.colour == "plum" and lot.id in before)
        assert before[plum.id] - plum.amount == pytest.approx(30 * 304.8)
        assert dict(baskets.makers(book))["Io"] == 1
    page.get_by_role("row", name="Io").get_by_role("button", name="Open: ").click()
    sees(page, "slype reckoned")
    page.get_by_role("tab", name="Your measure").click()
    page.get_by_role("button", name="Io", exact=True).click()
    sees(page, "Io's measure, of 1 basket.")
    page.get_by_role("tab", name="Baskets").click()
    page.get_by_role("row", name="Io").get_by_role("button", name="Take back: ").click()
    sees(page, "lies on the shelf again")
    with kept() as book:
        assert {lot.id: lot.amount for lot in shelf.lots(book) if lot.id in before} == pytest.approx(before)
    page.get_by_role("button", name="again as it was").click()
    sees(page, "In the book again.")
    with kept() as book:
        assert next(lot.amount for lot in shelf.lots(book) if lot.id == plum.id) == pytest.approx(plum.amount)


def test_a_class_is_kept_with_its_kits_and_times_and_the_year_is_taken_away(room, run, kept):
    (run.folder / "saturday.toml").write_text(
        '[class]\ntitle = "Saturday pots"\nday = 2026-05-16\ndesign = "posy.toml"\nseats = 2\n', "utf-8"
    )
    with kept() as book:
        for reed, colour in (("round 4", "natural"), ("round 2", "natural"), ("round 2", "plum")):
            shelf.put_on_shelf(book, reed, colour, 90_000.0)
    page = room(beside="saturday.toml")
    page.get_by_role("tab", name="Classes").click()
    page.get_by_role("button", name="Cut its kits from the shelf").click()
    sees(page, "Of which goes back")
    page.get_by_label("brought in").fill("150")
    page.get_by_role("button", name="Enter this class").click()
    sees(page, "In the book: Saturday pots, 2026-05-16, $150.")
    page.get_by_role("textbox", name="times").fill("seat\tpart\ttime\n1\tbase\t0:40\n2\tbase\t1:00\n")
    page.get_by_role("button", name="Enter the times").click()
    sees(page, "seat 2, Saturday pots")
    page.get_by_role("tab", name="Year").click()
    with page.expect_download() as taken:
        page.get_by_role("button", name="Workbook for the accountant").click()
    assert taken.value.suggested_filename == f"year {today()[:4]}.xlsx"
    with page.expect_download() as taken:
        page.get_by_role("button", name="The whole book as plain files").click()
    assert "class_held.csv" in zipfile.ZipFile(taken.value.path()).namelist()


def test_the_book_is_read_on_a_phone_and_turned_by_keys(room):
    page = room(390, 844)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.get_by_role("tab", name="Shelf").focus()
    for name in ("Baskets", "Your measure", "What can I make?", "Swatch", "Photograph", "Classes", "Year"):
        page.keyboard.press("ArrowRight")
        assert page.evaluate("document.activeElement.innerText") == name
        assert page.evaluate("document.querySelector('#leaves').scrollWidth") <= 390, name
    page.get_by_role("tab", name="Swatch").click()
    sees(page, "Then within")


def test_a_length_and_rows_are_measured_in_a_photograph_by_click_and_by_key(room, tmp_path):
    """Painted by the test: a ruler's marks 400 pixels apart stand for 8 in, twenty rows between 100 and 500."""
    y = np.arange(600)[:, None]
    grey = 120 + 70 * np.cos(2 * np.pi * ((y - 100) / 400 * 20 - 0.5)) + np.zeros((600, 800))
    Image.fromarray(grey.astype(np.uint8)).save(tmp_path / "pot.png")
    page = room()
    page.get_by_role("tab", name="Photograph").click()
    page.set_input_files("#photo-file", str(tmp_path / "pot.png"))
    page.wait_for_selector("#photo")
    box = page.locator("#photo").bounding_box()

    def click(x, y):
        page.mouse.click(box["x"] + x / 799 * box["width"], box["y"] + y / 599 * box["height"])

    page.locator("#photo").scroll_into_view_if_needed()
    box = page.locator("#photo").bounding_box()
    click(200, 50)
    click(600, 50)
    page.fill("#photo-length", "8 in")
    click(400, 100)
    click(400, 500)
    page.click("text=How long is it?")
    sees(page, "give or take")
    said = page.inner_text("#photo-said")
    assert said.startswith(("8 in", "7 15/16 in", "8 1/16 in")), said
    page.click("text=How many rows?")
    sees(page, "rows from point to point")
    assert abs(float(page.inner_text("#photo-said").split()[1]) - 20) < 0.5
    page.locator("#photo").focus()  # and by keys: from where the cross is, 25 steps of 1/250 of the width to the right
    page.keyboard.press("Enter")
    for _ in range(25):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.click("text=How long is it?")
    until(page, "document.querySelector('#photo-said').innerText.startsWith('1 ')")


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"act": "money", "fields": {"what": "stall", "amount": "much"}}, "no amount of money"),
        ({"act": "burn"}, "no such button"),
        ({"act": "add", "fields": {"reed": "round 3"}}, "is missing"),
        ({"act": "add", "fields": {"amount": "1 lb", "reed": "straw"}}, "straw"),
        ({"act": "add", "fields": []}, "cannot be read"),
        ({"act": "undo", "fields": {"of": "0" * 32}}, "no such entry"),
        ({"act": "add", "fields": {"amount": "9" * 5000}}, "longer than the book takes"),
    ],
)
def test_what_the_book_cannot_take_is_said_and_enters_nothing(run, asked, sentence):
    answer = run.post("/api/book", asked)
    assert answer.status in (409, 422)
    assert sentence in answer.sentence
