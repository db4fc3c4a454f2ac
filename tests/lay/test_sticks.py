"""Sticks of a base are opened out so that every row can be woven, and its weavers go round them where they stand."""

from __future__ import annotations

import numpy as np
import pytest
from strategies import basket

from slype.design.file.reader import parse
from slype.lay.laying import lay
from slype.surface.opened import free_between
from slype.surface.opening_out import BENT, ROOM
from slype.surface.standing import stick_curves
from slype.surface.woven import stacked_curves

OPENING = """
[[band]]
where = "base"
weave = "pairing"
reed = "round 1"
rows = 3
groups = {groups}
[[band]]
where = "base"
weave = "pairing"
reed = "round 1"
until = "6 in"
"""


OVAL = """
spokes = {{ reed = "round 5", ends = {ends} }}
form = {{ outline = "oval", base = ["11 in", "6 in"], wall = [["0 in", "11 in", "6 in"], ["3 in", "11 in", "6 in"]] }}
band = [
  {{ where = "base", weave = "pairing", reed = "round 2", until = "6 in" }},
  {{ where = "side", weave = "randing", reed = "round 2", until = "top" }},
]
border = {{ rows = ["behind 1 out", "over 2 in"] }}
"""
ENDS = 32


@pytest.fixture(params=[2, 4, 8])
def laid(request):
    return lay(basket(ends=ENDS, spoke="round 3", before=OPENING.format(groups=request.param)))


def angles(laid, s):
    """Where the sticks stand (ends,) at `s` mm from the middle, rad."""
    return np.array([np.interp(s, stick.s, stick.u) for stick in stick_curves(laid)]) * 2 * np.pi / ENDS


def test_in_every_row_its_weaver_has_room_between_the_sticks_or_groups_it_goes_between(laid):
    stick = laid.design.spokes.stick_reed.diameter_mm
    for band in laid.base:
        weaver = band.band.reed.diameter_mm
        first = np.flatnonzero(np.diff(np.repeat(np.arange(len(band.sizes)), band.sizes), append=-1))
        for s in band.start_s + weaver / 2 + np.arange(band.rows) * band.pitch_mm:
            stand = angles(laid, s)
            free = s * np.diff(stand, append=stand[0] + 2 * np.pi)[first] - stick
            even = s * 2 * np.pi / len(band.sizes) - (ENDS // len(band.sizes)) * stick
            assert free.min() > min(ROOM * weaver, even) - 0.15


def test_sticks_open_out_without_a_kink_and_reach_even_places(laid):
    stick = laid.design.spokes.stick_reed.diameter_mm
    for k, curve in enumerate(stick_curves(laid)):
        angle = curve.u * 2 * np.pi / ENDS
        x, y = curve.s * np.cos(angle), curve.s * np.sin(angle)
        assert curve.u[-1] == pytest.approx(k + 0.5, abs=0.01)
        slope = np.unwrap(np.arctan2(np.diff(y), np.diff(x)))
        bend = np.abs(np.diff(slope)) / np.hypot(np.diff(x), np.diff(y))[1:]
        assert np.percentile(bend * stick / 2, 95) < 2.5 * BENT  # where a row needs room at once it is sharper


def test_a_weaver_passes_every_stick_where_that_stands(laid):
    where = {curve.end: (curve.s, curve.u) for curve in stick_curves(laid)}
    band = laid.base[1]
    checked = 0
    for weaver in stacked_curves(laid):
        if weaver.where != "base" or weaver.band != band.index:
            continue
        for number in np.arange(np.ceil(weaver.place[0]), np.floor(weaver.place[-1])):
            s, here = (np.interp(number + 0.5, weaver.place, each) for each in (weaver.s, weaver.u))
            stands = np.interp(s, *where[int(number) % ENDS]) + ENDS * (number // ENDS)
            assert here == pytest.approx(stands, abs=0.03)
            checked += 1
    assert checked > 100


def sharpest(laid, curve):
    """The most that a stick turns within its own thickness, rad, seen from above."""
    form = laid.design.form
    x, y, *_ = form.base_place(laid.design.turn("base", curve.u), curve.s)
    step = np.diff([x, y])
    long = np.hypot(*step)
    turned = np.append(0.0, np.cumsum(np.abs(np.diff(np.unwrap(np.arctan2(step[1], step[0]))))))
    at = np.append(0.0, np.cumsum(long))[:-1]
    return float((np.interp(at + curve.thick_mm, at, turned) - turned).max())


@pytest.mark.parametrize("ends", [32, 40, 44])
def test_no_long_stick_of_an_oval_stands_in_a_corner(ends):
    # 14 of 40 lie along it: the outermost turns by a right angle. A nip turns by as much within a thickness.
    laid = lay(parse(OVAL.format(ends=ends)))
    assert max(sharpest(laid, stick) for stick in stick_curves(laid)) < 1.0


ALL_SINGLY = '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = {rows}\n'


def test_what_lies_free_between_ends_that_stand_even_is_the_chord_from_one_to_the_next_less_a_stick():
    both = ALL_SINGLY.format(rows=12) + ALL_SINGLY.format(rows=6)
    laid = lay(basket(ends=24, spoke="round 3", base="8 in", before=both))
    last = laid.base[-1]
    chord = 2 * last.s[0] * np.sin(np.pi / 24)
    assert free_between(laid, last) == pytest.approx(chord - laid.design.spokes.stick_reed.diameter_mm, rel=0.02)
