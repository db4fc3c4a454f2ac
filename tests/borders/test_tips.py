"""Where the tips of a border rest: words and curves say the same, and both follow the strokes."""

import numpy as np
import pytest
from strategies import basket

from slype.borders.rows import parse_border, path_of_end, trimmed_on
from slype.borders.sentences import closing
from slype.borders.table import BORDERS
from slype.lay.laying import lay
from slype.rest.curves import relaxed_curves
from slype.rest.relax import relax
from slype.surface.woven import stacked_curves

CLOSED = [name for name, kind in BORDERS.items() if not kind.border.is_open and not kind.foot]
ROWS = [
    ["behind 1 out", "over 2 in"], ["behind 1 out", "over 3 in", "over 2 down"], ["behind 1 out", "over 2 down"],
    ["behind 1 in", "over 2 out"], ["over 2 in", "behind 1 down"],
]  # fmt: skip
SIDE = {"outside": 1, "inside": -1}


def by_the_strokes(border):
    """An end that finishes out or in rests there; one that goes down rests on the face of the last spoke it passed."""
    finish = border.rows[-1].finish
    return {"out": "outside", "in": "inside"}.get(finish) or ("outside" if path_of_end(border)[-1][1] else "inside")


@pytest.fixture(scope="module", params=[*CLOSED, *map(tuple, ROWS)], ids=str)
def design(request):
    border = {"kind": request.param} if isinstance(request.param, str) else {"border": list(request.param)}
    made = basket(ends=30, base="8 in", rows=2, **border)
    return made


def test_the_last_sentence_of_closing_says_the_side_of_the_strokes(design):
    side, other = by_the_strokes(design.border), {"outside": "inside", "inside": "outside"}
    for ends in (None, design.top_ends):
        said = closing(design.border, ends)[-1]
        assert side in said and other[side] not in said, said
    assert trimmed_on(design.border) == side


def test_closing_a_border_of_rows_is_told_row_by_row_by_number(design):
    if design.border.order is None:
        said = closing(design.border, design.top_ends)[:-1]
        assert [line.split(":")[0] for line in said] == [f"Row {n + 1}" for n in range(len(design.border.rows))]


def ends_at(curves):
    return np.array([curve.n[-1] for curve in curves if curve.role == "border"])


def test_every_end_is_drawn_to_rest_on_that_side(design):
    tips = ends_at(stacked_curves(lay(design)))
    assert len(tips) == design.top_ends
    assert (tips * SIDE[by_the_strokes(design.border)] > 0.5).all(), tips


@pytest.mark.parametrize("rows", [["behind 1 out", "over 3 in", "over 2 down"], ["behind 1 out", "over 2 in"]])
def test_rows_at_rest_end_there_too(rows):
    made = basket(ends=24, rows=2, border=rows)
    tips = ends_at(relaxed_curves(relax(made)))
    assert (tips * SIDE[by_the_strokes(parse_border(rows))] > 0.5).all(), tips


@pytest.mark.parametrize("kind", ["three-rod plain", "three-row", "trac behind 1, over 2"])
def test_borders_by_name_at_rest_end_there_too(kind):
    made = basket(ends=24, rows=2, kind=kind)
    tips = ends_at(relaxed_curves(relax(made)))
    assert (tips * SIDE[by_the_strokes(made.border)] > 0.5).all(), tips
