"""Where a beginner must know which one: which tail lies where, which weaver comes next, which foot goes in first. Each
sentence is held against the trace, the order of work or the curves."""

import re
from importlib import resources

import numpy as np
import pytest
from samples import HANDLES
from strategies import basket
from told import planned, step_of
from worked import taught

from slype.design.file import reader
from slype.figures.making import Making
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.plans import planning
from slype.teach.step.bench import Bench
from slype.tell.moments import moves_alone


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside"])
def test_of_every_start_each_weaver_has_its_tail_behind_the_one_before_its_own_space(name):
    plan, told = planned(name), 0
    for step in (each for each in taught(planned(name)) if each.title.startswith("Set in") and not each.of):
        line = " ".join(line for line in step.does if line.startswith("Lay tail "))
        if not line:
            continue
        band = next(each for each in plan.laid.bands if each.index == step.band)
        spaces = {each.of: each.numbers[0] for each in step.counts if each.what == "set in"}
        found = {int(k): int(n) for k, n in re.findall(r"tail (\d) behind \D*(\d+)", line)}
        assert found == {k: (space - 2) % band.spaces + 1 for k, space in spaces.items()}
        told += len(found)
    assert told >= 4


@pytest.mark.parametrize("name", ["quayside", "estuary"])
def test_each_row_says_in_which_turn_its_weavers_come_as_the_trace_has_it(name):
    plan, told = planned(name), 0
    for step in taught(planned(name)):
        for line in step.does:
            found = re.match(r"Rows? (\d[\d, and]*) begins? with weaver (\d)[^,]*, then ([\d, ]+) in turn\.", line)
            if not found:
                continue
            t = next(each for each in plan.laid.bands if each.index == step.band).traces()[0][1]
            turn = [int(found[2]), *map(int, re.findall(r"\d", found[3]))]
            for row in map(int, re.findall(r"\d+", found[1])):
                mine = np.flatnonzero((t.row == row - 1) & (t.step == 0))
                assert (t.weaver[mine[np.argsort(t.stroke[mine])]][: len(turn)] + 1).tolist() == turn
                told += 1
    assert told >= 3


def test_weavers_of_one_colour_are_told_apart_where_their_number_matters_and_only_there():
    for name in ("quayside", "posy", "estuary"):
        plan = planned(name)
        for step in (each for each in taught(planned(name)) if each.title.startswith("Set in")):
            at = next(i for i, each in enumerate(plan.laid.bands) if each.index == step.band)
            band, t = plan.laid.bands[at], plan.laid.bands[at].traces()[0][1]
            first = {int(t.weaver[t.stroke == t.stroke[t.row == row].min()][0]) for row in range(band.segments[0][1])}
            alike = len(set(band.colours)) == 1 and 1 < len(band.colours) <= 8
            told = any("tie a thread to weaver 1 where it hangs" in line for line in step.does)
            joined = any(len(cut.pieces_mm) > 1 for cut in plan.cuts if cut.course.begins is band)
            assert told == (alike and (len(first) > 1 or joined)), (name, step.title)
    of_two = step_of(taught(planned("posy")), "Go round", 5).does  # there is but one other
    assert "in turn" not in " ".join(of_two)


def test_every_row_with_a_join_is_marked_at_its_box_however_many_there_are():
    plan = planned("quayside")
    most = max(range(len(plan.joins)), key=lambda at: len(plan.joins[at].joins))
    assert len(plan.joins[most].joins) > 12
    step = step_of(taught(planned("quayside")), "Go round", plan.laid.bands[most].index)
    marked = {row for row, word in step.marks if word == "join"}
    order, band = moments(plan.laid), plan.laid.bands[most]
    rows = {each.row + 1 for each in plan.joins[most].joins}
    assert len(marked) >= len(rows) - 1 and marked <= set(range(1, band.rows + 1))
    assert len(order) > 0


def test_a_peg_for_weavers_that_go_on_is_spoken_of_only_where_some_do():
    for name, goes_on in (("estuary", True), ("quayside", False)):
        assert any("hold each with a peg" in line for line in step_of(taught(planned(name)), "Soak").does) == goes_on


def test_group_spaces_are_told_by_their_new_numbers_when_spokes_are_opened_out():
    for name in ("posy", "quayside"):
        line = next(line for line in step_of(taught(planned(name)), "Open the").does if "are now spaces" in line)
        old, new = (list(map(int, re.findall(r"\d+", part))) for part in line.split("are now"))
        sizes = planned(name).laid.base[0].sizes
        assert old == list(range(2, len(sizes) + 1))
        assert new == [1 + sum(sizes[:k]) for k in range(1, len(sizes))]


def test_the_half_spoke_is_drawn_with_its_short_end_until_rows_hide_it():
    making, steps = Making(planned("posy").laid), taught(planned("posy"))
    assert (4,) in making.order.stick_ends
    for title, long in (("Lay the", 25.0), ("Find space", 25.0), ("Go round", 0.0)):
        at = step_of(steps, title).drawings[-1].beyond
        half = next(each.tube for each in making.at(at, at) if each.tube.role == "spoke" and each.tube.end == 4)
        run = half.points[-1] / np.linalg.norm(half.points[-1])
        assert (half.points @ run).min() == pytest.approx(-long, abs=8.0)


@pytest.mark.parametrize("kind", HANDLES)
def test_a_rope_s_rods_go_in_at_one_foot_are_twisted_and_then_go_in_at_the_other(kind):
    text = resources.files("slype").joinpath("examples/posy.toml").read_text(encoding="utf-8")
    plan = planning.plan(reader.parse(text.replace("[border]", f"{HANDLES[kind]}\n[border]")))
    does = " ".join(next(step for step in taught(plan) if step.part == "handle").does)
    each = plan.handles[0]
    measured = does.index("Measure: the arch stands")
    if each.twist is not None and each.handle.core is None:
        said = "Push one end of all its rods down", "twist the", "Push the other ends down"
        one, twisted, other = map(does.index, said)
        assert one < twisted < other < measured
    else:
        assert does.index("Push the ends down there") < measured
    order = moments(plan.laid)
    for moment, line in enumerate(moves_alone(plan, plan.laid, order)):
        if ACTS[order.act[moment]] == "push in":
            assert "soak" not in line.lower(), "the step before has it: it lies in the water already"


def test_weavers_hang_in_the_order_of_the_hands_past_space_1_too():
    steps = [step for step in taught(planned("estuary")) if step.title == "The stroke" and step.band == 7]
    assert steps[0].looks == ("The weavers now hang in spaces 32, 1 and 2, one in each.",)


def test_where_others_hang_than_began_there_it_is_not_said_that_they_began_there():
    for name in ("estuary", "saltmarsh", "posy"):
        for step in taught(planned(name)):
            for line, following in zip(step.does, step.does[1:], strict=False):
                assert not (line.endswith("where they began.") and following.startswith("There now hang"))


def test_of_a_bundle_for_several_starts_it_is_said_which_lengths_are_for_the_first():
    plan = planned("estuary")
    step = next(step for step in taught(planned("estuary")) if step.title == "Set in 4 weavers")
    bundles = {each.number: each for each in Bench(plan).bundles}
    taken = None
    for line in step.does:
        if found := re.match(r"Take bundle (\d+)", line):
            taken = bundles[int(found[1])]
        elif found := re.match(r"For start 1: (\d+) of (.*?)\. The others wait\.", line):
            lots = [lot for lot in taken.lots if lot.starts == (0, 0)]
            assert [lot.count for lot in lots] == [int(found[1])]
            assert Bench(plan).cut(lots[0].cut_mm) == found[2]
            taken = None
    assert taken is None and step.does[1].startswith("For start 1: ")


@pytest.mark.parametrize("ends, rows", [(32, 4), (31, 3), (32, 1)])
def test_it_is_said_of_every_row_in_which_space_each_of_two_weavers_meets_the_one_that_rests(ends, rows):
    """One goes round while the other hangs where its own round begins or has ended; told of row 1 alone it was not
    known whether it moves on."""
    plan = planning.plan(basket(ends=ends, weave="chasing", rows=rows, colours=["sand", "rust"]))
    (band,) = plan.laid.bands
    step = next(step for step in taught(plan) if step.title == "The stroke")
    lines = [line for line in step.does if " that is weaver" in line]
    said = {}
    for line in lines:
        which = re.match(r"In (every row|rows? ([\d, and]+)) that is", line)
        met = {int(k) - 1: int(at) - 1 for k, at in re.findall(r"weaver (\d)[^,]*? at space (\d+)", line)}
        for row in range(rows) if which[2] is None else [int(each) - 1 for each in re.findall(r"\d+", which[2])]:
            assert said.setdefault(row, met) == met
    trace, truth = band.traces()[0][1], {}
    begun = {int(trace.stroke[i]): int(trace.row[i]) for i in reversed(range(len(trace.spoke)))}  # a stroke's row
    for row in range(rows):
        mine = {k: [i for i in range(len(trace.spoke)) if begun[int(trace.stroke[i])] == row and trace.weaver[i] == k]
                for k in (0, 1)}  # fmt: skip
        assert trace.stroke[mine[0][0]] < trace.stroke[mine[1][0]]
        hangs = {0: int(trace.spoke[mine[1][0]]), 1: (int(trace.spoke[mine[0][-1]]) + 1) % band.spaces}
        truth[row] = {k: at for k, at in hangs.items() if any(trace.spoke[i] == at and not trace.front[i]
                      and (n == 0 or trace.front[mine[k][n - 1]]) for n, i in enumerate(mine[k]))}  # fmt: skip
    assert {row: met for row, met in truth.items() if met} == said
    assert said or ends % 2
    first = {k: [i for i in range(len(trace.spoke)) if begun[int(trace.stroke[i])] == 0 and trace.weaver[i] == k]
             for k in (0, 1)}  # fmt: skip
    hang = {k: ((int(trace.spoke[mine[-1]]) + 1) % band.spaces, int(trace.spoke[mine[0]])) for k, mine in first.items()}
    back = all(one == two for one, two in hang.values())
    assert back == any(line == "Each ends its round in the space where it began it." for line in step.does)
    others = [line for line in step.does if line.startswith("After row 1 they hang in other spaces")]
    told = {int(k) - 1: int(at) - 1 for line in others for k, at in re.findall(r"weaver (\d) \(\w+\) in (\d+)", line)}
    assert told == ({} if back else {k: at for k, (at, _) in hang.items()})


@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
def test_where_two_hang_in_a_row_worked_backwards_is_told_as_the_trace_has_it(hand, wording):
    """It was said that two hang only where the last strokes begin, without a word from when on."""
    plan, steps = planned("posy", hand, wording), taught(planned("posy", hand, wording))
    band = next(each for each in plan.laid.bands if each.band.weave.turns == "back")
    does = step_of(steps, "Go round", band.index).does
    told = next(line for line in does if "two weavers hang" in line)
    said = r"After strokes ([\d, and]+) of row 1 two weavers hang in spaces ([\d, and]+)\."
    after, spaces = re.match(said, told).groups()
    done, where = ({int(each) for each in re.findall(r"\d+", found)} for found in (after, spaces))
    trace, many = band.traces()[0][1], band.spaces
    hang = {k: (band.band.start + k) % many for k in range(many)}
    for stroke in range(many - 2):
        mine = [i for i in range(len(trace.spoke)) if trace.stroke[i] == stroke]
        hang[int(trace.weaver[mine[0]])] = (int(trace.spoke[mine[-1]]) + 1) % many
        two = {at + 1 for at in hang.values() if list(hang.values()).count(at) > 1}
        assert (two == where) == (stroke + 1 >= max(done)), stroke
    assert done == set(range(1, max(done) + 1))
    last = next(line for line in does if "begin where two hang" in line)
    assert [int(each) for each in re.findall(r"\d+", last)] == [many - 1, many]


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_whatever_is_left_loose_at_the_beginning_of_a_border_s_row_is_drawn_close_at_its_end(name):
    """A beginner was told what to leave loose, and never when to draw it close."""
    loose = re.compile(r"Do not (?:pull|draw) (spokes? [\d, and]+) (?:tight|close)")
    drawn = re.compile(r"Now draw (spokes? [\d, and]+) (?:close|to the height)")
    steps = [each for each in taught(planned(name)) if each.part == "border"]
    left, done = ([found[1] for step in steps for line in step.does if (found := said.search(line))]
                  for said in (loose, drawn))  # fmt: skip
    assert left == done and left
