"""Where ends of a border meet, one lies on the other, the same all round; what is lifted at the close."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slype.borders.meetings import _meet, lies_on, lifts, meetings, pieces, places_under, threads
from slype.borders.rows import parse_border
from slype.borders.table import BORDERS
from slype.borders.work import work

KINDS = list(BORDERS.values())
every_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
BY_ROWS = [kind for kind in KINDS if kind.order is None]


def laid_by_hand(border, ends, lifted):
    """{(end, place, other end, other place): True where the first lies on top}, each piece laid in turn on all that it
    meets, but for what is lifted and what waits for it: an end in whose space it comes out from behind or is tucked."""
    below = {(m.space, m.lower.end, m.lower.place, m.upper.end, m.upper.place) for m in lifted}
    out = {}
    for space, found in pieces(border, work(border, ends)).items():
        for one, two in combinations(found, 2):
            if not _meet(one, two):
                continue
            waits = (two.back and one.stage < two.stage) or (
                two.down and one.rests and one.to == two.to and one.stage == two.stage - 1)  # fmt: skip
            under = waits or (space, two.end, two.place, one.end, one.place) in below
            out[one.end, one.place, two.end, two.place] = under
            out[two.end, two.place, one.end, one.place] = not under
    return out


def differing(border, ends, lifted):
    """Pairs of places at which the order is not the same all round."""
    seen = {}
    for (end, place, other, at), upper in laid_by_hand(border, ends, lifted).items():
        if end >= 0 and other >= 0:
            seen.setdefault((place, at), set()).add(upper)
    return {pair for pair, found in seen.items() if len(found) > 1}


@every_kind
def test_lifted_as_told_the_border_is_the_same_all_round(kind):
    for more in (0, 1, 5, 18):
        border, ends = kind.border, 2 * kind.border.smallest_ends + more
        assert differing(border, ends, lifts(border, ends)) == set(), f"{ends} ends"
        assert differing(border, ends, ()) != set(), "laid on top throughout, the close would show"


def by_move(found):
    out = {}
    for end, stage, other in found:
        out.setdefault((end, stage), set()).add(other)
    return {move: tuple(sorted(others)) for move, others in out.items()}


@every_kind
@pytest.mark.parametrize("more", [0, 7])
def test_what_is_lifted_and_lain_on_is_what_is_met_end_by_end(kind, more):
    border, ends = kind.border, 2 * kind.border.smallest_ends + more
    lifted = lifts(border, ends)
    assert threads(border, ends) == by_move((m.lower.end, m.lower.stage, m.upper.end) for m in lifted)
    for end, stage in threads(border, ends):
        spaces = {}
        for each in lifted:
            if (each.lower.end, each.lower.stage) == (end, stage):
                spaces.setdefault(each.upper.end, set()).add(each.space)
        placed = places_under(border, ends, end, stage)
        assert {other: placed[other] in found for other, found in spaces.items()} == dict.fromkeys(placed, True)
    if border.order is None:
        waiting = [m for m in meetings(border, ends) if m.lower.rests and m.lower.stage == m.upper.stage - 1
                   and m.lower.end < m.upper.end]  # fmt: skip
        assert lies_on(border, ends) == by_move((m.upper.end, m.upper.stage, m.lower.end) for m in waiting)


@every_kind
def test_not_one_end_less_need_be_lifted(kind):
    border, ends = kind.border, 2 * kind.border.smallest_ends + 6
    every = lifts(border, ends)
    for left_out in every:
        assert differing(border, ends, [each for each in every if each != left_out])


@every_kind
def test_each_pair_of_ends_meets_as_often_all_round(kind):
    border, ends = kind.border, 2 * kind.border.smallest_ends + 6
    if border.order is not None and kind.family == "plaited":  # extra reeds stand in for the last ones
        return
    apart = {}
    for each in meetings(border, ends):
        key = each.upper.place, each.lower.place
        apart.setdefault(key, []).append((each.lower.end - each.upper.end) % ends)
    assert apart
    for (upper, lower), found in apart.items():
        assert len(found) == ends, (upper, lower)
        assert set(found) == {(upper[1] - lower[1]) % ends}


@given(st.sampled_from(BY_ROWS), st.integers(0, 20))
def test_where_no_end_is_lifted_the_last_ones_lie_on_the_first(kind, more):
    border, ends = kind.border, 2 * kind.border.smallest_ends + more
    lifted = {row for _, row in threads(border, ends)}
    upon = {row for _, row in lies_on(border, ends)}
    assert lifted | upon == set(range(len(border.rows)))
    assert 0 in lifted and 0 not in upon  # of a first row all stand


# By hand --------------------------------------------------------------------------------------------------------


def from_the_last(found, ends):
    """{(ends from the last, row from 1): ends from 1}."""
    return {(ends - end, row + 1): tuple(each + 1 for each in under) for (end, row), under in found.items()}


@pytest.mark.parametrize(("rows", "lifted", "upon"), [
    # Row 2 lies on what comes out below it and nothing is lifted; in row 3 a tip goes behind the one that came in
    # there, and behind the one that has gone on past it.
    (("behind 1 out", "over 3 in", "over 2 down"), {(1, 1): (1,), (2, 3): (1,), (1, 3): (1, 2)},
     {(3, 2): (1,), (2, 2): (1, 2), (1, 2): (1, 2, 3), (1, 3): (1,)}),
    (("behind 1 out", "over 2 in"), {(1, 1): (1,)}, {(2, 2): (1,), (1, 2): (1, 2)}),
    # Coming out from behind, it is under the end that lies there, under the next, which goes in there over it, and
    # under what passes in front.
    (("behind 1 out", "over 1, behind 1 out"), {(1, 1): (1,), (2, 2): (1,), (1, 2): (1, 2)}, {(1, 2): (1,)}),
    (("behind 1 out", "over 2, behind 1 out"),
     {(1, 1): (1,), (3, 2): (1,), (2, 2): (1, 2), (1, 2): (1, 2, 3)}, {(2, 2): (1,), (1, 2): (1, 2)}),
    (("behind 2 out",), {(2, 1): (1,), (1, 1): (1, 2)}, {}),
    (("behind 1 out", "over 2 out", "over 1 down"), {(1, 1): (1,), (1, 3): (1,)}, {(2, 2): (1,), (1, 2): (1, 2)}),
])  # fmt: skip
def test_closed_by_hand(rows, lifted, upon):
    border = parse_border(rows)
    for ends in (20, 23):
        assert from_the_last(threads(border, ends), ends) == lifted
        assert from_the_last(lies_on(border, ends), ends) == upon


def test_on_32_the_last_tip_goes_down_at_space_7_under_1_and_2_and_the_one_before_at_6_under_1():
    border = parse_border(("behind 1 out", "over 3 in", "over 2 down"))
    assert places_under(border, 32, 31, 2) == {0: 6, 1: 6}
    assert places_under(border, 32, 30, 2) == {0: 5}
    assert places_under(border, 32, 31, 0) == {0: 1}


def test_on_too_few_ends_nothing_is_told():
    border = parse_border(("behind 1 out", "over 3 in"))
    assert border.smallest_ends == 5
    assert threads(border, 4) == {} == lies_on(border, 4)
    assert threads(border, 5)
