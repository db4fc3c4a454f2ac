"""The chart and the drawings of slips as they are counted from: what is ringed, what is left out, what looks alike."""

import functools
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from strategies import basket
from worked import planned_as

import slype
from slype.colour import REED_COLOURS, lab_from_rgb, rgb_of
from slype.design.file import reader
from slype.draw.hatching import ALIKE, ruled, rules
from slype.draw.squares import WIDE, _arrow_at, _starts, _width, reading, squares_by_page, swatch
from slype.figures.strips import trouble_svg
from slype.lay.chart import seen_rows
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.plans import planning
from slype.teach.step.bench import Bench
from slype.teach.troubles import troubles


@functools.cache
def planned(name, hand="right"):
    return planned_as(name, hand, "us")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_chart_that_leaves_spokes_out_shows_where_every_band_begins_and_says_what_to_do_for_the_others(hand):
    plan = planned("quayside", hand)
    shown, lead = _width(plan)
    assert shown < plan.design.top_ends
    assert all(_arrow_at(band, _starts(band)[1], shown, lead) is not None for band in plan.laid.side)
    found = re.search(r"leaves out spokes (\d+) to (\d+): go on there", " ".join(reading(plan)))
    first, last = map(int, found.groups())
    numbers = {int(n) for piece in squares_by_page(plan)
               for n in re.findall(r'y="5" text-anchor="middle">(\d+)<', piece.drawing[0])}  # fmt: skip
    assert numbers == set(range(1, plan.design.top_ends + 1)) - set(range(first, last + 1))
    assert "leaves out" not in " ".join(reading(planned("posy")))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_each_new_start_of_a_band_has_an_arrow_at_its_space_and_every_row_its_number(hand):
    """Blocks begin anew where colours jump: one arrow stood for all of them, below rows that begin elsewhere."""
    plan = planned("estuary", hand)
    order, (piece,) = moments(plan.laid), squares_by_page(plan)
    svg = piece.drawing[0]
    arrows = re.findall(r'<path d="M([\d.]+) (-?[\d.]+)v2\.2l', svg)
    band = next(each for each in plan.laid.side if len(each.segments) > 1)
    blocks = len(band.segments)
    assert len(arrows) == len(plan.laid.side) - 1 + blocks > len(plan.laid.side)
    first = {}  # by block the space of its first stroke, as the hands make it
    for m in np.flatnonzero((order.act == ACTS.index("stroke")) & (order.band == band.index) & (order.of < 0)):
        first.setdefault(int(order.block[m]), int(order.space[m]))
    shown = plan.design.top_ends
    at = sorted((float(x) for x, y in arrows), reverse=hand == "left")
    want = [(shown - space if hand == "left" else space) * WIDE for space in first.values()]
    assert len(first) == blocks and all(x in at for x in want)
    said = " ".join(reading(plan))
    told = re.search(r"starts anew in rows ([\d, and]*), from spaces ([\d, and]*)\.", said)
    rows, spaces = (list(map(int, re.findall(r"\d+", each))) for each in told.groups())
    assert rows == [row + 1 for row, *_ in band.segments[1:]]
    assert spaces == [space + 1 for space in list(first.values())[1:]]
    numbers = [int(n) for n in re.findall(r'<text x="-2" [^>]*>(\d+)<', svg)]
    assert numbers == [row for each in plan.laid.side for row in range(1, each.rows + 1)]


@pytest.mark.parametrize("name, hand", [("estuary", "right"), ("quayside", "left"), ("saltmarsh", "right")])
def test_the_square_of_a_first_stroke_lies_further_on_than_its_arrow(name, hand):
    """Above the arrow itself lies the square of a stroke that closes the row: it was taken for the first."""
    plan = planned(name, hand)
    assert f"further to the {'left' if hand == 'left' else 'right'}" in " ".join(reading(plan))
    for band in plan.laid.side:
        row, space = seen_rows(plan.laid, band)[0], _starts(band)[1]
        edge = band.ends - space if hand == "left" else space  # of the chart, from its left
        over = band.band.weave.cycle[0][0]
        middles = [(a + b) / 2 for a, b, _ in row]
        way = -1 if hand == "left" else 1
        passed = [m for m in middles if abs((m - edge - way * over / 2) % band.ends) < 0.3
                  or abs((m - edge - way * over / 2) % band.ends - band.ends) < 0.3]  # fmt: skip
        assert len(passed) == 1, (band.index, over, middles)


def test_of_a_wale_over_three_it_is_said_that_a_square_stands_over_the_middle_one():
    assert "In band 3 a square stands over the middle one of the 3 spokes that its stroke passes." in reading(
        planned("quayside")
    )
    assert not any("middle one" in line for line in reading(planned("estuary")))


def test_colours_that_differ_little_in_lightness_are_ruled_otherwise():
    palette = {name: each.hex for name, each in REED_COLOURS.items()}
    found = ruled({name: palette[name] for name in ("natural", "sand", "rust", "slate")})
    assert found["natural"] != found["sand"] and found["rust"] != found["slate"]
    light = {name: lab_from_rgb(rgb_of(shade))[0] for name, shade in palette.items()}
    every = sorted(palette, key=lambda name: -light[name])
    ways = ruled(palette)
    assert all(ways[a] != ways[b] for a, b in pairwise(every) if light[a] - light[b] < ALIKE)
    assert "<path" in swatch(planned("estuary"), "sand") and "<path" not in swatch(planned("estuary"), "natural")


@pytest.mark.parametrize("way", ["/", "\\"])
def test_what_rules_a_square_stays_within_it(way):
    left, top, wide, high = box = (3.0, -7.0, 6.0, 2.5)
    points = [tuple(map(float, each.split())) for each in re.findall(r"-?[\d.]+ -?[\d.]+", rules(way, box, "#dcc39a"))]
    assert len(points) >= 8
    assert all(left <= x <= left + wide and top <= y <= top + high for x, y in points)


def test_a_slip_in_a_weave_of_several_reeds_shows_their_colours_lying_level():
    plan = planned("quayside")
    slip = troubles(Bench(plan))[0]
    band = next(each for each in plan.laid.bands if each.index == slip.band)
    assert slip.colours[0] == band.colours and len(set(band.colours[0])) == 2
    svg = trouble_svg(Bench(plan), slip)
    for name in set(band.colours[0]):
        assert svg.count(f'stroke="{REED_COLOURS[name].hex}"') > 20
    bars = re.findall(r'd="M\S+ (-?[\d.]+)C[^"]*? (-?[\d.]+)" stroke="#', svg)
    assert bars and all(a == b for a, b in bars)


@pytest.mark.parametrize("name", ["posy", "quayside", "estuary"])
def test_the_ring_lies_on_what_is_passed_by_where_a_stroke_goes_behind_too_many(name):
    found = troubles(Bench(planned(name)))
    missed, too_far = found[:2]
    assert missed.title.endswith("too many")
    row, begin, over = missed.shows
    stroke = missed.wrong[missed.at]
    assert (row, begin, over) == (stroke.row, stroke.begin + stroke.over, missed.right[missed.at].under + 1)
    assert too_far.shows == (stroke.row, stroke.begin, missed.right[missed.at].over + 1)
    for each in found:
        assert each.shows is not None and trouble_svg(Bench(planned(name)), each).count("<ellipse") in (2, 4)


def test_what_rules_a_dark_square_is_light_enough_to_be_seen_in_grey():
    for name in ("rust", "natural"):
        fill = REED_COLOURS[name].hex
        ink = re.search(r'stroke="(#\w+)"', rules("/", (0.0, 0.0, 7.0, 3.4), fill))[1]
        assert abs(lab_from_rgb(rgb_of(ink))[0] - lab_from_rgb(rgb_of(fill))[0]) > 50.0, name


@pytest.mark.parametrize("ends", [23, 24, 25])
@pytest.mark.parametrize("over, under", [(1, 1), (2, 1), (2, 2), (3, 1)])
def test_a_stroke_that_lies_across_the_place_where_rows_begin_is_said_to_count_with_the_row_below(ends, over, under):
    """So said where one does, by the strokes in their order; there the chart has it in the row above."""
    plan = planning.plan(basket(ends=ends, over=over, under=under, weavers=1, rows=8))
    order, band = moments(plan.laid), plan.laid.side[0]
    strokes = [m for m in range(len(order)) if ACTS[order.act[m]] == "stroke" and order.band[m] == band.index]
    start = int(order.space[strokes[0]])
    lies_across = any(0 < (start - int(order.space[m])) % ends < int(order.over[m]) for m in strokes)
    assert any("across that line" in each for each in reading(plan)) == lies_across


@pytest.mark.parametrize("rows, each", [(68, 1), (80, 1), (90, 1), (150, 1), (120, 4), (200, 2)])
def test_a_chart_of_many_new_starts_holds_every_row_on_as_many_pages_as_they_need(rows, each):
    """All gaps before new starts were taken from the room of one page: the sheet broke off, or a band was gone."""
    text = (Path(slype.__file__).parent / "examples" / "estuary.toml").read_text(encoding="utf-8")
    text = text.replace('["4 1/4 in", "9 1/4 in"]', '["16 in", "12 in"]').replace("rows = 16\n", f"rows = {rows}\n")
    text = text.replace("blocks = { rows = 4, shift = 2 }", f"blocks = {{ rows = {each}, shift = 2 }}")
    plan = planning.plan(reader.parse(text.replace('length = "10 ft"', "")))
    pages = squares_by_page(plan)
    shown = [parts for page in pages for parts in re.findall(r"band (\d+)(?:, rows (\d+) to (\d+))?", page.bands)]
    held = {}
    for band, first, last in shown:
        of = next(each for each in plan.laid.side if each.index + 1 == int(band))
        held.setdefault(int(band), []).extend(range(int(first or 1), int(last or of.rows) + 1))
    assert held == {band.index + 1: list(range(1, band.rows + 1)) for band in plan.laid.side}
    squares_high = sum(map(len, held.values())) + 0.6 * rows / each
    assert len(pages) <= 2 + squares_high / 35, "no page holds five rows alone"
    assert ("and so on" in " ".join(reading(plan))) is (-(-rows // each) - 1 > 4)
