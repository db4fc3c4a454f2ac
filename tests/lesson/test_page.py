"""The lesson as a student opens it: from a file, in a real browser, with the network off."""

from __future__ import annotations


def words(page) -> str:
    return page.inner_text("#watch .words")


def test_the_file_is_small_and_names_no_other_place(demo_file):
    raw = demo_file.read_bytes()
    assert len(raw) < 3_000_000
    assert raw.count(b"http://") == raw.count(b"http://www.w3.org/"), "names of standards only"


def test_it_plays_from_a_file_with_the_network_off(hand_held, demo, demo_file):
    page = hand_held(demo_file)
    told = demo.words["texts"], demo.words["told"]["right"]
    for moment in (1, 2, 3):
        page.click("[data-by='1']")
        assert words(page) == told[0][told[1][moment - 1]]
    page.click("[data-by='-1']")
    assert words(page) == told[0][told[1][1]]
    assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") is not None, "drawn in the round"


def test_the_counter_goes_on_with_keys_and_pedals_and_survives_a_reload(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.click("[data-tab=count]")
    assert page.inner_text("#done strong") == "1 of 16"
    for key in ("Space", "Enter", "PageDown", "ArrowRight"):
        page.keyboard.press(key)
    assert page.inner_text("#done strong") == "5 of 16"
    page.keyboard.press("PageUp")
    assert page.inner_text("#done strong") == "4 of 16"
    page.reload()
    page.wait_for_selector("[data-tab=count]")
    assert page.inner_text("#done strong") == "4 of 16"
