"""The lesson by keyboard alone, on every screen, with large targets."""

from __future__ import annotations

from browser import OF_COLOUR, wait_until
from lesson_page import AT, BESIDE, count

SCREENS = [(320, 640), (640, 320), (390, 844), (844, 390), (820, 1180), (1180, 820), (1440, 900)]


TABS = ("watch", "count", "slip", "more")


def test_by_keyboard_alone(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.evaluate(BESIDE)

    def to(selector: str) -> None:
        for _ in range(40):
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"no way to {selector}")

    to("[data-by='1']")
    page.keyboard.press("Enter")
    assert page.evaluate("slypeLesson.watch.now.card") == 1
    to("[data-tab=count]")
    page.keyboard.press("Enter")
    page.keyboard.press("Space")
    assert count(page) == "spoke 2 of 16"
    to("[data-do=undo]")
    page.keyboard.press("Enter")
    assert count(page) == "spoke 1 of 16"
    to("[data-tab=more]")
    page.keyboard.press("Enter")
    to("[data-set=hand]")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("slypeLesson.order.hand") == "left"


TARGETS = """() => { const inside = [...document.querySelectorAll('#other, .panel')];
  const over = inside.map((each) => each.scrollWidth - each.clientWidth + innerWidth);
  const all = [...document.querySelectorAll('button, select, summary, a')].filter((each) => each.offsetParent);
  const sizes = all.map((each) => [each.textContent.slice(0, 20), each.offsetWidth, each.offsetHeight]);
  return [Math.max(document.documentElement.scrollWidth, ...over), sizes.filter(([, w, h]) => w < 60 || h < 60)]; }"""


def test_nothing_sticks_out_and_every_target_is_large_on_every_screen(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, 700)
    for width, height, large in [*((*size, False) for size in SCREENS), (320, 640, True)]:
        page.evaluate("large => slypeLesson.choose({large})", large)
        page.set_viewport_size({"width": width, "height": height})
        for tab in TABS:
            page.click(f"[data-tab={tab}]")
            wide, small = page.evaluate(TARGETS)
            assert wide <= width, (width, height, tab)
            assert not small, (width, height, tab, small)


BELOW = """() => { const low = document.querySelector('#room').getBoundingClientRect().bottom + 1;
  return [...document.querySelectorAll('.panel button, .panel select')]
    .filter((each) => each.getBoundingClientRect().bottom > low).map((each) => each.textContent.slice(0, 20)); }"""


def test_no_button_of_the_player_hides_below_the_edge_whatever_stands_above(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    longest = max((each for each in demo.words["chapters"]["right"] if not each["first"]), key=lambda e: len(str(e)))
    for width, height in SCREENS:
        page.set_viewport_size({"width": width, "height": height})
        for shown in ("go(0)", "go(47)", "go(700)", f"toStep({longest['number']})"):
            page.evaluate(f"slypeLesson.watch.{shown}")
            assert page.evaluate(BELOW) == [], (width, height, shown)
            if (width, height) in ((390, 844), (844, 390), (320, 640)):
                page.click("[data-do=pick]")
                assert page.evaluate(BELOW) == [], (width, height, shown, "choosing")
                page.click("[data-do=pick]")


def test_axe_finds_nothing(hand_held, demo_file):
    """In light and in dark: there only what has to do with colour is looked at once more."""
    from axe_playwright_python.sync_playwright import Axe

    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, 700)
    for tab in TABS:
        page.click(f"[data-tab={tab}]")
        if tab == "slip":
            page.click("[data-at] >> nth=2")
            page.click(".chooser [data-over] >> nth=0")
            page.click("[data-do=slip-pictures]")
        if tab == "more":
            page.click("summary >> nth=6")
        if tab == "watch":
            page.click("[data-do=pick]")
        for scheme, looked_at in (("dark", OF_COLOUR), ("light", {})):
            page.emulate_media(color_scheme=scheme)
            wait_until(page, f"document.documentElement.dataset.theme === '{scheme}'")
            found = Axe().run(page, **looked_at).response["violations"]
            assert not found, [
                (scheme, each["id"], each["nodes"][0]["html"][:120], each["nodes"][0]["failureSummary"])
                for each in found
            ]


def test_a_browser_that_was_handed_back_has_forgotten_the_lesson(phones, hand_held, demo_file):
    """What other tests rely on: they are opened one after the other in the same browser."""
    page = hand_held(demo_file, wait="ready")
    page.evaluate("slypeLesson.choose({hand: 'left', large: true})")
    page.click("[data-tab=count]")
    page.evaluate(AT, 700)
    assert phones.come_back() == []
    again = hand_held(demo_file, wait="ready")
    assert again is page
    begun = "[slypeLesson.places.baskets, slypeLesson.places.chosen.large, slypeLesson.order.hand, slypeLesson.tab]"
    assert again.evaluate(begun) == [[{"name": "Basket 1", "done": 0, "past": [], "read": 0}], False, "right", "watch"]
