"""Bundles: everything that is cut lies in one, numbered in the order of use."""

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from strategies import basket, turn_taking, weave_and_ends
from worked import planned

import slype
from slype.design.file.reader import load, parse
from slype.export.plan import as_json
from slype.plans import planning
from slype.plans.bundles import MOST_LENGTHS, WEAVER_STEP_MM, bundle_of_piece, bundles, bundles_of_band
from slype.quantity import show_length
from slype.teach.card import card

EXAMPLES = sorted((Path(slype.__file__).parent / "examples").glob("*.toml"))
PLANS = {path.stem: planning.plan(load(path)) for path in EXAMPLES}
examples = pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)

FITTED = """
spokes = { reed = "round 4", ends = 24, inserted = true, base_ends = 12 }
form = { base = "6 in", wall = [["0 in", "6 in"], ["3 in", "7 in"]] }
band = [
  { where = "base", weave = "pairing", reed = "round 2", until = "6 in" },
  { where = "side", weave = "three-rod wale", reed = "round 2", rows = 3 },
  { where = "side", weave = "pairing", reed = "round 2", colours = ["rust", "sand"], add = 24, rows = 9 },
  { where = "side", weave = "three-rod wale", reed = "round 2", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
foot = { border = "foot border", reed = "round 4" }
handle = [{ kind = "bow", core = "round 8" }]

[lid]
seat = "on"
spokes = { reed = "round 4", ends = 24 }
band = [
  { weave = "pairing", reed = "round 2", groups = 2, rows = 3 },
  { weave = "pairing", reed = "round 2" },
]
border = ["behind 1 out", "over 2 down"]
"""


def names(found):
    return [each.piece.name if each.piece else each.bands for each in found if not each.lid]


def cut_of(plan):
    """(reed, colour) -> mm of every strand and piece, as planned and not rounded up."""
    out = Counter()
    for piece in plan.pieces:
        out[piece.reed.key, piece.colour] += piece.count * piece.cut_mm
    for cut in plan.cuts:
        for colour in cut.course.begins.colours[cut.weaver]:
            out[cut.course.begins.band.reed.key, colour] += cut.length_mm
    return out


@examples
def test_a_bundle_holds_one_reed_in_one_colour_and_all_of_them_hold_everything_that_is_cut(plan):
    found = bundles(plan)
    assert [each.number for each in found] == list(range(1, len(found) + 1))
    bundled, wanted = Counter(), cut_of(plan)
    lengths = Counter((each.reed.key, each.colour) for each in found for lot in each.lots for _ in range(lot.count))
    for each in found:
        bundled[each.reed.key, each.colour] += each.length_mm
    assert set(bundled) == set(wanted)
    for key, mm in wanted.items():
        # Never short; each length is rounded up by less than a step.
        step = WEAVER_STEP_MM[plan.design.units]
        assert -1e-6 <= bundled[key] - mm < lengths[key] * step


@examples
def test_no_length_is_longer_than_the_reed_it_is_cut_from(plan):
    for each in bundles(plan):
        if each.is_weaver:
            usable = min(plan.design.bands[i].usable_mm for i in range(each.bands[0], each.bands[1] + 1))
            assert each.cut_mm <= usable + 1e-6


def test_the_order_of_use_is_that_of_the_work():
    found = bundles(planned("estuary"))
    assert names(found) == ["spoke", (0, 3), (4, 4), (5, 5), (5, 5), (5, 5), (6, 6), (6, 6), (7, 7)]
    assert [each.colour for each in found[3:6]] == ["rust", "sand", "slate"]


def test_what_is_added_comes_before_its_band_and_what_is_fitted_comes_last():
    found = bundles(planning.plan(parse(FITTED, "fitted.toml")))
    assert names(found) == [
        "base stick", (0, 0), "side spoke", (1, 1), "band 3: added spoke", (2, 2), (2, 2), (3, 3),
        "foot end", "foot weaver", "bow handle core",
    ]  # fmt: skip
    assert [each.lid for each in found] == sorted(each.lid for each in found)
    assert found[-1].lid


def test_starts_cut_to_lengths_of_their_own_are_lots_of_one_bundle():
    rust = bundles(planned("estuary"))[3]
    assert [lot.starts for lot in rust.lots] == [(0, 0), (1, 1), (2, 2), (3, 3)]
    assert [lot.count for lot in rust.lots] == [2, 2, 2, 2]
    lengths = [lot.cut_mm for lot in rust.lots]
    assert lengths == sorted(lengths), "the wall flares, so every start takes more"


def test_more_starts_than_anyone_sorts_are_all_cut_like_the_longest(estuary):
    band = estuary.bands[5]
    short = replace(band, blocks=replace(band.blocks, rows=2))
    plan = planning.plan(replace(estuary, bands=(*estuary.bands[:5], short, *estuary.bands[6:])))
    starts = [course for course in plan.courses if course.bands[0] == 5]
    assert len(starts) == 8 > MOST_LENGTHS
    rust = bundles(plan)[3]
    assert [(lot.count, lot.starts) for lot in rust.lots] == [(16, None)]
    assert rust.cut_mm >= max(cut.length_mm for cut in plan.cuts if cut.course in starts)


@examples
def test_a_piece_and_a_band_find_their_bundles(plan):
    found = bundles(plan)
    for piece in plan.pieces:
        assert bundle_of_piece(found, piece).piece is piece
    for i, band in enumerate(plan.design.bands):
        mine = bundles_of_band(found, i)
        assert {each.colour for each in mine} == set(band.colours)
        assert {each.reed for each in mine} == {band.reed}
    with pytest.raises(LookupError):
        bundle_of_piece((), plan.pieces[0])


@given(weave_and_ends(turn_taking(), most=30))
@settings(max_examples=20)
def test_of_any_weave_every_strand_lies_in_a_bundle(woven):
    weave, ends = woven
    ((over, under),) = weave.cycle
    plan = planning.plan(basket(ends=ends, over=over, under=under, weavers=weave.weavers, reed="round 1"))
    firsts = sum(
        lot.count for each in bundles(plan) if each.is_weaver for lot in each.lots if lot.part in ("whole", "first")
    )
    strands = sum(len(colours) for course in plan.courses for colours in course.begins.colours)
    assert firsts == strands


@examples
def test_the_promised_form_counts_the_same(plan):
    for form, each in zip(as_json(plan)["bundles"], bundles(plan), strict=True):
        assert form["number"] == each.number
        assert sum(lot["count"] for lot in form["lots"]) == form["count"] == each.count
        assert (form["piece"] is None) == each.is_weaver


BOARD = """
base = { kind = "board", foot = ["behind 1 out", "over 1 down"] }
spokes = { reed = "round 4", ends = 25 }
form = { base = "6 in", wall = [["0 in", "5 1/4 in"], ["3 in", "6 in"]] }
bye_spokes = { from = "upsett" }
band = [
  { where = "side", weave = "three-rod wale", reed = "round 2", rows = 3 },
  { where = "side", weave = "randing", reed = "round 2", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
handle = [{ kind = "side rope", wrap = "round 3" }, { kind = "bow", core = "round 8", wrap = "round 2" }]
"""


@pytest.mark.parametrize("text", [FITTED, BOARD], ids=["foot, handle and lid", "board, bye-spokes and two handles"])
def test_the_card_of_the_experienced_calls_every_bundle_and_every_part_of_the_work(text):
    """What stands on the list of the card has its place in the work: pushed in, set in a board, a foot, a handle."""
    plan = planning.plan(parse(text))
    lines = dict(card(plan))
    called = {int(n) for told in lines.values() for run in re.findall(r"bundles? ([\d, and]+)", told)
              for n in re.findall(r"\d+", run)}  # fmt: skip
    assert called == {each.number for each in bundles(plan)}
    for each in plan.handles:
        one, other = each.feet(plan.design.top_ends)[0]
        (told,) = [how for what, how in lines.items() if each.handle.record.name in what.lower()]
        assert f"spokes {one + 1} and {other + 1}" in told and show_length(each.depth_mm, "in") in told
    assert ("Foot" in lines) and ("Board" in lines) == (plan.board is not None)
