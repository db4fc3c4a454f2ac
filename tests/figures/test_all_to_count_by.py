"""What a drawing is counted by is all there: every space of a base, the spaces of a lid's border, a handle's feet."""

import re
from dataclasses import replace

import numpy as np
import pytest
from drawn_steps import ALL, drawn, rings
from fitted_baskets import FLARED, HANDLES, HIGH, LIDS
from strategies import basket_text
from worked import figured

from slype.design.file import reader
from slype.figures import closeup
from slype.figures.figure import Figures
from slype.figures.in_view import in_view
from slype.figures.labels import EVERY, counted, towards
from slype.order.kinds import ACTS
from slype.paper.handout import CLOSE_WIDE, wide_mm
from slype.plans import planning
from slype.space.tubes import on_surface
from slype.teach.steps import taught

NUMBER = re.compile(r'rx="[\d.]+" fill="#ffffff" fill-opacity="0.9"/><text[^>]*>(\d+)<')


@pytest.mark.parametrize("name, hand", [each for each in ALL if each[0] not in ("tray", "saltmarsh")])
def test_where_all_of_a_base_is_shown_to_count_by_every_space_is_ringed(name, hand):
    """One was missing where the end of a weaver lay across its place."""
    plan, _, drawings = drawn(name, hand)
    found = 0
    for step, asked, svg, _ in drawings:
        band = next((each for each in plan.laid.base if each.index == step.band), None)
        if band is None or asked.kind != "whole" or asked.spaces != "all":
            continue
        assert set(rings(svg)) == set(range(1, band.spaces + 1)), (step.number, asked.caption)
        found += 1
    assert found


@pytest.mark.parametrize("hand", ["right", "left"])
def test_at_the_border_of_a_lid_the_spaces_of_a_single_move_are_ringed(hand):
    plan = planning.plan(replace(reader.parse(basket_text(tail=LIDS["on"], **FLARED)), hand=hand))
    figures, found = Figures(plan), 0
    for step in taught(plan):
        for asked, wide in zip(step.drawings, wide_mm(step, False), strict=True):
            if step.of == "lid" and step.part == "border" and asked.kind == "near" and asked.beyond - asked.first == 1:
                assert rings(figures.svg(step, asked, wide)), (step.number, asked.caption)
                found += 1
    assert found > 2


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["bow", "side"])
def test_the_spokes_beside_which_a_handle_stands_are_numbered_where_it_is_put_in_and_wrapped(name, hand):
    """Of which foot the words spoke nobody could tell."""
    plan = planning.plan(replace(reader.parse(basket_text(tail=f"[[handle]]\n{HANDLES[name]}\n", **HIGH)), hand=hand))
    figures, found = Figures(plan), 0
    feet = {end + 1 for each in plan.handles for pair in each.feet(plan.design.top_ends) for end in pair}
    for step in taught(plan):
        for asked, wide in zip(step.drawings, wide_mm(step, False), strict=True):
            whole = asked.beyond >= len(figures.making.order)  # the picture of the finished basket
            if step.part == "handle" and asked.kind == "finished" and not whole:
                numbers = {int(each) for each in NUMBER.findall(figures.svg(step, asked, wide))}
                assert numbers and numbers <= feet, (step.number, asked.caption)
                found += 1
    assert found


@pytest.mark.parametrize("ends", [17, 24, 32, 40, 41])
def test_of_ends_all_round_none_is_numbered_that_could_be_taken_for_the_neighbour_of_the_first(ends):
    """15 stood beside 1, with 16 and 17 between them."""
    numbered = [end + 1 for end in range(ends) if counted(end, ends)]
    assert numbered[0] == 1 and all(n % EVERY == 0 for n in numbered[1:])
    assert all(ends - n >= EVERY - 1 or n == ends for n in numbered)
    assert {5, 10} <= set(numbered)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_end_of_a_weaver_floats_in_the_air_whose_place_is_on_the_far_side(hand):
    plan, order, drawings = drawn("posy", hand)
    making, left_out = figured(plan).making, 0
    for step, asked, _, _ in drawings:
        if asked.kind != "whole" or ACTS[order.act[max(asked.beyond - 1, 0)]] != "stroke":
            continue
        scene = closeup.Scene(asked.first, asked.beyond, whole=True, arrow=asked.arrow, spaces=asked.spaces,
                              band=step.band)  # fmt: skip
        shot = closeup.shot_of(making, scene)
        if shot.flat:
            continue
        for each in shot.stretches:
            tube = each.tube
            if tube.role != "weaver" or tube.when is None or not 1 < len(tube.when) < len(tube.points):
                continue
            far = towards(tube.points[len(tube.when) - 1 :][:1], shot.camera)[0] <= 0.0
            seen = [one for one in in_view([each], shot.camera, scene, shot.box, False)
                    if np.isin(one.tube.points[:, 2], tube.points[len(tube.when) + 3 :, 2]).any()]  # fmt: skip
            assert not (far and seen), (step.number, asked.caption)
            left_out += far
    assert left_out


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_each_of_the_last_moves_of_a_row_of_the_border_is_drawn_as_wide_as_one_alone(name):
    """Side by side they were 4.7 cm wide, and `under 1` and `under 2` two millimetres apart."""
    plan, order, _ = drawn(name, "right")
    last, found = plan.design.top_ends - 1, 0
    for step in taught(plan):
        ends = [int(order.end[each.first]) for each in step.drawings if each.first < len(order)]
        if step.part == "border" and len(ends) > 1 and ends[-1] == last and "Make" not in step.title:
            assert wide_mm(step, False) == [CLOSE_WIDE] * len(ends), step.title
            found += 1
    assert found


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "quayside", "posy"])
def test_trimmed_tails_of_weavers_that_were_set_in_end_half_way_to_the_next_spoke_as_the_words_say(name, hand):
    """They were drawn cut off just beside the spoke behind which they lie."""
    plan, order, _ = drawn(name, hand)
    making, found = figured(plan).making, 0
    trims = int(np.flatnonzero((order.act == ACTS.index("trim")) & (order.of < 0))[0])
    rests = [each for each in making.at(trims, trims + 1) if each.tube.name.endswith(", cut")]
    assert not [each for each in making.at(trims - 1, trims) if each.tube.name.endswith(", cut")]
    for band in plan.laid.side:
        u = np.linspace(0.0, plan.design.top_ends, 100 * plan.design.top_ends)
        ring = np.stack(on_surface(plan.laid, "side", u, np.full(len(u), band.start_s), np.zeros(len(u)))[:2], axis=1)
        way = np.arctan2(ring[:, 1], ring[:, 0])
        for each in rests:
            if each.tube.band == band.index and each.cut == (False, True):
                x, y, _ = each.tube.points[-1]
                at = u[np.argmin(np.abs(np.angle(np.exp(1j * (way - np.arctan2(y, x))))))]
                assert abs(at - np.round(at)) < 0.15, (each.tube.name, at)  # spokes stand at halves
                found += 1
    assert found >= 6
