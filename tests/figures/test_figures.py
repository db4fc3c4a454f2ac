"""Drawings of steps: of this basket at that moment, mirrored for the other hand, different where the work differs."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from places import EXAMPLES
from samples import BOARD
from worked import figured, planned_as, taught

from slype.borders.table import BORDERS
from slype.design.file import reader
from slype.design.file.reader import parse
from slype.figures.closeup import Scene, scene_svg
from slype.figures.flat.bends import turned_svg
from slype.figures.making import Making
from slype.figures.pen import Inks
from slype.figures.reeds.stretch import FRESH, MOVES, OLD, WAITS
from slype.figures.strips import trouble_svg
from slype.lay.laying import lay
from slype.order.kinds import ACTS
from slype.paper.handout import wide_mm
from slype.teach.step.bench import Bench
from slype.teach.troubles import troubles
from slype.weave.by_hand import strokes
from slype.weave.table import WEAVES
from slype.weave.trace import trace


def planned(name, **values):
    return planned_as(name, **values)


def drawings_of(draft, part, many=4):
    figures, out = figured(draft), []
    for step in taught(draft):
        if step.part == part:
            out += [figures.svg(step, each) for each in step.drawings]
    return out[:many]


def test_what_moves_is_what_the_moments_lay():
    draft = planned("posy")
    making = Making(draft.laid)
    moment = next(i for i, act in enumerate(making.order.act) if ACTS[act] == "stroke" and making.order.band[i] == 2)
    states = {}
    for each in making.at(moment, moment + 1):
        states.setdefault(each.state, []).append(each.tube)
    moved = states[MOVES]
    assert {(tube.band, tube.weaver) for tube in moved} == {(2, int(making.order.weaver[moment]))}
    assert {tube.band for tube in states[WAITS] if tube.role == "weaver"} == {2}
    assert all(tube.band < 2 for tube in states[OLD] if tube.role == "weaver")
    assert FRESH in states or len(states[WAITS]) >= 2


def test_nothing_is_drawn_that_is_not_yet_laid():
    making = Making(planned("posy").laid)
    for beyond in (20, 150, 500):
        for each in making.at(beyond - 1, beyond):
            if each.tube.when is not None and each.tube.role == "weaver":
                assert float(each.tube.when.max()) <= beyond


@pytest.mark.parametrize("part", ["base", "side", "border"])
def test_the_other_hand_is_drawn_as_a_mirror_image(part):
    """Every point of every line lies at minus its x in the other hand's drawing, to half a dot of what is seen."""
    right, left = (planned("posy", hand=hand) for hand in ("right", "left"))
    for one, other in zip(drawings_of(right, part), drawings_of(left, part), strict=True):
        a, b = _box(one), _box(other)
        assert (a[0], a[2], a[3]) == pytest.approx((-(b[0] + b[2]), b[2], b[3]), abs=0.2)
        assert a[1] == pytest.approx(b[1], abs=0.2)
        numbers, mirrored = _numbers(one), _numbers(other)
        assert numbers and sorted(text for _, _, text in numbers) == sorted(text for _, _, text in mirrored)
        for x, y, text in numbers:
            near = min(np.hypot(x + p, y - q) for p, q, said in mirrored if said == text)
            assert near < 0.03 * a[2], (text, near)


def _box(svg):
    return tuple(float(each) for each in ET.fromstring(svg).get("viewBox").split())


def _numbers(svg):
    found = re.findall(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>([^<]*)</text>', svg)
    return [(float(x), float(y), text) for x, y, text in found]


def test_numbers_stand_within_the_drawing():
    for name, hand in (("estuary", "right"), ("quayside", "left")):
        draft = planned(name, hand=hand)
        figures = figured(draft)
        for step in taught(draft):
            for each, wide in zip(step.drawings[:1], wide_mm(step, False), strict=False):
                svg = figures.svg(step, each, wide)
                left, top, wide, high = _box(svg)
                for x, y, text in _numbers(svg):
                    assert left <= x <= left + wide and top <= y <= top + high + 0.02 * high, (step.title, text)


@pytest.fixture(scope="module")
def pot():
    return reader.parse((EXAMPLES / "estuary.toml").read_text(encoding="utf-8"))


def test_every_weave_has_a_stroke_of_its_own_to_see(pot):
    seen = {}
    for name, weave in WEAVES.items():
        ends = 33 if weave.turns == "round" and weave.weavers == 1 else 32
        band = replace(pot.bands[4], weave=weave, rows=2, height_mm=None, until_mm=None, to_top=False,
                       colours=("natural",), strands=weave.strands, blocks=None)  # fmt: skip
        design = replace(pot, spokes=replace(pot.spokes, ends=ends), bands=(*pot.bands[:4], band))
        making = Making(lay(design))
        moments = [i for i, act in enumerate(making.order.act) if ACTS[act] == "stroke" and making.order.band[i] == 4]
        at = moments[len(moments) // 2 + 3]
        body, _ = scene_svg(making, Scene(at, at + 1, band=4), Inks(False, design.palette))
        assert body.count("<path") > 20
        assert body not in seen.values(), name
        seen[name] = body
    assert len(seen) == len(WEAVES)


def test_every_border_has_an_end_of_its_own_to_see(pot):
    seen = {}
    for name, kind in BORDERS.items():
        if kind.foot or kind.border in [BORDERS[other].border for other in seen]:
            continue
        design = replace(pot, border=kind.border, bands=pot.bands[:5])
        making = Making(lay(design))
        part = next(part for part in making.order.parts if part.key == "border")
        inks = Inks(False, design.palette)
        first, _ = scene_svg(making, Scene(part.first, part.first + 4), inks)
        last, _ = scene_svg(making, Scene(part.beyond - 3, part.beyond), inks)
        assert min(first.count("<path"), last.count("<path")) > 40
        body = first + last  # many a border has its first row in common with others
        assert body not in seen.values(), name
        seen[name] = body
    assert len(seen) > 15


@pytest.mark.parametrize("name", sorted(WEAVES))
@pytest.mark.parametrize("spaces", [17, 24])
def test_without_a_slip_the_hands_make_the_strokes_of_the_trace(name, spaces):
    weave = WEAVES[name]
    worked = strokes(weave, spaces, 3, 2)
    passed = [
        (each.weaver, (each.begin + step) % spaces, step < each.over)
        for each in worked for step in range(each.over + each.under)
    ]  # fmt: skip
    t = trace(weave, spaces, 3, 2)
    traced = list(zip(t.weaver.tolist(), t.spoke.tolist(), t.front.tolist(), strict=True))
    if weave.turns == "round":  # the trace ends a row in the middle of a stroke
        assert [each for each in traced if each in passed] == traced
    else:
        assert passed == traced


@pytest.mark.parametrize("kind", ["missed", "too far"])
def test_a_wrong_stroke_leaves_a_space_empty_and_then_two_weavers_in_one(kind):
    weave = WEAVES["three-rod wale"]
    worked = strokes(weave, 17, 3, 0, kind, 20)
    hang = sorted({each.weaver: each.beyond for each in worked[:21]}.values())
    assert hang[2] - hang[1] == 2
    hang = sorted({each.weaver: each.beyond for each in worked[:22]}.values())
    assert hang[1] == hang[2]


@pytest.mark.parametrize("name", ["estuary", "posy", "saltmarsh"])
def test_every_trouble_shows(name):
    bench = Bench(planned(name))
    found = troubles(bench)
    assert len(found) >= 4
    for each in found:
        assert each.right != each.wrong or each.colours[0] != each.colours[1]
        svg = trouble_svg(bench, each)
        assert svg.count("<path") > 50 and each.title in ET.fromstring(svg)[0].text


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_nip_is_drawn_before_its_bend_for_both_hands(hand):
    body, _ = turned_svg(planned("posy", hand=hand).laid, "spoke 1")
    drawn = ET.fromstring(f"<svg>{body}</svg>")
    at = {}
    for panel in drawn:
        aside = float(re.search(r"translate\(([-\d.]+)", panel.get("transform"))[1])
        for text in panel.iter("text"):
            at[text.text] = float(text.get("x")) + aside
    assert at["1"] < 0 < at["2"]
    assert -29 < at["jaws"] < 0


def test_a_join_is_forgotten_only_where_lengths_are_joined():
    plan = planned("posy")
    found = next(each for each in troubles(Bench(plan)) if each.title.startswith("A join forgotten"))
    at = next(i for i, band in enumerate(plan.laid.bands) if band.index == found.band)
    assert plan.joins[at].joins


def test_two_weavers_that_go_on_from_one_space_are_both_seen():
    bench = Bench(planned("posy"))
    found = troubles(bench)[0]
    met = [each for each in found.wrong if sum((o.row, o.begin) == (each.row, each.begin) for o in found.wrong) > 1]
    assert {each.weaver for each in met} == {0, 1}
    thin = re.findall(r'stroke-width="1\.60" stroke-linecap', trouble_svg(bench, found))
    assert len(thin) >= 4


@pytest.mark.parametrize("name", ["posy", "quayside", "estuary"])
def test_a_stroke_over_groups_fills_its_drawing(name):
    """Groups are few and their spaces wide: what is shown of them reaches no further than the work."""
    plan = planned(name)
    making, band = Making(plan.laid), plan.laid.base[0]
    moment = next(i for i, act in enumerate(making.order.act) if ACTS[act] == "stroke")
    _, (_, _, wide, _) = scene_svg(making, Scene(moment, moment + 1), Inks(False, plan.design.palette))
    assert wide <= max(60.0, 6.1 * float(band.s[0])) < 6 * float(band.spacing[0])


def test_ends_added_above_a_board_stand_out_below_it_nowhere():
    board = BOARD.replace("ends = 39", "ends = 40").replace('until = "top"', "rows = 3")
    more = board.replace("[border]", '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = 40\nuntil = "top"\n[border]')
    making = Making(lay(parse(more)))
    foot = next(part for part in making.order.parts if part.key == "board")
    moment = int(making.order.by_end["foot", 1][0])
    below = [each.tube.name for each in making.at(foot.first, moment) if each.tube.points[:, 2].min() < -10]
    assert below and not [name for name in below if int(re.search(r"\d+", name)[0]) > 40]
