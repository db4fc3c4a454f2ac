"""A border of soaked reed, worked by hands: it lies down, holds together, and keeps the shape it was pressed into."""

from dataclasses import replace

import numpy as np
import pytest
from strategies import basket, basket_by_chance
from worked import rested

from slype.design.file.reader import parse
from slype.lay import laying
from slype.rest import borders, first_rows, hands, reeds, relax, wedges
from slype.rest.edge import Edge
from slype.rods import wall as rod_wall
from slype.space.feet import foot_curves

THREE_ROWS = ("behind 1 out", "over 3 in", "over 2 down")
HAIR = 0.3  # mm: a seventh of a reed of this wall
HARDLY = 0.02  # thicknesses: less than any reed is true


@pytest.fixture(scope="module")
def laid():
    """The rods of a three-row border on the last row of a low wall at rest, and that row."""
    plan = laying.lay(basket(ends=20, weave="three-rod wale", rows=2, border=THREE_ROWS))
    below = reeds.build(plan, "side")
    at = rod_wall.relax(below.wall, 300, relax.MOST_OVERLAP, relax.BALANCE).at
    return borders.build_border(plan, below, at), below, at


def brought_to_rest(work, built):
    return work(built.wall, relax.MOST_SWEEPS, relax.MOST_OVERLAP, relax.BALANCE)


@pytest.fixture(scope="module")
def worked(laid):
    return brought_to_rest(hands.work, laid[0])


def stands(built, rest):
    """How high the ends stand over the highest place of the last row, in thicknesses, round the border (stations,)."""
    mine = np.arange(built.wall.off[len(built.lines)])
    high = np.zeros(built.ends * built.stations)
    np.maximum.at(high, built.wall.station[mine], rest.at[mine, 0] + built.wall.r[mine])
    thick = built.lines[0].thick_mm
    last_row = built.wall.at[mine[-1] + 1 :, 0] + built.wall.r[mine[-1] + 1 :]
    return (high - last_row.max()) / thick


def test_a_border_pressed_by_hands_lies_lower_than_springy_reed(laid, worked):
    built = laid[0]
    springy = brought_to_rest(rod_wall.relax, built)
    assert worked.done and springy.done
    assert stands(built, worked).mean() < stands(built, springy).mean() - 0.15


def test_a_packed_border_stands_as_high_as_its_longest_row_has_ends_on_each_other(laid, worked):
    # Row 2 passes three spokes: three ends lie on each other. Handbooks give no height (none of those in handbooks.md).
    assert stands(laid[0], worked).mean() == pytest.approx(3.0, abs=0.35)


def test_no_end_of_a_border_lies_in_another_nor_in_the_row_below_once_hands_let_go(worked):
    assert rod_wall.worst_overlap(worked) < HARDLY * 2 * worked.wall.radius.max()


def test_the_last_row_stays_where_it_lies_under_the_hands(laid, worked):
    held = np.arange(laid[0].wall.off[len(laid[0].lines)], laid[0].wall.nodes)
    assert len(held) > 100
    assert worked.at[held] == pytest.approx(laid[0].wall.at[held], abs=1e-4)


def test_a_border_that_hands_would_press_into_itself_lies_as_hard_rods(laid, monkeypatch):
    monkeypatch.setattr(hands, "PRESSED_BY", (500.0,))
    built = laid[0]
    assert brought_to_rest(hands.work, built).at == pytest.approx(brought_to_rest(rod_wall.relax, built).at)


def bent_rod(share):
    """A rod held at both ends and bent up between them by a hand, let go once so much of its bend is its own shape."""
    stations = np.arange(25)
    wall = replace(
        reeds.build(laying.lay(basket(ends=24, rows=1)), "side").wall,
        off=np.array([0, 25]), at=np.c_[np.zeros(25), np.zeros(25)], station=stations, h=np.ones(25),
        bend=np.array([100.0]), pull=np.array([0.0]), radius=np.array([1.0]), scale=np.full(25, 200.0),
        load=np.zeros((25, 2)), floor=np.full(25, -99.0), post_side=np.zeros(25, np.int64), post_clear=np.zeros(25),
        pinned=np.isin(stations, (0, 24)), pile=None, rank=None,
    )  # fmt: skip
    bent = np.c_[np.sin(stations / 24 * np.pi), np.zeros(25)]
    return rod_wall.relax(rod_wall.with_set(wall, bent, share), 3000, 1e-4, 1e-4).at[:, 0]


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_reed_keeps_the_share_of_its_bend_that_it_has_taken_as_its_shape(share):
    assert bent_rod(share)[12] == pytest.approx(share, abs=0.05)


def test_ends_of_a_border_are_hard_rods_where_that_is_asked():
    design = basket(ends=12, weave="pairing", rows=1, border=THREE_ROWS)
    hard, soft = (relax.relax(design, by_hands=by_hands).parts["border"] for by_hands in (False, True))
    mine = slice(0, hard.built.wall.off[len(hard.built.lines)])
    assert soft.at[mine, 0].mean() < hard.at[mine, 0].mean() - 0.1


BASE = """
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 6
rows = 3

[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
until = "5.8 in"
"""


def test_the_first_row_of_a_wall_comes_down_beside_the_edge_of_a_woven_base():
    low = {}
    for before in (BASE, ""):
        plan = laying.lay(basket(ends=24, weave="three-rod wale", rows=3, before=before))
        built = reeds.build(plan, "side")
        at = rod_wall.relax(built.wall, 1000, relax.MOST_OVERLAP, relax.BALANCE / 5, friction=relax.FRICTION).at
        first = (built.row == 0) & built.woven
        between = np.abs(built.u % 1) < 0.2  # in the spaces, where the last row of the base dips
        faces = (at[:, 1] > 2.0, between & (np.abs(at[:, 1]) < 1.0), ~between & (at[:, 1] < -2.0))
        low[before] = [at[first & face, 0].mean() - plan.turn_mm for face in faces]
    (outside, through, inside), plain = low[BASE], low[""]
    assert outside < plain[0] - 1.0 and through < plain[1] - 0.5
    assert outside < through < inside


@pytest.mark.parametrize("name", ["posy", "quayside", "saltmarsh", "estuary"])
def test_hands_set_a_wall_down_on_its_woven_base_and_it_stands_there(name):
    """Springy reed that begins higher hangs there, and the ring between base and wall stays open."""
    side = rested(name).parts["side"]
    wall, low = side.built.wall, np.full(side.built.ends * side.built.stations, np.inf)
    np.minimum.at(low, wall.station[side.built.woven], (side.built.stacked[:, 0] - wall.floor)[side.built.woven])
    assert reeds.SET_DOWN - 0.05 < np.mean(low < 0.01) < 0.5, "so many of its places touch the base"
    at = np.full(len(low), np.inf)
    np.minimum.at(at, wall.station[side.built.woven], (side.rest.at[:, 0] - wall.floor)[side.built.woven])
    assert at.mean() < 0.7 * wall.r.max() and at.min() > -HARDLY * 2 * wall.r.max()
    first = rested(name).laid.side[0]
    assert first.start_s == pytest.approx(rested(name).stacked.turn_mm - side.built.down_mm)


@pytest.mark.parametrize(
    ("n", "least"), [(-4.0, 0.5), (-2.9, 2.7), (-1.0, 4.0), (0.0, 4.0), (1.5, 3.4), (2.5, 0.5), (4.0, 0.5)]
)
def test_beside_the_edge_a_reed_lies_on_the_flank_of_the_last_row_or_beside_the_sticks(n, least):
    """A row 1 mm within the foot, 2 mm above the middle of the sticks, both reeds 2 mm thick. What begins outside of
    the row may be drawn in by half its thickness; lower than a quarter of it above the sticks' middle none comes."""
    edge = Edge(np.array([[-1.0, np.nan]]), np.array([[2.0, np.nan]]), np.array([1.0]), False, 4.0, 0.0, 1.0)
    low = edge.least(np.array([0, 1]), 5.0 * np.ones(2), n * np.ones(2), np.ones(2))
    assert low == pytest.approx([least, 0.5], abs=0.11)
    assert edge.least(np.array([0]), np.array([40.0]), np.array([n]), np.ones(1)) == 5.0, "never asked so high up"


def test_where_the_base_reaches_beyond_the_foot_only_what_passes_outside_comes_lower():
    edge = Edge(np.array([[1.0]]), np.array([[2.0]]), np.array([1.0]), True, 4.0, 0.0, 1.0)
    low = edge.least(np.zeros(3, int), 5.0 * np.ones(3), np.array([-2.0, 1.0, 2.0]), np.ones(3))
    assert low == pytest.approx([5.0, 3.0, 1.0])


@pytest.fixture(scope="module")
def on_base():
    """A wall of twelve rows beside a woven base, as it is begun, and as hands begin it that rap its first rows down."""
    built = reeds.build(laying.lay(basket(ends=24, weave="three-rod wale", rows=12, before=BASE)), "side")
    return built, first_rows.set_down(built)


def lies(built, rows):
    """How high the nodes of these rows begin, mm."""
    return built.wall.at[built.woven & (built.row >= rows[0]) & (built.row < rows[1]), 0]


def test_the_first_rows_beside_a_woven_base_are_rapped_down_and_all_else_is_woven_on_them(on_base):
    plain, rapped = on_base
    thick = 2 * plain.wall.radius.max()
    first, above = (lies(plain, rows) - lies(rapped, rows) for rows in ((0, 2), (2, 12)))
    assert first.mean() > 0.15 * thick
    assert first.mean() < above.mean() < first.max(), "no gap opens above them"
    far = (11, 12)
    assert np.ptp(lies(rapped, far)) < np.ptp(lies(plain, far)) + 0.1 * thick, "far above it lies as level as ever"


def test_what_is_rapped_down_keeps_its_order_and_lies_in_nothing(on_base):
    plain, rapped = on_base
    assert rapped.wall.order == pytest.approx(plain.wall.at)
    rest = rod_wall.relax(rapped.wall, 400, relax.MOST_OVERLAP, relax.BALANCE, friction=relax.FRICTION)
    assert rest.done and rod_wall.worst_overlap(rest) < HARDLY * 2 * plain.wall.radius.max()
    assert (rest.at[:, 0] - rapped.wall.floor).min() > -HARDLY


def test_reeds_that_rapping_would_drive_into_each_other_are_left_as_they_begin(on_base, monkeypatch):
    monkeypatch.setattr(first_rows, "HARDER", 500.0)
    assert first_rows.set_down(on_base[0]) is on_base[0]


def test_a_wall_in_which_reeds_would_change_places_so_is_begun_without():
    # Of a hundred sound baskets by chance the one whose wall, a chase on a base of a single row, was lost for that.
    assert not relax.relax(parse(basket_by_chance(60033))).laid.unsettled


def test_without_a_woven_base_below_nothing_is_rapped_down():
    built = reeds.build(laying.lay(basket(ends=24, weave="three-rod wale", rows=3)), "side")
    assert first_rows.set_down(built) is built


ON_IT = """
[[band]]
where = "side"
weave = "chasing"
reed = "round 3"
rows = 3
start = 5
"""


def wedge_below_the_second_band():
    plan = laying.lay(basket(ends=24, weave="three-rod wale", rows=2, after=ON_IT))
    built = reeds.build(plan, "side")
    at = rod_wall.relax(built.wall, 300, relax.MOST_OVERLAP, relax.BALANCE).at[:, 0]
    radius, station = built.wall.r, built.wall.station
    band = np.repeat([line.band for line in built.lines], np.diff(built.wall.off))
    top, low = np.full(built.ends * built.stations, -np.inf), np.full(built.ends * built.stations, np.inf)
    under, on = band == 0, (band == 1) & built.woven & (built.row == 0)
    np.maximum.at(top, station[under], at[under] + radius[under])
    np.minimum.at(low, station[on], at[on] - radius[on])
    return np.maximum(low - top, 0.0)[np.isfinite(low)].mean()


def test_rows_rapped_down_leave_lower_wedges_where_a_band_begins(monkeypatch):
    rapped = wedge_below_the_second_band()
    monkeypatch.setattr(hands, "FIRM", 0.0)
    assert rapped < 0.95 * wedge_below_the_second_band()


def test_wedges_where_a_band_begins_on_another_are_rapped_down_by_hands_and_stay_so():
    side = rested("estuary").parts["side"]
    _, before = wedges.open_spaces(side.built, side.laid.at)
    _, after = wedges.open_spaces(side.built, side.rest.at)
    assert len(before) and side.rest.done
    assert after.sum() < 0.5 * before.sum()
    assert rod_wall.worst_overlap(side.rest) < HARDLY * 2 * side.built.wall.radius.max()


@pytest.mark.parametrize("name", ["posy", "quayside", "saltmarsh"])
def test_a_basket_without_wedges_is_not_rapped(name):
    side = rested(name).parts["side"]
    assert not len(wedges.open_spaces(side.built, side.rest.at)[0]) and side.laid is None


def test_a_border_lies_as_low_however_many_edits_came_before():
    design = basket(ends=12, weave="pairing", rows=2, border=THREE_ROWS)
    rest = first = relax.relax(design)
    for _ in range(3):
        rest = relax.relax(design, before=rest)
    (low, was) = (stands(each.parts["border"].built, each.parts["border"].rest).mean() for each in (rest, first))
    assert low == pytest.approx(was, abs=HARDLY)


def test_a_wall_that_was_rapped_lies_as_low_however_many_edits_came_before(estuary):
    first = rested("estuary")
    second = relax.relax(estuary, before=first)
    third = relax.relax(estuary, before=second)
    assert third.laid.top_s == pytest.approx(first.laid.top_s, abs=HAIR)
    _, was = wedges.open_spaces(first.parts["side"].built, first.parts["side"].rest.at)
    for each in (second, third):
        assert each.parts["side"].laid is not None
        assert wedges.open_spaces(each.parts["side"].built, each.parts["side"].rest.at)[1].sum() <= was.sum() + HAIR


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("foot", ['["behind 1 out", "over 1 down"]', '["behind 1 out", "over 3 in", "over 2 down"]'])
def test_the_foot_of_a_board_is_pressed_on_to_it_as_a_border_is_on_to_the_last_row(foot, hand):
    board = f'[base]\nkind = "board"\nfoot = {foot}\n'
    design = basket(ends=24, base="6 3/4 in", wall=[["0 in", "6 in"], ["2 in", "6 in"]], rows=3, tail=board, hand=hand)
    worked, springy = relax.relax(design), relax.relax(design, by_hands=False)
    pressed, sprung = (
        [-curve.s - design.base.thickness_mm for curve in foot_curves(each.laid) if curve.role == "border"]
        for each in (worked, springy)
    )
    thick = design.spokes.reed.diameter_mm
    assert len(pressed) == 24 and worked.together.worst < 0.05
    deep, springy_deep = (np.mean([each.max() for each in of]) for of in (pressed, sprung))  # below the board
    assert deep < springy_deep - 0.1 * thick
    for end in pressed:
        assert end[0] == pytest.approx(0) and end[-5:].min() > 0.49 * thick, "its end lies below the board, not in it"
