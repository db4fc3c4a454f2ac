"""Two cores that take turns: neither begins a step before both have done all before it, and none is left waiting."""

import threading
import time

import pytest

from slype.rods import turns
from slype.rods.pair import Pair
from slype.rods.turns import come, has_come, in_turn

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
    monkeypatch.setattr(turns, "POLITE", 2)  # so that the quick one comes to sleep, too
    seen = []

    def each(k, step):
        if k == slow and step % 13 == 0:
            time.sleep(0.01)
        seen.append((step, k))

    with Pair() as pair:
        in_turn(pair, STEPS, stepper(each))
    assert [step for step, _ in seen] == sorted(step for step, _ in seen)
    assert sorted(seen) == [(step, k) for step in range(STEPS) for k in (0, 1)]


@pytest.mark.parametrize("stopped", [0, 1])
def test_where_one_core_is_stopped_the_other_does_not_wait_for_it(stopped):
    def each(k, step):
        if k == stopped and step == 7:
            raise KeyboardInterrupt

    before = threading.active_count()
    with pytest.raises(KeyboardInterrupt), Pair() as pair:
        in_turn(pair, STEPS, stepper(each))
    assert threading.active_count() == before
