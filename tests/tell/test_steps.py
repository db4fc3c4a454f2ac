"""The making in words: every weave and every kind of spoke gives sentences that hold, for either hand and wording."""

import re
from dataclasses import replace

import pytest
from strategies import basket

from slype.design.file.reader import parse
from slype.plans import planning
from slype.plans.cautions import CAUTIONS, cautions
from slype.quantity import show_cut
from slype.sources import SOURCES
from slype.tell.lists import ruler
from slype.tell.steps import steps, tools
from slype.tell.voice import show_about
from slype.weave.table import WEAVES

LEFTOVER = re.compile(r"[{}]|\bNone\b|\bnan\b|\binf\b|Weave\(|\(\)|  |\.\.|\b1 (?:rows|spaces|spokes|ends|joins)\b")
SECONDS = 0.5  # the steps' times are the plan's, but for rounding

BASKET = """
[basket]
hand = "{hand}"
wording = "{wording}"
units = "{units}"
[spokes]
reed = "round 5"
ends = {ends}
{spokes}
[form]
base = "7 in"
wall = [["0 in", "7 in"], ["4 in", "9 in"]]
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 4
rows = 3
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
until = "7 in"
[[band]]
where = "side"
reed = "round 3"
{band}
[border]
rows = {border}
"""
CLOSED = '["behind 1 out", "over 3 in", "over 2 down"]'
KINDS = {
    "through": (28, ""),
    "through in pairs": (28, "per_end = 2"),
    "through with a half one": (27, ""),
    "half ones in pairs": (27, "per_end = 2"),
    "one each side": (32, "inserted = true\nbase_ends = 16"),
    "one left out": (31, "inserted = true\nbase_ends = 16"),
    "one beside each": (16, "inserted = true\nbase_ends = 16"),
    "some with two": (28, "inserted = true\nbase_ends = 20"),
    "half a base stick": (33, "inserted = true\nbase_ends = 17\nper_end = 2"),
    "more than the base carries": (40, "inserted = true\nbase_ends = 16"),
}


def planned(
    band='weave = "three-rod wale"\nrows = 4', kind="through", hand="right", wording="us", units="in", border=CLOSED
):
    ends, spokes = KINDS[kind]
    return planning.plan(
        parse(
            BASKET.format(hand=hand, wording=wording, units=units, ends=ends, spokes=spokes, band=band, border=border)
        )
    )


def said(plan):
    return "\n".join(line for step in steps(plan) for line in (step.title, *step.lines))


def band_step(plan, index=2):
    (step,) = (step for step in steps(plan) if step.band == index)
    return step


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", WEAVES)
def test_every_weave_is_told_without_leftovers(name, hand):
    for kind in ("through", "through with a half one", "one left out"):
        for wording, units in (("us", "in"), ("uk", "cm")):
            text = said(planned(f'weave = "{name}"\nrows = 9', kind, hand, wording, units))
            assert not LEFTOVER.search(text), LEFTOVER.search(text)
            assert name in text


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_spoke_is_told_without_leftovers(kind):
    for border in (CLOSED, '["over 2 down"]', '["behind 2 down"]', '["behind 2 out", "over 2, behind 1 in"]'):
        text = said(planned(kind=kind, border=border))
        assert not LEFTOVER.search(text), LEFTOVER.search(text)
        assert ("slype" in text) == KINDS[kind][1].startswith("inserted")


def test_hands_mirror_each_other():
    right, left = said(planned()), said(planned(hand="left"))
    assert right != left

    def mirrored(text):
        swap = {"left": "right", "right": "left", "clockwise": "counterclockwise", "counterclockwise": "clockwise"}
        return re.sub(r"\b(left|right|clockwise|counterclockwise)\b", lambda word: swap[word[0]], text)

    assert mirrored(right) == left
    assert "Take the left-hand weaver" in right and "Take the right-hand weaver" in left


def test_british_wording_says_stake_border_and_cane():
    text = said(planned('weave = "slewing"\nstrands = 3\nrows = 6', "one left out", wording="uk"))
    assert "stakes" in text and "Work the border" in text and "slath" in text and "3 canes side by side" in text
    assert not re.search(r"\bspokes?\b|\brim\b|\bcross\b", text)
    american = said(planned(kind="one left out"))
    assert "spokes" in american and "Work the border" in american
    assert not re.search(r"\bstakes?\b|\bslath\b", american)


def test_weavers_are_set_in_order_from_the_start_space():
    colours = 'colours = ["rust", "rust", "sand", "slate"]'
    band = f'weave = "four-rod wale"\nover = 2\nunder = 2\n{colours}\nrows = 6\nstart = 27'
    lines = "\n".join(band_step(planned(band)).lines)
    assert "rust in space 27, rust in space 28, sand in space 1 and slate in space 2" in lines
    assert "over the other 3, in front of 2 spokes, behind 2, and out" in lines
    assert "One row is 28 strokes" in lines


def test_reversed_and_alternating_rows_are_told():
    assert "under the other 2" in "\n".join(band_step(planned('weave = "reverse three-rod wale"\nrows = 4')).lines)
    chain = "\n".join(band_step(planned('weave = "chain wale"\nrows = 4')).lines)
    assert "row 1 goes over the other 2 and row 2 goes under the other 2" in chain


def test_blocks_tell_every_start():
    band = 'weave = "three-rod wale"\nrows = 10\nblocks = { rows = 4, shift = 2 }\nstart = 27'
    lines = "\n".join(band_step(planned(band)).lines)
    assert "rows 1 to 4 from space 27; rows 5 to 8 from space 1; rows 9 to 10 from space 3" in lines


def test_joins_are_where_the_plan_has_them():
    plan = planned('weave = "randing"\nrows = 20\nlength = "9 ft"', "through with a half one")
    joins = plan.joins[2].joins
    lines = "\n".join(band_step(plan).lines)
    assert joins
    for join in joins:
        assert f"row {join.row + 1} behind spoke {join.spoke + 1}" in lines


def test_french_randing_begins_behind_its_start_and_goes_backwards():
    lines = "\n".join(band_step(planned('weave = "French randing"\nrows = 3\nstart = 10')).lines)
    assert "28 in all, from space 10 on" in lines
    assert "Begin with the weaver in space 9" in lines and "to its left, in space 8" in lines
    assert "Lift the first 2 to let the last 2 pass below" in lines


def test_an_even_count_is_not_called_odd():
    lines = "\n".join(band_step(planned('weave = "randing"\nrows = 4')).lines)
    assert "odd" not in lines and "does not hold" in lines
    assert "Because 27 is odd" in "\n".join(
        band_step(planned('weave = "randing"\nrows = 4', "through with a half one")).lines
    )


def test_a_free_weave_is_told_by_its_strokes():
    step = band_step(planned("weavers = 2\ncycle = [3, 2, 1, 1]\nrows = 5"))
    assert "over 3, under 2, then over 1, under 1" in step.title
    assert "next stroke goes in front of 1 spoke, behind 1" in "\n".join(step.lines)


def test_groups_are_told_with_their_sizes():
    lines = band_step(planned(kind="through with a half one"), 0).lines
    assert "3 groups of 5 and 3 groups of 4" in lines[0]
    assert "Open the ends out singly" in band_step(planned(), 1).lines[0]


@pytest.mark.parametrize("kind", ["through", "one left out"])
def test_the_times_of_the_steps_are_the_plans(kind):
    plan = planned(kind=kind)
    told = sum(step.minutes or 0.0 for step in steps(plan) if step.title != "Soak")
    assert told * 60 == pytest.approx(plan.time.seconds, abs=SECONDS)


ROUNDED = """
spokes = { reed = "round 5", ends = 24 }
form = { base = "9 in", wall = [["0 in", "9 in"], ["3 in", "10 in"]] }
band = [
  { where = "base", weave = "pairing", reed = "round 3", groups = 6, rows = 3 },
  { where = "base", weave = "pairing", reed = "round 3", until = "9 in" },
  { where = "side", weave = "three-rod wale", reed = "round 3", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
"""


def test_a_base_has_one_width_wherever_it_is_told():
    """Its last whole row lies within a reed of what was asked for: rows, ruler and advice all call it by that."""
    off = []
    for wide in ("8 3/4", "8 7/8", "9", "9 1/8", "9 1/4"):
        plan = planning.plan(parse(ROUNDED.replace("9 in", f"{wide} in")))
        off.append(abs(plan.laid.base_reached_mm - plan.design.form.base_width_mm))
        said = " ".join(line for step in steps(plan) for line in step.lines)
        assert re.findall(r"the base is ([\d /]+) in across", said)[-1] == wide
        (row,) = [row for row in ruler(plan) if row[0].startswith("Band 2")]
        assert any(f"{wide} in" in each for each in row)
        (crown,) = [each for each in plan.advice if each.rule.key == "crown of the base"]
        assert f" {wide} in across" in crown.message
    assert 1.5 < max(off) < 4.5


def test_a_mat_is_not_turned_up():
    design = planned().design
    mat = planning.plan(replace(design, bands=design.bands[:2]))
    titles = [step.title for step in steps(mat)]
    assert not [title for title in titles if "Turn up" in title]
    assert [title for title in titles if title == "Work the border"]


def test_lengths_to_cut_are_never_short():
    assert show_cut(304.8 * 9, "in") == "9 ft"
    assert show_cut(304.8 * 9 + 0.1, "in") == "9 ft 1 in"
    assert show_cut(500, "in") == "20 in"
    assert show_cut(1001, "cm") == "1.01 m"
    assert show_cut(501, "cm") == "51 cm"
    assert show_about(50.8, "cm") == "5 cm" and show_about(50.8, "in") == "2 in"


def test_cautions_have_sources_and_hand_on_to_who_knows_better():
    assert len({caution.key for caution in CAUTIONS}) == len(CAUTIONS) >= 12
    assert all(caution.source in SOURCES for caution in CAUTIONS)
    dyed = {c.key for c, _ in cautions(planned('weave = "three-rod wale"\nrows = 4\ncolours = ["rust"]'))}
    plain = {c.key for c, _ in cautions(planned())}
    assert dyed - plain == {"dye powder", "dye baths", "food"} and plain - dyed == {"food contact"}
    for wording in ("us", "uk"):
        text = " ".join(
            text for _, text in cautions(planned('weave = "pairing"\ncolours = ["rust"]\nrows = 4', wording=wording))
        )
        assert not LEFTOVER.search(text)
        for word in ("label", "local rules", "qualified advice", "not rated", "child", "kitchen"):
            assert word in text


def test_tools_follow_the_design():
    assert "sharp knife" in tools(planned(kind="one each side")) and "sharp knife" not in tools(planned())
    for colours, rows, tagged in ((["rust"], 2, "bundles"), (["rust", "sand"], 2, "bundles and colors"),
                                  (["rust", "sand"], 12, "bundles, colors and weavers")):  # fmt: skip
        plan = planning.plan(basket(weave="pairing", colours=colours, rows=rows))
        assert tools(plan)[-1] == f"tags for {tagged}", "weavers where they are joined and differ"
