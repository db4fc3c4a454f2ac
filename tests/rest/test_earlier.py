"""Weavers of other colours lie as the first ones did: nothing is brought to rest anew."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from worked import planned, rested

import slype
from slype.design.file.reader import parse
from slype.lay.courses import courses_of
from slype.make.baskets import settled
from slype.plans import planning
from slype.rest import relax as relaxing
from slype.rest.curves import all_curves
from slype.rest.earlier import recoloured
from slype.space.assembly import whole

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")


def with_colour(design, number, *colours):
    bands = list(design.bands)
    bands[number] = replace(bands[number], colours=colours)
    palette = {**design.palette, **{name: design.palette.get(name, "#506030") for name in colours}}
    return replace(design, bands=tuple(bands), palette=palette)


def other(design, number):
    """The design with every colour of one band moss, but as many of them as before."""
    mine = design.bands[number].colours
    return with_colour(design, number, *("moss" if k == 0 else name for k, name in enumerate(mine)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_basket_with_another_colour_is_the_one_that_is_had_when_all_is_settled_anew(name, monkeypatch):
    before = rested(name)
    number = len(before.design.bands) - 1
    design = other(before.design, number)
    fresh = relaxing.relax(design)
    monkeypatch.setattr(relaxing, "relax", None)  # nothing may be brought to rest
    quick = settled(design, before)
    assert quick.design == fresh.design and quick.joins == fresh.joins
    assert [band.colours for band in quick.laid.bands] == [band.colours for band in fresh.laid.bands]
    assert [band.effect for band in quick.laid.bands] == [band.effect for band in fresh.laid.bands]
    assert quick.together.worst == pytest.approx(fresh.together.worst, abs=1e-6)
    assert quick.together.between == fresh.together.between
    assert set(quick.together.given_way) == set(fresh.together.given_way)
    drawn = [whole(rest.laid, all_curves(rest)) for rest in (quick, fresh)]
    for one, two in zip(*drawn, strict=True):
        assert (one.name, one.colour) == (two.name, two.colour)
        assert np.allclose(one.points, two.points, atol=1e-6)
    assert any(reed.colour == "moss" for reed in drawn[0])
    assert planning.plan(design, quick).laid.finished_height_mm == planning.plan(design, fresh).laid.finished_height_mm


def test_a_new_colour_in_the_other_hand_is_the_mirror_image():
    before = rested("posy")
    design = replace(other(before.design, 1), hand="left")
    left, right = settled(design, before), settled(replace(design, hand="right"), before)
    for one, two in zip(*(whole(rest.laid, all_curves(rest)) for rest in (left, right)), strict=True):
        assert one.name == two.name and np.allclose(one.points * [-1, 1, 1], two.points)


def test_where_weavers_go_on_into_the_next_band_for_their_colours_all_is_settled_anew():
    """Of two bands alike the second takes the weavers of the first only while these have its colours."""
    design = planned("posy").design
    k = 4  # French randing of one colour, four rows
    twice = replace(design, bands=(*design.bands[: k + 1], design.bands[k], *design.bands[k + 1 :]))
    rest = relaxing.relax(twice)
    segments = [len(course.segments) for course in courses_of(rest.stacked)]
    assert max(segments) == 2
    assert recoloured(rest, other(twice, k + 1)) is None
    both = other(other(twice, k), k + 1)
    quick = settled(both, rest)
    assert len(quick.joins) == len(rest.joins) and recoloured(rest, both) is not None
    fresh = settled(other(twice, k + 1), rest)
    assert [len(course.segments) for course in courses_of(fresh.stacked)] == [1] * (len(segments) + 1)


def estuary_with(old, new):
    text = (Path(slype.__file__).parent / "examples" / "estuary.toml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    return parse(text.replace(old, new))


def test_after_a_change_of_the_border_base_and_side_lie_as_they_lay():
    before = rested("estuary")
    after = relaxing.relax(estuary_with('rows = ["behind 1 out", "over 3 in", "over 2 down"]',
                                        'rows = ["behind 1 out", "over 2 in"]'), before)  # fmt: skip
    for where in ("base", "side"):
        assert after.parts[where].rest is before.parts[where].rest and after.parts[where].at is not None
        assert np.array_equal(after.parts[where].at, before.parts[where].at)
    assert len(after.parts["border"].rest.at) != len(before.parts["border"].rest.at)
    assert after.done and after.together.worst < 0.05 and after.order_kept


def test_after_a_change_of_the_wall_the_side_is_brought_to_rest_anew_and_the_base_lies_as_it_lay():
    before = rested("estuary")
    number = len(before.design.bands) - 3
    bands = list(before.design.bands)
    assert bands[number].where == "side" and bands[number].rows
    bands[number] = replace(bands[number], rows=bands[number].rows + 1)
    after = relaxing.relax(replace(before.design, bands=tuple(bands)), before)
    assert after.parts["base"].rest is before.parts["base"].rest
    assert after.parts["side"].rest is not before.parts["side"].rest and after.done
