"""The room of classes in a real browser: a teacher names students, pastes a list, changes colours, and it is all in the
class file; what the class needs follows."""

import io
import shutil
import zipfile

import pytest
from browser import UNSEEN
from class_shown import READY, in_file, until
from pages import pages_of
from places import EXAMPLES
from studio_run import STACKED, Run, free_port, wait_until

from slype.studio.shown import classes


@pytest.fixture(scope="module")
def run(of_classes):
    return of_classes


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


def test_the_way_to_the_bench_leads_to_a_basket_and_not_back_to_the_class(run, room):
    run.post("/api/open", {"path": str(run.folder / "posy.toml")})
    page = room()
    page.click("#head >> text=Bench")
    until(page, "location.pathname === '/' && document.querySelector('#pane-paper') !== null")


# Fields ---------------------------------------------------------------------------------------------------------


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
    first = Run(tmp_path / "w", tmp_path / "state", free_port(), python=STACKED)
    page = chromium.new_page(viewport={"width": 1000, "height": 700})  # its console tells of the program's absence
    page.add_init_script(UNSEEN)
    page.goto(first.address)
    until(page, "document.documentElement.dataset.ready === 'yes'")
    first.stop()
    again = Run(tmp_path / "w", tmp_path / "state", first.port, python=STACKED)
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


def test_the_room_shows_and_prints_the_settled_baskets_and_says_so(tmp_path, tab):
    shutil.copy(EXAMPLES / "posy.toml", tmp_path)
    (tmp_path / "two.toml").write_text('[class]\ndesign = "posy.toml"\nseats = 1\n', "utf-8")
    run = Run(tmp_path, tmp_path / "state")
    try:
        key = run.open(path=str(tmp_path / "two.toml"))["id"]
        page = tab(1440, 900)
        page.goto(f"http://127.0.0.1:{run.port}/class#key={run.key}&basket={key}")
        until(page, READY)
        assert "Lengths are" in page.inner_text("#pane")
        until(page, "document.querySelector('#pane').innerText.includes('Lengths are of the settled baskets')", 120.0)
        printed = run.get(f"/api/baskets/{key}/paper/folder").body
        page.close()  # it would ask for a studio that has gone
    finally:
        run.stop()
    text = pages_of(printed)[0].text.replace("\n", " ")
    assert "of the settled baskets" in text, "what is shown is what is printed"
