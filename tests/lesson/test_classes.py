"""A class has a lesson for every different basket that is woven in it."""

from __future__ import annotations

from dataclasses import replace

from places import EXAMPLES

from slype.kit.file import reader
from slype.kit.worked import work
from slype.lesson.classes import lessons


def test_every_hand_and_set_of_colours_has_a_lesson_and_every_seat_is_in_one():
    asked = reader.of_design(str(EXAMPLES / "posy.toml"), 3, 1).found
    one, two, three = asked.seats
    made = work(replace(asked, seats=(one, replace(two, colours=(("plum", "moss"),)), three)))
    found = lessons(made)
    assert sorted(seat for *_, seats in found for seat in seats) == [1, 2, 3]
    assert len(found) == len({name for name, *_ in found}) == 3
    for name, content, seats in found:
        kit = next(kit for kit in made.kits if kit.seat.number in seats)
        assert kit.seat.hand in name and content.startswith(b"<!doctype html>")
