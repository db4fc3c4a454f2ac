"""Borders written as rows: what one end needs, how it closes, and on how few spokes."""

import itertools
import math

import pytest
from handbook_figures import table
from hypothesis import given
from hypothesis import strategies as st
from strategies import borders

from slype.borders import rows as b
from slype.borders.sentences import closing_by_rows
from slype.errors import DesignError, Unweavable
from slype.quantity import MM_PER_IN
from slype.rods import stack
from slype.sources import SOURCES

TURNERS_TENTH = 0.10  # Turner: the length "can be found by trial"
ROUNDING = 1e-9
THREE_ROWS = ["behind 1 out", "over 3 in", "over 2 down"]


def walk(border, start, ends):
    """Every (row, face, spoke) that the end of spoke `start` touches, walked on a ring of `ends` spokes."""
    at, inside, out = start + 1, False, []
    for number, row in enumerate(border.rows):
        for over, count in row.legs:
            for _ in range(count):
                out.append((number, "outside" if over != inside else "inside", at % ends))
                at += 1
        inside = row.finish == "in"
    return out


# Lengths -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", table("turner_open_borders.csv"), ids=lambda row: row["border"])
@pytest.mark.parametrize("spoke_mm", [2.25, 2.75, 3.25])
def test_open_borders_need_what_turner_allows(row, spoke_mm):
    # Turner ch. II, spokes about 1 in apart; he gives no reed, so three usual ones.
    need = b.border_need(b.parse_border([row["row"]]), MM_PER_IN, spoke_mm).length_mm / MM_PER_IN
    assert float(row["low_in"]) * (1 - TURNERS_TENTH) <= need <= float(row["high_in"]) * (1 + TURNERS_TENTH)


def test_an_open_border_grows_evenly_with_the_spokes_it_passes():
    needs = [b.border_need(b.parse_border([f"over {n} in"]), MM_PER_IN, 2.75).length_mm for n in (1, 2, 3, 4)]
    steps = [b - a for a, b in itertools.pairwise(needs)]
    assert max(steps) - min(steps) < ROUNDING
    # Turner's middles grow by 1 1/2, 1 3/4 and 1 1/2 in: 1 7/12 on the mean.
    assert steps[0] / MM_PER_IN == pytest.approx((7.5 - 2.75) / 3, rel=2 * TURNERS_TENTH)


@given(borders(), st.floats(10.0, 60.0), st.floats(0.5, 4.5))
def test_every_part_is_counted_and_has_a_source(rows, spacing, spoke):
    border = b.parse_border(rows)
    need = b.border_need(border, spacing, spoke)
    assert need.length_mm == pytest.approx(sum(mm for _, mm, _, _ in need.parts))
    assert all(mm >= 0 and why and source in SOURCES for _, mm, why, source in need.parts)
    assert need.range_mm[0] <= need.length_mm <= need.range_mm[1]


@given(borders(), st.floats(12.0, 40.0), st.floats(1.01, 1.5), st.floats(0.5, 2.0))
def test_spokes_further_apart_need_longer_ends(rows, spacing, wider, spoke):
    border = b.parse_border(rows)
    near, far = (b.border_need(border, mm, spoke).length_mm for mm in (spacing, spacing * wider))
    path = border.reach * spacing * (wider - 1)
    # Passages crimp less in wider spacing, so the gain may fall a little short of the longer path.
    assert far - near > 0.5 * path


@given(borders(), st.floats(20.0, 40.0), st.floats(1.0, 3.0))
def test_one_spoke_more_to_pass_needs_about_one_spacing_more(rows, spacing, spoke):
    border = b.parse_border(rows)
    legs = border.rows[0].legs
    longer = b.Border((b.Row(((legs[0][0], legs[0][1] + 1), *legs[1:]), border.rows[0].finish), *border.rows[1:]))
    gain = b.border_need(longer, spacing, spoke).length_mm - b.border_need(border, spacing, spoke).length_mm
    if not border.is_open:
        assert gain == pytest.approx(spacing)
    else:
        assert spacing < gain < spacing * math.pi / 2


def test_the_three_row_border_reckoned_by_hand():
    # Behind 1 out, over 3 in, over 2 down: 6 spokes passed, 2 passages through the wall. Spokes 3.25 mm, 20 mm apart.
    border = b.parse_border(THREE_ROWS)
    need = b.border_need(border, 20.0, 3.25)
    path = (6 + 0.5) * 20
    bends = 2 * 20 * float(stack.springy_crimp(6.5 / 20)) + math.pi / 2 * 1.5 * 3.25
    assert b.crossings(border) == 2
    assert need.length_mm == pytest.approx(path + bends + 8 * 3.25 + 4 * 3.25)


def test_spokes_that_leave_no_room_between_them_are_refused():
    with pytest.raises(Unweavable, match="no room"):
        b.border_need(b.parse_border(THREE_ROWS), 6.0, 3.0)


# Path and closing ----------------------------------------------------------------------------------------------


@given(borders(), st.integers(3, 40))
def test_an_end_touches_the_sites_that_fingers_find(rows, ends):
    border = b.parse_border(rows)
    faces = [(row, "outside" if out else "inside", spoke % ends) for row, out, spoke in b.path_of_end(border)]
    assert faces == walk(border, 0, ends)


@given(borders())
def test_on_the_smallest_count_no_end_meets_itself_and_on_fewer_one_does(rows):
    border = b.parse_border(rows)
    ends = border.smallest_ends

    def meets(count):
        for start in range(count):
            spokes = [spoke for _, _, spoke in walk(border, start, count)]
            if len(set(spokes)) < len(spokes) or start in spokes:
                return True
        return False

    assert not meets(ends) and not meets(ends + 1)
    # One fewer either meets itself, or leaves a row no spoke to stand while another is laid, or is no ring of spokes.
    assert meets(ends - 1) or ends - 1 < max(row.reach for row in border.rows) + 2 or ends == 3


@given(borders(), st.integers(0, 30))
def test_no_two_ends_claim_one_place_in_the_same_turn_of_a_row(rows, more):
    # Ends worked one after the other at the same move reach one place only if they start from one spoke.
    border = b.parse_border(rows)
    ends = border.smallest_ends + more
    walks = [walk(border, start, ends) for start in range(ends)]
    for step in range(len(walks[0])):
        assert len({sites[step] for sites in walks}) == ends


def test_small_counts_known_by_hand():
    assert b.parse_border(THREE_ROWS).smallest_ends == 7  # six spokes passed and its own
    assert b.parse_border(["over 1 in"]).smallest_ends == 3
    assert b.parse_border(["behind 1 out", "over 1 in"]).smallest_ends == 3


@given(borders())
def test_closing_speaks_of_every_row_and_of_the_tips(rows):
    border = b.parse_border(rows)
    told = [*closing_by_rows(border), b.row_tips(border)]
    assert len(told) == len(border.rows) + 1
    for row, text in zip(border.rows, told, strict=False):
        assert text.startswith(("leave the first ", "leave spoke", "nothing is lifted; "))
        assert row.words() in text
    assert told[0].startswith("leave the first ")  # of a first row all stand
    assert "the tips" in told[-1].lower()


def test_passages_through_the_wall_are_counted_from_face_to_face():
    counts = {
        ("behind 1 out", "over 3 in", "over 2 down"): 2,
        ("behind 1 out", "behind 1 out"): 3,
        ("over 1 in", "over 1 out"): 2,
        ("behind 1 out", "over 2 down"): 1,
        ("behind 1 out", "over 2 behind 1 in"): 2,
    }
    assert {rows: b.crossings(b.parse_border(list(rows))) for rows in counts} == counts


# Reading -------------------------------------------------------------------------------------------------------


@given(borders())
def test_a_border_in_words_reads_back_as_the_same_border(rows):
    border = b.parse_border(rows)
    assert b.parse_border([row.words() for row in border.rows]) == border
    assert b.parse_border("; ".join(rows)) == border
    assert b.parse_border(", ".join(rows)) == border
    assert b.parse_border(", then ".join(rows).upper()) == border
    assert b.parse_border(border.words()) == border


@pytest.mark.parametrize(
    ("text", "legs", "finish"),
    [
        ("in front of 2 and in", ((True, 2),), "in"),
        ("before 1 out", ((True, 1),), "out"),
        ("under 1 out", ((False, 1),), "out"),
        ("Behind 2, over 1 and down", ((False, 2), (True, 1)), "down"),
    ],
)
def test_other_ways_to_say_a_row(text, legs, finish):
    assert b.parse_row(text) == b.Row(legs, finish)


@pytest.mark.parametrize(
    "text",
    ["", "out", "behind out", "behind 1", "behind 1 sideways", "over 0 in", "over 13 in", "over -1 in", "over 1.5 in",
     "over one in", "behind 1 out in", "beside 1 in", "over 99999999999999999999 in", "over 1 in x" * 50, None, 3,
     ["over 1 in"]],
)  # fmt: skip
def test_a_row_that_cannot_be_read_is_refused_naming_its_place(text):
    with pytest.raises(DesignError) as refused:
        b.parse_row(text, "border, row 2")
    assert "border, row 2" in str(refused.value)


@given(st.text(max_size=60))
def test_no_text_does_worse_than_a_refusal(text):
    for parse in (b.parse_row, b.parse_border):
        try:
            parse(text)
        except DesignError as refused:
            assert str(refused)


@pytest.mark.parametrize("rows", [None, [], {}, 3, ["over 1 in"] * 9, ["over 1 down", "over 1 in"], [["over 1 in"]]])
def test_a_border_that_cannot_be_read_is_refused(rows):
    with pytest.raises(DesignError):
        b.parse_border(rows)


@pytest.mark.parametrize("spoke_mm", [1.75, 2.25, 3.25, 4.25])
def test_what_fingers_hold_follows_the_reed_and_its_range_begins_at_none(spoke_mm):
    """Two inches at every end took 4 of a small basket's 20 in; a published list of through-spokes has none."""
    need = b.border_need(b.parse_border(THREE_ROWS), 20.0, spoke_mm)
    parts = {name: mm for name, mm, _, _ in need.parts}
    assert parts["fingers"] / spoke_mm == pytest.approx(8) and parts["tail"] / spoke_mm == pytest.approx(4)
    assert need.range_mm[0] == pytest.approx(need.length_mm - parts["fingers"])
    assert need.range_mm[0] < need.length_mm < need.range_mm[1]
    assert b.border_need(b.parse_border(THREE_ROWS), 20.0, spoke_mm).length_mm < 6.5 * 20 + 2 * 20 + 20 * spoke_mm
