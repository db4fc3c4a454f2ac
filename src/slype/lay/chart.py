"""The colour chart: what every row lays on every spoke, outside and inside. From the trace alone.

Spokes are numbered from the left as seen from outside: for a right-handed maker in the order of work, for a left-handed
one against it, so that the two hands' charts are mirror images.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ..design.values import Design, group_sizes
from ..weave.effects import Effect
from ..weave.trace import cells
from .laying import BandLaid, Laid

Face = list[list[list[str]]]  # rows, from the first woven, of spokes, of colours from the bottom up


def faces(laid: Laid, band: BandLaid) -> tuple[Face, Face]:
    """(outside, inside) of one band: `[row][spoke]` lists colours bottom to top, empty where nothing is laid."""
    outside: Face = []
    inside: Face = []
    sizes = group_sizes(band.ends, band.band.group)
    spread = np.repeat(np.arange(len(sizes)), sizes)  # which group each end stands in
    for _, t in band.traces():
        for face, front in ((outside, True), (inside, False)):
            for row in cells(t, front):
                seen = [[colour for weaver in cell for colour in band.colours[weaver]] for cell in row]
                face.append([list(seen[group]) for group in spread])
    if laid.design.hand == "left":
        outside, inside = ([row[::-1] for row in face] for face in (outside, inside))
    return outside, inside


def as_json(laid: Laid) -> dict[str, Any]:
    """The promised JSON form of the chart. Documented in docs/json.md."""
    both = [faces(laid, band) for band in laid.bands]
    return {
        "hand": laid.design.hand,
        "outside": [{"band": band.index, "rows": face[0]} for band, face in zip(laid.bands, both, strict=True)],
        "inside": [{"band": band.index, "rows": face[1]} for band, face in zip(laid.bands, both, strict=True)],
        "effects": [
            {
                "band": band.index,
                **_effect(band.effect, laid.design.hand, False),
                "inside": _effect(band.effect_inside, laid.design.hand, True),
            }
            for band in laid.bands
        ],
    }


def _effect(effect: Effect, hand: str, inside: bool) -> dict[str, object]:
    return {
        "effect": effect.effect,
        "shift_per_row": effect.shift_per_row,
        "period": effect.period,
        "words": effect.words(hand, inside),
    }


def letters_for(design: Design) -> dict[str, str]:
    """A letter for each colour name used: its own first letter where free."""
    out: dict[str, str] = {}
    spare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
    for name in design.palette:
        wanted = [letter for letter in name.lower() + spare if letter.isascii() and letter.isalnum()]
        out[name] = next((letter for letter in wanted if letter not in out.values()), "*")
    return out
