"""What a beginner is told of joins: where they fall, which piece goes on there, behind which spoke, and what helps
where a weaver runs out sooner or snaps; each statement held against the plan, the cuts and the order of work."""

import re

import pytest
from strategies import basket
from told import numbers_of, steps_of
from worked import taught

from slype.order.moments import moments
from slype.plans import planning
from slype.tell.bundled import bundle_rows
from slype.tell.steps import tools
from slype.weave.table import WEAVES


def _snapped(steps, band):
    """What helps in a band where a weaver runs out or snaps, and which step says so."""
    mine = [step for step in steps if step.band == band.index and not step.of]
    found = [(slip.undo, step.number) for step in mine for slip in step.slips
             if slip.seen.startswith("A weaver runs out") and "snaps" in slip.seen]  # fmt: skip
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("weave", WEAVES)
def test_where_a_weaver_snaps_it_is_joined_behind_the_one_that_all_joins_lie_behind(weave):
    """Whether joins are planned there or not, and whichever of several a stroke goes behind."""
    told = set()
    for band_says in ("", 'length = "6 ft"'):
        plan = planning.plan(basket(ends=40, weave=weave, band=band_says))
        (band,), order, steps = plan.laid.bands, moments(plan.laid), taught(plan)
        (said, _), first = _snapped(steps, band), order.behind(order.by_weaver[0, 0, 0, "stroke"][0])
        assert said
        if len(first) > 1:
            assert f"behind the first of its {len(first)} spokes" in said
            assert f"In stroke 1 that is spoke {first[0] + 1}." in said
        else:
            assert "behind a spoke" in said and "In stroke" not in said
        for join in plan.joins[0].joins:
            moment = order.by_weaver[0, join.block, join.weaver, "stroke"][join.stroke]
            assert order.behind(moment)[0] == join.spoke
            told.add(len(order.behind(moment)))
        step = [step for step in steps if step.title == "Join a new length"]
        several = any("join behind the first that it comes to" in line for each in step for line in each.does)
        assert several == bool(step and len(first) > 1)
    assert told or weave == "French randing"


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_of_every_band_it_is_told_where_a_weaver_that_snaps_is_joined_and_which_step_tells_more(name):
    """The whole once; afterwards which step tells it, and behind what the tail must lie: nobody turns back for it."""
    plan, steps = steps_of(name)
    order, known, again = moments(plan.laid), {}, 0
    for band in plan.laid.bands:
        strokes = [m for (index, _, _, act), found in order.by_weaver.items() if index == band.index
                   and act == "stroke" for m in found]  # fmt: skip
        behind = tuple(sorted({len(order.behind(m)) for m in strokes} - {0}))
        alike = (band.band.where, band.sizes[0] > 1, behind,
                 band.band.strands, band.band.weave.turns == "back", len(set(band.band.weave.reverse)))
        (said, at), at_band = _snapped(steps, band), plan.laid.bands.index(band) + 1
        which = ("the first of its 2 spokes" if behind == (2,) else "a group" if band.sizes[0] > 1 else "a spoke"
                 if not plan.design.spokes.inserted or band.band.where == "side" else "a stick")  # fmt: skip
        assert f"raw it back until its tail lies behind {which}" in said, at_band
        if alike in known:
            assert said.startswith(f"As in step {known[alike]}: draw it back"), at_band
            again += 1
        else:
            assert said.startswith("Draw it back"), at_band
        known.setdefault(alike, at)
    assert again or name == "saltmarsh"
    if name == "estuary":
        assert _snapped(steps, plan.laid.bands[7])[0].endswith("as its row goes.")


@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_each_join_says_which_piece_goes_on_there_as_the_weaver_is_cut(name):
    plan, steps = steps_of(name, "left", "uk")
    by_weaver = {}
    for join in plan.all_joins:
        by_weaver.setdefault((join.band, join.block, join.weaver), []).append(join)
    laid_in = 0
    for cut in plan.cuts:
        joins = []
        for segment in cut.course.segments:
            block = [first for first, _, _ in segment.band.segments].index(segment.first)
            joins += sorted(by_weaver.get((segment.band.index, block, cut.weaver), []), key=lambda join: join.stroke)
        assert [join.next_mm for join in joins] == list(cut.pieces_mm[1:])
        laid_in += len(joins)
    assert laid_in == len(plan.all_joins) > 0
    tables = [step.table for step in steps if step.title == "Join a new length"]
    cells = [cell for table in tables for row in table.rows if row[0] == "Next piece" for cell in row[1:] if cell]
    said = [line.split("turn: ")[1].rstrip(".") for step in steps for line in step.does if " in turn: " in line]
    listed = {re.sub(r"^\d+ of ", "", length.strip()) for line in said for length in line.split(";")}
    assert len(cells) == laid_in and set(cells) <= listed


def test_every_line_of_joins_names_its_weaver_and_no_more_than_three_places():
    """Two weavers that are joined often: whoever reads a line alone knows whose joins it lists."""
    plan = planning.plan(basket(ends=24, rows=24, weave="pairing", colours=["rust", "sand"], band='length = "6 ft"'))
    (step,) = [each for each in taught(plan) if each.title == "Join a new length"]
    lines = [str(line) for line in step.does]
    sooner = lines.index(next(x for x in lines if "not reach so" in x))
    lines = lines[lines.index("Joins fall about here:") + 1 : sooner]
    told = []
    for line in lines:
        weaver, places = re.match(r"Weaver (\d) \(\w+\): ", line), re.findall(r"row (\d+) behind spoke (\d+)", line)
        assert weaver is not None and 1 <= len(places) <= 3, line
        told += [(int(weaver[1]) - 1, int(row) - 1, int(spoke) - 1) for row, spoke in places]
    assert sorted(told) == sorted((join.weaver, join.row, join.spoke) for join in plan.all_joins)
    assert len(lines) > 2
    assert step.table is not None and len(step.table.rows) % 4 == 0, "row, behind, weaver, piece, and so on"
    lot = step.table.rows
    four = [lot[i : i + 4] for i in range(0, len(lot), 4)]
    found = [each for row, behind, weaver, _ in four for each in zip(weaver[1:], row[1:], behind[1:], strict=True)]
    assert sorted(tuple(int(one) - 1 for one in each) for each in found if any(each)) == sorted(told)
    assert not [line for line in step.on_paper if line in lines], "on paper the table has them"


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
def test_pieces_of_weavers_that_differ_are_listed_weaver_by_weaver_and_marked_so(name, hand, wording):
    """Six pieces that looked alike lay in one bundle, and nobody knew which weaver they were of."""
    plan, steps = steps_of(name, hand, wording)
    said = dict(re.match(r"Pieces of (weaver \d)[^,]*, in turn: (.*)\.", line).groups()[::-1] for step in steps
                for line in step.does if line.startswith("Pieces of weaver"))  # fmt: skip
    listed, marked = {}, []
    for row in bundle_rows(plan):
        mine = [line.split(": ") for line in row.cut if line.startswith("weaver ")]
        if mine:
            assert len(mine) == len(row.cut)
            many = [piece for _, pieces in mine for piece in pieces.split("; ")]
            assert sum(int(found[1]) if (found := re.match(r"(\d+) of ", each)) else 1 for each in many) == row.count
            listed |= {pieces: weaver for weaver, pieces in mine}
            marked.append(row.number)
    assert listed == said and len(listed) > 2
    (line,) = [line for line in steps[0].does if line.startswith("Tag each piece of bundle")]
    assert numbers_of(line) == set(marked)
    assert line.endswith("with its weaver, as listed.") and re.search(r"tags for .*and weavers", tools(plan)[-1])
