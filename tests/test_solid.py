"""The studio's solid: the same basket as our pictures show, in fewer points."""

from __future__ import annotations

import json
import struct
from dataclasses import replace

import numpy as np
import pytest

from slype.lay import lay
from slype.solid import solid, unpacked
from slype.tubes import tubes

NAMES = ["estuary", "posy", "quayside", "saltmarsh"]
OFF = 0.25  # thicknesses a reed may lie beside the one our pictures show
MOST_POINTS = 25_000  # of the demo: what a page can turn into reeds while a hand moves


@pytest.fixture(params=NAMES)
def laid(request):
    return lay(request.getfixturevalue(request.param))


def lines(raw):
    header, points, _ = unpacked(raw)
    return {each["name"]: points[each["first"] : each["first"] + each["count"]] for each in header["strands"]}


def off_the_line(points, line):
    """How far each of `points` (k, 3) lies from the nearest place of a line (m, 3)."""
    start, step = line[:-1], np.diff(line, axis=0)
    to = points[:, None] - start[None]
    f = np.clip((to * step).sum(axis=2) / np.maximum((step * step).sum(axis=1), 1e-12), 0, 1)
    return np.linalg.norm(to - f[:, :, None] * step, axis=2).min(axis=1)


def test_every_reed_of_the_pictures_is_there_in_the_same_order(laid):
    header, *_ = unpacked(solid(laid))
    shown = tubes(laid)
    assert [each["name"] for each in header["strands"]] == [tube.name for tube in shown]
    for key in ("role", "colour"):
        assert [each[key] for each in header["strands"]] == [getattr(tube, key) for tube in shown]
    assert [each["thick"] for each in header["strands"]] == pytest.approx([tube.thick_mm for tube in shown], abs=1e-3)


def test_every_reed_runs_where_the_pictures_show_it(laid):
    mine = lines(solid(laid))
    for tube in tubes(laid):
        line = mine[tube.name]
        assert off_the_line(tube.points[::3], line).max() < OFF * tube.thick_mm, tube.name
        assert np.linalg.norm(line[[0, -1]] - tube.points[[0, -1]], axis=1).max() < 1e-3, tube.name


def test_points_are_few(estuary):
    header, points, _ = unpacked(solid(lay(estuary)))
    assert header["points"] == len(points) < MOST_POINTS
    assert len(points) < sum(len(tube.points) for tube in tubes(lay(estuary))) / 2


def test_strands_follow_each_other_without_a_gap(laid):
    header, points, when = unpacked(solid(laid))
    at = 0
    for each in header["strands"]:
        assert each["first"] == at and each["count"] >= 2
        at += each["count"]
    assert at == len(points) == len(when)


def test_a_left_handed_basket_is_the_mirror_image(laid):
    right, left = (lines(solid(lay(replace(laid.design, hand=hand)))) for hand in ("right", "left"))
    assert list(right) == list(left)
    for name, line in right.items():
        np.testing.assert_allclose(line * np.float32([-1, 1, 1]), left[name], atol=1e-4)


def test_a_weaver_says_its_band_and_its_place_in_it(estuary):
    header, *_ = unpacked(solid(lay(estuary), revision=7))
    assert (header["revision"], header["form"]) == (7, "stacked")
    weavers = [each for each in header["strands"] if each["role"] == "weaver"]
    assert {each["band"] for each in weavers} == set(range(8))
    of_the_wall = {(each["weaver"], each["colour"]) for each in weavers if each["band"] == 5}
    assert of_the_wall == {(0, "rust"), (1, "rust"), (2, "sand"), (3, "slate")}
    assert all(each["band"] is None for each in header["strands"] if each["role"] != "weaver")


def test_the_palette_has_every_colour_and_each_its_own_hatching(laid):
    header, *_ = unpacked(solid(laid))
    assert {each["colour"] for each in header["strands"]} <= set(header["palette"])
    marks = [json.dumps(each) for each in header["hatches"].values()]
    assert len(set(marks)) == len(marks)


def test_sizes_are_those_of_the_plan(laid):
    header, points, _ = unpacked(solid(laid))
    assert header["height"] == pytest.approx(laid.finished_height_mm, abs=0.01)
    assert header["mouth"] == pytest.approx(laid.mouth_mm, abs=0.01)
    assert header["across"] == pytest.approx(np.ptp(points[:, :2], axis=0).max(), abs=0.01)


def test_the_header_fills_whole_fours_so_that_a_page_can_read_numbers_in_place(laid):
    raw = solid(laid)
    assert struct.unpack("<I", raw[4:8])[0] % 4 == 0
    assert len(raw) == 8 + struct.unpack("<I", raw[4:8])[0] + 16 * unpacked(raw)[0]["points"]


def test_other_bytes_are_refused():
    with pytest.raises(ValueError, match="SLY1"):
        unpacked(b"PNG!" + bytes(20))
