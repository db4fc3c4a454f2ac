"""The lesson as a student opens it: from a file, in a real browser, with the network off."""

from __future__ import annotations

import io
import json

import numpy as np
import pytest
from browser import wait_until
from lesson_page import FLAT, UNPAINTED, count
from PIL import Image

from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.tell.moments import moves_alone

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")
PLAY = """(back) => { const moves = [], cards = [];
  // Words are read here, and neither where they stand nor what is kept of the place: that takes most of the time.
  document.body.style.display = 'none';
  Storage.prototype.setItem = () => {};
  const told = (part) => document.querySelector(`#watch .${part}`).textContent;
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
  watch.go(Math.min(back, watch.at));
  for (let before = ''; before !== here();) {
    before = here();
    document.querySelector("[data-by='-1']").click();
  }
  return [moves, cards, ends.place, watch.at, told('words')]; }"""


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
    # Back from the end is the same way at each; it is walked whole at the smallest of them.
    found, read, ends, begins, opening = page.evaluate(PLAY, len(order) if name == "posy" else 40)
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
    page = hand_held(demo_file, 240, 420, drawn=True)
    order = demo.order
    band = max(demo.by_hand["right"].laid.bands, key=lambda each: len(each.colours))
    strokes = np.flatnonzero((order.band == band.index) & (order.act == ACTS.index("stroke")))
    for moment, hang in ((int(strokes[len(strokes) // 2]), len(band.colours)), (len(order), 0)):
        page.evaluate("n => slypeLesson.watch.go(n)", moment)
        wait_until(page, f"slypeLesson.watch.scene.until === {moment}")
        assert page.evaluate("document.querySelector('.stage canvas').dataset.tails") == str(hang)
        seen = Image.open(io.BytesIO(page.locator(".stage canvas").first.screenshot())).convert("RGB")
        assert len(seen.getcolors(seen.width * seen.height)) > 500, "reeds in their colours, lit and in shadow"
    wait_until(page, "document.querySelector('.stage canvas').dataset.lit === 'yes'")
    assert page.evaluate("slypeLesson.watch.scene.light.worker !== null"), "what of the sky reaches it, reckoned beside"


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


CHOSEN = """names => names.map((name) => {
  const of = (what) => document.querySelector(what), seen = (what) => of(what)?.checkVisibility();
  if (!seen('.jump')) of('#watch [data-do=pick]').click();
  const list = of('.jump select'), all = [...list.options].filter((each) => each.label === name);
  if (all.length !== 1) return [`${all.length} of ${name}`];
  list.value = all[0].value;
  list.dispatchEvent(new Event('change', { bubbles: true }));
  const lines = [...document.querySelectorAll('#watch .words ol > li')].map((each) => each.innerText);
  return [of('#watch .where b').innerText, seen('.jump') ? of('.jump select').value : lines]; })"""


def test_every_step_of_the_handout_can_be_chosen(hand_held, demo, demo_file):
    page = hand_held(demo_file, wait="ready")
    steps = demo.words["chapters"]["right"]
    names = [f"{each['number']}. {each['title']}" for each in steps]
    for each, name, (where, then) in zip(steps, names, page.evaluate(CHOSEN, names), strict=True):
        assert where == name
        if isinstance(then, str):
            assert then == f"step {each['number']}"
        else:
            assert then == ([] if each["care"] else each["does"]), "cautions have cards of their own"
    assert page.get_attribute("#watch [data-do=pick]", "aria-label") == "go to a step, a row or a spoke"


MIRRORED = """(places) => { const {watch} = slypeLesson, rad = (degrees) => degrees / 180 * Math.PI;
  const [left, right] = ['left', 'right'].map((hand) => {
    slypeLesson.choose({hand});
    const {around, up} = slypeLesson.order.seen();
    return places.map((place) => watch.flat.pieces(place, rad(around[place - 1]), rad(up[place - 1])));
  });
  return places.map((_, i) => [left[i].length, right[i].length, left[i].findIndex((one, k) => {
    const other = right[i][k];
    return one.ax !== -other?.ax || one.bx !== -other.bx ||
      ['ay', 'by', 'inHand', 'colour'].some((what) => one[what] !== other[what]);
  })]); }"""


def test_where_nothing_is_drawn_in_the_round_it_is_drawn_flat_and_left_hands_frames_are_mirror_images(
    hand_held, demo, demo_file
):
    page = hand_held(demo_file, 240, 420, init=FLAT)
    assert "drawn flat" in page.inner_text(".stage .note")
    page.evaluate("window.finished = slypeLesson.watch.plain.toDataURL()")
    assert page.evaluate("finished.length") > 5000, "something is drawn"
    places = list(range(1, len(demo.order), 96))
    for place, (left, right, unlike) in zip(places, page.evaluate(MIRRORED, places), strict=True):
        assert left == right > 10 and unlike == -1, (place, unlike)
    page.evaluate("slypeLesson.watch.go(17)")
    wait_until(page, "slypeLesson.watch.plain.toDataURL() !== finished")


NUMBERED = """([hand, place]) => {
  const {watch, chosen} = slypeLesson; if (chosen.hand !== hand) slypeLesson.choose({hand});
  watch.go(place); watch.showNow();
  const wide = watch.numbers.root.clientWidth, put = watch.flat.onScreen();
  const shown = [...watch.numbers.root.querySelectorAll(':scope > b')].map((each) => {
    const {left, top, width, height} = each.getBoundingClientRect();
    return {name: each.className + ' ' + each.textContent, named: each.matches('.named'),
            box: [left, top, left + width, top + height], size: parseFloat(getComputedStyle(each).fontSize)};
  });
  const places = watch.numbers.ring.marks.map(({kind, number, at}) => [kind, number, ...put(at)]);
  return JSON.stringify({wide, shown, places}); }"""


def test_the_numbers_a_sentence_names_stand_in_the_picture_and_none_covers_another(hand_held, demo, demo_file):
    page = hand_held(demo_file, init=UNPAINTED)
    order = demo.order
    strokes = np.flatnonzero(order.act == ACTS.index("stroke"))
    widths = []
    for wide in (320, 390, 1440):
        page.set_viewport_size({"width": wide, "height": 844})
        page.evaluate("new Promise((then) => requestAnimationFrame(() => requestAnimationFrame(then)))")
        assert page.evaluate("window.innerWidth") == wide
        widths.append(page.evaluate("slypeLesson.watch.plain.clientWidth"))
        for moment in (*strokes[30::170].tolist(), len(order) - 60):
            found = json.loads(page.evaluate(NUMBERED, ["right", moment + 1]))
            shown, here = found["shown"], (wide, moment)
            assert found["wide"] == page.evaluate("slypeLesson.watch.plain.clientWidth") <= wide, here
            said = {f"spoke named {spoke + 1}" for spoke in demo.words["passed"][moment]}
            named = {each["name"] for each in shown if each["named"] and each["name"].startswith("spoke")}
            assert said == named, here
            assert len(shown) > len(said) and all(each["size"] >= 13 for each in shown), here
            boxes = [each["box"] for each in shown]
            for i, (left, top, right, low) in enumerate(boxes):
                assert not any(left < b[2] and b[0] < right and top < b[3] and b[1] < low for b in boxes[:i]), here
    assert len(set(widths)) == 3


def test_where_the_border_is_worked_inside_the_far_walls_numbers_are_shown(hand_held, demo, demo_file):
    page = hand_held(demo_file, init=UNPAINTED)
    first, last = demo.words["across"][0]
    for moment in (first, (first + last) // 2, last):
        shown = json.loads(page.evaluate(NUMBERED, ["right", moment]))["shown"]
        said = {f"spoke named {spoke + 1}" for spoke in demo.words["passed"][moment - 1]}
        assert said == {each["name"] for each in shown if each["named"]}, "in sight, one beside the other"


def test_a_left_hands_numbers_run_the_other_way_round(hand_held, demo, demo_file):
    page = hand_held(demo_file, init=UNPAINTED)
    by_hand = [
        [json.loads(page.evaluate(NUMBERED, [hand, moment])) for moment in range(3, len(demo.order), 211)]
        for hand in ("right", "left")
    ]
    for right, left in zip(*by_hand, strict=True):
        assert [each[:2] for each in right["places"]] == [each[:2] for each in left["places"]]
        for (*_, x, y, _far), (*_, other, high, _) in zip(right["places"], left["places"], strict=True):
            assert x + other == pytest.approx(right["wide"], abs=1) and y == pytest.approx(high, abs=1)


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
    wait_until(page, "document.documentElement.dataset.drawn === 'yes'")
    page.click("[data-tab=watch]")
    page.evaluate("""const half = slypeLesson.order.cards.find((card) => card.step.number === 3 && card.after === 8);
      slypeLesson.watch.go(half.after, half.number); slypeLesson.watch.showNow(); slypeLesson.watch.scene.drawNow()""")
    assert page.inner_text(".numbers .key").split()[-1] == "space", "a stick goes on in no space: none is next"


# A lid ---------------------------------------------------------------------------------------------------------
