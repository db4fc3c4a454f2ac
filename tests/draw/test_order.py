"""The order in which lengths of reeds are painted, against what it promises."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slype.draw.lines import Lengths, from_far_to_near


@given(st.integers(2, 40), st.data())
def test_what_lies_behind_is_painted_first_and_every_length_once(many, data):
    depth = np.array(data.draw(st.lists(st.floats(0, 9), min_size=many, max_size=many)))
    tube = np.sort(np.array(data.draw(st.lists(st.integers(0, 3), min_size=many, max_size=many))))
    rank = data.draw(st.permutations(range(many)))
    at = st.integers(0, many - 1)
    drawn = data.draw(st.lists(st.tuples(at, at), max_size=3 * many))
    # No three lie over each other in a ring.
    pairs = {(a, b) if rank[a] > rank[b] else (b, a) for a, b in drawn if a != b}
    behind = np.array(sorted(pairs), np.int64).reshape(-1, 2)
    points = np.arange(many)
    lengths = Lengths(points, points, tube, np.zeros(many, int), depth, behind)
    runs = from_far_to_near(lengths, np.ones(many, bool))
    turn = {}
    for k, (low, high) in enumerate(runs.tolist()):
        assert len(set(tube[low : high + 1].tolist())) == 1
        for each in range(low, high + 1):
            assert each not in turn
            turn[each] = k
    assert set(turn) == set(range(many))
    for front, back in pairs:
        assert turn[back] <= turn[front]


def test_three_that_lie_over_each_other_in_a_ring_are_painted_all_the_same():
    behind = np.array([[0, 1], [1, 2], [2, 0]])
    points = np.arange(3)
    lengths = Lengths(points, points, points, np.zeros(3, int), np.array([1.0, 3.0, 2.0]), behind)
    assert from_far_to_near(lengths, np.ones(3, bool))[:, 0].tolist() == [1, 0, 2]
