"""The lesson as a student opens it: from a file, in a real browser, with the network off."""

from __future__ import annotations

import contextlib
import io
import json
import random

import numpy as np
import pytest
from browser import wait_until
from lessons import lesson_of
from PIL import Image

from slype.lesson.whole import whole
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.tell.moments import moves_alone
from slype.weave.slips import Slip, Woven, piles, strokes_made

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")
SCREENS = [(320, 640), (640, 320), (390, 844), (844, 390), (820, 1180), (1180, 820), (1440, 900)]
TABS = ("watch", "count", "slip", "more")
PLAY = """() => { const moves = [], cards = [], told = (part) => document.querySelector(`#watch .${part}`).textContent;
  const {watch} = slypeLesson, here = () => JSON.stringify(watch.now);
  for (let before = ''; before !== here();) {
    before = here();
    document.querySelector("[data-by='1']").click();
    if (before === here()) break;  // beyond the end
    const said = (what) => [...document.querySelectorAll(`#watch .words ${what}`)].map((each) => each.textContent);
    const {card} = watch.now;
    if (card) cards.push([watch.at, slypeLesson.order.card(card).step.number, said('ol > li'), said('.looks')]);
    else moves.push([told('words > p'), told('count')]);
  }
  const ends = watch.now;
  for (let before = ''; before !== here();) {
    before = here();
    document.querySelector("[data-by='-1']").click();
  }
  return [moves, cards, ends.place, watch.at, told('words')]; }"""
AT = "place => slypeLesson.places.go(place)"


BESIDE = "slypeLesson.places.did(99)"
"""All that is done beside the basket is done: the counter counts moves."""


def count(page) -> str:
    return page.inner_text("#done strong")


@pytest.fixture(scope="session")
def files(demo, demo_file, tmp_path_factory):
    """(lesson, its file) of every example."""
    here, out = tmp_path_factory.mktemp("lessons"), {"estuary": (demo, demo_file)}
    for name in EXAMPLES[1:]:
        lesson = lesson_of(name)
        (here / f"{name}.html").write_bytes(whole(lesson))
        out[name] = lesson, here / f"{name}.html"
    return out


# The file ------------------------------------------------------------------------------------------------------


def test_the_file_is_small_and_names_no_other_place(demo_file):
    raw = demo_file.read_bytes()
    assert len(raw) < 3_000_000
    assert raw.count(b"http://") == raw.count(b"http://www.w3.org/"), "names of standards only"


def test_its_policy_forbids_every_connection_and_every_script_but_its_own(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    refused = page.evaluate("""async () => {
      const policies = [];
      document.addEventListener('securitypolicyviolation', (event) => policies.push(event.effectiveDirective));
      const script = document.createElement('script');
      script.textContent = 'globalThis.foreign = true';
      document.head.append(script);
      await fetch('https://example.org/').catch(() => {});
      await new Promise((done) => setTimeout(done));
      return [policies, globalThis.foreign === undefined];
    }""")
    assert refused == [["script-src-elem", "connect-src"], True]
    page.context.said.clear()  # the browser counts each refusal as an error of the page's


# Watching ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_it_plays_to_the_end_and_every_moment_is_told_and_counted_as_traced(hand_held, files, name):
    lesson, file = files[name]
    page = hand_held(file)
    made = lesson.by_hand[lesson.plan.design.hand]
    order = moments(made.laid)
    found, read, ends, begins, opening = page.evaluate(PLAY)
    assert [words for words, _ in found] == moves_alone(made, made.laid, order)
    assert (ends, begins) == (len(order), 0) and "the basket you will weave" in opening
    steps = lesson.words["chapters"][lesson.plan.design.hand]
    _every_line_is_read_in_its_place(read, steps)
    for i in np.flatnonzero(order.act == ACTS.index("stroke")).tolist():
        rows = int(order.row[order.part == order.part[i]].max()) + 1
        row, stroke = int(order.row[i]) + 1, int(order.stroke[i]) + 1
        assert found[i][1] == f"row {row} of {rows}, stroke {stroke} of {order.strokes[i]}"


def _every_line_is_read_in_its_place(read, steps):
    """What no move says (take, soak, turn, tie, measure) is read from cards, each line once, in the steps' own order,
    before, between and after the moves of its step; with what it should look like at the end."""
    for each in steps:
        mine = [(at, lines, looks) for at, number, lines, looks in read if number == each["number"]]
        lines = [line for _, found, _ in mine for line in found]
        assert lines == [line for line in each["does"] if line in lines]
        if not each["first"]:
            assert lines == each["does"]
        else:
            assert all(each["first"] - 1 <= at <= each["last"] for at, *_ in mine)
        assert mine[-1][2] == each["looks"]
        assert sum(len(looks) for *_, looks in mine) == len(each["looks"])
    assert [at for at, *_ in read] == sorted(at for at, *_ in read)
    said = " ".join(line for _, _, lines, _ in read for line in lines)
    for what in ("Tie a thread", "in the water", "Tie the tops", "the last, measure", "Untie the string"):
        assert what in said, what
    assert "nderside" in said and "cool water" in said


def test_the_basket_is_drawn_as_far_as_it_is_woven_with_waiting_weavers(hand_held, demo, demo_file):
    page = hand_held(demo_file, drawn=True)
    order = demo.order
    band = max(demo.by_hand["right"].laid.bands, key=lambda each: len(each.colours))
    strokes = np.flatnonzero((order.band == band.index) & (order.act == ACTS.index("stroke")))
    for moment, hang in ((int(strokes[len(strokes) // 2]), len(band.colours)), (len(order), 0)):
        page.evaluate("n => slypeLesson.watch.go(n)", moment)
        wait_until(page, f"slypeLesson.watch.scene.until === {moment}")
        assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == str(hang)
        seen = Image.open(io.BytesIO(page.locator(".stage canvas").first.screenshot())).convert("RGB")
        assert len(seen.getcolors(seen.width * seen.height)) > 500, "reeds in their colours, lit and in shadow"


HELD = """const own = Response.prototype.arrayBuffer; let unpacked = 0;
const held = new Promise((done) => (window.letGo = done));
Response.prototype.arrayBuffer = async function () { if (unpacked++) await held; return own.call(this); };"""
SEEN = """() => { const {watch, order} = slypeLesson, seen = order.seen(), {pose} = watch.scene.turntable;
  const up = Math.round((pose.up / Math.PI) * 180);
  return [watch.scene.canvas.dataset.full !== undefined, up === seen.up[watch.at - 1]]; }"""


def test_a_basket_that_is_unpacked_while_another_page_is_shown_is_there_when_it_is_looked_at(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready", init=HELD)
    page.evaluate("slypeLesson.watch.go(700)")
    page.click("[data-tab=count]")
    page.evaluate("letGo()")
    wait_until(page, "document.documentElement.dataset.drawn === 'yes'")
    page.click("[data-tab=more]")
    page.select_option("[data-set=hand]", "left")
    page.click("[data-tab=watch]")
    wait_until(page, f"({SEEN})().every(Boolean)")


def test_play_goes_on_by_itself_and_repeat_stays_with_the_stroke(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.evaluate("slypeLesson.watch.go(20)")  # amid moves: a card is shown longer
    page.click("[data-do=play]")
    wait_until(page, "slypeLesson.watch.at >= 22")
    page.click("[data-do=play]")
    here = page.evaluate("slypeLesson.watch.at")
    page.click("[data-do=repeat]")
    assert page.get_attribute("[data-do=repeat]", "aria-pressed") == "true"
    page.wait_for_timeout(300)
    assert page.evaluate("slypeLesson.watch.at") == here


def test_jumping_to_a_step_a_row_and_a_spoke(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    step = next(
        each for each in demo.words["chapters"]["right"] if each["chapter"].endswith("chasing") and each["first"]
    )
    name = f"{step['number']}. {step['title']}"
    page.click("[data-do=pick]")
    page.select_option(".jump select >> nth=0", label=name)
    assert page.inner_text("#watch .where b") == name
    page.select_option(".jump select >> nth=1", label="2")
    page.select_option(".jump select >> nth=-1", label="space 9")
    assert "row 2 of 4" in page.inner_text("#watch .count")
    page.click("[data-do=pick]")
    assert "from space 9" in page.inner_text("#watch .words")
    page.click("[data-do=pick]")
    page.click("[data-do=mine]")
    assert count(page).startswith("row 2 of 4")


def test_every_step_of_the_handout_can_be_chosen(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    for each in demo.words["chapters"]["right"]:
        if not page.is_visible(".jump"):
            page.click("[data-do=pick]")
        name = f"{each['number']}. {each['title']}"
        page.select_option(".jump select >> nth=0", label=name)
        assert page.inner_text("#watch .where b") == name
        if page.is_visible(".jump"):
            assert page.eval_on_selector(".jump select", "list => list.value") == f"step {each['number']}"
        else:
            lines = page.locator("#watch .words ol > li").all_inner_texts()
            assert lines == ([] if each["care"] else each["does"]), "cautions have cards of their own"
    assert page.get_attribute("#watch [data-do=pick]", "aria-label") == "go to a step, a row or a spoke"


FLAT = """HTMLCanvasElement.prototype.getContext = ((own) => function (kind, ...more) {
  return kind === 'webgl2' ? null : own.call(this, kind, ...more);
})(HTMLCanvasElement.prototype.getContext)"""
PIECES = """([hand, place]) => { const {watch} = slypeLesson; slypeLesson.choose({hand});
  const {around, up} = slypeLesson.order.seen(), rad = (degrees) => degrees / 180 * Math.PI;
  const found = watch.flat.pieces(place, rad(around[place - 1]), rad(up[place - 1]));
  return JSON.stringify(found.map(({ax, ay, bx, by, inHand, colour}) => [ax, ay, bx, by, inHand, colour])); }"""


def test_where_nothing_is_drawn_in_the_round_it_is_drawn_flat_and_left_hands_frames_are_mirror_images(
    hand_held, demo, demo_file
):
    page = hand_held(demo_file, 240, 420, init=FLAT)
    assert "drawn flat" in page.inner_text(".stage .note")
    page.evaluate("window.finished = slypeLesson.watch.plain.toDataURL()")
    assert page.evaluate("finished.length") > 5000, "something is drawn"
    for place in range(1, len(demo.order), 96):
        right, left = (json.loads(page.evaluate(PIECES, [hand, place])) for hand in ("right", "left"))
        assert len(right) > 10
        assert [[-ax, ay, -bx, by, *more] for ax, ay, bx, by, *more in right] == left
    page.evaluate("slypeLesson.watch.go(17)")
    wait_until(page, "slypeLesson.watch.plain.toDataURL() !== finished")


NUMBERED = """([hand, place]) => {
  const {watch} = slypeLesson; slypeLesson.choose({hand}); watch.go(place); watch.showNow();
  const wide = watch.numbers.root.clientWidth, put = watch.flat.onScreen();
  const shown = [...watch.numbers.root.querySelectorAll(':scope > b')].map((each) => {
    const {left, top, width, height} = each.getBoundingClientRect();
    return {name: each.className + ' ' + each.textContent, named: each.matches('.named'),
            box: [left, top, left + width, top + height], size: parseFloat(getComputedStyle(each).fontSize)};
  });
  const places = watch.numbers.ring.marks.map(({kind, number, at}) => [kind, number, ...put(at)]);
  return JSON.stringify({wide, shown, places}); }"""


@pytest.mark.parametrize("wide", [320, 390, 1440])
def test_the_numbers_a_sentence_names_stand_in_the_picture_and_none_covers_another(hand_held, demo, demo_file, wide):
    page = hand_held(demo_file, wide, 844, init=FLAT)
    order = demo.order
    strokes = np.flatnonzero(order.act == ACTS.index("stroke"))
    for moment in (*strokes[30::170].tolist(), len(order) - 60):
        shown = json.loads(page.evaluate(NUMBERED, ["right", moment + 1]))["shown"]
        said = {f"spoke named {spoke + 1}" for spoke in demo.words["passed"][moment]}
        assert said == {each["name"] for each in shown if each["named"] and each["name"].startswith("spoke")}
        assert len(shown) > len(said) and all(each["size"] >= 13 for each in shown)
        boxes = [each["box"] for each in shown]
        for i, (left, top, right, low) in enumerate(boxes):
            assert not any(left < b[2] and b[0] < right and top < b[3] and b[1] < low for b in boxes[:i])


def test_a_left_hands_numbers_run_the_other_way_round(hand_held, demo, demo_file):
    page = hand_held(demo_file, init=FLAT)
    for moment in range(3, len(demo.order), 211):
        right, left = (json.loads(page.evaluate(NUMBERED, [hand, moment])) for hand in ("right", "left"))
        assert [each[:2] for each in right["places"]] == [each[:2] for each in left["places"]]
        for (*_, x, y, _far), (*_, other, high, _) in zip(right["places"], left["places"], strict=True):
            assert x + other == pytest.approx(right["wide"], abs=1) and y == pytest.approx(high, abs=1)


# The bench counter ---------------------------------------------------------------------------------------------


def test_the_counter_goes_on_with_keys_and_pedals(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.click("[data-tab=count]")
    assert count(page) == "1. Cut and bundle" and "Cut away from you" in page.inner_text("#next")
    page.keyboard.press("Space")
    assert count(page) == "2. Soak" and page.inner_text(".before summary >> nth=0") == "All of step 2: Soak"
    page.keyboard.press("Space")
    assert count(page) == "spoke 1 of 16"
    page.click("[data-do=undo]")
    assert count(page) == "2. Soak", "what is beside the basket is taken back as well"
    page.keyboard.press("Space")
    for key in ("Space", "Enter", "PageDown", "ArrowRight"):
        page.keyboard.press(key)
    assert count(page) == "spoke 5 of 16"
    page.keyboard.press("PageUp")
    assert count(page) == "spoke 4 of 16"
    page.click("[data-do=undo]")
    page.keyboard.press("Space")  # a pedal's, though Undo was touched last
    assert count(page) == "spoke 4 of 16"


@pytest.mark.parametrize("name, hand", [("estuary", "right"), ("posy", "left")])
def test_after_each_of_thirty_random_steps_what_comes_next_is_told_rightly(hand_held, files, name, hand):
    """As a student would: with the lesson file alone, counting by one thing and another; held against the order of
    work itself."""
    lesson, file = files[name]
    page = hand_held(file, wait="ready")
    page.evaluate("hand => slypeLesson.choose({hand})", hand)
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    made, chance, place = lesson.by_hand[hand], random.Random(30), 0
    order = moments(made.laid)
    said = moves_alone(made, made.laid, order)
    row = list(zip(order.part.tolist(), order.block.tolist(), order.row.tolist(), strict=True))
    for _ in range(30):
        unit = chance.choice(["stroke", "stroke", "row"])
        page.evaluate("unit => slypeLesson.choose({unit})", unit)
        page.keyboard.press("PageDown")
        place += 1
        while unit == "row" and place < len(order) and row[place] == row[place - 1]:
            place += 1
        assert page.inner_text("#next") == said[place]


def test_what_is_done_beside_the_basket_is_told_before_the_next_move_and_so_are_the_bundles(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    steps = demo.words["chapters"]["right"]
    at = next(i for i, each in enumerate(steps) if each["bundles"] and each["first"] and not steps[i - 1]["first"])
    page.evaluate(AT, steps[at]["first"] - 1)
    page.evaluate("number => slypeLesson.places.did(number - 1)", steps[at - 1]["number"])
    page.click("[data-tab=count]")
    assert count(page) == f"{steps[at - 1]['number']}. {steps[at - 1]['title']}"
    told = page.locator(".before > details > summary").all_inner_texts()
    assert f"All of step {steps[at - 1]['number']}: {steps[at - 1]['title']}" in told
    page.keyboard.press("Space")
    (bundle,) = steps[at]["bundles"]
    assert f"Take bundle {bundle}." in page.inner_text("#done")
    page.click(".before > details > summary >> nth=-1")
    assert f"Take bundle {bundle}" in page.inner_text(".before")


def test_it_warns_before_a_join_a_new_colour_and_the_end_of_a_band(hand_held, demo, demo_file):
    made = demo.by_hand["right"]
    found = demo.words["warnings"]
    assert sum(kind == "join" for _, kind in found) == len(made.all_joins)
    assert sum(kind == "end" for _, kind in found) == len(made.laid.bands)
    page = hand_held(demo_file, wait="ready")
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    for kind, said in (("join", "a join in"), ("colour", "a new color, "), ("end", "the end of this band")):
        at = next(moment for moment, each in found if each == kind)
        page.evaluate(AT, at - 2)
        page.evaluate("slypeLesson.draw()")
        assert any(
            line.startswith("In 3 moves: ") and said in line for line in page.locator(".warnings p").all_inner_texts()
        )
        page.keyboard.press("PageDown")
        page.keyboard.press("PageDown")
        assert any(line.startswith("Now: ") and said in line for line in page.locator(".warnings p").all_inner_texts())


FILL = """() => { localStorage.clear(); let size = 1 << 22;
  for (let i = 0; size > 0; i++) {
    try { localStorage.setItem('x' + i, 'y'.repeat(size)); } catch { size >>= 1; }
  } }"""


def test_every_basket_keeps_its_place_through_reload_a_killed_tab_and_a_full_store(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready")
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    for _ in range(5):
        page.keyboard.press("PageDown")
    page.click("[data-do=bench-more]")
    page.select_option("[data-set=basket]", "another")
    page.evaluate(BESIDE)
    page.keyboard.press("PageDown")
    assert count(page) == "spoke 2 of 16"
    page.reload()
    wait_until(page, "document.documentElement.dataset.ready === 'yes'")
    assert count(page) == "spoke 2 of 16"
    kept = page.url
    other = page.context.new_page()
    with contextlib.suppress(Exception):  # the browser says that it has crashed
        page.goto("chrome://crash", timeout=2000)
    page.context.said.clear()
    other.goto(kept.split("#")[0])
    wait_until(other, "document.documentElement.dataset.ready === 'yes'")
    other.click("[data-tab=count]")
    assert count(other) == "spoke 2 of 16"
    assert other.evaluate("slypeLesson.places.baskets.map((each) => each.done)") == [5, 1]
    # A store that was full before, and takes nothing of the lesson's.
    other.evaluate(FILL)
    other.keyboard.press("PageDown")
    assert "keeps nothing" in other.inner_text(".trouble")
    other.reload()
    wait_until(other, "document.documentElement.dataset.ready === 'yes'")
    assert count(other) == "spoke 3 of 16"


AWAKE = """window.held = [];
Object.defineProperty(navigator, 'wakeLock', {value: {request: async (kind) => { window.held.push(kind);
  return {released: false, release() { this.released = true; window.held.push('released'); }}; }}});"""


def test_the_screen_is_kept_awake_at_the_bench_and_it_is_said_where_it_is_not(hand_held, demo_file):
    page = hand_held(demo_file, wait="ready", init=AWAKE)
    page.click("[data-tab=count]")
    wait_until(page, "window.held.length === 1")
    page.click("[data-tab=more]")
    assert page.evaluate("window.held") == ["screen", "released"]
    page = hand_held(demo_file, wait="ready", init="delete Navigator.prototype.wakeLock")
    page.click("[data-tab=count]")
    wait_until(page, "document.querySelector('.bench .hint')?.textContent.includes('cannot keep the screen awake')")


def test_a_headset_is_listened_to_once_it_is_asked_for(hand_held, demo_file):
    listen = """window.does = {};
    MediaSession.prototype.setActionHandler = (name, does) => { window.does[name] = does; };"""
    page = hand_held(demo_file, wait="ready", init=listen)
    page.evaluate(BESIDE)
    page.click("[data-tab=count]")
    page.click("[data-do=bench-more]")
    page.click("[data-do=headset]")
    wait_until(page, "slypeLesson.headset.on")
    page.evaluate("window.does.pause()")
    page.evaluate("window.does.nexttrack()")
    assert count(page) == "spoke 3 of 16"
    page.evaluate("window.does.previoustrack()")
    assert count(page) == "spoke 2 of 16"


# To begin with -------------------------------------------------------------------------------------------------


def test_what_to_cut_is_read_before_the_first_move_with_drawings_words_and_the_chart(hand_held, files):
    lesson, file = files["posy"]
    page = hand_held(file, wait="ready")
    cut = lesson.words["chapters"]["right"][0]
    page.evaluate("slypeLesson.watch.toStep(1)")
    for _ in cut["cards"][:-1]:
        assert page.inner_text("#watch .count") == "take care"
        page.evaluate("document.querySelector('#watch .words').scrollTo(0, 999)")
        page.click("[data-by='1']")
        assert page.eval_on_selector("#watch .words", "words => words.scrollTop") == 0, "read from its beginning"
    rows = page.locator("#watch ul.bundles li").all_inner_texts()
    assert len(rows) == len(lesson.words["bundles"]) == 10
    assert "Spokes 8 lengths of No. 4 round reed, 2.8 mm, natural: 19 in each" in rows[0].replace("\n", " ")
    assert all(lot in rows[6] for lot in lesson.words["bundles"][6][5])
    assert "bodkin" in page.inner_text("#watch .words")
    page.click(".new-words summary")
    assert "opens a way in the weave" in page.inner_text(".new-words dl")
    wait_until(page, "slypeLesson.told.drawings !== undefined")
    join = next(each["number"] for each in lesson.words["chapters"]["right"] if each["title"] == "Join a new length")
    for step, many in ((3, 3), (join, 1), (join + 1, 0)):  # the cross with its half spoke; a join; nothing but moves
        page.evaluate(f"slypeLesson.watch.toStep({step})")
        shown = page.locator(".drawings:not([hidden]) img")
        assert shown.count() == many
        assert not page.evaluate("[...document.querySelectorAll('.drawings img')].some((each) => !each.naturalWidth)")
    page.evaluate("slypeLesson.watch.toStep(3)")
    page.click(".drawings button >> nth=2")
    assert page.inner_text("#large p") == "Last the half spoke."
    page.keyboard.press("Escape")
    assert not page.is_visible("#large")
    page.click("[data-tab=more]")
    page.locator("button", has_text="The chart").click()
    assert page.locator("#large img").count() == 1 and "band 6" in page.inner_text("#large p")
    page.click("[data-do=shrink]")


# Slips ---------------------------------------------------------------------------------------------------------


def test_a_slip_tapped_in_is_named_with_how_far_to_unweave(hand_held, demo, demo_file):
    """A weaver of the colours that go round the side went over one spoke too many, ten strokes ago."""
    made, order = demo.by_hand["right"], demo.order
    band = max(made.laid.bands, key=lambda each: len(set(each.colours)))
    strokes = np.flatnonzero((order.band == band.index) & (order.act == ACTS.index("stroke"))) + 1
    done = 3 * band.spaces
    colours = [order.colours.index(each) for each in band.colours]
    woven = Woven(band.band.weave, band.spaces, tuple(colours), band.band.start)
    wrong = piles(woven, strokes_made(woven, done, Slip("over more", done - 10)))
    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, int(strokes[done - 1]))
    page.click("[data-tab=slip]")
    for spoke, down in page.evaluate(
        "[...document.querySelectorAll('[data-at]')].map((cell) => cell.dataset.at.split('.').map(Number))"
    ):
        right = piles(woven, strokes_made(woven, done))[spoke][down]
        if wrong[spoke][down] != right:
            page.click(f"[data-at='{spoke}.{down}']")
            if wrong[spoke][down][0] != right[0]:
                page.click(f"[data-do=slip-put][data-colour='{wrong[spoke][down][0]}']")
            else:
                page.click(f"[data-do=slip-put][data-over='{wrong[spoke][down][1]}']")
    answers = page.locator(".answers li").all_inner_texts()
    named = [i for i, each in enumerate(answers) if "went in front of one spoke too many" in each]
    assert named and "Unweave 10 strokes" in answers[named[0]], answers
    page.click(f".answers li >> nth={named[0]} >> [data-do=slip-unwoven]")
    assert page.evaluate("slypeLesson.places.basket.done") == int(strokes[done - 10]) - 1, "the counter goes back too"


def test_a_slip_of_the_border_is_named_from_where_the_tips_lie(hand_held, demo, demo_file):
    order = demo.order
    moves = np.flatnonzero(order.act == ACTS.index("border")) + 1
    done = int(moves[7])
    page = hand_held(demo_file, wait="ready")
    page.evaluate(AT, done)
    page.click("[data-tab=slip]")
    end = int(order.end[done - 3])  # two moves before the last
    past = f"[data-set=slip-tip][data-what=past][data-end='{end}']"
    right = int(page.input_value(past))
    page.select_option(past, str(right + 1))
    first = page.locator(".answers li").all_inner_texts()[0]
    assert f"Spoke {end + 1} went past one spoke too many." in first and "Take back 3 moves" in first
    page.select_option(past, str(right))
    assert "Nothing is marked" in page.inner_text(".answers")


# For everybody -------------------------------------------------------------------------------------------------


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


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(hand_held, demo_file, scheme):
    from axe_playwright_python.sync_playwright import Axe

    page = hand_held(demo_file, wait="ready", color_scheme=scheme)
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
        found = Axe().run(page).response["violations"]
        assert not found, [
            (each["id"], each["nodes"][0]["html"][:120], each["nodes"][0]["failureSummary"]) for each in found
        ]
