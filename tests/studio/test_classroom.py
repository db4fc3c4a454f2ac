"""The room of classes in a real browser: a teacher names students, pastes a list, changes colours, and it is all in the
class file; what the class needs follows."""

import contextlib
import io
import shutil
import tomllib
import zipfile

import pytest
from browser import UNDRAWN
from pages import pages_of
from places import EXAMPLES
from studio_run import Run, wait_until

from slype.studio.shown import classes

READY = "document.documentElement.dataset.ready === 'yes' && document.querySelectorAll('.students tbody tr').length > 0"


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    folder = tmp_path_factory.mktemp("class")
    shutil.copy(EXAMPLES / "posy.toml", folder)
    started = Run(folder, folder / "state")
    yield started
    started.stop()


@pytest.fixture
def saturday(run):
    path = run.folder / "saturday.toml"
    path.write_text('[class]\ntitle = "Saturday pots" # early\ndesign = "posy.toml"\nseats = 3\nleft = 1\n', "utf-8")
    yield path
    for basket in run.get("/api/hello").json["bench"]:
        run.ask("DELETE", f"/api/baskets/{basket['id']}")


@pytest.fixture
def room(run, saturday, tab):
    """The page of a class in a tab: room(width) -> page. What it asks for under `late` is answered once the test calls
    `page.come()`."""

    def opened(width=1440, late=""):
        page = tab(width, 900)
        if late:
            kept = []
            page.route(f"**{late}*", lambda route: kept.append(route))
            page.come = lambda: [each.continue_() for each in kept]
        key = run.post("/api/open", {"path": str(saturday)}).json["id"]
        page.goto(f"http://127.0.0.1:{run.port}/class#key={run.key}&basket={key}")
        until(page, READY)
        return page

    return opened


def until(page, expression, seconds=30.0):
    """Waits for what an expression says in the page, also while it goes to another one."""

    def said():
        with contextlib.suppress(Exception):  # the page is on its way to another
            return page.evaluate(expression)
        return False

    assert wait_until(said, seconds), f"still not: {expression}"


def in_file(path):
    return tomllib.loads(path.read_text("utf-8"))


def test_a_teacher_names_students_gives_colours_and_pastes_a_list(room, saturday):
    page = room()
    assert page.locator(".students tbody tr").count() == 3
    assert "strands" in page.inner_text("#pane"), "the cutting is there at once"
    page.click("text=Name them one by one")
    until(page, "document.querySelector('#f-student-0-name') !== null")
    page.fill("#f-student-0-name", "Mona")
    page.press("#f-student-0-name", "Enter")
    until(page, "document.querySelector('#told').innerText.length > 0 && !document.querySelector('.fault')")
    page.click('.students tbody tr:nth-child(1) .swatch[aria-label*="plum"]')
    page.click('dialog .swatch:has-text("moss")')
    until(page, "document.querySelector('.students tbody tr:nth-child(1)').innerText.includes('moss')")
    assert wait_until(lambda: "moss" in saturday.read_text("utf-8"))
    tables = in_file(saturday)
    assert tables["student"][0]["name"] == "Mona" and tables["student"][0]["colours"] == {"plum": "moss"}
    assert [each["hand"] for each in tables["student"]] == ["right", "right", "left"] and "seats" not in tables["class"]
    assert "# early" in saturday.read_text("utf-8"), "what the teacher wrote stays"
    until(page, "document.querySelector('#pane').innerText.includes('Moss')")

    page.click("text=Paste from a spreadsheet")
    page.fill("#pasted", "Name\tHand\tSize\nIo\tleft\t\nPia\tright\t120 %")
    page.click("text=Take these students")
    until(page, "document.querySelectorAll('.students tbody tr').length === 2")
    assert wait_until(lambda: [each["name"] for each in in_file(saturday).get("student", [])] == ["Io", "Pia"])
    page.click("#head >> text=Undo")
    until(page, "document.querySelectorAll('.students tbody tr').length === 3")


def test_a_class_is_planned_from_a_basket_and_the_way_back_leads_to_it(run, tab):
    page = tab(1440, 900, drawn=False)
    key = run.post("/api/open", {"path": str(run.folder / "posy.toml")}).json["id"]
    page.goto(f"http://127.0.0.1:{run.port}/#key={run.key}&basket={key}")
    until(page, "document.documentElement.dataset.ready === 'yes' && document.querySelector('#pane-paper') !== null")
    page.click("#pane-paper")
    page.click("text=Plan a class of this basket")
    until(page, f"location.pathname === '/class' && {READY}")
    assert page.locator(".students tbody tr").count() == 12
    assert in_file(run.folder / "posy-class.toml")["class"]["design"] == "posy.toml"
    page.click("#head >> text=More")
    page.click("text=To the basket")
    until(page, f"location.pathname === '/' && location.hash === '#basket={key}'")


def test_a_class_whose_design_is_gone_says_so_and_is_not_lost(run, room, saturday):
    page = room()
    saturday.write_text(saturday.read_text("utf-8").replace("posy.toml", "nothing.toml"), "utf-8")
    until(page, "document.querySelector('.stopped') !== null")
    assert "nothing.toml" in page.inner_text(".stopped") and "no such file" in page.inner_text(".stopped")


def test_a_class_file_reads_nothing_outside_its_folder(run):
    outside = run.folder.parent / "outside.csv"
    outside.write_text("name\nsecret\n", "utf-8")
    text = '[class]\ndesign = "posy.toml"\nroster = "../outside.csv"\n'
    (run.folder / "spy.toml").write_text(text, "utf-8")
    state = run.post("/api/open", {"path": str(run.folder / "spy.toml")}).json
    assert "secret" not in str(state)
    assert any("does not lie beside the class file" in each["message"].lower() for each in state["kit"]["watch"])


def test_the_room_of_classes_is_in_order_for_a_screen_reader_and_on_a_phone(room):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page = room(390)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    found = axe.Axe().run(page)
    grave = [each for each in found.response["violations"] if each["impact"] in ("serious", "critical")]
    assert not grave, [(each["id"], each["nodes"][0]["html"][:200]) for each in grave]
    page.click("#tabs >> text=What it needs")
    assert page.is_visible("#pane") and not page.is_visible("#roster")


def test_prices_said_the_money_can_be_slid_to_and_fro_and_a_fee_asked(room, saturday):
    with saturday.open("a", encoding="utf-8") as file:
        file.write('\n[prices]\nteaching_hour = 30\nroom = 60\n\n[[pack]]\nreed = "round 2"\nprice = 20\n')
    page = room()
    for key in ("cutting", "shopping", "day", "money"):
        page.click(f"#pane-{key}")
        assert len(page.inner_text("#pane")) > 60, key
    page.evaluate(
        "for (const [id, to] of [['slide-seats', 8], ['slide-fee', 70]]) { const s = document.getElementById(id);"
        " s.value = to; s.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    until(page, "document.querySelector('#what-if').innerText.startsWith('8 seats at $70.00')")
    page.click("text=Ask this fee")
    assert wait_until(lambda: in_file(saturday)["prices"].get("fee") == 70)
    until(page, "document.querySelector('#pane').innerText.includes('At a fee of $70.00')")


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


def test_the_way_to_the_bench_leads_to_a_basket_and_not_back_to_the_class(run, room):
    run.post("/api/open", {"path": str(run.folder / "posy.toml")})
    page = room()
    page.click("#head >> text=Bench")
    until(page, "location.pathname === '/' && document.querySelector('#pane-paper') !== null")


# Fields ---------------------------------------------------------------------------------------------------------


def open_card(page, pane, table):
    page.click(f"#pane-{pane}")
    page.click(f"[data-at='[\"{table}\"]'] > summary")


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


def test_everything_the_command_makes_can_be_taken_away(run, room, saturday):
    saturday.write_text('[class]\ndesign = "posy.toml"\nday = 2027-03-13\nseats = 2\nleft = 1\n', "utf-8")
    page = room()
    page.click("#pane-print")
    for words, start in (("Workbook", b"PK"), ("Calendar", b"BEGIN:VCALENDAR"), ("Plain lists", b"PK")):
        with page.expect_download(timeout=120_000) as got:
            page.click(f"#pane button:has-text('{words}')")
        assert got.value.path().read_bytes().startswith(start), words
    page.click("text=Pattern sheets")
    assert page.locator("[data-paper=sheet]").count() == 2, "one for each hand"
    page.click("text=Lessons for phones")
    with page.expect_download(timeout=120_000) as got:
        page.click("[data-paper=lesson] >> nth=1")
    assert b"left" in got.value.path().read_bytes()[:4_000_000]


def test_all_of_a_class_in_one_is_what_the_command_writes(tmp_path):
    shutil.copy(EXAMPLES / "posy.toml", tmp_path)
    path = tmp_path / "two.toml"
    path.write_text('[class] # mine\ndesign = "posy.toml"\nseats = 1\n', "utf-8")
    raw = classes.paper(path.read_text("utf-8"), str(path), "everything", {})
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        assert archive.testzip() is None
        names = set(archive.namelist())
        assert "# mine" in archive.read("class.toml").decode("utf-8")
    assert {"folder.pdf", "class.xlsx", "seats.csv", "class.toml", "posy.toml", "sheet-posy-right.pdf"} <= names
    assert any(name.startswith("lesson-") and name.endswith(".html") for name in names)


def test_a_number_opens_to_what_it_is_made_of(room, saturday):
    page = room()
    page.click("#pane-shopping")
    page.click("#pane button.opens >> nth=0")
    until(page, "document.querySelector('tr.unfolded') !== null")
    assert "in all kits" in page.inner_text("tr.unfolded") and "strands in a pack" in page.inner_text("tr.unfolded")
    page.click("text=Seat 1")
    page.click(".bundles summary >> nth=0")
    assert "cut from strand" in page.inner_text(".bundles table.parts >> nth=0")


def test_a_class_is_saved_under_another_name_beside_its_design(room, saturday):
    page = room()
    page.click("#head >> text=More")
    page.click("text=Save under another name")
    page.fill("#save-name", "sunday")
    page.press("#save-name", "Enter")
    until(page, "document.querySelector('#head').innerText.includes('sunday.toml')")
    assert in_file(saturday.parent / "sunday.toml")["class"]["seats"] == 3
    (saturday.parent / "sunday.toml").unlink()


def test_a_class_on_the_bench_is_called_one_and_shows_its_basket(run, saturday):
    key = run.post("/api/open", {"path": str(saturday)}).json["id"]
    (lies,) = [each for each in run.get("/api/hello").json["bench"] if each["id"] == key]
    assert lies["kind"] == "class"
    drawn = run.get(f"/api/small?id={key}")
    assert drawn.status == 200 and drawn.body.startswith(b"\x89PNG")
    assert run.get(f"/api/small?path={saturday}").status == 200


def test_a_new_address_pasted_over_the_old_one_goes_on_at_once(tmp_path, chromium):
    (tmp_path / "w").mkdir()
    shutil.copy(EXAMPLES / "posy.toml", tmp_path / "w")
    first = Run(tmp_path / "w", tmp_path / "state")
    page = chromium.new_page(viewport={"width": 1000, "height": 700})  # its console tells of the program's absence
    page.add_init_script(UNDRAWN)
    page.goto(first.address)
    until(page, "document.documentElement.dataset.ready === 'yes'")
    first.stop()
    again = Run(tmp_path / "w", tmp_path / "state", first.port)
    try:
        until(page, "document.querySelector('#head').innerText.includes('started anew')")
        page.goto(again.address)
        until(page, "!document.querySelector('#head').innerText.includes('started anew')")
    finally:
        page.close()
        again.stop()


def test_a_british_class_reads_british_words(run, saturday, room):
    british = run.folder / "british.toml"
    american = (run.folder / "posy.toml").read_text("utf-8")
    british.write_text(american.replace("[basket]\n", '[basket]\nwording = "uk"\n', 1), "utf-8")
    saturday.write_text(saturday.read_text("utf-8").replace("posy.toml", "british.toml"), "utf-8")
    page = room()
    until(page, "document.querySelector('.students thead').innerText.includes('Colours')")
    assert "color" not in page.inner_text("body").lower()


def test_a_class_is_reckoned_again_when_its_basket_has_changed(run, saturday):
    shutil.copy(run.folder / "posy.toml", run.folder / "mine.toml")
    saturday.write_text(saturday.read_text("utf-8").replace("posy.toml", "mine.toml"), "utf-8")
    key = run.post("/api/open", {"path": str(saturday)}).json["id"]

    def bundles():
        return run.get(f"/api/baskets/{key}").json["kit"]["seats"][0]["bundles"]

    before = bundles()
    text = (run.folder / "mine.toml").read_text("utf-8")
    (run.folder / "mine.toml").write_text(text.replace("ends = 17", "ends = 19"), "utf-8")
    assert bundles() != before


def test_the_room_stays_in_its_panes_and_keeps_what_was_opened(room, saturday):
    saturday.write_text(
        '[class]\ntitle = "Pots"\nday = 2027-03-13\ndesign = "posy.toml"\n'
        + "".join(f'[[student]]\nname = "S{i}"\n' for i in range(1, 5)), "utf-8",
    )  # fmt: skip
    page = room()
    inside = "((e) => e.scrollWidth <= e.clientWidth)(document.querySelector('#roster'))"
    page.click(".students tbody tr:nth-child(2) details.more summary")
    until(page, "document.querySelector('.students tbody tr:nth-child(2) details.more').open")
    assert page.evaluate(inside), "nothing lies behind the other pane"
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight"), "only the panes are scrolled"
    box = page.locator(".students tbody tr:nth-child(2) .more .fields").bounding_box()
    assert box["x"] + box["width"] <= page.locator("#told").bounding_box()["x"] + 1
    assert page.input_value("#f-class-day") == "2027-03-13" and page.get_attribute("#f-class-day", "type") == "date"
    page.click("#pane-shopping")
    page.click("summary:has-text('Reed on the shelf')")
    page.click("text=Add reed on the shelf")
    until(page, "document.querySelector('#f-shelf-0-count') !== null")
    assert page.input_value("#f-shelf-0-count") == "0", "no strand is invented"
    page.click("#pane-money")
    page.click("#pane-shopping")
    until(page, "document.querySelector('[data-key=asked-shelf]')?.open")


def test_the_room_shows_and_prints_the_settled_baskets_and_says_so(room, run):
    page = room()
    assert "Lengths are" in page.inner_text("#pane")
    until(page, "document.querySelector('#pane').innerText.includes('Lengths are of the settled baskets')", 120.0)
    (basket,) = run.get("/api/hello").json["bench"]
    printed = run.get(f"/api/baskets/{basket['id']}/paper/folder").body
    text = pages_of(printed)[0].text.replace("\n", " ")
    assert "of the settled baskets" in text, "what is shown is what is printed"
