"""A class has a lesson for every different basket that is woven in it."""

from __future__ import annotations

from dataclasses import replace

from places import EXAMPLES

from slype.kit.file import reader
from slype.kit.worked import work
from slype.make.class_folder import lesson_of
from slype.tell.classes.papers import handed


def test_every_hand_and_set_of_colours_has_a_lesson_and_every_seat_is_in_one():
    asked = reader.of_design(str(EXAMPLES / "posy.toml"), 3, 1).found
    one, two, three = asked.seats
    made = work(replace(asked, seats=(one, replace(two, colours=(("plum", "moss"),)), three)))
    found = handed(made)
    assert sorted(seat for each in found for seat in each.basket.seats) == [1, 2, 3]
    assert len(found) == len({each.lesson for each in found}) == 3
    for each in found:
        kit = next(kit for kit in made.kits if kit.seat.number in each.basket.seats)
        assert kit.seat.hand in each.lesson and lesson_of(each.basket).startswith(b"<!doctype html>")
