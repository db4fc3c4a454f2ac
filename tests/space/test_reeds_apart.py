"""No reed lies in another: the file that other programs get, measured by a checker that knows nothing of the solver."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from solids import overlaps, reeds_in

from slype.draw.glb import skin
from slype.surface.curve import Tube


def glb_of(*reeds):
    """A file of straight reeds: (name, from, to, thickness), mm."""
    scene = trimesh.Scene()
    for name, start, end, thick in reeds:
        line = np.linspace(start, end, 60)
        points, normals, faces = skin(Tube(name, "weaver", "natural", thick, line))
        scene.add_geometry(trimesh.Trimesh(points, faces, vertex_normals=normals, process=False), node_name=name)
    return scene.export(file_type="glb", include_normals=True)


def worst(*reeds):
    found = overlaps(reeds_in(glb_of(*reeds)))
    return max((each.share for each in found.values()), default=0.0)


LYING = ("band 1, weaver 1", (-20, 0, 5), (20, 0, 5), 2.0)


def test_the_checker_reads_where_reeds_are_and_how_thick():
    reed, other = reeds_in(glb_of(LYING, ("spoke 1", (0, 3, 0), (0, 3, 40), 3.0)))
    assert (reed.name, other.name) == ("band 1, weaver 1", "spoke 1")
    assert reed.radius == pytest.approx(1.0, rel=1e-4) and other.radius == pytest.approx(1.5, rel=1e-4)
    assert reed.line[[0, -1]] == pytest.approx(np.array([[-20, 0, 5], [20, 0, 5]]), abs=1e-3)
    assert other.line[[0, -1]] == pytest.approx(np.array([[0, 3, 0], [0, 3, 40]]), abs=1e-3)


@pytest.mark.parametrize(("apart", "share"), [(2.5, 0.0), (2.3, 0.1), (1.5, 0.5), (0.0, 1.25)])
@pytest.mark.parametrize("across", [True, False])
def test_the_checker_finds_how_far_two_reeds_lie_in_each_other_whether_they_cross_or_lie_along(apart, share, across):
    end = (0.3, 20, 5 + apart) if across else (20, 0, 5 + apart)
    start = (0.3, -20, 5 + apart) if across else (-20, 0, 5 + apart)
    assert worst(LYING, ("spoke 1", start, end, 3.0)) == pytest.approx(share, abs=0.01)


def test_the_checker_asks_nothing_of_a_cut_end_and_knows_a_reed_that_lies_on_itself():
    assert worst(LYING, ("spoke 1", (19.5, 0, 5), (19.5, 0, 50), 2.0)) == 0.0
    assert worst(LYING, ("spoke 1", (15, 0, 2), (15, 0, 50), 2.0)) == pytest.approx(1.0, abs=0.01)
    turn = np.linspace(0, 4 * np.pi, 400)
    coil = np.stack([20 * np.cos(turn), 20 * np.sin(turn), 1.5 * turn / (2 * np.pi)], axis=1)
    scene = trimesh.Scene()
    points, normals, faces = skin(Tube("band 1, weaver 1", "weaver", "natural", 2.0, coil))
    scene.add_geometry(
        trimesh.Trimesh(points, faces, vertex_normals=normals, process=False), node_name="band 1, weaver 1"
    )
    found = overlaps(reeds_in(scene.export(file_type="glb", include_normals=True)))
    assert found["side weaver", "side weaver"].share == pytest.approx(0.25, abs=0.02)
