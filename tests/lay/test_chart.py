"""The chart: which colour lies where, on both faces, for both hands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slype.export.promised import chart_json
from slype.lay.laying import lay


def test_each_row_of_four_rod_wale_lays_two_reeds_on_each_face_of_every_spoke(estuary):
    chart = chart_json(lay(estuary))
    for face in ("outside", "inside"):
        band = chart[face][5]
        assert len(band["rows"]) == 16
        assert {len(cell) for row in band["rows"] for cell in row} == {2}


def test_thirty_two_spokes_stack_four_weavers_into_lines_and_a_jump_makes_blocks(estuary):
    rows = chart_json(lay(estuary))["outside"][5]["rows"]
    # Within a block every row lies on the one below it ...
    assert rows[1] == rows[0] and rows[3] == rows[0]
    # ... and the next block is the same, two spaces further on (away from the start line).
    assert rows[4][12:28] == rows[0][10:26]
    assert rows[4][12:28] != rows[0][12:28]


def test_randing_on_an_odd_count_passes_each_spoke_once_a_row_and_changes_face_every_row(posy):
    chart = chart_json(lay(posy))
    outside, inside = chart["outside"][3]["rows"], chart["inside"][3]["rows"]
    for row, (front, back) in enumerate(zip(outside, inside, strict=True)):
        assert all(len(f) + len(b) == 1 for f, b in zip(front, back, strict=True))
        if row:
            assert all(bool(f) != bool(below) for f, below in zip(front, outside[row - 1], strict=True))


@pytest.mark.parametrize("name", ["estuary", "posy"])
def test_the_other_hand_gives_the_mirror_image(name, request):
    design = request.getfixturevalue(name)
    right, left = (chart_json(lay(replace(design, hand=hand))) for hand in ("right", "left"))
    for face in ("outside", "inside"):
        for a, b in zip(right[face], left[face], strict=True):
            assert a["rows"] == [row[::-1] for row in b["rows"]]
    assert right != left


def test_grouped_ends_show_alike(estuary):
    rows = chart_json(lay(estuary))["outside"][0]["rows"]
    for row in rows:
        assert len(row) == 32
        assert all(row[i] == row[i - i % 8] for i in range(32))


def test_a_slewed_weaver_lays_its_strands_in_their_own_order(quayside):
    rows = chart_json(lay(quayside))["outside"][3]["rows"]
    assert {tuple(cell) for row in rows for cell in row if cell} == {("moss", "natural", "moss")}
