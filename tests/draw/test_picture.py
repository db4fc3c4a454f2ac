"""Pictures: what the trace says is what is drawn."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from pages import dots_of
from worked import example, picture, planned

from slype.colour import hex_of
from slype.draw.squares import WIDE, _width, reading, squares_by_page
from slype.draw.views import VIEWS, png, svg
from slype.lay.chart import seen_rows
from slype.plans import planning
from slype.surface.runs import border_runs, weaver_runs
from slype.surface.woven import stacked_curves

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("view, name", [*product(VIEWS, ["estuary", "posy", "quayside"])])
def test_every_view_of_every_example_is_a_picture_with_words_for_those_who_cannot_see_it(view, name):
    text = picture(name, view)
    root = ET.fromstring(text)
    assert root.find(f"{SVG}title").text.startswith(example(name).title)
    assert "rows of" in root.find(f"{SVG}desc").text
    assert len(root.findall(f".//{SVG}path")) + len(root.findall(f".//{SVG}rect")) > 10
    assert "nan" not in text and "inf" not in text.replace("infinite", "")


def test_a_title_with_signs_stays_text(posy):
    plan = planning.plan(replace(posy, title='<script>"pots" & pans</script>'))
    root = ET.fromstring(svg(plan, "outside"))
    assert root.find(f"{SVG}title").text.startswith('<script>"pots" & pans</script>')
    assert root.find(f".//{SVG}script") is None


def test_the_squares_show_what_the_chart_says():
    plan = planned("estuary")
    root = ET.fromstring(svg(plan, "squares"))
    drawn = [rect.get("fill") for rect in root.iter(f"{SVG}rect")]
    said = []
    for band in plan.laid.side:
        for row in seen_rows(plan.laid, band):
            around = sorted((a + turn, b + turn, colours) for a, b, colours in row for turn in (-32, 0, 32))
            said += [colour for a, b, colours in around if b > 0 and a < 24 for colour in reversed(colours)]
    assert len(said) > 500
    assert drawn == [hex_of(colour) for colour in said]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "posy", "saltmarsh"])
def test_every_square_has_the_colour_that_lies_in_front_there_in_the_picture(name, hand, request):
    """Of all reeds that pass the middle of a square, those furthest out are of its colour."""
    plan = planning.plan(replace(request.getfixturevalue(name), hand=hand))
    curves = [curve for curve in stacked_curves(plan.laid) if curve.role == "weaver" and curve.where == "side"]
    checked = 0
    for band in plan.laid.side:
        mine = [curve for curve in curves if curve.band == band.index]
        u, s, n = (np.concatenate([getattr(curve, axis) for curve in mine]) for axis in "usn")
        colour = np.repeat([curve.colour for curve in mine], [len(curve.u) for curve in mine])
        for number, row in enumerate(seen_rows(plan.laid, band)):
            at_edge = {row for first, rows, _ in band.segments for row in (first, first + rows - 1)}
            if len({colours for _, _, colours in row}) < 2 or number in at_edge:
                continue  # at its first and last row a band meets others
            for a, b, (own, *more) in row:
                middle = (a + b) / 2 if hand == "right" else band.ends - (a + b) / 2
                near = (np.abs((u - middle + band.ends / 2) % band.ends - band.ends / 2) < 0.13) & (n > 0)
                near &= np.abs(s - band.s[number]) < 0.45 * band.pitch_mm
                if near.any() and not more:
                    front = colour[near][n[near] > 0.9 * n[near].max()]
                    checked += 1
                    assert set(front) == {own}, (band.index, number, middle, set(front))
    assert checked > 50 or name == "posy"


def _pixels(plan, view: str, width: int = 800) -> np.ndarray:
    dots = dots_of(png(svg(plan, view), width))
    assert dots.shape[1] == width
    return dots.astype(int)


def _near(pixels: np.ndarray, colour: str) -> np.ndarray:
    rgb = np.array([int(hex_of(colour)[i : i + 2], 16) for i in (1, 3, 5)])
    return np.abs(pixels - rgb).sum(axis=2) < 40


def test_a_red_band_is_red_in_the_picture_and_a_blue_one_blue(posy):
    bands = [replace(band, colours=("rust",) if i != 3 else ("indigo",)) for i, band in enumerate(posy.bands)]
    palette = {**posy.palette, "rust": hex_of("rust"), "indigo": hex_of("indigo")}
    plan = planning.plan(replace(posy, bands=tuple(bands), palette=palette))
    pixels = _pixels(plan, "unrolled")
    rows_of_blue = np.flatnonzero(_near(pixels, "indigo").sum(axis=1) > 30)
    rows_of_red = np.flatnonzero(_near(pixels, "rust").sum(axis=1) > 30)
    # The blue band lies between red ones: red both above and below it.
    assert len(rows_of_blue) > 50
    assert rows_of_red.min() < rows_of_blue.min() and rows_of_red.max() > rows_of_blue.max()


def test_the_left_handed_chart_is_the_right_handed_one_in_a_mirror(estuary):
    def coloured(hand: str) -> np.ndarray:
        pixels = _pixels(planning.plan(replace(estuary, hand=hand)), "unrolled")
        return _near(pixels, "rust")[:, 30:-30]

    right, left = coloured("right"), coloured("left")
    # The numbers beside the chart are not mirrored, so compare the wall alone, allowing a pixel at edges.
    middle = slice(right.shape[1] // 4, 3 * right.shape[1] // 4)
    differ = right[:, middle] != left[:, ::-1][:, middle]
    assert right[:, middle].sum() > 1000
    assert differ.mean() < 0.02


def test_strands_on_one_face_never_run_through_each_other(estuary):
    """At every spoke, strands drawn on the same face lie at least almost a thickness apart."""
    plan = planned("estuary")
    ends = estuary.spokes.ends
    faces: dict[tuple[int, int], list[float]] = {}
    for run in weaver_runs(plan.laid, "side"):
        u, s, n = run.u[:, 0], run.s[:, 0], run.n[:, 0]
        for at, height, side in zip(u, s, n, strict=True):
            if abs(at % 1 - 0.5) < 1e-9 and abs(side) > 0.99:
                faces.setdefault((round(at - 0.5) % ends, int(np.sign(side))), []).append(height)
    assert len(faces) == 2 * ends
    worst = min(np.diff(np.sort(heights)).min() for heights in faces.values())
    assert worst > 0.6 * 2.25


def test_each_end_of_the_border_is_drawn_once(estuary):
    runs = border_runs(planned("estuary").laid)
    assert len(runs) == estuary.spokes.ends


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_whole_ring_on_the_chart_has_space_1_at_both_its_sides(hand):
    root = ET.fromstring(svg(planning.plan(replace(example("posy"), hand=hand)), "squares"))
    high = float(root.get("viewBox").split()[1]) + float(root.get("viewBox").split()[3])
    rings = sorted(root.iter(f"{SVG}circle"), key=lambda ring: float(ring.get("cx")))
    spaces = {float(each.get("x")): each.text for each in root.iter(f"{SVG}text") if each.get("y") == "9.5"}
    found = [spaces[float(ring.get("cx"))] for ring in rings]
    assert found == ["1", *map(str, range(2, 18) if hand == "right" else range(17, 1, -1)), "1"]
    assert all(float(ring.get("cy")) + float(ring.get("r")) < high for ring in rings)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_arrow_on_the_chart_stands_at_the_space_of_a_band_s_first_stroke_and_points_to_the_next(hand):
    plan = planning.plan(replace(example("posy"), hand=hand))
    root = ET.fromstring(svg(plan, "squares"))
    lines = {each.text: float(each.get("x")) for each in root.iter(f"{SVG}text") if each.get("y") == "9.5"}
    arrows = [each.get("d") for each in root.iter(f"{SVG}path") if each.get("fill") == "#000000"]
    at = [float(re.match(r"M(-?[\d.]+)", arrow)[1]) for arrow in arrows]
    begin, next_ = ([_begins(band, stroke) for band in plan.laid.side] for stroke in (0, 1))
    assert [x for x, space in zip(at, begin, strict=True) if space != 1] == [lines[str(s)] for s in begin if s != 1]
    back = [(b - a) % plan.design.top_ends > plan.design.top_ends / 2 for a, b in zip(begin, next_, strict=True)]
    assert set(back) == {True, False}
    assert [("l-" in arrow) != (hand == "left") for arrow in arrows] == back


@pytest.mark.parametrize("name", ["posy", "quayside"])
def test_the_chart_speaks_of_an_arrow_only_where_it_has_one(name):
    plan = planning.plan(example(name))
    bodies = "".join(piece.drawing[0] for piece in squares_by_page(plan))
    arrows = len(re.findall(r'<path [^>]*fill="#000000"', bodies))
    heads = ("First strokes:", "Of some bands")
    told, out = (" ".join(each for each in reading(plan) if each.startswith(head)) for head in heads)
    assert len(re.findall(r"band \d+ in space", told)) == arrows
    assert len(re.findall(r"band \d+ in space", out)) == len(plan.laid.side) - arrows
    assert any(each.startswith("A black arrow") for each in reading(plan)) == bool(arrows)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_an_arrow_points_into_the_chart_at_the_stroke_that_is_made_there(name, hand):
    """In a basket of 41 the sixth band began at the very edge: its arrow pointed at what the chart leaves out."""
    plan = planning.plan(replace(example(name), hand=hand))
    wide, arrow = WIDE * _width(plan)[0], r'M([-\d.]+) [-\d.]+v2.2l([-\d.]+) [^z]*z'
    bodies = "".join(piece.drawing[0] for piece in squares_by_page(plan))
    found = [float(x) + float(way) for x, way in re.findall(arrow, bodies)]
    assert found and all(0.0 <= tip <= wide for tip in found)


def _begins(band, stroke):
    """The space, from 1, from which a stroke (from 0) of a band is made, as the trace has it."""
    t = band.traces()[0][1]
    mine = [i for i in range(len(t.spoke)) if t.stroke[i] == sorted(set(t.stroke.tolist()))[stroke]]
    return int(t.spoke[min(mine, key=lambda i: t.step[i])]) + 1
