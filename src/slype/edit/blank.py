"""A new basket to begin from: small, round, sound."""

from __future__ import annotations

from typing import Any

from ..design.values import HANDS, UNITS, WORDINGS
from ..errors import DesignError, did_you_mean
from ..words import TERMS

_TEXT = """\
# A new basket. Change anything; what stands behind a # is only read by people.
version = 1

[basket]
title = "{title}"
hand = "{right}"                 # right | left
wording = "{us}"                 # us | uk
units = "{units}"                   # in | cm

[spokes]
reed = "{spoke_reed}"
ends = 24                      # standing at the side; half as many {spokes} cross the base

[form]
outline = "round"
base = "{base}"
wall = [["0 {units}", "{base}"], ["{height}", "{mouth}"]]    # height above the base, diameter at the {spokes}

[[band]]                       # over the four arms of the {cross}, to tie it
where = "base"
weave = "pairing"
reed = "{base_reed}"
colours = ["natural"]
groups = 6
rows = 2

[[band]]                       # over half an arm at a time, to begin opening out
where = "base"
weave = "pairing"
reed = "{base_reed}"
colours = ["natural"]
groups = 3
rows = 5

[[band]]                       # over every {spoke}, to the edge of the base
where = "base"
weave = "pairing"
reed = "{base_reed}"
colours = ["natural"]
until = "{base}"

[[band]]                       # the first firm rows, which hold the {spokes} upright
where = "side"
weave = "three-rod wale"
reed = "{side_reed}"
colours = ["natural"]
rows = 3

[[band]]                       # the wall
where = "side"
weave = "four-rod wale"
reed = "{side_reed}"
colours = ["natural"]
rows = {rows}
start = 5

[[band]]                       # a last firm band that the {border} sits on
where = "side"
weave = "three-rod wale"
reed = "{side_reed}"
colours = ["natural"]
until = "top"
start = 9

[border]
kind = "three-rod plain"
"""
# Reeds of the series that is sold where the wording is spoken, and sizes round in the units.
_REEDS = {
    "us": {"spoke_reed": "round 5", "base_reed": "round 2", "side_reed": "round 3"},
    "uk": {"spoke_reed": "cane 10", "base_reed": "cane 1", "side_reed": "cane 3"},
}
_SIZES: dict[str, dict[str, Any]] = {
    "in": {"base": "5 in", "height": "3 1/2 in", "mouth": "6 1/2 in", "rows": 8},
    "cm": {"base": "13 cm", "height": "9 cm", "mouth": "16.5 cm", "rows": 8},
}


def blank(hand: str = "right", wording: str = "us", units: str = "in") -> str:
    """Text of a new design: a small round basket with comments. Raises DesignError for other values than the file's."""
    for key, value, known in (("hand", hand, HANDS), ("wording", wording, WORDINGS), ("units", units, UNITS)):
        if value not in known:
            raise DesignError(f"{value!r:.40} is not one of its values.", f"basket, {key}",
                              did_you_mean(f"{value:.40}" if isinstance(value, str) else "", known))  # fmt: skip
    words = {name: getattr(term, wording) for name, term in TERMS.items()}  # keys of the file stay as they are
    return _TEXT.format(right=hand, us=wording, units=units, title="New basket",
                        **words, **_REEDS[wording], **_SIZES[units])  # fmt: skip
