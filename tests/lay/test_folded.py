"""A base begun with one folded weaver: one length is cut, bundled and listed for two weavers."""

from dataclasses import replace

import pytest
from places import EXAMPLES
from strategies import basket
from worked import taught

from slype.design.file import reader
from slype.kit.wanted import _ways
from slype.plans.bundles import bundles
from slype.plans.planning import plan
from slype.tell.lists import cut_list, pieced

SHORT = (
    '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 2\n'
    '[[band]]\nwhere = "base"\nweave = "randing"\nreed = "round 2"\nuntil = "6 in"\n'
)


def begun(how, long):
    if long:
        design = reader.parse((EXAMPLES / "estuary.toml").read_text(encoding="utf-8"))
        return plan(replace(design, base=replace(design.base, begin=how)))
    return plan(basket(ends=25, before=f'[base]\nbegin = "{how}"\n' + SHORT))


def woven(made):
    """mm that the weavers of the first course need, its fold or its starts, tails and joins taken off."""
    course, tail = made.courses[0], made.courses[0].begins.tail_mm
    pieces = [mm for cut in made.cuts if cut.course is course for mm in cut.pieces_mm]
    starts = 0 if course.folded else 2
    joined = [join.overlap_mm for join in made.all_joins if join.band in course.bands]
    assert len(joined) == len(pieces) - (1 if course.folded else 2) and all(mm >= 50.8 - 1e-6 for mm in joined)
    return sum(pieces) - (2 + starts) * tail - sum(joined)


@pytest.mark.parametrize("long", [False, True])
def test_one_length_is_cut_where_two_were(long):
    cut, folded = begun("cut", long), begun("folded", long)
    first, other = (each for each in folded.cuts if each.course is folded.courses[0])
    assert folded.courses[0].folded and not cut.courses[0].folded
    assert woven(folded) == pytest.approx(woven(cut), abs=1.0)
    assert first.pieces_mm[0] <= folded.courses[0].usable_mm + 1e-6
    assert 0.5 * first.pieces_mm[0] - 1e-6 <= first.fold_mm <= 0.65 * first.pieces_mm[0]
    bundle = next(each for each in bundles(folded) if each.bands and each.bands[0] == 0)
    assert bundle.count == len(first.pieces_mm) + len(other.pieces_mm)
    if not long:
        assert bundle.count == 1 and not other.pieces_mm
        row = next(row for row in cut_list(folded) if row.is_weaver)
        assert row.count == 1 and row.remark == "folded in half"
    else:
        assert any("folded, begins both" in line for line in pieced(folded))
    step = next(step for step in taught(folded) if step.title == "Set in 2 weavers")
    assert any("fold it" in line for line in step.does)


def test_a_kit_counts_the_joins_of_a_folded_weaver():
    made = begun("folded", True)
    cuts = tuple(cut for cut in made.cuts if cut.course is made.courses[0])
    colour = made.courses[0].begins.colours[0][0]
    ((joins, *_),) = _ways([(None, cuts)], {colour: 1}, 25.4).values()
    assert joins == sum(len(cut.pieces_mm) for cut in cuts) - 1
    assert joins == sum(join.band in made.courses[0].bands for join in made.all_joins)
