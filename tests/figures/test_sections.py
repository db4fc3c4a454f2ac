"""The wall cut across where tails are trimmed, and a handle's foot in it: by the numbers that the steps tell."""

import functools
import re
from dataclasses import replace

import pytest
from places import EXAMPLES
from samples import BOW
from worked import figured, planned_as

from slype.design.file import reader
from slype.plans import planning
from slype.teach.steps import taught


@functools.cache
def planned(name, hand="right"):
    if name != "bow":
        return planned_as(name, hand, "us")
    text = (EXAMPLES / "posy.toml").read_text(encoding="utf-8").replace("[border]", BOW + "\n[border]")
    return planning.plan(replace(reader.parse(text), hand=hand, wording="us"))


def drawn(plan, part, kind):
    step = next(step for step in taught(plan) if step.part == part and not step.of)
    asked = next(each for each in step.drawings if each.kind == kind)
    return step, asked, figured(plan).svg(step, asked, 47.5)


def texts(svg):
    """(x, y, text) of everything that is written on a drawing."""
    found = re.findall(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>([^<]+)<', svg)
    return [(float(x), float(y), said) for x, y, said in found]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["posy", "estuary", "quayside"])
def test_each_kind_of_tail_is_drawn_behind_the_spoke_that_its_step_names(name, hand):
    plan = planned(name, hand)
    step, asked, svg = drawn(plan, "trim", "tails")
    assert [each.kind for each in asked.tails] == ["ended", "set in", "joined"]
    said = " ".join(step.does)
    band, one, beyond = map(int, re.search(r"of band (\d+) is cut between spokes (\d+) and (\d+)", said).groups())
    ended, begun, joined = asked.tails
    assert beyond == one % ended.spaces + 1
    assert ended.held == one and ended.name.endswith(f"band {band}")
    start = plan.laid.bands[band - 1].band.start
    assert begun.held == (start - 1) % begun.spaces + 1
    row, at = map(int, re.search(r"row (\d+), band (\d+)", joined.name).groups())
    index = plan.laid.bands[at - 1].index
    join = next(each for each in taught(plan) if each.title.startswith("Join") and each.band == index)
    assert f"row {row} behind spoke {joined.held}" in " ".join(join.does)
    strips = re.findall(r'<g transform="translate\(0 [\d.]+\)">(.*?)</g>', svg)
    for tail, strip in zip(asked.tails, strips, strict=True):
        numbers = {int(text): x for x, _, text in texts(strip) if text.isdigit()}
        assert sorted(numbers) == sorted((tail.held + k - 1) % tail.spaces + 1 for k in (-1, 0, 1))
        assert numbers[tail.held] == 0.0
        cuts = sorted(x for x, _, text in texts(strip) if text == "cut")
        onward = numbers[tail.held % tail.spaces + 1] / 2
        assert cuts == sorted({"ended": [onward], "set in": [-onward], "joined": [onward, -onward]}[tail.kind])
        assert (onward > 0) == (hand == "right")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_handle_s_foot_is_drawn_on_the_told_side_of_its_spoke_and_as_deep_as_told(hand):
    step, asked, svg = drawn(planned("bow", hand), "handle", "foot")
    spoke, side = re.search(r"At spoke (\d+) a foot goes down on the (\w+)", " ".join(step.does)).groups()
    numbers = {text: x for x, _, text in texts(svg) if text.isdigit()}
    assert numbers[spoke] == 0.0 and f"beside spoke {spoke}" in asked.caption
    foot = float(re.search(r'd="M(-?[\d.]+) 0V', svg)[1])
    assert (foot > 0) == (side == "right")
    deep = re.search(r"Push the ends down there, (.*?) deep", " ".join(step.does))[1]
    assert deep in [text for _, _, text in texts(svg)] and deep in asked.caption
