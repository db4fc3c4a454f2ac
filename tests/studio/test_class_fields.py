"""What is typed into the room of classes, and pasted, is kept, told where it is wrong, and leads on to the next."""

import pytest
from class_shown import READY, in_file, open_card, until
from studio_run import wait_until


@pytest.fixture(scope="module")
def run(of_classes):
    return of_classes


def test_both_hours_are_kept_however_quickly_they_are_typed(room, saturday):
    page = room()
    page.fill("#hours-0", "10:00")
    page.press("#hours-0", "Tab")
    page.fill("#hours-1", "4 pm")
    page.press("#hours-1", "Tab")
    assert wait_until(lambda: in_file(saturday)["class"].get("hours") == ["10:00", "4 pm"])


@pytest.mark.parametrize("field, typed, taken", [
    ("hours-1", "4 pm", lambda tables: tables["class"].get("hours") == ["9:30", "4 pm"]),
    ("size-name-0", "little", lambda tables: tables.get("sizes") == {"little": "85 %"}),
    ("f-class-place", "the old forge", lambda tables: tables["class"].get("place") == "the old forge"),
])  # fmt: skip
def test_half_typed_words_stand_when_the_class_is_drawn_anew_beneath_them(room, saturday, field, typed, taken):
    saturday.write_text(saturday.read_text("utf-8") + '[sizes]\nsmall = "85 %"\n', "utf-8")
    page = room()
    page.fill(f"#{field}", typed)
    # Another window, or an editor, writes the file meanwhile, and the page shows that.
    saturday.write_text(saturday.read_text("utf-8").replace("Saturday pots", "Sunday pots"), "utf-8")
    until(page, "document.querySelector('#f-class-title').value === 'Sunday pots'")
    assert page.input_value(f"#{field}") == typed
    page.press(f"#{field}", "Tab")
    assert wait_until(lambda: taken(in_file(saturday)))
    assert in_file(saturday)["class"]["title"] == "Sunday pots"


def test_a_finding_is_gone_to_even_while_the_page_still_opens(room, saturday):
    saturday.write_text(
        '[class]\ndesign = "posy.toml"\n[[student]]\nname = "Io"\n[[dye]]\ncolour = "plum"\nkind = "paket"\n', "utf-8"
    )
    page = room(late="/api/tables")
    page.click("#pane-watch")
    page.locator(".finding", has_text="Dyes, row 1").get_by_text("Go to it").click()
    assert page.query_selector("#f-dye-0-kind") is None, "its field has not come yet"
    page.come()
    until(page, "document.activeElement.id === 'f-dye-0-kind'")


def test_a_pasted_column_of_a_colour_is_worn_and_other_columns_are_left_out(room, saturday):
    page = room()
    page.click("text=Paste from a spreadsheet")
    page.fill("#pasted", "Name;plum;phone\nIo;moss;123\nPia;;")
    page.click("text=Take these students")
    pasted = [{"name": "Io", "colours": {"plum": "moss"}}, {"name": "Pia"}]
    assert wait_until(lambda: in_file(saturday).get("student") == pasted)


def test_why_a_paste_is_refused_is_said_in_its_window_and_what_was_pasted_stays(run, saturday, chromium):
    page = chromium.new_page(viewport={"width": 1440, "height": 900})  # its console tells of the refusal, as it should
    key = run.post("/api/open", {"path": str(saturday)}).json["id"]
    page.goto(f"http://127.0.0.1:{run.port}/class#key={run.key}&basket={key}")
    until(page, READY)
    page.click("text=Paste from a spreadsheet")
    page.fill("#pasted", "Name;Colours\nIo;moss")
    page.click("text=Take these students")
    until(page, "document.querySelector('dialog .fault') !== null")
    assert "row 2" in page.inner_text("dialog .fault") and "rust=moss" in page.inner_text("dialog .fault")
    assert page.input_value("#pasted").endswith("Io;moss")
    assert "student" not in in_file(saturday)
    page.close()


def test_breaks_dyes_shelf_packs_and_pace_have_fields_and_rows_come_and_go(room, saturday):
    page = room()
    page.click("text=Add a break")
    until(page, "document.querySelector('#f-class-breaks-0-0') !== null")
    page.fill("#f-class-breaks-0-1", "1:10 pm")
    page.press("#f-class-breaks-0-1", "Tab")
    assert wait_until(lambda: in_file(saturday)["class"].get("breaks") == [["12:30", "1:10 pm"]])

    open_card(page, "dyeing", "dye")
    page.click("text=Add a dye")
    until(page, "document.querySelector('#f-dye-0-kind') !== null")
    first = [{"colour": "plum", "kind": "reactive"}]  # the color that has no dye yet
    assert wait_until(lambda: in_file(saturday).get("dye") == first)
    page.select_option("#f-dye-0-shade", "dark")
    assert wait_until(lambda: in_file(saturday)["dye"][0].get("shade") == "dark")

    open_card(page, "shopping", "shelf")
    page.click("text=Add reed on the shelf")
    until(page, "document.querySelector('#f-shelf-0-length') !== null")
    page.fill("#f-shelf-0-length", "7 ft 6 in")
    page.press("#f-shelf-0-length", "Enter")
    assert wait_until(lambda: in_file(saturday).get("shelf", [{}])[0].get("length") == "7 ft 6 in")
    page.click("[aria-label='take out shelf row 1']")
    assert wait_until(lambda: not in_file(saturday).get("shelf"))
    page.click("#head >> text=Undo")
    assert wait_until(lambda: len(in_file(saturday).get("shelf", [])) == 1), "what was taken out is one step away"

    open_card(page, "day", "pace")
    page.fill("#f-pace-asks_every", "20")
    page.press("#f-pace-asks_every", "Tab")
    assert wait_until(lambda: in_file(saturday).get("pace") == {"asks_every": 20})


def test_a_size_gets_a_name_and_a_student_wears_it_by_its_name(room, saturday):
    saturday.write_text('[class]\ndesign = "posy.toml"\n[[student]]\nname = "Io"\n[[student]]\nname = "Bo"\n', "utf-8")
    page = room()
    page.click("text=Add a size")
    until(page, "document.querySelector('#f-student-0-size')?.tagName === 'SELECT'")
    page.select_option("#f-student-0-size", "small")
    assert wait_until(lambda: in_file(saturday)["student"][0].get("size") == "small")
    page.fill("#size-name-0", "tiny")
    page.press("#size-name-0", "Tab")
    assert wait_until(lambda: in_file(saturday)["student"][0].get("size") == "tiny"), "whoever wears it goes along"
    assert in_file(saturday)["sizes"] == {"tiny": "85 %"}


def test_enter_goes_on_to_the_next_name_and_a_new_student_is_in_sight(room, saturday):
    rows = "".join('[[student]]\nname = ""\n' for _ in range(14))
    saturday.write_text(f'[class]\ndesign = "posy.toml"\n{rows}', "utf-8")
    page = room()
    page.fill("#f-student-0-name", "Io")
    page.press("#f-student-0-name", "Enter")
    until(page, "document.activeElement.id === 'f-student-1-name'")
    page.keyboard.type("Pia")
    page.keyboard.press("Enter")
    until(page, "document.activeElement.id === 'f-student-2-name'")
    assert wait_until(lambda: [each["name"] for each in in_file(saturday)["student"][:2]] == ["Io", "Pia"])
    page.click("text=Add a student")
    until(page, "document.activeElement.id === 'f-student-14-name'")
    box = page.locator("#f-student-14-name").bounding_box()
    assert 0 < box["y"] < 900


def test_a_fault_is_told_in_the_rooms_words_at_its_field_and_leads_there(room, saturday):
    saturday.write_text(
        '[class]\ndesign = "posy.toml"\nday = "soon"\n[[student]]\nname = "Io"\nhand = "lefty"\n[[student]]\n'
        'name = "Io"\n[[dye]]\ncolour = "plum"\nkind = "paket"\n', "utf-8")  # fmt: skip
    page = room()
    assert "not a day" in page.inner_text("#f-class-day-fault")
    rows = page.locator(".students tbody tr")
    assert "lefty" in rows.nth(0).inner_text() and "one name" in rows.nth(1).inner_text()
    page.click("#pane-watch")
    told = page.inner_text("#pane")
    assert "[[" not in told and "Seat 1, hand" in told and "Dyes, row 1, kind" in told
    page.locator(".finding", has_text="Dyes, row 1").get_by_text("Go to it").click()
    until(page, "document.activeElement.id === 'f-dye-0-kind'")
    assert "packet" in page.inner_text("#f-dye-0-kind-fault")
