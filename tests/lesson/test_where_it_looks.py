"""Where the lesson looks, and what of the basket is there to be seen: the lid in hand, the first rows from near, the
space in which the work goes on."""

from __future__ import annotations

import json

import numpy as np
from lesson_page import UNPAINTED
from lessons import lesson_of
from samples import BOW, LIDS

from slype.lesson.whole import whole
from slype.order.kinds import ACTS

IN_HAND = """([hand, places]) => { const {watch} = slypeLesson; slypeLesson.choose({hand});
  return JSON.stringify(places.map(([place, card]) => {
    watch.go(place, card); watch.showNow();
    const {scene} = watch, {strands, points, when} = scene.solid, {clientWidth, clientHeight} = scene.canvas;
    scene.place();
    const put = scene.onScreen(), seen = strands.filter(({until}) => until === null);
    const at = (i) => [...points.subarray(3 * i, 3 * i + 3)];
    const tips = seen.map(({first, count}) => [at(first), at(first + (count >> 1))]);
    const spread = (axis) => {
      const all = tips.flat().map((tip) => put(tip)[axis]); return Math.max(...all) - Math.min(...all); };
    const there = strands.filter(({until, first}) => (until === null || place <= until) && when[first] <= place);
    const named = watch.numbers.ring.marks.filter((each) => each.named).map(({at}) => put(at));
    watch.flat.of = scene.of;
    return {of: scene.of, names: there.map(({name}) => name), tips,
            fills: Math.max(spread(0) / clientWidth, spread(1) / clientHeight),
            named: named.map(([x, y]) => [x / clientWidth, y / clientHeight]),
            flat: watch.flat.solid.strands.length === strands.length};
  })); }"""


def test_a_lid_is_shown_alone_while_it_is_worked_and_on_its_basket_once_it_is_fitted(hand_held, tmp_path):
    """It was woven where it is fitted, from its first stick on: over the mouth of the basket, or beside it where a bow
    keeps it from going on."""
    lesson = lesson_of("posy", f"{BOW}\n{LIDS['on']}")
    (tmp_path / "lidded.html").write_bytes(whole(lesson))
    page = hand_held(tmp_path / "lidded.html")
    order, steps = lesson.order, lesson.words["chapters"]["right"]
    fitted = int(np.flatnonzero(order.act == ACTS.index("fit"))[0])
    worked = [part for part in order.parts if part.of == "lid"]
    moves = [((part.first + part.beyond) // 2 + 1, 0) for part in worked]
    cross = next(each for each in steps if each["chapter"] == "Lid: the cross")
    card = page.evaluate(f"slypeLesson.order.begins({cross['number']})")
    fit = page.evaluate(f"slypeLesson.order.begins({steps[-2]['number']})")
    asked = [(card["place"], card["card"]), *moves, (fit["place"], fit["card"]), (fitted + 1, 0)]
    right, left = (json.loads(page.evaluate(IN_HAND, [hand, asked])) for hand in ("right", "left"))
    (laid, *alone, before, after) = right
    assert laid["of"] == "lid" and laid["names"] == [], "the table is empty as the cross is begun"
    for part, each in zip(worked, alone, strict=True):
        assert each["of"] == "lid" and each["names"] and all(name.startswith("lid, ") for name in each["names"])
        assert 0.4 < each["fills"] < 1.6, f"{part.key}: the lid fills the picture"
        assert all(0 < x < 1 and 0 < y < 1 for x, y in each["named"]), "what is named lies in it"
    of_lid = [[name for name in each["names"] if name.startswith("lid, ")] for each in (before, after)]
    assert before["of"] == after["of"] == "" and of_lid[0] == [] and len(of_lid[1]) > 20
    assert len(before["names"]) > 20 and len(after["names"]) == len(before["names"]) + len(of_lid[1])
    for one, other in zip(right, left, strict=True):
        assert np.abs(np.array(one["tips"]) * [-1, 1, 1] - other["tips"]).max() < 0.01, "mm"
        assert one["flat"], "drawn flat it is the same that is in hand"


WIDE = """place => { const {watch} = slypeLesson; watch.go(place); watch.showNow();
  const {scene} = watch, {points, strands} = scene.solid; scene.place();
  const put = scene.onScreen(), band = slypeLesson.told.parts[slypeLesson.told.part[place - 1]].band;
  const seen = strands.filter((each) => each.role === 'weaver' && each.band === band)
    .flatMap(({first, count}) => [...Array(count).keys()].map((i) => 3 * (first + i)))
    .map((i) => put(points.subarray(i, i + 3))[0]);
  return (Math.max(...seen) - Math.min(...seen)) / scene.canvas.clientWidth; }"""


COUNTED = """number => { const {watch} = slypeLesson; watch.toStep(number); watch.showNow();
  const {scene} = watch, {clientWidth, clientHeight} = scene.canvas; scene.place();
  const seen = watch.numbers.ring.marks.map(({at}) => scene.onScreen()(at));
  return [seen.length, seen.filter(([x, y]) => x > 0 && y > 0 && x < clientWidth && y < clientHeight).length]; }"""


def test_the_first_rows_of_a_base_are_looked_at_from_near_and_the_ends_of_its_cross_when_they_are_counted(
    hand_held, demo, demo_file
):
    page = hand_held(demo_file)
    counted = next(each["number"] for each in demo.words["chapters"]["right"] if each["title"] == "Find space 1")
    every, in_sight = page.evaluate(COUNTED, counted)
    assert every == in_sight == 64
    wide = [page.evaluate(WIDE, part.first + 3) for part in demo.order.parts if part.key == "base"]
    assert wide == sorted(wide) and wide[0] > 0.32 and wide[-1] < 0.9, "of the picture's width, band by band"


def test_a_card_points_at_the_space_in_which_the_work_goes_on(hand_held, demo, demo_file):
    page = hand_held(demo_file, init=UNPAINTED)
    told, asked = demo.words, 0
    for step in demo.words["chapters"]["right"]:
        act = told["acts"][told["act"][step["first"] - 1]] if step["first"] else ""
        if act not in ("set in", "stroke", "end"):
            continue
        page.evaluate(f"slypeLesson.watch.toStep({step['number']}); slypeLesson.watch.showNow()")
        marks = "slypeLesson.watch.numbers.ring.marks.filter(({kind, named}) => named && kind === 'space')"
        found = page.evaluate(f"[slypeLesson.watch.now.card, {marks}.map(({{number}}) => number)]")
        if found[0]:
            assert found[1] == [told["space"][step["first"] - 1] + 1], step["title"]
            assert "next" in page.inner_text(".numbers .key")
            asked += 1
    assert asked > 10
