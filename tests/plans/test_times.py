"""How long a basket takes, task by task: everything that hands do has its minutes, and nothing is counted twice."""

import re
from dataclasses import replace

import pytest
from strategies import basket

from slype.design.file.reader import parse
from slype.design.values import Pace
from slype.plans import planning
from slype.plans.times import seconds_of

PUSHED_IN = """
spokes = { reed = "round 4", ends = 24, inserted = true, base_ends = 12 }
form = { base = "6 in", wall = [["0 in", "6 in"], ["3 in", "7 in"]] }
band = [
  { where = "base", weave = "pairing", reed = "round 2", until = "6 in" },
  { where = "side", weave = "slewing", reed = "round 2", strands = 3, rows = 9 },
  { where = "side", weave = "three-rod wale", reed = "round 2", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
"""


@pytest.fixture(scope="module")
def plan():
    return planning.plan(parse(PUSHED_IN, "pushed-in.toml"))


def keys(plan):
    return [(task.key, task.band) for task in plan.time.tasks]


def test_tasks_follow_the_order_of_work(plan):
    assert keys(plan) == [
        ("begin", None), ("band", 0), ("insert", None), ("turn up", None), ("band", 1), ("band", 2), ("border", None),
        ("trim", None),
    ]  # fmt: skip


def test_setting_up_pushing_in_turning_up_and_trimming_have_their_minutes(plan):
    pace = plan.design.pace
    assert seconds_of(plan.time, "begin") == 6 * pace.stick_seconds, "twelve ends are six sticks"
    assert seconds_of(plan.time, "insert") == 24 * pace.push_seconds
    assert seconds_of(plan.time, "turn up") == 24 * pace.turn_seconds
    reeds = sum(len(join.colours) for join in plan.all_joins)
    reeds += sum(len(colours) for course in plan.courses for colours in course.begins.colours)
    assert seconds_of(plan.time, "trim") == (24 + 2 * reeds) * pace.trim_seconds


def test_slewing_sets_in_and_joins_every_one_of_its_reeds(plan):
    starts = 3  # one weaver of three reeds
    joins = 3 * len(plan.joins[1].joins)
    assert joins > 0
    band = next(task for task in plan.time.tasks if task.key == "band" and task.band == 1)
    said = {name: seconds for name, seconds, _ in band.parts}
    assert said["joins and starts"] == (starts + joins) * plan.design.pace.join_seconds


def test_the_parts_and_the_tasks_add_up_to_the_same(plan):
    assert sum(seconds for _, seconds, _ in plan.time.parts) == pytest.approx(plan.time.seconds)
    assert sum(task.seconds for task in plan.time.tasks) == pytest.approx(plan.time.seconds)


def test_the_pace_that_nobody_stated_is_not_an_experts():
    usual, fast = basket(rows=12), basket(rows=12, tail="[pace]\nstrokes_per_minute = 20\nborder_seconds = 12")
    assert planning.plan(usual).time.seconds > 1.4 * planning.plan(fast).time.seconds


def test_twice_the_pace_takes_half_the_time(plan):
    slow = {name: 2 * value for name, value in vars(Pace()).items() if name.endswith("_seconds")}
    pace = replace(plan.design.pace, **slow, strokes_per_minute=plan.design.pace.strokes_per_minute / 2)
    assert planning.plan(replace(plan.design, pace=pace)).time.seconds == pytest.approx(2 * plan.time.seconds)


WITH_HANDLES = PUSHED_IN + """
handle = [{ kind = "rope", core = "round 8", wrap = "round 3" }, { kind = "side", core = "round 5", wrap = "round 2" }]
foot = { border = "foot border", reed = "round 4" }
"""
ON_A_BOARD = """
base = { kind = "board", foot = ["behind 1 out", "over 1 down"] }
spokes = { reed = "round 4", ends = 25 }
form = { base = "6 in", wall = [["0 in", "5 1/4 in"], ["3 in", "6 in"]] }
band = [{ where = "side", weave = "randing", reed = "round 2", until = "top" }]
border = { rows = ["behind 1 out", "over 2 down"] }
handle = [{ kind = "bow", core = "round 8", wrap = "round 2" }]
"""


@pytest.mark.parametrize("text", [PUSHED_IN, WITH_HANDLES, ON_A_BOARD], ids=["pushed in", "handles and foot", "board"])
def test_whoever_multiplies_what_is_said_comes_to_the_minutes(text):
    """`44 turns at 8 a minute; 6 ends at 60 s` is as long as the line says."""
    told = 0
    for name, seconds, how in planning.plan(parse(text)).time.parts:
        runs = re.findall(r"(\d+) [^;]*? at ([\d.]+) (s|a minute)", how)
        if runs:
            told += 1
            assert seconds == pytest.approx(
                sum(int(n) * float(pace) if unit == "s" else int(n) / float(pace) * 60 for n, pace, unit in runs)
            ), name
    assert told >= 4


def test_the_tips_of_a_foot_are_trimmed_in_its_time():
    plan = planning.plan(parse(ON_A_BOARD))
    slow = planning.plan(replace(plan.design, pace=replace(plan.design.pace, trim_seconds=7.0)))
    more = seconds_of(slow.time, "begin") - seconds_of(plan.time, "begin")
    assert more == pytest.approx(25 * (7.0 - plan.design.pace.trim_seconds))
