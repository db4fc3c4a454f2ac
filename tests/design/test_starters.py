"""What a thing is like when it is first added: put on every example it makes a basket that can be woven, or slype says
in a clear sentence why not. These values are common practice and have no source to be checked against."""

from __future__ import annotations

from importlib import resources

import pytest

from slype.design.file.reader import parse
from slype.design.starters import FIRSTS
from slype.edit import apply
from slype.errors import SlypeError
from slype.plans import planning
from slype.reeds import REEDS
from slype.sources import SOURCES
from slype.studio.shown.choices import tables
from slype.studio.shown.lists import look

EXAMPLES = {
    each.name: each.read_text(encoding="utf-8")
    for each in resources.files("slype").joinpath("examples").iterdir()
    if each.name.endswith(".toml")
}
EXAMPLES["a new basket"] = apply.blank()
EXAMPLES["a new basket, in Britain"] = apply.blank("left", "uk", "cm")
NOT_THERE = {
    ("lid", "saltmarsh.toml"): "lids can only be worked out for round baskets yet",
    ("lid band", "saltmarsh.toml"): "lids can only be worked out for round baskets yet",
    ("lid band", "posy.toml"): "the base is already 3 1/2 in across before this band",
}
"""What an example cannot take, and why."""


def added(name: str, text: str) -> list[list[dict]]:
    """The changes that put the first of its kind on a design, at every place where it may be; each a try of its own."""
    design = apply.document(text)
    wording = design["basket"].get("wording", "us")
    value = FIRSTS[name].value(wording)
    bands = design["band"]
    where = [band.get("where", "side") for band in bands]
    if name in ("side band", "base band"):
        part = name.split()[0]
        last = max((i for i, at in enumerate(where) if at in (part, "base")), default=-1)
        return [[{"insert": ["band"], "at": last + 1, "value": value}]] if part in where else []
    if name == "lid band":
        lid = FIRSTS["lid"].value(wording)
        return [[{"set": ["lid"], "to": lid}, {"insert": ["lid", "band"], "at": 2, "value": value}]]
    if name in ("lid", "foot"):
        return [[{"set": [name], "to": value}]]
    if name == "bye-spokes":
        return [[{"set": ["bye_spokes"], "to": value}]]
    if name == "handle":
        return [[{"insert": ["handle"], "at": len(design.get("handle", [])), "value": value}]]
    if name == "border row":
        rows = design["border"].get("rows")
        return [[{"insert": ["border", "rows"], "at": len(rows) - 1, "value": value}]] if rows else []
    if name == "blocks":
        return [[{"set": ["band", i, "blocks"], "to": value}] for i in range(len(bands))]
    if name == "reed":
        places = [["spokes", "reed"], *(["band", i, "reed"] for i in range(len(bands)))]
        return [[{"set": place, "to": value}] for place in places]
    assert name in ("rows", "height")
    return [[{"set": ["band", i, name], "to": value}] for i in range(len(bands))]


def outcome(text: str, changes: list[dict]) -> str:
    """Woven, or the sentence that refuses it."""
    try:
        plan = planning.plan(parse(apply.apply(text, changes).text, "tried"))
        stop = look(plan)["stop"]
        return stop or "woven"
    except SlypeError as trouble:
        said = str(trouble)
        assert said.endswith((".", "?")) and len(said) > 30 and "None" not in said, said
        return said


TRIES = [(name, example, k, changes)
         for name in FIRSTS for example, text in EXAMPLES.items()
         for k, changes in enumerate(added(name, text))]  # fmt: skip


@pytest.mark.parametrize(
    "name, example, changes", [(name, example, changes) for name, example, _, changes in TRIES],
    ids=[f"{name} on {example}, {k}" for name, example, k, _ in TRIES],
)  # fmt: skip
def test_what_is_added_can_be_woven_or_is_refused_with_a_clear_sentence(name, example, changes):
    said = outcome(EXAMPLES[example], changes)
    wanted = NOT_THERE.get((name, example))
    if wanted:
        assert wanted in said
    elif name in ("side band", "base band", "lid", "handle", "lid band", "foot", "bye-spokes", "border row", "blocks"):
        assert said == "woven"


def test_every_first_is_tried_and_has_a_source():
    assert {name for name, *_ in TRIES} == set(FIRSTS)
    assert all(first.source in SOURCES and first.why for first in FIRSTS.values())


@pytest.mark.parametrize("wording", ["us", "uk"])
def test_reeds_are_of_the_series_sold_where_the_wording_is_spoken(wording):
    def reeds(value):
        if isinstance(value, dict):
            return [each for inner in value.values() for each in reeds(inner)]
        if isinstance(value, list):
            return [each for inner in value for each in reeds(inner)]
        return [value] if isinstance(value, str) and value in REEDS else []

    found = [reed for first in FIRSTS.values() for reed in reeds(first.value(wording))]
    assert len(found) > 5 and {REEDS[reed].series for reed in found} == {wording}
    assert tables(wording)["firsts"]["handle"]["value"] == FIRSTS["handle"].value(wording)
