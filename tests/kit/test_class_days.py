"""Who finishes, when, and how much is enough: simulations beside their closed forms."""

import heapq
import math
from dataclasses import replace
from itertools import pairwise
from statistics import NormalDist

import numpy as np
import pytest

from slype.kit import finishing
from slype.kit.chance import enough
from slype.kit.finishing import finish, work_minutes
from slype.kit.pace import SKILLS
from slype.kit.seats import kits
from slype.kit.timetable import clock_of
from slype.kit.values import PREPARED
from slype.kit.waiting import longer, wait_minutes
from slype.kit.worked import work
from slype.tell.classes.days import verdict

FOOT = 304.8


# Who finishes --------------------------------------------------------------------------------------------------


def test_the_odds_of_one_student_are_those_of_the_normal_curve(asked, worked, monkeypatch):
    """With steps that do not stray, the logarithm of a student's time is normal: odds have a closed form."""
    monkeypatch.setattr(finishing, "STEP_SPREAD", 0.0)
    found = finish(asked, worked.kits)
    for kit, odds in zip([kit for kit in worked.kits if not kit.seat.spare], found.seats, strict=True):
        skill = SKILLS[kit.seat.skill]
        usual = math.log(kit.basket.plan.time.seconds / 60 * skill.times * found.waiting)
        expected = NormalDist(usual, skill.spread).cdf(math.log(found.available))
        assert odds.odds == pytest.approx(expected, abs=4 * math.sqrt(0.25 / found.runs))
        assert odds.minutes == pytest.approx(math.exp(usual), rel=0.02)


def test_how_many_finish_has_the_mean_of_the_odds(worked):
    found = worked.finish
    mean = sum(k * p for k, p in enumerate(found.chances))
    assert mean == pytest.approx(sum(each.odds for each in found.seats), abs=1e-9)
    assert sum(found.chances) == pytest.approx(1.0)
    assert found.at_least <= found.usual <= len(found.seats)


def test_what_is_woven_beforehand_helps_and_never_hurts(worked):
    expected = [many for _, many in worked.finish.expected]
    assert [key for key, _ in worked.finish.expected] == list(PREPARED)
    assert expected == sorted(expected)


def test_a_longer_day_and_more_skill_help(asked, worked):
    def many(changed, kits=worked.kits):
        return sum(k * p for k, p in enumerate(finish(changed, kits, 2000).chances))

    assert many(asked) < many(replace(asked, ends=asked.ends + 60))
    able = tuple(replace(kit, seat=replace(kit.seat, skill="experienced")) for kit in worked.kits)
    assert many(asked) < many(asked, able)


def test_a_seed_gives_the_same_class_again_and_another_seed_another(asked, worked):
    first, again = (finish(asked, worked.kits, 500).chances for _ in range(2))
    other = finish(replace(asked, rules=replace(asked.rules, seed=7)), worked.kits, 500).chances
    assert first == again != other


def test_the_slow_are_stopped_in_time_for_the_border(asked, worked):
    short = replace(asked, ends=asked.ends - 75)
    found = finish(short, worked.kits)
    assert found.stop is not None
    tasks = [task.key for task in found.tasks]
    border = tasks.index("border")
    assert found.stop.task < border
    left = sum(task.minutes for task in found.tasks[border:])
    assert found.stop.work_minutes + left < work_minutes(short)


def test_the_teachers_watch_stands_in_place_of_the_assumption(asked):
    one = replace(asked, seats=asked.seats[:1])
    quick, _ = kits(replace(one, pace=(("strokes_per_minute", 16.0),)))
    slow, _ = kits(one)
    strokes = slow[0].basket.plan.time.strokes
    saved = slow[0].basket.plan.time.seconds - quick[0].basket.plan.time.seconds
    assert saved == pytest.approx(strokes * 60 * (1 / 8 - 1 / 16))


def test_waiting_for_help_is_that_of_a_simulated_room():
    """The closed form beside a room played through: each works on, asks, waits for whoever is free first."""
    dice = np.random.default_rng(11)
    for students, answering in ((12, 1), (12, 2), (5, 1)):
        ask = [(float(dice.exponential(30.0)), seat) for seat in range(students)]
        free, waited = [0.0] * answering, []
        heapq.heapify(ask)
        for _ in range(60_000):
            now, seat = heapq.heappop(ask)
            begun = max(now, free[0])
            done = begun + float(dice.exponential(2.0))
            heapq.heapreplace(free, done)
            waited.append(begun - now)
            heapq.heappush(ask, (done + float(dice.exponential(30.0)), seat))
        assert wait_minutes(students, answering, 30.0, 2.0) == pytest.approx(np.mean(waited), rel=0.06)


def test_nobody_waits_alone_and_every_helper_makes_it_less():
    assert longer(1, 1, 30.0) == longer(4, 4, 30.0) == 1.0
    waits = [wait_minutes(12, hands, 30.0) for hands in range(1, 12)]
    assert waits == sorted(waits, reverse=True) and waits[0] > 2 * waits[1]


def test_a_helper_speeds_the_class_and_is_told(asked, worked):
    more = []
    for minutes in (30, 45, 60, 75):
        short = replace(asked, ends=asked.ends - minutes)
        alone, helped = (finish(replace(short, helpers=n), worked.kits, 2000) for n in (0, 2))
        assert alone.waiting > helped.waiting >= 1.0
        assert sum(each.odds for each in alone.seats) < sum(each.odds for each in helped.seats)
        assert alone.usual <= alone.usual_helped <= helped.usual
        more.append(alone.usual_helped - alone.usual)
    assert max(more) > 0


def test_one_number_says_how_many_finish_wherever_it_stands(asked, worked):
    """The front page, the warning and the offered remedies all count in the middle one of all classes."""
    short = work(replace(asked, ends=asked.ends - 60))
    found = short.finish
    (warned,) = [each for each in short.remarks if "in time" in each.message]
    assert f" {found.usual} finish in time" in warned.message
    first, *more = verdict(short)
    assert first.startswith(f"{found.usual} of {len(found.seats)} finish by")
    prepared, would = found.better_prepared
    assert would > found.usual and f"beforehand {would} would" in warned.remedy
    many = "all" if would == len(found.seats) else would
    assert any(said.startswith("Weave the bases") and f"beforehand and {many} do" in said for said in more)
    again = finish(replace(short.asked, prepared=prepared), short.kits)
    assert again.usual == would


def test_a_helper_is_not_offered_with_whom_no_more_would_finish(asked, worked):
    """All that can be is woven beforehand and everybody has a helper: one more does not cure a shorter day."""
    short = replace(asked, ends=asked.ends - 165, prepared=PREPARED[-1], helpers=12)
    made = work(short)
    assert made.finish.usual_helped == made.finish.usual < 12
    (warned,) = [each for each in made.remarks if "in time" in each.message]
    assert "helper" not in warned.remedy


def test_a_class_that_all_but_surely_ends_in_time_is_not_warned_of(asked):
    calm = work(replace(asked, ends=asked.ends + 150, seats=asked.seats[:4]))
    assert min(each.odds for each in calm.finish.seats) > 0.95
    assert not [each for each in calm.remarks if "in time" in each.message]


# The day -------------------------------------------------------------------------------------------------------


def test_no_work_falls_into_a_break(asked, worked):
    for minutes in np.linspace(0, work_minutes(asked), 200):
        now = clock_of(asked, float(minutes))
        assert not any(first < now < last for first, last in asked.breaks)
        assert asked.starts <= now
    assert clock_of(asked, work_minutes(asked)) == pytest.approx(asked.ends - finishing.CLEARING, abs=0.01)


def test_reed_is_in_the_water_before_it_is_used_as_long_as_its_size_asks(worked):
    soaks = [hour for hour in worked.when.hours if hour.key == "soak"]
    assert sorted(n for hour in soaks for n in hour.bundles) == [b.number for b in worked.kits[0].basket.bundles]
    for hour in soaks:
        assert hour.end - hour.start == pytest.approx(hour.reed.soak().minutes[1])


def test_the_days_before_follow_each_other_and_end_before_the_class(worked):
    before = [job for job in worked.when.jobs if job.last < 0]
    assert [job.key for job in before] == ["order", "dye", "dry", "cut", "bundle"]
    assert all(a.last + 1 == b.first for a, b in pairwise(before))
    assert before[-1].last == -1
    assert worked.when.date_of(-1).isoformat() == "2027-03-12"


def test_a_class_shorter_than_its_soaking_is_told(asked):
    made = work(replace(asked, ends=asked.starts + 45, breaks=(), seats=asked.seats[:2]))
    (stop,) = [each for each in made.remarks if each.weight == "stop"]
    assert "45 minutes" in stop.message and "soaks" in stop.message and "hours" in stop.where


# Enough reed ---------------------------------------------------------------------------------------------------


def test_many_small_pieces_need_what_the_closed_form_says():
    """Pieces so small that nothing is wasted: strands needed are the length wanted over the batch's usual length, which
    is even over the middle half of the range. So 95 % is where only 5 % of batches are shorter (the newsvendor's
    quantile)."""
    pieces = [25.4] * 12_000
    shortest, longest = 8 * FOOT, 12 * FOOT
    found = enough(pieces, shortest, longest, 50, 0.95, seed=3, runs=60)
    usual = shortest + (longest - shortest) * (0.25 + 0.5 * 0.05)
    assert found.strands == pytest.approx(sum(pieces) / usual, rel=0.02)
    assert found.usual_strands == pytest.approx(sum(pieces) / (10 * FOOT), rel=0.02)


def test_the_spread_of_a_sum_of_strands_is_that_of_independent_lengths():
    """Within one batch lengths are independent and even over half the range, so their sum has the variance of the sum:
    n w^2 / 12."""
    dice = np.random.default_rng(5)
    n, low, high = 40, 2000.0, 2600.0
    sums = dice.uniform(low, high, (20_000, n)).sum(axis=1)
    assert sums.std() == pytest.approx((high - low) * math.sqrt(n / 12), rel=0.02)
    assert np.quantile(sums, 0.05) == pytest.approx(
        NormalDist(n * (low + high) / 2, (high - low) * math.sqrt(n / 12)).inv_cdf(0.05), rel=1e-3
    )


def test_more_surety_needs_more_and_measuring_a_coil_never_needs_more_than_the_worst():
    pieces = [1200.0] * 300
    sure = [enough(pieces, 2000.0, 3200.0, 40, chance, 1, 120) for chance in (0.5, 0.8, 0.95)]
    assert [each.strands for each in sure] == sorted(each.strands for each in sure)
    assert sure[-1].fewest <= sure[-1].packs_measured <= sure[-1].most
    assert sure[-1].packs_measured <= sure[-1].packs + 1e-9


def test_a_piece_longer_than_the_shortest_strand_is_refused():
    with pytest.raises(ValueError, match="longer"):
        enough([2001.0], 2000.0, 3000.0, 40, 0.95, 1)
