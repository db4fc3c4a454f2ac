"""The wall cut across where tails are trimmed, and a handle's foot in it: by the numbers that the steps tell."""

import functools
import re
from dataclasses import replace
from importlib import resources

import numpy as np
import pytest
from provoking import LID
from samples import BOW, OVAL_BOARD, SIDE
from worked import figured, taught

from slype.design.file import reader
from slype.figures import closeup, pen
from slype.figures.flat.marks import with_fractions
from slype.plans import planning

LIDDED = resources.files("slype").joinpath("examples/posy.toml").read_text(encoding="utf-8") + "\n" + LID


@functools.cache
def planned(name, hand="right"):
    file = "posy" if name == "bow" else name
    text = resources.files("slype").joinpath(f"examples/{file}.toml").read_text(encoding="utf-8")
    text = text.replace("[border]", BOW + "\n[border]") if name == "bow" else text
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
    assert f"row {row} behind spoke {joined.held}" in " ".join(join.does).lower()
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
def test_where_a_lid_s_tails_are_cut_is_drawn_too_on_its_far_side(hand):
    """A flat one has no wall to look at from above: its step had seven rules and no drawing."""
    plan = planning.plan(replace(reader.parse(LIDDED), hand=hand))
    step = next(step for step in taught(plan) if step.of == "lid" and step.title == "Trim the weavers' tails")
    asked = step.drawings[0]
    assert asked.kind == "tails" and "far side" in asked.alt and "wall" not in asked.caption + asked.alt
    svg = figured(plan).svg(step, asked, 47.5)
    words = [said for _, _, said in texts(svg)]
    assert words.count("far side") == words.count("top") == len(asked.tails) > 0 and "inside" not in words
    one = next(each for each in asked.tails if each.kind == "ended")
    assert f"is cut between spokes {one.held} and {one.held % one.spaces + 1}." in " ".join(step.does)
    numbers = {said: x for x, _, said in texts(svg.split("</g>")[0]) if said.isdigit()}
    assert (numbers[str(one.held % one.spaces + 1)] > 0) == (hand == "right")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_weaver_is_drawn_through_a_spoke_where_tails_are_cut(hand):
    """The new length of a join was drawn through the spoke that it goes in front of."""
    svg, found = drawn(planned("estuary", hand), "trim", "tails")[2], 0
    for strip in re.findall(r'<g transform="translate\(0 [\d.]+\)">(.*?)</g>', svg):
        spokes = np.array(re.findall(r'<circle cx="(-?[\d.]+)" cy="([\d.]+)" r="([\d.]+)"', strip), float)
        lines = re.findall(r'<path d="M([^"]*)" stroke="[^"]*" stroke-width="([\d.]+)" stroke-linecap', strip)
        for path, wide in lines:
            line = np.array([each.split() for each in path.split("L")], float)
            gap = np.hypot(line[:, None, 0] - spokes[:, 0], line[:, None, 1] - spokes[:, 1]).min(axis=0)
            assert (gap > spokes[:, 2] + float(wide) / 2 - 0.15).all(), gap
            found += 1
    assert len(spokes) == 3 and found >= 8


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_handle_s_foot_is_drawn_on_the_told_side_of_its_spoke_and_as_deep_as_told(hand):
    step, asked, svg = drawn(planned("bow", hand), "handle", "foot")
    spoke, side = re.search(r"At spoke (\d+) a foot goes down on the (\w+)", " ".join(step.does)).groups()
    numbers = {text: x for x, _, text in texts(svg) if text.isdigit()}
    assert numbers[spoke] == 0.0 and f"beside spoke {spoke}" in asked.caption
    foot = float(re.search(r'd="M(-?[\d.]+) 0V', svg)[1])
    assert (foot > 0) == (side == "right")
    deep = re.search(r"Mark the ends (.*?) from the tip", " ".join(step.does))[1]
    assert with_fractions(deep) in [text for _, _, text in texts(svg)] and deep in asked.caption


def box_of(svg):
    return [float(each) for each in re.search(r'viewBox="([^"]*)"', svg)[1].split()]


def test_the_depth_of_a_foot_has_a_head_at_both_ends_and_its_fraction_as_one_sign():
    """The white edge of one arrow covered the other's head; the words of the page have no 4 1/2."""
    _, _, svg = drawn(planned("bow"), "handle", "foot")
    paths = re.findall(r'<path d="M(-?[\d.]+) (-?[\d.]+)L[^"]*" stroke="#ffffff"', svg)
    heads = re.findall(r'<path d="M(\S+) (\S+?)L\S+ \S+L\S+ \S+Z" fill="#1d1712"', svg)
    tips = sorted(float(y) for _, y in heads)
    assert len(tips) == 2 and tips[1] - tips[0] > 10.0
    edges = [float(y) for x, y in paths if x == heads[0][0]]
    assert len(edges) == 2 and all(abs(y - sum(tips) / 2) < 0.1 for y in edges)  # both set out from the middle
    assert [said for *_, said in texts(svg) if said.endswith(" in")] and not re.search(r">[^<]*\d/\d[^<]*</text>", svg)
    assert with_fractions("4 1/2 in, 3 and 15/16") == "4 ¹⁄₂ in, 3 and ¹⁵⁄₁₆"


@functools.cache
def tray(hand):
    text = "version = 1\n" + OVAL_BOARD.replace("[border]", SIDE.replace('"round 6"', '"round 6"\nwrap = "round 2"') +
                                               "\nheight = '1 1/2 in'\n[border]")  # fmt: skip
    return planning.plan(replace(reader.parse(text), hand=hand, wording="us"))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_side_handle_is_drawn_from_near_and_a_bow_whole(hand):
    """The arch of a tray's handle was a few mm high, and the first turns of a wrapping could not be seen."""
    for plan, small in ((tray(hand), True), (planned("bow", hand), False)):
        figures = figured(plan)
        whole = figures.picture.draw()
        for step in taught(plan):
            for asked in step.drawings if step.part == "handle" and not step.of else ():
                if asked.kind == "finished" and asked.beyond < len(figures.making.order):
                    svg = figures.svg(step, asked, 47.5)
                    near = small or "turns" in asked.caption
                    shown = np.prod(box_of(svg)[2:]) / np.prod(box_of(whole)[2:])
                    assert (shown < 0.5) == near, (step.title, asked.caption, shown)


def test_a_wrapping_that_is_done_is_no_longer_dark_and_its_last_turn_in_work_is():
    plan = tray("right")
    step = next(step for step in taught(plan) if step.title.startswith("Wrap the first"))
    ink = f'stroke="{pen.DARK}"'
    dark = {asked.caption: figured(plan).svg(step, asked, 47.5).count(ink) for asked in step.drawings}
    assert dark.pop("Done.") == 0 and all(dark.values()) and dark


def test_a_basket_on_a_board_has_its_board_while_its_handles_are_put_in():
    plan = tray("right")
    step = next(step for step in taught(plan) if step.part == "handle")
    asked = next(each for each in step.drawings if each.kind == "finished")
    assert f'fill="{closeup.FACE}"' in figured(plan).svg(step, asked, 47.5)
