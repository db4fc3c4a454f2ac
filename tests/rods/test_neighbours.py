"""What lies near what is known as rods move, though only what has moved far is looked for anew."""

from __future__ import annotations

import numpy as np
import pytest

from slype.rods import bundle
from slype.rods.bundle import Bundle, Neighbours

MARGIN = 0.8


def loose(seed, many=30, nodes=14):
    by = np.random.default_rng(seed)
    way = by.normal(size=(many, 1, 3)) / 2
    at = by.uniform(-9, 9, (many, 1, 3)) + np.cumsum(way + by.normal(size=(many, nodes, 3)) / 9, axis=1)
    radius = by.choice([0.5, 0.55, 1.0, 1.6], many)
    return Bundle(np.arange(many + 1) * nodes, at.reshape(-1, 3), radius), by


def places(given, at, pairs):
    """(edge, rod that passes it)."""
    one, two = pairs
    return {(int(i), int(given.rod[j])) for i, j in zip(one, two, strict=True)}


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("anew", [0.0, 1.0])
def test_after_many_moves_near_pairs_are_those_that_are_found_anew(seed, anew, monkeypatch):
    monkeypatch.setattr(bundle, "ANEW", anew)
    given, by = loose(seed)
    near, at = Neighbours(given, MARGIN), given.at.copy()
    new = 0
    first = places(given, at, near.look(at))
    for _ in range(6):
        some = np.repeat(by.random(len(given.off) - 1) < 0.3, np.diff(given.off))
        at += np.where(some[:, None], by.normal(size=3) * 0.3, by.normal(size=at.shape) * 0.01)
        found = places(given, at, near.look(at))
        truly = places(given, at, bundle.pairs_near(given, at, MARGIN))
        assert truly <= found
        new += len(truly - first)
    assert new > 20


def test_pairs_of_one_rod_do_not_slide_into_each_other():
    """A hairpin: followed to where it is nearest to the first, an edge would slide round the bend towards it."""
    turn = np.linspace(0, np.pi, 9)[1:-1]
    legs = [np.c_[np.full(40, x), np.linspace(*y, 40), np.zeros(40)] for x, y in ((-1.05, (14, 0)), (1.05, (0, 14)))]
    bend = np.c_[-1.05 * np.cos(turn), -1.05 * np.sin(turn), np.zeros(len(turn))]
    at = np.concatenate([legs[0], bend, legs[1]])
    given = Bundle(np.array([0, len(at)]), at, np.array([1.0]))
    near = Neighbours(given, MARGIN)
    for step in range(5):
        one, two = near.look(at + np.array([0.0, 0.0, 0.01 * step]))
        assert len(one) and (given.along[two] - given.along[one + 1] >= 6.0 - 1e-9).all()
