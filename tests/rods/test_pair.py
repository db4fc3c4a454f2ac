"""Two cores hand in hand: both halves are done, and what goes wrong in either is heard here."""

import threading

import pytest

from slype.rods import pair
from slype.rods.pair import Pair, in_halves


def test_one_half_is_done_here_and_the_other_beside_it():
    done = {}
    with Pair() as both:
        both.both(lambda k: done.setdefault(k, threading.current_thread()))
    assert done[0] is threading.current_thread() and done[1] is not done[0]
    assert not done[1].is_alive(), "nobody is left behind"


@pytest.mark.parametrize("half", [0, 1])
def test_what_goes_wrong_in_either_half_is_raised_once_both_are_done(half):
    done = []

    def work(k):
        if k == half:
            raise KeyboardInterrupt
        done.append(k)

    before = threading.active_count()
    with pytest.raises(KeyboardInterrupt), Pair() as both:
        both.both(work)
    assert done == [1 - half] and threading.active_count() == before


@pytest.mark.parametrize("count", [0, 3, pair.SHARED_FROM + 1])
def test_halves_are_all_of_it_and_nothing_twice(count):
    seen = []
    in_halves(count, lambda first, last: seen.append((first, last)))
    assert sorted(i for first, last in seen for i in range(first, last)) == list(range(count))
