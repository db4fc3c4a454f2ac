"""What hangs from an unfinished basket, moment by moment: tails of waiting weavers, ends of the border."""

from __future__ import annotations

import numpy as np
from in_order import of_solid, with_everything
from worked import planned, rested

from slype.draw.solid import solid
from slype.lay.courses import goes_on
from slype.order.kinds import ACTS
from slype.order.loose_ends import DRAWN_TAIL_MM, tail_lines
from slype.order.moments import moments
from slype.rest.curves import relaxed_curves


def loose(laid, order):
    """For every time the weavers that have begun and are not ended, told by walking through the moments."""
    bands = {band.index: i for i, band in enumerate(laid.bands)}
    now, out = set(), [set()]
    for act, band, weaver in zip(order.act.tolist(), order.band.tolist(), order.weaver.tolist(), strict=True):
        act = ACTS[act]
        if act == "set in":
            now.add((band, weaver))
        elif act == "end":
            now.remove((band, weaver))
        elif act == "stroke" and (band, weaver) not in now:  # it goes on from the band before
            before = laid.bands[bands[band] - 1]
            assert goes_on(before, laid.bands[bands[band]])
            now.remove((before.index, weaver))
            now.add((band, weaver))
        out.append(set(now))
    return out


def hung(header, time, role):
    """Strands of a role from which something hangs at a time."""
    out = []
    for strand in header["strands"]:
        begun = [line for at, line in strand.get("hangs", ()) if at <= time]
        if strand["role"] == role and begun and begun[-1]:
            out.append(strand)
    return out


def holds(laid, header, order):
    """A tail hangs at every begun and unfinished weaver, and at no other, at every time."""
    strands = {band.index: band.band.strands for band in laid.bands}
    seen = set()
    own = [moment for moment in range(len(order)) if order.of[moment] < 0 and ACTS[order.act[moment]] != "fit"]
    assert own == list(range(len(own)))
    for time, expected in enumerate(loose(laid, order)[: len(own) + 1]):
        found = sorted((each["band"], each["weaver"]) for each in hung(header, time, "weaver"))
        assert found == sorted(each for each in expected for _ in range(strands[each[0]])), time
        seen.add(len(expected))
    return seen


def test_a_tail_hangs_at_every_begun_and_unfinished_weaver(laid):
    order, header, *_ = of_solid(laid)
    assert max(holds(laid, header, order)) > 1, "somewhere several weavers wait at once"


def test_so_it_is_with_reeds_at_rest_which_are_joined_on_the_way():
    rest = rested("posy")
    order, header, *_ = of_solid(rest.laid, relaxed_curves(rest))
    assert len({each["name"] for each in header["strands"] if each["role"] == "weaver"}) > 6
    holds(rest.laid, header, order)


def test_before_the_first_weaver_and_at_the_end_nothing_hangs(laid):
    order, header, *_ = of_solid(laid)
    for time in (0, 1, len(order) - 1, len(order)):
        assert not hung(header, time, "weaver") + hung(header, time, "border"), time


def test_an_end_of_the_border_hangs_from_its_first_move_until_its_last(laid):
    order, header, *_ = of_solid(laid)
    begins = next(part.first for part in order.parts if part.key == "border")
    for time in range(begins, len(order) + 1):
        expected = [
            end for end in range(laid.design.top_ends)
            if (moves := order.by_end["border", end])[0] < time <= moves[-1]
        ]  # fmt: skip
        assert [each["end"] for each in hung(header, time, "border")] == expected, time


def test_weavers_of_a_foot_and_a_lid_hang_too(finished):
    order = moments(finished)
    reeds = with_everything(finished, order)
    for name, other in order.others.items():
        mine = [reed for reed in reeds if reed.name.startswith(name) and reed.role == "weaver"]
        for time, expected in enumerate(loose(other.laid, other.order)):
            hanging = [[line for at, line in reed.hangs if at <= time + other.first] for reed in mine]
            assert sum(bool(lines and lines[-1]) for lines in hanging) == len(expected), (name, time)
        lines = tail_lines(finished, order)
        assert {line for reed in mine for _, line in reed.hangs} <= {"", *lines}
        assert all(line.startswith(name) for reed in mine for _, line in reed.hangs if line)


def test_a_tail_hangs_from_a_reed_that_is_laid_by_then(laid):
    order, header, _, when = of_solid(laid)
    for time in range(0, len(order) + 1, 7):
        for each in hung(header, time, "weaver") + hung(header, time, "border"):
            assert when[each["first"] + 1] <= time, (each["name"], time)


def test_tails_are_short_go_out_with_the_run_and_fall(laid):
    for name, line in tail_lines(laid).items():
        line = np.array(line)
        long = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
        assert 25 < long < DRAWN_TAIL_MM + 2, name
        assert (np.diff(line[:, 0]) > 0).all() and (np.diff(line[:, 2]) >= 0).all(), name
        assert (np.diff(line[:, 1]) * (-1 if name == "in" else 1) > 0).all(), name
        if name == "side":  # by its own weight: steeper and steeper
            assert (np.diff(line[:, 2], 2) > 0).all()


def test_tails_add_next_to_nothing_to_what_is_sent():
    laid = planned("estuary").laid
    with_them = len(solid(laid, order=moments(laid)))
    _, header, *_ = of_solid(laid)
    of_them = sum(len(str(each["hangs"])) for each in header["strands"] if "hangs" in each) + len(str(header["tails"]))
    assert 0 < of_them < with_them / 50
