"""Numbers stand at what they number: held against the reeds themselves."""

from __future__ import annotations

import numpy as np
import pytest
from lessons import lesson_of
from samples import BOARD, BOW, LIDS, pot_text

from slype.design.file.reader import parse
from slype.lesson.content import Lesson
from slype.lesson.numbered import ASIDE_MM, OFF_MM, rings
from slype.order.kinds import ACTS
from slype.plans.planning import plan

HALF_A_MM = 0.5
FOOT = "[foot]\nborder = 'foot border'\n"


def uprights(lesson: Lesson, moment: int) -> dict[int, np.ndarray]:
    """Points of every spoke as it stands at a moment, by its number from 0, closely along it."""
    header, points, when = lesson.space
    out: dict[int, list[np.ndarray]] = {}
    for each in header["strands"]:
        there = when[each["first"]] <= moment <= (np.inf if each["until"] is None else each["until"])
        if each["end"] is not None and each["role"] == "spoke" and there:
            line = points[each["first"] : each["first"] + each["count"]]
            t = np.linspace(0, 1, 16)[:, None, None]
            out.setdefault(each["end"], []).append((line[:-1] * (1 - t) + line[1:] * t).reshape(-1, 3))
    return {end: np.concatenate(lines) for end, lines in out.items()}


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_at_the_side_every_number_stands_on_its_spoke(name):
    lesson = lesson_of(name)
    order, asked = lesson.order, 0
    for part, ring in zip(order.parts, rings(lesson.by_hand["right"].laid, order), strict=True):
        off = {"side": OFF_MM, "turn": OFF_MM, "border": ASIDE_MM}.get(part.key)
        if off is None:
            continue
        reeds = uprights(lesson, part.beyond if part.key == "turn" else part.first)
        for places in ring["spokes"]:
            assert len(places) == len(reeds)
            for spoke, place in enumerate(places):
                assert np.linalg.norm(reeds[spoke] - place, axis=1).min() == pytest.approx(off, abs=HALF_A_MM)
                asked += 1
    assert asked > 100


def test_a_space_lies_between_its_two_spokes_the_first_before_spoke_one(estuary):
    lesson = Lesson(plan(estuary))
    for part, ring in zip(lesson.order.parts, rings(lesson.by_hand["right"].laid, lesson.order), strict=True):
        if part.key != "side":
            continue
        spokes, spaces = (np.array(ring[what][0])[:, :2] for what in ("spokes", "spaces"))
        angle = np.unwrap(np.arctan2(*np.stack([spaces, spokes], axis=1).reshape(-1, 2).T))
        steps = np.diff(angle)
        assert (np.sign(steps) == np.sign(steps[0])).all(), "space 1, spoke 1, space 2, spoke 2 and so on round"
        assert np.abs(steps).max() < 1.3 * np.abs(steps).min()


def test_what_is_worked_over_groups_is_numbered_by_groups(estuary):
    lesson = Lesson(plan(estuary))
    found = [ring for part, ring in zip(lesson.order.parts, lesson.words["rings"], strict=True) if part.key == "base"]
    assert [len(ring["spokes"][0]) for ring in found] == [4, 8, 16, 32]


def test_what_a_sentence_names_has_a_number_in_its_ring():
    """Also of a foot, a board, a handle and a lid."""
    board = Lesson(plan(parse(BOARD, "board")))
    for lesson in (lesson_of("estuary", f"{BOW}\n{LIDS['on']}"), lesson_of("posy", FOOT), board):
        words, order = lesson.words, lesson.order
        for moment, named in enumerate(words["passed"]):
            ring = words["rings"][order.part[moment]]
            assert not named or max(named) < len(ring["spokes"][0]), ACTS[order.act[moment]]
        assert any(words["passed"])
        for moment in np.flatnonzero(np.isin(order.act, [ACTS.index("wrap"), ACTS.index("fasten")])):
            (foot,) = words["passed"][moment]  # where a wrapping begins, and where it ends
            assert foot in order.end[(order.act == ACTS.index("push in")) & (order.row == order.row[moment])]


def test_the_numbers_of_a_lid_stand_round_it_as_it_is_woven():
    """By itself: as of the basket that it is, not where it is fitted."""
    lesson = lesson_of("posy", LIDS["on"])
    order = lesson.order
    other = order.others["lid"]
    mine = [ring for part, ring in zip(order.parts, lesson.words["rings"], strict=True) if part.of == "lid"]
    assert mine == rings(other.laid, other.order) and any(mine)


@pytest.mark.parametrize("whose", ["", "lid"])
def test_a_goal_is_ringed_where_tips_are_pushed_down_in_the_border_in_hand(whose):
    """Of a basket, its foot and its lid each its own border: here one is open and the others are closed."""
    if whose:
        closed = LIDS["on"]
        lid = closed.replace(closed[closed.index("border = ") : closed.index("band = ")], "border = 'open over 2'\n")
        lesson = Lesson(plan(parse(f"version = 1\n{pot_text()}\n{FOOT}{lid}", "pot")))
    else:
        lesson = lesson_of("posy", FOOT + LIDS["on"])
    order = lesson.order
    goals = [(order.parts[order.part[i]].of, each) for i, each in enumerate(lesson.words["goals"]) if each >= 0]
    laid = order.others[whose].laid if whose else lesson.by_hand["right"].laid
    assert sorted(goals) == [(whose, end) for end in range(laid.design.top_ends)], "beside every spoke one tip"
    assert {part.of for part in order.parts if part.key == "border"} == {"", "foot", "lid"}
