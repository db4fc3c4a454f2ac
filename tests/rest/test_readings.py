"""What is read off reeds at rest, where that is not plain."""

from __future__ import annotations

from samples import pot_text

from slype.design.file.reader import parse
from slype.rest.readings import light_of
from slype.rest.relax import relax


def test_light_is_seen_where_reeds_lie_even_if_the_band_is_reckoned_far_below():
    rest = relax(parse(pot_text()))
    (band,), part = rest.laid.bands, rest.parts["side"]
    there = light_of(rest.laid, band, part)
    at = part.at.copy()
    part.rest.at[:, 0] += 500.0
    far = light_of(rest.laid, band, part)
    part.rest.at[:] = at
    assert abs(far - there) < 0.25
