"""The studio's page in a real browser: what a maker does there reaches picture, plan and file, and nothing is lost.

One Chromium, one studio; every tab's console must stay quiet.
Rules for all to reach it: WCAG 2.2 at level AA, as axe-core holds them (those it calls serious and critical).
"""

from __future__ import annotations

import os
import re
import shutil
from fractions import Fraction
from pathlib import Path

from browser import FLAGS, NAMES, OF_COLOUR, READY
from page_hands import example, part, pot, until
from places import ROOT
from samples import pot_text
from studio_run import STACKED, Run, free_port, wait_until

SHOTS = ROOT / "test-shots" if "SHOTS" in os.environ else None
"""Where every view is kept as a picture, for eyes: `SHOTS=1 python3 run.py test -k every_view`."""


def shown(page) -> dict:
    """Counts what the canvas says it shows, from now on."""
    page.evaluate(
        "window.seen = []; document.querySelector('canvas')"
        ".addEventListener('shown', ({detail}) => window.seen.push(detail))"
    )


def wait_shown(page, count: int = 1):
    until(page, f"window.seen.filter(each => each.form === 'stacked' || each.form === 'relaxed').length >= {count}")


def type_in(page, label: str, value: str):
    field = page.get_by_label(label, exact=True).first
    field.fill(value)
    field.press("Enter")


# What a maker does ---------------------------------------------------------------------------------------------


def test_a_new_maker_makes_a_basket_and_takes_its_sheet_away(run, visit, tmp_path):
    page = visit()
    page.keyboard.press("Control+o")
    page.get_by_role("button", name="Begin a new basket").click()
    page.wait_for_selector("dialog", state="detached")
    until(page, "!document.getElementById('stack').inert")  # until it comes nothing on show can be changed
    shown(page)
    type_in(page, "title of the basket", "Hen basket")
    until(page, "document.title.startsWith('Hen basket')")
    part(page, "Shape")
    type_in(page, "standing ends", "30")
    page.get_by_label("more: standing ends").click()
    part(page, "Bands")
    page.get_by_role("button", name="Add a band on top").click()
    page.wait_for_selector("li.band.open")
    page.locator("li.band.open select").first.select_option("four-rod wale")
    until(page, "document.querySelector('li.band.open .bandname').textContent.includes('four-rod wale')")
    page.locator("li.band.open .swatches button").nth(1).click()
    page.locator("dialog button.swatch, dialog [data-colour], dialog button").nth(2).click()
    page.wait_for_selector("dialog", state="detached")
    wait_shown(page)
    page.get_by_role("button", name="Save …").click()
    page.get_by_label(re.compile("Name of the file")).fill("hen")
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text("Saved in hen.toml").wait_for()
    text = (run.folder / "hen.toml").read_text(encoding="utf-8")
    assert 'title = "Hen basket"' in text and "ends = 31" in text and "four-rod wale" in text
    part(page, "Print and save")
    with page.expect_download(timeout=120_000) as taken:
        page.get_by_role("button", name="Make the PDF").click()
    assert taken.value.suggested_filename == "hen student right a4.pdf"
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF-")


def mouth(page) -> float:
    """What the page says of the mouth, in inches. (Stacked and at rest may differ by a sixteenth or two.)"""
    said = page.locator(".sizes dt", has_text="across the mouth").locator("+ dd").inner_text()
    return float(sum(Fraction(part) for part in said.removesuffix(" in").split()))


def test_each_edit_reaches_picture_figures_and_file(run, visit):
    basket = pot(run)
    run.post(f"/api/baskets/{basket}/save", {"path": "edits"})
    page = visit(basket)
    shown(page)
    before = mouth(page)
    part(page, "Shape")
    type_in(page, "width across at point 2", "12 in")
    wait_shown(page)
    assert wait_until(lambda: mouth(page) > before + 1 / 2, 40)
    file = run.folder / "edits.toml"
    assert wait_until(lambda: '"12 in"' in file.read_text(encoding="utf-8"))
    page.get_by_role("button", name="Undo").click()
    assert wait_until(lambda: abs(mouth(page) - before) <= 1 / 8, 40)
    assert wait_until(lambda: '"12 in"' not in file.read_text(encoding="utf-8"))
    page.get_by_role("button", name="Redo").click()
    assert wait_until(lambda: '"12 in"' in file.read_text(encoding="utf-8"))


def test_what_cannot_be_read_is_told_at_its_field_and_changes_nothing(stacked, visit):
    basket = pot(stacked)
    page = visit(basket, at=stacked, refused=True)
    part(page, "Shape")
    type_in(page, "base, across", "seven miles")
    told = page.locator(".field", has=page.locator("#f-form-base")).get_by_role("alert")
    told.wait_for()
    assert "seven miles" in told.inner_text()
    assert page.locator("#f-form-base").input_value() == "seven miles"  # to be mended
    assert stacked.text(basket).count('"6 in"') == 2
    type_in(page, "base, across", "7 in")
    told.wait_for(state="detached")
    assert '"7 in"' in stacked.text(basket)


def test_two_windows_show_the_same_basket(stacked, visit):
    basket = pot(stacked)
    one, two = visit(basket, at=stacked), visit(basket, at=stacked)
    type_in(one, "title of the basket", "Said here")
    until(two, "document.getElementById('f-basket-title').value === 'Said here'")
    two.get_by_role("button", name="Undo").click()
    until(one, "document.getElementById('f-basket-title').value === 'Pot'")


def test_a_file_changed_elsewhere_is_told_and_the_maker_chooses(stacked, visit):
    basket = pot(stacked)
    stacked.post(f"/api/baskets/{basket}/save", {"path": "ours"})
    file = stacked.folder / "ours.toml"
    page = visit(basket, at=stacked)
    file.write_text(file.read_text(encoding="utf-8").replace('"Pot"', '"Theirs"'), encoding="utf-8")
    until(page, "document.getElementById('f-basket-title').value === 'Theirs'")
    file.write_text("[spokes", encoding="utf-8")
    page.get_by_role("button", name="Keep mine").click()
    assert wait_until(lambda: "Theirs" in file.read_text(encoding="utf-8"))


def test_a_program_stopped_and_started_anew_in_the_middle_loses_nothing(tmp_path, visit):
    (tmp_path / "designs").mkdir()
    (tmp_path / "state").mkdir()
    first = Run(tmp_path / "designs", tmp_path / "state", free_port(), python=STACKED)
    basket = pot(first)
    page = visit(basket, 1000, 800, at=first, refused=True)
    type_in(page, "title of the basket", "Before")
    until(page, "document.title.startsWith('Before')")
    first.kill()
    page.get_by_text("The program has stopped").wait_for()
    type_in(page, "title of the basket", "While away")
    again = Run(tmp_path / "designs", tmp_path / "state", first.port, python=STACKED)
    try:
        page.get_by_text("The program was started anew").wait_for()
        page.evaluate("key => localStorage.setItem('slype-key', key)", again.key)  # as opening its address does
        until(page, "document.title.startsWith('While away')")
        assert 'title = "While away"' in again.text(basket)
        assert again.undo(basket)["title"] == "Before"
    finally:
        again.stop()


# Every way to reach it -----------------------------------------------------------------------------------------


def test_everything_can_be_done_with_the_keyboard(stacked, visit):
    basket = pot(stacked)
    page = visit(basket, at=stacked, fresh=True)  # keys begin at its head
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "stack"
    page.keyboard.press("]")
    page.wait_for_selector("li.band.open")
    for key, name in zip("2345", ["Inside", "Above", "Under", "Unrolled"], strict=True):
        page.keyboard.press(key)
        page.locator(f'button[aria-pressed="true"]:text-is("{name}")').wait_for()
    page.keyboard.press("1")
    page.keyboard.press("h")
    page.locator('button[aria-pressed="true"]:text-is("Hatching")').wait_for()
    page.keyboard.press("?")
    page.get_by_role("dialog").wait_for()
    page.keyboard.press("Escape")
    page.wait_for_selector("dialog", state="detached")
    wanted, reached = {"bench", "CANVAS", "view", "open-band", "add-band", "pane"}, set()
    for _ in range(120):
        if wanted <= reached:
            break
        page.keyboard.press("Tab")
        reached.add(page.evaluate("(e => e.dataset.do ?? e.id ?? e.tagName)(document.activeElement)") or
                    page.evaluate("document.activeElement.tagName"))  # fmt: skip
    assert wanted <= reached, reached
    page.locator("#f-basket-title").focus()
    page.keyboard.press("End")
    page.keyboard.type(" two")
    page.keyboard.press("Tab")
    until(page, "document.title.startsWith('Pot two')")
    page.locator("#stack").focus()
    page.keyboard.press("Control+z")
    until(page, "document.title.startsWith('Pot –')")


def in_both_lights(page):
    """Goes on with the page in dark, then in light again."""
    for light in ("dark", "light"):
        page.evaluate("document.querySelector('[data-do=theme]').click()")
        assert page.evaluate("document.documentElement.dataset.theme") == light
        yield light


def axe_faults(page) -> list[str]:
    """In dark only what has to do with colour is looked at."""
    from axe_playwright_python.sync_playwright import Axe

    out = []
    for light in in_both_lights(page):
        found = Axe().run(page, **(OF_COLOUR if light == "dark" else {})).response["violations"]
        grave = [each for each in found if each["impact"] in ("serious", "critical")]
        told = ((f"{each['id']}: {each['help']}", node["html"][:160]) for each in grave for node in each["nodes"])
        out += [f"{light}, {what}: {where}" for what, where in told]
    return out


def test_no_serious_hindrance_on_any_part_of_the_page(stacked, visit):
    basket = example(stacked)
    # The bench goes on drawing, also what cannot be drawn.
    page = visit(basket, at=stacked, fresh=True, color_scheme="dark")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark", "as whoever looks has it elsewhere"
    page.evaluate("document.querySelector('[data-do=theme]').click()")
    faults = []
    page.keyboard.press("]")
    page.wait_for_selector("li.band.open")
    faults += axe_faults(page)
    part(page, "Shape")
    part(page, "Watch out")
    faults += axe_faults(page)
    part(page, "Print and save")
    page.get_by_role("button", name="Bench").click()
    page.get_by_role("dialog").wait_for()
    faults += axe_faults(page)
    assert not faults, "\n".join(dict.fromkeys(faults))


def overflow(page) -> float:
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def test_on_a_phone_nothing_sticks_out_and_all_parts_can_be_reached(stacked, visit):
    page = visit(example(stacked), 390, 844, at=stacked, has_touch=True, is_mobile=True)
    for name in ("Shape", "Bands", "Needs", "Watch out", "Print, save"):
        page.locator("#tabs button", has_text=name).click()
        assert overflow(page) <= 0, name
        small = page.evaluate(
            "[...document.querySelectorAll('button, select, summary')].filter(e => e.checkVisibility())"
            ".map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect()])"
            ".filter(([, box]) => box.width && (box.height < 24 || box.width < 24)).map(([name]) => name)"
        )
        assert small == [], f"smaller than a fingertip (WCAG 2.5.8) in {name}: {small}"
    page.locator("#told").wait_for()


def kept(page, name: str, **more) -> None:
    """Keep a picture, where pictures are asked for."""
    if SHOTS is not None:
        SHOTS.mkdir(exist_ok=True)
        page.screenshot(path=SHOTS / name, **more)


def test_every_view_fits_every_window(run, visit):
    basket = example(run)
    page = visit(basket, 1440, 900, drawn=SHOTS is not None)
    until(page, "document.querySelector('.which').textContent === 'Settled'", timeout=60_000)
    four_frames = "new Promise(done => { let n = 4; const on = () => n-- ? requestAnimationFrame(on) : done(); on(); })"

    def fits(name: str, width: int, **more) -> None:
        for light in in_both_lights(page):
            page.evaluate(four_frames)  # the view is fitted once the picture has its size
            until(page, "['full', 'lit'].every(each => document.querySelector('canvas').dataset[each] === 'yes')")
            kept(page, f"{name}-{width}-{light}.png", **more)
            assert overflow(page) <= 0, f"{name} at {width}, {light}"

    for width, height in ((390, 844), (820, 1180), (1440, 900)):
        page.set_viewport_size({"width": width, "height": height})
        for view, key in zip(("outside", "inside", "above", "under", "unrolled"), "12345", strict=True):
            page.keyboard.press(key)
            page.locator(f'[data-view="{view}"][aria-pressed="true"]').wait_for()
            if view == "unrolled":
                until(page, "document.querySelector('.flat img').naturalWidth > 0")
            fits(view, width)
        page.keyboard.press("1")
        for tab_name in ("Shape", "Bands", "Needs"):
            button = page.locator("#tabs button", has_text=tab_name)
            if button.is_visible():
                button.click()
            elif tab_name in ("Shape", "Bands"):
                part(page, tab_name)
            fits(tab_name.lower(), width, full_page=width == 390)


def test_without_webgl_the_basket_is_drawn_in_lines_and_the_page_says_so(run, chromium):
    path = next(filter(None, map(shutil.which, NAMES)))
    plain = [flag for flag in FLAGS if "swiftshader" not in flag and "gpu" not in flag]
    browser = chromium.browser_type.launch(executable_path=path, args=[*plain, "--disable-gpu", "--disable-3d-apis"])
    try:
        page = browser.new_page(viewport={"width": 1000, "height": 800})
        page.set_default_timeout(60_000)
        page.goto(f"{run.address}&basket={pot(run)}")
        page.wait_for_selector(READY)
        until(page, "document.querySelector('.flat img').naturalWidth > 0")
        assert "no WebGL" in page.locator("#basket").inner_text()
        assert not page.locator("canvas").is_visible()
        first = page.locator(".flat img").get_attribute("src")
        type_in(page, "title of the basket", "Lines")
        until(page, "was => document.querySelector('.flat img').src !== was", arg=first)
    finally:
        browser.close()


def test_markup_in_a_hostile_file_stays_text(stacked, visit):
    title = "<img src=x onerror=alert(1)><script>alert(2)</script>"
    text = pot_text(title).replace("[border]", '[colours]\n"<b>x" = "#123456"\n[border]')
    page = visit(stacked.open(text=text, name="<i>n")["id"], at=stacked, fresh=True)
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    assert page.locator("#f-basket-title").input_value() == title
    page.keyboard.press("Control+o")
    page.get_by_role("dialog").wait_for()
    assert page.locator("img[src=x], b > script").count() == 0 and not asked


def test_every_quick_press_of_more_counts(stacked, visit):
    basket = pot(stacked)
    page = visit(basket, at=stacked)
    part(page, "Shape")
    for _ in range(6):
        page.get_by_label("more: standing ends").click(no_wait_after=True)
    assert wait_until(lambda: "ends = 30" in stacked.text(basket)), stacked.text(basket)
    until(page, "document.getElementById('f-spokes-ends').value === '30'")


def test_ends_are_added_and_a_foot_and_bye_spokes_put_on(stacked, visit):
    basket = example(stacked)
    page = visit(basket, at=stacked)
    shown(page)
    page.locator("li.band").first.locator("button").first.click()
    page.wait_for_selector("li.band.open")
    field = page.locator("li.band.open").get_by_label("ends added before it", exact=True)
    field.fill("8")
    field.press("Enter")
    assert wait_until(lambda: "add = 8" in stacked.text(basket)), stacked.text(basket)
    wait_shown(page)
    part(page, "Shape")
    page.get_by_role("button", name="Add a foot").click()
    assert wait_until(lambda: "[foot]" in stacked.text(basket)), stacked.text(basket)
    type_in(page, "foot pushed in", "1 1/2")
    assert wait_until(lambda: 'insertion = "1 1/2 in"' in stacked.text(basket)), stacked.text(basket)
    page.get_by_role("button", name="Remove").last.click()
    assert wait_until(lambda: "[foot]" not in stacked.text(basket)), stacked.text(basket)
