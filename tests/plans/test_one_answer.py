"""One basket, one answer: the same remarks whoever asks, and a word on which numbers they are."""

import json

import pytest
from commands import slype_in
from places import EXAMPLES
from strategies import basket_text
from worked import rested, rested_of

from slype.design.file.reader import load, parse
from slype.plans.planning import plan
from slype.rest.relax import relax
from slype.studio import answers
from slype.studio.shown import lists
from slype.tell.voice import whence

BASE = "".join(
    f'[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\n{how_far}\n'
    for how_far in ("groups = 6\nrows = 3", "groups = 2\nrows = 4", 'until = "7 in"')
)
SHORT = dict(ends=24, base="7 in", rows=20, wall=[["0 in", "7 in"], ["3 in", "8 in"]], before=BASE)


def remarks(advice):
    return [(each.rule.key, each.where, each.message, each.remedy) for each in advice if not each.rule.at_rest]


@pytest.fixture(scope="module")
def short():
    rest = rested_of(basket_text(**SHORT))
    return plan(rest.design), plan(rest.design, rest)


def test_reeds_at_rest_say_what_stacked_rows_say_and_what_only_they_can_tell(short):
    quick, settled = short
    assert remarks(quick.advice) == remarks(settled.advice)


def test_a_base_woven_to_its_edge_is_not_warned_of(short):
    for each in short:
        assert "base bands against base" not in {found.rule.key for found in each.advice}


@pytest.mark.parametrize("example", ["estuary", "quayside"])
def test_check_and_the_studio_make_the_same_remarks(example, tmp_path):
    path = EXAMPLES / f"{example}.toml"
    told = json.loads(slype_in(tmp_path, "check", str(path), "--json").out)["advice"]
    look = answers.look(path.read_text(encoding="utf-8"), "", 0, lambda share: None)["look"]
    assert [each["message"] for each in told] == [each["message"] for each in look["watch"]]
    assert [each["changes"] for each in told] == [list(each["changes"]) for each in look["watch"]]


@pytest.mark.parametrize("words", [{"hand": "left"}, {"wording": "uk", "units": "cm"}])
def test_remedies_keep_their_buttons_in_other_words(words):
    design = parse(basket_text(ends=24, weave="randing"))
    own, other = (plan(each).advice for each in (design, design.reworded(**words)))
    assert [each.changes for each in own if each.rule.key == "weave does not lock"] == [
        each.changes for each in other if each.rule.key == "weave does not lock"
    ]


def test_the_example_is_read_with_what_its_file_says():
    assert load(EXAMPLES / "estuary.toml").tables["spokes"]["ends"] == 32


def test_what_did_not_come_to_rest_is_said_wherever_a_number_depends_on_it(short, monkeypatch):
    monkeypatch.setattr("slype.rest.relax.MOST_SWEEPS", 25)  # too few for any basket
    design = short[0].design
    made = plan(design, relax(design))
    assert not made.at_rest.done
    parts = {each.part for each in made.laid.unsettled}
    assert parts
    said = {each.where for each in made.advice if each.rule.key in ("not quite at rest", "would not come to rest")}
    assert said == parts
    assert "whole basket, settled" not in whence(made)
    for part in parts:
        assert part in whence(made) and part in lists.look(made)["unsettled"]


def test_what_is_tangled_is_said_to_be_of_stacked_rows(short, monkeypatch):
    monkeypatch.setattr("slype.rest.relax._is_tangled", lambda part: part.built.where == "side")
    design = short[0].design
    made = plan(design, relax(design))
    assert "side" in whence(made) and "quick figures" in whence(made) and "whole basket" not in whence(made)
    assert [each.rule.weight for each in made.advice if each.rule.key == "would not come to rest"][:1] == ["warn"]


@pytest.mark.parametrize("example", ["estuary", "posy", "quayside", "saltmarsh"])
def test_the_examples_come_to_rest(example):
    """By slype's own measure: no overlap beyond a hundredth of a reed, no force left over but what friction holds."""
    assert rested(example).done
