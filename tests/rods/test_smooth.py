"""Smooth lines through nodes: how long they are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slype.rods.smooth_kernels import arcs
from slype.space.tubes import _dense


def helix(turns, nodes, radius=10.0, rise=4.0):
    t = np.linspace(0.0, 2 * np.pi * turns, nodes)
    return np.stack([radius * np.cos(t), radius * np.sin(t), rise * t / (2 * np.pi)], axis=1)


@given(st.integers(12, 60), st.floats(0.5, 2.0))
def test_a_helix_is_as_long_as_it_is(nodes, turns):
    true = 2 * np.pi * turns * np.hypot(10.0, 4.0 / (2 * np.pi))
    long = arcs(helix(turns, nodes), np.array([0, nodes]))
    turned = 2 * np.pi * turns / (nodes - 1)
    # Nearer than its chords; at its two ends the line runs straight on, as it is drawn.
    assert abs(long.sum() - true) <= true * turned**2 / 24 * 0.3 + 2 * turned**2 / 24 * 10.0 * turned
    assert long[-1] == 0.0


@given(st.integers(0, 2**31), st.integers(3, 30))
def test_any_line_is_as_long_as_it_is_drawn(seed, nodes):
    at = np.cumsum(np.random.default_rng(seed).uniform(0.2, 1.0, (nodes, 3)) * [1.0, 1.0, -1.0], axis=0)
    drawn = _dense(np.c_[at, np.zeros(nodes)], 0.01)[:, :3]
    assert arcs(at, np.array([0, nodes])).sum() == pytest.approx(np.linalg.norm(np.diff(drawn, axis=0), axis=1).sum(),
                                                               rel=1e-3)  # fmt: skip


def test_two_nodes_in_one_place_are_one_and_each_rod_ends_by_itself():
    line = helix(1.0, 9)
    twice = np.insert(line, 4, line[4], axis=0)
    one, other = arcs(line, np.array([0, 9])), arcs(np.concatenate([twice, line]), np.array([0, 10, 19]))
    assert other[:10].sum() == pytest.approx(one.sum(), rel=1e-12)
    assert (other[10:] == one).all()
