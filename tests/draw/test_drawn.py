"""Line drawings and hatchings: the drawing agrees with the painter, and no two colours look alike on paper."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from pages import dots_of
from worked import example, picture, planned, reeds_of

from slype.colour import REED_COLOURS, luminance, shade
from slype.design.file.reader import parse
from slype.draw import lines
from slype.draw.hatching import HATCHES, hatches
from slype.draw.lines import HAND, PAGE, TONES, drawing, lengths_seen
from slype.draw.painted import dots
from slype.draw.runs import written
from slype.draw.runs.thinned import needed
from slype.draw.runs.written import Ink, Lines
from slype.draw.views import png
from slype.lay.laying import lay
from slype.offers import SOLID_VIEWS as VIEWS
from slype.space.assembly import whole

SVG = "{http://www.w3.org/2000/svg}"
NAMES = ["estuary", "posy", "quayside"]


@pytest.mark.parametrize("view", VIEWS)
def test_the_drawing_shows_the_colours_that_the_painter_sees(view):
    """At the middles of reeds that the painter sees, the drawing has that reed's colour and not another's."""
    plan = planned("estuary")
    wide = 900
    drawn = dots_of(png(picture("estuary", view), wide)).astype(float)
    all_tubes = reeds_of(plan.laid)
    found = dots(plan.laid, all_tubes, view, wide)
    x, y, _, r = (np.asarray(each) for each in found.in_dots())
    middle = np.flatnonzero((x > 2) & (y > 2) & (x < wide - 3) & (y < found.seg.shape[0] - 3) & (r > 2.5))[::5]
    seg = found.seg[np.round(y[middle]).astype(int), np.round(x[middle]).astype(int)]
    middle = middle[(seg >= 0) & (np.abs(seg - middle) <= 1)]
    colours = np.array([tube.colour for tube in all_tubes])[found.seen.tube[middle]]
    dot = drawn[np.round(y[middle]).astype(int), np.round(x[middle]).astype(int)]
    warm = (dot[:, 0] - dot[:, 2]) / np.maximum(dot.max(axis=1), 1)  # rust is warmest, slate is not warm at all
    for colour, low, high in (("rust", 0.6, 1.0), ("natural", 0.15, 0.5), ("slate", -1.0, 0.1)):
        of_it = colours == colour
        if of_it.sum() < 100:
            continue
        assert np.mean((warm[of_it] >= low) & (warm[of_it] <= high)) > 0.93, colour
    assert len(middle) > 1000


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_is_small_sound_and_the_same_each_time(name, view):
    laid = planned(name).laid
    body, box = drawing(laid, view, detail=HAND)
    if NAMES[list(VIEWS).index(view) % len(NAMES)] == name:  # every view of one basket, and every basket in some view
        alike = body == drawing(lay(example(name)), view, detail=HAND)[0]  # told first: a difference takes minutes
        assert alike
    assert 50_000 < len(body) < 2_000_000
    assert "nan" not in body and "inf" not in body and min(box[2:]) > 0


def test_the_demo_is_below_two_megabytes_at_its_finest():
    assert len(picture("estuary", "outside")) < 2_000_000


def test_every_colour_has_a_hatching_of_its_own_and_the_lightest_is_plain():
    every = {name: colour.hex for name, colour in REED_COLOURS.items()}
    for many in range(1, len(HATCHES) + 1):
        palette = dict(list(every.items())[:many])
        chosen = hatches(palette)
        assert set(chosen) == set(palette)
        for one, other in combinations(chosen.values(), 2):
            assert (one.paper, one.marks) != (other.paper, other.marks) and one.words != other.words
        assert chosen[max(palette, key=lambda name: luminance(palette[name]))].words == "plain"
    with pytest.raises(ValueError, match="hatchings"):
        hatches(every)


def test_few_colours_leave_the_outlines_to_be_seen():
    palette = {name: REED_COLOURS[name].hex for name in ("natural", "rust", "indigo", "charcoal")}
    assert all(hatch.paper != "#1d1712" for hatch in hatches(palette).values())


def test_the_key_names_every_colour_and_the_drawing_has_no_other_ink():
    plan = planned("estuary")
    root = ET.fromstring(picture("estuary", "outside", hatched=True))
    words = " ".join(text.text for text in root.iter(f"{SVG}text"))
    for name, hatch in hatches(plan.design.palette).items():
        assert f"{name}: {hatch.words}" in words
    inks = {path.get("stroke") for path in root.iter(f"{SVG}path")} - {None}
    allowed = {hatch.paper for hatch in HATCHES} | {ink for hatch in HATCHES for *_, ink in hatch.marks}
    assert inks <= allowed


def test_the_key_lies_within_the_picture():
    root = ET.fromstring(picture("estuary", "under", hatched=True))
    left, top, wide, high = map(float, root.get("viewBox").split())
    for text in root.iter(f"{SVG}text"):
        size = float(text.get("font-size"))
        assert left <= float(text.get("x")) <= left + wide - 0.4 * size * len(text.text)
        assert top < float(text.get("y")) < top + high - 0.2 * size


def _points(path: str) -> np.ndarray:
    start, steps = re.fullmatch(r"M([^l]*)l(.*)", path).groups()
    numbers = [np.array([float(n) for n in re.findall(r"-?\d*\.?\d+", part)]).reshape(-1, 2) for part in (start, steps)]
    return np.cumsum(np.concatenate(numbers), axis=0)


def test_a_path_written_in_few_signs_is_still_the_same_line():
    chance = np.random.default_rng(2)
    for many in (2, 3, 9):
        line = np.cumsum(chance.uniform(-3, 4, (many, 2)), axis=0)
        lines = Lines([line[:, 0]], [line[:, 1]], flat=0.0)
        (plain,), (longer,) = lines.paths(), lines.paths(more=0.5)
        np.testing.assert_allclose(_points(plain), line, atol=0.0051)
        np.testing.assert_allclose(_points(longer)[1:-1], line[1:-1], atol=0.011)
        for end in (0, -1):
            assert np.linalg.norm(_points(longer)[end] - line[end]) == pytest.approx(0.5, abs=0.03)


def test_what_strokes_runs_is_compiled_once_whoever_asks():
    """Compiled a second time, for colours that were columns of a table, it took two seconds more of a first start."""
    points = np.array([[0.0, 0.0], [3.0, 4.0]] * 2)
    reach, table, wide = np.stack([points[:2], points[2:]]), np.zeros((2, 2), np.int64), np.array([2.0, 2.0])
    said = [
        written.strokes(points, np.array([0, 2, 4]), reach, Ink(["#102030"], line, line, wide, wide))
        for line in (table[:, 0], table[:, 0].copy())
    ]
    assert said[0] == said[1] and len(written._stroked.signatures) == 1


def test_points_left_out_of_a_line_lie_on_it():
    x = np.linspace(0, 6, 200)
    y = np.sin(x)
    keep = needed(x, y, 0.01)
    assert 4 < len(keep) < 60
    assert np.abs(np.interp(x, x[keep], y[keep]) - y).max() < 0.0125


def test_light_changes_along_a_reed_without_hard_blocks():
    laid = planned("posy").laid
    every = whole(laid, None, "outside")
    seen = lengths_seen(every, dots(laid, every, "outside", HAND.dots), laid)
    neighbours = (seen.tube[1:] == seen.tube[:-1]) & (seen.tube[1:] >= 0)
    steps = np.abs(np.diff(seen.tone))[neighbours] * TONES
    assert len(steps) > 2000 and steps.max() <= 0.08
    assert (steps > 0.03).mean() < 0.005  # two tones that meet are hardly told apart


def test_light_looked_at_in_some_rows_of_dots_is_that_of_all(monkeypatch):
    """No reed grows darker or lighter for it, and hardly one by as much as can be told."""
    laid = planned("estuary").laid
    every = reeds_of(laid)
    found = dots(laid, every, "outside", PAGE.dots)
    some = lengths_seen(every, found, laid)
    monkeypatch.setattr(lines, "ROW_DOTS", 10 * PAGE.dots)
    monkeypatch.setattr(lines, "SHADOWS", 1500)
    whole = lengths_seen(every, found, laid)
    off = (some.tone - whole.tone)[some.tube >= 0]
    assert len(off) > 10_000 and 0 < (off != 0).mean() < 0.15
    assert (np.abs(off) > 1).mean() < 0.001 and abs(off.mean()) < 0.03


def test_spokes_are_drawn_round_with_a_lit_side_and_a_dark_one(posy):
    bands = tuple(replace(band, colours=("natural",)) for band in posy.bands)
    design = replace(posy, bands=bands, spokes=replace(posy.spokes, colour="rust"))
    body, _ = drawing(lay(design), "inside")
    inks = set(re.findall(r'stroke="(#[0-9a-f]{6})"', body))
    reds = {ink for ink in inks if int(ink[1:3], 16) > 2 * int(ink[5:], 16)}
    round_ones = [ink for ink in reds if {shade(ink, 1.1), shade(ink, 0.9)} <= reds]
    assert len(round_ones) >= 4, sorted(reds)


LOW_TRAY = """
form = { outline = "oval", base = ["7 in", "5 in"], wall = [["0 in", "5.2 in", "3.6 in"], ["2 in", "5 in", "3.6 in"]] }
base = { kind = "board", foot = ["behind 1 out", "over 1 down"] }
spokes = { reed = "round 4", ends = 35 }
band = [ { weave = "randing", reed = "round 2", rows = 2 } ]
border = { kind = "reverse rope" }
"""


def test_a_low_tray_is_drawn_whose_board_has_more_faces_than_its_reeds_have_lengths():
    body, _ = drawing(lay(parse(LOW_TRAY)), "outside")
    assert body.count("<path") > 50
