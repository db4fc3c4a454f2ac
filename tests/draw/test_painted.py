"""The painter of reeds: what lies in front is what is seen."""

from __future__ import annotations

import io
import os
import threading
from dataclasses import replace
from itertools import count, pairwise

import numpy as np
import pytest
import scipy
from PIL import Image
from samples import BOARD, FLARED, HIGH, LIDS
from strategies import basket
from worked import planned, reeds_of

from slype.design.file.reader import parse
from slype.draw import pixels
from slype.draw.camera import camera_for, frame, look
from slype.draw.painted import EVERYWHERE, dots, lit, paint, png
from slype.draw.views import painted_png
from slype.lay.laying import lay
from slype.offers import SOLID_VIEWS
from slype.space.assembly import whole
from slype.space.tubes import in_space
from slype.surface.curve import firsts
from slype.surface.woven import stacked_curves

NAMES = ["estuary", "posy", "quayside"]


def _painted(x, y, z, r, tube, size=(60, 60)):
    depth, seg = np.empty(size, np.float32), np.empty(size, np.int32)
    shown = np.ones(len(x), bool)
    at = (np.asarray(each, float) for each in (x, y, z, r))
    pixels.nearest(*at, np.asarray(tube), shown, EVERYWHERE, depth, seg, *_uncut(x))
    return depth, seg


def _uncut(x):
    return np.full(len(x), -1), np.zeros((1, 6))


def test_a_chain_of_cylinders_is_as_near_as_a_ray_says():
    """Second opinion: march a ray through every dot and take the first place within a radius of the line."""
    chance = np.random.default_rng(5)
    points = np.cumsum(chance.uniform(-6, 9, (8, 3)), axis=0) + np.array([8, 8, 40])
    radius = 5.0
    depth, seg = _painted(*points.T, np.full(8, radius), np.zeros(8, int))
    z = np.arange(0, 120, 0.05)
    checked = 0
    for row, col in chance.integers(0, 60, (300, 2)):
        ray = np.stack([np.full_like(z, col), np.full_like(z, row), z], axis=1)
        off = np.full(len(z), np.inf)
        for a, b in pairwise(points):
            t = np.clip((ray - a) @ (b - a) / ((b - a) @ (b - a)), 0, 1)
            off = np.minimum(off, np.linalg.norm(ray - a - t[:, None] * (b - a), axis=1))
        inside = np.flatnonzero(off <= radius)
        if not len(inside):
            assert seg[row, col] == -1
        elif off.min() < 0.9 * radius:
            # At a bend the chain is closed by longer cylinders and not by balls: a little nearer at most.
            assert -0.25 * radius < depth[row, col] - z[inside[0]] < 0.45 * radius
            checked += 1
    assert checked > 20


def test_of_two_crossing_reeds_the_nearer_is_seen_and_beyond_it_the_other():
    x, y = [5, 55, 30, 30], [30, 30, 5, 55]
    for z, front in (([10, 10, 30, 30], 0), ([30, 30, 10, 10], 2)):
        depth, seg = _painted(x, y, z, [6] * 4, [0, 0, 1, 1])
        assert seg[30, 30] == front and depth[30, 30] == pytest.approx(10 - 6)
        behind, under = np.empty_like(depth), np.empty_like(seg)
        at = (np.array(each, float) for each in (x, y, z, [6] * 4))
        pixels.nearest(*at, np.array([0, 0, 1, 1]), np.ones(4, bool), depth + 0.1, behind, under, *_uncut(x))
        assert under[30, 30] == 2 - front
    assert _painted(x, y, z, [6] * 4, [0, 0, 1, 1])[1][2, 2] == -1


@pytest.mark.parametrize("name", NAMES)
def test_a_weaver_in_front_hides_its_spoke_and_one_behind_is_hidden(name):
    laid = planned(name).laid
    all_tubes = reeds_of(laid)
    found = dots(laid, all_tubes, "outside", 900)
    seen = found.seen
    x, y, _, _ = found.in_dots()
    curves = {curve.name: curve for curve in stacked_curves(laid)}
    ends = laid.design.spokes.ends
    front, hidden, behind, spokes_seen = [], 0, 0, 0
    for number, tube in enumerate(all_tubes):
        if tube.role != "weaver" or curves[tube.name].where != "side":
            continue
        curve = curves[tube.name]
        at_spoke = np.abs(curve.u % 1 - 0.5) < 0.02
        facing = np.abs((curve.u % ends) / ends - 0.5) < 0.12
        for over in (True, False):
            which = np.flatnonzero(at_spoke & facing & ((curve.n > 0) == over))
            mine = np.flatnonzero(seen.tube == number)
            places = in_space(laid, curve)[which]
            for i in mine[scipy.spatial.cKDTree(seen.world[mine]).query(places)[1]]:
                there = found.seg[round(y[i]), round(x[i])]
                if over:
                    front.append(seen.tube[there] == number)
                    spokes_seen += all_tubes[seen.tube[there]].role == "spoke"
                else:
                    hidden += seen.tube[there] != number
    assert len(front) > 50 and hidden > 50
    # Seen from above, the next row may hide its middle where the wall flares; its spoke may not.
    assert np.mean(front) > 0.6, "a weaver over a spoke is seen there"
    assert spokes_seen < 0.02 * len(front), "and its spoke is not"
    assert hidden > 0.97 * behind, "a weaver behind a spoke is not seen there"


@pytest.mark.parametrize("view", SOLID_VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_drawn_outside_the_pictures_box(name, view):
    laid = planned(name).laid
    seen = look(camera_for(laid, view), reeds_of(laid))
    left, top, wide, high = frame(laid, seen, view)
    use = seen.shown
    if view == "inside":  # the rim alone must be whole: the picture looks into the mouth
        use = use & (seen.world[:, 2] > float(laid.design.form.height(laid.top_s)) + 0.1)
    assert use.sum() > 500
    x, y, r = seen.x[use], seen.y[use], seen.radius[use]
    assert (x - r >= left).all() and (x + r <= left + wide).all()
    assert (y - r >= top).all() and (y + r <= top + high).all()


def test_the_corners_are_white_and_the_middle_is_not():
    for view in ("outside", "above", "under"):
        image = paint(planned("posy").laid, view, 200)
        assert (image[0, [0, -1]] == 255).all(), view
        assert image[image.shape[0] // 2, 100].max() < 250, view


def test_the_same_design_gives_the_same_bytes_and_another_seed_another_coil():
    plan = planned("posy")
    first, again, other, plain = (painted_png(plan, "outside", 200, tone) for tone in (7, 7, 8, 0))
    alike = first == again  # told first: explaining how two files differ takes minutes
    assert alike and len({first, other, plain}) == 3


def test_without_variation_reeds_of_one_colour_are_alike():
    """Spoke by spoke, the mean lightness of what is seen from under differs more with a seed than without."""
    laid = planned("estuary").laid
    all_tubes = reeds_of(laid)
    which = dots(laid, all_tubes, "above", 500)
    which = np.where(which.seg >= 0, which.seen.tube[which.seg], -1)
    spread = []
    for tone in (0, 7):
        grey = paint(laid, "above", 500, tone).mean(axis=2)
        ends = [i for i, tube in enumerate(all_tubes) if tube.role == "border"]
        # Border ends a quarter round apart stand in like light from one to the next.
        means = np.array([grey[which == i].mean() for i in ends])
        spread.append(np.abs(np.diff(means)).mean())
    assert spread[1] > 2 * spread[0]


KEPT = {
    "per_end": {"spokes": "per_end = 2"},
    "added": {"band": "add = 4"},
    "inserted": {"spokes": "inserted = true\nbase_ends = 12"},
}


@pytest.mark.parametrize("name", ["board", "lid", "foot", *KEPT])
def test_every_end_of_a_border_has_the_tone_of_the_spoke_it_grows_out_of(name):
    """By where they meet in space, not by what they are called; and no two spokes are one reed."""
    laid = lay(parse(BOARD) if name == "board" else basket(**{
        "lid": dict(tail=LIDS["on"], **FLARED), "foot": dict(tail="[foot]\nborder = 'foot border'\n", **HIGH), **KEPT,
    }[name]))  # fmt: skip
    reeds = whole(laid)
    first = firsts(reeds)
    stands = [i for i, each in enumerate(reeds) if each.role in ("spoke", "bye-spoke")]
    tips = np.array([reeds[i].points[end] for i in stands for end in (0, -1)])
    borders = [i for i, each in enumerate(reeds) if each.role == "border"]
    for i in borders:
        near = int(np.linalg.norm(tips - reeds[i].points[0], axis=1).argmin())
        assert np.linalg.norm(tips[near] - reeds[i].points[0]) < 0.6 * reeds[i].thick_mm, reeds[i].name
        assert first[i] == first[stands[near // 2]], reeds[i].name
    together = {first[i] for i in stands if "through the board" not in reeds[i].name}
    assert len(together) == sum("through the board" not in reeds[i].name for i in stands) and borders


def test_a_red_reed_is_red_and_a_blue_one_blue():
    laid = planned("estuary").laid
    all_tubes = reeds_of(laid)
    found = dots(laid, all_tubes, "outside", 600)
    colour = np.array([tube.colour for tube in all_tubes] + [""])
    which = colour[np.where(found.seg >= 0, found.seen.tube[found.seg], -1)]
    image = paint(laid, "outside", 600).astype(float)
    rust, slate = image[which == "rust"].mean(axis=0), image[which == "slate"].mean(axis=0)
    assert rust[0] > 1.5 * rust[2] and slate[2] > slate[0]


def test_gaps_are_darker_than_what_stands_out(estuary):
    laid = lay(replace(estuary, palette={name: "#c0c0c0" for name in estuary.palette}))
    all_tubes = reeds_of(laid)
    found = dots(laid, all_tubes, "outside", 600)
    image = paint(laid, "outside", 600, tone=0).mean(axis=2)
    side = found.seg >= 0
    near = np.where(side, found.seen.world[found.seg, 1], 0) < -60
    out = np.hypot(*np.moveaxis(found.seen.world[found.seg][..., :2], -1, 0)) - np.interp(
        found.seen.world[found.seg][..., 2], laid.design.form._curve[2], laid.design.form._curve[1]
    )
    proud, deep = near & (out > 2), near & (np.abs(out) < 1)
    assert proud.sum() > 2000 and deep.sum() > 500
    assert image[proud].mean() > image[deep].mean() + 10


def test_a_reed_hides_the_sky_from_its_neighbours_flank_and_not_from_its_crown():
    rows = np.arange(22)
    spiral = np.sqrt((rows + 0.5) / 22) * np.sin(2.4 * rows), np.sqrt((rows + 0.5) / 22) * np.cos(2.4 * rows)
    alone, _ = _painted([5, 55], [24, 24], [20, 20], [6, 6], [0, 0])
    beside, _ = _painted([5, 55, 5, 55], [24, 24, 36, 36], [20] * 4, [6] * 4, [0, 0, 1, 1])
    flank, crown = (28, 0.0, 0.75, -0.66), (24, 0.0, 0.0, -1.0)  # row, and the normal there
    for depth, least, most in ((alone, 0.97, 1.0), (beside, 0.0, 0.85)):
        row, *normal = flank
        assert least <= pixels.openness(30, row, *normal, depth, 15.0, *spiral) <= most
        row, *normal = crown
        assert pixels.openness(30, row, *normal, depth, 15.0, *spiral) > 0.97


def test_a_png_says_what_it_shows():
    plan = planned("posy")
    file = painted_png(plan, "inside", 160)
    image = Image.open(io.BytesIO(file))
    assert image.size[0] == 160 and image.mode == "RGB"
    assert image.text["Title"] == "Dunlin posy pot, a look inside, at the far wall"
    assert "rows of" in image.text["Description"]


def test_a_png_holds_the_dots_it_was_given():
    picture = np.random.default_rng(3).integers(0, 256, (7, 5, 3)).astype(np.uint8)
    assert (np.asarray(Image.open(io.BytesIO(png(picture)))) == picture).all()


def test_a_spoke_seen_between_weavers_is_lit_as_round_reed():
    """Its sides are clearly darker than its middle, though it stands in gaps where the lamp does not reach."""
    laid = planned("quayside").laid
    all_tubes = reeds_of(laid)
    found = dots(laid, all_tubes, "inside", 1200)
    plain = (np.ones((len(all_tubes), 3)), np.zeros(len(all_tubes), np.int64), np.zeros((len(all_tubes), 3)))
    light = lit(laid, all_tubes, found, 1, plain)[:, :, 0]
    x, y, _, r = found.in_dots()
    row, col = np.nonzero(found.seg >= 0)
    seg = found.seg[row, col]
    far_wall = (found.seen.world[seg, 1] > 0) & (found.seen.world[seg, 2] > 20)
    spoke = np.array([tube.role == "spoke" for tube in all_tubes])[found.seen.tube[seg]] & far_wall
    row, col, seg = row[spoke], col[spoke], seg[spoke]
    way = np.stack([x[seg + 1] - x[seg], y[seg + 1] - y[seg]], axis=1)
    way /= np.linalg.norm(way, axis=1)[:, None]
    aside = np.abs((col - x[seg]) * way[:, 1] - (row - y[seg]) * way[:, 0]) / r[seg]
    middle, edge = light[row, col][aside < 0.3], light[row, col][(aside > 0.7) & (aside < 0.95)]
    assert len(middle) > 500 and len(edge) > 500
    assert middle.mean() > 1.35 * edge.mean()


@pytest.mark.parametrize("view", ["outside", "inside"])
def test_one_core_or_two_paint_the_same_dots(view, monkeypatch):
    made = planned("posy")
    used = set()
    for least, cores in ((1, 2), (10**9, 2), (1, 1)):
        monkeypatch.setattr(pixels, "SHARED_FROM", least)
        monkeypatch.setattr(os, "cpu_count", lambda cores=cores: cores)
        used.add(paint(made.laid, view, 60).tobytes())
    assert len(used) == 1


def test_rows_are_shared_out_whole_and_once_and_by_two(monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    for rows in (3, 8, 101):
        done, by, calls = [], set(), count()
        together = threading.Barrier(2, timeout=20)  # passed only by two at once

        def work(first, end, done=done, by=by, calls=calls, together=together):
            if next(calls) < 2:
                together.wait()
            done.append(range(first, end))
            by.add(threading.get_ident())

        pixels.by_rows(rows, pixels.SHARED_FROM, work)
        assert sorted(row for each in done for row in each) == list(range(rows)) and len(by) == 2
        alone = []
        pixels.by_rows(rows, pixels.SHARED_FROM - 1, lambda first, end, alone=alone: alone.append((first, end)))
        assert alone == [(0, rows)]
