"""Another count of ends keeps a base that can be tied and opened: what follows the count follows it."""

import pytest
from places import EXAMPLES

from slype.design.file.reader import parse
from slype.design.values import arms, group_sizes
from slype.edit.apply import apply, blank, document
from slype.plans.planning import plan


def remarks(text: str) -> set[str]:
    return {found.rule.key for found in plan(parse(text)).advice}


def groups(text: str) -> list[int]:
    return [band.group for band in parse(text).bands if band.where == "base"]


def with_ends(text: str, ends: int) -> str:
    return apply(text, [{"set": ["spokes", "ends"], "to": ends}]).text


@pytest.mark.parametrize("wording", ["us", "uk"])
@pytest.mark.parametrize("ends", [16, 20, 24, 28, 32, 36, 40, 44, 48])
def test_a_new_basket_on_any_fours_is_tied_over_its_arms_and_opens_evenly(wording, ends):
    text = with_ends(blank(wording=wording), ends)
    assert groups(text)[0] == ends // 4
    assert not remarks(text) & {"groups lie across the arms", "groups do not come out even"}


@pytest.mark.parametrize("ends", range(16, 49))
def test_no_count_leaves_more_groups_than_the_cross_has_arms(ends):
    tied = groups(with_ends(blank(), ends))[0]
    assert ends // tied == 4


def test_pressing_plus_eight_times_ends_where_typing_does():
    step = blank()
    for ends in range(25, 33):
        step = with_ends(step, ends)
    assert groups(step) == groups(with_ends(blank(), 32)) == [8, 4, 1]


def test_there_and_back_is_as_it_was():
    assert groups(with_ends(with_ends(blank(), 32), 24)) == [6, 3, 1]


def test_what_followed_is_told():
    notes = apply(blank(), [{"set": ["spokes", "ends"], "to": 32}]).notes
    assert "Band 1: groups of 8, to suit 32 ends." in notes


def test_a_lid_follows_its_own_count():
    lid = {
        "seat": "on",
        "spokes": {"reed": "round 4", "ends": 24},
        "band": [
            {"weave": "pairing", "reed": "round 2", "groups": 6, "rows": 2},
            {"weave": "pairing", "reed": "round 2", "groups": 3, "rows": 5},
            {"weave": "pairing", "reed": "round 2"},
        ],
        "border": ["behind 1 out", "over 2 down"],
    }
    text = apply(blank(), [{"set": ["lid"], "to": lid}]).text
    text = apply(text, [{"set": ["lid", "spokes", "ends"], "to": 32}]).text
    assert [band.group for band in parse(text).lid.mat.bands] == [8, 4, 1]


def test_groups_that_lay_on_no_arms_keep_their_share():
    text = apply(blank(), [{"set": ["band", 0, "groups"], "to": 4}, {"set": ["spokes", "ends"], "to": 36}]).text
    assert groups(text)[0] == 6


def test_side_spokes_pushed_in_leave_a_base_of_half_as_many_that_is_tied_as_well():
    inserted = apply(blank(), [{"set": ["spokes", "inserted"], "to": True}]).text
    assert groups(inserted) == [3, 2, 1]
    assert "groups lie across the arms" not in remarks(inserted)
    assert groups(apply(inserted, [{"set": ["spokes", "inserted"], "to": False}]).text) == [6, 3, 1]


def test_one_or_two_beside_every_base_end_brings_the_count_that_makes():
    text = apply(blank(), [{"set": ["spokes", "inserted"], "to": True}]).text
    for beside, ends in ((1, 12), (2, 24)):
        text = apply(text, [{"set": ["base", "beside"], "to": beside}]).text
        assert parse(text).spokes.ends == ends


@pytest.mark.parametrize("name", ["estuary", "blank"])
def test_made_oval_and_round_again_a_base_is_tied_and_opened_as_it_was(name):
    text = blank() if name == "blank" else (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    text = apply(text, [{"set": ["form", "outline"], "to": "round"}]).text
    oval = apply(text, [{"set": ["form", "outline"], "to": "oval"}]).text
    again = apply(oval, [{"set": ["form", "outline"], "to": "round"}])
    groups, single, back = (
        [band.get("groups") for band in document(each)["band"] if band.get("where") == "base"]
        for each in (text, oval, again.text)
    )
    assert any(groups) and not any(single) and back == groups
    assert any("a round base has four arms" in note for note in again.notes)


@pytest.mark.parametrize("ends", range(16, 90))
def test_four_groups_are_the_four_arms_on_every_count(ends):
    assert group_sizes(ends, ends // 4) == arms(ends)


@pytest.mark.parametrize("ends", [18, 22, 26, 30, 31, 34, 38])
def test_arms_that_differ_by_one_are_no_fault_of_the_groups_that_tie_them(ends):
    found = plan(parse(with_ends(blank(), ends))).advice
    assert not [each for each in found if "groups" in each.rule.key and each.where.startswith("band 1")]
