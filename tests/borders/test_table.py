"""The borders of the trade: worked end by end, closed, told and drawn."""

import re
from collections import defaultdict

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket_text
from worked import bordered

from slype.borders import rows as b
from slype.borders.meetings import threads
from slype.borders.sentences import before, closing, lay_first, tips, trimmed_on
from slype.borders.table import BORDERS, FAMILIES, border_told, finishes, kind_named, named_as
from slype.borders.work import layers, rows_of, stand_ins, work
from slype.design.file.reader import parse
from slype.draw.borders import strip
from slype.errors import DesignError, Unweavable
from slype.quantity import MM_PER_IN
from slype.report.borders import drawn
from slype.sources import SOURCES
from slype.words import say

UNSEEN_MM = 0.1  # a third of the thinnest line drawn round a reed
KINDS = list(BORDERS.values())
ORDERED = [kind for kind in KINDS if kind.order is not None]
every_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
every_ordered_kind = pytest.mark.parametrize("kind", ORDERED, ids=lambda kind: kind.name)
kinds, counts_above = st.sampled_from(KINDS), st.integers(0, 40)
rods = st.builds(b.Rods, st.integers(3, 7), st.integers(0, 3), st.integers(1, 2), st.booleans())


# The work -------------------------------------------------------------------------------------------------------


def closes(border, ends):
    """Every end made the moves of the first, each once, and lies at its own place at last."""
    worked = work(border, ends)
    own = [p for p in worked.passes if p.end >= 0]
    assert {p.end for p in own} == set(range(ends))
    assert all(worked.of(end) == b.path_of_end(border) for end in range(ends))
    last = len(border.rows) - 1
    assert {worked.finishes[end, last] for end in range(ends)} == {border.rows[-1].finish}
    for end in range(ends):
        passed = [p.spoke for p in own if p.end == end]
        assert len(set(passed)) == len(passed), "an end meets itself"
    # Each spoke is passed by as many ends on each face as every other.
    on = defaultdict(int)
    for p in own:
        on[p.outside, p.spoke] += 1
    for face in (True, False):
        assert len({on[face, spoke] for spoke in range(ends)}) == 1


@given(kinds, counts_above)
def test_every_border_closes_on_every_count_from_its_smallest(kind, more):
    closes(kind.border, kind.border.smallest_ends + more)


@given(rods, counts_above)
def test_any_rod_border_closes_however_many_ends_are_laid_down_first(order, more):
    border = b.Border(rows_of(order), order)
    closes(border, border.smallest_ends + more)


@every_ordered_kind
def test_on_one_fewer_than_the_smallest_a_border_cannot_be_begun(kind):
    with pytest.raises(Unweavable, match="too few"):
        work(kind.border, kind.border.smallest_ends - 1)


def told_by_hand(*moves):
    """Passes of one end from a text: ("behind", 2) is behind spoke 2, counted from 1 like the books do."""
    return [(face == "front", spoke - 1) for face, spoke in moves]


@pytest.mark.parametrize(
    ("name", "way"),
    [
        # James, closed border 2: 1 behind 2; before 3, behind 4.
        ("two-rod plain", told_by_hand(("behind", 2), ("front", 3), ("behind", 4))),
        # Tinsley, heavy border: bent around the second; in front of the third and fourth, back of the fifth.
        ("three-rod plain", told_by_hand(("behind", 2), ("front", 3), ("front", 4), ("behind", 5))),
        # Gill model 28 and a British handbook's cake basket: behind one, in front of two, behind the fifth.
        ("behind 1, in front of 2", told_by_hand(("behind", 2), ("front", 3), ("front", 4), ("behind", 5))),
        # Gill model 19: four turned down, each behind 1; in front of one upright (the fifth), behind the next.
        (
            "four-rod plain",
            told_by_hand(("behind", 2), ("front", 3), ("front", 4), ("front", 5), ("behind", 6)),
        ),
    ],
)
def test_the_first_end_goes_where_the_books_send_it(name, way):
    worked = work(BORDERS[name].border, 24)
    assert [(p.outside, p.spoke) for p in worked.passes if p.end == 0] == way


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("two-rod plain", [(1, 0), (2, 0), (1, 1), (3, 0), (2, 1), (4, 0), (3, 1), (5, 0)]),  # James
        (
            "three-rod plain",
            [(1, 0), (2, 0), (3, 0), (1, 1), (4, 0), (2, 1), (5, 0), (3, 1), (6, 0), (4, 1)],
        ),  # Tinsley
        ("behind 1, in front of 2", [(1, 0), (2, 0), (3, 0), (4, 0), (1, 1), (5, 0), (2, 1)]),  # Gill model 28
    ],
)
def test_ends_take_their_turns_as_the_books_say(name, first):
    moves = list(dict.fromkeys((p.end + 1, p.stage) for p in work(BORDERS[name].border, 20).passes))
    assert moves[: len(first)] == first


def test_in_a_rod_border_the_back_rod_comes_out_beside_the_forward_one():
    worked = work(BORDERS["three-rod plain"].border, 20)
    last = {move: p.spoke for p in worked.passes for move in [(p.end, p.stage)]}
    # Tinsley: "there will be two between all the succeeding spokes": end 1 again and end 4, both behind spoke 5.
    assert last[0, 1] == last[3, 0] == 4
    assert all(last[end, 1] == last[end + 3, 0] for end in range(16))


def test_a_plait_has_two_pairs_outside_and_one_inside():
    worked = work(BORDERS["plaited with three pairs"].border, 24)
    for spoke in range(24):
        outside = {p.end for p in worked.passes if p.spoke == spoke and p.outside and p.end >= 0}
        inside = {p.end for p in worked.passes if p.spoke == spoke and not p.outside and p.end >= 0}
        assert len(outside) == 4 and len(inside) == 2


def test_in_a_plait_the_pair_laid_last_lies_uppermost():
    rank = layers(BORDERS["plaited with three pairs"].border)
    assert rank[0, 1] > rank[1, 4] > rank[0, 2] > rank[1, 5]
    assert rank[0, 3] > rank[1, 6]


# Closing --------------------------------------------------------------------------------------------------------


@given(kinds, st.integers(4, 30))
def test_only_ends_of_the_beginning_need_lifting(kind, more):
    border = kind.border
    ends = 2 * border.smallest_ends + more
    for (end, _), under in threads(border, ends).items():
        assert end >= ends - border.reach - 1
        assert max(under) <= border.reach


@every_ordered_kind
def test_closing_names_the_last_ends_and_the_first(kind):
    told = closing(kind.border, 40)
    assert told[-1] == tips(kind.border)
    assert any("last spoke (40)" in line for line in told[:-1])
    assert all(re.search(r"under spoke 1|under spoke \d", line) for line in told[:-1])
    named = {int(number) for line in told[:-1] for number in re.findall(r"\bspoke (\d+)", line.split(", under ")[1])}
    loose = next(line for line in lay_first(kind.border) if line.startswith("Leave"))
    assert {int(number) for number in re.findall(r"\d+", loose)} == named


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.order is None], ids=lambda kind: kind.name)
def test_each_row_says_where_its_last_end_comes_to_lie(kind):
    worked = work(kind.border, 40)
    told = closing(kind.border, 40)
    assert len(told) == len(kind.border.rows) + 1
    for stage, line in enumerate(told[:-1]):
        last = [p.spoke for p in worked.passes if (p.end, p.stage) == (39, stage)][-1]
        # Past that spoke, counted from 1: in the space after it, or down beside the next.
        where = f"beside spoke {last + 2}" if kind.border.is_open else f"between spokes {last + 1} and {last + 2}"
        assert line.endswith(f"The last spoke (40) comes to lie {where}.")


def test_a_two_rod_border_closed_by_hand_on_ten():
    # Ends 1 and 2 down; turns 1 to 10. End 10 goes behind spoke 1, below end 1's bend; ends 8, 9 and 10 then go on past
    # spokes whose ends are down already. End 10 comes out between spokes 3 and 4, where everywhere else the next end
    # goes in over it: there that is end 1.
    assert threads(BORDERS["two-rod plain"].border, 10) == {
        (7, 1): (0,),
        (9, 0): (0,),
        (8, 1): (0, 1),
        (9, 1): (0, 1, 2),
    }


def test_extra_reeds_of_a_plait_are_replaced_by_the_last_three_ends():
    plait = BORDERS["plaited with three pairs"].border
    assert stand_ins(plait, 24) == {-1: 21, -2: 22, -3: 23}
    assert sum("Draw out the extra reed" in line for line in closing(plait)) == 3
    assert stand_ins(BORDERS["plaited with three single reeds"].border, 24) == {}


@every_kind
def test_every_end_rests_on_a_stated_side(kind):
    side = trimmed_on(kind.border)
    if side == "pushed in":
        assert kind.family == "open" and "pushed in" in tips(kind.border)
    else:
        worked = work(kind.border, 30)
        finish = worked.finishes[0, len(kind.border.rows) - 1]
        last = [p.outside for p in worked.passes if p.end == 0][-1]
        assert side == {"out": "outside", "in": "inside", "down": "outside" if last else "inside"}[finish]


# Lengths --------------------------------------------------------------------------------------------------------


@given(kinds, st.floats(12.0, 40.0), st.floats(1.01, 1.6), st.floats(0.5, 2.5))
def test_every_border_needs_more_where_spokes_stand_further_apart(kind, spacing, wider, spoke):
    near, far = (b.border_need(kind.border, mm, spoke).length_mm for mm in (spacing, spacing * wider))
    assert far > near


@given(kinds, st.floats(20.0, 40.0), st.floats(1.0, 3.0))
def test_doubled_spokes_never_need_less(kind, spacing, spoke):
    one, two = (b.border_need(kind.border, spacing, spoke, per_end).length_mm for per_end in (1, 2))
    assert two >= one - 1e-9


@given(st.floats(5.0, 400.0), st.floats(12.0, 30.0), st.floats(1.5, 3.25))
def test_what_can_be_finished_is_what_the_ends_cover_longest_first(left, spacing, spoke):
    found = finishes(left, spacing, spoke)
    assert {one.kind.name for one in found} == set(BORDERS)
    needs = [one.need.length_mm for one in found if one.need]
    assert needs == sorted(needs, reverse=True)
    for one in found:
        if one.need:
            assert one.spare_mm == pytest.approx(left - one.need.length_mm)
            assert one.enough == (left >= one.need.length_mm - MM_PER_IN / 16)
            assert not (one.enough and one.just_short)
            if one.just_short:
                assert left >= one.need.range_mm[0] - 1e-9


def test_spokes_without_room_between_them_finish_nothing_and_say_why():
    found = finishes(300.0, 6.0, 3.25)
    assert found and all(one.need is None and "no room" in one.why_not for one in found)


# Records --------------------------------------------------------------------------------------------------------


@every_kind
def test_every_record_is_whole(kind):
    assert kind.family in FAMILIES and kind.help.endswith(".") and kind.source in SOURCES
    assert (kind.order is None) == bool(kind.rows)
    for name in (kind.name, kind.uk, *kind.also):
        if name:
            assert kind_named(name.upper()) is kind
    assert named_as(kind.border)


def test_the_table_holds_every_family_and_no_name_twice():
    assert {kind.family for kind in KINDS} == set(FAMILIES)
    names = [name.lower() for kind in KINDS for name in {kind.name, kind.uk, *kind.also} if name]
    assert len(names) == len(set(names))


@every_kind
def test_a_design_can_name_it(kind):
    text = basket_text(kind=kind.name)
    if kind.foot:
        with pytest.raises(DesignError, match="lower ends"):
            parse(text)
    else:
        assert parse(text).border == kind.border


@pytest.mark.parametrize(
    ("asked", "meant"),
    [("3-rod plain", "three-rod plain"), ("Three rod border", "three-rod plain"),
     ("  PLAIT ", "plaited with three pairs"), ("four row", "four-row"), ("rope border", "rope")],
)  # fmt: skip
def test_other_ways_to_name_a_border(asked, meant):
    assert border_told(asked) == BORDERS[meant].border


def test_a_board_may_name_its_foot():
    text = basket_text(base="6 in", wall=[["0 in", "5 1/2 in"], ["3 in", "6 in"]])
    for name in ("foot over 1, behind 1", "foot three-rod plain"):
        design = parse(text.replace("[form]", f'[base]\nkind = "board"\nfoot = "{name}"\n[form]'))
        assert design.base.foot == BORDERS[name].border
    with pytest.raises(DesignError, match=r'base, foot: .* Did you mean "foot border"\?'):
        parse(text.replace("[form]", '[base]\nkind = "board"\nfoot = "foot boarder"\n[form]'))


def test_a_scallop_may_be_named_for_any_reach():
    for reach in range(1, 13):
        assert border_told(f"open over {reach}") == b.parse_border([f"over {reach} in"])
    assert parse(basket_text(kind="open behind 7")).border == b.parse_border(["behind 7 in"])
    for none in ("open over 0", "open over 13", "scallop over 99999999999"):
        with pytest.raises(DesignError, match="1 to 12 spokes"):
            border_told(none)


@given(st.text(max_size=40))
def test_no_name_does_worse_than_a_refusal(text):
    for read in (border_told, kind_named):
        try:
            read(text)
        except DesignError as refused:
            assert str(refused)


def test_an_unknown_name_suggests_the_nearest():
    with pytest.raises(DesignError, match=r'Did you mean "three-rod plain"\?'):
        border_told("three rod plian")
    with pytest.raises(DesignError, match="either a kind or rows"):
        parse(basket_text(kind="rope", tail='rows = ["over 1 in"]'))


@pytest.mark.parametrize("order", [(0,), (9,), (3, 7), (1, 0, 1), (2, 0, 2), (3, 1, 5)])
def test_an_order_that_is_no_border_is_refused(order):
    with pytest.raises(DesignError):
        b.Rods(*order)


# Told and drawn -------------------------------------------------------------------------------------------------


@every_kind
@pytest.mark.parametrize("wording", ["us", "uk"])
def test_either_hand_is_told_the_other_way_round(kind, wording):
    def said(hand):
        return " ".join(say(line, wording, hand) for line in (*before(kind.border), *lay_first(kind.border)))

    right, left = said("right"), said("left")
    swapped = re.sub(r"\b(left|right)\b", lambda m: {"left": "right", "right": "left"}[m[0]], right)
    assert left == swapped and right != left
    assert ("stake" in right) == (
        wording == "uk" and "{spoke" in " ".join((*before(kind.border), *lay_first(kind.border)))
    )


@every_kind
def test_a_left_handed_line_is_the_mirror_of_a_right_handed_one(kind):
    mirror = str.maketrans("┗┛▸▹◂◃", "┛┗◂◃▸▹")
    assert drawn(kind.border, "left") == drawn(kind.border)[::-1].translate(mirror)
    assert drawn(kind.border).count("│") + drawn(kind.border).count("┯") == kind.border.reach


@every_kind
def test_a_left_handed_strip_is_the_mirror_of_a_right_handed_one(kind):
    wide = 8 * 19.05

    def places(hand):
        drawing, _ = strip(kind, 19.05, 3.25, hand)
        found = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", drawing)
        assert len(found) > 100
        return [(float(x), float(y)) for x, y in found]

    for (x, y), (mirrored, same) in zip(places("right"), places("left"), strict=True):
        assert x + mirrored == pytest.approx(wide, abs=0.011) and y == same


@pytest.mark.parametrize(
    "kind",
    [kind for kind in KINDS if not kind.foot and not kind.border.is_open],
    ids=lambda kind: kind.name,
)
def test_closed_borders_come_to_rest_without_passing_through_each_other(kind):
    rested = bordered(kind.name)
    part = rested.parts["border"]
    assert "border" not in rested.tangled
    assert len(part.built.lines) == 24
    assert part.rest.overlap_mm < UNSEEN_MM
