"""The solid: read again by another program, it is the same basket."""

from __future__ import annotations

import io
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pytest
import trimesh
from worked import example, planned, reeds_of

from slype.colour import rgb_of
from slype.draw.glb import SIDES, glb, skin
from slype.lay.laying import lay
from slype.space import cuts
from slype.surface.curve import Tube

NAMES = ["estuary", "posy", "quayside"]


@pytest.fixture(params=NAMES)
def laid(request):
    return planned(request.param).laid


@lru_cache(maxsize=4)
def read_again(laid) -> trimesh.Scene:
    """A basket's solid, as another program reads it."""
    return trimesh.load(io.BytesIO(glb(laid)), file_type="glb")


def test_every_strand_is_a_node_with_its_name(laid):
    assert set(read_again(laid).graph.nodes_geometry) == {tube.name for tube in reeds_of(laid)}


def test_it_is_as_large_as_the_basket_in_metres_and_stands_upright(laid):
    scene = read_again(laid)
    all_tubes = reeds_of(laid)
    points = np.concatenate([tube.points for tube in all_tubes])
    low, high = points.min(axis=0), points.max(axis=0)
    thick = max(tube.thick_mm for tube in all_tubes)
    wide, tall, deep = (scene.bounds[1] - scene.bounds[0]) * 1000
    for size, axis in ((wide, 0), (tall, 2), (deep, 1)):  # y is up in the file
        assert size == pytest.approx(high[axis] - low[axis] + thick, abs=thick)
    assert scene.bounds[1][1] * 1000 == pytest.approx(laid.finished_height_mm, rel=0.03)


def test_it_is_not_a_mirror_image():
    scene = read_again(planned("estuary").laid)
    first = next(tube for tube in reeds_of(planned("estuary").laid) if tube.name == "spoke 5")
    # By what it reaches: a straight reed has fewer rings than points.
    middle = scene.geometry["spoke 5"].bounds.mean(axis=0) * 1000
    x, y, z = (first.points.min(axis=0) + first.points.max(axis=0)) / 2
    np.testing.assert_allclose(middle, [x, z, -y], atol=first.thick_mm / 2)


def test_colours_are_the_palettes_and_rough(laid):
    scene = read_again(laid)
    for tube in reeds_of(laid):
        material = scene.geometry[tube.name].visual.material
        assert material.name == tube.colour and material.roughnessFactor == pytest.approx(0.6)
        np.testing.assert_allclose(
            np.array(material.baseColorFactor[:3]) / 255, rgb_of(laid.design.palette[tube.colour]), atol=0.003
        )


def test_every_reed_is_a_closed_skin_round_its_line():
    all_tubes = reeds_of(planned("posy").laid)
    for tube, looks in zip(all_tubes, cuts.faces(all_tubes), strict=True):
        points, normals, faces = skin(tube, looks)
        mesh = trimesh.Trimesh(points.astype(float) * 1000, faces, process=True)
        mesh.merge_vertices(merge_norm=True)
        assert mesh.is_watertight and mesh.is_winding_consistent, tube.name
        long = np.linalg.norm(np.diff(tube.points, axis=0), axis=1).sum()
        eight_sided = 0.9003  # of the round one's area
        assert mesh.volume == pytest.approx(eight_sided * np.pi / 4 * tube.thick_mm**2 * long, rel=0.04), tube.name
        np.testing.assert_allclose(np.linalg.norm(normals, axis=1), 1, atol=1e-5)


def test_normals_point_out_of_the_reed():
    line = np.stack([np.linspace(0, 50, 40), np.zeros(40), np.full(40, 7.0)], axis=1)
    points, normals, _ = skin(Tube("spoke 1", "spoke", "natural", 4.0, line), np.zeros((2, 3)))
    wall = np.abs(normals[:, 0]) < 0.5
    middle = np.array([0, 7.0, 0])  # y up
    out = points[wall] * 1000 * [0, 1, 1] - middle
    assert ((out * normals[wall]).sum(axis=1) > 1.9).all()


def test_the_same_design_gives_the_same_bytes():
    alike = glb(lay(example("posy"))) == glb(lay(example("posy")))
    assert alike


def _ring_middles(points):
    """Middle of every ring of a skin, mm, z up, without its two flat ends."""
    rings = points.reshape(-1, SIDES, 3)[:-2].mean(axis=1) * 1000
    return rings[:, [0, 2, 1]] * [1, -1, 1]


def test_a_skin_leaves_the_middle_of_its_bent_reed_by_no_more_than_a_sixtieth_of_its_thickness():
    turn = np.linspace(0, np.pi, 60)
    bent = np.stack([7 * np.cos(turn), 7 * np.sin(turn), 0 * turn], axis=1)  # 2 mm reed round a post
    points, _, _ = skin(Tube("spoke 1", "spoke", "natural", 2.0, bent), np.zeros((2, 3)))
    line = _ring_middles(points)
    assert len(line) < 40
    fine = np.concatenate([np.linspace(a, b, 30) for a, b in pairwise(line)])
    assert np.abs(np.hypot(fine[:, 0], fine[:, 1]) - 7).max() < 2.0 / 60


def test_a_reed_cut_in_its_bend_keeps_the_bend_up_to_the_cut():
    turn = np.linspace(0, 1.5, 25)
    bent = np.stack([6 * np.cos(turn), 6 * np.sin(turn), 0 * turn], axis=1)
    looks = cuts.faces([Tube("spoke 1", "spoke", "natural", 3.0, bent)])[0]
    points, _, _ = skin(Tube("spoke 1", "spoke", "natural", 3.0, bent), looks)
    line = np.concatenate([bent[:1], _ring_middles(points)[1:-1], bent[-1:]])  # rings of cuts are slanted
    step = np.linalg.norm(np.diff(line, axis=0), axis=1)
    assert step[[0, -1]].max() < 0.55 * cuts.SLANT * 3.0 + 0.5
