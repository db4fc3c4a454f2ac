"""Two cores hand in hand: both halves are done, and what goes wrong in either is heard here."""

import threading
import time

import pytest

from slype.rods import pair
from slype.rods.pair import Pair, come, has_come, in_halves, in_turn


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


STEPS = 40


def stepper(each):
    """What one core does of STEPS steps, `each(k, step)` its own part of every one."""

    def run(k, begun, counts):
        for step in range(begun, STEPS + 1):
            if not has_come(counts, 1 - k, step):
                return step
            if step == STEPS:
                break
            each(k, step)
            come(counts, k, step + 1)
        return STEPS + 1

    return run


@pytest.mark.parametrize("slow", [0, 1])
def test_no_step_is_begun_before_both_cores_have_done_the_one_before(slow, monkeypatch):
    monkeypatch.setattr(pair, "POLITE", 2)  # so that the quick one comes to sleep, too
    seen = []

    def each(k, step):
        if k == slow and step % 13 == 0:
            time.sleep(0.01)
        seen.append((step, k))

    with Pair() as both:
        in_turn(both, STEPS, stepper(each))
    assert [step for step, _ in seen] == sorted(step for step, _ in seen)
    assert sorted(seen) == [(step, k) for step in range(STEPS) for k in (0, 1)]


@pytest.mark.parametrize("stopped", [0, 1])
def test_where_one_core_is_stopped_the_other_does_not_wait_for_it(stopped):
    def each(k, step):
        if k == stopped and step == 7:
            raise KeyboardInterrupt

    before = threading.active_count()
    with pytest.raises(KeyboardInterrupt), Pair() as both:
        in_turn(both, STEPS, stepper(each))
    assert threading.active_count() == before
