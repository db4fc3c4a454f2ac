"""The studio's solid: the same basket as our pictures show, in fewer points."""

from __future__ import annotations

import json
import struct
from dataclasses import replace

import numpy as np
import pytest
from samples import pot_text
from strategies import basket
from worked import planned, reeds_of

from slype.design.file.reader import parse
from slype.draw.solid import solid, solid_of, unpacked
from slype.edit.apply import apply
from slype.lay.laying import lay
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.order.times import standing
from slype.plans.planning import plan
from slype.space.tubes import tubes
from slype.surface.curve import Tube

NAMES = ["estuary", "posy", "quayside", "saltmarsh"]
OFF = 0.25  # thicknesses a reed may lie beside the one our pictures show
MOST_POINTS = 25_000  # of the demo: what a page can turn into reeds while a hand moves


@pytest.fixture(params=NAMES)
def laid(request):
    return planned(request.param).laid


OTHERS = {
    "a pierced cross": {"before": '[base]\nkind = "pierced cross"\n'},
    "an interlaced cross": {"ends": 32, "before": '[base]\nkind = "interlaced"\nsets = 4\n'},
    "a board": {
        "wall": [["0 in", "5 in"], ["4 in", "5 in"]],
        "before": '[base]\nkind = "board"\nfoot = ["behind 1 out", "over 1 down"]\n',
    },
    "spokes pushed in beside the sticks": {"spokes": "inserted = true\nbase_ends = 16"},
    "spokes two by two": {"spokes": "per_end = 2"},
    "an open border": {"border": ("over 1 down",)},
}


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
    shown = reeds_of(laid)
    assert [each["name"] for each in header["strands"]] == [tube.name for tube in shown]
    for key in ("role", "colour"):
        assert [each[key] for each in header["strands"]] == [getattr(tube, key) for tube in shown]
    assert [each["thick"] for each in header["strands"]] == pytest.approx([tube.thick_mm for tube in shown], abs=1e-3)


def test_every_reed_runs_where_the_pictures_show_it(laid):
    mine = lines(solid(laid))
    for tube in reeds_of(laid):
        line = mine[tube.name]
        assert off_the_line(tube.points[:: max(1, len(tube.points) // 80)], line).max() < OFF * tube.thick_mm, tube.name
        assert np.linalg.norm(line[[0, -1]] - tube.points[[0, -1]], axis=1).max() < 1e-3, tube.name


@pytest.mark.parametrize("other", OTHERS)
def test_so_it_is_whatever_a_basket_stands_on(other):
    laid = lay(basket(**OTHERS[other]))
    mine, shown = lines(solid(laid)), reeds_of(laid)
    assert list(mine) == [tube.name for tube in shown]
    for tube in shown:
        assert off_the_line(tube.points[::4], mine[tube.name]).max() < OFF * tube.thick_mm, tube.name


def test_points_are_few():
    header, points, _ = unpacked(solid(planned("estuary").laid))
    assert header["points"] == len(points) < MOST_POINTS
    assert len(points) < sum(len(tube.points) for tube in reeds_of(planned("estuary").laid)) / 2


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


def test_a_weaver_says_its_band_and_its_place_in_it():
    header, *_ = unpacked(solid(planned("estuary").laid, revision=7))
    assert (header["revision"], header["form"]) == (7, "stacked")
    weavers = [each for each in header["strands"] if each["role"] == "weaver"]
    assert {each["band"] for each in weavers} == set(range(8))
    of_the_wall = {(each["weaver"], each["colour"]) for each in weavers if each["band"] == 5}
    assert of_the_wall == {(0, "rust"), (1, "rust"), (2, "sand"), (3, "slate")}
    assert all(each["band"] is None for each in header["strands"] if each["role"] != "weaver")


# The order of work ---------------------------------------------------------------------------------------------


def timed(laid):
    """(order, header, points, times) of a basket's solid with its order of work."""
    order = moments(laid)
    return order, *unpacked(solid(laid, order=order))


def test_every_point_has_its_moment_and_each_reed_is_laid_from_its_start_to_its_end(laid):
    order, header, _, when = timed(laid)
    assert header["moments"] == len(order)
    assert 0 < when.min() and len(order) - 2 < when.max() <= len(order)
    for each in header["strands"]:
        assert (np.diff(when[each["first"] : each["first"] + each["count"]]) >= 0).all(), each["name"]


def test_what_is_laid_by_a_moment_is_what_the_pictures_lay_by_then(laid):
    """At whole moments a reed reaches as far as its tube with the same times, to a step of either."""
    import functools

    from slype.order.times import when as when_of

    order, header, points, when = timed(laid)
    mine = {each["name"]: slice(each["first"], each["first"] + each["count"]) for each in header["strands"]}
    for tube in tubes(laid, when=functools.partial(when_of, order))[::5]:
        here, at = points[mine[tube.name]], when[mine[tube.name]]
        for moment in range(0, len(order), max(1, len(order) // 12)):
            # Where the reed ends at this moment: on the piece in which the time is passed.
            k = int(np.searchsorted(at, moment, side="right"))
            j = int(np.searchsorted(tube.when, moment, side="right"))
            assert (k == 0) == (j == 0) and (k == len(at)) == (j == len(tube.when)), (tube.name, moment)
            if 0 < k < len(at):
                share = (moment - at[k - 1]) / (at[k] - at[k - 1])
                front = here[k - 1] + share * (here[k] - here[k - 1])
                assert np.linalg.norm(front - tube.points[j - 1]) < 2 * tube.thick_mm, (tube.name, moment)


def test_a_reed_that_waits_does_not_creep_on(laid):
    """Between two strokes of a weaver its front stands still: no step of its line lasts longer than one moment."""
    _, header, points, when = timed(laid)
    waited = 0
    for each in header["strands"]:
        here = slice(each["first"], each["first"] + each["count"])
        hop, passed = np.linalg.norm(np.diff(points[here], axis=0), axis=1), np.diff(when[here])
        assert passed[hop > 1e-4].max(initial=0) <= 1.001, each["name"]
        waited += int((passed > 1.001).sum())
    assert waited > 50


def test_ends_stand_upright_until_the_border_takes_them(laid):
    order, header, points, when = timed(laid)
    vanish = [each for each in header["strands"] if each["until"] is not None]
    shown = {each["name"]: each for each in vanish if each["role"] not in ("weaver", "border") and not each.get("lies")}
    expected = {each.curve.name: each for each in standing(laid, order)}
    assert list(shown) == list(expected)
    for name, each in shown.items():
        here = slice(each["first"], each["first"] + each["count"])
        assert each["until"] == expected[name].vanishes
        assert (when[here] == np.float32(expected[name].appears)).all()
        assert points[here][-1, 2] > points[here][0, 2] + 10  # upright
    # They belong to the work: the finished basket is as large without them.
    plain, *_ = unpacked(solid(laid))
    for size in ("across", "height", "mouth"):
        assert header[size] == plain[size]


def test_spokes_lie_flat_beyond_the_base_until_they_are_turned_up(laid):
    """Straight on from where they leave it, as long as they then stand; no picture is as large as that."""
    order, header, points, when = timed(laid)
    found = [each for each in header["strands"] if each.get("lies")]
    turns = np.flatnonzero(order.act == ACTS.index("turn"))
    assert len(found) == len(turns) * laid.design.spokes.per_end
    base = laid.base_reached_mm / 2
    for each in found:
        (start, tip), shown = points[each["first"] :][:2], when[each["first"]]
        assert each["count"] == 2 and start[2] == tip[2] and np.hypot(*tip[:2]) > base + laid.border.length_mm
        assert shown <= turns[0] and turns[0] <= each["until"] + 0.01 < turns[-1] + 0.02
        assert int(np.ceil(each["until"])) == order.by_end["turn", each["end"]][0]


def test_without_an_order_nothing_stands_and_nothing_has_a_time(laid):
    header, _, when = unpacked(solid(laid))
    assert header["moments"] == 0 and not when.any()
    assert all(each["until"] is None for each in header["strands"])


def test_tubes_of_handles_and_lids_go_with_the_basket_as_they_are():
    arch = np.stack([np.linspace(-100, 100, 41), np.zeros(41), 110 + 90 * np.cos(np.linspace(-1.5, 1.5, 41))], axis=1)
    laid = planned("estuary").laid
    handle = Tube("handle, core", "handle", "natural", 8.0, arch)
    header, points, _ = unpacked(solid(laid, order=moments(laid), also=[handle]))
    names = [each["name"] for each in header["strands"]]
    each = header["strands"][names.index("handle, core")]
    assert each["role"] == "handle" and each["until"] is None and each["band"] is None
    line = points[each["first"] : each["first"] + each["count"]]
    assert off_the_line(arch, line).max() < OFF * 8.0
    assert names.index("handle, core") < names.index("standing end 1")


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


def test_a_board_comes_with_its_outline_and_lies_below_the_wall():
    woven = pot_text()
    board = apply(woven, [{"set": ["base", "kind"], "to": "board"}]).text
    assert unpacked(solid_of(plan(parse(woven))))[0]["board"] is None
    header, points, _ = unpacked(solid_of(plan(parse(board))))
    told, design = header["board"], parse(board)
    edge = np.array(told["edge"])
    across = np.ptp(edge, axis=0)
    assert np.allclose(across, design.form.base_length_mm, atol=1.5)  # as wide as the file says
    assert 0.7 < told["wall"] < 1 and told["thick"] == pytest.approx(design.base.thickness_mm, abs=0.01)
    assert header["across"] >= across.max() - 0.1 and points[:, 2].min() < -told["thick"]  # the foot is below it
