"""The day of a class as a strip of hours: nothing lies over anything else, and everything said is there."""

import re
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from slype.draw.classes.day import TONES, day
from slype.kit.timetable import Hour, Timetable
from slype.reeds import reed_named

REED = reed_named("round 3")
BOX = re.compile(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" fill="(#\w+)"')


def boxes(svg):
    """(left, top, right, bottom, tone) of every stretch."""
    out = []
    for x, y, wide, high, tone in BOX.findall(svg):
        out.append((float(x), float(y), float(x) + float(wide), float(y) + float(high), tone))
    return out


def strip(*hours, rests=()):
    return day(Timetable((), hours, rests, date(2027, 3, 13)), 570, 990, lambda hour: f"{hour.key} & more")


@given(st.lists(st.tuples(st.integers(570, 900), st.integers(1, 90)), max_size=8))
def test_what_soaks_at_the_same_time_lies_in_lanes_of_its_own(soaks):
    svg = strip(*(Hour("soak", start, start + long, reed=REED) for start, long in soaks))
    found = boxes(svg)
    assert len(found) == len(soaks)
    for i, a in enumerate(found):
        for b in found[i + 1 :]:
            assert a[2] <= b[0] + 0.2 or b[2] <= a[0] + 0.2 or a[3] <= b[1] or b[3] <= a[1], "one lies over another"


def test_a_step_that_goes_on_after_the_break_is_not_drawn_through_it():
    svg = strip(Hour("task", 700, 800, 0), Hour("break", 720, 765))
    found = boxes(svg)
    rest = next(box for box in found if box[4] == TONES["break"])
    work = [box for box in found if box[4] == TONES["task"]]
    assert len(work) == 2
    assert all(box[2] <= rest[0] + 0.2 or box[0] >= rest[2] - 0.2 for box in work)
    assert svg.count("task &amp; more") >= 1, "its words stand once, in the longer part"


def test_hours_are_marked_and_rests_of_the_hands_too():
    svg = strip(Hour("welcome", 570, 585), rests=(630.0, 690.0))
    assert all(f">{hour}:00<" in svg for hour in range(10, 17))
    assert svg.count('h10l-5 -9z"') == 2


def test_a_class_that_runs_over_shows_where_it_should_have_ended():
    assert 'stroke-width="2"' in strip(Hour("task", 570, 1100, 0))
    assert 'stroke-width="2"' not in strip(Hour("task", 570, 900, 0))
