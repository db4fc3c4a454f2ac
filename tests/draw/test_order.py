"""The order in which lengths of reeds are painted, against what it promises."""

from itertools import groupby

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slype.draw.lines import Lengths, from_far_to_near
from slype.draw.runs.order import dots_of, meetings
from slype.draw.runs.written import Ink, strokes


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


SEEN = st.lists(st.integers(-1, 7), min_size=12, max_size=12)
"""For every dot of a small picture the point whose reed is seen there; two points to a length."""


@given(SEEN, SEEN)
def test_dots_and_what_lies_behind_are_counted_as_one_by_one(front, back):
    number = np.arange(8) // 2
    one, other = (np.array(each, np.int32).reshape(3, 4) for each in (front, back))
    seen = [at // 2 for at in front if at >= 0]
    assert dots_of(one, number, 4).tolist() == [seen.count(each) for each in range(4)]
    met = [(a // 2, b // 2) for a, b in zip(front, back, strict=True) if min(a, b) >= 0 and abs(a // 2 - b // 2) > 1]
    runs = [(pair, len(list(own))) for pair, own in groupby(met)]
    pairs, dots = meetings(one, other, number, 4)
    assert [(divmod(pair, 4), many) for pair, many in zip(pairs.tolist(), dots.tolist(), strict=True)] == runs


TENTHS = st.integers(-20_000, 20_000)
POINTS = st.lists(st.tuples(TENTHS, TENTHS), min_size=2, max_size=6)


@given(st.lists(st.tuples(POINTS, POINTS, st.integers(0, 3000), st.integers(0, 3000)), min_size=1, max_size=5))
def test_a_run_is_written_as_its_outline_and_upon_that_its_body(runs):
    def spelt(points):
        return "L".join(f"{a / 10:.1f} {b / 10:.1f}" for a, b in points)

    ways, reach, outer, inner = zip(*runs, strict=True)
    upto = np.cumsum([0, *(len(way) for way in ways)])
    line, body = np.arange(len(runs)) % 2, 1 - np.arange(len(runs)) % 2
    ink = Ink(["#00aa11", "#fedcba"], line, body, np.array(outer) / 100, np.array(inner) / 100)
    ends = np.array([[own[0], own[1]] for own in reach]) / 10
    found = strokes(np.concatenate(ways) / 10, upto, ends, ink)
    for i, (way, own) in enumerate(zip(ways, reach, strict=True)):
        assert found[i] == (
            f'<path d="M{spelt(way)}" stroke="{ink.colours[line[i]]}" stroke-width="{outer[i] / 100:.2f}"/>'
            f'<path d="M{spelt([own[0], *way[1:-1], own[1]])}" stroke="{ink.colours[body[i]]}" '
            f'stroke-width="{inner[i] / 100:.2f}"/>'
        )
