"""What a lesson holds is what the order of work, the steps and the drawing hold."""

from __future__ import annotations

import gzip
import json
from base64 import b64decode

import numpy as np
import pytest
from lessons import lesson_of
from samples import BOW, LIDS
from strategies import basket
from worked import taught

from slype.draw.solid import solid_of, unpacked
from slype.errors import Unweavable
from slype.lesson.content import Lesson
from slype.lesson.packed import SHARES, in_page, packed
from slype.order.moments import moments
from slype.order.viewpoints import places
from slype.plans import planning
from slype.tell.moments import moves_alone

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")


@pytest.fixture(scope="module", params=[*EXAMPLES, "estuary with a bow and a lid"])
def lesson(request):
    name, _, fitted = request.param.partition(" with ")
    return lesson_of(name, f"{BOW}\n{LIDS['on']}" if fitted else "")


def test_every_moment_is_told_for_either_hand(lesson):
    words = lesson.words
    for hand, plan in lesson.by_hand.items():
        order = moments(plan.laid)
        assert words["moments"] == len(order)
        assert [words["texts"][number] for number in words["told"][hand]] == moves_alone(plan, plan.laid, order)


def test_each_different_sentence_stands_once(lesson):
    assert len(set(lesson.words["texts"])) == len(lesson.words["texts"])


def test_chapters_are_the_steps_of_the_handout_and_hold_every_moment_once(lesson):
    for hand, plan in lesson.by_hand.items():
        found = lesson.words["chapters"][hand]
        sentence = [(step.number, step.chapter, step.title, list(step.bundles)) for step in taught(plan)]
        assert [(each["number"], each["chapter"], each["title"], each["bundles"]) for each in found] == sentence
        held = [range(each["first"], each["last"] + 1) for each in found if each["first"]]
        due = [each["after"] for each in found]
        assert due == sorted(due), "those without a move stand where their turn comes"
        assert [moment for run in held for moment in run] == list(range(1, lesson.words["moments"] + 1))


def test_the_sides_of_a_border_are_called_in_the_slip_finder_as_in_its_moves(lesson):
    """Of a flat lid "on your side": it has no outside while it is held with its top to its maker."""
    words, asked = lesson.words, set()
    for moment, rests in enumerate(words["rests"]):
        part = words["parts"][words["part"][moment]]
        if part["part"] == "border" and rests in ("out", "in"):
            line = words["texts"][words["told"]["right"][moment]]
            assert f"leave it {part['faces'][('out', 'in').index(rests)]}" in line
            asked.add(part["of"])
    plan = lesson.plan
    borders = {"": plan.design.border} | ({"lid": plan.lid.design.border} if plan.lid else {})
    assert asked == {of for of, border in borders.items() if not border.is_open}, "an open border rests nowhere"


def test_left_hands_work_is_the_mirror_image(lesson):
    """So the page may mirror the right hand's points and angles."""
    right, left = lesson.by_hand["right"], lesson.by_hand["left"]
    (head, points, when), (other_head, others, other_when) = (unpacked(solid_of(plan)) for plan in (right, left))
    assert [each["name"] for each in head["strands"]] == [each["name"] for each in other_head["strands"]]
    assert np.abs(points * [-1, 1, 1] - others).max() < 0.01  # mm
    assert np.abs(when - other_when).max() < 1e-3
    seen, others_seen = (places(plan.laid, moments(plan.laid)) for plan in (right, left))
    assert (seen.up == others_seen.up).all()
    assert np.abs((seen.around + others_seen.around + 180) % 360 - 180).max() <= 1  # rounded to whole degrees


def test_a_lesson_on_a_basket_too_fine_to_be_drawn_is_refused_before_a_word_of_it_is_found(monkeypatch):
    """Or a tower three metres high is told for half a minute first."""
    tower = basket(wall=[["0 in", "6 in"], ["2.9 m", "6 in"]], ends=44, rows=0, reed="round 1", band='until = "top"')
    monkeypatch.setattr("slype.lesson.content.moves_alone", lambda *_: pytest.fail("words were found first"))
    with pytest.raises(Unweavable, match="more than a picture can show"):
        _ = Lesson(planning.plan(tower)).words


def test_packing_moves_no_point_by_more_than_an_eye_can_see(lesson):
    header, points, when = lesson.space
    raw = gzip.decompress(b64decode(in_page(packed(header, points, when))))
    size = int.from_bytes(raw[:4], "little")
    words, body, k = json.loads(raw[4 : 4 + size]), np.frombuffer(raw, np.uint8, offset=4 + size), len(points)
    planes = [body[i * k :][:k].astype(int) for i in range(9)]
    columns = [np.cumsum(planes[2 * i] + 256 * planes[2 * i + 1]) & 65535 for i in range(4)]
    back = np.array(words["low"]) + words["step"] * np.array(columns[:3]).T
    assert np.abs(back - points).max() < 0.01  # mm
    again = columns[3] - 1 + planes[8] / SHARES
    assert np.abs(again - when).max() <= 1 / SHARES + 1e-3
    assert (np.ceil(again - 1e-9) == np.ceil(when)).all(), "laid in the same moment"
