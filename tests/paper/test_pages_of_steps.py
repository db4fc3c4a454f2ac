"""How steps stand on the pages of a student's handout: what is shown from near is not small while there is room."""

import copy

import numpy as np
import pytest
from pages import pages_of
from worked import planned, without_drawings

from slype.paper.handout import CLOSE_WIDE, outline
from slype.paper.typeset import set_pages

MM = 72 / 25.4
CLOSE, WHOLE = 0.617, 0.913
"""How high the drawings of these tests are by their width: a close view, and all of the basket."""


def block(high):
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 {100 * high:.1f}"><rect width="100" ' \
           f'height="{100 * high:.1f}" fill="#804020"/></svg>'  # fmt: skip


def drawing(high, wide):
    return {"svg": block(high), "alt": "A drawing", "caption": "As drawn.", "wide": wide, "high": high}


def step(said, number, lines, *drawings):
    """A step of so many sentences with these drawings."""
    like = copy.copy(next(each for part in said["chapters"] for each in part["steps"] if each["drawings"]))
    blank = {"bundles": [], "table": None, "looks": [], "slips": [], "rows": [], "marks": [], "care": [], "words": []}
    return {**like, **blank, "number": number, "title": "A step", "does": ["Lead it on."] * lines,
            "drawings": list(drawings)}  # fmt: skip


@pytest.fixture(scope="module")
def said():
    """What a small basket's handout says, and nothing after its steps."""
    whole = without_drawings(outline(planned("posy"), "student"))
    return {**whole, "charts": [], "troubles": [], "trouble": "", "cautions": [], "measures": {"title": "Measures"}}


def stand(said, *steps):
    """Boxes (k, 4) in mm of the close views on the page of these steps, and of the views of all."""
    chapters = [{"title": "Some work", "steps": list(steps)}, last(said)]
    page = pages_of(set_pages("handout.typ", {**said, "chapters": chapters}))[1]
    assert "Some work" in page.text and f"\n{steps[-1]['number']}" in page.text and "The rest" not in page.text
    boxes = page.pictures / MM
    wide, high = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    found = [boxes[(wide > 20) & (np.abs(high - share * wide) < 0.5)] for share in (CLOSE, WHOLE)]
    return [each[[i for i in range(len(each)) if np.all(np.abs(each[:i] - each[i]).sum(axis=1) > 3.0)]]
            for each in found]  # without the frame that lies round each  # fmt: skip


def last(said):
    """A chapter that fills the page after: on the last page there is less room for what is larger."""
    return {"title": "The rest", "steps": [step(said, 90, 110)]}


def side_by_side(boxes):
    return bool(np.ptp(boxes[:, 1]) < 1.0)


def test_two_close_views_stand_one_below_the_other_as_wide_as_one_alone(said):
    boxes, _ = stand(said, step(said, 7, 12, drawing(CLOSE, 47.5), drawing(CLOSE, 47.5)), step(said, 8, 60))
    assert len(boxes) == 2 and not side_by_side(boxes)
    assert np.all(boxes[:, 2] - boxes[:, 0] > CLOSE_WIDE - 0.5)


def test_where_the_page_is_full_they_stand_side_by_side(said):
    boxes, _ = stand(said, step(said, 7, 8, drawing(CLOSE, 47.5), drawing(CLOSE, 47.5)), step(said, 8, 88))
    assert len(boxes) == 2 and side_by_side(boxes)


def test_two_close_views_come_before_one_alone_is_made_larger(said):
    """A single one grew until there was no room, and two beside it stayed 47 mm wide."""
    pair, alone = (drawing(CLOSE, 47.5), drawing(CLOSE, 47.5)), drawing(CLOSE, CLOSE_WIDE)
    steps = (3, (alone,)), (12, pair), (3, (alone,)), (18, ())
    boxes, _ = stand(said, *(step(said, 7 + k, lines, *found) for k, (lines, found) in enumerate(steps)))
    assert len(boxes) == 4
    assert np.all(boxes[:, 2] - boxes[:, 0] > CLOSE_WIDE - 0.5)


def test_a_view_of_all_beside_a_close_one_is_put_below_it_only_where_both_grow_by_a_fifth(said):
    """Below it they take much height, and a little larger they show no more."""
    pair = drawing(CLOSE, 47.5), drawing(WHOLE, 47.5)
    ways = set()
    for lines in range(63, 71, 2):
        close, whole = stand(said, step(said, 7, 10, *pair), step(said, 8, lines))
        wide = [*(close[:, 2] - close[:, 0]), *(whole[:, 2] - whole[:, 0])]
        assert len(wide) == 2
        if close[0, 1] + 5 < whole[0, 1]:  # below it
            assert min(wide) > 1.19 * 47.5, lines
        else:
            assert max(wide) < 48.5, lines
        ways.add(close[0, 1] + 5 < whole[0, 1])
    assert ways == {True, False}, "no page had so little room, or so much"


RULER = "When the ruler disagrees"


def with_chart(said, high):
    """Pages of a handout with one step, a chart so high by its width, and what is measured."""
    whole = without_drawings(outline(planned("posy"), "student"))
    chart = {"svg": block(high), "alt": "A chart", "wide": 170, "high": high, "bands": "band 1"}
    chapters = [{"title": "Some work", "steps": [step(said, 7, 12, drawing(CLOSE, CLOSE_WIDE))]}]
    words = {**said, "measures": whole["measures"], "charts": [chart], "paper": "us-letter", "chapters": chapters}
    return pages_of(set_pages("handout.typ", words))


@pytest.mark.parametrize("high", [0.8, 1.3, 1.6])
def test_a_chart_ends_above_the_foot_of_its_page(said, high):
    """Its spaces are numbered at its own foot: on the shorter paper these stood on the page's."""
    page = next(each for each in with_chart(said, high) if "\nChart" in f"\n{each.text}")
    tall = [box for box in page.pictures / MM if abs((box[3] - box[1]) - high * (box[2] - box[0])) < 0.5]
    assert tall and max(box[3] for box in tall) < page.high / MM - 18.0


def test_what_is_measured_stands_below_the_last_steps_where_the_chart_has_no_room_there(said):
    """It had a page of its own at the end, and the page of the last steps was half empty."""
    for high, order in ((0.6, ["Some work", "Chart", RULER]), (1.3, ["Some work", RULER, "Chart"])):
        pages = [f"\n{page.text}" for page in with_chart(said, high)]
        at = {title: next((k, page.index(f"\n{title}")) for k, page in enumerate(pages) if f"\n{title}" in page)
              for title in order}  # fmt: skip
        assert sorted(order, key=at.__getitem__) == order, (high, at)
        assert at["Some work"][0] == at[order[1]][0], at
        assert sum(page.count(RULER) for page in pages) == 1
