"""Handles in space: wrapping lies turn beside turn."""

from __future__ import annotations

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from slype.form.handles import Handle, arch_mm, wrapping
from slype.lay.attachments import HandleLaid
from slype.reeds import REEDS
from slype.space import arches

WRAPS = [REEDS[f"round {number}"] for number in (2, 3, 4)]
CORES = [REEDS[f"round {number}"] for number in (5, 6, 8)]


@settings(max_examples=40)
@given(
    st.floats(150, 300), st.floats(70, 250), st.sampled_from(CORES), st.sampled_from(WRAPS),
    st.integers(1, 2), st.integers(1, 3), st.integers(0, 10**6),
)  # fmt: skip
def test_no_turn_of_wrapping_lies_in_another(across, height, core, wrap, strands, cores, seed):
    """By brute force: points of every turn against those of all others, round reed."""
    handle = Handle("bow", core, wrap, cores, strands, across_mm=across, height_mm=height)
    long = arch_mm(across, height)
    turns, wrapped = wrapping(long, cores, core.diameter_mm, wrap.diameter_mm, strands)
    each = HandleLaid(0, handle, across, height, 50.0, long, 10, turns, wrapped, None, ())
    ends = np.array([[-across / 2, 0.0, 0.0], [across / 2, 0.0, 0.0]])
    arch = arches.arch_over(ends, across, height)
    lines = [_fine(arches.wound(each, arch, k)) for k in range(strands)]
    points = np.concatenate(lines)
    turn = np.concatenate([np.linspace(0, turns, len(line)) for line in lines])
    strand = np.repeat(np.arange(strands), [len(line) for line in lines])
    some = np.random.default_rng(seed).integers(0, len(points), 60)
    found = scipy.spatial.cKDTree(points).query_ball_point(points[some], 0.95 * wrap.diameter_mm)
    for i, near in zip(some, found, strict=True):
        assert (strand[near] == strand[i]).all() and (np.abs(turn[near] - turn[i]) <= 0.5).all()
    walked = np.linalg.norm(np.diff(lines[0], axis=0), axis=1).sum()
    assert wrapped == pytest.approx(walked, rel=0.02)


def _fine(line: np.ndarray) -> np.ndarray:
    at = np.linspace(0, len(line) - 1, 6 * len(line))
    return np.stack([np.interp(at, np.arange(len(line)), line[:, axis]) for axis in range(3)], axis=1)
