"""Cut ends: on the slant where a reed is cut, and nowhere else; the same slant in every picture and file."""

from __future__ import annotations

import inspect
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import planned, reeds_of

from slype.draw.camera import camera_for, look
from slype.draw.glb import SIDES, skin
from slype.draw.lines import cut_off
from slype.draw.painted import dots
from slype.draw.runs.ends import LEAST, _shortened
from slype.space.cuts import SLANT, alone, faced, faces, one_reed
from slype.surface.curve import firsts

ways = st.tuples(*[st.floats(-1, 1)] * 3).map(np.array).filter(lambda way: np.linalg.norm(way) > 0.1)


@pytest.fixture
def quayside_tubes():
    return reeds_of(planned("quayside").laid)


@given(way=ways, tip=ways)
def test_a_face_stands_at_the_angle_of_a_slype_and_looks_to_the_mouth(way, tip):
    run = way / np.linalg.norm(way)
    tip = 100 * tip
    knife = np.array([0.0, 0.0, 301.0]) - tip
    looks = faced(tip[None], run[None], 300.0)[0]
    aside = knife - (knife @ run) * run
    if np.linalg.norm(aside) > 1e-3:
        assert np.linalg.norm(looks) == pytest.approx(1)
        # The long side of the cut reaches SLANT thicknesses further than the short one.
        angle = math.degrees(math.acos(np.clip(looks @ run, -1, 1)))
        assert angle == pytest.approx(math.degrees(math.atan(SLANT)))
        assert looks @ aside > 0


def test_a_spoke_that_goes_on_as_an_end_of_the_border_is_not_cut_there_and_a_weaver_is_at_both_ends(quayside_tubes):
    cut = np.linalg.norm(faces(quayside_tubes), axis=2) > 0.5
    by_role = {}
    for tube, ends in zip(quayside_tubes, cut.tolist(), strict=True):
        by_role.setdefault(tube.role, set()).add(tuple(ends))
    assert by_role["weaver"] == {(True, True)}
    assert by_role["border"] == {(False, True)}
    assert by_role["spoke"] == {(True, False)}  # its slype beside the base stick, and on into the border


def test_a_spoke_is_one_reed_from_one_end_of_the_border_across_the_base_to_another():
    reeds = reeds_of(planned("estuary").laid)
    own = one_reed(firsts(reeds), np.array([[reed.points[0], reed.points[-1]] for reed in reeds]))
    for role in ("spoke", "border"):
        mine = [i for i, reed in enumerate(reeds) if reed.role == role]
        assert len(mine) == 32 and len({own[i] for i in mine}) == 16
    assert all(first <= i and own[first] == first for i, first in enumerate(own))


@given(st.lists(st.tuples(*[st.integers(0, 4)] * 3), min_size=1, max_size=30))
def test_ends_that_are_one_reed_are_found_as_by_comparing_all(places):
    tips, thick = np.array(places, float), np.full(len(places), 3.0)
    off = np.linalg.norm(tips[:, None] - tips[None], axis=2)
    np.fill_diagonal(off, np.inf)
    assert alone(tips, thick).tolist() == (off.min(axis=1) > 1.5).tolist()


def test_the_solid_is_cut_where_and_as_the_faces_say(quayside_tubes):
    for tube, looks in zip(quayside_tubes, faces(quayside_tubes), strict=True):
        points = skin(tube, looks)[0].astype(float) * 1000
        points = points[:, [0, 2, 1]] * [1, -1, 1]
        for end, ring, middle in ((0, points[-2 * SIDES : -SIDES], tube.points[0]),
                                  (1, points[-SIDES:], tube.points[-1])):  # fmt: skip
            if looks[end].any():
                np.testing.assert_allclose((ring - middle) @ looks[end], 0, atol=2e-3)
                long = np.linalg.norm(ring - middle, axis=1).max()
                assert long == pytest.approx(tube.thick_mm / 2 * math.hypot(1, SLANT), rel=0.1)
            np.testing.assert_allclose(ring.mean(axis=0), middle, atol=2e-3)


def test_a_painted_cut_is_a_flat_face_and_reaches_as_far_as_its_long_side():
    """By the dots themselves: what is seen of a cut's face lies in one plane, that of the face in space."""
    laid = planned("quayside").laid
    all_tubes = reeds_of(laid)
    found = dots(laid, all_tubes, "inside", 1600)
    r = found.in_dots()[3]
    near, cuts = found.cuts()
    row, col = np.nonzero(found.seg >= 0)
    seg = found.seg[row, col]
    mine = near[seg] >= 0
    row, col, seg = row[mine], col[mine], seg[mine]
    cut = cuts[near[seg]]
    place = np.stack([col, row, found.depth[row, col]], axis=1)
    off = ((place - cut[:, :3]) * cut[:, 3:6]).sum(axis=1) / r[seg]
    assert off.max() < 0.02  # nothing stands out beyond a face
    on_face = (np.abs(off) < 0.02) & (cut[:, 5] < -0.3)
    assert on_face.sum() > 300
    far = np.linalg.norm(place - cut[:, :3], axis=1) / r[seg]
    assert 1.4 < far[on_face].max() <= math.hypot(1, SLANT) + 0.05
    assert len(np.unique(near[seg][on_face])) > 10


def test_a_drawn_cut_is_the_outline_of_the_same_face(quayside_tubes):
    camera = camera_for(planned("quayside").laid, "inside")
    seen = look(camera, quayside_tubes)
    for cut, point in zip(seen.cuts, seen.cut_at, strict=True):
        last = seen.tube[point] != seen.tube[min(point + 1, len(seen.tube) - 1)] or point == len(seen.tube) - 1
        line = slice(point - 9, point + 1) if last else slice(point, point + 10)
        radius = float(seen.radius[point])
        x, _, bark, face = cut_off(seen.x[line], seen.y[line], -1 if last else 0, radius, cut)
        assert len(x) >= 2 and (face is None) == (cut[5] >= 0)
        on, back = np.roll(bark, -1, axis=0) - bark, bark - np.roll(bark, 1, axis=0)
        assert (back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0] > 0).all()  # it turns one way only
        if face is not None:  # and has the face within it
            off = face[:, None] - bark
            assert (on[:, 0] * off[..., 1] - on[:, 1] * off[..., 0]).min() > -1e-9
        reach = np.linalg.norm(bark - cut[:2], axis=1)
        assert reach.max() < 1.05 * radius * math.hypot(1, SLANT)


@pytest.mark.parametrize("by", [0.5, 1.0, 3.0, 3.9, 9.0])
def test_a_line_that_is_cut_is_as_much_shorter_and_a_tenth_of_it_is_left_at_least(by):
    x, y = _shortened(np.array([0.0, 0.0, 3.0]), np.array([0.0, 1.0, 1.0]), by)
    long = max(4 - by, LEAST * 4)
    assert (x[0], y[0]) == (0, 0) and np.hypot(np.diff(x), np.diff(y)).sum() == pytest.approx(long)
    assert (x[-1], y[-1]) == pytest.approx((long - 1, 1) if long > 1 else (0, long))


def test_a_line_of_one_point_stays_where_it_is():
    # Not compiled: then what is looked for beyond the end is an error, and not whatever lies there.
    x, y = inspect.unwrap(_shortened)(np.array([2.0]), np.array([5.0]), 1.0)
    assert set(x) == {2.0} and set(y) == {5.0}
