"""Words are explained, remedies named and lengths soaked where they are needed, and nothing is left out unsaid."""

import re
from dataclasses import replace

import pytest
from strategies import basket
from told import step_of
from worked import planned_as, taught

from slype.plans import planning
from slype.teach.measures import ruler_remedies
from slype.teach.step.bench import Bench
from slype.teach.stroke import rows_told

BOTH = [("right", "us"), ("left", "uk")]
NAMES = ["posy", "estuary", "quayside", "saltmarsh"]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("hand, wording", BOTH)
def test_the_step_that_explains_the_tip_of_a_spoke_speaks_of_one(name, hand, wording):
    steps = taught(planned_as(name, hand=hand, wording=wording))
    step = next(each for each in steps if "tip" in each.words)
    said = " ".join((*step.does, *step.looks, *(f"{slip.seen} {slip.undo}" for slip in step.slips)))
    assert re.search(r"\b(tips|(the|each|its|every|no|a|their|whose) tip)\b", said, re.IGNORECASE), said


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("hand, wording", BOTH)
def test_a_spoke_too_short_for_the_border_is_changed_as_the_step_tells_that_the_ruler_s_page_names(name, hand, wording):
    plan = planned_as(name, hand=hand, wording=wording)
    (undo,) = [each.undo for each in ruler_remedies(Bench(plan)) if "too short" in each.seen]
    title = re.search(r"as the step (.*) tells\.", undo)[1]
    (step,) = [each for each in taught(plan) if each.title == title]
    (whole,) = [slip.undo for slip in step.slips if "is shorter than" in slip.seen]
    assert "bodkin" in whole and " deep in there; cut the old one off" in whole


def test_a_spare_length_is_soaked_before_it_is_laid_in():
    assert "Soak a spare length, too, before you lay it in: as long as its bundle." in \
        step_of(taught(planned_as("posy")), "Soak").does  # fmt: skip


@pytest.mark.parametrize("hand, wording", BOTH)
def test_what_soaks_beside_the_base_is_put_in_when_the_base_lies_in_the_basin(hand, wording):
    seen = 0
    for name in NAMES:
        for step in taught(planned_as(name, hand=hand, wording=wording)):
            beside = [i for i, line in enumerate(step.does) if "in the water beside the" in line]
            lies = [i for i, line in enumerate(step.does) if re.match("Lay the (base|lid) in the basin", line)]
            assert not beside or (lies and lies[0] < beside[0])
            seen += len(beside)
    assert seen


@pytest.mark.parametrize("rows, last, told", [
    (list(range(1, 26, 2)), 25, ("row 1 and every second one after it", True)),
    (list(range(2, 26, 2)), 25, ("row 2 and every second one after it", True)),
    (list(range(2, 12, 2)), 25, ("row 2 and every second one up to row 10", True)),
    ([1, 3, 6, 8, 11, 13, 16, 18], 25, ("rows 1, 3, 6, 8, 11 and 13", False)),
    (list(range(2, 21)), 25, ("rows 2 to 20", True)),
    ([1, 2, 3], 3, ("every row", True)),
    ([1], 1, ("row 1", True)),
])  # fmt: skip
def test_rows_by_twos_are_told_as_such_of_others_six_and_never_fewer_unsaid(rows, last, told):
    assert rows_told(rows, last) == told


@pytest.mark.parametrize("ends", range(15, 27))
def test_of_every_row_of_chasing_it_is_told_where_one_at_rest_is_met_or_that_it_is_looked_for(ends):
    steps = taught(planning.plan(basket(ends=ends, weave="chasing", rows=25)))
    does = next(line for step in steps if any("meets one that rests" in line for line in step.does)
                and step.title == "The stroke" for line in [step.does])  # fmt: skip
    told = [line for line in does if re.match(r"In .*(row|rows) .*that is|In every row that is", line)]
    found = set()
    for line in told:
        assert len(line.split()) <= 20
        which = line.split(" that is")[0]
        if "every second" in which:
            first, last = re.search(r"row (\d+) .* (?:up to row (\d+)|after it)", which).groups()
            found |= set(range(int(first), int(last or 25) + 1, 2))
        elif "every row" in which:
            found |= set(range(1, 26))
        else:
            for a, b in re.findall(r"(\d+)(?: to (\d+))?", which):
                found |= set(range(int(a), int(b or a) + 1))
    assert found == set(range(1, 26)) or not told or "In the other rows look for the one that rests." in does


def test_how_high_the_basket_stands_is_told_once_where_its_last_band_starts_again_too():
    design = planned_as("estuary").design
    bands = design.bands[: 1 + max(i for i, band in enumerate(design.bands) if band.blocks)]
    for each in (design, replace(design, bands=bands)):
        does = [line for step in taught(planning.plan(each)) for line in step.does]
        assert len([line for line in does if "the basket then stands" in line]) == 1


def test_half_way_is_less_towards_the_middle_of_a_base():
    does = step_of(taught(planned_as("posy", wording="uk")), "Trim the weavers").does
    at = does.index("Half-way is less there towards the middle.")
    assert does[at - 1].startswith("On the base it is about ")
